//! A seeded sample of `cargo xtask evaluate fluid`: lines and random states through every question and back.

// The helpers belong to tests too.
#![allow(clippy::unwrap_used, dead_code)]

#[path = "../examples/every_state/trial.rs"]
mod trial;

#[test]
fn lines_are_found_rise_and_are_in_equilibrium() {
    let lines = trial::lines(12);
    assert!(lines.asked > 3000, "{}", lines.asked);
    assert_eq!(lines.faults.count(), 0, "{:?}", lines.faults);
}

#[test]
fn random_states_come_back() {
    let classes = trial::states(400, 7);
    for class in &classes {
        assert!(class.trips > 1500, "{class:?}");
        assert_eq!(class.faults.count(), 0, "{class:?}");
    }
}

#[test]
fn a_fault_is_counted() {
    // What the trial calls equal must be able to differ: vapour's fugacities at another pressure.
    let fluid = refrigerant::find("R-448A").unwrap().fluid();
    let t = units::Temperature::from_celsius(0.0);
    let dew = fluid.dew_at_temperature(t).unwrap();
    let thinner = units::Density::from_kilogram_per_cubic_metre(0.9 * dew.density.kilogram_per_cubic_metre());
    let same = fluid.ln_fugacities(dew.density, t);
    let other = fluid.ln_fugacities(thinner, t);
    assert!(same.iter().zip(&other).all(|(a, b)| (a - b).abs() > 1e-3));
    // Saturated vapour lasts; made denser by a tenth it would separate.
    let denser = units::Density::from_kilogram_per_cubic_metre(1.1 * dew.density.kilogram_per_cubic_metre());
    assert!(!fluid.would_separate(dew.density, t));
    assert!(fluid.would_separate(denser, t));
}
