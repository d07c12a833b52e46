//! The terms of the residual Helmholtz energy, evaluated in the logarithms of tau and delta.
//!
//! Every component and every departure function owns a run of terms. What depends on tau alone is computed first
//! ([`Terms::at_tau`]) and kept: in an isothermal solve at fixed composition it never changes, and what is left
//! ([`Terms::at_delta`]) is one exponential for each exponent `l` and each Gaussian.

use crate::coefficients::{Gao, Gaussian, NonAnalytic, Power};
use crate::lanes::{Lanes, Work};
use core::ops::Range;
use units::math::{exp, exp_all, ln, pow};

/// Residual Helmholtz energy and its derivatives in `u = ln tau` and `w = ln delta`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Value {
    /// The energy, in units of RT.
    pub a: f64,
    /// First derivative in u.
    pub u: f64,
    /// First derivative in w.
    pub w: f64,
    /// Second derivative in u.
    pub uu: f64,
    /// Mixed derivative.
    pub uw: f64,
    /// Second derivative in w.
    pub ww: f64,
}

/// Power terms of one owner that share the exponents `d` and `l`.
#[derive(Clone, Debug)]
struct Group {
    shape: usize,
    members: Range<usize>,
}

/// A part in delta that terms of any owner may share: `delta^d exp(-delta^l)`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Shape {
    d: usize,
    l: usize,
}

/// A power of tau: `n`, and `n` times the exponent once and twice.
#[derive(Clone, Copy, Debug)]
struct Member {
    n: [f64; 3],
    t: f64,
    m: f64,
    exponent: usize,
}

/// A term whose part in delta is `delta^d exp(-eta (delta - epsilon)^2)`.
#[derive(Clone, Copy, Debug)]
struct Bell {
    n: f64,
    t: f64,
    d: usize,
    eta: f64,
    epsilon: f64,
    beta: f64,
    gamma: f64,
    /// Present in the form of R-717.
    b: Option<f64>,
}

#[derive(Clone, Debug)]
struct Owner {
    groups: Range<usize>,
    bells: Range<usize>,
    non_analytic: Range<usize>,
}

/// The terms of several owners in flat arrays.
#[derive(Clone, Debug, Default)]
pub struct Terms {
    exponents: Vec<f64>,
    shapes: Vec<Shape>,
    groups: Vec<Group>,
    members: Vec<Member>,
    /// Powers of tau with `exp(-tau^m)` besides, and the group that each belongs to.
    fading: Vec<(usize, Member)>,
    bells: Vec<Bell>,
    non_analytic: Vec<NonAnalytic>,
    owners: Vec<Owner>,
    highest_d: usize,
    /// The exponents l that occur, but 0.
    l_used: Vec<usize>,
    lanes: Lanes,
}

/// What depends on tau alone, and room for what depends on delta.
#[derive(Clone, Debug, Default)]
pub struct AtTau {
    tau: f64,
    /// Exponents, then exponentials: of the powers of tau, then of the bells.
    powers: Vec<f64>,
    /// For each group and each bell: the sum of its tau parts and their first and second derivatives in u.
    groups: Vec<[f64; 3]>,
    bells: Vec<[f64; 3]>,
    /// Exponents, then exponentials: of `-delta^l`, then of the bells.
    falls: Vec<f64>,
    /// For each shape: its value, first and second derivative in w.
    shapes: Vec<[f64; 3]>,
}

const HIGHEST_D: usize = 24;
const HIGHEST_L: usize = 8;

impl Terms {
    /// Adds an owner and returns its number.
    pub fn add(
        &mut self,
        power: &[Power],
        gaussian: &[Gaussian],
        gao: &[Gao],
        non_analytic: &[NonAnalytic],
    ) -> usize {
        let first_group = self.groups.len();
        let first_bell = self.bells.len();
        let first_other = self.non_analytic.len();
        let mut sorted: Vec<&Power> = power.iter().collect();
        units::sort_small(&mut sorted, |a, b| (a.l, a.d).cmp(&(b.l, b.d)));
        for term in sorted {
            let (d, l) = (usize::from(term.d), usize::from(term.l));
            assert!(d < HIGHEST_D && l < HIGHEST_L, "exponent of delta beyond the table");
            let n = [term.n, term.n * term.t, term.n * term.t * term.t];
            let member = Member { n, t: term.t, m: term.m, exponent: self.exponent(term.t) };
            self.highest_d = self.highest_d.max(d).max(l);
            if l > 0 && !self.l_used.contains(&l) {
                self.l_used.push(l);
            }
            let shape = self.shape(Shape { d, l });
            let end = self.members.len();
            if self.groups[first_group..].last().is_none_or(|group| group.shape != shape) {
                self.groups.push(Group { shape, members: end..end });
            }
            let last = self.groups.len() - 1;
            if member.m != 0.0 {
                self.fading.push((last, member));
            } else {
                self.members.push(member);
                self.groups[last].members.end = end + 1;
            }
        }
        for g in gaussian {
            self.push_bell(g.n, g.t, g.d, g.eta, g.epsilon, g.beta, g.gamma, None);
        }
        for g in gao {
            self.push_bell(g.n, g.t, g.d, -g.eta, g.epsilon, g.beta, g.gamma, Some(g.b));
        }
        self.non_analytic.extend_from_slice(non_analytic);
        self.owners.push(Owner {
            groups: first_group..self.groups.len(),
            bells: first_bell..self.bells.len(),
            non_analytic: first_other..self.non_analytic.len(),
        });
        self.owners.len() - 1
    }

    fn push_bell(
        &mut self,
        n: f64,
        t: f64,
        d: u8,
        eta: f64,
        epsilon: f64,
        beta: f64,
        gamma: f64,
        b: Option<f64>,
    ) {
        let d = usize::from(d);
        assert!(d < HIGHEST_D, "exponent of delta beyond the table");
        self.highest_d = self.highest_d.max(d);
        self.bells.push(Bell { n, t, d, eta, epsilon, beta, gamma, b });
    }

    fn exponent(&mut self, t: f64) -> usize {
        self.exponents.iter().position(|known| *known == t).unwrap_or_else(|| {
            self.exponents.push(t);
            self.exponents.len() - 1
        })
    }

    fn shape(&mut self, shape: Shape) -> usize {
        self.shapes.iter().position(|known| *known == shape).unwrap_or_else(|| {
            self.shapes.push(shape);
            self.shapes.len() - 1
        })
    }

    /// Returns the terms of one owner whose value is the sum of all owners' values, each times its weight.
    pub fn merged(&self, weights: &[f64]) -> Self {
        let (mut power, mut gaussian, mut gao, mut non_analytic) = (vec![], vec![], vec![], vec![]);
        for (owner, weight) in self.owners.iter().zip(weights) {
            for at in owner.groups.clone() {
                let group = &self.groups[at];
                let Shape { d, l } = self.shapes[group.shape];
                // Both are less than the tables are long, and came from such numbers.
                let (d, l) = (d as u8, l as u8);
                let fading = self.fading.iter().filter(|(own, _)| *own == at).map(|(_, member)| member);
                let members = self.members[group.members.clone()].iter().chain(fading);
                power.extend(members.map(|k| Power { n: weight * k.n[0], t: k.t, d, l, m: k.m }));
            }
            for bell in &self.bells[owner.bells.clone()] {
                let Bell { n, t, d, eta, epsilon, beta, gamma, b } = *bell;
                let (n, d) = (weight * n, d as u8);
                match b {
                    None => gaussian.push(Gaussian { n, t, d, eta, epsilon, beta, gamma }),
                    Some(b) => gao.push(Gao { n, t, d, eta: -eta, epsilon, beta, gamma, b }),
                }
            }
            let others = &self.non_analytic[owner.non_analytic.clone()];
            non_analytic.extend(others.iter().map(|term| NonAnalytic { n: weight * term.n, ..*term }));
        }
        // What different owners have in common becomes one term.
        let shape = |k: &Power| (k.l, k.d, k.t.to_bits(), k.m.to_bits());
        units::sort_small(&mut power, |a, b| shape(a).cmp(&shape(b)));
        power.dedup_by(|next, kept| {
            let same = shape(next) == shape(kept);
            if same {
                kept.n += next.n;
            }
            same
        });
        let mut out = Self::default();
        out.add(&power, &gaussian, &gao, &non_analytic);
        out
    }

    /// Returns how many owners there are.
    pub fn owners(&self) -> usize {
        self.owners.len()
    }

    /// Prepares `at` for `tau`, unless it already is.
    pub fn at_tau(&self, tau: f64, at: &mut AtTau) {
        // The same tau computed from scaled densities differs by rounding only.
        if (tau - at.tau).abs() <= 8e-16 * tau && at.groups.len() == self.groups.len() {
            return;
        }
        self.lanes.run(OfTau { terms: self, tau, at });
    }

    #[inline(always)]
    fn at_new_tau(&self, tau: f64, at: &mut AtTau) {
        at.tau = tau;
        let ln_tau = ln(tau);
        at.powers.clear();
        at.powers.reserve(self.exponents.len() + self.bells.len());
        at.powers.extend(self.exponents.iter().map(|t| t * ln_tau));
        at.powers.extend(self.bells.iter().map(|bell| {
            let x = tau - bell.gamma;
            let square = bell.beta * x * x;
            bell.t * ln_tau + bell.b.map_or(-square, |b| 1.0 / (square + b))
        }));
        exp_all(&mut at.powers);
        let (powers, bells) = at.powers.split_at(self.exponents.len());
        at.groups.clear();
        at.groups.resize(self.groups.len(), [0.0; 3]);
        for (group, sums) in self.groups.iter().zip(&mut at.groups) {
            let (mut s, mut su, mut suu) = (0.0, 0.0, 0.0);
            for member in &self.members[group.members.clone()] {
                let power = powers[member.exponent];
                s += member.n[0] * power;
                su += member.n[1] * power;
                suu += member.n[2] * power;
            }
            *sums = [s, su, suu];
        }
        for (group, member) in &self.fading {
            let tau_m = exp(member.m * ln_tau);
            let value = member.n[0] * powers[member.exponent] * exp(-tau_m);
            let first = member.t - member.m * tau_m;
            let sums = &mut at.groups[*group];
            sums[0] += value;
            sums[1] += value * first;
            sums[2] += value * (first * first - member.m * member.m * tau_m);
        }
        at.bells.clear();
        at.bells.reserve(self.bells.len());
        for (bell, exponential) in self.bells.iter().zip(bells) {
            let x = tau - bell.gamma;
            let (first, bend);
            if let Some(b) = bell.b {
                let q = bell.beta * x * x + b;
                let q1 = 2.0 * bell.beta * x;
                let d1 = -q1 / (q * q);
                let d2 = 2.0 * q1 * q1 / (q * q * q) - 2.0 * bell.beta / (q * q);
                first = tau * d1;
                bend = tau * (d1 + tau * d2);
            } else {
                first = -2.0 * bell.beta * tau * x;
                bend = -2.0 * bell.beta * tau * (2.0 * tau - bell.gamma);
            }
            let value = bell.n * exponential;
            let first = bell.t + first;
            at.bells.push([value, value * first, value * (first * first + bend)]);
        }
    }

    /// Writes the value of every owner at `delta`, with the tau that `at` was prepared for.
    pub fn at_delta(&self, delta: f64, at: &mut AtTau, out: &mut [Value]) {
        self.lanes.run(OfDelta { terms: self, delta, at, out });
    }

    #[inline(always)]
    fn at_any_delta(&self, delta: f64, at: &mut AtTau, out: &mut [Value]) {
        let mut power = [1.0; HIGHEST_D];
        for d in 1..=self.highest_d {
            power[d] = power[d - 1] * delta;
        }
        at.falls.clear();
        at.falls.reserve(self.l_used.len() + self.bells.len());
        at.falls.extend(self.l_used.iter().map(|l| -power[*l]));
        at.falls.extend(self.bells.iter().map(|bell| {
            let y = delta - bell.epsilon;
            -bell.eta * y * y
        }));
        exp_all(&mut at.falls);
        let (falls, bell_falls) = at.falls.split_at(self.l_used.len());
        // exp(-delta^l), l delta^l and l^2 delta^l.
        let mut decay = [[1.0, 0.0, 0.0]; HIGHEST_L];
        for (l, fall) in self.l_used.iter().zip(falls) {
            let first = *l as f64 * power[*l];
            decay[*l] = [*fall, first, *l as f64 * first];
        }
        at.shapes.clear();
        at.shapes.extend(self.shapes.iter().map(|shape| {
            let [fall, first, second] = decay[shape.l];
            let f = power[shape.d] * fall;
            let e = shape.d as f64 - first;
            [f, f * e, f * (e * e - second)]
        }));
        for (owner, value) in self.owners.iter().zip(out.iter_mut()) {
            let mut sum = Value::default();
            for (group, [s, su, suu]) in
                self.groups[owner.groups.clone()].iter().zip(&at.groups[owner.groups.clone()])
            {
                let [f, fw, fww] = at.shapes[group.shape];
                sum.a += f * s;
                sum.u += f * su;
                sum.uu += f * suu;
                sum.w += fw * s;
                sum.uw += fw * su;
                sum.ww += fww * s;
            }
            let bells = owner.bells.clone();
            let parts = at.bells[bells.clone()].iter().zip(&bell_falls[bells.clone()]);
            for (bell, ([s, su, suu], fall)) in self.bells[bells].iter().zip(parts) {
                let y = delta - bell.epsilon;
                let f = power[bell.d] * fall;
                let e = bell.d as f64 - 2.0 * bell.eta * delta * y;
                let fe = f * e;
                sum.a += f * s;
                sum.u += f * su;
                sum.uu += f * suu;
                sum.w += fe * s;
                sum.uw += fe * su;
                sum.ww += (fe * e - f * 2.0 * bell.eta * delta * (2.0 * delta - bell.epsilon)) * s;
            }
            for term in &self.non_analytic[owner.non_analytic.clone()] {
                non_analytic(term, at.tau, delta, &mut sum);
            }
            *value = sum;
        }
    }
}

/// [`Terms::at_new_tau`], compiled once for every kind of lanes.
struct OfTau<'a> {
    terms: &'a Terms,
    tau: f64,
    at: &'a mut AtTau,
}

impl Work for OfTau<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        self.terms.at_new_tau(self.tau, self.at);
    }
}

/// [`Terms::at_any_delta`], compiled once for every kind of lanes.
struct OfDelta<'a> {
    terms: &'a Terms,
    delta: f64,
    at: &'a mut AtTau,
    out: &'a mut [Value],
}

impl Work for OfDelta<'_> {
    type Output = ();

    #[inline(always)]
    fn run(self) {
        self.terms.at_any_delta(self.delta, self.at, self.out);
    }
}

/// Adds a term of the equation for R-744.
///
/// Source: Span, Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509, table 32, and Wagner, Pruss, J. Phys. Chem. Ref. Data
/// 31 (2002) 387, table 6.5, for the derivatives.
fn non_analytic(term: &NonAnalytic, tau: f64, delta: f64, sum: &mut Value) {
    let NonAnalytic { n, a, b, beta, capital_a, capital_b, capital_c: c, capital_d: d } = *term;
    let y = tau - 1.0;
    let mut x = delta - 1.0;
    if x.abs() < 1e-9 {
        // The powers of x are regular here only in the limit.
        x = if x < 0.0 { -1e-9 } else { 1e-9 };
    }
    let xx = x * x;
    let exponent = -c * xx - d * y * y;
    if exponent < -80.0 {
        return;
    }
    let delta = 1.0 + x;
    let psi = exp(exponent);
    let x_beta = pow(xx, 0.5 / beta);
    let x_a = pow(xx, a);
    let theta = (1.0 - tau) + capital_a * x_beta;
    let big = theta * theta + capital_b * x_a;
    let big_b = pow(big, b);
    let big_b1 = big_b / big;
    let big_b2 = big_b1 / big;
    let big_x = x * (capital_a * theta * (2.0 / beta) * (x_beta / xx) + 2.0 * capital_b * a * (x_a / xx));
    let big_xx = big_x / x
        + xx * (4.0 * capital_b * a * (a - 1.0) * (x_a / (xx * xx))
            + 2.0 * (capital_a / beta) * (capital_a / beta) * (x_beta / xx) * (x_beta / xx)
            + capital_a * theta * (4.0 / beta) * (0.5 / beta - 1.0) * (x_beta / (xx * xx)));
    let f_x = b * big_b1 * big_x;
    let f_xx = b * (big_b1 * big_xx + (b - 1.0) * big_b2 * big_x * big_x);
    let f_y = -2.0 * theta * b * big_b1;
    let f_yy = 2.0 * b * big_b1 + 4.0 * theta * theta * b * (b - 1.0) * big_b2;
    let f_xy = -capital_a * b * (2.0 / beta) * big_b1 * x * (x_beta / xx)
        - 2.0 * theta * b * (b - 1.0) * big_b2 * big_x;
    let psi_x = -2.0 * c * x * psi;
    let psi_xx = (2.0 * c * xx - 1.0) * 2.0 * c * psi;
    let psi_y = -2.0 * d * y * psi;
    let psi_yy = (2.0 * d * y * y - 1.0) * 2.0 * d * psi;
    let psi_xy = 4.0 * c * d * x * y * psi;
    let value = n * big_b * delta * psi;
    let v_x = n * (big_b * (psi + delta * psi_x) + f_x * delta * psi);
    let v_xx =
        n * (big_b * (2.0 * psi_x + delta * psi_xx) + 2.0 * f_x * (psi + delta * psi_x) + f_xx * delta * psi);
    let v_y = n * delta * (f_y * psi + big_b * psi_y);
    let v_yy = n * delta * (f_yy * psi + 2.0 * f_y * psi_y + big_b * psi_yy);
    let v_xy = n
        * (big_b * (psi_y + delta * psi_xy)
            + delta * f_x * psi_y
            + f_y * (psi + delta * psi_x)
            + f_xy * delta * psi);
    sum.a += value;
    sum.u += tau * v_y;
    sum.w += delta * v_x;
    sum.uu += tau * (v_y + tau * v_yy);
    sum.ww += delta * (v_x + delta * v_xx);
    sum.uw += tau * delta * v_xy;
}
