//! What is due: what a visit left open, what has to be ordered or asked, cylinders to be tested, what the law asks.

use super::days;
use crate::follow_up;
use crate::law::{System as LawSystem, due as law_due, laws};
use crate::place::{self, OwedKind};
use crate::visit::Visit;
use crate::visit::account::Account;
use record::{Answer, Body, Urgency};
use report::{Arg, Message};
use rules::{Book, CalendarLine, Due as LawDue};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use units::Date;

/// What kind of thing is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum DueKind {
    /// Something was opened and is not closed.
    Opened,
    /// A cylinder's weight after.
    Weight,
    /// The end of a hold.
    Hold,
    /// A reading that what was done calls for.
    Reading,
    /// A mended place that was not looked at again.
    Check,
    /// A picture whose number was not typed up.
    Picture,
    /// Something seen that nobody has answered.
    Answer,
    /// Something seen that was put off.
    Later,
    /// A part to be ordered.
    Part,
    /// A cylinder that must be tested again.
    Retest,
    /// Two entries that say different things.
    Unsettled,
    /// What the law asks.
    Law,
    /// A choice that the law leaves open until a day.
    Choice,
    /// A visit that is booked and not begun.
    Visit,
    /// The follow-up of a repair.
    FollowUp,
    /// A licensed technician's word on an apprentice's work.
    Word,
}

impl DueKind {
    /// Returns the kind as tables write it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Opened => "opened",
            Self::Weight => "weight",
            Self::Hold => "hold",
            Self::Reading => "reading",
            Self::Check => "check",
            Self::Picture => "picture",
            Self::Answer => "answer",
            Self::Later => "later",
            Self::Part => "part",
            Self::Retest => "retest",
            Self::Unsettled => "unsettled",
            Self::Law => "law",
            Self::Choice => "choice",
            Self::Visit => "visit",
            Self::FollowUp => "follow_up",
            Self::Word => "word",
        }
    }
}

/// By when.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum When {
    /// By the day that stands beside it.
    By,
    /// At once.
    AtOnce,
    /// Without undue delay; no number of days is named.
    WithoutDelay,
    /// Before refrigerant is added.
    BeforeAdding,
    /// Open; no day is named.
    Open,
}

impl When {
    /// Returns it as tables write it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::By => "by",
            Self::AtOnce => "at_once",
            Self::WithoutDelay => "without_delay",
            Self::BeforeAdding => "before_adding",
            Self::Open => "open",
        }
    }
}

/// Where the law says so.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Where {
    /// The duty's id.
    pub id: String,
    /// The instrument.
    pub instrument: String,
    /// The section.
    pub section: String,
    /// Whether the law's text was read and nothing it rests on is hearsay; else it has to be read first.
    pub confirmed: bool,
}

/// Something that is due.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Due {
    /// Its kind.
    pub kind: DueKind,
    /// By when.
    pub when: When,
    /// The day, where there is one.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub day: Option<Date>,
    /// Since when it stands open.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub since: Option<Date>,
    /// Of what, in the words of the record or of the law.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub of: String,
    /// The place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Where the law says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub law: Option<Where>,
}

impl Due {
    /// Returns what is due, in a sentence.
    #[must_use]
    pub fn sentence(&self) -> Message {
        let of = self.of.as_str();
        match self.kind {
            DueKind::Opened => Message::new("office-due-opened").with("of", of),
            DueKind::Weight => Message::new("office-due-weight").with("of", of),
            DueKind::Hold => Message::new("office-due-hold"),
            DueKind::Reading => Message::new("office-due-reading"),
            DueKind::Check => Message::new("office-due-check").with("of", of),
            DueKind::Picture => Message::new("office-due-picture").with("of", of),
            DueKind::Answer => Message::new("office-due-answer").with("of", of),
            DueKind::Later => Message::new("office-due-later").with("of", of),
            DueKind::Part => Message::new("office-due-part").with("of", of),
            DueKind::Retest => Message::new("office-due-retest").with("of", of),
            DueKind::Unsettled if of.is_empty() => Message::new("office-due-unsettled"),
            DueKind::Unsettled => Message::new("office-due-unsettled-field").with("of", of),
            DueKind::Law => Message::new("office-due-law").with("of", of),
            DueKind::Choice => Message::new("office-due-choice").with("of", of),
            DueKind::Visit if of.is_empty() => Message::new("office-due-visit"),
            DueKind::Visit => Message::new("office-due-visit-for").with("of", of),
            DueKind::FollowUp => Message::new("office-due-follow-up").with("of", of),
            DueKind::Word if of.is_empty() => Message::new("office-due-word-some"),
            DueKind::Word => Message::new("office-due-word").with("of", of),
        }
    }

    fn by(kind: DueKind, day: Date, of: impl Into<String>) -> Self {
        Self { when: When::By, day: Some(day), ..Self::open(kind, None, of, None) }
    }

    fn open(kind: DueKind, since: Option<Date>, of: impl Into<String>, place: Option<String>) -> Self {
        Self { kind, when: When::Open, day: None, since, of: of.into(), place, law: None }
    }

    /// Returns whether its day is past on `on`.
    #[must_use]
    pub fn is_overdue(&self, on: Date) -> bool {
        self.day.is_some_and(|day| day < on)
    }

    /// Returns what it is sorted by: what is overdue or wanted at once, then by day, then what has none.
    #[must_use]
    pub fn order(&self) -> (u8, Option<Date>, DueKind) {
        let rank = match self.when {
            When::By => 1,
            When::AtOnce | When::WithoutDelay => 0,
            When::Open => 2,
            When::BeforeAdding => 3,
        };
        (rank, self.day.or(self.since), self.kind)
    }
}

/// Returns what is due of a system: the law as it stands on `on`.
pub(super) fn due(system: &LawSystem, account: &Account, on: Date) -> Vec<Due> {
    let visit = &system.visit;
    let day = visit.day();
    let mut out = left_open(visit, day);
    out.extend(unsettled(visit, day));
    out.extend(words(visit));
    out.extend(answers(visit));
    out.extend(parts(visit, day));
    out.extend(retests(visit));
    out.extend(booked(visit));
    out.extend(follow_up(visit, account));
    let systems = core::slice::from_ref(system);
    let laws = laws(Book::shipped(), systems, on);
    out.extend(law_due(&laws, None).iter().map(of_law));
    out.sort_by(|a, b| a.order().cmp(&b.order()).then_with(|| a.of.cmp(&b.of)));
    out.dedup();
    out
}

/// What the last visit left open; of the earlier ones only the weights, which nothing else can bring back.
fn left_open(visit: &Visit, day: Option<Date>) -> Vec<Due> {
    let of = |visit: &Visit, day: Option<Date>, only: Option<OwedKind>| -> Vec<Due> {
        place::owed(visit)
            .into_iter()
            .filter(|owed| only.is_none_or(|only| owed.kind == only))
            .map(|owed| {
                let kind = match owed.kind {
                    OwedKind::Opened => DueKind::Opened,
                    OwedKind::Weight => DueKind::Weight,
                    OwedKind::Hold => DueKind::Hold,
                    OwedKind::Reading => DueKind::Reading,
                    OwedKind::Check => DueKind::Check,
                    OwedKind::Picture => DueKind::Picture,
                };
                let named = owed.sentence.args.iter().find_map(|(_, arg)| match arg {
                    Arg::Text(text) => Some(text.clone()),
                    _ => None,
                });
                Due::open(kind, day, named.unwrap_or_default(), owed.spot.or(owed.place))
            })
            .collect()
    };
    let earlier = visit.earlier.iter().flat_map(|before| of(before, before.day(), Some(OwedKind::Weight)));
    earlier.chain(of(visit, day, None)).collect()
}

fn unsettled(visit: &Visit, day: Option<Date>) -> Vec<Due> {
    let entries = visit.current.disagreements.iter().map(|_| String::new());
    let fields = visit.system.unsettled.keys().chain(visit.site.unsettled.keys());
    let fields = fields.map(|field| field.replace('_', " "));
    entries.chain(fields).map(|of| Due::open(DueKind::Unsettled, day, of, None)).collect()
}

/// What an apprentice did and nobody licensed has answered for, over all visits: one line for each person and day.
fn words(visit: &Visit) -> Vec<Due> {
    let all = visit.earlier.iter().chain(core::iter::once(visit));
    all.flat_map(|before| {
        let waiting = crate::apprentice::waiting(before);
        let who: BTreeSet<&str> = waiting.iter().filter_map(|entry| entry.by.as_deref()).collect();
        let nobody = who.is_empty() && !waiting.is_empty();
        let who = who.into_iter().map(str::to_owned).chain(nobody.then(String::new));
        let day = before.day();
        who.map(move |who| Due::open(DueKind::Word, day, who, None)).collect::<Vec<_>>()
    })
    .collect()
}

/// What was seen besides, by the last word on it over all visits: not asked yet, or put off.
fn answers(visit: &Visit) -> Vec<Due> {
    let mut last: Vec<(String, Option<Due>)> = Vec::new();
    for before in visit.earlier.iter().chain(core::iter::once(visit)) {
        let findings = before.entries(|body| match body {
            Body::Finding(finding) => Some(&**finding),
            _ => None,
        });
        for (entry, finding) in findings {
            let key = finding.what.trim().to_lowercase();
            let kind = match finding.answer {
                None => Some(DueKind::Answer),
                Some(Answer::Later) => Some(DueKind::Later),
                Some(Answer::Accepted | Answer::Declined) => None,
            };
            let due = kind.map(|kind| {
                let mut due = Due::open(kind, before.day(), finding.what.as_str(), entry.seen.place.clone());
                if finding.urgency == Some(Urgency::Now) {
                    due.when = When::AtOnce;
                }
                due
            });
            last.retain(|(other, _)| *other != key);
            last.push((key, due));
        }
    }
    last.into_iter().filter_map(|(_, due)| due).collect()
}

fn parts(visit: &Visit, day: Option<Date>) -> Vec<Due> {
    place::parts_by_place(visit)
        .into_iter()
        .flat_map(|at| {
            let place = at.place;
            at.order.into_iter().map(move |part| {
                let words = part.order_line.unwrap_or(part.function);
                Due::open(DueKind::Part, day, words, place.clone())
            })
        })
        .collect()
}

/// A cylinder is tested whoever used it last: every one that the visit names.
fn retests(visit: &Visit) -> Vec<Due> {
    let retests = visit.cylinders.values().filter_map(|cylinder| {
        let day = cylinder.retest.as_ref().and_then(record::When::local_day)?;
        let mut due = Due::open(DueKind::Retest, None, cylinder.id.as_str(), None);
        (due.when, due.day) = (When::By, Some(day));
        Some(due)
    });
    let mut seen = BTreeSet::new();
    retests.filter(|due| seen.insert(due.of.to_lowercase())).collect()
}

/// The visit itself, while nothing was seen or done on it.
fn booked(visit: &Visit) -> Option<Due> {
    let told = &visit.visit.value;
    // What was carried over from the visit before stands without a time.
    let carried = told.follows.is_some();
    let done = |entry: &&record::Entry| !crate::jobs::is_fact(entry.what());
    let begun = visit.current.entries.iter().filter(done).any(|entry| !carried || entry.seen.at.is_some());
    let of = told.complaint.clone().unwrap_or_default();
    visit.day().filter(|_| !begun).map(|day| Due::by(DueKind::Visit, day, of))
}

fn follow_up(visit: &Visit, account: &Account) -> Option<Due> {
    let follow = follow_up::of(visit, account)?;
    (follow.state == follow_up::State::Open).then(|| Due::by(DueKind::FollowUp, follow.on, follow.place))
}

fn of_law(line: &CalendarLine<'_>) -> Due {
    let (when, since) = match line.due {
        Some(LawDue::AtOnce(since)) => (When::AtOnce, Some(since)),
        Some(LawDue::WithoutUndueDelay(since)) => (When::WithoutDelay, Some(since)),
        Some(LawDue::BeforeAdding) => (When::BeforeAdding, None),
        Some(LawDue::On(_) | LawDue::At(..)) => (When::By, None),
        None if line.day.is_some() => (When::By, None),
        None => (When::AtOnce, None),
    };
    Due {
        kind: if line.choice { DueKind::Choice } else { DueKind::Law },
        when,
        // A duty that is wanted at once is not late on the day after it began.
        day: if when == When::By { line.day } else { None },
        since,
        of: line.duty.asks.clone(),
        place: None,
        law: Some(Where {
            id: line.duty.id.clone(),
            instrument: line.duty.instrument.clone(),
            section: line.duty.section.clone(),
            confirmed: line.firm,
        }),
    }
}
