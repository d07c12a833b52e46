//! The most probable state under one cause, and the evidence for that cause.

use crate::fault::linear::{back, factor, solve};
use crate::fault::question::{Near, Point, Question, charge_share, dimensions, seen};
use crate::fault::{CAUSES, Cause, Fault, MOST, NAMEPLATE, SINGLES, UNKNOWNS};
use cycle::Steady;
use units::math::{cos, exp, ln, ln_1p, sqrt};

/// Draws for each cause that is not far behind.
const SAMPLES: usize = 48;

/// What the charge by volumes is wrong by from one ambient to another, as a share (common practice, no source).
const CHARGE_MODEL: f64 = 0.06;

/// A weighed draw.
pub struct Sample {
    pub charge: f64,
    pub weight: f64,
    pub shown: [f64; 12],
}

/// A cause at its most probable point.
pub struct Explained {
    pub z: Vec<f64>,
    pub cost: f64,
    pub lower: [[f64; MOST]; MOST],
    pub near: Near,
    /// Slopes of all that is shown at the mode, or near it where the cause is hopeless.
    slopes: Vec<[f64; 12]>,
    pub state: Steady,
    pub shown: [f64; 12],
    pub samples: Vec<Sample>,
}

impl Explained {
    fn log_det(&self) -> f64 {
        (0..self.z.len()).map(|i| ln(self.lower[i][i])).sum()
    }

    /// Returns the logarithm of the evidence as if the cost were round about its least.
    pub fn laplace(&self) -> f64 {
        -self.cost - self.log_det()
    }
}

/// A start: its cost, where it lies, the state near it, the single cause it stands beside, and what it shows.
type Start<'a> = (f64, [f64; MOST], Near, Option<&'a Explained>, Point);

/// Steps at most towards a mode; most causes settle in half of them.
const ROUNDS: usize = 9;

/// What all causes start from: the healthy system as it is believed to be, and its slopes.
pub struct Shared {
    pub point: Point,
    pub near: Near,
    pub slopes: Vec<[f64; 12]>,
}

/// A cause that fits worse than the best one by so many nats is looked at no closer.
const HOPELESS: f64 = 8.0;

/// Whether slopes found at one state serve another: the same things govern both.
fn alike(a: &Steady, b: &Steady) -> bool {
    a.starved == b.starved
        && a.hold == b.hold
        && std::mem::discriminant(&a.reserve) == std::mem::discriminant(&b.reserve)
}

impl Question<'_> {
    /// The healthy system before its readings are looked at.
    pub fn shared(&self) -> Shared {
        let mut near = None;
        let z = [0.0; UNKNOWNS];
        let point = self.at(CAUSES[0], &z, &mut near);
        let slopes = self.slopes(CAUSES[0], &z, &point, near);
        Shared { point, near, slopes }
    }

    /// The mode from the best of some starts: the fault small, middling, large; for pairs beside what fits one of them.
    pub fn start(
        &self,
        cause: Cause,
        found: &[Option<Explained>],
        shared: &Shared,
        best_cost: f64,
    ) -> Explained {
        let n = dimensions(cause);
        let mut starts: Vec<([f64; MOST], Option<&Explained>)> = Vec::new();
        let sizes: &[f64] = match cause.first {
            Fault::None => &[0.0],
            // All readings move within a few percent of the charge, and none besides.
            Fault::Under | Fault::Over => &[-2.0, -1.3, -0.8, -0.4, 0.0, 0.4, 0.8, 1.3, 2.0],
            _ => &[-1.5, 0.0, 1.5],
        };
        let single = |fault: Fault| {
            CAUSES[..SINGLES].iter().position(|c| c.first == fault).and_then(|i| found.get(i)?.as_ref())
        };
        match cause.second {
            Some(second) => {
                for size in sizes {
                    for (fault, k, other) in [(cause.first, 0, 1), (second, 1, 0)] {
                        if let Some(one) = single(fault) {
                            let mut from = [0.0; MOST];
                            from[..UNKNOWNS].copy_from_slice(&one.z[..UNKNOWNS]);
                            from[UNKNOWNS + k] = one.z[UNKNOWNS];
                            from[UNKNOWNS + other] = *size;
                            starts.push((from, Some(one)));
                        }
                    }
                }
            }
            None => {
                for size in sizes {
                    let mut from = [0.0; MOST];
                    from[UNKNOWNS] = *size;
                    starts.push((from, None));
                }
            }
        }
        let mut best: Option<Start<'_>> = None;
        for (from, beside) in starts {
            let mut near = beside.map_or(shared.near, |one| one.near);
            let point = self.at(cause, &from[..n], &mut near);
            let cost = self.cost(&from[..n], &point);
            if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, from, near, beside, point));
            }
        }
        let Some((_, from, near, beside, point)) = best else {
            return self.explain(cause, &[0.0; MOST], ROUNDS, None, best_cost);
        };
        // Where the same things govern, the slopes of the healthy system, or of the single cause, are near enough to begin
        // with; only the fault's own are looked for.
        let (slopes, governed) =
            beside.map_or((&shared.slopes, &shared.point.state), |one| (&one.slopes, &one.state));
        let lent = alike(governed, &point.state)
            .then(|| self.own_slopes(cause, &from[..n], &point, near, &slopes[..UNKNOWNS]));
        self.explain(cause, &from, ROUNDS, lent, best_cost)
    }

    /// Slopes by the fault's own size put behind slopes by what is unknown of the healthy system.
    fn own_slopes(
        &self,
        cause: Cause,
        z: &[f64],
        here: &Point,
        near: Near,
        healthy: &[[f64; 12]],
    ) -> Vec<[f64; 12]> {
        let u = self.belief.unknowns(z);
        let how = &z[UNKNOWNS..];
        let mut slopes = healthy.to_vec();
        for k in 0..how.len() {
            let mut moved = how.to_vec();
            moved[k] += 0.05;
            let there = self.point(cause, &u, &moved, &mut near.clone());
            slopes.push(std::array::from_fn(|i| (there.shown[i] - here.shown[i]) / 0.05));
        }
        slopes
    }

    /// Slopes of all that is shown by each standard unknown, through the unknowns' own units: the offsets' are known, and
    /// a valve in control or a charge within the receiver's range moves nothing.
    fn slopes(&self, cause: Cause, z: &[f64], here: &Point, near: Near) -> Vec<[f64; 12]> {
        let u = self.belief.unknowns(z);
        let how = z.get(UNKNOWNS..).unwrap_or(&[]);
        let mut own = [[0.0; 12]; UNKNOWNS];
        for k in 0..UNKNOWNS {
            match k {
                10 | 11 => own[k][k - 10] = 1.0 / exp(here.shown[k - 10]),
                6 if !here.state.starved => {}
                12 if matches!(here.state.reserve, cycle::Reserve::Level(_) | cycle::Reserve::NotAsked) => {}
                _ => {
                    let step = 0.1 * NAMEPLATE[k];
                    let mut moved = u;
                    moved[k] += step;
                    let there = self.point(cause, &moved, how, &mut near.clone());
                    own[k] = std::array::from_fn(|i| (there.shown[i] - here.shown[i]) / step);
                }
            }
        }
        let mut slopes = vec![[0.0; 12]; UNKNOWNS];
        for (k, slope) in slopes.iter_mut().enumerate() {
            for (own, root) in own.iter().zip(&self.belief.root).skip(k) {
                for i in 0..12 {
                    slope[i] += own[i] * root[k];
                }
            }
        }
        self.own_slopes(cause, z, here, near, &slopes)
    }

    /// The most probable point from `from` on, by slopes `lent` where there are some; one that fits worse than `best_cost` by
    /// far is left where it is.
    pub fn explain(
        &self,
        cause: Cause,
        from: &[f64],
        rounds: usize,
        lent: Option<Vec<[f64; 12]>>,
        best_cost: f64,
    ) -> Explained {
        let n = dimensions(cause);
        let mut z = from[..n].to_vec();
        let mut near = None;
        let mut point = self.at(cause, &z, &mut near);
        let mut cost = self.cost(&z, &point);
        let mut hessian = [[0.0; MOST]; MOST];
        let mut damping = 0.0;
        let mut fresh = lent.is_none();
        let mut slopes = lent.unwrap_or_else(|| self.slopes(cause, &z, &point, near));
        let (mut stale, mut settled) = (false, false);
        for round in 0..=rounds {
            let mut gradient = [0.0; MOST];
            hessian = [[0.0; MOST]; MOST];
            let hopeless = round > 1 && cost > best_cost + HOPELESS && (stale || round == rounds);
            if (stale || round == rounds) && !hopeless {
                slopes = self.slopes(cause, &z, &point, near);
                (stale, fresh) = (false, true);
            }
            for r in self.readings {
                let i = r.kind as usize;
                let off = seen(r) - point.shown[i];
                if let Some(weight) = Self::weight(r, off) {
                    for a in 0..n {
                        gradient[a] += weight * off * slopes[a][i];
                        for b in 0..n {
                            hessian[a][b] += weight * slopes[a][i] * slopes[b][i];
                        }
                    }
                } else {
                    // What is seen by eye pulls, too: a chance of its own.
                    let e = point.shown[i];
                    let pull = if seen(r) > 0.5 { 1.0 / e } else { -1.0 / (1.0 - e) };
                    for a in 0..n {
                        gradient[a] += pull * slopes[a][i];
                        for b in 0..n {
                            hessian[a][b] += slopes[a][i] * slopes[b][i] / (e * (1.0 - e));
                        }
                    }
                }
            }
            for a in 0..n {
                hessian[a][a] += 1.0;
                gradient[a] -= z[a];
            }
            if round == rounds || settled || hopeless {
                break;
            }
            let mut damped = hessian;
            for (a, row) in damped.iter_mut().enumerate().take(n) {
                row[a] += damping;
            }
            let step = solve(&factor(&damped, n), &gradient, n);
            let mut gain = 0.0;
            for share in [1.0, 0.35] {
                let next: Vec<f64> =
                    z.iter().zip(&step).map(|(z, d)| (z + share * d).clamp(-4.5, 4.5)).collect();
                let there = self.at(cause, &next, &mut near);
                let value = self.cost(&next, &there);
                if value < cost {
                    gain = cost - value;
                    // The slopes follow the step (Broyden): one look where the difference quotients would take a dozen.
                    let moved: Vec<f64> = next.iter().zip(&z).map(|(a, b)| a - b).collect();
                    let length: f64 = moved.iter().map(|m| m * m).sum::<f64>().max(1e-12);
                    for i in 0..12 {
                        let foreseen: f64 = slopes.iter().zip(&moved).map(|(s, m)| s[i] * m).sum();
                        let off = (there.shown[i] - point.shown[i] - foreseen) / length;
                        for (slope, m) in slopes.iter_mut().zip(&moved) {
                            slope[i] += off * m;
                        }
                    }
                    (z, point, cost) = (next, there, value);
                    break;
                }
            }
            if gain < 0.05 {
                // Fresh slopes for the curvature; they end it where nothing was to be gained with fresh ones before.
                stale = true;
                settled = round > 0 && fresh && (gain > 0.0 || damping > 0.0);
                damping = 4.0;
            } else {
                damping = 0.0;
            }
        }
        Explained {
            z,
            cost,
            lower: factor(&hessian, n),
            near,
            slopes,
            state: point.state,
            shown: point.shown,
            samples: Vec::new(),
        }
    }

    /// Returns the logarithm of the evidence by weighed draws about the mode, which are kept.
    pub fn evidence(&self, cause: Cause, found: &mut Explained) -> f64 {
        let n = found.z.len();
        let (log_det, laplace) = (found.log_det(), found.laplace());
        let mut sequence = Sequence(0x9e37_79b9_7f4a_7c15 ^ ((cause.first as u64 + 1) << 8) ^ n as u64);
        let mut logs = Vec::with_capacity(SAMPLES);
        let mut samples = Vec::with_capacity(SAMPLES);
        let mut most = f64::NEG_INFINITY;
        for _ in 0..SAMPLES {
            // Student-t of 6 degrees about the mode, as wide as its curvature.
            let mut draw = [0.0; MOST];
            for x in draw.iter_mut().take(n) {
                *x = sequence.normal();
            }
            let chi = (0..6).map(|_| sequence.normal()).map(|x| x * x).sum::<f64>() / 6.0;
            for x in &mut draw {
                *x /= sqrt(chi);
            }
            let radius: f64 = draw.iter().map(|x| x * x).sum();
            // L' y = draw: y has the covariance of the inverse curvature.
            let y = back(&found.lower, &draw, n);
            let z: Vec<f64> = found.z.iter().zip(&y).map(|(a, b)| a + b).collect();
            let point = self.at(cause, &z, &mut found.near.clone());
            let log_proposal = -0.5 * (6.0 + n as f64) * ln_1p(radius / 6.0);
            let weight = -self.cost(&z, &point) - log_proposal;
            most = most.max(weight);
            logs.push(weight);
            let share: f64 = [Some(cause.first), cause.second]
                .into_iter()
                .flatten()
                .zip(&z[UNKNOWNS..])
                .map(|(fault, how)| charge_share(fault, *how))
                .product();
            let (since, rest) = self.belief.since;
            let drifted = since * (self.belief.unknowns(&z)[12] - self.belief.mean[12])
                + sqrt(rest * rest + CHARGE_MODEL * CHARGE_MODEL) * sequence.normal();
            samples.push(Sample { charge: share * exp(drifted), weight: 0.0, shown: point.shown });
        }
        let sum: f64 = logs.iter().map(|w| exp(w - most)).sum();
        for (sample, log) in samples.iter_mut().zip(logs) {
            sample.weight = exp(log - most) / sum;
        }
        found.samples = samples;
        // Against the proposal's own constant; a Gaussian would give Laplace's value back.
        let sampled = most + ln(sum / SAMPLES as f64) - log_det + t_constant(n);
        // Few samples carry the sum where the mode is far from round: then Laplace's value holds it within a factor.
        sampled.clamp(laplace - 1.5, laplace + 1.5)
    }
}

/// ln of the ratio of a t-density's constant (6 degrees, `n` dimensions) to a Gaussian's, inverted.
fn t_constant(n: usize) -> f64 {
    // (6/2)^(n/2) Gamma(3) / Gamma(3 + n/2), by the recurrence of the gamma function.
    let half = n as f64 / 2.0;
    let mut ln_gamma = if n.is_multiple_of(2) { ln(2.0) } else { ln(3.323350970447843) };
    let mut at = if n.is_multiple_of(2) { 3.0 } else { 3.5 };
    while at < 3.0 + half - 0.25 {
        ln_gamma += ln(at);
        at += 1.0;
    }
    half * ln(3.0) + ln(2.0) - ln_gamma
}

/// Numbers of a fixed sequence (splitmix64, public domain).
struct Sequence(u64);

impl Sequence {
    fn one(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut x = self.0;
        x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (((x ^ (x >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }
    fn normal(&mut self) -> f64 {
        let (u, v) = (self.one(), self.one());
        sqrt(-2.0 * ln(u)) * cos(std::f64::consts::TAU * v)
    }
}
