//! Texts typed and not kept: they survive a killed tab and are offered again where they were typed.

use crate::app::App;
use crate::browser::listen;
use crate::clock::now_ms;
use gloo_timers::callback::Timeout;
use leptos::prelude::*;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// How long a text may be newer than the store, in milliseconds.
const LATE_MS: u32 = 150;

/// A text typed and not kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Draft {
    /// The place it was typed in.
    pub key: String,
    /// The text.
    pub text: String,
    /// When it was last typed at, in milliseconds since 1970.
    pub at_ms: i64,
}

/// The texts of this page, each with the signal of its field.
#[derive(Default)]
pub struct Drafts {
    signals: RefCell<BTreeMap<String, RwSignal<String>>>,
    /// Keys whose text is newer than the store.
    late: RefCell<BTreeSet<String>>,
    timer: RefCell<Option<Timeout>>,
}

impl App {
    /// Returns the text typed at a place and not kept. Writing to the signal is all it takes; an empty text is
    /// forgotten. A key says where: `JOB/entry/reading/suction`.
    #[must_use]
    pub fn draft(self, key: &str) -> RwSignal<String> {
        let it = self.it();
        if let Some(signal) = it.drafts.signals.borrow().get(key) {
            return *signal;
        }
        self.draft_signal(key, String::new())
    }

    /// Returns every text typed and not kept, by its place. Tracks them all.
    #[must_use]
    pub fn drafts(self) -> Vec<(String, String)> {
        self.it().drafts_known.track();
        let signals: Vec<(String, RwSignal<String>)> =
            self.it().drafts.signals.borrow().iter().map(|(key, signal)| (key.clone(), *signal)).collect();
        let mut texts = Vec::new();
        for (key, signal) in signals {
            let text = signal.get();
            if !text.is_empty() {
                texts.push((key, text));
            }
        }
        texts
    }

    /// Forgets every text typed at places whose key begins so: the entry was kept, or dropped.
    pub fn drop_drafts(self, beginning: &str) {
        let signals: Vec<RwSignal<String>> = self
            .it()
            .drafts
            .signals
            .borrow()
            .iter()
            .filter(|(key, _)| key.starts_with(beginning))
            .map(|(_, signal)| *signal)
            .collect();
        for signal in signals {
            signal.set(String::new());
        }
    }

    fn draft_signal(self, key: &str, text: String) -> RwSignal<String> {
        let it = self.it();
        let (owned, stored) = (key.to_owned(), text.clone());
        let signal = it.owner.with(|| {
            let signal = RwSignal::new(text);
            Effect::new(move |before: Option<String>| {
                let text = signal.get();
                // Somebody may have typed before the first run.
                if before.as_ref().unwrap_or(&stored) != &text {
                    self.draft_is_late(&owned);
                }
                text
            });
            signal
        });
        it.drafts.signals.borrow_mut().insert(key.to_owned(), signal);
        it.drafts_known.notify();
        signal
    }

    fn draft_is_late(self, key: &str) {
        let drafts = &self.it().drafts;
        drafts.late.borrow_mut().insert(key.to_owned());
        let mut timer = drafts.timer.borrow_mut();
        if timer.is_none() {
            *timer = Some(Timeout::new(LATE_MS, move || {
                // The timer that runs is the one that stands there.
                drop(self.it().drafts.timer.borrow_mut().take().map(Timeout::forget));
                self.write_drafts();
            }));
        }
    }

    /// Writes what is newer than the store.
    pub(crate) fn write_drafts(self) {
        let late = std::mem::take(&mut *self.it().drafts.late.borrow_mut());
        for key in late {
            let Some(signal) = self.it().drafts.signals.borrow().get(&key).copied() else { continue };
            let draft = Draft { key, text: signal.get_untracked(), at_ms: now_ms() };
            wasm_bindgen_futures::spawn_local(async move {
                if let Ok(store) = self.store().await
                    && store.put_draft(&draft).await.is_err()
                {
                    // It stays in the field; the next key tries again.
                    self.it().drafts.late.borrow_mut().insert(draft.key);
                }
            });
        }
    }

    /// Puts what an earlier page left behind into its places, and writes at once when this page goes out of sight.
    pub(crate) async fn restore_drafts(self) {
        let Ok(store) = self.store().await else { return };
        for draft in store.drafts().await.unwrap_or_default() {
            let known = self.it().drafts.signals.borrow().get(&draft.key).copied();
            match known {
                // Somebody has typed already; that is newer.
                Some(signal) if !signal.get_untracked().is_empty() => {}
                Some(signal) => signal.set(draft.text),
                None => {
                    self.draft_signal(&draft.key, draft.text);
                }
            }
        }
    }

    /// Writes at once when the page goes out of sight: it may never come back.
    pub(crate) fn write_drafts_when_leaving(self) {
        listen(&crate::browser::window(), "pagehide", move |_| self.write_drafts());
        listen(&crate::browser::document(), "visibilitychange", move |_| self.write_drafts());
    }
}
