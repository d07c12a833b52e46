//! Bubble and dew at a temperature or a pressure.

use super::{Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use fluid::{BubblePoint, DewPoint};
use report::{Block, Cell, Column, Document, Mark, Message, Row, Section, Table, Text, Value};
use serde::Serialize;
use units::{Atmosphere, PressureReading, Temperature, TemperatureDifference, Writer};

/// Where saturation is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum At {
    /// At this temperature: each curve has its pressure.
    Temperature(Temperature),
    /// At this pressure: each curve has its temperature.
    Pressure(PressureReading),
}

impl At {
    /// Returns a temperature or a pressure, as `text` says.
    ///
    /// # Errors
    /// [`Refused`] by the pressure reader where the text is neither.
    pub fn read(text: &str) -> Result<Self, Refused> {
        // No text is both; by its last letter the likelier is tried first.
        let temperature = || text.parse::<Temperature>().ok().map(Self::Temperature);
        if text.trim_end().ends_with(['C', 'F', 'K', 'c', 'f', 'k', '\u{b0}'])
            && let Some(at) = temperature()
        {
            return Ok(at);
        }
        match text.parse::<PressureReading>() {
            Ok(pressure) => Ok(Self::Pressure(pressure)),
            // `26` alone could be either: the temperature's refusal would be as good, the pressure's names more.
            Err(error) => temperature().ok_or_else(|| Refused::unreadable("--at", &error)),
        }
    }
}

/// One of the two curves at one place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Temperature.
    pub temperature_k: f64,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Density of the saturated phase.
    pub density_kg_m3: f64,
    /// Enthalpy of the saturated phase.
    pub enthalpy_j_kg: f64,
    /// Entropy of the saturated phase.
    pub entropy_j_kg_k: f64,
}

impl From<&BubblePoint> for CurvePoint {
    fn from(point: &BubblePoint) -> Self {
        Self {
            temperature_k: point.temperature.kelvin(),
            pressure_pa: point.pressure.pascal(),
            density_kg_m3: point.density.kilogram_per_cubic_metre(),
            enthalpy_j_kg: point.enthalpy.joule_per_kilogram(),
            entropy_j_kg_k: point.entropy.joule_per_kilogram_kelvin(),
        }
    }
}

impl From<&DewPoint> for CurvePoint {
    fn from(point: &DewPoint) -> Self {
        Self {
            temperature_k: point.temperature.kelvin(),
            pressure_pa: point.pressure.pascal(),
            density_kg_m3: point.density.kilogram_per_cubic_metre(),
            enthalpy_j_kg: point.enthalpy.joule_per_kilogram(),
            entropy_j_kg_k: point.entropy.joule_per_kilogram_kelvin(),
        }
    }
}

/// Saturation at one place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SaturationRow {
    /// What was asked, as typed.
    pub given: String,
    /// The bubble point.
    pub bubble: CurvePoint,
    /// The dew point.
    pub dew: CurvePoint,
    /// Glide: at the pressure asked for, or at the bubble pressure of the temperature asked for.
    pub glide_k: f64,
    /// Grade of the mixing model.
    pub grade: &'static str,
    /// Whether sea level was assumed to make a gauge pressure absolute.
    pub sea_level_assumed: bool,
}

/// Saturation at every place asked for.
#[derive(Clone)]
pub struct SaturationAnswer {
    substance: Substance,
    air: Atmosphere,
    /// One row a place.
    pub rows: Vec<SaturationRow>,
}

impl Serialize for SaturationAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.rows.serialize(serializer)
    }
}

/// Returns bubble and dew at each place of `at` (what was typed, and what it means).
///
/// # Errors
/// [`Refused`]: above the critical point, below the triple point.
pub fn saturation(
    substance: &Substance,
    at: &[(String, At)],
    air: Atmosphere,
) -> Result<SaturationAnswer, Refused> {
    let rows = at.iter().map(|(given, at)| row(substance, given, *at, air)).collect::<Result<_, _>>()?;
    Ok(SaturationAnswer { substance: substance.clone(), air, rows })
}

pub(super) fn row(
    substance: &Substance,
    given: &str,
    at: At,
    air: Atmosphere,
) -> Result<SaturationRow, Refused> {
    let fluid = &substance.fluid;
    let refused = |error| fluid_refused("--at", given, &error);
    let (bubble, dew, glide): (BubblePoint, DewPoint, TemperatureDifference) = match at {
        At::Temperature(t) => {
            let bubble = fluid.bubble_at_temperature(t).map_err(refused)?;
            let dew = fluid.dew_at_temperature(t).map_err(refused)?;
            let glide = if substance.is_single() {
                TemperatureDifference::from_kelvin(0.0)
            } else {
                fluid.dew_at_pressure(bubble.pressure).map_err(refused)?.temperature - t
            };
            (bubble, dew, glide)
        }
        At::Pressure(p) => {
            let p = p.absolute(air);
            let bubble = fluid.bubble_at_pressure(p).map_err(refused)?;
            let dew = fluid.dew_at_pressure(p).map_err(refused)?;
            let glide = dew.temperature - bubble.temperature;
            (bubble, dew, glide)
        }
    };
    Ok(SaturationRow {
        given: given.to_owned(),
        bubble: (&bubble).into(),
        dew: (&dew).into(),
        glide_k: glide.kelvin(),
        grade: substance.grade(),
        sea_level_assumed: super::AirAnswer::from(air).sea_level_assumed
            && matches!(at, At::Pressure(PressureReading::Gauge(_))),
    })
}

impl Answer for SaturationAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Text::from(
            Message::new("ask-saturation-title").with("refrigerant", self.substance.name.as_str()),
        );
        let mut document = Document::new(title, "en", Mark::Answer);
        let columns = vec![
            Column::words(Message::new("ask-saturation-at")),
            Column::words(Message::new("ask-saturation-curve")),
            Column::numbers(Message::new("ask-temperature")),
            Column::numbers(Message::new("ask-gauge-pressure")),
            Column::numbers(Message::new("ask-absolute-pressure")),
            Column::numbers(Message::new("ask-density")),
        ];
        let mut rows = Vec::new();
        for row in &self.rows {
            for (curve, point, first) in
                [(Message::new("ask-bubble"), row.bubble, true), (Message::new("ask-dew"), row.dew, false)]
            {
                let pressure = units::AbsolutePressure::from_pascal(point.pressure_pa);
                let given = if first { Cell::Text(Text::verbatim(row.given.as_str())) } else { Cell::Empty };
                rows.push(Row::new(vec![
                    given,
                    Cell::Text(curve.into()),
                    Cell::Value(Value::from(writer.write(Temperature::from_kelvin(point.temperature_k)))),
                    Cell::Value(Value::from(writer.write(pressure.gauge(self.air)))),
                    Cell::Value(Value::from(writer.write(pressure))),
                    Cell::Value(Value::from(
                        writer.write(units::Density::from_kilogram_per_cubic_metre(point.density_kg_m3)),
                    )),
                ]));
            }
            if !self.substance.is_single() {
                rows.push(Row::new(vec![
                    Cell::Empty,
                    Cell::Text(Message::new("ask-glide").into()),
                    Cell::Value(Value::from(writer.write(TemperatureDifference::from_kelvin(row.glide_k)))),
                ]));
            }
        }
        let mut blocks = vec![Block::Table(Table { caption: None, columns, rows })];
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
