//! The gas of a fluid behind a leak.

use super::{Gas, LeakError};
use fluid::{Fluid, Phase};
use units::{AbsolutePressure, Speed, Temperature};

impl Gas {
    /// Returns the gas of `fluid` at this pressure and temperature; saturated vapour if no temperature is given.
    ///
    /// # Errors
    /// [`LeakError`] if there is no such state or it is no gas.
    pub fn of(
        fluid: &Fluid,
        pressure: AbsolutePressure,
        temperature: Option<Temperature>,
    ) -> Result<Self, LeakError> {
        let state = match temperature {
            Some(temperature) => fluid.state_at_pressure_temperature(pressure, temperature)?,
            None => {
                let dew = fluid.dew_at_pressure(pressure)?;
                fluid.state_at_density_temperature(dew.density, dew.temperature)?
            }
        };
        let Some(speed) = state.speed_of_sound.map(Speed::metre_per_second) else {
            return Err(LeakError::NotAGas);
        };
        let exponent = state.density.kilogram_per_cubic_metre() * speed * speed / state.pressure.pascal();
        if state.phase == Phase::Liquid || !exponent.is_finite() || exponent <= 0.0 {
            return Err(LeakError::NotAGas);
        }
        Ok(Self {
            pressure,
            temperature: state.temperature,
            density: state.density,
            molar_mass: fluid.molar_mass(),
            isentropic_exponent: exponent,
        })
    }
}
