//! Job files: read, checked, reported, turned into events.

use crate::Outcome;
use crate::options::{Options, json_text, writer};
use job::visit::{Results, Visit};
use job::{Refused, problems};
use record::{JobFile, Problems, read_job_file, write_log};
use report::{Message, TextOptions};
use wording::Wording;

pub fn run(matches: &clap::ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
    let Some((name, matches)) = matches.subcommand() else {
        return Ok(Outcome::answered(String::new()));
    };
    let options = Options::new(matches, wording);
    let path = options.text("file").unwrap_or_default();
    let bytes = read_bytes(path, "examples/jobs/first-visit-minimal.toml")?;
    let read = read_job_file(&bytes);
    match (name, read) {
        ("check", read) => check(path, &read, &options, wording),
        (_, Err(found)) => Err(refused(path, &found, wording)),
        ("report", Ok(file)) => report(&file, &options, wording),
        (_, Ok(file)) => Ok(Outcome::answered(write_log(&file.events))),
    }
}

fn check(
    path: &str,
    read: &Result<JobFile, Problems>,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    match read {
        Ok(file) => {
            let visit = Visit::new(&file.name, &file.events);
            let results = Results::of(&visit);
            let doubtful: usize = results.doubtful.iter().map(Vec::len).sum();
            let text = if options.flag("json") {
                json_text(&serde_json::json!({
                    "file": path, "job": file.name, "events": file.events.len(), "problems": [],
                    "doubtful": doubtful, "total": 0,
                }))
            } else {
                if let Some(refused) = &visit.refused {
                    // The file can be read, and nothing of the refrigerant can be computed: a check that failed.
                    return Ok(Outcome { text: wording.say(&refused.message), failed: true });
                }
                let said = Message::new("cli-check-good").with("file", path).with("count", file.events.len());
                wording.say(&said.with("doubtful", doubtful))
            };
            Ok(Outcome { text, failed: doubtful > 0 })
        }
        Err(found) => Err(refused(path, found, wording)),
    }
}

/// A broken file is bad input: each problem with its line, the first twenty, then the count.
fn refused(path: &str, found: &Problems, wording: &Wording) -> Refused {
    let mut lines: Vec<String> = found
        .first
        .iter()
        .map(|problem| {
            let said = wording.say(&problems::sentence(problem));
            format!("{path}:{}: {said}", problem.line)
        })
        .collect();
    if found.total > found.first.len() {
        let more = Message::new("cli-check-more").with("count", found.total - found.first.len());
        lines.push(wording.say(&more));
    }
    let (code, field, given, sensible) = match found.first.first() {
        Some(first) => (
            problems::code(&first.what),
            format!("{path}:{} {}", first.line, first.field),
            first.given.clone(),
            problems::sensible(&first.sensible),
        ),
        None => ("not_a_job_file", path.to_owned(), String::new(), String::new()),
    };
    let message = Message::new("cli-check-bad").with("problems", lines.join("\n"));
    let mut refused = Refused::new(code, field, given, sensible, message);
    refused.details = found
        .first
        .iter()
        .map(|problem| {
            serde_json::json!({
                "code": problems::code(&problem.what),
                "line": problem.line,
                "column": problem.column,
                "field": problem.field,
                "given": problem.given,
                "sensible": problems::sensible(&problem.sensible),
            })
        })
        .collect();
    refused.total = Some(found.total);
    refused
}

fn report(file: &JobFile, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visit = Visit::new(&file.name, &file.events);
    let results = Results::of(&visit);
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let say = |message: &Message| wording.say(message);
    let format = if options.flag("json") { "json" } else { options.text("format").unwrap_or("text") };
    let text = match format {
        "json" => json_text(&results.figures()),
        "html" => report::to_html(&results.document(&units), &say),
        _ => {
            let options = TextOptions { explain: options.flag("explain"), ..TextOptions::default() };
            report::to_text(&results.document(&units), &say, options)
        }
    };
    match options.text("output") {
        Some(path) => {
            std::fs::write(path, text).map_err(|error| {
                Refused::new(
                    "cannot_write",
                    "--output",
                    path,
                    "",
                    Message::new("cli-no-write").with("why", error.to_string()),
                )
            })?;
            Ok(Outcome::answered(wording.say(&Message::new("cli-written").with("path", path))))
        }
        None => Ok(Outcome::answered(text)),
    }
}

/// Reads a file's bytes; `-` is the standard input.
pub fn read_bytes(path: &str, example: &str) -> Result<Vec<u8>, Refused> {
    use std::io::Read as _;
    // One byte more than is read at most, so that a larger file is told from one of just that size.
    let limit = record::LARGEST_FILE as u64 + 1;
    let read = if path == "-" {
        let mut bytes = Vec::new();
        std::io::stdin().lock().take(limit).read_to_end(&mut bytes).map(|_| bytes)
    } else {
        std::fs::File::open(path).and_then(|file| {
            let mut bytes = Vec::new();
            file.take(limit).read_to_end(&mut bytes).map(|_| bytes)
        })
    };
    read.map_err(|error| {
        Refused::new(
            "cannot_read",
            "FILE",
            path,
            example,
            Message::new("cli-no-file").with("why", error.to_string()),
        )
    })
}

/// Reads a file's text.
pub fn read_text(path: &str, example: &str) -> Result<String, Refused> {
    String::from_utf8(read_bytes(path, example)?)
        .map_err(|_| Refused::new("not_text", "FILE", path, example, Message::new("cli-not-text")))
}
