//! Signing in.

use super::server::{self, Fault, Me};
use super::{failed, titled};
use crate::app::App;
use leptos::prelude::*;
use report::Message;

/// Returns the page; `then` is told who signed in.
pub fn view(app: App, before: Option<Fault>, then: impl Fn(Me) + Clone + Send + 'static) -> AnyView {
    let (name, password) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    let fault = RwSignal::new(before);
    let trying = RwSignal::new(false);
    let passkeys = RwSignal::new(false);
    wasm_bindgen_futures::spawn_local(async move {
        let _ = passkeys.try_set(server::takes_passkeys(app).await);
    });
    let sign_in = move |by_passkey: bool| {
        if trying.get_untracked() {
            return;
        }
        trying.set(true);
        let then = then.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let signed = if by_passkey {
                server::sign_in_by_passkey(app).await
            } else {
                server::sign_in(app, &name.get_untracked(), &password.get_untracked()).await
            };
            match signed {
                Ok(me) => then(me),
                Err(why) => {
                    let _ = fault.try_set(Some(why));
                    let _ = trying.try_set(false);
                }
            }
        });
    };
    let by_passkey = sign_in.clone();
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        sign_in(false);
    };
    let form = view! {
        <p>{app.say(&Message::new("office-sign-in-why"))}</p>
        {move || fault.get().map(|fault| failed(app, &fault))}
        <form class="office-form" on:submit=submit>
            <label for="office-name">{app.say(&Message::new("office-name"))}</label>
            <input id="office-name" type="text" autocomplete="username" autocapitalize="none" spellcheck="false" required
                prop:value=move || name.get() on:input:target=move |event| name.set(event.target().value()) />
            <label for="office-password">{app.say(&Message::new("office-password"))}</label>
            <input id="office-password" type="password" autocomplete="current-password" required
                prop:value=move || password.get() on:input:target=move |event| password.set(event.target().value()) />
            <button type="submit" class="button go">{app.say(&Message::new("office-sign-in"))}</button>
        </form>
        {move || {
            let by_passkey = by_passkey.clone();
            passkeys.get().then(|| view! {
                <div class="office-csv">
                    <button type="button" class="button small" on:click=move |_| by_passkey(true)>
                        {app.say(&Message::new("office-sign-in-passkey"))}
                    </button>
                </div>
            })
        }}
    };
    titled(app, Message::new("office-sign-in"), form)
}
