//! Writes a page that shows every block and every picture: `cargo run -p report --example gallery -- PAGE.html`.
//! The data are the invented scenario of the demo. With a second argument, "text", it writes plain text.

mod document;

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1);
    let Some(path) = words.next() else {
        eprintln!("say where to write the page: gallery PAGE.html [text]");
        return ExitCode::from(2);
    };
    let wording = wording::Wording::new("en");
    let say = |message: &report::Message| wording.say(message);
    let document = document::gallery();
    let page = match words.next().as_deref() {
        Some("text") => report::to_text(&document, &say, report::TextOptions { width: 80, explain: true }),
        _ => report::to_html(&document, &say),
    };
    match std::fs::write(&path, page) {
        Ok(()) => ExitCode::SUCCESS,
        Err(fault) => {
            eprintln!("{path}: {fault}");
            ExitCode::FAILURE
        }
    }
}
