//! Superheat, subcooling, splits and compression with the doubts of real instruments.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::charge::{pump_down_room, receiver_capacity};
use field::compression::{CompressionError, expected_discharge};
use field::saturation::{glide_at_pressure, glide_at_temperature};
use field::split::{EvaporatorInlet, MeanVariant, condenser_split, evaporator_td};
use field::supercritical::above_critical;
use field::superheat::{LiquidLine, VapourLine, subcooling, superheat};
use fluid::FluidError;
use units::{
    AbsolutePressure, Atmosphere, Cause, Doubt, Fraction, GaugePressure, Mass, PressureDifference,
    Temperature, Uncertain, Verdict, Volume,
};

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}
fn gauge(value: f64, u_psi: f64) -> Uncertain<AbsolutePressure> {
    let u = PressureDifference::from_psi(u_psi).pascal();
    Uncertain::new(psig(value), Doubt::new(Cause::Accuracy, "gauge"), u)
}
fn clamp(fahrenheit: f64, u: f64) -> Uncertain<Temperature> {
    Uncertain::new(Temperature::from_fahrenheit(fahrenheit), Doubt::new(Cause::Accuracy, "clamp"), u / 1.8)
}

#[test]
fn a_line_near_dew_may_be_wet() {
    let fluid = table::fluid_named("R-404A");
    // 62 psig is 25.0 °F dew.
    let at = |line: f64| superheat(&fluid, &gauge(62.0, 0.5), &clamp(line, 1.0)).unwrap();
    assert_eq!(at(32.0).line, VapourLine::Superheated);
    assert_eq!(at(26.0).line, VapourLine::MayBeWet);
    assert_eq!(at(25.0).line, VapourLine::MayBeWet);
    assert_eq!(at(20.0).line, VapourLine::BelowDew);
    assert_eq!(at(32.0).superheat.largest().unwrap().0.of, "clamp");
}

#[test]
fn a_liquid_line_near_bubble_may_hold_gas() {
    let fluid = table::fluid_named("R-404A");
    let at = |line: f64| subcooling(&fluid, &gauge(201.0, 1.0), &clamp(line, 1.0)).unwrap();
    assert_eq!(at(80.0).line, LiquidLine::Subcooled);
    assert_eq!(at(88.5).line, LiquidLine::MayHoldGas);
    assert_eq!(at(95.0).line, LiquidLine::AboveBubble);
    assert!(!at(80.0).wrong_curve.warn);
}

#[test]
fn a_shared_doubt_of_gauge_and_probe_counts_once() {
    let fluid = table::fluid_named("R-134a");
    let shared = Doubt::new(Cause::Zero, "one instrument");
    let apart = superheat(&fluid, &gauge(22.0, 0.5), &clamp(35.0, 1.0)).unwrap();
    let pressure = Uncertain::new(psig(22.0), shared.clone(), gauge(22.0, 0.5).u());
    let line = Uncertain::new(Temperature::from_fahrenheit(35.0), shared, 1.0 / 1.8);
    let together = superheat(&fluid, &pressure, &line).unwrap();
    // A common zero error moves both the same way, so part of it cancels.
    assert!(together.superheat.u() < apart.superheat.u());
}

#[test]
fn glide_of_a_blend_and_of_a_pure_fluid() {
    let blend = glide_at_pressure(&table::fluid_named("R-448A"), psig(43.9)).unwrap();
    assert!((blend.glide.fahrenheit() - 11.12).abs() < 0.5);
    assert!(blend.matters());
    let pure = glide_at_pressure(&table::fluid_named("R-134a"), psig(43.9)).unwrap();
    assert!(pure.glide.kelvin().abs() < 1e-6);
    // Asked at a temperature: at the bubble pressure of it.
    let at = Temperature::from_fahrenheit(25.0);
    let there = glide_at_temperature(&table::fluid_named("R-448A"), at).unwrap();
    assert!((there.bubble - at).kelvin().abs() < 1e-6);
    assert!(there.dew > at);
}

#[test]
fn the_mean_of_an_evaporator_is_not_the_mean_of_bubble_and_dew() {
    // Computed: R-448A at 43.9 psig with x = 0.30 enters at 11.4 °F; dew 20.0, mean 15.7 °F.
    let fluid = table::fluid_named("R-448A");
    let (pressure, air) = (gauge(43.9, 0.3), clamp(30.0, 0.5));
    let inlet = Some(EvaporatorInlet::Quality(Fraction::from_ratio(0.30)));
    let td = evaporator_td(&fluid, &pressure, &air, inlet).unwrap();
    let MeanVariant::Known { other_end, mean, difference } = &td.mean else { panic!("{td:?}") };
    assert!((other_end.value().fahrenheit() - 11.4).abs() < 0.3, "{}", other_end.value().fahrenheit());
    assert!((mean.value().fahrenheit() - 15.7).abs() < 0.3);
    assert!((difference.value().fahrenheit() - 14.3).abs() < 0.3);
    assert!(difference.u() > 0.0 && mean.u() < td.dew.u() * 1.5);
    assert_eq!(evaporator_td(&fluid, &pressure, &air, None).unwrap().mean, MeanVariant::InletUnknown);
    // By enthalpy: liquid of 90 °F before the valve.
    let liquid = fluid.bubble_at_temperature(Temperature::from_fahrenheit(90.0)).unwrap().enthalpy;
    let td = evaporator_td(&fluid, &pressure, &air, Some(EvaporatorInlet::Enthalpy(liquid))).unwrap();
    let MeanVariant::Known { other_end, .. } = &td.mean else { panic!("{td:?}") };
    assert!((9.0..14.0).contains(&other_end.value().fahrenheit()));
}

#[test]
fn a_condenser_of_a_blend_has_two_splits() {
    let fluid = table::fluid_named("R-448A");
    let split = condenser_split(&fluid, &gauge(250.0, 1.0), &clamp(85.0, 1.0)).unwrap();
    let MeanVariant::Known { difference, .. } = &split.mean else { panic!("{split:?}") };
    let half_glide = split.glide.glide.kelvin() / 2.0;
    let apart = (split.difference.value() - difference.value()).kelvin();
    assert!((apart - half_glide).abs() < 1e-9);
}

#[test]
fn discharge_temperature_carries_its_doubts() {
    let fluid = table::fluid_named("R-404A");
    let doubt = Doubt::new(Cause::Judgement, "efficiency");
    let efficiency = Uncertain::new(Fraction::from_ratio(0.65), doubt, 0.05);
    let found =
        expected_discharge(&fluid, &gauge(55.0, 0.5), &clamp(45.0, 1.0), &gauge(250.0, 2.0), &efficiency)
            .unwrap();
    assert_eq!(found.temperature.largest().unwrap().0.of, "efficiency");
    assert!(found.isentropic < found.temperature.value());
    let upside_down =
        expected_discharge(&fluid, &gauge(250.0, 0.5), &clamp(145.0, 1.0), &gauge(55.0, 2.0), &efficiency);
    assert!(matches!(upside_down, Err(CompressionError::NotCompressed { .. })));
}

#[test]
fn above_the_critical_pressure_there_is_no_saturation() {
    let fluid = table::fluid_named("R-744");
    let pressure = Uncertain::exact(AbsolutePressure::from_pascal(90e5));
    let line = Uncertain::exact(Temperature::from_celsius(35.0));
    assert!(matches!(superheat(&fluid, &pressure, &line), Err(FluidError::AboveCriticalPressure { .. })));
    let state = above_critical(&fluid, pressure.value(), line.value()).unwrap();
    // The heat capacity of CO2 at 90 bar peaks near 40 °C (computed, CoolProp 8.0.0: 40.0 °C).
    let peak = state.pseudo_critical.unwrap().celsius();
    assert!((peak - 40.0).abs() < 0.5, "{peak} °C");
    assert!(state.state.density.kilogram_per_cubic_metre() > 600.0);
}

#[test]
fn blends_choke_at_1_6_to_1_7_by_their_isentropic_exponent() {
    // Computed figures for R-404A vapour: 1.65 to 1.71, so an opening above about 11 psig is choked at first.
    let fluid = table::fluid_named("R-404A");
    for (gauge, at) in [(15.0, 70.0), (55.0, 40.0)] {
        let state =
            fluid.state_at_pressure_temperature(psig(gauge), Temperature::from_fahrenheit(at)).unwrap();
        let speed = state.speed_of_sound.unwrap().metre_per_second();
        let exponent = state.density.kilogram_per_cubic_metre() * speed * speed / state.pressure.pascal();
        let ratio = field::leak::critical_pressure_ratio(exponent);
        assert!((1.65..1.71).contains(&ratio), "{gauge} psig: {ratio}");
    }
}

#[test]
fn a_cylinder_filled_to_its_limit_is_full_where_it_says() {
    let fluid = table::fluid_named("R-448A");
    let fill =
        field::cylinder::safe_fill(&fluid, Mass::from_pound(47.7), Mass::from_pound(27.0), None).unwrap();
    let full = fill.liquid_full.unwrap();
    let at = |kelvin: f64| {
        let temperature = Temperature::from_kelvin(full.kelvin() + kelvin);
        field::cylinder::liquid_fraction(&fluid, fill.net, fill.volume, temperature).unwrap().ratio()
    };
    assert!((at(0.0) - 1.0).abs() < 1e-4 && at(-5.0) < 0.99 && at(5.0) == 1.0);
    assert!((field::cylinder::room_left(&fill, Mass::from_pound(40.0)).pound() - 29.0).abs() < 0.2);
}

#[test]
fn a_charge_that_may_not_fit_is_not_resolved() {
    let fluid = table::fluid_named("R-404A");
    let doubt = Doubt::new(Cause::Judgement, "receiver volume");
    let litre = Volume::from_cubic_foot(0.5);
    let volume = Uncertain::within(litre, doubt, 0.05 * litre.cubic_metre());
    let capacity = receiver_capacity(&fluid, &volume, Temperature::from_fahrenheit(125.0), None).unwrap();
    // 22.1 lb at 125 °F.
    assert!((capacity.capacity.value().pound() - 22.1).abs() < 0.15);
    assert!(capacity.fill_assumed);
    let fits = |pound: f64| {
        let charge = Uncertain::exact(Mass::from_pound(pound));
        pump_down_room(&capacity, &charge, Mass::from_pound(1.0)).fits
    };
    assert_eq!(fits(18.0), Verdict::Inside);
    assert_eq!(fits(25.0), Verdict::Outside);
    assert!(matches!(fits(21.0), Verdict::NotResolved { .. }));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(16))]
    /// Stated superheat uncertainty against the two extremes of pressure and temperature that made it.
    #[test]
    fn superheat_moves_as_its_doubts_say(psi in 5.0..120.0f64, above in 5.0..40.0f64, u_p in 0.1..0.6f64, u_t in 0.1..1.5f64) {
        let fluid = table::fluid_named("R-404A");
        let dew = fluid.dew_at_pressure(psig(psi)).unwrap().temperature.fahrenheit();
        let at = |p: f64, t: f64| superheat(&fluid, &gauge(p, u_p), &clamp(t, u_t)).unwrap().superheat;
        let stated = at(psi, dew + above);
        let by_pressure = (at(psi - u_p, dew + above).value() - at(psi + u_p, dew + above).value()).kelvin() / 2.0;
        let by_line = u_t / 1.8;
        let expected = units::math::sqrt(by_pressure * by_pressure + by_line * by_line);
        proptest::prop_assert!((stated.u() / expected - 1.0).abs() < 2e-3, "{} {expected}", stated.u());
    }
}
