//! The store's side of the exchange with the shop: what to send, and a step applied whole or not at all.

use super::{Fault, Row, Store, get, meta_in, put, put_meta_in, remove};
use indexed_db_futures::prelude::*;
use indexed_db_futures::transaction::Transaction;
use record::sync::{self, Outgoing, PUSH_EVENTS, Pull, Push, Replica, ReplyFault, Step};
use record::{Event, Stamp};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;
use wasm_bindgen::JsValue;

const ALL: &[&str] = &["events", "outbox", "held", "stale", "meta", "pictures", "picture_queue"];

/// What a step changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Changed {
    /// The jobs whose events changed.
    pub jobs: BTreeSet<Uuid>,
    /// Whether the shop has more to give.
    pub more: bool,
    /// The events that were held back now.
    pub held: usize,
}

/// Why a reply was not applied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ApplyFault {
    /// The store failed.
    Store(Fault),
    /// The reply is not usable.
    Reply(ReplyFault),
}

impl<E: Into<Fault>> From<E> for ApplyFault {
    fn from(fault: E) -> Self {
        ApplyFault::Store(fault.into())
    }
}

impl Store {
    /// Returns the next request of a device of this name.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn next_push(&self, device: &str) -> Result<Push, Fault> {
        let tx = self.read(&["events", "outbox", "meta"])?;
        let replica = replica_in(&tx, device).await?;
        Ok(replica.next_push(&outbox_in(&tx).await?))
    }

    /// Holds back the events that are longer than any shop takes.
    ///
    /// # Errors
    /// [`Fault`]; then nothing has changed.
    pub async fn hold_too_long(&self, device: &str) -> Result<(), Fault> {
        let tx = self.read(&["events", "outbox"])?;
        let outbox = outbox_in(&tx).await?;
        drop(tx);
        let ids = Replica::too_long(&outbox);
        if ids.is_empty() {
            return Ok(());
        }
        let events = outbox.into_iter().filter(|one| ids.contains(&one.id)).map(|one| one.event).collect();
        let sent = Push { device: device.to_owned(), events, ..Push::default() };
        self.on_refused(device, &sent, &ids, 0).await.map(drop)
    }

    /// Applies the shop's reply to `sent`.
    ///
    /// # Errors
    /// [`ApplyFault`]; then nothing has changed.
    pub async fn on_reply(
        &self,
        device: &str,
        sent: &Push,
        reply: &Pull,
        now: i64,
    ) -> Result<Changed, ApplyFault> {
        let tx = self.write(ALL)?;
        let replica = replica_in(&tx, device).await?;
        let mut local = BTreeMap::new();
        for id in Replica::looks_up(sent, reply) {
            if let Some(event) = line_in(&tx, &id.to_string()).await? {
                local.insert(id, event);
            }
        }
        let step = replica.on_reply(sent, reply, &local, now).map_err(ApplyFault::Reply)?;
        let changed = apply(&tx, &step, now).await?;
        tx.commit().await?;
        Ok(changed)
    }

    /// Holds back the events of `sent` that the shop refuses.
    ///
    /// # Errors
    /// [`Fault`]; then nothing has changed.
    pub async fn on_refused(
        &self,
        device: &str,
        sent: &Push,
        ids: &[Uuid],
        now: i64,
    ) -> Result<Changed, Fault> {
        let tx = self.write(ALL)?;
        let replica = replica_in(&tx, device).await?;
        let mut local = BTreeMap::new();
        for id in ids {
            if let Some(event) = line_in(&tx, &id.to_string()).await? {
                local.insert(*id, event);
            }
        }
        let changed = apply(&tx, &replica.on_refused(sent, ids, &local), now).await?;
        tx.commit().await?;
        Ok(changed)
    }

    /// Lets the phone read everything again, and sends everything again. Always safe.
    ///
    /// # Errors
    /// [`Fault`]; then nothing has changed.
    pub async fn start_over(&self, device: &str) -> Result<(), Fault> {
        let tx = self.write(ALL)?;
        let replica = Replica::new(device);
        let step = Step { send_all: true, replica, ..Step::default() };
        apply(&tx, &step, 0).await?;
        Ok(tx.commit().await?)
    }

    /// Returns the pictures that wait to be sent.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn waiting_pictures(&self) -> Result<Vec<String>, Fault> {
        let tx = self.read(&["picture_queue"])?;
        let mut names = Vec::new();
        for key in tx.object_store("picture_queue")?.get_all_keys::<String>().await? {
            names.push(key?);
        }
        Ok(names)
    }

    /// Takes a picture out of the queue: the shop has it.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be written.
    pub async fn picture_sent(&self, sha256: &str) -> Result<(), Fault> {
        let tx = self.write(&["picture_queue"])?;
        remove(&tx, "picture_queue", sha256).await?;
        Ok(tx.commit().await?)
    }
}

/// Returns the first events of the outbox.
async fn outbox_in(tx: &Transaction<'_>) -> Result<Vec<Outgoing>, Fault> {
    let limit = PUSH_EVENTS as u32;
    let mut outbox = Vec::new();
    for key in tx.object_store("outbox")?.get_all_keys::<String>().with_limit(limit).await? {
        let key = key?;
        let Ok(id) = key.parse() else { continue };
        if let Some(event) = line_in(tx, &key).await? {
            outbox.push(Outgoing { id, event });
        }
    }
    Ok(outbox)
}

async fn replica_in(tx: &Transaction<'_>, device: &str) -> Result<Replica, Fault> {
    Ok(meta_in(tx, "replica").await?.unwrap_or_else(|| Replica::new(device)))
}

async fn line_in(tx: &Transaction<'_>, id: &str) -> Result<Option<Value>, Fault> {
    let row = get(tx, "events", id).await?.and_then(|value| Row::from_js(&value));
    Ok(row.and_then(|row| serde_json::from_str(&row.line).ok()))
}

/// Applies a step in the order that [`Step`] asks for.
async fn apply(tx: &Transaction<'_>, step: &Step, now: i64) -> Result<Changed, Fault> {
    let mut changed = Changed { more: step.more, held: step.held.len(), ..Changed::default() };
    if step.send_all {
        for key in tx.object_store("events")?.get_all_keys::<String>().await? {
            put(tx, "outbox", &key?, &JsValue::TRUE).await?;
        }
        for key in tx.object_store("pictures")?.get_all_keys::<String>().await? {
            put(tx, "picture_queue", &key?, &JsValue::TRUE).await?;
        }
    }
    for id in &step.acknowledged {
        remove(tx, "outbox", &id.to_string()).await?;
    }
    for held in &step.held {
        let id = held.id.to_string();
        changed.jobs.extend(job_of(&held.event));
        remove(tx, "outbox", &id).await?;
        remove(tx, "events", &id).await?;
        put(tx, "held", &id, &JsValue::from_str(&sync::line(&held.event))).await?;
    }
    let mut pictures = BTreeSet::new();
    for id in &step.erased {
        if let Some(event) = line_in(tx, &id.to_string()).await?.and_then(|value| sync::event(&value).ok()) {
            pictures.extend(sync::picture(&event));
        }
        erase_held(tx, *id).await?;
    }
    for come in &step.put {
        let Ok(event) = sync::event(&come.event) else { continue };
        let id = come.id.to_string();
        let row = Row { line: sync::line(&come.event), ..Row::of(&event) };
        put(tx, "events", &id, &row.to_js()).await?;
        if get(tx, "outbox", &id).await?.is_some() {
            put(tx, "outbox", &id, &JsValue::TRUE).await?;
        }
        changed.jobs.insert(event.job);
    }
    for picture in pictures {
        let events = tx.object_store("events")?;
        let others: u32 = events.index("picture")?.count().with_query::<String, _>(picture.clone()).await?;
        if others == 0 {
            remove(tx, "pictures", &picture).await?;
            remove(tx, "picture_queue", &picture).await?;
        }
    }
    for job in &changed.jobs {
        put(tx, "stale", &job.to_string(), &JsValue::TRUE).await?;
    }
    if let Some(latest) = step.latest {
        let clock: Stamp = meta_in(tx, "clock").await?.unwrap_or_default();
        if latest > clock {
            put_meta_in(tx, "clock", &clock.after(latest, now)).await?;
        }
    }
    put_meta_in(tx, "replica", &step.replica).await?;
    Ok(changed)
}

/// Replaces a copy held back by what an erasure leaves of it.
async fn erase_held(tx: &Transaction<'_>, id: Uuid) -> Result<(), Fault> {
    let key = id.to_string();
    let held = get(tx, "held", &key).await?.and_then(|value| value.as_string());
    let event: Option<Event> = held.and_then(|line| record::read_line(line.as_bytes()).ok());
    match event {
        Some(event) => {
            let left = record::write_line(&sync::erased(&event));
            put(tx, "held", &key, &JsValue::from_str(&left)).await
        }
        None => Ok(()),
    }
}

fn job_of(event: &Value) -> Option<Uuid> {
    event.get("job")?.as_str()?.parse().ok()
}
