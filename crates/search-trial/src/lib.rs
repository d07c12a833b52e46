//! Invented systems with a leak or none, their history, and technicians who look for it: the truth that the leak search is
//! tried on.
//!
//! Nothing here is shared with the model under trial: not its types, not its formulas, not its data. A leak is a flow
//! that a pressure drives; a probe meets what the wind leaves of it; a person holds the probe to it or not. Whether a
//! technician sees it follows from these, not from a detection curve.

mod spots;

pub use spots::{Access, REGIONS, Side, Spot, travel};

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// What the world is like. The second one is what the model was not told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct World {
    /// Share of a leak's chances to come out where a probe can meet it, against the usual one.
    pub reach: f64,
    /// Share of technicians who take their time.
    pub careful: f64,
    /// Spread (natural logarithm) of the true places about what is believed of them.
    pub places: f64,
    /// Share of leaks that show only while running.
    pub running_only: f64,
    /// Spread (natural logarithm) of each amount refilled.
    pub amounts: f64,
}

/// The world as the model's own numbers describe it.
pub const AS_STATED: World =
    World { reach: 1.0, careful: 0.7, places: 0.0, running_only: 0.12, amounts: 0.15 };

/// A world that differs: leaks hide more, fewer people take their time, places differ from belief, more leaks wait for
/// the compressor, amounts are written down worse.
pub const OTHERWISE: World =
    World { reach: 0.8, careful: 0.5, places: 0.6, running_only: 0.25, amounts: 0.3 };

/// What is true of a system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Truth {
    /// One leak.
    Leak(Leak),
    /// Two leaks.
    Two(Leak, Leak),
    /// No leak: filled in the warm without the winter's share.
    Winter,
    /// No leak: what hoses and purging take at each visit.
    Service,
    /// No leak: the books are wrong.
    Books,
}

/// When a leak shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// Whenever there is pressure.
    Always,
    /// Only while the compressor runs.
    Running,
    /// Only while it is off.
    Off,
    /// Only in a defrost, in a heat or in a cold that is not there today.
    NotToday,
}

/// A leak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leak {
    /// Its spot.
    pub spot: usize,
    /// When it shows.
    pub shows: Shows,
    /// What it loses over the year, in kg.
    pub kg_per_year: f64,
    /// Flow as the square of pressure (a fine crack), else in proportion to it (a hole).
    pub crack: bool,
}

/// How a spot is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// With an electronic detector.
    Detector,
    /// With soap solution.
    Soap,
}

/// A refill, or gas taken out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refill {
    /// Day from the beginning of the history; the beginning is a 1 January.
    pub day: i32,
    /// kg as written down; absent where nobody wrote it.
    pub kg: Option<f64>,
    /// Whether gas was taken out.
    pub out: bool,
}

/// A system, its past and what is true of it.
#[derive(Clone, Debug)]
pub struct Case {
    /// The spots where it can leak.
    pub spots: Vec<Spot>,
    /// Its full charge, kg.
    pub charge: f64,
    /// The day on which it was filled, before the first refill.
    pub filled: i32,
    /// The refills, by day.
    pub refills: Vec<Refill>,
    /// The visits of others who searched and found nothing.
    pub earlier: u32,
    /// The spots with an oil mark that an eye sees, found before anything else.
    pub oil: Vec<usize>,
    /// What is true.
    pub truth: Truth,
    /// Absolute pressure by side (low, high), running and off, in bar.
    pub pressure: [[f64; 2]; 2],
    person: Person,
    draw: ChaCha8Rng,
    seen: Vec<(usize, Met)>,
}

/// What stays the same when the same spot is looked at again.
#[derive(Clone, Debug)]
struct Met {
    /// Below which reach this leak comes out in the open: drawn once for each spot.
    depth: f64,
    /// For each way, state and openness: whether the air there lets it be met.
    air: Vec<(Way, bool, bool, bool)>,
}

#[derive(Clone, Copy, Debug)]
struct Person {
    attention: f64,
}

/// Share of the time that the compressor runs.
pub const RUN_SHARE: f64 = 0.6;
/// What the detector is trusted to find in the field, kg a year.
const DETECTOR_LIMIT: f64 = 0.03;
/// What soap shows, kg a year.
const SOAP_LIMIT: f64 = 0.05;

impl Case {
    /// Returns the case of this number under this seed.
    #[must_use]
    pub fn new(world: &World, seed: u64, number: u64) -> Case {
        let mut draw = ChaCha8Rng::seed_from_u64(seed);
        draw.set_stream(number);
        let spots = spots::drawn(&mut draw);
        let charge = 4.0 * libm::exp(uniform(&mut draw) * 1.6);
        let pressure = pressures(&mut draw);
        let believed: Vec<f64> = spots.iter().map(|spot| spot.weight).collect();
        let true_weights: Vec<f64> =
            believed.iter().map(|w| w * libm::exp(world.places * normal(&mut draw))).collect();
        // Histories that others' searches would have ended are no case: they found it.
        loop {
            let truth = truth(world, &true_weights, charge, &mut draw);
            let mut case = Case {
                spots: spots.clone(),
                charge,
                filled: 0,
                refills: Vec::new(),
                earlier: below(&mut draw, 4),
                oil: Vec::new(),
                truth,
                pressure,
                person: Person { attention: if uniform(&mut draw) < world.careful { 0.95 } else { 0.6 } },
                draw: draw.clone(),
                seen: Vec::new(),
            };
            case.past(world);
            let found = case.others_found(world);
            draw = case.draw.clone();
            if !found && case.refills.iter().any(|refill| !refill.out) {
                case.marks(world);
                return case;
            }
        }
    }

    /// Returns whether a look at a spot shows a leak there; a false alarm is taken back on the second pass, so none stays.
    ///
    /// `open`: its cover or insulation was taken off.
    pub fn look(&mut self, world: &World, spot: usize, way: Way, running: bool, open: bool) -> bool {
        let person = self.person;
        self.look_by(world, person, spot, way, running, open)
    }

    fn look_by(
        &mut self,
        world: &World,
        person: Person,
        spot: usize,
        way: Way,
        running: bool,
        open: bool,
    ) -> bool {
        let (first, second) = match self.truth {
            Truth::Leak(leak) => (Some(leak), None),
            Truth::Two(one, other) => (Some(one), Some(other)),
            _ => return false,
        };
        let Some(leak) = [first, second].into_iter().flatten().find(|leak| leak.spot == spot) else {
            return false;
        };
        let here = self.spots[spot].clone();
        let reach = world.reach * if open { here.access.opened() } else { here.access.reach() };
        let moving = running && here.access.in_moving_air();
        let still = match (way, moving) {
            (Way::Detector, false) => 0.9,
            (Way::Detector, true) => 0.55,
            (Way::Soap, _) => 0.85,
        };
        // One person's looks in one way, state and openness share their air; attention is each look's own.
        let at = match self.seen.iter().position(|(at, _)| *at == spot) {
            Some(at) => at,
            None => {
                let depth = uniform(&mut self.draw);
                self.seen.push((spot, Met { depth, air: Vec::new() }));
                self.seen.len() - 1
            }
        };
        let known =
            self.seen[at].1.air.iter().find(|(w, r, o, _)| (*w, *r, *o) == (way, running, open)).map(|a| a.3);
        let air = match known {
            Some(air) => air,
            None => {
                let air = uniform(&mut self.draw) < still;
                self.seen[at].1.air.push((way, running, open, air));
                air
            }
        };
        let attentive = uniform(&mut self.draw) < person.attention;
        // Above the limit a leak is met; below it less and less, as the plume misses the probe more often.
        let limit = match way {
            Way::Detector => DETECTOR_LIMIT,
            Way::Soap => SOAP_LIMIT,
        };
        let flow = self.flow_now(&leak, running);
        let share = flow / limit;
        let strong = uniform(&mut self.draw) < 1.0 - libm::exp(-share * share);
        flow > 0.0 && self.seen[at].1.depth < reach && air && attentive && strong
    }

    /// kg a year that the leak passes at this moment.
    fn flow_now(&self, leak: &Leak, running: bool) -> f64 {
        let side = self.spots[leak.spot].side as usize;
        let drive = |running: bool| {
            let p = self.pressure[usize::from(running)][side];
            if leak.crack { p * p - 1.0 } else { p }
        };
        let (run, off) = (drive(true).max(0.0), drive(false).max(0.0));
        let mean = match leak.shows {
            Shows::Always => RUN_SHARE * run + (1.0 - RUN_SHARE) * off,
            Shows::Running => RUN_SHARE * run,
            Shows::Off => (1.0 - RUN_SHARE) * off,
            Shows::NotToday => return 0.0,
        };
        let now = match (leak.shows, running) {
            (Shows::Running, false) | (Shows::Off, true) => 0.0,
            (_, true) => run,
            (_, false) => off,
        };
        leak.kg_per_year * now / mean.max(1e-9)
    }

    /// Draws the refills that this truth leads to.
    fn past(&mut self, world: &World) {
        let charge = self.charge;
        let noise = |draw: &mut ChaCha8Rng| libm::exp(world.amounts * normal(draw));
        let mut refills = Vec::new();
        let mut day = (365.0 * uniform(&mut self.draw)) as i32;
        self.filled = day;
        match self.truth {
            Truth::Leak(_) | Truth::Two(..) => {
                let rate = match self.truth {
                    Truth::Leak(leak) => leak.kg_per_year,
                    Truth::Two(one, other) => one.kg_per_year + other.kg_per_year,
                    _ => 0.0,
                };
                // The rate is today's; it was slower before.
                let faster = 1.0 + 0.4 * uniform(&mut self.draw);
                let count = 1 + below(&mut self.draw, 4);
                let reserve = charge * (0.08 + 0.12 * uniform(&mut self.draw));
                for back in (0..count).rev() {
                    let then = rate / libm::pow(faster, f64::from(back));
                    let lost = reserve * (0.85 + 0.3 * uniform(&mut self.draw));
                    day += ((lost / then) * 365.25).clamp(3.0, 2500.0) as i32;
                    let end = 0.03 * charge * normal(&mut self.draw);
                    let kg = (lost * noise(&mut self.draw) + end).max(0.05);
                    refills.push(Refill { day, kg: Some(kg), out: false });
                }
            }
            Truth::Winter => {
                // Filled between May and August, short in October to December; some take it out again in the summer.
                let share = charge * (0.08 + 0.22 * uniform(&mut self.draw));
                let years = 1 + below(&mut self.draw, 3);
                self.filled = 120 + below(&mut self.draw, 110) as i32;
                for year in 0..years as i32 {
                    let kg = (share * noise(&mut self.draw)).max(0.05);
                    refills.push(Refill {
                        day: 365 * year + 285 + below(&mut self.draw, 70) as i32,
                        kg: Some(kg),
                        out: false,
                    });
                    if year + 1 < years as i32 {
                        let kg = (share * noise(&mut self.draw)).max(0.05);
                        refills.push(Refill {
                            day: 365 * (year + 1) + 130 + below(&mut self.draw, 80) as i32,
                            kg: Some(kg),
                            out: true,
                        });
                    }
                }
            }
            Truth::Service => {
                let each = charge * (0.01 + 0.03 * uniform(&mut self.draw));
                for _ in 0..1 + below(&mut self.draw, 4) {
                    day += 120 + below(&mut self.draw, 250) as i32;
                    refills.push(Refill {
                        day,
                        kg: Some((each * noise(&mut self.draw)).max(0.02)),
                        out: false,
                    });
                }
            }
            Truth::Books => {
                for _ in 0..1 + below(&mut self.draw, 3) {
                    day += 30 + below(&mut self.draw, 500) as i32;
                    let kg = charge * (0.02 + 0.4 * uniform(&mut self.draw));
                    refills.push(Refill { day, kg: Some(kg), out: false });
                }
            }
        }
        for refill in &mut refills {
            if uniform(&mut self.draw) < 0.25 {
                refill.kg = None;
            }
        }
        self.refills = refills;
    }

    /// Whether one of the earlier visits found it.
    fn others_found(&mut self, world: &World) -> bool {
        for _ in 0..self.earlier {
            let person =
                Person { attention: if uniform(&mut self.draw) < world.careful { 0.95 } else { 0.6 } };
            let running = uniform(&mut self.draw) < 0.5;
            for spot in 0..self.spots.len() {
                let covered = uniform(&mut self.draw) < self.spots[spot].access.covered_by_others();
                if covered && self.look_by(world, person, spot, Way::Detector, running, false) {
                    return true;
                }
            }
            // The wind of another day is another wind; what hides a leak stays.
            for (_, met) in &mut self.seen {
                met.air.clear();
            }
        }
        false
    }

    /// Draws the oil marks.
    fn marks(&mut self, _: &World) {
        let leaking: Vec<usize> = match self.truth {
            Truth::Leak(leak) => vec![leak.spot],
            Truth::Two(one, other) => vec![one.spot, other.spot],
            _ => Vec::new(),
        };
        for spot in 0..self.spots.len() {
            let chance = if leaking.contains(&spot) { 0.3 } else { 0.1 };
            if uniform(&mut self.draw) < chance {
                self.oil.push(spot);
            }
        }
    }
}

fn truth(world: &World, weights: &[f64], charge: f64, draw: &mut ChaCha8Rng) -> Truth {
    let kind = uniform(draw);
    if kind > 0.80 {
        return match kind {
            k if k < 0.90 => Truth::Winter,
            k if k < 0.96 => Truth::Service,
            _ => Truth::Books,
        };
    }
    let size = charge * 0.35 * libm::exp(0.8 * normal(draw));
    let leak = |spot: usize, kg: f64, draw: &mut ChaCha8Rng| {
        let when = uniform(draw);
        let shows = if when < world.running_only {
            Shows::Running
        } else if when < world.running_only + 0.03 {
            Shows::Off
        } else if when < world.running_only + 0.03 + 0.075 {
            Shows::NotToday
        } else {
            Shows::Always
        };
        Leak { spot, shows, kg_per_year: kg, crack: uniform(draw) < 0.5 }
    };
    let first = pick(weights, draw);
    if kind > 0.72 {
        let mut second = pick(weights, draw);
        while second == first {
            second = pick(weights, draw);
        }
        let share = 0.2 + 0.6 * uniform(draw);
        return Truth::Two(leak(first, size * share, draw), leak(second, size * (1.0 - share), draw));
    }
    Truth::Leak(leak(first, size, draw))
}

fn pressures(draw: &mut ChaCha8Rng) -> [[f64; 2]; 2] {
    let low = 3.0 + 2.0 * uniform(draw);
    let high = 11.0 + 6.0 * uniform(draw);
    let off_low = 6.0 + 2.0 * uniform(draw);
    [[off_low, off_low + 2.0], [low, high]]
}

fn pick(weights: &[f64], draw: &mut ChaCha8Rng) -> usize {
    let mut left = uniform(draw) * weights.iter().sum::<f64>();
    for (at, weight) in weights.iter().enumerate() {
        left -= weight;
        if left < 0.0 {
            return at;
        }
    }
    weights.len() - 1
}

/// Returns a number from 0 up to, not including, 1.
pub fn uniform(draw: &mut ChaCha8Rng) -> f64 {
    (draw.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

fn below(draw: &mut ChaCha8Rng, count: u32) -> u32 {
    ((uniform(draw) * f64::from(count)) as u32).min(count - 1)
}

fn normal(draw: &mut ChaCha8Rng) -> f64 {
    let (a, b) = (uniform(draw).max(1e-300), uniform(draw));
    libm::sqrt(-2.0 * libm::log(a)) * libm::cos(2.0 * core::f64::consts::PI * b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_is_the_same_twice_and_differs_from_the_next() {
        let (a, b, c) =
            (Case::new(&AS_STATED, 7, 1), Case::new(&AS_STATED, 7, 1), Case::new(&AS_STATED, 7, 2));
        assert_eq!((a.truth, &a.refills, &a.oil), (b.truth, &b.refills, &b.oil));
        assert_ne!(a.refills, c.refills);
    }

    #[test]
    fn a_leak_is_seen_at_its_own_spot_alone_and_a_hidden_one_mostly_not() {
        let (mut seen, mut looked, mut elsewhere) = (0, 0, 0);
        for number in 0..400 {
            let mut case = Case::new(&AS_STATED, 11, number);
            let Truth::Leak(leak) = case.truth else { continue };
            let spots = case.spots.len();
            for spot in 0..spots {
                let hit = case.look(&AS_STATED, spot, Way::Detector, false, true);
                if spot == leak.spot {
                    looked += 1;
                    seen += u32::from(hit);
                } else {
                    elsewhere += u32::from(hit);
                }
            }
        }
        assert_eq!(elsewhere, 0);
        assert!(looked > 200 && seen * 10 > looked * 4 && seen * 10 < looked * 9, "{seen} of {looked}");
    }
}
