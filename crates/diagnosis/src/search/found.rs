//! Whether a leak that was found explains the loss.

use super::book::PAIR_SMALL_SHARE;
use super::history::Evidence;
use serde::{Deserialize, Serialize};
use units::math::{exp, ln};

/// The answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Explained {
    /// It explains the loss: half of it or more, most likely all.
    Yes,
    /// It explains less than half: keep looking.
    No,
    /// Its size is not known well enough to tell.
    NotResolved,
}

/// The size of a find as far as it was seen: kg a year, as the middle and spread of its logarithm; or only that it is at
/// least so large.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Size {
    /// Estimated: kg a year, and the standard uncertainty of its natural logarithm.
    About(f64, f64),
    /// Foam or a hiss at once: at least this, kg a year.
    AtLeast(f64),
    /// Nobody estimated it.
    Unknown,
}

/// Returns the chance that the leak found makes up half of the loss or more, and the answer it gives.
///
/// Either it is the leak, and its size is the loss; or it is a small one beside the one that matters, whose size may be
/// anything from a ten-thousandth of the loss up (evenly in the logarithm). `other` is the chance that another leak is
/// there, from what was looked at. A size that was not estimated leaves only those two chances.
#[must_use]
pub fn explains(evidence: &Evidence, size: Size, other: f64) -> (f64, Explained) {
    let sum: f64 = evidence.leak.iter().sum();
    if sum <= 0.0 {
        return (0.5, Explained::NotResolved);
    }
    let step = ln(evidence.sizes[1] / evidence.sizes[0]);
    let fit = |kg: f64| match size {
        Size::About(seen, spread) => {
            let spread = units::math::sqrt(spread * spread + step * step / 12.0);
            let z = ln(seen / kg) / spread;
            exp(-0.5 * z * z)
        }
        Size::AtLeast(least) => 1.0 / (1.0 + (least / kg) * (least / kg)),
        Size::Unknown => 1.0,
    };
    let shares = 40;
    let (mut main, mut small, mut half) = (0.0, 0.0, 0.0);
    for (loss, p) in evidence.sizes.iter().zip(&evidence.leak) {
        main += p / sum * fit(*loss);
        for at in 0..shares {
            let share = exp(ln(1e-4) * (f64::from(at) + 0.5) / f64::from(shares));
            let part = p / sum * fit(loss * share) / f64::from(shares);
            small += part;
            if share >= 0.5 {
                half += part;
            }
        }
    }
    let beside = PAIR_SMALL_SHARE.max(other.clamp(0.0, 1.0));
    let (main, small, half) = ((1.0 - beside) * main, beside * small, beside * half);
    let chance = (main + half) / (main + small).max(f64::MIN_POSITIVE);
    let answer = if chance >= 0.8 {
        Explained::Yes
    } else if chance <= 0.3 {
        Explained::No
    } else {
        Explained::NotResolved
    };
    (chance, answer)
}
