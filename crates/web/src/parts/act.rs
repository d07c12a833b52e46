//! What can be entered from a stage or a place: a touch that enters, opens a form, or takes a picture.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::dom::keep_focus;
use crate::parts::icon::{Icon, icon};
use crate::parts::sheet::Sheet;
use crate::route::Screen;
use job::stage::Offer;
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;
use wasm_bindgen::JsCast;

/// What went wrong with the last touch of a screen, in words.
pub type Fault = RwSignal<Option<String>>;

/// Returns the line that says what went wrong, where something did.
pub fn fault_line(fault: Fault) -> impl IntoView {
    move || fault.get().map(|words| view! { <div class="line bad" role="alert"><p>{words}</p></div> })
}

/// Enters what needs no form.
pub fn enter_now(app: App, job: Uuid, kind: &'static str, fields: &[(String, String)], fault: Fault) {
    let visit = app.visit(job).get_untracked();
    let around = job::entry::around(&visit, &crate::clock::now());
    let pairs: Vec<(&str, &str)> = fields.iter().map(|(path, text)| (&**path, &**text)).collect();
    match record::read_entry(kind, &pairs, &around) {
        Ok(seen) => wasm_bindgen_futures::spawn_local(async move {
            match app.put(job, seen).await {
                // What was touched may be gone with what it asked.
                Ok(_) => keep_focus(),
                Err(why) => fault.set(Some(app.say(&why.message()))),
            }
        }),
        Err(problems) => {
            let words = problems.first.iter().map(|one| app.say(&job::problems::sentence(one)));
            fault.set(Some(words.collect::<Vec<_>>().join(" ")));
        }
    }
}

/// Does what an offer offers.
pub fn take_up(app: App, job: Uuid, offer: &Offer, fault: Fault) {
    if offer.ask.is_empty() && offer.kind != "picture" {
        if let Some(sheet) = untrack(|| Sheet::of_entry(app, job, offer.kind, About::of(offer))) {
            sheet.keep_here(fault);
        }
        return;
    }
    app.go(&Screen::Entry(job, offer.kind.to_owned(), About::of(offer).written()));
}

/// Returns an offer as a button; of a picture as one that opens the camera.
pub fn offer_button(app: App, job: Uuid, offer: &Offer, fault: Fault) -> AnyView {
    let label = app.say(&offer.label);
    let why = offer.why.as_ref().map(|why| {
        let words = app.say(why);
        view! { <p class="soft offer-why">{words}</p> }
    });
    if offer.kind == "picture" {
        let shows = offer.preset.iter().find(|(path, _)| path == "shows").map(|(_, text)| text.clone());
        return view! { <div>{picture_button(app, job, label, shows, fault)}{why}</div> }.into_any();
    }
    let offer = offer.clone();
    view! {
        <div>
            <button class="button" on:click=move |_| take_up(app, job, &offer, fault)>{label}</button>
            {why}
        </div>
    }
    .into_any()
}

/// Returns a quick value: its name and what it was last; one touch opens it, one key sets it.
pub fn quick_button(app: App, job: Uuid, offer: &Offer, fault: Fault) -> AnyView {
    let label = app.say(&offer.label);
    let last = match &offer.last {
        Some(last) => last.text.clone(),
        None => app.say(&Message::new("app-not-yet")),
    };
    let offer = offer.clone();
    view! {
        <button class="button small stacked" on:click=move |_| take_up(app, job, &offer, fault)>
            <span>{label}</span>
            <b class="keep">{last}</b>
        </button>
    }
    .into_any()
}

/// Returns a button that takes a picture now; its number can be typed later.
pub fn picture_button(app: App, job: Uuid, label: String, shows: Option<String>, fault: Fault) -> AnyView {
    view! {
        <label class="button picture-button">
            {icon(Icon::Picture)}
            <span>{label}</span>
            <input
                class="unseen-input"
                type="file"
                accept="image/*"
                capture="environment"
                on:change=move |event| {
                    let input = event.target().and_then(|target| target.dyn_into::<web_sys::HtmlInputElement>().ok());
                    let Some(input) = input else { return };
                    let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
                    let shows = shows.clone();
                    let place = job::place::here(&app.visit(job).get_untracked());
                    wasm_bindgen_futures::spawn_local(async move {
                        if let Err(why) = app.photo(job, &file, place, shows, true).await {
                            fault.set(Some(app.say(&why.message())));
                        }
                        // The same picture may be chosen again.
                        input.set_value("");
                    });
                }
            />
        </label>
    }
    .into_any()
}
