//! What stands in one job, entry by entry, and the erasing of personal data in it.

use super::server::{self, Fault, Me};
use super::{answered, failed, titled, words};
use crate::app::App;
use crate::browser::random;
use crate::clock::now_ms;
use leptos::prelude::*;
use record::{Content, Event, Redaction, RedactionReason};
use report::Message;
use serde::Deserialize;
use serde_json::{Value, json};
use std::sync::Arc;
use uuid::Uuid;

#[derive(Clone, Debug, Deserialize)]
struct Lines {
    rows: Vec<Value>,
}

/// Returns the page.
pub fn view(app: App, me: &Me, job: Uuid) -> AnyView {
    let me = me.clone();
    let again = RwSignal::new(0_u32);
    let body = move || {
        again.track();
        let me = me.clone();
        answered::<Lines>(app, format!("/jobs/{job}/events"), move |lines| page(app, &me, job, &lines, again))
    };
    titled(app, Message::new("office-job"), body)
}

fn page(app: App, me: &Me, job: Uuid, lines: &Lines, again: RwSignal<u32>) -> AnyView {
    let events: Vec<Event> =
        lines.rows.iter().filter_map(|line| record::read_line(line.to_string().as_bytes()).ok()).collect();
    let last = events.iter().map(|event| event.stamp).max().unwrap_or_default();
    // Erasing takes a signed-in owner: a phone's token says which phone, not who holds it.
    let may = me.role == "owner" && !me.by_phone;
    let rows: Vec<AnyView> = events.iter().map(|event| row(app, me, job, event, last, may, again)).collect();
    let report = super::jobs::report(job, me.by_phone);
    let money = me.is_office().then(|| super::money::view(app, me, job));
    let how = may.then(|| view! { <p>{app.say(&Message::new("office-erase-how"))}</p> });
    view! {
        <p><a href=report>{app.say(&Message::new("office-report"))}</a></p>
        {money}
        <section class="part"><h2>{app.say(&Message::new("office-entries"))}</h2>{how}<ul class="rows">{rows}</ul></section>
    }
    .into_any()
}

fn name(app: App, event: &Event) -> String {
    match &event.content {
        Content::Observed(seen) => app.say(&job::entry::name(seen)),
        Content::Correction(correction) => {
            app.say(&Message::new("app-corrected").with("name", app.say(&job::entry::name(&correction.now))))
        }
        Content::Settlement(_) => app.say(&Message::new("app-settled")),
        Content::SignedResult(signed) => {
            app.say(&Message::new("app-signed-by").with("who", signed.signed_by.as_str()))
        }
        Content::Redaction(Redaction { reason: RedactionReason::Withdrawn, .. }) => {
            app.say(&Message::new("app-taken-back"))
        }
        Content::Redaction(_) | Content::Erased(_) => app.say(&Message::new("app-erased")),
        Content::Unknown { kind, .. } => {
            app.say(&Message::new("entry-name-unknown").with("kind", kind.as_str()))
        }
    }
}

/// Whether an entry has words of its own that can be erased.
const fn has_words(event: &Event) -> bool {
    matches!(
        event.content,
        Content::Observed(_) | Content::Correction(_) | Content::SignedResult(_) | Content::Unknown { .. }
    )
}

fn row(
    app: App,
    me: &Me,
    job: Uuid,
    event: &Event,
    last: record::Stamp,
    may: bool,
    again: RwSignal<u32>,
) -> AnyView {
    let title = name(app, event);
    let mut second = vec![words::moment(event.stamp.ms)];
    second.extend(event.by.clone());
    second.extend(event.device.clone());
    let erase = (may && has_words(event)).then(|| erase(app, me, job, event.id, last, title.clone(), again));
    view! {
        <li>
            <div class="pair"><b>{title}</b> <span class="soft">{second.join(" · ")}</span></div>
            {erase}
        </li>
    }
    .into_any()
}

/// Asks twice; the first touch says what erasing does, the second does it.
fn erase(
    app: App,
    me: &Me,
    job: Uuid,
    of: Uuid,
    last: record::Stamp,
    title: String,
    again: RwSignal<u32>,
) -> AnyView {
    let asked = RwSignal::new(false);
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let by = Arc::new(me.name.clone());
    let label = app.say(&Message::new("office-erase-of").with("entry", title.as_str()));
    let really = move || {
        let by = by.clone();
        let act = move |_| {
            let by = by.clone();
            wasm_bindgen_futures::spawn_local(async move {
                let event = Event {
                    id: record::device_id(now_ms(), random()),
                    job,
                    by: Some((*by).clone()),
                    device: None,
                    stamp: last.next(now_ms()),
                    key: None,
                    content: Content::Redaction(Redaction { of, reason: RedactionReason::PersonalData }),
                    apprentice: false,
                    verbatim: None,
                };
                match push(app, &event).await {
                    Ok(()) => {
                        let _ = again.try_update(|number| *number += 1);
                    }
                    Err(why) => {
                        let _ = fault.try_set(Some(why));
                    }
                }
            });
        };
        view! {
            <div class="line bad" role="group" aria-label=app.say(&Message::new("office-erase"))>
                <p>{app.say(&Message::new("office-erase-does"))}</p>
                <div class="buttons">
                    <button type="button" class="button small" on:click=act>{app.say(&Message::new("office-erase-do"))}</button>
                    <button type="button" class="button small" on:click=move |_| asked.set(false)>{app.say(&Message::new("office-keep"))}</button>
                </div>
            </div>
        }
    };
    view! {
        {move || fault.get().map(|fault| failed(app, &fault))}
        <button type="button" class="office-act" aria-label=label aria-expanded=move || asked.get().to_string()
            on:click=move |_| asked.update(|asked| *asked = !*asked)>
            {app.say(&Message::new("office-erase"))}
        </button>
        {move || asked.get().then(really.clone())}
    }
    .into_any()
}

/// Brings one event to the shop. The greatest cursor asks for no news.
async fn push(app: App, event: &Event) -> Result<(), Fault> {
    let line: Value =
        serde_json::from_str(&record::write_line(event)).map_err(|why| Fault::Said(why.to_string()))?;
    let body = json!({ "device": "office", "cursor": (1_u64 << 53) - 1, "events": [line] });
    server::change(app, "POST", "/sync", Some(&body)).await.map(drop)
}
