//! The words of the law's answers, by message id.

use report::{Message, Text};
use rules::{ActAsIf, Condition, Due, Field, GasFrom, GasVerdict, Missing, Owner, Status};

/// Returns what must have happened first.
#[must_use]
pub const fn condition(condition: Condition) -> Message {
    match condition {
        Condition::LeakTest => Message::new("law-until-leak-test"),
        Condition::LeakLocated => Message::new("law-until-leak-located"),
        Condition::LeakRepaired => Message::new("law-until-leak-repaired"),
        Condition::OwnerTold => Message::new("law-until-owner-told"),
        Condition::InitialVerification => Message::new("law-until-verification"),
        Condition::ReclaimedOrRecycledGas => Message::new("law-until-treated-gas"),
        Condition::ReclaimedGas => Message::new("law-until-reclaimed-gas"),
        Condition::TreatedGas => Message::new("law-until-recovered-treated"),
        Condition::OtherGas => Message::new("law-until-other-gas"),
        Condition::NoNetGain => Message::new("law-until-no-net-gain"),
        Condition::OtherPurpose => Message::new("law-until-other-purpose"),
        Condition::CertifiedPerson => Message::new("law-until-certified"),
    }
}

/// Returns a fact that is wanting.
#[must_use]
pub const fn missing(fact: Missing) -> Message {
    match fact {
        Missing::Place => Message::new("law-fact-place"),
        Missing::Region => Message::new("law-fact-region"),
        Missing::Owner => Message::new("law-fact-owner"),
        Missing::Use => Message::new("law-fact-use"),
        Missing::Refrigerant => Message::new("law-fact-refrigerant"),
        Missing::Gwp => Message::new("law-fact-gwp"),
        Missing::RefrigerantScope => Message::new("law-fact-refrigerant-scope"),
        Missing::EquipmentScope => Message::new("law-fact-equipment-scope"),
        Missing::FullCharge => Message::new("law-fact-full-charge"),
        Missing::RatedPower => Message::new("law-fact-rated-power"),
        Missing::LabelledHermetic => Message::new("law-fact-hermetic"),
        Missing::DetectionSystem => Message::new("law-fact-detection"),
        Missing::Installed => Message::new("law-fact-installed"),
        Missing::SpecialUse => Message::new("law-fact-special-use"),
        Missing::PreviousLeakCheck => Message::new("law-fact-previous-check"),
        Missing::PreviousDetectionCheck => Message::new("law-fact-previous-detection-check"),
        Missing::PreviousAddition => Message::new("law-fact-previous-addition"),
        Missing::AddedMass => Message::new("law-fact-added-mass"),
        Missing::ReleasedMass => Message::new("law-fact-released-mass"),
        Missing::LeakRateMethod => Message::new("law-fact-method"),
        Missing::ProcessShutdown => Message::new("law-fact-process-shutdown"),
        Missing::Evacuated => Message::new("law-fact-evacuated"),
        Missing::ReturnToNormal => Message::new("law-fact-return-to-normal"),
        Missing::LeakTestBefore => Message::new("law-fact-leak-test-before"),
        Missing::LeakTestResult => Message::new("law-fact-leak-test-result"),
        Missing::OwnerTold => Message::new("law-fact-owner-told"),
        Missing::Certified => Message::new("law-fact-certified"),
        Missing::StoppingEndangers => Message::new("law-fact-stopping-endangers"),
        Missing::Reason => Message::new("law-fact-reason"),
        Missing::GasFrom => Message::new("law-fact-gas-from"),
        Missing::TimeOfDay => Message::new("law-fact-time-of-day"),
    }
}

/// Returns how an entry is known.
#[must_use]
pub const fn status(status: Status) -> Message {
    match status {
        Status::ReadInLaw => Message::new("law-status-read"),
        Status::Silence => Message::new("law-status-silence"),
        Status::ReadInGuide => Message::new("law-status-guide"),
        Status::Secondary => Message::new("law-status-secondary"),
        Status::Recalled => Message::new("law-status-recalled"),
    }
}

/// Returns where gas comes from.
#[must_use]
pub const fn gas(from: GasFrom) -> Message {
    match from {
        GasFrom::Virgin => Message::new("law-gas-virgin"),
        GasFrom::Reclaimed => Message::new("law-gas-reclaimed"),
        GasFrom::Recycled => Message::new("law-gas-recycled"),
        GasFrom::Recovered => Message::new("law-gas-recovered"),
    }
}

/// Returns whether gas of an origin may be used.
#[must_use]
pub const fn gas_verdict(verdict: GasVerdict) -> Message {
    match verdict {
        GasVerdict::NoBanFound => Message::new("law-gas-no-ban"),
        GasVerdict::Banned => Message::new("law-gas-banned"),
        GasVerdict::ActAsIfBanned => Message::new("law-gas-act-as-if-banned"),
        GasVerdict::Unknown => Message::new("law-gas-unknown"),
    }
}

/// Returns by when.
#[must_use]
pub fn due(due: Due) -> Text {
    match due {
        Due::On(day) => Text::verbatim(day.to_string()),
        Due::At(day, time) => Text::verbatim(format!("{day} {time}")),
        Due::AtOnce(_) => Message::new("law-due-at-once").into(),
        Due::WithoutUndueDelay(_) => Message::new("law-due-without-delay").into(),
        Due::BeforeAdding => Message::new("law-due-before-adding").into(),
    }
}

/// Returns whose it is.
#[must_use]
pub const fn owner(owner: Owner) -> Message {
    match owner {
        Owner::Federal => Message::new("law-owner-federal"),
        Owner::OnFederalLand => Message::new("law-owner-federal-land"),
        Owner::Private => Message::new("law-owner-private"),
    }
}

/// Returns the name of a jurisdiction; of one that nothing is known of, its code.
#[must_use]
pub fn jurisdiction(id: &str) -> Text {
    match id {
        "ca-federal" => Message::new("law-place-ca-federal").into(),
        "ca-on" => Message::new("law-place-ca-on").into(),
        "ca-qc" => Message::new("law-place-ca-qc").into(),
        "ca-mb" => Message::new("law-place-ca-mb").into(),
        "ca-province" => Message::new("law-place-ca-province").into(),
        "us" => Message::new("law-place-us").into(),
        "us-ca" => Message::new("law-place-us-ca").into(),
        "eu" => Message::new("law-place-eu").into(),
        "es" => Message::new("law-place-es").into(),
        "fr" => Message::new("law-place-fr").into(),
        "gb" => Message::new("law-place-gb").into(),
        other => Text::verbatim(other.to_uppercase()),
    }
}

/// Returns why a ban is acted upon and not firm: its text was not read, or a fact decides whether it holds here.
#[must_use]
pub fn to_read(ban: &ActAsIf<'_>) -> Message {
    match listed(ban.missing.iter().map(|fact| missing(*fact))) {
        Some(facts) if ban.status == Status::ReadInLaw => Message::new("law-depends")
            .with("facts", facts)
            .with("instrument", ban.instrument)
            .with("section", ban.section),
        _ => Message::new("law-not-confirmed")
            .with("instrument", ban.instrument)
            .with("section", ban.section)
            .with("status", status(ban.status)),
    }
}

/// Returns the one line for an unconfirmed ban.
#[must_use]
pub fn act_as_if(wording: &str) -> Message {
    match wording {
        "act-as-if-no-adding-until-tested-and-repaired" => Message::new("law-act-tested-and-repaired"),
        "act-as-if-no-adding-until-located-and-repaired" => Message::new("law-act-located-and-repaired"),
        "act-as-if-no-adding-with-known-leak" => Message::new("law-act-known-leak"),
        "act-as-if-no-adding-until-initial-verification" => Message::new("law-act-verification"),
        "act-as-if-no-adding-to-leak-test" => Message::new("law-act-leak-test"),
        "act-as-if-no-net-gain" => Message::new("law-act-no-net-gain"),
        "act-as-if-no-virgin-gas" => Message::new("law-act-no-virgin-gas"),
        "act-as-if-reclaimed-only" => Message::new("law-act-reclaimed-only"),
        "act-as-if-recovered-only-after-treatment" => Message::new("law-act-treated"),
        "act-as-if-no-gas" => Message::new("law-act-no-gas"),
        "act-as-if-certified-person" => Message::new("law-act-certified"),
        _ => Message::new("law-act-duties"),
    }
}

/// Returns a field of a written record.
#[must_use]
pub const fn field(field: Field) -> Message {
    match field {
        Field::System => Message::new("law-field-system"),
        Field::Owner => Message::new("law-field-owner"),
        Field::ResponsiblePerson => Message::new("law-field-responsible-person"),
        Field::Address => Message::new("law-field-address"),
        Field::Location => Message::new("law-field-location"),
        Field::SerialNumber => Message::new("law-field-serial-number"),
        Field::EquipmentType => Message::new("law-field-equipment-type"),
        Field::FullCharge => Message::new("law-field-full-charge"),
        Field::FullChargeMethod => Message::new("law-field-full-charge-method"),
        Field::FullChargeRange => Message::new("law-field-full-charge-range"),
        Field::FullChargeRevisions => Message::new("law-field-full-charge-revisions"),
        Field::Date => Message::new("law-field-date"),
        Field::Activity => Message::new("law-field-activity"),
        Field::PartsServiced => Message::new("law-field-parts-serviced"),
        Field::WorkDone => Message::new("law-field-work-done"),
        Field::Person => Message::new("law-field-person"),
        Field::Employer => Message::new("law-field-employer"),
        Field::CertificateNumber => Message::new("law-field-certificate-number"),
        Field::Refrigerant => Message::new("law-field-refrigerant"),
        Field::AmountAdded => Message::new("law-field-amount-added"),
        Field::AmountAddedAtInstallation => Message::new("law-field-amount-at-installation"),
        Field::ReasonAdded => Message::new("law-field-reason-added"),
        Field::AmountRecovered => Message::new("law-field-amount-recovered"),
        Field::GasOrigin => Message::new("law-field-gas-origin"),
        Field::LeakRate => Message::new("law-field-leak-rate"),
        Field::LeakRateMethod => Message::new("law-field-leak-rate-method"),
        Field::CheckMethod => Message::new("law-field-check-method"),
        Field::LeakLocations => Message::new("law-field-leak-locations"),
        Field::AllPartsInspected => Message::new("law-field-all-parts"),
        Field::TestType => Message::new("law-field-test-type"),
        Field::TestResult => Message::new("law-field-test-result"),
        Field::CheckDates => Message::new("law-field-check-dates"),
        Field::RepairDates => Message::new("law-field-repair-dates"),
        Field::Decommissioning => Message::new("law-field-decommissioning"),
    }
}

/// Returns the parts one behind the other, as a list inside a sentence.
#[must_use]
pub fn listed(parts: impl IntoIterator<Item = Message>) -> Option<Message> {
    parts.into_iter().reduce(|list, next| Message::new("law-list").with("list", list).with("next", next))
}
