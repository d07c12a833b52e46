//! The follow-up of a repair: what each look could see if the repair had failed, when it is worth coming, and what came of it.

mod show;

pub use show::{calendar_lines, data, document, section};

use crate::place::same;
use crate::visit::Visit;
use crate::visit::account::Account;
use field::annual_loss::{Amount, LossRate, Trend};
use field::charge::{flooded_fraction, winter_charge};
use field::follow_up::{Look, RateBelief, chance, sees_after};
use record::{Body, CheckResult, Known, Measures, PassFail, StepOf};
use units::{Date, Duration, Fraction, Mass, MassFlow, Temperature, Volume};

/// How sure a look must be before it is worth the way (judgement).
pub const WANTED: Fraction = Fraction::from_ratio(0.95);
/// What a repair that half failed leaves of a leak (judgement).
const A_TENTH: Fraction = Fraction::from_ratio(0.1);
/// How often a leak that a detector is rated for is found by who looks at the place itself (judgement).
const FOUND: Fraction = Fraction::from_ratio(0.9);
/// How well a level is read by somebody on the telephone, and by a technician: half-width, of the receiver (judgement).
const LEVEL_BY_PHONE: f64 = 0.15;
const LEVEL_HERE: f64 = 0.05;
/// The spread of the logarithm of a rate that is only bounded from below (judgement).
const BOUND_ONLY: f64 = 0.7;
/// The part of the charge by which a fill up to a clear glass may differ, as the law of the loss takes it.
const DEAD_BAND: f64 = 0.05;

/// A way to look at a follow-up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Way {
    /// A glass or a subcooling on a warm day.
    Glass,
    /// The air of the box, as the customer notices it.
    Box,
    /// The first night as cold as this.
    ColdNight(Temperature),
    /// The level of the receiver, told by telephone.
    LevelByPhone,
    /// The level of the receiver, read on the spot.
    Level,
    /// A detector or soap at the mended place.
    There,
}

/// What a look could see.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// How.
    pub way: Way,
    /// The chance after 24 h, if the repair did nothing.
    pub day: Fraction,
    /// The chance after 30 days, if it did nothing.
    pub month: Fraction,
    /// The chance after 30 days, if it left a tenth of the leak.
    pub tenth: Fraction,
    /// After how long it sees a leak that was not mended at all, 95 times in 100.
    pub sure_after: Option<Duration>,
}

/// What came of a follow-up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// It is still to be made.
    Open,
    /// A look at the place, late enough, was clean: the follow-up is closed.
    Passed(Date),
    /// The place leaks again.
    Failed(Date),
}

/// The follow-up of the last repair of a leak.
#[derive(Clone, Debug, PartialEq)]
pub struct FollowUp {
    /// The place that was mended.
    pub place: String,
    /// The day of the repair.
    pub repaired: Date,
    /// What is believed of the leak.
    pub leak: RateBelief,
    /// Whether the rate is only bounded from below.
    pub bound_only: bool,
    /// What each look could see.
    pub rows: Vec<Row>,
    /// The ways of looking that cannot be judged for want of this fact, by its field.
    pub wanting: Vec<&'static str>,
    /// The day to come back.
    pub on: Date,
    /// What came of it.
    pub state: State,
}

/// The repair of a leak that was made last: its place and its day.
fn last_repair(visit: &Visit) -> Option<(String, Date)> {
    let of = |visit: &Visit| {
        let day = visit.day();
        let repairs = visit.entries(|body| match body {
            Body::Repair(repair) => Some(&**repair),
            _ => None,
        });
        repairs
            .filter_map(|(entry, repair)| {
                let place = repair.leak.clone().or_else(|| entry.seen.place.clone())?;
                let day = entry.seen.at.as_ref().and_then(record::When::local_day).or(day)?;
                Some((place, day))
            })
            .last()
    };
    of(visit).or_else(|| visit.earlier.iter().rev().find_map(of))
}

/// Returns the follow-up of the last repair; nothing where nothing was mended or nothing is known of the loss.
#[must_use]
pub fn of(visit: &Visit, account: &Account) -> Option<FollowUp> {
    let (place, repaired) = last_repair(visit)?;
    let loss = account.loss_before.as_ref().or(account.loss.as_ref())?;
    // Where it got faster beyond doubt, the last stretch tells what the leak was when it was mended.
    let last = loss.intervals.last().filter(|_| loss.trend == Trend::Faster).map(|interval| &interval.rate);
    let rate = last.filter(|rate| matches!(rate, LossRate::Known { .. })).unwrap_or(&loss.leak);
    let (leak, bound_only) = match rate {
        LossRate::Known { rate, low, high } => (RateBelief::new(rate.value(), *low, *high)?, false),
        LossRate::AtLeast(rate) if rate.kilogram_per_year() > 0.0 => {
            (RateBelief { median: *rate, spread: BOUND_ONLY }, true)
        }
        LossRate::AtLeast(_) | LossRate::Unknown => return None,
    };
    let mut wanting = Vec::new();
    let mut looks: Vec<(Way, Look)> = Vec::new();
    match noticed(account) {
        Some((least, most)) => {
            looks.push((Way::Glass, Look::Reserve { least: Mass::from_kilogram(0.0), most: least }));
            looks.push((Way::Box, Look::Reserve { least, most }));
        }
        None => wanting.push("amount"),
    }
    match cold_night(visit, leak) {
        Ok(Some(look)) => looks.push(look),
        Ok(None) => {}
        Err(field) => wanting.push(field),
    }
    match receiver(visit) {
        Some(whole) => {
            let u = |half: f64| Mass::from_kilogram(whole.kilogram() * half / units::math::sqrt(3.0));
            looks.push((Way::LevelByPhone, Look::Twice { u: u(LEVEL_BY_PHONE) }));
            looks.push((Way::Level, Look::Twice { u: u(LEVEL_HERE) }));
        }
        None => wanting.push("receiver_volume"),
    }
    match detector(visit) {
        Some(least) => looks.push((Way::There, Look::There { least, found: FOUND })),
        None => wanting.push("sensitivity"),
    }
    let (day, month) = (Duration::from_day(1.0), Duration::from_day(30.0));
    let rows: Vec<Row> = looks
        .into_iter()
        .map(|(way, look)| Row {
            way,
            day: chance(leak, look, day),
            month: chance(leak, look, month),
            tenth: chance(leak.part(A_TENTH), look, month),
            sure_after: sees_after(leak, look, WANTED),
        })
        .collect();
    let on = repaired.days_after(days_to_wait(&rows));
    let state = state(visit, &place, repaired, on);
    Some(FollowUp { place, repaired, leak, bound_only, rows, wanting, on, state })
}

/// The days until a look that needs time sees enough: a week at least, a quarter of a year at most, 30 where none can say.
fn days_to_wait(rows: &[Row]) -> i32 {
    let timed = rows.iter().filter(|row| row.way != Way::There).filter_map(|row| row.sure_after);
    let first = timed.map(|after| after.day()).fold(f64::INFINITY, f64::min);
    if first.is_finite() { (first.clamp(7.0, 90.0) as i32 + 1).min(90) } else { 30 }
}

/// The smallest and the largest refill: what was missing each time somebody noticed.
fn noticed(account: &Account) -> Option<(Mass, Mass)> {
    let known =
        account.refills.iter().filter(|refill| !refill.today).filter_map(|refill| match &refill.amount {
            Amount::Known(mass) => Some((mass.value(), mass.value())),
            Amount::Between(low, high) => Some((*low, *high)),
            Amount::AtLeast(_) | Amount::Unknown => None,
        });
    known.reduce(|(a, b), (c, d)| (if c < a { c } else { a }, if d > b { d } else { b }))
}

/// The first night that is cold enough to take up what a failed repair has lost by then.
fn cold_night(visit: &Visit, leak: RateBelief) -> Result<Option<(Way, Look)>, &'static str> {
    use record::HeadControl;
    let system = &visit.system.value;
    match system.head_control.as_ref().and_then(Known::value) {
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans) => {}
        Some(_) => return Ok(None),
        None => return Err("head_control"),
    }
    let fluid = &visit.substance.as_ref().ok_or("refrigerant")?.fluid;
    let volume = system.condenser_volume.as_ref().and_then(|v| crate::doubts::known(v, "condenser volume"));
    let volume = volume.ok_or("condenser_volume")?;
    let split = *system.design_split.as_ref().and_then(Known::value).ok_or("design_split")?;
    let coldest = *system.coldest_ambient.as_ref().and_then(Known::value).ok_or("coldest_ambient")?;
    let head = system.head_setting.as_ref().and_then(Known::value).ok_or("head_setting")?;
    let head = crate::visit::readings::head_temperature(visit, head).ok_or("head_setting")?;
    let charge = system.charge.as_ref().and_then(Known::value).ok_or("charge")?;
    let stands = |at: Temperature| {
        let flooded = flooded_fraction(split, head, at).ok()?;
        let extra = winter_charge(fluid, &volume, flooded, head, at, None).ok()?;
        Some(extra.extra.value().kilogram())
    };
    let full = stands(coldest).ok_or("coldest_ambient")?;
    let band = charge.kilogram() * DEAD_BAND;
    // By the month a leak that was not mended has lost this much; the night that wants all but half of it back.
    let month = leak.median.kilogram_per_year() * 30.0 / 365.25;
    let (mut warm, mut cold) = (head.kelvin(), coldest.kelvin());
    for _ in 0..30 {
        let middle = 0.5 * (warm + cold);
        let reserve = full - stands(Temperature::from_kelvin(middle)).unwrap_or(0.0);
        if reserve > 0.5 * month { warm = middle } else { cold = middle }
    }
    let night = Temperature::from_kelvin(cold);
    let least = Mass::from_kilogram((full - stands(night).unwrap_or(full)).max(0.0));
    let most = Mass::from_kilogram(least.kilogram() + band);
    Ok(Some((Way::ColdNight(night), Look::Reserve { least, most })))
}

/// What the receiver holds when it is full, as liquid on a warm day.
fn receiver(visit: &Visit) -> Option<Mass> {
    let system = &visit.system.value;
    let volume: Volume = *system.receiver_volume.as_ref().and_then(Known::value)?;
    let warm = system.hottest_ambient.as_ref().and_then(Known::value).copied();
    let warm = warm.unwrap_or(Temperature::from_celsius(30.0));
    let density = visit.substance.as_ref()?.fluid.bubble_at_temperature(warm).ok()?.density;
    Some(Mass::from_kilogram(volume.cubic_metre() * density.kilogram_per_cubic_metre()))
}

fn detector(visit: &Visit) -> Option<MassFlow> {
    let detectors = visit.bench.instruments().filter(|one| one.measures == Measures::Leak);
    let rated = detectors.filter_map(|one| Some(one.sensitivity.as_ref()?.value));
    rated.reduce(|a, b| if b < a { b } else { a })
}

/// What came of it: a look at the place, or a follow-up test, after the repair's own visit.
fn state(visit: &Visit, place: &str, repaired: Date, on: Date) -> State {
    let mut state = State::Open;
    for each in visit.earlier.iter().chain(core::iter::once(visit)) {
        for entry in &each.current.entries {
            let day = entry.seen.at.as_ref().and_then(record::When::local_day).or_else(|| each.day());
            let Some(day) = day.filter(|day| *day > repaired) else { continue };
            let there = entry.seen.place.as_deref().is_some_and(|at| same(at, place));
            match entry.what() {
                Body::LeakCheck(check) if there && check.result == CheckResult::Hit => {
                    state = State::Failed(day);
                }
                // A look too early has not seen anything.
                Body::LeakCheck(check) if there && check.result == CheckResult::Clean && day >= on => {
                    state = State::Passed(day);
                }
                Body::Step(step) if step.what == StepOf::FollowUpTest => match step.result {
                    Some(PassFail::Fail) => state = State::Failed(day),
                    Some(PassFail::Pass) if day >= on => state = State::Passed(day),
                    _ => {}
                },
                _ => {}
            }
        }
    }
    state
}
