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

fn main() {
    let wanted: u32 = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(10_000);
    let (Ok(from), Ok(on)) = ("2016-12-01".parse::<Date>(), "2026-11-25".parse::<Date>()) else { return };
    let book = Book::shipped();
    let threads = std::thread::available_parallelism().map_or(1, usize::from) as u32;
    let start = Instant::now();
    let verdicts: usize = std::thread::scope(|scope| {
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
    println!(
        "{wanted} systems, {verdicts} verdicts, {threads} threads: {:.2} s",
        start.elapsed().as_secs_f64()
    );
}
