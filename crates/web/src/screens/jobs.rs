//! The jobs on this phone, the one touched last first; what was typed and not kept; the way into everything else.

use crate::app::App;
use crate::clock::hour_minute;
use crate::head::Head;
use crate::parts::blocks::said;
use crate::parts::frame::{foot_button, frame, open_row};
use crate::parts::icon::{Icon, icon};
use crate::parts::sheet::{form_of_draft, kind_of_draft, screen_of_draft};
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let body = view! {
        {move || half_typed(app)}
        <section class="part">
            <h2>{app.say(&Message::new("app-jobs"))}</h2>
            {move || list(app)}
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-without-job"))}</h2>
            <ul class="rows">
                {open_row(app.say(&Message::new("app-ask")), app.say(&Message::new("app-ask-what")), move || {
                    app.go(&Screen::Ask(None));
                })}
                {open_row(app.say(&Message::new("van-title")), app.say(&Message::new("van-row")), move || {
                    app.go(&Screen::Van);
                })}
                {open_row(app.say(&Message::new("app-pictures")), app.say(&Message::new("app-pictures-what")), move || {
                    app.go(&Screen::Pictures);
                })}
                {open_row(app.say(&Message::new("app-shop")), app.say(&Message::new("app-shop-what")), move || {
                    app.go(&Screen::Office(String::new()));
                })}
                {open_row(app.say(&Message::new("app-settings")), app.say(&Message::new("app-settings-what")), move || {
                    app.go(&Screen::Settings);
                })}
            </ul>
        </section>
    };
    let foot = vec![
        foot_button(Icon::Ask, app.say(&Message::new("app-ask")), false, move || app.go(&Screen::Ask(None))),
        foot_button(Icon::Add, app.say(&Message::new("app-new")), true, move || {
            app.go(&Screen::NewVisit(None))
        }),
    ];
    frame(app, "gastight", "", body, foot)
}

fn list(app: App) -> AnyView {
    let jobs = app.jobs();
    if jobs.is_empty() {
        return view! { <p>{app.say(&Message::new("app-no-jobs"))}</p> }.into_any();
    }
    // The van's own log has a row of its own below.
    let van = app.settings().van;
    let rows: Vec<AnyView> =
        jobs.iter().filter(|head| van != Some(head.job)).map(|head| row(app, head)).collect();
    view! { <ul class="rows">{rows}</ul> }.into_any()
}

fn row(app: App, head: &Head) -> AnyView {
    let job = head.job;
    let name = head.name();
    let name = if name.is_empty() { app.say(&Message::new("app-no-name")) } else { name };
    let mut second: Vec<String> = head.refrigerant.iter().cloned().collect();
    let when = crate::clock::when(head.latest_ms);
    let day = when.local_day().map(|day| day.to_string()).unwrap_or_default();
    second.push(
        app.say(&Message::new("app-last-entry").with("day", day).with("time", hour_minute(head.latest_ms))),
    );
    if head.unsettled {
        second.push(app.say(&Message::new("app-unsettled")));
    }
    open_row(name, second.join(" · "), move || app.go(&Screen::Place(job, None)))
}

/// What was typed and not kept: it stands in its place, and here.
fn half_typed(app: App) -> AnyView {
    let mut forms: Vec<(String, Vec<String>)> = Vec::new();
    for (key, text) in app.drafts() {
        // The refrigerant of a quick question is chosen, not typed: it waits for nothing.
        let is_chosen = kind_of_draft(&key).starts_with("ask ") && key.ends_with("refrigerant");
        if is_chosen || screen_of_draft(&key).is_none() {
            continue;
        }
        let form = form_of_draft(&key).to_owned();
        match forms.iter_mut().find(|(known, _)| *known == form) {
            Some((_, texts)) => texts.push(text),
            None => forms.push((form, vec![text])),
        }
    }
    forms
        .into_iter()
        .map(|(form, texts)| {
            let kind = kind_of_draft(&form);
            let kind = match kind.strip_prefix("ask ") {
                Some(_) => app.say(&Message::new("app-ask")),
                None => said(app, &job::entry::labels::kind(kind)),
            };
            let words = app.say(
                &Message::new("app-half-typed").with("kind", kind).with("text", texts.join("; ")),
            );
            let (screen, dropped) = (screen_of_draft(&form), form.clone());
            view! {
                <div class="half">
                    <p>{icon(Icon::Half)} {words}</p>
                    <div class="buttons">
                        <button class="button small" on:click=move |_| app.drop_drafts(&dropped)>
                            {app.say(&Message::new("app-drop"))}
                        </button>
                        <button class="button small go" on:click=move |_| if let Some(screen) = &screen { app.go(screen) }>
                            {app.say(&Message::new("app-carry-on"))}
                        </button>
                    </div>
                </div>
            }
            .into_any()
        })
        .collect::<Vec<AnyView>>()
        .into_any()
}
