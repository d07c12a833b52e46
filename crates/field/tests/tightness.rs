//! What a pressure shows of a leak at another, and the steps of nitrogen.

#![allow(clippy::unwrap_used)]

use field::tightness::{nitrogen_steps, pressure_that_shows, shown};
use proptest::prelude::*;
use units::{Atmosphere, Fraction, GaugePressure};

fn psig(psi: f64) -> units::AbsolutePressure {
    GaugePressure::from_psi(psi).absolute(Atmosphere::sea_level_assumed())
}

/// By hand with 14.696 psi outside: (74.696^2 - 14.696^2) / (164.696^2 - 14.696^2) = 0.1993, and so on.
#[test]
fn a_fine_path_follows_the_squares() {
    let fluid = refrigerant::find("R-404A").unwrap().fluid();
    let outside = Atmosphere::sea_level_assumed().pressure;
    for (here, share) in [(60.0, 0.1993), (200.0, 1.7050), (10.0, 0.01464), (150.0, 1.0)] {
        let found = shown(&fluid, psig(here), psig(150.0), outside).unwrap();
        assert!((found.fine.ratio() - share).abs() < 2e-4, "{here}: {found:?}");
    }
    assert!(shown(&fluid, psig(0.0), psig(150.0), outside).is_err());
}

/// A choked hole goes nearly with the absolute pressure: 74.7 / 164.7 is 0.454.
#[test]
fn a_hole_shows_nearly_the_ratio_of_absolute_pressures() {
    let fluid = refrigerant::find("R-404A").unwrap().fluid();
    let outside = Atmosphere::sea_level_assumed().pressure;
    let found = shown(&fluid, psig(60.0), psig(150.0), outside).unwrap();
    assert!((found.hole.ratio() - 0.454).abs() < 0.03, "{found:?}");
    assert_eq!(found.least(), found.fine);
    assert_eq!(found.most(), found.hole);
}

#[test]
fn nitrogen_stops_at_ten_at_a_hundred_and_by_tenths() {
    let psi = |last: f64| -> Vec<f64> {
        nitrogen_steps(GaugePressure::from_psi(last)).iter().map(|p| p.psi().round()).collect()
    };
    assert_eq!(psi(300.0), [10.0, 100.0, 120.0, 150.0, 180.0, 210.0, 240.0, 270.0, 300.0]);
    assert_eq!(psi(150.0), [10.0, 100.0, 120.0, 135.0, 150.0]);
    assert_eq!(psi(100.0), [10.0, 100.0]);
    assert_eq!(psi(8.0), [8.0]);
    assert!(nitrogen_steps(GaugePressure::from_psi(0.0)).is_empty());
    assert!(nitrogen_steps(GaugePressure::from_psi(f64::NAN)).is_empty());
}

proptest! {
    #[test]
    fn the_pressure_wanted_shows_the_share_wanted(share in 0.05..1.0f64, there in 20.0..350.0f64) {
        let fluid = refrigerant::find("R-134a").unwrap().fluid();
        let outside = Atmosphere::sea_level_assumed().pressure;
        let here = pressure_that_shows(Fraction::from_ratio(share), psig(there), outside);
        let found = shown(&fluid, here, psig(there), outside).unwrap();
        prop_assert!((found.fine.ratio() - share).abs() < 1e-9);
        prop_assert!(found.hole.ratio() >= found.fine.ratio() - 0.02);
    }

    #[test]
    fn steps_rise_and_end_at_the_last(last in 0.1..600.0f64) {
        let steps = nitrogen_steps(GaugePressure::from_psi(last));
        prop_assert!(steps.windows(2).all(|pair| pair[0].psi() < pair[1].psi()));
        prop_assert!((steps.last().unwrap().psi() - last).abs() < 1e-9);
        prop_assert!(steps.len() < 13);
    }
}
