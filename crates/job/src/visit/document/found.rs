//! What was found: the complaint, hits, every set of readings with what it shows, what is doubtful.

use super::{Results, words};
use crate::opening::{input, number, shares};
use crate::show::superheat as show;
use crate::visit::readings::{LimitSource, Place, ReadingResult, Shown, Silent, ToAir, superheat_limit};
use field::doubtful::Doubtful;
use field::split::MeanVariant;
use record::{Body, CheckResult, Glass, Measured};
use report::{
    Block, Cell, Column, CyclePoint, Figure, Finding, Input, Message, Number, Opened, Picture, Point,
    PressureEnthalpy, Reading, Row, Table, Text, Trend, Value, VerdictMark,
};
use units::{AbsolutePressure, Quantity, SpecificEnthalpy, TemperatureDifference, Writable, Writer};

pub fn blocks(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let visit = results.visit;
    let mut out = Vec::new();
    if let Some(complaint) = words::typed(&visit.visit.value.complaint) {
        out.push(Block::Paragraph(Message::new("found-complaint").with("complaint", complaint).into()));
    }
    let hits: Vec<Finding> = visit
        .entries(|body| match body {
            Body::LeakCheck(check) if check.result == CheckResult::Hit => Some(&**check),
            _ => None,
        })
        .enumerate()
        .map(|(at, (entry, check))| {
            let place = entry.seen.place.clone().map(Text::verbatim);
            let place = place.unwrap_or_else(|| words::heading(entry, at + 1));
            let mut finding =
                Finding::new(VerdictMark::Breached, Message::new("found-leak-at").with("place", place));
            finding.word = Some(Message::new("found-hit").into());
            let pressure = check.pressure.as_ref().map(|p| p.value.text.as_str());
            finding.advice = Some(match pressure {
                Some(pressure) => Message::new("found-hit-by-at")
                    .with("method", words::way(check.method))
                    .with("pressure", pressure)
                    .into(),
                None => Message::new("found-hit-by").with("method", words::way(check.method)).into(),
            });
            finding
        })
        .collect();
    if !hits.is_empty() {
        out.push(Block::Findings(hits));
    }
    if let Some(refused) = &visit.refused {
        out.push(Block::Paragraph(refused.message.clone().into()));
    } else if visit.substance.is_none() && !results.readings.is_empty() {
        out.push(Block::Paragraph(Message::new("found-no-refrigerant").into()));
    }
    for (number, (result, doubtful)) in results.readings.iter().zip(&results.doubtful).enumerate() {
        out.extend(reading(results, result, doubtful, number + 1, writer));
    }
    out.extend(trend(results, writer).map(|figure| Block::Figure(Box::new(figure))));
    out.extend(log_p_h(results, writer).map(|figure| Block::Figure(Box::new(figure))));
    out
}

/// Returns what a set of readings shows, as typed and computed.
pub fn reading(
    results: &Results<'_>,
    result: &ReadingResult<'_>,
    doubtful: &[Doubtful],
    number: usize,
    writer: &Writer,
) -> Vec<Block> {
    let mut findings = Vec::new();
    let air = results.visit.air;
    let limit = superheat_limit(results.visit);
    let working = result.working_superheat().map(|(place, _)| place);
    for (place, found) in &result.superheats {
        let name = match place {
            Place::Evaporator => Message::new("found-superheat-evaporator"),
            Place::EvaporatorByCompressor => Message::new("found-superheat-by-compressor"),
            Place::Compressor => Message::new("found-superheat-compressor"),
            Place::Discharge => Message::new("found-superheat-discharge"),
        };
        // The range aimed at belongs to the valve: only where the valve's superheat was taken.
        let judged = match (&limit, Some(*place) == working, place) {
            (Some((limit, _)), true, Place::Evaporator | Place::EvaporatorByCompressor) => Some(limit),
            _ => None,
        };
        findings.push(show::superheat_finding(found, name, judged, air, writer));
    }
    if let Some((found, by_discharge)) = &result.subcooling {
        let name = if *by_discharge {
            Message::new("found-subcooling-by-discharge")
        } else {
            Message::new("ask-subcooling")
        };
        findings.push(show::subcooling_finding(found, name, None, air, writer));
    }
    let mut means: Vec<Number> = Vec::new();
    if let Some(to_air) = &result.td {
        let name = if to_air.by_room_air { Message::new("found-td-box") } else { Message::new("found-td") };
        findings.push(air_finding(to_air, name, Message::new("method-td"), air, writer));
        if to_air.silent.is_none() {
            means.extend(mean_number(to_air, Message::new("method-mean"), writer));
        }
    }
    if let Some(to_air) = &result.split {
        let name = if to_air.by_room_air {
            Message::new("found-split-ambient")
        } else {
            Message::new("found-split")
        };
        findings.push(air_finding(to_air, name, Message::new("method-split"), air, writer));
    }
    if let Some(ratio) = &result.ratio {
        let mut finding = Finding::new(VerdictMark::Nothing, Message::new("found-ratio"));
        let half = 2.0 * ratio.u();
        let value = Value {
            value: writer.number(ratio.value().ratio(), 2),
            half_width: Some(writer.number(half, 2)),
            unit: String::new(),
        };
        let typed = |key: &str, measured: &Option<Measured<units::PressureReading>>| {
            measured.as_ref().map(|m| Input::new(words::reading(key), m.value.text.as_str()))
        };
        let reading = result.reading;
        finding.number = Some(
            Number::new(Message::new("found-ratio"), value).opens(Opened {
                inputs: [
                    typed("suction_pressure", &reading.suction_pressure),
                    typed("discharge_pressure", &reading.discharge_pressure),
                ]
                .into_iter()
                .flatten()
                .collect(),
                method: Message::new("method-ratio").into(),
                doubts: shares(ratio),
                source: Message::new("source-jcgm").into(),
            }),
        );
        findings.push(finding);
    }
    if let Some(shown) = &result.shown_saturation {
        findings.push(display(shown, writer));
    }
    findings.extend(doubtful.iter().map(|doubt| crate::show::doubtful::finding(doubt, writer)));

    let mut out = vec![Block::Table(typed_values(result, number))];
    if let Some((target, usual)) = &result.target {
        let method = if target.held_by_control {
            Message::new("method-target-held")
        } else if *usual {
            Message::new("method-target-usual")
        } else {
            Message::new("method-target")
        };
        let pressure = target.pressure.map(target.pressure.value().gauge(air), 1.0);
        let inputs = vec![input(Message::new("found-target-pressure"), &pressure, writer)];
        let source = Message::new("source-practice");
        let target = crate::opening::number(
            Message::new("found-target"),
            &target.temperature,
            writer,
            inputs,
            method,
            source,
        );
        means.push(target.doubtful());
    }
    if let Some(expected) = &result.expected_discharge {
        let (method, source) = (Message::new("method-discharge"), Message::new("source-discharge"));
        let label = Message::new("found-expected-discharge");
        means.push(crate::opening::number(label, expected, writer, Vec::new(), method, source).doubtful());
    }
    out.extend(show::blocks(findings));
    match out.last_mut() {
        Some(Block::Numbers(numbers)) => numbers.extend(means),
        _ if !means.is_empty() => out.push(Block::Numbers(means)),
        _ => {}
    }
    for (key, error) in &result.failed {
        let name = words::reading(key);
        let refused = crate::ask::fluid_refused("", "", error);
        let why = Message::new("found-failed").with("reading", name).with("sensible", &refused.sensible);
        out.push(Block::Paragraph(why.into()));
    }
    let warn = result.superheats.iter().find(|(place, _)| Some(*place) == working);
    out.extend(
        warn.and_then(|(_, found)| show::superheat_warning(&found.wrong_curve, writer))
            .map(|sentence| Block::Paragraph(sentence.into())),
    );
    if let (Some((_, source)), Some(Place::Evaporator | Place::EvaporatorByCompressor)) = (limit, working) {
        let sentence = match source {
            LimitSource::Record => None,
            LimitSource::RecordValue => Some(Message::new("found-limit-value")),
            LimitSource::Practice => Some(Message::new("found-limit-practice")),
        };
        out.extend(sentence.map(|sentence| Block::Paragraph(sentence.into())));
    }
    if working == Some(Place::EvaporatorByCompressor) {
        out.push(Block::Paragraph(Message::new("found-line-drop").into()));
    }
    out
}

/// The readings as they were typed.
fn typed_values(result: &ReadingResult<'_>, number: usize) -> Table {
    let reading = result.reading;
    let mut rows: Vec<Row> = Vec::new();
    let mut push = |name: Text, typed: &str, with: Option<&str>, tap: Option<&str>| {
        let origin: Vec<&str> = [tap, with].into_iter().flatten().collect();
        rows.push(Row::new(vec![
            Cell::Text(name),
            Cell::Value(Value::as_written(typed)),
            Cell::Text(Text::verbatim(origin.join("; "))),
        ]));
    };
    fn parts<Q>(m: &Measured<Q>) -> (&str, Option<&str>, Option<&str>) {
        (m.value.text.as_str(), m.with.as_deref(), m.tap.as_deref())
    }
    let pressures = [
        ("suction_pressure", &reading.suction_pressure),
        ("evaporator_pressure", &reading.evaporator_pressure),
        ("discharge_pressure", &reading.discharge_pressure),
        ("liquid_pressure", &reading.liquid_pressure),
    ];
    for (key, measured) in pressures {
        if let Some((typed, with, tap)) = measured.as_ref().map(parts) {
            push(words::reading(key), typed, with, tap);
        }
    }
    let temperatures = [
        ("suction_line", &reading.suction_line),
        ("evaporator_line", &reading.evaporator_line),
        ("discharge_line", &reading.discharge_line),
        ("liquid_line", &reading.liquid_line),
        ("liquid_at_valve", &reading.liquid_at_valve),
        ("box_air", &reading.box_air),
        ("air_on_evaporator", &reading.air_on_evaporator),
        ("air_off_evaporator", &reading.air_off_evaporator),
        ("air_on_condenser", &reading.air_on_condenser),
        ("air_off_condenser", &reading.air_off_condenser),
        ("ambient", &reading.ambient),
    ];
    for (key, measured) in temperatures {
        if let Some((typed, with, tap)) = measured.as_ref().map(parts) {
            push(words::reading(key), typed, with, tap);
        }
    }
    if let Some(state) = reading.state {
        push(Message::new("reading-state").into(), state.word(), None, None);
    }
    if let Some(glass) = reading.glass.filter(|glass| *glass != Glass::NotSeen) {
        push(Message::new("reading-glass").into(), glass.word(), None, None);
    }
    if let Some(moisture) = reading.moisture {
        push(Message::new("reading-moisture").into(), moisture.word(), None, None);
    }
    if let Some(fans) = reading.fans_running {
        push(Message::new("reading-fans").into(), &fans.to_string(), None, None);
    }
    if let Some((typed, with, tap)) = reading.shown_superheat.as_ref().map(parts) {
        push(Message::new("reading-shown-superheat").into(), typed, with, tap);
    }
    if let Some((typed, with, tap)) = reading.shown_subcooling.as_ref().map(parts) {
        push(Message::new("reading-shown-subcooling").into(), typed, with, tap);
    }
    if let Some((typed, with, tap)) = reading.shown_saturation.as_ref().map(parts) {
        push(Message::new("reading-shown-saturation").into(), typed, with, tap);
    }
    if let Some((typed, with, tap)) = reading.gauges_saturation.as_ref().map(parts) {
        push(Message::new("reading-gauges-saturation").into(), typed, with, tap);
    }
    if let Some(current) = &reading.compressor_current {
        push(Message::new("reading-current").into(), current, None, None);
    }
    Table {
        caption: Some(
            Message::new("found-readings").with("when", words::heading(result.entry, number)).into(),
        ),
        columns: vec![
            Column::words(Message::new("found-reading")),
            Column::numbers(Message::new("found-value")),
            Column::words(Message::new("found-where")),
        ],
        rows,
    }
}

fn air_finding(
    to_air: &ToAir,
    name: Message,
    method: Message,
    air: units::Atmosphere,
    writer: &Writer,
) -> Finding {
    let mut finding = Finding::new(VerdictMark::Nothing, name.clone());
    let found = &to_air.found;
    let gauge = found.pressure.map(found.pressure.value().gauge(air), 1.0);
    let inputs = vec![
        input(Message::new("found-air"), &found.air_entering, writer),
        input(Message::new("ask-gauge-pressure"), &gauge, writer),
        input(Message::new("ask-dew"), &found.dew, writer),
    ];
    finding.number =
        Some(number(name, &found.difference, writer, inputs, method, Message::new("source-jcgm")));
    if let Some(silent) = &to_air.silent {
        finding.word = Some(Message::new("found-says-nothing").into());
        finding.advice = Some(match silent {
            Silent::HeadHeld => Message::new("found-head-held").into(),
            Silent::NotRunning => Message::new("found-not-running").into(),
            Silent::BoxWarm(above) => {
                Message::new("found-box-warm").with("above", writer.write(*above)).into()
            }
        });
    }
    finding
}

/// The variant by mean refrigerant temperature, where the glide is large and how the refrigerant enters is known.
fn mean_number(to_air: &ToAir, method: Message, writer: &Writer) -> Option<Number> {
    let MeanVariant::Known { mean, difference, .. } = &to_air.found.mean else { return None };
    let inputs = vec![
        input(Message::new("found-air"), &to_air.found.air_entering, writer),
        input(Message::new("found-mean"), mean, writer),
    ];
    let (label, source) = (Message::new("found-td-mean"), Message::new("source-jcgm"));
    Some(number(label, difference, writer, inputs, method, source))
}

fn display(shown: &Shown, writer: &Writer) -> Finding {
    let mark = if shown.agrees { VerdictMark::Met } else { VerdictMark::Doubtful };
    let mut finding = Finding::new(mark, Message::new("found-display"));
    finding.word = Some(
        if shown.agrees {
            Message::new("found-display-agrees")
        } else {
            Message::new("found-display-differs")
        }
        .into(),
    );
    let difference = Value::from(writer.write_uncertain(&shown.difference));
    finding.number = Some(Number::new(Message::new("found-display-by"), difference).opens(Opened {
        inputs: Vec::new(),
        method: Message::new("method-display").into(),
        doubts: shares(&shown.difference),
        source: Message::new("source-jcgm").into(),
    }));
    finding.advice = if shown.other_curve {
        Some(Message::new("found-display-other-curve").into())
    } else if shown.agrees {
        None
    } else {
        Some(Message::new("found-display-reconcile").into())
    };
    finding
}

/// Returns superheat over time, where it was taken at the valve three times or more.
pub fn trend(results: &Results<'_>, writer: &Writer) -> Option<Figure> {
    let points: Vec<(i64, &field::superheat::Superheat)> = results
        .readings
        .iter()
        .filter_map(|result| {
            let at = result.entry.seen.at.as_ref().filter(|at| !at.is_day())?;
            let (place, found) = result.working_superheat()?;
            matches!(place, Place::Evaporator | Place::EvaporatorByCompressor)
                .then_some((at.unix_millis(), found))
        })
        .collect();
    let first = points.first()?.0;
    if points.len() < 3 {
        return None;
    }
    let scale = TemperatureDifference::scale(writer, 1.0);
    let shown = |d: TemperatureDifference| d.si() / scale.size;
    let minutes = |at: i64| (at - first) as f64 / 60_000.0;
    let allowed = superheat_limit(results.visit).map(|(limit, _)| match limit {
        units::Limit::AtLeast(a) => report::AllowedZone { low: Some(shown(a)), high: None },
        units::Limit::AtMost(b) => report::AllowedZone { low: None, high: Some(shown(b)) },
        units::Limit::Between(a, b) => report::AllowedZone { low: Some(shown(a)), high: Some(shown(b)) },
    });
    let last = points.last()?.1;
    Some(Figure {
        title: Message::new("found-trend").with("unit", scale.unit).into(),
        description: Message::new("found-trend-says")
            .with("count", points.len())
            .with("last", writer.write_uncertain(&last.superheat))
            .into(),
        picture: Picture::Trend(Trend {
            value_axis: Text::verbatim(scale.unit),
            time_axis: Text::verbatim("min"),
            readings: points
                .iter()
                .map(|(at, found)| {
                    Reading::new(minutes(*at), shown(found.superheat.value()))
                        .within(2.0 * found.superheat.u() / scale.size)
                })
                .collect(),
            allowed,
            settled: None,
        }),
    })
}

/// Returns the cycle of the last complete set of readings on a log p-h diagram.
pub fn log_p_h(results: &Results<'_>, writer: &Writer) -> Option<Figure> {
    let substance = results.visit.substance.as_ref()?;
    let fluid = &substance.fluid;
    let result = results.readings.iter().rev().find(|result| result.cycle.len() == 3)?;
    let pressure = AbsolutePressure::scale(writer, 1.0);
    let enthalpy = SpecificEnthalpy::scale(writer, 1.0);
    let point = |h: SpecificEnthalpy, p: AbsolutePressure| Point {
        x: h.si() / enthalpy.size,
        y: p.si() / pressure.size,
    };
    let state = |p: AbsolutePressure, t| fluid.state_at_pressure_temperature(p, t).ok();
    let [(_, p1, t1), (_, p2, t2), (_, p3, t3)] = result.cycle.as_slice() else { return None };
    let (suction, discharge, liquid) = (state(*p1, *t1)?, state(*p2, *t2)?, state(*p3, *t3)?);
    let low = result.working_superheat().map_or(*p1, |(_, found)| found.pressure.value());
    let corner = |number: &str, key: &str, at: Point| CyclePoint {
        number: number.to_owned(),
        place: words::reading(key),
        at,
    };
    let cycle = vec![
        corner("1", "suction_line", point(suction.enthalpy, *p1)),
        corner("2", "discharge_line", point(discharge.enthalpy, *p2)),
        corner("3", "liquid_line", point(liquid.enthalpy, *p3)),
        CyclePoint {
            number: "4".to_owned(),
            place: Message::new("found-after-valve").into(),
            at: point(liquid.enthalpy, low),
        },
    ];
    // The dome from a little below the low side up to near its end.
    let lowest =
        fluid.dew_at_pressure(AbsolutePressure::from_pascal(low.pascal() * 0.5)).ok()?.temperature.kelvin();
    let (mut bubble, mut dew) = (Vec::new(), Vec::new());
    let (mut t, mut step) = (lowest, 3.0);
    // Up to the end of the two-phase region, in ever smaller steps where it closes.
    while step > 0.2 && bubble.len() < 120 {
        let at = units::Temperature::from_kelvin(t);
        if let (Ok(b), Ok(d)) = (fluid.bubble_at_temperature(at), fluid.dew_at_temperature(at)) {
            bubble.push(point(b.enthalpy, b.pressure));
            dew.push(point(d.enthalpy, d.pressure));
        } else {
            t -= step;
            step /= 2.0;
        }
        t += step;
    }
    Some(Figure {
        title: Message::new("found-cycle").with("refrigerant", substance.name.as_str()).into(),
        description: Message::new("found-cycle-says")
            .with("low", writer.write(low))
            .with("high", writer.write(*p2))
            .into(),
        picture: Picture::PressureEnthalpy(PressureEnthalpy {
            refrigerant: substance.name.clone(),
            enthalpy_axis: Message::new("found-enthalpy-axis").with("unit", enthalpy.unit).into(),
            pressure_axis: Text::verbatim(pressure.unit),
            bubble,
            dew,
            cycle,
        }),
    })
}
