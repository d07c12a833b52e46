//! A low side that will not pull down: what the ratio says of the compressor, where the inflow comes from, and where the
//! cut-out may stand until it is mended.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::pulldown::{
    CutOut, EXPANSION_EXPONENT, HEALTHY_CLEARANCE, Inflow, Missing, Told, cut_out, effective_clearance,
    inflow, restart_after, stall_ratio,
};
pub use field::pulldown::{RiseSeen, Seen};
use report::{
    Block, Caution, Document, Finding, Input, Mark, Message, Now, Number, Opened, Section, Value, VerdictMark,
};
use serde::Serialize;
use units::{
    AbsolutePressure, Atmosphere, Duration, Fraction, GaugePressure, PressureDifference, PressureReading,
    Temperature, Writer,
};

/// The smallest rise a gauge is taken to show: half a psi (judgement).
const STEP: PressureDifference = PressureDifference::from_psi(0.5);

/// What is asked of a stalled pump-down. A text beside a value is what was typed for it, for a refusal.
#[derive(Clone)]
pub struct PulldownAsked<'a> {
    /// The refrigerant.
    pub substance: Substance,
    /// Where the low side comes to a stand.
    pub stalled: (PressureReading, &'a str),
    /// The head pressure then.
    pub head: (PressureReading, &'a str),
    /// The lowest suction saturation it runs at in use.
    pub lowest_suction: Option<(Temperature, &'a str)>,
    /// Where the control starts it again.
    pub cut_in: Option<PressureReading>,
    /// The rises seen with valves shut in turn, the compressor off.
    pub seen: Seen,
    /// The air.
    pub air: Atmosphere,
}

/// The figures of a stalled pump-down in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PulldownFigures {
    /// Head over floor, absolute.
    pub ratio: f64,
    /// The clearance that would explain it.
    pub effective_clearance: f64,
    /// The ratio at which a healthy piston compressor comes to a stand.
    pub healthy_ratio: f64,
    /// How low a healthy one would go against this head, by gauge.
    pub healthy_floor_pa_gauge: f64,
    /// Where the inflow comes from: `past_the_valve`, `compressor`, `boil_off`; empty where it is not told.
    pub inflow: Vec<&'static str>,
    /// Whether nothing rises.
    pub holds: bool,
    /// What would tell: `liquid_shut`, `second_shut`, `later`, `suction_shut`.
    pub missing: Vec<&'static str>,
    /// A cut-out just above the floor, by gauge; absent where the lowest suction leaves no room.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut_out_pa_gauge: Option<f64>,
    /// How long until it starts again, at the rise seen.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restart_after_s: Option<f64>,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// A stalled pump-down and what it says.
#[derive(Clone)]
pub struct PulldownAnswer {
    substance: Substance,
    floor: AbsolutePressure,
    head: AbsolutePressure,
    told: Told,
    cut_out: CutOut,
    restart: Option<Duration>,
    air: Atmosphere,
    /// The figures.
    pub figures: PulldownFigures,
}

impl Serialize for PulldownAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

const fn inflow_word(inflow: Inflow) -> &'static str {
    match inflow {
        Inflow::PastTheValve => "past_the_valve",
        Inflow::Compressor => "compressor",
        Inflow::BoilOff => "boil_off",
    }
}

const fn missing_word(missing: Missing) -> &'static str {
    match missing {
        Missing::LiquidShut => "liquid_shut",
        Missing::SecondShut => "second_shut",
        Missing::Later => "later",
        Missing::SuctionShut => "suction_shut",
    }
}

/// Returns what a pump-down that comes to a stand says, and what would tell more.
///
/// # Errors
/// [`Refused`]: a head not above the floor, a lowest suction at which the refrigerant has no saturation.
pub fn pulldown(asked: &PulldownAsked<'_>) -> Result<PulldownAnswer, Refused> {
    let floor = asked.stalled.0.absolute(asked.air);
    let head = asked.head.0.absolute(asked.air);
    if floor.pascal() <= 0.0 || head <= floor {
        return Err(Refused::new(
            "order",
            "head",
            asked.head.1,
            "200 psig",
            Message::new("refused-head-not-above"),
        ));
    }
    let lowest = match asked.lowest_suction {
        Some((t, given)) => Some(
            asked
                .substance
                .fluid
                .dew_at_temperature(t)
                .map_err(|error| fluid_refused("lowest-suction", given, &error))?
                .pressure,
        ),
        None => None,
    };
    let ratio = head.pascal() / floor.pascal();
    let healthy = stall_ratio(HEALTHY_CLEARANCE, EXPANSION_EXPONENT).unwrap_or(f64::INFINITY);
    let told = inflow(&asked.seen, STEP);
    let cut = cut_out(floor, lowest);
    let restart = match (asked.seen.liquid_shut, cut, asked.cut_in) {
        (Some(seen), CutOut::At(at), Some(reading)) => restart_after(seen, at, reading.absolute(asked.air)),
        _ => None,
    };
    let gauge = |p: f64| p - asked.air.pressure.pascal();
    let figures = PulldownFigures {
        ratio,
        effective_clearance: effective_clearance(ratio, EXPANSION_EXPONENT).unwrap_or(f64::INFINITY),
        healthy_ratio: healthy,
        healthy_floor_pa_gauge: gauge(head.pascal() / healthy),
        inflow: match &told {
            Told::From(from) => from.iter().map(|one| inflow_word(*one)).collect(),
            _ => Vec::new(),
        },
        holds: told == Told::Holds,
        missing: match &told {
            Told::Open(missing) => missing.iter().map(|one| missing_word(*one)).collect(),
            _ => Vec::new(),
        },
        cut_out_pa_gauge: match cut {
            CutOut::At(at) => Some(gauge(at.pascal())),
            CutOut::NoRoom { .. } => None,
        },
        restart_after_s: restart.map(Duration::second),
        air: asked.air.into(),
    };
    Ok(PulldownAnswer {
        substance: asked.substance.clone(),
        floor,
        head,
        told,
        cut_out: cut,
        restart,
        air: asked.air,
        figures,
    })
}

fn inflow_text(inflow: Inflow) -> Message {
    match inflow {
        Inflow::PastTheValve => Message::new("pulldown-past-the-valve"),
        Inflow::Compressor => Message::new("pulldown-compressor"),
        Inflow::BoilOff => Message::new("pulldown-boil-off"),
    }
}

fn missing_text(missing: Missing) -> Message {
    match missing {
        Missing::LiquidShut => Message::new("pulldown-need-liquid"),
        Missing::SecondShut => Message::new("pulldown-need-second"),
        Missing::Later => Message::new("pulldown-need-later"),
        Missing::SuctionShut => Message::new("pulldown-need-suction"),
    }
}

impl PulldownAnswer {
    fn gauge(&self, p: AbsolutePressure) -> GaugePressure {
        GaugePressure::from_pascal(p.pascal() - self.air.pressure.pascal())
    }

    fn sentence(&self) -> Message {
        match &self.told {
            Told::Holds if self.figures.ratio > self.figures.healthy_ratio => {
                Message::new("pulldown-at-its-end")
            }
            Told::Holds => Message::new("pulldown-holds"),
            Told::From(from) => match from[..] {
                [one] => inflow_text(one),
                _ => Message::new("pulldown-two"),
            },
            Told::Open(missing) => match missing.first() {
                Some(first) => Message::new("pulldown-open").with("next", missing_text(*first)),
                None => Message::new("pulldown-not-told"),
            },
        }
    }
}

impl Answer for PulldownAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("pulldown-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let mut now = Now::new(self.sentence());
        now.why = Some(
            Message::new("pulldown-why")
                .with("floor", writer.write(self.gauge(self.floor)))
                .with("head", writer.write(self.gauge(self.head)))
                .with("ratio", writer.number(self.figures.ratio, 1))
                .with("healthy", writer.number(self.figures.healthy_ratio, 0))
                .into(),
        );
        document.now = Some(now);
        let mut blocks = vec![Block::Caution(Caution {
            first: Message::new("caution-pulldown-first").into(),
            rest: Some(Message::new("caution-pulldown-rest").into()),
        })];
        let opened = Opened {
            inputs: vec![
                Input::new(Message::new("pulldown-floor"), Value::from(writer.write(self.gauge(self.floor)))),
                Input::new(Message::new("pulldown-head"), Value::from(writer.write(self.gauge(self.head)))),
            ],
            method: Message::new("method-pulldown").into(),
            doubts: Vec::new(),
            source: Message::new("source-pulldown").into(),
        };
        let healthy = AbsolutePressure::from_pascal(self.head.pascal() / self.figures.healthy_ratio);
        let mut numbers = vec![
            Number::new(Message::new("pulldown-ratio"), writer.number(self.figures.ratio, 1)).opens(opened),
            Number::new(
                Message::new("pulldown-clearance"),
                Value::from(writer.write(Fraction::from_ratio(self.figures.effective_clearance))),
            ),
            Number::new(
                Message::new("pulldown-healthy-floor"),
                Value::from(writer.write(self.gauge(healthy))),
            ),
        ];
        match self.cut_out {
            CutOut::At(at) => numbers.push(Number::new(
                Message::new("pulldown-cut-out"),
                Value::from(writer.write(self.gauge(at))),
            )),
            CutOut::NoRoom { above, below } => {
                let mut row = Finding::new(VerdictMark::Breached, Message::new("pulldown-cut-out"));
                row.word = Some(Message::new("pulldown-no-room").into());
                row.advice = Some(
                    Message::new("pulldown-no-room-why")
                        .with("above", writer.write(self.gauge(above)))
                        .with("below", writer.write(self.gauge(below)))
                        .into(),
                );
                blocks.push(Block::Findings(vec![row]));
            }
        }
        if let Some(restart) = self.restart {
            numbers.push(Number::new(Message::new("pulldown-restart"), Value::from(writer.write(restart))));
        }
        blocks.push(Block::Numbers(numbers));
        if let Told::From(from) = &self.told
            && from.len() > 1
        {
            blocks.extend(from.iter().map(|one| Block::Paragraph(inflow_text(*one).into())));
        }
        if let Told::Open(missing) = &self.told {
            blocks.extend(missing.iter().map(|one| {
                Block::Paragraph(Message::new("pulldown-would-tell").with("what", missing_text(*one)).into())
            }));
        }
        blocks.push(Block::Paragraph(Message::new("pulldown-customer").into()));
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
