//! Where to look next, with what, in what state: the looks of this circuit offered to the plan, and what beats another pass.

use super::book::{Book, Method, Place, SWITCH_MINUTES, Shows, State};
use super::history::Evidence;
use super::plan::{Offer, Step, Task};
use super::posterior::{Lens, Look, Mark, Outcome, Posterior, Seen, System, posterior};
use serde::{Deserialize, Serialize};

/// What the next look is chosen from.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground<'a> {
    /// The system.
    pub system: System<'a>,
    /// What the refills say.
    pub evidence: &'a Evidence,
    /// Looks made.
    pub looks: &'a [Look],
    /// Oil marks.
    pub marks: &'a [Mark],
    /// The region one is in.
    pub here: usize,
    /// What the system does now.
    pub state: State,
    /// The unit stands on a roof.
    pub on_roof: bool,
    /// Ways of looking at hand, the usual one first.
    pub methods: &'a [Method],
    /// The session of today.
    pub session: u32,
    /// Places that stand open now.
    pub open: &'a [usize],
    /// Places that a section holds which can be shut in: its name's number and its places.
    pub sections: &'a [Vec<usize>],
}

/// A look to make.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Act {
    /// The place.
    pub place: usize,
    /// How.
    pub method: Method,
    /// What the system is to do.
    pub state: State,
    /// Its cover or insulation off.
    pub opened: bool,
    /// Minutes for the look itself, what is opened for it left out.
    pub minutes: f64,
    /// Minutes until it is done, from now: ways and looks before it included.
    pub until: f64,
}

/// What beats another pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum Instead {
    /// No leak explains it better: look at the charge or the books.
    NoLeak,
    /// Shut in a section and watch it: its number, the chance within two hours with it and without.
    Isolate {
        /// The section.
        section: usize,
        /// Chance of a find within two hours, this first.
        with: f64,
        /// The same by looking on.
        without: f64,
    },
    /// It shows only at another time: come back then.
    Wait(Shows),
    /// All that can be looked at was: a pressure test of the whole.
    PressureTest,
}

/// The advice.
#[derive(Clone, Debug)]
pub struct Advice {
    /// The next look; absent where nothing is left to look at.
    pub next: Option<Act>,
    /// The chance that it finds a leak.
    pub chance_now: f64,
    /// Minutes for it, the way included.
    pub minutes: f64,
    /// Its chance by its minutes.
    pub gain_per_minute: f64,
    /// Another look, where this one cannot be made: in another region.
    pub alternative: Option<Act>,
    /// The looks to come, this one first.
    pub plan: Vec<Act>,
    /// The chance that the plan finds a leak by these minutes.
    pub plan_chance: Vec<(f64, f64)>,
    /// What beats it.
    pub instead: Option<Instead>,
    /// Chance of a find within an hour in the other state of the system, starting it or stopping it included.
    pub hour_chance: f64,
}

/// Minutes at which the chance of the plan is told.
pub const MINUTES: [f64; 5] = [15.0, 30.0, 60.0, 120.0, 240.0];
/// Minutes that count for a leak that all looks miss.
pub const TAIL: f64 = 240.0;

/// How many looks of a plan are tried out to its end; the rest follows the rule.
const TRIED: usize = 1;

struct Offered {
    task: Task,
    acts: Vec<Act>,
    seen: Vec<Seen>,
}

/// Returns where to look next.
#[must_use]
pub fn next(ground: &Ground<'_>, now: &Posterior) -> Advice {
    let offered = offer(ground, now);
    let steps = offered.task.quick_plan(TRIED, 160);
    let acts = |steps: &[Step]| -> Vec<Act> {
        steps.iter().map(|step| Act { until: step.until, ..offered.acts[step.offer] }).collect()
    };
    let plan = acts(&steps);
    let chance = |steps: &[Step]| {
        let mut more: Vec<Vec<&Seen>> = vec![Vec::new(); ground.system.places.len()];
        for step in steps {
            more[offered.acts[step.offer].place].push(&offered.seen[step.offer]);
        }
        now.chance_of(&more)
    };
    let within = |minutes: f64| {
        let count = steps.iter().take_while(|step| step.until <= minutes + 1e-9).count();
        chance(&steps[..count])
    };
    let chance_now = chance(&steps[..steps.len().min(1)]);
    let minutes = steps.first().map_or(0.0, |step| step.until);
    let plan_chance: Vec<(f64, f64)> = MINUTES.iter().map(|minutes| (*minutes, within(*minutes))).collect();
    let hour = plan_chance[2].1;
    let region = |act: &Act| ground.system.places[act.place].region;
    let alternative =
        plan.first().and_then(|first| plan.iter().find(|act| region(act) != region(first)).copied());
    let instead = instead(ground, now, &plan, hour, plan_chance[3].1);
    Advice {
        next: plan.first().copied(),
        chance_now,
        minutes,
        gain_per_minute: if minutes > 0.0 { chance_now / minutes } else { 0.0 },
        alternative,
        plan,
        plan_chance,
        instead,
        hour_chance: hour,
    }
}

fn offer(ground: &Ground<'_>, now: &Posterior) -> Offered {
    let book: &Book = ground.system.book;
    let regions = book.regions.len();
    let mut lens = Lens::new(&ground.system, ground.evidence);
    let mut acts = Vec::new();
    let mut held = Vec::new();
    let mut offers = Vec::new();
    let mut rest = Vec::new();
    let mut opens = vec![0u8; ground.system.places.len()];
    for (at, place) in ground.system.places.iter().enumerate() {
        let looks = looks_at(ground, at, place);
        let seen_here: Vec<Seen> = looks
            .iter()
            .map(|act| {
                lens.seen(
                    &now.nodes,
                    &Look {
                        place: at,
                        method: act.method,
                        state: act.state,
                        opened: act.opened,
                        session: ground.session,
                        covered: 1.0,
                        spoilt: false,
                        pressure_bar: None,
                        outcome: Outcome::Clean,
                    },
                )
            })
            .collect();
        rest.push(now.cells[at].sums_of_sets(&seen_here, &now.scale(at)));
        for (bit, act) in looks.into_iter().enumerate() {
            let location = place.region + regions * usize::from(act.state == State::Running);
            let opening = act.opened && place.access.opens() && !ground.open.contains(&at);
            if opening {
                opens[at] |= 1 << bit;
            }
            let opening = opening.then_some(place.opening);
            offers.push(Offer { place: at, bit, at: location, minutes: act.minutes.max(0.1), opening });
            acts.push(act);
        }
        held.extend(seen_here);
    }
    let travel = (0..2 * regions)
        .map(|from| {
            (0..2 * regions)
                .map(|to| {
                    let way = book.minutes_between(from % regions, to % regions, ground.on_roof);
                    way + if from / regions == to / regions { 0.0 } else { SWITCH_MINUTES }
                })
                .collect()
        })
        .collect();
    let start = ground.here + regions * usize::from(ground.state == State::Running);
    Offered { task: Task { offers, rest, opens, travel, start, tail: TAIL }, acts, seen: held }
}

/// The looks that are offered at a place: at most five. A second one in the same way is worth its minutes where the place is
/// likely and near, since nobody attends to every spot.
fn looks_at(ground: &Ground<'_>, at: usize, place: &Place) -> Vec<Act> {
    let book = ground.system.book;
    let stands_open = ground.open.contains(&at);
    let first = ground.methods.first().copied().unwrap_or(Method::Electronic);
    let act = |method: Method, state: State, opened: bool| Act {
        place: at,
        method,
        state,
        opened,
        minutes: place.minutes * book.sight(method).minutes,
        until: 0.0,
    };
    let mut out = Vec::new();
    let opens = place.access.opens();
    out.push(act(first, State::Off, opens || stands_open));
    if opens && !stands_open {
        out.push(act(first, State::Off, false));
    }
    out.push(act(first, State::Running, opens || stands_open));
    out.push(act(first, State::Running, opens || stands_open));
    if !opens || stands_open {
        out.push(act(first, State::Off, opens || stands_open));
    }
    if let Some(second) = ground.methods.get(1) {
        out.push(act(*second, State::Off, opens || stands_open));
    }
    out
}

fn instead(ground: &Ground<'_>, now: &Posterior, plan: &[Act], hour: f64, two_hours: f64) -> Option<Instead> {
    let none = now.winter + now.service + now.books;
    if none > 0.6 {
        return Some(Instead::NoLeak);
    }
    if plan.is_empty() {
        return Some(Instead::PressureTest);
    }
    if ground.looks.is_empty() || hour > 0.35 {
        return None;
    }
    let mut best: Option<Instead> = None;
    let mut most = two_hours + 0.03;
    for (section, places) in ground.sections.iter().enumerate() {
        let with = halved(ground, now, places);
        if with > most {
            most = with;
            best = Some(Instead::Isolate { section, with, without: two_hours });
        }
    }
    if best.is_some() {
        return best;
    }
    if hour < 0.12 {
        let waits = [Shows::Cold, Shows::Hot, Shows::Defrost];
        let late: f64 = waits.iter().map(|shows| now.shows[*shows as usize]).sum();
        if late > 0.4 {
            let most =
                waits.into_iter().max_by(|a, b| now.shows[*a as usize].total_cmp(&now.shows[*b as usize]));
            return most.map(Instead::Wait);
        }
        return Some(Instead::PressureTest);
    }
    None
}

/// The chance of a find within two hours when the first of them goes into shutting in this section.
fn halved(ground: &Ground<'_>, now: &Posterior, places: &[usize]) -> f64 {
    let mut sum = 0.0;
    let alarm = ground.system.book.sight(Method::Isolation).false_alarm;
    let look = |place: usize, outcome: Outcome| Look {
        place,
        method: Method::Isolation,
        state: State::Off,
        opened: true,
        session: ground.session + 1,
        covered: 1.0,
        spoilt: false,
        pressure_bar: None,
        outcome,
    };
    // Chance that the section is seen to leak: by its places, as if one look.
    let mut lens = Lens::new(&ground.system, ground.evidence);
    let clean: Vec<Seen> = places.iter().map(|p| lens.seen(&now.nodes, &look(*p, Outcome::Clean))).collect();
    let mut more: Vec<Vec<&Seen>> = vec![Vec::new(); ground.system.places.len()];
    for (place, seen) in places.iter().zip(&clean) {
        more[*place].push(seen);
    }
    let true_hit = now.chance_of(&more);
    let hit = true_hit + (1.0 - true_hit) * alarm;
    for (chance, outcome) in [(hit, Outcome::Hit { false_alarm: alarm }), (1.0 - hit, Outcome::Clean)] {
        if chance < 1e-6 {
            continue;
        }
        let mut looks = ground.looks.to_vec();
        looks.extend(places.iter().map(|place| look(*place, outcome)));
        let then = posterior(&ground.system, ground.evidence, &looks, ground.marks);
        let after = Ground { looks: &looks, sections: &[], ..ground.clone() };
        let offered = offer(&after, &then);
        let steps = offered.task.quick_plan(1, 60);
        let mut more: Vec<Vec<&Seen>> = vec![Vec::new(); ground.system.places.len()];
        for step in steps.iter().take_while(|step| step.until <= 60.0) {
            more[offered.acts[step.offer].place].push(&offered.seen[step.offer]);
        }
        sum += chance * then.chance_of(&more);
    }
    sum
}

/// Returns the chance that one look finds a leak.
#[must_use]
pub fn chance_of_act(ground: &Ground<'_>, now: &Posterior, act: &Act) -> f64 {
    let look = Look {
        place: act.place,
        method: act.method,
        state: act.state,
        opened: act.opened,
        session: ground.session,
        covered: 1.0,
        spoilt: false,
        pressure_bar: None,
        outcome: Outcome::Clean,
    };
    let seen = Lens::new(&ground.system, ground.evidence).seen(&now.nodes, &look);
    let mut more: Vec<Vec<&Seen>> = vec![Vec::new(); ground.system.places.len()];
    if let Some(here) = more.get_mut(act.place) {
        here.push(&seen);
    }
    now.chance_of(&more)
}
