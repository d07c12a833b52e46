//! Scales, grid lines and the writing of their numbers.

use units::math::{ln, log10, pow};

/// The largest size a picture holds; beyond it a value is a slip, and would write labels wider than the picture.
const LARGEST: f64 = 1e12;

/// Returns whether a value can be drawn.
pub fn sane(value: f64) -> bool {
    value.is_finite() && value.abs() <= LARGEST
}

/// Returns whether a value can be drawn on a logarithmic axis.
pub fn sane_log(value: f64) -> bool {
    sane(value) && value >= 1.0 / LARGEST
}

/// How numbers are written.
#[derive(Clone, Copy, Debug)]
pub struct Numbers {
    /// Whether the decimal mark is a comma.
    pub comma: bool,
}

impl Numbers {
    /// Returns the number with U+2212 as minus; a rounded minus zero is a zero.
    pub fn write(self, value: f64, decimals: usize) -> String {
        let plain = format!("{:.*}", decimals, value.abs());
        let nonzero = plain.bytes().any(|b| matches!(b, b'1'..=b'9'));
        let digits = if self.comma { plain.replace('.', ",") } else { plain };
        if value < 0.0 && nonzero { format!("\u{2212}{digits}") } else { digits }
    }
}

/// Returns the decimals that tell values apart: about three digits of their span, and none that all values leave 0.
pub fn decimals(values: impl Iterator<Item = f64>) -> usize {
    let values: Vec<f64> = values.filter(|value| sane(*value)).collect();
    let (low, high) = range(values.iter().copied()).unwrap_or((0.0, 0.0));
    let size = if high > low { high - low } else { high.abs() };
    let most = if size > 0.0 { (2 - floor(log10(size))).clamp(0, 9) as usize } else { 0 };
    let zero_after = |decimals: usize| {
        let zeros = "0".repeat(most - decimals);
        values.iter().all(|value| format!("{value:.most$}").ends_with(&zeros))
    };
    (0..most).find(|decimals| zero_after(*decimals)).unwrap_or(most)
}

fn floor(value: f64) -> i32 {
    value.floor() as i32
}

/// Returns the smallest and the largest of the values.
pub fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |found, value| match found {
        None => Some((value, value)),
        Some((low, high)) => Some((low.min(value), high.max(value))),
    })
}

/// Returns a range that is wide enough to draw: a constant gets room on both sides.
pub fn widened((low, high): (f64, f64)) -> (f64, f64) {
    let least = 1e-9 * low.abs().max(high.abs()).max(1e-6);
    if high - low > least {
        return (low, high);
    }
    let room = (low.abs() * 0.1).max(1e-6);
    let room = if low == 0.0 { 1.0 } else { room };
    (low - room, high + room)
}

/// An axis: values to px.
#[derive(Clone, Copy, Debug)]
pub struct Axis {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    log: bool,
}

impl Axis {
    /// Returns a linear axis of the range `(low, high)` drawn between two px.
    pub fn linear((low, high): (f64, f64), from: f64, to: f64) -> Axis {
        let (low, high) = widened((low, high));
        Axis { low, high, from, to, log: false }
    }

    /// Returns a logarithmic axis; both ends must be above zero.
    pub fn log((low, high): (f64, f64), from: f64, to: f64) -> Axis {
        let (low, high) = if high / low > 1.001 { (low, high) } else { (low / 1.5, high * 1.5) };
        Axis { low, high, from, to, log: true }
    }

    /// Returns where a value stands, px; a value past an end stands at it.
    pub fn at(&self, value: f64) -> f64 {
        let value = value.clamp(self.low, self.high);
        let part = match self.log {
            true => ln(value / self.low) / ln(self.high / self.low),
            false => (value - self.low) / (self.high - self.low),
        };
        self.from + part * (self.to - self.from)
    }

    /// Returns at most `most` round values on the axis, each as written.
    pub fn ticks(&self, most: usize, numbers: Numbers) -> Vec<(f64, String)> {
        let round = if self.log { log_ticks(self.low, self.high, most) } else { None };
        round
            .unwrap_or_else(|| linear_ticks(self.low, self.high, most))
            .into_iter()
            .map(|(value, decimals)| (value, numbers.write(value, decimals)))
            .collect()
    }
}

fn linear_ticks(low: f64, high: f64, most: usize) -> Vec<(f64, usize)> {
    let power = floor(log10(high - low)) - 1;
    for (power, lead) in (0..4).flat_map(|more| [1.0, 2.0, 5.0].map(|lead| (power + more, lead))) {
        let step = lead * pow(10.0, f64::from(power));
        let (first, last) = ((low / step - 1e-9).ceil(), (high / step + 1e-9).floor());
        let count = last - first + 1.0;
        if count <= most as f64 && step > 0.0 {
            let decimals = (-power).clamp(0, 12) as usize;
            return (0..count.max(0.0) as usize)
                .map(|index| ((first + index as f64) * step, decimals))
                .collect();
        }
    }
    Vec::new()
}

fn log_ticks(low: f64, high: f64, most: usize) -> Option<Vec<(f64, usize)>> {
    let (first, last) = (floor(log10(low)), floor(log10(high)));
    let choices: [(&[f64], i32); 6] =
        [(&[1.0, 2.0, 5.0], 1), (&[1.0, 3.0], 1), (&[1.0], 1), (&[1.0], 2), (&[1.0], 4), (&[1.0], 8)];
    for (leads, every) in choices {
        let ticks: Vec<(f64, usize)> = (first..=last)
            .filter(|power| power.rem_euclid(every) == 0)
            .flat_map(|power| leads.iter().map(move |lead| (lead * pow(10.0, f64::from(power)), power)))
            .filter(|(value, _)| *value >= low * 0.999_999 && *value <= high * 1.000_001)
            .map(|(value, power)| (value, (-power).clamp(0, 12) as usize))
            .collect();
        if ticks.len() <= most {
            return (ticks.len() >= 2).then_some(ticks);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(axis: Axis, most: usize) -> Vec<String> {
        axis.ticks(most, Numbers { comma: false }).into_iter().map(|(_, text)| text).collect()
    }

    #[test]
    fn grid_lines_are_few_and_round() {
        assert_eq!(written(Axis::linear((11.4, 14.3), 0.0, 1.0), 4), ["12", "13", "14"]);
        assert_eq!(written(Axis::linear((-0.083, 0.041), 0.0, 1.0), 4), ["\u{2212}0.05", "0.00"]);
        assert_eq!(written(Axis::log((0.9, 41.0), 0.0, 1.0), 4), ["1", "3", "10", "30"]);
        assert_eq!(written(Axis::log((2.0, 60.0), 0.0, 1.0), 4), ["3", "10", "30"]);
        assert_eq!(written(Axis::log((20.0, 21.0), 0.0, 1.0), 4), ["20.0", "20.5", "21.0"]);
        assert_eq!(written(Axis::log((1e-3, 1e3), 0.0, 1.0), 4), ["0.01", "1", "100"]);
    }

    #[test]
    fn a_constant_has_an_axis() {
        for value in [0.0, 5.0, -5.0, 1e12, 1e-12, -1e12] {
            let axis = Axis::linear((value, value), 0.0, 100.0);
            assert!((axis.at(value) - 50.0).abs() < 1.0, "{value}: {}", axis.at(value));
        }
        assert!((Axis::log((3.0, 3.0), 0.0, 100.0).at(3.0) - 50.0).abs() < 1e-9);
    }

    #[test]
    fn decimals_are_those_that_say_something() {
        assert_eq!(decimals([14.2, 13.1, 12.6].into_iter()), 1);
        assert_eq!(decimals([0.0, 0.1, f64::NAN].into_iter()), 1);
        assert_eq!(decimals([412.0, 234.0].into_iter()), 0);
        assert_eq!(decimals([4.36, 11.5].into_iter()), 2);
        assert_eq!(decimals([0.0, -0.006].into_iter()), 3);
        assert_eq!(decimals(core::iter::empty()), 0);
    }

    #[test]
    fn numbers_are_written_for_people() {
        let numbers = Numbers { comma: true };
        assert_eq!(numbers.write(-0.04, 2), "\u{2212}0,04");
        assert_eq!(numbers.write(-0.001, 2), "0,00");
    }
}
