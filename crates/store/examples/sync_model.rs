//! Plays many schedules of the sync model and prints the table of the evidence:
//! `sync_model [--schedules N] [--seed S] [--store sqlite|postgres]`.
#![allow(clippy::unwrap_used)]

#[path = "../tests/cases/cluster.rs"]
mod cluster;
#[path = "../tests/model/mod.rs"]
mod model;

use model::shop::{PostgresShop, SqliteShop};
use model::world::Tally;
use model::{FAULTS, Shop, play};
use std::time::Instant;

/// How many schedules a fault is looked for in.
const FAULT_SCHEDULES: u64 = 2_000;

fn option(words: &[String], name: &str) -> Option<String> {
    let at = words.iter().position(|word| word == name)?;
    words.get(at + 1).cloned()
}

fn number(words: &[String], name: &str, otherwise: u64) -> Result<u64, String> {
    option(words, name).map_or(Ok(otherwise), |text| {
        text.parse().map_err(|_| format!("{name} needs a whole number; seen: {text}"))
    })
}

fn main() -> Result<(), String> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let schedules = number(&words, "--schedules", 2_000)?;
    let seed = number(&words, "--seed", 20_261_125)?;
    let kind = option(&words, "--store").unwrap_or_else(|| "sqlite".to_owned());
    let workers = std::thread::available_parallelism().map_or(1, |n| n.get() as u64);
    let make = |number: u64| -> Result<Box<dyn Shop>, String> {
        match kind.as_str() {
            "sqlite" => Ok(Box::new(SqliteShop::new(&number.to_string()))),
            "postgres" => {
                Ok(Box::new(PostgresShop::new(&number.to_string(), cluster::Cluster::shared().database())))
            }
            other => Err(format!("--store is sqlite or postgres; seen: {other}")),
        }
    };
    let started = Instant::now();
    let (tally, wrong) = std::thread::scope(|scope| {
        let all: Vec<_> = (0..workers)
            .map(|worker| {
                let make = &make;
                scope.spawn(move || -> Result<(Tally, Vec<String>), String> {
                    let mut shop = make(worker)?;
                    let mut tally = Tally::default();
                    let mut wrong = Vec::new();
                    for seed in (seed..seed + schedules).skip(worker as usize).step_by(workers as usize) {
                        match play(&mut *shop, seed, None) {
                            Ok(one) => tally.add(&one),
                            Err(why) => wrong.push(why),
                        }
                    }
                    Ok((tally, wrong))
                })
            })
            .collect();
        let mut tally = Tally::default();
        let mut wrong = Vec::new();
        for one in all {
            let (some, faults) = one.join().map_err(|_| "a worker panicked".to_owned())??;
            tally.add(&some);
            wrong.extend(faults);
        }
        Ok::<_, String>((tally, wrong))
    })?;
    println!("## {kind}: {schedules} schedules from seed {seed}\n");
    println!("| what | how many |\n|---|---|");
    for (what, count) in [
        ("schedules", schedules),
        ("phones", tally.phones),
        ("events recorded", tally.events),
        ("of them erasures of personal data", tally.erased),
        ("pictures", tally.pictures),
        ("requests sent", tally.requests),
        ("requests lost", tally.lost_requests),
        ("replies lost", tally.lost_replies),
        ("delivered twice", tally.doubled),
        ("requests refused for other content under an id", tally.refused),
        ("phones killed within a transaction", tally.torn),
        ("phones that forgot everything", tally.wiped),
        ("cursors set to 0", tally.resets),
        ("server restarts", tally.restarts),
        ("servers lost and restored from a backup", tally.restores),
        (
            "**schedules with anything lost, doubled, changed, not erased, or not agreed on**",
            wrong.len() as u64,
        ),
    ] {
        println!("| {what} | {count} |");
    }
    println!("\nIt took {} s on {workers} cores.\n", started.elapsed().as_secs());
    for why in wrong.iter().take(20) {
        println!("- {why}");
    }

    println!("### Faults of the protocol, each put in on purpose\n");
    println!("| fault | first schedule that shows it | what it shows |\n|---|---|---|");
    let mut unseen = Vec::new();
    let mut shop = make(workers)?;
    for fault in FAULTS {
        let caught = (0..FAULT_SCHEDULES)
            .find_map(|number| play(&mut *shop, seed + number, Some(*fault)).err().map(|why| (number, why)));
        match caught {
            Some((number, why)) => {
                let short: String =
                    why.split(": ").skip(1).collect::<Vec<_>>().join(": ").chars().take(60).collect();
                println!("| {fault:?} | {} | {short} |", number + 1);
            }
            None => unseen.push(format!("{fault:?}")),
        }
    }
    println!();
    match (wrong.is_empty(), unseen.is_empty()) {
        (true, true) => Ok(()),
        (false, _) => Err(format!("{} schedules went wrong", wrong.len())),
        (true, false) => Err(format!("not seen in {FAULT_SCHEDULES} schedules: {}", unseen.join(", "))),
    }
}
