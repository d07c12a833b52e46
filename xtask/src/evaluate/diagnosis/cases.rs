//! One case of the trial: a system, a proved visit, a visit with its faults, and what is said of it.

use super::nameplate;
use super::signs::{self, Signs};
use cycle::{Head, Surroundings, System, Table};
use diagnosis::fault::{self, Cause, Diagnosis, Fault, KINDS, Reading};
use fault_trial::{Built, Dice, Readings, Substance, Visit};

/// A case with what was said of it.
pub struct Case {
    /// What is wrong: none, one fault or two.
    pub truth: Vec<Fault>,
    pub severe: bool,
    pub cold: bool,
    /// Healthy, or each fault moves some reading by two of its spreads.
    pub visible: bool,
    /// Charge over that of the proved visit.
    pub charge: f64,
    pub receiver: bool,
    pub said: Diagnosis,
    pub signs: Signs,
    /// How many readings it took to be sure of one cause, where that was tried.
    pub readings: Option<usize>,
    /// Seconds for the diagnosis of all readings, on one core that others may share.
    pub took: f64,
    /// What a learner is given: both visits' readings and surroundings, the plate, and how far each reading is off.
    pub features: Vec<f64>,
}

impl Case {
    /// Whether a cause is what is wrong, all of it.
    pub fn is(&self, cause: Cause) -> bool {
        match cause.second {
            None => self.truth == [cause.first],
            Some(second) => {
                self.truth.len() == 2 && self.truth.contains(&cause.first) && self.truth.contains(&second)
            }
        }
    }
    /// Whether a cause names something that is wrong.
    pub fn touches(&self, cause: Cause) -> bool {
        self.truth.contains(&cause.first) || cause.second.is_some_and(|second| self.truth.contains(&second))
    }
}

pub fn readings(r: &Readings) -> Vec<Reading> {
    let sd = fault_trial::spread(r);
    KINDS
        .iter()
        .enumerate()
        .map(|(i, kind)| Reading { kind: *kind, value: r[i], sd: sd.get(i).copied().unwrap_or(0.0) })
        .collect()
}

fn named((fault, how): (fault_trial::Fault, f64)) -> Fault {
    use fault_trial::Fault as T;
    match fault {
        T::Under => Fault::Under,
        T::Over => Fault::Over,
        T::CondenserDirt => Fault::CondenserDirt,
        T::CondenserFan => Fault::CondenserFan,
        T::Ice => Fault::CoilIce,
        T::CoilFan => Fault::CoilFan,
        T::Restriction => Fault::Restriction,
        T::Underfeed => Fault::Underfeed,
        T::Overfeed => Fault::Overfeed,
        T::ValveLeak => Fault::ValveLeak,
        T::NonCondensable => Fault::NonCondensable,
        T::Gauge => Fault::Gauge,
        T::HeadControl if how < 0.5 => Fault::HeadLow,
        T::HeadControl => Fault::HeadHigh,
    }
}

/// Cases of each half in which readings are taken one by one.
const READ_ONE_BY_ONE: usize = 10;

/// Pairs that go together in practice (common practice, no source).
const PAIRS: [(fault_trial::Fault, fault_trial::Fault); 10] = {
    use fault_trial::Fault as T;
    [
        (T::Under, T::CondenserDirt),
        (T::Under, T::Ice),
        (T::Under, T::NonCondensable),
        (T::Under, T::Restriction),
        (T::Over, T::CondenserDirt),
        (T::Over, T::NonCondensable),
        (T::CondenserDirt, T::CondenserFan),
        (T::CondenserDirt, T::Ice),
        (T::CondenserDirt, T::ValveLeak),
        (T::Ice, T::CoilFan),
    ]
};

/// Three of ten healthy, one of ten two faults, one of ten a gauge, the rest one fault; four severities.
fn faults(d: &mut Dice, b: &Built, healthy: bool) -> Vec<(fault_trial::Fault, f64)> {
    let kind = if healthy { 0.0 } else { d.one() };
    let severity = |d: &mut Dice| [0.1, 0.35, 0.65, 0.95][(d.one() * 4.0) as usize];
    if kind < 0.3 {
        vec![]
    } else if kind < 0.8 {
        loop {
            let fault = fault_trial::FAULTS[(d.one() * 13.0) as usize];
            let fits = match fault {
                fault_trial::Fault::Gauge => false,
                fault_trial::Fault::HeadControl => b.head != 0,
                _ => true,
            };
            if fits {
                return vec![(fault, severity(d))];
            }
        }
    } else if kind < 0.9 {
        let (first, second) = PAIRS[(d.one() * 10.0) as usize];
        vec![(first, severity(d)), (second, severity(d))]
    } else {
        vec![(fault_trial::Fault::Gauge, severity(d))]
    }
}

fn moved(a: &Readings, b: &Readings) -> bool {
    let spread = fault_trial::spread(a);
    let measured = (0..9).any(|i| {
        let gauge = [8e3, 15e3].get(i).copied().unwrap_or(0.0);
        (a[i] - b[i]).abs() > 2.0 * units::math::sqrt(spread[i] * spread[i] + gauge * gauge)
    });
    measured || (9..12).any(|i| (a[i] - b[i]).abs() > 0.1)
}

/// Readings taken one by one as the diagnosis asks for them, until one cause stands at 0.9.
fn one_by_one(ask: &dyn Fn(&[Reading]) -> Diagnosis, all: &[Reading]) -> usize {
    let mut taken = all[..2].to_vec();
    loop {
        let said = ask(&taken);
        let sure = said.chances.iter().any(|p| *p > 0.9);
        let next = said.next.first().and_then(|next| all.iter().find(|r| r.kind == next.kind));
        match next {
            Some(next) if !sure => taken.push(*next),
            _ => return taken.len(),
        }
    }
}

/// What a learner is given of a case.
pub fn features(
    system: &System,
    before: (&[Reading], Surroundings),
    now: (&[Reading], Surroundings),
    offs: impl Iterator<Item = f64>,
) -> Vec<f64> {
    let (head, set) = match system.head {
        Head::Free => (0.0, 0.0),
        Head::Flooding(set) => (1.0, set),
        Head::Fans(set) => (2.0, set),
    };
    let mut all = vec![head, set, f64::from(u8::from(system.receiver.is_some())), system.evaporator_air];
    for (readings, at) in [before, now] {
        all.extend([at.box_air, at.ambient]);
        all.extend(readings.iter().map(|r| r.value));
    }
    all.extend(offs);
    all
}

fn case(d: &mut Dice, set: &[(Substance, Table)], healthy: bool, count: bool) -> Option<Case> {
    let (substance, table) = &set[(d.one() * set.len() as f64) as usize];
    let b = fault_trial::built(d);
    let faults = faults(d, &b, healthy);
    let first = fault_trial::place(d, &b, vec![]);
    let mut visit = fault_trial::place(d, &b, faults);
    visit.charge = first.charge * units::math::exp(0.03 * d.normal());
    let (baseline, there) = fault_trial::shown(substance, &b, &first);
    let (shown, runs) = fault_trial::shown(substance, &b, &visit);
    let before = readings(&fault_trial::read(d, &first, &baseline));
    let now = readings(&fault_trial::read(d, &visit, &shown));
    if !(runs && there) {
        return None;
    }
    // Each fault must show beside the other, or beside nothing.
    let visible = (0..visit.faults.len()).all(|k| {
        let mut less = visit.clone();
        less.faults.remove(k);
        let (without, ran) = fault_trial::shown(substance, &b, &less);
        ran && moved(&without, &shown)
    });
    let system = nameplate(table, &b);
    let at = |v: &Visit| Surroundings { box_air: v.box_air, ambient: v.ambient };
    let belief = fault::proved(table, &system, at(&first), &before);
    let ask = |r: &[Reading]| fault::diagnose(table, &system, &belief, at(&visit), r);
    let begun = std::time::Instant::now();
    let said = ask(&now);
    let took = begun.elapsed().as_secs_f64();
    let share = visit.faults.iter().fold(1.0, |c, (f, how)| match f {
        fault_trial::Fault::Under => c * (0.88 - 0.53 * how),
        fault_trial::Fault::Over => c * (1.15 + 0.65 * how),
        _ => c,
    });
    let offs = said.against.iter().map(fault::Against::off);
    let features = features(&system, (&before, at(&first)), (&now, at(&visit)), offs);
    let truth: Vec<Fault> = visit.faults.iter().map(|f| named(*f)).collect();
    Some(Case {
        severe: visit.faults.iter().any(|f| f.1 > 0.6),
        cold: visit.ambient < 279.0,
        visible,
        truth: if truth.is_empty() { vec![Fault::None] } else { truth },
        charge: visit.charge * share / first.charge,
        receiver: b.receiver,
        signs: signs::named(&said.against, &now),
        readings: count.then(|| one_by_one(&ask, &now)),
        said,
        took,
        features,
    })
}

/// Returns cases drawn, and how many more were drawn that would not run.
pub fn drawn(cases: usize, seed: u64, set: &[(Substance, Table)], healthy: bool) -> (Vec<Case>, usize) {
    let half = |part: u64, cases: usize| {
        let mut d = Dice::new(seed ^ (part << 40));
        let (mut found, mut stopped) = (Vec::new(), 0);
        while found.len() < cases {
            match case(&mut d, set, healthy, !healthy && found.len() < READ_ONE_BY_ONE) {
                Some(case) => found.push(case),
                None => stopped += 1,
            }
        }
        (found, stopped)
    };
    std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1, cases / 2));
        let (mut all, mut stopped) = half(0, cases - cases / 2);
        if let Ok((rest, more)) = other.join() {
            all.extend(rest);
            stopped += more;
        }
        (all, stopped)
    })
}
