//! What a suction line without insulation takes up from the air, and what that does to the gas in it.

use fluid::{Fluid, FluidError};
use units::{AbsolutePressure, Length, Power, Temperature, TemperatureDifference};

/// Heat that passes from air to a bare cold pipe, W/(m2 K): still air, and air that moves or a pipe that drips. From memory:
/// common engineering values for convection and radiation together; no source was read.
pub const PASSES: (f64, f64) = (6.0, 15.0);

/// What a bare line costs, from the lower to the upper end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BareLine {
    /// The heat that the compressor pumps out for nothing.
    pub heat: (Power, Power),
    /// How much warmer the gas comes to the compressor.
    pub warmer: (TemperatureDifference, TemperatureDifference),
}

/// What is known of the line and the system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Outside diameter.
    pub diameter: Length,
    /// Bare length.
    pub length: Length,
    /// Of the air around it.
    pub air: Temperature,
    /// Of the pipe.
    pub pipe: Temperature,
    /// Of the gas in it.
    pub pressure: AbsolutePressure,
    /// Of the liquid before the expansion device.
    pub liquid: Temperature,
    /// Cooling of the system while it runs.
    pub capacity: Power,
}

/// Returns what a bare line costs; nothing where it is not colder than the air, or where a size is not above zero.
///
/// # Errors
/// [`FluidError`] where the gas has no such state.
pub fn bare_line(fluid: &Fluid, line: &Line) -> Result<Option<BareLine>, FluidError> {
    let colder = (line.air - line.pipe).kelvin();
    let area = core::f64::consts::PI * line.diameter.metre() * line.length.metre();
    if !(colder > 0.0 && area > 0.0 && line.capacity.watt() > 0.0) {
        return Ok(None);
    }
    let gas = |at: f64| {
        let state = fluid.state_at_pressure_temperature(line.pressure, Temperature::from_kelvin(at))?;
        Ok::<f64, FluidError>(state.enthalpy.joule_per_kilogram())
    };
    let pipe = line.pipe.kelvin();
    // The heat capacity of the gas over the ten kelvins above the pipe.
    let (here, above) = (gas(pipe)?, gas(pipe + 10.0)?);
    let per_kelvin = (above - here) / 10.0;
    let liquid = fluid.bubble_at_temperature(line.liquid)?.enthalpy.joule_per_kilogram();
    let gained = here - liquid;
    if !(per_kelvin > 0.0 && gained > 0.0) {
        return Ok(None);
    }
    let flow = line.capacity.watt() / gained;
    let at = |passes: f64| {
        let heat = passes * area * colder;
        (Power::from_watt(heat), TemperatureDifference::from_kelvin(heat / (flow * per_kelvin)))
    };
    let (low, high) = (at(PASSES.0), at(PASSES.1));
    Ok(Some(BareLine { heat: (low.0, high.0), warmer: (low.1, high.1) }))
}
