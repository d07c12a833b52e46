//! A picture drawn at its true width, with the table of its numbers beside it.

use crate::app::App;
use crate::browser::{document, window};
use crate::parts::blocks::{said, table};
use leptos::prelude::*;
use report::{Figure, Ink, Size};
use std::cell::Cell;

thread_local! {
    static COUNT: Cell<u32> = const { Cell::new(0) };
}

/// Returns a word that no other on this page is.
pub fn fresh(beginning: &str) -> String {
    let count = COUNT.with(|count| {
        count.set(count.get().wrapping_add(1));
        count.get()
    });
    format!("{beginning}{count}")
}

/// The width of a column of the page, in px, and the height of its text.
pub fn column() -> (f64, f64) {
    let page = window().inner_width().ok().and_then(|width| width.as_f64()).unwrap_or(390.0);
    let root = document()
        .document_element()
        .and_then(|root| window().get_computed_style(&root).ok().flatten())
        .and_then(|style| style.get_property_value("font-size").ok())
        .and_then(|size| size.trim_end_matches("px").parse::<f64>().ok())
        .unwrap_or(18.0);
    let margin = if page <= 340.0 { 24.0 } else { 32.0 };
    ((page - margin).clamp(240.0, root * 46.0 - margin), root)
}

/// Returns the picture, and its table behind a touch.
pub fn figure(app: App, figure: &Figure) -> AnyView {
    let (width, text) = column();
    let size = Size {
        width,
        text: text.min(width / 14.0),
        ink: Ink::Page,
        id: fresh("f"),
        decimal_comma: app.writer().decimal_comma,
    };
    let drawing = report::draw(figure, &|message| app.say(message), &size);
    let left_out = drawing.left_out.map(|message| view! { <p class="soft">{said(app, &message.into())}</p> });
    let svg = drawing.svg.map(|svg| view! { <div class="plot" inner_html=svg></div> });
    let numbers = table(app, &drawing.table);
    view! {
        <figure class="part">
            <h3>{said(app, &figure.title)}</h3>
            {svg}
            {left_out}
            <details class="opens">
                <summary>{app.say(&report::Message::new("app-numbers-of-picture"))}</summary>
                {numbers}
            </details>
        </figure>
    }
    .into_any()
}
