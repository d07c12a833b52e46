//! Every refrigerant known here, with the grade of its mixing model.

use super::Answer;
use report::{Block, Cell, Column, Document, Mark, Message, Row, Section, Table, Text};
use serde::Serialize;
use units::Writer;

/// A refrigerant as a row.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RefrigerantRow {
    /// The designation.
    pub designation: String,
    /// Component and part by mass.
    pub composition: Vec<Component>,
    /// The grade of the mixing model.
    pub grade: &'static str,
    /// Where its equations and parameters were published.
    pub sources: Vec<String>,
}

/// A component of a refrigerant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Component {
    /// Its designation.
    pub name: String,
    /// Its part by mass.
    pub mass_fraction: f64,
}

/// Every refrigerant known here.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct RefrigerantsAnswer {
    /// One row a refrigerant, in the order of the designations.
    pub rows: Vec<RefrigerantRow>,
}

/// Returns every refrigerant known here.
#[must_use]
pub fn refrigerants() -> RefrigerantsAnswer {
    let rows = refrigerant::all()
        .iter()
        .map(|known| RefrigerantRow {
            designation: known.designation().to_owned(),
            composition: known
                .composition()
                .iter()
                .map(|(name, part)| Component { name: (*name).to_owned(), mass_fraction: *part })
                .collect(),
            grade: crate::substance::grade_word(known.grade()),
            sources: sources(known),
        })
        .collect();
    RefrigerantsAnswer { rows }
}

impl Answer for RefrigerantsAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let mut document = Document::new(Message::new("refrigerants-title"), "en", Mark::Answer);
        let columns = vec![
            Column::words(Message::new("refrigerants-name")),
            Column::words(Message::new("refrigerants-grade")),
            Column::words(Message::new("refrigerants-composition")),
        ];
        let rows = self
            .rows
            .iter()
            .map(|row| {
                let parts: Vec<String> = row
                    .composition
                    .iter()
                    .map(|part| format!("{} {} %", part.name, trimmed(writer, part.mass_fraction * 100.0)))
                    .collect();
                let composition = if parts.len() > 1 { parts.join(", ") } else { String::new() };
                Row::new(vec![
                    Cell::Text(Text::verbatim(row.designation.as_str())),
                    Cell::Text(Text::verbatim(row.grade)),
                    Cell::Text(Text::verbatim(composition)),
                ])
            })
            .collect();
        let blocks = vec![
            Block::Table(Table { caption: None, columns, rows }),
            Block::Paragraph(Message::new("refrigerants-grades").into()),
        ];
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}

/// A percentage without idle zeros.
fn trimmed(writer: &Writer, percent: f64) -> String {
    let text = writer.number(percent, 2);
    match text.contains(['.', ',']) {
        true => text.trim_end_matches('0').trim_end_matches(['.', ',']).to_owned(),
        false => text,
    }
}

/// Returns where composition, equations and pair parameters come from, a line each.
pub(super) fn sources(known: &refrigerant::Refrigerant) -> Vec<String> {
    let sources = known.sources();
    let mut lines: Vec<String> = Vec::new();
    lines.extend(sources.composition.map(|source| format!("composition: {source}")));
    lines.extend(sources.equations.iter().map(|(name, source)| format!("{name}: {source}")));
    lines.extend(sources.pairs.iter().map(|pair| {
        let [first, second] = pair.pair;
        match pair.source {
            Some(source) => format!("{first} with {second}: {source}"),
            None => format!("{first} with {second}: no published parameters, estimated"),
        }
    }));
    lines
}
