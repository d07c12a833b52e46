//! The load of a cold box: the worked figure of the EnergyPlus reference's law, an independent integration, and limits.

#![allow(clippy::unwrap_used)]

use field::boxload::{BoxError, Door, Lump, MoistAir, Walls, door_average, open_door};
use units::{Fraction, Length, Power, SEA_LEVEL, Temperature, TemperatureDifference};

fn air(celsius: f64, humidity: f64) -> MoistAir {
    MoistAir {
        temperature: Temperature::from_celsius(celsius),
        humidity: Fraction::from_ratio(humidity),
        pressure: SEA_LEVEL,
    }
}

/// A cooler at 1.67 °C and 90 %, a door of 3 by 6.67 ft open 5 % of the time, 23.9 °C and 50 % outside: 23.4 kW full, 936 W in
/// the mean, 94 W behind strips that hold back 0.9 (the law of the EnergyPlus Engineering Reference, walk-ins, reckoned in
/// the trade reference).
#[test]
fn a_cooler_s_door() {
    let door = Door { width: Length::from_metre(0.9144), height: Length::from_metre(6.67 * 0.3048) };
    let full = open_door(door, air(23.9, 0.5), air(1.67, 0.9)).unwrap();
    assert!((full.watt() / 23_400.0 - 1.0).abs() < 0.01, "{}", full.watt());
    let colder = TemperatureDifference::from_kelvin(22.23);
    let mean =
        |held: f64| door_average(full, Fraction::from_ratio(0.05), colder, Fraction::from_ratio(held)).watt();
    assert!((mean(0.0) / 936.0 - 1.0).abs() < 0.01, "{}", mean(0.0));
    assert!((mean(0.9) / 94.0 - 1.0).abs() < 0.01, "{}", mean(0.9));
    // A box as warm as the room draws nothing in, and air wetter than wet is refused.
    assert!(open_door(door, air(20.0, 0.5), air(20.0, 0.5)).unwrap().watt().abs() < 1e-9);
    assert_eq!(open_door(door, air(20.0, 1.2), air(2.0, 0.9)), Err(BoxError::Parameter(1.2)));
}

fn lump(capacity: f64) -> Lump {
    Lump {
        holds: 1.7e6,
        conductance: 17.0,
        besides: Power::from_watt(120.0),
        capacity: Power::from_watt(capacity),
        around: Temperature::from_celsius(24.0),
    }
}

/// Stepped through in small steps, which knows nothing of the closed form.
fn stepped(lump: &Lump, from: f64, to: f64) -> f64 {
    let (mut t, mut seconds) = (from, 0.0);
    let step = 0.25;
    while (t < to) == (from < to) && seconds < 1e7 {
        let slope = |t: f64| {
            (lump.conductance * (lump.around.celsius() - t) + lump.besides.watt() - lump.capacity.watt())
                / lump.holds
        };
        let half = t + 0.5 * step * slope(t);
        t += step * slope(half);
        seconds += step;
    }
    seconds
}

#[test]
fn warming_and_pulling_down() {
    let celsius = Temperature::from_celsius;
    let warm = lump(0.0).takes(celsius(2.0), celsius(5.0)).unwrap().second();
    assert!((warm - stepped(&lump(0.0), 2.0, 5.0)).abs() < 1.0, "{warm}");
    let cold = lump(2_000.0).takes(celsius(20.0), celsius(2.0)).unwrap().second();
    assert!((cold - stepped(&lump(2_000.0), 20.0, 2.0)).abs() < 1.0, "{cold}");
    // Energy: what the plant took out is what came in and what the lump gave up.
    let settles = lump(2_000.0).settles().unwrap().celsius();
    let mean = settles + (20.0 - 2.0) / units::math::ln((settles - 20.0) / (settles - 2.0));
    let came_in = (17.0 * (24.0 - mean) + 120.0) * cold;
    assert!((2_000.0 * cold - came_in - 1.7e6 * 18.0).abs() < 1e-6 * 1.7e6 * 18.0);
    // A plant too small comes to a stand above the temperature wanted, and says where.
    match lump(300.0).takes(celsius(20.0), celsius(2.0)) {
        Err(BoxError::Settles(at)) => assert!((at.celsius() - (24.0 - 180.0 / 17.0)).abs() < 1e-9),
        other => panic!("{other:?}"),
    }
    assert!(lump(0.0).takes(celsius(5.0), celsius(2.0)).is_err(), "without a plant nothing grows colder");
}

#[test]
fn walls_by_their_foam() {
    let foot = |n: f64| Length::from_metre(n * 0.3048);
    let walls = Walls { length: foot(10.0), width: foot(10.0), height: foot(8.0), foam: foot(1.0 / 3.0) };
    // R-25 on 520 ft2: 20.8 Btu/(h °F).
    assert!((walls.conductance().unwrap() / (20.8 * 0.527_527_9) - 1.0).abs() < 1e-3);
    let none = Walls { foam: Length::from_metre(0.0), ..walls };
    assert_eq!(none.conductance(), Err(BoxError::Parameter(0.0)));
    assert!((walls.room().cubic_foot() - 800.0).abs() < 1e-6);
}
