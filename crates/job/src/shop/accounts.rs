//! The shop's refrigerant account over all jobs: by cylinder, by refrigerant, by year, and whether it closes.
//!
//! What can be checked is the scale against itself: between one weighing of a cylinder and the next nothing should have
//! come or gone. Where the weights disagree by more than the scales explain, gas went somewhere that no entry names, or
//! came from somewhere, such as a fill. What was bought is not in the record, and so stands nowhere here.

use super::{Bottle, Kilograms, Moved, Summary, days};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use units::Date;
use uuid::Uuid;

/// Whether an account closes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Closes {
    /// Some gap between weighings is more than the scales explain.
    No,
    /// It cannot be said: a weight is owed, an entry has no day, or nothing was weighed twice.
    NotResolved,
    /// The scales explain every gap (k = 2).
    Yes,
}

impl Closes {
    /// Returns it as tables write it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::No => "no",
            Self::NotResolved => "not_resolved",
            Self::Yes => "yes",
        }
    }
}

/// What a line of the account is about.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(default)]
pub struct Of {
    /// The year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub year: Option<i32>,
    /// The refrigerant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The cylinder.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cylinder: Option<String>,
}

/// A difference between two weighings of one cylinder with no entry between them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Gap {
    /// The cylinder.
    pub cylinder: String,
    /// The job in which it was weighed first.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_job: Option<Uuid>,
    /// The day of that.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub from: Option<Date>,
    /// The job in which it was weighed again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to_job: Option<Uuid>,
    /// The day of that.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub to: Option<Date>,
    /// What appeared; below zero what went missing.
    pub mass: Kilograms,
    /// More than the scales explain (k = 2).
    pub unexplained: bool,
}

/// A line of the account.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct AccountLine {
    /// What it is about.
    #[serde(flatten)]
    pub of: Of,
    /// In how many jobs.
    pub jobs: u64,
    /// What went into systems.
    pub charged: Kilograms,
    /// What was taken out of systems.
    pub recovered: Kilograms,
    /// What went into systems less what was taken out: what their leaks, or their first charge, took.
    pub net: Kilograms,
    /// The sum of what appeared between weighings; below zero what went missing.
    pub gap: Kilograms,
    /// How many gaps are more than the scales explain.
    pub unexplained: u64,
    /// How many times a cylinder was weighed again after it was used.
    pub compared: u64,
    /// How many weights are owed.
    pub owed: u64,
    /// Whether it closes.
    pub closes: Closes,
    /// Of one cylinder: its last gross weight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub last_gross: Option<Kilograms>,
    /// The day of that.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub last_day: Option<Date>,
    /// Of one cylinder: what is in it by its last weight and its empty weight.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds: Option<Kilograms>,
    /// Of one cylinder: it holds recovered gas.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recovery: Option<bool>,
    /// Of one cylinder: when it must be tested again.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub retest: Option<Date>,
}

/// The shop's account.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Accounts {
    /// The year asked for; absent for all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub year: Option<i32>,
    /// Every year that has an entry, the newest first.
    pub years: Vec<i32>,
    /// By refrigerant.
    pub by_refrigerant: Vec<AccountLine>,
    /// By cylinder.
    pub by_cylinder: Vec<AccountLine>,
    /// By year and refrigerant, the newest first.
    pub by_year: Vec<AccountLine>,
    /// The gaps that are more than the scales explain, the largest first.
    pub gaps: Vec<Gap>,
}

/// A sum whose doubts of one scale are added straight, those of different scales by their squares. How much of a scale's
/// doubt two weighings share is not kept, so none of it is taken to cancel: that says rather too much doubt than too little.
#[derive(Clone, Default)]
struct Sum {
    kg: f64,
    by_scale: BTreeMap<String, f64>,
    alone: f64,
}

impl Sum {
    fn add(&mut self, mass: Kilograms, scale: Option<&str>, sign: f64) {
        self.kg += sign * mass.kg;
        match scale {
            Some(scale) => *self.by_scale.entry(scale.to_lowercase()).or_default() += mass.u_kg,
            None => self.alone += mass.u_kg * mass.u_kg,
        }
    }

    fn made(&self) -> Kilograms {
        let scales: f64 = self.by_scale.values().map(|u| u * u).sum();
        Kilograms { kg: self.kg, u_kg: units::math::sqrt(scales + self.alone) }
    }
}

#[derive(Clone, Default)]
struct Line {
    jobs: std::collections::BTreeSet<Option<Uuid>>,
    charged: Sum,
    recovered: Sum,
    net: Sum,
    gap: Sum,
    unexplained: u64,
    compared: u64,
    owed: u64,
    undated: bool,
}

impl Line {
    fn made(&self, of: Of) -> AccountLine {
        let closes = if self.unexplained > 0 {
            Closes::No
        } else if self.owed > 0 || self.undated || self.compared == 0 {
            Closes::NotResolved
        } else {
            Closes::Yes
        };
        AccountLine {
            of,
            jobs: self.jobs.len() as u64,
            charged: self.charged.made(),
            recovered: self.recovered.made(),
            net: self.net.made(),
            gap: self.gap.made(),
            unexplained: self.unexplained,
            compared: self.compared,
            owed: self.owed,
            closes,
            last_gross: None,
            last_day: None,
            holds: None,
            recovery: None,
            retest: None,
        }
    }
}

/// A cylinder is the same where its name and its refrigerant are, whoever typed them.
type Key = (String, Option<String>);

fn key(cylinder: &str, refrigerant: Option<&String>) -> Key {
    (cylinder.to_lowercase(), refrigerant.cloned())
}

/// Returns every year that a weighing is dated in, the newest first.
#[must_use]
pub fn years<'a>(jobs: impl IntoIterator<Item = &'a Summary>) -> Vec<i32> {
    let days = jobs.into_iter().flat_map(|job| &job.moved).filter_map(|moved| moved.day);
    let mut years: Vec<i32> = days.map(|day| day.year()).collect();
    years.sort_unstable_by(|a, b| b.cmp(a));
    years.dedup();
    years
}

/// Returns the shop's account from the summaries of all its jobs, of one year or of all.
///
/// A gap belongs to the year in which it was found, that of the later weighing.
#[must_use]
pub fn accounts<'a>(jobs: impl IntoIterator<Item = &'a Summary>, year: Option<i32>) -> Accounts {
    let mut weighed: BTreeMap<Key, Vec<(Option<Uuid>, &Moved)>> = BTreeMap::new();
    let mut bottles: BTreeMap<String, (Option<Date>, &Bottle)> = BTreeMap::new();
    let mut all_years: Vec<i32> = Vec::new();
    for job in jobs {
        for moved in &job.moved {
            all_years.extend(moved.day.map(|day| day.year()));
            let key = key(&moved.cylinder, moved.refrigerant.as_ref());
            weighed.entry(key).or_default().push((job.job, moved));
        }
        for bottle in &job.bottles {
            let newest = bottles.entry(bottle.cylinder.to_lowercase()).or_insert((job.day, bottle));
            if newest.0 <= job.day {
                *newest = (job.day, bottle);
            }
        }
    }
    all_years.sort_unstable_by(|a, b| b.cmp(a));
    all_years.dedup();
    let mut out = Accounts { year, years: all_years, ..Accounts::default() };
    let mut by_refrigerant: BTreeMap<Of, Line> = BTreeMap::new();
    let mut by_year: BTreeMap<Of, Line> = BTreeMap::new();
    for ((_, refrigerant), mut entries) in weighed {
        // Entries of one day stand in the order they came; the sort keeps it.
        entries.sort_by_key(|(_, moved)| moved.day);
        let cylinder = entries[0].1.cylinder.clone();
        let mut own = Line::default();
        let mut last: Option<(Option<Uuid>, &Moved)> = None;
        let mut shown = false;
        for (job, moved) in &entries {
            let of_year = moved.day.map(|day| day.year());
            let wanted = year.is_none() || year == of_year;
            let gap = last.and_then(|(from_job, from)| gap(from_job, from, *job, moved));
            last = Some((*job, moved));
            if !wanted {
                continue;
            }
            shown = true;
            let of = Of { year: None, refrigerant: refrigerant.clone(), cylinder: None };
            let of_that_year = Of { year: of_year, ..of.clone() };
            let lines =
                [&mut own, by_refrigerant.entry(of).or_default(), by_year.entry(of_that_year).or_default()];
            for line in lines {
                book(line, *job, moved, gap.as_ref());
            }
            out.gaps.extend(gap.filter(|gap| gap.unexplained));
        }
        if shown {
            let of = Of { year: None, refrigerant: refrigerant.clone(), cylinder: Some(cylinder) };
            out.by_cylinder.push(of_cylinder(own.made(of), &entries, &bottles, year));
        }
    }
    let lines = |map: BTreeMap<Of, Line>| map.into_iter().map(|(of, line)| line.made(of)).collect();
    out.by_refrigerant = lines(by_refrigerant);
    out.by_year = lines(by_year);
    out.by_year.sort_by(|a, b| (b.of.year, &a.of.refrigerant).cmp(&(a.of.year, &b.of.refrigerant)));
    out.gaps.sort_by(|a, b| b.mass.kg.abs().total_cmp(&a.mass.kg.abs()));
    out
}

fn book(line: &mut Line, job: Option<Uuid>, moved: &Moved, gap: Option<&Gap>) {
    line.jobs.insert(job);
    line.undated |= moved.day.is_none();
    let scale = moved.scale.as_deref();
    match moved.mass {
        Some(mass) if moved.recovered => {
            line.recovered.add(mass, scale, 1.0);
            line.net.add(mass, scale, -1.0);
        }
        Some(mass) => {
            line.charged.add(mass, scale, 1.0);
            line.net.add(mass, scale, 1.0);
        }
        None => line.owed += 1,
    }
    if let Some(gap) = gap {
        line.compared += 1;
        line.unexplained += u64::from(gap.unexplained);
        // Each gap has its own two readings.
        line.gap.add(gap.mass, None, 1.0);
    }
}

/// The doubts of the two weighings count as independent: with one scale that says rather too much doubt than too little.
fn gap(from_job: Option<Uuid>, from: &Moved, to_job: Option<Uuid>, to: &Moved) -> Option<Gap> {
    let after = from.after?;
    from.day.zip(to.day)?;
    let kg = to.before.kg - after.kg;
    let u_kg = units::math::sqrt(after.u_kg * after.u_kg + to.before.u_kg * to.before.u_kg);
    Some(Gap {
        cylinder: to.cylinder.clone(),
        from_job,
        from: from.day,
        to_job,
        to: to.day,
        mass: Kilograms { kg, u_kg },
        unexplained: kg.abs() > 2.0 * u_kg,
    })
}

fn of_cylinder(
    mut line: AccountLine,
    entries: &[(Option<Uuid>, &Moved)],
    bottles: &BTreeMap<String, (Option<Date>, &Bottle)>,
    year: Option<i32>,
) -> AccountLine {
    let in_time = |moved: &Moved| year.is_none_or(|year| moved.day.is_some_and(|day| day.year() <= year));
    if let Some((_, last)) = entries.iter().rev().find(|(_, moved)| in_time(moved) && moved.after.is_some()) {
        line.last_gross = last.after;
        line.last_day = last.day;
    }
    let name = line.of.cylinder.as_deref().unwrap_or_default().to_lowercase();
    if let Some((_, bottle)) = bottles.get(&name) {
        line.recovery = Some(bottle.recovery);
        line.retest = bottle.retest;
        line.holds = line
            .last_gross
            .zip(bottle.tare_kg)
            .map(|(gross, tare)| Kilograms { kg: gross.kg - tare, u_kg: gross.u_kg });
    }
    line
}
