//! First guesses: saturation pressures and densities of the components, and what follows for a mixture.

use crate::coefficients::{Ancillary, Component};
use crate::model::{MOST, Model, PerComponent};
use units::math::{exp, ln, pow};

impl Ancillary {
    /// Returns the equation's value at `temperature` below its own `T_r`.
    pub(crate) fn at(&self, temperature: f64) -> f64 {
        let theta = (1.0 - temperature / self.temperature).max(0.0);
        let sum: f64 = if theta > 0.0 {
            let ln_theta = ln(theta);
            self.terms.iter().map(|(n, t)| n * exp(t * ln_theta)).sum()
        } else {
            0.0
        };
        if self.one_plus {
            self.value * (1.0 + sum)
        } else {
            let f = if self.over_temperature { self.temperature / temperature } else { 1.0 };
            self.value * exp(f * sum)
        }
    }
}

/// Returns ln of the saturation pressure of a component, continued beyond its critical point by its acentric factor.
///
/// The continuation is the vapour-pressure rule of Wilson, 1968; a first guess only.
pub(crate) fn ln_saturation_pressure(c: &Component, temperature: f64) -> f64 {
    if temperature < 0.995 * c.critical_temperature {
        let value = c.saturation_pressure.at(temperature.max(0.9 * c.triple_point));
        let low = c.triple_point * 0.9;
        if temperature < low { ln(value) + wilson(c, temperature) - wilson(c, low) } else { ln(value) }
    } else {
        wilson(c, temperature)
    }
}

fn wilson(c: &Component, temperature: f64) -> f64 {
    ln(c.critical_pressure) + 5.373 * (1.0 + c.acentric_factor) * (1.0 - c.critical_temperature / temperature)
}

/// Returns a guess of the molar density of liquid of mole fractions `x`, by corresponding states.
pub(crate) fn liquid_density(model: &Model, x: &[f64], temperature: f64) -> f64 {
    let (t_r, rho_r) = model.reducing(x);
    let reduced = (temperature / t_r).min(0.985);
    let mut delta = 0.0;
    for (c, x) in model.components.iter().zip(x) {
        let own = (reduced * c.reducing_temperature).max(0.9 * c.triple_point);
        delta += x * c.liquid_density.at(own.min(0.99 * c.liquid_density.temperature)) / c.reducing_density;
    }
    delta * rho_r
}

/// Returns a guess of the molar density of vapour at `pressure` and `temperature`, by a van der Waals second coefficient.
pub(crate) fn vapour_density(model: &Model, x: &[f64], pressure_over_rt: f64, temperature: f64) -> f64 {
    let (t_r, rho_r) = model.reducing(x);
    // The second coefficient in units of 1/rho_r, after Pitzer and Curl's leading terms.
    let r = t_r / temperature;
    let b = (0.1445 - 0.330 * r - 0.1385 * r * r - 0.0121 * r * r * r) * 3.6;
    // p/RT = rho + b rho^2, kept below the density at which it would turn.
    let q = 1.0 + 4.0 * b * pressure_over_rt / rho_r;
    if q > 0.04 { 2.0 * pressure_over_rt / (1.0 + pow(q, 0.5)) } else { 1.6 * pressure_over_rt }
}

/// Returns the Raoult guess of K-values times pressure, that is the components' saturation pressures.
pub(crate) fn saturation_pressures(model: &Model, temperature: f64) -> PerComponent {
    let mut out = [0.0; MOST];
    for (out, c) in out.iter_mut().zip(&model.components) {
        *out = exp(ln_saturation_pressure(c, temperature));
    }
    out
}

/// Which line a saturation lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    /// The bulk is liquid.
    Bubble,
    /// The bulk is vapour.
    Dew,
}

/// Returns the ideal (Raoult) pressure of a line at `temperature`.
pub(crate) fn raoult_pressure(side: Side, x: &[f64], saturation: &PerComponent) -> f64 {
    match side {
        Side::Bubble => x.iter().zip(saturation).map(|(x, p)| x * p).sum(),
        Side::Dew => 1.0 / x.iter().zip(saturation).map(|(x, p)| x / p).sum::<f64>(),
    }
}

/// Returns the temperature at which the ideal (Raoult) pressure of a line is `pressure`.
pub(crate) fn raoult_temperature(model: &Model, side: Side, x: &[f64], pressure: f64) -> f64 {
    let target = ln(pressure);
    let (t_r, _) = model.reducing(x);
    // ln p is nearly straight in 1/T: a secant from two temperatures around the answer.
    let value = |t: f64| ln(raoult_pressure(side, x, &saturation_pressures(model, t)));
    let (mut a, mut b) = (0.7 * t_r, 0.8 * t_r);
    let (mut fa, mut fb) = (value(a) - target, value(b) - target);
    for _ in 0..12 {
        let slope = (fb - fa) / (1.0 / b - 1.0 / a);
        if !slope.is_finite() || slope == 0.0 {
            break;
        }
        let inverse = (1.0 / b - fb / slope).clamp(0.5 / t_r, 6.0 / t_r);
        (a, fa) = (b, fb);
        b = 1.0 / inverse;
        if (b - a).abs() < 1e-4 * b {
            break;
        }
        fb = value(b) - target;
    }
    b
}
