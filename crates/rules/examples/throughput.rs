//! Times the evaluation of many systems with ten years of events, 200 each: `cargo run --release -p rules --example throughput -- 20000`.

use rules::{
    Book, Date, Event, ExactMass, Facts, FullCharge, GasFrom, Owner, Place, Reason, Use, What, assess,
};
use std::time::Instant;

/// Invented: five jurisdictions in turn, an event about every 18 days.
fn system(number: u32, from: Date) -> Facts {
    let (place, owner, gas, pounds) = [
        ("US", None, "R-22", 600),
        ("US", None, "R-404A", 300),
        ("CA-ON", Some(Owner::Federal), "R-449A", 90),
        ("ES", None, "R-448A", 120),
        ("CA-QC", Some(Owner::Private), "R-449A", 90),
    ][number as usize % 5];
    let events = (0..200u32).map(|i| {
        let what = match (i + number) % 8 {
            0 | 4 => What::Added {
                mass: Some(ExactMass::pounds(1 + (i * 7 + number) % 20)),
                reason: Some(Reason::TopUp),
                leak: None,
                gas: Some(GasFrom::Virgin),
            },
            1 => What::LeakChecked { found: Some(true), leak: Some(format!("l{i}")), located: Some(true) },
            2 => What::Repaired { leak: Some(format!("l{}", i.saturating_sub(1))), evacuated: Some(false) },
            3 => What::InitialVerification { passed: true },
            5 => What::FollowUpVerification { passed: true, all_leaks: Some(true) },
            6 => What::OwnerTold,
            _ => What::LeakChecked { found: Some(false), leak: None, located: None },
        };
        Event::new(format!("e{i}"), from.days_after((i * 18 + number % 11) as i32), what)
    });
    Facts {
        place: Place::from_code(place),
        owner,
        use_of: Some(Use::CommercialRefrigeration),
        refrigerant: Some(gas.to_owned()),
        full_charge: Some(FullCharge::Maker(ExactMass::pounds(pounds))),
        events: events.collect(),
        ..Facts::default()
    }
}

/// The largest memory so far, MB, where the system tells (Linux).
fn peak_megabytes() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches(" kB").trim().parse::<u64>().ok()? / 1024)
}

/// Processor time of all threads so far, seconds, where the system tells (Linux, 100 ticks a second).
fn processor_seconds() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/stat").ok()?;
    // The name in brackets may hold spaces; the fields are counted behind it.
    let fields: Vec<&str> = status.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks: u64 = fields.get(11)?.parse::<u64>().ok()? + fields.get(12)?.parse::<u64>().ok()?;
    Some(ticks as f64 / 100.0)
}

fn main() {
    let wanted: u32 = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(10_000);
    let (Ok(from), Ok(on)) = ("2016-12-01".parse::<Date>(), "2026-11-25".parse::<Date>()) else { return };
    let book = Book::shipped();
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u32;
    // A tenth first: if memory grew with the systems, the whole would show it.
    let tenth = run(book, wanted / 10, from, on, threads);
    let first = (peak_megabytes(), processor_seconds());
    let whole = run(book, wanted, from, on, threads);
    let last = (peak_megabytes(), processor_seconds().zip(first.1).map(|(last, first)| last - first));
    for (systems, (verdicts, seconds), (peak, busy)) in [(wanted / 10, tenth, first), (wanted, whole, last)] {
        let peak = peak.map_or_else(|| "not told".to_owned(), |peak| format!("{peak} MB"));
        let busy = busy.map_or_else(|| "not told".to_owned(), |busy| format!("{busy:.2} s"));
        println!("| {systems} | 200 | {verdicts} | {threads} | {seconds:.2} s | {busy} | {peak} |");
    }
}

/// Evaluates systems on all threads; returns how many verdicts and in how many seconds.
fn run(book: &Book, wanted: u32, from: Date, on: Date, threads: u32) -> (usize, f64) {
    let start = Instant::now();
    let verdicts = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads)
            .map(|worker| {
                scope.spawn(move || {
                    let mine = (worker..wanted).step_by(threads as usize);
                    mine.map(|number| assess(book, &system(number, from), on).duties.len()).sum::<usize>()
                })
            })
            .collect();
        workers.into_iter().map(|worker| worker.join().unwrap_or(0)).sum()
    });
    (verdicts, start.elapsed().as_secs_f64())
}
