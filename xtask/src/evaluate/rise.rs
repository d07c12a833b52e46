//! How often the intervals of a vacuum rise hold the truth: curves drawn with a known leak and known moisture.

use super::hold::{Table, normal, uniform};
use field::rise::{Gauge, Reading, rise};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use std::fmt::Write as _;
use units::math::{exp, ln, sqrt};
use units::{AbsolutePressure, Duration, PASCAL_PER_MICRON, PressureDifference, Uncertain, Volume};

struct Case {
    /// Readings, and minutes between them.
    points: u32,
    every: f64,
    /// Standard deviation of the readings, and the step of the display, micron.
    scatter: f64,
    step: f64,
}

const CASES: &[Case] = &[
    Case { points: 30, every: 1.0, scatter: 3.0, step: 1.0 },
    Case { points: 60, every: 1.0, scatter: 10.0, step: 10.0 },
    Case { points: 120, every: 0.5, scatter: 5.0, step: 1.0 },
];

const LITRES: f64 = 20.0;

/// How many of the rises were resolved, and of those how many intervals hold the truth.
#[derive(Default)]
struct Count {
    resolved: u64,
    leak: u64,
    released: u64,
    constant: u64,
    tight: u64,
    alarms: u64,
}

/// Draws `cases` rises of each kind; every fifth is tight.
pub fn table(cases: u64, seed: u64) -> Table {
    let mut text = String::from(
        "Rises drawn as p0 + a t + b (1 - exp(-t/tau)): start 100 to 500 micron, leak 0.3 to 30 micron a minute in 20 L or none \
         at all (every fifth), 100 to 3,000 micron of moisture with a time constant of 3 to 12 minutes; the readings scatter \
         normally and are cut to the step of the display. Of the rises that say they are resolved: how often the stated 95 % \
         interval holds the truth, and how often a tight one is called leaking (2.5 % are stated: one side of the interval).\n\n\
         | readings | every | scatter | step | rises | resolved | leak held | moisture held | time constant held | tight ones called leaking |\n\
         |---|---|---|---|---|---|---|---|---|---|\n",
    );
    let mut holds = true;
    for (number, case) in CASES.iter().enumerate() {
        let mut draw = ChaCha8Rng::seed_from_u64(seed.wrapping_add(number as u64));
        let mut count = Count::default();
        for index in 0..cases {
            one(case, index % 5 == 0, &mut draw, &mut count);
        }
        let share = |part: u64, of: u64| part as f64 / of.max(1) as f64;
        let leak = share(count.leak, count.resolved);
        let released = share(count.released, count.resolved);
        let alarms = share(count.alarms, count.tight);
        // Four standard deviations of a binomial share of 95 %.
        let scatter = 4.0 * sqrt(0.05 * 0.95 / count.resolved.max(1) as f64);
        let within = |held: f64| held >= 0.94 - scatter && held <= 0.96 + scatter;
        holds &= within(leak) && within(released) && alarms <= 0.05 + scatter * 2.0;
        let _ = writeln!(
            text,
            "| {} | {} min | {} micron | {} micron | {cases} | {:.1} % | {:.2} % | {:.2} % | {:.2} % | {:.2} % |",
            case.points,
            case.every,
            case.scatter,
            case.step,
            100.0 * share(count.resolved, cases),
            100.0 * leak,
            100.0 * released,
            100.0 * share(count.constant, count.resolved),
            100.0 * alarms,
        );
    }
    let _ = writeln!(text, "\nLimit: 94 to 96 % held. Seed {seed}, generator ChaCha8.");
    Table { text, holds }
}

fn one(case: &Case, tight: bool, draw: &mut ChaCha8Rng, count: &mut Count) {
    let between = |draw: &mut ChaCha8Rng, low: f64, high: f64| low * exp(ln(high / low) * uniform(draw));
    let start = between(draw, 100.0, 500.0);
    let slope = if tight { 0.0 } else { between(draw, 0.3, 30.0) };
    let released = between(draw, 100.0, 3_000.0);
    let constant = between(draw, 3.0, 12.0);
    let readings: Vec<Reading> = (0..case.points)
        .map(|index| {
            let t = f64::from(index) * case.every;
            let true_p = start + slope * t + released * (1.0 - exp(-t / constant));
            let seen = ((true_p + case.scatter * normal(draw)) / case.step).round() * case.step;
            Reading {
                time: Duration::from_second(t * 60.0),
                pressure: AbsolutePressure::from_pascal(seen.max(0.0) * PASCAL_PER_MICRON),
            }
        })
        .collect();
    let volume = Uncertain::exact(Volume::from_litre(LITRES));
    let step = PressureDifference::from_pascal(case.step * PASCAL_PER_MICRON);
    let gauge = Gauge { resolution: Some(step), scale_u: None };
    let Ok(found) = rise(&readings, &volume, gauge, None) else { return };
    let Some(fit) = found.fit.as_ref().filter(|_| found.not_resolved.is_empty()) else { return };
    count.resolved += 1;
    let holds = |value: f64, u: f64, truth: f64| u64::from((value - truth).abs() <= 2.0 * u);
    let leak = slope * PASCAL_PER_MICRON / 60.0 * LITRES * 1e-3;
    count.leak += holds(fit.leak.value().pascal_cubic_metre_per_second(), fit.leak.u(), leak);
    count.released += holds(fit.released.value().pascal(), fit.released.u(), released * PASCAL_PER_MICRON);
    count.constant += holds(fit.time_constant.value().second(), fit.time_constant.u(), constant * 60.0);
    if tight {
        count.tight += 1;
        count.alarms += u64::from(found.leak_seen);
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_seeded_sample_keeps_what_is_stated() {
        let table = super::table(600, 7);
        assert!(table.holds, "{}", table.text);
    }
}
