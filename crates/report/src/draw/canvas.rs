//! The sheet a picture is drawn on, and its strokes.

use super::{Ink, Size};
use crate::Message;
use core::fmt::Write as _;

/// A colour by its role.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    Ink,
    Second,
    Line,
    Paper,
    Tint,
    Act,
}

impl Role {
    /// Returns the colour as SVG writes it.
    pub fn colour(self, ink: Ink) -> &'static str {
        self.paint(ink)
    }

    fn paint(self, ink: Ink) -> &'static str {
        match (ink, self) {
            (Ink::Page, Role::Ink) => "var(--ink,#12150F)",
            (Ink::Page, Role::Second) => "var(--ink2,#262B23)",
            (Ink::Page, Role::Line) => "var(--line,#4A5046)",
            (Ink::Page, Role::Paper) => "var(--paper,#FDFDF8)",
            (Ink::Page, Role::Tint) => "var(--tint,#ECEDE3)",
            (Ink::Page, Role::Act) => "var(--act,#5A1560)",
            (Ink::Paper | Ink::Set, Role::Ink | Role::Second | Role::Act) => "#000",
            (Ink::Paper | Ink::Set, Role::Line) => "#4A5046",
            (Ink::Paper | Ink::Set, Role::Paper) => "#fff",
            (Ink::Paper | Ink::Set, Role::Tint) => "#ECEDE3",
        }
    }
}

/// Where a text stands by its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Stroke {
    pub role: Role,
    pub width: f64,
    pub dash: Option<&'static str>,
}

impl Stroke {
    pub const GRID: Stroke = Stroke { role: Role::Line, width: 1.5, dash: None };
    pub const DATA: Stroke = Stroke { role: Role::Ink, width: 5.0, dash: None };
    pub const DASHED: Stroke = Stroke { role: Role::Ink, width: 3.0, dash: Some("9 6") };

    pub const fn ink(width: f64) -> Stroke {
        Stroke { role: Role::Ink, width, dash: None }
    }
}

/// The families in the order of choice.
pub const FONTS: &str = "B612,'DejaVu Sans',Verdana,system-ui,sans-serif";

/// A sheet.
pub struct Canvas<'a> {
    pub width: f64,
    pub height: f64,
    pub text: f64,
    say: &'a dyn Fn(&Message) -> String,
    ink: Ink,
    id: &'a str,
    body: String,
    hatched: (bool, bool),
}

impl<'a> Canvas<'a> {
    pub fn new(size: &'a Size, say: &'a dyn Fn(&Message) -> String) -> Canvas<'a> {
        let width = if size.width.is_finite() { size.width.clamp(100.0, 4000.0) } else { 340.0 };
        let text = if size.text.is_finite() { size.text.clamp(8.0, 32.0) } else { 16.0 };
        Canvas {
            width,
            height: 0.0,
            text,
            say,
            ink: size.ink,
            id: &size.id,
            body: String::new(),
            hatched: (false, false),
        }
    }

    /// Returns the words of a message.
    pub fn say(&self, message: &Message) -> String {
        crate::message::shown(&(self.say)(message))
    }

    /// Returns the words of a text.
    pub fn said(&self, text: &crate::Text) -> String {
        text.said(self.say)
    }

    /// Returns about how wide a text is, px; wide rather than narrow, so that labels stay on the sheet.
    pub fn measure(&self, text: &str) -> f64 {
        unicode_width::UnicodeWidthStr::width(text) as f64 * self.text * 0.64
    }

    /// Returns the text, its end cut where it is wider than the sheet.
    fn cut(&self, text: &str) -> String {
        if self.measure(text) <= self.width {
            return text.to_owned();
        }
        let mut kept = String::new();
        for c in text.chars() {
            kept.push(c);
            if self.measure(&kept) + self.measure("…") > self.width {
                kept.pop();
                break;
            }
        }
        kept.push('…');
        kept
    }

    /// The factor that thins strokes on paper, where text is smaller too.
    fn thin(&self) -> f64 {
        if self.ink == Ink::Page { 1.0 } else { 0.7 }
    }

    fn stroke(&self, stroke: Stroke) -> String {
        let mut text = format!(
            "stroke=\"{}\" stroke-width=\"{}\"",
            stroke.role.paint(self.ink),
            n(stroke.width * self.thin())
        );
        if let Some(dash) = stroke.dash {
            let _ = write!(text, " stroke-dasharray=\"{dash}\"");
        }
        text
    }

    pub fn line(&mut self, (x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: Stroke) {
        self.path(&[(x1, y1), (x2, y2)], false, stroke);
    }

    /// Draws a line through points.
    pub fn path(&mut self, points: &[(f64, f64)], closed: bool, stroke: Stroke) {
        if points.len() < 2 {
            return;
        }
        let d = d(points, closed);
        let stroke = self.stroke(stroke);
        let _ = write!(self.body, "<path fill=\"none\" stroke-linejoin=\"miter\" {stroke} d=\"{d}\"/>");
    }

    /// Draws lines that do not meet, in one stroke.
    pub fn lines(&mut self, lines: &[[(f64, f64); 2]], stroke: Stroke) {
        if lines.is_empty() {
            return;
        }
        let d: String = lines.iter().map(|line| d(line, false)).collect();
        let stroke = self.stroke(stroke);
        let _ = write!(self.body, "<path fill=\"none\" {stroke} d=\"{d}\"/>");
    }

    /// Fills a shape.
    pub fn fill(&mut self, points: &[(f64, f64)], role: Role) {
        let _ = write!(self.body, "<path fill=\"{}\" d=\"{}\"/>", role.paint(self.ink), d(points, true));
    }

    /// Hatches a shape: upright lines for a band in time, slanting ones for cold months.
    pub fn hatch(&mut self, points: &[(f64, f64)], upright: bool) {
        let name = if upright { "band" } else { "cold" };
        if upright {
            self.hatched.0 = true;
        } else {
            self.hatched.1 = true;
        }
        let _ = write!(self.body, "<path fill=\"url(#{}-{name})\" d=\"{}\"/>", self.id, d(points, true));
    }

    /// Draws the bracket of an interval, upright.
    pub fn bracket(&mut self, x: f64, y1: f64, y2: f64) {
        let (top, foot) = (y1.min(y2), y1.max(y2));
        let half = 7.0;
        for points in
            [[(x, top), (x, foot)], [(x - half, top), (x + half, top)], [(x - half, foot), (x + half, foot)]]
        {
            self.path(&points, false, Stroke::ink(4.0));
        }
    }

    pub fn dot(&mut self, (x, y): (f64, f64), radius: f64) {
        let radius = n(radius * self.thin());
        let _ = write!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{radius}\" fill=\"{}\"/>",
            n(x),
            n(y),
            Role::Ink.paint(self.ink)
        );
    }

    /// Draws a ring with the paper in it.
    pub fn ring(&mut self, (x, y): (f64, f64), radius: f64, width: f64) {
        let (ink, paper) = (Role::Ink.paint(self.ink), Role::Paper.paint(self.ink));
        let _ = write!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{paper}\" stroke=\"{ink}\" stroke-width=\"{}\"/>",
            n(x),
            n(y),
            n(radius),
            n(width)
        );
    }

    /// Writes a text whose foot stands at `y`, moved so that it stays on the sheet.
    pub fn write(&mut self, (x, y): (f64, f64), anchor: Anchor, text: &str, bold: bool) {
        let text = &self.cut(text);
        let wide = self.measure(text);
        let start = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - wide / 2.0,
            Anchor::End => x - wide,
        };
        let moved = start.min(self.width - wide).max(0.0) - start;
        let x = x + moved;
        if self.ink == Ink::Set {
            // The measure is wide, and a letter's foot hangs a little below its line.
            let (left, wide) = (start + moved + wide * 0.03, wide * 0.94);
            let (top, foot) = (y - self.text * 0.86, y + self.text * 0.24);
            self.fill(&[(left, top), (left + wide, top), (left + wide, foot), (left, foot)], Role::Paper);
        }
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let role = if bold { Role::Ink } else { Role::Second };
        let weight = if bold { " font-weight=\"700\"" } else { "" };
        let halo = match self.ink {
            Ink::Set => String::new(),
            Ink::Page | Ink::Paper => format!(
                " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" paint-order=\"stroke\"",
                Role::Paper.paint(self.ink),
                n(self.text * 0.5),
            ),
        };
        let _ = write!(
            self.body,
            "<text x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\"{halo}{weight}>{}</text>",
            n(x),
            n(y),
            role.paint(self.ink),
            escaped(text)
        );
    }

    /// Returns the SVG of a picture whose words stand beside it; readers pass over it.
    pub fn finish_hidden(self) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
             aria-hidden=\"true\">{}</svg>",
            self.body,
            w = n(self.width),
            h = n(self.height),
        )
    }

    /// Returns the SVG.
    pub fn finish(self, title: &str, description: &str) -> String {
        let (id, ink) = (self.id, self.ink);
        let mut defs = String::new();
        if self.hatched.0 {
            let _ = write!(
                defs,
                "<pattern id=\"{id}-band\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M3 0V6\" \
                 stroke=\"{}\" stroke-width=\"2\"/></pattern>",
                Role::Line.paint(ink)
            );
        }
        if self.hatched.1 {
            let _ = write!(
                defs,
                "<pattern id=\"{id}-cold\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\" \
                 patternTransform=\"rotate(45)\"><path d=\"M2 0V8\" stroke=\"{}\" stroke-width=\"4\"/></pattern>",
                Role::Ink.paint(ink)
            );
        }
        if !defs.is_empty() {
            defs = format!("<defs>{defs}</defs>");
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" role=\"img\" \
             aria-labelledby=\"{id}-title {id}-desc\" font-family=\"{FONTS}\" font-size=\"{}\">\
             <title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>{defs}<g>{}</g></svg>",
            n(self.text),
            escaped(title),
            escaped(description),
            self.body,
            w = n(self.width),
            h = n(self.height),
        )
    }
}

fn d(points: &[(f64, f64)], closed: bool) -> String {
    let mut d = String::new();
    for (index, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{} {}", if index == 0 { 'M' } else { 'L' }, n(*x), n(*y));
    }
    if closed {
        d.push('Z');
    }
    d
}

/// Returns a px value with one decimal at most.
pub fn n(value: f64) -> String {
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Returns text that XML and HTML read as text.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}
