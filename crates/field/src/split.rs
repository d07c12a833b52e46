//! Temperature differences between air and refrigerant: evaporator TD and condenser split.

use crate::numeric::derivative;
use crate::saturation::{Glide, bubble, dew, glide_at_pressure};
use fluid::{Fluid, FluidError};
use units::{
    AbsolutePressure, Fraction, SpecificEnthalpy, Temperature, TemperatureDifference, Uncertain, combine,
};

/// How the refrigerant enters an evaporator.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EvaporatorInlet {
    /// With this vapour quality by mass.
    Quality(Fraction),
    /// With this enthalpy, such as that of the liquid before the valve.
    Enthalpy(SpecificEnthalpy),
}

/// The variant by mean refrigerant temperature, for blends with glide.
#[derive(Clone, Debug, PartialEq)]
pub enum MeanVariant {
    /// The glide is at most 1 K: not shown.
    NotNeeded,
    /// The glide is over 1 K, but how the refrigerant enters is not known.
    InletUnknown,
    /// Shown beside the dew variant, and named so.
    Known {
        /// The refrigerant temperature at the other end: evaporator inlet, or condenser outlet (bubble).
        other_end: Uncertain<Temperature>,
        /// The mean of that and dew.
        mean: Uncertain<Temperature>,
        /// The difference to the air by that mean.
        difference: Uncertain<TemperatureDifference>,
    },
}

/// A difference between air and refrigerant, by dew, with the mean variant beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct AirDifference {
    /// The difference by dew.
    pub difference: Uncertain<TemperatureDifference>,
    /// The dew temperature, with the doubts of the pressure.
    pub dew: Uncertain<Temperature>,
    /// The air entering, as given.
    pub air_entering: Uncertain<Temperature>,
    /// The pressure, as given.
    pub pressure: Uncertain<AbsolutePressure>,
    /// Both curves at that pressure.
    pub glide: Glide,
    /// The variant by mean temperature.
    pub mean: MeanVariant,
}

/// Returns the evaporator TD: air entering less dew at the coil outlet pressure.
///
/// The mean variant takes (temperature at the inlet quality + dew)/2, both at the outlet pressure: the pressure drop of
/// the coil is left out. A pressure read at the compressor lies below the coil's by the drop of the suction line.
///
/// # Errors
/// The fluid's own.
pub fn evaporator_td(
    fluid: &Fluid,
    outlet_pressure: &Uncertain<AbsolutePressure>,
    air_entering: &Uncertain<Temperature>,
    inlet: Option<EvaporatorInlet>,
) -> Result<AirDifference, FluidError> {
    let (dew, _) = dew(fluid, outlet_pressure)?;
    let glide = glide_at_pressure(fluid, outlet_pressure.value())?;
    let mean = match (glide.matters(), inlet) {
        (false, _) => MeanVariant::NotNeeded,
        (true, None) => MeanVariant::InletUnknown,
        (true, Some(inlet)) => {
            let temperature = |pascal: f64| {
                let pressure = AbsolutePressure::from_pascal(pascal);
                let state = match inlet {
                    EvaporatorInlet::Quality(quality) => fluid.state_at_pressure_quality(pressure, quality),
                    EvaporatorInlet::Enthalpy(enthalpy) => {
                        fluid.state_at_pressure_enthalpy(pressure, enthalpy)
                    }
                }?;
                Ok(state.temperature.kelvin())
            };
            let pascal = outlet_pressure.value().pascal();
            let at_inlet = Temperature::from_kelvin(temperature(pascal)?);
            let per_pascal = derivative(pascal, 1e-3 * pascal, temperature)?;
            mean_variant(&outlet_pressure.map(at_inlet, per_pascal), &dew, air_entering, 1.0)
        }
    };
    Ok(AirDifference {
        difference: combine(air_entering.value() - dew.value(), [air_entering.part(1.0), dew.part(-1.0)]),
        dew,
        air_entering: air_entering.clone(),
        pressure: outlet_pressure.clone(),
        glide,
        mean,
    })
}

/// Returns the condenser split: dew at the condenser pressure less air entering.
///
/// The mean variant takes (bubble + dew)/2 at that pressure.
///
/// # Errors
/// The fluid's own: above the critical pressure nothing condenses.
pub fn condenser_split(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
    air_entering: &Uncertain<Temperature>,
) -> Result<AirDifference, FluidError> {
    let (dew, _) = dew(fluid, pressure)?;
    let glide = glide_at_pressure(fluid, pressure.value())?;
    let mean = if glide.matters() {
        mean_variant(&bubble(fluid, pressure)?.0, &dew, air_entering, -1.0)
    } else {
        MeanVariant::NotNeeded
    };
    Ok(AirDifference {
        difference: combine(dew.value() - air_entering.value(), [dew.part(1.0), air_entering.part(-1.0)]),
        dew,
        air_entering: air_entering.clone(),
        pressure: pressure.clone(),
        glide,
        mean,
    })
}

/// `sign` is +1 for air less refrigerant, -1 for refrigerant less air.
fn mean_variant(
    other_end: &Uncertain<Temperature>,
    dew: &Uncertain<Temperature>,
    air: &Uncertain<Temperature>,
    sign: f64,
) -> MeanVariant {
    let mean = Temperature::from_kelvin(0.5 * (other_end.value().kelvin() + dew.value().kelvin()));
    let mean = combine(mean, [other_end.part(0.5), dew.part(0.5)]);
    let difference = TemperatureDifference::from_kelvin(sign * (air.value() - mean.value()).kelvin());
    MeanVariant::Known {
        difference: combine(difference, [air.part(sign), mean.part(-sign)]),
        other_end: other_end.clone(),
        mean,
    }
}
