//! Why a log cannot be watched.

use report::Message;

/// A fault that stops the whole: the input it concerns, what was seen, what would be sensible, and the sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// A stable word for programs.
    pub code: &'static str,
    /// The input it concerns.
    pub field: &'static str,
    /// What was seen.
    pub given: String,
    /// What would be sensible.
    pub sensible: String,
    /// The sentence.
    pub message: Message,
}

impl Fault {
    /// Returns a fault.
    #[must_use]
    pub fn new(
        code: &'static str,
        field: &'static str,
        given: impl Into<String>,
        sensible: impl Into<String>,
        message: Message,
    ) -> Self {
        Self { code, field, given: given.into(), sensible: sensible.into(), message }
    }

    /// Returns the fault of a file that cannot be read or written.
    #[must_use]
    pub fn file(field: &'static str, path: &std::path::Path, why: impl core::fmt::Display) -> Self {
        let shown = path.to_string_lossy().into_owned();
        let message = Message::new("watch-file").with("file", shown.as_str()).with("why", why.to_string());
        Self::new("file", field, shown, "", message)
    }

    /// Returns the fault of the engine that carries out the plan.
    #[must_use]
    pub fn engine(why: impl core::fmt::Display) -> Self {
        let why = why.to_string();
        Self::new("engine", "--input", "", "", Message::new("watch-engine").with("why", why))
    }
}
