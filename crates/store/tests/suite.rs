//! What every store must do, run on each kind of database.
#![allow(clippy::unwrap_used)]

mod cases;

use store::{Opening, PostgresStore, SqliteStore};

macro_rules! on_both {
    ($($name:ident,)*) => {
        mod sqlite {
            $(#[test]
            fn $name() {
                let dir = super::cases::Folder::new(concat!("sqlite-", stringify!($name)));
                let store = super::SqliteStore::open(dir.path(), &super::opening()).unwrap();
                super::cases::$name(&store);
            })*
        }
        mod postgres {
            $(#[test]
            fn $name() {
                let dir = super::cases::Folder::new(concat!("postgres-", stringify!($name)));
                let url = super::cases::cluster::Cluster::shared().database();
                let store = super::PostgresStore::open(&url, dir.path(), &super::opening()).unwrap();
                super::cases::$name(&store);
            })*
        }
    };
}

fn opening() -> Opening {
    Opening { epoch: cases::id(7), now: cases::NOW, durable: true }
}

on_both! {
    an_event_comes_in_once,
    other_content_is_refused_whole,
    a_device_reads_what_others_sent,
}
