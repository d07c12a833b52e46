//! The sync model in the gate: 2,000 schedules on SQLite, 200 on PostgreSQL, and each fault of the protocol caught.
#![allow(clippy::unwrap_used)]

#[path = "cases/cluster.rs"]
mod cluster;
mod model;

use model::shop::{PostgresShop, SqliteShop};
use model::{FAULTS, Shop, play};

const SEED: u64 = 20_261_125;

fn all(shop: &mut dyn Shop, from: u64, count: u64) {
    for seed in from..from + count {
        play(shop, seed, None).unwrap_or_else(|why| panic!("{why}"));
    }
}

#[test]
fn a_thousand_schedules_on_sqlite() {
    all(&mut SqliteShop::new("one"), SEED, 1_000);
}

#[test]
fn another_thousand_schedules_on_sqlite() {
    all(&mut SqliteShop::new("two"), SEED + 1_000, 1_000);
}

#[test]
fn two_hundred_schedules_on_postgres() {
    all(&mut PostgresShop::new("pg", cluster::Cluster::shared().database()), SEED, 200);
}

#[test]
fn every_fault_of_the_protocol_is_caught() {
    let mut shop = SqliteShop::new("faults");
    for fault in FAULTS {
        let caught = (SEED..SEED + 600).find_map(|seed| play(&mut shop, seed, Some(*fault)).err());
        assert!(caught.is_some(), "{fault:?} goes unseen");
    }
}
