//! Builds the site: the app for the browser, its files under `target/site`, each with its compressed twin.
//!
//! ```text
//! site            the app as it ships: small, compressed
//! site --dev      quicker to build, larger, not compressed
//! site budget     compares the sizes of what was built with the budgets
//! ```

mod assemble;
mod budget;
mod compress;
mod program;

use std::path::PathBuf;
use std::process::ExitCode;

/// Returns the root of the workspace.
fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        [] => build(false),
        ["--dev"] => build(true),
        ["budget"] => budget::check(&root().join("target/site")),
        other => Err(format!("there is no \"{}\"; give nothing, --dev or budget", other.join(" "))),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("site: {why}");
            ExitCode::FAILURE
        }
    }
}

fn build(dev: bool) -> Result<(), String> {
    let root = root();
    let program = program::build(&root, dev)?;
    let files = assemble::assemble(&root, &program)?;
    let out = root.join("target/site");
    assemble::write(&files, &out, !dev)?;
    if dev {
        println!("target/site: {} files, not compressed", files.len());
        return Ok(());
    }
    budget::check(&out)
}
