//! A phone: what survives when it is killed, and how it applies a step.

use super::Fault;
use record::Stamp;
use record::sync::{self, Likeness, Outgoing, Push, Replica, Step, compare};
use serde_json::Value;
use std::collections::BTreeMap;
use uuid::Uuid;

/// A phone. All of it is durable; what is not is the page that waits for a reply, known by `page`.
#[derive(Clone, Debug)]
pub struct Phone {
    pub device: Uuid,
    pub events: BTreeMap<Uuid, Value>,
    pub outbox: Vec<Uuid>,
    pub held: Vec<Outgoing>,
    pub replica: Replica,
    pub pictures: BTreeMap<String, Vec<u8>>,
    pub to_upload: Vec<String>,
    pub stamp: Stamp,
    /// How far its clock is wrong, in milliseconds.
    pub skew: i64,
    /// Counts the times its page was loaded. A reply to an earlier page finds nobody.
    pub page: u32,
}

impl Phone {
    pub fn new(device: Uuid, name: &str, skew: i64) -> Self {
        Phone {
            device,
            events: BTreeMap::new(),
            outbox: Vec::new(),
            held: Vec::new(),
            replica: Replica::new(name),
            pictures: BTreeMap::new(),
            to_upload: Vec::new(),
            stamp: Stamp::default(),
            skew,
            page: 0,
        }
    }

    /// Returns the first `most` of what waits, ready to be sent.
    pub fn next_push(&self, most: usize) -> Push {
        let first = self.outbox.iter().take(most);
        let outbox: Vec<Outgoing> =
            first.filter_map(|id| Some(Outgoing { id: *id, event: self.events.get(id)?.clone() })).collect();
        self.replica.next_push(&outbox)
    }

    /// Records an event: it and its outbox row in one transaction.
    pub fn record(&mut self, id: Uuid, event: Value) {
        if let Some(target) = sync::event(&event).ok().as_ref().and_then(sync::erases) {
            self.erase(target);
        }
        self.events.insert(id, event);
        self.outbox.push(id);
    }

    fn erase(&mut self, id: Uuid) {
        if let Some(event) = self.events.get(&id).and_then(|event| sync::event(event).ok()) {
            let line = record::write_line(&sync::erased(&event));
            self.events.insert(id, serde_json::from_str(&line).unwrap());
        }
        self.drop_pictures();
    }

    fn drop_pictures(&mut self) {
        let named: Vec<String> = self
            .events
            .values()
            .chain(self.held.iter().map(|held| &held.event))
            .filter_map(|event| sync::event(event).ok().as_ref().and_then(sync::picture))
            .collect();
        self.pictures.retain(|name, _| named.contains(name));
        self.to_upload.retain(|name| named.contains(name));
    }

    /// Returns what the phone has of some ids.
    pub fn local(&self, ids: &[Uuid]) -> BTreeMap<Uuid, Value> {
        ids.iter().filter_map(|id| Some((*id, self.events.get(id)?.clone()))).collect()
    }

    /// Applies a step whole, in the order that [`Step`] asks for.
    pub fn apply(&mut self, step: Step, now: i64, fault: Option<Fault>) {
        if step.send_all {
            self.outbox = self.events.keys().copied().collect();
            self.to_upload = self.pictures.keys().cloned().collect();
        }
        self.outbox.retain(|id| !step.acknowledged.contains(id));
        for held in step.held {
            self.outbox.retain(|id| *id != held.id);
            self.events.remove(&held.id);
            if fault != Some(Fault::ForgetsWhatIsRefused) {
                self.held.push(held);
            }
        }
        for id in &step.erased {
            for held in self.held.iter_mut().filter(|held| held.id == *id) {
                if let Ok(event) = sync::event(&held.event) {
                    held.event = serde_json::from_str(&record::write_line(&sync::erased(&event))).unwrap();
                }
            }
        }
        for put in step.put {
            if fault == Some(Fault::KeepsItsOwn) && self.events.contains_key(&put.id) {
                continue;
            }
            if fault == Some(Fault::DoesNotErase)
                && let (Some(mine), Ok(new)) = (self.events.get(&put.id), sync::event(&put.event))
                && sync::event(mine).is_ok_and(|mine| compare(&mine, &new) == Likeness::SecondErased)
            {
                continue;
            }
            self.events.insert(put.id, put.event);
        }
        for name in step.pictures {
            if self.pictures.contains_key(&name) && !self.to_upload.contains(&name) {
                self.to_upload.push(name);
            }
        }
        self.drop_pictures();
        self.replica = step.replica;
        if let Some(latest) = step.latest {
            self.stamp = self.stamp.after(latest, now + self.skew);
        }
    }
}
