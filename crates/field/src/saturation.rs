//! Dew, bubble and glide where a gauge was read.

use fluid::{Fluid, FluidError};
use units::{AbsolutePressure, Temperature, TemperatureDifference, Uncertain};

/// Glide above which the mean-temperature variant is shown and the wrong curve is warned of: 1 K.
pub const GLIDE_THAT_MATTERS: TemperatureDifference = TemperatureDifference::from_kelvin(1.0);

/// Both ends of the two-phase region at one pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glide {
    /// The pressure.
    pub pressure: AbsolutePressure,
    /// Where boiling begins.
    pub bubble: Temperature,
    /// Where boiling ends.
    pub dew: Temperature,
    /// Dew less bubble.
    pub glide: TemperatureDifference,
}

impl Glide {
    /// Returns whether the two curves lie so far apart that taking the wrong one matters (over 1 K).
    #[must_use]
    pub fn matters(&self) -> bool {
        self.glide > GLIDE_THAT_MATTERS
    }
}

/// Returns bubble, dew and glide at a pressure.
///
/// # Errors
/// The fluid's own, such as a pressure above the critical one.
pub fn glide_at_pressure(fluid: &Fluid, pressure: AbsolutePressure) -> Result<Glide, FluidError> {
    let bubble = fluid.bubble_at_pressure(pressure)?.temperature;
    let dew = fluid.dew_at_pressure(pressure)?.temperature;
    Ok(Glide { pressure, bubble, dew, glide: dew - bubble })
}

/// Returns bubble, dew and glide for a temperature: at the bubble pressure of that temperature.
///
/// # Errors
/// The fluid's own, such as a temperature below the triple point.
pub fn glide_at_temperature(fluid: &Fluid, temperature: Temperature) -> Result<Glide, FluidError> {
    glide_at_pressure(fluid, fluid.bubble_at_temperature(temperature)?.pressure)
}

/// Returns the dew temperature at a pressure with the pressure's doubts, and the slope dp/dT there in Pa/K.
///
/// # Errors
/// The fluid's own.
pub fn dew(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
) -> Result<(Uncertain<Temperature>, f64), FluidError> {
    let point = fluid.dew_at_pressure(pressure.value())?;
    Ok((pressure.map(point.temperature, 1.0 / point.slope), point.slope))
}

/// Returns the bubble temperature at a pressure with the pressure's doubts, and the slope dp/dT there in Pa/K.
///
/// # Errors
/// The fluid's own.
pub fn bubble(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
) -> Result<(Uncertain<Temperature>, f64), FluidError> {
    let point = fluid.bubble_at_pressure(pressure.value())?;
    Ok((pressure.map(point.temperature, 1.0 / point.slope), point.slope))
}
