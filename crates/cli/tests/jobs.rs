//! Job files as a person meets them: the examples, what a broken file gets, and the measured chamber states.

// The helpers of a test may stop it as its own body may.
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gastight")).args(words).current_dir(root()).output().expect("it runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text")
}

#[track_caller]
fn report(file: &str) -> Value {
    let output = run(&["job", "report", file, "--format", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let value: Value = serde_json::from_slice(&output.stdout).expect("the report is JSON");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/schemas/job-report.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let validator = jsonschema::validator_for(&schema).expect("the schema is one");
    let wrong: Vec<String> =
        validator.iter_errors(&value).map(|e| format!("{} at {}", e, e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}\n{value:#}");
    value
}

fn examples() -> Vec<String> {
    let mut all: Vec<String> = std::fs::read_dir(root().join("examples/jobs"))
        .unwrap()
        .map(|entry| format!("examples/jobs/{}", entry.unwrap().file_name().to_string_lossy()))
        .collect();
    all.sort();
    assert!(all.len() >= 4, "{all:?}");
    all
}

/// A file in a folder of its own, gone when dropped.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str, content: &[u8]) -> Self {
        // A folder deep: what is remembered may lie above a visit, and nothing there may be anybody else's.
        let folder =
            std::env::temp_dir().join(format!("gastight-{name}-{}", std::process::id())).join("visits");
        std::fs::create_dir_all(&folder).unwrap();
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
        let _ = std::fs::remove_dir_all(self.0.ancestors().nth(2).unwrap());
    }
}

#[track_caller]
fn broken(name: &str, content: &[u8], says: &[&str]) -> Value {
    let file = Scratch::new(name, content);
    let output = run(&["job", "check", file.path()]);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{name}: {said}");
    assert!(!said.contains('«') && !said.contains("panicked"), "{said}");
    for part in says {
        assert!(said.contains(part), "{name}: {said:?} does not say {part:?}");
    }
    let output = run(&["job", "report", file.path(), "--json"]);
    assert_eq!(output.status.code(), Some(2));
    serde_json::from_slice(&output.stderr).expect("the refusal is JSON")
}

#[test]
fn every_example_checks_and_reports() {
    for file in examples() {
        let check = run(&["job", "check", &file]);
        // An example may show a doubtful reading: then the check says so and ends with 1.
        let wanted = i32::from(text(&check.stdout).contains("the report says which"));
        assert_eq!(check.status.code(), Some(wanted), "{}{}", text(&check.stdout), text(&check.stderr));
        report(&file);
        let said = run(&["job", "report", &file, "--explain"]);
        assert_eq!(said.status.code(), Some(0));
        let said = text(&said.stdout);
        assert!(!said.contains('«') && !said.contains("NaN"), "{said}");
        let html = text(&run(&["job", "report", &file, "--format", "html"]).stdout);
        assert!(html.starts_with("<!doctype html>") && html.contains("<details") && !html.contains('«'));
        assert!(!html.contains("src=\"http") && !html.contains("href=\"http"), "the page is self-contained");
    }
}

#[test]
fn events_come_back_the_same() {
    for file in examples() {
        let once = text(&run(&["job", "events", &file]).stdout);
        assert_eq!(once, text(&run(&["job", "events", &file]).stdout), "the same file gives the same ids");
        for line in once.lines() {
            serde_json::from_str::<Value>(line).expect("a line is JSON");
        }
        assert!(once.lines().count() > 2);
    }
}

#[test]
fn the_report_goes_where_it_is_told() {
    let file = Scratch::new("out", b"");
    let place = file.0.with_file_name("report.html");
    let words = [
        "job",
        "report",
        "examples/jobs/first-visit-minimal.toml",
        "--format",
        "html",
        "--output",
        place.to_str().unwrap(),
    ];
    let output = run(&words);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(std::fs::read_to_string(&place).unwrap().contains("</html>"));
}

#[test]
fn a_first_visit_with_next_to_nothing_is_whole() {
    let found = report("examples/jobs/first-visit-minimal.toml");
    assert_eq!(found["readings"].as_array().unwrap().len(), 1);
    assert!(found["readings"][0]["compressor_superheat_k"]["value"].is_number());
    let said = text(&run(&["job", "report", "examples/jobs/first-visit-minimal.toml"]).stdout);
    assert!(said.contains("What would sharpen the answers"), "{said}");
    assert!(said.contains("about 3 months"), "{said}");
}

#[test]
fn the_visit_after_the_repair_shows_its_proof() {
    let found = report("examples/jobs/room-7-repair.toml");
    assert_eq!(found["holds"].as_array().unwrap().len(), 1);
    assert!(found["holds"][0]["smallest_detectable_kg_per_year"].as_f64().unwrap() > 0.0);
    assert_eq!(found["rises"][0]["verdict"], "no_leak_seen");
    let net = found["account"]["net_today_kg"]["value"].as_f64().unwrap();
    assert!(net > 0.5 && net < 3.0, "{net}");
}

#[test]
fn the_first_call_says_how_much_is_lost() {
    // 1.1 kg after 40 weeks, 1.6 kg after 19, 1.5 kg after 11 (invented): faster each time.
    let found = report("examples/jobs/room-7-first-call.toml");
    let rate = found["account"]["annual_loss_kg_per_year"]["value"].as_f64().expect("a rate");
    assert!(rate > 3.0 && rate < 8.0, "{rate}");
    assert!(found["account"]["rolling_percent_per_year"].as_f64().unwrap() > 20.0);
}

#[test]
fn measured_chamber_states_come_out_as_published() {
    // NISTIR 7350, Appendix D: R-410A split unit, no fault. Published superheat and subcooling stand in the files as
    // shown values, discharge superheat in the note. CoolProp's dew lies 0.12 °F below the publication's.
    let mut states = 0;
    let mut wrong = Vec::new();
    for file in ["examples/jobs/chamber-states-dry-air.toml", "examples/jobs/chamber-states-humid-air.toml"] {
        let found = report(file);
        let events = text(&run(&["job", "events", file]).stdout);
        let published: Vec<Value> = events
            .lines()
            .map(|line| serde_json::from_str::<Value>(line).unwrap())
            .filter(|event| event["body"]["what"]["type"] == "reading")
            .collect();
        let readings = found["readings"].as_array().unwrap();
        assert_eq!(published.len(), readings.len());
        for (event, reading) in published.iter().zip(readings) {
            states += 1;
            let shown =
                |key: &str| event["body"]["what"][key]["value"]["value"].as_f64().expect("a published value");
            let discharge: f64 = event["body"]["note"]
                .as_str()
                .and_then(|note| note.split(": ").nth(1)?.split(' ').next()?.parse().ok())
                .expect("a published discharge superheat");
            for (what, tool, paper, within) in [
                ("superheat", &reading["evaporator_superheat_k"], shown("shown_superheat"), 0.3),
                ("subcooling", &reading["subcooling_k"], shown("shown_subcooling"), 0.4),
                ("discharge superheat", &reading["discharge_superheat_k"], discharge / 1.8, 0.05),
            ] {
                let off = (tool["value"].as_f64().expect("computed") - paper) * 1.8;
                if off.abs() > within {
                    wrong.push(format!("{file} {}: {what} off by {off:.3} °F", reading["entry"]));
                }
            }
        }
    }
    assert_eq!(states, 8);
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_broken_file_gets_its_lines_named() {
    let said = broken(
        "fields",
        b"gastight = 1\n[system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2\"\nreceiver_volum = \"18 L\"\n",
        &[":4:", "system.charge", "14.2", ":5:", "receiver_volume"],
    );
    assert_eq!(said["error"]["total"], 2);
    assert_eq!(said["error"]["problems"][0]["line"], 4);
}

#[test]
fn many_problems_are_told_twenty_at_a_time() {
    let mut file = String::from("gastight = 1\n");
    for number in 0..33 {
        file.push_str(&format!("[[entry]]\nkind = \"reading\"\nsuction_pressure = \"{number} psi\"\n"));
    }
    let said = broken("many", file.as_bytes(), &["13 more problems"]);
    assert_eq!(said["error"]["problems"].as_array().unwrap().len(), 20);
    assert_eq!(said["error"]["total"], 33);
}

#[test]
fn files_that_are_no_job() {
    broken("empty", b"", &["empty"]);
    broken("binary", &[0x7f, b'E', b'L', b'F', 0, 0xff, 0xfe, 3], &["not a text"]);
    broken("latin", b"gastight = 1\nnote = \"caf\xe9\"\n", &["not a text"]);
    broken("toml", b"gastight = 1\nsite = { name = \n", &[":2:"]);
    broken("other", b"[package]\nname = \"x\"\n", &["no job file"]);
    broken("newer", b"gastight = 99\n", &["format 99"]);
    let large = vec![b'#'; 10 * 1024 * 1024 + 1];
    broken("large", &large, &["at most 10.0 MB"]);
    let output = run(&["job", "check", "no/such/visit.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(text(&output.stderr).trim_end().lines().count(), 1, "{}", text(&output.stderr));
}

#[test]
fn ten_megabytes_of_job_are_read() {
    let mut file = String::from("gastight = 1\n[system]\nrefrigerant = \"R-449A\"\n");
    while file.len() < 10 * 1024 * 1024 - 200 {
        file.push_str("[[entry]]\nkind = \"note\"\ntext = \"a long line of words that says very little about the box, as notes do\"\n");
    }
    let scratch = Scratch::new("ten", file.as_bytes());
    let output = run(&["job", "check", scratch.path()]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
}

#[test]
fn a_refrigerant_nobody_knows_fails_the_check() {
    let file = Scratch::new("unknown", b"gastight = 1\n[system]\nrefrigerant = \"R-404X\"\n");
    let check = run(&["job", "check", file.path()]);
    assert_eq!(check.status.code(), Some(1));
    assert!(
        text(&check.stdout).contains("R-404X is not a refrigerant known here"),
        "{}",
        text(&check.stdout)
    );
}

#[test]
fn readings_that_cannot_be_are_flagged_not_refused() {
    let file = Scratch::new(
        "doubtful",
        br#"gastight = 1
[system]
refrigerant = "R-404A"
[[entry]]
kind = "reading"
state = "running"
suction_pressure = "250 psig"
discharge_pressure = "40 psig"
[[entry]]
kind = "reading"
state = "running"
suction_pressure = "30 psig"
suction_line = "140 F"
discharge_pressure = "200 psig"
discharge_line = "90 F"
liquid_pressure = "200 psig"
liquid_line = "120 F"
[[entry]]
kind = "reading"
state = "running"
suction_pressure = "30 psig"
suction_line = "7 F"
box_air = "10 F"
shown_superheat = "12.7 F"
"#,
    );
    let found = report(file.path());
    let doubtful = |at: usize| -> Vec<&str> {
        found["readings"][at]["doubtful"].as_array().unwrap().iter().map(|d| d.as_str().unwrap()).collect()
    };
    assert!(doubtful(0).contains(&"suction_not_below_discharge"), "{:?}", doubtful(0));
    for word in ["superheat_too_large", "liquid_hotter_than_discharge", "ports_identical"] {
        assert!(doubtful(1).contains(&word), "{word}: {:?}", doubtful(1));
    }
    assert!(doubtful(2).contains(&"superheat_is_td"), "{:?}", doubtful(2));
    let check = run(&["job", "check", file.path()]);
    assert_eq!(check.status.code(), Some(1), "checks failed: {}", text(&check.stdout));
}

/// A file beside a scratch file, in the same folder.
fn beside(scratch: &Scratch, name: &str, content: &[u8]) -> String {
    let path = scratch.0.with_file_name(name);
    std::fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn the_log_of_a_job_gives_the_report_of_its_file() {
    let scratch = Scratch::new("log", b"");
    for file in examples() {
        let log = run(&["job", "events", &file]);
        assert_eq!(log.status.code(), Some(0));
        let log = beside(&scratch, "visit.jsonl", &log.stdout);
        for format in ["text", "html", "json"] {
            let of_file = run(&["job", "report", &file, "--format", format]);
            let of_log = run(&["job", "report", &log, "--format", format]);
            assert_eq!(of_log.status.code(), Some(0), "{}", text(&of_log.stderr));
            assert!(of_file.stdout == of_log.stdout, "{file} as {format}");
        }
        let again = run(&["job", "events", &log]);
        assert_eq!(text(&again.stdout), std::fs::read_to_string(&log).unwrap());
    }
}

#[test]
fn several_files_are_the_visits_to_one_system() {
    let (first, repair) = ("examples/jobs/room-7-first-call.toml", "examples/jobs/room-7-repair.toml");
    let value = |words: &[&str]| -> Value {
        let output = run(words);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let both = value(&["job", "report", repair, first, "--json"]);
    assert_eq!(both["job"], "wrenford-room-7-repair", "the later visit is the one asked about");
    let alone = value(&["job", "report", repair, "--json"]);
    // The refills of the first call stand behind it: a loss a year is known now.
    assert!(both.to_string().len() > alone.to_string().len());
    let check = value(&["job", "check", repair, first, "--json"]);
    assert_eq!(check["file"], format!("{repair}, {first}"));
}

#[test]
fn a_log_of_several_jobs_asks_which() {
    let (first, repair) = ("examples/jobs/room-7-first-call.toml", "examples/jobs/room-7-repair.toml");
    let scratch = Scratch::new("book", b"");
    let book = run(&["job", "events", first, repair]).stdout;
    let book = beside(&scratch, "book.jsonl", &book);
    let output = run(&["job", "report", &book, "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let refused: Value = serde_json::from_slice(&output.stderr).unwrap();
    assert_eq!(refused["error"]["code"], "several_jobs");
    let ids = refused["error"]["sensible"].as_str().unwrap().to_owned();
    assert_eq!(ids.split(", ").count(), 2, "{ids}");
    for id in ids.split(", ") {
        let output = run(&["job", "report", &book, "--job", id]);
        assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    }
    let output = run(&["job", "report", &book, "--job", "none"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("No job none"), "{}", text(&output.stderr));
}

#[test]
fn a_damaged_log_is_read_as_far_as_it_goes_and_says_so() {
    let scratch = Scratch::new("torn", b"");
    let log = run(&["job", "events", "examples/jobs/first-visit-minimal.toml"]).stdout;
    let lines = log.iter().filter(|byte| **byte == b'\n').count();
    let torn = beside(&scratch, "torn.jsonl", &log[..log.len() - 40]);
    let output = run(&["job", "check", &torn]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stdout);
    assert!(said.contains(&format!("torn.jsonl:{lines}: the last line was never wholly written")), "{said}");
    assert_eq!(run(&["job", "report", &torn]).status.code(), Some(0));
    let spoilt = text(&log).replacen("{\"body\"", "{\"bdy\"", 1);
    let spoilt = beside(&scratch, "spoilt.jsonl", spoilt.as_bytes());
    let said = text(&run(&["job", "check", &spoilt]).stdout);
    assert!(said.contains("spoilt.jsonl:2: this line is no entry"), "{said}");
}

/// Every stage prints; Decide has the costs of the price list beside, and none without one.
#[test]
fn a_stage_prints_as_the_phone_shows_it() {
    let file = "examples/jobs/room-7-first-call.toml";
    for stage in
        ["arrive", "diagnose", "search", "decide", "test", "evacuate", "charge", "set", "prove", "close"]
    {
        let output = run(&["job", "stage", file, "--which", stage]);
        assert_eq!(output.status.code(), Some(0), "{stage}: {}", text(&output.stderr));
        let said = text(&output.stdout);
        assert!(said.contains("As of 2031-05-06 20:50") && !said.contains('«'), "{stage}: {said}");
    }
    let decide = |file: &str, more: &[&str]| {
        let words = [&["job", "stage", file, "--which", "decide"], more].concat();
        text(&run(&words).stdout).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let priced = decide(file, &[]);
    // One hour on site at 118.00 CAD and the van's 65.00 CAD; 2.75 h and 44 g at 84.00 CAD a kilogram at most.
    assert!(priced.contains("183 to 393"), "{priced}");
    let alone = Scratch::new("stage", &std::fs::read(root().join(file)).unwrap());
    let bare = decide(alone.path(), &[]);
    assert!(bare.contains("The ways to go on") && !bare.contains("Costs"), "{bare}");
    let output = run(&["job", "stage", file, "--which", "set", "--at", "tonight"]);
    assert_eq!(output.status.code(), Some(2));
    let said = text(&output.stderr);
    assert!(said.contains("tonight") && said.contains("2031-05-07T12:00-04:00"), "{said}");
}

#[cfg(not(feature = "pdf"))]
#[test]
fn a_pdf_is_refused_where_the_program_was_built_without() {
    let output =
        run(&["job", "report", "examples/jobs/room-7-repair.toml", "--format", "pdf", "--output", "x.pdf"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("--features pdf"));
}

/// A logger's table: which column is what is said once and remembered; nothing is guessed, nothing is taken twice.
#[test]
fn a_logger_s_table_is_taken_into_a_visit() {
    let visit = "gastight = 1\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-06\n[system]\nrefrigerant = \"R-449A\"\n\
                 [[entry]]\nkind = \"arrival\"\nat = 13:55\nplace = \"plant yard\"\n";
    let scratch = Scratch::new("take", visit.as_bytes());
    let table = scratch.0.with_file_name("log.csv");
    let name = table.to_str().unwrap();
    let rows = "Stamp;Suct (psig);Line;Note\n06/05/2031 14:00;33.5;41.2;x\n06/05/2031 14:02;33.4;41.1;\n06/05/2031 14:06;33.4;41.0;\n\
                06/05/2031 14:12;bad;41.0;\nsoon;33.3;40.8;\n06/05/2031 14:18;;;\n06/05/2031 14:20;33.0;40.5;\n";
    std::fs::write(&table, rows).unwrap();
    let first = ["job", "take", scratch.path(), "--table", name];
    // Nothing is remembered yet: it says so with the columns that are there.
    let output = run(&first);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("Suct (psig)"), "{}", text(&output.stderr));
    let said = [
        "--time",
        "Stamp",
        "--column",
        "Suct (psig)=suction_pressure psig",
        "--column",
        "Line=suction_line F",
    ];
    // Without the order of day and month the sixth of May may be the fifth of June: every row is refused, none taken.
    let output = run(&[&first[..], &said].concat());
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("Taken: 0"), "{}", text(&output.stdout));
    let output = run(&[&first[..], &said, &["--days", "first", "--state", "running"]].concat());
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{told}");
    assert!(told.contains("Taken: 3. There already: 0; left out between: 1; not read: 2"), "{told}");
    assert!(told.contains('5') && told.contains("bad") && told.contains("soon"), "{told}");
    let kept = std::fs::read_to_string(&scratch.0).unwrap();
    assert!(kept.starts_with(visit) && kept.contains("suction_pressure = \"33.5 psig\""), "{kept}");
    assert!(run(&["job", "check", scratch.path()]).status.code() != Some(2));
    // Again, by what is remembered: what is there is not taken twice.
    let output = run(&first);
    let told = format!("{}{}", text(&output.stdout), text(&output.stderr));
    assert!(told.contains("Taken: 0. There already: 3; left out between: 1"), "{told}");
    let bad = run(&[&first[..], &["--time", "Stamp", "--column", "Line=nonsense F"]].concat());
    assert_eq!(bad.status.code(), Some(2));
    assert!(text(&bad.stderr).contains("Line=nonsense F"), "{}", text(&bad.stderr));
    // A log takes them as events.
    let log = scratch.0.with_file_name("visit.jsonl");
    std::fs::write(&log, visit_log(scratch.path())).unwrap();
    let later = scratch.0.with_file_name("later.csv");
    std::fs::write(&later, "Stamp,Suct (psig),Line\n06/05/2031 15:00,32.0,40.0\n").unwrap();
    let told = text(&run(&["job", "take", log.to_str().unwrap(), "--table", later.to_str().unwrap()]).stdout);
    assert!(told.contains("Taken: 1."), "{told}");
    assert!(std::fs::read_to_string(&log).unwrap().contains("32.0 psig"));
}

/// A paper log typed up: history with its days, taken once, in a layout of its own kind.
#[test]
fn a_paper_log_is_taken_into_a_visit_as_history() {
    let visit = "gastight = 1\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-06\n[system]\nrefrigerant = \"R-449A\"\n\
                 [[entry]]\nkind = \"arrival\"\nat = 13:55\nplace = \"plant yard\"\n";
    let scratch = Scratch::new("paper", visit.as_bytes());
    let table = scratch.0.with_file_name("book.csv");
    let rows = "Day,Added,Taken out,Remarks\n12/03/2030,3.5,,topped up\n20/08/2030,2 lb 4 oz,,\n05/11/2030,unknown,,filled to a clear glass\n\
                2/02/2031,,1.2,\n40/02/2031,3,,\n,,,\n";
    std::fs::write(&table, rows).unwrap();
    let first = ["job", "take", scratch.path(), "--table", table.to_str().unwrap()];
    let added = ["--kind", "past change", "--time", "Day", "--days", "first", "--column", "Added=amount lb"];
    let told = text(&run(&[&first[..], &added, &["--column", "Remarks=note"]].concat()).stdout);
    assert!(told.contains("Taken: 3. There already: 0") && told.contains("not read: 1"), "{told}");
    let removed = ["--kind", "past change", "--time", "Day", "--days", "first", "--set", "change=removed"];
    let told = text(&run(&[&first[..], &removed, &["--column", "Taken out=amount lb"]].concat()).stdout);
    assert!(told.contains("Taken: 1."), "{told}");
    // By what is remembered, nothing twice.
    let told = text(&run(&first).stdout);
    assert!(told.contains("Taken: 0. There already: 3"), "{told}");
    let kept = std::fs::read_to_string(&scratch.0).unwrap();
    for part in [
        "on = 2030-03-12",
        "amount = \"3.5 lb\"",
        "amount = \"2 lb 4 oz\"",
        "amount = \"unknown\"",
        "change = \"removed\"",
    ] {
        assert!(kept.contains(part), "{part}: {kept}");
    }
    assert_eq!(run(&["job", "check", scratch.path()]).status.code(), Some(0));
    let bad = run(&[&first[..], &added, &["--set", "colour=red"]].concat());
    assert_eq!(bad.status.code(), Some(2));
    assert!(text(&bad.stderr).contains("colour=red"), "{}", text(&bad.stderr));
}

fn visit_log(file: &str) -> Vec<u8> {
    run(&["job", "events", file]).stdout
}
