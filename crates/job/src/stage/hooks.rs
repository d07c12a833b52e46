//! What other parts of the house put into a stage.

use super::Ground;
use report::{Message, Section, VerdictMark};

/// What the law says of adding refrigerant now.
#[derive(Clone, Debug, PartialEq)]
pub struct LawLine {
    /// The answer in a sentence.
    pub sentence: Message,
    /// Its mark.
    pub mark: VerdictMark,
    /// Why, in a line or two.
    pub why: Option<Message>,
    /// The duties behind it.
    pub section: Option<Section>,
}

/// Where to look for the leak next.
#[derive(Clone, Debug, PartialEq)]
pub struct NextCheck {
    /// What to do, in a sentence.
    pub sentence: Message,
    /// Why there, in a line or two.
    pub why: Option<Message>,
    /// What to enter for it.
    pub offer: super::Offer,
    /// The chances and the order of the rest.
    pub section: Option<Section>,
    /// The keys of [`super::circuit::Block`] with the chance of each, in percent.
    pub chances: Vec<(&'static str, f64)>,
}

/// Returns what the law says of adding refrigerant now; nothing where nobody asked it.
pub fn law(_: &Ground<'_>) -> Option<LawLine> {
    None
}

/// Returns where to look next; nothing where it was not computed.
pub fn next_check(_: &Ground<'_>) -> Option<NextCheck> {
    None
}
