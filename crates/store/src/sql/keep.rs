//! Keeping it: counts, examination.

use super::SqlStore;
use crate::api::{Counts, Store, Verdict};
use crate::cell::{Engine, Tx, cells};
use crate::error::{Error, Result};
use crate::pictures::{hash_file, hex};
use record::sync;
use sha2::{Digest, Sha256};

/// How many events are looked at in one go.
const AT_ONCE: usize = 2_000;

/// Keeps a list of watched systems whole: its head at place 0, its lines from 1 on.
pub fn put_watched(tx: &mut dyn Tx, head: &str, lines: &[String]) -> Result<()> {
    tx.run("DELETE FROM watched", &[])?;
    let all = std::iter::once(head).chain(lines.iter().map(String::as_str));
    let mut sets = Vec::with_capacity(AT_ONCE.min(lines.len() + 1));
    for (place, line) in all.enumerate() {
        sets.push(cells![place, line].to_vec());
        if sets.len() == AT_ONCE {
            tx.run_each(PUT_WATCHED, &sets)?;
            sets.clear();
        }
    }
    tx.run_each(PUT_WATCHED, &sets)
}

const PUT_WATCHED: &str = "INSERT INTO watched (place, line) VALUES (?1, ?2)";

pub fn watched(tx: &mut dyn Tx, after: u64, limit: usize) -> Result<Option<(String, Vec<String>)>> {
    let Some(head) = tx.first("SELECT line FROM watched WHERE place = 0", &[])? else { return Ok(None) };
    let sql = "SELECT line FROM watched WHERE place > ?1 ORDER BY place LIMIT ?2";
    let lines = tx.rows(sql, cells![after, limit])?.iter().map(|row| row.text(0)).collect::<Result<_>>()?;
    Ok(Some((head.text(0)?, lines)))
}

pub fn counts(tx: &mut dyn Tx) -> Result<Counts> {
    let row = tx.first(
        "SELECT (SELECT count(*) FROM events), (SELECT coalesce(max(seq), 0) FROM events), \
         (SELECT count(*) FROM jobs), (SELECT count(*) FROM jobs WHERE stale = 1), \
         (SELECT count(*) FROM people WHERE active = 1), (SELECT count(*) FROM devices WHERE revoked IS NULL), \
         (SELECT count(*) FROM audits)",
        &[],
    )?;
    let row = row.ok_or_else(|| Error::failed("no counts"))?;
    Ok(Counts {
        events: row.count(0)?,
        last: row.count(1)?,
        jobs: row.count(2)?,
        stale_jobs: row.count(3)?,
        people: row.count(4)?,
        devices: row.count(5)?,
        audits: row.count(6)?,
    })
}

pub fn owed<E: Engine>(store: &SqlStore<E>, limit: usize) -> Result<Vec<String>> {
    let rows =
        store.engine.read(|tx| tx.rows("SELECT DISTINCT sha256 FROM pictures ORDER BY sha256", &[]))?;
    let mut owed = Vec::new();
    for row in rows {
        let name = row.text(0)?;
        if owed.len() < limit && store.pictures.whole(&name)?.is_none() {
            owed.push(name);
        }
    }
    Ok(owed)
}

pub fn verify<E: Engine>(store: &SqlStore<E>) -> Result<Verdict> {
    let mut verdict = Verdict::default();
    verdict.faults.extend(store.engine.integrity()?);
    let mut cursor = 0;
    loop {
        let (count, last) = store.engine.read(|tx| examine(tx, cursor, &mut verdict))?;
        cursor = last;
        if count < AT_ONCE {
            break;
        }
    }
    store.engine.read(|tx| examine_sums(tx, &mut verdict))?;
    for name in store.pictures.all()? {
        verdict.pictures += 1;
        let (found, _) = hash_file(&store.pictures.place(&name))?;
        if found != name {
            verdict.faults.push(format!("the picture {name} has the hash {found}"));
        }
    }
    verdict.owed = store.pictures_owed(usize::MAX)?;
    verdict.begun = store.pictures.begun_count()?;
    Ok(verdict)
}

/// Examines the events behind a sequence number. Returns how many there were, and the last number.
fn examine(tx: &mut dyn Tx, after: u64, verdict: &mut Verdict) -> Result<(usize, u64)> {
    let rows = tx.rows(
        "SELECT seq, id, job, kind, erases, stamp_ms, stamp_n, hash, line FROM events WHERE seq > ?1 \
         ORDER BY seq LIMIT ?2",
        cells![after, AT_ONCE],
    )?;
    let mut before = after;
    for row in &rows {
        let seq = row.count(0)?;
        let id = row.id(1)?;
        verdict.events += 1;
        // Numbers are given under a lock and never taken back: a gap is a loss, unless an event moved away from it.
        if seq != before + 1 {
            let moved =
                tx.first("SELECT count(*) FROM moved WHERE seq > ?1 AND seq < ?2", cells![before, seq])?;
            if moved.map_or(Ok(0), |row| row.count(0))? != seq - before - 1 {
                verdict.faults.push(format!("of the events {} to {} some are missing", before + 1, seq - 1));
            }
        }
        before = seq;
        let line = row.text(8)?;
        if row.hash(7)?.as_slice() != Sha256::digest(line.as_bytes()).as_slice() {
            verdict
                .faults
                .push(format!("event {seq} ({id}): its line has the hash {}", hex(&Sha256::digest(&line))));
        }
        let Ok(event) = record::read_line(line.as_bytes()) else {
            verdict.faults.push(format!("event {seq} ({id}): its line is no event"));
            continue;
        };
        let same = event.id == id
            && event.job == row.id(2)?
            && event.kind() == row.text(3)?
            && sync::erases(&event) == row.maybe_id(4)?
            && event.stamp.ms == row.int(5)?
            && i64::from(event.stamp.n) == row.int(6)?;
        if !same {
            verdict.faults.push(format!("event {seq} ({id}): its line says something else than its row"));
        }
    }
    Ok((rows.len(), before))
}

/// Examines what is made of the events: that it adds up.
fn examine_sums(tx: &mut dyn Tx, verdict: &mut Verdict) -> Result<()> {
    let rows = tx.rows(
        "SELECT e.job, e.events, e.first, e.last, e.from_ms, e.to_ms, \
         j.events, j.first, j.last, j.from_ms, j.to_ms FROM \
         (SELECT job, count(*) AS events, min(seq) AS first, max(seq) AS last, \
          min(stamp_ms) AS from_ms, max(stamp_ms) AS to_ms FROM events GROUP BY job) e \
         LEFT JOIN jobs j ON j.job = e.job",
        &[],
    )?;
    for row in &rows {
        if row.0[1..6] != row.0[6..11] {
            verdict.faults.push(format!("job {}: its counts are not those of its events", row.id(0)?));
        }
    }
    let alone = tx.rows("SELECT job FROM jobs WHERE job NOT IN (SELECT job FROM events)", &[])?;
    for row in &alone {
        verdict.faults.push(format!("job {} has no events", row.id(0)?));
    }
    // Events are never deleted, so that their number and the numbers left behind make the greatest number.
    let sum = tx.first(
        "SELECT (SELECT count(*) FROM events) + (SELECT count(*) FROM moved), \
         (SELECT coalesce(max(seq), 0) FROM events)",
        &[],
    )?;
    if let Some(row) = sum
        && row.count(0)? < row.count(1)?
    {
        verdict.faults.push(format!("{} events are missing", row.count(1)? - row.count(0)?));
    }
    let unerased = tx.rows(
        "SELECT t.id FROM events r JOIN events t ON t.id = r.erases \
         WHERE t.kind <> 'erased' AND t.kind <> 'redaction'",
        &[],
    )?;
    for row in &unerased {
        verdict.faults.push(format!("event {} should be erased and is not", row.id(0)?));
    }
    Ok(())
}
