//! The log as text: written, read back, torn, damaged, merged.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use record::*;
use uuid::Uuid;

fn note(seed: u64, text: &str, by: &str, ms: i64) -> Event {
    let mut random = [0; 10];
    random[..8].copy_from_slice(&seed.to_be_bytes());
    Event {
        id: device_id(1_900_000_000_000, random),
        job: job_id("a job"),
        by: Some(by.to_owned()),
        device: Some("phone 1".to_owned()),
        stamp: Stamp { ms, n: 0 },
        key: None,
        content: Content::Observed(Observation {
            at: When::read("2031-05-06T08:10:00+01:00", &Local::default()).ok(),
            place: Some("roof".to_owned()),
            with: vec!["gauges".to_owned()],
            told_by: None,
            note: None,
            what: Body::Note(Note { text: text.to_owned() }),
        }),
        apprentice: false,
        verbatim: None,
    }
}

fn sample() -> Vec<u8> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/samples/version-1.jsonl");
    std::fs::read(path).unwrap()
}

/// Committed when the format was made, a line more for each kind since: every later program must read it, and write it
/// back byte for byte.
#[test]
fn a_log_of_version_1_reads_and_writes_back() {
    let bytes = sample();
    let log = read_log(&bytes);
    assert_eq!(log.version, Some(1));
    assert_eq!((log.torn.as_ref(), log.aside.len()), (None, 0));
    let kinds: Vec<&str> = log.events.iter().map(Event::kind).collect();
    for kind in
        ["observation", "choice", "correction", "settlement", "signed_result", "redaction", "rehearsal"]
    {
        assert!(kinds.contains(&kind), "{kind} is not in the sample");
    }
    let tags: Vec<&str> = log
        .events
        .iter()
        .filter_map(|event| match &event.content {
            Content::Observed(seen) => Some(seen.what.tag()),
            _ => None,
        })
        .collect();
    for tag in Body::TAGS {
        assert!(tags.contains(tag), "{tag} is not in the sample");
    }
    assert!(log.events.iter().filter(|event| !event.is_unknown()).all(|event| event.verbatim.is_none()));
    assert_eq!(write_log(&log.events).into_bytes(), bytes);
}

#[test]
fn the_sample_of_version_1_says_what_it_said() {
    let log = read_log(&sample());
    let today = current(&log.events);
    let system = today.system();
    assert_eq!(system.value.charge.as_ref().map(Known::text).as_deref(), Some("14.2 kg"));
    let suction = today.entries.iter().find_map(|entry| match entry.what() {
        Body::Reading(reading) => reading.suction_pressure.clone(),
        _ => None,
    });
    assert_eq!(suction.unwrap().value.text, "33.5 psig");
    assert_eq!(today.signed.len(), 1);
    assert_eq!(today.withdrawn.len(), 1);
    assert_eq!(today.unknown.len(), 2);
    assert_eq!(today.disagreements.len(), 0, "the sample's disagreement is settled");
}

#[test]
fn a_torn_last_line_loses_that_line_and_says_so() {
    let events = [note(1, "first", "Ann", 1), note(2, "second", "Ann", 2)];
    let text = write_log(&events);
    for cut in 1..write_line(&events[1]).len() {
        let log = read_log(&text.as_bytes()[..text.len() - 1 - cut]);
        let last_is_whole = log.events.len() == 2;
        assert!(!last_is_whole);
        assert_eq!(log.events, events[..1]);
        assert_eq!(log.torn.as_ref().map(|bad| bad.number), Some(3), "cut {cut}");
        assert!(log.aside.is_empty());
    }
    // Only the line end is missing: nothing is lost.
    assert_eq!(read_log(&text.as_bytes()[..text.len() - 1]).events.len(), 2);
}

#[test]
fn what_is_appended_behind_a_torn_line_is_safe() {
    let events = [note(1, "first", "Ann", 1), note(2, "second", "Ann", 2)];
    let mut file = write_log(&events).into_bytes();
    file.truncate(file.len() - 30);
    let more = append_text(&file, &[note(3, "third", "Ann", 3)]);
    file.extend_from_slice(more.as_bytes());
    let log = read_log(&file);
    assert_eq!(log.events.len(), 2);
    assert_eq!(log.aside.iter().map(|bad| bad.number).collect::<Vec<_>>(), [3]);
    assert_eq!(log.torn, None);
}

#[test]
fn a_damaged_line_in_the_middle_is_kept_aside_with_its_number() {
    let events = [note(1, "first", "Ann", 1), note(2, "second", "Ann", 2)];
    let text = write_log(&events);
    let mut lines: Vec<Vec<u8>> = text.lines().map(|line| line.as_bytes().to_vec()).collect();
    lines.insert(2, b"{\"id\": 12, \xff\x00".to_vec());
    let mut bytes = lines.join(&b'\n');
    bytes.push(b'\n');
    let log = read_log(&bytes);
    assert_eq!(log.events, events);
    assert_eq!(log.aside, [BadLine { number: 3, bytes: b"{\"id\": 12, \xff\x00".to_vec() }]);
    assert_eq!(log.torn, None);
}

#[test]
fn what_a_newer_program_wrote_is_kept_to_the_letter() {
    let line = write_line(&note(1, "x", "Ann", 1));
    let newer = [
        // A kind nobody knows, with its own order of keys and a number written its own way.
        line.replace("\"kind\":\"observation\"", "\"kind\":\"weather\"").replace("\"n\":0", "\"n\": 0 "),
        // A body nobody knows.
        line.replace("\"type\":\"note\"", "\"type\":\"hologram\""),
        // A known body with a field that came later.
        line.replace("\"type\":\"note\"", "\"type\":\"note\",\"mood\":1.50"),
        // A field of the event that came later.
        line.replace("\"kind\":", "\"moon\":\"full\",\"kind\":"),
        // A known field whose type changed.
        line.replace("\"text\":\"x\"", "\"text\":{\"en\":\"x\"}"),
    ];
    let text = format!("{{\"gastight_log\":7}}\n{}\n", newer.join("\n"));
    let log = read_log(text.as_bytes());
    assert!(log.is_newer());
    assert_eq!(log.events.len(), newer.len());
    for (event, line) in log.events.iter().zip(&newer) {
        assert_ne!(line, &write_line(&note(1, "x", "Ann", 1)));
        assert_eq!(&write_line(event), line);
    }
    assert!(log.events[0].is_unknown() && log.events[1].is_unknown() && log.events[4].is_unknown());
    assert!(!log.events[2].is_unknown() && !log.events[3].is_unknown());
}

#[test]
fn two_contents_under_one_id_are_both_kept_and_told() {
    let one = note(1, "first", "Ann", 1);
    let other = note(1, "another", "Ann", 1);
    let merged = merge(std::slice::from_ref(&one), &[other]);
    assert_eq!(merged.events.len(), 2);
    assert_eq!(merged.clashes, [one.id]);
    // The stamp is no content.
    let later = Event { stamp: Stamp { ms: 9, n: 0 }, ..one.clone() };
    let merged = merge(&[later], std::slice::from_ref(&one));
    assert_eq!((merged.events, merged.clashes), (vec![one], Vec::new()));
}

#[test]
fn an_erasure_reaches_every_copy() {
    let private = note(1, "the customer is ill", "Ann", 1);
    let mut redaction = note(2, "", "office", 2);
    redaction.content =
        Content::Redaction(Redaction { of: private.id, reason: RedactionReason::PersonalData });
    let merged = merge(std::slice::from_ref(&private), std::slice::from_ref(&redaction));
    assert!(!write_log(&merged.events).contains("ill"));
    let again = merge(&merged.events, std::slice::from_ref(&private));
    assert_eq!(again, merged);
    assert!(merged.clashes.is_empty());
    assert_eq!(current(&merged.events).withdrawn, [private.id]);
}

fn any_events() -> impl Strategy<Value = Vec<Event>> {
    proptest::collection::vec((0_u64..12, 0_u8..3, 0_u8..3, 0_i64..6, 0_u8..6, 0_u64..12), 0..14).prop_map(
        |all| {
            all.into_iter()
                .map(|(seed, text, by, ms, kind, of)| {
                    let mut event = note(seed, &format!("text {text}"), &format!("person {by}"), ms);
                    let of = note(of, "", "", 0).id;
                    let seen = match &event.content {
                        Content::Observed(seen) => seen.clone(),
                        _ => unreachable!("a note is an observation"),
                    };
                    event.content = match kind {
                        0 | 1 => Content::Correction(Correction { of, now: seen, why: None }),
                        2 => Content::Redaction(Redaction {
                            of,
                            reason: if text == 0 {
                                RedactionReason::PersonalData
                            } else {
                                RedactionReason::Withdrawn
                            },
                        }),
                        3 => Content::Settlement(Settlement {
                            among: vec![of, event.id],
                            chosen: of,
                            why: None,
                        }),
                        _ => event.content,
                    };
                    event
                })
                .collect()
        },
    )
}

proptest! {
    #[test]
    fn merging_commutes_associates_and_repeats_harmlessly(a in any_events(), b in any_events(), c in any_events()) {
        let ab = merge(&a, &b);
        prop_assert_eq!(&ab, &merge(&b, &a));
        prop_assert_eq!(&merge(&ab.events, &c), &merge(&a, &merge(&b, &c).events));
        prop_assert_eq!(&merge(&ab.events, &ab.events), &ab);
        prop_assert_eq!(&merge(&ab.events, &a), &ab);
    }

    #[test]
    fn the_current_view_does_not_depend_on_the_order_of_arrival(a in any_events(), seed in 0_usize..100) {
        let merged = merge(&a, &[]).events;
        // Two contents under one id are told by merging; the view is of logs without.
        prop_assume!(merge(&a, &[]).clashes.is_empty());
        let mut shuffled = merged.clone();
        let count = shuffled.len().max(1);
        shuffled.rotate_left(seed % count);
        shuffled.reverse();
        prop_assert_eq!(current(&merged), current(&shuffled));
    }

    #[test]
    fn every_log_reads_back(events in any_events()) {
        let log = read_log(write_log(&events).as_bytes());
        prop_assert_eq!(log.events, events);
        prop_assert_eq!(log.version, Some(LOG_VERSION));
    }

    #[test]
    fn any_bytes_are_read_and_none_are_dropped(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let log = read_log(&bytes);
        let lines = bytes.split(|b| *b == b'\n').filter(|line| !line.trim_ascii().is_empty()).count();
        let kept = log.events.len() + log.aside.len() + usize::from(log.torn.is_some());
        prop_assert!(kept == lines || log.version.is_some());
    }

    #[test]
    fn a_log_with_a_damaged_byte_loses_at_most_two_lines(at in 0_usize..100_000, to in any::<u8>()) {
        let all = sample();
        let mut bytes = all.split_inclusive(|b| *b == b'\n').step_by(23).collect::<Vec<_>>().concat();
        let whole = read_log(&bytes).events.len();
        let at = at % bytes.len();
        bytes[at] = to;
        let log = read_log(&bytes);
        prop_assert!(log.events.len() + 2 >= whole);
    }
}

#[test]
fn a_very_deep_line_is_kept_aside() {
    let deep = format!("{{\"id\":{}{}}}\n", "[".repeat(200_000), "]".repeat(200_000));
    let log = read_log(deep.as_bytes());
    assert_eq!(log.aside.len(), 1);
}

#[test]
fn ids_of_devices_sort_by_time() {
    let ids: Vec<Uuid> = (0..50).map(|n| device_id(1_900_000_000_000 + n, [255; 10])).collect();
    assert!(ids.is_sorted());
}

#[test]
fn a_log_may_bear_the_name_of_its_job() {
    let events = read_log(include_bytes!("samples/version-1.jsonl")).events;
    let named = write_log_of(Some("room 7, \"first\""), &events);
    let log = read_log(named.as_bytes());
    assert_eq!((log.name.as_deref(), log.version), (Some("room 7, \"first\""), Some(LOG_VERSION)));
    assert_eq!(log.events, events);
    assert_eq!(read_log(write_log(&events).as_bytes()).name, None);
    assert_eq!(write_log(&events).lines().next(), Some("{\"gastight_log\":1}"));
    // Two logs behind each other: one name is the name, two are none.
    let twice = format!("{named}{named}");
    assert_eq!(read_log(twice.as_bytes()).name.as_deref(), Some("room 7, \"first\""));
    let mixed = format!("{named}{}", write_log_of(Some("room 8"), &[]));
    assert_eq!(read_log(mixed.as_bytes()).name, None);
}
