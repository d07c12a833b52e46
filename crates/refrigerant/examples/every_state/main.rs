//! Every refrigerant's lines, and random states of random compositions, through every question and back.
//!
//! `--states N` a class, `--seed S`, `--json`, `--lines N` temperatures on each line. Ends with 1 where a limit is missed.

mod trial;

use std::process::ExitCode;

fn option(words: &[String], name: &str) -> Option<u64> {
    let at = words.iter().position(|word| word == name)?;
    words.get(at + 1)?.parse().ok()
}

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let states = option(&words, "--states").unwrap_or(10_000);
    let seed = option(&words, "--seed").unwrap_or(20_261_126);
    let points = option(&words, "--lines").unwrap_or(200);
    let lines = trial::lines(points);
    let classes = trial::states(states, seed);
    if words.iter().any(|word| word == "--json") {
        println!("{}", trial::json(&lines, &classes, states, seed));
    } else {
        print!("{}", trial::table(&lines, &classes, states));
    }
    ExitCode::from(u8::from(!trial::holds(&lines, &classes)))
}
