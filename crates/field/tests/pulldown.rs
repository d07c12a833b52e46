//! A compressor that will not pull down, and liquid shut in.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::pulldown::{
    CutOut, EXPANSION_EXPONENT, HEALTHY_CLEARANCE, Inflow, Missing, RiseSeen, Seen, Told, cut_out,
    effective_clearance, inflow, restart_after, stall_ratio, trapped_liquid,
};
use table::fluid_named;
use units::{AbsolutePressure, Atmosphere, Duration, GaugePressure, PressureDifference, Temperature};

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}

fn rise(psi: f64, minutes: f64) -> Option<RiseSeen> {
    Some(RiseSeen { rise: PressureDifference::from_psi(psi), over: Duration::from_second(minutes * 60.0) })
}

const STEP: PressureDifference = PressureDifference::from_psi(0.5);

/// R-404A stalled at 4 psig with the head at 90 °F: a ratio near 12, which needs a clearance near 0.12; a healthy 0.04
/// still pumps there; the cut-out then goes near 5 psig (common practice, no source).
#[test]
fn a_stall_at_four_psig() {
    let fluid = fluid_named("R-404A");
    let head = fluid.dew_at_temperature(Temperature::from_fahrenheit(90.0)).unwrap().pressure;
    let ratio = head.pascal() / psig(4.0).pascal();
    assert!((ratio - 12.0).abs() < 1.0, "{ratio}");
    let clearance = effective_clearance(ratio, EXPANSION_EXPONENT).unwrap();
    assert!((clearance - 0.12).abs() < 0.015, "{clearance}");
    assert!(stall_ratio(HEALTHY_CLEARANCE, EXPANSION_EXPONENT).unwrap() > 2.0 * ratio);
    let back = stall_ratio(clearance, EXPANSION_EXPONENT).unwrap();
    assert!((back / ratio - 1.0).abs() < 1e-9);
    let CutOut::At(at) = cut_out(psig(4.0), Some(psig(16.0))) else { panic!("there is room") };
    assert!((at.gauge(Atmosphere::sea_level_assumed()).psi() - 5.0).abs() < 1e-6);
    assert!(matches!(cut_out(psig(4.0), Some(psig(5.5))), CutOut::NoRoom { .. }));
    assert_eq!(stall_ratio(0.0, 1.1), None);
    assert_eq!(effective_clearance(1.0, 1.1), None);
}

#[test]
fn the_valve_that_stops_it_is_the_one_that_leaks() {
    let seen = Seen {
        liquid_shut: rise(6.0, 3.0),
        second_shut: rise(0.0, 3.0),
        suction_shut: rise(0.0, 3.0),
        later: None,
    };
    assert_eq!(inflow(&seen, STEP), Told::From(vec![Inflow::PastTheValve]));
    let seen = Seen { second_shut: rise(6.0, 3.0), suction_shut: rise(20.0, 1.0), ..seen };
    assert_eq!(inflow(&seen, STEP), Told::From(vec![Inflow::Compressor]));
    let seen = Seen { suction_shut: rise(0.0, 3.0), later: rise(1.0, 3.0), ..seen };
    assert_eq!(inflow(&seen, STEP), Told::From(vec![Inflow::BoilOff]));
    // It goes on as it was, and nothing stops it: not told.
    let seen = Seen { later: rise(6.0, 3.0), ..seen };
    assert_eq!(inflow(&seen, STEP), Told::Open(Vec::new()));
    assert_eq!(inflow(&Seen::default(), STEP), Told::Open(vec![Missing::LiquidShut]));
    let only = Seen { liquid_shut: rise(6.0, 3.0), ..Seen::default() };
    assert_eq!(
        inflow(&only, STEP),
        Told::Open(vec![Missing::SuctionShut, Missing::SecondShut, Missing::Later])
    );
    let calm = Seen { liquid_shut: rise(0.2, 3.0), ..Seen::default() };
    assert_eq!(inflow(&calm, STEP), Told::Holds);
}

#[test]
fn how_soon_it_starts_again() {
    let seen = rise(6.0, 3.0).unwrap();
    let time = restart_after(seen, psig(5.0), psig(25.0)).unwrap();
    assert!((time.second() - 600.0).abs() < 1e-6);
    assert_eq!(restart_after(seen, psig(25.0), psig(5.0)), None);
    assert_eq!(restart_after(rise(0.0, 3.0).unwrap(), psig(5.0), psig(25.0)), None);
}

/// A full line shut in rises about 38 psi for each °F with R-404A, 55 with R-22 and R-134a, near 75 °F (worked for the
/// trade from equations of state, no publication).
#[test]
fn liquid_shut_in() {
    for (name, psi) in [("R-404A", 38.0), ("R-22", 55.0), ("R-134a", 55.0)] {
        let slope = trapped_liquid(&fluid_named(name), Temperature::from_fahrenheit(75.0)).unwrap();
        let found = slope / 6894.757 / 1.8;
        assert!((found / psi - 1.0).abs() < 0.06, "{name}: {found}");
    }
}
