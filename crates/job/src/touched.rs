//! What was touched at a place, and how it stands: the short list that somebody goes through before leaving it.

use crate::place::{self, same};
use crate::visit::Visit;
use record::{Body, Entry, Known, YesNo};
use report::{Message, Text};
use uuid::Uuid;

/// Something that was touched.
#[derive(Clone, Debug, PartialEq)]
pub struct Touched {
    /// What: a cover, a valve, a jumper in the words used, a setting, a cylinder, a picture, an instrument.
    pub what: Text,
    /// How it stands.
    pub stands: Message,
    /// Whether something is still to be done there.
    pub open: bool,
    /// The entry that touched it last.
    pub entry: Uuid,
}

/// Returns what was touched at the place named `name`, in the order in which it was, each once: what is open first.
#[must_use]
pub fn at(visit: &Visit, name: &str) -> Vec<Touched> {
    let here: Vec<&Entry> = place::made_at(visit, name);
    let still_open: Vec<Uuid> = place::open(visit).iter().map(|entry| entry.id).collect();
    let shut = place::left_shut(visit);
    let mut out: Vec<(String, Touched)> = Vec::new();
    let mut put = |key: String, touched: Touched| match out.iter_mut().find(|(known, _)| *known == key) {
        Some((_, known)) => *known = touched,
        None => out.push((key, touched)),
    };
    for entry in here {
        let words = |text: &str| Text::verbatim(text);
        let (key, what, stands, open) = match entry.what() {
            Body::Opened(opened) => {
                let open = still_open.contains(&entry.id);
                let stands =
                    if open { Message::new("touched-open") } else { Message::new("touched-closed-again") };
                (format!("part {}", opened.what.to_lowercase()), words(&opened.what), stands, open)
            }
            Body::Closed(closed) => {
                // What was opened before stands in the list already; what nobody opened was shut.
                if !shut.iter().any(|other| same(other, &closed.what)) {
                    continue;
                }
                let key = format!("part {}", closed.what.to_lowercase());
                (key, words(&closed.what), Message::new("touched-shut"), false)
            }
            Body::Setting(setting) => {
                let label = crate::entry::labels::word(setting.what.word());
                let spot = entry.seen.place.clone().unwrap_or_default();
                let key = format!("setting {} {}", setting.what.word(), spot.to_lowercase());
                let text = |value: &Option<Known<record::SettingValue>>| value.as_ref().map(Known::text);
                let (stands, open) = match (text(&setting.found), text(&setting.left)) {
                    (Some(found), Some(left)) if found == left => {
                        (Message::new("touched-left-as-found").with("left", left), false)
                    }
                    (Some(found), Some(left)) => {
                        (Message::new("touched-changed").with("found", found).with("left", left), false)
                    }
                    (None, Some(left)) => (Message::new("touched-left").with("left", left), false),
                    (Some(found), None) => (Message::new("touched-found-only").with("found", found), true),
                    (None, None) => continue,
                };
                let label = match &entry.seen.place {
                    Some(spot) if !same(spot, name) => {
                        Message::new("sheet-at").with("what", label).with("place", spot.as_str()).into()
                    }
                    _ => label,
                };
                (key, label, stands, open)
            }
            Body::Weighing(weighing) => {
                let before = weighing.before.value.text.as_str();
                let (stands, open) = match &weighing.after {
                    Some(after) => {
                        let after = after.value.text.as_str();
                        (Message::new("touched-weighed").with("before", before).with("after", after), false)
                    }
                    None => (Message::new("touched-weigh-after").with("before", before), true),
                };
                let key = format!("cylinder {}", weighing.cylinder.to_lowercase());
                (
                    key,
                    Message::new("touched-cylinder").with("name", weighing.cylinder.as_str()).into(),
                    stands,
                    open,
                )
            }
            Body::Picture(picture) => {
                let open = picture.read == Some(YesNo::No);
                let stands =
                    if open { Message::new("touched-unread") } else { Message::new("touched-taken") };
                let called = crate::entry::pictures::called(entry, picture);
                (
                    format!("picture {}", entry.id),
                    Message::new("touched-picture").with("name", called).into(),
                    stands,
                    open,
                )
            }
            _ => continue,
        };
        put(key, Touched { what, stands, open, entry: entry.id });
    }
    // Instruments come down again with who took them up.
    for entry in place::made_at(visit, name) {
        for instrument in instruments(entry) {
            let stands = Message::new("touched-take-along");
            let what = Text::verbatim(instrument.as_str());
            put(
                format!("instrument {}", instrument.to_lowercase()),
                Touched { what, stands, open: false, entry: entry.id },
            );
        }
    }
    let mut out: Vec<Touched> = out.into_iter().map(|(_, touched)| touched).collect();
    units::sort_small(&mut out, |a, b| b.open.cmp(&a.open));
    out
}

/// The instruments that an entry was read with, by name.
fn instruments(entry: &Entry) -> Vec<String> {
    if !matches!(entry.what(), Body::Reading(_) | Body::LeakCheck(_) | Body::Hold(_)) {
        return Vec::new();
    }
    let mut out: Vec<String> = entry.seen.with.clone();
    let fields = record::texts_of(&entry.seen).map(|filled| filled.fields).unwrap_or_default();
    for (_, name) in fields.into_iter().filter(|(path, _)| path.ends_with(".with")) {
        if !out.iter().any(|known| same(known, &name)) {
            out.push(name);
        }
    }
    out
}
