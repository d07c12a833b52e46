//! The gate: what must hold before a change is called done.

use crate::steps::{Step, cargo};
use crate::{api, same_bits};
use std::process::Command;
use std::time::Instant;

/// The crates below the shells: they build for wasm, with no I/O, clock or randomness.
pub const CORE: &[&str] = &[
    "units",
    "fluid",
    "refrigerant",
    "field",
    "cycle",
    "trend",
    "diagnosis",
    "rules",
    "record",
    "report",
    "wording",
    "job",
];

/// Runs every step, the tests last, and ends with their sum.
pub fn whole() -> Result<(), String> {
    timed("format", || Step::new("format", 120, cargo(["fmt", "--all", "--check"])).run())?;
    timed("lints", || {
        let words = [
            "clippy",
            "--workspace",
            "--exclude",
            "web",
            "--all-targets",
            "--locked",
            "--",
            "-D",
            "warnings",
        ];
        Step::new("lints", 1500, cargo(words)).run()
    })?;
    timed("lints of the app", || {
        let words = ["clippy", "--package", "web", "--target", WASM, "--locked", "--", "-D", "warnings"];
        Step::new("lints of the app", 900, cargo(words)).run()
    })?;
    timed("wasm build", || {
        let mut words = vec!["build", "--locked", "--target", WASM];
        for name in CORE {
            words.extend(["--package", name]);
        }
        Step::new("wasm build", 1200, cargo(words)).run()
    })?;
    timed("same bits", same_bits::run)?;
    timed("site", || {
        Step::new("site", 1500, cargo(["run", "--quiet", "--locked", "--package", "site"])).run()
    })?;
    let mut sum = Sum::default();
    // A failure among the tests does not hide what the browser has to say.
    let core = timed("tests", || tests_of(&mut sum, "tests", 2400, &WORKSPACE));
    let browser = timed("browser", || browser(&mut sum));
    let api = timed("interface", api::run);
    // The typesetter is a large build that nothing else needs.
    let pdf = timed("pdf", || pdf(&mut sum));
    // So is the engine that reduces the logs of many systems.
    let fleet = timed("fleet", || fleet(&mut sum));
    // Last: it builds the server anew, with passkeys, where the others have it without.
    let passkey = timed("passkeys", || passkeys(&mut sum));
    sum.say();
    core.and(browser).and(api).and(pdf).and(fleet).and(passkey)
}

const WASM: &str = "wasm32-unknown-unknown";

/// Everything but the tests in a browser, which need the app built. What of the app touches no browser is tested here.
const WORKSPACE: [&str; 3] = ["--workspace", "--exclude", "e2e"];

/// Runs every test that needs no browser and prints the sum of the runner's own summaries.
pub fn tests() -> Result<(), String> {
    let mut sum = Sum::default();
    let outcome = tests_of(&mut sum, "tests", 2400, &WORKSPACE);
    sum.say();
    outcome
}

/// Builds the programs and runs the tests in a real browser; the site must have been built.
pub fn browser_alone() -> Result<(), String> {
    let mut sum = Sum::default();
    let outcome = browser(&mut sum);
    sum.say();
    outcome
}

/// Runs the tests of the server built with passkeys; the site must have been built.
pub fn passkeys_alone() -> Result<(), String> {
    let mut sum = Sum::default();
    let outcome = passkeys(&mut sum);
    sum.say();
    outcome
}

/// Runs the tests of the command line built with PDF.
pub fn pdf_alone() -> Result<(), String> {
    let mut sum = Sum::default();
    let outcome = pdf(&mut sum);
    sum.say();
    outcome
}

/// Runs the tests of the watching of many systems, with its engine.
pub fn fleet_alone() -> Result<(), String> {
    let mut sum = Sum::default();
    let outcome = fleet(&mut sum);
    sum.say();
    outcome
}

fn fleet(sum: &mut Sum) -> Result<(), String> {
    let mut lints = cargo(["clippy", "--package", "fleet", "--package", "gastight"]);
    lints.args([
        "--features",
        "fleet/engine,gastight/fleet",
        "--all-targets",
        "--locked",
        "--",
        "-D",
        "warnings",
    ]);
    Step::new("lints with the fleet", 1500, lints).run()?;
    let mut sample = cargo(["run", "--quiet", "--locked", "--package", "trend", "--example", "fleet"]);
    sample.args(["--", "--systems", "20", "--seed", "11"]);
    Step::new("a sample of drifting systems", 600, sample).run()?;
    tests_of(sum, "fleet", 1800, &["--package", "fleet", "--features", "engine"])?;
    let which = ["--package", "gastight", "--features", "fleet", "--test", "watch"];
    tests_of(sum, "command line with the fleet", 900, &which)
}

fn pdf(sum: &mut Sum) -> Result<(), String> {
    let mut lints = cargo(["clippy", "--package", "paper", "--package", "gastight"]);
    lints.args(["--features", "paper/pdf,gastight/pdf", "--all-targets", "--locked", "--", "-D", "warnings"]);
    Step::new("lints with PDF", 900, lints).run()?;
    let which = ["--package", "gastight", "--features", "pdf", "--test", "pdf"];
    tests_of(sum, "command line with PDF", 1200, &which)
}

fn passkeys(sum: &mut Sum) -> Result<(), String> {
    let feature = ["--package", "server", "--features", "passkey"];
    let mut lints = cargo(["clippy"].into_iter().chain(feature));
    lints.args(["--all-targets", "--locked", "--", "-D", "warnings"]);
    Step::new("lints with passkeys", 300, lints).run()?;
    let which = [&feature[..], &["--bins", "--lib", "--test", "passkey", "--test", "roles"]].concat();
    tests_of(sum, "server with passkeys", 480, &which)?;
    let mut words = vec!["build", "--locked"];
    words.extend(feature);
    Step::new("server with passkeys, built", 300, cargo(words)).run()?;
    let mut browser = cargo(["test", "--locked", "--package", "e2e", "--test", "passkey"]);
    browser.env("E2E_PASSKEY", "1");
    read(sum, "passkeys in a browser", 300, browser)
}

fn browser(sum: &mut Sum) -> Result<(), String> {
    let words = ["build", "--locked", "--package", "server", "--package", "gastight"];
    Step::new("programs under test", 900, cargo(words)).run()?;
    tests_of(sum, "browser", 1500, &["--package", "e2e"])
}

fn tests_of(sum: &mut Sum, name: &'static str, seconds: u64, which: &[&str]) -> Result<(), String> {
    // The gate draws the same cases every time; a run by hand draws others.
    let mut command = cargo(["test"]);
    command.args(which).args(["--locked", "--no-fail-fast"]);
    if std::env::var_os("PROPTEST_RNG_SEED").is_none() {
        command.env("PROPTEST_RNG_SEED", "20261125");
    }
    read(sum, name, seconds, command)
}

/// Runs tests and adds up what they say.
fn read(sum: &mut Sum, name: &'static str, seconds: u64, command: Command) -> Result<(), String> {
    let outcome = Step::new(name, seconds, command).run_and_read();
    let (text, why) = match outcome {
        Ok(text) => (text, None),
        Err((why, text)) => (text, Some(why)),
    };
    let passed = sum.add(&text);
    match why {
        Some(why) => Err(why),
        None if passed == 0 => Err(format!("{name}: none ran")),
        None => Ok(()),
    }
}

/// The tests that passed and failed, over all runs.
#[derive(Default)]
struct Sum {
    passed: u64,
    failed: u64,
}

impl Sum {
    /// Adds what a run said; returns how many passed in it.
    fn add(&mut self, text: &str) -> u64 {
        let (passed, failed) = sum(text);
        self.passed += passed;
        self.failed += failed;
        passed
    }

    fn say(&self) {
        println!("\n{} passed, {} failed", self.passed, self.failed);
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
