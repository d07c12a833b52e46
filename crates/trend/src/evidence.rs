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
/// Days between two beginnings of a change that are tried.
const STEP_DAYS: i64 = 6;
/// How much of an independent reading one block counts as, since days follow each other. Our judgement, not yet tuned.
const SHARE: f64 = 0.7;

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

/// One feature with its baseline fitted.
struct Fitted {
    rows: Vec<([f64; COLUMNS], f64, f64, i64)>,
    /// The root of the matrix of the normal equations, and their right side solved by it.
    root: [[f64; COLUMNS]; COLUMNS],
    solved: [f64; COLUMNS],
    scatter: f64,
    weight: f64,
}

/// What a change from one day on, of one shape, does for one feature.
#[derive(Clone, Copy)]
struct Gain {
    log_ratio: f64,
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
        return Look::TooEarly { days: 0, needed: LEARN_DAYS + STEP_DAYS };
    };
    let days = (last - first + 1) * BLOCK_DAYS;
    let needed = LEARN_DAYS + STEP_DAYS;
    // A year of one reading a month is no baseline either.
    let mut blocks: Vec<i64> = points.iter().map(|p| p.block).collect();
    blocks.sort_unstable();
    blocks.dedup();
    let seen = blocks.len() as i64 * BLOCK_DAYS;
    if days < needed || seen < needed {
        return Look::TooEarly { days: seen, needed };
    }
    let fitted: Vec<Option<Fitted>> = FEATURES.iter().map(|f| fit(points, *f, first)).collect();
    let end = (last + 1) * BLOCK_DAYS;
    let mut logs: Vec<(f64, usize, i64, usize)> = Vec::new();
    let mut since = first * BLOCK_DAYS + LEARN_DAYS;
    while since < end {
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
        // A half-normal size of the right sign: the ratio of the whole normal, times twice the share on the right side.
        let right = 2.0 * normal_share(sign * gain.mean / gain.sd);
        let log = gain.log_ratio + ln(right.max(1e-300));
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

fn fit(points: &[Point], feature: Feature, first: i64) -> Option<Fitted> {
    let k = FEATURES.iter().position(|f| *f == feature)?;
    let (size, least) = feature.scale();
    let mut total: Vec<(i64, f64)> = Vec::new();
    let mut used: Vec<(&Point, f64, f64)> =
        points.iter().filter_map(|p| p.features[k].map(|(mean, n)| (p, mean, n))).collect();
    used.retain(|(_, mean, n)| mean.is_finite() && *n > 0.0);
    used.sort_by_key(|(p, _, _)| p.block);
    for (p, _, n) in &used {
        match total.last_mut() {
            Some((block, sum)) if *block == p.block => *sum += n,
            _ => total.push((p.block, *n)),
        }
    }
    if total.len() < 5 {
        return None;
    }
    // Counted from the middle of what was seen, so that the numbers stay small.
    let level = used.iter().map(|u| u.1).sum::<f64>() / used.len() as f64;
    let mut rows = Vec::with_capacity(used.len());
    let mut at = 0;
    for (p, mean, n) in used {
        while total[at].0 != p.block {
            at += 1;
        }
        // All bands of a block together count as one block; a block of few windows as less.
        let full = (total[at].1 / 12.0).min(1.0);
        let weight = SHARE * full * n / total[at].1;
        let days = ((p.block - first) * BLOCK_DAYS) as f64;
        rows.push((columns(p.ambient, days), mean - level, weight, p.block));
    }
    let mut normal = [[0.0; COLUMNS]; COLUMNS];
    let mut right = [0.0; COLUMNS];
    let mut squares = 0.0;
    let mut weight = 0.0;
    for (row, y, w, _) in &rows {
        for i in 0..COLUMNS {
            for j in 0..=i {
                normal[i][j] += w * row[i] * row[j];
            }
            right[i] += w * row[i] * y;
        }
        squares += w * y * y;
        weight += w;
    }
    // Widths of what a baseline may be, over the least scatter; the last is a drift a year that is nobody's fault.
    for (i, row) in normal.iter_mut().enumerate() {
        let width = size
            * match i {
                0 => 4.0,
                1 => 3.0,
                _ if i < COLUMNS - 1 => 1.5,
                _ => 0.15,
            };
        row[i] += (least / width) * (least / width);
    }
    let root = root(normal);
    let half = down(&root, right);
    let explained: f64 = half.iter().map(|h| h * h).sum();
    let scatter = 2.0 * least * least + 0.5 * (squares - explained).max(0.0);
    Some(Fitted { rows, root, solved: half, scatter, weight })
}

fn reach(since: i64, shape: f64, day: f64) -> f64 {
    ((day - since as f64) / shape).clamp(0.0, 1.0)
}

fn gain(f: &Fitted, feature: Feature, since: i64, shape: f64, end: i64) -> Gain {
    let (size, least) = feature.scale();
    let mut across = [0.0; COLUMNS];
    let (mut squares, mut with_y) = (0.0, 0.0);
    let from = f.rows.partition_point(|row| (row.3 + 1) * BLOCK_DAYS <= since);
    for (row, y, w, block) in &f.rows[from..] {
        let g = reach(since, shape, (block * BLOCK_DAYS) as f64 + BLOCK_DAYS as f64 / 2.0);
        let wg = w * g;
        for i in 0..COLUMNS {
            across[i] += wg * row[i];
        }
        squares += wg * g;
        with_y += wg * y;
    }
    let half = down(&f.root, across);
    let width = (size / least) * (size / least);
    let own: f64 = half.iter().map(|h| h * h).sum();
    let share: f64 = half.iter().zip(&f.solved).map(|(a, b)| a * b).sum();
    let d = (squares - own).max(0.0) + 1.0 / width;
    let e = with_y - share;
    let count = 2.0 + 0.5 * f.weight;
    let scatter = (f.scatter - 0.5 * e * e / d).max(1e-3 * f.scatter);
    let log_ratio = -0.5 * ln(width * d) - count * (ln(scatter) - ln(f.scatter));
    let sd = sqrt(scatter / (count * d));
    Gain { log_ratio, mean: e / d, sd, reached: reach(since, shape, end as f64) }
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
