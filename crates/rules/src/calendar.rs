//! What is due, across all systems.

use crate::duty::{Duty, Status};
use crate::judge::{Due, Outcome};
use crate::{Assessment, Date};

/// One thing due, or overdue, or open as a choice.
#[derive(Clone, Debug, PartialEq)]
pub struct CalendarLine<'a> {
    /// The system's name, as given.
    pub system: String,
    /// The duty.
    pub duty: &'a Duty,
    /// The day, where the law gives one; the last day in time for what is overdue.
    pub day: Option<Date>,
    /// By when, for what is still due.
    pub due: Option<Due>,
    /// It should have been done before.
    pub overdue: bool,
    /// A choice, not a duty.
    pub choice: bool,
    /// By which reading it is known.
    pub status: Status,
    /// Firm; else to be shown as not confirmed.
    pub firm: bool,
    /// Ids of the events it rests on.
    pub evidence: Vec<String>,
}

/// Returns what is overdue and what falls due within `within` days of each assessment's date, by day, then system.
///
/// Without `within` everything; what has no day comes first, being due at once or before something.
#[must_use]
pub fn calendar<'a>(
    systems: impl IntoIterator<Item = (String, &'a Assessment<'a>)>,
    within: Option<u32>,
) -> Vec<CalendarLine<'a>> {
    let mut lines = Vec::new();
    for (system, assessment) in systems {
        let last = within.map(|days| assessment.date.days_after(days.min(100_000) as i32));
        let wanted = |day: Option<Date>| day.zip(last).is_none_or(|(day, last)| day <= last);
        for verdict in &assessment.duties {
            let (day, due, overdue) = match &verdict.outcome {
                Outcome::Due(due) => (due.day(), Some(*due), false),
                Outcome::Breached { since, until: None } => (since.map(|day| day.days_after(-1)), None, true),
                _ => continue,
            };
            if wanted(day) {
                lines.push(CalendarLine {
                    system: system.clone(),
                    duty: verdict.duty,
                    day,
                    due,
                    overdue,
                    choice: false,
                    status: verdict.status,
                    firm: verdict.is_firm(),
                    evidence: verdict.evidence.iter().map(|event| event.id.clone()).collect(),
                });
            }
        }
        for choice in assessment.choices.iter().filter(|choice| wanted(Some(choice.by))) {
            lines.push(CalendarLine {
                system: system.clone(),
                duty: choice.duty,
                day: Some(choice.by),
                due: Some(Due::On(choice.by)),
                overdue: false,
                choice: true,
                status: choice.status,
                firm: choice.status == Status::ReadInLaw,
                evidence: vec![choice.event.id.clone()],
            });
        }
    }
    lines.sort_by(|a, b| {
        (a.day, &a.system, &a.duty.id, &a.evidence).cmp(&(b.day, &b.system, &b.duty.id, &b.evidence))
    });
    lines
}
