//! Prove: is it right now, and would it show if it were not?

use super::clock::clock;
use super::offer::{Offer, quick};
use super::settle::{Settling, moved};
use super::{Ground, Now, View, normal, numbers};
use crate::ask::displays::{DisplaysAsked, displays};
use crate::doubts::Side;
use crate::show::superheat as show;
use crate::visit::document::{found, open, proof};
use crate::visit::readings::{LimitSource, Place, ReadingResult, Silent, superheat_limit};
use field::superheat::VapourLine;
use record::{Body, Known, RunState};
use report::{Block, Finding, Message, Moment, Picture, Text, VerdictMark};
use units::{Uncertain, Verdict};

pub fn view(ground: &Ground<'_>) -> View {
    let (results, writer) = (ground.results, ground.writer);
    let mut view = View::new(super::Stage::Prove, now(ground));
    view.head.extend(numbers::superheat(ground));
    view.head.extend(numbers::subcooling(ground));
    view.offers = offers(ground);
    if let Some((index, result)) = last(ground) {
        let doubtful = results.doubtful.get(index).map_or(&[][..], Vec::as_slice);
        view.section(
            Message::new("prove-last"),
            found::reading(results, result, doubtful, index + 1, writer),
        );
    }
    view.section(Message::new("prove-settling"), settling(ground));
    view.section(Message::new("prove-shown"), shown(ground));
    view.section(Message::new("prove-normal"), normal::beside(ground));
    view.section(Message::new("prove-compressor"), normal::compressor(ground));
    view.section(Message::new("prove-pull-down"), pull_down(ground));
    let mut tests = proof::holds(results, writer);
    tests.extend(proof::rises(results, writer));
    if !tests.is_empty() {
        tests.push(Block::Paragraph(Message::new("proof-not-proved").into()));
    }
    view.section(Message::new("visit-proof"), tests);
    view.sharpen = open::sharpen(results)
        .into_iter()
        .filter(|message| {
            matches!(message.id, "sharpen-instruments" | "sharpen-altitude" | "sharpen-line" | "sharpen-box")
        })
        .collect();
    if last(ground).is_some() && ground.visit.system.value.box_target.as_ref().is_none_or(Known::is_unknown) {
        view.sharpen.push(Message::new("sharpen-box-target"));
    }
    view
}

/// How long the box still takes to the temperature wanted, where it and the plant are known.
fn pull_down(ground: &Ground<'_>) -> Vec<Block> {
    let Some(Ok(answer)) = crate::visit::cold_box::of(ground.visit) else { return Vec::new() };
    let Some(sentence) = answer.pulling_down(ground.writer) else { return Vec::new() };
    vec![Block::Paragraph(sentence.into()), Block::Paragraph(Message::new("box-limits").into())]
}

/// The last set of readings that gives a superheat or a subcooling.
fn last<'a, 'b>(ground: &'b Ground<'a>) -> Option<(usize, &'b ReadingResult<'a>)> {
    let speaks = |result: &ReadingResult<'_>| !result.superheats.is_empty() || result.subcooling.is_some();
    ground.results.readings.iter().enumerate().rev().find(|(_, result)| speaks(result))
}

/// How far the box stands from what is wanted, where that keeps the readings from speaking.
fn box_warm(result: &ReadingResult<'_>) -> Option<Silent> {
    result.td.as_ref().and_then(|td| td.silent).filter(|silent| matches!(silent, Silent::BoxWarm(_)))
}

fn now(ground: &Ground<'_>) -> Now {
    let Some((index, result)) = last(ground) else {
        return Now::new(Message::new("prove-read")).because(Message::new("prove-read-why"));
    };
    if let Some(doubt) = ground.results.doubtful.get(index).and_then(|all| all.first()) {
        let finding = crate::show::doubtful::finding(doubt, ground.writer);
        let why = [Some(finding.name), finding.advice].into_iter().flatten().find_map(|text| match text {
            Text::Message(message) => Some(message),
            Text::Verbatim(_) => None,
        });
        let now = Now::new(Message::new("prove-doubtful")).marked(VerdictMark::Doubtful);
        return match why {
            Some(why) => now.because(why),
            None => now,
        };
    }
    let off = matches!(result.reading.state, Some(RunState::Off | RunState::Defrost | RunState::PumpDown));
    if off {
        return Now::new(Message::new("prove-not-running")).because(Message::new("prove-read-why"));
    }
    if let Some(Silent::BoxWarm(above)) = box_warm(result) {
        return Now::new(Message::new("prove-box-warm").with("above", ground.writer.write(above)))
            .because(Message::new("prove-box-warm-why"));
    }
    let Some((place, superheat)) = result.working_superheat() else {
        return Now::new(Message::new("prove-subcooling-only")).because(Message::new("prove-read-why"));
    };
    let written = ground.writer.write_uncertain(&superheat.superheat);
    match superheat.line {
        VapourLine::BelowDew => {
            return Now::new(Message::new("prove-below-dew"))
                .because(Message::new("superheat-below-dew-advice"))
                .marked(VerdictMark::Doubtful);
        }
        VapourLine::MayBeWet => {
            return Now::new(Message::new("prove-may-be-wet").with("superheat", written))
                .because(Message::new("prove-may-be-wet-why"))
                .marked(VerdictMark::NotResolved);
        }
        VapourLine::Superheated => {}
    }
    if matches!(place, Place::Compressor | Place::Discharge) {
        return Now::new(Message::new("now-superheat-compressor").with("superheat", written))
            .because(Message::new("prove-valve-wanted"));
    }
    let Some((limit, source)) = superheat_limit(ground.visit) else {
        return Now::new(Message::new("now-superheat-valve").with("superheat", written))
            .because(Message::new("prove-no-limit"));
    };
    judged(
        ground,
        &limit.judge(&superheat.superheat),
        written,
        &show::limit_words(&limit, ground.writer),
        source,
    )
}

fn judged(
    ground: &Ground<'_>,
    verdict: &Verdict,
    written: units::write::Written,
    limit: &Message,
    source: LimitSource,
) -> Now {
    let settling = moved(&ground.results.readings).map(|moved| moved.settling);
    let sentence = match (verdict, &settling) {
        (Verdict::Inside, Some(Settling::Settled)) => Message::new("prove-right-settled"),
        (Verdict::Inside, Some(Settling::Falling | Settling::Rising)) => Message::new("prove-right-moving"),
        (Verdict::Inside, Some(Settling::NotResolved) | None) => Message::new("prove-right"),
        (Verdict::Outside, Some(Settling::Falling | Settling::Rising)) => {
            Message::new("prove-outside-moving")
        }
        (Verdict::Outside, _) => Message::new("prove-outside"),
        (Verdict::NotResolved { .. }, Some(Settling::Falling | Settling::Rising)) => {
            Message::new("prove-not-resolved-moving")
        }
        (Verdict::NotResolved { .. }, _) => Message::new("prove-not-resolved"),
    };
    let now = Now::new(sentence.with("superheat", written)).marked(show::verdict_mark(verdict));
    if let Verdict::NotResolved { largest: Some(doubt), .. } = verdict {
        let doubt = crate::opening::doubt_text(doubt);
        return now.because(Message::new("larger-doubt").with("doubt", doubt));
    }
    let wanted = match source {
        LimitSource::Record | LimitSource::RecordValue => Message::new("prove-wanted"),
        LimitSource::Practice => Message::new("prove-wanted-practice"),
    };
    now.because(wanted.with("limit", limit.clone()))
}

/// The trend and what it says.
fn settling(ground: &Ground<'_>) -> Vec<Block> {
    let mut out = Vec::new();
    if let Some(moved) = moved(&ground.results.readings) {
        let by = ground.writer.write_uncertain(&moved.by);
        let over = ground.writer.write(moved.over);
        let sentence = match moved.settling {
            Settling::Settled => Message::new("prove-settled"),
            Settling::Falling => Message::new("prove-falling"),
            Settling::Rising => Message::new("prove-rising"),
            Settling::NotResolved => Message::new("prove-moving-unknown"),
        };
        out.push(Block::Paragraph(sentence.with("by", by).with("over", over).into()));
    } else if let Some((_, result)) = last(ground)
        && let Some(at) = result.entry.seen.at.as_ref().filter(|at| !at.is_day())
        && let Some(next) = super::clock::later(at, units::Duration::from_second(600.0))
    {
        let sentence = Message::new("prove-read-again").with("at", clock(&next, ground.now));
        out.push(Block::Paragraph(sentence.into()));
    }
    if let Some(mut figure) = found::trend(ground.results, ground.writer) {
        // From the earlier of the two readings on it stood still.
        if let Picture::Trend(trend) = &mut figure.picture
            && let Some(moved) = moved(&ground.results.readings).filter(|m| m.settling == Settling::Settled)
            && let Some(last) = trend.readings.last()
        {
            let time = last.time - moved.over.second() / 60.0;
            trend.settled = Some(Moment { time, label: Message::new("prove-settled-at").into() });
        }
        out.push(Block::Figure(Box::new(figure)));
    }
    out
}

/// What a controller shows beside what the gauges give, the difference judged.
fn shown(ground: &Ground<'_>) -> Vec<Block> {
    let (visit, writer) = (ground.visit, ground.writer);
    let mut findings: Vec<Finding> = Vec::new();
    let Some(result) = ground.results.readings.iter().rev().find(|result| {
        let reading = result.reading;
        reading.shown_suction_pressure.is_some()
            || reading.shown_saturation.is_some()
            || reading.shown_superheat.is_some()
    }) else {
        return Vec::new();
    };
    let compared = crate::visit::compared::compared(visit, result);
    findings.extend(compared.iter().map(|row| row.finding(writer)));
    let mut out = if findings.is_empty() { Vec::new() } else { vec![Block::Findings(findings)] };
    out.extend(reconciled(ground, result));
    out
}

/// What the controller and the gauges can be showing, where a saturation that one shows is not what the pressure gives.
fn reconciled(ground: &Ground<'_>, result: &ReadingResult<'_>) -> Vec<Block> {
    let (visit, reading) = (ground.visit, result.reading);
    let Some(substance) = &visit.substance else { return Vec::new() };
    // A saturation shown, or the one that a superheat shown was reckoned from: the line's temperature less it.
    let by_superheat = || {
        let line = reading.evaporator_line.as_ref().or(reading.suction_line.as_ref())?;
        Some(line.get() - reading.shown_superheat.as_ref()?.get())
    };
    let Some(shown) = reading.shown_saturation.as_ref().map(record::Measured::get).or_else(by_superheat)
    else {
        return Vec::new();
    };
    let ports = [
        ("suction_pressure", &reading.suction_pressure),
        ("evaporator_pressure", &reading.evaporator_pressure),
    ];
    let Some((typed, pressure)) = ports.into_iter().find_map(|(key, measured)| {
        let measured = measured.as_ref()?;
        let pressure = visit.bench.pressure(measured, &result.entry.seen.with, Side::Low, key, visit.air);
        Some((measured.value.text.as_str(), pressure))
    }) else {
        return Vec::new();
    };
    // Half a degree each way: a display shows whole degrees.
    let display = |shown: units::Temperature, key: &str| {
        let doubt = units::Doubt::new(units::Cause::Resolution, key);
        Uncertain::within(shown, doubt, 0.5 / 1.8)
    };
    let gauges = match &reading.gauges_saturation {
        Some(measured) => display(measured.get(), "gauges_saturation"),
        None => match field::saturation::dew(&substance.fluid, &pressure) {
            // The gauges' own display was not read: it says nothing, and the pressure alone is held against the controller's.
            Ok((dew, _)) => {
                let doubt = units::Doubt::new(units::Cause::Judgement, "gauges not read");
                Uncertain::within(dew.value(), doubt, 1e3)
            }
            Err(_) => return Vec::new(),
        },
    };
    let asked = DisplaysAsked {
        substance: substance.clone(),
        pressure: (pressure, typed),
        drop: units::PressureDifference::from_pascal(0.0),
        first: gauges,
        second: display(shown, "shown_saturation"),
        air: visit.air,
    };
    let Ok(answer) = displays(&asked) else { return Vec::new() };
    answer.told(ground.writer, reading.gauges_saturation.is_some())
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let visit = ground.visit;
    let mut out = vec![
        Offer::new(
            "reading",
            Message::new("offer-reading-coil"),
            &["evaporator_pressure", "evaporator_line", "box_air"],
        )
        .with("state", RunState::Running.word()),
        Offer::new(
            "reading",
            Message::new("offer-reading-liquid"),
            &["liquid_pressure", "liquid_line", "ambient", "glass"],
        )
        .with("state", RunState::Running.word()),
    ];
    out.extend(
        ["suction_pressure", "discharge_pressure", "box_air", "ambient", "glass"]
            .map(|key| quick(visit, key)),
    );
    out.push(
        Offer::new(
            "reading",
            Message::new("offer-controller"),
            &[
                "shown_suction_pressure",
                "shown_saturation",
                "shown_superheat",
                "suction_pressure",
                "gauges_saturation",
            ],
        )
        .because(Message::new("offer-controller-why")),
    );
    out.extend(normal::offer(ground));
    let mended = visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Repair(_)));
    if mended {
        out.push(Offer::new(
            "leak check",
            Message::new("offer-check"),
            &["place", "method", "result", "pressure"],
        ));
    }
    out.push(Offer::new("finding", Message::new("offer-finding"), &["what", "urgency", "price"]));
    out.push(
        Offer::new("picture", Message::new("offer-gauge-picture"), &[])
            .with("shows", "gauge")
            .with("read", "no"),
    );
    out
}
