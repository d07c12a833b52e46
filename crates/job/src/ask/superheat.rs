//! Superheat by dew, subcooling by bubble, with the doubts of gauge and probe.

use super::{Answer, air_sentence, fluid_refused, substance_rows, verdict_word};
use crate::show::{doubtful, superheat as show};
use crate::{Refused, Substance};
use field::doubtful::{Doubtful, Readings};
use field::superheat::{LiquidLine, Subcooling, Superheat, VapourLine};
use report::{Block, Document, Mark, Message, Section, Text};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Cause, Limit, Temperature, TemperatureDifference, Uncertain, Writer,
};

/// One doubt of a result, for programs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DoubtShare {
    /// What kind.
    pub cause: Cause,
    /// Whose.
    pub of: String,
    /// Its contribution, as a standard uncertainty.
    pub u_k: f64,
}

fn doubts(result: &Uncertain<TemperatureDifference>) -> Vec<DoubtShare> {
    result
        .terms()
        .iter()
        .map(|(doubt, c)| DoubtShare { cause: doubt.cause, of: doubt.of.clone(), u_k: c.abs() })
        .collect()
}

/// The figures of a superheat in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SuperheatFigures {
    /// Line less dew temperature.
    pub superheat_k: f64,
    /// Its standard uncertainty.
    pub superheat_u_k: f64,
    /// The dew temperature.
    pub saturation_temperature_k: f64,
    /// `superheated`, `may_be_wet` or `below_dew`.
    pub line: &'static str,
    /// What the bubble curve would have made of it.
    pub by_bubble_k: f64,
    /// Against the limit asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<&'static str>,
    /// What cannot be, or hardly: a word each.
    pub doubtful: Vec<&'static str>,
    /// Where the doubt comes from.
    pub doubts: Vec<DoubtShare>,
    /// Accuracies that were assumed for want of a statement.
    pub assumed: Vec<String>,
    /// What the curves were read from: `table` or `model`.
    pub from: &'static str,
    /// Whether sea level was assumed to make a gauge pressure absolute.
    pub sea_level_assumed: bool,
}

/// A superheat and what it was made of.
#[derive(Clone)]
pub struct SuperheatAnswer {
    substance: Substance,
    air: Atmosphere,
    limit: Option<Limit<TemperatureDifference>>,
    found: Superheat,
    /// The figures.
    pub figures: SuperheatFigures,
}

impl Serialize for SuperheatAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// The readings of one place.
#[derive(Clone, Debug)]
pub struct Place<'a> {
    /// The pressure, with its doubts.
    pub pressure: Uncertain<AbsolutePressure>,
    /// The pressure as typed.
    pub pressure_given: &'a str,
    /// Whether it was typed as a gauge pressure.
    pub by_gauge: bool,
    /// The line's temperature, with its doubts.
    pub line: Uncertain<Temperature>,
    /// The limit, for a verdict.
    pub limit: Option<Limit<TemperatureDifference>>,
    /// The atmosphere around the gauge.
    pub air: Atmosphere,
}

impl Place<'_> {
    fn sea_level_assumed(&self) -> bool {
        self.by_gauge && super::AirAnswer::from(self.air).sea_level_assumed
    }
}

fn assumed(result: &Uncertain<TemperatureDifference>) -> Vec<String> {
    result
        .terms()
        .iter()
        .filter(|(doubt, _)| doubt.cause == Cause::AssumedAccuracy)
        .map(|(doubt, _)| doubt.of.clone())
        .collect()
}

fn superheat_doubts(found: &Superheat) -> Vec<Doubtful> {
    field::doubtful::doubtful(&Readings { superheat: Some(found.superheat.value()), ..Readings::default() })
}

fn subcooling_doubts(found: &Subcooling) -> Vec<Doubtful> {
    field::doubtful::doubtful(&Readings { subcooling: Some(found.subcooling.value()), ..Readings::default() })
}

/// Returns the superheat of a line.
///
/// # Errors
/// [`Refused`] where the refrigerant has no dew point at that pressure.
pub fn superheat(substance: &Substance, place: &Place<'_>) -> Result<SuperheatAnswer, Refused> {
    let found = field::superheat::superheat(&substance.fluid, &place.pressure, &place.line)
        .map_err(|error| fluid_refused("--suction", place.pressure_given, &error))?;
    let figures = SuperheatFigures {
        superheat_k: found.superheat.value().kelvin(),
        superheat_u_k: found.superheat.u(),
        saturation_temperature_k: found.dew.value().kelvin(),
        line: match found.line {
            VapourLine::Superheated => "superheated",
            VapourLine::MayBeWet => "may_be_wet",
            VapourLine::BelowDew => "below_dew",
        },
        by_bubble_k: found.wrong_curve.reads.kelvin(),
        verdict: place.limit.map(|limit| verdict_word(&limit.judge(&found.superheat))),
        doubtful: superheat_doubts(&found).iter().map(doubtful::word).collect(),
        doubts: doubts(&found.superheat),
        assumed: assumed(&found.superheat),
        from: super::from_word(found.glide.from),
        sea_level_assumed: place.sea_level_assumed(),
    };
    Ok(SuperheatAnswer { substance: substance.clone(), air: place.air, limit: place.limit, found, figures })
}

impl Answer for SuperheatAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("superheat-title").with("refrigerant", self.substance.name.as_str());
        let finding = show::superheat_finding(
            &self.found,
            Message::new("ask-superheat"),
            self.limit.as_ref(),
            self.air,
            writer,
        );
        let dew = crate::opening::input(Message::new("ask-dew"), &self.found.dew, writer);
        let mut findings = vec![finding];
        findings.extend(superheat_doubts(&self.found).iter().map(|doubt| doubtful::finding(doubt, writer)));
        let mut blocks = show::blocks(findings);
        blocks.push(Block::Numbers(vec![report::Number::new(dew.name, dew.value)]));
        let warning = show::superheat_warning(&self.found.wrong_curve, writer);
        finish(title.into(), blocks, warning, &self.figures.assumed, self.air, &self.substance, writer)
    }
}

/// The figures of a subcooling in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SubcoolingFigures {
    /// Bubble less line temperature.
    pub subcooling_k: f64,
    /// Its standard uncertainty.
    pub subcooling_u_k: f64,
    /// The bubble temperature.
    pub saturation_temperature_k: f64,
    /// `subcooled`, `may_hold_gas` or `above_bubble`.
    pub line: &'static str,
    /// What the dew curve would have made of it.
    pub by_dew_k: f64,
    /// Against the limit asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<&'static str>,
    /// What cannot be, or hardly: a word each.
    pub doubtful: Vec<&'static str>,
    /// Where the doubt comes from.
    pub doubts: Vec<DoubtShare>,
    /// Accuracies that were assumed for want of a statement.
    pub assumed: Vec<String>,
    /// What the curves were read from: `table` or `model`.
    pub from: &'static str,
    /// Whether sea level was assumed to make a gauge pressure absolute.
    pub sea_level_assumed: bool,
}

/// A subcooling and what it was made of.
#[derive(Clone)]
pub struct SubcoolingAnswer {
    substance: Substance,
    air: Atmosphere,
    limit: Option<Limit<TemperatureDifference>>,
    found: Subcooling,
    /// The figures.
    pub figures: SubcoolingFigures,
}

impl Serialize for SubcoolingAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Returns the subcooling of a line.
///
/// # Errors
/// [`Refused`] where the refrigerant has no bubble point at that pressure.
pub fn subcooling(substance: &Substance, place: &Place<'_>) -> Result<SubcoolingAnswer, Refused> {
    let found = field::superheat::subcooling(&substance.fluid, &place.pressure, &place.line)
        .map_err(|error| fluid_refused("--liquid", place.pressure_given, &error))?;
    let figures = SubcoolingFigures {
        subcooling_k: found.subcooling.value().kelvin(),
        subcooling_u_k: found.subcooling.u(),
        saturation_temperature_k: found.bubble.value().kelvin(),
        line: match found.line {
            LiquidLine::Subcooled => "subcooled",
            LiquidLine::MayHoldGas => "may_hold_gas",
            LiquidLine::AboveBubble => "above_bubble",
        },
        by_dew_k: found.wrong_curve.reads.kelvin(),
        verdict: place.limit.map(|limit| verdict_word(&limit.judge(&found.subcooling))),
        doubtful: subcooling_doubts(&found).iter().map(doubtful::word).collect(),
        doubts: doubts(&found.subcooling),
        assumed: assumed(&found.subcooling),
        from: super::from_word(found.glide.from),
        sea_level_assumed: place.sea_level_assumed(),
    };
    Ok(SubcoolingAnswer { substance: substance.clone(), air: place.air, limit: place.limit, found, figures })
}

impl Answer for SubcoolingAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("subcooling-title").with("refrigerant", self.substance.name.as_str());
        let finding = show::subcooling_finding(
            &self.found,
            Message::new("ask-subcooling"),
            self.limit.as_ref(),
            self.air,
            writer,
        );
        let bubble = crate::opening::input(Message::new("ask-bubble"), &self.found.bubble, writer);
        let mut findings = vec![finding];
        findings.extend(subcooling_doubts(&self.found).iter().map(|doubt| doubtful::finding(doubt, writer)));
        let mut blocks = show::blocks(findings);
        blocks.push(Block::Numbers(vec![report::Number::new(bubble.name, bubble.value)]));
        let warning = show::subcooling_warning(&self.found.wrong_curve, writer);
        finish(title.into(), blocks, warning, &self.figures.assumed, self.air, &self.substance, writer)
    }
}

fn finish(
    title: Text,
    mut blocks: Vec<Block>,
    warning: Option<Message>,
    assumed: &[String],
    air: Atmosphere,
    substance: &Substance,
    writer: &Writer,
) -> Document {
    blocks.extend(warning.map(|sentence| Block::Paragraph(sentence.into())));
    for of in assumed {
        let sentence = match of.as_str() {
            "gauge" => Message::new("assumed-gauge"),
            _ => Message::new("assumed-probe"),
        };
        blocks.push(Block::Paragraph(sentence.into()));
    }
    blocks.push(Block::Paragraph(air_sentence(air, writer).into()));
    blocks.extend(substance_rows(substance, writer));
    let mut document = Document::new(title, "en", Mark::Answer);
    document.sections.push(Section::new(Message::new("ask-answer"), blocks));
    document
}
