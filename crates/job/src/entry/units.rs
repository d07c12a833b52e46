//! The units of a field in the order a technician meets them, and a text carried from one unit into another.

use record::form::Takes;
use record::{Barometer, Local, PressureOrTemperature, Reads, SettingOf};
use units::{
    Atmosphere, Duration, Fraction, Length, Mass, MassFlow, Power, PressureDifference, PressureReading,
    Quantity, Temperature, TemperatureDifference, Volume, VolumeFlow,
};

/// A unit as it is typed, and as its button shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// As it is typed behind a number.
    pub name: &'static str,
    /// As its button shows it.
    pub label: &'static str,
}

const fn unit(name: &'static str, label: &'static str) -> Unit {
    Unit { name, label }
}

/// Pounds and ounces: two numbers in one field.
pub const POUND_OUNCE: &str = "lb oz";

const PSIG: Unit = unit("psig", "psig");
const KPA_GAUGE: Unit = unit("kPa gauge", "kPa gauge");
const BAR_GAUGE: Unit = unit("bar gauge", "bar gauge");
const PSIA: Unit = unit("psia", "psia");
const KPA_ABS: Unit = unit("kPa abs", "kPa abs");
const BAR_ABS: Unit = unit("bar abs", "bar abs");
const INHG: Unit = unit("inHg", "inHg vacuum");
const MICRON: Unit = unit("micron", "micron");
const FAHRENHEIT: Unit = unit("°F", "°F");
const CELSIUS: Unit = unit("°C", "°C");
const KELVIN: Unit = unit("K", "K");
const LB_OZ: Unit = unit(POUND_OUNCE, "lb oz");
const LB: Unit = unit("lb", "lb");
const OZ: Unit = unit("oz", "oz");
const KG: Unit = unit("kg", "kg");
const GRAM: Unit = unit("g", "g");
const PSI: Unit = unit("psi", "psi");
const KPA: Unit = unit("kPa", "kPa");
const BAR: Unit = unit("bar", "bar");
const PERCENT: Unit = unit("%", "%");

/// Returns the units of a field in the order a technician meets them; of a field without units nothing.
///
/// A unit names its basis: gauge and absolute are units of their own.
#[must_use]
pub const fn units_for(takes: &Takes) -> &'static [Unit] {
    match takes {
        Takes::Pressure => const { &[PSIG, KPA_GAUGE, BAR_GAUGE, INHG, MICRON, PSIA, KPA_ABS, BAR_ABS] },
        Takes::PressureOrTemperature => const { &[PSIG, KPA_GAUGE, BAR_GAUGE, FAHRENHEIT, CELSIUS] },
        Takes::PressureDifference => const { &[PSI, KPA, BAR, MICRON] },
        Takes::Barometer => const { &[unit("inHg", "inHg"), unit("hPa", "hPa"), KPA, unit("mbar", "mbar")] },
        Takes::Temperature => const { &[FAHRENHEIT, CELSIUS] },
        Takes::TemperatureDifference => const { &[FAHRENHEIT, KELVIN] },
        Takes::Mass => const { &[LB_OZ, KG, OZ, GRAM, LB] },
        Takes::Volume => {
            const { &[unit("L", "L"), unit("ft3", "ft³"), unit("in3", "in³"), unit("mL", "mL")] }
        }
        Takes::Length => const { &[unit("in", "in"), unit("ft", "ft"), unit("m", "m"), unit("mm", "mm")] },
        Takes::Duration => {
            const {
                &[
                    unit("min", "min"),
                    unit("h", "h"),
                    unit("days", "days"),
                    unit("weeks", "weeks"),
                    unit("months", "months"),
                    unit("years", "years"),
                ]
            }
        }
        Takes::Fraction => const { &[PERCENT] },
        Takes::MassFlow => {
            const {
                &[
                    unit("g/yr", "g/yr"),
                    unit("oz/yr", "oz/yr"),
                    unit("kg/yr", "kg/yr"),
                    unit("lb/yr", "lb/yr"),
                ]
            }
        }
        Takes::VolumeFlow => {
            const { &[unit("cfm", "cfm"), unit("L/s", "L/s"), unit("m3/h", "m³/h"), unit("L/min", "L/min")] }
        }
        Takes::Power => const { &[unit("Btu/h", "Btu/h"), unit("kW", "kW"), unit("W", "W")] },
        Takes::Exactness => const { &[PSI, FAHRENHEIT, OZ, PERCENT, KPA, BAR, KELVIN, GRAM, MICRON] },
        Takes::Money => {
            const { &[unit("CAD", "CAD"), unit("USD", "USD"), unit("EUR", "EUR"), unit("GBP", "GBP")] }
        }
        Takes::Setting
        | Takes::Count
        | Takes::Moment
        | Takes::Offset
        | Takes::Words(_)
        | Takes::Name(_)
        | Takes::Text
        | Takes::Shares
        | Takes::Point
        | Takes::Group(_) => &[],
    }
}

/// Returns the same pressure unit on the other basis: of psig psia; of another unit nothing.
#[must_use]
pub const fn other_basis(name: &str) -> Option<Unit> {
    Some(match name.as_bytes() {
        b"psig" => PSIA,
        b"kPa gauge" => KPA_ABS,
        b"bar gauge" => BAR_ABS,
        b"psia" => PSIG,
        b"kPa abs" => KPA_GAUGE,
        b"bar abs" => BAR_GAUGE,
        _ => return None,
    })
}

/// Returns what the value of a setting takes, by what is set: a superheat a difference, a thermostat a temperature.
#[must_use]
pub const fn setting_takes(what: SettingOf) -> Takes {
    match what {
        SettingOf::LowCutOut
        | SettingOf::LowCutIn
        | SettingOf::HighCutOut
        | SettingOf::HighCutIn
        | SettingOf::FanOn
        | SettingOf::FanOff
        | SettingOf::HeadPressure => Takes::PressureOrTemperature,
        SettingOf::LowDifferential => Takes::PressureDifference,
        SettingOf::Superheat | SettingOf::BoxDifferential => Takes::TemperatureDifference,
        SettingOf::BoxTemperature | SettingOf::DefrostEnd => Takes::Temperature,
        SettingOf::DefrostInterval | SettingOf::DefrostLength => Takes::Duration,
        SettingOf::RefrigerantSet | SettingOf::Valve | SettingOf::Other => Takes::Text,
    }
}

/// Returns the text with its unit: what was typed where it names one itself, else with the unit of the field behind
/// every number that has none. A text that takes no unit stays as it is.
#[must_use]
pub fn with_unit(text: &str, unit: Option<&str>) -> String {
    let text = text.trim();
    let Some(unit) = unit.filter(|_| is_bare(text)) else { return text.to_owned() };
    if unit != POUND_OUNCE {
        return format!("{text} {unit}");
    }
    // Two bare numbers in a field of pounds and ounces are just these.
    match text.split_once(' ') {
        Some((pounds, ounces)) if !ounces.contains('/') => format!("{pounds} lb {} oz", ounces.trim()),
        _ => format!("{text} lb"),
    }
}

/// Whether a text is made of numbers alone: nothing in it could be a unit or a word.
fn is_bare(text: &str) -> bool {
    let number = |c: char| {
        c.is_ascii_digit()
            || matches!(
                c,
                '.' | ',' | '-' | '+' | '/' | ' ' | '\u{2212}' | '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞'
            )
    };
    text.bytes().any(|byte| byte.is_ascii_digit()) && text.chars().all(number)
        || text.chars().next().is_some_and(|c| !c.is_ascii() && number(c) && text.chars().count() == 1)
}

/// Returns the text in another unit, with as many digits as what was typed supports; nothing where it does not read as
/// one plain quantity. The record keeps what was typed: this is for the eye.
#[must_use]
pub fn convert(takes: &Takes, text: &str, from: &str, to: &str, air: Atmosphere) -> Option<String> {
    if from == to {
        return Some(text.trim().to_owned());
    }
    let takes = match takes {
        Takes::PressureOrTemperature if from.starts_with('°') => &Takes::Temperature,
        Takes::PressureOrTemperature => &Takes::Pressure,
        other => other,
    };
    if !units_for(takes).iter().any(|unit| unit.name == to) {
        return None;
    }
    let read = |text: &str| value(takes, text, air, &Local::default());
    let number = in_unit(takes, read(&with_unit(text, Some(from)))?, to, air)?;
    // One step of the last digit typed, in the new unit: two readings that far apart tell it.
    let step = step_of(text);
    let last = if from == POUND_OUNCE { "oz" } else { from };
    let (low, high) = if matches!(takes, Takes::Barometer) { probe(last) } else { (1.0, 2.0) };
    let at = |number: f64| in_unit(takes, read(&format!("{number} {last}"))?, to, air);
    let size = ((at(high)? - at(low)?) / (high - low)).abs() * step;
    if to == POUND_OUNCE {
        return Some(pounds_and_ounces(number, size));
    }
    Some(plain(number, decimals(size)))
}

/// The step of the last digit typed: 0.1 of `62.5`, 1 of `26`; of a fraction a hundredth.
fn step_of(text: &str) -> f64 {
    if text.contains(['/', '½', '¼', '¾', '⅛', '⅜', '⅝', '⅞']) {
        return 0.01;
    }
    let digits = text.trim_end_matches(|c: char| !c.is_ascii_digit());
    let last = digits.rsplit([' ']).next().unwrap_or_default();
    match last.split_once(['.', ',']) {
        Some((_, part)) => units::math::powi(10.0, -(part.len().min(9) as i32)),
        None => 1.0,
    }
}

/// Decimals at which a step of this size still shows.
fn decimals(size: f64) -> usize {
    if !(size > 0.0 && size.is_finite()) {
        return 0;
    }
    (-units::math::log10(size)).ceil().clamp(0.0, 9.0) as usize
}

fn plain(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    // A rounded minus zero is a zero.
    match text.strip_prefix('-') {
        Some(rest) if !rest.bytes().any(|b| matches!(b, b'1'..=b'9')) => rest.to_owned(),
        _ => text,
    }
}

fn pounds_and_ounces(pounds: f64, step: f64) -> String {
    let decimals = decimals(step * 16.0).min(1);
    let scale = if decimals == 0 { 1.0 } else { 10.0 };
    let ounces = (pounds.abs() * 16.0 * scale).round() / scale;
    let whole = (ounces / 16.0).trunc();
    let minus = if pounds < 0.0 && ounces > 0.0 { "-" } else { "" };
    format!("{minus}{whole:.0} lb {:.decimals$} oz", ounces - whole * 16.0)
}

/// A plain quantity in SI; a pressure absolute.
pub(crate) fn value(takes: &Takes, text: &str, air: Atmosphere, local: &Local) -> Option<f64> {
    fn si<Q: Reads + Quantity>(text: &str, local: &Local) -> Option<f64> {
        Q::read(text, local).ok().map(Quantity::si)
    }
    match takes {
        Takes::Pressure => PressureReading::read(text, local).ok().map(|p| p.absolute(air).pascal()),
        Takes::PressureOrTemperature => match PressureOrTemperature::read(text, local).ok()? {
            PressureOrTemperature::Pressure(p) => Some(p.absolute(air).pascal()),
            PressureOrTemperature::Temperature(t) => Some(t.kelvin()),
        },
        Takes::Barometer => Barometer::read(text, local).ok().map(|barometer| barometer.0.pascal()),
        Takes::PressureDifference => si::<PressureDifference>(text, local),
        Takes::Temperature => si::<Temperature>(text, local),
        Takes::TemperatureDifference => si::<TemperatureDifference>(text, local),
        Takes::Mass => si::<Mass>(text, local),
        Takes::Volume => si::<Volume>(text, local),
        Takes::Length => si::<Length>(text, local),
        Takes::Duration => si::<Duration>(text, local),
        Takes::Fraction => si::<Fraction>(text, local),
        Takes::MassFlow => si::<MassFlow>(text, local),
        Takes::VolumeFlow => si::<VolumeFlow>(text, local),
        Takes::Power => si::<Power>(text, local),
        _ => None,
    }
}

/// The number of a unit that stands for a value in SI: every unit is straight, so two of its readings tell it.
fn in_unit(takes: &Takes, si: f64, unit: &str, air: Atmosphere) -> Option<f64> {
    let unit = if unit == POUND_OUNCE { "lb" } else { unit };
    let local = Local::default();
    // Two numbers that every unit of a field can show.
    let (low, high) = if matches!(takes, Takes::Barometer) { probe(unit) } else { (1.0, 2.0) };
    let read = |number: f64| value(takes, &format!("{number} {unit}"), air, &local);
    let (a, b) = (read(low)?, read(high)?);
    ((b - a).abs() > 0.0).then(|| low + (si - a) / (b - a) * (high - low))
}

/// Two weathers that a barometer can show.
fn probe(unit: &str) -> (f64, f64) {
    match unit {
        "inHg" => (28.0, 30.0),
        "kPa" => (95.0, 100.0),
        _ => (950.0, 1000.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AIR: fn() -> Atmosphere = Atmosphere::sea_level_assumed;

    fn to(takes: &Takes, text: &str, from: &str, to: &str) -> Option<String> {
        convert(takes, text, from, to, AIR())
    }

    #[test]
    fn a_bare_number_takes_the_unit_of_its_field_and_a_typed_unit_stands() {
        assert_eq!(with_unit("62.5", Some("psig")), "62.5 psig");
        assert_eq!(with_unit("62,5", Some("kPa gauge")), "62,5 kPa gauge");
        assert_eq!(with_unit("62.5 psia", Some("psig")), "62.5 psia");
        assert_eq!(with_unit(" 1 3/8 ", Some("in")), "1 3/8 in");
        assert_eq!(with_unit("⅜", Some("in")), "⅜ in");
        assert_eq!(with_unit("27 5", Some(POUND_OUNCE)), "27 lb 5 oz");
        assert_eq!(with_unit("27", Some(POUND_OUNCE)), "27 lb");
        assert_eq!(with_unit("27 1/2", Some(POUND_OUNCE)), "27 1/2 lb");
        assert_eq!(with_unit("12 kg", Some(POUND_OUNCE)), "12 kg");
        assert_eq!(with_unit("unknown", Some("kg")), "unknown");
        assert_eq!(with_unit("clean", None), "clean");
    }

    #[test]
    fn every_unit_reads_behind_a_number_of_its_field() {
        let all = [
            Takes::Pressure,
            Takes::PressureOrTemperature,
            Takes::PressureDifference,
            Takes::Barometer,
            Takes::Temperature,
            Takes::TemperatureDifference,
            Takes::Mass,
            Takes::Volume,
            Takes::Length,
            Takes::Duration,
            Takes::Fraction,
            Takes::MassFlow,
            Takes::VolumeFlow,
            Takes::Power,
        ];
        for takes in all {
            for unit in units_for(&takes) {
                let number = if takes == Takes::Barometer { probe(unit.name).0 } else { 1.0 };
                let text = with_unit(&number.to_string(), Some(unit.name));
                assert!(value(&takes, &text, AIR(), &Local::default()).is_some(), "{takes:?} {text}");
                assert!(!unit.label.is_empty());
            }
        }
        for unit in units_for(&Takes::Exactness) {
            assert!(record::Exactness::read(&format!("1 {}", unit.name), &Local::default()).is_ok());
        }
        for unit in units_for(&Takes::Money) {
            assert!(record::Money::read(&format!("1 {}", unit.name), &Local::default()).is_ok());
        }
    }

    #[test]
    fn a_text_goes_into_the_next_unit_with_the_digits_it_supports() {
        // 62.5 psig = 430.92 kPa gauge; 26 °F = -3.33 °C; 27 lb 5 oz = 12.389 kg; NIST SP 811 factors.
        assert_eq!(to(&Takes::Pressure, "62.5", "psig", "kPa gauge").unwrap(), "430.9");
        assert_eq!(to(&Takes::Pressure, "62,5", "psig", "bar gauge").unwrap(), "4.309");
        assert_eq!(to(&Takes::Pressure, "0", "psig", "psia").unwrap(), "15");
        assert_eq!(to(&Takes::Pressure, "0.0", "psig", "psia").unwrap(), "14.7");
        assert_eq!(to(&Takes::Temperature, "26", "°F", "°C").unwrap(), "-3.3");
        assert_eq!(to(&Takes::Temperature, "-40", "°C", "°F").unwrap(), "-40");
        assert_eq!(to(&Takes::TemperatureDifference, "9", "°F", "K").unwrap(), "5.0");
        assert_eq!(to(&Takes::Mass, "27 lb 5 oz", POUND_OUNCE, "kg").unwrap(), "12.39");
        assert_eq!(to(&Takes::Mass, "12.39", "kg", POUND_OUNCE).unwrap(), "27 lb 5.0 oz");
        assert_eq!(to(&Takes::Length, "1 3/8", "in", "mm").unwrap(), "34.9");
        assert_eq!(to(&Takes::Barometer, "29.92", "inHg", "hPa").unwrap(), "1013.2");
        assert_eq!(to(&Takes::Pressure, "62.5", "psig", "psig").unwrap(), "62.5");
    }

    #[test]
    fn what_is_no_plain_quantity_of_the_field_is_not_carried_over() {
        for text in ["", "about 3", "unknown", "1 .. 2", "26 F", "x"] {
            assert_eq!(to(&Takes::Mass, text, "kg", "lb"), None, "{text}");
        }
        assert_eq!(to(&Takes::PressureOrTemperature, "180", "psig", "°F"), None);
        assert_eq!(to(&Takes::Text, "1", "kg", "lb"), None);
    }

    #[test]
    fn there_and_back_gives_what_was_typed() {
        for (takes, text, a, b) in [
            (Takes::Pressure, "62.5", "psig", "kPa abs"),
            (Takes::Pressure, "-3", "psig", "bar abs"),
            (Takes::Temperature, "26.4", "°F", "°C"),
            (Takes::Volume, "18.0", "L", "ft3"),
        ] {
            let there = to(&takes, text, a, b).unwrap();
            let back: f64 = to(&takes, &there, b, a).unwrap().parse().unwrap();
            let typed: f64 = text.parse().unwrap();
            assert!((back - typed).abs() <= step_of(text), "{text} {a} -> {there} {b} -> {back}");
        }
    }
}
