//! What a look at this pressure says of other pressures, the steps of nitrogen, and two sections beside each other.

use super::Ground;
use field::hold::Verdict;
use field::tightness::{Shown, nitrogen_steps, pressure_that_shows, shown};
use record::{Body, Hold, Known, Reading, RunState, TestGas};
use report::{Block, Cell, Column, List, Message, Row, Table, Text, Value};
use units::math::sqrt;
use units::{AbsolutePressure, Fraction, PressureReading, Temperature};

/// A look that shows less than this of the leak looked for is a weak one (judgement).
const ENOUGH: Fraction = Fraction::from_ratio(0.5);
/// No part is warmed above this to raise its pressure (judgement, well below what plates allow for standing parts).
const WARMEST: Temperature = Temperature::from_celsius(45.0);

/// The last pressure at which the system was looked at with its own gas.
fn here(ground: &Ground<'_>) -> Option<AbsolutePressure> {
    let of_hold = |hold: &Hold| {
        let read = hold.end.as_ref().or(hold.between.last()).unwrap_or(&hold.start);
        read.pressure.get()
    };
    let typed = ground.visit.current.entries.iter().rev().find_map(|entry| match entry.what() {
        Body::Hold(hold) if hold.gas == TestGas::Own => Some(of_hold(hold)),
        Body::LeakCheck(check) => check.pressure.as_ref().map(|pressure| pressure.get()),
        Body::Reading(reading) if reading.state == Some(RunState::Off) => any_pressure(reading),
        _ => None,
    });
    Some(typed?.absolute(ground.visit.air))
}

fn any_pressure(reading: &Reading) -> Option<PressureReading> {
    let ports = [&reading.suction_pressure, &reading.liquid_pressure, &reading.discharge_pressure];
    ports.into_iter().flatten().map(|measured| measured.get()).next()
}

/// The pressures at which the leak may work, each with what it is.
fn there(ground: &Ground<'_>) -> Vec<(Message, AbsolutePressure)> {
    let visit = ground.visit;
    let last = |pick: fn(&Reading) -> Option<PressureReading>| {
        ground
            .results
            .readings
            .iter()
            .rev()
            .filter(|result| result.reading.state == Some(RunState::Running))
            .find_map(|result| pick(result.reading))
            .map(|pressure| pressure.absolute(visit.air))
    };
    let low = last(|r| r.suction_pressure.as_ref().or(r.evaporator_pressure.as_ref()).map(|m| m.get()));
    let high = last(|r| r.discharge_pressure.as_ref().or(r.liquid_pressure.as_ref()).map(|m| m.get()));
    // With liquid left it stands between dew and bubble; the higher one shows the least of it here.
    let hottest = visit.system.value.hottest_ambient.as_ref().and_then(Known::value).and_then(|ambient| {
        let fluid = &visit.substance.as_ref()?.fluid;
        fluid.bubble_at_temperature(*ambient).ok().map(|point| point.pressure)
    });
    [
        (Message::new("tight-low-running"), low),
        (Message::new("tight-high-running"), high),
        (Message::new("tight-hottest"), hottest),
    ]
    .into_iter()
    .filter_map(|(name, pressure)| Some((name, pressure?)))
    .collect()
}

/// What the last look with the system's own gas shows of a leak at the pressures that the system sees.
pub fn own_gas(ground: &Ground<'_>) -> Vec<Block> {
    let (visit, writer) = (ground.visit, ground.writer);
    let (Some(substance), Some(here)) = (&visit.substance, here(ground)) else { return Vec::new() };
    let outside = visit.air.pressure;
    let gauge = |pressure: AbsolutePressure| writer.write(pressure.gauge(visit.air));
    if here.pascal() <= outside.pascal() {
        return vec![Block::Paragraph(Message::new("tight-no-drive").with("here", gauge(here)).into())];
    }
    let rows: Vec<(Message, AbsolutePressure, Shown)> = there(ground)
        .into_iter()
        .filter_map(|(name, pressure)| {
            Some((name, pressure, shown(&substance.fluid, here, pressure, outside).ok()?))
        })
        .collect();
    let Some((_, worst, weakest)) =
        rows.iter().min_by(|a, b| a.2.least().ratio().total_cmp(&b.2.least().ratio()))
    else {
        return vec![Block::Paragraph(Message::new("tight-want").with("here", gauge(here)).into())];
    };
    let percent = |share: Fraction| Cell::Value(Value::from(writer.write(share)));
    let table = Table {
        caption: Some(Message::new("tight-caption").with("here", gauge(here)).into()),
        columns: vec![
            Column::words(Message::new("tight-where")),
            Column::numbers(Message::new("tight-pressure")),
            Column::numbers(Message::new("tight-hole")),
            Column::numbers(Message::new("tight-fine")),
        ],
        rows: rows
            .iter()
            .map(|(name, pressure, shown)| {
                Row::new(vec![
                    Cell::Text(name.clone().into()),
                    Cell::Value(Value::from(gauge(*pressure))),
                    percent(shown.hole),
                    percent(shown.fine),
                ])
            })
            .collect(),
    };
    let mut out = vec![Block::Table(table)];
    if weakest.least().ratio() < ENOUGH.ratio() {
        let times = 1.0 / weakest.least().ratio();
        let times = writer.number(times, usize::from(times < 10.0));
        out.push(Block::Paragraph(Message::new("tight-weak").with("times", times).into()));
        let wanted = pressure_that_shows(ENOUGH, *worst, outside);
        // Dew, the warmer of the two: warm to there and it stands at that pressure whatever the part of liquid.
        let warm = substance.fluid.dew_at_pressure(wanted).ok().map(|point| point.temperature);
        let sentence = match warm.filter(|warm| warm.kelvin() <= WARMEST.kelvin()) {
            Some(warm) => Message::new("tight-warm").with("warm", writer.write(warm)),
            None => Message::new("tight-too-warm"),
        };
        out.push(Block::Paragraph(sentence.with("wanted", gauge(wanted)).into()));
    }
    out
}

/// The stops of nitrogen on the way to the lowest plate.
pub fn steps(ground: &Ground<'_>, plate: PressureReading) -> Vec<Block> {
    let visit = ground.visit;
    let last = plate.absolute(visit.air).gauge(visit.air);
    let stops: Vec<Text> = nitrogen_steps(last)
        .into_iter()
        .map(|stop| Message::new("tight-step").with("stop", ground.writer.write(stop)).into())
        .collect();
    if stops.is_empty() {
        return Vec::new();
    }
    let limits = Block::Paragraph(Message::new("tight-steps-limit").into());
    vec![limits, Block::List(List { ordered: true, items: stops })]
}

/// The last two sections held with the same gas: which one loses more, where the readings can tell.
pub fn sections(ground: &Ground<'_>) -> Vec<Block> {
    let holds = ground.results.holds.iter().rev().filter_map(|result| {
        let found = result.found.as_ref().ok()?;
        let section = result.recorded.section.as_deref().filter(|section| !section.trim().is_empty())?;
        let void = matches!(found.verdict, Verdict::Void(_));
        (!void).then_some((section, result.recorded.gas, &found.leak.as_ref()?.gas))
    });
    let holds: Vec<_> = holds.collect();
    let Some((one, gas, leak)) = holds.first() else { return Vec::new() };
    let Some((other, _, beside)) = holds.iter().find(|hold| hold.0 != *one && hold.1 == *gas) else {
        return Vec::new();
    };
    let by = leak.value().kilogram_per_second() - beside.value().kilogram_per_second();
    // Two tests at two times: their errors are taken as independent.
    let u = sqrt(leak.u() * leak.u() + beside.u() * beside.u());
    let sentence = if by > 2.0 * u {
        Message::new("tight-sections-apart").with("more", *one).with("less", *other)
    } else if by < -2.0 * u {
        Message::new("tight-sections-apart").with("more", *other).with("less", *one)
    } else {
        Message::new("tight-sections-alike").with("one", *one).with("other", *other)
    };
    vec![Block::Paragraph(sentence.into())]
}
