//! Pictures as plain numbers in the unit they are shown in, with labels already written.
//!
//! Any value may come: what is not finite, or past what a picture can hold, is left out and counted.

use crate::Text;

/// A picture with its words.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The heading over the picture, with the unit: "Charge since January 2025, kg".
    pub title: Text,
    /// What the picture shows, in a sentence: it stands for the picture where the picture cannot be seen.
    pub description: Text,
    /// The picture.
    pub picture: Picture,
}

/// A kind of picture with its numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Picture {
    /// Logarithm of pressure against enthalpy.
    PressureEnthalpy(PressureEnthalpy),
    /// Charge against the season.
    Ledger(Ledger),
    /// Pressure held.
    Hold(HoldTest),
    /// Vacuum rise.
    Rise(RiseTest),
    /// A value over time.
    Trend(Trend),
    /// The circuit in blocks.
    Circuit(Circuit),
    /// The circuit as a strip with the valves that can shut it.
    Strip(Strip),
}

/// The circuit as a strip, in the order of flow.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Its parts and valves; at most 40 are drawn.
    pub rows: Vec<StripRow>,
}

/// A part or a valve of a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct StripRow {
    /// Its name.
    pub name: Text,
    /// What it is, and of a valve whether it closes.
    pub state: StripState,
    /// The same in a word, for a valve.
    pub word: Option<Text>,
    /// It belongs to the section that is shut in; the valves at its ends too.
    pub enclosed: bool,
    /// The leak is there.
    pub leak: bool,
}

/// What stands at a place of a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StripState {
    /// A part, no valve.
    Part,
    /// A valve that was seen to close.
    Closes,
    /// A valve that leaks by.
    LeaksBy,
    /// A valve that nobody tried.
    Untried,
}

/// The circuit in blocks, laid out in rows and columns, each shaded by the chance that a leak is left there.
#[derive(Clone, Debug, PartialEq)]
pub struct Circuit {
    /// The blocks.
    pub blocks: Vec<CircuitBlock>,
    /// The name of the cold place, written at the line around the blocks inside it.
    pub room: Option<Text>,
}

/// A block of the circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitBlock {
    /// Its name.
    pub name: Text,
    /// Row and column from the top left; at most 8 of each are drawn.
    pub at: (u8, u8),
    /// The chance that a leak is left there, 0 to 1; absent where nobody asks any more.
    pub chance: Option<f64>,
    /// What is written in it: the chance, or what was found.
    pub written: Text,
    /// Some of it was looked at.
    pub looked: bool,
    /// All of it has been ruled out.
    pub ruled_out: bool,
    /// The next look is there.
    pub next: bool,
    /// A leak was found there.
    pub found: bool,
    /// It lies in the cold place.
    pub inside: bool,
    /// The block that the flow goes to, by its number.
    pub to: Option<usize>,
    /// The block that it hangs on, where it is not in the flow.
    pub hangs_on: Option<usize>,
}

/// A point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along.
    pub x: f64,
    /// Up.
    pub y: f64,
}

/// The numbers of a log p-h diagram: x is enthalpy, y absolute pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct PressureEnthalpy {
    /// The refrigerant's designation, written on the dome.
    pub refrigerant: String,
    /// The enthalpy axis with its unit: "enthalpy, kJ/kg".
    pub enthalpy_axis: Text,
    /// The pressure axis with its unit: "bar absolute".
    pub pressure_axis: Text,
    /// The bubble curve, from low pressure up.
    pub bubble: Vec<Point>,
    /// The dew curve, from low pressure up.
    pub dew: Vec<Point>,
    /// The measured cycle in the order of flow; it is drawn closed.
    pub cycle: Vec<CyclePoint>,
}

/// A point of the cycle.
#[derive(Clone, Debug, PartialEq)]
pub struct CyclePoint {
    /// Its number in the order of flow: "1".
    pub number: String,
    /// Where it was read: "suction".
    pub place: Text,
    /// Where it stands.
    pub at: Point,
}

/// The numbers of charge against season. Days are counted from any fixed day.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger {
    /// The unit: "kg".
    pub unit: String,
    /// Where it begins.
    pub start: LedgerStart,
    /// Each refill, by date.
    pub refills: Vec<LedgerRefill>,
    /// Where it ends: today, with its interval.
    pub end: Option<LedgerEnd>,
    /// The full charge, drawn dashed.
    pub full: Option<f64>,
    /// The cold months, hatched in the strip below.
    pub cold: Vec<ColdSpan>,
    /// Days to name below: (day, as written).
    pub dates: Vec<(f64, String)>,
}

/// Where a ledger begins.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerStart {
    /// The day.
    pub day: f64,
    /// The day as written.
    pub date: String,
    /// The charge.
    pub charge: f64,
}

/// A refill of a ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerRefill {
    /// The day.
    pub day: f64,
    /// The day as written.
    pub date: String,
    /// The charge before, absent where nobody knows what was added.
    pub before: Option<f64>,
    /// The charge after.
    pub after: f64,
    /// What was added, as written: "+1.1".
    pub added: String,
}

/// Where a ledger ends.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerEnd {
    /// The day.
    pub day: f64,
    /// The day as written.
    pub date: String,
    /// The lower end of the interval.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// The interval as written: "11.5 to 12.4 kg".
    pub written: String,
}

/// A span of cold months.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdSpan {
    /// Its first day.
    pub from: f64,
    /// Its last day.
    pub until: f64,
}

/// A reading at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The time, from the start of the picture.
    pub time: f64,
    /// The value.
    pub value: f64,
    /// The half-width of its 95 % interval.
    pub half_width: Option<f64>,
}

impl Reading {
    /// Returns a reading without a stated doubt.
    #[must_use]
    pub fn new(time: f64, value: f64) -> Reading {
        Reading { time, value, half_width: None }
    }

    /// Returns the reading with its half-width.
    #[must_use]
    pub fn within(mut self, half_width: f64) -> Reading {
        self.half_width = Some(half_width);
        self
    }
}

/// A zone a value should stand in; an absent end is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AllowedZone {
    /// The lower end.
    pub low: Option<f64>,
    /// The upper end.
    pub high: Option<f64>,
}

/// A moment with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct Moment {
    /// When.
    pub time: f64,
    /// What happens then: "settled", "answer".
    pub label: Text,
}

/// The numbers of a hold test, all pressures corrected to one temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct HoldTest {
    /// The pressure axis with its unit: "bar absolute at 9 °C".
    pub pressure_axis: Text,
    /// The time axis with its unit: "h".
    pub time_axis: Text,
    /// The readings; the last one carries the bracket.
    pub readings: Vec<Reading>,
    /// Where the pressure stands without a leak.
    pub expected: Option<AllowedZone>,
    /// The leak looked for.
    pub looked_for: Option<LookedFor>,
    /// When the two can be told apart.
    pub answer: Option<Moment>,
}

/// The leak a hold test looks for: a dashed line from the first reading.
#[derive(Clone, Debug, PartialEq)]
pub struct LookedFor {
    /// Its end: time and pressure.
    pub end: Point,
    /// Its name: "the loss we look for".
    pub label: Text,
}

/// The numbers of a vacuum rise test; the pressure axis is logarithmic.
#[derive(Clone, Debug, PartialEq)]
pub struct RiseTest {
    /// The pressure axis with its unit.
    pub pressure_axis: Text,
    /// The time axis with its unit.
    pub time_axis: Text,
    /// The readings.
    pub readings: Vec<Reading>,
    /// The fitted parts, each a dashed line.
    pub parts: Vec<FittedPart>,
    /// The pressure wanted, and its name.
    pub target: Option<(f64, Text)>,
}

/// A part of a fit.
#[derive(Clone, Debug, PartialEq)]
pub struct FittedPart {
    /// Its name and its interval, as written.
    pub label: Text,
    /// Its line: time and pressure.
    pub line: Vec<Point>,
}

/// The numbers of a value over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend {
    /// The value axis with its unit.
    pub value_axis: Text,
    /// The time axis with its unit.
    pub time_axis: Text,
    /// The readings.
    pub readings: Vec<Reading>,
    /// Where the value should stand.
    pub allowed: Option<AllowedZone>,
    /// When it settled.
    pub settled: Option<Moment>,
}

/// An interval against its limit, small enough for a row.
#[derive(Clone, Debug, PartialEq)]
pub struct IntervalBar {
    /// The best value.
    pub best: f64,
    /// The half-width of its 95 % interval.
    pub half_width: f64,
    /// The zone it should stand in; without one, `reference` alone is drawn.
    pub allowed: AllowedZone,
    /// A value to compare with that is no limit (0 for a difference).
    pub reference: Option<f64>,
    /// The limit in words: "at least 1 K".
    pub words: Text,
}

/// One of several things that exclude each other, with its probability.
#[derive(Clone, Debug, PartialEq)]
pub struct Chance {
    /// What.
    pub name: Text,
    /// Its probability, 0 to 1.
    pub probability: f64,
}
