//! What the refills say: how well each explanation fits their dates and amounts, and how large a leak would have to be.

use super::book::{
    Book, CHARGE_TYPICAL_KG, RESERVE_SERVICE_HIGH, RESERVE_SERVICE_LOW, RESERVE_SHARE_HIGH,
    RESERVE_SHARE_LOW, RESERVE_WINTER_HIGH, RESERVE_WINTER_LOW, SIZE_MEDIAN_SHARE_OF_CHARGE, SIZE_SPREAD_LN,
};
use super::sections::Hold;
use serde::{Deserialize, Serialize};
use units::math::{exp, ln, sqrt};

/// Refrigerant put in or taken out on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Change {
    /// The day, as a count of days from 1 January of a year.
    pub day: i32,
    /// How much, kg, with its standard uncertainty; absent where nobody knows.
    pub kg: Option<(f64, f64)>,
    /// Taken out.
    pub out: bool,
}

/// What is known of the past.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct History {
    /// The full charge, kg.
    pub charge_kg: Option<f64>,
    /// The day on which it was full, before the first change.
    pub filled: Option<i32>,
    /// The changes in the order of their days.
    pub changes: Vec<Change>,
    /// A habit as told: refilled about every so many days.
    pub habit_days: Option<f64>,
    /// The share of the charge that the cold needs, where the condenser says it: from, to, kg.
    pub winter_kg: Option<(f64, f64)>,
    /// Winter is in the middle of the year.
    pub south: bool,
}

/// A rate of loss.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rate {
    /// Mean, kg a year.
    pub mean: f64,
    /// Standard uncertainty, kg a year.
    pub u: f64,
    /// Ends of the interval that holds 95 %.
    pub interval: (f64, f64),
}

/// How well each explanation fits.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// The charge used, kg.
    pub charge_kg: f64,
    /// Nobody knew the charge: it was assumed.
    pub charge_assumed: bool,
    /// Sizes of a leak, kg a year, evenly spread in the logarithm.
    pub sizes: Vec<f64>,
    /// For each size: its chance before the history times the fit of the history.
    pub leak: Vec<f64>,
    /// For each kind of shop: its chance after the history, if it is a leak.
    pub shops: Vec<f64>,
    /// Fit of a winter's share that was never put in, of losses by service, of wrong books.
    pub others: [f64; 3],
    /// Sections that were shut in and watched; put here by whoever has read them.
    pub holds: Vec<Hold>,
    /// How many stretches between refills spoke.
    pub intervals: usize,
    /// A refill is larger than the system can lose before it shows: an amount or a date is doubtful.
    pub over_reserve: bool,
}

/// How many sizes are tried.
const SIZES: usize = 13;
const LOWEST: f64 = 0.01;
const HIGHEST: f64 = 8.0;
/// Doubt of the state restored, as a share of the charge: 5 % rectangular; what people take for full in the same way each
/// time cancels between one fill and the next.
const STATE_SPREAD: f64 = 0.029;

/// Doubt of how much is gone when the want is seen and somebody comes, for one system, from time to time (judgement).
const WANT_SPREAD: f64 = 0.10;
/// Doubt of what one visit takes, from one to the next (judgement).
const VISIT_SPREAD: f64 = 0.15;
/// Days within which wrong books have their next entry (judgement).
const BOOKS_DAYS: f64 = 500.0;
const THIRDS: [f64; 3] = [-1.0 / 3.0, 0.0, 1.0 / 3.0];

/// Returns how well each explanation fits the history, in one scale: the chance density of the dates and amounts under it.
///
/// A leak takes the reserve (a lognormal about the middle of its range) in the time its rate needs for it; rates may have
/// grown by 1, 1.2 or 1.6 from one refill to the next. A winter's share is put in in the cold months, may be taken out in
/// the warm ones, and is always about the same. Service takes little at every visit. Books are wrong by anything.
/// Nothing is refused: without dates the history says nothing, and each fit is 1.
#[must_use]
pub fn evidence(book: &Book, history: &History) -> Evidence {
    let (charge, assumed) = match history.charge_kg {
        Some(kg) if kg > 0.0 && kg.is_finite() => (kg, false),
        _ => (CHARGE_TYPICAL_KG, true),
    };
    let mut changes = history.changes.clone();
    changes.retain(|change| change.kg.is_none_or(|(kg, u)| kg > 0.0 && kg.is_finite() && u >= 0.0));
    changes.sort_by_key(|change| change.day);
    let season = Season { south: history.south };
    let mut steps = steps(history.filled, &changes);
    let dated = !steps.is_empty();
    if steps.iter().all(|step| step.days.is_none())
        && let Some(days) = history.habit_days
        && days > 0.0
    {
        let habit = Step { days: Some(days), day: None, kg: None, out: false };
        steps = vec![habit.clone(), habit];
    }
    let ratio = ln(HIGHEST / LOWEST) / (SIZES - 1) as f64;
    let sizes: Vec<f64> = (0..SIZES).map(|at| charge * LOWEST * exp(ratio * at as f64)).collect();
    // Three points within each step, so that a sharp history does not fall between two sizes.
    let ln_sizes: Vec<f64> =
        sizes.iter().flat_map(|size| THIRDS.map(|shift| ln(*size) + ratio * shift)).collect();
    let before: Vec<f64> = ln_sizes
        .iter()
        .map(|size| {
            let z = (size - ln(SIZE_MEDIAN_SHARE_OF_CHARGE * charge)) / SIZE_SPREAD_LN;
            exp(-0.5 * z * z)
        })
        .collect();
    // The prior over sizes sums to one.
    let mass: f64 = before.iter().sum();
    let mut leak = vec![0.0; SIZES];
    let mut others = [0.0; 3];
    let mut shops = Vec::new();
    for shop in &book.shops {
        let spread = shop.amounts;
        let fits = fit_of_leak(&steps, &ln_sizes, charge, spread);
        let mut here = 0.0;
        for (at, sum) in leak.iter_mut().enumerate() {
            let fit = (3 * at..3 * at + 3).map(|point| before[point] * fits[point]).sum::<f64>() / mass;
            *sum += shop.share * fit;
            here += shop.share * fit;
        }
        shops.push(here);
        others[0] += shop.share * fit_of_winter(&steps, charge, history.winter_kg, season, spread);
        others[1] += shop.share * fit_of_service(&steps, charge, spread);
    }
    others[2] = fit_of_books(&steps, charge);
    let whole: f64 = shops.iter().sum();
    for (chance, shop) in shops.iter_mut().zip(&book.shops) {
        *chance = if whole > 0.0 { *chance / whole } else { shop.share };
    }
    let most = (RESERVE_SHARE_HIGH + RESERVE_WINTER_HIGH) * charge;
    Evidence {
        charge_kg: charge,
        charge_assumed: assumed,
        sizes,
        leak,
        shops,
        others,
        holds: Vec::new(),
        intervals: if dated || history.habit_days.is_some() {
            steps.iter().filter(|step| step.days.is_some()).count()
        } else {
            0
        },
        over_reserve: !assumed
            && changes
                .iter()
                .any(|change| !change.out && change.kg.is_some_and(|(kg, u)| kg - 2.0 * u > most)),
    }
}

impl Evidence {
    /// Returns the present rate of loss if it is a leak.
    #[must_use]
    pub fn rate(&self) -> Rate {
        let sum: f64 = self.leak.iter().sum();
        let sum = if sum > 0.0 { sum } else { 1.0 };
        let mean = self.sizes.iter().zip(&self.leak).map(|(kg, p)| kg * p).sum::<f64>() / sum;
        let square = self.sizes.iter().zip(&self.leak).map(|(kg, p)| kg * kg * p).sum::<f64>() / sum;
        let step = sqrt(self.sizes[1] / self.sizes[0]);
        let end = |share: f64| {
            let mut left = share * sum;
            for (kg, p) in self.sizes.iter().zip(&self.leak) {
                if left <= *p && *p > 0.0 {
                    // Evenly in the logarithm within the step of a size.
                    return kg / step * exp(2.0 * ln(step) * (left / p));
                }
                left -= p;
            }
            self.sizes[self.sizes.len() - 1] * step
        };
        Rate { mean, u: sqrt((square - mean * mean).max(0.0)), interval: (end(0.025), end(0.975)) }
    }

    /// Returns after how many days the symptom comes back if nothing is mended: soonest and latest, in warm weather and in
    /// the cold, when the winter's share is needed too.
    #[must_use]
    pub fn returns_in_days(&self) -> [(f64, f64); 2] {
        let rate = self.rate();
        let days = |kg: f64, per_year: f64| kg / per_year * 365.25;
        let (low, high) = (RESERVE_SHARE_LOW * self.charge_kg, RESERVE_SHARE_HIGH * self.charge_kg);
        let warm = (days(low, rate.interval.1), days(high, rate.interval.0));
        let winter = RESERVE_WINTER_LOW * self.charge_kg;
        let cold =
            (days((low - winter).max(0.0), rate.interval.1), days((high - winter).max(0.0), rate.interval.0));
        [warm, cold]
    }
}

#[derive(Clone, Debug)]
struct Step {
    days: Option<f64>,
    day: Option<i32>,
    kg: Option<(f64, f64)>,
    out: bool,
}

fn steps(filled: Option<i32>, changes: &[Change]) -> Vec<Step> {
    let mut before = filled;
    let mut out: Vec<Step> = Vec::new();
    for change in changes {
        let days = before.map(|day| f64::from((change.day - day).max(1)));
        match out.last_mut() {
            // Two entries of one day are one refill.
            Some(last) if last.day == Some(change.day) && last.out == change.out => {
                last.kg = last.kg.zip(change.kg).map(|(a, b)| (a.0 + b.0, sqrt(a.1 * a.1 + b.1 * b.1)));
            }
            _ => out.push(Step { days, day: Some(change.day), kg: change.kg, out: change.out }),
        }
        before = Some(change.day);
    }
    out
}

#[derive(Clone, Copy)]
struct Season {
    south: bool,
}

impl Season {
    fn day_of_year(self, day: i32) -> f64 {
        let day = f64::from(day) + if self.south { 182.6 } else { 0.0 };
        day - 365.2425 * units_floor(day / 365.2425)
    }

    /// October to February.
    fn is_cold(self, day: i32) -> bool {
        let at = self.day_of_year(day);
        !(59.0..273.0).contains(&at)
    }
}

fn units_floor(x: f64) -> f64 {
    let whole = x as i64 as f64;
    if whole > x { whole - 1.0 } else { whole }
}

fn lognormal(x: f64, median: f64, spread: f64) -> f64 {
    let z = ln(x / median) / spread;
    exp(-0.5 * z * z) / (x * spread * ROOT_TWO_PI)
}

const ROOT_TWO_PI: f64 = 2.506_628_274_631_000_2;
const GROWTH: [(f64, f64); 3] = [(1.0, 0.35), (1.2, 0.4), (1.6, 0.25)];

/// Reserves that one system may have, as steps of the spread of all of them, with their chances: a normal in seven steps.
const RESERVES: [(f64, f64); 7] =
    [(-1.8, 0.054), (-1.2, 0.117), (-0.6, 0.203), (0.0, 0.252), (0.6, 0.203), (1.2, 0.117), (1.8, 0.054)];

/// The fit of a leak of each size, given as its logarithm: one reserve for all refills of the system, since the want shows
/// itself in the same way each time; what was gone by then is what the rate took in the time, and what was written down
/// as put in is that, with the doubts of the scale and of how full it was left.
fn fit_of_leak(steps: &[Step], ln_sizes: &[f64], charge: f64, amounts: f64) -> Vec<f64> {
    let reserve = 0.5 * ln(RESERVE_SHARE_LOW * RESERVE_SHARE_HIGH) + ln(charge);
    // The range of the reserve is taken as two standard deviations to each side.
    let reserve_spread = ln(RESERVE_SHARE_HIGH / RESERVE_SHARE_LOW) / 4.0;
    let last = steps.iter().rposition(|step| !step.out).unwrap_or(0);
    // What every size and reserve share: the densities' constants, and what was taken out.
    let mut shared = 1.0;
    let mut timed = Vec::new();
    // Sum over amounts without a time of ((ln kg - ln R)/s)^2, as a + b ln R + c ln R^2.
    let mut untimed = [0.0; 3];
    for (at, step) in steps.iter().enumerate() {
        if step.out {
            // A leaking system is rarely too full.
            shared *= 0.02 * step.kg.map_or(1.0, |_| 1.0 / (0.4 * charge)) / 365.0;
            continue;
        }
        let amount = step.kg.map(|(kg, u)| {
            let state = STATE_SPREAD * charge / kg;
            (ln(kg), sqrt(amounts * amounts + state * state + (u / kg) * (u / kg)).min(1.0))
        });
        if let (Some((ln_kg, spread)), Some((kg, _))) = (amount, step.kg) {
            shared /= kg * spread * ROOT_TWO_PI;
            if step.days.is_none() {
                let one = 1.0 / (spread * spread);
                untimed[0] += ln_kg * ln_kg * one;
                untimed[1] -= 2.0 * ln_kg * one;
                untimed[2] += one;
            }
        }
        if let Some(days) = step.days {
            shared /= days * WANT_SPREAD * ROOT_TWO_PI;
            timed.push((ln(days / 365.25), amount, (last.saturating_sub(at)) as f64));
        }
    }
    let growths = GROWTH.map(|(growth, weight)| (ln(growth), weight));
    ln_sizes
        .iter()
        .map(|size| {
            let mut sum = 0.0;
            for (growth, weight) in growths {
                // Of what was gone at each refill, its logarithm: how far from what was written, and from a reserve.
                let (mut written, mut first, mut second) = (0.0, 0.0, 0.0);
                for (ln_years, amount, back) in &timed {
                    let gone = size - back * growth + ln_years;
                    if let Some((ln_kg, spread)) = amount {
                        let z = (ln_kg - gone) / spread;
                        written += z * z;
                    }
                    first += gone;
                    second += gone * gone;
                }
                let count = timed.len() as f64;
                for (step, chance) in RESERVES {
                    let r = reserve + step * reserve_spread;
                    let from_reserve =
                        (second - 2.0 * r * first + count * r * r) / (WANT_SPREAD * WANT_SPREAD);
                    let without_time = untimed[0] + untimed[1] * r + untimed[2] * r * r;
                    sum += weight
                        * chance
                        * exp(-0.5 * (written + from_reserve.max(0.0) + without_time.max(0.0)));
                }
            }
            shared * sum
        })
        .collect()
}

fn fit_of_winter(
    steps: &[Step],
    charge: f64,
    known: Option<(f64, f64)>,
    season: Season,
    amounts: f64,
) -> f64 {
    let (low, high) = known.unwrap_or((RESERVE_WINTER_LOW * charge, RESERVE_WINTER_HIGH * charge));
    let (low, high) = (low.max(0.005 * charge), high.max(0.01 * charge).max(low.max(0.005 * charge) * 1.01));
    // The share is one and the same every year: eight sizes of it.
    (0..8)
        .map(|at| {
            let share = low + (high - low) * (f64::from(at) + 0.5) / 8.0;
            let mut winter_filled = false;
            let mut fit = 1.0;
            for step in steps {
                let cold = step.day.map(|day| season.is_cold(day));
                let amount = step.kg.map_or(1.0, |(kg, u)| {
                    let state = STATE_SPREAD * charge / kg;
                    let spread = sqrt(amounts * amounts + state * state + (u / kg) * (u / kg)).min(1.5);
                    lognormal(kg, share, spread)
                });
                // A day in the window, as a density over the time since the last change.
                let odd = 0.03 / 365.0;
                let time = match (step.days, cold) {
                    (None, None) => 1.0,
                    (None, Some(true)) => 365.0 / 150.0,
                    (None, Some(false)) => 0.07,
                    (Some(days), None) => lognormal(days, 365.0, 0.15),
                    (Some(days), Some(_)) if days > 500.0 => odd,
                    (Some(_), Some(cold)) if cold != step.out => 1.0 / 110.0,
                    (Some(_), Some(_)) => odd,
                };
                if step.out {
                    fit *= if winter_filled { 0.6 * amount * time } else { 0.02 * amount * odd };
                    winter_filled = false;
                } else {
                    // Once the winter's share is in, nothing more is wanted; a habit without days is a yearly round.
                    fit *= if winter_filled && step.day.is_some() {
                        0.03 * amount * odd * 365.0 / 110.0
                    } else {
                        amount * time
                    };
                    winter_filled = true;
                }
            }
            fit / 8.0
        })
        .sum()
}

/// What each visit takes is about the same for one system and its people; visits come once or twice a year.
fn fit_of_service(steps: &[Step], charge: f64, amounts: f64) -> f64 {
    let median = sqrt(RESERVE_SERVICE_LOW * RESERVE_SERVICE_HIGH) * charge;
    let spread = ln(RESERVE_SERVICE_HIGH / RESERVE_SERVICE_LOW) / 4.0;
    RESERVES
        .iter()
        .map(|(at, chance)| {
            let each = median * exp(at * spread);
            let fit: f64 = steps
                .iter()
                .map(|step| {
                    let amount = step.kg.map_or(1.0, |(kg, u)| {
                        let spread = amounts * amounts + VISIT_SPREAD * VISIT_SPREAD;
                        lognormal(kg, each, sqrt(spread + (u / kg) * (u / kg)).min(1.0))
                    });
                    let time = step.days.map_or(1.0, |days| lognormal(days, 230.0, 0.4));
                    if step.out { 0.02 * amount * time } else { amount * time }
                })
                .product();
            chance * fit
        })
        .sum()
}

/// Wrong books: any amount up to the charge, at any time within about a year and a half of the last.
fn fit_of_books(steps: &[Step], charge: f64) -> f64 {
    steps
        .iter()
        .map(|step| {
            let amount =
                step.kg.map_or(1.0, |(kg, _)| if kg < charge { 1.0 / (0.45 * charge) } else { 0.1 / charge });
            let time = step.days.map_or(1.0, |days| {
                let past = (days - BOOKS_DAYS).max(0.0) / (0.1 * BOOKS_DAYS);
                exp(-past) / (1.1 * BOOKS_DAYS)
            });
            amount * time
        })
        .product()
}
