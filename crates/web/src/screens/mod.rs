//! The screens: one for each place an address names.

use crate::app::App;
use crate::route::Screen;
use leptos::prelude::*;

/// Returns the screen that the address names.
pub fn view(app: App) -> impl IntoView {
    move || match app.screen() {
        Screen::Jobs => view! { <main><h1>{app.jobs().len()}</h1></main> }.into_any(),
        other => view! { <main><h1>{other.hash()}</h1></main> }.into_any(),
    }
}
