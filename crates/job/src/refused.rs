//! What a question is refused for: one clear sentence, the value seen, and what would be sensible.

use report::Message;
use units::{Kind, ReadError, ReadFault};

/// A question that cannot be answered as asked, and why; on the heap, since most questions are answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused(Box<Reason>);

impl core::ops::Deref for Refused {
    type Target = Reason;
    fn deref(&self) -> &Reason {
        &self.0
    }
}

impl core::ops::DerefMut for Refused {
    fn deref_mut(&mut self) -> &mut Reason {
        &mut self.0
    }
}

/// Why a question is refused.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// A stable word for programs.
    pub code: &'static str,
    /// The input it concerns, as the shell names it.
    pub field: String,
    /// What was seen.
    pub given: String,
    /// What would be sensible there.
    pub sensible: String,
    /// The sentence.
    pub message: Message,
    /// Where there is more than one thing wrong: each, for programs.
    pub details: Vec<serde_json::Value>,
    /// How many things are wrong in all, where that was counted.
    pub total: Option<usize>,
}

impl Refused {
    /// Returns a refusal of `given` in `field`.
    #[must_use]
    pub fn new(
        code: &'static str,
        field: impl Into<String>,
        given: impl Into<String>,
        sensible: impl Into<String>,
        message: Message,
    ) -> Self {
        let (field, given, sensible) = (field.into(), given.into(), sensible.into());
        let message = message
            .with("field", field.as_str())
            .with("given", given.as_str())
            .with("sensible", sensible.as_str());
        Self(Box::new(Reason { code, field, given, sensible, message, details: Vec::new(), total: None }))
    }

    /// Returns the refusal of a text that could not be read as a quantity.
    #[must_use]
    pub fn unreadable(field: impl Into<String>, error: &ReadError) -> Self {
        let (code, message) = match error.fault {
            ReadFault::Empty => ("empty", Message::new("refused-empty")),
            ReadFault::NoNumber => ("no_number", Message::new("refused-no-number")),
            ReadFault::AmbiguousComma => ("ambiguous_comma", Message::new("refused-ambiguous-comma")),
            ReadFault::MissingUnit => ("missing_unit", Message::new("refused-missing-unit")),
            ReadFault::UnknownUnit => ("unknown_unit", Message::new("refused-unknown-unit")),
            ReadFault::GaugeOrAbsolute => ("gauge_or_absolute", Message::new("refused-gauge-or-absolute")),
            ReadFault::AmbiguousUnit => ("ambiguous_unit", Message::new("refused-ambiguous-unit")),
            ReadFault::BelowZero => ("below_zero", Message::new("refused-below-zero")),
            ReadFault::BeyondVacuum => ("beyond_vacuum", Message::new("refused-beyond-vacuum")),
            ReadFault::DivisionByZero => ("division_by_zero", Message::new("refused-division-by-zero")),
            ReadFault::TooLarge => ("too_large", Message::new("refused-too-large")),
        };
        Self::new(code, field, error.given.as_str(), sensible_for(error), message)
    }
}

/// Returns what could have been meant: both readings of a comma, both bases of a pressure, else an example.
fn sensible_for(error: &ReadError) -> String {
    let given = error.given.trim();
    match error.fault {
        ReadFault::AmbiguousComma => format!("{} / {}", given.replace(',', "."), given.replace(',', "")),
        ReadFault::GaugeOrAbsolute => match given.to_lowercase().trim_end().strip_suffix("psi") {
            Some(number) => format!("{0} psig / {0} psia", number.trim()),
            None => format!("{given} gauge / {given} abs"),
        },
        ReadFault::BeyondVacuum => "12 inHg / 12 inHg abs / -5 psig".to_owned(),
        ReadFault::MissingUnit if error.kind == Kind::Pressure => format!("{given} psig / {given} kPa abs"),
        ReadFault::MissingUnit if error.kind == Kind::Temperature => format!("{given} F / {given} C"),
        _ => error.kind.example().to_owned(),
    }
}
