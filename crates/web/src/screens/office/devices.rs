//! The shop's phones: paired by a code, revoked at once.

use super::people::{People, Person};
use super::server::{self, Fault};
use super::{answered, csv, failed, table, titled, words};
use crate::app::App;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use serde_json::json;
use uuid::Uuid;

#[derive(Clone, Debug, Deserialize)]
struct Device {
    id: Uuid,
    person: Uuid,
    name: String,
    created: i64,
    #[serde(default)]
    seen: Option<i64>,
    #[serde(default)]
    revoked: Option<i64>,
}

#[derive(Clone, Debug, Deserialize)]
struct Devices {
    rows: Vec<Device>,
}

#[derive(Clone, Debug, Deserialize)]
struct Invitation {
    code: String,
    link: String,
    qr: String,
    expires: i64,
}

/// Returns the page.
pub fn view(app: App) -> AnyView {
    let again = RwSignal::new(0_u32);
    let body = view! {
        {answered::<People>(app, "/people", move |people| {
            let invite = invite(app, &people.rows);
            let list = move || {
                again.track();
                let people = people.rows.clone();
                answered::<Devices>(app, "/devices", move |found| list(app, &found.rows, &people, again))
            };
            view! {
                {list}
                <section class="part"><h2>{app.say(&Message::new("office-pair"))}</h2>{invite}</section>
            }
            .into_any()
        })}
        <p class="part">{app.say(&Message::new("office-lost-phone"))}</p>
        {csv(app, "/devices.csv", "devices.csv")}
    };
    titled(app, Message::new("office-page-devices"), body)
}

fn list(app: App, devices: &[Device], people: &[Person], again: RwSignal<u32>) -> AnyView {
    if devices.is_empty() {
        return view! { <p>{app.say(&Message::new("office-no-devices"))}</p> }.into_any();
    }
    let rows = devices.iter().map(|device| row(app, device, people, again)).collect();
    let columns = vec![
        (app.say(&Message::new("office-column-phone")), false),
        (app.say(&Message::new("office-column-whose")), false),
        (app.say(&Message::new("office-column-seen")), false),
        (app.say(&Message::new("office-column-may")), false),
    ];
    table(app.say(&Message::new("office-page-devices")), columns, rows)
}

fn row(app: App, device: &Device, people: &[Person], again: RwSignal<u32>) -> AnyView {
    let whose = people.iter().find(|person| person.id == device.person).map(|person| person.name.clone());
    let seen = device.seen.map_or_else(|| app.say(&Message::new("office-not-seen")), words::moment);
    let since = app.say(&Message::new("office-paired-on").with("time", words::moment(device.created)));
    let state = match device.revoked {
        Some(at) => {
            let words = app.say(&Message::new("office-revoked").with("time", words::moment(at)));
            view! { <span>{words}</span> }.into_any()
        }
        None => revoke(app, device, again),
    };
    view! {
        <tr>
            <th scope="row">{device.name.clone()} <span class="office-below soft">{since}</span></th>
            <td>{whose}</td>
            <td class="keep">{seen}</td>
            <td>{state}</td>
        </tr>
    }
    .into_any()
}

/// Asks once more, since a phone that is let in no more must be paired anew.
fn revoke(app: App, device: &Device, again: RwSignal<u32>) -> AnyView {
    let id = device.id;
    let asked = RwSignal::new(false);
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let label = app.say(&Message::new("office-revoke-of").with("phone", device.name.as_str()));
    let act = move |_| {
        wasm_bindgen_futures::spawn_local(async move {
            match server::change(app, "DELETE", &format!("/devices/{id}"), None).await {
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
        {move || fault.get().map(|fault| failed(app, &fault))}
        <button type="button" class="office-act" aria-label=label aria-expanded=move || asked.get().to_string()
            on:click=move |_| asked.update(|asked| *asked = !*asked)>
            {app.say(&Message::new("office-revoke"))}
        </button>
        {move || asked.get().then(|| view! {
            <div class="line">
                <p>{app.say(&Message::new("office-revoke-does"))}</p>
                <div class="buttons">
                    <button type="button" class="button small" on:click=act>{app.say(&Message::new("office-revoke-do"))}</button>
                    <button type="button" class="button small" on:click=move |_| asked.set(false)>{app.say(&Message::new("office-keep"))}</button>
                </div>
            </div>
        })}
    }
    .into_any()
}

fn invite(app: App, people: &[Person]) -> AnyView {
    let active: Vec<&Person> = people.iter().filter(|person| person.active).collect();
    let first = active.first().map(|person| person.id.to_string()).unwrap_or_default();
    let options: Vec<AnyView> = active
        .iter()
        .map(|person| view! { <option value=person.id.to_string()>{person.name.clone()}</option> }.into_any())
        .collect();
    let person = RwSignal::new(first);
    let made: RwSignal<Option<Result<Invitation, Fault>>> = RwSignal::new(None);
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let body = json!({ "person": person.get_untracked() });
        wasm_bindgen_futures::spawn_local(async move {
            let got = server::change_for::<Invitation>(app, "POST", "/pairings", &body).await;
            let _ = made.try_set(Some(got));
        });
    };
    let shown = move || {
        made.get().map(|made| match made {
            Err(fault) => failed(app, &fault),
            Ok(invitation) => code(app, &invitation),
        })
    };
    view! {
        <p>{app.say(&Message::new("office-pair-how"))}</p>
        <form class="office-form" on:submit=submit>
            <label for="pair-person">{app.say(&Message::new("office-column-whose"))}</label>
            <select id="pair-person" on:change:target=move |event| person.set(event.target().value())>{options}</select>
            <button type="submit" class="button">{app.say(&Message::new("office-pair-make"))}</button>
        </form>
        <div role="status">{shown}</div>
    }
    .into_any()
}

fn code(app: App, invitation: &Invitation) -> AnyView {
    let until = app.say(&Message::new("office-pair-until").with("time", words::moment(invitation.expires)));
    // A picture by its address runs nothing, whatever stands in it.
    let source = format!("data:image/svg+xml,{}", String::from(js_sys::encode_uri_component(&invitation.qr)));
    let alt = app.say(&Message::new("office-pair-picture"));
    view! {
        <div class="office-code">
            <img src=source alt=alt width="220" height="220" />
            <div>
                <p class="large keep">{invitation.code.clone()}</p>
                <p>{invitation.link.clone()}</p>
                <p class="soft">{until}</p>
            </div>
        </div>
    }
    .into_any()
}
