//! A vacuum rise test as a finding, numbers and a picture.

use crate::opening::{input, number};
use field::rise::{Rise, WaterReading, WhyNotResolved};
use field::water::Form;
use report::{
    Figure, Finding, FittedPart, Message, Number, Picture, Point, Reading, RiseTest, Text, VerdictMark,
};
use serde::Serialize;
use units::math::exp;
use units::{AbsolutePressure, PASCAL_PER_MICRON, PressureUnit, Uncertain, Volume, Writer};

/// What a rise test says, in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RiseVerdict {
    /// A leak above zero beyond its doubt.
    LeakSeen,
    /// Leak and moisture are told apart, and no leak is seen.
    NoLeakSeen,
    /// Cannot be told.
    NotResolved,
}

/// Returns the verdict.
#[must_use]
pub fn verdict(rise: &Rise) -> RiseVerdict {
    if !rise.not_resolved.is_empty() {
        RiseVerdict::NotResolved
    } else if rise.leak_seen {
        RiseVerdict::LeakSeen
    } else {
        RiseVerdict::NoLeakSeen
    }
}

/// Returns why the parts are not told apart, in sentences.
#[must_use]
pub fn reasons(rise: &Rise, writer: &Writer) -> Vec<Message> {
    rise.not_resolved
        .iter()
        .map(|why| match why {
            WhyNotResolved::TooFewPoints(count) => {
                Message::new("rise-too-few").with("count", *count).with("fewest", field::rise::FEWEST_POINTS)
            }
            WhyNotResolved::NoCurve => Message::new("rise-no-curve"),
            WhyNotResolved::TimeConstantUncertain(relative) => {
                Message::new("rise-time-constant").with("percent", writer.number(relative * 100.0, 0))
            }
            WhyNotResolved::TooShort { seen, needed } => Message::new("rise-too-short")
                .with("seen", writer.write(*seen))
                .with("needed", writer.write(*needed)),
        })
        .collect()
}

/// Returns the verdict as a row.
#[must_use]
pub fn finding(rise: &Rise, name: impl Into<Text>, writer: &Writer) -> Finding {
    let (mark, word) = match verdict(rise) {
        RiseVerdict::LeakSeen => (VerdictMark::Breached, Message::new("rise-leak-seen")),
        RiseVerdict::NoLeakSeen => (VerdictMark::Met, Message::new("rise-no-leak-seen")),
        RiseVerdict::NotResolved => (VerdictMark::NotResolved, Message::new("report-verdict-not-resolved")),
    };
    let mut finding = Finding::new(mark, name);
    finding.word = Some(word.into());
    finding.advice = Some(match reasons(rise, writer).into_iter().next() {
        Some(why) => why.into(),
        // Whatever it shows, a rise test cannot clear the high side of a small leak.
        None => Message::new("rise-proves-dryness").into(),
    });
    finding
}

/// Returns the numbers of the test.
#[must_use]
pub fn numbers(rise: &Rise, volume: &Uncertain<Volume>, writer: &Writer) -> Vec<Number> {
    let method = || Message::new("method-rise");
    let source = || Message::new("source-rise");
    let inputs = || {
        vec![
            input(Message::new("ask-volume"), volume, writer),
            report::Input::new(Message::new("rise-points"), writer.number(rise.points as f64, 0)),
            report::Input::new(Message::new("rise-seen"), report::Value::from(writer.write(rise.seen))),
        ]
    };
    let as_read = |name: Message, pressure: AbsolutePressure| {
        Number::new(name, report::Value::from(writer.vacuum(pressure))).opens(report::Opened {
            inputs: inputs(),
            method: Message::new("method-as-read").into(),
            doubts: Vec::new(),
            source: source().into(),
        })
    };
    let mut out = vec![
        as_read(Message::new("rise-start"), rise.ends.0),
        as_read(Message::new("rise-end"), rise.ends.1),
    ];
    if let Some(fit) = &rise.fit {
        let doubtful = !rise.not_resolved.is_empty();
        let mark = |n: Number| if doubtful { n.doubtful() } else { n };
        out.push(mark(number(Message::new("rise-leak"), &fit.leak, writer, inputs(), method(), source())));
        let released = vacuum_number(
            Message::new("rise-released").into(),
            fit.released.value().pascal(),
            &fit.released,
            opened(inputs(), method()),
            writer,
        );
        out.push(mark(released));
        out.push(mark(number(
            Message::new("rise-time-constant-name"),
            &fit.time_constant,
            writer,
            inputs(),
            method(),
            source(),
        )));
    }
    if let Some(slope) = &rise.late_slope {
        let late = Message::new("method-rise-late");
        out.push(number(Message::new("rise-late"), slope, writer, inputs(), late, source()));
    }
    if let Some(water) = &rise.water {
        out.push(vacuum_number(
            Message::new("rise-plateau").into(),
            water.plateau.value().pascal(),
            &water.plateau,
            opened(inputs(), method()),
            writer,
        ));
        let name = match water.form {
            Form::Ice => Message::new("rise-water-ice"),
            Form::Liquid => Message::new("rise-water-liquid"),
        };
        let equilibrium = opened(inputs(), Message::new("method-water"));
        out.push(vacuum_number(name.into(), water.water.value().pascal(), &water.water, equilibrium, writer));
    }
    if let Some(mass) = &rise.released_as_water {
        let as_water = Message::new("method-rise-water");
        out.push(number(Message::new("rise-as-water"), mass, writer, inputs(), as_water, source()));
    }
    out
}

/// Returns what the plateau says of water.
#[must_use]
pub fn water_sentence(rise: &Rise) -> Option<Message> {
    rise.water.as_ref().map(|water| match water.reading {
        WaterReading::Water => Message::new("rise-is-water"),
        WaterReading::BelowWater => Message::new("rise-below-water"),
        WaterReading::AboveWater => Message::new("rise-above-water"),
    })
}

/// What stands behind a number of the test; its doubts are filled in with the number.
fn opened(inputs: Vec<report::Input>, method: Message) -> report::Opened {
    report::Opened {
        inputs,
        method: method.into(),
        doubts: Vec::new(),
        source: Message::new("source-rise").into(),
    }
}

/// A vacuum with its half-width, as a vacuum gauge shows it.
fn vacuum_number<Q: units::Quantity>(
    name: Text,
    pascal: f64,
    found: &Uncertain<Q>,
    mut opened: report::Opened,
    writer: &Writer,
) -> Number {
    let (size, unit) = vacuum_unit(writer);
    let written = writer.write_with_half_width(VacuumIn(pascal / size), 2.0 * found.u() / size);
    opened.doubts = crate::opening::shares(found);
    let value = report::Value { value: written.value, half_width: written.half_width, unit: unit.to_owned() };
    Number::new(name, value).opens(opened)
}

/// A number already in the unit of the vacuum gauge.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
struct VacuumIn(f64);

impl units::Quantity for VacuumIn {
    const UNIT: &'static str = "";
    fn from_si(si: f64) -> Self {
        Self(si)
    }
    fn si(self) -> f64 {
        self.0
    }
}

impl units::Writable for VacuumIn {
    fn scale(_: &Writer, _: f64) -> units::Scale {
        units::Scale { unit: "", size: 1.0, zero: 0.0, decimals: 0 }
    }
}

fn vacuum_unit(writer: &Writer) -> (f64, &'static str) {
    match writer.pressure {
        PressureUnit::Psi => (PASCAL_PER_MICRON, "micron"),
        PressureUnit::Kilopascal | PressureUnit::Bar => (1.0, "Pa abs"),
    }
}

/// Returns the picture: readings, and the fitted parts where there are any.
#[must_use]
pub fn figure(
    rise: &Rise,
    readings: &[field::rise::Reading],
    volume: &Uncertain<Volume>,
    target: Option<AbsolutePressure>,
    writer: &Writer,
) -> Figure {
    let (size, unit) = vacuum_unit(writer);
    let start = readings.first().map_or(0.0, |r| r.time.second());
    let minute = |second: f64| (second - start) / 60.0;
    let mut parts = Vec::new();
    if let Some(fit) = &rise.fit {
        let volume = volume.value().cubic_metre();
        let p0 = fit.start.value().pascal();
        let (leak, released) =
            (fit.leak.value().pascal_cubic_metre_per_second() / volume, fit.released.value().pascal());
        let tau = fit.time_constant.value().second();
        let span = rise.seen.second();
        let curve = |with_leak: f64, with_release: f64| -> Vec<Point> {
            (0..=40)
                .map(|at| {
                    let t = span * f64::from(at) / 40.0;
                    let p = p0 + with_leak * leak * t + with_release * released * (1.0 - exp(-t / tau));
                    Point { x: t / 60.0, y: p / size }
                })
                .collect()
        };
        parts.push(FittedPart {
            label: Message::new("rise-part-leak").with("size", writer.write_uncertain(&fit.leak)).into(),
            line: curve(1.0, 0.0),
        });
        parts.push(FittedPart { label: Message::new("rise-part-released").into(), line: curve(0.0, 1.0) });
    }
    Figure {
        title: Message::new("rise-figure").with("unit", unit).into(),
        description: Message::new("rise-figure-says")
            .with("from", writer.vacuum(rise.ends.0))
            .with("to", writer.vacuum(rise.ends.1))
            .with("time", writer.write(rise.seen))
            .into(),
        picture: Picture::Rise(RiseTest {
            pressure_axis: Text::verbatim(unit),
            time_axis: Text::verbatim("min"),
            readings: readings
                .iter()
                .map(|r| Reading::new(minute(r.time.second()), r.pressure.pascal() / size))
                .collect(),
            parts,
            target: target.map(|p| (p.pascal() / size, Message::new("rise-target").into())),
        }),
    }
}
