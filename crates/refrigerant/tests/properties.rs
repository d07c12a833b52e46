//! What must hold for every refrigerant, whatever its numbers.

use fluid::{Fluid, FluidError, Phase};
use proptest::prelude::*;
use refrigerant::{all, blend, find, nitrogen};
use units::{AbsolutePressure, Density, Fraction, SpecificEnthalpy, Temperature};

fn kelvin(t: f64) -> Temperature {
    Temperature::from_kelvin(t)
}

fn pascal(p: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(p)
}

/// From the higher of -60 °C and the triple point to 0.99 of the end, there and back.
#[test]
fn saturation_never_fails_and_rises() {
    let mut asked = 0;
    for r in all() {
        let fluid = r.fluid();
        let (end, _) = fluid.critical_point().unwrap();
        let low = 213.15_f64.max(triple_point(&fluid));
        let mut last = (0.0, 0.0);
        for k in 0..=12 {
            let t = kelvin(low + (0.99 * end.kelvin() - low) * f64::from(k) / 12.0);
            let what = || format!("{} at {} K", r.designation(), t.kelvin());
            let dew = fluid.dew_at_temperature(t).unwrap_or_else(|e| panic!("{}: {e:?}", what()));
            let bubble = match fluid.bubble_at_temperature(t) {
                // By the equations these liquids separate in the cold; a state of the liquid says the same.
                Err(FluidError::TwoLiquids) if ["R-437A", "R-504"].contains(&r.designation()) => {
                    assert!(t.celsius() < -49.0, "{}", what());
                    let pressed = pascal(1.3 * dew.pressure.pascal());
                    let state = fluid.state_at_pressure_temperature(pressed, t);
                    assert_eq!(state.err(), Some(FluidError::TwoLiquids), "{}", what());
                    continue;
                }
                other => other.unwrap_or_else(|e| panic!("{}: {e:?}", what())),
            };
            let (pb, pd) = (bubble.pressure.pascal(), dew.pressure.pascal());
            assert!(pb > last.0 && pd > last.1, "{}: pressure rises with temperature", what());
            assert!(pb >= pd * (1.0 - 1e-9), "{}: bubble above dew", what());
            assert!(bubble.density > dew.density, "{}: the liquid is denser", what());
            // No trivial root: the two phases of a point differ.
            let ratio = bubble.density.kilogram_per_cubic_metre()
                / bubble.incipient.density.kilogram_per_cubic_metre();
            assert!(ratio > 1.2, "{}: two equal phases, {ratio}", what());
            let ratio =
                dew.incipient.density.kilogram_per_cubic_metre() / dew.density.kilogram_per_cubic_metre();
            assert!(ratio > 1.2, "{}: two equal phases, {ratio}", what());
            assert!((bubble.incipient.mass_fractions.iter().sum::<f64>() - 1.0).abs() < 1e-12);
            let back =
                fluid.bubble_at_pressure(bubble.pressure).unwrap_or_else(|e| panic!("{}: {e:?}", what()));
            assert!((back.temperature - t).kelvin().abs() < 1e-6, "{}", what());
            let back = fluid.dew_at_pressure(dew.pressure).unwrap_or_else(|e| panic!("{}: {e:?}", what()));
            assert!((back.temperature - t).kelvin().abs() < 1e-6, "{}", what());
            last = (pb, pd);
            asked += 1;
        }
    }
    assert!(asked > 1500);
}

/// Returns the temperature below which the fluid says that it is solid.
fn triple_point(fluid: &Fluid) -> f64 {
    match fluid.bubble_at_temperature(kelvin(1.0)) {
        Err(FluidError::Solid { triple_point, .. }) => triple_point.kelvin(),
        other => panic!("{other:?}"),
    }
}

/// Fugacities by another way than the solver's: the liquid and vapour of a bubble point, each as a fluid of its own, have
/// equal chemical potentials, here by the Gibbs energy of both phases of a pure fluid and of an azeotrope-like blend.
#[test]
fn phases_of_a_pure_fluid_have_equal_gibbs_energy() {
    for r in all().iter().filter(|r| r.composition().len() == 1) {
        let fluid = r.fluid();
        let (end, _) = fluid.critical_point().unwrap();
        for part in [0.7, 0.8, 0.9, 0.97] {
            let t = part * end.kelvin();
            if t < triple_point(&fluid) {
                continue;
            }
            let bubble = fluid.bubble_at_temperature(kelvin(t)).unwrap();
            let dew = fluid.dew_at_temperature(kelvin(t)).unwrap();
            let gibbs = |h: f64, s: f64| h - t * s;
            let liquid =
                gibbs(bubble.enthalpy.joule_per_kilogram(), bubble.entropy.joule_per_kilogram_kelvin());
            let vapour = gibbs(dew.enthalpy.joule_per_kilogram(), dew.entropy.joule_per_kilogram_kelvin());
            let heat = dew.enthalpy.joule_per_kilogram() - bubble.enthalpy.joule_per_kilogram();
            assert!((liquid - vapour).abs() < 1e-9 * heat, "{} {t} K", r.designation());
            // Clapeyron: dp/dT = heat / (T dv).
            let volume = 1.0 / dew.density.kilogram_per_cubic_metre()
                - 1.0 / bubble.density.kilogram_per_cubic_metre();
            let slope = heat / (t * volume);
            assert!((bubble.slope / slope - 1.0).abs() < 1e-6, "{} {t} K", r.designation());
            assert!((dew.slope / slope - 1.0).abs() < 1e-6, "{} {t} K", r.designation());
        }
    }
}

/// The parts of a split are, each as a fluid of its own, on their bubble and dew lines, and sum to the whole.
#[test]
fn the_parts_of_a_split_are_saturated_and_sum_to_the_whole() {
    for name in ["R-404A", "R-448A", "R-455A", "R-454B", "R-407C", "R-513A", "R-417A", "R-463A"] {
        let fluid = find(name).unwrap().fluid();
        for (celsius, quality) in [(-40.0, 0.1), (0.0, 0.4), (45.0, 0.8)] {
            let p = fluid.bubble_at_temperature(Temperature::from_celsius(celsius)).unwrap().pressure;
            let split = fluid.state_at_pressure_quality(p, Fraction::from_ratio(quality)).unwrap();
            let [liquid, vapour] = &**split.parts.as_ref().unwrap();
            let boils = fluid.with_mass_fractions(&liquid.mass_fractions).unwrap();
            let boils = boils.bubble_at_temperature(split.temperature).unwrap();
            let condenses = fluid.with_mass_fractions(&vapour.mass_fractions).unwrap();
            let condenses = condenses.dew_at_temperature(split.temperature).unwrap();
            assert!((boils.pressure.pascal() / p.pascal() - 1.0).abs() < 1e-9, "{name}");
            assert!((condenses.pressure.pascal() / p.pascal() - 1.0).abs() < 1e-9, "{name}");
            for (i, whole) in fluid.mass_fractions().iter().enumerate() {
                assert!(
                    (boils.incipient.mass_fractions[i] - vapour.mass_fractions[i]).abs() < 1e-9,
                    "{name}"
                );
                let sum = liquid.mass_fractions[i] * (1.0 - quality) + vapour.mass_fractions[i] * quality;
                assert!((sum - whole).abs() < 1e-9, "{name}: the balance closes");
            }
            let h = liquid.enthalpy.joule_per_kilogram() * (1.0 - quality)
                + vapour.enthalpy.joule_per_kilogram() * quality;
            assert!((h - split.enthalpy.joule_per_kilogram()).abs() < 1e-3, "{name}: the energy closes");
        }
    }
}

#[test]
fn the_agreed_reference_is_kept() {
    let zero = Temperature::from_celsius(0.0);
    for r in all() {
        let point = r.fluid().bubble_at_temperature(zero).unwrap();
        assert!((point.enthalpy.joule_per_kilogram() - 200e3).abs() < 1e-6, "{}", r.designation());
        assert!((point.entropy.joule_per_kilogram_kelvin() - 1e3).abs() < 1e-8, "{}", r.designation());
    }
    let nitrogen = nitrogen();
    assert_eq!(nitrogen.reference_state(), Ok(fluid::ReferenceState::NormalBoilingPoint));
    let point = nitrogen.bubble_at_pressure(pascal(101_325.0)).unwrap();
    assert!(point.enthalpy.joule_per_kilogram().abs() < 1e-6);
    assert!((point.temperature.kelvin() - 77.355).abs() < 1e-3, "Span and others, 2000: 77.355 K");
}

#[test]
fn each_reason_has_its_own_error() {
    let co2 = find("R-744").unwrap().fluid();
    assert!(matches!(
        co2.dew_at_temperature(Temperature::from_celsius(-60.0)),
        Err(FluidError::Solid { .. })
    ));
    assert!(matches!(
        co2.dew_at_temperature(Temperature::from_celsius(40.0)),
        Err(FluidError::AboveCriticalTemperature { .. })
    ));
    assert!(matches!(co2.bubble_at_pressure(pascal(9e6)), Err(FluidError::AboveCriticalPressure { .. })));
    assert!(matches!(co2.dew_at_pressure(pascal(2e5)), Err(FluidError::BelowTriplePressure { .. })));
    assert!(matches!(
        co2.state_at_pressure_quality(pascal(1e6), Fraction::from_ratio(1.5)),
        Err(FluidError::QualityOutOfRange { .. })
    ));
    let hot = co2.state_at_pressure_temperature(pascal(9e6), Temperature::from_celsius(40.0)).unwrap();
    assert_eq!(hot.phase, Phase::Supercritical);
    let again = co2.state_at_pressure_enthalpy(pascal(9e6), hot.enthalpy).unwrap();
    assert!((again.temperature - hot.temperature).kelvin().abs() < 1e-7);
    let blend = find("R-448A").unwrap().fluid();
    assert!(matches!(
        blend.bubble_at_temperature(Temperature::from_celsius(90.0)),
        Err(FluidError::AboveCriticalTemperature { .. })
    ));
    assert!(matches!(blend.dew_at_pressure(pascal(6e6)), Err(FluidError::AboveCriticalPressure { .. })));
    assert!(matches!(
        blend.state_at_density_temperature(
            Density::from_kilogram_per_cubic_metre(400.0),
            Temperature::from_celsius(0.0)
        ),
        Err(FluidError::Unstable)
    ));
    for wrong in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
        assert_eq!(blend.bubble_at_temperature(kelvin(wrong)).err(), Some(FluidError::NotANumber));
        assert_eq!(blend.dew_at_pressure(pascal(wrong)).err(), Some(FluidError::NotANumber));
        assert!(blend.state_at_pressure_temperature(pascal(wrong), kelvin(300.0)).is_err());
        assert!(blend.state_at_pressure_temperature(pascal(1e5), kelvin(wrong)).is_err());
        assert!(
            blend
                .state_at_density_temperature(Density::from_kilogram_per_cubic_metre(wrong), kelvin(300.0))
                .is_err()
        );
    }
    assert!(
        blend
            .state_at_pressure_enthalpy(pascal(1e5), SpecificEnthalpy::from_joule_per_kilogram(f64::NAN))
            .is_err()
    );
}

/// The last degrees below the end of either line: no hole, no jump, nothing beyond the end. (The pressure of a bubble line
/// may fall again before the end, as that of R-406A does; that of a dew line rises ever steeper to its highest temperature.)
#[test]
fn lines_are_whole_up_to_their_ends() {
    for name in ["R-404A", "R-406A", "R-407H", "R-409B", "R-448A", "R-452C", "R-455A"] {
        let fluid = find(name).unwrap().fluid();
        let (end, _) = fluid.critical_point().unwrap();
        for side in ["bubble", "dew"] {
            let (mut before, mut ended): (Option<f64>, bool) = (None, false);
            for k in 0..900 {
                let t = kelvin(end.kelvin() - 1.5 + 0.002 * f64::from(k));
                let at = match side {
                    "bubble" => fluid.bubble_at_temperature(t).map(|b| b.pressure.pascal()),
                    _ => fluid.dew_at_temperature(t).map(|d| d.pressure.pascal()),
                };
                match at {
                    Ok(p) => {
                        let jump = before.map_or(0.0, |before| (p / before - 1.0).abs());
                        assert!(!ended && jump < 3e-3, "{name} {side} {} K: {p} Pa", t.kelvin());
                        before = Some(p);
                    }
                    Err(FluidError::AboveCriticalTemperature { .. }) => ended = true,
                    Err(error) => panic!("{name} {side} {} K: {error:?}", t.kelvin()),
                }
            }
            assert!(ended, "{name} {side}");
        }
    }
}

/// By their pairs' parameters these liquids part in two below some two thirds of the end point: of 400 states each of every
/// refrigerant no other is refused for it.
const PART_IN_THE_COLD: [&str; 2] = ["R-437A", "R-504"];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Any state there and back, by enthalpy, entropy and density.
    #[test]
    fn states_there_and_back(which in 0..1000usize, p in 0.02..2.0f64, t in 0.0..1.0f64) {
        let r = &all()[which % all().len()];
        let fluid = r.fluid();
        let (end, critical) = fluid.critical_point().unwrap();
        let low = (0.6 * end.kelvin()).max(triple_point(&fluid));
        let (p, t) = (pascal(p * critical.pascal()), kelvin(low + t * (1.25 * end.kelvin() - low)));
        let state = match fluid.state_at_pressure_temperature(p, t) {
            Err(FluidError::TwoLiquids) => {
                prop_assert!(PART_IN_THE_COLD.contains(&r.designation()), "{} at {t:?}", r.designation());
                return Ok(());
            }
            other => other.unwrap(),
        };
        let by_h = fluid.state_at_pressure_enthalpy(p, state.enthalpy).unwrap();
        prop_assert!((by_h.temperature - t).kelvin().abs() < 1e-6, "{}: {by_h:?} for {state:?}", r.designation());
        prop_assert_eq!(by_h.phase, state.phase);
        let by_s = fluid.state_at_pressure_entropy(p, state.entropy).unwrap();
        prop_assert!((by_s.temperature - t).kelvin().abs() < 1e-6, "{}: {by_s:?} for {state:?}", r.designation());
        if state.phase != Phase::TwoPhase {
            let by_rho = fluid.state_at_density_temperature(state.density, t).unwrap();
            let off = by_rho.pressure.pascal() - p.pascal();
            prop_assert!(off.abs() < 1e-6 * p.pascal().max(1e6), "{}", r.designation());
            let (cp, cv) = (state.cp.unwrap(), state.cv.unwrap());
            prop_assert!(cp > cv, "{}", r.designation());
        }
    }

    /// Two phases of any quality, there and back.
    #[test]
    fn two_phases_there_and_back(which in 0..1000usize, p in 0.03..0.9f64, q in 0.0..=1.0f64) {
        let r = &all()[which % all().len()];
        let fluid = r.fluid();
        let (_, critical) = fluid.critical_point().unwrap();
        let p = pascal(p * critical.pascal());
        let state = match fluid.state_at_pressure_quality(p, Fraction::from_ratio(q)) {
            Err(FluidError::BelowTriplePressure { .. }) => return Ok(()),
            other => other.unwrap(),
        };
        let by_h = fluid.state_at_pressure_enthalpy(p, state.enthalpy).unwrap();
        prop_assert!((by_h.temperature - state.temperature).kelvin().abs() < 1e-6, "{}", r.designation());
        if let Some(quality) = by_h.quality {
            prop_assert!((quality.ratio() - q).abs() < 1e-7, "{}", r.designation());
        }
        let by_s = fluid.state_at_pressure_entropy(p, state.entropy).unwrap();
        prop_assert!((by_s.temperature - state.temperature).kelvin().abs() < 1e-6, "{}", r.designation());
    }

    /// Any composition of a blend: both lines are found, dew below bubble.
    #[test]
    fn any_composition(a in 0.0..1.0f64, b in 0.0..1.0f64, c in 0.0..1.0f64, d in 0.0..1.0f64, part in 0.62..0.95f64) {
        prop_assume!(a + b + c + d > 0.05);
        let sum = a + b + c + d;
        let fluid = blend(&[("R-32", a / sum), ("R-125", b / sum), ("R-1234yf", c / sum), ("R-134a", d / sum)]).unwrap();
        let (end, _) = fluid.critical_point().unwrap();
        let t = kelvin(part * end.kelvin());
        let bubble = fluid.bubble_at_temperature(t).unwrap();
        let dew = fluid.dew_at_temperature(t).unwrap();
        prop_assert!(bubble.pressure.pascal() >= dew.pressure.pascal() * (1.0 - 1e-9));
    }
}
