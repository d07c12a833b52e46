//! Code and catalogue say the same: every id and argument the code uses is in every language, and nothing else is.

#![allow(clippy::unwrap_used)]

mod source;

use fluent_syntax::ast::{Entry, Expression, InlineExpression, Pattern, PatternElement};
use source::Use;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The arguments that each message of these files refers to, through the messages and terms it includes.
fn variables(files: &[(&str, &str)]) -> BTreeMap<String, BTreeSet<String>> {
    let mut direct: BTreeMap<String, (BTreeSet<String>, BTreeSet<String>)> = BTreeMap::new();
    for (file, text) in files {
        let resource =
            fluent_syntax::parser::parse(*text).unwrap_or_else(|(_, why)| panic!("{file}: {why:?}"));
        for entry in resource.body {
            let (id, pattern) = match entry {
                Entry::Message(message) => (message.id.name.to_owned(), message.value),
                Entry::Term(term) => (format!("-{}", term.id.name), Some(term.value)),
                _ => continue,
            };
            let (mut own, mut includes) = (BTreeSet::new(), BTreeSet::new());
            pattern.iter().for_each(|pattern| walk(pattern, &mut own, &mut includes));
            direct.insert(id, (own, includes));
        }
    }
    let messages = direct.keys().filter(|id| !id.starts_with('-'));
    messages.map(|id| (id.clone(), reach(id, &direct, &mut BTreeSet::new()))).collect()
}

fn reach(
    id: &str,
    direct: &BTreeMap<String, (BTreeSet<String>, BTreeSet<String>)>,
    seen: &mut BTreeSet<String>,
) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    if let Some((own, includes)) = direct.get(id).filter(|_| seen.insert(id.to_owned())) {
        all.extend(own.iter().cloned());
        includes.iter().for_each(|inner| all.extend(reach(inner, direct, seen)));
    }
    all
}

fn walk(pattern: &Pattern<&str>, own: &mut BTreeSet<String>, includes: &mut BTreeSet<String>) {
    for element in &pattern.elements {
        if let PatternElement::Placeable { expression } = element {
            walk_expression(expression, own, includes);
        }
    }
}

fn walk_expression(
    expression: &Expression<&str>,
    own: &mut BTreeSet<String>,
    includes: &mut BTreeSet<String>,
) {
    let inline = match expression {
        Expression::Inline(inline) => inline,
        Expression::Select { selector, variants } => {
            variants.iter().for_each(|variant| walk(&variant.value, own, includes));
            selector
        }
    };
    match inline {
        InlineExpression::VariableReference { id } => drop(own.insert(id.name.to_owned())),
        InlineExpression::MessageReference { id, .. } => drop(includes.insert(id.name.to_owned())),
        InlineExpression::TermReference { id, .. } => drop(includes.insert(format!("-{}", id.name))),
        InlineExpression::Placeable { expression } => walk_expression(expression, own, includes),
        InlineExpression::FunctionReference { arguments, .. } => {
            for argument in &arguments.positional {
                if let InlineExpression::VariableReference { id } = argument {
                    own.insert(id.name.to_owned());
                }
            }
        }
        InlineExpression::StringLiteral { .. } | InlineExpression::NumberLiteral { .. } => {}
    }
}

/// What differs between the uses in code and a catalogue, one line each.
fn differences(uses: &[Use], language: &str, files: &[(&str, &str)]) -> Vec<String> {
    let catalogue = variables(files);
    let mut faults = Vec::new();
    for used in uses {
        let Some(id) = &used.id else {
            faults.push(format!("{}: the id of Message::new is not a string literal", used.place));
            continue;
        };
        match catalogue.get(id) {
            None => faults.push(format!("{}: {id} is not in {language}", used.place)),
            Some(wanted) => {
                for name in wanted.difference(&used.args).filter(|name| !used.later.contains(*name)) {
                    faults.push(format!("{}: {id} is used without ${name} ({language})", used.place));
                }
                // A language may leave an argument out; the first one shows that it has a use at all.
                for name in used.args.difference(wanted).filter(|_| language == "en") {
                    faults.push(format!("{}: {id} gives ${name}, which no sentence has", used.place));
                }
            }
        }
    }
    let known: BTreeSet<&String> = uses.iter().filter_map(|used| used.id.as_ref()).collect();
    faults.extend(
        catalogue
            .keys()
            .filter(|id| !known.contains(id))
            .map(|id| format!("{language}: {id} is used nowhere")),
    );
    faults
}

fn workspace() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn rust_files(folder: &Path, into: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for path in entries {
        let name = path.file_stem().and_then(|name| name.to_str()).unwrap_or_default();
        if name == "tests" {
            continue;
        }
        if path.is_dir() {
            rust_files(&path, into);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            into.push(path);
        }
    }
}

fn uses_of_the_workspace() -> Vec<Use> {
    let mut files = Vec::new();
    for krate in fs::read_dir(workspace()).unwrap() {
        let src = krate.unwrap().path().join("src");
        if src.is_dir() {
            rust_files(&src, &mut files);
        }
    }
    files.sort();
    let read = |path: &PathBuf| source::uses(&path.display().to_string(), &fs::read_to_string(path).unwrap());
    files.iter().flat_map(read).collect()
}

#[test]
fn code_and_catalogues_agree() {
    let uses = uses_of_the_workspace();
    assert!(uses.len() >= 7, "only {} uses found: is the scan looking in the right place?", uses.len());
    let faults: Vec<String> =
        wording::LANGUAGES.iter().flat_map(|(language, files)| differences(&uses, language, files)).collect();
    assert!(faults.is_empty(), "{} differences:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_file_of_a_language_is_embedded() {
    let locales = Path::new(env!("CARGO_MANIFEST_DIR")).join("locales");
    let mut folders = BTreeSet::new();
    for folder in fs::read_dir(&locales).unwrap().map(|entry| entry.unwrap().path()) {
        let language = folder.file_name().unwrap().to_str().unwrap().to_owned();
        let on_disk: BTreeSet<String> = fs::read_dir(&folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_str().unwrap().to_owned())
            .collect();
        let listed = wording::LANGUAGES.iter().find(|(name, _)| *name == language);
        let listed = listed.unwrap_or_else(|| panic!("{language} is not in LANGUAGES"));
        let embedded: BTreeSet<String> = listed.1.iter().map(|(name, _)| (*name).to_owned()).collect();
        assert_eq!(on_disk, embedded, "{language}");
        folders.insert(language);
    }
    assert_eq!(folders.len(), wording::LANGUAGES.len());
}

#[test]
fn a_prepared_language_says_only_what_english_says_and_reads() {
    let (_, english) = wording::LANGUAGES[0];
    let prepared = Path::new(env!("CARGO_MANIFEST_DIR")).join("prepared");
    let mut faults = Vec::new();
    let mut sentences = 0;
    for folder in fs::read_dir(&prepared).unwrap().map(|entry| entry.unwrap().path()) {
        let language = folder.file_name().unwrap().to_str().unwrap().to_owned();
        let mut files: Vec<(String, String)> = Vec::new();
        for file in fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()) {
            let name = file.file_name().unwrap().to_str().unwrap().to_owned();
            files.push((name, fs::read_to_string(&file).unwrap()));
        }
        for (name, text) in &files {
            let Some(of_english) = english.iter().find(|(known, _)| known == name) else {
                faults.push(format!("{language}/{name}: English has no such file"));
                continue;
            };
            let (here, there) = (variables(&[(name, text)]), variables(&[*of_english]));
            sentences += here.len();
            for (id, used) in &here {
                match there.get(id) {
                    None => faults.push(format!("{language}/{name}: English has no {id}")),
                    Some(wanted) if wanted != used => {
                        faults.push(format!("{language}/{name}: {id} uses {used:?}, English {wanted:?}"))
                    }
                    Some(_) => {}
                }
            }
        }
        let borrowed: Vec<(&str, &str)> =
            files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        let catalogue = wording::Wording::from_files(&language, &borrowed).unwrap();
        assert_eq!(catalogue.say(&report::Message::new("report-verdict-met")), "cumplido");
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(sentences > 200, "only {sentences} sentences are prepared");
}

#[test]
fn a_difference_is_found_in_each_direction() {
    let code = r#"fn f() { Message::new("a").with("x", 1); Message::new("b"); Message::new("lost"); }"#;
    let uses = source::uses("f.rs", code);
    let files = [("a.ftl", "a = { $x }\nb = { $y } { -t }\nc = never\n-t = { $z ->\n *[other] { $z }\n }\n")];
    let faults = differences(&uses, "en", &files);
    let expected = [
        "f.rs:1: b is used without $y (en)",
        "f.rs:1: b is used without $z (en)",
        "f.rs:1: lost is not in en",
        "en: c is used nowhere",
    ];
    assert_eq!(faults, expected);
    let extra = differences(
        &source::uses("f.rs", r#"Message::new("b").with("x", 1)"#),
        "en",
        &[("a.ftl", "b = plain\n")],
    );
    assert_eq!(extra, ["f.rs:1: b gives $x, which no sentence has"]);
}
