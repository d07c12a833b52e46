//! The list of stages, in their usual order; the theme and the language first, since they decide what can be read.

use crate::app::App;
use crate::parts::frame::{frame, job_foot, open_row};
use crate::parts::icon::{Icon, icon};
use crate::parts::mark::mark;
use crate::route::Screen;
use crate::screens::settings::{language_buttons, theme_buttons};
use job::stage::Stage;
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;

/// Returns the screen.
pub fn view(app: App, job: Uuid) -> AnyView {
    let visit = app.visit(job).get();
    let rows: Vec<AnyView> = Stage::ALL.into_iter().map(|stage| stage_row(app, job, stage)).collect();
    let kinds: Vec<AnyView> = record::form::kinds()
        .into_iter()
        .filter(|kind| *kind != "picture")
        .filter(|kind| !(app.is_apprentice() && job::apprentice::others_make_kind(kind)))
        .chain(["system", "instrument", "cylinder", "site", "customer", "visit", "line", "shut_off"])
        .map(|kind| {
            let words = crate::parts::blocks::said(app, &job::entry::labels::kind(kind));
            open_row(words, "", move || app.go(&Screen::Entry(job, kind.to_owned(), None)))
        })
        .collect();
    let body = view! {
        <section class="part">{theme_buttons(app)}</section>
        <section class="part">
            <h2>{app.say(&Message::new("app-stages"))}</h2>
            <ul class="rows">{rows}</ul>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-more"))}</h2>
            <ul class="rows">
                {open_row(app.say(&Message::new("app-place")), app.say(&Message::new("app-place-what")), move || {
                    app.go(&Screen::Place(job, None));
                })}
                {open_row(app.say(&Message::new("app-report")), app.say(&Message::new("app-report-what")), move || {
                    app.go(&Screen::Report(job));
                })}
                {open_row(app.say(&Message::new("app-record")), app.say(&Message::new("app-record-what")), move || {
                    app.go(&Screen::Record(job));
                })}
                {open_row(app.say(&Message::new("app-jobs")), "", move || app.go(&Screen::Jobs))}
            </ul>
            <details class="opens">
                <summary class="edge">{app.say(&Message::new("app-any-entry"))}</summary>
                <ul class="rows">{kinds}</ul>
            </details>
        </section>
        <section class="part">{language_buttons(app)}</section>
    };
    let name = app.say(&Message::new("app-stages"));
    frame(app, name, crate::screens::stage::beside(&visit), body, job_foot(app, job, None))
}

/// The question of a stage.
fn asks(stage: Stage) -> Message {
    match stage {
        Stage::Arrive => Message::new("app-asks-arrive"),
        Stage::Diagnose => Message::new("app-asks-diagnose"),
        Stage::Search => Message::new("app-asks-search"),
        Stage::Decide => Message::new("app-asks-decide"),
        Stage::Test => Message::new("app-asks-test"),
        Stage::Evacuate => Message::new("app-asks-evacuate"),
        Stage::Charge => Message::new("app-asks-charge"),
        Stage::Set => Message::new("app-asks-set"),
        Stage::Prove => Message::new("app-asks-prove"),
        Stage::Close => Message::new("app-asks-close"),
    }
}

/// A stage with its question; what it says now takes the question's place once it is computed, one stage after the
/// other, so that the list stands at once.
fn stage_row(app: App, job: Uuid, stage: Stage) -> AnyView {
    let now = RwSignal::new(None::<job::stage::Now>);
    gloo_timers::callback::Timeout::new(30, move || {
        let visit = untrack(|| app.visit(job).get());
        let (writer, clock) = (untrack(|| app.writer()), untrack(|| app.now()));
        // The screen may be left before its turn comes; then nobody waits for the answer.
        let _ = now.try_set(Some(job::stage::view(stage, &visit, &writer, &clock).now));
    })
    .forget();
    let words = move || match now.get() {
        Some(now) => {
            let sign = now.mark.map(mark);
            let sentence = app.say(&now.sentence);
            view! { <span class="soft stage-now">{sign}<span>{sentence}</span></span> }.into_any()
        }
        None => view! { <span class="soft">{app.say(&asks(stage))}</span> }.into_any(),
    };
    view! {
        <li>
            <button type="button" class="row-target edge" on:click=move |_| {
                app.go(&Screen::Stage(job, stage.key().to_owned()));
            }>
                <span class="row-words"><b>{app.say(&stage.name())}</b> {words}</span>
                {icon(Icon::On)}
            </button>
        </li>
    }
    .into_any()
}
