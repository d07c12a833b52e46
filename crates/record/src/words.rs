//! The words that stand in some fields, each with the other spellings that are understood.

use crate::form::Takes;
use crate::known::{Fault, Reads};
use crate::when::Local;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Returns the text in the form words are compared in: lower case, with single spaces for hyphens and underscores.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars() {
        let c = if matches!(c, '-' | '_' | ' ' | '\t') { ' ' } else { c.to_ascii_lowercase() };
        if c != ' ' || !out.ends_with(' ') {
            out.push(c);
        }
    }
    out
}

macro_rules! words {
    ($($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $word:literal $(| $other:literal)*,)* })*) => {$(
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name {
            $($(#[$doc])* $variant,)*
        }

        impl $name {
            /// The words, in the order of the variants.
            pub const WORDS: &'static [&'static str] = &[$($word),*];

            /// Returns the word for it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $($name::$variant => $word,)* }
            }
        }

        impl Reads for $name {
            const EXAMPLE: &'static str = $name::WORDS[0];
            fn takes() -> Takes {
                Takes::Words($name::WORDS)
            }
            fn read(text: &str, _: &Local) -> Result<Self, Fault> {
                match plain(text).as_str() {
                    $($word $(| $other)* => Ok($name::$variant),)*
                    _ => Err(Fault::Word { known: $name::WORDS }),
                }
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let word = String::deserialize(deserializer)?;
                match word.as_str() {
                    $($word => Ok($name::$variant),)*
                    _ => Err(serde::de::Error::unknown_variant(&word, $name::WORDS)),
                }
            }
        }
    )*
        /// Returns the word of a closed list that a text stands for, by any of its spellings.
        #[must_use]
        pub fn word_in(text: &str, words: &[&str]) -> Option<&'static str> {
            let local = Local::default();
            $(if words == $name::WORDS {
                return $name::read(text, &local).ok().map($name::word);
            })*
            None
        }
    };
}

words! {
    /// Yes or no.
    YesNo {
        /// Yes.
        Yes = "yes" | "true",
        /// No.
        No = "no" | "false",
    }
    /// The kind of cold place.
    BoxKind {
        /// A walk-in above freezing.
        WalkInCooler = "walk in cooler" | "cooler" | "cold room",
        /// A walk-in below freezing.
        WalkInFreezer = "walk in freezer" | "freezer" | "freezer room",
        /// A display case above freezing.
        DisplayCase = "display case" | "case",
        /// A display case below freezing.
        FrozenCase = "frozen case" | "freezer case",
        /// A reach-in or an under-counter cabinet.
        Cabinet = "cabinet" | "reach in" | "under counter",
        /// A room people work in.
        WorkRoom = "work room" | "prep room",
        /// An ice machine.
        IceMachine = "ice machine",
        /// A liquid chiller.
        Chiller = "chiller",
        /// An air conditioner or heat pump.
        AirConditioner = "air conditioner" | "air conditioning" | "heat pump",
        /// Something else; the system's note says what.
        Other = "other",
    }
    /// Where the condensing side stands.
    UnitKind {
        /// Everything in one casing.
        SelfContained = "self contained",
        /// A remote condensing unit on the ground or in a plant room.
        Remote = "remote" | "remote unit" | "condensing unit",
        /// A remote condensing unit on a roof.
        RemoteRoof = "remote on roof" | "roof unit",
        /// A small rack of several compressors.
        Rack = "rack",
        /// A split air conditioner.
        Split = "split",
    }
    /// The expansion device.
    Expansion {
        /// A thermostatic expansion valve.
        Thermostatic = "txv" | "thermostatic valve" | "tev",
        /// An electronic expansion valve.
        Electronic = "eev" | "electronic valve" | "exv",
        /// A capillary tube.
        Capillary = "capillary" | "capillary tube",
        /// A fixed orifice.
        Orifice = "orifice" | "fixed orifice",
        /// An automatic (constant pressure) expansion valve.
        ConstantPressure = "constant pressure valve" | "automatic valve",
        /// A float.
        Float = "float",
        /// A hand valve.
        Hand = "hand valve",
    }
    /// What holds the head pressure up in the cold.
    HeadControl {
        /// Nothing.
        None = "none",
        /// A valve that floods the condenser.
        FloodingValve = "flooding valve" | "head pressure valve",
        /// Fans that switch.
        FanCycling = "fan cycling" | "fans cycle",
        /// Fans that slow down.
        FanSpeed = "fan speed" | "variable speed fan",
        /// A valve and fans together.
        ValveAndFans = "valve and fans" | "flooding valve and fans",
        /// A condenser of which a part is shut off.
        SplitCondenser = "split condenser",
        /// Air dampers.
        Dampers = "dampers",
        /// A water valve.
        WaterValve = "water valve",
    }
    /// How ice is taken off the coil.
    Defrost {
        /// The coil stands still in air above freezing.
        OffCycle = "off cycle" | "air" | "none",
        /// Electric heaters.
        Electric = "electric",
        /// Hot gas.
        HotGas = "hot gas",
        /// Water or brine.
        Water = "water",
    }
    /// What a low-pressure control is there for.
    LowPressureJob {
        /// It ends a pump-down.
        PumpDown = "pump down",
        /// It holds the temperature of the box.
        HoldBox = "hold box" | "hold the box" | "temperature",
        /// It protects the compressor.
        Protect = "protect" | "protection",
    }
    /// A line of the circuit.
    LineKind {
        /// From receiver or condenser to the expansion device.
        Liquid = "liquid",
        /// From the coil to the compressor.
        Suction = "suction",
        /// From the compressor to the condenser.
        Discharge = "discharge",
        /// From the condenser to the receiver.
        Drain = "drain" | "condensate",
        /// Hot gas to the coil.
        HotGas = "hot gas",
        /// Another one; the note says which.
        Other = "other",
    }
    /// Whether a shut-off point closes.
    Holds {
        /// It closes tight.
        Holds = "holds",
        /// Something passes.
        LeaksBy = "leaks by",
    }
    /// What an instrument measures.
    Measures {
        /// Pressure.
        Pressure = "pressure",
        /// Temperature.
        Temperature = "temperature",
        /// Mass.
        Mass = "mass" | "weight",
        /// Deep vacuum.
        Vacuum = "vacuum",
        /// The presence of refrigerant in air.
        Leak = "leak" | "leaks",
        /// Electric current.
        Current = "current",
        /// Something else.
        Other = "other",
    }
    /// Against what a pressure instrument measures.
    PressureBasis {
        /// Vented to the air around it: it follows the weather and the altitude.
        Vented = "vented",
        /// Sealed at the maker's: it does not follow them.
        SealedGauge = "sealed gauge" | "sealed",
        /// Against vacuum.
        Absolute = "absolute",
    }
    /// The use of a refrigerant cylinder.
    CylinderUse {
        /// Gas as bought.
        Supply = "supply" | "new",
        /// Gas taken out of systems.
        Recovery = "recovery",
    }
    /// What the system was doing.
    RunState {
        /// The compressor runs.
        Running = "running" | "run" | "on",
        /// The compressor stands still.
        Off = "off" | "standing" | "stopped",
        /// In defrost.
        Defrost = "defrost",
        /// Pulling the box down from warm.
        PullDown = "pull down",
        /// Pumping down with the liquid line shut.
        PumpDown = "pump down",
    }
    /// What the sight glass shows.
    Glass {
        /// Clear and full of liquid.
        Clear = "clear" | "full",
        /// Now and then a bubble.
        SomeBubbles = "some bubbles" | "few bubbles",
        /// Bubbles all the time.
        Bubbles = "bubbles",
        /// Foam or flashing.
        Flashing = "flashing" | "foam",
        /// No liquid to be seen.
        Empty = "empty",
        /// There is none, or it cannot be seen.
        NotSeen = "not seen" | "no glass",
    }
    /// The colour of the moisture indicator.
    Moisture {
        /// Shows dry.
        Dry = "dry",
        /// Shows wet.
        Wet = "wet",
        /// In between.
        Caution = "caution",
    }
    /// A way to look for a leak.
    Method {
        /// A sniffing electronic detector.
        Electronic = "electronic" | "sniffer" | "detector",
        /// Soap solution.
        Soap = "soap" | "bubbles" | "soap solution",
        /// An ultrasonic listener.
        Ultrasonic = "ultrasonic",
        /// Dye and a lamp.
        Dye = "dye" | "uv dye",
        /// Tracer gas with its detector.
        Tracer = "tracer gas" | "tracer",
        /// A section shut off and its pressure watched.
        Isolation = "isolation",
        /// A joint bagged and left.
        Bagging = "bagging" | "bag",
        /// Eyes: oil, dirt, rub marks.
        Visual = "visual" | "eyes" | "looking",
        /// Ears and fingers.
        Listening = "listening",
    }
    /// What a leak check gave.
    CheckResult {
        /// Nothing found.
        Clean = "clean",
        /// A leak was indicated.
        Hit = "hit",
        /// It was not done.
        NotDone = "not done" | "skipped",
    }
    /// Whether a tool's own check was passed.
    PassFail {
        /// It works.
        Pass = "pass" | "passed" | "ok",
        /// It does not.
        Fail = "fail" | "failed",
    }
    /// The gas of a pressure test.
    TestGas {
        /// Dry nitrogen.
        Nitrogen = "nitrogen" | "n2",
        /// The system's own refrigerant.
        Own = "own" | "own gas" | "refrigerant",
    }
    /// Where the refrigerant of a weighing went.
    Direction {
        /// From the cylinder into the system.
        Charged = "charged" | "into system" | "in",
        /// From the system into the cylinder.
        Recovered = "recovered" | "out of system" | "out",
    }
    /// A thing that is set.
    SettingOf {
        /// Pressure at which the low-pressure control stops.
        LowCutOut = "low cut out",
        /// Pressure at which the low-pressure control starts again.
        LowCutIn = "low cut in",
        /// Differential of the low-pressure control.
        LowDifferential = "low differential",
        /// Pressure at which the high-pressure control stops.
        HighCutOut = "high cut out",
        /// Pressure at which the high-pressure control starts again.
        HighCutIn = "high cut in",
        /// What the head-pressure control holds.
        HeadPressure = "head pressure" | "head setting",
        /// Pressure at which a fan starts.
        FanOn = "fan on",
        /// Pressure at which a fan stops.
        FanOff = "fan off",
        /// Superheat of the expansion valve.
        Superheat = "superheat",
        /// Temperature of the box.
        BoxTemperature = "box temperature" | "thermostat",
        /// Differential of the thermostat.
        BoxDifferential = "box differential",
        /// Time between defrosts.
        DefrostInterval = "defrost interval",
        /// Longest time of a defrost.
        DefrostLength = "defrost length",
        /// Temperature that ends a defrost.
        DefrostEnd = "defrost end",
        /// Refrigerant that a display or controller is set to.
        RefrigerantSet = "refrigerant set",
        /// A valve opened or shut.
        Valve = "valve",
        /// Something else; the entry's place and note say what.
        Other = "other",
    }
    /// How soon something wants doing.
    Urgency {
        /// Before leaving.
        Now = "now",
        /// Within weeks.
        Soon = "soon",
        /// At some time; watch it.
        Watch = "watch" | "later",
    }
    /// What was said to an offer.
    Answer {
        /// Do it.
        Accepted = "accepted" | "yes",
        /// Not now.
        Later = "later",
        /// No.
        Declined = "declined" | "no",
    }
    /// What an instrument or tool was checked against.
    CheckedAgainst {
        /// Nothing on it: open to the air, nothing on the scale, the pump by itself.
        Zero = "zero",
        /// A known weight.
        Weight = "known weight" | "weight",
        /// A known pressure, such as that of a cylinder at a known temperature.
        Pressure = "known pressure" | "pressure",
        /// Melting ice.
        Ice = "ice water" | "ice",
        /// A whiff of gas, or a reference leak of unknown size.
        Whiff = "whiff" | "bump",
        /// Another instrument of its kind.
        Other = "another instrument" | "other",
    }
    /// Where a part comes from.
    PartSource {
        /// It is on the van.
        Stock = "stock" | "van",
        /// It has to be ordered.
        Order = "order" | "ordered",
    }
    /// What a visit is booked for.
    BookedFor {
        /// The box is too warm.
        WarmBox = "warm box" | "too warm",
        /// Refrigerant is lost.
        Leak = "leak",
        /// Ice where none should be.
        Ice = "ice",
        /// It makes a noise.
        Noise = "noise",
        /// It does not start.
        NotRunning = "not running",
        /// Regular maintenance.
        Maintenance = "maintenance",
        /// The follow-up of a repair.
        FollowUp = "follow up",
        /// Parts that were ordered are to be put in.
        Parts = "parts",
    }
    /// What kind of thing was seen besides.
    SeenKind {
        /// A cold line without its insulation.
        BareLine = "bare line" | "insulation missing",
        /// A joint that does not look right.
        DoubtfulJoint = "doubtful joint" | "doubtful braze",
        /// A valve without its cap.
        CapMissing = "cap missing",
        /// A line that rubs or shakes.
        Chafing = "chafing" | "vibration",
        /// A fan that is failing.
        Fan = "fan",
        /// A compressor that is getting weak.
        WeakCompressor = "weak compressor",
        /// A dirty condenser.
        DirtyCondenser = "dirty condenser",
        /// Goods or cleaners that eat the coil.
        Corrosion = "corrosion",
        /// Oil where none should be.
        Oil = "oil",
        /// A door, a heater, a drain of the box.
        Box = "box",
        /// Something electrical.
        Electrical = "electrical",
        /// Something else.
        Other = "other",
    }
    /// What an hour was worked at.
    Work {
        /// The way there and back.
        Travel = "travel" | "driving",
        /// Finding out.
        Search = "search" | "diagnosis",
        /// Mending.
        Repair = "repair",
        /// Holds and rises.
        Test = "test",
        /// Recovering and weighing in.
        Charge = "charge",
        /// Controls and valves.
        Set = "set",
        /// Readings after what was done.
        Prove = "prove",
        /// Talking, ordering, writing.
        Close = "close" | "paperwork",
    }
    /// What a numbered document is.
    Paper {
        /// What the work would cost.
        Quote = "quote",
        /// What it cost.
        Invoice = "invoice",
    }
    /// What a line of a price is for.
    PriceFor {
        /// Hours.
        Hours = "hours" | "labour" | "labor",
        /// Parts, and findings put right.
        Parts = "parts",
        /// Refrigerant.
        Gas = "gas" | "refrigerant",
        /// What is billed once a trip or once a call.
        Trips = "trips",
    }
    /// How often a fixed price counts.
    Per {
        /// Each time somebody comes.
        Trip = "trip",
        /// Once a call.
        Call = "call",
    }
    /// The unit in which gas is sold.
    GasUnit {
        /// Kilograms.
        Kilogram = "kg",
        /// Pounds.
        Pound = "lb",
    }
    /// Who pays for the gas that stays in the hoses.
    HoseGas {
        /// The shop.
        Shop = "shop",
        /// The customer.
        Customer = "customer",
    }
    /// How a customer agreed.
    Agreement {
        /// Standing there.
        InPerson = "in person",
        /// By telephone.
        ByPhone = "by phone" | "phone" | "agreed by phone",
        /// In writing.
        InWriting = "in writing" | "written" | "by mail",
    }
    /// Whether refrigerant was put in or taken out.
    Change {
        /// Put in.
        Added = "added" | "added to",
        /// Taken out.
        Removed = "removed" | "taken out",
    }
    /// Whose a system is, where the law asks.
    OwnerKind {
        /// A firm or a person.
        Private = "private",
        /// The federal Crown, its agencies, or a federal work or undertaking.
        Federal = "federal",
        /// Anybody, on federal or aboriginal land.
        OnFederalLand = "on federal land",
    }
    /// What a system is for, in the words of the law.
    EquipmentUse {
        /// Retail food and cold storage.
        CommercialRefrigeration = "commercial refrigeration",
        /// An automatic commercial ice maker.
        IceMaker = "ice maker",
        /// Part of an industrial process.
        IndustrialProcess = "industrial process refrigeration" | "industrial process",
        /// Comfort cooling other than the kinds below.
        ComfortCooling = "comfort cooling",
        /// A chiller.
        Chiller = "chiller",
        /// Residential or light commercial air conditioning, or a heat pump.
        LightCommercial = "light commercial air conditioning",
        /// A variable refrigerant flow system.
        VariableFlow = "variable flow air conditioning",
        /// Refrigerated transport.
        Transport = "refrigerated transport",
        /// Air conditioning of a vehicle.
        Vehicle = "vehicle air conditioning",
        /// Anything else.
        Other = "other",
    }
    /// How the full charge was found.
    ChargeFound {
        /// The maker's figure.
        Maker = "maker" | "nameplate",
        /// By calculation.
        Calculated = "calculated",
        /// By measurement.
        Measured = "measured" | "weighed",
    }
    /// A legal way to count a leak rate.
    RateMethod {
        /// The addition over the time since the last one.
        Annualizing = "annualizing",
        /// The sum of the last 365 days.
        Rolling = "rolling",
    }
    /// A use that a ban on gas leaves out.
    SpecialUse {
        /// None of them.
        None = "none",
        /// Military equipment.
        Military = "military",
        /// Cools products below -50 °C.
        BelowMinusFifty = "below minus 50 c",
        /// A nuclear installation.
        Nuclear = "nuclear",
    }
    /// Why refrigerant is put in.
    AddReason {
        /// To make up a loss.
        TopUp = "top up" | "loss",
        /// After a repair.
        AfterRepair = "after repair" | "repair",
        /// Putting back what was recovered for service, no more.
        AfterService = "after service" | "service",
        /// A new system.
        NewInstallation = "new installation",
        /// A retrofit.
        Retrofit = "retrofit",
        /// Putting back what was taken out for the season.
        Seasonal = "seasonal",
        /// To look for a leak.
        LeakTest = "leak test",
        /// Against an immediate danger.
        Emergency = "emergency",
    }
    /// Where gas comes from.
    GasOrigin {
        /// New.
        Virgin = "virgin" | "new",
        /// Reclaimed, labelled so.
        Reclaimed = "reclaimed",
        /// Recycled by or for the one who recovered it.
        Recycled = "recycled",
        /// Recovered, neither recycled nor reclaimed.
        Recovered = "recovered",
    }
    /// A step that the law counts from or asks for.
    StepOf {
        /// The owner was told of the leak.
        OwnerTold = "owner told",
        /// A report or notice was sent.
        ReportSent = "report sent",
        /// A leak test of the whole system.
        LeakTest = "leak test",
        /// The test after a repair, before refrigerant goes back.
        VerificationTest = "verification test",
        /// The test after the return to normal operation.
        FollowUpTest = "follow up test",
        /// Back at normal operation.
        BackToNormal = "back to normal",
        /// The leaking part, or the whole, was emptied.
        Emptied = "emptied",
        /// Refrigerant got away.
        Released = "released",
        /// Emptied and shut down for long.
        Mothballed = "mothballed",
        /// Parts for the repair came.
        PartsDelivered = "parts delivered",
        /// More time was asked for.
        ExtensionAsked = "extension asked",
        /// A plan to retrofit or retire was written.
        PlanWritten = "plan written",
        /// The plan was carried out.
        PlanFinished = "plan finished",
        /// A fixed leak detection system was fitted.
        DetectionFitted = "detection fitted",
        /// The fixed leak detection system was checked.
        DetectionChecked = "detection checked",
        /// The system was retired.
        Retired = "retired",
    }
    /// What an entry says of a place of the circuit.
    PlaceChange {
        /// The usual list lacks it.
        Added = "added",
        /// The usual list has it otherwise.
        Changed = "changed",
        /// There is no such place here.
        NotThere = "not there" | "removed",
    }
    /// A side of the circuit.
    CircuitSide {
        /// From the expansion device to the compressor.
        Low = "low side" | "low",
        /// From the compressor to the expansion device.
        High = "high side" | "high",
    }
    /// What lies over a place.
    Cover {
        /// Nothing.
        Bare = "bare joint" | "bare",
        /// The face of a coil.
        CoilFace = "coil face" | "coil",
        /// Insulation.
        Insulation = "under insulation" | "insulated" | "insulation",
        /// A cover.
        Cover = "inside a cover" | "covered" | "cover",
        /// A wall or the ground.
        Buried = "underground" | "buried" | "in a wall",
    }
    /// Where one must be to look at a place.
    CircuitRegion {
        /// The condensing unit.
        Unit = "unit" | "condensing unit" | "roof",
        /// The cold place.
        Box = "box" | "case",
        /// The lines between.
        Lines = "lines" | "line",
    }
    /// What is around a place that eats metal.
    Surroundings {
        /// Vinegar, citrus, dough, cheese.
        Acid = "acid goods" | "acid",
        /// Fish, brine.
        Salty = "salty goods" | "salt" | "salty",
        /// Chlorine, ammonia, strong cleaners.
        Cleaners = "cleaning agents" | "cleaners",
        /// The coast.
        SeaAir = "sea air" | "sea",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn case_hyphens_and_other_spellings_do_not_matter() {
        for text in ["pump down", "Pump-down", " PUMP_DOWN ", "pump  down"] {
            assert_eq!(RunState::read(text, &Local::default()), Ok(RunState::PumpDown), "{text}");
        }
        assert_eq!(Expansion::read("TEV", &Local::default()), Ok(Expansion::Thermostatic));
    }

    #[test]
    fn an_unknown_word_answers_with_the_words_that_do() {
        assert_eq!(
            CheckResult::read("maybe", &Local::default()),
            Err(Fault::Word { known: CheckResult::WORDS })
        );
    }

    #[test]
    fn a_list_alone_tells_which_word_a_text_stands_for() {
        assert_eq!(word_in("Sniffer", Method::WORDS), Some("electronic"));
        assert_eq!(word_in("sniffer", CheckResult::WORDS), None);
        assert_eq!(word_in("clean", &["clean"]), None);
    }

    #[test]
    fn every_word_reads_as_itself() {
        for word in SettingOf::WORDS {
            assert_eq!(SettingOf::read(word, &Local::default()).unwrap().word(), *word);
        }
        for word in BoxKind::WORDS {
            assert_eq!(BoxKind::read(word, &Local::default()).unwrap().word(), *word);
        }
    }
}
