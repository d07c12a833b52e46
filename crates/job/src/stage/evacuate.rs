//! Evacuate: is it dry and tight?

use super::clock::{clock, later};
use super::offer::Offer;
use super::{Ground, Now, Running, View, planned};
use crate::show::rise::{self as show, RiseVerdict};
use crate::visit::document::proof;
use crate::visit::proofs::RiseResult;
use field::rise::WhyNotResolved;
use record::{Body, Direction, When};
use report::{Caution, Message, Number, VerdictMark};
use units::Duration;

/// A rise whose last point is older than this is taken as ended: a judgement, so that no timer runs on for days.
const WATCHED: Duration = Duration::from_second(3600.0);

pub fn view(ground: &Ground<'_>) -> View {
    let last = ground.results.rises.last();
    let pull = planned::pulled(ground);
    let now =
        pull.as_ref().and_then(|plan| planned::pulled_now(ground, plan)).unwrap_or_else(|| now(ground, last));
    let mut view = View::new(super::Stage::Evacuate, now);
    // A pull that runs is what is watched; the rise before it is over.
    if let Some(result) = last.filter(|_| pull.is_none()) {
        view.head.extend(head(ground, result));
        view.running.extend(running(ground, result));
    }
    if under_vacuum(ground) {
        view.cautions.push(Caution {
            first: Message::new("caution-vacuum-first").into(),
            rest: Some(Message::new("caution-vacuum-rest").into()),
        });
    }
    view.offers = offers(ground, last);
    planned::evacuate(&mut view, ground);
    view.section(Message::new("evacuate-rises"), proof::rises(ground.results, ground.writer));
    if let Some(result) = last {
        if result.volume.is_none() {
            view.sharpen.push(Message::new("sharpen-volume"));
        }
        if result.recorded.coldest.is_none() {
            view.sharpen.push(Message::new("sharpen-coldest"));
        }
        if result.entry.seen.with.is_empty() {
            view.sharpen.push(Message::new("sharpen-vacuum-gauge"));
        }
    }
    view
}

/// Whether the last thing done to the circuit was to evacuate it.
fn under_vacuum(ground: &Ground<'_>) -> bool {
    let last = ground.visit.current.entries.iter().rev().find_map(|entry| match entry.what() {
        Body::Rise(_) | Body::Evacuation(_) => Some(true),
        Body::Weighing(weighing) if weighing.direction == Direction::Charged => Some(false),
        Body::Repair(_) => Some(false),
        _ => None,
    });
    last == Some(true)
}

/// Since when the pump is shut off: the entry's time is that of its first point.
fn since(result: &RiseResult<'_>) -> Option<When> {
    result.entry.seen.at.clone().filter(|at| !at.is_day())
}

fn last_point(result: &RiseResult<'_>) -> Option<When> {
    let seen = result.recorded.points.last()?.time.value;
    later(&since(result)?, seen)
}

fn is_watched(ground: &Ground<'_>, result: &RiseResult<'_>) -> bool {
    let age = last_point(result).map(|at| ground.now.since(&at).second());
    age.is_some_and(|age| age.abs() < WATCHED.second())
}

/// How much longer the rise must be watched, where that is known.
fn wait(result: &RiseResult<'_>) -> Option<Duration> {
    let found = result.found.as_ref().ok()?;
    found.not_resolved.iter().find_map(|why| match why {
        WhyNotResolved::TooShort { seen, needed } if needed.second() > seen.second() => {
            Some(Duration::from_second(needed.second() - seen.second()))
        }
        _ => None,
    })
}

fn running(ground: &Ground<'_>, result: &RiseResult<'_>) -> Option<Running> {
    if !is_watched(ground, result) {
        return None;
    }
    let answer_at = wait(result).and_then(|wait| later(&last_point(result)?, wait));
    let what = match &result.recorded.section {
        Some(section) => Message::new("evacuate-running").with("section", section),
        None => Message::new("evacuate-running-unnamed"),
    };
    Some(Running { what, since: since(result)?, answer_at })
}

fn now(ground: &Ground<'_>, last: Option<&RiseResult<'_>>) -> Now {
    let Some(result) = last else {
        let opened = ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Repair(_)));
        return if opened {
            Now::new(Message::new("evacuate-begin")).because(Message::new("evacuate-begin-why"))
        } else {
            Now::new(Message::new("evacuate-nothing")).because(Message::new("evacuate-nothing-why"))
        };
    };
    let found = match &result.found {
        Ok(found) => found,
        Err(error) => {
            return Now::new(crate::ask::rise::refused(error).message.clone()).marked(VerdictMark::Doubtful);
        }
    };
    let dryness = Message::new("rise-proves-dryness");
    match show::verdict(found) {
        RiseVerdict::LeakSeen => {
            let sentence = Message::new("evacuate-leak");
            Now::new(sentence).because(Message::new("evacuate-leak-why")).marked(VerdictMark::Breached)
        }
        RiseVerdict::NoLeakSeen => match show::water_sentence(found) {
            Some(water) => Now::new(Message::new("evacuate-no-leak")).because(water),
            None => Now::new(Message::new("evacuate-no-leak")).because(dryness),
        }
        .marked(VerdictMark::Met),
        RiseVerdict::NotResolved => {
            let why = show::reasons(found, ground.writer).into_iter().next().unwrap_or(dryness);
            let sentence = match (wait(result), is_watched(ground, result)) {
                (Some(wait), true) => match last_point(result).and_then(|at| later(&at, wait)) {
                    Some(at) if at.since(ground.now).second() > 0.0 => {
                        Message::new("evacuate-wait").with("until", clock(&at, ground.now))
                    }
                    _ => Message::new("evacuate-read-now"),
                },
                (Some(wait), false) => {
                    Message::new("evacuate-too-short").with("time", ground.writer.write(wait))
                }
                (None, true) => Message::new("evacuate-go-on"),
                (None, false) => Message::new("evacuate-not-told"),
            };
            Now::new(sentence).because(why).marked(VerdictMark::NotResolved)
        }
    }
}

fn head(ground: &Ground<'_>, result: &RiseResult<'_>) -> Option<Number> {
    let last = result.readings.last()?;
    let value = report::Value::from(ground.writer.vacuum(last.pressure));
    Some(Number::new(Message::new("head-vacuum"), value))
}

fn offers(ground: &Ground<'_>, last: Option<&RiseResult<'_>>) -> Vec<Offer> {
    let mut out = Vec::new();
    if let Some(result) = last.filter(|result| is_watched(ground, result)) {
        let next = result.recorded.points.len() + 1;
        let mut offer = Offer::new("rise", Message::new("offer-rise-point"), &[]).onto(result.entry.id);
        offer.ask = vec![format!("points[{next}][1]"), format!("points[{next}][2]")];
        out.push(offer);
        let missing = [
            (result.recorded.volume.is_none(), "volume", Message::new("offer-volume")),
            (result.recorded.coldest.is_none(), "coldest", Message::new("offer-coldest")),
        ];
        for (is_missing, path, label) in missing {
            if is_missing {
                out.push(Offer::new("rise", label, &[path]).onto(result.entry.id));
            }
        }
    }
    let mut start =
        Offer::new("rise", Message::new("offer-rise"), &["points[1][2]", "section", "coldest", "pumped_for"])
            .with("points[1][1]", "0 min")
            .because(Message::new("offer-rise-why"));
    if let Some(volume) = ground.visit.system.value.section_volume.as_ref().and_then(record::Known::typed) {
        start = start.with("volume", volume.text.as_str());
    }
    out.push(start);
    out.push(Offer::new("note", Message::new("offer-nitrogen-break"), &["text"]));
    out.push(
        Offer::new("picture", Message::new("offer-gauge-picture"), &[])
            .with("shows", "gauge")
            .with("read", "no"),
    );
    out
}
