//! The document model: what a report is made of.

use crate::{Chance, Figure, IntervalBar, Message, Number, Text, Value};

/// A report: a title, the one sentence that matters, sections, and a page of inputs, methods and sources.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What it is: "Service report".
    pub title: Text,
    /// What it is about: site, place, refrigerant, charge.
    pub subtitle: Option<Text>,
    /// Lines at the right of the head: when, who.
    pub details: Vec<Text>,
    /// The language of the words, as BCP 47: "en".
    pub language: String,
    /// Whether the axes of pictures write the decimal mark as a comma, as the values already written do.
    pub decimal_comma: bool,
    /// Whether the data are real; the foot says which.
    pub mark: Mark,
    /// The one sentence that matters.
    pub now: Option<Now>,
    /// The sections, in the order of use.
    pub sections: Vec<Section>,
    /// Inputs, methods and sources that belong to no single number; on paper they begin a page, after which every
    /// number that opens is listed.
    pub methods: Vec<Block>,
}

impl Document {
    /// Returns an empty document.
    #[must_use]
    pub fn new(title: impl Into<Text>, language: &str, mark: Mark) -> Document {
        Document {
            title: title.into(),
            subtitle: None,
            details: Vec::new(),
            language: language.to_owned(),
            decimal_comma: false,
            mark,
            now: None,
            sections: Vec::new(),
            methods: Vec::new(),
        }
    }
}

/// Whether a document shows real or invented data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Invented data, to show what the program does.
    Demo,
    /// What somebody recorded.
    Real,
    /// The answer to one question: nothing was recorded.
    Answer,
}

/// A part of a document under a heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// The heading.
    pub heading: Text,
    /// Whether it may stand beside its neighbour where there is room (on paper, on a wide screen).
    pub beside: bool,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

impl Section {
    /// Returns a section of full width.
    #[must_use]
    pub fn new(heading: impl Into<Text>, blocks: Vec<Block>) -> Section {
        Section { heading: heading.into(), beside: false, blocks }
    }

    /// Returns the section as one that may stand beside its neighbour.
    #[must_use]
    pub fn beside(mut self) -> Section {
        self.beside = true;
        self
    }
}

/// A piece of a section.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A paragraph.
    Paragraph(Text),
    /// A caution, before the step it belongs to.
    Caution(Caution),
    /// Verdicts, one a row.
    Findings(Vec<Finding>),
    /// Numbers, one a row, each openable.
    Numbers(Vec<Number>),
    /// A table.
    Table(Table),
    /// A list.
    List(List),
    /// A picture with its sentence and its table.
    Figure(Box<Figure>),
    /// Chances that exclude each other; they are sorted, and "something else" fills them to 100 %.
    Chances(Vec<Chance>),
    /// Lines to sign on.
    Signatures(Vec<Signature>),
}

/// The one sentence that matters, an order or a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// The sentence.
    pub sentence: Text,
    /// Why, in a line or two.
    pub why: Option<Text>,
    /// The numbers behind it.
    pub numbers: Vec<Number>,
}

impl Now {
    /// Returns the sentence alone.
    #[must_use]
    pub fn new(sentence: impl Into<Text>) -> Now {
        Now { sentence: sentence.into(), why: None, numbers: Vec::new() }
    }
}

/// A caution: bold first words, then what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// The first words: "20 bar in this line."
    pub first: Text,
    /// The rest, at most four lines.
    pub rest: Option<Text>,
}

/// The mark of a verdict; always drawn with its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VerdictMark {
    /// The whole interval is on the right side of the limit.
    Met,
    /// The whole interval is past the limit.
    Breached,
    /// The interval holds the limit.
    NotResolved,
    /// To be done by a date.
    Due,
    /// For want of a named fact.
    Unknown,
    /// An input contradicts another, or is out of sense.
    Doubtful,
    /// Nothing was entered.
    Nothing,
}

impl VerdictMark {
    /// Returns the mark's own word.
    #[must_use]
    pub fn word(self) -> Message {
        match self {
            VerdictMark::Met => Message::new("report-verdict-met"),
            VerdictMark::Breached => Message::new("report-verdict-breached"),
            VerdictMark::NotResolved => Message::new("report-verdict-not-resolved"),
            VerdictMark::Due => Message::new("report-verdict-due"),
            VerdictMark::Unknown => Message::new("report-verdict-unknown"),
            VerdictMark::Doubtful => Message::new("report-verdict-doubtful"),
            VerdictMark::Nothing => Message::new("report-verdict-nothing"),
        }
    }
}

/// A verdict in a row: mark, name, word, number on a tray, limit, what to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The mark.
    pub mark: VerdictMark,
    /// The word beside the mark, where it is not the mark's own ("leaking", "void").
    pub word: Option<Text>,
    /// What was judged.
    pub name: Text,
    /// The number it was judged by.
    pub number: Option<Number>,
    /// The interval against its limit, drawn.
    pub bar: Option<IntervalBar>,
    /// What to do, or what would resolve it.
    pub advice: Option<Text>,
}

impl Finding {
    /// Returns a verdict without number or advice.
    #[must_use]
    pub fn new(mark: VerdictMark, name: impl Into<Text>) -> Finding {
        Finding { mark, word: None, name: name.into(), number: None, bar: None, advice: None }
    }
}

/// A table with a heading row; its first column names the row.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What the table shows.
    pub caption: Option<Text>,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; a short row is filled with empty cells, what is past the last column is not shown.
    pub rows: Vec<Row>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub heading: Text,
    /// Where its cells stand.
    pub align: Align,
}

impl Column {
    /// Returns a column of words.
    #[must_use]
    pub fn words(heading: impl Into<Text>) -> Column {
        Column { heading: heading.into(), align: Align::Start }
    }

    /// Returns a column of numbers.
    #[must_use]
    pub fn numbers(heading: impl Into<Text>) -> Column {
        Column { heading: heading.into(), align: Align::End }
    }
}

/// Where the cells of a column stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// At the start of the line: words.
    #[default]
    Start,
    /// At its end: numbers.
    End,
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// The cells.
    pub cells: Vec<Cell>,
    /// Whether it is a sum: a heavier line above, bold.
    pub total: bool,
}

impl Row {
    /// Returns a plain row.
    #[must_use]
    pub fn new(cells: Vec<Cell>) -> Row {
        Row { cells, total: false }
    }

    /// Returns a row that sums those above.
    #[must_use]
    pub fn total(cells: Vec<Cell>) -> Row {
        Row { cells, total: true }
    }
}

/// A cell of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Cell {
    /// Nothing to show.
    #[default]
    Empty,
    /// Words.
    Text(Text),
    /// A value that does not open.
    Value(Value),
    /// A number that opens.
    Number(Number),
    /// A verdict: mark and word.
    Verdict(VerdictMark),
}

/// A list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List {
    /// Whether the order matters.
    pub ordered: bool,
    /// The items.
    pub items: Vec<Text>,
}

/// A line to sign on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    /// Who signs, and for what.
    pub role: Text,
    /// The name, where known.
    pub name: Option<Text>,
}
