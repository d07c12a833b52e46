//! What is due across systems, as a document and as entries of a calendar.

use super::document::{paragraph, table};
use super::words;
use report::{Block, Cell, Column, Document, Mark, Message, Now, Row, Section, Text};
use rules::CalendarLine;

/// Returns what is due across systems as a table.
#[must_use]
pub fn calendar_table(lines: &[CalendarLine<'_>]) -> Option<Block> {
    let rows = lines.iter().map(|line| {
        let known = known(line);
        Row::new(vec![
            Cell::Text(by(line)),
            Cell::Text(Text::verbatim(&line.system)),
            Cell::Text(Text::verbatim(&line.duty.asks)),
            Cell::Text(Text::verbatim(format!("{}, {}", line.duty.instrument, line.duty.section))),
            Cell::Text(known.into()),
        ])
    });
    table(
        Message::new("law-calendar-caption"),
        vec![
            Column::words(Message::new("law-column-by")),
            Column::words(Message::new("law-column-system")),
            Column::words(Message::new("law-column-asks")),
            Column::words(Message::new("law-column-law")),
            Column::words(Message::new("law-column-known")),
        ],
        rows.collect(),
    )
}

/// Returns what is due across systems as a document.
#[must_use]
pub fn of_the_calendar(
    date: rules::Date,
    systems: &[(String, Message)],
    lines: &[CalendarLine<'_>],
    mark: Mark,
) -> Document {
    let mut document = Document::new(Message::new("law-calendar-title"), "en", mark);
    document.details.push(Text::verbatim(date.to_string()));
    let overdue = lines.iter().filter(|line| line.overdue).count();
    document.now = Some(Now::new(
        Message::new("law-calendar-now")
            .with("systems", systems.len())
            .with("lines", lines.len())
            .with("overdue", overdue),
    ));
    let rows = systems.iter().map(|(name, answer)| {
        Row::new(vec![Cell::Text(Text::verbatim(name)), Cell::Text(answer.clone().into())])
    });
    let columns =
        vec![Column::words(Message::new("law-column-system")), Column::words(Message::new("law-may-add"))];
    let blocks: Vec<Block> = calendar_table(lines).into_iter().collect();
    if !blocks.is_empty() {
        document.sections.push(Section::new(Message::new("law-section-due"), blocks));
    }
    let answers: Vec<Block> =
        table(Message::new("law-systems-caption"), columns, rows.collect()).into_iter().collect();
    if !answers.is_empty() {
        document.sections.push(Section::new(Message::new("law-section-charging"), answers));
    }
    document.methods = vec![paragraph(Message::new("law-no-advice"))];
    document
}

/// Returns what a calendar shows of a line: its title, and what stands behind it.
#[must_use]
pub fn calendar_entry(line: &CalendarLine<'_>) -> (Message, Message) {
    let title = match (line.overdue, line.choice, line.firm) {
        (true, ..) => Message::new("law-entry-overdue"),
        (_, true, _) => Message::new("law-entry-choice"),
        (.., false) => Message::new("law-entry-not-confirmed"),
        (.., true) => Message::new("law-entry"),
    };
    let behind = Message::new("law-entry-behind")
        .with("instrument", &line.duty.instrument)
        .with("section", &line.duty.section)
        .with("known", known(line));
    (title.with("system", &line.system).with("asks", &line.duty.asks), behind)
}

/// By when a line is to be done, or since when it is overdue.
pub(super) fn by(line: &CalendarLine<'_>) -> Text {
    match (line.overdue, line.due, line.day) {
        (true, _, Some(day)) => Message::new("law-overdue-since").with("day", day.to_string()).into(),
        (true, _, None) => Message::new("law-overdue").into(),
        (_, Some(due), _) => words::due(due),
        (..) => Message::new("law-due-open").into(),
    }
}

/// How a line is known; one that is not firm though its law was read leaves something open, or rests on what was told.
fn known(line: &CalendarLine<'_>) -> Message {
    if !line.firm && line.status == rules::Status::ReadInLaw {
        Message::new("law-status-not-firm")
    } else {
        words::status(line.status)
    }
}
