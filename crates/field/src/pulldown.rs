//! A compressor that will not pull the low side down: how high it can compress at all, what comes in while it stands,
//! and where its cut-out may be set meanwhile.

use units::math::pow;
use units::{AbsolutePressure, Duration, PressureDifference};

/// Clearance of a healthy reciprocating compressor, as a part of its stroke (common practice, no source).
pub const HEALTHY_CLEARANCE: f64 = 0.04;
/// Exponent of the gas left in the clearance as it expands (judgement: near isothermal in a slow stall).
pub const EXPANSION_EXPONENT: f64 = 1.1;
/// How far the cut-out stands above the floor, and below the lowest suction it runs at: 1 psi (judgement).
pub const CUT_OUT_MARGIN: PressureDifference = PressureDifference::from_psi(1.0);
/// A rise that falls to less than this part of another has lost its cause (judgement).
const MOST_OF_IT: f64 = 0.5;

/// Returns the pressure ratio at which a piston compressor takes in nothing more: ((1 + c)/c)^n.
///
/// `None` for a clearance or exponent not above zero.
///
/// Source: volumetric efficiency of a piston with clearance, 1 - c (r^(1/n) - 1), set to zero (any textbook of
/// refrigeration compressors).
#[must_use]
pub fn stall_ratio(clearance: f64, exponent: f64) -> Option<f64> {
    (clearance > 0.0 && exponent > 0.0).then(|| pow((1.0 + clearance) / clearance, exponent))
}

/// Returns the clearance that would explain a stall at this ratio: what leaks back counts as clearance.
///
/// `None` for a ratio of 1 or less.
#[must_use]
pub fn effective_clearance(ratio: f64, exponent: f64) -> Option<f64> {
    (ratio > 1.0 && exponent > 0.0).then(|| 1.0 / (pow(ratio, 1.0 / exponent) - 1.0))
}

/// A rise of the low side in a time, the compressor off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RiseSeen {
    /// By how much.
    pub rise: PressureDifference,
    /// In what time.
    pub over: Duration,
}

impl RiseSeen {
    fn rate(&self) -> f64 {
        if self.over.second() > 0.0 { (self.rise.pascal() / self.over.second()).max(0.0) } else { 0.0 }
    }
}

/// What was seen with valves shut in turn; each as far as it was looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seen {
    /// With the liquid valve that ends the pump-down shut.
    pub liquid_shut: Option<RiseSeen>,
    /// With a second valve before it shut as well.
    pub second_shut: Option<RiseSeen>,
    /// As the first, but some minutes later.
    pub later: Option<RiseSeen>,
    /// Between compressor and its suction valve, that valve shut.
    pub suction_shut: Option<RiseSeen>,
}

/// Where what comes in comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inflow {
    /// Past the valve that ends the pump-down.
    PastTheValve,
    /// Back through the compressor.
    Compressor,
    /// Out of oil and left-over liquid.
    BoilOff,
}

/// A reading that is missing to tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Missing {
    /// The rise with the liquid valve shut.
    LiquidShut,
    /// The rise with a second valve shut.
    SecondShut,
    /// The rise some minutes later.
    Later,
    /// The rise behind the shut suction valve.
    SuctionShut,
}

/// What the rises say.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// Nothing rises: it holds.
    Holds,
    /// One cause, or two at once.
    From(Vec<Inflow>),
    /// It cannot be told; these readings would.
    Open(Vec<Missing>),
}

/// Returns where the inflow comes from, by which shut valve stops it; `step` is the smallest rise the gauge shows.
///
/// Past the valve: a second one stops most of it. Compressor: it rises behind the shut suction valve. Boil-off: neither,
/// and it slackens with time. What is missing is named instead of guessed.
#[must_use]
pub fn inflow(seen: &Seen, step: PressureDifference) -> Told {
    let Some(first) = seen.liquid_shut else { return Told::Open(vec![Missing::LiquidShut]) };
    if first.rise.pascal() < step.pascal() {
        return Told::Holds;
    }
    let most = MOST_OF_IT * first.rate();
    let mut from = Vec::new();
    let mut missing = Vec::new();
    match seen.suction_shut {
        // Behind the valve the volume is small: any rise of the gauge there is the compressor's.
        Some(rise) if rise.rise.pascal() >= step.pascal() => from.push(Inflow::Compressor),
        Some(_) => {}
        None => missing.push(Missing::SuctionShut),
    }
    match seen.second_shut {
        Some(rise) if rise.rate() < most => from.push(Inflow::PastTheValve),
        Some(_) => {}
        None => missing.push(Missing::SecondShut),
    }
    match seen.later {
        Some(rise) if rise.rate() < most && from.is_empty() && missing.is_empty() => {
            from.push(Inflow::BoilOff)
        }
        Some(_) => {}
        None if from.is_empty() => missing.push(Missing::Later),
        None => {}
    }
    if from.is_empty() { Told::Open(missing) } else { Told::From(from) }
}

/// Where a cut-out can stand until the fault is mended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CutOut {
    /// Here: above the floor, below the lowest suction it runs at.
    At(AbsolutePressure),
    /// There is no room between the two.
    NoRoom {
        /// The lowest it could be set to end a pump-down.
        above: AbsolutePressure,
        /// The highest that lets it run.
        below: AbsolutePressure,
    },
}

/// Returns the cut-out just above the floor, where it also stays below the lowest suction in use.
#[must_use]
pub fn cut_out(floor: AbsolutePressure, lowest_suction: Option<AbsolutePressure>) -> CutOut {
    let above = AbsolutePressure::from_pascal(floor.pascal() + CUT_OUT_MARGIN.pascal());
    match lowest_suction {
        Some(suction) if suction.pascal() - CUT_OUT_MARGIN.pascal() < above.pascal() => CutOut::NoRoom {
            above,
            below: AbsolutePressure::from_pascal(suction.pascal() - CUT_OUT_MARGIN.pascal()),
        },
        _ => CutOut::At(above),
    }
}

/// Returns by how much the pressure of trapped liquid rises for each kelvin, in Pa/K, at constant volume.
///
/// The slope between `from` and 5 K more, at the density of the saturated liquid. The pipe's own growth is not counted.
///
/// # Errors
/// The fluid's own.
pub fn trapped_liquid(fluid: &fluid::Fluid, from: units::Temperature) -> Result<f64, fluid::FluidError> {
    const STEP: f64 = 5.0;
    let liquid = fluid.bubble_at_temperature(from)?;
    let warmer = units::Temperature::from_kelvin(from.kelvin() + STEP);
    let state = fluid.state_at_density_temperature(liquid.density, warmer)?;
    Ok((state.pressure.pascal() - liquid.pressure.pascal()) / STEP)
}

/// Returns how long until a rise of this rate brings the low side from the cut-out to the cut-in, if it goes on as seen.
///
/// `None` where nothing rises or the cut-in is not above the cut-out.
#[must_use]
pub fn restart_after(
    seen: RiseSeen,
    cut_out: AbsolutePressure,
    cut_in: AbsolutePressure,
) -> Option<Duration> {
    let (rate, room) = (seen.rate(), cut_in.pascal() - cut_out.pascal());
    (rate > 0.0 && room > 0.0).then(|| Duration::from_second(room / rate))
}
