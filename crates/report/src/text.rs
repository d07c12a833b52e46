//! A document as plain text.

mod layout;

use crate::{
    Align, Block, Caution, Cell, Document, Figure, Finding, Mark, Message, Now, Number, Opened, Signature,
    Table, Text, VerdictMark,
};
use layout::{Grid, width_of, wrap};

/// How a document is written as text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TextOptions {
    /// The width of a line in columns; at least 24 are used.
    pub width: usize,
    /// Whether what stands behind every number is written under it.
    pub explain: bool,
}

impl Default for TextOptions {
    fn default() -> TextOptions {
        TextOptions { width: 80, explain: false }
    }
}

/// The most rows that a picture's table takes in text.
const PICTURE_ROWS: usize = 12;

/// Returns the document as plain text: no line is wider than asked for, columns line up, marks are words, a picture
/// is its sentence and its table.
#[must_use]
pub fn to_text(document: &Document, say: &dyn Fn(&Message) -> String, options: TextOptions) -> String {
    let width = options.width.max(24);
    let mut page =
        Page { lines: Vec::new(), say, width, explain: options.explain, comma: document.decimal_comma };
    page.document(document);
    let mut text = page.lines.join("\n").replace('\u{a0}', " ");
    text.push('\n');
    text
}

struct Page<'a> {
    lines: Vec<String>,
    say: &'a dyn Fn(&Message) -> String,
    width: usize,
    explain: bool,
    comma: bool,
}

impl Page<'_> {
    fn said(&self, text: &Text) -> String {
        text.said(self.say)
    }

    fn word(&self, message: Message) -> String {
        self.said(&Text::Message(message))
    }

    fn gap(&mut self) {
        if self.lines.last().is_some_and(|line| !line.is_empty()) {
            self.lines.push(String::new());
        }
    }

    /// Writes text wrapped, the first line after `first`, the others after `rest`.
    fn put(&mut self, first: &str, rest: &str, text: &str) {
        let lines = wrap(text, self.width.saturating_sub(width_of(first).max(width_of(rest))));
        for (index, line) in lines.iter().enumerate() {
            let before = if index == 0 { first } else { rest };
            self.lines.push(format!("{before}{line}").trim_end().to_owned());
        }
    }

    fn heading(&mut self, text: &str, under: char) {
        self.gap();
        self.put("", "", text);
        let longest = wrap(text, self.width).iter().map(|line| width_of(line)).max().unwrap_or(0);
        self.lines.push(under.to_string().repeat(longest));
    }

    fn document(&mut self, document: &Document) {
        self.heading(&self.said(&document.title), '=');
        for line in document.subtitle.iter().chain(&document.details) {
            self.put("", "", &self.said(line));
        }
        if let Some(now) = &document.now {
            self.now(now);
        }
        for section in &document.sections {
            self.heading(&self.said(&section.heading), '-');
            self.blocks(&section.blocks, Some(&section.heading));
        }
        if !document.methods.is_empty() {
            self.heading(&self.word(Message::new("report-inputs-methods-sources")), '-');
            self.blocks(&document.methods, None);
        }
        self.gap();
        let mark = match document.mark {
            Mark::Demo => self.word(Message::new("report-mark-demo")),
            Mark::Real => self.word(Message::new("report-mark-real")),
            Mark::Answer => self.word(Message::new("report-mark-answer")),
        };
        let law = self.word(Message::new("report-not-legal-advice"));
        self.put("", "", &format!("{mark} {law}"));
    }

    fn now(&mut self, now: &Now) {
        self.gap();
        self.put("  ", "  ", &self.said(&now.sentence));
        if let Some(why) = &now.why {
            self.put("  ", "  ", &self.said(why));
        }
        self.lines.push(format!("|{}|", "_".repeat(self.width - 2)));
        if !now.numbers.is_empty() {
            self.lines.push(String::new());
            self.numbers(&now.numbers);
        }
    }

    fn blocks(&mut self, blocks: &[Block], heading: Option<&Text>) {
        for (index, block) in blocks.iter().enumerate() {
            if index > 0 {
                self.gap();
            }
            match block {
                Block::Paragraph(text) => self.put("", "", &self.said(text)),
                Block::Caution(caution) => self.caution(caution),
                Block::Findings(findings) => self.findings(findings),
                Block::Numbers(numbers) => self.numbers(numbers),
                Block::Table(table) => self.table(table, usize::MAX),
                Block::List(list) => {
                    let digits = list.items.len().to_string().len();
                    for (index, item) in list.items.iter().enumerate() {
                        let first =
                            if list.ordered { format!("{:>digits$}. ", index + 1) } else { "- ".to_owned() };
                        self.put(&first, &" ".repeat(first.len()), &self.said(item));
                    }
                }
                Block::Figure(figure) => self.figure(figure, heading),
                Block::Chances(chances) => {
                    let mut grid = Grid::new(vec![Align::End, Align::Start]);
                    for share in crate::shares(chances) {
                        grid.push(vec![share.written(self.say), self.said(&share.name)]);
                    }
                    self.grid(&grid);
                }
                Block::Signatures(signatures) => self.signatures(signatures),
            }
        }
    }

    fn caution(&mut self, caution: &Caution) {
        let mut text = format!("{} {}", self.word(Message::new("report-caution")), self.said(&caution.first));
        if let Some(rest) = &caution.rest {
            text.push(' ');
            text.push_str(&self.said(rest));
        }
        self.put("//// ", "//// ", &text);
    }

    fn grid(&mut self, grid: &Grid) {
        let (head, rows) = grid.lines(self.width);
        self.lines.extend(head);
        self.lines.extend(rows.into_iter().flatten());
    }

    fn findings(&mut self, findings: &[Finding]) {
        let mut grid = Grid::new(vec![Align::Start, Align::Start, Align::End, Align::Start]);
        // A column that no row needs has no heading either.
        let heading =
            |message: Message, needed: bool| if needed { self.word(message) } else { String::new() };
        grid.head(vec![
            self.word(Message::new("report-verdict")),
            self.word(Message::new("report-what")),
            heading(Message::new("report-value"), findings.iter().any(|finding| finding.number.is_some())),
            heading(Message::new("report-limit"), findings.iter().any(|finding| finding.bar.is_some())),
        ]);
        for finding in findings {
            grid.push(vec![
                self.verdict(finding),
                self.said(&finding.name),
                match &finding.number {
                    // The row says "doubtful" already.
                    Some(number) if finding.mark == VerdictMark::Doubtful => number.value.line(),
                    Some(number) => self.value(number),
                    None => String::new(),
                },
                finding.bar.as_ref().map_or(String::new(), |bar| self.said(&bar.words)),
            ]);
        }
        let under = |index: usize| {
            let finding = &findings[index];
            let mut lines = Vec::new();
            if let Some(advice) = &finding.advice {
                let text = self.said(advice);
                lines.extend(wrap(&text, self.width - 4).into_iter().map(|line| format!("    {line}")));
            }
            lines.extend(finding.number.iter().flat_map(|number| self.opened(number)));
            lines
        };
        let (head, rows) = grid.lines(self.width);
        let mut all = head;
        for (index, row) in rows.into_iter().enumerate() {
            all.extend(row);
            all.extend(under(index));
        }
        self.lines.extend(all);
    }

    fn verdict(&self, finding: &Finding) -> String {
        match &finding.word {
            Some(word) => self.said(word),
            None => self.mark(finding.mark),
        }
    }

    fn mark(&self, mark: VerdictMark) -> String {
        self.word(mark.word())
    }

    /// A number as written, with the word where it is doubtful.
    fn value(&self, number: &Number) -> String {
        match number.basis {
            crate::Basis::Known => number.value.line(),
            crate::Basis::Doubtful => {
                format!("{} ({})", number.value.line(), self.word(Message::new("report-verdict-doubtful")))
            }
        }
    }

    fn numbers(&mut self, numbers: &[Number]) {
        let mut grid = Grid::new(vec![Align::Start, Align::End]);
        for number in numbers {
            grid.push(vec![self.said(&number.label), self.value(number)]);
        }
        let (_, rows) = grid.lines(self.width);
        let mut all = Vec::new();
        for (number, row) in numbers.iter().zip(rows) {
            all.extend(row);
            all.extend(self.opened(number));
        }
        self.lines.extend(all);
    }

    /// What stands behind a number, where that is asked for.
    fn opened(&self, number: &Number) -> Vec<String> {
        match &number.opened {
            Some(opened) if self.explain => self.behind(opened),
            _ => Vec::new(),
        }
    }

    fn behind(&self, opened: &Opened) -> Vec<String> {
        let mut grid = Grid::new(vec![Align::Start, Align::Start]);
        let from = self.word(Message::new("report-from-what"));
        for (index, input) in opened.inputs.iter().enumerate() {
            let mut text = format!("{}: {}", self.said(&input.name), input.value.line());
            if let Some(origin) = &input.origin {
                text.push_str(&format!(" ({})", self.said(origin)));
            }
            grid.push(vec![if index == 0 { from.clone() } else { String::new() }, text]);
        }
        grid.push(vec![self.word(Message::new("report-how")), self.said(&opened.method)]);
        let why = self.word(Message::new("report-doubt"));
        for (index, doubt) in opened.doubts.iter().enumerate() {
            let text = format!("{}\u{a0}%\u{a0}{}", doubt.percent.min(100), self.said(&doubt.cause));
            grid.push(vec![if index == 0 { why.clone() } else { String::new() }, text]);
        }
        grid.push(vec![self.word(Message::new("report-source")), self.said(&opened.source)]);
        let (_, rows) = grid.lines(self.width - 4);
        rows.into_iter().flatten().map(|line| format!("    {line}")).collect()
    }

    fn table(&mut self, table: &Table, most: usize) {
        if let Some(caption) = &table.caption {
            self.put("", "", &self.said(caption));
        }
        let mut grid = Grid::new(table.columns.iter().map(|column| column.align).collect());
        grid.head(table.columns.iter().map(|column| self.said(&column.heading)).collect());
        let shown = thinned(table.rows.len(), most);
        for index in &shown {
            let row = &table.rows[*index];
            grid.push((0..table.columns.len()).map(|at| self.cell(row.cells.get(at))).collect());
            if row.total {
                grid.rule_above_last();
            }
        }
        let (head, rows) = grid.lines(self.width);
        self.lines.extend(head);
        for (index, lines) in shown.iter().zip(rows) {
            self.lines.extend(lines);
            for cell in table.rows[*index].cells.iter().take(table.columns.len()) {
                if let Cell::Number(number) = cell {
                    let behind = self.opened(number);
                    if !behind.is_empty() {
                        let line = format!("{}: {}", self.said(&number.label), number.value.line());
                        self.put("    ", "    ", &line);
                        self.lines.extend(behind);
                    }
                }
            }
        }
        if shown.len() < table.rows.len() {
            let message =
                Message::new("report-rows-shown").with("shown", shown.len()).with("all", table.rows.len());
            self.put("", "", &self.word(message));
        }
    }

    fn cell(&self, cell: Option<&Cell>) -> String {
        match cell {
            None | Some(Cell::Empty) => String::new(),
            Some(Cell::Text(text)) => self.said(text),
            Some(Cell::Value(value)) => value.line(),
            Some(Cell::Number(number)) => self.value(number),
            Some(Cell::Verdict(mark)) => self.mark(*mark),
        }
    }

    fn figure(&mut self, figure: &Figure, heading: Option<&Text>) {
        if heading != Some(&figure.title) {
            self.put("", "", &self.said(&figure.title));
        }
        self.put("", "", &self.said(&figure.description));
        let size = crate::Size {
            width: 340.0,
            text: 16.0,
            ink: crate::Ink::Paper,
            id: "t".into(),
            decimal_comma: self.comma,
        };
        let drawing = crate::draw(figure, self.say, &size);
        if let Some(left_out) = drawing.left_out {
            self.put("", "", &self.word(left_out));
        }
        if drawing.svg.is_some() {
            self.gap();
            self.table(&drawing.table, PICTURE_ROWS);
        }
    }

    fn signatures(&mut self, signatures: &[Signature]) {
        for (index, signature) in signatures.iter().enumerate() {
            if index > 0 {
                self.lines.push(String::new());
            }
            self.lines.push(String::new());
            self.lines.push("_".repeat(self.width.min(40)));
            self.put("", "", &self.said(&signature.role));
            if let Some(name) = &signature.name {
                self.put("", "", &self.said(name));
            }
        }
    }
}

/// Returns at most `most` of `count` indices, evenly spread, the first and the last among them.
fn thinned(count: usize, most: usize) -> Vec<usize> {
    if count <= most || most < 2 {
        return (0..count).collect();
    }
    (0..most).map(|index| index * (count - 1) / (most - 1)).collect()
}
