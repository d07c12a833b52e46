//! Exact decimal numbers, for money.

use core::cmp::Ordering;
use core::fmt;
use record::{Money, Percent};

/// A decimal number, exact: `digits` divided by ten to the power `scale`.
#[derive(Clone, Copy, Debug)]
pub struct Decimal {
    digits: i128,
    scale: u32,
}

/// The most digits that a text may have; products and sums of such numbers stay within the integers.
const MOST_DIGITS: usize = 18;

impl Decimal {
    /// Nothing.
    pub const ZERO: Self = Self { digits: 0, scale: 0 };
    /// One.
    pub const ONE: Self = Self { digits: 1, scale: 0 };

    /// Returns `digits` divided by ten to the power `scale`, which is at most 12.
    #[must_use]
    pub const fn new(digits: i64, scale: u32) -> Self {
        Self { digits: digits as i128, scale: if scale > 12 { 12 } else { scale } }
    }

    /// Returns the value of a plain decimal such as `-12.50`; nothing where the text is none, or has over 18 digits.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (negative, plain) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
        let (whole, part) = plain.split_once('.').unwrap_or((plain, ""));
        let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        let fits = whole.len() + part.len() <= MOST_DIGITS && part.len() <= 12;
        if whole.is_empty() || !fits || !digits(whole) || !digits(part) || plain.ends_with('.') {
            return None;
        }
        let number: i128 = format!("{whole}{part}").parse().ok()?;
        Some(Self { digits: if negative { -number } else { number }, scale: part.len() as u32 })
    }

    /// Returns the amount of `money`.
    #[must_use]
    pub fn of(money: &Money) -> Self {
        Self::new(money.number, u32::from(money.decimals))
    }

    /// Returns the share that a percentage is.
    #[must_use]
    pub fn share(percent: Percent) -> Self {
        Self::new(i64::from(percent.number), u32::from(percent.decimals) + 2)
    }

    /// Returns the product, exact.
    #[must_use]
    pub const fn times(self, other: Self) -> Self {
        Self { digits: self.digits.saturating_mul(other.digits), scale: self.scale + other.scale }
    }

    /// Returns the sum, exact.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        let scale = self.scale.max(other.scale);
        Self { digits: self.at(scale).saturating_add(other.at(scale)), scale }
    }

    /// Returns the difference, exact.
    #[must_use]
    pub fn minus(self, other: Self) -> Self {
        self.plus(other.negative())
    }

    /// Returns the number with the other sign.
    #[must_use]
    pub const fn negative(self) -> Self {
        Self { digits: self.digits.saturating_neg(), scale: self.scale }
    }

    /// Returns the number with so many decimals, halves away from zero.
    #[must_use]
    pub fn rounded(self, decimals: u32) -> Self {
        if self.scale <= decimals {
            return Self { digits: self.at(decimals), scale: decimals };
        }
        let step = 10_i128.saturating_pow(self.scale - decimals);
        let (whole, rest) = (self.digits / step, self.digits % step);
        let up = i128::from(rest.saturating_abs().saturating_mul(2) >= step);
        Self { digits: whole + up * self.digits.signum(), scale: decimals }
    }

    /// Returns whether it is less than nothing.
    #[must_use]
    pub const fn is_negative(self) -> bool {
        self.digits < 0
    }

    /// Returns whether it is nothing.
    #[must_use]
    pub const fn is_zero(self) -> bool {
        self.digits == 0
    }

    const fn at(self, scale: u32) -> i128 {
        self.digits.saturating_mul(10_i128.saturating_pow(scale - self.scale))
    }
}

impl core::iter::Sum for Decimal {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Self::plus)
    }
}

impl PartialEq for Decimal {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Decimal {}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Self) -> Ordering {
        let scale = self.scale.max(other.scale);
        self.at(scale).cmp(&other.at(scale))
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.digits < 0 { "-" } else { "" };
        let digits = self.digits.unsigned_abs();
        if self.scale == 0 {
            return write!(f, "{sign}{digits}");
        }
        let unit = 10_u128.saturating_pow(self.scale);
        write!(f, "{sign}{}.{:0width$}", digits / unit, digits % unit, width = self.scale as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn d(text: &str) -> Decimal {
        Decimal::read(text).unwrap()
    }

    #[test]
    fn halves_go_away_from_zero() {
        for (text, rounded) in [("1.005", "1.01"), ("-1.005", "-1.01"), ("1.0049", "1.00"), ("2", "2.00")] {
            assert_eq!(d(text).rounded(2).to_string(), rounded, "{text}");
        }
        // In binary floating point 1.15 x 3 is under 3.45.
        assert_eq!(d("1.15").times(d("3")).to_string(), "3.45");
    }

    #[test]
    fn what_is_no_decimal_is_not_read() {
        for text in ["", "-", "1.", ".5", "1,5", "1e3", "+1", "1234567890123456789", "0x1"] {
            assert!(Decimal::read(text).is_none(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_reads_again(digits in -1_000_000_000_000_i64..1_000_000_000_000, scale in 0_u32..6) {
            let one = Decimal::new(digits, scale);
            prop_assert_eq!(d(&one.to_string()), one);
        }

        #[test]
        fn rounding_moves_by_half_a_step_at_most(digits in -1_000_000_000_i64..1_000_000_000, scale in 0_u32..8) {
            let one = Decimal::new(digits, scale);
            let gap = one.rounded(2).minus(one);
            prop_assert!(gap <= Decimal::new(5, 3) && gap.negative() <= Decimal::new(5, 3));
        }
    }
}
