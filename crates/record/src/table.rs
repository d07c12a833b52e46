//! Walks a TOML document, keeps its places, and gathers what is wrong instead of stopping at the first.

use crate::form::{Carries, Form, Takes};
use crate::known::{Fault, Known, Measured, Reads, Typed};
use crate::model::{Composition, RisePoint, Setting, SettingValue};
use crate::problem::{self, Found, Problem, Problems, Sensible, TOLD_AT_ONCE, What};
use crate::when::{Local, When};
use core::ops::Range;
use std::collections::{BTreeMap, BTreeSet};
use toml_edit::{Item, Table, TableLike, Value};

/// A place in the document that holds a value.
#[derive(Clone, Copy)]
pub(crate) enum Node<'a> {
    Item(&'a Item),
    Value(&'a Value),
    Table(&'a Table),
}

impl<'a> Node<'a> {
    pub(crate) fn span(self) -> Option<Range<usize>> {
        match self {
            Node::Item(item) => item.span(),
            Node::Value(value) => value.span(),
            Node::Table(table) => table.span(),
        }
    }

    fn value(self) -> Option<&'a Value> {
        match self {
            Node::Item(item) => item.as_value(),
            Node::Value(value) => Some(value),
            Node::Table(_) => None,
        }
    }

    pub(crate) fn table(self) -> Option<&'a dyn TableLike> {
        match self {
            Node::Item(item) => item.as_table_like(),
            Node::Value(Value::InlineTable(table)) => Some(table),
            Node::Value(_) => None,
            Node::Table(table) => Some(table),
        }
    }

    /// Returns the elements of a list, or of tables of one name.
    pub(crate) fn elements(self) -> Option<Vec<Node<'a>>> {
        match self {
            Node::Item(Item::ArrayOfTables(tables)) => Some(tables.iter().map(Node::Table).collect()),
            _ => self.value()?.as_array().map(|array| array.iter().map(Node::Value).collect()),
        }
    }

    fn found(self) -> Found {
        match self.value() {
            Some(Value::String(_)) => Found::Text,
            Some(Value::Integer(_) | Value::Float(_)) => Found::Number,
            Some(Value::Boolean(_)) => Found::Truth,
            Some(Value::Datetime(_)) => Found::Moment,
            Some(Value::Array(_)) => Found::List,
            Some(Value::InlineTable(_)) => Found::Table,
            None if self.table().is_some() => Found::Table,
            None => Found::List,
        }
    }

    /// Returns the text of a value: of a string its content, of a number, date or truth what stands in the file.
    fn text(self, cx: &Cx<'a>) -> Option<&'a str> {
        match self.value()? {
            Value::String(text) => Some(text.value()),
            Value::Array(_) | Value::InlineTable(_) => None,
            other => other.span().and_then(|span| cx.text.get(span)),
        }
    }
}

/// The way to a place, from the root.
#[derive(Clone, Copy)]
pub(crate) enum Path<'p> {
    Root,
    Key(&'p Path<'p>, &'p str),
    Index(&'p Path<'p>, usize),
}

impl Path<'_> {
    fn write(&self, out: &mut String) {
        match self {
            Path::Root => {}
            Path::Key(parent, key) => {
                parent.write(out);
                if !out.is_empty() {
                    out.push('.');
                }
                out.extend(key.chars().take(60));
            }
            Path::Index(parent, index) => {
                parent.write(out);
                out.push_str(&format!("[{}]", index + 1));
            }
        }
    }
}

/// A text of a form.
#[derive(Clone)]
pub(crate) struct TypedIn {
    /// Its number in the form, from 1.
    pub number: usize,
    /// Its path as the form has it.
    pub path: String,
    /// What was typed.
    pub text: String,
}

fn shortened(text: &str) -> String {
    text.lines().next().unwrap_or_default().chars().take(80).collect()
}

/// The file being read, and what is wrong with it so far.
pub(crate) struct Cx<'a> {
    text: &'a str,
    line_starts: Vec<usize>,
    /// The first problems of the file by their place, at most 20.
    first: Vec<(usize, Problem)>,
    total: usize,
    pub(crate) local: Local,
    /// Of values that were typed into a form and stand in no file: what was typed, by the path the reader goes.
    typed: BTreeMap<String, TypedIn>,
    /// The names of the instruments and cylinders that the file lists.
    pub(crate) instruments: BTreeSet<String>,
    pub(crate) cylinders: BTreeSet<String>,
}

impl<'a> Cx<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let line_starts = core::iter::once(0)
            .chain(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(at, _)| at + 1));
        Cx {
            text,
            line_starts: line_starts.collect(),
            first: Vec::new(),
            total: 0,
            local: Local::default(),
            typed: BTreeMap::new(),
            instruments: BTreeSet::new(),
            cylinders: BTreeSet::new(),
        }
    }

    /// Returns the reader of values that were typed into a form.
    pub(crate) fn of_form(typed: BTreeMap<String, TypedIn>) -> Self {
        Cx { typed, ..Cx::new("") }
    }

    pub(crate) const fn text(&self) -> &'a str {
        self.text
    }

    pub(crate) fn position(&self, at: usize) -> (usize, usize) {
        let line = self.line_starts.partition_point(|start| *start <= at).max(1);
        let start = self.line_starts[line - 1];
        // Columns past a few thousand help nobody, and counting them in one endless line would.
        let end = at.min(start + 4000).min(self.text.len());
        let column = self.text.as_bytes().get(start..end).unwrap_or_default();
        (line, column.iter().filter(|b| (**b & 0xC0) != 0x80).count() + 1)
    }

    pub(crate) fn line(&self, span: Option<Range<usize>>) -> usize {
        self.position(span.map_or(0, |span| span.start)).0
    }

    fn given(&self, span: &Option<Range<usize>>) -> String {
        let slice = span.clone().and_then(|span| self.text.get(span)).unwrap_or_default();
        let line = slice.lines().next().unwrap_or_default().trim();
        let inner = line.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(line);
        shortened(inner)
    }

    /// Notes a problem; its description is made only where it is among those that are told.
    pub(crate) fn problem(
        &mut self,
        span: Option<Range<usize>>,
        path: &Path<'_>,
        describe: impl FnOnce(&str) -> (What, Sensible),
    ) {
        self.total += 1;
        let at = span.as_ref().map_or(0, |span| span.start);
        let place = self.first.partition_point(|(other, _)| *other <= at);
        if place >= TOLD_AT_ONCE {
            return;
        }
        let mut field = String::new();
        path.write(&mut field);
        let (line, column, given) = match self.typed.get(&field) {
            Some(typed) => {
                field.clone_from(&typed.path);
                (typed.number, 1, shortened(&typed.text))
            }
            None => {
                let (line, column) = self.position(at);
                (line, column, self.given(&span))
            }
        };
        let (what, sensible) = describe(&given);
        let given = if matches!(what, What::MissingField) { String::new() } else { given };
        self.first.insert(place, (at, Problem { line, column, field, given, what, sensible }));
        self.first.truncate(TOLD_AT_ONCE);
    }

    pub(crate) fn finish(self) -> Option<Problems> {
        let first: Vec<Problem> = self.first.into_iter().map(|(_, problem)| problem).collect();
        (self.total > 0).then_some(Problems { first, total: self.total })
    }

    /// Notes a name that is not among the instruments of the file.
    pub(crate) fn check_instrument(&mut self, name: &str, node: Node<'_>, path: &Path<'_>) {
        if !self.instruments.contains(name) {
            let sensible = self.is_told(node).then(|| listed(name, &self.instruments));
            self.unknown_name(node, path, sensible);
        }
    }

    /// Notes a name that is not among the cylinders of the file.
    pub(crate) fn check_cylinder(&mut self, name: &str, node: Node<'_>, path: &Path<'_>) {
        if !self.cylinders.contains(name) {
            let sensible = self.is_told(node).then(|| listed(name, &self.cylinders));
            self.unknown_name(node, path, sensible);
        }
    }

    fn unknown_name(&mut self, node: Node<'_>, path: &Path<'_>, sensible: Option<Sensible>) {
        self.problem(node.span(), path, |_| (What::UnknownName, sensible.unwrap_or(Sensible::Nothing)));
    }

    /// Returns whether a problem at a place would be among those that are told.
    fn is_told(&self, node: Node<'_>) -> bool {
        let at = node.span().map_or(0, |span| span.start);
        self.first.partition_point(|(other, _)| *other <= at) < TOLD_AT_ONCE
    }

    pub(crate) fn wrong_type(&mut self, node: Node<'_>, path: &Path<'_>, example: &str) {
        let found = node.found();
        self.problem(node.span(), path, |_| {
            (What::WrongType { found }, Sensible::Example(example.to_owned()))
        });
    }

    fn fault(&mut self, node: Node<'_>, path: &Path<'_>, fault: Fault, example: &str) {
        self.problem(node.span(), path, |given| problem::of_fault(fault, given, example));
    }

    /// Returns the field that must be there.
    pub(crate) fn need<T: FromToml>(
        &mut self,
        table: &'a dyn TableLike,
        at: Option<Range<usize>>,
        key: &'static str,
        path: &Path<'_>,
    ) -> Option<T> {
        let path = Path::Key(path, key);
        match table.get(key) {
            Some(item) => T::from_toml(self, Node::Item(item), &path),
            None => {
                self.problem(at, &path, |_| (What::MissingField, Sensible::Example(T::example())));
                None
            }
        }
    }

    /// Returns the field that may be there; the inner `None` when it is not.
    pub(crate) fn may<T: FromToml>(
        &mut self,
        table: &'a dyn TableLike,
        _: Option<Range<usize>>,
        key: &'static str,
        path: &Path<'_>,
    ) -> Option<Option<T>> {
        match table.get(key) {
            Some(item) => T::from_toml(self, Node::Item(item), &Path::Key(path, key)).map(Some),
            None => Some(None),
        }
    }

    /// Returns the list, empty when it is not there; a single text or table stands for a list of one.
    pub(crate) fn many<T: FromToml>(
        &mut self,
        table: &'a dyn TableLike,
        _: Option<Range<usize>>,
        key: &'static str,
        path: &Path<'_>,
    ) -> Option<Vec<T>> {
        let Some(item) = table.get(key) else { return Some(Vec::new()) };
        let path = Path::Key(path, key);
        let node = Node::Item(item);
        let elements = match node.elements() {
            // A pair is a list itself.
            Some(elements) if !T::IS_LIST || elements.iter().all(|e| e.elements().is_some()) => elements,
            _ => vec![node],
        };
        let mut all = Vec::with_capacity(elements.len());
        let mut whole = true;
        for (index, element) in elements.into_iter().enumerate() {
            match T::from_toml(self, element, &Path::Index(&path, index)) {
                Some(one) => all.push(one),
                None => whole = false,
            }
        }
        whole.then_some(all)
    }

    /// Notes every key of a table that is in none of `known`.
    pub(crate) fn check_keys(&mut self, table: &dyn TableLike, path: &Path<'_>, known: &[&[&'static str]]) {
        for (key, _) in table.iter() {
            if known.iter().any(|keys| keys.contains(&key)) {
                continue;
            }
            let span = table.key(key).and_then(toml_edit::Key::span);
            self.problem(span, &Path::Key(path, key), |_| {
                let all: Vec<&'static str> = known.iter().flat_map(|keys| keys.iter().copied()).collect();
                (What::UnknownKey, problem::words(key, &all))
            });
        }
    }

    fn read<Q: Reads>(&mut self, node: Node<'a>, path: &Path<'_>) -> Option<Typed<Q>> {
        let Some(text) = node.text(self) else {
            self.wrong_type(node, path, Q::EXAMPLE);
            return None;
        };
        match Typed::read(text, &self.local) {
            Ok(typed) => Some(typed),
            Err(fault) => {
                self.fault(node, path, fault, Q::EXAMPLE);
                None
            }
        }
    }
}

/// Returns the first names of a list, and the nearest of them.
fn listed(name: &str, names: &BTreeSet<String>) -> Sensible {
    let near = problem::nearest(name, names.iter().take(1_000).map(String::as_str)).map(str::to_owned);
    Sensible::Words { words: names.iter().take(TOLD_AT_ONCE).cloned().collect(), near }
}

/// A key of the job file and the section it stands in.
pub type SectionKey = (String, &'static str);

/// A value that can be made of a place in the document.
pub(crate) trait FromToml: Sized {
    /// Whether its own form is a list.
    const IS_LIST: bool = false;
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self>;
    fn example() -> String;
    /// Returns what it takes, and what may stand beside it.
    fn takes() -> (Takes, Carries);
    fn list_keys(_section: &str, _into: &mut Vec<SectionKey>) {}
}

/// A table with fixed keys.
pub(crate) trait Section: Sized {
    const KEYS: &'static [&'static str];
    fn read_fields<'a>(
        cx: &mut Cx<'a>,
        table: &'a dyn TableLike,
        at: Option<Range<usize>>,
        path: &Path<'_>,
    ) -> Option<Self>;
    fn list_fields(section: &str, into: &mut Vec<SectionKey>);
    fn form() -> Form;
}

pub(crate) fn section_from_toml<'a, T: Section>(
    cx: &mut Cx<'a>,
    node: Node<'a>,
    path: &Path<'_>,
) -> Option<T> {
    let Some(table) = node.table() else {
        cx.wrong_type(node, path, &format!("{{ {} = ... }}", T::KEYS.first().copied().unwrap_or_default()));
        return None;
    };
    cx.check_keys(table, path, &[T::KEYS]);
    T::read_fields(cx, table, node.span(), path)
}

/// Defines a struct that is a table of the job file and an object of the log: one field, one key of the same name.
/// `need` must be there, `may` becomes an `Option`, `many` a `Vec`.
macro_rules! table {
    ($(#[$meta:meta])* $name:ident { $($body:tt)* }) => {
        table!(@ [$(#[$meta])*] $name [] [] $($body)*);
    };
    (@ [$($meta:tt)*] $name:ident [$($out:tt)*] [$(($how:ident $field:ident $type:ty))*]) => {
        $($meta)*
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        pub struct $name { $($out)* }

        impl $crate::table::Section for $name {
            const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];
            fn read_fields<'a>(
                cx: &mut $crate::table::Cx<'a>,
                table: &'a dyn toml_edit::TableLike,
                at: Option<core::ops::Range<usize>>,
                path: &$crate::table::Path<'_>,
            ) -> Option<Self> {
                let _ = (&cx, table, &at, path);
                $(let $field = cx.$how::<$type>(table, at.clone(), stringify!($field), path);)*
                Some($name { $($field: $field?,)* })
            }
            fn list_fields(section: &str, into: &mut Vec<$crate::table::SectionKey>) {
                let _ = (section, &into);
                $(
                    into.push((section.to_owned(), stringify!($field)));
                    let inner = if section.is_empty() {
                        stringify!($field).to_owned()
                    } else {
                        format!("{section}.{}", stringify!($field))
                    };
                    <$type as $crate::table::FromToml>::list_keys(&inner, into);
                )*
            }
            fn form() -> $crate::form::Form {
                $crate::form::Form { fields: vec![$(
                    $crate::form::field::<$type>(
                        stringify!($field),
                        stringify!($how) == "need",
                        stringify!($how) == "many",
                    ),
                )*] }
            }
        }

        impl $crate::table::FromToml for $name {
            fn from_toml<'a>(
                cx: &mut $crate::table::Cx<'a>,
                node: $crate::table::Node<'a>,
                path: &$crate::table::Path<'_>,
            ) -> Option<Self> {
                $crate::table::section_from_toml(cx, node, path)
            }
            fn example() -> String {
                let keys = <Self as $crate::table::Section>::KEYS;
                format!("{{ {} = ... }}", keys.first().copied().unwrap_or_default())
            }
            fn takes() -> ($crate::form::Takes, $crate::form::Carries) {
                let form = <Self as $crate::table::Section>::form();
                ($crate::form::Takes::Group(form), $crate::form::Carries::Nothing)
            }
            fn list_keys(section: &str, into: &mut Vec<$crate::table::SectionKey>) {
                <Self as $crate::table::Section>::list_fields(section, into);
            }
        }
    };
    (@ [$($meta:tt)*] $name:ident [$($out:tt)*] [$($read:tt)*]
        $(#[$doc:meta])* need $field:ident: $type:ty, $($rest:tt)*) => {
        table!(@ [$($meta)*] $name
            [$($out)* $(#[$doc])* pub $field: $type,]
            [$($read)* (need $field $type)] $($rest)*);
    };
    (@ [$($meta:tt)*] $name:ident [$($out:tt)*] [$($read:tt)*]
        $(#[$doc:meta])* may $field:ident: $type:ty, $($rest:tt)*) => {
        table!(@ [$($meta)*] $name
            [$($out)* $(#[$doc])* #[serde(default, skip_serializing_if = "Option::is_none")] pub $field: Option<$type>,]
            [$($read)* (may $field $type)] $($rest)*);
    };
    (@ [$($meta:tt)*] $name:ident [$($out:tt)*] [$($read:tt)*]
        $(#[$doc:meta])* many $field:ident: $type:ty, $($rest:tt)*) => {
        table!(@ [$($meta)*] $name
            [$($out)* $(#[$doc])* #[serde(default, skip_serializing_if = "Vec::is_empty")] pub $field: Vec<$type>,]
            [$($read)* (many $field $type)] $($rest)*);
    };
}
pub(crate) use table;

macro_rules! plain_values {
    ($($type:ty),* $(,)?) => {$(
        impl FromToml for $type {
            fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
                cx.read::<$type>(node, path).map(|typed| typed.value)
            }
            fn example() -> String {
                <$type as Reads>::EXAMPLE.to_owned()
            }
            fn takes() -> (Takes, Carries) {
                (<$type as Reads>::takes(), Carries::Nothing)
            }
        }
    )*};
}
use crate::known::{Money, Percent};
use crate::words::*;
plain_values!(
    String,
    u32,
    Money,
    Percent,
    When,
    YesNo,
    LineKind,
    Holds,
    Measures,
    PressureBasis,
    AddReason,
    ChargeFound,
    CylinderUse,
    EquipmentUse,
    GasOrigin,
    OwnerKind,
    RateMethod,
    SpecialUse,
    StepOf,
    RunState,
    Glass,
    Moisture,
    Method,
    CheckResult,
    CircuitRegion,
    CircuitSide,
    Cover,
    PlaceChange,
    PassFail,
    TestGas,
    Direction,
    SettingOf,
    Urgency,
    Answer,
    CheckedAgainst,
    PartSource,
    BookedFor,
    SeenKind,
    Work,
    Paper,
    PriceFor,
    Per,
    GasUnit,
    HoseGas,
    Agreement,
    Change,
);

impl<Q: Reads> FromToml for Typed<Q> {
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
        cx.read(node, path)
    }
    fn example() -> String {
        Q::EXAMPLE.to_owned()
    }
    fn takes() -> (Takes, Carries) {
        (Q::takes(), Carries::Nothing)
    }
}

/// The keys of a value written as a table.
pub(crate) const KNOWN_KEYS: &[&str] = &["value", "from", "to", "told_by"];
/// The keys of a measured value written as a table.
pub(crate) const MEASURED_KEYS: &[&str] = &["value", "with", "tap"];

impl<Q: Reads> FromToml for Known<Q> {
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
        let Some(table) = node.table() else {
            let Some(text) = node.text(cx) else {
                cx.wrong_type(node, path, Q::EXAMPLE);
                return None;
            };
            return match Known::read(text, &cx.local) {
                Ok(known) => Some(known),
                Err(fault) => {
                    cx.fault(node, path, fault, Q::EXAMPLE);
                    None
                }
            };
        };
        cx.check_keys(table, path, &[KNOWN_KEYS]);
        let told_by: Option<Option<String>> = cx.may(table, None, "told_by", path);
        let what = match (table.get("from"), table.get("to")) {
            (None, None) => cx.need::<Known<Q>>(table, node.span(), "value", path)?,
            (from, to) => {
                if table.get("value").is_some() {
                    cx.problem(node.span(), path, |_| {
                        (What::OneOfTwo { other: "value" }, Sensible::Example(Q::EXAMPLE.to_owned()))
                    });
                    return None;
                }
                let (Some(from), Some(to)) = (from, to) else {
                    let missing = if from.is_none() { "from" } else { "to" };
                    cx.problem(node.span(), &Path::Key(path, missing), |_| {
                        (What::MissingField, Sensible::Example(Q::EXAMPLE.to_owned()))
                    });
                    return None;
                };
                let low = cx.read::<Q>(Node::Item(from), &Path::Key(path, "from"));
                let high = cx.read::<Q>(Node::Item(to), &Path::Key(path, "to"));
                let (low, high) = (low?, high?);
                if low.value.order(&high.value) == Some(core::cmp::Ordering::Greater) {
                    cx.fault(node, path, Fault::RangeOrder, Q::EXAMPLE);
                    return None;
                }
                Known::Range { from: low, to: high }
            }
        };
        Some(match told_by? {
            Some(by) => Known::Told { by: Some(by), what: Box::new(what) },
            None => what,
        })
    }
    fn example() -> String {
        Q::EXAMPLE.to_owned()
    }
    fn takes() -> (Takes, Carries) {
        (Q::takes(), Carries::Known)
    }
}

impl<Q: Reads> FromToml for Measured<Q> {
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
        let Some(table) = node.table() else {
            return cx.read(node, path).map(|value| Measured { value, with: None, tap: None });
        };
        cx.check_keys(table, path, &[MEASURED_KEYS]);
        let value = cx.need(table, node.span(), "value", path);
        let with: Option<Option<String>> = cx.may(table, None, "with", path);
        if let (Some(Some(name)), Some(item)) = (&with, table.get("with")) {
            cx.check_instrument(name, Node::Item(item), &Path::Key(path, "with"));
        }
        let tap = cx.may(table, None, "tap", path);
        Some(Measured { value: value?, with: with?, tap: tap? })
    }
    fn example() -> String {
        Q::EXAMPLE.to_owned()
    }
    fn takes() -> (Takes, Carries) {
        (Q::takes(), Carries::Measured)
    }
}

impl FromToml for Composition {
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
        let Some(table) = node.table() else {
            cx.wrong_type(node, path, &Self::example());
            return None;
        };
        let mut shares = std::collections::BTreeMap::new();
        let mut whole = true;
        for (name, item) in table.iter() {
            match cx.read::<units::Fraction>(Node::Item(item), &Path::Key(path, name)) {
                Some(share) => {
                    shares.insert(name.to_owned(), share.value);
                }
                None => whole = false,
            }
        }
        let sum: f64 = shares.values().map(|share| share.ratio()).sum();
        if whole && (sum - 1.0).abs() > 1e-6 {
            cx.problem(node.span(), path, |_| {
                (What::CompositionSum { sum }, Sensible::Example(Self::example()))
            });
            return None;
        }
        whole.then_some(Composition(shares))
    }
    fn example() -> String {
        "{ R-32 = 0.26, R-125 = 0.74 }".to_owned()
    }
    fn takes() -> (Takes, Carries) {
        (Takes::Shares, Carries::Nothing)
    }
}

impl FromToml for RisePoint {
    const IS_LIST: bool = true;
    fn from_toml<'a>(cx: &mut Cx<'a>, node: Node<'a>, path: &Path<'_>) -> Option<Self> {
        let elements = node.elements();
        let Some([time, pressure]) = elements.as_deref() else {
            cx.wrong_type(node, path, &Self::example());
            return None;
        };
        let time = cx.read(*time, &Path::Index(path, 0));
        let pressure = cx.read(*pressure, &Path::Index(path, 1));
        Some(RisePoint { time: time?, pressure: pressure? })
    }
    fn example() -> String {
        "[\"5 min\", \"620 micron\"]".to_owned()
    }
    fn takes() -> (Takes, Carries) {
        (Takes::Point, Carries::Nothing)
    }
}

impl Section for Setting {
    const KEYS: &'static [&'static str] = &["what", "found", "left", "why"];
    fn read_fields<'a>(
        cx: &mut Cx<'a>,
        table: &'a dyn TableLike,
        at: Option<Range<usize>>,
        path: &Path<'_>,
    ) -> Option<Self> {
        let what: Option<SettingOf> = cx.need(table, at, "what", path);
        cx.local.setting = what;
        let found = cx.may(table, None, "found", path);
        let left = cx.may(table, None, "left", path);
        cx.local.setting = None;
        let why = cx.may(table, None, "why", path);
        Some(Setting { what: what?, found: found?, left: left?, why: why? })
    }
    fn list_fields(section: &str, into: &mut Vec<SectionKey>) {
        into.extend(Self::KEYS.iter().map(|key| (section.to_owned(), *key)));
    }
    fn form() -> Form {
        use crate::form::field;
        Form {
            fields: vec![
                field::<SettingOf>("what", true, false),
                field::<Known<SettingValue>>("found", false, false),
                field::<Known<SettingValue>>("left", false, false),
                field::<String>("why", false, false),
            ],
        }
    }
}
