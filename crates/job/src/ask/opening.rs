//! A section about to be opened: from which pressure it stays above the air outside, for how long, and what is lost.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::opening::{
    BlowDown, BoilOff, Bore, DISCHARGE_HIGH, DISCHARGE_LOW, OpeningError, Path, Section as Emptied, Start,
    blow_down, boil_off_of_rise, least_start,
};
use field::practice::before_opening;
use report::{
    Block, Caution, Document, Finding, Input, Mark, Message, Now, Number, Opened, Section, Value, VerdictMark,
};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Duration, GaugePressure, Length, Mass, MassFlow, PressureDifference,
    PressureReading, Temperature, Volume, Writer,
};

/// How many times the seconds rehearsed the section must last (judgement).
pub const MARGIN: f64 = 2.0;

/// What is asked of an opening. A text beside a value is what was typed for it, for a refusal.
#[derive(Clone)]
pub struct OpeningAsked<'a> {
    /// The refrigerant in it.
    pub substance: Substance,
    /// The inner volume of the section that is shut off and emptied of liquid.
    pub volume: (Volume, &'a str),
    /// The temperature of its walls.
    pub temperature: (Temperature, &'a str),
    /// The bore that is really open.
    pub bore: (Length, &'a str),
    /// The seconds it is open, as rehearsed.
    pub open_for: (Duration, &'a str),
    /// The pressure it stands at, or is meant to be opened at.
    pub pressure: Option<(PressureReading, &'a str)>,
    /// By how much the shut section rose, and in what time: what oil and left-over liquid give off.
    pub rise: Option<(PressureDifference, Duration, &'a str)>,
    /// How much there is to boil off, when that is known.
    pub residue: Option<Mass>,
    /// The air.
    pub air: Atmosphere,
}

/// The figures of an opening in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OpeningFigures {
    /// How long it must last: the rehearsed time with its margin.
    pub wanted_s: f64,
    /// Times the rehearsed seconds.
    pub margin: f64,
    /// The least pressure to start from, by gauge; absent where no pressure lasts that long.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_start_pa_gauge: Option<f64>,
    /// The most it can hold as vapour at this temperature, by gauge, where that does not last long enough.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_pa_gauge: Option<f64>,
    /// How long that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most_lasts_s: Option<f64>,
    /// The pressure the rest is for, by gauge: the one given, else the least start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start_pa_gauge: Option<f64>,
    /// How long it stays above the air at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts_at_least_s: Option<f64>,
    /// And at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lasts_at_most_s: Option<f64>,
    /// Gas lost by the time it stands at zero, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released_kg: Option<f64>,
    /// What oil and left-over liquid give off, from the rise.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boil_off_kg_s: Option<f64>,
    /// Whether the pressure given lasts long enough.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub long_enough: Option<bool>,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// An opening and what it asks for.
#[derive(Clone)]
pub struct OpeningAnswer {
    substance: Substance,
    volume: Volume,
    temperature: Temperature,
    bore: Length,
    open_for: Duration,
    start: Start,
    held: Option<(PressureReading, BlowDown, BlowDown)>,
    boil_off: Option<MassFlow>,
    air: Atmosphere,
    /// The figures.
    pub figures: OpeningFigures,
}

impl Serialize for OpeningAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

fn refused(field: &'static str, given: &str, error: &OpeningError) -> Refused {
    match error {
        OpeningError::Fluid(error) => fluid_refused(field, given, error),
        OpeningError::LiquidLeft { dew, .. } => {
            Refused::new("liquid_left", field, given, pressures(*dew), Message::new("refused-liquid-left"))
        }
        OpeningError::NoDrive { .. } => {
            Refused::new("not_above_the_air", field, given, "10 psig", Message::new("refused-not-above-air"))
        }
        OpeningError::Parameter(_) => Refused::new(
            "not_positive",
            field,
            given,
            "4.8 mm, 20 s, 12 L",
            Message::new("refused-not-positive"),
        ),
    }
}

fn pressures(p: AbsolutePressure) -> String {
    format!("{} ({})", Writer::metric().write(p), Writer::us().write(p))
}

/// Returns from which pressure the section stays above the air, and what the pressure given does.
///
/// The least start is on the safe side (wide discharge coefficient, no heat from the walls, no boil-off); the band of a
/// given pressure goes from there to a narrow coefficient with the walls' heat and the boil-off that was seen.
///
/// # Errors
/// [`Refused`]: a size that is none, a pressure at which there is liquid, a pressure not above the air's.
pub fn opening(asked: &OpeningAsked<'_>) -> Result<OpeningAnswer, Refused> {
    let section = Emptied {
        gas: &asked.substance.fluid,
        volume: asked.volume.0,
        temperature: asked.temperature.0,
        outside: asked.air.pressure,
    };
    let positive = |value: f64, field: &'static str, given: &str| {
        if value > 0.0 { Ok(()) } else { Err(refused(field, given, &OpeningError::Parameter(value))) }
    };
    positive(asked.volume.0.cubic_metre(), "volume", asked.volume.1)?;
    positive(asked.bore.0.metre(), "bore", asked.bore.1)?;
    positive(asked.open_for.0.second(), "open-for", asked.open_for.1)?;
    let wide = Bore { diameter: asked.bore.0, discharge_coefficient: DISCHARGE_HIGH };
    let narrow = Bore { diameter: asked.bore.0, discharge_coefficient: DISCHARGE_LOW };
    let wanted = Duration::from_second(asked.open_for.0.second() * MARGIN);
    let start = least_start(&section, wide, wanted)
        .map_err(|error| refused("temperature", asked.temperature.1, &error))?;
    let gauge = |p: AbsolutePressure| p.pascal() - asked.air.pressure.pascal();
    let given = asked.pressure.map(|(reading, given)| (reading.absolute(asked.air), given));
    let from = given.map(|(p, _)| p).or(match start {
        Start::From(p) => Some(p),
        Start::NotThroughThisBore { .. } => None,
    });
    let boil_off = match asked.rise {
        Some((rise, over, text)) => {
            let at = from.unwrap_or(asked.air.pressure);
            Some(boil_off_of_rise(&section, at, rise, over).map_err(|error| refused("rise", text, &error))?)
        }
        None => None,
    };
    let boiling = boil_off.zip(asked.residue).map(|(rate, mass)| BoilOff { rate, mass });
    let held = match from {
        None => None,
        Some(p) => {
            let text = given.map_or("", |(_, text)| text);
            let refuse = |error: OpeningError| refused("pressure", text, &error);
            let outside = asked.air.pressure;
            let fast = blow_down(&section, p, outside, wide, Path::Adiabatic, None).map_err(refuse)?;
            let slow = blow_down(&section, p, outside, narrow, Path::Isothermal, boiling).map_err(refuse)?;
            Some((PressureReading::Gauge(GaugePressure::from_pascal(gauge(p))), fast, slow))
        }
    };
    let figures = OpeningFigures {
        wanted_s: wanted.second(),
        margin: MARGIN,
        least_start_pa_gauge: match start {
            Start::From(p) => Some(gauge(p)),
            Start::NotThroughThisBore { .. } => None,
        },
        most_pa_gauge: match start {
            Start::From(_) => None,
            Start::NotThroughThisBore { most, .. } => Some(gauge(most)),
        },
        most_lasts_s: match start {
            Start::From(_) => None,
            Start::NotThroughThisBore { lasts, .. } => Some(lasts.second()),
        },
        start_pa_gauge: from.map(gauge),
        lasts_at_least_s: held.map(|(_, fast, _)| fast.time.second()),
        lasts_at_most_s: held.map(|(_, _, slow)| slow.time.second()),
        released_kg: held.map(|(_, _, slow)| slow.released.kilogram()),
        boil_off_kg_s: boil_off.map(MassFlow::kilogram_per_second),
        long_enough: given.and(held.map(|(_, fast, _)| fast.time >= wanted)),
        air: asked.air.into(),
    };
    Ok(OpeningAnswer {
        substance: asked.substance.clone(),
        volume: asked.volume.0,
        temperature: asked.temperature.0,
        bore: asked.bore.0,
        open_for: asked.open_for.0,
        start,
        held,
        boil_off,
        air: asked.air,
        figures,
    })
}

fn gauge_of(p: AbsolutePressure, air: Atmosphere) -> GaugePressure {
    GaugePressure::from_pascal(p.pascal() - air.pressure.pascal())
}

impl OpeningAnswer {
    fn opened(&self, writer: &Writer) -> Opened {
        Opened {
            inputs: vec![
                Input::new(Message::new("ask-volume"), Value::from(writer.write(self.volume))),
                Input::new(Message::new("opening-walls"), Value::from(writer.write(self.temperature))),
                Input::new(Message::new("opening-bore"), Value::from(writer.write(self.bore))),
                Input::new(Message::new("opening-open-for"), Value::from(writer.write(self.open_for))),
            ],
            method: Message::new("method-opening").into(),
            doubts: Vec::new(),
            source: Message::new("source-opening").into(),
        }
    }

    fn now(&self, writer: &Writer) -> Now {
        let wanted = Duration::from_second(self.figures.wanted_s);
        let message = match (self.start, self.figures.long_enough, self.held) {
            (Start::NotThroughThisBore { lasts, .. }, ..) => Message::new("opening-recover")
                .with("bore", writer.write(self.bore))
                .with("lasts", writer.write(whole(lasts, f64::floor)))
                .with("wanted", writer.write(wanted)),
            (Start::From(_), Some(true), Some((reading, fast, _))) => Message::new("opening-long-enough")
                .with("start", written(reading, writer))
                .with("lasts", writer.write(whole(fast.time, f64::floor)))
                .with("open", writer.write(self.open_for)),
            (Start::From(least), Some(false), Some((reading, fast, _))) => Message::new("opening-too-short")
                .with("start", written(reading, writer))
                .with("lasts", writer.write(whole(fast.time, f64::floor)))
                .with("least", writer.write(gauge_of(least, self.air))),
            (Start::From(least), ..) => Message::new("opening-start-from")
                .with("least", writer.write(gauge_of(least, self.air)))
                .with("wanted", writer.write(wanted)),
        };
        let mut now = Now::new(message);
        now.why = Some(
            Message::new("opening-why")
                .with("open", writer.write(self.open_for))
                .with("margin", writer.number(MARGIN, 0))
                .into(),
        );
        now
    }
}

fn written(reading: PressureReading, writer: &Writer) -> String {
    match reading {
        PressureReading::Gauge(p) => writer.write(p).to_string(),
        PressureReading::Absolute(p) => writer.write(p).to_string(),
    }
}

/// A time of seconds cut to whole ones, on the side that misleads nobody.
fn whole(time: Duration, by: fn(f64) -> f64) -> Duration {
    Duration::from_second(by(time.second()))
}

impl Answer for OpeningAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("opening-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        document.now = Some(self.now(writer));
        let mut blocks = vec![Block::Caution(Caution {
            first: Message::new("caution-opening-first").into(),
            rest: Some(Message::new("caution-opening-rest").into()),
        })];
        let mut numbers = Vec::new();
        if let Start::From(least) = self.start {
            let value = Value::from(writer.write(gauge_of(least, self.air)));
            numbers.push(Number::new(Message::new("opening-least"), value).opens(self.opened(writer)));
        }
        if let Some((reading, fast, slow)) = self.held {
            let lasts = Message::new("opening-lasts-between")
                .with("least", writer.write(whole(fast.time, f64::floor)))
                .with("most", writer.write(whole(slow.time, f64::ceil)));
            let name = Message::new("opening-lasts").with("start", written(reading, writer));
            let mut row = Finding::new(
                match self.figures.long_enough {
                    Some(false) => VerdictMark::Breached,
                    _ => VerdictMark::Met,
                },
                name,
            );
            row.word = Some(lasts.into());
            blocks.push(Block::Findings(vec![row]));
            let lost = Value::from(writer.write(slow.released));
            numbers.push(Number::new(Message::new("opening-released"), lost).opens(self.opened(writer)));
        }
        blocks.push(Block::Numbers(numbers));
        if let Some(rate) = self.boil_off {
            let minute = Mass::from_kilogram(rate.kilogram_per_second() * 60.0);
            blocks.push(Block::Paragraph(
                Message::new("opening-boil-off").with("mass", writer.write(minute)).into(),
            ));
        }
        let rule = before_opening();
        blocks.push(Block::Paragraph(
            Message::new("opening-law")
                .with("level", writer.write(rule.united_states_draw_to))
                .with("section", rule.section)
                .into(),
        ));
        blocks.push(Block::Paragraph(Message::new("opening-book").into()));
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
