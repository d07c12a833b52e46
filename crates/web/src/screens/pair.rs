//! This phone joined to a shop, by the code that the shop shows.

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{foot_button, frame};
use crate::parts::icon::Icon;
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;

/// Returns the screen; with the code of the link that opened it.
pub fn view(app: App, code: Option<String>) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let typed = RwSignal::new(code.unwrap_or_default());
    let name = RwSignal::new(app.settings().name.unwrap_or_default());
    let trying = RwSignal::new(false);
    let join = move || {
        let (code, phone) = (typed.get_untracked().trim().to_owned(), name.get_untracked().trim().to_owned());
        if code.is_empty() || trying.get_untracked() {
            return;
        }
        trying.set(true);
        fault.set(None);
        wasm_bindgen_futures::spawn_local(async move {
            let phone = if phone.is_empty() { app.device() } else { phone };
            match app.pair(&code, &phone).await {
                Ok(_) => app.go_instead(Screen::Waiting),
                Err(why) => {
                    fault.set(Some(app.say(&refused(why))));
                }
            }
            trying.set(false);
        });
    };
    let joined = move || {
        app.session().map(|session| {
            let words = app.say(
                &Message::new("app-paired").with("shop", session.shop).with("person", session.person),
            );
            view! {
                <section class="part">
                    <p>{words}</p>
                    <button class="button small" on:click=move |_| wasm_bindgen_futures::spawn_local(app.leave_shop())>
                        {app.say(&Message::new("app-leave-shop"))}
                    </button>
                </section>
            }
        })
    };
    let body = view! {
        {fault_line(fault)}
        {joined}
        <section class="part">
            <p>{app.say(&Message::new("app-pair-how"))}</p>
            <label class="label" for="pair-code">{app.say(&Message::new("app-pair-code"))}</label>
            <div class="field">
                <input id="pair-code" type="text" autocomplete="one-time-code" autocapitalize="characters" spellcheck="false"
                    prop:value=move || typed.get() on:input:target=move |event| typed.set(event.target().value()) />
            </div>
            <label class="label" for="pair-name">{app.say(&Message::new("app-pair-name"))}</label>
            <div class="field">
                <input id="pair-name" type="text" autocomplete="off"
                    prop:value=move || name.get() on:input:target=move |event| name.set(event.target().value()) />
            </div>
        </section>
    };
    let main = foot_button(Icon::On, app.say(&Message::new("app-pair-join")), true, join);
    frame(app, app.say(&Message::new("app-pair")), "", body, vec![main])
}

/// Why this phone was not joined, in a sentence.
fn refused(why: crate::NetFault) -> Message {
    use crate::NetFault;
    match why {
        NetFault::Away(words) => Message::new("app-pair-away").with("words", words),
        NetFault::NotLetIn => Message::new("app-pair-code-refused"),
        NetFault::Busy(_) => Message::new("app-pair-busy"),
        NetFault::Other(words) => Message::new("app-pair-failed").with("words", words),
        NetFault::Refused(_) => Message::new("app-pair-code-refused"),
    }
}
