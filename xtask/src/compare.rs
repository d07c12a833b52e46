//! Our calls and CoolProp's in one run, side by side.

use crate::steps::{Step, cargo, target_dir};
use std::fmt::Write as _;
use std::process::Command;

const FILE: &str = "docs/evidence/compare.md";

const VERSION: &str = "CoolProp==8.0.0";

/// One line of either side: refrigerant, question, nanoseconds or why there are none.
type Line = (String, String, Result<f64, String>);

/// Runs both and writes the table.
pub fn run() -> Result<(), String> {
    let place = target_dir().join("compare-venv");
    let python = place.join("bin/python");
    if !python.exists() {
        let mut venv = Command::new("python3");
        venv.args(["-m", "venv"]).arg(&place);
        Step::new("an environment for CoolProp", 120, venv).run()?;
        let mut install = Command::new(&python);
        install.args(["-m", "pip", "--quiet", "install", VERSION]);
        Step::new("CoolProp from PyPI", 300, install).run()?;
    }
    let words =
        ["build", "--quiet", "--release", "--locked", "--package", "refrigerant", "--example", "speed"];
    Step::new("our side", 900, cargo(words)).run()?;
    let ours = lines(&mut Command::new(target_dir().join("release/examples/speed")))?;
    let mut theirs = Command::new(&python);
    theirs.arg("tools/compare_coolprop.py");
    let theirs = lines(&mut theirs)?;
    // Ours once more, after: what the machine did meanwhile shows in the difference.
    let again = lines(&mut Command::new(target_dir().join("release/examples/speed")))?;
    let table = table(&ours, &theirs, &again);
    let head = crate::evaluate::made_by("cargo xtask compare");
    print!("{table}");
    std::fs::write(FILE, format!("# compare\n\n{head}\n\n{table}")).map_err(|e| format!("{FILE}: {e}"))
}

fn lines(command: &mut Command) -> Result<Vec<Line>, String> {
    let output = command.output().map_err(|e| format!("compare: {e}"))?;
    if !output.status.success() {
        return Err(format!("compare: {}", String::from_utf8_lossy(&output.stderr)));
    }
    let text = String::from_utf8_lossy(&output.stdout);
    text.lines()
        .map(|line| {
            let mut parts = line.splitn(3, ',');
            let (Some(name), Some(what), Some(value)) = (parts.next(), parts.next(), parts.next()) else {
                return Err(format!("compare: not a line: {line}"));
            };
            Ok((name.to_owned(), what.to_owned(), value.parse().map_err(|_| value.to_owned())))
        })
        .collect()
}

fn table(ours: &[Line], theirs: &[Line], again: &[Line]) -> String {
    let mut out = String::from(
        "Microseconds a call, the median of many, on the machine at hand and in one run: ours, CoolProp 8.0.0 from PyPI \
         (AbstractState of its low-level interface), ours once more. Every call from nothing, at -10 °C or at the dew \
         pressure of -10 °C; the gas is at four times that pressure. `bare` is one exponential and a polynomial of the \
         table's degree, evaluated term by term.\n\n\
         | refrigerant | question | ours | again | CoolProp | ratio |\n|---|---|---|---|---|---|\n",
    );
    let find = |list: &[Line], name: &str, what: &str| {
        list.iter().find(|line| line.0 == name && line.1 == what).map(|line| line.2.clone())
    };
    for (name, what, own) in ours {
        let Ok(own) = own else { continue };
        let second = find(again, name, what).and_then(Result::ok);
        let other = find(theirs, name, what);
        let best = second.map_or(*own, |second| second.min(*own));
        let (shown, ratio) = match other {
            Some(Ok(other)) => (micro(other), times(other / best)),
            Some(Err(why)) => (why, "-".to_owned()),
            None => ("-".to_owned(), "-".to_owned()),
        };
        let again = second.map_or_else(|| "-".to_owned(), micro);
        let _ = writeln!(out, "| {name} | {what} | {} | {again} | {shown} | {ratio} |", micro(*own));
    }
    out.push_str("\nCoolProp has no table of a mixture: its table of R-134a stands beside ours. Calls of a second and more stretch \
         while the machine has other work: their ratios are high by up to ten.\n");
    out
}

fn times(ratio: f64) -> String {
    if ratio < 10.0 { format!("{ratio:.1}") } else { format!("{ratio:.0}") }
}

fn micro(nanoseconds: f64) -> String {
    let value = nanoseconds / 1000.0;
    if value < 1.0 { format!("{value:.3}") } else { format!("{value:.1}") }
}
