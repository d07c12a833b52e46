//! What is put into the record: made into events, stored with their rows in the outbox, and only then acknowledged.

use crate::app::App;
use crate::browser::random;
use crate::clock::now_ms;
use crate::store::Fault;
use job::entry::{Maker, Tick};
use leptos::prelude::untrack;
use record::{Event, Observation, SignedResult, Stamp};
use report::Message;
use std::cell::Cell;
use uuid::Uuid;

/// Why something was not saved. What was typed stays where it stands; nothing is half saved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotSaved {
    /// The phone has no room left.
    Full,
    /// The phone's own store is not open.
    Closed,
    /// There is nothing to undo.
    Nothing,
    /// An apprentice's phone does not make it.
    NotYours,
    /// Anything else, in the browser's words.
    Other(String),
}

impl NotSaved {
    /// Returns the sentence about it.
    #[must_use]
    pub fn message(&self) -> Message {
        match self {
            NotSaved::Full => Message::new("shell-not-saved-full"),
            NotSaved::Closed => Message::new("shell-not-saved-closed"),
            NotSaved::Nothing => Message::new("shell-nothing-to-undo"),
            NotSaved::NotYours => Message::new("shell-not-an-apprentices"),
            NotSaved::Other(words) => Message::new("shell-not-saved").with("words", words.clone()),
        }
    }
}

impl From<Fault> for NotSaved {
    fn from(fault: Fault) -> Self {
        match fault {
            Fault::Full => NotSaved::Full,
            Fault::Closed => NotSaved::Closed,
            Fault::Other(words) => NotSaved::Other(words),
        }
    }
}

fn tick() -> Tick {
    Tick { now_ms: now_ms(), random: random() }
}

impl App {
    /// Returns a job that nobody has used.
    #[must_use]
    pub fn new_job(self) -> Uuid {
        record::device_id(now_ms(), random())
    }

    /// Puts something seen or done into the record; returns its event's id once it is on the disk.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn put(self, job: Uuid, seen: Observation) -> Result<Uuid, NotSaved> {
        let ids = self.put_all(job, vec![seen]).await?;
        ids.first().copied().ok_or(NotSaved::Nothing)
    }

    /// Puts several things into the record: all of them, or none.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn put_all(self, job: Uuid, all: Vec<Observation>) -> Result<Vec<Uuid>, NotSaved> {
        self.enter(job, move |maker, _| all.into_iter().map(|seen| maker.observe(seen, tick())).collect())
            .await
    }

    /// Puts a correction into the record: `of` is the event that the entry stands by.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn correct(
        self,
        job: Uuid,
        of: Uuid,
        now: Observation,
        why: Option<String>,
    ) -> Result<Uuid, NotSaved> {
        let ids = self.enter(job, move |maker, _| vec![maker.correct(of, now, why, tick())]).await?;
        ids.first().copied().ok_or(NotSaved::Nothing)
    }

    /// Takes an event back; what it said stays in the record, struck out.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn withdraw(self, job: Uuid, of: Uuid) -> Result<(), NotSaved> {
        self.enter(job, move |maker, _| vec![maker.withdraw(of, tick())]).await.map(drop)
    }

    /// Decides between events that disagree.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn settle(
        self,
        job: Uuid,
        among: Vec<Uuid>,
        chosen: Uuid,
        why: Option<String>,
    ) -> Result<(), NotSaved> {
        self.enter(job, move |maker, _| vec![maker.settle(among, chosen, why, tick())]).await.map(drop)
    }

    /// Puts a signed result into the record.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn sign(self, job: Uuid, signed: SignedResult) -> Result<Uuid, NotSaved> {
        let ids = self.enter(job, move |maker, _| vec![maker.sign(signed, tick())]).await?;
        ids.first().copied().ok_or(NotSaved::Nothing)
    }

    /// Undoes the last act of this phone in a job, by an event.
    ///
    /// # Errors
    /// [`NotSaved`]; then nothing is saved.
    pub async fn undo(self, job: Uuid) -> Result<Uuid, NotSaved> {
        let ids =
            self.enter(job, move |maker, events| maker.undo(events, tick()).into_iter().collect()).await?;
        ids.first().copied().ok_or(NotSaved::Nothing)
    }

    /// Returns the last act of this phone in a job that can be undone. Tracks the job's events.
    #[must_use]
    pub fn undoable(self, job: Uuid) -> Option<Event> {
        let events = self.events(job);
        job::entry::undoable(&events, Some(&self.it().device.borrow())).cloned()
    }

    /// Makes events and stores them.
    async fn enter(
        self,
        job: Uuid,
        make: impl FnOnce(&mut Maker, &[Event]) -> Vec<Event>,
    ) -> Result<Vec<Uuid>, NotSaved> {
        let store = self.store().await.map_err(NotSaved::from)?;
        let known = self.loaded_events(store, job).await.map_err(NotSaved::from)?;
        let by = self.person();
        let device = Some(self.it().device.borrow().clone());
        let apprentice = untrack(|| self.is_apprentice());
        let denied = Cell::new(false);
        let made = store
            .enter(|last: Stamp| {
                let mut maker = Maker::new(job, by, device, &known);
                maker.apprentice = apprentice;
                maker.saw(last);
                let made = make(&mut maker, &known);
                let of = |id: Option<Uuid>| known.iter().chain(&made).find(|event| Some(event.id) == id);
                let may = |event: &Event| {
                    job::apprentice::denied(event, of(job::apprentice::changes(event))).is_none()
                };
                if apprentice && !made.iter().all(may) {
                    denied.set(true);
                    return Vec::new();
                }
                made
            })
            .await;
        if denied.get() {
            return Err(NotSaved::NotYours);
        }
        let made = match made {
            Ok(made) => made,
            // A transaction that the browser gives up does not always say why.
            Err(Fault::Other(_)) if crate::browser::is_full().await => return Err(NotSaved::Full),
            Err(fault) => return Err(fault.into()),
        };
        let ids = made.iter().map(|event| event.id).collect();
        self.entered(job, &made);
        Ok(ids)
    }
}
