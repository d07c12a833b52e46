//! What can be entered at a stage: the kind of entry, what is already known of it, what was typed last.

use crate::visit::Visit;
use record::{Body, Measured, Reading, Typed, When};
use report::Message;
use uuid::Uuid;

/// What was typed last for a field.
#[derive(Clone, Debug, PartialEq)]
pub struct Last {
    /// As typed.
    pub text: String,
    /// When.
    pub at: Option<When>,
}

/// Something that can be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The kind of entry, or the section of facts.
    pub kind: &'static str,
    /// What the button says.
    pub label: Message,
    /// Why it is asked for, where that is not plain.
    pub why: Option<Message>,
    /// What is already known of it: path and text.
    pub preset: Vec<(String, String)>,
    /// The fields of the short form, by their paths, the first to be typed first.
    pub ask: Vec<String>,
    /// What was typed last for the first field asked: a quick value.
    pub last: Option<Last>,
    /// The entry that this adds to, by a correction; a new entry otherwise.
    pub onto: Option<Uuid>,
}

impl Offer {
    /// Returns an offer of a kind of entry that asks these fields.
    #[must_use]
    pub fn new(kind: &'static str, label: Message, ask: &[&str]) -> Offer {
        Offer {
            kind,
            label,
            why: None,
            preset: Vec::new(),
            ask: ask.iter().map(|path| (*path).to_owned()).collect(),
            last: None,
            onto: None,
        }
    }

    /// Returns the offer with a field that is already known.
    #[must_use]
    pub fn with(mut self, path: &str, text: impl Into<String>) -> Offer {
        self.preset.push((path.to_owned(), text.into()));
        self
    }

    /// Returns the offer with a reason.
    #[must_use]
    pub fn because(mut self, why: Message) -> Offer {
        self.why = Some(why);
        self
    }

    /// Returns the offer as an addition to an entry.
    #[must_use]
    pub fn onto(mut self, entry: Uuid) -> Offer {
        self.onto = Some(entry);
        self
    }
}

/// The readings that are entered in two taps, each with its name on the button.
const QUICK: [&str; 8] = [
    "ambient",
    "suction_pressure",
    "discharge_pressure",
    "liquid_pressure",
    "box_air",
    "glass",
    "fans_running",
    "air_on_condenser",
];

/// Returns the offer of one reading in two taps, with its last value.
pub fn quick(visit: &Visit, field: &'static str) -> Offer {
    debug_assert!(QUICK.contains(&field), "a quick value without a name: {field}");
    let label = match field {
        "ambient" => Message::new("offer-ambient"),
        "suction_pressure" => Message::new("offer-suction"),
        "discharge_pressure" => Message::new("offer-discharge"),
        "liquid_pressure" => Message::new("offer-liquid"),
        "box_air" => Message::new("offer-box-air"),
        "glass" => Message::new("offer-glass"),
        "fans_running" => Message::new("offer-fans"),
        _ => Message::new("offer-condenser-air"),
    };
    let mut offer = Offer::new("reading", label, &[field]);
    offer.last = last(visit, field);
    offer
}

/// Returns what was typed last for a reading.
#[must_use]
pub fn last(visit: &Visit, field: &str) -> Option<Last> {
    visit
        .entries(|body| match body {
            Body::Reading(reading) => Some(&**reading),
            _ => None,
        })
        .filter_map(|(entry, reading)| {
            typed(reading, field).map(|text| Last { text, at: entry.seen.at.clone() })
        })
        .last()
}

fn typed(reading: &Reading, field: &str) -> Option<String> {
    fn text<Q>(measured: &Option<Measured<Q>>) -> Option<String> {
        measured.as_ref().map(|Measured { value: Typed { text, .. }, .. }| text.clone())
    }
    match field {
        "ambient" => text(&reading.ambient),
        "suction_pressure" => text(&reading.suction_pressure),
        "discharge_pressure" => text(&reading.discharge_pressure),
        "liquid_pressure" => text(&reading.liquid_pressure),
        "box_air" => text(&reading.box_air),
        "air_on_condenser" => text(&reading.air_on_condenser),
        "glass" => reading.glass.map(|glass| glass.word().to_owned()),
        "fans_running" => reading.fans_running.map(|count| count.to_string()),
        _ => None,
    }
}
