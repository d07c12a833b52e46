//! Proof: hold tests, vacuum rises, and what they could not have seen.

use super::{Results, words};
use crate::show::{hold, rise};
use report::{Block, Message, Text};
use units::Writer;

pub fn blocks(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let mut out = holds(results, writer);
    out.extend(rises(results, writer));
    if !out.is_empty() {
        out.push(Block::Paragraph(Message::new("proof-not-proved").into()));
    }
    out
}

/// Returns the hold tests that were ended.
pub fn holds(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let mut out = Vec::new();
    let air = results.visit.air;
    for (number, result) in results.holds.iter().enumerate() {
        let heading = name(result.recorded.section.as_deref(), words::heading(result.entry, number + 1));
        match &result.found {
            Ok(found) => {
                let test = result.test(results.visit);
                let name = Message::new("proof-hold").with("section", heading);
                out.push(Block::Findings(vec![hold::finding(found, name, writer)]));
                out.push(Block::Numbers(hold::numbers(found, &test, air, writer)));
                out.extend(hold::notes(found).into_iter().map(|note| Block::Paragraph(note.into())));
                out.push(Block::Figure(Box::new(hold::figure(found, &test, air, writer))));
            }
            Err(error) => {
                let refused = crate::ask::hold::refused(error);
                let sentence = Message::new("proof-hold-failed")
                    .with("section", heading)
                    .with("why", refused.message.clone());
                out.push(Block::Paragraph(sentence.into()));
            }
        }
    }
    out
}

/// Returns the vacuum rises.
pub fn rises(results: &Results<'_>, writer: &Writer) -> Vec<Block> {
    let mut out = Vec::new();
    for (number, result) in results.rises.iter().enumerate() {
        let heading = name(result.recorded.section.as_deref(), words::heading(result.entry, number + 1));
        match &result.found {
            Ok(found) => {
                let name = Message::new("proof-rise").with("section", heading);
                out.push(Block::Findings(vec![rise::finding(found, name, writer)]));
                if let Some(volume) = &result.volume {
                    out.push(Block::Numbers(rise::numbers(found, volume, writer)));
                } else {
                    out.push(Block::Paragraph(Message::new("proof-rise-no-volume").into()));
                }
                out.extend(rise::water_sentence(found).map(|sentence| Block::Paragraph(sentence.into())));
                if let Some(volume) = &result.volume {
                    let figure = rise::figure(found, &result.readings, volume, None, writer);
                    out.push(Block::Figure(Box::new(figure)));
                }
            }
            Err(error) => {
                let refused = crate::ask::rise::refused(error);
                let sentence = Message::new("proof-rise-failed")
                    .with("section", heading)
                    .with("why", refused.message.clone());
                out.push(Block::Paragraph(sentence.into()));
            }
        }
    }
    out
}

/// What was tested, by its own words, else when and where.
fn name(section: Option<&str>, heading: Text) -> Text {
    section.filter(|text| !text.trim().is_empty()).map_or(heading, Text::verbatim)
}
