//! Printed documents, read back by another program (Poppler's pdftotext and pdfinfo): what stands in them, that they are
//! tagged, how many pages they have, and that their money is that of the page for the screen.

#![cfg(feature = "pdf")]
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const REPAIR: &str = "examples/jobs/room-7-repair.toml";
const FIRST: &str = "examples/jobs/room-7-first-call.toml";
const SHEETS: [&str; 7] = ["customer", "label", "leaks", "cylinders", "handover", "load", "places"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gastight")).args(words).current_dir(root()).output().unwrap()
}

/// A folder of this test, gone when the test is over.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let folder = std::env::temp_dir().join(format!("gastight-pdf-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        Folder(folder)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).to_str().unwrap().to_owned()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Prints a document into `path` and returns what was said beside it.
#[track_caller]
fn print(words: &[&str], path: &str) -> String {
    let output = run(&[words, &["--format", "pdf", "--output", path]].concat());
    let beside = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{beside}");
    beside
}

#[track_caller]
fn tool(name: &str, words: &[&str]) -> String {
    let output = Command::new(name).args(words).output().unwrap_or_else(|error| {
        panic!("{name} cannot be run ({error}); apt-get install poppler-utils brings it")
    });
    assert!(output.status.success(), "{name} {words:?}: {}", String::from_utf8_lossy(&output.stderr));
    // pdfinfo cuts long words off in the middle of a letter.
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// The words of pages `first` to `last`, with single spaces.
#[track_caller]
fn words_of(path: &str, first: u32, last: u32) -> String {
    let (first, last) = (first.to_string(), last.to_string());
    let text = tool("pdftotext", &["-f", &first, "-l", &last, "-layout", path, "-"]);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn pages(path: &str) -> u32 {
    let info = tool("pdfinfo", &[path]);
    info.lines().find_map(|line| line.strip_prefix("Pages:")).unwrap().trim().parse().unwrap()
}

/// What every document must be: tagged with a tree, in its language, with a title, and claiming PDF/UA-1.
#[track_caller]
fn is_tagged(path: &str, language: &str) {
    let bytes = std::fs::read(path).unwrap();
    let holds = |what: &str| bytes.windows(what.len()).any(|window| window == what.as_bytes());
    assert!(holds("/MarkInfo<</Marked true") && holds("/StructTreeRoot"), "{path} is not tagged");
    assert!(holds(&format!("/Lang({language})")), "{path} does not say that it is in {language}");
    let info = tool("pdfinfo", &[path]);
    assert!(info.contains("Tagged:          yes") && info.contains("JavaScript:      no"), "{info}");
    let meta = tool("pdfinfo", &["-meta", path]);
    assert!(meta.contains("pdfuaid:part>1<"), "no claim of PDF/UA-1: {meta}");
    let tree = tool("pdfinfo", &["-struct", path]);
    assert!(tree.contains("H1") && tree.contains("H2"), "no headings in the tree of {path}");
}

#[test]
fn every_document_is_tagged_in_both_languages() {
    let folder = Folder::new("tagged");
    for (asked, language) in [("en", "en"), ("fr", "fr-CA")] {
        for sheet in SHEETS {
            let path = folder.path(&format!("{sheet}-{asked}.pdf"));
            print(&["job", "sheet", REPAIR, "--what", sheet, "--language", asked], &path);
            is_tagged(&path, language);
        }
        for (name, file) in [("report", REPAIR), ("invoice", REPAIR), ("quote", FIRST), ("parts", REPAIR)] {
            let path = folder.path(&format!("{name}-{asked}.pdf"));
            print(&["job", name, file, "--language", asked], &path);
            is_tagged(&path, language);
        }
    }
}

/// The report's pictures are there, each with its words for who cannot see it.
#[test]
fn the_report_has_its_words_and_its_pictures() {
    let folder = Folder::new("report");
    let path = folder.path("report.pdf");
    print(&["job", "report", REPAIR], &path);
    let text = words_of(&path, 1, 99);
    for wanted in [
        "Service report",
        "Wrenford Flower Exchange, Room 7, R-449A, 14.2 kg",
        "The hold shows no leak, and does not show it tight either.",
        "Superheat at the coil",
        "The cycle as read, R-449A",
        "What was done",
        "Inputs, methods, sources",
        "Not legal advice",
    ] {
        assert!(text.contains(wanted), "“{wanted}” is not in the report");
    }
    let tree = tool("pdfinfo", &["-struct", &path]);
    let figures = tree.lines().filter(|line| line.trim_start().starts_with("Figure")).count();
    assert!(figures >= 4, "{figures} pictures in the tree");
    assert!(tree.lines().any(|line| line.trim_start().starts_with("Table")), "no table in the tree");
    let bytes = std::fs::read(&path).unwrap();
    let alt = bytes.windows(5).filter(|window| window == b"/Alt(").count()
        + bytes.windows(5).filter(|window| window == b"/Alt<").count();
    assert!(alt >= figures, "{alt} descriptions for {figures} pictures");
}

/// What the customer reads is one page; the detail begins the next.
#[test]
fn the_customers_page_is_one_page() {
    let folder = Folder::new("customer");
    for (language, paper, ends, behind) in [
        ("en", "letter", "What comes next", "Inputs, methods, sources"),
        ("fr", "letter", "La suite", "Données, méthodes, sources"),
        ("en", "a4", "What comes next", "Inputs, methods, sources"),
        ("fr", "a4", "La suite", "Données, méthodes, sources"),
    ] {
        let path = folder.path("customer.pdf");
        print(
            &["job", "sheet", REPAIR, "--what", "customer", "--language", language, "--paper", paper],
            &path,
        );
        let (first, second) = (words_of(&path, 1, 1), words_of(&path, 2, 2));
        assert!(first.contains(ends), "the last section does not stand on the first page: {first}");
        assert!(!first.contains(behind), "detail stands on the customer's page");
        assert!(second.starts_with(behind), "the second page begins with {}", &second[..60]);
        let size = if paper == "a4" { "595.276 x 841.89 pts (A4)" } else { "612 x 792 pts (letter)" };
        assert!(tool("pdfinfo", &[&path]).contains(size), "not {size}");
    }
}

/// The single sheets of the example are one page each.
#[test]
fn a_sheet_is_a_sheet() {
    let folder = Folder::new("sheets");
    for sheet in SHEETS.into_iter().filter(|sheet| *sheet != "customer") {
        let path = folder.path("sheet.pdf");
        print(&["job", "sheet", REPAIR, "--what", sheet, "--language", "fr", "--paper", "a4"], &path);
        assert_eq!(pages(&path), 1, "{sheet}");
    }
}

/// The amounts in the order they stand, as text: what looks like money with two decimals.
fn amounts(text: &str) -> Vec<String> {
    let sign = |c: char| !(c.is_ascii_digit() || c == '.' || c == ',');
    let money = |word: &&str| {
        let parts: Vec<&str> = word.split(['.', ',']).collect();
        parts.len() == 2
            && parts.iter().all(|part| part.chars().all(|c| c.is_ascii_digit()))
            && parts[1].len() == 2
    };
    text.split(sign).map(|word| word.trim_end_matches(['.', ','])).filter(money).map(str::to_owned).collect()
}

/// The money on paper is the money on the screen, line by line; the rules of a browser's page are left out.
#[test]
fn the_money_is_that_of_the_page() {
    let folder = Folder::new("money");
    for (name, file, language) in
        [("invoice", REPAIR, "en"), ("invoice", REPAIR, "fr"), ("quote", FIRST, "en"), ("quote", FIRST, "fr")]
    {
        let path = folder.path("bill.pdf");
        print(&["job", name, file, "--language", language], &path);
        let html = run(&["job", name, file, "--language", language, "--format", "html"]).stdout;
        let html = String::from_utf8(html).unwrap();
        let body = html.split_once("<main>").unwrap().1;
        let mut shown = String::new();
        let mut inside = false;
        for c in body.chars() {
            match c {
                '<' => inside = true,
                '>' => {
                    inside = false;
                    shown.push(' ');
                }
                c if !inside => shown.push(c),
                _ => {}
            }
        }
        let (paper, page) = (amounts(&words_of(&path, 1, 99)), amounts(&shown));
        assert!(paper.len() > 5, "{name} in {language}: {paper:?}");
        assert_eq!(paper, page, "{name} in {language}");
        let total: serde_json::Value =
            serde_json::from_slice(&run(&["job", name, file, "--format", "json"]).stdout).unwrap();
        let total =
            total.pointer("/total").or_else(|| total.pointer("/options/0/total")).unwrap().as_str().unwrap();
        let total = if language == "fr" { total.replace('.', ",") } else { total.to_owned() };
        assert!(paper.contains(&total), "{total} is not in {paper:?}");
    }
}

#[test]
fn the_same_visit_gives_the_same_bytes() {
    let folder = Folder::new("same");
    let (first, second) = (folder.path("a.pdf"), folder.path("b.pdf"));
    print(&["job", "invoice", REPAIR], &first);
    print(&["job", "invoice", REPAIR], &second);
    assert!(std::fs::read(&first).unwrap() == std::fs::read(&second).unwrap());
}

/// What a person typed is shown, whatever it looks like; letters that no face has are named.
#[test]
fn what_was_typed_is_shown_and_never_obeyed() {
    let folder = Folder::new("typed");
    let file = folder.path("visit.toml");
    let hostile = "#read(\"/etc/passwd\") *x* $y$ \\\" <b> CO2 #{panic()}";
    let text = std::fs::read_to_string(root().join(REPAIR)).unwrap();
    let complaint = "complaint = \"Second visit: leak at the liquid line found yesterday.\"";
    assert!(text.contains(complaint));
    let with = |typed: &str| text.replace(complaint, &format!("complaint = '''{typed}'''"));
    std::fs::write(&file, with(hostile)).unwrap();
    let path = folder.path("report.pdf");
    assert_eq!(print(&["job", "report", &file], &path), "");
    let words = words_of(&path, 1, 1);
    assert!(words.contains("#read(\"/etc/passwd\") *x* $y$ \\\" <b>"), "{words}");

    let long = "x".repeat(400);
    std::fs::write(&file, with(&format!("Кухня Κρύο 冷 {long}"))).unwrap();
    let beside = print(&["job", "report", &file], &path);
    assert!(beside.contains("冷") && !beside.contains("К"), "{beside}");
    assert!(words_of(&path, 1, 1).contains("Кухня Κρύο"));
}

#[test]
fn a_pdf_wants_a_file() {
    let output = run(&["job", "report", REPAIR, "--format", "pdf"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("--output"));
    assert!(output.stdout.is_empty());
}
