//! The phone's own store: events, what waits to be sent, pictures, half-typed texts; in the browser's database, each
//! change in one strict transaction.
//!
//! | store | key | what stands there |
//! |---|---|---|
//! | `events` | id | the line of the log, its job, the picture it names |
//! | `outbox` | id | an event that the shop has not acknowledged |
//! | `held` | id | an event that stands at the shop with other content |
//! | `heads` | job | what the list of jobs shows, derived |
//! | `stale` | job | a job whose head must be made again |
//! | `pictures` | SHA-256 | the bytes, the size, the time |
//! | `picture_queue` | SHA-256 | a picture that the shop has not got |
//! | `drafts` | place | a text typed and not kept |
//! | `meta` | name | clock, replica, settings, pairing |

mod exchange;
mod pictures;
mod rows;
mod schema;

pub use exchange::{ApplyFault, Changed};
pub use pictures::StoredPicture;
use rows::Row;

use crate::browser::fault_text;
use crate::draft::Draft;
use crate::head::Head;
use indexed_db_futures::database::Database;
use indexed_db_futures::error::{Error, OpenDbError};
use indexed_db_futures::prelude::*;
use indexed_db_futures::transaction::{
    Transaction, TransactionDurability, TransactionMode, TransactionOptions,
};
use record::{Event, Stamp};
use serde::{Serialize, de::DeserializeOwned};
use uuid::Uuid;
use wasm_bindgen::JsValue;

/// The name of the database.
const NAME: &str = "gastight";

/// The phone's own store.
pub struct Store {
    db: Database,
}

/// Why the store cannot be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OpenFault {
    /// A newer program has written it; this one must not.
    Newer,
    /// Another page of an older program keeps it from being brought up to date.
    Blocked,
    /// The browser has none, or refuses: a private window, or no room.
    Refused(String),
}

/// Why something was not stored; nothing of it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// There is no room.
    Full,
    /// The store is not open.
    Closed,
    /// Anything else, in the browser's words.
    Other(String),
}

impl From<Error> for Fault {
    fn from(error: Error) -> Self {
        let text = match &error {
            Error::DomException(fault) => fault_text(fault.as_ref()),
            other => other.to_string(),
        };
        if text.contains("QuotaExceeded") { Fault::Full } else { Fault::Other(text) }
    }
}

impl From<serde_json::Error> for Fault {
    fn from(error: serde_json::Error) -> Self {
        Fault::Other(error.to_string())
    }
}

/// How many of each there are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Events.
    pub events: u32,
    /// Events that wait to be sent.
    pub waiting: u32,
    /// Events held back.
    pub held: u32,
    /// Pictures that wait to be sent.
    pub pictures: u32,
}

impl Store {
    /// Opens the store, bringing it up to date. `on_blocked` is called while a page of an older program has it open;
    /// it goes on when that page gives way.
    ///
    /// # Errors
    /// [`OpenFault`] where it must not or cannot be opened.
    pub async fn open(on_blocked: impl FnOnce() + 'static) -> Result<Store, OpenFault> {
        let opened = Database::open(NAME)
            .with_version(schema::VERSION)
            .with_on_blocked(move |_| {
                on_blocked();
                Ok(())
            })
            .with_on_upgrade_needed(|event, db| schema::bring_up(event.old_version() as u32, &db))
            .await;
        match opened {
            Ok(db) => Ok(Store { db }),
            Err(OpenDbError::Base(Error::DomException(fault))) => {
                let text = fault_text(fault.as_ref());
                Err(if text.contains("VersionError") { OpenFault::Newer } else { OpenFault::Refused(text) })
            }
            Err(other) => Err(OpenFault::Refused(other.to_string())),
        }
    }

    /// Returns once a page of a newer program wants the store: this page must give way.
    pub async fn wanted_by_a_newer_program(&self) {
        if let Ok(mut changes) = self.db.version_changes() {
            changes.recv().await;
        } else {
            std::future::pending::<()>().await;
        }
    }

    /// Begins to read.
    fn read(&self, stores: &[&str]) -> Result<Transaction<'_>, Fault> {
        Ok(self.db.transaction(stores).with_mode(TransactionMode::Readonly).build()?)
    }

    /// Begins to write; what is committed is on the disk.
    fn write(&self, stores: &[&str]) -> Result<Transaction<'_>, Fault> {
        let strict = TransactionOptions::new().with_durability(TransactionDurability::Strict);
        Ok(self.db.transaction(stores).with_mode(TransactionMode::Readwrite).with_options(strict).build()?)
    }

    /// Begins to write what may be lost with the power: drafts, derived things.
    fn write_lightly(&self, stores: &[&str]) -> Result<Transaction<'_>, Fault> {
        Ok(self.db.transaction(stores).with_mode(TransactionMode::Readwrite).build()?)
    }

    /// Makes events and stores them, each with its row in the outbox, in one transaction; returns them once they are
    /// on the disk. `make` gets the phone's last stamp; it is read and moved in the same transaction, so that two pages
    /// of one phone never give one stamp twice.
    ///
    /// # Errors
    /// [`Fault`]; then nothing is stored.
    pub async fn enter(&self, make: impl FnOnce(Stamp) -> Vec<Event>) -> Result<Vec<Event>, Fault> {
        let tx = self.write(&["events", "outbox", "stale", "meta"])?;
        let last: Option<Stamp> = meta_in(&tx, "clock").await?;
        let events = make(last.unwrap_or_default());
        for event in &events {
            let row = Row::of(event);
            put(&tx, "events", &event.id.to_string(), &row.to_js()).await?;
            put(&tx, "outbox", &event.id.to_string(), &JsValue::TRUE).await?;
            put(&tx, "stale", &event.job.to_string(), &JsValue::TRUE).await?;
        }
        if let Some(latest) = events.iter().map(|event| event.stamp).max() {
            put_meta_in(&tx, "clock", &latest).await?;
        }
        tx.commit().await?;
        Ok(events)
    }

    /// Returns the events of a job.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn events_of(&self, job: Uuid) -> Result<Vec<Event>, Fault> {
        let tx = self.read(&["events"])?;
        events_in(&tx, job).await
    }

    /// Returns the lines of every event, in the order of their ids.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn all_lines(&self) -> Result<Vec<String>, Fault> {
        let tx = self.read(&["events"])?;
        let mut lines = Vec::new();
        for value in tx.object_store("events")?.get_all::<JsValue>().await? {
            lines.extend(Row::from_js(&value?).map(|row| row.line));
        }
        Ok(lines)
    }

    /// Returns the lines of the events held back.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn held_lines(&self) -> Result<Vec<String>, Fault> {
        let tx = self.read(&["held"])?;
        let mut lines = Vec::new();
        for value in tx.object_store("held")?.get_all::<JsValue>().await? {
            lines.extend(value?.as_string());
        }
        Ok(lines)
    }

    /// Stores events read from a file, each new one with its row in the outbox; returns how many were new.
    ///
    /// # Errors
    /// [`Fault`]; then none is stored.
    pub async fn take_in(&self, events: &[Event]) -> Result<u32, Fault> {
        let tx = self.write(&["events", "outbox", "held", "stale", "meta"])?;
        let mut clock: Stamp = meta_in(&tx, "clock").await?.unwrap_or_default();
        let mut new = 0;
        for event in events {
            let id = event.id.to_string();
            let row = Row::of(event);
            let mine = get(&tx, "events", &id).await?.and_then(|value| Row::from_js(&value));
            match mine.and_then(|mine| mine.event()) {
                None => {
                    put(&tx, "events", &id, &row.to_js()).await?;
                    put(&tx, "outbox", &id, &JsValue::TRUE).await?;
                    put(&tx, "stale", &event.job.to_string(), &JsValue::TRUE).await?;
                    clock = clock.max(event.stamp);
                    new += 1;
                }
                Some(mine) => {
                    if record::sync::compare(&mine, event) == record::sync::Likeness::Different {
                        put(&tx, "held", &id, &JsValue::from_str(&row.line)).await?;
                    }
                }
            }
        }
        put_meta_in(&tx, "clock", &clock).await?;
        tx.commit().await?;
        Ok(new)
    }

    /// Returns what the list of jobs shows, and the jobs whose entry in it is out of date.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn heads(&self) -> Result<(Vec<Head>, Vec<Uuid>), Fault> {
        let tx = self.read(&["heads", "stale"])?;
        let mut heads = Vec::new();
        for value in tx.object_store("heads")?.get_all::<JsValue>().await? {
            heads.extend(from_text::<Head>(&value?));
        }
        let mut stale = Vec::new();
        for key in tx.object_store("stale")?.get_all_keys::<String>().await? {
            stale.extend(key?.parse::<Uuid>().ok());
        }
        Ok((heads, stale))
    }

    /// Makes what the list of jobs shows of one job again, and stores it. Nothing can be entered in between.
    ///
    /// # Errors
    /// [`Fault`] where it cannot be stored; it is made again next time.
    pub async fn refresh_head(&self, job: Uuid) -> Result<Option<Head>, Fault> {
        let tx = self.write_lightly(&["events", "heads", "stale"])?;
        let events = events_in(&tx, job).await?;
        let head = (!events.is_empty()).then(|| Head::of(job, &events));
        match &head {
            Some(head) => put(&tx, "heads", &job.to_string(), &to_text(head)?).await?,
            None => remove(&tx, "heads", &job.to_string()).await?,
        }
        remove(&tx, "stale", &job.to_string()).await?;
        tx.commit().await?;
        Ok(head)
    }

    /// Returns how many of each there are.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn counts(&self) -> Result<Counts, Fault> {
        let tx = self.read(&["events", "outbox", "held", "picture_queue"])?;
        Ok(Counts {
            events: tx.object_store("events")?.count().await?,
            waiting: tx.object_store("outbox")?.count().await?,
            held: tx.object_store("held")?.count().await?,
            pictures: tx.object_store("picture_queue")?.count().await?,
        })
    }

    /// Returns every text typed and not kept.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn drafts(&self) -> Result<Vec<Draft>, Fault> {
        let tx = self.read(&["drafts"])?;
        let mut drafts = Vec::new();
        for value in tx.object_store("drafts")?.get_all::<JsValue>().await? {
            drafts.extend(from_text::<Draft>(&value?));
        }
        Ok(drafts)
    }

    /// Stores a text typed and not kept; an empty one is forgotten.
    ///
    /// # Errors
    /// [`Fault`] where it cannot be stored.
    pub async fn put_draft(&self, draft: &Draft) -> Result<(), Fault> {
        let tx = self.write_lightly(&["drafts"])?;
        if draft.text.is_empty() {
            remove(&tx, "drafts", &draft.key).await?;
        } else {
            put(&tx, "drafts", &draft.key, &to_text(draft)?).await?;
        }
        Ok(tx.commit().await?)
    }

    /// Returns what stands under a name.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn meta<T: DeserializeOwned>(&self, name: &str) -> Result<Option<T>, Fault> {
        let tx = self.read(&["meta"])?;
        meta_in(&tx, name).await
    }

    /// Stores something under a name.
    ///
    /// # Errors
    /// [`Fault`] where it cannot be stored.
    pub async fn put_meta<T: Serialize>(&self, name: &str, value: &T) -> Result<(), Fault> {
        let tx = self.write(&["meta"])?;
        put_meta_in(&tx, name, value).await?;
        Ok(tx.commit().await?)
    }

    /// Forgets what stands under a name.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be written.
    pub async fn forget_meta(&self, name: &str) -> Result<(), Fault> {
        let tx = self.write(&["meta"])?;
        remove(&tx, "meta", name).await?;
        Ok(tx.commit().await?)
    }
}

async fn events_in(tx: &Transaction<'_>, job: Uuid) -> Result<Vec<Event>, Fault> {
    let store = tx.object_store("events")?;
    let found = store.index("job")?.get_all::<JsValue>().with_query::<String, _>(job.to_string()).await?;
    let mut events = Vec::new();
    for value in found {
        events.extend(Row::from_js(&value?).and_then(|row| row.event()));
    }
    events.sort_by_key(|event: &Event| (event.stamp, event.id));
    Ok(events)
}

async fn get(tx: &Transaction<'_>, store: &str, key: &str) -> Result<Option<JsValue>, Fault> {
    Ok(tx.object_store(store)?.get::<JsValue, _, _>(key).primitive()?.await?)
}

async fn put(tx: &Transaction<'_>, store: &str, key: &str, value: &JsValue) -> Result<(), Fault> {
    tx.object_store(store)?.put(value.clone()).with_key(key.to_owned()).primitive()?.await?;
    Ok(())
}

async fn remove(tx: &Transaction<'_>, store: &str, key: &str) -> Result<(), Fault> {
    tx.object_store(store)?.delete::<&str, _>(key).primitive()?.await?;
    Ok(())
}

async fn meta_in<T: DeserializeOwned>(tx: &Transaction<'_>, name: &str) -> Result<Option<T>, Fault> {
    Ok(get(tx, "meta", name).await?.and_then(|value| from_text(&value)))
}

async fn put_meta_in<T: Serialize>(tx: &Transaction<'_>, name: &str, value: &T) -> Result<(), Fault> {
    put(tx, "meta", name, &to_text(value)?).await
}

fn to_text<T: Serialize>(value: &T) -> Result<JsValue, Fault> {
    Ok(JsValue::from_str(&serde_json::to_string(value)?))
}

fn from_text<T: DeserializeOwned>(value: &JsValue) -> Option<T> {
    serde_json::from_str(&value.as_string()?).ok()
}
