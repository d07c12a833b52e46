//! Reads quantities as the trade types them: `62.5 psig`, `27 lb 5 oz`, `1 3/8 in`, `500 micron`, `12 inHg`.
//!
//! Gauge or absolute is never guessed, a unit is never guessed, and a comma that could be either a decimal mark or
//! a thousands mark is asked about.

use crate::{
    AbsolutePressure, Atmosphere, CUBIC_METRE_PER_CUBIC_FOOT, Duration, Fraction, GaugePressure,
    JOULE_PER_BTU, KILOGRAM_PER_POUND, LeakRate, Length, Mass, MassFlow, PASCAL_PER_INHG, PASCAL_PER_MICRON,
    PASCAL_PER_PSI, Power, PressureDifference, SECONDS_PER_YEAR, SpecificEnthalpy, SpecificEntropy,
    Temperature, TemperatureDifference, Volume, VolumeFlow,
};
use core::str::FromStr;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

/// What kind of quantity was being read; a shell finds its example by this.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// A pressure with its basis, gauge or absolute.
    Pressure,
    /// A difference of two pressures.
    PressureDifference,
    /// A barometer reading.
    Barometer,
    /// A temperature.
    Temperature,
    /// A difference of two temperatures.
    TemperatureDifference,
    /// A mass.
    Mass,
    /// A volume.
    Volume,
    /// A length.
    Length,
    /// A stretch of time.
    Duration,
    /// A power.
    Power,
    /// A mass in a time.
    MassFlow,
    /// A volume in a time.
    VolumeFlow,
    /// A leak rate as throughput.
    LeakRate,
    /// A part of a whole.
    Fraction,
    /// An enthalpy of a mass.
    SpecificEnthalpy,
    /// An entropy of a mass.
    SpecificEntropy,
}

impl Kind {
    /// Returns a text of this kind that reads without error.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Kind::Pressure => "62.5 psig",
            Kind::PressureDifference => "0.5 psi",
            Kind::Barometer => "101.3 kPa",
            Kind::Temperature => "26 F",
            Kind::TemperatureDifference => "15 F",
            Kind::Mass => "27 lb 5 oz",
            Kind::Volume => "20 L",
            Kind::Length => "1 3/8 in",
            Kind::Duration => "24 h",
            Kind::Power => "1.5 kW",
            Kind::MassFlow => "50 g/yr",
            Kind::VolumeFlow => "6 cfm",
            Kind::LeakRate => "1e-6 Pa m3/s",
            Kind::Fraction => "80 %",
            Kind::SpecificEnthalpy => "250 kJ/kg",
            Kind::SpecificEntropy => "1.1 kJ/kg K",
        }
    }
}

/// Why a text is not a quantity of the kind asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ReadFault {
    /// Nothing was typed.
    Empty,
    /// No number stands at the start.
    NoNumber,
    /// A comma before exactly three digits: a decimal mark or a thousands mark?
    AmbiguousComma,
    /// A number without a unit.
    MissingUnit,
    /// A unit that does not belong to this kind of quantity, or that nobody knows.
    UnknownUnit,
    /// A pressure unit without a word on gauge or absolute.
    GaugeOrAbsolute,
    /// A unit that stands for several, such as the gallon.
    AmbiguousUnit,
    /// Below absolute zero, below no pressure, or a negative amount.
    BelowZero,
    /// A vacuum deeper than there is, or a minus before one.
    BeyondVacuum,
    /// A fraction with a zero below the line.
    DivisionByZero,
    /// Too large to be a number here.
    TooLarge,
}

/// A text that could not be read, with the reason and what was wanted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadError {
    /// What was being read.
    pub kind: Kind,
    /// Why it could not be.
    pub fault: ReadFault,
    /// What was typed.
    pub given: String,
}

impl core::fmt::Display for ReadError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{:?} for {:?}: {:?}; such as {:?}", self.fault, self.kind, self.given, self.kind.example())
    }
}

impl core::error::Error for ReadError {}

/// A pressure as it was typed: above the atmosphere around the gauge, or above vacuum.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PressureReading {
    /// By a gauge; negative under vacuum.
    Gauge(GaugePressure),
    /// Absolute.
    Absolute(AbsolutePressure),
}

impl PressureReading {
    /// Returns the absolute pressure in `atmosphere`.
    #[must_use]
    pub fn absolute(self, atmosphere: Atmosphere) -> AbsolutePressure {
        match self {
            PressureReading::Gauge(gauge) => gauge.absolute(atmosphere),
            PressureReading::Absolute(absolute) => absolute,
        }
    }

    /// Returns whether the atmosphere matters to it.
    #[must_use]
    pub const fn is_gauge(self) -> bool {
        matches!(self, PressureReading::Gauge(_))
    }
}

/// One number with the unit typed after it, in lower case and without spaces.
struct Piece {
    number: f64,
    unit: String,
    /// The unit as typed, where case matters (MPa against mPa).
    unit_typed: String,
}

type Faulty<T> = Result<T, ReadFault>;

/// Returns the plain character that is meant by a dash or a space of print.
fn ordinary(c: char) -> char {
    match c {
        '\u{2212}' | '\u{2013}' => '-',
        '\u{a0}' | '\u{202f}' | '\u{2009}' | '\t' => ' ',
        other => other,
    }
}

/// Splits a text into numbers and their units.
fn pieces(text: &str) -> Faulty<Vec<Piece>> {
    let text = text.trim();
    let plain = text.is_ascii() && !text.contains('\t');
    let clean = if plain { Cow::Borrowed(text) } else { Cow::Owned(text.chars().map(ordinary).collect()) };
    if clean.is_empty() {
        return Err(ReadFault::Empty);
    }
    let mut rest = clean.as_ref();
    let mut found = Vec::new();
    while !rest.is_empty() {
        let (number, after) = number(rest)?;
        let unit_text = after.trim_start();
        let end = unit_end(unit_text);
        let unit_typed: String = unit_text[..end].trim().to_owned();
        let unit: String =
            unit_typed.to_lowercase().chars().filter(|c| !matches!(c, ' ' | '.' | '(' | ')' | '·')).collect();
        found.push(Piece { number, unit, unit_typed });
        if found.len() > 2 {
            return Err(ReadFault::UnknownUnit);
        }
        rest = unit_text[end..].trim_start();
    }
    Ok(found)
}

/// Returns where the unit ends: at the next number that stands after a letter and a space, as in `27lb 5 oz`, or
/// directly after a mass unit, as in `27lb5oz`.
fn unit_end(text: &str) -> usize {
    for (at, c) in text.char_indices() {
        let starts_a_number =
            c.is_ascii_digit() || (c == '-' && text[at + 1..].starts_with(|d: char| d.is_ascii_digit()));
        if !starts_a_number {
            continue;
        }
        let before = &text[..at];
        // `ft3` alone is a cubic foot, `5ft3in` is not.
        if before.ends_with("ft") && matches!(&text[at..], "2" | "3") {
            continue;
        }
        let unit = before.trim_end();
        let apart = unit.len() < before.len();
        let is_mass_or_length = matches!(
            unit.to_lowercase().trim_end_matches('.'),
            "lb" | "lbs" | "pound" | "pounds" | "kg" | "ft" | "'" | "h" | "hr" | "d" | "min"
        );
        if at > 0 && !unit.is_empty() && (is_mass_or_length || (apart && !unit.ends_with('/'))) {
            return at;
        }
    }
    text.len()
}

/// Reads a number at the start of `text`: sign, decimal point or comma, exponent, fraction, whole number and fraction.
fn number(text: &str) -> Faulty<(f64, &str)> {
    let (sign, body) = match text.as_bytes().first() {
        Some(b'-') => (-1.0, text[1..].trim_start()),
        Some(b'+') => (1.0, text[1..].trim_start()),
        _ => (1.0, text),
    };
    let (first, after) = decimal(body)?;
    // A fraction: `3/8`, `1 3/8`, `1-3/8`, `1⅜`.
    if let Some(below) = after.strip_prefix('/')
        && let Ok((divisor, rest)) = whole(below)
    {
        return if divisor == 0.0 {
            Err(ReadFault::DivisionByZero)
        } else {
            Ok((sign * first / divisor, rest))
        };
    }
    let trimmed = after.trim_start_matches(' ');
    if let Some((part, rest)) = vulgar(trimmed) {
        return Ok((sign * (first + part), rest));
    }
    let candidate = trimmed.strip_prefix('-').unwrap_or(trimmed);
    if first == libm::trunc(first)
        && let Ok((above, rest)) = whole(candidate)
        && let Some(below) = rest.strip_prefix('/')
        && let Ok((divisor, rest)) = whole(below)
    {
        return if divisor == 0.0 {
            Err(ReadFault::DivisionByZero)
        } else {
            Ok((sign * (first + above / divisor), rest))
        };
    }
    Ok((sign * first, after))
}

fn vulgar(text: &str) -> Option<(f64, &str)> {
    let c = text.chars().next()?;
    let part = match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    };
    Some((part, &text[c.len_utf8()..]))
}

fn whole(text: &str) -> Faulty<(f64, &str)> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    if digits == 0 || digits > 6 {
        return Err(ReadFault::NoNumber);
    }
    text[..digits].parse().map(|n| (n, &text[digits..])).map_err(|_| ReadFault::NoNumber)
}

/// Reads digits with at most one decimal mark, and an exponent.
fn decimal(text: &str) -> Faulty<(f64, &str)> {
    if let Some((part, rest)) = vulgar(text) {
        return Ok((part, rest));
    }
    let bytes = text.as_bytes();
    let mut end = 0;
    let mut points = 0;
    let mut commas = 0;
    while end < bytes.len() {
        match bytes[end] {
            b'0'..=b'9' => {}
            b'.' if bytes.get(end + 1).is_some_and(u8::is_ascii_digit) || (end > 0 && points == 0) => {
                points += 1
            }
            b',' if bytes.get(end + 1).is_some_and(u8::is_ascii_digit) => commas += 1,
            _ => break,
        }
        end += 1;
    }
    let digits = &text[..end];
    if !digits.bytes().any(|b| b.is_ascii_digit()) {
        return Err(ReadFault::NoNumber);
    }
    if commas > 0 {
        let after_comma = digits.rsplit(',').next().unwrap_or_default();
        let decimals = after_comma.split('.').next().unwrap_or_default();
        if commas > 1 || points > 0 || decimals.len() == 3 {
            return Err(ReadFault::AmbiguousComma);
        }
    }
    if points > 1 {
        return Err(ReadFault::NoNumber);
    }
    let mut written = Cow::Borrowed(digits);
    if commas > 0 {
        written = Cow::Owned(digits.replace(',', "."));
    }
    if bytes.get(end).is_some_and(|b| matches!(b, b'e' | b'E')) {
        let sign = usize::from(bytes.get(end + 1).is_some_and(|b| matches!(b, b'+' | b'-')));
        let exponent = bytes[end + 1 + sign..].iter().take_while(|b| b.is_ascii_digit()).count();
        if exponent > 0 {
            let stop = end + 1 + sign + exponent;
            written.to_mut().push_str(&text[end..stop]);
            end = stop;
        }
    }
    let value: f64 = written.parse().map_err(|_| ReadFault::NoNumber)?;
    if !value.is_finite() || value > 1e15 {
        return Err(ReadFault::TooLarge);
    }
    Ok((value, &text[end..]))
}

fn one(text: &str) -> Faulty<Piece> {
    let mut all = pieces(text)?;
    if all.len() > 1 {
        return Err(ReadFault::UnknownUnit);
    }
    let piece = all.pop().ok_or(ReadFault::Empty)?;
    if piece.unit.is_empty() { Err(ReadFault::MissingUnit) } else { Ok(piece) }
}

/// A pressure unit as typed: its size in pascal and the basis it names.
#[derive(Clone, Copy, PartialEq)]
enum Basis {
    Gauge,
    Absolute,
    Open,
    /// Inches of mercury alone: vacuum below the atmosphere.
    Vacuum,
}

fn pressure_unit(piece: &Piece) -> Faulty<(f64, Basis)> {
    let unit = piece.unit.as_str();
    let stems: [(&str, f64); 16] = [
        ("psi", PASCAL_PER_PSI),
        ("kpa", 1e3),
        ("hpa", 1e2),
        ("mpa", 1e6),
        ("mbar", 1e2),
        ("bar", 1e5),
        ("inhg", PASCAL_PER_INHG),
        ("mmhg", PASCAL_PER_MICRON * 1e3),
        ("mtorr", PASCAL_PER_MICRON),
        ("torr", PASCAL_PER_MICRON * 1e3),
        ("microns", PASCAL_PER_MICRON),
        ("micron", PASCAL_PER_MICRON),
        ("umhg", PASCAL_PER_MICRON),
        ("µmhg", PASCAL_PER_MICRON),
        ("atm", 101_325.0),
        ("pa", 1.0),
    ];
    let (stem, size) =
        stems.into_iter().find(|(stem, _)| unit.starts_with(stem)).ok_or(ReadFault::UnknownUnit)?;
    if stem == "mpa" && piece.unit_typed.starts_with("mPa") {
        return Err(ReadFault::AmbiguousUnit);
    }
    let basis = match &unit[stem.len()..] {
        "" => Basis::Open,
        "g" | "gauge" | "ga" => Basis::Gauge,
        "a" | "abs" | "absolute" => Basis::Absolute,
        "vac" | "vacuum" if stem == "inhg" => Basis::Vacuum,
        _ => return Err(ReadFault::UnknownUnit),
    };
    Ok(match (stem, basis) {
        ("inhg", Basis::Open) => (size, Basis::Vacuum),
        // A vacuum gauge reads absolute.
        ("micron" | "microns" | "umhg" | "µmhg" | "mtorr" | "torr" | "mmhg", Basis::Open) => {
            (size, Basis::Absolute)
        }
        (_, basis) => (size, basis),
    })
}

fn pressure(text: &str) -> Faulty<PressureReading> {
    let piece = one(text)?;
    let (size, basis) = pressure_unit(&piece)?;
    let pascal = piece.number * size;
    match basis {
        Basis::Open => Err(ReadFault::GaugeOrAbsolute),
        Basis::Vacuum if !(0.0..=30.0).contains(&piece.number) => Err(ReadFault::BeyondVacuum),
        Basis::Vacuum => Ok(PressureReading::Gauge(GaugePressure::from_pascal(-pascal))),
        Basis::Gauge if pascal < -110_000.0 => Err(ReadFault::BeyondVacuum),
        Basis::Gauge => Ok(PressureReading::Gauge(GaugePressure::from_pascal(pascal))),
        Basis::Absolute if pascal < 0.0 => Err(ReadFault::BelowZero),
        Basis::Absolute => Ok(PressureReading::Absolute(AbsolutePressure::from_pascal(pascal))),
    }
}

fn barometer(text: &str) -> Faulty<AbsolutePressure> {
    let piece = one(text)?;
    match pressure_unit(&piece)? {
        (_, Basis::Gauge) => Err(ReadFault::UnknownUnit),
        (size, _) if piece.number > 0.0 => Ok(AbsolutePressure::from_pascal(piece.number * size)),
        _ => Err(ReadFault::BelowZero),
    }
}

fn pressure_difference(text: &str) -> Faulty<PressureDifference> {
    let piece = one(text)?;
    let unit = piece.unit.as_str();
    if matches!(unit, "psid" | "kpad" | "bard") {
        let size = match unit {
            "psid" => PASCAL_PER_PSI,
            "kpad" => 1e3,
            _ => 1e5,
        };
        return Ok(PressureDifference::from_pascal(piece.number * size));
    }
    match pressure_unit(&piece)? {
        // Of a difference nobody says gauge or absolute; a micron or an inch of mercury is a size here.
        (size, Basis::Open | Basis::Vacuum) => Ok(PressureDifference::from_pascal(piece.number * size)),
        (size, Basis::Absolute) if !unit.ends_with('a') && !unit.ends_with("abs") => {
            Ok(PressureDifference::from_pascal(piece.number * size))
        }
        _ => Err(ReadFault::UnknownUnit),
    }
}

#[derive(Clone, Copy)]
enum Degree {
    Kelvin,
    Celsius,
    Fahrenheit,
}

fn degree(unit: &str) -> Faulty<Degree> {
    let plain = unit.trim_start_matches("delta").trim_start_matches('δ').trim_start_matches('∆');
    match plain
        .trim_start_matches('°')
        .trim_start_matches("deg")
        .trim_end_matches('°')
        .trim_end_matches("deg")
    {
        "k" | "kelvin" => Ok(Degree::Kelvin),
        "c" | "celsius" => Ok(Degree::Celsius),
        "f" | "fahrenheit" => Ok(Degree::Fahrenheit),
        _ => Err(ReadFault::UnknownUnit),
    }
}

fn temperature(text: &str) -> Faulty<Temperature> {
    let piece = one(text)?;
    let t = match degree(&piece.unit)? {
        Degree::Kelvin => Temperature::from_kelvin(piece.number),
        Degree::Celsius => Temperature::from_celsius(piece.number),
        Degree::Fahrenheit => Temperature::from_fahrenheit(piece.number),
    };
    if t.kelvin() < 0.0 { Err(ReadFault::BelowZero) } else { Ok(t) }
}

fn temperature_difference(text: &str) -> Faulty<TemperatureDifference> {
    let piece = one(text)?;
    Ok(match degree(&piece.unit)? {
        Degree::Kelvin | Degree::Celsius => TemperatureDifference::from_kelvin(piece.number),
        Degree::Fahrenheit => TemperatureDifference::from_fahrenheit(piece.number),
    })
}

fn mass_unit(unit: &str) -> Faulty<f64> {
    Ok(match unit {
        "kg" | "kilogram" | "kilograms" | "kilo" | "kilos" => 1.0,
        "g" | "gram" | "grams" => 1e-3,
        "lb" | "lbs" | "pound" | "pounds" => KILOGRAM_PER_POUND,
        "oz" | "ounce" | "ounces" => KILOGRAM_PER_POUND / 16.0,
        _ => return Err(ReadFault::UnknownUnit),
    })
}

fn mass(text: &str) -> Faulty<Mass> {
    let all = pieces(text)?;
    let kilogram = match all.as_slice() {
        [only] if only.unit.is_empty() => return Err(ReadFault::MissingUnit),
        [only] => only.number * mass_unit(&only.unit)?,
        [first, second] => {
            let coarse = mass_unit(&first.unit)?;
            let fine = match second.unit.as_str() {
                "" => return Err(ReadFault::MissingUnit),
                unit => mass_unit(unit)?,
            };
            // Pounds and ounces, or kilogram and gram: the second within one of the first, and no second sign.
            if second.number < 0.0 || fine >= coarse || second.number * fine >= coarse {
                return Err(ReadFault::UnknownUnit);
            }
            let sign = if first.number.is_sign_negative() { -1.0 } else { 1.0 };
            first.number * coarse + sign * second.number * fine
        }
        _ => return Err(ReadFault::Empty),
    };
    Ok(Mass::from_kilogram(kilogram))
}

fn volume(text: &str) -> Faulty<Volume> {
    let piece = one(text)?;
    let size = match piece.unit.as_str() {
        "l" | "litre" | "litres" | "liter" | "liters" | "dm3" | "dm³" => 1e-3,
        "ml" | "cc" | "cm3" | "cm³" => 1e-6,
        "m3" | "m³" => 1.0,
        "ft3" | "ft³" | "cuft" | "cubicfoot" | "cubicfeet" => CUBIC_METRE_PER_CUBIC_FOOT,
        "in3" | "in³" | "cuin" => 0.0254 * 0.0254 * 0.0254,
        "gal" | "gallon" | "gallons" | "usgal" => return Err(ReadFault::AmbiguousUnit),
        _ => return Err(ReadFault::UnknownUnit),
    };
    positive(piece.number * size).map(Volume::from_cubic_metre)
}

fn length(text: &str) -> Faulty<Length> {
    let unit_of = |unit: &str| -> Faulty<f64> {
        Ok(match unit {
            "m" | "metre" | "metres" | "meter" | "meters" => 1.0,
            "cm" => 1e-2,
            "mm" => 1e-3,
            "um" | "µm" | "μm" => 1e-6,
            "km" => 1e3,
            "in" | "inch" | "inches" | "\"" | "″" => 0.0254,
            "ft" | "foot" | "feet" | "'" | "′" => 0.3048,
            "" => return Err(ReadFault::MissingUnit),
            _ => return Err(ReadFault::UnknownUnit),
        })
    };
    let all = pieces(text)?;
    let metre = match all.as_slice() {
        [only] => only.number * unit_of(&only.unit)?,
        [first, second] if second.number >= 0.0 => {
            let (coarse, fine) = (unit_of(&first.unit)?, unit_of(&second.unit)?);
            if second.number * fine >= coarse {
                return Err(ReadFault::UnknownUnit);
            }
            first.number * coarse + second.number * fine
        }
        _ => return Err(ReadFault::UnknownUnit),
    };
    Ok(Length::from_metre(metre))
}

fn duration_unit(unit: &str) -> Faulty<f64> {
    Ok(match unit {
        "s" | "sec" | "secs" | "second" | "seconds" => 1.0,
        "min" | "mins" | "minute" | "minutes" => 60.0,
        "h" | "hr" | "hrs" | "hour" | "hours" => 3600.0,
        "d" | "day" | "days" => 86400.0,
        "wk" | "wks" | "week" | "weeks" => 7.0 * 86400.0,
        "month" | "months" | "mo" => SECONDS_PER_YEAR / 12.0,
        "y" | "yr" | "yrs" | "year" | "years" | "a" | "an" => SECONDS_PER_YEAR,
        "" => return Err(ReadFault::MissingUnit),
        _ => return Err(ReadFault::UnknownUnit),
    })
}

fn duration(text: &str) -> Faulty<Duration> {
    let all = pieces(text)?;
    let mut second = 0.0;
    let mut coarser = f64::INFINITY;
    for piece in &all {
        let size = duration_unit(&piece.unit)?;
        if size >= coarser {
            return Err(ReadFault::UnknownUnit);
        }
        coarser = size;
        second += positive(piece.number)? * size;
    }
    Ok(Duration::from_second(second))
}

fn power(text: &str) -> Faulty<Power> {
    let piece = one(text)?;
    let size = match piece.unit.as_str() {
        "w" | "watt" | "watts" => 1.0,
        "kw" => 1e3,
        "btu/h" | "btu/hr" | "btuh" => JOULE_PER_BTU / 3600.0,
        "ton" | "tons" => return Err(ReadFault::AmbiguousUnit),
        _ => return Err(ReadFault::UnknownUnit),
    };
    Ok(Power::from_watt(piece.number * size))
}

fn mass_flow(text: &str) -> Faulty<MassFlow> {
    let piece = one(text)?;
    let (mass, time) = piece
        .unit
        .split_once('/')
        .or_else(|| piece.unit.split_once("per"))
        .or_else(|| piece.unit.split_once("par"))
        .ok_or(ReadFault::UnknownUnit)?;
    positive(piece.number * mass_unit(mass)? / duration_unit(time)?).map(MassFlow::from_kilogram_per_second)
}

fn volume_flow(text: &str) -> Faulty<VolumeFlow> {
    let piece = one(text)?;
    let unit = piece.unit.replace('³', "3");
    let size = match unit.as_str() {
        "cfm" | "ft3/min" | "cuft/min" => CUBIC_METRE_PER_CUBIC_FOOT / 60.0,
        "l/s" => 1e-3,
        "l/min" | "lpm" => 1e-3 / 60.0,
        "m3/h" => 1.0 / 3600.0,
        "m3/s" => 1.0,
        _ => return Err(ReadFault::UnknownUnit),
    };
    positive(piece.number * size).map(VolumeFlow::from_cubic_metre_per_second)
}

fn leak_rate(text: &str) -> Faulty<LeakRate> {
    let piece = one(text)?;
    let unit = piece.unit.replace("³", "3").replace(['*', '-'], "");
    let size = match unit.as_str() {
        "pam3/s" => 1.0,
        "mbarl/s" => 0.1,
        "atmcc/s" | "atmcm3/s" => 0.101_325,
        _ => return Err(ReadFault::UnknownUnit),
    };
    positive(piece.number * size).map(LeakRate::from_pascal_cubic_metre_per_second)
}

fn fraction(text: &str) -> Faulty<Fraction> {
    let mut all = pieces(text)?;
    if all.len() > 1 {
        return Err(ReadFault::UnknownUnit);
    }
    let piece = all.pop().ok_or(ReadFault::Empty)?;
    match piece.unit.as_str() {
        "" => Ok(Fraction::from_ratio(piece.number)),
        "%" | "percent" => Ok(Fraction::from_ratio(piece.number / 100.0)),
        _ => Err(ReadFault::UnknownUnit),
    }
}

fn specific_enthalpy(text: &str) -> Faulty<SpecificEnthalpy> {
    let piece = one(text)?;
    let size = match piece.unit.as_str() {
        "kj/kg" => 1e3,
        "j/kg" => 1.0,
        "btu/lb" => JOULE_PER_BTU / KILOGRAM_PER_POUND,
        _ => return Err(ReadFault::UnknownUnit),
    };
    Ok(SpecificEnthalpy::from_joule_per_kilogram(piece.number * size))
}

fn specific_entropy(text: &str) -> Faulty<SpecificEntropy> {
    let piece = one(text)?;
    let size = match piece.unit.replace(['*', '/'], "").as_str() {
        "kjkgk" => 1e3,
        "jkgk" => 1.0,
        "btulbf" => JOULE_PER_BTU / KILOGRAM_PER_POUND * 1.8,
        _ => return Err(ReadFault::UnknownUnit),
    };
    Ok(SpecificEntropy::from_joule_per_kilogram_kelvin(piece.number * size))
}

fn positive(value: f64) -> Faulty<f64> {
    if value < 0.0 { Err(ReadFault::BelowZero) } else { Ok(value) }
}

/// Returns the barometer reading in `text`: always absolute, so `101.3 kPa` and `29.92 inHg` need no more words.
///
/// # Errors
/// [`ReadError`] with what was typed and why it is not a barometer reading.
pub fn read_barometer(text: &str) -> Result<AbsolutePressure, ReadError> {
    barometer(text).map_err(|fault| ReadError { kind: Kind::Barometer, fault, given: text.to_owned() })
}

macro_rules! reads {
    ($($type:ident by $reader:ident as $kind:ident),* $(,)?) => {$(
        impl FromStr for $type {
            type Err = ReadError;
            fn from_str(text: &str) -> Result<Self, ReadError> {
                $reader(text).map_err(|fault| ReadError { kind: Kind::$kind, fault, given: text.to_owned() })
            }
        }
    )*};
}

reads!(
    PressureReading by pressure as Pressure,
    PressureDifference by pressure_difference as PressureDifference,
    Temperature by temperature as Temperature,
    TemperatureDifference by temperature_difference as TemperatureDifference,
    Mass by mass as Mass,
    Volume by volume as Volume,
    Length by length as Length,
    Duration by duration as Duration,
    Power by power as Power,
    MassFlow by mass_flow as MassFlow,
    VolumeFlow by volume_flow as VolumeFlow,
    LeakRate by leak_rate as LeakRate,
    Fraction by fraction as Fraction,
    SpecificEnthalpy by specific_enthalpy as SpecificEnthalpy,
    SpecificEntropy by specific_entropy as SpecificEntropy,
);

#[cfg(test)]
mod tests;
