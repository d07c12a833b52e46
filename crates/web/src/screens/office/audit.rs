//! Who read and changed what.

use super::people::{People, Person};
use super::server::Rows;
use super::{answered, csv, table, titled, words};
use crate::app::App;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use uuid::Uuid;

#[derive(Clone, Debug, Deserialize)]
struct Line {
    at: i64,
    #[serde(default)]
    person: Option<Uuid>,
    #[serde(default)]
    device: Option<Uuid>,
    what: String,
    #[serde(default)]
    on: Option<String>,
    #[serde(default)]
    detail: Option<String>,
}

/// Returns the page.
pub fn view(app: App) -> AnyView {
    let body = view! {
        <p>{app.say(&Message::new("office-audit-how"))}</p>
        {answered::<People>(app, "/people", move |people| {
            let people = people.rows;
            answered::<Rows<Line>>(app, "/audit?limit=200", move |found| list(app, &found.rows, &people))
        })}
        {csv(app, "/audit.csv", "audit.csv")}
    };
    titled(app, Message::new("office-page-audit"), body)
}

fn list(app: App, lines: &[Line], people: &[Person]) -> AnyView {
    let row = |line: &Line| {
        let who = line.person.map(|id| {
            people
                .iter()
                .find(|person| person.id == id)
                .map_or_else(|| id.to_string(), |person| person.name.clone())
        });
        let who = who.unwrap_or_else(|| app.say(&Message::new("office-nobody")));
        let phone = line.device.map(|_| app.say(&Message::new("office-by-phone")));
        let of: Vec<String> = [line.on.clone(), line.detail.clone()].into_iter().flatten().collect();
        view! {
            <tr>
                <td class="keep">{words::moment(line.at)}</td>
                <th scope="row">{who} <span class="office-below soft">{phone}</span></th>
                <td>{line.what.clone()}</td>
                <td>{of.join(", ")}</td>
            </tr>
        }
        .into_any()
    };
    let columns = vec![
        (app.say(&Message::new("office-column-when")), false),
        (app.say(&Message::new("office-column-who")), false),
        (app.say(&Message::new("office-column-act")), false),
        (app.say(&Message::new("office-column-of")), false),
    ];
    table(app.say(&Message::new("office-page-audit")), columns, lines.iter().map(row).collect())
}
