//! The search command as a person and a program meet it.

#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(words: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut program = Command::new(env!("CARGO_BIN_EXE_gastight"));
    program.args(words).args(["--language", "en"]).current_dir(root).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[track_caller]
fn json(words: &[&str]) -> Value {
    let output = run(words);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/search-next.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> =
        validator.iter_errors(&value).map(|e| format!("{e} at {}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    value
}

fn copy(name: &str, bytes: &[u8]) -> PathBuf {
    let path = std::env::temp_dir().join(format!("gastight-search-{}-{name}", std::process::id()));
    std::fs::write(&path, bytes).unwrap();
    path
}

#[test]
fn next_status_and_explain_answer_in_one_shape() {
    let minimal = "examples/jobs/first-visit-minimal.toml";
    let next = json(&["search", "next", minimal, "--json"]);
    assert!(next["next"]["chance_now"].as_f64().unwrap() > 0.0);
    let found = json(&["search", "status", "examples/jobs/room-7-first-call.toml", "--json"]);
    assert_eq!(found["found"]["explains_the_loss"], "yes");
    assert!(found["detector_ratio"].as_f64().unwrap() > 500.0);
    assert!(found["loss_u_kg_per_year"].as_f64().unwrap() > 0.0);
    let explained = json(&["search", "explain", minimal, "--json"]);
    assert!(explained["evidence"]["sizes"].as_array().unwrap().len() > 5);
    let said = text(&run(&["search", "next", minimal]).stdout);
    assert!(said.lines().count() == 2 && said.contains("min with the way there"), "{said}");
}

#[test]
fn a_look_is_added_to_a_job_file_and_to_a_log_and_bad_input_leaves_them_as_they_were() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs/first-visit-minimal.toml");
    let before = std::fs::read(&example).unwrap();
    let events = run(&["job", "events", "examples/jobs/first-visit-minimal.toml"]).stdout;
    for path in [copy("visit.toml", &before), copy("visit.jsonl", &events)] {
        let file = path.to_str().unwrap();
        let look = |result: &'static str, method: &'static str| {
            run(&[
                "search",
                "log",
                file,
                "--place",
                "sight glass \"A\"",
                "--method",
                method,
                "--result",
                result,
                "--pressure",
                "80psig",
                "--except",
                "filter drier",
                "--json",
            ])
        };
        let old = std::fs::read(&path).unwrap();
        assert_eq!(look("clean", "sopa").status.code(), Some(2));
        assert_eq!(std::fs::read(&path).unwrap(), old);
        let output = look("clean", "soap");
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        let new = std::fs::read(&path).unwrap();
        assert!(new.starts_with(&old) && new.len() > old.len());
        let after: Value = serde_json::from_slice(&output.stdout).unwrap();
        let glass = after["places"].as_array().unwrap().iter().find(|place| place["id"] == "glass").unwrap();
        assert!(glass["looked"].as_f64().unwrap() > 0.3, "{glass}");
        std::fs::remove_file(&path).unwrap();
    }
}

#[test]
fn a_place_of_the_circuit_is_added_to_a_record_and_a_mixed_entry_is_refused() {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs/first-visit-minimal.toml");
    let path = copy("place.toml", &std::fs::read(&example).unwrap());
    let file = path.to_str().unwrap();
    let old = std::fs::read(&path).unwrap();
    let log = |more: &[&str]| {
        let words = [&["search", "log", file, "--place", "oil separator"], more].concat();
        run(&words)
    };
    for wrong in [
        &["--side", "low side", "--result", "clean", "--method", "soap"][..],
        &["--method", "soap"][..],
        &["--side", "upper"][..],
        &[][..],
    ] {
        assert_eq!(log(wrong).status.code(), Some(2), "{wrong:?}");
        assert_eq!(std::fs::read(&path).unwrap(), old);
    }
    let output = log(&["--side", "high side", "--access", "inside a cover", "--opening", "7 min"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let status = json(&["search", "status", file, "--json"]);
    assert_eq!(status["edited_places"][0]["place"], "oil separator");
    assert_eq!(status["edited_places"][0]["change"], "added");
    assert!(status["places"].as_array().unwrap().iter().any(|place| place["id"] == "oil separator"));
    std::fs::remove_file(&path).unwrap();
}

#[test]
fn the_finds_of_a_shop_teach_and_a_switch_leaves_them_out() {
    let ask = |more: &[&str]| {
        let words =
            [&["search", "status", "examples/jobs/first-visit-minimal.toml", "--json"][..], more].concat();
        json(&words)
    };
    let (plain, taught) = (ask(&[]), ask(&["--shop", "examples/jobs"]));
    assert_eq!((&plain["learnt_from_finds"], &taught["learnt_from_finds"]), (&0.into(), &1.into()));
    let of = |value: &Value| {
        let places = value["places"].as_array().unwrap();
        let place = places.iter().find(|place| place["id"] == "solenoid-inlet").unwrap();
        place["probability"].as_f64().unwrap()
    };
    assert!(of(&taught) > 1.5 * of(&plain), "{} {}", of(&taught), of(&plain));
    assert_eq!(ask(&["--shop", "examples/jobs", "--no-learning"]), plain);
    let missing =
        run(&["search", "next", "examples/jobs/first-visit-minimal.toml", "--shop", "no-such-place.toml"]);
    assert_eq!(missing.status.code(), Some(2));
}
