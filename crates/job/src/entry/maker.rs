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
    /// The last stamp given or seen.
    pub clock: Stamp,
}

impl Maker {
    /// Returns a maker whose clock stands behind every event seen so far.
    #[must_use]
    pub fn new(job: Uuid, by: Option<String>, device: Option<String>, seen: &[Event]) -> Self {
        let clock = seen.iter().map(|event| event.stamp).max().unwrap_or_default();
        Self { job, by, device, clock }
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

    /// Returns the event that undoes the last act of this device, if there is one: an entry is withdrawn, a correction
    /// gives way to what stood before it (by a correction), a settlement and a signature are withdrawn, and what was
    /// withdrawn is entered again. Nothing leaves the record.
    pub fn undo(&mut self, events: &[Event], tick: Tick) -> Option<Event> {
        let last = undoable(events, self.device.as_deref())?;
        let content = match &last.content {
            Content::Correction(correction) => {
                let now = said_by(events, correction.of)?;
                Content::Correction(Correction { of: last.id, now: now.clone(), why: None })
            }
            Content::Redaction(redaction) => Content::Observed(stood(events, redaction.of)?.clone()),
            _ => Content::Redaction(Redaction { of: last.id, reason: RedactionReason::Withdrawn }),
        };
        Some(self.event(content, tick))
    }
}

/// What an event says was seen or done.
fn said_by(events: &[Event], id: Uuid) -> Option<&Observation> {
    events.iter().find(|event| event.id == id).and_then(|event| match &event.content {
        Content::Observed(seen) => Some(seen),
        Content::Correction(correction) => Some(&correction.now),
        _ => None,
    })
}

/// What an entry said last before it was withdrawn: the last correction of it, or itself.
fn stood(events: &[Event], root: Uuid) -> Option<&Observation> {
    let mut ids = BTreeSet::from([root]);
    let mut last = said_by(events, root)?;
    let mut order: Vec<&Event> = events.iter().collect();
    order.sort_by_key(|event| (event.stamp, event.id));
    for event in order {
        if let Content::Correction(correction) = &event.content
            && ids.contains(&correction.of)
        {
            ids.insert(event.id);
            last = &correction.now;
        }
    }
    Some(last)
}

/// Returns the last act of a device that still stands and can be undone. What undid another act is none itself, so
/// that undoing again goes one act further back.
#[must_use]
pub fn undoable<'a>(events: &'a [Event], device: Option<&str>) -> Option<&'a Event> {
    let mut own: Vec<&Event> = events.iter().filter(|event| event.device.as_deref() == device).collect();
    own.sort_by_key(|event| (event.stamp, event.id));
    let withdrawn: BTreeSet<Uuid> = events.iter().filter_map(|event| redacts(&event.content)).collect();
    // Walking forward, each act is put on a pile; what undoes the act on top of the pile takes it off again.
    let mut pile: Vec<&Event> = Vec::new();
    let by_id: BTreeMap<Uuid, &Event> = events.iter().map(|event| (event.id, event)).collect();
    for event in own {
        if let Some(at) = undone_by(event, &pile, &by_id, events) {
            pile.remove(at);
        } else if is_act(event) {
            pile.push(event);
        }
    }
    pile.into_iter().rev().find(|event| !withdrawn.contains(&event.id))
}

const fn redacts(content: &Content) -> Option<Uuid> {
    match content {
        Content::Redaction(redaction) => Some(redaction.of),
        _ => None,
    }
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

/// Finds the act on the pile that this event undoes.
fn undone_by(
    event: &Event,
    pile: &[&Event],
    by_id: &BTreeMap<Uuid, &Event>,
    events: &[Event],
) -> Option<usize> {
    let top = pile.len().checked_sub(1)?;
    let last = pile[top];
    let undoes = match (&event.content, &last.content) {
        // The last act withdrawn: an entry, a settlement, a signature.
        (Content::Redaction(redaction), _) => {
            redaction.reason == RedactionReason::Withdrawn && redaction.of == last.id
        }
        // A correction of a correction that says again what stood before.
        (Content::Correction(now), Content::Correction(before)) => {
            now.of == last.id && said_by(events, before.of).is_some_and(|said| *said == now.now)
        }
        // What was withdrawn, entered again.
        (Content::Observed(seen), Content::Redaction(redaction)) => {
            by_id.contains_key(&redaction.of) && stood(events, redaction.of).is_some_and(|said| said == seen)
        }
        _ => false,
    };
    undoes.then_some(top)
}
