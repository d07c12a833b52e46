//! Tables as CSV (RFC 4180), safe to open in a spreadsheet.

use axum::http::HeaderValue;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

/// A table.
#[derive(Clone, Debug)]
pub struct Csv {
    name: &'static str,
    text: Vec<u8>,
}

impl Csv {
    /// Returns a table with its heading.
    #[must_use]
    pub fn new(name: &'static str, heading: &[&str]) -> Self {
        let mut table = Self { name, text: Vec::new() };
        table.line(heading.iter().map(|cell| (*cell).to_owned()));
        table
    }

    /// Adds a row. A text that a spreadsheet would take for a formula gets an apostrophe before it.
    pub fn row(&mut self, cells: impl IntoIterator<Item = String>) {
        self.line(cells.into_iter().map(|cell| {
            let number = cell.parse::<f64>().is_ok();
            let formula = !number && cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
            if formula { format!("'{cell}") } else { cell }
        }));
    }

    fn line(&mut self, cells: impl Iterator<Item = String>) {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .flexible(true)
            .from_writer(Vec::new());
        // Writing into memory does not fail.
        let _ = writer.write_record(cells);
        self.text.extend(writer.into_inner().unwrap_or_default());
    }

    /// Returns the text of the table.
    #[must_use]
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.text).into_owned()
    }
}

impl From<job::shop::tables::Table> for Csv {
    fn from(table: job::shop::tables::Table) -> Self {
        Self { name: table.name, text: table.csv().into_bytes() }
    }
}

impl IntoResponse for Csv {
    fn into_response(self) -> Response {
        let mut response = self.text.into_response();
        let headers = response.headers_mut();
        headers.insert(CONTENT_TYPE, HeaderValue::from_static("text/csv; charset=utf-8; header=present"));
        let file = format!("attachment; filename=\"{}.csv\"", self.name);
        if let Ok(value) = HeaderValue::from_str(&file) {
            headers.insert(CONTENT_DISPOSITION, value);
        }
        response
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_quoted_and_formulas_disarmed() {
        let mut table = Csv::new("t", &["a", "b"]);
        table.row(["=1+2".to_owned(), "-12.5".to_owned()]);
        table.row(["say \"no\", twice\nplease".to_owned(), String::new()]);
        assert_eq!(table.text(), "a,b\r\n'=1+2,-12.5\r\n\"say \"\"no\"\", twice\nplease\",\r\n");
    }
}
