//! The flow out of a vessel through a short opening: the largest mass flux that energy and entropy allow.
//!
//! The fluid starts at rest at `p0`, `h0`, `s0` and expands without friction and without heat. At a throat pressure `p` its
//! speed is `u = sqrt(2 (h0 - h))` and its flux `G = rho u`. With the isentrope's own speed of sound `w`,
//! `dG/dp = ((u/w)^2 - 1)/u`: the flux grows as the pressure falls until `u` reaches `w`, and falls from there on. The
//! throat takes the pressure of the largest flux, or the pressure outside where that is higher.
//!
//! Two limits enclose what a real opening does. In the equilibrium limit liquid and vapour keep one speed, one pressure
//! and the composition and temperature of equilibrium: boiling keeps pace with the expansion. In the frozen limit nothing
//! changes phase: the quality stays as it was. An opening that is short beside the time in which bubbles form comes near
//! the frozen limit, a path of some centimetres near the other (textbook knowledge, from memory).
//!
//! Source: the homogeneous equilibrium and homogeneous frozen models of any text on two-phase flow (for instance
//! G. B. Wallis, One-dimensional Two-phase Flow, McGraw-Hill 1969; from memory).

use crate::caloric::Caloric;
use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::isobar::Known;
use crate::model::Scratch;
use crate::state::{Phase, State};
use units::math::{exp, ln, pow, sqrt};
use units::{AbsolutePressure, Density, Fraction, Speed, Temperature};

/// Steps in ln p with which the throat is first looked for.
const STEP: f64 = 0.08;
/// Part of the largest flux at which the search downwards ends: beyond it none is larger (judgement).
const SPENT: f64 = 0.5;
/// Lowest throat pressure that is looked at, as part of the pressure inside.
const LOWEST: f64 = 1e-7;
/// The larger part of a bracket divided by the golden section.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// What keeps a flow from being larger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlowLimit {
    /// The pressure outside: a lower one would draw more.
    Outside,
    /// The speed of sound, reached in the throat: the pressure outside does not matter.
    SpeedOfSound,
    /// The edge of the two-phase region, reached in the throat: the speed of sound drops there below that of the flow. The
    /// pressure outside does not matter.
    Edge,
}

/// An ideal flow out of a vessel, and its state in the throat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outflow {
    /// Mass flow by area of the throat, kg/(s m2), without friction and contraction: discharge coefficient 1.
    pub flux: f64,
    /// What keeps it from being larger.
    pub limit: FlowLimit,
    /// Pressure in the throat.
    pub pressure: AbsolutePressure,
    /// Density in the throat, of both phases together.
    pub density: Density,
    /// Speed in the throat.
    pub speed: Speed,
    /// Temperature in the throat; absent where the phases differ in it, or where the vapour follows a constant exponent.
    pub temperature: Option<Temperature>,
    /// The vapour's share of the mass in the throat; absent in one phase.
    pub quality: Option<Fraction>,
    /// The vapour follows a constant exponent, for want of a single phase that lasts so far down.
    pub by_exponent: bool,
    /// Whether the state inside or in the throat lies beyond the stated range of an equation of state.
    pub extrapolated: bool,
}

impl Outflow {
    /// Returns whether the pressure outside has no say.
    #[must_use]
    pub fn is_choked(&self) -> bool {
        self.limit != FlowLimit::Outside
    }
}

/// Why there is no flow to be given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutflowError {
    /// A given value is no finite number, or a pressure below zero.
    NotANumber,
    /// The pressure inside is not above that outside.
    NoDrive {
        /// Inside.
        inside: AbsolutePressure,
        /// Outside.
        outside: AbsolutePressure,
    },
    /// The flow would choke, if at all, below where the equations reach.
    OutOfReach {
        /// The lowest pressure on the way down that had a state.
        reached: AbsolutePressure,
        /// Why there was none below; absent at the lowest pressure that is looked at.
        why: Option<FluidError>,
    },
    /// The state given is not one of this fluid: its phases have other components.
    ForeignState,
}

impl core::fmt::Display for OutflowError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl core::error::Error for OutflowError {}

/// A state on the way down: volume, energy set free, and what else is told of it.
#[derive(Clone, Copy, Debug)]
struct Passing {
    pressure: f64,
    volume: f64,
    /// `h0 - h` in J/kg.
    freed: f64,
    phase: Phase,
    temperature: Option<f64>,
    quality: Option<Fraction>,
    extrapolated: bool,
}

impl Passing {
    fn speed(&self) -> f64 {
        sqrt((2.0 * self.freed).max(0.0))
    }

    fn flux(&self) -> f64 {
        self.speed() / self.volume
    }

    fn outflow(&self, inside: &State, limit: FlowLimit, by_exponent: bool) -> Outflow {
        Outflow {
            flux: self.flux(),
            limit,
            pressure: AbsolutePressure::from_pascal(self.pressure),
            density: Density::from_kilogram_per_cubic_metre(1.0 / self.volume),
            speed: Speed::from_metre_per_second(self.speed()),
            temperature: self.temperature.map(Temperature::from_kelvin),
            quality: self.quality,
            by_exponent,
            extrapolated: inside.extrapolated || self.extrapolated,
        }
    }
}

impl Fluid {
    /// Returns the ideal flow from `inside` to the pressure `outside` with phases in equilibrium all the way: the lower
    /// bound.
    ///
    /// # Errors
    /// [`OutflowError`] without a pressure difference outwards, or where the throat lies below the range of the equations,
    /// as where it would be solid.
    pub fn outflow_in_equilibrium(
        &self,
        inside: &State,
        outside: AbsolutePressure,
    ) -> Result<Outflow, OutflowError> {
        let (from, to) = drive(inside, outside)?;
        let (found, limit) = largest(from, to, &mut |p| self.in_equilibrium(inside, p))?;
        Ok(found.outflow(inside, limit, false))
    }

    /// Returns the ideal flow from `inside` to the pressure `outside` without any change of phase: the upper bound.
    ///
    /// A liquid keeps the density it starts with: `sqrt(2 rho (p0 - p))`, never choked. A vapour follows its own isentrope by
    /// the equation of state as a single phase, past the dew line too, as long as such a phase lasts against small changes of
    /// density; where it would not last as far as the throat, `p v^n` with the exponent `n = rho w^2 / p` of its start. Of
    /// two phases the liquid and the vapour do so each, at one pressure and one speed, and the quality stays.
    /// A vapour that condenses on its way and dries again may pass more in equilibrium, by less than 1e-3.
    ///
    /// # Errors
    /// [`OutflowError`] without a pressure difference outwards, or for a state of another fluid.
    pub fn outflow_frozen(&self, inside: &State, outside: AbsolutePressure) -> Result<Outflow, OutflowError> {
        let (from, to) = drive(inside, outside)?;
        let Some((fluid, start, quality, liquid)) = self.frozen_start(inside)? else {
            // All liquid: no denser or thinner on its way.
            let density = inside.parts.as_ref().map_or(inside.density, |parts| parts[0].density);
            let volume = 1.0 / density.kilogram_per_cubic_metre();
            let out = Passing {
                pressure: to,
                volume,
                freed: volume * (from - to),
                phase: Phase::Liquid,
                temperature: Some(inside.temperature.kelvin()),
                quality: inside.quality,
                extrapolated: false,
            };
            return Ok(out.outflow(inside, FlowLimit::Outside, false));
        };
        let together = |p: f64, volume: f64, freed: f64, temperature: Option<f64>| Passing {
            pressure: p,
            volume: quality * volume + (1.0 - quality) * liquid,
            freed: quality * freed + (1.0 - quality) * liquid * (from - p),
            phase: inside.phase,
            temperature: temperature.filter(|_| inside.phase != Phase::TwoPhase),
            quality: inside.quality,
            extrapolated: false,
        };
        let m = fluid.molar_mass();
        let mut way = vec![start];
        let mut room = Scratch::default();
        let mut real = |p: f64| {
            // From the nearest state above, so as to stay on one branch.
            let near = way
                .iter()
                .filter(|c| c.pressure >= p * (1.0 - 1e-9))
                .min_by(|a, b| a.pressure.total_cmp(&b.pressure));
            let found = fluid
                .newton_isobar(p, Known::Entropy(start.entropy), near.unwrap_or(&start), &mut room)
                .filter(|c| c.p_ln_rho > 0.0 && c.density <= start.density)
                .ok_or(FluidError::Unstable)?;
            way.push(found);
            let lacks = found.temperature * (start.entropy - found.entropy);
            let freed = (start.enthalpy - found.enthalpy - lacks) / m;
            Ok(together(p, 1.0 / (found.density * m), freed, Some(found.temperature)))
        };
        match largest(from, to, &mut real) {
            Ok((found, limit)) => Ok(found.outflow(inside, limit, false)),
            Err(OutflowError::OutOfReach { .. }) => {
                let volume = 1.0 / (start.density * m);
                let n = start.mw2 * start.density / from;
                let mut power = |p: f64| {
                    let ratio = p / from;
                    let freed = if (n - 1.0).abs() < 1e-6 {
                        -from * volume * ln(ratio)
                    } else {
                        n / (n - 1.0) * from * volume * (1.0 - pow(ratio, (n - 1.0) / n))
                    };
                    Ok(together(p, volume * pow(ratio, -1.0 / n), freed, None))
                };
                let (found, limit) = largest(from, to, &mut power)?;
                Ok(found.outflow(inside, limit, true))
            }
            Err(other) => Err(other),
        }
    }

    fn in_equilibrium(&self, inside: &State, p: f64) -> Result<Passing, FluidError> {
        let at = self.state_at_pressure_entropy(AbsolutePressure::from_pascal(p), inside.entropy)?;
        // What the entropy found still lacks is enthalpy too: dh = T ds.
        let lacks = at.temperature.kelvin()
            * (inside.entropy.joule_per_kilogram_kelvin() - at.entropy.joule_per_kilogram_kelvin());
        let freed = inside.enthalpy.joule_per_kilogram() - at.enthalpy.joule_per_kilogram() - lacks;
        Ok(Passing {
            pressure: p,
            volume: 1.0 / at.density.kilogram_per_cubic_metre(),
            freed,
            phase: at.phase,
            temperature: Some(at.temperature.kelvin()),
            quality: at.quality,
            extrapolated: at.extrapolated,
        })
    }

    /// Returns the vapour at its start, the quality and the liquid's volume; nothing where all is liquid.
    fn frozen_start(&self, inside: &State) -> Result<Option<(Self, Caloric, f64, f64)>, OutflowError> {
        let t = inside.temperature.kelvin();
        let mut room = Scratch::default();
        match (&inside.parts, inside.phase) {
            (_, Phase::Liquid) => Ok(None),
            (Some(parts), Phase::TwoPhase) => {
                let quality = inside.quality.map_or(0.0, Fraction::ratio);
                if quality <= 0.0 {
                    return Ok(None);
                }
                let [liquid, vapour] = parts.as_ref();
                let fluid = self
                    .with_mass_fractions(&vapour.mass_fractions)
                    .map_err(|_| OutflowError::ForeignState)?;
                let rho = vapour.density.kilogram_per_cubic_metre() / fluid.molar_mass();
                let start = fluid.single(rho, t, &mut room);
                let volume = 1.0 / liquid.density.kilogram_per_cubic_metre();
                Ok(Some((fluid, start, quality, volume)))
            }
            _ => {
                let rho = inside.density.kilogram_per_cubic_metre() / self.molar_mass();
                Ok(Some((self.clone(), self.single(rho, t, &mut room), 1.0, 0.0)))
            }
        }
    }
}

/// Returns the pressures inside and outside, if there is a drive.
fn drive(inside: &State, outside: AbsolutePressure) -> Result<(f64, f64), OutflowError> {
    let (from, to) = (inside.pressure.pascal(), outside.pascal());
    if !from.is_finite() || !to.is_finite() || from <= 0.0 || to < 0.0 {
        return Err(OutflowError::NotANumber);
    }
    if from <= to {
        return Err(OutflowError::NoDrive { inside: inside.pressure, outside });
    }
    Ok((from, to))
}

/// Returns the state of the largest flux between two pressures, and what limits it.
fn largest(
    from: f64,
    to: f64,
    at: &mut dyn FnMut(f64) -> Result<Passing, FluidError>,
) -> Result<(Passing, FlowLimit), OutflowError> {
    let lowest = to.max(LOWEST * from);
    let span = ln(from / lowest);
    let steps = (span / STEP).ceil().max(12.0);
    let count = steps as usize;
    // The states found on the way down, and why the last ones had none.
    let mut found: Vec<Passing> = Vec::with_capacity(count);
    let (mut best, mut why) = (0, None);
    for k in 1..=count {
        let p = if k == count { lowest } else { from * exp(-span * k as f64 / steps) };
        match at(p) {
            Ok(passing) => {
                why = None;
                found.push(passing);
                let last = found.len() - 1;
                if passing.flux() > found[best].flux() {
                    best = last;
                } else if passing.flux() < SPENT * found[best].flux() {
                    break;
                }
            }
            Err(error) => {
                why = Some(error);
                if !matches!(error, FluidError::NotConverged | FluidError::TwoLiquids) {
                    break;
                }
            }
        }
    }
    let reached = |found: &[Passing]| {
        AbsolutePressure::from_pascal(found.last().map_or(from, |passing| passing.pressure))
    };
    let Some(peak) = found.get(best).copied() else {
        return Err(OutflowError::OutOfReach { reached: reached(&found), why });
    };
    let above = if best == 0 { from } else { found[best - 1].pressure };
    let below = match found.get(best + 1) {
        Some(next) => next.pressure,
        None if why.is_none() && peak.pressure <= to => {
            // The lowest pressure draws most, unless the flux falls off just before.
            let near = at(peak.pressure + 1e-3 * (above - peak.pressure));
            if near.is_ok_and(|near| near.flux() <= peak.flux()) {
                return Ok((peak, FlowLimit::Outside));
            }
            peak.pressure
        }
        None => return Err(OutflowError::OutOfReach { reached: reached(&found), why }),
    };
    let mut lost =
        |error: FluidError| OutflowError::OutOfReach { reached: reached(&found), why: Some(error) };
    let (mut high, mut low) = (above, below);
    let mut upper = at(high - (1.0 - GOLDEN) * (high - low)).map_err(&mut lost)?;
    let mut lower = at(low + (1.0 - GOLDEN) * (high - low)).map_err(&mut lost)?;
    while high - low > 1e-10 * high {
        if upper.flux() >= lower.flux() {
            low = lower.pressure;
            lower = upper;
            upper = at(high - (1.0 - GOLDEN) * (high - low)).map_err(&mut lost)?;
        } else {
            high = upper.pressure;
            upper = lower;
            lower = at(low + (1.0 - GOLDEN) * (high - low)).map_err(&mut lost)?;
        }
        if upper.pressure <= lower.pressure {
            break;
        }
    }
    let mut throat = if upper.flux() >= lower.flux() { upper } else { lower };
    let (before, beyond) = (at(throat.pressure * (1.0 + 1e-6)), at(throat.pressure * (1.0 - 1e-6)));
    let mut limit = FlowLimit::SpeedOfSound;
    if let (Ok(before), Ok(beyond)) = (before, beyond)
        && (before.phase == Phase::TwoPhase) != (beyond.phase == Phase::TwoPhase)
    {
        limit = FlowLimit::Edge;
        // Of the two sides of the edge that on which the flow arrives.
        if throat.phase != before.phase
            && let Ok(arriving) = at(high)
            && arriving.phase == before.phase
        {
            throat = arriving;
        }
    }
    Ok((throat, limit))
}
