//! An interval against its limit, small enough for a row.

use super::Size;
use super::axis::{Axis, sane};
use super::canvas::{Canvas, Role, Stroke};
use crate::{IntervalBar, Message};

/// Returns the bar as SVG: a thin axis, the allowed zone, the limit as a tall stroke, the interval with upright ends
/// and a ring at the best value. Absent when the numbers cannot be drawn. The words of the limit stand beside it, and
/// describe it: the SVG itself is hidden from readers.
#[must_use]
pub fn interval_bar(bar: &IntervalBar, say: &dyn Fn(&Message) -> String, size: &Size) -> Option<String> {
    let half = bar.half_width.abs();
    let (low, high) = (bar.best - half, bar.best + half);
    let limits = [bar.allowed.low, bar.allowed.high, bar.reference].into_iter().flatten();
    let limits: Vec<f64> = limits.filter(|limit| sane(*limit)).collect();
    if ![bar.best, low, high].into_iter().all(sane) {
        return None;
    }
    let ends = limits.iter().copied().chain([low, high]);
    let (from, to) = super::axis::widened(super::axis::range(ends)?);
    let span = to - from;
    let mut canvas = Canvas::new(size, say);
    let (width, big) = (canvas.width, size.text >= 14.0);
    let (height, limit_width, end_width) = if big { (32.0, 5.0, 3.5) } else { (19.0, 3.0, 2.0) };
    canvas.height = height;
    let middle = height / 2.0;
    let axis = Axis::linear((from - span, to + span), 0.0, width);
    canvas.line((0.0, middle), (width, middle), Stroke { role: Role::Line, width: 2.0, dash: None });
    let zone = [bar.allowed.low, bar.allowed.high].map(|end| end.filter(|end| sane(*end)));
    if zone.iter().any(Option::is_some) {
        let left = zone[0].map_or(0.0, |low| axis.at(low));
        let right = zone[1].map_or(width, |high| axis.at(high));
        let (top, foot) = (middle - height * 0.34, middle + height * 0.34);
        canvas.fill(&[(left, top), (right, top), (right, foot), (left, foot)], Role::Tint);
        for edge in [top, foot] {
            canvas.line((left, edge), (right, edge), Stroke { role: Role::Line, width: 1.5, dash: None });
        }
    }
    for limit in limits {
        let at = axis.at(limit);
        canvas.line((at, 0.0), (at, height), Stroke::ink(limit_width));
    }
    let (left, right) = (axis.at(low), axis.at(high));
    canvas.line((left, middle), (right, middle), Stroke::ink(height * 0.28));
    for end in [left, right] {
        canvas.line((end, middle - height * 0.36), (end, middle + height * 0.36), Stroke::ink(end_width));
    }
    canvas.ring((axis.at(bar.best), middle), height * 0.2, height * 0.13);
    Some(canvas.finish_hidden())
}
