//! Recovering a charge.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

mod table;

use field::recovery::{Machine, Ready, RecoveryError, pool, shared_out, vapour_out};
use table::fluid_named;
use units::math::ln;
use units::{
    AbsolutePressure, Atmosphere, Fraction, GaugePressure, Mass, SEA_LEVEL, Temperature, Volume, VolumeFlow,
};

const MACHINE: Machine = Machine {
    displacement: VolumeFlow::from_cubic_metre_per_second(1.0e-3),
    intake: Fraction::from_ratio(0.7),
};

const NOTHING: AbsolutePressure = AbsolutePressure::from_pascal(1.0);

fn psig(value: f64) -> AbsolutePressure {
    GaugePressure::from_psi(value).absolute(Atmosphere::sea_level_assumed())
}

fn close(found: f64, wanted: f64, part: f64, what: &str) {
    assert!((found - wanted).abs() <= part * wanted.abs(), "{what}: {found}, wanted {wanted}");
}

/// An ideal gas takes V/S ln(p1/p2); nitrogen is one within 1 %.
#[test]
fn vapour_in_closed_form() {
    let gas = fluid_named("nitrogen");
    let volume = Volume::from_litre(60.0);
    let walls = Temperature::from_celsius(20.0);
    let found = vapour_out(&gas, volume, walls, psig(100.0), SEA_LEVEL, MACHINE).unwrap();
    close(found.time.second(), 0.06 / 0.7e-3 * ln(psig(100.0).pascal() / SEA_LEVEL.pascal()), 0.01, "time");
    // 60 L from 7.9 bar to 1 bar: 60 x 6.8 x 1.15 g.
    close(
        found.mass.kilogram(),
        0.06 * (psig(100.0).pascal() - SEA_LEVEL.pascal()) / (296.8 * 293.15),
        0.01,
        "mass",
    );
}

#[test]
fn above_the_dew_point_the_vapour_starts_there() {
    let gas = fluid_named("R-404A");
    let walls = Temperature::from_fahrenheit(70.0);
    let dew = gas.dew_at_temperature(walls).unwrap().pressure;
    let volume = Volume::from_litre(60.0);
    let found = vapour_out(&gas, volume, walls, psig(300.0), SEA_LEVEL, MACHINE).unwrap();
    assert_eq!(found.from, dew);
    let same = vapour_out(&gas, volume, walls, dew, SEA_LEVEL, MACHINE).unwrap();
    assert_eq!(found.time, same.time);
    // In two steps as long as in one.
    let half = vapour_out(&gas, volume, walls, dew, psig(40.0), MACHINE).unwrap().time.second();
    let rest = vapour_out(&gas, volume, walls, psig(40.0), SEA_LEVEL, MACHINE).unwrap().time.second();
    close(half + rest, found.time.second(), 1e-6, "two steps");
    assert!(matches!(
        vapour_out(&gas, volume, walls, psig(0.0), psig(5.0), MACHINE),
        Err(RecoveryError::Order { .. })
    ));
}

/// Vapour goes at 0.2 to 0.5 lb/min with the machines of the trade (common practice, no source); a pool with poor heat
/// comes down to that from several times as much.
#[test]
fn a_pool_cools_itself_and_slows_down() {
    let gas = fluid_named("R-404A");
    let walls = Temperature::from_fahrenheit(70.0);
    let a_minute = |conductance: f64| {
        let found = pool(&gas, walls, conductance, MACHINE, NOTHING).unwrap();
        (found.rate.kilogram_per_second() * 60.0 / 0.45359237, found.temperature.fahrenheit())
    };
    let (poor, cold) = a_minute(10.0);
    let (good, mild) = a_minute(200.0);
    assert!(poor > 0.2 && poor < 0.5, "{poor} lb/min");
    assert!(cold < -10.0 && mild > 20.0 && mild < 70.0, "{cold} °F, {mild} °F");
    assert!(good > 4.0 * poor);
    // The balance holds.
    let found = pool(&gas, walls, 50.0, MACHINE, NOTHING).unwrap();
    let t = found.temperature;
    let h = |density| gas.state_at_density_temperature(density, t).unwrap().enthalpy.joule_per_kilogram();
    let heat =
        h(gas.dew_at_temperature(t).unwrap().density) - h(gas.bubble_at_temperature(t).unwrap().density);
    close(found.rate.kilogram_per_second() * heat, 50.0 * (walls.kelvin() - t.kelvin()), 1e-3, "balance");
    // Not below the end: then the heat alone counts, with the smaller difference, and it takes longer.
    let free = pool(&gas, walls, 10.0, MACHINE, NOTHING).unwrap();
    let held = pool(&gas, walls, 10.0, MACHINE, SEA_LEVEL).unwrap();
    assert!(free.pressure < SEA_LEVEL && held.pressure == SEA_LEVEL && held.rate < free.rate);
    assert!(pool(&gas, walls, 0.0, MACHINE, NOTHING).is_err());
    assert!(pool(&gas, Temperature::from_celsius(120.0), 50.0, MACHINE, NOTHING).is_err());
}

#[test]
fn a_cylinder_with_something_else_takes_nothing() {
    let ready = |name: &str, holds: Option<&str>, kg: f64| Ready {
        name: name.to_owned(),
        holds: holds.map(str::to_owned),
        room: Mass::from_kilogram(kg),
    };
    let stand = [
        ready("empty", None, 18.0),
        ready("half", Some("R-404A"), 6.0),
        ready("nearly full", Some("r-404a"), 1.0),
        ready("other", Some("R-448A"), 12.0),
        ready("over", Some("R-404A"), -1.0),
    ];
    let found = shared_out("R-404A", Mass::from_kilogram(14.0), &stand);
    let names: Vec<(&str, f64)> =
        found.into.iter().map(|one| (one.name.as_str(), one.mass.kilogram())).collect();
    assert_eq!(names, [("nearly full", 1.0), ("half", 6.0), ("empty", 7.0)]);
    assert_eq!(found.left.kilogram(), 0.0);
    assert_eq!(found.others, ["other"]);
    assert_eq!(shared_out("R-404A", Mass::from_kilogram(30.0), &stand).left.kilogram(), 5.0);
}
