//! Quote, invoice, numbered documents and margin of a job, by the shop's own price list.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running};
use store::{Role, Sender};

const PRICES: &str = include_str!("../../../examples/prices.toml");
const VISIT: &[u8] = include_bytes!("../../../examples/jobs/room-7-repair.toml");

struct Office {
    office: String,
    owner: String,
    job: String,
    other: String,
}

/// A shop with prices, the repair of room 7 and a copy of it as another job.
fn ready(running: &Running) -> Office {
    let device = |name: &str, role| {
        let person = running.person(name, role, None);
        running.device(person, name).0
    };
    let (office, owner) = (device("office", Role::Office), device("owner", Role::Owner));
    let put = running.ask("PUT", "/api/v1/prices").token(&owner).json(&json!({ "text": PRICES })).send();
    assert_eq!(put.status, 200, "{}", put.text());
    let file = record::read_job_file(VISIT).unwrap();
    let mut jobs = Vec::new();
    for shift in 0..2_u128 {
        let lines: Vec<Value> = file
            .events
            .iter()
            .map(|event| {
                let mut event = event.clone();
                event.id = uuid::Uuid::from_u128(event.id.as_u128() ^ shift);
                event.job = uuid::Uuid::from_u128(event.job.as_u128() ^ shift);
                serde_json::from_str(&record::write_line(&event)).unwrap()
            })
            .collect();
        for some in lines.chunks(100) {
            running.store.push(&Sender::default(), some, 1).unwrap();
        }
        jobs.push(lines[0]["job"].as_str().unwrap().to_owned());
    }
    Office { office, owner, other: jobs.pop().unwrap(), job: jobs.pop().unwrap() }
}

#[test]
fn a_job_is_quoted_billed_and_numbered_once() {
    let folder = Folder::new("money");
    let running = Running::start(folder.path(), &[]);
    let Office { office, owner, job, other } = ready(&running);
    let path = |rest: &str| format!("/api/v1/jobs/{job}/{rest}");
    let money = |token: &str| running.get(&path("money?lang=en"), token).json();
    let draft = money(&office);
    let lines = draft["invoice"]["lines"].as_array().unwrap();
    assert!(!lines.is_empty(), "{draft}");
    // The sum of what is shown is the total that is shown, in exact decimals.
    let cents = |text: &Value| -> i64 { text.as_str().unwrap().replace('.', "").parse().unwrap() };
    let tax = draft["invoice"]["tax"].as_array().unwrap();
    let sum: i64 = lines.iter().chain(tax).map(|one| cents(&one["amount"])).sum();
    assert_eq!(sum, cents(&draft["invoice"]["total"]));
    // What things cost is the owner's alone.
    assert!(lines.iter().all(|line| line.get("cost").is_none()));
    assert_eq!(draft["invoice"].get("owner"), None);
    assert!(money(&owner)["invoice"]["owner"]["margin"].is_string());

    let page = running.get(&path("invoice?lang=en"), &office).text();
    assert!(page.contains("Draft, without a number"));
    let number = |job: &str, body: Value| running.post(&format!("/api/v1/jobs/{job}/papers"), &office, &body);
    let next = draft["next_invoice"].as_str().unwrap().to_owned();
    let made = number(&job, json!({ "paper": "invoice", "number": next }));
    assert_eq!(made.status, 201, "{}", made.text());
    let listed = made.json();
    let paper = listed.as_array().unwrap().last().unwrap();
    assert_eq!((&paper["number"], &paper["adds_up"]), (&json!(next), &json!(true)));
    assert_eq!(paper["total"], draft["invoice"]["total"]);
    // Once in the shop, whatever the job; and a second one must say what it corrects.
    number(&other, json!({ "paper": "invoice", "number": next })).problem(409);
    number(&job, json!({ "paper": "invoice", "number": next })).problem(409);
    number(&job, json!({ "paper": "invoice", "number": "a second one" })).problem(409);
    let after = money(&office);
    assert_eq!(after["standing"], json!(next));
    let second = after["next_invoice"].as_str().unwrap().to_owned();
    assert_ne!(second, next);
    let made = number(&job, json!({ "paper": "invoice", "number": second, "corrects": next })).json();
    let first = made.as_array().unwrap().iter().find(|one| one["number"] == json!(next)).unwrap();
    assert_eq!(first["corrected_by"], json!(second));

    // Prices change; what was sent does not.
    let dearer = PRICES.replace("price = \"", "price = \"9");
    assert_ne!(dearer, PRICES);
    running.ask("PUT", "/api/v1/prices").token(&owner).json(&json!({ "text": dearer })).send();
    assert_ne!(money(&office)["invoice"]["total"], draft["invoice"]["total"]);
    let sent = running.get(&path(&format!("invoice?lang=en&number={next}")), &office);
    assert_eq!(sent.status, 200);
    assert!(sent.text().contains(draft["invoice"]["total"].as_str().unwrap()) && sent.text().contains(&next));
    running.get(&path("invoice?number=none"), &office).problem(404);

    let table = running.get("/api/v1/papers.csv", &office).text();
    let rows: Vec<&str> = table.lines().filter(|row| row.contains(&next)).collect();
    assert!(rows.len() > lines.len(), "{table}");
    assert!(rows.iter().any(|row| row.contains(",total,")), "{table}");
    let margin = running.get(&path("margin?lang=en"), &owner);
    assert_eq!(margin.status, 200);
    running.get(&path("margin?lang=en"), &office).problem(403);
}

#[test]
fn a_quote_is_of_one_option_and_stands_beside_the_invoice() {
    let folder = Folder::new("quote");
    let running = Running::start(folder.path(), &[]);
    let Office { office, job, .. } = ready(&running);
    let path = |rest: &str| format!("/api/v1/jobs/{job}/{rest}");
    let draft = running.get(&path("money?lang=en"), &office).json();
    let options = draft["quote"].as_array().unwrap().clone();
    assert!(!options.is_empty(), "{draft}");
    let page = running.get(&path("quote?lang=fr-CA"), &office);
    assert_eq!(page.status, 200);
    assert!(page.text().contains("lang=\"fr-CA\""));
    let body = json!({ "paper": "quote", "number": "Q-31", "option": "one that there is not" });
    running.post(&path("papers"), &office, &body).problem(409);
    let mut body = json!({ "paper": "quote", "number": "Q-31" });
    if let Some(name) = options[0].get("option") {
        body["option"] = name.clone();
    }
    assert_eq!(running.post(&path("papers"), &office, &body).status, 201);
    let after = running.get(&path("money?lang=en"), &office).json();
    assert_eq!(after["against_number"], "Q-31");
    let against = after["against"].as_array().unwrap();
    let quoted = against.iter().filter(|row| row.get("quoted").is_some()).count();
    assert_eq!(quoted, options[0]["lines"].as_array().unwrap().len());
    assert!(against.iter().any(|row| row.get("actual").is_some()));
}
