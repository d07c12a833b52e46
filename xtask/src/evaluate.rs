//! Long evidence: each run writes its table with the command, the commit and the date that made it.

pub mod app;
pub mod charge;
pub mod diagnosis;
pub mod duties;
pub mod fleet;
pub mod fluid;
pub mod follow_up;
pub mod hold;
pub mod rise;
pub mod search;
pub mod server;
pub mod shop;

use std::process::Command;

const KNOWN: &[&str] = &[
    "hold [--cases N] [--seed S]   how often a hold test is wrong: false alarms and misses against the 5 % stated",
    "rise [--cases N] [--seed S]   how often the intervals of a vacuum rise hold the truth, and how often a tight one is called leaking",
    "charge [--cases N] [--seed S]   how often what is stated of a charge holds the truth",
    "follow-up [--cases N] [--seed S]   how often a follow-up sees a failed repair, against what is stated of it",
    "fluid [--states N] [--seed S] [--json]   every line, and N random states of each class through every question and back",
    "search [--cases N] [--seed S] [--json]   the leak search on invented systems: calibration, and minutes to find",
    "diagnosis [--cases N] [--seed S] [--json] [--dump FILE | --draws FILE]   faults of invented systems: how often they are named, and how honestly",
    "fleet [--systems N] [--day N] [--seed S] [--json]   N systems drifting for a year, false alarms and delay; a day of N systems, time and memory",
    "duties [--systems N]          how long the law takes for 100,000 systems with ten years of events, and its memory",
    "sync [--schedules N] [--seed S] [--store sqlite|postgres]   the sync model; without --store a tenth on PostgreSQL too",
    "kill [--times N]              the server killed under load, N times on each database",
    "server [--events N]           what the server takes in and gives out over HTTP, and its memory",
    "app                           the app on a phone slowed four times: loaded again, typed into, an entry kept",
    "store [--events N]            how fast the shop's store takes in and gives out, and its memory",
];

/// Runs the evaluation that `words` name.
pub fn run(words: &[&str]) -> Result<(), String> {
    match words {
        ["hold", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(100_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_125);
            let table = hold::table(cases, seed);
            let command = format!("cargo xtask evaluate hold --cases {cases} --seed {seed}");
            write("hold", &command, &table.text)?;
            if table.holds { Ok(()) } else { Err("hold: a limit is missed".to_owned()) }
        }
        ["rise", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(20_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_126);
            let table = rise::table(cases, seed);
            write("rise", &format!("cargo xtask evaluate rise --cases {cases} --seed {seed}"), &table.text)?;
            if table.holds { Ok(()) } else { Err("rise: a limit is missed".to_owned()) }
        }
        ["charge", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(20_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_126);
            let table = charge::table(cases, seed);
            write(
                "charge",
                &format!("cargo xtask evaluate charge --cases {cases} --seed {seed}"),
                &table.text,
            )?;
            if table.holds { Ok(()) } else { Err("charge: a limit is missed".to_owned()) }
        }
        ["follow-up", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(20_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_310_507);
            let table = follow_up::table(cases, seed);
            let command = format!("cargo xtask evaluate follow-up --cases {cases} --seed {seed}");
            write("follow-up", &command, &table.text)?;
            if table.holds { Ok(()) } else { Err("follow-up: a limit is missed".to_owned()) }
        }
        ["fluid", rest @ ..] => {
            let states = option(rest, "--states")?.unwrap_or(200_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_126);
            let json = rest.contains(&"--json");
            let trial = fluid::trial(states, seed, json)?;
            if json {
                println!("{{\"commit\": {:?}, \"trial\": {}}}", commit(), trial.text.trim());
            } else {
                let command = format!("cargo xtask evaluate fluid --states {states} --seed {seed}");
                write("fluid", &command, &trial.text)?;
            }
            if trial.holds { Ok(()) } else { Err("fluid: some failed".to_owned()) }
        }
        ["search", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(10_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_126);
            let json = rest.contains(&"--json");
            let trial = search::trial(cases, seed, json)?;
            if json {
                println!("{{\"commit\": {:?}, \"trial\": {}}}", commit(), trial.text.trim());
            } else {
                let command = format!("cargo xtask evaluate search --cases {cases} --seed {seed}");
                write("search", &command, &trial.text)?;
            }
            if trial.holds { Ok(()) } else { Err("search: a limit is missed".to_owned()) }
        }
        ["fleet", rest @ ..] => {
            let systems = option(rest, "--systems")?.unwrap_or(400);
            let day = option(rest, "--day")?.unwrap_or(30_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_126);
            let json = rest.contains(&"--json");
            let trial = fleet::trial(systems, day, seed, json)?;
            if json {
                println!("{{\"commit\": {:?}, \"trial\": {}}}", commit(), trial.text.trim());
            } else {
                let command =
                    format!("cargo xtask evaluate fleet --systems {systems} --day {day} --seed {seed}");
                write("fleet", &command, &trial.text)?;
            }
            if trial.holds { Ok(()) } else { Err("fleet: a limit is missed".to_owned()) }
        }
        ["diagnosis", rest @ ..] => {
            let cases = option(rest, "--cases")?.unwrap_or(5_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_125);
            if rest.contains(&"--truth") {
                println!("{}", diagnosis::truth::table((cases / 25) as usize, seed)?);
                return Ok(());
            }
            let word =
                |name: &str| rest.iter().position(|word| *word == name).and_then(|at| rest.get(at + 1));
            if let Some(path) = word("--draws") {
                let text = diagnosis::draws(cases as usize, seed)?;
                return std::fs::write(path, text).map_err(|e| format!("{path}: {e}"));
            }
            let dump = word("--dump");
            let trial = diagnosis::trial(cases as usize, seed, dump.copied())?;
            if rest.contains(&"--json") {
                println!("{}", trial.json);
            } else {
                let command = format!("cargo xtask evaluate diagnosis --cases {cases} --seed {seed}");
                write("diagnosis", &command, &trial.text)?;
            }
            if trial.holds { Ok(()) } else { Err("diagnosis: a limit is missed".to_owned()) }
        }
        ["duties", rest @ ..] => {
            let systems = option(rest, "--systems")?.unwrap_or(100_000);
            let table = duties::table(systems)?;
            write("duties", &format!("cargo xtask evaluate duties --systems {systems}"), &table.text)?;
            if table.holds { Ok(()) } else { Err("duties: a limit is missed".to_owned()) }
        }
        ["sync", rest @ ..] => {
            let schedules = option(rest, "--schedules")?.unwrap_or(2_000);
            let seed = option(rest, "--seed")?.unwrap_or(20_261_125);
            if let Some(at) = rest.iter().position(|word| *word == "--store") {
                let kind = rest.get(at + 1).ok_or("--store needs sqlite or postgres")?;
                return shop::sync(kind, schedules, seed).map(drop);
            }
            let command = format!("cargo xtask evaluate sync --schedules {schedules} --seed {seed}");
            let mut table = shop::sync("sqlite", schedules, seed)?;
            table.push_str(&shop::sync("postgres", schedules.div_ceil(10), seed)?);
            write("sync", &command, &table)
        }
        ["kill", rest @ ..] => {
            let times = option(rest, "--times")?.unwrap_or(200);
            write("kill", &format!("cargo xtask evaluate kill --times {times}"), &shop::kill(times)?)
        }
        ["server", rest @ ..] => {
            let events = option(rest, "--events")?.unwrap_or(100_000);
            let command = format!("cargo xtask evaluate server --events {events}");
            write("server", &command, &server::load(events)?)
        }
        ["app"] => {
            let (table, holds) = app::table()?;
            write("app", "cargo xtask evaluate app", &table)?;
            if holds { Ok(()) } else { Err("app: a limit is missed".to_owned()) }
        }
        ["store", rest @ ..] => {
            let events = option(rest, "--events")?.unwrap_or(1_000_000);
            let command = format!("cargo xtask evaluate store --events {events}");
            write("store", &command, &shop::speed(events)?)
        }
        _ => {
            KNOWN.iter().for_each(|line| println!("cargo xtask evaluate {line}"));
            if words.is_empty() { Ok(()) } else { Err(format!("no such evaluation: {}", words.join(" "))) }
        }
    }
}

fn option(words: &[&str], name: &str) -> Result<Option<u64>, String> {
    let Some(at) = words.iter().position(|word| *word == name) else { return Ok(None) };
    let value = words.get(at + 1).ok_or_else(|| format!("{name} needs a number"))?;
    value.parse().map(Some).map_err(|_| format!("{name} needs a number; seen: {value}"))
}

fn said(program: &str, words: &[&str]) -> Option<String> {
    let output = Command::new(program).args(words).output().ok().filter(|output| output.status.success())?;
    Some(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

fn commit() -> String {
    said("git", &["rev-parse", "--short", "HEAD"]).unwrap_or_else(|| "no commit".to_owned())
}

/// Returns the line that says which command made a page, at which commit, when.
pub fn made_by(command: &str) -> String {
    let date = said("date", &["-u", "+%Y-%m-%d"]).unwrap_or_else(|| "no date".to_owned());
    format!("Made by `{command}` at commit {} on {date}.", commit())
}

fn write(name: &str, command: &str, table: &str) -> Result<(), String> {
    let text = format!("# {name}\n\n{}\n\n{table}", made_by(command));
    print!("{text}");
    std::fs::create_dir_all("docs/evidence").map_err(|e| format!("docs/evidence: {e}"))?;
    let path = format!("docs/evidence/{name}.md");
    std::fs::write(&path, text).map_err(|e| format!("{path}: {e}"))
}
