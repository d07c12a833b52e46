//! A table from elsewhere taken into a visit's file; how its columns were read is remembered beside it.

use crate::Outcome;
use crate::jobs::{read_bytes_up_to, refused};
use crate::options::Options;
use crate::records::Record;
use crate::search::{quoted, tick};
use job::Refused;
use job::take::{self, Column, EVERY, KINDS, Layout, MOST, READING, TakeFault, is_field};
use record::LARGEST_FILE;
use report::Message;
use std::path::{Path, PathBuf};
use toml_edit::DocumentMut;
use wording::Wording;

/// Where the layouts are remembered.
const LAYOUTS: &str = "columns.toml";

/// Answers `gastight job take`.
pub fn run(
    path: &str,
    record: &Record,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let given = options.text("table").unwrap_or_default();
    let bytes = read_bytes_up_to(given, "log.csv", LARGEST_FILE as u64)?;
    let table =
        take::table(&bytes).map_err(|message| Refused::new("not_a_table", "--table", given, "", message))?;
    let remembered = layouts_path(path);
    let (layout, is_new) = match said(options)? {
        Some(layout) => (layout, true),
        None => (known(&remembered, &table.heads)?, false),
    };
    let every = options.read("every")?.unwrap_or(EVERY);
    let taken = take::take(&record.visit(), &table, &layout, every).map_err(|fault| match fault {
        TakeFault::NoColumn(head) => {
            let heads = table.heads.join(", ");
            let message = Message::new("take-no-column").with("head", head.as_str()).with("heads", heads);
            let first = table.heads.first().map_or("", String::as_str);
            Refused::new("no_column", "--column", head.as_str(), first, message)
        }
        TakeFault::TooMany => {
            let message = Message::new("take-too-many").with("most", MOST);
            Refused::new("too_many", "--every", options.text("every").unwrap_or_default(), "15min", message)
        }
    })?;
    let mut entries = String::new();
    for (_, fields) in &taken.entries {
        entries.push_str(&format!("\n[[entry]]\nkind = {}\n", quoted(&layout.kind)));
        for (field, text) in fields {
            // A moment stands without quotes, as a person writes it; so does a day.
            let bare = matches!(field.as_str(), "at" | "on");
            let text = if bare { text.clone() } else { quoted(text) };
            entries.push_str(&format!("{field} = {text}\n"));
        }
    }
    let seen: Vec<record::Observation> = taken.entries.iter().map(|(seen, _)| seen.clone()).collect();
    append(path, record, &entries, &seen, wording)?;
    if is_new && !seen.is_empty() {
        remember(&remembered, &layout)?;
    }
    let mut lines: Vec<String> = taken
        .bad
        .iter()
        .map(|(line, why)| {
            let why = wording.say(why);
            wording.say(&Message::new("batch-bad-row").with("line", line.to_string()).with("why", why))
        })
        .collect();
    lines.push(wording.say(&taken.words()));
    Ok(Outcome { text: lines.join("\n"), failed: taken.all_bad > 0 })
}

/// Adds the readings: to a job file as entries, to a log as events. Nothing that stands there is touched.
fn append(
    path: &str,
    record: &Record,
    entries: &str,
    seen: &[record::Observation],
    wording: &Wording,
) -> Result<(), Refused> {
    if seen.is_empty() {
        return Ok(());
    }
    let bytes = read_bytes_up_to(path, "visit.toml", LARGEST_FILE as u64)?;
    let addition = if bytes.trim_ascii_start().first() == Some(&b'{') {
        let events: Vec<record::Event> = record.visits.last().cloned().unwrap_or_default();
        let Some(job) = events.first().map(|event| event.job) else {
            return Err(Refused::new("unknown_job", "FILE", path, "", Message::new("cli-log-no-job")));
        };
        let mut maker = job::entry::Maker::new(job, None, None, &events);
        let made: Vec<record::Event> = seen.iter().map(|one| maker.observe(one.clone(), tick())).collect();
        record::append_text(&bytes, &made)
    } else {
        let whole = [bytes.as_slice(), entries.as_bytes()].concat();
        record::read_job_file(&whole).map_err(|found| refused(path, &found, wording))?;
        entries.to_owned()
    };
    let written = std::fs::OpenOptions::new().append(true).open(path).and_then(|mut file| {
        use std::io::Write as _;
        file.write_all(addition.as_bytes())?;
        file.sync_all()
    });
    written.map_err(|error| {
        let why = Message::new("cli-no-write").with("why", error.to_string());
        Refused::new("cannot_write", "FILE", path, "", why)
    })
}

/// The layout that the options say; nothing where they say none.
fn said(options: &Options<'_>) -> Result<Option<Layout>, Refused> {
    let columns = options.texts("column");
    let kind = options.text("kind").unwrap_or(READING);
    let Some(time) = options.text("time") else {
        return match columns.first() {
            None => Ok(None),
            Some(first) => {
                Err(Refused::new("missing", "--time", *first, "Time", Message::new("take-time-too")))
            }
        };
    };
    let columns: Vec<Column> = columns
        .into_iter()
        .map(|text| {
            let bad = || {
                let message = Message::new("take-bad-column").with("given", text);
                Refused::new("not_a_column", "--column", text, "Suction=suction_pressure psig", message)
            };
            let (head, rest) = text.rsplit_once('=').ok_or_else(bad)?;
            let (field, unit) = rest.trim().split_once(' ').unwrap_or((rest.trim(), ""));
            if head.trim().is_empty() || !is_field(kind, field) {
                return Err(bad());
            }
            Ok(Column { head: head.trim().to_owned(), field: field.to_owned(), unit: unit.trim().to_owned() })
        })
        .collect::<Result<_, _>>()?;
    let day_first = options.text("days").map(|order| order == "first");
    let mut set: Vec<(String, String)> = Vec::new();
    set.extend(options.text("state").map(|state| ("state".to_owned(), state.to_owned())));
    for text in options.texts("set") {
        let pair = text.split_once('=').map(|(field, value)| (field.trim(), value.trim()));
        let Some((field, value)) = pair.filter(|(field, _)| is_field(kind, field)) else {
            let message = Message::new("take-bad-set").with("given", text);
            return Err(Refused::new("not_a_field", "--set", text, "change=removed", message));
        };
        set.push((field.to_owned(), value.to_owned()));
    }
    Ok(Some(Layout { kind: kind.to_owned(), time: time.to_owned(), day_first, set, columns }))
}

/// Beside the visit, or in the folder above where one is there.
fn layouts_path(path: &str) -> PathBuf {
    let beside = Path::new(path).parent().unwrap_or(Path::new("")).to_path_buf();
    let above = beside.join("..").join(LAYOUTS);
    let own = beside.join(LAYOUTS);
    if !own.is_file() && above.is_file() { above } else { own }
}

/// The layout remembered whose columns all stand in this table; of several the one with the most.
fn known(path: &Path, heads: &[String]) -> Result<Layout, Refused> {
    let shown = path.to_string_lossy().into_owned();
    let none = || {
        let message = Message::new("take-no-layout").with("heads", heads.join(", "));
        Refused::new(
            "no_layout",
            "--column",
            shown.as_str(),
            "--time Time --column \"Suction=suction_pressure psig\"",
            message,
        )
    };
    let Ok(text) = std::fs::read_to_string(path) else { return Err(none()) };
    let document: DocumentMut = text.parse().map_err(|error: toml_edit::TomlError| {
        let message = Message::new("take-bad-layouts").with("why", error.to_string());
        Refused::new("not_layouts", LAYOUTS, shown.as_str(), "", message)
    })?;
    let word = |table: &dyn toml_edit::TableLike, key: &str| {
        table.get(key).and_then(toml_edit::Item::as_str).map(str::to_owned)
    };
    let tables = document.get("table").and_then(toml_edit::Item::as_array_of_tables);
    let mut found: Vec<Layout> = Vec::new();
    for table in tables.into_iter().flatten() {
        let Some(time) = word(table, "time") else { continue };
        let columns: Vec<Column> = table
            .get("column")
            .and_then(toml_edit::Item::as_array_of_tables)
            .into_iter()
            .flatten()
            .filter_map(|column| {
                Some(Column {
                    head: word(column, "head")?,
                    field: word(column, "field")?,
                    unit: word(column, "unit").unwrap_or_default(),
                })
            })
            .collect();
        let day_first = word(table, "days").map(|order| order == "first");
        let kind = word(table, "kind").unwrap_or_else(|| READING.to_owned());
        let mut set: Vec<(String, String)> = Vec::new();
        set.extend(word(table, "state").map(|state| ("state".to_owned(), state)));
        let pairs = table.get("set").and_then(toml_edit::Item::as_table_like);
        for (field, value) in pairs.into_iter().flat_map(|pairs| pairs.iter()) {
            set.extend(value.as_str().map(|value| (field.to_owned(), value.to_owned())));
        }
        // A layout made by hand for a kind or a field that is none cannot be taken.
        let whole = KINDS.contains(&kind.as_str())
            && columns.iter().all(|column| is_field(&kind, &column.field))
            && set.iter().all(|(field, _)| is_field(&kind, field));
        if whole {
            found.push(Layout { kind, time, day_first, set, columns });
        }
    }
    take::known(&found, heads).cloned().ok_or_else(none)
}

/// Adds a layout to those remembered.
fn remember(path: &Path, layout: &Layout) -> Result<(), Refused> {
    let mut text = std::fs::read_to_string(path).unwrap_or_else(|_| "gastight_columns = 1\n".to_owned());
    text.push_str(&format!("\n[[table]]\ntime = {}\n", quoted(&layout.time)));
    if let Some(first) = layout.day_first {
        text.push_str(&format!("days = \"{}\"\n", if first { "first" } else { "second" }));
    }
    if layout.kind != READING {
        text.push_str(&format!("kind = {}\n", quoted(&layout.kind)));
    }
    if !layout.set.is_empty() {
        let pairs: Vec<String> =
            layout.set.iter().map(|(field, value)| format!("{field} = {}", quoted(value))).collect();
        text.push_str(&format!("set = {{ {} }}\n", pairs.join(", ")));
    }
    for column in &layout.columns {
        text.push_str(&format!(
            "[[table.column]]\nhead = {}\nfield = {}\nunit = {}\n",
            quoted(&column.head),
            quoted(&column.field),
            quoted(&column.unit)
        ));
    }
    std::fs::write(path, text).map_err(|error| {
        let shown = path.to_string_lossy().into_owned();
        let why = Message::new("cli-no-write").with("why", error.to_string());
        Refused::new("cannot_write", LAYOUTS, shown.as_str(), "", why)
    })
}
