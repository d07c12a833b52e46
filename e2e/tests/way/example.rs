//! The invented visit, text by text, and what comes of it.

use e2e::built;
use record::{Body, Content, Observation};
use serde_json::Value;

/// The visit that is typed.
pub const EXAMPLE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/jobs/room-7-repair.toml");

/// What the example says, in its order: kind and texts of each form; facts of one section in one form.
pub fn forms() -> Vec<(String, Vec<(String, String)>)> {
    let file = record::read_job_file(&std::fs::read(EXAMPLE).unwrap()).unwrap();
    let mut out: Vec<(String, Vec<(String, String)>)> = Vec::new();
    for event in &file.events {
        let Content::Observed(seen) = &event.content else { continue };
        let filled = record::texts_of(seen).unwrap();
        let mut texts = filled.fields;
        let is_fact =
            matches!(seen.what, Body::Site(_) | Body::Customer(_) | Body::Visit(_) | Body::System(_));
        if is_fact {
            // Lines stand in a list of their own; who and on which device the phone says itself.
            texts.retain(|(path, _)| !path.starts_with("line[") && path != "by" && path != "device");
            if texts.is_empty() {
                continue;
            }
            match out.iter_mut().find(|(kind, _)| *kind == filled.kind) {
                Some((_, known)) => known.extend(texts),
                None => out.push((filled.kind, texts)),
            }
            continue;
        }
        if !matches!(seen.what, Body::Instrument(_) | Body::Cylinder(_)) {
            texts.extend(head(seen));
        }
        out.push((filled.kind, texts));
    }
    out
}

/// The head of an entry: when and where; the instruments used stand with the values.
fn head(seen: &Observation) -> Vec<(String, String)> {
    record::head_texts_of(seen)
        .into_iter()
        .filter(|(path, _)| matches!(path.as_str(), "at" | "place" | "note") || path.starts_with("with"))
        .collect()
}

/// What the command line computes from files.
pub fn figures(files: &[&str]) -> Value {
    let program = built("gastight").unwrap();
    let output =
        std::process::Command::new(program).args(["job", "report", "--json"]).args(files).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// Every number in a result with the way to it.
pub fn numbers(value: &Value, at: &str, out: &mut Vec<(String, String)>) {
    match value {
        Value::Object(map) => map.iter().for_each(|(key, inner)| numbers(inner, &format!("{at}.{key}"), out)),
        Value::Array(all) => {
            all.iter().enumerate().for_each(|(index, inner)| numbers(inner, &format!("{at}[{index}]"), out));
        }
        Value::Number(number) => out.push((at.to_owned(), number.to_string())),
        _ => {}
    }
}

/// Returns the record that the shop exports.
pub async fn exported(shop: &mut e2e::Shop, name: &str) -> std::path::PathBuf {
    let into = shop.data().join(format!("export-{name}"));
    shop.command(&["export", into.to_str().unwrap()], "").await.unwrap();
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&into).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "jsonl") {
            found.push(path);
        }
    }
    assert_eq!(found.len(), 1, "one log is exported: {found:?}");
    found.remove(0)
}
