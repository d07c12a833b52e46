//! What an apprentice's phone may bring and gets.

use job::apprentice;
use record::Event;
use serde_json::Value;
use store::{Role, Store};
use uuid::Uuid;

/// Returns the ids of what an apprentice may not bring. What is here already is no matter: after a restored backup a phone
/// brings all it has again, what others made too.
pub(super) fn denied(store: &dyn Store, events: &[Value]) -> store::Result<Vec<Uuid>> {
    let read = |value: &Value| record::read_line(value.to_string().as_bytes()).ok();
    // What does not read is the store's to refuse.
    let brought: Vec<Event> = events.iter().filter_map(read).collect();
    let mut out = Vec::new();
    for event in &brought {
        let changed = match apprentice::changes(event) {
            Some(of) => match brought.iter().find(|one| one.id == of) {
                Some(found) => Some(found.clone()),
                None => store.event(of)?,
            },
            None => None,
        };
        if apprentice::denied(event, changed.as_ref()).is_some() && store.event(event.id)?.is_none() {
            out.push(event.id);
        }
    }
    Ok(out)
}

/// Returns whether an event is a numbered quote or invoice.
pub(super) fn is_money(event: &Value) -> bool {
    let body = &event["body"];
    [&body["what"], &body["now"]["what"]].iter().any(|what| what["type"] == "sent")
}

/// Returns what somebody of this role reads of a job.
pub(super) fn readable(role: Role, events: Vec<Event>) -> Vec<Event> {
    if role == Role::Apprentice { apprentice::without_money(&events) } else { events }
}
