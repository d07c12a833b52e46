//! The situations of `data/checks/law_situations.toml`: facts in words, and what the law asks.

#![allow(clippy::unwrap_used, reason = "a test may stop at what is not there")]

use rules::*;
use toml_edit::{DocumentMut, Item, Table};

const TEXT: &str = include_str!("../../../data/checks/law_situations.toml");

const KEYS: &[&str] = &[
    "title",
    "section",
    "place",
    "owner",
    "use",
    "refrigerant",
    "full_charge",
    "largest_circuit",
    "installed",
    "rated_kilowatts",
    "labelled_hermetic",
    "detection_system",
    "process_shutdown",
    "stopping_endangers",
    "immediate_danger",
    "certified",
    "leak_rate_method",
    "on",
    "happened",
    "intends",
    "gas",
    "charging",
    "until",
    "why",
    "because",
    "missing",
    "act_as_if",
    "emergency_exception",
    "duties",
    "records",
    "leak_rates",
    "gases",
    "unconfirmed",
];

fn texts(t: &Table, key: &str) -> Option<Vec<String>> {
    let array = t.get(key)?.as_array().unwrap_or_else(|| panic!("{key} is no list"));
    Some(array.iter().map(|v| v.as_str().unwrap().to_owned()).collect())
}

fn event(index: usize, line: &str) -> Event {
    let mut words = line.split_whitespace().peekable();
    let on = words.next().unwrap().parse().unwrap();
    let at = words.peek().filter(|w| w.contains(':')).map(|w| w.parse().unwrap());
    if at.is_some() {
        words.next();
    }
    let rest: Vec<&str> = words.collect();
    let key = |i: usize| rest.get(i).map(|w| (*w).to_owned());
    let what = match rest.as_slice() {
        ["leak", "test", "clean"] => What::LeakChecked { found: Some(false), leak: None, located: None },
        ["leak", "test", "found", ..] => {
            What::LeakChecked { found: Some(true), leak: key(3), located: Some(true) }
        }
        ["leak", "found", ..] => What::LeakFound { leak: key(2), located: Some(true) },
        ["owner", "told"] => What::OwnerTold,
        ["repaired", ..] => {
            let evacuated = match rest.get(2) {
                Some(&"evacuated") => Some(true),
                Some(&"not-evacuated") => Some(false),
                None => None,
                Some(other) => panic!("{line}: {other}"),
            };
            What::Repaired { leak: key(1), evacuated }
        }
        ["emptied", ..] => What::Emptied { leak: key(1) },
        ["verification", "passed"] => What::InitialVerification { passed: true },
        ["mothballed"] => What::Mothballed,
        ["added", ..] | ["released", ..] => {
            let end = rest[1..]
                .chunks(2)
                .take_while(|pair| pair[0].starts_with(|c: char| c.is_ascii_digit()))
                .count();
            let mass = Some(rest[1..1 + 2 * end].join(" ").parse().unwrap());
            let words = &rest[1 + 2 * end..];
            if rest[0] == "released" {
                What::Released { mass }
            } else {
                let reason = words.first().map(|w| Reason::named(w).unwrap_or_else(|| panic!("{line}")));
                let gas = words.get(1).map(|w| GasFrom::named(w).unwrap_or_else(|| panic!("{line}")));
                What::Added { mass, reason, leak: None, gas }
            }
        }
        _ => panic!("what is {line:?}?"),
    };
    Event { at, ..Event::new(format!("e{index}"), on, what) }
}

fn facts(t: &Table) -> Facts {
    let text = |key: &str| t.get(key).map(|item| item.as_str().unwrap_or_else(|| panic!("{key}")));
    let truth = |key: &str| t.get(key).map(|item| item.as_bool().unwrap());
    let number = |key: &str| {
        t.get(key).map(|item| {
            let text =
                item.as_integer().map_or_else(|| item.as_float().unwrap().to_string(), |n| n.to_string());
            Ratio::decimal(&text).unwrap()
        })
    };
    Facts {
        place: text("place").map(|code| Place::from_code(code).unwrap()),
        owner: text("owner").map(|name| Owner::named(name).unwrap()),
        use_of: text("use").map(|name| Use::named(name).unwrap()),
        refrigerant: text("refrigerant").map(str::to_owned),
        full_charge: text("full_charge").map(|mass| FullCharge::Maker(mass.parse().unwrap())),
        largest_circuit: text("largest_circuit").map(|mass| mass.parse().unwrap()),
        rated_kilowatts: number("rated_kilowatts"),
        installed: t.get("installed").map(|item| item.as_datetime().unwrap().to_string().parse().unwrap()),
        labelled_hermetic: truth("labelled_hermetic"),
        detection_system: truth("detection_system"),
        process_shutdown: truth("process_shutdown"),
        stopping_endangers: truth("stopping_endangers"),
        immediate_danger: truth("immediate_danger"),
        certified: truth("certified"),
        leak_rate_method: text("leak_rate_method").map(|name| Method::named(name).unwrap()),
        intended: Intended {
            reason: text("intends").map(|name| Reason::named(name).unwrap()),
            gas: text("gas").map(|name| GasFrom::named(name).unwrap()),
            tight_since_test: None,
        },
        events: texts(t, "happened")
            .unwrap_or_default()
            .iter()
            .enumerate()
            .map(|(i, l)| event(i, l))
            .collect(),
        ..Facts::default()
    }
}

fn verdict_line(verdict: &Verdict<'_>) -> String {
    let rest = match &verdict.outcome {
        Outcome::Met => "met".to_owned(),
        Outcome::Due(due) => format!("due {due}"),
        Outcome::NotApplicable(why) => format!("not-applicable {}", why.name()),
        Outcome::Unknown(missing) => {
            format!("unknown for {}", missing.iter().map(|m| m.name()).collect::<Vec<_>>().join(" "))
        }
        Outcome::Breached { since, until } => {
            let since = since.map(|day| format!(" since {day}")).unwrap_or_default();
            let until = until.map(|day| format!(" until {day}")).unwrap_or_default();
            format!("breached{since}{until}")
        }
    };
    format!("{} {rest}", verdict.duty.id)
}

fn sorted_words(line: &str) -> Vec<&str> {
    let mut words: Vec<&str> = line.split_whitespace().collect();
    if words.get(1) == Some(&"unknown") {
        words[3..].sort_unstable();
    }
    words
}

#[test]
fn every_situation() {
    let document: DocumentMut = TEXT.parse().unwrap();
    let list = document.get("situation").and_then(Item::as_array_of_tables).unwrap();
    let book = Book::shipped();
    let mut faults: Vec<String> = Vec::new();
    for t in list {
        for (key, _) in t.iter() {
            assert!(KEYS.contains(&key), "{key}");
        }
        let title = t.get("title").and_then(Item::as_str).unwrap();
        assert!(t.get("section").and_then(Item::as_str).is_some(), "{title}: no section");
        let facts = facts(t);
        let on = t.get("on").and_then(Item::as_datetime).unwrap().to_string().parse().unwrap();
        let assessment = assess(book, &facts, on);
        let charging = &assessment.charging;
        let mut fault = |what: &str, expected: &dyn core::fmt::Debug, found: &dyn core::fmt::Debug| {
            faults.push(format!("{title}: {what}: expected {expected:?}, found {found:?}"));
        };
        let answer = t.get("charging").and_then(Item::as_str).unwrap();
        if charging.answer.name() != answer {
            fault("charging", &answer, charging);
        }
        if let Some(why) = t.get("why").and_then(Item::as_str)
            && charging.why.map(WhyUnknown::name) != Some(why)
        {
            fault("why", &why, &charging);
        }
        let mut same = |key: &str, found: Vec<&str>| {
            if let Some(mut expected) = texts(t, key) {
                let mut found = found;
                expected.sort();
                found.sort_unstable();
                if expected != found {
                    fault(key, &expected, &found);
                }
            }
        };
        same("until", charging.until.iter().map(|c| c.name()).collect());
        same("because", charging.because.clone());
        same("missing", charging.missing.iter().map(|m| m.name()).collect());
        same("act_as_if", charging.act_as_if.iter().map(|a| a.id).collect());
        same("emergency_exception", charging.emergency_exception.clone());
        let gases: Vec<String> =
            charging.gas.iter().map(|g| format!("{} {}", g.from.name(), g.verdict.name())).collect();
        same("gases", gases.iter().map(String::as_str).collect());
        for line in texts(t, "duties").unwrap_or_default() {
            let id = line.split_whitespace().next().unwrap();
            assert!(book.duty(id).is_some(), "{title}: {id} is no duty");
            let found: Vec<String> = assessment.of(id).map(verdict_line).collect();
            if !found.iter().any(|one| sorted_words(one) == sorted_words(&line)) {
                fault("duty", &line, &found);
            }
        }
        for id in texts(t, "records").unwrap_or_default() {
            if !assessment.records.iter().any(|record| record.duty.id == id) {
                fault("record", &id, &"none");
            }
        }
        for line in texts(t, "leak_rates").unwrap_or_default() {
            let found: Vec<String> = assessment
                .leak_rates
                .iter()
                .map(|l| {
                    format!(
                        "{} {} {} over {}",
                        l.duty.map_or("none", |d| &d.id),
                        l.method.name(),
                        l.percent_per_year.map_or_else(|| "none".to_owned(), |p| p.rounded(4)),
                        l.over.map_or("unknown", |over| if over { "true" } else { "false" })
                    )
                })
                .collect();
            if !found.contains(&line) {
                fault("leak rate", &line, &found);
            }
        }
        let unconfirmed = texts(t, "unconfirmed").unwrap_or_default();
        for id in &unconfirmed {
            if assessment.of(id).any(|v| v.is_firm()) {
                fault("unconfirmed", id, &"firm");
            }
        }
        // Whatever else: a yes rests on text that was read, and stands among the duties.
        if matches!(charging.answer, Answer::Yes | Answer::YesWithDuties) {
            for id in &charging.because {
                assert!(assessment.of(id).any(|v| v.is_firm() && v.outcome == Outcome::Met), "{title}: {id}");
            }
            assert!(!charging.because.is_empty() && charging.act_as_if.is_empty(), "{title}");
        }
    }
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
    assert!(list.len() >= 40, "{}", list.len());
}

#[test]
fn json_has_the_promised_shape() {
    let document: DocumentMut = TEXT.parse().unwrap();
    let list = document.get("situation").and_then(Item::as_array_of_tables).unwrap();
    let t = list
        .iter()
        .find(|t| t.get("title").and_then(Item::as_str).unwrap().contains("an ounce over"))
        .unwrap();
    let facts = facts(t);
    let assessment = assess(Book::shipped(), &facts, "2026-11-25".parse().unwrap());
    let json = serde_json::to_value(&assessment).unwrap();
    assert_eq!(json["charging"]["answer"], "unknown");
    assert_eq!(json["charging"]["because"][0], "us82.topup");
    assert_eq!(json["leak_rates"][0]["percent_per_year"], 20.125);
    assert_eq!(json["leak_rates"][0]["over"], true);
    let repair = json["duties"].as_array().unwrap().iter().find(|d| d["id"] == "us82.repair").unwrap();
    assert_eq!(repair["verdict"], "due");
    assert_eq!(repair["due"], "2026-12-01");
    assert_eq!(repair["status"], "read-in-law");
    assert_eq!(repair["section"], "82.157(d)");
    assert_eq!(repair["evidence"][0], "e1");
    assert_eq!(repair["facts_missing"].as_array().unwrap().len(), 0);
}
