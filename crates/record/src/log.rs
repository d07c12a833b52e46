//! The log as text: one event a line, in JSON; and what can be read of a damaged one.

use crate::event::{Content, Erased, Event, RedactionReason, WireEvent};
use crate::id::{canonical, sha256};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// The version of the log's format that is written.
pub const LOG_VERSION: u32 = 1;

/// The first line of a log.
#[derive(Serialize, Deserialize)]
struct Header {
    gastight_log: u32,
    /// The name of the job, where the log is of one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    job: Option<String>,
}

/// A log as it was read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Log {
    /// The events, in the order of the lines.
    pub events: Vec<Event>,
    /// The format that the log names; absent where its first line was lost.
    pub version: Option<u32>,
    /// The name of the job that the log names; absent where it names none, or several.
    pub name: Option<String>,
    /// The last line, where it is torn: it was never wholly written, and is lost.
    pub torn: Option<BadLine>,
    /// Lines that are no events; kept aside with their numbers.
    pub aside: Vec<BadLine>,
}

/// A line that is no event.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadLine {
    /// Its number in the file, from 1.
    pub number: usize,
    /// What stands in it.
    pub bytes: Vec<u8>,
}

impl Log {
    /// Returns whether the log was written by a newer program; what could be read of it is there all the same.
    #[must_use]
    pub fn is_newer(&self) -> bool {
        self.version.is_some_and(|version| version > LOG_VERSION)
    }
}

/// Reads a log from bytes: any bytes.
///
/// A torn last line loses that line alone. A line in the middle that is no event is kept aside. What this program does
/// not know in an event is kept as it stood.
#[must_use]
pub fn read_log(bytes: &[u8]) -> Log {
    let mut log = Log::default();
    let whole = bytes.last().is_none_or(|last| *last == b'\n');
    let mut lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').collect();
    // The piece behind the last line end is a line only if something stands in it.
    if lines.last().is_some_and(|last| last.is_empty()) {
        lines.pop();
    }
    let count = lines.len();
    let mut names: BTreeSet<String> = BTreeSet::new();
    for (index, line) in lines.into_iter().enumerate() {
        let trimmed = line.trim_ascii();
        if trimmed.is_empty() {
            continue;
        }
        if let Ok(event) = read_line(trimmed) {
            log.events.push(event);
        } else if let Ok(header) = serde_json::from_slice::<Header>(trimmed) {
            // Logs that were put behind each other have several.
            log.version = Some(log.version.map_or(header.gastight_log, |v| v.max(header.gastight_log)));
            names.extend(header.job);
        } else {
            let bad = BadLine { number: index + 1, bytes: line.to_vec() };
            if index + 1 == count && !whole { log.torn = Some(bad) } else { log.aside.push(bad) }
        }
    }
    log.name = names.pop_first().filter(|_| names.is_empty());
    log
}

/// Why a line is no event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineFault {
    /// No JSON.
    NotJson,
    /// JSON, but without what every event has.
    NotAnEvent,
}

/// Reads one event from one line.
///
/// # Errors
/// [`LineFault`] where it is none.
pub fn read_line(line: &[u8]) -> Result<Event, LineFault> {
    let text = core::str::from_utf8(line).map_err(|_| LineFault::NotJson)?.trim();
    let value: Value = serde_json::from_str(text).map_err(|_| LineFault::NotJson)?;
    let wire = WireEvent::deserialize(value).map_err(|_| LineFault::NotAnEvent)?;
    let mut event = Event::from(wire);
    // What this program would write differently was written by another one: its line stays as it is.
    if write_line(&event) != text {
        event.verbatim = Some(text.to_owned());
    }
    Ok(event)
}

/// Returns the line of an event, without its line end.
#[must_use]
pub fn write_line(event: &Event) -> String {
    match &event.verbatim {
        Some(line) => line.clone(),
        // A value of our own types always has a JSON form.
        None => event.to_value().map(|value| canonical(&value)).unwrap_or_default(),
    }
}

/// Returns a log of events, first line and line ends included.
#[must_use]
pub fn write_log(events: &[Event]) -> String {
    write_log_of(None, events)
}

/// Returns a log of the events of one job, which bears its name in the first line.
#[must_use]
pub fn write_log_of(name: Option<&str>, events: &[Event]) -> String {
    let header = Header { gastight_log: LOG_VERSION, job: name.map(str::to_owned) };
    // A header of our own types always has a JSON form.
    let mut out = serde_json::to_string(&header).unwrap_or_default();
    out.push('\n');
    for event in events {
        out.push_str(&write_line(event));
        out.push('\n');
    }
    out
}

/// Returns what to append to a log that holds `existing` so that `events` stand behind it; a torn last line is closed
/// first, so that it takes no other with it.
#[must_use]
pub fn append_text(existing: &[u8], events: &[Event]) -> String {
    if existing.is_empty() {
        return write_log(events);
    }
    let mut out = String::new();
    if existing.last() != Some(&b'\n') {
        out.push('\n');
    }
    for event in events {
        out.push_str(&write_line(event));
        out.push('\n');
    }
    out
}

/// Two logs put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Merged {
    /// Every event once, in the order of the stamps, ties by id.
    pub events: Vec<Event>,
    /// Ids under which different contents stand: somebody wrote an event twice. All of them are in `events`.
    pub clashes: Vec<Uuid>,
}

/// Returns the events of two logs as one set: the same event twice is one, the order of merging does not matter.
///
/// Where a redaction for personal data is among them, the content it names is replaced by its hash. Of two copies
/// that differ in nothing but the stamp, the earlier stamp stays. An erasure reaches the event it names and no other:
/// corrections of it need redactions of their own.
#[must_use]
pub fn merge(one: &[Event], other: &[Event]) -> Merged {
    let erased: BTreeSet<Uuid> = one
        .iter()
        .chain(other)
        .filter_map(|event| match &event.content {
            Content::Redaction(redaction) if redaction.reason == RedactionReason::PersonalData => {
                Some(redaction.of)
            }
            _ => None,
        })
        .collect();
    let mut set: BTreeMap<(Uuid, String), Event> = BTreeMap::new();
    for event in one.iter().chain(other) {
        let event = if erased.contains(&event.id) { erase(event) } else { event.clone() };
        let key = (event.id, identity(&event));
        match set.get_mut(&key) {
            Some(kept) if event.stamp < kept.stamp => *kept = event,
            Some(_) => {}
            None => {
                set.insert(key, event);
            }
        }
    }
    let mut clashes = Vec::new();
    let mut last = None;
    for (id, _) in set.keys() {
        if last == Some(*id) && clashes.last() != Some(id) {
            clashes.push(*id);
        }
        last = Some(*id);
    }
    let mut events: Vec<Event> = set.into_values().collect();
    // The order within one id is that of the set, which is that of the contents.
    events.sort_by_key(|event| (event.stamp, event.id));
    Merged { events, clashes }
}

/// Returns what makes two copies of an event the same: all but the stamp.
pub(crate) fn identity(event: &Event) -> String {
    let value = match &event.verbatim {
        Some(line) => serde_json::from_str(line).ok(),
        None => event.to_value().ok(),
    };
    let Some(Value::Object(mut map)) = value else { return String::new() };
    map.remove("stamp");
    canonical(&Value::Object(map))
}

/// Returns the event with its content replaced by its hash. A redaction keeps its content: it holds no personal data,
/// and without it the erasure would not travel on.
pub(crate) fn erase(event: &Event) -> Event {
    if matches!(event.content, Content::Erased(_) | Content::Redaction(_)) {
        return event.clone();
    }
    // Of what another program wrote the whole body is hashed, so that every replica gets the same hash.
    let written = event.verbatim.as_ref().and_then(|line| serde_json::from_str::<Value>(line).ok());
    let body = match written.as_ref().and_then(|value| value.get("body")) {
        Some(body) => canonical(body),
        None => event.body().map(|body| canonical(&body)).unwrap_or_default(),
    };
    Event {
        content: Content::Erased(Erased { was: event.kind().to_owned(), sha256: sha256(body.as_bytes()) }),
        key: None,
        verbatim: None,
        ..event.clone()
    }
}
