//! Settings of low-pressure controls against the saturation of real refrigerants.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::controls::{
    Conditions, ControlCheck, ControlJob, LowPressureControl, MissingFact, Rule, Standing,
    low_pressure_control,
};
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, GaugePressure, PressureDifference, SEA_LEVEL, Temperature,
    TemperatureDifference, Uncertain,
};

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}
fn fahrenheit(value: f64) -> Option<Uncertain<Temperature>> {
    Some(Uncertain::exact(Temperature::from_fahrenheit(value)))
}
fn setting(value: f64) -> Uncertain<AbsolutePressure> {
    let doubt = Doubt::new(Cause::Accuracy, "control scale");
    Uncertain::within(psig(value), doubt, PressureDifference::from_psi(0.5).pascal())
}
const NOTHING_KNOWN: Conditions = Conditions {
    coldest_place: None,
    lowest_saturated_suction: None,
    box_range: None,
    evaporator_td: None,
    deepest: None,
    bypass: false,
    outside: SEA_LEVEL,
};

fn check(name: &str, job: ControlJob, cut_in: f64, cut_out: f64, conditions: &Conditions) -> ControlCheck {
    let control = LowPressureControl { job, cut_in: setting(cut_in), cut_out: setting(cut_out) };
    low_pressure_control(&table::fluid_named(name), &control, conditions).unwrap()
}
fn standing(check: &ControlCheck, rule: Rule) -> Standing {
    check.findings.iter().find(|finding| finding.rule == rule).unwrap().standing.clone()
}

#[test]
fn an_outdoor_unit_at_minus_20_may_never_restart_at_25_psig() {
    // R-404A at -20 °F stands at 16 psig: a cut-in of 25 psig is not reached (common practice, no source).
    let winter = Conditions { coldest_place: fahrenheit(-20.0), ..NOTHING_KNOWN };
    let found = check("R-404A", ControlJob::PumpDown, 25.0, 5.0, &winter);
    assert_eq!(standing(&found, Rule::CutInReachedAtColdestPlace), Standing::Fails);
    let bridged = Conditions { bypass: true, ..winter.clone() };
    let found = check("R-404A", ControlJob::PumpDown, 25.0, 5.0, &bridged);
    assert_eq!(standing(&found, Rule::CutInReachedAtColdestPlace), Standing::BridgedByBypass);
    let found = check("R-404A", ControlJob::PumpDown, 12.0, 2.0, &winter);
    assert_eq!(standing(&found, Rule::CutInReachedAtColdestPlace), Standing::Holds);
    let found = check("R-404A", ControlJob::PumpDown, 16.1, 2.0, &winter);
    assert_eq!(standing(&found, Rule::CutInReachedAtColdestPlace), Standing::NotResolved);
}

#[test]
fn cut_out_must_lie_below_the_lowest_suction_and_be_reachable() {
    let conditions = Conditions {
        lowest_saturated_suction: fahrenheit(0.0),
        deepest: Some(psig(0.0)),
        coldest_place: fahrenheit(35.0),
        ..NOTHING_KNOWN
    };
    let good = check("R-404A", ControlJob::PumpDown, 40.0, 10.0, &conditions);
    assert!(good.findings.iter().all(|finding| finding.standing == Standing::Holds), "{:?}", good.findings);
    // 33 psig is saturation at 0 °F: a cut-out of 36 psig stops a running unit.
    let high = check("R-404A", ControlJob::PumpDown, 60.0, 36.0, &conditions);
    assert_eq!(standing(&high, Rule::CutOutBelowLowestSuction), Standing::Fails);
    let deep = check("R-404A", ControlJob::PumpDown, 40.0, -5.0, &conditions);
    assert_eq!(standing(&deep, Rule::CutOutReachable), Standing::Fails);
    assert_eq!(standing(&deep, Rule::CutOutAboveAtmosphere), Standing::Fails);
}

#[test]
fn a_box_held_by_pressure() {
    let conditions = Conditions {
        box_range: Some((Temperature::from_fahrenheit(34.0), Temperature::from_fahrenheit(38.0))),
        evaporator_td: Some(TemperatureDifference::from_fahrenheit(10.0)),
        coldest_place: fahrenheit(34.0),
        ..NOTHING_KNOWN
    };
    // R-134a: 38 °F is 33 psig, 24 °F is 21 psig.
    let good = check("R-134a", ControlJob::BoxTemperature, 29.0, 18.0, &conditions);
    assert_eq!(standing(&good, Rule::CutInStartsInTime), Standing::Holds);
    assert_eq!(standing(&good, Rule::CutOutReachesBox), Standing::Holds);
    assert!((good.suggested_cut_out.unwrap().psi() - psig(21.4).psi()).abs() < 0.6);
    let warm = check("R-134a", ControlJob::BoxTemperature, 40.0, 18.0, &conditions);
    assert_eq!(standing(&warm, Rule::CutInStartsInTime), Standing::Fails);
    assert!(warm.cut_in_means > Temperature::from_fahrenheit(38.0));
    let short = check("R-134a", ControlJob::BoxTemperature, 24.0, 18.0, &conditions);
    assert_eq!(standing(&short, Rule::Differential), Standing::Fails);
    assert!(short.findings.iter().find(|f| f.rule == Rule::Differential).unwrap().common_practice);
}

#[test]
fn what_is_not_known_is_asked_for() {
    let found = check("R-404A", ControlJob::Protection, 20.0, 10.0, &NOTHING_KNOWN);
    let missing = |rule, fact| assert_eq!(standing(&found, rule), Standing::NotKnown(fact));
    missing(Rule::CutInReachedAtColdestPlace, MissingFact::ColdestPlace);
    missing(Rule::CutOutBelowLowestSuction, MissingFact::LowestSaturatedSuction);
    missing(Rule::CutOutReachable, MissingFact::Deepest);
    let upside_down = check("R-404A", ControlJob::Protection, 10.0, 20.0, &NOTHING_KNOWN);
    assert_eq!(standing(&upside_down, Rule::CutInAboveCutOut), Standing::Fails);
}
