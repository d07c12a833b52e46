//! How long the questions of every day take, by the full model and without a first guess.

use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use units::{AbsolutePressure, Fraction, Temperature, TemperatureDifference};

fn engine(c: &mut Criterion) {
    for name in ["R-134a", "R-404A", "R-448A"] {
        let fluid = refrigerant::find(name).expect("a known refrigerant").fluid();
        let t = Temperature::from_celsius(-10.0);
        c.bench_function(&format!("{name} bubble at temperature"), |b| {
            b.iter(|| fluid.bubble_at_temperature(black_box(t)));
        });
        c.bench_function(&format!("{name} dew at temperature"), |b| {
            b.iter(|| fluid.dew_at_temperature(black_box(t)));
        });
        let dew = fluid.dew_at_temperature(t).expect("a dew point");
        c.bench_function(&format!("{name} bubble at pressure"), |b| {
            b.iter(|| fluid.bubble_at_pressure(black_box(dew.pressure)));
        });
        c.bench_function(&format!("{name} dew at pressure"), |b| {
            b.iter(|| fluid.dew_at_pressure(black_box(dew.pressure)));
        });
        let suction = fluid
            .state_at_pressure_temperature(
                dew.pressure,
                dew.temperature + TemperatureDifference::from_kelvin(20.0),
            )
            .expect("a state");
        let high = AbsolutePressure::from_pascal(4.0 * dew.pressure.pascal());
        let discharge = fluid.state_at_pressure_entropy(high, suction.entropy).expect("a state");
        c.bench_function(&format!("{name} gas at pressure and temperature"), |b| {
            b.iter(|| fluid.state_at_pressure_temperature(black_box(high), discharge.temperature));
        });
        c.bench_function(&format!("{name} gas at pressure and entropy"), |b| {
            b.iter(|| fluid.state_at_pressure_entropy(black_box(high), suction.entropy));
        });
        c.bench_function(&format!("{name} gas at pressure and enthalpy"), |b| {
            b.iter(|| fluid.state_at_pressure_enthalpy(black_box(high), discharge.enthalpy));
        });
        let wet = fluid.state_at_pressure_quality(dew.pressure, Fraction::from_ratio(0.3)).expect("a state");
        c.bench_function(&format!("{name} two phases at pressure and enthalpy"), |b| {
            b.iter(|| fluid.state_at_pressure_enthalpy(black_box(dew.pressure), wet.enthalpy));
        });
    }
}

criterion_group!(benches, engine);
criterion_main!(benches);
