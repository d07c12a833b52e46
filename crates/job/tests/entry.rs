//! What is entered on a phone: what a text is understood as, what is doubted, and the events it becomes.

#![allow(clippy::unwrap_used)]

use job::entry::sign::{How, was_shown};
use job::entry::{
    Echo, Here, Maker, Tick, around as around_of, doubtful_together, echo, entry_name, instruments_for,
    labels, name, names_for, second_visit, short, sign, typed_up, undoable, units_here, unread,
};
use job::visit::Visit;
use record::form::{FACT_SECTIONS, Form, Takes, entry_head, form, kinds};
use record::*;
use std::collections::BTreeSet;
use units::Writer;
use uuid::Uuid;
use wording::Wording;

const REPAIR: &str = include_str!("../../../examples/jobs/room-7-repair.toml");

fn visit() -> Visit {
    let file = read_job_file(REPAIR.as_bytes()).unwrap();
    Visit::new(&file.name, &file.events)
}

fn around() -> Around {
    Around {
        local: Local { offset_minutes: Some(-240), date: "2031-05-06".parse().ok(), ..Local::default() },
        instruments: ["gauges", "clamp"].map(str::to_owned).into(),
        cylinders: ["A-1"].map(str::to_owned).into(),
        ..Around::default()
    }
}

fn say(message: &report::Message) -> String {
    // Values keep to their units by a space of their own.
    Wording::new("en").say(message).replace('\u{a0}', " ")
}

/// What a text typed into a field of a visit is understood as.
fn typed(kind: &str, path: &str, text: &str, unit: Option<&str>, beside: &[(&str, &str)]) -> Echo {
    let (visit, around) = (visit(), around());
    let beside: Vec<(String, String)> =
        beside.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect();
    let form = form(kind).unwrap();
    let here = Here { around: &around, visit: Some(&visit), kind, path, beside: &beside };
    echo(form.at(path).unwrap(), text, unit, &Writer::us(), &here)
}

fn words(echo: &Echo) -> String {
    echo.in_words.as_ref().map(say).unwrap_or_default()
}

#[test]
fn a_value_is_echoed_in_the_other_common_unit() {
    for (kind, path, text, unit, kept, said) in [
        ("weighing", "before", "27 lb 5 oz", Some("lb oz"), "27 lb 5 oz", "27 lb 5 oz = 12.39 kg"),
        ("weighing", "before", "27 5", Some("lb oz"), "27 lb 5 oz", "27 lb 5 oz = 12.39 kg"),
        ("weighing", "before", "12,39", Some("kg"), "12,39 kg", "12,39 kg = 27 lb 5 oz"),
        ("reading", "suction_pressure", "62.5", Some("psig"), "62.5 psig", "62.5 psig = 431 kPa gauge"),
        (
            "reading",
            "suction_pressure",
            "431",
            Some("kPa gauge"),
            "431 kPa gauge",
            "431 kPa gauge = 62.5 psig",
        ),
        ("reading", "suction_line", "26", Some("°F"), "26 °F", "26 °F = −3.3 °C"),
        ("reading", "shown_superheat", "9", Some("°F"), "9 °F", "9 °F = 5.0 K"),
        ("rise", "points[1][2]", "500", Some("micron"), "500 micron", "500 micron = 67 Pa abs"),
        ("line", "size", "1 3/8", Some("in"), "1 3/8 in", "1 3/8 in = 34.9 mm"),
        ("system", "charge", "about 14.2 kg", Some("kg"), "about 14.2 kg", "about 14.2 kg = 31 lb 4.9 oz"),
        (
            "system",
            "charge",
            "1 .. 2 kg",
            Some("kg"),
            "1 .. 2 kg",
            "from 1 kg = 2 lb 3.3 oz to 2 kg = 4 lb 6.5 oz",
        ),
        ("system", "charge", "unknown", Some("kg"), "unknown", "Nobody knows: it is kept as unknown."),
        (
            "system",
            "charge",
            "14.2 kg, as told by the owner",
            None,
            "14.2 kg, as told by the owner",
            "14.2 kg = 31 lb 4.9 oz, as told by the owner",
        ),
        ("leak check", "method", "Sniffer", None, "Sniffer", "electronic"),
        ("leak check", "method", "soap", None, "soap", ""),
        ("hold", "filled_at", "08:10", None, "08:10", "08:10 = 2031-05-06 08:10"),
    ] {
        let echo = typed(kind, path, text, unit, &[]);
        assert_eq!(echo.refused, None, "{text}");
        assert_eq!((echo.text.as_str(), words(&echo).as_str()), (kept, said), "{text}");
    }
}

#[test]
fn what_cannot_be_read_is_refused_in_one_sentence_with_what_would_do() {
    for (kind, path, text, unit, seen) in [
        ("reading", "suction_pressure", "62.5", None, "62.5 psig"),
        ("reading", "suction_pressure", "62.5 kPa", None, "kPa"),
        ("reading", "suction_pressure", "9000", Some("psig"), "3000 psig"),
        ("weighing", "before", "1,500", Some("g"), "1.500"),
        ("leak check", "method", "sniffing", None, "electronic"),
        ("weighing", "cylinder", "A-2", None, "A-1"),
        ("reading", "fans_running", "two", None, "2"),
        ("hold", "filled_at", "25:10", None, "2031"),
        ("finding", "price", "120 dollars", None, "EUR"),
    ] {
        let echo = typed(kind, path, text, unit, &[]);
        let refused = echo.refused.unwrap_or_else(|| panic!("{text} was taken"));
        let sentence = say(&refused.message);
        assert!(refused.sensible.contains(seen), "{text}: {}", refused.sensible);
        assert!(!sentence.contains('«') && sentence.lines().count() == 1, "{sentence}");
        assert_eq!(refused.field, path);
        assert!(echo.doubtful.is_none() && echo.in_words.is_none());
    }
    assert_eq!(typed("reading", "suction_pressure", "  ", Some("psig"), &[]), Echo::default());
}

fn doubt(
    kind: &str,
    path: &str,
    text: &str,
    unit: Option<&str>,
    beside: &[(&str, &str)],
) -> Option<Vec<String>> {
    let echo = typed(kind, path, text, unit, beside);
    assert_eq!(echo.refused, None, "{text}");
    let doubted = echo.doubtful?;
    assert!(!say(&doubted.why).contains('«'), "{}", say(&doubted.why));
    Some(doubted.likely)
}

#[test]
fn a_value_out_of_sense_is_doubted_with_what_was_likely_meant_first() {
    // R-449A in a walk-in cooler: 435 psig is a saturation of some 64 °C.
    let likely = doubt("reading", "suction_pressure", "435", Some("psig"), &[]).unwrap();
    assert_eq!(likely, ["43.5 psig", "435 kPa gauge"]);
    let why = typed("reading", "suction_pressure", "435", Some("psig"), &[]).doubtful.unwrap().why;
    assert!(say(&why).starts_with("435 psig is a saturation of 151.4 °F"), "{}", say(&why));
    // The same pressure at rest on a hot day is a matter of course.
    assert_eq!(doubt("reading", "suction_pressure", "180", Some("psig"), &[("state", "off")]), None);
    assert!(doubt("reading", "suction_pressure", "180", Some("psig"), &[("state", "running")]).is_some());
    // A discharge line at 0 °C while running.
    assert!(doubt("reading", "discharge_line", "0", Some("°C"), &[("state", "running")]).is_some());
    assert_eq!(doubt("reading", "discharge_line", "0", Some("°C"), &[("state", "off")]), None);
    // 36 was meant in °F.
    assert_eq!(doubt("reading", "ambient", "95", Some("°C"), &[]).unwrap(), ["9.5 °C", "95 °F"]);
    // After more than before, into the system.
    let beside = [("before", "27 lb 5 oz"), ("direction", "charged")];
    assert!(doubt("weighing", "after", "28 lb", Some("lb oz"), &beside).is_some());
    assert_eq!(doubt("weighing", "after", "26 lb", Some("lb oz"), &beside), None);
    let beside = [("before", "27 lb 5 oz"), ("direction", "recovered")];
    assert!(doubt("weighing", "after", "26 lb", Some("lb oz"), &beside).is_some());
    // Minutes typed as hours.
    assert!(doubt("leak check", "minutes", "85", Some("h"), &[]).unwrap().contains(&"85 min".to_owned()));
}

#[test]
fn what_a_working_system_shows_is_not_doubted() {
    let visit = visit();
    let around = around_of(&visit, &When::read("2031-05-07", &Local::default()).unwrap());
    let mut judged = 0;
    for entry in &visit.current.entries {
        let Some(filled) = texts_of(&entry.seen) else { continue };
        let form = form(&filled.kind).unwrap();
        for (path, text) in &filled.fields {
            let here = Here {
                around: &around,
                visit: Some(&visit),
                kind: &filled.kind,
                path,
                beside: &filled.fields,
            };
            let field = form.at(path).unwrap_or_else(|| panic!("{} {path}", filled.kind));
            let echo = echo(field, text, None, &Writer::us(), &here);
            assert_eq!(echo.refused, None, "{} {path} {text}", filled.kind);
            assert_eq!(echo.doubtful, None, "{} {path} {text}", filled.kind);
            judged += 1;
        }
    }
    assert!(judged > 150, "{judged}");
}

#[test]
fn the_value_of_a_setting_goes_by_what_is_set() {
    let around = around();
    let form = form("setting").unwrap();
    let units = |what: &str| {
        let beside = [("what".to_owned(), what.to_owned())];
        let here = Here { around: &around, visit: None, kind: "setting", path: "left", beside: &beside };
        units_here(form.field("left").unwrap(), &here).first().map(|unit| unit.name)
    };
    assert_eq!(units("superheat"), Some("°F"));
    assert_eq!(units("low cut out"), Some("psig"));
    assert_eq!(units("defrost interval"), Some("min"));
    assert_eq!(units("valve"), None);
    let echo = typed("setting", "left", "8", Some("°F"), &[("what", "superheat")]);
    assert_eq!(words(&echo), "8 °F = 4.4 K");
}

fn labelled(kind: &str, form: &Form, missing: &mut BTreeSet<String>) {
    for field in &form.fields {
        // A name of its own, not the bare key.
        if matches!(labels::field(kind, field.key), report::Text::Verbatim(_)) {
            missing.insert(format!("{kind}: {}", field.key));
        }
        match &field.takes {
            Takes::Group(inner) => labelled(kind, inner, missing),
            Takes::Words(words) => {
                for word in *words {
                    if matches!(labels::word(word), report::Text::Verbatim(_)) {
                        missing.insert(format!("word {word}"));
                    }
                }
            }
            _ => {}
        }
    }
}

#[test]
fn every_kind_field_and_word_has_a_name() {
    let mut missing = BTreeSet::new();
    for kind in kinds().into_iter().chain(FACT_SECTIONS.iter().copied()) {
        if matches!(labels::kind(kind), report::Text::Verbatim(_)) {
            missing.insert(format!("kind {kind}"));
        }
        labelled(kind, &form(kind).unwrap(), &mut missing);
    }
    labelled("entry", &entry_head(), &mut missing);
    assert!(missing.is_empty(), "{missing:#?}");
}

#[test]
fn entries_have_names_a_person_knows_them_by() {
    let names: Vec<String> = visit().current.entries.iter().map(|entry| say(&entry_name(entry))).collect();
    assert!(names.iter().all(|name| !name.contains('«') && name.chars().count() < 140), "{names:#?}");
    let read =
        |kind: &str, fields: &[(&str, &str)]| say(&name(&read_entry(kind, fields, &around()).unwrap()));
    assert_eq!(
        read("reading", &[("suction_pressure", "62.5 psig"), ("at", "11:20")]),
        "Suction pressure 62.5 psig, 11:20"
    );
    assert_eq!(
        read(
            "reading",
            &[
                ("suction_pressure", "62.5 psig"),
                ("suction_pressure.with", "gauges"),
                ("suction_line", "36 F")
            ]
        ),
        "Suction pressure 62.5 psig and 1 more"
    );
    assert_eq!(
        read("leak check", &[("method", "soap"), ("result", "not done"), ("place", "coil")]),
        "Leak check, coil: not done"
    );
    assert_eq!(read("arrival", &[("place", "roof"), ("at", "08:05")]), "Arrival, roof, 08:05");
    assert_eq!(
        read("weighing", &[("cylinder", "A-1"), ("direction", "charged"), ("before", "27 lb 5 oz")]),
        "Cylinder weighed: A-1"
    );
    let fact = read_fact("system", "charge", "14.2 kg", &around()).unwrap();
    assert_eq!(say(&name(&fact)), "Charge on the nameplate 14.2 kg");
}

/// A device that enters one thing after the other.
struct Phone {
    maker: Maker,
    events: Vec<Event>,
    number: u8,
}

impl Phone {
    fn new() -> Self {
        let maker = Maker::new(Uuid::from_u128(7), Some("R. Okafor".into()), Some("phone 1".into()), &[]);
        Phone { maker, events: Vec::new(), number: 0 }
    }

    fn tick(&mut self) -> Tick {
        self.number += 1;
        Tick { now_ms: 1_936_000_000_000 + i64::from(self.number) * 1000, random: [self.number; 10] }
    }

    fn note(&mut self, text: &str) -> Uuid {
        let tick = self.tick();
        let seen = read_entry("note", &[("text", text)], &Around::default()).unwrap();
        self.events.push(self.maker.observe(seen, tick));
        self.events.last().unwrap().id
    }

    fn correct(&mut self, text: &str) {
        let tick = self.tick();
        let of = current(&self.events).entries.last().unwrap().stands_by;
        let now = read_entry("note", &[("text", text)], &Around::default()).unwrap();
        self.events.push(self.maker.correct(of, now, None, tick));
    }

    fn undo(&mut self) -> bool {
        let tick = self.tick();
        let undone = self.maker.undo(&self.events, tick);
        let any = undone.is_some();
        self.events.extend(undone);
        any
    }

    fn notes(&self) -> Vec<String> {
        let text = |entry: Entry| match entry.seen.what {
            Body::Note(note) => note.text,
            other => panic!("{other:?}"),
        };
        let now = current(&self.events);
        assert!(now.disagreements.is_empty() && now.orphans.is_empty());
        now.entries.into_iter().map(text).collect()
    }
}

#[test]
fn undo_goes_back_act_by_act_and_nothing_leaves_the_record() {
    let mut phone = Phone::new();
    phone.note("one");
    phone.note("two");
    phone.correct("2");
    phone.correct("II");
    assert_eq!(phone.notes(), ["one", "II"]);
    assert!(phone.undo());
    assert_eq!(phone.notes(), ["one", "2"]);
    assert!(phone.undo());
    assert_eq!(phone.notes(), ["one", "two"]);
    assert!(phone.undo());
    assert_eq!(phone.notes(), ["one"]);
    let withdrawn = current(&phone.events).withdrawn;
    assert!(!withdrawn.is_empty() && phone.events.iter().any(|event| event.id == withdrawn[0]));
    assert!(phone.undo());
    assert_eq!(phone.notes(), [""; 0]);
    assert!(!phone.undo(), "nothing is left to undo");
    phone.note("three");
    assert!(phone.undo());
    assert_eq!(phone.notes(), [""; 0]);
    assert_eq!(phone.events.len(), 10);
    // Stamps only grow, ids are of the device's kind.
    assert!(phone.events.windows(2).all(|pair| pair[0].stamp < pair[1].stamp));
    assert!(phone.events.iter().all(|event| event.id.get_version_num() == 7));
}

#[test]
fn a_withdrawal_is_undone_by_withdrawing_it() {
    let mut phone = Phone::new();
    let first = phone.note("one");
    phone.correct("1");
    let tick = phone.tick();
    let withdrawal = phone.maker.withdraw(first, tick);
    phone.events.push(withdrawal);
    assert_eq!(phone.notes(), [""; 0]);
    assert!(phone.undo());
    assert_eq!(phone.notes(), ["1"]);
}

#[test]
fn undo_leaves_other_devices_alone() {
    let mut phone = Phone::new();
    phone.note("mine");
    let mut other = Phone::new();
    other.maker.device = Some("phone 2".into());
    other.number = 100;
    other.note("theirs");
    phone.events.extend(other.events.clone());
    phone.maker.saw(other.events[0].stamp);
    assert!(phone.undo());
    assert_eq!(phone.notes(), ["theirs"]);
    assert!(!phone.undo());
    assert_eq!(undoable(&phone.events, Some("phone 2")).map(|event| event.id), Some(other.events[0].id));
}

#[test]
fn a_correction_of_what_another_corrected_is_a_disagreement_that_a_settlement_ends() {
    let mut phone = Phone::new();
    let of = phone.note("one");
    let now = |text: &str| read_entry("note", &[("text", text)], &Around::default()).unwrap();
    let mut other = Phone::new();
    other.maker = Maker::new(phone.maker.job, Some("L. Tran".into()), Some("phone 2".into()), &phone.events);
    other.number = 50;
    let (a, b) = (phone.tick(), other.tick());
    let mine = phone.maker.correct(of, now("mine"), None, a);
    let theirs = other.maker.correct(of, now("theirs"), Some("read again".into()), b);
    phone.events.extend([mine.clone(), theirs.clone()]);
    assert_eq!(current(&phone.events).disagreements.len(), 1);
    phone.maker.saw(theirs.stamp);
    let tick = phone.tick();
    let settled = phone.maker.settle(vec![mine.id, theirs.id], theirs.id, None, tick);
    phone.events.push(settled);
    assert_eq!(phone.notes(), ["theirs"]);
    assert!(phone.undo());
    assert_eq!(current(&phone.events).disagreements.len(), 1, "the settlement was taken back");
}

/// A visit with these entries behind its first lines.
fn small(entries: &str) -> Visit {
    let text = format!(
        "gastight = 1\njob = \"first\"\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-06\n[[cylinder]]\nid = \"S-14\"\n{entries}"
    );
    let file = read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}"));
    Visit::new(&file.name, &file.events)
}

const LEFT_OPEN: &str = r#"
[[entry]]
kind = "part"
place = "liquid line"
function = "holds the line off the steel"
source = "order"
must = ["insulated", "for 1/2 in"]
[[entry]]
kind = "part"
function = "core of the valve"
source = "stock"
[[entry]]
kind = "finding"
place = "roof"
what = "a fan guard is loose"
answer = "later"
picture = "guard.jpg"
[[entry]]
kind = "weighing"
cylinder = "S-14"
direction = "charged"
before = "27 lb 5 oz"
[[entry]]
kind = "picture"
id = "plate"
place = "roof"
file = "plate.jpg"
shows = "nameplate"
read = "no"
[[entry]]
kind = "picture"
file = "old.jpg"
"#;

#[test]
fn a_second_visit_starts_with_what_the_first_leaves_open() {
    let first = small(LEFT_OPEN);
    let start = second_visit(&first, &say);
    let mut maker = Maker::new(Uuid::from_u128(9), Some("technician B".into()), Some("phone 2".into()), &[]);
    let made: Vec<Event> = (0..)
        .zip(&start)
        .map(|(n, seen)| maker.observe(seen.clone(), Tick { now_ms: 1_937_000_000_000, random: [n; 10] }))
        .collect();
    assert_eq!(job::visit::chain::follows(&made), first.job);
    let kinds: Vec<&str> = start.iter().filter_map(|seen| seen.what.form_name()).collect();
    assert_eq!(kinds, ["visit", "part", "finding", "note", "note"]);
    let names: Vec<String> = start.iter().map(|seen| say(&name(seen))).collect();
    assert_eq!(names[1], "Part: holds the line off the steel");
    assert_eq!(start[1].place.as_deref(), Some("liquid line"));
    assert!(
        matches!(&start[1].what, Body::Part(part) if part.source == Some(PartSource::Stock) && part.must.len() == 2)
    );
    assert!(
        matches!(&start[2].what, Body::Finding(f) if f.answer == Some(Answer::Later) && f.picture.is_none())
    );
    assert_eq!(names[3], "Note: S-14: weight after is still owed. Before it was 27 lb 5 oz.");
    assert_eq!(names[4], "Note: Picture not read yet: nameplate, roof");
    // Nothing is left open by a visit that left nothing open but itself.
    assert_eq!(second_visit(&small(""), &say).len(), 1);
}

#[test]
fn a_picture_is_owed_until_its_number_is_typed_up_and_then_leads_to_it() {
    let file = format!("gastight = 1\njob = \"first\"\n[[cylinder]]\nid = \"S-14\"\n{LEFT_OPEN}");
    let mut events = read_job_file(file.as_bytes()).unwrap().events;
    let visit = Visit::new("first", &events);
    let owed = unread(&visit);
    assert_eq!(owed.len(), 1);
    assert_eq!((owed[0].picture.file.as_str(), owed[0].job), ("plate.jpg", visit.job));
    let mut maker = Maker::new(visit.job.unwrap(), None, Some("phone 1".into()), &events);
    let tick = |n: u8| Tick { now_ms: 1_937_000_000_000, random: [n; 10] };
    let fact = maker.observe(read_fact("system", "charge", "14.2 kg", &Around::default()).unwrap(), tick(1));
    let now = typed_up(owed[0].entry, &[fact.id, fact.id]).unwrap();
    let read = maker.correct(owed[0].entry.stands_by, now, None, tick(2));
    let id = fact.id;
    events.extend([fact, read]);
    let visit = Visit::new("first", &events);
    assert!(unread(&visit).is_empty());
    let from: Vec<&str> = job::entry::pictures::read_from(&visit, id).map(|one| one.file.as_str()).collect();
    assert_eq!(from, ["plate.jpg"]);
    let undone = maker.undo(&events, tick(3)).unwrap();
    events.push(undone);
    assert_eq!(unread(&Visit::new("first", &events)).len(), 1, "the correction was undone");
    let other = visit.current.entries.iter().find(|entry| matches!(entry.what(), Body::Part(_))).unwrap();
    assert_eq!(typed_up(other, &[]), None);
}

#[test]
fn a_choice_is_signed_with_what_was_shown_and_how() {
    let visit = small(
        "[[entry]]\nkind = \"choice\"\nat = 11:20\noption = \"repair now\"\ninstead_of = [\"come back\"]\n\
         chosen_by = \"the night manager\"\nagreed = \"by phone\"\nreason = \"roses at four\"\n",
    );
    let choice = visit.current.entries.iter().find(|entry| matches!(entry.what(), Body::Choice(_))).unwrap();
    let html = "<p>Repair now: 3 h</p>";
    let signed = sign(choice, html, " the night manager ", &How::ByPhone).unwrap();
    assert_eq!((signed.of.as_str(), signed.signed_by.as_str()), ("choice", "the night manager"));
    assert_eq!(signed.inputs, [choice.stands_by]);
    assert_eq!(signed.result["signed"], "by_phone");
    assert_eq!(signed.result["at"], "2031-05-06T11:20:00-04:00");
    assert_eq!(signed.result["choice"]["option"], "repair now");
    assert_eq!(was_shown(&signed, html), Some(true));
    assert_eq!(was_shown(&signed, "<p>Repair now: 2 h</p>"), Some(false));
    let drawn = sign(choice, html, "A", &How::Drawn { sha256: sha256(b"ink") }).unwrap();
    assert_eq!(drawn.result["drawing_sha256"], sha256(b"ink"));
    assert_eq!(sign(choice, html, "  ", &How::Named), None);
    let fact = visit.current.entries.iter().find(|entry| matches!(entry.what(), Body::Visit(_))).unwrap();
    assert_eq!(sign(fact, html, "A", &How::Named), None);
    // Signed, it travels in the log and is no input of anything.
    let mut maker = Maker::new(visit.job.unwrap(), None, None, &[]);
    let event = maker.sign(signed.clone(), Tick { now_ms: 1, random: [1; 10] });
    let read = record::read_line(record::write_line(&event).as_bytes()).unwrap();
    assert_eq!(current(&[read]).signed[0].result, signed);
}

#[test]
fn a_form_begins_with_the_clock_and_the_names_of_its_visit() {
    let visit = visit();
    let device = When::read("2031-05-07T15:20:00-04:00", &Local::default()).unwrap();
    let around = around_of(&visit, &device);
    assert_eq!(around.local.offset_minutes, Some(-240));
    assert_eq!(around.local.zone.as_deref(), Some("America/Toronto"));
    assert!(around.instruments.contains("scale") && around.cylinders.contains("S-14"));
    let seen = read_entry("note", &[("text", "x"), ("at", "08:10")], &around).unwrap();
    assert_eq!(seen.at.unwrap().to_string(), "2031-05-07T08:10:00-04:00");
    // A first minute without a site: the device's own clock.
    let nothing = Visit::new("", &[]);
    let around = around_of(&nothing, &device);
    assert_eq!((around.local.offset_minutes, around.local.zone), (Some(-240), None));
    assert_eq!(around.local.date.unwrap().to_string(), "2031-05-07");
    assert_eq!(around.at.as_ref(), Some(&device));
}

#[test]
fn instruments_and_names_used_last_come_first() {
    let visit = visit();
    let first = |kind: &str, path: &str| instruments_for(&visit, kind, path).first().cloned();
    assert_eq!(first("weighing", "before").as_deref(), Some("scale"));
    for (kind, path) in [("reading", "suction_pressure"), ("reading", "suction_line"), ("weighing", "after")]
    {
        let fitting = instruments_for(&visit, kind, path);
        assert!(!fitting.is_empty(), "{kind} {path}");
        let mut once = fitting.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), fitting.len());
    }
    assert!(instruments_for(&visit, "note", "text").is_empty());
    assert_eq!(names_for(&visit, record::form::NameOf::Cylinder)[0], "S-14", "weighed last");
    assert!(names_for(&visit, record::form::NameOf::Place).contains(&"plant yard".to_owned()));
    assert_eq!(names_for(&visit, record::form::NameOf::Refrigerant)[0], "R-449A");
}

#[test]
fn the_short_form_holds_all_that_must_be_there() {
    for kind in kinds().into_iter().chain(FACT_SECTIONS.iter().copied()) {
        let form = form(kind).unwrap();
        let short = short(kind, &form);
        assert!(short.len() <= 5, "{kind}: {short:?}");
        assert!(form.fields.is_empty() || !short.is_empty(), "{kind}");
        for field in &form.fields {
            assert!(!field.need || short.contains(&field.key), "{kind}: {}", field.key);
        }
    }
}

#[test]
fn readings_that_contradict_each_other_are_said_to() {
    let (visit, around) = (visit(), around());
    let said = |fields: &[(&str, &str)]| -> Vec<String> {
        let seen = read_entry("reading", fields, &around).unwrap();
        doubtful_together(&visit, &seen, &Writer::us())
            .iter()
            .map(|text| match text {
                report::Text::Message(message) => say(message),
                report::Text::Verbatim(typed) => typed.clone(),
            })
            .collect()
    };
    let crossed =
        said(&[("state", "running"), ("suction_pressure", "180 psig"), ("discharge_pressure", "62.5 psig")]);
    assert!(!crossed.is_empty());
    assert_eq!(
        said(&[("state", "running"), ("suction_pressure", "62.5 psig"), ("discharge_pressure", "180 psig")]),
        [""; 0]
    );
    assert_eq!(said(&[("suction_pressure", "62.5 psig")]), [""; 0]);
}

proptest::proptest! {
    /// Whatever is typed into whatever field, it is understood, doubted or refused; what is understood is kept by the
    /// reader of the job file just as it was echoed.
    #[test]
    fn any_text_in_any_field_gets_an_answer(
        kind in 0_usize..20, field in 0_usize..60, text in "\\PC{0,16}|-?[0-9]{1,4}([.,][0-9])?( ?(psig|F|kg|min|%|lb [0-9] oz))?",
    ) {
        let (visit, around) = (visit_once(), around());
        let kinds = kinds();
        let kind = kinds[kind % kinds.len()];
        let form = form(kind).unwrap();
        if !form.fields.is_empty() {
            let field = &form.fields[field % form.fields.len()];
            let here = Here { around: &around, visit: Some(visit), kind, path: field.key, beside: &[] };
            let unit = units_here(field, &here).first().map(|unit| unit.name);
            let echo = echo(field, &text, unit, &Writer::metric(), &here);
            if let Some(words) = &echo.in_words {
                proptest::prop_assert!(text.contains('«') || !say(words).contains('«'));
            }
            if let Some(refused) = &echo.refused {
                proptest::prop_assert!(echo.in_words.is_none() || matches!(field.takes, Takes::Name(_)));
                proptest::prop_assert!(text.contains('«') || !say(&refused.message).contains('«'));
            }
            // The reader of the file says the same of this one field; of names it speaks once the entry is whole.
            let whole = matches!(field.takes, Takes::Group(_) | Takes::Point | Takes::Shares | Takes::Setting | Takes::Name(_));
            if !whole && !field.many && !text.trim().is_empty() {
                let problem = read_entry(kind, &[(field.key, &echo.text)], &around)
                    .err()
                    .is_some_and(|problems| problems.first.iter().any(|one| one.field == field.key));
                proptest::prop_assert_eq!(problem, echo.refused.is_some(), "{} {} {:?}", kind, field.key, echo);
            }
        }
    }

    #[test]
    fn any_text_is_carried_into_another_unit_or_is_not(text in "\\PC{0,12}|[0-9]{1,4}[.,]?[0-9]{0,3}", takes in 0_usize..5) {
        let takes = [Takes::Pressure, Takes::Mass, Takes::Temperature, Takes::Barometer, Takes::Length][takes].clone();
        let units = job::entry::units::units_for(&takes);
        for from in units {
            for to in units {
                let _ = job::entry::units::convert(&takes, &text, from.name, to.name, units::Atmosphere::sea_level_assumed());
            }
        }
    }
}

proptest::proptest! {
    /// Whatever was entered, corrected and withdrawn: each undo gives back what stood before, down to nothing.
    #[test]
    fn undo_walks_back_through_every_state(acts in proptest::collection::vec((0_u8..4, proptest::prelude::any::<proptest::sample::Index>()), 0..14)) {
        let mut phone = Phone::new();
        let mut states: Vec<Vec<String>> = Vec::new();
        let sorted = |phone: &Phone| {
            let mut notes = phone.notes();
            notes.sort();
            notes
        };
        for (number, (act, pick)) in acts.iter().enumerate() {
            let before = sorted(&phone);
            let entries = current(&phone.events).entries;
            match (act, entries.is_empty()) {
                (0 | 1, _) | (_, true) => drop(phone.note(&format!("note {number}"))),
                (2, _) => {
                    let of = pick.get(&entries).stands_by;
                    let now = read_entry("note", &[("text", &format!("note {number}"))], &Around::default()).unwrap();
                    let tick = phone.tick();
                    let event = phone.maker.correct(of, now, None, tick);
                    phone.events.push(event);
                }
                _ => {
                    let of = pick.get(&entries).id;
                    // To withdraw the last act is to undo it.
                    if undoable(&phone.events, Some("phone 1")).is_some_and(|last| last.id == of) {
                        phone.undo();
                        proptest::prop_assert_eq!(Some(sorted(&phone)), states.pop());
                        continue;
                    }
                    let tick = phone.tick();
                    let event = phone.maker.withdraw(of, tick);
                    phone.events.push(event);
                }
            }
            states.push(before);
        }
        while let Some(before) = states.pop() {
            proptest::prop_assert!(phone.undo());
            proptest::prop_assert_eq!(sorted(&phone), before);
        }
        proptest::prop_assert!(!phone.undo());
    }
}

/// The demo visit, read once for all cases.
fn visit_once() -> &'static Visit {
    static VISIT: std::sync::OnceLock<Visit> = std::sync::OnceLock::new();
    VISIT.get_or_init(visit)
}
