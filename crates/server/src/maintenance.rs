//! The chores of the command line.

use crate::api::devices::{CODE_MS, link};
use crate::config::Config;
use crate::shop::now;
use crate::{demo, qr, secret, summary};
use clap::ArgMatches;
use report::Message;
use std::io::BufRead as _;
use std::path::Path;
use store::{Audit, Pairing, Person, Role, Store};
use wording::Wording;

/// A line of what a chore says.
pub enum Line {
    /// A sentence.
    Said(Message),
    /// What stands for itself: a name, a code, a picture of one.
    Plain(String),
}

impl Line {
    /// Returns the line in words.
    #[must_use]
    pub fn text(&self, wording: &Wording) -> String {
        match self {
            Line::Said(message) => wording.say(message),
            Line::Plain(text) => text.clone(),
        }
    }
}

impl From<Message> for Line {
    fn from(message: Message) -> Self {
        Line::Said(message)
    }
}

/// What became of a chore.
#[derive(Default)]
pub struct Done {
    /// What it says.
    pub said: Vec<Line>,
    /// Whether it found something wrong.
    pub failed: bool,
}

/// Why a chore was not done.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// The store does not do it.
    #[error("{0}")]
    Store(#[from] store::Error),
    /// Chance is missing.
    #[error("{0}")]
    NoRandomness(#[from] secret::NoRandomness),
    /// What was typed is not good enough.
    #[error("{0}")]
    Typed(String),
    /// Nothing can be read.
    #[error("the standard input: {0}")]
    Input(#[from] std::io::Error),
}

type Outcome = Result<Done, Fault>;

fn saying(message: Message) -> Done {
    Done { said: vec![message.into()], failed: false }
}

/// Does the chore of a subcommand.
///
/// # Errors
/// [`Fault`].
pub fn run(store: &dyn Store, config: &Config, name: &str, matches: &ArgMatches) -> Outcome {
    let place = |id| matches.get_one::<String>(id).map(Path::new).unwrap_or(Path::new(""));
    match name {
        "backup" => backup(store, place("into")),
        "restore" => restore(store, place("from")),
        "verify" => verify(store),
        "export" => export(store, place("into")),
        "import" => import(store, place("from")),
        "pair" => pair(store, config, matches),
        "demo" => demo::fill(store, &config.public_url),
        _ => person(store, matches),
    }
}

fn note(store: &dyn Store, what: &str, on: Option<String>) -> Result<(), Fault> {
    let detail = Some("on the server's command line".to_owned());
    let audit = Audit { at: now(), what: what.to_owned(), on, detail, ..Audit::default() };
    Ok(store.audit(&[audit])?)
}

fn backup(store: &dyn Store, into: &Path) -> Outcome {
    let manifest = store.backup(into, now())?;
    store::check_backup(into)?;
    note(store, "backup", None)?;
    let bytes: u64 = manifest.files.iter().map(|file| file.bytes).sum();
    Ok(saying(
        Message::new("server-backup")
            .with("files", manifest.files.len())
            .with("bytes", i64::try_from(bytes).unwrap_or(i64::MAX))
            .with("into", into.display().to_string()),
    ))
}

fn restore(store: &dyn Store, from: &Path) -> Outcome {
    store::restore(store, from, secret::id(now())?)?;
    note(store, "restore", None)?;
    let counts = store.counts()?;
    Ok(saying(
        Message::new("server-restore")
            .with("events", number(counts.events))
            .with("jobs", number(counts.jobs)),
    ))
}

fn number(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

fn verify(store: &dyn Store) -> Outcome {
    let verdict = store.verify()?;
    let mut done = Done { said: Vec::new(), failed: !verdict.is_clean() };
    done.said.push(
        Message::new("server-verify")
            .with("events", number(verdict.events))
            .with("pictures", number(verdict.pictures))
            .with("owed", verdict.owed.len())
            .with("faults", verdict.faults.len())
            .into(),
    );
    done.said.extend(verdict.faults.into_iter().map(Line::Plain));
    Ok(done)
}

fn export(store: &dyn Store, into: &Path) -> Outcome {
    // The lists of the export are of the summaries: they are brought up to date first.
    summary::refresh_all(store)?;
    let done = store::export(store, into)?;
    note(store, "export", None)?;
    Ok(saying(
        Message::new("server-export")
            .with("events", number(done.events))
            .with("pictures", number(done.pictures))
            .with("into", into.display().to_string()),
    ))
}

fn import(store: &dyn Store, from: &Path) -> Outcome {
    let done = store::import(store, from, now())?;
    note(store, "import", None)?;
    summary::refresh_all(store)?;
    let failed = !(done.refused.is_empty() && done.aside.is_empty() && done.bad_pictures.is_empty());
    let mut said: Vec<Line> = vec![
        Message::new("server-import")
            .with("new", number(done.new))
            .with("known", number(done.known))
            .with("pictures", number(done.pictures))
            .into(),
    ];
    let list = |items: Vec<String>| items.join(", ");
    if !done.refused.is_empty() {
        let ids = list(done.refused.iter().map(ToString::to_string).collect());
        said.push(Message::new("server-import-refused").with("ids", ids).into());
    }
    if !done.aside.is_empty() {
        let lines = list(done.aside.iter().map(ToString::to_string).collect());
        said.push(Message::new("server-import-aside").with("lines", lines).into());
    }
    if !done.bad_pictures.is_empty() {
        said.push(Message::new("server-import-pictures").with("names", list(done.bad_pictures)).into());
    }
    Ok(Done { said, failed })
}

/// Reads a password from the standard input: one line.
fn read_password() -> Result<String, Fault> {
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line)?;
    let password = line.trim_end_matches(['\r', '\n']);
    let count = password.chars().count();
    if (10..=200).contains(&count) {
        return Ok(password.to_owned());
    }
    Err(Fault::Typed(format!("the password has {count} characters; 10 to 200 are wanted, on one line")))
}

fn known(store: &dyn Store, name: &str) -> Result<Person, Fault> {
    store.person_named(name)?.filter(|person| person.active).ok_or_else(|| {
        Fault::Typed(format!(
            "nobody here is called {name}; see gastight-server person list, or add the person"
        ))
    })
}

fn person(store: &dyn Store, matches: &ArgMatches) -> Outcome {
    let Some((what, matches)) = matches.subcommand() else { return Ok(Done::default()) };
    let name = || matches.get_one::<String>("name").cloned().unwrap_or_default();
    match what {
        "add" => {
            let name = name();
            let role = matches.get_one::<String>("role").and_then(|text| Role::read(text));
            let role = role.unwrap_or(Role::Technician);
            if name.is_empty()
                || name.chars().count() > 100
                || name.starts_with(' ')
                || name.chars().any(char::is_control)
            {
                return Err(Fault::Typed(format!(
                    "\"{name}\" is no name; 1 to 100 characters on one line are wanted"
                )));
            }
            let wants = !role.has_phone_alone() || matches.get_flag("password");
            let password = if wants { Some(secret::hash_password(&read_password()?)?) } else { None };
            let id = secret::id(now())?;
            let person = Person { id, name: name.clone(), role, password, active: true, created: now() };
            store.put_person(&person)?;
            note(store, "person.add", Some(id.to_string()))?;
            Ok(saying(Message::new("server-person-added").with("name", name).with("role", role.as_str())))
        }
        "password" => {
            let mut person = known(store, &name())?;
            person.password = Some(secret::hash_password(&read_password()?)?);
            store.put_person(&person)?;
            store.end_sessions_of(person.id)?;
            store.remove_passkeys_of(person.id)?;
            note(store, "password.change", Some(person.id.to_string()))?;
            Ok(saying(Message::new("server-person-password").with("name", person.name)))
        }
        _ => {
            let line = |person: Person| {
                let active = if person.active { "" } else { "\t(left)" };
                Line::Plain(format!("{}\t{}\t{}{active}", person.id, person.role.as_str(), person.name))
            };
            Ok(Done { said: store.people()?.into_iter().map(line).collect(), failed: false })
        }
    }
}

fn pair(store: &dyn Store, config: &Config, matches: &ArgMatches) -> Outcome {
    let name = matches.get_one::<String>("name").cloned().unwrap_or_default();
    let person = known(store, &name)?;
    let code = secret::code()?;
    let expires = now() + CODE_MS;
    store.put_pairing(&Pairing { code: secret::code_hash(&code), person: person.id, expires })?;
    note(store, "device.invite", Some(person.id.to_string()))?;
    let link = link(&config.public_url, &code);
    let mut said = vec![Line::Plain(code)];
    if let Ok(picture) = qr::terminal(&link) {
        said.push(Line::Plain(picture));
    }
    said.push(Message::new("server-pair").with("name", person.name).with("link", link).into());
    Ok(Done { said, failed: false })
}
