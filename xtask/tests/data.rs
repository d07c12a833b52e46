//! Every number that is shipped names its source, and what is not known is absent.

use std::path::{Path, PathBuf};
use toml_edit::{Document, Item, TableLike, Value};

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../data")
}

fn files(folder: &Path, end: &str, into: &mut Vec<PathBuf>) {
    let mut here: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("data is here")
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    here.sort();
    for path in here {
        if path.is_dir() {
            files(&path, end, into);
        } else if path.extension().is_some_and(|have| have == end) {
            into.push(path);
        }
    }
}

/// Keys under which a table says where its numbers come from.
fn says_source(table: &dyn TableLike) -> bool {
    // A duty's versions carry the article; what it applies to stands in the same article.
    if let Some(Item::ArrayOfTables(versions)) = table.get("version") {
        return !versions.is_empty() && versions.iter().all(|version| says_source(version));
    }
    ["source", "sources"].iter().any(|key| match table.get(key) {
        Some(Item::Value(Value::String(text))) => !weak(text.value()),
        Some(Item::Value(Value::InlineTable(inner))) => !inner.is_empty(),
        Some(Item::Value(Value::Array(all))) => !all.is_empty(),
        Some(Item::Table(inner)) => !inner.is_empty(),
        Some(Item::ArrayOfTables(all)) => !all.is_empty(),
        _ => false,
    })
}

/// Words that are no source.
fn weak(text: &str) -> bool {
    matches!(
        text.trim().to_lowercase().as_str(),
        "" | "unpublished" | "unknown" | "none" | "tbd" | "n/a" | "?"
    )
}

struct Walk<'a> {
    file: &'a str,
    numbers: usize,
    wrong: Vec<String>,
}

impl Walk<'_> {
    fn table(&mut self, table: &dyn TableLike, path: &str, sourced: bool) {
        let sourced = sourced || says_source(table);
        for (key, item) in table.iter() {
            let path = format!("{path}.{key}");
            match item {
                Item::Value(value) => self.value(value, &path, sourced),
                Item::Table(inner) => self.table(inner, &path, sourced),
                Item::ArrayOfTables(all) => {
                    for (at, inner) in all.iter().enumerate() {
                        self.table(inner, &format!("{path}[{at}]"), sourced);
                    }
                }
                Item::None => {}
            }
        }
    }

    fn value(&mut self, value: &Value, path: &str, sourced: bool) {
        match value {
            Value::Integer(_) | Value::Float(_) => {
                self.numbers += 1;
                if !sourced {
                    self.wrong.push(format!("{}{path}: a number without a source", self.file));
                }
                if let Value::Float(number) = value
                    && !number.value().is_finite()
                {
                    self.wrong.push(format!("{}{path}: no number", self.file));
                }
            }
            Value::String(text) if weak(text.value()) => {
                self.wrong.push(format!(
                    "{}{path}: what is not known is absent, not {:?}",
                    self.file,
                    text.value()
                ));
            }
            Value::Array(all) => all.iter().for_each(|inner| self.value(inner, path, sourced)),
            Value::InlineTable(inner) => {
                let sourced = sourced || says_source(inner);
                for (key, value) in inner.iter() {
                    self.value(value, &format!("{path}.{key}"), sourced);
                }
            }
            _ => {}
        }
    }
}

#[test]
fn every_number_of_the_data_files_has_a_source() {
    let mut all = Vec::new();
    files(&data(), "toml", &mut all);
    // Situations are invented cases with the verdict each must get, not numbers that anything computes with.
    all.retain(|path| !path.ends_with("checks/law_situations.toml"));
    assert!(all.len() > 40, "{} files", all.len());
    let (mut wrong, mut numbers) = (Vec::new(), 0);
    for path in &all {
        let name = path.strip_prefix(data()).unwrap().display().to_string();
        let text = std::fs::read_to_string(path).unwrap();
        let document = Document::parse(text.as_str()).unwrap_or_else(|e| panic!("{name}: {e}"));
        // A format version is no measured number; it stands alone at the top.
        let mut walk = Walk { file: &name, numbers: 0, wrong: Vec::new() };
        walk.table(document.as_table(), "", false);
        numbers += walk.numbers;
        wrong.extend(walk.wrong);
    }
    assert!(numbers > 5000, "{numbers} numbers");
    assert!(wrong.is_empty(), "{} of {numbers}: {:#?}", wrong.len(), &wrong[..wrong.len().min(40)]);
}

#[test]
fn every_table_of_check_values_says_what_made_it() {
    let mut all = Vec::new();
    files(&data(), "csv", &mut all);
    assert!(!all.is_empty());
    for path in all {
        let text = std::fs::read_to_string(&path).unwrap();
        let head: String =
            text.lines().take_while(|line| line.starts_with('#')).collect::<Vec<_>>().join(" ");
        let says =
            ["CoolProp", "Source", "source", "Written by", "NIST"].iter().any(|word| head.contains(word));
        assert!(says, "{}: its head does not say where its numbers come from", path.display());
    }
}
