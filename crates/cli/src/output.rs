//! How an answer leaves: as text, as a page, as a printed document; to the screen or into a file.

use crate::Outcome;
use crate::options::Options;
use job::Refused;
use report::{Document, Message, TextOptions};
use wording::Wording;

/// Returns a document in the form that was asked for, delivered.
pub fn document(
    mut document: Document,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    document.language = wording.language().to_owned();
    document.decimal_comma = wording.decimal_comma();
    let say = |message: &Message| wording.say(message);
    match options.text("format") {
        Some("pdf") => pdf(&document, options, wording),
        Some("html") => deliver(options, wording, report::to_html(&document, &say)),
        _ => {
            let how = TextOptions { explain: options.flag("explain"), ..TextOptions::default() };
            deliver(options, wording, report::to_text(&document, &say, how))
        }
    }
}

/// Writes the text to the file that was asked for, or answers with it.
pub fn deliver(options: &Options<'_>, wording: &Wording, text: String) -> Result<Outcome, Refused> {
    match options.text("output") {
        Some(path) => write(path, text.as_bytes(), wording),
        None => Ok(Outcome::answered(text)),
    }
}

fn write(path: &str, bytes: &[u8], wording: &Wording) -> Result<Outcome, Refused> {
    std::fs::write(path, bytes).map_err(|error| {
        let why = Message::new("cli-no-write").with("why", error.to_string());
        Refused::new("cannot_write", "--output", path, "", why)
    })?;
    Ok(Outcome::answered(wording.say(&Message::new("cli-written").with("path", path))))
}

/// Refuses what a printed document needs and does not have, before anything is written or numbered.
pub fn ready(options: &Options<'_>) -> Result<(), Refused> {
    if options.text("format") != Some("pdf") {
        return Ok(());
    }
    if cfg!(not(feature = "pdf")) {
        let why = Message::new("paper-not-built");
        return Err(Refused::new("no_pdf", "--format", "pdf", "html", why));
    }
    if options.text("output").is_none() {
        let why = Message::new("paper-no-output");
        return Err(Refused::new("no_output", "--output", "", "--output document.pdf", why));
    }
    Ok(())
}

#[cfg(feature = "pdf")]
fn pdf(document: &Document, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    ready(options)?;
    let path = options.text("output").unwrap_or_default();
    let sheet = options.text("paper").and_then(paper::Sheet::named).unwrap_or_default();
    let say = |message: &Message| wording.say(message);
    let made = paper::pdf(document, &say, sheet).map_err(|fault| {
        let why = Message::new("paper-fault").with("why", fault.to_string());
        Refused::new("not_set", "--format", "pdf", "html", why)
    })?;
    if !made.missing.is_empty() {
        let letters: Vec<String> = made.missing.iter().map(char::to_string).collect();
        eprintln!("{}", wording.say(&Message::new("paper-missing").with("letters", letters.join(" "))));
    }
    write(path, &made.bytes, wording)
}

#[cfg(not(feature = "pdf"))]
fn pdf(_document: &Document, options: &Options<'_>, _wording: &Wording) -> Result<Outcome, Refused> {
    ready(options)?;
    Ok(Outcome::answered(String::new()))
}
