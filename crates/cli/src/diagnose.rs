//! Faults by the model: cases from a file, line by line, and a prediction for each.

use crate::Outcome;
use crate::records;
use clap::{Arg, ArgMatches, Command};
use job::Refused;
use job::faults::visit::{of_visit, sentences};
use job::faults::{Cases, LONGEST_LINE, prediction};
use report::Message;
use std::fs::File;
use std::io::{BufRead, BufReader, BufWriter, Read, Write};
use wording::Wording;

/// How many refused lines are told one by one.
const SHOWN: usize = 20;

/// Returns the command.
pub fn command(wording: &Wording) -> Command {
    let say = |message: Message| wording.say(&message);
    let path = |name: &'static str, help: Message| {
        Arg::new(name).long(name).value_name("FILE").required_unless_present("file").help(say(help))
    };
    let example = "gastight diagnose --input cases.jsonl --output predictions.jsonl";
    Command::new("diagnose")
        .about(say(Message::new("fault-cli")))
        .after_help(say(Message::new("cli-example").with("example", example)))
        .arg(
            Arg::new("file")
                .value_name("JOB")
                .num_args(1..)
                .conflicts_with_all(["input", "output"])
                .help(say(Message::new("fault-cli-file"))),
        )
        .arg(path("input", Message::new("fault-cli-input")))
        .arg(path("output", Message::new("fault-cli-output")))
        .arg(
            Arg::new("json")
                .long("json")
                .action(clap::ArgAction::SetTrue)
                .help(say(Message::new("cli-json"))),
        )
}

/// Runs it: each line of the input gives a line of the output, in order; a line that is no case gives its refusal.
pub fn run(matches: &ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
    if let Some(files) = matches.get_many::<String>("file") {
        let files: Vec<&str> = files.map(String::as_str).collect();
        return visit(&files, matches.get_flag("json"), wording);
    }
    let name = |id: &str| matches.get_one::<String>(id).map_or("", String::as_str);
    let (from, to) = (name("input"), name("output"));
    let unread = |e: &std::io::Error| {
        Refused::new("unreadable", "input", from, e.to_string(), Message::new("fault-unreadable"))
    };
    let unwritten = |e: &std::io::Error| {
        Refused::new("unwritable", "output", to, e.to_string(), Message::new("fault-unwritable"))
    };
    let input = File::open(from).map_err(|e| unread(&e))?;
    // Written beside and put in place whole: an input that is also the output, or a failure half way, loses nothing.
    let beside = format!("{to}.part");
    let mut output = BufWriter::new(File::create(&beside).map_err(|e| unwritten(&e))?);
    let mut input = BufReader::new(input);
    let mut cases = Cases::default();
    let (mut number, mut predicted, mut refused) = (0_usize, 0_usize, Vec::new());
    loop {
        let mut line = Vec::new();
        let read = input
            .by_ref()
            .take(LONGEST_LINE as u64 + 2)
            .read_until(b'\n', &mut line)
            .map_err(|e| unread(&e))?;
        if read == 0 {
            break;
        }
        number += 1;
        if !line.ends_with(b"\n") && line.len() > LONGEST_LINE {
            skip_line(&mut input).map_err(|e| unread(&e))?;
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        let answer = match cases.predict(text) {
            Ok(answer) => {
                predicted += 1;
                answer
            }
            Err(fault) => {
                let said = wording.say(&fault.message);
                let answer = serde_json::json!({
                    "line": number, "error": { "code": fault.code, "field": fault.field, "given": fault.given,
                    "sensible": fault.sensible, "message": said },
                });
                refused.push((number, said));
                answer
            }
        };
        writeln!(output, "{answer}").map_err(|e| unwritten(&e))?;
    }
    output.flush().map_err(|e| unwritten(&e))?;
    drop(output);
    std::fs::rename(&beside, to).map_err(|e| unwritten(&e))?;
    let failed = !refused.is_empty();
    let text = if matches.get_flag("json") {
        let lines: Vec<usize> = refused.iter().map(|r| r.0).collect();
        format!("{}\n", serde_json::json!({ "predicted": predicted, "refused_lines": lines }))
    } else {
        let mut text = wording.say(
            &Message::new("fault-cli-done")
                .with("predicted", predicted)
                .with("refused", refused.len())
                .with("file", to),
        );
        text.push('\n');
        // The first of them, by number; all stand in the output.
        for (number, said) in refused.iter().take(SHOWN) {
            let line = Message::new("fault-cli-line").with("line", *number).with("said", said.as_str());
            text.push_str(&wording.say(&line));
            text.push('\n');
        }
        text
    };
    Ok(Outcome { text, failed })
}

/// What is probably wrong by the last readings of job files, or of a chain of them: the plain sentence first.
fn visit(files: &[&str], as_json: bool, wording: &Wording) -> Result<Outcome, Refused> {
    let record = records::read(files, None, wording)?;
    let said = of_visit(&record.visit())?;
    let lines: Vec<String> = sentences(&said).iter().map(|line| wording.say(line)).collect();
    let text = if as_json {
        let mut answer = prediction(&said.diagnosis);
        answer["sentences"] = serde_json::json!(lines);
        answer["assumed"] = serde_json::json!(said.assumed);
        answer["by_visit"] = serde_json::json!(said.baseline);
        format!("{answer}\n")
    } else {
        lines.join("\n") + "\n"
    };
    Ok(Outcome::answered(text))
}

fn skip_line(input: &mut impl BufRead) -> std::io::Result<()> {
    loop {
        let some = input.fill_buf()?;
        if some.is_empty() {
            return Ok(());
        }
        let end = some.iter().position(|b| *b == b'\n');
        let used = end.map_or(some.len(), |end| end + 1);
        input.consume(used);
        if end.is_some() {
            return Ok(());
        }
    }
}
