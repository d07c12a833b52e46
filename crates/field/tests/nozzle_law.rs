//! The nozzle law with cp/cv and Z of the vapour's state, against the isentrope of the equation of state.

#![allow(clippy::unwrap_used)]

use field::leak::{Gas, orifice_flow};
use std::fmt::Write;
use std::path::Path;
use units::{Fraction, SEA_LEVEL, Temperature};

const NAMES: [&str; 6] = ["R-134a", "R-22", "R-404A", "R-448A", "R-290", "R-744"];

/// Returns by how many percent the law lies above the equilibrium flow and above the frozen flow of saturated vapour.
fn off(name: &str, celsius: f64) -> Option<[f64; 2]> {
    let fluid = refrigerant::find(name).unwrap().fluid();
    let t = Temperature::from_celsius(celsius);
    let inside = fluid.state_at_temperature_quality(t, Fraction::from_ratio(1.0)).ok()?;
    let gas = Gas::of(&fluid, inside.pressure, None).unwrap();
    let law = orifice_flow(&gas, SEA_LEVEL, Fraction::from_ratio(1.0)).unwrap().flux;
    let even = fluid.outflow_in_equilibrium(&inside, SEA_LEVEL).unwrap().flux;
    let ice = fluid.outflow_frozen(&inside, SEA_LEVEL).unwrap().flux;
    Some([100.0 * (law / even - 1.0), 100.0 * (law / ice - 1.0)])
}

/// The table of `docs/engine.md`, figure by figure.
#[test]
fn the_table_of_the_documentation_is_what_is_computed() {
    let mut table = String::new();
    for name in NAMES {
        let cells: Vec<String> = [-15.0, 5.0, 25.0, 45.0]
            .iter()
            .map(|celsius| {
                off(name, *celsius).map_or("–".to_owned(), |[even, ice]| format!("{even:+.1} / {ice:+.1}"))
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

/// What `docs/engine.md` says of the isentropic exponent in the place of cp/cv.
#[test]
fn with_the_isentropic_exponent_the_law_is_near() {
    let mut farthest: f64 = 0.0;
    for name in NAMES {
        let fluid = refrigerant::find(name).unwrap().fluid();
        for celsius in [-15.0, 5.0, 25.0, 45.0] {
            let t = Temperature::from_celsius(celsius);
            let Ok(inside) = fluid.state_at_temperature_quality(t, Fraction::from_ratio(1.0)) else {
                continue;
            };
            let mut gas = Gas::of(&fluid, inside.pressure, None).unwrap();
            let vapour = fluid.state_at_density_temperature(gas.density, gas.temperature).unwrap();
            let w = vapour.speed_of_sound.unwrap().metre_per_second();
            gas.heat_capacity_ratio = gas.density.kilogram_per_cubic_metre() * w * w / gas.pressure.pascal();
            let law = orifice_flow(&gas, SEA_LEVEL, Fraction::from_ratio(1.0)).unwrap().flux;
            let off = law / fluid.outflow_in_equilibrium(&inside, SEA_LEVEL).unwrap().flux - 1.0;
            if name == "R-744" {
                assert!((0.05..0.165).contains(&off), "{name} {celsius}: {off}");
            } else {
                farthest = farthest.max(off.abs());
            }
        }
    }
    assert!((0.013..0.0145).contains(&farthest), "{farthest}");
}
