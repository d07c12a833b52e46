//! What the server does for phones, the office and the owner.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::{Value, json};
use shop::{Folder, Running, body, note, open, push};
use store::Role;
use uuid::Uuid;

const FAST: &[(&str, &str)] = &[("login-per-minute", "100000")];

fn phone(running: &Running, name: &str) -> String {
    let person = running.person(name, Role::Technician, None);
    running.device(person, name).0
}

#[test]
fn events_come_in_once_and_reach_the_other_phone() {
    let folder = Folder::new("sync");
    let running = Running::start(folder.path(), FAST);
    let (one, two) = (phone(&running, "technician A"), phone(&running, "technician B"));
    let first = running.post("/api/v1/sync", &one, &push(0, &[note(1, 100, "one")])).json();
    assert_eq!(first["stored"], json!([Uuid::from_u128(1)]));
    let again = running.post("/api/v1/sync", &one, &push(0, &[note(1, 100, "one")]));
    assert_eq!(again.status, 200);
    assert_eq!(running.store.counts().unwrap().events, 1);
    let other = running.post("/api/v1/sync", &two, &push(0, &[])).json();
    assert_eq!(other["events"], json!([note(1, 100, "one")]));
    // The same id with other content: nothing of the request is stored, and the ids are told.
    let refused = running.post("/api/v1/sync", &two, &push(1, &[note(2, 100, "two"), note(1, 100, "other")]));
    let problem = refused.problem(409);
    assert_eq!(problem["ids"], json!([Uuid::from_u128(1)]));
    assert_eq!(problem["type"], "/problems/other-content");
    assert_eq!(running.store.counts().unwrap().events, 1);
    // A kind from a newer program is kept as it is.
    let mut newer = note(3, 100, "x");
    newer["kind"] = json!("something new");
    newer["extra"] = json!({ "kept": true });
    assert_eq!(running.post("/api/v1/sync", &one, &push(1, &[newer.clone()])).status, 200);
    let got = running.post("/api/v1/sync", &two, &push(1, &[])).json();
    assert_eq!(got["events"], json!([newer]));
}

#[test]
fn a_phone_pairs_once_with_a_code_and_is_out_when_revoked() {
    let folder = Folder::new("pair");
    let running = Running::start(folder.path(), FAST);
    let owner_id = running.person("owner", Role::Owner, None);
    let owner = running.device(owner_id, "owner's phone").0;
    let person = running.person("technician A", Role::Technician, None);
    let invited = running.post("/api/v1/pairings", &owner, &json!({ "person": person })).json();
    let code = invited["code"].as_str().unwrap();
    assert!(invited["link"].as_str().unwrap().ends_with(&format!("/#/pair/{code}")));
    assert!(invited["qr"].as_str().unwrap().contains("<svg"));
    let pair = |code: &str| {
        let body = json!({ "code": code, "name": "phone 1" });
        running.ask("POST", "/api/v1/pair").json(&body).send()
    };
    pair("AAAAA-BBBBB").problem(401);
    let paired = pair(&code.to_lowercase()).json();
    let token = paired["token"].as_str().unwrap();
    assert_eq!(
        (paired["person"].as_str(), paired["shop"].as_str()),
        (Some("technician A"), Some("The shop"))
    );
    pair(code).problem(401);
    assert_eq!(running.get("/api/v1/me", token).json()["name"], "technician A");
    let device = paired["id"].as_str().unwrap();
    assert_eq!(running.ask("DELETE", &format!("/api/v1/devices/{device}")).token(&owner).send().status, 204);
    running.get("/api/v1/me", token).problem(401);
    running.post("/api/v1/sync", token, &push(0, &[])).problem(401);
    // Somebody who leaves is out with every phone and browser.
    let second = running.device(person, "phone 2").0;
    let left = running
        .ask("PATCH", &format!("/api/v1/people/{person}"))
        .token(&owner)
        .json(&json!({ "active": false }));
    assert_eq!(left.send().status, 200);
    running.get("/api/v1/me", &second).problem(401);
    // The last owner cannot lock everybody out.
    let last = running.ask("PATCH", &format!("/api/v1/people/{owner_id}")).token(&owner);
    let problem = last.json(&json!({ "role": "office" })).send().problem(409);
    assert_eq!(problem["type"], "/problems/last-owner");
    let audit = running.get("/api/v1/audit", &owner).json();
    let done: Vec<&str> =
        audit["rows"].as_array().unwrap().iter().filter_map(|row| row["what"].as_str()).collect();
    for what in ["device.invite", "device.pair", "device.revoke", "pair.refused", "person.change"] {
        assert!(done.contains(&what), "{what} in {done:?}");
    }
}

#[test]
fn a_browser_logs_in_and_its_cookie_is_of_use_to_our_own_page_alone() {
    let folder = Folder::new("login");
    let running = Running::start(
        folder.path(),
        &[("login-per-minute", "100000"), ("public-url", "https://shop.example")],
    );
    running.person("owner", Role::Owner, Some("roses in room seven"));
    let login = |password: &str| {
        running.ask("POST", "/api/v1/login").json(&json!({ "name": "Owner", "password": password }))
    };
    login("wrong").send().problem(401);
    running
        .ask("POST", "/api/v1/login")
        .json(&json!({ "name": "nobody", "password": "wrong" }))
        .send()
        .problem(401);
    let answer = login("roses in room seven").send();
    assert_eq!(answer.status, 200);
    let cookie = answer.header("set-cookie").unwrap().to_owned();
    for part in ["__Host-gastight=", "HttpOnly", "SameSite=Strict", "Secure", "Path=/", "Max-Age="] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(answer.header("strict-transport-security").is_some());
    let cookie = cookie.split(';').next().unwrap().to_owned();
    let with = |method: &str, path: &str| running.ask(method, path).header("Cookie", &cookie);
    assert_eq!(with("GET", "/api/v1/people").send().status, 200);
    // Without the header of our own page nothing is changed.
    with("POST", "/api/v1/people").json(&json!({ "name": "x", "role": "owner" })).send().problem(403);
    let ours = with("POST", "/api/v1/people").header("X-Gastight", "1");
    assert_eq!(ours.json(&json!({ "name": "x", "role": "office" })).send().status, 201);
    // Logging in again gives another session and ends the old one.
    let second = login("roses in room seven").header("Cookie", &cookie).header("X-Gastight", "1").send();
    let new = second.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
    assert_ne!(new, cookie);
    with("GET", "/api/v1/me").send().problem(401);
    let me = |cookie: &str| running.ask("GET", "/api/v1/me").header("Cookie", cookie).send();
    assert_eq!(me(&new).status, 200);
    let out = running.ask("POST", "/api/v1/logout").header("Cookie", &new).header("X-Gastight", "1").send();
    assert_eq!(out.status, 204);
    me(&new).problem(401);
}

#[test]
fn an_expired_session_is_none() {
    let folder = Folder::new("expired");
    let running = Running::start(folder.path(), FAST);
    let owner = running.person("owner", Role::Owner, None);
    let (good, old) = (running.session(owner, 60_000), running.session(owner, -1));
    let me =
        |token: &str| running.ask("GET", "/api/v1/me").header("Cookie", &format!("gastight={token}")).send();
    assert_eq!(me(&good).status, 200);
    me(&old).problem(401);
}

#[test]
fn tries_are_counted() {
    let folder = Folder::new("tries");
    let running = Running::start(folder.path(), &[("login-per-minute", "3")]);
    let person = running.person("technician A", Role::Technician, None);
    let token = running.device(person, "phone 1").0;
    let login = || running.ask("POST", "/api/v1/login").json(&json!({ "name": "x", "password": "y" })).send();
    for _ in 0..3 {
        login().problem(401);
    }
    let answer = login();
    answer.problem(429);
    assert!(answer.header("retry-after").unwrap().parse::<u64>().unwrap() >= 1);
    // Who is in already is not kept from working.
    assert_eq!(running.get("/api/v1/me", &token).status, 200);
}

#[test]
fn sessions_and_phones_outlive_the_server() {
    let folder = Folder::new("restart");
    let running = Running::start(folder.path(), FAST);
    let owner = running.person("owner", Role::Owner, None);
    let (token, session) = (running.device(owner, "phone 1").0, running.session(owner, 60_000));
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &[note(1, 100, "one")])).status, 200);
    running.end();
    let running = Running::start(folder.path(), FAST);
    assert_eq!(running.get("/api/v1/me", &token).status, 200);
    let me = running.ask("GET", "/api/v1/me").header("Cookie", &format!("gastight={session}")).send();
    assert_eq!(me.status, 200);
    // What was read before the end stands in the audit.
    let audit = running.get("/api/v1/audit", &token).json();
    assert!(audit["rows"].as_array().unwrap().iter().any(|row| row["what"] == "sync.bring"), "{audit}");
}

/// Text that would act if anybody took it for HTML.
const HTML: &str = "<img src=x onerror=alert(1)><script>alert(2)</script>&amp;\"'";

#[test]
fn html_in_any_text_comes_back_as_text() {
    let folder = Folder::new("html");
    let running = Running::start(folder.path(), FAST);
    let person = running.person(HTML, Role::Technician, None);
    let token = running.device(person, HTML).0;
    let whats = [
        json!({ "type": "site", "name": HTML }),
        json!({ "type": "customer", "name": HTML }),
        json!({ "type": "system", "name": HTML }),
        json!({ "type": "system", "refrigerant": { "value": { "text": HTML, "value": HTML } } }),
        json!({ "type": "visit", "complaint": HTML }),
        json!({ "type": "note", "text": HTML }),
        json!({ "type": "finding", "what": HTML, "urgency": "soon" }),
        json!({ "type": "repair", "what": HTML }),
        json!({ "type": "choice", "option": HTML, "chosen_by": HTML }),
    ];
    let events: Vec<Value> = whats
        .iter()
        .zip(1..)
        .map(|(what, n)| {
            let mut event =
                body(n, 100, json!({ "place": HTML, "note": HTML, "told_by": HTML, "what": what }));
            event["by"] = json!(HTML);
            event
        })
        .collect();
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &events)).status, 200);
    running.settle();
    let job = Uuid::from_u128(100);
    for language in ["en", "fr-CA"] {
        let report = running.get(&format!("/api/v1/jobs/{job}/report?lang={language}"), &token);
        assert_eq!((report.status, report.header("content-type")), (200, Some("text/html; charset=utf-8")));
        let html = report.text();
        assert!(html.contains("&lt;img src=x"), "the text is shown");
        assert!(!html.contains("<img src=x") && !html.contains("<script>alert"), "and does not act");
        let policy = report.header("content-security-policy").unwrap();
        assert!(policy.contains("sandbox") && !policy.contains("script-src"), "{policy}");
    }
    for path in [format!("/api/v1/jobs/{job}/events"), format!("/api/v1/jobs/{job}"), "/api/v1/me".to_owned()]
    {
        let answer = running.get(&path, &token);
        assert_eq!(answer.header("content-type"), Some("application/json"));
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert!(answer.json().to_string().contains("<img src=x"), "JSON keeps the text as it is: {path}");
    }
}

#[test]
fn a_summary_follows_its_events_and_the_visits_before_it() {
    let folder = Folder::new("summary");
    let running = Running::start(folder.path(), FAST);
    let token = phone(&running, "technician A");
    let fact = |event, job, what: Value| body(event, job, json!({ "what": what }));
    let later = fact(1, 200, json!({ "type": "visit", "follows": Uuid::from_u128(100).to_string() }));
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &[later])).status, 200);
    running.settle();
    let job = |job: u128| running.get(&format!("/api/v1/jobs/{}", Uuid::from_u128(job)), &token).json();
    assert_eq!(job(200)["summary"]["visit"], 1, "the first is not here yet");
    // The earlier visit comes later, from another phone; what it says holds for the one that follows.
    let earlier = fact(2, 100, json!({ "type": "system", "name": "Room 7" }));
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &[earlier])).status, 200);
    for _ in 0..200 {
        if job(200)["summary"]["visit"] == 2 {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(25));
    }
    let row = job(200);
    assert_eq!(row["summary"]["visit"], 2);
    assert_eq!(row["summary"]["system"], "Room 7");
    assert_eq!(row["system"], json!(Uuid::from_u128(100)));
    let systems = running.get("/api/v1/systems", &token).json();
    assert_eq!(systems["rows"].as_array().unwrap().len(), 1, "{systems}");
    assert_eq!(systems["rows"][0]["visits"], 2);
}

#[test]
fn lists_come_in_parts() {
    let folder = Folder::new("parts");
    let running = Running::start(folder.path(), FAST);
    let token = phone(&running, "technician A");
    let events: Vec<Value> = (0..25).map(|n| note(n, 1000 + n, "frost")).collect();
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &events)).status, 200);
    let mut seen = Vec::new();
    let mut path = "/api/v1/jobs?limit=10".to_owned();
    loop {
        let page = running.get(&path, &token).json();
        seen.extend(page["rows"].as_array().unwrap().iter().map(|row| row["job"].clone()));
        match page["next"].as_u64() {
            Some(next) => path = format!("/api/v1/jobs?limit=10&after={next}"),
            None => break,
        }
    }
    seen.dedup();
    assert_eq!(seen.len(), 25);
    for wrong in ["limit=0", "limit=501", "limit=x", "after=-1", "after=18446744073709551615"] {
        running.get(&format!("/api/v1/jobs?{wrong}"), &token).problem(400);
    }
}

#[test]
fn erased_text_is_gone_from_the_store_and_its_files() {
    let folder = Folder::new("erase");
    let running = Running::start(folder.path(), FAST);
    let token = phone(&running, "technician A");
    let secret = "Xavierquist";
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &[note(1, 100, secret)])).status, 200);
    running.settle();
    assert_eq!(
        running.get(&format!("/api/v1/search?q={secret}"), &token).json()["rows"].as_array().unwrap().len(),
        1
    );
    let mut erase = note(2, 100, "");
    erase["kind"] = json!("redaction");
    erase["body"] = json!({ "of": Uuid::from_u128(1), "reason": "personal_data" });
    assert_eq!(running.post("/api/v1/sync", &token, &push(1, &[erase])).status, 200);
    running.settle();
    let events = running.get(&format!("/api/v1/jobs/{}/events", Uuid::from_u128(100)), &token).text();
    assert!(events.contains("erased") && !events.contains(secret), "{events}");
    assert!(
        running.get(&format!("/api/v1/search?q={secret}"), &token).json()["rows"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    let report = running.get(&format!("/api/v1/jobs/{}/report", Uuid::from_u128(100)), &token).text();
    assert!(!report.contains(secret));
}

#[test]
fn from_a_backup_the_phones_bring_the_rest_again() {
    let (folder, place, fresh) = (Folder::new("whole"), Folder::new("backup"), Folder::new("fresh"));
    let running = Running::start(folder.path(), FAST);
    let token = phone(&running, "technician A");
    let events: Vec<Value> = (1..=40).map(|n| note(n, 100 + n % 3, "before the backup")).collect();
    let first = running.post("/api/v1/sync", &token, &push(0, &events)).json();
    let backup = place.path().join("monday");
    running.store.backup(&backup, server::shop::now()).unwrap();
    let after: Vec<Value> = (41..=60).map(|n| note(n, 200, "after the backup")).collect();
    let cursor = first["cursor"].as_u64().unwrap();
    let second = running.post("/api/v1/sync", &token, &push(cursor, &after)).json();
    running.end();
    drop(folder);
    // Another machine, nothing on it but the backup.
    let store = open(fresh.path());
    store::restore(&*store, &backup, server::secret::id(server::shop::now()).unwrap()).unwrap();
    drop(store);
    let running = Running::start(fresh.path(), FAST);
    assert_eq!(running.store.counts().unwrap().events, 40);
    // The phone, still paired, asks as it did; another epoch tells it to bring everything again.
    let mut ask = push(second["cursor"].as_u64().unwrap(), &[]);
    ask["epoch"] = second["epoch"].clone();
    let answer = running.post("/api/v1/sync", &token, &ask).json();
    assert_ne!(answer["epoch"], second["epoch"]);
    let all: Vec<Value> = events.into_iter().chain(after).collect();
    assert_eq!(running.post("/api/v1/sync", &token, &push(0, &all)).status, 200);
    assert_eq!(running.store.counts().unwrap().events, 60);
    let verdict = running.store.verify().unwrap();
    assert!(verdict.is_clean(), "{:?}", verdict.faults);
}

#[test]
fn problems_speak_the_language_asked_for_and_carry_no_inside() {
    let folder = Folder::new("words");
    let running = Running::start(folder.path(), FAST);
    let problem = running.ask("GET", "/api/v1/nothing").send().problem(404);
    assert_eq!(problem["instance"], "/api/v1/nothing");
    let method = running.ask("DELETE", "/api/v1/sync").send();
    method.problem(405);
    assert!(method.header("allow").is_some_and(|allow| allow.contains("POST")));
    let page = running.ask("GET", "/jobs/anything").send();
    assert_eq!(page.status, 200, "an address without a dot is a page of the app");
    assert!(page.header("content-security-policy").is_some());
    running.ask("GET", "/missing.js").send().problem(404);
    running.ask("GET", "/trust").send().problem(404);
}
