//! How often a hold test is wrong: tests drawn with known leaks, read by instruments with the errors they state.

use field::hold::{HoldTest, Verdict, Working, Zone, hold};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::fmt::Write as _;
use units::math::{cos, ln, sqrt};
use units::{
    AbsolutePressure, Cause, Density, Doubt, Duration, GaugePressure, MassFlow, PressureDifference,
    Temperature, Uncertain, Volume,
};

/// A table, and whether every limit in it holds.
pub struct Table {
    /// The table.
    pub text: String,
    /// Whether false alarms and misses stay at or below what is stated, within the draw's own scatter.
    pub holds: bool,
}

struct Case {
    litres: f64,
    psig: f64,
    hours: f64,
    u_kelvin: f64,
    u_psi: f64,
}

const CASES: &[Case] = &[
    Case { litres: 20.0, psig: 300.0, hours: 24.0, u_kelvin: 0.5, u_psi: 0.29 },
    Case { litres: 20.0, psig: 150.0, hours: 4.0, u_kelvin: 0.3, u_psi: 0.14 },
    Case { litres: 60.0, psig: 450.0, hours: 16.0, u_kelvin: 0.2, u_psi: 0.29 },
];

/// Draws `cases` tests of each kind without a leak, and as many with the smallest leak that the test says it sees.
pub fn table(cases: u64, seed: u64) -> Table {
    let mut text = String::from(
        "Tests drawn without a leak (false alarms), and with a leak that makes the smallest drop stated (misses). Errors of \
         both pressures and both temperatures are normal with the standard uncertainty stated; the true end temperature \
         lies up to 8 K from the start. Both are stated as 5 %. Drop held: how often the 95 % interval (k = 2) of the drop holds the \
         true one, over both.\n\n\
         | volume | start | hours | u(T) | u(p) | tests | false alarms | misses | drop held |\n|---|---|---|---|---|---|---|---|---|\n",
    );
    let mut holds = true;
    let nitrogen = refrigerant::nitrogen();
    let known = refrigerant::find("R-404A").expect("R-404A is known").fluid();
    for (number, case) in CASES.iter().enumerate() {
        let mut draw = ChaCha8Rng::seed_from_u64(seed.wrapping_add(number as u64));
        let (mut alarms, mut misses, mut held) = (0u64, 0u64, 0u64);
        for _ in 0..cases {
            for leaking in [false, true] {
                let (verdict, holds_drop) = one(case, &nitrogen, &known, leaking, &mut draw);
                alarms += u64::from(!leaking && verdict);
                misses += u64::from(leaking && !verdict);
                held += u64::from(holds_drop);
            }
        }
        let share = |count: u64| count as f64 / cases as f64;
        // Four standard deviations of a binomial share of 5 %.
        let scatter = 4.0 * sqrt(0.05 * 0.95 / cases as f64);
        holds &= (share(alarms) - 0.05).abs() <= 0.005 + scatter
            && (share(misses) - 0.05).abs() <= 0.005 + scatter
            && (share(held) / 2.0 - 0.95).abs() <= 0.01 + scatter;
        let _ = writeln!(
            text,
            "| {} L | {} psig | {} | {} K | {} psi | {cases} | {:.2} % | {:.2} % | {:.2} % |",
            case.litres,
            case.psig,
            case.hours,
            case.u_kelvin,
            case.u_psi,
            100.0 * share(alarms),
            100.0 * share(misses),
            50.0 * share(held)
        );
    }
    let _ = writeln!(text, "\nSeed {seed}, generator ChaCha8.");
    Table { text, holds }
}

/// Whether the test says "leaking", and whether the interval of its drop holds the true one.
fn one(
    case: &Case,
    gas: &fluid::Fluid,
    refrigerant: &fluid::Fluid,
    leaking: bool,
    draw: &mut ChaCha8Rng,
) -> (bool, bool) {
    let air = units::Atmosphere::sea_level_assumed();
    let p1 = GaugePressure::from_psi(case.psig).absolute(air);
    let t1 = Temperature::from_celsius(20.0);
    let t2 = Temperature::from_celsius(12.0 + 16.0 * uniform(draw));
    let start = gas.state_at_pressure_temperature(p1, t1).expect("nitrogen is a gas there");
    let tight = gas
        .state_at_density_temperature(
            Density::from_kilogram_per_cubic_metre(start.density.kilogram_per_cubic_metre()),
            t2,
        )
        .expect("nitrogen is a gas there")
        .pressure;
    let u_psi = PressureDifference::from_psi(case.u_psi).pascal();
    let read = |p: AbsolutePressure, of: &str, draw: &mut ChaCha8Rng| {
        let seen = AbsolutePressure::from_pascal(p.pascal() + u_psi * normal(draw));
        Uncertain::new(seen, Doubt::new(Cause::Resolution, of), u_psi)
    };
    let felt = |t: Temperature, of: &str, draw: &mut ChaCha8Rng| {
        let seen = Temperature::from_kelvin(t.kelvin() + case.u_kelvin * normal(draw));
        Uncertain::new(seen, Doubt::new(Cause::Placement, of), case.u_kelvin)
    };
    let mut test = HoldTest {
        gas,
        gas_viscosity: None,
        start: read(p1, "start pressure", draw),
        end: Uncertain::exact(tight),
        zones: vec![Zone {
            volume: None,
            start: felt(t1, "start temperature", draw),
            end: felt(t2, "end temperature", draw),
        }],
        volume: Some(Volume::from_litre(case.litres)),
        duration: Duration::from_hour(case.hours),
        since_filling: Some(Duration::from_hour(1.0)),
        liquid_present: Some(false),
        outside: air.pressure,
        working: Some(Working {
            refrigerant,
            pressure: GaugePressure::from_psi(200.0).absolute(air),
            temperature: None,
            viscosity: None,
        }),
        wanted: Some(MassFlow::from_kilogram_per_year(1e6)),
    };
    let mut end = read(tight, "end pressure", draw);
    let mut truth = 0.0;
    if leaking {
        test.end = end.clone();
        let drop = hold(&test).expect("the test can be worked out").smallest_drop;
        truth = drop.pascal();
        end = Uncertain::new(end.value() - drop, Doubt::new(Cause::Resolution, "end pressure"), u_psi);
    }
    test.end = end;
    let found = hold(&test).expect("the test can be worked out");
    let (low, high) = found.drop.interval(2.0);
    (matches!(found.verdict, Verdict::Leaking), low.pascal() <= truth && truth <= high.pascal())
}

pub fn uniform(draw: &mut ChaCha8Rng) -> f64 {
    (draw.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

pub fn normal(draw: &mut ChaCha8Rng) -> f64 {
    let (a, b) = (1.0 - uniform(draw), uniform(draw));
    sqrt(-2.0 * ln(a)) * cos(2.0 * core::f64::consts::PI * b)
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_seeded_sample_keeps_what_is_stated() {
        let table = super::table(1500, 7);
        assert!(table.holds, "{}", table.text);
    }
}
