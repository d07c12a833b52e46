//! Which systems drift, by their controllers' logs: the list that `gastight watch --json` prints, taken whole or not at all.

use super::Part;
use crate::auth::Office;
use crate::body::{Json, Query};
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::shop::{Shop, now};
use axum::extract::State;
use axum::http::StatusCode;
use job::shop::SystemLine;
use report::Message;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use units::Date;
use utoipa::ToSchema;
use uuid::Uuid;

/// The most bytes of a list: some 30,000 systems as they are printed.
const LIST: usize = 64 * 1024 * 1024;
/// The most systems of a list.
const MOST: usize = 100_000;

/// The list that `gastight watch --json` prints.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WatchList {
    /// False alarms accepted in a system and year.
    #[schema(example = 0.01)]
    false_alarms_per_system_year: f64,
    /// What became of the rows of the log.
    rows: WatchedRows,
    /// What is said of all of it; not kept.
    #[serde(default)]
    #[expect(dead_code, reason = "taken so that the list goes in as it was printed")]
    note: String,
    /// The systems, in the order of their ranks.
    #[schema(max_items = 100_000)]
    systems: Vec<Watched>,
}

/// What became of the rows of a log.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WatchedRows {
    /// Rows taken.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    taken: u64,
    /// Rows taken before.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    again: u64,
    /// Rows without a reading.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    empty: u64,
    /// Rows left out.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    bad: u64,
    /// The first of the rows left out; not kept.
    #[serde(default, skip_serializing)]
    #[schema(value_type = Vec<Object>)]
    #[expect(dead_code, reason = "taken so that the list goes in as it was printed")]
    bad_named: Vec<serde_json::Map<String, serde_json::Value>>,
}

/// One system of the list.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Watched {
    /// Its place, from 1.
    #[schema(minimum = 1, maximum = 100_000)]
    rank: u64,
    /// Its name as the controllers have it.
    #[schema(min_length = 1, max_length = 200, example = "room-7")]
    system: String,
    /// `alarm`, `quiet` or `too_early`.
    #[schema(example = "alarm")]
    state: WatchedState,
    /// The day of its last reading.
    #[schema(format = Date, example = "2031-05-06")]
    last: String,
    /// Windows of five minutes.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    windows: u64,
    /// The steady ones among them.
    #[schema(maximum = 9_007_199_254_740_991_u64)]
    steady_windows: u64,
    /// Whether its refrigerant is known.
    has_refrigerant: bool,
    /// Whether its pressures can be those of its refrigerant.
    #[serde(default = "fits", skip_serializing_if = "is_true")]
    pressures_fit: bool,
    /// Where it is too early: the days seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    days: Option<u64>,
    /// Where it is too early: the days needed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    days_needed: Option<u64>,
    /// Else: the statistic over its limit; an alarm from 1 on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    evidence: Option<f64>,
    /// The day on which the likeliest cause most likely began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(format = Date)]
    since: Option<String>,
    /// Causes with their share of the evidence, the largest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 20)]
    causes: Vec<WatchedCause>,
    /// What moved with the likeliest.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(max_items = 20)]
    changes: Vec<WatchedChange>,
    /// The same in sentences; not kept, since the page says them in its reader's language.
    #[serde(default, skip_serializing)]
    #[expect(dead_code, reason = "taken so that the list goes in as it was printed")]
    sentences: Vec<String>,
}

/// What a look at a system gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum WatchedState {
    /// It has left its baseline.
    Alarm,
    /// It is as its baseline has it.
    Quiet,
    /// There is no baseline yet.
    TooEarly,
}

/// A cause and its share.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WatchedCause {
    /// Its word, as docs/watch.md lists them.
    #[schema(example = "charge")]
    cause: String,
    /// Its share of the evidence.
    #[schema(minimum = 0.0, maximum = 1.0)]
    share: f64,
}

/// How far one feature has moved.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct WatchedChange {
    /// Its word.
    #[schema(example = "subcooling")]
    feature: String,
    /// By how much, in kelvin; a level or a running time as a share.
    size: f64,
    /// The standard uncertainty of that.
    #[schema(minimum = 0.0)]
    u: f64,
}

/// What stands above the list as it is kept.
#[derive(Clone, Debug, Deserialize, Serialize, ToSchema)]
pub struct WatchedHead {
    /// When it was handed in, in milliseconds since 1970.
    at: i64,
    /// False alarms accepted in a system and year.
    false_alarms_per_system_year: f64,
    /// What became of the rows of the log.
    rows: WatchedRows,
    /// How many systems it has.
    systems: u64,
    /// How many of them alarm.
    alarms: u64,
    /// How many have no baseline yet.
    too_early: u64,
}

/// A line of the list, with the system of the shop that it is.
#[derive(Serialize, ToSchema)]
pub struct WatchedLine {
    /// The system of the shop that has this name or this id; absent where none has it, or more than one.
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<Uuid>,
    /// What the list says of it.
    #[serde(flatten)]
    watched: Watched,
}

/// A part of the list.
#[derive(Serialize, ToSchema)]
pub struct WatchedPart {
    /// What stands above it; absent where no list was handed in.
    #[serde(skip_serializing_if = "Option::is_none")]
    head: Option<WatchedHead>,
    /// The systems of this part, by rank.
    rows: Vec<WatchedLine>,
    /// What to ask for as `after` to get the next part; absent at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    next: Option<u64>,
}

/// What was taken.
#[derive(Serialize, ToSchema)]
pub struct WatchTaken {
    /// How many systems.
    systems: u64,
    /// How many of them alarm.
    alarms: u64,
}

const fn fits() -> bool {
    true
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "that is how it is called")]
const fn is_true(flag: &bool) -> bool {
    *flag
}

/// The largest whole number that JSON carries exactly everywhere.
const LARGEST_WHOLE: u64 = 9_007_199_254_740_991;

/// Returns a refusal: which part of the list, what was seen, what would be sensible.
fn refused(field: String, given: impl Into<String>, sensible: impl Into<report::Arg>) -> Problem {
    let given: String = given.into().chars().take(60).collect();
    let detail = Message::new("server-watch-refused")
        .with("field", field)
        .with("given", given)
        .with("sensible", sensible);
    let title = Message::new("server-list-refused");
    Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "list-refused", title).detail(detail)
}

impl Watched {
    /// Checks what stands in a line; `place` is where it stands, from 1.
    fn check(&self, place: u64) -> Done<()> {
        let at = |field: &str| format!("systems[{}].{field}", place - 1);
        let day = |field: &str, text: &str| match text.parse::<Date>() {
            Ok(_) => Ok(()),
            Err(_) => Err(refused(at(field), text, "2031-05-06")),
        };
        let share = |field: &str, x: f64| {
            if (0.0..=1.0).contains(&x) { Ok(()) } else { Err(refused(at(field), x.to_string(), "0 … 1")) }
        };
        if self.rank != place {
            return Err(refused(at("rank"), self.rank.to_string(), place.to_string()));
        }
        if self.system.trim().is_empty() || self.system.len() > 200 {
            return Err(refused(at("system"), self.system.as_str(), "room-7"));
        }
        day("last", &self.last)?;
        if self.windows > LARGEST_WHOLE {
            return Err(refused(at("windows"), self.windows.to_string(), format!("0 … {LARGEST_WHOLE}")));
        }
        if self.steady_windows > self.windows {
            let most = format!("0 … {}", self.windows);
            return Err(refused(at("steady_windows"), self.steady_windows.to_string(), most));
        }
        if self.state == WatchedState::TooEarly {
            let told = self.days.is_some() && self.days_needed.is_some();
            return if told { Ok(()) } else { Err(refused(at("days_needed"), "", "40")) };
        }
        let evidence = self.evidence.ok_or_else(|| refused(at("evidence"), "", "0 … 1e300"))?;
        let alarms = self.state == WatchedState::Alarm;
        if !(0.0..=1e300).contains(&evidence) || (evidence >= 1.0) != alarms {
            let sensible = if alarms { "1 … 1e300" } else { "0 … 1" };
            return Err(refused(at("evidence"), evidence.to_string(), sensible));
        }
        day("since", self.since.as_deref().unwrap_or_default())?;
        if self.causes.is_empty() {
            return Err(refused(at("causes"), "", "charge"));
        }
        for one in &self.causes {
            if trend::Cause::of_word(&one.cause).is_none() {
                return Err(refused(
                    at("causes"),
                    one.cause.as_str(),
                    words(trend::CAUSES.map(|c| c.word())),
                ));
            }
            share("causes", one.share)?;
        }
        for one in &self.changes {
            if trend::Feature::of_word(&one.feature).is_none() {
                let sensible = words(trend::FEATURES.map(|f| f.word()));
                return Err(refused(at("changes"), one.feature.as_str(), sensible));
            }
            // Far beyond what any feature can move by, and far below what JSON carries.
            if !(-1e6..=1e6).contains(&one.size) || !(0.0..=1e6).contains(&one.u) {
                return Err(refused(at("changes"), format!("{} ± {}", one.size, one.u), "-3.2 ± 0.4"));
            }
        }
        Ok(())
    }
}

fn words<const N: usize>(all: [&'static str; N]) -> String {
    all.join(", ")
}

impl WatchList {
    fn check(&self) -> Done<()> {
        let rate = self.false_alarms_per_system_year;
        if !(1e-5..=10.0).contains(&rate) {
            return Err(refused("false_alarms_per_system_year".to_owned(), rate.to_string(), "0.01"));
        }
        let rows = [self.rows.taken, self.rows.again, self.rows.empty, self.rows.bad];
        if let Some(many) = rows.into_iter().find(|count| *count > LARGEST_WHOLE) {
            return Err(refused("rows".to_owned(), many.to_string(), format!("0 … {LARGEST_WHOLE}")));
        }
        if self.systems.len() > MOST {
            return Err(refused("systems".to_owned(), self.systems.len().to_string(), format!("0 … {MOST}")));
        }
        let mut names = BTreeSet::new();
        for (place, one) in self.systems.iter().enumerate() {
            one.check(place as u64 + 1)?;
            if !names.insert(one.system.as_str()) {
                let sensible = Message::new("server-watch-once");
                return Err(refused(format!("systems[{place}].system"), one.system.as_str(), sensible));
            }
        }
        Ok(())
    }

    fn head(&self, at: i64) -> WatchedHead {
        let count = |state| self.systems.iter().filter(|one| one.state == state).count() as u64;
        WatchedHead {
            at,
            false_alarms_per_system_year: self.false_alarms_per_system_year,
            rows: self.rows.clone(),
            systems: self.systems.len() as u64,
            alarms: count(WatchedState::Alarm),
            too_early: count(WatchedState::TooEarly),
        }
    }
}

/// Takes the list that `gastight watch --json` prints in place of the one that was there, whole or not at all.
#[utoipa::path(put, path = "/watch", tag = "watch", request_body = WatchList,
    responses((status = 200, body = WatchTaken), Problems))]
pub async fn put(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Json(given): Json<WatchList, LIST>,
) -> Done<axum::Json<WatchTaken>> {
    given.check()?;
    let head = given.head(now());
    let (text, lines) = written(&head, &given.systems)?;
    let mut audit = who.did("watch.put", None);
    audit.detail = Some(format!("systems={}, alarms={}", head.systems, head.alarms));
    shop.ask(move |store| {
        store.put_watched(&text, &lines)?;
        store.audit(&[audit])
    })
    .await?;
    Ok(axum::Json(WatchTaken { systems: head.systems, alarms: head.alarms }))
}

fn written(head: &WatchedHead, systems: &[Watched]) -> Done<(String, Vec<String>)> {
    let text = |_| Problem::ours();
    let lines = systems.iter().map(|one| serde_json::to_string(one).map_err(text)).collect::<Done<_>>()?;
    Ok((serde_json::to_string(head).map_err(text)?, lines))
}

/// Keeps the list of the invented shop.
///
/// # Errors
/// What the store says; a list that is none is not kept.
pub(crate) fn put_invented(store: &dyn store::Store, text: &str) -> store::Result<()> {
    let Ok(list) = serde_json::from_str::<WatchList>(text) else { return Ok(()) };
    let Ok((head, lines)) = written(&list.head(now()), &list.systems) else { return Ok(()) };
    store.put_watched(&head, &lines)
}

/// Which system of the shop has a name or an id, where it is one alone.
fn known(systems: &[SystemLine]) -> BTreeMap<String, Option<Uuid>> {
    let mut all: BTreeMap<String, Option<Uuid>> = BTreeMap::new();
    for one in systems {
        let Some(id) = one.id else { continue };
        for name in one.name.iter().map(|name| folded(name)).chain([id.to_string()]) {
            all.entry(name)
                .and_modify(|known| *known = known.filter(|known| *known == id))
                .or_insert(Some(id));
        }
    }
    all
}

/// A controller's `room-7` is the shop's "Room 7": letters and digits count, small and large alike.
fn folded(name: &str) -> String {
    if let Ok(id) = name.trim().parse::<Uuid>() {
        return id.to_string();
    }
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Returns which systems drift, since when and why, by rank: the list that was handed in last.
#[utoipa::path(get, path = "/watch", tag = "watch", params(Part),
    responses((status = 200, body = WatchedPart), Problems))]
pub async fn list(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Query(part): Query<Part>,
) -> Done<axum::Json<WatchedPart>> {
    let (after, limit) = part.read()?;
    let after = after.unwrap_or(0);
    shop.note(who.did("watch.read", None)).await?;
    let Some((head, lines)) = shop.ask(move |store| store.watched(after, limit)).await? else {
        return Ok(axum::Json(WatchedPart { head: None, rows: Vec::new(), next: None }));
    };
    // They were written here.
    let head: WatchedHead = serde_json::from_str(&head).map_err(|_| Problem::ours())?;
    let book = shop.book().await?;
    let known = known(&book.overview.systems);
    let rows = lines.iter().map(|line| {
        let watched: Watched = serde_json::from_str(line).map_err(|_| Problem::ours())?;
        let id = known.get(&folded(&watched.system)).copied().flatten();
        Ok(WatchedLine { id, watched })
    });
    let rows = rows.collect::<Done<Vec<_>>>()?;
    let last = after + rows.len() as u64;
    let next = (!rows.is_empty() && last < head.systems).then_some(last);
    Ok(axum::Json(WatchedPart { head: Some(head), rows, next }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_invented_list_is_one() {
        let list: WatchList = serde_json::from_str(include_str!("../../../../examples/watch.json")).unwrap();
        assert!(list.check().is_ok());
        assert_eq!((list.head(0).systems, list.head(0).alarms), (3, 1));
    }

    #[test]
    fn a_name_is_a_system_of_the_shop_where_it_is_one_alone() {
        let id = Uuid::from_u128;
        let line = |n: u128, name: &str| SystemLine {
            id: Some(id(n)),
            job: None,
            name: Some(name.to_owned()),
            site: None,
            holds: None,
            refrigerant: None,
            charge: None,
            charge_kg: None,
            visits: 1,
            last_visit: None,
            loss: None,
            standing: job::shop::Standing::Nothing,
            next: None,
            due: 0,
            overdue: 0,
            invented: false,
        };
        let known = known(&[line(1, "Room 7"), line(2, "Room 2"), line(3, "room 2")]);
        let found = |name: &str| known.get(&folded(name)).copied().flatten();
        assert_eq!((found("room-7"), found("ROOM 7"), found("Room 8")), (Some(id(1)), Some(id(1)), None));
        assert_eq!((found("room-2"), found(&id(3).to_string().to_uppercase())), (None, Some(id(3))));
    }
}
