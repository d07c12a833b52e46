//! A logger's or probe's exported table taken into a visit: which column is what is said once and remembered.

use crate::Outcome;
use crate::jobs::{problem_lines, read_bytes_up_to, refused};
use crate::options::Options;
use crate::records::Record;
use crate::search::{quoted, tick};
use job::Refused;
use record::{Around, Body, LARGEST_FILE};
use report::Message;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use toml_edit::DocumentMut;
use units::{Duration, Quantity};
use wording::Wording;

/// Where the layouts are remembered.
const LAYOUTS: &str = "columns.toml";
/// Readings that one table adds at most: a logger's year is no visit.
const MOST: usize = 2_000;
/// Bad rows that are named one by one.
const NAMED: usize = 20;
/// The least time between two readings taken, where nobody says.
const EVERY: Duration = Duration::from_second(300.0);

/// A column and what it is.
struct Column {
    head: String,
    field: String,
    unit: String,
}

/// How a table is read.
struct Layout {
    time: String,
    day_first: Option<bool>,
    state: Option<String>,
    columns: Vec<Column>,
}

/// Answers `gastight job take`.
pub fn run(
    path: &str,
    record: &Record,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let table = options.text("table").unwrap_or_default();
    let text = read_bytes_up_to(table, "log.csv", LARGEST_FILE as u64)?;
    let text = String::from_utf8_lossy(&text).trim_start_matches('\u{feff}').to_owned();
    let head = text.lines().next().unwrap_or_default();
    // The mark that stands most often in the head parts the columns.
    let mark = [b',', b';', b'\t'].into_iter().max_by_key(|mark| head.bytes().filter(|b| b == mark).count());
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(mark.unwrap_or(b','))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let unreadable = |why: String| {
        Refused::new("not_a_table", "--table", table, "", Message::new("take-no-table").with("why", why))
    };
    let heads: Vec<String> =
        reader.headers().map_err(|error| unreadable(error.to_string()))?.iter().map(str::to_owned).collect();
    let remembered = layouts_path(path);
    let (layout, is_new) = match said(options)? {
        Some(layout) => (layout, true),
        None => (known(&remembered, &heads)?, false),
    };
    let at = |head: &str| heads.iter().position(|one| one == head);
    let missing = |head: &str| {
        let message = Message::new("take-no-column").with("head", head).with("heads", heads.join(", "));
        Refused::new("no_column", "--column", head, heads.first().map_or("", String::as_str), message)
    };
    let time_at = at(&layout.time).ok_or_else(|| missing(&layout.time))?;
    let mut columns = Vec::new();
    for column in &layout.columns {
        columns.push((at(&column.head).ok_or_else(|| missing(&column.head))?, column));
    }
    let every: Duration = options.read("every")?.unwrap_or(EVERY);
    let visit = record.visit();
    // Read by the site's own clock; the place of the last entry is not that of a logger.
    let now = job::stage::last_moment(&visit).or(visit.day().map(record::When::Date));
    let around = match &now {
        Some(now) => Around { place: None, at: None, ..job::entry::around(&visit, now) },
        None => Around::default(),
    };
    let there: BTreeSet<i64> = visit
        .current
        .entries
        .iter()
        .filter(|entry| matches!(entry.what(), Body::Reading(_)))
        .filter_map(|entry| entry.seen.at.as_ref().map(|at| at.unix_millis()))
        .collect();
    let (mut entries, mut seen_all) = (String::new(), Vec::new());
    let (mut bad, mut all_bad, mut again, mut between) = (Vec::new(), 0_usize, 0_usize, 0_usize);
    let mut last: Option<i64> = None;
    for row in reader.records() {
        let row = row.map_err(|error| unreadable(error.to_string()))?;
        let line = row.position().map_or(0, csv::Position::line);
        let mut refuse = |why: String| {
            all_bad += 1;
            if bad.len() < NAMED {
                bad.push((line, why));
            }
        };
        let given = row.get(time_at).unwrap_or_default();
        let Some(moment) = moment(given, layout.day_first) else {
            let message = Message::new("take-no-time").with("given", given);
            refuse(wording.say(&message));
            continue;
        };
        let mut fields: Vec<(String, String)> = vec![("at".to_owned(), moment)];
        fields.extend(layout.state.iter().map(|state| ("state".to_owned(), state.clone())));
        let fixed = fields.len();
        for (at, column) in &columns {
            // An empty cell is no reading.
            let cell = row.get(*at).unwrap_or_default();
            if !cell.is_empty() {
                fields.push((column.field.clone(), format!("{cell} {}", column.unit).trim_end().to_owned()));
            }
        }
        if fields.len() == fixed {
            continue;
        }
        let borrowed: Vec<(&str, &str)> =
            fields.iter().map(|(field, text)| (field.as_str(), text.as_str())).collect();
        let seen = match record::read_entry("reading", &borrowed, &around) {
            Ok(seen) => seen,
            Err(found) => {
                refuse(problem_lines(table, &found, wording).join(" "));
                continue;
            }
        };
        let Some(millis) = seen.at.as_ref().map(record::When::unix_millis) else { continue };
        if there.contains(&millis) {
            again += 1;
            continue;
        }
        // As near to one that is there already as to the last one taken.
        let apart = ((every.si() * 1000.0) as i64).clamp(1, 366 * 86_400_000);
        let near = there.range(millis - apart + 1..millis + apart).next().is_some();
        if near || last.is_some_and(|last| millis - last < apart) {
            between += 1;
            continue;
        }
        last = Some(millis);
        entries.push_str("\n[[entry]]\nkind = \"reading\"\n");
        for (field, text) in &fields {
            // A moment stands without quotes, as a person writes it.
            let text = if field == "at" { text.clone() } else { quoted(text) };
            entries.push_str(&format!("{field} = {text}\n"));
        }
        seen_all.push(seen);
        if seen_all.len() > MOST {
            let message = Message::new("take-too-many").with("most", MOST);
            return Err(Refused::new(
                "too_many",
                "--every",
                options.text("every").unwrap_or_default(),
                "15min",
                message,
            ));
        }
    }
    append(path, record, &entries, &seen_all, wording)?;
    if is_new && !seen_all.is_empty() {
        remember(&remembered, &layout)?;
    }
    let mut lines: Vec<String> = bad
        .iter()
        .map(|(line, why)| {
            wording
                .say(&Message::new("batch-bad-row").with("line", line.to_string()).with("why", why.as_str()))
        })
        .collect();
    let sum = Message::new("take-done")
        .with("taken", seen_all.len())
        .with("again", again)
        .with("between", between)
        .with("bad", all_bad);
    lines.push(wording.say(&sum));
    Ok(Outcome { text: lines.join("\n"), failed: all_bad > 0 })
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

/// Returns a moment as the record writes it: from `2031-05-06 14:20`, with seconds or without, or from days that stand first or
/// second where that was said.
fn moment(text: &str, day_first: Option<bool>) -> Option<String> {
    let (day, time) = text.trim().split_once(['T', ' '])?;
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
    let mut clock = time.trim().splitn(3, ':');
    let (hour, minute) = (number(clock.next()?, 23)?, number(clock.next()?, 59)?);
    (year >= 1900).then(|| format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}"))
}

/// The layout that the options say; nothing where they say none.
fn said(options: &Options<'_>) -> Result<Option<Layout>, Refused> {
    let columns = options.texts("column");
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
            let form = record::form::form("reading");
            let is_field = form.is_some_and(|form| form.fields.iter().any(|one| one.key == field));
            if head.trim().is_empty() || !is_field {
                return Err(bad());
            }
            Ok(Column { head: head.trim().to_owned(), field: field.to_owned(), unit: unit.trim().to_owned() })
        })
        .collect::<Result<_, _>>()?;
    let day_first = options.text("days").map(|order| order == "first");
    let state = options.text("state").map(str::to_owned);
    Ok(Some(Layout { time: time.to_owned(), day_first, state, columns }))
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
        let all = heads.contains(&time) && columns.iter().all(|column| heads.contains(&column.head));
        if all && !columns.is_empty() {
            let day_first = word(table, "days").map(|order| order == "first");
            found.push(Layout { time, day_first, state: word(table, "state"), columns });
        }
    }
    found.into_iter().max_by_key(|layout| layout.columns.len()).ok_or_else(none)
}

/// Adds a layout to those remembered.
fn remember(path: &Path, layout: &Layout) -> Result<(), Refused> {
    let mut text = std::fs::read_to_string(path).unwrap_or_else(|_| "gastight_columns = 1\n".to_owned());
    text.push_str(&format!("\n[[table]]\ntime = {}\n", quoted(&layout.time)));
    if let Some(first) = layout.day_first {
        text.push_str(&format!("days = \"{}\"\n", if first { "first" } else { "second" }));
    }
    if let Some(state) = &layout.state {
        text.push_str(&format!("state = {}\n", quoted(state)));
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

#[cfg(test)]
mod tests {
    use super::moment;

    #[test]
    fn a_moment_is_read_or_refused_never_guessed() {
        let iso = Some("2031-05-06T14:20".to_owned());
        assert_eq!(moment("2031-05-06 14:20", None), iso);
        assert_eq!(moment("2031-05-06T14:20:31", None), iso);
        assert_eq!(moment("06/05/2031 14:20", Some(true)), iso);
        assert_eq!(moment("5/6/2031 14:20", Some(false)), iso);
        for text in ["06/05/2031 14:20", "2031-05-06", "2031-13-06 14:20", "2031-05-06 24:20", "", "noon"] {
            assert_eq!(moment(text, None), None, "{text}");
        }
    }
}
