//! Pictures taken now and read later.

use crate::visit::Visit;
use record::{Body, Entry, Observation, Picture, YesNo};
use report::Message;
use uuid::Uuid;

/// Returns what a picture most often shows, for one touch.
#[must_use]
pub fn subjects() -> [Message; 5] {
    [
        Message::new("entry-picture-gauge"),
        Message::new("entry-picture-scale"),
        Message::new("entry-picture-nameplate"),
        Message::new("entry-picture-board"),
        Message::new("entry-picture-setting"),
    ]
}

/// A picture whose number is not typed up yet.
#[derive(Clone, Copy, Debug)]
pub struct Unread<'a> {
    /// The job whose record holds it: typing it up corrects the entry there.
    pub job: Option<Uuid>,
    /// The entry.
    pub entry: &'a Entry,
    /// The picture.
    pub picture: &'a Picture,
}

/// Returns the pictures of this visit and the earlier ones that nobody has read yet, the oldest first.
#[must_use]
pub fn unread(visit: &Visit) -> Vec<Unread<'_>> {
    visit.earlier.iter().flat_map(unread_of).chain(unread_of(visit)).collect()
}

/// The unread pictures of one visit alone.
pub(crate) fn unread_of(visit: &Visit) -> impl Iterator<Item = Unread<'_>> {
    let pictures = visit.entries(|body| match body {
        Body::Picture(picture) => Some(picture),
        _ => None,
    });
    let job = visit.job;
    pictures.filter(|(_, picture)| picture.read == Some(YesNo::No)).map(move |(entry, picture)| Unread {
        job,
        entry,
        picture,
    })
}

/// Returns what a person calls a picture: what it shows; one taken in passing goes by when it was taken, never by the
/// hash that names its file.
#[must_use]
pub fn called(entry: &Entry, picture: &Picture) -> String {
    let named_by_hash = picture.sha256.as_ref().is_some_and(|hash| picture.file.starts_with(hash.as_str()));
    let taken = || crate::visit::document::words::when(entry).filter(|_| named_by_hash);
    picture.shows.clone().or_else(taken).unwrap_or_else(|| picture.file.clone())
}

/// Returns what the entry of a picture says once its number was typed into these events: a correction of the event it
/// stands by. What it was typed into before stays; nothing for an entry that is no picture.
#[must_use]
pub fn typed_up(entry: &Entry, into: &[Uuid]) -> Option<Observation> {
    let Body::Picture(picture) = entry.what() else { return None };
    let mut picture = picture.clone();
    picture.read = Some(YesNo::Yes);
    for id in into.iter().map(ToString::to_string) {
        if !picture.typed_into.contains(&id) {
            picture.typed_into.push(id);
        }
    }
    Some(Observation { what: Body::Picture(picture), ..entry.seen.clone() })
}

/// Returns the pictures that the number of an entry was read from, the oldest first.
pub fn read_from(visit: &Visit, of: Uuid) -> impl Iterator<Item = &Picture> {
    let id = of.to_string();
    let pictures = visit.entries_of_all(|body| match body {
        Body::Picture(picture) => Some(picture),
        _ => None,
    });
    pictures.filter(move |(_, _, picture)| picture.typed_into.contains(&id)).map(|(_, _, picture)| picture)
}
