//! Charge against the season.

use super::axis::{Axis, Numbers, decimals, range, sane};
use super::canvas::{Anchor, Canvas, Role, Stroke};
use crate::{Cell, Column, Ledger, LedgerRefill, Message, Row, Text};

pub fn draw(it: &Ledger, canvas: &mut Canvas, numbers: Numbers) -> Option<usize> {
    let start = Some(&it.start).filter(|start| sane(start.day) && sane(start.charge));
    let mut refills: Vec<&LedgerRefill> = it
        .refills
        .iter()
        .filter(|refill| sane(refill.day) && sane(refill.after) && refill.before.is_none_or(sane))
        .collect();
    units::sort_small(&mut refills, |a, b| a.day.total_cmp(&b.day));
    let end = it.end.as_ref().filter(|end| sane(end.day) && sane(end.low) && sane(end.high));
    let left_out = usize::from(start.is_none())
        + (it.refills.len() - refills.len())
        + usize::from(it.end.is_some() && end.is_none());
    let full = it.full.filter(|full| sane(*full));

    let days = start.map(|start| start.day).into_iter();
    let days = days.chain(refills.iter().map(|refill| refill.day)).chain(end.map(|end| end.day));
    let along = range(days)?;
    let charges = start.map(|start| start.charge).into_iter();
    let charges =
        charges.chain(refills.iter().flat_map(|refill| [refill.before, Some(refill.after)]).flatten());
    let charges = charges.chain(end.iter().flat_map(|end| [end.low, end.high])).chain(full);
    let (low, high) = range(charges)?;

    let text = canvas.text;
    let top = text * 0.8;
    let foot = top + (canvas.width * 0.42).clamp(120.0, 200.0);
    let room = (high - low) * 0.08;
    // Room below the lowest tooth for what was added.
    let y = Axis::linear((low - room, high + room), foot - text * 1.4, top);
    let label = y.ticks(4, numbers).iter().map(|(_, text)| canvas.measure(text)).fold(0.0, f64::max);
    let left = (label + 10.0).min(canvas.width * 0.4);
    let right = canvas.width - 10.0;
    let x = Axis::linear(along, left, right);
    for (value, label) in y.ticks(4, numbers) {
        canvas.line((left, y.at(value)), (right, y.at(value)), Stroke::GRID);
        canvas.write((left - 8.0, y.at(value) + text * 0.35), Anchor::End, &label, false);
    }
    if let Some(full) = full {
        canvas.line((left, y.at(full)), (right, y.at(full)), Stroke::DASHED);
    }

    // The saw-tooth; where nobody knows what was added, the line breaks off.
    let mut line: Vec<(f64, f64)> =
        start.map(|start| (x.at(start.day), y.at(start.charge))).into_iter().collect();
    let mut labels = Vec::new();
    for refill in &refills {
        let (at, after) = (x.at(refill.day), y.at(refill.after));
        match refill.before {
            Some(before) => {
                line.push((at, y.at(before)));
                line.push((at, after));
                labels.push((at, y.at(before.min(refill.after)) + text * 1.2, &refill.added));
            }
            None => {
                canvas.path(&line, false, Stroke::DATA);
                let dash = Some("3 5");
                canvas.line((at, after), (at, y.at(low)), Stroke { role: Role::Ink, width: 3.0, dash });
                line = vec![(at, after)];
                labels.push((at, y.at(low) + text * 1.2, &refill.added));
            }
        }
    }
    canvas.path(&line, false, Stroke::DATA);
    if let (Some(end), Some(last)) = (end, line.last()) {
        let at = x.at(end.day);
        let (over, under) = (y.at(end.high), y.at(end.low));
        canvas.hatch(&[*last, (at, over), (at, under)], true);
        canvas.line(*last, (at, (over + under) / 2.0), Stroke { dash: Some("5 5"), ..Stroke::DASHED });
        canvas.bracket(at, over, under);
    } else if line.len() == 1
        && let Some(only) = line.last()
    {
        canvas.dot(*only, 7.0);
    }
    let mut free: Vec<(f64, f64)> = Vec::new();
    for (at, foot, added) in labels {
        let added = crate::message::shown(added);
        let start = (at - canvas.measure(&added) - 4.0).max(0.0);
        let taken = free.iter().any(|(end, row)| *end + 4.0 > start && (row - foot).abs() < text * 1.1);
        let foot = if taken { foot + text * 1.15 } else { foot };
        canvas.write((at - 4.0, foot), Anchor::End, &added, true);
        free.push((at, foot));
    }

    season(it, canvas, (x, along), (left, right), foot + text * 0.5);
    Some(left_out)
}

/// The strip below: cold months hatched, the others open, and the days that have a name.
fn season(
    it: &Ledger,
    canvas: &mut Canvas,
    (x, along): (Axis, (f64, f64)),
    (left, right): (f64, f64),
    top: f64,
) {
    let text = canvas.text;
    let foot = top + 14.0;
    let mut row = foot + text * 1.25;
    let mut cold: Vec<(f64, f64)> = it
        .cold
        .iter()
        .filter(|span| sane(span.from) && sane(span.until) && span.until >= along.0 && span.from <= along.1)
        .map(|span| (x.at(span.from), x.at(span.until)))
        .collect();
    units::sort_small(&mut cold, |a, b| a.0.total_cmp(&b.0));
    if !cold.is_empty() {
        let mut warm_from = left;
        let (mut cold_named, mut warm_named) = (false, false);
        let words = [
            canvas.say(&Message::new("report-season-cold")),
            canvas.say(&Message::new("report-season-warm")),
        ];
        let mut used = f64::MIN;
        for (from, until) in cold.iter().copied().chain([(right, right)]) {
            let warm = from - warm_from;
            if warm > 4.0 && !warm_named && canvas.measure(&words[1]) <= warm && warm_from + 2.0 >= used {
                canvas.write((warm_from + 2.0, row), Anchor::Start, &words[1], false);
                used = warm_from + canvas.measure(&words[1]) + text * 0.6;
                warm_named = true;
            }
            if until > from {
                canvas.hatch(&[(from, top), (until, top), (until, foot), (from, foot)], false);
                let edge = [(from, top), (until, top), (until, foot), (from, foot)];
                canvas.path(&edge, true, Stroke::ink(2.0));
                if !cold_named && from >= used {
                    canvas.write((from, row), Anchor::Start, &words[0], false);
                    used = from + canvas.measure(&words[0]) + text * 0.6;
                    cold_named = true;
                }
            }
            warm_from = warm_from.max(until);
        }
        canvas.path(&[(left, top), (right, top), (right, foot), (left, foot)], true, Stroke::ink(2.0));
        row += text * 1.3;
    }
    let mut used = f64::MIN;
    for (day, name) in it.dates.iter().filter(|(day, _)| sane(*day) && *day >= along.0 && *day <= along.1) {
        let name = crate::message::shown(name);
        let at = x.at(*day);
        if at < used {
            continue;
        }
        canvas.line((at, foot), (at, foot + 6.0), Stroke::ink(2.0));
        canvas.write((at, row), Anchor::Start, &name, false);
        used = at + canvas.measure(&name) + text * 0.6;
    }
    canvas.height = if used > f64::MIN { row + text * 0.5 } else { row - text * 0.8 };
}

pub fn table(
    it: &Ledger,
    cell: &dyn Fn(f64, usize) -> Cell,
    text: &dyn Fn(&str) -> Cell,
) -> (Vec<Column>, Vec<Row>) {
    let unit = crate::message::shown(&it.unit);
    let columns = vec![
        Column::words(Message::new("report-date")),
        Column::numbers(Message::new("report-charge-before").with("unit", &unit)),
        Column::numbers(Message::new("report-charge-added").with("unit", &unit)),
        Column::numbers(Message::new("report-charge-after").with("unit", &unit)),
    ];
    let known = it.refills.iter().flat_map(|refill| [refill.before, Some(refill.after)]).flatten();
    let digits = decimals(known.chain([it.start.charge]));
    let mut rows =
        vec![Row::new(vec![text(&it.start.date), Cell::Empty, Cell::Empty, cell(it.start.charge, digits)])];
    for refill in &it.refills {
        let before = match refill.before {
            Some(before) => cell(before, digits),
            None => Cell::Text(Text::Message(Message::new("report-verdict-unknown"))),
        };
        rows.push(Row::new(vec![
            text(&refill.date),
            before,
            text(&refill.added),
            cell(refill.after, digits),
        ]));
    }
    if let Some(end) = &it.end {
        rows.push(Row::new(vec![text(&end.date), text(&end.written)]));
    }
    (columns, rows)
}
