//! The order of looks: the greatest gain for its minutes, with the ways between places counted.
//!
//! Where there is no way to go the order is that of p d / c, looked up anew after each miss: the optimal policy for
//! independent looks (Blackwell, as cited by Chew 1967; Stone, Theory of Optimal Search, 1975). Ways break its
//! optimality; then each next look is tried by following that rule to the end, and the one with the least expected time
//! is taken.

use serde::{Deserialize, Serialize};

/// A look that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The place, by its number.
    pub place: usize,
    /// Which of the looks at that place: 0 to 3.
    pub bit: usize,
    /// Where one must be for it, by its number in [`Task::travel`].
    pub at: usize,
    /// Minutes for the look.
    pub minutes: f64,
    /// Minutes more where nothing at that place was opened yet; nothing where the look opens nothing.
    pub opening: Option<f64>,
}

/// What is to be put in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// The looks.
    pub offers: Vec<Offer>,
    /// For each place and each set of its looks made (one bit a look): the chance left that a leak is there unseen.
    pub rest: Vec<[f64; 16]>,
    /// For each place: which of its looks open it, one bit a look.
    pub opens: Vec<u8>,
    /// Minutes from one location to another.
    pub travel: Vec<Vec<f64>>,
    /// Where one is.
    pub start: usize,
    /// Minutes that count for a leak that all looks miss.
    pub tail: f64,
}

/// A look of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// The look, by its number in [`Task::offers`].
    pub offer: usize,
    /// Minutes from the start to its end.
    pub until: f64,
    /// The chance that it is the look that finds a leak.
    pub gain: f64,
}

#[derive(Clone)]
struct Walk {
    masks: Vec<u8>,
    here: usize,
}

impl Task {
    fn begin(&self) -> Walk {
        Walk { masks: vec![0; self.rest.len()], here: self.start }
    }

    fn gain(&self, walk: &Walk, offer: &Offer) -> Option<f64> {
        let mask = walk.masks[offer.place];
        let bit = 1u8 << offer.bit;
        if mask & bit != 0 {
            return None;
        }
        let rest = &self.rest[offer.place];
        let gain = rest[usize::from(mask)] - rest[usize::from(mask | bit)];
        (gain > 1e-9).then_some(gain)
    }

    /// Minutes of a look: what was opened once stays open.
    fn minutes(&self, walk: &Walk, offer: &Offer) -> f64 {
        let mask = walk.masks[offer.place];
        match offer.opening {
            Some(more) if mask & self.opens[offer.place] == 0 => offer.minutes + more,
            _ => offer.minutes,
        }
    }

    /// For each location: the looks there by gain a minute, the best one of each place.
    fn ranked(&self, walk: &Walk) -> Vec<Vec<(usize, f64, f64)>> {
        let mut out: Vec<Vec<(usize, f64, f64)>> = vec![Vec::new(); self.travel.len()];
        for (at, offer) in self.offers.iter().enumerate() {
            let Some(gain) = self.gain(walk, offer) else { continue };
            let minutes = self.minutes(walk, offer);
            let here = &mut out[offer.at];
            match here.iter_mut().find(|(other, ..)| self.offers[*other].place == offer.place) {
                Some(other) if gain / minutes > other.1 / other.2 => *other = (at, gain, minutes),
                Some(_) => {}
                None => here.push((at, gain, minutes)),
            }
        }
        for here in &mut out {
            here.sort_by(|a, b| (b.1 * a.2).total_cmp(&(a.1 * b.2)).then(a.0.cmp(&b.0)));
        }
        out
    }

    /// The best look by gain a minute, a way there being shared by what is done there.
    fn rule(&self, walk: &Walk) -> Option<usize> {
        let ranked = self.ranked(walk);
        let mut best: Option<(f64, usize)> = None;
        for (at, here) in ranked.iter().enumerate() {
            let way = self.travel[walk.here][at];
            let (mut gain, mut minutes) = (0.0, way);
            let mut rate = 0.0;
            for (_, more, cost) in here {
                gain += more;
                minutes += cost;
                if gain / minutes > rate {
                    rate = gain / minutes;
                } else {
                    break;
                }
            }
            if let Some((first, ..)) = here.first()
                && best.is_none_or(|(least, _)| rate > least)
            {
                best = Some((rate, *first));
            }
        }
        best.map(|(_, first)| first)
    }

    fn make(&self, walk: &mut Walk, offer: usize, until: f64) -> Step {
        let it = &self.offers[offer];
        let gain = self.gain(walk, it).unwrap_or(0.0);
        let until = until + self.travel[walk.here][it.at] + self.minutes(walk, it);
        walk.here = it.at;
        walk.masks[it.place] |= 1 << it.bit;
        Step { offer, until, gain }
    }

    /// Follows the rule to its end: the steps.
    fn follow(&self, mut walk: Walk, mut until: f64, most: usize) -> Vec<Step> {
        let mut out = Vec::new();
        while let Some(offer) = self.rule(&walk) {
            let step = self.make(&mut walk, offer, until);
            until = step.until;
            out.push(step);
            if out.len() >= most {
                break;
            }
        }
        out
    }

    /// Returns the expected minutes of a plan: those until a leak is found, and the end with the tail where it is not.
    #[must_use]
    pub fn expected_minutes(&self, steps: &[Step]) -> f64 {
        let whole: f64 = self.rest.iter().map(|rest| rest[0]).sum();
        let found: f64 = steps.iter().map(|step| step.gain).sum();
        let end = steps.last().map_or(0.0, |step| step.until);
        steps.iter().map(|step| step.gain * step.until).sum::<f64>()
            + (whole - found).max(0.0) * (end + self.tail)
    }

    fn still(&self) -> bool {
        self.travel.iter().flatten().all(|minutes| *minutes == 0.0)
    }

    fn first(&self, walk: &Walk, until: f64, most: usize) -> Option<usize> {
        let base = self.rule(walk)?;
        if self.still() {
            return Some(base);
        }
        let whole: f64 = self.rest.iter().zip(&walk.masks).map(|(rest, mask)| rest[usize::from(*mask)]).sum();
        let cost = |first: usize| {
            let mut next = walk.clone();
            let step = self.make(&mut next, first, until);
            let mut steps = vec![step];
            steps.extend(self.follow(next, step.until, most));
            let found: f64 = steps.iter().map(|step| step.gain).sum();
            let end = steps.last().map_or(0.0, |step| step.until);
            steps.iter().map(|step| step.gain * step.until).sum::<f64>()
                + (whole - found).max(0.0) * (end + self.tail)
        };
        let mut best = (cost(base), base);
        for here in self.ranked(walk) {
            for (offer, ..) in here.iter().take(2) {
                if *offer == base {
                    continue;
                }
                let minutes = cost(*offer);
                if minutes < best.0 - 1e-9 {
                    best = (minutes, *offer);
                }
            }
        }
        Some(best.1)
    }

    /// Returns the next look.
    #[must_use]
    pub fn next(&self) -> Option<usize> {
        self.first(&self.begin(), 0.0, usize::MAX)
    }

    /// Returns the looks in order, each chosen as [`Task::next`] chooses, at most `most` of them.
    #[must_use]
    pub fn plan(&self, most: usize) -> Vec<Step> {
        let mut walk = self.begin();
        let mut until = 0.0;
        let mut out = Vec::new();
        while out.len() < most
            && let Some(offer) = self.first(&walk, until, usize::MAX)
        {
            let step = self.make(&mut walk, offer, until);
            until = step.until;
            out.push(step);
        }
        out
    }

    /// Returns the looks in order: the first `tried` ones as [`Task::next`] chooses, the rest by the rule alone.
    #[must_use]
    pub fn quick_plan(&self, tried: usize, most: usize) -> Vec<Step> {
        let mut walk = self.begin();
        let mut until = 0.0;
        let mut out = Vec::new();
        while out.len() < tried.min(most)
            && let Some(offer) = self.first(&walk, until, most)
        {
            let step = self.make(&mut walk, offer, until);
            until = step.until;
            out.push(step);
        }
        let left = most - out.len();
        if left > 0 {
            out.extend(self.follow(walk, until, left));
        }
        out
    }
}
