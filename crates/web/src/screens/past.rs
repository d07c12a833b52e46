//! An entry made earlier: what was typed, and a way to correct it or to take it back.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::act::{Fault, fault_line};
use crate::parts::blocks::said;
use crate::parts::frame::{foot_button, frame, job_foot};
use crate::parts::icon::Icon;
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;

/// Returns the screen.
pub fn view(app: App, job: Uuid, id: Uuid) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job).get();
    let entry = visit.current.entries.iter().find(|entry| entry.id == id);
    let Some(entry) = entry else {
        let words = app.say(&Message::new("app-entry-gone"));
        return frame(
            app,
            words.clone(),
            "",
            view! { <p class="part">{words}</p> },
            job_foot(app, job, None),
        );
    };
    let filled = record::texts_of(&entry.seen);
    let kind = filled.as_ref().map(|filled| filled.kind.clone()).unwrap_or_default();
    let texts = filled.map(|filled| filled.fields).unwrap_or_default();
    let head = record::head_texts_of(&entry.seen);
    let rows: Vec<AnyView> = head
        .iter()
        .chain(texts.iter())
        .map(|(path, text)| {
            let key = path.rsplit('.').next().unwrap_or(path).split('[').next().unwrap_or(path);
            let label = said(app, &job::entry::labels::field(&kind, key));
            let shown = said(app, &job::entry::labels::word(text));
            view! { <li class="pair"><span>{label}</span><b>{shown}</b></li> }.into_any()
        })
        .collect();
    let who = entry.by.clone().or_else(|| entry.device.clone());
    let who =
        who.map(|who| view! { <p class="soft">{app.say(&Message::new("visit-by").with("who", who))}</p> });
    let picture = match entry.what() {
        record::Body::Picture(picture) => picture.sha256.clone(),
        _ => None,
    };
    let shown = picture.map(|sha256| crate::screens::pictures::shown(app, sha256));
    let of = entry.stands_by;
    let fields: Vec<String> = texts.iter().map(|(path, _)| path.clone()).collect();
    let about = About { ask: fields, onto: Some(id), ..About::default() };
    let correct = move || app.go(&Screen::Entry(job, kind.clone(), about.written()));
    // An apprentice changes only what an apprentice entered.
    let may = entry.apprentice || !app.is_apprentice();
    let body = view! {
        {fault_line(fault)}
        {shown}
        <ul class="rows part">{rows}</ul>
        {who}
        {may.then(|| view! { <section class="part">
            <p>{app.say(&Message::new("app-take-back-why"))}</p>
            <button class="button small" on:click=move |_| wasm_bindgen_futures::spawn_local(async move {
                match app.withdraw(job, of).await {
                    Ok(()) => app.back(),
                    Err(why) => fault.set(Some(app.say(&why.message()))),
                }
            })>{app.say(&Message::new("app-take-back"))}</button>
        </section> })}
    };
    let main = may.then(|| foot_button(Icon::Half, app.say(&Message::new("app-correct")), true, correct));
    let name = app.say(&job::entry::entry_name(entry));
    frame(app, name, crate::screens::stage::beside(&visit), body, job_foot(app, job, main))
}
