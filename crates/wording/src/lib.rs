//! The sentences a person reads, by message id and language.
//!
//! A language is a folder of Fluent files under `locales/`, embedded here; code names sentences by id. A test reads
//! every `Message::new("id").with("name", value)` of the workspace (the id a literal; what the same file adds to a
//! message later counts too) and compares ids and arguments with the catalogue,
//! both ways.
//!
//! ```
//! use report::Message;
//! let wording = wording::Wording::new("en");
//! assert_eq!(wording.say(&Message::new("report-verdict-met")), "met");
//! assert_eq!(wording.say(&Message::new("no-such-sentence")), "«no-such-sentence»");
//! ```

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use report::{Arg, Message};

/// The files of a language: (name, text).
pub type Files = &'static [(&'static str, &'static str)];

macro_rules! files {
    ($language:literal: $($name:literal),+ $(,)?) => {
        ($language, &[$((
            concat!($name, ".ftl"),
            include_str!(concat!("../locales/", $language, "/", $name, ".ftl")),
        )),+])
    };
}

macro_rules! languages {
    ($($besides:literal),*) => {
        &[
            files!(
                "en": "report", "job", "visit", "errors", "entry", "shell", "law", "stage", "search", "app", "office", "plan",
                "call", "fraction", "fault", "van", "shop", "watch", $($besides),*
            ),
            files!(
                "fr-CA": "report", "job", "visit", "errors", "entry", "shell", "law", "stage", "search", "app", "office", "plan",
                "call", "fraction", "fault", "van", "shop", "watch", $($besides),*
            ),
        ]
    };
}

/// The languages shipped, each with its files. A new file, or a new language, is one more name here.
///
/// The first one is complete; what another lacks is said in the first one's words. `prepared/` holds languages that are
/// begun and not offered yet (Spanish: the phone's screens); a whole one moves to `locales/` and gets its line here. What the
/// phone never says is left out of it: the feature `whole` adds it.
#[cfg(not(feature = "whole"))]
pub const LANGUAGES: &[(&str, Files)] = languages!();
/// The same with what the command line and the server say besides.
#[cfg(feature = "whole")]
pub const LANGUAGES: &[(&str, Files)] = languages!("cli", "batch", "outflow", "paper", "server");

/// The catalogue of one language.
pub struct Wording {
    language: String,
    bundle: FluentBundle<FluentResource>,
    fallback: Option<Box<Wording>>,
}

/// Why a catalogue cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CatalogueError {
    /// The language is not a language tag.
    Language {
        /// What was given.
        given: String,
    },
    /// A file is not Fluent.
    Syntax {
        /// The file.
        file: String,
        /// The place of the first fault, in bytes from the start.
        at: usize,
    },
    /// An id is given twice.
    Twice {
        /// The file of the second.
        file: String,
        /// The id.
        id: String,
    },
}

impl Wording {
    /// Returns the catalogue of `language`: by its whole tag, else by its first part ("en-GB" is read as "en", "fr" as
    /// "fr-CA"), else English. [`Wording::language`] says which.
    ///
    /// # Panics
    /// Never: every language shipped is read by the tests.
    #[must_use]
    pub fn new(language: &str) -> Wording {
        let part = |tag: &str| tag.split(['-', '_']).next().unwrap_or_default().to_ascii_lowercase();
        let whole = LANGUAGES.iter().find(|(name, _)| name.eq_ignore_ascii_case(&language.replace('_', "-")));
        let by_part = || LANGUAGES.iter().find(|(name, _)| part(name) == part(language));
        let (name, files) = whole.or_else(by_part).unwrap_or(&LANGUAGES[0]);
        match Wording::from_files(name, files) {
            Ok(mut wording) => {
                if *name != LANGUAGES[0].0 {
                    wording.fallback = Some(Box::new(Wording::new(LANGUAGES[0].0)));
                }
                wording
            }
            Err(fault) => unreachable!("{fault:?}"),
        }
    }

    /// Returns a catalogue from the text of its files.
    ///
    /// # Errors
    /// [`CatalogueError`] when the tag or a file cannot be read, or an id stands twice.
    pub fn from_files(language: &str, files: &[(&str, &str)]) -> Result<Wording, CatalogueError> {
        let Ok(tag) = language.parse() else {
            return Err(CatalogueError::Language { given: language.to_owned() });
        };
        let mut bundle = FluentBundle::new_concurrent(vec![tag]);
        bundle.set_use_isolating(false);
        bundle.set_formatter(Some(number));
        for (file, text) in files {
            let resource = FluentResource::try_new((*text).to_owned()).map_err(|(_, faults)| {
                let at = faults.first().map_or(0, |fault| fault.pos.start);
                CatalogueError::Syntax { file: (*file).to_owned(), at }
            })?;
            bundle.add_resource(resource).map_err(|faults| {
                let id = match faults.into_iter().next() {
                    Some(fluent_bundle::FluentError::Overriding { id, .. }) => id,
                    _ => String::new(),
                };
                CatalogueError::Twice { file: (*file).to_owned(), id }
            })?;
        }
        Ok(Wording { language: language.to_owned(), bundle, fallback: None })
    }

    /// Returns the language of the catalogue.
    #[must_use]
    pub fn language(&self) -> &str {
        &self.language
    }

    /// Returns whether numbers of this language have a decimal comma.
    #[must_use]
    pub fn decimal_comma(&self) -> bool {
        !self.language.starts_with("en")
    }

    /// Returns the sentence. An id that the catalogue lacks is said in English, or gives `«id»`; an argument that is missing leaves its
    /// name in braces, with `«id»` after the sentence.
    #[must_use]
    pub fn say(&self, message: &Message) -> String {
        let id = message.id;
        let Some(pattern) = self.bundle.get_message(id).and_then(|found| found.value()) else {
            return match &self.fallback {
                Some(fallback) => fallback.say(message),
                None => format!("«{id}»"),
            };
        };
        let mut args = FluentArgs::with_capacity(message.args.len());
        for (name, arg) in &message.args {
            match arg {
                Arg::Text(text) => args.set(*name, FluentValue::from(text.as_str())),
                Arg::Count(count) => args.set(*name, FluentValue::from(*count)),
                Arg::Message(inner) => args.set(*name, FluentValue::from(self.say(inner))),
            }
        }
        let mut faults = Vec::new();
        let text = self.bundle.format_pattern(pattern, Some(&args), &mut faults).into_owned();
        if faults.is_empty() { text } else { format!("{text} «{id}»") }
    }
}

impl core::fmt::Debug for Wording {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Wording").field("language", &self.language).finish_non_exhaustive()
    }
}

/// Counts are written without grouping, the minus as U+2212, as everywhere else.
fn number<M>(value: &FluentValue, _: &M) -> Option<String> {
    match value {
        FluentValue::Number(number) if number.value < 0.0 => Some(format!("\u{2212}{}", -number.value)),
        FluentValue::Number(number) => Some(number.value.to_string()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: (&str, &str) =
        ("a.ftl", "left = { $count ->\n    [one] one left\n   *[other] { $count } left\n }\n");

    #[test]
    fn a_language_is_a_folder() {
        let wording =
            Wording::from_files("de", &[("a.ftl", "tight = dicht\n"), ("b.ftl", "by = mit { $what }\n")]);
        let wording = wording.unwrap();
        assert_eq!(wording.language(), "de");
        let inner = Message::new("by").with("what", Message::new("tight"));
        assert_eq!(wording.say(&inner), "mit dicht");
    }

    #[test]
    fn a_tag_is_read_by_its_parts() {
        for (asked, got) in [
            ("fr", "fr-CA"),
            ("fr_CA", "fr-CA"),
            ("FR-fr", "fr-CA"),
            ("en-GB", "en"),
            ("xx", "en"),
            ("", "en"),
        ] {
            assert_eq!(Wording::new(asked).language(), got, "{asked}");
        }
        assert_eq!(Wording::new("fr").say(&Message::new("report-verdict-met")), "respecté");
        assert_eq!(Wording::new("fr").say(&Message::new("nowhere")), "«nowhere»");
    }

    #[test]
    fn counts_choose_plurals_and_minus_is_a_minus() {
        let wording = Wording::from_files("en", &[PLAIN]).unwrap();
        let say = |count: i64| wording.say(&Message::new("left").with("count", count));
        assert_eq!(say(1), "one left");
        assert_eq!(say(20_000), "20000 left");
        assert_eq!(say(-3), "\u{2212}3 left");
    }

    #[test]
    fn what_is_missing_is_seen() {
        let wording = Wording::from_files("en", &[PLAIN, ("b.ftl", "by = with { $what }\n")]).unwrap();
        assert_eq!(wording.say(&Message::new("nowhere")), "«nowhere»");
        assert_eq!(wording.say(&Message::new("by")), "with {$what} «by»");
        assert!(wording.say(&Message::new("left")).contains("«left»"));
    }

    #[test]
    fn text_of_a_person_is_not_read_as_fluent_and_not_isolated() {
        let wording = Wording::from_files("en", &[("b.ftl", "by = with { $what }.\n")]).unwrap();
        assert_eq!(wording.say(&Message::new("by").with("what", "{ $x } <b>")), "with { $x } <b>.");
    }

    #[test]
    fn a_broken_catalogue_is_refused() {
        let twice = Wording::from_files("en", &[("a.ftl", "x = 1\n"), ("b.ftl", "x = 2\n")]).unwrap_err();
        assert_eq!(twice, CatalogueError::Twice { file: "b.ftl".into(), id: "x".into() });
        let syntax = Wording::from_files("en", &[("a.ftl", "x = { $\n")]).unwrap_err();
        assert!(matches!(syntax, CatalogueError::Syntax { file, .. } if file == "a.ftl"));
        let language = Wording::from_files("not a tag", &[]).unwrap_err();
        assert!(matches!(language, CatalogueError::Language { .. }));
    }

    #[test]
    fn an_unknown_language_falls_back_and_says_so() {
        assert_eq!(Wording::new("en-GB").language(), "en");
        assert_eq!(Wording::new("xx").language(), "en");
    }

    #[test]
    fn every_language_shipped_can_be_read() {
        for (language, files) in LANGUAGES {
            assert_eq!(Wording::from_files(language, files).unwrap().language(), *language);
        }
    }
}
