//! The exchange with the shop: by itself, in the background, never in the way of an entry.
//!
//! It is tried at the start, when the browser says that a network is there (only a hint), shortly after each entry,
//! and every minute while the page is in sight; after a failure later and later, with chance in it, so that a shop's
//! phones do not all come at once.

mod upload;

use crate::app::App;
use crate::browser::{document, listen, random, window};
use crate::clock::now_ms;
use crate::net::{self, Ask, Body, NetFault, Session};
use crate::status::Reach;
use crate::store::{ApplyFault, Changed, Fault, Store};
use gloo_timers::callback::{Interval, Timeout};
use leptos::prelude::*;
use record::sync::{Pull, Push};
use serde::{Deserialize, Serialize};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use uuid::Uuid;
use wasm_bindgen_futures::spawn_local;

/// How long after an entry the shop is told, in milliseconds: so that entries made together go together.
const AFTER_ENTRY_MS: u32 = 400;
/// How often it is tried while the page is in sight, in milliseconds.
const EVERY_MS: u32 = 60_000;
/// The first wait after a failure, in milliseconds; each further one is twice as long.
const FIRST_WAIT_MS: u32 = 2_000;
/// The longest wait, in milliseconds.
const LONGEST_WAIT_MS: u32 = 300_000;

/// The state of the exchange on this page.
#[derive(Default)]
pub struct Exchange {
    running: Cell<bool>,
    again: Cell<bool>,
    failures: Cell<u32>,
    /// Not before this moment, in milliseconds since 1970.
    not_before: Cell<i64>,
    timer: RefCell<Option<Timeout>>,
}

/// What pairing sends.
#[derive(Serialize)]
struct PairRequest<'a> {
    code: &'a str,
    name: &'a str,
}

/// The shop's lists, as far as this phone's person may see them.
#[derive(Deserialize)]
struct Lists {
    #[serde(default)]
    state: Option<String>,
    customers: Vec<job::customers::Customer>,
    #[serde(default)]
    prices: Option<String>,
}

/// Why an exchange ended early.
enum Ended {
    Net(NetFault),
    Store(Fault),
    Reply,
}

impl From<NetFault> for Ended {
    fn from(fault: NetFault) -> Self {
        Ended::Net(fault)
    }
}

impl From<Fault> for Ended {
    fn from(fault: Fault) -> Self {
        Ended::Store(fault)
    }
}

impl From<ApplyFault> for Ended {
    fn from(fault: ApplyFault) -> Self {
        match fault {
            ApplyFault::Store(fault) => Ended::Store(fault),
            ApplyFault::Reply(_) => Ended::Reply,
        }
    }
}

impl App {
    /// Joins this phone to the shop by the code that the shop shows.
    ///
    /// # Errors
    /// [`NetFault`] as the shop says; nothing has changed.
    pub async fn pair(self, code: &str, name: &str) -> Result<Session, NetFault> {
        let body = serde_json::to_string(&PairRequest { code, name }).unwrap_or_default();
        let ask = Ask { method: "POST", path: "/pair", body: Body::Json(&body), ..Ask::default() };
        let session: Session = net::ask(&ask).await?.json().await?;
        let it = self.it();
        if let Ok(store) = self.store().await {
            // Another shop has another history; one that is the same shop acknowledges all at once.
            let _ = store.start_over(&session.device).await;
            if store.put_meta("session", &session).await.is_err() {
                return Err(NetFault::Other(self.say(&crate::NotSaved::Closed.message())));
            }
        }
        it.session.set(Some(session.clone()));
        it.exchange.failures.set(0);
        it.exchange.not_before.set(0);
        self.count().await;
        self.exchange_now();
        Ok(session)
    }

    /// Leaves the shop: the phone forgets its secret and keeps its record.
    pub async fn leave_shop(self) {
        if let Ok(store) = self.store().await {
            // Where it is not forgotten, the shop can still refuse it.
            let _ = store.forget_meta("session").await;
        }
        self.it().session.set(None);
        self.set_reach(Reach::Alone);
    }

    /// Returns the shop this phone is joined to.
    pub(crate) fn session_now(self) -> Option<Session> {
        self.it().session.get_untracked()
    }

    /// Returns the shop this phone is joined to. Tracks it.
    #[must_use]
    pub fn session(self) -> Option<Session> {
        self.it().session.get()
    }

    /// Returns whether the shop says that an apprentice holds this phone. Tracks it.
    #[must_use]
    pub fn is_apprentice(self) -> bool {
        self.it()
            .session
            .with(|session| session.as_ref().is_some_and(|one| one.role.as_deref() == Some("apprentice")))
    }

    /// Takes note of what the person may do. Who is an apprentice no longer reads again what was kept from one.
    async fn heard(self, store: &Store, session: &Session, role: Option<&String>) -> Result<bool, Fault> {
        let known = self.session_now().filter(|known| known.token == session.token);
        let Some(mut known) = known.filter(|known| role.is_some() && known.role.as_ref() != role) else {
            return Ok(false);
        };
        let again = known.role.as_deref() == Some("apprentice");
        known.role = role.cloned();
        store.put_meta("session", &known).await?;
        self.it().session.set(Some(known));
        if again {
            store.start_over(&session.device).await?;
        }
        Ok(again)
    }

    /// Fetches the shop's customers and prices where they are others than this phone has. Nothing waits for it: a phone that
    /// does not get them asks again with its next exchange.
    async fn fetch_lists(self, store: &Store, session: &Session, state: Option<String>) -> Result<(), Ended> {
        let known = self.session_now().filter(|known| known.token == session.token);
        let Some(mut known) = known.filter(|known| state.is_some() && known.lists != state) else {
            return Ok(());
        };
        let ask = Ask { method: "GET", path: "/lists", token: Some(&session.token), ..Ask::default() };
        let lists: Lists = net::ask(&ask).await?.json().await?;
        store.put_meta("customers", &lists.customers).await?;
        if lists.prices.is_some() || known.role.as_deref() == Some("apprentice") {
            // Every screen follows the settings: what is the same must not draw them anew under somebody's hands.
            if self.it().settings.with_untracked(|settings| settings.prices != lists.prices) {
                self.set(|settings| settings.prices = lists.prices);
            }
        }
        known.lists = lists.state;
        store.put_meta("session", &known).await?;
        self.it().session.set(Some(known));
        Ok(())
    }

    /// Begins to exchange with the shop by itself.
    pub(crate) fn start_exchange(self) {
        listen(&window(), "online", move |_| {
            self.it().exchange.not_before.set(0);
            self.exchange_now();
        });
        listen(&document(), "visibilitychange", move |_| {
            if !document().hidden() {
                self.exchange_soon();
            }
        });
        Interval::new(EVERY_MS, move || {
            if !document().hidden() {
                self.exchange_in(0);
            }
        })
        .forget();
        self.exchange_in(0);
    }

    /// Exchanges shortly: something was entered.
    pub(crate) fn exchange_soon(self) {
        self.exchange_in(AFTER_ENTRY_MS);
    }

    /// Exchanges now, because a person asks for it.
    pub fn exchange_now(self) {
        self.it().exchange.not_before.set(0);
        self.exchange_in(0);
    }

    fn exchange_in(self, delay_ms: u32) {
        let it = self.it();
        let refused = it.status.with_untracked(|status| status.reach == Reach::PairAgain);
        if it.session.with_untracked(Option::is_none) || refused {
            return;
        }
        let wait = it.exchange.not_before.get().saturating_sub(now_ms()).max(i64::from(delay_ms));
        let wait = u32::try_from(wait).unwrap_or(LONGEST_WAIT_MS);
        let timer = Timeout::new(wait, move || {
            // The timer that runs is the one that stands there.
            drop(self.it().exchange.timer.borrow_mut().take().map(Timeout::forget));
            spawn_local(self.exchange());
        });
        // A timer that was set earlier is dropped, and with it its run.
        *it.exchange.timer.borrow_mut() = Some(timer);
    }

    async fn exchange(self) {
        let exchange = &self.it().exchange;
        if exchange.running.replace(true) {
            exchange.again.set(true);
            return;
        }
        let session = self.it().session.get_untracked();
        if let Some(session) = session {
            if self.it().status.with_untracked(|status| status.reach != Reach::Fine) {
                self.set_reach(Reach::Trying);
            }
            let ended = self.exchange_all(&session).await;
            self.note(ended).await;
        }
        exchange.running.set(false);
        if exchange.again.replace(false) {
            self.exchange_soon();
        }
    }

    /// Sends all that waits and takes all that is new, then the pictures.
    async fn exchange_all(self, session: &Session) -> Result<(), Ended> {
        let store = self.store().await?;
        let mut jobs = BTreeSet::new();
        let mut lists = None;
        let ended = loop {
            match self.exchange_once(store, session, &mut lists).await {
                Ok((changed, waits)) => {
                    jobs.extend(changed.jobs);
                    if !changed.more && !waits {
                        break Ok(());
                    }
                }
                Err(ended) => break Err(ended),
            }
        };
        if jobs.is_empty() {
            self.count().await;
        } else {
            let jobs: Vec<Uuid> = jobs.into_iter().collect();
            self.changed_elsewhere(jobs.clone()).await;
            self.tell_other_pages(&jobs);
        }
        ended?;
        self.fetch_lists(store, session, lists).await?;
        self.send_pictures(store, session).await
    }

    /// One request and its answer; whether more waits to be sent.
    async fn exchange_once(
        self,
        store: &Store,
        session: &Session,
        lists: &mut Option<String>,
    ) -> Result<(Changed, bool), Ended> {
        let device = session.device.as_str();
        store.hold_too_long(device).await?;
        let sent: Push = store.next_push(device).await?;
        let body = serde_json::to_string(&sent).map_err(Fault::from)?;
        let ask = Ask {
            method: "POST",
            path: "/sync",
            token: Some(&session.token),
            body: Body::Json(&body),
            ..Ask::default()
        };
        match net::ask(&ask).await?.json::<Pull>().await {
            Ok(reply) => {
                let mut changed = store.on_reply(device, &sent, &reply, now_ms()).await?;
                lists.clone_from(&reply.lists);
                changed.more |= self.heard(store, session, reply.role.as_ref()).await?;
                // A shop that acknowledges nothing of what was sent is asked again later, not at once.
                let waits = !reply.stored.is_empty() && store.counts().await?.waiting > 0;
                Ok((changed, waits))
            }
            Err(NetFault::Refused(ids)) => {
                let changed = store.on_refused(device, &sent, &ids, now_ms()).await?;
                let helped = changed.held > 0;
                if !helped {
                    return Err(Ended::Reply);
                }
                Ok((changed, true))
            }
            Err(fault) => Err(fault.into()),
        }
    }

    /// Says how the exchange ended, and when it is tried again.
    async fn note(self, ended: Result<(), Ended>) {
        let it = self.it();
        let wait = match ended {
            Ok(()) => {
                let now = now_ms();
                it.exchange.failures.set(0);
                it.status.update(|status| {
                    status.reach = Reach::Fine;
                    status.sent_ms = Some(now);
                });
                if let Ok(store) = self.store().await {
                    // Only shown; made anew by the next exchange.
                    let _ = store.put_meta("sent_ms", &now).await;
                }
                return;
            }
            Err(Ended::Net(NetFault::NotLetIn)) => {
                self.set_reach(Reach::PairAgain);
                return;
            }
            Err(Ended::Net(NetFault::Away(_))) => {
                self.set_reach(Reach::Away);
                None
            }
            Err(Ended::Net(NetFault::Busy(seconds))) => {
                self.set_reach(Reach::Away);
                seconds.map(|seconds| seconds.saturating_mul(1_000))
            }
            Err(Ended::Net(NetFault::Other(words))) | Err(Ended::Store(Fault::Other(words))) => {
                self.set_reach(Reach::Trouble(words));
                None
            }
            Err(Ended::Store(fault)) => {
                self.set_reach(Reach::Trouble(self.say(&crate::NotSaved::from(fault).message())));
                None
            }
            Err(Ended::Net(NetFault::Refused(_)) | Ended::Reply) => {
                self.set_reach(Reach::Trouble(String::new()));
                None
            }
        };
        let failures = it.exchange.failures.get();
        it.exchange.failures.set(failures.saturating_add(1));
        let wait = wait.unwrap_or_else(|| wait_after(failures, random()[0]));
        it.exchange.not_before.set(now_ms() + i64::from(wait));
        self.exchange_in(wait);
    }

    fn set_reach(self, reach: Reach) {
        self.it().status.update(|status| status.reach = reach);
    }
}

/// Returns how long to wait after so many failures before this one, in milliseconds: between half and the whole of a
/// time that doubles.
fn wait_after(failures: u32, chance: u8) -> u32 {
    let whole = FIRST_WAIT_MS.saturating_mul(1 << failures.min(16)).min(LONGEST_WAIT_MS);
    whole / 2 + (whole / 2 / 255) * u32::from(chance)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waits_grow_have_chance_in_them_and_end() {
        assert_eq!(wait_after(0, 0), 1_000);
        assert!(wait_after(0, 255) <= FIRST_WAIT_MS && wait_after(0, 255) > 1_700);
        assert!(wait_after(3, 0) == 8_000);
        for failures in [8, 40, u32::MAX] {
            assert!(wait_after(failures, 255) <= LONGEST_WAIT_MS);
            assert!(wait_after(failures, 0) >= LONGEST_WAIT_MS / 2);
        }
    }
}
