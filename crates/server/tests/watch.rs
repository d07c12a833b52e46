//! The list of systems that drift: taken whole or not at all, kept, and shown with the shop's own systems.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running, push};
use store::Role;

const LIST: &str = include_str!("../../../examples/watch.json");

fn list() -> Value {
    serde_json::from_str(LIST).unwrap()
}

fn put(running: &Running, token: &str, body: &Value) -> shop::Answer {
    running.ask("PUT", "/api/v1/watch").token(token).json(body).send()
}

#[test]
fn a_list_takes_the_place_of_the_one_before_and_comes_in_parts() {
    let folder = Folder::new("watch");
    let running = Running::start(folder.path(), &[]);
    let person = running.person("office", Role::Office, None);
    let office = running.device(person, "office").0;
    let empty = running.get("/api/v1/watch", &office).json();
    assert_eq!((empty.get("head"), &empty["rows"]), (None, &json!([])));
    let taken = put(&running, &office, &list());
    assert_eq!(taken.status, 200, "{}", taken.text());
    assert_eq!(taken.json(), json!({ "systems": 3, "alarms": 1 }));
    let found = running.get("/api/v1/watch?limit=2", &office).json();
    let head = &found["head"];
    assert_eq!((&head["systems"], &head["alarms"], &head["too_early"]), (&json!(3), &json!(1), &json!(1)));
    assert!(head["at"].as_i64().unwrap() > 1_700_000_000_000);
    assert_eq!((&found["rows"][0]["system"], &found["next"]), (&json!("Room 7"), &json!(2)));
    assert_eq!(found["rows"][0]["changes"][0], json!({ "feature": "subcooling", "size": -2.9, "u": 0.35 }));
    // Sentences are not kept: a reader has them in their own language.
    assert_eq!(found["rows"][0].get("sentences"), None);
    let rest = running.get("/api/v1/watch?limit=2&after=2", &office).json();
    assert_eq!((&rest["rows"][0]["system"], rest.get("next")), (&json!("dock-cooler"), None));
    // No system of this shop has any of these names.
    assert_eq!(found["rows"][0].get("id"), None);
    let mut shorter = list();
    shorter["systems"].as_array_mut().unwrap().truncate(1);
    assert_eq!(put(&running, &office, &shorter).status, 200);
    assert_eq!(running.get("/api/v1/watch", &office).json()["rows"].as_array().unwrap().len(), 1);
}

#[test]
fn what_is_no_list_is_refused_whole_with_what_is_wrong() {
    let folder = Folder::new("watch-bad");
    let running = Running::start(folder.path(), &[]);
    let person = running.person("owner", Role::Owner, None);
    let owner = running.device(person, "owner").0;
    assert_eq!(put(&running, &owner, &list()).status, 200);
    let cases: [(&str, Value, &[&str]); 11] = [
        ("/systems/1/rank", json!(5), &["systems[1].rank", "\"5\"", "2"]),
        ("/systems/0/system", json!(""), &["systems[0].system"]),
        ("/systems/1/system", json!("Room 7"), &["systems[1].system", "once"]),
        ("/systems/0/last", json!("soon"), &["systems[0].last", "soon", "2031-05-06"]),
        ("/systems/0/since", json!("2031-02-30"), &["systems[0].since", "2031-02-30"]),
        ("/systems/0/evidence", json!(0.5), &["systems[0].evidence", "0.5", "1 …"]),
        ("/systems/0/causes/0/cause", json!("magic"), &["systems[0].causes", "magic", "charge"]),
        ("/systems/0/causes/0/share", json!(1.5), &["systems[0].causes", "1.5", "0 … 1"]),
        ("/systems/0/changes/0/feature", json!("mood"), &["systems[0].changes", "mood", "subcooling"]),
        ("/systems/2/days_needed", Value::Null, &["systems[2].days_needed"]),
        ("/false_alarms_per_system_year", json!(0), &["false_alarms_per_system_year", "0.01"]),
    ];
    for (at, value, says) in cases {
        let mut bad = list();
        *bad.pointer_mut(at).unwrap() = value;
        let problem = put(&running, &owner, &bad).problem(422);
        let said = problem["detail"].as_str().unwrap();
        for part in says {
            assert!(said.contains(part), "{at}: {part}: {said}");
        }
    }
    // Not even the form of a list.
    put(&running, &owner, &json!({ "systems": [] })).problem(400);
    put(&running, &owner, &json!([])).problem(400);
    let kept = running.get("/api/v1/watch", &owner).json();
    assert_eq!(kept["rows"].as_array().unwrap().len(), 3);
}

#[test]
fn a_system_that_the_shop_knows_by_its_id_is_linked() {
    let folder = Folder::new("watch-known");
    let running = Running::start(folder.path(), &[]);
    let person = running.person("owner", Role::Owner, None);
    let owner = running.device(person, "owner").0;
    let brought = running.post("/api/v1/sync", &owner, &push(0, &[shop::note(1, 100, "frost")]));
    assert_eq!(brought.status, 200);
    let id = uuid::Uuid::from_u128(100).to_string();
    let mut list = list();
    list["systems"][0]["system"] = json!(id);
    assert_eq!(put(&running, &owner, &list).status, 200);
    // A system is worked out soon after its first entry came.
    let found = (0..100).find_map(|_| {
        let found = running.get("/api/v1/watch", &owner).json();
        if found["rows"][0]["id"] == json!(id) {
            return Some(found);
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
        None
    });
    assert_eq!(found.unwrap()["rows"][1].get("id"), None);
}
