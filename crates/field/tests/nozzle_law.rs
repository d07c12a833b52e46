//! The law of a hole with n = rho w^2/p of the vapour where it stands, against the isentrope of the equation of state; and
//! what cp/cv in its place would give.

#![allow(clippy::unwrap_used)]

use field::leak::{Gas, LeakError, critical_pressure_ratio, orifice_flow};
use fluid::Fluid;
use std::fmt::Write;
use std::path::Path;
use units::{AbsolutePressure, Fraction, SEA_LEVEL, Temperature};

const NAMES: [&str; 6] = ["R-134a", "R-22", "R-404A", "R-448A", "R-290", "R-744"];
const CELSIUS: [f64; 4] = [-15.0, 5.0, 25.0, 45.0];
const WHOLE: Fraction = Fraction::from_ratio(1.0);

/// By how many percent the law lies above a flow of saturated vapour.
struct Off {
    equilibrium: f64,
    frozen: f64,
    /// Above equilibrium, with cp/cv for the exponent.
    by_heat_capacities: f64,
}

fn off(fluid: &Fluid, celsius: f64) -> Option<Off> {
    let t = Temperature::from_celsius(celsius);
    let inside = fluid.state_at_temperature_quality(t, WHOLE).ok()?;
    let gas = Gas::of(fluid, inside.pressure, None).unwrap();
    let vapour = fluid.state_at_density_temperature(gas.density, gas.temperature).unwrap();
    let ratio =
        vapour.cp.unwrap().joule_per_kilogram_kelvin() / vapour.cv.unwrap().joule_per_kilogram_kelvin();
    let law = |gas: &Gas| orifice_flow(gas, SEA_LEVEL, WHOLE).unwrap().flux;
    let equilibrium = fluid.outflow_in_equilibrium(&inside, SEA_LEVEL).unwrap().flux;
    let frozen = fluid.outflow_frozen(&inside, SEA_LEVEL).unwrap().flux;
    Some(Off {
        equilibrium: 100.0 * (law(&gas) / equilibrium - 1.0),
        frozen: 100.0 * (law(&gas) / frozen - 1.0),
        by_heat_capacities: 100.0 * (law(&Gas { isentropic_exponent: ratio, ..gas }) / equilibrium - 1.0),
    })
}

/// The table of `docs/engine.md`, figure by figure, and the sentence beside it.
#[test]
fn the_table_of_the_documentation_is_what_is_computed() {
    let mut table = String::new();
    for name in NAMES {
        let fluid = refrigerant::find(name).unwrap().fluid();
        let cells: Vec<String> = CELSIUS
            .iter()
            .map(|celsius| {
                let Some(off) = off(&fluid, *celsius) else { return "–".to_owned() };
                if name == "R-744" {
                    assert!((5.0..16.5).contains(&off.equilibrium), "{name} {celsius}: {}", off.equilibrium);
                    assert!(off.frozen.abs() < 0.65, "{name} {celsius}: {}", off.frozen);
                } else {
                    assert!(off.equilibrium.abs() < 1.45, "{name} {celsius}: {}", off.equilibrium);
                }
                format!("{:+.1} / {:+.1} ({:+.1})", off.equilibrium, off.frozen, off.by_heat_capacities)
                    .replace('-', "−")
            })
            .collect();
        writeln!(table, "| {name} | {} |", cells.join(" | ")).unwrap();
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/engine.md");
    let text = std::fs::read_to_string(path).unwrap();
    for row in table.lines() {
        assert!(text.contains(row), "{row} is not in docs/engine.md; all rows:\n{table}");
    }
}

/// Up to the critical point the exponent falls below one; the law goes through one without a step.
#[test]
fn the_law_has_an_answer_on_both_sides_of_an_exponent_of_one() {
    let fluid = refrigerant::find("R-404A").unwrap().fluid();
    let of = |celsius: f64| {
        let dew = fluid.dew_at_temperature(Temperature::from_celsius(celsius)).unwrap();
        Gas::of(&fluid, dew.pressure, None).unwrap()
    };
    assert!(of(-40.0).isentropic_exponent > 1.0 && of(45.0).isentropic_exponent < 1.0);
    let gas = of(45.0);
    let flux = |exponent: f64, outside: f64| {
        let gas = Gas { isentropic_exponent: exponent, ..gas };
        orifice_flow(&gas, AbsolutePressure::from_pascal(outside), WHOLE).unwrap().flux
    };
    assert!((critical_pressure_ratio(1.0) - units::math::exp(0.5)).abs() < 1e-15);
    let p = gas.pressure.pascal();
    // p ~ rho: choked at G^2 = p rho/e, and below that 2 p rho r^2 ln(1/r).
    let sonic = units::math::sqrt(p * gas.density.kilogram_per_cubic_metre() / units::math::exp(1.0));
    assert!((flux(1.0, 0.0) / sonic - 1.0).abs() < 1e-14);
    for outside in [0.0, 0.7 * p, 0.95 * p] {
        let middle = flux(1.0, outside);
        for step in [1e-3, 1e-6, 1e-9, 1e-12, 1e-15] {
            let (below, above) = (flux(1.0 - step, outside), flux(1.0 + step, outside));
            assert!(below <= middle * (1.0 + 1e-14) && middle <= above * (1.0 + 1e-14), "{outside} {step}");
            assert!((above / below - 1.0).abs() < 1.5 * step + 1e-14, "{outside} {step}");
        }
    }
    let none = Gas { isentropic_exponent: 0.0, ..gas };
    assert!(matches!(orifice_flow(&none, SEA_LEVEL, WHOLE), Err(LeakError::Parameter(_))));
}

/// Close to the end of the curve the law still answers, and goes on rising with the pressure.
#[test]
fn up_to_the_end_of_the_curve_there_is_an_answer() {
    for (name, end) in [("R-134a", 101.0), ("R-404A", 71.5), ("R-744", 30.9)] {
        let fluid = refrigerant::find(name).unwrap().fluid();
        let mut last = 0.0;
        for step in 0..40 {
            let celsius = end - 0.5 * f64::from(40 - step);
            let dew = fluid.dew_at_temperature(Temperature::from_celsius(celsius)).unwrap();
            let gas = Gas::of(&fluid, dew.pressure, None).unwrap();
            let flux = orifice_flow(&gas, SEA_LEVEL, WHOLE).unwrap().flux;
            assert!(flux > last, "{name} {celsius} °C: {flux} after {last}");
            last = flux;
        }
    }
}
