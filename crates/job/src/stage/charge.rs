//! Charge: how much, how fast, and when to stop.

use super::offer::{Offer, quick};
use super::{Ground, Now, View, arrive, hooks, numbers, search};
use crate::ask::fractionation::{FractionationAsked, LeakFrom, fractionation};
use crate::doubts::Side;
use crate::opening::{input, number};
use crate::visit::document::account;
use crate::visit::readings::{ReadingResult, Silent};
use crate::visit::speaks::{speaks, weigh_in};
use field::annual_loss::LossRate;
use record::{Body, CylinderUse, Direction, Entry, Glass, HeadControl, Known, Weighing};
use report::{Block, Caution, Finding, Message, Number, Text, VerdictMark};
use units::{Fraction, Mass, Temperature, TemperatureDifference, Uncertain, combine};

pub fn view(ground: &Ground<'_>) -> View {
    let mut view = View::new(super::Stage::Charge, now(ground));
    view.head.extend(numbers::saturation(ground, Side::Low).into_iter().take(1));
    view.head.extend(numbers::saturation(ground, Side::High).into_iter().take(1));
    let speaks = speaks(ground.results);
    // Where the head is held, or the probe stood in the sun, ambient and split make no target.
    let silent = speaks.is_held() || last_target(ground).is_some_and(head_held);
    view.head.extend(target(ground).filter(|_| !silent));
    view.law = hooks::law(ground);
    view.cautions = cautions(ground);
    view.offers = offers(ground);
    view.section(Message::new("charge-ledger"), account::cylinders(ground.results, ground.writer));
    let mut high_side = if speaks.is_held() { Vec::new() } else { head(ground) };
    high_side.extend(speaks.blocks(ground.writer));
    view.section(Message::new("charge-head"), high_side);
    view.section(Message::new("charge-weigh-in"), weigh_in(ground.results, to_add(ground), ground.writer));
    view.section(Message::new("charge-glass"), glass(ground));
    view.section(Message::new("charge-mixture"), mixture(ground));
    let plate = ground.results.charge.nameplate.as_ref().map(Uncertain::value);
    let holds = crate::visit::inventory::expected(ground.results);
    view.section(
        Message::new("charge-holds"),
        holds.map(|holds| holds.blocks(plate, ground.writer)).unwrap_or_default(),
    );
    view.section(Message::new("charge-vessels"), account::vessels(ground.results, ground.writer));
    view.sharpen = sharpen(ground);
    view
}

/// How much is still to go in: what the loss says is missing, less what went in today.
fn to_add(ground: &Ground<'_>) -> Option<(Mass, Mass)> {
    if leaking_unmended(ground) {
        return None;
    }
    let (low, high) = match ground.results.account.loss_before.as_ref().map(|loss| &loss.leak) {
        Some(LossRate::Known { low, high, .. }) => arrive::short_before_today(ground, *low, *high)?,
        _ => return None,
    };
    let net = ground.results.account.net_today.as_ref().map_or(0.0, |net| net.value().kilogram());
    let rest = |mass: Mass| Mass::from_kilogram((mass.kilogram() - net).max(0.0));
    (rest(low).kilogram() > 0.0).then(|| (rest(low), rest(high)))
}

/// A dew point that topping up leaves higher than this is no longer that of the blend: 1 K (judgement: a good clamp's error).
const MIXTURE_MAY_MOVE: f64 = 1.0;
/// Where a system stood while it leaked, where nobody says.
const STOOD_AT: Temperature = Temperature::from_celsius(20.0);

/// Topping a blend up beside recovering and weighing in, by how much its composition may have moved.
fn mixture(ground: &Ground<'_>) -> Vec<Block> {
    let visit = ground.visit;
    let Some(substance) = visit.substance.as_ref().filter(|substance| !substance.is_single()) else {
        return Vec::new();
    };
    // What was taken out as liquid, or never put in, parted nothing.
    if crate::search::lacks_winter(visit, &ground.results.account) {
        return Vec::new();
    }
    let short = match ground.results.account.loss_before.as_ref().map(|loss| &loss.leak) {
        Some(LossRate::Known { low, high, .. }) => arrive::short_before_today(ground, *low, *high),
        _ => None,
    };
    let full = ground.results.charge.nameplate.as_ref().map(|plate| plate.value().kilogram());
    let (Some((_, most)), Some(full)) = (short, full.filter(|full| *full > 0.0)) else { return Vec::new() };
    let lost = Fraction::from_ratio((most.kilogram() / full).clamp(0.0, 0.9));
    let asked = FractionationAsked {
        substance: substance.clone(),
        lost: (lost, ""),
        temperature: (STOOD_AT, ""),
        from: LeakFrom::Vapour,
        vapour: None,
        air: visit.air,
    };
    let Ok(answer) = fractionation(&asked) else { return Vec::new() };
    let (left, topped) = (&answer.figures.liquid_alone.left, &answer.figures.liquid_alone.topped_up);
    let moved = |kelvin: f64| ground.writer.write(TemperatureDifference::from_kelvin(kelvin));
    let sentence = if topped.dew_higher_by_k.abs() <= MIXTURE_MAY_MOVE {
        Message::new("charge-mixture-top-up")
    } else {
        Message::new("charge-mixture-weigh")
    };
    let sentence = sentence
        .with("lost", ground.writer.write(lost))
        .with("left", moved(left.dew_higher_by_k))
        .with("topped", moved(topped.dew_higher_by_k));
    vec![Block::Paragraph(sentence.into()), Block::Paragraph(Message::new("charge-mixture-note").into())]
}

fn weighings<'a>(ground: &Ground<'a>) -> impl Iterator<Item = (&'a Entry, &'a Weighing)> {
    ground.visit.entries(|body| match body {
        Body::Weighing(weighing) => Some(&**weighing),
        _ => None,
    })
}

/// Whether something was mended on this visit, or nothing was hit that still waits to be.
fn mended(ground: &Ground<'_>) -> bool {
    ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Repair(_)))
        && search::hits(ground).iter().all(|hit| hit.mended || hit.is_refuted())
}

fn now(ground: &Ground<'_>) -> Now {
    let writer = ground.writer;
    if let Some((_, weighing)) = weighings(ground).filter(|(_, weighing)| weighing.after.is_none()).last() {
        return Now::new(Message::new("open-weight").with("cylinder", weighing.cylinder.as_str()))
            .because(Message::new("charge-owed-why"))
            .marked(VerdictMark::Due);
    }
    let net = ground.results.account.net_today.as_ref();
    let charged = net.filter(|net| net.value().kilogram() > 0.0);
    let short = match ground.results.account.loss_before.as_ref().map(|loss| &loss.leak) {
        Some(LossRate::Known { low, high, .. }) => arrive::short_before_today(ground, *low, *high),
        _ => None,
    };
    match (charged, short) {
        (Some(net), Some((low, high))) => {
            let (low_text, high_text) = (writer.write(low), writer.write(high));
            let (in_low, in_high) = net.interval(2.0);
            let why = Message::new("charge-short").with("low", low_text).with("high", high_text);
            let net_text = writer.write_uncertain(net);
            if in_high < low {
                let more = low - net.value();
                Now::new(Message::new("charge-more").with("more", writer.weight(more))).because(why)
            } else if in_low > high {
                Now::new(Message::new("charge-over").with("net", net_text))
                    .because(why)
                    .marked(VerdictMark::Doubtful)
            } else {
                Now::new(Message::new("charge-within").with("net", net_text)).because(why)
            }
        }
        (Some(net), None) => {
            let net_text = writer.write_uncertain(net);
            let over = ground
                .results
                .charge
                .nameplate
                .as_ref()
                .is_some_and(|plate| net.interval(2.0).0 > plate.value());
            if over {
                Now::new(Message::new("charge-over-plate").with("net", net_text))
                    .marked(VerdictMark::Doubtful)
            } else {
                let sentence = if read_since(ground) {
                    Message::new("charge-in-read").with("net", net_text)
                } else {
                    Message::new("charge-in").with("net", net_text)
                };
                Now::new(sentence).because(Message::new("charge-in-why"))
            }
        }
        (None, _) if crate::search::lacks_winter(ground.visit, &ground.results.account) => winter(ground),
        (None, _) if leaking_unmended(ground) => {
            Now::new(Message::new("charge-find-first")).because(Message::new("now-why-top-up"))
        }
        (None, Some((low, high))) => {
            let sentence = Message::new("charge-expected")
                .with("low", writer.write(low))
                .with("high", writer.write(high));
            Now::new(sentence).because(Message::new("charge-weigh-first"))
        }
        (None, None) => {
            Now::new(Message::new("charge-weigh-before")).because(Message::new("charge-weigh-first"))
        }
    }
}

/// Most likely the winter's share is missing, and how much that is.
pub fn winter(ground: &Ground<'_>) -> Now {
    let why = match &ground.results.charge.winter {
        Some(winter) => Message::new("charge-winter-takes")
            .with("coldest", ground.writer.write(winter.coldest))
            .with("extra", ground.writer.write_uncertain(&winter.charge.extra)),
        None => Message::new("charge-winter-unknown"),
    };
    Now::new(Message::new("charge-winter-missing")).because(why)
}

/// Whether anything was read after the last weighing.
fn read_since(ground: &Ground<'_>) -> bool {
    let last = ground.visit.current.entries.iter().rev().find_map(|entry| match entry.what() {
        Body::Reading(_) => Some(true),
        Body::Weighing(_) => Some(false),
        _ => None,
    });
    last == Some(true)
}

/// Whether the history says that it loses, and nothing was mended.
fn leaking_unmended(ground: &Ground<'_>) -> bool {
    let account = &ground.results.account;
    let loses = match account.loss.as_ref().map(|loss| &loss.leak) {
        Some(LossRate::Known { low, .. }) => low.kilogram_per_second() > 0.0,
        Some(LossRate::AtLeast(_)) => true,
        Some(LossRate::Unknown) | None => account.habit.is_some(),
    };
    loses && !mended(ground)
}

/// The last set of readings with the air that enters the condenser.
fn last_target<'a, 'b>(ground: &'b Ground<'a>) -> Option<&'b ReadingResult<'a>> {
    ground.results.readings.iter().rev().find(|result| result.target.is_some())
}

/// Where it should condense in the air read last.
fn target(ground: &Ground<'_>) -> Option<Number> {
    let (target, usual) = last_target(ground)?.target.as_ref()?;
    let method = if target.held_by_control {
        Message::new("method-target-held")
    } else if *usual {
        Message::new("method-target-usual")
    } else {
        Message::new("method-target")
    };
    let gauge = target.pressure.map(target.pressure.value().gauge(ground.visit.air), 1.0);
    let inputs = vec![input(Message::new("found-target-pressure"), &gauge, ground.writer)];
    let label = Message::new("found-target");
    let source = Message::new("source-practice");
    Some(number(label, &target.temperature, ground.writer, inputs, method, source).doubtful())
}

/// Whether a control holds the head at these readings, as far as they show.
fn head_held(result: &ReadingResult<'_>) -> bool {
    result.split.as_ref().is_some_and(|split| split.silent == Some(Silent::HeadHeld))
        || result.target.as_ref().is_some_and(|(target, _)| target.held_by_control)
}

/// Condensing now against where it should condense, or why that says nothing.
fn head(ground: &Ground<'_>) -> Vec<Block> {
    let writer = ground.writer;
    let Some(last) = last_target(ground) else {
        return vec![Block::Paragraph(Message::new("charge-no-air").into())];
    };
    if head_held(last) {
        return vec![Block::Paragraph(Message::new("charge-head-held").into())];
    }
    if ground.visit.system.value.head_control.is_none() {
        // What may hold the head is not known: the split may speak, and may not.
        return vec![Block::Paragraph(Message::new("charge-head-unknown").into())];
    }
    let Some((target, _)) = &last.target else { return Vec::new() };
    let Some(substance) = &ground.visit.substance else { return Vec::new() };
    let Some(pressure) = numbers::last_pressure(ground, Side::High) else {
        return vec![Block::Paragraph(Message::new("charge-no-head").into())];
    };
    let Ok((dew, _)) = field::saturation::dew(&substance.fluid, &pressure.pressure) else {
        return Vec::new();
    };
    let difference: Uncertain<TemperatureDifference> =
        combine(dew.value() - target.temperature.value(), [dew.part(1.0), target.temperature.part(-1.0)]);
    let within = units::Limit::Between(-NEAR_TARGET, NEAR_TARGET);
    let mut finding: Finding = crate::show::superheat::judged(
        &difference,
        Message::new("charge-above-target"),
        Some(&within),
        writer,
    );
    let inputs = vec![
        input(Message::new("head-condensing"), &dew, writer),
        input(Message::new("found-target"), &target.temperature, writer),
    ];
    finding.number = Some(
        number(
            Message::new("charge-above-target"),
            &difference,
            writer,
            inputs,
            Message::new("method-above-target"),
            Message::new("source-practice"),
        )
        .doubtful(),
    );
    if finding.mark == VerdictMark::Breached {
        finding.advice = Some(
            if difference.value().kelvin() > 0.0 {
                Message::new("charge-above-means")
            } else {
                Message::new("charge-below-means")
            }
            .into(),
        );
    }
    vec![Block::Findings(vec![finding])]
}

/// How near to its target condensing is taken as there: 3 K, common practice, no source.
const NEAR_TARGET: TemperatureDifference = TemperatureDifference::from_kelvin(3.0);

/// What the glass says, by where it stands.
fn glass(ground: &Ground<'_>) -> Vec<Block> {
    let last = ground.results.readings.iter().rev().find_map(|result| result.reading.glass);
    let receiver = ground.visit.system.value.receiver_volume.is_some();
    let sentence: Text = match last {
        Some(Glass::Clear) if receiver => Message::new("charge-glass-receiver").into(),
        Some(Glass::Clear) => Message::new("charge-glass-clear").into(),
        Some(Glass::SomeBubbles | Glass::Bubbles | Glass::Flashing) => {
            Message::new("charge-glass-bubbles").into()
        }
        Some(Glass::Empty) => Message::new("charge-glass-empty").into(),
        Some(Glass::NotSeen) | None => return Vec::new(),
    };
    vec![Block::Paragraph(sentence)]
}

fn cautions(ground: &Ground<'_>) -> Vec<Caution> {
    let caution = |first: Message, rest: Message| Caution { first: first.into(), rest: Some(rest.into()) };
    let mut out = Vec::new();
    let blend = ground.visit.substance.as_ref().is_some_and(|substance| !substance.is_single());
    let open = |wanted: Direction| {
        weighings(ground).any(|(_, weighing)| weighing.direction == wanted && weighing.after.is_none())
    };
    let begun = weighings(ground).any(|(_, weighing)| weighing.direction == Direction::Charged);
    // Before the first weighing it is the next step; after the last it is done.
    if blend && (open(Direction::Charged) || (!begun && !leaking_unmended(ground))) {
        out.push(caution(Message::new("caution-blend-first"), Message::new("caution-blend-rest")));
    }
    if open(Direction::Recovered) {
        out.push(caution(Message::new("caution-cylinder-first"), Message::new("caution-cylinder-rest")));
    }
    if crate::visit::document::is_flammable(ground.visit) {
        out.push(caution(Message::new("caution-flammable-first"), Message::new("caution-flammable-rest")));
    }
    out
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let visit = ground.visit;
    let mut out: Vec<Offer> = Vec::new();
    for (entry, weighing) in weighings(ground).filter(|(_, weighing)| weighing.after.is_none()) {
        let label = Message::new("offer-weigh-after").with("cylinder", weighing.cylinder.as_str());
        out.push(Offer::new("weighing", label, &["after"]).onto(entry.id));
    }
    let supply = visit.cylinders.values().filter(|cylinder| cylinder.used_for != Some(CylinderUse::Recovery));
    for cylinder in supply {
        let label = Message::new("offer-weigh-cylinder").with("cylinder", cylinder.id.as_str());
        let mut offer = Offer::new("weighing", label, &["before"])
            .with("cylinder", cylinder.id.as_str())
            .with("direction", Direction::Charged.word());
        // What it weighed after its last use on this visit is what it weighs now.
        offer.last = weighings(ground)
            .filter(|(_, weighing)| weighing.cylinder == cylinder.id)
            .filter_map(|(entry, weighing)| {
                let after = weighing.after.as_ref()?;
                Some(super::Last { text: after.value.text.clone(), at: entry.seen.at.clone() })
            })
            .last();
        out.push(offer);
    }
    if visit.cylinders.is_empty() {
        out.push(Offer::new(
            "cylinder",
            Message::new("offer-cylinder"),
            &["id", "refrigerant", "used_for", "tare"],
        ));
    }
    // What the winter's share is reckoned from, where a valve floods the condenser.
    let system = &visit.system.value;
    let floods = matches!(
        system.head_control.as_ref().and_then(Known::value),
        Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)
    );
    let missing: Vec<&str> = [
        (system.condenser_volume.is_none(), "condenser_volume"),
        (system.design_split.is_none(), "design_split"),
        (system.coldest_ambient.is_none(), "coldest_ambient"),
    ]
    .into_iter()
    .filter_map(|(gone, field)| gone.then_some(field))
    .collect();
    if floods && !missing.is_empty() {
        out.push(Offer::new("system", Message::new("offer-winter-facts"), &missing));
    }
    let quicks =
        ["ambient", "suction_pressure", "discharge_pressure", "liquid_pressure", "glass", "fans_running"];
    out.extend(quicks.map(|field| quick(visit, field)));
    out.push(
        Offer::new("picture", Message::new("offer-scale-picture"), &[])
            .with("shows", "scale")
            .with("read", "no"),
    );
    out
}

fn sharpen(ground: &Ground<'_>) -> Vec<Message> {
    let system = &ground.visit.system.value;
    let mut out = Vec::new();
    if ground.results.charge.nameplate.is_none() {
        out.push(Message::new("sharpen-charge"));
    }
    if system.head_control.is_none() {
        out.push(Message::new("sharpen-head"));
    }
    if system.design_split.as_ref().is_none_or(Known::is_unknown) {
        out.push(Message::new("sharpen-split"));
    }
    if system.receiver_volume.as_ref().is_none_or(Known::is_unknown) {
        out.push(Message::new("sharpen-receiver"));
    }
    out
}
