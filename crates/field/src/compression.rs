//! The compressor by its gas: compression ratio, expected discharge temperature, overall isentropic efficiency.

use crate::numeric::derivative;
use fluid::{Fluid, FluidError};
use units::{AbsolutePressure, Fraction, MassFlow, Power, SpecificEnthalpy, Temperature, Uncertain, combine};

/// Why nothing can be said of a compression.
#[derive(Clone, Debug, PartialEq)]
pub enum CompressionError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// A pressure is not above zero.
    Pressure(AbsolutePressure),
    /// Discharge is not above suction.
    NotCompressed {
        /// Suction pressure.
        suction: AbsolutePressure,
        /// Discharge pressure.
        discharge: AbsolutePressure,
    },
    /// The efficiency is outside 0 to 1.
    Efficiency(Fraction),
    /// The power is not above zero.
    Power(Power),
}

impl From<FluidError> for CompressionError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

/// Returns the compression ratio: absolute discharge over absolute suction pressure, at the compressor.
///
/// # Errors
/// [`CompressionError::Pressure`] for a pressure not above zero.
pub fn compression_ratio(
    suction: &Uncertain<AbsolutePressure>,
    discharge: &Uncertain<AbsolutePressure>,
) -> Result<Uncertain<Fraction>, CompressionError> {
    let (p1, p2) = (suction.value().pascal(), discharge.value().pascal());
    for pressure in [suction.value(), discharge.value()] {
        if pressure.pascal().is_nan() || pressure.pascal() <= 0.0 {
            return Err(CompressionError::Pressure(pressure));
        }
    }
    let ratio = p2 / p1;
    Ok(combine(Fraction::from_ratio(ratio), [suction.part(-ratio / p1), discharge.part(1.0 / p1)]))
}

/// The gas before and after a compression without heat loss.
#[derive(Clone, Debug, PartialEq)]
pub struct Discharge {
    /// The discharge temperature for the efficiency given: an upper bound for a shell that loses heat.
    pub temperature: Uncertain<Temperature>,
    /// The temperature of an isentropic compression.
    pub isentropic: Temperature,
    /// Enthalpy of the return gas.
    pub suction_enthalpy: SpecificEnthalpy,
    /// Enthalpy after the isentropic compression.
    pub isentropic_enthalpy: SpecificEnthalpy,
    /// Enthalpy at discharge.
    pub discharge_enthalpy: SpecificEnthalpy,
}

/// Returns the discharge temperature expected of a compressor of this isentropic efficiency.
///
/// h2 = h1 + (h2s - h1)/eta at the discharge pressure, all the work going into the gas: an upper bound for hermetic
/// compressors, which lose heat through the shell.
///
/// # Errors
/// [`CompressionError`] for a discharge not above suction, an efficiency outside 0 to 1, or no such state.
pub fn expected_discharge(
    fluid: &Fluid,
    suction_pressure: &Uncertain<AbsolutePressure>,
    suction_temperature: &Uncertain<Temperature>,
    discharge_pressure: &Uncertain<AbsolutePressure>,
    efficiency: &Uncertain<Fraction>,
) -> Result<Discharge, CompressionError> {
    check(suction_pressure, discharge_pressure)?;
    let eta = efficiency.value().ratio();
    if !(eta > 0.0 && eta <= 1.0) {
        return Err(CompressionError::Efficiency(efficiency.value()));
    }
    let compress = |p1: f64, t1: f64, p2: f64, eta: f64| -> Result<Discharge, FluidError> {
        let ideal = isentropic(fluid, p1, t1, p2)?;
        let h1 = ideal.suction.joule_per_kilogram();
        let h2 = h1 + (ideal.enthalpy.joule_per_kilogram() - h1) / eta;
        let discharge_enthalpy = SpecificEnthalpy::from_joule_per_kilogram(h2);
        let state =
            fluid.state_at_pressure_enthalpy(AbsolutePressure::from_pascal(p2), discharge_enthalpy)?;
        Ok(Discharge {
            temperature: Uncertain::exact(state.temperature),
            isentropic: ideal.temperature,
            suction_enthalpy: ideal.suction,
            isentropic_enthalpy: ideal.enthalpy,
            discharge_enthalpy,
        })
    };
    let (p1, t1, p2) = (
        suction_pressure.value().pascal(),
        suction_temperature.value().kelvin(),
        discharge_pressure.value().pascal(),
    );
    let kelvin = |found: Result<Discharge, FluidError>| Ok(found?.temperature.value().kelvin());
    let mut found = compress(p1, t1, p2, eta)?;
    let parts: [Result<_, FluidError>; 4] = [
        derivative(p1, 1e-3 * p1, |p1| kelvin(compress(p1, t1, p2, eta))).map(|d| suction_pressure.part(d)),
        derivative(t1, 0.05, |t1| kelvin(compress(p1, t1, p2, eta))).map(|d| suction_temperature.part(d)),
        derivative(p2, 1e-3 * p2, |p2| kelvin(compress(p1, t1, p2, eta))).map(|d| discharge_pressure.part(d)),
        derivative(eta, 1e-3 * eta, |eta| kelvin(compress(p1, t1, p2, eta))).map(|d| efficiency.part(d)),
    ];
    let parts = parts.into_iter().collect::<Result<Vec<_>, _>>()?;
    found.temperature = combine(found.temperature.value(), parts);
    Ok(found)
}

/// The overall isentropic efficiency of a compressor and what it was made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Efficiency {
    /// Isentropic power over electric power.
    pub efficiency: Uncertain<Fraction>,
    /// The power that the isentropic compression would take.
    pub isentropic_power: Power,
    /// Enthalpy of the return gas.
    pub suction_enthalpy: SpecificEnthalpy,
    /// Enthalpy after the isentropic compression.
    pub isentropic_enthalpy: SpecificEnthalpy,
}

/// Returns the overall isentropic efficiency: m (h2s - h1) / W, with the electric power W.
///
/// # Errors
/// [`CompressionError`] for a discharge not above suction, a power not above zero, or no such state.
pub fn overall_isentropic_efficiency(
    fluid: &Fluid,
    suction_pressure: &Uncertain<AbsolutePressure>,
    suction_temperature: &Uncertain<Temperature>,
    discharge_pressure: &Uncertain<AbsolutePressure>,
    mass_flow: &Uncertain<MassFlow>,
    power: &Uncertain<Power>,
) -> Result<Efficiency, CompressionError> {
    check(suction_pressure, discharge_pressure)?;
    let (m, w) = (mass_flow.value().kilogram_per_second(), power.value().watt());
    if w.is_nan() || w <= 0.0 {
        return Err(CompressionError::Power(power.value()));
    }
    let (p1, t1, p2) = (
        suction_pressure.value().pascal(),
        suction_temperature.value().kelvin(),
        discharge_pressure.value().pascal(),
    );
    let work = |p1: f64, t1: f64, p2: f64| -> Result<f64, FluidError> {
        let ideal = isentropic(fluid, p1, t1, p2)?;
        Ok(ideal.enthalpy.joule_per_kilogram() - ideal.suction.joule_per_kilogram())
    };
    let ideal = isentropic(fluid, p1, t1, p2)?;
    let by_mass = work(p1, t1, p2)?;
    let eta = m * by_mass / w;
    let parts = [
        suction_pressure.part(m / w * derivative(p1, 1e-3 * p1, |p1| work(p1, t1, p2))?),
        suction_temperature.part(m / w * derivative(t1, 0.05, |t1| work(p1, t1, p2))?),
        discharge_pressure.part(m / w * derivative(p2, 1e-3 * p2, |p2| work(p1, t1, p2))?),
        mass_flow.part(by_mass / w),
        power.part(-eta / w),
    ];
    Ok(Efficiency {
        efficiency: combine(Fraction::from_ratio(eta), parts),
        isentropic_power: Power::from_watt(m * by_mass),
        suction_enthalpy: ideal.suction,
        isentropic_enthalpy: ideal.enthalpy,
    })
}

/// Returns the isentropic efficiency that the gas itself shows: (h2s - h1)/(h2 - h1) from the temperatures of both lines.
///
/// Heat that the shell or the line loses makes it look better than it is: an upper bound of the overall efficiency of a
/// compressor whose motor the gas cools.
///
/// # Errors
/// [`CompressionError`] for a discharge not above suction, or no such state.
pub fn efficiency_by_discharge(
    fluid: &Fluid,
    suction_pressure: &Uncertain<AbsolutePressure>,
    suction_temperature: &Uncertain<Temperature>,
    discharge_pressure: &Uncertain<AbsolutePressure>,
    discharge_temperature: &Uncertain<Temperature>,
) -> Result<Uncertain<Fraction>, CompressionError> {
    check(suction_pressure, discharge_pressure)?;
    let (p1, t1) = (suction_pressure.value().pascal(), suction_temperature.value().kelvin());
    let (p2, t2) = (discharge_pressure.value().pascal(), discharge_temperature.value().kelvin());
    let eta = |p1: f64, t1: f64, p2: f64, t2: f64| -> Result<f64, FluidError> {
        let ideal = isentropic(fluid, p1, t1, p2)?;
        let after = fluid
            .state_at_pressure_temperature(AbsolutePressure::from_pascal(p2), Temperature::from_kelvin(t2))?;
        let h1 = ideal.suction.joule_per_kilogram();
        Ok((ideal.enthalpy.joule_per_kilogram() - h1) / (after.enthalpy.joule_per_kilogram() - h1))
    };
    let value = eta(p1, t1, p2, t2)?;
    // Gas that leaves with no more heat than it came in with was not compressed: a wet line, or a wrong reading.
    if value.is_nan() || value <= 0.0 {
        return Err(CompressionError::Efficiency(Fraction::from_ratio(value)));
    }
    let parts = [
        suction_pressure.part(derivative(p1, 1e-3 * p1, |p1| eta(p1, t1, p2, t2))?),
        suction_temperature.part(derivative(t1, 0.05, |t1| eta(p1, t1, p2, t2))?),
        discharge_pressure.part(derivative(p2, 1e-3 * p2, |p2| eta(p1, t1, p2, t2))?),
        discharge_temperature.part(derivative(t2, 0.05, |t2| eta(p1, t1, p2, t2))?),
    ];
    Ok(combine(Fraction::from_ratio(value), parts))
}

/// Overall isentropic efficiency of compressors in use: tenth, fiftieth and ninetieth percentile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UsualBand {
    /// One in ten lies below.
    pub low: Fraction,
    /// The middle.
    pub middle: Fraction,
    /// One in ten lies above.
    pub high: Fraction,
}

/// Ratio, tenth, fiftieth and ninetieth percentile over 764 compressors of the public EnergyPlus collection of compressor curves;
/// the statistics alone are kept. R-404A, evaporating below -17.8 °C.
const BAND_LOW: [(f64, [f64; 3]); 3] =
    [(5.0, [0.53, 0.62, 0.72]), (8.0, [0.49, 0.59, 0.71]), (12.0, [0.41, 0.53, 0.70])];
/// As above, R-404A, evaporating from -17.8 to 4.4 °C.
const BAND_MEDIUM: [(f64, [f64; 3]); 2] = [(3.0, [0.47, 0.61, 0.71]), (5.0, [0.49, 0.63, 0.72])];
/// The boundary between the two.
const MEDIUM_FROM: Temperature = Temperature::from_celsius(-17.8);

/// Returns what is usual at a compression ratio and an evaporating temperature; between the ratios in a straight line, beyond them
/// the nearest.
#[must_use]
pub fn usual_band(ratio: Fraction, evaporating: Temperature) -> UsualBand {
    let table: &[(f64, [f64; 3])] = if evaporating < MEDIUM_FROM { &BAND_LOW } else { &BAND_MEDIUM };
    let ratio = ratio.ratio();
    let mut found = table.last().map_or([0.0; 3], |row| row.1);
    if let Some((first, values)) = table.first()
        && ratio <= *first
    {
        found = *values;
    }
    for pair in table.windows(2) {
        let ((from, low), (to, high)) = (pair[0], pair[1]);
        if ratio > from && ratio <= to {
            let part = (ratio - from) / (to - from);
            for (at, value) in found.iter_mut().enumerate() {
                *value = low[at] + part * (high[at] - low[at]);
            }
        }
    }
    let [low, middle, high] = found.map(Fraction::from_ratio);
    UsualBand { low, middle, high }
}

struct Isentropic {
    suction: SpecificEnthalpy,
    enthalpy: SpecificEnthalpy,
    temperature: Temperature,
}

fn isentropic(fluid: &Fluid, p1: f64, t1: f64, p2: f64) -> Result<Isentropic, FluidError> {
    let before = fluid
        .state_at_pressure_temperature(AbsolutePressure::from_pascal(p1), Temperature::from_kelvin(t1))?;
    let after = fluid.state_at_pressure_entropy(AbsolutePressure::from_pascal(p2), before.entropy)?;
    Ok(Isentropic { suction: before.enthalpy, enthalpy: after.enthalpy, temperature: after.temperature })
}

fn check(
    suction: &Uncertain<AbsolutePressure>,
    discharge: &Uncertain<AbsolutePressure>,
) -> Result<(), CompressionError> {
    let (suction, discharge) = (suction.value(), discharge.value());
    if suction.pascal().is_nan() || suction.pascal() <= 0.0 {
        return Err(CompressionError::Pressure(suction));
    }
    if discharge > suction { Ok(()) } else { Err(CompressionError::NotCompressed { suction, discharge }) }
}
