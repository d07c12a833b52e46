//! The log p-h diagram.

use super::axis::{Axis, Numbers, range, sane, sane_log};
use super::canvas::{Anchor, Canvas, Stroke};
use crate::{Point, PressureEnthalpy};

fn drawable(points: &[Point]) -> Vec<Point> {
    points.iter().copied().filter(|point| sane(point.x) && sane_log(point.y)).collect()
}

pub fn draw(it: &PressureEnthalpy, canvas: &mut Canvas, numbers: Numbers) -> Option<usize> {
    let (bubble, dew) = (drawable(&it.bubble), drawable(&it.dew));
    let cycle: Vec<_> = it.cycle.iter().filter(|point| sane(point.at.x) && sane_log(point.at.y)).collect();
    let all = || bubble.iter().chain(&dew).copied().chain(cycle.iter().map(|point| point.at));
    let left_out = it.bubble.len() + it.dew.len() + it.cycle.len() - all().count();
    let (low, high) = range(all().map(|point| point.y))?;
    let (from, to) = range(all().map(|point| point.x))?;

    let text = canvas.text;
    let top = text * 1.4;
    let foot = top + (canvas.width * 0.52).clamp(130.0, 260.0);
    let y = Axis::log((low / 1.15, high * 1.1), foot, top);
    let label = y.ticks(4, numbers).iter().map(|(_, text)| canvas.measure(text)).fold(0.0, f64::max);
    let left = (label + 10.0).min(canvas.width * 0.4);
    let right = canvas.width - 4.0;
    let room = (to - from) * 0.06;
    let x = Axis::linear((from - room, to + room), left, right);
    for (value, label) in y.ticks(4, numbers) {
        canvas.line((left, y.at(value)), (right, y.at(value)), Stroke::GRID);
        canvas.write((left - 8.0, y.at(value) + text * 0.35), Anchor::End, &label, false);
    }
    for (value, label) in x.ticks(4, numbers) {
        canvas.line((x.at(value), foot), (x.at(value), foot + 5.0), Stroke::GRID);
        canvas.write((x.at(value), foot + 5.0 + text * 1.15), Anchor::Middle, &label, false);
    }
    let at = |point: &Point| (x.at(point.x), y.at(point.y));
    for curve in [&bubble, &dew] {
        canvas.path(&curve.iter().map(at).collect::<Vec<_>>(), false, Stroke::ink(2.0));
    }
    let tops: Vec<(f64, f64)> = [bubble.last(), dew.last()].into_iter().flatten().map(at).collect();
    if let Some((left, right)) = range(tops.iter().map(|point| point.0)) {
        let over = tops.iter().map(|point| point.1).fold(foot, f64::min);
        let name = crate::message::shown(&it.refrigerant);
        canvas.write(((left + right) / 2.0, (over - 6.0).max(text)), Anchor::Middle, &name, false);
    }
    let corners: Vec<(f64, f64)> = cycle.iter().map(|point| at(&point.at)).collect();
    canvas.path(&corners, corners.len() > 2, Stroke::ink(4.0));
    let count = corners.len().max(1) as f64;
    let middle =
        corners.iter().fold((0.0, 0.0), |sum, point| (sum.0 + point.0 / count, sum.1 + point.1 / count));
    for (point, corner) in cycle.iter().zip(&corners) {
        canvas.dot(*corner, 6.0);
        let aside = if corner.0 < middle.0 { -text * 0.75 } else { text * 0.75 };
        let along = if corner.1 <= middle.1 { -text * 0.5 } else { text * 1.25 };
        let number = crate::message::shown(&point.number);
        canvas.write((corner.0 + aside, corner.1 + along), Anchor::Middle, &number, true);
    }
    let (up, across) = (canvas.said(&it.pressure_axis), canvas.said(&it.enthalpy_axis));
    let row = foot + 5.0 + text * 2.5;
    canvas.write((left, row), Anchor::Start, &up, false);
    let fits = left + canvas.measure(&up) + text + canvas.measure(&across) <= right;
    let last = if fits { row } else { row + text * 1.3 };
    canvas.write((right, last), Anchor::End, &across, false);
    canvas.height = last + text * 0.5;
    Some(left_out)
}
