//! What was done: places by the clock, checks, repairs, settings as found and as left, choices.

use super::{Results, words};
use crate::visit::Visit;
use record::{Body, CheckResult};
use report::{Block, Cell, Column, Message, Row, Table, Text, Value};
use units::Writer;

pub fn blocks(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let visit = results.visit;
    let mut steps: Vec<Row> = Vec::new();
    for entry in &visit.current.entries {
        let at = words::when(entry).unwrap_or_default();
        let place = entry.seen.place.clone().unwrap_or_default();
        let by = entry.seen.told_by.clone().or_else(|| entry.by.clone()).unwrap_or_default();
        let mut step = |what: Text| {
            steps.push(Row::new(vec![
                Cell::Value(Value::as_written(at.as_str())),
                Cell::Text(Text::verbatim(place.as_str())),
                Cell::Text(what),
                Cell::Text(Text::verbatim(by.as_str())),
            ]));
        };
        match entry.what() {
            Body::Arrival(_) => step(Message::new("done-arrival").into()),
            Body::Departure(_) => step(Message::new("done-departure").into()),
            Body::Repair(repair) => {
                step(Message::new("done-repair").with("what", repair.what.as_str()).into());
                if let Some(part) = &repair.part {
                    step(Message::new("done-part").with("part", part).into());
                }
            }
            Body::Opened(opened) => {
                step(Message::new("done-opened").with("what", opened.what.as_str()).into())
            }
            Body::Closed(closed) => {
                step(Message::new("done-closed").with("what", closed.what.as_str()).into())
            }
            Body::Choice(choice) => {
                let mut who: Vec<&str> = Vec::new();
                who.extend(choice.chosen_by.as_deref());
                who.extend(choice.agreed.map(record::Agreement::word));
                let sentence = Message::new("done-choice")
                    .with("option", choice.option.as_str())
                    .with("who", who.join(", "));
                step(sentence.into());
                if let Some(reason) = &choice.reason {
                    step(Message::new("done-reason").with("reason", reason).into());
                }
            }
            Body::Picture(picture) => step(picture_step(picture)),
            Body::Note(note) if entry.seen.at.is_some() || entry.seen.place.is_some() => {
                step(Text::verbatim(note.text.as_str()));
            }
            _ => {}
        }
    }
    let mut out = Vec::new();
    // Practice keeps above zero what the law wants drawn to zero: never the one without the other.
    if visit
        .entries(|body| if let Body::Repair(repair) = body { Some(&**repair) } else { None })
        .next()
        .is_some()
    {
        let both = field::practice::before_opening();
        let sentence = Message::new("done-before-opening")
            .with("above", writer.write(both.kept_above))
            .with("to", writer.write(both.united_states_draw_to))
            .with("section", both.section);
        out.push(Block::Paragraph(sentence.into()));
    }
    if !steps.is_empty() {
        out.push(Block::Table(Table {
            caption: Some(Message::new("done-steps").into()),
            columns: vec![
                Column::words(Message::new("done-at")),
                Column::words(Message::new("done-place")),
                Column::words(Message::new("done-what")),
                Column::words(Message::new("done-by")),
            ],
            rows: steps,
        }));
    }
    out.extend(checks(visit).map(Block::Table));
    out.extend(settings(visit).map(Block::Table));
    out
}

/// What a picture shows, and the beginning of its SHA-256, by which it can be told from any other.
fn picture_step(picture: &record::Picture) -> Text {
    let hash = picture.sha256.as_deref().and_then(|hash| hash.get(..12));
    match (picture.shows.as_deref(), hash) {
        (Some(what), Some(hash)) => {
            Message::new("done-picture-shows").with("what", what).with("hash", hash).into()
        }
        (None, Some(hash)) => Message::new("done-picture-hash").with("hash", hash).into(),
        (what, None) => {
            Message::new("done-picture").with("what", what.unwrap_or(picture.file.as_str())).into()
        }
    }
}

/// Returns the leak checks, one a row.
pub fn checks(visit: &Visit) -> Option<Table> {
    let rows: Vec<Row> = visit
        .entries(|body| match body {
            Body::LeakCheck(check) => Some(&**check),
            _ => None,
        })
        .map(|(entry, check)| {
            let result = match check.result {
                CheckResult::Clean => Message::new("done-clean"),
                CheckResult::Hit => Message::new("done-hit"),
                CheckResult::NotDone => Message::new("done-not-done"),
            };
            let pressure = check.pressure.as_ref().map(|p| p.value.text.clone()).unwrap_or_default();
            Row::new(vec![
                Cell::Text(Text::verbatim(entry.seen.place.clone().unwrap_or_default())),
                Cell::Text(words::way(check.method).into()),
                Cell::Text(result.into()),
                Cell::Value(Value::as_written(pressure)),
                Cell::Text(Text::verbatim(check.spoilt_by.clone().unwrap_or_default())),
            ])
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        caption: Some(Message::new("done-checks").into()),
        columns: vec![
            Column::words(Message::new("done-place")),
            Column::words(Message::new("done-method")),
            Column::words(Message::new("done-result")),
            Column::numbers(Message::new("done-pressure")),
            Column::words(Message::new("done-spoilt")),
        ],
        rows,
    })
}

/// Returns the settings as found and as left, one a row.
pub fn settings(visit: &Visit) -> Option<Table> {
    let rows: Vec<Row> = visit
        .entries(|body| match body {
            Body::Setting(setting) => Some(&**setting),
            _ => None,
        })
        .map(|(_, setting)| {
            let typed = |known: &Option<record::Known<record::SettingValue>>| {
                Cell::Value(Value::as_written(known.as_ref().map(record::Known::text).unwrap_or_default()))
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(setting.what.word())),
                typed(&setting.found),
                typed(&setting.left),
                Cell::Text(Text::verbatim(setting.why.clone().unwrap_or_default())),
            ])
        })
        .collect();
    (!rows.is_empty()).then(|| Table {
        caption: Some(Message::new("done-settings").into()),
        columns: vec![
            Column::words(Message::new("done-setting")),
            Column::numbers(Message::new("done-found")),
            Column::numbers(Message::new("done-left")),
            Column::words(Message::new("done-why")),
        ],
        rows,
    })
}
