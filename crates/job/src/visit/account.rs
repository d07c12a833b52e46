//! The refrigerant account: what was added when, what that makes a year, and whether today's cylinders close.

use super::Visit;
use crate::doubts::known;
use field::annual_loss::{Addition, Amount, AnnualLoss, LossRate, RestoredState, annual_loss};
use field::ledger::{Entry as Booked, Ledger, Movement, ServiceLossKind, ledger};
use record::{Body, Change, Direction, Known, PastChange};
use rules::ExactMass;
use rules::leak_rate::{annualizing, rolling};
use units::Date;
use units::{Cause, Doubt, Mass, Uncertain, combine};

/// One refill of the past or of today.
#[derive(Clone, Debug)]
pub struct Refill {
    /// The day; reckoned from intervals where no day was given.
    pub day: Option<Date>,
    /// Whether the day was reckoned from an interval.
    pub reckoned: bool,
    /// How much, as far as anyone knows.
    pub amount: Amount,
    /// As it was typed.
    pub typed: String,
    /// Whether it is hearsay.
    pub told: bool,
    /// Whether it was weighed on this visit.
    pub today: bool,
    /// The mass exactly as typed, where there is one value.
    pub exact: Option<ExactMass>,
}

/// A leak rate as the law defines it, with what went into it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegalRate {
    /// Percent of the full charge a year, from exact arithmetic.
    pub percent: f64,
    /// The mass counted.
    pub added: Mass,
    /// The full charge.
    pub full_charge: Mass,
    /// The days counted.
    pub days: i32,
}

/// The account of a visit.
pub struct Account {
    /// Refills by day, those without a day last.
    pub refills: Vec<Refill>,
    /// What was taken out in the past.
    pub removals: Vec<Removal>,
    /// The day the system is known to have been full before the first refill.
    pub full_on: Option<Date>,
    /// A habit as told: refilled about every so often.
    pub habit: Option<Known<units::Duration>>,
    /// The annual loss, as far as the history supports one.
    pub loss: Option<AnnualLoss>,
    /// The same without what was weighed in today.
    pub loss_before: Option<AnnualLoss>,
    /// Today's cylinders.
    pub ledger: Ledger,
    /// What was weighed in less what was taken out today.
    pub net_today: Option<Uncertain<Mass>>,
    /// Cylinders whose weight after is still owed.
    pub owed: Vec<String>,
    /// The annualizing rate of 40 CFR 82.152, at the last refill.
    pub annualizing: Option<LegalRate>,
    /// The rolling average of 40 CFR 82.152, at the last refill.
    pub rolling: Option<LegalRate>,
}

/// Refrigerant taken out in the past, such as a winter's share in summer: not lost.
#[derive(Clone, Debug, PartialEq)]
pub struct Removal {
    /// The day.
    pub day: Date,
    /// How much.
    pub amount: Amount,
    /// As typed.
    pub typed: String,
}

/// What was taken out in the past, on this visit's record and on those before it.
fn removals_of(visit: &Visit) -> Vec<Removal> {
    let mut out: Vec<Removal> = Vec::new();
    for one in core::iter::once(visit).chain(&visit.earlier) {
        for (_, change) in one.entries(|body| match body {
            Body::PastChange(change) => Some(&**change),
            _ => None,
        }) {
            let day = change.on.as_ref().and_then(Known::value).and_then(record::When::local_day);
            let Some(day) = day.filter(|_| change.change == Some(Change::Removed)) else { continue };
            let amount = change.amount.as_ref();
            let removal = Removal {
                day,
                amount: amount.map_or(Amount::Unknown, |known| amount_of(known, out.len() + 1000)),
                typed: amount.map(Known::text).unwrap_or_default(),
            };
            if !out.iter().any(|other| other.day == removal.day && other.typed == removal.typed) {
                out.push(removal);
            }
        }
    }
    units::sort_small(&mut out, |a, b| a.day.cmp(&b.day));
    out
}

/// An addition less what was taken out since the one before it: what only went back in was not lost.
fn less(amount: &Amount, out: &[&Removal]) -> Amount {
    let mut left = amount.clone();
    for removal in out {
        left = match (left, &removal.amount) {
            (Amount::Known(mass), Amount::Known(taken)) => {
                let rest = (mass.value() - taken.value()).kilogram().max(0.0);
                Amount::Known(combine(Mass::from_kilogram(rest), [mass.part(1.0), taken.part(-1.0)]))
            }
            (Amount::Known(mass), Amount::Between(low, high)) => {
                let rest = |taken: &Mass| Mass::from_kilogram((mass.value() - *taken).kilogram().max(0.0));
                Amount::Between(rest(high), rest(low))
            }
            (Amount::Between(low, high), Amount::Known(taken)) => {
                let rest = |mass: Mass| Mass::from_kilogram((mass - taken.value()).kilogram().max(0.0));
                Amount::Between(rest(low), rest(high))
            }
            _ => Amount::Unknown,
        };
    }
    left
}

/// Returns the account.
#[must_use]
pub fn account(visit: &Visit) -> Account {
    let (mut refills, full_on, habit) = history_of_all(visit);
    let today = visit.day();
    let (booked, owed) = bookings(visit, today);
    let ledger = ledger(None, &booked);
    let weighed = booked.iter().any(|b| !matches!(b.movement, Movement::ServiceLoss(..)));
    let net_today = weighed.then(|| ledger.balance.clone());
    if let (Some(net), Some(day)) = (&net_today, today)
        && net.value().kilogram() > 0.0
    {
        refills.push(Refill {
            day: Some(day),
            reckoned: false,
            amount: Amount::Known(net.clone()),
            typed: String::new(),
            told: false,
            today: true,
            exact: exact_net(visit),
        });
    }
    units::sort_small(&mut refills, |a, b| (a.day.is_none(), a.day).cmp(&(b.day.is_none(), b.day)));
    let removals = removals_of(visit);
    let loss = loss_of(visit, &refills, &removals, full_on);
    let loss_before = if net_today.is_some() {
        loss_of(visit, refills.iter().filter(|r| !r.today), &removals, full_on)
    } else {
        loss.clone()
    };
    let (annualizing, rolling) = legal(visit, &refills, full_on);
    Account {
        refills,
        removals,
        full_on,
        habit,
        loss,
        loss_before,
        ledger,
        net_today,
        owed,
        annualizing,
        rolling,
    }
}

/// The annual loss of these refills.
fn loss_of<'a>(
    visit: &Visit,
    refills: impl IntoIterator<Item = &'a Refill>,
    removals: &[Removal],
    full_on: Option<Date>,
) -> Option<AnnualLoss> {
    let dated: Vec<(Date, &Amount)> =
        refills.into_iter().filter_map(|refill| Some((refill.day?, &refill.amount))).collect();
    let additions: Vec<Addition> = dated
        .iter()
        .map(|&(day, amount)| {
            let before = dated.iter().map(|(day, _)| *day).filter(|other| *other < day).max();
            let since =
                |removal: &&Removal| removal.day <= day && before.is_none_or(|before| removal.day > before);
            // Several additions of one day: what was taken out counts against the first of them.
            let first = dated
                .iter()
                .find(|(other, _)| *other == day)
                .is_some_and(|(_, one)| core::ptr::eq(*one, amount));
            let out: Vec<&Removal> = if first { removals.iter().filter(since).collect() } else { Vec::new() };
            Addition { day, amount: less(amount, &out) }
        })
        .collect();
    let charge = visit.system.value.charge.as_ref().and_then(|charge| known(charge, "charge"));
    let state = RestoredState { full_charge: charge.map(|charge| charge.value()), within: None };
    // The rate counts from the first refill to the last; the day it was full before serves the intervals, and the rate
    // only where there is no second refill.
    let from_full = annual_loss(&additions, full_on, &state, None).ok();
    match annual_loss(&additions, None, &state, None) {
        Ok(mut loss) if !matches!(loss.leak, LossRate::Unknown) => {
            if let Some(longer) = from_full {
                loss.intervals = longer.intervals;
                loss.trend = longer.trend;
            }
            Some(loss)
        }
        other => from_full.or(other.ok()),
    }
}

type History = (Vec<Refill>, Option<Date>, Option<Known<units::Duration>>);

/// The refills of the past as this visit and the earlier ones were told them, and what was weighed on the earlier ones.
///
/// What was told again counts once; of a refill that was weighed and is told the weighing counts.
fn history_of_all(visit: &Visit) -> History {
    let (mut refills, mut full_on, mut habit) = history(visit);
    for before in visit.earlier.iter().rev() {
        let (told, full, every) = history(before);
        full_on = full.or(full_on);
        habit = habit.or(every);
        for refill in told {
            let again = |other: &Refill| other.day == refill.day && other.typed == refill.typed;
            if !refills.iter().any(again) {
                refills.push(refill);
            }
        }
    }
    let weighed: Vec<Refill> = visit.earlier.iter().filter_map(weighed_then).collect();
    refills.retain(|told| told.reckoned || !weighed.iter().any(|refill| refill.day == told.day));
    refills.extend(weighed);
    (refills, full_on, habit)
}

/// What was weighed in on an earlier visit, less what was taken out.
fn weighed_then(before: &Visit) -> Option<Refill> {
    let day = before.day()?;
    let (booked, _) = bookings(before, Some(day));
    let net = ledger(None, &booked).balance;
    let weighed = booked.iter().any(|b| !matches!(b.movement, Movement::ServiceLoss(..)));
    (weighed && net.value().kilogram() > 0.0).then(|| Refill {
        day: Some(day),
        reckoned: false,
        typed: before.writer().write_uncertain(&net).to_string(),
        amount: Amount::Known(net),
        told: false,
        today: false,
        exact: exact_net(before),
    })
}

/// The refills of the past, their days reckoned from intervals where no day was given.
fn history(visit: &Visit) -> History {
    let changes: Vec<(&PastChange, bool)> = visit
        .entries(|body| match body {
            Body::PastChange(change) => Some(&**change),
            _ => None,
        })
        .map(|(entry, change)| (change, entry.seen.told_by.is_some()))
        .filter(|(change, _)| change.change != Some(Change::Removed))
        .collect();
    let habit = changes.iter().find_map(|(change, _)| change.every.clone());
    let dated: Vec<&(&PastChange, bool)> =
        changes.iter().filter(|(change, _)| change.every.is_none()).collect();
    let after = |change: &PastChange| -> Option<i32> {
        let known = change.after.as_ref()?;
        let (from, to) = known.bounds()?;
        Some(((from.day() + to.day()) / 2.0 + 0.5) as i32)
    };
    let mut days: Vec<Option<Date>> =
        dated.iter().map(|(change, _)| change.on.as_ref().and_then(Known::value)?.local_day()).collect();
    let given = days.clone();
    for at in 1..days.len() {
        if days[at].is_none() {
            days[at] = days[at - 1]
                .zip(after(dated[at].0))
                .map(|(day, step)| Date::from_day_number(day.day_number() + step));
        }
    }
    for at in (0..days.len().saturating_sub(1)).rev() {
        if days[at].is_none() {
            days[at] = days[at + 1]
                .zip(after(dated[at + 1].0))
                .map(|(day, step)| Date::from_day_number(day.day_number() - step));
        }
    }
    // The first refill's own interval tells when the system was full before it.
    let full_on = dated.first().zip(days.first()).and_then(|((change, _), day)| {
        let step = after(change)?;
        day.map(|day| Date::from_day_number(day.day_number() - step))
    });
    let refills = dated
        .iter()
        .enumerate()
        .map(|(at, (change, told))| {
            let amount = change.amount.as_ref();
            Refill {
                day: days[at],
                reckoned: days[at].is_some() && given[at].is_none(),
                amount: amount.map_or(Amount::Unknown, |known| amount_of(known, at)),
                typed: amount.map(Known::text).unwrap_or_default(),
                told: *told || amount.is_some_and(Known::is_told),
                today: false,
                exact: amount.and_then(Known::typed).and_then(|typed| exact(&typed.text)),
            }
        })
        .collect();
    (refills, full_on, habit)
}

fn amount_of(amount: &Known<Mass>, at: usize) -> Amount {
    match amount.plain() {
        Known::Range { from, to } => Amount::Between(from.value, to.value),
        Known::Unknown | Known::Told { .. } => Amount::Unknown,
        Known::Value(_) | Known::About(_) => {
            known(amount, &format!("refill {}", at + 1)).map_or(Amount::Unknown, Amount::Known)
        }
    }
}

/// Today's weighings and hose losses as movements, and the cylinders whose weight after is owed.
fn bookings(visit: &Visit, today: Option<Date>) -> (Vec<Booked>, Vec<String>) {
    let mut booked = Vec::new();
    let mut owed = Vec::new();
    let weighings = visit.entries(|body| match body {
        Body::Weighing(weighing) => Some(&**weighing),
        _ => None,
    });
    for (number, (entry, weighing)) in weighings.enumerate() {
        let day = entry.seen.at.as_ref().and_then(record::When::local_day).or(today);
        let day = day.unwrap_or(Date::from_day_number(0));
        let Some(after) = &weighing.after else {
            owed.push(weighing.cylinder.clone());
            continue;
        };
        let with = &entry.seen.with;
        let key = |end: &str| format!("{} {end} {}", weighing.cylinder, number + 1);
        let before = visit.bench.mass(&weighing.before, with, &key("before"));
        let after = visit.bench.mass(after, with, &key("after"));
        let cylinder = weighing.cylinder.clone();
        let movement = match weighing.direction {
            Direction::Charged => Movement::Charged { cylinder, before, after },
            Direction::Recovered => Movement::Recovered { cylinder, before, after },
        };
        booked.push(Booked { day, movement });
        if let Some(loss) = weighing.hose_loss.as_ref().and_then(|loss| known(loss, "hose loss")) {
            booked.push(Booked { day, movement: Movement::ServiceLoss(ServiceLossKind::Hoses, loss) });
        }
    }
    (booked, owed)
}

/// What was weighed in less what was taken out, exactly as typed; hose losses are an estimate and stay out.
fn exact_net(visit: &Visit) -> Option<ExactMass> {
    let mut net = ExactMass::ZERO;
    for (_, weighing) in visit.entries(|body| match body {
        Body::Weighing(weighing) => Some(&**weighing),
        _ => None,
    }) {
        // Charged: before less after; recovered: the same difference counts against it.
        net = net + exact(&weighing.before.value.text)? - exact(&weighing.after.as_ref()?.value.text)?;
    }
    Some(net)
}

/// Returns a mass exactly as typed; its comma, which the reader has found to be a decimal mark, as a point.
fn exact(text: &str) -> Option<ExactMass> {
    text.replace(',', ".").parse().ok()
}

/// Both formulas of 40 CFR 82.152 at the last refill, where every mass needed stands as typed.
fn legal(visit: &Visit, refills: &[Refill], full_on: Option<Date>) -> (Option<LegalRate>, Option<LegalRate>) {
    let charge = visit.system.value.charge.as_ref().and_then(Known::typed);
    let Some(full) = charge.and_then(|charge| exact(&charge.text)) else { return (None, None) };
    let dated: Vec<(Date, ExactMass)> =
        refills.iter().filter_map(|refill| Some((refill.day?, refill.exact?))).collect();
    let Some((last_day, last_mass)) = dated.last().copied() else { return (None, None) };
    // Every refill that can fall into the year before the last one must stand exactly; and one refill in this record
    // says nothing of those before it.
    let counts = |refill: &Refill| refill.day.is_none_or(|day| last_day.days_since(day) <= 365);
    if dated.len() < 2 || refills.iter().any(|refill| counts(refill) && refill.exact.is_none()) {
        return (None, None);
    }
    let rate = |percent: rules::Ratio, added: ExactMass, days: i32| LegalRate {
        percent: percent.to_f64(),
        added: added.to_mass(),
        full_charge: full.to_mass(),
        days,
    };
    let before = dated.len().checked_sub(2).map(|at| dated[at].0).or(full_on);
    let annual = before.and_then(|day| {
        let days = last_day.days_since(day);
        Some(rate(annualizing(last_mass, full, days).ok()?, last_mass, days.min(rules::leak_rate::YEAR)))
    });
    let additions: Vec<(Date, ExactMass)> = dated.iter().map(|(day, mass)| (*day, *mass)).collect();
    let window = rolling(&additions, full, last_day, None).ok();
    (annual, window.map(|found| rate(found.percent, found.sum, last_day.days_since(found.from))))
}

/// Returns the charge that the system should hold now after today, where it was full at the last refill: a bound, not a
/// measurement.
#[must_use]
pub fn restored(charge: &Uncertain<Mass>) -> Uncertain<Mass> {
    let half = charge.value() * field::annual_loss::RESTORED_WITHIN.ratio();
    combine(charge.value(), [charge.part(1.0)])
        .and(Doubt::new(Cause::Judgement, "restored state"), half.kilogram() / units::math::sqrt(3.0))
}
