//! For who comes next: how it was left, what must not be done meanwhile, what is owed, what is normal here.

use super::{headed, put, settings_left};
use crate::place;
use crate::visit::Results;
use record::{Body, CheckResult, Entry, Normal, RunState, When};
use report::{Document, Message, Text};
use units::Writer;

pub fn document(results: &Results<'_>, writer: &Writer) -> Document {
    let visit = results.visit;
    let mut document = headed(visit, super::Sheet::Handover);
    let mut now = results.now(writer);
    now.numbers.clear();
    document.now = Some(now);
    put(&mut document, Message::new("sheet-state"), state(results));
    let owed = place::owed(visit).into_iter().map(|owed| owed.sentence.into()).collect();
    put(&mut document, Message::new("close-owed"), owed);
    let parts = place::parts_by_place(visit);
    let order = parts.iter().flat_map(|at| &at.order).map(|part| {
        let line = part.order_line.as_deref().unwrap_or(&part.function);
        Text::from(Message::new("sheet-ordered").with("part", line))
    });
    put(&mut document, Message::new("close-parts"), order.collect());
    // What was kept as normal when the system was found right comes before what was merely read last.
    if let Some((entry, normal)) = crate::stage::normal_here(visit) {
        put(&mut document, Message::new("sheet-normal"), kept(entry, normal));
    }
    // What was read while a leak was found and not mended is no measure of what is normal.
    let leaked = visit.checks_of_all().any(|(_, _, check)| check.result == CheckResult::Hit);
    let sick = leaked && visit.repairs_of_all().next().is_none();
    let heading = if sick {
        Message::new("sheet-last-read")
    } else if crate::stage::normal_here(visit).is_some() {
        Message::new("sheet-read-last")
    } else {
        Message::new("sheet-normal")
    };
    put(&mut document, heading, normal(results));
    document
}

/// How the system stands until somebody comes, and what that forbids.
fn state(results: &Results<'_>) -> Vec<Text> {
    let visit = results.visit;
    let mut out: Vec<Text> = Vec::new();
    let shut = place::left_shut(visit);
    for what in &shut {
        out.push(Message::new("close-left-shut").with("what", what.as_str()).into());
    }
    let last = visit.entries(|body| match body {
        Body::Reading(reading) => reading.state.as_ref(),
        _ => None,
    });
    let off = last.last().is_some_and(|(_, state)| *state == RunState::Off);
    if off {
        out.push(Message::new("sheet-off").into());
    }
    if !shut.is_empty() || off {
        out.push(Message::new("sheet-do-not-start").into());
        // Liquid between two shut valves bursts a line as it warms.
        out.push(Message::new("sheet-trapped").into());
    }
    if place::open(visit).iter().any(|entry| matches!(entry.what(), Body::Opened(_))) {
        out.push(Message::new("sheet-something-open").into());
    }
    out
}

/// What was kept as normal here, as it was typed, with the day and the reason.
fn kept(entry: &Entry, normal: &Normal) -> Vec<Text> {
    let day = entry.seen.at.as_ref().and_then(When::local_day);
    let head = match (day, &normal.because) {
        (Some(day), Some(because)) => Message::new("normal-caption-because")
            .with("day", day.to_string())
            .with("because", because.as_str()),
        (Some(day), None) => Message::new("normal-caption").with("day", day.to_string()),
        (None, _) => Message::new("normal-caption-undated"),
    };
    let mut out: Vec<Text> = vec![head.into()];
    let typed = record::texts_of(&entry.seen).map(|filled| filled.fields).unwrap_or_default();
    let shown =
        typed.iter().filter(|(key, _)| !matches!(key.as_str(), "at" | "place" | "by" | "because" | "note"));
    out.extend(shown.map(|(key, value)| {
        let name = crate::entry::labels::field("normal", key);
        Text::from(Message::new("sheet-value").with("what", name).with("value", value.as_str()))
    }));
    out.push(Message::new("normal-note").into());
    out
}

/// What was read last with the system running, as it was typed, and the settings as left: what is normal here.
fn normal(results: &Results<'_>) -> Vec<Text> {
    let visit = results.visit;
    let readings = visit.entries_of_all(|body| match body {
        Body::Reading(reading) => Some(&**reading),
        _ => None,
    });
    let mut out: Vec<Text> = Vec::new();
    if let Some((_, entry, reading)) =
        readings.filter(|(_, _, reading)| reading.state == Some(RunState::Running)).last()
    {
        let values = [
            ("suction_pressure", reading.suction_pressure.as_ref().map(|one| one.value.text.clone())),
            ("discharge_pressure", reading.discharge_pressure.as_ref().map(|one| one.value.text.clone())),
            ("liquid_line", reading.liquid_line.as_ref().map(|one| one.value.text.clone())),
            ("evaporator_line", reading.evaporator_line.as_ref().map(|one| one.value.text.clone())),
            ("box_air", reading.box_air.as_ref().map(|one| one.value.text.clone())),
            ("ambient", reading.ambient.as_ref().map(|one| one.value.text.clone())),
        ];
        let at = entry.seen.at.as_ref().map(crate::visit::document::words::moment).unwrap_or_default();
        out.push(Message::new("sheet-read-at").with("at", at).into());
        for (key, value) in values {
            let name = crate::entry::labels::field("reading", key);
            out.extend(value.map(|value| {
                Text::from(Message::new("sheet-value").with("what", name).with("value", value))
            }));
        }
    }
    for (what, _, left) in settings_left(visit) {
        let name = crate::entry::labels::word(what.word());
        out.push(Message::new("sheet-value").with("what", name).with("value", left).into());
    }
    out
}
