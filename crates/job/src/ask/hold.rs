//! A hold test with nitrogen: what it shows, and the smallest leak it could have seen.

use super::{AirAnswer, Answer, air_sentence, fluid_refused};
use crate::show::hold as show;
use crate::{Refused, Substance};
use field::hold::{Hold, HoldError, HoldTest, Working, Zone};
use field::leak::Viscosity;
use fluid::Fluid;
use report::{Block, Caution, Document, Mark, Message, Section};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Cause, Duration, MassFlow, Temperature, Uncertain, Volume, Writer,
};

/// One end of a test: pressure and gas temperature.
#[derive(Clone, Debug)]
pub struct End {
    /// The pressure.
    pub pressure: Uncertain<AbsolutePressure>,
    /// The temperature of the gas.
    pub temperature: Uncertain<Temperature>,
}

/// A hold test as asked.
#[derive(Clone)]
pub struct HoldAsked {
    /// The refrigerant that will be inside.
    pub substance: Substance,
    /// The pressure at which the leak would work.
    pub working: AbsolutePressure,
    /// The temperature of the vapour there; saturated where nothing is said.
    pub working_temperature: Option<Temperature>,
    /// The start.
    pub start: End,
    /// The end.
    pub end: End,
    /// The volume under test.
    pub volume: Volume,
    /// Time from start to end.
    pub duration: Duration,
    /// The smallest leak that must not be missed.
    pub wanted: Option<MassFlow>,
    /// Time from the end of filling to the start.
    pub settled: Option<Duration>,
    /// Whether liquid refrigerant may be inside, where somebody said so.
    pub liquid_present: Option<bool>,
    /// The air around the gauge and the leak.
    pub air: Atmosphere,
    /// Whether a pressure was typed as gauge pressure.
    pub by_gauge: bool,
}

/// The figures of a hold test in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldFigures {
    /// The end pressure of a tight volume.
    pub expected_end_pressure_pa: f64,
    /// Expected less measured.
    pub unexplained_drop_pa: f64,
    /// Its standard uncertainty.
    pub drop_u_pa: f64,
    /// The smallest leak the test could have seen, as refrigerant at its working pressure.
    pub smallest_detectable_kg_per_year: Option<f64>,
    /// The same if the leak is a hole.
    pub smallest_detectable_choked_kg_per_year: Option<f64>,
    /// The same if the leak is a fine, laminar path; absent without a viscosity.
    pub smallest_detectable_laminar_kg_per_year: Option<f64>,
    /// `leaking`, `tight_within_limit`, `not_resolved` or `void`.
    pub verdict: &'static str,
    /// Hours more until a leak as large as the one wanted would be seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours_still_needed: Option<f64>,
    /// What was assumed for want of a statement: `start pressure`, `end temperature`, ...
    pub assumed: Vec<String>,
    /// Whether sea level was assumed to make a gauge pressure absolute.
    pub sea_level_assumed: bool,
}

/// A hold test and what it shows.
#[derive(Clone)]
pub struct HoldAnswer {
    asked: HoldAsked,
    gas: Fluid,
    hold: Hold,
    /// The figures.
    pub figures: HoldFigures,
}

impl Serialize for HoldAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

fn viscosity(pascal_second: Option<f64>) -> Option<Viscosity> {
    pascal_second.map(Viscosity::from_pascal_second)
}

impl HoldAsked {
    fn test<'a>(&'a self, gas: &'a Fluid) -> HoldTest<'a> {
        HoldTest {
            gas,
            gas_viscosity: viscosity(refrigerant::vapour_viscosity(gas)),
            start: self.start.pressure.clone(),
            end: self.end.pressure.clone(),
            zones: vec![Zone {
                volume: Some(self.volume),
                start: self.start.temperature.clone(),
                end: self.end.temperature.clone(),
            }],
            volume: Some(self.volume),
            duration: self.duration,
            since_filling: self.settled,
            liquid_present: self.liquid_present,
            outside: self.air.pressure,
            working: Some(Working {
                refrigerant: &self.substance.fluid,
                pressure: self.working,
                temperature: self.working_temperature,
                viscosity: viscosity(refrigerant::vapour_viscosity(&self.substance.fluid)),
            }),
            wanted: self.wanted,
        }
    }
}

/// Returns what the test shows.
///
/// # Errors
/// [`Refused`]: pressures, times or volumes that cannot be.
pub fn hold(asked: &HoldAsked) -> Result<HoldAnswer, Refused> {
    let gas = refrigerant::nitrogen();
    let hold = field::hold::hold(&asked.test(&gas)).map_err(|error| refused(&error))?;
    let as_refrigerant = hold.smallest.as_ref().and_then(|leak| leak.refrigerant.as_ref());
    let figures = HoldFigures {
        expected_end_pressure_pa: hold.expected_end.value().pascal(),
        unexplained_drop_pa: hold.drop.value().pascal(),
        drop_u_pa: hold.drop.u(),
        smallest_detectable_kg_per_year: show::smallest(&hold).map(|flow| flow.value().kilogram_per_year()),
        smallest_detectable_choked_kg_per_year: as_refrigerant.map(|r| r.choked.value().kilogram_per_year()),
        smallest_detectable_laminar_kg_per_year: as_refrigerant
            .and_then(|r| r.laminar.as_ref())
            .map(|flow| flow.value().kilogram_per_year()),
        verdict: show::verdict_word(&hold.verdict),
        hours_still_needed: match &hold.verdict {
            field::hold::Verdict::NotResolved(field::hold::WhyNotResolved::TooShort { still_needed }) => {
                Some(still_needed.hour())
            }
            _ => None,
        },
        assumed: hold
            .drop
            .terms()
            .iter()
            .filter(|(doubt, _)| doubt.cause == Cause::AssumedAccuracy)
            .map(|(doubt, _)| doubt.of.clone())
            .collect(),
        sea_level_assumed: asked.by_gauge && AirAnswer::from(asked.air).sea_level_assumed,
    };
    Ok(HoldAnswer { asked: asked.clone(), gas, hold, figures })
}

/// Returns the refusal for a hold test that cannot be worked out.
#[must_use]
pub fn refused(error: &HoldError) -> Refused {
    let positive = |field: &str, given: String, sensible: &str| {
        Refused::new("not_positive", field, given, sensible, Message::new("refused-not-positive"))
    };
    match error {
        HoldError::Fluid(error) => fluid_refused("hold", "the pressures and temperatures given", error),
        HoldError::Leak(_) => Refused::new(
            "no_drive",
            "--working",
            "a pressure not above the air outside",
            "200 psig",
            Message::new("refused-order"),
        ),
        HoldError::NoTemperature => {
            Refused::new("missing", "--start", "", "300psig@70F", Message::new("cli-missing"))
        }
        HoldError::Duration(time) => positive("--hours", format!("{}", time.hour()), "24"),
        HoldError::Volume(volume) => positive("--volume", format!("{} L", volume.litre()), "20 L"),
        HoldError::Pressure(p) => {
            let given = format!("{:.1} kPa abs", p.pascal() / 1e3);
            Refused::new("not_above_outside", "--start", given, "300psig@70F", Message::new("refused-order"))
        }
        HoldError::Wanted(flow) => {
            positive("--wanted", format!("{} g/yr", flow.kilogram_per_year() * 1e3), "50 g/yr")
        }
        HoldError::NotConverged => {
            Refused::new("not_converged", "hold", "these readings", "", Message::new("refused-not-converged"))
        }
    }
}

impl Answer for HoldAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let mut document = Document::new(Message::new("hold-title"), "en", Mark::Answer);
        let test = self.asked.test(&self.gas);
        let mut blocks = vec![
            Block::Caution(Caution {
                first: Message::new("caution-nitrogen-first").into(),
                rest: Some(Message::new("caution-nitrogen-rest").into()),
            }),
            Block::Findings(vec![show::finding(&self.hold, Message::new("hold-name"), writer)]),
            Block::Numbers(show::numbers(&self.hold, &test, self.asked.air, writer)),
        ];
        blocks.extend(show::notes(&self.hold).into_iter().map(|note| Block::Paragraph(note.into())));
        let assumed = |word: &str| self.figures.assumed.iter().any(|of| of.ends_with(word));
        if assumed("pressure") {
            blocks.push(Block::Paragraph(Message::new("hold-assumed-step").into()));
        }
        if assumed("temperature") {
            blocks.push(Block::Paragraph(Message::new("hold-assumed-temperature").into()));
        }
        blocks.push(Block::Figure(Box::new(show::figure(&self.hold, &test, self.asked.air, writer))));
        blocks.push(Block::Paragraph(air_sentence(self.asked.air, writer).into()));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
