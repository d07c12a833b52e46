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
    let (shown, style) = undressed(&html);
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
        <iframe
            id=frame_id
            class="report-page"
            title=title.clone()
            sandbox="allow-same-origin allow-modals"
            srcdoc=shown
            on:load=move |_| {
                // A frame that cannot be dressed is shown bare.
                let _ = dress(frame_id, &style);
            }
        ></iframe>
    };
    let main = foot_button(Icon::Sign, app.say(&Message::new("app-sign")), false, move || {
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

/// Returns a page without its style, and the style: this app's own policy lets no style stand in a page, but lets it be
/// given to one.
fn undressed(html: &str) -> (String, String) {
    let Some((before, rest)) = html.split_once("<style>") else { return (html.to_owned(), String::new()) };
    let Some((style, after)) = rest.split_once("</style>") else { return (html.to_owned(), String::new()) };
    // The letters of the page are those of the app; those inside the file are for where there is no app.
    let style: Vec<&str> = style.lines().filter(|line| !line.starts_with("@font-face")).collect();
    let before = match before.split_once("<meta http-equiv=\"Content-Security-Policy\"") {
        Some((start, rest)) => format!("{start}{}", rest.split_once('>').map_or("", |(_, rest)| rest)),
        None => before.to_owned(),
    };
    (format!("{before}{after}"), style.join("\n"))
}

/// Gives a page in a frame its style, and the app's letters.
fn dress(id: &str, style: &str) -> Option<()> {
    use js_sys::{Array, Function, Reflect};
    use wasm_bindgen::{JsCast, JsValue};
    let frame: web_sys::HtmlIFrameElement =
        crate::browser::document().get_element_by_id(id)?.dyn_into().ok()?;
    let (window, page) = (frame.content_window()?, frame.content_document()?);
    // Constructed sheets must be of the page that wears them.
    let maker: Function = Reflect::get(&window, &"CSSStyleSheet".into()).ok()?.dyn_into().ok()?;
    let sheet = Reflect::construct(&maker, &Array::new()).ok()?;
    let replace: Function = Reflect::get(&sheet, &"replaceSync".into()).ok()?.dyn_into().ok()?;
    // The marks' own attribute of style is not let in either.
    let letters =
        format!("{}\nbody>svg:first-child{{position:absolute;width:0;height:0}}", letters().join("\n"));
    replace.call1(&sheet, &JsValue::from_str(&format!("{letters}\n{style}"))).ok()?;
    Reflect::set(&page, &"adoptedStyleSheets".into(), &Array::of1(&sheet)).ok()?;
    Some(())
}

/// The rules by which this page loads its letters.
fn letters() -> Vec<String> {
    use js_sys::Reflect;
    let get = |of: &wasm_bindgen::JsValue, name: &str| Reflect::get(of, &name.into()).unwrap_or_default();
    let list = |of: &wasm_bindgen::JsValue| {
        let length = get(of, "length").as_f64().unwrap_or_default() as u32;
        (0..length).filter_map(|at| Reflect::get_u32(of, at).ok()).collect::<Vec<_>>()
    };
    let sheets = get(&crate::browser::document(), "styleSheets");
    let rules = list(&sheets).into_iter().flat_map(|sheet| list(&get(&sheet, "cssRules")));
    rules
        .filter_map(|rule| get(&rule, "cssText").as_string())
        .filter(|text| text.starts_with("@font-face"))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_and_its_style_are_taken_apart() {
        let html = "<head><meta http-equiv=\"Content-Security-Policy\" content=\"x\"><title>t</title><style>\n\
                    @font-face{src:url(data:)}\np{color:red}\n</style></head><body>b</body>";
        let (shown, style) = undressed(html);
        assert_eq!(shown, "<head><title>t</title></head><body>b</body>");
        assert_eq!(style, "\np{color:red}");
        assert_eq!(undressed("<p>x</p>"), ("<p>x</p>".to_owned(), String::new()));
    }
}
