//! Whether a superheat has settled, from repeated readings.

use crate::visit::readings::{Place, ReadingResult};
use field::superheat::Superheat;
use units::{Cause, Doubt, Duration, TemperatureDifference, Uncertain};

/// A superheat that moves by less than this between two readings is taken as settled: 1 K, a judgement.
pub const SETTLED_WITHIN: TemperatureDifference = TemperatureDifference::from_kelvin(1.0);
/// Two readings nearer than this tell nothing of settling: 4 min, a judgement (a valve may swing for some minutes).
pub const LEAST_APART: Duration = Duration::from_second(240.0);

/// What repeated readings say of a superheat.
#[derive(Clone, Debug, PartialEq)]
pub enum Settling {
    /// It moved by less than [`SETTLED_WITHIN`], the whole k = 2 interval.
    Settled,
    /// It is falling beyond its doubt.
    Falling,
    /// It is rising beyond its doubt.
    Rising,
    /// The readings do not allow to tell.
    NotResolved,
}

/// How a superheat moved between the last two readings far enough apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// What that says.
    pub settling: Settling,
    /// Later less earlier.
    pub by: Uncertain<TemperatureDifference>,
    /// The time between them.
    pub over: Duration,
}

/// Returns how the superheat at the coil moved, where it was read twice with times, far enough apart.
#[must_use]
pub fn moved(readings: &[ReadingResult<'_>]) -> Option<Moved> {
    let at_coil: Vec<(i64, Place, &Superheat)> = readings
        .iter()
        .filter_map(|result| {
            let at = result.entry.seen.at.as_ref().filter(|at| !at.is_day())?;
            let (place, found) = result.working_superheat()?;
            matches!(place, Place::Evaporator | Place::EvaporatorByCompressor).then_some((
                at.unix_millis(),
                place,
                found,
            ))
        })
        .collect();
    let (last_at, place, last) = *at_coil.last()?;
    // One place and one pressure: a drop of the suction line is no movement of the valve.
    let apart = |at: i64| (last_at - at) as f64 / 1000.0;
    let (at, _, earlier) =
        *at_coil.iter().rev().find(|(at, of, _)| *of == place && apart(*at) >= LEAST_APART.second())?;
    let by = difference(&last.superheat, &earlier.superheat);
    let (low, high) = by.interval(2.0);
    let zero = TemperatureDifference::from_kelvin(0.0);
    let settling = if low > -SETTLED_WITHIN && high < SETTLED_WITHIN {
        Settling::Settled
    } else if high < zero {
        Settling::Falling
    } else if low > zero {
        Settling::Rising
    } else {
        Settling::NotResolved
    };
    Some(Moved { settling, by, over: Duration::from_second(apart(at)) })
}

/// Later less earlier: what an instrument is wrong by is common to both and falls out, the last digit and the placing of
/// a probe are new each time.
fn difference(
    later: &Uncertain<TemperatureDifference>,
    earlier: &Uncertain<TemperatureDifference>,
) -> Uncertain<TemperatureDifference> {
    let anew = |doubt: &Doubt| matches!(doubt.cause, Cause::Resolution | Cause::Placement);
    let mut common: Vec<(Doubt, f64)> = Vec::new();
    let mut out = Uncertain::exact(later.value() - earlier.value());
    for (which, result, sign) in [("later", later, 1.0), ("earlier", earlier, -1.0)] {
        for (doubt, size) in result.terms() {
            if anew(doubt) {
                out = out.and(Doubt::new(doubt.cause, format!("{} {which}", doubt.of)), *size);
            } else if let Some((_, sum)) = common.iter_mut().find(|(other, _)| other == doubt) {
                *sum += sign * size;
            } else {
                common.push((doubt.clone(), sign * size));
            }
        }
    }
    for (doubt, size) in common {
        out = out.and(doubt, size);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_common_falls_out_and_the_last_digit_does_not() {
        let read = |kelvin: f64| {
            Uncertain::new(
                TemperatureDifference::from_kelvin(kelvin),
                Doubt::new(Cause::Accuracy, "clamp"),
                0.3,
            )
            .and(Doubt::new(Cause::Resolution, "evaporator_line"), 0.03)
        };
        let by = difference(&read(5.0), &read(5.5));
        assert!((by.value().kelvin() + 0.5).abs() < 1e-12);
        assert!((by.u() - 0.03 * 2f64.sqrt()).abs() < 1e-12, "{}", by.u());
    }
}
