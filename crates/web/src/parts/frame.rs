//! What stands on every screen: the head with the line about saving, the foot in reach of the thumb.

use crate::app::App;
use crate::clock::hour_minute;
use crate::parts::blocks::said;
use crate::parts::dom::begin_screen;
use crate::parts::icon::{Icon, icon};
use crate::parts::undo;
use crate::route::Screen;
use crate::status::{Opening, Reach, Status};
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;

/// Returns a screen: its head with name and line about saving, what stands in it, its foot.
pub fn frame(
    app: App,
    title: impl Into<String>,
    beside: impl Into<String>,
    body: impl IntoView,
    foot: Vec<AnyView>,
) -> AnyView {
    let (title, beside): (String, String) = (title.into(), beside.into());
    let lead = match untrack(|| app.screen()) {
        Screen::Jobs => view! { <span class="head-back">{icon(Icon::Home)}</span> }.into_any(),
        _ => {
            let word = app.say(&Message::new("app-back"));
            view! {
                <button type="button" class="head-back edge" aria-label=word on:click=move |_| app.back()>
                    {icon(Icon::Back)}
                </button>
            }
            .into_any()
        }
    };
    let opens = app.say(&Message::new("app-open-waiting"));
    let label = app.say(&Message::new("app-foot"));
    let foot = (!foot.is_empty()).then(|| view! { <nav class="foot" aria-label=label>{foot}</nav> });
    begin_screen();
    view! {
        <header class="head">
            {lead}
            <div class="head-text holds-over">
                <div class="head-line">
                    <h1 id="heading" tabindex="-1">{title}</h1>
                    <span class="soft">{beside}</span>
                </div>
                <div class="head-state" id="saved">{move || saved(app)}</div>
                <button
                    type="button"
                    class="over edge"
                    aria-label=opens
                    aria-describedby="saved"
                    on:click=move |_| app.go(&Screen::Waiting)
                ></button>
            </div>
        </header>
        <main>{update_line(app)} {body}</main>
        {foot}
    }
    .into_any()
}

/// The line about saving.
fn saved(app: App) -> AnyView {
    let (shape, sentence) = saved_words(&app.status());
    view! { {icon(shape)} <span>{said(app, &sentence.into())}</span> }.into_any()
}

/// Returns the shape and the sentence about what is saved and what waits.
pub fn saved_words(status: &Status) -> (Icon, Message) {
    let waits = status.waiting + status.pictures + status.held;
    match (&status.store, &status.reach, status.saved_ms) {
        (Opening::Failed(_), _, _) => (Icon::Caution, Message::new("app-saved-not-possible")),
        (Opening::Waiting, _, _) => (Icon::Saved, Message::new("app-saved-opening")),
        (Opening::Open, Reach::Alone, Some(at)) => {
            (Icon::Saved, Message::new("app-saved-here").with("time", hour_minute(at)))
        }
        (Opening::Open, Reach::Alone, None) => match status.events {
            0 => (Icon::Saved, Message::new("app-saved-nothing")),
            events => (Icon::Saved, Message::new("app-saved-entries").with("count", events)),
        },
        (Opening::Open, _, Some(at)) if waits > 0 => (
            Icon::ToSend,
            Message::new("app-saved-to-send").with("time", hour_minute(at)).with("count", waits),
        ),
        (Opening::Open, _, None) if waits > 0 => {
            (Icon::ToSend, Message::new("app-to-send").with("count", waits))
        }
        (Opening::Open, _, _) => match status.sent_ms {
            Some(at) => (Icon::Saved, Message::new("app-all-sent").with("time", hour_minute(at))),
            None => (Icon::Saved, Message::new("app-nothing-to-send")),
        },
    }
}

/// A newer program waits until nothing is half done: it is offered on the list of jobs alone.
fn update_line(app: App) -> impl IntoView {
    move || {
        let offered = app.status().update_ready && app.screen() == Screen::Jobs;
        offered.then(|| {
            view! {
                <div class="line">
                    <p>{app.say(&Message::new("app-update-ready"))}</p>
                    <button type="button" class="button small" on:click=move |_| app.take_update()>
                        {app.say(&Message::new("app-update-take"))}
                    </button>
                </div>
            }
        })
    }
}

/// Returns a button of the foot; `is_main` is the act of the screen.
pub fn foot_button(shape: Icon, word: String, is_main: bool, act: impl Fn() + 'static) -> AnyView {
    let class = if is_main { "go edge" } else { "edge" };
    view! {
        <button type="button" class=class on:click=move |_| act()>
            {icon(shape)}
            <span>{word}</span>
        </button>
    }
    .into_any()
}

/// Returns the foot of a job's screens: stages, undo, the main act.
pub fn job_foot(app: App, job: Uuid, main: Option<AnyView>) -> Vec<AnyView> {
    let stages = foot_button(Icon::Stages, app.say(&Message::new("app-stages")), false, move || {
        app.go(&Screen::Stages(job));
    });
    let mut foot = vec![stages, undo::undo(app, job)];
    foot.extend(main);
    foot
}

/// Returns a row that opens something.
pub fn open_row(first: String, second: impl Into<String>, act: impl Fn() + 'static) -> AnyView {
    let second: String = second.into();
    let second = (!second.is_empty()).then(|| view! { <span class="soft">{second}</span> });
    view! {
        <li>
            <button type="button" class="row-target edge" on:click=move |_| act()>
                <span class="row-words"><b>{first}</b> {second}</span>
                {icon(Icon::On)}
            </button>
        </li>
    }
    .into_any()
}
