//! The circuit in blocks, each shaded by the chance that is left there.
//!
//! Nothing rests on colour: the chance stands in figures, as the density of a hatch, and as the length of a bar; what was
//! looked at has an open corner, what is ruled out a black corner and a frame of dashes, what is next a heavy frame, a
//! find a frame within the frame.

use super::Ink;
use super::canvas::{Anchor, Canvas, Role, Stroke, n};
use crate::{Cell, Circuit, CircuitBlock, Column, Message, Row, Text};
use core::fmt::Write as _;

/// Height of the bar at the foot of a block, px.
const BAR: f64 = 7.0;
/// Margin of the line around the cold place, px.
const ROOM: f64 = 8.0;

/// Rows or columns of blocks that are drawn at most.
const MOST: u8 = 8;

/// Returns the distance of the lines of the hatch and their width, px; nothing for a chance under 1 %.
///
/// Five steps that can be told apart in print: under 1 %, to 5 %, to 15 %, to 40 %, above.
const fn density(chance: f64) -> Option<(f64, f64)> {
    if chance < 0.01 {
        None
    } else if chance < 0.05 {
        Some((14.0, 1.2))
    } else if chance < 0.15 {
        Some((9.0, 1.6))
    } else if chance < 0.40 {
        Some((6.5, 2.2))
    } else {
        Some((5.0, 3.2))
    }
}

/// The slanting lines of a hatch within a box: its corner, width and height.
fn slants((x, y): (f64, f64), (wide, high): (f64, f64), apart: f64) -> Vec<[(f64, f64); 2]> {
    let mut out = Vec::new();
    // Upright distance of lines at 45 degrees.
    let step = apart * core::f64::consts::SQRT_2;
    let mut at = step / 2.0;
    while at < wide + high {
        let from = if at <= high { (x, y + at) } else { (x + at - high, y + high) };
        let to = if at <= wide { (x + at, y) } else { (x + wide, y + at - wide) };
        out.push([from, to]);
        at += step;
    }
    out
}

/// Returns the shading of a chance as SVG of this size in px: the same hatch as in the picture of the circuit.
///
/// Empty for a chance under 1 %, for what is no chance, and for a size past 1 to 2000 px.
#[must_use]
pub fn shade(chance: f64, wide: f64, high: f64, ink: Ink) -> String {
    let sane = |px: f64| (1.0..=2000.0).contains(&px);
    let Some((apart, width)) = density(chance).filter(|_| sane(wide) && sane(high) && chance.is_finite())
    else {
        return String::new();
    };
    let mut lines = String::new();
    for [(x1, y1), (x2, y2)] in slants((0.0, 0.0), (wide, high), apart) {
        let _ = write!(lines, "M{} {}L{} {}", n(x1), n(y1), n(x2), n(y2));
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
         aria-hidden=\"true\"><path fill=\"none\" stroke=\"{}\" stroke-width=\"{}\" d=\"{lines}\"/></svg>",
        Role::Line.colour(ink),
        n(width),
        w = n(wide),
        h = n(high),
    )
}

struct Grid {
    wide: f64,
    high: f64,
    gap: (f64, f64),
    top: f64,
    left: f64,
}

impl Grid {
    /// The upper left corner of a block.
    fn corner(&self, (row, column): (u8, u8)) -> (f64, f64) {
        let (row, column) = (f64::from(row), f64::from(column));
        (self.left + column * (self.wide + self.gap.0), self.top + row * (self.high + self.gap.1))
    }

    fn middle(&self, at: (u8, u8)) -> (f64, f64) {
        let (x, y) = self.corner(at);
        (x + self.wide / 2.0, y + self.high / 2.0)
    }
}

pub fn draw(it: &Circuit, canvas: &mut Canvas) -> Option<usize> {
    let drawn: Vec<(usize, &CircuitBlock)> = it
        .blocks
        .iter()
        .enumerate()
        .filter(|(_, block)| block.at.0 < MOST && block.at.1 < MOST && is_chance(block))
        .collect();
    if drawn.is_empty() {
        return None;
    }
    let columns = drawn.iter().map(|(_, block)| block.at.1).max().unwrap_or(0);
    let rows = drawn.iter().map(|(_, block)| block.at.0).max().unwrap_or(0);
    let gap = (canvas.width * 0.06).clamp(14.0, 40.0);
    let left = ROOM + 2.0;
    let wide = (canvas.width - 2.0 * left - gap * f64::from(columns)) / f64::from(columns + 1);
    // Rather letters a little smaller, in the whole picture, than a break in the midst of a word.
    let words: Vec<String> = drawn.iter().map(|(_, block)| canvas.said(&block.name)).collect();
    let longest = words
        .iter()
        .flat_map(|name| name.split_whitespace())
        .map(|word| canvas.measure(word))
        .fold(0.0, f64::max);
    if longest > 0.0 {
        canvas.text *= ((wide - 10.0) / longest).clamp(0.75, 1.0);
    }
    let text = canvas.text;
    let names: Vec<Vec<String>> = words.iter().map(|name| wrapped(canvas, name, wide - 10.0)).collect();
    let lines = names.iter().map(Vec::len).max().unwrap_or(1).min(4) as f64;
    let head = text * (0.35 + 1.15 * lines) + 7.0;
    let high = head + text * 1.9 + BAR + 2.0;
    let grid = Grid { wide, high, gap: (gap, (text * 1.5).max(24.0)), top: 6.0, left };
    let foot = grid.corner((rows, 0)).1 + high;
    let inside: Vec<(f64, f64)> =
        drawn.iter().filter(|(_, block)| block.inside).map(|(_, block)| grid.corner(block.at)).collect();
    canvas.height = foot + ROOM + 4.0;
    room(it, canvas, &grid, &inside);
    for (_, block) in &drawn {
        if let Some(to) = block.to.and_then(|to| drawn.iter().find(|(other, _)| *other == to)) {
            arrow(canvas, &grid, block.at, to.1.at);
        }
        if let Some(to) = block.hangs_on.and_then(|to| drawn.iter().find(|(other, _)| *other == to)) {
            let dots = Stroke { dash: Some("2 5"), ..Stroke::ink(3.0) };
            canvas.line(grid.middle(block.at), grid.middle(to.1.at), dots);
        }
    }
    for ((_, block), name) in drawn.iter().zip(&names) {
        one(canvas, &grid, block, name, head);
    }
    Some(it.blocks.len() - drawn.len())
}

fn is_chance(block: &CircuitBlock) -> bool {
    block.chance.is_none_or(|chance| (0.0..=1.0).contains(&chance))
}

/// The line of dots around what lies in the cold, with its name.
fn room(it: &Circuit, canvas: &mut Canvas, grid: &Grid, inside: &[(f64, f64)]) {
    let ends = |pick: fn(&(f64, f64)) -> f64| {
        let least = inside.iter().map(pick).fold(f64::INFINITY, f64::min);
        let most = inside.iter().map(pick).fold(f64::NEG_INFINITY, f64::max);
        (least, most)
    };
    if inside.is_empty() {
        return;
    }
    let ((left, right), (top, foot)) = (ends(|p| p.0), ends(|p| p.1));
    let (left, top) = (left - ROOM, top - ROOM);
    let (right, foot) = (right + grid.wide + ROOM, foot + grid.high + ROOM);
    let dots = Stroke { dash: Some("2 6"), ..Stroke::ink(2.5) };
    canvas.path(&[(left, top), (right, top), (right, foot), (left, foot)], true, dots);
    if let Some(name) = &it.room {
        let name = canvas.said(name);
        canvas.write((left, foot + canvas.text * 1.1), Anchor::Start, &name, false);
        canvas.height += canvas.text * 1.2;
    }
}

/// An arrow along the flow: straight, or along the row first and then the column.
fn arrow(canvas: &mut Canvas, grid: &Grid, from: (u8, u8), to: (u8, u8)) {
    let ((x1, y1), (x2, y2)) = (grid.middle(from), grid.middle(to));
    let (half, tall) = (grid.wide / 2.0, grid.high / 2.0);
    let towards = |a: f64, b: f64| if b > a { 1.0 } else { -1.0 };
    let mut points = Vec::new();
    if from.0 == to.0 {
        let side = towards(x1, x2);
        points.extend([(x1 + side * half, y1), (x2 - side * half, y2)]);
    } else if from.1 == to.1 {
        let side = towards(y1, y2);
        points.extend([(x1, y1 + side * tall), (x2, y2 - side * tall)]);
    } else {
        points.extend([(x1 + towards(x1, x2) * half, y1), (x2, y1), (x2, y2 - towards(y1, y2) * tall)]);
    }
    canvas.path(&points, false, Stroke::ink(3.0));
    let [before, tip] = [points[points.len() - 2], points[points.len() - 1]];
    let (dx, dy) = (tip.0 - before.0, tip.1 - before.1);
    let (along, across) = if dx.abs() > dy.abs() {
        ((towards(0.0, dx) * 10.0, 0.0), (0.0, 6.0))
    } else {
        ((0.0, towards(0.0, dy) * 10.0), (6.0, 0.0))
    };
    let back = (tip.0 - along.0, tip.1 - along.1);
    canvas.fill(
        &[tip, (back.0 + across.0, back.1 + across.1), (back.0 - across.0, back.1 - across.1)],
        Role::Ink,
    );
}

fn one(canvas: &mut Canvas, grid: &Grid, block: &CircuitBlock, name: &[String], head: f64) {
    let text = canvas.text;
    let (x, y) = grid.corner(block.at);
    let (wide, high) = (grid.wide, grid.high);
    let corners = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)];
    canvas.fill(&corners, Role::Paper);
    let zone = ((x, y + head), (wide, high - head - BAR - 2.0));
    if let Some((apart, width)) = block.chance.and_then(density) {
        canvas.lines(&slants(zone.0, zone.1, apart), Stroke { role: Role::Line, width, dash: None });
    }
    for (line, words) in name.iter().take(4).enumerate() {
        let foot = y + 7.0 + text * (0.95 + 1.15 * line as f64);
        canvas.write((x + wide / 2.0, foot), Anchor::Middle, words, block.next);
    }
    let written = canvas.said(&block.written);
    if !written.is_empty() {
        let (middle, foot) = (x + wide / 2.0, zone.0.1 + zone.1.1 / 2.0 + text * 0.36);
        let half = (canvas.measure(&written) / 2.0 + 3.0).min(wide / 2.0 - 4.0);
        let (top, below) = (foot - text * 0.95, foot + text * 0.3);
        canvas.fill(
            &[(middle - half, top), (middle + half, top), (middle + half, below), (middle - half, below)],
            Role::Paper,
        );
        canvas.write((middle, foot), Anchor::Middle, &written, true);
    }
    if let Some(chance) = block.chance {
        let (top, foot) = (y + high - BAR, y + high);
        let end = x + wide * chance;
        canvas.fill(&[(x, top), (end, top), (end, foot), (x, foot)], Role::Ink);
        canvas.line((x, top), (x + wide, top), Stroke { role: Role::Line, width: 1.5, dash: None });
    }
    let frame = if block.next {
        Stroke { role: Role::Act, width: 7.0, dash: None }
    } else if block.ruled_out {
        Stroke { dash: Some("7 5"), ..Stroke::ink(3.0) }
    } else {
        Stroke::ink(3.0)
    };
    canvas.path(&corners, true, frame);
    if block.found {
        let i = 4.5;
        let within = [
            (x + i, y + i),
            (x + wide - i, y + i),
            (x + wide - i, y + high - BAR - i),
            (x + i, y + high - BAR - i),
        ];
        canvas.path(&within, true, Stroke::ink(2.5));
    }
    if block.ruled_out || block.looked {
        let size = (text * 0.8).min(wide / 5.0);
        let corner = [(x + wide - size, y), (x + wide, y), (x + wide, y + size)];
        canvas.fill(&corner, if block.ruled_out { Role::Ink } else { Role::Paper });
        canvas.path(&corner, true, Stroke::ink(2.5));
    }
}

/// Words in lines no wider than a block; a word too long for one line is broken.
fn wrapped(canvas: &Canvas, words: &str, wide: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if canvas.measure(line) + canvas.measure(word) + canvas.measure(" ") <= wide => {
                line.push(' ');
                line.push_str(word);
            }
            _ => {
                let mut left = String::new();
                for c in word.chars() {
                    left.push(c);
                    // A letter or two over the edge is nearer than a break in the midst of a word.
                    if canvas.measure(&left) > wide + canvas.measure("mm") {
                        left.pop();
                        lines.push(core::mem::take(&mut left));
                        left.push(c);
                    }
                }
                lines.push(left);
            }
        }
    }
    lines
}

pub fn table(it: &Circuit) -> (Vec<Column>, Vec<Row>) {
    let columns = vec![
        Column::words(Message::new("report-place")),
        Column::numbers(Message::new("report-chance-left")),
        Column::words(Message::new("report-looked-at")),
    ];
    let row = |block: &CircuitBlock| {
        let seen = match (block.found, block.ruled_out, block.looked) {
            (true, ..) => Some(Message::new("report-block-found")),
            (_, true, _) => Some(Message::new("report-block-ruled-out")),
            (.., true) => Some(Message::new("report-block-looked")),
            _ => None,
        };
        let seen = seen.map_or(Cell::Empty, |word| Cell::Text(Text::from(word)));
        Row::new(vec![Cell::Text(block.name.clone()), Cell::Text(block.written.clone()), seen])
    };
    (columns, it.blocks.iter().map(row).collect())
}
