//! The options of one command, read into quantities.

use crate::Outcome;
use clap::ArgMatches;
use job::ask::{self, Answer};
use job::{Refused, Substance};
use report::Message;
use std::str::FromStr;
use units::{
    Atmosphere, Cause, Doubt, Length, PressureDifference, PressureReading, Quantity, ReadError, Temperature,
    TemperatureDifference, Uncertain, Writer,
};
use wording::Wording;

/// The options of one command.
pub struct Options<'a> {
    matches: &'a ArgMatches,
    wording: &'a Wording,
}

impl<'a> Options<'a> {
    /// Returns the options in `matches`.
    pub const fn new(matches: &'a ArgMatches, wording: &'a Wording) -> Self {
        Self { matches, wording }
    }

    /// Returns what was typed for an option of this command, if it has such an option and it was given.
    pub fn text(&self, name: &str) -> Option<&'a str> {
        self.matches.try_get_one::<String>(name).ok().flatten().map(String::as_str)
    }

    /// Returns all that was typed for an option that may be given several times.
    pub fn texts(&self, name: &str) -> Vec<&'a str> {
        self.matches.get_many::<String>(name).map(|all| all.map(String::as_str).collect()).unwrap_or_default()
    }

    /// Returns whether a flag was given.
    pub fn flag(&self, name: &str) -> bool {
        self.matches.try_get_one::<bool>(name).ok().flatten().copied().unwrap_or(false)
    }

    /// Returns a whole number that the command reads itself, if it has such an option.
    pub fn count(&self, name: &str) -> Option<u32> {
        self.matches.try_get_one::<u32>(name).ok().flatten().copied()
    }

    /// Reads an option, if it was given.
    pub fn read<T: FromStr<Err = ReadError>>(&self, name: &'static str) -> Result<Option<T>, Refused> {
        self.text(name)
            .map(|text| text.parse().map_err(|e| Refused::unreadable(option_name(name), &e)))
            .transpose()
    }

    /// Reads an option that must be given.
    pub fn need<T: FromStr<Err = ReadError>>(&self, name: &'static str) -> Result<T, Refused> {
        self.read(name)?.ok_or_else(|| {
            Refused::new("missing", option_name(name), "", option_name(name), Message::new("cli-missing"))
        })
    }

    /// Reads a quantity that must be more than nothing.
    pub fn positive<T: FromStr<Err = ReadError> + Quantity>(
        &self,
        name: &'static str,
        example: &str,
    ) -> Result<Option<T>, Refused> {
        match self.read::<T>(name)? {
            Some(value) if value.si() <= 0.0 => Err(Refused::new(
                "not_positive",
                option_name(name),
                self.text(name).unwrap_or_default(),
                example,
                Message::new("refused-not-positive"),
            )),
            other => Ok(other),
        }
    }

    /// Reads a quantity that must be given, and more than nothing.
    pub fn need_positive<T: FromStr<Err = ReadError> + Quantity>(
        &self,
        name: &'static str,
        example: &str,
    ) -> Result<T, Refused> {
        match self.positive(name, example)? {
            Some(value) => Ok(value),
            None => self.need(name),
        }
    }

    /// Returns the refrigerant of the question.
    pub fn substance(&self) -> Result<Substance, Refused> {
        Substance::read(self.text("refrigerant").unwrap_or_default(), self.text("composition"))
    }

    /// Returns the atmosphere around the gauge.
    pub fn air(&self) -> Result<Atmosphere, Refused> {
        let altitude: Option<Length> = self.read("altitude")?;
        let barometer = self
            .text("barometer")
            .map(|text| units::read_barometer(text).map_err(|e| Refused::unreadable("--barometer", &e)))
            .transpose()?;
        ask::atmosphere(altitude.zip(self.text("altitude")), barometer.zip(self.text("barometer")))
    }

    /// Reads a pressure with the doubt of its gauge: as stated, else assumed.
    pub fn pressure(
        &self,
        name: &'static str,
        assumed: PressureDifference,
        air: Atmosphere,
    ) -> Result<(PressureReading, Uncertain<units::AbsolutePressure>), Refused> {
        let reading: PressureReading = self.need(name)?;
        let value = reading.absolute(air);
        if value.pascal() <= 0.0 {
            return Err(Refused::new(
                "below_zero",
                option_name(name),
                self.text(name).unwrap_or_default(),
                "62.5 psig",
                Message::new("refused-below-zero"),
            ));
        }
        Ok((reading, self.doubtful(value, "gauge", assumed, "gauge-accuracy", "gauge-u")?))
    }

    /// Reads a temperature with the doubt of its probe: as stated, else assumed.
    pub fn temperature(
        &self,
        name: &'static str,
        assumed: TemperatureDifference,
    ) -> Result<Uncertain<Temperature>, Refused> {
        self.doubtful(self.need(name)?, "probe", assumed, "probe-accuracy", "probe-u")
    }

    /// Gives a value its doubt: the half-width or standard uncertainty stated, else the one assumed.
    pub fn doubtful<Q: Quantity, D: Quantity + FromStr<Err = ReadError>>(
        &self,
        value: Q,
        of: &str,
        assumed: D,
        accuracy: &'static str,
        u: &'static str,
    ) -> Result<Uncertain<Q>, Refused> {
        if let Some(u) = self.not_negative::<D>(u)? {
            return Ok(Uncertain::new(value, Doubt::new(Cause::Accuracy, of), u.si()));
        }
        Ok(match self.not_negative::<D>(accuracy)? {
            Some(half) => Uncertain::within(value, Doubt::new(Cause::Accuracy, of), half.si()),
            None => Uncertain::within(value, Doubt::new(Cause::AssumedAccuracy, of), assumed.si()),
        })
    }

    /// Reads an uncertainty, which cannot be less than nothing.
    pub fn not_negative<D: Quantity + FromStr<Err = ReadError>>(
        &self,
        name: &'static str,
    ) -> Result<Option<D>, Refused> {
        match self.read::<D>(name)? {
            Some(size) if size.si() < 0.0 => Err(Refused::new(
                "below_zero",
                option_name(name),
                self.text(name).unwrap_or_default(),
                "0.5",
                Message::new("refused-below-zero"),
            )),
            other => Ok(other),
        }
    }

    /// Returns the units of the answer: as asked, else as typed.
    pub fn writer(&self) -> Result<Writer, Refused> {
        let typed = self.matches.ids().filter(|id| id.as_str() != "units").flat_map(|id| {
            self.matches.try_get_many::<String>(id.as_str()).ok().flatten().into_iter().flatten()
        });
        let writer = writer(self.text("units"), typed.map(String::as_str))?;
        Ok(Writer { decimal_comma: self.wording.decimal_comma(), ..writer })
    }

    /// Returns an answer as asked: JSON, or a text for a person.
    pub fn answer(&self, answer: &impl Answer) -> Result<Outcome, Refused> {
        let writer = self.writer()?;
        if self.flag("json") {
            return Ok(Outcome::answered(json_text(answer)));
        }
        let mut document = answer.document(&writer);
        if self.flag("explain") {
            document.sections.extend(answer.substance().and_then(job::ask::sources));
        }
        let say = |message: &Message| self.wording.say(message);
        let options = report::TextOptions { explain: self.flag("explain"), ..report::TextOptions::default() };
        Ok(Outcome::answered(report::to_text(&document, &say, options)))
    }
}

/// Returns any serialisable answer as indented JSON.
pub fn json_text(value: &impl serde::Serialize) -> String {
    serde_json::to_string_pretty(value)
        .unwrap_or_else(|error| format!("{{\"error\":{:?}}}", error.to_string()))
}

/// Returns the option as a person types it.
pub fn option_name(name: &str) -> String {
    format!("--{name}")
}

/// Returns the units asked for; without a wish, customary ones if any of the texts is in such a unit.
pub fn writer<'a>(wish: Option<&str>, typed: impl IntoIterator<Item = &'a str>) -> Result<Writer, Refused> {
    match wish {
        Some("us") => Ok(Writer::us()),
        Some("metric") => Ok(Writer::metric()),
        Some("bar") => Ok(Writer { pressure: units::PressureUnit::Bar, ..Writer::metric() }),
        Some(other) => Err(Refused::new(
            "bad_choice",
            "--units",
            other,
            "us, metric, bar",
            Message::new("cli-bad-choice"),
        )),
        None => {
            let customary = typed.into_iter().any(|text| {
                let text = text.trim().to_lowercase();
                let unit = text.trim_start_matches(|c: char| !c.is_alphabetic() && c != '°');
                ["psi", "f", "°f", "lb", "oz", "ft", "in", "micron", "inhg"]
                    .iter()
                    .any(|sign| unit.starts_with(sign) && !unit.starts_with("fr"))
                    || text.contains("psi")
            });
            Ok(if customary { Writer::us() } else { Writer::metric() })
        }
    }
}
