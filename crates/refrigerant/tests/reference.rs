//! Every refrigerant against the grids made from CoolProp; no row is left out in silence.

// The helpers belong to tests too.
#![allow(clippy::unwrap_used)]

use std::fmt::Write as _;
use std::path::Path;
use units::{AbsolutePressure, SpecificEntropy, Temperature};

/// Returns the rows of a file of `data/checks`, without comments and the head.
fn rows(file: &str) -> Vec<Vec<String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks").join(file);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.starts_with("# CoolProp 8.0.0"), "the version of the reference");
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

fn fluid(name: &str) -> fluid::Fluid {
    if name == "nitrogen" { refrigerant::nitrogen() } else { refrigerant::find(name).unwrap().fluid() }
}

/// Largest relative difference in pressures and densities of saturation.
const SATURATION: f64 = 1e-6;

/// Largest relative difference in caloric properties.
const CALORIC: f64 = 2e-5;

/// Returns by how much more the caloric properties of a blend may differ, as the reference itself does.
///
/// In a mixture the reference evaluates a component's ideal part at its critical temperature over T, in a pure fluid at
/// its reducing temperature over T, as the equation wants. For R-134a these are 374.21 K and 374.18 K: the ideal heat
/// capacity of R-134a with a trace of another component is 5.1e-5 (cp) and 5.7e-5 (cv) below that of R-134a alone. Here
/// the reducing temperature holds in mixtures too.
fn reference_offset(name: &str) -> f64 {
    let parts = refrigerant::find(name).map_or(&[][..], |r| r.composition());
    if parts.len() < 2 {
        return 0.0;
    }
    6e-5 * parts.iter().filter(|(component, _)| *component == "R-134a").map(|(_, w)| w).sum::<f64>()
}

/// Blends whose liquid, by the equations, parts in two in the cold: the engine says so rather than give a pressure.
const PART_IN_TWO: [&str; 2] = ["R-437A", "R-504"];

#[test]
fn saturation_agrees_with_coolprop() {
    let (mut asked, mut absent, mut compared) = (0, 0, 0);
    let mut parted = 0;
    let mut failed = String::new();
    let mut missing = String::new();
    let mut worst = (0.0, String::new());
    for row in rows("coolprop_saturation.csv") {
        let name = row[0].as_str();
        let fluid = fluid(name);
        let t: f64 = row[1].parse().unwrap();
        let at = Temperature::from_kelvin(t);
        let bubble = fluid.bubble_at_temperature(at).map(|b| (b.pressure, b.density));
        let dew = fluid.dew_at_temperature(at).map(|d| (d.pressure, d.density));
        for (side, own, wanted) in [("bubble", bubble, &row[2..4]), ("dew", dew, &row[4..6])] {
            asked += 1;
            // A cold start may not fail even where the reference does.
            let (pressure, density) = match own {
                Ok(own) => own,
                // The reference does not ask whether its liquid would part in two; by the tangent plane these do, below some -50 °C.
                Err(fluid::FluidError::TwoLiquids)
                    if side == "bubble" && t < 223.15 && PART_IN_TWO.contains(&name) =>
                {
                    parted += 1;
                    continue;
                }
                Err(error) => {
                    writeln!(failed, "{name} {side} {t} K: {error:?}").unwrap();
                    continue;
                }
            };
            if wanted[0] == "failed" {
                absent += 1;
                writeln!(missing, "{name} {side} {t} K").unwrap();
                continue;
            }
            compared += 1;
            let values = [
                ("p", pressure.pascal(), &wanted[0]),
                ("rho", density.kilogram_per_cubic_metre(), &wanted[1]),
            ];
            for (what, own, wanted) in values {
                let wanted: f64 = wanted.parse().unwrap();
                let off = (own / wanted - 1.0).abs();
                if off > worst.0 {
                    worst = (off, format!("{name} {side} {what} {t} K"));
                }
                if off > SATURATION {
                    writeln!(failed, "{name} {side} {what} {t} K: {own} for {wanted}, {off:.1e}").unwrap();
                }
            }
        }
    }
    println!("{compared} points compared, {absent} of {asked} not given by the reference:\n{missing}");
    println!("largest relative difference {:.1e}: {}", worst.0, worst.1);
    assert!(failed.is_empty(), "\n{failed}");
    assert!(parted <= 2, "{parted} bubble points refused as two liquids");
    assert!(compared > 2000, "only {compared} rows");
    assert!(absent * 20 <= asked, "the reference gives too little: {absent} of {asked} absent");
}

#[test]
fn caloric_properties_agree_with_coolprop() {
    let rows = rows("coolprop_caloric.csv");
    let (mut absent, mut compared) = (0, 0);
    let mut failed = String::new();
    let mut worst = (0.0, String::new());
    for three in rows.chunks(3) {
        let name = three[0][0].as_str();
        let fluid = fluid(name);
        let mut origin = None;
        for row in three {
            if row[2] == "failed" {
                absent += 1;
                println!("not given by the reference: {name} {}", row[1]);
                continue;
            }
            compared += 1;
            let wanted: Vec<f64> = row[2..].iter().map(|x| x.parse().unwrap()).collect();
            let p = AbsolutePressure::from_pascal(wanted[1]);
            let state = fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(wanted[0])).unwrap();
            let (h, s) = (state.enthalpy.joule_per_kilogram(), state.entropy.joule_per_kilogram_kelvin());
            let (h0, s0) = *origin.get_or_insert((h, s));
            let scale_s = state.cp.unwrap().joule_per_kilogram_kelvin();
            let scale_h = scale_s * 10.0;
            let mut values = vec![
                ("rho", state.density.kilogram_per_cubic_metre(), wanted[2], wanted[2]),
                // Differences near nothing are measured by the enthalpy of 10 K and the entropy of 1 K at 1 K.
                ("dh", h - h0, wanted[3], wanted[3].abs().max(scale_h)),
                ("ds", s - s0, wanted[4], wanted[4].abs().max(scale_s / 10.0)),
                ("cp", scale_s, wanted[5], wanted[5]),
                ("cv", state.cv.unwrap().joule_per_kilogram_kelvin(), wanted[6], wanted[6]),
                ("w", state.speed_of_sound.unwrap().metre_per_second(), wanted[7], wanted[7]),
            ];
            if row[1] == "discharge" {
                let entropy = SpecificEntropy::from_joule_per_kilogram_kelvin(s0);
                let hot = fluid.state_at_pressure_entropy(p, entropy).unwrap();
                values.push(("isentropic T", hot.temperature.kelvin(), wanted[0], wanted[0]));
            }
            for (what, own, wanted, scale) in values {
                let off = ((own - wanted) / scale).abs();
                if off > worst.0 && reference_offset(name) == 0.0 {
                    worst = (off, format!("{name} {} {what}", row[1]));
                }
                if off > CALORIC + reference_offset(name) {
                    writeln!(failed, "{name} {} {what}: {own} for {wanted}, {off:.1e}", row[1]).unwrap();
                }
            }
        }
    }
    println!("{compared} states compared, {absent} not given by the reference");
    println!("largest relative difference without R-134a in a blend {:.1e}: {}", worst.0, worst.1);
    assert!(failed.is_empty(), "\n{failed}");
    assert!(compared > 300, "only {compared} states");
    assert!(absent * 20 <= rows.len(), "the reference gives too little: {absent} of {}", rows.len());
}
