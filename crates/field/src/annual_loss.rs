//! The annual loss of a system from its history of top-ups, with its interval.

use units::Date;
use units::{Cause, Doubt, Duration, Fraction, Mass, MassFlow, Uncertain, combine};

/// How much was added, as far as anyone knows.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A mass with its doubt.
    Known(Uncertain<Mass>),
    /// Somewhere between the two, each value as likely as another.
    Between(Mass, Mass),
    /// This much or more.
    AtLeast(Mass),
    /// Nobody knows.
    Unknown,
}

/// One addition of refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub struct Addition {
    /// The day.
    pub day: Date,
    /// How much.
    pub amount: Amount,
}

/// What is known of the state of charge that each addition restored.
#[derive(Clone, Debug, PartialEq)]
pub struct RestoredState {
    /// The full charge, if known.
    pub full_charge: Option<Mass>,
    /// Half-width within which each addition restored the same state, as a part of the full charge.
    /// Without a statement: 5 %, named as assumed.
    pub within: Option<Fraction>,
}

/// A loss rate as far as the history supports one.
#[derive(Clone, Debug, PartialEq)]
pub enum LossRate {
    /// The rate, and its k = 2 interval cut off at zero.
    Known {
        /// The rate.
        rate: Uncertain<MassFlow>,
        /// Lower end of the k = 2 interval, not below zero.
        low: MassFlow,
        /// Upper end of the k = 2 interval.
        high: MassFlow,
    },
    /// At least this: some additions are unknown, or only one addition bounds it.
    AtLeast(MassFlow),
    /// Nothing can be said.
    Unknown,
}

/// The stretch from one addition to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Interval {
    /// The day of the addition that starts it.
    pub from: Date,
    /// The day of the addition that ends it.
    pub to: Date,
    /// What was lost in it: the addition at its end.
    pub lost: Amount,
    /// Its rate.
    pub rate: LossRate,
}

/// Whether the loss is getting faster.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trend {
    /// The last interval is faster than the first, beyond their doubts (k = 2).
    Faster,
    /// The last interval is slower than the first, beyond their doubts (k = 2).
    Slower,
    /// Cannot be told.
    NotResolved,
}

/// What was assumed or left out, to be said with the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LossNote {
    /// Each addition is taken to restore the same state within this part of the charge.
    RestoredWithinAssumed(Fraction),
    /// The full charge is unknown, so the doubt about the restored state is not in the interval.
    ChargeUnknown,
    /// This many additions have no stated amount.
    AmountsUnknown(usize),
    /// Only one addition: a bound, no rate.
    OneAddition,
    /// The k = 2 interval reaches below zero, which a loss cannot.
    NotAboveZero,
}

/// The annual loss and how it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct AnnualLoss {
    /// Loss in all, service losses included.
    pub total: LossRate,
    /// Service losses over the same time: their own line.
    pub service: MassFlow,
    /// Loss by leak: the total less service losses.
    pub leak: LossRate,
    /// First and last day counted.
    pub period: Option<(Date, Date)>,
    /// The time between them.
    pub time: Duration,
    /// Mass counted: the additions from the second on.
    pub counted: Option<Mass>,
    /// The stretches between additions.
    pub intervals: Vec<Interval>,
    /// Whether it is getting faster.
    pub trend: Trend,
    /// What to say with it.
    pub notes: Vec<LossNote>,
}

/// Why there is no annual loss.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AnnualLossError {
    /// No additions were given.
    NoAdditions,
    /// All additions are on one day.
    NoTime(Date),
    /// An amount below zero, or a range the wrong way round.
    Amount(Date),
    /// The full charge is not above zero.
    FullCharge(Mass),
    /// The earliest day it can have been full lies after the first addition.
    FullAfterAddition(Date),
}

/// Half-width of the restored state where nothing is stated: 5 % of the charge.
pub const RESTORED_WITHIN: Fraction = Fraction::from_ratio(0.05);

/// Returns the annual loss from additions that each restored the same state.
///
/// The sum of additions from the second on, over the time from first to last. The doubt of the restored state enters
/// once at each end (a rectangular half-width). With one addition, and the day `full_on` on which the system is known
/// to have been in that same state (such as its first charge), that day counts as the first; otherwise one addition is
/// no rate. Additions on one day count together. `service_losses` are those made good by the additions counted.
///
/// # Errors
/// [`AnnualLossError`] for no additions, no time between them, or impossible amounts.
pub fn annual_loss(
    additions: &[Addition],
    full_on: Option<Date>,
    state: &RestoredState,
    service_losses: Option<&Uncertain<Mass>>,
) -> Result<AnnualLoss, AnnualLossError> {
    if let Some(charge) = state.full_charge
        && (charge.kilogram().is_nan() || charge.kilogram() <= 0.0)
    {
        return Err(AnnualLossError::FullCharge(charge));
    }
    let mut steps: Vec<(Date, Vec<&Amount>)> = Vec::new();
    let mut order: Vec<&Addition> = additions.iter().collect();
    units::sort_small(&mut order, |a, b| a.day.cmp(&b.day));
    for addition in order {
        check_amount(addition)?;
        match steps.last_mut() {
            Some((day, amounts)) if *day == addition.day => amounts.push(&addition.amount),
            _ => steps.push((addition.day, vec![&addition.amount])),
        }
    }
    let Some(first) = steps.first().map(|(day, _)| *day) else {
        return Err(AnnualLossError::NoAdditions);
    };
    match full_on {
        Some(day) if day > first => return Err(AnnualLossError::FullAfterAddition(day)),
        Some(day) if day < first => steps.insert(0, (day, Vec::new())),
        _ => {}
    }
    let mut notes = Vec::new();
    let doubt_of_state = match (state.full_charge, state.within) {
        (None, _) => {
            notes.push(LossNote::ChargeUnknown);
            0.0
        }
        (Some(charge), within) => {
            if within.is_none() {
                notes.push(LossNote::RestoredWithinAssumed(RESTORED_WITHIN));
            }
            charge.kilogram() * within.unwrap_or(RESTORED_WITHIN).ratio() / units::math::sqrt(3.0)
        }
    };
    if steps.len() == 1 {
        if additions.len() > 1 {
            return Err(AnnualLossError::NoTime(first));
        }
        notes.push(LossNote::OneAddition);
        return Ok(AnnualLoss {
            total: LossRate::Unknown,
            service: MassFlow::from_kilogram_per_second(0.0),
            leak: LossRate::Unknown,
            period: None,
            time: Duration::from_second(0.0),
            counted: None,
            intervals: Vec::new(),
            trend: Trend::NotResolved,
            notes,
        });
    }
    let intervals: Vec<Interval> = steps
        .windows(2)
        .map(|pair| {
            let time = Duration::from_day(pair[1].0.days_since(pair[0].0) as f64);
            let lost = add_up(&pair[1].1, pair[1].0);
            let rate = rate_of(&lost, time, pair[0].0, pair[1].0, doubt_of_state);
            Interval { from: pair[0].0, to: pair[1].0, lost, rate }
        })
        .collect();
    let last = intervals[intervals.len() - 1].to;
    let from = intervals[0].from;
    let time = Duration::from_day(last.days_since(from) as f64);
    let unknown = steps[1..].iter().flat_map(|(_, amounts)| amounts).filter(|a| is_open(a)).count();
    if unknown > 0 {
        notes.push(LossNote::AmountsUnknown(unknown));
    }
    let lost = add_up_intervals(&intervals);
    let total = rate_of(&lost, time, from, last, doubt_of_state);
    let service_mass = service_losses.cloned().unwrap_or(Uncertain::exact(Mass::from_kilogram(0.0)));
    let leak = rate_of(&less(&lost, &service_mass), time, from, last, doubt_of_state);
    if let LossRate::Known { rate, .. } = &leak
        && rate.interval(2.0).0.kilogram_per_second() < 0.0
    {
        notes.push(LossNote::NotAboveZero);
    }
    let trend = trend(&intervals);
    Ok(AnnualLoss {
        total,
        service: service_mass.value() / time,
        leak,
        period: Some((from, last)),
        time,
        counted: match &lost {
            Amount::Known(mass) => Some(mass.value()),
            Amount::AtLeast(mass) => Some(*mass),
            Amount::Between(..) | Amount::Unknown => None,
        },
        intervals,
        trend,
        notes,
    })
}

/// Returns the annual loss between two states of charge that are known, each with its doubt.
///
/// Start, plus what was added net, less end, over the time between. Service losses are already out of `added_net` if
/// they were booked there.
///
/// # Errors
/// [`AnnualLossError::NoTime`] if the second day is not after the first.
pub fn loss_between(
    start: (Date, &Uncertain<Mass>),
    added_net: &Uncertain<Mass>,
    end: (Date, &Uncertain<Mass>),
) -> Result<Uncertain<MassFlow>, AnnualLossError> {
    let days = end.0.days_since(start.0);
    if days < 1 {
        return Err(AnnualLossError::NoTime(start.0));
    }
    let time = Duration::from_day(days as f64);
    let lost = start.1.value() + added_net.value() - end.1.value();
    let per = 1.0 / time.second();
    Ok(combine(lost / time, [start.1.part(per), added_net.part(per), end.1.part(-per)]))
}

fn check_amount(addition: &Addition) -> Result<(), AnnualLossError> {
    let good = match &addition.amount {
        Amount::Known(mass) => mass.value().kilogram() >= 0.0,
        Amount::Between(low, high) => low.kilogram() >= 0.0 && high.kilogram() >= low.kilogram(),
        Amount::AtLeast(mass) => mass.kilogram() >= 0.0,
        Amount::Unknown => true,
    };
    if good { Ok(()) } else { Err(AnnualLossError::Amount(addition.day)) }
}

fn is_open(amount: &Amount) -> bool {
    matches!(amount, Amount::AtLeast(_) | Amount::Unknown)
}

/// Adds up what was added on one day: a known mass if all is known, else the least it can have been.
fn add_up(amounts: &[&Amount], day: Date) -> Amount {
    let mut total = Uncertain::exact(Mass::from_kilogram(0.0));
    for (at, amount) in amounts.iter().enumerate() {
        let mass = match amount {
            Amount::Known(mass) => mass.clone(),
            Amount::Between(low, high) => {
                let middle = (*low + *high) / 2.0;
                let half = (*high - *low).kilogram() / 2.0;
                Uncertain::within(
                    middle,
                    Doubt::new(Cause::Range, format!("addition {} of {day}", at + 1)),
                    half,
                )
            }
            Amount::AtLeast(_) | Amount::Unknown => {
                let least = amounts.iter().map(|amount| least(amount)).sum::<Mass>();
                return if least.kilogram() > 0.0 { Amount::AtLeast(least) } else { Amount::Unknown };
            }
        };
        total = combine(total.value() + mass.value(), [total.part(1.0), mass.part(1.0)]);
    }
    Amount::Known(total)
}

fn least(amount: &Amount) -> Mass {
    match amount {
        Amount::Known(mass) => Mass::from_kilogram((mass.value().kilogram() - 2.0 * mass.u()).max(0.0)),
        Amount::Between(low, _) => *low,
        Amount::AtLeast(mass) => *mass,
        Amount::Unknown => Mass::from_kilogram(0.0),
    }
}

fn add_up_intervals(intervals: &[Interval]) -> Amount {
    let mut total = Uncertain::exact(Mass::from_kilogram(0.0));
    for interval in intervals {
        match &interval.lost {
            Amount::Known(mass) => {
                total = combine(total.value() + mass.value(), [total.part(1.0), mass.part(1.0)]);
            }
            _ => {
                let least = intervals.iter().map(|i| least(&i.lost)).sum::<Mass>();
                return if least.kilogram() > 0.0 { Amount::AtLeast(least) } else { Amount::Unknown };
            }
        }
    }
    Amount::Known(total)
}

fn less(lost: &Amount, service: &Uncertain<Mass>) -> Amount {
    match lost {
        Amount::Known(mass) => {
            Amount::Known(combine(mass.value() - service.value(), [mass.part(1.0), service.part(-1.0)]))
        }
        Amount::AtLeast(mass) => {
            let most_service = service.value().kilogram() + 2.0 * service.u();
            let left = mass.kilogram() - most_service;
            if left > 0.0 { Amount::AtLeast(Mass::from_kilogram(left)) } else { Amount::Unknown }
        }
        other => other.clone(),
    }
}

fn rate_of(lost: &Amount, time: Duration, from: Date, to: Date, doubt_of_state: f64) -> LossRate {
    match lost {
        Amount::Known(mass) => {
            let state = |day: Date| Doubt::new(Cause::Judgement, format!("state of charge {day}"));
            let doubtful = mass.clone().and(state(from), -doubt_of_state).and(state(to), doubt_of_state);
            let rate = doubtful.map(mass.value() / time, 1.0 / time.second());
            let (low, high) = rate.interval(2.0);
            LossRate::Known {
                low: MassFlow::from_kilogram_per_second(low.kilogram_per_second().max(0.0)),
                high,
                rate,
            }
        }
        Amount::AtLeast(mass) => {
            // The end states may differ by the doubt of both, which a bound must leave out.
            let sure = mass.kilogram() - 2.0 * units::math::sqrt(2.0) * doubt_of_state;
            if sure > 0.0 { LossRate::AtLeast(Mass::from_kilogram(sure) / time) } else { LossRate::Unknown }
        }
        Amount::Between(..) | Amount::Unknown => LossRate::Unknown,
    }
}

fn trend(intervals: &[Interval]) -> Trend {
    let (Some(first), Some(last)) = (intervals.first(), intervals.last()) else {
        return Trend::NotResolved;
    };
    if intervals.len() < 2 {
        return Trend::NotResolved;
    }
    match (&first.rate, &last.rate) {
        (LossRate::Known { rate: a, .. }, LossRate::Known { rate: b, .. }) => {
            let change = b.value() - a.value();
            let change = combine(change, [b.part(1.0), a.part(-1.0)]);
            let (low, high) = change.interval(2.0);
            if low.kilogram_per_second() > 0.0 {
                Trend::Faster
            } else if high.kilogram_per_second() < 0.0 {
                Trend::Slower
            } else {
                Trend::NotResolved
            }
        }
        (LossRate::Known { high, .. }, LossRate::AtLeast(b)) if b > high => Trend::Faster,
        (LossRate::AtLeast(a), LossRate::Known { high, .. }) if a > high => Trend::Slower,
        _ => Trend::NotResolved,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        text.parse().unwrap()
    }
    fn known(kilogram: f64) -> Amount {
        Amount::Known(Uncertain::exact(Mass::from_kilogram(kilogram)))
    }
    fn added(date: &str, amount: Amount) -> Addition {
        Addition { day: day(date), amount }
    }
    const FREE: RestoredState = RestoredState { full_charge: None, within: None };

    #[test]
    fn the_first_addition_only_starts_the_clock() {
        let loss = annual_loss(
            &[added("2025-01-01", known(9.0)), added("2026-01-01", known(1.0))],
            None,
            &FREE,
            None,
        )
        .unwrap();
        let LossRate::Known { rate, .. } = loss.total else { panic!("{loss:?}") };
        assert!((rate.value().kilogram_per_year() - 365.25 / 365.0).abs() < 1e-9);
        assert!(loss.notes.contains(&LossNote::ChargeUnknown));
    }

    #[test]
    fn losses_that_get_faster_are_told() {
        // Invented history: 1.1 kg after 40 weeks, 1.6 kg after 19, 1.5 kg after 11, charge 14.2 kg.
        let filled = Date::new(2025, 1, 6).unwrap();
        let after = |weeks: i32| Date::from_day_number(filled.day_number() + 7 * weeks);
        let additions = [
            Addition { day: after(40), amount: known(1.1) },
            Addition { day: after(59), amount: known(1.6) },
            Addition { day: after(70), amount: known(1.5) },
        ];
        let state = RestoredState {
            full_charge: Some(Mass::from_kilogram(14.2)),
            within: Some(Fraction::from_ratio(0.01)),
        };
        let loss = annual_loss(&additions, Some(filled), &state, None).unwrap();
        assert_eq!(loss.intervals.len(), 3);
        assert_eq!(loss.trend, Trend::Faster);
        let LossRate::Known { rate, low, high } = &loss.leak else { panic!("{loss:?}") };
        assert!((rate.value().kilogram_per_year() - 4.2 * 365.25 / 490.0).abs() < 1e-9);
        assert!(low < high);
        // 5 % of the charge at each end hides the change.
        let state = RestoredState { full_charge: Some(Mass::from_kilogram(14.2)), within: None };
        let loss = annual_loss(&additions, Some(filled), &state, None).unwrap();
        assert_eq!(loss.trend, Trend::NotResolved);
        assert!(loss.notes.contains(&LossNote::RestoredWithinAssumed(RESTORED_WITHIN)));
    }

    #[test]
    fn one_addition_is_no_rate() {
        let loss = annual_loss(&[added("2026-01-01", known(2.0))], None, &FREE, None).unwrap();
        assert_eq!(loss.total, LossRate::Unknown);
        assert!(loss.notes.contains(&LossNote::OneAddition));
    }

    #[test]
    fn unknown_amounts_leave_a_lower_bound() {
        let additions = [
            added("2025-01-01", Amount::Unknown),
            added("2025-07-02", Amount::Unknown),
            added("2026-01-01", known(2.0)),
        ];
        let loss = annual_loss(&additions, None, &FREE, None).unwrap();
        assert!(loss.notes.contains(&LossNote::AmountsUnknown(1)));
        let LossRate::AtLeast(rate) = loss.total else { panic!("{loss:?}") };
        assert!((rate.kilogram_per_year() - 2.0 * 365.25 / 365.0).abs() < 1e-9);
    }

    #[test]
    fn a_range_becomes_an_interval() {
        let between = Amount::Between(Mass::from_kilogram(1.0), Mass::from_kilogram(3.0));
        let loss = annual_loss(
            &[added("2025-01-01", Amount::Unknown), added("2026-01-01", between)],
            None,
            &FREE,
            None,
        )
        .unwrap();
        let LossRate::Known { rate, .. } = loss.total else { panic!("{loss:?}") };
        assert!((rate.value().kilogram_per_year() - 2.0 * 365.25 / 365.0).abs() < 1e-9);
        assert_eq!(rate.largest().unwrap().0.cause, Cause::Range);
    }

    #[test]
    fn service_losses_are_their_own_line() {
        let service = Uncertain::exact(Mass::from_kilogram(0.2));
        let additions = [added("2025-01-01", known(1.0)), added("2026-01-01", known(1.0))];
        let loss = annual_loss(&additions, None, &FREE, Some(&service)).unwrap();
        let LossRate::Known { rate, .. } = loss.leak else { panic!("{loss:?}") };
        assert!((rate.value().kilogram_per_year() - 0.8 * 365.25 / 365.0).abs() < 1e-9);
        assert!((loss.service.kilogram_per_year() - 0.2 * 365.25 / 365.0).abs() < 1e-9);
    }

    #[test]
    fn impossible_histories_are_named() {
        let on = day("2026-01-01");
        assert_eq!(annual_loss(&[], None, &FREE, None), Err(AnnualLossError::NoAdditions));
        assert_eq!(
            annual_loss(
                &[added("2026-01-01", known(1.0)), added("2026-01-01", known(1.0))],
                None,
                &FREE,
                None
            ),
            Err(AnnualLossError::NoTime(on))
        );
        assert_eq!(
            annual_loss(&[added("2026-01-01", known(-1.0))], None, &FREE, None),
            Err(AnnualLossError::Amount(on))
        );
        let upside_down = Amount::Between(Mass::from_kilogram(3.0), Mass::from_kilogram(1.0));
        assert_eq!(
            annual_loss(&[added("2026-01-01", upside_down)], None, &FREE, None),
            Err(AnnualLossError::Amount(on))
        );
        assert_eq!(
            annual_loss(&[added("2026-01-01", known(1.0))], Some(day("2026-02-01")), &FREE, None),
            Err(AnnualLossError::FullAfterAddition(day("2026-02-01")))
        );
    }

    #[test]
    fn between_two_known_states() {
        let at = |kilogram: f64, of: &str| {
            Uncertain::new(Mass::from_kilogram(kilogram), Doubt::new(Cause::Resolution, of), 0.3)
        };
        let rate = loss_between(
            (day("2025-01-01"), &at(14.2, "first charge")),
            &Uncertain::exact(Mass::from_kilogram(2.7)),
            (day("2026-01-01"), &at(12.0, "recovered")),
        )
        .unwrap();
        assert!((rate.value().kilogram_per_year() - 4.9 * 365.25 / 365.0).abs() < 1e-9);
        assert!(
            (rate.u() * units::SECONDS_PER_YEAR - 0.3 * units::math::sqrt(2.0) * 365.25 / 365.0).abs() < 1e-9
        );
    }

    proptest::proptest! {
        /// Splitting an addition over one day changes nothing; the order of entry changes nothing.
        #[test]
        fn order_and_splitting_do_not_matter(a in 0.1..3.0f64, b in 0.1..3.0f64, part in 0.1..0.9f64) {
            let whole = [added("2025-01-01", known(1.0)), added("2025-06-01", known(a)), added("2026-01-01", known(b))];
            let split = [
                added("2026-01-01", known(b * (1.0 - part))), added("2025-06-01", known(a)),
                added("2025-01-01", known(1.0)), added("2026-01-01", known(b * part)),
            ];
            let rate = |additions: &[Addition]| match annual_loss(additions, None, &FREE, None).unwrap().total {
                LossRate::Known { rate, .. } => rate.value().kilogram_per_year(),
                other => panic!("{other:?}"),
            };
            proptest::prop_assert!((rate(&whole) - rate(&split)).abs() < 1e-9);
        }
    }
}
