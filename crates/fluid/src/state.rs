//! States of one and of two phases, from the quantities that are known.

use crate::caloric::Caloric;
use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::{self, Side};
use crate::model::{MOST, Model, Scratch};
use crate::point::MISCIBLE;
use crate::saturation::{self, Room, Solved};
use crate::stability;
use crate::two_phase::{self, First, Given, Split};
use units::math::{exp, ln, sqrt};
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

/// What holds at a state: one phase or two.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    Single(Caloric, Root),
    Two(Box<Split>),
}

impl Found {
    /// Returns a molar property of the whole.
    pub fn mean(&self, of: fn(&Caloric) -> f64) -> f64 {
        match self {
            Self::Single(c, _) => of(c),
            Self::Two(split) => split.mean(of),
        }
    }
}

/// What is known of a single phase beside its pressure.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Known {
    Enthalpy(f64),
    Entropy(f64),
}

impl Known {
    fn of(self, c: &Caloric) -> f64 {
        match self {
            Self::Enthalpy(_) => c.enthalpy,
            Self::Entropy(_) => c.entropy,
        }
    }

    fn wanted(self) -> f64 {
        match self {
            Self::Enthalpy(value) | Self::Entropy(value) => value,
        }
    }

    fn given(self) -> Given {
        match self {
            Self::Enthalpy(value) => Given::Enthalpy(value),
            Self::Entropy(value) => Given::Entropy(value),
        }
    }
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
            && stability::separates(&inner.model, &inner.x, c.density, c.temperature).is_some()
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
        if t > BEYOND * inner.highest_temperature {
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
                let alone = |rho: f64| stability::separates(&inner.model, &inner.x, rho, t).is_none();
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

    /// Returns the second line at a pressure; of a pure fluid it is the first with its phases exchanged.
    pub(crate) fn other_line(&self, side: Side, p: f64, first: &Solved) -> Result<Solved, FluidError> {
        if !self.is_pure() {
            return self.line_reaching_below(side, p);
        }
        let mut out = *first;
        out.point.ln_bulk = first.point.ln_incipient[0];
        out.point.ln_incipient[0] = first.point.ln_bulk;
        Ok(out)
    }

    fn split(&self, p: f64, given: Given, bubble: &Solved, dew: &Solved) -> Result<Split, FluidError> {
        self.two(First::Pressure(p), given, Some(bubble), dew)
    }

    /// Returns the two phases between a bubble and a dew point; without the first from the dew point alone.
    pub(crate) fn two(
        &self,
        first: First,
        given: Given,
        bubble: Option<&Solved>,
        dew: &Solved,
    ) -> Result<Split, FluidError> {
        let inner = &self.inner;
        let n = inner.x.len();
        let lasts = |split: &Split| {
            if !split.liquid_stands {
                return false;
            }
            if !self.may_separate(split.temperature) {
                return true;
            }
            let rho: f64 = split.liquid[..n].iter().sum();
            let x = split.liquid.map(|part| part / rho);
            stability::separates(&inner.model, &x[..n], rho, split.temperature).is_none()
        };
        match two_phase::split(&inner.model, &inner.x, first, given, bubble, dew, &lasts) {
            Ok(found) => Ok(found),
            Err(Some(last)) if !lasts(&last) => Err(FluidError::TwoLiquids),
            Err(_) => Err(FluidError::NotConverged),
        }
    }

    fn state_at_pressure_and(&self, p: f64, known: Known) -> Result<State, FluidError> {
        match self.found_at_pressure_and(p, known)? {
            Found::Single(c, root) => self.finish_single(p, &c, root),
            Found::Two(split) => {
                self.check(p, Some(split.temperature))?;
                self.two_phase_state(p, &split)
            }
        }
    }

    pub(crate) fn found_at_pressure_and(&self, p: f64, known: Known) -> Result<Found, FluidError> {
        let mut room = Scratch::default();
        if let Some(found) = self.clearly_vapour(p, known, &mut room) {
            return Ok(Found::Single(found, Root::Light));
        }
        if let Some(found) = self.clearly_two(p, known, &mut room) {
            return Ok(Found::Two(Box::new(found)));
        }
        let bubble = match self.line_reaching_below(Side::Bubble, p) {
            Ok(bubble) => bubble,
            Err(FluidError::AboveCriticalPressure { .. }) => {
                let found = self.along_isobar(p, known, None, Root::Dense, &mut room)?;
                return Ok(Found::Single(found, Root::Dense));
            }
            Err(FluidError::BelowTriplePressure { .. }) => {
                let found = self.along_isobar(p, known, None, Root::Light, &mut room)?;
                return Ok(Found::Single(found, Root::Light));
            }
            // Two liquids say nothing of the vapour beyond the dew line, nor of what is left beside it.
            Err(FluidError::TwoLiquids | FluidError::NotConverged) if !self.is_pure() => {
                let dew = self.line_reaching_below(Side::Dew, p)?;
                let vapour = self.single(dew.point.bulk_density(), dew.point.temperature(), &mut room);
                if known.of(&vapour) > known.wanted() {
                    return match self.two(First::Pressure(p), known.given(), None, &dew) {
                        Ok(split) => Ok(Found::Two(Box::new(split))),
                        // Colder or pressed together it may be one liquid.
                        Err(why) => match self.along_isobar(p, known, None, Root::Dense, &mut room) {
                            Ok(found) if found.temperature < dew.point.temperature() => {
                                self.lasts(&found)?;
                                Ok(Found::Single(found, Root::Dense))
                            }
                            _ => Err(why),
                        },
                    };
                }
                let found = self.along_isobar(p, known, Some(&vapour), Root::Light, &mut room)?;
                return Ok(Found::Single(found, Root::Light));
            }
            Err(other) => return Err(other),
        };
        let liquid = self.single(bubble.point.bulk_density(), bubble.point.temperature(), &mut room);
        if known.of(&liquid) >= known.wanted() {
            let found = self.along_isobar(p, known, Some(&liquid), Root::Dense, &mut room)?;
            return Ok(Found::Single(found, Root::Dense));
        }
        let dew = match self.other_line(Side::Dew, p, &bubble) {
            // Above the dew line's end and below the bubble line's: dense gas, unless it would separate.
            Err(FluidError::AboveCriticalPressure { .. }) => {
                let found = self.along_isobar(p, known, None, Root::Dense, &mut room)?;
                return match stability::separates(
                    &self.inner.model,
                    &self.inner.x,
                    found.density,
                    found.temperature,
                ) {
                    None => Ok(Found::Single(found, Root::Dense)),
                    Some(_) => Err(FluidError::NotConverged),
                };
            }
            other => other?,
        };
        let vapour = self.single(dew.point.bulk_density(), dew.point.temperature(), &mut room);
        if known.of(&vapour) <= known.wanted() {
            let found = self.along_isobar(p, known, Some(&vapour), Root::Light, &mut room)?;
            return Ok(Found::Single(found, Root::Light));
        }
        let split = self.split(p, known.given(), &bubble, &dew)?;
        Ok(Found::Two(Box::new(split)))
    }

    pub(crate) fn finish_single(&self, p: f64, c: &Caloric, root: Root) -> Result<State, FluidError> {
        self.check(p, Some(c.temperature))?;
        self.lasts(c)?;
        self.single_state(c, Some(p), root)
    }

    /// Returns the state if it is vapour so far from the dew line that no line need be computed.
    fn clearly_vapour(&self, p: f64, known: Known, room: &mut Scratch) -> Option<Caloric> {
        let inner = &self.inner;
        let t_r = self.whole().reducing_temperature;
        let t_dew = guess::raoult_temperature(&inner.model, Side::Dew, &inner.x, p);
        if t_dew.is_nan() || t_dew >= 0.93 * t_r {
            return None;
        }
        let t = 1.05 * t_dew;
        let z = p / (inner.model.gas_constant * t);
        let rho = guess::vapour_density(&inner.model, &inner.x, z, t);
        let start = self.single(rho, t, room);
        if known.of(&start) > known.wanted() {
            return None;
        }
        let found = self.newton_isobar(p, known, &start, room)?;
        (found.temperature > 1.04 * t_dew
            && found.density < 2.0 * p / (inner.model.gas_constant * found.temperature))
            .then_some(found)
    }

    /// Returns the two phases if they are found between first guesses of the lines, in the middle of both and far from where
    /// anything else could be: not near the critical point, nor where liquids part.
    fn clearly_two(&self, p: f64, known: Known, room: &mut Scratch) -> Option<Split> {
        let inner = &self.inner;
        let (model, x) = (&inner.model, inner.x.as_slice());
        let n = x.len();
        let t_r = self.whole().reducing_temperature;
        let t_bubble = guess::raoult_temperature(model, Side::Bubble, x, p);
        let t_dew = guess::raoult_temperature(model, Side::Dew, x, p);
        if self.is_pure()
            || t_dew.is_nan()
            || t_dew >= 0.93 * t_r
            || t_bubble.is_nan()
            || t_bubble < MISCIBLE * t_r
            || self.may_separate(0.97 * t_bubble)
        {
            return None;
        }
        let mut rooms = Room::default();
        let bubble = saturation::guess_at(model, x, Side::Bubble, t_bubble, &mut rooms);
        let liquid = known.of(&self.single(bubble.bulk_density(), t_bubble, room));
        if known.wanted() <= liquid {
            return None;
        }
        let dew = saturation::guess_at(model, x, Side::Dew, t_dew, &mut rooms);
        let vapour = known.of(&self.single(dew.bulk_density(), t_dew, room));
        let share = (known.wanted() - liquid) / (vapour - liquid);
        if !(0.01..=0.99).contains(&share) {
            return None;
        }
        let found = two_phase::between_guesses(model, x, p, known.given(), share, &bubble, &dew)?;
        let density = |rho: &[f64]| rho.iter().sum::<f64>();
        let (rho_l, rho_v) = (density(&found.liquid[..n]), density(&found.vapour[..n]));
        let own = found.liquid.map(|part| part / rho_l);
        let expected = guess::liquid_density(model, &own[..n], found.temperature);
        let plain = found.liquid_stands
            && (0.005..=0.995).contains(&found.share)
            && rho_l > 3.7 * rho_v
            && (rho_l / expected - 1.0).abs() < 0.15
            && found.temperature > f64::max(MISCIBLE * t_r, 0.97 * t_bubble)
            && found.temperature < 0.95 * t_r;
        plain.then_some(found)
    }

    /// Newton's method in ln(density) and ln T, at a pressure and one more known.
    pub(crate) fn newton_isobar(
        &self,
        p: f64,
        known: Known,
        start: &Caloric,
        room: &mut Scratch,
    ) -> Option<Caloric> {
        let mut c = *start;
        let scale = match known {
            Known::Enthalpy(_) => c.temperature * self.inner.model.gas_constant,
            Known::Entropy(_) => self.inner.model.gas_constant,
        };
        let mut last = 0.0;
        for _ in 0..25 {
            if c.p_ln_rho.is_nan() || c.p_ln_rho <= 0.0 || c.cv.is_nan() || c.cv <= 0.0 {
                return None;
            }
            let (d_rho, d_t) = match known {
                Known::Enthalpy(_) => c.enthalpy_derivatives(),
                Known::Entropy(_) => c.entropy_derivatives(),
            };
            let (f, g) = (p - c.pressure, known.wanted() - known.of(&c));
            let determinant = c.p_ln_rho * d_t - c.p_ln_t * d_rho;
            let mut step_rho = (f * d_t - g * c.p_ln_t) / determinant;
            let mut step_t = (c.p_ln_rho * g - d_rho * f) / determinant;
            if !step_rho.is_finite() || !step_t.is_finite() {
                return None;
            }
            let leash = f64::max(1.0, step_rho.abs() / 0.6).max(step_t.abs() / 0.3);
            step_rho /= leash;
            step_t /= leash;
            c = self.single(c.density * exp(step_rho), c.temperature * exp(step_t), room);
            let moved = f64::max(step_rho.abs(), step_t.abs());
            // Newton's method squares what is wrong: by this and the last step the next would be nothing.
            let next = moved * (moved / last) * (moved / last);
            last = moved;
            if moved < 1e-9 || (moved < 1e-5 && next < 1e-13) {
                let good = (p - c.pressure).abs() < 1e-9 * (p + c.p_ln_rho)
                    && (known.wanted() - known.of(&c)).abs() < 1e-8 * scale;
                return good.then_some(c);
            }
        }
        None
    }

    /// Returns the single-phase state along an isobar, from its end on a line or from anywhere.
    fn along_isobar(
        &self,
        p: f64,
        known: Known,
        end: Option<&Caloric>,
        root: Root,
        room: &mut Scratch,
    ) -> Result<Caloric, FluidError> {
        let inner = &self.inner;
        if let Some(end) = end
            && let Some(found) = self.newton_isobar(p, known, end, room)
            && match root {
                Root::Light => found.temperature >= end.temperature * (1.0 - 1e-9),
                Root::Dense => found.temperature <= end.temperature * (1.0 + 1e-9),
            }
        {
            return Ok(found);
        }
        // Enthalpy and entropy rise with temperature along an isobar: bracket and close in.
        let (mut low, mut high) = (0.98 * inner.triple_point, BEYOND * inner.highest_temperature);
        match (end, root) {
            (Some(end), Root::Light) => low = end.temperature,
            (Some(end), Root::Dense) => high = end.temperature,
            (None, _) => {}
        }
        let mut last = None;
        for iteration in 0..200 {
            let t = if iteration < 4 { low + (high - low) * 0.35 } else { 0.5 * (low + high) };
            let density = self.density_at(p, t, root, last, room).ok_or(FluidError::NotConverged)?;
            let c = self.single(density, t, room);
            if let Some(found) = self.newton_isobar(p, known, &c, room)
                && found.temperature >= low * (1.0 - 1e-9)
                && found.temperature <= high * (1.0 + 1e-9)
            {
                return Ok(found);
            }
            last = None;
            if known.of(&c) < known.wanted() {
                low = t;
            } else {
                high = t;
            }
            if high - low < 1e-11 * high {
                break;
            }
        }
        if low > 1.49 * inner.highest_temperature {
            return Err(FluidError::TooHot { highest: Temperature::from_kelvin(inner.highest_temperature) });
        }
        if high < inner.triple_point {
            return Err(FluidError::Solid {
                asked: Temperature::from_kelvin(high),
                triple_point: Temperature::from_kelvin(inner.triple_point),
            });
        }
        Err(FluidError::NotConverged)
    }

    /// Returns the molar density at a pressure and temperature.
    pub(crate) fn density_at(
        &self,
        p: f64,
        t: f64,
        root: Root,
        start: Option<f64>,
        room: &mut Scratch,
    ) -> Option<f64> {
        let inner = &self.inner;
        let whole = self.whole();
        let evaluate = |rho: f64, room: &mut Scratch| {
            let at = whole.at(rho, t, room);
            (at.z, at.z_ln_rho)
        };
        let z = p / (inner.model.gas_constant * t);
        density_by(evaluate, &inner.model, &inner.x, z, t, root, start, room)
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

/// Returns the molar density of mole fractions `x` at a pressure and temperature.
pub(crate) fn density(
    model: &Model,
    x: &[f64],
    p: f64,
    t: f64,
    root: Root,
    start: Option<f64>,
    room: &mut Scratch,
) -> Option<f64> {
    let n = x.len();
    let z = p / (model.gas_constant * t);
    let evaluate = |rho: f64, room: &mut Scratch| {
        let mut partial = [0.0; MOST];
        for i in 0..n {
            partial[i] = x[i] * rho;
        }
        let r = model.residual(&partial[..n], t, room);
        (r.z, r.z_ln_rho(&partial[..n]))
    };
    density_by(evaluate, model, x, z, t, root, start, room)
}

/// Returns the molar density at `z`, pressure over RT, where `evaluate` gives that and its derivative in ln(density).
fn density_by(
    evaluate: impl Fn(f64, &mut Scratch) -> (f64, f64),
    model: &Model,
    x: &[f64],
    z: f64,
    t: f64,
    root: Root,
    start: Option<f64>,
    room: &mut Scratch,
) -> Option<f64> {
    let mut rho = start.unwrap_or_else(|| match root {
        Root::Dense => 1.02 * guess::liquid_density(model, x, t),
        Root::Light => guess::vapour_density(model, x, z, t),
    });
    // Newton's method in density from the dense side, where the isotherm is convex, or from the light side, where it
    // is concave: steps shorten by themselves.
    for _ in 0..40 {
        let (value, slope) = evaluate(rho, room);
        if slope <= 0.0 || !slope.is_finite() {
            match root {
                Root::Dense => rho *= 1.04,
                Root::Light => rho *= 0.8,
            }
            continue;
        }
        let step = ((z - value) / slope).clamp(-0.4, 0.4);
        rho *= 1.0 + step;
        if step.abs() < 1e-8 {
            // Liquid at low pressure: rounding in z is larger than z itself, but not in density.
            let (value, slope) = evaluate(rho, room);
            if slope > 0.0 && (value - z).abs() <= 1e-9 * (slope + z) {
                return Some(rho);
            }
        }
    }
    // Search over the whole range for the first rising crossing from the wanted end.
    let (_, rho_r) = model.reducing(x);
    let steps = 400;
    let (lowest, highest) = (1e-6 * rho_r.min(z), 4.0 * rho_r);
    let at = |k: usize| lowest * exp(ln(highest / lowest) * k as f64 / steps as f64);
    let order: Box<dyn Iterator<Item = usize>> = match root {
        Root::Dense => Box::new((0..steps).rev()),
        Root::Light => Box::new(0..steps),
    };
    for k in order {
        let (mut a, mut b) = (at(k), at(k + 1));
        if evaluate(a, room).0 <= z && z < evaluate(b, room).0 {
            for _ in 0..200 {
                let middle = 0.5 * (a + b);
                if evaluate(middle, room).0 <= z {
                    a = middle;
                } else {
                    b = middle;
                }
                if b - a <= 1e-15 * b {
                    break;
                }
            }
            return Some(0.5 * (a + b));
        }
    }
    None
}
