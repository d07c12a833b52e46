//! The whole answer: charging, figures, duties, records.

use crate::book::{Book, Jurisdiction, basis_of, jurisdictions};
use crate::case::{Case, Rate, Scope, Why};
use crate::charging::{Answer, Charging, charging};
use crate::duty::{Duty, Field, Judge, Status, Version};
use crate::facts::{Event, Facts, Method, Missing, What};
use crate::gas::{Basis, Gwp};
use crate::judge::{Found, Outcome, choices, judge};
use crate::{Date, ExactMass, Ratio};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

/// How it stands with one duty, or with one instance of it.
#[derive(Clone, Debug)]
pub struct Verdict<'a> {
    /// The duty.
    pub duty: &'a Duty,
    /// Its wording on the day.
    pub version: Option<&'a Version>,
    /// By which reading it is known, that it governs this place included.
    pub status: Status,
    /// How it stands.
    pub outcome: Outcome,
    /// The events it rests on.
    pub evidence: Vec<&'a Event>,
    /// The law's text leaves open whether the rule reaches this case; the stricter reading was applied.
    pub open_text: bool,
}

impl Verdict<'_> {
    /// Returns whether the verdict is firm: the law's own text was read and leaves nothing open here.
    ///
    /// If not, it is to be shown as "not confirmed: read", with the section.
    #[must_use]
    pub fn is_firm(&self) -> bool {
        self.status == Status::ReadInLaw && !self.open_text
    }

    /// Returns the facts for want of which it is unknown.
    #[must_use]
    pub fn facts_missing(&self) -> &[Missing] {
        match &self.outcome {
            Outcome::Unknown(missing) => missing,
            _ => &[],
        }
    }
}

impl Serialize for Verdict<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("id", &self.duty.id)?;
        map.serialize_entry("section", &self.duty.section)?;
        map.serialize_entry("verdict", self.outcome.word())?;
        let due = match &self.outcome {
            Outcome::Due(due) => Some(due.to_string()),
            _ => None,
        };
        map.serialize_entry("due", &due)?;
        if let Outcome::Breached { since, until } = &self.outcome {
            map.serialize_entry("since", since)?;
            map.serialize_entry("until", until)?;
        }
        if let Outcome::NotApplicable(why) = &self.outcome {
            map.serialize_entry("why", why)?;
        }
        map.serialize_entry("facts_missing", self.facts_missing())?;
        map.serialize_entry("evidence", &self.evidence.iter().map(|event| &event.id).collect::<Vec<_>>())?;
        map.serialize_entry("status", &self.status)?;
        map.serialize_entry("confirmed", &self.is_firm())?;
        map.end()
    }
}

/// A duty that stands as long as it applies; no record meets it once and for all.
#[derive(Clone, Debug)]
pub struct Standing<'a> {
    /// The duty.
    pub duty: &'a Duty,
    /// Its wording on the day.
    pub version: &'a Version,
    /// By which reading it is known.
    pub status: Status,
    /// Facts that decide whether it applies; empty if it does.
    pub missing: Vec<Missing>,
}

/// A choice the law leaves open, with its last day.
#[derive(Clone, Debug)]
pub struct Choice<'a> {
    /// The entry.
    pub duty: &'a Duty,
    /// By which reading it is known.
    pub status: Status,
    /// The last day.
    pub by: Date,
    /// What started the time.
    pub event: &'a Event,
}

/// A record the law asks for.
#[derive(Clone, Debug)]
pub struct RecordAsked<'a> {
    /// The duty.
    pub duty: &'a Duty,
    /// Its wording on the day: fields, who keeps it, for how many years.
    pub version: &'a Version,
    /// By which reading it is known.
    pub status: Status,
    /// Events whose written record somebody looked at, each with the fields it lacks.
    pub lacking: Vec<(&'a Event, Vec<Field>)>,
}

impl RecordAsked<'_> {
    /// Returns the required fields that are not among `given`.
    #[must_use]
    pub fn missing(&self, given: &[Field]) -> Vec<Field> {
        missing_fields(self.version, given)
    }
}

fn missing_fields(version: &Version, given: &[Field]) -> Vec<Field> {
    version.fields.iter().copied().filter(|field| !given.contains(field)).collect()
}

/// A leak rate against a threshold.
#[derive(Clone, Debug)]
pub struct LeakRateLine<'a> {
    /// The method.
    pub method: Method,
    /// Percent of the full charge per year; a floor where `at_least` says so; nothing if it cannot be counted.
    pub percent_per_year: Option<Ratio>,
    /// The figure is a floor, for want of this fact.
    pub wanting: Option<Missing>,
    /// The threshold of the law, percent, where there is one for this equipment.
    pub threshold: Option<u32>,
    /// Strictly over it; nothing if that cannot be said.
    pub over: Option<bool>,
    /// An addition lies on the first day of the rolling window, and whether that day counts the text does not say.
    pub on_the_edge: bool,
    /// The addition.
    pub event: &'a Event,
    /// The entry with the threshold.
    pub duty: Option<&'a Duty>,
    /// By which reading the threshold is known.
    pub status: Option<Status>,
}

impl Serialize for LeakRateLine<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("method", &self.method)?;
        map.serialize_entry("percent_per_year", &self.percent_per_year)?;
        map.serialize_entry("at_least", &self.wanting.is_some())?;
        map.serialize_entry("threshold", &self.threshold)?;
        map.serialize_entry("over", &self.over)?;
        map.serialize_entry("id", &self.duty.map(|duty| &duty.id))?;
        map.serialize_entry("evidence", &self.event.id)?;
        map.serialize_entry("status", &self.status)?;
        map.end()
    }
}

/// What the charge is in the unit of account of one law.
#[derive(Clone, Debug)]
pub struct ChargeFigure {
    /// The jurisdiction.
    pub jurisdiction: String,
    /// The warming potential by its list; a floor where parts are missing in the list.
    pub gwp: Gwp,
    /// Tonnes of CO2 equivalent of the full charge.
    pub tonnes_co2e: Option<Ratio>,
    /// Mass of the unsaturated part.
    pub hfo: Option<ExactMass>,
}

/// All that the law asks of these facts on this date.
#[derive(Clone, Debug)]
pub struct Assessment<'a> {
    /// The day asked about.
    pub date: Date,
    /// May refrigerant be added now?
    pub charging: Charging<'a>,
    /// Leak rates after the latest addition that counts, by each method and threshold.
    pub leak_rates: Vec<LeakRateLine<'a>>,
    /// Duties and how it stands with them; ended breaches stay.
    pub duties: Vec<Verdict<'a>>,
    /// Duties that stand as long as they apply.
    pub standing: Vec<Standing<'a>>,
    /// Choices that are still open.
    pub choices: Vec<Choice<'a>>,
    /// Records that must be written.
    pub records: Vec<RecordAsked<'a>>,
    /// The charge in each law's unit of account.
    pub charges: Vec<ChargeFigure>,
    /// The laws the place stands under.
    pub jurisdictions: Vec<Jurisdiction>,
    /// Those of them of which nothing was read.
    pub not_read: Vec<String>,
}

impl Serialize for Assessment<'_> {
    /// `charging`, `leak_rates`, `duties`, and what was not read.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("on", &self.date)?;
        map.serialize_entry("charging", &self.charging)?;
        map.serialize_entry("leak_rates", &self.leak_rates)?;
        map.serialize_entry("duties", &self.duties)?;
        map.serialize_entry("not_read", &self.not_read)?;
        map.end()
    }
}

impl<'a> Assessment<'a> {
    /// Returns the verdicts of the duty with this id.
    pub fn of<'s>(&'s self, id: &'s str) -> impl Iterator<Item = &'s Verdict<'a>> {
        self.duties.iter().filter(move |verdict| verdict.duty.id == id)
    }
}

/// Returns what the law of `book` asks of these facts on this date.
#[must_use]
pub fn assess<'a>(book: &'a Book, facts: &'a Facts, date: Date) -> Assessment<'a> {
    let laws = jurisdictions(facts);
    let with_threshold = |duty: &Duty| {
        duty.judged_by == Judge::LeakRateThreshold && laws.iter().any(|law| law.id == duty.jurisdiction)
    };
    let case = Case::new(book, facts, date, book.duties().iter().any(with_threshold));
    let mut duties = Vec::new();
    let mut standing = Vec::new();
    let mut options = Vec::new();
    let mut records = Vec::new();
    let mut weighed: Vec<(&Duty, &Version, Scope, Status)> = Vec::new();
    for law in &laws {
        for duty in book.duties().iter().filter(|duty| duty.jurisdiction == law.id) {
            let Some(version) = duty.version_on(date) else {
                if !matches!(duty.judged_by, Judge::Definition | Judge::Standing) {
                    duties.push(verdict(
                        &case,
                        duty,
                        None,
                        law,
                        Outcome::NotApplicable(Why::NotInForce),
                        Vec::new(),
                    ));
                }
                continue;
            };
            let status = weaker(version.status, law.reach);
            let mut scope = case.scope(duty);
            if let (Some(wanting), Scope::Applies | Scope::Unknown(_)) = (law.wanting, &scope) {
                scope = match scope {
                    Scope::Unknown(mut missing) => {
                        missing.insert(0, wanting);
                        Scope::Unknown(missing)
                    }
                    _ => Scope::Unknown(vec![wanting]),
                };
            }
            match duty.judged_by {
                Judge::Definition
                | Judge::LeakRateThreshold
                | Judge::EmergencyException
                | Judge::GasException => {}
                Judge::NoBanFound => {}
                Judge::Standing => match &scope {
                    Scope::No(_) => {}
                    Scope::Applies => standing.push(Standing { duty, version, status, missing: Vec::new() }),
                    Scope::Unknown(missing) => {
                        standing.push(Standing { duty, version, status, missing: missing.clone() });
                    }
                },
                Judge::Record => {
                    if !matches!(scope, Scope::No(_)) {
                        records.push(RecordAsked { duty, version, status, lacking: lacking(&case, version) });
                    }
                }
                Judge::RepairExtension | Judge::PlanRelief | Judge::PlanExtension => {
                    if scope == Scope::Applies
                        && let Some((by, event)) = choices(&case, duty, version)
                    {
                        options.push(Choice { duty, status, by, event: case.events[event] });
                    }
                }
                _ => match &scope {
                    Scope::No(why) => {
                        duties.push(verdict(
                            &case,
                            duty,
                            Some(version),
                            law,
                            Outcome::NotApplicable(*why),
                            Vec::new(),
                        ));
                    }
                    Scope::Unknown(missing) => {
                        let outcome = Outcome::Unknown(missing.clone());
                        duties.push(verdict(&case, duty, Some(version), law, outcome, Vec::new()));
                    }
                    Scope::Applies => judged(&case, duty, version, law, &mut duties),
                },
            }
            weighed.push((duty, version, scope, status));
        }
    }
    let not_read: Vec<String> =
        laws.iter().filter(|law| !book.knows(&law.id)).map(|law| law.id.clone()).collect();
    let busy = !standing.is_empty()
        || !records.is_empty()
        || duties
            .iter()
            .any(|v| matches!(v.outcome, Outcome::Due(_) | Outcome::Unknown(_) | Outcome::Breached { .. }));
    let charging = charging(&case, &laws, !not_read.is_empty(), &weighed, busy);
    now(&case, &charging, &laws, &mut duties);
    let leak_rates = leak_rates(&case, &weighed);
    let charges = charge_figures(&case, &laws);
    Assessment {
        date,
        charging,
        leak_rates,
        duties,
        standing,
        choices: options,
        records,
        charges,
        jurisdictions: laws,
        not_read,
    }
}

fn weaker(status: Status, reach: Option<Status>) -> Status {
    reach.map_or(status, |reach| reach.max(status))
}

fn verdict<'a>(
    case: &Case<'a>,
    duty: &'a Duty,
    version: Option<&'a Version>,
    law: &Jurisdiction,
    outcome: Outcome,
    evidence: Vec<usize>,
) -> Verdict<'a> {
    let recalled = duty.versions.iter().map(|v| v.status).max().unwrap_or(Status::Recalled);
    // A band counted in kilograms of the unsaturated part of a mixed blend: the text does not say that it counts alone.
    let open_text = (duty.applies.hfo_at_least.is_some() || duty.applies.hfo_below.is_some())
        && case.gas.is_some_and(|gas| gas.has(crate::gas::Class::Hfc));
    Verdict {
        duty,
        version,
        status: weaker(version.map_or(recalled, |v| v.status), law.reach),
        outcome,
        evidence: evidence.into_iter().map(|i| case.events[i]).collect(),
        open_text,
    }
}

/// One verdict for each instance; what is unknown of one duty stands together.
fn judged<'a>(
    case: &Case<'a>,
    duty: &'a Duty,
    version: &'a Version,
    law: &Jurisdiction,
    duties: &mut Vec<Verdict<'a>>,
) {
    let found = judge(case, duty, version);
    if found.is_empty() {
        let nothing = Outcome::NotApplicable(Why::NothingStarted);
        duties.push(verdict(case, duty, Some(version), law, nothing, Vec::new()));
        return;
    }
    let mut wanting: Vec<Missing> = Vec::new();
    let mut behind: Vec<usize> = Vec::new();
    for Found { outcome, evidence } in found {
        if let Outcome::Unknown(missing) = outcome {
            wanting.extend(missing);
            behind.extend(evidence);
        } else {
            duties.push(verdict(case, duty, Some(version), law, outcome, evidence));
        }
    }
    if !wanting.is_empty() {
        wanting.sort_unstable();
        wanting.dedup();
        behind.sort_unstable();
        behind.dedup();
        duties.push(verdict(case, duty, Some(version), law, Outcome::Unknown(wanting), behind));
    }
}

/// Whatever the answer on charging rests on stands among the duties too: met now, or due before adding.
fn now<'a>(case: &Case<'a>, charging: &Charging<'a>, laws: &[Jurisdiction], duties: &mut Vec<Verdict<'a>>) {
    let outcome = match charging.answer {
        Answer::Yes | Answer::YesWithDuties => Outcome::Met,
        Answer::NoUntil => Outcome::Due(crate::judge::Due::BeforeAdding),
        Answer::EmergencyOnly | Answer::Unknown => return,
    };
    for id in &charging.because {
        let Some(duty) = case.book.duty(id) else { continue };
        let Some(law) = laws.iter().find(|law| law.id == duty.jurisdiction) else { continue };
        let evidence: Vec<usize> = case
            .all(|what| matches!(what, What::LeakChecked { .. } | What::Repaired { .. }))
            .next_back()
            .into_iter()
            .collect();
        duties.retain(|v| v.duty.id != duty.id || v.outcome != Outcome::NotApplicable(Why::NothingStarted));
        duties.push(verdict(case, duty, duty.version_on(case.date), law, outcome.clone(), evidence));
    }
}

fn lacking<'a>(case: &Case<'a>, version: &Version) -> Vec<(&'a Event, Vec<Field>)> {
    let looked = case.events.iter().filter_map(|event| event.written.as_ref().map(|given| (*event, given)));
    looked
        .map(|(event, given)| (event, missing_fields(version, given)))
        .filter(|(_, missing)| !missing.is_empty())
        .collect()
}

fn leak_rates<'a>(
    case: &Case<'a>,
    weighed: &[(&'a Duty, &'a Version, Scope, Status)],
) -> Vec<LeakRateLine<'a>> {
    let Some(rates) = case.rates.last() else { return Vec::new() };
    let event = case.events[case.additions[rates.addition].event];
    let applies = |scope: &Scope| *scope == Scope::Applies;
    let thresholds: Vec<_> = weighed
        .iter()
        .filter(|(duty, _, scope, _)| duty.judged_by == Judge::LeakRateThreshold && applies(scope))
        .filter_map(|(duty, version, _, status)| version.numbers.percent.map(|p| Some((*duty, p, *status))))
        .collect();
    let thresholds = if thresholds.is_empty() { vec![None] } else { thresholds };
    let mut lines = Vec::new();
    for threshold in thresholds {
        for (method, rate) in [(Method::Annualizing, &rates.annualizing), (Method::Rolling, &rates.rolling)] {
            let (percent, wanting) = match rate {
                Rate::Is(percent) => (Some(*percent), None),
                Rate::AtLeast(percent, missing) => (Some(*percent), Some(*missing)),
                Rate::Unknown(missing) => (None, Some(*missing)),
            };
            let over = threshold.and_then(|(_, limit, _)| match (percent?, wanting) {
                (percent, _) if percent > Ratio::whole(i64::from(limit)) => Some(true),
                (_, None) => Some(false),
                _ => None,
            });
            lines.push(LeakRateLine {
                method,
                percent_per_year: percent,
                wanting,
                threshold: threshold.map(|(_, limit, _)| limit),
                over,
                on_the_edge: method == Method::Rolling && rates.on_the_edge,
                event,
                duty: threshold.map(|(duty, ..)| duty),
                status: threshold.map(|(.., status)| status),
            });
        }
    }
    lines
}

fn charge_figures(case: &Case<'_>, laws: &[Jurisdiction]) -> Vec<ChargeFigure> {
    let Some(gas) = case.gas else { return Vec::new() };
    laws.iter()
        .filter_map(|law| {
            let gwp = case.book.gases().gwp(gas, basis_of(&law.id))?;
            let tonnes = case.charge.and_then(|charge| crate::gas::tonnes_co2e(charge, gwp.value));
            Some(ChargeFigure {
                jurisdiction: law.id.clone(),
                tonnes_co2e: tonnes,
                hfo: case.hfo_mass().filter(|mass| *mass > ExactMass::ZERO && gwp.basis == Basis::Eu),
                gwp,
            })
        })
        .collect()
}

/// Returns the leak rate after every addition that counts, by both methods, oldest first.
///
/// The day, the event's id, and percent per year by annualizing and by rolling; nothing where it cannot be counted.
#[must_use]
pub fn leak_rate_history(
    book: &Book,
    facts: &Facts,
    date: Date,
) -> Vec<(Date, String, Option<Ratio>, Option<Ratio>)> {
    let case = Case::new(book, facts, date, true);
    let value = |rate: &Rate| match rate {
        Rate::Is(percent) => Some(*percent),
        _ => None,
    };
    let id = |addition: usize| case.events[case.additions[addition].event].id.clone();
    case.rates.iter().map(|r| (r.on, id(r.addition), value(&r.annualizing), value(&r.rolling))).collect()
}
