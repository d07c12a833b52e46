//! What explains the loss and where a leak may be, after the history and every look: exact, over places, sizes and the
//! times at which a leak shows.

use super::book::{Access, Book, Method, Place, Shows, Side, State, Weather};
use super::history::Evidence;
use serde::{Deserialize, Serialize};
use units::math::{powi, sqrt};

/// What a look gave.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Outcome {
    /// Nothing.
    Clean,
    /// A hit, with the chance of one without a leak.
    Hit {
        /// That chance.
        false_alarm: f64,
    },
}

/// One look at one place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// The place, by its number in the ground.
    pub place: usize,
    /// How.
    pub method: Method,
    /// What the system did.
    pub state: State,
    /// Its cover or insulation was off.
    pub opened: bool,
    /// Who looked on which day: looks of one session share the person and, in one way and state, the air.
    pub session: u32,
    /// The chance that the place was looked at at all.
    pub covered: f64,
    /// Wind, sun or gas in the air.
    pub spoilt: bool,
    /// The absolute pressure there, bar, where it was read.
    pub pressure_bar: Option<f64>,
    /// What it gave.
    pub outcome: Outcome,
}

/// The absolute pressures of each side, bar: running, off, in a defrost.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Pressures {
    /// Low side: off, running, defrost.
    pub low: [f64; 3],
    /// High side: off, running, defrost.
    pub high: [f64; 3],
}

impl Pressures {
    /// Returns the pressure of a side in a state.
    #[must_use]
    pub fn of(&self, side: Side, state: State) -> f64 {
        match side {
            Side::Low => self.low[state as usize],
            Side::High => self.high[state as usize],
        }
    }
}

/// Returns the share of the yearly mean flow that a leak passes at `bar` absolute, by the mean of the two flow laws.
///
/// A hole passes in proportion to pressure, a fine crack to the difference of squares; which it is nobody knows, and a
/// loss of months averages over running and off time.
#[must_use]
pub fn flow_share(pressures: &Pressures, side: Side, shows: Shows, run_share: f64, bar: f64) -> [f64; 2] {
    let laws: [fn(f64) -> f64; 2] =
        [|bar| (bar - 1.0).clamp(0.0, 0.3) / 0.3 * bar, |bar| (bar * bar - 1.0).max(0.0)];
    laws.map(|law| {
        let run = law(pressures.of(side, State::Running));
        let off = law(pressures.of(side, State::Off));
        let mean = match shows {
            Shows::Running => run_share * run,
            Shows::Off => (1.0 - run_share) * off,
            Shows::Defrost => 0.04 * law(pressures.of(side, State::Defrost)),
            Shows::Hot => 0.2 * (run_share * run + (1.0 - run_share) * off),
            Shows::Cold => 0.25 * (run_share * run + (1.0 - run_share) * off),
            Shows::Always => run_share * run + (1.0 - run_share) * off,
        };
        if mean > 0.0 { law(bar) / mean } else { 0.0 }
    })
}

/// A system to search.
#[derive(Clone, Debug, PartialEq)]
pub struct System<'a> {
    /// The numbers of the search.
    pub book: &'a Book,
    /// Its places.
    pub places: &'a [Place],
    /// Its pressures.
    pub pressures: Pressures,
    /// The share of the time that it runs.
    pub run_share: f64,
    /// The weather now.
    pub weather: Weather,
    /// Half-seen flow of the detector, kg a year, where its rating is known.
    pub detector_half_seen: Option<f64>,
}

/// What the looks at one place say, so far that more looks can be held against it.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    /// Chance before the looks of each (size, time it shows), summing to one.
    pub weight: Vec<f64>,
    /// Looks already made at this place.
    looks: Vec<Seen>,
    reach: (f64, f64),
    people: Vec<(f64, f64)>,
}

#[derive(Clone, Debug)]
pub(crate) struct Seen {
    session: u32,
    /// Looks of one session with one key share their air.
    key: u32,
    opened: bool,
    air: f64,
    outcome: Outcome,
    covered: f64,
    /// Chance of seeing it for each (size, time it shows), all else in favour.
    pod: Vec<f64>,
}

impl Cell {
    /// Returns how well the looks (and `more`) fit a leak here, against none here, for each (size, time it shows).
    pub(crate) fn fit(&self, more: &[&Seen]) -> Vec<f64> {
        (0..self.weight.len())
            .map(|at| if self.weight[at] > 0.0 { self.fit_at(at, more) } else { 1.0 })
            .collect()
    }

    fn fit_at(&self, at: usize, more: &[&Seen]) -> f64 {
        let (outside, opened) = self.reach;
        if self.looks.is_empty() && more.is_empty() {
            return 1.0;
        }
        let whole = self.product(at, more, true);
        let partly = self.product(at, more, false);
        (1.0 - opened) + (opened - outside) * partly + outside * whole
    }

    /// The product over sessions, of looks that can meet the leak: all of them, or those with the cover off.
    fn product(&self, at: usize, more: &[&Seen], from_outside: bool) -> f64 {
        let all = || self.looks.iter().chain(more.iter().copied()).filter(|seen| from_outside || seen.opened);
        let mut out = 1.0;
        let mut done: [u32; 32] = [u32::MAX; 32];
        let mut sessions = 0;
        for seen in all() {
            if done[..sessions].contains(&seen.session) {
                continue;
            }
            if sessions < done.len() {
                done[sessions] = seen.session;
                sessions += 1;
            }
            let session = seen.session;
            let mut sum = 0.0;
            for (share, attention) in &self.people {
                let mut fit = 1.0;
                let mut keys: [u32; 16] = [u32::MAX; 16];
                let mut known = 0;
                for first in all().filter(|other| other.session == session) {
                    if keys[..known].contains(&first.key) {
                        continue;
                    }
                    if known < keys.len() {
                        keys[known] = first.key;
                        known += 1;
                    }
                    let mut met = 1.0;
                    for look in all().filter(|other| other.session == session && other.key == first.key) {
                        let d = look.covered * attention * look.pod[at];
                        met *= match look.outcome {
                            Outcome::Clean => 1.0 - d,
                            Outcome::Hit { false_alarm } => (d + (1.0 - d) * false_alarm) / false_alarm,
                        };
                    }
                    fit *= (1.0 - first.air) + first.air * met;
                }
                sum += share * fit;
            }
            out *= sum;
        }
        out
    }
}

/// The state of a search.
#[derive(Clone, Debug)]
pub struct Posterior {
    /// For each place: the chance of a leak there, alone or as one of two.
    pub places: Vec<f64>,
    /// For each place: the chance that it is the only leak.
    pub single: Vec<f64>,
    /// The same before any look.
    pub before: Vec<f64>,
    /// The chances of two leaks, a winter's share, service, books.
    pub two: f64,
    /// A winter's share.
    pub winter: f64,
    /// Service.
    pub service: f64,
    /// Books.
    pub books: f64,
    /// For each place: how surely a leak there would have been seen by now.
    pub looked: Vec<f64>,
    /// For each place: whether it has really been ruled out.
    pub ruled_out: Vec<bool>,
    /// The chance of each size of leak, kg a year.
    pub sizes: Vec<(f64, f64)>,
    /// The chance of each time that a leak shows.
    pub shows: [f64; 6],
    pub(crate) cells: Vec<Cell>,
    pub(crate) weight: Vec<f64>,
    leak: f64,
    pair: f64,
    none: f64,
}

impl Posterior {
    /// Returns the chance that one of these looks finds a leak: each with its place, on top of all looks made.
    ///
    /// Exact: one less the chance that all of them are clean.
    pub(crate) fn chance_of(&self, more: &[Vec<&Seen>]) -> f64 {
        let now = self.norm(|_| Vec::new());
        let then = self.norm(|place| more.get(place).cloned().unwrap_or_default());
        if now > 0.0 { (1.0 - then / now).max(0.0) } else { 0.0 }
    }

    fn norm<'a>(&'a self, more: impl Fn(usize) -> Vec<&'a Seen>) -> f64 {
        let fits: Vec<Vec<f64>> =
            self.cells.iter().enumerate().map(|(place, cell)| cell.fit(&more(place))).collect();
        sums(&self.cells, &self.weight, &fits, self.leak, self.pair).total + self.none
    }

    /// Returns the share of the whole that a leak at this place has under a fit of its looks: alone, or one of two.
    pub(crate) fn mass(&self, place: usize, fit: &[f64], sums: &Sums) -> f64 {
        let cell = &self.cells[place];
        (0..fit.len())
            .map(|at| {
                let one = self.weight[place] * fit[at];
                let w = cell.weight[at];
                let other = (sums.first[at] - sums.own[place][at]).max(0.0);
                // A pair holds this place as its one or its other.
                w * (self.leak * one + 2.0 * self.pair * one * other * sums.scale)
            })
            .sum()
    }

    pub(crate) fn sums(&self) -> (Sums, f64) {
        let fits: Vec<Vec<f64>> = self.cells.iter().map(|cell| cell.fit(&[])).collect();
        let sums = sums(&self.cells, &self.weight, &fits, self.leak, self.pair);
        let total = sums.total + self.none;
        (sums, total)
    }
}

/// Sums over places for each (size, time it shows).
pub(crate) struct Sums {
    /// Sum of weight times fit.
    first: Vec<f64>,
    /// Each place's own part.
    own: Vec<Vec<f64>>,
    /// Two leaks are two different places: what that makes of the product.
    scale: f64,
    total: f64,
}

fn sums(cells: &[Cell], weight: &[f64], fits: &[Vec<f64>], leak: f64, pair: f64) -> Sums {
    let count = cells.first().map_or(0, |cell| cell.weight.len());
    let mut first = vec![0.0; count];
    let mut second = vec![0.0; count];
    let own: Vec<Vec<f64>> = weight
        .iter()
        .zip(fits)
        .map(|(w, fit)| {
            fit.iter()
                .enumerate()
                .map(|(at, f)| {
                    first[at] += w * f;
                    second[at] += w * f * w * f;
                    w * f
                })
                .collect()
        })
        .collect();
    let squares: f64 = weight.iter().map(|w| w * w).sum();
    let scale = if squares < 1.0 { 1.0 / (1.0 - squares) } else { 0.0 };
    let total = cells.first().map_or(0.0, |cell| {
        (0..count)
            .map(|at| {
                let two = (first[at] * first[at] - second[at]).max(0.0) * scale;
                cell.weight[at] * (leak * first[at] + pair * two)
            })
            .sum()
    });
    Sums { first, own, scale, total }
}

/// Returns what explains the loss, and where a leak may be, after these looks.
///
/// Looks are held together by what they share: whether the leak comes out where a probe can meet it (the same for every
/// look at a place, better once it is opened), the air of one way and state in one session, and the attention of who
/// looked. So a second look in the same way counts for less than the first, and other conditions for more.
#[must_use]
pub fn posterior(system: &System<'_>, evidence: &Evidence, looks: &[Look], marks: &[Mark]) -> Posterior {
    let book = system.book;
    let mut weight: Vec<f64> = system.places.iter().map(|place| place.weight.max(0.0)).collect();
    for mark in marks {
        if let Some(w) = weight.get_mut(mark.place) {
            *w *= mark.ratio;
        }
    }
    let bare: f64 = system.places.iter().map(|place| place.weight.max(0.0)).sum();
    let bare = if bare > 0.0 { bare } else { 1.0 };
    // A mark changes the odds of its place against every other explanation, so the sum is that of the plain beliefs.
    for w in &mut weight {
        *w /= bare;
    }
    let nodes = nodes(book, evidence);
    let share: f64 = nodes.iter().map(|node| node.2).sum();
    let share = if share > 0.0 { share } else { 1.0 };
    let cells: Vec<Cell> = system
        .places
        .iter()
        .enumerate()
        .map(|(at, place)| Cell {
            weight: nodes.iter().map(|node| node.2 / share).collect(),
            looks: looks
                .iter()
                .filter(|look| look.place == at)
                .map(|look| seen(system, evidence, look))
                .collect(),
            reach: book.reach_of(place.access),
            people: book.people.clone(),
        })
        .collect();
    let [one, two, winter, service, books] = book.explanations;
    let fit_of_leak: f64 = evidence.leak.iter().sum();
    let (leak, pair) = (one * fit_of_leak, two * fit_of_leak);
    let others = [winter * evidence.others[0], service * evidence.others[1], books * evidence.others[2]];
    let none: f64 = others.iter().sum();
    let before_sum = leak + pair + none;
    let fits: Vec<Vec<f64>> = cells.iter().map(|cell| cell.fit(&[])).collect();
    let all = sums(&cells, &weight, &fits, leak, pair);
    let total = all.total + none;
    let total = if total > 0.0 { total } else { 1.0 };
    let mut out = Posterior {
        places: Vec::new(),
        single: Vec::new(),
        before: weight.iter().map(|w| w * leak / before_sum).collect(),
        two: 0.0,
        winter: others[0] / total,
        service: others[1] / total,
        books: others[2] / total,
        looked: Vec::new(),
        ruled_out: Vec::new(),
        sizes: Vec::new(),
        shows: [0.0; 6],
        cells,
        weight,
        leak,
        pair,
        none,
    };
    let mut by_size = vec![0.0; evidence.sizes.len()];
    let mut by_shows = [0.0; 6];
    for (place, fit) in fits.iter().enumerate() {
        let mass = out.mass(place, fit, &all) / total;
        let single: f64 = (0..fit.len())
            .map(|at| out.cells[place].weight[at] * leak * out.weight[place] * fit[at])
            .sum::<f64>()
            / total;
        out.places.push(mass);
        out.single.push(single);
        let seen_by_now = 1.0 - (0..fit.len()).map(|at| out.cells[place].weight[at] * fit[at]).sum::<f64>();
        out.looked.push(seen_by_now.clamp(0.0, 1.0));
        for (at, node) in nodes.iter().enumerate() {
            let part = out.cells[place].weight[at] * out.weight[place] * fit[at];
            by_size[node.0] += part;
            by_shows[node.1] += part;
        }
    }
    out.two = (1.0 - out.single.iter().sum::<f64>() - none / total).max(0.0);
    let sum: f64 = by_size.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    out.sizes = evidence.sizes.iter().zip(&by_size).map(|(kg, p)| (*kg, p / sum)).collect();
    for (at, p) in by_shows.iter().enumerate() {
        out.shows[at] = p / sum;
    }
    out.ruled_out = (0..system.places.len())
        .map(|place| {
            let mut ways: Vec<(u32, u32)> = out.cells[place]
                .looks
                .iter()
                .filter(|seen| seen.covered >= 1.0)
                .map(|seen| (seen.session, seen.key))
                .collect();
            ways.sort_unstable();
            ways.dedup();
            let hit = looks.iter().any(|look| look.place == place && look.outcome != Outcome::Clean);
            !hit && ways.len() >= 2 && out.places[place] <= 0.05 * out.before[place]
        })
        .collect();
    out
}

/// An oil mark, or that an eye looked and saw none: what it makes of the odds of a place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// The place.
    pub place: usize,
    /// Chance of it with a leak there over the chance without.
    pub ratio: f64,
}

/// (number of the size, number of the time it shows, chance), the ones that matter.
fn nodes(book: &Book, evidence: &Evidence) -> Vec<(usize, usize, f64)> {
    let most = evidence.leak.iter().copied().fold(0.0, f64::max);
    let mut out = Vec::new();
    for (size, p) in evidence.leak.iter().enumerate() {
        if *p < 0.02 * most {
            continue;
        }
        for (shows, (chance, _)) in book.shows.iter().enumerate() {
            if *chance > 0.0 {
                out.push((size, shows, p * chance));
            }
        }
    }
    out
}

/// Returns a look as the posterior holds it.
pub(crate) fn seen(system: &System<'_>, evidence: &Evidence, look: &Look) -> Seen {
    let place = &system.places[look.place];
    let sight = system.book.sight(look.method);
    let moving = place.access == Access::Coil && look.state == State::Running;
    let air = if moving { sight.moving.mean() } else { sight.still.mean() };
    let air = if look.spoilt { air * sight.spoilt } else { air };
    let key =
        look.method as u32 * 12 + look.state as u32 * 4 + u32::from(look.opened) * 2 + u32::from(look.spoilt);
    Seen {
        session: look.session,
        key,
        // A section that is shut in tells of what is buried as well as of what is bare.
        opened: look.opened || look.method == Method::Isolation,
        air,
        outcome: look.outcome,
        covered: look.covered.clamp(0.0, 1.0),
        pod: pods(system, place, look, &nodes(system.book, evidence), &evidence.sizes),
    }
}

fn pods(
    system: &System<'_>,
    place: &Place,
    look: &Look,
    nodes: &[(usize, usize, f64)],
    sizes: &[f64],
) -> Vec<f64> {
    let sight = system.book.sight(look.method);
    let half = match (look.method, system.detector_half_seen) {
        (Method::Electronic, Some(kg)) if kg > 0.0 => kg,
        _ => sight.half_seen,
    };
    let bar = look.pressure_bar.unwrap_or_else(|| system.pressures.of(place.side, look.state));
    let shares: Vec<Option<[f64; 2]>> = Shows::ALL
        .iter()
        .map(|shows| {
            let now = shows.now(look.state, system.weather);
            now.then(|| flow_share(&system.pressures, place.side, *shows, system.run_share, bar))
        })
        .collect();
    nodes
        .iter()
        .map(|(size, shows, _)| {
            shares[*shows].map_or(0.0, |laws| {
                laws.iter().map(|share| chance_of_flow(sizes[*size] * share, half, sight.slope)).sum::<f64>()
                    / 2.0
            })
        })
        .collect()
}

/// Returns the chance of seeing a flow, all else in favour: 1 / (1 + (half / flow)^slope).
#[must_use]
pub fn chance_of_flow(flow: f64, half_seen: f64, slope: f64) -> f64 {
    if flow <= 0.0 {
        return 0.0;
    }
    let ratio = half_seen / flow;
    let power = if slope == 2.0 {
        ratio * ratio
    } else if slope == 1.0 {
        ratio
    } else if slope == 3.0 {
        powi(ratio, 3)
    } else if slope == 0.5 {
        sqrt(ratio)
    } else {
        units::math::pow(ratio, slope)
    };
    1.0 / (1.0 + power)
}
