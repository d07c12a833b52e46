//! What remains of a blend after part of it leaked, and after topping it up.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
pub use fluid::LeakFrom;
use fluid::{Fluid, Inventory};
use report::{
    Block, Cell, Column, Document, Input, Mark, Message, Now, Number, Opened, Row, Section, Table, Text,
    Value,
};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Fraction, GaugePressure, Temperature, TemperatureDifference, Writer,
};

/// The share of the charge that is vapour at the start, where nothing is said.
///
/// Source: judgement.
const VAPOUR_AT_START: f64 = 0.2;

/// What is asked.
#[derive(Clone)]
pub struct FractionationAsked<'a> {
    /// The refrigerant as designated.
    pub substance: Substance,
    /// The part of the mass that was lost, and what was typed for it.
    pub lost: (Fraction, &'a str),
    /// The temperature at which it stood, and what was typed for it.
    pub temperature: (Temperature, &'a str),
    /// Which phase leaked.
    pub from: LeakFrom,
    /// The share of the charge that was vapour at the start, and what was typed for it.
    pub vapour: Option<(Fraction, &'a str)>,
    /// The air.
    pub air: Atmosphere,
}

/// A component and its part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartFigures {
    /// The component.
    pub name: String,
    /// Its part by mass.
    pub mass_fraction: f64,
}

/// A composition and its saturation at the temperature asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CompositionFigures {
    /// The composition, liquid and vapour together.
    pub composition: Vec<PartFigures>,
    /// Absolute pressure at which it begins to boil.
    pub bubble_pressure_pa: f64,
    /// Absolute pressure at which it begins to condense.
    pub dew_pressure_pa: f64,
    /// By how much its dew point lies above that of the designation, at the designation's dew pressure.
    pub dew_higher_by_k: f64,
}

/// One of the two bounds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BoundFigures {
    /// What remains.
    pub left: CompositionFigures,
    /// The absolute pressure of what remains where it stands.
    pub pressure_pa: f64,
    /// What it is once the lost mass is replaced by the designation.
    pub topped_up: CompositionFigures,
}

/// The figures in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FractionationFigures {
    /// The refrigerant.
    pub refrigerant: String,
    /// The temperature.
    pub temperature_k: f64,
    /// The part of the mass that was lost.
    pub lost: f64,
    /// `vapour` or `liquid`.
    pub from: &'static str,
    /// The share that was vapour at the start, in the second bound.
    pub vapour_at_start: f64,
    /// Whether that share was assumed.
    pub vapour_assumed: bool,
    /// As designated.
    pub designated: CompositionFigures,
    /// Liquid alone: the largest change that a leak of vapour makes.
    pub liquid_alone: BoundFigures,
    /// With vapour in stock.
    pub with_vapour: BoundFigures,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// What remains, as an answer.
#[derive(Clone)]
pub struct FractionationAnswer {
    substance: Substance,
    air: Atmosphere,
    /// The figures.
    pub figures: FractionationFigures,
}

impl Serialize for FractionationAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns what remains and what topping up makes of it.
///
/// # Errors
/// [`Refused`]: a refrigerant of one component, a part that is none, a temperature without saturation.
pub fn fractionation(asked: &FractionationAsked<'_>) -> Result<FractionationAnswer, Refused> {
    let fluid = &asked.substance.fluid;
    if asked.substance.is_single() {
        return Err(Refused::new(
            "one_component",
            "refrigerant",
            &asked.substance.name,
            "R-448A",
            Message::new("refused-one-component"),
        ));
    }
    let not_a_part = |field: &'static str, given: &str, sensible: &str| {
        Refused::new("not_a_part", field, given, sensible, Message::new("refused-share"))
    };
    let lost = asked.lost.0.ratio();
    if !(0.0..=0.9).contains(&lost) {
        return Err(not_a_part("lost", asked.lost.1, "0 % to 90 %"));
    }
    let (share, assumed) = match asked.vapour {
        Some((share, given)) if !(0.0..=1.0).contains(&share.ratio()) => {
            return Err(not_a_part("vapour", given, "0 % to 100 %"));
        }
        Some((share, _)) => (share, false),
        None => (Fraction::from_ratio(VAPOUR_AT_START), true),
    };
    let t = asked.temperature.0;
    let refused = |error: fluid::FluidError| fluid_refused("at", asked.temperature.1, &error);
    let dew = fluid.dew_at_temperature(t).map_err(refused)?.pressure;
    let bound = |inventory: Inventory| -> Result<BoundFigures, fluid::FluidError> {
        let rest = fluid.after_leak(t, asked.from, asked.lost.0, inventory)?;
        let mixed: Vec<f64> = rest
            .fluid
            .mass_fractions()
            .iter()
            .zip(fluid.mass_fractions())
            .map(|(left, new)| left * (1.0 - lost) + new * lost)
            .collect();
        Ok(BoundFigures {
            left: composition(&rest.fluid, t, dew)?,
            pressure_pa: rest.state.pressure.pascal(),
            topped_up: composition(
                &fluid.with_mass_fractions(&mixed).map_err(|_| fluid::FluidError::NotANumber)?,
                t,
                dew,
            )?,
        })
    };
    let figures = FractionationFigures {
        refrigerant: asked.substance.name.clone(),
        temperature_k: t.kelvin(),
        lost,
        from: match asked.from {
            LeakFrom::Vapour => "vapour",
            LeakFrom::Liquid => "liquid",
        },
        vapour_at_start: share.ratio(),
        vapour_assumed: assumed,
        designated: composition(fluid, t, dew).map_err(refused)?,
        liquid_alone: bound(Inventory::LiquidAlone).map_err(refused)?,
        with_vapour: bound(Inventory::VapourAtStart(share)).map_err(refused)?,
        air: asked.air.into(),
    };
    Ok(FractionationAnswer { substance: asked.substance.clone(), air: asked.air, figures })
}

fn composition(
    fluid: &Fluid,
    t: Temperature,
    dew: AbsolutePressure,
) -> Result<CompositionFigures, fluid::FluidError> {
    let parts = fluid.components().iter().zip(fluid.mass_fractions());
    Ok(CompositionFigures {
        composition: parts
            .map(|(c, mass_fraction)| PartFigures { name: c.name.to_owned(), mass_fraction })
            .collect(),
        bubble_pressure_pa: fluid.bubble_at_temperature(t)?.pressure.pascal(),
        dew_pressure_pa: fluid.dew_at_temperature(t)?.pressure.pascal(),
        dew_higher_by_k: (fluid.dew_at_pressure(dew)?.temperature - t).kelvin(),
    })
}

impl FractionationAnswer {
    fn table(&self, writer: &Writer) -> Table {
        let f = &self.figures;
        let all = [
            &f.designated,
            &f.liquid_alone.left,
            &f.with_vapour.left,
            &f.liquid_alone.topped_up,
            &f.with_vapour.topped_up,
        ];
        let columns = vec![
            Column::words(Message::new("fractionation-part")),
            Column::numbers(Message::new("fractionation-designated")),
            Column::numbers(Message::new("fractionation-left-liquid")),
            Column::numbers(Message::new("fractionation-left-vapour")),
            Column::numbers(Message::new("fractionation-full-liquid")),
            Column::numbers(Message::new("fractionation-full-vapour")),
        ];
        let gauge = |pascal: f64| {
            let gauge = GaugePressure::from_pascal(pascal - self.air.pressure.pascal());
            Cell::Text(Text::verbatim(writer.write(gauge).to_string()))
        };
        let mut rows = Vec::new();
        for (k, part) in f.designated.composition.iter().enumerate() {
            let mut cells = vec![Cell::Text(Text::verbatim(part.name.as_str()))];
            cells.extend(all.iter().map(|one| {
                let percent = writer.number(100.0 * one.composition[k].mass_fraction, 1);
                Cell::Text(Text::verbatim(format!("{percent} %")))
            }));
            rows.push(Row::new(cells));
        }
        for (name, of) in [
            ("ask-bubble", (|c: &CompositionFigures| c.bubble_pressure_pa) as fn(&CompositionFigures) -> f64),
            ("ask-dew", |c| c.dew_pressure_pa),
        ] {
            let mut cells = vec![Cell::Text(match name {
                "ask-bubble" => Message::new("ask-bubble").into(),
                _ => Message::new("ask-dew").into(),
            })];
            cells.extend(all.iter().map(|one| gauge(of(one))));
            rows.push(Row::new(cells));
        }
        let mut cells = vec![Cell::Text(Message::new("fractionation-dew-higher").into())];
        cells.push(Cell::Text(Text::verbatim("")));
        cells.extend(all[1..].iter().map(|one| {
            let off = TemperatureDifference::from_kelvin(one.dew_higher_by_k);
            Cell::Text(Text::verbatim(writer.write(off).to_string()))
        }));
        rows.push(Row::new(cells));
        Table { caption: None, columns, rows }
    }
}

impl Answer for FractionationAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let f = &self.figures;
        let title = Message::new("fractionation-title").with("refrigerant", f.refrigerant.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let written = |kelvin: f64| writer.write(TemperatureDifference::from_kelvin(kelvin)).to_string();
        let lost = writer.write(Fraction::from_ratio(f.lost)).to_string();
        let one = f.liquid_alone.left.dew_higher_by_k;
        let other = f.with_vapour.left.dew_higher_by_k;
        let sentence = Message::new("fractionation-now")
            .with("refrigerant", f.refrigerant.as_str())
            .with("low", written(one.min(other)))
            .with("high", written(one.max(other)));
        let mut now = Now::new(sentence);
        now.why = Some(Message::new("fractionation-why").into());
        document.now = Some(now);
        let temperature = Temperature::from_kelvin(f.temperature_k);
        let from = match f.from {
            "vapour" => Message::new("fractionation-vapour"),
            _ => Message::new("fractionation-liquid"),
        };
        let share = writer.write(Fraction::from_ratio(f.vapour_at_start)).to_string();
        let opened = Opened {
            inputs: vec![
                Input::new(Message::new("fractionation-lost"), Value::from(lost)),
                Input::new(Message::new("fractionation-at"), Value::from(writer.write(temperature))),
                Input::new(Message::new("fractionation-share"), Value::from(share.clone())),
            ],
            method: Message::new("method-fractionation").into(),
            doubts: Vec::new(),
            source: Message::new("source-fractionation").into(),
        };
        let stands = |bound: &BoundFigures| {
            let gauge = GaugePressure::from_pascal(bound.pressure_pa - self.air.pressure.pascal());
            Value::from(writer.write(gauge))
        };
        let numbers = vec![
            Number::new(Message::new("fractionation-stands-liquid"), stands(&f.liquid_alone)).opens(opened),
            Number::new(Message::new("fractionation-stands-vapour"), stands(&f.with_vapour)),
        ];
        let bounds = if f.vapour_assumed {
            Message::new("fractionation-bounds-assumed").with("share", share)
        } else {
            Message::new("fractionation-bounds").with("share", share)
        };
        let mut blocks = vec![
            Block::Paragraph(from.into()),
            Block::Numbers(numbers),
            Block::Table(self.table(writer)),
            Block::Paragraph(bounds.into()),
            Block::Paragraph(air_sentence(self.air, writer).into()),
        ];
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
