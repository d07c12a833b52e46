//! Refusals as JSON, and what clap says of the words turned into our own sentences.

use clap::error::{ContextKind, ContextValue, ErrorKind};
use job::Refused;
use report::Message;

/// Returns the refusal as programs read it.
pub fn json(refused: &Refused) -> String {
    let mut error = serde_json::json!({
        "code": refused.code,
        "field": refused.field,
        "given": refused.given,
        "sensible": refused.sensible,
    });
    if let Some(total) = refused.total {
        error["problems"] = refused.details.clone().into();
        error["total"] = total.into();
    }
    serde_json::json!({ "error": error }).to_string()
}

/// Returns the refusal of words that are not a command.
pub fn of_the_words(error: &clap::Error) -> Refused {
    let context = |kind: ContextKind| match error.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(all)) => all.join(", "),
        _ => String::new(),
    };
    let argument = context(ContextKind::InvalidArg);
    let field = argument.split_whitespace().next().unwrap_or_default().to_owned();
    match error.kind() {
        ErrorKind::UnknownArgument => {
            let near = context(ContextKind::SuggestedArg);
            if near.is_empty() {
                Refused::new(
                    "unknown_option",
                    "",
                    argument,
                    "--help",
                    Message::new("cli-unknown-option-plain"),
                )
            } else {
                Refused::new("unknown_option", "", argument, near, Message::new("cli-unknown-option"))
            }
        }
        ErrorKind::MissingRequiredArgument => {
            let usage = error.to_string();
            let usage =
                usage.lines().find_map(|line| line.strip_prefix("Usage: ")).unwrap_or("--help").to_owned();
            Refused::new("missing", argument, "", usage, Message::new("cli-missing"))
        }
        ErrorKind::ArgumentConflict => {
            let other = context(ContextKind::PriorArg);
            if other == argument || other.is_empty() {
                Refused::new("twice", field, argument, "", Message::new("cli-twice"))
            } else {
                Refused::new("conflict", field, argument, other, Message::new("cli-conflict"))
            }
        }
        ErrorKind::InvalidSubcommand => {
            let given = context(ContextKind::InvalidSubcommand);
            let near = context(ContextKind::SuggestedSubcommand);
            let sensible = if near.is_empty() { context(ContextKind::ValidSubcommand) } else { near };
            let sensible = if sensible.is_empty() { "--help".to_owned() } else { sensible };
            Refused::new("unknown_command", "", given, sensible, Message::new("cli-no-command"))
        }
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            let given = context(ContextKind::InvalidValue);
            let valid = context(ContextKind::ValidValue);
            if given.is_empty() {
                Refused::new("no_value", field, given, argument, Message::new("cli-no-value"))
            } else {
                Refused::new("bad_choice", field, given, valid, Message::new("cli-bad-choice"))
            }
        }
        _ => {
            let said = error.to_string();
            let first = said.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned();
            Refused::new("words", "", first, "--help", Message::new("cli-words"))
        }
    }
}
