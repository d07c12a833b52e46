//! A cold box as a store of cold: how long it stays below a temperature without a plant, how long a plant needs to bring it
//! there.

use super::Answer;
use crate::Refused;
use field::boxload::{BoxError, FRESH, Lump, Walls};
use report::{Block, Document, Input, Mark, Message, Now, Number, Opened, Section, Value};
use serde::Serialize;
use units::{Duration, Length, Mass, Power, Temperature, Writer};

/// How many times the walls of foam alone let heat through at most: joints, frames, a floor, wet foam (judgement).
pub const WORSE_WALLS: f64 = 1.5;
/// Heat capacity of a kilogram of air at 5 °C with what hangs in the room beside the goods, J/K: the air counts twice
/// (judgement).
const AIR_OF_THE_ROOM: f64 = 2.0 * 1.25 * 1005.0;

/// What is asked of a cold box. A text beside a value is what was typed for it, for a refusal.
#[derive(Clone, Copy)]
pub struct BoxAsked<'a> {
    /// Length, width and height inside.
    pub sides: (Length, Length, Length, &'a str),
    /// The thickness of its foam.
    pub foam: (Length, &'a str),
    /// How warm it is inside now.
    pub inside: (Temperature, &'a str),
    /// How warm it is around it.
    pub around: (Temperature, &'a str),
    /// The warmest that the goods may become.
    pub limit: Option<(Temperature, &'a str)>,
    /// The temperature it is to be brought to.
    pub target: Option<(Temperature, &'a str)>,
    /// The goods in it.
    pub goods: Option<Mass>,
    /// Fans, lights and people while the plant stands.
    pub besides: Option<Power>,
    /// What the plant takes out.
    pub capacity: Option<Power>,
}

/// The figures of a cold box in SI.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct BoxFigures {
    /// What its walls let through a kelvin at least, W/K.
    pub conductance_w_k: f64,
    /// Heat through the walls at the temperatures given, at least and at most.
    pub walls_at_least_w: f64,
    /// See the line before.
    pub walls_at_most_w: f64,
    /// Time until the limit without a plant, at least and at most; absent where it never gets there, or no limit is given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warm_after_at_least_s: Option<f64>,
    /// See the line before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub warm_after_at_most_s: Option<f64>,
    /// Time to the target with the plant, at least and at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cold_after_at_least_s: Option<f64>,
    /// See the line before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cold_after_at_most_s: Option<f64>,
    /// Where it comes to a stand, where the plant does not bring it to the target for certain.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub settles_at_k: Option<f64>,
    /// The share of the time that the plant must run to hold the target, at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub runs_at_most: Option<f64>,
    /// Whether the goods are known; without them only air and room count, and the times are the shortest there are.
    pub goods_known: bool,
}

/// A cold box, reckoned.
#[derive(Clone, Copy)]
pub struct BoxAnswer {
    walls: Walls,
    inside: Temperature,
    around: Temperature,
    limit: Option<Temperature>,
    target: Option<Temperature>,
    goods: Option<Mass>,
    besides: Power,
    capacity: Option<Power>,
    /// The figures.
    pub figures: BoxFigures,
}

impl Serialize for BoxAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

fn not_positive(field: &'static str, given: &str, example: &'static str) -> Refused {
    Refused::new("not_positive", field, given, example, Message::new("refused-not-positive"))
}

/// Returns how long the box holds and how long it takes.
///
/// Of every band one end has the foam alone, the other [`WORSE_WALLS`] times as much.
///
/// # Errors
/// [`Refused`]: a side, a thickness, goods or a capacity that are none; a limit or a target on the wrong side.
pub fn cold_box(asked: &BoxAsked<'_>) -> Result<BoxAnswer, Refused> {
    let (length, width, height, given) = asked.sides;
    if length.metre() <= 0.0 || width.metre() <= 0.0 || height.metre() <= 0.0 {
        return Err(not_positive("length", given, "10 ft, 10 ft, 8 ft"));
    }
    if asked.foam.0.metre() <= 0.0 {
        return Err(not_positive("insulation", asked.foam.1, "4 in"));
    }
    if let Some((_, given)) = asked.limit.filter(|(limit, _)| *limit <= asked.inside.0) {
        let example =
            Writer::metric().write(Temperature::from_kelvin(asked.inside.0.kelvin() + 2.0)).to_string();
        let message = Message::new("refused-limit-below-inside").with("limit", given);
        return Err(Refused::new("order", "limit", given, example, message));
    }
    let walls = Walls { length, width, height, foam: asked.foam.0 };
    let conductance = walls.conductance().map_err(|_| not_positive("length", given, "10 ft, 10 ft, 8 ft"))?;
    let goods = asked.goods.map_or(0.0, |mass| mass.kilogram() * FRESH);
    let holds = goods + walls.room().cubic_metre() * AIR_OF_THE_ROOM;
    let besides = asked.besides.unwrap_or(Power::from_watt(0.0));
    let lump = |worse: f64, capacity: Option<Power>| Lump {
        holds,
        conductance: conductance * worse,
        besides,
        capacity: capacity.unwrap_or(Power::from_watt(0.0)),
        around: asked.around.0,
    };
    let through = |worse: f64| conductance * worse * (asked.around.0.kelvin() - asked.inside.0.kelvin());
    // Where it never gets there is no time: a box in a cold place stays cold.
    let warm = |worse: f64| {
        let (limit, _) = asked.limit?;
        lump(worse, None).takes(asked.inside.0, limit).ok().map(Duration::second)
    };
    let reached = |worse: f64| -> Option<Result<f64, Temperature>> {
        let ((target, _), capacity) = (asked.target?, asked.capacity?);
        Some(match lump(worse, Some(capacity)).takes(asked.inside.0, target) {
            Ok(time) => Ok(time.second()),
            Err(BoxError::Settles(at)) => Err(at),
            Err(_) => return None,
        })
    };
    let (quick, slow) = (reached(1.0), reached(WORSE_WALLS));
    let runs = asked.target.zip(asked.capacity).map(|((target, _), capacity)| {
        let load = conductance * WORSE_WALLS * (asked.around.0.kelvin() - target.kelvin()) + besides.watt();
        load / capacity.watt()
    });
    let figures = BoxFigures {
        conductance_w_k: conductance,
        walls_at_least_w: through(1.0),
        walls_at_most_w: through(WORSE_WALLS),
        warm_after_at_least_s: warm(WORSE_WALLS),
        warm_after_at_most_s: warm(1.0),
        cold_after_at_least_s: quick.and_then(Result::ok),
        cold_after_at_most_s: slow.and_then(Result::ok),
        settles_at_k: quick.and_then(Result::err).or(slow.and_then(Result::err)).map(Temperature::kelvin),
        runs_at_most: runs,
        goods_known: asked.goods.is_some(),
    };
    Ok(BoxAnswer {
        walls,
        inside: asked.inside.0,
        around: asked.around.0,
        limit: asked.limit.map(|(limit, _)| limit),
        target: asked.target.map(|(target, _)| target),
        goods: asked.goods,
        besides,
        capacity: asked.capacity,
        figures,
    })
}

impl BoxAnswer {
    /// Returns the sentence about warming; nothing where no limit was given.
    #[must_use]
    pub fn warming(&self, writer: &Writer) -> Option<Message> {
        let limit = writer.write(self.limit?);
        let time = |s: f64| writer.write(Duration::from_second(s));
        Some(match (self.figures.warm_after_at_least_s, self.figures.warm_after_at_most_s) {
            (Some(least), Some(most)) if self.goods.is_some() => Message::new("box-warm-between")
                .with("limit", limit)
                .with("least", time(least))
                .with("most", time(most)),
            (Some(least), _) => {
                Message::new("box-warm-at-least").with("limit", limit).with("least", time(least))
            }
            (None, _) => Message::new("box-stays-cold").with("limit", limit),
        })
    }

    /// Returns the sentence about pulling down; nothing where target or capacity are not known.
    #[must_use]
    pub fn pulling_down(&self, writer: &Writer) -> Option<Message> {
        let target = writer.write(self.target?);
        self.capacity?;
        let time = |s: f64| writer.write(Duration::from_second(s));
        let figures = &self.figures;
        Some(match (figures.cold_after_at_least_s, figures.cold_after_at_most_s) {
            (Some(least), Some(most)) if self.goods.is_some() => Message::new("box-cold-between")
                .with("target", target)
                .with("least", time(least))
                .with("most", time(most)),
            (Some(least), _) if figures.settles_at_k.is_none() => {
                Message::new("box-cold-at-least").with("target", target).with("least", time(least))
            }
            (Some(_), _) => Message::new("box-cold-uncertain").with("target", target).with(
                "settles",
                writer.write(Temperature::from_kelvin(figures.settles_at_k.unwrap_or_default())),
            ),
            (None, _) => Message::new("box-never-cold").with("target", target).with(
                "settles",
                writer.write(Temperature::from_kelvin(figures.settles_at_k.unwrap_or_default())),
            ),
        })
    }

    fn opened(&self, writer: &Writer) -> Opened {
        let mut inputs = vec![
            Input::new(Message::new("box-sides"), {
                let side = |length: Length| writer.write(length).to_string();
                format!(
                    "{} × {} × {}",
                    side(self.walls.length),
                    side(self.walls.width),
                    side(self.walls.height)
                )
            }),
            Input::new(Message::new("box-foam"), Value::from(writer.write(self.walls.foam))),
            Input::new(Message::new("box-inside"), Value::from(writer.write(self.inside))),
            Input::new(Message::new("box-around"), Value::from(writer.write(self.around))),
        ];
        if let Some(goods) = self.goods {
            inputs.push(Input::new(Message::new("box-goods"), Value::from(writer.write(goods))));
        }
        if let Some(capacity) = self.capacity {
            inputs.push(Input::new(Message::new("box-capacity"), Value::from(writer.write(capacity))));
        }
        if self.besides.watt() > 0.0 {
            inputs.push(Input::new(Message::new("box-besides"), Value::from(writer.write(self.besides))));
        }
        Opened {
            inputs,
            method: Message::new("method-box").into(),
            doubts: Vec::new(),
            source: Message::new("source-box").into(),
        }
    }
}

impl Answer for BoxAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let mut document = Document::new(Message::new("box-title"), "en", Mark::Answer);
        let (warm, cold) = (self.warming(writer), self.pulling_down(writer));
        let both = warm.is_some() && cold.is_some();
        let walls = Message::new("box-walls-now")
            .with("least", writer.write(Power::from_watt(self.figures.walls_at_least_w)))
            .with("most", writer.write(Power::from_watt(self.figures.walls_at_most_w)));
        let mut now = Now::new(warm.clone().or_else(|| cold.clone()).unwrap_or_else(|| walls.clone()));
        if self.goods.is_none() && (warm.is_some() || cold.is_some()) {
            now.why = Some(Message::new("box-goods-unknown").into());
        }
        document.now = Some(now);
        let mut blocks = Vec::new();
        if both {
            blocks.extend(cold.map(|cold| Block::Paragraph(cold.into())));
        }
        let least = Value::from(writer.write(Power::from_watt(self.figures.walls_at_least_w)));
        let most = Value::from(writer.write(Power::from_watt(self.figures.walls_at_most_w)));
        let mut numbers = vec![
            Number::new(Message::new("box-walls-least"), least).opens(self.opened(writer)),
            Number::new(Message::new("box-walls-most"), most),
        ];
        if let Some(runs) = self.figures.runs_at_most.filter(|runs| *runs < 1.0) {
            let share = Value::from(writer.write(units::Fraction::from_ratio(runs)));
            numbers.push(Number::new(Message::new("box-runs"), share));
        }
        blocks.push(Block::Numbers(numbers));
        blocks.push(Block::Paragraph(Message::new("box-limits").into()));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
