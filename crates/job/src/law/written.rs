//! Which fields of a legal record this visit's record has.

use crate::law::LawFacts;
use crate::visit::Visit;
use record::{Body, CheckResult, Direction, Known, StepOf, YesNo};
use rules::{Assessment, Field, RecordAsked};
use std::collections::BTreeSet;

/// The fields of legal records as this visit has them.
#[derive(Clone, Debug, Default)]
pub struct Written {
    /// Fields that stand in the record.
    pub given: BTreeSet<Field>,
    /// Fields that have nothing to say on this visit: nothing of the kind was done.
    pub empty: BTreeSet<Field>,
}

impl Written {
    /// Returns the fields a legal record asks for that neither stand in the record nor have nothing to say.
    #[must_use]
    pub fn lacking(&self, record: &RecordAsked<'_>) -> Vec<Field> {
        let wanted = record.version.fields.iter().copied();
        wanted.filter(|field| !self.given.contains(field) && !self.empty.contains(field)).collect()
    }
}

/// Returns the fields that the record of this visit has.
#[must_use]
pub fn written(visit: &Visit, law: &LawFacts, assessment: &Assessment<'_>) -> Written {
    let mut out = Written::default();
    let (site, customer) = (&visit.site.value, &visit.customer.value);
    let (system, today) = (&visit.system.value, &visit.visit.value);
    let said = |known: bool, field: Field, out: &mut Written| {
        if known {
            out.given.insert(field);
        }
    };
    fn known<Q>(field: &Option<Known<Q>>) -> bool {
        field.as_ref().is_some_and(|known| !known.is_unknown())
    }
    said(system.name.is_some(), Field::System, &mut out);
    said(customer.name.is_some(), Field::Owner, &mut out);
    said(customer.contact.is_some(), Field::ResponsiblePerson, &mut out);
    said(site.address.is_some(), Field::Address, &mut out);
    said(site.name.is_some() || site.address.is_some(), Field::Location, &mut out);
    said(system.serial.is_some(), Field::SerialNumber, &mut out);
    said(
        known(&system.unit) || known(&system.box_kind) || known(&system.equipment),
        Field::EquipmentType,
        &mut out,
    );
    said(known(&system.charge), Field::FullCharge, &mut out);
    said(known(&system.charge_by), Field::FullChargeMethod, &mut out);
    let range = system.charge.as_ref().is_some_and(|charge| matches!(charge.plain(), Known::Range { .. }));
    // The range and its midpoint are asked for only where a range was used; corrections of the charge stay in the log.
    if range { &mut out.given } else { &mut out.empty }.insert(Field::FullChargeRange);
    out.given.insert(Field::FullChargeRevisions);
    said(visit.day().is_some(), Field::Date, &mut out);
    said(today.by.is_some(), Field::Person, &mut out);
    said(today.employer.is_some(), Field::Employer, &mut out);
    said(known(&today.certificate), Field::CertificateNumber, &mut out);
    said(visit.substance.is_some(), Field::Refrigerant, &mut out);
    let rate = assessment.leak_rates.iter().any(|line| line.percent_per_year.is_some());
    said(rate, Field::LeakRate, &mut out);
    said(system.leak_rate_method.is_some(), Field::LeakRateMethod, &mut out);
    work(visit, &mut out);
    if !law.facts.events.iter().any(|event| matches!(event.what, rules::What::Retired)) {
        out.empty.insert(Field::Decommissioning);
    }
    out
}

/// What the entries of the visit say; of what was not done there is nothing to write.
fn work(visit: &Visit, out: &mut Written) {
    let (mut charged, mut recovered, mut hits, mut checks, mut repairs, mut tests) = (0, 0, 0, 0, 0, 0);
    let mut installed = false;
    let mut whole = false;
    // Every charge must have its amount, its reason and its origin before the field counts as written.
    let (mut amounts, mut reasons, mut origins, mut taken) = (true, true, true, true);
    let mut placed = true;
    for entry in &visit.current.entries {
        match entry.what() {
            Body::Weighing(weighing) if weighing.direction == Direction::Charged => {
                charged += 1;
                amounts &= weighing.after.is_some();
                reasons &= weighing.reason.is_some();
                origins &= visit.cylinders.get(&weighing.cylinder).is_some_and(|c| c.origin.is_some());
            }
            Body::Weighing(weighing) => {
                recovered += 1;
                taken &= weighing.after.is_some();
            }
            Body::LeakCheck(check) if check.result != CheckResult::NotDone => {
                checks += 1;
                whole |= check.whole_system == Some(YesNo::Yes);
                if check.result == CheckResult::Hit {
                    hits += 1;
                    placed &= entry.seen.place.is_some();
                }
            }
            Body::Repair(_) => {
                repairs += 1;
                placed &= entry.seen.place.is_some();
            }
            Body::Hold(_) | Body::Rise(_) => tests += 1,
            Body::Step(step) => {
                if matches!(step.what, StepOf::LeakTest | StepOf::VerificationTest | StepOf::FollowUpTest) {
                    tests += 1;
                    whole |= step.what == StepOf::LeakTest;
                }
            }
            Body::PastChange(change) => {
                installed |= change.reason == Some(record::AddReason::NewInstallation)
                    && change.amount.as_ref().is_some_and(|amount| !amount.is_unknown());
            }
            _ => {}
        }
    }
    let mut set = |done: usize, complete: bool, field: Field| {
        if done == 0 {
            out.empty.insert(field);
        } else if complete {
            out.given.insert(field);
        }
    };
    set(charged, amounts, Field::AmountAdded);
    set(charged, reasons, Field::ReasonAdded);
    set(charged, origins, Field::GasOrigin);
    set(recovered, taken, Field::AmountRecovered);
    set(hits, placed, Field::LeakLocations);
    set(checks, true, Field::CheckMethod);
    set(checks + tests, whole, Field::AllPartsInspected);
    set(checks + tests, true, Field::CheckDates);
    set(repairs, true, Field::RepairDates);
    set(repairs, true, Field::WorkDone);
    set(repairs, placed, Field::PartsServiced);
    set(tests, true, Field::TestType);
    set(tests, true, Field::TestResult);
    set(charged + recovered + checks + repairs + tests, true, Field::Activity);
    if installed {
        out.given.insert(Field::AmountAddedAtInstallation);
    }
}
