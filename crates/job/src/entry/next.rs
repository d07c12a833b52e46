//! A second visit made from what the first one leaves open.

use super::pictures::unread_of;
use crate::visit::Visit;
use record::{Body, Finding, Note, Observation, Part, PartSource, Weighing};
use report::Message;

/// Returns what a second visit starts with: that it follows this one; the parts to bring; what was found and neither
/// done nor settled, with the answer that was given; and in words, by `say`, what is still owed to this visit: weights,
/// readings, pictures not read.
///
/// What is known of the system is not among it: it holds over by [`Visit::of_chain`].
#[must_use]
pub fn second_visit(visit: &Visit, say: &dyn Fn(&Message) -> String) -> Vec<Observation> {
    let mut out = Vec::new();
    if let Some(job) = visit.job {
        let follows = record::Visit { follows: Some(job.to_string()), ..record::Visit::default() };
        out.push(bare(Body::Visit(Box::new(follows)), None));
    }
    let parts = visit.entries(|body| match body {
        Body::Part(part) => Some(part),
        _ => None,
    });
    for (entry, part) in parts.filter(|(_, part)| part.source == Some(PartSource::Order)) {
        // Ordered then, it comes along now.
        let part = Part { source: Some(PartSource::Stock), ..part.clone() };
        out.push(bare(Body::Part(part), entry.seen.place.clone()));
    }
    let findings = visit.entries(|body| match body {
        Body::Finding(finding) => Some(&**finding),
        _ => None,
    });
    for (entry, finding) in findings {
        // The picture stays with the visit that took it.
        let finding = Finding { picture: None, ..finding.clone() };
        let found = bare(Body::Finding(Box::new(finding)), entry.seen.place.clone());
        out.push(Observation { note: entry.seen.note.clone(), ..found });
    }
    let mut owed: Vec<Message> = Vec::new();
    let weighings = visit.entries(|body| match body {
        Body::Weighing(weighing) => Some(&**weighing),
        _ => None,
    });
    owed.extend(weighings.filter_map(|(_, weighing)| weight_owed(weighing)));
    owed.extend(unread_of(visit).map(|picture| {
        let name = super::pictures::called(picture.entry, picture.picture);
        match &picture.entry.seen.place {
            Some(place) => Message::new("entry-next-picture-at").with("name", name).with("place", place),
            None => Message::new("entry-next-picture").with("name", name),
        }
    }));
    out.extend(owed.iter().map(|message| bare(Body::Note(Note { text: say(message) }), None)));
    out
}

fn bare(what: Body, place: Option<String>) -> Observation {
    Observation { at: None, place, with: Vec::new(), told_by: None, note: None, what }
}

fn weight_owed(weighing: &Weighing) -> Option<Message> {
    weighing.after.is_none().then(|| {
        Message::new("entry-next-weight")
            .with("cylinder", weighing.cylinder.as_str())
            .with("before", weighing.before.value.text.as_str())
    })
}
