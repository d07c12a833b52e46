//! What each kind of entry takes, field by field: derived from the very tables that the job file is read by.

use crate::event::Body;
use crate::model::*;
use crate::table::{FromToml, Section};

/// What a field takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Takes {
    /// A pressure with its basis, gauge or absolute.
    Pressure,
    /// A difference of pressures.
    PressureDifference,
    /// A barometer reading.
    Barometer,
    /// A pressure, or the saturation temperature it stands for.
    PressureOrTemperature,
    /// A temperature.
    Temperature,
    /// A difference of temperatures.
    TemperatureDifference,
    /// A mass.
    Mass,
    /// A volume.
    Volume,
    /// A length.
    Length,
    /// A stretch of time.
    Duration,
    /// A power.
    Power,
    /// A mass in a time.
    MassFlow,
    /// What a pump or a machine takes in, by volume.
    VolumeFlow,
    /// A part of a whole.
    Fraction,
    /// How exact an instrument is: a difference of pressures or temperatures, a mass, or a share.
    Exactness,
    /// A whole number of at least zero.
    Count,
    /// An amount of money with its currency.
    Money,
    /// A moment: a time of day, a date, or both.
    Moment,
    /// An offset from UTC.
    Offset,
    /// One of these words.
    Words(&'static [&'static str]),
    /// The value of a setting: which quantity it is depends on the field `what` beside it.
    Setting,
    /// A name out of a list that grows with the record.
    Name(NameOf),
    /// Free words.
    Text,
    /// Shares by name, the path of each ending in that name.
    Shares,
    /// A stretch of time and a pressure: the paths end in `[1]` and `[2]`.
    Point,
    /// Fields of its own, the path of each standing behind this one's and a dot.
    Group(Form),
}

/// Of what a field takes the name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NameOf {
    /// An instrument of the record; another name is refused.
    Instrument,
    /// A refrigerant cylinder of the record; another name is refused.
    Cylinder,
    /// A place; any other words are taken too.
    Place,
    /// A refrigerant; any other words are taken too.
    Refrigerant,
    /// A picture of the record; any other words are taken too.
    Picture,
}

/// What may stand beside a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Carries {
    /// Nothing.
    Nothing,
    /// The instrument it was measured with and the tap: paths ending in `.with` and `.tap`.
    Measured,
    /// Doubt and hearsay: `about` before it, `unknown` instead of it, a range by `..`, `, as told by NAME` behind it;
    /// or paths ending in `.from`, `.to` and `.told_by`.
    Known,
}

/// One field of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its key in the job file and in the log.
    pub key: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// Whether it must be there.
    pub need: bool,
    /// Whether it may stand several times; the paths then end in `[1]`, `[2]` and so on.
    pub many: bool,
    /// What may stand beside its value.
    pub carries: Carries,
    /// A text that reads.
    pub example: String,
}

/// The fields of a kind of entry or of a section of facts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Form {
    /// The fields, in the order of the table.
    pub fields: Vec<Field>,
}

impl Form {
    /// Returns the field of this key.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.key == key)
    }

    /// Returns the field at a path such as `start.pressure` or `points[3]`, through groups; the places in a list and
    /// what stands beside a value (`.with`, `.told_by`) lead to the field itself.
    #[must_use]
    pub fn at(&self, path: &str) -> Option<&Field> {
        let mut form = self;
        let mut found: Option<&Field> = None;
        for part in path.split('.') {
            let key = part.split('[').next().unwrap_or_default();
            match found.map(|field| &field.takes) {
                None => {}
                Some(Takes::Group(inner)) => form = inner,
                Some(_) => return found,
            }
            found = Some(form.field(key)?);
        }
        found
    }
}

/// The sections of facts, with `line` and `shut_off`, the lists of their own that a system holds.
pub const FACT_SECTIONS: &[&str] =
    &["site", "customer", "visit", "system", "instrument", "cylinder", "line", "shut_off"];

/// The fields whose text is a name: section, key, of what.
pub(crate) const NAMES: &[(&str, &str, NameOf)] = &[
    ("entry", "with", NameOf::Instrument),
    ("entry", "place", NameOf::Place),
    ("leak check", "except", NameOf::Place),
    ("tool check", "tool", NameOf::Instrument),
    ("weighing", "cylinder", NameOf::Cylinder),
    ("weighing", "refrigerant", NameOf::Refrigerant),
    ("reading", "gauges_set_to", NameOf::Refrigerant),
    ("system", "refrigerant", NameOf::Refrigerant),
    ("cylinder", "refrigerant", NameOf::Refrigerant),
    ("instrument", "part_of", NameOf::Instrument),
    ("finding", "picture", NameOf::Picture),
];

fn named(section: &str, mut form: Form) -> Form {
    for field in &mut form.fields {
        let name = NAMES.iter().find(|(of, key, _)| *of == section && *key == field.key);
        if let Some((_, _, name)) = name {
            field.takes = Takes::Name(*name);
        }
    }
    form
}

/// Returns the kinds of entry, as they stand in the job file.
#[must_use]
pub fn kinds() -> Vec<&'static str> {
    crate::entry_kinds()
}

/// Returns what every entry may carry beside its own fields: when, where, with what, told by whom, a note.
#[must_use]
pub fn entry_head() -> Form {
    let mut form = named("entry", EntryHead::form());
    // The kind is chosen before; name and author belong to the event.
    form.fields.retain(|field| !matches!(field.key, "kind" | "id" | "by"));
    form
}

/// Returns what a kind of entry or a section of facts takes; nothing for a kind that nobody knows.
#[must_use]
pub fn form(kind: &str) -> Option<Form> {
    let plain = crate::words::plain(kind);
    let form = match kind {
        "site" => Site::form(),
        "customer" => Customer::form(),
        "visit" => Visit::form(),
        "system" => System::form(),
        "instrument" => Instrument::form(),
        "cylinder" => Cylinder::form(),
        "line" => Line::form(),
        "shut_off" => ShutOff::form(),
        _ => Body::entry_form(&plain)?,
    };
    Some(named(if FACT_SECTIONS.contains(&kind) { kind } else { &plain }, form))
}

/// Returns a field that must be there, may be there, or may stand several times.
pub(crate) fn field<T: FromToml>(key: &'static str, need: bool, many: bool) -> Field {
    let (takes, carries) = T::takes();
    Field { key, takes, need, many, carries, example: T::example() }
}
