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
    let mut words = vec![
        "run",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "refrigerant",
        "--example",
        "every_state",
        "--",
    ];
    words.extend(["--states", &states, "--seed", &seed]);
    if json {
        words.push("--json");
    }
    let output =
        cargo(words).stderr(std::process::Stdio::inherit()).output().map_err(|e| format!("fluid: {e}"))?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    match output.status.code() {
        Some(0) => Ok(Trial { text, holds: true }),
        // Ends with 1 where something went wrong, and has printed its table.
        Some(1) if !text.is_empty() => Ok(Trial { text, holds: false }),
        _ => Err("fluid: the trial did not run".to_owned()),
    }
}
