//! The baseline and the evidence that a system has left it.

use crate::{BLOCK_DAYS, CAUSES, Cause, FEATURES, Feature, Point};
use units::math::{erf, exp, ln, sqrt};

/// Where the slope of a baseline over the ambient may change, °C; also the columns of a baseline: level, slope, these, time.
const BENDS: [f64; 4] = [5.0, 12.0, 19.0, 26.0];
const COLUMNS: usize = BENDS.len() + 3;
/// Days in which a change comes to its full size: slow and quick.
const SHAPES: [f64; 2] = [60.0, 6.0];
/// Days before a change that a baseline needs.
const LEARN_DAYS: i64 = 28;
/// Days that a change must have lasted: a week of open doors, of heat or of harvest is no drift. Our judgement, no source.
const LASTING_DAYS: i64 = 12;
/// Days between two beginnings of a change that are tried.
const STEP_DAYS: i64 = 6;
/// How what the baseline leaves over may follow itself: the share that is new with each block, what is kept of the rest
/// from one block to the next, and how likely that is before any reading. Loads, weather and doors last for days to months,
/// and a wandering that is taken for chance is an alarm that is none. Our judgement, no source; each system's own readings
/// weigh them.
const NOISES: [(f64, f64, f64); 6] = [
    (1.0, 0.0, 0.15),
    (0.3, 0.5, 0.25),
    (0.5, 0.8, 0.2),
    (0.1, 0.8, 0.15),
    (0.5, 0.95, 0.15),
    (0.1, 0.95, 0.1),
];
/// How much a difference within one block, at two ambients, counts against a block. Our judgement, no source.
const WITHIN: f64 = 0.5;

/// What is called an alarm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// False alarms accepted in a system and year.
    pub false_alarms: f64,
}

impl Default for Limits {
    /// Returns one false alarm in a hundred systems and years.
    fn default() -> Self {
        Self { false_alarms: 0.01 }
    }
}

impl Limits {
    /// Returns the statistic at which an alarm is given: the mean days between two false ones.
    #[must_use]
    pub fn days(self) -> f64 {
        365.25 / self.false_alarms
    }
}

/// What a look at a system gives.
#[derive(Clone, Debug, PartialEq)]
pub enum Look {
    /// Too little was seen to have a baseline.
    TooEarly {
        /// Days with points so far.
        days: i64,
        /// Days needed.
        needed: i64,
    },
    /// How far the system has left its baseline.
    Found(Finding),
}

/// How far a system has left its baseline, and what explains it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The statistic over its limit: an alarm from 1 on; never more than 1e300.
    pub evidence: f64,
    /// Causes with their share of the evidence, the largest first.
    pub causes: Vec<(Cause, f64)>,
    /// The day on which the likeliest cause most likely began, days since 1970-01-01.
    pub since: i64,
    /// What moved with that cause, as far as it is seen, in the order of [`FEATURES`].
    pub changes: Vec<Change>,
}

/// How far one feature has moved by now.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Which.
    pub feature: Feature,
    /// By how much, in the feature's unit.
    pub size: f64,
    /// Its standard uncertainty.
    pub doubt: f64,
}

impl Finding {
    /// Returns whether the limit is reached.
    #[must_use]
    pub fn is_alarm(&self) -> bool {
        self.evidence >= 1.0
    }
}

/// One block of one feature: its row of the baseline, its value, and what share of a whole block it is.
struct Block {
    number: i64,
    row: [f64; COLUMNS],
    value: f64,
    full: f64,
}

/// How one block is made free of those before it.
struct Step {
    number: i64,
    /// How much of a surprise is kept, over how wide it is, and what is left of all that until the next block.
    kept: f64,
    width: f64,
    fades: f64,
}

/// One feature with its baseline fitted, for one kind of [`NOISES`].
struct Fitted {
    steps: Vec<Step>,
    rows: Vec<([f64; COLUMNS], f64)>,
    /// The root of the matrix of the normal equations, and their right side solved by it.
    root: [[f64; COLUMNS]; COLUMNS],
    solved: [f64; COLUMNS],
    scatter: f64,
    /// The logarithm of how well this kind explains the readings without a change, but for what all kinds share.
    log: f64,
}

/// What a change from one day on, of one shape, does for one feature.
#[derive(Clone, Copy)]
struct Gain {
    /// The logarithm of how much better the readings are explained with a change upwards, and downwards.
    up: f64,
    down: f64,
    mean: f64,
    sd: f64,
    reached: f64,
}

/// Returns what the points of one system say; points in any order, those of one block and band apart.
#[must_use]
pub fn look(points: &[Point], limits: &Limits) -> Look {
    let (Some(first), Some(last)) =
        (points.iter().map(|p| p.block).min(), points.iter().map(|p| p.block).max())
    else {
        return Look::TooEarly { days: 0, needed: LEARN_DAYS + LASTING_DAYS };
    };
    let days = (last - first + 1) * BLOCK_DAYS;
    let needed = LEARN_DAYS + LASTING_DAYS;
    // A year of one reading a month is no baseline either.
    let mut blocks: Vec<i64> = points.iter().map(|p| p.block).collect();
    blocks.sort_unstable();
    blocks.dedup();
    let seen = blocks.len() as i64 * BLOCK_DAYS;
    if days < needed || seen < needed {
        return Look::TooEarly { days: seen, needed };
    }
    let fitted: Vec<Option<Vec<Fitted>>> = FEATURES.iter().map(|f| fit(points, *f, first)).collect();
    let end = (last + 1) * BLOCK_DAYS;
    let mut logs: Vec<(f64, usize, i64, usize)> = Vec::new();
    let mut since = first * BLOCK_DAYS + LEARN_DAYS;
    while since <= end - LASTING_DAYS {
        for (s, shape) in SHAPES.iter().enumerate() {
            let gains: Vec<Option<Gain>> = FEATURES
                .iter()
                .zip(&fitted)
                .map(|(feature, fitted)| fitted.as_ref().map(|f| gain(f, *feature, since, *shape, end)))
                .collect();
            for (c, cause) in CAUSES.iter().enumerate() {
                let explained = explained(*cause, &gains);
                let prior = cause.before() / SHAPES.len() as f64 * STEP_DAYS as f64;
                logs.push((explained + ln(prior), c, since, s));
            }
        }
        since += STEP_DAYS;
    }
    let most = logs.iter().map(|l| l.0).fold(f64::NEG_INFINITY, f64::max);
    if !most.is_finite() {
        return Look::TooEarly { days: seen, needed };
    }
    let mut by_cause = [0.0; CAUSES.len()];
    for (log, c, _, _) in &logs {
        by_cause[*c] += exp(log - most);
    }
    let sum: f64 = by_cause.iter().sum();
    let mut causes: Vec<(Cause, f64)> = CAUSES.iter().zip(by_cause).map(|(c, s)| (*c, s / sum)).collect();
    causes.sort_by(|a, b| b.1.total_cmp(&a.1));
    let top = causes[0].0;
    let best = logs
        .iter()
        .filter(|l| CAUSES[l.1] == top)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or((first * BLOCK_DAYS, 0), |l| (l.2, l.3));
    let changes = top
        .moves()
        .iter()
        .filter_map(|(feature, sign, _)| {
            let fitted = FEATURES.iter().position(|f| f == feature).and_then(|k| fitted[k].as_ref())?;
            let gain = gain(fitted, *feature, best.0, SHAPES[best.1], end);
            let change =
                Change { feature: *feature, size: gain.mean * gain.reached, doubt: gain.sd * gain.reached };
            (sign * change.size > 2.0 * change.doubt).then_some(change)
        })
        .collect();
    let log = most + ln(sum) - ln(limits.days());
    Look::Found(Finding { evidence: exp(log.clamp(-690.0, 690.0)), causes, since: best.0, changes })
}

/// The logarithm of how much better a cause explains all features than the baseline alone.
fn explained(cause: Cause, gains: &[Option<Gain>]) -> f64 {
    let mut sum = 0.0;
    let mut any = false;
    for (feature, sign, likely) in cause.moves() {
        let gain = FEATURES.iter().position(|f| f == feature).and_then(|k| gains[k]);
        // A feature that the log does not give speaks neither way.
        let Some(gain) = gain else { continue };
        any = true;
        let log = if *sign > 0.0 { gain.up } else { gain.down };
        sum += if log > 600.0 { log + ln(*likely) } else { ln(1.0 - likely + likely * exp(log)) };
    }
    if any { sum } else { f64::NEG_INFINITY }
}

fn normal_share(z: f64) -> f64 {
    0.5 * (1.0 + erf(z / core::f64::consts::SQRT_2))
}

fn columns(ambient: Option<f64>, days: f64) -> [f64; COLUMNS] {
    let mut row = [0.0; COLUMNS];
    row[0] = 1.0;
    if let Some(kelvin) = ambient {
        let celsius = kelvin - 273.15;
        row[1] = (celsius - 15.0) / 15.0;
        for (k, bend) in BENDS.iter().enumerate() {
            row[2 + k] = (celsius - bend).max(0.0) / 15.0;
        }
    }
    row[COLUMNS - 1] = days / 365.25;
    row
}

/// The blocks of a feature, and what its bands within one block say of the slope: a matrix and its right side.
type Gathered = (Vec<Block>, [[f64; COLUMNS]; COLUMNS], [f64; COLUMNS]);

fn gather(points: &[Point], k: usize, first: i64) -> Option<Gathered> {
    let mut used: Vec<(&Point, f64, f64)> =
        points.iter().filter_map(|p| p.features[k].map(|(mean, n)| (p, mean, n))).collect();
    used.retain(|(_, mean, n)| mean.is_finite() && *n > 0.0);
    used.sort_by_key(|(p, _, _)| p.block);
    // Counted from the middle of what was seen, so that the numbers stay small.
    let level = used.iter().map(|u| u.1).sum::<f64>() / used.len() as f64;
    let mut blocks = Vec::new();
    let (mut within, mut right) = ([[0.0; COLUMNS]; COLUMNS], [0.0; COLUMNS]);
    for all in used.chunk_by(|a, b| a.0.block == b.0.block) {
        let number = all[0].0.block;
        let days = ((number - first) * BLOCK_DAYS) as f64;
        let n: f64 = all.iter().map(|u| u.2).sum();
        let mut block = Block { number, row: [0.0; COLUMNS], value: 0.0, full: (n / 12.0).min(1.0) };
        for (p, mean, own) in all {
            for (sum, x) in block.row.iter_mut().zip(columns(p.ambient, days)) {
                *sum += own / n * x;
            }
            block.value += own / n * (mean - level);
        }
        for (p, mean, own) in all {
            let row = columns(p.ambient, days);
            let apart: [f64; COLUMNS] = core::array::from_fn(|i| row[i] - block.row[i]);
            let w = WITHIN * block.full * own / n;
            for i in 0..COLUMNS {
                for j in 0..=i {
                    within[i][j] += w * apart[i] * apart[j];
                }
                right[i] += w * apart[i] * (mean - level - block.value);
            }
        }
        blocks.push(block);
    }
    (blocks.len() >= 5).then_some((blocks, within, right))
}

fn fit(points: &[Point], feature: Feature, first: i64) -> Option<Vec<Fitted>> {
    let (size, least) = feature.scale();
    let k = FEATURES.iter().position(|f| *f == feature)?;
    let (blocks, mut prior, right) = gather(points, k, first)?;
    // Widths of what a baseline may be, over the least scatter; the last is a drift a year that is nobody's fault.
    for (i, row) in prior.iter_mut().enumerate() {
        let width = size
            * match i {
                0 => 4.0,
                // A head pressure that is held up makes the split fall by a kelvin with each kelvin of ambient, and then not.
                1 => 4.0,
                _ if i < COLUMNS - 1 => 3.0,
                _ => 0.15,
            };
        row[i] += (least / width) * (least / width);
    }
    // What the bands say stands before the blocks speak; what they leave over is not the scatter of blocks.
    let squares: f64 = down(&root(prior), right).iter().map(|h| h * h).sum();
    Some(NOISES.iter().map(|noise| fit_one(&blocks, *noise, (prior, right, squares), least)).collect())
}

fn fit_one(
    blocks: &[Block],
    (new, kept, likely): (f64, f64, f64),
    (mut normal, mut right, mut squares): ([[f64; COLUMNS]; COLUMNS], [f64; COLUMNS], f64),
    least: f64,
) -> Fitted {
    let mut steps: Vec<Step> = Vec::with_capacity(blocks.len());
    let mut rows = Vec::with_capacity(blocks.len());
    let (mut row_before, mut value_before) = ([0.0; COLUMNS], 0.0);
    let (mut unsure, mut log) = (1.0 - new, ln(likely));
    for (at, block) in blocks.iter().enumerate() {
        let wide = unsure + new / block.full.max(0.05);
        let gap = blocks.get(at + 1).map_or(1, |next| next.number - block.number);
        let step = Step {
            number: block.number,
            kept: unsure / wide,
            width: 1.0 / sqrt(wide),
            fades: if kept > 0.0 { exp(ln(kept) * gap as f64) } else { 0.0 },
        };
        log -= 0.5 * ln(wide);
        let mut row = [0.0; COLUMNS];
        for i in 0..COLUMNS {
            row[i] = step.free(block.row[i], &mut row_before[i]);
        }
        let value = step.free(block.value, &mut value_before);
        for i in 0..COLUMNS {
            for j in 0..=i {
                normal[i][j] += row[i] * row[j];
            }
            right[i] += row[i] * value;
        }
        squares += value * value;
        unsure *= 1.0 - step.kept;
        unsure = step.fades * step.fades * unsure + (1.0 - new) * (1.0 - step.fades * step.fades);
        rows.push((row, value));
        steps.push(step);
    }
    let root = root(normal);
    let solved = down(&root, right);
    let explained: f64 = solved.iter().map(|h| h * h).sum();
    let scatter = 2.0 * least * least + 0.5 * (squares - explained).max(0.0);
    log -= root.iter().enumerate().map(|(i, row)| ln(row[i])).sum::<f64>();
    log -= (2.0 + 0.5 * steps.len() as f64) * ln(scatter);
    Fitted { steps, rows, root, solved, scatter, log }
}

impl Step {
    /// Returns what is new in `value`, over its width; `before` is what was to be expected of it, and then of the next.
    fn free(&self, value: f64, before: &mut f64) -> f64 {
        let new = value - *before;
        *before = self.fades * (*before + self.kept * new);
        new * self.width
    }
}

fn reach(since: i64, shape: f64, day: f64) -> f64 {
    ((day - since as f64) / shape).clamp(0.0, 1.0)
}

/// What a change does for one feature, over all kinds of noise.
fn gain(kinds: &[Fitted], feature: Feature, since: i64, shape: f64, end: i64) -> Gain {
    let most = kinds.iter().map(|f| f.log).fold(f64::NEG_INFINITY, f64::max);
    let all: f64 = kinds.iter().map(|f| exp(f.log - most)).sum();
    let each: Vec<(f64, f64, f64)> = kinds.iter().map(|f| gain_one(f, feature, since, shape)).collect();
    // A half-normal size of the right sign: the ratio of the whole normal, times twice the share on that side.
    let towards = |sign: f64| {
        let logs = kinds.iter().zip(&each).map(|(f, (log, mean, sd))| {
            f.log - most + log + ln((2.0 * normal_share(sign * mean / sd)).max(1e-300))
        });
        let logs: Vec<f64> = logs.collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        top + ln(logs.iter().map(|log| exp(log - top)).sum::<f64>()) - ln(all)
    };
    let weights: Vec<f64> = kinds.iter().zip(&each).map(|(f, (log, ..))| f.log + log).collect();
    let top = weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weights: Vec<f64> = weights.iter().map(|w| exp(w - top)).collect();
    let sum: f64 = weights.iter().sum();
    let mean = weights.iter().zip(&each).map(|(w, (_, mean, _))| w * mean).sum::<f64>() / sum;
    let spread = weights.iter().zip(&each).map(|(w, (_, m, sd))| w * (sd * sd + (m - mean) * (m - mean)));
    let sd = sqrt(spread.sum::<f64>() / sum);
    Gain { up: towards(1.0), down: towards(-1.0), mean, sd, reached: reach(since, shape, end as f64) }
}

/// The logarithm of how much better one kind explains the readings with a change, its size and that one's uncertainty.
fn gain_one(f: &Fitted, feature: Feature, since: i64, shape: f64) -> (f64, f64, f64) {
    let (size, least) = feature.scale();
    let mut across = [0.0; COLUMNS];
    let (mut squares, mut with_value, mut before) = (0.0, 0.0, 0.0);
    let from = f.steps.partition_point(|step| (step.number + 1) * BLOCK_DAYS <= since);
    for (step, (row, value)) in f.steps[from..].iter().zip(&f.rows[from..]) {
        let day = (step.number * BLOCK_DAYS) as f64 + BLOCK_DAYS as f64 / 2.0;
        let g = step.free(reach(since, shape, day), &mut before);
        for i in 0..COLUMNS {
            across[i] += g * row[i];
        }
        squares += g * g;
        with_value += g * value;
    }
    let half = down(&f.root, across);
    let width = (size / least) * (size / least);
    let own: f64 = half.iter().map(|h| h * h).sum();
    let share: f64 = half.iter().zip(&f.solved).map(|(a, b)| a * b).sum();
    let d = (squares - own).max(0.0) + 1.0 / width;
    let e = with_value - share;
    let count = 2.0 + 0.5 * f.steps.len() as f64;
    let scatter = (f.scatter - 0.5 * e * e / d).max(1e-3 * f.scatter);
    let log = -0.5 * ln(width * d) - count * (ln(scatter) - ln(f.scatter));
    (log, e / d, sqrt(scatter / (count * d)))
}

/// The lower root of a positive matrix of which the lower half is given.
fn root(m: [[f64; COLUMNS]; COLUMNS]) -> [[f64; COLUMNS]; COLUMNS] {
    let mut l = [[0.0; COLUMNS]; COLUMNS];
    for i in 0..COLUMNS {
        for j in 0..=i {
            let sum = m[i][j] - l[i][..j].iter().zip(&l[j][..j]).map(|(a, b)| a * b).sum::<f64>();
            l[i][j] = if i == j { sqrt(sum.max(1e-12)) } else { sum / l[j][j] };
        }
    }
    l
}

fn down(l: &[[f64; COLUMNS]; COLUMNS], b: [f64; COLUMNS]) -> [f64; COLUMNS] {
    let mut x = b;
    for i in 0..COLUMNS {
        for k in 0..i {
            x[i] -= l[i][k] * x[k];
        }
        x[i] /= l[i][i];
    }
    x
}
