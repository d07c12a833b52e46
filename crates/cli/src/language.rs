//! The language that a person reads: asked for, or that of the machine; and what the command library says itself.

use clap::{Arg, ArgAction, Command};
use report::Message;
use std::ffi::OsString;
use wording::Wording;

/// Returns the language asked for by `--language`, else the one the machine is set to.
pub fn asked(words: &[OsString]) -> String {
    let mut words = words.iter().map_while(|word| word.to_str());
    while let Some(word) = words.next() {
        match word.strip_prefix("--language") {
            Some("") => return words.next().unwrap_or_default().to_owned(),
            Some(rest) if rest.starts_with('=') => return rest[1..].to_owned(),
            _ if word == "--" => break,
            _ => {}
        }
    }
    let set = ["LC_ALL", "LC_MESSAGES", "LANG"].iter().find_map(|name| {
        let value = std::env::var(name).ok().filter(|value| !value.is_empty())?;
        // What stands behind the tag is a character set.
        Some(value.split(['.', '@']).next().unwrap_or_default().to_owned())
    });
    set.unwrap_or_default()
}

/// Words the headings and the help that the library would else say in English, in this command and all below it.
pub fn worded(command: Command, wording: &Wording) -> Command {
    let say = |message: Message| wording.say(&message);
    let arguments = say(Message::new("cli-heading-arguments"));
    let options = say(Message::new("cli-heading-options"));
    let usage = say(Message::new("cli-heading-usage"));
    let help = Arg::new("help")
        .short('h')
        .long("help")
        .action(ArgAction::Help)
        .help(say(Message::new("cli-help")))
        .help_heading(options.clone());
    let has_version = command.get_version().is_some();
    let mut command = command
        .disable_help_flag(true)
        .disable_version_flag(true)
        .arg(help)
        .subcommand_help_heading(say(Message::new("cli-heading-commands")))
        .help_template(format!("{{about-with-newline}}\n{usage} {{usage}}\n\n{{all-args}}{{after-help}}"));
    if has_version {
        let version = Arg::new("version").short('V').long("version").action(ArgAction::Version);
        command = command.arg(version.help(say(Message::new("cli-version"))));
    }
    command = command.mut_args(|arg| {
        let heading = if arg.is_positional() { &arguments } else { &options };
        arg.help_heading(heading.clone())
    });
    let names: Vec<String> = command.get_subcommands().map(|inner| inner.get_name().to_owned()).collect();
    names
        .into_iter()
        .fold(command, |command, name| command.mut_subcommand(name, |inner| worded(inner, wording)))
}

/// Returns the option that names the language; it may stand anywhere.
pub fn option(wording: &Wording) -> Arg {
    Arg::new("language")
        .long("language")
        .value_name("en|fr")
        .global(true)
        .value_parser(["en", "fr", "fr-CA"])
        .hide_possible_values(true)
        .help(wording.say(&Message::new("cli-language")))
}
