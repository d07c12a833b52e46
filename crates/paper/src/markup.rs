//! A document in the typesetter's language: calls of the functions in `paper.typ` with quoted strings.

use core::fmt::Write as _;
use report::{
    Align, Basis, Block, Cell, Document, Figure, Finding, Ink, Mark, Message, Number, Section, Size, Table,
    Text, VerdictMark,
};

/// The size of the sheets.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sheet {
    /// 8 1/2 by 11 inches.
    #[default]
    Letter,
    /// 210 by 297 millimetres (ISO 216).
    A4,
}

impl Sheet {
    /// The names of the sizes, as a command takes them.
    pub const NAMES: [&'static str; 2] = ["letter", "a4"];

    /// Returns the size of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Sheet> {
        match name {
            "letter" => Some(Sheet::Letter),
            "a4" => Some(Sheet::A4),
            _ => None,
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Sheet::Letter => "us-letter",
            Sheet::A4 => "a4",
        }
    }
}

/// The width of a picture beside another, px of its drawing.
const HALF: f64 = 328.0;
/// The width of a picture that stands alone, px of its drawing.
const ALONE: f64 = 430.0;
/// A px of a drawing on paper, pt (CSS: 96 px an inch).
const PX: f64 = 0.75;

/// Returns the document in the typesetter's language, whole: it loads nothing.
#[must_use]
pub fn markup(document: &Document, say: &dyn Fn(&Message) -> String, sheet: Sheet) -> String {
    let mut page =
        Page { out: include_str!("paper.typ").to_owned(), say, numbers: Vec::new(), document, beside: false };
    page.whole(sheet);
    page.out
}

struct Page<'a> {
    out: String,
    say: &'a dyn Fn(&Message) -> String,
    /// The numbers that open, in the order of the page, for the list at the end.
    numbers: Vec<Number>,
    document: &'a Document,
    /// Whether what is written stands in half the width.
    beside: bool,
}

/// Returns the words as a string of the typesetter, in which nothing acts.
fn quoted(words: &str) -> String {
    let mut out = String::with_capacity(words.len() + 2);
    out.push('"');
    let mut run = 0;
    for c in words.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' | '\r' | '\t' => out.push(' '),
            c => out.push(c),
        }
        // A word that nobody can break would run over its neighbour.
        run = if c.is_whitespace() || c == '\u{a0}' { 0 } else { run + 1 };
        if run == LONGEST_WORD {
            out.push('\u{200b}');
            run = 0;
        }
    }
    out.push('"');
    out
}

/// The longest word that is left whole; longer ones are typed codes, not language.
const LONGEST_WORD: usize = 26;

impl Page<'_> {
    fn said(&self, text: &Text) -> String {
        quoted(&text.said(self.say))
    }

    fn word(&self, message: Message) -> String {
        self.said(&Text::Message(message))
    }

    fn optional(&self, text: Option<&Text>) -> String {
        text.map_or_else(|| "none".to_owned(), |text| self.said(text))
    }

    fn whole(&mut self, sheet: Sheet) {
        let document = self.document;
        let mark = match document.mark {
            Mark::Demo => Text::Message(Message::new("report-mark-demo")),
            Mark::Real => Text::Message(Message::new("report-mark-real")),
            Mark::Answer => Text::Message(Message::new("report-mark-answer")),
        };
        let law = Text::Message(Message::new("report-not-legal-advice"));
        let foot = quoted(&format!("{} {}", mark.said(self.say), law.said(self.say)));
        let subtitle = document.subtitle.as_ref().map(|text| text.said(self.say));
        let title = document.title.said(self.say);
        let named = match &subtitle {
            Some(subtitle) if !subtitle.is_empty() => format!("{title}, {subtitle}"),
            _ => title.clone(),
        };
        let (language, region) = tag(&document.language);
        let region = region.map_or_else(|| "none".to_owned(), |region| quoted(&region));
        let _ = write!(
            self.out,
            "\n#show: paper.with(title: {}, language: {}, region: {region}, sheet: {}, foot: {foot})\n",
            quoted(&named),
            quoted(&language),
            quoted(sheet.word()),
        );
        let details: Vec<String> = document.details.iter().map(|line| self.said(line)).collect();
        let subtitle = subtitle.map_or_else(|| "none".to_owned(), |text| quoted(&text));
        let _ = writeln!(self.out, "#head({}, {subtitle}, {})", quoted(&title), list(&details));
        if let Some(now) = &document.now {
            let (sentence, why) = (self.said(&now.sentence), self.optional(now.why.as_ref()));
            let _ = writeln!(self.out, "#now({sentence}, {why})");
            self.shown(&now.numbers);
        }
        self.sections(&document.sections);
        self.methods(&document.methods);
    }

    /// Sections one after the other; of those that may stand beside each other two share a line.
    fn sections(&mut self, sections: &[Section]) {
        let mut at = 0;
        while let Some(section) = sections.get(at) {
            match sections.get(at + 1) {
                Some(next) if section.beside && next.beside => {
                    self.beside = true;
                    self.out.push_str("#grid(columns: (1fr, 1fr), column-gutter: 22pt, [\n");
                    self.section(section);
                    self.out.push_str("], [\n");
                    self.section(next);
                    self.out.push_str("])\n");
                    self.beside = false;
                    at += 2;
                }
                _ => {
                    self.section(section);
                    at += 1;
                }
            }
        }
    }

    fn section(&mut self, section: &Section) {
        let _ = writeln!(self.out, "#heading(level: 2, {})", self.said(&section.heading));
        for block in &section.blocks {
            self.block(block, Some(&section.heading));
        }
    }

    fn block(&mut self, block: &Block, heading: Option<&Text>) {
        match block {
            Block::Paragraph(text) => {
                let _ = writeln!(self.out, "#par({})", self.said(text));
            }
            Block::Caution(caution) => {
                let word = self.word(Message::new("report-caution"));
                let (first, rest) = (self.said(&caution.first), self.optional(caution.rest.as_ref()));
                let _ = writeln!(self.out, "#caution({word}, {first}, {rest})");
            }
            Block::Findings(findings) => {
                let rows: Vec<String> = findings.iter().map(|finding| self.finding(finding)).collect();
                // Without a bar in any row its column would only take room.
                let narrow = self.beside || findings.iter().all(|finding| finding.bar.is_none());
                let _ = writeln!(self.out, "#findings({}, {narrow})", list(&rows));
            }
            Block::Numbers(numbers) => self.shown(numbers),
            Block::Table(table) => self.table(table),
            Block::List(items) => {
                let name = if items.ordered { "enum" } else { "list" };
                let said: Vec<String> = items.items.iter().map(|item| self.said(item)).collect();
                if !said.is_empty() {
                    let _ = writeln!(self.out, "#{name}({})", said.join(", "));
                }
            }
            Block::Figure(figure) => self.figure(figure, heading),
            Block::Chances(chances) => {
                let rows: Vec<String> = report::shares(chances)
                    .iter()
                    .map(|share| {
                        let cells = report::cells(share.percent, 110.0, Ink::Set);
                        let (name, written) = (self.said(&share.name), quoted(&share.written(self.say)));
                        list(&[name, quoted_svg(&cells), written])
                    })
                    .collect();
                let _ = writeln!(self.out, "#chances({})", list(&rows));
            }
            Block::Signatures(signatures) => {
                let names: Vec<String> = signatures
                    .iter()
                    .map(|signature| {
                        let role = self.said(&signature.role);
                        match &signature.name {
                            Some(name) => format!("[#{role} #linebreak() #{}]", self.said(name)),
                            None => role,
                        }
                    })
                    .collect();
                let _ = writeln!(self.out, "#signatures({})", list(&names));
            }
        }
    }

    fn finding(&mut self, finding: &Finding) -> String {
        let word = match &finding.word {
            Some(word) => self.said(word),
            None => self.word(finding.mark.word()),
        };
        let value = match &finding.number {
            Some(number) => {
                self.remember(number);
                match finding.mark {
                    // The row says "doubtful" already.
                    VerdictMark::Doubtful if number.opened.is_none() => quoted(&number.value.line()),
                    _ => self.written(number),
                }
            }
            None => "[]".to_owned(),
        };
        let size = Size {
            width: 112.0,
            text: 12.0,
            ink: Ink::Set,
            id: String::new(),
            decimal_comma: self.document.decimal_comma,
        };
        let bar = finding.bar.as_ref().and_then(|bar| report::interval_bar(bar, self.say, &size));
        list(&[
            quoted_svg(&report::mark(finding.mark)),
            word,
            self.said(&finding.name),
            value,
            bar.map_or_else(|| "none".to_owned(), |svg| quoted_svg(&svg)),
            self.optional(finding.bar.as_ref().map(|bar| &bar.words)),
            self.optional(finding.advice.as_ref()),
        ])
    }

    /// A number as it is written, with the word where it rests on a judgement.
    fn written(&self, number: &Number) -> String {
        let value = number.value.line();
        match number.basis {
            Basis::Known => quoted(&value),
            Basis::Doubtful => {
                let word = Text::Message(Message::new("report-verdict-doubtful")).said(self.say);
                quoted(&format!("{value} ({word})"))
            }
        }
    }

    /// Keeps a number that opens for the list at the end, once.
    fn remember(&mut self, number: &Number) {
        if number.opened.is_some() && !self.numbers.contains(number) {
            self.numbers.push(number.clone());
        }
    }

    fn shown(&mut self, numbers: &[Number]) {
        let mut rows = Vec::new();
        for number in numbers {
            self.remember(number);
            rows.push(list(&[self.said(&number.label), self.written(number)]));
        }
        let _ = writeln!(self.out, "#numbers({})", list(&rows));
    }

    fn table(&mut self, table: &Table) {
        let width = table.columns.len();
        let mut widest = vec![0_usize; width];
        let mut rows = Vec::new();
        for row in &table.rows {
            let mut cells = Vec::new();
            for (at, widest) in widest.iter_mut().enumerate() {
                let (cell, long) = self.cell(row.cells.get(at).unwrap_or(&Cell::Empty));
                *widest = (*widest).max(long);
                cells.push(cell);
            }
            rows.push(list(&[row.total.to_string(), list(&cells)]));
        }
        let columns = self.widths(table, &widest);
        let aligns: Vec<String> = table
            .columns
            .iter()
            .map(|column| match column.align {
                Align::Start => "left".to_owned(),
                Align::End => "right".to_owned(),
            })
            .collect();
        let headings: Vec<String> = table.columns.iter().map(|column| self.said(&column.heading)).collect();
        let _ = writeln!(
            self.out,
            "#told({}, {}, {}, {}, {})",
            list(&columns),
            list(&aligns),
            self.optional(table.caption.as_ref()),
            list(&headings),
            list(&rows),
        );
    }

    /// How wide each column is: what is short as wide as it is, so that a day or a value stays on its line, the rest
    /// by the length of what stands in it.
    fn widths(&self, table: &Table, widest: &[usize]) -> Vec<String> {
        let line: usize = if self.beside { 44 } else { 96 };
        let needed: Vec<usize> = table
            .columns
            .iter()
            .zip(widest)
            .map(|(column, widest)| {
                let heading = column.heading.said(self.say);
                let longest = heading.split(' ').map(|word| word.chars().count()).max().unwrap_or(0);
                (*widest).max(longest)
            })
            .collect();
        let mut whole: Vec<bool> = needed.iter().map(|needed| *needed <= 18).collect();
        // Where the short ones leave too little for the others, the longest of them shares too.
        let least = |whole: &[bool]| -> usize {
            needed.iter().zip(whole).map(|(needed, whole)| if *whole { needed + 2 } else { 14 }).sum()
        };
        while least(&whole) > line {
            let longest =
                (0..whole.len()).filter(|at| whole[*at] && needed[*at] > 12).max_by_key(|at| needed[*at]);
            let Some(longest) = longest else { break };
            whole[longest] = false;
        }
        // A table of short columns alone still fills the width by its first.
        let words = table.columns.first().is_some_and(|column| column.align == Align::Start);
        if let (true, true, Some(first)) = (words, whole.iter().all(|whole| *whole), whole.first_mut()) {
            *first = false;
        }
        let share = |(needed, whole): (&usize, &bool)| match whole {
            true => "auto".to_owned(),
            // Past a few lines more width helps little.
            false => format!("{}fr", needed.clamp(&10, &48)),
        };
        needed.iter().zip(&whole).map(share).collect()
    }

    /// A cell, and how many letters stand in it.
    fn cell(&mut self, cell: &Cell) -> (String, usize) {
        let plain = |words: String| (quoted(&words), words.chars().count());
        match cell {
            Cell::Empty => ("[]".to_owned(), 0),
            Cell::Text(text) => plain(text.said(self.say)),
            Cell::Value(value) => plain(value.line()),
            Cell::Number(number) => {
                self.remember(number);
                let written = self.written(number);
                let long = written.chars().count();
                (written, long)
            }
            Cell::Verdict(mark) => {
                let word = Text::Message(mark.word()).said(self.say);
                let long = word.chars().count() + 3;
                (format!("verdict({}, {})", quoted_svg(&report::mark(*mark)), quoted(&word)), long)
            }
        }
    }

    fn figure(&mut self, figure: &Figure, heading: Option<&Text>) {
        let wide = if self.beside { HALF } else { ALONE };
        let size = Size {
            width: wide,
            text: 12.0,
            ink: Ink::Set,
            // The typesetter reads each picture for itself: ids of one do not meet those of another.
            id: "picture".to_owned(),
            decimal_comma: self.document.decimal_comma,
        };
        let drawing = report::draw(figure, self.say, &size);
        let title = if heading == Some(&figure.title) { "none".to_owned() } else { self.said(&figure.title) };
        let alt = format!("{}. {}", figure.title.said(self.say), figure.description.said(self.say));
        let left_out =
            drawing.left_out.clone().map_or_else(|| "none".to_owned(), |message| self.word(message));
        let _ = writeln!(
            self.out,
            "#picture({title}, {}, {}, {}, {}pt, {left_out})",
            self.said(&figure.description),
            drawing.svg.as_deref().map_or_else(|| "none".to_owned(), quoted_svg),
            quoted(&alt),
            wide * PX,
        );
    }

    /// What belongs to no single number, and every number that opens, on a page of its own.
    fn methods(&mut self, blocks: &[Block]) {
        if blocks.is_empty() && self.numbers.is_empty() {
            return;
        }
        let few = self.numbers.is_empty() && blocks.iter().all(|block| matches!(block, Block::Paragraph(_)));
        if !few {
            self.out.push_str("#pagebreak(weak: true)\n");
        }
        let _ = writeln!(
            self.out,
            "#heading(level: 2, {})",
            self.word(Message::new("report-inputs-methods-sources"))
        );
        for block in blocks {
            self.block(block, None);
        }
        let numbers = core::mem::take(&mut self.numbers);
        let mut rows = Vec::new();
        for number in &numbers {
            let Some(opened) = &number.opened else { continue };
            let line = |parts: Vec<String>| format!("[{}]", parts.join(" #linebreak() "));
            let name = line(vec![
                format!("#{}", self.said(&number.label)),
                format!("#{}", quoted(&number.value.line())),
            ]);
            let inputs = opened.inputs.iter().map(|input| {
                let (name, value) = (input.name.said(self.say), input.value.line());
                let origin = input.origin.as_ref().map(|origin| format!(" ({})", origin.said(self.say)));
                format!("#{}", quoted(&format!("{name}: {value}{}", origin.unwrap_or_default())))
            });
            let source = Text::Message(Message::new("report-source")).said(self.say);
            let how = line(vec![
                format!("#{}", self.said(&opened.method)),
                format!("#{}", quoted(&format!("{source}: {}", opened.source.said(self.say)))),
            ]);
            let doubts = opened.doubts.iter().map(|doubt| {
                let (percent, cause) = (doubt.percent.min(100), doubt.cause.said(self.say));
                format!("#{}", quoted(&format!("{percent}\u{a0}% {cause}")))
            });
            rows.push(list(&[
                "false".to_owned(),
                list(&[name, line(inputs.collect()), how, line(doubts.collect())]),
            ]));
        }
        if rows.is_empty() {
            return;
        }
        let headings = [
            self.word(Message::new("report-number")),
            self.word(Message::new("report-from-what")),
            self.word(Message::new("report-how")),
            self.word(Message::new("report-doubt")),
        ];
        let _ = writeln!(
            self.out,
            "#[#set text(8pt)\n#told((19fr, 34fr, 28fr, 20fr), (left,) * 4, none, {}, {})]",
            list(&headings),
            list(&rows),
        );
    }
}

/// A list of the typesetter; with one item it keeps its comma.
fn list(items: &[String]) -> String {
    let mut out = String::from("(");
    for item in items {
        out.push_str(item);
        out.push_str(", ");
    }
    out.push(')');
    out
}

/// A picture as a string: its own words are escaped already, and no word in it is too long to stand.
fn quoted_svg(svg: &str) -> String {
    format!("\"{}\"", svg.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', " "))
}

/// The language and region of a tag; what is no language is English, as the words' own fallback is.
fn tag(tag: &str) -> (String, Option<String>) {
    let mut parts = tag.split('-');
    let language = parts.next().unwrap_or_default();
    let good = matches!(language.len(), 2 | 3) && language.chars().all(|c| c.is_ascii_alphabetic());
    if !good {
        return ("en".to_owned(), None);
    }
    let region = parts.find(|part| part.len() == 2 && part.chars().all(|c| c.is_ascii_alphabetic()));
    (language.to_ascii_lowercase(), region.map(str::to_ascii_uppercase))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_typed_cannot_leave_its_string() {
        assert_eq!(quoted("a\"); #read(\"/x\") \\"), "\"a\\\"); #read(\\\"/x\\\") \\\\\"");
        assert_eq!(quoted("two\nlines"), "\"two lines\"");
    }

    #[test]
    fn a_word_without_end_may_break() {
        let long = "x".repeat(60);
        assert_eq!(quoted(&long).matches('\u{200b}').count(), 2);
        assert_eq!(quoted("a word as words are").matches('\u{200b}').count(), 0);
    }

    #[test]
    fn tags_are_read() {
        assert_eq!(tag("fr-CA"), ("fr".to_owned(), Some("CA".to_owned())));
        assert_eq!(tag("en"), ("en".to_owned(), None));
        assert_eq!(tag("\"x"), ("en".to_owned(), None));
    }
}
