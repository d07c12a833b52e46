//! Bubble and dew points.

use crate::caloric::caloric_of_whole;
use crate::envelope::Envelope;
use crate::error::FluidError;
use crate::fluid::{Fluid, Reference, ReferenceState};
use crate::guess::{self, Side};
use crate::model::Scratch;
use crate::saturation::{self, Fixed, Point, Room, Solved};
use crate::stability;
use crate::state::Root;
use units::math::ln;
use units::{AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy, Temperature};

/// The first of a phase to appear.
#[derive(Clone, Debug, PartialEq)]
pub struct Incipient {
    /// Its density.
    pub density: Density,
    /// Its mass fractions, in the order of the fluid's components.
    pub mass_fractions: Vec<f64>,
}

macro_rules! line_point {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            /// The temperature.
            pub temperature: Temperature,
            /// The pressure.
            pub pressure: AbsolutePressure,
            /// The density of the phase that has the fluid's composition.
            pub density: Density,
            /// Its enthalpy, on the reference of the fluid's composition.
            pub enthalpy: SpecificEnthalpy,
            /// Its entropy, on the reference of the fluid's composition.
            pub entropy: SpecificEntropy,
            /// dp/dT along the line at this composition, in pascal per kelvin.
            pub slope: f64,
            /// The other phase, of which there is as yet next to nothing.
            pub incipient: Incipient,
        }
    };
}

line_point!(
    /// A point at which liquid of the fluid's composition begins to boil.
    BubblePoint
);
line_point!(
    /// A point at which vapour of the fluid's composition begins to condense.
    DewPoint
);

/// Below this part of the reducing temperature two liquids are looked for.
pub(crate) const MISCIBLE: f64 = 0.62;

impl Fluid {
    /// Returns the point at which the liquid begins to boil at `temperature`.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, above the end of the bubble line, or for a value that is no number.
    pub fn bubble_at_temperature(&self, temperature: Temperature) -> Result<BubblePoint, FluidError> {
        let solved = self.line_at_temperature(Side::Bubble, temperature.kelvin())?;
        self.bubble(&solved)
    }

    /// Returns the point at which the liquid begins to boil at `pressure`.
    ///
    /// Where two temperatures belong to a pressure (beyond the highest pressure of some bubble lines, which then falls
    /// towards the critical point), the lower.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, above the end of the bubble line, or for a value that is no number.
    pub fn bubble_at_pressure(&self, pressure: AbsolutePressure) -> Result<BubblePoint, FluidError> {
        let solved = self.line_at_pressure(Side::Bubble, pressure.pascal())?;
        self.bubble(&solved)
    }

    /// Returns the point at which the vapour begins to condense at `temperature`.
    ///
    /// Where two pressures belong to a temperature (above the critical temperature of some mixtures), the lower.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, above the end of the dew line, or for a value that is no number.
    pub fn dew_at_temperature(&self, temperature: Temperature) -> Result<DewPoint, FluidError> {
        let solved = self.line_at_temperature(Side::Dew, temperature.kelvin())?;
        self.dew(&solved)
    }

    /// Returns the point at which the vapour begins to condense at `pressure`.
    ///
    /// # Errors
    /// [`FluidError`] below the triple point, above the end of the dew line, or for a value that is no number.
    pub fn dew_at_pressure(&self, pressure: AbsolutePressure) -> Result<DewPoint, FluidError> {
        let solved = self.line_at_pressure(Side::Dew, pressure.pascal())?;
        self.dew(&solved)
    }

    /// Returns the critical temperature and pressure of this composition.
    ///
    /// Of a pure fluid as published; of a mixture as traced along its bubble and dew lines. The equations of a few mixtures
    /// with R-744 fold one line just before the point: then as the other line leads to it.
    ///
    /// # Errors
    /// [`FluidError::NotConverged`] if the lines could not be followed to their end.
    pub fn critical_point(&self) -> Result<(Temperature, AbsolutePressure), FluidError> {
        let (t, p) = if let [only] = self.inner.model.components.as_slice() {
            (only.critical_temperature, only.critical_pressure)
        } else {
            self.envelope().and_then(Envelope::critical).ok_or(FluidError::NotConverged)?
        };
        Ok((Temperature::from_kelvin(t), AbsolutePressure::from_pascal(p)))
    }

    /// Returns the highest temperature and the highest pressure at which liquid and vapour are found together.
    ///
    /// They belong to two different points of a mixture, the cricondentherm and the cricondenbar; of a pure fluid both are
    /// the critical point.
    ///
    /// # Errors
    /// [`FluidError::NotConverged`] if the lines could not be followed to their end.
    pub fn two_phase_end(&self) -> Result<(Temperature, AbsolutePressure), FluidError> {
        if self.is_pure() {
            return self.critical_point();
        }
        let (bubble, dew) = (self.line_end(Side::Bubble), self.line_end(Side::Dew));
        let ((tb, pb), (td, pd)) = bubble.zip(dew).ok_or(FluidError::NotConverged)?;
        // The point between the lines, where one of them ends before it.
        let (tc, pc) = self.envelope().and_then(Envelope::critical).unwrap_or((0.0, 0.0));
        Ok((Temperature::from_kelvin(tb.max(td).max(tc)), AbsolutePressure::from_pascal(pb.max(pd).max(pc))))
    }

    /// Returns the state at which this fluid's enthalpy and entropy take their agreed values.
    ///
    /// # Errors
    /// [`FluidError`] if that state cannot be found.
    pub fn reference_state(&self) -> Result<ReferenceState, FluidError> {
        Ok(self.reference()?.state)
    }

    pub(crate) fn envelope(&self) -> Option<&Envelope> {
        let inner = &self.inner;
        inner.envelope.get_or_init(|| Envelope::trace(&inner.model, &inner.x)).as_ref()
    }

    pub(crate) fn reference(&self) -> Result<Reference, FluidError> {
        *self.inner.reference.get_or_init(|| {
            let zero = 273.15;
            let (solved, state, h, s) = match self.line_at_temperature(Side::Bubble, zero) {
                Ok(solved) => (solved, ReferenceState::ZeroCelsius, 200e3, 1e3),
                Err(FluidError::AboveCriticalTemperature { .. } | FluidError::Solid { .. }) => {
                    let solved = self.line_at_pressure(Side::Bubble, 101_325.0)?;
                    (solved, ReferenceState::NormalBoilingPoint, 0.0, 0.0)
                }
                // Vapour and hot gas of such a composition have an enthalpy all the same.
                Err(why @ (FluidError::TwoLiquids | FluidError::NotConverged)) if !self.is_pure() => {
                    return self.reference_by_held_liquid(zero).ok_or(why);
                }
                Err(other) => return Err(other),
            };
            let c = self.bulk(&solved);
            let m = self.inner.molar_mass;
            Ok(Reference { state, enthalpy: h * m - c.enthalpy, entropy: s * m - c.entropy })
        })
    }

    /// Returns the reference by a liquid of the whole composition at temperature `t` that would separate if it could.
    fn reference_by_held_liquid(&self, t: f64) -> Option<Reference> {
        let inner = &self.inner;
        let mut room = Scratch::default();
        let saturation = guess::saturation_pressures(&inner.model, t);
        let p = guess::raoult_pressure(Side::Bubble, &inner.x, &saturation);
        let density = self.density_at(p, t, Root::Dense, None, &mut room)?;
        let c = self.single(density, t, &mut room);
        let m = inner.molar_mass;
        let state = ReferenceState::ZeroCelsius;
        Some(Reference { state, enthalpy: 200e3 * m - c.enthalpy, entropy: 1e3 * m - c.entropy })
    }

    pub(crate) fn bulk(&self, solved: &Solved) -> crate::caloric::Caloric {
        self.single(solved.point.bulk_density(), solved.point.temperature(), &mut Scratch::default())
    }

    /// Returns the molar properties of a single phase of the fluid's composition.
    pub(crate) fn single(
        &self,
        density: f64,
        temperature: f64,
        scratch: &mut Scratch,
    ) -> crate::caloric::Caloric {
        let inner = &self.inner;
        caloric_of_whole(&inner.model, &inner.x, self.whole(), density, temperature, scratch)
    }

    /// Returns the end of a line: highest temperature and highest pressure.
    ///
    /// Of a pure fluid too it is the end of the equation's own line, which may lie a little below the published point.
    pub(crate) fn line_end(&self, side: Side) -> Option<(f64, f64)> {
        let (t, p) = self.envelope()?.highest(side);
        (t.is_finite() && p.is_finite() && t > 0.0).then_some((t, p))
    }

    pub(crate) fn line_at_temperature(&self, side: Side, t: f64) -> Result<Solved, FluidError> {
        let inner = &self.inner;
        if !t.is_finite() || t <= 0.0 {
            return Err(FluidError::NotANumber);
        }
        if t < inner.triple_point {
            return Err(FluidError::Solid {
                asked: Temperature::from_kelvin(t),
                triple_point: Temperature::from_kelvin(inner.triple_point),
            });
        }
        let t_r = self.whole().reducing_temperature;
        let above = |end: f64| FluidError::AboveCriticalTemperature {
            asked: Temperature::from_kelvin(t),
            end: Temperature::from_kelvin(end),
        };
        if self.is_pure() && t >= inner.model.components[0].critical_temperature {
            return Err(above(inner.model.components[0].critical_temperature));
        }
        let mut room = Room::default();
        if t < 1.05 * t_r {
            let start = saturation::guess_at(&inner.model, &inner.x, side, t, &mut room);
            let found = self.plain_or_cold(side, Fixed::Temperature(t), &start, &mut room)?;
            if let Some(found) = found {
                return Ok(found);
            }
        }
        let envelope = self.envelope().ok_or(FluidError::NotConverged)?;
        if let Some((end, _)) = self.line_end(side)
            && t > end
        {
            return Err(above(end));
        }
        envelope.find(&inner.model, &inner.x, side, Fixed::Temperature(t)).ok_or(FluidError::NotConverged)
    }

    /// Returns the point that a cold start leads to, if it can be trusted.
    ///
    /// In the cold, liquids that mix badly (R-152a with R-290 or R-134a, R-22 with R-218, most with hydrocarbons) leave two
    /// dew points to a vapour, one for each liquid. The true one has the lower pressure, or the higher temperature, so a
    /// liquid rich in each component is tried besides. A liquid of the bulk's composition may not last there at all.
    fn plain_or_cold(
        &self,
        side: Side,
        fixed: Fixed,
        start: &Point,
        room: &mut Room,
    ) -> Result<Option<Solved>, FluidError> {
        let inner = &self.inner;
        let n = inner.x.len();
        let t_r = self.whole().reducing_temperature;
        let solve =
            |start: &Point, room: &mut Room| saturation::solve(&inner.model, &inner.x, start, fixed, room);
        let plain = |found: &Solved| saturation::is_plain(&inner.model, &inner.x, side, found);
        let first = solve(start, room);
        let here = first.map_or(start.temperature(), |f| f.point.temperature());
        let is_cold = n > 1 && (here < MISCIBLE * t_r || self.may_separate(here));
        if !is_cold {
            return Ok(first.filter(plain));
        }
        if let (Side::Dew, Fixed::Pressure(p)) = (side, fixed) {
            // From where the guess is and from where it led: the first liquid to condense does so at the higher temperature.
            let led = first.and_then(|found| self.cold_dew_at_pressure(p, found.point.temperature(), room));
            let straight = self.cold_dew_at_pressure(p, start.temperature(), room);
            return Ok([led, straight]
                .into_iter()
                .flatten()
                .max_by(|a, b| a.point.ln_t.total_cmp(&b.point.ln_t)));
        }
        if side == Side::Bubble {
            return match first {
                Some(found) if !found.stable => Err(FluidError::TwoLiquids),
                Some(found) if plain(&found) => {
                    // Stable against small separations; a state of this liquid is asked the same.
                    let (rho, t) = (found.point.bulk_density(), found.point.temperature());
                    let separates = self.may_separate(t) && stability::parts(&inner.model, &inner.x, rho, t);
                    if separates { Err(FluidError::TwoLiquids) } else { Ok(Some(found)) }
                }
                _ => Ok(None),
            };
        }
        let mut best = first.filter(plain);
        let from = first.map_or(*start, |found| found.point);
        for rich in 0..n {
            let start = saturation::guess_rich(&inner.model, &inner.x, &from, rich, room);
            let Some(other) = solve(&start, room).filter(plain) else { continue };
            if best.is_none_or(|best| other.pressure < best.pressure * (1.0 - 1e-9)) {
                best = Some(other);
            }
        }
        Ok(best)
    }

    /// Returns the dew point at a pressure by way of those at temperatures, which cannot miss the first liquid.
    fn cold_dew_at_pressure(&self, p: f64, from: f64, room: &mut Room) -> Option<Solved> {
        let mut t = from;
        for _ in 0..30 {
            let start = saturation::guess_at(&self.inner.model, &self.inner.x, Side::Dew, t, room);
            let found = self.plain_or_cold(Side::Dew, Fixed::Temperature(t), &start, room).ok()??;
            // ln p is nearly straight in 1/T.
            let per = found.slope / found.pressure * t * t;
            let next = 1.0 / (1.0 / t - ln(p / found.pressure) / per);
            if (next / t - 1.0).abs() < 1e-6 {
                let model = &self.inner.model;
                return saturation::solve(model, &self.inner.x, &found.point, Fixed::Pressure(p), room)
                    .filter(|found| found.stable);
            }
            t = next.clamp(0.8 * t, 1.25 * t);
        }
        None
    }

    pub(crate) fn line_at_pressure(&self, side: Side, p: f64) -> Result<Solved, FluidError> {
        let found = self.line_reaching_below(side, p)?;
        if found.point.temperature() < self.inner.triple_point * (1.0 - 1e-9) {
            return Err(self.below_triple_pressure(side, p));
        }
        Ok(found)
    }

    /// Returns the point of a line, which may lie below the triple point: a mixture of both phases may not.
    pub(crate) fn line_reaching_below(&self, side: Side, p: f64) -> Result<Solved, FluidError> {
        let inner = &self.inner;
        if !p.is_finite() || p <= 0.0 {
            return Err(FluidError::NotANumber);
        }
        let above = |end: f64| FluidError::AboveCriticalPressure {
            asked: AbsolutePressure::from_pascal(p),
            end: AbsolutePressure::from_pascal(end),
        };
        if self.is_pure() && p >= inner.model.components[0].critical_pressure {
            return Err(above(inner.model.components[0].critical_pressure));
        }
        let t_r = self.whole().reducing_temperature;
        let t = guess::raoult_temperature(&inner.model, side, &inner.x, p);
        let mut room = Room::default();
        if t < 0.6 * inner.triple_point {
            return Err(self.below_triple_pressure(side, p));
        }
        let mut found = None;
        if t < 1.05 * t_r {
            let start = saturation::guess_at(&inner.model, &inner.x, side, t, &mut room);
            found = self.plain_or_cold(side, Fixed::Pressure(p), &start, &mut room)?;
        }
        if found.is_none() {
            let envelope = self.envelope().ok_or(FluidError::NotConverged)?;
            if let Some((_, end)) = self.line_end(side)
                && p > end
            {
                return Err(above(end));
            }
            found = envelope.find(&inner.model, &inner.x, side, Fixed::Pressure(p));
        }
        found.ok_or(FluidError::NotConverged)
    }

    fn below_triple_pressure(&self, side: Side, p: f64) -> FluidError {
        match self.line_at_temperature(side, self.inner.triple_point) {
            Ok(at) => FluidError::BelowTriplePressure {
                asked: AbsolutePressure::from_pascal(p),
                triple_pressure: AbsolutePressure::from_pascal(at.pressure),
            },
            Err(other) => other,
        }
    }

    fn incipient(&self, point: &Point) -> Incipient {
        let n = self.inner.x.len();
        let rho = point.incipient(n);
        let mass: f64 = rho.iter().zip(&self.inner.model.components).map(|(rho, c)| rho * c.molar_mass).sum();
        Incipient {
            density: Density::from_kilogram_per_cubic_metre(mass),
            mass_fractions: self.spread_mass_fractions(&rho[..n]),
        }
    }

    fn bubble(&self, solved: &Solved) -> Result<BubblePoint, FluidError> {
        let (m, reference) = (self.inner.molar_mass, self.reference()?);
        let c = self.bulk(solved);
        Ok(BubblePoint {
            temperature: Temperature::from_kelvin(solved.point.temperature()),
            pressure: AbsolutePressure::from_pascal(solved.pressure),
            density: Density::from_kilogram_per_cubic_metre(c.density * m),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram((c.enthalpy + reference.enthalpy) / m),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin((c.entropy + reference.entropy) / m),
            slope: solved.slope,
            incipient: self.incipient(&solved.point),
        })
    }

    fn dew(&self, solved: &Solved) -> Result<DewPoint, FluidError> {
        let BubblePoint { temperature, pressure, density, enthalpy, entropy, slope, incipient } =
            self.bubble(solved)?;
        Ok(DewPoint { temperature, pressure, density, enthalpy, entropy, slope, incipient })
    }
}
