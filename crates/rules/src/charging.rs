//! May refrigerant be added now?

use crate::book::Jurisdiction;
use crate::case::{Case, Scope, Tri};
use crate::duty::{Duty, Effect, Judge, Origin, Status, Version, names};
use crate::facts::{GasFrom, Missing, Reason, What};
use crate::judge::{after_repair_untested, banned, special};
use serde::Serialize;

names! {
    /// The answer.
    Answer {
        /// Yes. Rests on entries alone whose law was read.
        Yes = "yes",
        /// Yes, and these duties come with it.
        YesWithDuties = "yes-with-duties",
        /// Not before what `until` lists.
        NoUntil = "no-until",
        /// Only against the immediate danger, and only while it lasts.
        EmergencyOnly = "emergency-only",
        /// Cannot be said; `why` tells for want of what.
        Unknown = "unknown",
    }
}

names! {
    /// What must have happened before refrigerant is added.
    Condition {
        /// A leak test for this addition.
        LeakTest = "leak-test",
        /// The leak is located.
        LeakLocated = "leak-located",
        /// The leak is repaired.
        LeakRepaired = "leak-repaired",
        /// The owner is told of the leak.
        OwnerTold = "owner-told",
        /// The initial verification test is passed.
        InitialVerification = "initial-verification",
        /// The gas is reclaimed or recycled.
        ReclaimedOrRecycledGas = "reclaimed-or-recycled-gas",
        /// The gas is reclaimed.
        ReclaimedGas = "reclaimed-gas",
        /// Recovered gas is recycled or reclaimed first.
        TreatedGas = "treated-gas",
        /// Another gas: this one may not be used at all.
        OtherGas = "other-gas",
        /// Nothing beyond what was recovered.
        NoNetGain = "no-net-gain",
        /// Another purpose: not to test for leaks.
        OtherPurpose = "other-purpose",
        /// A certified person does it.
        CertifiedPerson = "certified-person",
    }
}

names! {
    /// Why the answer is unknown.
    WhyUnknown {
        /// Facts are wanting: see `missing`.
        FactsMissing = "facts-missing",
        /// No ban was found in what was read. That is not a yes.
        NoBanFound = "no-ban-found",
        /// The law of the place was not read.
        NotRead = "not-read",
        /// A ban is not confirmed: see `act_as_if`.
        NotConfirmed = "not-confirmed",
    }
}

names! {
    /// Whether gas of one origin may be used, apart from everything else.
    GasVerdict {
        /// No ban was found in what was read.
        NoBanFound = "no-ban-found",
        /// Banned.
        Banned = "banned",
        /// A ban that is not confirmed: act as if it held.
        ActAsIfBanned = "act-as-if-banned",
        /// Facts are wanting.
        Unknown = "unknown",
    }
}

/// A ban that is not confirmed and is acted upon as if it held.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ActAsIf<'a> {
    /// Id of the sentence, such as `act-as-if-no-adding-until-tested-and-repaired`.
    pub wording: &'static str,
    /// The entry.
    pub id: &'a str,
    /// The law and section to read.
    pub instrument: &'a str,
    /// The section to read.
    pub section: &'a str,
    /// By which reading it is known.
    pub status: Status,
    /// What must have happened, if the ban holds.
    pub until: Vec<Condition>,
    /// The facts that decide whether the entry applies at all.
    pub missing: Vec<Missing>,
}

/// What holds for gas of one origin.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GasAnswer<'a> {
    /// The origin.
    pub from: GasFrom,
    /// The verdict.
    pub verdict: GasVerdict,
    /// The entries it rests on.
    pub because: Vec<&'a str>,
}

/// The answer to "may I add refrigerant now?", with what it rests on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Charging<'a> {
    /// The answer.
    pub answer: Answer,
    /// What must happen first, with [`Answer::NoUntil`].
    pub until: Vec<Condition>,
    /// Why it is unknown, with [`Answer::Unknown`].
    pub why: Option<WhyUnknown>,
    /// The entries the answer rests on.
    pub because: Vec<&'a str>,
    /// Unconfirmed bans to act upon.
    pub act_as_if: Vec<ActAsIf<'a>>,
    /// Entries that would lift the ban in an emergency.
    pub emergency_exception: Vec<&'a str>,
    /// Facts that would decide.
    pub missing: Vec<Missing>,
    /// Which origin of gas may be used.
    pub gas: Vec<GasAnswer<'a>>,
}

/// What one entry says about adding now.
#[derive(Debug, PartialEq, Eq)]
enum View {
    /// Nothing.
    Silent,
    /// Not before these.
    Forbids(Vec<Condition>),
    /// Worded as "not unless", and what it asks for is there.
    Permits,
    /// The emergency it speaks of is there.
    Emergency,
    /// The exception is there for the asking, if there were an emergency.
    Exception,
    /// Cannot be said.
    Unknown(Vec<Missing>),
}

const fn wording(effect: Effect) -> &'static str {
    match effect {
        Effect::NoAddingUntilTestedAndRepaired => "act-as-if-no-adding-until-tested-and-repaired",
        Effect::NoAddingUntilLocatedAndRepaired => "act-as-if-no-adding-until-located-and-repaired",
        Effect::NoAddingWithKnownLeak => "act-as-if-no-adding-with-known-leak",
        Effect::NoAddingUntilInitialVerification => "act-as-if-no-adding-until-initial-verification",
        Effect::NoAddingToLeakTest => "act-as-if-no-adding-to-leak-test",
        Effect::NoNetGain => "act-as-if-no-net-gain",
        Effect::NoVirginGas | Effect::ReclaimedOrRecycledUntil => "act-as-if-no-virgin-gas",
        Effect::ReclaimedOnly => "act-as-if-reclaimed-only",
        Effect::RecoveredOnlyAfterTreatment => "act-as-if-recovered-only-after-treatment",
        Effect::NoGas => "act-as-if-no-gas",
        Effect::AllowedWithDuties | Effect::EmergencyOnly => "act-as-if-duties",
    }
}

/// Puts together what every entry says. `reach` and `wanting` of the jurisdiction weaken whatever stands under it.
pub(crate) fn charging<'a>(
    case: &Case<'a>,
    laws: &[Jurisdiction],
    unread: bool,
    duties: &[(&'a Duty, &'a Version, Scope, Status)],
    other_duties: bool,
) -> Charging<'a> {
    let mut answer = Charging {
        answer: Answer::Unknown,
        until: Vec::new(),
        why: None,
        because: Vec::new(),
        act_as_if: Vec::new(),
        emergency_exception: Vec::new(),
        missing: Vec::new(),
        gas: gas_answers(case, laws, duties),
    };
    if laws.is_empty() {
        answer.why = Some(WhyUnknown::FactsMissing);
        answer.missing = vec![Missing::Place];
        return answer;
    }
    let mut forbids: Vec<(&Duty, Vec<Condition>)> = Vec::new();
    let mut permits: Vec<&Duty> = Vec::new();
    let mut emergencies: Vec<&Duty> = Vec::new();
    let mut silence = Vec::new();
    for (duty, version, scope, status) in duties {
        if matches!(scope, Scope::No(_)) {
            continue;
        }
        if version.status == Status::Silence {
            silence.push(duty.id.as_str());
        }
        let wanting = laws.iter().find(|law| law.id == duty.jurisdiction).and_then(|law| law.wanting);
        let mut open: Vec<Missing> = wanting.into_iter().collect();
        if let Scope::Unknown(list) = scope {
            open.extend(list);
        }
        let firm = *status == Status::ReadInLaw && open.is_empty();
        match view(case, duty, version) {
            View::Silent => {}
            View::Forbids(until) if firm => forbids.push((duty, until)),
            View::Forbids(until) => {
                answer.act_as_if.push(ActAsIf {
                    wording: version.effect.map_or("act-as-if-certified-person", wording),
                    id: &duty.id,
                    instrument: &duty.instrument,
                    section: &duty.section,
                    status: *status,
                    until,
                    missing: open.clone(),
                });
                answer.missing.extend(open);
            }
            View::Permits if firm && duty.origin == Origin::Shipped => permits.push(duty),
            View::Permits => answer.missing.extend(open),
            View::Emergency if firm => emergencies.push(duty),
            View::Emergency => answer.missing.extend(open),
            View::Exception => answer.emergency_exception.push(&duty.id),
            View::Unknown(missing) => {
                answer.because.push(&duty.id);
                answer.missing.extend(missing.into_iter().chain(open));
            }
        }
    }
    answer.missing.sort_unstable();
    answer.missing.dedup();
    // The exception for an emergency lifts the ban on adding to a leaking system and no other.
    let lifted = |duty: &Duty| {
        matches!(duty.judged_by, Judge::LeakTestBeforeAdding | Judge::LeakStoppedAtOnce)
            && emergencies.iter().any(|e| e.jurisdiction == duty.jurisdiction)
    };
    if forbids.iter().any(|(duty, _)| !lifted(duty)) {
        answer.answer = Answer::NoUntil;
        answer.because = forbids.iter().map(|(duty, _)| duty.id.as_str()).collect();
        answer.until = forbids.into_iter().flat_map(|(_, until)| until).collect();
        answer.until.sort_unstable();
        answer.until.dedup();
    } else if !forbids.is_empty() {
        answer.answer = Answer::EmergencyOnly;
        answer.because =
            emergencies.iter().chain(forbids.iter().map(|(d, _)| d)).map(|d| d.id.as_str()).collect();
    } else if !answer.missing.is_empty() {
        answer.why = Some(WhyUnknown::FactsMissing);
    } else if !answer.act_as_if.is_empty() {
        answer.why = Some(WhyUnknown::NotConfirmed);
        answer.because = answer.act_as_if.iter().map(|ban| ban.id).collect();
    } else if unread {
        answer.why = Some(WhyUnknown::NotRead);
    } else if !permits.is_empty() {
        answer.answer = if other_duties { Answer::YesWithDuties } else { Answer::Yes };
        answer.because = permits.iter().map(|duty| duty.id.as_str()).collect();
    } else if !silence.is_empty() {
        answer.why = Some(WhyUnknown::NoBanFound);
        answer.because = silence;
    } else {
        answer.why = Some(WhyUnknown::NotRead);
    }
    answer
}

fn view(case: &Case<'_>, duty: &Duty, version: &Version) -> View {
    let intended = &case.facts.intended;
    if duty.judged_by == Judge::CertifiedPerson && case.facts.certified == Some(false) {
        return View::Forbids(vec![Condition::CertifiedPerson]);
    }
    let Some(effect) = version.effect else { return View::Silent };
    let open = case.open_leaks().next().is_some();
    match effect {
        Effect::AllowedWithDuties => View::Silent,
        Effect::NoAddingUntilTestedAndRepaired => tested_and_repaired(case, version),
        Effect::NoAddingUntilLocatedAndRepaired => located_and_repaired(case),
        Effect::NoAddingWithKnownLeak if open => View::Forbids(vec![Condition::LeakRepaired]),
        Effect::NoAddingWithKnownLeak => View::Silent,
        Effect::NoAddingUntilInitialVerification => match after_repair_untested(case, duty, version) {
            Tri::Yes => View::Forbids(vec![Condition::InitialVerification]),
            Tri::No => View::Silent,
            Tri::Unknown(missing) => View::Unknown(missing),
        },
        Effect::NoAddingToLeakTest if intended.reason == Some(Reason::LeakTest) => {
            View::Forbids(vec![Condition::OtherPurpose])
        }
        Effect::NoAddingToLeakTest => View::Silent,
        Effect::EmergencyOnly => {
            // Federal law speaks of a charge against immediate danger; Quebec of a unit that cannot be stopped.
            let danger = if version.numbers.days.is_some() {
                case.facts.stopping_endangers
            } else {
                case.facts.immediate_danger
            };
            match danger {
                Some(true) if open => View::Emergency,
                Some(_) => View::Silent,
                None if open => View::Exception,
                None => View::Silent,
            }
        }
        Effect::NoNetGain => match intended.reason {
            Some(Reason::AfterService) => View::Permits,
            _ => View::Forbids(vec![Condition::NoNetGain]),
        },
        Effect::NoGas => View::Forbids(vec![Condition::OtherGas]),
        Effect::NoVirginGas
        | Effect::ReclaimedOnly
        | Effect::ReclaimedOrRecycledUntil
        | Effect::RecoveredOnlyAfterTreatment => gas_view(case, version, effect),
    }
}

fn gas_view(case: &Case<'_>, version: &Version, effect: Effect) -> View {
    if special(case) || case.facts.intended.reason == Some(Reason::NewInstallation) {
        return View::Silent;
    }
    let condition = match effect {
        Effect::NoVirginGas if GasFrom::ALL.iter().all(|&gas| banned(version, gas, case.date)) => {
            Condition::OtherGas
        }
        Effect::NoVirginGas => Condition::ReclaimedOrRecycledGas,
        Effect::ReclaimedOnly => Condition::ReclaimedGas,
        Effect::ReclaimedOrRecycledUntil => Condition::OtherGas,
        _ => Condition::TreatedGas,
    };
    match case.facts.intended.gas {
        Some(gas) if banned(version, gas, case.date) => View::Forbids(vec![condition]),
        Some(_) => View::Silent,
        None if effect == Effect::NoVirginGas || effect == Effect::ReclaimedOnly => {
            View::Unknown(vec![Missing::GasFrom])
        }
        None => View::Silent,
    }
}

/// "No charging unless leak tested beforehand and, if a leak was found, repaired": for this addition, not for the last.
fn tested_and_repaired(case: &Case<'_>, version: &Version) -> View {
    let mut until = Vec::new();
    for leak in case.open_leaks() {
        if version.owner_told_first && leak.told.is_none() {
            until.push(Condition::OwnerTold);
        }
        until.push(Condition::LeakRepaired);
    }
    let last_added = case.additions.last().map(|a| a.event);
    let after = |event: &usize| last_added.is_none_or(|added| *event > added);
    let test = case.all(|what| matches!(what, What::LeakChecked { .. })).rfind(|event| after(event));
    if version.owner_told_first {
        let untold = case.leaks.iter().any(|l| l.told.is_none() && test.is_some_and(|test| l.found >= test));
        if untold {
            until.push(Condition::OwnerTold);
        }
    }
    match test {
        None => until.push(Condition::LeakTest),
        Some(test) => {
            if let What::LeakChecked { found: None, .. } = case.events[test].what {
                return View::Unknown(vec![Missing::LeakTestResult]);
            }
            // A test of an earlier day stands for this addition only if nothing was lost or opened since.
            let repair = case.all(|what| matches!(what, What::Repaired { .. })).rfind(|&event| event > test);
            let anchor = case.on(repair.unwrap_or(test));
            if anchor != case.date && case.facts.intended.tight_since_test != Some(true) {
                until.push(Condition::LeakTest);
            }
        }
    }
    until.sort_unstable();
    until.dedup();
    if until.is_empty() { View::Permits } else { View::Forbids(until) }
}

/// "In no case may refrigerant be added without having located and repaired the leak."
fn located_and_repaired(case: &Case<'_>) -> View {
    let mut until = Vec::new();
    for leak in case.open_leaks() {
        if !leak.located {
            until.push(Condition::LeakLocated);
        }
        until.push(Condition::LeakRepaired);
    }
    let topping = matches!(case.facts.intended.reason, None | Some(Reason::TopUp | Reason::AfterRepair));
    if until.is_empty() && !topping {
        return View::Silent;
    }
    let last_added = case.additions.last().map(|a| a.event);
    let repaired =
        case.leaks.iter().any(|l| l.repaired.is_some_and(|r| last_added.is_none_or(|added| r > added)));
    if until.is_empty() && !repaired {
        // Gas is missing, so it leaks somewhere; that place has not been found.
        until.extend([Condition::LeakLocated, Condition::LeakRepaired]);
    }
    until.sort_unstable();
    until.dedup();
    if until.is_empty() { View::Permits } else { View::Forbids(until) }
}

fn gas_answers<'a>(
    case: &Case<'a>,
    laws: &[Jurisdiction],
    duties: &[(&'a Duty, &'a Version, Scope, Status)],
) -> Vec<GasAnswer<'a>> {
    if laws.is_empty() || special(case) {
        return Vec::new();
    }
    let bans = duties.iter().filter(|(duty, ..)| {
        matches!(duty.judged_by, Judge::GasOrigin | Judge::GasException | Judge::GasBanned)
    });
    let bans: Vec<_> = bans.filter(|(.., scope, _)| !matches!(scope, Scope::No(_))).collect();
    GasFrom::ALL
        .iter()
        .map(|&from| {
            let mut verdict = GasVerdict::NoBanFound;
            let mut because = Vec::new();
            for (duty, version, scope, status) in &bans {
                if !banned(version, from, case.date) {
                    continue;
                }
                because.push(duty.id.as_str());
                let one = match scope {
                    Scope::Unknown(_) => GasVerdict::Unknown,
                    _ if *status == Status::ReadInLaw => GasVerdict::Banned,
                    _ => GasVerdict::ActAsIfBanned,
                };
                verdict = match (verdict, one) {
                    (GasVerdict::Banned, _) | (_, GasVerdict::Banned) => GasVerdict::Banned,
                    (GasVerdict::ActAsIfBanned, _) | (_, GasVerdict::ActAsIfBanned) => {
                        GasVerdict::ActAsIfBanned
                    }
                    _ => GasVerdict::Unknown,
                };
            }
            GasAnswer { from, verdict, because }
        })
        .collect()
}
