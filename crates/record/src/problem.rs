//! What is wrong with a job file, as data; the sentences come from the wording catalogue.

use crate::known::Fault;
use crate::when::WhenFault;
use serde::Serialize;
use units::ReadError;

/// How many problems are told at once; the rest is counted.
pub const TOLD_AT_ONCE: usize = 20;
/// The largest job file that is read, in bytes.
pub const LARGEST_FILE: usize = 10 * 1024 * 1024;
/// The newest format of the job file that is read.
pub const NEWEST_FORMAT: i64 = 1;

/// One thing wrong with the file.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Problem {
    /// Line in the file, from 1.
    pub line: usize,
    /// Column in the line, in characters from 1.
    pub column: usize,
    /// The field, as a path: `system.charge`, `entry[3].suction_pressure`; entries count from 1. Empty for the file.
    pub field: String,
    /// What stands there, shortened to 80 characters. Empty where nothing stands.
    pub given: String,
    /// What is wrong.
    pub what: What,
    /// What would be sensible.
    pub sensible: Sensible,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// The file is empty, or holds nothing but blanks and comments.
    EmptyFile,
    /// The file is no text: the byte at this place belongs to none.
    NotText {
        /// Place of the byte, from 0.
        byte: usize,
    },
    /// The file is larger than what is read.
    FileTooLarge {
        /// Its size in bytes.
        bytes: usize,
        /// The limit in bytes.
        limit: usize,
    },
    /// The file is no TOML from this line on.
    Syntax(SyntaxHint),
    /// The line `gastight = 1` is missing, so this is no job file.
    NotAJobFile,
    /// The file is of a format newer than this program.
    NewerFormat {
        /// The newest format that is read.
        newest: i64,
    },
    /// A key that nobody reads.
    UnknownKey,
    /// A field that must be there is not.
    MissingField,
    /// A value of another type.
    WrongType {
        /// What stands there.
        found: Found,
    },
    /// A text that is no quantity of the kind wanted.
    Unreadable(ReadError),
    /// A word that does not stand here.
    UnknownWord,
    /// A kind of entry that nobody knows.
    UnknownKind,
    /// A quantity that no such place can have.
    OutOfRange,
    /// A range whose first value is the larger.
    RangeOrder,
    /// No moment.
    BadMoment(WhenFault),
    /// No offset from UTC.
    BadOffset,
    /// It happened before what stands above it.
    DateOrder,
    /// The end lies before the start.
    EndBeforeStart,
    /// An instrument or cylinder that the file does not list.
    UnknownName,
    /// The same name twice.
    NameTwice {
        /// The line of the first.
        first_line: usize,
    },
    /// No whole number of at least zero.
    BadCount,
    /// No amount of money with its currency.
    BadMoney,
    /// A text with nothing in it.
    Blank,
    /// The shares of a composition do not sum to 1.
    CompositionSum {
        /// What they sum to.
        sum: f64,
    },
    /// Both of two ways to say the same were used; one is wanted.
    OneOfTwo {
        /// The other key.
        other: &'static str,
    },
}

/// What most likely broke the syntax of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum SyntaxHint {
    /// A value with a unit or a word stands without quotes.
    Quotes,
    /// The same key or table stands twice.
    KeyTwice,
    /// A date or time that no calendar or clock shows, or that is not wholly written.
    Moment,
    /// A bracket, brace or quote is not closed.
    NotClosed,
    /// Something else.
    Other,
}

/// The type of a value found where another was wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Found {
    /// A text.
    Text,
    /// A number.
    Number,
    /// A yes or no.
    Truth,
    /// A date or time.
    Moment,
    /// A list in brackets.
    List,
    /// A group of keys.
    Table,
}

/// What would be sensible in the place.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sensible {
    /// Nothing that could be named.
    Nothing,
    /// Something like this.
    Example(String),
    /// A value from the first to the second.
    Between(String, String),
    /// One of these words; the first of `near` was most likely meant.
    Words {
        /// The words.
        words: Vec<String>,
        /// The nearest of them, when one is near.
        near: Option<String>,
    },
}

/// The problems of a file: the first 20, and how many there are.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Problems {
    /// The first ones, at most 20, in the order of the file.
    pub first: Vec<Problem>,
    /// How many there are in all.
    pub total: usize,
}

impl core::fmt::Display for Problems {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        for problem in &self.first {
            writeln!(f, "{}:{} {}: {:?}", problem.line, problem.column, problem.field, problem.what)?;
        }
        write!(f, "{} in all", self.total)
    }
}

impl core::error::Error for Problems {}

/// Returns the word of `words` that `given` was most likely meant to be: at most a third of its letters wrong.
#[must_use]
pub fn nearest<'a>(given: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A pasted essay is no misspelt key, and the comparison costs the product of the lengths.
    let given: Vec<char> = given.chars().take(41).flat_map(char::to_lowercase).collect();
    if given.is_empty() || given.len() > 40 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for word in words {
        let wanted: Vec<char> = word.chars().collect();
        let wrong = distance(&given, &wanted);
        if wrong * 3 <= wanted.len().max(given.len()) && best.is_none_or(|(least, _)| wrong < least) {
            best = Some((wrong, word));
        }
    }
    best.map(|(_, word)| word)
}

/// Returns how many letters must be changed, added, dropped or swapped with their neighbour.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let change = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = core::mem::replace(&mut last, row);
    }
    last[b.len()]
}

/// Returns the words with the nearest one to what was given.
pub(crate) fn words(given: &str, known: &[&'static str]) -> Sensible {
    Sensible::Words {
        words: known.iter().map(|word| (*word).to_owned()).collect(),
        near: nearest(given, known.iter().copied()).map(str::to_owned),
    }
}

/// Returns the problem that a fault in a text is, and what would be sensible; `example` is a text that reads there.
#[must_use]
pub fn of_fault(fault: Fault, given: &str, example: &str) -> (What, Sensible) {
    let like = || Sensible::Example(example.to_owned());
    match fault {
        Fault::Unreadable(error) => {
            let example = error.kind.example().to_owned();
            (What::Unreadable(error), Sensible::Example(example))
        }
        Fault::Outside { from, to } => (What::OutOfRange, Sensible::Between(from.to_owned(), to.to_owned())),
        Fault::Word { known } => (What::UnknownWord, words(given, known)),
        Fault::When(WhenFault::OffsetMissing) => {
            (What::BadMoment(WhenFault::OffsetMissing), Sensible::Example("offset = \"+01:00\"".to_owned()))
        }
        Fault::When(WhenFault::DateMissing) => {
            (What::BadMoment(WhenFault::DateMissing), Sensible::Example("date = 2031-05-06".to_owned()))
        }
        Fault::When(fault) => (What::BadMoment(fault), like()),
        Fault::Count => (What::BadCount, like()),
        Fault::Money => (What::BadMoney, like()),
        Fault::Blank => (What::Blank, like()),
        Fault::RangeOrder => (What::RangeOrder, like()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_key_is_the_one_with_a_slip() {
        let keys = ["suction_pressure", "discharge_pressure", "suction_line"];
        assert_eq!(nearest("suction_presure", keys), Some("suction_pressure"));
        assert_eq!(nearest("Suction_Pressure", keys), Some("suction_pressure"));
        assert_eq!(nearest("suction_pressrue", keys), Some("suction_pressure"));
        assert_eq!(nearest("weather", keys), None);
        assert_eq!(nearest(&"x".repeat(100_000), keys), None);
        assert_eq!(nearest("", keys), None);
    }
}
