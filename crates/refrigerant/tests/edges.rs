//! States at which an answer is hard to come by: liquids that part, lines that fold, gas far above its critical temperature.
//!
//! Each was met among random states; what is asked is that every question leads back to the same state, or is refused for
//! one reason everywhere.

#![allow(clippy::unwrap_used)]

use fluid::{Fluid, FluidError, Phase, State};
use units::{AbsolutePressure, Fraction, Temperature};

fn of(name: &str, mass_fractions: &[f64]) -> Fluid {
    let sum: f64 = mass_fractions.iter().sum();
    let fractions: Vec<f64> = mass_fractions.iter().map(|w| w / sum).collect();
    refrigerant::find(name).unwrap().fluid().with_mass_fractions(&fractions).unwrap()
}

fn pascal(p: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(p)
}

fn kelvin(t: f64) -> Temperature {
    Temperature::from_kelvin(t)
}

/// Asks for a state by every pair of quantities and compares temperature and density.
fn comes_back(fluid: &Fluid, state: &State) {
    let (p, t, h, s) = (state.pressure, state.temperature, state.enthalpy, state.entropy);
    let mut ways = vec![
        ("p-T", fluid.state_at_pressure_temperature(p, t)),
        ("p-h", fluid.state_at_pressure_enthalpy(p, h)),
        ("p-s", fluid.state_at_pressure_entropy(p, s)),
        ("T-s", fluid.state_at_temperature_entropy(t, s)),
        ("h-s", fluid.state_at_enthalpy_entropy(h, s)),
    ];
    match state.quality {
        Some(q) => {
            ways.push(("p-q", fluid.state_at_pressure_quality(p, q)));
            ways.push(("T-q", fluid.state_at_temperature_quality(t, q)));
        }
        None => ways.push(("rho-T", fluid.state_at_density_temperature(state.density, t))),
    }
    for (way, found) in ways {
        let found = found.unwrap_or_else(|error| panic!("{way}: {error:?}"));
        let density = |s: &State| s.density.kilogram_per_cubic_metre();
        assert!((found.temperature.kelvin() / t.kelvin() - 1.0).abs() < 1e-9, "{way}: {found:?}");
        assert!((density(&found) / density(state) - 1.0).abs() < 1e-9, "{way}: {found:?}");
        assert_eq!(found.phase, state.phase, "{way}");
    }
}

#[test]
fn gas_is_answered_to_one_and_a_half_times_its_critical_temperature() {
    // R-134a's equation is stated to 455 K, most of the rest is isopentane or pentane, critical at 460 and 470 K.
    let heavy = of("R-437A", &[0.0195, 0.0765, 0.0434, 0.8606]);
    let (critical, _) = heavy.critical_point().unwrap();
    let t = kelvin(1.5 * critical.kelvin());
    let state = heavy.state_at_pressure_temperature(pascal(6.5e6), t).unwrap();
    assert!(state.extrapolated, "beyond the stated range it is marked");
    comes_back(&heavy, &state);
    let refused = heavy.state_at_pressure_temperature(pascal(6.5e6), kelvin(710.0));
    assert!(matches!(refused, Err(FluidError::TooHot { .. })), "{refused:?}");
}

#[test]
fn vapour_has_an_enthalpy_though_the_liquid_at_its_reference_would_separate() {
    let fluid = of("R-438A", &[0.07, 0.1121, 0.034, 0.0046, 0.7793]);
    assert_eq!(fluid.bubble_at_temperature(kelvin(273.15)).err(), Some(FluidError::TwoLiquids));
    let gas = fluid.state_at_pressure_temperature(pascal(2.1e5), kelvin(400.0)).unwrap();
    assert_eq!(gas.phase, Phase::Vapour);
    comes_back(&fluid, &gas);
    // The difference of two enthalpies owes nothing to the reference: cp over one kelvin.
    let warmer = fluid.state_at_pressure_temperature(pascal(2.1e5), kelvin(401.0)).unwrap();
    let rise = warmer.enthalpy.joule_per_kilogram() - gas.enthalpy.joule_per_kilogram();
    let cp = [&gas, &warmer].map(|s| s.cp.unwrap().joule_per_kilogram_kelvin());
    assert!((rise / (0.5 * (cp[0] + cp[1])) - 1.0).abs() < 1e-5, "{rise} {cp:?}");
}

#[test]
fn vapour_beside_a_liquid_that_lasts_is_found_where_the_first_to_condense_would_not_last() {
    // By p and T, by p and h, by T and s or by h and s these were refused, though the others found them.
    for (name, fractions, p, share) in [
        ("R-438A", &[0.07057, 0.35993, 0.48739, 0.04666, 0.03545][..], 14849.5, 0.615),
        ("R-438A", &[0.11913, 0.05043, 0.76581, 0.01295, 0.05168], 3389.3, 0.2803),
        ("R-426A", &[0.50639, 0.42711, 0.04735, 0.01915], 7330.6, 0.8311),
        ("R-453A", &[0.0297, 0.10182, 0.03956, 0.78813, 0.01422, 0.02657], 1088.1, 0.487),
        ("R-417A", &[0.12255, 0.33644, 0.54101], 98082.8, 0.09662),
        ("R-417C", &[0.1815, 0.52076, 0.29774], 156_111.5, 0.03568),
    ] {
        let fluid = of(name, fractions);
        let state = fluid.state_at_pressure_quality(pascal(p), Fraction::from_ratio(share)).unwrap();
        comes_back(&fluid, &state);
    }
}

#[test]
fn a_liquid_on_the_edge_of_parting_is_refused_by_every_question() {
    let fluid = of("R-438A", &[0.131404, 0.441239, 0.092664, 0.263544, 0.071149]);
    let t = kelvin(248.621_141);
    assert_eq!(
        fluid.state_at_pressure_temperature(pascal(1_730_084.0), t).err(),
        Some(FluidError::TwoLiquids)
    );
    // Warmer it mixes.
    let warm = fluid.state_at_pressure_temperature(pascal(1_730_084.0), kelvin(275.0)).unwrap();
    comes_back(&fluid, &warm);
}

#[test]
fn two_liquids_under_pressure_are_not_taken_for_liquid_and_vapour() {
    let fluid = of("R-437A", &[0.043_016, 0.580_957, 0.126_346, 0.249_681]);
    let refused = fluid.state_at_pressure_temperature(pascal(4_599_455.0), kelvin(313.656_79));
    assert_eq!(refused.err(), Some(FluidError::TwoLiquids));
}

#[test]
fn above_the_end_of_the_bubble_line_two_phases_are_found_where_more_pressure_would_part_the_liquid() {
    let fluid = of("R-437A", &[0.240_792, 0.429_046, 0.042_359, 0.287_803]);
    let wet = fluid.state_at_pressure_quality(pascal(3_228_888.5), Fraction::from_ratio(0.988_503)).unwrap();
    let back = fluid.state_at_temperature_entropy(wet.temperature, wet.entropy).unwrap();
    assert!((back.pressure.pascal() / 3_228_888.5 - 1.0).abs() < 1e-9, "{back:?}");
}

#[test]
fn the_dew_line_of_nearly_pure_carbon_dioxide_keeps_to_its_own_curve() {
    let fluid = of("R-472A", &[0.990_716_790_9, 0.000_346_292_9, 0.008_936_916_2]);
    let (end_t, end_p) = fluid.two_phase_end().unwrap();
    let (critical_t, critical_p) = fluid.critical_point().unwrap();
    // 304.1282 K, 7.3773 MPa (Span and Wagner 1996); less than 1 % of R-134a raises both a little.
    assert!((304.2..305.5).contains(&critical_t.kelvin()), "{critical_t:?}");
    assert!((7.377e6..7.5e6).contains(&critical_p.pascal()), "{critical_p:?}");
    assert!((end_t.kelvin() - critical_t.kelvin()).abs() < 0.1, "{end_t:?}");
    assert!((end_p.pascal() / critical_p.pascal() - 1.0).abs() < 1e-3, "{end_p:?}");
    let dew = fluid.dew_at_pressure(pascal(2e6)).unwrap();
    let bubble = fluid.bubble_at_pressure(pascal(2e6)).unwrap();
    let glide = dew.temperature.kelvin() - bubble.temperature.kelvin();
    assert!((0.0..3.0).contains(&glide), "{glide}");
    let refused = fluid.state_at_pressure_quality(pascal(1129.0), Fraction::from_ratio(0.47));
    assert!(matches!(refused, Err(FluidError::Solid { .. })), "{refused:?}");
}

#[test]
fn a_critical_point_is_told_where_one_line_folds_before_it() {
    let fluid = of("R-469A", &[0.058_945, 0.442_024, 0.499_031]);
    let (t, p) = fluid.critical_point().unwrap();
    let (end_t, end_p) = fluid.two_phase_end().unwrap();
    assert!((342.0..343.0).contains(&t.kelvin()) && (5.2e6..5.3e6).contains(&p.pascal()), "{t:?} {p:?}");
    assert!(end_t >= t && end_p >= p);
    // At it two phases become alike: on the dew line just below, their densities differ little.
    let near = fluid.dew_at_temperature(kelvin(t.kelvin() - 0.02)).unwrap();
    let ratio = near.incipient.density.kilogram_per_cubic_metre() / near.density.kilogram_per_cubic_metre();
    assert!((1.0..1.2).contains(&ratio), "{ratio}");
}
