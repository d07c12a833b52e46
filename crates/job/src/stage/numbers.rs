//! The big numbers of a stage: saturation and superheat of the last readings.

use super::Ground;
use crate::doubts::Side;
use crate::opening::{input, number};
use crate::show;
use crate::visit::readings::{Place, ReadingResult};
use record::{Measured, Reading};
use report::{Message, Number};
use units::{AbsolutePressure, PressureReading, Uncertain};

/// A pressure of the last readings that have it.
pub struct LastPressure {
    /// The pressure.
    pub pressure: Uncertain<AbsolutePressure>,
    /// Where it was read.
    pub side: Side,
}

type Port = (&'static str, fn(&Reading) -> &Option<Measured<PressureReading>>);

const LOW: [Port; 2] = [
    ("suction_pressure", |reading| &reading.suction_pressure),
    ("evaporator_pressure", |reading| &reading.evaporator_pressure),
];
const HIGH: [Port; 2] = [
    ("discharge_pressure", |reading| &reading.discharge_pressure),
    ("liquid_pressure", |reading| &reading.liquid_pressure),
];

/// Returns the last pressure read on a side.
pub fn last_pressure(ground: &Ground<'_>, side: Side) -> Option<LastPressure> {
    let visit = ground.visit;
    let ports = if side == Side::Low { LOW } else { HIGH };
    ground.results.readings.iter().rev().find_map(|result| {
        ports.iter().find_map(|(key, pick)| {
            let measured = pick(result.reading).as_ref()?;
            let pressure = visit.bench.pressure(measured, &result.entry.seen.with, side, key, visit.air);
            (pressure.value().pascal() > 0.0).then_some(LastPressure { pressure, side })
        })
    })
}

/// Returns saturation at the last pressure of a side: dew, and bubble beside it on the high side of a blend.
pub fn saturation(ground: &Ground<'_>, side: Side) -> Vec<Number> {
    let (visit, writer) = (ground.visit, ground.writer);
    let Some(substance) = &visit.substance else { return Vec::new() };
    let Some(last) = last_pressure(ground, side) else { return Vec::new() };
    let gauge = last.pressure.map(last.pressure.value().gauge(visit.air), 1.0);
    let inputs = || vec![input(Message::new("ask-gauge-pressure"), &gauge, writer)];
    let source = || Message::new("source-jcgm");
    let mut out = Vec::new();
    if let Ok((dew, _)) = field::saturation::dew(&substance.fluid, &last.pressure) {
        let label = match last.side {
            Side::Low => Message::new("head-suction"),
            Side::High => Message::new("head-condensing"),
        };
        out.push(number(label, &dew, writer, inputs(), Message::new("method-dew"), source()));
    }
    let blend = field::saturation::glide_at_pressure(&substance.fluid, last.pressure.value())
        .is_ok_and(|glide| glide.glide.kelvin() > 1.0);
    if blend
        && last.side == Side::High
        && let Ok((bubble, _)) = field::saturation::bubble(&substance.fluid, &last.pressure)
    {
        let label = Message::new("head-bubble");
        out.push(number(label, &bubble, writer, inputs(), Message::new("method-bubble"), source()));
    }
    out
}

/// Returns the superheat of the last readings that give one.
pub fn superheat(ground: &Ground<'_>) -> Option<Number> {
    let (place, found) = ground.results.readings.iter().rev().find_map(ReadingResult::working_superheat)?;
    let label = match place {
        Place::Evaporator => Message::new("found-superheat-evaporator"),
        Place::EvaporatorByCompressor => Message::new("found-superheat-by-compressor"),
        Place::Compressor | Place::Discharge => Message::new("found-superheat-compressor"),
    };
    Some(show::superheat::superheat_number(found, label, ground.visit.air, ground.writer))
}

/// Returns the subcooling of the last readings that give one.
pub fn subcooling(ground: &Ground<'_>) -> Option<Number> {
    let (found, by_discharge) =
        ground.results.readings.iter().rev().find_map(|result| result.subcooling.as_ref())?;
    let label = if *by_discharge {
        Message::new("found-subcooling-by-discharge")
    } else {
        Message::new("ask-subcooling")
    };
    Some(show::superheat::subcooling_number(found, label, ground.visit.air, ground.writer))
}
