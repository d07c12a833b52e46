//! Every refrigerant's lines, and random states through every question and back.

use crate::steps::cargo;

/// What the trial printed, and whether nothing went wrong.
pub struct Trial {
    /// A table, or JSON.
    pub text: String,
    /// Whether nothing went wrong.
    pub holds: bool,
}

/// Runs the trial; it is an example of `refrigerant`, so that it is built for speed and this program stays small.
pub fn trial(states: u64, seed: u64, json: bool) -> Result<Trial, String> {
    let (states, seed) = (states.to_string(), seed.to_string());
    let mut words = vec!["--states", &states, "--seed", &seed];
    if json {
        words.push("--json");
    }
    example(("refrigerant", "every_state"), &[], &words)
}

/// Runs an example of a package, built for speed; it ends with 1 where something went wrong, and has printed its table.
pub fn example(of: (&str, &str), how: &[&str], words: &[&str]) -> Result<Trial, String> {
    let (package, name) = of;
    let mut all = vec!["run", "--quiet", "--release", "--locked", "--package", package, "--example", name];
    all.extend(how);
    all.push("--");
    all.extend(words);
    let output =
        cargo(all).stderr(std::process::Stdio::inherit()).output().map_err(|e| format!("{name}: {e}"))?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    match output.status.code() {
        Some(0) => Ok(Trial { text, holds: true }),
        Some(1) if !text.is_empty() => Ok(Trial { text, holds: false }),
        _ => Err(format!("{name}: the trial did not run")),
    }
}
