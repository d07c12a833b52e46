//! The owner's pages: in a browser of the office, with what the shop's server answers.
//!
//! They compute nothing: the server sends what `job::shop` worked out, and these pages show it. Tables have numbers that
//! open; a loss is a bar with its ends on one axis; nothing is a picture for its own sake.

mod account;
mod audit;
mod bars;
mod devices;
mod due;
mod erase;
mod jobs;
mod lists;
mod money;
mod overview;
mod passkeys;
mod people;
mod server;
mod sign_in;
mod system;
mod watch;
mod words;

use crate::app::App;
use crate::parts::dom::begin_screen;
use crate::parts::icon::{Icon, icon};
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;
use server::{Fault, Me};
use wasm_bindgen::JsCast;

/// A page, by the word of its address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Page {
    Overview,
    Watch,
    Account,
    Due,
    Jobs,
    Find,
    Devices,
    People,
    Lists,
    Audit,
    Passkeys,
}

impl Page {
    const ALL: [Page; 11] = [
        Page::Overview,
        Page::Watch,
        Page::Account,
        Page::Due,
        Page::Jobs,
        Page::Find,
        Page::Devices,
        Page::People,
        Page::Lists,
        Page::Audit,
        Page::Passkeys,
    ];

    const fn word(self) -> &'static str {
        match self {
            Page::Overview => "systems",
            Page::Watch => "drift",
            Page::Account => "account",
            Page::Due => "due",
            Page::Jobs => "jobs",
            Page::Find => "find",
            Page::Devices => "devices",
            Page::People => "people",
            Page::Lists => "lists",
            Page::Audit => "audit",
            Page::Passkeys => "passkeys",
        }
    }

    fn name(self) -> Message {
        match self {
            Page::Overview => Message::new("office-page-systems"),
            Page::Watch => Message::new("office-page-watch"),
            Page::Account => Message::new("office-page-account"),
            Page::Due => Message::new("office-page-due"),
            Page::Jobs => Message::new("office-page-jobs"),
            Page::Find => Message::new("office-page-find"),
            Page::Devices => Message::new("office-page-devices"),
            Page::People => Message::new("office-page-people"),
            Page::Lists => Message::new("office-page-lists"),
            Page::Audit => Message::new("office-page-audit"),
            Page::Passkeys => Message::new("office-page-passkeys"),
        }
    }

    /// Whether the server lets a person of this role see the page.
    fn is_for(self, me: &Me) -> bool {
        match self {
            Page::Jobs | Page::Find => true,
            Page::Overview | Page::Watch | Page::Account | Page::Due | Page::Lists => me.is_office(),
            Page::Devices | Page::People | Page::Audit => me.role == "owner",
            // Where only a domain is wanting, the owner is told so; a paired phone needs none.
            Page::Passkeys => match me.passkeys.as_str() {
                "taken" => me.is_office() && !me.by_phone,
                "no_domain" => me.role == "owner" && !me.by_phone,
                _ => false,
            },
        }
    }
}

/// Returns the page that a word of the address stands on, and the rest of the address.
fn page_of(rest: &str) -> (Page, &str) {
    let (word, rest) = rest.split_once('/').unwrap_or((rest, ""));
    let page = match word {
        "system" | "" => Page::Overview,
        "job" => Page::Jobs,
        word => Page::ALL.into_iter().find(|page| page.word() == word).unwrap_or(Page::Overview),
    };
    (page, rest)
}

/// Whether somebody is signed in.
#[derive(Clone)]
enum Seen {
    Asking,
    In(Me),
    Out(Option<Fault>),
}

/// Returns the page of an address.
pub fn view(app: App, rest: &str) -> AnyView {
    let rest = rest.to_owned();
    let seen = RwSignal::new(server::known().map_or(Seen::Asking, Seen::In));
    if matches!(seen.get_untracked(), Seen::Asking) {
        wasm_bindgen_futures::spawn_local(async move {
            let found = match server::me(app).await {
                Ok(me) => Seen::In(me),
                Err(Fault::NotIn) => Seen::Out(None),
                Err(fault) => Seen::Out(Some(fault)),
            };
            // The page may have been left meanwhile.
            let _ = seen.try_set(found);
        });
    }
    begin_screen();
    let (page, _) = page_of(&rest);
    let nav = move || match seen.get() {
        Seen::In(me) => head_nav(app, &me, page, seen),
        _ => ().into_any(),
    };
    let body = move || match seen.get() {
        Seen::Asking => waiting(app),
        Seen::Out(fault) => sign_in::view(app, fault, move |me| seen.set(Seen::In(me))),
        Seen::In(me) => body(app, &me, &rest),
    };
    let back = app.say(&Message::new("office-to-phone"));
    view! {
        <div class="office">
            <header class="office-head">
                <a class="office-home" href=Screen::Jobs.hash() aria-label=back>{icon(Icon::Back)}</a>
                {nav}
            </header>
            <main>{body}</main>
        </div>
    }
    .into_any()
}

fn head_nav(app: App, me: &Me, page: Page, seen: RwSignal<Seen>) -> AnyView {
    let links: Vec<AnyView> = Page::ALL
        .into_iter()
        .filter(|one| one.is_for(me))
        .map(|one| {
            let current = (one == page).then_some("page");
            let href = Screen::Office(one.word().to_owned()).hash();
            view! { <a href=href aria-current=current>{app.say(&one.name())}</a> }.into_any()
        })
        .collect();
    let who = app.say(
        &Message::new("office-signed-in").with("person", me.name.as_str()).with("shop", me.shop.as_str()),
    );
    let out = (!me.by_phone).then(|| {
        let leave = move |_| {
            wasm_bindgen_futures::spawn_local(async move {
                let left = server::sign_out(app).await;
                let _ = seen.try_set(Seen::Out(left.err()));
            });
        };
        view! { <button type="button" class="button small" on:click=leave>{app.say(&Message::new("office-sign-out"))}</button> }
    });
    view! {
        <nav aria-label=app.say(&Message::new("office-pages"))>{links}</nav>
        <p class="office-who"><span>{who}</span> {out}</p>
    }
    .into_any()
}

fn body(app: App, me: &Me, rest: &str) -> AnyView {
    let (page, more) = page_of(rest);
    if !page.is_for(me) {
        return if rest.is_empty() {
            jobs::list(app, me)
        } else {
            titled(app, page.name(), failed(app, &Fault::NotAllowed))
        };
    }
    let id = more.parse::<uuid::Uuid>().ok();
    let word = rest.split('/').next().unwrap_or_default();
    match (word, id) {
        ("system", Some(id)) => system::view(app, me, id),
        ("job", Some(id)) => erase::view(app, me, id),
        _ => match page {
            Page::Overview => overview::view(app, more),
            Page::Watch => watch::view(app),
            Page::Account => account::view(app, more),
            Page::Due => due::view(app),
            Page::Jobs => jobs::list(app, me),
            Page::Find => jobs::find(app, me, more),
            Page::Devices => devices::view(app),
            Page::People => people::view(app),
            Page::Lists => lists::view(app, me),
            Page::Audit => audit::view(app),
            Page::Passkeys => passkeys::view(app, me.passkeys == "taken"),
        },
    }
}

/// Returns a page with its heading.
fn titled(app: App, title: Message, body: impl IntoView) -> AnyView {
    view! { <h1 id="heading" tabindex="-1">{app.say(&title)}</h1> {body} }.into_any()
}

fn waiting(app: App) -> AnyView {
    view! { <p class="office-wait" role="status">{app.say(&Message::new("office-wait"))}</p> }.into_any()
}

fn failed(app: App, fault: &Fault) -> AnyView {
    view! { <div class="line bad" role="alert"><p>{app.say(&fault.message())}</p></div> }.into_any()
}

/// Returns what `draw` makes of an answer of the server, once it is here.
fn answered<T>(app: App, path: impl Into<String>, draw: impl Fn(T) -> AnyView + Send + 'static) -> AnyView
where
    T: serde::de::DeserializeOwned + Clone + Send + Sync + 'static,
{
    let path: String = path.into();
    let answer: RwSignal<Option<Result<T, Fault>>> = RwSignal::new(None);
    wasm_bindgen_futures::spawn_local(async move {
        let got = server::get::<T>(app, &path).await;
        // The page may have been left meanwhile.
        let _ = answer.try_set(Some(got));
    });
    (move || match answer.get() {
        None => waiting(app),
        Some(Ok(found)) => draw(found),
        Some(Err(fault)) => failed(app, &fault),
    })
    .into_any()
}

/// Returns a button that takes a table along.
fn csv(app: App, path: impl Into<String>, name: &'static str) -> AnyView {
    taken(app, path, name, Message::new("office-csv"))
}

/// A button that fetches a file of the server and keeps it.
fn taken(app: App, path: impl Into<String>, name: &'static str, label: Message) -> AnyView {
    let path: String = path.into();
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let take = move |_| {
        let path = path.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let _ = fault.try_set(server::take_along(app, &path, name).await.err());
        });
    };
    view! {
        <div class="office-csv">
            <button type="button" class="button small" on:click=take>{app.say(&label)}</button>
            {move || fault.get().map(|fault| failed(app, &fault))}
        </div>
    }
    .into_any()
}

/// Tells every cell the heading of its column, by which it goes where a narrow screen sets a row as a block, and keeps the
/// table a table for readers. Rows come and go: it is done anew each time a table is made.
fn head_cells() {
    gloo_timers::callback::Timeout::new(0, || {
        let all = |within: &web_sys::Element, what: &str| -> Vec<web_sys::Element> {
            let Ok(found) = within.query_selector_all(what) else { return Vec::new() };
            (0..found.length()).filter_map(|at| found.get(at)?.dyn_into().ok()).collect()
        };
        let Some(page) = crate::browser::document().document_element() else { return };
        for table in all(&page, ".office table.stack") {
            let heads: Vec<String> =
                all(&table, "thead th").iter().filter_map(|head| head.text_content()).collect();
            for row in all(&table, "tbody > tr") {
                for (cell, head) in all(&row, ":scope > td, :scope > th").iter().zip(&heads) {
                    let role = if cell.tag_name() == "TH" { "rowheader" } else { "cell" };
                    // An element takes any attribute.
                    let _ = cell.set_attribute("data-h", head);
                    let _ = cell.set_attribute("role", role);
                }
                let _ = row.set_attribute("role", "row");
            }
        }
    })
    .forget();
}

/// Returns a table; on a narrow screen each row is a block.
fn table(caption: String, heads: Vec<(String, bool)>, rows: Vec<AnyView>) -> AnyView {
    let heads: Vec<AnyView> = heads
        .into_iter()
        .map(|(head, right)| {
            let class = if right { "right" } else { "" };
            view! { <th scope="col" role="columnheader" class=class>{head}</th> }.into_any()
        })
        .collect();
    let label = caption.clone();
    head_cells();
    view! {
        <div class="scroll-x" tabindex="0" role="region" aria-label=label>
            <table class="stack" role="table">
                <caption>{caption}</caption>
                <thead role="rowgroup"><tr role="row">{heads}</tr></thead>
                <tbody role="rowgroup">{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}
