//! Two displays of one pressure: what each of them shows, before either is blamed.

use super::{AirAnswer, Answer, air_sentence, fluid_refused, substance_rows};
use crate::{Refused, Substance};
use field::displays::{Candidate, Curve, Displays, Explanation, Reconciled, Setting, reconcile};
use report::{Block, Document, Input, List, Mark, Message, Now, Number, Opened, Section, Text, Value};
use serde::Serialize;
use units::{AbsolutePressure, Atmosphere, PressureDifference, Temperature, Uncertain, Writer};

/// What displays in commercial refrigeration are most often set to (judgement, no source): it orders what fits.
const USUAL: [&str; 14] = [
    "R-22", "R-134a", "R-290", "R-404A", "R-407A", "R-407C", "R-407F", "R-410A", "R-448A", "R-449A",
    "R-452A", "R-502", "R-507A", "R-513A",
];

/// How many explanations are shown.
const SHOWN: usize = 4;

/// What is asked of two displays.
#[derive(Clone)]
pub struct DisplaysAsked<'a> {
    /// The refrigerant in the system.
    pub substance: Substance,
    /// The pressure at the first one's tap, and what was typed for it.
    pub pressure: (Uncertain<AbsolutePressure>, &'a str),
    /// How much less it is at the second one's tap.
    pub drop: PressureDifference,
    /// What the first one shows.
    pub first: Uncertain<Temperature>,
    /// What the second one shows.
    pub second: Uncertain<Temperature>,
    /// The air.
    pub air: Atmosphere,
}

/// One thing that explains both.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ExplanationFigures {
    /// The refrigerant the first one is set to.
    pub first_refrigerant: String,
    /// `dew`, `bubble` or `mean`.
    pub first_curve: &'static str,
    /// The refrigerant the second one is set to.
    pub second_refrigerant: String,
    /// As of the first.
    pub second_curve: &'static str,
    /// How far off together, in squared standard uncertainties; at most 5.99.
    pub misfit: f64,
}

/// The figures of two displays in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DisplaysFigures {
    /// What explains them, the likeliest first.
    pub explanations: Vec<ExplanationFigures>,
    /// The second less the first.
    pub differ_by_k: f64,
    /// What remains when both show the dew point of this refrigerant.
    pub remains_k: f64,
    /// Its standard uncertainty.
    pub remains_u_k: f64,
    /// The air.
    #[serde(flatten)]
    pub air: AirAnswer,
}

/// Two displays reconciled.
#[derive(Clone)]
pub struct DisplaysAnswer {
    substance: Substance,
    pressure: AbsolutePressure,
    drop: PressureDifference,
    first: Temperature,
    second: Temperature,
    air: Atmosphere,
    found: Reconciled,
    /// The figures.
    pub figures: DisplaysFigures,
}

impl Serialize for DisplaysAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

const fn curve_word(curve: Curve) -> &'static str {
    match curve {
        Curve::Dew => "dew",
        Curve::Bubble => "bubble",
        Curve::Mean => "mean",
    }
}

fn curve_text(curve: Curve) -> Message {
    match curve {
        Curve::Dew => Message::new("displays-dew"),
        Curve::Bubble => Message::new("displays-bubble"),
        Curve::Mean => Message::new("displays-mean"),
    }
}

/// Returns what the two displays can be showing, of all refrigerants known here.
///
/// # Errors
/// [`Refused`] where the system's refrigerant has no saturation at that pressure.
pub fn displays(asked: &DisplaysAsked<'_>) -> Result<DisplaysAnswer, Refused> {
    let others: Vec<(&str, fluid::Fluid)> =
        refrigerant::all().iter().map(|one| (one.designation(), one.fluid())).collect();
    let found = reconcile(&Displays {
        pressure: asked.pressure.0.clone(),
        drop: asked.drop,
        first: asked.first.clone(),
        second: asked.second.clone(),
        own: Candidate { name: &asked.substance.name, fluid: &asked.substance.fluid, usual: true },
        others: others
            .iter()
            .map(|(name, fluid)| Candidate { name, fluid, usual: USUAL.contains(name) })
            .collect(),
    })
    .map_err(|error| fluid_refused("pressure", asked.pressure.1, &error))?;
    let figures = DisplaysFigures {
        explanations: found
            .explanations
            .iter()
            .take(SHOWN)
            .map(|one| ExplanationFigures {
                first_refrigerant: one.first.refrigerant.clone(),
                first_curve: curve_word(one.first.curve),
                second_refrigerant: one.second.refrigerant.clone(),
                second_curve: curve_word(one.second.curve),
                misfit: one.misfit,
            })
            .collect(),
        differ_by_k: found.differ_by.value().kelvin(),
        remains_k: found.remains.value().kelvin(),
        remains_u_k: found.remains.u(),
        air: asked.air.into(),
    };
    Ok(DisplaysAnswer {
        substance: asked.substance.clone(),
        pressure: asked.pressure.0.value(),
        drop: asked.drop,
        first: asked.first.value(),
        second: asked.second.value(),
        air: asked.air,
        found,
        figures,
    })
}

impl DisplaysAnswer {
    fn is_own(&self, setting: &Setting) -> bool {
        setting.refrigerant == self.substance.name
    }

    fn setting(&self, setting: &Setting) -> Text {
        if self.is_own(setting) {
            return curve_text(setting.curve).into();
        }
        Message::new("displays-set-to")
            .with("refrigerant", setting.refrigerant.as_str())
            .with("curve", curve_text(setting.curve))
            .into()
    }

    fn sentence(&self, writer: &Writer) -> Message {
        let Some(best) = self.found.explanations.first() else {
            return Message::new("displays-nothing")
                .with("off", writer.write_uncertain(&self.found.remains).to_string());
        };
        let Explanation { first, second, .. } = best;
        match (self.is_own(first), self.is_own(second)) {
            (true, true) if first.curve == second.curve => {
                Message::new("displays-agree").with("curve", curve_text(first.curve))
            }
            (true, true) => Message::new("displays-two-curves")
                .with("first", curve_text(first.curve))
                .with("second", curve_text(second.curve)),
            (true, false) => {
                Message::new("displays-second-set").with("refrigerant", second.refrigerant.as_str())
            }
            (false, true) => {
                Message::new("displays-first-set").with("refrigerant", first.refrigerant.as_str())
            }
            (false, false) => Message::new("displays-both-set")
                .with("first", first.refrigerant.as_str())
                .with("second", second.refrigerant.as_str()),
        }
    }
}

impl DisplaysAnswer {
    /// Returns the sentence and what fits, for a place among other blocks; how far apart the two are where both were read.
    #[must_use]
    pub fn told(&self, writer: &Writer, both_read: bool) -> Vec<Block> {
        let mut out = vec![Block::Paragraph(self.sentence(writer).into())];
        let items = self.lines().take(2).map(Text::from).collect();
        out.push(Block::List(List { ordered: false, items }));
        if both_read {
            let remains = Message::new("displays-remains-text")
                .with("differ", writer.write_uncertain(&self.found.differ_by))
                .with("remains", writer.write_uncertain(&self.found.remains));
            out.push(Block::Paragraph(remains.into()));
        }
        out.push(Block::Paragraph(Message::new("displays-ask").into()));
        out
    }

    /// What fits, the likeliest first.
    fn lines(&self) -> impl Iterator<Item = Message> {
        let line = |one: &Explanation| {
            Message::new("displays-line")
                .with("first", self.setting(&one.first))
                .with("second", self.setting(&one.second))
        };
        let shown = self.found.explanations.iter().take(SHOWN).enumerate();
        shown.map(move |(at, one)| {
            let fits =
                if at == 0 { Message::new("displays-fits") } else { Message::new("displays-fits-too") };
            fits.with("line", line(one))
        })
    }
}

impl Answer for DisplaysAnswer {
    fn substance(&self) -> Option<&Substance> {
        Some(&self.substance)
    }

    fn document(&self, writer: &Writer) -> Document {
        let title = Message::new("displays-title").with("refrigerant", self.substance.name.as_str());
        let mut document = Document::new(title, "en", Mark::Answer);
        let mut now = Now::new(self.sentence(writer));
        now.why = Some(Message::new("displays-ask").into());
        document.now = Some(now);
        let pressure = units::GaugePressure::from_pascal(self.pressure.pascal() - self.air.pressure.pascal());
        let mut opened = Opened {
            inputs: vec![
                Input::new(Message::new("displays-pressure"), Value::from(writer.write(pressure))),
                Input::new(Message::new("displays-first"), Value::from(writer.write(self.first))),
                Input::new(Message::new("displays-second"), Value::from(writer.write(self.second))),
            ],
            method: Message::new("method-displays").into(),
            doubts: Vec::new(),
            source: Message::new("source-displays").into(),
        };
        if self.drop.pascal() != 0.0 {
            opened
                .inputs
                .push(Input::new(Message::new("displays-drop"), Value::from(writer.write(self.drop))));
        }
        let mut numbers = vec![
            Number::new(
                Message::new("displays-differ"),
                Value::from(writer.write_uncertain(&self.found.differ_by)),
            ),
            Number::new(
                Message::new("displays-remains"),
                Value::from(writer.write_uncertain(&self.found.remains)),
            )
            .opens(opened),
        ];
        if let (Ok(dew), Ok(bubble)) = (
            self.substance.fluid.dew_at_pressure(self.pressure),
            self.substance.fluid.bubble_at_pressure(self.pressure),
        ) {
            numbers.push(Number::new(Message::new("ask-dew"), Value::from(writer.write(dew.temperature))));
            numbers
                .push(Number::new(Message::new("ask-bubble"), Value::from(writer.write(bubble.temperature))));
        }
        let mut blocks = vec![Block::Numbers(numbers)];
        blocks.extend(self.lines().map(|line| Block::Paragraph(line.into())));
        blocks.push(Block::Paragraph(air_sentence(self.air, writer).into()));
        blocks.extend(substance_rows(&self.substance, writer));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
