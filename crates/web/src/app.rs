//! The app's state: what a screen sees.

use crate::browser::{document, is_persisted, listen, random, window};
use crate::clock::now_ms;
use crate::draft::Drafts;
use crate::engine::Engine;
use crate::head::Head;
use crate::net::Session;
use crate::route::Screen;
use crate::settings::Settings;
use crate::status::{Opening, Reach, Status};
use crate::store::{Fault, OpenFault, Store};
use crate::sync::Exchange;
use crate::tabs::Tabs;
use job::visit::Visit;
use js_sys::Promise;
use leptos::prelude::*;
use record::{Event, When};
use report::Message;
use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::sync::Arc;
use units::Writer;
use uuid::Uuid;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use wording::Wording;

/// What a screen sees: the record, the settings, where one is. A token that can be copied anywhere; what it stands
/// for lives as long as the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct App(());

thread_local! {
    static APP: OnceCell<&'static Inner> = const { OnceCell::new() };
}

pub(crate) struct Inner {
    /// Owns every signal here, so that they live as long as the page.
    pub owner: Owner,
    pub screen: RwSignal<Screen>,
    pub settings: RwSignal<Settings>,
    pub wording: Memo<Arc<Wording>>,
    pub heads: RwSignal<Arc<Vec<Head>>>,
    pub status: RwSignal<Status>,
    pub minute: RwSignal<i64>,
    pub session: RwSignal<Option<Session>>,
    pub engine: RwSignal<Option<Engine>>,
    pub drafts: Drafts,
    pub drafts_known: Trigger,
    /// The name this phone gives to itself in the record, for life.
    pub device: RefCell<String>,
    pub exchange: Exchange,
    pub tabs: Tabs,
    jobs: RefCell<BTreeMap<Uuid, OpenJob>>,
    store: OnceCell<&'static Store>,
    opened: RefCell<Option<Promise>>,
}

/// A job whose events are in memory.
#[derive(Clone, Copy)]
struct OpenJob {
    /// Its events, and whether they have been read.
    events: RwSignal<Arc<Vec<Event>>>,
    loaded: RwSignal<bool>,
    /// The events of the earlier visits it follows, oldest first.
    earlier: RwSignal<Arc<Vec<Vec<Event>>>>,
    visit: Memo<Arc<Visit>>,
}

impl App {
    /// Starts the app in this page: once.
    pub(crate) fn start() -> App {
        let app = App(());
        let owner = Owner::current().unwrap_or_default();
        let settings = RwSignal::new(Settings::early());
        let inner = Inner {
            screen: RwSignal::new(Screen::from_hash(&window().location().hash().unwrap_or_default())),
            wording: Memo::new_with_compare(
                move |_| Arc::new(Wording::new(&settings.with(Settings::language))),
                other_language,
            ),
            settings,
            heads: RwSignal::new(Arc::new(Vec::new())),
            status: RwSignal::new(Status::default()),
            minute: RwSignal::new(now_ms()),
            session: RwSignal::new(None),
            engine: RwSignal::new(None),
            drafts: Drafts::default(),
            drafts_known: Trigger::new(),
            device: RefCell::new(String::new()),
            exchange: Exchange::default(),
            tabs: Tabs::default(),
            jobs: RefCell::new(BTreeMap::new()),
            store: OnceCell::new(),
            opened: RefCell::new(None),
            owner,
        };
        APP.with(|cell| {
            // It was empty: the page starts its app once.
            let _ = cell.set(Box::leak(Box::new(inner)));
        });
        let it = app.it();
        Effect::new(move |_| it.settings.with(|settings| settings.show(it.wording.get().language())));
        listen(&window(), "hashchange", move |_| app.follow_address());
        listen(&window(), "popstate", move |_| app.follow_address());
        gloo_timers::callback::Interval::new(20_000, move || it.minute.set(now_ms())).forget();
        listen(&document(), "visibilitychange", move |_| it.minute.set(now_ms()));
        let opened = wasm_bindgen_futures::future_to_promise(async move {
            app.open().await;
            Ok(JsValue::UNDEFINED)
        });
        *it.opened.borrow_mut() = Some(opened);
        crate::parts::dom::close_by_escape();
        app.write_drafts_when_leaving();
        crate::update::register(app);
        app
    }

    pub(crate) fn it(self) -> &'static Inner {
        match APP.with(|cell| cell.get().copied()) {
            Some(inner) => inner,
            None => unreachable!("the app has been started"),
        }
    }

    /// Opens the store and reads what every screen needs.
    async fn open(self) {
        let it = self.it();
        let blocked = move || it.status.update(|status| status.store = Opening::Failed(OpenFault::Blocked));
        let store: &'static Store = match Store::open(blocked).await {
            Ok(store) => Box::leak(Box::new(store)),
            Err(fault) => {
                it.status.update(|status| status.store = Opening::Failed(fault));
                return;
            }
        };
        // It was empty: the app opens its store once.
        let _ = it.store.set(store);
        spawn_local(async move {
            store.wanted_by_a_newer_program().await;
            self.write_drafts();
            // The page that comes is of the newer program; one that cannot be loaded keeps the newer one waiting.
            let _ = window().location().reload();
        });
        self.read_settings(store).await;
        it.status.update(|status| status.store = Opening::Open);
        // The larger part comes while the first screen fills.
        spawn_local(self.load_engine());
        spawn_local(async move {
            self.restore_drafts().await;
            self.show_heads().await;
            self.count().await;
            let persistent = is_persisted().await;
            it.status.update(|status| status.persistent = persistent);
        });
    }

    /// Begins what needs the larger part of the program.
    pub(crate) fn begin(self) {
        crate::browser::put_letters();
        self.listen_to_other_pages();
        self.start_exchange();
        spawn_local(self.read_heads());
    }

    /// Reads the list of jobs as it was last made.
    async fn show_heads(self) {
        let Ok(store) = self.store().await else { return };
        let Ok((mut heads, _)) = store.heads().await else { return };
        heads.sort_by_key(|head| std::cmp::Reverse((head.latest_ms, head.job)));
        // The larger part may have made a newer list meanwhile.
        if self.it().heads.read_untracked().is_empty() {
            self.it().heads.set(Arc::new(heads));
        }
    }

    async fn read_settings(self, store: &'static Store) {
        let it = self.it();
        if let Ok(Some(settings)) = store.meta::<Settings>("settings").await {
            it.settings.set(settings);
        }
        if let Ok(Some(session)) = store.meta::<Session>("session").await {
            it.status.update(|status| status.reach = Reach::Away);
            it.session.set(Some(session));
        }
        let sent = store.meta::<i64>("sent_ms").await.ok().flatten();
        it.status.update(|status| status.sent_ms = sent);
        let device = match store.meta::<String>("device").await {
            Ok(Some(device)) => device,
            _ => {
                let [a, b, c, d, ..] = random();
                let device = format!("phone-{a:02x}{b:02x}{c:02x}{d:02x}");
                // One that is not kept is made again next time; until then its entries bear this one.
                let _ = store.put_meta("device", &device).await;
                device
            }
        };
        *it.device.borrow_mut() = device;
    }

    /// Returns the store once it is open.
    pub(crate) async fn store(self) -> Result<&'static Store, Fault> {
        let it = self.it();
        if it.store.get().is_none() {
            let opened = it.opened.borrow().clone();
            if let Some(opened) = opened {
                // It ends well whether the store opened or not; what stands in the cell tells.
                let _ = JsFuture::from(opened).await;
            }
        }
        it.store.get().copied().ok_or(Fault::Closed)
    }

    /// Returns the sentence in the language that is set. Tracks the language.
    #[must_use]
    pub fn say(self, message: &Message) -> String {
        self.it().wording.with(|wording| wording.say(message))
    }

    /// Returns the catalogue of the language that is set. Tracks the language.
    #[must_use]
    pub fn wording(self) -> Arc<Wording> {
        self.it().wording.get()
    }

    /// Returns where one is. Tracks it.
    #[must_use]
    pub fn screen(self) -> Screen {
        self.it().screen.get()
    }

    /// Goes to a screen; the browser's way back leads here again.
    pub fn go(self, screen: &Screen) {
        let depth = JsValue::from_f64(f64::from(depth() + 1));
        let went = window()
            .history()
            .and_then(|history| history.push_state_with_url(&depth, "", Some(&screen.hash())));
        match went {
            Ok(()) => {
                self.it().screen.set(screen.clone());
                window().scroll_to_with_x_and_y(0.0, 0.0);
            }
            // A browser that keeps no history of ours follows its own.
            Err(_) => drop(window().location().set_hash(&screen.hash())),
        }
    }

    /// Goes to a screen in place of this one, which is not come back to.
    pub fn go_instead(self, screen: Screen) {
        let depth = JsValue::from_f64(f64::from(depth()));
        let replaced = window()
            .history()
            .and_then(|history| history.replace_state_with_url(&depth, "", Some(&screen.hash())));
        if replaced.is_ok() {
            self.it().screen.set(screen);
            window().scroll_to_with_x_and_y(0.0, 0.0);
        }
    }

    /// Goes back to the screen one came from; where the page was opened at this one, to the screen it belongs to.
    pub fn back(self) {
        match window().history() {
            Ok(history) if depth() > 0 && history.back().is_ok() => {}
            _ => self.go_instead(self.it().screen.get_untracked().above()),
        }
    }

    /// Follows the address.
    fn follow_address(self) {
        let screen = Screen::from_hash(&window().location().hash().unwrap_or_default());
        if *self.it().screen.read_untracked() != screen {
            self.it().screen.set(screen);
        }
    }

    /// Returns the lines of the list of jobs, the latest first. Tracks them.
    #[must_use]
    pub fn jobs(self) -> Arc<Vec<Head>> {
        self.it().heads.get()
    }

    /// Returns what the head of every screen says. Tracks it.
    #[must_use]
    pub fn status(self) -> Status {
        self.it().status.get()
    }

    /// Returns the signal of what the head of every screen says.
    #[must_use]
    pub fn status_signal(self) -> ReadSignal<Status> {
        self.it().status.read_only()
    }

    /// Returns now, by the phone's clock. Tracks the minute.
    #[must_use]
    pub fn now(self) -> When {
        crate::clock::when(self.it().minute.get())
    }

    /// Returns milliseconds since 1970; changes at least every minute, and when the page comes into sight. Tracks it.
    #[must_use]
    pub fn minute(self) -> i64 {
        self.it().minute.get()
    }

    /// Returns the settings. Tracks them.
    #[must_use]
    pub fn settings(self) -> Settings {
        self.it().settings.get()
    }

    /// Changes the settings; they hold at once and are stored.
    pub fn set(self, change: impl FnOnce(&mut Settings)) {
        let it = self.it();
        it.settings.update(change);
        let settings = it.settings.get_untracked();
        spawn_local(async move {
            if let Ok(store) = self.store().await {
                // What is not stored holds until the page is closed.
                let _ = store.put_meta("settings", &settings).await;
                self.tell_other_pages(&[]);
            }
        });
    }

    /// Returns the units and the decimal mark to write with. Tracks the settings.
    #[must_use]
    pub fn writer(self) -> Writer {
        self.it().settings.with(Settings::writer)
    }

    /// Returns the shop's price list, where this phone has one. Tracks the settings.
    #[must_use]
    pub fn prices(self) -> Option<record::Prices> {
        if self.is_apprentice() {
            return None;
        }
        self.it().settings.with(|settings| record::read_prices(settings.prices.as_ref()?.as_bytes()).ok())
    }

    /// Returns the unit last used for a quantity, as it was typed. Tracks the settings.
    #[must_use]
    pub fn units(self, kind: &str) -> Option<String> {
        self.it().settings.with(|settings| settings.units.get(kind).cloned())
    }

    /// Remembers the unit used for a quantity.
    pub fn remember_unit(self, kind: &str, unit: &str) {
        let it = self.it();
        let known =
            it.settings.with_untracked(|settings| settings.units.get(kind).is_some_and(|u| u == unit));
        if !known {
            self.set(|settings| {
                settings.units.insert(kind.to_owned(), unit.to_owned());
            });
        }
    }

    /// Returns the instrument last used for something. Tracks the settings.
    #[must_use]
    pub fn instrument(self, kind: &str) -> Option<String> {
        self.it().settings.with(|settings| settings.instruments.get(kind).cloned())
    }

    /// Remembers the instrument used for something.
    pub fn remember_instrument(self, kind: &str, name: &str) {
        self.set(|settings| {
            settings.instruments.insert(kind.to_owned(), name.to_owned());
        });
    }

    /// Returns who makes the entries: the name in the settings, else the person this phone was paired for.
    #[must_use]
    pub fn person(self) -> Option<String> {
        let it = self.it();
        let set = it.settings.with_untracked(|settings| settings.name.clone());
        set.or_else(|| it.session.with_untracked(|session| session.as_ref().map(|s| s.person.clone())))
    }

    /// Returns the name this phone gives to itself in the record.
    #[must_use]
    pub fn device(self) -> String {
        self.it().device.borrow().clone()
    }

    /// Returns the visit of a job, made again when one of its events changes. Until its events are read it is empty:
    /// [`App::is_loaded`].
    #[must_use]
    pub fn visit(self, job: Uuid) -> Memo<Arc<Visit>> {
        self.open_job(job).visit
    }

    /// Returns the events of a job. Tracks them.
    #[must_use]
    pub fn events(self, job: Uuid) -> Arc<Vec<Event>> {
        self.open_job(job).events.get()
    }

    /// Returns whether the events of a job have been read. Tracks it.
    #[must_use]
    pub fn is_loaded(self, job: Uuid) -> bool {
        self.open_job(job).loaded.get()
    }

    fn open_job(self, job: Uuid) -> OpenJob {
        let it = self.it();
        if let Some(open) = it.jobs.borrow().get(&job) {
            return *open;
        }
        let open = it.owner.with(|| {
            let events = RwSignal::new(Arc::new(Vec::new()));
            let earlier = RwSignal::new(Arc::new(Vec::new()));
            let visit = Memo::new_with_compare(
                move |before: Option<&Arc<Visit>>| {
                    let mut visit = visit_of(job, self.is_apprentice(), &earlier.get(), &events.get());
                    if let Some(before) = before {
                        visit.share(before);
                    }
                    Arc::new(visit)
                },
                |_, _| true,
            );
            OpenJob { events, earlier, loaded: RwSignal::new(false), visit }
        });
        it.jobs.borrow_mut().insert(job, open);
        spawn_local(self.reload(job));
        open
    }

    /// Returns the jobs whose events are in memory.
    pub(crate) fn open_jobs(self) -> Vec<Uuid> {
        self.it().jobs.borrow().keys().copied().collect()
    }

    /// Reads the events of a job again, and those of the visits it follows, where the job is open.
    pub(crate) async fn reload(self, job: Uuid) {
        let Ok(store) = self.store().await else { return };
        let Ok(events) = store.events_of(job).await else { return };
        let open = self.it().jobs.borrow().get(&job).copied();
        let Some(open) = open else { return };
        let earlier = self.earlier(store, job, &events).await;
        // What was entered while the earlier visits were read must not be lost from sight.
        let events = match earlier.is_empty() {
            true => events,
            false => store.events_of(job).await.unwrap_or(events),
        };
        if *open.earlier.read_untracked() != earlier {
            open.earlier.set(earlier);
        }
        open.events.set(Arc::new(events));
        open.loaded.set(true);
    }

    /// Returns the events of the visits that a job follows, oldest first.
    async fn earlier(self, store: &Store, job: Uuid, events: &[Event]) -> Arc<Vec<Vec<Event>>> {
        let mut chain = Vec::new();
        let mut seen = vec![job];
        let mut next = Head::of(job, events).follows;
        while let Some(before) = next.filter(|before| !seen.contains(before)) {
            seen.push(before);
            let Ok(events) = store.events_of(before).await else { break };
            next = Head::of(before, &events).follows;
            chain.push(events);
        }
        chain.reverse();
        Arc::new(chain)
    }

    /// Returns the events of a job from memory, or from the store where they are not yet read.
    pub(crate) async fn loaded_events(self, store: &Store, job: Uuid) -> Result<Vec<Event>, Fault> {
        let open = self.it().jobs.borrow().get(&job).copied();
        match open.filter(|open| open.loaded.get_untracked()) {
            Some(open) => Ok(open.events.get_untracked().to_vec()),
            None => store.events_of(job).await,
        }
    }

    /// Takes note of what was entered on this page: screens, list, counts, the other pages, the shop.
    pub(crate) fn entered(self, job: Uuid, made: &[Event]) {
        let it = self.it();
        let open = it.jobs.borrow().get(&job).copied();
        if let Some(open) = open {
            if open.loaded.get_untracked() {
                open.events.update(|events| {
                    let events = Arc::make_mut(events);
                    events.extend(made.iter().cloned());
                    events.sort_by_key(|event| (event.stamp, event.id));
                });
            }
            if !open.loaded.get_untracked() || made.iter().any(may_follow_another) {
                spawn_local(self.reload(job));
            }
        }
        it.status.update(|status| {
            status.saved_ms = Some(now_ms());
            let count = u32::try_from(made.len()).unwrap_or(u32::MAX);
            status.events = status.events.saturating_add(count);
            status.waiting = status.waiting.saturating_add(count);
        });
        self.tell_other_pages(&[job]);
        spawn_local(async move {
            self.read_heads().await;
            self.count().await;
            self.ask_to_keep().await;
        });
        self.exchange_soon();
    }

    /// Asks the browser, once, to keep what is stored: at the first entry, when it has a reason to say yes.
    async fn ask_to_keep(self) {
        let it = self.it();
        let Ok(store) = self.store().await else { return };
        let asked = store.meta::<bool>("asked_to_keep").await.ok().flatten().unwrap_or(false);
        if asked || it.status.with_untracked(|status| status.persistent == Some(true)) {
            return;
        }
        let answer = crate::browser::ask_to_persist().await;
        it.status.update(|status| status.persistent = answer);
        // Asked again next time where this is not kept.
        let _ = store.put_meta("asked_to_keep", &true).await;
    }

    /// Asks the browser again to keep what is stored; the answer stands in [`Status::persistent`].
    pub async fn ask_again_to_keep(self) {
        let answer = crate::browser::ask_to_persist().await;
        self.it().status.update(|status| status.persistent = answer);
    }

    /// Makes the lines of the list again whose jobs have changed, and reads the list.
    pub(crate) async fn read_heads(self) {
        let Ok(store) = self.store().await else { return };
        let Ok((mut heads, stale)) = store.heads().await else { return };
        for job in stale {
            // One that cannot be made stays stale, and is made again next time.
            let Ok(head) = store.refresh_head(job).await else { continue };
            heads.retain(|other| other.job != job);
            heads.extend(head);
        }
        heads.sort_by_key(|head| std::cmp::Reverse((head.latest_ms, head.job)));
        if *self.it().heads.read_untracked().as_ref() != heads {
            self.it().heads.set(Arc::new(heads));
        }
    }

    /// Counts what is saved and what waits.
    pub(crate) async fn count(self) {
        let Ok(store) = self.store().await else { return };
        let Ok(counts) = store.counts().await else { return };
        self.it().status.update(|status| {
            status.events = counts.events;
            status.waiting = counts.waiting;
            status.held = counts.held;
            status.pictures = counts.pictures;
        });
    }

    /// Reads again what another page, or the shop, has changed.
    pub(crate) async fn changed_elsewhere(self, jobs: Vec<Uuid>) {
        let it = self.it();
        for job in jobs {
            let chained: Vec<Uuid> = it
                .jobs
                .borrow()
                .iter()
                .filter(|(open, state)| {
                    **open == job
                        || state.earlier.with_untracked(|chain| {
                            chain.iter().any(|events| events.first().is_some_and(|event| event.job == job))
                        })
                })
                .map(|(open, _)| *open)
                .collect();
            for open in chained {
                self.reload(open).await;
            }
        }
        self.read_heads().await;
        self.count().await;
    }
}

/// Returns how many screens of this app lie behind this one on the browser's way back.
fn depth() -> u32 {
    let state = window().history().and_then(|history| history.state());
    // A whole number that we have put there ourselves; anything else counts as none.
    state.ok().and_then(|state| state.as_f64()).map_or(0, |depth| depth as u32)
}

/// Whether an event may change which visit its job follows.
fn may_follow_another(event: &Event) -> bool {
    use record::{Body, Content};
    match &event.content {
        Content::Observed(seen) => matches!(seen.what, Body::Visit(_)),
        Content::Correction(correction) => matches!(correction.now.what, Body::Visit(_)),
        Content::Settlement(_) | Content::Redaction(_) => true,
        _ => false,
    }
}

fn other_language(before: Option<&Arc<Wording>>, now: Option<&Arc<Wording>>) -> bool {
    before.map(|wording| wording.language()) != now.map(|wording| wording.language())
}

/// Returns the visit that the events of a job, and of those it follows, tell.
fn visit_of(job: Uuid, without_money: bool, earlier: &[Vec<Event>], events: &[Event]) -> Visit {
    let name = Head::of(job, events).name();
    let mut chain = earlier.to_vec();
    chain.push(events.to_vec());
    if without_money {
        chain = chain.iter().map(|events| job::apprentice::without_money(events)).collect();
    }
    Visit::of_chain(&name, &chain)
}
