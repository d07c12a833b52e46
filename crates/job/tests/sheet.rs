//! The single sheets: what the customer reads, what hangs at the unit, the logs, the handover.

#![allow(clippy::unwrap_used)]

use job::sheet::{Sheet, sheet};
use job::visit::{Results, Visit};
use record::{Event, read_job_file};
use report::{Message, TextOptions};
use std::path::PathBuf;

fn events(name: &str, change: &dyn Fn(String) -> String) -> Vec<Event> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs").join(name);
    let text = change(std::fs::read_to_string(path).unwrap());
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn said(names: &[&str], which: Sheet, language: &str) -> String {
    said_with(names, which, language, &|text| text)
}

fn said_with(names: &[&str], which: Sheet, language: &str, change: &dyn Fn(String) -> String) -> String {
    let visits: Vec<Vec<Event>> = names.iter().map(|name| events(name, change)).collect();
    let visit = Visit::of_chain("", &visits);
    let results = Results::of(&visit);
    let wording = wording::Wording::new(language);
    let say = |message: &Message| wording.say(message);
    let document = sheet(&results, which, &visit.writer());
    let text = report::to_text(&document, &say, TextOptions::default());
    assert!(!text.contains('«') || language != "en", "a sentence is missing: {text}");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const FIRST: &str = "room-7-first-call.toml";
const SECOND: &str = "room-7-repair.toml";

#[test]
fn the_customer_s_page_says_what_was_wrong_done_and_left_open() {
    let text = said(&[FIRST, SECOND], Sheet::Customer, "en");
    for part in [
        "It leaked at: flare nut",
        "about 3.13 kg a year",
        "Flare cut out",
        // The hold could not tell; the page does not say more than it.
        "The pressure test could not tell",
        "Air in the box: 2.1 °C",
        "insulation missing on 1.5 m",
        "accepted",
        "We come back on",
        "Not legal advice",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let plain = text.split("Behind the first page").next().unwrap();
    assert!(!plain.contains('±') && !plain.contains("micron"), "plain words: {plain}");
    // A page of A4 holds some 3,000 characters in this type.
    assert!(plain.chars().count() < 2_500, "{}", plain.chars().count());
}

#[test]
fn the_label_has_the_last_setting_of_each_kind() {
    let text = said(&[FIRST, SECOND], Sheet::Label, "en");
    assert!(text.contains("low-pressure cut-out, condensing unit 14 psig"), "{text}");
    assert!(!text.contains("5 psig As"), "{text}");
    assert!(text.contains("Winter charge not known"), "{text}");
}

#[test]
fn the_logs_reach_over_all_visits() {
    let leaks = said(&[FIRST, SECOND], Sheet::Leaks, "en");
    assert!(leaks.contains("2031-05-06") && leaks.contains("2031-05-08") && leaks.contains("hit"));
    let cylinders = said(&[FIRST, SECOND], Sheet::Cylinders, "en");
    assert!(cylinders.contains("R-03") && cylinders.contains("24 lb 7.6 oz"));
    let owed =
        said_with(&[SECOND], Sheet::Cylinders, "en", &|text| text.replace("after = \"24 lb 7.6 oz\"\n", ""));
    assert!(owed.contains("owed"), "{owed}");
}

#[test]
fn the_handover_says_what_must_not_be_done_only_where_that_is_so() {
    let first = said(&[FIRST], Sheet::Handover, "en");
    for part in ["receiver outlet valve", "The system is off", "Do not start it", "not what is normal"] {
        assert!(first.contains(part), "{part}: {first}");
    }
    let second = said(&[FIRST, SECOND], Sheet::Handover, "en");
    assert!(!second.contains("Do not start it") && second.contains("What is normal here"), "{second}");
}

#[test]
fn every_sheet_reads_in_both_languages() {
    for name in Sheet::NAMES {
        let which = Sheet::named(name).unwrap();
        assert_eq!(which.name(), name);
        let (en, fr) = (said(&[FIRST, SECOND], which, "en"), said(&[FIRST, SECOND], which, "fr-CA"));
        assert_ne!(en, fr);
    }
    assert_eq!(Sheet::named("poster"), None);
}

#[test]
fn place_by_place_says_what_was_touched_and_how_it_stands() {
    let text = said(&[FIRST, SECOND], Sheet::Places, "en");
    for part in [
        // Found shut, left open; found 5 psig, left 14 psig.
        "found 5 psig, left 14 psig",
        "left as found, 38 psig",
        "Cylinder S-14",
        "used here: take it along",
        "2 trips, no climb",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let open = said_with(&[SECOND], Sheet::Places, "en", &|text| {
        format!(
            "{text}\n[[entry]]\nkind = \"opened\"\nat = 2031-05-08T12:50\nplace = \"plant yard\"\nwhat = \"jumper on the fan\"\n"
        )
    });
    assert!(open.contains("jumper on the fan open") && open.contains("Owed: "), "{open}");
    let closed = said_with(&[SECOND], Sheet::Places, "en", &|text| {
        format!(
            "{text}\n[[entry]]\nkind = \"opened\"\nat = 2031-05-08T12:50\nplace = \"plant yard\"\nwhat = \"jumper on the fan\"\n\
             [[entry]]\nkind = \"closed\"\nat = 2031-05-08T12:51\nplace = \"plant yard\"\nwhat = \"jumper on the fan\"\n"
        )
    });
    assert!(closed.contains("jumper on the fan opened, closed again"), "{closed}");
}

#[test]
fn the_handover_says_what_was_kept_as_normal_and_what_was_only_read_last() {
    let normal = "\n[[entry]]\nkind = \"normal\"\nat = 2031-05-08T13:00\nbecause = \"superheat settled\"\nsuperheat = \"4.7 K\"\nfans_running = 1\n";
    let kept = |text: String| if text.contains("R-03") { text + normal } else { text };
    let text = said_with(&[FIRST, SECOND], Sheet::Handover, "en", &kept);
    let (before, last) = text
        .split_once("Last read while running, and the settings as left")
        .unwrap_or_else(|| panic!("{text}"));
    let (_, own) = before.split_once("What is normal here").unwrap_or_else(|| panic!("{text}"));
    assert!(own.contains("Kept on 2031-05-08: superheat settled"), "{own}");
    assert!(own.contains("Superheat at the coil: 4.7 K") && own.contains("Fans running: 1"), "{own}");
    assert!(last.contains("Suction pressure"), "{last}");
}
