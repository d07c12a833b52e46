//! Stores of every released version open, a newer one is refused, and damage is seen.
#![allow(clippy::unwrap_used)]

#[allow(dead_code, unused_imports, reason = "each test file uses some of the cases")]
mod cases;

use cases::cluster::Cluster;
use cases::{Folder, NOW, erasure, id, note, picture, picture_event, upload};
use record::Content;
use store::{Error, Opening, Passkey, PostgresStore, Sender, SqliteStore, Store};

const SQLITE: &[&str] = &[
    include_str!("fixtures/version-1.sqlite.sql"),
    include_str!("fixtures/version-2.sqlite.sql"),
    include_str!("fixtures/version-3.sqlite.sql"),
];
const POSTGRES: &[&str] = &[
    include_str!("fixtures/version-1.postgres.sql"),
    include_str!("fixtures/version-2.postgres.sql"),
    include_str!("fixtures/version-3.postgres.sql"),
];

fn opening() -> Opening {
    Opening { epoch: id(8), now: NOW, durable: true }
}

/// Checks that what the fixture of a version holds is there, and that what came later works.
fn holds_everything(store: &dyn Store, version: usize) {
    let verdict = store.verify().unwrap();
    assert!(verdict.is_clean(), "{:?}", verdict.faults);
    assert_eq!((verdict.events, verdict.owed.len()), (5, 1));
    assert_eq!(store.epoch().unwrap(), id(7));
    assert!(matches!(store.event(id(3)).unwrap().unwrap().content, Content::Erased(_)));
    assert_eq!(store.event(id(5)).unwrap().unwrap().kind(), "weather");
    assert_eq!(store.job(id(100)).unwrap().unwrap().summary.unwrap().title, "Room 7");
    assert_eq!(store.search("flow", None, 9).unwrap().len(), 1);
    assert_eq!(store.person_named("owner a").unwrap().unwrap().id, id(60));
    assert_eq!(store.device_with(&[5; 32]).unwrap().unwrap().person, id(60));
    assert_eq!(store.session(&[7; 32], NOW).unwrap().unwrap().person, id(60));
    assert_eq!(store.take_pairing(&[6; 32], NOW).unwrap(), Some(id(60)));
    assert_eq!(store.audits(None, 9).unwrap().len(), 1);
    // Passkeys came with version 2.
    let passkeys = store.passkeys(id(60)).unwrap();
    let names: Vec<&str> = passkeys.iter().map(|passkey| passkey.name.as_str()).collect();
    assert_eq!(names, if version < 2 { &[][..] } else { &["laptop"] });
    let another = Passkey {
        id: id(71),
        person: id(60),
        name: "key".to_owned(),
        credential: "{}".to_owned(),
        created: NOW + 1,
        used: None,
    };
    store.put_passkey(&another).unwrap();
    assert_eq!(store.passkeys(id(60)).unwrap().last(), Some(&another));
    // The list of watched systems came with version 3.
    let watched = store.watched(0, 9).unwrap();
    let was = (r#"{"systems":1}"#.to_owned(), vec![r#"{"system":"room-7"}"#.to_owned()]);
    assert_eq!(watched, (version >= 3).then_some(was));
    store.put_watched("{}", &["later".to_owned()]).unwrap();
    assert_eq!(store.watched(0, 9).unwrap(), Some(("{}".to_owned(), vec!["later".to_owned()])));
    assert_eq!(store.setting("shop").unwrap().as_deref(), Some("Invented shop"));
    // And it goes on from there.
    assert_eq!(store.push(&Sender::default(), &[note(900, 100, "later")], NOW).unwrap().last, 6);
    assert!(store.verify().unwrap().is_clean());
}

#[test]
fn every_released_version_opens_in_sqlite() {
    for (index, script) in SQLITE.iter().enumerate() {
        let dir = Folder::new(&format!("version-{index}"));
        let file = rusqlite::Connection::open(dir.path().join("gastight.db")).unwrap();
        file.execute_batch(script).unwrap();
        drop(file);
        holds_everything(&SqliteStore::open(dir.path(), &opening()).unwrap(), index + 1);
    }
}

#[test]
fn every_released_version_opens_in_postgres() {
    let cluster = Cluster::shared();
    for (index, script) in POSTGRES.iter().enumerate() {
        let dir = Folder::new(&format!("version-pg-{index}"));
        let name = format!("version_{index}");
        cluster.sql("postgres", &format!("CREATE DATABASE {name}")).unwrap();
        cluster.sql(&name, script).unwrap();
        let store = PostgresStore::open(&cluster.url(&name), dir.path(), &opening()).unwrap();
        holds_everything(&store, index + 1);
    }
}

#[test]
fn a_newer_store_is_refused_and_left_alone() {
    let dir = Folder::new("newer");
    drop(SqliteStore::open(dir.path(), &opening()).unwrap());
    let file = rusqlite::Connection::open(dir.path().join("gastight.db")).unwrap();
    file.execute("INSERT INTO versions (version, at) VALUES (99, 0)", []).unwrap();
    let refused = SqliteStore::open(dir.path(), &opening()).err().unwrap();
    assert_eq!(refused, Error::Newer { found: 99, known: SQLITE.len() as i64 });
    assert!(refused.to_string().contains("use the newer program"));
}

#[test]
fn what_was_stored_is_there_after_a_restart() {
    let dir = Folder::new("restart");
    let store = SqliteStore::open(dir.path(), &opening()).unwrap();
    store.push(&Sender::default(), &[note(1, 100, "one")], NOW).unwrap();
    drop(store);
    let store = SqliteStore::open(dir.path(), &Opening { epoch: id(9), ..opening() }).unwrap();
    assert_eq!((store.counts().unwrap().events, store.epoch().unwrap()), (1, id(8)));
}

#[test]
fn a_file_that_is_no_store_says_so() {
    let dir = Folder::new("no-store");
    std::fs::write(
        dir.path().join("gastight.db"),
        "not a database at all, but long enough to be read".repeat(90),
    )
    .unwrap();
    let refused = SqliteStore::open(dir.path(), &opening()).err().unwrap();
    assert!(refused.to_string().contains("gastight.db"), "{refused}");
    let refused = PostgresStore::open("host=/nowhere dbname=x user=y", dir.path(), &opening()).err().unwrap();
    assert!(matches!(refused, Error::Failed { .. }), "{refused}");
    let refused = PostgresStore::open("rubbish", dir.path(), &opening()).err().unwrap();
    assert!(refused.to_string().contains("address"), "{refused}");
}

/// Every way to damage a store, and a word of what the examination says of it.
const DAMAGE: &[(&str, &str)] = &[
    ("UPDATE events SET line = replace(line, 'one', 'two') WHERE seq = 1", "its line has the hash"),
    ("UPDATE events SET line = 'x' WHERE seq = 1", "no event"),
    ("UPDATE events SET kind = 'choice' WHERE seq = 1", "something else than its row"),
    ("DELETE FROM events WHERE seq = 2", "of the events 2 to 2 some are missing"),
    ("UPDATE jobs SET events = 9", "counts are not those"),
    ("DELETE FROM jobs", "counts are not those"),
    (
        "INSERT INTO jobs SELECT id, 99, last, events, from_ms, to_ms, stale, through, system, title, summary \
      FROM jobs, people",
        "has no events",
    ),
];

fn furnished(store: &dyn Store) {
    let (bytes, name) = picture(400);
    let events = [note(1, 100, "one"), note(2, 100, "two"), picture_event(3, 100, &name)];
    store.push(&Sender::default(), &events, NOW).unwrap();
    upload(store, &bytes, &name);
    let person = store::Person {
        id: id(60),
        name: "Owner A".to_owned(),
        role: store::Role::Owner,
        password: None,
        active: true,
        created: NOW,
    };
    store.put_person(&person).unwrap();
    assert!(store.verify().unwrap().is_clean());
}

fn sees(store: &dyn Store, damage: &str, word: &str) {
    let faults = store.verify().unwrap().faults;
    assert!(faults.iter().any(|fault| fault.contains(word)), "{damage}: {faults:?}");
}

#[test]
fn damage_is_seen_in_sqlite() {
    for (index, (damage, word)) in DAMAGE.iter().enumerate() {
        let dir = Folder::new(&format!("damage-{index}"));
        let store = SqliteStore::open(dir.path(), &opening()).unwrap();
        furnished(&store);
        rusqlite::Connection::open(dir.path().join("gastight.db")).unwrap().execute_batch(damage).unwrap();
        sees(&store, damage, word);
    }
}

#[test]
fn damage_is_seen_in_postgres() {
    let cluster = Cluster::shared();
    for (index, (damage, word)) in DAMAGE.iter().enumerate() {
        let dir = Folder::new(&format!("damage-pg-{index}"));
        let name = format!("damage_{index}");
        cluster.sql("postgres", &format!("CREATE DATABASE {name}")).unwrap();
        let store = PostgresStore::open(&cluster.url(&name), dir.path(), &opening()).unwrap();
        furnished(&store);
        cluster.sql(&name, damage).unwrap();
        sees(&store, damage, word);
    }
}

#[test]
fn a_picture_that_changed_is_seen() {
    let dir = Folder::new("damaged-picture");
    let store = SqliteStore::open(dir.path(), &opening()).unwrap();
    furnished(&store);
    let (_, name) = picture(400);
    std::fs::write(store.picture(&name).unwrap().unwrap(), "other bytes").unwrap();
    sees(&store, "a picture", &name);
}

#[test]
fn an_erasure_that_did_not_reach_is_seen() {
    let dir = Folder::new("unerased");
    let store = SqliteStore::open(dir.path(), &opening()).unwrap();
    store.push(&Sender::default(), &[note(1, 100, "one")], NOW).unwrap();
    let before = store.pull(0, 1).unwrap().lines[0].1.clone();
    store.push(&Sender::default(), &[erasure(2, 100, 1)], NOW).unwrap();
    let file = rusqlite::Connection::open(dir.path().join("gastight.db")).unwrap();
    file.execute("UPDATE events SET kind = 'observation', line = ?1 WHERE seq = 1", [before]).unwrap();
    sees(&store, "an erasure", "should be erased and is not");
}

#[test]
fn the_database_file_itself_is_examined() {
    let dir = Folder::new("damaged-file");
    let store = SqliteStore::open(dir.path(), &opening()).unwrap();
    for group in 0..20_u128 {
        let events: Vec<_> = (1..=200).map(|n| note(group * 200 + n, 100, "entry")).collect();
        store.push(&Sender::default(), &events, NOW).unwrap();
    }
    drop(store);
    let path = dir.path().join("gastight.db");
    let mut bytes = std::fs::read(&path).unwrap();
    // A page in the middle of the file, overwritten.
    let from = bytes.len() / 2 / 4096 * 4096;
    bytes[from..from + 4096].fill(0xA5);
    std::fs::write(&path, bytes).unwrap();
    let found = SqliteStore::open(dir.path(), &opening()).and_then(|store| store.verify());
    assert!(found.is_err() || found.is_ok_and(|verdict| !verdict.is_clean()));
}
