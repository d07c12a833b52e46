//! Quote and invoice of a visit.

use crate::Outcome;
use crate::jobs::{problem_lines, read_bytes, read_bytes_up_to, refused};
use crate::options::{Options, json_text};
use crate::output;
use crate::records::Record;
use crate::search::{line, quoted};
use job::Refused;
use job::bill::{self, Bill, Decimal, FrozenFault, Parties};
use job::visit::Visit;
use record::{LARGEST_FILE, Paper, Prices, Sent, read_prices};
use report::{Document, Message};
use std::path::{Path, PathBuf};
use wording::Wording;

/// The name of a price list that is found by itself.
const PRICES: &str = "prices.toml";

pub fn run(
    paper: Paper,
    record: &Record,
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let paths = options.texts("file");
    output::ready(options)?;
    let visit = record.visit();
    let prices = prices(options, &paths, wording)?;
    let number = options.text("number");
    if let Some(number) = number {
        if paths.len() > 1 {
            let message = Message::new("bill-cli-one-file");
            return Err(Refused::new("one_file", "FILE", paths.join(" "), paths[0], message));
        }
        if let Some(message) = bill::next_after(&visit, paper, number, options.text("corrects")) {
            return Err(Refused::new("number", "--number", number, "--corrects", message));
        }
    }
    match paper {
        Paper::Quote => quote(&visit, &prices, &paths, options, wording),
        Paper::Invoice => invoice(&visit, &prices, &paths, options, wording),
    }
}

fn invoice(
    visit: &Visit,
    prices: &Prices,
    paths: &[&str],
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let say = |message: &Message| wording.say(message);
    let comma = wording.decimal_comma();
    // What was sent is what there is, until a correction is sent.
    if options.text("number").is_none()
        && !options.flag("owner")
        && let Some(sent) = bill::invoice_of(visit)
    {
        let total = checked(sent)?;
        let bill = bill::thawed(sent, total);
        let head = (Some(sent.number.as_str()), sent.corrects.as_deref());
        let parties = Parties::of(visit, prices).as_sent(sent);
        let document = bill::document(visit, &parties, &bill, head, (bill::quote_of(visit), comma), &say);
        return answer(options, wording, &bill, document, head.0);
    }
    let bill = bill::invoice(visit, prices, options.flag("whole-call"))?;
    if options.flag("owner") {
        let document = bill::owner(visit, prices, &bill, comma);
        if options.flag("json") || options.text("format") == Some("json") {
            return Ok(Outcome::answered(json_text(&owner_json(&bill, &say))));
        }
        return answer(options, wording, &bill, document, None);
    }
    let parties = Parties::of(visit, prices);
    let head = (options.text("number"), options.text("corrects"));
    if let Some(number) = head.0 {
        let fields = bill::sent_fields(&bill, (Paper::Invoice, number), (head.1, None), &parties, &say);
        keep(paths[0], number, &fields, wording)?;
    }
    let quoted = bill::quote_of(visit);
    let document = bill::document(visit, &parties, &bill, head, (quoted, comma), &say);
    answer(options, wording, &bill, document, head.0)
}

fn quote(
    visit: &Visit,
    prices: &Prices,
    paths: &[&str],
    options: &Options<'_>,
    wording: &Wording,
) -> Result<Outcome, Refused> {
    let say = |message: &Message| wording.say(message);
    let quote = bill::quote(visit, prices)?;
    let parties = Parties::of(visit, prices);
    let number = options.text("number");
    if let Some(number) = number {
        let wanted = options.text("option");
        let named = |name: &Option<String>| match (name, wanted) {
            (Some(name), Some(wanted)) => name.trim().eq_ignore_ascii_case(wanted.trim()),
            (_, None) => true,
            (None, Some(_)) => false,
        };
        let mut fitting = quote.options.iter().filter(|option| named(&option.name));
        let option = match (fitting.next(), fitting.next()) {
            (Some(option), None) => option,
            _ => {
                let names: Vec<&str> =
                    quote.options.iter().filter_map(|option| option.name.as_deref()).collect();
                let given = wanted.unwrap_or_default();
                let message = Message::new("bill-cli-which-option");
                return Err(Refused::new("which_option", "--option", given, names.join(" / "), message));
            }
        };
        let name = option.name.as_deref();
        let corrects = options.text("corrects");
        let fields =
            bill::sent_fields(&option.bill, (Paper::Quote, number), (corrects, name), &parties, &say);
        keep(paths[0], number, &fields, wording)?;
    }
    if options.flag("json") || options.text("format") == Some("json") {
        let options: Vec<serde_json::Value> = quote
            .options
            .iter()
            .map(|option| {
                let mut value = bill_json(&option.bill, &say);
                value["option"] = option.name.clone().into();
                value["chosen"] = option.chosen.into();
                value
            })
            .collect();
        let besides: Vec<serde_json::Value> = quote
            .besides
            .iter()
            .map(|side| {
                serde_json::json!({
                    "what": side.what, "price": side.price, "answer": side.answer.map(record::Answer::word),
                })
            })
            .collect();
        let value = serde_json::json!({ "options": options, "besides": besides });
        return Ok(Outcome::answered(json_text(&value)));
    }
    let comma = wording.decimal_comma();
    let document = bill::quote_document(visit, &parties, &quote, number, comma);
    let Some(first) = quote.options.first() else { return Ok(Outcome::answered(String::new())) };
    answer(options, wording, &first.bill, document, number)
}

fn bill_json(bill: &Bill, say: &dyn Fn(&Message) -> String) -> serde_json::Value {
    let plain = |text: String| text.replace('\u{a0}', " ");
    let lines: Vec<serde_json::Value> = bill
        .lines
        .iter()
        .map(|line| {
            serde_json::json!({
                "what": plain(line.what.said(say)),
                "quantity": line.quantity.to_string(),
                "unit": plain(line.unit.said(say)),
                "price": line.price.to_string(),
                "amount": line.amount.to_string(),
            })
        })
        .collect();
    let tax: Vec<serde_json::Value> = bill
        .taxes
        .iter()
        .map(|tax| serde_json::json!({ "name": tax.name, "amount": tax.amount.to_string() }))
        .collect();
    serde_json::json!({ "lines": lines, "tax": tax, "total": bill.total.to_string() })
}

fn owner_json(bill: &Bill, say: &dyn Fn(&Message) -> String) -> serde_json::Value {
    let lines: Vec<serde_json::Value> = bill
        .lines
        .iter()
        .map(|line| {
            let text = |value: Option<Decimal>| value.map(|value| value.to_string());
            serde_json::json!({
                "what": line.what.said(say).replace('\u{a0}', " "),
                "amount": line.amount.to_string(),
                "cost": text(line.cost),
                "margin": text(line.cost.map(|cost| line.amount.minus(cost))),
            })
        })
        .collect();
    let (margin, without_cost) = bill.margin();
    serde_json::json!({
        "lines": lines, "net": bill.net().to_string(), "margin": margin.to_string(), "without_cost": without_cost,
        "trips": bill.worked.trips, "climbs": bill.worked.climbs, "entries": bill.worked.entries,
    })
}

fn answer(
    options: &Options<'_>,
    wording: &Wording,
    bill: &Bill,
    document: Document,
    number: Option<&str>,
) -> Result<Outcome, Refused> {
    let say = |message: &Message| wording.say(message);
    let format = if options.flag("json") { "json" } else { options.text("format").unwrap_or("text") };
    match format {
        "json" => output::deliver(options, wording, json_text(&bill_json(bill, &say))),
        "csv" => output::deliver(options, wording, bill::csv(bill, number, &say)),
        _ => output::document(document, options, wording),
    }
}

/// A sent document with its sum checked.
fn checked(sent: &Sent) -> Result<Decimal, Refused> {
    bill::frozen(sent).map_err(|fault| {
        let number = sent.number.as_str();
        match fault {
            FrozenFault::NoNumber { given } => {
                let message = Message::new("bill-cli-unread").with("number", number);
                Refused::new("not_a_decimal", "sent", given, "120.00", message)
            }
            FrozenFault::DoesNotAddUp { sum, total } => {
                let message = Message::new("bill-cli-frozen").with("number", number);
                let message = message.with("sum", sum.as_str()).with("total", total.as_str());
                Refused::new("does_not_add_up", "sent.total", total, sum, message)
            }
        }
    })
}

/// Returns the price list that was named, else the one beside the first file or in the folder above.
pub fn prices(options: &Options<'_>, paths: &[&str], wording: &Wording) -> Result<Prices, Refused> {
    let path: PathBuf = match options.text("prices") {
        Some(path) => path.into(),
        None => {
            let first = Path::new(paths.first().copied().unwrap_or_default());
            let beside = first.parent().unwrap_or(Path::new(""));
            let above = beside.join("..");
            [beside.join(PRICES), above.join(PRICES)].into_iter().find(|path| path.is_file()).ok_or_else(
                || {
                    let message = Message::new("bill-cli-no-prices");
                    Refused::new("no_prices", "--prices", "", "--prices examples/prices.toml", message)
                },
            )?
        }
    };
    let path = path.to_string_lossy();
    let bytes = read_bytes(&path, "examples/prices.toml")?;
    read_prices(&bytes).map_err(|found| {
        let lines = problem_lines(&path, &found, wording).join("\n");
        let message = Message::new("bill-cli-not-prices").with("problems", lines);
        let first = found.first.first();
        let field =
            first.map_or_else(|| path.to_string(), |first| format!("{path}:{} {}", first.line, first.field));
        let given = first.map(|first| first.given.clone()).unwrap_or_default();
        let sensible = first.map(|first| job::problems::sensible(&first.sensible)).unwrap_or_default();
        Refused::new("not_a_price_list", field, given, sensible, message)
    })
}

/// Appends the frozen copy to the file: to a job file an entry, to a log an event.
fn keep(path: &str, number: &str, fields: &[(String, String)], wording: &Wording) -> Result<(), Refused> {
    let bytes = read_bytes_up_to(path, "examples/jobs/room-7-repair.toml", LARGEST_FILE as u64)?;
    let addition = if bytes.trim_ascii_start().first() == Some(&b'{') {
        let fields: Vec<(&str, &str)> =
            fields.iter().map(|(field, text)| (field.as_str(), text.as_str())).collect();
        line(path, &bytes, "sent", &fields, &[], wording)?
    } else {
        let text = entry(fields);
        let whole = [bytes.as_slice(), text.as_bytes()].concat();
        record::read_job_file(&whole).map_err(|found| refused(path, &found, wording))?;
        text
    };
    let written = std::fs::OpenOptions::new().append(true).open(path).and_then(|mut file| {
        use std::io::Write as _;
        file.write_all(addition.as_bytes())?;
        file.sync_all()
    });
    written.map_err(|error| {
        let why = Message::new("cli-no-write").with("why", error.to_string());
        Refused::new("cannot_write", "FILE", path, "", why)
    })?;
    let said = Message::new("bill-cli-sent").with("number", number).with("file", path);
    eprintln!("{}", wording.say(&said));
    Ok(())
}

/// The frozen copy as an entry of a job file; the rows of its lists come one after the other.
fn entry(fields: &[(String, String)]) -> String {
    let mut out = "\n[[entry]]\nkind = \"sent\"\n".to_owned();
    let mut rows: Vec<(String, Vec<String>)> = Vec::new();
    for (path, text) in fields {
        match path.split_once("].") {
            None => out.push_str(&format!("{path} = {}\n", quoted(text))),
            Some((row, field)) => {
                let pair = format!("{field} = {}", quoted(text));
                match rows.last_mut().filter(|(last, _)| last == row) {
                    Some((_, pairs)) => pairs.push(pair),
                    None => rows.push((row.to_owned(), vec![pair])),
                }
            }
        }
    }
    for list in ["line", "tax"] {
        let of_list: Vec<String> = rows
            .iter()
            .filter(|(row, _)| row.split('[').next() == Some(list))
            .map(|(_, pairs)| format!("  {{ {} }},\n", pairs.join(", ")))
            .collect();
        if !of_list.is_empty() {
            out.push_str(&format!("{list} = [\n{}]\n", of_list.concat()));
        }
    }
    out
}
