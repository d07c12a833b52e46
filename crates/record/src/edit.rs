//! An edited job file put on the record: corrections, withdrawals, additions.

use crate::event::{Content, Correction, Event, Observation, Redaction, RedactionReason};
use crate::file::JobFile;
use crate::id::{canonical, correction_id, entry_id, withdrawal_id};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use uuid::Uuid;

/// Returns the events that bring a record up to an edited job file: corrections of what was changed, withdrawals of
/// what was removed, and what is new. Of an unchanged file nothing.
///
/// Entries are recognised by their own `id`, else by kind, time and order. What was entered on a device is left alone.
#[must_use]
pub fn reread(old: &[Event], file: &JobFile) -> Vec<Event> {
    let today = crate::current(old);
    let of_file = |id: Uuid| id.get_version_num() == 8;
    let mut was: Vec<crate::Entry> =
        today.entries.iter().filter(|entry| of_file(entry.id)).cloned().collect();
    for disagreement in today.disagreements.iter().filter(|one| of_file(one.of)) {
        let own = disagreement.sides.iter().find(|side| side.by == file.by).or(disagreement.sides.first());
        was.extend(own.cloned());
    }
    let job = old.first().map_or(file.job, |event| event.job);
    let is: Vec<(&Event, &Observation)> = file
        .events
        .iter()
        .filter_map(|event| match &event.content {
            Content::Observed(seen) => Some((event, seen)),
            _ => None,
        })
        .collect();
    let pairs = pair_up(&was, &is);
    let mut ids: BTreeSet<Uuid> = old.iter().map(|event| event.id).collect();
    let mut stamp = old.iter().map(|event| event.stamp).max().unwrap_or_default();
    let mut out = Vec::new();
    let mut kept = vec![false; was.len()];
    let make = |ids: &mut BTreeSet<Uuid>, id: &dyn Fn(usize) -> Uuid| {
        let free = (0..).map(id).find(|id| !ids.contains(id)).unwrap_or_default();
        ids.insert(free);
        free
    };
    for ((event, seen), pair) in is.iter().zip(&pairs) {
        let by = event.by.as_deref();
        let Some(index) = *pair else {
            let id = make(&mut ids, &|n| entry_id(job, event.key.as_deref(), n, by, seen));
            out.push(Event { id, job, ..(*event).clone() });
            continue;
        };
        kept[index] = true;
        if was[index].seen == **seen && was[index].by == event.by {
            continue;
        }
        stamp = stamp.next(stamp.ms);
        let of = was[index].stands_by;
        let id = make(&mut ids, &|n| correction_id(of, n, by, seen));
        let content = Content::Correction(Correction { of, now: (*seen).clone(), why: None });
        out.push(Event { id, job, stamp, key: None, content, ..(*event).clone() });
    }
    for (entry, _) in was.iter().zip(&kept).filter(|(_, kept)| !**kept) {
        stamp = stamp.next(stamp.ms);
        let id = withdrawal_id(entry.id, file.by.as_deref());
        if !ids.insert(id) {
            continue;
        }
        out.push(Event {
            id,
            job,
            by: file.by.clone(),
            device: file.device.clone(),
            stamp,
            key: None,
            content: Content::Redaction(Redaction { of: entry.id, reason: RedactionReason::Withdrawn }),
            apprentice: false,
            verbatim: None,
        });
    }
    out
}

/// Finds, for each entry of the new file, the old one it continues.
fn pair_up(was: &[crate::Entry], is: &[(&Event, &Observation)]) -> Vec<Option<usize>> {
    let json =
        |seen: &Observation| serde_json::to_value(seen).map(|value| canonical(&value)).unwrap_or_default();
    let timeless = |seen: &Observation| json(&Observation { at: None, ..seen.clone() });
    let at = |seen: &Observation| seen.at.as_ref().map(ToString::to_string).unwrap_or_default();
    type Name = (u8, String, String);
    type Namer<'n> = &'n dyn Fn(Option<&String>, Option<&String>, &Observation) -> Option<Name>;
    let by = |by: Option<&String>| by.cloned().unwrap_or_default();
    // From the surest to the weakest: unchanged; its own name; kind and time; all but the time.
    let rounds: [Namer<'_>; 4] = [
        &|key, author, seen| {
            Some((0, format!("{}\n{}", key.cloned().unwrap_or_default(), by(author)), json(seen)))
        },
        &|key, _, _| key.map(|key| (1, key.clone(), String::new())),
        &|key, _, seen| key.is_none().then(|| (2, seen.what.tag().to_owned(), at(seen))),
        &|key, _, seen| key.is_none().then(|| (3, String::new(), timeless(seen))),
    ];
    let mut pairs = vec![None; is.len()];
    let mut taken = vec![false; was.len()];
    for namer in rounds {
        let mut free: BTreeMap<Name, VecDeque<usize>> = BTreeMap::new();
        for (index, entry) in was.iter().enumerate().filter(|(index, _)| !taken[*index]) {
            if let Some(name) = namer(entry.key.as_ref(), entry.by.as_ref(), &entry.seen) {
                free.entry(name).or_default().push_back(index);
            }
        }
        for (pair, (event, seen)) in pairs.iter_mut().zip(is).filter(|(pair, _)| pair.is_none()) {
            let Some(name) = namer(event.key.as_ref(), event.by.as_ref(), seen) else { continue };
            if let Some(index) = free.get_mut(&name).and_then(VecDeque::pop_front) {
                *pair = Some(index);
                taken[index] = true;
            }
        }
    }
    pairs
}
