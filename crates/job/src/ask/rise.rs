//! A vacuum rise test from a series of readings.

use super::Answer;
use crate::Refused;
use crate::show::rise as show;
use field::rise::{Gauge, Reading, Rise, RiseError, WhyNotResolved, judge_rise};
use report::{Block, Document, Finding, Mark, Message, Section, VerdictMark};
use serde::Serialize;
use units::{
    AbsolutePressure, Cause, Doubt, Duration, PASCAL_PER_MICRON, Temperature, Uncertain, Verdict, Volume,
    Writer,
};

/// A rise test and what it shows.
#[derive(Clone)]
pub struct RiseAnswer {
    readings: Vec<Reading>,
    volume: Uncertain<Volume>,
    rise: Rise,
    limit: Option<(AbsolutePressure, Verdict)>,
    /// The figures.
    pub figures: RiseFigures,
}

/// The figures of a rise test in SI.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiseFigures {
    /// Readings used.
    pub points: usize,
    /// Time from the first to the last.
    pub seen_s: f64,
    /// Pressure at the start.
    pub start_pressure_pa: f64,
    /// Pressure at the end.
    pub end_pressure_pa: f64,
    /// What it says.
    pub verdict: show::RiseVerdict,
    /// Why leak and moisture are not told apart; empty if they are.
    pub not_resolved_because: Vec<&'static str>,
    /// The leak, inward.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leak_pa_m3_s: Option<f64>,
    /// Its standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leak_u_pa_m3_s: Option<f64>,
    /// What moisture or outgassing raised it by.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released_pa: Option<f64>,
    /// Its standard uncertainty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released_u_pa: Option<f64>,
    /// Time constant of the release.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_constant_s: Option<f64>,
    /// Slope of the later half times volume: an upper bound of the leak.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late_slope_pa_m3_s: Option<f64>,
    /// Where the curve settles, if it does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plateau_pa: Option<f64>,
    /// The equilibrium pressure of water at the coldest wall.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water_pressure_pa: Option<f64>,
    /// What the plateau says of water: `water`, `below_water`, `above_water`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub water: Option<&'static str>,
    /// Against the limit asked for: `inside`, `outside`, `not_resolved`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<&'static str>,
}

impl Serialize for RiseAnswer {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.figures.serialize(serializer)
    }
}

/// Reads a series from CSV text: a line of headings, then time and pressure.
///
/// The headings say the units: `minute` or `second` or `hour`, and `micron` or `pascal`.
///
/// # Errors
/// [`Refused`] with the line that is no reading.
pub fn series(text: &str) -> Result<Vec<Reading>, Refused> {
    let bad = |line: usize, given: &str| {
        let field = format!("line {line}");
        Refused::new(
            "not_a_row",
            field,
            given.trim(),
            "minute,micron / 0,310 / 1,322",
            Message::new("refused-not-a-row"),
        )
    };
    let mut lines = text
        .trim_start_matches('\u{feff}')
        .lines()
        .enumerate()
        .map(|(at, line)| (at + 1, line))
        .filter(|(_, line)| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    let (first, headings) = lines.next().ok_or_else(|| bad(1, ""))?;
    let mark = if headings.contains(';') { ';' } else { ',' };
    let (mut time_at, mut pressure_at) = (None, None);
    for (at, heading) in headings.split(mark).enumerate() {
        match heading.trim().trim_matches('"').to_lowercase().as_str() {
            "second" | "seconds" | "s" => time_at = Some((at, 1.0)),
            "minute" | "minutes" | "min" => time_at = Some((at, 60.0)),
            "hour" | "hours" | "h" => time_at = Some((at, 3600.0)),
            "micron" | "microns" => pressure_at = Some((at, PASCAL_PER_MICRON)),
            "pascal" | "pa" => pressure_at = Some((at, 1.0)),
            "mbar" | "hpa" => pressure_at = Some((at, 100.0)),
            _ => {}
        }
    }
    let (Some((time_at, second)), Some((pressure_at, pascal))) = (time_at, pressure_at) else {
        return Err(bad(first, headings));
    };
    lines
        .map(|(number, line)| {
            let cells: Vec<&str> = line.split(mark).map(|cell| cell.trim().trim_matches('"')).collect();
            let cell = |at: usize| -> Option<f64> {
                let text = cells.get(at)?;
                // With semicolons between the cells a comma can only be a decimal mark.
                let plain = if mark == ';' { text.replace(',', ".") } else { (*text).to_owned() };
                plain.parse::<f64>().ok().filter(|value| value.is_finite())
            };
            match (cell(time_at), cell(pressure_at)) {
                (Some(t), Some(p)) => Ok(Reading {
                    time: Duration::from_second(t * second),
                    pressure: AbsolutePressure::from_pascal(p * pascal),
                }),
                _ => Err(bad(number, line)),
            }
        })
        .collect()
}

/// Returns what the series shows; `gauge_u` is the gauge's standard uncertainty in pascal, for the limit.
///
/// # Errors
/// [`Refused`]: times that do not increase, readings that are no vacuum, a wall beyond water's equations.
pub fn rise(
    readings: Vec<Reading>,
    volume: Uncertain<Volume>,
    gauge_u: Option<f64>,
    coldest: Option<&Uncertain<Temperature>>,
    limit: Option<AbsolutePressure>,
) -> Result<RiseAnswer, Refused> {
    let gauge = Gauge { resolution: None, scale_u: None };
    let rise = field::rise::rise(&readings, &volume, gauge, coldest).map_err(|error| refused(&error))?;
    let limit = limit.map(|at_most| {
        let end = Uncertain::new(rise.ends.1, Doubt::new(Cause::Accuracy, "gauge"), gauge_u.unwrap_or(0.0));
        (at_most, judge_rise(&end, at_most))
    });
    let fit = rise.fit.as_ref();
    let figures = RiseFigures {
        points: rise.points,
        seen_s: rise.seen.second(),
        start_pressure_pa: rise.ends.0.pascal(),
        end_pressure_pa: rise.ends.1.pascal(),
        verdict: show::verdict(&rise),
        not_resolved_because: rise
            .not_resolved
            .iter()
            .map(|why| match why {
                WhyNotResolved::TooFewPoints(_) => "too_few_points",
                WhyNotResolved::NoCurve => "no_curve",
                WhyNotResolved::TimeConstantUncertain(_) => "time_constant_uncertain",
                WhyNotResolved::TooShort { .. } => "too_short",
            })
            .collect(),
        leak_pa_m3_s: fit.map(|f| f.leak.value().pascal_cubic_metre_per_second()),
        leak_u_pa_m3_s: fit.map(|f| f.leak.u()),
        released_pa: fit.map(|f| f.released.value().pascal()),
        released_u_pa: fit.map(|f| f.released.u()),
        time_constant_s: fit.map(|f| f.time_constant.value().second()),
        late_slope_pa_m3_s: rise.late_slope.as_ref().map(|s| s.value().pascal_cubic_metre_per_second()),
        plateau_pa: rise.water.as_ref().map(|w| w.plateau.value().pascal()),
        water_pressure_pa: rise.water.as_ref().map(|w| w.water.value().pascal()),
        water: rise.water.as_ref().map(|w| match w.reading {
            field::rise::WaterReading::Water => "water",
            field::rise::WaterReading::BelowWater => "below_water",
            field::rise::WaterReading::AboveWater => "above_water",
        }),
        limit: limit.as_ref().map(|(_, verdict)| crate::ask::verdict_word(verdict)),
    };
    Ok(RiseAnswer { readings, volume, rise, limit, figures })
}

/// Returns the refusal for a series that is no rise test.
#[must_use]
pub fn refused(error: &RiseError) -> Refused {
    let (code, field, given, sensible, message) = match error {
        RiseError::TimesNotIncreasing(at) => (
            "order",
            "time",
            format!("reading {}", at + 1),
            "0, 1, 2 …".to_owned(),
            Message::new("refused-order"),
        ),
        RiseError::NotAVacuum(at, p) => (
            "not_a_vacuum",
            "pressure",
            format!("{:.0} Pa (reading {})", p.pascal(), at + 1),
            "0 to 200 kPa".to_owned(),
            Message::new("refused-out-of-range"),
        ),
        RiseError::Volume(v) => (
            "not_positive",
            "--volume",
            format!("{} L", v.litre()),
            "20 L".to_owned(),
            Message::new("refused-not-positive"),
        ),
        RiseError::ColdestWall(t) => (
            "out_of_range",
            "--coldest",
            format!("{:.1} °C", t.celsius()),
            "-60 °C to 60 °C".to_owned(),
            Message::new("refused-out-of-range"),
        ),
    };
    Refused::new(code, field, given, sensible, message)
}

impl Answer for RiseAnswer {
    fn document(&self, writer: &Writer) -> Document {
        let mut document = Document::new(Message::new("rise-title"), "en", Mark::Answer);
        let mut findings = vec![show::finding(&self.rise, Message::new("rise-name"), writer)];
        if let Some((at_most, verdict)) = &self.limit {
            let mark = match verdict {
                Verdict::Inside => VerdictMark::Met,
                Verdict::Outside => VerdictMark::Breached,
                Verdict::NotResolved { .. } => VerdictMark::NotResolved,
            };
            let name = Message::new("rise-limit-name").with("limit", writer.vacuum(*at_most));
            findings.push(Finding::new(mark, name));
        }
        let mut blocks =
            vec![Block::Findings(findings), Block::Numbers(show::numbers(&self.rise, &self.volume, writer))];
        blocks.extend(show::water_sentence(&self.rise).map(|sentence| Block::Paragraph(sentence.into())));
        let target = self.limit.as_ref().map(|(p, _)| *p);
        let figure = show::figure(&self.rise, &self.readings, &self.volume, target, writer);
        blocks.push(Block::Figure(Box::new(figure)));
        document.sections.push(Section::new(Message::new("ask-answer"), blocks));
        document
    }
}
