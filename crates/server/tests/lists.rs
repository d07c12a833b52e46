//! The shop's customers and prices: taken whole or not at all, and seen by whom they are for.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running, push};
use store::Role;

const PRICES: &str = include_str!("../../../examples/prices.toml");

fn device(running: &Running, name: &str, role: Role) -> String {
    let person = running.person(name, role, None);
    running.device(person, name).0
}

fn put(running: &Running, path: &str, token: &str, body: &Value) -> shop::Answer {
    running.ask("PUT", path).token(token).json(body).send()
}

#[test]
fn customers_are_taken_by_columns_told_once_and_bad_rows_take_nothing() {
    let folder = Folder::new("customers");
    let running = Running::start(folder.path(), &[]);
    let office = device(&running, "office", Role::Office);
    let taken = |body: Value| put(&running, "/api/v1/customers", &office, &body);
    let table = "Client;Where\nWrenford Flower Exchange;\"1 Quay Road\nWrenford\"\nGreen Hall;2 Quay Road\n";
    // Nobody can know what the columns are.
    let problem = taken(json!({ "table": table })).problem(422);
    assert!(problem["detail"].as_str().unwrap().contains("Client, Where"), "{problem}");
    let columns = json!({ "Client": "customer.name", "Where": "site.address" });
    let answer = taken(json!({ "table": table, "columns": columns }));
    assert_eq!(answer.status, 200, "{}", answer.text());
    assert_eq!(answer.json()["count"], 2);
    // Told once; a bad row is told with its line and its value, and the list stays as it was.
    let bad = format!("{table}Green hall;3 Quay Road\n;4 Quay Road\n");
    let problem = taken(json!({ "table": bad })).problem(422);
    let said = problem["detail"].as_str().unwrap();
    for part in ["2 rows", "Line 5", "Green hall", "Line 6", "4 Quay Road"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let list = running.get("/api/v1/lists", &office).json();
    assert_eq!(list["customers"].as_array().unwrap().len(), 2);
    assert_eq!(list["customers"][0]["site.address"], "1 Quay Road\nWrenford");
    let again = taken(json!({ "table": "Client;Where\nGreen Hall;5 Quay Road\n" }));
    assert_eq!(again.json()["count"], 1);
    let csv = running.get("/api/v1/customers.csv", &office).text();
    assert!(csv.starts_with("customer.name,") && csv.contains("5 Quay Road"), "{csv}");
    // Its own table goes in again as it came out.
    assert_eq!(taken(json!({ "table": csv, "columns": {} })).json()["count"], 1);
}

#[test]
fn prices_go_to_whom_they_are_for_and_the_phones_hear_of_it() {
    let folder = Folder::new("prices");
    let running = Running::start(folder.path(), &[]);
    let owner = device(&running, "owner", Role::Owner);
    let technician = device(&running, "technician A", Role::Technician);
    let apprentice = device(&running, "apprentice A", Role::Apprentice);
    let state = |token: &str| running.post("/api/v1/sync", token, &push(0, &[])).json()["lists"].clone();
    assert_eq!(state(&technician), Value::Null);
    let wrong = PRICES.replacen("price = \"", "price = \"about ", 1);
    let line = 1 + PRICES[..PRICES.find("price = \"").unwrap()].matches('\n').count();
    let problem = put(&running, "/api/v1/prices", &owner, &json!({ "text": wrong })).problem(422);
    let said = problem["detail"].as_str().unwrap();
    assert!(said.contains(&format!("Line {line}:")) && said.contains("about "), "{said}");
    assert_eq!(running.get("/api/v1/lists", &owner).json().get("prices"), None);

    assert_eq!(put(&running, "/api/v1/prices", &owner, &json!({ "text": PRICES })).status, 200);
    let first = state(&technician);
    assert!(first.is_string());
    let prices = |token: &str| running.get("/api/v1/lists", token).json()["prices"].clone();
    assert_eq!(prices(&owner), PRICES);
    let bare = prices(&technician);
    assert!(!bare.as_str().unwrap().contains("cost"));
    assert!(record::read_prices(bare.as_str().unwrap().as_bytes()).is_ok());
    assert_eq!(prices(&apprentice), Value::Null);
    assert_ne!(state(&apprentice), first);
    put(&running, "/api/v1/prices", &owner, &json!({ "text": PRICES }));
    assert_ne!(state(&technician), first);
}
