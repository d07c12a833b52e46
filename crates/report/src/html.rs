//! A document as one HTML file that needs nothing else.

mod behind;
mod words;

use crate::draw::{Ink, Size, escaped, interval_bar};
use crate::{
    Align, Block, Caution, Cell, Document, Figure, Finding, Mark, Message, Now, Number, Section, Signature,
    Table, Text, VerdictMark,
};
use core::fmt::Write as _;
use words::{base64, css_string, marked_up};

/// The letters that every page carries, by weight, as WOFF2: B612, SIL Open Font License 1.1.
pub const FONTS: [(u16, &[u8]); 2] =
    [(400, include_bytes!("html/fonts/b612-400.woff2")), (700, include_bytes!("html/fonts/b612-700.woff2"))];

/// The widths at which a picture is drawn, px, each with its text: a small phone, a phone, a wide screen, paper.
const WIDTHS: [(&str, f64, f64, Ink); 4] = [
    ("at-288", 288.0, 16.0, Ink::Page),
    ("at-350", 350.0, 18.0, Ink::Page),
    ("at-500", 500.0, 16.0, Ink::Page),
    ("at-paper", 328.0, 12.0, Ink::Paper),
];

/// The widths at which a bar in a row is drawn, px.
const BARS: [(&str, f64, f64); 3] =
    [("bar-280", 280.0, 16.0), ("bar-340", 340.0, 16.0), ("bar-wide", 112.0, 12.0)];

/// Returns the document as one HTML file: no script, nothing loaded from elsewhere, two themes by the system's
/// choice, a print style for A4.
///
/// Everything a person typed is escaped, and the file forbids scripts and loading by its own policy besides.
#[must_use]
pub fn to_html(document: &Document, say: &dyn Fn(&Message) -> String) -> String {
    let mut page =
        Page { out: String::new(), say, ids: 0, comma: document.decimal_comma, numbers: Vec::new() };
    page.document(document);
    page.out
}

struct Page<'a> {
    out: String,
    say: &'a dyn Fn(&Message) -> String,
    ids: usize,
    comma: bool,
    /// The numbers that open, in the order of the page, for the list on paper.
    numbers: Vec<Number>,
}

impl Page<'_> {
    /// The words of a text as HTML.
    fn said(&self, text: &Text) -> String {
        marked_up(&text.said(self.say))
    }

    fn word(&self, message: Message) -> String {
        self.said(&Text::Message(message))
    }

    fn put(&mut self, html: &str) {
        self.out.push_str(html);
    }

    fn id(&mut self) -> String {
        self.ids += 1;
        format!("g{}", self.ids)
    }

    fn document(&mut self, document: &Document) {
        let mark = match document.mark {
            Mark::Demo => Text::Message(Message::new("report-mark-demo")),
            Mark::Real => Text::Message(Message::new("report-mark-real")),
            Mark::Answer => Text::Message(Message::new("report-mark-answer")),
        };
        let law = Text::Message(Message::new("report-not-legal-advice"));
        let foot = format!("{} {}", mark.said(self.say), law.said(self.say));
        let (title, subtitle) =
            (self.said(&document.title), document.subtitle.as_ref().map(|text| self.said(text)));
        let plain_title = escaped(&document.title.said(self.say));
        let language = language_tag(&document.language);
        let _ = write!(
            self.out,
            "<!doctype html>\n<html lang=\"{language}\">\n<head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
             font-src data:\"><meta name=\"color-scheme\" content=\"light dark\"><title>{plain_title}</title>\n\
             <!-- B612: Copyright 2012 The B612 Project Authors, SIL Open Font License 1.1. -->\n<style>\n"
        );
        for (weight, font) in FONTS {
            let font = base64(font);
            let _ = writeln!(
                self.out,
                "@font-face{{font-family:\"B612\";font-weight:{weight};src:url(data:font/woff2;base64,{font}) \
                 format(\"woff2\")}}"
            );
        }
        self.put(include_str!("html/style.css"));
        let _ = writeln!(
            self.out,
            "@page{{@bottom-left{{content:{};font:8pt \"B612\",\"DejaVu Sans\",sans-serif}}@bottom-right{{content:\
             counter(page);font:8pt \"B612\",\"DejaVu Sans\",sans-serif}}}}",
            css_string(&foot)
        );
        self.put("</style></head>\n<body>\n");
        self.put(include_str!("html/marks.svg"));
        let _ = write!(self.out, "<header><div><h1>{title}</h1>");
        if let Some(subtitle) = subtitle {
            let _ = write!(self.out, "<p class=\"soft\">{subtitle}</p>");
        }
        self.put("</div>");
        if !document.details.is_empty() {
            self.put("<div class=\"details soft\">");
            for line in &document.details {
                let _ = write!(self.out, "<p>{}</p>", self.said(line));
            }
            self.put("</div>");
        }
        self.put("</header>\n<main>\n");
        if let Some(now) = &document.now {
            self.now(now);
        }
        self.put("<div class=\"sections\">\n");
        for section in &document.sections {
            self.section(section);
        }
        self.put("</div>\n");
        self.methods(&document.methods);
        let foot = marked_up(&foot);
        let _ = write!(self.out, "</main>\n<footer><p>{foot}</p></footer>\n</body></html>\n");
    }

    fn now(&mut self, now: &Now) {
        let id = self.id();
        let sentence = self.said(&now.sentence);
        let mut head = format!("<h2 id=\"{id}\">{sentence}</h2>");
        if let Some(why) = &now.why {
            let _ = write!(head, "<span class=\"why\">{}</span>", self.said(why));
        }
        head.push_str("<span class=\"large\"></span>");
        let _ = write!(self.out, "<section class=\"now\" aria-labelledby=\"{id}\">");
        if now.numbers.is_empty() {
            self.put(&head);
        } else {
            let _ = write!(self.out, "<details><summary>{head}</summary>");
            self.numbers(&now.numbers);
            self.put("</details>");
        }
        self.put("</section>\n");
    }

    fn section(&mut self, section: &Section) {
        let class = if section.beside { " class=\"beside\"" } else { "" };
        let _ = writeln!(self.out, "<section{class}><h2>{}</h2>", self.said(&section.heading));
        for block in &section.blocks {
            self.block(block, Some(&section.heading));
        }
        self.put("</section>\n");
    }

    /// What belongs to no single number, and on paper every number that opens.
    fn methods(&mut self, blocks: &[Block]) {
        if blocks.is_empty() && self.numbers.is_empty() {
            return;
        }
        let class = if blocks.is_empty() { "methods paper" } else { "methods" };
        let heading = self.word(Message::new("report-inputs-methods-sources"));
        let _ = writeln!(self.out, "<section class=\"{class}\"><h2>{heading}</h2>");
        for block in blocks {
            self.block(block, None);
        }
        self.list_on_paper();
        self.put("</section>\n");
    }

    fn block(&mut self, block: &Block, heading: Option<&Text>) {
        match block {
            Block::Paragraph(text) => {
                let _ = writeln!(self.out, "<p>{}</p>", self.said(text));
            }
            Block::Caution(caution) => self.caution(caution),
            Block::Findings(findings) => {
                self.put("<ul class=\"rows findings\">\n");
                findings.iter().for_each(|finding| self.finding(finding));
                self.put("</ul>\n");
            }
            Block::Numbers(numbers) => self.numbers(numbers),
            Block::Table(table) => self.table(table),
            Block::List(list) => {
                let tag = if list.ordered { "ol" } else { "ul" };
                let _ = write!(self.out, "<{tag} class=\"list\">");
                for item in &list.items {
                    let _ = write!(self.out, "<li>{}</li>", self.said(item));
                }
                let _ = writeln!(self.out, "</{tag}>");
            }
            Block::Figure(figure) => self.figure(figure, heading),
            Block::Chances(chances) => {
                self.put("<ul class=\"chances\">\n");
                for share in crate::shares(chances) {
                    let (name, written) = (self.said(&share.name), escaped(&share.written(self.say)));
                    let cells = both_cells(share.percent);
                    let _ = writeln!(
                        self.out,
                        "<li><span>{name}</span><span class=\"n\">{written}</span>{cells}</li>"
                    );
                }
                self.put("</ul>\n");
            }
            Block::Signatures(signatures) => self.signatures(signatures),
        }
    }

    fn caution(&mut self, caution: &Caution) {
        let (word, first) = (self.word(Message::new("report-caution")), self.said(&caution.first));
        let rest = caution.rest.as_ref().map_or(String::new(), |rest| format!(" {}", self.said(rest)));
        let _ = writeln!(
            self.out,
            "<div class=\"caution\" role=\"note\"><svg viewBox=\"0 0 24 24\" aria-hidden=\"true\">\
             <path d=\"M12 2.5 22.5 21H1.5ZM12 9V14.5M12 16.5V19\"/></svg>\
             <p><span class=\"sr\">{word} </span><b>{first}</b>{rest}</p></div>"
        );
    }

    fn finding(&mut self, finding: &Finding) {
        let word =
            finding.word.as_ref().map_or_else(|| self.word(finding.mark.word()), |word| self.said(word));
        let class = class_of(finding.mark);
        let mut row =
            format!("{}<span class=\"name\">{}</span> ", mark_svg(finding.mark), self.said(&finding.name));
        let number = finding.number.as_ref().map_or(String::new(), |number| match finding.mark {
            // The row says "doubtful" already.
            VerdictMark::Doubtful if number.opened.is_none() => self.plain(number),
            _ => self.tray(number),
        });
        let _ = write!(row, "<span class=\"line\"><span class=\"verdict {class}\">{word}</span> ");
        let _ = write!(row, "<span class=\"number\">{number}</span></span>");
        if let Some(bar) = &finding.bar {
            for (class, width, text) in BARS {
                let size = Size { width, text, ink: Ink::Page, id: String::new(), decimal_comma: self.comma };
                if let Some(svg) = interval_bar(bar, self.say, &size) {
                    let _ = write!(row, " <span class=\"bar {class}\">{svg}</span>");
                }
            }
            let _ = write!(row, " <span class=\"limit\">{}</span>", self.said(&bar.words));
        }
        if let Some(advice) = &finding.advice {
            let _ = write!(row, " <span class=\"advice\">{}</span>", self.said(advice));
        }
        self.put("<li>");
        self.openable(finding.number.as_ref(), "finding", &row);
        self.put("</li>\n");
    }

    /// A row that opens when its number does.
    fn openable(&mut self, number: Option<&Number>, class: &str, row: &str) {
        match number.and_then(|number| number.opened.as_ref().map(|opened| (number, opened))) {
            Some((number, opened)) => {
                let behind = self.behind(opened);
                let _ =
                    write!(self.out, "<details><summary class=\"{class}\">{row}</summary>{behind}</details>");
                self.remember(number);
            }
            None => {
                let _ = write!(self.out, "<div class=\"{class}\">{row}</div>");
            }
        }
    }

    /// Keeps a number that opens for the list on paper, once.
    fn remember(&mut self, number: &Number) {
        if !self.numbers.contains(number) {
            self.numbers.push(number.clone());
        }
    }

    /// A number as written.
    fn plain(&self, number: &Number) -> String {
        value_span("n", &number.value)
    }

    /// A number as written, on its tray.
    fn tray(&self, number: &Number) -> String {
        match number.basis {
            crate::Basis::Known => self.plain(number),
            crate::Basis::Doubtful => {
                let word = self.word(Message::new("report-verdict-doubtful"));
                // The broken tray says it to the eye, where there is a tray.
                let class = if number.opened.is_some() { "sr" } else { "soft" };
                let value = value_span("n d", &number.value);
                format!("<span>{value}<span class=\"{class}\"> ({word})</span></span>")
            }
        }
    }

    fn numbers(&mut self, numbers: &[Number]) {
        self.put("<ul class=\"rows\">\n");
        for number in numbers {
            let row = format!("<span>{}</span> {}", self.said(&number.label), self.tray(number));
            self.put("<li>");
            self.openable(Some(number), "row", &row);
            self.put("</li>\n");
        }
        self.put("</ul>\n");
    }

    fn table(&mut self, table: &Table) {
        // A wide table on a narrow screen becomes rows of heading and cell; the roles keep it a table for readers.
        let stack = table.columns.len() > 3;
        let role = |name: &str| if stack { format!(" role=\"{name}\"") } else { String::new() };
        let (cell_role, row_role) = (role("cell"), role("row"));
        let class = if stack { " class=\"stack\"" } else { "" };
        let _ = write!(self.out, "<table{class}{}>", role("table"));
        if let Some(caption) = &table.caption {
            let _ = write!(self.out, "<caption>{}</caption>", self.said(caption));
        }
        let _ = write!(self.out, "<thead{}><tr{row_role}>", role("rowgroup"));
        for column in &table.columns {
            let heading = self.said(&column.heading);
            let _ = write!(
                self.out,
                "<th scope=\"col\"{}{}>{heading}</th>",
                role("columnheader"),
                align(column.align, false)
            );
        }
        let _ = writeln!(self.out, "</tr></thead><tbody{}>", role("rowgroup"));
        for row in &table.rows {
            let total = if row.total { " class=\"total\"" } else { "" };
            let _ = write!(self.out, "<tr{row_role}{total}>");
            for (at, column) in table.columns.iter().enumerate() {
                let cell = row.cells.get(at).unwrap_or(&Cell::Empty);
                if at == 0 && *cell != Cell::Empty {
                    let align = align(column.align, false);
                    let _ = write!(self.out, "<th scope=\"row\"{}{align}>", role("rowheader"));
                    self.cell(cell);
                    self.put("</th>");
                } else {
                    let align = align(column.align, *cell == Cell::Empty);
                    let heading = escaped(&column.heading.said(self.say));
                    let heading = if stack { format!(" data-h=\"{heading}\"") } else { String::new() };
                    let _ = write!(self.out, "<td{cell_role}{align}{heading}>");
                    self.cell(cell);
                    self.put("</td>");
                }
            }
            self.put("</tr>\n");
        }
        self.put("</tbody></table>\n");
    }

    fn cell(&mut self, cell: &Cell) {
        match cell {
            Cell::Empty => {}
            Cell::Text(text) => {
                let text = self.said(text);
                self.put(&text);
            }
            Cell::Value(value) => {
                let value = value_span("v", value);
                self.put(&value);
            }
            Cell::Number(number) => {
                let tray = self.tray(number);
                match &number.opened {
                    Some(opened) => {
                        let behind = self.behind(opened);
                        let label = self.said(&number.label);
                        let _ = write!(
                            self.out,
                            "<details><summary><span class=\"sr\">{label} </span>{tray}</summary>{behind}</details>"
                        );
                        self.remember(number);
                    }
                    None => self.put(&tray),
                }
            }
            Cell::Verdict(mark) => {
                let word = self.word(mark.word());
                let _ = write!(self.out, "<b class=\"{}\">{}{word}</b>", class_of(*mark), mark_svg(*mark));
            }
        }
    }

    fn figure(&mut self, figure: &Figure, heading: Option<&Text>) {
        let (title, description) = (self.said(&figure.title), self.said(&figure.description));
        let title = if heading == Some(&figure.title) { String::new() } else { format!("<h3>{title}</h3>") };
        let _ = write!(self.out, "<figure><figcaption>{title}<p>{description}</p></figcaption>");
        let mut last = None;
        for (class, width, text, ink) in WIDTHS {
            let size = Size { width, text, ink, id: self.id(), decimal_comma: self.comma };
            let drawing = crate::draw(figure, self.say, &size);
            if let Some(svg) = &drawing.svg {
                let _ = writeln!(self.out, "<div class=\"drawn {class}\">{svg}</div>");
            }
            last = Some(drawing);
        }
        if let Some(drawing) = last {
            if let Some(left_out) = &drawing.left_out {
                let _ = write!(self.out, "<p>{}</p>", self.word(left_out.clone()));
            }
            if drawing.svg.is_some() && !drawing.table.rows.is_empty() {
                let word = self.word(Message::new("report-numbers-of-picture"));
                let _ = write!(self.out, "<details class=\"data\"><summary>{word}</summary>");
                self.table(&drawing.table);
                self.put("</details>");
            }
        }
        self.put("</figure>\n");
    }

    fn signatures(&mut self, signatures: &[Signature]) {
        self.put("<div class=\"signatures\">");
        for signature in signatures {
            let role = self.said(&signature.role);
            let name =
                signature.name.as_ref().map_or(String::new(), |name| format!("<br>{}", self.said(name)));
            let _ = write!(self.out, "<div>{role}{name}</div>");
        }
        self.put("</div>\n");
    }
}

/// A value that stays on one line, unless it is so long that somebody typed more than a value.
fn value_span(class: &str, value: &crate::Value) -> String {
    let line = value.line();
    let long = if line.chars().count() > 28 { " long" } else { "" };
    format!("<span class=\"{class}{long}\">{}</span>", marked_up(&line))
}

/// The language tag, or "und" for what is none.
fn language_tag(language: &str) -> &str {
    let part = |part: &str| (1..=8).contains(&part.len()) && part.chars().all(|c| c.is_ascii_alphanumeric());
    let first = language.split('-').next().is_some_and(|first| matches!(first.len(), 2 | 3));
    if first && language.split('-').all(part) { language } else { "und" }
}

/// Ten cells for the screen and for paper.
fn both_cells(percent: u8) -> String {
    let (screen, paper) = (crate::cells(percent, 200.0, Ink::Page), crate::cells(percent, 110.0, Ink::Paper));
    let class = |svg: &str, class: &str| svg.replacen("<svg", &format!("<svg class=\"{class}\""), 1);
    class(&screen, "cells-screen") + &class(&paper, "cells-paper")
}

fn align(align: Align, empty: bool) -> &'static str {
    match (align, empty) {
        (Align::Start, false) => "",
        (Align::Start, true) => " class=\"none\"",
        (Align::End, false) => " class=\"e\"",
        (Align::End, true) => " class=\"e none\"",
    }
}

pub(crate) fn class_of(mark: VerdictMark) -> &'static str {
    match mark {
        VerdictMark::Met => "met",
        VerdictMark::Breached => "breached",
        VerdictMark::NotResolved => "not-resolved",
        VerdictMark::Due => "due",
        VerdictMark::Unknown => "unknown",
        VerdictMark::Doubtful => "doubtful",
        VerdictMark::Nothing => "nothing",
    }
}

fn mark_svg(mark: VerdictMark) -> String {
    let class = class_of(mark);
    format!("<svg class=\"mark {class}\" aria-hidden=\"true\"><use href=\"#v-{class}\"/></svg>")
}
