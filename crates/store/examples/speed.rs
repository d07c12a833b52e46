//! How fast a store takes in, gives out and lists, durably, and what memory it needs: `speed [--events N]`.
#![allow(clippy::unwrap_used)]

#[path = "../tests/cases/cluster.rs"]
mod cluster;

use record::sync::{PUSH_EVENTS, Push};
use serde_json::{Value, json};
use std::path::PathBuf;
use std::time::Instant;
use store::{Opening, Sender, Store, Summary};
use uuid::Uuid;

const NOW: i64 = 1_935_817_800_000;
/// Events of one job: a visit of two hours with its instruments, readings and weighings.
const JOB_EVENTS: u64 = 200;

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

/// Returns the most memory that this process has used, in MB.
fn peak_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().strip_suffix(" kB")?.trim().parse::<u64>().ok().map(|kb| kb / 1_024)
}

/// Returns the seconds that processors have worked for this process; on a busy machine they say more than the clock.
fn cpu_seconds() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after = stat.rsplit(')').next().unwrap_or_default();
    let ticks: f64 = after.split_whitespace().skip(11).take(2).filter_map(|n| n.parse::<f64>().ok()).sum();
    ticks / 100.0
}

fn row(kind: &str, what: &str, result: String, goal: &str) {
    println!("| {kind} | {what} | {result} | {goal} |");
}

fn measure(store: &dyn Store, events: u64) {
    let kind = store.kind();
    let from = Sender { device: Some(Uuid::from_u128(1)) };
    // Requests of 200, each acknowledged when it is durable, one after the other.
    let (started, worked) = (Instant::now(), cpu_seconds());
    let mut taken = 0;
    let mut slowest = 0.0_f64;
    while taken < events {
        let group: Vec<Value> = (taken..events.min(taken + PUSH_EVENTS as u64)).map(reading).collect();
        let one = Instant::now();
        taken += store.push(&from, &group, NOW).unwrap().new;
        slowest = slowest.max(one.elapsed().as_secs_f64());
    }
    let seconds = started.elapsed().as_secs_f64();
    let rate = format!(
        "{:.0} events/s ({events} in {seconds:.1} s, {:.1} s of processor here; slowest request {:.0} ms)",
        events as f64 / seconds,
        cpu_seconds() - worked,
        slowest * 1e3
    );
    row(kind, "events taken in durably, requests of 200", rate, "5,000/s");

    // A new phone reads everything: replies as the server makes them, to their JSON.
    let wanted = events.min(100_000);
    let (started, worked) = (Instant::now(), cpu_seconds());
    let mut push = Push::default();
    let mut read = 0;
    let mut bytes = 0;
    while read < wanted {
        let reply = store.sync(&from, &push, NOW).unwrap();
        read += reply.events.len() as u64;
        bytes += serde_json::to_string(&reply).unwrap().len();
        push.cursor = reply.cursor;
    }
    let seconds = started.elapsed().as_secs_f64();
    let text = format!(
        "{seconds:.2} s, {:.2} s of processor here, {:.0} MB of JSON",
        cpu_seconds() - worked,
        bytes as f64 / 1e6
    );
    row(kind, &format!("pull of {read} events in replies of 500"), text, "3 s");

    // What the owner's pages need of each job.
    let started = Instant::now();
    loop {
        let stale = store.stale_jobs(1_000).unwrap();
        if stale.is_empty() {
            break;
        }
        for job in stale {
            let summary = Summary {
                through: job.last,
                system: Some(job.job),
                title: format!("Room {}", job.first / JOB_EVENTS % 40),
                text: json!({ "due": "2031-06-01", "loss": 0.12, "more": "x".repeat(700) }).to_string(),
                words: "walk-in flower cold room dock compressor".to_owned(),
            };
            store.put_summary(job.job, &summary).unwrap();
        }
    }
    let jobs = store.counts().unwrap().jobs;
    let text = format!("{:.1} s for {jobs} jobs", started.elapsed().as_secs_f64());
    row(kind, "a summary kept for every job, one transaction each", text, "none");
    let started = Instant::now();
    let mut after = None;
    let mut listed = 0;
    loop {
        let page = store.jobs(after, 500).unwrap();
        let Some(last) = page.last() else { break };
        after = Some(last.first);
        listed += page.len();
    }
    let all = started.elapsed().as_secs_f64();
    let counted = Instant::now();
    store.counts().unwrap();
    let systems = store.systems(None, 10_000).unwrap().len();
    let text = format!(
        "{:.2} s for {listed} summaries, {:.2} s for counts and {systems} systems",
        all,
        counted.elapsed().as_secs_f64()
    );
    row(kind, &format!("overview of {events} events"), text, "1 s");
    let started = Instant::now();
    let found = store.search("flow room 7", None, 50).unwrap().len();
    row(
        kind,
        "search over everything",
        format!("{:.0} ms, {found} found", started.elapsed().as_secs_f64() * 1e3),
        "none",
    );
    let started = Instant::now();
    let verdict = store.verify().unwrap();
    assert!(verdict.is_clean(), "{:?}", verdict.faults);
    row(
        kind,
        "verify",
        format!("{:.1} s for {} events", started.elapsed().as_secs_f64(), verdict.events),
        "none",
    );
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let at = words.iter().position(|word| word == "--events");
    let events: u64 = at.and_then(|at| words.get(at + 1)).map_or(100_000, |text| text.parse().unwrap());
    let base: PathBuf = std::env::temp_dir().join(format!("gastight-speed-{}", std::process::id()));
    let opening = Opening { epoch: Uuid::from_u128(7), now: NOW, durable: true };
    let size = record::sync::line(&reading(1)).len();
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let load = load.split(' ').next().unwrap_or("unknown to us").to_owned();
    println!(
        "Lines of {size} bytes, {JOB_EVENTS} events a job, one caller, {cores} cores; when it began, {load} programs \
         wanted them.\n"
    );
    println!("| database | what | result | goal |\n|---|---|---|---|");
    let store = store::SqliteStore::open(&base.join("sqlite"), &opening).unwrap();
    measure(&store, events);
    if let Some(peak) = peak_mb() {
        row(
            "sqlite",
            "most memory of the process, all of the above",
            format!("{peak} MB"),
            "120 MB, with the server",
        );
    }
    drop(store);
    let url = cluster::Cluster::shared().database_that_is_durable();
    let store = store::PostgresStore::open(&url, &base.join("postgres"), &opening).unwrap();
    measure(&store, events);
    drop(store);
    std::fs::remove_dir_all(&base).unwrap();
}
