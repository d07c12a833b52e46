//! What the record says of a system, as the facts that the law is asked about.

use super::jurisdiction::{self, Read};
use crate::visit::Visit;
use crate::visit::proofs::holds;
use field::hold::Verdict;
use record::{
    AddReason, Body, BoxKind, Change, ChargeFound, CheckResult, CylinderUse, Direction, Entry, EquipmentUse,
    GasOrigin, Known, Method, OwnerKind, PassFail, RateMethod, SpecialUse, StepOf, When, YesNo,
};
use rules::{
    Date, Event, ExactMass, FullCharge, GasFrom, Intended, Missing, Owner, Ratio, Reason, TimeOfDay, Use,
    What,
};
use std::collections::{BTreeMap, BTreeSet};
use units::Mass;
use uuid::Uuid;

/// The facts of a visit, and what to know about them.
#[derive(Clone, Debug)]
pub struct LawFacts {
    /// The facts. Of what was recovered and put back on one visit only the difference stands as added.
    pub facts: rules::Facts,
    /// Every mass as it was booked: for the yearly account.
    pub booked: Vec<Event>,
    /// How the place was read.
    pub place: Read,
    /// The place as it was typed.
    pub place_typed: Option<String>,
    /// Facts that somebody told, or said only about.
    pub told: BTreeSet<Missing>,
    /// Events that rest on what somebody told, or said only about, by their ids.
    pub doubtful: BTreeSet<String>,
    /// The use was taken from the kind of box.
    pub use_from_box: bool,
    /// Entries that the law would count and that have no day.
    pub without_day: Vec<Uuid>,
    /// What was recovered and put back, and so not counted as added.
    pub put_back: ExactMass,
    /// The name of each event for a person: kind of entry, day, place.
    pub names: BTreeMap<String, Named>,
}

/// What an event is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// The kind of entry, as the job file has it.
    pub kind: &'static str,
    /// The day.
    pub on: Date,
    /// The place.
    pub place: Option<String>,
}

/// Returns the facts that the record of a visit holds, those of the visits before it included where they were put together.
#[must_use]
pub fn facts(visit: &Visit) -> LawFacts {
    let typed = visit.site.value.jurisdiction.clone();
    let place = typed.as_deref().map_or(Read::Unknown, jurisdiction::read);
    let mut law = LawFacts {
        facts: rules::Facts::default(),
        booked: Vec::new(),
        place,
        place_typed: typed,
        told: BTreeSet::new(),
        doubtful: BTreeSet::new(),
        use_from_box: false,
        without_day: Vec::new(),
        put_back: ExactMass::ZERO,
        names: BTreeMap::new(),
    };
    if let Read::Place(place) = &law.place {
        law.facts.place = Some(place.clone());
    }
    system(visit, &mut law);
    happened(visit, &mut law);
    intended(visit, &mut law);
    law
}

/// Returns the one value of a fact, and notes where it is hearsay.
fn one<'a, Q>(known: &'a Option<Known<Q>>, which: Missing, law: &mut LawFacts) -> Option<&'a Q> {
    let known = known.as_ref()?;
    if known.value().is_some() && loose(known) {
        law.told.insert(which);
    }
    known.value()
}

fn yes(known: &Option<Known<YesNo>>, which: Missing, law: &mut LawFacts) -> Option<bool> {
    one(known, which, law).map(|word| *word == YesNo::Yes)
}

/// Whether something is hearsay, or said only about.
fn loose<Q>(known: &Known<Q>) -> bool {
    known.is_told() || matches!(known.plain(), Known::About(_))
}

fn system(visit: &Visit, law: &mut LawFacts) {
    let (site, system) = (&visit.site.value, &visit.system.value);
    law.facts.owner = one(&site.owner, Missing::Owner, law).map(|owner| match owner {
        OwnerKind::Private => Owner::Private,
        OwnerKind::Federal => Owner::Federal,
        OwnerKind::OnFederalLand => Owner::OnFederalLand,
    });
    law.facts.use_of = one(&system.equipment, Missing::Use, law).map(|kind| used_for(*kind));
    if law.facts.use_of.is_none()
        && let Some(kind) = one(&system.box_kind, Missing::Use, law)
    {
        law.facts.use_of = of_box(*kind);
        law.use_from_box = law.facts.use_of.is_some();
    }
    law.facts.refrigerant = one(&system.refrigerant, Missing::Refrigerant, law).cloned();
    law.facts.full_charge = full_charge(visit, law);
    law.facts.largest_circuit = one(&system.largest_circuit, Missing::FullCharge, law)
        .and_then(|mass| typed_mass(&system.largest_circuit, *mass));
    law.facts.rated_kilowatts = one(&system.rated_power, Missing::RatedPower, law)
        .and_then(|power| Ratio::decimal(&format!("{:.6}", power.watt() / 1000.0)));
    law.facts.labelled_hermetic = yes(&system.hermetic_label, Missing::LabelledHermetic, law);
    law.facts.residential = yes(&system.residential, Missing::LabelledHermetic, law);
    law.facts.detection_system = yes(&system.leak_detection, Missing::DetectionSystem, law);
    // Words such as "2024" give no day that law could count from; they are not a fact here.
    let day = |text: &String| record::read_day(text.trim());
    if system.installed.as_ref().and_then(Known::value).and_then(day).is_some() {
        law.facts.installed = one(&system.installed, Missing::Installed, law).and_then(day);
    }
    law.facts.special_use = one(&system.special_use, Missing::SpecialUse, law).map(|word| match word {
        SpecialUse::None => rules::SpecialUse::None,
        SpecialUse::Military => rules::SpecialUse::Military,
        SpecialUse::BelowMinusFifty => rules::SpecialUse::BelowMinus50,
        SpecialUse::Nuclear => rules::SpecialUse::Nuclear,
    });
    law.facts.process_shutdown = yes(&system.process_shutdown, Missing::ProcessShutdown, law);
    law.facts.leak_rate_method =
        one(&system.leak_rate_method, Missing::LeakRateMethod, law).map(|word| match word {
            RateMethod::Annualizing => rules::Method::Annualizing,
            RateMethod::Rolling => rules::Method::Rolling,
        });
    let today = &visit.visit.value;
    law.facts.certified = one(&today.certificate, Missing::Certified, law).map(|_| true);
    law.facts.stopping_endangers = today.stopping_endangers.map(|word| word == YesNo::Yes);
    law.facts.immediate_danger = today.immediate_danger.map(|word| word == YesNo::Yes);
}

fn full_charge(visit: &Visit, law: &mut LawFacts) -> Option<FullCharge> {
    let system = &visit.system.value;
    let charge = system.charge.as_ref()?;
    if let Known::Range { from, to } = charge.plain() {
        return Some(FullCharge::Range(exact(&from.text, from.value)?, exact(&to.text, to.value)?));
    }
    let mass = typed_mass(&system.charge, *one(&system.charge, Missing::FullCharge, law)?)?;
    if law.told.contains(&Missing::FullCharge) {
        return Some(FullCharge::Told(mass));
    }
    Some(match system.charge_by.as_ref().and_then(Known::value) {
        Some(ChargeFound::Calculated) => FullCharge::Calculated(mass),
        Some(ChargeFound::Measured) => FullCharge::Measured(mass),
        // The charge of the job file is the nameplate's.
        Some(ChargeFound::Maker) | None => FullCharge::Maker(mass),
    })
}

fn typed_mass(known: &Option<Known<Mass>>, value: Mass) -> Option<ExactMass> {
    let text = known.as_ref().and_then(Known::typed).map(|typed| typed.text.as_str());
    exact(text.unwrap_or_default(), value)
}

/// Returns a mass exactly as it was typed, else the decimal nearest to its value.
fn exact(text: &str, value: Mass) -> Option<ExactMass> {
    text.replace(',', ".").parse().ok().or_else(|| ExactMass::from_mass(value).ok())
}

const fn used_for(kind: EquipmentUse) -> Use {
    match kind {
        EquipmentUse::CommercialRefrigeration => Use::CommercialRefrigeration,
        EquipmentUse::IceMaker => Use::IceMaker,
        EquipmentUse::IndustrialProcess => Use::IndustrialProcessRefrigeration,
        EquipmentUse::ComfortCooling => Use::ComfortCooling,
        EquipmentUse::Chiller => Use::Chiller,
        EquipmentUse::LightCommercial => Use::LightCommercialAirConditioning,
        EquipmentUse::VariableFlow => Use::VariableFlowAirConditioning,
        EquipmentUse::Transport => Use::RefrigeratedTransport,
        EquipmentUse::Vehicle => Use::VehicleAirConditioning,
        EquipmentUse::Other => Use::Other,
    }
}

/// The use that a kind of box leaves no doubt about: cold storage and retail food are commercial refrigeration by 40 CFR
/// 82.152; an air conditioner or a work room may be more than one thing.
const fn of_box(kind: BoxKind) -> Option<Use> {
    match kind {
        BoxKind::WalkInCooler
        | BoxKind::WalkInFreezer
        | BoxKind::DisplayCase
        | BoxKind::FrozenCase
        | BoxKind::Cabinet => Some(Use::CommercialRefrigeration),
        BoxKind::IceMachine => Some(Use::IceMaker),
        BoxKind::Chiller => Some(Use::Chiller),
        BoxKind::WorkRoom | BoxKind::AirConditioner | BoxKind::Other => None,
    }
}

const fn reason(word: AddReason) -> Reason {
    match word {
        AddReason::TopUp => Reason::TopUp,
        AddReason::AfterRepair => Reason::AfterRepair,
        AddReason::AfterService => Reason::AfterService,
        AddReason::NewInstallation => Reason::NewInstallation,
        AddReason::Retrofit => Reason::Retrofit,
        AddReason::Seasonal => Reason::Seasonal,
        AddReason::LeakTest => Reason::LeakTest,
        AddReason::Emergency => Reason::Emergency,
    }
}

const fn gas(word: GasOrigin) -> GasFrom {
    match word {
        GasOrigin::Virgin => GasFrom::Virgin,
        GasOrigin::Reclaimed => GasFrom::Reclaimed,
        GasOrigin::Recycled => GasFrom::Recycled,
        GasOrigin::Recovered => GasFrom::Recovered,
    }
}

/// The day and the minute by the clock of the site.
fn local(when: &When) -> Option<(Date, Option<TimeOfDay>)> {
    let on = when.local_day()?;
    let at = match when {
        When::Instant { unix_millis, offset_minutes, .. } => {
            let minute = (unix_millis.div_euclid(60_000) + i64::from(*offset_minutes)).rem_euclid(24 * 60);
            u32::try_from(minute).ok().and_then(|minute| TimeOfDay::new(minute / 60, minute % 60))
        }
        When::Date(_) => None,
    };
    Some((on, at))
}

/// A place as it tells leaks apart: the same words, whatever their case and marks.
fn leak_key(place: &str) -> Option<String> {
    let key: String = place
        .chars()
        .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' })
        .collect::<String>()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    (!key.is_empty()).then_some(key)
}

/// What is being put together from the entries in the order of the log.
struct Telling<'a> {
    law: &'a mut LawFacts,
    /// Recovered on this visit and not yet put back.
    recovered: ExactMass,
    /// The places of the leaks found so far.
    leaks: BTreeSet<String>,
    /// There was a repair since refrigerant was last added.
    mended: bool,
    /// Its place.
    mended_at: Option<String>,
    /// What an apprentice did and nobody licensed has answered for.
    waiting: BTreeSet<Uuid>,
}

impl Telling<'_> {
    fn put(&mut self, entry: &Entry, when: Option<(Date, Option<TimeOfDay>)>, doubtful: bool, what: What) {
        let Some((on, at)) = when else {
            if matches!(what, What::Added { .. }) {
                self.law.facts.additions_without_day = true;
            }
            if self.law.without_day.last() != Some(&entry.id) {
                self.law.without_day.push(entry.id);
            }
            return;
        };
        let id = entry.id.to_string();
        // What an apprentice did alone counts as told, until a licensed technician answers for it.
        if doubtful || entry.seen.told_by.is_some() || self.waiting.contains(&entry.id) {
            self.law.doubtful.insert(id.clone());
        }
        let kind = entry.what().form_name().unwrap_or("note");
        self.law.names.insert(id.clone(), Named { kind, on, place: entry.seen.place.clone() });
        self.law.facts.events.push(Event { id, on, at, what, written: None });
    }

    fn leak(&self, place: Option<&String>) -> Option<String> {
        let key = leak_key(place?)?;
        self.leaks.contains(&key).then_some(key)
    }
}

fn happened(visit: &Visit, law: &mut LawFacts) {
    let mut telling = Telling {
        law,
        recovered: ExactMass::ZERO,
        leaks: BTreeSet::new(),
        mended: false,
        mended_at: None,
        waiting: BTreeSet::new(),
    };
    for visit in visit.earlier.iter().chain([visit]) {
        // What was recovered on an earlier visit and put back on a later one may have been more than one thing.
        telling.recovered = ExactMass::ZERO;
        telling.waiting = crate::apprentice::waiting(visit).iter().map(|entry| entry.id).collect();
        told_by_visit(visit, &mut telling);
    }
}

fn told_by_visit(visit: &Visit, telling: &mut Telling<'_>) {
    let tested: BTreeMap<Uuid, Option<bool>> = holds(visit)
        .into_iter()
        .map(|hold| {
            let shows = match hold.found.map(|found| found.verdict) {
                Ok(Verdict::Leaking) => Some(false),
                Ok(Verdict::TightWithinLimit) => Some(true),
                Ok(Verdict::NotResolved(_) | Verdict::Void(_)) | Err(_) => None,
            };
            (hold.entry.id, shows)
        })
        .collect();
    for entry in &visit.current.entries {
        let day = || visit.visit.value.day().map(|day| (day, None));
        let when = entry.seen.at.as_ref().and_then(local).or_else(day);
        match entry.what() {
            Body::LeakCheck(check) => checked(telling, entry, check, when),
            Body::Hold(hold) => {
                let tight = tested.get(&entry.id).copied().flatten();
                held(telling, entry, tight, hold.section.is_none(), when);
            }
            Body::Repair(repair) => {
                let place = repair.leak.as_ref().or(entry.seen.place.as_ref());
                let leak = telling.leak(place);
                telling.mended = true;
                telling.mended_at = place.and_then(|place| leak_key(place));
                let evacuated = repair.emptied.map(|word| word == YesNo::Yes);
                telling.put(entry, when, false, What::Repaired { leak, evacuated });
            }
            Body::Weighing(weighing) => weighed(telling, visit, entry, weighing, when),
            Body::PastChange(change) => changed(telling, entry, change),
            Body::Step(step) => stepped(telling, entry, step, when),
            _ => {}
        }
    }
}

fn checked(
    telling: &mut Telling<'_>,
    entry: &Entry,
    check: &record::LeakCheck,
    when: Option<(Date, Option<TimeOfDay>)>,
) {
    let key = entry.seen.place.as_deref().and_then(leak_key);
    match check.result {
        CheckResult::NotDone => {}
        CheckResult::Hit => {
            // A hit that did not come again, or did not go away with the probe, is no leak found.
            let withdrawn = check.repeated == Some(YesNo::No) || check.gone_when_moved == Some(YesNo::No);
            let found = (!withdrawn).then_some(true);
            let located = match check.method {
                Method::Electronic
                | Method::Soap
                | Method::Ultrasonic
                | Method::Dye
                | Method::Tracer
                | Method::Bagging => Some(true),
                Method::Isolation => Some(false),
                Method::Visual | Method::Listening => None,
            };
            if found == Some(true) {
                telling.leaks.extend(key.clone());
            }
            telling.put(entry, when, false, What::LeakChecked { found, leak: key, located });
        }
        CheckResult::Clean => {
            let mended = telling.mended && key.is_some() && telling.mended_at == key;
            let seeing = !matches!(check.method, Method::Visual | Method::Listening);
            if check.whole_system == Some(YesNo::Yes) || (mended && seeing) {
                telling.put(
                    entry,
                    when,
                    false,
                    What::LeakChecked { found: Some(false), leak: None, located: None },
                );
            }
            if mended && seeing {
                telling.put(entry, when, false, What::InitialVerification { passed: true });
            }
        }
    }
}

/// A hold that shows a leak is a leak found, not located. One that is tight within its limit is a leak test of what was
/// under pressure: of the whole system where no section was shut in, else of what was mended before.
fn held(
    telling: &mut Telling<'_>,
    entry: &Entry,
    tight: Option<bool>,
    whole: bool,
    when: Option<(Date, Option<TimeOfDay>)>,
) {
    let mended = telling.mended;
    match tight {
        None => {}
        Some(false) => {
            let leak = entry.seen.place.as_deref().and_then(leak_key);
            telling.leaks.extend(leak.clone());
            telling.put(entry, when, false, What::LeakFound { leak, located: Some(false) });
            if mended {
                telling.put(entry, when, false, What::InitialVerification { passed: false });
            }
        }
        Some(true) => {
            if whole || mended {
                let what = What::LeakChecked { found: Some(false), leak: None, located: None };
                telling.put(entry, when, false, what);
            }
            if mended {
                telling.put(entry, when, false, What::InitialVerification { passed: true });
            }
        }
    }
}

fn weighed(
    telling: &mut Telling<'_>,
    visit: &Visit,
    entry: &Entry,
    weighing: &record::Weighing,
    when: Option<(Date, Option<TimeOfDay>)>,
) {
    let before = exact(&weighing.before.value.text, weighing.before.value.value);
    let after = weighing.after.as_ref().and_then(|after| exact(&after.value.text, after.value.value));
    let difference = match weighing.direction {
        Direction::Charged => before.zip(after).map(|(before, after)| before - after),
        Direction::Recovered => before.zip(after).map(|(before, after)| after - before),
    };
    // A weight that went the wrong way is for the readings to doubt; the law counts nothing from it.
    let mass = difference.filter(|mass| *mass >= ExactMass::ZERO);
    let cylinder = visit.cylinders.get(&weighing.cylinder);
    match weighing.direction {
        Direction::Recovered => {
            let seasonal = weighing.reason == Some(AddReason::Seasonal);
            if !seasonal {
                telling.recovered = telling.recovered + mass.unwrap_or(ExactMass::ZERO);
            }
            let what = What::Removed { mass, seasonal };
            book(telling, entry, when, what.clone());
            telling.put(entry, when, false, what);
        }
        Direction::Charged => {
            let from = cylinder.and_then(|cylinder| {
                let used = cylinder.used_for == Some(CylinderUse::Recovery);
                cylinder.origin.map(gas).or(used.then_some(GasFrom::Recovered))
            });
            let because =
                weighing.reason.map(reason).or_else(|| telling.mended.then_some(Reason::AfterRepair));
            let what = |mass| What::Added { mass, reason: because, leak: None, gas: from };
            book(telling, entry, when, what(mass));
            // What was taken out on this visit and goes back is no loss made up for.
            let back = mass.map_or(ExactMass::ZERO, |mass| mass.min(telling.recovered));
            telling.recovered = telling.recovered - back;
            telling.law.put_back = telling.law.put_back + back;
            telling.put(entry, when, false, what(mass.map(|mass| mass - back)));
            telling.mended = false;
        }
    }
}

fn book(telling: &mut Telling<'_>, entry: &Entry, when: Option<(Date, Option<TimeOfDay>)>, what: What) {
    if let Some((on, at)) = when {
        telling.law.booked.push(Event { id: entry.id.to_string(), on, at, what, written: None });
    }
}

fn changed(telling: &mut Telling<'_>, entry: &Entry, change: &record::PastChange) {
    let when = change.on.as_ref().and_then(Known::value).and_then(local);
    let mass =
        change.amount.as_ref().and_then(Known::typed).and_then(|typed| exact(&typed.text, typed.value));
    let doubtful = change.amount.as_ref().is_some_and(loose) || change.on.as_ref().is_some_and(loose);
    let what = match change.change {
        Some(Change::Removed) => What::Removed { mass, seasonal: change.reason == Some(AddReason::Seasonal) },
        Some(Change::Added) | None => {
            What::Added { mass, reason: change.reason.map(reason), leak: None, gas: change.origin.map(gas) }
        }
    };
    book(telling, entry, when, what.clone());
    telling.put(entry, when, doubtful, what);
}

fn stepped(
    telling: &mut Telling<'_>,
    entry: &Entry,
    step: &record::Step,
    when: Option<(Date, Option<TimeOfDay>)>,
) {
    let passed = step.result.map(|word| word == PassFail::Pass);
    let place = step.leak.as_ref().or(entry.seen.place.as_ref());
    let leak = telling.leak(place);
    let amount = step.amount.as_ref().and_then(Known::typed);
    let mass = amount.and_then(|typed| exact(&typed.text, typed.value));
    let what = match step.what {
        StepOf::OwnerTold => What::OwnerTold,
        StepOf::ReportSent => What::Reported { duty: step.duty.clone().unwrap_or_default() },
        StepOf::LeakTest => {
            let leak = if passed == Some(false) { place.and_then(|place| leak_key(place)) } else { None };
            telling.leaks.extend(leak.clone());
            What::LeakChecked { found: passed.map(|passed| !passed), leak, located: None }
        }
        // Without its result such a test says nothing.
        StepOf::VerificationTest => match passed {
            Some(passed) => What::InitialVerification { passed },
            None => return,
        },
        StepOf::FollowUpTest => match passed {
            Some(passed) => What::FollowUpVerification {
                passed,
                all_leaks: step.all_leaks.map(|word| word == YesNo::Yes),
            },
            None => return,
        },
        StepOf::BackToNormal => What::ReturnedToNormal,
        StepOf::Emptied => What::Emptied { leak },
        StepOf::Released => What::Released { mass },
        StepOf::Mothballed => What::Mothballed,
        StepOf::PartsDelivered => What::PartsDelivered,
        StepOf::ExtensionAsked => What::ExtensionAsked,
        StepOf::PlanWritten => What::PlanWritten,
        StepOf::PlanFinished => What::PlanFinished,
        StepOf::DetectionFitted => What::DetectionFitted,
        StepOf::DetectionChecked => What::DetectionChecked,
        StepOf::Retired => What::Retired,
    };
    if matches!(what, What::Released { .. }) {
        book(telling, entry, when, what.clone());
    }
    telling.put(entry, when, step.amount.as_ref().is_some_and(loose), what);
}

fn intended(visit: &Visit, law: &mut LawFacts) {
    let today = &visit.visit.value;
    // After the last addition only a repair tells why more would go in; else it is asked.
    let mended = law
        .facts
        .events
        .iter()
        .rev()
        .take_while(|event| !matches!(event.what, What::Added { .. }))
        .any(|event| matches!(event.what, What::Repaired { .. }));
    let mut origins: Vec<Option<GasFrom>> = visit
        .cylinders
        .values()
        .filter(|cylinder| cylinder.used_for != Some(CylinderUse::Recovery))
        .map(|cylinder| cylinder.origin.map(gas))
        .collect();
    origins.dedup();
    law.facts.intended = Intended {
        reason: today.adds_for.map(reason).or_else(|| mended.then_some(Reason::AfterRepair)),
        gas: if let [Some(one)] = origins[..] { Some(one) } else { None },
        tight_since_test: today.tight_since_test.map(|word| word == YesNo::Yes),
    };
}
