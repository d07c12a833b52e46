//! Ideal flow out of a vessel, against another program's states and against the formulas of an ideal gas.

#![allow(clippy::unwrap_used)]

use fluid::{FlowLimit, Fluid, OutflowError, Phase, State};
use refrigerant::{find, nitrogen};
use std::path::Path;
use units::math::{pow, sqrt};
use units::{AbsolutePressure, Fraction, Temperature};

const AIR: AbsolutePressure = AbsolutePressure::from_pascal(101_325.0);

fn fluid(name: &str) -> Fluid {
    if name == "nitrogen" { nitrogen() } else { find(name).unwrap().fluid() }
}

fn saturated(fluid: &Fluid, celsius: f64, quality: f64) -> State {
    let t = Temperature::from_celsius(celsius);
    fluid.state_at_temperature_quality(t, Fraction::from_ratio(quality)).unwrap()
}

fn single(fluid: &Fluid, pascal: f64, kelvin: f64) -> State {
    let p = AbsolutePressure::from_pascal(pascal);
    fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(kelvin)).unwrap()
}

/// The same maximisation with CoolProp's states, by another method for each step.
#[test]
fn both_bounds_agree_with_coolprop() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks/outflow.csv");
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.starts_with("# CoolProp 8.0.0"));
    let (mut even, mut ice) = (0, 0);
    for line in text.lines().skip(2) {
        let row: Vec<&str> = line.split(',').collect();
        let number = |k: usize| row[k].parse::<f64>().ok();
        let fluid = fluid(row[0]);
        let t = number(2).unwrap();
        let inside = match number(3) {
            Some(quality) => saturated(&fluid, t - 273.15, quality),
            None => single(&fluid, number(1).unwrap(), t),
        };
        let off = inside.pressure.pascal() / number(1).unwrap() - 1.0;
        assert!(off.abs() < 1e-6, "{line}: pressure inside off by {off:.1e}");
        let outside = AbsolutePressure::from_pascal(number(4).unwrap());
        let flow = fluid.outflow_in_equilibrium(&inside, outside).unwrap();
        let frozen = fluid.outflow_frozen(&inside, outside).unwrap();
        for (flow, flux, throat, count) in
            [(flow, number(5), number(6), &mut even), (frozen, number(7), number(8), &mut ice)]
        {
            let (Some(flux), Some(throat)) = (flux, throat) else { continue };
            let off = flow.flux / flux - 1.0;
            // A mixture's flash by pressure and entropy ends at a looser tolerance there (not traced further).
            let slack = if fluid.is_pure() { 5e-6 } else { 2e-5 };
            assert!(off.abs() < slack, "{line}: {} for {flux}, {off:.1e}", flow.flux);
            // The top is flat: the pressure is told less well than the flux.
            let off = flow.pressure.pascal() / throat - 1.0;
            assert!(off.abs() < 2e-4, "{line}: {} for {throat}, {off:.1e}", flow.pressure.pascal());
            assert!(!flow.by_exponent, "{line}");
            *count += 1;
        }
        assert!(frozen.flux >= flow.flux * (1.0 - 1e-9), "{line}: {} under {}", frozen.flux, flow.flux);
    }
    assert_eq!((even, ice), (29, 25));
}

/// p0 sqrt(g M / (R T)) (2/(g+1))^((g+1)/(2(g-1))), choked, and the nozzle law below that; any text on gas dynamics.
#[test]
fn thin_nitrogen_flows_as_an_ideal_gas() {
    let nitrogen = nitrogen();
    let inside = single(&nitrogen, 1e4, 300.0);
    let g = inside.cp.unwrap().joule_per_kilogram_kelvin() / inside.cv.unwrap().joule_per_kilogram_kelvin();
    let drive = 1e4 * sqrt(g * nitrogen.molar_mass() / (8.314_462_618 * 300.0));
    let choked = drive * pow(2.0 / (g + 1.0), (g + 1.0) / (2.0 * (g - 1.0)));
    for outside in [0.0, 1.0, 5_000.0] {
        let flow = nitrogen.outflow_in_equilibrium(&inside, AbsolutePressure::from_pascal(outside)).unwrap();
        assert!((flow.flux / choked - 1.0).abs() < 5e-5, "{outside}: {} for {choked}", flow.flux);
        let critical = 1e4 * pow(2.0 / (g + 1.0), g / (g - 1.0));
        assert!((flow.pressure.pascal() / critical - 1.0).abs() < 2e-4);
        assert_eq!(flow.limit, FlowLimit::SpeedOfSound);
    }
    let r = 0.8;
    let wanted = drive * sqrt(2.0 / (g - 1.0) * (pow(r, 2.0 / g) - pow(r, (g + 1.0) / g)));
    let flow = nitrogen.outflow_in_equilibrium(&inside, AbsolutePressure::from_pascal(8e3)).unwrap();
    assert!((flow.flux / wanted - 1.0).abs() < 5e-5, "{} for {wanted}", flow.flux);
    assert!(!flow.is_choked() && flow.pressure == AbsolutePressure::from_pascal(8e3));
}

/// Two ways to the same figure: flashes by pressure and entropy, and the vapour's own isentrope as one phase.
#[test]
fn superheated_vapour_flows_the_same_by_both_and_at_its_own_speed_of_sound() {
    for name in ["R-134a", "R-22", "R-290", "R-404A", "R-448A", "R-454C", "R-744"] {
        let fluid = fluid(name);
        let dew = fluid.dew_at_temperature(Temperature::from_celsius(-10.0)).unwrap();
        let inside = single(&fluid, dew.pressure.pascal(), dew.temperature.kelvin() + 60.0);
        let even = fluid.outflow_in_equilibrium(&inside, AIR).unwrap();
        let ice = fluid.outflow_frozen(&inside, AIR).unwrap();
        assert!((even.flux / ice.flux - 1.0).abs() < 1e-9, "{name}: {even:?} {ice:?}");
        if even.is_choked() {
            let throat = single(&fluid, even.pressure.pascal(), even.temperature.unwrap().kelvin());
            let w = throat.speed_of_sound.unwrap().metre_per_second();
            assert!((even.speed.metre_per_second() / w - 1.0).abs() < 1e-4, "{name}: {even:?} {w}");
        }
    }
}

/// A liquid cooled below its boiling point chokes where it begins to boil: Bernoulli as far as there.
#[test]
fn subcooled_liquid_chokes_where_it_begins_to_boil() {
    for name in ["R-134a", "R-404A", "R-448A", "R-744"] {
        let fluid = fluid(name);
        let warm = fluid.bubble_at_temperature(Temperature::from_celsius(5.0)).unwrap();
        let inside = single(&fluid, warm.pressure.pascal() * 1.5, 273.15);
        assert_eq!(inside.phase, Phase::Liquid);
        let flow = fluid.outflow_in_equilibrium(&inside, AIR).unwrap();
        assert_eq!(flow.limit, FlowLimit::Edge, "{name}: {flow:?}");
        assert!(flow.quality.is_none(), "{name}: {flow:?}");
        let edge = fluid.bubble_at_temperature(flow.temperature.unwrap()).unwrap();
        assert!((edge.pressure.pascal() / flow.pressure.pascal() - 1.0).abs() < 1e-6, "{name}: {flow:?}");
        let bernoulli = sqrt(
            2.0 * inside.density.kilogram_per_cubic_metre()
                * (inside.pressure.pascal() - flow.pressure.pascal()),
        );
        // Less by what the liquid expands on the way.
        let off = flow.flux / bernoulli - 1.0;
        assert!((-0.03..0.0).contains(&off), "{name}: {off}");
        // The outside pressure has no say; above the boiling pressure it has.
        let vacuum = fluid.outflow_in_equilibrium(&inside, AbsolutePressure::from_pascal(0.0)).unwrap();
        assert!((vacuum.flux / flow.flux - 1.0).abs() < 1e-6, "{name}: {vacuum:?}");
        let high = AbsolutePressure::from_pascal(0.5 * (inside.pressure.pascal() + flow.pressure.pascal()));
        let flow = fluid.outflow_in_equilibrium(&inside, high).unwrap();
        assert_eq!((flow.limit, flow.pressure), (FlowLimit::Outside, high), "{name}");
    }
}

/// Every refrigerant from every start has both bounds, in order, and between liquid and vapour.
#[test]
fn every_refrigerant_flows() {
    for refrigerant in refrigerant::all() {
        let name = refrigerant.designation();
        let fluid = refrigerant.fluid();
        let (t_end, _) = fluid.two_phase_end().unwrap();
        for part in [0.8, 0.9] {
            let celsius = part * t_end.kelvin() - 273.15;
            let mut last = f64::INFINITY;
            for quality in [0.0, 0.1, 0.6, 1.0] {
                let inside = saturated(&fluid, celsius, quality);
                let outside = AbsolutePressure::from_pascal(0.6 * inside.pressure.pascal());
                let even = fluid.outflow_in_equilibrium(&inside, outside);
                let even = even.unwrap_or_else(|e| panic!("{name} {celsius} {quality}: {e}"));
                let ice = fluid.outflow_frozen(&inside, outside);
                let ice = ice.unwrap_or_else(|e| panic!("{name} {celsius} {quality}: {e}"));
                assert!(even.flux > 0.0 && even.flux < last, "{name} {celsius} {quality}: {even:?}");
                // A vapour that condenses a little and dries again sets more energy free in equilibrium.
                let slack = if quality < 1.0 { 1e-6 } else { 1e-3 };
                assert!(ice.flux > even.flux * (1.0 - slack), "{name} {celsius} {quality}: {even:?} {ice:?}");
                assert!(even.pressure >= outside && even.pressure < inside.pressure);
                last = even.flux;
            }
        }
    }
}

#[test]
fn what_cannot_flow_says_why() {
    let fluid = fluid("R-744");
    let inside = saturated(&fluid, 10.0, 0.0);
    for flow in [
        fluid.outflow_in_equilibrium(&inside, inside.pressure),
        fluid.outflow_frozen(&inside, AbsolutePressure::from_pascal(9e6)),
    ] {
        assert!(matches!(flow, Err(OutflowError::NoDrive { .. })), "{flow:?}");
    }
    for bad in [-1.0, f64::NAN] {
        let flow = fluid.outflow_in_equilibrium(&inside, AbsolutePressure::from_pascal(bad));
        assert_eq!(flow, Err(OutflowError::NotANumber));
    }
    // Close to the triple point (517 kPa) the flow would choke among ice.
    let cold = saturated(&fluid, -56.0, 0.9);
    let flow = fluid.outflow_in_equilibrium(&cold, AIR);
    assert!(matches!(flow, Err(OutflowError::OutOfReach { why: Some(_), .. })), "{flow:?}");
}
