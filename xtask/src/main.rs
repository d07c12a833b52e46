//! Our chores: `demo`, `web`, `serve`, `test` (the whole gate), and `evaluate` (long evidence, with its table committed).

mod api;
mod blends;
mod compare;
mod evaluate;
mod fit_pairs;
mod gate;
mod npm;
mod same_bits;
mod serve;
mod steps;
mod tables;

use std::process::ExitCode;
use steps::{Step, cargo};

const HELP: &str = "\
cargo xtask demo               reads two visits, prints what they show, writes their reports under reports/
cargo xtask web [--dev]        builds the app and its site under target/site; --dev is quicker and not compressed
cargo xtask serve [--dev]      builds app and server, opens the shop with demo data on this machine
cargo xtask test               the whole gate: format, lints, wasm build, every test, the same bits in wasm
cargo xtask test fast          the tests alone, those in a browser left out
cargo xtask test browser       the tests in a browser alone; the site must be built
cargo xtask test passkey       the server built with passkeys, and a browser that uses one; the site must be built
cargo xtask test fleet         the watching of many systems, built with its engine
cargo xtask test pdf           the command line built with PDF, its documents read back
cargo xtask test api           the description of the server's interface, tried against a running server
cargo xtask same-bits          two thousand calls, natively and in wasm, compared bit by bit
cargo xtask evaluate NAME      long evidence; without a name, lists what there is
cargo xtask docs-law           writes docs/law from data/law: a page a jurisdiction, what was not confirmed, side by side
cargo xtask docs-blends        writes docs/blends.md: how far every blend is from its designated temperatures
cargo xtask fit-pairs [--check]  anchors the pairs that nobody fitted; --check compares with what is committed
cargo xtask tables [--check]   holds the tables against the full model and writes docs/evidence/tables.md
cargo xtask compare            our calls and CoolProp's in one run; writes docs/evidence/compare.md
cargo xtask npm                builds the engine as a package for JavaScript, tries it under node; sizes and times
cargo xtask bench              every criterion bench
";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let outcome = match words.as_slice() {
        ["demo"] => demo(),
        ["web"] => serve::web(false),
        ["web", "--dev"] => serve::web(true),
        ["serve"] => serve::serve(false),
        ["serve", "--dev"] => serve::serve(true),
        ["test"] => gate::whole(),
        ["test", "fast"] => gate::tests(),
        ["test", "browser"] => gate::browser_alone(),
        ["test", "api"] => api::run(),
        ["test", "pdf"] => gate::pdf_alone(),
        ["test", "fleet"] => gate::fleet_alone(),
        ["test", "passkey"] => gate::passkeys_alone(),
        ["same-bits"] => same_bits::run(),
        ["same-bits", "write"] => same_bits::write(),
        ["evaluate", rest @ ..] => evaluate::run(rest),
        ["docs-law"] => docs_law(),
        ["tables"] => tables::run(false),
        ["tables", "--check"] => tables::run(true),
        ["fit-pairs"] => fit_pairs::run(false),
        ["fit-pairs", "--check"] => fit_pairs::run(true),
        ["docs-blends"] => blends::run(),
        ["npm"] => npm::run(),
        ["compare"] => compare::run(),
        ["bench"] => Step::new("bench", 1800, cargo(["bench", "--workspace", "--locked"])).run(),
        _ => {
            print!("{HELP}");
            return if words.is_empty() || words == ["help"] || words == ["--help"] {
                ExitCode::SUCCESS
            } else {
                ExitCode::from(2)
            };
        }
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("xtask: {why}");
            ExitCode::FAILURE
        }
    }
}

/// Writes the manual of the law from its data.
fn docs_law() -> Result<(), String> {
    let words =
        ["run", "--quiet", "--locked", "--package", "job", "--example", "law_manual", "--", "docs/law"];
    Step::new("docs-law", 1200, cargo(words)).run()
}

/// Runs the main job on the example visits.
fn demo() -> Result<(), String> {
    Step::new("build", 1200, cargo(["build", "--quiet", "--release", "--locked", "--package", "gastight"]))
        .run()?;
    let program =
        steps::target_dir().join("release").join(format!("gastight{}", std::env::consts::EXE_SUFFIX));
    std::fs::create_dir_all("reports").map_err(|e| format!("reports/ cannot be made: {e}"))?;
    for visit in ["room-7-first-call", "room-7-repair"] {
        let file = format!("examples/jobs/{visit}.toml");
        let page = format!("reports/{visit}.html");
        let mut html = std::process::Command::new(&program);
        html.args(["job", "report", &file, "--format", "html", "--output", &page]);
        Step::new("report as HTML", 60, html).run()?;
        let mut text = std::process::Command::new(&program);
        text.args(["job", "report", &file, "--format", "text"]);
        Step::new("report as text", 60, text).run()?;
        let place = std::path::absolute(&page).map_err(|e| e.to_string())?;
        println!("\nThe same as a page to hand over: {}\n", place.display());
    }
    Ok(())
}
