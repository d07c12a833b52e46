//! Pictures, backup, export.

use super::*;
use record::sync::{CHUNK_BYTES, PICTURE_BYTES};
use store::{Device, Person, PictureState, Role, SqliteStore, check_backup, export, import, restore};

/// Returns bytes that look like nothing, and their name.
pub fn picture(size: usize) -> (Vec<u8>, String) {
    let bytes: Vec<u8> = (0..size).map(|at| (at * 31 % 251) as u8).collect();
    let name = record::sha256(&bytes);
    (bytes, name)
}

pub fn upload(store: &dyn Store, bytes: &[u8], name: &str) {
    for (index, piece) in bytes.chunks(CHUNK_BYTES).enumerate() {
        store.picture_append(name, (index * CHUNK_BYTES) as u64, piece).unwrap();
    }
    store.picture_finish(name).unwrap();
}

pub fn a_picture_comes_in_pieces(store: &dyn Store) {
    let (bytes, name) = picture(CHUNK_BYTES + 1_000);
    store.push(&Sender::default(), &[picture_event(1, 100, &name)], NOW).unwrap();
    assert_eq!(store.picture_state(&name).unwrap(), PictureState { offset: 0, complete: false });
    assert_eq!(store.pictures_owed(10).unwrap(), std::slice::from_ref(&name));
    let (first, rest) = bytes.split_at(CHUNK_BYTES);
    assert_eq!(store.picture_append(&name, 0, first).unwrap(), CHUNK_BYTES as u64);
    // Its reply was lost: sent again, it changes nothing.
    assert_eq!(store.picture_append(&name, 0, first).unwrap(), CHUNK_BYTES as u64);
    let gap = store.picture_append(&name, CHUNK_BYTES as u64 + 1, rest);
    assert_eq!(gap, Err(Error::Offset { expected: CHUNK_BYTES as u64, given: CHUNK_BYTES as u64 + 1 }));
    assert!(store.picture(&name).unwrap().is_none());
    store.picture_append(&name.to_uppercase(), CHUNK_BYTES as u64, rest).unwrap();
    store.picture_finish(&name).unwrap();
    store.picture_finish(&name).unwrap();
    let state = store.picture_state(&name).unwrap();
    assert_eq!(state, PictureState { offset: bytes.len() as u64, complete: true });
    assert_eq!(std::fs::read(store.picture(&name).unwrap().unwrap()).unwrap(), bytes);
    assert_eq!(store.pictures(None, 10).unwrap(), std::slice::from_ref(&name));
    assert!(
        store.pictures(Some(&name), 10).unwrap().is_empty() && store.pictures_owed(10).unwrap().is_empty()
    );
    let verdict = store.verify().unwrap();
    assert_eq!((verdict.pictures, verdict.begun, verdict.is_clean()), (1, 0, true));
}

pub fn a_picture_must_be_what_it_is_named(store: &dyn Store) {
    let (bytes, name) = picture(500);
    store.picture_append(&name, 0, b"something else").unwrap();
    let refused = store.picture_finish(&name);
    let found = record::sha256(b"something else");
    assert_eq!(refused, Err(Error::HashMismatch { named: name.clone(), found }));
    // It begins anew.
    upload(store, &bytes, &name);
    for given in ["", "../../etc/passwd", &"g".repeat(64), &"é".repeat(32), &format!("{name}0")] {
        assert!(matches!(store.picture_append(given, 0, b"x"), Err(Error::NotAHash { .. })), "{given}");
        assert!(matches!(store.picture(given), Err(Error::NotAHash { .. })), "{given}");
    }
    let (_, other) = picture(501);
    let large = vec![0; CHUNK_BYTES + 1];
    assert!(matches!(store.picture_append(&other, 0, &large), Err(Error::ChunkTooLarge { .. })));
    assert_eq!(store.picture_finish(&other), Err(Error::NotFound { what: "picture" }));
    let mut offset = 0;
    while offset < PICTURE_BYTES {
        offset = store.picture_append(&other, offset, &large[1..]).unwrap();
    }
    let refused = store.picture_append(&other, offset, b"x");
    assert_eq!(refused, Err(Error::PictureTooLarge { given: PICTURE_BYTES + 1, most: PICTURE_BYTES }));
}

pub fn erasing_takes_the_picture_along(store: &dyn Store) {
    let (bytes, name) = picture(800);
    let (shared, shared_name) = picture(900);
    let events = [
        picture_event(1, 100, &name),
        picture_event(2, 100, &shared_name),
        picture_event(3, 101, &shared_name.to_uppercase()),
    ];
    store.push(&Sender::default(), &events, NOW).unwrap();
    upload(store, &bytes, &name);
    upload(store, &shared, &shared_name);
    store.push(&Sender::default(), &[erasure(4, 100, 1), erasure(5, 100, 2)], NOW).unwrap();
    assert!(store.picture(&name).unwrap().is_none());
    assert!(store.picture(&shared_name).unwrap().is_some(), "another event speaks of it");
    assert!(store.pictures_owed(10).unwrap().is_empty());
}

/// Fills a store with some of everything.
fn furnish(store: &dyn Store) -> (Vec<u8>, String) {
    let (bytes, name) = picture(70_000);
    let mut events: Vec<Value> = (1..=150).map(|n| note(n, 100 + n % 3, "réparé \"tout\"\n\u{0}")).collect();
    events.push(picture_event(151, 100, &name));
    events.push(erasure(152, 101, 10));
    store.push(&Sender { device: Some(id(5)) }, &events, NOW).unwrap();
    upload(store, &bytes, &name);
    store
        .put_person(&Person {
            id: id(1),
            name: "Owner A".to_owned(),
            role: Role::Owner,
            password: Some("$argon2id$x".to_owned()),
            active: true,
            created: NOW,
        })
        .unwrap();
    store
        .put_device(&Device {
            id: id(5),
            person: id(1),
            name: "=phone".to_owned(),
            token: [5; 32],
            created: NOW,
            seen: None,
            revoked: None,
        })
        .unwrap();
    store
        .put_passkey(&store::Passkey {
            id: id(70),
            person: id(1),
            name: "laptop".to_owned(),
            credential: r#"{"counter":7}"#.to_owned(),
            created: NOW,
            used: Some(NOW),
        })
        .unwrap();
    store.put_watched(r#"{"systems":2}"#, &["one".to_owned(), "two".to_owned()]).unwrap();
    store.audit(&[store::Audit { at: NOW, what: "login".to_owned(), ..store::Audit::default() }]).unwrap();
    let summary = store::Summary {
        through: 151,
        system: Some(id(100)),
        title: "Room 7".to_owned(),
        text: "{}".to_owned(),
        words: "flower".to_owned(),
    };
    store.put_summary(id(100), &summary).unwrap();
    (bytes, name)
}

fn everything(store: &dyn Store) -> impl PartialEq + std::fmt::Debug {
    (
        (store.pull(0, 10_000).unwrap().lines, store.jobs(None, 100).unwrap()),
        (store.people().unwrap(), store.devices().unwrap(), store.passkeys(id(1)).unwrap()),
        (
            store.audits(None, 100).unwrap(),
            store.pictures(None, 100).unwrap(),
            store.search("flow", None, 10).unwrap(),
            store.counts().unwrap(),
        ),
        store.watched(0, 9).unwrap(),
    )
}

pub fn a_list_of_watched_systems_takes_the_place_of_the_one_before(store: &dyn Store) {
    assert_eq!(store.watched(0, 9).unwrap(), None);
    let lines: Vec<String> = (1..=4_500).map(|n| format!("line {n}")).collect();
    store.put_watched("first", &lines).unwrap();
    let (head, found) = store.watched(4_498, 9).unwrap().unwrap();
    assert_eq!((head.as_str(), &found[..]), ("first", &lines[4_498..]));
    assert_eq!(store.watched(10, 2).unwrap().unwrap().1, lines[10..12]);
    store.put_watched("second", &lines[..1]).unwrap();
    assert_eq!(store.watched(0, 9).unwrap(), Some(("second".to_owned(), lines[..1].to_vec())));
    store.put_watched("none", &[]).unwrap();
    assert_eq!(store.watched(0, 9).unwrap(), Some(("none".to_owned(), Vec::new())));
}

pub fn a_backup_brings_everything_back(store: &dyn Store) {
    let (_, name) = furnish(store);
    let folder = Folder::new(&format!("backup-{}", store.kind()));
    let into = folder.path().join("made");
    let made = store.backup(&into, NOW).unwrap();
    assert_eq!(check_backup(&into).unwrap(), made);
    assert_eq!(store.backup(&into, NOW), Err(Error::NotEmpty));

    // Into SQLite, from wherever it came.
    let opening = store::Opening { epoch: id(40), now: NOW, durable: true };
    let fresh = SqliteStore::open(&folder.path().join("sqlite"), &opening).unwrap();
    assert_eq!(restore(&fresh, &into, id(41)).unwrap(), made);
    assert_eq!(everything(&fresh), everything(store));
    assert_eq!(fresh.epoch().unwrap(), id(41));
    assert!(fresh.verify().unwrap().is_clean());
    assert_eq!(restore(&fresh, &into, id(42)), Err(Error::NotEmpty));
    // And into PostgreSQL.
    let url = cluster::Cluster::shared().database();
    let fresh = store::PostgresStore::open(&url, &folder.path().join("postgres"), &opening).unwrap();
    restore(&fresh, &into, id(43)).unwrap();
    assert_eq!(everything(&fresh), everything(store));
    assert!(fresh.verify().unwrap().is_clean());

    // A backup of a program that knew no passkeys and no watched systems yet has no file of them.
    let (manifest, passkeys) = (into.join("manifest.json"), into.join("passkeys.jsonl"));
    let watched = into.join("watched.jsonl");
    let (text, lines) = (std::fs::read(&manifest).unwrap(), std::fs::read(&passkeys).unwrap());
    let watched_lines = std::fs::read(&watched).unwrap();
    let mut older: Value = serde_json::from_slice(&text).unwrap();
    older["tables"] = 1.into();
    older["files"]
        .as_array_mut()
        .unwrap()
        .retain(|file| file["name"] != "passkeys.jsonl" && file["name"] != "watched.jsonl");
    std::fs::write(&manifest, older.to_string()).unwrap();
    std::fs::remove_file(&passkeys).unwrap();
    std::fs::remove_file(&watched).unwrap();
    let fresh = SqliteStore::open(&folder.path().join("older"), &opening).unwrap();
    restore(&fresh, &into, id(45)).unwrap();
    assert_eq!((fresh.people().unwrap(), fresh.passkeys(id(1)).unwrap()), (store.people().unwrap(), vec![]));
    std::fs::write(&manifest, text).unwrap();
    std::fs::write(&passkeys, lines).unwrap();
    std::fs::write(&watched, watched_lines).unwrap();

    // One bit changed, one file gone, no manifest: nothing is restored.
    let empty = SqliteStore::open(&folder.path().join("empty"), &opening).unwrap();
    let broken = |path: std::path::PathBuf, text: Option<&[u8]>| {
        let before = std::fs::read(&path).unwrap();
        match text {
            Some(text) => std::fs::write(&path, text).unwrap(),
            None => std::fs::remove_file(&path).unwrap(),
        }
        let refused = restore(&empty, &into, id(44));
        assert!(matches!(refused, Err(Error::Backup { .. })), "{}: {refused:?}", path.display());
        std::fs::write(&path, before).unwrap();
    };
    let mut events = std::fs::read(into.join("events.jsonl")).unwrap();
    events[5_000] ^= 1;
    broken(into.join("events.jsonl"), Some(&events));
    broken(into.join("people.jsonl"), None);
    broken(into.join("pictures").join(&name[..2]).join(&name), Some(b"x"));
    broken(into.join("manifest.json"), None);
    assert_eq!(empty.counts().unwrap().events, 0);
    assert!(empty.pictures(None, 9).unwrap().is_empty());
}

pub fn an_export_comes_in_again(store: &dyn Store) {
    let (bytes, name) = furnish(store);
    let folder = Folder::new(&format!("export-{}", store.kind()));
    let into = folder.path().join("made");
    let done = export(store, &into).unwrap();
    assert_eq!((done.events, done.pictures), (152, 1));
    let table = |name: &str| std::fs::read_to_string(into.join(name)).unwrap();
    assert_eq!(table("events.csv").lines().count(), 153);
    assert!(table("jobs.csv").contains("Room 7"));
    assert!(table("devices.csv").contains("'=phone"));
    assert!(!table("people.csv").contains("argon2"));

    let opening = store::Opening { epoch: id(40), now: NOW, durable: true };
    let fresh = SqliteStore::open(&folder.path().join("sqlite"), &opening).unwrap();
    fresh.push(&Sender::default(), &[note(1, 101, "something else")], NOW).unwrap();
    let done = import(&fresh, &into, NOW).unwrap();
    assert_eq!((done.new, done.known, done.refused.as_slice()), (151, 0, &[id(1)][..]));
    assert_eq!((done.pictures, done.aside.len()), (1, 0));
    assert_eq!(std::fs::read(fresh.picture(&name).unwrap().unwrap()).unwrap(), bytes);
    let again = import(&fresh, &into, NOW).unwrap();
    assert_eq!((again.new, again.known), (0, 151));
    // A damaged log gives what can be read of it.
    let log = folder.path().join("torn.jsonl");
    let line = record::sync::line(&note(7_000, 100, "whole"));
    std::fs::write(&log, format!("{{\"gastight_log\":1}}\nrubbish\n{line}\n{}", &line[..40])).unwrap();
    let done = import(&fresh, &log, NOW).unwrap();
    assert_eq!((done.new, done.aside), (1, vec![2, 4]));
    assert!(fresh.verify().unwrap().is_clean());
}
