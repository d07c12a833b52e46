//! The form of a duty: what the data files say, as types.

use crate::{Date, ExactMass, Ratio};
use serde::Serialize;

/// Names of one kind that stand in data files and in JSON, with the enum's own spelling beside them.
macro_rules! names {
    ($(#[$doc:meta])* $type:ident { $($(#[$vdoc:meta])* $variant:ident = $name:literal),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $type { $($(#[$vdoc])* $variant),* }

        impl $type {
            /// Every one of them, in the order of their declaration.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// Returns the name as it stands in data files and JSON.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name),* }
            }

            /// Returns the one with this name, or nothing.
            #[must_use]
            pub fn named(name: &str) -> Option<Self> {
                match name { $($name => Some(Self::$variant),)* _ => None }
            }
        }

        impl serde::Serialize for $type {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.name())
            }
        }

        impl<'de> serde::Deserialize<'de> for $type {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let name = <String as serde::Deserialize>::deserialize(deserializer)?;
                Self::named(&name).ok_or_else(|| serde::de::Error::custom(format_args!("no {}: {name:?}", stringify!($type))))
            }
        }
    };
}
pub(crate) use names;

names! {
    /// By which reading an entry is known. The order is that of trust, best first.
    Status {
        /// The law's own text was read: the only ground for a firm verdict.
        ReadInLaw = "read-in-law",
        /// The sections named were read and no ban was found in them. Never a permission.
        Silence = "silence",
        /// A guidance page of the authority was read, not the law.
        ReadInGuide = "read-in-guide",
        /// A page about the law, a mirror of unknown date or an unchecked quotation was read.
        Secondary = "secondary",
        /// Recalled; nothing was read.
        Recalled = "recalled",
    }
}

names! {
    /// The function that judges a duty. The numbers it uses stand in the duty's own file.
    Judge {
        /// Sets the scope or the words of others; judges nothing.
        Definition = "definition",
        /// Stands as long as it applies; no record can meet it once and for all.
        Standing = "standing",
        /// Sections read without a ban in them.
        NoBanFound = "no-ban-found",
        /// A written record with required fields.
        Record = "record",
        /// Work by certified persons.
        CertifiedPerson = "certified-person",
        /// Leak rate calculated at each addition.
        LeakRateCalculation = "leak-rate-calculation",
        /// One method of leak rate for the facility.
        LeakRateMethod = "leak-rate-method",
        /// The percentage over which a leak rate asks for action.
        LeakRateThreshold = "leak-rate-threshold",
        /// Leaks repaired in time after an exceedance.
        RepairAfterExceedance = "repair-after-exceedance",
        /// Initial verification test in time and before refrigerant goes back.
        InitialVerification = "initial-verification",
        /// Follow-up verification test.
        FollowUpVerification = "follow-up-verification",
        /// The choice to ask for more time to repair.
        RepairExtension = "repair-extension",
        /// Inspections every so many months after an exceedance, until four good quarters.
        InspectionAfterExceedance = "inspection-after-exceedance",
        /// An inspection each calendar year after an exceedance, until one good year.
        InspectionEachCalendarYear = "inspection-each-calendar-year",
        /// Detection system audited, calibrated or checked.
        DetectionCheck = "detection-check",
        /// Detection system fitted by a day.
        DetectionFittedBy = "detection-fitted-by",
        /// Retrofit or retirement plan written.
        RetrofitPlan = "retrofit-plan",
        /// Plan carried out.
        PlanFinished = "plan-finished",
        /// The choice to ask for relief from a plan.
        PlanRelief = "plan-relief",
        /// The choice to ask for more time for a plan.
        PlanExtension = "plan-extension",
        /// Report on an appliance that lost more than its charge in a calendar year.
        ChronicLeakReport = "chronic-leak-report",
        /// No adding in order to leak test.
        NoAddingToLeakTest = "no-adding-to-leak-test",
        /// No adding unless leak tested beforehand, and a found leak repaired.
        LeakTestBeforeAdding = "leak-test-before-adding",
        /// No adding unless the leak was located and repaired.
        LeakLocatedBeforeAdding = "leak-located-before-adding",
        /// No adding while a leak is known.
        NoAddingWithIdentifiedLeak = "no-adding-with-identified-leak",
        /// The exception for immediate danger.
        EmergencyException = "emergency-exception",
        /// Owner told at once after an emergency charge.
        EmergencyNotice = "emergency-notice",
        /// Report after an emergency charge.
        EmergencyReport = "emergency-report",
        /// No adding beyond what was recovered.
        NoNetGain = "no-net-gain",
        /// Leak test within so many months and in each calendar year.
        LeakTestEachYear = "leak-test-each-year",
        /// Leak test every so many months.
        LeakTestEachPeriod = "leak-test-each-period",
        /// A found leak repaired, or its part emptied, within a time.
        LeakRepairedWithin = "leak-repaired-within",
        /// A found leak stopped at once.
        LeakStoppedAtOnce = "leak-stopped-at-once",
        /// A found leak repaired without undue delay.
        LeakRepairedPromptly = "leak-repaired-promptly",
        /// Checked again after a repair.
        RecheckAfterRepair = "recheck-after-repair",
        /// Leak check at an interval set by the amount of gas.
        LeakCheckInterval = "leak-check-interval",
        /// Report when additions since the last review pass a share of the charge.
        RechargeShareReport = "recharge-share-report",
        /// First report of a large release.
        LargeReleaseFirstReport = "large-release-first-report",
        /// Full report of a large release.
        LargeReleaseFullReport = "large-release-full-report",
        /// Half-yearly report of smaller releases.
        HalfYearReleaseReport = "half-year-release-report",
        /// Which origin of gas may be used.
        GasOrigin = "gas-origin",
        /// An exception to a ban on gas.
        GasException = "gas-exception",
        /// A gas that may not be used at all.
        GasBanned = "gas-banned",
    }
}

names! {
    /// What an entry does to the question whether refrigerant may be added now.
    Effect {
        /// Adding goes on, with duties.
        AllowedWithDuties = "allowed-with-duties",
        /// Not until leak tested beforehand and any leak repaired.
        NoAddingUntilTestedAndRepaired = "no-adding-until-tested-and-repaired",
        /// Not until the leak was located and repaired.
        NoAddingUntilLocatedAndRepaired = "no-adding-until-located-and-repaired",
        /// Not while a leak is known.
        NoAddingWithKnownLeak = "no-adding-with-known-leak",
        /// Not until the initial verification test passed.
        NoAddingUntilInitialVerification = "no-adding-until-initial-verification",
        /// Not for the purpose of a leak test.
        NoAddingToLeakTest = "no-adding-to-leak-test",
        /// A ban is lifted in an emergency.
        EmergencyOnly = "emergency-only",
        /// Only to replace what was recovered.
        NoNetGain = "no-net-gain",
        /// Not with virgin gas.
        NoVirginGas = "no-virgin-gas",
        /// Only with reclaimed gas.
        ReclaimedOnly = "reclaimed-only",
        /// Reclaimed or recycled gas is excepted from a ban until a day.
        ReclaimedOrRecycledUntil = "reclaimed-or-recycled-until",
        /// Recovered gas only after recycling or reclamation.
        RecoveredOnlyAfterTreatment = "recovered-only-after-treatment",
        /// Not with this gas at all.
        NoGas = "no-gas",
    }
}

names! {
    /// What the refrigerant must hold for a duty to apply.
    Holds {
        /// A CFC or HCFC, alone or in a blend.
        Ods = "ods",
        /// A CFC.
        Cfc = "cfc",
        /// An HCFC.
        Hcfc = "hcfc",
        /// An HFC.
        Hfc = "hfc",
        /// An HCFC or HFC.
        HcfcOrHfc = "hcfc-or-hfc",
        /// A CFC, HCFC or HFC.
        CfcHcfcHfc = "cfc-hcfc-hfc",
        /// A CFC, HCFC, HFC or PFC; unsaturated HFCs alone are not settled.
        Halocarbon = "halocarbon",
        /// An ozone-depleting substance or a substitute that is not exempt from the venting ban.
        OdsOrSubstitute = "ods-or-substitute",
        /// An HFC, or a GWP over 53; not solely ozone-depleting.
        HfcOrGwpOver53 = "hfc-or-gwp-over-53",
        /// A gas of Annex I of Regulation (EU) 2024/573.
        Annex1 = "annex-1",
        /// A gas of Annex II section 1 of Regulation (EU) 2024/573.
        Annex2 = "annex-2-1",
        /// A gas of either.
        Annex1Or2 = "annex-1-or-2",
        /// Any fluorinated gas.
        Fluorinated = "fluorinated",
        /// A hydrocarbon.
        Hydrocarbon = "hydrocarbon",
    }
}

names! {
    /// What the equipment is for.
    Use {
        /// Retail food and cold storage.
        CommercialRefrigeration = "commercial-refrigeration",
        /// Automatic commercial ice makers.
        IceMaker = "ice-maker",
        /// Refrigeration that is part of an industrial process.
        IndustrialProcessRefrigeration = "industrial-process-refrigeration",
        /// Comfort cooling other than the kinds below.
        ComfortCooling = "comfort-cooling",
        /// A chiller.
        Chiller = "chiller",
        /// Residential and light commercial air conditioning and heat pumps.
        LightCommercialAirConditioning = "light-commercial-air-conditioning",
        /// Variable refrigerant flow systems.
        VariableFlowAirConditioning = "variable-flow-air-conditioning",
        /// Refrigerated transport.
        RefrigeratedTransport = "refrigerated-transport",
        /// Air conditioning of vehicles.
        VehicleAirConditioning = "vehicle-air-conditioning",
        /// Anything else.
        Other = "other",
    }
}

names! {
    /// A field that a written record must have.
    Field {
        /// Which system or appliance.
        System = "system",
        /// Owner or operator.
        Owner = "owner",
        /// Responsible person.
        ResponsiblePerson = "responsible-person",
        /// Address.
        Address = "address",
        /// Where it stands.
        Location = "location",
        /// Serial number or other mark.
        SerialNumber = "serial-number",
        /// Kind of equipment.
        EquipmentType = "equipment-type",
        /// Full charge.
        FullCharge = "full-charge",
        /// How the full charge was found.
        FullChargeMethod = "full-charge-method",
        /// Range and midpoint, where a range was used.
        FullChargeRange = "full-charge-range",
        /// Revisions of the full charge.
        FullChargeRevisions = "full-charge-revisions",
        /// Day of the work.
        Date = "date",
        /// Kind of activity.
        Activity = "activity",
        /// Parts worked on.
        PartsServiced = "parts-serviced",
        /// What was done.
        WorkDone = "work-done",
        /// Who did it.
        Person = "person",
        /// The employer.
        Employer = "employer",
        /// Number of the certificate.
        CertificateNumber = "certificate-number",
        /// Kind of refrigerant.
        Refrigerant = "refrigerant",
        /// Amount added.
        AmountAdded = "amount-added",
        /// Amount added at installation.
        AmountAddedAtInstallation = "amount-added-at-installation",
        /// Reason for adding.
        ReasonAdded = "reason-added",
        /// Amount recovered.
        AmountRecovered = "amount-recovered",
        /// Where recycled or reclaimed gas came from.
        GasOrigin = "gas-origin",
        /// Leak rate.
        LeakRate = "leak-rate",
        /// Method of the leak rate.
        LeakRateMethod = "leak-rate-method",
        /// How leaks were looked for.
        CheckMethod = "check-method",
        /// Where leaks were found.
        LeakLocations = "leak-locations",
        /// That all visible and accessible parts were inspected.
        AllPartsInspected = "all-parts-inspected",
        /// Kind of test.
        TestType = "test-type",
        /// Result of a test.
        TestResult = "test-result",
        /// Days of checks.
        CheckDates = "check-dates",
        /// Days of repairs.
        RepairDates = "repair-dates",
        /// Decommissioning, and what became of the gas.
        Decommissioning = "decommissioning",
    }
}

/// A duty: one rule of one law, with its dated versions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Duty {
    /// Its id, such as `us82.repair`.
    pub id: String,
    /// The jurisdiction, such as `us`, `ca-federal`, `es`.
    pub jurisdiction: String,
    /// The law.
    pub instrument: String,
    /// The section.
    pub section: String,
    /// What it asks, in plain English words. Not a quotation.
    pub asks: String,
    /// A remark on what was read, or nothing.
    pub note: Option<String>,
    /// The function that judges it.
    pub judged_by: Judge,
    /// When it applies.
    pub applies: Applies,
    /// Its versions, in the order of the file.
    pub versions: Vec<Version>,
    /// Who added it.
    pub origin: Origin,
}

/// Who added an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// It ships with the program.
    Shipped,
    /// A user or shop added it. It can add duties and bans, never a permission.
    Added,
}

/// When a duty applies; whatever is absent does not matter.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Applies {
    /// What the refrigerant holds.
    pub holds: Option<Holds>,
    /// What the equipment is for: any of these; empty for any use.
    pub uses: Vec<Use>,
    /// Uses that are left out.
    pub not_uses: Vec<Use>,
    /// Uses of which it is contested whether they are left out.
    pub contested_uses: Vec<Use>,
    /// Full charge at least.
    pub charge_at_least: Option<ExactMass>,
    /// Full charge more than.
    pub charge_over: Option<ExactMass>,
    /// Full charge less than.
    pub charge_below: Option<ExactMass>,
    /// Charge of the largest circuit more than.
    pub largest_circuit_over: Option<ExactMass>,
    /// Mass of unsaturated HFC at least.
    pub hfo_at_least: Option<ExactMass>,
    /// Mass of unsaturated HFC less than.
    pub hfo_below: Option<ExactMass>,
    /// Mass of unsaturated HFC that is enough where the tonnes are not.
    pub or_hfo_at_least: Option<ExactMass>,
    /// Charge in tonnes of CO2 equivalent at least.
    pub tonnes_co2e_at_least: Option<Ratio>,
    /// Charge in tonnes of CO2 equivalent less than.
    pub tonnes_co2e_below: Option<Ratio>,
    /// Equipment labelled hermetically sealed only from this many tonnes of CO2 equivalent.
    pub hermetic_from_tonnes: Option<Ratio>,
    /// Equipment labelled hermetically sealed only from this much unsaturated HFC.
    pub hermetic_from_hfo: Option<ExactMass>,
    /// Equipment labelled hermetically sealed in a residential building only from this charge.
    pub residential_hermetic_from: Option<ExactMass>,
    /// GWP of the refrigerant at least.
    pub gwp_at_least: Option<Ratio>,
    /// Rated power more than, kW.
    pub kilowatts_over: Option<Ratio>,
    /// Rated power at least, kW.
    pub kilowatts_at_least: Option<Ratio>,
    /// Installed on or after.
    pub installed_from: Option<Date>,
    /// Installed on or before.
    pub installed_until: Option<Date>,
}

/// One dated wording of a duty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Version {
    /// First day; absent where it was not read.
    pub from: Option<Date>,
    /// Last day; absent while it stands.
    pub until: Option<Date>,
    /// By which reading it is known.
    pub status: Status,
    /// Its numbers.
    pub numbers: Numbers,
    /// The event that starts the time, in words.
    pub starts: Option<String>,
    /// Years that records are kept.
    pub record_years: Option<u32>,
    /// Who keeps them.
    pub kept_by: Option<String>,
    /// Fields the record must have.
    pub fields: Vec<Field>,
    /// Those of them a contractor must supply, where the law says so.
    pub contractor_fields: Vec<Field>,
    /// It asks for a leakage detection system itself, not only for its upkeep.
    pub asks_for_detection: bool,
    /// The owner must have been told of a found leak before refrigerant is added.
    pub owner_told_first: bool,
    /// What it does to charging.
    pub effect: Option<Effect>,
    /// Where it stands.
    pub source: Source,
    /// When it was last looked at, and by which reading.
    pub checked: Checked,
}

/// The numbers of a version; whatever is absent the rule does not have.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Numbers {
    /// Days.
    pub days: Option<u32>,
    /// Days where an industrial process must be shut down.
    pub days_with_shutdown: Option<u32>,
    /// Days after parts are delivered.
    pub days_after_delivery: Option<u32>,
    /// Days beyond which no extension goes.
    pub outer_days: Option<u32>,
    /// The same with a shutdown.
    pub outer_days_with_shutdown: Option<u32>,
    /// Working days.
    pub working_days: Option<u32>,
    /// Hours.
    pub hours: Option<u32>,
    /// Months.
    pub months: Option<u32>,
    /// Months beyond which no delay goes.
    pub outer_months: Option<u32>,
    /// Years.
    pub years: Option<u32>,
    /// Percent of the full charge.
    pub percent: Option<u32>,
    /// Kilograms released.
    pub kilograms: Option<u32>,
    /// Kilograms released, less than.
    pub kilograms_below: Option<u32>,
    /// A fixed last day.
    pub by: Option<Date>,
    /// Reclaimed and recycled gas stays allowed before this day.
    pub treated_gas_until: Option<Date>,
}

/// Where a wording stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Source {
    /// The instrument or page.
    pub title: String,
    /// Its article or section.
    pub article: Option<String>,
    /// An address.
    pub href: Option<String>,
    /// The copy that was read, if another; or that none was.
    pub read_in: Option<String>,
}

/// When an entry was looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Checked {
    /// The day.
    pub on: Date,
    /// By which reading.
    pub by: String,
}

impl Duty {
    /// Returns the version in force on `date`, the latest if several are.
    #[must_use]
    pub fn version_on(&self, date: Date) -> Option<&Version> {
        self.versions
            .iter()
            .filter(|v| v.from.is_none_or(|from| from <= date) && v.until.is_none_or(|until| date <= until))
            .max_by_key(|v| v.from)
    }
}
