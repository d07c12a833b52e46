//! How long one call takes: one line a call, its name and the median nanoseconds of many runs.
//!
//! Read by `cargo xtask compare`, which runs another engine in the same minutes. Without a first guess and, but for the
//! lines that say table, by the full model.

use fluid::Fluid;
use std::hint::black_box;
use std::time::Instant;
use units::{AbsolutePressure, Fraction, Temperature, TemperatureDifference};

/// Returns the median time of one call in nanoseconds, over batches that take about a millisecond each.
fn median(mut call: impl FnMut()) -> f64 {
    let start = Instant::now();
    let mut runs = 0_u32;
    while start.elapsed().as_micros() < 20_000 {
        call();
        runs += 1;
    }
    let batch = (runs / 20).max(1);
    let mut times: Vec<f64> = (0..101)
        .map(|_| {
            let start = Instant::now();
            for _ in 0..batch {
                call();
            }
            start.elapsed().as_nanos() as f64 / f64::from(batch)
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn say(name: &str, what: &str, nanoseconds: f64) {
    println!("{name},{what},{nanoseconds:.1}");
}

fn questions(name: &str, fluid: &Fluid) {
    let t = Temperature::from_celsius(-10.0);
    say(name, "bubble at temperature", median(|| drop(black_box(fluid.bubble_at_temperature(black_box(t))))));
    say(name, "dew at temperature", median(|| drop(black_box(fluid.dew_at_temperature(black_box(t))))));
    let dew = fluid.dew_at_temperature(t).expect("a dew point");
    say(
        name,
        "bubble at pressure",
        median(|| drop(black_box(fluid.bubble_at_pressure(black_box(dew.pressure))))),
    );
    say(name, "dew at pressure", median(|| drop(black_box(fluid.dew_at_pressure(black_box(dew.pressure))))));
    let suction = fluid
        .state_at_pressure_temperature(
            dew.pressure,
            dew.temperature + TemperatureDifference::from_kelvin(20.0),
        )
        .expect("a state");
    let high = AbsolutePressure::from_pascal(4.0 * dew.pressure.pascal());
    let hot = fluid.state_at_pressure_entropy(high, suction.entropy).expect("a state");
    say(
        name,
        "gas at pressure and temperature",
        median(|| drop(black_box(fluid.state_at_pressure_temperature(black_box(high), hot.temperature)))),
    );
    say(
        name,
        "gas at pressure and entropy",
        median(|| drop(black_box(fluid.state_at_pressure_entropy(black_box(high), suction.entropy)))),
    );
    say(
        name,
        "gas at pressure and enthalpy",
        median(|| drop(black_box(fluid.state_at_pressure_enthalpy(black_box(high), hot.enthalpy)))),
    );
    let wet = fluid.state_at_pressure_quality(dew.pressure, Fraction::from_ratio(0.3)).expect("a state");
    say(
        name,
        "two phases at pressure and enthalpy",
        median(|| drop(black_box(fluid.state_at_pressure_enthalpy(black_box(dew.pressure), wet.enthalpy)))),
    );
    let table = fluid.saturation_table().expect("a table");
    // Many temperatures, so that no branch is learnt by heart.
    let temperatures: Vec<Temperature> =
        (0..1000).map(|k| Temperature::from_celsius(-40.0 + 0.09 * f64::from(k * 7 % 1000))).collect();
    let sum = |of: &dyn Fn(Temperature) -> f64| {
        let mut sum = 0.0;
        for t in &temperatures {
            sum += of(black_box(*t));
        }
        black_box(sum);
    };
    let pressure = |t: Temperature| table.dew_pressure(t).map_or(0.0, AbsolutePressure::pascal);
    say(name, "table: dew pressure at temperature", median(|| sum(&pressure)) / 1000.0);
    // The bare cost beside it: one exponential and a polynomial of the same degree.
    let powers: Vec<f64> = (0..8).map(|k| 1.0 / f64::from(k + 1)).collect();
    let powers: [f64; 8] = powers.try_into().expect("eight");
    let powers = black_box(powers);
    let bare = |t: Temperature| {
        let x = t.kelvin() * 1e-3;
        units::math::exp(powers.iter().rev().fold(0.0, |sum, power| sum * x + power))
    };
    say(name, "bare: exponential and polynomial", median(|| sum(&bare)) / 1000.0);
}

fn main() {
    for name in ["R-134a", "R-404A", "R-448A"] {
        questions(name, &refrigerant::find(name).expect("a known refrigerant").fluid());
    }
}
