//! The pages set, and written as PDF.

use crate::{Sheet, markup};
use core::fmt;
use report::{Document, Message};
use typst::diag::{FileError, FileResult, Warned};
use typst::foundations::{Bytes, Datetime, Duration, Smart};
use typst::syntax::{FileId, Source};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

/// A PDF and what is to be said of it.
#[derive(Clone, Debug)]
pub struct Pdf {
    /// The file.
    pub bytes: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
    /// The letters that no face has; they stand as empty boxes, and the file then does not claim PDF/UA-1.
    pub missing: Vec<char>,
}

/// Why a document could not be set: the typesetter's own words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault(pub String);

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for Fault {}

/// Returns the document as a tagged PDF that claims PDF/UA-1; the same document gives the same bytes.
///
/// # Errors
/// [`Fault`] when the typesetter refuses the document, which is a defect of ours.
pub fn pdf(document: &Document, say: &dyn Fn(&Message) -> String, sheet: Sheet) -> Result<Pdf, Fault> {
    let text = markup(document, say, sheet);
    let desk = Desk::new(text);
    let missing = desk.missing();
    let Warned { output, .. } = typst::compile::<PagedDocument>(&desk);
    let pages = output.map_err(|faults| fault(&faults))?;
    let standard = if missing.is_empty() { &[PdfStandard::Ua_1][..] } else { &[] };
    let standards = PdfStandards::new(standard).map_err(|error| Fault(error.message().to_string()))?;
    let options = PdfOptions {
        creator: Smart::Custom(Some("gastight".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    let bytes = typst_pdf::pdf(&pages, &options).map_err(|faults| fault(&faults))?;
    Ok(Pdf { bytes, pages: pages.pages().len(), missing })
}

fn fault(faults: &[typst::diag::SourceDiagnostic]) -> Fault {
    Fault(faults.iter().map(|fault| fault.message.to_string()).collect::<Vec<_>>().join("; "))
}

/// All that the typesetter may reach: one text and the faces.
struct Desk {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    source: Source,
}

impl Desk {
    fn new(text: String) -> Desk {
        let own: [&'static [u8]; 2] =
            [include_bytes!("../fonts/b612-400.ttf"), include_bytes!("../fonts/b612-700.ttf")];
        let fonts: Vec<Font> = own
            .into_iter()
            .chain(typst_assets::fonts())
            .flat_map(|face| Font::iter(Bytes::new(face)))
            .collect();
        Desk {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(&fonts)),
            fonts,
            source: Source::detached(text),
        }
    }

    /// The letters of the text that no face has.
    fn missing(&self) -> Vec<char> {
        let mut out: Vec<char> = Vec::new();
        for c in self.source.text().chars() {
            let drawn = !c.is_whitespace() && !c.is_control() && c != '\u{200b}' && c != '\u{ad}';
            if drawn
                && !out.contains(&c)
                && !self.fonts.iter().any(|font| font.info().coverage.contains(c as u32))
            {
                out.push(c);
            }
        }
        out
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _id: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
