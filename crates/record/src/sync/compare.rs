//! When two copies of an event are the same, and what erasing leaves of one.

use crate::event::{Body, Content, Event, RedactionReason, Stamp};
use crate::id::canonical;
use crate::log::{LineFault, erase, identity, read_line};
use serde_json::Value;
use uuid::Uuid;

/// How two copies of an event with one id are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Likeness {
    /// The same to the stamp.
    Same,
    /// The same but for the stamp.
    OtherStamp,
    /// The second is what erasing leaves of the first.
    SecondErased,
    /// The first is what erasing leaves of the second.
    FirstErased,
    /// They say different things under one id.
    Different,
}

/// Returns how two copies of an event are alike; keys in another order and numbers written otherwise are the same.
#[must_use]
pub fn compare(first: &Event, second: &Event) -> Likeness {
    let (one, two) = (identity(first), identity(second));
    if one == two {
        return if first.stamp == second.stamp { Likeness::Same } else { Likeness::OtherStamp };
    }
    let is_erased = |event: &Event| matches!(event.content, Content::Erased(_));
    match (is_erased(first), is_erased(second)) {
        (false, true) if identity(&erase(first)) == two => Likeness::SecondErased,
        (true, false) if identity(&erase(second)) == one => Likeness::FirstErased,
        _ => Likeness::Different,
    }
}

/// Returns what is left of an event when its content is erased: its hash. A redaction stays as it is.
#[must_use]
pub fn erased(event: &Event) -> Event {
    erase(event)
}

/// Returns the event whose content this one erases.
#[must_use]
pub fn erases(event: &Event) -> Option<Uuid> {
    match &event.content {
        Content::Redaction(redaction) if redaction.reason == RedactionReason::PersonalData => {
            Some(redaction.of)
        }
        _ => None,
    }
}

/// Returns the SHA-256 of the picture that an event speaks of, in lower-case hexadecimal, where it names one.
#[must_use]
pub fn picture(event: &Event) -> Option<String> {
    let seen = match &event.content {
        Content::Observed(seen) => seen,
        Content::Correction(correction) => &correction.now,
        _ => return None,
    };
    let Body::Picture(picture) = &seen.what else { return None };
    let text = picture.sha256.as_ref()?.trim().to_ascii_lowercase();
    let whole = text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit());
    whole.then_some(text)
}

/// Returns the line that an event of a message stands as: its keys in order, no blanks.
#[must_use]
pub fn line(value: &Value) -> String {
    canonical(value)
}

/// Reads an event of a message.
///
/// # Errors
/// [`LineFault`] where it is none.
pub fn event(value: &Value) -> Result<Event, LineFault> {
    read_line(line(value).as_bytes())
}

/// Returns whether a stamp lies more than a day ahead of a clock that shows `now`.
pub(crate) fn is_ahead(stamp: Stamp, now: i64) -> bool {
    stamp.ms.saturating_sub(now) > super::AHEAD_MS
}
