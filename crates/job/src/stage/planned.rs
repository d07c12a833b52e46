//! Opening, recovery and evacuation at their stages: the plan, and the readings that follow it.

use super::clock::later;
use super::offer::Offer;
use super::{Ground, Now, Running, View};
use crate::visit::plans::{self, Drawn, Gone, Opening, Planned, Pulled};
use field::evacuation::Course;
use record::{Body, Entry, Known, RisePoint, When};
use report::{Block, Message, Number, Text, Value, VerdictMark};
use units::Duration;
use uuid::Uuid;

/// A pull whose last reading is older than this is taken as ended: a judgement, so that no timer runs on for days.
const WATCHED: Duration = Duration::from_second(3600.0);

/// The places in the record of what answers to each other: whether one of the kinds came after an entry.
fn after(ground: &Ground<'_>, entry: Uuid, what: fn(&Body) -> bool) -> bool {
    let entries = &ground.visit.current.entries;
    let at = entries.iter().position(|one| one.id == entry).unwrap_or(entries.len());
    entries.iter().skip(at).any(|one| what(one.what()))
}

/// The section about to be opened: planned, and not opened yet.
pub fn opening<'a>(ground: &Ground<'a>) -> Option<Opening<'a>> {
    let last = plans::openings(ground.visit).pop()?;
    (!after(ground, last.entry.id, |body| matches!(body, Body::Repair(_)))).then_some(last)
}

/// The recovery that is planned or runs: nothing was mended since.
pub fn drawn<'a>(ground: &Ground<'a>) -> Option<Drawn<'a>> {
    let last = plans::drawn(ground.visit).pop()?;
    (!after(ground, last.entry.id, |body| matches!(body, Body::Repair(_)))).then_some(last)
}

/// The pull that is planned or runs: no rise was watched, nothing charged since.
pub fn pulled<'a>(ground: &Ground<'a>) -> Option<Pulled<'a>> {
    let last = plans::pulled(ground.visit).pop()?;
    let over = |body: &Body| match body {
        Body::Rise(_) => true,
        Body::Weighing(weighing) => weighing.direction == record::Direction::Charged,
        _ => false,
    };
    (!after(ground, last.entry.id, over)).then_some(last)
}

fn sentence<R, A: crate::ask::Answer>(ground: &Ground<'_>, plan: &Planned<'_, R, A>) -> Option<Now> {
    let now = plan.sentence(ground.writer)?;
    let Text::Message(sentence) = now.sentence else { return None };
    let mut out = Now::new(sentence);
    if let Some(Text::Message(why)) = now.why {
        out = out.because(why);
    }
    if let Some(Err(_)) = &plan.answer {
        out = out.marked(VerdictMark::Doubtful);
    }
    Some(out)
}

/// Returns what an opening says now.
pub fn opening_now(ground: &Ground<'_>, plan: &Opening<'_>) -> Option<Now> {
    let now = sentence(ground, plan)?;
    let Some(Ok(answer)) = &plan.answer else { return Some(now) };
    Some(match (answer.figures.least_start_pa_gauge, answer.figures.long_enough) {
        (None, _) | (Some(_), Some(false)) => now.marked(VerdictMark::Breached),
        (Some(_), Some(true)) => now.marked(VerdictMark::Met),
        (Some(_), None) => now,
    })
}

/// Returns what a recovery says now.
pub fn drawn_now(ground: &Ground<'_>, plan: &Drawn<'_>) -> Option<Now> {
    sentence(ground, plan)
}

/// Returns what a pull says now: how it goes where its readings tell, else its plan.
pub fn pulled_now(ground: &Ground<'_>, plan: &Pulled<'_>) -> Option<Now> {
    match plans::gone(ground.visit, plan) {
        Some(gone) => {
            let (sentence, why) = gone.sentence(ground.writer);
            Some(Now::new(sentence).because(why).marked(match gone.course {
                Course::AsPlanned { .. } => VerdictMark::Met,
                Course::Slower { .. } => VerdictMark::Doubtful,
                Course::Stands { .. } => VerdictMark::Breached,
            }))
        }
        None => sentence(ground, plan),
    }
}

/// Adds what stands behind a plan: its cautions before the offers, the rest as a section.
fn show<R, A: crate::ask::Answer>(
    view: &mut View,
    ground: &Ground<'_>,
    plan: &Planned<'_, R, A>,
    heading: Message,
) {
    let (cautions, blocks) = plan.blocks(ground.writer);
    for caution in cautions {
        if !view.cautions.contains(&caution) {
            view.cautions.push(caution);
        }
    }
    view.section(heading, blocks);
}

/// Adds the opening and the recovery to Decide; what is to be read now comes before every other offer.
pub fn decide(view: &mut View, ground: &Ground<'_>, ahead: bool) {
    let mut first: Vec<Offer> = Vec::new();
    if let Some(plan) = opening(ground) {
        if plan.recorded.ends_pump_down == Some(record::YesNo::Yes) {
            view.cautions.push(report::Caution {
                first: Message::new("caution-control-first").into(),
                rest: Some(Message::new("caution-control-rest").into()),
            });
        }
        show(view, ground, &plan, Message::new("decide-opening"));
        first.extend(fill_in("opening plan", plan.entry, &plan.missing));
        let label = Message::new("offer-read-section");
        first.push(watch("opening plan", plan.entry, &plan.recorded.points, label));
    } else if ahead {
        let mut ask = vec!["bore", "open_for", "walls", "section"];
        ask.extend(section_unknown(ground).then_some("volume"));
        first.push(
            Offer::new("opening plan", Message::new("offer-opening-plan"), &ask)
                .because(Message::new("offer-opening-plan-why")),
        );
    }
    if let Some(plan) = drawn(ground) {
        show(view, ground, &plan, Message::new("decide-recovery"));
        if let Some(share) = plans::drawn_share(ground.visit, &plan) {
            let value = Value::from(ground.writer.write(share));
            let number = Number::new(Message::new("recovery-share"), value);
            view.section(Message::new("decide-recovery-so-far"), vec![Block::Numbers(vec![number])]);
        }
        first.extend(fill_in("recovery", plan.entry, &plan.missing));
        let label = Message::new("offer-read-recovery");
        first.push(watch("recovery", plan.entry, &plan.recorded.points, label));
    } else if ahead {
        let mut ask = vec!["machine", "walls", "liquid", "section"];
        ask.extend(section_unknown(ground).then_some("volume"));
        first.push(Offer::new("recovery", Message::new("offer-recovery-plan"), &ask));
    }
    if ahead {
        match crate::visit::cold_box::of(ground.visit) {
            Some(Ok(answer)) => view.section(
                Message::new("decide-goods"),
                answer
                    .warming(ground.writer)
                    .map(|sentence| {
                        vec![
                            Block::Paragraph(sentence.into()),
                            Block::Paragraph(Message::new("box-limits").into()),
                        ]
                    })
                    .unwrap_or_default(),
            ),
            Some(Err(_)) => {}
            None => {
                let ask =
                    ["box_length", "box_width", "box_height", "insulation", "goods_mass", "warmest_goods"];
                let missing = Offer::new("system", Message::new("offer-box"), &ask);
                view.offers.push(missing.because(Message::new("offer-box-why")));
            }
        }
    }
    view.offers.splice(0..0, first);
}

fn section_unknown(ground: &Ground<'_>) -> bool {
    ground.visit.system.value.section_volume.as_ref().is_none_or(Known::is_unknown)
}

/// What a plan still lacks, in one short form.
fn fill_in(kind: &'static str, entry: &Entry, missing: &[&'static str]) -> Option<Offer> {
    (!missing.is_empty())
        .then(|| Offer::new(kind, Message::new("offer-plan-missing"), missing).onto(entry.id))
}

/// The next pressure watched.
fn watch(kind: &'static str, entry: &Entry, points: &[RisePoint], label: Message) -> Offer {
    let next = points.len() + 1;
    let mut offer = Offer::new(kind, label, &[]).onto(entry.id);
    offer.ask = vec![format!("points[{next}][1]"), format!("points[{next}][2]")];
    offer
}

/// Adds the pull to Evacuate.
pub fn evacuate(view: &mut View, ground: &Ground<'_>) {
    let Some(plan) = pulled(ground) else {
        let mut ask = vec!["pump", "hose", "hose_length", "coldest"];
        ask.extend(section_unknown(ground).then_some("volume"));
        view.offers.push(
            Offer::new("evacuation", Message::new("offer-evacuation-plan"), &ask)
                .because(Message::new("offer-evacuation-plan-why")),
        );
        return;
    };
    let gone = plans::gone(ground.visit, &plan);
    if let Some(point) = plan.recorded.points.last() {
        let value = ground.writer.vacuum(point.pressure.value.absolute(ground.visit.air));
        view.head.push(Number::new(Message::new("head-vacuum"), Value::from(value)));
    }
    view.running.extend(running(ground, &plan, gone.as_ref()));
    let mut first: Vec<Offer> = Vec::new();
    first.push(watch("evacuation", plan.entry, &plan.recorded.points, Message::new("offer-read-pull")));
    first.extend(fill_in("evacuation", plan.entry, &plan.missing));
    view.offers.splice(0..0, first);
    show(view, ground, &plan, Message::new("evacuate-plan"));
}

fn running(ground: &Ground<'_>, plan: &Pulled<'_>, gone: Option<&Gone>) -> Option<Running> {
    let since: When = plan.entry.seen.at.clone().filter(|at| !at.is_day())?;
    let last = match plan.recorded.points.last() {
        Some(point) => later(&since, point.time.value)?,
        None => since.clone(),
    };
    if ground.now.since(&last).second().abs() > WATCHED.second() {
        return None;
    }
    let left = match gone.map(|gone| gone.course) {
        Some(Course::AsPlanned { left } | Course::Slower { left, .. }) => left,
        Some(Course::Stands { .. }) => None,
        None => match &plan.answer {
            Some(Ok(answer)) => Some(Duration::from_second(
                answer.figures.dry_s.max(answer.figures.water_at_least_s.unwrap_or(0.0)),
            )),
            _ => None,
        },
    };
    let what = match &plan.recorded.section {
        Some(section) => Message::new("evacuate-pulling").with("section", section),
        None => Message::new("evacuate-pulling-unnamed"),
    };
    Some(Running { what, since, answer_at: left.and_then(|left| later(&last, left)) })
}
