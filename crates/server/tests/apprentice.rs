//! What an apprentice's phone may bring, what it gets, and what waits for a licensed technician's word.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running, body, note, push};
use store::Role;
use uuid::Uuid;

const JOB: u128 = 100;

fn by_apprentice(mut event: Value) -> Value {
    event["apprentice"] = json!(true);
    event["by"] = json!("apprentice A");
    event
}

fn other(event: u128, kind: &str, said: Value) -> Value {
    let mut value = body(event, JOB, said);
    value["kind"] = json!(kind);
    value
}

fn opened(event: u128) -> Value {
    body(event, JOB, json!({ "what": { "type": "opened", "what": "receiver outlet" } }))
}

fn invoice() -> Value {
    body(
        50,
        JOB,
        json!({ "what": {
            "type": "sent", "what": "invoice", "number": "2031-014",
            "line": [{ "what": "hours", "quantity": "1.00", "unit": "h", "price": "118.00", "amount": "118.00" }],
            "tax": [], "total": { "number": 11800, "decimals": 2, "currency": "CAD" },
        } }),
    )
}

struct Seats {
    apprentice: String,
    technician: String,
    office: String,
}

fn seats(running: &Running) -> Seats {
    let device = |name: &str, role| {
        let person = running.person(name, role, None);
        running.device(person, name).0
    };
    Seats {
        apprentice: device("apprentice A", Role::Apprentice),
        technician: device("technician A", Role::Technician),
        office: device("office", Role::Office),
    }
}

#[test]
fn an_apprentice_brings_marked_work_and_nothing_that_others_make() {
    let folder = Folder::new("apprentice-brings");
    let running = Running::start(folder.path(), &[]);
    let seats = seats(&running);
    let sync = |events: &[Value]| running.post("/api/v1/sync", &seats.apprentice, &push(0, events));
    let theirs = note(1, JOB, "frost on the liquid line");
    assert_eq!(
        running.post("/api/v1/sync", &seats.technician, &push(0, std::slice::from_ref(&theirs))).status,
        200
    );
    let taken = sync(&[by_apprentice(note(2, JOB, "the drier is cold")), by_apprentice(opened(3))]);
    assert_eq!(taken.status, 200);
    assert_eq!(taken.json()["role"], "apprentice");

    let choice =
        json!({ "what": { "type": "choice", "option": "mend it tomorrow", "chosen_by": "the customer" } });
    let refused = [
        (note(10, JOB, "not marked"), "unmarked"),
        (by_apprentice(other(11, "choice", choice)), "the customer's choice"),
        (by_apprentice(invoice()), "an invoice"),
        (
            by_apprentice(other(
                12,
                "settlement",
                json!({ "among": [Uuid::from_u128(1), Uuid::from_u128(2)], "chosen": Uuid::from_u128(2) }),
            )),
            "a settlement",
        ),
        (
            by_apprentice(other(
                13,
                "redaction",
                json!({ "of": Uuid::from_u128(2), "reason": "personal_data" }),
            )),
            "an erasure",
        ),
        (
            by_apprentice(other(14, "redaction", json!({ "of": Uuid::from_u128(1), "reason": "withdrawn" }))),
            "taking back what another entered",
        ),
        (
            by_apprentice(other(
                15,
                "correction",
                json!({ "of": Uuid::from_u128(1), "now": { "what": { "type": "note", "text": "no frost" } } }),
            )),
            "correcting what another entered",
        ),
    ];
    for (event, why) in &refused {
        // All of a request is refused with it, so that nothing stands half.
        let answer = sync(&[by_apprentice(note(20, JOB, "rides along")), event.clone()]);
        let problem = answer.problem(409);
        assert_eq!(problem["ids"], json!([event["id"]]), "{why}");
    }
    assert!(running.store.event(Uuid::from_u128(20)).unwrap().is_none());
    // The own entry may be corrected and taken back.
    let own = json!({ "of": Uuid::from_u128(2), "now": { "what": { "type": "note", "text": "the drier is warm" } } });
    let back = json!({ "of": Uuid::from_u128(3), "reason": "withdrawn" });
    let own = [by_apprentice(other(30, "correction", own)), by_apprentice(other(31, "redaction", back))];
    assert_eq!(sync(&own).status, 200);
    // What others made and is here may come again: a phone brings all it has after a restored backup.
    assert_eq!(sync(&[theirs]).status, 200);
}

#[test]
fn an_apprentice_gets_no_money() {
    let folder = Folder::new("apprentice-money");
    let running = Running::start(folder.path(), &[]);
    let seats = seats(&running);
    let around = record::Around::default();
    let fields = [("what", "insulation gone"), ("price", "412.50 CAD")];
    let finding = record::read_entry("finding", &fields, &around).unwrap();
    let mut priced = body(51, JOB, serde_json::to_value(finding).unwrap());
    // What a newer program wrote more.
    priced["body"]["weather"] = json!("rain");
    let brought = running.post(
        "/api/v1/sync",
        &seats.technician,
        &push(0, &[invoice(), priced, note(52, JOB, "plain")]),
    );
    assert_eq!(brought.status, 200, "{}", brought.text());
    let read = |token: &str| running.post("/api/v1/sync", token, &push(0, &[])).json();
    let (all, some) = (read(&seats.technician), read(&seats.apprentice));
    assert_eq!(all["events"].as_array().unwrap().len(), 3);
    assert_eq!(all["role"], "technician");
    assert_eq!(some["events"].as_array().unwrap().len(), 2);
    assert_eq!(some["cursor"], all["cursor"]);
    assert!(!some.to_string().contains("2031-014"));
    let job = Uuid::from_u128(JOB);
    for (path, written) in [("events", "\"CAD\""), ("report?lang=en", "412.50")] {
        let path = format!("/api/v1/jobs/{job}/{path}");
        let (office, apprentice) = (running.get(&path, &seats.office), running.get(&path, &seats.apprentice));
        assert_eq!((office.status, apprentice.status), (200, 200));
        assert!(office.text().contains(written), "{path}: {}", office.text());
        assert!(apprentice.text().contains("insulation gone"), "{path}");
        assert!(!apprentice.text().contains(written) && !apprentice.text().contains("118.00"), "{path}");
    }
}

#[test]
fn an_apprentices_opening_waits_until_a_technician_answers_for_it() {
    let folder = Folder::new("apprentice-word");
    let running = Running::start(folder.path(), &[]);
    let seats = seats(&running);
    let date = body(60, JOB, json!({ "what": { "type": "visit", "date": "2031-05-06" } }));
    let events = [by_apprentice(date), by_apprentice(opened(61)), by_apprentice(note(62, JOB, "done"))];
    assert_eq!(running.post("/api/v1/sync", &seats.apprentice, &push(0, &events)).status, 200);
    let words = || -> Vec<String> {
        running.settle();
        let job = running.get(&format!("/api/v1/jobs/{}", Uuid::from_u128(JOB)), &seats.office).json();
        let due = job["summary"]["due"].as_array().unwrap().clone();
        due.iter()
            .filter(|one| one["kind"] == "word")
            .map(|one| one["of"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(words(), ["apprentice A"]);
    let report = format!("/api/v1/jobs/{}/report?lang=en", Uuid::from_u128(JOB));
    assert!(running.get(&report, &seats.office).text().contains("waits for a licensed technician"));
    // His own word would not do: it is refused. A technician's is taken.
    let word = json!({
        "of": "word", "result": { "stands_for": ["receiver outlet opened"] }, "inputs": [Uuid::from_u128(61)],
        "program": "1", "data": "1", "tables": "1", "signed_by": "technician A",
    });
    let word = other(63, "signed_result", word);
    running.post("/api/v1/sync", &seats.apprentice, &push(0, &[by_apprentice(word.clone())])).problem(409);
    assert_eq!(running.post("/api/v1/sync", &seats.technician, &push(0, &[word])).status, 200);
    assert!(words().is_empty());
    assert!(!running.get(&report, &seats.office).text().contains("waits for a licensed technician"));
    // What is corrected afterwards waits again.
    let now = json!({ "of": Uuid::from_u128(61), "now": opened(61)["body"] });
    let again = by_apprentice(other(64, "correction", now));
    assert_eq!(running.post("/api/v1/sync", &seats.apprentice, &push(0, &[again])).status, 200);
    assert_eq!(words(), ["apprentice A"]);
}
