//! Bubble and dew at a temperature or a pressure.

use super::{Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::saturation::ReadFrom;
use fluid::{BubblePoint, DewPoint, Saturated};
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

impl From<Saturated> for CurvePoint {
    fn from(point: Saturated) -> Self {
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
    /// What both curves were read from: `table` or `model`.
    pub from: &'static str,
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

fn row(substance: &Substance, given: &str, at: At, air: Atmosphere) -> Result<SaturationRow, Refused> {
    let Some((bubble, dew, glide)) = of_table(substance, at, air) else {
        return full(substance, given, at, air);
    };
    Ok(made(substance, given, at, air, (bubble.into(), dew.into(), glide), ReadFrom::Table))
}

/// Returns both points and the glide from the table, nothing where any of them lies beyond it.
fn of_table(
    substance: &Substance,
    at: At,
    air: Atmosphere,
) -> Option<(Saturated, Saturated, TemperatureDifference)> {
    let table = substance.fluid.saturation_table()?;
    match at {
        At::Temperature(t) => {
            let (bubble, dew) = (table.bubble_at_temperature(t)?, table.dew_at_temperature(t)?);
            let glide = if substance.is_single() {
                TemperatureDifference::from_kelvin(0.0)
            } else {
                table.dew_temperature(bubble.pressure)? - t
            };
            Some((bubble, dew, glide))
        }
        At::Pressure(p) => {
            let p = p.absolute(air);
            let (bubble, dew) = (table.bubble_at_pressure(p)?, table.dew_at_pressure(p)?);
            Some((bubble, dew, dew.temperature - bubble.temperature))
        }
    }
}

/// Returns the same by the full model.
pub(super) fn full(
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
    Ok(made(substance, given, at, air, ((&bubble).into(), (&dew).into(), glide), ReadFrom::Model))
}

fn made(
    substance: &Substance,
    given: &str,
    at: At,
    air: Atmosphere,
    (bubble, dew, glide): (CurvePoint, CurvePoint, TemperatureDifference),
    from: ReadFrom,
) -> SaturationRow {
    SaturationRow {
        given: given.to_owned(),
        bubble,
        dew,
        glide_k: glide.kelvin(),
        from: super::from_word(from),
        grade: substance.grade(),
        sea_level_assumed: super::AirAnswer::from(air).sea_level_assumed
            && matches!(at, At::Pressure(PressureReading::Gauge(_))),
    }
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
        if self.rows.iter().any(|row| row.from == super::from_word(ReadFrom::Table)) {
            blocks.push(Block::Paragraph(Message::new("ask-by-table").into()));
        }
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the table and by the full model: pressures, densities and temperatures within 1e-5, two pure and three blends.
    #[test]
    fn an_answer_by_the_table_is_that_of_the_full_model() {
        let air = Atmosphere::sea_level_assumed();
        for name in ["R-134a", "R-744", "R-404A", "R-448A", "R-407C"] {
            let substance = Substance::read(name, None).unwrap();
            for given in ["-40C", "-10C", "25C", "0psig", "62.5psig", "250psig"] {
                let at = At::read(given).unwrap();
                let Ok(wanted) = full(&substance, given, at, air) else {
                    assert!(row(&substance, given, at, air).is_err(), "{name} {given}");
                    continue;
                };
                let own = row(&substance, given, at, air).unwrap();
                assert_eq!((own.from, wanted.from), ("table", "model"), "{name} {given}");
                assert!((own.glide_k - wanted.glide_k).abs() < 2e-3, "{name} {given}");
                for (own, wanted) in [(own.bubble, wanted.bubble), (own.dew, wanted.dew)] {
                    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-5;
                    assert!(near(own.pressure_pa, wanted.pressure_pa), "{name} {given}");
                    assert!(near(own.temperature_k, wanted.temperature_k), "{name} {given}");
                    assert!(near(own.density_kg_m3, wanted.density_kg_m3), "{name} {given}");
                    assert!((own.enthalpy_j_kg - wanted.enthalpy_j_kg).abs() < 2.0, "{name} {given}");
                    assert!((own.entropy_j_kg_k - wanted.entropy_j_kg_k).abs() < 0.01, "{name} {given}");
                }
            }
        }
    }

    #[test]
    fn beyond_the_table_the_full_model_answers() {
        let air = Atmosphere::sea_level_assumed();
        let substance = Substance::read("R-404A", None).unwrap();
        let ends = substance.fluid.saturation_table().unwrap().temperatures();
        let t = ends[0].1.kelvin().max(ends[1].1.kelvin()) + 0.05;
        let at = At::Temperature(Temperature::from_kelvin(t));
        let (own, wanted) = (row(&substance, "", at, air).unwrap(), full(&substance, "", at, air).unwrap());
        assert_eq!(own.from, "model");
        assert_eq!(own, wanted);
    }
}
