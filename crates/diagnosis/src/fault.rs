//! What is probably wrong with a running system, from its readings and a physical model of it.
//!
//! For each cause the most probable state of what is not known (sizes, settings, gauges' offsets, the fault's own size) is
//! sought by damped Gauss-Newton steps; the evidence is Laplace's at that point, corrected by importance sampling with a
//! Student-t proposal and numbers from a fixed sequence. No openly available measured faults of walk-ins exist: accuracy
//! on real systems will be lower than on simulated ones.

mod evidence;
mod linear;
mod next;
mod plate;
mod question;

pub use next::{Next, Unseen};
pub use plate::Plate;

use crate::fault::evidence::Explained;
use crate::fault::question::Question;
use cycle::{Surroundings, System, Table};
use units::math::{exp, ln, sqrt};

/// How many things are not known of a healthy system: sizes, settings, offsets.
pub const UNKNOWNS: usize = 16;
const MOST: usize = UNKNOWNS + 2;

/// What may be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// Nothing is wrong.
    None,
    /// Too little charge.
    Under,
    /// Too much charge.
    Over,
    /// Dirt on the condenser.
    CondenserDirt,
    /// A condenser fan down.
    CondenserFan,
    /// Ice on the coil.
    CoilIce,
    /// A coil fan down.
    CoilFan,
    /// A restriction in the liquid line or drier.
    Restriction,
    /// The valve feeds too little.
    Underfeed,
    /// The valve feeds too much.
    Overfeed,
    /// The compressor's valves leak.
    ValveLeak,
    /// Gas that does not condense.
    NonCondensable,
    /// A gauge is off.
    Gauge,
    /// The head control does not hold.
    HeadLow,
    /// The head control holds too much.
    HeadHigh,
    /// Something that is not in this list.
    SomethingElse,
}

/// One explanation: a fault, or two at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cause {
    /// The fault.
    pub first: Fault,
    /// A second one beside it.
    pub second: Option<Fault>,
}

const fn one(first: Fault) -> Cause {
    Cause { first, second: None }
}

const fn two(first: Fault, second: Fault) -> Cause {
    Cause { first, second: Some(second) }
}

/// How many explanations are weighed.
pub const COUNT: usize = 26;
/// Of these the first so many are single.
const SINGLES: usize = 16;

/// All explanations, in the order of every table of probabilities; the pairs are those that go together in practice
/// (common practice, no source).
pub const CAUSES: [Cause; COUNT] = [
    one(Fault::None),
    one(Fault::Under),
    one(Fault::Over),
    one(Fault::CondenserDirt),
    one(Fault::CondenserFan),
    one(Fault::CoilIce),
    one(Fault::CoilFan),
    one(Fault::Restriction),
    one(Fault::Underfeed),
    one(Fault::Overfeed),
    one(Fault::ValveLeak),
    one(Fault::NonCondensable),
    one(Fault::Gauge),
    one(Fault::HeadLow),
    one(Fault::HeadHigh),
    one(Fault::SomethingElse),
    two(Fault::Under, Fault::CondenserDirt),
    two(Fault::Under, Fault::CoilIce),
    two(Fault::Under, Fault::NonCondensable),
    two(Fault::Under, Fault::Restriction),
    two(Fault::Over, Fault::CondenserDirt),
    two(Fault::Over, Fault::NonCondensable),
    two(Fault::CondenserDirt, Fault::CondenserFan),
    two(Fault::CondenserDirt, Fault::CoilIce),
    two(Fault::CondenserDirt, Fault::ValveLeak),
    two(Fault::CoilIce, Fault::CoilFan),
];

/// Chances before any reading (common practice, no source): nothing in three of ten, a gauge one in ten, two faults one in
/// ten, the others alike.
const BEFORE: [f64; COUNT] = [
    0.31, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.044, 0.092, 0.02, 0.02,
    0.02, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01,
];

/// What can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Suction pressure, absolute, Pa.
    Low,
    /// Head pressure, absolute, Pa.
    High,
    /// Suction line at the compressor, kelvin.
    SuctionLine,
    /// Liquid line at the condenser or receiver, kelvin.
    LiquidLine,
    /// Discharge line, kelvin.
    Discharge,
    /// Air off the coil, kelvin.
    CoilAir,
    /// Air off the condenser, kelvin.
    CondenserAir,
    /// Liquid line after the drier, kelvin.
    AfterDrier,
    /// Compressor power, W.
    Power,
    /// Bubbles in the glass: 1 or 0.
    Glass,
    /// Share of the coil's fans that run.
    CoilFans,
    /// Share of the condenser's fans that run.
    CondenserFans,
}

/// All of them.
pub const KINDS: [Kind; 12] = [
    Kind::Low,
    Kind::High,
    Kind::SuctionLine,
    Kind::LiquidLine,
    Kind::Discharge,
    Kind::CoilAir,
    Kind::CondenserAir,
    Kind::AfterDrier,
    Kind::Power,
    Kind::Glass,
    Kind::CoilFans,
    Kind::CondenserFans,
];

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// What was read.
    pub kind: Kind,
    /// The value.
    pub value: f64,
    /// Standard deviation of instrument and place together; not used for glass and fans.
    pub sd: f64,
}

/// A reading against what the healthy system would show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Against {
    /// What was read.
    pub kind: Kind,
    /// Expected of the healthy system.
    pub expected: f64,
    /// Standard deviation of that expectation and the reading together.
    pub sd: f64,
    /// Measured.
    pub measured: f64,
}

impl Against {
    /// Returns the difference over its spread.
    #[must_use]
    pub fn off(&self) -> f64 {
        (self.measured - self.expected) / self.sd
    }
}

/// A diagnosis.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnosis {
    /// Probability of each of [`CAUSES`].
    pub chances: [f64; COUNT],
    /// Charge over that at the proved visit, or the usual one: 5 and 95 % points; the upper is absent where the readings
    /// cannot bound it, since the liquid stands in the receiver.
    pub charge: (f64, Option<f64>),
    /// The readings against the healthy system's.
    pub against: Vec<Against>,
    /// Readings not yet taken, the most telling by the minute first.
    pub next: Vec<Next>,
    /// Faults that would move none of these readings by two of their spreads.
    pub unseen: Vec<Unseen>,
}

impl Diagnosis {
    /// Returns the causes with their chances, the most probable first.
    #[must_use]
    pub fn ranked(&self) -> Vec<(Cause, f64)> {
        let mut order: Vec<(Cause, f64)> = CAUSES.iter().copied().zip(self.chances).collect();
        order.sort_by(|a, b| b.1.total_cmp(&a.1));
        order
    }
}

/// Standard normal unknowns: where they lie and how they hang together.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    mean: [f64; UNKNOWNS],
    /// Lower triangle.
    root: [[f64; UNKNOWNS]; UNKNOWNS],
    /// Share of the charge's variance that came since the proved visit, and the spread of that part given the whole.
    since: (f64, f64),
}

/// Natural spread of each unknown from a nameplate: swept volume, efficiency, condenser, coil, their air, valve (ln);
/// superheat setting, suction gain, subcooling (K); both gauges (Pa); charge (ln); how the efficiency goes
/// with ln of the pressure ratio; clearance (ln); how that efficiency bends. The gauges': 1 % of 250 and 500 psi as a
/// half-width.
const NAMEPLATE: [f64; UNKNOWNS] =
    [0.08, 0.12, 0.2, 0.2, 0.14, 0.14, 0.3, 1.5, 4.0, 1.0, 1.0e4, 2.0e4, 0.1, 0.15, 0.5, 0.05];
/// What may have changed since a visit on which all was proved right, and what the model of charge is wrong by from one
/// ambient to another, in the same units.
const DRIFT: [f64; UNKNOWNS] =
    [0.015, 0.015, 0.03, 0.03, 0.02, 0.02, 0.1, 0.3, 0.7, 0.3, 1.0e4, 2.0e4, 0.08, 0.02, 0.05, 0.01];

impl Belief {
    /// Returns what a nameplate tells.
    #[must_use]
    pub fn nameplate() -> Self {
        let mut root = [[0.0; UNKNOWNS]; UNKNOWNS];
        for (i, sd) in NAMEPLATE.iter().enumerate() {
            root[i][i] = *sd;
        }
        Self { mean: [0.0; UNKNOWNS], root, since: (1.0, 0.0) }
    }

    fn unknowns(&self, z: &[f64]) -> [f64; UNKNOWNS] {
        std::array::from_fn(|i| self.mean[i] + (0..=i).map(|k| self.root[i][k] * z[k]).sum::<f64>())
    }
}

/// What a year adds to each drift, in the same units: dirt, wear, what leaks (some tenth of a conductance and of the charge;
/// common practice, no source).
const YEARLY: [f64; UNKNOWNS] =
    [0.01, 0.02, 0.1, 0.07, 0.04, 0.05, 0.05, 0.3, 0.5, 0.2, 0.0, 0.0, 0.1, 0.01, 0.02, 0.01];

/// Returns what is believed of a system after a visit on which all was proved right, what may drift since included.
#[must_use]
pub fn proved(table: &Table, system: &System, at: Surroundings, readings: &[Reading]) -> Belief {
    proved_before(table, system, at, readings, 0.0)
}

/// Returns the same, where the visit lies `years` back: what drifts goes with the root of the time.
#[must_use]
pub fn proved_before(
    table: &Table,
    system: &System,
    at: Surroundings,
    readings: &[Reading],
    years: f64,
) -> Belief {
    let years = years.clamp(0.0, 30.0);
    let drifts: [f64; UNKNOWNS] =
        std::array::from_fn(|i| DRIFT[i] * DRIFT[i] + years * YEARLY[i] * YEARLY[i]);
    let belief = Belief::nameplate();
    let question = Question { table, system, at, readings, belief: &belief, gauge: 0 };
    let found = question.explain(CAUSES[0], &[0.0; MOST], 6, None, f64::INFINITY);
    // Covariance in the unknowns' own units: root times inverse curvature times its transpose, and drift.
    let mut columns = [[0.0; MOST]; UNKNOWNS];
    for (i, column) in columns.iter_mut().enumerate() {
        let mut unit = [0.0; MOST];
        unit[i] = 1.0;
        *column = linear::solve(&found.lower, &unit, UNKNOWNS);
    }
    let mut covariance = [[0.0; MOST]; MOST];
    for i in 0..UNKNOWNS {
        for j in 0..UNKNOWNS {
            covariance[i][j] = NAMEPLATE[i] * columns[i][j] * NAMEPLATE[j];
        }
    }
    // Gauges are another day's: what was learnt of their offsets is not carried over, nor what hangs on it.
    for k in [10, 11] {
        covariance[k] = [0.0; MOST];
        for row in &mut covariance {
            row[k] = 0.0;
        }
    }
    let before = covariance[12][12];
    for i in 0..UNKNOWNS {
        covariance[i][i] += drifts[i];
    }
    let lower = linear::factor(&covariance, UNKNOWNS);
    let mut mean = belief.unknowns(&found.z);
    mean[10] = 0.0;
    mean[11] = 0.0;
    let drift = drifts[12];
    let since = (drift / (drift + before), sqrt(drift * before / (drift + before)));
    Belief { mean, root: std::array::from_fn(|i| std::array::from_fn(|k| lower[i][k])), since }
}

/// Returns the readings beside what the healthy system would show, by what is believed of it.
#[must_use]
pub fn expected(
    table: &Table,
    system: &System,
    belief: &Belief,
    at: Surroundings,
    readings: &[Reading],
) -> Vec<Against> {
    let question = Question { table, system, at, readings, belief, gauge: 0 };
    let shared = question.shared();
    question.against(&shared.point, &shared.slopes)
}

/// Returns what the model shows of a system at standard normal `unknowns` of its plate, with a cause whose faults have
/// standard normal sizes `how` and, of four ways a gauge can be off, the one numbered `gauge`: values in the units of
/// [`Reading`], of glass and fans the chance that bubbles or a fan down are seen; nothing where the model has no state.
#[must_use]
pub fn imagined(
    table: &Table,
    system: &System,
    at: Surroundings,
    unknowns: &[f64; UNKNOWNS],
    cause: Cause,
    how: &[f64],
    gauge: usize,
) -> Option<[f64; 12]> {
    let belief = Belief::nameplate();
    let question = Question { table, system, at, readings: &[], belief: &belief, gauge: gauge.min(3) };
    let point = question.point(cause, &belief.unknowns(unknowns), how, &mut None);
    point.state.limit.is_none().then(|| {
        std::array::from_fn(|i| {
            let shown = point.shown[i];
            if KINDS.get(i).is_some_and(|kind| question::logarithmic(*kind)) { exp(shown) } else { shown }
        })
    })
}

/// Returns how far the model may be off in each of the nine measured readings, in standard deviations of [`imagined`]'s
/// values about `value`, without the instrument.
#[must_use]
pub fn model_spread(kind: Kind, value: f64) -> f64 {
    let alone = Reading { kind, value, sd: 0.0 };
    let scale = if question::logarithmic(kind) { value } else { 1.0 };
    question::spread(&alone).map_or(0.0, |sd| sd * scale)
}

/// Explanations worse than the best by so many nats are not sampled.
const FAR: f64 = 4.0;

/// The evidence counts with this exponent: every doubt of a reading is counted on the wide side, so that all causes fit and
/// the evidence alone tells them apart too little (tuned on invented systems, seeds 7 and 8).
const SHARPENED: f64 = 1.3;
/// And with this chance the model is not like the system at all: then the readings tell nothing, and the chances are those
/// before any reading. Without it what stands near certainty is stated too boldly (tuned likewise).
const MODEL_WRONG: f64 = 0.04;

/// Whether a cause can be at all.
fn applies(cause: Cause, system: &System, readings: &[Reading]) -> bool {
    match cause.first {
        Fault::HeadLow | Fault::HeadHigh => system.head != cycle::Head::Free,
        Fault::Gauge => readings.iter().any(|r| matches!(r.kind, Kind::Low | Kind::High)),
        _ => true,
    }
}

/// The chances by the logarithms of chance before and evidence together.
fn chances(logs: &[f64; COUNT], can_be: &[bool; COUNT]) -> [f64; COUNT] {
    let sharp: [f64; COUNT] = std::array::from_fn(|i| {
        let before = ln(BEFORE[i]);
        before + SHARPENED * (logs[i] - before)
    });
    let most = sharp.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum: f64 = sharp.iter().map(|l| exp(l - most)).sum();
    let of = |i: usize| if can_be[i] { BEFORE[i] } else { 0.0 };
    let before: f64 = (0..COUNT).map(of).sum();
    std::array::from_fn(|i| (1.0 - MODEL_WRONG) * exp(sharp[i] - most) / sum + MODEL_WRONG * of(i) / before)
}

/// Returns what is probably wrong, from readings of a steady system.
#[must_use]
pub fn diagnose(
    table: &Table,
    system: &System,
    belief: &Belief,
    at: Surroundings,
    readings: &[Reading],
) -> Diagnosis {
    let question = Question { table, system, at, readings, belief, gauge: 0 };
    let shared = question.shared();
    let mut least = f64::INFINITY;
    let mut gauge = (0, 0.0);
    let mut logs = [f64::NEG_INFINITY; COUNT];
    let mut found: Vec<Option<Explained>> = Vec::with_capacity(COUNT);
    for (i, cause) in CAUSES.iter().enumerate() {
        if cause.first == Fault::SomethingElse {
            // Each measured reading anywhere within some four spreads: flat, so that a bad fit is no certainty.
            let measured = readings.iter().filter(|r| question::spread(r).is_some()).count();
            logs[i] = ln(BEFORE[i]) - 3.2 * measured as f64;
            found.push(None);
            continue;
        }
        if !applies(*cause, system, readings) {
            found.push(None);
            continue;
        }
        if cause.first == Fault::Gauge {
            // One gauge or the other, too much or too little: each an explanation of its own, and the best one is kept.
            let mut tried: Vec<(usize, Explained)> = question::GAUGES
                .iter()
                .enumerate()
                .filter(|(_, (kind, _))| readings.iter().any(|r| r.kind == *kind))
                .map(|(which, _)| {
                    (which, Question { gauge: which, ..question }.start(*cause, &found, &shared, least))
                })
                .collect();
            tried.sort_by(|a, b| b.1.laplace().total_cmp(&a.1.laplace()));
            let best = tried[0].1.laplace();
            let all = ln(tried.iter().map(|t| exp(t.1.laplace() - best)).sum::<f64>() / tried.len() as f64);
            let (which, explained) = tried.swap_remove(0);
            gauge = (which, all);
            logs[i] = ln(BEFORE[i]) + best + all;
            found.push(Some(explained));
            continue;
        }
        let explained = match cause.second {
            None => question.start(*cause, &found, &shared, least),
            Some(second) => {
                // A pair is worth the work only beside one of its members that does well.
                let best = logs[..SINGLES].iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let near = |fault: Fault| logs[..SINGLES][fault as usize] > best - 5.0;
                if !near(cause.first) && !near(second) && !near(Fault::SomethingElse) {
                    found.push(None);
                    continue;
                }
                question.start(*cause, &found, &shared, least)
            }
        };
        logs[i] = ln(BEFORE[i]) + explained.laplace();
        least = least.min(explained.cost);
        found.push(Some(explained));
    }
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    for (i, found) in found.iter_mut().enumerate() {
        if let Some(found) = found.as_mut().filter(|_| logs[i] > best - FAR) {
            let mut question = question;
            let mut others = 0.0;
            if CAUSES[i].first == Fault::Gauge {
                (question.gauge, others) = gauge;
            }
            logs[i] = ln(BEFORE[i]) + question.evidence(CAUSES[i], found) + others;
        }
    }
    let chances = chances(&logs, &CAUSES.map(|cause| applies(cause, system, readings)));

    let mut mixed: Vec<(f64, f64)> = chances
        .iter()
        .zip(&found)
        .filter_map(|(chance, found)| Some((chance, found.as_ref()?)))
        .flat_map(|(chance, found)| found.samples.iter().map(move |s| (s.charge, chance * s.weight)))
        .collect();
    mixed.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = mixed.iter().map(|m| m.1).sum();
    let point = |share: f64| {
        let mut so_far = 0.0;
        mixed.iter().find(|(_, w)| {
            so_far += w;
            so_far >= share * total
        })
    };
    let stands = chances
        .iter()
        .zip(&found)
        .filter_map(|(chance, found)| Some((chance, found.as_ref()?)))
        .filter(|(_, found)| matches!(found.state.reserve, cycle::Reserve::Level(_)))
        .map(|(chance, _)| chance)
        .sum::<f64>();
    let low = point(0.05).map_or(0.0, |m| m.0);
    let high = point(0.95).map(|m| m.0).filter(|_| stands < 0.5);
    Diagnosis {
        chances,
        charge: (low, high),
        against: question.against(&shared.point, &shared.slopes),
        next: next::next(&question, &chances, &found),
        unseen: next::unseen(&question, &shared),
    }
}
