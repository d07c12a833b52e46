//! How fast the server takes in and gives out over HTTP, durably, and what memory it needs: `load [--events N]`.
//!
//! The server is a process of its own, of the program that lies beside this one; it must have been built.
#![allow(clippy::unwrap_used)]

#[path = "../../store/tests/cases/cluster.rs"]
mod cluster;

use record::sync::PUSH_EVENTS;
use serde_json::{Value, json};
use server::secret;
use server::shop::now;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};
use store::{Device, Opening, Person, Role};
use uuid::Uuid;

/// Stamps of the past: none is ahead of the clock.
const NOW: i64 = 1_767_225_600_000;
/// Events of one job: a visit of two hours with its instruments, readings and weighings.
const JOB_EVENTS: u64 = 200;
/// Phones that bring at the same time.
const PHONES: u64 = 4;

/// Returns a reading as a phone records it; about 500 bytes.
fn reading(number: u64) -> Value {
    let value = |text: &str, value: f64| json!({ "value": { "text": text, "value": value } });
    json!({
        "id": Uuid::from_u128(u128::from(number) | 1 << 100),
        "job": Uuid::from_u128(u128::from(number / JOB_EVENTS) | 1 << 101),
        "kind": "observation", "by": "technician A", "device": "phone 1", "stamp": { "ms": NOW + number as i64, "n": 0 },
        "body": {
            "at": "2031-05-06T08:10:00+01:00", "place": "roof", "with": ["gauge set", "clamp"],
            "what": {
                "type": "reading", "suction_pressure": value("42.5 psig", 394_350.0 + number as f64),
                "suction_line": value("48 °F", 282.0389), "discharge_pressure": value("212 psig", 1_563_000.0),
                "liquid_line": value("88 °F", 304.26), "ambient": value("71 °F", 294.82),
            },
        },
    })
}

/// A connection that stays open.
struct Phone {
    stream: BufReader<TcpStream>,
    token: String,
}

impl Phone {
    fn new(address: SocketAddr, token: &str) -> Self {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Phone { stream: BufReader::new(stream), token: token.to_owned() }
    }

    fn ask(&mut self, method: &str, path: &str, body: &str) -> Vec<u8> {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\n\r\n",
            self.token,
            body.len()
        );
        let stream = self.stream.get_mut();
        stream.write_all(head.as_bytes()).unwrap();
        stream.write_all(body.as_bytes()).unwrap();
        let mut line = String::new();
        self.stream.read_line(&mut line).unwrap();
        assert!(line.contains(" 200 "), "{method} {path}: {line}");
        let mut length = 0;
        loop {
            let mut header = String::new();
            self.stream.read_line(&mut header).unwrap();
            if header.trim().is_empty() {
                break;
            }
            if let Some(text) = header.to_ascii_lowercase().strip_prefix("content-length:") {
                length = text.trim().parse().unwrap();
            }
        }
        let mut answer = vec![0; length];
        self.stream.read_exact(&mut answer).unwrap();
        answer
    }

    fn sync(&mut self, cursor: u64, events: &[Value]) -> Value {
        let body = json!({ "device": "phone", "cursor": cursor, "events": events }).to_string();
        serde_json::from_slice(&self.ask("POST", "/api/v1/sync", &body)).unwrap()
    }
}

/// Returns a number of `/proc/PID/status`, in MB.
fn status_mb(pid: u32, name: &str) -> u64 {
    let status = std::fs::read_to_string(format!("/proc/{pid}/status")).unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix(name)).unwrap_or("0 kB");
    line.trim_start_matches(':').trim().trim_end_matches(" kB").parse::<u64>().unwrap_or(0) / 1_024
}

/// Returns the seconds that processors have worked for a process.
fn cpu_seconds(pid: u32) -> f64 {
    let stat = std::fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
    let after = stat.rsplit(')').next().unwrap_or_default();
    let ticks: f64 = after.split_whitespace().skip(11).take(2).filter_map(|n| n.parse::<f64>().ok()).sum();
    ticks / 100.0
}

struct Server(Child);

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn measure(kind: &str, url: Option<&str>, events: u64) {
    let folder = std::env::temp_dir().join(format!("gastight-load-{}-{kind}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let opening = Opening { epoch: secret::id(now()).unwrap(), now: now(), durable: true };
    let store = store::open(&folder, url, &opening).unwrap();
    let id = secret::id(now()).unwrap();
    let person = Person {
        id,
        name: "owner".to_owned(),
        role: Role::Owner,
        password: None,
        active: true,
        created: now(),
    };
    store.put_person(&person).unwrap();
    let tokens: Vec<String> = (0..=PHONES)
        .map(|n| {
            let token = secret::token().unwrap();
            let hash = secret::hash(&token);
            let device = Device {
                id: Uuid::from_u128(u128::from(n + 1)),
                person: id,
                name: format!("phone {n}"),
                token: hash,
                created: now(),
                seen: None,
                revoked: None,
            };
            store.put_device(&device).unwrap();
            token
        })
        .collect();
    drop(store);
    let here = std::env::current_exe().unwrap();
    let program = here.parent().unwrap().parent().unwrap().join("gastight-server");
    let address = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let mut command = Command::new(&program);
    command.arg("--data").arg(&folder).args(["--listen", &address.to_string(), "--log", "error"]);
    if let Some(url) = url {
        command.env("GASTIGHT_POSTGRES", url);
    }
    let child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    let server =
        Server(child.unwrap_or_else(|e| panic!("{}: {e}; build the server first", program.display())));
    let pid = server.0.id();
    for _ in 0..400 {
        if TcpStream::connect(address).is_ok() {
            break;
        }
        std::thread::sleep(Duration::from_millis(25));
    }
    let row = |what: &str, result: String, goal: &str| println!("| {kind} | {what} | {result} | {goal} |");

    // Others at work on the machine weigh on the clock, and on the disk more than on the processors.
    let busy = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    row("load of the machine before it began", busy.split(' ').next().unwrap_or_default().to_owned(), "");
    let (started, worked) = (Instant::now(), cpu_seconds(pid));
    let next = AtomicU64::new(0);
    std::thread::scope(|scope| {
        for token in &tokens[1..] {
            scope.spawn(|| {
                let mut phone = Phone::new(address, token);
                let mut cursor = 0;
                loop {
                    let from = next.fetch_add(PUSH_EVENTS as u64, Ordering::Relaxed);
                    if from >= events {
                        break;
                    }
                    let group: Vec<Value> =
                        (from..(from + PUSH_EVENTS as u64).min(events)).map(reading).collect();
                    let answer = phone.sync(cursor, &group);
                    cursor = answer["cursor"].as_u64().unwrap();
                    assert_eq!(answer["stored"].as_array().unwrap().len(), group.len());
                }
            });
        }
    });
    let seconds = started.elapsed().as_secs_f64();
    let worked = cpu_seconds(pid) - worked;
    row(
        &format!(
            "{events} events brought by {PHONES} phones, 200 a request, each reading along what the others bring"
        ),
        format!("{:.0} events/s ({seconds:.1} s, {worked:.1} s of processor)", events as f64 / seconds),
        "5,000 events/s",
    );
    row("memory while doing so, at most", format!("{} MB", status_mb(pid, "VmHWM")), "120 MB");

    let (started, worked) = (Instant::now(), cpu_seconds(pid));
    let mut phone = Phone::new(address, &tokens[0]);
    let (mut cursor, mut got) = (0, 0);
    let wanted = events.min(100_000);
    while got < wanted {
        let answer = phone.sync(cursor, &[]);
        cursor = answer["cursor"].as_u64().unwrap();
        let count = answer["events"].as_array().unwrap().len() as u64;
        assert!(count > 0, "nothing came at {cursor}");
        got += count;
    }
    let (seconds, worked) = (started.elapsed().as_secs_f64(), cpu_seconds(pid) - worked);
    row(
        &format!("a new phone reads {wanted} events"),
        format!("{seconds:.2} s ({worked:.1} s of processor)"),
        "3 s",
    );

    // The lists while the summaries are still being worked out, then after.
    let open = |phone: &mut Phone, path: &str| {
        let started = Instant::now();
        phone.ask("GET", path, "");
        format!("{:.0} ms", started.elapsed().as_secs_f64() * 1e3)
    };
    row(
        "the first part of the jobs, summaries still being worked out",
        open(&mut phone, "/api/v1/jobs"),
        "1 s",
    );
    let started = Instant::now();
    let watch = AtomicBool::new(true);
    while watch.load(Ordering::Relaxed) {
        let list: Value = serde_json::from_slice(&phone.ask("GET", "/api/v1/jobs?limit=500", "")).unwrap();
        let stale = list["rows"].as_array().unwrap().iter().any(|row| row["stale"] == true);
        watch.store(stale && started.elapsed() < Duration::from_secs(600), Ordering::Relaxed);
        std::thread::sleep(Duration::from_millis(200));
    }
    row(
        &format!("summaries of {} jobs ready after", events / JOB_EVENTS),
        format!("{:.0} s", started.elapsed().as_secs_f64()),
        "",
    );
    for path in ["/api/v1/jobs", "/api/v1/systems", "/api/v1/search?q=roof"] {
        row(&format!("GET {path}"), open(&mut phone, path), "1 s");
    }
    row("memory in all, at most", format!("{} MB", status_mb(pid, "VmHWM")), "");
    drop(server);
    let _ = std::fs::remove_dir_all(&folder);
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |name: &str| {
        let at = words.iter().position(|word| word == name)?;
        words.get(at + 1)?.parse::<u64>().ok()
    };
    let events = number("--events").unwrap_or(100_000);
    println!("| database | what | result | goal |\n|---|---|---|---|");
    measure("SQLite", None, events);
    let cluster = cluster::Cluster::shared();
    measure("PostgreSQL", Some(&cluster.database_that_is_durable()), events);
}
