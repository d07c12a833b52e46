//! Events: taking them in, giving them out.

use crate::api::{Page, Pushed, Sender};
use crate::cell::{Cell, Engine, Row, Tx, cells};
use crate::error::{Error, EventFault, NotAnEvent, Result};
use record::Event;
use record::sync::{self, Likeness, Pull, Push, compare};
use serde_json::Value;
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

pub fn epoch(tx: &mut dyn Tx) -> Result<Uuid> {
    let text = super::people::setting(tx, super::EPOCH)?.ok_or_else(|| Error::failed("no epoch"))?;
    text.parse().map_err(|_| Error::failed(format!("the epoch reads {text}")))
}

/// An event of a request, read.
struct Incoming {
    event: Event,
    line: String,
}

/// Reads the events of a request; two that are the same are one.
fn read_all(events: &[Value]) -> Result<Vec<Incoming>> {
    if events.len() > sync::PUSH_EVENTS {
        return Err(Error::TooMany { given: events.len(), most: sync::PUSH_EVENTS });
    }
    let mut faults = Vec::new();
    let mut all: BTreeMap<Uuid, Incoming> = BTreeMap::new();
    let mut order = Vec::new();
    let mut refused = Vec::new();
    for (index, value) in events.iter().enumerate() {
        let id = value.get("id").and_then(Value::as_str).and_then(|id| id.parse().ok());
        let line = sync::line(value);
        if line.len() > sync::LINE_BYTES {
            faults.push(NotAnEvent { index, id, fault: EventFault::TooLong { bytes: line.len() } });
            continue;
        }
        let Ok(event) = record::read_line(line.as_bytes()) else {
            faults.push(NotAnEvent { index, id, fault: EventFault::Shape });
            continue;
        };
        match all.get(&event.id) {
            Some(first) if compare(&first.event, &event) == Likeness::Different => refused.push(event.id),
            Some(_) => {}
            None => {
                order.push(event.id);
                all.insert(event.id, Incoming { event, line });
            }
        }
    }
    if !faults.is_empty() {
        return Err(Error::NotEvents { faults });
    }
    if !refused.is_empty() {
        return Err(Error::Refused { ids: refused });
    }
    Ok(order.into_iter().filter_map(|id| all.remove(&id)).collect())
}

fn hash(line: &str) -> Cell {
    Cell::Bytes(Sha256::digest(line.as_bytes()).to_vec())
}

/// Stores events, all or none. Returns also the pictures that no event speaks of any more.
pub fn push<E: Engine>(
    engine: &E,
    from: &Sender,
    events: &[Value],
    now: i64,
) -> Result<(Pushed, Vec<String>)> {
    let incoming = read_all(events)?;
    engine.write(|tx| push_in(tx, from, incoming, now))
}

fn push_in(
    tx: &mut dyn Tx,
    from: &Sender,
    incoming: Vec<Incoming>,
    now: i64,
) -> Result<(Pushed, Vec<String>)> {
    let ids: Vec<Vec<Cell>> = incoming.iter().map(|one| cells![one.event.id].to_vec()).collect();
    let known = tx.rows_each("SELECT line FROM events WHERE id = ?1", &ids)?;
    let erased_by = tx.rows_each("SELECT seq FROM events WHERE erases = ?1 LIMIT 1", &ids)?;
    let last = tx.first("SELECT coalesce(max(seq), 0) FROM events", &[])?;
    let mut last = last.map_or(Ok(0), |row| row.int(0))?;
    let erase: BTreeSet<Uuid> = incoming.iter().filter_map(|one| sync::erases(&one.event)).collect();

    let mut pushed = Pushed::default();
    let mut refused = Vec::new();
    let mut rows = Vec::new();
    let mut pictures = Vec::new();
    let mut erased_elsewhere = Vec::new();
    let mut jobs: BTreeMap<Uuid, JobChange> = BTreeMap::new();
    let mut old_targets = erase.clone();
    for (one, (known, erased_by)) in incoming.into_iter().zip(known.iter().zip(&erased_by)) {
        let Incoming { event, line } = one;
        pushed.stored.push(event.id);
        if event.stamp.ms.saturating_sub(now) > sync::AHEAD_MS {
            pushed.ahead.push(event.id);
        }
        if let Some(row) = known.first() {
            let stands = row.text(0)?;
            if stands != line {
                match compare(&read(&stands)?, &event) {
                    Likeness::Different => refused.push(event.id),
                    // The first copy's stamp stays for everybody; what is erased stays erased.
                    Likeness::OtherStamp | Likeness::FirstErased => pushed.otherwise.push(stands),
                    // Erased anywhere, erased everywhere: the redaction itself may have been lost with a device.
                    Likeness::SecondErased => erased_elsewhere.push(event.id),
                    Likeness::Same => {}
                }
            }
            continue;
        }
        old_targets.remove(&event.id);
        let (event, line) = if erase.contains(&event.id) || !erased_by.is_empty() {
            let left = sync::erased(&event);
            let left_line = record::write_line(&left);
            if left_line != line {
                pushed.otherwise.push(left_line.clone());
            }
            (left, left_line)
        } else {
            (event, line)
        };
        last += 1;
        pushed.new += 1;
        if let Some(name) = sync::picture(&event) {
            pictures.push(cells![&name, event.id].to_vec());
        }
        jobs.entry(event.job).or_insert_with(|| JobChange::at(last)).add(last, &event);
        rows.push(
            cells![
                last,
                event.id,
                event.job,
                event.kind(),
                sync::erases(&event),
                event.stamp.ms,
                i64::from(event.stamp.n),
                now,
                from.device
            ]
            .iter()
            .cloned()
            .chain([hash(&line), Cell::Text(line)])
            .collect::<Vec<_>>(),
        );
    }
    if !refused.is_empty() {
        return Err(Error::Refused { ids: refused });
    }
    tx.run_each(
        "INSERT INTO events (seq, id, job, kind, erases, stamp_ms, stamp_n, received, device, hash, line) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
        &rows,
    )?;
    tx.run_each("INSERT INTO pictures (sha256, event) VALUES (?1, ?2) ON CONFLICT DO NOTHING", &pictures)?;
    let changes: Vec<Vec<Cell>> = jobs.iter().map(|(job, change)| change.cells(*job)).collect();
    tx.run_each(
        "INSERT INTO jobs (job, first, last, events, from_ms, to_ms, stale) VALUES (?1, ?2, ?3, ?4, ?5, ?6, 1) \
         ON CONFLICT (job) DO UPDATE SET last = excluded.last, events = jobs.events + excluded.events, \
         from_ms = CASE WHEN excluded.from_ms < jobs.from_ms THEN excluded.from_ms ELSE jobs.from_ms END, \
         to_ms = CASE WHEN excluded.to_ms > jobs.to_ms THEN excluded.to_ms ELSE jobs.to_ms END, stale = 1",
        &changes,
    )?;
    pushed.jobs.extend(jobs.into_keys());
    let mut gone = Vec::new();
    for id in &old_targets {
        gone.extend(erase_here(tx, *id, &mut pushed)?);
    }
    for id in erased_elsewhere.into_iter().filter(|id| !old_targets.contains(id)) {
        gone.extend(erase_here(tx, id, &mut pushed)?);
        // No redaction tells the others: they must read it again.
        last += 1;
        move_to(tx, id, last)?;
    }
    pushed.jobs.sort_unstable();
    pushed.jobs.dedup();
    pushed.last = last.unsigned_abs();
    Ok((pushed, gone))
}

/// Replaces the content of a stored event by its hash. Returns the pictures nobody speaks of any more.
fn erase_here(tx: &mut dyn Tx, id: Uuid, pushed: &mut Pushed) -> Result<Vec<String>> {
    let Some(row) = tx.first("SELECT line FROM events WHERE id = ?1", cells![id])? else {
        return Ok(Vec::new());
    };
    let stands = row.text(0)?;
    let event = read(&stands)?;
    let left = sync::erased(&event);
    let line = record::write_line(&left);
    if line == stands {
        return Ok(Vec::new());
    }
    if pushed.stored.contains(&id) {
        pushed.otherwise.retain(|other| *other != stands);
        pushed.otherwise.push(line.clone());
    }
    tx.run(
        "UPDATE events SET kind = ?2, hash = ?3, line = ?4 WHERE id = ?1",
        &[Cell::from(id), Cell::from(left.kind()), hash(&line), Cell::Text(line)],
    )?;
    let names = tx.rows("SELECT sha256 FROM pictures WHERE event = ?1", cells![id])?;
    tx.run("DELETE FROM pictures WHERE event = ?1", cells![id])?;
    // The words of its job are made anew; until then it is not to be found by what was erased.
    tx.run("DELETE FROM words WHERE job = ?1", cells![event.job])?;
    tx.run(
        "UPDATE jobs SET stale = 1, title = NULL, summary = NULL, through = NULL WHERE job = ?1",
        cells![event.job],
    )?;
    pushed.jobs.push(event.job);
    let mut gone = Vec::new();
    for name in names.iter().map(|row| row.text(0)) {
        let name = name?;
        if tx.first("SELECT event FROM pictures WHERE sha256 = ?1 LIMIT 1", cells![&name])?.is_none() {
            gone.push(name);
        }
    }
    Ok(gone)
}

/// Gives an event another number, behind all others, and writes down which one it leaves.
fn move_to(tx: &mut dyn Tx, id: Uuid, seq: i64) -> Result<()> {
    tx.run("INSERT INTO moved (seq, event) SELECT seq, id FROM events WHERE id = ?1", cells![id])?;
    tx.run("UPDATE events SET seq = ?2 WHERE id = ?1", cells![id, seq])?;
    tx.run(
        "UPDATE jobs SET last = ?2, first = (SELECT min(seq) FROM events WHERE events.job = jobs.job) \
         WHERE job = (SELECT job FROM events WHERE id = ?1)",
        cells![id, seq],
    )?;
    Ok(())
}

/// What a request changes of a job.
struct JobChange {
    first: i64,
    last: i64,
    events: i64,
    from_ms: i64,
    to_ms: i64,
}

impl JobChange {
    const fn at(seq: i64) -> Self {
        JobChange { first: seq, last: seq, events: 0, from_ms: i64::MAX, to_ms: i64::MIN }
    }

    fn add(&mut self, seq: i64, event: &Event) {
        self.last = seq;
        self.events += 1;
        self.from_ms = self.from_ms.min(event.stamp.ms);
        self.to_ms = self.to_ms.max(event.stamp.ms);
    }

    fn cells(&self, job: Uuid) -> Vec<Cell> {
        cells![job, self.first, self.last, self.events, self.from_ms, self.to_ms].to_vec()
    }
}

pub fn read(line: &str) -> Result<Event> {
    record::read_line(line.as_bytes()).map_err(|_| Error::failed("a stored line is no event; run verify"))
}

pub fn page(tx: &mut dyn Tx, cursor: u64, limit: usize) -> Result<Page> {
    // One more than asked for tells whether there is more.
    let mut rows = tx.rows(
        "SELECT seq, id, line FROM events WHERE seq > ?1 ORDER BY seq LIMIT ?2",
        cells![cursor, limit.saturating_add(1)],
    )?;
    let mut page = Page { lines: Vec::new(), cursor, more: rows.len() > limit };
    rows.truncate(limit);
    let mut bytes = 0;
    for row in &mut rows {
        let line = row.take_text(2)?;
        bytes += line.len();
        if bytes > sync::MESSAGE_BYTES && !page.lines.is_empty() {
            page.more = true;
            break;
        }
        page.cursor = row.count(0)?;
        page.lines.push((row.id(1)?, line));
    }
    Ok(page)
}

/// Returns the answer to a request whose events are stored.
pub fn reply<E: Engine>(engine: &E, push: &Push, pushed: Pushed, limit: usize) -> Result<Pull> {
    let (epoch, page) = engine.read(|tx| {
        let epoch = epoch(tx)?;
        let last = tx.first("SELECT coalesce(max(seq), 0) FROM events", &[])?;
        let last = last.map_or(Ok(0), |row| row.count(0))?;
        // A cursor of another history says nothing about this one.
        let known = push.epoch.is_none_or(|told| told == epoch) && push.cursor <= last;
        let cursor = if known { push.cursor } else { 0 };
        Ok((epoch, page(tx, cursor, limit)?))
    })?;
    let mut otherwise = BTreeMap::new();
    for line in &pushed.otherwise {
        otherwise.insert(read(line)?.id, line.as_str());
    }
    let own: BTreeSet<Uuid> = pushed.stored.iter().copied().collect();
    let mut events = Vec::with_capacity(page.lines.len());
    for (id, line) in &page.lines {
        // What the device has just sent it has, unless it stands here otherwise; that follows below.
        if !own.contains(id) {
            events.push(parse(line)?);
        }
    }
    for line in otherwise.values() {
        events.push(parse(line)?);
    }
    Ok(Pull {
        stored: pushed.stored,
        cursor: page.cursor,
        epoch,
        events,
        more: page.more,
        ahead: pushed.ahead,
        ..Pull::default()
    })
}

fn parse(line: &str) -> Result<Value> {
    serde_json::from_str(line).map_err(|_| Error::failed("a stored line is no JSON; run verify"))
}

pub fn one(tx: &mut dyn Tx, id: Uuid) -> Result<Option<Event>> {
    let row = tx.first("SELECT line FROM events WHERE id = ?1", cells![id])?;
    row.map(|row| read(&row.text(0)?)).transpose()
}

pub fn of_job(tx: &mut dyn Tx, job: Uuid) -> Result<Vec<Event>> {
    let sql = "SELECT line FROM events WHERE job = ?1 ORDER BY stamp_ms, stamp_n, id";
    tx.rows(sql, cells![job])?.iter().map(|row: &Row| read(&row.text(0)?)).collect()
}
