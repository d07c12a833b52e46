//! A year of invented systems against the trend model, and a day of many systems against the clock and the memory.

use super::fluid::{Trial, example};

/// Runs both trials; they are examples, so that this program does not carry the query engine.
pub fn trial(systems: u64, day: u64, seed: u64, json: bool) -> Result<Trial, String> {
    let (systems, day, seed) = (systems.to_string(), day.to_string(), seed.to_string());
    let mut words = vec!["--systems", &systems, "--seed", &seed];
    if json {
        words.push("--json");
    }
    let year = example(("trend", "fleet"), &[], &words)?;
    if json {
        return Ok(year);
    }
    let many = example(("fleet", "day"), &["--features", "engine"], &["--systems", &day])?;
    let text = format!(
        "## A year\n\n{}\n\n## A day at one-minute data\n\n{day} systems, invented; the first tenth of the day, then the whole.\n\n{}",
        year.text.trim(),
        many.text.trim()
    );
    Ok(Trial { text, holds: year.holds && many.holds })
}
