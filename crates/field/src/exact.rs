//! Exact numbers, and masses exactly as typed, for comparisons that the law makes without rounding.

use units::Mass;

/// A fraction of two whole numbers in lowest terms, its denominator above zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Exact {
    numerator: i128,
    denominator: i128,
}

/// An exact number left the range of 128-bit whole numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooLarge;

impl Exact {
    /// Zero.
    pub const ZERO: Exact = Exact { numerator: 0, denominator: 1 };

    /// Returns the whole number `value`.
    #[must_use]
    pub const fn whole(value: i64) -> Self {
        Self { numerator: value as i128, denominator: 1 }
    }

    /// Returns `numerator / denominator`, or nothing for a denominator of zero.
    #[must_use]
    pub fn ratio(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator == 0 || numerator == i128::MIN || denominator == i128::MIN {
            return None;
        }
        let divisor = greatest_common_divisor(numerator.unsigned_abs(), denominator.unsigned_abs());
        // The divisor of two numbers below 2^127 lies below 2^127.
        let divisor = i128::try_from(divisor).ok()?.max(1);
        let sign = if denominator < 0 { -1 } else { 1 };
        Some(Self { numerator: sign * numerator / divisor, denominator: sign * denominator / divisor })
    }

    /// Returns the number that a decimal text such as `12.50` writes, exactly; nothing if it is no such text.
    ///
    /// Digits with at most one decimal point, an optional sign, at most 18 digits.
    #[must_use]
    pub fn from_decimal(text: &str) -> Option<Self> {
        let (negative, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let count = whole.len() + part.len();
        if count == 0 || count > 18 || !whole.bytes().chain(part.bytes()).all(|b| b.is_ascii_digit()) {
            return None;
        }
        let mut numerator: i128 = 0;
        for digit in whole.bytes().chain(part.bytes()) {
            numerator = numerator * 10 + i128::from(digit - b'0');
        }
        let mut denominator: i128 = 1;
        for _ in 0..part.len() {
            denominator *= 10;
        }
        Self::ratio(if negative { -numerator } else { numerator }, denominator)
    }

    /// Returns the sum.
    ///
    /// # Errors
    /// [`TooLarge`] when the result does not fit.
    pub fn plus(self, other: Exact) -> Result<Exact, TooLarge> {
        let left = self.numerator.checked_mul(other.denominator).ok_or(TooLarge)?;
        let right = other.numerator.checked_mul(self.denominator).ok_or(TooLarge)?;
        let below = self.denominator.checked_mul(other.denominator).ok_or(TooLarge)?;
        Self::ratio(left.checked_add(right).ok_or(TooLarge)?, below).ok_or(TooLarge)
    }

    /// Returns the product.
    ///
    /// # Errors
    /// [`TooLarge`] when the result does not fit.
    pub fn times(self, other: Exact) -> Result<Exact, TooLarge> {
        // Cancels crosswise first, so that intermediate products stay small.
        let a = Self::ratio(self.numerator, other.denominator).ok_or(TooLarge)?;
        let b = Self::ratio(other.numerator, self.denominator).ok_or(TooLarge)?;
        let above = a.numerator.checked_mul(b.numerator).ok_or(TooLarge)?;
        let below = a.denominator.checked_mul(b.denominator).ok_or(TooLarge)?;
        Self::ratio(above, below).ok_or(TooLarge)
    }

    /// Returns the quotient; nothing for a divisor of zero.
    ///
    /// # Errors
    /// [`TooLarge`] when the result does not fit.
    pub fn over(self, other: Exact) -> Result<Option<Exact>, TooLarge> {
        match Self::ratio(other.denominator, other.numerator) {
            Some(inverse) => self.times(inverse).map(Some),
            None => Ok(None),
        }
    }

    /// Returns the nearest floating-point number, for display.
    #[must_use]
    pub fn approximate(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }

    /// Returns numerator and denominator, in lowest terms.
    #[must_use]
    pub const fn parts(self) -> (i128, i128) {
        (self.numerator, self.denominator)
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<core::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    /// Compares exactly: whole parts first, then the remainders turned over, so nothing can overflow.
    fn cmp(&self, other: &Self) -> core::cmp::Ordering {
        let (mut a, mut b, mut c, mut d) =
            (self.numerator, self.denominator, other.numerator, other.denominator);
        let mut turned = false;
        loop {
            let (p, q) = (a.div_euclid(b), c.div_euclid(d));
            let (r, s) = (a.rem_euclid(b), c.rem_euclid(d));
            let order = match p.cmp(&q) {
                core::cmp::Ordering::Equal => match (r, s) {
                    (0, 0) => core::cmp::Ordering::Equal,
                    (0, _) => core::cmp::Ordering::Less,
                    (_, 0) => core::cmp::Ordering::Greater,
                    _ => {
                        (a, b, c, d) = (b, r, d, s);
                        turned = !turned;
                        continue;
                    }
                },
                unequal => unequal,
            };
            return if turned { order.reverse() } else { order };
        }
    }
}

fn greatest_common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// A mass exactly as typed, in kilograms.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ExactMass(Exact);

/// Why a text is not an exact mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExactMassError {
    /// No number with a unit of mass (kg, g, lb, oz; "27 lb 5 oz").
    NotAMass,
    /// A comma before exactly three digits: thousands or decimals?
    WhichComma,
    /// The number does not fit.
    TooLarge,
}

impl ExactMass {
    /// No mass.
    pub const ZERO: ExactMass = ExactMass(Exact::ZERO);

    /// Returns the mass of `value` kilograms.
    #[must_use]
    pub const fn from_kilogram(value: Exact) -> Self {
        Self(value)
    }

    /// Returns the mass of `value` pounds; one pound is 0.45359237 kg exactly.
    ///
    /// # Errors
    /// [`TooLarge`] when the result does not fit.
    pub fn from_pound(value: Exact) -> Result<Self, TooLarge> {
        let pound = Exact::ratio(45_359_237, 100_000_000).ok_or(TooLarge)?;
        Ok(Self(value.times(pound)?))
    }

    /// Returns the mass in kilograms, exactly.
    #[must_use]
    pub const fn kilogram(self) -> Exact {
        self.0
    }

    /// Returns the mass for physics, rounded to floating point.
    #[must_use]
    pub fn approximate(self) -> Mass {
        Mass::from_kilogram(self.0.approximate())
    }

    /// Returns the sum of `masses`.
    ///
    /// # Errors
    /// [`TooLarge`] when the result does not fit.
    pub fn sum(masses: impl IntoIterator<Item = ExactMass>) -> Result<Self, TooLarge> {
        masses.into_iter().try_fold(Self::ZERO, |total, mass| Ok(Self(total.0.plus(mass.0)?)))
    }
}

impl core::str::FromStr for ExactMass {
    type Err = ExactMassError;

    /// Returns the mass that `text` writes, exactly: `14.2 kg`, `850 g`, `27 lb 5 oz`, `6,5 kg`.
    fn from_str(text: &str) -> Result<Self, ExactMassError> {
        let mut total = Exact::ZERO;
        let mut rest = text.trim();
        let mut seen: Vec<&str> = Vec::new();
        let negative = rest.starts_with('-');
        if rest.is_empty() {
            return Err(ExactMassError::NotAMass);
        }
        while !rest.is_empty() {
            let end = rest
                .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
                .ok_or(ExactMassError::NotAMass)?;
            let (number, after) = rest.split_at(end);
            let after = after.trim_start();
            let end = after.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(after.len());
            let (unit, after) = after.split_at(end);
            rest = after.trim_start();
            // A sign stands only before the first number, for the whole.
            if !seen.is_empty() && number.starts_with(['-', '+']) {
                return Err(ExactMassError::NotAMass);
            }
            if let Some((_, decimals)) = number.split_once(',')
                && decimals.len() == 3
            {
                return Err(ExactMassError::WhichComma);
            }
            let value = Exact::from_decimal(number.trim_start_matches(['-', '+']).replace(',', ".").as_str())
                .ok_or(ExactMassError::NotAMass)?;
            let (kind, per) = match unit.to_ascii_lowercase().as_str() {
                "kg" | "kilogram" | "kilograms" => ("kg", Exact::ratio(1, 1)),
                "g" | "gram" | "grams" => ("g", Exact::ratio(1, 1000)),
                "lb" | "lbs" | "pound" | "pounds" => ("lb", Exact::ratio(45_359_237, 100_000_000)),
                "oz" | "ounce" | "ounces" => ("oz", Exact::ratio(45_359_237, 1_600_000_000)),
                _ => return Err(ExactMassError::NotAMass),
            };
            // One number, or pounds and then ounces.
            if !(seen.is_empty() || (seen == ["lb"] && kind == "oz")) {
                return Err(ExactMassError::NotAMass);
            }
            seen.push(kind);
            let per = per.ok_or(ExactMassError::TooLarge)?;
            total = value
                .times(per)
                .and_then(|part| total.plus(part))
                .map_err(|TooLarge| ExactMassError::TooLarge)?;
        }
        let (numerator, denominator) = total.parts();
        Exact::ratio(if negative { -numerator } else { numerator }, denominator)
            .map(Self)
            .ok_or(ExactMassError::TooLarge)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(text: &str) -> Exact {
        Exact::from_decimal(text).unwrap()
    }

    #[test]
    fn decimals_are_exact() {
        assert_eq!(decimal("0.1").plus(decimal("0.2")).unwrap(), decimal("0.3"));
        assert_eq!(decimal("12.50").parts(), (25, 2));
        for bad in ["", ".", "1.2.3", "1e3", "--1", "abc", "1234567890123456789"] {
            assert_eq!(Exact::from_decimal(bad), None, "{bad}");
        }
    }

    #[test]
    fn masses_as_typed() {
        let typed = |text: &str| text.parse::<ExactMass>();
        assert_eq!(typed("16 oz"), typed("1lb"));
        assert_eq!(typed("27 lb 5 oz"), typed("27lb5oz"));
        assert_eq!(typed("850 g"), typed("0.85 kg"));
        assert_eq!(typed("6,5 kg"), typed("6.5 kg"));
        assert_eq!(typed("-1 lb 8 oz").unwrap().kilogram(), typed("-24 oz").unwrap().kilogram());
        assert_eq!(typed("1,500 g"), Err(ExactMassError::WhichComma));
        for bad in ["", "5", "5 m", "kg", "5 oz 3 lb", "3 kg 2 oz", "3 lb -2 oz", "1..2 kg"] {
            assert_eq!(typed(bad), Err(ExactMassError::NotAMass), "{bad}");
        }
        // A cylinder of 34 lb 12 oz is 15.762 kg (common practice, no source).
        assert!((typed("34 lb 12 oz").unwrap().approximate().kilogram() - 15.762).abs() < 5e-4);
    }

    proptest::proptest! {
        #[test]
        fn order_agrees_with_cross_multiplication(a in -9999i128..9999, b in 1i128..9999, c in -9999i128..9999, d in 1i128..9999) {
            let (x, y) = (Exact::ratio(a, b).unwrap(), Exact::ratio(c, d).unwrap());
            proptest::prop_assert_eq!(x.cmp(&y), (a * d).cmp(&(c * b)));
        }

        #[test]
        fn sum_and_product_follow_the_rules(a in -999i128..999, b in 1i128..999, c in -999i128..999, d in 1i128..999) {
            let (x, y) = (Exact::ratio(a, b).unwrap(), Exact::ratio(c, d).unwrap());
            proptest::prop_assert_eq!(x.plus(y), y.plus(x));
            proptest::prop_assert_eq!(x.times(y).unwrap(), Exact::ratio(a * c, b * d).unwrap());
            if c != 0 {
                proptest::prop_assert_eq!(x.over(y).unwrap().unwrap().times(y), Ok(x));
            }
        }
    }
}
