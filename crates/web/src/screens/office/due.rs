//! What is due, by date.

use super::server::Rows;
use super::{answered, csv, taken, titled, words};
use crate::app::App;
use crate::route::Screen;
use job::shop::DueLine;
use leptos::prelude::*;
use report::Message;
use units::Date;

/// Returns the page.
pub fn view(app: App) -> AnyView {
    let body = view! {
        {answered::<Rows<DueLine>>(app, "/due?limit=500", move |found| {
            let more = found.next.map(|_| view! { <p>{app.say(&Message::new("office-due-more"))}</p> });
            view! { {list(app, &found.rows, None)} {more} }.into_any()
        })}
        {csv(app, "/due.csv", "due.csv")}
        {taken(app, "/due.ics", "due.ics", Message::new("office-calendar"))}
    };
    titled(app, Message::new("office-page-due"), body)
}

/// Returns a list of what is due. `on` is today; what is due today is said so.
pub fn list(app: App, lines: &[DueLine], on: Option<Date>) -> AnyView {
    if lines.is_empty() {
        return view! { <p>{app.say(&Message::new("office-due-none"))}</p> }.into_any();
    }
    let rows: Vec<AnyView> = lines.iter().map(|line| row(app, line, on)).collect();
    view! { <ul class="rows office-due">{rows}</ul> }.into_any()
}

fn row(app: App, line: &DueLine, on: Option<Date>) -> AnyView {
    let when = match line.what.day {
        Some(day) if Some(day) == on => app.say(&Message::new("office-today")),
        Some(day) if line.overdue => {
            app.say(&Message::new("office-overdue-since").with("day", day.to_string()))
        }
        _ => words::by_when(app, &line.what),
    };
    let name = line.name.clone().unwrap_or_else(|| app.say(&Message::new("office-unnamed")));
    let href = line.id.map(|id| Screen::Office(format!("system/{id}")).hash());
    let beside: Vec<String> = [line.what.place.clone().unwrap_or_default(), words::because(app, &line.what)]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    view! {
        <li class="verdict">
            <span>{words::due_mark(app, &line.what, line.overdue)}</span>
            <div>
                <b>{when}</b>
                <p><a href=href>{name}</a> ": " {words::due(app, &line.what)}</p>
                <p class="soft">{beside.join(" · ")}</p>
            </div>
        </li>
    }
    .into_any()
}
