//! What remains of a blend after a leak.

#![allow(clippy::unwrap_used)]

use fluid::{FluidError, Inventory, LeakFrom, Phase};
use refrigerant::{all, find};
use std::path::Path;
use units::{Fraction, Temperature};

fn part(ratio: f64) -> Fraction {
    Fraction::from_ratio(ratio)
}

/// Against an integration with another program's phase equilibrium.
#[test]
fn vapour_lost_from_liquid_agrees_with_coolprop() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/checks/fractionation.csv");
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.starts_with("# CoolProp 8.0.0"));
    let mut compared = 0;
    for line in text.lines().skip(2) {
        let row: Vec<&str> = line.split(',').collect();
        let number = |k: usize| row[k].parse::<f64>().unwrap();
        let fluid = find(row[0]).unwrap().fluid();
        let t = Temperature::from_kelvin(number(1));
        let rest = fluid.after_leak(t, LeakFrom::Vapour, part(number(2)), Inventory::LiquidAlone).unwrap();
        for (own, wanted) in rest.fluid.mass_fractions().iter().zip(row[3].split(' ')) {
            assert!((own - wanted.parse::<f64>().unwrap()).abs() < 2e-6, "{line}: {own}");
        }
        let off = rest.state.pressure.pascal() / number(4) - 1.0;
        assert!(off.abs() < 1e-5, "{line}: {off:.1e}");
        compared += 1;
    }
    assert_eq!(compared, 4);
}

#[test]
fn a_room_holds_what_is_left() {
    let fluid = find("R-448A").unwrap().fluid();
    let t = Temperature::from_celsius(25.0);
    let at_start = Inventory::VapourAtStart(part(0.2));
    let full = fluid.after_leak(t, LeakFrom::Vapour, part(0.0), at_start).unwrap();
    assert!((full.state.quality.unwrap().ratio() - 0.2).abs() < 1e-9);
    for (own, before) in full.fluid.mass_fractions().iter().zip(fluid.mass_fractions()) {
        assert!((own - before).abs() < 1e-14);
    }
    let alone = fluid.after_leak(t, LeakFrom::Vapour, part(0.3), Inventory::LiquidAlone).unwrap();
    for from in [LeakFrom::Vapour, LeakFrom::Liquid] {
        let rest = fluid.after_leak(t, from, part(0.3), at_start).unwrap();
        // The room has not changed, the mass has.
        let ratio =
            rest.state.density.kilogram_per_cubic_metre() / full.state.density.kilogram_per_cubic_metre();
        assert!((ratio - 0.7).abs() < 1e-9, "{from:?}: {ratio}");
        assert_eq!(rest.state.phase, Phase::TwoPhase);
        let [before, after] = [&fluid, &rest.fluid].map(|f| f.mass_fractions()[0]);
        match from {
            // R-32 boils first: vapour takes it, but not as much as without vapour in stock.
            LeakFrom::Vapour => assert!(after < before && after > alone.fluid.mass_fractions()[0]),
            // What stays behind as vapour is richer in it.
            LeakFrom::Liquid => assert!(after > before),
        }
    }
    // Nearly all lost: no liquid is left, and the vapour's composition is that of the whole.
    let last = fluid.after_leak(t, LeakFrom::Vapour, part(0.95), at_start).unwrap();
    assert_eq!(last.state.phase, Phase::Vapour);
}

#[test]
fn what_cannot_change_does_not() {
    let t = Temperature::from_celsius(20.0);
    let pure = find("R-134a").unwrap().fluid();
    for inventory in [Inventory::LiquidAlone, Inventory::VapourAtStart(part(0.1))] {
        let rest = pure.after_leak(t, LeakFrom::Vapour, part(0.4), inventory).unwrap();
        assert_eq!(rest.fluid.mass_fractions(), [1.0]);
        let p = pure.dew_at_temperature(t).unwrap().pressure.pascal();
        assert!((rest.state.pressure.pascal() / p - 1.0).abs() < 1e-8);
    }
    let blend = find("R-407C").unwrap().fluid();
    let rest = blend.after_leak(t, LeakFrom::Liquid, part(0.4), Inventory::LiquidAlone).unwrap();
    for (own, before) in rest.fluid.mass_fractions().iter().zip(blend.mass_fractions()) {
        assert!((own - before).abs() < 1e-12);
    }
    for wrong in [-0.1, 0.99, f64::NAN] {
        let refused = blend.after_leak(t, LeakFrom::Vapour, part(wrong), Inventory::LiquidAlone);
        assert!(matches!(refused.err(), Some(FluidError::QualityOutOfRange { .. })));
    }
    let hot = Temperature::from_celsius(120.0);
    let refused = blend.after_leak(hot, LeakFrom::Vapour, part(0.1), Inventory::LiquidAlone);
    assert!(matches!(refused.err(), Some(FluidError::AboveCriticalTemperature { .. })));
}

/// Every blend at 20 °C: the pressure falls by a leak of vapour, and no more with vapour in stock than without.
#[test]
fn every_blend_loses_pressure_by_vapour() {
    let t = Temperature::from_celsius(20.0);
    let mut asked = 0;
    for known in all().iter().filter(|r| r.composition().len() > 1) {
        let fluid = known.fluid();
        let Ok(bubble) = fluid.bubble_at_temperature(t) else { continue };
        let alone = fluid.after_leak(t, LeakFrom::Vapour, part(0.25), Inventory::LiquidAlone).unwrap();
        let fall = bubble.pressure.pascal() - alone.state.pressure.pascal();
        assert!(fall > -1e-7 * bubble.pressure.pascal(), "{}: {fall} Pa", known.designation());
        asked += 1;
        if asked % 5 != 0 {
            continue;
        }
        let room = Inventory::VapourAtStart(part(0.1));
        let stock = fluid.after_leak(t, LeakFrom::Vapour, part(0.25), room).unwrap();
        let sum: f64 = stock.fluid.mass_fractions().iter().sum();
        assert!((sum - 1.0).abs() < 1e-12, "{}", known.designation());
    }
    assert!(asked > 100, "{asked}");
}
