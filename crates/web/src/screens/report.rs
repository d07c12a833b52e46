//! The report: the same page that the command line writes, to be printed or shared as a file.

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{foot_button, frame, job_foot};
use crate::parts::icon::Icon;
use crate::screens::stage::beside;
use job::visit::{Results, Visit};
use leptos::prelude::*;
use report::Message;
use units::Writer;
use uuid::Uuid;

/// Returns the page of the report: of the same record, language and units the same as everywhere else.
#[must_use]
pub fn page(app: App, visit: &Visit) -> String {
    let writer = Writer { decimal_comma: app.writer().decimal_comma, ..visit.writer() };
    let mut document = Results::of(visit).document(&writer);
    document.language = app.wording().language().to_owned();
    document.decimal_comma = writer.decimal_comma;
    report::to_html(&document, &|message| app.say(message))
}

/// Returns the screen.
pub fn view(app: App, job: Uuid) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job).get();
    let html = page(app, &visit);
    let name = {
        let system = visit.system.value.name.clone().unwrap_or_else(|| "report".to_owned());
        let clean: String =
            system.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
        let day = visit.day().map(|day| format!("-{day}")).unwrap_or_default();
        format!("{clean}{day}.html")
    };
    let file = html.clone();
    let save = move || {
        if let Err(why) = crate::export::save_file(&name, file.as_bytes(), "text/html") {
            fault.set(Some(app.say(&why.message())));
        }
    };
    let title = app.say(&Message::new("app-report"));
    let frame_id = "report-page";
    let body = view! {
        {fault_line(fault)}
        <section class="part buttons">
            <button class="button small" on:click=move |_| print(frame_id)>{app.say(&Message::new("app-print"))}</button>
            <button class="button small" on:click=move |_| save()>{app.say(&Message::new("app-save-file"))}</button>
        </section>
        // No script runs in it: the page forbids them by its own policy, and the frame besides.
        <iframe id=frame_id class="report-page" title=title.clone() sandbox="allow-same-origin allow-modals" srcdoc=html></iframe>
    };
    let main = foot_button(Icon::Half, app.say(&Message::new("app-sign")), false, move || {
        app.go(&crate::route::Screen::Sign(job));
    });
    frame(app, title, beside(&visit), body, job_foot(app, job, Some(main)))
}

/// Prints the page in a frame.
fn print(id: &str) {
    use wasm_bindgen::JsCast;
    let frame = crate::browser::document()
        .get_element_by_id(id)
        .and_then(|element| element.dyn_into::<web_sys::HtmlIFrameElement>().ok());
    if let Some(window) = frame.and_then(|frame| frame.content_window()) {
        // A browser that cannot print says so itself.
        let _ = window.print();
    }
}
