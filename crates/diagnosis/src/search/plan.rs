//! The order of looks: the greatest gain for its minutes, with the ways between places counted.
//!
//! Where there is no way to go the order is that of p d / c, looked up anew after each miss: the optimal policy for
//! independent looks (Blackwell, as cited by Chew 1967; Stone, Theory of Optimal Search, 1975). Ways break its
//! optimality; then each next look is tried by following that rule to the end, and the one with the least expected time
//! is taken.

use serde::{Deserialize, Serialize};

/// How many sets the looks of one place make: at most five looks.
pub const SETS: usize = 32;

/// A look that can be made.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// The place, by its number.
    pub place: usize,
    /// Which of the looks at that place, from 0.
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
    pub rest: Vec<[f64; SETS]>,
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

/// The best look of one place at one location.
#[derive(Clone, Copy)]
struct Ranked {
    offer: usize,
    place: usize,
    gain: f64,
    minutes: f64,
    rate: f64,
}

/// How far a plan has come. What could be done next is kept in order, since a look changes that of its own place alone.
#[derive(Clone)]
struct Walk {
    masks: Vec<u8>,
    here: usize,
    /// For each location: the best look of each place there, by gain a minute.
    ranked: Vec<Vec<Ranked>>,
    /// The chance left that a leak is anywhere unseen.
    left: f64,
}

/// A task with the looks of each place at hand.
struct Course<'a> {
    task: &'a Task,
    of_place: Vec<Vec<usize>>,
}

impl Course<'_> {
    fn begin(&self) -> Walk {
        let task = self.task;
        let mut walk = Walk {
            masks: vec![0; task.rest.len()],
            here: task.start,
            ranked: vec![Vec::new(); task.travel.len()],
            left: task.rest.iter().map(|rest| rest[0]).sum(),
        };
        for place in 0..task.rest.len() {
            self.enter(&mut walk, place);
        }
        walk
    }

    /// Puts the best looks of a place into the order of each location.
    fn enter(&self, walk: &mut Walk, place: usize) {
        let offers = &self.of_place[place];
        for (at, offer) in offers.iter().enumerate() {
            let location = self.task.offers[*offer].at;
            // Once for each location that the place has looks at.
            if offers[..at].iter().any(|other| self.task.offers[*other].at == location) {
                continue;
            }
            let mut best: Option<Ranked> = None;
            for offer in offers[at..].iter().filter(|other| self.task.offers[**other].at == location) {
                let it = &self.task.offers[*offer];
                let Some(gain) = self.task.gain(walk.masks[place], it) else { continue };
                let minutes = self.task.minutes(walk.masks[place], it);
                let rate = gain / minutes;
                if best.is_none_or(|best| rate > best.rate) {
                    best = Some(Ranked { offer: *offer, place, gain, minutes, rate });
                }
            }
            if let Some(best) = best {
                let list = &mut walk.ranked[location];
                let before = |other: &Ranked| {
                    best.rate.total_cmp(&other.rate).then(other.offer.cmp(&best.offer)).is_lt()
                };
                list.insert(list.partition_point(before), best);
            }
        }
    }

    /// The best look by gain a minute, a way there being shared by what is done there.
    fn rule(&self, walk: &Walk) -> Option<usize> {
        let mut best: Option<(f64, usize)> = None;
        for (at, here) in walk.ranked.iter().enumerate() {
            let (mut gain, mut minutes, mut rate) = (0.0, self.task.travel[walk.here][at], 0.0);
            for look in here {
                gain += look.gain;
                minutes += look.minutes;
                if gain / minutes > rate {
                    rate = gain / minutes;
                } else {
                    break;
                }
            }
            if let Some(first) = here.first()
                && best.is_none_or(|(least, _)| rate > least)
            {
                best = Some((rate, first.offer));
            }
        }
        best.map(|(_, first)| first)
    }

    fn make(&self, walk: &mut Walk, offer: usize, until: f64) -> Step {
        let it = &self.task.offers[offer];
        let mask = walk.masks[it.place];
        let gain = self.task.gain(mask, it).unwrap_or(0.0);
        let until = until + self.task.travel[walk.here][it.at] + self.task.minutes(mask, it);
        walk.here = it.at;
        walk.masks[it.place] |= 1 << it.bit;
        walk.left -= gain;
        for (at, offer) in self.of_place[it.place].iter().enumerate() {
            let location = self.task.offers[*offer].at;
            if !self.of_place[it.place][..at].iter().any(|other| self.task.offers[*other].at == location) {
                walk.ranked[location].retain(|look| look.place != it.place);
            }
        }
        self.enter(walk, it.place);
        Step { offer, until, gain }
    }

    /// Follows the rule to its end.
    fn follow(&self, walk: &mut Walk, mut until: f64, most: usize, mut tell: impl FnMut(Step)) {
        for _ in 0..most {
            let Some(offer) = self.rule(walk) else { break };
            let step = self.make(walk, offer, until);
            until = step.until;
            tell(step);
        }
    }

    /// The look that costs least, each of the two best of every location tried by following the rule to the end.
    fn first(&self, walk: &Walk, until: f64, most: usize) -> Option<usize> {
        let base = self.rule(walk)?;
        if self.task.still() {
            return Some(base);
        }
        let whole = walk.left;
        let cost = |first: usize| {
            let mut next = walk.clone();
            let step = self.make(&mut next, first, until);
            let (mut sum, mut found, mut end) = (step.gain * step.until, step.gain, step.until);
            self.follow(&mut next, end, most, |step| {
                sum += step.gain * step.until;
                found += step.gain;
                end = step.until;
            });
            sum + (whole - found).max(0.0) * (end + self.task.tail)
        };
        let mut best = (cost(base), base);
        for here in &walk.ranked {
            for look in here.iter().take(2) {
                if look.offer == base {
                    continue;
                }
                let minutes = cost(look.offer);
                if minutes < best.0 - 1e-9 {
                    best = (minutes, look.offer);
                }
            }
        }
        Some(best.1)
    }

    /// The looks in order: the first `tried` of them tried out to the end, the rest by the rule alone.
    fn plan(&self, tried: usize, most: usize) -> Vec<Step> {
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
        self.follow(&mut walk, until, left, |step| out.push(step));
        out
    }
}

impl Task {
    fn course(&self) -> Course<'_> {
        let mut of_place = vec![Vec::new(); self.rest.len()];
        for (at, offer) in self.offers.iter().enumerate() {
            of_place[offer.place].push(at);
        }
        Course { task: self, of_place }
    }

    fn gain(&self, mask: u8, offer: &Offer) -> Option<f64> {
        let bit = 1u8 << offer.bit;
        if mask & bit != 0 {
            return None;
        }
        let rest = &self.rest[offer.place];
        let gain = rest[usize::from(mask)] - rest[usize::from(mask | bit)];
        (gain > 1e-9).then_some(gain)
    }

    /// Minutes of a look: what was opened once stays open.
    fn minutes(&self, mask: u8, offer: &Offer) -> f64 {
        match offer.opening {
            Some(more) if mask & self.opens[offer.place] == 0 => offer.minutes + more,
            _ => offer.minutes,
        }
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

    /// Returns the next look.
    #[must_use]
    pub fn next(&self) -> Option<usize> {
        let course = self.course();
        course.first(&course.begin(), 0.0, usize::MAX)
    }

    /// Returns the looks in order, each chosen as [`Task::next`] chooses, at most `most` of them.
    #[must_use]
    pub fn plan(&self, most: usize) -> Vec<Step> {
        self.course().plan(usize::MAX, most)
    }

    /// Returns the looks in order: the first `tried` ones as [`Task::next`] chooses, the rest by the rule alone.
    #[must_use]
    pub fn quick_plan(&self, tried: usize, most: usize) -> Vec<Step> {
        self.course().plan(tried, most)
    }
}
