//! The tests of a visit: nitrogen holds and vacuum rises, each with its result.

use super::Visit;
use crate::doubts::{Side, known};
use field::hold::{Hold, HoldError, HoldTest, Working, Zone};
use field::leak::Viscosity;
use field::rise::{Gauge, Reading, Rise, RiseError};
use fluid::Fluid;
use record::{
    Body, Entry, Exactness, Hold as HoldEntry, HoldEnd, Known, Measures, Rise as RiseEntry, TestGas, When,
    YesNo,
};
use units::{Duration, Fraction, MassFlow, Temperature, Uncertain, Volume};

/// A hold test with its result.
pub struct HoldResult<'a> {
    /// The entry.
    pub entry: &'a Entry,
    /// The test as recorded.
    pub recorded: &'a HoldEntry,
    /// The reading it is judged by: its end, or the last one while it runs.
    pub end: &'a HoldEnd,
    /// The gas.
    pub gas: Fluid,
    /// What it shows, or why it cannot be worked out.
    pub found: Result<Hold, HoldError>,
}

impl HoldResult<'_> {
    /// Returns the test as it was worked out.
    #[must_use]
    pub fn test<'b>(&'b self, visit: &'b Visit) -> HoldTest<'b> {
        test(visit, self.entry, self.recorded, self.end, &self.gas)
    }
}

/// A vacuum rise with its result.
pub struct RiseResult<'a> {
    /// The entry.
    pub entry: &'a Entry,
    /// The test as recorded.
    pub recorded: &'a RiseEntry,
    /// The readings.
    pub readings: Vec<Reading>,
    /// The volume; absent where nobody knows it.
    pub volume: Option<Uncertain<Volume>>,
    /// What it shows, or why it cannot be worked out.
    pub found: Result<Rise, RiseError>,
}

/// Returns every hold test that was ended, with its result.
#[must_use]
pub fn holds(visit: &Visit) -> Vec<HoldResult<'_>> {
    recorded(visit)
        .filter_map(|(entry, recorded)| result(visit, entry, recorded, recorded.end.as_ref()?))
        .collect()
}

/// Returns every hold test that still runs and was read since its start, as it stands at its last reading.
#[must_use]
pub fn running_holds(visit: &Visit) -> Vec<HoldResult<'_>> {
    recorded(visit)
        .filter(|(_, recorded)| recorded.end.is_none())
        .filter_map(|(entry, recorded)| result(visit, entry, recorded, recorded.between.last()?))
        .collect()
}

/// Returns what a hold shows at each of its readings in turn, the end among them.
#[must_use]
pub fn hold_so_far<'a>(visit: &'a Visit, entry: &'a Entry, recorded: &'a HoldEntry) -> Vec<HoldResult<'a>> {
    let readings = recorded.between.iter().chain(&recorded.end);
    readings.filter_map(|reading| result(visit, entry, recorded, reading)).collect()
}

fn recorded(visit: &Visit) -> impl Iterator<Item = (&Entry, &HoldEntry)> {
    visit.entries(|body| match body {
        Body::Hold(hold) => Some(&**hold),
        _ => None,
    })
}

fn result<'a>(
    visit: &'a Visit,
    entry: &'a Entry,
    recorded: &'a HoldEntry,
    end: &'a HoldEnd,
) -> Option<HoldResult<'a>> {
    let gas = match recorded.gas {
        TestGas::Nitrogen => refrigerant::nitrogen(),
        TestGas::Own => visit.substance.as_ref()?.fluid.clone(),
    };
    let found = field::hold::hold(&test(visit, entry, recorded, end, &gas));
    Some(HoldResult { entry, recorded, end, gas, found })
}

fn viscosity(fluid: &Fluid) -> Option<Viscosity> {
    refrigerant::vapour_viscosity(fluid).map(Viscosity::from_pascal_second)
}

fn test<'a>(
    visit: &'a Visit,
    entry: &Entry,
    recorded: &HoldEntry,
    read: &HoldEnd,
    gas: &'a Fluid,
) -> HoldTest<'a> {
    let is_end = recorded.end.as_ref() == Some(read);
    let with = &entry.seen.with;
    let pressure = |end: &HoldEnd, key| visit.bench.pressure(&end.pressure, with, Side::High, key, visit.air);
    let temperature = |measured, key: &str| -> Uncertain<Temperature> {
        // Each reading has its own doubt: the probe is placed anew, and the gas is not the metal.
        let read = visit.bench.temperature(measured, with, key);
        Uncertain::new(read.value(), units::Doubt::new(units::Cause::Placement, key), read.u())
    };
    let volume = recorded.volume.as_ref().and_then(|volume| known(volume, "volume"));
    // The parts were read at the start and at the end only.
    let zones: Vec<Zone> = if recorded.zone.is_empty() || !is_end {
        vec![Zone {
            volume: volume.as_ref().map(Uncertain::value),
            start: temperature(&recorded.start.temperature, "start temperature"),
            end: temperature(&read.temperature, "end temperature"),
        }]
    } else {
        recorded
            .zone
            .iter()
            .map(|zone| Zone {
                volume: zone.volume.as_ref().and_then(|volume| known(volume, "volume")).map(|v| v.value()),
                start: temperature(&zone.start_temperature, &format!("{} at the start", zone.name)),
                end: temperature(&zone.end_temperature, &format!("{} at the end", zone.name)),
            })
            .collect()
    };
    let between = |a: &Option<When>, b: &Option<When>| a.as_ref().zip(b.as_ref()).map(|(a, b)| b.since(a));
    let duration = between(&recorded.start.at, &read.at)
        // The entry's own time and length are those of the end.
        .or_else(|| between(&recorded.start.at, &entry.seen.at.clone().filter(|_| is_end)))
        .or_else(|| recorded.lasted.as_ref().map(|lasted| lasted.value).filter(|_| is_end))
        .unwrap_or(Duration::from_second(0.0));
    let working = visit.substance.as_ref().and_then(|substance| {
        let measured = recorded.working_pressure.as_ref()?;
        Some(Working {
            refrigerant: &substance.fluid,
            pressure: measured.get().absolute(visit.air),
            temperature: None,
            viscosity: viscosity(&substance.fluid),
        })
    });
    HoldTest {
        gas,
        gas_viscosity: viscosity(gas),
        start: pressure(&recorded.start, "start pressure"),
        end: pressure(read, "end pressure"),
        zones,
        volume: volume.map(|v| v.value()),
        duration,
        since_filling: between(&recorded.filled_at, &recorded.start.at),
        liquid_present: recorded.liquid_left.as_ref().and_then(Known::value).map(|word| *word == YesNo::Yes),
        outside: visit.air.pressure,
        working,
        wanted: recorded.wanted.as_ref().map(|wanted| wanted.value),
    }
}

/// Returns every vacuum rise with its result.
#[must_use]
pub fn rises(visit: &Visit) -> Vec<RiseResult<'_>> {
    visit
        .entries(|body| match body {
            Body::Rise(rise) => Some(&**rise),
            _ => None,
        })
        .map(|(entry, recorded)| rise(visit, entry, recorded))
        .collect()
}

/// The volume taken where nobody knows it: the shape of the curve needs none, the leak does and is then left out.
const UNIT_VOLUME: Volume = Volume::from_litre(1.0);

fn rise<'a>(visit: &Visit, entry: &'a Entry, recorded: &'a RiseEntry) -> RiseResult<'a> {
    let readings: Vec<Reading> = recorded
        .points
        .iter()
        .map(|point| Reading { time: point.time.value, pressure: point.pressure.value.absolute(visit.air) })
        .collect();
    let volume = recorded.volume.as_ref().and_then(|volume| known(volume, "volume"));
    let instrument = visit.bench.instrument(None, &entry.seen.with, Measures::Vacuum);
    let share = |exactness: Option<Exactness>| match exactness {
        Some(Exactness::Share(part)) => Some(part),
        _ => None,
    };
    let scale_u = instrument.and_then(|instrument| {
        let stated: Option<Fraction> = share(instrument.u.as_ref().map(|u| u.value));
        let half: Option<Fraction> = share(instrument.accuracy.as_ref().map(|a| a.value));
        stated.map(Fraction::ratio).or_else(|| half.map(|half| half.ratio() / units::math::sqrt(3.0)))
    });
    let resolution = instrument.and_then(|instrument| match instrument.resolution.as_ref()?.value {
        Exactness::Pressure(step) => Some(step),
        _ => None,
    });
    let coldest =
        recorded.coldest.as_ref().map(|m| visit.bench.temperature(m, &entry.seen.with, "coldest wall"));
    let used = volume.clone().unwrap_or(Uncertain::exact(UNIT_VOLUME));
    let found = field::rise::rise(&readings, &used, Gauge { resolution, scale_u }, coldest.as_ref());
    RiseResult { entry, recorded, readings, volume, found }
}

/// Returns the smallest leak that all tight or unresolved holds together could have seen: the least of them.
#[must_use]
pub fn smallest_seen(holds: &[HoldResult<'_>]) -> Option<MassFlow> {
    holds
        .iter()
        .filter_map(|hold| hold.found.as_ref().ok())
        .filter_map(|found| crate::show::hold::smallest(found).map(Uncertain::value))
        .min_by(|a, b| a.kilogram_per_second().total_cmp(&b.kilogram_per_second()))
}
