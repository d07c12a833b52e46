//! The hold test: a gas alone in a closed volume, corrected for temperature, and what such a test could have seen.
//!
//! Nitrogen from a two-stage regulator, never oxygen or air, never above the lowest-rated part. A pass means: no leak
//! larger than the smallest detectable one that is stated beside it.

use crate::leak::{
    Gas, LaminarDrive, LeakError, Viscosity, laminar_factor, mass_flow, orifice_flow, throughput,
};
use crate::numeric::derivative;
use fluid::{Fluid, FluidError};
use units::math::sqrt;
use units::{
    AbsolutePressure, Cause, Doubt, Duration, LeakRate, MassFlow, PressureDifference, Temperature,
    TemperatureDifference, Uncertain, Volume, combine,
};

/// A gas that stood less than this since filling is still settling: 30 min.
pub const SETTLING_TIME: Duration = Duration::from_second(1800.0);
/// Zones further apart than this need their volumes: 5 K.
pub const LARGEST_SPREAD: TemperatureDifference = TemperatureDifference::from_kelvin(5.0);
/// Standard deviations of a one-sided false alarm of 5 %.
pub const FALSE_ALARM: f64 = 1.645;
/// Standard deviations at which 5 % are missed with 5 % false alarms.
pub const DETECTION: f64 = 3.29;

/// A part of the volume at its own temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Its volume, if known.
    pub volume: Option<Volume>,
    /// Its temperature at the start.
    pub start: Uncertain<Temperature>,
    /// Its temperature at the end.
    pub end: Uncertain<Temperature>,
}

/// The refrigerant in whose terms the smallest detectable leak is said.
#[derive(Clone, Copy, Debug)]
pub struct Working<'a> {
    /// The refrigerant.
    pub refrigerant: &'a Fluid,
    /// The pressure at which the side tested works.
    pub pressure: AbsolutePressure,
    /// The temperature of the vapour there; saturated vapour if absent.
    pub temperature: Option<Temperature>,
    /// The viscosity of the vapour there, if known: without it there is no laminar figure.
    pub viscosity: Option<Viscosity>,
}

/// A hold test as it was made.
#[derive(Clone, Debug)]
pub struct HoldTest<'a> {
    /// The gas, alone in the volume.
    pub gas: &'a Fluid,
    /// Its viscosity at the test, if known.
    pub gas_viscosity: Option<Viscosity>,
    /// Pressure at the start.
    pub start: Uncertain<AbsolutePressure>,
    /// Pressure at the end.
    pub end: Uncertain<AbsolutePressure>,
    /// Temperatures; one zone where one temperature was taken.
    pub zones: Vec<Zone>,
    /// The volume in all, if known and not given by zones.
    pub volume: Option<Volume>,
    /// Time from start to end.
    pub duration: Duration,
    /// Time from the end of filling to the start reading, if known.
    pub since_filling: Option<Duration>,
    /// Whether liquid refrigerant was left in the volume, if known.
    pub liquid_present: Option<bool>,
    /// The air outside.
    pub outside: AbsolutePressure,
    /// The refrigerant that will be inside.
    pub working: Option<Working<'a>>,
    /// The leak of refrigerant that must not be missed, if one was named.
    pub wanted: Option<MassFlow>,
}

/// Why a test says nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Void {
    /// Liquid refrigerant was left: its vapour makes up for what leaks.
    LiquidPresent,
    /// The start was read too soon after filling.
    NotSettled(Duration),
    /// Zones stood this far apart and their volumes are not known.
    ZonesApart(TemperatureDifference),
}

/// Why a test that shows no leak does not show tightness either.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNotResolved {
    /// No limit was named, so "tight" has no meaning; the smallest detectable leak has.
    NoWantedLimit,
    /// The volume or the refrigerant is not known, so a drop is no leak rate.
    NoLeakRate,
    /// The smallest detectable leak is larger than the limit.
    TooShort {
        /// Hours more, if nothing else changes.
        still_needed: Duration,
    },
}

/// What a hold test shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// The drop stands above its doubt (one-sided, 5 % false alarm).
    Leaking,
    /// No leak is seen, and one as large as the limit would have been.
    TightWithinLimit,
    /// No leak is seen, but one as large as the limit might not have been.
    NotResolved(WhyNotResolved),
    /// The test says nothing.
    Void(Vec<Void>),
}

/// What was assumed, to be said with the result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Note {
    /// Nobody said whether liquid was left; taken that none was.
    NoLiquidAssumed,
    /// Nobody said when filling ended; taken as settled.
    SettledAssumed,
    /// Zone volumes are unknown; the plain mean temperature was taken, with their spread as a doubt.
    MeanOfZones,
    /// The pressure rose beyond its doubt: gas from oil, a warmer volume than the probe saw, or a wrong reading. It
    /// would hide a leak.
    Rose,
    /// No viscosity was given, so there is no figure for laminar flow.
    NoLaminarFigure,
    /// Neither pressure nor temperature carries a doubt, so the smallest detectable leak means nothing.
    NoDoubtStated,
}

/// A leak of refrigerant at its working pressure, by both flow laws.
#[derive(Clone, Debug, PartialEq)]
pub struct AsRefrigerant {
    /// If the leak is a fine, laminar path.
    pub laminar: Option<Uncertain<MassFlow>>,
    /// If it is a hole.
    pub choked: Uncertain<MassFlow>,
}

impl AsRefrigerant {
    /// Returns the larger of the two: the headline.
    #[must_use]
    pub fn larger(&self) -> &Uncertain<MassFlow> {
        match &self.laminar {
            Some(laminar) if laminar.value() > self.choked.value() => laminar,
            _ => &self.choked,
        }
    }
}

/// A drop of pressure in terms of gas and refrigerant.
#[derive(Clone, Debug, PartialEq)]
pub struct LeakOfDrop {
    /// The test gas that left.
    pub gas: Uncertain<MassFlow>,
    /// The same as throughput at the temperature of the test's end.
    pub throughput: LeakRate,
    /// The same leak with the refrigerant at its working pressure.
    pub refrigerant: Option<AsRefrigerant>,
}

/// A hold test and what it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// What it shows.
    pub verdict: Verdict,
    /// The end pressure of a tight volume: same density, end temperature, real gas.
    pub expected_end: Uncertain<AbsolutePressure>,
    /// The same by the ideal-gas law, for comparison.
    pub ideal_end: AbsolutePressure,
    /// Expected less measured end pressure.
    pub drop: Uncertain<PressureDifference>,
    /// What the drop is as a leak, if the volume is known.
    pub leak: Option<LeakOfDrop>,
    /// The drop that would not have been missed: 3.29 u.
    pub smallest_drop: PressureDifference,
    /// What that is as a leak, if the volume is known; the headline is the larger refrigerant figure.
    pub smallest: Option<LeakOfDrop>,
    /// The gas temperature used at start and end.
    pub temperatures: (Temperature, Temperature),
    /// The largest difference between zones.
    pub spread: TemperatureDifference,
    /// What was assumed.
    pub notes: Vec<Note>,
}

/// Why a hold test cannot be worked out.
#[derive(Clone, Debug, PartialEq)]
pub enum HoldError {
    /// The gas or the refrigerant has no such state.
    Fluid(FluidError),
    /// A flow cannot be computed.
    Leak(LeakError),
    /// No temperature was given.
    NoTemperature,
    /// The duration is not above zero.
    Duration(Duration),
    /// A volume is not above zero.
    Volume(Volume),
    /// A pressure is not above that outside.
    Pressure(AbsolutePressure),
    /// The wanted limit is not above zero.
    Wanted(MassFlow),
    /// No end pressure was found at which the gas has its density.
    NotConverged,
}

impl From<FluidError> for HoldError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}
impl From<LeakError> for HoldError {
    fn from(error: LeakError) -> Self {
        Self::Leak(error)
    }
}

/// Returns what a hold test shows.
///
/// The expected end pressure holds the density (with zone volumes: the amount of gas at one pressure). The doubt of the
/// drop comes from both pressures, all temperatures and, with several zones of unknown volume, from their spread; the
/// volume does not enter. The leak is V (d rho/d p) drop / time; as refrigerant it is converted by the ratio of choked
/// fluxes, and by (p1^2 - p2^2)/eta with throughputs at the temperature of the test's end.
///
/// # Errors
/// [`HoldError`] for impossible inputs or states.
pub fn hold(test: &HoldTest<'_>) -> Result<Hold, HoldError> {
    check(test)?;
    let plan = Plan::of(test)?;
    let mut notes = plan.notes.clone();
    let (p1, p2) = (test.start.value().pascal(), test.end.value().pascal());
    let expected = plan.end_pressure(test.gas, p1)?;
    let parts = plan.parts(test)?;
    let expected_end = combine(AbsolutePressure::from_pascal(expected), parts);
    let drop = combine(
        PressureDifference::from_pascal(expected - p2),
        [expected_end.part(1.0), test.end.part(-1.0)],
    );
    let u = drop.u();
    if u == 0.0 {
        notes.push(Note::NoDoubtStated);
    }
    if drop.value().pascal() + FALSE_ALARM * u < 0.0 {
        notes.push(Note::Rose);
    }
    let smallest_drop = PressureDifference::from_pascal(DETECTION * u);
    let volume = test.zones.iter().map(|zone| zone.volume).sum::<Option<Volume>>().or(test.volume);
    if test.working.is_some_and(|w| w.viscosity.is_none())
        || (test.working.is_some() && test.gas_viscosity.is_none())
    {
        notes.push(Note::NoLaminarFigure);
    }
    let as_leak = |drop: &Uncertain<PressureDifference>| {
        volume.map(|volume| leak_of_drop(test, &plan, volume, drop)).transpose()
    };
    let leak = as_leak(&drop)?;
    let smallest = as_leak(&Uncertain::exact(smallest_drop))?;
    let verdict = verdict(test, &plan, &drop, smallest.as_ref());
    let ideal_end = AbsolutePressure::from_pascal(p1 * plan.sum_over(false) / plan.sum_over(true));
    let temperature = |end| Temperature::from_kelvin(plan.total() / plan.sum_over(end));
    Ok(Hold {
        verdict,
        expected_end,
        ideal_end,
        drop,
        leak,
        smallest_drop,
        smallest,
        temperatures: (temperature(false), temperature(true)),
        spread: plan.spread,
        notes,
    })
}

fn verdict(
    test: &HoldTest<'_>,
    plan: &Plan,
    drop: &Uncertain<PressureDifference>,
    smallest: Option<&LeakOfDrop>,
) -> Verdict {
    let mut void = Vec::new();
    if test.liquid_present == Some(true) {
        void.push(Void::LiquidPresent);
    }
    if let Some(since) = test.since_filling
        && since < SETTLING_TIME
    {
        void.push(Void::NotSettled(since));
    }
    if !plan.by_volume && plan.spread > LARGEST_SPREAD {
        void.push(Void::ZonesApart(plan.spread));
    }
    if !void.is_empty() {
        return Verdict::Void(void);
    }
    if drop.value().pascal() - FALSE_ALARM * drop.u() > 0.0 {
        return Verdict::Leaking;
    }
    let Some(wanted) = test.wanted else {
        return Verdict::NotResolved(WhyNotResolved::NoWantedLimit);
    };
    let Some(headline) = smallest.and_then(|s| s.refrigerant.as_ref()).map(|r| r.larger().value()) else {
        return Verdict::NotResolved(WhyNotResolved::NoLeakRate);
    };
    if headline <= wanted {
        return Verdict::TightWithinLimit;
    }
    // The smallest detectable leak goes as one over the time.
    let times = headline / wanted - 1.0;
    Verdict::NotResolved(WhyNotResolved::TooShort { still_needed: test.duration * times })
}

fn leak_of_drop(
    test: &HoldTest<'_>,
    plan: &Plan,
    volume: Volume,
    drop: &Uncertain<PressureDifference>,
) -> Result<LeakOfDrop, HoldError> {
    let t_end = Temperature::from_kelvin(plan.total() / plan.sum_over(true));
    let p_end = test.end.value().pascal();
    let density = |pascal: f64| density(test.gas, pascal, t_end.kelvin());
    let per_pascal =
        derivative(p_end, 1e-3 * p_end, density)? * volume.cubic_metre() / test.duration.second();
    let gas = drop.map(MassFlow::from_kilogram_per_second(drop.value().pascal() * per_pascal), per_pascal);
    let molar_mass = test.gas.molar_mass();
    let refrigerant = match &test.working {
        None => None,
        Some(working) => Some(as_refrigerant(test, working, &gas, t_end)?),
    };
    Ok(LeakOfDrop { throughput: throughput(gas.value(), molar_mass, t_end), gas, refrigerant })
}

fn as_refrigerant(
    test: &HoldTest<'_>,
    working: &Working<'_>,
    gas: &Uncertain<MassFlow>,
    t_end: Temperature,
) -> Result<AsRefrigerant, HoldError> {
    let mean = 0.5 * (test.start.value().pascal() + test.end.value().pascal());
    let mean = AbsolutePressure::from_pascal(mean);
    // The discharge coefficient cancels in the ratio.
    let flux =
        |gas: &Gas| orifice_flow(gas, test.outside, crate::leak::DISCHARGE_COEFFICIENT).map(|f| f.flux);
    let inside = Gas::of(working.refrigerant, working.pressure, working.temperature)?;
    let choked = flux(&inside)? / flux(&Gas::of(test.gas, mean, Some(t_end))?)?;
    let scaled = |factor: f64| {
        gas.map(MassFlow::from_kilogram_per_second(gas.value().kilogram_per_second() * factor), factor)
    };
    let laminar = match (test.gas_viscosity, working.viscosity) {
        (Some(of_gas), Some(of_refrigerant)) => {
            let drive = |inside, viscosity| LaminarDrive { inside, outside: test.outside, viscosity };
            let factor = laminar_factor(&drive(mean, of_gas), &drive(working.pressure, of_refrigerant))?;
            let one = throughput(MassFlow::from_kilogram_per_second(1.0), test.gas.molar_mass(), t_end);
            let by_mass = mass_flow(one * factor, working.refrigerant.molar_mass(), t_end);
            Some(scaled(by_mass.kilogram_per_second()))
        }
        _ => None,
    };
    Ok(AsRefrigerant { laminar, choked: scaled(choked) })
}

fn density(gas: &Fluid, pascal: f64, kelvin: f64) -> Result<f64, FluidError> {
    let pressure = AbsolutePressure::from_pascal(pascal);
    let state = gas.state_at_pressure_temperature(pressure, Temperature::from_kelvin(kelvin))?;
    Ok(state.density.kilogram_per_cubic_metre())
}

/// The zones as they enter the balance: weight, start and end temperature.
struct Plan {
    zones: Vec<(f64, f64, f64)>,
    by_volume: bool,
    spread: TemperatureDifference,
    notes: Vec<Note>,
}

impl Plan {
    fn of(test: &HoldTest<'_>) -> Result<Self, HoldError> {
        let mut notes = Vec::new();
        if test.liquid_present.is_none() {
            notes.push(Note::NoLiquidAssumed);
        }
        if test.since_filling.is_none() {
            notes.push(Note::SettledAssumed);
        }
        let all = |end: bool| {
            test.zones
                .iter()
                .map(move |zone| if end { zone.end.value() } else { zone.start.value() }.kelvin())
        };
        let width =
            |end: bool| all(end).fold(f64::NEG_INFINITY, f64::max) - all(end).fold(f64::INFINITY, f64::min);
        let spread = TemperatureDifference::from_kelvin(width(false).max(width(true)));
        let by_volume = test.zones.iter().all(|zone| zone.volume.is_some());
        let count = test.zones.len() as f64;
        let zones = if by_volume || test.zones.len() == 1 {
            let weight = |zone: &Zone| zone.volume.map_or(1.0, Volume::cubic_metre);
            test.zones.iter().map(|z| (weight(z), z.start.value().kelvin(), z.end.value().kelvin())).collect()
        } else {
            notes.push(Note::MeanOfZones);
            vec![(1.0, all(false).sum::<f64>() / count, all(true).sum::<f64>() / count)]
        };
        Ok(Self { zones, by_volume, spread, notes })
    }

    fn total(&self) -> f64 {
        self.zones.iter().map(|zone| zone.0).sum()
    }

    /// Sum of V/T at the start or at the end.
    fn sum_over(&self, end: bool) -> f64 {
        self.zones.iter().map(|zone| zone.0 / if end { zone.2 } else { zone.1 }).sum()
    }

    /// The pressure at which the zones at their end temperatures hold what they held at the start.
    fn end_pressure(&self, gas: &Fluid, p1: f64) -> Result<f64, HoldError> {
        let mut held = 0.0;
        for &(volume, t1, _) in &self.zones {
            held += volume * density(gas, p1, t1)?;
        }
        let excess = |pascal: f64| -> Result<f64, FluidError> {
            let mut holds = 0.0;
            for &(volume, _, t2) in &self.zones {
                holds += volume * density(gas, pascal, t2)?;
            }
            Ok(holds / held - 1.0)
        };
        // Secant from the ideal-gas answer.
        let mut a = p1 * self.sum_over(false) / self.sum_over(true);
        let mut at_a = excess(a)?;
        let mut b = a * (1.0 - at_a);
        for _ in 0..50 {
            let at_b = excess(b)?;
            if at_b.abs() < 1e-13 || (b - a).abs() <= 1e-12 * b {
                return Ok(b);
            }
            let step = at_b * (b - a) / (at_b - at_a);
            (a, at_a) = (b, at_b);
            b -= step;
            if !(b.is_finite() && b > 0.0) {
                return Err(HoldError::NotConverged);
            }
        }
        Err(HoldError::NotConverged)
    }

    /// The parts of the start pressure and of all temperatures in the expected end pressure.
    fn parts(&self, test: &HoldTest<'_>) -> Result<Vec<units::Part>, HoldError> {
        let p1 = test.start.value().pascal();
        let by_pressure = derivative(p1, 1e-3 * p1, |p1| self.end_pressure(test.gas, p1))?;
        let mut parts = vec![test.start.part(by_pressure)];
        let by_temperature = |zone: usize, end: bool| {
            let of = if end { self.zones[zone].2 } else { self.zones[zone].1 };
            derivative(of, 0.05, |kelvin| {
                let mut zones = self.zones.clone();
                if end {
                    zones[zone].2 = kelvin
                } else {
                    zones[zone].1 = kelvin
                }
                let moved = Plan { zones, by_volume: self.by_volume, spread: self.spread, notes: Vec::new() };
                moved.end_pressure(test.gas, p1)
            })
        };
        if self.zones.len() == test.zones.len() {
            for (at, zone) in test.zones.iter().enumerate() {
                parts.push(zone.start.part(by_temperature(at, false)?));
                parts.push(zone.end.part(by_temperature(at, true)?));
            }
            return Ok(parts);
        }
        // One mean temperature for all: each zone with its share, and the unknown shares as a doubt of their own. With
        // two zones the share of one is anywhere from none to all, a rectangle whose u is the spread over sqrt(12).
        let (start, end) = (by_temperature(0, false)?, by_temperature(0, true)?);
        let share = 1.0 / test.zones.len() as f64;
        let (_, mean_start, mean_end) = self.zones[0];
        for (at, zone) in test.zones.iter().enumerate() {
            parts.push(zone.start.part(share * start));
            parts.push(zone.end.part(share * end));
            let doubt = Doubt::new(Cause::Judgement, format!("share of zone {}", at + 1));
            let off = (zone.start.value().kelvin() - mean_start) * start
                + (zone.end.value().kelvin() - mean_end) * end;
            parts.push(Uncertain::new(test.start.value(), doubt, off / sqrt(6.0)).part(1.0));
        }
        Ok(parts)
    }
}

fn check(test: &HoldTest<'_>) -> Result<(), HoldError> {
    if test.zones.is_empty() {
        return Err(HoldError::NoTemperature);
    }
    if test.duration.second().is_nan() || test.duration.second() <= 0.0 {
        return Err(HoldError::Duration(test.duration));
    }
    for volume in test.zones.iter().filter_map(|zone| zone.volume).chain(test.volume) {
        if volume.cubic_metre().is_nan() || volume.cubic_metre() <= 0.0 {
            return Err(HoldError::Volume(volume));
        }
    }
    for pressure in [test.start.value(), test.end.value()] {
        if pressure.pascal().is_nan() || pressure <= test.outside {
            return Err(HoldError::Pressure(pressure));
        }
    }
    match test.wanted {
        Some(wanted) if wanted.kilogram_per_second().is_nan() || wanted.kilogram_per_second() <= 0.0 => {
            Err(HoldError::Wanted(wanted))
        }
        _ => Ok(()),
    }
}
