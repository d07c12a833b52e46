//! Undo: the button names the entry, and asks once; what is taken back stays in the record, struck out.

use crate::app::App;
use crate::parts::blocks::said;
use crate::parts::dom::focus;
use crate::parts::icon::{Icon, icon};
use leptos::prelude::*;
use record::{Content, Event};
use report::Message;
use uuid::Uuid;
use wasm_bindgen_futures::spawn_local;

/// Returns the name of an act that can be undone.
fn name(event: &Event) -> Message {
    match &event.content {
        Content::Observed(seen) => job::entry::name(seen),
        Content::Correction(correction) => {
            Message::new("app-undo-correction").with("name", job::entry::name(&correction.now))
        }
        Content::Settlement(_) => Message::new("app-undo-settlement"),
        Content::SignedResult(_) => Message::new("app-undo-signature"),
        _ => Message::new("app-undo-withdrawal"),
    }
}

/// The button of the foot, and the first of its question, on the page.
const BUTTON: &str = "undo";
const TAKE_BACK: &str = "undo-take-back";

/// Returns the button of the foot, with its question over it once it was pressed.
pub fn undo(app: App, job: Uuid) -> AnyView {
    let asked = RwSignal::new(false);
    let fault = RwSignal::new(None::<String>);
    let told = move |message: Message| said(app, &message.into());
    let label = move || match app.undoable(job) {
        Some(event) => told(Message::new("app-undo-named").with("name", name(&event))),
        None => app.say(&Message::new("shell-nothing-to-undo")),
    };
    let none = move || app.undoable(job).is_none().then_some("true");
    let press = move |_| {
        fault.set(None);
        let any = untrack(|| app.undoable(job)).is_some();
        asked.update(|asked| *asked = any && !*asked);
        if asked.get_untracked() {
            // Who has no finger is led to the question, which stands before the button.
            focus(TAKE_BACK);
        }
    };
    let leave = move || {
        asked.set(false);
        focus(BUTTON);
    };
    let escape = move |event: web_sys::KeyboardEvent| {
        if event.key() == "Escape" && asked.get_untracked() {
            event.prevent_default();
            leave();
        }
    };
    let back = move |_| {
        spawn_local(async move {
            match app.undo(job).await {
                Ok(_) => leave(),
                Err(why) => fault.set(Some(app.say(&why.message()))),
            }
        });
    };
    let question = move || {
        let event = asked.get().then(|| app.undoable(job)).flatten()?;
        let sentence = told(Message::new("app-undo-question").with("name", name(&event)));
        let fault = move || fault.get().map(|words| view! { <p class="line bad" role="alert">{words}</p> });
        Some(view! {
            <div class="above-foot" role="group" aria-label=app.say(&Message::new("app-undo"))>
                <p role="status">
                    <b>{sentence}</b>
                    " "
                    {app.say(&Message::new("app-undo-stays"))}
                </p>
                {fault}
                <div class="buttons">
                    <button type="button" id=TAKE_BACK class="button small go" on:click=back>
                        {app.say(&Message::new("app-take-back"))}
                    </button>
                    <button type="button" class="button small" on:click=move |_| leave()>
                        {app.say(&Message::new("app-leave-it"))}
                    </button>
                </div>
            </div>
        })
    };
    view! {
        <div class="foot-undo" on:keydown=escape>
            {question}
            <button
                type="button"
                id=BUTTON
                class="edge"
                aria-label=label
                aria-disabled=none
                aria-expanded=move || asked.get().to_string()
                on:click=press
            >
                {icon(Icon::Undo)}
                <span>{app.say(&Message::new("app-undo"))}</span>
            </button>
        </div>
    }
    .into_any()
}
