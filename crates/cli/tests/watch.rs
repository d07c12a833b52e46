//! Many systems by their controllers' logs: a log written here (invented readings), read by the program.

#![cfg(feature = "fleet")]
#![allow(clippy::unwrap_used)]

use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gastight")).args(words).output().unwrap()
}

fn json(words: &[&str]) -> Value {
    let output = run(&[words, &["--json"]].concat());
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// Checks an answer against the schema of `watch --json`.
#[track_caller]
fn fits(answer: &Value) {
    let schema: Value = serde_json::from_str(include_str!("schemas/watch.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let wrong: Vec<String> =
        validator.iter_errors(answer).map(|e| format!("{e} at {}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A folder of this test, gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let folder = std::env::temp_dir().join(format!("gastight-watch-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Folder(folder)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_str().unwrap().to_owned()
    }

    fn with(&self, name: &str, text: &str) -> String {
        std::fs::write(self.0.join(name), text).unwrap();
        self.path(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Numbers between -1 and 1 that come the same each time.
struct Scatter(u64);

impl Scatter {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

const HEAD: &str = "time,system,suction_pressure kPa abs,discharge_pressure kPa abs,suction_line C,liquid_line C,\
                    discharge_line C,box_air C,ambient C,running\n";

fn moment(day: i64, minute: i64) -> String {
    let date = units::Date::from_day_number(i32::try_from(22_281 + day).unwrap());
    format!("{date} {:02}:{:02}", minute / 60, minute % 60)
}

/// A row of R-134a: condensing at `tc` °C. ln p is nearly a line in 1/T; near enough for a log that is invented.
fn row(
    text: &mut String,
    s: &mut Scatter,
    (day, minute): (i64, i64),
    system: &str,
    ambient: f64,
    split: f64,
) {
    let tc = (ambient + split).max(28.0 + split - 10.0) + 0.15 * s.next();
    // 1016.6 kPa at 40 °C and 571.7 kPa at 20 °C (NIST's fundamental equation of R-134a).
    let p = 1016.6 * units::math::exp(2626.0 * (1.0 / 313.15 - 1.0 / (tc + 273.15)));
    let running = i64::from((minute + 7 * system.len() as i64) % 60 < 40);
    writeln!(
        text,
        "{},{system},{:.1},{p:.1},{:.2},{:.2},{:.1},{:.1},{ambient:.1},{running}",
        moment(day, minute),
        200.0 * (1.0 + 0.004 * s.next()),
        0.4 * s.next(),
        tc - 4.0 + 0.3 * s.next(),
        tc + 30.0 + s.next(),
        2.0 + 0.3 * s.next(),
    )
    .unwrap();
}

fn ambient(day: i64, minute: i64) -> f64 {
    let turn = std::f64::consts::TAU * (minute as f64 / 1440.0 - 0.4);
    18.0 + 6.0 * units::math::sin(day as f64 / 17.0) + 5.0 * units::math::sin(turn)
}

/// Sixty days of three systems, six hours of each day; the condenser of the second gets dirty from day 40 on.
fn log(days: std::ops::Range<i64>) -> String {
    let (mut text, mut scatter) = (HEAD.to_owned(), Scatter(7));
    for day in days {
        for minute in (0..1440).filter(|m| m % 120 < 30 && m % 2 == 0) {
            for system in ["room-2", "room-7", "room-4x"] {
                let dirt = if system == "room-7" { 0.25 * (day - 40).max(0) as f64 } else { 0.0 };
                let at = (day, minute);
                row(&mut text, &mut scatter, at, system, ambient(day, minute), 10.0 + dirt);
            }
        }
    }
    text
}

fn of<'a>(answer: &'a Value, system: &str) -> &'a Value {
    answer["systems"].as_array().unwrap().iter().find(|one| one["system"] == system).unwrap()
}

#[test]
fn a_condenser_that_gets_dirty_is_named_and_its_neighbours_are_not() {
    let folder = Folder::new("dirty");
    let path = folder.with("log.csv", &log(0..64));
    let list = folder.path("list.csv");
    let answer = json(&["watch", "--input", &path, "--refrigerant", "R-134a", "--output", &list]);
    fits(&answer);
    let dirty = of(&answer, "room-7");
    assert_eq!((&dirty["rank"], &dirty["state"]), (&1.into(), &"alarm".into()), "{dirty}");
    assert_eq!(dirty["causes"][0]["cause"], "condenser", "{dirty}");
    for system in ["room-2", "room-4x"] {
        assert_eq!(of(&answer, system)["state"], "quiet", "{answer}");
    }
    let split = dirty["changes"].as_array().unwrap().iter().find(|c| c["feature"] == "split").unwrap();
    assert!((split["size"].as_f64().unwrap() - 6.0).abs() < 2.0, "{split}");
    let list = std::fs::read_to_string(list).unwrap();
    assert!(list.lines().nth(1).unwrap().starts_with("1,room-7,alarm,"), "{list}");
}

#[test]
fn what_is_kept_and_what_comes_are_one_log_and_nothing_is_taken_twice() {
    let folder = Folder::new("kept");
    let (first, then) = (folder.with("a.csv", &log(0..50)), folder.with("b.csv", &log(50..64)));
    let (kept, whole) = (folder.path("kept.parquet"), folder.with("whole.csv", &log(0..64)));
    let gas = ["--refrigerant", "R-134a"];
    let early = json(&[&["watch", "--input", &first, "--keep", &kept], &gas[..]].concat());
    assert!(early["rows"]["taken"].as_u64().unwrap() > 20_000, "{}", early["rows"]);
    let later = json(&[&["watch", "--input", &then, "--keep", &kept], &gas[..]].concat());
    let again = json(&[&["watch", "--input", &then, "--keep", &kept], &gas[..]].concat());
    assert_eq!(again["rows"]["taken"], 0);
    assert_eq!(again["rows"]["again"], later["rows"]["taken"]);
    assert_eq!(again["systems"], later["systems"]);
    // The scatter of the second file begins anew, so that it is near the whole, not the same.
    let whole = json(&[&["watch", "--input", &whole], &gas[..]].concat());
    for system in ["room-2", "room-7", "room-4x"] {
        assert_eq!(of(&whole, system)["windows"], of(&later, system)["windows"]);
        assert_eq!(of(&whole, system)["state"], of(&later, system)["state"]);
    }
}

#[test]
fn the_same_readings_as_parquet_give_the_same_list() {
    let folder = Folder::new("parquet");
    let (path, parquet) = (folder.with("log.csv", &log(0..45)), folder.path("log.parquet"));
    let gas = ["--refrigerant", "R-134a"];
    let by_csv = json(&[&["watch", "--input", &path], &gas[..]].concat());
    json(&[&["watch", "--input", &path, "--parquet", &parquet], &gas[..]].concat());
    let by_parquet = json(&[&["watch", "--input", &parquet], &gas[..]].concat());
    for system in ["room-2", "room-7", "room-4x"] {
        let (a, b) = (of(&by_csv, system), of(&by_parquet, system));
        assert_eq!((&a["windows"], &a["steady_windows"]), (&b["windows"], &b["steady_windows"]));
        let (a, b) = (a["evidence"].as_f64().unwrap(), b["evidence"].as_f64().unwrap());
        assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
    }
}

#[test]
fn the_order_of_the_rows_changes_nothing() {
    let folder = Folder::new("order");
    let text = log(0..45);
    let mut rows: Vec<&str> = text.lines().skip(1).collect();
    let by_time = folder.with("time.csv", &text);
    rows.sort_by_key(|row| row.split(',').nth(1).unwrap().to_owned());
    let by_system = folder.with("system.csv", &format!("{HEAD}{}\n", rows.join("\n")));
    // In order for longer than the head that is looked at, and then not.
    let mut rows: Vec<&str> = text.lines().skip(1).collect();
    rows[10_000..].reverse();
    let late = folder.with("late.csv", &format!("{HEAD}{}\n", rows.join("\n")));
    let answers: Vec<Value> = [&by_time, &by_system, &late]
        .iter()
        .map(|path| json(&["watch", "--input", path, "--refrigerant", "R-134a"]))
        .collect();
    for answer in &answers[1..] {
        assert_eq!(answer["rows"], answers[0]["rows"]);
        for system in ["room-2", "room-7", "room-4x"] {
            let (a, b) = (of(&answers[0], system), of(answer, system));
            assert_eq!((&a["windows"], &a["steady_windows"]), (&b["windows"], &b["steady_windows"]));
            let (a, b) = (a["evidence"].as_f64().unwrap(), b["evidence"].as_f64().unwrap());
            assert!((a / b - 1.0).abs() < 1e-6, "{a} {b}");
        }
    }
}

#[test]
fn bad_rows_are_named_by_line_and_the_rest_is_taken() {
    let folder = Folder::new("bad");
    let text = format!(
        "{HEAD}2031-01-02 10:00,room-7,200,1016,1,36,70,2,20,1\nnoon,room-7,200,1016,1,36,70,2,20,1\n\
         2031-01-02 10:02,,200,1016,1,36,70,2,20,1\n2031-01-02 10:03,room-7,200,x,1,36,70,2,20,1\n\
         2031-01-02 10:04,room-7,200,1016,1,36,70,2,999,1\n2031-01-02 10:05,room-7,,,,,,,,\n\
         2031-01-02 10:06,room-7,200,1016,1,36,70,2,20,maybe\n2031-01-02 10:07,room-7,200\n"
    );
    let (path, bad) = (folder.with("log.csv", &text), folder.path("bad.txt"));
    let words = ["watch", "--input", &path, "--refrigerant", "R-134a", "--bad", &bad];
    let answer = json(&words);
    let rows = &answer["rows"];
    assert_eq!((&rows["taken"], &rows["empty"], &rows["bad"]), (&2.into(), &1.into(), &5.into()), "{rows}");
    let lines: Vec<u64> =
        rows["bad_named"].as_array().unwrap().iter().map(|b| b["line"].as_u64().unwrap()).collect();
    assert_eq!(lines, [3, 4, 5, 6, 8]);
    let written = std::fs::read_to_string(&bad).unwrap();
    assert_eq!(written, "3\ttime\n4\tsystem\n5\tvalue\n6\tvalue\n8\tvalue\n");
    fits(&answer);
    assert_eq!(of(&answer, "room-7")["state"], "too_early");
    assert_eq!(run(&words).status.code(), Some(1));
}

#[test]
fn columns_by_a_map_in_units_as_the_controller_has_them() {
    let folder = Folder::new("map");
    let map = folder.with(
        "columns.toml",
        "gastight_columns = 1\n[[table]]\ntime = \"Stamp\"\ndays = \"first\"\nsystem = \"Unit\"\nrefrigerant = \"Gas\"\n\
         [[table.column]]\nhead = \"LP\"\nfield = \"suction_pressure\"\nunit = \"psig\"\n\
         [[table.column]]\nhead = \"HP\"\nfield = \"discharge_pressure\"\nunit = \"psig\"\n\
         [[table.column]]\nhead = \"OAT\"\nfield = \"ambient\"\nunit = \"F\"\n\
         [[table.column]]\nhead = \"Comp\"\nfield = \"running\"\n",
    );
    let mut text = "Stamp;Unit;Gas;LP;HP;OAT;Comp\n".to_owned();
    for minute in 0..10 {
        writeln!(text, "02/01/2031 10:0{minute};room-7;R-449A;40,5;220;68;on").unwrap();
    }
    let path = folder.with("log.csv", &text);
    let parquet = folder.path("log.parquet");
    let answer = json(&["watch", "--input", &path, "--map", &map, "--parquet", &parquet]);
    assert_eq!(answer["rows"]["taken"], 10, "{answer}");
    let room = of(&answer, "room-7");
    assert_eq!((&room["windows"], &room["steady_windows"]), (&2.into(), &2.into()));
    assert_eq!((&room["has_refrigerant"], &room["last"]), (&true.into(), &"2031-01-02".into()));
    // A unit that is none, a head that is not there, an empty file, a file that is not there: one sentence each.
    let wrong = folder.with("wrong.toml", &std::fs::read_to_string(&map).unwrap().replace("psig", "furlong"));
    let empty = folder.with("empty.csv", "");
    let other = folder.with("other.csv", "a,b\n1,2\n");
    let none = folder.path("none.csv");
    for (words, code) in [
        (vec!["--input", &path, "--map", &wrong], "no_unit"),
        (vec!["--input", &other, "--map", &map], "no_table"),
        (vec!["--input", &other], "no_layout"),
        (vec!["--input", &empty], "file"),
        (vec!["--input", &none], "file"),
        (vec!["--input", &path, "--map", &map, "--refrigerant", "R-999Z"], "no_refrigerant"),
        (vec!["--input", &path, "--map", &map, "--false-alarms", "often"], "bad_rate"),
        (vec![], "missing"),
    ] {
        let output = run(&[&["watch", "--json"], &words[..]].concat());
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(&format!("\"{code}\"")), "{code}: {said}");
    }
}

#[test]
fn a_proved_day_begins_a_baseline_anew() {
    let folder = Folder::new("proved");
    let path = folder.with("log.csv", &log(0..64));
    let day = moment(60, 0)[..10].to_owned();
    let list = folder
        .with("systems.csv", &format!("system,refrigerant,proved\nroom-7,R-134a,{day}\nroom-2,R-134a,\n"));
    let answer = json(&["watch", "--input", &path, "--systems", &list]);
    assert_eq!(of(&answer, "room-7")["state"], "too_early");
    assert_eq!(of(&answer, "room-2")["state"], "quiet");
    assert_eq!(of(&answer, "room-4x")["has_refrigerant"], false);
    let broken = folder.with("broken.csv", "system,proved\nroom-7,soon\n");
    let output = run(&["watch", "--input", &path, "--systems", &broken]);
    assert_eq!(output.status.code(), Some(2));
    assert!(Path::new(&path).is_file());
}

/// Writes a log and returns what is said of it.
fn said_of(folder: &Folder, name: &str, text: &str) -> Value {
    let path = folder.with(name, text);
    let answer = json(&["watch", "--input", &path, "--refrigerant", "R-134a"]);
    fits(&answer);
    answer
}

#[test]
fn rows_that_come_twice_and_days_that_are_missing_move_nothing() {
    let folder = Folder::new("odd");
    let text = log(0..50);
    let plain = said_of(&folder, "plain.csv", &text);
    let twice: Vec<String> = text.lines().skip(1).map(|row| format!("{row}\n{row}\n")).collect();
    let twice = said_of(&folder, "twice.csv", &format!("{HEAD}{}", twice.concat()));
    assert_eq!(twice["rows"]["taken"].as_u64(), plain["rows"]["taken"].as_u64().map(|n| 2 * n));
    for system in ["room-2", "room-7", "room-4x"] {
        let (a, b) = (of(&plain, system), of(&twice, system));
        assert_eq!((&a["windows"], &a["steady_windows"]), (&b["windows"], &b["steady_windows"]));
        assert!((a["evidence"].as_f64().unwrap() / b["evidence"].as_f64().unwrap() - 1.0).abs() < 1e-6);
    }
    // A gateway that was off for a week.
    let off = moment(20, 0)[..10].to_owned()..moment(27, 0)[..10].to_owned();
    let rest: Vec<&str> = text.lines().skip(1).filter(|row| !off.contains(&row[..10].to_owned())).collect();
    let gap = said_of(&folder, "gap.csv", &format!("{HEAD}{}\n", rest.join("\n")));
    assert!(of(&gap, "room-2")["windows"].as_u64() < of(&plain, "room-2")["windows"].as_u64());
    assert_eq!(of(&gap, "room-2")["state"], "quiet", "{gap}");
}

#[test]
fn a_clock_set_back_is_sorted_out_and_one_that_was_reset_is_left_out() {
    let folder = Folder::new("clock");
    let plain = said_of(&folder, "plain.csv", &log(0..45));
    // On day 30 the clock goes back two hours at noon, so that two hours come twice.
    let (day, mut text) = (moment(30, 0)[..10].to_owned(), HEAD.to_owned());
    for row in log(0..45).lines().skip(1) {
        let hour: i64 = row[11..13].parse().unwrap();
        let back = row.starts_with(&day) && hour >= 12;
        let hour = if back { hour - 2 } else { hour };
        writeln!(text, "{} {hour:02}{}", &row[..10], &row[13..]).unwrap();
    }
    let back = said_of(&folder, "back.csv", &text);
    assert_eq!(back["rows"], plain["rows"]);
    assert_eq!(of(&back, "room-2")["state"], "quiet");
    // Clocks without a battery begin at the year of their making; one that runs wild would be the newest for ever.
    let wild = format!(
        "{}2000-01-01 00:00,room-2,200,1016,1,36,70,2,20,1\n2099-01-01 00:00,room-2,200,1016,1,36,70,2,20,1\n",
        log(0..45)
    );
    let wild = said_of(&folder, "wild.csv", &wild);
    assert_eq!(wild["rows"]["bad"], 2, "{}", wild["rows"]);
    assert_eq!(of(&wild, "room-2"), of(&plain, "room-2"));
}

#[test]
fn a_unit_that_is_wrong_is_told_and_a_right_one_is_not() {
    let folder = Folder::new("unit");
    let text = log(0..45);
    assert!(of(&said_of(&folder, "plain.csv", &text), "room-2")["pressures_fit"].as_bool().unwrap());
    // Kilopascals named as psi are beyond all saturation; as bar they are no pressure of a refrigerant at all.
    for (unit, is_row) in [("psi abs", false), ("bar abs", true)] {
        let answer = said_of(&folder, "wrong.csv", &text.replace("kPa abs", unit));
        if is_row {
            assert_eq!(answer["rows"]["taken"], 0, "{}", answer["rows"]);
            continue;
        }
        assert_eq!(of(&answer, "room-2")["pressures_fit"], false, "{answer}");
    }
    // Pressures in psi named as kilopascals condense far below the ambient.
    let mut psi = HEAD.to_owned();
    for row in text.lines().skip(1) {
        let mut cells: Vec<String> = row.split(',').map(str::to_owned).collect();
        for cell in &mut cells[2..4] {
            *cell = format!("{:.2}", cell.parse::<f64>().unwrap() / 6.894_757);
        }
        writeln!(psi, "{}", cells.join(",")).unwrap();
    }
    let path = folder.with("psi.csv", &psi);
    let words = ["watch", "--input", &path, "--refrigerant", "R-134a"];
    assert_eq!(of(&json(&words), "room-2")["pressures_fit"], false);
    let told = String::from_utf8(run(&words).stdout).unwrap();
    assert!(told.contains("cannot be those of their refrigerant: 3, such as room-"), "{told}");
}

#[test]
fn systems_come_and_go() {
    let folder = Folder::new("come");
    let (from, to) = (moment(30, 0), moment(20, 0));
    let keeps = |row: &&str| {
        let (time, system) = (&row[..16], row.split(',').nth(1).unwrap());
        match system {
            "room-2" => time < to.as_str(),
            "room-4x" => time >= from.as_str(),
            _ => true,
        }
    };
    let text = log(0..45);
    let rest: Vec<&str> = text.lines().skip(1).filter(keeps).collect();
    let answer = said_of(&folder, "log.csv", &format!("{HEAD}{}\n", rest.join("\n")));
    let (gone, new) = (of(&answer, "room-2"), of(&answer, "room-4x"));
    assert_eq!((&gone["state"], &new["state"]), (&"too_early".into(), &"too_early".into()), "{answer}");
    assert_eq!(gone["last"], moment(19, 0)[..10]);
    assert_eq!(new["last"], moment(44, 0)[..10]);
    assert!(new["days"].as_i64().unwrap() <= 18 && gone["days"].as_i64().unwrap() <= 24, "{answer}");
}

#[test]
fn shares_of_the_systems_give_what_the_whole_gives() {
    let folder = Folder::new("shares");
    let text = log(0..50);
    let whole = said_of(&folder, "whole.csv", &text);
    for share in [&["room-2", "room-7"][..], &["room-4x"]] {
        let own = |row: &&str| share.contains(&row.split(',').nth(1).unwrap());
        let rows: Vec<&str> = text.lines().skip(1).filter(own).collect();
        let path = folder.with("share.csv", &format!("{HEAD}{}\n", rows.join("\n")));
        let (readings, points) = (folder.path("readings.parquet"), folder.path("points.parquet"));
        let gas = ["--refrigerant", "R-134a"];
        let first =
            [&["watch", "--input", &path, "--parquet", &readings, "--keep", &points], &gas[..]].concat();
        json(&first);
        // The share moves: its readings are read again elsewhere.
        let moved = json(&[&["watch", "--input", &readings], &gas[..]].concat());
        assert_eq!(moved["systems"].as_array().unwrap().len(), share.len());
        for system in share {
            let (a, b) = (of(&whole, system), of(&moved, system));
            assert_eq!((&a["windows"], &a["steady_windows"]), (&b["windows"], &b["steady_windows"]));
            assert!((a["evidence"].as_f64().unwrap() / b["evidence"].as_f64().unwrap() - 1.0).abs() < 1e-6);
        }
        std::fs::remove_file(points).unwrap();
    }
}
