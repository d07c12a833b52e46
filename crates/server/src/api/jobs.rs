//! Jobs: which there are, what stands in them, their reports.

use super::{Part, Rows};
use crate::auth::{Full, Member};
use crate::body::{Id, Query};
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::rendered::render;
use crate::shop::Shop;
use crate::summary::{self, JobSummary};
use axum::extract::State;
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_SECURITY_POLICY, CONTENT_TYPE};
use axum::response::{IntoResponse as _, Response};
use job::shop::tables;
use report::Message;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{JobRow, Role};
use units::Writer;
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;

/// A job.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Job {
    /// Its id.
    pub job: Uuid,
    /// A line that names it; empty where nothing names it yet.
    pub title: String,
    /// The system: the first job of the chain of visits.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub system: Option<Uuid>,
    /// How many events it has.
    pub events: u64,
    /// The sequence of its first event; it orders the list.
    pub first: u64,
    /// The sequence of its last event.
    pub last: u64,
    /// The earliest stamp, in milliseconds since 1970.
    pub from_ms: i64,
    /// The latest stamp, in milliseconds since 1970.
    pub to_ms: i64,
    /// Whether the summary is older than the events, or missing.
    pub stale: bool,
    /// What was worked out of it.
    pub summary: JobSummary,
}

impl From<JobRow> for Job {
    fn from(row: JobRow) -> Self {
        let summary = summary::read(&row);
        let kept = row.summary.unwrap_or_default();
        Self {
            job: row.job,
            title: kept.title,
            system: kept.system,
            events: row.events,
            first: row.first,
            last: row.last,
            from_ms: row.from_ms,
            to_ms: row.to_ms,
            stale: row.stale,
            summary,
        }
    }
}

/// Lists jobs, the newest first.
#[utoipa::path(get, path = "/jobs", tag = "jobs", params(Part),
    responses((status = 200, body = Rows<Job>), Problems))]
pub async fn list(
    State(shop): State<Arc<Shop>>,
    Member(_): Member,
    Query(part): Query<Part>,
) -> Done<axum::Json<Rows<Job>>> {
    let (after, limit) = part.read()?;
    let rows = shop.ask(move |store| store.jobs(after, limit)).await?;
    Ok(axum::Json(Rows::new(rows, limit, |row| row.first, Job::from)))
}

/// Every job as a table.
#[utoipa::path(get, path = "/jobs.csv", tag = "jobs",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Full(who): Full) -> Done<Csv> {
    shop.note(who.did("jobs.csv", None)).await?;
    let jobs = shop
        .ask(|store| {
            let mut jobs = Vec::new();
            every(store, |job| jobs.push(job.summary))?;
            Ok(jobs)
        })
        .await?;
    Ok(tables::jobs(&jobs).into())
}

/// Calls `each` with every job, the newest first.
pub(super) fn every(store: &dyn store::Store, mut each: impl FnMut(Job)) -> store::Result<()> {
    let mut after = None;
    loop {
        let rows = store.jobs(after, 1_000)?;
        let Some(last) = rows.last() else { return Ok(()) };
        after = Some(last.first);
        rows.into_iter().for_each(|row| each(row.into()));
    }
}

pub(super) fn no_job() -> Problem {
    Problem::missing(Message::new("server-no-job"))
}

/// Returns one job.
#[utoipa::path(get, path = "/jobs/{id}", tag = "jobs",
    params(("id" = Uuid, Path, description = "The job.")), responses((status = 200, body = Job), Problems))]
pub async fn one(State(shop): State<Arc<Shop>>, Member(who): Member, Id(id): Id) -> Done<axum::Json<Job>> {
    let row = shop.ask(move |store| store.job(id)).await?.ok_or_else(no_job)?;
    shop.note(who.did("job.read", Some(id.to_string()))).await?;
    Ok(axum::Json(row.into()))
}

/// The events of a job.
#[derive(Serialize, ToSchema)]
pub struct Events {
    /// In the order of their stamps.
    #[schema(value_type = Vec<super::sync::EventLine>)]
    rows: Vec<serde_json::Value>,
}

/// Returns what stands in a job.
#[utoipa::path(get, path = "/jobs/{id}/events", tag = "jobs",
    params(("id" = Uuid, Path, description = "The job.")), responses((status = 200, body = Events), Problems))]
pub async fn events(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Id(id): Id,
) -> Done<axum::Json<Events>> {
    let events = shop.ask(move |store| store.job_events(id)).await?;
    if events.is_empty() {
        return Err(no_job());
    }
    shop.note(who.did("events.read", Some(id.to_string()))).await?;
    let rows = super::apprentice::readable(who.person.role, events)
        .iter()
        .map(|event| serde_json::from_str(&record::write_line(event)))
        .collect::<Result<_, _>>()
        .map_err(|_| Problem::ours())?;
    Ok(axum::Json(Events { rows }))
}

/// How a report is wished for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Wish {
    /// The language; else that of the browser.
    #[param(max_length = 20, pattern = "^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$", example = "fr-CA")]
    lang: Option<String>,
    /// The units; else those that most was entered in.
    #[param(inline)]
    units: Option<UnitsWord>,
}

/// Returns whether a text has the form of a language's tag.
fn is_language(text: &str) -> bool {
    let mut parts = text.split('-');
    let first = parts.next().unwrap_or_default();
    (2..=3).contains(&first.len())
        && first.bytes().all(|b| b.is_ascii_alphabetic())
        && text.len() <= 20
        && parts.all(|part| (2..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric()))
}

/// Units.
#[derive(Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum UnitsWord {
    /// psig, °F, lb-oz.
    Us,
    /// kPa, °C, kg.
    Metric,
}

/// Returns the report of a job, with the visits it follows, as a page that needs nothing else.
#[utoipa::path(get, path = "/jobs/{id}/report", tag = "jobs",
    params(("id" = Uuid, Path, description = "The job."), Wish),
    responses((status = 200, content_type = "text/html", body = String), Problems))]
pub async fn report(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Id(id): Id,
    Query(wish): Query<Wish>,
    headers: axum::http::HeaderMap,
) -> Done<Response> {
    let language = language_of(&shop, wish.lang.as_deref(), &headers)?;
    let (units, word) = match wish.units {
        None => (None, "entered"),
        Some(UnitsWord::Us) => (Some(Writer::us()), "us"),
        Some(UnitsWord::Metric) => (Some(Writer::metric()), "metric"),
    };
    let role = who.person.role;
    let (visits, sequence) = shop.ask(move |store| summary::visits(store, id)).await?;
    if visits.is_empty() {
        return Err(no_job());
    }
    let visits: Vec<_> = visits.into_iter().map(|events| super::apprentice::readable(role, events)).collect();
    let of = (id, language.clone(), word, role == Role::Apprentice);
    let html = match shop.rendered.get(&of, sequence) {
        Some(html) => html,
        None => {
            let held = shop.clone();
            let html =
                tokio::task::spawn_blocking(move || render(&visits, held.wording(Some(&language)), units));
            let html: Arc<str> = html.await.map_err(|_| Problem::ours())?.into();
            shop.rendered.put(of, sequence, html.clone());
            html
        }
    };
    shop.note(who.did("report.read", Some(id.to_string()))).await?;
    Ok(document_page(html.to_string()))
}

/// Returns the language that is wished for, else that of the browser.
pub(super) fn language_of(shop: &Shop, wish: Option<&str>, headers: &axum::http::HeaderMap) -> Done<String> {
    let asked = match wish {
        Some(lang) if is_language(lang) => Some(lang),
        Some(lang) => return Err(Problem::unreadable(format!("lang is {lang:.30}; such as en or fr-CA"))),
        None => crate::body::header(headers, "accept-language"),
    };
    Ok(shop.wording(asked).language().to_owned())
}

/// Returns a document of our own as a page, with the policy that no script runs in it.
pub(super) fn document_page(html: String) -> Response {
    let mut response = html.into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8"));
    headers.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(crate::headers::REPORT_POLICY));
    response
}
