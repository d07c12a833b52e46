//! The search for a leak: how it stands, where to look next, what is behind it; and a look added to the record.

use crate::Outcome;
use crate::jobs::{read_bytes_up_to, refused};
use crate::options::{Options, json_text, writer};
use crate::records;
use clap::{Arg, ArgAction, Command};
use job::Refused;
use job::search::{Search, document, explain_json, next_json, status_json};
use record::{Around, LARGEST_FILE};
use report::{Message, TextOptions};
use wording::Wording;

/// Fields of a look: the option and what it is in the record.
const FIELDS: [(&str, &str); 9] = [
    ("place", "place"),
    ("method", "method"),
    ("result", "result"),
    ("state", "state"),
    ("pressure", "pressure"),
    ("minutes", "minutes"),
    ("repeated", "repeated"),
    ("gone-when-moved", "gone_when_moved"),
    ("spoilt-by", "spoilt_by"),
];

/// Fields of a place of the circuit: the option and what it is in the record. The first is shared with a look.
const PLACE_FIELDS: [(&str, &str); 12] = [
    ("place", "place"),
    ("minutes", "minutes"),
    ("change", "change"),
    ("side", "side"),
    ("access", "access"),
    ("region", "region"),
    ("opening", "opening"),
    ("vibrates", "vibrates"),
    ("opened-on", "opened_on"),
    ("age", "age"),
    ("cap-missing", "cap_missing"),
    ("surroundings", "surroundings"),
];
/// How many of them are shared with a look.
const SHARED: usize = 2;

/// Returns the commands.
pub fn command(wording: &Wording) -> Command {
    let say = |message: Message| wording.say(&message);
    let file = || {
        Arg::new("file")
            .required(true)
            .num_args(1..)
            .value_name("FILE")
            .help(say(Message::new("cli-job-file")))
    };
    let asks = |name: &'static str, about: Message, example: &'static str| {
        Command::new(name)
            .about(say(about))
            .after_help(say(Message::new("cli-example").with("example", example)))
            .arg(Arg::new("json").long("json").action(ArgAction::SetTrue).help(say(Message::new("cli-json"))))
            .arg(file())
            .arg(
                Arg::new("units")
                    .long("units")
                    .value_name("us|metric|bar")
                    .help(say(Message::new("cli-units"))),
            )
            .arg(Arg::new("job").long("job").value_name("ID").help(say(Message::new("cli-job-id"))))
            .arg(
                Arg::new("shop")
                    .long("shop")
                    .value_name("PATH")
                    .action(ArgAction::Append)
                    .help(say(Message::new("seek-cli-shop"))),
            )
            .arg(
                Arg::new("no-learning")
                    .long("no-learning")
                    .action(ArgAction::SetTrue)
                    .help(say(Message::new("seek-cli-no-learning"))),
            )
    };
    let value = |name: &'static str, help: Message| {
        Arg::new(name).long(name).value_name("TEXT").allow_hyphen_values(true).help(say(help))
    };
    let log = Command::new("log")
        .about(say(Message::new("seek-cli-log")))
        .after_help(say(Message::new("cli-example").with(
            "example",
            "gastight search log visit.toml --place \"sight glass\" --method electronic --result clean --pressure 127psig",
        )))
        .arg(Arg::new("json").long("json").action(ArgAction::SetTrue).help(say(Message::new("cli-json"))))
        .arg(Arg::new("file").required(true).value_name("FILE").help(say(Message::new("seek-cli-log-file"))))
        .arg(value("place", Message::new("seek-cli-place")).required(true))
        .arg(value("method", Message::new("seek-cli-method")))
        .arg(value("result", Message::new("seek-cli-result")))
        .arg(value("state", Message::new("seek-cli-state")))
        .arg(value("pressure", Message::new("seek-cli-pressure")))
        .arg(value("minutes", Message::new("seek-cli-minutes")))
        .arg(value("repeated", Message::new("seek-cli-repeated")))
        .arg(value("gone-when-moved", Message::new("seek-cli-gone")))
        .arg(value("spoilt-by", Message::new("seek-cli-spoilt")))
        .arg(value("except", Message::new("seek-cli-except")).action(ArgAction::Append))
        .arg(value("change", Message::new("seek-cli-change")))
        .arg(value("side", Message::new("seek-cli-side")))
        .arg(value("access", Message::new("seek-cli-access")))
        .arg(value("region", Message::new("seek-cli-region")))
        .arg(value("opening", Message::new("seek-cli-opening")))
        .arg(value("vibrates", Message::new("seek-cli-vibrates")))
        .arg(value("opened-on", Message::new("seek-cli-opened-on")))
        .arg(value("age", Message::new("seek-cli-age")))
        .arg(value("cap-missing", Message::new("seek-cli-cap")))
        .arg(value("surroundings", Message::new("seek-cli-surroundings")));
    Command::new("search")
        .about(say(Message::new("seek-cli")))
        .subcommand_required(true)
        .arg_required_else_help(true)
        .disable_help_subcommand(true)
        .subcommand(asks("status", Message::new("seek-cli-status"), "gastight search status visit.toml"))
        .subcommand(asks("next", Message::new("seek-cli-next"), "gastight search next visit.toml --json"))
        .subcommand(asks("explain", Message::new("seek-cli-explain"), "gastight search explain visit.toml"))
        .subcommand(log)
}

/// Answers.
pub fn run(matches: &clap::ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
    let Some((name, matches)) = matches.subcommand() else {
        return Ok(Outcome::answered(String::new()));
    };
    let options = Options::new(matches, wording);
    if name == "log" {
        return log(&options, wording);
    }
    let record = records::read(&options.texts("file"), options.text("job"), wording)?;
    let mut visit = record.visit();
    if !options.flag("no-learning") {
        visit.lessons = job::search::lessons(&finds(&options.texts("shop"), wording)?, &visit);
    }
    let search = Search::of(&visit);
    let say = |message: &Message| wording.say(message);
    if options.flag("json") {
        return Ok(Outcome::answered(json_text(&match name {
            "next" => next_json(&search, &say),
            "status" => status_json(&search, &say),
            _ => explain_json(&search, &say),
        })));
    }
    if name == "next" {
        let (sentence, why) = search.now();
        let lines: Vec<String> = core::iter::once(say(&sentence)).chain(why.map(|why| say(&why))).collect();
        return Ok(Outcome::answered(lines.join("\n")));
    }
    let units = match options.text("units") {
        Some(wish) => writer(Some(wish), [])?,
        None => visit.writer(),
    };
    let units = units::Writer { decimal_comma: wording.decimal_comma(), ..units };
    let document = document(&visit, &search, &units, name == "explain");
    let text = TextOptions { explain: name == "explain", ..TextOptions::default() };
    Ok(Outcome::answered(report::to_text(&document, &say, text)))
}

/// The leaks that the records of a shop confirmed and mended. One broken file of a folder does not hide the others.
fn finds(paths: &[&str], wording: &Wording) -> Result<Vec<job::search::Find>, Refused> {
    let (files, folder) = crate::duties::files(paths)?;
    let mut gathered = records::Gathered::default();
    for file in &files {
        match records::gather(&[file], &mut gathered, wording) {
            Err(refused) if !folder => return Err(refused),
            _ => {}
        }
    }
    Ok(job::search::finds(gathered.visits.into_values().collect()))
}

/// Adds a look to the record: nothing that stands there is touched, and what cannot be read back is not written.
fn log(options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let path = options.text("file").unwrap_or_default();
    let except = options.texts("except");
    let is_place = PLACE_FIELDS[SHARED..].iter().any(|(option, _)| options.text(option).is_some());
    let is_look = FIELDS
        .iter()
        .any(|(option, _)| !matches!(*option, "place" | "minutes") && options.text(option).is_some());
    let whole = options.text("method").is_some() && options.text("result").is_some();
    if is_place == is_look || (is_look && !whole) || (is_place && !except.is_empty()) {
        let given = options.text("place").unwrap_or_default();
        return Err(Refused::new("missing", "--result", given, "--result", Message::new("seek-cli-either")));
    }
    let (kind, taken): (&str, &[(&str, &str)]) =
        if is_place { ("circuit place", &PLACE_FIELDS) } else { ("leak check", &FIELDS) };
    let fields: Vec<(&str, &str)> =
        taken.iter().filter_map(|(option, field)| Some((*field, options.text(option)?))).collect();
    let bytes = read_bytes_up_to(path, "examples/jobs/room-2-autumn.toml", LARGEST_FILE as u64)?;
    let addition = if bytes.trim_ascii_start().first() == Some(&b'{') {
        line(path, &bytes, kind, &fields, &except, wording)?
    } else {
        let text = entry(kind, &fields, &except);
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
    let record = records::read(&[path], None, wording)?;
    let search = Search::of(&record.visit());
    let say = |message: &Message| wording.say(message);
    if options.flag("json") {
        return Ok(Outcome::answered(json_text(&next_json(&search, &say))));
    }
    let (sentence, why) = search.now();
    let kept = Message::new("seek-cli-kept").with("file", path);
    let lines = [say(&kept), say(&sentence)].into_iter().chain(why.map(|why| say(&why)));
    Ok(Outcome::answered(lines.collect::<Vec<_>>().join("\n")))
}

/// An entry of a job file.
fn entry(kind: &str, fields: &[(&str, &str)], except: &[&str]) -> String {
    let mut out = format!("\n[[entry]]\nkind = {}\n", quoted(kind));
    for (field, text) in fields {
        out.push_str(&format!("{field} = {}\n", quoted(text)));
    }
    if !except.is_empty() {
        let all: Vec<String> = except.iter().map(|text| quoted(text)).collect();
        out.push_str(&format!("except = [{}]\n", all.join(", ")));
    }
    out
}

/// Returns a text in quotes, as a job file takes it.
pub fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// A line of a log.
pub fn line(
    path: &str,
    bytes: &[u8],
    kind: &str,
    fields: &[(&str, &str)],
    except: &[&str],
    wording: &Wording,
) -> Result<String, Refused> {
    let record = records::read(&[path], None, wording)?;
    let events: Vec<record::Event> = record.visits.last().cloned().unwrap_or_default();
    let Some(job) = events.first().map(|event| event.job) else {
        return Err(Refused::new("unknown_job", "FILE", path, "", Message::new("cli-log-no-job")));
    };
    let mut fields: Vec<(String, &str)> =
        fields.iter().map(|(field, text)| ((*field).to_owned(), *text)).collect();
    fields.extend(except.iter().enumerate().map(|(at, text)| (format!("except[{}]", at + 1), *text)));
    let borrowed: Vec<(&str, &str)> = fields.iter().map(|(field, text)| (field.as_str(), *text)).collect();
    let seen = record::read_entry(kind, &borrowed, &Around::default())
        .map_err(|found| refused(path, &found, wording))?;
    let mut maker = job::entry::Maker::new(job, None, None, &events);
    Ok(record::append_text(bytes, &[maker.observe(seen, tick())]))
}

/// Returns this moment, and what makes an id of this moment unique.
pub fn tick() -> job::entry::Tick {
    use std::hash::{BuildHasher as _, RandomState};
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
    let now_ms = i64::try_from(since.as_millis()).unwrap_or_default();
    let mut random = [0; 10];
    // Each of these states is seeded by the system.
    let words = [RandomState::new().hash_one(now_ms), RandomState::new().hash_one(since.subsec_nanos())];
    for (at, byte) in words.iter().flat_map(|word| word.to_le_bytes()).take(10).enumerate() {
        random[at] = byte;
    }
    job::entry::Tick { now_ms, random }
}
