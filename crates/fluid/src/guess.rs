//! First guesses: saturation pressures and densities of the components, and what follows for a mixture.

use crate::coefficients::{Ancillary, Component};
use crate::model::{MOST, Model, PerComponent};
use units::math::{exp, exp_all, ln, sqrt};

impl Ancillary {
    /// Returns the sum of `n theta^t`, and of `n t theta^t`, at ln(theta).
    fn sums(&self, ln_theta: f64) -> (f64, f64) {
        let (mut sum, mut first) = (0.0, 0.0);
        let mut powers = [0.0; 8];
        for terms in self.terms.chunks(powers.len()) {
            let powers = &mut powers[..terms.len()];
            for (power, (_, t)) in powers.iter_mut().zip(terms) {
                *power = t * ln_theta;
            }
            exp_all(powers);
            for (power, (n, t)) in powers.iter().zip(terms) {
                sum += n * power;
                first += n * t * power;
            }
        }
        (sum, first)
    }

    /// Returns the equation's value at `temperature` below its own `T_r`.
    pub(crate) fn at(&self, temperature: f64) -> f64 {
        let theta = (1.0 - temperature / self.temperature).max(0.0);
        let sum = if theta > 0.0 { self.sums(ln(theta)).0 } else { 0.0 };
        if self.one_plus {
            self.value * (1.0 + sum)
        } else {
            let f = if self.over_temperature { self.temperature / temperature } else { 1.0 };
            self.value * exp(f * sum)
        }
    }

    /// Returns ln of the value at `temperature` below `T_r`, and its derivative in 1/T, where `ln_value` is ln of its `value`.
    fn ln_at(&self, temperature: f64, ln_value: f64) -> (f64, f64) {
        let theta = 1.0 - temperature / self.temperature;
        let (sum, first) = self.sums(ln(theta));
        // -T^2 d(sum)/dT
        let bend = temperature * temperature / (self.temperature * theta) * first;
        if self.one_plus {
            (ln_value + ln(1.0 + sum), bend / (1.0 + sum))
        } else if self.over_temperature {
            let f = self.temperature / temperature;
            (ln_value + f * sum, self.temperature * sum + f * bend)
        } else {
            (ln_value + sum, bend)
        }
    }
}

/// Returns ln of the saturation pressure of a component and its derivative in 1/T, continued beyond its critical point by
/// its acentric factor.
///
/// The continuation is the vapour-pressure rule of Wilson, 1968; a first guess only.
fn ln_saturation_pressure(c: &Component, logarithms: Logarithms, temperature: f64) -> (f64, f64) {
    if temperature >= 0.995 * c.critical_temperature {
        return wilson(c, logarithms, temperature);
    }
    let low = c.triple_point * 0.9;
    let at = |temperature: f64| c.saturation_pressure.ln_at(temperature, logarithms.saturation_value);
    if temperature >= low {
        return at(temperature);
    }
    let (here, slope) = wilson(c, logarithms, temperature);
    (at(low).0 + here - wilson(c, logarithms, low).0, slope)
}

fn wilson(c: &Component, logarithms: Logarithms, temperature: f64) -> (f64, f64) {
    let k = 5.373 * (1.0 + c.acentric_factor);
    let t_c = c.critical_temperature;
    (logarithms.critical_pressure + k * (1.0 - t_c / temperature), -k * t_c)
}

/// Logarithms of a component's numbers that every guess needs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Logarithms {
    critical_pressure: f64,
    saturation_value: f64,
}

impl Logarithms {
    pub fn of(c: &Component) -> Self {
        Self { critical_pressure: ln(c.critical_pressure), saturation_value: ln(c.saturation_pressure.value) }
    }
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
    if q > 0.04 { 2.0 * pressure_over_rt / (1.0 + sqrt(q)) } else { 1.6 * pressure_over_rt }
}

/// Returns the Raoult guess of K-values times pressure, that is the components' saturation pressures.
pub(crate) fn saturation_pressures(model: &Model, temperature: f64) -> PerComponent {
    let mut out = [0.0; MOST];
    for (out, (c, logarithms)) in out.iter_mut().zip(model.components.iter().zip(&model.logarithms)) {
        *out = ln_saturation_pressure(c, *logarithms, temperature).0;
    }
    exp_all(&mut out[..model.len()]);
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
    // ln p is nearly straight in 1/T: Newton's method, with the cheap rule until it is near.
    let sign = if side == Side::Bubble { 1.0 } else { -1.0 };
    let of = || model.components.iter().zip(&model.logarithms);
    let step = |inverse: f64, own: fn(&Component, Logarithms, f64) -> (f64, f64)| {
        let t = 1.0 / inverse;
        let (mut parts, mut slopes) = ([0.0; MOST], [0.0; MOST]);
        for (i, (c, logarithms)) in of().enumerate() {
            let (value, slope) = own(c, *logarithms, t);
            (parts[i], slopes[i]) = (sign * value, slope);
        }
        exp_all(&mut parts[..x.len()]);
        let (mut sum, mut slope) = (0.0, 0.0);
        for (i, x) in x.iter().enumerate() {
            sum += x * parts[i];
            slope += x * parts[i] * slopes[i];
        }
        let next = inverse - (sign * ln(sum) - target) * sum / slope;
        if next.is_finite() { next.clamp(0.5 / t_r, 6.0 / t_r) } else { inverse }
    };
    // As if the mean of the logarithms were the logarithm of the mean: where the cheap rule's own line begins.
    let (mut at_zero, mut slope) = (0.0, 0.0);
    for (x, (c, logarithms)) in x.iter().zip(of()) {
        let k = 5.373 * (1.0 + c.acentric_factor);
        at_zero += x * (logarithms.critical_pressure + k);
        slope += x * k * c.critical_temperature;
    }
    let mut inverse = ((at_zero - target) / slope).clamp(0.5 / t_r, 6.0 / t_r);
    for _ in 0..2 {
        inverse = step(inverse, wilson);
    }
    for _ in 0..8 {
        let before = inverse;
        inverse = step(inverse, ln_saturation_pressure);
        // Newton's method squares what is left, and a guess is all that is wanted.
        if (inverse - before).abs() < 2e-3 * inverse {
            break;
        }
    }
    1.0 / inverse
}
