//! The shop's lists over all jobs: found by words, systems, what is due, the refrigerant account.

use super::jobs::{self, Job};
use super::{EXACT, Part, Rows};
use crate::auth::{Member, Office};
use crate::body::Query;
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::shop::Shop;
use crate::summary;
use axum::extract::State;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;
use store::Store;
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;

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
    Member(who): Member,
    Query(search): Query<Search>,
) -> Done<Csv> {
    let (words, after, limit) = search.read()?;
    shop.note(who.did("search.csv", None)).await?;
    let rows = shop.ask(move |store| store.search(&words, after, limit)).await?;
    let mut table = jobs::new_table();
    rows.into_iter().for_each(|row| jobs::add(&mut table, &row.into()));
    Ok(table)
}

/// A system: a chain of visits.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct System {
    /// Its first job.
    system: Uuid,
    /// The sequence of its first event; it orders the list.
    first: u64,
    /// How many visits it has.
    visits: u64,
    /// Its newest visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    newest: Option<Job>,
}

fn systems_of(store: &dyn Store, after: Option<u64>, limit: usize) -> store::Result<Vec<System>> {
    let rows = store.systems(after, limit)?;
    rows.into_iter()
        .map(|row| {
            let newest = store.system_jobs(row.system)?.pop().map(Job::from);
            Ok(System { system: row.system, first: row.first, visits: row.jobs, newest })
        })
        .collect()
}

/// Lists systems, in the order they first came.
#[utoipa::path(get, path = "/systems", tag = "tables", params(Part),
    responses((status = 200, body = Rows<System>), Problems))]
pub async fn systems(
    State(shop): State<Arc<Shop>>,
    Member(_): Member,
    Query(part): Query<Part>,
) -> Done<axum::Json<Rows<System>>> {
    let (after, limit) = part.read()?;
    let rows = shop.ask(move |store| systems_of(store, after, limit)).await?;
    Ok(axum::Json(Rows::new(rows, limit, |row| row.first, |row| row)))
}

/// Every system as a table.
#[utoipa::path(get, path = "/systems.csv", tag = "tables",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn systems_table(State(shop): State<Arc<Shop>>, Member(who): Member) -> Done<Csv> {
    shop.note(who.did("systems.csv", None)).await?;
    shop.ask(|store| {
        let heading = ["system", "name", "site", "refrigerant", "visits", "newest_job", "newest_day"];
        let mut table = Csv::new("systems", &heading);
        let mut after = None;
        loop {
            let rows = systems_of(store, after, 500)?;
            let Some(last) = rows.last() else { return Ok(table) };
            after = Some(last.first);
            for row in rows {
                let job = row.newest.as_ref().map(|job| job.job.to_string()).unwrap_or_default();
                let one = row.newest.map(|job| job.summary).unwrap_or_default();
                table.row([
                    row.system.to_string(),
                    one.system.unwrap_or_default(),
                    one.site.unwrap_or_default(),
                    one.refrigerant.unwrap_or_default(),
                    row.visits.to_string(),
                    job,
                    one.day.unwrap_or_default(),
                ]);
            }
        }
    })
    .await
}

/// Something that is owed.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct DueRow {
    /// The job.
    job: Uuid,
    /// A line that names it.
    title: String,
    /// The day of the visit.
    #[serde(skip_serializing_if = "Option::is_none")]
    day: Option<String>,
    /// What is owed.
    what: String,
    /// Of what.
    of: String,
}

/// Some of what is owed.
#[derive(Serialize, ToSchema)]
pub struct DueRows {
    /// By job, the newest first.
    rows: Vec<DueRow>,
    /// What to ask for as `after` to get the next part; absent at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<u64>,
}

fn due_of(job: &Job) -> impl Iterator<Item = DueRow> {
    job.summary.due.iter().map(|due| DueRow {
        job: job.job,
        title: job.title.clone(),
        day: job.summary.day.clone(),
        what: due.what.clone(),
        of: due.of.clone(),
    })
}

/// Lists what is owed; `limit` counts the jobs looked through.
#[utoipa::path(get, path = "/due", tag = "tables", params(Part),
    responses((status = 200, body = DueRows), Problems))]
pub async fn due(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(part): Query<Part>,
) -> Done<axum::Json<DueRows>> {
    let (after, limit) = part.read()?;
    shop.note(who.did("due.read", None)).await?;
    let jobs = shop.ask(move |store| store.jobs(after, limit)).await?;
    let next = jobs.last().filter(|_| jobs.len() >= limit).map(|row| row.first);
    let rows = jobs.into_iter().map(Job::from).flat_map(|job| due_of(&job).collect::<Vec<_>>()).collect();
    Ok(axum::Json(DueRows { rows, next }))
}

/// Everything owed as a table.
#[utoipa::path(get, path = "/due.csv", tag = "tables",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn due_table(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<Csv> {
    shop.note(who.did("due.csv", None)).await?;
    shop.ask(|store| {
        let mut table = Csv::new("due", &["job", "title", "day", "what", "of"]);
        jobs::every(store, |job| {
            for row in due_of(&job) {
                table.row([row.job.to_string(), row.title, row.day.unwrap_or_default(), row.what, row.of]);
            }
        })?;
        Ok(table)
    })
    .await
}

/// What a cylinder gave and took in a year.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Account {
    /// The year; absent where a visit has no day.
    #[serde(skip_serializing_if = "Option::is_none")]
    year: Option<i32>,
    /// The refrigerant, as it was typed; absent where it was not.
    #[serde(skip_serializing_if = "Option::is_none")]
    refrigerant: Option<String>,
    /// The cylinder.
    cylinder: String,
    /// On how many visits.
    visits: u64,
    /// What it gave, in kilograms.
    given_kg: f64,
    /// The standard uncertainty of that, in kilograms.
    given_u_kg: f64,
    /// What it took, in kilograms.
    taken_kg: f64,
    /// The standard uncertainty of that, in kilograms.
    taken_u_kg: f64,
}

/// The refrigerant account.
#[derive(Serialize, ToSchema)]
pub struct Accounts {
    /// By year, refrigerant and cylinder.
    rows: Vec<Account>,
}

/// The years asked for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Years {
    /// One year; all where it is absent.
    #[param(minimum = 1, maximum = 9999)]
    year: Option<i32>,
}

/// Adds up the accounts of every job. Weighings are independent of each other, so variances add.
fn accounts_of(store: &dyn Store, wanted: Option<i32>) -> store::Result<Vec<Account>> {
    type Key = (Option<i32>, Option<String>, String);
    let mut sums: BTreeMap<Key, Account> = BTreeMap::new();
    let mut after = None;
    loop {
        let rows = store.jobs(after, 1_000)?;
        let Some(last) = rows.last() else { break };
        after = Some(last.first);
        for row in &rows {
            let one = summary::read(row);
            let year = one.day.as_deref().and_then(|day| day.split('-').next()?.parse::<i32>().ok());
            if wanted.is_some() && wanted != year {
                continue;
            }
            for mass in &one.cylinders {
                let key = (year, one.refrigerant.clone(), mass.cylinder.clone());
                let sum = sums.entry(key).or_insert_with(|| Account {
                    year,
                    refrigerant: one.refrigerant.clone(),
                    cylinder: mass.cylinder.clone(),
                    visits: 0,
                    given_kg: 0.0,
                    given_u_kg: 0.0,
                    taken_kg: 0.0,
                    taken_u_kg: 0.0,
                });
                let together = |a: f64, b: f64| (a * a + b * b).sqrt();
                sum.visits += 1;
                sum.given_kg += mass.given_kg;
                sum.given_u_kg = together(sum.given_u_kg, mass.given_u_kg);
                sum.taken_kg += mass.taken_kg;
                sum.taken_u_kg = together(sum.taken_u_kg, mass.taken_u_kg);
            }
        }
    }
    Ok(sums.into_values().collect())
}

/// Returns the refrigerant account by year, refrigerant and cylinder.
#[utoipa::path(get, path = "/accounts", tag = "tables", params(Years),
    responses((status = 200, body = Accounts), Problems))]
pub async fn accounts(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(years): Query<Years>,
) -> Done<axum::Json<Accounts>> {
    if let Some(year) = years.year.filter(|year| !(1..=9999).contains(year)) {
        return Err(Problem::unreadable(format!("year is {year}; from 1 to 9999")));
    }
    shop.note(who.did("accounts.read", None)).await?;
    let rows = shop.ask(move |store| accounts_of(store, years.year)).await?;
    Ok(axum::Json(Accounts { rows }))
}

/// The refrigerant account as a table.
#[utoipa::path(get, path = "/accounts.csv", tag = "tables",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn accounts_table(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<Csv> {
    shop.note(who.did("accounts.csv", None)).await?;
    let rows = shop.ask(|store| accounts_of(store, None)).await?;
    let heading =
        ["year", "refrigerant", "cylinder", "visits", "given_kg", "given_u_kg", "taken_kg", "taken_u_kg"];
    let mut table = Csv::new("accounts", &heading);
    for row in rows {
        table.row([
            row.year.map(|year| year.to_string()).unwrap_or_default(),
            row.refrigerant.unwrap_or_default(),
            row.cylinder,
            row.visits.to_string(),
            row.given_kg.to_string(),
            row.given_u_kg.to_string(),
            row.taken_kg.to_string(),
            row.taken_u_kg.to_string(),
        ]);
    }
    Ok(table)
}

const _: () = assert!(EXACT == 9_007_199_254_740_991, "the descriptions above say so");
