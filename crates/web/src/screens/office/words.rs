//! What the owner's pages say: masses with their doubt, losses, what is due.

use crate::app::App;
use crate::parts::mark::mark;
use job::shop::{Closes, Due, Kilograms, Loss, LossKind, Standing, When};
use leptos::prelude::*;
use report::{Message, VerdictMark};
use units::{Date, Mass, MassFlow};

/// Returns a mass with its doubt (k = 2).
pub fn mass(app: App, mass: Kilograms) -> String {
    app.writer().write_with_half_width(Mass::from_kilogram(mass.kg), 2.0 * mass.u_kg).to_string()
}

/// Returns a day, or nothing where there is none.
pub fn day(day: Option<Date>) -> String {
    day.map(|day| day.to_string()).unwrap_or_default()
}

/// Returns a time of the server's clock as a day and an hour of this place.
pub fn moment(at_ms: i64) -> String {
    let date = js_sys::Date::new(&wasm_bindgen::JsValue::from_f64(at_ms as f64));
    let two = |number: u32| format!("{number:02}");
    format!(
        "{}-{}-{} {}:{}",
        date.get_full_year(),
        two(date.get_month() + 1),
        two(date.get_date()),
        two(date.get_hours()),
        two(date.get_minutes())
    )
}

/// Returns what a system loses in a year, in words.
pub fn loss(app: App, loss: Option<&Loss>) -> String {
    let writer = app.writer();
    let flow = |kg: f64| MassFlow::from_kilogram_per_year(kg);
    match loss {
        None => app.say(&Message::new("office-loss-none")),
        Some(loss) => match (loss.kind, loss.kg, loss.high_kg) {
            (LossKind::Known, Some(kg), Some(high)) => {
                writer.write_with_half_width(flow(kg), flow(high - kg).kilogram_per_second()).to_string()
            }
            (LossKind::AtLeast, Some(kg), _) => {
                app.say(&Message::new("office-loss-least").with("least", writer.write(flow(kg))))
            }
            _ => app.say(&Message::new("office-loss-unknown")),
        },
    }
}

/// Returns a share of the charge in whole percent.
pub fn percent(app: App, percent: f64) -> String {
    format!("{}\u{a0}%", app.writer().number(percent, 0))
}

/// Returns what is due, in a sentence.
pub fn due(app: App, due: &Due) -> String {
    app.say(&due.sentence())
}

/// Returns by when something is due.
pub fn by_when(app: App, due: &Due) -> String {
    match (due.when, due.day) {
        (When::By, Some(day)) => day.to_string(),
        (When::AtOnce, _) => app.say(&Message::new("office-when-at-once")),
        (When::WithoutDelay, _) => app.say(&Message::new("office-when-without-delay")),
        (When::BeforeAdding, _) => app.say(&Message::new("office-when-before-adding")),
        (When::By | When::Open, _) => app.say(&Message::new("office-when-open")),
    }
}

/// Returns where the law says so and how that is known; of anything else since when it stands open.
pub fn because(app: App, due: &Due) -> String {
    let message = match (&due.law, due.since) {
        (Some(law), _) => {
            let section = format!("{}, {}", law.instrument, law.section);
            if law.confirmed {
                return section;
            } else {
                Message::new("office-law-unread").with("section", section)
            }
        }
        (None, Some(since)) => Message::new("office-open-since").with("day", since.to_string()),
        (None, None) => return String::new(),
    };
    app.say(&message)
}

/// Returns the mark of how a system stands, with its word for readers.
pub fn standing(app: App, standing: Standing) -> AnyView {
    let (shape, word) = match standing {
        Standing::Late => (VerdictMark::Breached, Message::new("office-standing-late")),
        Standing::Due => (VerdictMark::Due, Message::new("office-standing-due")),
        Standing::Open => (VerdictMark::Unknown, Message::new("office-standing-open")),
        Standing::Nothing => (VerdictMark::Nothing, Message::new("office-standing-nothing")),
    };
    let shape = mark(shape);
    view! { {shape} <span class="unseen">{app.say(&word)}</span> }.into_any()
}

/// Returns the mark of what is due, with its word for readers.
pub fn due_mark(app: App, due: &Due, overdue: bool) -> AnyView {
    let confirmed = due.law.as_ref().is_none_or(|law| law.confirmed);
    let (shape, word) = match (overdue, confirmed) {
        (true, true) => (VerdictMark::Breached, Message::new("office-overdue")),
        (_, true) => (VerdictMark::Due, Message::new("office-standing-due")),
        (_, false) => (VerdictMark::Unknown, Message::new("office-standing-open")),
    };
    let shape = mark(shape);
    view! { {shape} <span class="unseen">{app.say(&word)}</span> }.into_any()
}

/// Returns whether an account closes: the mark and the word.
pub fn closes(app: App, closes: Closes) -> AnyView {
    let (shape, word) = match closes {
        Closes::Yes => (VerdictMark::Met, Message::new("office-closes")),
        Closes::No => (VerdictMark::Breached, Message::new("office-closes-not")),
        Closes::NotResolved => (VerdictMark::NotResolved, Message::new("office-closes-open")),
    };
    let shape = mark(shape);
    view! { <span class="office-verdict"><b>{app.say(&word)}</b> {shape}</span> }.into_any()
}
