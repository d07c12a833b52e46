//! What the law asks of this system, on this date: from the record of its visits to an answer a person can read.
//!
//! [`facts`] reads the record, [`Law::of`] asks the book, and the rest shows the answer: one line for the screens
//! ([`Law::line`]), sections for a report, a notice to hang on the equipment, and data for programs.
//!
//! A verdict is shown as firm only where the law's own text was read and what it rests on was seen, not told. Never legal
//! advice.

mod across;
mod data;
mod document;
mod facts;
mod figures;
pub mod jurisdiction;
mod notice;
mod systems;
mod words;
mod written;

pub use across::{calendar_entry, calendar_table, of_the_calendar};
pub use data::{calendar_data, data};
pub use facts::{LawFacts, Named, facts};
pub(crate) use systems::grouped;
pub use systems::{System, due, laws, systems};
pub use written::{Written, written};

pub use rules::{Book, CalendarLine, Date, DutyFault};

use crate::visit::Visit;
use report::{Block, Message, Section, VerdictMark};
use rules::{Answer, Assessment, Charging, Status, Verdict, WhyUnknown, assess};
use units::Writer;

/// What the law asks of one system on one day.
pub struct Law<'a> {
    /// What the record says.
    pub read: &'a LawFacts,
    /// What the book answers.
    pub assessment: Assessment<'a>,
    book: &'a Book,
    within: Option<u32>,
}

/// The answer in one line, with what stands behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The answer in a sentence.
    pub sentence: Message,
    /// Its mark.
    pub mark: VerdictMark,
    /// Why, in a line or two.
    pub why: Option<Message>,
    /// The duties behind it.
    pub section: Option<Section>,
}

impl<'a> Law<'a> {
    /// Returns what `book` asks of these facts on this day.
    #[must_use]
    pub fn of(book: &'a Book, read: &'a LawFacts, date: Date) -> Self {
        Self { read, assessment: assess(book, &read.facts, date), book, within: None }
    }

    /// Returns the same with only what is overdue or falls due within so many days shown as due.
    #[must_use]
    pub const fn within(mut self, days: Option<u32>) -> Self {
        self.within = days;
        self
    }

    /// Returns whether a verdict is firm: the law's text was read, and no event it rests on is hearsay.
    #[must_use]
    pub fn is_firm(&self, verdict: &Verdict<'_>) -> bool {
        verdict.is_firm() && !verdict.evidence.iter().any(|event| self.read.doubtful.contains(&event.id))
    }

    /// Returns the answer to "may I add refrigerant now?" in a sentence.
    #[must_use]
    pub fn answer(&self) -> Message {
        let charging = &self.assessment.charging;
        match charging.answer {
            Answer::Yes => Message::new("law-answer-yes"),
            Answer::YesWithDuties => Message::new("law-answer-yes-with-duties"),
            Answer::NoUntil => match words::listed(charging.until.iter().map(|c| words::condition(*c))) {
                Some(until) => Message::new("law-answer-no-until").with("until", until),
                None => Message::new("law-answer-no"),
            },
            Answer::EmergencyOnly => Message::new("law-answer-emergency-only"),
            Answer::Unknown => self.unknown(charging),
        }
    }

    /// A ban that is not confirmed is acted upon in one line, whatever else is wanting.
    fn unknown(&self, charging: &Charging<'_>) -> Message {
        if let Some(ban) = charging.act_as_if.first() {
            return words::act_as_if(ban.wording);
        }
        match charging.why {
            Some(WhyUnknown::NoBanFound) => Message::new("law-answer-no-ban-found"),
            Some(WhyUnknown::NotRead) if self.assessment.not_read.is_empty() => {
                Message::new("law-answer-nothing-speaks")
            }
            Some(WhyUnknown::NotRead) => Message::new("law-answer-not-read"),
            Some(WhyUnknown::FactsMissing | WhyUnknown::NotConfirmed) | None => {
                match words::listed(charging.missing.iter().take(3).map(|fact| words::missing(*fact))) {
                    Some(facts) => Message::new("law-answer-missing").with("facts", facts),
                    None => Message::new("law-answer-unknown"),
                }
            }
        }
    }

    /// Returns why the answer is what it is: the sections it rests on, or what to read.
    #[must_use]
    pub fn why(&self) -> Option<Message> {
        let charging = &self.assessment.charging;
        if charging.answer == Answer::Unknown
            && let Some(ban) = charging.act_as_if.first()
        {
            return Some(words::to_read(ban));
        }
        if let Some(first) = self.read.place_wants() {
            return Some(first);
        }
        let places: Vec<String> = charging
            .because
            .iter()
            .filter_map(|id| self.book.duty(id))
            .map(|duty| format!("{}, {}", duty.instrument, duty.section))
            .take(3)
            .collect();
        (!places.is_empty()).then(|| Message::new("law-because").with("sections", places.join("; ")))
    }

    /// Returns the mark of the answer.
    #[must_use]
    pub const fn mark(&self) -> VerdictMark {
        match self.assessment.charging.answer {
            Answer::Yes | Answer::YesWithDuties => VerdictMark::Met,
            Answer::NoUntil | Answer::EmergencyOnly => VerdictMark::Due,
            Answer::Unknown => VerdictMark::Unknown,
        }
    }

    /// Returns the answer in one line, with its section behind it.
    #[must_use]
    pub fn line(&self) -> Line {
        let blocks = self.charging_blocks();
        let section =
            (!blocks.is_empty()).then(|| Section::new(Message::new("law-section-charging"), blocks));
        Line { sentence: self.answer(), mark: self.mark(), why: self.why(), section }
    }

    /// Returns the status that a person is shown for a verdict: not confirmed where the law's text was not read or what it
    /// rests on was only told.
    #[must_use]
    pub fn shown_status(&self, verdict: &Verdict<'_>) -> Message {
        if self.is_firm(verdict) {
            words::status(Status::ReadInLaw)
        } else if verdict.is_firm() {
            Message::new("law-status-told")
        } else if verdict.open_text {
            Message::new("law-status-open")
        } else {
            words::status(verdict.status)
        }
    }
}

/// Returns the last day that the record of a visit speaks of: of its entries by the clock of the site, else of the visit.
#[must_use]
pub fn last_day(visit: &Visit) -> Option<Date> {
    let entries = visit.current.entries.iter().filter_map(|entry| entry.seen.at.as_ref()?.local_day());
    entries.chain(visit.visit.value.day()).max()
}

/// Returns what the law says of adding refrigerant to this system on `date`, or on the last day that the record speaks of
/// where that is later: what was done that day counts.
///
/// ```
/// use job::{law, visit::Visit};
/// let text = b"gastight = 1\n[site]\njurisdiction = \"Spain\"\n[system]\nrefrigerant = \"R-448A\"\ncharge = \"11 kg\"\nbox_kind = \"cooler\"\n";
/// let file = record::read_job_file(text).unwrap();
/// let line = law::charging(&Visit::new("demo", &file.events), "2027-01-15".parse().unwrap());
/// // Not before the leak is located and repaired: Real Decreto 552/2019, IF-17 2.5.1.
/// assert_eq!(line.mark, report::VerdictMark::Due);
/// ```
#[must_use]
pub fn charging(visit: &Visit, date: Date) -> Line {
    let read = facts(visit);
    Law::of(Book::shipped(), &read, date.max(last_day(visit).unwrap_or(date))).line()
}

/// Returns what must be written and what is due, for the end of a visit: by when, complete or with what is missing.
#[must_use]
pub fn closing(visit: &Visit, date: Date, writer: &Writer) -> Vec<Section> {
    let read = facts(visit);
    let law = Law::of(Book::shipped(), &read, date.max(last_day(visit).unwrap_or(date)));
    let mut due = law.due_blocks(writer);
    due.extend(read.place_wants().map(|wants| Block::Paragraph(wants.into())));
    let sections = [
        (Message::new("law-section-due"), due),
        (Message::new("law-section-written"), law.written_blocks(visit)),
        (Message::new("law-section-notice"), law.notice_blocks(visit)),
    ];
    let filled = sections.into_iter().filter(|(_, blocks)| !blocks.is_empty());
    filled.map(|(heading, blocks)| Section::new(heading, blocks)).collect()
}

/// Returns the sections of the law for the report of a visit, as of the last day it speaks of; none where the record does
/// not say whose law holds.
#[must_use]
pub fn of_the_report(visit: &Visit, writer: &Writer) -> Vec<Section> {
    let (Some(date), Some(_)) = (last_day(visit), &visit.site.value.jurisdiction) else { return Vec::new() };
    let read = facts(visit);
    let law = Law::of(Book::shipped(), &read, date);
    let sections = [
        (Message::new("law-section-charging"), law.charging_blocks()),
        (Message::new("law-section-due"), law.due_blocks(writer)),
        (Message::new("law-section-written"), law.written_blocks(visit)),
    ];
    let filled = sections.into_iter().filter(|(_, blocks)| !blocks.is_empty());
    filled.map(|(heading, blocks)| Section::new(heading, blocks)).collect()
}

impl LawFacts {
    /// Returns what to write where the place of the record is not read.
    #[must_use]
    pub fn place_wants(&self) -> Option<Message> {
        let typed = self.place_typed.as_deref().unwrap_or_default();
        match &self.place {
            jurisdiction::Read::Place(_) => None,
            jurisdiction::Read::Unknown if typed.is_empty() => Some(Message::new("law-place-none")),
            jurisdiction::Read::Unknown => Some(Message::new("law-place-unknown").with("typed", typed)),
            jurisdiction::Read::Ambiguous(write) => {
                Some(Message::new("law-place-ambiguous").with("typed", typed).with("write", *write))
            }
            jurisdiction::Read::Two(one, two) => {
                Some(Message::new("law-place-two").with("one", one.to_string()).with("two", two.to_string()))
            }
        }
    }
}
