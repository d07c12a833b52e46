//! A form filled in by hand, made into an observation by the reader of the job file.
//!
//! The texts become values of a table in memory and never pass through TOML source: a quote or a line end in a text is
//! a character of that text.

use crate::event::{Body, Observation};
use crate::file::{check_names, check_times, kind_of, singles};
use crate::model::*;
use crate::problem::{Problem, Problems, Sensible, SyntaxHint, What, words};
use crate::table::{Cx, Path, Section, TypedIn};
use crate::when::{Local, When};
use serde::{Serialize, de::DeserializeOwned};
use std::collections::{BTreeMap, BTreeSet};
use toml_edit::{Array, InlineTable, Item, Table, TableLike, Value};

/// The longest path that is followed, in steps; the deepest field has three.
const DEEPEST: usize = 6;
/// How many texts a form may hold; the largest rise test has some hundred.
const MOST_TEXTS: usize = 5_000;

/// What stands around a form: the clock of the place, the names known, and the head of the entry.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Around {
    /// Offset, zone and day of the place, by which times are read.
    pub local: Local,
    /// The names of the instruments in the record.
    pub instruments: BTreeSet<String>,
    /// The names of the refrigerant cylinders in the record.
    pub cylinders: BTreeSet<String>,
    /// When it happened; a text at the path `at` goes before it, and so with the others. History that is told (a past
    /// change, an earlier search) does not take it.
    pub at: Option<When>,
    /// Where.
    pub place: Option<String>,
    /// The instruments used, by name.
    pub with: Vec<String>,
    /// Who told it.
    pub told_by: Option<String>,
    /// Anything else.
    pub note: Option<String>,
}

/// What was typed at one path, or below it.
#[derive(Default)]
struct Tree {
    text: Option<TypedIn>,
    below: BTreeMap<Step, Tree>,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    Index(usize),
    Key(String),
}

/// Reads `points[3][1]` as its steps; a place in a list counts from 1.
fn steps(path: &str) -> Option<Vec<Step>> {
    let mut out = Vec::new();
    // A component of a composition may hold any sign but brackets and dots.
    for part in path.split('.') {
        let mut pieces = part.split('[');
        let key = pieces.next().unwrap_or_default();
        if key.is_empty() {
            return None;
        }
        out.push(Step::Key(key.to_owned()));
        for piece in pieces {
            let index: usize = piece.strip_suffix(']')?.parse().ok()?;
            if index == 0 {
                return None;
            }
            out.push(Step::Index(index));
        }
        if out.len() > DEEPEST {
            return None;
        }
    }
    Some(out)
}

type Texts = BTreeMap<String, TypedIn>;

/// Puts the texts into a table; a blank text is none, and gaps in a list close up.
fn table_of(fields: &[(&str, &str)]) -> Result<(Table, Texts), Problems> {
    let mut root = Tree::default();
    for (number, (path, text)) in fields.iter().enumerate() {
        if text.trim().is_empty() {
            continue;
        }
        let bad = |what, sensible| {
            let given = text.lines().next().unwrap_or_default().chars().take(80).collect();
            let field = path.chars().take(60).collect();
            let first = vec![Problem { line: number + 1, column: 1, field, given, what, sensible }];
            Err(Problems { first, total: 1 })
        };
        if number >= MOST_TEXTS {
            let what = What::FileTooLarge { bytes: fields.len(), limit: MOST_TEXTS };
            return bad(what, Sensible::Nothing);
        }
        let Some(steps) = steps(path) else {
            return bad(What::UnknownKey, Sensible::Example("start.pressure".to_owned()));
        };
        let end = steps.into_iter().fold(&mut root, |tree, step| tree.below.entry(step).or_default());
        if end.text.is_some() {
            return bad(What::Syntax(SyntaxHint::KeyTwice), Sensible::Nothing);
        }
        end.text = Some(TypedIn { number: number + 1, path: (*path).to_owned(), text: (*text).to_owned() });
    }
    let mut table = Table::new();
    let mut texts = Texts::new();
    for (step, tree) in root.below {
        let Step::Key(key) = step else { continue };
        if let Some(value) = value(tree, &key, &mut texts) {
            table.insert(&key, Item::Value(value));
        }
    }
    Ok((table, texts))
}

/// Returns what was typed at a path as a value, and notes the texts by their paths.
fn value(mut tree: Tree, path: &str, texts: &mut Texts) -> Option<Value> {
    if tree.below.is_empty() {
        let typed = tree.text?;
        let value = Value::from(typed.text.as_str());
        texts.insert(path.to_owned(), typed);
        return Some(value);
    }
    let is_list = tree.below.keys().all(|step| matches!(step, Step::Index(_)));
    // A value with something beside it: the value itself takes the key that the job file has for it.
    if let Some(typed) = tree.text.take() {
        texts.insert(path.to_owned(), typed.clone());
        let first = if is_list { Step::Index(0) } else { Step::Key("value".to_owned()) };
        tree.below.entry(first).or_default().text.get_or_insert(typed);
    }
    if is_list {
        let mut list = Array::new();
        for (index, tree) in tree.below.into_values().enumerate() {
            list.push(value(tree, &format!("{path}[{}]", index + 1), texts)?);
        }
        return Some(Value::Array(list));
    }
    let mut table = InlineTable::new();
    for (step, tree) in tree.below {
        let key = match step {
            Step::Key(key) => key,
            Step::Index(index) => index.to_string(),
        };
        let value = value(tree, &format!("{path}.{key}"), texts)?;
        table.insert(&key, value);
    }
    Some(Value::InlineTable(table))
}

fn reader<'a>(texts: Texts, around: &Around) -> Cx<'a> {
    let mut cx = Cx::of_form(texts);
    cx.local = around.local.clone();
    cx.instruments.clone_from(&around.instruments);
    cx.cylinders.clone_from(&around.cylinders);
    cx
}

fn finish<T>(cx: Cx<'_>, read: Option<T>) -> Result<T, Problems> {
    match (cx.finish(), read) {
        (None, Some(read)) => Ok(read),
        (Some(problems), _) => Err(problems),
        // What is missing has always been told as a problem.
        (None, None) => Err(Problems { first: Vec::new(), total: 0 }),
    }
}

fn nobody_knows(kind: &str, known: &[&'static str]) -> Problems {
    let given: String = kind.chars().take(80).collect();
    let sensible = words(kind, known);
    let what = What::UnknownKind;
    Problems {
        first: vec![Problem { line: 1, column: 1, field: "kind".to_owned(), given, what, sensible }],
        total: 1,
    }
}

/// Returns the entry of a kind that these texts, each with its path, make: what the job file's reader makes of them.
///
/// Paths are those of the job file and of [`Problem::field`]: `start.pressure`, `points[3][1]`, `suction_pressure`
/// with `suction_pressure.with` beside it. A blank text is none. The head of the entry (`at`, `place`, `with`,
/// `told_by`, `note`) comes from the texts where they have it, else from `around`.
///
/// # Errors
/// [`Problems`] with the paths, the texts seen and what would be sensible; [`Problem::line`] is the number of the text.
pub fn read_entry(kind: &str, fields: &[(&str, &str)], around: &Around) -> Result<Observation, Problems> {
    let Some(kind) = kind_of(kind) else {
        return Err(nobody_knows(kind, &crate::entry_kinds()));
    };
    let (table, texts) = table_of(fields)?;
    let mut cx = reader(texts, around);
    let read = entry(&mut cx, kind, &table, around);
    finish(cx, read)
}

/// What an entry carries beside its kind's own fields; the kind is chosen before, name and author are the event's.
const HEAD_KEYS: &[&str] = &["at", "place", "with", "told_by", "note"];

fn entry<'a>(cx: &mut Cx<'a>, kind: &str, table: &'a Table, around: &Around) -> Option<Observation> {
    let table: &'a dyn TableLike = table;
    let root = Path::Root;
    cx.check_keys(table, &root, &[HEAD_KEYS, Body::entry_keys(kind)]);
    let at: Option<Option<When>> = cx.may(table, None, "at", &root);
    let place: Option<Option<String>> = cx.may(table, None, "place", &root);
    let with: Option<Vec<String>> = cx.many(table, None, "with", &root);
    let told_by: Option<Option<String>> = cx.may(table, None, "told_by", &root);
    let note: Option<Option<String>> = cx.may(table, None, "note", &root);
    let body = Body::entry_body(kind, cx, table, None, &root);
    let (with, what) = (with?, body?);
    check_names(cx, table, &with, &what, &root);
    check_times(cx, table, &what, &root);
    let with = if table.get("with").is_some() { with } else { around.with.clone() };
    // History is told now, but it did not happen now.
    let now = around.at.clone().filter(|_| !matches!(what, Body::PastChange(_) | Body::EarlierSearch(_)));
    Some(Observation {
        at: at?.or(now),
        place: place?.or_else(|| around.place.clone()),
        with,
        told_by: told_by?.or_else(|| around.told_by.clone()),
        note: note?.or_else(|| around.note.clone()),
        what,
    })
}

/// Returns the fact that a text at a path of a section says: one field of the site, customer, visit or system.
///
/// # Errors
/// As [`read_facts`]; a blank text is a field that is missing.
pub fn read_fact(section: &str, path: &str, text: &str, around: &Around) -> Result<Observation, Problems> {
    let missing = |field: &str| {
        let sensible = Sensible::Example(
            crate::form::form(section)
                .and_then(|form| form.at(field).map(|field| field.example.clone()))
                .unwrap_or_default(),
        );
        let field = field.chars().take(60).collect();
        let first =
            Problem { line: 1, column: 1, field, given: String::new(), what: What::MissingField, sensible };
        Problems { first: vec![first], total: 1 }
    };
    read_facts(section, &[(path, text)], around)?.into_iter().next().ok_or_else(|| missing(path))
}

/// Returns the facts that these texts say about a section: of the site, customer, visit and system one for each
/// field; an instrument or a cylinder is one fact as a whole, and so is the list of a system's lines or shut-offs.
///
/// # Errors
/// [`Problems`] as [`read_entry`] gives them.
pub fn read_facts(
    section: &str,
    fields: &[(&str, &str)],
    around: &Around,
) -> Result<Vec<Observation>, Problems> {
    let (table, texts) = table_of(fields)?;
    let mut cx = reader(texts, around);
    match section {
        "site" => taken_apart(cx, &table, around, |one: Site| Body::Site(Box::new(one))),
        "customer" => taken_apart(cx, &table, around, |one: Customer| Body::Customer(Box::new(one))),
        "visit" => taken_apart(cx, &table, around, |one: Visit| Body::Visit(Box::new(one))),
        "system" => taken_apart(cx, &table, around, |one: System| Body::System(Box::new(one))),
        "instrument" => {
            let read = whole(&mut cx, &table).map(|one| Body::Instrument(Box::new(one)));
            finish(cx, read).map(|body| vec![fact(body, around)])
        }
        "cylinder" => {
            let read = whole(&mut cx, &table).map(|one| Body::Cylinder(Box::new(one)));
            finish(cx, read).map(|body| vec![fact(body, around)])
        }
        _ => Err(nobody_knows(section, &crate::form::FACT_SECTIONS[..6])),
    }
}

fn whole<'a, T: Section>(cx: &mut Cx<'a>, table: &'a Table) -> Option<T> {
    cx.check_keys(table, &Path::Root, &[T::KEYS]);
    T::read_fields(cx, table, None, &Path::Root)
}

fn taken_apart<'a, T: Section + Serialize + DeserializeOwned>(
    mut cx: Cx<'a>,
    table: &'a Table,
    around: &Around,
    body: impl Fn(T) -> Body,
) -> Result<Vec<Observation>, Problems> {
    let read = whole::<T>(&mut cx, table);
    let whole = finish(cx, read)?;
    Ok(singles(&whole).into_iter().map(|(_, one)| fact(body(one), around)).collect())
}

/// A fact has no place, instrument or hearsay of its own: hearsay stands in its value.
fn fact(what: Body, around: &Around) -> Observation {
    Observation { at: around.at.clone(), place: None, with: Vec::new(), told_by: None, note: None, what }
}
