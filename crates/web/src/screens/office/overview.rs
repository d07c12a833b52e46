//! The shop at a glance: systems by what they lose, what is due by date.

use super::{account, answered, bars, csv, due, table, words};
use crate::app::App;
use crate::route::Screen;
use job::shop::{Accounts, Overview, SystemLine};
use leptos::prelude::*;
use report::Message;

/// How many systems stand on the page unless more are asked for.
const SOME: usize = 50;

/// Returns the page; `more` is the number of systems that the address asks for.
pub fn view(app: App, more: &str) -> AnyView {
    let wanted = more.parse::<usize>().unwrap_or(SOME).clamp(SOME, 500);
    answered::<Overview>(app, format!("/overview?limit={wanted}"), move |found| page(app, &found, wanted))
}

fn page(app: App, found: &Overview, wanted: usize) -> AnyView {
    let invented =
        found.invented.then(|| view! { <p class="soft">{app.say(&Message::new("office-invented"))}</p> });
    view! {
        <h1 id="heading" tabindex="-1" class="unseen">{app.say(&Message::new("office-page-systems"))}</h1>
        {now(app, found)}
        {invented}
        <div class="office-two">
            <div>
                <section class="part">{systems(app, found)} {rest(app, found, wanted)}</section>
                {shared(app, found)}
                <section class="part">
                    <h2>{app.say(&Message::new("office-account-by-refrigerant"))}</h2>
                    {answered::<Accounts>(app, "/accounts", move |found| account::refrigerants(app, &found))}
                </section>
            </div>
            <section class="part">
                <h2>{app.say(&Message::new("office-due-by-date"))}</h2>
                {due::list(app, &found.due, found.on)}
                <p><a href=Screen::Office("due".to_owned()).hash()>
                    {app.say(&Message::new("office-due-all").with("count", count(found.due_in_all)))}
                </a></p>
            </section>
        </div>
    }
    .into_any()
}

/// What was seen at one system and may stand at the others of its site.
fn shared(app: App, found: &Overview) -> Option<AnyView> {
    let row = |one: &job::shop::Shared| {
        let message = Message::new("office-shared-at")
            .with("seen", job::entry::labels::word(&one.seen))
            .with("at", one.at.join(", "));
        let look = (!one.look_at.is_empty())
            .then(|| app.say(&Message::new("office-shared-look").with("at", one.look_at.join(", "))));
        view! { <li><p>{app.say(&message)}" "{look}</p></li> }.into_any()
    };
    let rows: Vec<AnyView> = found.shared.iter().take(SOME).map(row).collect();
    (!rows.is_empty()).then(|| {
        let heading = app.say(&Message::new("office-shared"));
        view! { <section class="part"><h2>{heading}</h2><ul class="rows">{rows}</ul></section> }.into_any()
    })
}

pub(super) fn count(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}

/// The one sentence of the shop, on its tray.
fn now(app: App, found: &Overview) -> AnyView {
    let worst =
        found.systems.first().filter(|line| line.loss.as_ref().is_some_and(job::shop::Loss::is_certain));
    let sentence = match worst {
        _ if found.systems_in_all == 0 => Message::new("office-now-empty"),
        Some(line) => {
            let system = line.name.clone().unwrap_or_default();
            let loss = words::loss(app, line.loss.as_ref());
            match line.loss.as_ref().and_then(|loss| loss.percent) {
                Some(percent) => Message::new("office-now-loses-share")
                    .with("system", system)
                    .with("loss", loss)
                    .with("percent", words::percent(app, percent)),
                None => Message::new("office-now-loses").with("system", system).with("loss", loss),
            }
        }
        None => Message::new("office-now-none"),
    };
    let overdue = app.say(&Message::new("office-now-overdue").with("count", count(found.overdue)));
    let sum = (found.lost_kg > 0.0).then(|| {
        let flow = units::MassFlow::from_kilogram_per_year(found.lost_kg);
        let half = units::MassFlow::from_kilogram_per_year(found.lost_half_kg);
        let sum = app.writer().write_with_half_width(flow, half.kilogram_per_second());
        app.say(&Message::new("office-now-sum").with("sum", sum).with("count", count(found.losing)))
    });
    view! {
        <section class="now" aria-label=app.say(&Message::new("office-now"))>
            <h2 class="now-sentence">{app.say(&sentence)}</h2>
            <p class="now-why">{overdue} " " {sum}</p>
        </section>
    }
    .into_any()
}

fn systems(app: App, found: &Overview) -> AnyView {
    if found.systems.is_empty() {
        return view! { <p>{app.say(&Message::new("office-no-systems"))}</p> }.into_any();
    }
    let end = bars::axis(found.systems.iter().filter_map(|line| line.loss.as_ref()));
    let rows: Vec<AnyView> = found.systems.iter().map(|line| row(app, line, end)).collect();
    let scale = end.map(|end| app.say(&Message::new("office-axis").with("end", words::percent(app, end))));
    let heads = vec![
        (app.say(&Message::new("office-column-standing")), false),
        (app.say(&Message::new("office-column-system")), false),
        (app.say(&Message::new("office-column-loss")), true),
        (scale.unwrap_or_default(), false),
        (app.say(&Message::new("office-column-next")), false),
    ];
    table(app.say(&Message::new("office-systems-by-loss")), heads, rows)
}

fn row(app: App, line: &SystemLine, end: Option<f64>) -> AnyView {
    let name = line.name.clone().unwrap_or_else(|| app.say(&Message::new("office-unnamed")));
    let name = match &line.holds {
        Some(holds) => format!("{name}, {holds}"),
        None => name,
    };
    let href = line.id.map(|id| Screen::Office(format!("system/{id}")).hash());
    let below: Vec<String> =
        [line.site.clone(), line.refrigerant.clone(), line.charge.clone()].into_iter().flatten().collect();
    let tray =
        if line.loss.as_ref().is_some_and(job::shop::Loss::is_certain) { "tray" } else { "tray broken" };
    let loss = match &line.loss {
        Some(loss) => {
            let words = words::loss(app, Some(loss));
            view! { <a class=tray href=href.clone()>{words}</a> }.into_any()
        }
        None => view! { <span class="soft">{words::loss(app, None)}</span> }.into_any(),
    };
    let bar = line.loss.as_ref().zip(end).and_then(|(loss, end)| bars::bar(loss, end));
    let next = line.next.as_ref().map(|next| {
        view! { <span>{words::due(app, next)}</span> <br/> <b>{words::by_when(app, next)}</b> }
    });
    view! {
        <tr>
            <td class="office-mark">{words::standing(app, line.standing)}</td>
            <th scope="row"><a href=href>{name}</a> <span class="office-below soft">{below.join(", ")}</span></th>
            <td class="right keep">{loss}</td>
            <td class="office-bar">{bar}</td>
            <td>{next}</td>
        </tr>
    }
    .into_any()
}

fn rest(app: App, found: &Overview, wanted: usize) -> AnyView {
    let left = found.systems_in_all.saturating_sub(found.systems.len() as u64);
    let more = (left > 0 && wanted < 500).then(|| {
        let href = Screen::Office("systems/500".to_owned()).hash();
        view! { <p><a href=href>{app.say(&Message::new("office-more-systems").with("count", count(left)))}</a></p> }
    });
    view! { {more} {csv(app, "/systems.csv", "systems.csv")} }.into_any()
}
