//! The dependency diagram. Adding an arrow is a design decision: change it in a commit of its own.

use std::collections::BTreeMap;
use std::process::Command;

/// Who depends on whom: a crate, then the crates of ours that it may depend on at run time.
const ARROWS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("fluid", &["units"]),
    ("record", &["units"]),
    ("report", &["units"]),
    ("wording", &["report"]),
    // Prints what `report` describes; the command line reaches it by a feature alone.
    ("paper", &["report"]),
    ("rules", &["units"]),
    ("refrigerant", &["fluid", "units"]),
    ("cycle", &["fluid", "units"]),
    ("field", &["cycle", "fluid", "units"]),
    ("job", &["cycle", "diagnosis", "field", "fluid", "refrigerant", "record", "report", "rules", "units"]),
    ("diagnosis", &["cycle", "field", "fluid", "units"]),
    // Knows nothing of ours: it is what the leak search is tried on.
    ("search-trial", &[]),
    // Knows nothing of ours either: it is what the diagnosis of faults is tried on.
    ("fault-trial", &[]),
    ("trend", &["report", "units"]),
    // The query engine is in it, behind a feature that only the command line reaches.
    ("fleet", &["fluid", "refrigerant", "report", "trend", "units"]),
    ("store", &["record", "units"]),
    ("server", &["job", "record", "report", "store", "trend", "units", "wording"]),
    ("web", &["job", "record", "report", "trend", "units", "wording"]),
    ("site", &[]),
    ("e2e", &[]),
    ("gastight", &["fleet", "job", "paper", "record", "report", "trend", "units", "wording"]),
    ("same-bits", &["fluid", "refrigerant", "units"]),
    ("fluid-js", &["fluid", "refrigerant", "units"]),
    (
        "xtask",
        &[
            "cycle",
            "diagnosis",
            "fault-trial",
            "field",
            "fluid",
            "refrigerant",
            "rules",
            "same-bits",
            "units",
        ],
    ),
];

#[test]
fn every_dependency_between_our_crates_is_an_arrow_of_the_diagram() {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--no-deps", "--locked"])
        .output()
        .expect("cargo metadata runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: serde_json::Value = serde_json::from_slice(&output.stdout).expect("metadata is JSON");
    let allowed: BTreeMap<&str, &[&str]> = ARROWS.iter().copied().collect();
    let packages = metadata["packages"].as_array().expect("packages");
    let ours: Vec<&str> = packages.iter().filter_map(|package| package["name"].as_str()).collect();

    let mut wrong = Vec::new();
    for package in packages {
        let name = package["name"].as_str().expect("a name");
        let Some(targets) = allowed.get(name) else {
            wrong.push(format!("{name} is not in the diagram"));
            continue;
        };
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let on = dependency["name"].as_str().expect("a name");
            let at_run_time = dependency["kind"].is_null();
            if at_run_time && ours.contains(&on) && !targets.contains(&on) {
                wrong.push(format!("{name} -> {on}"));
            }
        }
    }
    for (name, targets) in ARROWS {
        for name in std::iter::once(name).chain(*targets) {
            if !ours.contains(name) {
                wrong.push(format!("{name} stands in the diagram and is not here"));
            }
        }
    }
    assert!(wrong.is_empty(), "arrows that the diagram does not have: {wrong:#?}");
}
