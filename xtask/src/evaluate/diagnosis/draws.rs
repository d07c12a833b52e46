//! Draws of the model under trial itself, for a learner to be trained on: never of the simulator it is tried by.

use super::cases::{features, readings};
use super::nameplate;
use cycle::{Surroundings, Table};
use diagnosis::fault::{self, Against, CAUSES, COUNT, Cause, Fault, KINDS, UNKNOWNS};
use fault_trial::{Dice, Substance};
use std::fmt::Write as _;

/// How the causes are drawn: as the trial's, nothing else than those in the list.
const SHARES: [f64; 3] = [0.3, 0.1, 0.1];
/// Of each unknown's spread by the plate, what drifts between two visits.
const DRIFT: f64 = 0.2;

fn cause(d: &mut Dice, free: bool) -> Cause {
    let kind = d.one();
    if kind < SHARES[0] {
        return CAUSES[0];
    }
    if kind < SHARES[0] + SHARES[1] {
        return Cause { first: Fault::Gauge, second: None };
    }
    let singles = CAUSES.iter().filter(|c| c.second.is_none());
    let last = singles.count();
    if kind < SHARES[0] + SHARES[1] + SHARES[2] {
        return CAUSES[last + (d.one() * (COUNT - last) as f64) as usize];
    }
    loop {
        let drawn = CAUSES[(d.one() * last as f64) as usize];
        match drawn.first {
            Fault::None | Fault::Gauge | Fault::SomethingElse => {}
            Fault::HeadLow | Fault::HeadHigh if free || d.one() < 0.5 => {}
            _ => return drawn,
        }
    }
}

/// What is read of what the model shows: its own error, the instruments', and eyes that are wrong now and then.
fn read(d: &mut Dice, shown: &[f64; 12]) -> [f64; 12] {
    let sd = fault_trial::spread(shown);
    std::array::from_fn(|i| match (KINDS[i], sd.get(i)) {
        (kind, Some(sd)) => {
            let model = fault::model_spread(kind, shown[i]);
            shown[i] + units::math::sqrt(sd * sd + model * model) * d.normal()
        }
        (fault::Kind::Glass, None) => f64::from(u8::from(d.one() < shown[i])),
        (_, None) => {
            if d.one() < shown[i] {
                0.5
            } else {
                1.0
            }
        }
    })
}

fn one(d: &mut Dice, set: &[(Substance, Table)]) -> Option<String> {
    let (_, table) = &set[(d.one() * set.len() as f64) as usize];
    let built = fault_trial::built(d);
    let system = nameplate(table, &built);
    let mut place = || {
        let visit = fault_trial::place(d, &built, vec![]);
        Surroundings { box_air: visit.box_air, ambient: visit.ambient }
    };
    let (first, then) = (place(), place());
    let cause = cause(d, system.head == cycle::Head::Free);
    let z: [f64; UNKNOWNS] = std::array::from_fn(|_| d.normal());
    let later: [f64; UNKNOWNS] = std::array::from_fn(|i| z[i] + DRIFT * d.normal());
    let how = [d.normal(), d.normal()];
    let faults = usize::from(cause.first != Fault::None) + usize::from(cause.second.is_some());
    let gauge = (d.one() * 4.0) as usize;
    let healthy = fault::imagined(table, &system, first, &z, CAUSES[0], &[], 0)?;
    let ailing = fault::imagined(table, &system, then, &later, cause, &how[..faults], gauge)?;
    let (before, now) = (readings(&read(d, &healthy)), readings(&read(d, &ailing)));
    let belief = fault::proved(table, &system, first, &before);
    let offs = fault::expected(table, &system, &belief, then, &now);
    let features = features(&system, (&before, first), (&now, then), offs.iter().map(Against::off));
    let truth = CAUSES.iter().position(|c| *c == cause);
    Some(serde_json::json!({ "truth": truth, "features": features }).to_string())
}

/// Returns so many draws.
pub fn drawn(count: usize, seed: u64, set: &[(Substance, Table)]) -> String {
    let half = |part: u64, count: usize| {
        let mut d = Dice::new(seed ^ (part << 40));
        let (mut text, mut found) = (String::new(), 0);
        while found < count {
            if let Some(line) = one(&mut d, set) {
                let _ = writeln!(text, "{line}");
                found += 1;
            }
        }
        text
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1, count / 2));
        let first = half(0, count - count / 2);
        first + &other.join().unwrap_or_default()
    })
}
