//! Above which temperature liquids of some components mix in every proportion.

use crate::coefficients::{Component, Pair};
use crate::density::density;
use crate::guess::{self, Side};
use crate::model::{MOST, Model, PerComponent, Scratch};
use crate::state::Root;
use std::sync::OnceLock;

/// The rungs at which a pair is looked at, parts of the temperature at which its equimolar mixture is reduced.
const HIGHEST: f64 = 0.92;
const LOWEST: f64 = 0.33;
const RUNG: f64 = 0.04;

/// Nearer to the critical temperature of the lighter of two, what is unstable would boil.
const WARMEST: f64 = 0.95;

/// The pressures looked at beside those near boiling, parts of the highest of the equations.
const PRESSURES: [f64; 3] = [0.15, 0.4, 0.8];

/// The proportions looked at.
const PARTS: [f64; 7] = [0.05, 0.15, 0.3, 0.5, 0.7, 0.85, 0.95];

/// Temperatures, in kelvin, above which the liquids of any two of the components mix in every proportion; zero where they do
/// everywhere. Each is found when first asked for.
#[derive(Debug, Default)]
pub(crate) struct MixesAbove {
    /// Near where they boil.
    pub boiling: OnceLock<f64>,
    /// Under pressures up to the highest of the equations, which press some liquids apart.
    pub pressed: OnceLock<f64>,
}

/// Up to this pressure, in pascal, liquids are taken to part where they do near boiling.
pub(crate) const PRESSED: f64 = 4e6;

/// Returns the temperature above which all mix near where they boil.
///
/// By the equations, and looked at in steps: three rungs above the warmest at which some liquid of two components was found to
/// be locally unstable.
pub(crate) fn mixes_above(all: &[Component], pair: impl Fn(usize, usize) -> Pair) -> f64 {
    // Above the bubble line, so that it is liquids that are compared.
    warmest(all, pair, |_, x, saturation| 1.5 * guess::raoult_pressure(Side::Bubble, x, saturation))
}

/// Returns the same under the pressures of [`PRESSURES`].
pub(crate) fn mixes_above_pressed(all: &[Component], pair: impl Fn(usize, usize) -> Pair) -> f64 {
    PRESSURES.into_iter().map(|part| warmest(all, &pair, |limit, _, _| part * limit)).fold(0.0, f64::max)
}

/// Looks at every pair, at the pressure that is made of its highest, of mole fractions and of the saturation pressures.
fn warmest(
    all: &[Component],
    pair: impl Fn(usize, usize) -> Pair,
    pressure: impl Fn(f64, &[f64], &PerComponent) -> f64,
) -> f64 {
    let mut highest = 0.0_f64;
    for i in 0..all.len() {
        for j in i + 1..all.len() {
            let model = Model::new(vec![all[i], all[j]], |_, _| pair(i, j));
            let limit = f64::min(all[i].highest_pressure, all[j].highest_pressure);
            highest = highest
                .max(pair_mixes_above(&model, highest, |x, saturation| pressure(limit, x, saturation)));
        }
    }
    highest
}

/// Returns the same for the two components of `model`, looking at what lies above `beyond` only.
fn pair_mixes_above(model: &Model, beyond: f64, pressure: impl Fn(&[f64], &PerComponent) -> f64) -> f64 {
    let (t_r, _) = model.reducing(&[0.5, 0.5]);
    let lightest = model.components.iter().map(|c| c.critical_temperature).fold(f64::INFINITY, f64::min);
    let mut room = Scratch::default();
    let mut part = HIGHEST;
    while part > LOWEST && part * t_r > beyond {
        let t = part * t_r;
        if t > WARMEST * lightest {
            part -= RUNG;
            continue;
        }
        let saturation = guess::saturation_pressures(model, t);
        for a in PARTS {
            let x = [a, 1.0 - a];
            let p = pressure(&x, &saturation);
            let (_, rho_r) = model.reducing(&x);
            let Some(rho) = density(model, &x, p, t, Root::Dense, None, &mut room) else { continue };
            let mut partial = [0.0; MOST];
            partial[0] = a * rho;
            partial[1] = (1.0 - a) * rho;
            let r = model.residual(&partial[..2], t, &mut room);
            // Too warm for a liquid: the density found is the vapour's.
            if rho > 1.5 * rho_r && !r.is_stable(&partial[..2]) {
                // A rung for what lies between them, one for what pressure adds, one for a third component.
                return t + 3.0 * RUNG * t_r;
            }
        }
        part -= RUNG;
    }
    0.0
}
