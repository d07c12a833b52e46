//! The worked leak rates of `data/checks/leak_rates.toml`, every failing row reported.

// A broken row may stop the test.
#![allow(clippy::unwrap_used)]

use rules::leak_rate::{annualizing, is_seasonal_variance, rolling};
use rules::{Date, ExactMass, Ratio};
use toml_edit::{DocumentMut, Item, Value};

fn table<'a>(item: &'a Item, key: &str) -> &'a dyn toml_edit::TableLike {
    item.get(key).and_then(Item::as_table_like).unwrap_or_else(|| panic!("no table {key}"))
}
fn text<'a>(table: &'a dyn toml_edit::TableLike, key: &str) -> &'a str {
    table.get(key).and_then(Item::as_str).unwrap_or_else(|| panic!("no text {key}"))
}
fn whole(table: &dyn toml_edit::TableLike, key: &str) -> i32 {
    table
        .get(key)
        .and_then(Item::as_integer)
        .and_then(|days| i32::try_from(days).ok())
        .unwrap_or_else(|| panic!("no whole number {key}"))
}
fn pound(text: &str) -> ExactMass {
    format!("{text} lb").parse().unwrap()
}
fn day(text: &str) -> Date {
    text.parse().unwrap()
}

#[test]
fn every_worked_rate() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/checks/leak_rates.toml");
    let document: DocumentMut = std::fs::read_to_string(path).unwrap().parse().unwrap();
    let cases = document["case"].as_array_of_tables().unwrap();
    let mut failures = Vec::new();
    for case in cases {
        let id = case["id"].as_str().unwrap();
        let case_item = Item::Table(case.clone());
        let (inputs, expected) = (table(&case_item, "inputs"), table(&case_item, "expected"));
        assert!(!case["source"].as_str().unwrap().is_empty() && !case["status"].as_str().unwrap().is_empty());
        let (rate, counted) = match case["kind"].as_str().unwrap() {
            "annualizing" => {
                let additions: Vec<ExactMass> = match inputs.get("additions_lb").and_then(Item::as_array) {
                    Some(several) => several.iter().map(|mass| pound(mass.as_str().unwrap())).collect(),
                    None => vec![pound(text(inputs, "added_lb"))],
                };
                let days = if inputs.contains_key("days_since_last_addition") {
                    whole(inputs, "days_since_last_addition")
                } else {
                    whole(inputs, "days_before_first_addition")
                };
                let added: ExactMass = additions.into_iter().sum();
                (annualizing(added, pound(text(inputs, "full_charge_lb")), days).unwrap(), added)
            }
            "rolling average" => {
                let charge = match inputs.get("full_charge_lb") {
                    Some(item) => pound(item.as_str().unwrap()),
                    None => panic!("{id}: no full charge"),
                };
                let additions: Vec<(Date, ExactMass)> = inputs
                    .get("additions")
                    .and_then(Item::as_array)
                    .unwrap()
                    .iter()
                    .map(|addition| {
                        let addition = addition.as_inline_table().unwrap();
                        let text = |key: &str| addition.get(key).and_then(Value::as_str).unwrap();
                        (day(text("date")), pound(text("lb")))
                    })
                    .collect();
                let follow_up =
                    inputs.get("last_successful_followup_all_leaks").and_then(Item::as_str).map(day);
                let found = rolling(&additions, charge, day(text(inputs, "as_of")), follow_up).unwrap();
                (found.percent, found.sum)
            }
            "seasonal variance" => {
                let removed = (day(text(inputs, "removed_date")), pound(text(inputs, "removed_lb")));
                let added = (day(text(inputs, "added_date")), pound(text(inputs, "added_lb")));
                if is_seasonal_variance(removed.1, removed.0, added.1, added.0)
                    != expected.get("qualifies_as_seasonal_variance").and_then(Item::as_bool).unwrap()
                {
                    failures.push(format!("{id}: seasonal variance decided otherwise"));
                }
                // The note of the row: one pound more would not qualify, nor would an earlier removal.
                assert!(!is_seasonal_variance(removed.1, removed.0, pound("41"), added.0));
                assert!(!is_seasonal_variance(removed.1, day("2025-10-31"), added.1, added.0));
                continue;
            }
            other => panic!("{id}: unknown kind {other}"),
        };
        let number = |key: &str| {
            expected.get(key).and_then(|item| item.as_float().or(item.as_integer().map(|i| i as f64)))
        };
        let percent = number("leak_rate_percent").unwrap();
        let tolerance =
            table(&case_item, "tolerance").get("leak_rate_percent").and_then(Item::as_float).unwrap();
        if (rate.to_f64() - percent).abs() > tolerance {
            failures.push(format!("{id}: {} % instead of {percent} %", rate.to_f64()));
        }
        for key in ["added_lb", "sum_lb"] {
            if let Some(mass) = number(key)
                && counted != pound(&format!("{mass}"))
            {
                failures.push(format!("{id}: counted {:?} instead of {mass} lb", counted));
            }
        }
        if let Some(exceeds) = expected.get("exceeds").and_then(Item::as_bool) {
            let threshold = number("threshold_percent").unwrap_or(20.0);
            let threshold = Ratio::decimal(&format!("{threshold}")).unwrap();
            if (rate > threshold) != exceeds {
                failures.push(format!("{id}: exceeds should be {exceeds} at {}", rate.to_f64()));
            }
        }
    }
    assert_eq!(cases.len(), 13, "rows were added or lost: extend this test");
    assert!(failures.is_empty(), "{} of {} failed:\n{}", failures.len(), cases.len(), failures.join("\n"));
}
