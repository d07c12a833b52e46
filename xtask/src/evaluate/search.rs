//! The leak search on invented systems: whether its chances are as often right as it says, and how soon it finds a leak.

use crate::steps::cargo;

/// What the trial printed, and whether every limit holds.
pub struct Trial {
    /// A table, or JSON.
    pub text: String,
    /// Whether every limit holds.
    pub holds: bool,
}

/// Runs the trial; it is an example of `diagnosis`, so that this program stays small.
pub fn trial(cases: u64, seed: u64, json: bool) -> Result<Trial, String> {
    let (cases, seed) = (cases.to_string(), seed.to_string());
    let mut words = vec![
        "run",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "diagnosis",
        "--example",
        "search",
        "--",
    ];
    words.extend(["--cases", &cases, "--seed", &seed]);
    if json {
        words.push("--json");
    }
    let output =
        cargo(words).stderr(std::process::Stdio::inherit()).output().map_err(|e| format!("search: {e}"))?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    match output.status.code() {
        Some(0) => Ok(Trial { text, holds: true }),
        // Ends with 1 where a limit is missed, and has printed its table.
        Some(1) if !text.is_empty() => Ok(Trial { text, holds: false }),
        _ => Err("search: the trial did not run".to_owned()),
    }
}
