//! What explains the loss and where a leak may be, after the history and every look: exact, over places, sizes and the
//! times at which a leak shows.

use super::book::{Access, Book, Method, Place, Shows, Side, State, Weather};
use super::history::Evidence;
use super::plan::SETS;
use super::sections::Classes;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
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
    /// What the system did; left out of account where `covered` is below one, since then nobody knows it.
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

/// The sizes and the times a leak shows that matter, with their chances, which sum to one.
#[derive(Clone, Debug)]
pub(crate) struct Nodes {
    /// Number of the size, number of the time it shows.
    at: Vec<(usize, usize)>,
    /// Their chances.
    pub chance: Vec<f64>,
}

/// A look as the posterior holds it.
#[derive(Clone, Debug)]
pub(crate) struct Seen {
    session: u32,
    /// Looks of one session with one key share their air.
    key: u32,
    opened: bool,
    air: f64,
    outcome: Outcome,
    covered: f64,
    /// Chance of seeing it at each node, all else in favour.
    pod: Arc<[f64]>,
}

impl Seen {
    /// Returns how well this look fits a leak at a node that it can meet, in air that lets it, by this attention.
    fn met(&self, node: usize, attention: f64) -> f64 {
        let d = self.covered * attention * self.pod[node];
        match self.outcome {
            Outcome::Clean => 1.0 - d,
            Outcome::Hit { false_alarm } => (d + (1.0 - d) * false_alarm) / false_alarm,
        }
    }
}

/// Who may be looking: kinds of people by their attention, and kinds of shops.
#[derive(Clone, Debug)]
struct Crew {
    attention: Vec<f64>,
    /// For each kind of shop: its chance, what it leaves of the reach, the shares of the kinds of people.
    shops: Vec<(f64, f64, Vec<f64>)>,
}

impl Crew {
    fn new(book: &Book, evidence: &Evidence) -> Crew {
        let shops = book.shops.iter().take(MOST_SHOPS).enumerate().map(|(at, shop)| {
            (evidence.shops.get(at).copied().unwrap_or(shop.share), shop.reach, shop.people.clone())
        });
        Crew { attention: book.people.clone(), shops: shops.collect() }
    }
}

/// How well looks fit a leak, for each kind of shop and each node: where a probe meets it from outside, and where it does
/// once opened.
#[derive(Clone, Debug)]
struct Product {
    whole: Vec<f64>,
    partly: Vec<f64>,
}

impl Product {
    fn one(crew: &Crew, nodes: usize) -> Product {
        let count = nodes * crew.shops.len();
        Product { whole: vec![1.0; count], partly: vec![1.0; count] }
    }

    fn times(&mut self, other: &Product) {
        for (a, b) in self.whole.iter_mut().zip(&other.whole) {
            *a *= b;
        }
        for (a, b) in self.partly.iter_mut().zip(&other.partly) {
            *a *= b;
        }
    }

    /// The looks of one session: who looked is one person, and the looks of one key share their air.
    fn of_session(crew: &Crew, nodes: usize, looks: &[&Seen]) -> Product {
        let count = nodes * crew.shops.len();
        let mut out = Product { whole: vec![0.0; count], partly: vec![0.0; count] };
        for (kind, attention) in crew.attention.iter().enumerate() {
            let mut whole = vec![1.0; nodes];
            let mut partly = vec![1.0; nodes];
            for (at, first) in looks.iter().enumerate() {
                if looks[..at].iter().any(|other| other.key == first.key) {
                    continue;
                }
                let same = || looks[at..].iter().filter(|other| other.key == first.key);
                for node in 0..nodes {
                    let met: f64 = same().map(|look| look.met(node, *attention)).product();
                    let fit = (1.0 - first.air) + first.air * met;
                    whole[node] *= fit;
                    if first.opened {
                        partly[node] *= fit;
                    }
                }
            }
            for (shop, (_, _, people)) in crew.shops.iter().enumerate() {
                for node in 0..nodes {
                    out.whole[shop * nodes + node] += people[kind] * whole[node];
                    out.partly[shop * nodes + node] += people[kind] * partly[node];
                }
            }
        }
        out
    }
}

#[derive(Clone, Debug)]
struct Session {
    id: u32,
    looks: Vec<Seen>,
    product: Product,
}

/// What the looks at one place say, so far that more looks can be held against it.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    sessions: Vec<Session>,
    reach: (f64, f64),
    crew: Arc<Crew>,
    /// How well the looks fit a leak here, against none here, at each node.
    fit: Vec<f64>,
}

impl Cell {
    fn new(nodes: usize, reach: (f64, f64), crew: Arc<Crew>, looks: Vec<Seen>) -> Cell {
        let mut sessions: Vec<Session> = Vec::new();
        for look in looks {
            match sessions.iter_mut().find(|session| session.id == look.session) {
                Some(session) => session.looks.push(look),
                None => sessions.push(Session {
                    id: look.session,
                    looks: vec![look],
                    product: Product { whole: Vec::new(), partly: Vec::new() },
                }),
            }
        }
        let mut all = Product::one(&crew, nodes);
        for session in &mut sessions {
            let looks: Vec<&Seen> = session.looks.iter().collect();
            session.product = Product::of_session(&crew, nodes, &looks);
            all.times(&session.product);
        }
        let fit = reached(&crew, reach, nodes, &all);
        Cell { sessions, reach, crew, fit }
    }

    /// Returns how well the looks and `more` fit a leak here, against none here, at each node.
    pub(crate) fn fit_with(&self, more: &[&Seen]) -> Vec<f64> {
        if more.is_empty() {
            return self.fit.clone();
        }
        let mut all = Product::one(&self.crew, self.fit.len());
        for session in &self.sessions {
            if more.iter().all(|look| look.session != session.id) {
                all.times(&session.product);
            }
        }
        for (at, first) in more.iter().enumerate() {
            if more[..at].iter().any(|other| other.session == first.session) {
                continue;
            }
            let known = self.sessions.iter().find(|session| session.id == first.session);
            let looks: Vec<&Seen> = known
                .into_iter()
                .flat_map(|session| &session.looks)
                .chain(more.iter().copied().filter(|other| other.session == first.session))
                .collect();
            all.times(&Product::of_session(&self.crew, self.fit.len(), &looks));
        }
        reached(&self.crew, self.reach, self.fit.len(), &all)
    }

    /// Returns, for each set of these clean looks of one session (one bit a look), the sum over nodes of `scale` times the
    /// fit with that set made.
    ///
    /// As [`Cell::fit_with`] for each set, but with what the sets share worked out once.
    pub(crate) fn sums_of_sets(&self, looks: &[Seen], scale: &[f64]) -> [f64; SETS] {
        let mut out = [0.0; SETS];
        let sets = 1usize << looks.len();
        let nodes = self.fit.len();
        let Some(id) = looks.first().map(|look| look.session) else {
            out[0] = self.fit.iter().zip(scale).map(|(fit, scale)| fit * scale).sum();
            return out;
        };
        // What other sessions say, and what this one says so far.
        let mut past = Product::one(&self.crew, nodes);
        let mut today: &[Seen] = &[];
        for session in &self.sessions {
            if session.id == id {
                today = &session.looks;
            } else {
                past.times(&session.product);
            }
        }
        // For each look: the looks of today that share its air, and the look before it that does.
        let shared: Vec<(Vec<&Seen>, Option<usize>)> = looks
            .iter()
            .enumerate()
            .map(|(bit, look)| {
                let known = today.iter().filter(|other| other.key == look.key).collect();
                (known, looks[..bit].iter().position(|other| other.key == look.key))
            })
            .collect();
        let alone: Vec<Vec<&Seen>> = today
            .iter()
            .enumerate()
            .filter(|(at, look)| today[..*at].iter().all(|other| other.key != look.key))
            .map(|(_, look)| today.iter().filter(|other| other.key == look.key).collect())
            .collect();
        let product =
            |looks: &[&Seen], node, attention| looks.iter().map(|l| l.met(node, attention)).product::<f64>();
        let (outside, opened) = self.reach;
        for (node, scale) in scale.iter().enumerate() {
            let mut whole = [[0.0; SETS]; MOST_SHOPS];
            let mut partly = [[0.0; SETS]; MOST_SHOPS];
            for (kind, attention) in self.crew.attention.iter().enumerate() {
                let mut all = [1.0; SETS];
                let mut open = [1.0; SETS];
                for group in &alone {
                    let air = group[0].air;
                    let fit = (1.0 - air) + air * product(group, node, *attention);
                    all[0] *= fit;
                    open[0] *= if group[0].opened { fit } else { 1.0 };
                }
                for (bit, (look, (known, before))) in looks.iter().zip(&shared).enumerate() {
                    let met = look.met(node, *attention);
                    let so_far = product(known, node, *attention);
                    let fit = |times: f64| (1.0 - look.air) + look.air * so_far * times;
                    let ratio = |a: f64, b: f64| if b > 0.0 { a / b } else { 0.0 };
                    let (first, again) = (ratio(fit(met), fit(1.0)), ratio(fit(met * met), fit(met)));
                    let half = 1usize << bit;
                    for set in 0..half {
                        let fit = match before {
                            Some(before) if set & (1 << before) != 0 => again,
                            _ => first,
                        };
                        all[half + set] = all[set] * fit;
                        open[half + set] = if look.opened { open[set] * fit } else { open[set] };
                    }
                }
                for (at, shop) in self.crew.shops.iter().enumerate() {
                    for set in 0..sets {
                        whole[at][set] += shop.2[kind] * all[set];
                        partly[at][set] += shop.2[kind] * open[set];
                    }
                }
            }
            for (at, (chance, reach, _)) in self.crew.shops.iter().enumerate() {
                let base = scale * chance * (1.0 - reach * opened);
                let by_opening = scale * chance * reach * (opened - outside) * past.partly[at * nodes + node];
                let by_all = scale * chance * reach * outside * past.whole[at * nodes + node];
                for set in 0..sets {
                    out[set] += base + by_opening * partly[at][set] + by_all * whole[at][set];
                }
            }
        }
        out
    }
}

/// The most kinds of shops.
const MOST_SHOPS: usize = 4;

/// The fit of a leak that may come out where no probe gets to it, where one does once it is opened, or where any does.
fn reached(crew: &Crew, (outside, opened): (f64, f64), nodes: usize, all: &Product) -> Vec<f64> {
    let mut out = vec![0.0; nodes];
    for (at, (chance, reach, _)) in crew.shops.iter().enumerate() {
        let (whole, partly) = (&all.whole[at * nodes..], &all.partly[at * nodes..]);
        for node in 0..nodes {
            let fit = (opened - outside) * partly[node] + outside * whole[node];
            out[node] += chance * ((1.0 - reach * opened) + reach * fit);
        }
    }
    out
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
    pub(crate) nodes: Nodes,
    weight: Vec<f64>,
    leak: f64,
    pair: f64,
    none: f64,
    classes: Classes,
    sums: Sums,
}

impl Posterior {
    /// Returns the chance that one of these looks finds a leak: each with its place, on top of all looks made.
    ///
    /// Exact: one less the chance that all of them are clean.
    pub(crate) fn chance_of(&self, more: &[Vec<&Seen>]) -> f64 {
        let now = self.sums.total + self.none;
        let fits: Vec<Vec<f64>> = self
            .cells
            .iter()
            .enumerate()
            .map(|(place, cell)| cell.fit_with(more.get(place).map_or(&[], Vec::as_slice)))
            .collect();
        let then =
            sums(&self.nodes, &self.classes, &self.weight, &fits, self.leak, self.pair).total + self.none;
        if now > 0.0 { (1.0 - then / now).max(0.0) } else { 0.0 }
    }

    /// Returns what a node's fit at this place is to be multiplied with, so that the sum over nodes is the share of the
    /// whole that a leak there has: alone, or as one of two.
    pub(crate) fn scale(&self, place: usize) -> Vec<f64> {
        let total = self.sums.total + self.none;
        let total = if total > 0.0 { total } else { 1.0 };
        let weight = self.weight[place];
        let class = self.classes.of[place];
        (0..self.nodes.chance.len())
            .map(|at| {
                let own = weight * self.cells[place].fit[at];
                let two = &self.classes.two[class];
                let all: f64 = self.sums.first.iter().zip(two).map(|(first, two)| first[at] * two[at]).sum();
                let other = (all - own * two[class][at]).max(0.0);
                // A pair holds this place as its one or its other.
                let parts =
                    self.leak * self.classes.one[class][at] + 2.0 * self.pair * other * self.sums.scale;
                self.nodes.chance[at] * weight * parts / total
            })
            .collect()
    }
}

/// Sums over places, for each node.
#[derive(Clone, Debug)]
struct Sums {
    /// For each class of places: sum of weight times fit of the looks.
    first: Vec<Vec<f64>>,
    /// Two leaks are two different places: what that makes of the product.
    scale: f64,
    total: f64,
}

fn sums(nodes: &Nodes, classes: &Classes, weight: &[f64], fits: &[Vec<f64>], leak: f64, pair: f64) -> Sums {
    let count = nodes.chance.len();
    let mut first = vec![vec![0.0; count]; classes.one.len()];
    let mut second = vec![vec![0.0; count]; classes.one.len()];
    for ((w, fit), class) in weight.iter().zip(fits).zip(&classes.of) {
        let (first, second) = (&mut first[*class], &mut second[*class]);
        for at in 0..count {
            let own = w * fit[at];
            first[at] += own;
            second[at] += own * own;
        }
    }
    let squares: f64 = weight.iter().map(|w| w * w).sum();
    let scale = if squares < 1.0 { 1.0 / (1.0 - squares) } else { 0.0 };
    let mut total = 0.0;
    for (a, one) in classes.one.iter().enumerate() {
        for at in 0..count {
            let others: f64 = first.iter().zip(&classes.two[a]).map(|(first, two)| first[at] * two[at]).sum();
            let two = (first[a][at] * others - second[a][at] * classes.two[a][a][at]).max(0.0) * scale;
            total += nodes.chance[at] * (leak * one[at] * first[a][at] + pair * two);
        }
    }
    Sums { first, scale, total }
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
    let mut lens = Lens::new(system, evidence);
    let crew = Arc::new(Crew::new(book, evidence));
    let mut seen: Vec<Vec<Seen>> = vec![Vec::new(); system.places.len()];
    for look in looks {
        if let Some(here) = seen.get_mut(look.place) {
            here.push(lens.seen(&nodes, look));
        }
    }
    let cells: Vec<Cell> = system
        .places
        .iter()
        .zip(seen)
        .map(|(place, seen)| {
            Cell::new(nodes.chance.len(), book.reach_of(place.access), Arc::clone(&crew), seen)
        })
        .collect();
    let [one, two, winter, service, books] = book.explanations;
    let fit_of_leak: f64 = evidence.leak.iter().sum();
    let (leak, pair) = (one * fit_of_leak, two * fit_of_leak);
    let others = [winter * evidence.others[0], service * evidence.others[1], books * evidence.others[2]];
    let none: f64 = others.iter().sum();
    let before_sum = leak + pair + none;
    let fits: Vec<Vec<f64>> = cells.iter().map(|cell| cell.fit.clone()).collect();
    let classes = Classes::new(system.places.len(), &evidence.holds, book, &evidence.sizes, &nodes.at);
    let all = sums(&nodes, &classes, &weight, &fits, leak, pair);
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
        nodes,
        weight,
        leak,
        pair,
        none,
        classes,
        sums: all,
    };
    let mut by_size = vec![0.0; evidence.sizes.len()];
    let mut by_shows = [0.0; 6];
    for (place, fit) in fits.iter().enumerate() {
        let scale = out.scale(place);
        out.places.push(fit.iter().zip(&scale).map(|(fit, scale)| fit * scale).sum());
        let held = &out.classes.one[out.classes.of[place]];
        let here = |most: f64| -> f64 {
            fit.iter()
                .zip(&out.nodes.chance)
                .zip(held)
                .map(|((fit, chance), one)| fit * chance * one.min(most))
                .sum()
        };
        out.single.push(leak * out.weight[place] * here(f64::INFINITY) / total);
        out.looked.push((1.0 - here(1.0)).clamp(0.0, 1.0));
        for (at, (size, shows)) in out.nodes.at.iter().enumerate() {
            let part = out.nodes.chance[at] * out.weight[place] * fit[at] * held[at];
            by_size[*size] += part;
            by_shows[*shows] += part;
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
                .sessions
                .iter()
                .flat_map(|session| &session.looks)
                .filter(|seen| seen.covered >= 1.0)
                .map(|seen| (seen.session, seen.key))
                .collect();
            ways.sort_unstable();
            ways.dedup();
            let hit = looks.iter().any(|look| look.place == place && look.outcome != Outcome::Clean);
            let count = ways.len() + out.classes.held[place] as usize;
            !hit && count >= 2 && out.places[place] <= 0.05 * out.before[place]
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

fn nodes(book: &Book, evidence: &Evidence) -> Nodes {
    let most = evidence.leak.iter().copied().fold(0.0, f64::max);
    let mut out = Nodes { at: Vec::new(), chance: Vec::new() };
    for (size, p) in evidence.leak.iter().enumerate() {
        if *p < 0.02 * most {
            continue;
        }
        for (shows, (chance, _)) in book.shows.iter().enumerate() {
            if *chance > 0.0 {
                out.at.push((size, shows));
                out.chance.push(p * chance);
            }
        }
    }
    let sum: f64 = out.chance.iter().sum();
    let sum = if sum > 0.0 { sum } else { 1.0 };
    for chance in &mut out.chance {
        *chance /= sum;
    }
    out
}

/// What looks have in common that share their chances: way, state, side, pressure.
type Kind = (Method, State, Side, Option<f64>);

/// Turns looks into what the posterior holds of them; looks in one way, state, side and pressure share their chances.
pub(crate) struct Lens<'a> {
    system: &'a System<'a>,
    evidence: &'a Evidence,
    known: Vec<(Kind, Arc<[f64]>)>,
}

impl<'a> Lens<'a> {
    pub(crate) fn new(system: &'a System<'a>, evidence: &'a Evidence) -> Lens<'a> {
        Lens { system, evidence, known: Vec::new() }
    }

    /// Returns a look as the posterior holds it.
    pub(crate) fn seen(&mut self, nodes: &Nodes, look: &Look) -> Seen {
        let place = &self.system.places[look.place];
        let sight = self.system.book.sight(look.method);
        let air = |state: State| match (place.access, state) {
            (Access::Coil, State::Running) => sight.moving.mean(),
            _ => sight.still.mean(),
        };
        let key = look.method as u32 * 12
            + look.state as u32 * 4
            + u32::from(look.opened) * 2
            + u32::from(look.spoilt);
        let (air, pod) = if look.covered < 1.0 {
            // Whether it was looked at is hearsay, and nobody knows in which state: off and running count alike.
            let (off, on) =
                (self.pod(nodes, place, look, State::Off), self.pod(nodes, place, look, State::Running));
            let moving = air(State::Running) / air(State::Off).max(f64::MIN_POSITIVE);
            (air(State::Off), off.iter().zip(on.iter()).map(|(off, on)| (off + moving * on) / 2.0).collect())
        } else {
            (air(look.state), self.pod(nodes, place, look, look.state))
        };
        let air = if look.spoilt { air * sight.spoilt } else { air };
        Seen {
            session: look.session,
            key,
            // A section that is shut in tells of what is buried as well as of what is bare.
            opened: look.opened || look.method == Method::Isolation,
            air,
            outcome: look.outcome,
            covered: look.covered.clamp(0.0, 1.0),
            pod,
        }
    }

    fn pod(&mut self, nodes: &Nodes, place: &Place, look: &Look, state: State) -> Arc<[f64]> {
        let same = (look.method, state, place.side, look.pressure_bar);
        if let Some((_, pod)) = self.known.iter().find(|(known, _)| *known == same) {
            return Arc::clone(pod);
        }
        let pod: Arc<[f64]> = self.pods(nodes, place, look, state).into();
        self.known.push((same, Arc::clone(&pod)));
        pod
    }

    fn pods(&self, nodes: &Nodes, place: &Place, look: &Look, state: State) -> Vec<f64> {
        let (system, sizes) = (self.system, &self.evidence.sizes);
        let sight = system.book.sight(look.method);
        let half = match (look.method, system.detector_half_seen) {
            (Method::Electronic, Some(kg)) if kg > 0.0 => kg,
            _ => sight.half_seen,
        };
        let bar = look.pressure_bar.unwrap_or_else(|| system.pressures.of(place.side, state));
        let shares: Vec<Option<[f64; 2]>> = Shows::ALL
            .iter()
            .map(|shows| {
                let now = shows.now(state, system.weather);
                now.then(|| flow_share(&system.pressures, place.side, *shows, system.run_share, bar))
            })
            .collect();
        let seen = |flow: f64| chance_of_flow(flow, half, sight.slope);
        nodes
            .at
            .iter()
            .map(|(size, shows)| {
                shares[*shows].map_or(0.0, |laws| {
                    laws.iter().map(|share| seen(sizes[*size] * share)).sum::<f64>() / 2.0
                })
            })
            .collect()
    }
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

#[cfg(test)]
mod tests {
    use super::super::history::{History, evidence};
    use super::super::sections::Hold;
    use super::*;

    fn look(place: usize, state: State, opened: bool, session: u32) -> Look {
        Look {
            place,
            method: Method::Electronic,
            state,
            opened,
            session,
            covered: 1.0,
            spoilt: false,
            pressure_bar: None,
            outcome: Outcome::Clean,
        }
    }

    #[test]
    fn the_sums_of_all_sets_are_those_of_each_set_by_itself() {
        let book = Book::shipped();
        let places = book.places.clone();
        let evidence = evidence(&book, &History::default());
        let system = System {
            book: &book,
            places: &places,
            pressures: Pressures { low: [6.0, 4.0, 6.0], high: [8.0, 13.0, 8.0] },
            run_share: 0.6,
            weather: Weather::Mild,
            detector_half_seen: None,
        };
        // A covered place: looked at by others, on another day, and twice today, once with a hit.
        let covered = places.iter().position(|place| place.access == Access::Covered).unwrap();
        let mut made = vec![
            Look { covered: 0.2, ..look(covered, State::Off, false, 100) },
            look(covered, State::Running, true, 1),
            look(covered, State::Off, true, 0),
            look(covered, State::Off, false, 0),
        ];
        made[3].outcome = Outcome::Hit { false_alarm: 0.05 };
        let now = posterior(&system, &evidence, &made, &[]);
        let mut lens = Lens::new(&system, &evidence);
        let more: Vec<Seen> = [
            look(covered, State::Off, true, 0),
            look(covered, State::Off, false, 0),
            look(covered, State::Running, true, 0),
            look(covered, State::Running, true, 0),
            Look { method: Method::Soap, ..look(covered, State::Off, true, 0) },
        ]
        .iter()
        .map(|look| lens.seen(&now.nodes, look))
        .collect();
        let cell = &now.cells[covered];
        let scale = now.scale(covered);
        let sums = cell.sums_of_sets(&more, &scale);
        for (set, have) in sums.iter().enumerate() {
            let chosen: Vec<&Seen> =
                more.iter().enumerate().filter(|(bit, _)| set & (1 << bit) != 0).map(|(_, l)| l).collect();
            let want: f64 = cell.fit_with(&chosen).iter().zip(&scale).map(|(a, b)| a * b).sum();
            assert!((have - want).abs() < 1e-13, "set {set}: {have}, {want}");
        }
        // What is left sinks with every clean look.
        assert!((0..SETS - 1).all(|set| sums[SETS - 1] < sums[set]));
    }

    #[test]
    fn a_section_that_held_empties_its_places_and_one_that_fell_fills_them_by_what_it_can_see() {
        let book = Book::shipped();
        let places = book.places.clone();
        let history = History {
            charge_kg: Some(10.0),
            filled: Some(0),
            changes: vec![super::super::Change { day: 180, kg: Some((1.5, 0.02)), out: false }],
            ..History::default()
        };
        let mut evidence = evidence(&book, &history);
        let system = System {
            book: &book,
            places: &places,
            pressures: Pressures { low: [6.0, 4.0, 6.0], high: [8.0, 13.0, 8.0] },
            run_share: 0.6,
            weather: Weather::Mild,
            detector_half_seen: None,
        };
        let inside: Vec<usize> = (0..places.len()).filter(|at| places[*at].part == "coil").collect();
        let share = |now: &Posterior| inside.iter().map(|at| now.single[*at]).sum::<f64>();
        let none = |now: &Posterior| now.winter + now.service + now.books;
        let hold = |limit: f64, fell: Option<f64>| Hold { places: inside.clone(), limit, miss: 0.1, fell };
        let before = posterior(&system, &evidence, &[], &[]);
        let mut after = |holds: Vec<Hold>| {
            evidence.holds = holds;
            posterior(&system, &evidence, &[], &[])
        };
        let held = after(vec![hold(0.2, None)]);
        let coarse = after(vec![hold(30.0, None)]);
        let fell = after(vec![hold(0.2, Some(0.05))]);
        assert!(share(&held) < 0.5 * share(&before), "{} {}", share(&held), share(&before));
        assert!(share(&coarse) > 0.95 * share(&before));
        assert!(share(&fell) > 2.0 * share(&before) && none(&fell) < none(&before));
        assert!(none(&held) > none(&before));
        // By hand, of one size that always shows: a hold of a tenth of it leaves its miss, no more.
        let it = hold(1.0, None);
        assert!((it.sees(10.0, Shows::Always, 1.0) - 0.9).abs() < 1e-4);
        assert!((it.sees(1.0, Shows::Always, 1.0) - 0.9 * 0.95).abs() < 1e-3);
        assert!(it.sees(10.0, Shows::Running, 0.6) == 0.0);
        // A hold says the same of each of its places as a look of that chance at each would, and of two leaks in it that it
        // would have been seen twice as likely, not that a fall proves both.
        for now in [&held, &fell] {
            let sum: f64 = now.single.iter().sum::<f64>() + now.two + none(now);
            assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        }
        assert!(fell.two < 2.0 * before.two, "{} {}", fell.two, before.two);
        // Twice the same fall says more than one.
        let twice = after(vec![hold(0.2, Some(0.05)), hold(0.2, Some(0.05))]);
        assert!(share(&twice) > share(&fell));
    }

    #[test]
    fn amounts_that_no_steady_loss_explains_speak_for_a_shop_in_a_hurry() {
        let book = Book::shipped();
        let of = |amounts: [f64; 3]| {
            let changes = amounts
                .iter()
                .zip([200, 400, 600])
                .map(|(kg, day)| super::super::Change { day, kg: Some((*kg, 0.02)), out: false })
                .collect();
            let history = History { charge_kg: Some(10.0), filled: Some(0), changes, ..History::default() };
            evidence(&book, &history).shops
        };
        let (steady, scattered) = (of([1.2, 1.2, 1.25]), of([0.7, 1.9, 1.2]));
        assert!(steady[1] < book.shops[1].share && scattered[1] > book.shops[1].share);
        assert!((steady.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        // Without a history nothing is learnt of it.
        let none = evidence(&book, &History::default()).shops;
        assert!((none[1] - book.shops[1].share).abs() < 1e-12);
    }
}
