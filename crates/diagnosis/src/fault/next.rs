//! What to read next, and what these readings cannot see.

use crate::fault::evidence::{Explained, Shared};
use crate::fault::question::{Question, dimensions, spread, unread, usual_spread};
use crate::fault::{CAUSES, COUNT, Cause, Fault, Kind, MOST, SINGLES};
use units::math::{exp, ln, sqrt};

/// A reading worth taking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Next {
    /// What to read.
    pub kind: Kind,
    /// How much doubt it takes away on average, in nats.
    pub gain: f64,
    /// Minutes it takes (common practice, no source).
    pub minutes: f64,
}

/// A fault that these readings would not show at a middling size.
#[derive(Clone, Debug, PartialEq)]
pub struct Unseen {
    /// The fault.
    pub fault: Fault,
    /// Readings not yet taken that would show it.
    pub shown_by: Vec<Kind>,
}

fn minutes(kind: Kind) -> f64 {
    match kind {
        Kind::Glass | Kind::CoilFans | Kind::CondenserFans => 1.0,
        Kind::CoilAir | Kind::CondenserAir => 2.0,
        Kind::SuctionLine | Kind::LiquidLine | Kind::Discharge => 3.0,
        Kind::AfterDrier | Kind::Low | Kind::High => 4.0,
        Kind::Power => 6.0,
    }
}

fn entropy(p: &[f64]) -> f64 {
    p.iter().filter(|p| **p > 1e-12).map(|p| -p * ln(*p)).sum()
}

/// The mean and spread of what one cause would show of one kind.
fn foreseen(found: &Explained, kind: usize) -> (f64, f64) {
    if found.samples.is_empty() {
        return (found.shown[kind], 0.0);
    }
    let mean: f64 = found.samples.iter().map(|s| s.weight * s.shown[kind]).sum();
    let of: f64 =
        found.samples.iter().map(|s| s.weight * (s.shown[kind] - mean) * (s.shown[kind] - mean)).sum();
    (mean, sqrt(of.max(0.0)))
}

/// Returns the readings not yet taken, by expected information for each minute.
pub fn next(question: &Question, chances: &[f64; COUNT], found: &[Option<Explained>]) -> Vec<Next> {
    let live: Vec<(f64, &Explained)> = chances
        .iter()
        .zip(found)
        .filter_map(|(p, found)| Some((*p, found.as_ref()?)))
        .filter(|(p, _)| *p > 0.005)
        .collect();
    let total: f64 = live.iter().map(|l| l.0).sum();
    let before: Vec<f64> = live.iter().map(|l| l.0 / total.max(1e-12)).collect();
    let now = entropy(&before);
    let mut all: Vec<Next> = unread(question.readings)
        .map(|kind| {
            let seen: Vec<(f64, f64)> = live.iter().map(|l| foreseen(l.1, kind as usize)).collect();
            let mut left = 0.0;
            if let Some(own) = usual_spread(kind) {
                // Seven points of each cause's own forecast, evenly by chance.
                let wide: Vec<f64> = seen.iter().map(|s| sqrt(s.1 * s.1 + own * own)).collect();
                for (k, p) in before.iter().enumerate() {
                    for x in [-1.47, -0.79, -0.37, 0.0, 0.37, 0.79, 1.47] {
                        let y = seen[k].0 + x * wide[k];
                        let after: Vec<f64> = before
                            .iter()
                            .zip(seen.iter().zip(&wide))
                            .map(|(p, (s, w))| p / w * exp(-0.5 * (y - s.0) * (y - s.0) / (w * w)))
                            .collect();
                        let sum: f64 = after.iter().sum();
                        let after: Vec<f64> = after.iter().map(|a| a / sum.max(1e-300)).collect();
                        left += p / 7.0 * entropy(&after);
                    }
                }
            } else {
                for yes in [true, false] {
                    let after: Vec<f64> = before
                        .iter()
                        .zip(&seen)
                        .map(|(p, s)| p * if yes { s.0 } else { 1.0 - s.0 })
                        .collect();
                    let sum: f64 = after.iter().sum();
                    let after: Vec<f64> = after.iter().map(|a| a / sum.max(1e-300)).collect();
                    left += sum * entropy(&after);
                }
            }
            Next { kind, gain: (now - left).max(0.0), minutes: minutes(kind) }
        })
        .collect();
    all.sort_by(|a, b| (b.gain / b.minutes).total_cmp(&(a.gain / a.minutes)));
    all
}

/// Returns the faults that, at a middling size, would move none of the readings given by two of their spreads.
pub fn unseen(question: &Question, shared: &Shared) -> Vec<Unseen> {
    let z = [0.0; MOST];
    let (well, near) = (&shared.point, shared.near);
    let seen_by = |cause: Cause, kind: Kind, own: Option<f64>, shown: &[f64; 12]| {
        let moved = (shown[kind as usize] - well.shown[kind as usize]).abs();
        match own {
            Some(sd) => moved > 2.0 * sd,
            None => moved > 0.5 || (kind == Kind::Glass && cause.first == Fault::None),
        }
    };
    CAUSES[1..SINGLES - 1]
        .iter()
        .filter(|cause| cause.first != Fault::Gauge)
        .filter(|cause| {
            question.system.head != cycle::Head::Free
                || !matches!(cause.first, Fault::HeadLow | Fault::HeadHigh)
        })
        .filter_map(|cause| {
            let point = question.at(*cause, &z[..dimensions(*cause)], &mut near.clone());
            let shows = question.readings.iter().any(|r| seen_by(*cause, r.kind, spread(r), &point.shown));
            if shows {
                return None;
            }
            let shown_by = unread(question.readings)
                .filter(|kind| seen_by(*cause, *kind, usual_spread(*kind), &point.shown))
                .collect();
            Some(Unseen { fault: cause.first, shown_by })
        })
        .collect()
}
