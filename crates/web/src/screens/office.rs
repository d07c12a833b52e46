//! The owner's pages.

use crate::app::App;
use crate::parts::frame::frame;
use leptos::prelude::*;
use report::Message;

/// Returns the page of an address.
pub fn view(app: App, _: &str) -> AnyView {
    frame(
        app,
        app.say(&Message::new("app-shop")),
        "",
        view! { <p>{app.say(&Message::new("app-shop-what"))}</p> },
        Vec::new(),
    )
}
