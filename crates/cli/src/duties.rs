//! What the law asks: of one system, or of all systems of a folder or a shop's log.

use crate::Outcome;
use crate::jobs::read_text;
use crate::options::{Options, json_text, writer};
use crate::records::{self, Gathered};
use icalendar::{Calendar, Component, Parameter, Property};
use job::Refused;
use job::law::{self, Book, CalendarLine, Date, DutyFault, Law, System};
use report::{Message, TextOptions};
use std::path::Path;
use wording::Wording;

/// Answers on the day `today` unless another is asked for.
pub fn run(options: &Options<'_>, wording: &Wording, today: Option<Date>) -> Result<Outcome, Refused> {
    let date = date(options, today)?;
    let within = within(options)?;
    let book = book(options)?;
    let paths = options.texts("file");
    let (files, folder) = files(&paths)?;
    let mut remarks: Vec<String> = Vec::new();
    let mut gathered = Gathered::default();
    for file in &files {
        match records::gather(&[file], &mut gathered, wording) {
            Ok(()) => {}
            // One broken file of a folder does not hide what is due elsewhere.
            Err(refused) if folder => remarks.push(wording.say(&refused.message)),
            Err(refused) => return Err(refused),
        }
    }
    remarks.extend(gathered.remarks.iter().map(|remark| wording.say(remark)));
    let systems = law::systems(gathered.visits.into_values().collect());
    let laws = law::laws(&book, &systems, date);
    let lines = law::due(&laws, within);
    if let Some(path) = options.text("ics") {
        let text = calendar(&lines, &systems, date, wording);
        std::fs::write(path, text).map_err(|error| {
            let why = Message::new("cli-no-write").with("why", error.to_string());
            Refused::new("cannot_write", "--ics", path, "", why)
        })?;
        remarks.push(wording.say(&Message::new("cli-written").with("path", path)));
    }
    let failed = folder && files.len() > gathered.read;
    let text = match &laws[..] {
        [(system, _)] if !folder => {
            let law = Law::of(&book, &system.facts, date).within(within);
            one(system, &law, &lines, &remarks, options, wording)?
        }
        _ => many(&laws, &lines, date, within, &remarks, options, wording),
    };
    Ok(Outcome { text, failed })
}

fn one(
    system: &System,
    law: &Law<'_>,
    lines: &[CalendarLine<'_>],
    remarks: &[String],
    options: &Options<'_>,
    wording: &Wording,
) -> Result<String, Refused> {
    if options.flag("json") {
        let mut value = law::data(law, &system.visit);
        value["system"] = system.name.clone().into();
        value["due"] = law::calendar_data(lines);
        value["remarks"] = remarks.into();
        return Ok(json_text(&value));
    }
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => system.visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let document = law.document(&system.visit, &units, options.flag("explain"));
    Ok(with_remarks(said(document, options, wording), remarks))
}

fn many(
    laws: &[(&System, Law<'_>)],
    lines: &[CalendarLine<'_>],
    date: Date,
    within: Option<u32>,
    remarks: &[String],
    options: &Options<'_>,
    wording: &Wording,
) -> String {
    if options.flag("json") {
        let systems: Vec<serde_json::Value> = laws
            .iter()
            .map(|(system, law)| {
                let mut value = law::data(law, &system.visit);
                value["system"] = system.name.clone().into();
                value
            })
            .collect();
        return json_text(&serde_json::json!({
            "on": date, "within_days": within, "due": law::calendar_data(lines), "systems": systems,
            "remarks": remarks,
        }));
    }
    let answers: Vec<(String, Message)> =
        laws.iter().map(|(system, law)| (system.name.clone(), law.answer())).collect();
    let demo = !laws.is_empty() && laws.iter().all(|(system, _)| system.visit.is_demo());
    let mark = if demo { report::Mark::Demo } else { report::Mark::Real };
    with_remarks(said(law::of_the_calendar(date, &answers, lines, mark), options, wording), remarks)
}

fn said(mut document: report::Document, options: &Options<'_>, wording: &Wording) -> String {
    let say = |message: &Message| wording.say(message);
    document.language = wording.language().to_owned();
    if options.text("format") == Some("html") {
        return report::to_html(&document, &say);
    }
    let how = TextOptions { explain: options.flag("explain"), ..TextOptions::default() };
    report::to_text(&document, &say, how)
}

fn with_remarks(text: String, remarks: &[String]) -> String {
    // A page is a whole: what there is to say of the files goes beside it.
    if text.starts_with("<!doctype") {
        remarks.iter().for_each(|remark| eprintln!("{remark}"));
        return text;
    }
    if remarks.is_empty() { text } else { format!("{text}\n{}\n", remarks.join("\n")) }
}

fn date(options: &Options<'_>, today: Option<Date>) -> Result<Date, Refused> {
    let wrong =
        |given: &str| Refused::new("no_date", "--on", given, "2027-01-15", Message::new("law-refused-date"));
    match options.text("on") {
        Some(text) => record::read_day(text.trim()).ok_or_else(|| wrong(text)),
        None => today.ok_or_else(|| wrong("")),
    }
}

/// Reads `60d`, `60`, `8 weeks`, `2 months`: whole days.
fn within(options: &Options<'_>) -> Result<Option<u32>, Refused> {
    let Some(text) = options.text("within") else { return Ok(None) };
    let text = text.trim();
    if let Ok(days) = text.trim_end_matches(['d', 'D']).trim_end().parse::<u32>() {
        return Ok(Some(days));
    }
    let time: Option<units::Duration> = text.parse().ok();
    let days = time.map(units::Duration::day).filter(|days| (0.0..=40_000.0).contains(days));
    match days {
        Some(days) => Ok(Some(days as u32)),
        None => {
            let message = Message::new("law-refused-within");
            Err(Refused::new("no_days", "--within", text, "60d", message))
        }
    }
}

/// The book that ships, with the duties that a user or shop adds.
fn book(options: &Options<'_>) -> Result<Book, Refused> {
    let mut book = Book::shipped().clone();
    for path in options.texts("law") {
        let text = read_text(path, "data/law/duties/es/es.recheck.toml")?;
        book.add(&text).map_err(|fault| {
            let (given, sensible, message) = match fault {
                DutyFault::NotToml(said) => (said, String::new(), Message::new("law-refused-toml")),
                DutyFault::Missing(key) => (key.to_owned(), key.to_owned(), Message::new("law-refused-key")),
                DutyFault::UnknownKey(key) => (key, String::new(), Message::new("law-refused-unknown-key")),
                DutyFault::BadValue { key, given } => (given, key, Message::new("law-refused-value")),
                DutyFault::NoVersion => (String::new(), String::new(), Message::new("law-refused-version")),
                DutyFault::MissingNumber { key, .. } => {
                    (key.to_owned(), key.to_owned(), Message::new("law-refused-key"))
                }
                DutyFault::DuplicateId(id) => (id, String::new(), Message::new("law-refused-twice")),
            };
            Refused::new("bad_duty", path, given, sensible, message)
        })?;
    }
    Ok(book)
}

/// The files that are meant: of a folder its job files and logs, by name.
pub fn files(paths: &[&str]) -> Result<(Vec<String>, bool), Refused> {
    let mut out = Vec::new();
    let mut folder = false;
    for path in paths {
        if !Path::new(path).is_dir() {
            out.push((*path).to_owned());
            continue;
        }
        folder = true;
        let cannot = |error: std::io::Error| {
            let why = Message::new("cli-no-file").with("why", error.to_string());
            Refused::new("cannot_read", "FILE", *path, "examples/jobs", why)
        };
        let before = out.len();
        for entry in std::fs::read_dir(path).map_err(cannot)? {
            let file = entry.map_err(cannot)?.path();
            let wanted = file.extension().is_some_and(|end| end == "toml" || end == "jsonl");
            if wanted && file.is_file() {
                out.push(file.to_string_lossy().into_owned());
            }
        }
        if out.len() == before {
            let message = Message::new("law-refused-folder");
            return Err(Refused::new("empty_folder", "FILE", *path, "*.toml, *.jsonl", message));
        }
        out[before..].sort();
    }
    Ok((out, folder))
}

/// Writes what is due as a calendar: one entry of a whole day each, the same id at every export.
fn calendar(lines: &[CalendarLine<'_>], systems: &[System], date: Date, wording: &Wording) -> String {
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//gastight//duties//EN"));
    let compact = |day: Date| day.to_string().replace('-', "");
    for line in lines {
        // What has no day of its own, and what is overdue, stands on the day asked about.
        let day = line.day.filter(|_| !line.overdue).unwrap_or(date);
        let place = systems.iter().find(|system| system.name == line.system);
        let place = place.and_then(|system| system.visit.site.value.address.clone());
        let mut event = icalendar::Event::new();
        let (title, behind) = law::calendar_entry(line);
        event
            .uid(&format!("{}.{}@gastight", line.duty.id, line.evidence.join(".")))
            .summary(&wording.say(&title))
            .description(&wording.say(&behind))
            .append_property(
                Property::new("DTSTART", compact(day))
                    .append_parameter(Parameter::new("VALUE", "DATE"))
                    .done(),
            )
            .add_property("DTSTAMP", format!("{}T000000Z", compact(date)))
            .add_property("TRANSP", "TRANSPARENT");
        if let Some(place) = place {
            event.add_property("LOCATION", place);
        }
        calendar.push(event.done());
    }
    calendar.to_string()
}

/// Returns a calendar with one entry of a whole day: written on the first day, standing on the second.
pub fn one_day(
    id: &str,
    (written, on): (Date, Date),
    (title, behind): (&str, &str),
    place: Option<&str>,
) -> String {
    let compact = |day: Date| day.to_string().replace('-', "");
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//gastight//follow-up//EN"));
    let mut event = icalendar::Event::new();
    let day = Property::new("DTSTART", compact(on)).append_parameter(Parameter::new("VALUE", "DATE")).done();
    event
        .uid(&format!("{id}@gastight"))
        .summary(title)
        .description(behind)
        .append_property(day)
        .add_property("DTSTAMP", format!("{}T000000Z", compact(written)))
        .add_property("TRANSP", "TRANSPARENT");
    if let Some(place) = place {
        event.add_property("LOCATION", place);
    }
    calendar.push(event.done());
    calendar.to_string()
}
