//! Single questions: plain data in, an answer out that writes as JSON and as a document.

pub mod batch;
pub mod cold_box;
pub mod displays;
pub mod evacuation;
pub mod fractionation;
pub mod hold;
pub mod opening;
pub mod outflow;
pub mod pipe;
pub mod pulldown;
pub mod recovery;
pub mod refrigerants;
pub mod rise;
pub mod saturation;
pub mod state;
pub mod superheat;
pub mod vessels;

use crate::{Refused, Substance};
use field::saturation::ReadFrom;
use fluid::FluidError;
use refrigerant::{Grade, Refrigerant};
use report::{Block, Message};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, AtmosphereBasis, AtmosphereError, Length, TemperatureDifference, Verdict,
    Writer,
};

/// The atmosphere of a question, from an altitude or a barometer or neither.
///
/// # Errors
/// [`Refused`]: a place or a weather that cannot be.
pub fn atmosphere(
    altitude: Option<(Length, &str)>,
    barometer: Option<(AbsolutePressure, &str)>,
) -> Result<Atmosphere, Refused> {
    let made = match (altitude, barometer) {
        (_, Some((pressure, given))) => Atmosphere::from_barometer(pressure).map_err(|e| (e, given)),
        (Some((altitude, given)), None) => Atmosphere::at_altitude(altitude).map_err(|e| (e, given)),
        (None, None) => Ok(Atmosphere::sea_level_assumed()),
    };
    made.map_err(|(error, given)| match error {
        AtmosphereError::Altitude(_) => Refused::new(
            "altitude_out_of_range",
            "altitude",
            given,
            "-430 m to 6000 m",
            Message::new("refused-altitude"),
        ),
        AtmosphereError::Barometer(_) => Refused::new(
            "barometer_out_of_range",
            "barometer",
            given,
            "45 kPa to 110 kPa",
            Message::new("refused-barometer"),
        ),
    })
}

/// How the atmosphere is known, for an answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct AirAnswer {
    /// Its absolute pressure.
    pub atmosphere_pa: f64,
    /// Whether sea level was assumed for want of an altitude or a barometer.
    pub sea_level_assumed: bool,
}

impl From<Atmosphere> for AirAnswer {
    fn from(air: Atmosphere) -> Self {
        Self {
            atmosphere_pa: air.pressure.pascal(),
            sea_level_assumed: matches!(air.basis, AtmosphereBasis::SeaLevelAssumed),
        }
    }
}

/// Returns the sentence on the atmosphere used.
#[must_use]
pub fn air_sentence(air: Atmosphere, writer: &Writer) -> Message {
    let pressure = writer.write(air.pressure).to_string();
    match air.basis {
        AtmosphereBasis::SeaLevelAssumed => Message::new("ask-air-assumed").with("pressure", pressure),
        AtmosphereBasis::Altitude(altitude) => Message::new("ask-air-altitude")
            .with("pressure", pressure)
            .with("altitude", writer.write(altitude).to_string()),
        AtmosphereBasis::Barometer => Message::new("ask-air-barometer").with("pressure", pressure),
    }
}

/// Returns what lines were read from as programs read it.
const fn from_word(from: ReadFrom) -> &'static str {
    match from {
        ReadFrom::Table => "table",
        ReadFrom::Model => "model",
    }
}

/// An answer: it writes as JSON by `serde`, and as a document for a person.
pub trait Answer: Serialize {
    /// Returns the answer as a document, in the units of `writer`.
    fn document(&self, writer: &Writer) -> report::Document;

    /// Returns the refrigerant it is about, where its equations made the answer.
    fn substance(&self) -> Option<&Substance> {
        None
    }
}

/// Returns the papers behind a refrigerant's composition, equations and pairs, for who opens an answer.
#[must_use]
pub fn sources(substance: &Substance) -> Option<report::Section> {
    let items = refrigerants::sources(substance.known?).into_iter().map(report::Text::verbatim).collect();
    let list = Block::List(report::List { ordered: false, items });
    Some(report::Section::new(Message::new("ask-sources"), vec![list]))
}

/// Returns the lines that say which mixing model an answer rests on.
#[must_use]
pub fn substance_rows(substance: &Substance, writer: &Writer) -> Vec<Block> {
    let message = match substance.known {
        Some(known) if substance.is_single() => {
            Message::new("ask-grade-pure").with("refrigerant", known.designation())
        }
        Some(known) if known.grade() == Grade::Anchored => match off_designated(known) {
            Some(off) => Message::new("ask-grade-anchored")
                .with("refrigerant", known.designation())
                .with("off", writer.write(off).to_string()),
            None => grade_of_mixture(known),
        },
        Some(known) => grade_of_mixture(known),
        None => Message::new("ask-grade-given").with("refrigerant", substance.name.as_str()),
    };
    vec![Block::Paragraph(message.into())]
}

fn grade_of_mixture(known: &Refrigerant) -> Message {
    Message::new("ask-grade-mixture")
        .with("refrigerant", known.designation())
        .with("grade", crate::substance::grade_word(known.grade()))
}

/// Returns how far bubble or dew temperature at 101.325 kPa is from the designated one, the larger of both.
fn off_designated(known: &Refrigerant) -> Option<TemperatureDifference> {
    let listed = known.designated()?;
    let fluid = known.fluid();
    let p = AbsolutePressure::from_pascal(101_325.0);
    let bubble = (fluid.bubble_at_pressure(p).ok()?.temperature - listed.bubble).kelvin().abs();
    let dew = match listed.dew {
        Some(dew) => (fluid.dew_at_pressure(p).ok()?.temperature - dew).kelvin().abs(),
        None => 0.0,
    };
    Some(TemperatureDifference::from_kelvin(bubble.max(dew)))
}

/// Returns the refusal for a question that the engine cannot answer.
#[must_use]
pub fn fluid_refused(field: &str, given: &str, error: &FluidError) -> Refused {
    let (code, sensible, message) = match *error {
        FluidError::AboveCriticalTemperature { end, .. } => {
            ("above_critical", both_temperatures(end), Message::new("refused-above-critical"))
        }
        FluidError::AboveCriticalPressure { end, .. } => {
            ("above_critical", both_pressures(end), Message::new("refused-above-critical"))
        }
        FluidError::Solid { triple_point, .. } => {
            ("solid", both_temperatures(triple_point), Message::new("refused-solid"))
        }
        FluidError::BelowTriplePressure { triple_pressure, .. } => {
            ("solid", both_pressures(triple_pressure), Message::new("refused-solid"))
        }
        FluidError::TooHot { highest } => (
            "out_of_range",
            format!("at most {}", both_temperatures(highest)),
            Message::new("refused-out-of-range"),
        ),
        FluidError::PressureTooHigh { highest, .. } => (
            "out_of_range",
            format!("at most {}", both_pressures(highest)),
            Message::new("refused-out-of-range"),
        ),
        FluidError::QualityOutOfRange { .. } => {
            ("not_a_part", "0 to 1".to_owned(), Message::new("refused-not-a-part"))
        }
        FluidError::NotANumber => ("not_a_number", "62.5 psig".to_owned(), Message::new("refused-no-number")),
        FluidError::TwoLiquids => {
            ("two_liquids", "a higher temperature".to_owned(), Message::new("refused-two-liquids"))
        }
        FluidError::Unstable | FluidError::NotConverged => {
            ("not_converged", String::new(), Message::new("refused-not-converged"))
        }
    };
    Refused::new(code, field, given, sensible, message)
}

fn both_temperatures(t: units::Temperature) -> String {
    format!("{} ({})", Writer::metric().write(t), Writer::us().write(t))
}

fn both_pressures(p: AbsolutePressure) -> String {
    format!("{} ({})", Writer::metric().write(p), Writer::us().write(p))
}

/// Returns a verdict as programs read it.
#[must_use]
pub const fn verdict_word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Inside => "inside",
        Verdict::Outside => "outside",
        Verdict::NotResolved { .. } => "not_resolved",
    }
}
