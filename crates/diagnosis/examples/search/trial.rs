//! One system after another: what the model is told of it, what it states, how its plan fares, and the measures of it all.

use diagnosis::search::book::Weather;
use diagnosis::search::posterior::{Mark, Pressures, System};
use diagnosis::search::{
    Access, Book, Change, Evidence, Ground, History, Look, Method, Outcome, Place, Posterior, Side, State,
    evidence, next, posterior,
};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use search_trial::{AS_STATED, Case, OTHERWISE, REGIONS, RUN_SHARE, Truth, Way, World, travel};

/// Minutes after which a session ends.
pub const END: f64 = 240.0;
/// The settings: the world as told, one that differs, and one whose places nobody weighs.
pub const SETTINGS: [Setting; 3] = [
    Setting { name: "as the model is told", world: AS_STATED, uniform: false, limit: 0.03 },
    Setting { name: "a world that differs", world: OTHERWISE, uniform: false, limit: 0.08 },
    Setting { name: "places unknown (uniform)", world: AS_STATED, uniform: true, limit: 0.08 },
];

pub struct Setting {
    pub name: &'static str,
    pub world: World,
    pub uniform: bool,
    pub limit: f64,
}

/// What one case showed.
#[derive(Clone, Copy)]
pub struct Shown {
    /// Stated and right: the next look, the plan within 60 and 120 min, the top hypothesis.
    pub said: [Option<(f64, bool)>; 4],
    /// There is a leak.
    pub leak: bool,
    /// Minutes to find it: by the advice, by the fixed order, nearest first; past the end where not found.
    pub minutes: [f64; 3],
}

pub fn run(setting: &Setting, book: &Book, cases: u64, seed: u64) -> Vec<Shown> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(4) as u64;
    std::thread::scope(|scope| {
        let parts: Vec<_> = (0..threads)
            .map(|part| {
                scope.spawn(move || {
                    (0..cases)
                        .filter(|number| number % threads == part)
                        .map(|number| (number, one(setting, book, seed, number)))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        let mut all: Vec<(u64, Shown)> =
            parts.into_iter().flat_map(|part| part.join().unwrap_or_default()).collect();
        all.sort_by_key(|(number, _)| *number);
        all.into_iter().map(|(_, shown)| shown).collect()
    })
}

/// What the model is told of a case: nothing but what a technician would know.
pub struct Told {
    pub book: Book,
    pub places: Vec<Place>,
    pub pressures: Pressures,
    pub evidence: Evidence,
    pub looks: Vec<Look>,
    pub marks: Vec<Mark>,
}

pub fn told(setting: &Setting, book: &Book, case: &Case) -> Told {
    let mut book = book.clone();
    book.regions = (0..REGIONS).map(|at| (format!("region {at}"), 0.0)).collect();
    book.travel =
        (0..REGIONS).flat_map(|a| (0..REGIONS).map(move |b| (a, b, travel(a, b), travel(a, b)))).collect();
    let places: Vec<Place> = case
        .spots
        .iter()
        .map(|spot| Place {
            key: spot.name.to_owned(),
            part: String::new(),
            region: spot.region,
            access: match spot.access {
                search_trial::Access::Bare => Access::Bare,
                search_trial::Access::Coil => Access::Coil,
                search_trial::Access::Insulated => Access::Insulated,
                search_trial::Access::Covered => Access::Covered,
                search_trial::Access::Buried => Access::Buried,
            },
            side: match spot.side {
                search_trial::Side::Low => Side::Low,
                search_trial::Side::High => Side::High,
            },
            weight: if setting.uniform { 1.0 } else { spot.weight },
            minutes: spot.minutes,
            opening: spot.opening,
            needs: String::new(),
            words: Vec::new(),
        })
        .collect();
    let [[off_low, off_high], [low, high]] = case.pressure;
    let pressures = Pressures { low: [off_low, low, off_low], high: [off_high, high, off_high] };
    let history = History {
        charge_kg: Some(case.charge),
        filled: Some(case.filled),
        changes: case
            .refills
            .iter()
            .map(|refill| Change { day: refill.day, kg: refill.kg.map(|kg| (kg, 0.02)), out: refill.out })
            .collect(),
        ..History::default()
    };
    let evidence = evidence(&book, &history);
    let looks = (0..case.earlier)
        .flat_map(|visit| {
            let book = &book;
            places.iter().enumerate().map(move |(place, it)| Look {
                place,
                method: Method::Electronic,
                state: State::Off,
                opened: false,
                session: 100 + visit,
                covered: book.reach[it.access as usize].2,
                spoilt: false,
                pressure_bar: None,
                outcome: Outcome::Clean,
            })
        })
        .collect();
    let marks = (0..places.len())
        .map(|place| Mark { place, ratio: if case.oil.contains(&place) { 3.0 } else { 0.7 / 0.9 } })
        .collect();
    Told { book, places, pressures, evidence, looks, marks }
}

fn one(setting: &Setting, book: &Book, seed: u64, number: u64) -> Shown {
    let case = Case::new(&setting.world, seed, number);
    let told = told(setting, book, &case);
    let system = System {
        book: &told.book,
        places: &told.places,
        pressures: told.pressures,
        run_share: RUN_SHARE,
        weather: Weather::Mild,
        detector_half_seen: None,
    };
    let ground = Ground {
        system: system.clone(),
        evidence: &told.evidence,
        looks: &told.looks,
        marks: &told.marks,
        here: 0,
        state: State::Off,
        on_roof: false,
        methods: &[Method::Electronic, Method::Soap],
        session: 0,
        open: &[],
        sections: &[],
    };
    let now = posterior(&system, &told.evidence, &told.looks, &told.marks);
    let advice = next(&ground, &now);
    // Follow the plan; the session's own looks are drawn from the case as it stands.
    let mut draw = ChaCha8Rng::seed_from_u64(seed ^ 0x005e_a2c4);
    draw.set_stream(number);
    let at = (draw.next_u64() % 12) as usize;
    let mut session = case.clone();
    let mut found = END * 2.0;
    let mut looks = told.looks.clone();
    let mut said = [None; 4];
    let mut opened: Vec<usize> = Vec::new();
    for (step, act) in advice.plan.iter().enumerate() {
        if act.until > END {
            break;
        }
        if step == at {
            let then = posterior(&system, &told.evidence, &looks, &told.marks);
            // What is stated of the next look is stated of the one that the plan makes next.
            said[0] = Some((chance_of(&ground, &then, act), false));
            said[3] = Some(top(&then, &case.truth));
        }
        let way = if act.method == Method::Soap { Way::Soap } else { Way::Detector };
        let hit = session.look(&setting.world, act.place, way, act.state == State::Running, act.opened);
        if step == at {
            said[0] = said[0].map(|(chance, _)| (chance, hit));
        }
        if act.opened {
            opened.push(act.place);
        }
        if hit {
            found = act.until;
            break;
        }
        looks.push(Look {
            place: act.place,
            method: act.method,
            state: act.state,
            opened: act.opened,
            session: 0,
            covered: 1.0,
            spoilt: false,
            pressure_bar: None,
            outcome: Outcome::Clean,
        });
    }
    said[1] = Some((advice.plan_chance[2].1, found <= 60.0));
    said[2] = Some((advice.plan_chance[3].1, found <= 120.0));
    let leak = matches!(case.truth, Truth::Leak(_) | Truth::Two(..));
    let fixed = baseline(&setting.world, &case, false);
    let nearest = baseline(&setting.world, &case, true);
    Shown { said, leak, minutes: [found, fixed, nearest] }
}

/// The chance that this look finds a leak, by what the looks so far say.
fn chance_of(ground: &Ground<'_>, now: &Posterior, act: &diagnosis::search::next::Act) -> f64 {
    diagnosis::search::next::chance_of_act(ground, now, act)
}

/// The single most probable hypothesis, and whether it is so; two leaks are right only where both are named.
fn top(now: &Posterior, truth: &Truth) -> (f64, bool) {
    let mut best = (0.0, false);
    for (place, chance) in now.single.iter().enumerate() {
        if *chance > best.0 {
            best = (*chance, matches!(truth, Truth::Leak(leak) if leak.spot == place));
        }
    }
    for (chance, right) in [
        (now.winter, matches!(truth, Truth::Winter)),
        (now.service, matches!(truth, Truth::Service)),
        (now.books, matches!(truth, Truth::Books)),
    ] {
        if chance > best.0 {
            best = (chance, right);
        }
    }
    best
}

/// A technician without advice: every place in the order of the flow, or all of this region and then the nearest one.
///
/// Opens what is covered as it comes to it, on the second pass with the system running, then with soap.
fn baseline(world: &World, case: &Case, nearest: bool) -> f64 {
    let mut case = case.clone();
    let mut order: Vec<usize> = (0..case.spots.len()).collect();
    if nearest {
        let mut regions: Vec<usize> = (0..REGIONS).collect();
        let mut here = 0;
        let mut sorted = Vec::new();
        while !regions.is_empty() {
            regions.sort_by(|a, b| travel(here, *a).total_cmp(&travel(here, *b)).then(a.cmp(b)));
            here = regions.remove(0);
            sorted.extend(order.iter().copied().filter(|spot| case.spots[*spot].region == here));
        }
        order = sorted;
    }
    let (mut minutes, mut here) = (0.0, 0);
    for (pass, (way, running)) in
        [(Way::Detector, false), (Way::Detector, true), (Way::Soap, false)].iter().enumerate()
    {
        if pass == 1 {
            minutes += diagnosis::search::book::SWITCH_MINUTES;
        }
        for at in &order {
            let spot = case.spots[*at].clone();
            minutes += travel(here, spot.region);
            here = spot.region;
            let soap = if *way == Way::Soap { 1.5 } else { 1.0 };
            // What was opened on the first pass stays open.
            minutes += spot.minutes * soap + if pass == 0 { spot.opening } else { 0.0 };
            if minutes > END {
                return END * 2.0;
            }
            if case.look(world, *at, *way, *running, spot.opening > 0.0) {
                return minutes;
            }
        }
    }
    END * 2.0
}

/// What is measured of a setting.
pub struct Line {
    pub name: &'static str,
    pub limit: f64,
    /// Calibration error, upper end of its bootstrap interval, cases: next look, 60 min, 120 min, top hypothesis.
    pub errors: [(f64, f64, usize); 4],
    /// Median minutes and share found within 2 h, of the cases with a leak.
    pub found: [(f64, f64); 3],
    pub leaks: usize,
}

pub const NAMES: [&str; 4] = ["next look", "plan, 60 min", "plan, 120 min", "top hypothesis"];
pub const WAYS: [&str; 3] = ["advice", "fixed order", "nearest first"];

impl Line {
    pub fn gain(&self, baseline: usize) -> f64 {
        1.0 - self.found[0].0 / self.found[baseline].0
    }

    pub fn holds(&self) -> bool {
        self.errors.iter().all(|(error, ..)| *error <= self.limit)
            && (self.limit > 0.05 || (self.gain(1) >= 0.25 && self.gain(2) >= 0.25))
    }
}

pub fn measure(setting: &Setting, all: &[Shown], seed: u64) -> Line {
    let mut errors = [(0.0, 0.0, 0); 4];
    for (what, slot) in errors.iter_mut().enumerate() {
        let said: Vec<(f64, bool)> = all.iter().filter_map(|shown| shown.said[what]).collect();
        let mut draw = ChaCha8Rng::seed_from_u64(seed.wrapping_add(what as u64));
        let mut again: Vec<f64> = (0..200)
            .map(|_| {
                let sample: Vec<(f64, bool)> = said
                    .iter()
                    .map(|_| said[(draw.next_u64() % said.len().max(1) as u64) as usize])
                    .collect();
                calibration_error(&sample)
            })
            .collect();
        again.sort_by(f64::total_cmp);
        *slot = (calibration_error(&said), again[194], said.len());
    }
    let leaks: Vec<&Shown> = all.iter().filter(|shown| shown.leak).collect();
    let found = [0, 1, 2].map(|way| {
        let mut minutes: Vec<f64> = leaks.iter().map(|shown| shown.minutes[way]).collect();
        minutes.sort_by(f64::total_cmp);
        let within = minutes.iter().filter(|m| **m <= 120.0).count() as f64 / minutes.len().max(1) as f64;
        (minutes.get(minutes.len() / 2).copied().unwrap_or(END * 2.0), within)
    });
    Line { name: setting.name, limit: setting.limit, errors, found, leaks: leaks.len() }
}

/// Ten bins of equal count by what was stated: mean over bins of |mean stated - share right|.
pub fn calibration_error(said: &[(f64, bool)]) -> f64 {
    let mut said = said.to_vec();
    said.sort_by(|a, b| a.0.total_cmp(&b.0));
    let bins = 10;
    (0..bins)
        .map(|bin| {
            let part = &said[bin * said.len() / bins..(bin + 1) * said.len() / bins];
            let count = part.len().max(1) as f64;
            let stated = part.iter().map(|(chance, _)| chance).sum::<f64>() / count;
            let right = part.iter().filter(|(_, right)| *right).count() as f64 / count;
            (stated - right).abs()
        })
        .sum::<f64>()
        / f64::from(bins as u32)
}
