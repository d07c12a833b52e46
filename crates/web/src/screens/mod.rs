//! The screens: one for each place an address names.
//!
//! The program is cut in two (`crate::engine`). [`view`] and what it leads to is loaded first and must stay small: the
//! list of jobs, and nothing that computes or reads the record. Everything else stands in [`rest`].

mod about;
pub mod ask;
mod entry;
mod jobs;
mod new_visit;
mod office;
mod pair;
mod past;
mod pictures;
mod place;
mod record;
mod report;
mod settings;
mod sign;
mod stage;
mod stages;
mod take;
mod van;
mod waiting;

use crate::app::App;
use crate::route::Screen;
use ::report::Message;
use job::stage::Stage;
use leptos::prelude::*;

/// Returns the screen that the address names.
pub fn view(app: App) -> impl IntoView {
    move || match app.screen() {
        Screen::Jobs => jobs::view(app),
        other => app.computed(other),
    }
}

/// Returns a screen of the larger part of the program.
pub fn rest(app: App, screen: Screen) -> AnyView {
    // A form made of a job whose events are still being read would know neither its refrigerant nor its instruments.
    if screen.job().is_some_and(|job| !app.is_loaded(job)) {
        let words = app.say(&Message::new("app-opening"));
        return view! { <main aria-busy="true"><p class="part" role="status">{words}</p></main> }.into_any();
    }
    match screen {
        Screen::NewVisit(follows) => new_visit::view(app, follows),
        Screen::Place(job, name) => place::view(app, job, name),
        Screen::Stages(job) => stages::view(app, job),
        Screen::Stage(job, key) => match Stage::of_key(&key) {
            Some(stage) => stage::view(app, job, stage),
            None => stages::view(app, job),
        },
        Screen::Entry(job, kind, about) => entry::view(app, job, &kind, about.as_deref()),
        Screen::Past(job, entry) => past::view(app, job, entry),
        Screen::Record(job) => record::view(app, job),
        Screen::Report(job) => report::view(app, job),
        Screen::Take(job) => take::view(app, job),
        Screen::Van => van::view(app),
        Screen::Sign(job) => sign::view(app, job),
        Screen::Pictures => pictures::view(app),
        Screen::Ask(key) => ask::view(app, key.as_deref()),
        Screen::Waiting => waiting::view(app),
        Screen::Pair(code) => pair::view(app, code),
        Screen::Settings => settings::view(app),
        Screen::About => about::view(app),
        Screen::Office(rest) => office::view(app, &rest),
        // A block of evidence is opened where it stands.
        Screen::Opened(job, stage, _) => match Stage::of_key(&stage) {
            Some(stage) => stage::view(app, job, stage),
            None => stages::view(app, job),
        },
        Screen::Circuit(job) => stage::view(app, job, Stage::Search),
        Screen::Jobs => jobs::view(app),
    }
}
