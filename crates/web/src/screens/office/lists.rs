//! The shop's customers and prices: what is here, and files that take their place.

use super::server::{self, Fault, Me};
use super::{answered, csv, failed, table, titled};
use crate::app::App;
use crate::browser::fault_text;
use job::customers::Customer;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;

/// How many customers are shown; the table that can be taken along has all.
const SHOWN: usize = 200;

#[derive(Clone, Debug, Deserialize)]
struct Lists {
    customers: Vec<Customer>,
    columns: BTreeMap<String, String>,
    #[serde(default)]
    prices: Option<String>,
}

/// Returns the page.
pub fn view(app: App, me: &Me) -> AnyView {
    let again = RwSignal::new(0_u32);
    // Only a signed-in owner changes what things cost.
    let owner = me.role == "owner";
    let body = move || {
        again.track();
        answered::<Lists>(app, "/lists", move |found| page(app, &found, owner, again))
    };
    titled(app, Message::new("office-page-lists"), body)
}

fn page(app: App, found: &Lists, owner: bool, again: RwSignal<u32>) -> AnyView {
    let count = found.customers.len();
    let told: Vec<String> = found.columns.iter().map(|(head, field)| format!("{head} = {field}")).collect();
    let columns = RwSignal::new(told.join("\n"));
    let cell = |one: &Customer, field: &str| one.field(field).unwrap_or_default().to_owned();
    let row = |one: &Customer| {
        let reached =
            [cell(one, "customer.contact"), cell(one, "customer.phone"), cell(one, "customer.mail")];
        let reached = reached.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ");
        view! {
            <tr>
                <th scope="row">{one.name()}</th>
                <td>{cell(one, "site.address")}</td>
                <td>{cell(one, "site.jurisdiction")}</td>
                <td>{reached}</td>
            </tr>
        }
        .into_any()
    };
    let heads = vec![
        (app.say(&Message::new("office-customer")), false),
        (app.say(&Message::new("office-address")), false),
        (app.say(&Message::new("office-jurisdiction")), false),
        (app.say(&Message::new("office-reached")), false),
    ];
    let name = app.say(&Message::new("office-customers"));
    let rows: Vec<AnyView> = found.customers.iter().take(SHOWN).map(row).collect();
    let more = (count > SHOWN).then(|| {
        view! { <p>{app.say(&Message::new("office-customers-shown").with("shown", SHOWN).with("count", count))}</p> }
    });
    let list = (count > 0).then(|| table(name.clone(), heads, rows));
    let none = (count == 0).then(|| view! { <p>{app.say(&Message::new("office-customers-none"))}</p> });
    let customers =
        take(app, "customers-file", ".csv,text/csv,text/plain", again, "/customers", move |text| {
            let told: serde_json::Map<String, Value> = columns.with_untracked(|lines| {
                let pair = |line: &str| {
                    let (head, field) = line.rsplit_once('=')?;
                    Some((head.trim().to_owned(), Value::from(field.trim())))
                };
                lines.lines().filter_map(pair).collect()
            });
            json!({ "table": text, "columns": told })
        });
    let prices = record_of(app, found);
    let prices = owner.then(|| {
        let take = take(
            app,
            "prices-file",
            ".toml,application/toml,text/plain",
            again,
            "/prices",
            |text| json!({ "text": text }),
        );
        view! {
            <section class="part">
                <h2>{app.say(&Message::new("app-prices"))}</h2>
                <p>{prices}</p>
                {take}
            </section>
        }
    });
    view! {
        {prices}
        <section class="part">
            <h2>{name}</h2>
            {none}
            {list}
            {more}
            <p>{app.say(&Message::new("office-customers-how"))}</p>
            <div class="office-form">
                <label for="customers-columns">{app.say(&Message::new("office-customers-columns"))}</label>
                <textarea id="customers-columns" rows="5" prop:value=move || columns.get()
                    on:input:target=move |event| columns.set(event.target().value())></textarea>
                {customers}
            </div>
            {(count > 0).then(|| csv(app, "/customers.csv", "customers.csv"))}
        </section>
    }
    .into_any()
}

/// Whose prices are here, and for how much.
fn record_of(app: App, found: &Lists) -> String {
    let read = found.prices.as_ref().and_then(|text| record::read_prices(text.as_bytes()).ok());
    let message = match read {
        Some(prices) => {
            let count = prices.hours.len() + prices.fixed.len() + prices.gas.len() + prices.items.len();
            Message::new("office-prices-of").with("shop", prices.shop.name.as_str()).with("count", count)
        }
        None => Message::new("office-prices-none"),
    };
    app.say(&message)
}

/// A file that takes a list's place; what is wrong with it is said line by line.
fn take(
    app: App,
    id: &'static str,
    kinds: &'static str,
    again: RwSignal<u32>,
    path: &'static str,
    body: impl Fn(String) -> Value + Copy + Send + Sync + 'static,
) -> AnyView {
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let choose = move |event: web_sys::Event| {
        let input = event.target().and_then(|target| target.dyn_into::<web_sys::HtmlInputElement>().ok());
        let Some(input) = input else { return };
        let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
        wasm_bindgen_futures::spawn_local(async move {
            let text = match JsFuture::from(file.text()).await {
                Ok(text) => text.as_string().unwrap_or_default(),
                Err(why) => {
                    let _ = fault.try_set(Some(Fault::Said(fault_text(&why))));
                    return;
                }
            };
            // The same file, mended, can be chosen again.
            input.set_value("");
            match server::change(app, "PUT", path, Some(&body(text))).await {
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
        <div class="office-lines">{move || fault.get().map(|fault| failed(app, &fault))}</div>
        <label for=id>{app.say(&Message::new("office-list-take"))}</label>
        <input id=id type="file" accept=kinds on:change=choose />
    }
    .into_any()
}
