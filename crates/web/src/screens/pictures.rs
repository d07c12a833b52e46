//! Pictures whose number is still to be typed up, of every job on this phone.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::frame;
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let list = move || {
        let jobs: Vec<Uuid> = app.jobs().iter().map(|head| head.job).take(40).collect();
        let rows: Vec<AnyView> = jobs.into_iter().flat_map(|job| of_job(app, job, fault)).collect();
        match rows.is_empty() {
            true => view! { <p>{app.say(&Message::new("app-no-pictures"))}</p> }.into_any(),
            false => view! { <ul class="rows">{rows}</ul> }.into_any(),
        }
    };
    let body = view! {
        {fault_line(fault)}
        <section class="part"><p>{app.say(&Message::new("app-pictures-why"))}</p>{list}</section>
    };
    frame(app, app.say(&Message::new("app-pictures")), "", body, Vec::new())
}

fn of_job(app: App, job: Uuid, fault: Fault) -> Vec<AnyView> {
    let visit = app.visit(job).get();
    job::entry::unread(&visit)
        .into_iter()
        .filter(|unread| unread.job.is_none_or(|of| of == job))
        .map(|unread| {
            let (id, of) = (unread.entry.id, unread.entry.stands_by);
            let shows = unread.picture.shows.clone().unwrap_or_default();
            let place = unread.entry.seen.place.clone();
            let words = [Some(shows.clone()), place, visit.system.value.name.clone()];
            let words = words.into_iter().flatten().collect::<Vec<_>>().join(" · ");
            let (kind, ask): (&str, &[&str]) = match shows.as_str() {
                "scale" => ("weighing", &["cylinder", "direction", "before", "after"]),
                "nameplate" => ("system", &["charge", "high_side_limit", "low_side_limit", "compressor"]),
                "old setting" => ("setting", &["what", "found", "left"]),
                _ => ("reading", &["suction_pressure", "discharge_pressure", "suction_line"]),
            };
            let about = About {
                ask: ask.iter().map(|path| (*path).to_owned()).collect(),
                picture: Some(id),
                ..About::default()
            };
            let entry = unread.entry.clone();
            view! {
                <li class="picture-row">
                    {unread.picture.sha256.clone().map(|sha256| shown(app, sha256))}
                    <p><b>{words}</b></p>
                    <div class="buttons">
                        <button class="button small" on:click=move |_| {
                            app.go(&Screen::Entry(job, kind.to_owned(), about.written()));
                        }>{app.say(&Message::new("app-type-up"))}</button>
                        <button class="button small" on:click=move |_| {
                            let Some(read) = job::entry::typed_up(&entry, &[]) else { return };
                            wasm_bindgen_futures::spawn_local(async move {
                                if let Err(why) = app.correct(job, of, read, None).await {
                                    fault.set(Some(app.say(&why.message())));
                                }
                            });
                        }>{app.say(&Message::new("app-nothing-to-read"))}</button>
                    </div>
                </li>
            }
            .into_any()
        })
        .collect()
}

/// Returns a picture by its SHA-256: from the phone, else from the shop; until then that it is on its way.
pub fn shown(app: App, sha256: String) -> AnyView {
    let address = RwSignal::new(None::<Option<String>>);
    wasm_bindgen_futures::spawn_local(async move {
        let found = app.picture_address(&sha256).await;
        address.try_set(Some(found));
    });
    (move || match address.get() {
        Some(Some(address)) => {
            view! { <img class="shown" src=address alt=app.say(&Message::new("app-picture-alt")) /> }
                .into_any()
        }
        Some(None) => view! { <p class="soft">{app.say(&Message::new("app-picture-coming"))}</p> }.into_any(),
        None => ().into_any(),
    })
    .into_any()
}
