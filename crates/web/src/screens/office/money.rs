//! A job's money: quote and invoice as they would be now, numbered documents, quote against invoice; the owner sees what
//! each line leaves. The server works all of it out.

use super::server::{self, Fault, Me};
use super::{answered, csv, failed, table};
use crate::app::App;
use job::bill::shelf::{Shelf, ShownBill, ShownPaper};
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use serde_json::json;
use uuid::Uuid;

#[derive(Clone, Debug, Deserialize)]
struct Money {
    #[serde(flatten)]
    shelf: Shelf,
    next_quote: String,
    next_invoice: String,
}

/// Returns the job's money as parts of its page.
pub fn view(app: App, me: &Me, job: Uuid) -> AnyView {
    let again = RwSignal::new(0_u32);
    // Documents open by the cookie of a sign-in; a paired phone has the drafts of its own.
    let links = !me.by_phone;
    let list = move || {
        again.track();
        answered::<Money>(app, format!("/jobs/{job}/money?lang={}", app.wording().language()), move |found| {
            page(app, job, &found, links, again)
        })
    };
    view! { {list} }.into_any()
}

/// Writes an amount with the decimal mark of the language.
fn amount(app: App, text: &str) -> String {
    let text = text.strip_prefix('-').map_or_else(|| text.to_owned(), |rest| format!("\u{2212}{rest}"));
    if app.writer().decimal_comma { text.replace('.', ",") } else { text }
}

fn page(app: App, job: Uuid, found: &Money, links: bool, again: RwSignal<u32>) -> AnyView {
    let shelf = &found.shelf;
    let quotes: Vec<AnyView> = shelf.quote.iter().map(|one| bill(app, one, quote_name(app, one))).collect();
    let why = |why: &Option<String>| why.clone().map(|why| view! { <p>{why}</p> });
    let invoice =
        shelf.invoice.as_ref().map(|one| bill(app, one, app.say(&Message::new("office-invoice-now"))));
    let page_of = move |what: &str, message: Message| {
        let href = format!("/api/v1/jobs/{job}/{what}");
        links.then(|| view! { <p><a href=href>{app.say(&message)}</a></p> })
    };
    let has_margin = shelf.invoice.as_ref().is_some_and(|one| one.owner.is_some());
    let options: Vec<String> = shelf.quote.iter().filter_map(|one| one.option.clone()).collect();
    let quote_form =
        (!shelf.quote.is_empty()).then(|| number(app, job, "quote", &found.next_quote, None, options, again));
    let invoice_form = shelf
        .invoice
        .is_some()
        .then(|| number(app, job, "invoice", &found.next_invoice, shelf.standing.clone(), Vec::new(), again));
    view! {
        <section class="part">
            <h2>{app.say(&Message::new("bill-invoice"))}</h2>
            {why(&shelf.no_invoice)}
            {invoice}
            {shelf.invoice.is_some().then(|| page_of("invoice", Message::new("office-paper-page")))}
            {has_margin.then(|| page_of("margin", Message::new("bill-owner")))}
            {invoice_form}
        </section>
        {against(app, shelf)}
        <section class="part">
            <h2>{app.say(&Message::new("bill-quote"))}</h2>
            {why(&shelf.no_quote)}
            {quotes}
            {(!shelf.quote.is_empty()).then(|| page_of("quote", Message::new("office-paper-page")))}
            {quote_form}
        </section>
        {papers(app, job, &shelf.papers, links)}
    }
    .into_any()
}

fn quote_name(app: App, one: &ShownBill) -> String {
    match (&one.option, one.chosen) {
        (Some(name), true) => app.say(&Message::new("bill-option-chosen").with("option", name.as_str())),
        (Some(name), false) => name.clone(),
        (None, _) => app.say(&Message::new("bill-would-cost")),
    }
}

/// A bill as a table; with the columns of the owner where they came.
fn bill(app: App, one: &ShownBill, name: String) -> AnyView {
    let costs = one.owner.is_some();
    let cells = |what: String, rest: [String; 4], owner: [String; 2], sum: bool| {
        let [quantity, unit, price, amount] = rest;
        let [cost, margin] = owner;
        let class = if sum { "total" } else { "" };
        let owner =
            costs.then(|| view! { <td class="right keep">{cost}</td> <td class="right keep">{margin}</td> });
        view! {
            <tr class=class>
                <th scope="row">{what}</th>
                <td class="right keep">{quantity}</td>
                <td>{unit}</td>
                <td class="right keep">{price}</td>
                <td class="right keep">{amount}</td>
                {owner}
            </tr>
        }
        .into_any()
    };
    let none = String::new;
    let written = |text: &Option<String>| text.as_deref().map(|text| amount(app, text)).unwrap_or_default();
    let mut rows: Vec<AnyView> = one
        .lines
        .iter()
        .map(|line| {
            let rest = [
                amount(app, &line.quantity),
                line.unit.clone(),
                amount(app, &line.price),
                amount(app, &line.amount),
            ];
            cells(line.what.clone(), rest, [written(&line.cost), written(&line.margin)], false)
        })
        .collect();
    let sum = |what: String, text: &str, margin: String| {
        cells(what, [none(), none(), none(), amount(app, text)], [none(), margin], true)
    };
    let margin = one.owner.as_ref().map(|owner| amount(app, &owner.margin)).unwrap_or_default();
    rows.push(sum(app.say(&Message::new("bill-net")), &one.net, margin));
    rows.extend(one.tax.iter().map(|tax| sum(tax.name.clone(), &tax.amount, none())));
    let total = app.say(&Message::new("bill-total").with("currency", one.currency.as_str()));
    rows.push(sum(total, &one.total, none()));
    let mut heads = vec![
        (app.say(&Message::new("bill-what")), false),
        (app.say(&Message::new("bill-quantity")), true),
        (app.say(&Message::new("bill-unit")), false),
        (app.say(&Message::new("bill-price")), true),
        (app.say(&Message::new("bill-amount")), true),
    ];
    if costs {
        heads.push((app.say(&Message::new("bill-cost")), true));
        heads.push((app.say(&Message::new("bill-margin")), true));
    }
    let unknown = one.owner.as_ref().map_or(0, |owner| owner.without_cost);
    let unknown = (unknown > 0).then(|| {
        view! { <p>{app.say(&Message::new("bill-cost-unknown").with("count", unknown))}</p> }
    });
    let notes: Vec<AnyView> =
        one.notes.iter().map(|note| view! { <li>{note.clone()}</li> }.into_any()).collect();
    let notes = (!notes.is_empty()).then(|| view! { <ul class="listed">{notes}</ul> });
    view! { {table(name, heads, rows)} {unknown} {notes} }.into_any()
}

fn against(app: App, shelf: &Shelf) -> Option<AnyView> {
    let number = shelf.against_number.clone()?;
    let name = app.say(&Message::new("bill-against").with("number", number.as_str()));
    let written = |text: &Option<String>| text.as_deref().map(|text| amount(app, text)).unwrap_or_default();
    let rows: Vec<AnyView> = shelf
        .against
        .iter()
        .map(|row| {
            view! {
                <tr>
                    <th scope="row">{row.what.clone()}</th>
                    <td class="right keep">{written(&row.quoted)}</td>
                    <td class="right keep">{written(&row.actual)}</td>
                </tr>
            }
            .into_any()
        })
        .collect();
    let heads = vec![
        (app.say(&Message::new("bill-what")), false),
        (app.say(&Message::new("bill-quoted")), true),
        (app.say(&Message::new("bill-actual")), true),
    ];
    Some(
        view! { <section class="part"><h2>{name.clone()}</h2>{table(name, heads, rows)}</section> }
            .into_any(),
    )
}

fn papers(app: App, job: Uuid, all: &[ShownPaper], links: bool) -> AnyView {
    let name = app.say(&Message::new("office-papers"));
    let row = |one: &ShownPaper| {
        let what =
            if one.paper == "quote" { Message::new("bill-quote") } else { Message::new("bill-invoice") };
        let how = match (&one.corrected_by, &one.corrects) {
            _ if !one.adds_up => Some(Message::new("office-paper-broken")),
            (Some(by), _) => Some(Message::new("office-paper-corrected").with("number", by.as_str())),
            (None, Some(of)) => Some(Message::new("bill-corrects").with("number", of.as_str())),
            (None, None) => None,
        };
        let number = String::from(js_sys::encode_uri_component(&one.number));
        let href = links.then(|| format!("/api/v1/jobs/{job}/invoice?number={number}"));
        view! {
            <tr>
                <th scope="row"><a href=href>{one.number.clone()}</a></th>
                <td>{app.say(&what)} " " <span class="soft">{one.option.clone()}</span></td>
                <td class="right keep">{amount(app, &one.total)} " " {one.currency.clone()}</td>
                <td>{how.map(|how| app.say(&how))}</td>
            </tr>
        }
        .into_any()
    };
    let heads = vec![
        (app.say(&Message::new("office-paper-number")), false),
        (app.say(&Message::new("office-column-what")), false),
        (app.say(&Message::new("bill-amount")), true),
        (app.say(&Message::new("office-paper-state")), false),
    ];
    let list = if all.is_empty() {
        view! { <p>{app.say(&Message::new("office-papers-none"))}</p> }.into_any()
    } else {
        table(name.clone(), heads, all.iter().map(row).collect())
    };
    view! { <section class="part"><h2>{name}</h2>{list}{csv(app, "/papers.csv", "papers.csv")}</section> }
        .into_any()
}

/// Gives a document its number: what stands in it then never changes.
fn number(
    app: App,
    job: Uuid,
    paper: &'static str,
    next: &str,
    standing: Option<String>,
    options: Vec<String>,
    again: RwSignal<u32>,
) -> AnyView {
    let fault: RwSignal<Option<Fault>> = RwSignal::new(None);
    let (number, option) = (RwSignal::new(next.to_owned()), RwSignal::new(options.first().cloned()));
    let corrects = standing.clone();
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let mut new = json!({ "paper": paper, "number": number.get_untracked().trim() });
        if let Some(corrects) = &corrects {
            new["corrects"] = corrects.as_str().into();
        }
        if let Some(option) = option.get_untracked() {
            new["option"] = option.into();
        }
        wasm_bindgen_futures::spawn_local(async move {
            match server::change(app, "POST", &format!("/jobs/{job}/papers"), Some(&new)).await {
                Ok(_) => {
                    let _ = again.try_update(|number| *number += 1);
                }
                Err(why) => {
                    let _ = fault.try_set(Some(why));
                }
            }
        });
    };
    let (id, option_id) = (format!("{paper}-number"), format!("{paper}-option"));
    let choose = (!options.is_empty()).then(|| {
        let all: Vec<AnyView> =
            options.iter().map(|name| view! { <option value=name.clone()>{name.clone()}</option> }.into_any()).collect();
        view! {
            <label for=option_id.clone()>{app.say(&Message::new("office-paper-option"))}</label>
            <select id=option_id on:change:target=move |event| option.set(Some(event.target().value()))>{all}</select>
        }
    });
    let corrects = standing.map(
        |number| view! { <p>{app.say(&Message::new("bill-corrects").with("number", number.as_str()))}</p> },
    );
    view! {
        {move || fault.get().map(|fault| failed(app, &fault))}
        <form class="office-form" on:submit=submit>
            {choose}
            {corrects}
            <label for=id.clone()>{app.say(&Message::new("office-paper-give"))}</label>
            <input id=id type="text" autocomplete="off" maxlength="100" required
                prop:value=move || number.get() on:input:target=move |event| number.set(event.target().value()) />
            <button type="submit" class="button">{app.say(&Message::new("office-paper-freeze"))}</button>
        </form>
    }
    .into_any()
}
