//! Recovery cylinders: how much may go in, and at what temperature the liquid would fill them.
//!
//! The cylinder's own marking, the transport rules and local law come first.

use crate::numeric::bisect;
use fluid::{Fluid, FluidError};
use units::{Density, Fraction, Mass, Temperature, Volume};

/// Density of liquid water at 77 °F (25 °C) and one atmosphere, to which specific gravity refers here.
///
/// Source: IAPWS-95, 997.047 kg/m3 at 25 °C, 101,325 Pa.
pub const WATER_AT_77F: Density = Density::from_kilogram_per_cubic_metre(997.047);
/// The temperature of the filling rule: 77 °F.
pub const REFERENCE: Temperature = Temperature::from_fahrenheit(77.0);
/// The part of the volume that liquid at 77 °F may fill, where nothing else is stated.
pub const FILL: Fraction = Fraction::from_ratio(0.8);

/// Why no fill can be given.
#[derive(Clone, Debug, PartialEq)]
pub enum CylinderError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// A mass that must be above zero is not.
    Mass(Mass),
    /// The fill is outside 0 to 1.
    Fill(Fraction),
}

impl From<FluidError> for CylinderError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

/// A safe fill and what it was made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SafeFill {
    /// The most refrigerant.
    pub net: Mass,
    /// The most on the scale: net plus tare.
    pub gross: Mass,
    /// Specific gravity of the liquid at 77 °F.
    pub specific_gravity: f64,
    /// Density of the liquid at 77 °F.
    pub liquid_density: Density,
    /// The cylinder's volume: its water capacity at the density of water.
    pub volume: Volume,
    /// The part that liquid fills at 77 °F.
    pub fill: Fraction,
    /// The fill was not stated but assumed.
    pub fill_assumed: bool,
    /// The temperature at which liquid fills a cylinder so filled, if that comes before the critical region.
    pub liquid_full: Option<Temperature>,
}

/// Returns how much refrigerant a cylinder may hold: fill x water capacity x specific gravity at 77 °F.
///
/// Bubble-point liquid. By specific gravity alone a cylinder in a hot van is not far from full: read
/// [`SafeFill::liquid_full`] with it.
///
/// # Errors
/// [`CylinderError`] for a capacity not above zero, a tare below zero, a fill outside 0 to 1, or no liquid at 77 °F.
///
/// Source: the filling rule of AHRI Guideline K as described in public (not seen itself).
pub fn safe_fill(
    fluid: &Fluid,
    water_capacity: Mass,
    tare: Mass,
    fill: Option<Fraction>,
) -> Result<SafeFill, CylinderError> {
    let part = fill.unwrap_or(FILL);
    if !(part.ratio() > 0.0 && part.ratio() <= 1.0) {
        return Err(CylinderError::Fill(part));
    }
    let liquid_density = fluid.bubble_at_temperature(REFERENCE)?.density;
    let specific_gravity =
        liquid_density.kilogram_per_cubic_metre() / WATER_AT_77F.kilogram_per_cubic_metre();
    let (net, gross) = fill_by_specific_gravity(water_capacity, specific_gravity, tare, part)?;
    let volume = water_capacity / WATER_AT_77F;
    Ok(SafeFill {
        net,
        gross,
        specific_gravity,
        liquid_density,
        volume,
        fill: part,
        fill_assumed: fill.is_none(),
        liquid_full: liquid_full_temperature(fluid, net / volume)?,
    })
}

/// Returns net and gross limit for a specific gravity that is given, such as that on a maker's sheet.
///
/// # Errors
/// [`CylinderError`] for a capacity not above zero, a tare below zero, or a fill outside 0 to 1.
pub fn fill_by_specific_gravity(
    water_capacity: Mass,
    specific_gravity: f64,
    tare: Mass,
    fill: Fraction,
) -> Result<(Mass, Mass), CylinderError> {
    if water_capacity.kilogram().is_nan() || water_capacity.kilogram() <= 0.0 {
        return Err(CylinderError::Mass(water_capacity));
    }
    if tare.kilogram().is_nan() || tare.kilogram() < 0.0 {
        return Err(CylinderError::Mass(tare));
    }
    if !(fill.ratio() > 0.0 && fill.ratio() <= 1.0) {
        return Err(CylinderError::Fill(fill));
    }
    let net = water_capacity * (fill.ratio() * specific_gravity);
    Ok((net, net + tare))
}

/// Returns the most that a filling density, in per cent of the water capacity, allows.
///
/// Source: 49 CFR 173.304a, maximum permitted filling density; R-22 105 % (seen there, other rows to be looked up).
#[must_use]
pub fn filling_density_limit(water_capacity: Mass, filling_density: Fraction) -> Mass {
    water_capacity * filling_density.ratio()
}

/// Returns what may still go into a cylinder that shows `gross` on the scale; below zero if it is overfilled.
#[must_use]
pub fn room_left(limit: &SafeFill, gross: Mass) -> Mass {
    limit.gross - gross
}

/// Returns the temperature at which the liquid of a closed vessel fills it, for this mass by volume.
///
/// Where the bubble density has come down to the filling density. Sought from 0 °F upwards: a vessel that is full
/// there already answers 0 °F. Nothing if the bubble curve ends before it is full.
///
/// # Errors
/// The fluid's own, if it has no liquid at 0 °F.
pub fn liquid_full_temperature(
    fluid: &Fluid,
    filling: Density,
) -> Result<Option<Temperature>, CylinderError> {
    let density =
        |kelvin: f64| fluid.bubble_at_temperature(Temperature::from_kelvin(kelvin)).map(|b| b.density);
    let target = filling.kilogram_per_cubic_metre();
    let excess = |kelvin: f64| -> Result<f64, FluidError> {
        density(kelvin).map(|rho| rho.kilogram_per_cubic_metre() - target)
    };
    let mut low = Temperature::from_fahrenheit(0.0).kelvin();
    if excess(low)? <= 0.0 {
        return Ok(Some(Temperature::from_kelvin(low)));
    }
    loop {
        let high = low + 2.0;
        match excess(high) {
            Ok(left) if left <= 0.0 => {
                return Ok(bisect(low, high, 1e-6, excess)?.map(Temperature::from_kelvin));
            }
            Ok(_) => low = high,
            // The bubble curve ends before the density is reached.
            Err(_) => return Ok(None),
        }
    }
}

/// Returns the part of a vessel's volume that liquid fills at a temperature; 1 where liquid fills it all, 0 where all
/// is vapour.
///
/// m = V (x rho_liquid + (1 - x) rho_vapour), both saturated: bubble liquid, and the vapour that stands with it.
///
/// # Errors
/// [`CylinderError`] for a volume or mass not above zero, or no saturation at this temperature.
pub fn liquid_fraction(
    fluid: &Fluid,
    mass: Mass,
    volume: Volume,
    temperature: Temperature,
) -> Result<Fraction, CylinderError> {
    if !(mass.kilogram() > 0.0 && volume.cubic_metre() > 0.0) {
        return Err(CylinderError::Mass(mass));
    }
    let bubble = fluid.bubble_at_temperature(temperature)?;
    let liquid = bubble.density.kilogram_per_cubic_metre();
    let vapour = bubble.incipient.density.kilogram_per_cubic_metre();
    let mean = (mass / volume).kilogram_per_cubic_metre();
    Ok(Fraction::from_ratio(((mean - vapour) / (liquid - vapour)).clamp(0.0, 1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Net and gross limit in pounds.
    fn pounds(water: f64, gravity: f64, tare: f64) -> (f64, f64) {
        let (net, gross) =
            fill_by_specific_gravity(Mass::from_pound(water), gravity, Mass::from_pound(tare), FILL).unwrap();
        (net.pound(), gross.pound())
    }

    #[test]
    fn the_published_example() {
        // R-22 of specific gravity 1.197 in 1,000 lb of water capacity, tare 380 lb: 957.6 lb net, 1,337.6 lb gross.
        // Source: achrnews.com/articles/111771, on AHRI Guideline K-2004 (text seen).
        let (net, gross) = pounds(1000.0, 1.197, 380.0);
        assert!((net - 957.6).abs() < 1e-9 && (gross - 1337.6).abs() < 1e-9);
        // Constructed with the same formula.
        let (net, gross) = pounds(26.2, 1.197, 15.5);
        assert!((net - 25.089).abs() < 1e-3 && (gross - 40.589).abs() < 1e-3);
        let (net, gross) = pounds(47.7, 1.06, 28.0);
        assert!((net - 40.45).abs() < 1e-3 && (gross - 68.45).abs() < 1e-3);
    }

    #[test]
    fn impossible_cylinders_are_named() {
        let lb = Mass::from_pound;
        assert!(matches!(fill_by_specific_gravity(lb(0.0), 1.0, lb(1.0), FILL), Err(CylinderError::Mass(_))));
        assert!(matches!(
            fill_by_specific_gravity(lb(9.0), 1.0, lb(-1.0), FILL),
            Err(CylinderError::Mass(_))
        ));
        let over = Fraction::from_ratio(1.2);
        assert_eq!(fill_by_specific_gravity(lb(9.0), 1.0, lb(1.0), over), Err(CylinderError::Fill(over)));
    }
}
