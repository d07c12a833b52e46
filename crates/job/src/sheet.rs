//! Single sheets of a visit: for the customer, for the unit, for the leak log, for the cylinders, for who comes next.

mod customer;
mod handover;
mod label;
mod logs;
mod places;

use crate::visit::{Results, Visit};
use record::{Known, SettingOf};
use report::{Block, Document, List, Mark, Message, Section, Text};
use units::Writer;

/// A sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// What the customer reads: one page in plain words, the detail behind it.
    Customer,
    /// What hangs at the unit: charge, settings as left, who was here.
    Label,
    /// Every look for a leak, every repair and test of this system.
    Leaks,
    /// What went through each cylinder.
    Cylinders,
    /// For who comes next: how it was left, what is owed, what is normal here.
    Handover,
    /// Before the call: what was said, what to load.
    Load,
    /// Place by place: what to take there, what was touched, what is owed.
    Places,
}

impl Sheet {
    /// The names of the sheets, as a command takes them.
    pub const NAMES: [&'static str; 7] =
        ["customer", "label", "leaks", "cylinders", "handover", "load", "places"];

    /// Returns the sheet of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "customer" => Some(Self::Customer),
            "label" => Some(Self::Label),
            "leaks" => Some(Self::Leaks),
            "cylinders" => Some(Self::Cylinders),
            "handover" => Some(Self::Handover),
            "load" => Some(Self::Load),
            "places" => Some(Self::Places),
            _ => None,
        }
    }

    /// Returns its name, as a command takes it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        Self::NAMES[self as usize]
    }

    /// Returns what stands at its head.
    #[must_use]
    pub fn title(self) -> Message {
        match self {
            Self::Customer => Message::new("sheet-customer"),
            Self::Label => Message::new("sheet-label"),
            Self::Leaks => Message::new("sheet-leaks"),
            Self::Cylinders => Message::new("sheet-cylinders"),
            Self::Handover => Message::new("sheet-handover"),
            Self::Load => Message::new("load-before"),
            Self::Places => Message::new("places-title"),
        }
    }
}

/// Returns a sheet of the visit.
#[must_use]
pub fn sheet(results: &Results<'_>, sheet: Sheet, writer: &Writer) -> Document {
    sheet_with(results, sheet, None, writer)
}

/// Returns a sheet of the visit; what to load with what the van has of it.
#[must_use]
pub fn sheet_with(
    results: &Results<'_>,
    sheet: Sheet,
    van: Option<&crate::van::Van>,
    writer: &Writer,
) -> Document {
    let mut document = match sheet {
        Sheet::Customer => customer::document(results, writer),
        Sheet::Label => label::document(results, writer),
        Sheet::Leaks => logs::leaks(results),
        Sheet::Cylinders => logs::cylinders(results),
        Sheet::Handover => handover::document(results, writer),
        Sheet::Places => places::document(results),
        Sheet::Load => crate::load::document(results.visit, &results.account, van, writer),
    };
    document.decimal_comma = writer.decimal_comma;
    document
}

/// A document of this visit with its head.
fn headed(visit: &Visit, sheet: Sheet) -> Document {
    titled(visit, sheet.title())
}

/// A document of this visit with its head and title.
pub(crate) fn titled(visit: &Visit, title: Message) -> Document {
    let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(title, "en", mark);
    let system = &visit.system.value;
    let names = [visit.site.value.name.clone(), system.name.clone()];
    document.subtitle = Some(Text::verbatim(names.into_iter().flatten().collect::<Vec<_>>().join(", ")));
    document.details.extend(visit.day().map(|day| Text::verbatim(day.to_string())));
    document.details.extend(
        visit.visit.value.by.as_ref().map(|by| Text::from(Message::new("visit-by").with("who", by.as_str()))),
    );
    document
}

fn put(document: &mut Document, heading: Message, items: Vec<Text>) {
    if !items.is_empty() {
        document.sections.push(Section::new(heading, vec![Block::List(List { ordered: false, items })]));
    }
}

/// The settings as they stand: the last of each kind at each place, over all visits.
fn settings_left(visit: &Visit) -> Vec<(SettingOf, Option<String>, String)> {
    let mut out: Vec<(SettingOf, Option<String>, String)> = Vec::new();
    let all = visit.entries_of_all(|body| match body {
        record::Body::Setting(setting) => Some(&**setting),
        _ => None,
    });
    for (_, entry, setting) in all {
        let Some(left) = setting.left.as_ref().map(Known::text) else { continue };
        let place = entry.seen.place.clone();
        match out.iter_mut().find(|(what, at, _)| *what == setting.what && *at == place) {
            Some(known) => known.2 = left,
            None => out.push((setting.what, place, left)),
        }
    }
    out
}
