//! A number that opens: what it was made from, how, and where its doubt comes from.

use crate::{Arg, Text};
use units::write::Written;

/// A value as it is written, its half-width (95 %) and unit beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Value {
    /// The number, or the whole value where the unit stands inside it ("27 lb 5 oz").
    pub value: String,
    /// The half-width of its 95 % interval; absent for counts, orders and what was typed.
    pub half_width: Option<String>,
    /// The unit, empty where the value carries it.
    pub unit: String,
}

impl Value {
    /// Returns a value that carries its unit and has no half-width: a count, an order, what was typed.
    #[must_use]
    pub fn as_written(value: impl Into<String>) -> Value {
        Value { value: value.into(), half_width: None, unit: String::new() }
    }

    /// Returns the value in one line, with spaces that do not break: "6.7 ± 0.9 K".
    #[must_use]
    pub fn line(&self) -> String {
        let mut line = self.value.clone();
        if let Some(half) = &self.half_width {
            line.push_str(" ± ");
            line.push_str(half);
        }
        if !self.unit.is_empty() {
            line.push(' ');
            line.push_str(&self.unit);
        }
        crate::message::shown(&line).replace(' ', "\u{a0}")
    }
}

impl From<Written> for Value {
    fn from(written: Written) -> Value {
        Value { value: written.value, half_width: written.half_width, unit: written.unit.to_owned() }
    }
}

impl From<String> for Value {
    fn from(value: String) -> Value {
        Value::as_written(value)
    }
}

impl From<&str> for Value {
    fn from(value: &str) -> Value {
        Value::as_written(value)
    }
}

impl From<Value> for Arg {
    fn from(value: Value) -> Arg {
        Arg::Text(value.line())
    }
}

/// What a number rests on; it decides the line of its tray.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Basis {
    /// Measured, or computed from measurements: a solid tray.
    #[default]
    Known,
    /// On a judgement or a doubtful input: a broken tray, and the word "doubtful" for readers.
    Doubtful,
}

/// A number with its name, that opens where it has something to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Number {
    /// What it is.
    pub label: Text,
    /// How it is written.
    pub value: Value,
    /// What it rests on.
    pub basis: Basis,
    /// What stands behind it.
    pub opened: Option<Opened>,
}

impl Number {
    /// Returns a known number that does not open yet.
    #[must_use]
    pub fn new(label: impl Into<Text>, value: impl Into<Value>) -> Number {
        Number { label: label.into(), value: value.into(), basis: Basis::Known, opened: None }
    }

    /// Returns the number with what stands behind it.
    #[must_use]
    pub fn opens(mut self, opened: Opened) -> Number {
        self.opened = Some(opened);
        self
    }

    /// Returns the number as one that rests on a judgement or a doubtful input.
    #[must_use]
    pub fn doubtful(mut self) -> Number {
        self.basis = Basis::Doubtful;
        self
    }
}

/// What stands behind a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opened {
    /// From what: each input's name, how it is written, and where it comes from (instrument, time).
    pub inputs: Vec<Input>,
    /// How it was computed.
    pub method: Text,
    /// Where the doubt comes from, the shares of the variance in percent.
    pub doubts: Vec<Doubt>,
    /// The source of the method and its constants.
    pub source: Text,
}

/// An input of a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Input {
    /// What it is.
    pub name: Text,
    /// How it is written.
    pub value: Value,
    /// Where it comes from: the instrument and the time, a nameplate, an assumption.
    pub origin: Option<Text>,
}

impl Input {
    /// Returns an input whose origin is not named.
    #[must_use]
    pub fn new(name: impl Into<Text>, value: impl Into<Value>) -> Input {
        Input { name: name.into(), value: value.into(), origin: None }
    }

    /// Returns the input with where it comes from.
    #[must_use]
    pub fn from_origin(mut self, origin: impl Into<Text>) -> Input {
        self.origin = Some(origin.into());
        self
    }
}

/// A cause of doubt and its share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// The cause: "the clamp on the pipe".
    pub cause: Text,
    /// Its share of the variance in whole percent, 0 to 100.
    pub percent: u8,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_stays_with_its_unit() {
        let value = Value { value: "6.7".into(), half_width: Some("0.9".into()), unit: "K".into() };
        assert_eq!(value.line(), "6.7\u{a0}±\u{a0}0.9\u{a0}K");
        assert_eq!(Value::from("27 lb 5 oz").line(), "27\u{a0}lb\u{a0}5\u{a0}oz");
    }
}
