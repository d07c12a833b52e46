//! The report: the same page that the command line writes, to be printed or shared as a file.

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{foot_button, frame, job_foot};
use crate::parts::icon::Icon;
use crate::screens::stage::beside;
use job::bill;
use job::sheet::{Sheet, sheet};
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

/// Returns the page of a single sheet.
fn sheet_page(app: App, visit: &Visit, which: Sheet) -> String {
    let writer = Writer { decimal_comma: app.writer().decimal_comma, ..visit.writer() };
    let mut document = sheet(&Results::of(visit), which, &writer);
    document.language = app.wording().language().to_owned();
    report::to_html(&document, &|message| app.say(message))
}

/// What the screen can show.
#[derive(Clone, Copy, PartialEq)]
enum Shown {
    Report,
    Sheet(Sheet),
    Quote,
    Invoice,
}

impl Shown {
    /// The end of a file's name.
    fn ending(self) -> String {
        match self {
            Shown::Report => String::new(),
            Shown::Sheet(which) => format!("-{}", which.name()),
            Shown::Quote => "-quote".to_owned(),
            Shown::Invoice => "-invoice".to_owned(),
        }
    }
}

/// Returns the page of the quote or of a draft of the invoice, by the price list of this phone.
///
/// Numbers are given in the office, where all that was sent is known: here both are drafts.
fn bill_page(app: App, visit: &Visit, prices: &record::Prices, quoted: bool) -> Result<String, Message> {
    let parties = bill::Parties::of(visit, prices);
    let comma = app.writer().decimal_comma;
    let mut document = if quoted {
        let quote = bill::quote(visit, prices).map_err(|refused| refused.message.clone())?;
        bill::quote_document(visit, &parties, &quote, None, comma)
    } else {
        let sum = bill::invoice(visit, prices, false).map_err(|refused| refused.message.clone())?;
        let before = (bill::quote_of(visit), comma);
        bill::document(visit, &parties, &sum, (None, None), before, &|message| app.say(message))
    };
    document.language = app.wording().language().to_owned();
    Ok(report::to_html(&document, &|message| app.say(message)))
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
        format!("{clean}{day}")
    };
    // The page stands at once; its pictures come into it from the phone's store, or from the shop.
    let whole = RwSignal::new(html);
    with_pictures(app, &visit, whole);
    let shown = move || undressed(&whole.get()).0;
    // The whole report first; the sheets stand beside it by their own names.
    let chosen: RwSignal<Shown> = RwSignal::new(Shown::Report);
    let save = move || {
        let file = whole.get_untracked();
        let which = chosen.get_untracked().ending();
        let name = format!("{name}{which}.html");
        if let Err(why) = crate::export::save_file(&name, file.as_bytes(), "text/html") {
            fault.set(Some(app.say(&why.message())));
        }
    };
    let title = app.say(&Message::new("app-report"));
    let mut kinds = vec![(Shown::Report, title.clone())];
    kinds.extend(Sheet::NAMES.iter().filter_map(|name| {
        let which = Sheet::named(name)?;
        Some((Shown::Sheet(which), app.say(&which.title())))
    }));
    if app.prices().is_some() {
        kinds.push((Shown::Quote, app.say(&Message::new("bill-quote"))));
        kinds.push((Shown::Invoice, app.say(&Message::new("bill-invoice"))));
    }
    let choices = kinds.into_iter().map(|(which, words)| {
        let visit = app.visit(job);
        let show = move |_| {
            let visit = visit.get_untracked();
            let html = match which {
                Shown::Report => page(app, &visit),
                Shown::Sheet(which) => sheet_page(app, &visit, which),
                Shown::Quote | Shown::Invoice => {
                    let Some(prices) = app.prices() else { return };
                    match bill_page(app, &visit, &prices, which == Shown::Quote) {
                        Ok(html) => html,
                        Err(why) => return fault.set(Some(app.say(&why))),
                    }
                }
            };
            fault.set(None);
            chosen.set(which);
            whole.set(html);
            if which == Shown::Report {
                with_pictures(app, &visit, whole);
            }
        };
        let pressed = move || if chosen.get() == which { "true" } else { "false" };
        view! { <button class="button small" aria-pressed=pressed on:click=show>{words}</button> }
    });
    let choices: Vec<_> = choices.collect();
    let frame_id = "report-page";
    let body = view! {
        {fault_line(fault)}
        <section class="part buttons">
            <button class="button small" on:click=move |_| print(frame_id)>{app.say(&Message::new("app-print"))}</button>
            <button class="button small" on:click=move |_| save()>{app.say(&Message::new("app-save-file"))}</button>
        </section>
        <section class="part buttons">{choices}</section>
        // No script runs in it: the page forbids them by its own policy, and the frame besides.
        <iframe
            id=frame_id
            class="report-page"
            title=title.clone()
            sandbox="allow-same-origin allow-modals"
            srcdoc=shown
            on:load=move |_| {
                // A frame that cannot be dressed is shown bare.
                let _ = dress(frame_id, &undressed(&whole.get_untracked()).1);
            }
        ></iframe>
    };
    let main = foot_button(Icon::Sign, app.say(&Message::new("app-sign")), false, move || {
        app.go(&crate::route::Screen::Sign(job));
    });
    frame(app, title, beside(&visit), body, job_foot(app, job, Some(main)))
}

/// Puts the pictures of a visit into its page, each once it is there.
fn with_pictures(app: App, visit: &Visit, whole: RwSignal<String>) {
    let pictures: Vec<(String, String)> = visit
        .current
        .entries
        .iter()
        .filter_map(|entry| match entry.what() {
            record::Body::Picture(picture) => {
                let caption = picture.shows.iter().cloned().chain(entry.seen.place.clone());
                Some((picture.sha256.clone()?, caption.collect::<Vec<_>>().join(", ")))
            }
            _ => None,
        })
        .collect();
    // A name that was drawn is one of them.
    let drawn = visit.current.signed.iter().filter_map(|signed| {
        let sha256 = signed.result.result["drawing_sha256"].as_str()?.to_owned();
        let who = signed.result.signed_by.as_str();
        Some((sha256, app.say(&Message::new("app-signed-by").with("who", who))))
    });
    let pictures: Vec<(String, String)> = pictures.into_iter().chain(drawn).collect();
    if pictures.is_empty() {
        return;
    }
    let (heading, alt) =
        (app.say(&Message::new("app-report-pictures")), app.say(&Message::new("app-picture-alt")));
    wasm_bindgen_futures::spawn_local(async move {
        let mut shown = Vec::new();
        for (sha256, caption) in pictures {
            let Some(picture) = app.picture(&sha256).await else { continue };
            let bytes: String = picture.bytes.iter().map(|byte| char::from(*byte)).collect();
            let Ok(text) = crate::browser::window().btoa(&bytes) else { continue };
            shown.push((format!("data:{};base64,{text}", picture.kind), caption));
        }
        if let Some(page) = whole.try_get_untracked().filter(|_| !shown.is_empty()) {
            // The screen may have been left meanwhile.
            let _ = whole.try_set(illustrated(&page, &heading, &alt, &shown));
        }
    });
}

/// Returns a page with pictures at its end, each an address and what it shows.
fn illustrated(page: &str, heading: &str, alt: &str, pictures: &[(String, String)]) -> String {
    let safe = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;");
    let figures: String = pictures
        .iter()
        .map(|(address, caption)| {
            let address = safe(address);
            format!("<figure class=\"taken\"><img src=\"{address}\" alt=\"{}\"><figcaption>{}</figcaption></figure>\n", safe(alt), safe(caption))
        })
        .collect();
    let section = format!("<section><h2>{}</h2>\n{figures}</section>\n</main>", safe(heading));
    let style = ".taken{margin:0 0 16px}.taken img{max-width:100%;max-height:480px}\n</style>";
    // The page's own policy lets in letters alone.
    page.replacen("font-src data:", "font-src data:; img-src data:", 1)
        .replacen("</style>", style, 1)
        .replacen("</main>", &section, 1)
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
    fn pictures_stand_at_the_end_of_a_page_and_words_stay_words() {
        let page = "<head><meta content=\"font-src data:\"><style>p{}</style></head><main><p>x</p></main>";
        let shown = [("data:image/jpeg;base64,AA==".to_owned(), "<b>roof</b>".to_owned())];
        let whole = illustrated(page, "Pictures", "as taken", &shown);
        assert!(whole.contains("font-src data:; img-src data:\""));
        assert!(whole.contains("<img src=\"data:image/jpeg;base64,AA==\" alt=\"as taken\">"));
        assert!(whole.contains("<figcaption>&lt;b>roof&lt;/b></figcaption>"));
        assert!(whole.ends_with("</section>\n</main>"));
    }

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
