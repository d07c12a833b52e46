//! States of one and of two phases, from the quantities that are known.

use crate::caloric::Caloric;
use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::{self, Side};
use crate::isobar::Known;
use crate::model::{MOST, Scratch};
use crate::stability;
use crate::two_phase::{First, Given, Split};
use units::math::sqrt;
use units::{AbsolutePressure, Density, Fraction, SpecificEnthalpy, SpecificEntropy, Speed, Temperature};

/// What a fluid is at a state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Liquid, below the critical pressure.
    Liquid,
    /// Vapour or gas, below the critical pressure.
    Vapour,
    /// Liquid and vapour together.
    TwoPhase,
    /// Above the critical pressure, at whatever temperature: there is no boiling.
    Supercritical,
}

/// One of two phases in equilibrium.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its density.
    pub density: Density,
    /// Its mass fractions, in the order of the fluid's components.
    pub mass_fractions: Vec<f64>,
    /// Its enthalpy, on the reference of the fluid's composition.
    pub enthalpy: SpecificEnthalpy,
    /// Its entropy, on the reference of the fluid's composition.
    pub entropy: SpecificEntropy,
}

/// A state of a fluid.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// What it is.
    pub phase: Phase,
    /// The temperature.
    pub temperature: Temperature,
    /// The pressure.
    pub pressure: AbsolutePressure,
    /// The density; of both phases together where there are two.
    pub density: Density,
    /// The enthalpy, on the reference of the fluid's composition.
    pub enthalpy: SpecificEnthalpy,
    /// The entropy, on the reference of the fluid's composition.
    pub entropy: SpecificEntropy,
    /// The heat capacity at constant pressure; absent in two phases.
    pub cp: Option<SpecificEntropy>,
    /// The heat capacity at constant volume; absent in two phases.
    pub cv: Option<SpecificEntropy>,
    /// The speed of sound; absent in two phases.
    pub speed_of_sound: Option<Speed>,
    /// The vapour's share of the mass; absent in one phase.
    pub quality: Option<Fraction>,
    /// Liquid and vapour; absent in one phase.
    pub parts: Option<Box<[Part; 2]>>,
    /// Whether the state lies beyond the stated range of an equation of state.
    pub extrapolated: bool,
}

/// Which of several densities at a pressure is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Root {
    Dense,
    Light,
}

/// How far beyond the stated range of the equations a state is still answered, and marked.
pub(crate) const BEYOND: f64 = 1.5;

impl Fluid {
    /// Returns the state at a pressure and a temperature.
    ///
    /// A pure fluid exactly on its saturation line is taken as liquid.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, far above the range of the equations, or for a value that is no number.
    pub fn state_at_pressure_temperature(
        &self,
        pressure: AbsolutePressure,
        temperature: Temperature,
    ) -> Result<State, FluidError> {
        let (p, t) = (pressure.pascal(), temperature.kelvin());
        self.check(p, Some(t))?;
        let mut room = Scratch::default();
        let root = match self.phase_at(p, t)? {
            Ok(root) => root,
            Err(split) => return self.two_phase_state(p, &split),
        };
        let density = self.density_at(p, t, root, None, &mut room).ok_or(FluidError::NotConverged)?;
        let found = self.single(density, t, &mut room);
        self.lasts(&found)?;
        self.single_state(&found, Some(p), root)
    }

    /// Returns the state at a pressure and an enthalpy, given on the reference of this composition.
    ///
    /// # Errors
    /// [`FluidError`] if the fluid would be solid, far above the range of the equations, or for a value that is no number.
    pub fn state_at_pressure_enthalpy(
        &self,
        pressure: AbsolutePressure,
        enthalpy: SpecificEnthalpy,
    ) -> Result<State, FluidError> {
        let h = enthalpy.joule_per_kilogram();
        if !h.is_finite() {
            return Err(FluidError::NotANumber);
        }
        self.check(pressure.pascal(), None)?;
        let molar = h * self.inner.molar_mass - self.reference()?.enthalpy;
        self.state_at_pressure_and(pressure.pascal(), Known::Enthalpy(molar))
    }

    /// Returns the state at a pressure and an entropy, given on the reference of this composition.
    ///
    /// # Errors
    /// [`FluidError`] if the fluid would be solid, far above the range of the equations, or for a value that is no number.
    pub fn state_at_pressure_entropy(
        &self,
        pressure: AbsolutePressure,
        entropy: SpecificEntropy,
    ) -> Result<State, FluidError> {
        let s = entropy.joule_per_kilogram_kelvin();
        if !s.is_finite() {
            return Err(FluidError::NotANumber);
        }
        self.check(pressure.pascal(), None)?;
        let molar = s * self.inner.molar_mass - self.reference()?.entropy;
        self.state_at_pressure_and(pressure.pascal(), Known::Entropy(molar))
    }

    /// Returns the state of two phases at a pressure, `quality` being the vapour's share of the mass.
    ///
    /// # Errors
    /// [`FluidError::AboveCriticalPressure`] where there is no saturation; [`FluidError::QualityOutOfRange`]; others as
    /// for bubble and dew points.
    pub fn state_at_pressure_quality(
        &self,
        pressure: AbsolutePressure,
        quality: Fraction,
    ) -> Result<State, FluidError> {
        let (p, q) = (pressure.pascal(), quality.ratio());
        self.check(p, None)?;
        if !(0.0..=1.0).contains(&q) {
            return Err(FluidError::QualityOutOfRange { asked: q });
        }
        let split = match self.line_reaching_below(Side::Bubble, p) {
            Ok(bubble) => {
                let dew = self.other_line(Side::Dew, p, &bubble)?;
                self.split(p, Given::Quality(q), &bubble, &dew)?
            }
            // Where the whole would be two liquids, a part of it may be one.
            Err(FluidError::TwoLiquids | FluidError::NotConverged) if !self.is_pure() => {
                let dew = self.line_reaching_below(Side::Dew, p)?;
                self.two(First::Pressure(p), Given::Quality(q), None, &dew)?
            }
            Err(other) => return Err(other),
        };
        self.check(p, Some(split.temperature))?;
        self.two_phase_state(p, &split)
    }

    /// Returns the state of a single phase at a density and a temperature, such as gas in a vessel.
    ///
    /// # Errors
    /// [`FluidError::Unstable`] where a single phase of this density cannot last; else as for the other states.
    pub fn state_at_density_temperature(
        &self,
        density: Density,
        temperature: Temperature,
    ) -> Result<State, FluidError> {
        let (rho, t) = (density.kilogram_per_cubic_metre() / self.inner.molar_mass, temperature.kelvin());
        if !rho.is_finite() || rho <= 0.0 {
            return Err(FluidError::NotANumber);
        }
        self.check(1.0, Some(t))?;
        let inner = &self.inner;
        let n = inner.x.len();
        let mut partial = [0.0; MOST];
        for i in 0..n {
            partial[i] = inner.x[i] * rho;
        }
        let r = inner.model.residual(&partial[..n], t, &mut Scratch::default());
        let c = self.single(rho, t, &mut Scratch::default());
        if !c.pressure.is_finite() || c.pressure <= 0.0 || !r.is_stable(&partial[..n]) {
            return Err(FluidError::Unstable);
        }
        self.check(c.pressure, Some(t))?;
        let rho_r = self.whole().reducing_density;
        self.single_state(&c, None, if rho < rho_r { Root::Light } else { Root::Dense })
    }

    /// Refuses a single phase that would separate into two liquids, where the components' liquids do not always mix.
    pub(crate) fn lasts(&self, c: &Caloric) -> Result<(), FluidError> {
        let inner = &self.inner;
        if self.may_separate_at(c.temperature, c.pressure)
            && stability::separates(&inner.model, &inner.x, c.density, c.temperature)
        {
            return Err(FluidError::TwoLiquids);
        }
        Ok(())
    }

    pub(crate) fn check(&self, p: f64, t: Option<f64>) -> Result<(), FluidError> {
        let inner = &self.inner;
        if !p.is_finite() || p <= 0.0 {
            return Err(FluidError::NotANumber);
        }
        if p > BEYOND * inner.highest_pressure {
            return Err(FluidError::PressureTooHigh {
                asked: AbsolutePressure::from_pascal(p),
                highest: AbsolutePressure::from_pascal(inner.highest_pressure),
            });
        }
        let Some(t) = t else { return Ok(()) };
        if !t.is_finite() || t <= 0.0 {
            return Err(FluidError::NotANumber);
        }
        if t < inner.triple_point * (1.0 - 1e-9) {
            return Err(FluidError::Solid {
                asked: Temperature::from_kelvin(t),
                triple_point: Temperature::from_kelvin(inner.triple_point),
            });
        }
        if t > BEYOND * inner.hottest {
            return Err(FluidError::TooHot { highest: Temperature::from_kelvin(inner.highest_temperature) });
        }
        Ok(())
    }

    /// Returns which single phase holds at a pressure and temperature, or the two phases.
    fn phase_at(&self, p: f64, t: f64) -> Result<Result<Root, Split>, FluidError> {
        let inner = &self.inner;
        let t_r = self.whole().reducing_temperature;
        if let [only] = inner.model.components.as_slice() {
            if t >= only.critical_temperature {
                return Ok(Ok(Root::Light));
            }
            if p >= only.critical_pressure {
                return Ok(Ok(Root::Dense));
            }
        }
        // Vapour so far from the ideal (Raoult) dew line that no line need be computed.
        let t_dew = guess::raoult_temperature(&inner.model, Side::Dew, &inner.x, p);
        if t_dew < 0.93 * t_r && t > 1.04 * t_dew {
            return Ok(Ok(Root::Light));
        }
        if t < 0.95 * t_r {
            // Far from the ideal (Raoult) lines there is nothing to decide.
            let saturation = guess::saturation_pressures(&inner.model, t);
            let raoult = guess::raoult_pressure(Side::Dew, &inner.x, &saturation);
            if p < 0.4 * raoult {
                return Ok(Ok(Root::Light));
            }
            // Probably vapour: the dew line alone may settle it.
            if p < 0.8 * raoult
                && !self.is_pure()
                && self.line_at_temperature(Side::Dew, t).is_ok_and(|dew| p <= dew.pressure)
            {
                return Ok(Ok(Root::Light));
            }
        }
        let bubble = match self.line_at_temperature(Side::Bubble, t) {
            Ok(bubble) if p >= bubble.pressure => return Ok(Ok(Root::Dense)),
            Ok(bubble) => Some(bubble),
            Err(FluidError::AboveCriticalTemperature { .. }) => None,
            // The vapour's own side may still be asked for.
            Err(error @ (FluidError::TwoLiquids | FluidError::NotConverged)) => {
                let dew = match self.line_at_temperature(Side::Dew, t) {
                    Ok(dew) if p <= dew.pressure => return Ok(Ok(Root::Light)),
                    Ok(dew) if !self.is_pure() => dew,
                    _ => return Err(error),
                };
                // A liquid that lasts, vapour beside a part of it, or two liquids.
                let mut room = Scratch::default();
                let liquid = self.density_at(p, t, Root::Dense, None, &mut room);
                let alone = |rho: f64| !stability::separates(&inner.model, &inner.x, rho, t);
                if liquid.is_some_and(alone) {
                    return Ok(Ok(Root::Dense));
                }
                return match self.two(First::Pressure(p), Given::Temperature(t), None, &dew) {
                    Ok(split) => Ok(Err(split)),
                    Err(_) if liquid.is_some() => Err(FluidError::TwoLiquids),
                    Err(other) => Err(other),
                };
            }
            Err(other) => return Err(other),
        };
        if self.is_pure() {
            return Ok(Ok(Root::Light));
        }
        match (self.line_at_temperature(Side::Dew, t), bubble) {
            (Ok(dew), _) if p <= dew.pressure => return Ok(Ok(Root::Light)),
            (Ok(dew), Some(bubble)) => {
                return self.split(p, Given::Temperature(t), &bubble, &dew).map(Err);
            }
            (Ok(_), None) => {}
            (Err(FluidError::AboveCriticalTemperature { .. }), _) => return Ok(Ok(Root::Light)),
            (Err(other), _) => return Err(other),
        }
        // The narrow region above the bubble line's end, where only the dew line is left.
        let both = self
            .line_at_pressure(Side::Bubble, p)
            .and_then(|b| Ok((b, self.line_at_pressure(Side::Dew, p)?)));
        Ok(both.and_then(|(b, d)| self.split(p, Given::Temperature(t), &b, &d)).map_or(Ok(Root::Light), Err))
    }

    pub(crate) fn finish_single(&self, p: f64, c: &Caloric, root: Root) -> Result<State, FluidError> {
        self.check(p, Some(c.temperature))?;
        self.lasts(c)?;
        self.single_state(c, Some(p), root)
    }

    /// Returns whether `p` lies above the critical pressure.
    fn is_supercritical(&self, p: f64) -> bool {
        let components = &self.inner.model.components;
        if let [only] = components.as_slice() {
            return p > only.critical_pressure;
        }
        let lowest = components.iter().map(|c| c.critical_pressure).fold(f64::INFINITY, f64::min);
        // The critical pressure of a mixture lies above the lowest of its components', or little below it.
        p > 0.8 * lowest && self.critical_point().is_ok_and(|(_, end)| p > end.pascal())
    }

    fn extrapolated(&self, p: f64, t: f64) -> bool {
        p > self.inner.highest_pressure || t > self.inner.highest_temperature
    }

    pub(crate) fn single_state(
        &self,
        c: &Caloric,
        pressure: Option<f64>,
        root: Root,
    ) -> Result<State, FluidError> {
        let reference = self.reference()?;
        let m = self.inner.molar_mass;
        let p = pressure.unwrap_or(c.pressure);
        let phase = match root {
            _ if self.is_supercritical(p) => Phase::Supercritical,
            Root::Dense => Phase::Liquid,
            Root::Light => Phase::Vapour,
        };
        Ok(State {
            phase,
            temperature: Temperature::from_kelvin(c.temperature),
            pressure: AbsolutePressure::from_pascal(p),
            density: Density::from_kilogram_per_cubic_metre(c.density * m),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram((c.enthalpy + reference.enthalpy) / m),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin((c.entropy + reference.entropy) / m),
            cp: Some(SpecificEntropy::from_joule_per_kilogram_kelvin(c.cp / m)),
            cv: Some(SpecificEntropy::from_joule_per_kilogram_kelvin(c.cv / m)),
            speed_of_sound: Some(Speed::from_metre_per_second(sqrt(c.mw2 / m))),
            quality: None,
            parts: None,
            extrapolated: self.extrapolated(p, c.temperature),
        })
    }

    pub(crate) fn two_phase_state(&self, p: f64, split: &Split) -> Result<State, FluidError> {
        let reference = self.reference()?;
        let inner = &self.inner;
        let n = inner.x.len();
        let m = inner.molar_mass;
        let volume = split.mean(|c| 1.0 / c.density);
        let part = |rho: &[f64], c: &Caloric| {
            let mass: f64 = rho.iter().zip(&inner.model.components).map(|(rho, c)| rho * c.molar_mass).sum();
            let own = mass / c.density;
            // Component by component the reference is that of the overall composition, by amount.
            Part {
                density: Density::from_kilogram_per_cubic_metre(mass),
                mass_fractions: self.spread_mass_fractions(rho),
                enthalpy: SpecificEnthalpy::from_joule_per_kilogram((c.enthalpy + reference.enthalpy) / own),
                entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(
                    (c.entropy + reference.entropy) / own,
                ),
            }
        };
        Ok(State {
            phase: Phase::TwoPhase,
            temperature: Temperature::from_kelvin(split.temperature),
            pressure: AbsolutePressure::from_pascal(p),
            density: Density::from_kilogram_per_cubic_metre(m / volume),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram(
                (split.mean(|c| c.enthalpy) + reference.enthalpy) / m,
            ),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(
                (split.mean(|c| c.entropy) + reference.entropy) / m,
            ),
            cp: None,
            cv: None,
            speed_of_sound: None,
            quality: Some(Fraction::from_ratio(split.quality)),
            parts: Some(Box::new([
                part(&split.liquid[..n], &split.liquid_state),
                part(&split.vapour[..n], &split.vapour_state),
            ])),
            extrapolated: self.extrapolated(p, split.temperature),
        })
    }
}
