//! What is known of a system: the only thing the law is asked about. Whatever is absent is not known.

use crate::duty::{Field, Use, names};
use crate::{Date, ExactMass, Ratio, TimeOfDay};
use serde::Serialize;

/// The facts about one system, or one independent circuit where the law counts circuits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// Where it stands, as an ISO 3166 code: `US`, `US-CA`, `CA-ON`, `ES`, `GB-ENG`, `GB-NIR`.
    pub place: Option<Place>,
    /// Whose it is; only Canada asks.
    pub owner: Option<Owner>,
    /// What it is for.
    pub use_of: Option<Use>,
    /// The refrigerant's designation, such as `R-449A`.
    pub refrigerant: Option<String>,
    /// The full charge of this appliance.
    pub full_charge: Option<FullCharge>,
    /// The charge of the largest circuit where several share one system; the full charge counts if absent.
    pub largest_circuit: Option<ExactMass>,
    /// Rated power of the unit, kW.
    pub rated_kilowatts: Option<Ratio>,
    /// Labelled as hermetically sealed.
    pub labelled_hermetic: Option<bool>,
    /// Stands in a residential building.
    pub residential: Option<bool>,
    /// Has a leakage detection system that alerts somebody.
    pub detection_system: Option<bool>,
    /// The day it was installed.
    pub installed: Option<Date>,
    /// A use the bans on gas leave out, if it is one.
    pub special_use: Option<SpecialUse>,
    /// An industrial process must be shut down for the repair.
    pub process_shutdown: Option<bool>,
    /// The leak rate method chosen for all appliances of the facility.
    pub leak_rate_method: Option<Method>,
    /// The person doing the work holds the certificate the place asks for.
    pub certified: Option<bool>,
    /// Stopping the unit would endanger life or health.
    pub stopping_endangers: Option<bool>,
    /// A charge is needed now against an immediate danger to the environment, life or health.
    pub immediate_danger: Option<bool>,
    /// Refrigerant was also added on days that nobody knows: every leak rate is a floor.
    pub additions_without_day: bool,
    /// What is about to be done with refrigerant.
    pub intended: Intended,
    /// What happened, in any order.
    pub events: Vec<Event>,
}

/// What is about to be added.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Intended {
    /// Why.
    pub reason: Option<Reason>,
    /// Where the gas comes from.
    pub gas: Option<GasFrom>,
    /// Nothing was lost or opened since the last leak test, where that test was made on an earlier day.
    pub tight_since_test: Option<bool>,
}

/// A place by its ISO 3166 code.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Country, two letters.
    pub country: String,
    /// Part of the country, without the country's letters.
    pub region: Option<String>,
}

impl Place {
    /// Returns the place of a code such as `CA-ON`, or nothing if it has not that form. `UK` reads as `GB`.
    #[must_use]
    pub fn from_code(code: &str) -> Option<Self> {
        let code = code.trim().to_ascii_uppercase();
        let (country, region) = match code.split_once('-') {
            Some((country, region)) => (country, Some(region)),
            None => (code.as_str(), None),
        };
        let letters = |s: &str| s.bytes().all(|b| b.is_ascii_alphanumeric());
        if country.len() != 2
            || !letters(country)
            || region.is_some_and(|r| r.is_empty() || r.len() > 3 || !letters(r))
        {
            return None;
        }
        let country = if country == "UK" { "GB" } else { country };
        Some(Self { country: country.to_owned(), region: region.map(str::to_owned) })
    }
}

impl core::fmt::Display for Place {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match &self.region {
            Some(region) => write!(f, "{}-{region}", self.country),
            None => f.write_str(&self.country),
        }
    }
}

/// The full charge and how it was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FullCharge {
    /// The maker's figure.
    Maker(ExactMass),
    /// By calculation.
    Calculated(ExactMass),
    /// By measurement.
    Measured(ExactMass),
    /// An established range; its midpoint counts.
    Range(ExactMass, ExactMass),
    /// Known, without a word on how.
    Told(ExactMass),
}

impl FullCharge {
    /// Returns the mass that counts as full charge.
    ///
    /// Source: 40 CFR 82.152, the four ways; the midpoint for a range.
    #[must_use]
    pub fn mass(self) -> ExactMass {
        match self {
            Self::Maker(m) | Self::Calculated(m) | Self::Measured(m) | Self::Told(m) => m,
            Self::Range(low, high) => ExactMass::midpoint(low, high),
        }
    }
}

names! {
    /// Whose a system is.
    Owner {
        /// The federal Crown, an agency or Crown corporation, or a federal work or undertaking.
        Federal = "federal",
        /// Anybody, on aboriginal or federal land.
        OnFederalLand = "on-federal-land",
        /// Anybody else.
        Private = "private",
    }
}

names! {
    /// A use that bans on gas leave out.
    SpecialUse {
        /// None of them.
        None = "none",
        /// Military equipment.
        Military = "military",
        /// Cools products below -50 °C.
        BelowMinus50 = "below-minus-50",
        /// Nuclear installations.
        Nuclear = "nuclear",
    }
}

names! {
    /// A legal leak rate method.
    Method {
        /// Addition over the time since the last one, as a yearly rate.
        Annualizing = "annualizing",
        /// Sum of the last 365 days, or since the last good follow-up test.
        Rolling = "rolling",
    }
}

names! {
    /// Why refrigerant is added.
    Reason {
        /// To make up a loss.
        TopUp = "top-up",
        /// After a repair.
        AfterRepair = "after-repair",
        /// Putting back what was recovered for service, no more.
        AfterService = "after-service",
        /// A new installation.
        NewInstallation = "new-installation",
        /// A retrofit.
        Retrofit = "retrofit",
        /// Putting back what was taken out for the season.
        Seasonal = "seasonal",
        /// To test for leaks.
        LeakTest = "leak-test",
        /// Against an immediate danger.
        Emergency = "emergency",
    }
}

names! {
    /// Where gas comes from.
    GasFrom {
        /// New.
        Virgin = "virgin",
        /// Reclaimed, labelled so.
        Reclaimed = "reclaimed",
        /// Recycled by or for the undertaking that recovered it.
        Recycled = "recycled",
        /// Recovered and neither recycled nor reclaimed.
        Recovered = "recovered",
    }
}

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its id in the record.
    pub id: String,
    /// The day, on the site's calendar.
    pub on: Date,
    /// The time of day, on the site's clock.
    pub at: Option<TimeOfDay>,
    /// What it was.
    pub what: What,
    /// The fields its written record has, where somebody looked; nothing if unknown.
    pub written: Option<Vec<Field>>,
}

impl Event {
    /// Returns an event without time of day and without a word on its written record.
    #[must_use]
    pub fn new(id: impl Into<String>, on: Date, what: What) -> Self {
        Self { id: id.into(), on, at: None, what, written: None }
    }
}

/// What happened. `leak` names the leak it belongs to, where the record tells them apart.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// Leak test or inspection of the system.
    LeakChecked {
        /// A leak was found.
        found: Option<bool>,
        /// The leak.
        leak: Option<String>,
        /// The leak itself was located, not only known to be there.
        located: Option<bool>,
    },
    /// A leak was noticed otherwise.
    LeakFound {
        /// The leak.
        leak: Option<String>,
        /// It was located, not only known to be there.
        located: Option<bool>,
    },
    /// The owner was told.
    OwnerTold,
    /// A leak was repaired.
    Repaired {
        /// The leak.
        leak: Option<String>,
        /// The part had been evacuated for it.
        evacuated: Option<bool>,
    },
    /// The leaking part was isolated and emptied, or the whole system was.
    Emptied {
        /// The leak.
        leak: Option<String>,
    },
    /// Initial verification test, after the repair and before refrigerant goes back.
    InitialVerification {
        /// Passed.
        passed: bool,
    },
    /// Back at normal operation.
    ReturnedToNormal,
    /// Follow-up verification test.
    FollowUpVerification {
        /// Passed.
        passed: bool,
        /// It covered all identified leaks.
        all_leaks: Option<bool>,
    },
    /// Refrigerant was added.
    Added {
        /// How much; nothing if not weighed or not known.
        mass: Option<ExactMass>,
        /// Why.
        reason: Option<Reason>,
        /// The leak it made up for.
        leak: Option<String>,
        /// Where it came from.
        gas: Option<GasFrom>,
    },
    /// Refrigerant was taken out.
    Removed {
        /// How much.
        mass: Option<ExactMass>,
        /// For the season.
        seasonal: bool,
    },
    /// Refrigerant got away.
    Released {
        /// How much.
        mass: Option<ExactMass>,
    },
    /// A report or notice that a duty asks for was sent.
    Reported {
        /// The duty's id.
        duty: String,
    },
    /// Evacuated to atmospheric pressure at least and shut down.
    Mothballed,
    /// Parts for a repair arrived.
    PartsDelivered,
    /// More time was asked for.
    ExtensionAsked,
    /// Retrofit or retirement plan written.
    PlanWritten,
    /// Plan carried out.
    PlanFinished,
    /// Leakage detection system checked, audited or calibrated.
    DetectionChecked,
    /// Leakage detection system fitted.
    DetectionFitted,
    /// Retired.
    Retired,
}

names! {
    /// A fact that is not known and would decide.
    Missing {
        /// Where it stands.
        Place = "place",
        /// Which part of the country.
        Region = "region",
        /// Whose it is.
        Owner = "owner",
        /// What it is for.
        Use = "use",
        /// Which refrigerant.
        Refrigerant = "refrigerant",
        /// A warming potential of the refrigerant in this law's list.
        Gwp = "gwp",
        /// Whether the law covers this kind of refrigerant: a question of law, not of fact.
        RefrigerantScope = "refrigerant-scope",
        /// Whether the law covers this kind of equipment: a question of law, not of fact.
        EquipmentScope = "equipment-scope",
        /// Full charge.
        FullCharge = "full-charge",
        /// Rated power.
        RatedPower = "rated-power",
        /// Whether it is labelled hermetically sealed.
        LabelledHermetic = "labelled-hermetic",
        /// Whether it has a leakage detection system.
        DetectionSystem = "detection-system",
        /// When it was installed.
        Installed = "installed",
        /// A use that the ban leaves out, or none.
        SpecialUse = "special-use",
        /// When it was last checked for leaks.
        PreviousLeakCheck = "previous-leak-check",
        /// When the detection system was last checked.
        PreviousDetectionCheck = "previous-detection-check",
        /// When refrigerant was last added before.
        PreviousAddition = "previous-addition",
        /// How much was added.
        AddedMass = "added-mass",
        /// How much was released.
        ReleasedMass = "released-mass",
        /// The leak rate method of the facility.
        LeakRateMethod = "leak-rate-method",
        /// Whether an industrial process must be shut down.
        ProcessShutdown = "process-shutdown",
        /// Whether the part had been evacuated for the repair.
        Evacuated = "evacuated",
        /// When it was back at normal operation.
        ReturnToNormal = "return-to-normal",
        /// A leak test before this addition.
        LeakTestBefore = "leak-test-before",
        /// What the leak test showed.
        LeakTestResult = "leak-test-result",
        /// That the owner was told.
        OwnerTold = "owner-told",
        /// Whether the person is certified.
        Certified = "certified",
        /// Whether stopping would endanger life or health.
        StoppingEndangers = "stopping-endangers",
        /// Why refrigerant is added.
        Reason = "reason",
        /// Where the gas comes from.
        GasFrom = "gas-from",
        /// The time of day.
        TimeOfDay = "time-of-day",
    }
}
