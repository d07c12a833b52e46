//! The command line: one question at a time, or a whole job from its file.

mod asks;
mod batch;
mod bills;
mod command;
mod diagnose;
mod duties;
mod jobs;
mod language;
mod options;
mod output;
mod records;
mod refusals;
mod search;
mod take;
mod watch;

use job::Refused;
use options::Options;
use std::io::Write;
use std::process::ExitCode;
use wording::Wording;

/// What a command ends with: what to print and whether rows or checks failed.
pub struct Outcome {
    /// Goes to stdout.
    pub text: String,
    /// Rows or checks failed: exit 1.
    pub failed: bool,
}

impl Outcome {
    /// Returns an answer.
    pub fn answered(text: String) -> Self {
        Self { text, failed: false }
    }
}

fn main() -> ExitCode {
    let words: Vec<_> = std::env::args_os().collect();
    let wording = Wording::new(&language::asked(&words));
    let wants_json = words.iter().any(|word| word == "--json");
    let outcome = match command::command(&wording).try_get_matches_from(&words) {
        Ok(matches) => run(&matches, &wording),
        Err(error) if !error.use_stderr() => {
            // Help and version are answers.
            return print(&error.to_string()).map_or(ExitCode::from(2), |()| ExitCode::SUCCESS);
        }
        Err(error) if error.kind() == clap::error::ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            eprint!("{error}");
            return ExitCode::from(2);
        }
        Err(error) => Err(refusals::of_the_words(&error)),
    };
    match outcome {
        Ok(outcome) => match print(&outcome.text) {
            Ok(()) if outcome.failed => ExitCode::from(1),
            Ok(()) => ExitCode::SUCCESS,
            Err(_) => ExitCode::from(2),
        },
        Err(refused) => {
            if wants_json {
                eprintln!("{}", refusals::json(&refused));
            } else {
                eprintln!("{}", wording.say(&refused.message));
            }
            ExitCode::from(2)
        }
    }
}

fn run(matches: &clap::ArgMatches, wording: &Wording) -> Result<Outcome, Refused> {
    let Some((name, matches)) = matches.subcommand() else {
        return Ok(Outcome::answered(String::new()));
    };
    let options = Options::new(matches, wording);
    match name {
        "saturation" => asks::saturation(&options),
        "state" => asks::state(&options),
        "pipe" => asks::pipe(&options),
        "superheat" => asks::superheat(&options),
        "subcooling" => asks::subcooling(&options),
        "hold" => asks::hold(&options),
        "rise" => asks::rise(&options),
        "cylinder" => asks::cylinder(&options),
        "receiver" => asks::receiver(&options),
        "winter" => asks::winter(&options),
        "box" => asks::cold_box(&options),
        "displays" => asks::displays(&options),
        "fractionation" => asks::fractionation(&options),
        "outflow" => asks::outflow(&options),
        "pulldown" => asks::pulldown(&options),
        "opening" => asks::opening(&options),
        "recovery" => asks::recovery(&options),
        "evacuation" => asks::evacuation(&options),
        "refrigerants" => asks::refrigerants(&options),
        "batch" => match matches.subcommand() {
            Some((_, matches)) => batch::run(&Options::new(matches, wording), wording),
            None => Ok(Outcome::answered(String::new())),
        },
        "duties" => duties::run(&options, wording, today()),
        "diagnose" => diagnose::run(matches, wording),
        "search" => search::run(matches, wording),
        "watch" => watch::run(matches, wording),
        "completions" => completions(&options, wording),
        _ => jobs::run(matches, wording),
    }
}

fn completions(options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let mut script = Vec::new();
    let mut tree = command::command(wording);
    let generate = |shell| clap_complete::generate(shell, &mut tree, "gastight", &mut script);
    match options.text("shell").unwrap_or_default() {
        "zsh" => clap_complete::Shell::Zsh,
        "fish" => clap_complete::Shell::Fish,
        "powershell" => clap_complete::Shell::PowerShell,
        "elvish" => clap_complete::Shell::Elvish,
        _ => clap_complete::Shell::Bash,
    }
    .pipe(generate);
    Ok(Outcome::answered(String::from_utf8_lossy(&script).into_owned()))
}

/// The day by the machine's clock, in UTC.
fn today() -> Option<job::law::Date> {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).ok()?;
    let days = i32::try_from(since.as_secs() / 86_400).ok()?;
    Some(job::law::Date::from_day_number(days))
}

trait Pipe: Sized {
    fn pipe<T>(self, f: impl FnOnce(Self) -> T) -> T {
        f(self)
    }
}
impl<T> Pipe for T {}

/// Prints an answer. A reader that went away (a closed pipe) is no fault of ours.
fn print(text: &str) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    let written = out
        .write_all(text.as_bytes())
        .and_then(|()| if text.ends_with('\n') || text.is_empty() { Ok(()) } else { out.write_all(b"\n") });
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
