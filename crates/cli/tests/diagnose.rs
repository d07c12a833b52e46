//! `gastight diagnose`: cases in, predictions out.
#![allow(clippy::unwrap_used)]

use serde_json::{Value, json};
use std::process::{Command, Output};

fn run(name: &str, lines: &str) -> (Output, Vec<Value>) {
    let dir = std::env::temp_dir().join(format!("gastight-diagnose-{name}-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    let (from, to) = (dir.join("cases.jsonl"), dir.join("predictions.jsonl"));
    std::fs::write(&from, lines).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_gastight"))
        .args(["diagnose", "--input", from.to_str().unwrap(), "--output", to.to_str().unwrap()])
        .output()
        .unwrap();
    let written = std::fs::read_to_string(&to).unwrap_or_default();
    std::fs::remove_dir_all(&dir).unwrap();
    (output, written.lines().map(|line| serde_json::from_str(line).unwrap()).collect())
}

fn case(readings: Value) -> Value {
    json!({
        "id": "room 7",
        "system": {
            "refrigerant": "R-404A", "capacity_w": 6000, "evaporating_c": -6.5, "condensing_c": 40, "coil_difference_k": 8.3,
            "receiver_m3": 0.014, "charge_kg": 12
        },
        "box_air_c": 2, "ambient_c": 30, "readings": readings
    })
}

#[test]
fn a_fan_down_and_a_starved_coil_are_told_apart() {
    let lines = format!(
        "{}\n\n{}\n",
        case(json!({"coil_fans": 0.5, "condenser_fans": 1, "bubbles": false})),
        case(
            json!({"bubbles": true, "coil_fans": 1, "condenser_fans": 1, "after_drier_c": [29.5, 0.7], "liquid_line_c": [38, 0.8]})
        ),
    );
    let (output, said) = run("apart", &lines);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(said.len(), 2);
    assert_eq!(said[0]["first"], "coil_fan");
    assert_eq!(said[1]["first"], "liquid_restriction", "{}", said[1]);
    for said in &said {
        let sum: f64 = said["chances"].as_object().unwrap().values().map(|p| p.as_f64().unwrap()).sum();
        assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        assert_eq!(said["id"], "room 7");
        assert!(said["charge_share"]["at_least"].as_f64().unwrap() > 0.0);
        assert!(!said["next"].as_array().unwrap().is_empty());
    }
}

#[test]
fn each_bad_line_is_told_by_its_number_and_loses_no_other() {
    let mut odd = case(json!({"suction_pressure_pa": 5}));
    odd["id"] = json!(2);
    let mut misspelt = case(json!({"bubbles": false}));
    misspelt["ambent_c"] = json!(3);
    let good = case(json!({"bubbles": false}));
    let mut unknown = good.clone();
    unknown["system"]["refrigerant"] = json!("R-9");
    let long = format!("\"{}\"", "x".repeat(200_000));
    let (output, said) = run("bad", &format!("{odd}\nno\n{misspelt}\n{unknown}\n{long}\n{good}"));
    assert_eq!(output.status.code(), Some(1));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    for line in 1..=5 {
        assert!(text.contains(&format!("Line {line}:")), "{line}: {text}");
    }
    let codes: Vec<&str> = said.iter().filter_map(|said| said["error"]["code"].as_str()).collect();
    assert_eq!(codes, ["out_of_range", "not_json", "unknown_key", "unknown_refrigerant", "too_long"]);
    assert_eq!(said[0]["error"]["field"], "readings.suction_pressure_pa");
    assert_eq!(said[5]["first"], "none", "{}", said[5]);
}

fn root() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn a_job_is_answered_by_its_last_readings_the_plain_sentence_first() {
    let file = root().join("examples/jobs/room-7-repair.toml");
    let run = |extra: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_gastight"))
            .arg("diagnose")
            .arg(&file)
            .args(extra)
            .output()
            .unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    let said: Value = serde_json::from_str(&run(&["--json"])).unwrap();
    let path = root().join("crates/cli/tests/schemas/diagnose.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> =
        validator.iter_errors(&said).map(|e| format!("{e} at {}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    let text = run(&[]);
    println!("{text}");
    assert!(text.starts_with("Most probable: "), "{text}");
    assert!(text.contains("accuracy on real systems will be lower"), "{text}");
    assert_eq!(text.lines().next(), said["sentences"][0].as_str());
}

#[test]
fn a_job_without_readings_of_a_running_system_says_what_is_missing() {
    let output = Command::new(env!("CARGO_BIN_EXE_gastight"))
        .arg("diagnose")
        .arg(root().join("examples/jobs/first-visit-minimal.toml"))
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let text = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(text.contains("readings is missing") && text.contains("ambient"), "{text}");
}
