//! The job file: one TOML text that a person writes, read into events.

use crate::event::{Body, Content, Event, Observation, Stamp};
use crate::id::{entry_id, job_id, sha256};
use crate::model::*;
use crate::problem::*;
use crate::table::{Cx, FromToml, KNOWN_KEYS, MEASURED_KEYS, Node, Path, Section, SectionKey};
use crate::when::When;
use core::ops::Range;
use serde::{Serialize, de::DeserializeOwned};
use serde_json::{Map, Value};
use std::collections::BTreeMap;
use toml_edit::{Document, Item, TableLike};
use uuid::Uuid;

/// The keys at the top of a job file.
const TOP_KEYS: &[&str] =
    &["gastight", "job", "note", "site", "customer", "visit", "system", "instrument", "cylinder", "entry"];

/// A job file as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct JobFile {
    /// The job's name as written, or one made of what the file says.
    pub name: String,
    /// The job's id, made of its name.
    pub job: Uuid,
    /// The person named for the visit.
    pub by: Option<String>,
    /// The device named for the visit.
    pub device: Option<String>,
    /// What the file says, in its order.
    pub events: Vec<Event>,
    /// The line of the file in which each event begins.
    pub lines: BTreeMap<Uuid, usize>,
}

/// Reads a job file.
///
/// The same text gives the same events with the same ids. A text that follows from an edit of an earlier one is put on
/// the record with [`crate::reread`].
///
/// # Errors
/// [`Problems`]: the first 20 with their places, and the count of all.
pub fn read_job_file(bytes: &[u8]) -> Result<JobFile, Problems> {
    let text = text_of(bytes)?;
    let document = Document::parse(text).map_err(|error| syntax_problem(text, &error))?;
    let mut cx = Cx::new(text);
    let top: &dyn TableLike = document.as_table();
    check_format(&mut cx, top);
    if let Some(problems) = cx.finish() {
        return Err(problems);
    }
    let mut cx = Cx::new(text);
    let read = read_top(&mut cx, top);
    match (read, cx.finish()) {
        (Some(read), None) => Ok(read),
        (_, Some(problems)) => Err(problems),
        // What is missing has always been told as a problem.
        (None, None) => Err(Problems { first: Vec::new(), total: 0 }),
    }
}

fn one(line: usize, column: usize, given: &str, what: What, sensible: Sensible) -> Problems {
    let given = given.trim().chars().take(80).collect();
    Problems { first: vec![Problem { line, column, field: String::new(), given, what, sensible }], total: 1 }
}

pub(crate) fn text_of(bytes: &[u8]) -> Result<&str, Problems> {
    if bytes.len() > LARGEST_FILE {
        let what = What::FileTooLarge { bytes: bytes.len(), limit: LARGEST_FILE };
        return Err(one(1, 1, "", what, Sensible::Nothing));
    }
    let not_text = |at: usize| {
        let before = &bytes[..at.min(bytes.len())];
        let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
        one(line, 1, "", What::NotText { byte: at }, Sensible::Nothing)
    };
    let text = core::str::from_utf8(bytes).map_err(|error| not_text(error.valid_up_to()))?;
    if let Some(at) = text.find('\0') {
        return Err(not_text(at));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.lines().all(|line| line.trim().is_empty() || line.trim_start().starts_with('#')) {
        return Err(one(1, 1, "", What::EmptyFile, Sensible::Example("gastight = 1".to_owned())));
    }
    Ok(text)
}

pub(crate) fn syntax_problem(text: &str, error: &toml_edit::TomlError) -> Problems {
    let cx = Cx::new(text);
    let at = error.span().map_or(0, |span| span.start.min(text.len()));
    let (line, column) = cx.position(at);
    let written = text.lines().nth(line - 1).unwrap_or_default();
    let message = error.message();
    let hint = if message.contains("duplicate") {
        SyntaxHint::KeyTwice
    } else if message.contains("date") || message.contains("time") {
        SyntaxHint::Moment
    } else if wants_quotes(written) {
        SyntaxHint::Quotes
    } else if message.contains("unclosed") || message.contains("string, expected") {
        SyntaxHint::NotClosed
    } else {
        SyntaxHint::Other
    };
    let example = match hint {
        SyntaxHint::Quotes => Sensible::Example("charge = \"14.2 kg\"".to_owned()),
        SyntaxHint::Moment => Sensible::Example("2031-05-06T08:10:00+01:00".to_owned()),
        SyntaxHint::NotClosed | SyntaxHint::KeyTwice | SyntaxHint::Other => Sensible::Nothing,
    };
    one(line, column, written, What::Syntax(hint), example)
}

/// Returns whether the value of a line is a bare text, such as `charge = 14.2 kg`.
fn wants_quotes(line: &str) -> bool {
    let Some((_, value)) = line.split_once('=') else { return false };
    let value = value.split('#').next().unwrap_or_default().trim();
    let bare = !value.starts_with(['"', '\'', '[', '{'])
        && value.chars().any(|c| c.is_alphabetic() || c == '°' || c == '%');
    bare && !matches!(value, "true" | "false")
}

fn check_format(cx: &mut Cx<'_>, top: &dyn TableLike) {
    let example = Sensible::Example("gastight = 1".to_owned());
    let path = Path::Key(&Path::Root, "gastight");
    let Some(item) = top.get("gastight") else {
        cx.problem(Some(0..0), &path, |_| (What::NotAJobFile, example));
        return;
    };
    match item.as_integer() {
        Some(format) if (1..=NEWEST_FORMAT).contains(&format) => {}
        Some(format) if format > NEWEST_FORMAT => {
            cx.problem(item.span(), &path, |_| (What::NewerFormat { newest: NEWEST_FORMAT }, example));
        }
        Some(_) => cx.problem(item.span(), &path, |_| (What::OutOfRange, example)),
        None => cx.wrong_type(Node::Item(item), &path, "1"),
    }
}

/// What is about to become an event.
struct Draft {
    key: Option<String>,
    by: Option<String>,
    seen: Observation,
    line: usize,
}

fn fact(key: String, what: Body, line: usize) -> Draft {
    let seen = Observation { at: None, place: None, with: Vec::new(), told_by: None, note: None, what };
    Draft { key: Some(key), by: None, seen, line }
}

fn read_top<'a>(cx: &mut Cx<'a>, top: &'a dyn TableLike) -> Option<JobFile> {
    let root = Path::Root;
    cx.check_keys(top, &root, &[TOP_KEYS]);
    let name: Option<Option<String>> = cx.may(top, None, "job", &root);
    let note: Option<Option<String>> = cx.may(top, None, "note", &root);
    // The place's clock first: the times of everything else are read by it.
    let site: Option<Option<Site>> = cx.may(top, None, "site", &root);
    if let Some(Some(site)) = &site {
        cx.local.zone.clone_from(&site.zone);
        cx.local.offset_minutes = site.offset.as_ref().map(|offset| offset.value.0);
    } else if let Some(table) = top.get("site").and_then(Item::as_table_like) {
        // The site has a problem elsewhere: its clock may read all the same.
        let offset = table.get("offset").and_then(Item::as_str).and_then(crate::when::read_offset);
        cx.local.offset_minutes = offset;
    }
    let visit: Option<Option<Visit>> = cx.may(top, None, "visit", &root);
    cx.local.date = match &visit {
        Some(visit) => visit.as_ref().and_then(Visit::day),
        None => top
            .get("visit")
            .and_then(Item::as_table_like)
            .and_then(|table| table.get("date"))
            .and_then(|item| item.as_datetime().map(ToString::to_string).or(item.as_str().map(str::to_owned)))
            .and_then(|text| crate::when::read_day(text.get(..10)?)),
    };
    let customer: Option<Option<Customer>> = cx.may(top, None, "customer", &root);
    let system: Option<Option<System>> = cx.may(top, None, "system", &root);
    let mut drafts = Vec::new();
    if let Some(Some(note)) = &note {
        let line = cx.line(top.get("note").and_then(Item::span));
        drafts.push(fact("/note".to_owned(), Body::Note(Note { text: note.clone() }), line));
    }
    facts(cx, top, "site", &site, |one| Body::Site(Box::new(one)), &mut drafts);
    facts(cx, top, "customer", &customer, |one| Body::Customer(Box::new(one)), &mut drafts);
    facts(cx, top, "visit", &visit, |one| Body::Visit(Box::new(one)), &mut drafts);
    facts(cx, top, "system", &system, |one| Body::System(Box::new(one)), &mut drafts);
    let instruments = named::<Instrument>(cx, top, "instrument", |one| &one.id);
    let cylinders = named::<Cylinder>(cx, top, "cylinder", |one| &one.id);
    for (instrument, line) in instruments {
        cx.instruments.insert(instrument.id.clone());
        drafts.push(fact(
            format!("/instrument/{}", instrument.id),
            Body::Instrument(Box::new(instrument)),
            line,
        ));
    }
    for (cylinder, line) in cylinders {
        cx.cylinders.insert(cylinder.id.clone());
        drafts.push(fact(format!("/cylinder/{}", cylinder.id), Body::Cylinder(Box::new(cylinder)), line));
    }
    entries(cx, top, &mut drafts);
    let (name, site, visit, system) = (name?, site?, visit?, system?);
    let name = name.unwrap_or_else(|| made_name(cx, &site, &visit, &system));
    let (by, device) = visit.as_ref().map_or((None, None), |visit| (visit.by.clone(), visit.device.clone()));
    let began = visit.and_then(|visit| visit.date).map_or(0, |date| date.unix_millis());
    Some(to_events(name, by, device, began, drafts))
}

/// Returns the name of a job that was not given one: its place, system and day, else the hash of the text.
fn made_name(cx: &Cx<'_>, site: &Option<Site>, visit: &Option<Visit>, system: &Option<System>) -> String {
    let place = site.as_ref().and_then(|site| site.name.clone());
    let unit = system.as_ref().and_then(|system| system.name.clone());
    let day = visit.as_ref().and_then(Visit::day).map(|day| day.to_string());
    match (place, day) {
        (Some(place), Some(day)) => {
            [Some(place), unit, Some(day)].into_iter().flatten().collect::<Vec<_>>().join(", ")
        }
        _ => format!("file {}", sha256(cx.text().as_bytes())),
    }
}

/// Makes one draft of each field of a table of facts.
fn facts<T: Serialize + DeserializeOwned>(
    cx: &Cx<'_>,
    top: &dyn TableLike,
    section: &str,
    whole: &Option<Option<T>>,
    body: impl Fn(T) -> Body,
    drafts: &mut Vec<Draft>,
) {
    let Some(Some(whole)) = whole else { return };
    let table = top.get(section).and_then(Item::as_table_like);
    for (field, single) in singles(whole) {
        let span = table.and_then(|table| table.key(&field)).and_then(toml_edit::Key::span);
        let line = cx.line(span.or_else(|| table?.get(&field)?.span()));
        drafts.push(fact(format!("/{section}/{field}"), body(single), line));
    }
}

/// Returns a table of facts taken apart: each field by its key, alone in a table of its own.
pub(crate) fn singles<T: Serialize + DeserializeOwned>(whole: &T) -> Vec<(String, T)> {
    let Ok(Value::Object(map)) = serde_json::to_value(whole) else { return Vec::new() };
    let one = |(field, value): (String, Value)| {
        let mut single = Map::new();
        single.insert(field.clone(), value);
        Some((field, serde_json::from_value(Value::Object(single)).ok()?))
    };
    map.into_iter().filter_map(one).collect()
}

/// Reads a list of tables that have names of their own, and notes names that stand twice.
fn named<'a, T: FromToml>(
    cx: &mut Cx<'a>,
    top: &'a dyn TableLike,
    key: &'static str,
    id: impl Fn(&T) -> &String,
) -> Vec<(T, usize)> {
    let path = Path::Key(&Path::Root, key);
    let mut lines: BTreeMap<String, usize> = BTreeMap::new();
    let mut all = Vec::new();
    for (index, node) in list(cx, top, key).into_iter().enumerate() {
        let path = Path::Index(&path, index);
        let Some(one) = T::from_toml(cx, node, &path) else { continue };
        let span = node.table().and_then(|table| table.get("id")).and_then(Item::span);
        let line = cx.line(node.span());
        name_once(cx, &mut lines, id(&one), span, &path);
        all.push((one, line));
    }
    all
}

fn name_once(
    cx: &mut Cx<'_>,
    lines: &mut BTreeMap<String, usize>,
    name: &str,
    span: Option<Range<usize>>,
    path: &Path<'_>,
) {
    match lines.get(name) {
        Some(first_line) => {
            let first_line = *first_line;
            cx.problem(span, &Path::Key(path, "id"), |_| (What::NameTwice { first_line }, Sensible::Nothing));
        }
        None => {
            let line = cx.line(span);
            lines.insert(name.to_owned(), line);
        }
    }
}

pub(crate) fn list<'a>(cx: &mut Cx<'a>, top: &'a dyn TableLike, key: &'static str) -> Vec<Node<'a>> {
    let Some(item) = top.get(key) else { return Vec::new() };
    let node = Node::Item(item);
    node.elements().unwrap_or_else(|| {
        cx.wrong_type(node, &Path::Key(&Path::Root, key), &format!("[[{key}]]"));
        Vec::new()
    })
}

/// The spelling of a kind of entry, so that `leak-check` and `Leak check` are one.
pub(crate) fn kind_of(written: &str) -> Option<&'static str> {
    let plain = crate::words::plain(written);
    Body::ENTRY_KINDS.iter().copied().find(|kind| !kind.is_empty() && *kind == plain)
}

fn entries<'a>(cx: &mut Cx<'a>, top: &'a dyn TableLike, drafts: &mut Vec<Draft>) {
    let whole = Path::Key(&Path::Root, "entry");
    let mut ids: BTreeMap<String, usize> = BTreeMap::new();
    let mut latest: Option<When> = None;
    for (index, node) in list(cx, top, "entry").into_iter().enumerate() {
        let path = Path::Index(&whole, index);
        let Some(table) = node.table() else {
            cx.wrong_type(node, &path, "[[entry]]");
            continue;
        };
        let at = head_span(node);
        let head = EntryHead::read_fields(cx, table, at.clone(), &path);
        let Some(written) = table.get("kind").and_then(Item::as_str) else { continue };
        let Some(kind) = kind_of(written) else {
            let span = table.get("kind").and_then(Item::span);
            let known: Vec<&'static str> =
                Body::ENTRY_KINDS.iter().copied().filter(|kind| !kind.is_empty()).collect();
            cx.problem(span, &Path::Key(&path, "kind"), |given| (What::UnknownKind, words(given, &known)));
            continue;
        };
        cx.check_keys(table, &path, &[EntryHead::KEYS, Body::entry_keys(kind)]);
        let body = Body::entry_body(kind, cx, table, at, &path);
        let (Some(head), Some(body)) = (head, body) else { continue };
        check_names(cx, table, &head.with, &body, &path);
        if let Some(id) = &head.id {
            name_once(cx, &mut ids, id, table.get("id").and_then(Item::span), &path);
        }
        check_times(cx, table, &body, &path);
        // History is told at any time; what was done here stands in its order.
        if !matches!(body, Body::PastChange(_) | Body::EarlierSearch(_))
            && let Some(now) = &head.at
        {
            match &latest {
                Some(before) if now.surely_before(before) => {
                    let before = before.to_string();
                    let span = table.get("at").and_then(Item::span);
                    cx.problem(span, &Path::Key(&path, "at"), |_| {
                        (What::DateOrder, Sensible::Example(before))
                    });
                }
                _ => latest = Some(now.clone()),
            }
        }
        let line = cx.line(node.span());
        let seen = Observation {
            at: head.at,
            place: head.place,
            with: head.with,
            told_by: head.told_by,
            note: head.note,
            what: body,
        };
        drafts.push(Draft { key: head.id, by: head.by, seen, line });
    }
}

/// Returns the place of an entry's head, where a missing field is told.
pub(crate) fn head_span(node: Node<'_>) -> Option<Range<usize>> {
    node.span().map(|span| span.start..span.start)
}

pub(crate) fn check_names<'a>(
    cx: &mut Cx<'a>,
    table: &'a dyn TableLike,
    with: &[String],
    body: &Body,
    path: &Path<'_>,
) {
    if let Some(item) = table.get("with") {
        for name in with {
            cx.check_instrument(name, Node::Item(item), &Path::Key(path, "with"));
        }
    }
    if let (Body::Weighing(weighing), Some(item)) = (body, table.get("cylinder")) {
        cx.check_cylinder(&weighing.cylinder, Node::Item(item), &Path::Key(path, "cylinder"));
    }
}

/// Notes ends before starts, and points of a rise out of order.
pub(crate) fn check_times<'a>(cx: &mut Cx<'a>, table: &'a dyn TableLike, body: &Body, path: &Path<'_>) {
    match body {
        Body::Hold(hold) => {
            if let (Some(start), Some(end)) =
                (&hold.start.at, hold.end.as_ref().and_then(|end| end.at.as_ref()))
                && end.surely_before(start)
            {
                let start = start.to_string();
                let span = table.get("end").and_then(Item::span);
                cx.problem(span, &Path::Key(path, "end"), |_| {
                    (What::EndBeforeStart, Sensible::Example(start))
                });
            }
        }
        Body::Rise(_) | Body::OpeningPlan(_) | Body::Recovery(_) | Body::Evacuation(_) => {
            let watched = match body {
                Body::Rise(rise) => &rise.points,
                Body::OpeningPlan(plan) => &plan.points,
                Body::Recovery(recovery) => &recovery.points,
                Body::Evacuation(evacuation) => &evacuation.points,
                _ => return,
            };
            let Some(item) = table.get("points") else { return };
            let elements = Node::Item(item).elements().unwrap_or_default();
            let points = Path::Key(path, "points");
            for (index, pair) in watched.windows(2).enumerate() {
                if pair[1].time.value <= pair[0].time.value {
                    let span = elements.get(index + 1).and_then(|node| node.span());
                    let before = pair[0].time.text.clone();
                    cx.problem(span, &Path::Index(&points, index + 1), |_| {
                        (What::DateOrder, Sensible::Example(before))
                    });
                }
            }
        }
        _ => {}
    }
}

fn to_events(
    name: String,
    by: Option<String>,
    device: Option<String>,
    began: i64,
    drafts: Vec<Draft>,
) -> JobFile {
    let job = job_id(&name);
    let mut equal: BTreeMap<Uuid, usize> = BTreeMap::new();
    let mut lines = BTreeMap::new();
    let mut events = Vec::with_capacity(drafts.len());
    let mut ms = began;
    for (index, draft) in drafts.into_iter().enumerate() {
        let by = draft.by.or_else(|| by.clone());
        let first = entry_id(job, draft.key.as_deref(), 0, by.as_deref(), &draft.seen);
        let number = equal.entry(first).or_default();
        let id = match *number {
            0 => first,
            n => entry_id(job, draft.key.as_deref(), n, by.as_deref(), &draft.seen),
        };
        *number += 1;
        ms = ms.max(draft.seen.at.as_ref().map_or(ms, When::unix_millis));
        // A file is at most 10 MB: its entries can be counted.
        let stamp = Stamp { ms, n: u32::try_from(index).unwrap_or(u32::MAX) };
        lines.insert(id, draft.line);
        events.push(Event {
            id,
            job,
            by,
            device: device.clone(),
            stamp,
            key: draft.key,
            content: Content::Observed(draft.seen),
            apprentice: false,
            verbatim: None,
        });
    }
    JobFile { name, job, by, device, events, lines }
}

/// Returns every key that the job file knows, with the section it stands in; what documents it is tested against this.
#[must_use]
pub fn known_keys() -> Vec<SectionKey> {
    let mut all: Vec<SectionKey> = TOP_KEYS.iter().map(|key| (String::new(), *key)).collect();
    all.extend(KNOWN_KEYS.iter().chain(MEASURED_KEYS).map(|key| ("value".to_owned(), *key)));
    Site::list_fields("site", &mut all);
    Customer::list_fields("customer", &mut all);
    Visit::list_fields("visit", &mut all);
    System::list_fields("system", &mut all);
    Instrument::list_fields("instrument", &mut all);
    Cylinder::list_fields("cylinder", &mut all);
    EntryHead::list_fields("entry", &mut all);
    Body::list_entries(&mut all);
    all.sort();
    all.dedup();
    all
}

/// Returns the kinds that an entry may have.
#[must_use]
pub fn entry_kinds() -> Vec<&'static str> {
    Body::ENTRY_KINDS.iter().copied().filter(|kind| !kind.is_empty()).collect()
}
