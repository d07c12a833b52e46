//! The shop's lists over all jobs: found by words, systems, what is due, the refrigerant account.

use super::jobs::Job;
use super::{EXACT, Part, Rows};
use crate::auth::{Full, Member, Office};
use crate::body::{Id, Query};
use crate::csv::Csv;
use crate::ics::Calendar;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::shop::Shop;
use axum::extract::State;
use job::shop::{Accounts, DueLine, Overview, SystemLine, tables};
use report::Message;
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// What is looked for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Search {
    /// Words; each must begin some word of the job.
    #[param(max_length = 200, example = "flare liquid")]
    q: String,
    /// What `next` said in the part before; absent for the first.
    #[param(minimum = 0, maximum = 9_007_199_254_740_991_u64)]
    after: Option<u64>,
    /// The most rows wanted.
    #[param(minimum = 1, maximum = 500, default = 100)]
    limit: Option<u64>,
}

impl Search {
    fn read(self) -> Done<(String, Option<u64>, usize)> {
        if self.q.chars().count() > 200 {
            return Err(Problem::unreadable("q is longer than 200 characters"));
        }
        let (after, limit) = Part { after: self.after, limit: self.limit }.read()?;
        Ok((self.q.replace('\0', " "), after, limit))
    }
}

/// Finds jobs by words, the newest first.
#[utoipa::path(get, path = "/search", tag = "tables", params(Search),
    responses((status = 200, body = Rows<Job>), Problems))]
pub async fn search(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Query(search): Query<Search>,
) -> Done<axum::Json<Rows<Job>>> {
    let (words, after, limit) = search.read()?;
    shop.note(who.did("search", None)).await?;
    let rows = shop.ask(move |store| store.search(&words, after, limit)).await?;
    Ok(axum::Json(Rows::new(rows, limit, |row| row.first, Job::from)))
}

/// The jobs found by words as a table.
#[utoipa::path(get, path = "/search.csv", tag = "tables", params(Search),
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn search_table(
    State(shop): State<Arc<Shop>>,
    Full(who): Full,
    Query(search): Query<Search>,
) -> Done<Csv> {
    let (words, after, limit) = search.read()?;
    shop.note(who.did("search.csv", None)).await?;
    let rows = shop.ask(move |store| store.search(&words, after, limit)).await?;
    let jobs: Vec<_> = rows.into_iter().map(|row| Job::from(row).summary).collect();
    Ok(job::shop::tables::jobs(&jobs).into())
}

/// Returns a part of a list that is held whole; the mark says how many rows came before.
fn part_of<T: Clone>(all: &[T], part: Part) -> Done<Rows<T>> {
    let (after, limit) = part.read()?;
    let from = usize::try_from(after.unwrap_or(0)).unwrap_or(usize::MAX).min(all.len());
    let to = from.saturating_add(limit).min(all.len());
    let next = (to < all.len()).then_some(to as u64);
    Ok(Rows { rows: all[from..to].to_vec(), next })
}

/// Returns the shop at a glance: the systems that lose most, what is due first, and the sums of all. `limit` counts both.
#[utoipa::path(get, path = "/overview", tag = "tables", params(Glance),
    responses((status = 200, body = Overview), Problems))]
pub async fn glance(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(glance): Query<Glance>,
) -> Done<axum::Json<Overview>> {
    let (_, limit) = Part { after: None, limit: Some(glance.limit.unwrap_or(50)) }.read()?;
    shop.note(who.did("overview.read", None)).await?;
    let book = shop.book().await?;
    let whole = &book.overview;
    let some = Overview {
        systems: whole.systems.iter().take(limit).cloned().collect(),
        due: whole.due.iter().take(limit).cloned().collect(),
        shared: whole.shared.iter().take(limit).cloned().collect(),
        systems_in_all: whole.systems_in_all,
        due_in_all: whole.due_in_all,
        overdue: whole.overdue,
        losing: whole.losing,
        lost_kg: whole.lost_kg,
        lost_half_kg: whole.lost_half_kg,
        on: whole.on,
        invented: whole.invented,
    };
    Ok(axum::Json(some))
}

/// How much of the overview is wanted.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Glance {
    /// The most systems, and the most things due.
    #[param(minimum = 1, maximum = 500, default = 50)]
    limit: Option<u64>,
}

/// Lists systems, those that lose most first.
#[utoipa::path(get, path = "/systems", tag = "tables", params(Part),
    responses((status = 200, body = Rows<SystemLine>), Problems))]
pub async fn systems(
    State(shop): State<Arc<Shop>>,
    Member(_): Member,
    Query(part): Query<Part>,
) -> Done<axum::Json<Rows<SystemLine>>> {
    let book = shop.book().await?;
    Ok(axum::Json(part_of(&book.overview.systems, part)?))
}

/// Every system as a table.
#[utoipa::path(get, path = "/systems.csv", tag = "tables",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn systems_table(State(shop): State<Arc<Shop>>, Full(who): Full) -> Done<Csv> {
    shop.note(who.did("systems.csv", None)).await?;
    let book = shop.book().await?;
    Ok(tables::systems(&book.overview).into())
}

/// Returns the visits to one system, the oldest first; the last one's summary says how the system stands.
#[utoipa::path(get, path = "/systems/{id}", tag = "tables",
    params(("id" = uuid::Uuid, Path, description = "The system: its first job.")),
    responses((status = 200, body = Rows<Job>), Problems))]
pub async fn system(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Id(id): Id,
) -> Done<axum::Json<Rows<Job>>> {
    let rows = shop
        .ask(move |store| {
            let rows = store.system_jobs(id)?;
            // A job that came a moment ago is not worked out yet, and is a system of its own until then.
            if rows.is_empty() { Ok(store.job(id)?.into_iter().collect()) } else { Ok(rows) }
        })
        .await?;
    if rows.is_empty() {
        return Err(Problem::missing(Message::new("server-no-system")));
    }
    shop.note(who.did("system.read", Some(id.to_string()))).await?;
    let mut rows: Vec<Job> = rows.into_iter().map(Job::from).collect();
    rows.sort_by_key(|job| (job.summary.visit, job.first));
    Ok(axum::Json(Rows { rows, next: None }))
}

/// Returns the other systems of the same site, those that lose most first: when each was visited last, how it stands, what is
/// due first.
#[utoipa::path(get, path = "/systems/{id}/building", tag = "tables",
    params(("id" = uuid::Uuid, Path, description = "The system: its first job.")),
    responses((status = 200, body = Rows<SystemLine>), Problems))]
pub async fn building(
    State(shop): State<Arc<Shop>>,
    Member(_): Member,
    Id(id): Id,
) -> Done<axum::Json<Rows<SystemLine>>> {
    let book = shop.book().await?;
    Ok(axum::Json(Rows { rows: job::shop::building(&book.overview, id), next: None }))
}

/// Lists what is due: what is overdue first, then by its day, then what has none.
#[utoipa::path(get, path = "/due", tag = "tables", params(Part),
    responses((status = 200, body = Rows<DueLine>), Problems))]
pub async fn due(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(part): Query<Part>,
) -> Done<axum::Json<Rows<DueLine>>> {
    shop.note(who.did("due.read", None)).await?;
    let book = shop.book().await?;
    Ok(axum::Json(part_of(&book.overview.due, part)?))
}

/// Everything due as a table.
#[utoipa::path(get, path = "/due.csv", tag = "tables",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn due_table(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<Csv> {
    shop.note(who.did("due.csv", None)).await?;
    let book = shop.book().await?;
    Ok(tables::due(&book.overview.due).into())
}

/// Everything due that has a day as a calendar: booked visits, follow-ups, what the law asks, cylinders to be tested.
#[utoipa::path(get, path = "/due.ics", tag = "tables",
    responses((status = 200, content_type = "text/calendar", body = String), Problems))]
pub async fn due_calendar(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    headers: axum::http::HeaderMap,
) -> Done<Calendar> {
    shop.note(who.did("due.ics", None)).await?;
    let book = shop.book().await?;
    let wording = shop.wording(crate::body::header(&headers, "accept-language"));
    let say = |line: &DueLine| {
        let what = wording.say(&line.what.sentence());
        match &line.name {
            Some(name) => format!("{name}: {what}"),
            None => what,
        }
    };
    Ok(Calendar::of(&book.overview.due, crate::book::today(), &say))
}

/// The years asked for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Years {
    /// One year; all where it is absent.
    #[param(minimum = 1, maximum = 9999)]
    year: Option<i32>,
}

impl Years {
    fn read(&self) -> Done<Option<i32>> {
        match self.year.filter(|year| !(1..=9999).contains(year)) {
            Some(year) => Err(Problem::unreadable(format!("year is {year}; from 1 to 9999"))),
            None => Ok(self.year),
        }
    }
}

/// Returns the refrigerant account by refrigerant, by cylinder and by year, each with whether it closes.
#[utoipa::path(get, path = "/accounts", tag = "tables", params(Years),
    responses((status = 200, body = Accounts), Problems))]
pub async fn accounts(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(years): Query<Years>,
) -> Done<axum::Json<Accounts>> {
    let year = years.read()?;
    shop.note(who.did("accounts.read", None)).await?;
    let book = shop.book().await?;
    Ok(axum::Json(shop.call(move |_| book.accounts(year)).await?))
}

/// The refrigerant account as a table.
#[utoipa::path(get, path = "/accounts.csv", tag = "tables", params(Years),
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn accounts_table(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(years): Query<Years>,
) -> Done<Csv> {
    let year = years.read()?;
    shop.note(who.did("accounts.csv", None)).await?;
    let book = shop.book().await?;
    Ok(tables::accounts(&shop.call(move |_| book.accounts(year)).await?).into())
}

const _: () = assert!(EXACT == 9_007_199_254_740_991, "the descriptions above say so");
