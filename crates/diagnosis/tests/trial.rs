//! A small sample of the trial of the search, in the gate: the chances it states, against what invented technicians found.

#![allow(clippy::unwrap_used)]

#[allow(dead_code)]
#[path = "../examples/search/trial.rs"]
mod trial;

use diagnosis::search::Book;
use trial::{NAMES, SETTINGS, calibration_error, measure, run};

const CASES: u64 = 300;
const SEED: u64 = 31;

/// What the error may be by the chance of so small a sample alone: its mean for ten bins of perfectly stated chances, and
/// three standard deviations more (a normal for each bin).
fn by_chance(said: &[(f64, bool)]) -> f64 {
    let mut said = said.to_vec();
    said.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut mean, mut variance) = (0.0, 0.0);
    for bin in 0..10 {
        let part = &said[bin * said.len() / 10..(bin + 1) * said.len() / 10];
        let p = part.iter().map(|(chance, _)| chance).sum::<f64>() / part.len() as f64;
        let of_bin = p * (1.0 - p) / part.len() as f64;
        mean += (2.0 / std::f64::consts::PI * of_bin).sqrt() / 10.0;
        variance += (1.0 - 2.0 / std::f64::consts::PI) * of_bin / 100.0;
    }
    mean + 3.0 * variance.sqrt()
}

#[test]
fn chances_are_as_often_right_as_stated_within_the_error_of_a_small_sample() {
    let book = Book::shipped();
    for setting in &SETTINGS {
        let all = run(setting, &book, CASES, SEED);
        for (what, name) in NAMES.iter().enumerate() {
            let said: Vec<(f64, bool)> = all.iter().filter_map(|shown| shown.said[what]).collect();
            assert!(said.len() as u64 > CASES / 2);
            let (error, limit) = (calibration_error(&said), setting.limit + by_chance(&said));
            println!("{}, {name}: {error:.3}, limit {limit:.3} ({} cases)", setting.name, said.len());
            assert!(error <= limit, "{}, {name}: {error} above {limit}", setting.name);
        }
        // The same check finds chances that are stated twice as high.
        let boast: Vec<(f64, bool)> = all
            .iter()
            .filter_map(|shown| shown.said[2])
            .map(|(p, right)| ((2.0 * p).min(1.0), right))
            .collect();
        assert!(calibration_error(&boast) > setting.limit + by_chance(&boast), "{}", setting.name);
        let line = measure(setting, &all, SEED);
        println!("{}: median and share within 2 h {:?}", setting.name, line.found);
        for way in 1..3 {
            assert!(line.found[0].1 > line.found[way].1 + 0.05, "{}: {:?}", setting.name, line.found);
        }
    }
}
