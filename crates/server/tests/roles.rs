//! Every endpoint, asked by everybody: who gets what.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running, note, push};
use std::collections::BTreeSet;
use store::Role;

/// What nobody, a revoked phone, another shop's phone, an apprentice, a technician, the office and the owner get.
type Row = (&'static str, &'static str, Value, [u16; 7]);

const OPEN: [u16; 7] = [200; 7];
const ALL: [u16; 7] = [401, 401, 401, 200, 200, 200, 200];
const FULL: [u16; 7] = [401, 401, 401, 403, 200, 200, 200];
const OFFICE: [u16; 7] = [401, 401, 401, 403, 403, 200, 200];
const OWNER: [u16; 7] = [401, 401, 401, 403, 403, 403, 200];

fn rows(job: &str, sha: &str, person: &str) -> Vec<Row> {
    let of = |status: u16, row: [u16; 7]| row.map(|one| if one == 200 { status } else { one });
    let job_path =
        |rest: &str| -> &'static str { Box::leak(format!("/api/v1/jobs/{job}{rest}").into_boxed_str()) };
    let blob: &'static str = Box::leak(format!("/api/v1/blob/{sha}").into_boxed_str());
    let person_path: &'static str = Box::leak(format!("/api/v1/people/{person}").into_boxed_str());
    let system: &'static str = Box::leak(format!("/api/v1/systems/{job}").into_boxed_str());
    let building: &'static str = Box::leak(format!("/api/v1/systems/{job}/building").into_boxed_str());
    let passkey = "/api/v1/me/passkeys/00000000-0000-0000-0000-000000000001";
    let nobody = "/api/v1/devices/00000000-0000-0000-0000-000000000001";
    vec![
        ("POST", "/api/v1/pair", json!({ "code": "AAAAA-AAAAA", "name": "x" }), [401; 7]),
        ("POST", "/api/v1/login", json!({ "name": "x", "password": "y" }), [401; 7]),
        ("GET", "/api/v1/me", Value::Null, ALL),
        (
            "POST",
            "/api/v1/me/password",
            json!({ "old": "y", "new": "a new long one" }),
            [401, 401, 401, 403, 403, 403, 403],
        ),
        ("POST", "/api/v1/logout", Value::Null, of(204, ALL)),
        // Without a domain a server takes no passkeys, with the feature and without; tests/passkey.rs has one that does.
        ("GET", "/api/v1/passkeys", Value::Null, OPEN),
        ("POST", "/api/v1/login/passkey/begin", Value::Null, [404; 7]),
        ("POST", "/api/v1/login/passkey", json!({ "ceremony": "x", "credential": {} }), [404; 7]),
        ("GET", "/api/v1/me/passkeys", Value::Null, of(404, OFFICE)),
        ("POST", "/api/v1/me/passkeys/begin", json!({ "name": "laptop" }), of(404, OFFICE)),
        ("POST", "/api/v1/me/passkeys", json!({ "ceremony": "x", "credential": {} }), of(404, OFFICE)),
        ("DELETE", passkey, Value::Null, of(404, OFFICE)),
        ("GET", "/api/v1/people", Value::Null, OWNER),
        ("GET", "/api/v1/people.csv", Value::Null, OWNER),
        ("POST", "/api/v1/people", json!({ "name": "somebody", "role": "technician" }), of(201, OWNER)),
        ("PATCH", person_path, json!({ "active": true }), OWNER),
        ("GET", "/api/v1/devices", Value::Null, OWNER),
        ("GET", "/api/v1/devices.csv", Value::Null, OWNER),
        ("DELETE", nobody, Value::Null, of(404, OWNER)),
        ("POST", "/api/v1/pairings", json!({ "person": person }), of(201, OWNER)),
        ("POST", "/api/v1/sync", push(0, &[]), ALL),
        ("HEAD", blob, Value::Null, ALL),
        ("GET", blob, Value::Null, ALL),
        ("PATCH", blob, Value::from("bytes"), ALL),
        ("GET", "/api/v1/jobs", Value::Null, ALL),
        ("GET", "/api/v1/jobs.csv", Value::Null, FULL),
        ("GET", job_path(""), Value::Null, ALL),
        ("GET", job_path("/events"), Value::Null, ALL),
        ("GET", job_path("/report"), Value::Null, ALL),
        ("GET", "/api/v1/search?q=frost", Value::Null, ALL),
        ("GET", "/api/v1/search.csv?q=frost", Value::Null, FULL),
        ("GET", "/api/v1/overview", Value::Null, OFFICE),
        ("GET", "/api/v1/systems", Value::Null, ALL),
        ("GET", system, Value::Null, ALL),
        ("GET", building, Value::Null, ALL),
        ("GET", "/api/v1/systems.csv", Value::Null, FULL),
        ("GET", "/api/v1/due", Value::Null, OFFICE),
        ("GET", "/api/v1/due.csv", Value::Null, OFFICE),
        ("GET", "/api/v1/due.ics", Value::Null, OFFICE),
        ("GET", "/api/v1/accounts", Value::Null, OFFICE),
        ("GET", "/api/v1/accounts.csv", Value::Null, OFFICE),
        // The shop of this test has no prices yet.
        ("GET", job_path("/money"), Value::Null, of(404, OFFICE)),
        ("GET", job_path("/quote"), Value::Null, of(404, OFFICE)),
        ("GET", job_path("/invoice"), Value::Null, of(404, OFFICE)),
        ("GET", job_path("/margin"), Value::Null, of(404, OWNER)),
        ("POST", job_path("/papers"), json!({ "paper": "invoice", "number": "1" }), of(404, OFFICE)),
        ("GET", "/api/v1/papers.csv", Value::Null, OFFICE),
        ("GET", "/api/v1/watch", Value::Null, OFFICE),
        (
            "PUT",
            "/api/v1/watch",
            json!({ "false_alarms_per_system_year": 0.01, "rows": { "taken": 0, "again": 0, "empty": 0, "bad": 0 }, "systems": [] }),
            OFFICE,
        ),
        ("GET", "/api/v1/lists", Value::Null, ALL),
        ("GET", "/api/v1/customers.csv", Value::Null, OFFICE),
        ("PUT", "/api/v1/customers", json!({ "table": "Customer\nWrenford Flower Exchange\n" }), OFFICE),
        (
            "PUT",
            "/api/v1/prices",
            json!({ "text": "gastight_prices = 1\n[shop]\nname = \"A shop\"\ncurrency = \"CAD\"\n" }),
            OWNER,
        ),
        ("GET", "/api/v1/audit", Value::Null, OWNER),
        ("GET", "/api/v1/audit.csv", Value::Null, OWNER),
        ("GET", "/metrics", Value::Null, [401; 7]),
        ("GET", "/healthz", Value::Null, OPEN),
        ("GET", "/readyz", Value::Null, OPEN),
    ]
}

fn whole_picture(store: &dyn store::Store) -> String {
    let sha = record::sha256(b"bytes");
    store.picture_append(&sha, 0, b"bytes").unwrap();
    store.picture_finish(&sha).unwrap();
    sha
}

#[test]
fn each_endpoint_lets_in_whom_it_should_and_nobody_else() {
    let (folder, elsewhere) = (Folder::new("roles"), Folder::new("roles-elsewhere"));
    let flags = [("login-per-minute", "100000"), ("metrics-token", "a token for the metrics")];
    let running = Running::start(folder.path(), &flags);
    let other_shop = Running::start(elsewhere.path(), &flags);
    let people = [
        running.person("apprentice A", Role::Apprentice, Some("a long enough one")),
        running.person("technician A", Role::Technician, Some("a long enough one")),
        running.person("office", Role::Office, Some("a long enough one")),
        running.person("owner", Role::Owner, Some("a long enough one")),
    ];
    let (revoked, revoked_id) = running.device(people[3], "lost phone");
    let owner = running.device(people[3], "owner's phone").0;
    assert_eq!(running.get("/api/v1/me", &revoked).status, 200, "before it was revoked");
    assert_eq!(
        running.ask("DELETE", &format!("/api/v1/devices/{revoked_id}")).token(&owner).send().status,
        204
    );
    let stranger = other_shop.person("owner", Role::Owner, None);
    let foreign = other_shop.device(stranger, "a phone of another shop").0;
    assert_eq!(other_shop.get("/api/v1/me", &foreign).status, 200);
    let tokens = [
        None,
        Some(revoked),
        Some(foreign),
        Some(running.device(people[0], "phone 1").0),
        Some(running.device(people[1], "phone 2").0),
        Some(running.device(people[2], "phone 3").0),
        Some(owner.clone()),
    ];
    let brought = running.post("/api/v1/sync", &owner, &push(0, &[note(1, 100, "frost on the liquid line")]));
    assert_eq!(brought.status, 200);
    let sha = whole_picture(&*running.store);
    let job = uuid::Uuid::from_u128(100).to_string();
    let rows = rows(&job, &sha, &people[0].to_string());
    let mut wrong = Vec::new();
    for (method, path, body, expected) in &rows {
        for (number, (token, status)) in tokens.iter().zip(expected).enumerate() {
            let mut ask = running.ask(method, path);
            if let Some(token) = token {
                ask = ask.token(token);
            }
            if *method == "PATCH" && path.contains("/blob/") {
                let piece = ask.header("Content-Type", "application/octet-stream");
                ask = piece.header("Upload-Offset", "0").header("Upload-Complete", "?1").body("bytes");
            } else if !body.is_null() {
                let mut body = body.clone();
                if *path == "/api/v1/people" {
                    body["name"] = json!(format!("somebody {number}"));
                }
                ask = ask.json(&body);
            }
            let answer = ask.send();
            if answer.status != *status {
                wrong.push(format!("{method} {path} by {number}: {} instead of {status}", answer.status));
            }
            if answer.status == 401 || answer.status == 403 {
                let said = String::from_utf8_lossy(&answer.body);
                assert!(!said.contains("frost"), "{method} {path}: {said}");
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_table_has_every_endpoint_of_the_description() {
    let folder = Folder::new("described");
    let running = Running::start(folder.path(), &[]);
    let api = running.ask("GET", "/api/openapi.json").send().json();
    let sha = "0".repeat(64);
    let (job, person) = ("11111111-0000-0000-0000-000000000000", "22222222-0000-0000-0000-000000000000");
    let tested: BTreeSet<String> = rows(job, &sha, person)
        .into_iter()
        .map(|(method, path, ..)| {
            let path = path.split('?').next().unwrap().replace(&sha, "{sha256}");
            let nobody = "00000000-0000-0000-0000-000000000001";
            let path = path.replace(job, "{id}").replace(person, "{id}").replace(nobody, "{id}");
            format!("{method} {path}")
        })
        .collect();
    let mut described = BTreeSet::new();
    for (path, item) in api["paths"].as_object().unwrap() {
        for (method, operation) in item.as_object().unwrap() {
            described.insert(format!("{} {path}", method.to_uppercase()));
            let responses = operation["responses"].as_object().unwrap();
            assert!(responses.contains_key("401") && responses.contains_key("500"), "{method} {path}");
        }
    }
    assert_eq!(described, tested);
}

#[test]
fn the_token_of_the_metrics_opens_the_metrics_alone() {
    let folder = Folder::new("metrics");
    let running = Running::start(folder.path(), &[("metrics-token", "a token for the metrics")]);
    let page = running.get("/metrics", "a token for the metrics");
    assert_eq!(page.status, 200);
    assert!(page.text().contains("gastight_events 0"), "{}", page.text());
    assert_eq!(running.get("/api/v1/me", "a token for the metrics").status, 401);
    let closed = Folder::new("no-metrics");
    let running = Running::start(closed.path(), &[]);
    running.get("/metrics", "").problem(401);
}
