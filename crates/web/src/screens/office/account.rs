//! The refrigerant account: by refrigerant, by cylinder, by year, and whether each closes.

use super::{answered, csv, table, titled, words};
use crate::app::App;
use crate::route::Screen;
use job::shop::{AccountLine, Accounts, Gap};
use leptos::prelude::*;
use report::Message;

/// Returns the page; `year` is the year that the address names.
pub fn view(app: App, year: &str) -> AnyView {
    let year = year.parse::<i32>().ok().filter(|year| (1..=9999).contains(year));
    let query = year.map(|year| format!("?year={year}")).unwrap_or_default();
    let table_path = format!("/accounts.csv{query}");
    let body = view! {
        <p>{app.say(&Message::new("office-account-how"))}</p>
        {answered::<Accounts>(app, format!("/accounts{query}"), move |found| page(app, &found))}
        {csv(app, table_path, "accounts.csv")}
    };
    titled(app, Message::new("office-page-account"), body)
}

fn page(app: App, found: &Accounts) -> AnyView {
    let link = |year: Option<i32>, word: String| {
        let href = match year {
            Some(year) => Screen::Office(format!("account/{year}")).hash(),
            None => Screen::Office("account".to_owned()).hash(),
        };
        let current = (found.year == year).then_some("true");
        view! { <a href=href aria-current=current>{word}</a> }.into_any()
    };
    let mut years = vec![link(None, app.say(&Message::new("office-all-years")))];
    years.extend(found.years.iter().map(|year| link(Some(*year), year.to_string())));
    view! {
        <nav class="office-years" aria-label=app.say(&Message::new("office-years"))>{years}</nav>
        <section class="part"><h2>{app.say(&Message::new("office-account-by-refrigerant"))}</h2>{refrigerants(app, found)}</section>
        <section class="part"><h2>{app.say(&Message::new("office-account-by-cylinder"))}</h2>{cylinders(app, found)}</section>
        <section class="part"><h2>{app.say(&Message::new("office-account-by-year"))}</h2>{by_year(app, found)}</section>
        {gaps(app, &found.gaps)}
    }
    .into_any()
}

fn nothing(app: App) -> AnyView {
    view! { <p>{app.say(&Message::new("office-account-nothing"))}</p> }.into_any()
}

fn gas(app: App, line: &AccountLine) -> String {
    line.of.refrigerant.clone().unwrap_or_else(|| app.say(&Message::new("office-no-refrigerant")))
}

/// Returns the heads of the columns that every account has.
fn heads(app: App) -> Vec<(String, bool)> {
    vec![
        (app.say(&Message::new("office-column-charged")), true),
        (app.say(&Message::new("office-column-recovered")), true),
        (app.say(&Message::new("office-column-net")), true),
        (app.say(&Message::new("office-column-gap")), true),
        (app.say(&Message::new("office-column-closes")), true),
    ]
}

fn cells(app: App, line: &AccountLine) -> AnyView {
    let owed = (line.owed > 0).then(|| {
        app.say(&Message::new("office-weights-owed").with("count", super::overview::count(line.owed)))
    });
    let gap = if line.compared == 0 {
        app.say(&Message::new("office-not-weighed-again"))
    } else {
        words::mass(app, line.gap)
    };
    view! {
        <td class="right keep">{words::mass(app, line.charged)}</td>
        <td class="right keep">{words::mass(app, line.recovered)}</td>
        <td class="right keep">{words::mass(app, line.net)}</td>
        <td class="right">{gap}</td>
        <td class="right">{words::closes(app, line.closes)} <span class="office-below soft">{owed}</span></td>
    }
    .into_any()
}

/// Returns the account by refrigerant.
pub fn refrigerants(app: App, found: &Accounts) -> AnyView {
    if found.by_refrigerant.is_empty() {
        return nothing(app);
    }
    let rows = found
        .by_refrigerant
        .iter()
        .map(|line| view! { <tr><th scope="row">{gas(app, line)}</th>{cells(app, line)}</tr> }.into_any())
        .collect();
    let mut columns = vec![(app.say(&Message::new("office-column-refrigerant")), false)];
    columns.extend(heads(app));
    let caption = match found.year {
        Some(year) => app.say(&Message::new("office-account-of-year").with("year", year.to_string())),
        None => app.say(&Message::new("office-account-of-all")),
    };
    table(caption, columns, rows)
}

fn cylinders(app: App, found: &Accounts) -> AnyView {
    if found.by_cylinder.is_empty() {
        return nothing(app);
    }
    let row = |line: &AccountLine| {
        let name = line.of.cylinder.clone().unwrap_or_default();
        let kind = line.recovery.map(|recovery| {
            app.say(&if recovery { Message::new("office-recovery") } else { Message::new("office-supply") })
        });
        let below: Vec<String> = [Some(gas(app, line)), kind].into_iter().flatten().collect();
        let gross = line.last_gross.map(|gross| words::mass(app, gross)).unwrap_or_default();
        let holds = line.holds.map(|holds| words::mass(app, holds)).unwrap_or_default();
        view! {
            <tr>
                <th scope="row">{name} <span class="office-below soft">{below.join(", ")}</span></th>
                {cells(app, line)}
                <td class="right keep">{gross} <span class="office-below soft">{words::day(line.last_day)}</span></td>
                <td class="right keep">{holds}</td>
                <td class="keep">{words::day(line.retest)}</td>
            </tr>
        }
        .into_any()
    };
    let rows = found.by_cylinder.iter().map(row).collect();
    let mut columns = vec![(app.say(&Message::new("office-column-cylinder")), false)];
    columns.extend(heads(app));
    columns.push((app.say(&Message::new("office-column-gross")), true));
    columns.push((app.say(&Message::new("office-column-holds")), true));
    columns.push((app.say(&Message::new("office-column-retest")), false));
    table(app.say(&Message::new("office-account-by-cylinder")), columns, rows)
}

fn by_year(app: App, found: &Accounts) -> AnyView {
    if found.by_year.is_empty() {
        return nothing(app);
    }
    let row = |line: &AccountLine| {
        let year = match line.of.year {
            Some(year) => year.to_string(),
            None => app.say(&Message::new("office-no-day")),
        };
        view! { <tr><th scope="row">{year}</th><td>{gas(app, line)}</td>{cells(app, line)}</tr> }.into_any()
    };
    let rows = found.by_year.iter().map(row).collect();
    let mut columns = vec![
        (app.say(&Message::new("office-column-year")), false),
        (app.say(&Message::new("office-column-refrigerant")), false),
    ];
    columns.extend(heads(app));
    table(app.say(&Message::new("office-account-by-year")), columns, rows)
}

fn gaps(app: App, gaps: &[Gap]) -> Option<AnyView> {
    if gaps.is_empty() {
        return None;
    }
    let link = |job: Option<uuid::Uuid>, day: Option<units::Date>| {
        let href = job.map(|job| Screen::Office(format!("job/{job}")).hash());
        view! { <a href=href>{words::day(day)}</a> }
    };
    let rows = gaps
        .iter()
        .map(|gap| {
            view! {
                <tr>
                    <th scope="row">{gap.cylinder.clone()}</th>
                    <td>{link(gap.from_job, gap.from)}</td>
                    <td>{link(gap.to_job, gap.to)}</td>
                    <td class="right keep">{words::mass(app, gap.mass)}</td>
                </tr>
            }
            .into_any()
        })
        .collect();
    let columns = vec![
        (app.say(&Message::new("office-column-cylinder")), false),
        (app.say(&Message::new("office-column-from")), false),
        (app.say(&Message::new("office-column-to")), false),
        (app.say(&Message::new("office-column-gap")), true),
    ];
    Some(
        view! {
            <section class="part">
                <h2>{app.say(&Message::new("office-gaps"))}</h2>
                <p>{app.say(&Message::new("office-gaps-how"))}</p>
                {table(app.say(&Message::new("office-gaps")), columns, rows)}
            </section>
        }
        .into_any(),
    )
}
