//! What a log says today: corrections applied, disagreements kept.

use crate::event::{
    Author, Body, Content, Event, Observation, RedactionReason, Settlement, SignedResult, Stamp,
};
use crate::model::{Customer, Site, System, Visit};
use serde::{Serialize, de::DeserializeOwned};
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// What a log says today.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Current {
    /// What was seen and done, in the order of the log, each as it stands after its corrections.
    pub entries: Vec<Entry>,
    /// Entries about which people disagree; they are not in `entries` until somebody settles it.
    pub disagreements: Vec<Disagreement>,
    /// Results that were signed; never an input.
    pub signed: Vec<Signed>,
    /// Events that were withdrawn or erased.
    pub withdrawn: Vec<Uuid>,
    /// Events of a kind that this program does not know.
    pub unknown: Vec<Uuid>,
    /// Corrections whose original is not here.
    pub orphans: Vec<Uuid>,
    settlements: Vec<(Uuid, Option<String>, Settlement)>,
}

/// Something seen or done, as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The event that first said it.
    pub id: Uuid,
    /// The event that says it as it stands: the last correction, or the first event itself.
    pub stands_by: Uuid,
    /// Who made the event it stands by.
    pub by: Option<String>,
    /// On which device.
    pub device: Option<String>,
    /// Whether an apprentice made the event it stands by.
    pub apprentice: bool,
    /// Its place in the order of the log.
    pub stamp: Stamp,
    /// Its name in a job file.
    pub key: Option<String>,
    /// What was seen or done.
    pub seen: Observation,
}

impl Entry {
    /// Returns what it says, by kind.
    #[must_use]
    pub const fn what(&self) -> &Body {
        &self.seen.what
    }
}

/// A result that was signed.
#[derive(Clone, Debug, PartialEq)]
pub struct Signed {
    /// The event.
    pub id: Uuid,
    /// Whether an apprentice made it.
    pub apprentice: bool,
    /// The result.
    pub result: SignedResult,
}

/// An entry about which people disagree.
#[derive(Clone, Debug, PartialEq)]
pub struct Disagreement {
    /// The event that first said it.
    pub of: Uuid,
    /// What each says; their events' ids are what a settlement chooses among.
    pub sides: Vec<Entry>,
}

/// Facts put together from many events.
#[derive(Clone, Debug, PartialEq)]
pub struct Facts<T> {
    /// The facts; a field that people disagree about is absent.
    pub value: T,
    /// The events that each field stands by.
    pub sources: BTreeMap<String, Vec<Uuid>>,
    /// The fields that people disagree about, each with the events that a settlement chooses among.
    pub unsettled: BTreeMap<String, Vec<Uuid>>,
}

impl<T: Clone + Default + Serialize + DeserializeOwned> Facts<T> {
    /// Returns these facts with those of an earlier visit held over beneath them: what is said now goes before, what is
    /// only unknown now gives way, and what people disagree about now stays unsettled. The fields of `leave` belong to
    /// their own day and are not held over.
    #[must_use]
    pub fn over(&self, earlier: &Facts<T>, leave: &[&str]) -> Facts<T> {
        let fields = |facts: &Facts<T>| match serde_json::to_value(&facts.value) {
            Ok(Value::Object(map)) => map,
            _ => Map::new(),
        };
        let mut merged = fields(self);
        let mut sources = self.sources.clone();
        let mut unsettled = self.unsettled.clone();
        for (field, value) in fields(earlier) {
            let free = merged.get(&field).is_none_or(is_unknown) && !self.unsettled.contains_key(&field);
            if free && !leave.contains(&field.as_str()) {
                sources.insert(field.clone(), earlier.sources.get(&field).cloned().unwrap_or_default());
                merged.insert(field, value);
            }
        }
        for (field, among) in &earlier.unsettled {
            if !merged.contains_key(field) && !leave.contains(&field.as_str()) {
                unsettled.entry(field.clone()).or_insert_with(|| among.clone());
            }
        }
        // Every field came out of this type.
        let value = serde_json::from_value(Value::Object(merged)).unwrap_or_else(|_| self.value.clone());
        Facts { value, sources, unsettled }
    }
}

/// Returns what `events` say today.
///
/// A correction replaces what it names. What was withdrawn does not count; a withdrawal that is withdrawn by a later one
/// does not count either, so that what it took back stands again. Two corrections of one event by different authors are a disagreement; by the
/// same author the later one stands. A settlement holds as long as no event speaks up that was not among those it
/// decided between. Signed results are set apart.
#[must_use]
pub fn current(events: &[Event]) -> Current {
    let mut order: Vec<&Event> = events.iter().collect();
    order.sort_by_key(|event| (event.stamp, event.id));
    let mut out = Current::default();
    let redacted = redacted(&order);
    for event in &order {
        if let Content::Settlement(settlement) = &event.content {
            out.settlements.push((event.id, event.by.clone(), settlement.clone()));
        }
    }
    out.settlements.retain(|(id, _, _)| !redacted.contains(id));
    let mut roots: Vec<usize> = Vec::new();
    let mut corrections: BTreeMap<Uuid, Vec<usize>> = BTreeMap::new();
    let mut seen: BTreeSet<Uuid> = BTreeSet::new();
    let mut corrects: Vec<Uuid> = Vec::new();
    for (index, event) in order.iter().enumerate() {
        // The same event twice is one; of two contents under one id, merging tells.
        if !seen.insert(event.id) {
            continue;
        }
        if redacted.contains(&event.id) || matches!(event.content, Content::Erased(_)) {
            out.withdrawn.push(event.id);
            continue;
        }
        if event.is_unknown() {
            out.unknown.push(event.id);
        }
        match &event.content {
            Content::Observed(_) => roots.push(index),
            Content::Correction(correction) => {
                corrections.entry(correction.of).or_default().push(index);
                corrects.push(event.id);
            }
            Content::SignedResult(result) => {
                out.signed.push(Signed { id: event.id, apprentice: event.apprentice, result: result.clone() })
            }
            _ => {}
        }
    }
    let mut reached: BTreeSet<Uuid> = BTreeSet::new();
    for root in roots {
        let sides = sides(&order, &corrections, root, &mut reached);
        let id = order[root].id;
        let entries: Vec<Entry> = sides.into_iter().map(|side| entry(order[root], order[side])).collect();
        let mut different: Vec<Entry> = Vec::new();
        for entry in entries {
            if !different.iter().any(|other| other.seen == entry.seen) {
                different.push(entry);
            }
        }
        let mut entries = different;
        if entries.len() > 1
            && let Some(chosen) = settled(&out.settlements, entries.iter().map(|entry| entry.stands_by))
        {
            entries.retain(|entry| entry.stands_by == chosen);
        }
        match entries.len() {
            1 => out.entries.append(&mut entries),
            _ => out.disagreements.push(Disagreement { of: id, sides: entries }),
        }
    }
    // A correction of something withdrawn goes with it.
    let gone: BTreeSet<Uuid> = out.withdrawn.iter().copied().collect();
    let mut lost: Vec<Uuid> = corrections
        .iter()
        .filter(|(of, _)| gone.contains(of))
        .flat_map(|(_, by)| by.iter().map(|index| order[*index].id))
        .collect();
    while let Some(id) = lost.pop() {
        if reached.insert(id) {
            lost.extend(corrections.get(&id).into_iter().flatten().map(|index| order[*index].id));
        }
    }
    out.orphans = corrects.into_iter().filter(|id| !reached.contains(id)).collect();
    out
}

/// Returns the events that are taken back, those among them that had taken back another.
///
/// From the last to the first: what a later event takes back cannot take back anything. An erasure is for ever.
fn redacted(order: &[&Event]) -> BTreeSet<Uuid> {
    let mut gone: BTreeSet<Uuid> = BTreeSet::new();
    let mut later: BTreeSet<Uuid> = BTreeSet::new();
    for event in order.iter().rev() {
        let Content::Redaction(redaction) = &event.content else { continue };
        let lasting = redaction.reason == RedactionReason::PersonalData;
        // A withdrawal of what comes later in the order is no answer to it.
        if (lasting || !gone.contains(&event.id)) && !later.contains(&redaction.of) {
            gone.insert(redaction.of);
        }
        later.insert(event.id);
    }
    gone
}

fn entry(root: &Event, stands: &Event) -> Entry {
    let seen = match &stands.content {
        Content::Correction(correction) => correction.now.clone(),
        Content::Observed(seen) => seen.clone(),
        // Only those two are ever followed.
        _ => Observation {
            at: None,
            place: None,
            with: Vec::new(),
            told_by: None,
            note: None,
            what: Body::Unknown(Value::Null),
        },
    };
    Entry {
        id: root.id,
        stands_by: stands.id,
        by: stands.by.clone(),
        device: stands.device.clone(),
        apprentice: stands.apprentice,
        stamp: root.stamp,
        key: root.key.clone(),
        seen,
    }
}

/// Returns the events that an observation may stand by: the ends of its chains of corrections, one for each author.
fn sides(
    order: &[&Event],
    corrections: &BTreeMap<Uuid, Vec<usize>>,
    root: usize,
    reached: &mut BTreeSet<Uuid>,
) -> Vec<usize> {
    let mut ends: Vec<usize> = Vec::new();
    let mut open = vec![root];
    while let Some(at) = open.pop() {
        let Some(children) = corrections.get(&order[at].id) else {
            ends.push(at);
            continue;
        };
        // Of one author's corrections of one event the later stands.
        let mut last: BTreeMap<Author<'_>, usize> = BTreeMap::new();
        for child in children {
            reached.insert(order[*child].id);
            last.insert(order[*child].author(), *child);
        }
        for child in children.iter().filter(|child| !last.values().any(|kept| kept == *child)) {
            mark(order, corrections, *child, reached);
        }
        open.extend(last.into_values());
    }
    ends.sort_unstable();
    ends
}

/// Notes all corrections below one that no longer stands as seen, so that they are not taken for orphans.
fn mark(
    order: &[&Event],
    corrections: &BTreeMap<Uuid, Vec<usize>>,
    from: usize,
    reached: &mut BTreeSet<Uuid>,
) {
    let mut open = vec![from];
    while let Some(at) = open.pop() {
        for child in corrections.get(&order[at].id).into_iter().flatten() {
            if reached.insert(order[*child].id) {
                open.push(*child);
            }
        }
    }
}

/// Returns the one of `sides` that holds by settlement: chosen by everybody who settled between all of them.
fn settled(
    settlements: &[(Uuid, Option<String>, Settlement)],
    sides: impl Iterator<Item = Uuid>,
) -> Option<Uuid> {
    let sides: BTreeSet<Uuid> = sides.collect();
    // Of one person's settlements the later holds.
    let mut chosen: BTreeMap<Option<&str>, Uuid> = BTreeMap::new();
    for (_, by, settlement) in settlements {
        let covers = sides.iter().all(|side| settlement.among.contains(side));
        if covers && sides.contains(&settlement.chosen) {
            chosen.insert(by.as_deref(), settlement.chosen);
        }
    }
    let mut all = chosen.into_values();
    let first = all.next()?;
    all.all(|other| other == first).then_some(first)
}

impl Current {
    /// Returns the facts about the system, put together.
    #[must_use]
    pub fn system(&self) -> Facts<System> {
        self.facts(|body| match body {
            Body::System(system) => serde_json::to_value(system).ok(),
            _ => None,
        })
    }

    /// Returns the facts about the site, put together.
    #[must_use]
    pub fn site(&self) -> Facts<Site> {
        self.facts(|body| match body {
            Body::Site(site) => serde_json::to_value(site).ok(),
            _ => None,
        })
    }

    /// Returns the facts about the customer, put together.
    #[must_use]
    pub fn customer(&self) -> Facts<Customer> {
        self.facts(|body| match body {
            Body::Customer(customer) => serde_json::to_value(customer).ok(),
            _ => None,
        })
    }

    /// Returns the facts about the visit, put together.
    #[must_use]
    pub fn visit(&self) -> Facts<Visit> {
        self.facts(|body| match body {
            Body::Visit(visit) => serde_json::to_value(visit).ok(),
            _ => None,
        })
    }

    /// Puts sparse objects together, field by field.
    ///
    /// Of one author's values the later stands; "unknown" gives way to anything; values of different authors that
    /// differ leave the field unsettled.
    fn facts<T: Default + Serialize + DeserializeOwned>(
        &self,
        pick: impl Fn(&Body) -> Option<Value>,
    ) -> Facts<T> {
        struct Side<'a> {
            author: Author<'a>,
            value: Value,
            by: Uuid,
        }
        let mut fields: BTreeMap<String, Vec<Side<'_>>> = BTreeMap::new();
        let mut unsettled: BTreeMap<String, Vec<Uuid>> = BTreeMap::new();
        for entry in &self.entries {
            let Some(Value::Object(map)) = pick(entry.what()) else { continue };
            let author = match (&entry.by, &entry.device) {
                (Some(by), _) => Author::Person(by),
                (None, Some(device)) => Author::Device(device),
                (None, None) => Author::Nobody,
            };
            for (field, value) in map {
                let sides = fields.entry(field).or_default();
                if is_unknown(&value) && !sides.is_empty() {
                    continue;
                }
                sides.retain(|side| side.author != author && !is_unknown(&side.value));
                sides.push(Side { author, value, by: entry.stands_by });
            }
        }
        for disagreement in &self.disagreements {
            for side in &disagreement.sides {
                let Some(Value::Object(map)) = pick(side.what()) else { continue };
                for (field, _) in map {
                    fields.remove(&field);
                    unsettled.entry(field).or_default().push(side.stands_by);
                }
            }
        }
        let mut merged = Map::new();
        let mut sources = BTreeMap::new();
        for (field, mut sides) in fields {
            if sides.iter().any(|side| side.value != sides[0].value)
                && let Some(chosen) = settled(&self.settlements, sides.iter().map(|side| side.by))
            {
                sides.retain(|side| side.by == chosen);
            }
            let by: Vec<Uuid> = sides.iter().map(|side| side.by).collect();
            let same = sides.iter().all(|side| side.value == sides[0].value);
            match sides.into_iter().next() {
                Some(side) if same && !unsettled.contains_key(&field) => {
                    merged.insert(field.clone(), side.value);
                    sources.insert(field, by);
                }
                Some(_) => unsettled.entry(field).or_default().extend(by),
                None => {}
            }
        }
        let value = serde_json::from_value(Value::Object(merged)).unwrap_or_default();
        Facts { value, sources, unsettled }
    }
}

/// Returns whether a value of a fact says "unknown", as told or not.
fn is_unknown(value: &Value) -> bool {
    match value {
        Value::String(text) => text == "unknown",
        Value::Object(map) => map.get("told").and_then(|told| told.get("what")).is_some_and(is_unknown),
        _ => false,
    }
}
