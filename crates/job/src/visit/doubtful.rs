//! Readings that cannot be: flagged, never refused.

use super::Visit;
use super::readings::{Place, ReadingResult};
use field::doubtful::{Doubtful, PortReading, Readings, doubtful};
use record::{Measured, RunState};
use units::PressureReading;

/// Returns what is doubtful in a set of readings.
#[must_use]
pub fn doubts(visit: &Visit, result: &ReadingResult<'_>) -> Vec<Doubtful> {
    let reading = result.reading;
    let absolute = |m: &Option<Measured<PressureReading>>| m.as_ref().map(|m| m.get().absolute(visit.air));
    let superheat = |wanted: Place| {
        result.superheats.iter().find(|(place, _)| *place == wanted).map(|(_, found)| found.superheat.value())
    };
    let ports = [
        ("suction_pressure", &reading.suction_pressure),
        ("evaporator_pressure", &reading.evaporator_pressure),
        ("discharge_pressure", &reading.discharge_pressure),
        ("liquid_pressure", &reading.liquid_pressure),
    ];
    let ports: Vec<PortReading> = ports
        .into_iter()
        .filter_map(|(port, measured)| {
            let measured = measured.as_ref()?;
            Some(PortReading {
                port: port.to_owned(),
                typed: measured.value.text.clone(),
                pressure: measured.get().absolute(visit.air),
            })
        })
        .collect();
    let suction = absolute(&reading.evaporator_pressure).or_else(|| absolute(&reading.suction_pressure));
    let saturation = suction
        .zip(visit.substance.as_ref())
        .and_then(|(p, substance)| substance.fluid.dew_at_pressure(p).ok())
        .map(|point| point.temperature);
    let running = match reading.state {
        Some(RunState::Running | RunState::PullDown) => Some(true),
        Some(RunState::Off | RunState::Defrost | RunState::PumpDown) => Some(false),
        None => None,
    };
    doubtful(&Readings {
        running,
        suction: absolute(&reading.suction_pressure).or(suction),
        discharge: absolute(&reading.discharge_pressure),
        discharge_line: reading.discharge_line.as_ref().map(Measured::get),
        liquid_line: reading.liquid_line.as_ref().map(Measured::get),
        suction_line: reading.suction_line.as_ref().or(reading.evaporator_line.as_ref()).map(Measured::get),
        box_temperature: reading.box_air.as_ref().or(reading.air_on_evaporator.as_ref()).map(Measured::get),
        suction_saturation: saturation,
        superheat: superheat(Place::Evaporator)
            .or_else(|| superheat(Place::EvaporatorByCompressor))
            .or_else(|| superheat(Place::Compressor)),
        typed_superheat: reading.shown_superheat.as_ref().map(Measured::get),
        subcooling: result.subcooling.as_ref().map(|(found, _)| found.subcooling.value()),
        ports,
    })
}
