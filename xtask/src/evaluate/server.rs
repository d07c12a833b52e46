//! Evidence about the shop's server: what it takes in and gives out over HTTP, and its memory. The program that makes it
//! belongs to the server; here it is run and its table kept.

use crate::steps::{Step, cargo};

/// Returns the table of the server's speed and memory.
pub fn load(events: u64) -> Result<String, String> {
    Step::new("server", 1800, cargo(["build", "--quiet", "--release", "--locked", "--package", "server"]))
        .run()?;
    let events = events.to_string();
    let words = [
        "run",
        "--quiet",
        "--release",
        "--locked",
        "--package",
        "server",
        "--example",
        "load",
        "--",
        "--events",
        &events,
    ];
    Step::new("load", 2 * 60 * 60, cargo(words)).run_and_read().map_err(|(why, _)| why)
}
