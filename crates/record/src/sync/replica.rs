//! A device's side of the exchange: what to send, and what to do with the answer.

use super::compare::{self, Likeness, compare, is_ahead};
use super::{LINE_BYTES, MESSAGE_BYTES, PUSH_EVENTS, Pull, Push};
use crate::event::{Event, Stamp};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// How far a device has read, and of which server's history. It is saved with what it stands for, in one transaction.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Replica {
    /// The name of the device.
    pub device: String,
    /// The sequence up to which it has read.
    pub cursor: u64,
    /// The epoch that the cursor is of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub epoch: Option<Uuid>,
}

/// One event that waits to be sent.
#[derive(Clone, Debug, PartialEq)]
pub struct Outgoing {
    /// Its id.
    pub id: Uuid,
    /// It, as the JSON object of its line.
    pub event: Value,
}

/// What to do in one transaction of the device's own store: all of it, or nothing.
///
/// In this order: where `send_all` is set, every event in the store goes to the outbox; `acknowledged` leave the
/// outbox; `held` leave the outbox and the events and go to the events held back; `put` are written over what stands
/// under their ids, an outbox row of the same id with them; `pictures` go to the picture queue; `replica` replaces the
/// replica. A picture is kept as long as any event names it, one held back included.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Step {
    /// Ids that are durable at the server.
    pub acknowledged: Vec<Uuid>,
    /// Events to store as they came.
    pub put: Vec<Outgoing>,
    /// Events that stand at the server with other content under the same id. They are kept apart, shown and exported.
    pub held: Vec<Outgoing>,
    /// Ids whose content is erased: copies held under them are replaced by what [`crate::sync::erased`] leaves of
    /// them, and pictures that no other event names are deleted.
    pub erased: Vec<Uuid>,
    /// Pictures that the shop's server now knows to be spoken of. Those that the device has go to its picture queue,
    /// even if they were sent before: the server may have deleted one with another event that spoke of it.
    pub pictures: Vec<String>,
    /// Whether everything must be sent again: the server was restored, and may have lost what it had acknowledged.
    pub send_all: bool,
    /// How far the device has read then.
    pub replica: Replica,
    /// The latest stamp that came, for the device's clock; one more than a day ahead of it is passed over.
    pub latest: Option<Stamp>,
    /// Whether the server has more to give.
    pub more: bool,
}

/// Why a reply is not usable; nothing is done with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReplyFault {
    /// It holds something that is no event.
    NotAnEvent {
        /// Its place in the reply, from 0.
        index: usize,
    },
}

impl Replica {
    /// Returns a replica that has read nothing.
    #[must_use]
    pub fn new(device: &str) -> Self {
        Replica { device: device.to_owned(), cursor: 0, epoch: None }
    }

    /// Returns the replica that reads everything again. Always safe.
    #[must_use]
    pub fn from_the_start(&self) -> Self {
        Replica { cursor: 0, ..self.clone() }
    }

    /// Returns the next request: the first of the outbox that fit, or none to ask for news alone.
    ///
    /// An event longer than any server takes is left out; [`Replica::too_long`] names those.
    #[must_use]
    pub fn next_push(&self, outbox: &[Outgoing]) -> Push {
        let mut bytes = 0;
        let mut events = Vec::new();
        for outgoing in outbox {
            let size = compare::line(&outgoing.event).len();
            if size > LINE_BYTES {
                continue;
            }
            bytes += size;
            if events.len() == PUSH_EVENTS || (bytes > MESSAGE_BYTES && !events.is_empty()) {
                break;
            }
            events.push(outgoing.event.clone());
        }
        Push { device: self.device.clone(), cursor: self.cursor, epoch: self.epoch, events }
    }

    /// Returns those of the outbox that are longer than any server takes; they are to be held.
    #[must_use]
    pub fn too_long(outbox: &[Outgoing]) -> Vec<Uuid> {
        outbox
            .iter()
            .filter(|outgoing| compare::line(&outgoing.event).len() > LINE_BYTES)
            .map(|outgoing| outgoing.id)
            .collect()
    }

    /// Returns the ids that [`Replica::on_reply`] needs to see of the device's own store.
    #[must_use]
    pub fn looks_up(sent: &Push, reply: &Pull) -> Vec<Uuid> {
        let mut ids = BTreeSet::new();
        for value in &reply.events {
            if let Ok(event) = compare::event(value) {
                ids.insert(event.id);
                ids.extend(compare::erases(&event));
            }
        }
        for value in &sent.events {
            if let Ok(event) = compare::event(value) {
                ids.insert(event.id);
                ids.extend(compare::erases(&event));
            }
        }
        ids.into_iter().collect()
    }

    /// Returns what to do with a reply to `sent`. `local` holds what the device has of [`Replica::looks_up`] by now,
    /// `now` is its clock. Replies may come twice, late, and out of order.
    ///
    /// # Errors
    /// [`ReplyFault`] where the reply is not usable.
    pub fn on_reply(
        &self,
        sent: &Push,
        reply: &Pull,
        local: &BTreeMap<Uuid, Value>,
        now: i64,
    ) -> Result<Step, ReplyFault> {
        let other_server = self.epoch.is_some_and(|mine| mine != reply.epoch);
        let asked = if sent.epoch.is_some_and(|told| told != reply.epoch) { 0 } else { sent.cursor };
        // A late reply of a server that was replaced since: what it acknowledged may be lost with it.
        let stale = other_server && sent.epoch != self.epoch;
        let mut step = Step { replica: self.clone(), more: reply.more, ..Step::default() };
        if stale {
            step.more = true;
            return Ok(step);
        }
        if other_server || self.epoch.is_none() {
            step.send_all = other_server;
            step.replica.epoch = Some(reply.epoch);
            step.replica.cursor = 0;
        }
        // A server whose sequence is behind ours starts again from 0; it says so by a cursor below what we asked from.
        let rolled_back = !other_server && reply.cursor < asked;
        if rolled_back {
            step.send_all = true;
            step.replica.cursor = reply.cursor;
        } else if asked <= step.replica.cursor {
            step.replica.cursor = step.replica.cursor.max(reply.cursor);
        }

        let mut sent_events = BTreeMap::new();
        for event in sent.events.iter().filter_map(|value| compare::event(value).ok()) {
            sent_events.insert(event.id, event);
        }
        step.acknowledged = reply.stored.iter().copied().filter(|id| sent_events.contains_key(id)).collect();

        // The reply leaves out what stands there as it was sent. Where that is not what is here any more (refused once and
        // held, or stamped anew by a server that is lost, before a late copy of the request reached the next server),
        // reading from the start brings it as it stands there now.
        let brings = |id: &Uuid| {
            reply.events.iter().any(|value| compare::event(value).is_ok_and(|event| event.id == *id))
        };
        let as_sent = |id: &Uuid| {
            let mine = local.get(id).and_then(|value| compare::event(value).ok());
            mine.zip(sent_events.get(id)).is_some_and(|(mine, sent)| {
                !matches!(compare(&mine, sent), Likeness::OtherStamp | Likeness::Different)
            })
        };
        if step.acknowledged.iter().any(|id| !as_sent(id) && !brings(id)) {
            step.replica.cursor = 0;
            step.more = true;
        }

        let mut pictures: BTreeSet<String> = step
            .acknowledged
            .iter()
            .filter_map(|id| sent_events.get(id).and_then(compare::picture))
            .collect();

        let mut arrived: BTreeMap<Uuid, (Event, Value)> = BTreeMap::new();
        for (index, value) in reply.events.iter().enumerate() {
            let event = compare::event(value).map_err(|_| ReplyFault::NotAnEvent { index })?;
            arrived.insert(event.id, (event, value.clone()));
        }
        let mut erase: BTreeSet<Uuid> =
            arrived.values().filter_map(|(event, _)| compare::erases(event)).collect();
        erase.extend(step.acknowledged.iter().filter_map(|id| sent_events.get(id).and_then(compare::erases)));

        for (id, (event, value)) in &arrived {
            pictures.extend(compare::picture(event));
            if !is_ahead(event.stamp, now) {
                step.latest = step.latest.max(Some(event.stamp));
            }
            let stored =
                local.get(id).and_then(|value| compare::event(value).ok().map(|event| (event, value)));
            match stored.as_ref().map(|(mine, _)| compare(mine, event)) {
                Some(Likeness::Same) => continue,
                // Erased here, not yet there: what this device knows to be erased stays so, with the server's stamp.
                Some(Likeness::FirstErased) => {
                    erase.insert(*id);
                }
                Some(Likeness::Different) => {
                    if let Some((_, mine)) = stored {
                        step.held.push(Outgoing { id: *id, event: mine.clone() });
                    }
                }
                Some(Likeness::OtherStamp | Likeness::SecondErased) | None => {}
            }
            if !erase.contains(id) {
                step.put.push(Outgoing { id: *id, event: value.clone() });
            }
        }
        step.pictures = pictures.into_iter().collect();
        step.erased = erase.iter().copied().collect();
        for id in erase {
            let known = match arrived.get(&id) {
                Some((event, _)) => Some(event.clone()),
                None => local.get(&id).and_then(|value| compare::event(value).ok()),
            };
            let Some(known) = known else { continue };
            let left = compare::erased(&known);
            if (left != known || arrived.contains_key(&id))
                && let Ok(value) = serde_json::from_str(&crate::log::write_line(&left))
            {
                step.put.push(Outgoing { id, event: value });
            }
        }
        Ok(step)
    }

    /// Returns what to do when the server refuses the request for some ids: it has other content under them, or cannot
    /// read them. They are held, and the rest is sent again. `local` holds what the device has of `ids` by now.
    #[must_use]
    pub fn on_refused(&self, sent: &Push, ids: &[Uuid], local: &BTreeMap<Uuid, Value>) -> Step {
        let mut step = Step { replica: self.clone(), more: true, ..Step::default() };
        for value in &sent.events {
            let Some(id) = value.get("id").and_then(Value::as_str).and_then(|id| id.parse().ok()) else {
                continue;
            };
            let Some(mine) = local.get(&id).filter(|_| ids.contains(&id)) else { continue };
            // What the server has may have come in the meantime: then ours is held already.
            let ours = match (compare::event(value), compare::event(mine)) {
                (Ok(sent), Ok(mine)) => compare(&sent, &mine) != Likeness::Different,
                _ => true,
            };
            if ours && step.held.iter().all(|held| held.id != id) {
                step.held.push(Outgoing { id, event: mine.clone() });
            }
        }
        step
    }
}
