//! What each set of readings shows: superheat, subcooling, differences to the air, ratio, and whether it may speak.

use super::Visit;
use crate::doubts::Side;
use crate::doubts::known;
use field::charge::CondensingTarget;
use field::compression::UsualBand;
use field::split::AirDifference;
use field::superheat::{Subcooling, Superheat};
use fluid::FluidError;
use record::{
    Body, BoxKind, Entry, HeadControl, Known, Measured, PressureOrTemperature, Reading, RunState, Typed,
};
use units::{
    AbsolutePressure, Fraction, Limit, PressureReading, Temperature, TemperatureDifference, Uncertain,
};

/// Overall isentropic efficiency of a usual compressor: the middle of 764 published maps (R-404A, medium temperature).
pub const USUAL_EFFICIENCY: f64 = 0.62;
/// Half-width about that: their tenth to ninetieth percentile.
pub const USUAL_EFFICIENCY_HALF_WIDTH: f64 = 0.11;

/// Where a superheat was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// At the outlet of the evaporator, its own pressure.
    Evaporator,
    /// At the outlet of the evaporator, the pressure read at the compressor: the drop of the line is left out.
    EvaporatorByCompressor,
    /// At the compressor.
    Compressor,
    /// In the discharge line.
    Discharge,
}

/// Why a difference to the air says nothing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Silent {
    /// A control holds the head.
    HeadHeld,
    /// The system was not running.
    NotRunning,
    /// The box is this far above what is wanted.
    BoxWarm(TemperatureDifference),
}

/// A difference to the air, and whether it may speak.
#[derive(Clone, Debug)]
pub struct ToAir {
    /// The difference.
    pub found: AirDifference,
    /// The air used was that of the box, or the outdoor air, not that entering the coil.
    pub by_room_air: bool,
    /// Why it says nothing, if so.
    pub silent: Option<Silent>,
}

/// What a display shows against what the gauges give.
#[derive(Clone, Debug)]
pub struct Shown {
    /// What the display shows.
    pub shown: Uncertain<TemperatureDifference>,
    /// Shown less found.
    pub difference: Uncertain<TemperatureDifference>,
    /// The display agrees with the other curve instead.
    pub other_curve: bool,
    /// The two agree within their doubts.
    pub agrees: bool,
}

/// One set of readings and what it shows.
pub struct ReadingResult<'a> {
    /// The entry.
    pub entry: &'a Entry,
    /// The readings as typed.
    pub reading: &'a Reading,
    /// Superheats by place.
    pub superheats: Vec<(Place, Superheat)>,
    /// Subcooling; true where the pressure is that of the discharge side.
    pub subcooling: Option<(Subcooling, bool)>,
    /// Evaporator TD.
    pub td: Option<ToAir>,
    /// Condenser split.
    pub split: Option<ToAir>,
    /// Where it should condense by ambient and design split; true where the split is the usual one, not the record's.
    pub target: Option<(CondensingTarget, bool)>,
    /// The discharge temperature of a compressor of the usual efficiency: an upper bound for a shell that loses heat.
    pub expected_discharge: Option<Uncertain<Temperature>>,
    /// The efficiency that the gas shows between both lines, at most, and what is usual at this ratio.
    pub gas_efficiency: Option<(Uncertain<Fraction>, UsualBand)>,
    /// Compression ratio.
    pub ratio: Option<Uncertain<Fraction>>,
    /// A saturation temperature that a display shows, against dew.
    pub shown_saturation: Option<Shown>,
    /// What could not be computed, by the key of the reading.
    pub failed: Vec<(&'static str, FluidError)>,
    /// The states of the cycle measured, in the order of flow: pressure and temperature with their keys.
    pub cycle: Vec<(&'static str, AbsolutePressure, Temperature)>,
}

impl ReadingResult<'_> {
    /// Returns the superheat that a technician sets by: at the evaporator, else at the compressor.
    #[must_use]
    pub fn working_superheat(&self) -> Option<(Place, &Superheat)> {
        let by = |wanted: Place| {
            self.superheats.iter().find(|(place, _)| *place == wanted).map(|(place, found)| (*place, found))
        };
        by(Place::Evaporator).or_else(|| by(Place::EvaporatorByCompressor)).or_else(|| by(Place::Compressor))
    }
}

/// Returns every set of readings of the visit with what it shows.
#[must_use]
pub fn results(visit: &Visit) -> Vec<ReadingResult<'_>> {
    visit
        .entries(|body| match body {
            Body::Reading(reading) => Some(&**reading),
            _ => None,
        })
        .map(|(entry, reading)| result(visit, entry, reading))
        .collect()
}

/// Returns one set of readings with what it shows in this visit; it need not be among its entries.
#[must_use]
pub fn result<'a>(visit: &'a Visit, entry: &'a Entry, reading: &'a Reading) -> ReadingResult<'a> {
    let mut out = ReadingResult {
        entry,
        reading,
        superheats: Vec::new(),
        subcooling: None,
        td: None,
        split: None,
        target: None,
        expected_discharge: None,
        gas_efficiency: None,
        ratio: None,
        shown_saturation: None,
        failed: Vec::new(),
        cycle: Vec::new(),
    };
    let Some(substance) = &visit.substance else { return out };
    let fluid = &substance.fluid;
    let with = &entry.seen.with;
    let pressure = |measured: &Option<Measured<PressureReading>>, side, key: &'static str| {
        let found = measured.as_ref().map(|m| visit.bench.pressure(m, with, side, key, visit.air));
        found.filter(|p| p.value().pascal() > 0.0)
    };
    let temperature = |measured: &Option<Measured<Temperature>>, key: &'static str| {
        measured.as_ref().map(|m| visit.bench.temperature(m, with, key))
    };
    let suction = pressure(&reading.suction_pressure, Side::Low, "suction_pressure");
    let evaporator = pressure(&reading.evaporator_pressure, Side::Low, "evaporator_pressure");
    let discharge = pressure(&reading.discharge_pressure, Side::High, "discharge_pressure");
    let liquid = pressure(&reading.liquid_pressure, Side::High, "liquid_pressure");
    let suction_line = temperature(&reading.suction_line, "suction_line");
    let evaporator_line = temperature(&reading.evaporator_line, "evaporator_line");
    let discharge_line = temperature(&reading.discharge_line, "discharge_line");
    let liquid_line = temperature(&reading.liquid_line, "liquid_line");

    let mut superheat =
        |place: Place, p: &Option<Uncertain<AbsolutePressure>>, t: &Option<Uncertain<Temperature>>, key| {
            if let (Some(p), Some(t)) = (p, t) {
                match field::superheat::superheat(fluid, p, t) {
                    Ok(found) => out.superheats.push((place, found)),
                    Err(error) => out.failed.push((key, error)),
                }
            }
        };
    if evaporator.is_some() {
        superheat(Place::Evaporator, &evaporator, &evaporator_line, "evaporator_pressure");
    } else {
        superheat(Place::EvaporatorByCompressor, &suction, &evaporator_line, "suction_pressure");
    }
    superheat(Place::Compressor, &suction, &suction_line, "suction_pressure");
    superheat(Place::Discharge, &discharge, &discharge_line, "discharge_pressure");

    let by_discharge = liquid.is_none();
    if let (Some(p), Some(t)) = (liquid.as_ref().or(discharge.as_ref()), &liquid_line) {
        match field::superheat::subcooling(fluid, p, t) {
            Ok(found) => out.subcooling = Some((found, by_discharge)),
            Err(error) => out.failed.push(("liquid_pressure", error)),
        }
    }

    let running = !matches!(reading.state, Some(RunState::Off | RunState::Defrost | RunState::PumpDown));
    let coil_air = temperature(&reading.air_on_evaporator, "air_on_evaporator");
    let box_air = temperature(&reading.box_air, "box_air");
    if let (Some(p), Some(air)) =
        (evaporator.as_ref().or(suction.as_ref()), coil_air.as_ref().or(box_air.as_ref()))
    {
        let inlet = inlet(visit, liquid.as_ref().or(discharge.as_ref()), liquid_line.as_ref());
        match field::split::evaporator_td(fluid, p, air, inlet) {
            Ok(found) => {
                let warm = box_warm(visit, box_air.as_ref().or(coil_air.as_ref()));
                let silent = if running { warm.map(Silent::BoxWarm) } else { Some(Silent::NotRunning) };
                out.td = Some(ToAir { found, by_room_air: coil_air.is_none(), silent });
            }
            Err(error) => out.failed.push(("evaporator_pressure", error)),
        }
    }
    let condenser_air = temperature(&reading.air_on_condenser, "air_on_condenser");
    let ambient = temperature(&reading.ambient, "ambient");
    if let (Some(p), Some(air)) =
        (discharge.as_ref().or(liquid.as_ref()), condenser_air.as_ref().or(ambient.as_ref()))
    {
        match field::split::condenser_split(fluid, p, air) {
            Ok(found) => {
                let silent = if !running {
                    Some(Silent::NotRunning)
                } else if head_held(visit, found.dew.value()) {
                    Some(Silent::HeadHeld)
                } else {
                    None
                };
                out.split = Some(ToAir { found, by_room_air: condenser_air.is_none(), silent });
            }
            Err(error) => out.failed.push(("discharge_pressure", error)),
        }
    }
    if let (Some(low), Some(high), true) = (&suction, &discharge, running) {
        out.ratio = field::compression::compression_ratio(low, high).ok();
    }
    if running {
        if let Some(air) = condenser_air.as_ref().or(ambient.as_ref()) {
            out.target = target(visit, air);
        }
        if let (Some(p1), Some(t1), Some(p2)) = (&suction, &suction_line, &discharge) {
            let usual = Fraction::from_ratio(USUAL_EFFICIENCY);
            let doubt = units::Doubt::new(units::Cause::Judgement, "efficiency");
            let efficiency = Uncertain::within(usual, doubt, USUAL_EFFICIENCY_HALF_WIDTH);
            let found = field::compression::expected_discharge(fluid, p1, t1, p2, &efficiency);
            out.expected_discharge = found.ok().map(|discharge| discharge.temperature);
            out.gas_efficiency = gas_efficiency(fluid, [p1, p2], t1, discharge_line.as_ref());
        }
    }
    if let Some(measured) = &reading.shown_saturation
        && let Some(p) = evaporator.as_ref().or(suction.as_ref())
        && let Ok((dew, _)) = field::saturation::dew(fluid, p)
        && let Ok((bubble, _)) = field::saturation::bubble(fluid, p)
    {
        let shown = Uncertain::exact(measured.get());
        let between = |curve: &Uncertain<Temperature>| {
            units::combine(shown.value() - curve.value(), [shown.part(1.0), curve.part(-1.0)])
        };
        let (by_dew, by_bubble) = (between(&dew), between(&bubble));
        let agrees =
            |d: &Uncertain<TemperatureDifference>| d.value().kelvin().abs() <= (2.0 * d.u()).max(0.6);
        out.shown_saturation = Some(Shown {
            shown: Uncertain::exact(measured.get() - Temperature::from_kelvin(273.15)),
            agrees: agrees(&by_dew),
            other_curve: !agrees(&by_dew) && agrees(&by_bubble),
            difference: by_dew,
        });
    }
    let mut state = |key, p: &Option<Uncertain<AbsolutePressure>>, t: &Option<Uncertain<Temperature>>| {
        if let (Some(p), Some(t)) = (p, t) {
            out.cycle.push((key, p.value(), t.value()));
        }
    };
    state("suction_line", &suction, &suction_line);
    state("discharge_line", &discharge, &discharge_line);
    let liquid_side = liquid.clone().or_else(|| discharge.clone());
    state("liquid_line", &liquid_side, &liquid_line);
    out
}

/// The efficiency by the gas beside the usual band; nothing without the discharge line.
fn gas_efficiency(
    fluid: &fluid::Fluid,
    [p1, p2]: [&Uncertain<AbsolutePressure>; 2],
    t1: &Uncertain<Temperature>,
    t2: Option<&Uncertain<Temperature>>,
) -> Option<(Uncertain<Fraction>, UsualBand)> {
    let found = field::compression::efficiency_by_discharge(fluid, p1, t1, p2, t2?).ok()?;
    let ratio = Fraction::from_ratio(p2.value().pascal() / p1.value().pascal());
    let evaporating = fluid.dew_at_pressure(p1.value()).ok()?.temperature;
    Some((found, field::compression::usual_band(ratio, evaporating)))
}

/// Where it should condense: ambient plus the design split, or the usual one where the record has none.
fn target(visit: &Visit, air: &Uncertain<Temperature>) -> Option<(CondensingTarget, bool)> {
    let system = &visit.system.value;
    let fluid = &visit.substance.as_ref()?.fluid;
    let stated = system.design_split.as_ref().and_then(|split| known(split, "design_split"));
    let usual = stated.is_none();
    let split = stated.unwrap_or(Uncertain::exact(field::practice::CONDENSER_SPLIT));
    let setting = system.head_setting.as_ref().and_then(Known::value);
    let held = setting.and_then(|setting| head_temperature(visit, setting));
    field::charge::condensing_target(fluid, air, &split, held).ok().map(|target| (target, usual))
}

/// How the refrigerant enters the evaporator: with the enthalpy of the liquid before the valve.
fn inlet(
    visit: &Visit,
    pressure: Option<&Uncertain<AbsolutePressure>>,
    liquid_line: Option<&Uncertain<Temperature>>,
) -> Option<field::split::EvaporatorInlet> {
    let fluid = &visit.substance.as_ref()?.fluid;
    let state = fluid.state_at_pressure_temperature(pressure?.value(), liquid_line?.value()).ok()?;
    Some(field::split::EvaporatorInlet::Enthalpy(state.enthalpy))
}

/// How far the box is above what is wanted, where that is more than 5 K.
fn box_warm(visit: &Visit, air: Option<&Uncertain<Temperature>>) -> Option<TemperatureDifference> {
    let target = known(visit.system.value.box_target.as_ref()?, "box_target")?;
    let above = air?.value() - target.value();
    (above.kelvin() > 5.0).then_some(above)
}

/// Whether the condensing temperature stands where the head-pressure control holds it.
fn head_held(visit: &Visit, condensing: Temperature) -> bool {
    let system = &visit.system.value;
    let holds = matches!(
        system.head_control.as_ref().and_then(Known::value),
        Some(
            HeadControl::FloodingValve
                | HeadControl::ValveAndFans
                | HeadControl::FanCycling
                | HeadControl::FanSpeed
                | HeadControl::SplitCondenser
                | HeadControl::Dampers
                | HeadControl::WaterValve
        )
    );
    let setting = system.head_setting.as_ref().and_then(Known::value);
    match setting.and_then(|setting| head_temperature(visit, setting)) {
        Some(setting) => holds && (condensing - setting).kelvin().abs() < 3.0,
        None => false,
    }
}

/// Returns a head setting as condensing (dew) temperature.
#[must_use]
pub fn head_temperature(visit: &Visit, setting: &PressureOrTemperature) -> Option<Temperature> {
    match setting {
        PressureOrTemperature::Temperature(t) => Some(*t),
        PressureOrTemperature::Pressure(p) => {
            let fluid = &visit.substance.as_ref()?.fluid;
            fluid.dew_at_pressure(p.absolute(visit.air)).ok().map(|point| point.temperature)
        }
    }
}

/// Where the limits of a superheat come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitSource {
    /// The record gives a range.
    Record,
    /// The record gives one value; 2 K each way is a judgement.
    RecordValue,
    /// The usual range for this kind of box: common practice, no source.
    Practice,
}

/// Returns the superheat aimed at, and where that comes from.
///
/// Common practice, no source: 6 to 12 °F in a cooler, 4 to 8 °F in a freezer.
#[must_use]
pub fn superheat_limit(visit: &Visit) -> Option<(Limit<TemperatureDifference>, LimitSource)> {
    let system = &visit.system.value;
    match system.superheat_target.as_ref().map(Known::plain) {
        Some(Known::Range { from, to }) => {
            return Some((Limit::Between(from.value, to.value), LimitSource::Record));
        }
        Some(Known::Value(Typed { value, .. }) | Known::About(Typed { value, .. })) => {
            let step = TemperatureDifference::from_kelvin(2.0);
            return Some((Limit::Between(*value - step, *value + step), LimitSource::RecordValue));
        }
        _ => {}
    }
    let f = TemperatureDifference::from_fahrenheit;
    let range = match system.box_kind.as_ref().and_then(Known::value)? {
        BoxKind::WalkInCooler | BoxKind::DisplayCase | BoxKind::Cabinet | BoxKind::WorkRoom => {
            (f(6.0), f(12.0))
        }
        BoxKind::WalkInFreezer | BoxKind::FrozenCase => (f(4.0), f(8.0)),
        BoxKind::IceMachine | BoxKind::Chiller | BoxKind::AirConditioner | BoxKind::Other => return None,
    };
    Some((Limit::Between(range.0, range.1), LimitSource::Practice))
}
