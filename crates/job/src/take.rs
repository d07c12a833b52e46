//! A table from elsewhere taken into a visit: what a logger or probe exported, or a paper log typed up; which column is what is
//! said once.

use crate::problems;
use crate::visit::Visit;
use record::{Around, Body, Observation, When};
use report::Message;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use units::{Duration, Quantity};

/// Entries that one table adds at most: a logger's year is no visit.
pub const MOST: usize = 2_000;
/// Bad rows that are named one by one.
const NAMED: usize = 20;
/// The least time between two readings taken, where nobody says.
pub const EVERY: Duration = Duration::from_second(300.0);
/// The kind of entry that a table holds where nobody says.
pub const READING: &str = "reading";
/// The kinds of entry that a table can hold: what a logger measures, and what a paper log tells.
pub const KINDS: [&str; 5] = [READING, "past change", "leak check", "repair", "note"];

/// A column and what it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// What stands at its head.
    pub head: String,
    /// The field of the entry.
    pub field: String,
    /// The unit of its cells; empty where it has none, or where each cell has its own.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
}

/// How a table is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Layout {
    /// The kind of entry that each row is.
    pub kind: String,
    /// The head of the column with the day, or day and time.
    pub time: String,
    /// Whether the day stands first in 06/05/2031; absent where the table has no such days.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day_first: Option<bool>,
    /// Fields that are the same in each row.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set: Vec<(String, String)>,
    /// The columns.
    pub columns: Vec<Column>,
}

impl Layout {
    /// Returns whether all its columns stand under these heads.
    #[must_use]
    pub fn fits(&self, heads: &[String]) -> bool {
        !self.columns.is_empty()
            && heads.contains(&self.time)
            && self.columns.iter().all(|column| heads.contains(&column.head))
    }
}

/// Returns the layout for a table with these heads; of several that fit the one with the most columns, the last of those.
#[must_use]
pub fn known<'a>(layouts: &'a [Layout], heads: &[String]) -> Option<&'a Layout> {
    layouts.iter().filter(|layout| layout.fits(heads)).max_by_key(|layout| layout.columns.len())
}

/// Returns whether an entry of this kind has this field, by which a column can be named.
#[must_use]
pub fn is_field(kind: &str, field: &str) -> bool {
    record::form::form(kind).is_some_and(|form| form.fields.iter().any(|one| one.key == field))
        || field == "note"
        || field == "place"
        || field == "by"
}

/// A table as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// What stands at the head of each column.
    pub heads: Vec<String>,
    /// The rows, each with the line of the file it begins on.
    pub rows: Vec<(u64, Vec<String>)>,
}

/// Returns a table with a head, its columns parted by the mark that stands most often in the head: comma, semicolon or tab.
///
/// # Errors
/// A sentence, where it is no such table (RFC 4180).
pub fn table(bytes: &[u8]) -> Result<Table, Message> {
    let text = String::from_utf8_lossy(bytes);
    let text = text.trim_start_matches('\u{feff}');
    let head = text.lines().next().unwrap_or_default();
    let mark = [b',', b';', b'\t'].into_iter().max_by_key(|mark| head.bytes().filter(|b| b == mark).count());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(mark.unwrap_or(b','))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let unreadable = |error: csv::Error| Message::new("take-no-table").with("why", error.to_string());
    let heads: Vec<String> = reader.headers().map_err(unreadable)?.iter().map(str::to_owned).collect();
    let mut rows = Vec::new();
    for row in reader.records() {
        let row = row.map_err(unreadable)?;
        let line = row.position().map_or(0, csv::Position::line);
        rows.push((line, row.iter().map(str::to_owned).collect()));
    }
    Ok(Table { heads, rows })
}

/// What a table gave.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// What was seen, in the order of the rows; with the fields as text, as a job file has them.
    pub entries: Vec<(Observation, Vec<(String, String)>)>,
    /// The first bad rows: line, and why it was left out.
    pub bad: Vec<(u64, Message)>,
    /// How many rows were bad.
    pub all_bad: usize,
    /// How many stand in the record already.
    pub again: usize,
    /// How many readings were left out, as too near to the one before.
    pub between: usize,
}

impl Taken {
    /// Returns what was taken and what was left out, in a sentence.
    #[must_use]
    pub fn words(&self) -> Message {
        Message::new("take-done")
            .with("taken", self.entries.len())
            .with("again", self.again)
            .with("between", self.between)
            .with("bad", self.all_bad)
    }
}

/// Why a table cannot be taken at all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TakeFault {
    /// The table lacks this column.
    NoColumn(String),
    /// It has more entries than one table may add.
    TooMany,
}

/// Returns what a table adds to a visit. What stands there is not touched, and nothing is taken twice.
///
/// # Errors
/// [`TakeFault`]; single bad rows are none: they are left out and named.
pub fn take(visit: &Visit, table: &Table, layout: &Layout, every: Duration) -> Result<Taken, TakeFault> {
    let at = |head: &str| {
        let found = table.heads.iter().position(|one| one == head);
        found.ok_or_else(|| TakeFault::NoColumn(head.to_owned()))
    };
    let time_at = at(&layout.time)?;
    let mut columns = Vec::new();
    for column in &layout.columns {
        columns.push((at(&column.head)?, column));
    }
    let logs = layout.kind == READING;
    // History has its day in a field of its own.
    let day_field = if layout.kind == "past change" { "on" } else { "at" };
    // Read by the site's own clock; the place of the last entry is not that of a logger.
    let now = crate::stage::last_moment(visit).or(visit.day().map(When::Date));
    let around = match &now {
        Some(now) => Around { place: None, at: None, ..crate::entry::around(visit, now) },
        None => Around::default(),
    };
    let entries = || visit.earlier.iter().chain([visit]).flat_map(|visit| &visit.current.entries);
    let there: BTreeSet<i64> = entries()
        .filter(|entry| matches!(entry.what(), Body::Reading(_)))
        .filter_map(|entry| entry.seen.at.as_ref().map(When::unix_millis))
        .collect();
    let apart = ((every.si() * 1000.0) as i64).clamp(1, 366 * 86_400_000);
    let mut out = Taken::default();
    let mut last: Option<i64> = None;
    for (line, row) in &table.rows {
        let cell = |at: usize| row.get(at).map(String::as_str).unwrap_or_default();
        let mut refuse = |why: Message| {
            out.all_bad += 1;
            if out.bad.len() < NAMED {
                out.bad.push((*line, why));
            }
        };
        let Some(moment) = moment(cell(time_at), layout.day_first, !logs) else {
            if row.iter().any(|cell| !cell.is_empty()) {
                refuse(Message::new("take-no-time").with("given", cell(time_at)));
            }
            continue;
        };
        let mut fields: Vec<(String, String)> = vec![(day_field.to_owned(), moment)];
        if day_field == "on" {
            // The hour of what is long past says nothing.
            fields[0].1.truncate(10);
        }
        fields.extend(layout.set.iter().cloned());
        let fixed = fields.len();
        for (at, column) in &columns {
            // An empty cell is nothing read.
            let cell = cell(*at);
            if !cell.is_empty() {
                fields.push((column.field.clone(), with_unit(cell, &column.unit)));
            }
        }
        if fields.len() == fixed {
            continue;
        }
        let borrowed: Vec<(&str, &str)> =
            fields.iter().map(|(field, text)| (field.as_str(), text.as_str())).collect();
        let seen = match record::read_entry(&layout.kind, &borrowed, &around) {
            Ok(seen) => seen,
            Err(found) => {
                refuse(found.first.first().map_or_else(|| Message::new("take-no-row"), problems::sentence));
                continue;
            }
        };
        if logs {
            let Some(millis) = seen.at.as_ref().map(When::unix_millis) else { continue };
            if there.contains(&millis) {
                out.again += 1;
                continue;
            }
            // As near to one that is there already as to the last one taken.
            let near = there.range(millis - apart + 1..millis + apart).next().is_some();
            if near || last.is_some_and(|last| millis - last < apart) {
                out.between += 1;
                continue;
            }
            last = Some(millis);
        } else {
            let same = |other: &Observation| {
                other.what == seen.what
                    && other.note == seen.note
                    && other.at.as_ref().map(When::unix_millis) == seen.at.as_ref().map(When::unix_millis)
            };
            if entries().any(|entry| same(&entry.seen)) || out.entries.iter().any(|(other, _)| same(other)) {
                out.again += 1;
                continue;
            }
        }
        out.entries.push((seen, fields));
        if out.entries.len() > MOST {
            return Err(TakeFault::TooMany);
        }
    }
    Ok(out)
}

/// A cell with the unit of its column, unless it ends in one of its own or is a word.
fn with_unit(cell: &str, unit: &str) -> String {
    let bare = cell.ends_with(|last: char| last.is_ascii_digit() || last == '.' || last == ',');
    if bare && !unit.is_empty() { format!("{cell} {unit}") } else { cell.to_owned() }
}

/// Returns a moment as the record writes it: from `2031-05-06 14:20`, with seconds or without, or from days that stand first or
/// second where that was said; a day alone where that is enough.
fn moment(text: &str, day_first: Option<bool>, day_is_enough: bool) -> Option<String> {
    let text = text.trim();
    let (day, time) = match text.split_once(['T', ' ']) {
        Some((day, time)) => (day, Some(time)),
        None => (text, None),
    };
    let parts: Vec<&str> = day.split(['-', '/', '.']).collect();
    let [a, b, c] = parts.as_slice() else { return None };
    let (year, month, day) = match (a.len() == 4, day_first) {
        (true, _) => (*a, *b, *c),
        (false, Some(true)) => (*c, *b, *a),
        (false, Some(false)) => (*c, *a, *b),
        // Nobody can tell the sixth of May from the fifth of June.
        (false, None) => return None,
    };
    let number = |text: &str, most: u32| text.trim().parse::<u32>().ok().filter(|number| *number <= most);
    let (year, month, day) = (number(year, 2200)?, number(month, 12)?, number(day, 31)?);
    if year < 1900 {
        return None;
    }
    let date = format!("{year:04}-{month:02}-{day:02}");
    match time {
        None if day_is_enough => Some(date),
        None => None,
        Some(time) => {
            let mut clock = time.trim().splitn(3, ':');
            let (hour, minute) = (number(clock.next()?, 23)?, number(clock.next()?, 59)?);
            Some(format!("{date}T{hour:02}:{minute:02}"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_is_read_or_refused_never_guessed() {
        let iso = Some("2031-05-06T14:20".to_owned());
        assert_eq!(moment("2031-05-06 14:20", None, false), iso);
        assert_eq!(moment("2031-05-06T14:20:31", None, false), iso);
        assert_eq!(moment("06/05/2031 14:20", Some(true), false), iso);
        assert_eq!(moment("5/6/2031 14:20", Some(false), false), iso);
        for text in ["06/05/2031 14:20", "2031-05-06", "2031-13-06 14:20", "2031-05-06 24:20", "", "noon"] {
            assert_eq!(moment(text, None, false), None, "{text}");
        }
        assert_eq!(moment("5.6.2031", Some(true), true), Some("2031-06-05".to_owned()));
        assert_eq!(moment("5.6.31", Some(true), true), None);
    }

    #[test]
    fn a_cell_keeps_a_unit_of_its_own() {
        assert_eq!(with_unit("2.5", "lb"), "2.5 lb");
        assert_eq!(with_unit("2 lb 3 oz", "lb"), "2 lb 3 oz");
        assert_eq!(with_unit("unknown", "lb"), "unknown");
        assert_eq!(with_unit("12", ""), "12");
    }
}
