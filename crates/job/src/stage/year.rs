//! What the settings do through the year: the head in its seasons, starts, defrost, the valve.

use super::Ground;
use crate::visit::inventory::line_volume;
use crate::visit::readings::{Place, head_temperature, superheat_limit};
use field::practice::CONDENSER_SPLIT;
use field::seasons::{
    CLEAR_FROM, DefrostAsked, DefrostFound, FansAndValve, MOST_STARTS, STEAMS_FROM, between_stops, defrost,
    fans_and_valve, head_through_year,
};
use record::{Body, Defrost, HeadControl, Known, LineKind, SettingOf, SettingValue};
use report::{Block, Finding, Message, Text, VerdictMark};
use units::{AbsolutePressure, Limit, Mass, Temperature, Verdict};

/// The last value that a setting was left at, or was found at.
fn setting<'a>(ground: &Ground<'a>, what: SettingOf) -> Option<&'a SettingValue> {
    ground
        .visit
        .entries(move |body| match body {
            Body::Setting(setting) if setting.what == what => Some(&**setting),
            _ => None,
        })
        .filter_map(|(_, setting)| setting.left.as_ref().or(setting.found.as_ref())?.value())
        .last()
}

fn pressure_of(ground: &Ground<'_>, value: &SettingValue) -> Option<AbsolutePressure> {
    match value {
        SettingValue::Pressure(p) => Some(p.absolute(ground.visit.air)),
        SettingValue::Temperature(t) => {
            let fluid = &ground.visit.substance.as_ref()?.fluid;
            fluid.dew_at_temperature(*t).ok().map(|point| point.pressure)
        }
        _ => None,
    }
}

fn fact<T: Copy>(known: &Option<Known<T>>) -> Option<T> {
    known.as_ref().and_then(Known::value).copied()
}

/// The evaporating temperature at design, or the box less the coil's difference.
fn evaporating(ground: &Ground<'_>) -> Option<Temperature> {
    let system = &ground.visit.system.value;
    fact(&system.design_evaporating).or_else(|| Some(fact(&system.box_target)? - fact(&system.design_td)?))
}

fn finding(mark: VerdictMark, name: Message, word: Message, advice: Message) -> Finding {
    let mut finding = Finding::new(mark, name);
    finding.word = Some(word.into());
    finding.advice = Some(advice.into());
    finding
}

/// The head setting in the seasons, and how the fans stand to it.
pub fn head(ground: &Ground<'_>) -> Vec<Block> {
    let (visit, writer) = (ground.visit, ground.writer);
    let system = &visit.system.value;
    let Some(fluid) = visit.substance.as_ref().map(|substance| &substance.fluid) else { return Vec::new() };
    let left = setting(ground, SettingOf::HeadPressure).and_then(|value| pressure_of(ground, value));
    let by_entry = left.and_then(|p| fluid.dew_at_pressure(p).ok()).map(|point| point.temperature);
    let by_fact = || head_temperature(visit, system.head_setting.as_ref()?.value()?);
    let Some(held) = by_entry.or_else(by_fact) else { return Vec::new() };
    let split = fact(&system.design_split);
    let mut out = Vec::new();
    let usual = split.unwrap_or(CONDENSER_SPLIT);
    let mut items: Vec<Text> = Vec::new();
    if let (Some(evaporating), Some(hottest)) = (evaporating(ground), fact(&system.hottest_ambient))
        && let Ok(year) = head_through_year(fluid, held, usual, evaporating, hottest)
    {
        items.push(
            Message::new("year-head-free")
                .with("above", writer.write(year.holds_below))
                .with("hottest", writer.write(hottest))
                .with("condensing", writer.write(year.condensing_hottest))
                .into(),
        );
        items.push(
            Message::new("year-head-held")
                .with("below", writer.write(year.holds_below))
                .with("held", writer.write(held))
                .with("passes", writer.write(year.valve_passes))
                .into(),
        );
    } else {
        items.push(
            Message::new("year-head-from")
                .with("below", writer.write(held - usual))
                .with("held", writer.write(held))
                .into(),
        );
    }
    if let Some(winter) = &ground.results.charge.winter {
        items.push(
            Message::new("year-head-floods")
                .with("coldest", writer.write(winter.coldest))
                .with("flooded", writer.write(winter.charge.flooded))
                .with("extra", writer.weight(winter.charge.extra.value()))
                .into(),
        );
    }
    if split.is_none() {
        items.push(Message::new("year-head-practice").with("split", writer.write(usual)).into());
    }
    out.push(Block::List(report::List { ordered: false, items }));
    out.extend(fans(ground, held).map(|found| Block::Findings(vec![found])));
    out
}

fn fans(ground: &Ground<'_>, held: Temperature) -> Option<Finding> {
    let fluid = &ground.visit.substance.as_ref()?.fluid;
    let (on, off) = (
        pressure_of(ground, setting(ground, SettingOf::FanOn)?)?,
        pressure_of(ground, setting(ground, SettingOf::FanOff)?)?,
    );
    let gauge = |p: AbsolutePressure| ground.writer.write(p.gauge(ground.visit.air));
    let name = Message::new("year-fans").with("on", gauge(on)).with("off", gauge(off));
    let valve = matches!(
        ground.visit.system.value.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    let valve_at = fluid.dew_at_temperature(held).ok()?.pressure;
    let (mark, word, advice) = match fans_and_valve(on, off, valve_at) {
        FansAndValve::Reversed => {
            (VerdictMark::Breached, Message::new("control-fails"), Message::new("year-fans-reversed"))
        }
        _ if !valve => return None,
        FansAndValve::FansFirst => {
            (VerdictMark::Met, Message::new("control-holds"), Message::new("year-fans-first"))
        }
        FansAndValve::ValveFirst => {
            let advice = Message::new("year-fans-later").with("valve", gauge(valve_at));
            (VerdictMark::Doubtful, Message::new("year-look"), advice)
        }
    };
    Some(finding(mark, name, word, advice))
}

/// How much may come into the low side before its control starts the compressor too often.
pub fn starts(ground: &Ground<'_>) -> Vec<Block> {
    let (visit, writer) = (ground.visit, ground.writer);
    let system = &visit.system.value;
    let Some(fluid) = visit.substance.as_ref().map(|substance| &substance.fluid) else { return Vec::new() };
    let setting = |what: SettingOf, known: &Option<Known<units::PressureReading>>| {
        setting(ground, what)
            .and_then(|value| pressure_of(ground, value))
            .or_else(|| Some(known.as_ref()?.value()?.absolute(visit.air)))
    };
    let (Some(cut_in), Some(cut_out)) = (
        setting(SettingOf::LowCutIn, &system.low_cut_in),
        setting(SettingOf::LowCutOut, &system.low_cut_out),
    ) else {
        return Vec::new();
    };
    let (Some((coil, _)), Some(inside)) =
        (system.evaporator_volume.as_ref().and_then(Known::bounds), fact(&system.box_target))
    else {
        return Vec::new();
    };
    // The smallest it can be: the smaller the side, the sooner it is full.
    let lines = line_volume(&system.line, &[LineKind::Suction]).map_or(0.0, |(low, _)| low.cubic_metre());
    let low_side = units::Volume::from_cubic_metre(coil.cubic_metre() + lines);
    let Ok(between) = between_stops(fluid, low_side, inside, cut_out, cut_in) else { return Vec::new() };
    if between.mass.kilogram() <= 0.0 {
        return Vec::new();
    }
    let minute = writer.write(Mass::from_kilogram(between.may_come_in.kilogram_per_second() * 60.0));
    let sentence = Message::new("year-starts")
        .with("mass", writer.write(between.mass))
        .with("most", writer.number(MOST_STARTS, 0))
        .with("rate", minute);
    let mut out = vec![Block::Paragraph(sentence.into())];
    if lines <= 0.0 {
        out.push(Block::Paragraph(Message::new("year-starts-no-line").into()));
    }
    out
}

/// Whether the defrost can do its work, by its settings.
pub fn ice(ground: &Ground<'_>) -> Vec<Block> {
    let writer = ground.writer;
    let system = &ground.visit.system.value;
    let kind = fact(&system.defrost);
    let time = |what| match setting(ground, what) {
        Some(SettingValue::Duration(time)) => Some(*time),
        _ => None,
    };
    let end = match setting(ground, SettingOf::DefrostEnd) {
        Some(SettingValue::Temperature(end)) => Some(*end),
        _ => None,
    };
    let (interval, length) = (time(SettingOf::DefrostInterval), time(SettingOf::DefrostLength));
    if kind.is_none() && interval.is_none() && length.is_none() && end.is_none() {
        return Vec::new();
    }
    let asked = DefrostAsked {
        by_air: kind.map(|kind| kind == Defrost::OffCycle),
        box_air: fact(&system.box_target),
        evaporating: evaporating(ground),
        interval,
        length,
        end,
        runs: fact(&system.run_share),
    };
    let written = |temperature: Option<Temperature>| {
        temperature.map(|temperature| writer.write(temperature).to_string()).unwrap_or_default()
    };
    let findings: Vec<Finding> = defrost(&asked)
        .into_iter()
        .map(|found| {
            let holds = || (VerdictMark::Met, Message::new("control-holds"));
            let fails = || (VerdictMark::Breached, Message::new("control-fails"));
            let ((mark, word), name, advice) = match found {
                DefrostFound::NoIce => (
                    holds(),
                    Message::new("year-ice-none"),
                    Message::new("year-ice-none-why").with("coil", written(asked.evaporating)),
                ),
                DefrostFound::AirThaws => (
                    holds(),
                    Message::new("year-ice-air"),
                    Message::new("year-ice-air-why").with("box", written(asked.box_air)),
                ),
                DefrostFound::AirTooCold => (
                    fails(),
                    Message::new("year-ice-air"),
                    Message::new("year-ice-cold-why").with("box", written(asked.box_air)),
                ),
                DefrostFound::EndsEarly => (
                    fails(),
                    Message::new("year-ice-end"),
                    Message::new("year-ice-early")
                        .with("end", written(end))
                        .with("clear", written(Some(CLEAR_FROM))),
                ),
                DefrostFound::EndsRight => (
                    holds(),
                    Message::new("year-ice-end"),
                    Message::new("year-ice-right").with("end", written(end)),
                ),
                DefrostFound::EndsLate => (
                    (VerdictMark::Doubtful, Message::new("year-look")),
                    Message::new("year-ice-end"),
                    Message::new("year-ice-late")
                        .with("end", written(end))
                        .with("steams", written(Some(STEAMS_FROM))),
                ),
                DefrostFound::NeverDone => {
                    (fails(), Message::new("year-ice-day"), Message::new("year-ice-never"))
                }
                DefrostFound::Day { defrost, runs, fits } => (
                    if fits { holds() } else { fails() },
                    Message::new("year-ice-day"),
                    Message::new("year-ice-hours")
                        .with("defrost", writer.number(defrost, 1))
                        .with("runs", writer.number(runs, 1)),
                ),
            };
            finding(mark, name, word, advice)
        })
        .collect();
    if findings.is_empty() {
        return Vec::new();
    }
    vec![Block::Findings(findings), Block::Paragraph(Message::new("year-ice-note").into())]
}

/// Which way the expansion valve wants turning, by the last superheat that speaks.
pub fn valve(ground: &Ground<'_>) -> Option<Message> {
    let (limit, _) = superheat_limit(ground.visit)?;
    // Gas at the compressor has taken up heat on the way: it says nothing of the valve alone.
    let (_, found) = ground
        .results
        .readings
        .iter()
        .rev()
        .find_map(|result| result.working_superheat().filter(|(place, _)| *place != Place::Compressor))?;
    let Limit::Between(least, most) = limit else { return None };
    let superheat = found.superheat.value();
    let sentence = match limit.judge(&found.superheat) {
        Verdict::Inside => Message::new("year-valve-right"),
        Verdict::NotResolved { .. } => Message::new("year-valve-leave"),
        Verdict::Outside if superheat < least => Message::new("year-valve-close"),
        Verdict::Outside => Message::new("year-valve-open"),
    };
    let writer = ground.writer;
    Some(
        sentence
            .with("superheat", writer.write_uncertain(&found.superheat))
            .with("least", writer.write(least))
            .with("most", writer.write(most)),
    )
}
