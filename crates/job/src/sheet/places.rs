//! Place by place: what to take there, what was touched and how it stands, what is owed before it is left.

use super::headed;
use crate::visit::Results;
use crate::{carry, place, touched};
use record::Body;
use report::{Block, Cell, Column, Document, List, Message, Row, Section, Table, Text};

pub fn document(results: &Results<'_>) -> Document {
    let visit = results.visit;
    let mut document = headed(visit, super::Sheet::Places);
    for place in place::places(visit) {
        let mut blocks = Vec::new();
        let up = carry::going_up(visit, &place.name);
        let mut take: Vec<Text> = up
            .carry
            .into_iter()
            .map(|one| match one.why {
                Some(why) => Message::new("places-take-for").with("what", one.what).with("why", why).into(),
                None => Message::new("places-take").with("what", one.what).into(),
            })
            .collect();
        take.extend(up.weigh.iter().filter_map(|offer| {
            let (_, cylinder) = offer.preset.iter().find(|(path, _)| path == "cylinder")?;
            Some(Message::new("places-weigh").with("cylinder", cylinder.as_str()).into())
        }));
        if !take.is_empty() {
            blocks.push(Block::List(List { ordered: false, items: take }));
        }
        let rows: Vec<Row> = touched::at(visit, &place.name)
            .into_iter()
            .map(|one| Row::new(vec![Cell::Text(one.what), Cell::Text(one.stands.into())]))
            .collect();
        if !rows.is_empty() {
            let columns = vec![
                Column::words(Message::new("places-touched")),
                Column::words(Message::new("places-stands")),
            ];
            blocks.push(Block::Table(Table { caption: None, columns, rows }));
        }
        let owed: Vec<Text> = place::owed(visit)
            .into_iter()
            .filter(|owed| owed.place.as_deref().is_some_and(|at| place::same(at, &place.name)))
            .map(|owed| Message::new("places-owed").with("what", owed.sentence).into())
            .collect();
        if !owed.is_empty() {
            blocks.push(Block::List(List { ordered: false, items: owed }));
        }
        if !blocks.is_empty() {
            document.sections.push(Section::new(place.label, blocks));
        }
    }
    let worked = crate::bill::Worked::of(&[visit], None);
    let arrived = visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Arrival(_)));
    if arrived {
        let said = Message::new("bill-touches")
            .with("trips", worked.trips)
            .with("climbs", worked.climbs)
            .with("entries", worked.entries);
        document.sections.push(Section::new(Message::new("places-way"), vec![Block::Paragraph(said.into())]));
    }
    document
}
