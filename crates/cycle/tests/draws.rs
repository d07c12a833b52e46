//! Random systems with random faults: every one has a steady state or says which bound stopped it.
#![allow(clippy::unwrap_used)]

use cycle::{
    Compressor, Head, Metering, Receiver, Reserve, Surroundings, System, Table, Void, Volumes, steady,
};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

struct Dice(ChaCha8Rng);

impl Dice {
    fn one(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }
    fn between(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.one()
    }
    fn maybe(&mut self, chance: f64, a: f64, b: f64, otherwise: f64) -> f64 {
        let (hit, value) = (self.one() < chance, self.between(a, b));
        if hit { value } else { otherwise }
    }
}

fn drawn(d: &mut Dice) -> (System, Surroundings) {
    let freezer = d.one() < 0.4;
    let box_air = if freezer { d.between(246.0, 256.0) } else { d.between(271.0, 283.0) };
    let ambient = d.between(253.0, 316.0).max(box_air - 8.0);
    let size = d.between(0.4, 2.5);
    let receiver = (d.one() < 0.7).then_some(Receiver { volume: 0.014 * size, outlet: 0.05, full: 0.97 });
    let set = d.between(293.0, 306.0);
    let head = [Head::Free, Head::Flooding(set), Head::Fans(set)][(d.one() * 3.0) as usize];
    let system = System {
        compressor: Compressor::Laws {
            swept: size * if freezer { 0.004 } else { 0.0024 },
            clearance: d.between(0.0, 0.08),
            efficiency: [d.between(0.45, 0.7), d.between(-0.05, 0.1), -0.03],
        },
        valve_leak: d.maybe(0.2, 0.0, 0.5, 0.0),
        power_to_gas: d.between(0.8, 1.0),
        condenser_ua: size * d.between(600.0, 1500.0) * d.maybe(0.2, 0.3, 1.0, 1.0),
        condenser_air: size * d.between(900.0, 2000.0),
        evaporator_ua: size * d.between(600.0, 1400.0) * d.maybe(0.2, 0.2, 1.0, 1.0),
        evaporator_air: size * d.between(800.0, 1800.0),
        metering: if d.one() < 0.2 { Metering::Orifice } else { Metering::Superheat(d.between(0.5, 10.0)) },
        valve: size * d.between(0.5e-6, 3e-6) * d.maybe(0.2, 0.1, 1.0, 1.0),
        liquid_loss: d.maybe(0.3, 0.0, 6e11, 0.0) / (size * size),
        suction_loss: d.between(0.0, 0.08),
        suction_gain: d.between(0.0, 20.0),
        subcooling: d.between(0.0, 4.0),
        head,
        receiver,
        volumes: Volumes {
            condenser: 0.006 * size,
            evaporator: 0.006 * size,
            liquid_line: 0.0025 * size,
            suction: 0.008 * size,
        },
        charge: Some(size * if receiver.is_some() { d.between(2.0, 22.0) } else { d.between(1.5, 9.0) }),
        non_condensable: d.maybe(0.2, 0.0, 5e5, 0.0),
        void: [Void::Zivi, Void::Homogeneous, Void::Rigot][(d.one() * 3.0) as usize],
    };
    let system = system
        .with_condenser_air(d.maybe(0.2, 0.15, 1.0, 1.0))
        .with_evaporator_air(d.maybe(0.2, 0.15, 1.0, 1.0));
    (system, Surroundings { box_air, ambient })
}

#[test]
fn every_draw_has_a_state() {
    let cases = std::env::var("CYCLE_DRAWS").ok().and_then(|n| n.parse().ok()).unwrap_or(6_000);
    let tables: Vec<Table> = ["R-404A", "R-448A", "R-134a"]
        .map(|name| Table::new(&refrigerant::find(name).unwrap().fluid()).unwrap())
        .into();
    let mut d = Dice(ChaCha8Rng::seed_from_u64(20_261_125));
    let (mut limited, mut off, mut stopped) = (0, 0, [0; 5]);
    for case in 0..cases {
        let (system, at) = drawn(&mut d);
        let s = steady(&tables[case % 3], &system, &at, None);
        let numbers = [
            s.evaporating,
            s.condensing,
            s.suction_pressure,
            s.discharge_pressure,
            s.superheat,
            s.quality,
            s.discharge_temperature,
            s.mass_flow,
            s.capacity,
            s.power,
            s.charge,
            s.air_off_condenser,
        ];
        assert!(numbers.iter().all(|n| n.is_finite()), "case {case}: {s:?} of {system:?} at {at:?}");
        if let Some(limit) = s.limit {
            limited += 1;
            stopped[limit as usize] += 1;
            continue;
        }
        assert!(s.mass_flow > 0.0 && s.power > 0.0, "case {case}: {s:?} of {system:?}");
        // In balance: what is rejected leaves with the air, and the charge is all there.
        let Some(charge) = system.charge else { unreachable!() };
        let there = (s.charge / charge - 1.0).abs() < 2e-3;
        if !there && !matches!(s.reserve, Reserve::NotAsked) {
            off += 1;
            if off < 6 {
                println!("case {case}: {} of {charge}: {:?} {:?} {:?}", s.charge, s.reserve, s.hold, at);
            }
        }
    }
    println!(
        "{cases} draws: {limited} stopped at a bound (head, suction, charge, empty, jump: {stopped:?}), {off} off their charge"
    );
    assert_eq!(off, 0);
    assert!(stopped[4] * 100 < cases, "jumps: {}", stopped[4]);
}
