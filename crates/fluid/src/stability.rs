//! Whether a single phase would rather be two: the tangent-plane test.
//!
//! A phase of composition z lasts if no other phase w at its pressure and temperature has
//! `sum w_i (ln f_i(w) - ln f_i(z)) < 0`. Stationary compositions are sought by successive substitution from liquids rich
//! in each component and from a vapour. A negative value anywhere on the way is proof already.
//!
//! Source: Michelsen, Fluid Phase Equilibria 9 (1982) 1 (from memory).

use crate::density::density;
use crate::fluid::Fluid;
use crate::guess;
use crate::model::{MOST, Model, Scratch};
use crate::state::Root;
use units::math::{exp, ln};
use units::{Density, Temperature};

/// Below this, in units of RT, the distance from the tangent plane is no rounding: in the cold a liquid's pressure, found
/// from its density, has few digits.
const BELOW: f64 = -5e-8;

/// The same for who asks from outside: what the states pass by a hair is not refused by another rounding.
const PLAINLY_BELOW: f64 = -1e-7;

const SUBSTITUTIONS: usize = 60;

/// Returns whether the phase of mole fractions `z` would separate.
pub(crate) fn separates(model: &Model, z: &[f64], rho: f64, t: f64) -> bool {
    separates_by(model, z, rho, t, BELOW, true)
}

/// Returns whether a boiling liquid would separate into two liquids: beside its own vapour, which is as good as it is.
pub(crate) fn parts(model: &Model, z: &[f64], rho: f64, t: f64) -> bool {
    separates_by(model, z, rho, t, BELOW, false)
}

fn separates_by(model: &Model, z: &[f64], rho: f64, t: f64, below: f64, vapour: bool) -> bool {
    let n = model.len();
    if n < 2 {
        return false;
    }
    let mut room = Scratch::default();
    let mut partial = [0.0; MOST];
    for i in 0..n {
        partial[i] = z[i] * rho;
    }
    let here = model.residual(&partial[..n], t, &mut room);
    if vapour && !here.is_stable(&partial[..n]) {
        return true;
    }
    let p = here.z * model.gas_constant * t;
    // ln f_i over RT.
    let mut level = [0.0; MOST];
    for i in 0..n {
        level[i] = ln(partial[i]) + here.g[i];
    }
    let saturation = guess::saturation_pressures(model, t);
    for trial in 0..n + usize::from(vapour) {
        let mut w = [0.0; MOST];
        let root = if trial == n { Root::Light } else { Root::Dense };
        for i in 0..n {
            w[i] = match trial {
                rich if rich == n => z[i] * saturation[i] / p,
                rich if rich == i => 0.97,
                rich => 0.03 * z[i] / (1.0 - z[rich]),
            };
        }
        let mut own = None;
        for _ in 0..SUBSTITUTIONS {
            let sum: f64 = w[..n].iter().sum();
            if !sum.is_finite() || sum <= 0.0 {
                break;
            }
            for value in &mut w[..n] {
                *value = (*value / sum).max(1e-60);
            }
            own = density(model, &w[..n], p, t, root, own, &mut room);
            let Some(rho_w) = own else { break };
            // In the cold an equation of state has loops between its two phases; what lies there is no phase.
            let whole = match root {
                Root::Light => rises(model, &w[..n], 0.0, rho_w, t, &mut room),
                Root::Dense => {
                    let expected = guess::liquid_density(model, &w[..n], t);
                    rho_w > 0.95 * expected || rises(model, &w[..n], rho_w, expected, t, &mut room)
                }
            };
            if !whole {
                break;
            }
            for i in 0..n {
                partial[i] = w[i] * rho_w;
            }
            let there = model.residual(&partial[..n], t, &mut room);
            let (mut distance, mut moved, mut apart) = (0.0, 0.0_f64, (rho_w / rho - 1.0).abs());
            for i in 0..n {
                let above = ln(partial[i]) + there.g[i] - level[i];
                distance += w[i] * above;
                apart = apart.max((w[i] - z[i]).abs());
                moved = moved.max((w[i] * above).abs());
                w[i] *= exp((-above).clamp(-20.0, 20.0));
            }
            if distance < below {
                return true;
            }
            // Settled, or come back to where it started.
            if moved < 1e-10 || apart < 1e-5 {
                break;
            }
        }
    }
    false
}

/// Returns whether pressure rises with density all the way between two densities.
fn rises(model: &Model, w: &[f64], low: f64, high: f64, t: f64, room: &mut Scratch) -> bool {
    let mut partial = [0.0; MOST];
    (1..=8).all(|k| {
        for (partial, w) in partial.iter_mut().zip(w) {
            *partial = w * (low + (high - low) * f64::from(k) / 8.0);
        }
        model.residual(&partial[..w.len()], t, room).z_ln_rho(&partial[..w.len()]) > 0.0
    })
}

impl Fluid {
    /// Returns whether a single phase of this density and temperature would separate into two.
    ///
    /// The test looks for a better phase among liquids rich in each component and a vapour; `true` is proof, `false` the
    /// absence of one.
    #[must_use]
    pub fn would_separate(&self, density: Density, temperature: Temperature) -> bool {
        let inner = &self.inner;
        let rho = density.kilogram_per_cubic_metre() / inner.molar_mass;
        separates_by(&inner.model, &inner.x, rho, temperature.kelvin(), PLAINLY_BELOW, true)
    }

    /// Returns the logarithm of each component's fugacity in pascal, for a single phase of this density.
    ///
    /// In the order of the fluid's components; minus infinity for one that is absent.
    #[must_use]
    pub fn ln_fugacities(&self, density: Density, temperature: Temperature) -> Vec<f64> {
        let inner = &self.inner;
        let n = inner.x.len();
        let t = temperature.kelvin();
        let rho = density.kilogram_per_cubic_metre() / inner.molar_mass;
        let mut partial = [0.0; MOST];
        for i in 0..n {
            partial[i] = inner.x[i] * rho;
        }
        let r = inner.model.residual(&partial[..n], t, &mut Scratch::default());
        let rt = inner.model.gas_constant * t;
        let mut present = (0..n).map(|i| ln(partial[i] * rt) + r.g[i]);
        self.mole_fractions()
            .iter()
            .map(|x| if *x > 0.0 { present.next().unwrap_or(f64::NEG_INFINITY) } else { f64::NEG_INFINITY })
            .collect()
    }
}
