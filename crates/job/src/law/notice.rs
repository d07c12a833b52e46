//! The text of a notice to fix to the equipment after a leak test.

use super::{Law, words};
use crate::visit::Visit;
use record::{Body, CheckResult, Known};
use report::{Block, List, Message, Text};
use rules::What;

impl Law<'_> {
    /// Returns the notice, where a leak test was made on this visit: what was tested, when, by whom, what it showed.
    ///
    /// What the Ontario ministry's guidance names for its notice stands in it: date, person, certificate number and expiry,
    /// results, and that nothing may be added until a leak is repaired. Elsewhere it is common practice.
    #[must_use]
    pub fn notice_blocks(&self, visit: &Visit) -> Vec<Block> {
        let checks: Vec<_> = visit
            .entries(|body| match body {
                Body::LeakCheck(check) if check.result != CheckResult::NotDone => Some(&**check),
                _ => None,
            })
            .collect();
        if checks.is_empty() {
            return Vec::new();
        }
        let tested = checks.iter().filter_map(|(entry, _)| entry.seen.at.as_ref()?.local_day()).max();
        let (today, system) = (&visit.visit.value, &visit.system.value);
        let blank = || Message::new("law-notice-blank");
        let text = |given: Option<String>| given.map_or_else(|| blank().into(), report::Arg::from);
        let mut items: Vec<Text> = vec![
            Message::new("law-notice-system").with("system", text(system.name.clone())).into(),
            Message::new("law-notice-refrigerant")
                .with("refrigerant", text(system.refrigerant.as_ref().map(Known::text)))
                .with("charge", text(system.charge.as_ref().map(Known::text)))
                .into(),
            Message::new("law-notice-date")
                .with("day", text(tested.or(visit.day()).map(|day| day.to_string())))
                .into(),
            Message::new("law-notice-person")
                .with("person", text(today.by.clone()))
                .with("certificate", text(today.certificate.as_ref().map(Known::text)))
                .into(),
            Message::new("law-notice-employer").with("employer", text(today.employer.clone())).into(),
        ];
        let mut places: Vec<&str> = checks
            .iter()
            .filter(|(_, check)| check.result == CheckResult::Hit)
            .map(|(entry, _)| entry.seen.place.as_deref().unwrap_or("________"))
            .collect();
        places.dedup();
        let found = if places.is_empty() {
            let mut clean: Vec<&str> =
                checks.iter().filter_map(|(entry, _)| entry.seen.place.as_deref()).collect();
            clean.dedup();
            Message::new("law-notice-clean").with("count", checks.len()).with("places", clean.join("; "))
        } else {
            Message::new("law-notice-found").with("places", places.join("; "))
        };
        items.push(found.into());
        // A repair whose place is worded otherwise than the find cannot be matched: then the leak stays open, the safe side.
        if self.is_open() {
            items.push(Message::new("law-notice-do-not-add").into());
        }
        let guide = self.assessment.jurisdictions.iter().any(|law| law.id == "ca-on");
        let ground = if guide {
            Message::new("law-notice-ontario").with("status", words::status(rules::Status::ReadInGuide))
        } else {
            Message::new("law-notice-practice")
        };
        vec![Block::List(List { ordered: false, items }), Block::Paragraph(ground.into())]
    }

    /// A leak was found after the last repair of its place, as far as the record tells.
    fn is_open(&self) -> bool {
        let mut open: Vec<Option<&String>> = Vec::new();
        for event in &self.read.facts.events {
            match &event.what {
                What::LeakChecked { found: Some(true), leak, .. } | What::LeakFound { leak, .. } => {
                    open.push(leak.as_ref());
                }
                What::Repaired { leak, .. } => open.retain(|key| leak.is_some() && *key != leak.as_ref()),
                _ => {}
            }
        }
        !open.is_empty()
    }
}
