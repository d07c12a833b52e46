//! The gate: what must hold before a change is called done.

use crate::same_bits;
use crate::steps::{Step, cargo};
use std::time::Instant;

/// The crates below the shells: they build for wasm, with no I/O, clock or randomness.
pub const CORE: &[&str] =
    &["units", "fluid", "refrigerant", "field", "rules", "record", "report", "wording", "job"];

/// Runs every step, the tests last, and ends with their sum.
pub fn whole() -> Result<(), String> {
    timed("format", || Step::new("format", 120, cargo(["fmt", "--all", "--check"])).run())?;
    timed("lints", || {
        let words = ["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"];
        Step::new("lints", 1500, cargo(words)).run()
    })?;
    timed("wasm build", || {
        let mut words = vec!["build", "--locked", "--target", "wasm32-unknown-unknown"];
        for name in CORE {
            words.extend(["--package", name]);
        }
        Step::new("wasm build", 1200, cargo(words)).run()
    })?;
    timed("same bits", same_bits::run)?;
    timed("tests", tests)
}

/// Runs every test of the workspace and prints the sum of the runner's own summaries.
pub fn tests() -> Result<(), String> {
    // The gate draws the same cases every time; a run by hand draws others.
    let mut command = cargo(["test", "--workspace", "--locked", "--no-fail-fast"]);
    if std::env::var_os("PROPTEST_RNG_SEED").is_none() {
        command.env("PROPTEST_RNG_SEED", "20261125");
    }
    let outcome = Step::new("tests", 2400, command).run_and_read();
    let (text, why) = match outcome {
        Ok(text) => (text, None),
        Err((why, text)) => (text, Some(why)),
    };
    let (passed, failed) = sum(&text);
    println!("\n{passed} passed, {failed} failed");
    match why {
        Some(why) => Err(why),
        None if passed == 0 => Err("tests: none ran".to_owned()),
        None => Ok(()),
    }
}

/// Adds up the lines `test result: ok. 12 passed; 0 failed; ...`.
fn sum(text: &str) -> (u64, u64) {
    let count = |line: &str, word: &str| {
        line.split(&[';', '.'][..])
            .find_map(|part| part.trim().strip_suffix(word)?.trim().parse::<u64>().ok())
    };
    text.lines().filter(|line| line.starts_with("test result:")).fold((0, 0), |(passed, failed), line| {
        (passed + count(line, " passed").unwrap_or(0), failed + count(line, " failed").unwrap_or(0))
    })
}

fn timed(name: &str, step: impl FnOnce() -> Result<(), String>) -> Result<(), String> {
    let started = Instant::now();
    eprintln!("== {name}");
    step()?;
    eprintln!("== {name}: {} s", started.elapsed().as_secs());
    Ok(())
}

#[cfg(test)]
mod tests {
    #[test]
    fn summaries_add_up() {
        let text = "test result: ok. 12 passed; 0 failed; 0 ignored; 0 measured\nnoise\n\
                    test result: FAILED. 3 passed; 2 failed; 0 ignored; 0 measured\n";
        assert_eq!(super::sum(text), (15, 2));
    }
}
