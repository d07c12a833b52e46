//! States along an isobar: where a pressure and an enthalpy or entropy lead.

use crate::apart::Lasting;
use crate::caloric::Caloric;
use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::{self, Side};
use crate::model::Scratch;
use crate::point::MISCIBLE;
use crate::saturation::{self, Room};
use crate::stability;
use crate::state::{BEYOND, Root, State};
use crate::two_phase::{self, First, Given, Split};
use units::Temperature;
use units::math::{exp, ln, ln_1p};

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

impl Fluid {
    pub(crate) fn state_at_pressure_and(&self, p: f64, known: Known) -> Result<State, FluidError> {
        match self.found_at_pressure_and(p, known)? {
            Found::Single(c, root) => self.finish_single(p, &c, root),
            Found::Two(split) => {
                self.check(p, Some(split.temperature))?;
                self.two_phase_state(p, &split)
            }
        }
    }

    pub(crate) fn found_at_pressure_and(&self, p: f64, known: Known) -> Result<Found, FluidError> {
        self.found_by(p, known, Lasting::Asked)
    }

    pub(crate) fn found_by(&self, p: f64, known: Known, lasting: Lasting) -> Result<Found, FluidError> {
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
                    return match self.two_by(First::Pressure(p), known.given(), None, &dew, lasting) {
                        Ok(split) => Ok(Found::Two(Box::new(split))),
                        // Colder or pressed together it may be one liquid.
                        Err(why) => match self.along_isobar(p, known, None, Root::Dense, &mut room) {
                            Ok(found) if found.temperature < dew.point.temperature() => {
                                if lasting == Lasting::Asked {
                                    self.lasts(&found)?;
                                }
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
                    false => Ok(Found::Single(found, Root::Dense)),
                    true => Err(FluidError::NotConverged),
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
            let (mut f, mut g) = (p - c.pressure, known.wanted() - known.of(&c));
            if c.pressure > 0.0 && c.p_ln_rho < 2.0 * c.pressure {
                // A gas: its pressure is nearly a product, its enthalpy nearly a multiple, of density and temperature, so
                // that their logarithms leave Newton's method less to bend.
                f = c.pressure * ln(p / c.pressure);
                if let Known::Enthalpy(_) = known
                    && g > -0.9 * d_t
                {
                    g = d_t * ln_1p(g / d_t);
                }
            }
            let determinant = c.p_ln_rho * d_t - c.p_ln_t * d_rho;
            let mut step_rho = (f * d_t - g * c.p_ln_t) / determinant;
            let mut step_t = (c.p_ln_rho * g - d_rho * f) / determinant;
            if !step_rho.is_finite() || !step_t.is_finite() {
                return None;
            }
            let leash = f64::max(1.0, step_rho.abs() / 0.6).max(step_t.abs() / 0.3);
            step_rho /= leash;
            step_t /= leash;
            if f64::max(step_rho.abs(), step_t.abs()) < 1e-8 && last > 0.0 {
                // So short a step needs no new evaluation: what it leaves out is its square.
                let (h, s) = (c.enthalpy_derivatives(), c.entropy_derivatives());
                c.pressure += c.p_ln_rho * step_rho + c.p_ln_t * step_t;
                c.enthalpy += h.0 * step_rho + h.1 * step_t;
                c.entropy += s.0 * step_rho + s.1 * step_t;
                c.density *= 1.0 + step_rho;
                c.temperature *= 1.0 + step_t;
                return Some(c);
            }
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
        let (mut low, mut high) = (0.98 * inner.triple_point, BEYOND * inner.hottest);
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
                // Between the spinodals some equations rise once more: what lies there is no phase.
                && self
                    .density_at(p, found.temperature, root, None, room)
                    .is_some_and(|density| (density / found.density - 1.0).abs() < 1e-6)
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
        if low > 1.49 * inner.hottest {
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
}
