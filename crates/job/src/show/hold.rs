//! A hold test as a finding, numbers and a picture.

use crate::opening::{input, number};
use field::hold::{AsRefrigerant, Hold, HoldTest, Note, Verdict, Void, WhyNotResolved};
use report::{
    AllowedZone, Figure, Finding, LookedFor, Message, Number, Picture, Point, Reading, Text, VerdictMark,
};
use units::{Atmosphere, GaugePressure, MassFlow, Quantity, Uncertain, Writable, Writer};

/// Returns the verdict as programs read it.
#[must_use]
pub const fn verdict_word(verdict: &Verdict) -> &'static str {
    match verdict {
        Verdict::Leaking => "leaking",
        Verdict::TightWithinLimit => "tight_within_limit",
        Verdict::NotResolved(_) => "not_resolved",
        Verdict::Void(_) => "void",
    }
}

/// Returns the smallest leak that the test could have seen, as refrigerant: the larger of the two flow laws.
#[must_use]
pub fn smallest(hold: &Hold) -> Option<&Uncertain<MassFlow>> {
    hold.smallest.as_ref().and_then(|leak| leak.refrigerant.as_ref()).map(AsRefrigerant::larger)
}

/// Returns the verdict as a row: never "tight" without the smallest leak the test could have seen.
#[must_use]
pub fn finding(hold: &Hold, name: impl Into<Text>, writer: &Writer) -> Finding {
    let (mark, word) = match &hold.verdict {
        Verdict::Leaking => (VerdictMark::Breached, Message::new("hold-leaking")),
        Verdict::TightWithinLimit => (VerdictMark::Met, Message::new("hold-tight")),
        Verdict::NotResolved(_) => (VerdictMark::NotResolved, Message::new("report-verdict-not-resolved")),
        Verdict::Void(_) => (VerdictMark::Doubtful, Message::new("hold-void")),
    };
    let mut finding = Finding::new(mark, name);
    finding.word = Some(word.into());
    finding.advice = advice(hold, writer).map(Text::from);
    finding.number = smallest(hold).map(|leak| {
        let value = report::Value::from(writer.write(leak.value()));
        Number::new(Message::new("hold-smallest"), value).opens(report::Opened {
            inputs: vec![input(Message::new("hold-drop"), &hold.drop, writer)],
            method: Message::new("method-hold-smallest").into(),
            doubts: crate::opening::shares(&hold.drop),
            source: Message::new("source-hold").into(),
        })
    });
    finding
}

fn advice(hold: &Hold, writer: &Writer) -> Option<Message> {
    // A pressure that rose could hide a leak: that comes before any talk of time.
    if hold.notes.contains(&Note::Rose)
        && matches!(hold.verdict, Verdict::NotResolved(_) | Verdict::TightWithinLimit)
    {
        return Some(Message::new("hold-note-rose"));
    }
    match &hold.verdict {
        Verdict::Leaking => Some(Message::new("hold-leaking-advice")),
        Verdict::TightWithinLimit => None,
        Verdict::NotResolved(WhyNotResolved::NoWantedLimit) => Some(Message::new("hold-no-limit")),
        Verdict::NotResolved(WhyNotResolved::NoLeakRate) => Some(Message::new("hold-no-rate")),
        Verdict::NotResolved(WhyNotResolved::TooShort { still_needed }) => {
            Some(Message::new("hold-longer").with("time", writer.write(*still_needed)))
        }
        Verdict::Void(reasons) => reasons.first().map(|why| match why {
            Void::LiquidPresent => Message::new("hold-void-liquid"),
            Void::NotSettled(time) => Message::new("hold-void-settling").with("time", writer.write(*time)),
            Void::ZonesApart(spread) => Message::new("hold-void-zones").with("spread", writer.write(*spread)),
        }),
    }
}

/// Returns the numbers of the test.
#[must_use]
pub fn numbers(hold: &Hold, test: &HoldTest<'_>, air: Atmosphere, writer: &Writer) -> Vec<Number> {
    let gauge = |p: &Uncertain<units::AbsolutePressure>| -> Uncertain<GaugePressure> {
        p.map(p.value().gauge(air), 1.0)
    };
    let method = || Message::new("method-hold");
    let source = || Message::new("source-hold");
    let mut inputs = vec![
        input(Message::new("hold-start"), &gauge(&test.start), writer),
        input(Message::new("hold-end"), &gauge(&test.end), writer),
    ];
    for zone in &test.zones {
        inputs.push(input(Message::new("hold-start-temperature"), &zone.start, writer));
        inputs.push(input(Message::new("hold-end-temperature"), &zone.end, writer));
    }
    inputs.push(report::Input::new(
        Message::new("hold-time"),
        report::Value::from(writer.write(test.duration)),
    ));
    if let Some(volume) = test.volume {
        inputs
            .push(report::Input::new(Message::new("ask-volume"), report::Value::from(writer.write(volume))));
    }
    let expected = gauge(&hold.expected_end);
    let mut out = vec![
        number(Message::new("hold-expected"), &expected, writer, inputs.clone(), method(), source()),
        number(Message::new("hold-drop"), &hold.drop, writer, inputs.clone(), method(), source()),
    ];
    if let Some(refrigerant) = hold.leak.as_ref().and_then(|leak| leak.refrigerant.as_ref())
        && matches!(hold.verdict, Verdict::Leaking)
    {
        let as_leak = Message::new("hold-leak");
        out.push(number(as_leak, refrigerant.larger(), writer, inputs.clone(), method(), source()));
    }
    if let Some(refrigerant) = hold.smallest.as_ref().and_then(|leak| leak.refrigerant.as_ref()) {
        let flow = |label: Message, flow: &Uncertain<MassFlow>| {
            Number::new(label, report::Value::from(writer.write(flow.value()))).opens(report::Opened {
                inputs: inputs.clone(),
                method: Message::new("method-hold-smallest").into(),
                doubts: crate::opening::shares(&hold.drop),
                source: Message::new("source-hold").into(),
            })
        };
        out.push(flow(Message::new("hold-smallest-choked"), &refrigerant.choked));
        if let Some(laminar) = &refrigerant.laminar {
            out.push(flow(Message::new("hold-smallest-laminar"), laminar));
        }
    }
    out
}

/// Returns what was assumed, in sentences.
#[must_use]
pub fn notes(hold: &Hold) -> Vec<Message> {
    hold.notes
        .iter()
        // That one stands with the verdict.
        .filter(|note| **note != Note::Rose || matches!(hold.verdict, Verdict::Void(_) | Verdict::Leaking))
        .map(|note| match note {
            Note::NoLiquidAssumed => Message::new("hold-note-liquid"),
            Note::SettledAssumed => Message::new("hold-note-settled"),
            Note::MeanOfZones => Message::new("hold-note-zones"),
            Note::Rose => Message::new("hold-note-rose"),
            Note::NoLaminarFigure => Message::new("hold-note-laminar"),
            Note::NoDoubtStated => Message::new("hold-note-doubt"),
        })
        .collect()
}

/// Returns the picture: start and end corrected to the end's temperature, the zone of a tight volume, the leak wanted.
#[must_use]
pub fn figure(hold: &Hold, test: &HoldTest<'_>, air: Atmosphere, writer: &Writer) -> Figure {
    let scale = GaugePressure::scale(writer, 1.0);
    let shown = |p: units::AbsolutePressure| p.gauge(air).si() / scale.size;
    let expected = shown(hold.expected_end.value());
    let half = 2.0 * hold.drop.u() / scale.size;
    let hours = test.duration.hour();
    let temperature = writer.write(hold.temperatures.1);
    // The drop that the wanted leak makes in this time, by what the smallest detectable one makes.
    let looked_for = test.wanted.zip(smallest(hold)).and_then(|(wanted, smallest)| {
        let drop = hold.smallest_drop.pascal() * (wanted / smallest.value()) / scale.size;
        drop.is_finite().then(|| LookedFor {
            end: Point { x: hours, y: expected - drop },
            label: Message::new("hold-looked-for").into(),
        })
    });
    Figure {
        title: Message::new("hold-figure").with("unit", scale.unit).with("temperature", temperature).into(),
        description: Message::new("hold-figure-says")
            .with("expected", writer.write(hold.expected_end.value().gauge(air)))
            .with("measured", writer.write(test.end.value().gauge(air)))
            .with("time", writer.write(test.duration))
            .into(),
        picture: Picture::Hold(report::HoldTest {
            pressure_axis: Text::verbatim(scale.unit),
            time_axis: Text::verbatim("h"),
            readings: vec![
                Reading::new(0.0, expected),
                Reading::new(hours, shown(test.end.value())).within(half),
            ],
            expected: Some(AllowedZone { low: Some(expected - half), high: Some(expected + half) }),
            looked_for,
            answer: None,
        }),
    }
}
