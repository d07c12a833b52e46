//! Superheated vapour from a table over pressure and superheat, made on the device from the full model.
//!
//! Over pressure the variable is that of the saturation table, `sqrt(ln(p_end/p))`; over superheat it is
//! `s/(s + 40 K)`, which gives room to what happens near the dew line. What is fitted is smooth: the compressibility
//! factor, the enthalpy, and the entropy without its `-R ln p`.

use crate::curve::{fit, node};
use crate::fluid::Fluid;
use crate::guess::Side;
use crate::model::Scratch;
use crate::state::Root;
use crate::table::SaturationTable;
use units::math::{exp, ln, sqrt};
use units::{
    AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy, Temperature, TemperatureDifference,
};

/// Coefficients over pressure in each of the pieces, and over superheat.
const ACROSS: usize = 10;
const ALONG: usize = 13;
const PIECES: usize = 3;

/// The superheat at which half of the room is used up, in kelvin.
const HALF: f64 = 40.0;

/// The greatest superheat, in kelvin, where the equations reach as far.
const GREATEST: f64 = 120.0;

/// From which part of the end of the dew line (temperature) to which (pressure) the table reaches.
const COLDEST: f64 = 0.5;
const DENSEST: f64 = 0.85;

const FIELDS: usize = 3;

/// Vapour at a pressure and a superheat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vapour {
    /// The temperature.
    pub temperature: Temperature,
    /// The superheat over the dew point at this pressure.
    pub superheat: TemperatureDifference,
    /// The density.
    pub density: Density,
    /// The enthalpy, on the reference of the fluid's composition.
    pub enthalpy: SpecificEnthalpy,
    /// The entropy, on the reference of the fluid's composition.
    pub entropy: SpecificEntropy,
}

/// Density, enthalpy and entropy of superheated vapour, good to 1e-4 of density and to the enthalpy of 0.05 K.
///
/// From half the temperature of the dew line's end to 0.85 of its pressure, up to 120 K of superheat or to the highest
/// temperature of the equations; elsewhere every call returns nothing and the full model has the answer.
#[derive(Clone, Debug)]
pub struct VapourTable {
    saturation: SaturationTable,
    lowest_p: f64,
    highest_p: f64,
    ln_end_p: f64,
    low: f64,
    per_width: f64,
    /// Gas constant over molar mass.
    gas: f64,
    greatest: f64,
    /// By piece, field, power across, power along.
    powers: Vec<[[[f64; ALONG]; ACROSS]; FIELDS]>,
}

/// The table at one pressure: polynomials over superheat alone.
struct Isobar {
    dew: f64,
    ln_p: f64,
    fields: [[f64; ALONG]; FIELDS],
}

impl VapourTable {
    pub(crate) fn build(fluid: &Fluid) -> Option<Self> {
        let saturation = fluid.saturation_table()?.clone();
        let (end_t, end_p) = fluid.line_end(Side::Dew)?;
        let (coldest, warmest) = saturation.temperatures()[1];
        let lowest_t = coldest.kelvin().max(COLDEST * end_t);
        let lowest_p = fluid.line_at_temperature(Side::Dew, lowest_t).ok()?.pressure;
        let top_p = fluid.line_at_temperature(Side::Dew, warmest.kelvin()).ok()?.pressure;
        let highest_p = f64::min(DENSEST * end_p, top_p);
        let ln_end_p = ln(end_p);
        let (low, high) = (sqrt(ln_end_p - ln(highest_p)), sqrt(ln_end_p - ln(lowest_p)));
        let width = (high - low) / PIECES as f64;
        let highest_dew = fluid.line_at_pressure(Side::Dew, highest_p).ok()?.point.temperature();
        let greatest = GREATEST.min(fluid.inner.highest_temperature - highest_dew);
        let gas = fluid.inner.model.gas_constant / fluid.inner.molar_mass;
        let (reference, m) = (fluid.reference().ok()?, fluid.inner.molar_mass);
        let reach = greatest / (greatest + HALF);
        let mut room = Scratch::default();
        let mut powers = Vec::with_capacity(PIECES);
        for piece in 0..PIECES {
            // Rows over pressure of coefficients along superheat, then each coefficient over pressure.
            let mut rows = vec![[[0.0; ALONG]; FIELDS]; ACROSS];
            for (k, row) in rows.iter_mut().enumerate() {
                let x = low + width * (piece as f64 + 0.5 + 0.5 * node(k, ACROSS));
                let p = exp(ln_end_p - x * x).clamp(lowest_p, highest_p);
                let dew = fluid.line_at_pressure(Side::Dew, p).ok()?;
                let (mut density, t_dew) = (dew.point.bulk_density(), dew.point.temperature());
                let mut values = [[0.0; ALONG]; FIELDS];
                // From the dew line outwards, each density the first guess of the next.
                for j in (0..ALONG).rev() {
                    let y = 0.5 * reach * (1.0 + node(j, ALONG));
                    let t = t_dew + HALF * y / (1.0 - y);
                    density = fluid.density_at(p, t, Root::Light, Some(density), &mut room)?;
                    let c = fluid.single(density, t, &mut room);
                    values[0][j] = p / (density * m * gas * t);
                    values[1][j] = (c.enthalpy + reference.enthalpy) / m;
                    values[2][j] = (c.entropy + reference.entropy) / m + gas * ln(p);
                }
                for (own, values) in row.iter_mut().zip(&values) {
                    own.copy_from_slice(&fit(values));
                }
            }
            let mut fitted = [[[0.0; ALONG]; ACROSS]; FIELDS];
            for field in 0..FIELDS {
                for j in 0..ALONG {
                    let values: Vec<f64> = rows.iter().map(|row| row[field][j]).collect();
                    for (i, power) in fit(&values).into_iter().enumerate() {
                        fitted[field][i][j] = power;
                    }
                }
            }
            powers.push(fitted);
        }
        Some(Self {
            saturation,
            lowest_p,
            highest_p,
            ln_end_p,
            low,
            per_width: 1.0 / width,
            gas,
            greatest,
            powers,
        })
    }

    fn isobar(&self, p: f64) -> Option<Isobar> {
        if !(self.lowest_p <= p && p <= self.highest_p) {
            return None;
        }
        let ln_p = ln(p);
        let dew = self.saturation.dew_temperature(AbsolutePressure::from_pascal(p))?.kelvin();
        let along = (sqrt(self.ln_end_p - ln_p) - self.low) * self.per_width;
        let piece = (along.max(0.0) as usize).min(PIECES - 1);
        let x = 2.0 * (along - piece as f64) - 1.0;
        let mut fields = [[0.0; ALONG]; FIELDS];
        for (out, powers) in fields.iter_mut().zip(&self.powers[piece]) {
            for row in powers.iter().rev() {
                for (value, power) in out.iter_mut().zip(row) {
                    *value = *value * x + power;
                }
            }
        }
        Some(Isobar { dew, ln_p, fields })
    }

    /// Returns the place of a superheat between -1 and 1.
    fn place(&self, superheat: f64) -> f64 {
        let reach = self.greatest / (self.greatest + HALF);
        2.0 * superheat / ((superheat + HALF) * reach) - 1.0
    }

    fn superheat(&self, place: f64) -> f64 {
        let y = 0.5 * (place + 1.0) * self.greatest / (self.greatest + HALF);
        HALF * y / (1.0 - y)
    }

    fn state(&self, isobar: &Isobar, place: f64, superheat: f64) -> Vapour {
        let [z, h, s] = isobar.fields.each_ref().map(|powers| horner(powers, place).0);
        let t = isobar.dew + superheat;
        Vapour {
            temperature: Temperature::from_kelvin(t),
            superheat: TemperatureDifference::from_kelvin(superheat),
            density: Density::from_kilogram_per_cubic_metre(exp(isobar.ln_p) / (z * self.gas * t)),
            enthalpy: SpecificEnthalpy::from_joule_per_kilogram(h),
            entropy: SpecificEntropy::from_joule_per_kilogram_kelvin(s - self.gas * isobar.ln_p),
        }
    }

    /// Returns the vapour at a pressure and a superheat.
    #[must_use]
    pub fn at_superheat(
        &self,
        pressure: AbsolutePressure,
        superheat: TemperatureDifference,
    ) -> Option<Vapour> {
        let superheat = superheat.kelvin();
        if !(0.0..=self.greatest).contains(&superheat) {
            return None;
        }
        Some(self.state(&self.isobar(pressure.pascal())?, self.place(superheat), superheat))
    }

    /// Returns the vapour at a pressure and an enthalpy, on the reference of the fluid's composition.
    #[must_use]
    pub fn at_enthalpy(&self, pressure: AbsolutePressure, enthalpy: SpecificEnthalpy) -> Option<Vapour> {
        self.found(&self.isobar(pressure.pascal())?, 1, enthalpy.joule_per_kilogram())
    }

    /// Returns the vapour at a pressure and an entropy, on the reference of the fluid's composition.
    #[must_use]
    pub fn at_entropy(&self, pressure: AbsolutePressure, entropy: SpecificEntropy) -> Option<Vapour> {
        let isobar = self.isobar(pressure.pascal())?;
        self.found(&isobar, 2, entropy.joule_per_kilogram_kelvin() + self.gas * isobar.ln_p)
    }

    /// Returns the vapour at which a property that rises with superheat takes its value, by Newton's method.
    fn found(&self, isobar: &Isobar, field: usize, wanted: f64) -> Option<Vapour> {
        let powers = &isobar.fields[field];
        let (low, high) = (horner(powers, -1.0).0, horner(powers, 1.0).0);
        // What the table itself gave at its ends must be found again.
        let rounding = 1e-9 * (high - low);
        if !(low - rounding <= wanted && wanted <= high + rounding) {
            return None;
        }
        let mut x = 2.0 * (wanted - low) / (high - low) - 1.0;
        for _ in 0..30 {
            let (value, slope) = horner(powers, x);
            let step = (wanted - value) / slope;
            x = (x + step).clamp(-1.0, 1.0);
            if step.abs() < 1e-12 {
                break;
            }
        }
        Some(self.state(isobar, x, self.superheat(x)))
    }

    /// Returns the lowest and the highest pressure of the table.
    #[must_use]
    pub fn pressures(&self) -> (AbsolutePressure, AbsolutePressure) {
        (AbsolutePressure::from_pascal(self.lowest_p), AbsolutePressure::from_pascal(self.highest_p))
    }

    /// Returns the greatest superheat of the table.
    #[must_use]
    pub fn greatest_superheat(&self) -> TemperatureDifference {
        TemperatureDifference::from_kelvin(self.greatest)
    }

    /// Returns how many bytes the coefficients take in memory, those of the dew line left out.
    #[must_use]
    pub fn bytes(&self) -> usize {
        size_of_val(self.powers.as_slice())
    }
}

/// Returns a polynomial's value and slope.
fn horner(powers: &[f64; ALONG], x: f64) -> (f64, f64) {
    let (mut value, mut slope) = (0.0, 0.0);
    for power in powers.iter().rev() {
        slope = slope * x + value;
        value = value * x + power;
    }
    (value, slope)
}

impl Fluid {
    /// Returns the table of superheated vapour, made from the full model when first asked for and shared by the clones.
    ///
    /// Nothing if the dew line could not be followed.
    #[must_use]
    pub fn vapour_table(&self) -> Option<&VapourTable> {
        self.inner.vapour_table.get_or_init(|| VapourTable::build(self)).as_ref()
    }
}
