//! Close: what is owed, what was left in which state, parts, answers, and when to come back.

use super::offer::Offer;
use super::{Ground, Now, View, hooks};
use crate::place;
use crate::visit::document::{account, open};
use record::{Body, Finding, Urgency};
use report::{Block, List, Message, Text, VerdictMark};

pub fn view(ground: &Ground<'_>) -> View {
    let visit = ground.visit;
    let owed = place::owed(visit);
    let mut view = View::new(super::Stage::Close, now(ground, &owed));
    view.offers = owed.iter().map(|owed| owed.settles.clone()).collect();
    view.offers.extend(offers(ground));
    let mut items: Vec<Text> = disagreements(ground);
    items.extend(owed.iter().map(|owed| Text::from(owed.sentence.clone())));
    items.extend(holds_longer(ground));
    items.extend(crate::apprentice::sentences(visit));
    view.section(Message::new("close-owed"), list(items));
    let shut = place::left_shut(visit)
        .into_iter()
        .map(|what| Message::new("close-left-shut").with("what", what).into())
        .collect();
    view.section(Message::new("close-state"), list(shut));
    let mut needed = parts(ground);
    needed.extend(crate::parts::blocks(visit, ground.writer));
    view.section(Message::new("close-parts"), needed);
    let findings = open::findings(ground.results).map(Block::Table);
    let mut besides: Vec<Block> = findings.into_iter().collect();
    besides.extend(crate::side::blocks(visit, ground.writer));
    view.section(Message::new("close-besides"), besides);
    view.section(Message::new("close-refrigerant"), account::cylinders(ground.results, ground.writer));
    view.section(Message::new("close-report"), list(says(ground)));
    view.sections.extend(crate::follow_up::section(ground.results, ground.writer));
    view.sections.extend(hooks::closing(ground));
    view.sharpen = open::sharpen(ground.results);
    view
}

fn list(items: Vec<Text>) -> Vec<Block> {
    if items.is_empty() { Vec::new() } else { vec![Block::List(List { ordered: false, items })] }
}

fn disagreements(ground: &Ground<'_>) -> Vec<Text> {
    let visit = ground.visit;
    let mut out: Vec<Text> = visit
        .current
        .disagreements
        .iter()
        .map(|disagreement| Message::new("open-disagreement").with("count", disagreement.sides.len()).into())
        .collect();
    let fields = visit.system.unsettled.keys().chain(visit.site.unsettled.keys());
    out.extend(
        fields.map(|field| Text::from(Message::new("open-unsettled").with("field", field.replace('_', " ")))),
    );
    out
}

/// Holds that were ended too early for the leak they were to see.
fn holds_longer(ground: &Ground<'_>) -> Vec<Text> {
    use field::hold::{Verdict, WhyNotResolved};
    ground
        .results
        .holds
        .iter()
        .filter_map(|result| match &result.found.as_ref().ok()?.verdict {
            Verdict::NotResolved(WhyNotResolved::TooShort { still_needed }) => {
                Some(Message::new("hold-longer").with("time", ground.writer.write(*still_needed)).into())
            }
            _ => None,
        })
        .collect()
}

fn findings<'a>(ground: &Ground<'a>) -> impl Iterator<Item = &'a Finding> {
    ground
        .visit
        .entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        })
        .map(|(_, finding)| finding)
}

fn choice_made(ground: &Ground<'_>) -> bool {
    ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Choice(_)))
}

fn now(ground: &Ground<'_>, owed: &[place::Owed]) -> Now {
    let disagreements = disagreements(ground);
    let count = owed.len() + disagreements.len();
    if count > 0 {
        let now = Now::new(Message::new("close-open").with("count", count)).marked(VerdictMark::Due);
        let first = disagreements
            .into_iter()
            .next()
            .or_else(|| owed.first().map(|owed| owed.sentence.clone().into()));
        return match first {
            Some(Text::Message(first)) => now.because(first),
            _ => now,
        };
    }
    if let Some(finding) = findings(ground).find(|f| f.urgency == Some(Urgency::Now) && f.answer.is_none()) {
        return Now::new(Message::new("close-ask-now").with("what", finding.what.as_str()))
            .marked(VerdictMark::Due);
    }
    let unasked = findings(ground).filter(|finding| finding.answer.is_none()).count();
    if unasked > 0 {
        return Now::new(Message::new("close-unasked").with("count", unasked)).marked(VerdictMark::Due);
    }
    let to_order = place::parts_by_place(ground.visit).iter().map(|parts| parts.order.len()).sum::<usize>();
    let now = if ground.visit.current.entries.is_empty() {
        return Now::new(Message::new("close-empty"));
    } else if choice_made(ground) {
        Now::new(Message::new("close-done"))
    } else {
        Now::new(Message::new("close-choice"))
    };
    if to_order > 0 { now.because(Message::new("close-second-visit").with("count", to_order)) } else { now }
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let mut out: Vec<Offer> = ground
        .visit
        .entries(|body| match body {
            Body::Finding(finding) if finding.answer.is_none() => Some(&**finding),
            _ => None,
        })
        .map(|(entry, finding)| {
            let label = Message::new("offer-answer").with("what", finding.what.as_str());
            Offer::new("finding", label, &["answer", "answered_by", "price", "done"]).onto(entry.id)
        })
        .collect();
    out.push(Offer::new(
        "choice",
        Message::new("offer-choice"),
        &["option", "reason", "chosen_by", "agreed", "instead_of[1]"],
    ));
    out.push(Offer::new(
        "finding",
        Message::new("offer-finding"),
        &["what", "about", "urgency", "length", "danger", "price"],
    ));
    out.push(Offer::new(
        "part",
        Message::new("offer-part"),
        &["function", "must[1]", "count", "source", "order_line", "item"],
    ));
    if let Some(here) = place::here(ground.visit) {
        out.push(
            Offer::new("departure", Message::new("offer-departure").with("place", here.as_str()), &[])
                .with("place", here),
        );
    }
    out
}

/// The parts by place, the van's apart from those to order.
fn parts(ground: &Ground<'_>) -> Vec<Block> {
    let mut items: Vec<Text> = Vec::new();
    for at in place::parts_by_place(ground.visit) {
        let place: Text = match &at.place {
            Some(place) => Text::verbatim(place.as_str()),
            None => Message::new("close-no-place").into(),
        };
        let line = |part: &record::Part| {
            let text = part.order_line.clone().unwrap_or_else(|| part.function.clone());
            match part.count {
                Some(count) if count > 1 => format!("{count} × {text}"),
                _ => text,
            }
        };
        items.extend(at.order.iter().map(|part| {
            Message::new("close-part-order").with("place", place.clone()).with("part", line(part)).into()
        }));
        items.extend(at.stock.iter().map(|part| {
            Message::new("close-part-stock").with("place", place.clone()).with("part", line(part)).into()
        }));
    }
    list(items)
}

/// What the report will say first, and what it will say that it does not prove.
fn says(ground: &Ground<'_>) -> Vec<Text> {
    let now = ground.results.now(ground.writer);
    let mut out = vec![now.sentence];
    out.extend(now.why);
    if ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Hold(_) | Body::Rise(_)))
    {
        out.push(Message::new("proof-not-proved").into());
    }
    out
}
