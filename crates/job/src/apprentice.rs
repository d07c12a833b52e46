//! What an apprentice may bring to the record, and what of it waits for the word of a licensed technician.
//!
//! The word is a signed result: it names the entries that it stands for, and one that is corrected later waits again.

use crate::visit::Visit;
use record::{Body, Content, Entry, Event, RedactionReason, SignedResult, sha256};
use report::{Message, Text};
use serde_json::json;

/// The kind of result that a licensed technician's word is.
pub const WORD: &str = "word";

/// Returns whether work of this kind is done by a certified person, or under the eyes of one: what lets refrigerant out
/// of its circuit or puts it in, and the look for leaks.
///
/// Sources, as read: Regulation (EU) 2024/573, Art. 10 (leak checks, recovery, repair by certified persons); Federal Halocarbon
/// Regulations, 2022 (Canada), s. 14. Which supervision is enough is the place's law and is not decided here.
#[must_use]
pub const fn wants_word(body: &Body) -> bool {
    matches!(
        body,
        Body::Opened(_)
            | Body::LeakCheck(_)
            | Body::Repair(_)
            | Body::Recovery(_)
            | Body::Evacuation(_)
            | Body::Weighing(_)
    )
}

/// Returns whether an entry of an apprentice waits for a licensed technician's word.
#[must_use]
pub fn waits(visit: &Visit, entry: &Entry) -> bool {
    let given = || {
        let words = visit.current.signed.iter().filter(|one| one.result.of == WORD && !one.apprentice);
        words.map(|one| &one.result.inputs).any(|inputs| inputs.contains(&entry.stands_by))
    };
    entry.apprentice && wants_word(entry.what()) && !given()
}

/// Returns what waits for a licensed technician's word, in the order of the entries.
#[must_use]
pub fn waiting(visit: &Visit) -> Vec<&Entry> {
    visit.current.entries.iter().filter(|entry| waits(visit, entry)).collect()
}

/// Returns one sentence for each entry that waits: who did what.
#[must_use]
pub fn sentences(visit: &Visit) -> Vec<Text> {
    let sentence = |entry: &&Entry| {
        let what = crate::entry::entry_name(entry);
        let message = match &entry.by {
            Some(by) => Message::new("apprentice-waits-by").with("what", what).with("who", by.as_str()),
            None => Message::new("apprentice-waits").with("what", what),
        };
        Text::from(message)
    };
    waiting(visit).iter().map(sentence).collect()
}

/// Returns the word of a licensed technician on all that waits, as he read it in `shown`; nothing where nothing waits or
/// the name is empty.
///
/// Data and tables are built into the program and bear its version.
#[must_use]
pub fn word(visit: &Visit, shown: &[String], by: &str) -> Option<SignedResult> {
    let (waiting, by) = (waiting(visit), by.trim());
    if waiting.is_empty() || by.is_empty() {
        return None;
    }
    let program = env!("CARGO_PKG_VERSION").to_owned();
    let certificate = visit.visit.value.certificate.as_ref().map(record::Known::text);
    Some(SignedResult {
        of: WORD.to_owned(),
        result: json!({ "stands_for": shown, "certificate": certificate }),
        inputs: waiting.iter().map(|entry| entry.stands_by).collect(),
        program: program.clone(),
        data: program.clone(),
        tables: program,
        signed_by: by.to_owned(),
        shown_sha256: Some(sha256(shown.join("\n").as_bytes())),
    })
}

/// Why an apprentice may not bring an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Denied {
    /// It does not say that an apprentice made it.
    Unmarked,
    /// It is of a kind that others make: a quote or an invoice, the customer's choice, a signature, a settlement, an erasure.
    Kind,
    /// It changes what somebody else entered.
    OfOthers,
}

/// Returns why an apprentice may not bring an event; `changes` is the event that it corrects or takes back, where it is known.
#[must_use]
pub fn denied(event: &Event, changes: Option<&Event>) -> Option<Denied> {
    if !event.apprentice {
        return Some(Denied::Unmarked);
    }
    let of_others = changes.is_some_and(|of| !of.apprentice);
    match &event.content {
        Content::Observed(seen) => others_make(&seen.what).then_some(Denied::Kind),
        Content::Correction(correction) if others_make(&correction.now.what) => Some(Denied::Kind),
        Content::Correction(_) => of_others.then_some(Denied::OfOthers),
        Content::Redaction(redaction) if redaction.reason == RedactionReason::Withdrawn => {
            of_others.then_some(Denied::OfOthers)
        }
        _ => Some(Denied::Kind),
    }
}

/// Returns the event that a correction or a withdrawal is of.
#[must_use]
pub const fn changes(event: &Event) -> Option<uuid::Uuid> {
    match &event.content {
        Content::Correction(correction) => Some(correction.of),
        Content::Redaction(redaction) => Some(redaction.of),
        _ => None,
    }
}

/// Returns whether entries of this kind are not an apprentice's to make, by the name of their form.
#[must_use]
pub fn others_make_kind(kind: &str) -> bool {
    matches!(kind, "choice" | "sent" | "planned work")
}

const fn others_make(body: &Body) -> bool {
    matches!(body, Body::Choice(_) | Body::Sent(_) | Body::PlannedWork(_))
}

/// Returns what an apprentice is shown of a job: without quotes and invoices, and without the prices in entries.
#[must_use]
pub fn without_money(events: &[Event]) -> Vec<Event> {
    let bare = |event: &Event| {
        let mut event = event.clone();
        let seen = match &mut event.content {
            Content::Observed(seen) => seen,
            Content::Correction(correction) => &mut correction.now,
            _ => return Some(event),
        };
        let priced = match &mut seen.what {
            Body::Sent(_) => return None,
            Body::Finding(finding) => finding.price.take().is_some(),
            Body::Part(part) => part.price.take().is_some(),
            Body::PlannedWork(planned) => planned.price.take().is_some(),
            // Of a newer program, or not readable: the price stands where it always does.
            Body::Unknown(value) if value["type"] == "sent" => return None,
            Body::Unknown(value) => value.as_object_mut().is_some_and(|map| map.remove("price").is_some()),
            _ => false,
        };
        if priced {
            // The line it was read from says the price.
            event.verbatim = None;
        }
        Some(event)
    };
    events.iter().filter_map(bare).collect()
}
