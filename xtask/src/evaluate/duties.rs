//! How long the law takes for many systems: the example of `rules`, built for speed and run in a process of its own.

use crate::steps::{Step, cargo};

/// What must hold on two cores.
const LIMIT_SECONDS: f64 = 10.0;
/// How much more memory the whole may take than a tenth of it, MB.
const LIMIT_GROWTH: u64 = 20;

/// A table, and whether the limits were kept.
pub struct Table {
    pub text: String,
    pub holds: bool,
}

/// Returns the table for so many systems with 200 events each.
pub fn table(systems: u64) -> Result<Table, String> {
    let systems = systems.to_string();
    let words =
        ["run", "--quiet", "--release", "--locked", "--package", "rules", "--example", "throughput", "--"];
    let mut command = cargo(words);
    command.arg(&systems);
    let rows = Step::new("duties", 1800, command).run_and_read().map_err(|(why, _)| why)?;
    let rows: Vec<&str> = rows.lines().filter(|line| line.starts_with('|')).collect();
    let [tenth, whole] = rows[..] else { return Err(format!("duties: {} rows, 2 wanted", rows.len())) };
    let cell = |row: &str, at: usize, unit: &str| {
        row.split('|').nth(at).map(|cell| cell.trim().trim_end_matches(unit).trim().to_owned())
    };
    let seconds = |at: usize| cell(whole, at, "s").and_then(|s| s.parse::<f64>().ok());
    let wall = seconds(5).ok_or("duties: no time")?;
    // A machine that does other work besides stretches the clock, not the processor time.
    let threads: f64 = cell(whole, 4, "").and_then(|n| n.parse().ok()).ok_or("duties: no threads")?;
    let worked = seconds(6).map_or(wall, |busy| (busy / threads).min(wall));
    let peak = |row: &str| cell(row, 7, "MB").and_then(|mb| mb.parse::<u64>().ok());
    let flat = match peak(tenth).zip(peak(whole)) {
        Some((tenth, whole)) => whole <= tenth + LIMIT_GROWTH,
        // Where the system does not tell, the table says so.
        None => true,
    };
    let text = format!(
        "Systems of five jurisdictions in turn with ten years of 200 events each: additions, tests, repairs, notices \
         (invented). Each is made, evaluated and dropped; every verdict is counted. Limits: {LIMIT_SECONDS} s for 100,000 \
         systems on two cores, by processor time a thread where other work shares the machine, and at most {LIMIT_GROWTH} MB more for the whole than for a tenth.\n\n\
         | systems | events each | verdicts | threads | time | processor time, all threads | largest memory |\n|---|---|---|---|---|---|---|\n{tenth}\n{whole}\n"
    );
    Ok(Table { text, holds: worked <= LIMIT_SECONDS && flat })
}
