//! Reports, rendered once for what stands in the record.

use crate::summary;
use job::visit::{Results, Visit};
use record::Event;
use report::Message;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};
use units::Writer;
use uuid::Uuid;
use wording::Wording;

/// How many reports are kept.
const KEPT: usize = 64;

/// What a report is of: the job, the language, the units, whether it is without money.
type Of = (Uuid, String, &'static str, bool);

/// The reports rendered last.
#[derive(Default)]
pub struct Rendered(Mutex<BTreeMap<Of, (u64, Arc<str>)>>);

impl Rendered {
    /// Returns a report of just this sequence, where it is kept.
    #[must_use]
    pub fn get(&self, of: &Of, sequence: u64) -> Option<Arc<str>> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.get(of).filter(|(made, _)| *made == sequence).map(|(_, html)| html.clone())
    }

    /// Keeps a report. Of too many those of the oldest record go.
    pub fn put(&self, of: Of, sequence: u64, html: Arc<str>) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= KEPT
            && let Some(oldest) = kept.iter().min_by_key(|(_, (made, _))| *made).map(|(of, _)| of.clone())
        {
            kept.remove(&oldest);
        }
        kept.insert(of, (sequence, html));
    }
}

/// Returns the report of the last of these visits as HTML, in the units it was entered in or in those wished for.
#[must_use]
pub fn render(visits: &[Vec<Event>], wording: &Wording, units: Option<Writer>) -> String {
    let name = visits.last().map(|events| summary::name(events)).unwrap_or_default();
    let visit = Visit::of_chain(&name, visits);
    let units = units.unwrap_or_else(|| visit.writer());
    let units = Writer { decimal_comma: wording.decimal_comma(), ..units };
    let say = |message: &Message| wording.say(message);
    let mut document = Results::of(&visit).document(&units);
    document.language = wording.language().to_owned();
    document.decimal_comma = units.decimal_comma;
    report::to_html(&document, &say)
}
