//! Forms against the job file: the same keys, the same events.

#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use record::form::{Carries, FACT_SECTIONS, Field, Form, NameOf, Takes, entry_head, form, kinds};
use record::*;
use std::collections::BTreeSet;
use toml_edit::{Item, TableLike, Value};

const EXAMPLES: &[&str] = &[
    include_str!("../../../examples/jobs/chamber-states-dry-air.toml"),
    include_str!("../../../examples/jobs/chamber-states-humid-air.toml"),
    include_str!("../../../examples/jobs/first-visit-minimal.toml"),
    include_str!("../../../examples/jobs/room-7-first-call.toml"),
    include_str!("../../../examples/jobs/room-7-repair.toml"),
];

fn keys_of(section: &str, form: &Form, into: &mut BTreeSet<SectionKey>) {
    for field in &form.fields {
        into.insert((section.to_owned(), field.key));
        if let Takes::Group(inner) = &field.takes {
            keys_of(&format!("{section}.{}", field.key), inner, into);
        }
    }
}

#[test]
fn forms_hold_every_key_of_the_job_file_and_no_other() {
    let mut of_forms = BTreeSet::new();
    for section in ["site", "customer", "visit", "system", "instrument", "cylinder"] {
        keys_of(section, &form(section).unwrap(), &mut of_forms);
    }
    for kind in kinds() {
        keys_of(&format!("entry {kind}"), &form(kind).unwrap(), &mut of_forms);
    }
    keys_of("entry", &entry_head(), &mut of_forms);
    // What the job file has beside forms: its top, the ways to write a value, and what belongs to the event.
    let beside = |(section, key): &SectionKey| match section.as_str() {
        "" | "value" => true,
        "entry" => matches!(*key, "kind" | "id" | "by"),
        _ => false,
    };
    let of_file: BTreeSet<SectionKey> = known_keys().into_iter().filter(|key| !beside(key)).collect();
    assert_eq!(of_forms, of_file);
}

#[test]
fn every_section_and_kind_has_a_form_and_nothing_else_has() {
    for section in FACT_SECTIONS {
        assert!(form(section).is_some(), "{section}");
    }
    assert!(form("weather").is_none());
    assert!(form("Leak-check").is_some());
}

#[test]
fn a_form_says_what_must_be_there_and_what_may_stand_beside() {
    let hold = form("hold").unwrap();
    let gas = hold.field("gas").unwrap();
    assert!(gas.need && !gas.many);
    assert!(matches!(gas.takes, Takes::Words(words) if words.contains(&"nitrogen")));
    let pressure = hold.at("start.pressure").unwrap();
    assert_eq!((pressure.takes.clone(), pressure.carries), (Takes::Pressure, Carries::Measured));
    assert_eq!(hold.at("start.pressure.with"), Some(pressure));
    assert!(hold.at("between[2].pressure").is_some() && hold.field("between").unwrap().many);
    assert_eq!(hold.field("volume").unwrap().carries, Carries::Known);
    let weighing = form("weighing").unwrap();
    assert_eq!(weighing.field("cylinder").unwrap().takes, Takes::Name(NameOf::Cylinder));
    assert_eq!(entry_head().field("with").unwrap().takes, Takes::Name(NameOf::Instrument));
    assert_eq!(form("rise").unwrap().field("points").unwrap().takes, Takes::Point);
    assert_eq!(form("setting").unwrap().field("left").unwrap().takes, Takes::Setting);
    assert_eq!(hold.at("start.nothing"), None);
}

/// The texts of a table of a job file, each with its path.
fn texts_in(table: &dyn TableLike, before: &str, out: &mut Vec<(String, String)>) {
    for (key, item) in table.iter() {
        let path = if before.is_empty() { key.to_owned() } else { format!("{before}.{key}") };
        texts_in_item(item, path, out);
    }
}

fn texts_in_item(item: &Item, path: String, out: &mut Vec<(String, String)>) {
    match item {
        Item::Value(value) => texts_in_value(value, path, out),
        Item::Table(table) => texts_in(table, &path, out),
        Item::ArrayOfTables(tables) => {
            for (index, table) in tables.iter().enumerate() {
                texts_in(table, &format!("{path}[{}]", index + 1), out);
            }
        }
        Item::None => {}
    }
}

fn texts_in_value(value: &Value, path: String, out: &mut Vec<(String, String)>) {
    match value {
        Value::InlineTable(table) => texts_in(table, &path, out),
        Value::Array(list) => {
            for (index, value) in list.iter().enumerate() {
                texts_in_value(value, format!("{path}[{}]", index + 1), out);
            }
        }
        Value::String(text) => out.push((path, text.value().clone())),
        Value::Integer(n) => out.push((path, n.value().to_string())),
        Value::Float(n) => out.push((path, n.value().to_string())),
        Value::Boolean(truth) => out.push((path, truth.value().to_string())),
        Value::Datetime(moment) => out.push((path, moment.value().to_string())),
    }
}

fn borrowed(texts: &[(String, String)]) -> Vec<(&str, &str)> {
    texts.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect()
}

/// The clock and the names of a job file.
fn around(file: &JobFile) -> Around {
    let mut around = Around::default();
    let seen = |event: &Event| match &event.content {
        Content::Observed(seen) => Some(seen.clone()),
        _ => None,
    };
    for observation in file.events.iter().filter_map(seen) {
        match observation.what {
            Body::Instrument(one) => drop(around.instruments.insert(one.id)),
            Body::Cylinder(one) => drop(around.cylinders.insert(one.id)),
            Body::Site(site) => {
                if let Some(offset) = &site.offset {
                    around.local.offset_minutes = Some(offset.value.0);
                }
                if site.zone.is_some() {
                    around.local.zone = site.zone;
                }
            }
            Body::Visit(visit) if visit.date.is_some() => around.local.date = visit.day(),
            _ => {}
        }
    }
    around
}

/// The observation taken apart into its texts and read from them.
fn again(seen: &Observation, around: &Around) -> Observation {
    let filled = texts_of(seen).unwrap();
    if FACT_SECTIONS.contains(&filled.kind.as_str()) {
        return read_facts(&filled.kind, &borrowed(&filled.fields), around).unwrap().remove(0);
    }
    let mut texts = filled.fields;
    texts.extend(head_texts_of(seen));
    read_entry(&filled.kind, &borrowed(&texts), around).unwrap()
}

#[test]
fn money_and_every_kind_of_knowing_come_apart_and_go_together() {
    let around = Around::default();
    for price in [
        "120.05 CAD",
        "CAD 7",
        "about 0.5 EUR",
        "1 EUR .. 2.50 EUR, as told by the owner",
        "unknown",
        "9 CAD, as told",
    ] {
        let seen = read_entry("finding", &[("what", "a bare pipe"), ("price", price)], &around).unwrap();
        assert_eq!(again(&seen, &around), seen, "{price}");
    }
    let seen = read_facts("system", &[("composition.R-32", "0.26"), ("composition.R-125", "74 %")], &around);
    assert_eq!(again(&seen.as_ref().unwrap()[0], &around), seen.unwrap()[0]);
}

#[test]
fn examples_typed_field_by_field_give_the_events_of_their_files() {
    let mut entries = 0;
    let mut facts = 0;
    for text in EXAMPLES {
        let file = read_job_file(text.as_bytes()).unwrap();
        let document: toml_edit::Document<&str> = toml_edit::Document::parse(*text).unwrap();
        let around = around(&file);
        let mut made: Vec<Observation> = Vec::new();
        if let Some(note) = document.get("note").and_then(Item::as_str) {
            made.push(read_entry("note", &[("text", note)], &around).unwrap());
        }
        for section in ["site", "customer", "visit", "system"] {
            let Some(table) = document.get(section).and_then(Item::as_table_like) else { continue };
            let mut texts = Vec::new();
            texts_in(table, "", &mut texts);
            made.extend(read_facts(section, &borrowed(&texts), &around).unwrap());
        }
        for section in ["instrument", "cylinder"] {
            let Some(tables) = document.get(section).and_then(Item::as_array_of_tables) else { continue };
            for table in tables {
                let mut texts = Vec::new();
                texts_in(table, "", &mut texts);
                made.extend(read_facts(section, &borrowed(&texts), &around).unwrap());
            }
        }
        facts += made.len();
        for table in document.get("entry").and_then(Item::as_array_of_tables).unwrap() {
            let kind = table.get("kind").and_then(Item::as_str).unwrap();
            let mut texts = Vec::new();
            texts_in(table, "", &mut texts);
            texts.retain(|(path, _)| !matches!(path.as_str(), "kind" | "id" | "by"));
            made.push(read_entry(kind, &borrowed(&texts), &around).unwrap());
            entries += 1;
        }
        let of_file: Vec<&Observation> = file
            .events
            .iter()
            .map(|event| match &event.content {
                Content::Observed(seen) => seen,
                other => panic!("{other:?}"),
            })
            .collect();
        assert_eq!(made.len(), of_file.len());
        for (made, of_file) in made.iter().zip(of_file) {
            assert_eq!(made, of_file);
            // Equality of floats is not equality of bits; the log's text is.
            assert_eq!(serde_json::to_string(made).unwrap(), serde_json::to_string(of_file).unwrap());
            assert_eq!(&again(made, &around), made);
        }
    }
    assert!(entries >= 50 && facts >= 100, "{entries} entries, {facts} facts");
}

#[test]
fn a_problem_names_its_path_its_text_and_what_would_do() {
    let problems = read_entry(
        "reading",
        &[("state", "runing"), ("suction_pressure", "62.5"), ("suction_pressure.with", "gauge 3")],
        &Around { instruments: ["gauge 1".to_owned()].into(), ..Around::default() },
    )
    .unwrap_err();
    let found: Vec<(&str, &str, usize)> =
        problems.first.iter().map(|one| (one.field.as_str(), one.given.as_str(), one.line)).collect();
    assert_eq!(
        found,
        [("state", "runing", 1), ("suction_pressure", "62.5", 2), ("suction_pressure.with", "gauge 3", 3)]
    );
    assert!(
        matches!(&problems.first[0].sensible, Sensible::Words { near: Some(near), .. } if near == "running")
    );
    assert!(matches!(problems.first[1].what, What::Unreadable(_)));
    assert!(matches!(problems.first[2].what, What::UnknownName));
}

#[test]
fn what_must_be_there_and_is_not_is_told() {
    let missing = |kind: &str, fields: &[(&str, &str)]| -> Vec<String> {
        let problems = read_entry(kind, fields, &Around::default()).unwrap_err();
        problems.first.into_iter().map(|one| one.field).collect()
    };
    assert_eq!(
        missing("hold", &[("gas", "nitrogen"), ("start.pressure", "150 psig")]),
        ["start.temperature"]
    );
    assert_eq!(missing("leak check", &[("minutes", "5 min")]), ["method", "result"]);
    let blank = read_fact("site", "name", "  ", &Around::default()).unwrap_err();
    assert_eq!((blank.first[0].field.as_str(), &blank.first[0].what), ("name", &What::MissingField));
}

#[test]
fn the_head_comes_from_around_unless_it_was_typed() {
    let around = Around {
        place: Some("roof".to_owned()),
        with: vec!["gauge".to_owned()],
        instruments: ["gauge".to_owned(), "clamp".to_owned()].into(),
        note: Some("windy".to_owned()),
        ..Around::default()
    };
    let seen = read_entry("note", &[("text", "a \"quoted\"\nline = 1")], &around).unwrap();
    assert_eq!((seen.place.as_deref(), seen.note.as_deref()), (Some("roof"), Some("windy")));
    assert_eq!(seen.with, ["gauge"]);
    assert!(matches!(seen.what, Body::Note(note) if note.text == "a \"quoted\"\nline = 1"));
    let seen = read_entry("note", &[("text", "x"), ("with[2]", "clamp"), ("place", "box")], &around).unwrap();
    assert_eq!((seen.place.as_deref(), seen.with), (Some("box"), vec!["clamp".to_owned()]));
}

#[test]
fn history_told_now_did_not_happen_now() {
    let now = When::read("2031-05-06T11:20:00-04:00", &Local::default()).unwrap();
    let around = Around { at: Some(now.clone()), ..Around::default() };
    let at = |kind: &str, fields: &[(&str, &str)]| read_entry(kind, fields, &around).unwrap().at;
    assert_eq!(at("past change", &[("amount", "1.1 kg")]), None);
    assert_eq!(at("earlier search", &[("visits", "2")]), None);
    assert_eq!(at("note", &[("text", "x")]), Some(now.clone()));
    assert_eq!(at("past change", &[("amount", "1.1 kg"), ("at", "2031-05-06T11:20:00-04:00")]), Some(now));
}

#[test]
fn paths_that_lead_nowhere_are_refused() {
    for path in ["", ".", "a..b", "points[0]", "points[x]", "points[", "id", "by", "kind", "a.b.c.d.e.f.g.h"]
    {
        let problems = read_entry("rise", &[(path, "1")], &Around::default()).unwrap_err();
        assert!(matches!(problems.first[0].what, What::UnknownKey), "{path}: {problems:?}");
    }
    let twice = read_entry("note", &[("text", "a"), ("text", "b")], &Around::default()).unwrap_err();
    assert!(matches!(twice.first[0].what, What::Syntax(SyntaxHint::KeyTwice)));
    let nobody = read_entry("weather", &[], &Around::default()).unwrap_err();
    assert!(matches!(nobody.first[0].what, What::UnknownKind));
}

/// Any path a form knows, of any kind.
fn paths(form: &Form, before: &str, out: &mut Vec<String>) {
    for Field { key, takes, many, carries, .. } in &form.fields {
        let mut path = format!("{before}{key}");
        if *many {
            path.push_str("[1]");
        }
        match takes {
            Takes::Group(inner) => paths(inner, &format!("{path}."), out),
            Takes::Point => out.extend([format!("{path}[1]"), format!("{path}[2]")]),
            Takes::Shares => out.push(format!("{path}.R-32")),
            _ => {}
        }
        let beside: &[&str] = match carries {
            Carries::Nothing => &[],
            Carries::Measured => &[".with", ".tap"],
            Carries::Known => &[".from", ".to", ".told_by"],
        };
        out.extend(beside.iter().map(|beside| format!("{path}{beside}")));
        out.push(path);
    }
}

proptest! {
    #[test]
    fn any_text_gives_an_observation_or_a_problem_with_what_was_seen(
        kind in 0_usize..19, picks in prop::collection::vec((any::<prop::sample::Index>(), "\\PC{0,24}|[0-9]{1,3} (psig|F|kg|min|%)"), 0..8),
    ) {
        let kind = kinds()[kind % kinds().len()];
        let mut known = Vec::new();
        paths(&form(kind).unwrap(), "", &mut known);
        paths(&entry_head(), "", &mut known);
        let texts: Vec<(String, String)> =
            picks.iter().map(|(pick, text)| (pick.get(&known).clone(), text.clone())).collect();
        match read_entry(kind, &borrowed(&texts), &Around::default()) {
            Ok(seen) => {
                // What stands in the log reads back.
                let json = serde_json::to_value(&seen).unwrap();
                prop_assert_eq!(&serde_json::from_value::<Observation>(json).unwrap(), &seen);
                prop_assert_eq!(again(&seen, &Around::default()), seen);
            }
            Err(problems) => {
                prop_assert!(problems.total > 0 && !problems.first.is_empty());
                for problem in &problems.first {
                    prop_assert!(!problem.field.is_empty());
                    let typed = texts.iter().any(|(path, _)| *path == problem.field);
                    if typed && !matches!(problem.what, What::MissingField | What::UnknownKey | What::WrongType { .. } | What::OneOfTwo { .. }) {
                        prop_assert!(texts.iter().any(|(_, text)| text.starts_with(&problem.given)));
                    }
                }
            }
        }
    }

    #[test]
    fn any_path_and_text_gets_an_answer(path in "\\PC{0,24}", text in "\\PC{0,24}", section in 0_usize..6) {
        let section = FACT_SECTIONS[section];
        let _ = read_entry("reading", &[(&path, &text)], &Around::default());
        let _ = read_facts(section, &[(&path, &text)], &Around::default());
        let _ = read_fact(section, &path, &text, &Around::default());
    }
}
