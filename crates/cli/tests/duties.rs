//! The duties command as a person and a program meet it.

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
fn json(schema: &str, words: &[&str]) -> Value {
    let output = run(words);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let value: Value = serde_json::from_slice(&output.stdout).unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/schemas/{schema}.json"));
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> =
        validator.iter_errors(&value).map(|e| format!("{e} at {}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
    value
}

#[track_caller]
fn refused(words: &[&str], says: &[&str]) {
    let output = run(words);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(!said.contains('«') && !said.contains("panicked"), "{said}");
    for part in says {
        assert!(said.contains(part), "{said:?} does not say {part:?}");
    }
}

/// A folder of its own, gone when dropped.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("gastight-duties-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Self(folder)
    }
    fn write(&self, name: &str, content: &str) -> String {
        let file = self.0.join(name);
        std::fs::write(&file, content).unwrap();
        file.to_str().unwrap().to_owned()
    }
    fn path(&self) -> &str {
        self.0.to_str().unwrap()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Invented: a federal cold room with a leak found on 15 January.
const FEDERAL: &str = "gastight = 1\n[site]\nname = \"Wrenford Flower Exchange\"\naddress = \"1 Invented Lane\"\n\
     jurisdiction = \"Ontario, Canada\"\nowner = \"federal\"\noffset = \"-05:00\"\n[visit]\ndate = 2027-01-15\n\
     certificate = \"invented 1\"\n[system]\nname = \"Room 9\"\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\n\
     box_kind = \"walk in cooler\"\n[[entry]]\nkind = \"leak check\"\nat = 09:00\nplace = \"flare nut\"\n\
     method = \"soap\"\nresult = \"hit\"\n";

#[test]
fn one_system_answers_as_text_and_as_data() {
    let folder = Scratch::new("one");
    let file = folder.write("visit.toml", FEDERAL);
    let output = run(&["duties", &file, "--on", "2027-01-15", "--explain"]);
    let said = text(&output.stdout).split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "Do not add refrigerant yet. First: the leak repaired; the owner told of the leak.",
        "2027-01-22",
        "read in the law",
        "Do not add refrigerant until the leak is repaired.",
        "Not legal advice",
        "laws-lois.justice.gc.ca",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let page = text(&run(&["duties", &file, "--on", "2027-01-15", "--format", "html"]).stdout);
    assert!(page.starts_with("<!doctype html>") && page.contains("Notice for the equipment"), "{page}");
    let value = json("duties", &["duties", &file, "--on", "2027-01-15", "--json"]);
    assert_eq!(value["charging"]["answer"], "no-until");
    assert_eq!(value["charging"]["because"][0], "ca.charge");
    let duties = value["duties"].as_array().unwrap();
    let leak = duties.iter().find(|duty| duty["id"] == "ca.leak").unwrap();
    assert_eq!((&leak["verdict"], &leak["due"]), (&"due".into(), &"2027-01-22".into()));
    assert_eq!(leak["status"], "read-in-law");
    assert!(value["due"].as_array().unwrap().iter().any(|line| line["id"] == "ca.leak"));
    // A day later than the last day it is breached.
    let value = json("duties", &["duties", &file, "--on", "2027-01-23", "--json"]);
    let duties = value["duties"].as_array().unwrap();
    let leak = duties.iter().find(|duty| duty["id"] == "ca.leak").unwrap();
    assert_eq!((&leak["verdict"], &leak["since"]), (&"breached".into(), &"2027-01-23".into()));
}

#[test]
fn a_folder_is_one_list_by_day_and_a_calendar() {
    let folder = Scratch::new("folder");
    folder.write("a.toml", FEDERAL);
    folder.write("b.toml", &FEDERAL.replace("Room 9", "Room 8").replace("2027-01-15", "2027-01-10"));
    folder.write("c.txt", "not a job file, and not read");
    let ics = folder.0.join("due.ics");
    let ics = ics.to_str().unwrap();
    let words = ["duties", folder.path(), "--on", "2027-01-15", "--within", "60d", "--json", "--ics", ics];
    let value = json("duties-across", &words);
    assert_eq!(value["systems"].as_array().unwrap().len(), 2);
    let due = value["due"].as_array().unwrap();
    let leaks: Vec<(&str, &str)> = due
        .iter()
        .filter(|line| line["id"] == "ca.leak")
        .map(|line| (line["system"].as_str().unwrap(), line["day"].as_str().unwrap()))
        .collect();
    let site = "Wrenford Flower Exchange, Room";
    assert_eq!(leaks, [(&*format!("{site} 8"), "2027-01-17"), (&*format!("{site} 9"), "2027-01-22")]);
    let days: Vec<Option<&str>> = due.iter().map(|line| line["day"].as_str()).collect();
    assert!(days.is_sorted(), "{days:?}");
    let calendar = std::fs::read_to_string(ics).unwrap();
    // Lines longer than 75 bytes are folded by RFC 5545: put together before they are looked at.
    let calendar = calendar.replace("\r\n ", "");
    assert!(calendar.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"), "{calendar}");
    assert!(calendar.ends_with("END:VCALENDAR\r\n"));
    assert_eq!(calendar.matches("BEGIN:VEVENT").count(), due.len());
    assert_eq!(calendar.matches("\r\nUID:").count(), due.len());
    for part in [
        "DTSTART;VALUE=DATE:20270117",
        "DTSTART;VALUE=DATE:20270122",
        "DTSTAMP:20270115T000000Z",
        "LOCATION:1 Invented Lane",
    ] {
        assert!(calendar.contains(part), "{part}: {calendar}");
    }
    // The same again is the same file: a calendar program sees no new entries.
    let first = std::fs::read(ics).unwrap();
    run(&words);
    assert_eq!(first, std::fs::read(ics).unwrap());
    // Within a day only what is overdue or has no day is left.
    let value =
        json("duties-across", &["duties", folder.path(), "--on", "2027-01-15", "--within", "1", "--json"]);
    assert!(value["due"].as_array().unwrap().iter().all(|line| line["id"] != "ca.leak"));
}

#[test]
fn a_broken_file_of_a_folder_does_not_hide_the_others() {
    let folder = Scratch::new("broken");
    folder.write("a.toml", FEDERAL);
    folder.write("b.toml", "gastight = 1\n[system]\nchage = \"1 kg\"\n");
    let output = run(&["duties", folder.path(), "--on", "2027-01-15"]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(said.contains("Room 9") && said.contains("chage"), "{said}");
}

/// Invented: a shop's own rule, stricter than the law.
const OWN: &str = "id = \"shop.weekly\"\njurisdiction = \"ca-federal\"\ninstrument = \"House rule of an invented shop\"\n\
     section = \"1\"\nasks = \"Never add while a leak is known.\"\njudged_by = \"no-adding-with-identified-leak\"\n\
     [[version]]\nstatus = \"read-in-law\"\neffect = \"no-adding-with-known-leak\"\n\
     source = { title = \"House rule\", article = \"1\", read_in = \"the shop’s own book\" }\nchecked = { on = 2027-01-01, by = \"the owner\" }\n";

#[test]
fn a_duty_of_ones_own_is_asked_too() {
    let folder = Scratch::new("own");
    let file = folder.write("visit.toml", FEDERAL);
    let own = folder.write("own.toml", OWN);
    let value = json("duties", &["duties", &file, "--on", "2027-01-15", "--json", "--law", &own]);
    let because = value["charging"]["because"].as_array().unwrap();
    assert!(because.iter().any(|id| id == "shop.weekly"), "{because:?}");
    refused(&["duties", &file, "--law", &own, "--law", &own], &["shop.weekly", "already"]);
    let broken = folder.write("broken.toml", &OWN.replace("judged_by", "judged"));
    refused(&["duties", &file, "--law", &broken], &["broken.toml", "judged"]);
}

#[test]
fn bad_input_gets_one_clear_sentence() {
    let folder = Scratch::new("bad");
    let file = folder.write("visit.toml", FEDERAL);
    refused(&["duties", &file, "--on", "soon"], &["--on", "soon", "2027-01-15"]);
    refused(&["duties", &file, "--on", "2027-02-30"], &["--on", "2027-02-30"]);
    refused(&["duties", &file, "--within", "long"], &["--within", "long", "60d"]);
    refused(&["duties", "no/such/file.toml"], &["no/such/file.toml"]);
    let empty = Scratch::new("empty");
    refused(&["duties", empty.path()], &["no job file"]);
}

#[test]
fn a_log_of_several_systems_is_one_list() {
    let folder = Scratch::new("log");
    let a = folder.write("a.toml", FEDERAL);
    let b = folder.write("b.toml", &FEDERAL.replace("Room 9", "Room 8"));
    let both = [&a, &b].map(|file| text(&run(&["job", "events", file]).stdout)).concat();
    let log = folder.write("book.jsonl", &both);
    let value = json("duties-across", &["duties", &log, "--on", "2027-01-15", "--json"]);
    assert_eq!(value["systems"].as_array().unwrap().len(), 2);
}
