//! Masses and ratios without rounding: a legal threshold is compared with what was typed, not with what a float kept.

use core::cmp::Ordering;
use core::fmt;
use core::ops::{Add, Sub};
use core::str::FromStr;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use units::{Mass, Quantity};

/// Parts of a kilogram counted in an [`ExactMass`].
const PARTS: i128 = 1_000_000_000_000_000_000;
/// One pound is 0.45359237 kg by definition, so this many parts.
const POUND: i128 = 453_592_370_000_000_000;
/// Larger masses are refused; keeps every product below the range of the integer.
const LARGEST_KILOGRAMS: i128 = 1_000_000_000;

/// A mass counted exactly, in parts of 10^-18 kg.
///
/// A pound is 0.45359237 kg by definition and an ounce its sixteenth, so what was typed in either unit is exact here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct ExactMass(i128);

/// Why a text is no exact mass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExactMassError {
    /// Not a decimal number with kg, g, lb, oz, t, or lb and oz.
    Form(String),
    /// More decimals than can be counted exactly.
    TooFine(String),
    /// Over a million tonnes, not a number, or below zero.
    OutOfRange(String),
}

impl ExactMass {
    /// No mass.
    pub const ZERO: Self = Self(0);

    /// Returns the mass of a whole number of pounds.
    #[must_use]
    pub const fn pounds(pounds: u32) -> Self {
        Self(pounds as i128 * POUND)
    }

    /// Returns the mass of a whole number of kilograms.
    #[must_use]
    pub const fn kilograms(kilograms: u32) -> Self {
        Self(kilograms as i128 * PARTS)
    }

    /// Returns the decimal mass nearest to `mass`, to 15 significant digits of its kilograms.
    ///
    /// For records that kept only the float: 20 lb entered as 9.071847400000001 kg is 9.0718474 kg again. Where the typed
    /// text was kept, read that instead.
    ///
    /// # Errors
    /// [`ExactMassError::OutOfRange`] for a negative mass, no number, or one beyond a million tonnes.
    pub fn from_mass(mass: Mass) -> Result<Self, ExactMassError> {
        let si = mass.si();
        let wrong = || ExactMassError::OutOfRange(format!("{si}"));
        if !si.is_finite() || si < 0.0 || si > LARGEST_KILOGRAMS as f64 {
            return Err(wrong());
        }
        let text = format!("{si:.14e}");
        let (mantissa, exponent) = text.split_once('e').ok_or_else(wrong)?;
        let digits: i128 = mantissa.replace('.', "").parse().map_err(|_| wrong())?;
        let exponent: i32 = exponent.parse().map_err(|_| wrong())?;
        // value = digits * 10^(exponent - 14) kg; in parts 10^(exponent + 4) more
        let power = exponent - 14 + 18;
        let parts = if power >= 0 {
            digits.checked_mul(10i128.checked_pow(power as u32).ok_or_else(wrong)?).ok_or_else(wrong)?
        } else if power < -15 {
            0
        } else {
            let unit = 10i128.pow((-power) as u32);
            (digits + unit / 2) / unit
        };
        Ok(Self(parts))
    }

    /// Returns the nearest floating-point mass, for display.
    #[must_use]
    pub fn to_mass(self) -> Mass {
        Mass::from_si(self.0 as f64 / PARTS as f64)
    }

    /// Returns the kilograms as an exact ratio.
    #[must_use]
    pub fn in_kilograms(self) -> Ratio {
        Ratio::reduced(self.0, PARTS)
    }

    /// Returns this mass as a part of `whole`, or nothing if `whole` is no mass.
    #[must_use]
    pub fn part_of(self, whole: Self) -> Option<Ratio> {
        if whole.0 <= 0 { None } else { Some(Ratio::reduced(self.0, whole.0)) }
    }

    /// Returns this mass over `whole`, times `above` over `below`; nothing if the lower side is nothing or on overflow.
    pub(crate) fn part_times(self, whole: Self, above: i32, below: i32) -> Option<Ratio> {
        let under = whole.0.checked_mul(i128::from(below)).filter(|under| *under > 0)?;
        // Left as it stands: bringing it to lowest terms is most of the work of a large evaluation.
        Some(Ratio { numerator: self.0.checked_mul(i128::from(above))?, denominator: under })
    }

    /// Returns the middle between two masses.
    #[must_use]
    pub const fn midpoint(low: Self, high: Self) -> Self {
        Self((low.0 + high.0) / 2)
    }

    /// Returns this mass times a ratio, cut to whole parts of 10^-18 kg; nothing on overflow.
    #[must_use]
    pub fn times(self, ratio: Ratio) -> Option<Self> {
        Ratio::reduced(self.0, 1).times(ratio).map(|r| Self(r.numerator / r.denominator))
    }
}

impl Add for ExactMass {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for ExactMass {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl core::iter::Sum for ExactMass {
    fn sum<I: Iterator<Item = Self>>(masses: I) -> Self {
        masses.fold(Self::ZERO, |a, b| a + b)
    }
}

impl fmt::Display for ExactMass {
    /// Writes the kilograms with as many decimals as there are.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, rest) = (self.0 / PARTS, (self.0 % PARTS).abs());
        if rest == 0 {
            return write!(f, "{whole} kg");
        }
        let decimals = format!("{rest:018}");
        let sign = if self.0 < 0 && whole == 0 { "-" } else { "" };
        write!(f, "{sign}{whole}.{} kg", decimals.trim_end_matches('0'))
    }
}

impl FromStr for ExactMass {
    type Err = ExactMassError;

    /// Reads `27 lb 5 oz`, `1.6 kg`, `450 g`, `5 oz`, `2 t`; the decimal mark is a point.
    fn from_str(text: &str) -> Result<Self, ExactMassError> {
        let form = || ExactMassError::Form(text.to_owned());
        let mut rest = text.trim();
        let mut total = 0i128;
        let mut seen = 0;
        while !rest.is_empty() {
            let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).ok_or_else(form)?;
            let (number, after) = rest.split_at(end);
            let after = after.trim_start();
            let end = after.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(after.len());
            let (unit, next) = after.split_at(end);
            rest = next.trim_start();
            let parts = match unit {
                "kg" => PARTS,
                "g" => PARTS / 1000,
                "t" => PARTS * 1000,
                "lb" | "lbs" => POUND,
                "oz" => POUND / 16,
                _ => return Err(form()),
            };
            seen += 1;
            let pair = matches!(unit, "lb" | "lbs") && seen == 1 || unit == "oz" && seen == 2;
            if seen > 2 || (seen == 2 && !pair) || (!rest.is_empty() && !pair) {
                return Err(form());
            }
            let value = Ratio::decimal(number).ok_or_else(form)?;
            if value.numerator / value.denominator > LARGEST_KILOGRAMS * 3 {
                return Err(ExactMassError::OutOfRange(text.to_owned()));
            }
            let too_fine = || ExactMassError::TooFine(text.to_owned());
            if parts % value.denominator != 0 {
                return Err(too_fine());
            }
            total += value.numerator.checked_mul(parts / value.denominator).ok_or_else(too_fine)?;
        }
        if seen == 0 {
            return Err(form());
        }
        if total > LARGEST_KILOGRAMS * PARTS {
            return Err(ExactMassError::OutOfRange(text.to_owned()));
        }
        Ok(Self(total))
    }
}

impl Serialize for ExactMass {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for ExactMass {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(|_| serde::de::Error::custom(format_args!("no mass: {text:?}")))
    }
}

/// An exact ratio of two whole numbers, the lower one positive.
#[derive(Clone, Copy, Debug)]
pub struct Ratio {
    numerator: i128,
    denominator: i128,
}

impl Ratio {
    /// Nothing.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };

    /// Returns the ratio of a whole number to one.
    #[must_use]
    pub const fn whole(number: i64) -> Self {
        Self { numerator: number as i128, denominator: 1 }
    }

    /// Returns `numerator` over `denominator`, or nothing if the latter is zero.
    #[must_use]
    pub fn new(numerator: i64, denominator: i64) -> Option<Self> {
        if denominator == 0 {
            None
        } else {
            Some(Self::reduced(i128::from(numerator), i128::from(denominator)))
        }
    }

    /// Returns the value of a plain decimal such as `3921.6`, or nothing if the text is none or has over 30 digits.
    #[must_use]
    pub fn decimal(text: &str) -> Option<Self> {
        let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
        let length = whole.len() + decimals.len();
        let digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if length == 0 || length > 30 || !digits(whole) || !digits(decimals) {
            return None;
        }
        let numerator: i128 = format!("{whole}{decimals}").parse().ok()?;
        Some(Self::reduced(numerator, 10i128.pow(decimals.len() as u32)))
    }

    pub(crate) fn reduced(numerator: i128, denominator: i128) -> Self {
        let common = common_divisor(numerator.unsigned_abs(), denominator.unsigned_abs()).max(1) as i128;
        let sign = if denominator < 0 { -1 } else { 1 };
        Self { numerator: sign * (numerator / common), denominator: sign * (denominator / common) }
    }

    /// Returns the number above the line.
    #[must_use]
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// Returns the number below the line, always positive.
    #[must_use]
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// Returns the product, or nothing if it leaves the range of the integers.
    #[must_use]
    pub fn times(self, other: Self) -> Option<Self> {
        let a = Self::reduced(self.numerator, other.denominator);
        let b = Self::reduced(other.numerator, self.denominator);
        Some(Self::reduced(a.numerator.checked_mul(b.numerator)?, a.denominator.checked_mul(b.denominator)?))
    }

    /// Returns the sum, or nothing if it leaves the range of the integers.
    #[must_use]
    pub fn plus(self, other: Self) -> Option<Self> {
        let common =
            common_divisor(self.denominator.unsigned_abs(), other.denominator.unsigned_abs()).max(1) as i128;
        let left = self.numerator.checked_mul(other.denominator / common)?;
        let right = other.numerator.checked_mul(self.denominator / common)?;
        let below = self.denominator.checked_mul(other.denominator / common)?;
        Some(Self::reduced(left.checked_add(right)?, below))
    }

    /// Returns the nearest floating-point value, for display.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Returns the value written with `decimals` decimals, halves away from zero.
    #[must_use]
    pub fn rounded(self, decimals: u32) -> String {
        let scale = 10i128.pow(decimals.min(12));
        let whole = self.numerator / self.denominator;
        let rest = (self.numerator % self.denominator).abs();
        let scaled = match rest.checked_mul(scale) {
            Some(product) => (product * 2 + self.denominator) / (self.denominator * 2),
            None => (rest as f64 / self.denominator as f64 * scale as f64 + 0.5) as i128,
        };
        let (whole_up, scaled) = if scaled >= scale { (1, scaled - scale) } else { (0, scaled) };
        let sign = if self.numerator < 0 { "-" } else { "" };
        let whole = whole.abs() + whole_up;
        if decimals == 0 {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{scaled:0width$}", width = decimals as usize)
        }
    }
}

impl Ord for Ratio {
    fn cmp(&self, other: &Self) -> Ordering {
        let across =
            (self.numerator.checked_mul(other.denominator), other.numerator.checked_mul(self.denominator));
        if let (Some(left), Some(right)) = across {
            return left.cmp(&right);
        }
        // Continued fractions: exact, and never leaves the integers.
        let (mut a, mut b, mut c, mut d) =
            (self.numerator, self.denominator, other.numerator, other.denominator);
        let mut flipped = false;
        loop {
            let (whole_a, whole_c) = (a.div_euclid(b), c.div_euclid(d));
            let order = whole_a.cmp(&whole_c);
            if order != Ordering::Equal {
                return if flipped { order.reverse() } else { order };
            }
            let (rest_a, rest_c) = (a.rem_euclid(b), c.rem_euclid(d));
            let order = match (rest_a == 0, rest_c == 0) {
                (true, true) => return Ordering::Equal,
                (true, false) => Some(Ordering::Less),
                (false, true) => Some(Ordering::Greater),
                (false, false) => None,
            };
            if let Some(order) = order {
                return if flipped { order.reverse() } else { order };
            }
            (a, b, c, d) = (b, rest_a, d, rest_c);
            flipped = !flipped;
        }
    }
}

impl PartialEq for Ratio {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Ratio {}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Serialize for Ratio {
    /// As the nearest number.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.to_f64())
    }
}

/// The greatest common divisor by halving and subtracting (Stein), much faster than division at this width.
fn common_divisor(mut a: u128, mut b: u128) -> u128 {
    if a == 0 || b == 0 {
        return a | b;
    }
    let twos = (a | b).trailing_zeros();
    a >>= a.trailing_zeros();
    while b != 0 {
        b >>= b.trailing_zeros();
        if a > b {
            core::mem::swap(&mut a, &mut b);
        }
        b -= a;
        if let (Ok(small), Ok(other)) = (u64::try_from(a), u64::try_from(b)) {
            return u128::from(small_divisor(small, other)) << twos;
        }
    }
    a << twos
}

fn small_divisor(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mass(text: &str) -> ExactMass {
        text.parse().unwrap()
    }

    #[test]
    fn pounds_and_ounces_are_exact() {
        assert_eq!(mass("1 lb"), mass("16 oz"));
        assert_eq!(mass("27 lb 5 oz"), mass("437 oz"));
        assert_eq!(mass("1 lb"), mass("0.45359237 kg"));
        assert_eq!(mass("1 lb"), mass("453.59237 g"));
        assert_eq!(mass("20 lb").part_of(mass("100 lb")), Ratio::new(1, 5));
    }

    #[test]
    fn floats_come_back_as_the_decimals_they_stood_for() {
        assert_eq!(ExactMass::from_mass(Mass::from_si(20.0 * 0.45359237)).unwrap(), mass("20 lb"));
        assert_eq!(ExactMass::from_mass(Mass::from_si(0.0)).unwrap(), ExactMass::ZERO);
        assert!(ExactMass::from_mass(Mass::from_si(-1.0)).is_err());
        assert!(ExactMass::from_mass(Mass::from_si(f64::NAN)).is_err());
        assert_eq!(ExactMass::from_mass(Mass::from_si(1e-40)).unwrap(), ExactMass::ZERO);
    }

    #[test]
    fn bad_texts_are_refused() {
        for text in [
            "",
            "5",
            "kg",
            "5 stone",
            "5 oz 3 lb",
            "5 kg 3 g",
            "1,5 kg",
            "-3 kg",
            "1..5 kg",
            "5 lb 3 oz 2 oz",
        ] {
            assert!(text.parse::<ExactMass>().is_err(), "{text}");
        }
        assert!("0.1234567890123456789 kg".parse::<ExactMass>().is_err());
        assert!("9999999999 kg".parse::<ExactMass>().is_err());
    }

    #[test]
    fn rounding_is_half_away_from_zero() {
        assert_eq!(Ratio::new(1, 8).unwrap().rounded(2), "0.13");
        assert_eq!(Ratio::new(999, 1000).unwrap().rounded(2), "1.00");
        assert_eq!(Ratio::new(2, 3).unwrap().rounded(4), "0.6667");
        assert_eq!(Ratio::whole(21).rounded(0), "21");
    }

    proptest! {
        #[test]
        fn order_is_that_of_the_cross_products(a in -9999i64..9999, b in 1i64..9999, c in -9999i64..9999, d in 1i64..9999) {
            let (left, right) = (Ratio::new(a, b).unwrap(), Ratio::new(c, d).unwrap());
            prop_assert_eq!(left.cmp(&right), (a * d).cmp(&(c * b)));
        }

        #[test]
        fn a_mass_survives_its_own_text(parts in 0u64..u64::MAX) {
            let m = ExactMass(i128::from(parts));
            prop_assert_eq!(m.to_string().parse::<ExactMass>().unwrap(), m);
        }

        #[test]
        fn typed_tenths_of_a_pound_survive_the_float(tenths in 0u32..1_000_000) {
            let typed = mass(&format!("{}.{} lb", tenths / 10, tenths % 10));
            let float = Mass::from_si(f64::from(tenths) / 10.0 * 0.45359237);
            prop_assert_eq!(ExactMass::from_mass(float).unwrap(), typed);
        }
    }
}
