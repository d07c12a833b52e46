//! Anchors the pairs that nobody fitted to the designated bubble and dew temperatures of the blends they stand in.
//!
//! Two parameters a pair, `beta_t` and `gamma_t`, by Gauss and Newton over all such pairs at once. A pair starts from the
//! published parameters of its neighbour, the pair with the next hydrocarbon of its series, where there is one, else from
//! the rule of Lorentz and Berthelot (all parameters one). A listed temperature counts with a standard uncertainty of
//! 0.15 K; the start with 0.02 for `beta_t` and, for `gamma_t`, 0.03 from a neighbour and 0.05 from the rule, so that what
//! the blends do not decide stays where it was.

use crate::blends::at_one_atmosphere;
use fluid::Fluid;
use fluid::coefficients::{Pair, Reducing};
use refrigerant::{Fit, Refrigerant, pair_parameters};
use std::fmt::Write as _;

const FILE: &str = "data/mixtures/anchored.toml";

/// The uncertainty of a listed temperature, in kelvin: its rounding, and the models behind it.
const LISTED: f64 = 0.15;
const PRIOR_BETA: f64 = 0.02;
const PRIOR_GAMMA: f64 = 0.05;
const PRIOR_NEIGHBOUR: f64 = 0.03;

/// A pair without a neighbour is called anchored if the blends halve at least the doubt of its `gamma_t`.
const DECIDED: f64 = 0.5;

/// The neighbours of a hydrocarbon, nearest first.
const NEIGHBOURS: &[(&str, &[&str])] = &[
    ("R-600", &["R-600a", "R-290"]),
    ("R-600a", &["R-600", "R-290"]),
    ("R-601", &["R-600", "R-600a"]),
    ("R-601a", &["R-600a", "R-600"]),
];

type Names = (&'static str, &'static str);

/// Where a pair starts from: its neighbour, if it has one, and the four parameters.
#[derive(Clone, Copy, Debug)]
struct Start {
    neighbour: Option<Names>,
    beta_t: f64,
    gamma_t: f64,
    beta_v: f64,
    gamma_v: f64,
}

/// What is fitted: the pairs with their starts, and the blends.
struct Trial {
    pairs: Vec<Names>,
    starts: Vec<Start>,
    blends: Vec<&'static Refrigerant>,
}

/// Runs the fit and writes its file, or with `check` compares the file with a fit made anew.
pub fn run(check: bool) -> Result<(), String> {
    let text = file()?;
    if check {
        let have = std::fs::read_to_string(FILE).map_err(|e| format!("{FILE}: {e}"))?;
        return if have == text { Ok(()) } else { Err(format!("{FILE} is not what the fit gives")) };
    }
    std::fs::write(FILE, text).map_err(|e| format!("{FILE}: {e}"))
}

/// Returns the file that the fit gives.
pub fn file() -> Result<String, String> {
    let trial = Trial::new();
    let (values, doubt) = trial.fit()?;
    Ok(trial.write(&values, &doubt))
}

impl Start {
    fn of((a, b): Names) -> Self {
        let neighbours = |name: &str| {
            NEIGHBOURS.iter().find(|(own, _)| *own == name).map_or(&[][..], |(_, neighbours)| neighbours)
        };
        let candidates = neighbours(b).iter().map(|b| (a, *b)).chain(neighbours(a).iter().map(|a| (*a, b)));
        for pair in candidates {
            let Some((parameters, fit)) = pair_parameters(pair.0, pair.1) else { continue };
            let published = matches!(fit, Fit::TwoParameter | Fit::Automatic);
            if let (true, Reducing::BetaGamma { beta_t, gamma_t, beta_v, gamma_v }) =
                (published, parameters.reducing)
            {
                return Self { neighbour: Some(pair), beta_t, gamma_t, beta_v, gamma_v };
            }
        }
        Self { neighbour: None, beta_t: 1.0, gamma_t: 1.0, beta_v: 1.0, gamma_v: 1.0 }
    }

    fn prior(&self) -> f64 {
        if self.neighbour.is_some() { PRIOR_NEIGHBOUR } else { PRIOR_GAMMA }
    }
}

impl Trial {
    fn new() -> Self {
        let mut pairs: Vec<Names> = Vec::new();
        let mut blends = Vec::new();
        for known in refrigerant::all().iter().filter(|r| r.designated().is_some()) {
            let own: Vec<Names> = known
                .sources()
                .pairs
                .iter()
                .filter(|p| matches!(p.fit, Fit::Estimated | Fit::Anchored))
                .map(|p| if p.pair[0] < p.pair[1] { (p.pair[0], p.pair[1]) } else { (p.pair[1], p.pair[0]) })
                .collect();
            if !own.is_empty() {
                blends.push(known);
            }
            pairs.extend(own);
        }
        pairs.sort_unstable();
        pairs.dedup();
        let starts = pairs.iter().map(|pair| Start::of(*pair)).collect();
        Self { pairs, starts, blends }
    }

    fn fluid(&self, known: &Refrigerant, values: &[f64]) -> Result<Fluid, String> {
        let base = known.fluid();
        let components = base.components().to_vec();
        let pair = |i: usize, j: usize| {
            let (a, b) = (components[i].name, components[j].name);
            let place = |x, y| self.pairs.iter().position(|p| *p == (x, y));
            let own = |k: usize| {
                let start = self.starts[k];
                Pair {
                    reducing: Reducing::BetaGamma {
                        beta_t: start.beta_t + values[2 * k],
                        gamma_t: start.gamma_t + values[2 * k + 1],
                        beta_v: start.beta_v,
                        gamma_v: start.gamma_v,
                    },
                    factor: 0.0,
                    departure: &[],
                }
            };
            match (place(a, b), place(b, a)) {
                (Some(k), _) => own(k),
                (None, Some(k)) => own(k).reversed(),
                (None, None) => pair_parameters(a, b).map_or(Pair::ESTIMATED, |(pair, _)| pair),
            }
        };
        Fluid::mixture(&components, &base.mass_fractions(), pair)
            .map_err(|e| format!("{}: {e}", known.designation()))
    }

    /// Returns own less listed temperatures, in units of their uncertainty.
    fn residuals(&self, values: &[f64]) -> Result<Vec<f64>, String> {
        let mut out = Vec::new();
        for known in &self.blends {
            let (bubble, dew) = at_one_atmosphere(&self.fluid(known, values)?)
                .ok_or_else(|| format!("{}: no saturation at 101.325 kPa", known.designation()))?;
            let Some(listed) = known.designated() else { continue };
            out.push((bubble - listed.bubble.celsius()) / LISTED);
            if let Some(listed) = listed.dew {
                out.push((dew - listed.celsius()) / LISTED);
            }
        }
        Ok(out)
    }

    fn fit(&self) -> Result<(Vec<f64>, Vec<f64>), String> {
        let n = 2 * self.pairs.len();
        let prior = |k: usize| if k.is_multiple_of(2) { PRIOR_BETA } else { self.starts[k / 2].prior() };
        let mut values = vec![0.0; n];
        let mut normal = Vec::new();
        for _ in 0..8 {
            let here = self.residuals(&values)?;
            let mut slopes = Vec::new();
            for k in 0..n {
                let step = 1e-4;
                let mut moved = values.clone();
                moved[k] += step;
                let there = self.residuals(&moved)?;
                slopes.push(there.iter().zip(&here).map(|(a, b)| (a - b) / step).collect::<Vec<f64>>());
            }
            normal = vec![vec![0.0; n]; n];
            let mut right = vec![0.0; n];
            for i in 0..n {
                for j in 0..n {
                    normal[i][j] = slopes[i].iter().zip(&slopes[j]).map(|(a, b)| a * b).sum();
                }
                let weight = 1.0 / (prior(i) * prior(i));
                normal[i][i] += weight;
                right[i] = -slopes[i].iter().zip(&here).map(|(a, b)| a * b).sum::<f64>() - weight * values[i];
            }
            let step = solve(normal.clone(), right);
            let largest = step.iter().fold(0.0, |m: f64, s| m.max(s.abs()));
            for (value, step) in values.iter_mut().zip(&step) {
                *value += step;
            }
            if largest < 1e-7 {
                break;
            }
        }
        let doubt = (0..n)
            .map(|k| {
                let mut unit = vec![0.0; n];
                unit[k] = 1.0;
                units::math::sqrt(solve(normal.clone(), unit)[k])
            })
            .collect();
        Ok((values, doubt))
    }

    fn write(&self, values: &[f64], doubt: &[f64]) -> String {
        let mut out = String::from(
            "# Pairs without a published fit, anchored to designated bubble and dew temperatures. Written by `cargo xtask fit-pairs`.\n\
             # beta_t and gamma_t by least squares over the blends of designated.toml that hold such a pair, a listed temperature\n\
             # counting with 0.15 K. A pair starts from the published parameters of its neighbour in the series of hydrocarbons\n\
             # (`start`), else from one; the start counts with 0.02 (beta_t) and 0.03 or 0.05 (gamma_t). `doubt` is the standard\n\
             # uncertainty that follows for each. A pair without a neighbour whose gamma_t the blends leave more than half as\n\
             # doubtful as before stays estimated and is not listed. What is left over per blend stands in docs/blends.md.\n\n\
             [sources.\"anchored\"]\n\
             title = \"Anchored to the bubble and dew temperatures at 101.325 kPa of the blends that hold the pair\"\n\
             published_in = \"this project, from data/mixtures/designated.toml\"\n",
        );
        for (k, (a, b)) in self.pairs.iter().enumerate() {
            let start = self.starts[k];
            if start.neighbour.is_none() && doubt[2 * k + 1] > DECIDED * PRIOR_GAMMA {
                continue;
            }
            let from =
                start.neighbour.map_or(String::new(), |(a, b)| format!("start = [\"{a}\", \"{b}\"]\n"));
            let cas = |name: &str| refrigerant::find(name).map_or("", |r| r.fluid().components()[0].cas);
            let holders: Vec<String> = self
                .blends
                .iter()
                .filter(|r| {
                    let has = |name| r.composition().iter().any(|(part, _)| *part == name);
                    has(*a) && has(*b)
                })
                .map(|r| format!("\"{}\"", r.designation()))
                .collect();
            let _ = write!(
                out,
                "\n[[pair]]\nnames = [\"{a}\", \"{b}\"]\ncas = [\"{}\", \"{}\"]\nsource = \"anchored\"\nfit = \"anchored\"\n\
                 beta_t = {:.5}\ngamma_t = {:.5}\nbeta_v = {:?}\ngamma_v = {:?}\n{from}doubt = [{:.4}, {:.4}]\nblends = [{}]\n",
                cas(a),
                cas(b),
                start.beta_t + values[2 * k],
                start.gamma_t + values[2 * k + 1],
                start.beta_v,
                start.gamma_v,
                doubt[2 * k],
                doubt[2 * k + 1],
                holders.join(", ")
            );
        }
        out
    }
}

/// Returns the solution of a positive definite system.
fn solve(mut a: Vec<Vec<f64>>, mut b: Vec<f64>) -> Vec<f64> {
    let n = b.len();
    for k in 0..n {
        let (above, below) = a.split_at_mut(k + 1);
        for (offset, row) in below.iter_mut().enumerate() {
            let factor = row[k] / above[k][k];
            for (value, top) in row[k..].iter_mut().zip(&above[k][k..]) {
                *value -= factor * top;
            }
            b[k + 1 + offset] -= factor * b[k];
        }
    }
    for k in (0..n).rev() {
        let known: f64 = (k + 1..n).map(|j| a[k][j] * b[j]).sum();
        b[k] = (b[k] - known) / a[k][k];
    }
    b
}
