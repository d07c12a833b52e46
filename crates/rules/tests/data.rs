//! The law's data files: nothing without source, status and the day it was looked at; nothing that cannot be read.

#![allow(clippy::unwrap_used, reason = "a test may stop at what is not there")]

use rules::{Basis, Book, DutyFault, Judge, Origin, Ratio, Status};

#[test]
fn every_file_is_read() {
    let (book, faults) = Book::read_shipped();
    assert_eq!(faults, []);
    assert!(book.duties().len() > 100);
    assert!(book.gases().refrigerants().len() > 40);
}

#[test]
fn nothing_without_source_status_and_day() {
    let book = Book::shipped();
    for duty in book.duties() {
        assert_eq!(duty.origin, Origin::Shipped);
        for version in &duty.versions {
            assert!(!version.source.title.is_empty() && !version.checked.by.is_empty(), "{}", duty.id);
            assert!(version.checked.on.year() >= 2026, "{}", duty.id);
            let said = version.source.read_in.as_deref().unwrap_or_default();
            assert_eq!(version.status == Status::Recalled, said.contains("recalled"), "{}: {said}", duty.id);
            if version.status == Status::ReadInLaw {
                assert!(version.source.href.is_some(), "{}: read in law, but where?", duty.id);
            }
        }
        let text = format!("{} {}", duty.asks, duty.note.as_deref().unwrap_or_default()).to_lowercase();
        for word in ["quote:", "unpublished", "unknown\"", "draft", "todo"] {
            assert!(!text.contains(word), "{}: {word}", duty.id);
        }
    }
}

#[test]
fn silence_is_neither_a_ban_nor_a_permission() {
    for duty in Book::shipped().duties() {
        for version in &duty.versions {
            assert_eq!(duty.judged_by == Judge::NoBanFound, version.status == Status::Silence, "{}", duty.id);
            if version.status == Status::Silence {
                assert_eq!(version.effect, None, "{}", duty.id);
            }
        }
    }
}

#[test]
fn versions_of_one_duty_do_not_overlap() {
    for duty in Book::shipped().duties() {
        for (i, one) in duty.versions.iter().enumerate() {
            for other in &duty.versions[i + 1..] {
                let apart = one.until.zip(other.from).is_some_and(|(a, b)| a < b)
                    || other.until.zip(one.from).is_some_and(|(a, b)| a < b);
                assert!(apart, "{}", duty.id);
            }
        }
    }
}

#[test]
fn blends_of_saturated_hfc_have_the_printed_potential() {
    // Printed: Real Decreto 552/2019 IF-02; computed: AR4 by Annex VI of Regulation (EU) 2024/573. Within the rounding.
    let gases = Book::shipped().gases();
    let mut compared = 0;
    for refrigerant in gases.refrigerants() {
        let Some(ar4) = gases.gwp(refrigerant, Basis::Ar4).filter(|gwp| gwp.missing.is_empty()) else {
            continue;
        };
        let gap = (ar4.value.to_f64() - refrigerant.gwp_517.to_f64()).abs();
        assert!(
            gap < 1.0,
            "{}: {} and {}",
            refrigerant.name,
            ar4.value.to_f64(),
            refrigerant.gwp_517.to_f64()
        );
        compared += 1;
    }
    assert!(compared >= 20, "{compared}");
}

#[test]
fn european_potentials_of_blends_with_hfo() {
    // Regulation (EU) 2024/573 Annexes I, II and VI.
    let gases = Book::shipped().gases();
    for (name, digits, expected) in [
        ("R-450A", 0, "601"),
        ("R-454C", 1, "145.5"),
        ("r404a", 1, "3921.6"),
        ("448A", 0, "1386"),
        ("R-1234yf", 3, "0.501"),
        ("R-290", 2, "0.02"),
    ] {
        let gwp = gases.gwp(gases.find(name).unwrap(), Basis::Eu).unwrap();
        assert_eq!(gwp.value.rounded(digits), expected, "{name}");
        assert!(gwp.missing.is_empty());
    }
}

#[test]
fn compositions_are_whole() {
    for refrigerant in Book::shipped().gases().refrigerants() {
        let sum = refrigerant.composition.iter().try_fold(Ratio::ZERO, |sum, part| sum.plus(part.percent));
        assert_eq!(sum, Some(Ratio::whole(100)), "{}", refrigerant.name);
    }
}

const OWN: &str = r#"
id = "shop.notice"
jurisdiction = "ca-on"
instrument = "House rule"
section = "1"
asks = "Tell the shop of every leak within 2 days."
judged_by = "leak-repaired-within"

[[version]]
from = 2026-01-01
status = "secondary"
days = 2
source = { title = "House rules", href = "https://example.org/rules" }
checked = { on = 2026-11-25, by = "the shop" }
"#;

#[test]
fn a_shop_adds_its_own_duty() {
    let mut book = Book::shipped().clone();
    book.add(OWN).unwrap();
    assert_eq!(book.duty("shop.notice").unwrap().origin, Origin::Added);
    assert_eq!(book.add(OWN), Err(DutyFault::DuplicateId("shop.notice".to_owned())));
}

#[test]
fn a_bad_file_says_what_is_wrong() {
    let mut book = Book::shipped().clone();
    let mut fault = |from: &str, to: &str| book.add(&OWN.replace(from, to)).unwrap_err();
    assert_eq!(fault("status = \"secondary\"\n", ""), DutyFault::Missing("status"));
    assert_eq!(
        fault("days = 2\n", ""),
        DutyFault::MissingNumber { judge: Judge::LeakRepairedWithin, key: "days, hours or working_days" }
    );
    assert_eq!(fault("days = 2", "dayz = 2"), DutyFault::UnknownKey("dayz".to_owned()));
    let given = || "-2".to_owned();
    assert_eq!(
        fault("days = 2", "days = -2"),
        DutyFault::BadValue { key: "days".to_owned(), given: given() }
    );
    assert!(matches!(fault("id =", "id"), DutyFault::NotToml(_)));
    assert_eq!(
        fault(", href = \"https://example.org/rules\"", ""),
        DutyFault::Missing("source.href or source.read_in")
    );
}
