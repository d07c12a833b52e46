//! What is wrong with a job file, in sentences.

use record::{Found, Problem, Sensible, SyntaxHint, What, WhenFault};
use report::Message;

/// Returns the sentence for a problem: what is wrong, the value seen, what would be sensible.
#[must_use]
pub fn sentence(problem: &Problem) -> Message {
    let what = match &problem.what {
        What::EmptyFile => Message::new("problem-empty"),
        What::NotText { byte } => Message::new("problem-not-text").with("byte", *byte),
        What::FileTooLarge { bytes, limit } => {
            Message::new("problem-too-large").with("size", megabytes(*bytes)).with("limit", megabytes(*limit))
        }
        What::Syntax(hint) => match hint {
            SyntaxHint::Quotes => Message::new("problem-quotes"),
            SyntaxHint::KeyTwice => Message::new("problem-key-twice"),
            SyntaxHint::NotClosed => Message::new("problem-not-closed"),
            SyntaxHint::Moment => Message::new("problem-syntax-moment"),
            SyntaxHint::Other => Message::new("problem-syntax"),
        },
        What::NotAJobFile => Message::new("problem-not-a-job"),
        What::NewerFormat { newest } => Message::new("problem-newer").with("newest", *newest),
        What::UnknownKey => Message::new("problem-unknown-key"),
        What::MissingField => Message::new("problem-missing"),
        What::WrongType { found } => Message::new("problem-type").with(
            "found",
            match found {
                Found::Text => Message::new("problem-found-text"),
                Found::Number => Message::new("problem-found-number"),
                Found::Truth => Message::new("problem-found-truth"),
                Found::Moment => Message::new("problem-found-moment"),
                Found::List => Message::new("problem-found-list"),
                Found::Table => Message::new("problem-found-table"),
            },
        ),
        What::Unreadable(error) => {
            // The reader's own sentence, with the field in front of it already.
            return crate::Refused::unreadable(problem.field.as_str(), error).message.clone();
        }
        What::UnknownWord => Message::new("problem-word"),
        What::UnknownKind => Message::new("problem-kind"),
        What::OutOfRange => Message::new("problem-range"),
        What::RangeOrder => Message::new("problem-range-order"),
        What::BadMoment(fault) => match fault {
            WhenFault::Unreadable => Message::new("problem-moment"),
            WhenFault::NoSuchMoment => Message::new("problem-no-such-moment"),
            WhenFault::YearOutside => Message::new("problem-year"),
            WhenFault::OffsetMissing => Message::new("problem-offset-missing"),
            WhenFault::DateMissing => Message::new("problem-date-missing"),
        },
        What::BadOffset => Message::new("problem-offset"),
        What::DateOrder => Message::new("problem-order"),
        What::EndBeforeStart => Message::new("problem-end"),
        What::UnknownName => Message::new("problem-name"),
        What::NameTwice { first_line } => Message::new("problem-name-twice").with("line", *first_line),
        What::BadCount => Message::new("problem-count"),
        What::BadMoney => Message::new("problem-money"),
        What::Blank => Message::new("problem-blank"),
        What::CompositionSum { sum } => Message::new("problem-sum").with("sum", format!("{sum:.6}")),
        What::OneOfTwo { other } => Message::new("problem-one-of-two").with("other", *other),
    };
    let sensible = sensible(&problem.sensible);
    what.with("field", problem.field.as_str())
        .with("given", problem.given.as_str())
        .with("sensible", sensible)
}

/// Returns what would be sensible, as text.
#[must_use]
pub fn sensible(sensible: &Sensible) -> String {
    match sensible {
        Sensible::Nothing => String::new(),
        Sensible::Example(example) => example.clone(),
        Sensible::Between(from, to) => format!("{from} … {to}"),
        Sensible::Words { near: Some(near), .. } => near.clone(),
        Sensible::Words { words, near: None } => words.join(", "),
    }
}

fn megabytes(bytes: usize) -> String {
    format!("{:.1} MB", bytes as f64 / (1024.0 * 1024.0))
}

/// Returns a stable word for the kind of problem, for programs.
#[must_use]
pub fn code(what: &What) -> &'static str {
    match what {
        What::EmptyFile => "empty_file",
        What::NotText { .. } => "not_text",
        What::FileTooLarge { .. } => "file_too_large",
        What::Syntax(_) => "syntax",
        What::NotAJobFile => "not_a_job_file",
        What::NewerFormat { .. } => "newer_format",
        What::UnknownKey => "unknown_key",
        What::MissingField => "missing_field",
        What::WrongType { .. } => "wrong_type",
        What::Unreadable(_) => "unreadable",
        What::UnknownWord => "unknown_word",
        What::UnknownKind => "unknown_kind",
        What::OutOfRange => "out_of_range",
        What::RangeOrder => "range_order",
        What::BadMoment(_) => "bad_moment",
        What::BadOffset => "bad_offset",
        What::DateOrder => "date_order",
        What::EndBeforeStart => "end_before_start",
        What::UnknownName => "unknown_name",
        What::NameTwice { .. } => "name_twice",
        What::BadCount => "bad_count",
        What::BadMoney => "bad_money",
        What::Blank => "blank",
        What::CompositionSum { .. } => "composition_sum",
        What::OneOfTwo { .. } => "one_of_two",
    }
}
