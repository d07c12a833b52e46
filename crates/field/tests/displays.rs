//! Two displays of one pressure.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::displays::{Candidate, Curve, Displays, Reconciled, reconcile};
use fluid::Fluid;
use table::fluid_named;
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, GaugePressure, PressureDifference, Temperature, Uncertain,
};

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}

/// A display of whole degrees Fahrenheit.
fn whole(value: f64) -> Uncertain<Temperature> {
    let doubt = Doubt::new(Cause::Resolution, format!("display of {value}"));
    Uncertain::within(Temperature::from_fahrenheit(value), doubt, 0.5 / 1.8)
}

fn gauge(p: AbsolutePressure, half_psi: f64) -> Uncertain<AbsolutePressure> {
    Uncertain::within(
        p,
        Doubt::new(Cause::Accuracy, "gauge"),
        PressureDifference::from_psi(half_psi).pascal(),
    )
}

fn between(own: (&str, &Fluid), others: &[(&str, &Fluid)], psi: f64, first: f64, second: f64) -> Reconciled {
    reconcile(&Displays {
        pressure: gauge(psig(psi), 0.5),
        drop: PressureDifference::from_pascal(0.0),
        first: whole(first),
        second: whole(second),
        own: Candidate { name: own.0, fluid: own.1, usual: true },
        others: others.iter().map(|(name, fluid)| Candidate { name, fluid, usual: true }).collect(),
    })
    .unwrap()
}

/// Board 23 °F against gauge 22 °F at one pressure of R-404A: one shows dew, the other bubble (common practice, no source).
#[test]
fn one_shows_dew_the_other_bubble() {
    let fluid = fluid_named("R-404A");
    let psi = fluid.dew_at_temperature(Temperature::from_fahrenheit(23.0)).unwrap().pressure;
    let psi = psi.gauge(Atmosphere::sea_level_assumed()).psi();
    let found = between(("R-404A", &fluid), &[], psi, 23.0, 22.0);
    let best = &found.explanations[0];
    assert_eq!((best.first.curve, best.second.curve), (Curve::Dew, Curve::Bubble));
    assert!(best.misfit < 0.5);
    // With R-448A the curves lie 11 °F apart, and nothing else is left.
    let glide = fluid_named("R-448A");
    let point = glide.dew_at_temperature(Temperature::from_fahrenheit(23.0)).unwrap();
    let bubble = glide.bubble_at_pressure(point.pressure).unwrap().temperature.fahrenheit().round();
    let psi = point.pressure.gauge(Atmosphere::sea_level_assumed()).psi();
    let found = between(("R-448A", &glide), &[], psi, 23.0, bubble);
    assert_eq!(found.explanations.len(), 1);
    assert_eq!(found.explanations[0].second.curve, Curve::Bubble);
    assert!((found.remains.value().kelvin() * 1.8 + 11.0).abs() < 1.5);
}

#[test]
fn a_display_set_to_another_refrigerant_is_named() {
    let (own, other) = (fluid_named("R-448A"), fluid_named("R-404A"));
    let p = own.dew_at_temperature(Temperature::from_fahrenheit(25.0)).unwrap().pressure;
    let wrong = other.dew_at_pressure(p).unwrap().temperature.fahrenheit().round();
    let psi = p.gauge(Atmosphere::sea_level_assumed()).psi();
    let found = between(("R-448A", &own), &[("R-404A", &other)], psi, 25.0, wrong);
    let best = &found.explanations[0];
    assert_eq!((best.first.refrigerant.as_str(), best.second.refrigerant.as_str()), ("R-448A", "R-404A"));
}

#[test]
fn what_no_curve_explains_remains_as_an_offset() {
    let fluid = fluid_named("R-134a");
    let p = fluid.dew_at_temperature(Temperature::from_fahrenheit(25.0)).unwrap().pressure;
    let psi = p.gauge(Atmosphere::sea_level_assumed()).psi();
    let found = between(("R-134a", &fluid), &[], psi, 25.0, 31.0);
    assert!(found.explanations.is_empty());
    assert!((found.remains.value().kelvin() - 6.0 / 1.8).abs() < 0.01);
    let found = between(("R-134a", &fluid), &[], psi, 25.0, 25.0);
    assert_eq!(found.explanations.len(), 1);
}

#[test]
fn a_line_drop_between_the_taps_is_no_fault() {
    let fluid = fluid_named("R-134a");
    let p = fluid.dew_at_temperature(Temperature::from_fahrenheit(25.0)).unwrap().pressure;
    let lower = fluid.dew_at_temperature(Temperature::from_fahrenheit(23.0)).unwrap().pressure;
    let mut displays = Displays {
        pressure: gauge(p, 0.2),
        drop: PressureDifference::from_pascal(0.0),
        first: whole(25.0),
        second: whole(23.0),
        own: Candidate { name: "R-134a", fluid: &fluid, usual: true },
        others: Vec::new(),
    };
    assert!(reconcile(&displays).unwrap().explanations.is_empty());
    displays.drop = PressureDifference::from_pascal(p.pascal() - lower.pascal());
    let found = reconcile(&displays).unwrap();
    assert_eq!(found.explanations.len(), 1);
    assert!(found.remains.value().kelvin().abs() < 1e-6);
}
