//! How long a diagnosis takes: twelve readings of a walk-in in its summer, healthy, short of charge, and with a dirty
//! condenser, against what a proved visit in spring left.

use criterion::{Criterion, criterion_group, criterion_main};
use cycle::{Head, Surroundings, System, Table, steady};
use diagnosis::fault::{Belief, KINDS, Kind, Plate, Reading, diagnose, proved};
use std::hint::black_box;

/// What the model itself shows of a system, with usual spreads.
fn shown(table: &Table, system: &System, at: Surroundings) -> Vec<Reading> {
    let s = steady(table, system, &at, None);
    let bubbles = f64::from(u8::from(s.quality > 0.02));
    let values = [
        s.suction_pressure,
        s.discharge_pressure,
        s.suction_temperature,
        s.liquid_temperature,
        s.discharge_temperature,
        s.air_off_coil,
        s.air_off_condenser,
        s.liquid_after,
        s.power,
        bubbles,
        1.0,
        1.0,
    ];
    let sd = |kind: Kind, value: f64| match kind {
        Kind::Low | Kind::High | Kind::Power => 0.015 * value,
        _ => 0.9,
    };
    KINDS
        .iter()
        .zip(values)
        .map(|(kind, value)| Reading { kind: *kind, value, sd: sd(*kind, value) })
        .collect()
}

fn bench(criterion: &mut Criterion) {
    let Some(refrigerant) = refrigerant::find("R-448A") else { return };
    let fluid = refrigerant.fluid();
    criterion.bench_function("table of a blend", |b| b.iter(|| Table::new(black_box(&fluid)).is_ok()));
    let Ok(table) = Table::new(&fluid) else { return };
    for receiver in [Some(0.014), None] {
        let plate = Plate {
            capacity: 6000.0,
            evaporating: 267.0,
            condensing: 313.0,
            coil_difference: 8.0,
            split: 10.0,
            superheat: 6.0,
            head: Head::Fans(301.0),
            receiver,
            charge: receiver.map(|_| 12.0),
        };
        let system = plate.system(&table);
        let (spring, summer) = (
            Surroundings { box_air: 275.0, ambient: 290.0 },
            Surroundings { box_air: 276.0, ambient: 305.0 },
        );
        let before = shown(&table, &system, spring);
        let has = if receiver.is_some() { "receiver" } else { "no receiver" };
        criterion.bench_function(&format!("a proved visit, {has}"), |b| {
            b.iter(|| proved(&table, &system, spring, black_box(&before)));
        });
        let belief: Belief = proved(&table, &system, spring, &before);
        let mut short = system;
        short.charge = short.charge.map(|charge| 0.4 * charge);
        let mut dirty = system;
        dirty.condenser_ua *= 0.5;
        for (what, system_now) in [("healthy", system), ("short", short), ("dirty condenser", dirty)] {
            let now = shown(&table, &system_now, summer);
            criterion.bench_function(&format!("a diagnosis, {has}, {what}"), |b| {
                b.iter(|| diagnose(&table, &system, &belief, summer, black_box(&now)));
            });
        }
        criterion.bench_function(&format!("a steady state, {has}"), |b| {
            b.iter(|| steady(&table, black_box(&system), &summer, None));
        });
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
