//! Head, starts and defrost through the year.

#![allow(clippy::unwrap_used)]

use field::seasons::{
    DefrostAsked, DefrostFound, FansAndValve, MOST_STARTS, between_stops, defrost, fans_and_valve,
    head_through_year,
};
use proptest::prelude::*;
use units::{Atmosphere, Duration, Fraction, GaugePressure, Temperature, TemperatureDifference, Volume};

fn f(value: f64) -> Temperature {
    Temperature::from_fahrenheit(value)
}

fn psig(psi: f64) -> units::AbsolutePressure {
    GaugePressure::from_psi(psi).absolute(Atmosphere::sea_level_assumed())
}

/// The flooding example of the trade reference: 90 °F, 15 °F of split: the head floats from 75 °F of air up.
#[test]
fn a_head_setting_holds_below_the_setting_less_the_split() {
    let fluid = refrigerant::find("R-404A").unwrap().fluid();
    let split = TemperatureDifference::from_fahrenheit(15.0);
    let found = head_through_year(&fluid, f(90.0), split, f(25.0), f(95.0)).unwrap();
    assert!((found.holds_below.fahrenheit() - 75.0).abs() < 1e-9);
    assert!((found.condensing_hottest.fahrenheit() - 110.0).abs() < 1e-9);
    // By hand: (204 - 62) and (272 - 62) psi across the valve, R-404A of published tables.
    let hand = ((204.0_f64 - 62.0) / (272.0 - 62.0)).sqrt();
    assert!((found.valve_passes.ratio() - hand).abs() < 0.02, "{found:?} {hand}");
    // Where even the hottest air is below, the head never floats and the valve always sees the setting.
    let cold = head_through_year(&fluid, f(90.0), split, f(25.0), f(60.0)).unwrap();
    assert!((cold.valve_passes.ratio() - 1.0).abs() < 1e-12);
}

#[test]
fn fans_go_before_the_valve() {
    assert_eq!(fans_and_valve(psig(240.0), psig(200.0), psig(180.0)), FansAndValve::FansFirst);
    assert_eq!(fans_and_valve(psig(210.0), psig(170.0), psig(180.0)), FansAndValve::ValveFirst);
    assert_eq!(fans_and_valve(psig(170.0), psig(200.0), psig(180.0)), FansAndValve::Reversed);
}

#[test]
fn what_comes_in_between_two_stops_is_the_vapour_that_was_taken_out() {
    let fluid = refrigerant::find("R-404A").unwrap().fluid();
    let found = between_stops(&fluid, Volume::from_litre(20.0), f(40.0), psig(10.0), psig(25.0)).unwrap();
    // Of an ideal gas: 97.6 g/mol, 15 psi in 20 L at 277.6 K. The real one takes a tenth more: Z is 0.93 and falls as it rises.
    let ideal = 0.0976 * 15.0 * 6894.757 * 0.020 / (8.314_462 * 277.6);
    let more = found.mass.kilogram() / ideal;
    assert!(more > 1.05 && more < 1.15, "{more}");
    let hour = found.may_come_in.kilogram_per_second() * 3600.0;
    assert!((hour - MOST_STARTS * found.mass.kilogram()).abs() < 1e-12);
}

#[test]
fn a_defrost_by_its_settings() {
    let celsius = Temperature::from_celsius;
    let minutes = |m: f64| Some(Duration::from_second(60.0 * m));
    let cooler = DefrostAsked {
        by_air: Some(true),
        box_air: Some(celsius(2.0)),
        evaporating: Some(celsius(-4.0)),
        interval: minutes(360.0),
        length: minutes(30.0),
        end: None,
        runs: Some(Fraction::from_ratio(0.6)),
    };
    let day = DefrostFound::Day { defrost: 2.0, runs: 14.399_999_999_999_999, fits: true };
    assert_eq!(defrost(&cooler), [DefrostFound::AirThaws, day]);
    let found = defrost(&DefrostAsked { box_air: Some(celsius(0.5)), ..cooler });
    assert_eq!(found[0], DefrostFound::AirTooCold);
    assert_eq!(defrost(&DefrostAsked { evaporating: Some(celsius(1.0)), ..cooler }), [DefrostFound::NoIce]);
    let busy = defrost(&DefrostAsked { runs: Some(Fraction::from_ratio(0.75)), ..cooler });
    assert!(matches!(busy[1], DefrostFound::Day { fits: false, .. }));
    let freezer = DefrostAsked { by_air: Some(false), box_air: Some(celsius(-20.0)), ..cooler };
    let ends = |at: f64| defrost(&DefrostAsked { end: Some(celsius(at)), ..freezer })[0];
    assert_eq!(ends(2.0), DefrostFound::EndsEarly);
    assert_eq!(ends(12.0), DefrostFound::EndsRight);
    assert_eq!(ends(30.0), DefrostFound::EndsLate);
    assert_eq!(defrost(&DefrostAsked { length: minutes(400.0), ..freezer }), [DefrostFound::NeverDone]);
    assert!(defrost(&DefrostAsked::default()).is_empty());
}

proptest! {
    #[test]
    fn a_higher_setting_leaves_the_valve_more(lower in 60.0..95.0f64, more in 1.0..20.0f64) {
        let fluid = refrigerant::find("R-448A").unwrap().fluid();
        let split = TemperatureDifference::from_fahrenheit(15.0);
        let passes = |at: f64| head_through_year(&fluid, f(at), split, f(20.0), f(105.0)).unwrap().valve_passes.ratio();
        prop_assert!(passes(lower + more) > passes(lower));
        prop_assert!(passes(lower) <= 1.0);
    }
}
