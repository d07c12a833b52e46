//! What is normal here: kept when a system is found right, and set beside what it shows on a later visit.

use super::Ground;
use super::offer::Offer;
use super::settle::{Settling, moved};
use crate::visit::Visit;
use crate::visit::readings::{Place, ReadingResult, superheat_limit};
use field::superheat::VapourLine;
use record::{Body, Entry, Measured, Normal, RunState};
use report::{Block, Cell, Column, Message, Row, Table, Text, Value};
use units::{PressureReading, Quantity, Temperature, Uncertain, Verdict, Writable};

/// Returns what was normal here, the last that was kept, with its entry: of this visit or of one before.
#[must_use]
pub fn last(visit: &Visit) -> Option<(&Entry, &Normal)> {
    let of = |visit: &'_ Visit| -> Option<usize> {
        visit.current.entries.iter().rposition(|entry| matches!(entry.what(), Body::Normal(_)))
    };
    let in_one = |visit| {
        let visit: &Visit = visit;
        let entry = visit.current.entries.get(of(visit)?)?;
        match entry.what() {
            Body::Normal(normal) => Some((entry, &**normal)),
            _ => None,
        }
    };
    in_one(visit).or_else(|| visit.earlier.iter().rev().find_map(in_one))
}

/// What a reading shows of the things that are kept as normal.
struct Shows {
    superheat: Option<units::TemperatureDifference>,
    subcooling: Option<units::TemperatureDifference>,
    td: Option<units::TemperatureDifference>,
    split: Option<units::TemperatureDifference>,
    ambient: Option<Temperature>,
    box_air: Option<Temperature>,
    discharge_line: Option<Temperature>,
    suction: Option<PressureReading>,
    head: Option<PressureReading>,
}

fn shows(result: &ReadingResult<'_>) -> Shows {
    let reading = result.reading;
    let temperature = |measured: &Option<Measured<Temperature>>| measured.as_ref().map(Measured::get);
    let pressure = |measured: &Option<Measured<PressureReading>>| measured.as_ref().map(Measured::get);
    let at_coil = result.working_superheat().filter(|(place, found)| {
        matches!(place, Place::Evaporator | Place::EvaporatorByCompressor)
            && found.line == VapourLine::Superheated
    });
    Shows {
        superheat: at_coil.map(|(_, found)| found.superheat.value()),
        subcooling: result.subcooling.as_ref().map(|(found, _)| found.subcooling.value()),
        td: result.td.as_ref().filter(|td| td.silent.is_none()).map(|td| td.found.difference.value()),
        split: result
            .split
            .as_ref()
            .filter(|split| split.silent.is_none())
            .map(|split| split.found.difference.value()),
        ambient: temperature(&reading.ambient).or(temperature(&reading.air_on_condenser)),
        box_air: temperature(&reading.box_air),
        discharge_line: temperature(&reading.discharge_line),
        suction: pressure(&reading.suction_pressure).or(pressure(&reading.evaporator_pressure)),
        head: pressure(&reading.discharge_pressure).or(pressure(&reading.liquid_pressure)),
    }
}

/// The last readings of a running system.
fn running<'a, 'b>(ground: &'b Ground<'a>) -> Option<&'b ReadingResult<'a>> {
    ground.results.readings.iter().rev().find(|result| result.reading.state == Some(RunState::Running))
}

/// Whether the superheat stands where it is wanted and has settled: then the system may be called right by it.
fn found_right(ground: &Ground<'_>, result: &ReadingResult<'_>) -> bool {
    let Some((limit, _)) = superheat_limit(ground.visit) else { return false };
    let inside = result.working_superheat().is_some_and(|(place, found)| {
        matches!(place, Place::Evaporator | Place::EvaporatorByCompressor)
            && limit.judge(&found.superheat) == Verdict::Inside
    });
    inside && moved(&ground.results.readings).is_some_and(|moved| moved.settling == Settling::Settled)
}

/// Returns the offer to keep the last readings as what is normal here; none where it was kept since, or nothing runs.
pub fn offer(ground: &Ground<'_>) -> Option<Offer> {
    let result = running(ground)?;
    let entries = &ground.visit.current.entries;
    let read_at = entries.iter().position(|entry| entry.id == result.entry.id);
    let kept = entries.iter().rposition(|entry| matches!(entry.what(), Body::Normal(_)));
    if kept > read_at {
        return None;
    }
    let (shows, writer) = (shows(result), ground.writer);
    if shows.superheat.is_none() && shows.td.is_none() && shows.split.is_none() {
        return None;
    }
    let right = found_right(ground, result);
    let mut offer = Offer::new("normal", Message::new("offer-normal"), &["because"]).because(if right {
        Message::new("offer-normal-right")
    } else {
        Message::new("offer-normal-open")
    });
    let mut with = |path: &str, text: Option<String>| {
        if let Some(text) = text {
            offer.preset.push((path.to_owned(), text));
        }
    };
    let written = |value: Option<units::write::Written>| value.map(|value| value.to_string());
    with("superheat", written(shows.superheat.map(|value| writer.write(value))));
    with("subcooling", written(shows.subcooling.map(|value| writer.write(value))));
    with("td", written(shows.td.map(|value| writer.write(value))));
    with("split", written(shows.split.map(|value| writer.write(value))));
    let reading = result.reading;
    // What was read stands as it was typed.
    let typed =
        |measured: Option<&Measured<Temperature>>| measured.map(|measured| measured.value.text.clone());
    with("ambient", typed(reading.ambient.as_ref().or(reading.air_on_condenser.as_ref())));
    with("box_air", typed(reading.box_air.as_ref()));
    with("discharge_line", typed(reading.discharge_line.as_ref()));
    let typed =
        |measured: Option<&Measured<PressureReading>>| measured.map(|measured| measured.value.text.clone());
    with(
        "suction_pressure",
        typed(reading.suction_pressure.as_ref().or(reading.evaporator_pressure.as_ref())),
    );
    with("head_pressure", typed(reading.discharge_pressure.as_ref().or(reading.liquid_pressure.as_ref())));
    with("receiver_level", reading.receiver_level.as_ref().map(|measured| measured.value.text.clone()));
    with("fans_running", reading.fans_running.map(|count| count.to_string()));
    with("compressor_current", reading.compressor_current.clone());
    Some(offer)
}

/// What was normal beside what shows now.
pub fn beside(ground: &Ground<'_>) -> Vec<Block> {
    let Some((entry, normal)) = last(ground.visit) else { return Vec::new() };
    let writer = ground.writer;
    let now = running(ground).filter(|result| result.entry.id != entry.id).map(shows);
    let now = now.as_ref();
    let mut rows: Vec<Row> = Vec::new();
    let mut row = |name: Message, before: Option<String>, today: Option<String>| {
        if let Some(before) = before {
            let today = today.map_or(Cell::Empty, |text| Cell::Value(Value::as_written(text)));
            rows.push(Row::new(vec![Cell::Text(name.into()), Cell::Value(Value::as_written(before)), today]));
        }
    };
    fn text<Q: Copy + Writable>(writer: &units::Writer, value: Option<Q>) -> Option<String> {
        value.map(|value| writer.write(value).to_string())
    }
    let difference =
        |typed: &Option<record::Typed<units::TemperatureDifference>>| typed.as_ref().map(|t| t.value);
    let temperature = |typed: &Option<record::Typed<Temperature>>| typed.as_ref().map(|t| t.value);
    let pressure = |value: Option<PressureReading>| {
        value.map(|value| writer.write(value.absolute(ground.visit.air).gauge(ground.visit.air)).to_string())
    };
    row(
        Message::new("normal-superheat"),
        text(writer, difference(&normal.superheat)),
        text(writer, now.and_then(|n| n.superheat)),
    );
    row(
        Message::new("normal-subcooling"),
        text(writer, difference(&normal.subcooling)),
        text(writer, now.and_then(|n| n.subcooling)),
    );
    row(
        Message::new("normal-td"),
        text(writer, difference(&normal.td)),
        text(writer, now.and_then(|n| n.td)),
    );
    row(
        Message::new("normal-split"),
        text(writer, difference(&normal.split)),
        text(writer, now.and_then(|n| n.split)),
    );
    row(
        Message::new("reading-suction-pressure"),
        pressure(normal.suction_pressure.as_ref().map(|typed| typed.value)),
        pressure(now.and_then(|n| n.suction)),
    );
    row(
        Message::new("normal-head"),
        pressure(normal.head_pressure.as_ref().map(|typed| typed.value)),
        pressure(now.and_then(|n| n.head)),
    );
    row(
        Message::new("reading-discharge-line"),
        text(writer, temperature(&normal.discharge_line)),
        text(writer, now.and_then(|n| n.discharge_line)),
    );
    row(
        Message::new("reading-ambient"),
        text(writer, temperature(&normal.ambient)),
        text(writer, now.and_then(|n| n.ambient)),
    );
    row(
        Message::new("reading-box-air"),
        text(writer, temperature(&normal.box_air)),
        text(writer, now.and_then(|n| n.box_air)),
    );
    if rows.is_empty() {
        return Vec::new();
    }
    let day = entry.seen.at.as_ref().and_then(record::When::local_day).map(|day| day.to_string());
    let caption = match (&day, &normal.because) {
        (Some(day), Some(because)) => {
            Message::new("normal-caption-because").with("day", day.as_str()).with("because", because.as_str())
        }
        (Some(day), None) => Message::new("normal-caption").with("day", day.as_str()),
        (None, _) => Message::new("normal-caption-undated"),
    };
    let table = Table {
        caption: Some(Text::from(caption)),
        columns: vec![
            Column::words(Message::new("normal-what")),
            Column::numbers(Message::new("normal-then")),
            Column::numbers(Message::new("normal-now")),
        ],
        rows,
    };
    vec![Block::Table(table), Block::Paragraph(Message::new("normal-note").into())]
}

/// The compressor by its gas, against what is usual at its ratio.
pub fn compressor(ground: &Ground<'_>) -> Vec<Block> {
    let writer = ground.writer;
    let Some((found, band)) =
        ground.results.readings.iter().rev().find_map(|result| result.gas_efficiency.as_ref())
    else {
        return Vec::new();
    };
    let (low, high) = found.interval(2.0);
    // The gas makes it look better than it is, so that only a bad figure says something.
    let sentence = if low.si() > 1.0 {
        Message::new("gas-impossible")
    } else if high < band.low {
        Message::new("gas-below")
    } else if found.value() < band.low {
        Message::new("gas-perhaps-below")
    } else {
        Message::new("gas-usual")
    };
    let percent = |fraction: units::Fraction| writer.write(fraction);
    let figure = |value: &Uncertain<units::Fraction>| writer.write_uncertain(value);
    let sentence =
        sentence.with("found", figure(found)).with("low", percent(band.low)).with("high", percent(band.high));
    vec![Block::Paragraph(sentence.into()), Block::Paragraph(Message::new("gas-note").into())]
}
