//! States from a temperature and an entropy, and from an enthalpy and an entropy.

use crate::apart::Lasting;
use crate::caloric::Caloric;
use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::Side;
use crate::isobar::{Found, Known};
use crate::model::Scratch;
use crate::state::{BEYOND, Root, State};
use crate::two_phase::{First, Given};
use units::math::{exp, ln};
use units::{AbsolutePressure, Fraction, SpecificEnthalpy, SpecificEntropy, Temperature};

/// The lowest pressure at which an isentrope or isotherm is looked for, in pascal.
const THINNEST: f64 = 1e-3;

/// How many pressures all over the bracket are tried where liquids part on the way.
const ACROSS: u32 = 64;

/// Returns the `k`th of a sequence that fills the space between 0 and 1: its binary digits in reverse.
fn spread(k: u32) -> f64 {
    f64::from(k.reverse_bits()) / 4294967296.0
}

impl Fluid {
    /// Returns the state at a temperature and an entropy, given on the reference of this composition.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, far above the range of the equations, or for a value that is no number.
    pub fn state_at_temperature_entropy(
        &self,
        temperature: Temperature,
        entropy: SpecificEntropy,
    ) -> Result<State, FluidError> {
        let (t, s) = (temperature.kelvin(), entropy.joule_per_kilogram_kelvin());
        if !s.is_finite() {
            return Err(FluidError::NotANumber);
        }
        self.check(1.0, Some(t))?;
        let s = s * self.inner.molar_mass - self.reference()?.entropy;
        let mut room = Scratch::default();
        let line = |side| match self.line_at_temperature(side, t) {
            Ok(found) => Ok(Some(found)),
            Err(FluidError::AboveCriticalTemperature { .. }) => Ok(None),
            Err(other) => Err(other),
        };
        let bubble = match line(Side::Bubble) {
            // Two liquids say nothing of the vapour, nor of what is left beside it.
            Err(why @ (FluidError::TwoLiquids | FluidError::NotConverged)) if !self.is_pure() => {
                let dew = line(Side::Dew)?.ok_or(why)?;
                let end = self.bulk(&dew);
                if end.entropy <= s {
                    return self.along_isotherm(s, &end, Root::Light, &mut room);
                }
                if let Ok(split) = self.two(First::Temperature(t), Given::Entropy(s), None, &dew) {
                    return self.two_phase_state(split.vapour_state.pressure, &split);
                }
                // Pressed together it may be one liquid.
                let start = self.density_at(2.0 * dew.pressure, t, Root::Dense, None, &mut room);
                let start = self.single(start.ok_or(why)?, t, &mut room);
                return self.along_isotherm(s, &start, Root::Dense, &mut room);
            }
            other => other?,
        };
        if let Some(bubble) = bubble {
            let end = self.bulk(&bubble);
            if s <= end.entropy {
                return self.along_isotherm(s, &end, Root::Dense, &mut room);
            }
            let dew = if self.is_pure() {
                Some(self.other_line(Side::Dew, bubble.pressure, &bubble)?)
            } else {
                line(Side::Dew)?
            };
            if let Some(dew) = dew {
                let end = self.bulk(&dew);
                if s >= end.entropy {
                    return self.along_isotherm(s, &end, Root::Light, &mut room);
                }
                let split = self.two(First::Temperature(t), Given::Entropy(s), Some(&bubble), &dew)?;
                let p = split.vapour_state.pressure;
                return self.two_phase_state(p, &split);
            }
        }
        // Above the bubble line's end. Where the dew line reaches further, vapour below its pressure, and what is above
        // it is settled by pressure.
        if let Some(dew) = line(Side::Dew)? {
            let end = self.bulk(&dew);
            if s >= end.entropy {
                return self.along_isotherm(s, &end, Root::Light, &mut room);
            }
            return self.isotherm_by_pressure(t, s, dew.pressure);
        }
        let inner = &self.inner;
        let z = 1e5 / (inner.model.gas_constant * t);
        let start = self.single(z, t, &mut room);
        self.along_isotherm(s, &start, Root::Light, &mut room)
    }

    /// Returns the single-phase state along an isotherm, from a point of it: entropy falls with density.
    fn along_isotherm(
        &self,
        s: f64,
        from: &Caloric,
        root: Root,
        room: &mut Scratch,
    ) -> Result<State, FluidError> {
        let t = from.temperature;
        let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut c = *from;
        for _ in 0..100 {
            let value = s - c.entropy;
            // Too much entropy here: the state is denser.
            if value < 0.0 {
                low = ln(c.density);
            } else {
                high = ln(c.density);
            }
            let slope = c.entropy_derivatives().0;
            let mut step = (value / slope).clamp(-2.0, 1.0);
            if slope >= 0.0 || !slope.is_finite() {
                step = if value < 0.0 { 0.1 } else { -0.1 };
            }
            let here = ln(c.density);
            let mut next = here + step;
            if next <= low || next >= high {
                next = if low.is_finite() && high.is_finite() { 0.5 * (low + high) } else { next };
            }
            let moved = (next - here).abs();
            c = self.single(exp(next), t, room);
            if !c.pressure.is_finite() || c.density > 1e6 {
                return Err(FluidError::PressureTooHigh {
                    asked: AbsolutePressure::from_pascal(f64::MAX),
                    highest: AbsolutePressure::from_pascal(self.inner.highest_pressure),
                });
            }
            // Newton's last step squared; or all that rounding leaves of the bracket.
            if moved < 1e-10 || high - low < 1e-12 {
                if c.p_ln_rho.is_nan() || c.p_ln_rho <= 0.0 || c.pressure <= 0.0 {
                    return Err(FluidError::Unstable);
                }
                self.check(c.pressure, Some(t))?;
                self.lasts(&c)?;
                return self.single_state(&c, None, root);
            }
        }
        Err(FluidError::NotConverged)
    }

    /// Returns the state of an isotherm between the ends of the bubble and of the dew line, by its pressure.
    fn isotherm_by_pressure(&self, t: f64, s: f64, from: f64) -> Result<State, FluidError> {
        let temperature = Temperature::from_kelvin(t);
        let at = |p: f64| self.state_at_pressure_temperature(AbsolutePressure::from_pascal(p), temperature);
        let m = self.inner.molar_mass;
        let offset = self.reference()?.entropy;
        let molar = |state: &State| state.entropy.joule_per_kilogram_kelvin() * m - offset;
        let (mut low, mut high) = (ln(from), ln(BEYOND * self.inner.highest_pressure));
        let mut last = None;
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            let state = match at(exp(middle)) {
                Ok(state) => state,
                // Pressed together some liquids part: the state lies below.
                Err(FluidError::TwoLiquids) => {
                    high = middle;
                    continue;
                }
                Err(other) => return Err(other),
            };
            if molar(&state) > s {
                low = middle;
            } else {
                high = middle;
            }
            last = Some(state);
            if high - low < 1e-13 {
                break;
            }
        }
        last.ok_or(FluidError::NotConverged)
    }

    /// Returns the state at an enthalpy and an entropy, both given on the reference of this composition.
    ///
    /// # Errors
    /// [`FluidError`] if the fluid would be solid, far above the range of the equations, or for a value that is no number.
    pub fn state_at_enthalpy_entropy(
        &self,
        enthalpy: SpecificEnthalpy,
        entropy: SpecificEntropy,
    ) -> Result<State, FluidError> {
        let (h, s) = (enthalpy.joule_per_kilogram(), entropy.joule_per_kilogram_kelvin());
        if !h.is_finite() || !s.is_finite() {
            return Err(FluidError::NotANumber);
        }
        let (m, reference) = (self.inner.molar_mass, self.reference()?);
        let (h, s) = (h * m - reference.enthalpy, s * m - reference.entropy);
        // At one entropy enthalpy rises with pressure, by the volume: one answer, by Newton's method within a bracket.
        let highest = BEYOND * self.inner.highest_pressure;
        let (mut low, mut high) = (ln(THINNEST), ln(highest));
        let mut ln_p = ln(1e6_f64.min(0.5 * highest));
        let mut why = FluidError::NotConverged;
        // The last pressure that had an answer, and how often one had none since.
        let (mut good, mut lost, mut near) = (None, 0, None);
        for _ in 0..300 {
            let p = exp(ln_p);
            let found = match self.found_at_pressure_and(p, Known::Entropy(s)) {
                Ok(found) => found,
                // Too little pressure for this entropy, or too much.
                Err(error @ (FluidError::Solid { .. } | FluidError::BelowTriplePressure { .. })) => {
                    why = error;
                    low = ln_p;
                    ln_p = 0.5 * (low + high);
                    if high - low < 1e-12 {
                        break;
                    }
                    continue;
                }
                Err(error @ FluidError::TooHot { .. }) => {
                    why = error;
                    high = ln_p;
                    ln_p = 0.5 * (low + high);
                    if high - low < 1e-12 {
                        break;
                    }
                    continue;
                }
                // On the way only: nearer to where there was an answer, or to a denser state.
                Err(FluidError::TwoLiquids | FluidError::NotConverged) if lost < 16 + ACROSS => {
                    lost += 1;
                    if lost == 16 {
                        near = self.pressure_by_any(h, s);
                    }
                    // Liquids part between here and the answer, on its other side: around where it would be if they
                    // could not, farther and farther, and all over the bracket.
                    ln_p = match near {
                        _ if lost < 16 => good.map_or(ln_p + 0.7, |good: f64| 0.5 * (good + ln_p)).min(high),
                        Some(near) if lost % 2 == 0 => {
                            let far = 1e-4 * exp(0.3 * f64::from(lost - 16));
                            (if lost % 4 == 0 { near + far } else { near - far }).clamp(low, high)
                        }
                        _ => low + (high - low) * spread(lost - 15),
                    };
                    continue;
                }
                Err(other) => return Err(other),
            };
            good = Some(ln_p);
            // What the entropy found still lacks, at this pressure, is enthalpy too: dh = T ds.
            let lacks = s - found.mean(|c| c.entropy);
            let missing = h - found.mean(|c| c.enthalpy) - found.mean(|c| c.temperature) * lacks;
            let volume = found.mean(|c| 1.0 / c.density);
            if missing > 0.0 {
                low = ln_p;
            } else {
                high = ln_p;
            }
            // In a liquid the volume hardly changes; in a gas the pressure is a power of the enthalpy.
            let straight = missing / (volume * p);
            let step = if straight > 0.5 { units::math::ln_1p(straight) } else { straight.max(-1.5) };
            let step = if step.abs() < 0.3 { units::math::ln_1p(straight) } else { step };
            let mut next = ln_p + step;
            if next <= low || next >= high {
                next = 0.5 * (low + high);
            }
            let moved = (next - ln_p).abs();
            if moved < 4e-15 || (straight.abs() < 1e-13) || high - low < 1e-14 {
                return match found {
                    Found::Single(c, root) => self.finish_single(p, &c, root),
                    Found::Two(split) => self.two_phase_state(p, &split),
                };
            }
            ln_p = next;
        }
        if high >= ln(highest) {
            why = FluidError::PressureTooHigh {
                asked: AbsolutePressure::from_pascal(exp(ln_p)),
                highest: AbsolutePressure::from_pascal(self.inner.highest_pressure),
            };
        }
        Err(why)
    }

    /// Returns the logarithm of the pressure of an enthalpy and an entropy, as if no liquid would separate.
    fn pressure_by_any(&self, h: f64, s: f64) -> Option<f64> {
        let (mut low, mut high) = (ln(THINNEST), ln(BEYOND * self.inner.highest_pressure));
        let mut ln_p = ln(1e5);
        for _ in 0..60 {
            let p = exp(ln_p);
            match self.found_by(p, Known::Entropy(s), Lasting::Any) {
                Ok(found) => {
                    let missing = h - found.mean(|c| c.enthalpy);
                    if missing > 0.0 {
                        low = ln_p;
                    } else {
                        high = ln_p;
                    }
                    let step = missing / (found.mean(|c| 1.0 / c.density) * p);
                    let step = step.clamp(-0.9, 3.0);
                    let next = ln_p + units::math::ln_1p(step);
                    let next = if next <= low || next >= high { 0.5 * (low + high) } else { next };
                    if (next - ln_p).abs() < 1e-7 {
                        return Some(next);
                    }
                    ln_p = next;
                }
                Err(FluidError::Solid { .. } | FluidError::BelowTriplePressure { .. }) => {
                    low = ln_p;
                    ln_p = 0.5 * (low + high);
                }
                Err(FluidError::TooHot { .. }) => {
                    high = ln_p;
                    ln_p = 0.5 * (low + high);
                }
                Err(_) => return None,
            }
        }
        None
    }

    /// Returns the state of two phases at a temperature, `quality` being the vapour's share of the mass.
    ///
    /// # Errors
    /// [`FluidError::AboveCriticalTemperature`] where there is no saturation; [`FluidError::QualityOutOfRange`]; others as
    /// for bubble and dew points.
    pub fn state_at_temperature_quality(
        &self,
        temperature: Temperature,
        quality: Fraction,
    ) -> Result<State, FluidError> {
        let (t, q) = (temperature.kelvin(), quality.ratio());
        if !(0.0..=1.0).contains(&q) {
            return Err(FluidError::QualityOutOfRange { asked: q });
        }
        let split = self.split_at(t, Given::Quality(q))?;
        self.two_phase_state(split.vapour_state.pressure, &split)
    }
}
