//! What this is, its version, its licences, and what it is not.

use crate::app::App;
use crate::parts::frame::frame;
use leptos::prelude::*;
use report::Message;

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let version = app.say(&Message::new("visit-versions").with("program", env!("CARGO_PKG_VERSION")));
    let body = view! {
        <section class="part">
            <p>{app.say(&Message::new("app-about-what"))}</p>
            <p>{version}</p>
        </section>
        <section class="part">
            <p>{app.say(&Message::new("app-about-cautions"))}</p>
            <p>{app.say(&Message::new("report-not-legal-advice"))}</p>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-licences"))}</h2>
            <p>{app.say(&Message::new("app-licences-what"))}</p>
        </section>
    };
    frame(app, app.say(&Message::new("app-about")), "", body, Vec::new())
}
