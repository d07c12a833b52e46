//! Open points: what is owed, what was seen besides, what to order, what would sharpen the answers.

use super::Results;
use record::{Answer, Body, PartSource, Urgency, YesNo};
use report::{Block, Cell, Column, List, Message, Row, Table, Text};
use units::Writer;

pub fn blocks(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let mut out = Vec::new();
    let owed = owed(results, writer);
    if !owed.is_empty() {
        out.push(Block::List(List { ordered: false, items: owed }));
    }
    out.extend(findings(results).map(Block::Table));
    out.extend(crate::side::blocks(results.visit, writer));
    out.extend(parts(results).map(Block::Table));
    let sharpen: Vec<Text> = sharpen(results).into_iter().map(Text::from).collect();
    if !sharpen.is_empty() {
        out.push(Block::Paragraph(Message::new("open-sharpen").into()));
        out.push(Block::List(List { ordered: false, items: sharpen }));
    }
    out
}

/// What must still be done, read, weighed or settled.
fn owed(results: &Results<'_>, writer: &Writer) -> Vec<Text> {
    let visit = results.visit;
    let mut items: Vec<Text> = Vec::new();
    for disagreement in &visit.current.disagreements {
        let count = disagreement.sides.len();
        items.push(Message::new("open-disagreement").with("count", count).into());
    }
    for field in visit.system.unsettled.keys().chain(visit.site.unsettled.keys()) {
        items.push(Message::new("open-unsettled").with("field", field.replace('_', " ")).into());
    }
    items.extend(
        results
            .account
            .owed
            .iter()
            .map(|cylinder| Message::new("open-weight").with("cylinder", cylinder).into()),
    );
    items.extend(crate::place::open(visit).into_iter().filter_map(|entry| {
        let Body::Opened(opened) = entry.what() else { return None };
        let what = opened.what.as_str();
        Some(match &entry.seen.place {
            Some(place) => Message::new("open-opened-at").with("what", what).with("place", place).into(),
            None => Message::new("open-opened").with("what", what).into(),
        })
    }));
    items.extend(crate::apprentice::sentences(visit));
    let running = visit.entries(|body| match body {
        Body::Hold(hold) if hold.end.is_none() => Some(&**hold),
        _ => None,
    });
    items.extend(running.map(|_| Text::from(Message::new("owed-hold"))));
    for entry in &visit.current.entries {
        if let Body::Picture(picture) = entry.what()
            && picture.read == Some(YesNo::No)
        {
            let called = crate::entry::pictures::called(entry, picture);
            items.push(Message::new("open-picture").with("picture", called).into());
        }
    }
    for result in &results.holds {
        if let Ok(found) = &result.found
            && let field::hold::Verdict::NotResolved(field::hold::WhyNotResolved::TooShort { still_needed }) =
                &found.verdict
        {
            items.push(Message::new("hold-longer").with("time", writer.write(*still_needed)).into());
        }
    }
    items
}

/// Returns what else was seen.
pub fn findings(results: &Results<'_>) -> Option<Table> {
    let rows: Vec<Row> = results
        .visit
        .entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        })
        .map(|(entry, finding)| {
            let urgency = finding.urgency.map(|urgency| match urgency {
                Urgency::Now => Message::new("open-now"),
                Urgency::Soon => Message::new("open-soon"),
                Urgency::Watch => Message::new("open-watch"),
            });
            let answer: Text = match (&finding.answer, &finding.answered_by) {
                (Some(answer), by) => {
                    let word = match answer {
                        Answer::Accepted => Message::new("open-accepted"),
                        Answer::Later => Message::new("open-later"),
                        Answer::Declined => Message::new("open-declined"),
                    };
                    match by {
                        Some(by) => {
                            Message::new("open-answer-by").with("answer", word).with("who", by).into()
                        }
                        None => word.into(),
                    }
                }
                (None, _) => Message::new("open-not-asked").into(),
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(entry.seen.place.clone().unwrap_or_default())),
                Cell::Text(Text::verbatim(finding.what.as_str())),
                urgency.map_or(Cell::Empty, |word| Cell::Text(word.into())),
                Cell::Text(Text::verbatim(
                    finding.price.as_ref().map(record::Known::text).unwrap_or_default(),
                )),
                Cell::Text(answer),
            ])
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        caption: Some(Message::new("open-findings").into()),
        columns: vec![
            Column::words(Message::new("done-place")),
            Column::words(Message::new("done-what")),
            Column::words(Message::new("open-urgency")),
            Column::words(Message::new("open-price")),
            Column::words(Message::new("open-answer")),
        ],
        rows,
    })
}

/// Returns the parts by function.
pub fn parts(results: &Results<'_>) -> Option<Table> {
    let rows: Vec<Row> = results
        .visit
        .entries(|body| match body {
            Body::Part(part) => Some(part),
            _ => None,
        })
        .map(|(_, part)| {
            let source = part.source.map(|source| match source {
                PartSource::Stock => Message::new("open-stock"),
                PartSource::Order => Message::new("open-order"),
            });
            Row::new(vec![
                Cell::Text(Text::verbatim(part.function.as_str())),
                Cell::Text(Text::verbatim(part.must.join("; "))),
                source.map_or(Cell::Empty, |word| Cell::Text(word.into())),
                Cell::Text(Text::verbatim(part.order_line.clone().unwrap_or_default())),
            ])
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        caption: Some(Message::new("open-parts").into()),
        columns: vec![
            Column::words(Message::new("open-part")),
            Column::words(Message::new("open-must")),
            Column::words(Message::new("open-source")),
            Column::words(Message::new("open-order-line")),
        ],
        rows,
    })
}

/// Returns what, if known, would sharpen the answers of this visit.
pub fn sharpen(results: &Results<'_>) -> Vec<Message> {
    let visit = results.visit;
    let system = &visit.system.value;
    let mut items: Vec<Message> = Vec::new();
    let read_by_gauge = !results.readings.is_empty() || !results.holds.is_empty();
    if read_by_gauge && matches!(visit.air.basis, units::AtmosphereBasis::SeaLevelAssumed) {
        items.push(Message::new("sharpen-altitude"));
    }
    let assumed = results.readings.iter().flat_map(|result| &result.superheats).any(|(_, found)| {
        found.superheat.terms().iter().any(|(doubt, _)| doubt.cause == units::Cause::AssumedAccuracy)
    });
    if assumed {
        items.push(Message::new("sharpen-instruments"));
    }
    let known = |is: bool, message: Message, items: &mut Vec<Message>| {
        if !is {
            items.push(message);
        }
    };
    known(
        system.charge.as_ref().is_some_and(|c| !c.is_unknown()),
        Message::new("sharpen-charge"),
        &mut items,
    );
    if !results.account.refills.is_empty() || results.account.habit.is_some() {
        let open = results.account.refills.iter().any(|refill| {
            matches!(refill.amount, field::annual_loss::Amount::Unknown)
                || refill.told
                || refill.day.is_none()
        });
        if open || results.account.refills.is_empty() {
            items.push(Message::new("sharpen-refills"));
        }
    }
    known(system.box_kind.is_some(), Message::new("sharpen-box"), &mut items);
    if system.receiver_volume.as_ref().is_none_or(record::Known::is_unknown) {
        items.push(Message::new("sharpen-receiver"));
    }
    if system.head_control.is_none() {
        items.push(Message::new("sharpen-head"));
    }
    let shut =
        results.holds.iter().any(|hold| hold.recorded.volume.is_none() && hold.recorded.zone.is_empty());
    if shut {
        items.push(Message::new("sharpen-volume"));
    }
    let superheat = results.readings.iter().any(|result| !result.superheats.is_empty());
    if !results.readings.is_empty() && !superheat {
        items.push(Message::new("sharpen-line"));
    }
    items
}
