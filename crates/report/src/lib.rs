//! A small document model, its rendering to text and HTML, and SVG plots.
//!
//! A [`Document`] is built from [`Block`]s; every text in it is a [`Message`] (a sentence by id, that a catalogue
//! turns into words) or [`Text::Verbatim`] (what a person typed, shown as it is and escaped). The renderers take
//! the catalogue as a function, so that this crate knows no language.

mod document;
mod draw;
mod html;
mod message;
mod number;
mod plot;
mod text;

pub use document::{
    Align, Block, Caution, Cell, Column, Document, Finding, List, Mark, Now, Row, Section, Signature, Table,
    VerdictMark,
};
pub use draw::{Drawing, Ink, Share, Size, cells, draw, interval_bar, mark, shade, shares};
pub use html::{FONTS, to_html};
pub use message::{Arg, Message, Text};
pub use number::{Basis, Doubt, Input, Number, Opened, Value};
pub use plot::{
    AllowedZone, Chance, Circuit, CircuitBlock, ColdSpan, CyclePoint, Figure, FittedPart, HoldTest,
    IntervalBar, Ledger, LedgerEnd, LedgerRefill, LedgerStart, LookedFor, Moment, Picture, Point,
    PressureEnthalpy, Reading, RiseTest, Strip, StripRow, StripState, Trend,
};
pub use text::{TextOptions, to_text};
