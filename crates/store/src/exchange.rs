//! Taking the record out in open forms, and in again: JSON Lines, CSV, pictures.

use crate::api::{Sender, Store};
use crate::error::{Error, Result};
use record::sync::{MESSAGE_BYTES, PUSH_EVENTS};
use serde_json::Value;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::Path;
use uuid::Uuid;

/// What an export wrote.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Exported {
    /// How many events.
    pub events: u64,
    /// How many pictures.
    pub pictures: u64,
}

/// What an import brought.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// How many events were new.
    pub new: u64,
    /// How many were here already.
    pub known: u64,
    /// Ids under which other content stands here; those events were not taken.
    pub refused: Vec<Uuid>,
    /// Numbers of lines that are no events, from 1.
    pub aside: Vec<usize>,
    /// How many pictures were taken in.
    pub pictures: u64,
    /// Names of pictures whose bytes are not what they are named after.
    pub bad_pictures: Vec<String>,
}

/// Writes everything into an empty folder: `events.jsonl`, which is a log that the command line reads, a CSV of each
/// table, and `pictures/`. Hashes of passwords and tokens are left out.
///
/// # Errors
/// [`Error::NotEmpty`] where the folder is not empty.
pub fn export(store: &dyn Store, into: &Path) -> Result<Exported> {
    std::fs::create_dir_all(into).map_err(Error::at(into))?;
    if std::fs::read_dir(into).map_err(Error::at(into))?.next().is_some() {
        return Err(Error::NotEmpty);
    }
    let mut done = Exported::default();
    let mut log = Table::begin(into, "events.jsonl")?;
    log.text(&record::write_log(&[]))?;
    let mut events = Table::begin(into, "events.csv")?;
    events.row(&["id", "job", "kind", "by", "device", "stamp_ms", "stamp_n"])?;
    let mut cursor = 0;
    loop {
        let page = store.pull(cursor, 2_000)?;
        for (id, line) in &page.lines {
            log.text(line)?;
            log.text("\n")?;
            let event = record::read_line(line.as_bytes())
                .map_err(|_| Error::failed(format!("event {id} does not read; run verify")))?;
            events.row(&[
                &event.id.to_string(),
                &event.job.to_string(),
                event.kind(),
                event.by.as_deref().unwrap_or_default(),
                event.device.as_deref().unwrap_or_default(),
                &event.stamp.ms.to_string(),
                &event.stamp.n.to_string(),
            ])?;
            done.events += 1;
        }
        cursor = page.cursor;
        if !page.more {
            break;
        }
    }
    log.end()?;
    events.end()?;
    jobs(store, into)?;
    people(store, into)?;
    audits(store, into)?;

    let folder = into.join("pictures");
    std::fs::create_dir_all(&folder).map_err(Error::at(&folder))?;
    for name in store.pictures(None, usize::MAX)? {
        if let Some(from) = store.picture(&name)? {
            std::fs::copy(&from, folder.join(&name)).map_err(Error::at(&from))?;
            done.pictures += 1;
        }
    }
    Ok(done)
}

fn jobs(store: &dyn Store, into: &Path) -> Result<()> {
    let mut table = Table::begin(into, "jobs.csv")?;
    table.row(&["job", "events", "from_ms", "to_ms", "system", "title"])?;
    let mut after = None;
    loop {
        let page = store.jobs(after, 500)?;
        for job in &page {
            let summary = job.summary.clone().unwrap_or_default();
            table.row(&[
                &job.job.to_string(),
                &job.events.to_string(),
                &job.from_ms.to_string(),
                &job.to_ms.to_string(),
                &text(summary.system),
                &summary.title,
            ])?;
        }
        match page.last() {
            Some(last) => after = Some(last.first),
            None => return table.end(),
        }
    }
}

fn people(store: &dyn Store, into: &Path) -> Result<()> {
    let mut table = Table::begin(into, "people.csv")?;
    table.row(&["id", "name", "role", "active", "created_ms"])?;
    for person in store.people()? {
        table.row(&[
            &person.id.to_string(),
            &person.name,
            person.role.as_str(),
            if person.active { "yes" } else { "no" },
            &person.created.to_string(),
        ])?;
    }
    table.end()?;
    let mut table = Table::begin(into, "devices.csv")?;
    table.row(&["id", "person", "name", "created_ms", "seen_ms", "revoked_ms"])?;
    for device in store.devices()? {
        table.row(&[
            &device.id.to_string(),
            &device.person.to_string(),
            &device.name,
            &device.created.to_string(),
            &text(device.seen),
            &text(device.revoked),
        ])?;
    }
    table.end()
}

fn audits(store: &dyn Store, into: &Path) -> Result<()> {
    let mut table = Table::begin(into, "audit.csv")?;
    table.row(&["number", "at_ms", "person", "device", "what", "on", "detail"])?;
    let mut before = None;
    loop {
        let page = store.audits(before, 500)?;
        for entry in &page {
            table.row(&[
                &entry.number.to_string(),
                &entry.at.to_string(),
                &text(entry.person),
                &text(entry.device),
                &entry.what,
                entry.on.as_deref().unwrap_or_default(),
                entry.detail.as_deref().unwrap_or_default(),
            ])?;
        }
        match page.last() {
            Some(last) => before = Some(last.number),
            None => return table.end(),
        }
    }
}

fn text(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

/// A file that is being written.
struct Table {
    path: std::path::PathBuf,
    out: BufWriter<File>,
}

impl Table {
    fn begin(dir: &Path, name: &str) -> Result<Self> {
        let path = dir.join(name);
        let out = BufWriter::new(File::create(&path).map_err(Error::at(&path))?);
        Ok(Table { path, out })
    }

    fn text(&mut self, text: &str) -> Result<()> {
        self.out.write_all(text.as_bytes()).map_err(Error::at(&self.path))
    }

    /// Writes a row as RFC 4180 has it.
    fn row(&mut self, fields: &[&str]) -> Result<()> {
        let row: Vec<String> = fields.iter().map(|field| csv_field(field)).collect();
        self.text(&row.join(","))?;
        self.text("\r\n")
    }

    fn end(mut self) -> Result<()> {
        self.out.flush().map_err(Error::at(&self.path))?;
        self.out.get_ref().sync_all().map_err(Error::at(&self.path))
    }
}

/// Returns a field of a CSV. One that a spreadsheet would take for a formula gets an apostrophe before it.
fn csv_field(text: &str) -> String {
    let number = text.parse::<f64>().is_ok();
    let formula = !number && text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains(['"', ',', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

/// Takes in a log, or the folder of an export with its pictures. What is here already is no fault; what stands here
/// with other content is not taken, and told.
///
/// # Errors
/// [`Error::Failed`] where it cannot be read.
pub fn import(store: &dyn Store, from: &Path, now: i64) -> Result<Imported> {
    let mut done = Imported::default();
    let log = if from.is_dir() { from.join("events.jsonl") } else { from.to_owned() };
    let bytes = std::fs::read(&log).map_err(Error::at(&log))?;
    let log = record::read_log(&bytes);
    done.aside = log.aside.iter().chain(&log.torn).map(|line| line.number).collect();
    let mut values = Vec::with_capacity(log.events.len());
    for event in &log.events {
        let line = record::write_line(event);
        let value: Value = serde_json::from_str(&line).map_err(Error::failed)?;
        values.push((event.id, line.len(), value));
    }
    let mut rest = values.as_slice();
    while !rest.is_empty() {
        let mut bytes = 0;
        let fits = rest.iter().take(PUSH_EVENTS).take_while(|(_, size, _)| {
            bytes += size;
            bytes <= MESSAGE_BYTES
        });
        let count = fits.count().max(1);
        let (group, after) = rest.split_at(count);
        rest = after;
        let mut events: Vec<Value> = group.iter().map(|(_, _, value)| value.clone()).collect();
        loop {
            match store.push(&Sender::default(), &events, now) {
                Ok(pushed) => {
                    done.new += pushed.new;
                    done.known += pushed.stored.len() as u64 - pushed.new;
                    break;
                }
                Err(Error::Refused { ids }) => {
                    events.retain(|value| {
                        let id = value.get("id").and_then(Value::as_str).and_then(|id| id.parse().ok());
                        id.is_none_or(|id: Uuid| !ids.contains(&id))
                    });
                    done.refused.extend(ids);
                }
                Err(e) => return Err(e),
            }
        }
    }
    let folder = from.join("pictures");
    if folder.is_dir() {
        for entry in std::fs::read_dir(&folder).map_err(Error::at(&folder))? {
            let path = entry.map_err(Error::at(&folder))?.path();
            let Some(name) = path.file_name().and_then(|name| name.to_str()) else { continue };
            match picture(store, &path, name) {
                Ok(()) => done.pictures += 1,
                Err(
                    Error::HashMismatch { .. }
                    | Error::NotAHash { .. }
                    | Error::PictureTooLarge { .. }
                    // Nothing came: the file is empty.
                    | Error::NotFound { .. },
                ) => {
                    done.bad_pictures.push(name.to_owned());
                }
                Err(e) => return Err(e),
            }
        }
    }
    Ok(done)
}

fn picture(store: &dyn Store, path: &Path, name: &str) -> Result<()> {
    let bytes = std::fs::read(path).map_err(Error::at(path))?;
    loop {
        let state = store.picture_state(name)?;
        if state.complete {
            return Ok(());
        }
        let at = usize::try_from(state.offset).unwrap_or(usize::MAX);
        let Some(rest) = bytes.get(at..).filter(|rest| !rest.is_empty()) else {
            return store.picture_finish(name);
        };
        let piece = &rest[..rest.len().min(record::sync::CHUNK_BYTES)];
        store.picture_append(name, state.offset, piece)?;
    }
}

#[cfg(test)]
mod tests {
    use super::csv_field;

    #[test]
    fn fields_are_quoted_and_formulas_disarmed() {
        assert_eq!(csv_field("plain"), "plain");
        assert_eq!(csv_field("-12.5"), "-12.5");
        assert_eq!(csv_field("=2+3"), "'=2+3");
        assert_eq!(csv_field("a \"b\", c\nd"), "\"a \"\"b\"\", c\nd\"");
    }
}
