//! Sentences by id, and the text a person typed.

/// A sentence by id, with its arguments; a catalogue turns it into words.
///
/// Made only by [`Message::new`] with a string literal, and [`Message::with`] chained to it: the test that compares
/// code and catalogue reads exactly that form.
///
/// ```
/// use report::Message;
/// let order = Message::new("weigh-in").with("mass", "0.55 kg").with("count", 2);
/// assert_eq!(order.args.len(), 2);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Message {
    /// The id in the catalogue.
    pub id: &'static str,
    /// The arguments by name.
    pub args: Vec<(&'static str, Arg)>,
}

impl Message {
    /// Returns the message `id` without arguments.
    #[must_use]
    pub const fn new(id: &'static str) -> Message {
        Message { id, args: Vec::new() }
    }

    /// Returns the message with one more argument.
    #[must_use]
    pub fn with(mut self, name: &'static str, arg: impl Into<Arg>) -> Message {
        self.args.push((name, arg.into()));
        self
    }
}

/// An argument of a message. Numbers with units arrive already written, as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Arg {
    /// Text as it is: a value with its unit, a date, a name somebody typed.
    Text(String),
    /// A count, by which a language chooses its plural.
    Count(i64),
    /// Another sentence or word of the catalogue.
    Message(Message),
}

impl From<String> for Arg {
    fn from(text: String) -> Arg {
        Arg::Text(text)
    }
}

impl From<&str> for Arg {
    fn from(text: &str) -> Arg {
        Arg::Text(text.to_owned())
    }
}

impl From<&String> for Arg {
    fn from(text: &String) -> Arg {
        Arg::Text(text.clone())
    }
}

impl From<units::write::Written> for Arg {
    fn from(written: units::write::Written) -> Arg {
        Arg::Text(written.to_string())
    }
}

impl From<i64> for Arg {
    fn from(count: i64) -> Arg {
        Arg::Count(count)
    }
}

impl From<i32> for Arg {
    fn from(count: i32) -> Arg {
        Arg::Count(i64::from(count))
    }
}

impl From<u32> for Arg {
    fn from(count: u32) -> Arg {
        Arg::Count(i64::from(count))
    }
}

impl From<usize> for Arg {
    fn from(count: usize) -> Arg {
        Arg::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

impl From<Message> for Arg {
    fn from(message: Message) -> Arg {
        Arg::Message(message)
    }
}

impl From<Text> for Arg {
    fn from(text: Text) -> Arg {
        match text {
            Text::Message(message) => Arg::Message(message),
            Text::Verbatim(typed) => Arg::Text(typed),
        }
    }
}

/// A text of a document: a sentence of the catalogue, or what stands for itself in every language.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Text {
    /// A sentence of the catalogue.
    Message(Message),
    /// What a person typed, a name, a date, a value: shown as it is, escaped.
    Verbatim(String),
}

impl Text {
    /// Returns a text that stands for itself.
    #[must_use]
    pub fn verbatim(typed: impl Into<String>) -> Text {
        Text::Verbatim(typed.into())
    }

    /// Returns the words, without characters that would act instead of being shown, and with spaces that do not
    /// break between a number and its unit.
    #[must_use]
    pub fn said(&self, say: &dyn Fn(&Message) -> String) -> String {
        match self {
            Text::Message(message) => tied(&shown(&say(message))),
            Text::Verbatim(typed) => tied(&shown(typed)),
        }
    }
}

impl From<Message> for Text {
    fn from(message: Message) -> Text {
        Text::Message(message)
    }
}

/// Returns the text with line ends, tabs and runs of spaces as one space, and without control characters (a terminal
/// would obey them, XML forbids them) and without the characters that turn the direction of writing.
pub(crate) fn shown(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\r' | '\t' | ' ' => {
                if !out.is_empty() && !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            c if c.is_control() => {}
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' => {}
            '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out.truncate(out.trim_end_matches(' ').len());
    out
}

/// The units that stay with the number before them.
const UNITS: &[&str] = &[
    "K", "°C", "°F", "bar", "kPa", "MPa", "Pa", "psi", "psig", "psia", "inHg", "micron", "kg", "g", "lb",
    "oz", "%", "h", "min", "s", "m", "mm", "ft", "L", "W", "kW", "kJ/kg", "kg/yr", "g/yr", "t",
];

/// Returns the text with spaces that do not break between a number and its unit, and around ±.
fn tied(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = "";
    for word in text.split(' ') {
        let bare = word.trim_end_matches(['.', ',', ';', ':', ')']);
        let number = before.ends_with(|c: char| c.is_ascii_digit());
        if !out.is_empty() {
            let tie = before == "±" || (number && (word == "±" || UNITS.contains(&bare)));
            out.push(if tie { '\u{a0}' } else { ' ' });
        }
        out.push_str(word);
        before = word;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_would_act_is_not_shown() {
        assert_eq!(shown("a\x1b[31mb\u{0}\u{202e}c\r\n  d  "), "a[31mbc d");
        assert_eq!(shown(" roses,\u{a0}2\u{a0}°C "), "roses,\u{a0}2\u{a0}°C");
        assert_eq!(shown("\n\t"), "");
    }

    #[test]
    fn a_number_keeps_its_unit() {
        assert_eq!(
            tied("wait 2 h 28 min, then 6.7 ± 0.9 K."),
            "wait 2\u{a0}h 28\u{a0}min, then 6.7\u{a0}±\u{a0}0.9\u{a0}K."
        );
        assert_eq!(tied("Room 7 in the shop"), "Room 7 in the shop");
    }

    #[test]
    fn a_text_becomes_an_argument() {
        assert_eq!(Arg::from(Text::verbatim("Room 7")), Arg::Text("Room 7".to_owned()));
    }
}
