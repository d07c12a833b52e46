//! Which column of a log is what, and in which unit.

use crate::Fault;
use report::Message;
use units::{Atmosphere, Fraction, PressureReading, Quantity, Temperature};

/// What a reading may hold besides its time and system, in the order of a table of readings.
///
/// The names are those of a `reading` in a job file; `running` is ours: the share of the time the compressor ran.
pub const FIELDS: [&str; 9] = [
    "suction_pressure",
    "discharge_pressure",
    "suction_line",
    "liquid_line",
    "discharge_line",
    "box_air",
    "ambient",
    "receiver_level",
    "running",
];

/// A column of readings: its head, its place in [`FIELDS`], and how its number becomes SI: `a + b x`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Column {
    pub head: String,
    pub field: usize,
    pub line: (f64, f64),
}

/// How a log is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    pub(crate) time: String,
    pub(crate) day_first: Option<bool>,
    pub(crate) system: Option<String>,
    pub(crate) refrigerant: Option<String>,
    pub(crate) columns: Vec<Column>,
}

impl Layout {
    /// Returns the layout that the heads themselves say: `time`, `system`, `refrigerant`, and `FIELD UNIT` such as
    /// `suction_pressure psig`; other columns are left alone.
    ///
    /// # Errors
    /// No time, no reading, or a unit that is none.
    pub fn of_heads(heads: &[String], air: Atmosphere) -> Result<Self, Fault> {
        let mut columns = Vec::new();
        for head in heads {
            let (field, unit) = head.trim().split_once(' ').unwrap_or((head.trim(), ""));
            if FIELDS.contains(&field) {
                columns.push(column(head, field, unit, air)?);
            }
        }
        let there = |name: &str| heads.iter().any(|head| head == name).then(|| name.to_owned());
        let Some(time) = there("time").filter(|_| !columns.is_empty()) else {
            let message = Message::new("watch-no-layout").with("heads", heads.join(", "));
            return Err(Fault::new("no_layout", "--map", heads.join(", "), "columns.toml", message));
        };
        let (system, refrigerant) = (there("system"), there("refrigerant"));
        Ok(Self { time, day_first: None, system, refrigerant, columns })
    }

    /// Returns the layout of a `columns.toml` whose columns all stand among `heads`; of several the one with the most.
    ///
    /// # Errors
    /// The text is no such file, none of its tables fits, or a field or unit is none.
    pub fn of_map(text: &str, heads: &[String], air: Atmosphere) -> Result<Self, Fault> {
        let document: toml_edit::DocumentMut = text.parse().map_err(|error: toml_edit::TomlError| {
            let message = Message::new("watch-bad-map").with("why", error.to_string());
            Fault::new("not_a_map", "--map", "", "gastight_columns = 1", message)
        })?;
        let word = |table: &dyn toml_edit::TableLike, key: &str| {
            table.get(key).and_then(toml_edit::Item::as_str).map(str::to_owned)
        };
        let mut best: Option<Self> = None;
        let mut lacking: Vec<String> = Vec::new();
        let tables = document.get("table").and_then(toml_edit::Item::as_array_of_tables);
        for table in tables.into_iter().flatten() {
            let Some(time) = word(table, "time") else { continue };
            let (system, refrigerant) = (word(table, "system"), word(table, "refrigerant"));
            let mut columns = Vec::new();
            let listed = table.get("column").and_then(toml_edit::Item::as_array_of_tables);
            for one in listed.into_iter().flatten() {
                let (Some(head), Some(field)) = (word(one, "head"), word(one, "field")) else { continue };
                columns.push(column(&head, &field, &word(one, "unit").unwrap_or_default(), air)?);
            }
            let named = columns.iter().map(|column| &column.head);
            let wanted = [Some(&time), system.as_ref(), refrigerant.as_ref()].into_iter().flatten();
            let missing: Vec<String> =
                named.chain(wanted).filter(|head| !heads.contains(head)).cloned().collect();
            if !missing.is_empty() {
                lacking = missing;
                continue;
            }
            let day_first = word(table, "days").map(|order| order == "first");
            let more = best.as_ref().is_none_or(|best| columns.len() > best.columns.len());
            if more && !columns.is_empty() {
                best = Some(Self { time, day_first, system, refrigerant, columns });
            }
        }
        best.ok_or_else(|| {
            let message = Message::new("watch-no-table")
                .with("heads", heads.join(", "))
                .with("lacking", lacking.join(", "));
            Fault::new("no_table", "--map", lacking.join(", "), heads.join(", "), message)
        })
    }
}

fn column(head: &str, field: &str, unit: &str, air: Atmosphere) -> Result<Column, Fault> {
    let at = FIELDS.iter().position(|one| *one == field).ok_or_else(|| {
        let message = Message::new("watch-no-field").with("given", field).with("fields", FIELDS.join(", "));
        Fault::new("no_field", "--map", field, FIELDS[0], message)
    })?;
    // Read by the one reader of units, at two numbers: every unit here is a line.
    let read = |number: f64| -> Option<f64> {
        let text = format!("{number} {unit}");
        match at {
            0 | 1 => text.parse::<PressureReading>().ok().map(|p| p.absolute(air).pascal()),
            2..=6 => text.parse::<Temperature>().ok().map(Temperature::kelvin),
            7 => text.trim().parse::<Fraction>().ok().map(|f| f.si()),
            _ if unit.is_empty() => Some(number),
            _ => text.trim().parse::<Fraction>().ok().map(|f| f.si()),
        }
    };
    let (Some(a), Some(b)) = (read(0.25), read(0.5)) else {
        let sensible = match at {
            0 | 1 => "psig",
            2..=6 => "C",
            _ => "%",
        };
        let message =
            Message::new("watch-no-unit").with("head", head).with("given", unit).with("sensible", sensible);
        return Err(Fault::new("no_unit", "--map", unit, sensible, message));
    };
    let slope = (b - a) / 0.25;
    Ok(Column { head: head.to_owned(), field: at, line: (a - 0.25 * slope, slope) })
}
