//! Planning an evacuation, against the figures of handbooks and of the trade.

// A broken case may stop the test.
#![allow(clippy::unwrap_used)]

use field::evacuation::{
    Course, EvacuationError, Passage, Pump, Way, conductance, course, effective_speed, pump_down,
    residual_share, water_out,
};
use units::math::{ln, powi};
use units::{AbsolutePressure, Duration, Length, Mass, SEA_LEVEL, Temperature, Volume};

const WARM: Temperature = Temperature::from_celsius(20.0);

fn micron(value: f64) -> AbsolutePressure {
    AbsolutePressure::from_pascal(value * units::PASCAL_PER_MICRON)
}

fn passage(mm: f64, metre: f64) -> Passage {
    Passage { bore: Length::from_metre(mm / 1000.0), length: Length::from_metre(metre) }
}

fn hose(mm: f64) -> Way {
    Way { passages: vec![passage(mm, 1.5)], side_by_side: 1 }
}

/// 6 ft3/min.
const PUMP: Pump = Pump { cubic_metre_per_second: 2.83e-3, ultimate: AbsolutePressure::from_pascal(0.0) };

fn close(found: f64, wanted: f64, part: f64, what: &str) {
    assert!((found - wanted).abs() <= part * wanted.abs(), "{what}: {found}, wanted {wanted}");
}

/// Air at 20 °C, d and l in cm, p in mbar, L/s: 135 d^4 p/l laminar and 12.1 d^3/l molecular, the constants that
/// handbooks of vacuum technology give (read in a maker's one-page sheet "Conductance", scribd.com/document/343359118;
/// the molecular one also with its example of 5 cm by 100 cm, 15.125 L/s, codingace.net/general/molecular_flow_cond).
#[test]
fn the_two_laws_of_a_tube() {
    let tube = passage(50.0, 1.0);
    // 1e-6 mbar: only the molecular share is left.
    let molecular = conductance(tube, AbsolutePressure::from_pascal(1e-4), WARM).unwrap();
    close(molecular * 1000.0, 15.125, 0.005, "molecular");
    let at_one_mbar = conductance(tube, AbsolutePressure::from_pascal(100.0), WARM).unwrap();
    close((at_one_mbar - molecular) * 1000.0, 135.0 * powi(5.0, 4) / 100.0, 0.005, "laminar");
}

/// At 500 micron, 1.5 m: 4.8 mm 0.041 L/s, 8 mm 0.287, 12 mm 1.38; a core of 2 mm by 10 mm 0.24 (worked for the trade
/// from the same laws, no publication).
#[test]
fn hoses_and_a_core() {
    for (mm, metre, litre) in [(4.8, 1.5, 0.041), (8.0, 1.5, 0.287), (12.0, 1.5, 1.38), (2.0, 0.01, 0.24)] {
        let found = conductance(passage(mm, metre), micron(500.0), WARM).unwrap();
        close(found * 1000.0, litre, 0.02, "conductance");
    }
}

/// 20 L from the air's pressure to 500 micron, dry: 17.5, 3.2 and 1.35 min (worked for the trade, no publication, with a
/// coarser mean pressure in the hose: 25 % of room).
#[test]
fn a_thin_hose_costs_a_quarter_of_an_hour() {
    for (mm, minutes) in [(4.8, 17.5), (8.0, 3.2), (12.0, 1.35)] {
        let time =
            pump_down(Volume::from_litre(20.0), PUMP, &hose(mm), SEA_LEVEL, micron(500.0), WARM).unwrap();
        close(time.second() / 60.0, minutes, 0.25, "minutes");
    }
    // No hose: V/S ln(p1/p2), 20 L / 2.83 L/s x ln(1520).
    let none = Way { passages: Vec::new(), side_by_side: 1 };
    let bare = pump_down(Volume::from_litre(20.0), PUMP, &none, SEA_LEVEL, micron(500.0), WARM).unwrap();
    close(bare.second(), 20.0 / 2.83 * ln(101_325.0 / micron(500.0).pascal()), 1e-6, "no hose");
}

/// Where the hose is the whole resistance and laminar, dp/dt = -k p^2/(2 V): t = 2 V/k (1/p2 - 1/p1).
#[test]
fn a_laminar_hose_in_closed_form() {
    let way = hose(4.8);
    let giant = Pump { cubic_metre_per_second: 1e3, ultimate: AbsolutePressure::from_pascal(0.0) };
    let (p1, p2) = (20_000.0_f64, 5_000.0_f64);
    let pascal = AbsolutePressure::from_pascal;
    let time = pump_down(Volume::from_litre(20.0), giant, &way, pascal(p1), pascal(p2), WARM).unwrap();
    let k = std::f64::consts::PI * powi(0.0048, 4) / (128.0 * 18.13e-6 * 1.5);
    // The molecular share is 0.2 % at 5 kPa.
    close(time.second(), 2.0 * 0.02 / k * (1.0 / p2 - 1.0 / p1), 0.005, "laminar");
}

#[test]
fn more_hoses_and_cores_out_help_and_a_pump_has_its_floor() {
    let air = micron(500.0);
    let speed = |way: &Way| effective_speed(PUMP, way, air, WARM).unwrap();
    let with_core = Way { passages: vec![passage(2.0, 0.01), passage(8.0, 1.5)], side_by_side: 1 };
    let two = Way { side_by_side: 2, ..hose(8.0) };
    assert!(speed(&with_core) < 0.7 * speed(&hose(8.0)));
    assert!(speed(&two) > 1.6 * speed(&hose(8.0)));
    assert!(speed(&two) < PUMP.cubic_metre_per_second);
    let tired = Pump { ultimate: micron(600.0), ..PUMP };
    let stuck = pump_down(Volume::from_litre(20.0), tired, &hose(8.0), SEA_LEVEL, air, WARM);
    assert!(matches!(stuck, Err(EvacuationError::NotReached { least, .. }) if least == micron(600.0)));
}

/// Water boils where IAPWS says: 9,212 micron at 50 °F; ice at 0 °F stands near 957.
#[test]
fn water_stands_at_its_own_pressure() {
    let out = |fahrenheit: f64, gram: f64| {
        let wall = Temperature::from_fahrenheit(fahrenheit);
        water_out(Mass::from_kilogram(gram / 1000.0), wall, PUMP, &hose(8.0)).unwrap()
    };
    let warm = out(50.0, 10.0);
    close(warm.stands_at.pascal(), micron(9_212.0).pascal(), 0.002, "50 F");
    assert!(!warm.ice);
    let cold = out(0.0, 10.0);
    close(cold.stands_at.pascal(), micron(957.0).pascal(), 0.005, "0 F");
    assert!(cold.ice);
    // The same water takes many times as long where it is cold.
    assert!(cold.at_least.second() > 20.0 * warm.at_least.second());
    // By hand: at 9,212 micron (1228 Pa) 8 mm by 1.5 m throttles 2.83 L/s to a little more than half; 1228 Pa of vapour at 283.15 K is
    // 9.4 g/m3, so 10 g are at least 1.06 m3 and 6.3 min.
    let bare = 0.010 / (1228.2 * 0.018_015 / (8.314_462_618 * 283.15)) / 2.83e-3;
    assert!(
        warm.at_least.second() > bare && warm.at_least.second() < 2.0 * bare,
        "{}",
        warm.at_least.second()
    );
}

/// 1,500 micron and back to the air's pressure, three times: 7.7e-9 is left (worked for the trade).
#[test]
fn three_times_leaves_little() {
    let left = residual_share(micron(1_500.0), SEA_LEVEL, 3).unwrap();
    close(left.ratio(), 7.7e-9, 0.01, "left");
    assert!(residual_share(SEA_LEVEL, micron(1_500.0), 3).is_err());
    assert!(residual_share(micron(1_500.0), SEA_LEVEL, 0).is_err());
}

#[test]
fn sizes_that_are_none_are_refused() {
    let bad = Way { passages: vec![passage(0.0, 1.5)], side_by_side: 1 };
    assert!(matches!(effective_speed(PUMP, &bad, micron(500.0), WARM), Err(EvacuationError::Parameter(_))));
    let none = Way { side_by_side: 0, ..hose(8.0) };
    assert!(effective_speed(PUMP, &none, micron(500.0), WARM).is_err());
    let volume = Volume::from_litre(20.0);
    assert!(pump_down(volume, PUMP, &hose(8.0), micron(500.0), SEA_LEVEL, WARM).is_err());
    assert!(matches!(
        water_out(Mass::from_kilogram(0.01), Temperature::from_celsius(400.0), PUMP, &hose(8.0)),
        Err(EvacuationError::Wall(_))
    ));
}

/// A pull followed live: the readings are the model's own, slowed or held up on purpose.
#[test]
fn a_course_is_told_from_its_last_two_readings() {
    let volume = Volume::from_litre(20.0);
    let (way, target) = (hose(8.0), micron(500.0));
    let tell = |points: &[(f64, f64)], wall: Option<f64>| {
        let points: Vec<_> =
            points.iter().map(|(min, p)| (Duration::from_second(min * 60.0), micron(*p))).collect();
        course(volume, PUMP, &way, &points, target, WARM, wall.map(Temperature::from_celsius)).unwrap()
    };
    let minutes = |from: f64, to: f64| {
        pump_down(volume, PUMP, &way, micron(from), micron(to), WARM).unwrap().second() / 60.0
    };
    let planned = minutes(5_000.0, 1_500.0);
    let left = minutes(1_500.0, 500.0) * 60.0;
    match tell(&[(1.0, 5_000.0), (1.0 + planned, 1_500.0)], None) {
        Some(Course::AsPlanned { left: Some(time) }) => close(time.second(), left, 1e-6, "time left"),
        other => panic!("{other:?}"),
    }
    match tell(&[(1.0, 5_000.0), (1.0 + 3.0 * planned, 1_500.0)], None) {
        Some(Course::Slower { times, left: Some(time) }) => {
            close(times, 3.0, 1e-9, "times slower");
            close(time.second(), 3.0 * left, 1e-6, "time left at that pace");
        }
        other => panic!("{other:?}"),
    }
    // Water on a wall of 5 °C boils at 873 Pa (Wagner and Pruss), 6,550 micron.
    match tell(&[(10.0, 6_600.0), (20.0, 6_540.0)], Some(5.0)) {
        Some(Course::Stands { at_water: true, given_off }) => {
            let speed = effective_speed(PUMP, &way, micron(6_540.0), WARM).unwrap();
            close(given_off, speed * micron(6_540.0).pascal(), 1e-12, "gas given off");
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        tell(&[(10.0, 1_300.0), (30.0, 1_290.0)], Some(5.0)),
        Some(Course::Stands { at_water: false, .. })
    ));
    // Too close together, one reading, a pressure that rose: nothing is told.
    assert_eq!(tell(&[(10.0, 6_600.0), (10.01, 6_590.0)], Some(5.0)), None);
    assert_eq!(tell(&[(10.0, 6_600.0)], None), None);
    assert_eq!(tell(&[(10.0, 600.0), (12.0, 900.0)], None), None);
    // There already.
    assert_eq!(tell(&[(10.0, 480.0), (20.0, 478.0)], None), Some(Course::AsPlanned { left: None }));
    let back = [(Duration::from_second(60.0), micron(900.0)), (Duration::from_second(30.0), micron(800.0))];
    assert!(matches!(
        course(volume, PUMP, &way, &back, target, WARM, None),
        Err(EvacuationError::Parameter(_))
    ));
}
