//! One entry of the log, and what it may say.

use crate::model::*;
use crate::when::When;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use uuid::Uuid;

/// The stamp of a hybrid logical clock: the wall clock, pushed forward by what was seen.
///
/// It orders the log; it never decides a disagreement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01T00:00:00Z, never behind any stamp seen before.
    pub ms: i64,
    /// Counts the stamps of one millisecond.
    pub n: u32,
}

impl Stamp {
    /// Returns the next stamp of a device whose wall clock shows `now`.
    #[must_use]
    pub fn next(self, now: i64) -> Self {
        if now > self.ms {
            return Stamp { ms: now, n: 0 };
        }
        match self.n.checked_add(1) {
            Some(n) => Stamp { ms: self.ms, n },
            None => Stamp { ms: self.ms.saturating_add(1), n: 0 },
        }
    }

    /// Returns the next stamp after a stamp of another device was seen.
    #[must_use]
    pub fn after(self, seen: Stamp, now: i64) -> Self {
        self.max(seen).next(now)
    }
}

/// What was seen or done: the part of an event that can be corrected.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Observation {
    /// When it happened, by the clock of the place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<When>,
    /// Where: box, roof, van, plant room, or a place of the circuit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// The instruments used, by name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
    /// Who told it, where nobody here saw it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_by: Option<String>,
    /// Anything else.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// What it was.
    pub what: Body,
}

/// What was seen or done, by kind.
///
/// `Site`, `Customer`, `Visit` and `System` are facts: an event carries one field, the others are absent, so that each
/// has its own author and its own corrections. [`crate::Current::system`] puts them together.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// A fact about the site.
    Site(Box<Site>),
    /// A fact about the customer.
    Customer(Box<Customer>),
    /// A fact about the visit as a whole.
    Visit(Box<Visit>),
    /// A fact about the system.
    System(Box<System>),
    /// An instrument.
    Instrument(Box<Instrument>),
    /// A refrigerant cylinder.
    Cylinder(Box<Cylinder>),
    /// Coming to a place.
    Arrival(Arrival),
    /// Leaving a place.
    Departure(Departure),
    /// Readings of one moment.
    Reading(Box<Reading>),
    /// A leak check.
    LeakCheck(Box<LeakCheck>),
    /// The check of a leak detector.
    DetectorCheck(DetectorCheck),
    /// The check of another instrument or tool.
    ToolCheck(ToolCheck),
    /// A count of something on the van.
    Stock(Stock),
    /// A search by others.
    EarlierSearch(Box<EarlierSearch>),
    /// A place of the circuit as it is here.
    CircuitPlace(Box<CircuitPlace>),
    /// Refrigerant added or taken out in the past.
    PastChange(Box<PastChange>),
    /// A repair.
    Repair(Box<Repair>),
    /// Something opened.
    Opened(Opened),
    /// Something closed again.
    Closed(Opened),
    /// A hold test.
    Hold(Box<Hold>),
    /// A vacuum rise test.
    Rise(Box<Rise>),
    /// A section about to be opened.
    OpeningPlan(Box<OpeningPlan>),
    /// Refrigerant drawn out by a machine.
    Recovery(Box<Recovery>),
    /// An evacuation.
    Evacuation(Box<Evacuation>),
    /// What is normal here.
    Normal(Box<Normal>),
    /// A cylinder weighed.
    Weighing(Box<Weighing>),
    /// A setting as found and as left.
    Setting(Box<Setting>),
    /// Something else that was seen.
    Finding(Box<Finding>),
    /// A part by its function.
    Part(Part),
    /// A piece of work that is offered.
    PlannedWork(Box<PlannedWork>),
    /// A numbered quote or invoice.
    Sent(Box<Sent>),
    /// A picture.
    Picture(Picture),
    /// What the customer chose.
    Choice(Choice),
    /// A step that the law counts from.
    Step(Box<Step>),
    /// Words.
    Note(Note),
    /// A kind that this program does not know; kept as it is.
    Unknown(Value),
}

macro_rules! bodies {
    ($($variant:ident = $tag:literal $entry:literal $type:ty,)*) => {
        impl Body {
            /// The tags of all kinds, in the order of the variants.
            pub const TAGS: &'static [&'static str] = &[$($tag),*];
            /// The kinds that stand as `kind` in an entry of the job file.
            pub(crate) const ENTRY_KINDS: &'static [&'static str] = &[$($entry),*];

            /// Returns the tag of the kind, as it stands in the log; of an unknown kind what stood there.
            #[must_use]
            pub fn tag(&self) -> &str {
                match self {
                    $(Body::$variant(_) => $tag,)*
                    Body::Unknown(value) => value.get("type").and_then(Value::as_str).unwrap_or_default(),
                }
            }

            fn to_value(&self) -> Result<Value, serde_json::Error> {
                match self {
                    $(Body::$variant(body) => {
                        let mut value = serde_json::to_value(body)?;
                        if let Value::Object(map) = &mut value {
                            map.insert("type".to_owned(), Value::from($tag));
                        }
                        Ok(value)
                    })*
                    Body::Unknown(value) => Ok(value.clone()),
                }
            }

            fn from_value(value: Value) -> Self {
                let read = match value.get("type").and_then(Value::as_str) {
                    $(Some($tag) => <$type>::deserialize(&value).map(|body| Body::$variant(body.into())),)*
                    _ => return Body::Unknown(value),
                };
                read.unwrap_or(Body::Unknown(value))
            }

            pub(crate) fn entry_keys(kind: &str) -> &'static [&'static str] {
                match kind {
                    $($entry if !$entry.is_empty() => <$type as crate::table::Section>::KEYS,)*
                    _ => &[],
                }
            }

            /// Returns the kind of entry as the job file and [`crate::form::form`] name it, of a fact its section; of an
            /// unknown kind nothing.
            #[must_use]
            pub const fn form_name(&self) -> Option<&'static str> {
                match self {
                    $(Body::$variant(_) => Some(if $entry.is_empty() { $tag } else { $entry }),)*
                    Body::Unknown(_) => None,
                }
            }

            pub(crate) fn entry_form(kind: &str) -> Option<crate::form::Form> {
                match kind {
                    $($entry if !$entry.is_empty() => Some(<$type as crate::table::Section>::form()),)*
                    _ => None,
                }
            }

            pub(crate) fn entry_body<'a>(
                kind: &str,
                cx: &mut crate::table::Cx<'a>,
                table: &'a dyn toml_edit::TableLike,
                at: Option<core::ops::Range<usize>>,
                path: &crate::table::Path<'_>,
            ) -> Option<Self> {
                match kind {
                    $($entry if !$entry.is_empty() => <$type as crate::table::Section>::read_fields(cx, table, at, path)
                        .map(|body| Body::$variant(body.into())),)*
                    _ => None,
                }
            }

            pub(crate) fn list_entries(into: &mut Vec<crate::table::SectionKey>) {
                $(if !$entry.is_empty() {
                    <$type as crate::table::Section>::list_fields(concat!("entry ", $entry), into);
                })*
            }
        }
    };
}

bodies! {
    Site = "site" "" Site,
    Customer = "customer" "" Customer,
    Visit = "visit" "" Visit,
    System = "system" "" System,
    Instrument = "instrument" "" Instrument,
    Cylinder = "cylinder" "" Cylinder,
    Arrival = "arrival" "arrival" Arrival,
    Departure = "departure" "departure" Departure,
    Reading = "reading" "reading" Reading,
    LeakCheck = "leak_check" "leak check" LeakCheck,
    DetectorCheck = "detector_check" "detector check" DetectorCheck,
    ToolCheck = "tool_check" "tool check" ToolCheck,
    Stock = "stock" "stock" Stock,
    EarlierSearch = "earlier_search" "earlier search" EarlierSearch,
    CircuitPlace = "circuit_place" "circuit place" CircuitPlace,
    PastChange = "past_change" "past change" PastChange,
    Repair = "repair" "repair" Repair,
    Opened = "opened" "opened" Opened,
    Closed = "closed" "closed" Opened,
    Hold = "hold" "hold" Hold,
    Rise = "rise" "rise" Rise,
    OpeningPlan = "opening_plan" "opening plan" OpeningPlan,
    Recovery = "recovery" "recovery" Recovery,
    Evacuation = "evacuation" "evacuation" Evacuation,
    Normal = "normal" "normal" Normal,
    Weighing = "weighing" "weighing" Weighing,
    Setting = "setting" "setting" Setting,
    Finding = "finding" "finding" Finding,
    Part = "part" "part" Part,
    PlannedWork = "planned_work" "planned work" PlannedWork,
    Sent = "sent" "sent" Sent,
    Picture = "picture" "picture" Picture,
    Choice = "choice" "choice" Choice,
    Step = "step" "step" Step,
    Note = "note" "note" Note,
}

impl Serialize for Body {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.to_value().map_err(serde::ser::Error::custom)?.serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Body {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Value::deserialize(deserializer).map(Body::from_value)
    }
}

/// What an event says.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// Something was seen or done; a [`Body::Choice`] among them has the kind `choice`.
    Observed(Observation),
    /// An earlier event was wrong; this is right.
    Correction(Correction),
    /// A person decided between values that disagree.
    Settlement(Settlement),
    /// A result that somebody signed: a frozen copy, never an input.
    SignedResult(SignedResult),
    /// An event is withdrawn, or its content erased.
    Redaction(Redaction),
    /// What stood here was erased; its hash remains.
    Erased(Erased),
    /// A kind that this program does not know; kept as it is.
    Unknown {
        /// Its kind.
        kind: String,
        /// Its body.
        body: Value,
    },
}

/// A correction: names the event that was wrong and says what is right.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The event that was wrong: an observation, a choice, or an earlier correction.
    pub of: Uuid,
    /// What is right.
    pub now: Observation,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// A person's decision between events that disagree.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settlement {
    /// The events that disagreed when it was decided. One that comes later opens the matter again.
    pub among: Vec<Uuid>,
    /// The one of them that holds.
    pub chosen: Uuid,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// A result that somebody signed, with all that made it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SignedResult {
    /// What it is a result of, such as `report`.
    pub of: String,
    /// Its frozen copy.
    pub result: Value,
    /// The events it was computed from.
    pub inputs: Vec<Uuid>,
    /// The version of the program.
    pub program: String,
    /// The version of the data.
    pub data: String,
    /// The version of the tables.
    pub tables: String,
    /// Who signed.
    pub signed_by: String,
    /// The SHA-256 of what was shown to the signer, in hexadecimal.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shown_sha256: Option<String>,
}

/// Why an event no longer counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RedactionReason {
    /// It was taken back; its content stays to be read.
    Withdrawn,
    /// It holds personal data; its content is replaced by its hash wherever this arrives.
    PersonalData,
}

/// An event is withdrawn, or its content erased.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Redaction {
    /// The event.
    pub of: Uuid,
    /// Why.
    pub reason: RedactionReason,
}

/// What is left of an event whose content was erased.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Erased {
    /// The kind it had.
    pub was: String,
    /// The SHA-256 of its body, in hexadecimal.
    pub sha256: String,
}

/// One entry of the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Its name for all time.
    pub id: Uuid,
    /// The job it belongs to.
    pub job: Uuid,
    /// Who made it.
    pub by: Option<String>,
    /// On which device.
    pub device: Option<String>,
    /// Whether an apprentice made it: where the law wants a certified person it waits for the word of one.
    pub apprentice: bool,
    /// Its place in the order of the log.
    pub stamp: Stamp,
    /// The name its writer gave it in a job file, by which an edited file finds it again.
    pub key: Option<String>,
    /// What it says.
    pub content: Content,
    /// The line it was read from, where this program would have written another: it is written back unchanged.
    pub verbatim: Option<String>,
}

impl Event {
    /// Returns the kind, as it stands in the log.
    #[must_use]
    pub fn kind(&self) -> &str {
        match &self.content {
            Content::Observed(Observation { what: Body::Choice(_), .. }) => "choice",
            Content::Observed(_) => "observation",
            Content::Correction(_) => "correction",
            Content::Settlement(_) => "settlement",
            Content::SignedResult(_) => "signed_result",
            Content::Redaction(_) => "redaction",
            Content::Erased(_) => "erased",
            Content::Unknown { kind, .. } => kind,
        }
    }

    /// Returns whether this program does not know what the event says, wholly or in part of its kind.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        match &self.content {
            Content::Unknown { .. } => true,
            Content::Observed(seen) => matches!(seen.what, Body::Unknown(_)),
            Content::Correction(correction) => matches!(correction.now.what, Body::Unknown(_)),
            _ => false,
        }
    }

    /// Returns who made it: the person, else the device; two events without either count as one author's.
    #[must_use]
    pub fn author(&self) -> Author<'_> {
        match (&self.by, &self.device) {
            (Some(by), _) => Author::Person(by),
            (None, Some(device)) => Author::Device(device),
            (None, None) => Author::Nobody,
        }
    }

    /// Returns the body as JSON.
    pub(crate) fn body(&self) -> Result<Value, serde_json::Error> {
        match &self.content {
            Content::Observed(seen) => serde_json::to_value(seen),
            Content::Correction(correction) => serde_json::to_value(correction),
            Content::Settlement(settlement) => serde_json::to_value(settlement),
            Content::SignedResult(signed) => serde_json::to_value(signed),
            Content::Redaction(redaction) => serde_json::to_value(redaction),
            Content::Erased(erased) => serde_json::to_value(erased),
            Content::Unknown { body, .. } => Ok(body.clone()),
        }
    }
}

/// Who made an event, as far as it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Author<'a> {
    /// A person.
    Person(&'a str),
    /// A device, its person unnamed.
    Device(&'a str),
    /// Neither is named.
    Nobody,
}

/// An event as it stands in a line of the log.
#[derive(Serialize, Deserialize)]
pub(crate) struct WireEvent {
    pub id: Uuid,
    pub job: Uuid,
    pub kind: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub apprentice: bool,
    pub stamp: Stamp,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub key: Option<String>,
    pub body: Value,
}

impl From<WireEvent> for Event {
    fn from(wire: WireEvent) -> Self {
        fn read<T: for<'de> Deserialize<'de>>(body: &Value, content: fn(T) -> Content) -> Option<Content> {
            T::deserialize(body).ok().map(content)
        }
        let known = match wire.kind.as_str() {
            "observation" | "choice" => read(&wire.body, Content::Observed),
            "correction" => read(&wire.body, Content::Correction),
            "settlement" => read(&wire.body, Content::Settlement),
            "signed_result" => read(&wire.body, Content::SignedResult),
            "redaction" => read(&wire.body, Content::Redaction),
            "erased" => read(&wire.body, Content::Erased),
            _ => None,
        };
        let content = known.unwrap_or(Content::Unknown { kind: wire.kind, body: wire.body });
        Event {
            id: wire.id,
            job: wire.job,
            by: wire.by,
            device: wire.device,
            stamp: wire.stamp,
            key: wire.key,
            content,
            apprentice: wire.apprentice,
            verbatim: None,
        }
    }
}

impl Event {
    /// Returns the event as a JSON value.
    pub(crate) fn to_value(&self) -> Result<Value, serde_json::Error> {
        serde_json::to_value(WireEvent {
            id: self.id,
            job: self.job,
            kind: self.kind().to_owned(),
            by: self.by.clone(),
            device: self.device.clone(),
            apprentice: self.apprentice,
            stamp: self.stamp,
            key: self.key.clone(),
            body: self.body()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stamps_never_go_back() {
        let first = Stamp::default().next(1_000);
        assert_eq!(first, Stamp { ms: 1_000, n: 0 });
        assert_eq!(first.next(900), Stamp { ms: 1_000, n: 1 });
        assert_eq!(first.after(Stamp { ms: 5_000, n: 7 }, 1_100), Stamp { ms: 5_000, n: 8 });
        assert!(Stamp { ms: i64::MAX, n: u32::MAX }.next(0).ms == i64::MAX);
    }

    #[test]
    fn an_unknown_body_comes_back_as_it_was() {
        let value = serde_json::json!({ "type": "weather", "cloud": [1, 2.5, null] });
        let body: Body = serde_json::from_value(value.clone()).unwrap();
        assert!(matches!(body, Body::Unknown(_)));
        assert_eq!(body.tag(), "weather");
        assert_eq!(serde_json::to_value(&body).unwrap(), value);
    }

    #[test]
    fn a_known_body_that_does_not_read_is_kept() {
        let value = serde_json::json!({ "type": "note", "text": 12 });
        let body: Body = serde_json::from_value(value.clone()).unwrap();
        assert_eq!(body, Body::Unknown(value));
    }
}
