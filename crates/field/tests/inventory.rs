//! What a system ought to hold: void fractions against a reference library, densities against closed forms, masses in balance.

#![allow(clippy::unwrap_used)]

mod table;

use cycle::Void;
use field::inventory::{At, Part, Volumes, inside_of, inventory, mean_density};
use table::fluid_named;
use units::{Fraction, Length, Temperature, Volume};

/// Quality, densities of liquid and vapour, Zivi, one speed: fluids 1.3.0 (PyPI), `fluids.two_phase_voidage.Zivi` and
/// `homogeneous`; the first row is the worked example of its documentation.
const LIBRARY: [(f64, f64, f64, f64, f64); 5] = [
    (0.4, 800.0, 2.5, 0.968_933_990_905_635_6, 0.995_334_370_139_969),
    (0.1, 1100.0, 40.0, 0.503_058_151_642_876, 0.753_424_657_534_246_6),
    (0.5, 1100.0, 40.0, 0.901_095_573_901_632, 0.964_912_280_701_754_4),
    (0.9, 1150.0, 20.0, 0.992_596_817_212_983, 0.998_071_359_691_417_6),
    (0.02, 1000.0, 90.0, 0.092_245_268_944_693_29, 0.184_842_883_548_983_37),
];

#[test]
fn void_fractions_of_a_reference_library() {
    for (quality, liquid, vapour, zivi, one) in LIBRARY {
        let of = |law| Void::at(law, quality, vapour / liquid);
        assert!((of(Void::Zivi) - zivi).abs() < 1e-12, "{quality}: {}", of(Void::Zivi));
        assert!((of(Void::Homogeneous) - one).abs() < 1e-12, "{quality}: {}", of(Void::Homogeneous));
    }
    assert_eq!(Void::Zivi.at(0.0, 0.05), 0.0);
    assert_eq!(Void::Zivi.at(1.0, 0.05), 1.0);
}

/// At one speed the volume a kilogram goes evenly with the quality, so that the mean density has a closed form:
/// ln(v_v/v_l)/(v_v - v_l) from quality 0 to 1.
#[test]
fn the_mean_at_one_speed_in_closed_form() {
    let fluid = fluid_named("R-134a");
    let dew = fluid.dew_at_temperature(Temperature::from_celsius(40.0)).unwrap();
    let liquid = fluid.bubble_at_pressure(dew.pressure).unwrap().density.kilogram_per_cubic_metre();
    let vapour = dew.density.kilogram_per_cubic_metre();
    let (v, l) = (1.0 / vapour, 1.0 / liquid);
    let closed = units::math::ln(v / l) / (v - l);
    let mean = |law| mean_density(&fluid, dew.pressure, 1.0, 0.0, law).unwrap().kilogram_per_cubic_metre();
    assert!((mean(Void::Homogeneous) / closed - 1.0).abs() < 1e-9, "{} {closed}", mean(Void::Homogeneous));
    assert!(mean(Void::Zivi) > mean(Void::Homogeneous), "slip leaves more liquid");
    assert!(mean(Void::Zivi) < liquid);
}

#[test]
fn a_small_walk_in_part_by_part() {
    let fluid = fluid_named("R-404A");
    let litre = |low: f64, high: f64| Some((Volume::from_litre(low), Volume::from_litre(high)));
    let volumes = Volumes {
        condenser: litre(9.9, 9.9),
        receiver: litre(14.0, 14.0),
        liquid_line: litre(1.5, 1.5),
        evaporator: litre(6.0, 8.0),
        suction_line: litre(8.0, 8.0),
        discharge_line: None,
    };
    let at = |flooded: f64| At {
        condensing: Temperature::from_fahrenheit(105.0),
        evaporating: Temperature::from_fahrenheit(25.0),
        liquid: Temperature::from_fahrenheit(95.0),
        flooded: Fraction::from_ratio(flooded),
    };
    let held = inventory(&fluid, &volumes, &at(0.0)).unwrap();
    let of = |part: Part| held.iter().find(|one| one.part == part).unwrap();
    for one in &held {
        assert!(one.low <= one.high && one.low.kilogram() > 0.0, "{one:?}");
    }
    // The liquid line is full: 1.5 L of liquid at 95 °F.
    let liquid = fluid.bubble_at_temperature(Temperature::from_fahrenheit(95.0)).unwrap().density;
    let line = of(Part::LiquidLine);
    assert!((line.low.kilogram() - 0.0015 * liquid.kilogram_per_cubic_metre()).abs() < 1e-12);
    // A coil holds more than vapour and less than liquid; a wider volume gives a wider band.
    let coil = of(Part::Evaporator);
    let vapour = fluid.dew_at_temperature(Temperature::from_fahrenheit(25.0)).unwrap().density;
    assert!(coil.low.kilogram() > 0.006 * vapour.kilogram_per_cubic_metre());
    assert!(coil.high.kilogram() < 0.008 * liquid.kilogram_per_cubic_metre());
    assert!(held.iter().all(|one| one.part != Part::Flooded));
    // Flooding moves the condenser's charge from vapour to liquid: open part and flooded part fill its volume once.
    let winter = inventory(&fluid, &volumes, &at(0.8)).unwrap();
    let of = |all: &[field::inventory::Held], part: Part| {
        all.iter().find(|one| one.part == part).map_or(0.0, |one| one.low.kilogram())
    };
    assert!((of(&winter, Part::Condenser) / of(&held, Part::Condenser) - 0.2).abs() < 1e-9);
    assert!((of(&winter, Part::Flooded) - 0.8 * 0.0099 * liquid.kilogram_per_cubic_metre()).abs() < 1e-9);
    // What is not known is left out, not guessed.
    let few =
        inventory(&fluid, &Volumes { receiver: litre(14.0, 14.0), ..Volumes::default() }, &at(0.0)).unwrap();
    assert_eq!(few.len(), 1);
}

#[test]
fn the_tubes_are_those_of_the_data_file() {
    for (outside, inch) in
        [("3/8", 0.375), ("1/2", 0.5), ("5/8", 0.625), ("3/4", 0.75), ("7/8", 0.875), ("1-1/8", 1.125)]
    {
        let found = inside_of(Length::from_inch(inch)).unwrap();
        assert!((found.metre() - table::tube(outside).metre()).abs() < 1e-9, "{outside}");
    }
    assert_eq!(inside_of(Length::from_metre(0.031)), None);
}
