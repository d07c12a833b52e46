//! What other parts of the house put into a stage.

use super::Ground;
use crate::law::Line;
use report::{Message, Section};

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

/// Returns what the law says of adding refrigerant on the day of the visit, else today.
pub fn law(ground: &Ground<'_>) -> Option<Line> {
    let day = ground.visit.day().or_else(|| ground.now.local_day())?;
    Some(crate::law::charging(ground.visit, day))
}

/// Returns what must be written and what is due, on the day of the visit, else today.
pub fn closing(ground: &Ground<'_>) -> Vec<Section> {
    let day = ground.visit.day().or_else(|| ground.now.local_day());
    day.map_or_else(Vec::new, |day| crate::law::closing(ground.visit, day, ground.writer))
}

/// Returns where to look next; nothing once a leak was found.
pub fn next_check(ground: &Ground<'_>) -> Option<NextCheck> {
    crate::search::next(ground.visit, ground.writer)
}
