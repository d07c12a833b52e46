//! One system: its visits, what it loses, what is due, what was weighed.

use super::server::{Job, Me, Rows};
use super::{answered, bars, due, jobs, table, words};
use crate::app::App;
use crate::route::Screen;
use job::shop::{DueLine, Formula, Loss, Moved, Rate, Summary, SystemLine, Trend};
use leptos::prelude::*;
use report::Message;
use uuid::Uuid;

/// Returns the page.
pub fn view(app: App, me: &Me, id: Uuid) -> AnyView {
    let by_phone = me.by_phone;
    answered::<Rows<Job>>(app, format!("/systems/{id}"), move |found| page(app, &found.rows, by_phone))
}

fn page(app: App, visits: &[Job], by_phone: bool) -> AnyView {
    let Some(last) = visits.last() else { return ().into_any() };
    let one = &last.summary;
    let name = one.name().map_or_else(|| app.say(&Message::new("office-unnamed")), str::to_owned);
    let below: Vec<String> =
        [one.site.clone(), one.holds.clone(), one.refrigerant.clone(), one.charge.clone()]
            .into_iter()
            .flatten()
            .collect();
    let lines: Vec<DueLine> = one
        .due
        .iter()
        .map(|what| DueLine {
            id: None,
            job: Some(last.job),
            name: what.place.clone().or_else(|| one.system.clone()),
            site: None,
            overdue: one.reckoned.is_some_and(|on| what.is_overdue(on)),
            what: what.clone(),
        })
        .collect();
    let beside = last.system.map(|id| building(app, id));
    let newest_first: Vec<Job> = visits.iter().rev().cloned().collect();
    view! {
        <h1 id="heading" tabindex="-1">{name}</h1>
        <p class="soft">{below.join(", ")}</p>
        <div class="office-two">
            <div>
                <section class="part"><h2>{app.say(&Message::new("office-column-loss"))}</h2>{loss(app, one)}</section>
                <section class="part"><h2>{app.say(&Message::new("office-visits"))}</h2>{jobs::rows(app, &newest_first, by_phone)}</section>
                <section class="part"><h2>{app.say(&Message::new("office-weighed"))}</h2>{weighed(app, visits)}</section>
                {beside}
            </div>
            <section class="part">
                <h2>{app.say(&Message::new("office-due-by-date"))}</h2>
                {due::list(app, &lines, one.reckoned)}
            </section>
        </div>
    }
    .into_any()
}

/// The other systems of the same building: when each was visited last, how it stands, what is due first.
pub(super) fn building(app: App, system: Uuid) -> AnyView {
    answered::<Rows<SystemLine>>(app, format!("/systems/{system}/building"), move |found| {
        if found.rows.is_empty() {
            return ().into_any();
        }
        let row = |line: &SystemLine| {
            let href = line.id.map(|id| Screen::Office(format!("system/{id}")).hash());
            let name = line.name.clone().unwrap_or_else(|| app.say(&Message::new("office-unnamed")));
            let below: Vec<String> =
                [line.holds.clone(), line.refrigerant.clone()].into_iter().flatten().collect();
            let next = line.next.as_ref().map(|next| {
                view! { <span>{words::due(app, next)}</span> <br/> <b>{words::by_when(app, next)}</b> }
            });
            view! {
                <tr>
                    <td class="office-mark">{words::standing(app, line.standing)}</td>
                    <th scope="row"><a href=href>{name}</a> <span class="office-below soft">{below.join(", ")}</span></th>
                    <td class="keep">{words::day(line.last_visit)}</td>
                    <td>{words::loss(app, line.loss.as_ref())}</td>
                    <td>{next}</td>
                </tr>
            }
            .into_any()
        };
        let heads = vec![
            (app.say(&Message::new("office-column-standing")), false),
            (app.say(&Message::new("office-column-system")), false),
            (app.say(&Message::new("office-last-visit")), false),
            (app.say(&Message::new("office-column-loss")), false),
            (app.say(&Message::new("office-column-next")), false),
        ];
        let name = app.say(&Message::new("office-building"));
        let rows = found.rows.iter().map(row).collect();
        view! { <section class="part"><h2>{name.clone()}</h2>{table(name, heads, rows)}</section> }.into_any()
    })
}

fn loss(app: App, one: &Summary) -> AnyView {
    let Some(found) = &one.loss else {
        return view! { <p>{app.say(&Message::new("office-loss-none"))}</p> }.into_any();
    };
    let tray = if found.is_certain() { "tray" } else { "tray broken" };
    let share = found.percent.map(|percent| {
        app.say(&Message::new("office-share-of-charge").with("percent", words::percent(app, percent)))
    });
    let span = found.from.zip(found.to).map(|(from, to)| {
        app.say(&Message::new("office-counted").with("from", from.to_string()).with("to", to.to_string()))
    });
    let unknown = (found.unknown_refills > 0).then(|| {
        let count = super::overview::count(found.unknown_refills);
        app.say(&Message::new("office-unknown-refills").with("count", count))
    });
    let bar = bars::axis([found]).and_then(|end| {
        let scale = app.say(&Message::new("office-axis").with("end", words::percent(app, end)));
        bars::bar(found, end)
            .map(|bar| view! { <p class="soft">{scale}</p> <div class="office-bar">{bar}</div> })
    });
    let rates: Vec<AnyView> = one.rates.iter().map(|rate| legal(app, rate)).collect();
    view! {
        <p><span class=tray>{words::loss(app, Some(found))}</span> " " {share}</p>
        {bar}
        <p>{trend(app, found)} " " {span} " " {unknown}</p>
        <ul class="listed">{rates}</ul>
    }
    .into_any()
}

fn trend(app: App, loss: &Loss) -> String {
    app.say(&match loss.trend {
        Trend::Faster => Message::new("office-trend-faster"),
        Trend::Slower => Message::new("office-trend-slower"),
        Trend::NotResolved => Message::new("office-trend-unknown"),
    })
}

fn legal(app: App, rate: &Rate) -> AnyView {
    let formula = app.say(&match rate.formula {
        Formula::Annualizing => Message::new("office-rate-annualizing"),
        Formula::Rolling => Message::new("office-rate-rolling"),
    });
    let percent = format!("{}\u{a0}%", app.writer().number(rate.percent, 1));
    let words = app.say(&Message::new("office-rate").with("formula", formula).with("percent", percent));
    view! { <li>{words}</li> }.into_any()
}

fn weighed(app: App, visits: &[Job]) -> AnyView {
    let all: Vec<&Moved> = visits.iter().flat_map(|job| &job.summary.moved).collect();
    if all.is_empty() {
        return view! { <p>{app.say(&Message::new("office-account-nothing"))}</p> }.into_any();
    }
    let row = |moved: &Moved| {
        let what = app.say(&if moved.recovered {
            Message::new("office-column-recovered")
        } else {
            Message::new("office-column-charged")
        });
        let mass = match moved.mass {
            Some(mass) => words::mass(app, mass),
            None => app.say(&Message::new("office-weights-owed").with("count", 1)),
        };
        view! {
            <tr>
                <td class="keep">{words::day(moved.day)}</td>
                <th scope="row">{moved.cylinder.clone()}</th>
                <td>{moved.refrigerant.clone()}</td>
                <td>{what}</td>
                <td class="right keep">{mass}</td>
            </tr>
        }
        .into_any()
    };
    let columns = vec![
        (app.say(&Message::new("office-column-day")), false),
        (app.say(&Message::new("office-column-cylinder")), false),
        (app.say(&Message::new("office-column-refrigerant")), false),
        (app.say(&Message::new("office-column-what")), false),
        (app.say(&Message::new("office-column-mass")), true),
    ];
    table(app.say(&Message::new("office-weighed")), columns, all.into_iter().map(row).collect())
}
