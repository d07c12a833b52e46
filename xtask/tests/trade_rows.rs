//! The rows of `data/checks/trade.toml` that no single crate of the core computes: fractionation, compressor maps, and what law and
//! codes say. The rest is in `crates/field/tests/trade_checks.rs` and `crates/diagnosis/tests/order.rs`.

#![allow(clippy::unwrap_used)]

use cycle::Map;
use fluid::{Inventory, LeakFrom};
use rules::{EvacuationLevel, ExactMass, PressureClass, evacuation_level};
use std::path::Path;
use toml_edit::{Document, Table};
use units::{Fraction, Temperature};

fn document() -> Document<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/checks/trade.toml");
    Document::parse(std::fs::read_to_string(path).unwrap()).unwrap()
}

/// Runs over the rows of a kind, and sees that there are as many as were when this was written.
fn each(kind: &str, count: usize, mut check: impl FnMut(&Table)) {
    let document = document();
    let rows = document["case"].as_array_of_tables().unwrap();
    let mut seen = 0;
    for row in rows.iter().filter(|row| row["kind"].as_str() == Some(kind)) {
        check(row);
        seen += 1;
    }
    assert_eq!(seen, count, "{kind}");
}

fn number(row: &Table, part: &str, key: &str) -> f64 {
    let value = &row[part][key];
    value
        .as_float()
        .or_else(|| value.as_integer().map(|whole| whole as f64))
        .unwrap_or_else(|| panic!("{part}.{key}"))
}

fn numbers(row: &Table, part: &str, key: &str) -> Vec<f64> {
    let all = row[part][key].as_array().unwrap();
    all.iter().map(|value| value.as_float().unwrap_or_else(|| value.as_integer().unwrap() as f64)).collect()
}

/// Rayleigh's law on an isothermal leak of vapour, liquid alone: CoolProp 8.0.0 in steps of 0.5 per cent, as the rows say.
#[test]
fn what_a_vapour_leak_leaves() {
    each("fractionation", 3, |row| {
        let known = refrigerant::find(row["inputs"]["refrigerant"].as_str().unwrap()).unwrap();
        let remains = known
            .fluid()
            .after_leak(
                Temperature::from_celsius(number(row, "inputs", "t_c")),
                LeakFrom::Vapour,
                Fraction::from_ratio(number(row, "inputs", "mass_fraction_lost")),
                Inventory::LiquidAlone,
            )
            .unwrap();
        let names: Vec<String> = row["inputs"]["order"]
            .as_str()
            .unwrap()
            .split(',')
            .map(|name| name.replacen('R', "R-", 1))
            .collect();
        let parts: Vec<&str> = known.composition().iter().map(|(part, _)| *part).collect();
        let shares = remains.fluid.mass_fractions();
        for (name, wanted) in names.iter().zip(numbers(row, "expected", "remaining_mass_pct")) {
            let at =
                parts.iter().position(|part| part == name).unwrap_or_else(|| panic!("{name} in {parts:?}"));
            let found = 100.0 * shares[at];
            assert!(
                (found - wanted).abs() < number(row, "tolerance", "remaining_mass_pct"),
                "{name}: {found} {wanted}"
            );
        }
    });
}

/// The order of the ten coefficients, by a published map and by one in the other order.
#[test]
fn compressor_maps_in_both_orders() {
    let map = |row: &Table, key: &str| -> [f64; 10] { numbers(row, "inputs", key).try_into().unwrap() };
    each("compressor map", 3, |row| {
        let at = |key| Map(map(row, key)).at(number(row, "inputs", "s_c"), number(row, "inputs", "d_c"));
        let (power, flow) = (at("coef_power_w"), at("coef_mdot_g_s"));
        assert!(
            (power - number(row, "expected", "power_w")).abs() < number(row, "tolerance", "power_w"),
            "{power}"
        );
        assert!(
            (flow - number(row, "expected", "mdot_g_s")).abs() < number(row, "tolerance", "mdot_g_s"),
            "{flow}"
        );
    });
    each("compressor map, other order", 1, |row| {
        let (s, d) = (number(row, "inputs", "sst_c"), number(row, "inputs", "sct_c"));
        for (key, wanted) in [("capacity_coef", "capacity_w"), ("power_coef", "power_w")] {
            let found = Map::from_bicubic_order(map(row, key)).at(s, d);
            assert!(
                (found - number(row, "expected", wanted)).abs() < number(row, "tolerance", wanted),
                "{key}: {found}"
            );
        }
    });
}

/// 40 CFR 82.156 Table 1, machines made after 1993-11-15.
#[test]
fn what_the_law_asks_before_opening() {
    each("evacuation levels", 1, |row| {
        let wanted = numbers(row, "expected", "inhg");
        let classes = row["inputs"]["class"].as_array().unwrap();
        assert_eq!(classes.len(), wanted.len());
        for (class, wanted) in classes.iter().zip(wanted) {
            let class = class.as_str().unwrap();
            let of = match class.split(' ').next().unwrap() {
                "very" => PressureClass::VeryHigh,
                "high" => PressureClass::High,
                "medium" => PressureClass::Medium,
                other => panic!("{other}"),
            };
            let charge = ExactMass::pounds(if class.contains('<') { 199 } else { 200 });
            let (level, _) = evacuation_level(of, charge, false).unwrap();
            let EvacuationLevel::InchesOfMercuryVacuum(found) = level else { panic!("{level:?}") };
            assert!((f64::from(found) - wanted).abs() < 1e-9, "{class}: {found}");
        }
    });
}

/// The vacuum figures of the Canadian code of practice after its errata, as the shipped duty says them.
#[test]
fn the_vacuum_figures_of_the_code() {
    each("vacuum limits of a code", 1, |row| {
        let path =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../data/law/duties/ca-guidance/ca.code.vac.toml");
        let text = std::fs::read_to_string(path).unwrap();
        for (section, key) in [
            ("4.5(3)", "s4_5_3_micron"),
            ("4.8(6)", "s4_8_6_micron"),
            ("4.9(7)", "s4_9_7_micron"),
            ("4.8(3)", "s4_8_3_micron"),
        ] {
            let figure = format!("{section} {} microns", number(row, "expected", key));
            assert!(text.contains(&figure), "{figure}");
        }
    });
}
