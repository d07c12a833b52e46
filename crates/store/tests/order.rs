//! Sequence numbers become visible in their order on PostgreSQL, and what happens where they do not.
#![allow(clippy::unwrap_used)]

#[allow(dead_code, unused_imports, reason = "each test file uses some of the cases")]
mod cases;

use cases::cluster::Cluster;
use cases::{Folder, NOW, id, note};
use std::time::Duration;
use store::{Opening, PostgresStore, Sender, Store};
use tokio_postgres::{Client, NoTls};

/// The lock that every write of the store takes; the test takes it from outside.
const WRITE_LOCK: i64 = 20_261_125;

async fn connect(url: &str) -> Client {
    let (client, wire) = tokio_postgres::connect(url, NoTls).await.unwrap();
    tokio::spawn(wire);
    client
}

fn run<T>(work: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(work)
}

/// Returns what a reader that follows the sequence sees of two rows, where the one with the lower number is committed
/// after the other was read.
async fn seen_by_a_reader(url: &str, lock: Option<i64>) -> Vec<i64> {
    let (mut slow, mut quick, reader) = (connect(url).await, connect(url).await, connect(url).await);
    reader.batch_execute("CREATE TABLE queue (seq BIGSERIAL PRIMARY KEY, what TEXT)").await.unwrap();
    let insert = "INSERT INTO queue (what) VALUES ('x')";
    let lock = lock.map(|lock| format!("SELECT pg_advisory_xact_lock({lock})"));
    let first = slow.transaction().await.unwrap();
    if let Some(lock) = &lock {
        first.batch_execute(lock).await.unwrap();
    }
    first.batch_execute(insert).await.unwrap();
    let second = async {
        let second = quick.transaction().await.unwrap();
        if let Some(lock) = &lock {
            second.batch_execute(lock).await.unwrap();
        }
        second.batch_execute(insert).await.unwrap();
        second.commit().await.unwrap();
    };
    let mut second = std::pin::pin!(second);
    // Without the lock it is done long before; with it, it waits for the first.
    let done = tokio::time::timeout(Duration::from_millis(500), second.as_mut()).await.is_ok();
    let mut cursor = 0;
    let mut seen = Vec::new();
    let read = async |cursor: &mut i64, seen: &mut Vec<i64>| {
        let rows =
            reader.query("SELECT seq FROM queue WHERE seq > $1 ORDER BY seq", &[&*cursor]).await.unwrap();
        for row in rows {
            *cursor = row.get(0);
            seen.push(*cursor);
        }
    };
    read(&mut cursor, &mut seen).await;
    first.commit().await.unwrap();
    if !done {
        second.await;
    }
    read(&mut cursor, &mut seen).await;
    seen
}

#[test]
fn a_sequence_without_the_lock_loses_a_row_to_its_reader() {
    let url = Cluster::shared().database();
    assert_eq!(run(seen_by_a_reader(&url, None)), [2], "row 1 came after 2 was read, and is never asked for");
}

#[test]
fn a_sequence_under_the_lock_loses_none() {
    let url = Cluster::shared().database();
    assert_eq!(run(seen_by_a_reader(&url, Some(WRITE_LOCK))), [1, 2]);
}

#[test]
fn a_write_of_the_store_waits_for_the_lock_and_a_read_does_not() {
    let url = Cluster::shared().database();
    let dir = Folder::new("order");
    let opening = Opening { epoch: id(7), now: NOW, durable: true };
    let store = PostgresStore::open(&url, dir.path(), &opening).unwrap();
    let (held, is_held) = std::sync::mpsc::channel();
    let (free, freed) = std::sync::mpsc::channel::<()>();
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let (held, freed) = (held, freed);
            run(async {
                let mut other = connect(&url).await;
                let tx = other.transaction().await.unwrap();
                tx.batch_execute(&format!("SELECT pg_advisory_xact_lock({WRITE_LOCK})")).await.unwrap();
                held.send(()).unwrap();
                freed.recv().unwrap();
                tx.commit().await.unwrap();
            });
        });
        is_held.recv().unwrap();
        let (done, is_done) = std::sync::mpsc::channel();
        let store = &store;
        scope.spawn(move || {
            store.push(&Sender::default(), &[note(1, 100, "one")], NOW).unwrap();
            done.send(()).unwrap();
        });
        assert!(is_done.recv_timeout(Duration::from_millis(300)).is_err(), "it did not wait");
        assert_eq!(store.counts().unwrap().events, 0);
        free.send(()).unwrap();
        is_done.recv_timeout(Duration::from_secs(30)).unwrap();
    });
    assert_eq!(store.counts().unwrap().events, 1);
}

#[test]
fn a_lost_connection_is_made_again() {
    let cluster = Cluster::shared();
    let url = cluster.database();
    let dir = Folder::new("reconnect");
    let opening = Opening { epoch: id(7), now: NOW, durable: true };
    let store = PostgresStore::open(&url, dir.path(), &opening).unwrap();
    store.push(&Sender::default(), &[note(1, 100, "one")], NOW).unwrap();
    let name = url.rsplit('=').next().unwrap();
    let end = format!("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'");
    cluster.sql("postgres", &end).unwrap();
    // The first call may meet the dead connection; those after it must not.
    let mut failed = 0;
    for number in 2..8_u128 {
        let push = store.push(&Sender::default(), &[note(number, 100, "again")], NOW);
        failed += u32::from(push.is_err() || store.counts().is_err());
    }
    assert!(failed <= 2, "{failed} calls failed");
    assert!(store.verify().unwrap().is_clean());
}
