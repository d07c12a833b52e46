//! What changes over time: a hold test, a vacuum rise, a value that settles.

use super::axis::{Axis, Numbers, range, sane, sane_log};
use super::canvas::{Anchor, Canvas, Role, Stroke};
use crate::{AllowedZone, HoldTest, Message, Moment, Reading, RiseTest, Text, Trend};

/// The place of a picture over time on its sheet.
struct Frame {
    x: Axis,
    y: Axis,
    left: f64,
    right: f64,
    top: f64,
    foot: f64,
    numbers: Numbers,
}

impl Frame {
    fn new(canvas: &mut Canvas, along: (f64, f64), up: (f64, f64), log: bool, numbers: Numbers) -> Frame {
        let (top, height) = (canvas.text * 1.5, (canvas.width * 0.4).min(200.0).max(canvas.text * 8.0));
        let foot = top + height;
        let y = if log { Axis::log(up, foot, top) } else { Axis::linear(up, foot, top) };
        let label = y.ticks(4, numbers).iter().map(|(_, text)| canvas.measure(text)).fold(0.0, f64::max);
        let left = (label + 10.0).min(canvas.width * 0.4);
        let right = canvas.width - 8.0;
        canvas.height = foot + canvas.text * 1.8;
        Frame { x: Axis::linear(along, left, right), y, left, right, top, foot, numbers }
    }

    /// The grid lines with their numbers, and the times below.
    fn grid(&self, canvas: &mut Canvas, unit: &Text) {
        for (value, text) in self.y.ticks(4, self.numbers) {
            let at = self.y.at(value);
            canvas.line((self.left, at), (self.right, at), Stroke::GRID);
            canvas.write((self.left - 8.0, at + canvas.text * 0.35), Anchor::End, &text, false);
        }
        let unit = canvas.said(unit);
        let times = self.x.ticks(4, self.numbers);
        let row = self.foot + canvas.text * 1.35;
        let short = unit.chars().count() <= 5;
        for (index, (value, text)) in times.iter().enumerate() {
            let text =
                if short && index + 1 == times.len() { format!("{text} {unit}") } else { text.clone() };
            canvas.write((self.x.at(*value), row), Anchor::Middle, &text, false);
        }
        if !short {
            canvas.height += canvas.text * 1.3;
            canvas.write((self.right, row + canvas.text * 1.25), Anchor::End, &unit, false);
        }
    }

    fn zone(&self, canvas: &mut Canvas, zone: AllowedZone) {
        let end =
            |value: Option<f64>, open: f64| value.filter(|value| sane(*value)).map_or(open, |v| self.y.at(v));
        let (high, low) = (end(zone.high, self.top), end(zone.low, self.foot));
        canvas
            .fill(&[(self.left, high), (self.right, high), (self.right, low), (self.left, low)], Role::Tint);
        for at in [zone.high.map(|_| high), zone.low.map(|_| low)].into_iter().flatten() {
            canvas.line(
                (self.left, at),
                (self.right, at),
                Stroke { role: Role::Line, width: 2.0, dash: None },
            );
        }
    }

    fn moment(&self, canvas: &mut Canvas, moment: &Moment, dash: Option<&'static str>) {
        let at = self.x.at(moment.time);
        let top = self.top - canvas.text * 0.4;
        canvas.line((at, self.foot), (at, top), Stroke { role: Role::Act, width: 4.0, dash });
        let label = canvas.said(&moment.label);
        let before = at + 8.0 + canvas.measure(&label) > canvas.width;
        let (x, anchor) = if before { (at - 8.0, Anchor::End) } else { (at + 8.0, Anchor::Start) };
        canvas.write((x, top + canvas.text * 0.55), anchor, &label, false);
    }

    /// The band of the half-widths, the line, and the last reading with its bracket.
    fn readings(&self, canvas: &mut Canvas, readings: &[&Reading]) {
        let at = |reading: &Reading, more: f64| (self.x.at(reading.time), self.y.at(reading.value + more));
        let doubted: Vec<(&Reading, f64)> =
            readings.iter().filter_map(|reading| half(reading).map(|half| (*reading, half))).collect();
        if doubted.len() > 2 {
            let over = doubted.iter().map(|(reading, half)| at(reading, *half));
            let under = doubted.iter().rev().map(|(reading, half)| at(reading, -half));
            canvas.hatch(&over.chain(under).collect::<Vec<_>>(), true);
        }
        let line: Vec<(f64, f64)> = readings.iter().map(|reading| at(reading, 0.0)).collect();
        canvas.path(&line, false, Stroke::DATA);
        let ends = [readings.first(), readings.last()];
        for reading in ends.into_iter().flatten().skip(usize::from(doubted.len() > 2)) {
            if let Some(half) = half(reading) {
                canvas.bracket(at(reading, 0.0).0, at(reading, half).1, at(reading, -half).1);
            }
        }
        if let Some(last) = line.last() {
            canvas.dot(*last, 7.0);
        }
    }
}

fn half(reading: &Reading) -> Option<f64> {
    reading.half_width.filter(|half| sane(*half) && *half > 0.0)
}

/// The readings that can be drawn, in the order of time, and the number of the others.
fn drawable(readings: &[Reading], up: fn(f64) -> bool) -> (Vec<&Reading>, usize) {
    let mut kept: Vec<&Reading> =
        readings.iter().filter(|reading| sane(reading.time) && up(reading.value)).collect();
    kept.sort_by(|a, b| a.time.total_cmp(&b.time));
    let left_out = readings.len() - kept.len();
    (kept, left_out)
}

fn ends(readings: &[&Reading]) -> Vec<f64> {
    let both = |reading: &&Reading| {
        let half = half(reading).unwrap_or(0.0);
        [reading.value - half, reading.value + half]
    };
    readings.iter().flat_map(both).collect()
}

fn zone_ends(zone: Option<AllowedZone>) -> impl Iterator<Item = f64> {
    zone.into_iter().flat_map(|zone| [zone.low, zone.high]).flatten().filter(|value| sane(*value))
}

fn with_room((low, high): (f64, f64)) -> (f64, f64) {
    let room = (high - low) * 0.06;
    (low - room, high + room)
}

pub fn hold(it: &HoldTest, canvas: &mut Canvas, numbers: Numbers) -> Option<usize> {
    let (readings, left_out) = drawable(&it.readings, sane);
    let first = *readings.first()?;
    let looked_for = it.looked_for.as_ref().filter(|line| sane(line.end.x) && sane(line.end.y));
    let answer = it.answer.as_ref().filter(|moment| sane(moment.time));
    let times = readings.iter().map(|reading| reading.time);
    let along =
        range(times.chain(looked_for.map(|line| line.end.x)).chain(answer.map(|moment| moment.time)))?;
    let up =
        ends(&readings).into_iter().chain(looked_for.map(|line| line.end.y)).chain(zone_ends(it.expected));
    let frame = Frame::new(canvas, along, with_room(range(up)?), false, numbers);
    if let Some(zone) = it.expected {
        frame.zone(canvas, zone);
    }
    frame.grid(canvas, &it.time_axis);
    if let Some(line) = looked_for {
        let end = (frame.x.at(line.end.x), frame.y.at(line.end.y));
        canvas.line((frame.x.at(first.time), frame.y.at(first.value)), end, Stroke::DASHED);
        let below = end.1 + canvas.text * 1.3;
        let at = if below < frame.foot - 2.0 { below } else { end.1 - canvas.text * 0.6 };
        let label = canvas.said(&line.label);
        canvas.write((end.0 - 10.0, at), Anchor::End, &label, false);
    }
    frame.readings(canvas, &readings);
    if let Some(zone) = it.expected {
        let label = canvas.say(&Message::new("report-expected-if-tight"));
        let top = zone.high.filter(|value| sane(*value)).map_or(frame.top, |value| frame.y.at(value));
        let x = frame.left + (frame.right - frame.left) * 0.5;
        let y = if top - 6.0 > canvas.text { top - 6.0 } else { top + canvas.text };
        canvas.write((x, y), Anchor::Middle, &label, false);
    }
    if let Some(moment) = answer {
        frame.moment(canvas, moment, None);
    }
    Some(left_out)
}

pub fn rise(it: &RiseTest, canvas: &mut Canvas, numbers: Numbers) -> Option<usize> {
    let (readings, left_out) = drawable(&it.readings, sane_log);
    let target = it.target.as_ref().filter(|(value, _)| sane_log(*value));
    let along = range(readings.iter().map(|reading| reading.time))?;
    let values = readings.iter().map(|reading| reading.value);
    let (low, high) = range(values.chain(target.map(|(value, _)| *value)))?;
    let up = (low / 1.6, high * 1.25);
    let frame = Frame::new(canvas, along, up, true, numbers);
    frame.grid(canvas, &it.time_axis);
    if let Some((value, label)) = target {
        let at = frame.y.at(*value);
        canvas.line((frame.left, at), (frame.right, at), Stroke::DATA);
        let label = canvas.said(label);
        canvas.write(((frame.left + frame.right) / 2.0, at - 7.0), Anchor::Middle, &label, false);
    }
    let mut labels = Vec::new();
    for part in &it.parts {
        let inside = |x: f64, y: f64| sane(x) && sane_log(y) && y >= up.0 && y <= up.1;
        let points = part.line.iter().filter(|point| inside(point.x, point.y));
        let line: Vec<(f64, f64)> = points.map(|point| (frame.x.at(point.x), frame.y.at(point.y))).collect();
        canvas.path(&line, false, Stroke::DASHED);
        let label = canvas.said(&part.label);
        // A part too small to be on the sheet is still named, at the foot.
        let at = line.last().map_or(frame.foot - 6.0, |(_, y)| y + canvas.text * 1.15);
        labels.push((at.min(frame.foot - 6.0), label));
    }
    let drawn: Vec<(f64, f64)> =
        readings.iter().map(|it| (frame.x.at(it.time), frame.y.at(it.value))).collect();
    canvas.path(&drawn, false, Stroke::DATA);
    if let Some(last) = drawn.last() {
        canvas.dot(*last, 7.0);
    }
    for (at, label) in spread(labels, canvas.text * 1.25, frame.foot - 6.0) {
        canvas.write((frame.right - 4.0, at), Anchor::End, &label, false);
    }
    Some(left_out)
}

/// Moves labels apart, upwards from the foot, so that none stands on another.
fn spread(mut labels: Vec<(f64, String)>, gap: f64, foot: f64) -> Vec<(f64, String)> {
    units::sort_small(&mut labels, |a, b| b.0.total_cmp(&a.0));
    let mut free = foot;
    for (at, _) in &mut labels {
        *at = at.min(free);
        free = *at - gap;
    }
    labels
}

pub fn trend(it: &Trend, canvas: &mut Canvas, numbers: Numbers) -> Option<usize> {
    let (readings, left_out) = drawable(&it.readings, sane);
    let settled = it.settled.as_ref().filter(|moment| sane(moment.time));
    let times = readings.iter().map(|reading| reading.time);
    let along = range(times.chain(settled.map(|moment| moment.time)))?;
    let up = range(ends(&readings).into_iter().chain(zone_ends(it.allowed)))?;
    if readings.is_empty() {
        return None;
    }
    let frame = Frame::new(canvas, along, with_room(up), false, numbers);
    if let Some(zone) = it.allowed {
        frame.zone(canvas, zone);
    }
    frame.grid(canvas, &it.time_axis);
    frame.readings(canvas, &readings);
    if let Some(moment) = settled {
        frame.moment(canvas, moment, Some("7 5"));
    }
    Some(left_out)
}
