//! The places of a visit, where somebody stands, and what is still owed at a place before it is left.

use crate::entry::pictures::called;
use crate::stage::Offer;
use crate::visit::Visit;
use record::{Body, BoxKind, CheckResult, Direction, Entry, Known, PartSource, SettingOf, UnitKind, YesNo};
use report::{Message, Text};
use uuid::Uuid;

/// What kind of place somebody stands at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlaceKind {
    /// In or at the cold place.
    Box,
    /// At the condensing unit on a roof.
    Roof,
    /// At the condensing unit on the ground or in a plant room.
    Unit,
    /// At the van.
    Van,
    /// Somewhere else that an entry names.
    Other,
}

/// A place where somebody stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The words that entries carry for it.
    pub name: String,
    /// How it is shown.
    pub label: Text,
    /// Its kind.
    pub kind: PlaceKind,
    /// How many entries were made there.
    pub entries: usize,
    /// Whether somebody stands there now.
    pub here: bool,
}

/// Returns the places of a visit: the box, where its unit stands, the van, and those that arrivals and readings name.
#[must_use]
pub fn places(visit: &Visit) -> Vec<Place> {
    let system = &visit.system.value;
    let unit = system.unit.as_ref().and_then(Known::value);
    let here = here(visit);
    let mut out: Vec<Place> = Vec::new();
    let mut push = |name: &str, label: Text, kind| {
        if !out.iter().any(|place: &Place| same(&place.name, name)) {
            let here = here.as_deref().is_some_and(|here| same(here, name));
            out.push(Place { name: name.to_owned(), label, kind, entries: 0, here });
        }
    };
    push("box", Message::new("place-box").into(), PlaceKind::Box);
    // Where the record names the yard or the room, it needs no place of a general name beside it.
    let named: Vec<(String, PlaceKind)> = standing(visit).map(|name| (name.to_owned(), kind(name))).collect();
    let has = |wanted: PlaceKind| named.iter().any(|(_, kind)| *kind == wanted);
    match unit {
        Some(UnitKind::SelfContained) => {}
        Some(UnitKind::RemoteRoof) if !has(PlaceKind::Roof) => {
            push("roof", Message::new("place-roof").into(), PlaceKind::Roof);
        }
        Some(UnitKind::RemoteRoof) => {}
        Some(UnitKind::Rack | UnitKind::Remote | UnitKind::Split) if !has(PlaceKind::Unit) => {
            push("condensing unit", Message::new("place-unit").into(), PlaceKind::Unit);
        }
        Some(UnitKind::Rack | UnitKind::Remote | UnitKind::Split) => {}
        None if !has(PlaceKind::Unit) && !has(PlaceKind::Roof) => {
            push("roof", Message::new("place-roof").into(), PlaceKind::Roof);
            push("condensing unit", Message::new("place-unit").into(), PlaceKind::Unit);
        }
        None => {}
    }
    for (name, kind) in &named {
        push(name, Text::verbatim(name.as_str()), *kind);
    }
    push("van", Message::new("place-van").into(), PlaceKind::Van);
    for place in &mut out {
        place.entries = stood(visit)
            .filter(|(entry, stood)| at(entry, *stood).is_some_and(|name| same(name, &place.name)))
            .count();
    }
    out
}

/// The places that somebody came to, left, read or weighed at.
fn standing(visit: &Visit) -> impl Iterator<Item = &str> {
    visit.current.entries.iter().filter_map(|entry| match entry.what() {
        Body::Arrival(_) | Body::Departure(_) | Body::Reading(_) | Body::Weighing(_) => {
            entry.seen.place.as_deref().map(str::trim).filter(|place| !place.is_empty())
        }
        _ => None,
    })
}

/// Returns what kind of place these words name.
#[must_use]
pub fn kind(name: &str) -> PlaceKind {
    let name = name.to_lowercase();
    let says = |words: &[&str]| words.iter().any(|word| name.contains(word));
    if says(&["roof", "toit"]) {
        PlaceKind::Roof
    } else if says(&["van", "truck", "camion", "fourgon"]) {
        PlaceKind::Van
    } else if says(&["yard", "plant", "unit", "machine", "compressor", "cour", "compresseur"]) {
        PlaceKind::Unit
    } else if says(&["box", "room", "cooler", "freezer", "case", "chambre", "caisson"]) {
        PlaceKind::Box
    } else {
        PlaceKind::Other
    }
}

/// Returns where somebody stands: the last place arrived at and not left since.
#[must_use]
pub fn here(visit: &Visit) -> Option<String> {
    let mut here: Option<&str> = None;
    for entry in &visit.current.entries {
        here = after(here, entry);
    }
    here.map(str::to_owned)
}

fn after<'a>(here: Option<&'a str>, entry: &'a Entry) -> Option<&'a str> {
    match entry.what() {
        Body::Arrival(_) => entry.seen.place.as_deref().or(here),
        // Who leaves a place stood there, whatever was arrived at last.
        Body::Departure(_) => None,
        _ => here,
    }
}

/// The entries, each with the place that was stood at when it was made.
fn stood(visit: &Visit) -> impl Iterator<Item = (&Entry, Option<&str>)> {
    let mut here = None;
    visit.current.entries.iter().map(move |entry| {
        here = after(here, entry);
        (entry, here)
    })
}

/// The place of an entry: of a reading or weighing the one it names, else where somebody stood, else the one it names.
fn at<'a>(entry: &'a Entry, stood: Option<&'a str>) -> Option<&'a str> {
    let named = entry.seen.place.as_deref();
    match entry.what() {
        Body::Reading(_) | Body::Weighing(_) | Body::Arrival(_) | Body::Departure(_) => named.or(stood),
        _ => stood.or(named),
    }
}

/// The entries that were made at a place.
pub(crate) fn made_at<'a>(visit: &'a Visit, name: &str) -> Vec<&'a Entry> {
    stood(visit)
        .filter(|(entry, stood)| at(entry, *stood).is_some_and(|at| same(at, name)))
        .map(|(entry, _)| entry)
        .collect()
}

/// Whether two names are one: case and outer space do not matter.
pub(crate) fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// What kind of thing is owed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OwedKind {
    /// Something was opened and is not closed.
    Opened,
    /// A cylinder's weight after.
    Weight,
    /// A hold runs, and its end was not read.
    Hold,
    /// A reading that what was done calls for.
    Reading,
    /// A mended place was not looked at again.
    Check,
    /// A picture whose number was not typed up.
    Picture,
}

/// Something still owed.
#[derive(Clone, Debug, PartialEq)]
pub struct Owed {
    /// Its kind.
    pub kind: OwedKind,
    /// What is owed, in a sentence.
    pub sentence: Message,
    /// Where it is owed; everywhere where nothing says.
    pub place: Option<String>,
    /// Other words by which the entry names its place.
    pub spot: Option<String>,
    /// The entry that left it open.
    pub entry: Uuid,
    /// The entry that settles it.
    pub settles: Offer,
}

/// Returns what is still owed at a place: what somebody who leaves it must not forget.
#[must_use]
pub fn leaving(visit: &Visit, place: &str) -> Vec<Owed> {
    let here = |owed: &Owed| {
        let named = [&owed.place, &owed.spot];
        named.iter().all(|name| name.is_none()) || named.into_iter().flatten().any(|name| same(name, place))
    };
    owed(visit).into_iter().filter(here).collect()
}

/// Returns all that is still owed, in the order in which it was left open.
#[must_use]
pub fn owed(visit: &Visit) -> Vec<Owed> {
    let mut out: Vec<(usize, Owed)> = Vec::new();
    let all: Vec<(&Entry, Option<&str>)> = stood(visit).collect();
    let open = open(visit);
    for (index, (entry, stood)) in all.iter().enumerate() {
        let later = all[index + 1..].iter().map(|(entry, _)| *entry);
        if let Some((kind, sentence, settles)) = owes(entry, &open, later) {
            let spot = entry.seen.place.clone();
            let place = at(entry, *stood).map(str::to_owned);
            out.push((index, Owed { kind, sentence, place, spot, entry: entry.id, settles }));
        }
    }
    out.into_iter().map(|(_, owed)| owed).collect()
}

fn owes<'a>(
    entry: &Entry,
    open: &[&Entry],
    mut later: impl Iterator<Item = &'a Entry>,
) -> Option<(OwedKind, Message, Offer)> {
    let place = entry.seen.place.clone();
    let at_place = |offer: Offer| match &place {
        Some(place) => offer.with("place", place.as_str()),
        None => offer,
    };
    match entry.what() {
        Body::Opened(opened) if open.iter().any(|other| other.id == entry.id) => {
            let sentence = match &place {
                Some(place) => {
                    Message::new("open-opened-at").with("what", opened.what.as_str()).with("place", place)
                }
                None => Message::new("open-opened").with("what", opened.what.as_str()),
            };
            let settles = Offer::new("closed", Message::new("offer-closed"), &[]);
            Some((OwedKind::Opened, sentence, at_place(settles).with("what", opened.what.as_str())))
        }
        Body::Weighing(weighing) if weighing.after.is_none() => {
            let sentence = Message::new("open-weight").with("cylinder", weighing.cylinder.as_str());
            let settles =
                Offer::new("weighing", Message::new("offer-weight-after"), &["after"]).onto(entry.id);
            Some((OwedKind::Weight, sentence, settles))
        }
        Body::Weighing(weighing) if weighing.direction == Direction::Charged => {
            // What was weighed in must be seen at work: a reading after the last of it.
            let settled = later.any(|other| match other.what() {
                Body::Reading(_) => true,
                Body::Weighing(next) => next.direction == Direction::Charged,
                _ => false,
            });
            (!settled).then(|| {
                let ask = &["suction_pressure", "evaporator_line", "liquid_pressure", "glass"];
                let settles = Offer::new("reading", Message::new("offer-reading"), ask);
                (OwedKind::Reading, Message::new("owed-reading-charged"), settles)
            })
        }
        Body::Hold(hold) if hold.end.is_none() => {
            let settles = Offer::new(
                "hold",
                Message::new("offer-hold-end"),
                &["end.pressure", "end.temperature", "end.at"],
            )
            .onto(entry.id);
            Some((OwedKind::Hold, Message::new("owed-hold"), settles))
        }
        Body::Repair(repair) => {
            let settled = later.any(|other| match other.what() {
                Body::Hold(_) => true,
                Body::LeakCheck(check) => check.result != CheckResult::NotDone,
                _ => false,
            });
            (!settled).then(|| {
                let what = place.clone().unwrap_or_else(|| repair.what.clone());
                let settles =
                    Offer::new("leak check", Message::new("offer-check"), &["method", "result", "pressure"]);
                let sentence = Message::new("owed-check").with("place", what);
                (OwedKind::Check, sentence, at_place(settles))
            })
        }
        Body::Picture(picture) if picture.read == Some(YesNo::No) => {
            let sentence = Message::new("open-picture").with("picture", called(entry, picture));
            let settles = Offer::new("picture", Message::new("offer-picture-read"), &[])
                .with("read", "yes")
                .onto(entry.id);
            Some((OwedKind::Picture, sentence, settles))
        }
        _ => None,
    }
}

/// Returns what was opened and not closed again.
///
/// A closing belongs to what carries its words; where none does, to the only thing open at its place.
#[must_use]
pub fn open(visit: &Visit) -> Vec<&Entry> {
    let mut open: Vec<(&Entry, &str)> = Vec::new();
    for entry in &visit.current.entries {
        match entry.what() {
            Body::Opened(opened) => open.push((entry, opened.what.as_str())),
            Body::Closed(closed) => {
                let place = entry.seen.place.as_deref();
                let there = |other: &Entry| match (place, other.seen.place.as_deref()) {
                    (Some(a), Some(b)) => same(a, b),
                    _ => true,
                };
                let by_words: Vec<Uuid> = open
                    .iter()
                    .filter(|(other, what)| says(&closed.what, what) && there(other))
                    .map(|(other, _)| other.id)
                    .collect();
                let by_place: Vec<Uuid> = open
                    .iter()
                    .filter(|(other, _)| place.is_some() && other.seen.place.is_some() && there(other))
                    .map(|(other, _)| other.id)
                    .collect();
                let closed = match (by_words.last(), by_place.as_slice()) {
                    (Some(last), _) => Some(*last),
                    (None, [only]) => Some(*only),
                    _ => None,
                };
                open.retain(|(other, _)| Some(other.id) != closed);
            }
            _ => {}
        }
    }
    open.into_iter().map(|(entry, _)| entry).collect()
}

/// Whether a closing's words name what was opened: the same, or more said of it.
fn says(closed: &str, opened: &str) -> bool {
    let (closed, opened) = (closed.trim().to_lowercase(), opened.trim().to_lowercase());
    closed == opened || (!opened.is_empty() && closed.starts_with(&opened))
}

/// Returns what was shut on this visit and left shut, in the words used: a state to leave behind knowingly.
#[must_use]
pub fn left_shut(visit: &Visit) -> Vec<String> {
    let mut shut: Vec<(&str, Option<&str>)> = Vec::new();
    let mut opened: Vec<(&str, Option<&str>)> = Vec::new();
    for entry in &visit.current.entries {
        let place = entry.seen.place.as_deref();
        match entry.what() {
            Body::Opened(what) => {
                shut.retain(|(other, _)| !says(other, &what.what) && !says(&what.what, other));
                opened.push((&what.what, place));
            }
            Body::Closed(what) => {
                // What was opened before is closed again; only what nobody opened is shut.
                let again = opened
                    .iter()
                    .any(|(other, at)| says(&what.what, other) || (at.is_some() && *at == place));
                if !again && shuts(&what.what) {
                    shut.push((&what.what, place));
                }
            }
            Body::Setting(setting) if setting.what == SettingOf::Valve => {
                let left = setting.left.as_ref().map(Known::text).unwrap_or_default().to_lowercase();
                if left.contains("open") || left.contains("back") {
                    shut.retain(|(what, _)| {
                        place.is_none_or(|place| !what.to_lowercase().contains(&place.to_lowercase()))
                    });
                }
            }
            _ => {}
        }
    }
    shut.into_iter().map(|(what, _)| what.to_owned()).collect()
}

/// Whether these words name something that shuts the circuit, in English or French; insulation and covers do not.
fn shuts(what: &str) -> bool {
    let what = what.to_lowercase();
    if ["insulation", "isolant", "isolation"].iter().any(|word| what.contains(word)) {
        return false;
    }
    ["valve", "outlet", "inlet", "vanne", "robinet", "sortie"].iter().any(|word| what.contains(word))
}

/// The parts for one place.
#[derive(Clone, Debug, PartialEq)]
pub struct PartsAt {
    /// The place; absent for parts whose entry names none.
    pub place: Option<String>,
    /// The parts to order.
    pub order: Vec<record::Part>,
    /// The parts from the van.
    pub stock: Vec<record::Part>,
}

/// Returns the parts by place, in the order of their entries.
#[must_use]
pub fn parts_by_place(visit: &Visit) -> Vec<PartsAt> {
    let mut out: Vec<PartsAt> = Vec::new();
    let parts = visit.entries(|body| match body {
        Body::Part(part) => Some(part),
        _ => None,
    });
    for (entry, part) in parts {
        let place = entry.seen.place.clone();
        let known = out.iter().position(|at| match (&at.place, &place) {
            (Some(a), Some(b)) => same(a, b),
            (a, b) => a == b,
        });
        let at = known.unwrap_or_else(|| {
            out.push(PartsAt { place, order: Vec::new(), stock: Vec::new() });
            out.len() - 1
        });
        match part.source {
            Some(PartSource::Stock) => out[at].stock.push(part.clone()),
            Some(PartSource::Order) | None => out[at].order.push(part.clone()),
        }
    }
    out
}

/// Returns whether people walk into the cold place.
#[must_use]
pub fn is_walked_into(visit: &Visit) -> bool {
    matches!(
        visit.system.value.box_kind.as_ref().and_then(Known::value),
        Some(BoxKind::WalkInCooler | BoxKind::WalkInFreezer | BoxKind::WorkRoom)
    )
}
