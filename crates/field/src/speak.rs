//! When a reading may speak: whether the head is held, how wide the split ought to be now, which fans ought to run, whether
//! liquid is left in a system that stands, and how much of the winter's charge today's readings have shown.

use crate::charge::{ChargeError, WinterCharge, flooded_fraction, winter_charge};
use fluid::{Fluid, FluidError};
use units::math::pow;
use units::{AbsolutePressure, Mass, Temperature, TemperatureDifference, Uncertain, Volume};

/// How far the outdoor air must have moved before its pairs say anything: 5 °F (the trade reference, common practice).
const MOVED: TemperatureDifference = TemperatureDifference::from_fahrenheit(5.0);
/// Condensing that moves by less than this part of the air's way stands (judgement).
const STANDS: f64 = 0.25;
/// Condensing that moves by at least this part of the air's way follows it (judgement).
const FOLLOWS: f64 = 0.6;

/// One moment of the high side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadPoint {
    /// The outdoor air as it was read.
    pub ambient: Temperature,
    /// The condensing temperature, by dew.
    pub condensing: Temperature,
    /// How many condenser fans ran.
    pub fans: Option<u32>,
}

/// What pairs of outdoor air and condensing temperature say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Head {
    /// The air moved and condensing hardly did: a control holds the head, or the probe stood in the sun.
    Held {
        /// How far the air moved.
        air: TemperatureDifference,
        /// How far condensing moved with it.
        condensing: TemperatureDifference,
    },
    /// Condensing follows the air.
    Free,
    /// Nothing is told: too few pairs, the air did not move, fans changed, or it moved half way.
    NotTold,
}

/// Returns what the pairs say: of those with the same fans, the two whose air lies farthest apart.
#[must_use]
pub fn head(points: &[HeadPoint]) -> Head {
    let mut widest: Option<(f64, f64)> = None;
    for (index, one) in points.iter().enumerate() {
        for other in &points[index + 1..] {
            if one.fans.zip(other.fans).is_some_and(|(a, b)| a != b) {
                continue;
            }
            let air = (other.ambient - one.ambient).kelvin();
            let condensing = (other.condensing - one.condensing).kelvin();
            let (air, condensing) = if air < 0.0 { (-air, -condensing) } else { (air, condensing) };
            if widest.is_none_or(|(far, _)| air > far) {
                widest = Some((air, condensing));
            }
        }
    }
    let Some((air, condensing)) = widest.filter(|(air, _)| *air >= MOVED.kelvin() - 1e-9) else {
        return Head::NotTold;
    };
    let part = condensing / air;
    if part.abs() < STANDS {
        Head::Held {
            air: TemperatureDifference::from_kelvin(air),
            condensing: TemperatureDifference::from_kelvin(condensing),
        }
    } else if part >= FOLLOWS {
        Head::Free
    } else {
        Head::NotTold
    }
}

/// The split to expect now, and what moves it from its design.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpectedSplit {
    /// At least.
    pub low: TemperatureDifference,
    /// At most.
    pub high: TemperatureDifference,
    /// Times the heat at design; 1 where the suction is not known.
    pub load: f64,
    /// Fans that run and fans that there are, where fewer run.
    pub fans: Option<(u32, u32)>,
}

/// How well the heat is known from the suction alone (judgement).
const LOAD_SPREAD: f64 = 0.15;
/// What passes a kelvin goes as the air to this power (common practice, no source): 0.5 to 0.65.
const AIR_POWERS: (f64, f64) = (0.5, 0.65);

/// Returns the split that a clean condenser shows now: its design times the heat it carries, over what its fans let pass.
///
/// The heat goes as the density of the vapour that the compressor takes in: a suction saturation 16 °F above design carries
/// about 1.4 times as much (the trade reference). With k of n fans the conductance goes as (k/n)^0.5 to 0.65.
///
/// # Errors
/// The fluid's own.
pub fn expected_split(
    fluid: &Fluid,
    design: TemperatureDifference,
    suction: Option<(Temperature, Temperature)>,
    fans: Option<(u32, u32)>,
) -> Result<ExpectedSplit, FluidError> {
    let load = match suction {
        Some((now, at_design)) => {
            fluid.dew_at_temperature(now)?.density / fluid.dew_at_temperature(at_design)?.density
        }
        None => 1.0,
    };
    let fewer = fans.filter(|(running, there)| *running > 0 && running < there);
    let (air_low, air_high) = match fewer {
        Some((running, there)) => {
            let part = f64::from(there) / f64::from(running);
            (pow(part, AIR_POWERS.0), pow(part, AIR_POWERS.1))
        }
        None => (1.0, 1.0),
    };
    let spread = if suction.is_some() { LOAD_SPREAD } else { 0.3 };
    let middle = design.kelvin() * load;
    Ok(ExpectedSplit {
        low: TemperatureDifference::from_kelvin(middle * (1.0 - spread) * air_low),
        high: TemperatureDifference::from_kelvin(middle * (1.0 + spread) * air_high),
        load,
        fans: fewer,
    })
}

/// Whether the fans stand as their control should have them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fans {
    /// One that ought to run stands.
    OughtToRun,
    /// One that ought to stand runs.
    OughtToStand,
    /// As they should.
    AsSet,
    /// Not told.
    NotTold,
}

/// Returns whether the fans stand as their settings say: all of them above the pressure at which the last goes on, none
/// that cycle below the pressure at which the first goes off.
#[must_use]
pub fn fans(
    head: AbsolutePressure,
    on: Option<AbsolutePressure>,
    off: Option<AbsolutePressure>,
    running: Option<u32>,
    there: Option<u32>,
) -> Fans {
    let (Some(running), Some(there)) = (running, there) else { return Fans::NotTold };
    match (on, off) {
        (Some(on), _) if head > on && running < there => Fans::OughtToRun,
        (_, Some(off)) if head < off && running == there && there > 0 => Fans::OughtToStand,
        (None, None) => Fans::NotTold,
        _ => Fans::AsSet,
    }
}

/// Whether liquid is left in a system, or a section, that stands.
#[derive(Clone, Debug, PartialEq)]
pub enum LiquidLeft {
    /// It stands at saturation: liquid is left, how much is not told.
    Left,
    /// It stands below saturation at its coldest place: vapour alone.
    VapourOnly {
        /// How much, where the volume is known.
        mass: Option<Uncertain<Mass>>,
    },
    /// Too near to tell.
    NotTold,
}

/// Returns whether liquid is left, by the standing pressure beside saturation at the coldest place.
///
/// # Errors
/// The fluid's own, where there is no saturation at that temperature.
pub fn liquid_left(
    fluid: &Fluid,
    pressure: &Uncertain<AbsolutePressure>,
    coldest: &Uncertain<Temperature>,
    volume: Option<&Uncertain<Volume>>,
) -> Result<LiquidLeft, FluidError> {
    let dew = fluid.dew_at_temperature(coldest.value())?;
    let u =
        units::math::sqrt(units::math::powi(pressure.u(), 2) + units::math::powi(coldest.u() * dew.slope, 2));
    let below = dew.pressure.pascal() - pressure.value().pascal();
    if below > 2.0 * u {
        let mass = match volume {
            Some(volume) => {
                let state = fluid.state_at_pressure_temperature(pressure.value(), coldest.value())?;
                let density = state.density.kilogram_per_cubic_metre();
                let held = density * volume.value().cubic_metre();
                Some(units::combine(
                    Mass::from_kilogram(held),
                    [
                        volume.part(density),
                        pressure.part(held / pressure.value().pascal()),
                        coldest.part(-held / coldest.value().kelvin()),
                    ],
                ))
            }
            None => None,
        };
        return Ok(LiquidLeft::VapourOnly { mass });
    }
    Ok(if below > u { LiquidLeft::NotTold } else { LiquidLeft::Left })
}

/// How much of the winter's charge a clear glass has shown.
#[derive(Clone, Debug, PartialEq)]
pub struct WinterShown {
    /// What floods the condenser now, with a clear glass and the head held.
    pub now: WinterCharge,
    /// What floods it on the coldest day.
    pub coldest: WinterCharge,
    /// What no reading has shown yet.
    pub not_shown: Mass,
}

/// Returns how much of the winter's charge is shown by a clear glass with the head held, in this air.
///
/// The condenser floods as far as it must to hold the head; what stands in it while the glass is clear is there. What the
/// coldest day needs beyond that is shown by nothing until it floods as far: a colder hour, all fans on, mist, or a higher
/// setting. Blocking the air does the opposite and hides it.
///
/// # Errors
/// [`ChargeError`] as of [`winter_charge`].
pub fn winter_shown(
    fluid: &Fluid,
    condenser: &Uncertain<Volume>,
    split: TemperatureDifference,
    condensing: Temperature,
    ambient: Temperature,
    head_setting: Temperature,
    coldest: Temperature,
) -> Result<WinterShown, ChargeError> {
    let of = |head: Temperature, air: Temperature| {
        let flooded = flooded_fraction(split, head, air)?;
        winter_charge(fluid, condenser, flooded, head, air, None)
    };
    let (now, whole) = (of(condensing, ambient)?, of(head_setting, coldest)?);
    let rest = (whole.extra.value().kilogram() - now.extra.value().kilogram()).max(0.0);
    Ok(WinterShown { now, coldest: whole, not_shown: Mass::from_kilogram(rest) })
}
