//! What a field is expected to show: outside of it a value is doubted, never refused.
//!
//! The ranges are judgements, wide enough that a working system or a broken one stays inside: common practice, no
//! source. What no site can show at all is refused by the reader before.

use super::echo::Here;
use record::form::Takes;
use record::{BoxKind, Known, RunState};
use units::{AbsolutePressure, Mass, Temperature, TemperatureDifference, Writer};

/// Where a value is expected, both ends included, in SI; a pressure absolute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Expected {
    /// The low end.
    pub low: f64,
    /// The high end.
    pub high: f64,
    /// Why there.
    pub why: Why,
}

/// What an expectation rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Why {
    /// The kind of field alone.
    Usual,
    /// The saturation of this refrigerant between two temperatures.
    Saturation {
        /// The low end.
        low: Temperature,
        /// The high end.
        high: Temperature,
    },
    /// The kind of box.
    Box,
    /// The weight before, on the same form.
    Before,
    /// The limit on the nameplate.
    Nameplate,
    /// The fans that the system has.
    Fans,
    /// The charge on the nameplate.
    Charge,
}

impl Expected {
    pub(crate) fn holds(&self, si: f64) -> bool {
        (self.low..=self.high).contains(&si)
    }
}

const fn usual(low: f64, high: f64) -> Option<Expected> {
    Some(Expected { low, high, why: Why::Usual })
}

const fn celsius(low: f64, high: f64) -> Option<Expected> {
    usual(Temperature::from_celsius(low).kelvin(), Temperature::from_celsius(high).kelvin())
}

/// The side of the box that decides: above freezing, below it, or not known.
#[derive(Clone, Copy, PartialEq)]
enum Cold {
    Cooler,
    Freezer,
    Other,
}

fn cold(here: &Here<'_>) -> Cold {
    let kind = here.visit.and_then(|visit| visit.system.value.box_kind.as_ref()).and_then(Known::value);
    match kind {
        Some(BoxKind::WalkInCooler | BoxKind::DisplayCase | BoxKind::WorkRoom) => Cold::Cooler,
        Some(BoxKind::WalkInFreezer | BoxKind::FrozenCase) => Cold::Freezer,
        _ => Cold::Other,
    }
}

/// Whether the form says that the compressor runs; nothing where it does not say.
fn runs(here: &Here<'_>) -> Option<bool> {
    use record::Reads;
    match RunState::read(here.beside("state")?, &here.around.local).ok()? {
        RunState::Running | RunState::PullDown => Some(true),
        RunState::Off | RunState::Defrost | RunState::PumpDown => Some(false),
    }
}

/// Returns where the value of a field is expected; nothing where nobody could say.
pub(crate) fn expected(takes: &Takes, here: &Here<'_>) -> Option<Expected> {
    let key = here.path.split('[').next().unwrap_or(here.path);
    let found = match (here.kind, key) {
        ("reading", "suction_pressure" | "evaporator_pressure" | "shown_suction_pressure") => {
            let (low, high) = match (runs(here), cold(here)) {
                // At rest both sides stand where the warmest place lets them.
                (Some(false), _) => (-60.0, 55.0),
                (_, Cold::Cooler) => (-35.0, 20.0),
                (_, Cold::Freezer) => (-60.0, 5.0),
                (_, Cold::Other) => (-60.0, 25.0),
            };
            return saturation(here, low, high);
        }
        ("reading", "discharge_pressure" | "liquid_pressure") => {
            let (low, high) = if runs(here) == Some(false) { (-60.0, 70.0) } else { (0.0, 72.0) };
            return saturation(here, low, high);
        }
        ("reading", "suction_line" | "evaporator_line") => celsius(-60.0, 50.0),
        ("reading", "discharge_line") if runs(here) == Some(false) => celsius(-50.0, 150.0),
        ("reading", "discharge_line") => celsius(15.0, 150.0),
        ("reading", "liquid_line" | "liquid_at_valve") => celsius(-30.0, 75.0),
        ("reading", "shown_saturation") => celsius(-60.0, 75.0),
        ("reading", "air_on_condenser" | "ambient") => celsius(-50.0, 60.0),
        ("reading", "air_off_condenser") => celsius(-50.0, 75.0),
        ("reading", "box_air" | "air_on_evaporator" | "air_off_evaporator") | ("system", "box_target") => {
            let (low, high) = match (cold(here), key) {
                (Cold::Cooler, "box_target") => (-5.0, 20.0),
                (Cold::Freezer, "box_target") => (-45.0, -5.0),
                (_, "box_target") => (-45.0, 30.0),
                (Cold::Cooler, _) => (-15.0, 40.0),
                (Cold::Freezer, _) => (-50.0, 35.0),
                (Cold::Other, _) => (-50.0, 45.0),
            };
            let why = if cold(here) == Cold::Other { Why::Usual } else { Why::Box };
            celsius(low, high).map(|usual| Expected { why, ..usual })
        }
        ("reading", "gauges_saturation") => celsius(-60.0, 75.0),
        ("reading", "shown_superheat") => kelvin(-2.0, 50.0),
        ("reading", "shown_subcooling") => kelvin(-2.0, 40.0),
        ("reading", "fans_running") => {
            let fans = here.visit?.system.value.condenser_fans.as_ref()?.value()?;
            Some(Expected { low: 0.0, high: f64::from(*fans), why: Why::Fans })
        }
        ("system", "box_length" | "box_width" | "box_height") => usual(0.5, 40.0),
        ("system", "insulation") => usual(0.02, 0.3),
        ("system", "box_around") => celsius(-40.0, 50.0),
        ("system", "warmest_goods") => celsius(-30.0, 25.0),
        ("system", "superheat_target") => kelvin(1.0, 25.0),
        ("system", "design_td") => kelvin(2.0, 25.0),
        ("system", "design_split") => kelvin(3.0, 40.0),
        ("system", "coldest_ambient") => celsius(-60.0, 25.0),
        ("system", "hottest_ambient") => celsius(0.0, 60.0),
        ("system", "design_evaporating") => celsius(-60.0, 20.0),
        ("system", "design_condensing") => celsius(10.0, 72.0),
        ("system", "charge") => usual(0.05, 1000.0),
        ("system", "receiver_volume" | "condenser_volume" | "evaporator_volume") => usual(2e-4, 1.0),
        ("line", "size" | "inside") => usual(0.003, 0.13),
        ("weighing", "after") => return after(here),
        ("weighing", "before") => usual(0.3, 600.0),
        ("weighing", "hose_loss") => usual(0.0, 1.0),
        ("past change", "amount") => {
            let charge = here.visit?.system.value.charge.as_ref()?.value()?;
            Some(Expected { low: 0.0, high: 2.0 * charge.kilogram(), why: Why::Charge })
        }
        ("hold", "start.pressure" | "end.pressure" | "between.pressure") => return nameplate(here),
        // A sweep of a minute up to a day's watch of a section.
        ("leak check", "minutes") => usual(6.0, 48.0 * 3600.0),
        ("opening plan", "bore") => usual(0.0005, 0.1),
        ("opening plan", "open_for") => usual(0.5, 600.0),
        ("recovery", "machine") => usual(1e-5, 0.02),
        ("evacuation", "pump") => usual(2e-4, 0.05),
        ("evacuation", "hose") => usual(0.003, 0.06),
        ("evacuation", "hose_length") => usual(0.2, 30.0),
        // Above 20 mbar no pump has begun.
        ("rise", "points") if here.path.ends_with("[2]") => usual(0.0, 2_000.0),
        ("rise", "points") => usual(0.0, 48.0 * 3600.0),
        _ => None,
    };
    // An expectation is in the quantity of the field or it is none.
    found.filter(|_| !matches!(takes, Takes::Text | Takes::Name(_) | Takes::Words(_)))
}

const fn kelvin(low: f64, high: f64) -> Option<Expected> {
    usual(low, high)
}

/// The pressures between two saturation temperatures by dew; above the critical point as far as the nameplate of any
/// system goes.
fn saturation(here: &Here<'_>, low: f64, high: f64) -> Option<Expected> {
    let fluid = &here.visit?.substance.as_ref()?.fluid;
    let (low, high) = (Temperature::from_celsius(low), Temperature::from_celsius(high));
    let at = |t: Temperature| fluid.dew_at_temperature(t).ok().map(|point| point.pressure.pascal());
    let why = Why::Saturation { low, high };
    Some(Expected { low: at(low).unwrap_or(0.0), high: at(high).unwrap_or(16e6), why })
}

/// The weight after: below the weight before where gas went into the system, above it where it came out.
fn after(here: &Here<'_>) -> Option<Expected> {
    use record::{Direction, Reads};
    let local = &here.around.local;
    let before = Mass::read(here.beside("before")?, local).ok()?.kilogram();
    let (low, high) = match Direction::read(here.beside("direction")?, local).ok()? {
        Direction::Charged => (0.0, before),
        Direction::Recovered => (before, f64::INFINITY),
    };
    Some(Expected { low, high, why: Why::Before })
}

/// The lower of the nameplate's limits, where the record holds one.
fn nameplate(here: &Here<'_>) -> Option<Expected> {
    let visit = here.visit?;
    let system = &visit.system.value;
    let limit = |known: &Option<Known<units::PressureReading>>| {
        Some(known.as_ref()?.value()?.absolute(visit.air).pascal())
    };
    let high = match (limit(&system.low_side_limit), limit(&system.high_side_limit)) {
        (Some(a), Some(b)) => a.min(b),
        (a, b) => a.or(b)?,
    };
    Some(Expected { low: 0.0, high, why: Why::Nameplate })
}

/// Returns the two ends of an expectation as a person reads them, and nothing for one end that says nothing.
pub(crate) fn written(expected: &Expected, takes: &Takes, writer: &Writer) -> (String, String) {
    let one = |si: f64| match takes {
        Takes::Temperature => writer.write(Temperature::from_kelvin(si)).to_string(),
        Takes::TemperatureDifference => writer.write(TemperatureDifference::from_kelvin(si)).to_string(),
        Takes::Mass => writer.write(Mass::from_kilogram(si)).to_string(),
        Takes::Pressure | Takes::Point if si < 2_500.0 => {
            writer.vacuum(AbsolutePressure::from_pascal(si)).to_string()
        }
        Takes::Pressure | Takes::Point => writer.write(AbsolutePressure::from_pascal(si)).to_string(),
        Takes::Duration => writer.write(units::Duration::from_second(si)).to_string(),
        Takes::Volume => writer.write(units::Volume::from_cubic_metre(si)).to_string(),
        Takes::Length => writer.write(units::Length::from_metre(si)).to_string(),
        _ => writer.number(si, 0),
    };
    (one(expected.low), one(expected.high))
}
