//! Many systems by their controllers' logs: which one drifts, and why.

use crate::Outcome;
use clap::{Arg, ArgMatches, Command};
use job::Refused;
use report::Message;
use wording::Wording;

/// Returns the command; it stands in the help whether or not this program was built with it.
pub fn command(wording: &Wording) -> Command {
    let say = |message: Message| wording.say(&message);
    let option = |name: &'static str, value: &'static str, help: Message| {
        Arg::new(name).long(name).value_name(value).help(say(help))
    };
    let flag = |name: &'static str, help: Message| {
        Arg::new(name).long(name).action(clap::ArgAction::SetTrue).help(say(help))
    };
    let example = "gastight watch --input log.csv --refrigerant R-449A --keep points.parquet";
    Command::new("watch")
        .about(say(Message::new("watch-cli")))
        .after_help(say(Message::new("cli-example").with("example", example)))
        .arg(option("input", "FILE", Message::new("watch-cli-input")).conflicts_with("listen"))
        .arg(option("listen", "ADDRESS", Message::new("watch-cli-listen")).requires("topic"))
        .arg(option("topic", "TOPIC", Message::new("watch-cli-topic")).requires("listen"))
        .arg(option("during", "TIME", Message::new("watch-cli-during")).requires("listen"))
        .arg(
            option("messages", "N", Message::new("watch-cli-messages"))
                .value_parser(clap::value_parser!(u32))
                .requires("listen"),
        )
        .arg(option("map", "FILE", Message::new("watch-cli-map")))
        .arg(option("refrigerant", "NAME", Message::new("watch-cli-refrigerant")))
        .arg(option("systems", "FILE", Message::new("watch-cli-systems")))
        .arg(option("system", "NAME", Message::new("watch-cli-system")))
        .arg(option("altitude", "LENGTH", Message::new("cli-altitude")).conflicts_with("barometer"))
        .arg(option("barometer", "PRESSURE", Message::new("cli-barometer")))
        .arg(option("keep", "FILE", Message::new("watch-cli-keep")))
        .arg(option("parquet", "FILE", Message::new("watch-cli-parquet")))
        .arg(option("bad", "FILE", Message::new("watch-cli-bad")))
        .arg(option("output", "FILE", Message::new("watch-cli-output")))
        .arg(option("false-alarms", "N per M", Message::new("watch-cli-alarms")))
        .arg(
            option("memory", "MB", Message::new("watch-cli-memory"))
                .value_parser(clap::value_parser!(u32).range(64..=65_536)),
        )
        .arg(option("units", "us|metric|bar", Message::new("cli-units")))
        .arg(flag("plan", Message::new("watch-cli-plan")))
        .arg(flag("json", Message::new("cli-json")))
}

/// Says that this program was built without it.
#[cfg(not(feature = "fleet"))]
pub fn run(_: &ArgMatches, _: &Wording) -> Result<Outcome, Refused> {
    let message = Message::new("watch-cli-no-fleet");
    Err(Refused::new("no_fleet", "watch", "watch", "--features fleet", message))
}

#[cfg(feature = "fleet")]
pub use with_fleet::run;

#[cfg(feature = "fleet")]
mod with_fleet {
    use super::{ArgMatches, Message, Outcome, Refused, Wording};
    use crate::options::{Options, json_text};
    use fleet::{Broker, Fault, Input, Report, System, Task};
    use serde_json::{Value, json};
    use std::collections::BTreeMap;
    use std::path::PathBuf;
    use trend::{Finding, Limits, Look};
    use units::{Date, Duration, Quantity, Writer};

    /// Systems told one by one on the screen; all stand in `--output` and `--json`.
    const SHOWN: usize = 50;

    /// Answers `gastight watch`.
    pub fn run(matches: &ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
        let options = Options::new(matches, wording);
        if options.flag("plan") {
            return Ok(Outcome::answered(fleet::REDUCTION.trim().to_owned()));
        }
        let task = task(&options)?;
        let writer = options.writer()?;
        let report = fleet::watch(&task).map_err(refused)?;
        if let Some(path) = options.text("output") {
            let written = list(&report, wording, &writer);
            // Beside it first: a full disk leaves the older list whole.
            let beside = format!("{path}.part");
            std::fs::write(&beside, written)
                .and_then(|()| std::fs::rename(&beside, path))
                .map_err(|e| refused(Fault::file("--output", path.as_ref(), e)))?;
        }
        let failed = report.tally.bad > 0;
        if options.flag("json") {
            return Ok(Outcome { text: json_text(&answer(&report, &task, wording, &writer)), failed });
        }
        Ok(Outcome { text: told(&report, wording, &writer), failed })
    }

    fn refused(fault: Fault) -> Refused {
        Refused::new(fault.code, fault.field, fault.given, fault.sensible, fault.message)
    }

    fn task(options: &Options<'_>) -> Result<Task, Refused> {
        let input = match (options.text("input"), options.text("listen")) {
            (Some("-"), _) => Input::Stdin,
            (Some(path), _) => {
                let path = PathBuf::from(path);
                let is_parquet = path.extension().is_some_and(|end| end.eq_ignore_ascii_case("parquet"));
                if is_parquet { Input::Parquet(path) } else { Input::Csv(path) }
            }
            (None, Some(address)) => {
                let during = options.positive::<Duration>("during", "10 min")?;
                let during = during.map_or(600.0, Quantity::si).min(366.0 * 86_400.0);
                let most = options.count("messages").map(u64::from);
                let topic = options.text("topic").unwrap_or("#");
                let during = std::time::Duration::from_secs_f64(during);
                Input::Broker(Broker::read(address, topic, during, most).map_err(refused)?)
            }
            (None, None) => {
                let message = Message::new("watch-cli-one-input");
                return Err(Refused::new("missing", "--input", "", "log.csv", message));
            }
        };
        let mut task = Task::new(input);
        let read = |option: &'static str| -> Result<Option<String>, Refused> {
            let Some(path) = options.text(option) else { return Ok(None) };
            let field = if option == "map" { "--map" } else { "--systems" };
            let text = std::fs::read_to_string(path);
            text.map(Some).map_err(|e| refused(Fault::file(field, path.as_ref(), e)))
        };
        task.map = read("map")?;
        task.air = options.air()?;
        task.only = options.text("system").unwrap_or_default().to_owned();
        task.refrigerant = options.text("refrigerant").map(str::to_owned);
        if let Some(text) = read("systems")? {
            (task.refrigerants, task.proved) = systems(&text)?;
        }
        task.keep = options.text("keep").map(PathBuf::from);
        task.readings_to = options.text("parquet").map(PathBuf::from);
        task.bad_to = options.text("bad").map(PathBuf::from);
        if let Some(text) = options.text("false-alarms") {
            task.limits = limits(text)?;
        }
        if let Some(megabytes) = options.count("memory") {
            task.memory = megabytes as usize * 1_000_000;
        }
        Ok(task)
    }

    fn limits(text: &str) -> Result<Limits, Refused> {
        let rate = match text.split_once("per") {
            Some((n, m)) => {
                n.trim().parse::<f64>().ok().zip(m.trim().parse::<f64>().ok()).map(|(n, m)| n / m)
            }
            None => text.trim().parse().ok(),
        };
        match rate.filter(|rate| (1e-5..=10.0).contains(rate)) {
            Some(false_alarms) => Ok(Limits { false_alarms }),
            None => {
                let message = Message::new("watch-cli-bad-alarms");
                Err(Refused::new("bad_rate", "--false-alarms", text, "1 per 100", message))
            }
        }
    }

    type Systems = (BTreeMap<String, String>, BTreeMap<String, i64>);

    /// The list of systems: refrigerant, and the day on which each was proved right.
    fn systems(text: &str) -> Result<Systems, Refused> {
        let mut reader =
            csv::ReaderBuilder::new().trim(csv::Trim::All).flexible(true).from_reader(text.as_bytes());
        let bad = |line: u64, given: &str| {
            let message = Message::new("watch-cli-bad-systems").with("line", line.to_string());
            Refused::new("bad_systems", "--systems", given, "system,refrigerant,proved", message)
        };
        let heads = reader.headers().map_err(|e| bad(1, &e.to_string()))?.clone();
        let at = |name: &str| heads.iter().position(|head| head == name);
        let Some(system_at) = at("system") else {
            return Err(bad(1, &heads.iter().collect::<Vec<_>>().join(",")));
        };
        let (mut refrigerants, mut proved) = (BTreeMap::new(), BTreeMap::new());
        for row in reader.records() {
            let row = row.map_err(|e| bad(0, &e.to_string()))?;
            let line = row.position().map_or(0, csv::Position::line);
            let cell = |at: Option<usize>| at.and_then(|at| row.get(at)).filter(|text| !text.is_empty());
            let Some(system) = cell(Some(system_at)) else { return Err(bad(line, "")) };
            if let Some(name) = cell(at("refrigerant")) {
                refrigerants.insert(system.to_owned(), name.to_owned());
            }
            if let Some(day) = cell(at("proved")) {
                let date: Date = day.parse().map_err(|_| bad(line, day))?;
                proved.insert(system.to_owned(), i64::from(date.day_number()));
            }
        }
        Ok((refrigerants, proved))
    }

    fn day(number: i64) -> String {
        Date::from_day_number(i32::try_from(number).unwrap_or_default()).to_string()
    }

    fn sentences(finding: &Finding, wording: &Wording, writer: &Writer) -> Vec<String> {
        let mut all = vec![wording.say(&trend::headline(finding, &day(finding.since)))];
        if finding.is_alarm() {
            all.extend(trend::because(finding, writer).iter().map(|one| wording.say(one)));
        }
        all
    }

    const fn state(look: &Look) -> &'static str {
        match look {
            Look::TooEarly { .. } => "too_early",
            Look::Found(finding) if finding.evidence >= 1.0 => "alarm",
            Look::Found(_) => "quiet",
        }
    }

    fn told(report: &Report, wording: &Wording, writer: &Writer) -> String {
        let mut lines = Vec::new();
        let count = |what: &str| report.systems.iter().filter(|system| state(&system.look) == what).count();
        for (rank, system) in report.systems.iter().take(SHOWN).enumerate() {
            let Look::Found(finding) = &system.look else { continue };
            if !finding.is_alarm() {
                continue;
            }
            let mut said = sentences(finding, wording, writer).into_iter();
            let line = Message::new("watch-line")
                .with("rank", (rank + 1).to_string())
                .with("system", system.name.as_str())
                .with("headline", said.next().unwrap_or_default());
            lines.push(wording.say(&line));
            lines.extend(said.map(|sentence| format!("   {sentence}")));
        }
        let early = report.systems.iter().filter_map(|system| match &system.look {
            Look::TooEarly { days, needed } => Some((system, *days, *needed)),
            Look::Found(_) => None,
        });
        for (system, days, needed) in early.take(5) {
            let line = Message::new("watch-early-line")
                .with("system", system.name.as_str())
                .with("days", days.to_string())
                .with("needed", needed.to_string());
            lines.push(wording.say(&line));
        }
        let without: Vec<&System> = report.systems.iter().filter(|system| !system.has_refrigerant).collect();
        if let Some(first) = without.first() {
            let line = Message::new("watch-no-gas")
                .with("count", without.len().to_string())
                .with("name", first.name.as_str());
            lines.push(wording.say(&line));
        }
        let odd: Vec<&System> = report.systems.iter().filter(|system| !system.pressures_fit).collect();
        if let Some(first) = odd.first() {
            let line = Message::new("watch-odd-pressures")
                .with("count", odd.len().to_string())
                .with("name", first.name.as_str());
            lines.push(wording.say(&line));
        }
        let sum = Message::new("watch-sum")
            .with("systems", report.systems.len().to_string())
            .with("alarms", count("alarm").to_string())
            .with("quiet", count("quiet").to_string())
            .with("early", count("too_early").to_string());
        lines.push(wording.say(&sum));
        for (line, why) in &report.tally.named {
            let why = wording.say(why);
            let line = Message::new("watch-bad-row").with("line", line.to_string()).with("why", why);
            lines.push(wording.say(&line));
        }
        let rows = Message::new("watch-rows")
            .with("taken", (report.tally.taken.saturating_sub(report.again)).to_string())
            .with("again", report.again.to_string())
            .with("empty", report.tally.empty.to_string())
            .with("bad", report.tally.bad.to_string());
        lines.push(wording.say(&rows));
        lines.push(wording.say(&Message::new("watch-honest")));
        lines.join("\n")
    }

    fn answer(report: &Report, task: &Task, wording: &Wording, writer: &Writer) -> Value {
        let systems: Vec<Value> = report
            .systems
            .iter()
            .enumerate()
            .map(|(rank, system)| {
                let mut one = json!({
                    "rank": rank + 1,
                    "system": system.name,
                    "state": state(&system.look),
                    "last": day(system.last),
                    "windows": system.windows.0,
                    "steady_windows": system.windows.1,
                    "has_refrigerant": system.has_refrigerant,
                    "pressures_fit": system.pressures_fit,
                });
                match &system.look {
                    Look::TooEarly { days, needed } => {
                        one["days"] = json!(days);
                        one["days_needed"] = json!(needed);
                    }
                    Look::Found(finding) => {
                        one["evidence"] = json!(finding.evidence);
                        one["since"] = json!(day(finding.since));
                        one["causes"] = finding
                            .causes
                            .iter()
                            .map(|(cause, share)| json!({ "cause": cause.word(), "share": share }))
                            .collect();
                        one["changes"] = finding
                            .changes
                            .iter()
                            .map(|c| json!({ "feature": c.feature.word(), "size": c.size, "u": c.doubt }))
                            .collect();
                        one["sentences"] = json!(sentences(finding, wording, writer));
                    }
                }
                one
            })
            .collect();
        let named: Vec<Value> = report
            .tally
            .named
            .iter()
            .map(|(line, why)| json!({ "line": line, "why": wording.say(why) }))
            .collect();
        json!({
            "false_alarms_per_system_year": task.limits.false_alarms,
            "rows": {
                "taken": report.tally.taken.saturating_sub(report.again),
                "again": report.again,
                "empty": report.tally.empty,
                "bad": report.tally.bad,
                "bad_named": named,
            },
            "note": wording.say(&Message::new("watch-honest")),
            "systems": systems,
        })
    }

    fn list(report: &Report, wording: &Wording, writer: &Writer) -> Vec<u8> {
        let mut out = csv::Writer::from_writer(Vec::new());
        let heads = ["rank", "system", "state", "evidence", "cause", "share", "since", "last", "reasons"];
        // Into memory: nothing to fail.
        let _ = out.write_record(heads);
        for (rank, system) in report.systems.iter().enumerate() {
            let mut row = vec![(rank + 1).to_string(), plain(&system.name), state(&system.look).to_owned()];
            match &system.look {
                Look::TooEarly { .. } => row.extend(vec![String::new(); 4]),
                Look::Found(finding) => {
                    row.push(format!("{:.3e}", finding.evidence));
                    let first = finding.causes.first();
                    row.push(first.map_or_else(String::new, |(cause, _)| cause.word().to_owned()));
                    row.push(first.map_or_else(String::new, |(_, share)| format!("{share:.3}")));
                    row.push(day(finding.since));
                }
            }
            row.push(day(system.last));
            row.push(match &system.look {
                Look::Found(finding) => sentences(finding, wording, writer).join(" "),
                Look::TooEarly { .. } => String::new(),
            });
            let _ = out.write_record(&row);
        }
        out.into_inner().unwrap_or_default()
    }

    /// A name that a spreadsheet would take for a formula is quoted for it.
    fn plain(name: &str) -> String {
        if name.starts_with(['=', '+', '-', '@']) { format!("'{name}") } else { name.to_owned() }
    }
}
