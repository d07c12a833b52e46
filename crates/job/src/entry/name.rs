//! The name of an entry, by which a person knows it again: `Suction pressure 62.5 psig, 11:20`.

use super::labels;
use record::{Body, Entry, Observation, texts_of};
use report::{Message, Text};

/// Returns the name of an entry, with its time where it has one.
#[must_use]
pub fn entry_name(entry: &Entry) -> Message {
    name(&entry.seen)
}

/// Returns the name of what was seen or done, with its time where it has one.
#[must_use]
pub fn name(seen: &Observation) -> Message {
    let what = what(seen);
    match seen.at.as_ref().filter(|at| !at.is_day()).map(ToString::to_string) {
        Some(at) => {
            let time = at.get(11..16).unwrap_or_default();
            Message::new("entry-name-at").with("what", what).with("time", time)
        }
        None => what,
    }
}

/// The field that says most of an entry of its kind, where it is not the first that stands there.
fn lead(body: &Body) -> &'static [&'static str] {
    match body {
        Body::LeakCheck(_) => &["result"],
        Body::DetectorCheck(_) => &["result"],
        Body::ToolCheck(_) => &["tool"],
        Body::Stock(_) => &["what"],
        Body::PastChange(_) => &["amount", "until"],
        Body::Hold(_) => &["start.pressure"],
        Body::Rise(_) => &["points[1][2]"],
        Body::OpeningPlan(_) => &["section", "bore"],
        Body::Recovery(_) => &["section", "machine"],
        Body::Evacuation(_) => &["section", "pump"],
        Body::Weighing(_) => &["cylinder"],
        Body::Picture(_) => &["shows", "file"],
        Body::Reading(_) => READING_LEADS,
        _ => &[],
    }
}

/// Of readings the pressures lead, then the lines, then the air.
const READING_LEADS: &[&str] = &[
    "suction_pressure",
    "evaporator_pressure",
    "discharge_pressure",
    "liquid_pressure",
    "suction_line",
    "evaporator_line",
    "liquid_line",
    "discharge_line",
    "box_air",
    "ambient",
];

fn what(seen: &Observation) -> Message {
    let Some(filled) = texts_of(seen) else {
        return Message::new("entry-name-unknown").with("kind", seen.what.tag());
    };
    let kind = labels::kind(&filled.kind);
    // A picture of which nothing is said would go by the hash that names its file.
    if matches!(&seen.what, record::Body::Picture(picture) if picture.shows.is_none() && picture.sha256.is_some())
    {
        return match &seen.place {
            Some(place) => Message::new("entry-name-place").with("kind", kind).with("place", place.as_str()),
            None => Message::new("entry-name-kind").with("kind", kind),
        };
    }
    let text_at = |path: &str| filled.fields.iter().find(|(at, _)| at == path);
    let led = lead(&seen.what).iter().find_map(|path| text_at(path));
    // Beside a value stand its instrument and its tap: they are no values of their own.
    let plain = |path: &str| !["with", "tap", "told_by"].iter().any(|end| path.ends_with(&format!(".{end}")));
    let Some((path, text)) = led.or_else(|| filled.fields.iter().find(|(path, _)| plain(path))) else {
        return match &seen.place {
            Some(place) => Message::new("entry-name-place").with("kind", kind).with("place", place.as_str()),
            None => Message::new("entry-name-kind").with("kind", kind),
        };
    };
    let said: Text = if seen.what.form_name().is_some_and(|kind| is_word(kind, path)) {
        labels::word(text)
    } else {
        Text::verbatim(shortened(text))
    };
    let key = path.split(['.', '[']).next().unwrap_or_default();
    let fields = filled.fields.iter().filter(|(path, _)| plain(path)).count();
    match &seen.what {
        // A reading or a fact is known by its field; what else was read with it is counted.
        Body::Reading(_) if fields > 1 => Message::new("entry-name-more")
            .with("field", labels::field(&filled.kind, key))
            .with("value", said)
            .with("count", fields - 1),
        Body::Reading(_) | Body::Site(_) | Body::Customer(_) | Body::Visit(_) | Body::System(_) => {
            Message::new("entry-name-field")
                .with("field", labels::field(&filled.kind, key))
                .with("value", said)
        }
        Body::LeakCheck(_) if seen.place.is_some() => Message::new("entry-name-check")
            .with("kind", kind)
            .with("place", seen.place.clone().unwrap_or_default())
            .with("value", said),
        _ => Message::new("entry-name-value").with("kind", kind).with("value", said),
    }
}

/// Returns the beginning of a long text, ended at a word, with the sign that something was left out.
fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    let Some((end, _)) = text.char_indices().nth(MOST) else { return text.to_owned() };
    let begun = &text[..end];
    let whole = begun.rfind(' ').map_or(begun, |space| &begun[..space]);
    format!("{} …", whole.trim_end_matches([',', ';', ':']))
}

fn is_word(kind: &str, path: &str) -> bool {
    let form = record::form::form(kind);
    form.as_ref()
        .and_then(|form| form.at(path))
        .is_some_and(|field| matches!(field.takes, record::form::Takes::Words(_)))
}

#[cfg(test)]
mod tests {
    use super::shortened;

    #[test]
    fn a_long_text_ends_at_a_word_and_says_so() {
        assert_eq!(shortened("mend it today"), "mend it today");
        let long = "come back for the insulation and a look at the receiver in thirty days";
        assert_eq!(shortened(long), "come back for the insulation and a look at the receiver in …");
        assert_eq!(shortened(&"é".repeat(70)), format!("{} …", "é".repeat(60)));
    }
}
