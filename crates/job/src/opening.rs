//! What stands behind a number: inputs, method, the shares of its doubts, source.

use report::{Doubt as Share, Input, Message, Number, Opened, Text, Value};
use units::{Cause, Doubt, Uncertain, Writable, Writer};

/// Returns the words for a doubt: its kind, and whose it is.
#[must_use]
pub fn doubt_text(doubt: &Doubt) -> Text {
    let of = whose(&doubt.of);
    let message = match doubt.cause {
        Cause::Accuracy => Message::new("doubt-accuracy").with("of", of),
        Cause::AssumedAccuracy => Message::new("doubt-assumed").with("of", of),
        Cause::Zero => Message::new("doubt-zero").with("of", of),
        Cause::Scale => Message::new("doubt-scale").with("of", of),
        Cause::Resolution => Message::new("doubt-resolution").with("of", of),
        Cause::Placement => Message::new("doubt-placement").with("of", of),
        Cause::Model => Message::new("doubt-model").with("of", of),
        Cause::Range => Message::new("doubt-range").with("of", of),
        Cause::Judgement => Message::new("doubt-judgement").with("of", of),
    };
    message.into()
}

/// Keys of our own become words; the name somebody gave an instrument stays as typed.
fn whose(of: &str) -> Text {
    match of {
        "gauge" => Message::new("of-gauge").into(),
        "probe" => Message::new("of-probe").into(),
        "start pressure" => Message::new("hold-start").into(),
        "end pressure" => Message::new("hold-end").into(),
        "start temperature" => Message::new("hold-start-temperature").into(),
        "end temperature" => Message::new("hold-end-temperature").into(),
        "efficiency" => Message::new("of-efficiency").into(),
        "scale" => Message::new("of-scale").into(),
        "refills" => Message::new("of-refills").into(),
        "restored state" => Message::new("of-restored-state").into(),
        other => crate::visit::reading_name(other),
    }
}

/// Returns the doubts of a result with their shares of its variance, the largest first, those under 1 % left out.
#[must_use]
pub fn shares<Q: units::Quantity>(result: &Uncertain<Q>) -> Vec<Share> {
    let variance = result.u() * result.u();
    if variance <= 0.0 {
        return Vec::new();
    }
    let mut all: Vec<(&Doubt, f64)> =
        result.terms().iter().map(|(doubt, c)| (doubt, 100.0 * c * c / variance)).collect();
    units::sort_small(&mut all, |a, b| b.1.total_cmp(&a.1));
    all.into_iter()
        .filter(|(_, percent)| *percent >= 1.0)
        // A share is between 0 and 100 by construction.
        .map(|(doubt, percent)| Share { cause: doubt_text(doubt), percent: (percent + 0.5) as u8 })
        .collect()
}

/// Returns a number that opens: written with its half-width, its inputs, method, doubts and source behind it.
#[must_use]
pub fn number<Q: Writable>(
    label: impl Into<Text>,
    result: &Uncertain<Q>,
    writer: &Writer,
    inputs: Vec<Input>,
    method: Message,
    source: Message,
) -> Number {
    let opened = Opened { inputs, method: method.into(), doubts: shares(result), source: source.into() };
    Number::new(label, Value::from(writer.write_uncertain(result))).opens(opened)
}

/// Returns an input written with its half-width.
#[must_use]
pub fn input<Q: Writable>(name: impl Into<Text>, value: &Uncertain<Q>, writer: &Writer) -> Input {
    Input::new(name, Value::from(writer.write_uncertain(value)))
}
