//! A value as it was typed, and what is known of a thing: a value, a range, unknown, or as told by somebody.

use crate::form::Takes;
use crate::when::{Local, When, WhenFault};
use core::cmp::Ordering;
use serde::{Deserialize, Serialize};
use units::{
    Duration, Fraction, Length, Mass, MassFlow, Power, PressureDifference, PressureReading, ReadError,
    ReadFault, Temperature, TemperatureDifference, Volume, VolumeFlow,
};

/// A value with the text that somebody typed for it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Typed<Q> {
    /// As typed, unit included.
    pub text: String,
    /// What it means; a quantity in SI.
    pub value: Q,
}

/// What is known of one thing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Known<Q> {
    /// This value.
    Value(Typed<Q>),
    /// About this value, as the giver said; how far off is not said.
    About(Typed<Q>),
    /// Somewhere from the first to the second, both included.
    Range {
        /// The low end.
        from: Typed<Q>,
        /// The high end.
        to: Typed<Q>,
    },
    /// Asked for, and nobody knows.
    Unknown,
    /// Hearsay: somebody said so, nobody here saw it.
    Told {
        /// Who said so, when that was written down.
        by: Option<String>,
        /// What was said.
        what: Box<Known<Q>>,
    },
}

/// How [`Typed`] and [`Known`] stand in JSON, their values not read yet.
///
/// Reading goes by these shapes, which are the same for every kind of value: code written out for each of the fifty
/// kinds was the largest single part of the program on the phone.
mod shape {
    use super::{Known, Typed};
    use serde::de::{DeserializeOwned, Error};
    use serde::{Deserialize, Deserializer};
    use serde_json::Value;

    #[derive(Deserialize)]
    #[serde(rename = "Typed")]
    struct TypedShape {
        text: String,
        value: Value,
    }

    #[derive(Deserialize)]
    #[serde(rename = "Known", rename_all = "snake_case")]
    enum KnownShape {
        Value(TypedShape),
        About(TypedShape),
        Range { from: TypedShape, to: TypedShape },
        Unknown,
        Told { by: Option<String>, what: Box<KnownShape> },
    }

    impl TypedShape {
        fn fill<Q: DeserializeOwned>(self) -> Result<Typed<Q>, serde_json::Error> {
            Ok(Typed { text: self.text, value: Q::deserialize(self.value)? })
        }
    }

    impl KnownShape {
        fn fill<Q: DeserializeOwned>(self) -> Result<Known<Q>, serde_json::Error> {
            Ok(match self {
                KnownShape::Value(typed) => Known::Value(typed.fill()?),
                KnownShape::About(typed) => Known::About(typed.fill()?),
                KnownShape::Range { from, to } => Known::Range { from: from.fill()?, to: to.fill()? },
                KnownShape::Unknown => Known::Unknown,
                KnownShape::Told { by, what } => Known::Told { by, what: Box::new(what.fill()?) },
            })
        }
    }

    impl<'de, Q: DeserializeOwned> Deserialize<'de> for Typed<Q> {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            TypedShape::deserialize(deserializer)?.fill().map_err(D::Error::custom)
        }
    }

    impl<'de, Q: DeserializeOwned> Deserialize<'de> for Known<Q> {
        fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
            KnownShape::deserialize(deserializer)?.fill().map_err(D::Error::custom)
        }
    }
}

impl<Q> Known<Q> {
    /// Returns what was said without saying by whom.
    #[must_use]
    pub fn plain(&self) -> &Known<Q> {
        let mut plain = self;
        while let Known::Told { what, .. } = plain {
            plain = what;
        }
        plain
    }

    /// Returns whether it is hearsay.
    #[must_use]
    pub const fn is_told(&self) -> bool {
        matches!(self, Known::Told { .. })
    }

    /// Returns who said so, when it is hearsay and the name was written down.
    #[must_use]
    pub fn told_by(&self) -> Option<&str> {
        match self {
            Known::Told { by, .. } => by.as_deref(),
            _ => None,
        }
    }

    /// Returns the one value, when it is not a range and not unknown; hearsay and "about" included.
    #[must_use]
    pub fn value(&self) -> Option<&Q> {
        self.typed().map(|typed| &typed.value)
    }

    /// Returns the one value with its text, when it is not a range and not unknown; hearsay and "about" included.
    #[must_use]
    pub fn typed(&self) -> Option<&Typed<Q>> {
        match self.plain() {
            Known::Value(typed) | Known::About(typed) => Some(typed),
            _ => None,
        }
    }

    /// Returns the low and the high end; of a single value both are that value.
    #[must_use]
    pub fn bounds(&self) -> Option<(&Q, &Q)> {
        match self.plain() {
            Known::Value(typed) | Known::About(typed) => Some((&typed.value, &typed.value)),
            Known::Range { from, to } => Some((&from.value, &to.value)),
            _ => None,
        }
    }

    /// Returns whether nothing is known.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        matches!(self.plain(), Known::Unknown)
    }

    /// Returns what was typed, in one line.
    #[must_use]
    pub fn text(&self) -> String {
        match self.plain() {
            Known::Value(typed) => typed.text.clone(),
            Known::About(typed) => format!("about {}", typed.text),
            Known::Range { from, to } => format!("{} .. {}", from.text, to.text),
            Known::Unknown | Known::Told { .. } => "unknown".to_owned(),
        }
    }
}

/// Why a text is not a value of the kind wanted.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// No quantity with a unit of the kind wanted.
    Unreadable(ReadError),
    /// A quantity, but no sensible one here; the sensible ones lie between these texts.
    Outside {
        /// The lowest sensible value, as text.
        from: &'static str,
        /// The highest sensible value, as text.
        to: &'static str,
    },
    /// Not one of the words that stand here.
    Word {
        /// The words that do.
        known: &'static [&'static str],
    },
    /// No moment.
    When(WhenFault),
    /// No whole number of at least zero.
    Count,
    /// No amount of money with its three-letter currency.
    Money,
    /// An empty text.
    Blank,
    /// A range whose first value is the larger.
    RangeOrder,
}

/// A kind of value that is read from a text.
pub trait Reads: Sized {
    /// A text of this kind that reads.
    const EXAMPLE: &'static str;
    /// Returns what a field of this kind takes.
    fn takes() -> Takes;
    /// Returns the value that `text` stands for.
    ///
    /// # Errors
    /// [`Fault`] with the reason.
    fn read(text: &str, local: &Local) -> Result<Self, Fault>;
    /// Returns how two values compare, when they can be compared.
    fn order(&self, _other: &Self) -> Option<Ordering> {
        None
    }
}

macro_rules! quantity {
    ($($type:ident, $example:literal, $from:literal to $to:literal;)*) => {$(
        impl Reads for $type {
            const EXAMPLE: &'static str = $example;
            fn takes() -> Takes {
                Takes::$type
            }
            fn read(text: &str, _: &Local) -> Result<Self, Fault> {
                let value: Self = text.parse().map_err(Fault::Unreadable)?;
                let sensible = |end: &str| end.parse::<Self>().ok();
                match (sensible($from), sensible($to)) {
                    (Some(low), Some(high)) if value < low || value > high => {
                        Err(Fault::Outside { from: $from, to: $to })
                    }
                    _ => Ok(value),
                }
            }
            fn order(&self, other: &Self) -> Option<Ordering> {
                self.partial_cmp(other)
            }
        }
    )*};
}

// What a refrigeration site can show, with room to spare. What is merely unlikely is for the calculations to doubt.
quantity! {
    Temperature, "26 F", "-100 C" to "250 C";
    TemperatureDifference, "15 F", "-150 K" to "150 K";
    PressureDifference, "0.5 psi", "-160 bar" to "160 bar";
    Mass, "27 lb 5 oz", "0 kg" to "20000 kg";
    Volume, "20 L", "0 L" to "50000 L";
    Length, "1 3/8 in", "-430 m" to "6000 m";
    Duration, "24 h", "0 s" to "100 years";
    Power, "1.5 kW", "0 W" to "10000 kW";
    MassFlow, "50 g/yr", "0 g/yr" to "100 kg/s";
    VolumeFlow, "6 cfm", "0 L/s" to "1000 L/s";
    Fraction, "80 %", "0 %" to "100 %";
}

impl Reads for PressureReading {
    const EXAMPLE: &'static str = "62.5 psig";
    fn takes() -> Takes {
        Takes::Pressure
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        let value: Self = text.parse().map_err(Fault::Unreadable)?;
        let (pascal, low, high) = match value {
            PressureReading::Gauge(gauge) => {
                (gauge.pascal(), ("-15 psig", -103_421.5), ("3000 psig", 20_684_272.0))
            }
            PressureReading::Absolute(absolute) => {
                (absolute.pascal(), ("0 psia", 0.0), ("3000 psia", 20_684_272.0))
            }
        };
        if pascal < low.1 || pascal > high.1 {
            return Err(Fault::Outside { from: low.0, to: high.0 });
        }
        Ok(value)
    }
    fn order(&self, other: &Self) -> Option<Ordering> {
        match (self, other) {
            (PressureReading::Gauge(a), PressureReading::Gauge(b)) => a.partial_cmp(b),
            (PressureReading::Absolute(a), PressureReading::Absolute(b)) => a.partial_cmp(b),
            _ => None,
        }
    }
}

impl Reads for String {
    const EXAMPLE: &'static str = "in a few words";
    fn takes() -> Takes {
        Takes::Text
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        let text = text.trim();
        if text.is_empty() { Err(Fault::Blank) } else { Ok(text.to_owned()) }
    }
}

impl Reads for u32 {
    const EXAMPLE: &'static str = "2";
    fn takes() -> Takes {
        Takes::Count
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        text.trim().parse().map_err(|_| Fault::Count)
    }
    fn order(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Reads for When {
    const EXAMPLE: &'static str = "2031-05-06T08:10:00+01:00";
    fn takes() -> Takes {
        Takes::Moment
    }
    fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        When::read(text, local).map_err(Fault::When)
    }
    fn order(&self, other: &Self) -> Option<Ordering> {
        Some(self.unix_millis().cmp(&other.unix_millis()))
    }
}

/// An amount of money, exact: `number` divided by ten to the power `decimals`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Money {
    /// The digits, decimal mark left out.
    pub number: i64,
    /// How many of the digits stand behind the decimal mark, at most 4.
    pub decimals: u8,
    /// The three letters of ISO 4217.
    pub currency: String,
}

impl Reads for Money {
    const EXAMPLE: &'static str = "120.00 EUR";
    fn takes() -> Takes {
        Takes::Money
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        let is_code = |word: &str| word.len() == 3 && word.bytes().all(|b| b.is_ascii_uppercase());
        let (first, second) = text.trim().split_once(' ').ok_or(Fault::Money)?;
        let (amount, code) = if is_code(first) { (second, first) } else { (first, second.trim()) };
        if !is_code(code) {
            return Err(Fault::Money);
        }
        let (whole, part) = amount.trim().split_once('.').unwrap_or((amount.trim(), ""));
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !digits(whole) || !digits(part) || part.len() > 4 || whole.len() > 12 {
            return Err(Fault::Money);
        }
        let number = format!("{whole}{part}").parse().map_err(|_| Fault::Money)?;
        let decimals = u8::try_from(part.len()).map_err(|_| Fault::Money)?;
        Ok(Money { number, decimals, currency: code.to_owned() })
    }
    fn order(&self, other: &Self) -> Option<Ordering> {
        let scaled =
            |money: &Money| i128::from(money.number) * 10_i128.pow(u32::from(4 - money.decimals.min(4)));
        (self.currency == other.currency).then(|| scaled(self).cmp(&scaled(other)))
    }
}

/// A percentage, exact: `number` divided by ten to the power `decimals`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Percent {
    /// The digits, decimal mark left out.
    pub number: u32,
    /// How many of the digits stand behind the decimal mark, at most 4.
    pub decimals: u8,
}

impl Reads for Percent {
    const EXAMPLE: &'static str = "13 %";
    fn takes() -> Takes {
        Takes::Text
    }
    fn read(text: &str, _: &Local) -> Result<Self, Fault> {
        let outside = Fault::Outside { from: "0 %", to: "100 %" };
        let number = text.trim().strip_suffix('%').ok_or(outside.clone())?.trim();
        let (whole, part) = number.split_once('.').unwrap_or((number, ""));
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || whole.len() > 3 || part.len() > 4 || !digits(whole) || !digits(part) {
            return Err(outside);
        }
        let number: u32 = format!("{whole}{part}").parse().map_err(|_| outside.clone())?;
        let decimals = u8::try_from(part.len()).unwrap_or_default();
        if u64::from(number) > 100 * 10_u64.pow(u32::from(decimals)) {
            return Err(outside);
        }
        Ok(Percent { number, decimals })
    }
    fn order(&self, other: &Self) -> Option<Ordering> {
        let scaled = |percent: &Percent| {
            u64::from(percent.number) * 10_u64.pow(u32::from(4 - percent.decimals.min(4)))
        };
        Some(scaled(self).cmp(&scaled(other)))
    }
}

impl<Q: Reads> Typed<Q> {
    /// Returns the value with its text.
    ///
    /// # Errors
    /// [`Fault`] with the reason.
    pub fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        let text = text.trim();
        Ok(Typed { text: text.to_owned(), value: Q::read(text, local)? })
    }
}

impl<Q: Reads> Known<Q> {
    /// Reads `14.2 kg`, `about 3 months`, `1 kg .. 2 kg`, `1 kg to 2 kg`, `unknown`, and any of them with
    /// `, as told` or `, as told by NAME` behind it.
    ///
    /// # Errors
    /// [`Fault`] with the reason.
    pub fn read(text: &str, local: &Local) -> Result<Self, Fault> {
        let text = text.trim();
        if let Some((what, by)) = split_told(text) {
            let what = Box::new(Known::read_plain(what, local)?);
            return Ok(Known::Told { by, what });
        }
        Known::read_plain(text, local)
    }

    fn read_plain(text: &str, local: &Local) -> Result<Self, Fault> {
        if matches!(text.to_ascii_lowercase().as_str(), "unknown" | "not known" | "?") {
            return Ok(Known::Unknown);
        }
        if let Some((from, to)) = text.split_once("..").or_else(|| text.split_once(" to ")) {
            // A free text may hold the word "to"; a range is one only where both ends read.
            match Known::<Q>::range(from, to, local) {
                Err(fault) if text.contains("..") => return Err(fault),
                Ok(range) if range.bounds().is_some_and(|(a, b)| a.order(b).is_some()) => return Ok(range),
                Err(Fault::RangeOrder) => return Err(Fault::RangeOrder),
                _ => {}
            }
        }
        for prefix in ["about ", "approx. ", "approx ", "approximately ", "roughly ", "~"] {
            if let Some(rest) = strip_prefix_any_case(text, prefix)
                && let Ok(typed) = Typed::read(rest, local)
            {
                return Ok(Known::About(typed));
            }
        }
        Typed::read(text, local).map(Known::Value)
    }

    /// Returns the range between two texts; a unit that stands only behind the second counts for both.
    ///
    /// # Errors
    /// [`Fault`] of the end that does not read, or [`Fault::RangeOrder`].
    pub fn range(from: &str, to: &str, local: &Local) -> Result<Self, Fault> {
        let to: Typed<Q> = Typed::read(to, local)?;
        let from: Typed<Q> = match Typed::read(from, local) {
            Err(Fault::Unreadable(ReadError { fault: ReadFault::MissingUnit, .. })) => {
                let unit = to.text.trim_start_matches(|c: char| {
                    c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '/' | ' ')
                });
                Typed::read(&format!("{} {unit}", from.trim()), local)?
            }
            other => other?,
        };
        if from.value.order(&to.value) == Some(Ordering::Greater) {
            return Err(Fault::RangeOrder);
        }
        Ok(Known::Range { from, to })
    }
}

fn strip_prefix_any_case<'a>(text: &'a str, prefix: &str) -> Option<&'a str> {
    let head = text.get(..prefix.len())?;
    head.eq_ignore_ascii_case(prefix).then(|| text[prefix.len()..].trim_start())
}

/// Splits `14.2 kg, as told by the manager` into what was told and by whom.
fn split_told(text: &str) -> Option<(&str, Option<String>)> {
    // ASCII lower case keeps every byte in its place.
    let lower = text.to_ascii_lowercase();
    let at = lower.rfind("as told")?;
    let what = text[..at].trim_end().trim_end_matches(',').trim_end();
    let rest = text[at + "as told".len()..].trim();
    if what.is_empty() {
        return None;
    }
    if rest.is_empty() {
        return Some((what, None));
    }
    let by = strip_prefix_any_case(rest, "by ")?;
    (!by.is_empty()).then(|| (what, Some(by.to_owned())))
}

/// A measured value: as typed, with which instrument, at which tap.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(bound(deserialize = "Q: serde::de::DeserializeOwned"))]
pub struct Measured<Q> {
    /// The value with its text.
    pub value: Typed<Q>,
    /// The name of the instrument; absent when only the entry names its instruments, or nothing does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<String>,
    /// Where it was tapped or clamped, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tap: Option<String>,
}

impl<Q: Copy> Measured<Q> {
    /// Returns the value alone.
    #[must_use]
    pub const fn get(&self) -> Q {
        self.value.value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mass(text: &str) -> Result<Known<Mass>, Fault> {
        Known::read(text, &Local::default())
    }

    #[test]
    fn a_value_keeps_what_was_typed() {
        let known = mass(" 27 lb 5 oz ").unwrap();
        assert_eq!(known.typed().unwrap().text, "27 lb 5 oz");
        assert!((known.value().unwrap().pound() - 27.3125).abs() < 1e-12);
        assert!(!known.is_told());
    }

    #[test]
    fn a_range_reads_with_dots_and_with_to_and_shares_its_unit() {
        for text in ["1 kg .. 2 kg", "1 kg to 2 kg", "1 .. 2 kg", "1..2 kg", "1 to 2 kg"] {
            let known = mass(text).unwrap();
            let (from, to) = known.bounds().unwrap();
            assert!((from.kilogram() - 1.0).abs() < 1e-12 && (to.kilogram() - 2.0).abs() < 1e-12, "{text}");
        }
        assert_eq!(mass("2 kg .. 1 kg"), Err(Fault::RangeOrder));
        assert_eq!(mass("2 kg to 1 kg"), Err(Fault::RangeOrder));
    }

    #[test]
    fn hearsay_keeps_who_said_it() {
        let known = mass("about 1.5 kg, as told by the night manager").unwrap();
        assert_eq!(known.told_by(), Some("the night manager"));
        assert!(matches!(known.plain(), Known::About(_)));
        assert!(mass("1 kg .. 2 kg as told").unwrap().is_told());
        assert!(mass("unknown, as told by the owner").unwrap().is_unknown());
    }

    #[test]
    fn unknown_is_an_answer_and_no_number() {
        assert_eq!(mass("unknown").unwrap().bounds(), None);
        assert!(mass("Unknown").unwrap().is_unknown());
    }

    #[test]
    fn a_text_with_to_in_it_is_a_text() {
        let known: Known<String> = Known::read("goes back to 2019, they say", &Local::default()).unwrap();
        assert_eq!(known.value().map(String::as_str), Some("goes back to 2019, they say"));
    }

    #[test]
    fn what_cannot_be_is_refused_with_what_could() {
        assert_eq!(mass("-3 kg"), Err(Fault::Outside { from: "0 kg", to: "20000 kg" }));
        assert!(matches!(mass("14.2"), Err(Fault::Unreadable(e)) if e.fault == ReadFault::MissingUnit));
        let low: Result<PressureReading, Fault> = Reads::read("5000 psig", &Local::default());
        assert_eq!(low, Err(Fault::Outside { from: "-15 psig", to: "3000 psig" }));
    }

    #[test]
    fn money_is_exact() {
        let money = |text: &str| Money::read(text, &Local::default());
        assert_eq!(
            money("120.50 EUR").unwrap(),
            Money { number: 12050, decimals: 2, currency: "EUR".to_owned() }
        );
        assert_eq!(money("EUR 120").unwrap().decimals, 0);
        assert_eq!(money("EUR 120.5").unwrap().order(&money("120.50 EUR").unwrap()), Some(Ordering::Equal));
        for wrong in ["120", "$120", "12,5 EUR", "-5 EUR", "1.23456 EUR", "99999999999999999999 EUR"] {
            assert_eq!(money(wrong), Err(Fault::Money), "{wrong}");
        }
    }

    #[test]
    fn json_keeps_both_text_and_value() {
        let known = mass("1 kg .. 2 kg, as told by the owner").unwrap();
        let json = serde_json::to_string(&known).unwrap();
        assert!(json.contains("\"text\":\"1 kg\""), "{json}");
        assert_eq!(serde_json::from_str::<Known<Mass>>(&json).unwrap(), known);
    }
}
