//! What stands before the entries: site, customer, visit, system, instruments, cylinders.

use crate::form::Takes;
use crate::known::{Fault, Known, Reads, Typed};
use crate::table::table;
use crate::when::{Local, When, WhenFault, read_offset};
use crate::words::*;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use units::{
    AbsolutePressure, Fraction, Length, Mass, MassFlow, Power, PressureDifference, PressureReading,
    Temperature, TemperatureDifference, Volume,
};

/// A barometer reading: station pressure, absolute.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Barometer(pub AbsolutePressure);

impl Reads for Barometer {
    const EXAMPLE: &'static str = "101.3 kPa";
    fn takes() -> Takes {
        Takes::Barometer
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        let pressure = units::read_barometer(text).map_err(Fault::Unreadable)?;
        if units::Atmosphere::from_barometer(pressure).is_err() {
            return Err(Fault::Outside { from: "45 kPa", to: "110 kPa" });
        }
        Ok(Barometer(pressure))
    }
    fn order(&self, other: &Self) -> Option<core::cmp::Ordering> {
        self.partial_cmp(other)
    }
}

/// An offset from UTC, in minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Offset(pub i16);

impl Reads for Offset {
    const EXAMPLE: &'static str = "+01:00";
    fn takes() -> Takes {
        Takes::Offset
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        read_offset(text).map(Offset).ok_or(Fault::When(WhenFault::Unreadable))
    }
}

table! {
    /// The place where the system stands.
    #[derive(Default)]
    Site {
        /// Its name.
        may name: String,
        /// Its address.
        may address: String,
        /// Country, state or province whose law holds, in words.
        may jurisdiction: String,
        /// Whose the system is, where the law asks: in Canada.
        may owner: Known<OwnerKind>,
        /// Its height above the sea, for the pressure of the air.
        may altitude: Known<Length>,
        /// The air pressure read there (station pressure, not reduced to sea level).
        may barometer: Known<Barometer>,
        /// The IANA name of its time zone.
        may zone: String,
        /// Its local time minus UTC on the day of the visit.
        may offset: Typed<Offset>,
        /// Dangers and ways in.
        may access: String,
        /// Anything else.
        may note: String,
    }
}

table! {
    /// The customer.
    #[derive(Default)]
    Customer {
        /// Name of the firm or person.
        may name: String,
        /// Who is to be spoken to.
        may contact: String,
        /// Telephone.
        may phone: String,
        /// Mail address.
        may mail: String,
        /// Anything else.
        may note: String,
    }
}

table! {
    /// The visit as a whole.
    #[derive(Default)]
    Visit {
        /// Its day, so that entries need only the time of day.
        may date: When,
        /// Who makes the entries, unless an entry says otherwise.
        may by: String,
        /// The device they were written on.
        may device: String,
        /// The complaint, in the customer's words.
        may complaint: String,
        /// What it is booked for.
        may booked_for: BookedFor,
        /// How soon somebody must come.
        may urgency: Urgency,
        /// The goods that are at risk, and until when they stand it.
        may at_risk: String,
        /// When somebody can come in.
        may hours: String,
        /// The order or reference number.
        may order: String,
        /// The employer of who does the work.
        may employer: String,
        /// The number of the certificate of who does the work.
        may certificate: Known<String>,
        /// Why refrigerant is to be put in, where it is to be.
        may adds_for: AddReason,
        /// Nothing was lost or opened since the last leak test.
        may tight_since_test: YesNo,
        /// Stopping the system would endanger life or health.
        may stopping_endangers: YesNo,
        /// There is an immediate danger to environment, life or health that a charge would end.
        may immediate_danger: YesNo,
        /// The earlier visit to the same system that this one follows, by its job's id.
        may follows: String,
        /// Anything else.
        may note: String,
    }
}

impl Visit {
    /// Returns the day of the visit.
    #[must_use]
    pub fn day(&self) -> Option<units::Date> {
        self.date.as_ref().and_then(When::local_day)
    }
}

/// A pressure, or the saturation temperature it stands for.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PressureOrTemperature {
    /// A pressure.
    Pressure(PressureReading),
    /// A saturation temperature.
    Temperature(Temperature),
}

impl Reads for PressureOrTemperature {
    const EXAMPLE: &'static str = "180 psig";
    fn takes() -> Takes {
        Takes::PressureOrTemperature
    }
    fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        match PressureReading::read(text, local) {
            Ok(pressure) => Ok(PressureOrTemperature::Pressure(pressure)),
            Err(fault) => {
                Temperature::read(text, local).map(PressureOrTemperature::Temperature).map_err(|_| fault)
            }
        }
    }
    fn order(&self, other: &Self) -> Option<core::cmp::Ordering> {
        match (self, other) {
            (Self::Pressure(a), Self::Pressure(b)) => a.order(b),
            (Self::Temperature(a), Self::Temperature(b)) => a.order(b),
            _ => None,
        }
    }
}

/// A composition by mass: component and share, in the order of the names.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Composition(pub BTreeMap<String, Fraction>);

table! {
    /// A line of the circuit.
    Line {
        /// Which line.
        need kind: LineKind,
        /// Its size by outside diameter.
        may size: Known<Length>,
        /// Its inside diameter, where it is known better than by the size.
        may inside: Known<Length>,
        /// Its length.
        may length: Known<Length>,
        /// Whether it is insulated.
        may insulated: Known<YesNo>,
        /// Where it runs.
        may note: String,
    }
}

table! {
    /// A point where the circuit can be shut.
    ShutOff {
        /// Its name, such as "receiver outlet".
        need name: String,
        /// Where it is.
        may place: String,
        /// Whether it closes.
        may holds: Known<Holds>,
        /// Anything else.
        may note: String,
    }
}

table! {
    /// The system: every field may be unknown, a range, or as told.
    #[derive(Default)]
    System {
        /// What it is called.
        may name: String,
        /// The designation of its refrigerant, such as R-449A.
        may refrigerant: Known<String>,
        /// Its composition by mass, where it is not the nominal one.
        may composition: Composition,
        /// The oil.
        may oil: Known<String>,
        /// The charge on the nameplate.
        may charge: Known<Mass>,
        /// How the full charge was found.
        may charge_by: Known<ChargeFound>,
        /// The charge of the largest circuit, where several share the system.
        may largest_circuit: Known<Mass>,
        /// The part of the charge that is there for the winter.
        may winter_charge: Known<Mass>,
        /// The whole inside volume.
        may volume: Known<Volume>,
        /// Where the condensing side stands.
        may unit: Known<UnitKind>,
        /// The kind of cold place.
        may box_kind: Known<BoxKind>,
        /// The temperature wanted in it.
        may box_target: Known<Temperature>,
        /// The relative humidity wanted in it.
        may box_humidity: Known<Fraction>,
        /// What is kept in it.
        may goods: Known<String>,
        /// How much of it.
        may goods_mass: Known<Mass>,
        /// The warmest that it may become.
        may warmest_goods: Known<Temperature>,
        /// The length of the box inside.
        may box_length: Known<Length>,
        /// Its width inside.
        may box_width: Known<Length>,
        /// Its height inside.
        may box_height: Known<Length>,
        /// The thickness of the foam of its walls.
        may insulation: Known<Length>,
        /// The temperature around the box.
        may box_around: Known<Temperature>,
        /// The expansion device.
        may expansion: Known<Expansion>,
        /// The superheat it is to keep.
        may superheat_target: Known<TemperatureDifference>,
        /// How ice is taken off.
        may defrost: Known<Defrost>,
        /// The volume of the receiver.
        may receiver_volume: Known<Volume>,
        /// The part of the receiver that may be liquid.
        may receiver_fill: Known<Fraction>,
        /// The inside volume of the condenser.
        may condenser_volume: Known<Volume>,
        /// The number of condenser fans.
        may condenser_fans: Known<u32>,
        /// The inside volume of the evaporator.
        may evaporator_volume: Known<Volume>,
        /// The inside volume of the side that can be shut off and was tested.
        may section_volume: Known<Volume>,
        /// What holds the head up in the cold.
        may head_control: Known<HeadControl>,
        /// What it holds: a pressure, or its saturation temperature.
        may head_setting: Known<PressureOrTemperature>,
        /// What the low-pressure control is there for.
        may low_pressure_job: Known<LowPressureJob>,
        /// Where the low-pressure control starts.
        may low_cut_in: Known<PressureReading>,
        /// Where the low-pressure control stops.
        may low_cut_out: Known<PressureReading>,
        /// Where the high-pressure control stops.
        may high_cut_out: Known<PressureReading>,
        /// Whether a stop pumps the low side down.
        may pump_down: Known<YesNo>,
        /// The compressor, in words.
        may compressor: Known<String>,
        /// The cooling capacity at design.
        may capacity: Known<Power>,
        /// The highest pressure on the nameplate, high side.
        may high_side_limit: Known<PressureReading>,
        /// The highest pressure on the nameplate, low side.
        may low_side_limit: Known<PressureReading>,
        /// The coldest air that the unit sees.
        may coldest_ambient: Known<Temperature>,
        /// The warmest air that the unit sees.
        may hottest_ambient: Known<Temperature>,
        /// Box air minus evaporating temperature at design.
        may design_td: Known<TemperatureDifference>,
        /// Condensing temperature minus outdoor air at design.
        may design_split: Known<TemperatureDifference>,
        /// The evaporating temperature at design.
        may design_evaporating: Known<Temperature>,
        /// The condensing temperature at design.
        may design_condensing: Known<Temperature>,
        /// The share of the time that the compressor runs.
        may run_share: Known<Fraction>,
        /// When it was put in; a day, where the law is to count from it.
        may installed: Known<String>,
        /// Its serial number or other mark.
        may serial: String,
        /// What it is for, in the words of the law.
        may equipment: Known<EquipmentUse>,
        /// Its rated power.
        may rated_power: Known<Power>,
        /// Labelled as hermetically sealed.
        may hermetic_label: Known<YesNo>,
        /// Stands in a residential building.
        may residential: Known<YesNo>,
        /// Has a fixed leak detection system that alerts somebody.
        may leak_detection: Known<YesNo>,
        /// A use that bans on gas leave out.
        may special_use: Known<SpecialUse>,
        /// An industrial process must be shut down for a repair.
        may process_shutdown: Known<YesNo>,
        /// The leak rate method chosen for the facility.
        may leak_rate_method: Known<RateMethod>,
        /// The lines.
        many line: Line,
        /// The points where the circuit can be shut.
        many shut_off: ShutOff,
        /// Anything else.
        may note: String,
    }
}

/// How exact an instrument is: in its own unit, or as a share.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Exactness {
    /// A difference of pressures.
    Pressure(PressureDifference),
    /// A difference of temperatures.
    Temperature(TemperatureDifference),
    /// A mass.
    Mass(Mass),
    /// A share of the span where a span is given, else of the reading.
    Share(Fraction),
}

impl Reads for Exactness {
    const EXAMPLE: &'static str = "0.5 psi";
    fn takes() -> Takes {
        Takes::Exactness
    }
    fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        let fault = match PressureDifference::read(text, local) {
            Ok(size) => return positive(size.pascal()).map(|()| Exactness::Pressure(size)),
            Err(fault) => fault,
        };
        if let Ok(size) = TemperatureDifference::read(text, local) {
            return positive(size.kelvin()).map(|()| Exactness::Temperature(size));
        }
        if let Ok(size) = Mass::read(text, local) {
            return Ok(Exactness::Mass(size));
        }
        if text.contains('%') {
            return Fraction::read(text, local).map(Exactness::Share);
        }
        Err(fault)
    }
}

fn positive(size: f64) -> Result<(), Fault> {
    if size < 0.0 { Err(Fault::Outside { from: "0", to: "the span of the instrument" }) } else { Ok(()) }
}

table! {
    /// An instrument.
    Instrument {
        /// The name that entries use for it.
        need id: String,
        /// What it measures.
        need measures: Measures,
        /// What it is, in words.
        may what: String,
        /// Its stated accuracy, plus or minus: the half-width of a rectangular distribution.
        may accuracy: Typed<Exactness>,
        /// Its standard uncertainty, where that is stated instead.
        may u: Typed<Exactness>,
        /// The step of its display.
        may resolution: Typed<Exactness>,
        /// Its full span, where the accuracy is a share of it.
        may span: Typed<PressureOrTemperature>,
        /// Against what a pressure instrument measures; vented when nothing is said.
        may basis: PressureBasis,
        /// The smallest leak it is rated to find.
        may sensitivity: Typed<MassFlow>,
        /// The instrument it is a part of: parts share their zero and scale errors.
        may part_of: String,
        /// When it was last compared with something better.
        may compared: When,
        /// Anything else.
        may note: String,
    }
}

table! {
    /// A refrigerant cylinder.
    Cylinder {
        /// The name that entries use for it.
        need id: String,
        /// What is in it.
        may refrigerant: Known<String>,
        /// New gas, or recovered.
        may used_for: CylinderUse,
        /// Where its gas comes from.
        may origin: GasOrigin,
        /// The mass of water it holds, as stamped.
        may water_capacity: Known<Mass>,
        /// Its empty weight, as stamped.
        may tare: Known<Mass>,
        /// When it must be tested again.
        may retest: When,
        /// Anything else.
        may note: String,
    }
}
