//! How much refrigerant a system ought to hold, part by part: two-phase coils by void fraction, lines, the receiver's seal.

use cycle::Void;
use fluid::{Fluid, FluidError};
use units::{AbsolutePressure, Density, Fraction, Length, Mass, Temperature, Volume};

/// Returns the mean density of a two-phase stretch whose quality goes evenly from one value to another: heat taken up or
/// given off evenly along the way.
///
/// # Errors
/// The fluid's own, where there is no saturation at that pressure.
pub fn mean_density(
    fluid: &Fluid,
    pressure: AbsolutePressure,
    from: f64,
    to: f64,
    law: Void,
) -> Result<Density, FluidError> {
    let l = fluid.bubble_at_pressure(pressure)?.density.kilogram_per_cubic_metre();
    let v = fluid.dew_at_pressure(pressure)?.density.kilogram_per_cubic_metre();
    let filled = law.mean(from, to, v / l);
    Ok(Density::from_kilogram_per_cubic_metre(filled * v + (1.0 - filled) * l))
}

/// A part of the system with what it holds, at least and at most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Which part.
    pub part: Part,
    /// At least.
    pub low: Mass,
    /// At most.
    pub high: Mass,
}

/// A part of the system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The condenser, not flooded beyond what it must.
    Condenser,
    /// What floods the condenser to hold the head.
    Flooded,
    /// The receiver, up to its seal.
    Receiver,
    /// The liquid line.
    LiquidLine,
    /// The evaporator.
    Evaporator,
    /// Suction and discharge lines.
    VapourLines,
}

/// A system as far as its volumes are known, at one state. Of each volume the two ends of what is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Volumes {
    /// The condenser.
    pub condenser: Option<(Volume, Volume)>,
    /// The receiver.
    pub receiver: Option<(Volume, Volume)>,
    /// The liquid line.
    pub liquid_line: Option<(Volume, Volume)>,
    /// The evaporator.
    pub evaporator: Option<(Volume, Volume)>,
    /// The suction line.
    pub suction_line: Option<(Volume, Volume)>,
    /// The discharge line.
    pub discharge_line: Option<(Volume, Volume)>,
}

/// The state it is reckoned for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct At {
    /// Condensing, by dew.
    pub condensing: Temperature,
    /// Evaporating, by dew.
    pub evaporating: Temperature,
    /// The liquid before the valve.
    pub liquid: Temperature,
    /// The part of the condenser that stands full of liquid.
    pub flooded: Fraction,
}

/// The receiver's seal over its outlet, part of its volume: a tenth to a third (common practice, no source).
const SEAL: (f64, f64) = (0.1, 0.33);
/// Of a condenser that is not flooded, the part that cools gas down and the part that cools liquid (judgement).
const GAS_PART: f64 = 0.1;
/// See [`GAS_PART`].
const LIQUID_PART: (f64, f64) = (0.0, 0.1);

/// Returns what each part holds whose volume is known, running in that state.
///
/// Two-phase stretches between the law of one speed (least) and Zivi's (most); the evaporator from the quality behind the
/// valve to 1; the condenser from 1 to 0 between a part for gas and one for liquid; the receiver between the least and the
/// most seal, its rest vapour. Oil holds some refrigerant besides and is left out.
///
/// # Errors
/// The fluid's own.
pub fn inventory(fluid: &Fluid, volumes: &Volumes, at: &At) -> Result<Vec<Held>, FluidError> {
    let high_side = fluid.dew_at_temperature(at.condensing)?;
    let low_side = fluid.dew_at_temperature(at.evaporating)?;
    let per = |density: Density| density.kilogram_per_cubic_metre();
    let liquid = fluid.bubble_at_temperature(at.liquid)?;
    let (hot_liquid, hot_vapour) =
        (per(fluid.bubble_at_pressure(high_side.pressure)?.density), per(high_side.density));
    let mut out = Vec::new();
    let mut put = |part: Part, volume: Option<(Volume, Volume)>, low: f64, high: f64| {
        if let Some((least, most)) = volume {
            out.push(Held {
                part,
                low: Mass::from_kilogram(least.cubic_metre() * low),
                high: Mass::from_kilogram(most.cubic_metre() * high),
            });
        }
    };
    let two_phase = |law| mean_density(fluid, high_side.pressure, 1.0, 0.0, law).map(per);
    let (thin, thick) = (two_phase(Void::Homogeneous)?, two_phase(Void::Zivi)?);
    let open = 1.0 - at.flooded.ratio();
    let coil = |two_phase: f64, liquid_part: f64| {
        GAS_PART * hot_vapour + liquid_part * hot_liquid + (1.0 - GAS_PART - liquid_part) * two_phase
    };
    put(
        Part::Condenser,
        volumes.condenser,
        open * coil(thin, LIQUID_PART.0),
        open * coil(thick, LIQUID_PART.1),
    );
    if at.flooded.ratio() > 0.0 {
        let full = at.flooded.ratio() * per(liquid.density);
        put(Part::Flooded, volumes.condenser, full, full);
    }
    let seal = |part: f64| part * hot_liquid + (1.0 - part) * hot_vapour;
    put(Part::Receiver, volumes.receiver, seal(SEAL.0), seal(SEAL.1));
    put(Part::LiquidLine, volumes.liquid_line, per(liquid.density), per(liquid.density));
    let none = Fraction::from_ratio(0.0);
    let before = fluid.state_at_pressure_quality(liquid.pressure, none)?;
    let inlet = fluid.state_at_pressure_enthalpy(low_side.pressure, before.enthalpy)?;
    let quality = inlet.quality.map_or(0.2, Fraction::ratio).clamp(0.0, 1.0);
    let boiling = |law| mean_density(fluid, low_side.pressure, quality, 1.0, law).map(per);
    put(Part::Evaporator, volumes.evaporator, boiling(Void::Homogeneous)?, boiling(Void::Zivi)?);
    let cold_vapour = per(low_side.density);
    let lines = match (volumes.suction_line, volumes.discharge_line) {
        (None, None) => None,
        (suction, discharge) => {
            let none = (Volume::from_litre(0.0), Volume::from_litre(0.0));
            let (s, d) = (suction.unwrap_or(none), discharge.unwrap_or(none));
            let mass = |s: Volume, d: Volume| s.cubic_metre() * cold_vapour + d.cubic_metre() * hot_vapour;
            Some((mass(s.0, d.0), mass(s.1, d.1)))
        }
    };
    if let Some((low, high)) = lines {
        out.push(Held {
            part: Part::VapourLines,
            low: Mass::from_kilogram(low),
            high: Mass::from_kilogram(high),
        });
    }
    Ok(out)
}

/// Inside diameters of copper tube by outside diameter, inches: type L / ACR. Source: `data/tubes/copper.toml`.
const COPPER: [(f64, f64); 6] =
    [(0.375, 0.315), (0.5, 0.430), (0.625, 0.545), (0.75, 0.666), (0.875, 0.785), (1.125, 1.025)];

/// Returns the inside diameter of a copper tube of this outside diameter; nothing for a size that is not listed.
#[must_use]
pub fn inside_of(outside: Length) -> Option<Length> {
    let inch = outside.metre() / 0.0254;
    let found = COPPER.iter().find(|(outside, _)| (outside - inch).abs() < 0.01)?;
    Some(Length::from_metre(found.1 * 0.0254))
}
