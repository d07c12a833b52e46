//! How soon the owner's overview opens over a large book: `overview [--jobs N] [--events N]`.
//!
//! Fills a book of jobs with some so many events each, works out every summary, then reads all lists anew as a server does
//! that has just started, and once more as it does afterwards. What the reading costs goes by the jobs, not by their
//! events: a job's summary is one row.
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use server::{book, secret, summary};
use std::time::Instant;
use store::{Opening, Sender, Store};

const NOW: i64 = 1_935_817_800_000;
const GASES: [&str; 4] = ["R-449A", "R-448A", "R-513A", "R-290"];

/// The events of a job: what a visit of the invented shop enters, then readings.
fn job(number: u64, events: u64) -> Vec<Value> {
    let system = number / 2;
    let gas = GASES[(system % 4) as usize];
    let follows = match number % 2 {
        1 => format!("follows = \"{}\"\n", record::job_id(&format!("job {}", number - 1))),
        _ => String::new(),
    };
    let cylinder = format!("supply {}", system % 40);
    let mut text = format!(
        "gastight = 1\njob = \"job {number}\"\nnote = \"Invented example.\"\n[site]\nname = \"Wrenford Flower Exchange\"\n\
         jurisdiction = \"Spain\"\noffset = \"+01:00\"\n[visit]\ndate = 2031-05-06\nby = \"technician A\"\n{follows}\
         [system]\nname = \"Room {system}\"\nrefrigerant = \"{gas}\"\ncharge = \"14.2 kg\"\n\
         [[cylinder]]\nid = \"{cylinder}\"\nretest = 2033-01-01\n\
         [[entry]]\nkind = \"past change\"\non = 2030-08-19\namount = \"1.1 kg\"\n\
         [[entry]]\nkind = \"past change\"\non = 2030-12-30\namount = \"1.6 kg\"\n\
         [[entry]]\nkind = \"weighing\"\nat = 09:00\ncylinder = \"{cylinder}\"\ndirection = \"charged\"\n\
         before = \"20 kg\"\nafter = \"18.5 kg\"\n\
         [[entry]]\nkind = \"finding\"\nwhat = \"insulation missing\"\nurgency = \"soon\"\n"
    );
    for reading in 0..events.saturating_sub(12) {
        let (hour, minute) = (10 + reading / 60, reading % 60);
        text.push_str(&format!(
            "[[entry]]\nkind = \"reading\"\nat = {hour:02}:{minute:02}\nsuction_pressure = \"42.5 psig\"\nsuction_line = \"48 F\"\n"
        ));
    }
    let file = record::read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}"));
    let lines = file.events.iter().map(record::write_line);
    lines.map(|line| serde_json::from_str(&line).unwrap()).collect()
}

fn number(words: &[String], name: &str, otherwise: u64) -> u64 {
    let at = words.iter().position(|word| word == name);
    at.and_then(|at| words.get(at + 1)?.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    let words: Vec<String> = std::env::args().collect();
    let (jobs, events) = (number(&words, "--jobs", 5_000), number(&words, "--events", 200));
    let folder = std::env::temp_dir().join(format!("gastight-overview-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let opening = Opening { epoch: secret::id(NOW).unwrap(), now: NOW, durable: false };
    let store = store::SqliteStore::open(&folder, &opening).unwrap();
    let began = Instant::now();
    let mut batch = Vec::new();
    for number in 0..jobs {
        batch.extend(job(number, events));
        while batch.len() >= 200 || (number + 1 == jobs && !batch.is_empty()) {
            let some: Vec<Value> = batch.drain(..batch.len().min(200)).collect();
            store.push(&Sender::default(), &some, NOW).unwrap();
        }
    }
    println!(
        "{} events of {jobs} jobs stored in {:.1} s",
        store.counts().unwrap().events,
        began.elapsed().as_secs_f64()
    );
    let began = Instant::now();
    let done = summary::refresh_all(&store).unwrap();
    let each = began.elapsed().as_secs_f64() * 1e3 / done.max(1) as f64;
    println!("{done} summaries worked out, {each:.1} ms each");
    let on = book::today();
    let began = Instant::now();
    let book = book::read(&store, on).unwrap();
    let read = began.elapsed().as_secs_f64() * 1e3;
    let lines = (book.overview.systems_in_all, book.overview.due_in_all);
    println!("all lists read from nothing in {read:.0} ms: {} systems, {} things due", lines.0, lines.1);
    let began = Instant::now();
    let some = job::shop::Overview {
        systems: book.overview.systems.iter().take(50).cloned().collect(),
        due: book.overview.due.iter().take(50).cloned().collect(),
        ..book.overview.clone()
    };
    let text = serde_json::to_string(&some).unwrap();
    println!("answered when held in {:.2} ms: {} bytes", began.elapsed().as_secs_f64() * 1e3, text.len());
    let began = Instant::now();
    let accounts = book.accounts(None);
    println!(
        "account in {:.0} ms: {} cylinders",
        began.elapsed().as_secs_f64() * 1e3,
        accounts.by_cylinder.len()
    );
    drop(store);
    std::fs::remove_dir_all(&folder).unwrap();
}
