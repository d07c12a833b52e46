//! The screens: one for each place an address names.
//!
//! The program is cut in two (`crate::engine`). [`view`] and what it leads to is loaded first and must stay small: the
//! list of jobs, and nothing that computes or reads the record. Everything else stands in [`rest`].

use crate::app::App;
use crate::route::Screen;
use leptos::prelude::*;

/// Returns the screen that the address names.
pub fn view(app: App) -> impl IntoView {
    move || match app.screen() {
        Screen::Jobs => view! { <main><h1>{app.jobs().len()}</h1></main> }.into_any(),
        other => app.computed(other),
    }
}

/// Returns a screen of the larger part of the program.
pub fn rest(app: App, screen: Screen) -> AnyView {
    let job = screen.job();
    let entries = move || job.map_or(0, |job| app.visit(job).get().current.entries.len());
    view! { <main><h1>{screen.hash()}</h1><p>{entries}</p></main> }.into_any()
}
