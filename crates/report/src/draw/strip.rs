//! The circuit as a strip from top to bottom: its parts, the valves between them, and the section that is shut in.
//!
//! Nothing rests on colour: a valve that closes is two black triangles, one that nobody tried two open ones, one that leaks by two
//! open ones struck through; the section shut in is a hatched band along the pipe, the leak a ring within a ring.

use super::canvas::{Anchor, Canvas, Role, Stroke};
use crate::{Cell, Column, Message, Row, Strip, StripState};

/// Rows that are drawn at most.
const MOST: usize = 40;
/// Where the pipe stands, px from the left.
const PIPE: f64 = 26.0;
/// Half of a valve, px.
const HALF: f64 = 11.0;

pub fn draw(it: &Strip, canvas: &mut Canvas) -> Option<usize> {
    let drawn = it.rows.len().min(MOST);
    if drawn == 0 {
        return None;
    }
    let text = canvas.text;
    // A valve has its name and, under it, whether it closes.
    let mut middles = Vec::with_capacity(drawn);
    let mut top = 4.0;
    for row in it.rows.iter().take(drawn) {
        let high = if row.word.is_some() { (text * 2.9).max(44.0) } else { (text * 1.9).max(30.0) };
        middles.push(top + high / 2.0);
        top += high;
    }
    canvas.height = top + 6.0;
    let middle = |at: usize| middles.get(at).copied().unwrap_or(0.0);
    let inside: Vec<usize> = (0..drawn).filter(|at| it.rows[*at].enclosed).collect();
    if let (Some(first), Some(last)) = (inside.first(), inside.last()) {
        let (top, foot) = (middle(*first), middle(*last));
        let band = [(PIPE - 18.0, top), (PIPE + 18.0, top), (PIPE + 18.0, foot), (PIPE - 18.0, foot)];
        canvas.hatch(&band, false);
        canvas.path(&band, true, Stroke::ink(2.0));
    }
    canvas.line((PIPE, middle(0)), (PIPE, middle(drawn - 1)), Stroke::DATA);
    for (at, row) in it.rows.iter().take(drawn).enumerate() {
        let y = middle(at);
        match row.state {
            StripState::Part => {
                let block = [
                    (PIPE - 8.0, y - 8.0),
                    (PIPE + 8.0, y - 8.0),
                    (PIPE + 8.0, y + 8.0),
                    (PIPE - 8.0, y + 8.0),
                ];
                canvas.fill(&block, Role::Paper);
                canvas.path(&block, true, Stroke::ink(2.5));
            }
            StripState::Closes | StripState::LeaksBy | StripState::Untried => {
                // Two triangles, tip to tip, along the pipe.
                for side in [-1.0, 1.0] {
                    let shape = [(PIPE, y), (PIPE - HALF, y + side * HALF), (PIPE + HALF, y + side * HALF)];
                    let role = if row.state == StripState::Closes { Role::Ink } else { Role::Paper };
                    canvas.fill(&shape, role);
                    canvas.path(&shape, true, Stroke::ink(2.5));
                }
                if row.state == StripState::LeaksBy {
                    canvas.line((PIPE - 15.0, y + 13.0), (PIPE + 15.0, y - 13.0), Stroke::ink(3.0));
                }
            }
        }
        if row.leak {
            canvas.ring((PIPE, y), 11.0, 3.0);
            canvas.ring((PIPE, y), 5.0, 3.0);
        }
        let bold = row.leak || row.state != StripState::Part;
        let name = canvas.said(&row.name);
        let foot = if row.word.is_some() { y - text * 0.2 } else { y + text * 0.36 };
        aside(canvas, foot, &name, bold);
        if let Some(word) = &row.word {
            let word = canvas.said(word);
            aside(canvas, y + text * 1.0, &word, false);
        }
    }
    Some(it.rows.len() - drawn)
}

/// Writes beside the pipe what finds room there.
fn aside(canvas: &mut Canvas, foot: f64, words: &str, bold: bool) {
    let left = PIPE + 28.0;
    let mut words = words.to_owned();
    while canvas.measure(&words) > canvas.width - left - 4.0 {
        let shorter = words.trim_end_matches('…').trim_end();
        let Some((at, _)) = shorter.char_indices().next_back().filter(|(at, _)| *at > 0) else { return };
        words = format!("{}…", shorter[..at].trim_end());
    }
    canvas.write((left, foot), Anchor::Start, &words, bold);
}

/// The strip as a table: what stands there, whether it closes, whether it is shut in.
pub fn table(it: &Strip) -> (Vec<Column>, Vec<Row>) {
    let columns = vec![
        Column::words(Message::new("report-strip-point")),
        Column::words(Message::new("report-strip-closes")),
        Column::words(Message::new("report-strip-section")),
    ];
    let rows = it
        .rows
        .iter()
        .map(|row| {
            let word = row.word.clone().map_or(Cell::Empty, Cell::Text);
            let section = match (row.leak, row.enclosed) {
                (true, _) => Cell::Text(Message::new("report-block-found").into()),
                (false, true) => Cell::Text(Message::new("report-strip-shut-in").into()),
                (false, false) => Cell::Empty,
            };
            Row::new(vec![Cell::Text(row.name.clone()), word, section])
        })
        .collect();
    (columns, rows)
}
