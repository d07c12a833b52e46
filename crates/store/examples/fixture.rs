//! Fills a new store with some of everything, for the fixture of a version of the tables: `fixture DIR [URL]`.
//!
//! The databases it makes are dumped as text and kept in `tests/fixtures`, one of each kind for each released version.

use serde_json::json;
use store::{Audit, Device, Opening, Pairing, Passkey, Person, Role, Sender, Session, Summary};
use uuid::Uuid;

const NOW: i64 = 1_935_817_800_000;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let dir = words.first().ok_or("give a folder")?;
    let id = Uuid::from_u128;
    let opening = Opening { epoch: id(7), now: NOW, durable: true };
    let store = store::open(dir.as_ref(), words.get(1).map(String::as_str), &opening)?;
    let event = |number: u128, job: u128, kind: &str, body: serde_json::Value| {
        json!({
            "id": id(number), "job": id(job), "kind": kind, "by": "technician A", "device": "phone 1",
            "stamp": { "ms": NOW + i64::try_from(number).unwrap_or(0), "n": 0 }, "body": body,
        })
    };
    let note = |text: &str| json!({ "what": { "type": "note", "text": text } });
    let picture = json!({ "what": { "type": "picture", "file": "scale", "sha256": "ab".repeat(32) } });
    let events = [
        event(1, 100, "observation", note("frost on the liquid line, réparé")),
        event(2, 100, "observation", picture),
        event(3, 101, "observation", note("the customer's number")),
        event(4, 101, "redaction", json!({ "of": id(3), "reason": "personal_data" })),
        event(5, 101, "weather", json!({ "cloud": [1, 2.5, null] })),
    ];
    store.push(&Sender { device: Some(id(50)) }, &events, NOW)?;
    let summary = Summary {
        through: 2,
        system: Some(id(100)),
        title: "Room 7".to_owned(),
        text: "{}".to_owned(),
        words: "flower exchange".to_owned(),
    };
    store.put_summary(id(100), &summary)?;
    store.put_person(&Person {
        id: id(60),
        name: "Owner A".to_owned(),
        role: Role::Owner,
        password: Some("$argon2id$invented".to_owned()),
        active: true,
        created: NOW,
    })?;
    store.put_device(&Device {
        id: id(50),
        person: id(60),
        name: "phone 1".to_owned(),
        token: [5; 32],
        created: NOW,
        seen: Some(NOW),
        revoked: None,
    })?;
    store.put_pairing(&Pairing { code: [6; 32], person: id(60), expires: NOW + 1_000 })?;
    store.put_session(&Session { token: [7; 32], person: id(60), created: NOW, expires: NOW + 1_000 })?;
    store.put_passkey(&Passkey {
        id: id(70),
        person: id(60),
        name: "laptop".to_owned(),
        credential: "{}".to_owned(),
        created: NOW,
        used: Some(NOW),
    })?;
    store.audit(&[Audit { at: NOW, person: Some(id(60)), what: "login".to_owned(), ..Audit::default() }])?;
    store.put_setting("shop", "Invented shop")?;
    let verdict = store.verify()?;
    if verdict.is_clean() { Ok(()) } else { Err(verdict.faults.join("\n").into()) }
}
