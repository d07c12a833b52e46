//! Kills a server again and again while phones write to it, and counts what it had acknowledged and lost.
//!
//! Included by the test of the server's program; here, beside the store whose promise it tests.

use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};
use store::{Device, Opening, Person, Role};
use uuid::Uuid;

const NOW: i64 = 1_935_817_800_000;
const TOKEN: &str = "the token of an invented phone, long enough";
const PHONES: u64 = 3;

/// What became of the kills.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// How often the server was killed.
    pub kills: u64,
    /// How many requests were on their way when it was killed: sent, and never answered.
    pub unanswered: u64,
    /// How many events it acknowledged.
    pub acknowledged: u64,
    /// How many pictures it acknowledged.
    pub pictures: u64,
    /// How many of its events are there in the end: more than acknowledged, since a reply may be lost.
    pub there: u64,
    /// What was acknowledged and is not there, or not as it was sent.
    pub lost: Vec<String>,
    /// What the examination found wrong.
    pub faults: Vec<String>,
}

/// A server that runs.
struct Server {
    child: Child,
    address: String,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Returns a port that was free a moment ago.
fn free_port() -> u16 {
    let listener = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    listener.local_addr().unwrap().port()
}

impl Server {
    fn start(program: &Path, dir: &Path, postgres: Option<&str>) -> Server {
        let address = format!("127.0.0.1:{}", free_port());
        let mut command = Command::new(program);
        command.arg("--data").arg(dir).args(["--listen", &address, "--log", "error"]);
        if let Some(url) = postgres {
            command.args(["--postgres", url]);
        }
        command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap_or_else(|e| panic!("{}: {e}", program.display()));
        let started = Instant::now();
        loop {
            if request(&address, "GET", "/readyz", &[], b"").is_some_and(|answer| answer.status == 200) {
                return Server { child, address };
            }
            if let Some(status) = child.try_wait().unwrap() {
                let mut said = String::new();
                let _ = child.stderr.take().map(|mut stderr| stderr.read_to_string(&mut said));
                panic!("the server ended with {status}: {said}");
            }
            assert!(started.elapsed() < Duration::from_secs(60), "the server is not ready after 60 s");
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

struct Answer {
    status: u16,
    headers: BTreeMap<String, String>,
    body: Vec<u8>,
}

/// Sends a request; nothing comes back where the server was killed.
fn request(
    address: &str,
    method: &str,
    path: &str,
    headers: &[(&str, String)],
    body: &[u8],
) -> Option<Answer> {
    let stream = TcpStream::connect(address).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(30))).ok()?;
    let mut head = format!("{method} {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n");
    head.push_str(&format!("Authorization: Bearer {TOKEN}\r\nContent-Length: {}\r\n", body.len()));
    for (name, value) in headers {
        head.push_str(&format!("{name}: {value}\r\n"));
    }
    head.push_str("\r\n");
    (&stream).write_all(head.as_bytes()).ok()?;
    (&stream).write_all(body).ok()?;
    let mut reader = BufReader::new(&stream);
    let mut line = String::new();
    reader.read_line(&mut line).ok()?;
    let status = line.split(' ').nth(1)?.parse().ok()?;
    let mut headers = BTreeMap::new();
    loop {
        let mut line = String::new();
        reader.read_line(&mut line).ok()?;
        let Some((name, value)) = line.trim().split_once(':') else { break };
        headers.insert(name.to_ascii_lowercase(), value.trim().to_owned());
    }
    let mut body = vec![0; headers.get("content-length").map_or(Some(0), |size| size.parse().ok())?];
    if method != "HEAD" {
        reader.read_exact(&mut body).ok()?;
    }
    Some(Answer { status, headers, body })
}

/// What phones know to be safe.
#[derive(Default)]
struct Safe {
    events: Mutex<BTreeMap<Uuid, Value>>,
    pictures: Mutex<BTreeMap<String, Vec<u8>>>,
    unanswered: AtomicU64,
    answers: AtomicU64,
    wrong: Mutex<Vec<String>>,
}

/// One phone writes until the server does not answer any more.
fn write(address: &str, phone: u64, round: u64, safe: &Safe, end: &AtomicBool) {
    for number in 0_u64.. {
        if end.load(Ordering::Relaxed) {
            return;
        }
        let base = u128::from(round) << 64 | u128::from(phone) << 48 | u128::from(number) << 8 | 1 << 120;
        if number % 4 == 1 {
            let bytes: Vec<u8> =
                [0xFF, 0xD8, 0xFF].into_iter().chain(base.to_le_bytes()).cycle().take(20_000).collect();
            let name = record::sha256(&bytes);
            let headers = [
                ("Upload-Offset", "0".to_owned()),
                ("Upload-Complete", "?1".to_owned()),
                ("Content-Type", "application/octet-stream".to_owned()),
            ];
            match request(address, "PATCH", &format!("/api/v1/blob/{name}"), &headers, &bytes) {
                Some(answer) if answer.headers.get("upload-complete").is_some_and(|told| told == "?1") => {
                    safe.pictures.lock().unwrap().insert(name, bytes);
                    safe.answers.fetch_add(1, Ordering::Relaxed);
                }
                Some(answer) => return refuse(safe, &answer),
                None => return unanswered(safe),
            }
            continue;
        }
        let size = if number % 3 == 0 { 200 } else { 20 };
        let events: Vec<Value> = (0..size)
            .map(|n| {
                json!({
                    "id": Uuid::from_u128(base + n), "job": Uuid::from_u128(u128::from(phone) + 1),
                    "kind": "observation", "stamp": { "ms": NOW, "n": n },
                    "body": { "what": { "type": "note", "text": format!("entry {n} of {number}") } },
                })
            })
            .collect();
        let push = json!({ "device": "phone", "cursor": 9_007_199_254_740_991_u64 - 1, "events": events });
        let body = push.to_string();
        let headers = [("Content-Type", "application/json".to_owned())];
        match request(address, "POST", "/api/v1/sync", &headers, body.as_bytes()) {
            Some(answer) if answer.status == 200 => {
                let reply: Value = serde_json::from_slice(&answer.body).unwrap();
                let stored: Vec<Uuid> = serde_json::from_value(reply["stored"].clone()).unwrap();
                let mut known = safe.events.lock().unwrap();
                for event in events {
                    let id = serde_json::from_value(event["id"].clone()).unwrap();
                    if stored.contains(&id) {
                        known.insert(id, event);
                    }
                }
                safe.answers.fetch_add(1, Ordering::Relaxed);
            }
            Some(answer) => return refuse(safe, &answer),
            None => return unanswered(safe),
        }
    }
}

fn refuse(safe: &Safe, answer: &Answer) {
    let said = String::from_utf8_lossy(&answer.body).into_owned();
    safe.wrong.lock().unwrap().push(format!("the server answered {}: {said}", answer.status));
}

fn unanswered(safe: &Safe) {
    safe.unanswered.fetch_add(1, Ordering::Relaxed);
}

/// Kills the server `kills` times under load and returns what became of what it had acknowledged.
pub fn kill(program: &Path, dir: &Path, postgres: Option<&str>, kills: u64) -> Report {
    let opening = Opening { epoch: Uuid::from_u128(7), now: NOW, durable: true };
    let store = store::open(dir, postgres, &opening).unwrap();
    let person = Uuid::from_u128(60);
    store
        .put_person(&Person {
            id: person,
            name: "technician A".to_owned(),
            role: Role::Technician,
            password: None,
            active: true,
            created: NOW,
        })
        .unwrap();
    let mut token = [0; 32];
    let hash = record::sha256(TOKEN.as_bytes());
    for (at, byte) in token.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&hash[at * 2..at * 2 + 2], 16).unwrap();
    }
    store
        .put_device(&Device {
            id: Uuid::from_u128(61),
            person,
            name: "phone".to_owned(),
            token,
            created: NOW,
            seen: None,
            revoked: None,
        })
        .unwrap();
    drop(store);

    let safe = Safe::default();
    let mut report = Report::default();
    for round in 0..kills {
        let mut server = Server::start(program, dir, postgres);
        let end = AtomicBool::new(false);
        std::thread::scope(|scope| {
            for phone in 0..PHONES {
                let (address, safe, end) = (server.address.clone(), &safe, &end);
                scope.spawn(move || write(&address, phone, round, safe, end));
            }
            // Another moment each time, so that every part of a request is met: after some answers, and a little.
            let wanted = safe.answers.load(Ordering::Relaxed) + 1 + round % 7;
            let started = Instant::now();
            while safe.answers.load(Ordering::Relaxed) < wanted && started.elapsed() < Duration::from_secs(30)
            {
                std::thread::sleep(Duration::from_millis(1));
            }
            std::thread::sleep(Duration::from_micros(round * 7_919 % 40_000));
            // SIGKILL: nothing of it can be caught or put in order.
            server.child.kill().unwrap();
            server.child.wait().unwrap();
            end.store(true, Ordering::Relaxed);
        });
        report.kills += 1;
    }
    // Started once more, as a shop would.
    drop(Server::start(program, dir, postgres));

    let store = store::open(dir, postgres, &opening).unwrap();
    report.unanswered = safe.unanswered.load(Ordering::Relaxed);
    report.lost.extend(safe.wrong.lock().unwrap().iter().cloned());
    let events = safe.events.lock().unwrap();
    report.acknowledged = events.len() as u64;
    let mut there = BTreeMap::new();
    let mut cursor = 0;
    loop {
        let page = store.pull(cursor, 5_000).unwrap();
        for (id, line) in page.lines {
            if there.insert(id, line).is_some() {
                report.lost.push(format!("{id} is there twice"));
            }
        }
        cursor = page.cursor;
        if !page.more {
            break;
        }
    }
    report.there = there.len() as u64;
    for (id, event) in events.iter() {
        if there.get(id) != Some(&record::sync::line(event)) {
            report.lost.push(format!("the event {id}"));
        }
    }
    let pictures = safe.pictures.lock().unwrap();
    report.pictures = pictures.len() as u64;
    for (name, bytes) in pictures.iter() {
        let file = store.picture(name).unwrap();
        if file.is_none_or(|file| std::fs::read(file).unwrap() != *bytes) {
            report.lost.push(format!("the picture {name}"));
        }
    }
    report.faults = store.verify().unwrap().faults;
    report
}
