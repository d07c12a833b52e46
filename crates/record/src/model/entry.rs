//! The kinds of entry: what was done and seen, in order.

use crate::form::Takes;
use crate::known::{Fault, Known, Measured, Money, Reads, Typed};
use crate::table::table;
use crate::when::{Local, When};
use crate::words::*;
use serde::{Deserialize, Serialize};
use units::{
    Duration, Fraction, Length, Mass, MassFlow, PressureDifference, PressureReading, Temperature,
    TemperatureDifference, Volume, VolumeFlow,
};

table! {
    /// What every entry may carry.
    EntryHead {
        /// The kind of entry.
        need kind: String,
        /// A name of its own, by which an edited file finds it again.
        may id: String,
        /// When it happened.
        may at: When,
        /// Who saw or did it.
        may by: String,
        /// Where: box, roof, van, plant room, or a place of the circuit.
        may place: String,
        /// The instruments used, by name.
        many with: String,
        /// Who told it, where nobody here saw it.
        may told_by: String,
        /// Anything else.
        may note: String,
    }
}

table! {
    /// Coming to a place; the place is the entry's.
    #[derive(Default)]
    Arrival {
        /// How long the way there took, where it is billed.
        may travel: Typed<Duration>,
    }
}

table! {
    /// Leaving a place; the place is the entry's.
    #[derive(Default)]
    Departure {}
}

table! {
    /// Readings of one moment.
    #[derive(Default)]
    Reading {
        /// What the system was doing.
        may state: RunState,
        /// Pressure on the suction side, at the compressor unless its tap says otherwise.
        may suction_pressure: Measured<PressureReading>,
        /// Pressure at the outlet of the evaporator.
        may evaporator_pressure: Measured<PressureReading>,
        /// Pressure on the discharge side, at the compressor unless its tap says otherwise.
        may discharge_pressure: Measured<PressureReading>,
        /// Pressure of the liquid where it leaves the condenser or receiver.
        may liquid_pressure: Measured<PressureReading>,
        /// Temperature of the suction line, at the compressor unless its tap says otherwise.
        may suction_line: Measured<Temperature>,
        /// Temperature of the line at the outlet of the evaporator, by the bulb.
        may evaporator_line: Measured<Temperature>,
        /// Temperature of the discharge line.
        may discharge_line: Measured<Temperature>,
        /// Temperature of the liquid line where the liquid pressure is taken.
        may liquid_line: Measured<Temperature>,
        /// Temperature of the liquid just before the expansion device.
        may liquid_at_valve: Measured<Temperature>,
        /// Air of the box.
        may box_air: Measured<Temperature>,
        /// Air that enters the evaporator.
        may air_on_evaporator: Measured<Temperature>,
        /// Air that leaves the evaporator.
        may air_off_evaporator: Measured<Temperature>,
        /// Air that enters the condenser.
        may air_on_condenser: Measured<Temperature>,
        /// Air that leaves the condenser.
        may air_off_condenser: Measured<Temperature>,
        /// Outdoor air in the shade.
        may ambient: Measured<Temperature>,
        /// What the sight glass shows.
        may glass: Glass,
        /// What the moisture indicator shows.
        may moisture: Moisture,
        /// How many condenser fans run.
        may fans_running: u32,
        /// The speed of the condenser fans, as a share of full.
        may fan_speed: Measured<Fraction>,
        /// How full the receiver is.
        may receiver_level: Measured<Fraction>,
        /// The current of the compressor, as typed with its unit.
        may compressor_current: String,
        /// The refrigerant that the gauges were set to.
        may gauges_set_to: String,
        /// The saturation temperature that the gauges show.
        may gauges_saturation: Measured<Temperature>,
        /// A suction pressure that a controller shows.
        may shown_suction_pressure: Measured<PressureReading>,
        /// A saturation temperature that a gauge or controller shows for the suction pressure.
        may shown_saturation: Measured<Temperature>,
        /// A superheat that a gauge or controller shows, or that somebody worked out.
        may shown_superheat: Measured<TemperatureDifference>,
        /// A subcooling that a gauge or controller shows, or that somebody worked out.
        may shown_subcooling: Measured<TemperatureDifference>,
    }
}

table! {
    /// A leak check of a place.
    LeakCheck {
        /// How.
        need method: Method,
        /// What it gave.
        need result: CheckResult,
        /// The pressure there while it was made.
        may pressure: Measured<PressureReading>,
        /// What the system was doing.
        may state: RunState,
        /// How long it took.
        may minutes: Typed<Duration>,
        /// Of a hit: it came again at the same spot.
        may repeated: YesNo,
        /// Of a hit: it went away when the probe was moved away.
        may gone_when_moved: YesNo,
        /// Of a hit: the rate that the detector showed.
        may shown: Typed<MassFlow>,
        /// Of a hit with soap: the diameter that a bubble grows to.
        may bubble: Typed<Length>,
        /// Of a hit with soap: the time from one such bubble to the next.
        may bubble_every: Typed<Duration>,
        /// Of a sweep over a region: the places that were left out.
        many except: String,
        /// All visible and accessible parts were looked at: a leak test of the whole system.
        may whole_system: YesNo,
        /// What may have spoilt it: wind, fans, sun, gas in the air.
        may spoilt_by: String,
    }
}

table! {
    /// The check of a leak detector itself.
    DetectorCheck {
        /// Whether it found the test leak.
        need result: PassFail,
        /// The test leak.
        may test_leak: Typed<MassFlow>,
        /// The age of the sensor.
        may sensor_age: Typed<Duration>,
    }
}

table! {
    /// The check of another instrument or tool against something known, before it is relied on.
    ToolCheck {
        /// The instrument, by name.
        need tool: String,
        /// Against what.
        need against: CheckedAgainst,
        /// Whether it agreed.
        need result: PassFail,
        /// What it showed, as typed with its unit.
        may shown: String,
    }
}

table! {
    /// How many of one thing were counted on the van.
    Stock {
        /// What, by its function, as parts name it; or a cylinder, by its name.
        need what: String,
        /// How many there were.
        need count: u32,
        /// The line of the shop's price list.
        may item: String,
        /// How many ought to be there.
        may wanted: u32,
        /// Of a cylinder: its gross weight.
        may gross: Measured<Mass>,
    }
}

table! {
    /// A search that others made before.
    #[derive(Default)]
    EarlierSearch {
        /// How often they came.
        may visits: Known<u32>,
        /// What they covered.
        may covered: Known<String>,
        /// How they searched.
        may method: Known<String>,
        /// What they found.
        may found: Known<String>,
    }
}

table! {
    /// A place of the circuit as it is here: one that the usual list lacks, has otherwise, or has where there is none. The
    /// place is the entry's.
    #[derive(Default)]
    CircuitPlace {
        /// Added, changed or not there; added or changed as the list has it when nothing is said.
        may change: PlaceChange,
        /// The side of the circuit.
        may side: CircuitSide,
        /// What lies over it.
        may access: Cover,
        /// Where one must be to look at it.
        may region: CircuitRegion,
        /// How long a look from outside takes.
        may minutes: Typed<Duration>,
        /// How long it takes more to open it and close it again.
        may opening: Typed<Duration>,
        /// Whether it shakes.
        may vibrates: YesNo,
        /// When it was opened or worked on last.
        may opened_on: When,
        /// How old it is.
        may age: Known<Duration>,
        /// Its cap is missing.
        may cap_missing: YesNo,
        /// What is around it that eats metal.
        may surroundings: Known<Surroundings>,
    }
}
table! {
    /// Refrigerant added or taken out in the past, on a day, after an interval, or every so often.
    #[derive(Default)]
    PastChange {
        /// Put in or taken out; put in when nothing is said.
        may change: Change,
        /// The day.
        may on: Known<When>,
        /// The time since the one before.
        may after: Known<Duration>,
        /// The time from one to the next, when it is told as a habit.
        may every: Known<Duration>,
        /// How much.
        may amount: Known<Mass>,
        /// What it was filled up to, in words: a clear glass, the nameplate.
        may until: Known<String>,
        /// Why.
        may reason: AddReason,
        /// Where the gas came from.
        may origin: GasOrigin,
    }
}

table! {
    /// A repair.
    Repair {
        /// What was done.
        need what: String,
        /// The part that was put in.
        may part: String,
        /// The pressure just before the circuit was opened.
        may pressure_before_opening: Measured<PressureReading>,
        /// The place of the leak that was found, where this entry's place is worded otherwise.
        may leak: String,
        /// Whether the part had been emptied for it.
        may emptied: YesNo,
        /// How long the circuit stood open.
        may open_for: Typed<Duration>,
        /// Whether the filter drier was changed.
        may drier_changed: YesNo,
    }
}

table! {
    /// Something opened, or something closed again: a valve, a cap, a cover.
    Opened {
        /// What.
        need what: String,
    }
}

table! {
    /// One end of a hold test.
    HoldEnd {
        /// The pressure.
        need pressure: Measured<PressureReading>,
        /// The temperature of the gas, or of the metal around the most of it.
        need temperature: Measured<Temperature>,
        /// When.
        may at: When,
    }
}

table! {
    /// A part of the volume under test with a temperature of its own.
    Zone {
        /// Its name.
        need name: String,
        /// Its volume.
        may volume: Known<Volume>,
        /// Its temperature at the start.
        need start_temperature: Measured<Temperature>,
        /// Its temperature at the end.
        need end_temperature: Measured<Temperature>,
    }
}

table! {
    /// A hold test: gas shut in, pressure and temperature at the start and at the end.
    Hold {
        /// The gas.
        need gas: TestGas,
        /// The start.
        need start: HoldEnd,
        /// The end; absent while it runs.
        may end: HoldEnd,
        /// Readings in between.
        many between: HoldEnd,
        /// The volume under test.
        may volume: Known<Volume>,
        /// Parts of the volume with temperatures of their own.
        many zone: Zone,
        /// What was shut in, in words.
        may section: String,
        /// When filling ended.
        may filled_at: When,
        /// How long it lasted, where the times are not given.
        may lasted: Typed<Duration>,
        /// Whether liquid refrigerant may have been left inside.
        may liquid_left: Known<YesNo>,
        /// The pressure at which a leak is to be told, as refrigerant.
        may working_pressure: Measured<PressureReading>,
        /// The leak that the test must be able to see.
        may wanted: Typed<MassFlow>,
    }
}

/// One point of a pressure watched: time since it began (of a rise, since the pump was shut off), and pressure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RisePoint {
    /// Time since the start of the rise.
    pub time: Typed<Duration>,
    /// Pressure.
    pub pressure: Typed<PressureReading>,
}

table! {
    /// A vacuum rise test: pump shut off, pressure watched.
    Rise {
        /// The points in the order of time.
        many points: RisePoint,
        /// The volume under vacuum.
        may volume: Known<Volume>,
        /// The coldest wall under vacuum.
        may coldest: Measured<Temperature>,
        /// How long the pump ran before.
        may pumped_for: Typed<Duration>,
        /// What was under vacuum, in words.
        may section: String,
    }
}

table! {
    /// A section about to be opened: what will be open and for how long, and how it stands till then.
    #[derive(Default)]
    OpeningPlan {
        /// The shut section watched: time since it was shut, and pressure.
        many points: RisePoint,
        /// What is shut off, in words.
        may section: String,
        /// Its inner volume.
        may volume: Known<Volume>,
        /// The temperature of its walls.
        may walls: Measured<Temperature>,
        /// The bore that will really be open.
        may bore: Typed<Length>,
        /// How long it will be open, as rehearsed.
        may open_for: Typed<Duration>,
        /// How much oil and left-over liquid can still give off.
        may residue: Known<Mass>,
        /// Whether the part taken out is the control that ends the pump-down.
        may ends_pump_down: YesNo,
    }
}

table! {
    /// Refrigerant drawn out of a section by a machine.
    #[derive(Default)]
    Recovery {
        /// The pressure as it falls: time since the machine began, and pressure.
        many points: RisePoint,
        /// What it is drawn from, in words.
        may section: String,
        /// The volume it is drawn from.
        may volume: Known<Volume>,
        /// The temperature of its walls.
        may walls: Measured<Temperature>,
        /// What the machine takes in.
        may machine: Typed<VolumeFlow>,
        /// Liquid that must boil off.
        may liquid: Known<Mass>,
        /// Whether the place where it lies is warmed.
        may warmed: YesNo,
        /// Where it is to end.
        may down_to: Typed<PressureReading>,
    }
}

table! {
    /// An evacuation: pump, hoses, and the pressure as it falls.
    #[derive(Default)]
    Evacuation {
        /// The pressure as it falls: time since the pump began, and pressure at the far end.
        many points: RisePoint,
        /// What is evacuated, in words.
        may section: String,
        /// Its volume.
        may volume: Known<Volume>,
        /// What the pump takes in, by its plate.
        may pump: Typed<VolumeFlow>,
        /// The pressure the pump reaches by itself.
        may ultimate: Typed<PressureReading>,
        /// The bore of a hose.
        may hose: Typed<Length>,
        /// The length of a hose.
        may hose_length: Typed<Length>,
        /// How many hoses, side by side.
        may hoses: u32,
        /// Whether the valve cores are left in.
        may cores_in: YesNo,
        /// The pressure wanted.
        may target: Typed<PressureReading>,
        /// Water in it.
        may water: Known<Mass>,
        /// The coldest wall on which water may lie.
        may coldest: Measured<Temperature>,
    }
}

table! {
    /// What is normal here: what a system showed when it was found right, for who comes next.
    #[derive(Default)]
    Normal {
        /// By what it was found right, in words.
        may because: String,
        /// Outdoor air.
        may ambient: Typed<Temperature>,
        /// Air in the box.
        may box_air: Typed<Temperature>,
        /// Superheat at the evaporator.
        may superheat: Typed<TemperatureDifference>,
        /// Subcooling of the liquid.
        may subcooling: Typed<TemperatureDifference>,
        /// Box air less evaporating temperature.
        may td: Typed<TemperatureDifference>,
        /// Condensing temperature less outdoor air.
        may split: Typed<TemperatureDifference>,
        /// Suction pressure.
        may suction_pressure: Typed<PressureReading>,
        /// Discharge or liquid pressure.
        may head_pressure: Typed<PressureReading>,
        /// Temperature of the discharge line.
        may discharge_line: Typed<Temperature>,
        /// Level in the receiver.
        may receiver_level: Typed<Fraction>,
        /// Condenser fans that run.
        may fans_running: u32,
        /// Current of the compressor.
        may compressor_current: String,
    }
}

table! {
    /// A cylinder weighed before and after.
    Weighing {
        /// The cylinder, by name.
        need cylinder: String,
        /// Where the refrigerant went.
        need direction: Direction,
        /// Gross weight before.
        need before: Measured<Mass>,
        /// Gross weight after; absent while it is still owed.
        may after: Measured<Mass>,
        /// The refrigerant, where it is not what the cylinder list says.
        may refrigerant: String,
        /// Refrigerant lost from the hoses.
        may hose_loss: Known<Mass>,
        /// Why it was put in.
        may reason: AddReason,
    }
}

table! {
    /// A step that the law counts from or asks for, where no other entry says it.
    Step {
        /// What.
        need what: StepOf,
        /// The duty it answers, by its id.
        may duty: String,
        /// Of a test: whether it was passed.
        may result: PassFail,
        /// Of a follow-up test: whether it covered all leaks.
        may all_leaks: YesNo,
        /// The place of the leak.
        may leak: String,
        /// Of a release: how much.
        may amount: Known<Mass>,
    }
}

/// The value of a setting: a quantity where it is one, else words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SettingValue {
    /// A pressure.
    Pressure(PressureReading),
    /// A difference of pressures.
    PressureDifference(PressureDifference),
    /// A temperature.
    Temperature(Temperature),
    /// A difference of temperatures.
    TemperatureDifference(TemperatureDifference),
    /// A stretch of time.
    Duration(Duration),
    /// A share.
    Fraction(Fraction),
    /// Words, such as "back-seated".
    Words(String),
}

impl SettingValue {
    /// Returns the value of a setting of `what`, which decides between a temperature and a difference.
    ///
    /// # Errors
    /// [`Fault`] where a setting that is a pressure, temperature, difference or time does not read as one.
    pub fn read_for(what: SettingOf, text: &str, local: &Local) -> Result<Self, Fault> {
        match what {
            SettingOf::LowCutOut
            | SettingOf::LowCutIn
            | SettingOf::HighCutOut
            | SettingOf::HighCutIn
            | SettingOf::FanOn
            | SettingOf::FanOff
            | SettingOf::HeadPressure => match Reads::read(text, local) {
                Ok(pressure) => Ok(SettingValue::Pressure(pressure)),
                // Some controls are scaled in saturation temperature.
                Err(fault) => {
                    Temperature::read(text, local).map(SettingValue::Temperature).map_err(|_| fault)
                }
            },
            SettingOf::LowDifferential => Reads::read(text, local).map(SettingValue::PressureDifference),
            SettingOf::Superheat | SettingOf::BoxDifferential => {
                Reads::read(text, local).map(SettingValue::TemperatureDifference)
            }
            SettingOf::BoxTemperature | SettingOf::DefrostEnd => {
                Reads::read(text, local).map(SettingValue::Temperature)
            }
            SettingOf::DefrostInterval | SettingOf::DefrostLength => {
                Reads::read(text, local).map(SettingValue::Duration)
            }
            SettingOf::RefrigerantSet | SettingOf::Valve => Reads::read(text, local).map(SettingValue::Words),
            SettingOf::Other => PressureReading::read(text, local)
                .map(SettingValue::Pressure)
                .or_else(|_| Temperature::read(text, local).map(SettingValue::Temperature))
                .or_else(|_| Duration::read(text, local).map(SettingValue::Duration))
                .or_else(|_| {
                    let share =
                        if text.contains('%') { Fraction::read(text, local) } else { Err(Fault::Blank) };
                    share.map(SettingValue::Fraction)
                })
                .or_else(|_| Reads::read(text, local).map(SettingValue::Words)),
        }
    }

    /// Returns a value that a setting of `what` could have, as text.
    #[must_use]
    pub const fn example_for(what: SettingOf) -> &'static str {
        match what {
            SettingOf::LowDifferential => "15 psi",
            SettingOf::Superheat | SettingOf::BoxDifferential => "8 F",
            SettingOf::BoxTemperature | SettingOf::DefrostEnd => "36 F",
            SettingOf::DefrostInterval | SettingOf::DefrostLength => "30 min",
            SettingOf::RefrigerantSet => "R-449A",
            SettingOf::Valve => "back-seated",
            _ => "20 psig",
        }
    }
}

impl Reads for SettingValue {
    const EXAMPLE: &'static str = "20 psig";
    fn takes() -> Takes {
        Takes::Setting
    }
    fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        SettingValue::read_for(local.setting.unwrap_or(SettingOf::Other), text, local)
    }
    fn order(&self, other: &Self) -> Option<core::cmp::Ordering> {
        match (self, other) {
            (Self::Pressure(a), Self::Pressure(b)) => a.order(b),
            (Self::PressureDifference(a), Self::PressureDifference(b)) => a.order(b),
            (Self::Temperature(a), Self::Temperature(b)) => a.order(b),
            (Self::TemperatureDifference(a), Self::TemperatureDifference(b)) => a.order(b),
            (Self::Duration(a), Self::Duration(b)) => a.order(b),
            (Self::Fraction(a), Self::Fraction(b)) => a.order(b),
            _ => None,
        }
    }
}

/// A setting as a pair: as found and as left, with the reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// What is set.
    pub what: SettingOf,
    /// As found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub found: Option<Known<SettingValue>>,
    /// As left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<Known<SettingValue>>,
    /// Why it was changed, or left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

table! {
    /// Something else that was seen.
    Finding {
        /// What kind of thing, in words.
        need what: String,
        /// Of which kind.
        may about: SeenKind,
        /// Of a bare line: how much of it.
        may length: Known<Length>,
        /// How soon it wants doing.
        may urgency: Urgency,
        /// Somebody can be hurt by it.
        may danger: YesNo,
        /// What it would cost.
        may price: Known<Money>,
        /// What was said to it.
        may answer: Answer,
        /// Who said so.
        may answered_by: String,
        /// A picture of it, by file name.
        may picture: String,
        /// The line of the shop's price list that puts it right.
        may item: String,
        /// It was put right on this visit.
        may done: YesNo,
    }
}

table! {
    /// A part by its function.
    Part {
        /// What it is for.
        need function: String,
        /// What a replacement must satisfy, one line each.
        many must: String,
        /// How many.
        may count: u32,
        /// Van or order.
        may source: PartSource,
        /// The line of the order, in plain words.
        may order_line: String,
        /// The line of the shop's price list.
        may item: String,
        /// The price of one, where no list has it.
        may price: Known<Money>,
    }
}

table! {
    /// A piece of work that is offered, for the quote.
    PlannedWork {
        /// What.
        need what: String,
        /// The option it belongs to; every option where none is named.
        may option: String,
        /// The kind of its hours.
        may work: Work,
        /// How long it takes.
        may time: Typed<Duration>,
        /// The refrigerant it takes.
        may gas: Typed<Mass>,
        /// The line of the shop's price list.
        may item: String,
        /// How many of the item.
        may count: u32,
        /// The price of one, where no list has it.
        may price: Money,
    }
}

table! {
    /// A line of a numbered document, as it was sent; quantity, price and amount in plain decimals.
    SentLine {
        /// What.
        need what: String,
        /// How much of it.
        need quantity: String,
        /// In which unit.
        need unit: String,
        /// The price of one.
        need price: String,
        /// The amount.
        need amount: String,
    }
}

table! {
    /// A tax of a numbered document, as it was sent.
    SentTax {
        /// Its name.
        need name: String,
        /// The amount in plain decimals.
        need amount: String,
    }
}

table! {
    /// A quote or an invoice that has a number: a frozen copy. It never changes; a later one may correct it.
    Sent {
        /// What it is.
        need what: Paper,
        /// Its number.
        need number: String,
        /// The number of the document that it corrects.
        may corrects: String,
        /// Of a quote: the option it is for.
        may option: String,
        /// Whom it is for.
        may to: String,
        /// The place and the system.
        may site: String,
        /// The shop as it stood at its head, parts by semicolons.
        may shop: String,
        /// The words at its foot.
        may terms: String,
        /// The lines.
        many line: SentLine,
        /// The taxes.
        many tax: SentTax,
        /// The total with its currency.
        need total: Money,
    }
}

table! {
    /// A picture, by reference.
    Picture {
        /// The file's name or path.
        need file: String,
        /// What it shows, in words.
        may shows: String,
        /// The SHA-256 of the file, in hexadecimal.
        may sha256: String,
        /// Whether the number in it was typed up; no means it is still owed.
        may read: YesNo,
        /// The entries that its number was typed into, each by its own name or the id of its event.
        many typed_into: String,
    }
}

table! {
    /// What the customer chose.
    Choice {
        /// The option.
        need option: String,
        /// The other options that were offered.
        many instead_of: String,
        /// Who chose.
        may chosen_by: String,
        /// How it was agreed.
        may agreed: Agreement,
        /// Why.
        may reason: String,
    }
}

table! {
    /// Words.
    Note {
        /// The words.
        need text: String,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_superheat_setting_is_a_difference_and_a_thermostat_a_temperature() {
        let read = |what, text| SettingValue::read_for(what, text, &Local::default()).unwrap();
        assert!(matches!(
            read(SettingOf::Superheat, "8 F"),
            SettingValue::TemperatureDifference(d) if (d.fahrenheit() - 8.0).abs() < 1e-12
        ));
        assert!(matches!(
            read(SettingOf::BoxTemperature, "36 F"),
            SettingValue::Temperature(t) if (t.fahrenheit() - 36.0).abs() < 1e-9
        ));
        assert!(matches!(read(SettingOf::HeadPressure, "90 F"), SettingValue::Temperature(_)));
        assert!(matches!(read(SettingOf::Valve, "back-seated"), SettingValue::Words(_)));
        assert!(SettingValue::read_for(SettingOf::LowCutIn, "20", &Local::default()).is_err());
    }

    #[test]
    fn every_example_of_a_setting_reads() {
        for word in SettingOf::WORDS {
            let what = SettingOf::read(word, &Local::default()).unwrap();
            assert!(
                SettingValue::read_for(what, SettingValue::example_for(what), &Local::default()).is_ok(),
                "{word}"
            );
        }
    }
}
