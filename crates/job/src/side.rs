//! What was seen besides: what leaving it costs, and what keeps it from coming back.

use crate::search::edits::{CAP_MISSING, EATEN, VIBRATES};
use crate::visit::Visit;
use field::bare_line::{BareLine, Line, bare_line};
use record::{Body, Finding, Known, LineKind, Reading, SeenKind, YesNo};
use report::{Block, List, Message, Text};
use units::{Temperature, Writer};

/// Returns what a finding costs if it is left: one sentence or more, in the order of weight.
#[must_use]
pub fn cost(visit: &Visit, finding: &Finding, writer: &Writer) -> Vec<Message> {
    let mut out = Vec::new();
    if finding.danger == Some(YesNo::Yes) {
        out.push(Message::new("side-danger"));
    }
    // As the search weighs such a place.
    let likelier = |factor: f64| Message::new("side-likelier").with("times", writer.number(factor, 0));
    match finding.about {
        Some(SeenKind::BareLine) => out.push(match bare(visit, finding) {
            Ok(found) => {
                let watts = |power: units::Power| writer.number(power.watt(), 0);
                let kelvin = |difference| writer.write(difference);
                Message::new("side-bare-line")
                    .with("low", watts(found.heat.0))
                    .with("high", watts(found.heat.1))
                    .with("from", kelvin(found.warmer.0))
                    .with("to", kelvin(found.warmer.1))
            }
            Err(field) => {
                Message::new("side-bare-wanting").with("field", crate::entry::labels::field("system", field))
            }
        }),
        Some(SeenKind::CapMissing) => out.push(likelier(CAP_MISSING)),
        Some(SeenKind::Chafing) => out.push(likelier(VIBRATES)),
        Some(SeenKind::Corrosion) => out.push(likelier(EATEN)),
        Some(SeenKind::DoubtfulJoint | SeenKind::Oil) => out.push(Message::new("side-look-there")),
        Some(SeenKind::WeakCompressor) => out.push(Message::new("side-runs-longer")),
        Some(SeenKind::DirtyCondenser | SeenKind::Fan) => out.push(Message::new("side-head-rises")),
        _ => {}
    }
    out
}

/// Returns what keeps such a thing from coming back; nothing for what has no rule.
#[must_use]
pub fn prevention(about: SeenKind) -> Option<Message> {
    Some(match about {
        SeenKind::BareLine => Message::new("side-keep-bare"),
        SeenKind::DoubtfulJoint => Message::new("side-keep-joint"),
        SeenKind::CapMissing => Message::new("side-keep-cap"),
        SeenKind::Chafing => Message::new("side-keep-chafing"),
        SeenKind::DirtyCondenser => Message::new("side-keep-condenser"),
        SeenKind::Corrosion => Message::new("side-keep-corrosion"),
        _ => return None,
    })
}

/// Returns what else was seen, with what leaving it costs and what prevents it; nothing where no finding has a kind.
#[must_use]
pub fn blocks(visit: &Visit, writer: &Writer) -> Vec<Block> {
    let mut items: Vec<Text> = Vec::new();
    let findings = visit.entries(|body| match body {
        Body::Finding(finding) => Some(&**finding),
        _ => None,
    });
    for (_, finding) in findings {
        let costs = cost(visit, finding, writer);
        let keeps = finding.about.and_then(prevention);
        items.extend(costs.into_iter().chain(keeps).map(|said| {
            Message::new("side-of").with("what", finding.what.as_str()).with("said", said).into()
        }));
    }
    if items.is_empty() { Vec::new() } else { vec![Block::List(List { ordered: false, items })] }
}

/// What a bare line costs; else the fact that is wanting, by its field.
fn bare(visit: &Visit, finding: &Finding) -> Result<BareLine, &'static str> {
    let system = &visit.system.value;
    let length = *finding.length.as_ref().and_then(Known::value).ok_or("length")?;
    let suction = system.line.iter().find(|line| line.kind == LineKind::Suction).ok_or("line")?;
    let diameter = *suction.size.as_ref().and_then(Known::value).ok_or("size")?;
    let capacity = *system.capacity.as_ref().and_then(Known::value).ok_or("capacity")?;
    let fluid = &visit.substance.as_ref().ok_or("refrigerant")?.fluid;
    let readings = || {
        visit.entries_of_all(|body| match body {
            Body::Reading(reading) => Some(&**reading),
            _ => None,
        })
    };
    let last =
        |of: fn(&Reading) -> Option<Temperature>| readings().filter_map(|(_, _, reading)| of(reading)).last();
    let pipe =
        last(|reading| reading.suction_line.as_ref().map(|one| one.value.value)).ok_or("suction_line")?;
    let pressure = readings()
        .filter_map(|(_, _, reading)| reading.suction_pressure.as_ref())
        .last()
        .ok_or("suction_pressure")?
        .value
        .value
        .absolute(visit.air);
    // The warmest day is what the line costs most on; where it is not known, the day it was read on.
    let air = system.hottest_ambient.as_ref().and_then(Known::value).copied();
    let air = air.or_else(|| last(|reading| reading.ambient.as_ref().map(|one| one.value.value)));
    let air = air.ok_or("hottest_ambient")?;
    let liquid =
        last(|reading| reading.liquid_line.as_ref().map(|one| one.value.value)).ok_or("liquid_line")?;
    let line = Line { diameter, length, air, pipe, pressure, liquid, capacity };
    bare_line(fluid, &line).ok().flatten().ok_or("suction_line")
}
