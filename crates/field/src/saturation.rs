//! Dew, bubble and glide where a gauge was read.

use fluid::{Fluid, FluidError, SaturationTable};
use units::{AbsolutePressure, Temperature, TemperatureDifference, Uncertain};

/// Glide above which the mean-temperature variant is shown and the wrong curve is warned of: 1 K.
pub const GLIDE_THAT_MATTERS: TemperatureDifference = TemperatureDifference::from_kelvin(1.0);

/// What a line was read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadFrom {
    /// The fluid's own table, made from the full model and held against it.
    Table,
    /// The full model: beyond the table, or where there is none.
    Model,
}

/// Relative step of the pressure over which a table's slope is taken.
const STEP: f64 = 2e-3;

/// Returns temperature and slope dp/dT of bubble and dew line from the table; nothing where either lies beyond it, so that
/// one answer never mixes the two.
fn of_table(fluid: &Fluid, pressure: AbsolutePressure) -> Option<[(Temperature, f64); 2]> {
    let table = fluid.saturation_table()?;
    let read = |at: fn(&SaturationTable, AbsolutePressure) -> Option<Temperature>| {
        let beside = |part: f64| at(table, AbsolutePressure::from_pascal(part * pressure.pascal()));
        let rise = beside(1.0 + STEP)? - beside(1.0 - STEP)?;
        Some((at(table, pressure)?, 2.0 * STEP * pressure.pascal() / rise.kelvin()))
    };
    Some([read(SaturationTable::bubble_temperature)?, read(SaturationTable::dew_temperature)?])
}

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
    /// What both were read from.
    pub from: ReadFrom,
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
    let (bubble, dew, from) = match of_table(fluid, pressure) {
        Some([(bubble, _), (dew, _)]) => (bubble, dew, ReadFrom::Table),
        None => {
            let bubble = fluid.bubble_at_pressure(pressure)?.temperature;
            (bubble, fluid.dew_at_pressure(pressure)?.temperature, ReadFrom::Model)
        }
    };
    Ok(Glide { pressure, bubble, dew, glide: dew - bubble, from })
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
    let (temperature, slope) = match of_table(fluid, pressure.value()) {
        Some([_, found]) => found,
        None => {
            let point = fluid.dew_at_pressure(pressure.value())?;
            (point.temperature, point.slope)
        }
    };
    Ok((pressure.map(temperature, 1.0 / slope), slope))
}

/// Returns the bubble temperature at a pressure with the pressure's doubts, and the slope dp/dT there in Pa/K.
///
/// # Errors
/// The fluid's own.
pub fn bubble(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
) -> Result<(Uncertain<Temperature>, f64), FluidError> {
    let (temperature, slope) = match of_table(fluid, pressure.value()) {
        Some([found, _]) => found,
        None => {
            let point = fluid.bubble_at_pressure(pressure.value())?;
            (point.temperature, point.slope)
        }
    };
    Ok((pressure.map(temperature, 1.0 / slope), slope))
}
