//! Four blends against equations that were fitted to each as a whole, without a mixing model.

// The helpers belong to tests too.
#![allow(clippy::unwrap_used)]

use std::path::Path;
use toml_edit::{DocumentMut, Table};
use units::Temperature;
use units::math::{exp, pow};

/// The largest relative difference in pressure.
const WITHIN: f64 = 3e-4;

fn numbers(row: &Table, key: &str) -> Vec<f64> {
    row[key].as_array().unwrap().iter().map(|value| value.as_float().unwrap()).collect()
}

#[test]
fn bubble_and_dew_agree_with_the_equations_of_2003() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks/lemmon_2003.toml");
    let document: DocumentMut = std::fs::read_to_string(path).unwrap().parse().unwrap();
    let mut compared = 0;
    let mut worst = (0.0, String::new());
    for row in document["blend"].as_array_of_tables().unwrap() {
        let name = row["refrigerant"].as_str().unwrap();
        let fluid = refrigerant::find(name).unwrap().fluid();
        let critical = row["critical_temperature_k"].as_float().unwrap();
        let pressure = row["critical_pressure_pa"].as_float().unwrap();
        for celsius in (-60..=60).step_by(5) {
            let t = Temperature::from_celsius(f64::from(celsius));
            let by = |side: &str| {
                let theta = 1.0 - t.kelvin() / critical;
                let (n, e) = (numbers(row, &format!("{side}_n")), numbers(row, &format!("{side}_t")));
                let sum: f64 = n.iter().zip(&e).map(|(n, e)| n * pow(theta, *e)).sum();
                pressure * exp(critical / t.kelvin() * sum)
            };
            let bubble = fluid.bubble_at_temperature(t).unwrap().pressure.pascal();
            let dew = fluid.dew_at_temperature(t).unwrap().pressure.pascal();
            for (side, own) in [("bubble", bubble), ("dew", dew)] {
                compared += 1;
                let off = (own / by(side) - 1.0).abs();
                if off > worst.0 {
                    worst = (off, format!("{name} {side} {celsius} °C"));
                }
            }
        }
    }
    println!("largest relative difference {:.1e}: {}", worst.0, worst.1);
    assert_eq!(compared, 200);
    assert!(worst.0 < WITHIN, "{worst:?}");
}
