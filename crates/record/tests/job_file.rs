//! The job file: what reads, what is told of what does not, and how an edited file goes on the record.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use record::*;
use std::path::PathBuf;

fn examples() -> Vec<(String, Vec<u8>)> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs");
    let mut all: Vec<(String, Vec<u8>)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            assert_eq!(
                path.extension().and_then(|e| e.to_str()),
                Some("toml"),
                "the folder holds job files only"
            );
            (path.file_name().unwrap().to_str().unwrap().to_owned(), std::fs::read(&path).unwrap())
        })
        .collect();
    all.sort();
    all
}

fn example(name: &str) -> JobFile {
    let (_, bytes) = examples().into_iter().find(|(file, _)| file == name).unwrap();
    read_job_file(&bytes).unwrap()
}

fn refused(text: impl AsRef<[u8]>) -> Problems {
    read_job_file(text.as_ref()).unwrap_err()
}

/// The one problem of a text that has one.
fn problem(text: &str) -> Problem {
    let problems = refused(text);
    assert_eq!(problems.total, 1, "{problems}");
    problems.first[0].clone()
}

#[test]
fn every_example_reads() {
    let all = examples();
    assert!(all.len() >= 5);
    for (name, bytes) in all {
        if let Err(problems) = read_job_file(&bytes) {
            panic!("{name}:\n{problems}");
        }
    }
}

#[test]
fn a_first_visit_with_next_to_nothing_is_a_whole_file() {
    let file = example("first-visit-minimal.toml");
    let today = current(&file.events);
    assert_eq!(today.system().value.refrigerant.unwrap().text(), "R-513A");
    let bodies: Vec<&Body> = today.entries.iter().map(Entry::what).collect();
    let Body::PastChange(change) = bodies[1] else { panic!("{bodies:?}") };
    let every = change.every.as_ref().unwrap();
    assert_eq!(every.told_by(), Some("the cook"));
    assert!(matches!(every.plain(), Known::About(_)));
    assert!((every.value().unwrap().day() - 91.3125).abs() < 1e-9);
    assert!(change.amount.as_ref().unwrap().is_unknown());
    let Body::Reading(reading) = bodies[2] else { panic!("{bodies:?}") };
    assert_eq!(reading.suction_pressure.as_ref().unwrap().value.text, "21 psig");
}

#[test]
fn the_repair_says_what_the_file_says() {
    let file = example("room-7-repair.toml");
    assert_eq!(file.by.as_deref(), Some("technician A"));
    let today = current(&file.events);
    assert!(today.disagreements.is_empty());
    let site = today.site().value;
    assert!((site.altitude.unwrap().value().unwrap().metre() - 85.0).abs() < 1e-12);
    let system = today.system().value;
    assert_eq!(system.line.len(), 2);
    let (low, high) = system.condenser_volume.as_ref().unwrap().bounds().unwrap();
    assert!((low.litre() - 6.0).abs() < 1e-12 && (high.litre() - 9.0).abs() < 1e-12);
    let hold = today
        .entries
        .iter()
        .find_map(|entry| match entry.what() {
            Body::Hold(hold) => Some(hold),
            _ => None,
        })
        .unwrap();
    let (start, end) = (hold.start.at.as_ref().unwrap(), hold.end.as_ref().unwrap().at.as_ref().unwrap());
    assert!((end.since(start).hour() - 16.0).abs() < 1e-9);
    assert_eq!(hold.between.len(), 1);
    let rise = today
        .entries
        .iter()
        .find_map(|entry| match entry.what() {
            Body::Rise(rise) => Some(rise),
            _ => None,
        })
        .unwrap();
    assert!(rise.points.len() >= 10);
    let charged = today
        .entries
        .iter()
        .find_map(|entry| match entry.what() {
            Body::Weighing(weighing) if weighing.direction == Direction::Charged => Some(weighing),
            _ => None,
        })
        .unwrap();
    let net = charged.before.get() - charged.after.as_ref().unwrap().get();
    assert!((net.pound() - (2.0 + 13.4 / 16.0)).abs() < 1e-9);
    let choice = today.entries.iter().find(|entry| matches!(entry.what(), Body::Choice(_))).unwrap();
    assert_eq!(file.events.iter().find(|event| event.id == choice.id).unwrap().kind(), "choice");
}

#[test]
fn times_carry_the_offset_and_the_zone_of_the_place() {
    let file = example("room-7-first-call.toml");
    let today = current(&file.events);
    let entry = today.entries.iter().find(|entry| entry.key.as_deref() == Some("first reading")).unwrap();
    let at = entry.seen.at.as_ref().unwrap();
    assert_eq!(at.to_string(), "2031-05-06T18:35:00-04:00");
    let When::Instant { zone, .. } = at else { panic!() };
    assert_eq!(zone.as_deref(), Some("America/Toronto"));
}

#[test]
fn entries_keep_the_order_of_the_file_and_their_lines() {
    for (name, bytes) in examples() {
        let file = read_job_file(&bytes).unwrap();
        let lines: Vec<usize> = current(&file.events)
            .entries
            .iter()
            .filter(|entry| !entry.key.as_deref().unwrap_or_default().starts_with('/'))
            .map(|entry| file.lines[&entry.id])
            .collect();
        assert!(lines.is_sorted(), "{name}");
        let text = String::from_utf8(bytes).unwrap();
        for line in lines {
            assert_eq!(text.lines().nth(line - 1), Some("[[entry]]"), "{name}:{line}");
        }
    }
}

#[test]
fn the_same_file_twice_gives_the_same_events() {
    for (name, bytes) in examples() {
        let (one, other) = (read_job_file(&bytes).unwrap(), read_job_file(&bytes).unwrap());
        assert_eq!(one, other, "{name}");
        let mut ids: Vec<_> = one.events.iter().map(|event| event.id).collect();
        assert!(ids.iter().all(|id| id.get_version_num() == 8));
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), one.events.len(), "{name}: an id stands twice");
        assert_eq!(reread(&one.events, &other), [], "{name}");
        assert_eq!(merge(&one.events, &other.events).events.len(), one.events.len());
    }
}

#[test]
fn every_example_goes_through_the_log_unchanged() {
    for (name, bytes) in examples() {
        let file = read_job_file(&bytes).unwrap();
        let log = read_log(write_log(&file.events).as_bytes());
        assert_eq!(log.events, file.events, "{name}");
    }
}

#[test]
fn equal_entries_are_two_events() {
    let twice =
        "gastight = 1\n[[entry]]\nkind = \"note\"\ntext = \"x\"\n[[entry]]\nkind = \"note\"\ntext = \"x\"\n";
    let file = read_job_file(twice.as_bytes()).unwrap();
    assert_eq!(file.events.len(), 2);
    assert_ne!(file.events[0].id, file.events[1].id);
}

#[test]
fn an_inserted_entry_leaves_the_ids_of_the_others_alone() {
    let text = |middle: &str| {
        format!(
            "gastight = 1\njob = \"a\"\n[[entry]]\nkind = \"note\"\ntext = \"x\"\n{middle}[[entry]]\nkind = \"note\"\ntext = \"z\"\n"
        )
    };
    let ids = |text: String| -> Vec<_> {
        read_job_file(text.as_bytes()).unwrap().events.into_iter().map(|event| event.id).collect()
    };
    let (short, long) = (ids(text("")), ids(text("[[entry]]\nkind = \"note\"\ntext = \"y\"\n")));
    assert_eq!(short, [long[0], long[2]]);
}

const BEFORE: &str = r#"
gastight = 1
job = "edited"
[site]
offset = "+01:00"
[visit]
date = 2031-05-06
by = "Ann"
[system]
refrigerant = "R-404A"
charge = "14 kg"
oil = "POE"
[[entry]]
kind = "reading"
at = 08:10
suction_pressure = "45 psig"
[[entry]]
kind = "note"
id = "remark"
text = "a first remark"
[[entry]]
kind = "leak check"
at = 08:30
method = "soap"
result = "clean"
[[entry]]
kind = "arrival"
at = 09:00
place = "roof"
"#;

fn kinds(events: &[Event]) -> Vec<&str> {
    events.iter().map(Event::kind).collect()
}

fn edit(old: &[Event], text: &str) -> Vec<Event> {
    let more = reread(old, &read_job_file(text.as_bytes()).unwrap());
    let mut all = old.to_vec();
    all.extend(more);
    let merged = merge(&all, &[]);
    assert!(merged.clashes.is_empty());
    assert_eq!(merged.events.len(), all.len(), "an id was used twice");
    // Whatever was done, the record now says what the file says.
    assert_eq!(reread(&all, &read_job_file(text.as_bytes()).unwrap()), []);
    all
}

#[test]
fn an_edited_file_gives_corrections_withdrawals_and_additions() {
    let old = read_job_file(BEFORE.as_bytes()).unwrap().events;
    let after = BEFORE
        .replace("charge = \"14 kg\"", "charge = \"14.2 kg\"")
        .replace("oil = \"POE\"\n", "goods = \"roses\"\n")
        .replace("45 psig", "46 psig")
        .replace("a first remark", "a better remark")
        .replace("at = 09:00", "at = 09:20")
        .replace("result = \"clean\"", "result = \"clean\"\nminutes = \"10 min\"");
    let all = edit(&old, &after);
    let added = &all[old.len()..];
    let mut count = std::collections::BTreeMap::new();
    for kind in kinds(added) {
        *count.entry(kind).or_insert(0) += 1;
    }
    // Charge, reading, note, check and arrival are corrected; the oil is withdrawn; the goods are new.
    assert_eq!(
        count.into_iter().collect::<Vec<_>>(),
        [("correction", 5), ("observation", 1), ("redaction", 1)]
    );
    let today = current(&all);
    let system = today.system().value;
    assert_eq!(system.charge.unwrap().text(), "14.2 kg");
    assert_eq!(system.oil, None);
    assert_eq!(system.goods.unwrap().text(), "roses");
    assert!(today.disagreements.is_empty() && today.orphans.is_empty());
}

#[test]
fn edits_back_and_forth_stay_apart() {
    let old = read_job_file(BEFORE.as_bytes()).unwrap().events;
    let other = BEFORE
        .replace("14 kg", "15 kg")
        .replace("[[entry]]\nkind = \"arrival\"\nat = 09:00\nplace = \"roof\"\n", "");
    let mut all = old.clone();
    for round in 0..4 {
        all = edit(&all, if round % 2 == 0 { &other } else { BEFORE });
    }
    assert_eq!(current(&all).system().value.charge.unwrap().text(), "14 kg");
    assert_eq!(
        current(&all).entries.iter().filter(|entry| matches!(entry.what(), Body::Arrival(_))).count(),
        1
    );
    assert_eq!(kinds(&all[old.len()..]).iter().filter(|kind| **kind == "correction").count(), 4);
}

#[test]
fn what_was_entered_on_a_device_is_left_alone() {
    let mut old = read_job_file(BEFORE.as_bytes()).unwrap().events;
    let mut device = old[0].clone();
    device.id = device_id(1_900_000_000_000, [3; 10]);
    device.content = Content::Observed(Observation {
        at: None,
        place: None,
        with: Vec::new(),
        told_by: None,
        note: None,
        what: Body::Note(Note { text: "typed on the roof".to_owned() }),
    });
    old.push(device);
    assert_eq!(reread(&old, &read_job_file(BEFORE.as_bytes()).unwrap()), []);
}

#[test]
fn a_file_without_a_name_edited_keeps_its_job() {
    let text = "gastight = 1\n[system]\nrefrigerant = \"R-404A\"\n";
    let old = read_job_file(text.as_bytes()).unwrap().events;
    let all = edit(&old, &text.replace("404A", "448A"));
    assert_eq!(kinds(&all), ["observation", "correction"]);
    assert_eq!(all[0].job, all[1].job);
}

#[test]
fn empty_binary_and_endless_files_each_get_one_clear_problem() {
    for empty in ["", "  \n\t\n", "# only a comment\n\n", "\u{feff}"] {
        assert_eq!(problem(empty).what, What::EmptyFile);
    }
    let binary = refused(b"gastight = 1\n\x89PNG\x00\xff");
    assert_eq!((binary.first[0].line, &binary.first[0].what), (2, &What::NotText { byte: 13 }));
    let nul = refused("gastight = 1\nnote = \"a\0b\"\n");
    assert_eq!((nul.first[0].line, &nul.first[0].what), (2, &What::NotText { byte: 22 }));
    let large = refused(vec![b' '; LARGEST_FILE + 1]);
    assert_eq!(large.first[0].what, What::FileTooLarge { bytes: LARGEST_FILE + 1, limit: LARGEST_FILE });
    assert_eq!(problem("[system]\nrefrigerant = \"R-404A\"\n").what, What::NotAJobFile);
    assert_eq!(problem("gastight = 2\n").what, What::NewerFormat { newest: 1 });
    assert_eq!(problem("gastight = \"1\"\n").what, What::WrongType { found: Found::Text });
}

#[test]
fn broken_toml_names_its_line_and_what_most_likely_broke_it() {
    let hint = |text: &str| {
        let problem = problem(text);
        (problem.line, problem.what)
    };
    assert_eq!(hint("gastight = 1\n[system]\ncharge = 14.2 kg\n"), (3, What::Syntax(SyntaxHint::Quotes)));
    assert_eq!(hint("gastight = 1\n[system]\nrefrigerant = R-404A\n"), (3, What::Syntax(SyntaxHint::Quotes)));
    assert_eq!(hint("gastight = 1\ngastight = 1\n"), (2, What::Syntax(SyntaxHint::KeyTwice)));
    assert_eq!(hint("gastight = 1\n[system\n"), (2, What::Syntax(SyntaxHint::NotClosed)));
    assert_eq!(hint("gastight = 1\nnote = \"half\n"), (2, What::Syntax(SyntaxHint::NotClosed)));
    assert_eq!(hint("gastight = 1\n[visit]\ndate = 2031-13-06T08\n"), (3, What::Syntax(SyntaxHint::Moment)));
    assert_eq!(hint("gastight = 1\n= 4\n").0, 2);
}

#[test]
fn each_kind_of_mistake_is_told_with_what_would_be_sensible() {
    let of = |rest: &str| problem(&format!("gastight = 1\n{rest}\n"));
    let told = of("[system]\ncharge = \"14.2\"");
    assert_eq!(
        (told.line, told.column, told.field.as_str(), told.given.as_str()),
        (3, 10, "system.charge", "14.2")
    );
    assert!(matches!(&told.what, What::Unreadable(error) if error.fault == units::ReadFault::MissingUnit));
    assert_eq!(told.sensible, Sensible::Example("27 lb 5 oz".to_owned()));

    let bare = of("[system]\ncharge = 14.2");
    assert!(matches!(&bare.what, What::Unreadable(error) if error.fault == units::ReadFault::MissingUnit));

    let open = of("[[entry]]\nkind = \"reading\"\nsuction_pressure = \"62.5 psi\"");
    assert!(
        matches!(&open.what, What::Unreadable(error) if error.fault == units::ReadFault::GaugeOrAbsolute)
    );
    assert_eq!(open.field, "entry[1].suction_pressure");

    let key = of("[system]\nrefridgerant = \"R-404A\"");
    assert_eq!(key.what, What::UnknownKey);
    assert!(matches!(&key.sensible, Sensible::Words { near: Some(near), .. } if near == "refrigerant"));

    let word = of("[[entry]]\nkind = \"leak check\"\nmethod = \"soap\"\nresult = \"cleen\"");
    assert_eq!(word.what, What::UnknownWord);
    assert!(matches!(&word.sensible, Sensible::Words { near: Some(near), .. } if near == "clean"));

    let kind = of("[[entry]]\nkind = \"readings\"");
    assert_eq!(kind.what, What::UnknownKind);
    assert!(matches!(&kind.sensible, Sensible::Words { near: Some(near), .. } if near == "reading"));

    assert_eq!(of("[[entry]]\nkind = \"note\"").what, What::MissingField);
    assert_eq!(of("[[entry]]\ntext = \"no kind\"").field, "entry[1].kind");
    assert_eq!(of("[system]\ncharge = [1, 2]").what, What::WrongType { found: Found::List });
    assert_eq!(of("[system]\ncharge = \"2 kg .. 1 kg\"").what, What::RangeOrder);
    let far = of("[[entry]]\nkind = \"reading\"\nambient = \"900 F\"");
    assert_eq!(
        (far.what, far.sensible),
        (What::OutOfRange, Sensible::Between("-100 C".to_owned(), "250 C".to_owned()))
    );
    let high = of("[site]\naltitude = \"9000 m\"");
    assert_eq!(high.what, What::OutOfRange);
    assert_eq!(of("[site]\nbarometer = \"12 kPa\"").what, What::OutOfRange);
    assert_eq!(
        of("[system]\ncomposition = { R-32 = 0.5, R-125 = 0.4 }").what,
        What::CompositionSum { sum: 0.9 }
    );
    assert_eq!(
        of("[[entry]]\nkind = \"note\"\ntext = \"x\"\nat = 08:10").what,
        What::BadMoment(WhenFault::DateMissing)
    );
    assert_eq!(
        of("[[entry]]\nkind = \"note\"\ntext = \"x\"\nat = 2031-05-06T08:10:00").what,
        What::BadMoment(WhenFault::OffsetMissing)
    );
    let name = of(
        "[[instrument]]\nid = \"gauges\"\nmeasures = \"pressure\"\n[[entry]]\nkind = \"reading\"\nsuction_pressure = { value = \"45 psig\", with = \"guages\" }",
    );
    assert_eq!((name.what, name.field.as_str()), (What::UnknownName, "entry[1].suction_pressure.with"));
    assert!(matches!(&name.sensible, Sensible::Words { near: Some(near), .. } if near == "gauges"));
    let twice = of(
        "[[instrument]]\nid = \"a\"\nmeasures = \"mass\"\n[[instrument]]\nid = \"a\"\nmeasures = \"mass\"",
    );
    assert_eq!((twice.line, twice.what), (6, What::NameTwice { first_line: 3 }));
    assert_eq!(of("entry = 4").what, What::WrongType { found: Found::Number });
    assert_eq!(of("[[system]]\nrefrigerant = \"R-404A\"").field, "system");
}

#[test]
fn what_happened_later_stands_below_and_history_may_stand_anywhere() {
    let text = "gastight = 1\n[site]\noffset = \"Z\"\n[visit]\ndate = 2031-05-06\n\
        [[entry]]\nkind = \"arrival\"\nat = 09:00\n\
        [[entry]]\nkind = \"past change\"\nat = 2029-01-01\namount = \"1 kg\"\n\
        [[entry]]\nkind = \"departure\"\nat = 08:00\n";
    let told = problem(text);
    assert_eq!((told.what, told.line, told.field.as_str()), (What::DateOrder, 15, "entry[3].at"));
    assert_eq!(told.sensible, Sensible::Example("2031-05-06T09:00:00Z".to_owned()));
    assert!(read_job_file(text.replace("08:00", "09:00").as_bytes()).is_ok());
}

#[test]
fn a_hold_that_ends_before_it_starts_and_a_rise_out_of_order_are_told() {
    let hold = "gastight = 1\n[site]\noffset = \"Z\"\n[[entry]]\nkind = \"hold\"\ngas = \"nitrogen\"\n\
        start = { pressure = \"300 psig\", temperature = \"70 F\", at = 2031-05-06T18:00:00Z }\n\
        end = { pressure = \"292 psig\", temperature = \"50 F\", at = 2031-05-06T08:00:00Z }\n";
    assert_eq!(problem(hold).what, What::EndBeforeStart);
    let rise = "gastight = 1\n[[entry]]\nkind = \"rise\"\npoints = [[\"0 min\", \"300 micron\"], [\"5 min\", \"400 micron\"], [\"4 min\", \"420 micron\"]]\n";
    let told = problem(rise);
    assert_eq!((told.what, told.field.as_str()), (What::DateOrder, "entry[1].points[3]"));
    let single = "gastight = 1\n[[entry]]\nkind = \"rise\"\npoints = [\"0 min\", \"300 micron\"]\n";
    assert!(read_job_file(single.as_bytes()).is_ok(), "a single pair is a list of one");
    let odd = "gastight = 1\n[[entry]]\nkind = \"rise\"\npoints = [[\"0 min\"]]\n";
    assert_eq!(problem(odd).what, What::WrongType { found: Found::List });
}

/// One mistake a line, 25 in all; the first 20 in the order of the file are told.
#[test]
fn twenty_five_mistakes_are_told_twenty_at_once_and_counted() {
    let text = r#"gastight = 1
wether = "fine"
[site]
altitude = "high"
offset = "one hour"
barometer = "3 kPa"
[visit]
date = "the sixth of May"
phone = "1234567"
[system]
refrigerant = 404
charge = 14.2
receiver_volume = "18 gal"
receiver_fill = "140 %"
condenser_volume = "9 L .. 6 L"
head_control = "magic"
low_cut_in = "38 psi"
[[instrument]]
id = "gauges"
measures = "pressures"
[[cylinder]]
tare = "27"
[[entry]]
kind = "reading"
suction_pressure = { value = "43.9 psig", with = "gages" }
discharge_presure = "200 psig"
glass = "foggy"
[[entry]]
kind = "weighing"
cylinder = "X"
direction = "sideways"
[[entry]]
kind = "repair"
[[entry]]
kind = "picnic"
[[entry]]
kind = "finding"
what = ""
price = "cheap"
[[entry]]
kind = "part"
"#;
    let problems = refused(text);
    let told: Vec<String> = problems
        .first
        .iter()
        .map(|p| {
            let what = serde_json::to_value(&p.what).unwrap();
            let what = match &what {
                serde_json::Value::Object(map) => map.keys().next().cloned().unwrap(),
                other => other.as_str().unwrap().to_owned(),
            };
            format!("{}:{} {} = {:?}: {what}", p.line, p.column, p.field, p.given)
        })
        .collect();
    let expected = [
        "2:1 wether = \"wether\": unknown_key",
        "4:12 site.altitude = \"high\": unreadable",
        "5:10 site.offset = \"one hour\": bad_moment",
        "6:13 site.barometer = \"3 kPa\": out_of_range",
        "8:8 visit.date = \"the sixth of May\": bad_moment",
        "9:1 visit.phone = \"phone\": unknown_key",
        "12:10 system.charge = \"14.2\": unreadable",
        "13:19 system.receiver_volume = \"18 gal\": unreadable",
        "14:17 system.receiver_fill = \"140 %\": out_of_range",
        "15:20 system.condenser_volume = \"9 L .. 6 L\": range_order",
        "16:16 system.head_control = \"magic\": unknown_word",
        "17:14 system.low_cut_in = \"38 psi\": unreadable",
        "20:12 instrument[1].measures = \"pressures\": unknown_word",
        "21:1 cylinder[1].id = \"\": missing_field",
        "22:8 cylinder[1].tare = \"27\": unreadable",
        "25:50 entry[1].suction_pressure.with = \"gages\": unknown_name",
        "26:1 entry[1].discharge_presure = \"discharge_presure\": unknown_key",
        "27:9 entry[1].glass = \"foggy\": unknown_word",
        "28:1 entry[2].before = \"\": missing_field",
        "31:13 entry[2].direction = \"sideways\": unknown_word",
    ];
    assert_eq!(told, expected);
    assert_eq!(problems.total, 25);
}

#[test]
fn large_files_are_read_in_good_time() {
    let entry = "[[entry]]\nkind = \"reading\"\nsuction_pressure = \"43.9 psig\"\nsuction_line = \"30 F\"\n";
    let mut good = String::from("gastight = 1\n");
    let mut bad = good.clone();
    // The dev profile is slow: a thirtieth of the size, on which a quadratic walk would still take minutes.
    while good.len() < LARGEST_FILE / 30 {
        good.push_str(entry);
        bad.push_str(&entry.replace("suction_line", "suktion_line").replace("psig", "psi"));
    }
    let count = good.matches("[[entry]]").count();
    assert_eq!(read_job_file(good.as_bytes()).unwrap().events.len(), count);
    let problems = refused(&bad);
    assert_eq!((problems.first.len(), problems.total), (20, 2 * count));
    // One endless line, and one endless key.
    let line = format!("gastight = 1\nnote = [{}]\n", "1,".repeat(60_000));
    assert_eq!(refused(&line).total, 1);
    let keys: String = (0..20_000).map(|n| format!("k{n} = 1\n")).collect();
    assert_eq!(refused(format!("gastight = 1\n{keys}")).total, 20_000);
    let long = format!("gastight = 1\n{} = 1\n", "k".repeat(300_000));
    assert_eq!(refused(&long).total, 1);
    let deep = format!("gastight = 1\nnote = {}{}\n", "[".repeat(100_000), "]".repeat(100_000));
    assert_eq!(refused(&deep).total, 1);
}

#[test]
fn every_key_and_every_kind_is_in_the_manual() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/job-file.md");
    let manual = std::fs::read_to_string(path).unwrap();
    let mut missing: Vec<String> = known_keys()
        .into_iter()
        .filter(|(_, key)| !manual.contains(&format!("`{key}`")))
        .map(|(section, key)| format!("{section}: {key}"))
        .collect();
    missing.extend(
        entry_kinds().into_iter().filter(|kind| !manual.contains(&format!("`{kind}`"))).map(str::to_owned),
    );
    assert!(missing.is_empty(), "not in docs/job-file.md: {missing:#?}");
    assert!(known_keys().len() > 150);
}

#[test]
fn the_manual_s_examples_read() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs/job-file.md");
    let manual = std::fs::read_to_string(path).unwrap();
    let mut count = 0;
    for part in manual.split("```toml\n").skip(1) {
        let text = part.split("```").next().unwrap();
        let whole =
            if text.contains("gastight = 1") { text.to_owned() } else { format!("gastight = 1\n{text}") };
        if let Err(problems) = read_job_file(whole.as_bytes()) {
            panic!("{text}\n{problems}");
        }
        count += 1;
    }
    assert!(count >= 5);
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = read_job_file(&bytes);
    }

    #[test]
    fn a_damaged_example_is_read_or_refused(at in 0_usize..100_000, to in any::<u8>(), which in 0_usize..5) {
        let all = examples();
        let mut bytes = all[which % all.len()].1.clone();
        let at = at % bytes.len();
        bytes[at] = to;
        if let Err(problems) = read_job_file(&bytes) {
            prop_assert!(problems.total >= 1 && !problems.first.is_empty());
            prop_assert!(problems.first.len() <= TOLD_AT_ONCE);
        }
    }

    #[test]
    fn a_shortened_example_is_read_or_refused(at in 0_usize..100_000, which in 0_usize..5) {
        let all = examples();
        let bytes = &all[which % all.len()].1;
        if let Err(problems) = read_job_file(&bytes[..at % bytes.len()]) {
            prop_assert!(problems.total >= 1 && !problems.first.is_empty());
        }
    }
}
