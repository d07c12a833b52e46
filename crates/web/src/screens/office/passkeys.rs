//! A person's own passkeys: which there are, another one, one less.

use super::server::{self, Fault};
use super::{answered, failed, table, titled, words};
use crate::app::App;
use crate::browser;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use serde_json::{Value, json};
use uuid::Uuid;

/// What the server wants the browser asked, and the word to come back with.
#[derive(Deserialize)]
pub struct Begun {
    ceremony: String,
    options: Value,
}

impl Begun {
    /// Asks the browser, and so the person; returns what goes back to the server.
    pub async fn ask(&self, call: &'static str) -> Result<Value, Fault> {
        let given = browser::credential(call, &self.options["publicKey"].to_string()).await;
        let given = given.map_err(|name| match name.as_str() {
            "InvalidStateError" => Fault::PasskeyThere,
            _ => Fault::NoPasskey,
        })?;
        let credential: Value = serde_json::from_str(&given).map_err(|_| Fault::NoPasskey)?;
        Ok(json!({ "ceremony": self.ceremony, "credential": credential }))
    }
}

#[derive(Clone, Debug, Deserialize)]
struct Passkey {
    id: Uuid,
    name: String,
    created: i64,
    #[serde(default)]
    used: Option<i64>,
}

#[derive(Clone, Debug, Deserialize)]
struct Passkeys {
    rows: Vec<Passkey>,
}

/// Returns the page; `taken` is whether the server takes passkeys at its address.
pub fn view(app: App, taken: bool) -> AnyView {
    let why = view! { <p>{app.say(&Message::new("office-passkeys-why"))}</p> };
    if !taken {
        let body = view! { {why} <p>{app.say(&Message::new("office-passkeys-no-domain"))}</p> };
        return titled(app, Message::new("office-page-passkeys"), body);
    }
    let again = RwSignal::new(0_u32);
    let list = move || {
        again.track();
        answered::<Passkeys>(app, "/me/passkeys", move |found| list(app, &found.rows, again))
    };
    let body = view! {
        {why}
        {list}
        <section class="part"><h2>{app.say(&Message::new("office-passkey-add"))}</h2>{add(app, again)}</section>
    };
    titled(app, Message::new("office-page-passkeys"), body)
}

fn list(app: App, passkeys: &[Passkey], again: RwSignal<u32>) -> AnyView {
    if passkeys.is_empty() {
        return view! { <p>{app.say(&Message::new("office-no-passkeys"))}</p> }.into_any();
    }
    let row = |passkey: &Passkey| {
        let id = passkey.id;
        let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
        let used = passkey.used.map_or_else(|| app.say(&Message::new("office-not-seen")), words::moment);
        let label = app.say(&Message::new("office-passkey-remove-of").with("name", passkey.name.as_str()));
        let remove = move |_| {
            wasm_bindgen_futures::spawn_local(async move {
                match server::change(app, "DELETE", &format!("/me/passkeys/{id}"), None).await {
                    Ok(_) => {
                        let _ = again.try_update(|number| *number += 1);
                    }
                    Err(why) => {
                        let _ = fault.try_set(Some(why));
                    }
                }
            });
        };
        view! {
            <tr>
                <th scope="row">{passkey.name.clone()}</th>
                <td class="keep">{words::moment(passkey.created)}</td>
                <td class="keep">{used}</td>
                <td>
                    {move || fault.get().map(|fault| failed(app, &fault))}
                    <button type="button" class="office-act" aria-label=label on:click=remove>
                        {app.say(&Message::new("office-passkey-remove"))}
                    </button>
                </td>
            </tr>
        }
        .into_any()
    };
    let columns = vec![
        (app.say(&Message::new("office-name")), false),
        (app.say(&Message::new("office-column-added")), false),
        (app.say(&Message::new("office-column-used")), false),
        (app.say(&Message::new("office-passkey-remove")), false),
    ];
    table(app.say(&Message::new("office-page-passkeys")), columns, passkeys.iter().map(row).collect())
}

fn add(app: App, again: RwSignal<u32>) -> AnyView {
    if !browser::has_passkeys() {
        return view! { <p>{app.say(&Message::new("office-passkey-not-here"))}</p> }.into_any();
    }
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let name = RwSignal::new(String::new());
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let new = json!({ "name": name.get_untracked().trim() });
        wasm_bindgen_futures::spawn_local(async move {
            let added = async {
                let begun: Begun = server::change_for(app, "POST", "/me/passkeys/begin", &new).await?;
                let made = begun.ask("create").await?;
                server::change(app, "POST", "/me/passkeys", Some(&made)).await
            };
            match added.await {
                Ok(_) => {
                    let _ = fault.try_set(None);
                    let _ = name.try_set(String::new());
                    let _ = again.try_update(|number| *number += 1);
                }
                Err(why) => {
                    let _ = fault.try_set(Some(why));
                }
            }
        });
    };
    view! {
        {move || fault.get().map(|fault| failed(app, &fault))}
        <form class="office-form" on:submit=submit>
            <label for="passkey-name">{app.say(&Message::new("office-passkey-name"))}</label>
            <input id="passkey-name" type="text" autocomplete="off" maxlength="100" required
                prop:value=move || name.get() on:input:target=move |event| name.set(event.target().value()) />
            <button type="submit" class="button">{app.say(&Message::new("office-passkey-add"))}</button>
        </form>
    }
    .into_any()
}
