//! Superheat and subcooling as findings and numbers.

use crate::opening::{doubt_text, input, number};
use field::saturation::ReadFrom;
use field::superheat::{LiquidLine, Subcooling, Superheat, VapourLine, WrongCurve};
use report::{AllowedZone, Block, Finding, IntervalBar, Message, Number, Text, VerdictMark};
use units::{Atmosphere, Limit, TemperatureDifference, Uncertain, Verdict, Writable, Writer};

/// The line and the curve a difference is made of, already worded.
struct Parts<'a> {
    difference: &'a Uncertain<TemperatureDifference>,
    line: &'a Uncertain<units::Temperature>,
    saturation: &'a Uncertain<units::Temperature>,
    pressure: &'a Uncertain<units::AbsolutePressure>,
}

/// Returns the superheat as a number that opens.
#[must_use]
pub fn superheat_number(
    found: &Superheat,
    label: impl Into<Text>,
    air: Atmosphere,
    writer: &Writer,
) -> Number {
    let parts = Parts {
        difference: &found.superheat,
        line: &found.line_temperature,
        saturation: &found.dew,
        pressure: &found.pressure,
    };
    let method = match found.glide.from {
        ReadFrom::Table => Message::new("method-superheat-table"),
        ReadFrom::Model => Message::new("method-superheat"),
    };
    opened(&parts, label, Message::new("ask-dew"), method, air, writer)
}

/// Returns the subcooling as a number that opens.
#[must_use]
pub fn subcooling_number(
    found: &Subcooling,
    label: impl Into<Text>,
    air: Atmosphere,
    writer: &Writer,
) -> Number {
    let parts = Parts {
        difference: &found.subcooling,
        line: &found.line_temperature,
        saturation: &found.bubble,
        pressure: &found.pressure,
    };
    let method = match found.glide.from {
        ReadFrom::Table => Message::new("method-subcooling-table"),
        ReadFrom::Model => Message::new("method-subcooling"),
    };
    opened(&parts, label, Message::new("ask-bubble"), method, air, writer)
}

fn opened(
    parts: &Parts<'_>,
    label: impl Into<Text>,
    curve: Message,
    method: Message,
    air: Atmosphere,
    writer: &Writer,
) -> Number {
    let pressure = parts.pressure.map(parts.pressure.value().gauge(air), 1.0);
    let inputs = vec![
        input(Message::new("ask-line-temperature"), parts.line, writer),
        input(Message::new("ask-gauge-pressure"), &pressure, writer),
        input(curve, parts.saturation, writer),
    ];
    number(label, parts.difference, writer, inputs, method, Message::new("source-jcgm"))
}

/// Returns the superheat as a row with its verdict: wet or not first, then the limit if there is one.
#[must_use]
pub fn superheat_finding(
    found: &Superheat,
    name: impl Into<Text>,
    limit: Option<&Limit<TemperatureDifference>>,
    air: Atmosphere,
    writer: &Writer,
) -> Finding {
    let mut finding = match found.line {
        VapourLine::MayBeWet => {
            let mut wet = Finding::new(VerdictMark::NotResolved, name);
            wet.word = Some(Message::new("superheat-may-be-wet").into());
            wet.advice = Some(larger(&found.superheat));
            wet
        }
        VapourLine::BelowDew => {
            let mut wet = Finding::new(VerdictMark::Doubtful, name);
            wet.word = Some(Message::new("superheat-below-dew").into());
            wet.advice = Some(Message::new("superheat-below-dew-advice").into());
            wet
        }
        VapourLine::Superheated => judged(&found.superheat, name, limit, writer),
    };
    finding.number = Some(superheat_number(found, Message::new("ask-superheat"), air, writer));
    finding
}

/// Returns the subcooling as a row with its verdict.
#[must_use]
pub fn subcooling_finding(
    found: &Subcooling,
    name: impl Into<Text>,
    limit: Option<&Limit<TemperatureDifference>>,
    air: Atmosphere,
    writer: &Writer,
) -> Finding {
    let mut finding = match found.line {
        LiquidLine::MayHoldGas => {
            let mut gas = Finding::new(VerdictMark::NotResolved, name);
            gas.word = Some(Message::new("subcooling-may-hold-gas").into());
            gas.advice = Some(larger(&found.subcooling));
            gas
        }
        LiquidLine::AboveBubble => {
            let mut gas = Finding::new(VerdictMark::Doubtful, name);
            gas.word = Some(Message::new("subcooling-above-bubble").into());
            gas.advice = Some(Message::new("subcooling-above-bubble-advice").into());
            gas
        }
        LiquidLine::Subcooled => judged(&found.subcooling, name, limit, writer),
    };
    finding.number = Some(subcooling_number(found, Message::new("ask-subcooling"), air, writer));
    finding
}

/// Returns the blocks of findings: those with a verdict first; where no verdict was asked there is no mark, and the
/// number stands alone.
#[must_use]
pub fn blocks(findings: Vec<Finding>) -> Vec<Block> {
    let (mut judged, mut plain) = (Vec::new(), Vec::new());
    for finding in findings {
        match finding {
            Finding { mark: VerdictMark::Nothing, word: None, name, number: Some(number), .. } => {
                plain.push(Number { label: name, ..number });
            }
            other => judged.push(other),
        }
    }
    let mut out = Vec::new();
    if !judged.is_empty() {
        out.push(Block::Findings(judged));
    }
    if !plain.is_empty() {
        out.push(Block::Numbers(plain));
    }
    out
}

/// Returns a difference against its limit, with the bar and what would resolve it.
#[must_use]
pub fn judged(
    difference: &Uncertain<TemperatureDifference>,
    name: impl Into<Text>,
    limit: Option<&Limit<TemperatureDifference>>,
    writer: &Writer,
) -> Finding {
    let Some(limit) = limit else {
        return Finding::new(VerdictMark::Nothing, name);
    };
    let verdict = limit.judge(difference);
    let mut finding = Finding::new(verdict_mark(&verdict), name);
    finding.word = Some(verdict_text(&verdict).into());
    finding.advice = match &verdict {
        Verdict::NotResolved { largest, needed } => {
            let size = difference.largest().map_or(0.0, |(_, size)| size);
            Some(resolve(largest.as_ref(), size, *needed, writer))
        }
        Verdict::Inside | Verdict::Outside => None,
    };
    finding.bar = Some(bar(difference, limit, writer));
    finding
}

fn bar(
    difference: &Uncertain<TemperatureDifference>,
    limit: &Limit<TemperatureDifference>,
    writer: &Writer,
) -> IntervalBar {
    let size = TemperatureDifference::scale(writer, 1.0).size;
    let shown = |d: TemperatureDifference| d.kelvin() / size;
    let (low, high) = match *limit {
        Limit::AtLeast(a) => (Some(a), None),
        Limit::AtMost(b) => (None, Some(b)),
        Limit::Between(a, b) => (Some(a), Some(b)),
    };
    IntervalBar {
        best: shown(difference.value()),
        half_width: 2.0 * difference.u() / size,
        allowed: AllowedZone { low: low.map(shown), high: high.map(shown) },
        reference: None,
        words: limit_words(limit, writer).into(),
    }
}

/// Returns a limit in words.
#[must_use]
pub fn limit_words(limit: &Limit<TemperatureDifference>, writer: &Writer) -> Message {
    match *limit {
        Limit::AtLeast(a) => Message::new("limit-at-least").with("limit", writer.write(a)),
        Limit::AtMost(b) => Message::new("limit-at-most").with("limit", writer.write(b)),
        Limit::Between(a, b) => {
            Message::new("limit-between").with("low", writer.write(a)).with("high", writer.write(b))
        }
    }
}

/// Returns the mark of a verdict.
#[must_use]
pub fn verdict_mark(verdict: &Verdict) -> VerdictMark {
    match verdict {
        Verdict::Inside => VerdictMark::Met,
        Verdict::Outside => VerdictMark::Breached,
        Verdict::NotResolved { .. } => VerdictMark::NotResolved,
    }
}

/// Returns the word of a verdict.
#[must_use]
pub fn verdict_text(verdict: &Verdict) -> Message {
    match verdict {
        Verdict::Inside => Message::new("verdict-inside"),
        Verdict::Outside => Message::new("verdict-outside"),
        Verdict::NotResolved { .. } => Message::new("report-verdict-not-resolved"),
    }
}

fn larger(result: &Uncertain<TemperatureDifference>) -> Text {
    match result.largest() {
        Some((doubt, _)) => Message::new("larger-doubt").with("doubt", doubt_text(doubt)).into(),
        None => Message::new("no-doubt-stated").into(),
    }
}

/// `size` is the contribution of the largest doubt now, `needed` what it must shrink to.
fn resolve(largest: Option<&units::Doubt>, size: f64, needed: Option<f64>, writer: &Writer) -> Text {
    match (largest, needed) {
        (Some(doubt), Some(u)) if u > 0.0 => {
            let better = writer.number(size / u, 1);
            Message::new("resolve-by").with("doubt", doubt_text(doubt)).with("better", better).into()
        }
        (Some(doubt), _) => Message::new("resolve-not-alone").with("doubt", doubt_text(doubt)).into(),
        _ => Message::new("no-doubt-stated").into(),
    }
}

/// Returns the warning about the other curve, where glide is large enough for it to matter.
#[must_use]
pub fn superheat_warning(wrong: &WrongCurve, writer: &Writer) -> Option<Message> {
    wrong.warn.then(|| Message::new("wrong-curve-superheat").with("reads", writer.write(wrong.reads)))
}

/// Returns the warning about the other curve for subcooling.
#[must_use]
pub fn subcooling_warning(wrong: &WrongCurve, writer: &Writer) -> Option<Message> {
    wrong.warn.then(|| Message::new("wrong-curve-subcooling").with("reads", writer.write(wrong.reads)))
}
