//! The tables against the full model. Every refrigerant: `cargo xtask tables --check`; here some of each kind.

// The helpers belong to tests too.
#![allow(clippy::unwrap_used)]

use refrigerant::find;
use units::{AbsolutePressure, Temperature, TemperatureDifference};

const SOME: &[&str] = &["R-134a", "R-744", "R-404A", "R-448A", "R-455A", "R-452C", "R-438A"];

#[test]
fn saturation_tables_agree_with_the_full_model() {
    for name in SOME {
        let fluid = find(name).unwrap().fluid();
        let table = fluid.saturation_table().unwrap();
        let (low, high) = table.temperatures()[1];
        for k in 0..=40 {
            let t = low.kelvin() + (high.kelvin() - low.kelvin()) * f64::from(k) / 40.0;
            let t = Temperature::from_kelvin(t.min(high.kelvin()));
            let (own, full) = (table.dew_at_temperature(t).unwrap(), fluid.dew_at_temperature(t).unwrap());
            let p = full.pressure.pascal();
            assert!((own.pressure.pascal() / p - 1.0).abs() < 1e-5, "{name} {} K", t.kelvin());
            assert_eq!(table.dew_pressure(t), Some(own.pressure));
            let density = full.density.kilogram_per_cubic_metre();
            assert!(
                (own.density.kilogram_per_cubic_metre() / density - 1.0).abs() < 1e-5,
                "{name} {} K",
                t.kelvin()
            );
            let off = own.enthalpy.joule_per_kilogram() - full.enthalpy.joule_per_kilogram();
            assert!(off.abs() < 3.0, "{name} {} K: {off} J/kg", t.kelvin());
            // There and back, wherever the pressure lies in the other table.
            if let Some(back) = table.dew_temperature(own.pressure) {
                assert!((back.kelvin() / t.kelvin() - 1.0).abs() < 1e-5, "{name} {} K", t.kelvin());
            }
        }
        let (low, high) = table.pressures()[0];
        for k in 0..=20 {
            let p = low.pascal() * units::math::pow(high.pascal() / low.pascal(), f64::from(k) / 20.0);
            let p = AbsolutePressure::from_pascal(p.clamp(low.pascal(), high.pascal()));
            let (own, full) = (table.bubble_at_pressure(p).unwrap(), fluid.bubble_at_pressure(p).unwrap());
            assert!((own.temperature.kelvin() / full.temperature.kelvin() - 1.0).abs() < 1e-5, "{name}");
            assert_eq!(own.pressure, p);
        }
    }
}

#[test]
fn beyond_its_range_a_table_says_nothing() {
    let fluid = find("R-448A").unwrap().fluid();
    let table = fluid.saturation_table().unwrap();
    for kelvin in [f64::NAN, -1.0, 0.0, 50.0, 356.5, 1e9] {
        assert_eq!(table.bubble_pressure(Temperature::from_kelvin(kelvin)), None);
        assert_eq!(table.dew_at_temperature(Temperature::from_kelvin(kelvin)), None);
    }
    for pascal in [f64::NAN, -1.0, 0.0, 1e-3, 5e6] {
        assert_eq!(table.bubble_temperature(AbsolutePressure::from_pascal(pascal)), None);
        assert_eq!(table.dew_at_pressure(AbsolutePressure::from_pascal(pascal)), None);
        let none = fluid
            .vapour_table()
            .unwrap()
            .at_superheat(AbsolutePressure::from_pascal(pascal), TemperatureDifference::from_kelvin(5.0));
        assert_eq!(none, None);
    }
    let vapour = fluid.vapour_table().unwrap();
    for kelvin in [f64::NAN, -0.1, 1e3] {
        let p = AbsolutePressure::from_pascal(4e5);
        assert_eq!(vapour.at_superheat(p, TemperatureDifference::from_kelvin(kelvin)), None);
    }
}

#[test]
fn vapour_tables_agree_with_the_full_model() {
    for name in SOME {
        let fluid = find(name).unwrap().fluid();
        let table = fluid.vapour_table().unwrap();
        let (low, high) = table.pressures();
        for k in 0..=8 {
            let p = low.pascal() * units::math::pow(high.pascal() / low.pascal(), f64::from(k) / 8.0);
            let p = AbsolutePressure::from_pascal(p.clamp(low.pascal(), high.pascal()));
            let dew = fluid.dew_at_pressure(p).unwrap().temperature;
            for j in 1..=8 {
                let superheat = TemperatureDifference::from_kelvin(
                    table.greatest_superheat().kelvin() * f64::from(j * j) / 64.0,
                );
                let own = table.at_superheat(p, superheat).unwrap();
                let full = fluid.state_at_pressure_temperature(p, dew + superheat).unwrap();
                let density = full.density.kilogram_per_cubic_metre();
                assert!((own.density.kilogram_per_cubic_metre() / density - 1.0).abs() < 1e-4, "{name}");
                let cp = full.cp.unwrap().joule_per_kilogram_kelvin();
                let h = own.enthalpy.joule_per_kilogram() - full.enthalpy.joule_per_kilogram();
                assert!(h.abs() < 0.02 * cp, "{name}: {h} J/kg at {} Pa", p.pascal());
                let s = own.entropy.joule_per_kilogram_kelvin() - full.entropy.joule_per_kilogram_kelvin();
                assert!(s.abs() * dew.kelvin() < 0.02 * cp, "{name}: {s} J/(kg K)");
                let by_s = table.at_entropy(p, own.entropy).unwrap();
                let by_h = table.at_enthalpy(p, own.enthalpy).unwrap();
                assert!((by_s.superheat - superheat).kelvin().abs() < 1e-8, "{name}");
                assert!((by_h.superheat - superheat).kelvin().abs() < 1e-8, "{name}");
            }
        }
    }
}

/// Liquids that part in the cold: one typed reason for the bubble point, and the first of both dew points.
#[test]
fn two_liquids_in_the_cold_are_named() {
    let fluid = find("R-500").unwrap().fluid();
    let t = Temperature::from_kelvin(150.0);
    assert_eq!(fluid.bubble_at_temperature(t).err(), Some(fluid::FluidError::TwoLiquids));
    assert!(fluid.dew_at_temperature(t).is_ok());
    let fluid = find("R-439A").unwrap().fluid();
    let mut before = 0.0;
    for k in 0..60 {
        let p = AbsolutePressure::from_pascal(300.0 * units::math::pow(1.05, f64::from(k)));
        let t = fluid.dew_at_pressure(p).unwrap().temperature.kelvin();
        assert!(t > before, "{t} K after {before} K");
        before = t;
        let back = fluid.dew_at_temperature(Temperature::from_kelvin(t)).unwrap().pressure;
        assert!((back.pascal() / p.pascal() - 1.0).abs() < 1e-8);
    }
}
