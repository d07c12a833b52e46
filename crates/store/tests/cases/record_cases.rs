//! Events, jobs, the search.

use super::*;
use record::Content;
use record::sync::{LINE_BYTES, PULL_EVENTS, PUSH_EVENTS};
use std::collections::BTreeSet;
use store::{EventFault, NotAnEvent, Summary};

/// Returns the event that erases another for the personal data in it.
pub fn erasure(event: u128, job: u128, of: u128) -> Value {
    json!({
        "id": id(event), "job": id(job), "kind": "redaction", "stamp": { "ms": NOW + 5_000, "n": 0 },
        "body": { "of": id(of), "reason": "personal_data" },
    })
}

/// Returns an event that speaks of a picture.
pub fn picture_event(event: u128, job: u128, sha256: &str) -> Value {
    json!({
        "id": id(event), "job": id(job), "kind": "observation", "stamp": { "ms": NOW, "n": 0 },
        "body": { "what": { "type": "picture", "file": "gauge face", "sha256": sha256 } },
    })
}

fn is_erased(store: &dyn Store, event: u128) -> bool {
    matches!(store.event(id(event)).unwrap().unwrap().content, Content::Erased(_))
}

pub fn what_a_newer_program_wrote_comes_back_as_it_was(store: &dyn Store) {
    let strange = json!({
        "id": id(1), "job": id(100), "kind": "weather", "stamp": { "ms": 4, "n": 0 }, "mood": [1, null],
        "body": { "cloud": [1, 2.5, { "deep": "\u{0}\u{fffd}é" }], "number": 0.1 },
    });
    let sender = Sender { device: Some(id(90)) };
    store.push(&sender, std::slice::from_ref(&strange), NOW).unwrap();
    let page = store.pull(0, 10).unwrap();
    assert_eq!(page.lines, [(id(1), record::sync::line(&strange))]);
    let reply = store.sync(&sender, &Push::default(), NOW).unwrap();
    assert_eq!(reply.events, [strange]);
    assert!(store.verify().unwrap().is_clean());
}

pub fn what_is_no_event_is_refused_by_its_place(store: &dyn Store) {
    let mut no_stamp = note(2, 100, "two");
    no_stamp.as_object_mut().unwrap().remove("stamp");
    let long = note(3, 100, &"x".repeat(LINE_BYTES));
    let bytes = record::sync::line(&long).len();
    let refused = store.push(&Sender::default(), &[note(1, 100, "one"), no_stamp, long, json!([1])], NOW);
    assert_eq!(
        refused,
        Err(Error::NotEvents {
            faults: vec![
                NotAnEvent { index: 1, id: Some(id(2)), fault: EventFault::Shape },
                NotAnEvent { index: 2, id: Some(id(3)), fault: EventFault::TooLong { bytes } },
                NotAnEvent { index: 3, id: None, fault: EventFault::Shape },
            ]
        })
    );
    let many: Vec<Value> = (0..=PUSH_EVENTS as u128).map(|n| note(n + 10, 100, "")).collect();
    let refused = store.push(&Sender::default(), &many, NOW);
    assert_eq!(refused, Err(Error::TooMany { given: PUSH_EVENTS + 1, most: PUSH_EVENTS }));
    assert_eq!(store.counts().unwrap().events, 0);
}

pub fn the_first_stamp_stands_for_everybody(store: &dyn Store) {
    let first = note(1, 100, "read from a job file");
    let mut second = first.clone();
    second["stamp"]["ms"] = json!(5);
    store.push(&Sender::default(), std::slice::from_ref(&first), NOW).unwrap();
    let push =
        Push { events: vec![second], cursor: 1, epoch: Some(store.epoch().unwrap()), ..Push::default() };
    let reply = store.sync(&Sender::default(), &push, NOW).unwrap();
    assert_eq!(reply.stored, [id(1)]);
    assert_eq!(reply.events, [first]);
    assert!(store.verify().unwrap().is_clean());
}

pub fn a_clock_a_day_ahead_is_told_and_taken(store: &dyn Store) {
    let mut event = note(1, 100, "from the future");
    event["stamp"]["ms"] = json!(NOW + record::sync::AHEAD_MS + 1);
    let push = Push { events: vec![event, note(2, 100, "on time")], ..Push::default() };
    let reply = store.sync(&Sender::default(), &push, NOW).unwrap();
    assert_eq!(reply.ahead, [id(1)]);
    assert_eq!(reply.stored, [id(1), id(2)]);
}

pub fn a_cursor_of_another_history_starts_again(store: &dyn Store) {
    let events = [note(1, 100, "one"), note(2, 100, "two")];
    store.push(&Sender::default(), &events, NOW).unwrap();
    let all = |cursor, epoch| {
        let push = Push { cursor, epoch, ..Push::default() };
        store.sync(&Sender::default(), &push, NOW).unwrap().events.len()
    };
    let epoch = store.epoch().unwrap();
    assert_eq!(all(1, Some(epoch)), 1);
    assert_eq!(all(2, Some(epoch)), 0);
    assert_eq!(all(2, Some(id(999))), 2);
    assert_eq!(all(3, Some(epoch)), 2);
    assert_eq!(all(u64::MAX, None), 2);
    store.renew_epoch(id(8)).unwrap();
    assert_eq!(all(2, Some(epoch)), 2);
}

pub fn a_long_record_comes_in_pages(store: &dyn Store) {
    let total = 1_203_u128;
    let all: Vec<Value> = (1..=total).map(|n| note(n, 100 + n % 7, "entry")).collect();
    for group in all.chunks(PUSH_EVENTS) {
        store.push(&Sender::default(), group, NOW).unwrap();
    }
    let mut push = Push::default();
    let mut seen = Vec::new();
    let mut sizes = Vec::new();
    loop {
        let reply = store.sync(&Sender::default(), &push, NOW).unwrap();
        sizes.push(reply.events.len());
        seen.extend(reply.events.iter().map(|event| record::sync::event(event).unwrap().id));
        push.cursor = reply.cursor;
        if !reply.more {
            break;
        }
    }
    assert_eq!(sizes, [PULL_EVENTS, PULL_EVENTS, total as usize - 2 * PULL_EVENTS]);
    assert_eq!(seen, (1..=total).map(id).collect::<Vec<_>>());
    // Few that are large end a page too.
    let large: Vec<Value> = (1..=6).map(|n| note(5_000 + n, 200, &"y".repeat(900_000))).collect();
    for one in &large {
        store.push(&Sender::default(), std::slice::from_ref(one), NOW).unwrap();
    }
    let page = store.pull(total as u64, 100).unwrap();
    assert_eq!((page.lines.len(), page.more), (4, true));
    let page = store.pull(page.cursor, 100).unwrap();
    assert_eq!((page.lines.len(), page.more), (2, false));
}

pub fn erasing_reaches_what_is_stored(store: &dyn Store) {
    store
        .push(&Sender::default(), &[note(1, 100, "the customer's number"), note(2, 100, "else")], NOW)
        .unwrap();
    let summary = Summary {
        through: 2,
        title: "Wrenford".to_owned(),
        words: "number".to_owned(),
        ..Summary::default()
    };
    store.put_summary(id(100), &summary).unwrap();
    assert_eq!(store.search("numb", None, 10).unwrap().len(), 1);
    let pushed = store.push(&Sender::default(), &[erasure(3, 101, 1)], NOW).unwrap();
    assert_eq!(pushed.jobs, [id(100), id(101)]);
    assert!(is_erased(store, 1) && !is_erased(store, 2));
    let page = store.pull(0, 10).unwrap();
    assert!(!page.lines[0].1.contains("customer"), "{}", page.lines[0].1);
    // What was made of it is gone with it.
    assert!(store.search("numb", None, 10).unwrap().is_empty());
    let job = store.job(id(100)).unwrap().unwrap();
    assert!(job.stale && job.summary.is_none());
    // Sent again by somebody who has not heard, it stays erased, and the sender is told.
    let push = Push {
        events: vec![note(1, 100, "the customer's number")],
        cursor: 3,
        epoch: Some(store.epoch().unwrap()),
        ..Push::default()
    };
    let reply = store.sync(&Sender::default(), &push, NOW).unwrap();
    assert_eq!(reply.stored, [id(1)]);
    assert_eq!(reply.events.len(), 1);
    assert_eq!(reply.events[0]["kind"], "erased");
    // With other content it is another event.
    let other = store.push(&Sender::default(), &[note(1, 100, "made up")], NOW);
    assert_eq!(other, Err(Error::Refused { ids: vec![id(1)] }));
    assert!(store.verify().unwrap().is_clean());
}

pub fn erasing_reaches_what_comes_later(store: &dyn Store) {
    store.push(&Sender::default(), &[erasure(3, 100, 1)], NOW).unwrap();
    let push = Push { events: vec![note(1, 100, "late")], cursor: 1, ..Push::default() };
    let reply = store.sync(&Sender::default(), &push, NOW).unwrap();
    assert!(is_erased(store, 1));
    assert_eq!(reply.events[0]["kind"], "erased");
    // Both in one request, the erasure first or last.
    let both = [erasure(13, 100, 11), note(11, 100, "a"), note(12, 100, "b"), erasure(14, 100, 12)];
    store.push(&Sender::default(), &both, NOW).unwrap();
    assert!(is_erased(store, 11) && is_erased(store, 12));
    assert!(store.verify().unwrap().is_clean());
}

/// Returns what erasing leaves of an event.
fn left(event: &Value) -> Value {
    let event = record::sync::event(event).unwrap();
    serde_json::from_str(&record::write_line(&record::sync::erased(&event))).unwrap()
}

pub fn erased_anywhere_is_erased_everywhere(store: &dyn Store) {
    // The erased copy comes before the one it was made of.
    store.push(&Sender::default(), &[left(&note(21, 100, "c"))], NOW).unwrap();
    let pushed = store.push(&Sender::default(), &[note(21, 100, "c")], NOW).unwrap();
    assert_eq!((pushed.new, pushed.otherwise.len()), (0, 1));
    assert!(is_erased(store, 21));
    // It comes after it, and the redaction is lost: whoever has read the first reads the second.
    store.push(&Sender::default(), &[note(22, 100, "d"), note(23, 100, "e")], NOW).unwrap();
    let before = store.counts().unwrap();
    store.push(&Sender::default(), &[left(&note(22, 100, "d"))], NOW).unwrap();
    assert!(is_erased(store, 22));
    let news = store.pull(before.last, 10).unwrap();
    assert_eq!(news.lines.iter().map(|(id, _)| *id).collect::<Vec<_>>(), [id(22)]);
    assert_eq!(store.counts().unwrap().events, before.events);
    let verdict = store.verify().unwrap();
    assert!(verdict.is_clean(), "{:?}", verdict.faults);
    // Erased from something else, it is something else.
    let other = store.push(&Sender::default(), &[left(&note(23, 100, "not e"))], NOW);
    assert_eq!(other, Err(Error::Refused { ids: vec![id(23)] }));
}

pub fn a_job_lists_its_events_in_their_order(store: &dyn Store) {
    let mut early = note(9, 100, "early");
    early["stamp"]["ms"] = json!(NOW - 60_000);
    store
        .push(&Sender::default(), &[note(2, 100, "b"), note(1, 100, "a"), note(5, 101, "x"), early], NOW)
        .unwrap();
    let ids: Vec<Uuid> = store.job_events(id(100)).unwrap().iter().map(|event| event.id).collect();
    assert_eq!(ids, [id(9), id(1), id(2)]);
    let job = store.job(id(100)).unwrap().unwrap();
    assert_eq!((job.first, job.last, job.events), (1, 4, 3));
    assert_eq!((job.from_ms, job.to_ms), (NOW - 60_000, NOW + 2));
    assert!(store.job(id(102)).unwrap().is_none() && store.job_events(id(102)).unwrap().is_empty());
}

pub fn summaries_know_when_they_are_old(store: &dyn Store) {
    for job in 0..5_u128 {
        store.push(&Sender::default(), &[note(job + 1, 100 + job, "")], NOW).unwrap();
    }
    assert_eq!(store.stale_jobs(10).unwrap().len(), 5);
    for job in 0..5_u64 {
        let summary = Summary {
            through: job + 1,
            system: Some(id(if job < 3 { 100 } else { 103 })),
            title: format!("Room 7, visit {job}"),
            text: "{}".to_owned(),
            words: "évaporateur de la chambre".to_owned(),
        };
        store.put_summary(id(100 + u128::from(job)), &summary).unwrap();
    }
    assert!(store.stale_jobs(10).unwrap().is_empty());
    store.push(&Sender::default(), &[note(50, 101, "")], NOW).unwrap();
    assert_eq!(store.stale_jobs(10).unwrap().iter().map(|job| job.job).collect::<Vec<_>>(), [id(101)]);
    // Worked out before the last event came: still old.
    let old = Summary { through: 2, ..Summary::default() };
    store.put_summary(id(101), &old).unwrap();
    assert!(store.job(id(101)).unwrap().unwrap().stale);
    assert_eq!(store.put_summary(id(999), &old), Err(Error::NotFound { what: "job" }));
    store.mark_stale(&[id(104)]).unwrap();
    assert_eq!(store.stale_jobs(10).unwrap().len(), 2);
    assert_eq!(store.counts().unwrap().stale_jobs, 2);

    let jobs = store.jobs(None, 2).unwrap();
    assert_eq!(jobs.iter().map(|job| job.job).collect::<Vec<_>>(), [id(104), id(103)]);
    let jobs = store.jobs(Some(jobs[1].first), 9).unwrap();
    assert_eq!(jobs.iter().map(|job| job.job).collect::<Vec<_>>(), [id(102), id(101), id(100)]);

    let systems = store.systems(None, 10).unwrap();
    assert_eq!(
        systems.iter().map(|row| (row.system, row.jobs)).collect::<Vec<_>>(),
        [(id(100), 2), (id(103), 2)]
    );
    assert_eq!(store.systems(Some(systems[0].first), 10).unwrap().len(), 1);
    assert_eq!(store.system_jobs(id(103)).unwrap().len(), 2);

    let found = store.search("EVAPORATEUR ro", None, 10).unwrap();
    assert_eq!(found.iter().map(|job| job.job).collect::<Vec<_>>(), [id(104), id(103), id(102), id(100)]);
    assert_eq!(store.search("evap", Some(found[1].first), 1).unwrap()[0].job, id(102));
    assert!(store.search("evaporateurs", None, 10).unwrap().is_empty());
    assert!(store.search(" -- ", None, 10).unwrap().is_empty());
    assert!(store.search("'; DROP TABLE events", None, 10).unwrap().is_empty());
    assert!(store.verify().unwrap().is_clean());
}

pub fn many_at_once_lose_nothing(store: &dyn Store) {
    let writers = 6_u128;
    let each = 12_u128;
    let seen = std::thread::scope(|scope| {
        for writer in 0..writers {
            scope.spawn(move || {
                for request in 0..each {
                    let base = (writer * each + request) * 10 + 1;
                    let events: Vec<Value> = (0..10).map(|n| note(base + n, 100 + writer, "entry")).collect();
                    store.push(&Sender { device: Some(id(writer + 1)) }, &events, NOW).unwrap();
                }
            });
        }
        // One that follows the cursor all the while must see every event once.
        scope
            .spawn(move || {
                let mut cursor = 0;
                let mut seen = Vec::new();
                let started = std::time::Instant::now();
                while (seen.len() as u128) < writers * each * 10 && started.elapsed().as_secs() < 60 {
                    let page = store.pull(cursor, 37).unwrap();
                    cursor = page.cursor;
                    seen.extend(page.lines.into_iter().map(|(id, _)| id));
                }
                seen
            })
            .join()
            .unwrap()
    });
    assert_eq!(seen.len() as u128, writers * each * 10);
    assert_eq!(seen.iter().collect::<BTreeSet<_>>().len(), seen.len());
    assert!(store.verify().unwrap().is_clean());
}
