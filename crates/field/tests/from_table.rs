//! Dew, bubble and slope from the fluid's own table, against its full model.

#![allow(clippy::unwrap_used)]

use field::saturation::{ReadFrom, bubble, dew, glide_at_pressure};
use fluid::Fluid;
use units::{AbsolutePressure, Cause, Doubt, Uncertain};

const NAMES: [&str; 7] = ["R-134a", "R-717", "R-744", "R-404A", "R-407C", "R-448A", "R-410A"];

fn of(name: &str) -> Fluid {
    refrigerant::find(name).unwrap().fluid()
}

fn read(pascal: f64) -> Uncertain<AbsolutePressure> {
    Uncertain::new(AbsolutePressure::from_pascal(pascal), Doubt::new(Cause::Resolution, "gauge"), 1e3)
}

/// From the cold end of the table to its warm one, even in ln p.
#[test]
fn within_the_table_two_millikelvin_and_a_ten_thousandth_of_the_slope() {
    for name in NAMES {
        let fluid = of(name);
        let ends = fluid.saturation_table().unwrap().pressures();
        let low = 1.01 * ends[0].0.pascal().max(ends[1].0.pascal()).max(1e3);
        let high = 0.97 * ends[0].1.pascal().min(ends[1].1.pascal());
        for step in 0..=60 {
            let p = low * units::math::pow(high / low, f64::from(step) / 60.0);
            let pressure = read(p);
            let full = (fluid.bubble_at_pressure(pressure.value()), fluid.dew_at_pressure(pressure.value()));
            let full = (full.0.unwrap(), full.1.unwrap());
            let glide = glide_at_pressure(&fluid, pressure.value()).unwrap();
            assert_eq!(glide.from, ReadFrom::Table, "{name} {p}");
            let found = [bubble(&fluid, &pressure).unwrap(), dew(&fluid, &pressure).unwrap()];
            assert_eq!((glide.bubble, glide.dew), (found[0].0.value(), found[1].0.value()));
            let wanted = [(full.0.temperature, full.0.slope), (full.1.temperature, full.1.slope)];
            for ((t, slope), (t_full, slope_full)) in found.iter().zip(wanted) {
                let off = (t.value() - t_full).kelvin();
                assert!(off.abs() < 2e-3, "{name} {p} Pa: {off} K");
                assert!((slope / slope_full - 1.0).abs() < 1e-4, "{name} {p} Pa: {slope}, {slope_full}");
                assert!((t.u() * slope_full / 1e3 - 1.0).abs() < 1e-4, "{name} {p} Pa");
            }
        }
    }
}

/// Beyond the table it is the full model's answer to the bit, and its refusals.
#[test]
fn beyond_the_table_the_full_model_answers() {
    for name in NAMES {
        let fluid = of(name);
        let ends = fluid.saturation_table().unwrap().pressures();
        let highest = ends[0].1.pascal().min(ends[1].1.pascal());
        let p = AbsolutePressure::from_pascal(1.0005 * highest);
        let (Ok(bubble_point), Ok(dew_point)) = (fluid.bubble_at_pressure(p), fluid.dew_at_pressure(p))
        else {
            panic!("{name}: no saturation at {p:?}")
        };
        let glide = glide_at_pressure(&fluid, p).unwrap();
        assert_eq!(glide.from, ReadFrom::Model, "{name}");
        assert_eq!((glide.bubble, glide.dew), (bubble_point.temperature, dew_point.temperature), "{name}");
        let above = AbsolutePressure::from_pascal(2.0 * highest);
        assert_eq!(glide_at_pressure(&fluid, above).err(), fluid.bubble_at_pressure(above).err(), "{name}");
    }
}
