//! A job's money: drafts of quote and invoice, numbered documents, quote against invoice. All of it is worked out by
//! `job::bill`; what things cost the shop goes to the owner alone.

use super::jobs::{document_page, language_of, no_job};
use super::lists;
use crate::auth::{Office, Owner};
use crate::body::{Id, Json, Query};
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use crate::summary;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use job::bill::{self, Parties, shelf};
use job::entry::{Maker, Tick};
use job::visit::Visit;
use record::{Body, Event, Paper, Prices};
use report::{Document, Message};
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Role, Sender, Store};
use utoipa::{IntoParams, ToSchema};
use uuid::Uuid;
use wording::Wording;

/// How many jobs are read at a time.
const PAGE: usize = 500;

/// The visit of a job with the shop's prices.
struct Ground {
    visit: Visit,
    events: Vec<Event>,
    prices: Prices,
}

/// Reads what a job's money is worked out of.
fn ground(store: &dyn Store, id: Uuid) -> store::Result<Result<Ground, Problem>> {
    let (visits, _) = summary::visits(store, id)?;
    let Some(events) = visits.last().cloned() else { return Ok(Err(no_job())) };
    let Some(prices) = lists::prices(store)? else {
        return Ok(Err(Problem::missing(Message::new("server-no-prices"))));
    };
    let visit = Visit::of_chain(&summary::name(&events), &visits);
    Ok(Ok(Ground { visit, events, prices }))
}

async fn grounded(shop: &Shop, id: Uuid) -> Done<Ground> {
    shop.ask(move |store| ground(store, id)).await?
}

fn not_made(refused: &job::Refused) -> Problem {
    let title = Message::new("server-not-made");
    Problem::new(StatusCode::CONFLICT, "not-made", title).detail(refused.message.clone())
}

/// In which language an answer is wished for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Tongue {
    /// The language; else that of the browser.
    #[param(max_length = 20, pattern = "^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$", example = "fr-CA")]
    lang: Option<String>,
}

/// How a document is wished for.
#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Wish {
    /// The language; else that of the browser.
    #[param(max_length = 20, pattern = "^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$", example = "fr-CA")]
    lang: Option<String>,
    /// The number of a document that was sent; a draft where it is absent.
    #[param(max_length = 100, example = "2031-014")]
    number: Option<String>,
}

/// A job's money with the numbers that come next.
#[derive(Serialize, ToSchema)]
pub struct Money {
    /// Drafts and documents.
    #[serde(flatten)]
    shelf: shelf::Shelf,
    /// The number that a quote would get.
    next_quote: String,
    /// The number that an invoice would get.
    next_invoice: String,
}

/// Returns a job's quote and invoice as they would be now, its numbered documents, and quote against invoice.
#[utoipa::path(get, path = "/jobs/{id}/money", tag = "money",
    params(("id" = Uuid, Path, description = "The job."), Tongue), responses((status = 200, body = Money), Problems))]
pub async fn money(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Id(id): Id,
    Query(wish): Query<Tongue>,
    headers: HeaderMap,
) -> Done<axum::Json<Money>> {
    let language = language_of(&shop, wish.lang.as_deref(), &headers)?;
    let ground = grounded(&shop, id).await?;
    let year = crate::book::today().year();
    let last = shop.ask(last_numbers).await?;
    let next = |paper: Paper| {
        let (quote, invoice) = &last;
        shelf::number_after(if paper == Paper::Quote { quote } else { invoice }.as_deref(), year)
    };
    let (next_quote, next_invoice) = (next(Paper::Quote), next(Paper::Invoice));
    shop.note(who.did("money.read", Some(id.to_string()))).await?;
    let (held, owner) = (shop.clone(), who.person.role == Role::Owner);
    let shelf = shop
        .call(move |_| {
            let wording = held.wording(Some(&language));
            shelf::shelf(&ground.visit, &ground.prices, owner, &|message| wording.say(message))
        })
        .await?;
    Ok(axum::Json(Money { shelf, next_quote, next_invoice }))
}

/// Shows a document that `make` makes as a page.
async fn shown(
    shop: &Arc<Shop>,
    id: Uuid,
    lang: Option<&str>,
    headers: &HeaderMap,
    make: impl FnOnce(&Ground, &Wording) -> Result<Document, Problem> + Send + 'static,
) -> Done<Response> {
    let language = language_of(shop, lang, headers)?;
    let ground = grounded(shop, id).await?;
    let held = shop.clone();
    let html = shop
        .call(move |_| {
            let wording = held.wording(Some(&language));
            let mut document = make(&ground, wording)?;
            document.language = wording.language().to_owned();
            Ok::<String, Problem>(report::to_html(&document, &|message| wording.say(message)))
        })
        .await??;
    Ok(document_page(html))
}

/// Returns the quote of a job as a page that needs nothing else: a draft of it as it would be now.
#[utoipa::path(get, path = "/jobs/{id}/quote", tag = "money",
    params(("id" = Uuid, Path, description = "The job."), Tongue),
    responses((status = 200, content_type = "text/html", body = String), Problems))]
pub async fn quote(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Id(id): Id,
    Query(wish): Query<Tongue>,
    headers: HeaderMap,
) -> Done<Response> {
    shop.note(who.did("quote.read", Some(id.to_string()))).await?;
    shown(&shop, id, wish.lang.as_deref(), &headers, |ground, wording| {
        let quote = bill::quote(&ground.visit, &ground.prices).map_err(|refused| not_made(&refused))?;
        let parties = Parties::of(&ground.visit, &ground.prices);
        Ok(bill::quote_document(&ground.visit, &parties, &quote, None, wording.decimal_comma()))
    })
    .await
}

/// Returns the invoice of a job as a page that needs nothing else: a draft, or the document of a number as it was sent.
#[utoipa::path(get, path = "/jobs/{id}/invoice", tag = "money",
    params(("id" = Uuid, Path, description = "The job."), Wish),
    responses((status = 200, content_type = "text/html", body = String), Problems))]
pub async fn invoice(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Id(id): Id,
    Query(wish): Query<Wish>,
    headers: HeaderMap,
) -> Done<Response> {
    shop.note(who.did("invoice.read", Some(id.to_string()))).await?;
    let number = wish.number.clone();
    shown(&shop, id, wish.lang.as_deref(), &headers, move |ground, wording| {
        let Ground { visit, prices, .. } = ground;
        let say = |message: &Message| wording.say(message);
        let parties = Parties::of(visit, prices);
        let comma = wording.decimal_comma();
        let Some(number) = number else {
            let made = bill::invoice(visit, prices, false).map_err(|refused| not_made(&refused))?;
            let beside = (bill::quote_of(visit), comma);
            return Ok(bill::document(visit, &parties, &made, (None, None), beside, &say));
        };
        let missing = || Problem::missing(Message::new("server-no-paper").with("number", number.as_str()));
        let sent = shelf::numbered(visit, &number).ok_or_else(missing)?;
        let broken = |_| Problem::conflict("does-not-add-up", Message::new("server-paper-broken"));
        let total = bill::frozen(sent).map_err(broken)?;
        let parties = parties.as_sent(sent);
        let head = (Some(sent.number.as_str()), sent.corrects.as_deref());
        let thawed = bill::thawed(sent, total);
        let mut document = bill::document(visit, &parties, &thawed, head, (None, comma), &say);
        if sent.what == Paper::Quote {
            document.title = Message::new("bill-quote").into();
        }
        Ok(document)
    })
    .await
}

/// Returns what each line of the invoice costs the shop and leaves.
#[utoipa::path(get, path = "/jobs/{id}/margin", tag = "money",
    params(("id" = Uuid, Path, description = "The job."), Tongue),
    responses((status = 200, content_type = "text/html", body = String), Problems))]
pub async fn margin(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Id(id): Id,
    Query(wish): Query<Tongue>,
    headers: HeaderMap,
) -> Done<Response> {
    shop.note(who.did("margin.read", Some(id.to_string()))).await?;
    shown(&shop, id, wish.lang.as_deref(), &headers, |ground, wording| {
        let made =
            bill::invoice(&ground.visit, &ground.prices, false).map_err(|refused| not_made(&refused))?;
        Ok(bill::owner(&ground.visit, &ground.prices, &made, wording.decimal_comma()))
    })
    .await
}

/// What is numbered.
#[derive(Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum PaperWord {
    /// A quote.
    Quote,
    /// An invoice.
    Invoice,
}

/// A document to be numbered.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPaper {
    /// Which.
    paper: PaperWord,
    /// Its number.
    number: super::words::Name,
    /// The number of the document that it corrects.
    #[serde(default)]
    corrects: Option<super::words::Name>,
    /// The option of the quote, where it has several.
    #[serde(default)]
    option: Option<super::words::Name>,
}

/// Returns every job that may have a document of this number: those with its words, and those not worked out yet.
fn may_have(store: &dyn Store, number: &str) -> store::Result<Vec<Uuid>> {
    let mut jobs: Vec<Uuid> = store.stale_jobs(PAGE)?.iter().map(|row| row.job).collect();
    let mut after = None;
    loop {
        let rows = store.search(number, after, PAGE)?;
        jobs.extend(rows.iter().map(|row| row.job));
        match rows.last() {
            Some(last) if rows.len() == PAGE => after = Some(last.first),
            _ => return Ok(jobs),
        }
    }
}

/// Numbers a quote or an invoice: its lines are kept as they are now and never change. A number is given once in the shop.
#[utoipa::path(post, path = "/jobs/{id}/papers", tag = "money", request_body = NewPaper,
    params(("id" = Uuid, Path, description = "The job.")),
    responses((status = 201, body = Vec<shelf::ShownPaper>), Problems))]
pub async fn number(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Id(id): Id,
    headers: HeaderMap,
    Json(new): Json<NewPaper>,
) -> Done<(StatusCode, axum::Json<Vec<shelf::ShownPaper>>)> {
    let language = language_of(&shop, None, &headers)?;
    let number = new.number.read()?.trim().to_owned();
    let corrects = new.corrects.map(super::words::Name::read).transpose()?;
    let option = new.option.map(super::words::Name::read).transpose()?;
    let paper = match new.paper {
        PaperWord::Quote => Paper::Quote,
        PaperWord::Invoice => Paper::Invoice,
    };
    let mut random = [0; 10];
    random.copy_from_slice(&secret::id(now())?.as_bytes()[6..]);
    let tick = Tick { now_ms: now(), random };
    let mut audit = who.did("paper.number", Some(id.to_string()));
    audit.detail = Some(format!("{} {number}", paper.word()));
    let by = Some(who.person.name.clone());
    // One at a time, so that two cannot get one number.
    let _permit = shop.numbering.acquire().await.map_err(|_| Problem::ours())?;
    let held = shop.clone();
    let papers = shop
        .ask(move |store| {
            for other in may_have(store, &number)? {
                let events = store.job_events(other)?;
                let visit = Visit::of_chain("", &[events]);
                if other != id && shelf::numbered(&visit, &number).is_some() {
                    let taken = Message::new("server-number-taken").with("number", number.as_str());
                    return Ok(Err(Problem::conflict("number-taken", taken)));
                }
            }
            let ground = match ground(store, id)? {
                Ok(ground) => ground,
                Err(problem) => return Ok(Err(problem)),
            };
            let wording = held.wording(Some(&language));
            let of = (corrects.as_deref(), option.as_deref());
            let frozen = shelf::freeze(&ground.visit, &ground.prices, (paper, &number), of, &|message| {
                wording.say(message)
            });
            let seen = match frozen {
                Ok(seen) => seen,
                Err(refused) => return Ok(Err(not_made(&refused))),
            };
            let mut maker = Maker::new(id, by, Some("office".to_owned()), &ground.events);
            let event = maker.observe(seen, tick);
            let line = serde_json::from_str(&record::write_line(&event))
                .map_err(|_| store::Error::Refused { ids: vec![event.id] })?;
            store.push(&Sender::default(), &[line], tick.now_ms)?;
            store.audit(&[audit])?;
            let (visits, _) = summary::visits(store, id)?;
            Ok(Ok(shelf::papers(&Visit::of_chain("", &visits))))
        })
        .await??;
    shop.stale.notify_one();
    Ok((StatusCode::CREATED, axum::Json(papers)))
}

/// Calls `each` with the events of every job that has a numbered document, the oldest job first.
fn with_papers(store: &dyn Store, mut each: impl FnMut(&[Event])) -> store::Result<()> {
    let mut after = None;
    let mut jobs = Vec::new();
    loop {
        let rows = store.jobs(after, PAGE)?;
        let Some(last) = rows.last() else { break };
        after = Some(last.first);
        jobs.extend(rows.iter().map(|row| row.job));
    }
    for job in jobs.into_iter().rev() {
        let events = store.job_events(job)?;
        let has = |event: &Event| match &event.content {
            record::Content::Observed(seen) => matches!(seen.what, Body::Sent(_)),
            _ => false,
        };
        if events.iter().any(has) {
            each(&events);
        }
    }
    Ok(())
}

/// The numbers given last to a quote and to an invoice, by the clock of the record.
fn last_numbers(store: &dyn Store) -> store::Result<(Option<String>, Option<String>)> {
    let mut last: [Option<(record::Stamp, String)>; 2] = [None, None];
    with_papers(store, |events| {
        for event in events {
            if let record::Content::Observed(seen) = &event.content
                && let Body::Sent(sent) = &seen.what
            {
                let of = &mut last[usize::from(sent.what == Paper::Invoice)];
                if of.as_ref().is_none_or(|(stamp, _)| *stamp < event.stamp) {
                    *of = Some((event.stamp, sent.number.clone()));
                }
            }
        }
    })?;
    let [quote, invoice] = last.map(|one| one.map(|(_, number)| number));
    Ok((quote, invoice))
}

/// Every numbered document of the shop as a table, a row for each line, tax and total.
#[utoipa::path(get, path = "/papers.csv", tag = "money",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<Csv> {
    shop.note(who.did("papers.csv", None)).await?;
    let heads = &[
        "job", "day", "name", "paper", "number", "corrects", "row", "what", "quantity", "unit", "price",
        "amount", "currency",
    ];
    let table = shop
        .ask(move |store| {
            let mut table = Csv::new("papers", heads);
            with_papers(store, |events| {
                let visit = Visit::of_chain("", &[events.to_vec()]);
                let job = visit.job.map(|job| job.to_string()).unwrap_or_default();
                let day = visit.day().map(|day| day.to_string()).unwrap_or_default();
                let name = summary::name(events);
                for row in shelf::rows(&visit) {
                    table.row([job.clone(), day.clone(), name.clone()].into_iter().chain(row));
                }
            })?;
            Ok(table)
        })
        .await?;
    Ok(table)
}
