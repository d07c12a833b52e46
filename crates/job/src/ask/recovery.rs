//! A recovery planned: how long vapour and left-over liquid take, which cylinder takes what, and how deep the law wants
//! it before opening.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::recovery::{
    INTAKE, Machine, Pool, Ready, RecoveryError, Shared, VapourOut, pool, shared_out, vapour_out,
};
use report::{Block, Caution, Document, Input, List, Mark, Message, Now, Number, Opened, Section, Value};
use rules::{EvacuationLevel, ExactMass, PressureClass, Status, evacuation_level, pressure_class};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Duration, GaugePressure, Mass, PressureReading, Temperature, Volume,
    VolumeFlow, Writer,
};

pub use field::recovery::Ready as ReadyCylinder;

/// The temperature at which the law classes a refrigerant: 104 °F (40 CFR 82.152).
const CLASS_AT: Temperature = Temperature::from_fahrenheit(104.0);

/// Heat that a pool gets for each kelvin, W/K, poor to good end: a receiver or a coil in still air (judgement).
const STILL: (f64, f64) = (5.0, 30.0);
/// The same warmed: a coil with its fan on, warm water over the receiver (judgement).
const WARMED: (f64, f64) = (50.0, 150.0);

/// What is asked of a recovery. A text beside a value is what was typed for it, for a refusal.
#[derive(Clone)]
pub struct RecoveryAsked<'a> {
    /// The refrigerant.
    pub substance: Substance,
    /// The volume it is drawn from.
    pub volume: (Volume, &'a str),
    /// The temperature of its walls.
    pub temperature: (Temperature, &'a str),
    /// The pressure it stands at; that of the dew point where none is given.
    pub pressure: Option<(PressureReading, &'a str)>,
    /// Where it is to end; the pressure of the air where none is given.
    pub end: Option<(PressureReading, &'a str)>,
    /// The displacement of the machine.
    pub machine: (VolumeFlow, &'a str),
    /// Liquid that must boil off.
    pub liquid: Option<Mass>,
    /// Whether the place it lies in is warmed: a coil with its fan on, warm water, a warm box.
    pub warmed: bool,
    /// The full charge of the system, for the law.
    pub charge: Option<Mass>,
    /// The cylinders that stand ready.
    pub cylinders: Vec<Ready>,
    /// The air.
    pub air: Atmosphere,
}

/// Into one cylinder.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct IntoFigures {
    /// Its name.
    pub cylinder: String,
    /// How much.
    pub kg: f64,
}

/// The figures of a recovery in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RecoveryFigures {
    /// The vapour's time.
    pub vapour_s: f64,
    /// The vapour's mass.
    pub vapour_kg: f64,
    /// The liquid's time at the good end of the heat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_at_least_s: Option<f64>,
    /// And at the poor end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liquid_at_most_s: Option<f64>,
    /// How cold the pool gets at the poor end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pool_k: Option<f64>,
    /// All there is to recover.
    pub recovered_kg: f64,
    /// What goes where, in order.
    pub into: Vec<IntoFigures>,
    /// What finds no room, where cylinders were given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_room_kg: Option<f64>,
    /// The class of the refrigerant by 40 CFR 82.152: `low`, `medium`, `high`, `very-high`.
    pub class: &'static str,
    /// The level of 40 CFR 82.156 Table 1 before a major repair, in inHg of vacuum, where a charge was given and the table
    /// has it in inches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level_inhg: Option<u32>,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// A planned recovery.
#[derive(Clone)]
pub struct RecoveryAnswer {
    substance: Substance,
    volume: Volume,
    temperature: Temperature,
    machine: VolumeFlow,
    end: AbsolutePressure,
    vapour: VapourOut,
    pools: Option<(Pool, Pool, Mass)>,
    shared: Option<Shared>,
    level: Option<(EvacuationLevel, Status)>,
    class: PressureClass,
    air: Atmosphere,
    /// The figures.
    pub figures: RecoveryFigures,
}

impl Serialize for RecoveryAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

fn refused(field: &'static str, given: &str, error: &RecoveryError) -> Refused {
    match error {
        RecoveryError::Fluid(error) => fluid_refused(field, given, error),
        RecoveryError::Order { .. } => {
            Refused::new("order", field, given, "0 psig", Message::new("refused-order"))
        }
        RecoveryError::Parameter(_) => {
            Refused::new("not_positive", field, given, "60 L, 4 cfm", Message::new("refused-not-positive"))
        }
    }
}

const fn class_word(class: PressureClass) -> &'static str {
    match class {
        PressureClass::Low => "low",
        PressureClass::Medium => "medium",
        PressureClass::High => "high",
        PressureClass::VeryHigh => "very-high",
    }
}

/// Returns how long a recovery takes and where the refrigerant goes.
///
/// # Errors
/// [`Refused`]: a size that is none, an end not below the start, no saturation at that temperature.
pub fn recovery(asked: &RecoveryAsked<'_>) -> Result<RecoveryAnswer, Refused> {
    let fluid = &asked.substance.fluid;
    let at_temperature = |error: RecoveryError| refused("temperature", asked.temperature.1, &error);
    let from = match asked.pressure {
        Some((reading, _)) => reading.absolute(asked.air),
        None => {
            let dew = fluid.dew_at_temperature(asked.temperature.0).map_err(|e| at_temperature(e.into()))?;
            dew.pressure
        }
    };
    let end = asked.end.map_or(asked.air.pressure, |(reading, _)| reading.absolute(asked.air));
    let machine = Machine { displacement: asked.machine.0, intake: INTAKE };
    let end_given = asked.end.map_or("", |(_, given)| given);
    let vapour =
        vapour_out(fluid, asked.volume.0, asked.temperature.0, from, end, machine).map_err(|error| {
            match error {
                RecoveryError::Order { .. } => refused("end", end_given, &error),
                other => refused("volume", asked.volume.1, &other),
            }
        })?;
    let (poor, good) = if asked.warmed { WARMED } else { STILL };
    let pools = match asked.liquid {
        Some(mass) => {
            let one = |conductance: f64| {
                pool(fluid, asked.temperature.0, conductance, machine, end).map_err(at_temperature)
            };
            Some((one(poor)?, one(good)?, mass))
        }
        None => None,
    };
    let time = |pool: &Pool, mass: Mass| mass.kilogram() / pool.rate.kilogram_per_second();
    let recovered = vapour.mass.kilogram() + asked.liquid.map_or(0.0, Mass::kilogram);
    let shared = (!asked.cylinders.is_empty())
        .then(|| shared_out(&asked.substance.name, Mass::from_kilogram(recovered), &asked.cylinders));
    let class = pressure_class(fluid.bubble_at_temperature(CLASS_AT).ok().map(|point| point.pressure));
    let level = asked
        .charge
        .and_then(|charge| ExactMass::from_mass(charge).ok())
        .and_then(|charge| evacuation_level(class, charge, false));
    let figures = RecoveryFigures {
        vapour_s: vapour.time.second(),
        vapour_kg: vapour.mass.kilogram(),
        liquid_at_least_s: pools.as_ref().map(|(_, good, mass)| time(good, *mass)),
        liquid_at_most_s: pools.as_ref().map(|(poor, _, mass)| time(poor, *mass)),
        pool_k: pools.as_ref().map(|(poor, ..)| poor.temperature.kelvin()),
        recovered_kg: recovered,
        into: shared
            .iter()
            .flat_map(|shared| &shared.into)
            .map(|one| IntoFigures { cylinder: one.name.clone(), kg: one.mass.kilogram() })
            .collect(),
        no_room_kg: shared.as_ref().map(|shared| shared.left.kilogram()),
        class: class_word(class),
        level_inhg: match level {
            Some((EvacuationLevel::InchesOfMercuryVacuum(inches), _)) => Some(inches),
            _ => None,
        },
        air: asked.air.into(),
    };
    Ok(RecoveryAnswer {
        substance: asked.substance.clone(),
        volume: asked.volume.0,
        temperature: asked.temperature.0,
        machine: asked.machine.0,
        end,
        vapour,
        pools,
        shared,
        level,
        class,
        air: asked.air,
        figures,
    })
}

impl RecoveryAnswer {
    fn gauge(&self, p: AbsolutePressure) -> GaugePressure {
        GaugePressure::from_pascal(p.pascal() - self.air.pressure.pascal())
    }

    fn now(&self, writer: &Writer) -> Now {
        let mass = Mass::from_kilogram(self.figures.recovered_kg);
        let message = match &self.shared {
            Some(shared) if shared.left.kilogram() > 0.0 => Message::new("recovery-no-room")
                .with("mass", writer.write(mass))
                .with("left", writer.write(shared.left)),
            _ => match (self.figures.liquid_at_least_s, self.figures.liquid_at_most_s) {
                (Some(least), Some(most)) => Message::new("recovery-between")
                    .with("mass", writer.write(mass))
                    .with("least", writer.write(Duration::from_second(least + self.figures.vapour_s)))
                    .with("most", writer.write(Duration::from_second(most + self.figures.vapour_s))),
                _ => Message::new("recovery-vapour-alone")
                    .with("mass", writer.write(self.vapour.mass))
                    .with("time", writer.write(self.vapour.time)),
            },
        };
        let mut now = Now::new(message);
        now.why = Some(match &self.pools {
            Some((poor, ..)) => {
                Message::new("recovery-warm").with("cold", writer.write(poor.temperature)).into()
            }
            None => Message::new("recovery-liquid-unknown").into(),
        });
        now
    }

    fn law(&self, writer: &Writer) -> Message {
        let class = match self.class {
            PressureClass::Low => Message::new("recovery-class-low"),
            PressureClass::Medium => Message::new("recovery-class-medium"),
            PressureClass::High => Message::new("recovery-class-high"),
            PressureClass::VeryHigh => Message::new("recovery-class-very-high"),
        };
        match self.level {
            Some((EvacuationLevel::InchesOfMercuryVacuum(0), _)) => {
                Message::new("recovery-law-zero").with("class", class)
            }
            Some((EvacuationLevel::InchesOfMercuryVacuum(inches), _)) => {
                Message::new("recovery-law-inches").with("class", class).with("inches", inches)
            }
            Some((EvacuationLevel::MillimetresOfMercuryAbsolute(mm), _)) => {
                Message::new("recovery-law-millimetres").with("class", class).with("mm", mm)
            }
            None => Message::new("recovery-law-charge")
                .with("class", class)
                .with("mass", writer.write(Mass::from_pound(200.0))),
        }
    }
}

impl Answer for RecoveryAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("recovery-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        document.now = Some(self.now(writer));
        let opened = || Opened {
            inputs: vec![
                Input::new(Message::new("ask-volume"), Value::from(writer.write(self.volume))),
                Input::new(Message::new("recovery-walls"), Value::from(writer.write(self.temperature))),
                Input::new(Message::new("recovery-machine"), Value::from(writer.write(self.machine))),
                Input::new(Message::new("recovery-intake"), Value::from(writer.write(INTAKE))),
                Input::new(
                    Message::new("recovery-from"),
                    Value::from(writer.write(self.gauge(self.vapour.from))),
                ),
                Input::new(Message::new("recovery-end"), Value::from(writer.write(self.gauge(self.end)))),
            ],
            method: Message::new("method-recovery").into(),
            doubts: Vec::new(),
            source: Message::new("source-recovery").into(),
        };
        let mut blocks = vec![Block::Caution(Caution {
            first: Message::new("caution-cylinder-first").into(),
            rest: Some(Message::new("caution-recovery-rest").into()),
        })];
        let mut numbers = vec![
            Number::new(Message::new("recovery-vapour"), Value::from(writer.write(self.vapour.mass)))
                .opens(opened()),
            Number::new(Message::new("recovery-vapour-time"), Value::from(writer.write(self.vapour.time)))
                .opens(opened()),
        ];
        if let Some((poor, good, mass)) = &self.pools {
            let time = |pool: &Pool| {
                Value::from(
                    writer.write(Duration::from_second(mass.kilogram() / pool.rate.kilogram_per_second())),
                )
            };
            numbers.push(Number::new(Message::new("recovery-liquid-good"), time(good)).opens(opened()));
            numbers.push(Number::new(Message::new("recovery-liquid-poor"), time(poor)).opens(opened()));
        }
        blocks.push(Block::Numbers(numbers));
        if let Some(shared) = &self.shared {
            let lines = shared.into.iter().map(|one| {
                Message::new("recovery-into")
                    .with("cylinder", one.name.as_str())
                    .with("mass", writer.write(one.mass))
                    .into()
            });
            blocks.push(Block::List(List { ordered: true, items: lines.collect() }));
            for other in &shared.others {
                blocks.push(Block::Paragraph(
                    Message::new("recovery-not-into").with("cylinder", other.as_str()).into(),
                ));
            }
        }
        blocks.push(Block::Paragraph(self.law(writer).into()));
        blocks.push(Block::Paragraph(Message::new("recovery-weigh").into()));
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
