//! The leak log and the cylinder account of one system, over all visits.

use super::headed;
use crate::visit::document::words;
use crate::visit::{Results, Visit};
use record::{Body, CheckResult, Direction, Entry, StepOf};
use report::{Block, Cell, Column, Document, Message, Row, Section, Table, Text};

fn text(words: impl Into<String>) -> Cell {
    Cell::Text(Text::verbatim(words))
}

fn day(visit: &Visit, entry: &Entry) -> String {
    let day = entry.seen.at.as_ref().and_then(record::When::local_day).or_else(|| visit.day());
    day.map(|day| day.to_string()).unwrap_or_default()
}

fn all<'a>(results: &Results<'a>) -> impl Iterator<Item = (&'a Visit, &'a Entry)> {
    let visits = results.visit.earlier.iter().chain(core::iter::once(results.visit));
    visits.flat_map(|visit| visit.current.entries.iter().map(move |entry| (visit, entry)))
}

/// Every look for a leak, every repair and test.
pub fn leaks(results: &Results<'_>) -> Document {
    let mut document = headed(results.visit, super::Sheet::Leaks);
    let mut rows: Vec<Row> = Vec::new();
    for (visit, entry) in all(results) {
        let (what, result): (Text, Text) = match entry.what() {
            Body::LeakCheck(check) => {
                let result = match check.result {
                    CheckResult::Clean => Message::new("done-clean"),
                    CheckResult::Hit => Message::new("done-hit"),
                    CheckResult::NotDone => Message::new("done-not-done"),
                };
                (words::way(check.method).into(), result.into())
            }
            Body::Repair(repair) => {
                (Message::new("entry-kind-repair").into(), Text::verbatim(repair.what.as_str()))
            }
            Body::Hold(_) => {
                (Message::new("entry-kind-hold").into(), Message::new("sheet-see-report").into())
            }
            Body::Rise(_) => {
                (Message::new("entry-kind-rise").into(), Message::new("sheet-see-report").into())
            }
            Body::Step(step)
                if matches!(
                    step.what,
                    StepOf::LeakTest | StepOf::VerificationTest | StepOf::FollowUpTest
                ) =>
            {
                let result = step.result.map(|result| crate::entry::labels::word(result.word()));
                (crate::entry::labels::word(step.what.word()), result.unwrap_or_else(|| Text::verbatim("")))
            }
            _ => continue,
        };
        let place = entry.seen.place.clone().unwrap_or_default();
        let by = entry.by.clone().or_else(|| visit.visit.value.by.clone()).unwrap_or_default();
        rows.push(Row::new(vec![
            text(day(visit, entry)),
            text(place),
            Cell::Text(what),
            Cell::Text(result),
            text(by),
        ]));
    }
    let columns = vec![
        Column::words(Message::new("account-day")),
        Column::words(Message::new("done-place")),
        Column::words(Message::new("done-what")),
        Column::words(Message::new("done-result")),
        Column::words(Message::new("done-by")),
    ];
    let table = Table { caption: None, columns, rows };
    document.sections.push(Section::new(Message::new("sheet-entries"), vec![Block::Table(table)]));
    document
}

/// What went through each cylinder, by the scale as it was read.
pub fn cylinders(results: &Results<'_>) -> Document {
    let mut document = headed(results.visit, super::Sheet::Cylinders);
    let mut rows: Vec<Row> = Vec::new();
    for (visit, entry) in all(results) {
        let Body::Weighing(weighing) = entry.what() else { continue };
        let gas = weighing.refrigerant.clone().or_else(|| {
            let cylinder = visit.cylinders.get(&weighing.cylinder)?;
            cylinder.refrigerant.as_ref().and_then(record::Known::value).cloned()
        });
        let way = match weighing.direction {
            Direction::Charged => Message::new("entry-word-charged"),
            Direction::Recovered => Message::new("entry-word-recovered"),
        };
        let after = match &weighing.after {
            Some(after) => text(after.value.text.as_str()),
            None => Cell::Text(Message::new("sheet-owed").into()),
        };
        rows.push(Row::new(vec![
            text(day(visit, entry)),
            text(weighing.cylinder.as_str()),
            text(gas.unwrap_or_default()),
            Cell::Text(way.into()),
            text(weighing.before.value.text.as_str()),
            after,
        ]));
    }
    let columns = vec![
        Column::words(Message::new("account-day")),
        Column::words(Message::new("account-cylinder")),
        Column::words(Message::new("sheet-gas")),
        Column::words(Message::new("done-what")),
        Column::words(Message::new("sheet-before")),
        Column::words(Message::new("sheet-after")),
    ];
    let table = Table { caption: None, columns, rows };
    document.sections.push(Section::new(Message::new("sheet-entries"), vec![Block::Table(table)]));
    document
}
