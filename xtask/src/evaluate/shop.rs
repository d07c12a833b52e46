//! Evidence about the shop's store: the sync model, the kills, the speed. The programs that make it belong to the crates
//! they examine, so that our own chores stay quick to build; here they are run and their tables kept.

use crate::steps::{Step, cargo};

/// Returns the table of the sync model on one database.
pub fn sync(kind: &str, schedules: u64, seed: u64) -> Result<String, String> {
    let (schedules, seed) = (schedules.to_string(), seed.to_string());
    let words = [
        "run",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "store",
        "--example",
        "sync_model",
        "--",
        "--schedules",
        &schedules,
        "--seed",
        &seed,
        "--store",
        kind,
    ];
    let run = Step::new("sync model", 4 * 60 * 60, cargo(words)).run_and_read();
    run.map_err(|(why, _)| why)
}

/// Returns the table of the kills, `times` on each database.
pub fn kill(times: u64) -> Result<String, String> {
    let words = [
        "test",
        "--release",
        "--locked",
        "--package",
        "server",
        "--test",
        "kill",
        "--",
        "--nocapture",
        "--test-threads=1",
    ];
    let mut command = cargo(words);
    command.env("GASTIGHT_KILLS", times.to_string());
    let said = Step::new("kills", 2 * 60 * 60, command).run_and_read().map_err(|(why, _)| why)?;
    let mut table = String::from(
        "The server is killed with SIGKILL while three phones write to it, each time at another moment, and started \
         again on the same data. What a phone was told is stored must be there in the end, as it was sent.\n\n\
         | database | kills | requests without an answer | events acknowledged | events there | pictures acknowledged \
         | lost | faults found by `verify` |\n|---|---|---|---|---|---|---|---|\n",
    );
    for line in said.lines() {
        // The runner writes the name of the test on the same line.
        if let Some(at) = line.find("| SQLite |").or_else(|| line.find("| PostgreSQL |")) {
            table.push_str(&line[at..]);
            table.push('\n');
        }
    }
    Ok(table)
}

/// Returns the table of the store's speed and memory.
pub fn speed(events: u64) -> Result<String, String> {
    let events = events.to_string();
    let words = [
        "run",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "store",
        "--example",
        "speed",
        "--",
        "--events",
        &events,
    ];
    Step::new("speed", 2 * 60 * 60, cargo(words)).run_and_read().map_err(|(why, _)| why)
}
