//! Facts of the trade. Common practice, no source: each is what a technician would expect to read.

// A broken fact may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::charge::condensing_target;
use field::practice::{CONDENSER_SPLIT, EVAPORATOR_TD, SUPERHEAT_COOLER, SUPERHEAT_FREEZER, before_opening};
use field::saturation::{bubble, dew};
use field::split::{MeanVariant, condenser_split, evaporator_td};
use field::superheat::{VapourLine, superheat};
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, GaugePressure, Limit, Temperature, TemperatureDifference,
    Uncertain, Verdict,
};

fn psig(value: f64) -> Uncertain<AbsolutePressure> {
    Uncertain::exact(GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed()))
}
fn shown(pressure: AbsolutePressure) -> f64 {
    pressure.gauge(Atmosphere::sea_level_assumed()).psi().round()
}
fn fahrenheit(value: f64) -> Uncertain<Temperature> {
    Uncertain::exact(Temperature::from_fahrenheit(value))
}

#[test]
fn saturation_of_r_404a_to_the_whole_degree() {
    let fluid = table::fluid_named("R-404A");
    assert_eq!(dew(&fluid, &psig(124.0)).unwrap().0.value().fahrenheit().round(), 60.0);
    assert_eq!(bubble(&fluid, &psig(201.0)).unwrap().0.value().fahrenheit().round(), 89.0);
    let at = Temperature::from_fahrenheit(25.0);
    assert_eq!(shown(fluid.dew_at_temperature(at).unwrap().pressure), 62.0);
    assert_eq!(shown(fluid.bubble_at_temperature(at).unwrap().pressure), 63.0);
}

#[test]
fn a_clean_remote_unit_condenses_15_above_ambient() {
    let fluid = table::fluid_named("R-404A");
    let split = Uncertain::exact(CONDENSER_SPLIT);
    let target = condensing_target(&fluid, &fahrenheit(95.0), &split, None).unwrap();
    assert!((target.temperature.value().fahrenheit() - 110.0).abs() < 1e-9);
    let back = condenser_split(&fluid, &target.pressure, &fahrenheit(95.0)).unwrap();
    assert!((back.difference.value().fahrenheit() - 15.0).abs() < 1e-4);
    // In the cold a head-pressure control holds it higher: then the split says nothing.
    let held = Some(Temperature::from_fahrenheit(90.0));
    assert!(condensing_target(&fluid, &fahrenheit(30.0), &split, held).unwrap().held_by_control);
    assert!(!condensing_target(&fluid, &fahrenheit(95.0), &split, held).unwrap().held_by_control);
}

#[test]
fn a_walk_in_coil_runs_10_below_the_box() {
    let fluid = table::fluid_named("R-404A");
    let pressure =
        Uncertain::exact(fluid.dew_at_temperature(Temperature::from_fahrenheit(25.0)).unwrap().pressure);
    let td = evaporator_td(&fluid, &pressure, &fahrenheit(35.0), None).unwrap();
    assert!((td.difference.value() - EVAPORATOR_TD).kelvin().abs() < 1e-6);
    assert_eq!(td.mean, MeanVariant::NotNeeded);
}

#[test]
fn the_superheat_aimed_at() {
    let fluid = table::fluid_named("R-404A");
    let aim = |line: f64, u: f64, (low, high): (TemperatureDifference, TemperatureDifference)| {
        let probe = Doubt::new(Cause::Accuracy, "clamp");
        let line = Uncertain::new(Temperature::from_fahrenheit(line), probe, u);
        let found = superheat(&fluid, &psig(62.0), &line).unwrap();
        assert_eq!(found.line, VapourLine::Superheated);
        Limit::Between(low, high).judge(&found.superheat)
    };
    // 62 psig is 25 °F: a line of 33.5 °F has the superheat of a cooler.
    assert_eq!(aim(33.5, 0.02, SUPERHEAT_COOLER), Verdict::Inside);
    assert_eq!(aim(32.0, 0.02, SUPERHEAT_COOLER), Verdict::Outside);
    assert_eq!(aim(32.0, 0.02, SUPERHEAT_FREEZER), Verdict::Inside);
    // A clamp good to a degree cannot tell.
    assert!(matches!(aim(33.5, 0.3, SUPERHEAT_COOLER), Verdict::NotResolved { .. }));
}

#[test]
fn practice_never_stands_without_the_law() {
    let advice = before_opening();
    assert_eq!(advice.kept_above.psi(), 0.0);
    assert_eq!(advice.united_states_draw_to.psi(), 0.0);
    assert_eq!(advice.section, "40 CFR 82.156");
}

#[test]
fn usual_suction_pressures() {
    // Rounded figures that technicians know by heart; the R-448A ones by dew.
    for (name, rows) in [
        ("R-404A", &[(25.0, 62.0), (0.0, 33.0), (-10.0, 24.0), (-20.0, 16.0)][..]),
        ("R-448A", &[(25.0, 50.0), (0.0, 24.0), (-10.0, 16.0)][..]),
        ("R-134a", &[(25.0, 22.0)][..]),
    ] {
        let fluid = table::fluid_named(name);
        for &(at, gauge) in rows {
            let found = fluid.dew_at_temperature(Temperature::from_fahrenheit(at)).unwrap().pressure;
            let found = found.gauge(Atmosphere::sea_level_assumed()).psi();
            assert!((found - gauge).abs() < 0.6, "{name} at {at} °F: {found} psig, not {gauge}");
        }
    }
}
