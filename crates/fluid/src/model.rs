//! The multi-fluid model: what holds for a set of components, whatever their composition.
//!
//! The residual Helmholtz energy of a volume, over RT, is `psi = sum rho_i a_i + (1/rho) sum rho_i rho_j F_ij a_ij`, with
//! every `a` a function of tau and delta, and tau and delta functions of the partial densities. The reducing functions
//! are forms of degree two in the partial densities.
//!
//! Source: Kunz, Wagner, J. Chem. Eng. Data 57 (2012) 3032, equations 8 to 17.

use crate::caloric::IdealTerms;
use crate::coefficients::{Component, Pair, Reducing};
use crate::guess::Logarithms;
use crate::terms::{AtTau, Terms, Value};
use units::math::{cbrt, ln, sqrt};

/// The most components that a fluid may have.
pub const MOST: usize = 8;

/// The gas constant of a mixture, in joule per mole and kelvin (exact in the SI).
pub const GAS_CONSTANT: f64 = 8.31446261815324;

/// One number for each component.
pub type PerComponent = [f64; MOST];

/// Bend of a reducing function for a pair: `2 c a b (a + b) / (beta^2 a + b)`.
#[derive(Clone, Copy, Debug)]
struct Bend {
    c: f64,
    beta_squared: f64,
}

#[derive(Clone, Copy, Debug)]
struct PairSlot {
    i: usize,
    j: usize,
    temperature: Bend,
    volume: Bend,
    /// Owner of the departure terms, and their factor.
    departure: Option<(usize, f64)>,
}

/// Components and pairs, ready to be evaluated.
#[derive(Clone, Debug)]
pub struct Model {
    pub components: Vec<Component>,
    pub gas_constant: f64,
    pub ideal: IdealTerms,
    pub(crate) logarithms: Vec<Logarithms>,
    pairs: Vec<PairSlot>,
    terms: Terms,
}

/// The model at one composition: the terms of all components and pairs as one sum, for phases of that composition.
///
/// What a state needs (pressure, energy, entropy and their derivatives in density and temperature) costs a third this
/// way; what differs from component to component is not had.
#[derive(Clone, Debug)]
pub struct Whole {
    pub reducing_temperature: f64,
    pub reducing_density: f64,
    /// Sum of `x ln(x / rho_r)` over the components, each with its own reducing density.
    pub ideal_mixing: f64,
    terms: Terms,
}

/// The residual part of a phase of fixed composition.
#[derive(Clone, Copy, Debug)]
pub struct Mean {
    /// Molar density.
    pub rho: f64,
    /// Residual energy of a volume over RT, and its first and second derivative in ln tau.
    pub psi: f64,
    pub psi_u: f64,
    pub psi_uu: f64,
    /// Pressure over RT, its derivative in ln T at fixed density, and in ln(density).
    pub z: f64,
    pub z_t: f64,
    pub z_ln_rho: f64,
}

impl Whole {
    /// Returns the residual part at a molar density and a temperature.
    pub fn at(&self, rho: f64, temperature: f64, scratch: &mut Scratch) -> Mean {
        let mut out = [Value::default()];
        self.terms.at_tau(self.reducing_temperature / temperature, &mut scratch.at);
        self.terms.at_delta(rho / self.reducing_density, &mut scratch.at, &mut out);
        let [v] = out;
        let z = rho * (1.0 + v.w);
        Mean {
            rho,
            psi: rho * v.a,
            psi_u: rho * v.u,
            psi_uu: rho * v.uu,
            z,
            z_t: -rho * v.uw,
            z_ln_rho: z + rho * v.ww,
        }
    }
}

/// Room for the parts of an evaluation that are kept between calls; one for each phase.
#[derive(Clone, Debug, Default)]
pub struct Scratch {
    at: AtTau,
    values: Vec<Value>,
    pub(crate) ideal: Vec<f64>,
}

/// The residual Helmholtz energy of a phase at given partial densities, and its derivatives.
#[derive(Clone, Copy, Debug)]
pub struct Residual {
    /// Sum of the partial densities, in mole per cubic metre.
    pub rho: f64,
    /// Residual energy of a volume over RT, in mole per cubic metre.
    pub psi: f64,
    /// Derivatives of `psi` in the partial densities: residual chemical potentials over RT.
    pub g: PerComponent,
    /// Second derivatives of `psi` in the partial densities.
    pub h: [PerComponent; MOST],
    /// Derivatives of `g` in ln T.
    pub g_t: PerComponent,
    /// Pressure over RT, in mole per cubic metre.
    pub z: f64,
    /// Derivatives of `z` in the partial densities.
    pub z_rho: PerComponent,
    /// Derivative of `z` in ln T.
    pub z_t: f64,
    /// First and second derivative of `psi` in ln tau, at constant densities.
    pub psi_u: f64,
    pub psi_uu: f64,
}

/// A form of degree two with its first and second derivatives, in logarithms.
struct Form {
    value: f64,
    first: PerComponent,
    second: [PerComponent; MOST],
}

impl Model {
    /// Returns the model of `components`, of which there are at least one and at most [`MOST`].
    pub fn new(components: Vec<Component>, pair: impl Fn(usize, usize) -> Pair) -> Self {
        debug_assert!(!components.is_empty() && components.len() <= MOST);
        let mut terms = Terms::default();
        for c in &components {
            terms.add(c.power, c.gaussian, c.gao, c.non_analytic);
        }
        let mut pairs = Vec::new();
        for i in 0..components.len() {
            for j in i + 1..components.len() {
                let (a, b) = (&components[i], &components[j]);
                let given = pair(i, j);
                let (ta, tb) = (a.reducing_temperature, b.reducing_temperature);
                let (va, vb) = (1.0 / a.reducing_density, 1.0 / b.reducing_density);
                let root = cbrt(va) + cbrt(vb);
                let (mean_t, mean_v) = (sqrt(ta * tb), root * root * root / 8.0);
                let (temperature, volume) = match given.reducing {
                    Reducing::BetaGamma { beta_t, gamma_t, beta_v, gamma_v } => (
                        Bend { c: beta_t * gamma_t * mean_t, beta_squared: beta_t * beta_t },
                        Bend { c: beta_v * gamma_v * mean_v, beta_squared: beta_v * beta_v },
                    ),
                    Reducing::XiZeta { xi, zeta } => (
                        Bend { c: 0.5 * (ta + tb + xi), beta_squared: 1.0 },
                        Bend { c: 0.5 * (va + vb + zeta), beta_squared: 1.0 },
                    ),
                    Reducing::Estimated => {
                        (Bend { c: mean_t, beta_squared: 1.0 }, Bend { c: mean_v, beta_squared: 1.0 })
                    }
                };
                let departure = (given.factor != 0.0 && !given.departure.is_empty())
                    .then(|| (terms.add(given.departure, &[], &[], &[]), given.factor));
                pairs.push(PairSlot { i, j, temperature, volume, departure });
            }
        }
        let gas_constant = match components.as_slice() {
            [only] => only.gas_constant,
            _ => GAS_CONSTANT,
        };
        let ideal = IdealTerms::new(&components);
        let logarithms = components.iter().map(Logarithms::of).collect();
        Self { components, gas_constant, ideal, logarithms, pairs, terms }
    }

    /// Returns the model at mole fractions `x`.
    pub fn whole(&self, x: &[f64]) -> Whole {
        let mut weights = vec![0.0; self.terms.owners()];
        weights[..x.len()].copy_from_slice(x);
        for pair in &self.pairs {
            if let Some((owner, factor)) = pair.departure {
                weights[owner] = factor * x[pair.i] * x[pair.j];
            }
        }
        let (reducing_temperature, reducing_density) = self.reducing(x);
        let ideal_mixing = self.components.iter().zip(x).map(|(c, x)| x * ln(x / c.reducing_density)).sum();
        Whole { reducing_temperature, reducing_density, ideal_mixing, terms: self.terms.merged(&weights) }
    }

    /// Returns how many components there are.
    pub fn len(&self) -> usize {
        self.components.len()
    }

    /// Returns the reducing temperature, in kelvin, and density, in mole per cubic metre, of mole fractions `x`.
    pub fn reducing(&self, x: &[f64]) -> (f64, f64) {
        let temperature = self.form(x, |c| c.reducing_temperature, |p| p.temperature).value;
        let volume = self.form(x, |c| 1.0 / c.reducing_density, |p| p.volume).value;
        (temperature, 1.0 / volume)
    }

    fn form(&self, rho: &[f64], own: impl Fn(&Component) -> f64, bend: impl Fn(&PairSlot) -> Bend) -> Form {
        let n = self.len();
        let mut form = Form { value: 0.0, first: [0.0; MOST], second: [[0.0; MOST]; MOST] };
        for i in 0..n {
            let y = own(&self.components[i]);
            form.value += rho[i] * rho[i] * y;
            form.first[i] += 2.0 * rho[i] * y;
            form.second[i][i] += 2.0 * y;
        }
        for pair in &self.pairs {
            let (i, j) = (pair.i, pair.j);
            let (a, b) = (rho[i], rho[j]);
            let Bend { c, beta_squared: k } = bend(pair);
            let c = 2.0 * c;
            if k == 1.0 {
                form.value += c * a * b;
                form.first[i] += c * b;
                form.first[j] += c * a;
                form.second[i][j] += c;
                form.second[j][i] += c;
                continue;
            }
            let inverse = 1.0 / (k * a + b);
            let f = a * b * (a + b) * inverse;
            let f_a = ((2.0 * a + b) * b - f * k) * inverse;
            let f_b = ((a + 2.0 * b) * a - f) * inverse;
            let f_ab = (2.0 * (a + b) - f_a - f_b * k) * inverse;
            form.value += c * f;
            form.first[i] += c * f_a;
            form.first[j] += c * f_b;
            form.second[i][i] += c * 2.0 * (b - f_a * k) * inverse;
            form.second[j][j] += c * 2.0 * (a - f_b) * inverse;
            form.second[i][j] += c * f_ab;
            form.second[j][i] += c * f_ab;
        }
        form
    }

    /// Returns the residual part at partial densities `rho`, in mole per cubic metre, and `temperature`, in kelvin.
    pub fn residual(&self, rho: &[f64], temperature: f64, scratch: &mut Scratch) -> Residual {
        let n = self.len();
        let rho = &rho[..n];
        let total: f64 = rho.iter().sum();
        let over = 1.0 / total;
        let q_t = self.form(rho, |c| c.reducing_temperature, |p| p.temperature);
        let q_v = self.form(rho, |c| 1.0 / c.reducing_density, |p| p.volume);
        let tau = q_t.value * over * over / temperature;
        let delta = q_v.value * over;
        scratch.values.resize(self.terms.owners(), Value::default());
        self.terms.at_tau(tau, &mut scratch.at);
        self.terms.at_delta(delta, &mut scratch.at, &mut scratch.values);
        let own = &scratch.values[..n];

        // A(u, w; rho) = sum rho_k a_k + (1/rho) sum rho_i rho_j F a_ij, and its derivatives.
        let mut sum = Value::default();
        let mut a_i = [0.0; MOST];
        let mut a_iu = [0.0; MOST];
        let mut a_iw = [0.0; MOST];
        let mut a_ij = [[0.0; MOST]; MOST];
        for i in 0..n {
            add(&mut sum, rho[i], &own[i]);
            a_i[i] = own[i].a;
            a_iu[i] = own[i].u;
            a_iw[i] = own[i].w;
        }
        let mut departure = Value::default();
        let mut any = false;
        let (mut d_i, mut d_iu, mut d_iw) = ([0.0; MOST], [0.0; MOST], [0.0; MOST]);
        for pair in &self.pairs {
            let Some((owner, factor)) = pair.departure else { continue };
            any = true;
            let (i, j) = (pair.i, pair.j);
            let v = &scratch.values[owner];
            add(&mut departure, factor * rho[i] * rho[j], v);
            d_i[i] += factor * rho[j] * v.a;
            d_i[j] += factor * rho[i] * v.a;
            d_iu[i] += factor * rho[j] * v.u;
            d_iu[j] += factor * rho[i] * v.u;
            d_iw[i] += factor * rho[j] * v.w;
            d_iw[j] += factor * rho[i] * v.w;
            a_ij[i][j] += factor * v.a * over;
            a_ij[j][i] += factor * v.a * over;
        }
        if any {
            add(&mut sum, over, &departure);
            let over2 = over * over;
            for i in 0..n {
                a_i[i] += d_i[i] * over - departure.a * over2;
                a_iu[i] += d_iu[i] * over - departure.u * over2;
                a_iw[i] += d_iw[i] * over - departure.w * over2;
                for j in 0..n {
                    a_ij[i][j] += 2.0 * departure.a * over2 * over - (d_i[i] + d_i[j]) * over2;
                }
            }
        }

        let (inv_t, inv_v) = (1.0 / q_t.value, 1.0 / q_v.value);
        let mut u_i = [0.0; MOST];
        let mut w_i = [0.0; MOST];
        for i in 0..n {
            u_i[i] = q_t.first[i] * inv_t - 2.0 * over;
            w_i[i] = q_v.first[i] * inv_v - over;
        }
        let mut out = Residual {
            rho: total,
            psi: sum.a,
            g: [0.0; MOST],
            h: [[0.0; MOST]; MOST],
            g_t: [0.0; MOST],
            z: total + sum.w,
            z_rho: [0.0; MOST],
            z_t: -sum.uw,
            psi_u: sum.u,
            psi_uu: sum.uu,
        };
        for i in 0..n {
            out.g[i] = a_i[i] + sum.u * u_i[i] + sum.w * w_i[i];
            out.g_t[i] = -(a_iu[i] + sum.uu * u_i[i] + sum.uw * w_i[i]);
            out.z_rho[i] = 1.0 + a_iw[i] + sum.uw * u_i[i] + sum.ww * w_i[i];
        }
        let over2 = over * over;
        for i in 0..n {
            for j in i..n {
                let u_ij =
                    q_t.second[i][j] * inv_t - q_t.first[i] * q_t.first[j] * inv_t * inv_t + 2.0 * over2;
                let w_ij = q_v.second[i][j] * inv_v - q_v.first[i] * q_v.first[j] * inv_v * inv_v + over2;
                let value = a_ij[i][j]
                    + a_iu[i] * u_i[j]
                    + a_iu[j] * u_i[i]
                    + a_iw[i] * w_i[j]
                    + a_iw[j] * w_i[i]
                    + sum.uu * u_i[i] * u_i[j]
                    + sum.uw * (u_i[i] * w_i[j] + u_i[j] * w_i[i])
                    + sum.ww * w_i[i] * w_i[j]
                    + sum.u * u_ij
                    + sum.w * w_ij;
                out.h[i][j] = value;
                out.h[j][i] = value;
            }
        }
        out
    }
}

impl Residual {
    /// Returns the derivative of `z` in ln(density) at fixed composition.
    pub fn z_ln_rho(&self, rho: &[f64]) -> f64 {
        rho.iter().zip(&self.z_rho).map(|(rho, z)| rho * z).sum()
    }

    /// Returns whether the phase is locally stable: every small separation costs energy.
    pub fn is_stable(&self, rho: &[f64]) -> bool {
        // Cholesky of d2(total)/dlnrho dlnrho', scaled: rho_i delta_ij + rho_i rho_j h_ij, over sqrt(rho_i rho_j).
        let n = rho.len();
        let mut l = [[0.0; MOST]; MOST];
        for i in 0..n {
            for j in 0..=i {
                let mut value = self.h[i][j] * sqrt(rho[i] * rho[j]);
                if i == j {
                    value += 1.0;
                }
                for k in 0..j {
                    value -= l[i][k] * l[j][k];
                }
                if i == j {
                    if value <= 0.0 || !value.is_finite() {
                        return false;
                    }
                    l[i][i] = sqrt(value);
                } else {
                    l[i][j] = value / l[j][j];
                }
            }
        }
        true
    }
}

fn add(sum: &mut Value, factor: f64, v: &Value) {
    sum.a += factor * v.a;
    sum.u += factor * v.u;
    sum.w += factor * v.w;
    sum.uu += factor * v.uu;
    sum.uw += factor * v.uw;
    sum.ww += factor * v.ww;
}
