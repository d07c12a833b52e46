//! Pictures drawn as SVG at the width they are shown at, each with the table of its numbers.

mod axis;
mod bar;
mod canvas;
mod chances;
mod circuit;
mod ledger;
mod over_time;
mod pressure_enthalpy;
mod strip;

pub use bar::interval_bar;
pub(crate) use canvas::escaped;
pub use chances::{Share, cells, shares};
pub use circuit::shade;

use crate::{Cell, Column, Figure, Message, Picture, Row, Table, Text, Value};
use axis::Numbers;
use canvas::Canvas;

/// How a picture is drawn: its true width in px, the height of its text, its colours, and what makes its ids unique.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// Width, px; 100 to 4000 is drawn.
    pub width: f64,
    /// Height of the text, px.
    pub text: f64,
    /// Colours.
    pub ink: Ink,
    /// The beginning of every id in the picture; it differs between the pictures of one page.
    pub id: String,
    /// Whether axes write the decimal mark as a comma.
    pub decimal_comma: bool,
}

/// The colours of a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Those of the page, by its variables, with the sun theme as fallback.
    Page,
    /// Black on white, for paper.
    Paper,
    /// As on paper, a label on a patch instead of in a halo: a typesetter may draw a halo over the letter before it.
    Set,
}

/// A picture drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// The SVG with its title and description, absent where there is nothing to draw.
    pub svg: Option<String>,
    /// What could not be drawn, where something could not.
    pub left_out: Option<Message>,
    /// The numbers of the picture.
    pub table: Table,
}

/// Returns the picture of `figure` as SVG with title and description, and the table of its numbers.
///
/// Values that are not finite, or larger than 1e12, or not above zero on a logarithmic axis, are left out, counted in
/// [`Drawing::left_out`]. Where nothing is left the SVG is absent and the message says so.
#[must_use]
pub fn draw(figure: &Figure, say: &dyn Fn(&Message) -> String, size: &Size) -> Drawing {
    let mut canvas = Canvas::new(size, say);
    let numbers = Numbers { comma: size.decimal_comma };
    let left_out = match &figure.picture {
        Picture::PressureEnthalpy(it) => pressure_enthalpy::draw(it, &mut canvas, numbers),
        Picture::Ledger(it) => ledger::draw(it, &mut canvas, numbers),
        Picture::Hold(it) => over_time::hold(it, &mut canvas, numbers),
        Picture::Rise(it) => over_time::rise(it, &mut canvas, numbers),
        Picture::Trend(it) => over_time::trend(it, &mut canvas, numbers),
        Picture::Circuit(it) => circuit::draw(it, &mut canvas),
        Picture::Strip(it) => strip::draw(it, &mut canvas),
    };
    let title = figure.title.said(say);
    let description = figure.description.said(say);
    let (svg, left_out) = match left_out {
        Some(0) => (Some(canvas.finish(&title, &description)), None),
        Some(count) => {
            let message = Message::new("report-left-out").with("count", count);
            (Some(canvas.finish(&title, &description)), Some(message))
        }
        None => (None, Some(Message::new("report-nothing-to-draw"))),
    };
    Drawing { svg, left_out, table: table(&figure.picture, numbers) }
}

/// Returns the numbers of a picture as a table; what is not a number is an empty cell.
pub(crate) fn table(picture: &Picture, numbers: Numbers) -> Table {
    let word = |message: Message| Column::words(message);
    let column = |text: &Text| Column::numbers(text.clone());
    let cell = |value: f64, decimals: usize| match axis::sane(value) {
        true => Cell::Value(Value::as_written(numbers.write(value, decimals))),
        false => Cell::Empty,
    };
    let text = |text: &str| match text.is_empty() {
        true => Cell::Empty,
        false => Cell::Text(Text::verbatim(text)),
    };
    let (columns, rows) = match picture {
        Picture::PressureEnthalpy(it) => {
            let columns = vec![
                word(Message::new("report-point")),
                word(Message::new("report-place")),
                column(&it.pressure_axis),
                column(&it.enthalpy_axis),
            ];
            let of = |get: fn(&crate::CyclePoint) -> f64| axis::decimals(it.cycle.iter().map(get));
            let (up, along) = (of(|point| point.at.y), of(|point| point.at.x));
            let row = |point: &crate::CyclePoint| {
                let place = Cell::Text(point.place.clone());
                Row::new(vec![text(&point.number), place, cell(point.at.y, up), cell(point.at.x, along)])
            };
            (columns, it.cycle.iter().map(row).collect())
        }
        Picture::Ledger(it) => ledger::table(it, &cell, &text),
        Picture::Hold(it) => readings(&it.time_axis, &it.pressure_axis, &it.readings, &cell),
        Picture::Rise(it) => readings(&it.time_axis, &it.pressure_axis, &it.readings, &cell),
        Picture::Trend(it) => readings(&it.time_axis, &it.value_axis, &it.readings, &cell),
        Picture::Circuit(it) => circuit::table(it),
        Picture::Strip(it) => strip::table(it),
    };
    Table { caption: None, columns, rows }
}

/// Returns the mark of a verdict as an SVG of its own, black on white; its word stands beside it.
#[must_use]
pub fn mark(mark: crate::VerdictMark) -> String {
    let all = include_str!("html/marks.svg");
    let name = format!("id=\"v-{}\"", crate::html::class_of(mark));
    let symbol = all.lines().find(|line| line.contains(&name)).unwrap_or_default();
    let body = symbol.split_once('>').map_or("", |(_, rest)| rest).trim_end_matches("</symbol>");
    let body = body.replace("currentColor", "#000").replace("var(--paper)", "#fff");
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 32 32\" width=\"32\" height=\"32\">{body}</svg>"
    )
}

fn readings(
    time: &Text,
    value: &Text,
    readings: &[crate::Reading],
    cell: &dyn Fn(f64, usize) -> Cell,
) -> (Vec<Column>, Vec<Row>) {
    let doubted = readings.iter().any(|reading| reading.half_width.is_some());
    let mut columns = vec![Column::numbers(time.clone()), Column::numbers(value.clone())];
    if doubted {
        columns.push(Column::numbers(Message::new("report-half-width")));
    }
    let along = axis::decimals(readings.iter().map(|reading| reading.time));
    let half = axis::decimals(readings.iter().filter_map(|reading| reading.half_width));
    let up = axis::decimals(readings.iter().map(|reading| reading.value)).max(half);
    let row = |reading: &crate::Reading| {
        let mut cells = vec![cell(reading.time, along), cell(reading.value, up)];
        if doubted {
            cells.push(reading.half_width.map_or(Cell::Empty, |width| cell(width, up)));
        }
        Row::new(cells)
    };
    (columns, readings.iter().map(row).collect())
}
