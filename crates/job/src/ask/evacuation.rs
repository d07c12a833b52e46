//! An evacuation planned: how long pump, hose and cores take, what water makes of it, what breaking the vacuum leaves.

use super::Answer;
use crate::Refused;
use field::evacuation::{
    EvacuationError, Passage, Pump, WaterOut, Way, effective_speed, pump_down, residual_share, water_out,
};
use report::{Block, Caution, Document, Input, Mark, Message, Now, Number, Opened, Section, Value};
use serde::Serialize;
use units::{AbsolutePressure, Duration, Length, Mass, SEA_LEVEL, Temperature, Volume, VolumeFlow, Writer};

/// The hole of a valve core left in: 2 mm wide and 10 mm long (common practice, no source).
const CORE: Passage = Passage { bore: Length::from_metre(0.002), length: Length::from_metre(0.010) };
/// To how much the vacuum is pulled and broken in the plan of three pulls: 1,500 micron, then dry nitrogen to the air's
/// pressure, twice (common practice, no source).
const FIRST_PULLS_MICRON: f64 = 1_500.0;

/// What is asked of an evacuation. A text beside a value is what was typed for it, for a refusal.
#[derive(Clone, Debug)]
pub struct EvacuationAsked<'a> {
    /// The volume to be emptied.
    pub volume: (Volume, &'a str),
    /// What the pump takes in by its plate.
    pub pump: (VolumeFlow, &'a str),
    /// The least pressure the pump reaches by itself, when known.
    pub ultimate: Option<AbsolutePressure>,
    /// Bore and length of a hose.
    pub hose: (Length, Length, &'a str),
    /// How many hoses.
    pub hoses: u32,
    /// Whether the valve cores are left in.
    pub cores_in: bool,
    /// The pressure wanted.
    pub target: (AbsolutePressure, &'a str),
    /// The temperature around.
    pub temperature: Temperature,
    /// Water in it, and the coldest wall it may lie on.
    pub water: Option<(Mass, Temperature, &'a str)>,
}

/// The figures of a planned evacuation in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct EvacuationFigures {
    /// Time to the target, dry and tight.
    pub dry_s: f64,
    /// The same with nothing but the pump: what hoses and cores cost is the difference.
    pub pump_alone_s: f64,
    /// What is taken out at the target, of what the pump takes in: 1 is no resistance.
    pub speed_left: f64,
    /// The pressure at which water stands on the coldest wall.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_stands_at_pa: Option<f64>,
    /// Whether it is ice there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ice: Option<bool>,
    /// Time for the water at least.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_at_least_s: Option<f64>,
    /// Part of the first gas left after three pulls.
    pub left_after_three: f64,
}

/// A planned evacuation.
#[derive(Clone)]
pub struct EvacuationAnswer {
    asked: Asked,
    water: Option<WaterOut>,
    /// The figures.
    pub figures: EvacuationFigures,
}

#[derive(Clone)]
struct Asked {
    volume: Volume,
    pump: VolumeFlow,
    hose: (Length, Length),
    hoses: u32,
    cores_in: bool,
    target: AbsolutePressure,
    coldest: Option<Temperature>,
}

impl Serialize for EvacuationAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

fn refused(field: &'static str, given: &str, error: EvacuationError) -> Refused {
    match error {
        EvacuationError::NotReached { least, .. } => Refused::new(
            "not_reached",
            field,
            given,
            Writer::metric().vacuum(least).to_string(),
            Message::new("refused-vacuum-not-reached"),
        ),
        EvacuationError::Wall(_) => Refused::new(
            "out_of_range",
            field,
            given,
            "-60 °C to 100 °C",
            Message::new("refused-out-of-range"),
        ),
        EvacuationError::Parameter(_) => Refused::new(
            "not_positive",
            field,
            given,
            "20 L, 6 cfm, 8 mm",
            Message::new("refused-not-positive"),
        ),
    }
}

fn way(hose: (Length, Length), hoses: u32, cores_in: bool) -> Way {
    let mut passages = vec![Passage { bore: hose.0, length: hose.1 }];
    if cores_in {
        passages.push(CORE);
    }
    Way { passages, side_by_side: hoses }
}

/// Returns how long the evacuation takes and what stands in its way.
///
/// # Errors
/// [`Refused`]: a size that is none, a target the pump does not reach, a wall beyond water's equations.
pub fn evacuation(asked: &EvacuationAsked<'_>) -> Result<EvacuationAnswer, Refused> {
    let positive = |value: f64, field: &'static str, given: &str| {
        if value > 0.0 { Ok(()) } else { Err(refused(field, given, EvacuationError::Parameter(value))) }
    };
    positive(asked.volume.0.cubic_metre(), "volume", asked.volume.1)?;
    positive(asked.pump.0.cubic_metre_per_second(), "pump", asked.pump.1)?;
    positive(asked.hose.0.metre(), "hose", asked.hose.2)?;
    positive(asked.hose.1.metre(), "hose-length", asked.hose.2)?;
    positive(f64::from(asked.hoses), "hoses", "0")?;
    if !(asked.target.0 > AbsolutePressure::from_pascal(0.0) && asked.target.0 < SEA_LEVEL) {
        return Err(refused("target", asked.target.1, EvacuationError::Parameter(0.0)));
    }
    let none = AbsolutePressure::from_pascal(0.0);
    let pump = Pump {
        cubic_metre_per_second: asked.pump.0.cubic_metre_per_second(),
        ultimate: asked.ultimate.unwrap_or(none),
    };
    let way = way((asked.hose.0, asked.hose.1), asked.hoses, asked.cores_in);
    let bare = Way { passages: Vec::new(), side_by_side: 1 };
    let at_target = |error| refused("target", asked.target.1, error);
    let time = |way: &Way| {
        pump_down(asked.volume.0, pump, way, SEA_LEVEL, asked.target.0, asked.temperature).map_err(at_target)
    };
    let speed = effective_speed(pump, &way, asked.target.0, asked.temperature).map_err(at_target)?;
    let water = match asked.water {
        Some((mass, wall, given)) => {
            Some(water_out(mass, wall, pump, &way).map_err(|error| refused("water", given, error))?)
        }
        None => None,
    };
    let low = AbsolutePressure::from_pascal(FIRST_PULLS_MICRON * units::PASCAL_PER_MICRON);
    let left = residual_share(low, SEA_LEVEL, 3).map_err(at_target)?;
    let figures = EvacuationFigures {
        dry_s: time(&way)?.second(),
        pump_alone_s: time(&bare)?.second(),
        speed_left: speed / pump.cubic_metre_per_second,
        water_stands_at_pa: water.map(|water| water.stands_at.pascal()),
        ice: water.map(|water| water.ice),
        water_at_least_s: water.map(|water| water.at_least.second()),
        left_after_three: left.ratio(),
    };
    Ok(EvacuationAnswer {
        asked: Asked {
            volume: asked.volume.0,
            pump: asked.pump.0,
            hose: (asked.hose.0, asked.hose.1),
            hoses: asked.hoses,
            cores_in: asked.cores_in,
            target: asked.target.0,
            coldest: asked.water.map(|(_, wall, _)| wall),
        },
        water,
        figures,
    })
}

impl EvacuationAnswer {
    /// Returns the way from the system to the pump.
    #[must_use]
    pub fn way(&self) -> Way {
        way(self.asked.hose, self.asked.hoses, self.asked.cores_in)
    }

    fn opened(&self, writer: &Writer) -> Opened {
        let asked = &self.asked;
        let mut opened = Opened {
            inputs: vec![
                Input::new(Message::new("ask-volume"), Value::from(writer.write(asked.volume))),
                Input::new(Message::new("evacuation-pump"), Value::from(writer.write(asked.pump))),
                Input::new(Message::new("evacuation-hose"), Value::from(writer.write(asked.hose.0))),
                Input::new(Message::new("evacuation-hose-length"), Value::from(writer.write(asked.hose.1))),
                Input::new(Message::new("evacuation-hoses"), asked.hoses.to_string()),
            ],
            method: Message::new("method-evacuation").into(),
            doubts: Vec::new(),
            source: Message::new("source-evacuation").into(),
        };
        if asked.cores_in {
            let size = format!("{} × {}", writer.write(CORE.bore), writer.write(CORE.length));
            opened.inputs.push(Input::new(Message::new("evacuation-core"), size));
        }
        opened
    }
}

impl Answer for EvacuationAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let mut document = Document::new(Message::new("evacuation-title"), "en", Mark::Answer);
        let dry = Duration::from_second(self.figures.dry_s);
        let cost = self.figures.dry_s / self.figures.pump_alone_s;
        let target = writer.vacuum(self.asked.target).to_string();
        let sentence = match self.water {
            Some(water) if water.stands_at > self.asked.target => Message::new("evacuation-now-water")
                .with("stands", writer.vacuum(water.stands_at))
                .with("least", writer.write(water.at_least)),
            _ => Message::new("evacuation-now-dry")
                .with("target", target.as_str())
                .with("time", writer.write(dry)),
        };
        let mut now = Now::new(sentence);
        if cost > 2.0 {
            now.why =
                Some(Message::new("evacuation-hose-costs").with("times", writer.number(cost, 0)).into());
        }
        document.now = Some(now);
        let mut blocks = vec![Block::Caution(Caution {
            first: Message::new("caution-vacuum-first").into(),
            rest: Some(Message::new("caution-vacuum-rest").into()),
        })];
        let seconds = |s: f64| Value::from(writer.write(Duration::from_second(s)));
        let mut numbers = vec![
            Number::new(
                Message::new("evacuation-dry").with("target", target.as_str()),
                seconds(self.figures.dry_s),
            )
            .opens(self.opened(writer)),
            Number::new(Message::new("evacuation-pump-alone"), seconds(self.figures.pump_alone_s)),
            Number::new(
                Message::new("evacuation-speed-left"),
                Value::from(writer.write(units::Fraction::from_ratio(self.figures.speed_left))),
            ),
        ];
        if let (Some(water), Some(coldest)) = (self.water, self.asked.coldest) {
            let name = if water.ice {
                Message::new("evacuation-ice-at")
            } else {
                Message::new("evacuation-water-at")
            };
            let stands = Value::from(writer.vacuum(water.stands_at));
            numbers.push(Number::new(name.with("wall", writer.write(coldest)), stands));
            numbers.push(Number::new(
                Message::new("evacuation-water-time"),
                Value::from(writer.write(water.at_least)),
            ));
        }
        blocks.push(Block::Numbers(numbers));
        if self.water.is_some_and(|water| water.ice) {
            blocks.push(Block::Paragraph(Message::new("evacuation-ice").into()));
        }
        blocks.push(Block::Paragraph(Message::new("evacuation-three-pulls").into()));
        blocks.push(Block::Paragraph(Message::new("evacuation-limits").into()));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
