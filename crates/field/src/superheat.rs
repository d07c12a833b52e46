//! Superheat by the dew curve and subcooling by the bubble curve, with the doubts of gauge and probe.

use crate::saturation::{Glide, bubble, dew, glide_at_pressure};
use fluid::{Fluid, FluidError};
use units::{AbsolutePressure, Temperature, TemperatureDifference, Uncertain, combine};

/// What the other curve would have made of the same readings: the common mistake with blends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WrongCurve {
    /// The saturation temperature of the other curve.
    pub saturation: Temperature,
    /// What would be read with it.
    pub reads: TemperatureDifference,
    /// The glide is over 1 K, so the mistake matters: warn of it.
    pub warn: bool,
}

/// Where a suction or discharge line stands against dew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VapourLine {
    /// Warmer than dew by more than twice the standard uncertainty.
    Superheated,
    /// Within twice the standard uncertainty of dew: the line may be wet, and no superheat is claimed.
    MayBeWet,
    /// Colder than dew by more than twice the standard uncertainty: wet, or a reading is wrong.
    BelowDew,
}

/// Superheat and what it was made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Superheat {
    /// Line less dew temperature.
    pub superheat: Uncertain<TemperatureDifference>,
    /// How the line stands.
    pub line: VapourLine,
    /// The line temperature as given.
    pub line_temperature: Uncertain<Temperature>,
    /// The pressure as given, at the same place.
    pub pressure: Uncertain<AbsolutePressure>,
    /// The dew temperature, with the doubts of the pressure.
    pub dew: Uncertain<Temperature>,
    /// dp/dT along the dew curve there, Pa/K.
    pub slope: f64,
    /// Both curves at that pressure.
    pub glide: Glide,
    /// What the bubble curve would have made of it.
    pub wrong_curve: WrongCurve,
}

/// Returns the superheat of a line: its temperature less the dew temperature at the pressure of the same place.
///
/// u^2 = u(T)^2 + (u(p) dT/dp)^2, doubts that both readings share counted once. Valid where the fluid has a dew point.
///
/// # Errors
/// The fluid's own: above the critical pressure there is no saturation, below the triple point there is solid.
///
/// Source of the propagation: JCGM 100:2008, 5.1.2 and 5.2.2.
pub fn superheat(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
    line_temperature: &Uncertain<Temperature>,
) -> Result<Superheat, FluidError> {
    let (dew, slope) = dew(fluid, pressure)?;
    let glide = glide_at_pressure(fluid, pressure.value())?;
    let superheat =
        combine(line_temperature.value() - dew.value(), [line_temperature.part(1.0), dew.part(-1.0)]);
    let (low, high) = superheat.interval(2.0);
    let line = if low.kelvin() > 0.0 {
        VapourLine::Superheated
    } else if high.kelvin() < 0.0 {
        VapourLine::BelowDew
    } else {
        VapourLine::MayBeWet
    };
    Ok(Superheat {
        line,
        line_temperature: line_temperature.clone(),
        pressure: pressure.clone(),
        dew,
        slope,
        wrong_curve: WrongCurve {
            saturation: glide.bubble,
            reads: line_temperature.value() - glide.bubble,
            warn: glide.matters(),
        },
        glide,
        superheat,
    })
}

/// Where a liquid line stands against bubble.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LiquidLine {
    /// Colder than bubble by more than twice the standard uncertainty.
    Subcooled,
    /// Within twice the standard uncertainty of bubble: there may be gas in the line, and no subcooling is claimed.
    MayHoldGas,
    /// Warmer than bubble by more than twice the standard uncertainty: flashing, or a reading is wrong.
    AboveBubble,
}

/// Subcooling and what it was made of.
#[derive(Clone, Debug, PartialEq)]
pub struct Subcooling {
    /// Bubble less line temperature.
    pub subcooling: Uncertain<TemperatureDifference>,
    /// How the line stands.
    pub line: LiquidLine,
    /// The line temperature as given.
    pub line_temperature: Uncertain<Temperature>,
    /// The pressure as given, at the same place.
    pub pressure: Uncertain<AbsolutePressure>,
    /// The bubble temperature, with the doubts of the pressure.
    pub bubble: Uncertain<Temperature>,
    /// dp/dT along the bubble curve there, Pa/K.
    pub slope: f64,
    /// Both curves at that pressure.
    pub glide: Glide,
    /// What the dew curve would have made of it.
    pub wrong_curve: WrongCurve,
}

/// Returns the subcooling of a line: the bubble temperature at the pressure of the same place less its temperature.
///
/// Uncertainty as for [`superheat`]. Pressure and temperature of two different places mix the pressure drop between
/// them into the answer.
///
/// # Errors
/// The fluid's own: above the critical pressure there is no saturation.
pub fn subcooling(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
    line_temperature: &Uncertain<Temperature>,
) -> Result<Subcooling, FluidError> {
    let (bubble, slope) = bubble(fluid, pressure)?;
    let glide = glide_at_pressure(fluid, pressure.value())?;
    let subcooling =
        combine(bubble.value() - line_temperature.value(), [bubble.part(1.0), line_temperature.part(-1.0)]);
    let (low, high) = subcooling.interval(2.0);
    let line = if low.kelvin() > 0.0 {
        LiquidLine::Subcooled
    } else if high.kelvin() < 0.0 {
        LiquidLine::AboveBubble
    } else {
        LiquidLine::MayHoldGas
    };
    Ok(Subcooling {
        line,
        line_temperature: line_temperature.clone(),
        pressure: pressure.clone(),
        bubble,
        slope,
        wrong_curve: WrongCurve {
            saturation: glide.dew,
            reads: glide.dew - line_temperature.value(),
            warn: glide.matters(),
        },
        glide,
        subcooling,
    })
}
