//! What settings do through the year: when a head setting holds and what it leaves the valve, how often a control starts
//! the compressor, whether a defrost can do its work.

use fluid::{Fluid, FluidError};
use units::math::sqrt;
use units::{
    AbsolutePressure, Duration, Fraction, Mass, MassFlow, Temperature, TemperatureDifference, Volume,
};

/// More starts an hour than this wear a compressor: 6 (common practice, no source; the maker's sheet comes first).
pub const MOST_STARTS: f64 = 6.0;
/// An off-cycle defrost needs box air at least so warm: 35 °F (common practice, no source).
pub const AIR_THAWS_FROM: Temperature = Temperature::from_celsius((35.0 - 32.0) / 1.8);
/// A coil is clear of ice when its coldest end stands above this: 45 °F (common practice, no source).
pub const CLEAR_FROM: Temperature = Temperature::from_celsius((45.0 - 32.0) / 1.8);
/// Above this a defrost only steams the box: 75 °F (common practice, no source).
pub const STEAMS_FROM: Temperature = Temperature::from_celsius((75.0 - 32.0) / 1.8);
/// The hours of a day that a plant is chosen to run: 16 where the coil thaws in the air of the box, 18 where it is heated
/// (common practice, no source).
pub const HOURS_TO_RUN: (f64, f64) = (16.0, 18.0);

/// What a head setting does over the range of outdoor air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeadThroughYear {
    /// Below this air the setting holds the head; above it the head floats with the air.
    pub holds_below: Temperature,
    /// Condensing on the hottest day, the head floating.
    pub condensing_hottest: Temperature,
    /// What the expansion valve passes at the setting, of what it passes on the hottest day, by the pressure across it.
    pub valve_passes: Fraction,
}

/// Returns what a head setting does over the year.
///
/// The air from which the head floats: setting less design split, at design load. The valve by the root of the pressure
/// across it, bubble less dew; subcooling and density leave a few per cent out.
///
/// # Errors
/// The fluid's own, at a temperature where it has no saturation.
pub fn head_through_year(
    fluid: &Fluid,
    setting: Temperature,
    split: TemperatureDifference,
    evaporating: Temperature,
    hottest: Temperature,
) -> Result<HeadThroughYear, FluidError> {
    let holds_below = setting - split;
    let condensing_hottest = Temperature::from_kelvin((hottest + split).kelvin().max(setting.kelvin()));
    let low = fluid.dew_at_temperature(evaporating)?.pressure.pascal();
    let across = |condensing: Temperature| -> Result<f64, FluidError> {
        // What stands before the valve is the head: one pressure, at which condensing ends as liquid.
        let head = fluid.dew_at_temperature(condensing)?.pressure.pascal();
        Ok((head - low).max(0.0))
    };
    let (here, there) = (across(setting)?, across(condensing_hottest)?);
    let share = if there > 0.0 { sqrt(here / there) } else { 1.0 };
    Ok(HeadThroughYear { holds_below, condensing_hottest, valve_passes: Fraction::from_ratio(share) })
}

/// How fans and a flooding valve share the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FansAndValve {
    /// The last fan stops above the valve's setting: air goes first, liquid floods last.
    FansFirst,
    /// The fan still runs where the valve already floods: more liquid is needed than with the fan off.
    ValveFirst,
    /// The fan starts at or below where it stops.
    Reversed,
}

/// Returns how a fan's settings stand to the setting of a flooding valve.
#[must_use]
pub fn fans_and_valve(
    fan_on: AbsolutePressure,
    fan_off: AbsolutePressure,
    valve: AbsolutePressure,
) -> FansAndValve {
    if fan_on <= fan_off {
        FansAndValve::Reversed
    } else if fan_off >= valve {
        FansAndValve::FansFirst
    } else {
        FansAndValve::ValveFirst
    }
}

/// What a low side takes up between the cut-out and the cut-in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BetweenStops {
    /// The mass of vapour.
    pub mass: Mass,
    /// What may come in past the liquid valve so that the compressor starts [`MOST_STARTS`] times an hour and no more.
    pub may_come_in: MassFlow,
}

/// Returns what a low side takes up from cut-out to cut-in as vapour of this temperature, and the inflow that goes with the most
/// starts.
///
/// The time that the compressor itself runs is left out: it is short beside the wait. Liquid and oil that boil count as inflow.
///
/// # Errors
/// The fluid's own, where there is no vapour at these pressures and this temperature.
pub fn between_stops(
    fluid: &Fluid,
    low_side: Volume,
    temperature: Temperature,
    cut_out: AbsolutePressure,
    cut_in: AbsolutePressure,
) -> Result<BetweenStops, FluidError> {
    let density = |pressure| -> Result<f64, FluidError> {
        Ok(fluid.state_at_pressure_temperature(pressure, temperature)?.density.kilogram_per_cubic_metre())
    };
    let mass = (low_side.cubic_metre() * (density(cut_in)? - density(cut_out)?)).max(0.0);
    Ok(BetweenStops {
        mass: Mass::from_kilogram(mass),
        may_come_in: MassFlow::from_kilogram_per_second(mass * MOST_STARTS / 3600.0),
    })
}

/// What a defrost is checked by, as far as it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DefrostAsked {
    /// Ice goes by the air of the box alone.
    pub by_air: Option<bool>,
    /// The box.
    pub box_air: Option<Temperature>,
    /// Evaporating, at design.
    pub evaporating: Option<Temperature>,
    /// From one start to the next.
    pub interval: Option<Duration>,
    /// The longest time of one.
    pub length: Option<Duration>,
    /// The temperature that ends it.
    pub end: Option<Temperature>,
    /// The share of the time that the compressor runs.
    pub runs: Option<Fraction>,
}

/// What a defrost is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DefrostFound {
    /// The coil runs above freezing: no ice by design.
    NoIce,
    /// Air this warm thaws a coil.
    AirThaws,
    /// The box is too cold: ice stays unless heat is brought in.
    AirTooCold,
    /// It ends while ice may still be there.
    EndsEarly,
    /// It ends after the coil is clear and before it steams.
    EndsRight,
    /// It ends after the coil steams the box.
    EndsLate,
    /// It lasts as long as the time between two starts, or longer.
    NeverDone,
    /// The time it takes of a day, the rest that is left and what the compressor needs of a day.
    Day {
        /// Hours of defrost at most.
        defrost: f64,
        /// Hours that the compressor runs.
        runs: f64,
        /// Whether both fit, and the running is not above the hours usual.
        fits: bool,
    },
}

/// Returns what can be said of a defrost by its settings.
#[must_use]
pub fn defrost(asked: &DefrostAsked) -> Vec<DefrostFound> {
    let mut out = Vec::new();
    let freezing = Temperature::from_celsius(0.0);
    if asked.evaporating.is_some_and(|coil| coil >= freezing) {
        out.push(DefrostFound::NoIce);
        return out;
    }
    match (asked.by_air, asked.box_air) {
        (Some(true), Some(air)) if air < AIR_THAWS_FROM => out.push(DefrostFound::AirTooCold),
        (Some(true), Some(_)) => out.push(DefrostFound::AirThaws),
        _ => {}
    }
    if let Some(end) = asked.end {
        out.push(if end < CLEAR_FROM {
            DefrostFound::EndsEarly
        } else if end > STEAMS_FROM {
            DefrostFound::EndsLate
        } else {
            DefrostFound::EndsRight
        });
    }
    if let (Some(interval), Some(length)) = (asked.interval, asked.length) {
        if length >= interval {
            out.push(DefrostFound::NeverDone);
        } else if let Some(runs) = asked.runs {
            let defrost = 24.0 * length.second() / interval.second();
            let runs = 24.0 * runs.ratio();
            let usual = if asked.by_air == Some(true) { HOURS_TO_RUN.0 } else { HOURS_TO_RUN.1 };
            out.push(DefrostFound::Day { defrost, runs, fits: runs <= usual && defrost + runs <= 24.0 });
        }
    }
    out
}
