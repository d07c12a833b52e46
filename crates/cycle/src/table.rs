//! What the cycle asks of its refrigerant, between nodes of the full model.
//!
//! Saturation stands on an even grid of temperature and of ln p, vapour on a grid of ln p and superheat; four-point
//! Lagrange between. The full model takes some 30 us a state and a steady state asks a hundred times.

use fluid::{Fluid, FluidError};
use units::math::{exp, ln};
use units::{AbsolutePressure, Temperature};

/// The coldest node, in kelvin.
const COLDEST: f64 = 213.15;
/// The warmest node there can be, in kelvin.
const WARMEST: f64 = 349.15;
/// How far below the critical temperature the nodes end, in kelvin.
const BELOW_CRITICAL: f64 = 5.0;
const TEMPERATURES: usize = 64;
const PRESSURES: usize = 36;
const SUPERHEATS: usize = 18;
/// Between two nodes of superheat, in kelvin.
const SUPERHEAT_STEP: f64 = 10.0;

/// Liquid at its bubble line and vapour at its dew line, both at one temperature, and the pressures of the lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// ln of the dew pressure in pascal.
    pub ln_dew: f64,
    /// ln of the bubble pressure in pascal.
    pub ln_bubble: f64,
    /// Enthalpy of the liquid in J/kg.
    pub liquid_enthalpy: f64,
    /// Density of the liquid in kg/m3.
    pub liquid_density: f64,
    /// Enthalpy of the vapour in J/kg.
    pub vapour_enthalpy: f64,
    /// Density of the vapour in kg/m3.
    pub vapour_density: f64,
}

/// Vapour at a pressure and a superheat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vapour {
    /// Enthalpy in J/kg.
    pub enthalpy: f64,
    /// Density in kg/m3.
    pub density: f64,
    /// Entropy in J/(kg K).
    pub entropy: f64,
}

/// A refrigerant between its nodes; made once for a fluid.
#[derive(Clone, Debug)]
pub struct Table {
    first: f64,
    step: f64,
    by_temperature: Vec<[f64; 6]>,
    ln_first: f64,
    ln_step: f64,
    /// Dew and bubble temperature at each ln p.
    by_pressure: Vec<[f64; 2]>,
    /// Enthalpy, ln density, entropy.
    vapour: Vec<[f64; 3]>,
    /// Entropy at the dew line, at each ln p.
    dew_entropy: Vec<[f64; 1]>,
    /// Enthalpy by entropy above the dew line's.
    compressed: Vec<f64>,
}

/// Between two nodes of entropy above the dew line's, in J/(kg K).
const ENTROPY_STEP: f64 = 25.0;

/// The first of four nodes about `x` (in steps), and their weights.
fn weights(x: f64, nodes: usize) -> (usize, [f64; 4]) {
    let at = (x as isize - 1).clamp(0, nodes as isize - 4) as usize;
    let u = x - at as f64;
    let (a, b, c, d) = (u, u - 1.0, u - 2.0, u - 3.0);
    (at, [-b * c * d / 6.0, a * c * d / 2.0, -a * b * d / 2.0, a * b * c / 6.0])
}

fn between<const N: usize>(nodes: &[[f64; N]], x: f64) -> [f64; N] {
    let (at, w) = weights(x, nodes.len());
    std::array::from_fn(|i| (0..4).map(|k| w[k] * nodes[at + k][i]).sum())
}

impl Table {
    /// Returns the table of `fluid`, some 800 states of the full model.
    ///
    /// # Errors
    /// [`FluidError`] where the full model has no state at a node.
    pub fn new(fluid: &Fluid) -> Result<Self, FluidError> {
        let critical = fluid.critical_point()?.0.kelvin();
        let last = WARMEST.min(critical - BELOW_CRITICAL);
        let step = (last - COLDEST) / (TEMPERATURES - 1) as f64;
        let mut by_temperature = Vec::with_capacity(TEMPERATURES);
        for i in 0..TEMPERATURES {
            let t = Temperature::from_kelvin(COLDEST + step * i as f64);
            let (dew, bubble) = (fluid.dew_at_temperature(t)?, fluid.bubble_at_temperature(t)?);
            by_temperature.push([
                ln(dew.pressure.pascal()),
                ln(bubble.pressure.pascal()),
                bubble.enthalpy.joule_per_kilogram(),
                ln(bubble.density.kilogram_per_cubic_metre()),
                dew.enthalpy.joule_per_kilogram(),
                ln(dew.density.kilogram_per_cubic_metre()),
            ]);
        }
        let ln_first = by_temperature[0][1];
        let ln_step = (by_temperature[TEMPERATURES - 1][0] - ln_first) / (PRESSURES - 1) as f64;
        let mut by_pressure = Vec::with_capacity(PRESSURES);
        let mut vapour = Vec::with_capacity(PRESSURES * SUPERHEATS);
        for i in 0..PRESSURES {
            let p = AbsolutePressure::from_pascal(exp(ln_first + ln_step * i as f64));
            let (dew, bubble) = (fluid.dew_at_pressure(p)?, fluid.bubble_at_pressure(p)?);
            by_pressure.push([dew.temperature.kelvin(), bubble.temperature.kelvin()]);
            vapour.push([
                dew.enthalpy.joule_per_kilogram(),
                ln(dew.density.kilogram_per_cubic_metre()),
                dew.entropy.joule_per_kilogram_kelvin(),
            ]);
            for k in 1..SUPERHEATS {
                let t = Temperature::from_kelvin(dew.temperature.kelvin() + SUPERHEAT_STEP * k as f64);
                let state = fluid.state_at_pressure_temperature(p, t)?;
                vapour.push([
                    state.enthalpy.joule_per_kilogram(),
                    ln(state.density.kilogram_per_cubic_metre()),
                    state.entropy.joule_per_kilogram_kelvin(),
                ]);
            }
        }
        let dew_entropy = vapour.iter().step_by(SUPERHEATS).map(|node| [node[2]]).collect();
        let compressed = Vec::new();
        let mut table = Self {
            first: COLDEST,
            step,
            by_temperature,
            ln_first,
            ln_step,
            by_pressure,
            vapour,
            dew_entropy,
            compressed,
        };
        for i in 0..PRESSURES {
            let at = ln_first + ln_step * i as f64;
            for k in 0..SUPERHEATS {
                let entropy = table.dew_entropy[i][0] + ENTROPY_STEP * (k as f64 - 1.0);
                let superheat = table.superheat_where(at, 2, entropy, 20.0);
                table.compressed.push(table.vapour_nodes(at, superheat)[0]);
            }
        }
        Ok(table)
    }

    /// Returns the coldest and the warmest saturation temperature it answers for, in kelvin.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.by_pressure[0][0].max(self.first), self.first + self.step * (TEMPERATURES - 1) as f64)
    }

    /// Returns both saturation lines at `kelvin`.
    #[must_use]
    pub fn saturation(&self, kelvin: f64) -> Saturation {
        let [ln_dew, ln_bubble, liquid_enthalpy, liquid, vapour_enthalpy, vapour] =
            between(&self.by_temperature, (kelvin - self.first) / self.step);
        Saturation {
            ln_dew,
            ln_bubble,
            liquid_enthalpy,
            liquid_density: exp(liquid),
            vapour_enthalpy,
            vapour_density: exp(vapour),
        }
    }

    /// Returns the dew and the bubble temperature at ln p, in kelvin.
    #[must_use]
    pub fn boiling(&self, ln_pressure: f64) -> (f64, f64) {
        let [dew, bubble] = between(&self.by_pressure, (ln_pressure - self.ln_first) / self.ln_step);
        (dew, bubble)
    }

    fn vapour_nodes(&self, ln_pressure: f64, superheat: f64) -> [f64; 3] {
        let (row, w) = weights((ln_pressure - self.ln_first) / self.ln_step, PRESSURES);
        let (column, v) = weights(superheat / SUPERHEAT_STEP, SUPERHEATS);
        let mut sum = [0.0; 3];
        for (i, w) in w.iter().enumerate() {
            let at = (row + i) * SUPERHEATS + column;
            for (node, v) in self.vapour[at..at + 4].iter().zip(&v) {
                for (sum, node) in sum.iter_mut().zip(node) {
                    *sum += w * v * node;
                }
            }
        }
        sum
    }

    /// Returns vapour at ln p and a superheat in kelvin.
    #[must_use]
    pub fn vapour(&self, ln_pressure: f64, superheat: f64) -> Vapour {
        let [enthalpy, ln_density, entropy] = self.vapour_nodes(ln_pressure, superheat);
        Vapour { enthalpy, density: exp(ln_density), entropy }
    }

    /// Returns the superheat at which vapour at ln p has an enthalpy (`of` 0) or an entropy (`of` 2).
    fn superheat_where(&self, ln_pressure: f64, of: usize, value: f64, guess: f64) -> f64 {
        let at = |superheat: f64| self.vapour_nodes(ln_pressure, superheat)[of] - value;
        let (mut a, mut b) = (guess, guess + 4.0);
        let (mut fa, mut fb) = (at(a), at(b));
        for _ in 0..8 {
            if fa == fb {
                break;
            }
            let next = (b - fb * (b - a) / (fb - fa)).clamp(-8.0, 250.0);
            (a, fa, b) = (b, fb, next);
            fb = at(b);
            if (b - a).abs() < 1e-6 {
                break;
            }
        }
        b
    }

    /// Returns the enthalpy after compression to ln p at constant entropy, in J/kg.
    #[must_use]
    pub fn isentropic(&self, entropy: f64, to_ln_pressure: f64) -> f64 {
        let x = (to_ln_pressure - self.ln_first) / self.ln_step;
        let above = (entropy - between(&self.dew_entropy, x)[0]) / ENTROPY_STEP + 1.0;
        let ((row, w), (column, v)) = (weights(x, PRESSURES), weights(above, SUPERHEATS));
        let mut sum = 0.0;
        for (i, w) in w.iter().enumerate() {
            let at = (row + i) * SUPERHEATS + column;
            sum += w * self.compressed[at..at + 4].iter().zip(&v).map(|(node, v)| node * v).sum::<f64>();
        }
        sum
    }

    /// Returns the superheat of vapour at ln p that has this enthalpy, in kelvin.
    #[must_use]
    pub fn superheat_of(&self, ln_pressure: f64, enthalpy: f64) -> f64 {
        self.superheat_where(ln_pressure, 0, enthalpy, 30.0)
    }
}
