//! When a reading may speak: facts of the trade (common practice, no source, where not named otherwise).

#![allow(clippy::unwrap_used)]

mod table;

use field::speak::{
    Fans, Head, HeadPoint, LiquidLeft, expected_split, fans, head, liquid_left, winter_shown,
};
use table::fluid_named;
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, GaugePressure, Temperature, TemperatureDifference, Uncertain,
    Volume,
};

fn f(value: f64) -> Temperature {
    Temperature::from_fahrenheit(value)
}

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}

fn point(ambient: f64, condensing: f64, fans: Option<u32>) -> HeadPoint {
    HeadPoint { ambient: f(ambient), condensing: f(condensing), fans }
}

/// Outdoor air from 83 to 74 °F while condensing stays at 90 °F: the head is held, or the probe stood in the sun.
#[test]
fn a_head_that_does_not_follow_the_air_is_held_or_the_probe_was_in_the_sun() {
    assert!(matches!(head(&[point(83.0, 90.0, None), point(74.0, 90.0, None)]), Head::Held { .. }));
    assert!(matches!(head(&[point(74.0, 90.3, None), point(83.0, 90.0, None)]), Head::Held { .. }));
    assert_eq!(head(&[point(83.0, 98.0, None), point(74.0, 89.5, None)]), Head::Free);
    // Too small a way, too few pairs, half way, and fans that changed between them.
    assert_eq!(head(&[point(83.0, 90.0, None), point(80.0, 90.0, None)]), Head::NotTold);
    assert_eq!(head(&[point(83.0, 90.0, None)]), Head::NotTold);
    assert_eq!(head(&[point(83.0, 94.0, None), point(73.0, 90.0, None)]), Head::NotTold);
    assert_eq!(head(&[point(83.0, 90.0, Some(2)), point(74.0, 90.0, Some(1))]), Head::NotTold);
}

/// A suction saturation 16 °F above design carries about 1.4 times the heat: a split of 15 °F reads about 20 °F (the trade
/// reference, 10a).
#[test]
fn more_load_is_a_wider_split() {
    let fluid = fluid_named("R-404A");
    let design = TemperatureDifference::from_fahrenheit(15.0);
    let loaded = expected_split(&fluid, design, Some((f(41.0), f(25.0))), None).unwrap();
    assert!((loaded.load - 1.4).abs() < 0.08, "{}", loaded.load);
    assert!(loaded.low.fahrenheit() < 20.0 && loaded.high.fahrenheit() > 20.0, "{loaded:?}");
    let quiet = expected_split(&fluid, design, Some((f(25.0), f(25.0))), None).unwrap();
    assert!((quiet.load - 1.0).abs() < 1e-12);
    // One fan of two: the air halves, the split grows by 2^0.5 to 2^0.65.
    let one = expected_split(&fluid, design, Some((f(25.0), f(25.0))), Some((1, 2))).unwrap();
    assert!((one.low / quiet.low - 2.0_f64.sqrt()).abs() < 1e-9);
    assert!((one.high / quiet.high - units::math::pow(2.0, 0.65)).abs() < 1e-9);
    assert_eq!(one.fans, Some((1, 2)));
    // Without a suction the heat is not known: wider.
    let unknown = expected_split(&fluid, design, None, None).unwrap();
    assert!(unknown.high > quiet.high && unknown.low < quiet.low);
}

#[test]
fn fans_by_their_settings() {
    let by =
        |head: f64, running| fans(psig(head), Some(psig(230.0)), Some(psig(180.0)), Some(running), Some(2));
    assert_eq!(by(245.0, 1), Fans::OughtToRun);
    assert_eq!(by(245.0, 2), Fans::AsSet);
    assert_eq!(by(170.0, 2), Fans::OughtToStand);
    assert_eq!(by(200.0, 1), Fans::AsSet);
    assert_eq!(fans(psig(245.0), None, None, Some(1), Some(2)), Fans::NotTold);
    assert_eq!(fans(psig(245.0), Some(psig(230.0)), None, None, Some(2)), Fans::NotTold);
}

/// Standing at 126 psig R-404A reads 60 °F: with nothing colder, liquid is left.
#[test]
fn a_standing_system_tells_whether_liquid_is_left() {
    let fluid = fluid_named("R-404A");
    let gauge = |value: f64| {
        Uncertain::within(psig(value), Doubt::new(Cause::AssumedAccuracy, "gauge"), 1.0 * 6894.757)
    };
    let cold = |value: f64| Uncertain::within(f(value), Doubt::new(Cause::AssumedAccuracy, "probe"), 0.5);
    assert_eq!(liquid_left(&fluid, &gauge(126.0), &cold(60.0), None).unwrap(), LiquidLeft::Left);
    // At 60 psig nothing as warm as 60 °F can hold liquid: vapour, 12 L of it some 0.3 kg.
    let volume = Uncertain::exact(Volume::from_litre(12.0));
    match liquid_left(&fluid, &gauge(60.0), &cold(60.0), Some(&volume)).unwrap() {
        LiquidLeft::VapourOnly { mass: Some(mass) } => {
            let state = fluid.state_at_pressure_temperature(psig(60.0), f(60.0)).unwrap();
            let held = state.density.kilogram_per_cubic_metre() * 0.012;
            assert!((mass.value().kilogram() - held).abs() < 1e-12);
            assert!((0.25..0.35).contains(&held), "{held}");
        }
        other => panic!("{other:?}"),
    }
    let near =
        fluid.dew_at_temperature(f(60.0)).unwrap().pressure.gauge(Atmosphere::sea_level_assumed()).psi();
    assert_eq!(liquid_left(&fluid, &gauge(near - 1.3), &cold(60.0), None).unwrap(), LiquidLeft::NotTold);
}

/// The published flooding example (90 °F held, 0 °F outside, 15 °F split: 83.3 %, 17.39 to 18.95 lb in 0.35 ft3): at 45 °F
/// outside two thirds flood, so most of it is shown; at 80 °F nothing is.
#[test]
fn a_clear_glass_in_the_cold_shows_part_of_the_winter_s_charge() {
    let fluid = fluid_named("R-404A");
    let volume = Uncertain::exact(Volume::from_cubic_foot(0.35));
    let split = TemperatureDifference::from_fahrenheit(15.0);
    let at =
        |ambient: f64| winter_shown(&fluid, &volume, split, f(90.0), f(ambient), f(90.0), f(0.0)).unwrap();
    let cool = at(45.0);
    assert!((cool.now.flooded.ratio() - 2.0 / 3.0).abs() < 1e-9);
    assert!((cool.coldest.flooded.ratio() - 0.8333).abs() < 1e-3);
    let pounds = |mass: units::Mass| mass.pound();
    assert!((pounds(cool.coldest.extra.value()) - 18.95).abs() < 0.2);
    assert!((pounds(cool.not_shown) - (18.95 - pounds(cool.now.extra.value()))).abs() < 0.2);
    let warm = at(80.0);
    assert_eq!(warm.now.flooded.ratio(), 0.0);
    assert!((pounds(warm.not_shown) - 18.95).abs() < 0.2, "nothing is shown in the warm");
}
