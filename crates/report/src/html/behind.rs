//! What stands behind a number.

use super::words::marked_up;
use super::{Page, value_span};
use crate::draw::Ink;
use crate::{Message, Opened, Text};
use core::fmt::Write as _;

impl Page<'_> {
    /// The block that opens under a number.
    pub(super) fn behind(&self, opened: &Opened) -> String {
        let heading = |message: Message| format!("<dt>{}</dt><dd>", self.word(message));
        let mut out = String::from("<dl class=\"behind\">");
        if !opened.inputs.is_empty() {
            out.push_str(&heading(Message::new("report-from-what")));
            out.push_str("<ul>");
            for input in &opened.inputs {
                let (name, value) = (self.said(&input.name), value_span("n", &input.value));
                let _ = write!(out, "<li><span>{name}</span> <span>{value}");
                if let Some(origin) = &input.origin {
                    let _ = write!(out, " <span class=\"soft\">{}</span>", self.said(origin));
                }
                out.push_str("</span></li>");
            }
            out.push_str("</ul></dd>");
        }
        let _ = write!(out, "{}{}</dd>", heading(Message::new("report-how")), self.said(&opened.method));
        if !opened.doubts.is_empty() {
            out.push_str(&heading(Message::new("report-doubt")));
            out.push_str("<ul class=\"chances\">");
            for doubt in &opened.doubts {
                let (cause, percent) = (self.said(&doubt.cause), doubt.percent.min(100));
                let cells = crate::cells(percent, 200.0, Ink::Page);
                let _ = write!(
                    out,
                    "<li><span>{cause}</span> <span class=\"n\">{percent}\u{a0}%</span>{cells}</li>"
                );
            }
            out.push_str("</ul></dd>");
        }
        let _ =
            write!(out, "{}{}</dd></dl>", heading(Message::new("report-source")), self.said(&opened.source));
        out
    }

    /// The list of every number that opens, on paper, where nothing can be opened.
    pub(super) fn list_on_paper(&mut self) {
        let numbers = core::mem::take(&mut self.numbers);
        if numbers.is_empty() {
            return;
        }
        self.put("<div class=\"paper\"><table><thead><tr>");
        for message in [
            Message::new("report-number"),
            Message::new("report-from-what"),
            Message::new("report-how"),
            Message::new("report-doubt"),
        ] {
            let heading = self.word(message);
            let _ = write!(self.out, "<th scope=\"col\">{heading}</th>");
        }
        self.put("</tr></thead><tbody>\n");
        for number in &numbers {
            let Some(opened) = &number.opened else { continue };
            let (label, value) = (self.said(&number.label), marked_up(&number.value.line()));
            let _ = write!(
                self.out,
                "<tr><th scope=\"row\">{label}<br><span class=\"n\">{value}</span></th><td>"
            );
            for (index, input) in opened.inputs.iter().enumerate() {
                let between = if index == 0 { "" } else { "<br>" };
                let origin = |origin: &Text| format!(" ({})", self.said(origin));
                let origin = input.origin.as_ref().map_or(String::new(), origin);
                let (name, value) = (self.said(&input.name), marked_up(&input.value.line()));
                let _ = write!(self.out, "{between}{name}: {value}{origin}");
            }
            let (how, source) = (self.said(&opened.method), self.said(&opened.source));
            let word = self.word(Message::new("report-source"));
            let _ = write!(self.out, "</td><td>{how}<br>{word}: {source}</td><td>");
            for (index, doubt) in opened.doubts.iter().enumerate() {
                let between = if index == 0 { "" } else { "<br>" };
                let _ = write!(
                    self.out,
                    "{between}{}\u{a0}% {}",
                    doubt.percent.min(100),
                    self.said(&doubt.cause)
                );
            }
            self.put("</td></tr>\n");
        }
        self.put("</tbody></table></div>\n");
    }
}
