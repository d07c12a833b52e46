//! The edges of the server: other listeners, proxies, the end, the invented shop.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::json;
use shop::{Answer, Folder, Running, note, open, push};
use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::time::Duration;
use store::Role;

fn free() -> SocketAddr {
    TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap()
}

fn get(address: SocketAddr, path: &str) -> Answer {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    stream
        .write_all(format!("GET {path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n").as_bytes())
        .unwrap();
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes).unwrap();
    Answer::read(&bytes)
}

#[test]
fn a_listener_of_its_own_serves_the_counts_and_nothing_else() {
    let folder = Folder::new("metrics-listener");
    let address = free();
    let running = Running::start(folder.path(), &[("metrics-listen", &address.to_string())]);
    assert_eq!(running.ask("GET", "/healthz").send().status, 200);
    let page = get(address, "/metrics");
    assert_eq!(page.status, 200);
    assert!(
        page.text().contains("gastight_requests_total{route=\"/healthz\",status=\"200\"} 1"),
        "{}",
        page.text()
    );
    for path in ["/", "/api/v1/me", "/healthz", "/api/openapi.json"] {
        get(address, path).problem(404);
    }
    // The main one keeps them shut.
    running.ask("GET", "/metrics").send().problem(401);
}

#[test]
fn a_listener_of_its_own_gives_the_authority_and_nothing_else() {
    let folder = Folder::new("trust-listener");
    let address = free();
    let running =
        Running::start(folder.path(), &[("tls-self", "true"), ("trust-listen", &address.to_string())]);
    let given = get(address, "/trust");
    assert!(given.text().starts_with("-----BEGIN CERTIFICATE-----"));
    for path in ["/", "/api/v1/me", "/authority.key", "/tls/authority.key"] {
        get(address, path).problem(404);
    }
    running.end();
}

#[test]
fn only_a_proxy_of_ours_is_believed() {
    let tries = |flags: &[(&str, &str)], name: &str| {
        let folder = Folder::new(name);
        let mut all = vec![("login-per-minute", "1")];
        all.extend(flags);
        let running = Running::start(folder.path(), &all);
        let login = |from: &str| {
            let ask = running.ask("POST", "/api/v1/login").header("X-Forwarded-For", from);
            ask.json(&json!({ "name": "x", "password": "y" })).send().status
        };
        // A client that writes the header itself is told from the entry that the proxy adds at the end.
        [login("192.0.2.1"), login("192.0.2.2"), login("192.0.2.9, 192.0.2.1")]
    };
    assert_eq!(tries(&[], "no-proxy"), [401, 429, 429]);
    assert_eq!(tries(&[("trusted-proxy", "127.0.0.1")], "proxy"), [401, 401, 429]);
}

#[test]
fn a_request_that_runs_is_finished_before_the_end() {
    let folder = Folder::new("drain");
    let running = Running::start(folder.path(), &[]);
    let person = running.person("technician A", Role::Technician, None);
    let token = running.device(person, "phone 1").0;
    let body = push(0, &[note(1, 100, "on the last moment")]).to_string();
    let mut stream = TcpStream::connect(running.address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    let head = format!(
        "POST /api/v1/sync HTTP/1.1\r\nHost: x\r\nConnection: close\r\nAuthorization: Bearer {token}\r\n\
         Content-Type: application/json\r\nExpect: 100-continue\r\nContent-Length: {}\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).unwrap();
    // Told to go on, the request runs: its body is being read.
    let mut go_on = [0; 25];
    stream.read_exact(&mut go_on).unwrap();
    assert_eq!(&go_on, b"HTTP/1.1 100 Continue\r\n\r\n");
    let store = running.store.clone();
    let address = running.address;
    let ending = std::thread::spawn(move || running.end());
    let shut = (0..200).any(|_| {
        std::thread::sleep(Duration::from_millis(50));
        TcpStream::connect(address).is_err()
    });
    assert!(shut, "nobody else is let in");
    stream.write_all(body.as_bytes()).unwrap();
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes).unwrap();
    assert_eq!(Answer::read(&bytes).status, 200);
    ending.join().unwrap();
    assert_eq!(store.counts().unwrap().events, 1);
    let audit = store.audits(None, 10).unwrap();
    assert!(audit.iter().any(|entry| entry.what == "sync.bring"), "what waited for the audit was written");
}

#[test]
fn the_invented_shop_fills_an_empty_folder_once() {
    let folder = Folder::new("demo");
    let store = open(folder.path());
    let done = server::demo::fill(&*store, "http://127.0.0.1:8470").unwrap();
    assert_eq!(done.said.len(), 5);
    assert!(server::demo::fill(&*store, "x").is_err(), "a folder with something in it is left alone");
    assert!(store.verify().unwrap().is_clean());
    drop(store);
    let running = Running::start(folder.path(), &[]);
    let owner = running.store.person_named("owner").unwrap().unwrap();
    let token = running.device(owner.id, "phone").0;
    running.settle();
    let jobs = running.get("/api/v1/jobs", &token).json();
    let titles: Vec<&str> =
        jobs["rows"].as_array().unwrap().iter().filter_map(|row| row["title"].as_str()).collect();
    let place = |room: &str| format!("{room}, Wrenford Flower Exchange");
    assert_eq!(titles, [place("Room 4"), place("Room 2"), place("Room 7"), place("Room 7")]);
    for row in jobs["rows"].as_array().unwrap() {
        let report = running.get(&format!("/api/v1/jobs/{}/report", row["job"].as_str().unwrap()), &token);
        assert_eq!(report.status, 200);
        assert!(report.text().to_lowercase().contains("invented"), "a report of it says that it is invented");
    }
    assert_eq!(running.get("/api/v1/me", &token).json()["shop"], "Invented shop");
}

#[test]
fn a_problem_is_told_in_the_language_asked_for() {
    let folder = Folder::new("language");
    let running = Running::start(folder.path(), &[]);
    let title = |language: &str| {
        let answer = running.ask("GET", "/api/v1/me").header("Accept-Language", language).send();
        answer.problem(401)["title"].as_str().unwrap().to_owned()
    };
    assert_eq!(title("en"), title("de, en;q=0.5"));
    assert_eq!(title("xx"), title("en"), "a language that is not here falls back");
}
