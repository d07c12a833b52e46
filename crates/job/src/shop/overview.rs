//! The systems of a shop by what they lose, and what is due by date.

use super::{Due, Loss, LossKind, Summary, When, days};
use core::cmp::Ordering;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use units::Date;
use uuid::Uuid;

/// How a system stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Something confirmed is overdue, or wanted at once.
    Late,
    /// Something has a day.
    Due,
    /// Something is open without a day, or has to be read first.
    Open,
    /// Nothing is due.
    Nothing,
}

/// A system, as its newest visit left it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct SystemLine {
    /// The system: its first job that is here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Uuid>,
    /// Its newest job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job: Option<Uuid>,
    /// Its name; absent where neither system nor site has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The site's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// What is kept in it, and how cold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds: Option<String>,
    /// The refrigerant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The full charge as it was typed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge: Option<String>,
    /// The full charge in kilograms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub charge_kg: Option<f64>,
    /// How many visits are here.
    pub visits: u64,
    /// The day of the newest.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub last_visit: Option<Date>,
    /// What it loses in a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loss: Option<Loss>,
    /// How it stands.
    pub standing: Standing,
    /// What is due first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<Due>,
    /// How many things are due or open.
    pub due: u64,
    /// How many of them are overdue.
    pub overdue: u64,
    /// The record says that its data are invented.
    pub invented: bool,
}

/// Something due, with the system it is due of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct DueLine {
    /// The system: its first job that is here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Uuid>,
    /// Its newest job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub job: Option<Uuid>,
    /// The system's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The site's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// Its day is past.
    pub overdue: bool,
    /// What.
    pub what: Due,
}

/// The same cause at several systems of one site: what spoils one is likely to spoil the others.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Shared {
    /// The kind of thing, in the words of the record.
    pub seen: String,
    /// The site.
    pub site: String,
    /// The systems where it was seen and not put right.
    pub at: Vec<String>,
    /// The other systems of the site, where nobody has written it down yet.
    pub look_at: Vec<String>,
}

/// The shop at a glance.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Overview {
    /// The day that overdue is reckoned on.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub on: Option<Date>,
    /// The systems, those that lose most first.
    pub systems: Vec<SystemLine>,
    /// What is due, by date.
    pub due: Vec<DueLine>,
    /// What was seen at a system and may stand at the others of its site too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shared: Vec<Shared>,
    /// How many systems there are in all.
    pub systems_in_all: u64,
    /// How many things are due in all.
    pub due_in_all: u64,
    /// How many of them are overdue.
    pub overdue: u64,
    /// How many systems have a loss that is certain.
    pub losing: u64,
    /// What all systems whose loss is known lose together in a year, in kilograms.
    pub lost_kg: f64,
    /// Half the width of its interval (k = 2), the doubts of the systems being independent.
    pub lost_half_kg: f64,
    /// The record of some system says that its data are invented.
    pub invented: bool,
}

fn standing(summary: &Summary, on: Date) -> Standing {
    let confirmed = |due: &Due| due.law.as_ref().is_none_or(|law| law.confirmed);
    let late = |due: &Due| due.is_overdue(on) || matches!(due.when, When::AtOnce | When::WithoutDelay);
    let of = |due: &Due| match due.when {
        _ if late(due) && confirmed(due) => Standing::Late,
        When::By => Standing::Due,
        _ => Standing::Open,
    };
    summary.due.iter().map(of).min().unwrap_or(Standing::Nothing)
}

/// What comes first: what is confirmed before what has to be read first, then by its day.
fn next(summary: &Summary) -> Option<Due> {
    let unread = |due: &Due| due.law.as_ref().is_some_and(|law| !law.confirmed);
    let wanted = summary.due.iter().filter(|due| due.when != When::BeforeAdding);
    wanted.min_by_key(|due| (unread(due), due.order())).cloned()
}

fn line(summary: &Summary, on: Date) -> SystemLine {
    SystemLine {
        id: summary.first,
        job: summary.job,
        name: summary.name().map(str::to_owned),
        site: summary.site.clone(),
        holds: summary.holds.clone(),
        refrigerant: summary.refrigerant.clone(),
        charge: summary.charge.clone(),
        charge_kg: summary.charge_kg,
        visits: summary.visit,
        last_visit: summary.day,
        loss: summary.loss.clone(),
        standing: standing(summary, on),
        next: next(summary),
        due: summary.due.len() as u64,
        overdue: summary.due.iter().filter(|due| due.is_overdue(on)).count() as u64,
        invented: summary.invented,
    }
}

/// What hurts most first: the most kilograms a year by the best value; then what is late; then by name.
fn hurts(a: &SystemLine, b: &SystemLine) -> Ordering {
    let loss = |line: &SystemLine| line.loss.as_ref().and_then(|loss| loss.kg).unwrap_or(-1.0);
    loss(b)
        .total_cmp(&loss(a))
        .then_with(|| a.standing.cmp(&b.standing))
        .then_with(|| a.name.cmp(&b.name))
        .then_with(|| a.id.cmp(&b.id))
}

/// Returns the other systems of a system's site, in the order of the overview: those that lose most first.
#[must_use]
pub fn building(overview: &Overview, system: Uuid) -> Vec<SystemLine> {
    let site = |line: &SystemLine| line.site.clone().filter(|site| !site.trim().is_empty());
    let own = overview.systems.iter().find(|line| line.id == Some(system)).and_then(site);
    let Some(own) = own else { return Vec::new() };
    let beside = |line: &&SystemLine| {
        line.id != Some(system) && site(line).is_some_and(|site| crate::place::same(&site, &own))
    };
    overview.systems.iter().filter(beside).cloned().collect()
}

/// What was seen at some system of a site with several.
fn shared(systems: &[&Summary]) -> Vec<Shared> {
    let mut sites: BTreeMap<&str, Vec<&Summary>> = BTreeMap::new();
    for summary in systems {
        if let Some(site) = summary.site.as_deref().map(str::trim).filter(|site| !site.is_empty()) {
            sites.entry(site).or_default().push(summary);
        }
    }
    let mut out = Vec::new();
    for (site, systems) in sites.into_iter().filter(|(_, systems)| systems.len() > 1) {
        let kinds: BTreeSet<&str> =
            systems.iter().flat_map(|summary| summary.seen.iter().map(String::as_str)).collect();
        for seen in kinds {
            let (at, look_at): (Vec<&Summary>, Vec<&Summary>) =
                systems.iter().partition(|summary| summary.seen.iter().any(|other| other == seen));
            let names = |systems: Vec<&Summary>| {
                let mut names: Vec<String> =
                    systems.into_iter().filter_map(|summary| summary.name().map(str::to_owned)).collect();
                names.sort();
                names
            };
            let (seen, site) = (seen.to_owned(), site.to_owned());
            out.push(Shared { seen, site, at: names(at), look_at: names(look_at) });
        }
    }
    // What is seen at most systems first.
    out.sort_by(|a, b| b.at.len().cmp(&a.at.len()).then_with(|| (&a.site, &a.seen).cmp(&(&b.site, &b.seen))));
    out
}

/// Returns the shop at a glance, from the newest summary of each system, on a day.
#[must_use]
pub fn overview<'a>(systems: impl IntoIterator<Item = &'a Summary>, on: Date) -> Overview {
    let mut out = Overview { on: Some(on), ..Overview::default() };
    let mut squares = 0.0;
    let systems: Vec<&Summary> = systems.into_iter().collect();
    out.shared = shared(&systems);
    for summary in systems {
        // A van is no system; what is due of its cylinders is due all the same.
        if !summary.van {
            out.systems.push(line(summary, on));
        }
        for due in &summary.due {
            let overdue = due.is_overdue(on);
            out.overdue += u64::from(overdue);
            out.due.push(DueLine {
                id: summary.first,
                job: summary.job,
                name: summary.name().map(str::to_owned),
                site: summary.site.clone(),
                overdue,
                what: due.clone(),
            });
        }
        if let Some(loss) = &summary.loss {
            out.losing += u64::from(loss.is_certain());
            if let (LossKind::Known, Some(kg), Some(high)) = (loss.kind, loss.kg, loss.high_kg) {
                out.lost_kg += kg;
                squares += (high - kg) * (high - kg);
            }
        }
        out.invented |= summary.invented;
    }
    out.lost_half_kg = units::math::sqrt(squares);
    out.systems_in_all = out.systems.len() as u64;
    out.due_in_all = out.due.len() as u64;
    out.systems.sort_by(hurts);
    // What is overdue stands first, the longest first; then what is wanted at once; then by its day.
    out.due.sort_by(|a, b| {
        let key = |line: &DueLine| (!line.overdue, line.what.order());
        key(a).cmp(&key(b)).then_with(|| (&a.name, &a.id, &a.what.of).cmp(&(&b.name, &b.id, &b.what.of)))
    });
    out
}
