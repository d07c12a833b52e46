//! What is on the van, by every record on this phone; and the ways to count, weigh and check.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::act::{Fault, fault_line};
use crate::parts::blocks::{said, section};
use crate::parts::frame::{foot_button, frame, open_row};
use crate::parts::icon::Icon;
use crate::route::Screen;
use job::van::{Van, document};
use job::visit::Visit;
use leptos::prelude::*;
use record::Around;
use report::Message;
use uuid::Uuid;
use wasm_bindgen_futures::spawn_local;

/// Returns what the records on this phone tell of the van.
pub async fn van_here(app: App) -> Van {
    let Ok(store) = app.store().await else { return Van::default() };
    let Ok((heads, _)) = store.heads().await else { return Van::default() };
    let mut visits = Vec::new();
    for head in heads {
        // What cannot be read tells nothing.
        visits.extend(store.events_of(head.job).await.ok().map(|events| Visit::new("", &events)));
    }
    Van::of(&visits)
}

/// Goes to an entry of the van's own log, which begins with the first.
fn enter(app: App, kind: &'static str, about: Option<String>, fault: Fault) {
    let settings = app.settings();
    if let Some(log) = settings.van {
        return app.go(&Screen::Entry(log, kind.to_owned(), about));
    }
    let log = app.new_job();
    let around = Around { local: crate::clock::local(), ..Around::default() };
    let name = match app.person() {
        Some(who) => app.say(&Message::new("van-log-of").with("who", who)),
        None => app.say(&Message::new("van-log")),
    };
    let facts = record::read_fact("site", "name", &name, &around).into_iter().collect();
    spawn_local(async move {
        match app.put_all(log, facts).await {
            Ok(_) => {
                app.set(|settings| settings.van = Some(log));
                app.go(&Screen::Entry(log, kind.to_owned(), about));
            }
            Err(why) => fault.set(Some(app.say(&why.message()))),
        }
    });
}

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let van = RwSignal::new(None::<Van>);
    spawn_local(async move {
        let found = van_here(app).await;
        // The screen may be gone by then.
        van.try_set(Some(found));
    });
    let shown = move || {
        van.with(|van| match van {
            None => {
                view! { <p class="part" role="status">{app.say(&Message::new("app-opening"))}</p> }.into_any()
            }
            Some(van) if van.is_empty() => {
                view! { <p class="part">{app.say(&Message::new("van-empty"))}</p> }.into_any()
            }
            Some(van) => {
                let sections = document(van, false, &app.writer()).sections;
                let sections: Vec<AnyView> = sections.iter().map(|one| section(app, one)).collect();
                sections.into_any()
            }
        })
    };
    let row = move |kind: &'static str, about: Option<About>, words: String, why: Message| {
        open_row(words, app.say(&why), move || {
            enter(app, kind, about.as_ref().and_then(About::written), fault);
        })
    };
    let kind_words = move |kind: &str| said(app, &job::entry::labels::kind(kind));
    let weigh = About { ask: ["what", "gross"].map(str::to_owned).to_vec(), ..About::default() };
    let weigh = About { preset: vec![("count".to_owned(), "1".to_owned())], ..weigh };
    let body = view! {
        {fault_line(fault)}
        {shown}
        <section class="part">
            <h2>{app.say(&Message::new("van-add"))}</h2>
            <ul class="rows">
                {row("stock", Some(weigh), app.say(&Message::new("van-weigh")), Message::new("van-weigh-why"))}
                {row("cylinder", None, kind_words("cylinder"), Message::new("van-cylinder-why"))}
                {row("instrument", None, kind_words("instrument"), Message::new("van-instrument-why"))}
                {row("detector check", None, kind_words("detector check"), Message::new("load-check-detector"))}
            </ul>
        </section>
    };
    let foot = vec![
        foot_button(Icon::On, kind_words("tool check"), false, move || enter(app, "tool check", None, fault)),
        foot_button(Icon::Add, kind_words("stock"), true, move || enter(app, "stock", None, fault)),
    ];
    frame(app, app.say(&Message::new("van-title")), "", body, foot)
}

/// Returns whether a job is the van's own log, which no list of visits shows.
#[must_use]
pub fn is_log(app: App, job: Uuid) -> bool {
    app.settings().van == Some(job)
}
