//! The price list: read strictly, its manual whole.

#![allow(clippy::unwrap_used)]

use record::{Percent, What, minute_of_day, price_keys, read_prices};
use std::path::PathBuf;

fn file(path: &str) -> String {
    std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)).unwrap()
}

#[test]
fn the_example_reads() {
    let prices = read_prices(file("examples/prices.toml").as_bytes()).unwrap();
    assert_eq!(prices.shop.currency, "CAD");
    assert_eq!(prices.taxes[0].rate, Percent { number: 13, decimals: 0 });
    assert!(prices.items.len() >= 3 && prices.hours.len() == 2 && prices.gas.len() == 1);
}

#[test]
fn every_key_is_in_the_manual_and_its_example_reads() {
    let manual = file("docs/prices.md");
    let missing: Vec<_> =
        price_keys().into_iter().filter(|(_, key)| !manual.contains(&format!("`{key}`"))).collect();
    let missing: Vec<_> = missing
        .into_iter()
        .filter(|(_, key)| !manual.contains(&format!("[{key}]")) && !manual.contains(&format!("`{key} = ")))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
    let example = manual.split("```toml\n").nth(1).unwrap().split("```").next().unwrap();
    read_prices(example.as_bytes()).unwrap();
}

#[test]
fn each_mistake_is_told_with_its_line() {
    let text = "gastight_prices = 1\n[shop]\nname = \"a\"\ncurrency = \"CAD\"\nopens = \"25:00\"\n\
                [[hour]]\nprice = \"100 EUR\"\n[[item]]\ncode = \"A\"\nwhat = \"x\"\nprice = \"1.00 CAD\"\n\
                [[item]]\ncode = \"A\"\nwhat = \"y\"\nprice = \"2 dollars\"\n[[tax]]\nname = \"T\"\nrate = \"130 %\"\n\
                [[gas]]\nrefrigerant = \"R-449A\"\nunit = \"stone\"\nprice = \"1.00 CAD\"\nhue = 3\n";
    let found = read_prices(text.as_bytes()).unwrap_err();
    let lines: Vec<usize> = found.first.iter().map(|problem| problem.line).collect();
    for line in [5, 7, 15, 18, 21, 23] {
        assert!(lines.contains(&line), "{line}: {found:#?}");
    }
    assert_eq!(found.total, found.first.len());
    let twice = text.replace("2 dollars", "2.00 CAD");
    let found = read_prices(twice.as_bytes()).unwrap_err();
    assert!(
        found.first.iter().any(|problem| matches!(problem.what, What::NameTwice { first_line: 8 })),
        "{found:#?}"
    );
    for text in [
        "",
        "[shop]\nname = \"a\"",
        "gastight = 1",
        "gastight_prices = 2\n[shop]\nname=\"a\"\ncurrency=\"CAD\"",
    ] {
        assert!(read_prices(text.as_bytes()).is_err(), "{text}");
    }
}

#[test]
fn a_time_of_day_is_one() {
    assert_eq!(minute_of_day("07:30"), Some(450));
    assert_eq!(minute_of_day("24:00"), Some(1440));
    for text in ["7:30", "24:01", "12:60", "12", "ab:cd", "+1:30"] {
        assert_eq!(minute_of_day(text), None, "{text}");
    }
}
