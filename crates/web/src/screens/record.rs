//! Every entry of a job, struck out ones too; entries that differ, for a person to choose among.

use crate::app::App;
use crate::clock::hour_minute;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{frame, job_foot, open_row};
use crate::parts::mark::mark;
use crate::route::Screen;
use crate::screens::stage::beside;
use leptos::prelude::*;
use record::{Content, Event, RedactionReason};
use report::{Message, VerdictMark};
use std::sync::Arc;
use uuid::Uuid;

/// Returns the screen.
pub fn view(app: App, job: Uuid) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job).get();
    let events = app.events(job);
    let struck: Vec<Uuid> = events
        .iter()
        .filter_map(|event| match &event.content {
            Content::Redaction(redaction) => Some(redaction.of),
            _ => None,
        })
        .collect();
    let mut ordered: Vec<&Event> = events.iter().collect();
    ordered.sort_by_key(|event| std::cmp::Reverse((event.stamp, event.id)));
    let rows: Vec<AnyView> =
        ordered.into_iter().map(|event| row(app, job, event, struck.contains(&event.id))).collect();
    let differ: Vec<AnyView> = visit
        .current
        .disagreements
        .iter()
        .map(|one| {
            let among: Vec<Uuid> = one.sides.iter().map(|side| side.stands_by).collect();
            let sides: Vec<AnyView> = one
                .sides
                .iter()
                .map(|side| {
                    let words = app.say(&job::entry::entry_name(side));
                    let who = side.by.clone().or_else(|| side.device.clone()).unwrap_or_default();
                    let (among, chosen) = (among.clone(), side.stands_by);
                    view! {
                        <button class="button small stacked" disabled=app.is_apprentice() on:click=move |_| {
                            let among = among.clone();
                            wasm_bindgen_futures::spawn_local(async move {
                                if let Err(why) = app.settle(job, among, chosen, None).await {
                                    fault.set(Some(app.say(&why.message())));
                                }
                            });
                        }><span>{who}</span><b>{words}</b></button>
                    }
                    .into_any()
                })
                .collect();
            view! {
                <li class="verdict">
                    {mark(VerdictMark::Doubtful)}
                    <div>
                        <p>{app.say(&Message::new("app-choose"))}</p>
                        <div class="buttons">{sides}</div>
                    </div>
                </li>
            }
            .into_any()
        })
        .collect();
    let differ = (!differ.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("app-differ"))}</h2><ul class="rows">{differ}</ul></section> }
    });
    let unsettled = unsettled(app, job, &events, &visit, fault);
    let body = view! {
        {fault_line(fault)}
        {differ}
        {unsettled}
        <section class="part">
            <ul class="rows">
                {open_row(app.say(&Message::new("take-app-title")), app.say(&Message::new("take-app-row")), move || {
                    app.go(&Screen::Take(job));
                })}
            </ul>
        </section>
        <section class="part"><h2>{app.say(&Message::new("app-record"))}</h2><ul class="rows">{rows}</ul></section>
    };
    frame(app, app.say(&Message::new("app-record")), beside(&visit), body, job_foot(app, job, None))
}

/// Fields of the site, system or visit to which people gave different values.
fn unsettled(
    app: App,
    job: Uuid,
    events: &Arc<Vec<Event>>,
    visit: &job::visit::Visit,
    fault: Fault,
) -> Option<AnyView> {
    let fields: Vec<(&String, &Vec<Uuid>)> = visit
        .site
        .unsettled
        .iter()
        .chain(visit.system.unsettled.iter())
        .chain(visit.visit.unsettled.iter())
        .chain(visit.customer.unsettled.iter())
        .collect();
    let rows: Vec<AnyView> = fields
        .into_iter()
        .map(|(field, ids)| {
            let among = ids.clone();
            let sides: Vec<AnyView> = ids
                .iter()
                .filter_map(|id| events.iter().find(|event| event.id == *id))
                .map(|event| {
                    let seen = match &event.content {
                        Content::Observed(seen) => Some(seen),
                        Content::Correction(correction) => Some(&correction.now),
                        _ => None,
                    };
                    let words = seen.map(|seen| app.say(&job::entry::name(seen))).unwrap_or_default();
                    let who = event.by.clone().or_else(|| event.device.clone()).unwrap_or_default();
                    let (among, chosen) = (among.clone(), event.id);
                    view! {
                        <button class="button small stacked" disabled=app.is_apprentice() on:click=move |_| {
                            let among = among.clone();
                            wasm_bindgen_futures::spawn_local(async move {
                                if let Err(why) = app.settle(job, among, chosen, None).await {
                                    fault.set(Some(app.say(&why.message())));
                                }
                            });
                        }><span>{who}</span><b>{words}</b></button>
                    }
                    .into_any()
                })
                .collect();
            let words = app.say(&Message::new("open-unsettled").with("field", field.replace('_', " ")));
            view! {
                <li class="verdict">{mark(VerdictMark::Doubtful)}<div><p>{words}</p><div class="buttons">{sides}</div></div></li>
            }
            .into_any()
        })
        .collect();
    (!rows.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("app-differ"))}</h2><ul class="rows">{rows}</ul></section> }
            .into_any()
    })
}

fn row(app: App, job: Uuid, event: &Event, struck: bool) -> AnyView {
    let name = match &event.content {
        Content::Observed(seen) => app.say(&job::entry::name(seen)),
        Content::Correction(correction) => {
            app.say(&Message::new("app-corrected").with("name", app.say(&job::entry::name(&correction.now))))
        }
        Content::Settlement(_) => app.say(&Message::new("app-settled")),
        Content::SignedResult(signed) => {
            app.say(&Message::new("app-signed-by").with("who", signed.signed_by.as_str()))
        }
        Content::Redaction(redaction) => match redaction.reason {
            RedactionReason::Withdrawn => app.say(&Message::new("app-taken-back")),
            RedactionReason::PersonalData => app.say(&Message::new("app-erased")),
        },
        Content::Erased(_) => app.say(&Message::new("app-erased")),
        Content::Unknown { kind, .. } => {
            app.say(&Message::new("entry-name-unknown").with("kind", kind.as_str()))
        }
    };
    let mut second: Vec<String> = vec![hour_minute(event.stamp.ms)];
    second.extend(event.by.clone().or_else(|| event.device.clone()));
    if struck {
        second.push(app.say(&Message::new("app-struck-out")));
    }
    let second = second.join(" · ");
    let id = event.id;
    match (&event.content, struck) {
        (Content::Observed(_), false) => open_row(name, second, move || app.go(&Screen::Past(job, id))),
        (_, true) => {
            view! { <li class="struck"><s>{name}</s><span class="soft">{second}</span></li> }.into_any()
        }
        _ => view! { <li><b>{name}</b><p class="soft">{second}</p></li> }.into_any(),
    }
}
