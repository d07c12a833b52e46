//! Rows of a log, read into batches of readings in SI; what cannot be read is counted and named by its line.

use crate::watch::Gases;
use crate::{FIELDS, Layout};
use datafusion::arrow::array::{ArrayRef, Float64Builder, StringBuilder, TimestampSecondBuilder};
use datafusion::arrow::array::{RecordBatch, new_null_array};
use datafusion::arrow::datatypes::{DataType, Field, Schema, SchemaRef, TimeUnit};
use report::Message;
use std::collections::BTreeMap;
use std::io::Write;
use std::sync::{Arc, Mutex};
use units::Date;

/// Bad rows that are named one by one.
pub const NAMED: usize = 20;
/// Seconds from the first row of a log beyond which a clock is taken for one that was reset: ten years.
const CLOCK: u64 = 3653 * 86_400;
/// Rows of one batch.
pub(crate) const BATCH: usize = 8192;

/// What became of the rows.
#[derive(Debug, Default)]
pub struct Tally {
    /// Rows taken.
    pub taken: u64,
    /// Rows left out, each for one reason.
    pub bad: u64,
    /// Rows without a reading in them.
    pub empty: u64,
    /// The first of the bad: line and reason.
    pub named: Vec<(u64, Message)>,
    pub(crate) broken: Option<u64>,
}

/// Returns the schema of a table of readings.
pub(crate) fn schema() -> SchemaRef {
    let mut fields = vec![
        Field::new("time", DataType::Timestamp(TimeUnit::Second, None), false),
        Field::new("system", DataType::Utf8, false),
    ];
    fields.extend(FIELDS.iter().map(|name| Field::new(*name, DataType::Float64, true)));
    Arc::new(Schema::new(fields))
}

/// In which order rows come, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    /// By time.
    Time,
    /// By system, then by time.
    System,
    /// In none.
    None,
}

/// Takes rows and gives batches.
pub(crate) struct Rows {
    layout: Layout,
    places: Vec<usize>,
    time_at: usize,
    system_at: Option<usize>,
    refrigerant_at: Option<usize>,
    comma: bool,
    only: String,
    order: Order,
    first: Option<i64>,
    last: (String, i64),
    times: TimestampSecondBuilder,
    systems: StringBuilder,
    values: Vec<Float64Builder>,
    waiting: usize,
    pub tally: Arc<Mutex<Tally>>,
    here: Tally,
    bad_to: Option<Box<dyn Write + Send>>,
    known: BTreeMap<String, String>,
    gases: Gases,
}

impl Rows {
    /// Returns a taker of rows with these heads; `only` names the system where no column does.
    pub fn new(
        layout: Layout,
        heads: &[String],
        comma: bool,
        only: &str,
        order: Order,
        tally: Arc<Mutex<Tally>>,
        bad_to: Option<Box<dyn Write + Send>>,
        gases: Gases,
    ) -> Self {
        let at = |head: &str| heads.iter().position(|one| one == head).unwrap_or(usize::MAX);
        let places = layout.columns.iter().map(|column| at(&column.head)).collect();
        Self {
            time_at: at(&layout.time),
            system_at: layout.system.as_deref().map(at),
            refrigerant_at: layout.refrigerant.as_deref().map(at),
            places,
            layout,
            comma,
            only: only.to_owned(),
            order,
            first: None,
            last: (String::new(), i64::MIN),
            times: TimestampSecondBuilder::new(),
            systems: StringBuilder::new(),
            values: FIELDS.iter().map(|_| Float64Builder::new()).collect(),
            waiting: 0,
            tally,
            here: Tally::default(),
            bad_to,
            known: BTreeMap::new(),
            gases,
        }
    }

    fn bad(&mut self, line: u64, why: Message) {
        self.here.bad += 1;
        if let Some(out) = &mut self.bad_to {
            // A full disk must not hide the rows that are good; the count is said all the same.
            let _ = writeln!(out, "{line}\t{}", why.id.trim_start_matches("watch-row-"));
        }
        if self.here.named.len() < NAMED {
            self.here.named.push((line, why));
        }
    }

    /// Takes one row; a full batch comes back.
    pub fn take<'a>(&mut self, line: u64, cell: impl Fn(usize) -> Option<&'a str>) -> Option<RecordBatch> {
        let given = cell(self.time_at).unwrap_or_default();
        let Some(time) = seconds(given, self.layout.day_first) else {
            self.bad(line, Message::new("watch-row-time").with("given", shown(given)));
            return None;
        };
        // A clock that was reset to the year of its making, or jumped ahead: one such row would be the newest for ever.
        if time.abs_diff(*self.first.get_or_insert(time)) > CLOCK {
            self.bad(line, Message::new("watch-row-clock").with("given", shown(given)));
            return None;
        }
        let system = match self.system_at {
            Some(at) => cell(at).unwrap_or_default(),
            None => &self.only,
        };
        if system.is_empty() || system.len() > 200 {
            let given = shown(system);
            self.bad(line, Message::new("watch-row-system").with("given", given));
            return None;
        }
        let mut values = [None; FIELDS.len()];
        for (column, at) in self.layout.columns.iter().zip(&self.places) {
            let text = cell(*at).unwrap_or_default();
            if text.is_empty() {
                continue;
            }
            let running = column.field == FIELDS.len() - 1;
            let read = number(text, self.comma).or_else(|| word(text).filter(|_| running));
            let si = read.map(|number| column.line.0 + column.line.1 * number);
            match si.filter(|si| sensible(column.field, *si)) {
                Some(si) => values[column.field] = Some(si),
                None => {
                    let why = Message::new("watch-row-value").with("head", column.head.as_str());
                    let why = why.with("given", shown(text));
                    self.bad(line, why);
                    return None;
                }
            }
        }
        if values.iter().all(Option::is_none) {
            self.here.empty += 1;
            return None;
        }
        let breaks = match self.order {
            Order::None => false,
            Order::Time => time < self.last.1,
            Order::System => (system, time) < (self.last.0.as_str(), self.last.1),
        };
        if breaks && self.here.broken.is_none() {
            self.here.broken = Some(line);
        }
        self.last.1 = time;
        if self.order == Order::System && self.last.0 != system {
            self.last.0.clear();
            self.last.0.push_str(system);
        }
        if let Some(named) = self.refrigerant_at.and_then(&cell).filter(|named| !named.is_empty())
            && self.known.get(system).is_none_or(|before| before != named)
        {
            if !self.gases.set(system, named) {
                self.bad(line, Message::new("watch-row-refrigerant").with("given", shown(named)));
                return None;
            }
            self.known.insert(system.to_owned(), named.to_owned());
        }
        self.times.append_value(time);
        self.systems.append_value(system);
        for (builder, value) in self.values.iter_mut().zip(values) {
            builder.append_option(value);
        }
        self.here.taken += 1;
        self.waiting += 1;
        (self.waiting >= BATCH).then(|| self.batch()).flatten()
    }

    /// Returns what waits as a batch, and tells the tally.
    pub fn batch(&mut self) -> Option<RecordBatch> {
        if let Some(out) = &mut self.bad_to {
            let _ = out.flush();
        }
        let here = std::mem::take(&mut self.here);
        let mut tally = self.tally.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        tally.taken += here.taken;
        tally.bad += here.bad;
        tally.empty += here.empty;
        let room = NAMED.saturating_sub(tally.named.len());
        tally.named.extend(here.named.into_iter().take(room));
        tally.broken = tally.broken.or(here.broken);
        drop(tally);
        if self.waiting == 0 {
            return None;
        }
        let rows = std::mem::take(&mut self.waiting);
        let mut arrays: Vec<ArrayRef> = vec![Arc::new(self.times.finish()), Arc::new(self.systems.finish())];
        for builder in &mut self.values {
            let array = builder.finish();
            let absent = datafusion::arrow::array::Array::null_count(&array) == rows;
            arrays.push(if absent { new_null_array(&DataType::Float64, rows) } else { Arc::new(array) });
        }
        RecordBatch::try_new(schema(), arrays).ok()
    }
}

fn shown(text: &str) -> String {
    text.chars().take(40).collect()
}

/// What a reading can be: 1 kPa to 15 MPa, 150 to 500 K, a share.
fn sensible(field: usize, si: f64) -> bool {
    match field {
        0 | 1 => (1e3..=1.5e7).contains(&si),
        2..=6 => (150.0..=500.0).contains(&si),
        _ => (-0.001..=1.05).contains(&si),
    }
}

fn number(text: &str, comma: bool) -> Option<f64> {
    let plain = text.parse::<f64>().ok().filter(|number| number.is_finite());
    if plain.is_none() && comma && !text.contains('.') && text.matches(',').count() == 1 {
        return text.replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite());
    }
    plain
}

fn word(text: &str) -> Option<f64> {
    match text.to_ascii_lowercase().as_str() {
        "on" | "true" | "yes" | "running" => Some(1.0),
        "off" | "false" | "no" | "stopped" | "defrost" => Some(0.0),
        _ => None,
    }
}

/// Returns the seconds since 1970 by the clock that wrote them; with `Z` or an offset, in UTC.
pub(crate) fn seconds(text: &str, day_first: Option<bool>) -> Option<i64> {
    let text = text.trim();
    let (day, clock) = text.split_once(['T', ' '])?;
    let mut parts = day.split(['-', '/', '.']);
    let (a, b, c) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() {
        return None;
    }
    let (year, month, day) = match (a.len() == 4, day_first) {
        (true, _) => (a, b, c),
        (false, Some(true)) => (c, b, a),
        (false, Some(false)) => (c, a, b),
        (false, None) => return None,
    };
    let whole = |text: &str| -> Option<u32> {
        (text.len() <= 4 && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok()).flatten()
    };
    let date = Date::new(i32::try_from(whole(year)?).ok()?, whole(month)?, whole(day)?).ok()?;
    let clock = clock.trim();
    let (clock, offset) = match clock.find(['Z', '+', '-']) {
        None => (clock, 0),
        Some(at) if &clock[at..] == "Z" => (&clock[..at], 0),
        Some(at) => {
            let (hours, minutes) = clock[at + 1..].split_once(':')?;
            let size = i64::from(whole(hours)?) * 3600 + i64::from(whole(minutes)?) * 60;
            (&clock[..at], if clock[at..].starts_with('-') { -size } else { size })
        }
    };
    let mut parts = clock.splitn(3, ':');
    let (hour, minute) = (whole(parts.next()?.trim())?, whole(parts.next()?)?);
    let second = match parts.next() {
        None => 0,
        Some(text) => whole(text.split('.').next()?)?,
    };
    if hour > 23 || minute > 59 || second > 60 {
        return None;
    }
    let of_day = i64::from(hour * 3600 + minute * 60 + second);
    Some(i64::from(date.day_number()) * 86_400 + of_day - offset)
}

#[cfg(test)]
mod tests {
    use super::seconds;

    #[test]
    fn a_moment_is_read_or_refused_never_guessed() {
        assert_eq!(seconds("1970-01-02 00:01", None), Some(86_460));
        assert_eq!(seconds("1970-01-02T00:01:30.5", None), Some(86_490));
        assert_eq!(seconds("1970-01-01T02:00:00+02:00", None), Some(0));
        assert_eq!(seconds("1970-01-01T00:00Z", None), Some(0));
        assert_eq!(seconds("02/01/1970 00:01", Some(true)), Some(86_460));
        assert_eq!(seconds("01/02/1970 00:01", Some(false)), Some(86_460));
        for text in ["02/01/1970 00:01", "1970-02-30 00:00", "1970-01-02", "1970-01-02 24:00", "", "noon"] {
            assert_eq!(seconds(text, None), None, "{text}");
        }
    }
}
