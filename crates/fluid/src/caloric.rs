//! Energy, entropy and their derivatives of a single phase.

use crate::coefficients::{Component, Ideal};
use crate::model::{Model, Residual};
use units::math::{exp, exp_m1, ln, pow};

/// Ideal part of a component without ln(delta), and its derivatives in ln tau.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct IdealValue {
    pub f: f64,
    pub u: f64,
    pub uu: f64,
}

/// Returns the ideal part of a component at `temperature`.
pub(crate) fn ideal(c: &Component, temperature: f64) -> IdealValue {
    let tau = c.reducing_temperature / temperature;
    let mut sum = IdealValue::default();
    for term in c.ideal {
        match *term {
            Ideal::Lead { a1, a2 } => {
                sum.f += a1 + a2 * tau;
                sum.u += a2 * tau;
                sum.uu += a2 * tau;
            }
            Ideal::LogTau { a } => {
                sum.f += a * ln(tau);
                sum.u += a;
            }
            Ideal::Power { n, t } => {
                let v = n * pow(tau, t);
                sum.f += v;
                sum.u += t * v;
                sum.uu += t * t * v;
            }
            Ideal::PlanckEinstein { n, t } => {
                let y = t * tau;
                let e = exp(-y);
                let below = -exp_m1(-y);
                sum.f += n * ln(below);
                sum.u += n * y * e / below;
                sum.uu += n * (y * e / below - y * y * e / (below * below));
            }
            Ideal::HeatCapacity { c, t, from } => {
                // A heat capacity c T^t gives f = -c T^t / (t (t + 1)) - c from^(t+1) / ((t + 1) T) + c from^t / t.
                if t == 0.0 {
                    let r = from / temperature;
                    sum.f += c * (1.0 - r + ln(r));
                    sum.u += c * (1.0 - r);
                    sum.uu -= c * r;
                } else {
                    let v = c * pow(temperature, t);
                    let v0 = c * pow(from, t);
                    let r = from / temperature;
                    let linear = v0 * r / (t + 1.0);
                    sum.f += v0 / t - linear - v / (t * (t + 1.0));
                    sum.u += v / (t + 1.0) - linear;
                    sum.uu -= t * v / (t + 1.0) + linear;
                }
            }
        }
    }
    sum
}

/// Molar properties of a single phase, in SI, on the components' own references.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Caloric {
    pub temperature: f64,
    /// Molar density.
    pub density: f64,
    pub pressure: f64,
    pub enthalpy: f64,
    pub entropy: f64,
    pub cv: f64,
    pub cp: f64,
    /// Square of the speed of sound times the molar mass.
    pub mw2: f64,
    /// Derivative of pressure in ln(density), at fixed temperature and composition.
    pub p_ln_rho: f64,
    /// Derivative of pressure in ln T, at fixed density.
    pub p_ln_t: f64,
}

impl Caloric {
    /// Returns the derivatives of molar enthalpy in ln(density) and ln T.
    pub fn enthalpy_derivatives(&self) -> (f64, f64) {
        (
            (self.p_ln_rho - self.p_ln_t) / self.density,
            self.temperature * self.cv + self.p_ln_t / self.density,
        )
    }

    /// Returns the derivatives of molar entropy in ln(density) and ln T.
    pub fn entropy_derivatives(&self) -> (f64, f64) {
        (-self.p_ln_t / (self.density * self.temperature), self.cv)
    }
}

/// Returns the molar properties of the phase whose residual part is `r`.
pub(crate) fn caloric(model: &Model, rho: &[f64], temperature: f64, r: &Residual) -> Caloric {
    let gas = model.gas_constant;
    let rt = gas * temperature;
    let (mut energy, mut entropy, mut cv) = (0.0, 0.0, 0.0);
    for (c, rho_i) in model.components.iter().zip(rho) {
        let x = rho_i / r.rho;
        let f = ideal(c, temperature);
        let own = x * c.gas_constant;
        energy += own * f.u;
        entropy += own * (f.u - f.f) - x * gas * ln(rho_i / c.reducing_density);
        cv -= own * (f.uu - f.u);
    }
    let over = 1.0 / r.rho;
    let energy = temperature * (energy + gas * r.psi_u * over);
    entropy += gas * (r.psi_u - r.psi) * over;
    cv -= gas * (r.psi_uu - r.psi_u) * over;
    let pressure = r.z * rt;
    let p_ln_rho = rt * r.z_ln_rho(rho);
    let p_ln_t = rt * (r.z + r.z_t);
    let cp = cv + p_ln_t * p_ln_t / (temperature * r.rho * p_ln_rho);
    Caloric {
        temperature,
        density: r.rho,
        pressure,
        enthalpy: energy + pressure * over,
        entropy,
        cv,
        cp,
        mw2: cp / cv * p_ln_rho * over,
        p_ln_rho,
        p_ln_t,
    }
}
