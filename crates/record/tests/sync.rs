//! A device's side of the exchange, case by case; the sync model of the store plays them all together.
#![allow(clippy::unwrap_used)]

use record::sync::{
    AHEAD_MS, LINE_BYTES, Outgoing, PUSH_EVENTS, Pull, Push, Replica, ReplyFault, erased, event, line,
};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use uuid::Uuid;

const NOW: i64 = 1_935_817_800_000;

fn id(number: u128) -> Uuid {
    Uuid::from_u128(number)
}

fn note(number: u128, text: &str) -> Value {
    json!({
        "id": id(number), "job": id(100), "kind": "observation", "stamp": { "ms": NOW, "n": 0 },
        "body": { "what": { "type": "note", "text": text } },
    })
}

fn erasure(number: u128, of: u128) -> Value {
    json!({
        "id": id(number), "job": id(100), "kind": "redaction", "stamp": { "ms": NOW, "n": 1 },
        "body": { "of": id(of), "reason": "personal_data" },
    })
}

fn left(value: &Value) -> Value {
    serde_json::from_str(&record::write_line(&erased(&event(value).unwrap()))).unwrap()
}

fn out(number: u128, value: Value) -> Outgoing {
    Outgoing { id: id(number), event: value }
}

fn reader(cursor: u64) -> Replica {
    Replica { device: "phone 1".to_owned(), cursor, epoch: Some(id(7)) }
}

fn sent(from: &Replica, events: Vec<Value>) -> Push {
    Push { device: from.device.clone(), cursor: from.cursor, epoch: from.epoch, events }
}

fn reply(cursor: u64, stored: &[u128], events: Vec<Value>) -> Pull {
    Pull { stored: stored.iter().map(|n| id(*n)).collect(), cursor, epoch: id(7), events, ..Pull::default() }
}

fn has(all: &[(u128, Value)]) -> BTreeMap<Uuid, Value> {
    all.iter().map(|(number, value)| (id(*number), value.clone())).collect()
}

#[test]
fn a_request_is_filled_to_its_limits() {
    let outbox: Vec<Outgoing> = (0..300).map(|n| out(n, note(n, "short"))).collect();
    assert_eq!(reader(5).next_push(&outbox).events.len(), PUSH_EVENTS);
    let large = |n| out(n, note(n, &"x".repeat(LINE_BYTES - 500)));
    let too_long = out(9, note(9, &"x".repeat(LINE_BYTES)));
    let outbox = [too_long, large(1), large(2), large(3), large(4), large(5)];
    let push = reader(5).next_push(&outbox);
    assert_eq!((push.events.len(), push.cursor, push.epoch), (4, 5, Some(id(7))));
    assert_eq!(Replica::too_long(&outbox), [id(9)]);
}

#[test]
fn only_what_was_sent_is_acknowledged_and_the_cursor_follows() {
    let replica = reader(5);
    let push = sent(&replica, vec![note(1, "a")]);
    let mine = has(&[(1, note(1, "a"))]);
    let step = replica.on_reply(&push, &reply(8, &[1, 2], vec![note(3, "b")]), &mine, NOW).unwrap();
    assert_eq!(step.acknowledged, [id(1)]);
    assert_eq!(step.put, [out(3, note(3, "b"))]);
    assert_eq!((step.replica.cursor, step.send_all), (8, false));
    // The same once more, late: nothing goes back.
    let later = reader(20);
    let both = has(&[(1, note(1, "a")), (3, note(3, "b"))]);
    let step = later.on_reply(&push, &reply(8, &[1], vec![note(3, "b")]), &both, NOW).unwrap();
    assert_eq!((step.replica.cursor, step.put.len()), (20, 0));
    // After the cursor was set to 0 a late reply does not jump over what is between.
    let step = reader(0).on_reply(&push, &reply(8, &[1], vec![]), &mine, NOW).unwrap();
    assert_eq!(step.replica.cursor, 0);
}

/// A late copy of a request reaches the next server; the reply leaves out what stands there as it was sent.
#[test]
fn what_was_taken_as_sent_and_is_not_here_any_more_is_read_again() {
    let replica = reader(5);
    let push = sent(&replica, vec![note(1, "a")]);
    let told = reply(9, &[1], vec![]);
    assert_eq!(Replica::looks_up(&push, &told), [id(1)]);
    let after = |local: &BTreeMap<Uuid, Value>, told: &Pull| {
        let step = replica.on_reply(&push, told, local, NOW).unwrap();
        (step.replica.cursor, step.more)
    };
    // Held since: the server before had other content under its id.
    assert_eq!(after(&has(&[]), &told), (0, true));
    assert_eq!(after(&has(&[(1, note(1, "theirs"))]), &told), (0, true));
    // Stamped anew since by the server before.
    let mut stamped = note(1, "a");
    stamped["stamp"]["n"] = json!(4);
    assert_eq!(after(&has(&[(1, stamped)]), &told), (0, true));
    // As it was sent, or erased here meanwhile, or in the reply itself: nothing is read twice.
    assert_eq!(after(&has(&[(1, note(1, "a"))]), &told), (9, false));
    assert_eq!(after(&has(&[(1, left(&note(1, "a")))]), &told), (9, false));
    assert_eq!(after(&has(&[]), &reply(9, &[1], vec![note(1, "a")])), (9, false));
}

#[test]
fn another_server_gets_everything_again() {
    let replica = reader(50);
    let push = sent(&replica, vec![]);
    let restored = Pull { epoch: id(8), ..reply(3, &[], vec![note(3, "b")]) };
    let step = replica.on_reply(&push, &restored, &has(&[]), NOW).unwrap();
    assert_eq!((step.send_all, step.replica.cursor, step.replica.epoch), (true, 3, Some(id(8))));
    // A late reply of the server before it does nothing: what it acknowledged may be lost with it.
    let old = sent(&replica, vec![note(1, "a")]);
    let step = step.replica.on_reply(&old, &reply(60, &[1], vec![]), &has(&[]), NOW).unwrap();
    assert_eq!((step.acknowledged.len(), step.replica.epoch, step.more), (0, Some(id(8)), true));
    // Of the same epoch but behind: its database was put back by hand.
    let step = replica.on_reply(&push, &reply(3, &[], vec![]), &has(&[]), NOW).unwrap();
    assert_eq!((step.send_all, step.replica.cursor), (true, 3));
}

#[test]
fn an_erasure_reaches_what_is_here_and_what_comes_with_it() {
    let replica = reader(5);
    let push = sent(&replica, vec![]);
    let come = reply(9, &[], vec![erasure(4, 1), note(2, "b"), erasure(5, 2)]);
    assert_eq!(Replica::looks_up(&push, &come), [id(1), id(2), id(4), id(5)]);
    let step = replica.on_reply(&push, &come, &has(&[(1, note(1, "a"))]), NOW).unwrap();
    assert!(step.put.contains(&out(1, left(&note(1, "a")))));
    assert!(step.put.contains(&out(2, left(&note(2, "b")))));
    assert!(!step.put.contains(&out(2, note(2, "b"))));
    assert_eq!(step.erased, [id(1), id(2)]);
    // Erased here, not yet there.
    let step =
        replica.on_reply(&push, &reply(9, &[], vec![note(1, "a")]), &has(&[(1, left(&note(1, "a")))]), NOW);
    assert_eq!(step.unwrap().put, [out(1, left(&note(1, "a")))]);
}

#[test]
fn other_content_is_held_once() {
    let replica = reader(5);
    let push = sent(&replica, vec![note(1, "mine"), note(2, "b")]);
    let step = replica.on_refused(&push, &[id(1)], &has(&[(1, note(1, "mine"))]));
    assert_eq!(step.held, [out(1, note(1, "mine"))]);
    // The server's came first, and mine is held already.
    let step = replica.on_refused(&push, &[id(1)], &has(&[(1, note(1, "theirs"))]));
    assert!(step.held.is_empty());
    let come = reply(9, &[], vec![note(1, "theirs")]);
    let step = replica.on_reply(&push, &come, &has(&[(1, note(1, "mine"))]), NOW).unwrap();
    assert_eq!((step.held, step.put), (vec![out(1, note(1, "mine"))], vec![out(1, note(1, "theirs"))]));
}

#[test]
fn a_reply_that_holds_no_events_is_not_used() {
    let replica = reader(5);
    let come = reply(9, &[], vec![note(1, "a"), json!({ "id": 3 })]);
    let refused = replica.on_reply(&sent(&replica, vec![]), &come, &has(&[]), NOW);
    assert_eq!(refused, Err(ReplyFault::NotAnEvent { index: 1 }));
}

#[test]
fn a_clock_a_day_ahead_does_not_pull_ours_along() {
    let replica = reader(5);
    let mut far = note(1, "a");
    far["stamp"]["ms"] = json!(NOW + AHEAD_MS + 1);
    let step =
        replica.on_reply(&sent(&replica, vec![]), &reply(9, &[], vec![far, note(2, "b")]), &has(&[]), NOW);
    let step = step.unwrap();
    assert_eq!((step.put.len(), step.latest.map(|stamp| stamp.ms)), (2, Some(NOW)));
}

#[test]
fn pictures_of_what_the_server_knows_are_looked_for() {
    let replica = reader(5);
    let picture = |number, sha: &str| {
        json!({
            "id": id(number), "job": id(100), "kind": "observation", "stamp": { "ms": NOW, "n": 0 },
            "body": { "what": { "type": "picture", "file": "scale", "sha256": sha } },
        })
    };
    let push = sent(&replica, vec![picture(1, &"AB".repeat(32)), picture(2, "no hash")]);
    let step =
        replica.on_reply(&push, &reply(9, &[1, 2], vec![picture(3, &"cd".repeat(32))]), &has(&[]), NOW);
    assert_eq!(step.unwrap().pictures, ["ab".repeat(32), "cd".repeat(32)]);
}

#[test]
fn messages_keep_their_form() {
    let push = sent(&reader(5), vec![note(1, "a")]);
    let text = serde_json::to_string(&push).unwrap();
    assert_eq!(serde_json::from_str::<Push>(&text).unwrap(), push);
    let old: Push = serde_json::from_str(r#"{"device":"phone 1","cursor":0}"#).unwrap();
    assert_eq!((old.epoch, old.events.len()), (None, 0));
    assert_eq!(line(&note(1, "a")), line(&serde_json::from_str(&line(&note(1, "a"))).unwrap()));
}
