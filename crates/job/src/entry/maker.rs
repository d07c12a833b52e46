//! Events made on a device: entries, corrections, settlements, and the undoing of each.

use record::{
    Content, Correction, Event, Observation, Redaction, RedactionReason, Settlement, SignedResult, Stamp,
    device_id,
};
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// What a device gives to one event: its wall clock, and random bytes for its id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tick {
    /// Milliseconds since 1970-01-01T00:00:00Z by the device's clock.
    pub now_ms: i64,
    /// Random bytes.
    pub random: [u8; 10],
}

/// Makes the events of one job on one device.
#[derive(Clone, Debug, PartialEq)]
pub struct Maker {
    /// The job.
    pub job: Uuid,
    /// The person, where one is named.
    pub by: Option<String>,
    /// The device.
    pub device: Option<String>,
    /// Whether the person is an apprentice.
    pub apprentice: bool,
    /// The last stamp given or seen.
    pub clock: Stamp,
}

impl Maker {
    /// Returns a maker whose clock stands behind every event seen so far.
    #[must_use]
    pub fn new(job: Uuid, by: Option<String>, device: Option<String>, seen: &[Event]) -> Self {
        let clock = seen.iter().map(|event| event.stamp).max().unwrap_or_default();
        Self { job, by, device, apprentice: false, clock }
    }

    /// Takes note of a stamp of another device, so that what is entered next stands behind it.
    pub fn saw(&mut self, stamp: Stamp) {
        self.clock = self.clock.max(stamp);
    }

    fn event(&mut self, content: Content, tick: Tick) -> Event {
        self.clock = self.clock.next(tick.now_ms);
        Event {
            id: device_id(tick.now_ms, tick.random),
            job: self.job,
            by: self.by.clone(),
            device: self.device.clone(),
            stamp: self.clock,
            key: None,
            content,
            apprentice: self.apprentice,
            verbatim: None,
        }
    }

    /// Returns the event of something seen or done.
    pub fn observe(&mut self, seen: Observation, tick: Tick) -> Event {
        self.event(Content::Observed(seen), tick)
    }

    /// Returns the event that corrects another: `of` is the event an entry stands by.
    pub fn correct(&mut self, of: Uuid, now: Observation, why: Option<String>, tick: Tick) -> Event {
        self.event(Content::Correction(Correction { of, now, why }), tick)
    }

    /// Returns the event by which a person decides between events that disagree.
    pub fn settle(&mut self, among: Vec<Uuid>, chosen: Uuid, why: Option<String>, tick: Tick) -> Event {
        self.event(Content::Settlement(Settlement { among, chosen, why }), tick)
    }

    /// Returns the event that takes another back; what it said stays in the record, struck out.
    pub fn withdraw(&mut self, of: Uuid, tick: Tick) -> Event {
        self.event(Content::Redaction(Redaction { of, reason: RedactionReason::Withdrawn }), tick)
    }

    /// Returns the event of a result that somebody signed.
    pub fn sign(&mut self, signed: SignedResult, tick: Tick) -> Event {
        self.event(Content::SignedResult(signed), tick)
    }

    /// Returns the event that undoes the last act of this device, if there is one: a correction gives way to what stood
    /// before it, by a correction again; everything else is withdrawn, a withdrawal too, so that what it took back
    /// stands again. Nothing leaves the record.
    pub fn undo(&mut self, events: &[Event], tick: Tick) -> Option<Event> {
        let last = undoable(events, self.device.as_deref())?;
        let content = match &last.content {
            Content::Correction(correction) => {
                let now = said_by(events, correction.of)?.clone();
                Content::Correction(Correction { of: last.id, now, why: None })
            }
            _ => Content::Redaction(Redaction { of: last.id, reason: RedactionReason::Withdrawn }),
        };
        Some(self.event(content, tick))
    }
}

/// What an event says was seen or done.
fn said_by(events: &[Event], id: Uuid) -> Option<&Observation> {
    events.iter().find(|event| event.id == id).and_then(said)
}

const fn said(event: &Event) -> Option<&Observation> {
    match &event.content {
        Content::Observed(seen) => Some(seen),
        Content::Correction(correction) => Some(&correction.now),
        _ => None,
    }
}

/// Returns the last act of a device that still stands and can be undone. What undid another act is none itself, so
/// that undoing again goes one act further back; to withdraw the last act is to undo it.
#[must_use]
pub fn undoable<'a>(events: &'a [Event], device: Option<&str>) -> Option<&'a Event> {
    let mut own: Vec<&Event> = events.iter().filter(|event| event.device.as_deref() == device).collect();
    own.sort_by_key(|event| (event.stamp, event.id));
    let by_id: BTreeMap<Uuid, &Event> = events.iter().map(|event| (event.id, event)).collect();
    // Walking forward, each act is put on a pile; what undoes the act on top of the pile takes it off again.
    let mut pile: Vec<&Event> = Vec::new();
    for event in own {
        if pile.last().is_some_and(|last| undoes(event, last, &by_id)) {
            pile.pop();
        } else if is_act(event) {
            pile.push(event);
        }
    }
    let withdrawn: BTreeSet<Uuid> = record::current(events).withdrawn.into_iter().collect();
    pile.into_iter().rev().find(|event| stands(event, &withdrawn, &by_id))
}

/// Whether an event is an act that could be undone; an erasure cannot.
fn is_act(event: &Event) -> bool {
    match &event.content {
        Content::Observed(_) | Content::Correction(_) | Content::Settlement(_) | Content::SignedResult(_) => {
            true
        }
        Content::Redaction(redaction) => redaction.reason == RedactionReason::Withdrawn,
        Content::Erased(_) | Content::Unknown { .. } => false,
    }
}

/// Whether an event undoes this act: it withdraws it, or, of a correction, it says again what stood before.
fn undoes(event: &Event, act: &Event, by_id: &BTreeMap<Uuid, &Event>) -> bool {
    match (&event.content, &act.content) {
        (Content::Redaction(redaction), _) => {
            redaction.reason == RedactionReason::Withdrawn && redaction.of == act.id
        }
        (Content::Correction(now), Content::Correction(before)) => {
            let stood = by_id.get(&before.of).and_then(|event| said(event));
            now.of == act.id && stood.is_some_and(|said| *said == now.now)
        }
        _ => false,
    }
}

/// Whether neither an act nor what it corrects was withdrawn.
fn stands(event: &Event, withdrawn: &BTreeSet<Uuid>, by_id: &BTreeMap<Uuid, &Event>) -> bool {
    let mut at = Some(event);
    // Corrections of each other in a ring are followed no longer than there are events.
    for _ in 0..=by_id.len() {
        let Some(event) = at else { return true };
        if withdrawn.contains(&event.id) {
            return false;
        }
        at = match &event.content {
            Content::Correction(correction) => by_id.get(&correction.of).copied(),
            _ => None,
        };
    }
    false
}
