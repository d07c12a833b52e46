//! Saturation from tables that are made on the device, from the full model, when first asked for.
//!
//! Along a line every property is smooth in the square root of the distance from the line's end, be the end the critical
//! point of a pure fluid, that of a mixture, or the highest temperature of a dew line: the equations of state behave
//! classically there. So the variable is `sqrt(1 - T/T_end)`, and `sqrt(ln(p_end/p))` where the pressure is given.

use crate::curve::{Curve, Fine};
use crate::fluid::Fluid;
use crate::guess::Side;
use crate::saturation::{self, Fixed, Room, Solved};
use core::cell::RefCell;
use units::math::{exp, ln, sqrt};
use units::{AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy, Temperature};

/// The lowest temperature of a table over that of the line's end, unless the triple point lies higher.
const LOWEST: f64 = 0.35;

/// How near the end of a line its table goes, in the square root of the relative distance: the first that keeps [`GOOD`].
///
/// Some equations bend sharply there (R-452C has a bubble line almost level in pressure 1 K below its end).
const NEAREST: [f64; 5] = [0.03, 0.05, 0.08, 0.12, 0.2];

/// The relative difference in pressure, density and temperature from the full model that a table may show at the probes;
/// between them it may be larger, 1e-5 as `cargo xtask tables` finds.
const GOOD: f64 = 5e-6;

/// Between the points of the fit, where a table is held against the full model as it is made.
const PROBES: [f64; 7] = [-0.995, -0.94, -0.87, -0.73, -0.31, 0.29, 0.997];

/// Where a table begins, over the end of the line, if it cannot begin at the lowest: two liquids are formed there, or the
/// first liquid to condense changes from one kind to another.
const RAISED: [f64; 7] = [0.0, 0.45, 0.5, 0.56, 0.62, 0.68, 0.75];

/// Pieces over which the full model is met, and those over which a table is read.
const PIECES: usize = 3;
const NARROW: usize = 48;

/// Where a table's point lies, and what it is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturated {
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
}

/// One line: everything by temperature, and the temperature by pressure.
#[derive(Clone, Debug)]
struct Line {
    lowest_t: f64,
    highest_t: f64,
    per_end_t: f64,
    lowest_p: f64,
    highest_p: f64,
    ln_end_p: f64,
    /// p, rho, enthalpy, entropy over `sqrt(1 - T/T_end)`.
    by_temperature: Fine<4>,
    /// T over `sqrt(ln(p_end/p))`.
    by_pressure: Fine<1>,
}

/// Bubble and dew line of a fluid in tables, good to 1e-5 in pressure, temperature and density.
///
/// From 0.35 of the end of the line, or the triple point, for a few blends from up to 0.75, to 0.1 % below the end, for a few fluids up to 4 % below it;
/// elsewhere every call returns nothing and the full model has the answer.
#[derive(Clone, Debug)]
pub struct SaturationTable {
    bubble: Line,
    dew: Line,
}

impl Line {
    fn build(fluid: &Fluid, side: Side) -> Option<Self> {
        let (own_t, own_p) = fluid.line_end(side)?;
        // Both lines are branches of one curve: what is a root of the distance is the distance from its own highest
        // temperature or pressure, on whichever line it lies.
        let (mut end_t, mut end_p) = (own_t, own_p);
        if !fluid.is_pure() {
            let (t, p) = fluid.line_end(if side == Side::Bubble { Side::Dew } else { Side::Bubble })?;
            (end_t, end_p) = (end_t.max(t), end_p.max(p));
        }
        let full = |solved: &Solved| {
            let (m, reference) = (fluid.inner.molar_mass, fluid.reference().ok()?);
            let c = fluid.bulk(solved);
            Some([
                ln(solved.pressure),
                ln(c.density * m),
                (c.enthalpy + reference.enthalpy) / m,
                (c.entropy + reference.entropy) / m,
            ])
        };
        // The coldest point may lie where a component alone would be solid; the line exists as an equation only.
        let coldest = f64::max(LOWEST * end_t, fluid.inner.triple_point);
        let ln_end_p = ln(end_p);
        let ends = RAISED.into_iter().flat_map(|raised| NEAREST.into_iter().map(move |near| (raised, near)));
        ends.into_iter().find_map(|(raised, nearest)| {
            let lowest_t = f64::max(coldest, raised * end_t);
            if raised > 0.0 && lowest_t == coldest {
                return None;
            }
            let lowest_p = fluid.line_at_temperature(side, lowest_t).ok()?.pressure;
            let (far_t, far_p) = (sqrt(1.0 - lowest_t / end_t), sqrt(ln_end_p - ln(lowest_p)));
            let highest_t = own_t * (1.0 - nearest * nearest);
            // ln p falls about seven times as fast as T below the end.
            let at_highest_t = fluid.line_at_temperature(side, highest_t).ok()?.pressure;
            let highest_p = f64::min(own_p * (1.0 - 7.0 * nearest * nearest), at_highest_t);
            // Each point from the one before. Every stretch of probes begins with one from nothing, and the coldest point is
            // compared, so that a table never follows another curve than the full model's.
            let trail = RefCell::new(None);
            let by_temperature = |x: f64| {
                let t = (end_t * (1.0 - x * x)).clamp(lowest_t, highest_t);
                full(&fluid.on_the_trail(side, Fixed::Temperature(t), &trail)?)
            };
            let by_pressure = |x: f64| {
                let p = exp(ln_end_p - x * x).clamp(lowest_p, highest_p);
                Some([fluid.on_the_trail(side, Fixed::Pressure(p), &trail)?.point.temperature()])
            };
            let afresh = || *trail.borrow_mut() = None;
            let (near_t, near_p) = (sqrt(1.0 - highest_t / end_t), sqrt(ln_end_p - ln(highest_p)));
            let temperatures = Curve::build(near_t, far_t, PIECES, by_temperature)?;
            let logarithms = |own: &[f64; 4], full: &[f64; 4]| {
                (own[0] - full[0]).abs() < GOOD && (own[1] - full[1]).abs() < GOOD
            };
            let pressures = Curve::build(near_p, far_p, PIECES, by_pressure)?;
            let relative = |own: &[f64; 1], full: &[f64; 1]| (own[0] / full[0] - 1.0).abs() < GOOD;
            let coldest_p = exp(temperatures.all(far_t)[0]);
            let good = (coldest_p / lowest_p - 1.0).abs() < GOOD
                && temperatures.agrees(&PROBES, afresh, by_temperature, logarithms)
                && pressures.agrees(&PROBES, afresh, by_pressure, relative);
            // Pressure and density themselves, so that no exponential is left to who reads.
            let of = |x: f64| {
                let [ln_p, ln_rho, h, s] = temperatures.all(x);
                [exp(ln_p), exp(ln_rho), h, s]
            };
            good.then(|| Self {
                lowest_t,
                highest_t,
                per_end_t: 1.0 / end_t,
                lowest_p,
                highest_p,
                ln_end_p,
                by_temperature: Fine::build(near_t, far_t, NARROW, of),
                by_pressure: Fine::build(near_p, far_p, NARROW, |x| pressures.all(x)),
            })
        })
    }

    fn variable(&self, t: f64) -> Option<f64> {
        (self.lowest_t <= t && t <= self.highest_t).then(|| sqrt(1.0 - t * self.per_end_t))
    }

    fn pressure(&self, t: f64) -> Option<f64> {
        Some(self.by_temperature.field(0, self.variable(t)?))
    }

    fn temperature(&self, p: f64) -> Option<f64> {
        (self.lowest_p <= p && p <= self.highest_p)
            .then(|| self.by_pressure.field(0, sqrt(self.ln_end_p - ln(p))))
            // At the ends the two tables differ by their error, and neither may fall out of the other's range.
            .map(|t| t.clamp(self.lowest_t, self.highest_t))
    }

    fn at(&self, t: f64) -> Option<Saturated> {
        let [p, rho, h, s] = self.by_temperature.all(self.variable(t)?);
        Some(Saturated {
            temperature: Temperature::from_kelvin(t),
            pressure: AbsolutePressure::from_pascal(p),
            density: Density::from_kilogram_per_cubic_metre(rho),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram(h),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(s),
        })
    }

    /// Density at a temperature, without what the caller did not ask for.
    fn density(&self, t: f64) -> Option<f64> {
        Some(self.by_temperature.field(1, self.variable(t)?))
    }

    fn at_pressure(&self, pressure: AbsolutePressure) -> Option<Saturated> {
        Some(Saturated { pressure, ..self.at(self.temperature(pressure.pascal())?)? })
    }

    fn bytes(&self) -> usize {
        self.by_temperature.bytes() + self.by_pressure.bytes()
    }
}

impl SaturationTable {
    pub(crate) fn build(fluid: &Fluid) -> Option<Self> {
        Some(Self { bubble: Line::build(fluid, Side::Bubble)?, dew: Line::build(fluid, Side::Dew)? })
    }

    /// Returns the pressure at which the liquid begins to boil at `temperature`.
    #[must_use]
    pub fn bubble_pressure(&self, temperature: Temperature) -> Option<AbsolutePressure> {
        self.bubble.pressure(temperature.kelvin()).map(AbsolutePressure::from_pascal)
    }

    /// Returns the pressure at which the vapour begins to condense at `temperature`.
    #[must_use]
    pub fn dew_pressure(&self, temperature: Temperature) -> Option<AbsolutePressure> {
        self.dew.pressure(temperature.kelvin()).map(AbsolutePressure::from_pascal)
    }

    /// Returns the temperature at which the liquid begins to boil at `pressure`.
    #[must_use]
    pub fn bubble_temperature(&self, pressure: AbsolutePressure) -> Option<Temperature> {
        self.bubble.temperature(pressure.pascal()).map(Temperature::from_kelvin)
    }

    /// Returns the temperature at which the vapour begins to condense at `pressure`.
    #[must_use]
    pub fn dew_temperature(&self, pressure: AbsolutePressure) -> Option<Temperature> {
        self.dew.temperature(pressure.pascal()).map(Temperature::from_kelvin)
    }

    /// Returns the density of the liquid that begins to boil at `temperature`.
    #[must_use]
    pub fn bubble_density(&self, temperature: Temperature) -> Option<Density> {
        self.bubble.density(temperature.kelvin()).map(Density::from_kilogram_per_cubic_metre)
    }

    /// Returns the density of the vapour that begins to condense at `temperature`.
    #[must_use]
    pub fn dew_density(&self, temperature: Temperature) -> Option<Density> {
        self.dew.density(temperature.kelvin()).map(Density::from_kilogram_per_cubic_metre)
    }

    /// Returns the liquid that begins to boil at `temperature`.
    #[must_use]
    pub fn bubble_at_temperature(&self, temperature: Temperature) -> Option<Saturated> {
        self.bubble.at(temperature.kelvin())
    }

    /// Returns the vapour that begins to condense at `temperature`.
    #[must_use]
    pub fn dew_at_temperature(&self, temperature: Temperature) -> Option<Saturated> {
        self.dew.at(temperature.kelvin())
    }

    /// Returns the liquid that begins to boil at `pressure`.
    #[must_use]
    pub fn bubble_at_pressure(&self, pressure: AbsolutePressure) -> Option<Saturated> {
        self.bubble.at_pressure(pressure)
    }

    /// Returns the vapour that begins to condense at `pressure`.
    #[must_use]
    pub fn dew_at_pressure(&self, pressure: AbsolutePressure) -> Option<Saturated> {
        self.dew.at_pressure(pressure)
    }

    /// Returns the lowest and the highest temperature of the bubble and of the dew table.
    #[must_use]
    pub fn temperatures(&self) -> [(Temperature, Temperature); 2] {
        [&self.bubble, &self.dew]
            .map(|l| (Temperature::from_kelvin(l.lowest_t), Temperature::from_kelvin(l.highest_t)))
    }

    /// Returns the lowest and the highest pressure of the bubble and of the dew table.
    #[must_use]
    pub fn pressures(&self) -> [(AbsolutePressure, AbsolutePressure); 2] {
        [&self.bubble, &self.dew]
            .map(|l| (AbsolutePressure::from_pascal(l.lowest_p), AbsolutePressure::from_pascal(l.highest_p)))
    }

    /// Returns how many bytes the coefficients take in memory.
    #[must_use]
    pub fn bytes(&self) -> usize {
        self.bubble.bytes() + self.dew.bytes()
    }
}

impl Fluid {
    /// Returns a point of a line, from the last one on the trail if that leads to it, else from nothing; the trail's next.
    ///
    /// Where liquids may part another than the one before may be the first to condense: who follows compares the far end.
    fn on_the_trail(&self, side: Side, fixed: Fixed, trail: &RefCell<Option<Solved>>) -> Option<Solved> {
        let inner = &self.inner;
        let from = |last: Solved| {
            let per = 1.0 / last.tangent.ln_t;
            let step = match fixed {
                Fixed::Temperature(t) => ln(t) - last.point.ln_t,
                Fixed::Pressure(p) => ln(p / last.pressure) / (last.ln_p_tangent * per),
                Fixed::Ratio(_) => return None,
            };
            if step.is_nan() || step.abs() > 0.15 {
                return None;
            }
            let start = last.point.moved(&last.tangent, step * per);
            let n = inner.x.len();
            let expected = start.ratio(n);
            // The same line, at about the ratio of densities that tangent and bend led to.
            saturation::solve(&inner.model, &inner.x, &start, fixed, &mut Room::default())
                .filter(|found| found.stable && (found.point.ratio(n) / expected - 1.0).abs() < 0.15)
        };
        let last = *trail.borrow();
        let found = last.and_then(from).or_else(|| match fixed {
            Fixed::Temperature(t) => self.line_at_temperature(side, t).ok(),
            Fixed::Pressure(p) => self.line_at_pressure(side, p).ok(),
            Fixed::Ratio(_) => None,
        });
        *trail.borrow_mut() = found;
        found
    }

    /// Returns the tables of saturation, made from the full model when first asked for and shared by the clones.
    ///
    /// Nothing if a line could not be followed; the full model may still answer. The same tables on every machine, to the
    /// last bit.
    #[must_use]
    pub fn saturation_table(&self) -> Option<&SaturationTable> {
        self.inner.saturation_table.get_or_init(|| SaturationTable::build(self)).as_ref()
    }
}
