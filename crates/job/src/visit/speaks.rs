//! What the readings of a visit may say of the charge: the head by pairs over time, the split to expect now, fans, liquid
//! left, how much of the winter's share is shown, and the next pounds by cylinder.

use super::document::Results;
use super::readings::{ReadingResult, Silent, head_temperature};
use crate::doubts::{Side, known};
use field::speak::{
    ExpectedSplit, Fans, Head, HeadPoint, LiquidLeft, WinterShown, expected_split, fans, head, liquid_left,
    winter_shown,
};
use record::{Body, Glass, HeadControl, Known, RunState, SettingOf, SettingValue};
use report::{Block, Finding, List, Message, Text, VerdictMark};
use units::{AbsolutePressure, Limit, Mass, Temperature, TemperatureDifference, Uncertain, Verdict, Writer};

/// What the readings say, as far as they may.
pub struct Speaks {
    /// The head by pairs of air and condensing temperature.
    pub head: Head,
    /// The split to expect at the last readings, and the split there; absent where it says nothing.
    pub split: Option<(ExpectedSplit, Uncertain<TemperatureDifference>)>,
    /// Whether the fans stand as set.
    pub fans: Fans,
    /// Whether liquid is left in the system that stood, by the last readings of it standing.
    pub liquid: Option<LiquidLeft>,
    /// How much of the winter's share a clear glass has shown.
    pub winter: Option<WinterShown>,
}

/// Returns what the readings say.
#[must_use]
pub fn speaks(results: &Results<'_>) -> Speaks {
    let points: Vec<HeadPoint> = results.readings.iter().filter_map(point).collect();
    let head = head(&points);
    Speaks {
        split: split(results).filter(|_| !matches!(head, Head::Held { .. })),
        fans: fans_of(results),
        liquid: liquid(results),
        winter: winter(results, head),
        head,
    }
}

fn runs(result: &ReadingResult<'_>) -> bool {
    !matches!(result.reading.state, Some(RunState::Off | RunState::Defrost | RunState::PumpDown))
}

fn air_of(result: &ReadingResult<'_>) -> Option<Temperature> {
    let reading = result.reading;
    reading.air_on_condenser.as_ref().or(reading.ambient.as_ref()).map(record::Measured::get)
}

fn point(result: &ReadingResult<'_>) -> Option<HeadPoint> {
    let split = result.split.as_ref().filter(|_| runs(result))?;
    Some(HeadPoint {
        ambient: split.found.air_entering.value(),
        condensing: split.found.dew.value(),
        fans: result.reading.fans_running,
    })
}

fn split(results: &Results<'_>) -> Option<(ExpectedSplit, Uncertain<TemperatureDifference>)> {
    let visit = results.visit;
    let system = &visit.system.value;
    let fluid = &visit.substance.as_ref()?.fluid;
    let last = results.readings.iter().rev().find(|result| result.split.is_some() && runs(result))?;
    let found = last.split.as_ref().filter(|split| split.silent != Some(Silent::HeadHeld))?;
    if last.target.as_ref().is_some_and(|(target, _)| target.held_by_control) {
        return None;
    }
    let design = system
        .design_split
        .as_ref()
        .and_then(Known::value)
        .copied()
        .unwrap_or(field::practice::CONDENSER_SPLIT);
    let suction = last.superheats.first().map(|(_, superheat)| superheat.dew.value());
    let at_design = system.design_evaporating.as_ref().and_then(Known::value).copied();
    let fans = last.reading.fans_running.zip(system.condenser_fans.as_ref().and_then(Known::value).copied());
    let expected = expected_split(fluid, design, suction.zip(at_design), fans).ok()?;
    Some((expected, found.found.difference.clone()))
}

/// A setting of the visit as a pressure by dew, as left before as found.
fn setting(results: &Results<'_>, what: SettingOf) -> Option<AbsolutePressure> {
    let visit = results.visit;
    visit
        .entries(|body| match body {
            Body::Setting(setting) if setting.what == what => Some(&**setting),
            _ => None,
        })
        .filter_map(|(_, setting)| setting.left.as_ref().or(setting.found.as_ref())?.value())
        .filter_map(|value| match value {
            SettingValue::Pressure(p) => Some(p.absolute(visit.air)),
            SettingValue::Temperature(t) => {
                visit.substance.as_ref()?.fluid.dew_at_temperature(*t).ok().map(|point| point.pressure)
            }
            _ => None,
        })
        .last()
}

fn fans_of(results: &Results<'_>) -> Fans {
    let there = results.visit.system.value.condenser_fans.as_ref().and_then(Known::value).copied();
    let Some(last) = results.readings.iter().rev().find(|result| result.split.is_some() && runs(result))
    else {
        return Fans::NotTold;
    };
    let Some(split) = &last.split else { return Fans::NotTold };
    let (on, off) = (setting(results, SettingOf::FanOn), setting(results, SettingOf::FanOff));
    fans(split.found.pressure.value(), on, off, last.reading.fans_running, there)
}

/// By the last readings of a system that stands: the lowest pressure beside the coldest place that was read.
fn liquid(results: &Results<'_>) -> Option<LiquidLeft> {
    let visit = results.visit;
    let fluid = &visit.substance.as_ref()?.fluid;
    let last = results.readings.iter().rev().find(|result| result.reading.state == Some(RunState::Off))?;
    let (reading, with) = (last.reading, &last.entry.seen.with);
    let pressure = reading.suction_pressure.as_ref().or(reading.liquid_pressure.as_ref())?;
    let pressure = visit.bench.pressure(pressure, with, Side::Low, "standing pressure", visit.air);
    let places = [&reading.ambient, &reading.box_air, &reading.air_on_condenser];
    let coldest = places
        .into_iter()
        .flatten()
        .map(|measured| visit.bench.temperature(measured, with, "coldest place"))
        .min_by(|a, b| a.value().kelvin().total_cmp(&b.value().kelvin()))?;
    let volume = visit.system.value.volume.as_ref().and_then(|volume| known(volume, "volume"));
    liquid_left(fluid, &pressure, &coldest, volume.as_ref()).ok()
}

fn winter(results: &Results<'_>, head: Head) -> Option<WinterShown> {
    let visit = results.visit;
    let system = &visit.system.value;
    let floods = matches!(
        system.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    let fluid = &visit.substance.as_ref()?.fluid;
    let last = results.readings.iter().rev().find(|result| {
        result.reading.glass == Some(Glass::Clear) && runs(result) && result.split.is_some()
    })?;
    let held = matches!(head, Head::Held { .. })
        || last.split.as_ref().is_some_and(|split| split.silent == Some(Silent::HeadHeld));
    let volume = known(system.condenser_volume.as_ref()?, "condenser volume")?;
    let design = *system.design_split.as_ref().and_then(Known::value)?;
    let setting = head_temperature(visit, system.head_setting.as_ref().and_then(Known::value)?)?;
    let coldest = *system.coldest_ambient.as_ref().and_then(Known::value)?;
    let condensing = last.split.as_ref()?.found.dew.value();
    let ambient = air_of(last)?;
    // Where the head is not held nothing floods, and nothing of the winter's share is shown.
    let ambient = if held { ambient } else { condensing };
    floods.then(|| winter_shown(fluid, &volume, design, condensing, ambient, setting, coldest).ok()).flatten()
}

impl Speaks {
    /// Returns whether condensing against the air says nothing, by the pairs.
    #[must_use]
    pub const fn is_held(&self) -> bool {
        matches!(self.head, Head::Held { .. })
    }

    /// Returns what to show of it.
    #[must_use]
    pub fn blocks(&self, writer: &Writer) -> Vec<Block> {
        let mut out = Vec::new();
        match self.head {
            Head::Held { air, condensing } => out.push(Block::Paragraph(
                Message::new("speaks-held")
                    .with("air", writer.write(air))
                    .with("condensing", writer.write(condensing))
                    .into(),
            )),
            Head::Free => out.push(Block::Paragraph(Message::new("speaks-free").into())),
            Head::NotTold => {}
        }
        if let Some((expected, found)) = &self.split {
            let limit = Limit::Between(expected.low, expected.high);
            let mut finding: Finding =
                crate::show::superheat::judged(found, Message::new("speaks-split"), Some(&limit), writer);
            finding.advice = match limit.judge(found) {
                Verdict::Inside => None,
                Verdict::NotResolved { .. } => Some(Message::new("speaks-split-not-resolved").into()),
                Verdict::Outside if found.value() > expected.high => {
                    Some(Message::new("speaks-split-wide").into())
                }
                Verdict::Outside => Some(Message::new("speaks-split-narrow").into()),
            };
            out.push(Block::Findings(vec![finding]));
            let load = writer.number(expected.load, 2);
            out.push(Block::Paragraph(match expected.fans {
                Some((running, there)) => Message::new("speaks-load-fans")
                    .with("load", load)
                    .with("running", running)
                    .with("there", there)
                    .into(),
                None => Message::new("speaks-load").with("load", load).into(),
            }));
        }
        match self.fans {
            Fans::OughtToRun => out.push(doubt(Message::new("speaks-fan-stands"))),
            Fans::OughtToStand => out.push(doubt(Message::new("speaks-fan-runs"))),
            Fans::AsSet | Fans::NotTold => {}
        }
        match &self.liquid {
            Some(LiquidLeft::Left) => out.push(Block::Paragraph(Message::new("speaks-liquid-left").into())),
            Some(LiquidLeft::VapourOnly { mass: Some(mass) }) => out.push(Block::Paragraph(
                Message::new("speaks-vapour-mass").with("mass", writer.write_uncertain(mass)).into(),
            )),
            Some(LiquidLeft::VapourOnly { mass: None }) => {
                out.push(Block::Paragraph(Message::new("speaks-vapour").into()));
            }
            Some(LiquidLeft::NotTold) => {
                out.push(Block::Paragraph(Message::new("speaks-liquid-not-told").into()));
            }
            None => {}
        }
        if let Some(winter) = &self.winter {
            out.extend(shown(winter, writer));
        }
        out
    }
}

fn doubt(message: Message) -> Block {
    Block::Findings(vec![Finding::new(VerdictMark::Doubtful, message)])
}

fn shown(winter: &WinterShown, writer: &Writer) -> Vec<Block> {
    let whole = winter.coldest.extra.value();
    if winter.not_shown.kilogram() <= 0.05 * whole.kilogram() {
        return vec![Block::Paragraph(
            Message::new("speaks-winter-shown").with("whole", writer.weight(whole)).into(),
        )];
    }
    let sentence = if winter.now.flooded.ratio() <= 0.0 {
        Message::new("speaks-winter-nothing").with("whole", writer.weight(whole))
    } else {
        Message::new("speaks-winter-part")
            .with("now", writer.weight(winter.now.extra.value()))
            .with("whole", writer.weight(whole))
            .with("rest", writer.weight(winter.not_shown))
    };
    let ways: Vec<Text> = vec![
        Message::new("speaks-make-seen-level").into(),
        Message::new("speaks-make-seen-flood").into(),
        Message::new("speaks-make-seen-weigh").into(),
        Message::new("speaks-never-block").into(),
    ];
    vec![Block::Paragraph(sentence.into()), Block::List(List { ordered: false, items: ways })]
}

/// Returns how the next refrigerant goes in: from which cylinder how much, weighed on the ground, and when to stop.
#[must_use]
pub fn weigh_in(results: &Results<'_>, wanted: Option<(Mass, Mass)>, writer: &Writer) -> Vec<Block> {
    let visit = results.visit;
    let Some(substance) = &visit.substance else { return Vec::new() };
    let Some((low, high)) = wanted else { return Vec::new() };
    let mut items: Vec<Text> = Vec::new();
    let mut left = low.kilogram();
    let supply = visit.cylinders.values().filter(|cylinder| {
        let same = cylinder.refrigerant.as_ref().and_then(Known::value);
        cylinder.used_for != Some(record::CylinderUse::Recovery)
            && same.is_none_or(|name| {
                crate::Substance::read(name, None).is_ok_and(|one| one.name == substance.name)
            })
    });
    for cylinder in supply {
        let weighed = results.account.ledger.cylinders.iter().find(|one| one.cylinder == cylinder.id);
        let tare = cylinder.tare.as_ref().and_then(Known::value);
        let (Some(weighed), Some(tare)) = (weighed, tare) else {
            items.push(Message::new("weigh-in-unweighed").with("cylinder", cylinder.id.as_str()).into());
            continue;
        };
        let there = (weighed.last_gross.value().kilogram() - tare.kilogram()).max(0.0);
        let from = there.min(left);
        if from > 0.0 {
            left -= from;
            let message = Message::new("weigh-in-from")
                .with("cylinder", cylinder.id.as_str())
                .with("mass", writer.weight(Mass::from_kilogram(from)))
                .with(
                    "until",
                    writer.weight(Mass::from_kilogram(weighed.last_gross.value().kilogram() - from)),
                );
            items.push(message.into());
        }
    }
    if items.is_empty() {
        return Vec::new();
    }
    let mut out = vec![Block::List(List { ordered: true, items })];
    if left > 1e-3 && left < low.kilogram() {
        let missing = writer.weight(Mass::from_kilogram(left));
        out.push(Block::Paragraph(Message::new("weigh-in-missing").with("mass", missing).into()));
    }
    out.push(Block::Paragraph(Message::new("weigh-in-ground").into()));
    out.push(Block::Paragraph(
        Message::new("weigh-in-stop")
            .with("low", writer.weight(low))
            .with("high", writer.weight(high))
            .into(),
    ));
    out
}
