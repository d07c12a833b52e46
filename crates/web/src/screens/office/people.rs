//! The people of the shop: who may do what.

use super::server::{self, Fault};
use super::{answered, csv, failed, table, titled};
use crate::app::App;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use serde_json::json;
use uuid::Uuid;

/// A person as the server lists it.
#[derive(Clone, Debug, Deserialize)]
pub struct Person {
    /// The id.
    pub id: Uuid,
    /// The name.
    pub name: String,
    /// What the person may do.
    pub role: String,
    /// Whether the person belongs to the shop.
    pub active: bool,
    /// Whether the person can sign in with a password.
    pub has_password: bool,
}

/// All people.
#[derive(Clone, Debug, Deserialize)]
pub struct People {
    /// By name.
    pub rows: Vec<Person>,
}

const ROLES: [&str; 4] = ["owner", "office", "technician", "apprentice"];

fn role(app: App, role: &str) -> String {
    match role {
        "owner" => app.say(&Message::new("office-role-owner")),
        "apprentice" => app.say(&Message::new("office-role-apprentice")),
        "office" => app.say(&Message::new("office-role-office")),
        _ => app.say(&Message::new("office-role-technician")),
    }
}

/// Returns the page.
pub fn view(app: App) -> AnyView {
    let again = RwSignal::new(0_u32);
    let list = move || {
        again.track();
        answered::<People>(app, "/people", move |found| page(app, &found, again))
    };
    let body = view! {
        {list}
        <section class="part"><h2>{app.say(&Message::new("office-person-add"))}</h2>{add(app, again)}</section>
        {csv(app, "/people.csv", "people.csv")}
    };
    titled(app, Message::new("office-page-people"), body)
}

fn page(app: App, found: &People, again: RwSignal<u32>) -> AnyView {
    let rows = found.rows.iter().map(|person| row(app, person, again)).collect();
    let columns = vec![
        (app.say(&Message::new("office-name")), false),
        (app.say(&Message::new("office-role")), false),
        (app.say(&Message::new("office-password-new")), false),
        (app.say(&Message::new("office-belongs")), false),
    ];
    table(app.say(&Message::new("office-page-people")), columns, rows)
}

fn send(app: App, id: Uuid, change: serde_json::Value, fault: RwSignal<Option<Fault>>, again: RwSignal<u32>) {
    wasm_bindgen_futures::spawn_local(async move {
        match server::change(app, "PATCH", &format!("/people/{id}"), Some(&change)).await {
            Ok(_) => {
                let _ = again.try_update(|number| *number += 1);
            }
            Err(why) => {
                let _ = fault.try_set(Some(why));
            }
        }
    });
}

fn options(app: App, chosen: &str) -> Vec<AnyView> {
    ROLES
        .into_iter()
        .map(|word| {
            view! { <option value=word selected=word == chosen>{role(app, word)}</option> }.into_any()
        })
        .collect()
}

fn row(app: App, person: &Person, again: RwSignal<u32>) -> AnyView {
    let id = person.id;
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let (password, asked) = (RwSignal::new(String::new()), RwSignal::new(false));
    let set = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        send(app, id, json!({ "password": password.get_untracked() }), fault, again);
    };
    let state =
        if person.active { Message::new("office-person-out") } else { Message::new("office-person-back") };
    let active = person.active;
    let named = |message: Message| app.say(&message);
    let name = person.name.as_str();
    let role_of = named(Message::new("office-role-of").with("name", name));
    let password_of = named(Message::new("office-password-of").with("name", name));
    let can = person.has_password.then(|| app.say(&Message::new("office-can-sign-in")));
    view! {
        <tr>
            <th scope="row">
                {person.name.clone()} <span class="office-below soft">{can}</span>
                {move || fault.get().map(|fault| failed(app, &fault))}
            </th>
            <td>
                <select aria-label=role_of
                    on:change:target=move |event| send(app, id, json!({ "role": event.target().value() }), fault, again)>
                    {options(app, &person.role)}
                </select>
            </td>
            <td>
                <form class="office-inline" on:submit=set>
                    <input type="password" autocomplete="new-password" minlength="10" maxlength="200" required aria-label=password_of
                        on:input:target=move |event| password.set(event.target().value()) />
                    <button type="submit" class="office-act">{app.say(&Message::new("office-set"))}</button>
                </form>
            </td>
            <td>
                <button type="button" class="office-act" aria-expanded=move || asked.get().to_string()
                    on:click=move |_| if active { asked.update(|asked| *asked = !*asked) } else { send(app, id, json!({ "active": true }), fault, again) }>
                    {app.say(&state)}
                </button>
                {move || asked.get().then(|| view! {
                    <div class="line">
                        <p>{app.say(&Message::new("office-person-out-does"))}</p>
                        <div class="buttons">
                            <button type="button" class="button small"
                                on:click=move |_| send(app, id, json!({ "active": false }), fault, again)>
                                {app.say(&Message::new("office-person-out"))}
                            </button>
                            <button type="button" class="button small" on:click=move |_| asked.set(false)>
                                {app.say(&Message::new("office-person-keep"))}
                            </button>
                        </div>
                    </div>
                })}
            </td>
        </tr>
    }
    .into_any()
}

fn add(app: App, again: RwSignal<u32>) -> AnyView {
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let (name, password) = (RwSignal::new(String::new()), RwSignal::new(String::new()));
    let role_word = RwSignal::new("technician".to_owned());
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let mut new = json!({ "name": name.get_untracked().trim(), "role": role_word.get_untracked() });
        let secret = password.get_untracked();
        if !secret.is_empty() {
            new["password"] = secret.into();
        }
        wasm_bindgen_futures::spawn_local(async move {
            match server::change(app, "POST", "/people", Some(&new)).await {
                Ok(_) => {
                    let _ = fault.try_set(None);
                    let _ = name.try_set(String::new());
                    let _ = password.try_set(String::new());
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
            <label for="new-name">{app.say(&Message::new("office-name"))}</label>
            <input id="new-name" type="text" autocomplete="off" maxlength="100" required
                prop:value=move || name.get() on:input:target=move |event| name.set(event.target().value()) />
            <label for="new-role">{app.say(&Message::new("office-role"))}</label>
            <select id="new-role" on:change:target=move |event| role_word.set(event.target().value())>
                {options(app, "technician")}
            </select>
            <label for="new-password">{app.say(&Message::new("office-password-optional"))}</label>
            <input id="new-password" type="password" autocomplete="new-password" minlength="10" maxlength="200"
                prop:value=move || password.get() on:input:target=move |event| password.set(event.target().value()) />
            <button type="submit" class="button">{app.say(&Message::new("office-person-add"))}</button>
        </form>
    }
    .into_any()
}
