//! A stage as a document: what the phone shows, for the command line and for paper.

use super::clock::clock;
use super::{Hand, View, view_with};
use crate::stage::Stage;
use crate::visit::Visit;
use record::When;
use report::{Block, Document, List, Mark, Message, Now, Section, Text};
use units::Writer;

/// Day and time.
fn whole(now: &When) -> String {
    let text = now.to_string();
    text.get(..16).map_or_else(|| text.clone(), |text| text.replace('T', " "))
}

/// Returns the moment of the last entry that has a time.
#[must_use]
pub fn last_moment(visit: &Visit) -> Option<When> {
    visit.current.entries.iter().rev().find_map(|entry| entry.seen.at.clone())
}

/// Returns a stage as a document, as it stood at the moment `now`.
#[must_use]
pub fn document(stage: Stage, visit: &Visit, writer: &Writer, now: &When, hand: Hand<'_>) -> Document {
    let view: View = view_with(stage, visit, writer, now, hand);
    let mark = if visit.is_demo() { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(stage.name(), "en", mark);
    document.subtitle = Some(visit.headline());
    document.details = vec![Message::new("stage-as-of").with("at", whole(now)).into()];
    let mut sentence = Now::new(view.now.sentence);
    sentence.why = view.now.why.map(Text::from);
    sentence.numbers = view.head;
    document.now = Some(sentence);
    let cautions: Vec<Block> = view.cautions.into_iter().map(Block::Caution).collect();
    let mut first = cautions;
    first.extend(view.running.iter().map(|running| {
        let since = Message::new("stage-runs")
            .with("what", running.what.clone())
            .with("since", clock(&running.since, now));
        Block::Paragraph(match &running.answer_at {
            Some(at) => {
                Message::new("stage-runs-until").with("runs", since).with("at", clock(at, now)).into()
            }
            None => since.into(),
        })
    }));
    if let Some(law) = view.law {
        first.push(Block::Paragraph(law.sentence.into()));
        first.extend(law.why.map(|why| Block::Paragraph(why.into())));
    }
    if !first.is_empty() {
        document.sections.push(Section::new(Message::new("stage-first"), first));
    }
    document.sections.extend(view.sections);
    if !view.sharpen.is_empty() {
        let items = view.sharpen.into_iter().map(Text::from).collect();
        let list = Block::List(List { ordered: false, items });
        document.sections.push(Section::new(Message::new("open-sharpen"), vec![list]));
    }
    document
}
