//! Which systems drift, since when and why, by their controllers' logs: the list that was handed in last.

use super::{answered, titled, words};
use crate::app::App;
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;
use serde::Deserialize;
use trend::{Cause, Change, Feature, Finding};
use units::Date;
use uuid::Uuid;

/// Days after which a list is said to be old.
const OLD_DAYS: i64 = 7;

#[derive(Clone, Debug, Deserialize)]
struct Head {
    at: i64,
    false_alarms_per_system_year: f64,
    systems: i64,
    alarms: i64,
    too_early: i64,
}

#[derive(Clone, Debug, Deserialize)]
struct Line {
    #[serde(default)]
    id: Option<Uuid>,
    rank: u64,
    system: String,
    state: String,
    last: String,
    has_refrigerant: bool,
    #[serde(default = "fits")]
    pressures_fit: bool,
    #[serde(default)]
    days: Option<i64>,
    #[serde(default)]
    days_needed: Option<i64>,
    #[serde(default)]
    evidence: Option<f64>,
    #[serde(default)]
    since: Option<String>,
    #[serde(default)]
    causes: Vec<Share>,
    #[serde(default)]
    changes: Vec<Moved>,
}

#[derive(Clone, Debug, Deserialize)]
struct Share {
    cause: String,
    share: f64,
}

#[derive(Clone, Debug, Deserialize)]
struct Moved {
    feature: String,
    size: f64,
    u: f64,
}

#[derive(Clone, Debug, Deserialize)]
struct Found {
    #[serde(default)]
    head: Option<Head>,
    rows: Vec<Line>,
    #[serde(default)]
    next: Option<u64>,
}

const fn fits() -> bool {
    true
}

impl Line {
    /// What was found, as far as its words are known here.
    fn finding(&self) -> Option<Finding> {
        let causes = self.causes.iter().filter_map(|one| Some((Cause::of_word(&one.cause)?, one.share)));
        let changes = self.changes.iter().filter_map(|one| {
            Some(Change { feature: Feature::of_word(&one.feature)?, size: one.size, doubt: one.u })
        });
        let since: Date = self.since.as_ref()?.parse().ok()?;
        Some(Finding {
            evidence: self.evidence?,
            causes: causes.collect(),
            since: i64::from(since.day_number()),
            changes: changes.collect(),
        })
    }
}

/// Returns the page.
pub fn view(app: App) -> AnyView {
    let body = answered::<Found>(app, "/watch?limit=500", move |found| match &found.head {
        None => view! { <p>{app.say(&Message::new("office-watch-none"))}</p> }.into_any(),
        Some(head) => list(app, head, &found),
    });
    titled(app, Message::new("office-watch-title"), body)
}

fn list(app: App, head: &Head, found: &Found) -> AnyView {
    let sum = Message::new("office-watch-sum")
        .with("moment", words::moment(head.at))
        .with("systems", head.systems)
        .with("alarms", head.alarms)
        .with("early", head.too_early);
    let rate = 100.0 * head.false_alarms_per_system_year;
    let rate = app.writer().number(rate, if rate < 1.0 { 3 } else { 0 });
    let rate = Message::new("office-watch-rate").with("rate", rate);
    let days = (js_sys::Date::now() as i64 - head.at) / 86_400_000;
    let old = (days > OLD_DAYS).then(|| {
        let message = Message::new("office-watch-old").with("days", days);
        view! { <p><b>{app.say(&message)}</b></p> }
    });
    let (alarms, others): (Vec<&Line>, Vec<&Line>) =
        found.rows.iter().partition(|line| line.state == "alarm");
    let drifting: Vec<AnyView> = alarms.into_iter().map(|line| drift(app, line)).collect();
    let drifting = if drifting.is_empty() {
        view! { <p>{app.say(&Message::new("office-watch-quiet"))}</p> }.into_any()
    } else {
        view! { <ol class="rows office-due">{drifting}</ol> }.into_any()
    };
    let others: Vec<AnyView> = others.into_iter().map(|line| other(app, line)).collect();
    let others = (!others.is_empty()).then(|| {
        let heading = app.say(&Message::new("office-watch-others"));
        view! { <section class="part"><h2>{heading}</h2><ul class="rows">{others}</ul></section> }
    });
    let more = found.next.map(|_| view! { <p>{app.say(&Message::new("office-watch-more"))}</p> });
    view! {
        <p>{app.say(&sum)}</p>
        {old}
        <section class="part">{drifting}</section>
        {others}
        {more}
        <p class="soft">{app.say(&rate)} " " {app.say(&Message::new("watch-honest"))}</p>
    }
    .into_any()
}

fn name(line: &Line) -> AnyView {
    match line.id {
        Some(id) => {
            let href = Screen::Office(format!("system/{id}")).hash();
            view! { <a href=href>{line.system.clone()}</a> }.into_any()
        }
        None => view! { <span>{line.system.clone()}</span> }.into_any(),
    }
}

fn drift(app: App, line: &Line) -> AnyView {
    let Some(finding) = line.finding() else { return other(app, line) };
    let headline = app.say(&trend::headline(&finding, line.since.as_deref().unwrap_or_default()));
    let reasons: Vec<String> =
        trend::because(&finding, &app.writer()).iter().map(|one| app.say(one)).collect();
    let odd =
        (!line.pressures_fit).then(|| view! { <p><b>{app.say(&Message::new("office-watch-odd"))}</b></p> });
    let last = app.say(&Message::new("office-watch-last").with("day", line.last.as_str()));
    view! {
        <li>
            <p><b>{line.rank}". " {name(line)}</b> ": " {headline}</p>
            <p>{reasons.join(" ")}</p>
            {odd}
            <p class="soft">{last}</p>
        </li>
    }
    .into_any()
}

fn other(app: App, line: &Line) -> AnyView {
    let said = if !line.has_refrigerant {
        Message::new("office-watch-no-gas")
    } else if !line.pressures_fit {
        Message::new("office-watch-odd")
    } else if let Some((days, needed)) = line.days.zip(line.days_needed) {
        Message::new("office-watch-early").with("days", days).with("needed", needed)
    } else {
        Message::new("watch-quiet")
    };
    view! { <li><p>{name(line)} ": " {app.say(&said)}</p></li> }.into_any()
}
