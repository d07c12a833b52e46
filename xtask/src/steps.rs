//! One step of a chore: a command with a name and a limit in time, so that a hang names itself.

use std::path::PathBuf;
use std::process::Command;
use std::time::{Duration, Instant};

/// A command to run, its name, and how long it may take.
pub struct Step {
    name: &'static str,
    limit: Duration,
    command: Command,
}

/// Returns the cargo that runs us, with these arguments.
pub fn cargo<'a>(words: impl IntoIterator<Item = &'a str>) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(words);
    command
}

/// Returns the folder cargo builds in.
pub fn target_dir() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| PathBuf::from("target"), PathBuf::from)
}

impl Step {
    /// Returns a step that may take `seconds`.
    pub fn new(name: &'static str, seconds: u64, command: Command) -> Self {
        Self { name, limit: Duration::from_secs(seconds), command }
    }

    /// Runs it to its end, or ends it at its limit.
    ///
    /// # Errors
    /// A sentence that names the step: it could not start, it failed, or it took too long.
    pub fn run(mut self) -> Result<(), String> {
        let name = self.name;
        let started = Instant::now();
        let mut child = self.command.spawn().map_err(|e| format!("{name}: cannot start: {e}"))?;
        loop {
            match child.try_wait().map_err(|e| format!("{name}: {e}"))? {
                Some(status) if status.success() => return Ok(()),
                Some(status) => return Err(format!("{name}: failed ({status})")),
                None if started.elapsed() > self.limit => {
                    // It may have ended in between; then there is nothing to kill.
                    let _ = child.kill();
                    let _ = child.wait();
                    return Err(format!("{name}: still running after {} s, ended", self.limit.as_secs()));
                }
                None => std::thread::sleep(Duration::from_millis(50)),
            }
        }
    }

    /// Runs it as [`Step::run`] does and returns what it printed, which is shown as it comes.
    ///
    /// # Errors
    /// As [`Step::run`]; the output so far has been shown.
    pub fn run_and_read(mut self) -> Result<String, (String, String)> {
        use std::io::{BufRead, BufReader};
        self.command.stdout(std::process::Stdio::piped());
        let name = self.name;
        let started = Instant::now();
        let mut child =
            self.command.spawn().map_err(|e| (format!("{name}: cannot start: {e}"), String::new()))?;
        let Some(out) = child.stdout.take() else {
            return Err((format!("{name}: no output to read"), String::new()));
        };
        let reader = std::thread::spawn(move || {
            let mut text = String::new();
            for line in BufReader::new(out).lines().map_while(Result::ok) {
                println!("{line}");
                text.push_str(&line);
                text.push('\n');
            }
            text
        });
        let ended = loop {
            match child.try_wait() {
                Ok(Some(status)) if status.success() => break Ok(()),
                Ok(Some(status)) => break Err(format!("{name}: failed ({status})")),
                Err(e) => break Err(format!("{name}: {e}")),
                Ok(None) if started.elapsed() > self.limit => {
                    let _ = child.kill();
                    let _ = child.wait();
                    break Err(format!("{name}: still running after {} s, ended", self.limit.as_secs()));
                }
                Ok(None) => std::thread::sleep(Duration::from_millis(50)),
            }
        };
        let text = reader.join().unwrap_or_default();
        ended.map(|()| text.clone()).map_err(|why| (why, text))
    }
}
