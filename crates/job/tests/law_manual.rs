//! The pages under `docs/law` are those that the data give today.

#![allow(clippy::unwrap_used)]

#[path = "../examples/law_manual/pages.rs"]
mod pages;

use rules::{Book, Status};
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn the_pages_are_up_to_date() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let pages = pages::all(&root).unwrap();
    let mut old = Vec::new();
    for (name, text) in &pages {
        let there = std::fs::read_to_string(root.join("docs/law").join(name)).unwrap_or_default();
        if there != *text {
            old.push(name.as_str());
        }
    }
    assert!(old.is_empty(), "run `cargo xtask docs-law`: {old:?}");
    let on_disk: BTreeSet<String> = std::fs::read_dir(root.join("docs/law"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    let made: BTreeSet<String> = pages.iter().map(|(name, _)| name.clone()).collect();
    assert_eq!(on_disk, made, "a page that nothing makes any more");
}

#[test]
fn every_duty_stands_in_a_page_and_every_doubt_among_the_doubts() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let pages = pages::all(&root).unwrap();
    let page = |name: &str| &pages.iter().find(|(file, _)| file == name).unwrap().1;
    for duty in Book::shipped().duties() {
        let text = page(&format!("{}.md", duty.jurisdiction));
        assert!(text.contains(&format!("\n## {}\n", duty.id)), "{}", duty.id);
        if duty.versions.iter().all(|version| version.status != Status::ReadInLaw) {
            assert!(page("not-confirmed.md").contains(&format!("`{}`", duty.id)), "{}", duty.id);
        }
    }
    assert!(page("side-by-side.md").matches("\n| Spain |").count() == 4);
}
