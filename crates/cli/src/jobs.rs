//! Job files: read, checked, reported, turned into events.

use crate::options::{Options, json_text, writer};
use crate::records::{self, Record};
use crate::{Outcome, bills, output};
use job::van::Van;
use job::visit::{Results, Visit};
use job::{Refused, problems};
use record::{Event, Problems, write_log_of};
use report::{Message, TextOptions};
use wording::Wording;

pub fn run(matches: &clap::ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
    let Some((name, matches)) = matches.subcommand() else {
        return Ok(Outcome::answered(String::new()));
    };
    let options = Options::new(matches, wording);
    let paths = options.texts("file");
    if name == "van" {
        return van(&paths, &options, wording);
    }
    let record = records::read(&paths, options.text("job"), wording)?;
    match name {
        "check" => Ok(check(&paths, &record, &options, wording)),
        "report" => report(&record, &options, wording),
        "quote" => bills::run(record::Paper::Quote, &record, &options, wording),
        "parts" => parts(&record, &options, wording),
        "sheet" => sheet(&record, &options, wording),
        "take" => crate::take::run(paths.first().copied().unwrap_or_default(), &record, &options, wording),
        "stage" => stage(&paths, &record, &options, wording),
        "follow-up" => follow_up(&record, &options, wording),
        "invoice" => bills::run(record::Paper::Invoice, &record, &options, wording),
        _ => {
            let name = (record.visits.len() == 1).then_some(record.name.as_str());
            let events: Vec<Event> = record.visits.iter().flatten().cloned().collect();
            Ok(Outcome::answered(write_log_of(name, &events)))
        }
    }
}

fn check(paths: &[&str], record: &Record, options: &Options<'_>, wording: &Wording) -> Outcome {
    let visit = record.visit();
    let results = Results::of(&visit);
    let doubtful: usize = results.doubtful.iter().map(Vec::len).sum();
    let file = paths.join(", ");
    let remarks: Vec<String> = record.remarks.iter().map(|remark| wording.say(remark)).collect();
    let text = if options.flag("json") {
        json_text(&serde_json::json!({
            "file": file, "job": record.name, "events": record.count(), "problems": [],
            "doubtful": doubtful, "remarks": remarks, "total": 0,
        }))
    } else {
        if let Some(refused) = &visit.refused {
            // The file can be read, and nothing of the refrigerant can be computed: a check that failed.
            return Outcome { text: wording.say(&refused.message), failed: true };
        }
        let said = Message::new("cli-check-good").with("file", file).with("count", record.count());
        let said = wording.say(&said.with("doubtful", doubtful));
        core::iter::once(said).chain(remarks.iter().cloned()).collect::<Vec<_>>().join("\n")
    };
    Outcome { text, failed: doubtful > 0 || !record.remarks.is_empty() }
}

/// Returns each problem with its line, the first twenty, then the count.
pub fn problem_lines(path: &str, found: &Problems, wording: &Wording) -> Vec<String> {
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
    lines
}

/// A broken file is bad input: each problem with its line, the first twenty, then the count.
pub fn refused(path: &str, found: &Problems, wording: &Wording) -> Refused {
    let lines = problem_lines(path, found, wording);
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

fn report(record: &Record, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visit = record.visit();
    let results = Results::of(&visit);
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let format = if options.flag("json") { "json" } else { options.text("format").unwrap_or("text") };
    match format {
        "json" => output::deliver(options, wording, json_text(&results.figures())),
        _ => output::document(results.document(&units), options, wording),
    }
}

/// Parts by function, with what the shop has of them where there is a list.
fn parts(record: &Record, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visit = record.visit();
    let results = Results::of(&visit);
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..visit.writer() };
    let prices = match options.text("prices") {
        Some(_) => Some(bills::prices(options, &options.texts("file"), wording)?),
        None => bills::prices(options, &options.texts("file"), wording).ok(),
    };
    let document =
        job::parts::document(&results, prices.as_ref(), van_of(options, wording)?.as_ref(), &units);
    match options.text("format") {
        Some("csv") => output::deliver(options, wording, job::parts::csv(&visit, prices.as_ref())),
        _ => output::document(document, options, wording),
    }
}

/// A single sheet.
fn sheet(record: &Record, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visit = record.visit();
    let results = Results::of(&visit);
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let Some(sheet) = options.text("what").and_then(job::sheet::Sheet::named) else {
        return Ok(Outcome::answered(String::new()));
    };
    let van = van_of(options, wording)?;
    output::document(job::sheet::sheet_with(&results, sheet, van.as_ref(), &units), options, wording)
}

/// Every visit of these files, each by itself: a van is told by all of them.
fn each_of(paths: &[&str], wording: &Wording) -> Result<Vec<Visit>, Refused> {
    let mut gathered = records::Gathered::default();
    records::gather(paths, &mut gathered, wording)?;
    Ok(gathered.visits.values().map(|events| Visit::new("", events)).collect())
}

/// What files beside the visit tell of the van; nothing where none is named.
fn van_of(options: &Options<'_>, wording: &Wording) -> Result<Option<Van>, Refused> {
    let paths = options.texts("van");
    if paths.is_empty() {
        return Ok(None);
    }
    Ok(Some(Van::of(&each_of(&paths, wording)?)))
}

/// What is on the van, by its own log and every visit given.
fn van(paths: &[&str], options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visits = each_of(paths, wording)?;
    let van = Van::of(&visits);
    if van.is_empty() {
        return Ok(Outcome { text: wording.say(&Message::new("van-nothing")), failed: true });
    }
    let units = match (options.text("units"), visits.first()) {
        (Some(wish), _) => writer(Some(wish), [])?,
        (None, Some(first)) => first.writer(),
        (None, None) => units::Writer::metric(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    if options.flag("json") {
        return output::deliver(options, wording, json_text(&job::van::data(&van)));
    }
    let demo = visits.iter().all(Visit::is_demo);
    match options.text("format") {
        Some("csv") => output::deliver(options, wording, job::van::csv(&van)),
        _ => output::document(job::van::document(&van, demo, &units), options, wording),
    }
}

/// A stage of the visit.
fn stage(
    paths: &[&str],
    record: &Record,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let visit = record.visit();
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let Some(stage) = options.text("which").and_then(job::stage::Stage::of_key) else {
        return Ok(Outcome::answered(String::new()));
    };
    let now = match options.text("at") {
        Some(text) => record::When::read(text, &record::Local::default()).map_err(|_| {
            let message = Message::new("stage-cli-no-time")
                .with("given", text)
                .with("example", "2031-05-07T12:00-04:00");
            Refused::new("not_a_time", "--at", text, "2031-05-07T12:00-04:00", message)
        })?,
        None => job::stage::last_moment(&visit).ok_or_else(|| {
            Refused::new("no_time", "--at", "", "2031-05-07T12:00-04:00", Message::new("stage-cli-no-entry"))
        })?,
    };
    // A price list beside the visit is taken where there is one; one that is named must be there.
    let prices = match bills::prices(options, paths, wording) {
        Ok(prices) => Some(prices),
        Err(refused) if refused.code == "no_prices" => None,
        Err(refused) => return Err(refused),
    };
    let van = van_of(options, wording)?;
    let hand = job::stage::Hand { prices: prices.as_ref(), van: van.as_ref() };
    let document = job::stage::document(stage, &visit, &units, &now, hand);
    output::document(document, options, wording)
}

/// When to come back, and what that could see.
fn follow_up(record: &Record, options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let visit = record.visit();
    let results = Results::of(&visit);
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let say = |message: &Message| wording.say(message);
    let Some(follow) = job::follow_up::of(&visit, &results.account) else {
        return Ok(Outcome { text: say(&Message::new("follow-none")), failed: true });
    };
    if let (Some(path), Some((title, looks))) =
        (options.text("ics"), job::follow_up::calendar_lines(&results, &follow, &units))
    {
        let behind: Vec<String> = looks.iter().map(say).collect();
        let id = format!("follow-up.{}.{}", visit.job.unwrap_or_default(), follow.repaired);
        let place = visit.site.value.address.as_deref();
        let text = crate::duties::one_day(
            &id,
            (follow.repaired, follow.on),
            (&say(&title), &behind.join("\n")),
            place,
        );
        std::fs::write(path, text).map_err(|error| {
            let why = Message::new("cli-no-write").with("why", error.to_string());
            Refused::new("cannot_write", "--ics", path, "", why)
        })?;
    }
    let text = if options.flag("json") {
        json_text(&job::follow_up::data(&follow))
    } else {
        let options = TextOptions { explain: options.flag("explain"), ..TextOptions::default() };
        report::to_text(&job::follow_up::document(&results, &follow, &units), &say, options)
    };
    Ok(Outcome::answered(text))
}

/// Reads a file's bytes, at most as many as a job file may have and one; `-` is the standard input.
pub fn read_bytes(path: &str, example: &str) -> Result<Vec<u8>, Refused> {
    read_bytes_up_to(path, example, record::LARGEST_FILE as u64)
}

/// Reads a file's bytes, at most so many and one.
pub fn read_bytes_up_to(path: &str, example: &str, most: u64) -> Result<Vec<u8>, Refused> {
    use std::io::Read as _;
    // One byte more than is read at most, so that a larger file is told from one of just that size.
    let limit = most + 1;
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
