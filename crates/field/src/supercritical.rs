//! What stands in the place of saturation above the critical pressure.

use fluid::{Fluid, FluidError, State};
use units::{AbsolutePressure, Temperature};

/// What can be said where there is no saturation.
#[derive(Clone, Debug, PartialEq)]
pub struct AboveCritical {
    /// The state itself: density and enthalpy are what may be used.
    pub state: State,
    /// The temperature at which the heat capacity peaks at this pressure, if it does within 25 % of the temperature
    /// given: it stands in for a saturation temperature.
    pub pseudo_critical: Option<Temperature>,
}

/// Returns the state at a pressure above the critical one, with the pseudo-critical temperature of that pressure.
///
/// # Errors
/// The fluid's own.
pub fn above_critical(
    fluid: &Fluid,
    pressure: AbsolutePressure,
    temperature: Temperature,
) -> Result<AboveCritical, FluidError> {
    let state = fluid.state_at_pressure_temperature(pressure, temperature)?;
    let heat_capacity = |kelvin: f64| {
        let state = fluid.state_at_pressure_temperature(pressure, Temperature::from_kelvin(kelvin)).ok()?;
        state.cp.map(|cp| cp.joule_per_kilogram_kelvin())
    };
    let (low, high) = (0.8 * temperature.kelvin(), 1.25 * temperature.kelvin());
    let steps = 40;
    let at = |step: i32| low + (high - low) * f64::from(step) / f64::from(steps);
    let peak = (0..=steps)
        .filter_map(|step| heat_capacity(at(step)).map(|cp| (step, cp)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let pseudo_critical = match peak {
        Some((step, _)) if step > 0 && step < steps => {
            let (mut a, mut b) = (at(step - 1), at(step + 1));
            // Thirds: the peak is the only one between its neighbours.
            while b - a > 1e-3 {
                let (c, d) = (a + (b - a) / 3.0, b - (b - a) / 3.0);
                match (heat_capacity(c), heat_capacity(d)) {
                    (Some(at_c), Some(at_d)) if at_c < at_d => a = c,
                    (Some(_), Some(_)) => b = d,
                    _ => break,
                }
            }
            (b - a <= 1e-3).then(|| Temperature::from_kelvin(0.5 * (a + b)))
        }
        _ => None,
    };
    Ok(AboveCritical { state, pseudo_critical })
}
