//! Quote and invoice as a person meets them: the JSON's shape, numbers, what is refused, nothing typed twice.

#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gastight")).args(words).current_dir(root()).output().unwrap()
}

#[track_caller]
fn said(words: &[&str]) -> String {
    let output = run(words);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[track_caller]
fn json(schema: &str, words: &[&str]) -> Value {
    let value: Value = serde_json::from_str(&said(words)).unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/schemas/{schema}.json"));
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&value).map(|e| e.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:#?}\n{value:#}");
    value
}

/// Cents of a decimal text with two decimals.
fn cents(value: &Value) -> i64 {
    value.as_str().unwrap().replace('.', "").parse().unwrap()
}

struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str, content: &[u8]) -> Self {
        let folder = std::env::temp_dir().join(format!("gastight-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::copy(root().join("examples/prices.toml"), folder.join("prices.toml")).unwrap();
        let file = folder.join("visit.toml");
        std::fs::write(&file, content).unwrap();
        Self(file)
    }
    fn path(&self) -> &str {
        self.0.to_str().unwrap()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(self.0.parent().unwrap());
    }
}

const REPAIR: &str = "examples/jobs/room-7-repair.toml";
const CALL: &str = "examples/jobs/room-7-first-call.toml";

#[test]
fn the_invoice_has_its_shape_and_adds_up() {
    for words in [
        vec!["job", "invoice", REPAIR, "--json"],
        vec!["job", "invoice", CALL, REPAIR, "--whole-call", "--format", "json"],
        vec!["job", "invoice", CALL, "--json", "--language", "fr-CA"],
    ] {
        let bill = json("job-invoice", &words);
        let sum: i64 = ["lines", "tax"]
            .iter()
            .flat_map(|list| bill[list].as_array().unwrap())
            .map(|row| cents(&row["amount"]))
            .sum();
        assert_eq!(sum, cents(&bill["total"]), "{words:?}");
    }
    let csv = said(&["job", "invoice", REPAIR, "--format", "csv"]);
    assert!(csv.starts_with("number,what,quantity,unit,price,amount,currency\r\n"));
    assert!(csv.contains(",\"Testing, outside working hours\",0.50,h,177.00,88.50,CAD\r\n"), "{csv}");
    let html = said(&["job", "invoice", REPAIR, "--format", "html"]);
    assert!(html.starts_with("<!doctype html>") && html.contains("HST 13"));
    for words in [["invoice", REPAIR], ["quote", "examples/jobs/room-7-first-call.toml"]] {
        let paper = said(&["job", words[0], words[1]]);
        let words: Vec<&str> = paper.split_whitespace().collect();
        let paper = words.join(" ");
        assert!(paper.contains("For --- Wrenford Flower Exchange, the "), "{paper}");
        assert!(paper.contains("Place of work"), "{paper}");
    }
}

#[test]
fn the_margin_is_for_the_owner_alone() {
    let bill = said(&["job", "invoice", REPAIR]);
    assert!(!bill.contains("Cost") && !bill.contains("61.50"));
    let owner: Value = serde_json::from_str(&said(&["job", "invoice", REPAIR, "--owner", "--json"])).unwrap();
    assert_eq!(owner["without_cost"], 1);
    assert!(cents(&owner["margin"]) > 0 && cents(&owner["margin"]) < cents(&owner["net"]));
    assert_eq!(run(&["job", "invoice", REPAIR, "--owner", "--number", "1"]).status.code(), Some(2));
}

#[test]
fn a_number_freezes_the_invoice() {
    let file = Scratch::new("bill-number", &std::fs::read(root().join(REPAIR)).unwrap());
    let draft = json("job-invoice", &["job", "invoice", file.path(), "--json"]);
    let sent = json("job-invoice", &["job", "invoice", file.path(), "--number", "31-014", "--json"]);
    assert_eq!(draft, sent);
    // Dearer from now on: what was sent stays.
    let list = file.0.with_file_name("prices.toml");
    let dearer = std::fs::read_to_string(&list).unwrap().replace("118.00", "218.00");
    std::fs::write(&list, dearer).unwrap();
    assert_eq!(json("job-invoice", &["job", "invoice", file.path(), "--json"]), sent);
    for (words, code) in [
        (vec!["job", "invoice", file.path(), "--number", "31-014"], "number"),
        (vec!["job", "invoice", file.path(), "--number", "31-015"], "number"),
        (vec!["job", "invoice", file.path(), "--number", "31-015", "--corrects", "30-1"], "number"),
    ] {
        let output = run(&[words.as_slice(), &["--json"]].concat());
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        let error: Value = serde_json::from_slice(&output.stderr)
            .or_else(|_| serde_json::from_slice(&output.stdout))
            .unwrap();
        assert_eq!(error["error"]["code"], code, "{words:?}");
    }
    let again = said(&["job", "invoice", file.path(), "--number", "31-015", "--corrects", "31-014"]);
    assert!(again.contains("Corrects and replaces 31-014"), "{again}");
    let last = json("job-invoice", &["job", "invoice", file.path(), "--json"]);
    assert_ne!(last, sent);
    let text = std::fs::read_to_string(file.path()).unwrap();
    assert!(text.contains("31-014") && text.contains("31-015"), "both stay in the record");
    assert_eq!(
        run(&["job", "check", file.path()]).status.code(),
        run(&["job", "check", REPAIR]).status.code()
    );
}

#[test]
fn a_log_takes_the_frozen_copy_as_a_file_does() {
    let log = said(&["job", "events", REPAIR]);
    let file = Scratch::new("bill-log", log.as_bytes());
    let sent = json("job-invoice", &["job", "invoice", file.path(), "--number", "31-014", "--json"]);
    assert_eq!(json("job-invoice", &["job", "invoice", file.path(), "--json"]), sent);
}

#[test]
fn the_quote_has_its_shape_and_one_option_gets_the_number() {
    let plan = "\n[[entry]]\nkind = \"planned work\"\noption = \"mend it tomorrow\"\nwhat = \"Braze it in\"\nwork = \"repair\"\ntime = \"90 min\"\n\
                [[entry]]\nkind = \"planned work\"\noption = \"mend it tonight\"\nwhat = \"Braze it in\"\nwork = \"repair\"\ntime = \"2 h\"\n";
    let whole = [std::fs::read(root().join(CALL)).unwrap().as_slice(), plan.as_bytes()].concat();
    let file = Scratch::new("bill-quote", &whole);
    let quote = json("job-quote", &["job", "quote", file.path(), "--json"]);
    assert_eq!(quote["options"].as_array().unwrap().len(), 2);
    assert_eq!(
        run(&["job", "quote", file.path(), "--number", "Q-1"]).status.code(),
        Some(2),
        "which of the two"
    );
    said(&["job", "quote", file.path(), "--number", "Q-1", "--option", "mend it tomorrow"]);
    let invoice = said(&["job", "invoice", file.path()]);
    assert!(invoice.contains("Beside quote Q-1"), "{invoice}");
}

#[test]
fn a_price_list_that_is_wrong_or_missing_is_one_clear_error() {
    let file = Scratch::new("bill-wrong", &std::fs::read(root().join(REPAIR)).unwrap());
    let list = file.0.with_file_name("prices.toml");
    let good = std::fs::read_to_string(&list).unwrap();
    std::fs::write(&list, good.replace("price = \"84.00 CAD\"", "price = \"84.00 EUR\"")).unwrap();
    let output = run(&["job", "invoice", file.path()]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("prices.toml:") && said.contains("84.00 EUR"), "{said}");
    std::fs::remove_file(&list).unwrap();
    let said = String::from_utf8(run(&["job", "invoice", file.path()]).stderr).unwrap();
    assert!(said.contains("No price list"), "{said}");
}

/// What a bill needs is what was recorded for the work: no entry of the example exists for the bill alone.
#[test]
fn nothing_of_an_invoice_is_typed_for_it() {
    let text = std::fs::read_to_string(root().join(REPAIR)).unwrap();
    assert!(!text.contains("kind = \"sent\"") && !text.contains("kind = \"planned work\""));
    let bill = json("job-invoice", &["job", "invoice", REPAIR, "--json"]);
    // No hour, no mass and no amount of the invoice stands in the file as such.
    for line in bill["lines"].as_array().unwrap() {
        let amount = line["amount"].as_str().unwrap();
        assert!(!text.contains(&format!("\"{amount}")), "{amount} was typed");
    }
}

#[test]
fn a_follow_up_has_its_shape_its_day_and_its_calendar() {
    let follow = json("job-follow-up", &["job", "follow-up", CALL, REPAIR, "--json"]);
    assert_eq!(follow["state"], "open");
    let file = Scratch::new("follow-up", b"");
    let ics = file.0.with_file_name("follow-up.ics");
    let text = said(&["job", "follow-up", CALL, REPAIR, "--ics", ics.to_str().unwrap()]);
    assert!(text.contains("95 times in 100"), "{text}");
    let calendar = std::fs::read_to_string(&ics).unwrap();
    let day = follow["on"].as_str().unwrap().replace('-', "");
    assert!(calendar.contains(&format!("DTSTART;VALUE=DATE:{day}")), "{calendar}");
    assert_eq!(run(&["job", "follow-up", "examples/jobs/first-visit-minimal.toml"]).status.code(), Some(1));
}

#[test]
fn the_van_has_its_shape_its_list_and_its_place_in_the_load() {
    const VAN: &str = "examples/van.toml";
    let van = json("job-van", &["job", "van", VAN, CALL, REPAIR, "--json"]);
    let left: Vec<&serde_json::Value> =
        van["things"].as_array().unwrap().iter().map(|one| &one["left"]).collect();
    assert_eq!(left, [0, 5]);
    let text = said(&["job", "van", VAN, CALL, REPAIR]);
    assert!(text.contains("filter drier, liquid line: 2 short"), "{text}");
    assert!(
        said(&["job", "van", VAN, "--format", "csv"]).starts_with("what,item,counted,on,taken,left,wanted")
    );
    let load = said(&["job", "sheet", CALL, "--what", "load", "--van", VAN]);
    assert!(load.contains("0 on the van, 1 needed: fetch"), "{load}");
    // The list was made with six on the van; one was taken since the count.
    let parts =
        said(&["job", "parts", CALL, "--prices", "examples/prices.toml", "--van", VAN, "--van", CALL]);
    let parts = parts.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(parts.contains("the van: 5") && !parts.contains("the van: 6"), "{parts}");
    // Files that tell nothing of a van say so.
    assert_eq!(run(&["job", "van", "examples/jobs/first-visit-minimal.toml"]).status.code(), Some(1));
}
