//! The cases, each over any store.

pub mod cluster;

use record::sync::Push;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use store::{Error, Sender, Store};
use uuid::Uuid;

/// The time in the tests: 2031-05-06T07:10:00Z.
pub const NOW: i64 = 1_935_817_800_000;

/// A folder that is gone with the test.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        let place = std::env::temp_dir().join(format!("gastight-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&place);
        std::fs::create_dir_all(&place).unwrap();
        Folder(place)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub fn id(number: u128) -> Uuid {
    Uuid::from_u128(number)
}

/// Returns a note as an event of a job.
pub fn note(event: u128, job: u128, text: &str) -> Value {
    json!({
        "id": id(event), "job": id(job), "kind": "observation", "by": "technician A", "device": "phone 1",
        "stamp": { "ms": NOW + event as i64, "n": 0 },
        "body": { "what": { "type": "note", "text": text } },
    })
}

pub fn an_event_comes_in_once(store: &dyn Store) {
    let from = Sender { device: Some(id(90)) };
    let event = note(1, 100, "frost on the liquid line");
    let first = store.push(&from, std::slice::from_ref(&event), NOW).unwrap();
    assert_eq!((first.stored.as_slice(), first.new, first.last), (&[id(1)][..], 1, 1));
    let second = store.push(&from, &[event.clone(), event.clone()], NOW + 5).unwrap();
    assert_eq!((second.stored.as_slice(), second.new, second.last), (&[id(1)][..], 0, 1));
    assert_eq!(store.counts().unwrap().events, 1);
    let there = store.event(id(1)).unwrap().unwrap();
    assert_eq!(record::write_line(&there), record::sync::line(&event));
    assert!(store.verify().unwrap().is_clean());
}

pub fn other_content_is_refused_whole(store: &dyn Store) {
    let from = Sender::default();
    store.push(&from, &[note(1, 100, "one")], NOW).unwrap();
    let refused = store.push(&from, &[note(2, 100, "new"), note(1, 100, "another")], NOW);
    assert_eq!(refused, Err(Error::Refused { ids: vec![id(1)] }));
    assert_eq!(store.counts().unwrap().events, 1);
    let among = store.push(&from, &[note(3, 100, "a"), note(3, 100, "b")], NOW);
    assert_eq!(among, Err(Error::Refused { ids: vec![id(3)] }));
}

pub fn a_device_reads_what_others_sent(store: &dyn Store) {
    let from = Sender { device: Some(id(90)) };
    store.push(&from, &[note(1, 100, "one"), note(2, 100, "two")], NOW).unwrap();
    let push =
        Push { device: "phone 2".to_owned(), cursor: 0, epoch: None, events: vec![note(3, 100, "three")] };
    let reply = store.sync(&Sender { device: Some(id(91)) }, &push, NOW).unwrap();
    assert_eq!(reply.stored, [id(3)]);
    assert_eq!(reply.events, [note(1, 100, "one"), note(2, 100, "two")]);
    assert_eq!((reply.cursor, reply.more, reply.epoch), (3, false, store.epoch().unwrap()));
}

mod keeping;
mod people;
mod record_cases;
pub use keeping::*;
pub use people::*;
pub use record_cases::*;
