//! One door to the engine's calls, natively and in wasm, so that their results can be compared bit by bit.

use fluid::State;
use units::{AbsolutePressure, Fraction, SEA_LEVEL, SpecificEnthalpy, SpecificEntropy, Temperature};

/// The calls, by number: their names, for the file of expected results.
pub const CALLS: [&str; 15] = [
    "bubble pressure at K",
    "dew pressure at K",
    "bubble temperature at Pa",
    "dew temperature at Pa",
    "density at Pa, K",
    "entropy at Pa, K",
    "temperature at Pa, J/kg",
    "temperature at Pa, J/kg K",
    "flux of an outflow in equilibrium at K, quality",
    "flux of a frozen outflow at K, quality",
    "flux of an outflow in equilibrium at Pa, K",
    "flux of a frozen outflow at Pa, K",
    "viscosity at Pa, K",
    "conductivity at Pa, K",
    "surface tension at K",
];

/// How many of the calls, from the first, are of lines and states.
pub const LINES_AND_STATES: usize = 8;

/// Returns the bits of the answer of call number `call` for the refrigerant number `refrigerant`; all ones where the
/// engine answers with an error.
#[allow(unsafe_code)] // The attribute alone: it exports the name to the wasm module.
#[unsafe(no_mangle)]
pub extern "C" fn answer_bits(refrigerant: u32, call: u32, a: f64, b: f64) -> u64 {
    answer(refrigerant, call, a, b).map_or(u64::MAX, f64::to_bits)
}

/// Returns the answer itself, or nothing where the engine answers with an error.
#[must_use]
pub fn answer(refrigerant: u32, call: u32, a: f64, b: f64) -> Option<f64> {
    let fluid = refrigerant::all().get(refrigerant as usize)?.fluid();
    let (t, p) = (Temperature::from_kelvin(a), AbsolutePressure::from_pascal(a));
    match call {
        0 => Some(fluid.bubble_at_temperature(t).ok()?.pressure.pascal()),
        1 => Some(fluid.dew_at_temperature(t).ok()?.pressure.pascal()),
        2 => Some(fluid.bubble_at_pressure(p).ok()?.temperature.kelvin()),
        3 => Some(fluid.dew_at_pressure(p).ok()?.temperature.kelvin()),
        4 | 5 => {
            let state = fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(b)).ok()?;
            Some(if call == 4 {
                state.density.kilogram_per_cubic_metre()
            } else {
                state.entropy.joule_per_kilogram_kelvin()
            })
        }
        6 => {
            let enthalpy = SpecificEnthalpy::from_joule_per_kilogram(b);
            Some(fluid.state_at_pressure_enthalpy(p, enthalpy).ok()?.temperature.kelvin())
        }
        7 => {
            let entropy = SpecificEntropy::from_joule_per_kilogram_kelvin(b);
            Some(fluid.state_at_pressure_entropy(p, entropy).ok()?.temperature.kelvin())
        }
        8..=11 => {
            let inside = if call < 10 {
                fluid.state_at_temperature_quality(t, Fraction::from_ratio(b)).ok()?
            } else {
                fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(b)).ok()?
            };
            let flow = if matches!(call, 8 | 10) {
                fluid.outflow_in_equilibrium(&inside, SEA_LEVEL)
            } else {
                fluid.outflow_frozen(&inside, SEA_LEVEL)
            };
            Some(flow.ok()?.flux)
        }
        12 | 13 => {
            let State { density, temperature, .. } =
                fluid.state_at_pressure_temperature(p, Temperature::from_kelvin(b)).ok()?;
            let found = refrigerant::transport(&fluid, density, temperature)?;
            if call == 12 { Some(found.viscosity_pa_s) } else { found.conductivity_w_m_k }
        }
        14 => refrigerant::surface_tension(&fluid, t),
        _ => None,
    }
}
