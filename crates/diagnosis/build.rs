//! Turns the files of `data/search` into constants, so that nothing is read or parsed at run time.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};
use toml_edit::{Document, Item, Table};

fn main() {
    let data = Path::new(&env::var("CARGO_MANIFEST_DIR").expect("cargo sets it")).join("../../data/search");
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed={}", data.display());
    let methods = read(&data.join("methods.toml"));
    let explanations = read(&data.join("explanations.toml"));
    let places = read(&data.join("places.toml"));
    let mut out = String::new();
    let mut put = |line: String| writeln!(out, "{line}").expect("a string takes text");

    put("pub static METHODS: &[MethodRow] = &[".into());
    for row in rows(&methods, "method") {
        put(format!(
            "MethodRow {{ key: {:?}, half_seen: {:?}, slope: {:?}, still: {}, moving: {}, spoilt: {:?}, minutes: {:?}, false_alarm: {:?} }},",
            text(row, "key"),
            number(inner(row, "half_seen"), "kg_per_year"),
            number(row, "slope"),
            beta(row, "still"),
            beta(row, "moving"),
            number(row, "spoilt"),
            number(row, "minutes"),
            number(row, "false_alarm")
        ));
    }
    put("];\npub static ACCESS: &[AccessRow] = &[".into());
    for row in rows(&methods, "access") {
        put(format!(
            "AccessRow {{ key: {:?}, outside: {}, opened: {}, by_others: {:?} }},",
            text(row, "key"),
            beta(row, "outside"),
            beta(row, "opened"),
            number(row, "by_others")
        ));
    }
    put("];\npub static PEOPLE: &[f64] = &[".into());
    for row in rows(&methods, "person") {
        put(format!("{:?},", number(row, "attention")));
    }
    put("];\npub static SHOPS: &[(f64, f64, &[f64], f64)] = &[".into());
    for row in rows(&methods, "shop") {
        let people: Vec<f64> = row["people"]
            .as_array()
            .expect("people")
            .iter()
            .map(|share| share.as_float().expect("a share"))
            .collect();
        put(format!(
            "({:?}, {:?}, &{people:?}, {:?}),",
            number(row, "share"),
            number(row, "reach"),
            number(row, "amounts")
        ));
    }
    put("];".into());
    let table = |document: &'static str, name: &'static str| (document, name);
    for (document, name) in [
        table("methods", "hit"),
        table("methods", "oil"),
        table("explanations", "size"),
        table("explanations", "reserve"),
        table("explanations", "charge"),
        table("explanations", "pair"),
        table("places", "switch"),
    ] {
        let from = match document {
            "methods" => &methods,
            "explanations" => &explanations,
            _ => &places,
        };
        let item = from[name].as_table().unwrap_or_else(|| panic!("no table {name}"));
        assert!(item.get("source").is_some(), "{name} without a source");
        for (key, value) in item.iter() {
            if let Some(value) = value.as_float() {
                put(format!("pub const {}_{}: f64 = {value:?};", name.to_uppercase(), key.to_uppercase()));
            }
        }
    }
    put("pub static EXPLANATIONS: &[(&str, f64)] = &[".into());
    for row in rows(&explanations, "explanation") {
        put(format!("({:?}, {:?}),", text(row, "key"), number(row, "chance")));
    }
    put("];\npub static SHOWS: &[(&str, f64, f64)] = &[".into());
    for row in rows(&explanations, "shows") {
        put(format!(
            "({:?}, {:?}, {:?}),",
            text(row, "key"),
            number(row, "chance"),
            number(row, "share_of_time")
        ));
    }
    put("];".into());
    put(format!(
        "pub const WEIGHT_IN_LEAKS: f64 = {:?};",
        places["weight_in_leaks"].as_float().expect("a number")
    ));
    put("pub static PLACES: &[PlaceRow] = &[".into());
    for row in places["place"].as_array_of_tables().expect("places") {
        let words: Vec<&str> = row["words"]
            .as_array()
            .expect("words")
            .iter()
            .map(|word| word.as_str().expect("a word"))
            .collect();
        put(format!(
            "PlaceRow {{ key: {:?}, part: {:?}, region: {:?}, access: {:?}, side: {:?}, weight: {:?}, minutes: {:?}, opening: {:?}, needs: {:?}, words: &{words:?} }},",
            text(row, "key"),
            text(row, "part"),
            text(row, "region"),
            text(row, "access"),
            text(row, "side"),
            number(row, "weight"),
            number(row, "minutes"),
            number(row, "opening"),
            row.get("needs").and_then(Item::as_str).unwrap_or_default()
        ));
    }
    put("];\npub static REGIONS: &[(&str, f64)] = &[".into());
    for row in rows(&places, "region") {
        put(format!("({:?}, {:?}),", text(row, "key"), number(row, "setup")));
    }
    put("];\npub static TRAVEL: &[(&str, &str, f64, f64)] = &[".into());
    for row in rows(&places, "travel") {
        put(format!(
            "({:?}, {:?}, {:?}, {:?}),",
            text(row, "from"),
            text(row, "to"),
            number(row, "minutes"),
            number(row, "on_roof")
        ));
    }
    put("];".into());
    let target = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it")).join("search.rs");
    fs::write(target, out).expect("the build folder can be written");
}

fn read(path: &Path) -> Document<String> {
    let text = fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    Document::parse(text).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn rows<'a>(document: &'a Document<String>, name: &str) -> Vec<&'a Table> {
    let rows: Vec<&Table> =
        document[name].as_array_of_tables().unwrap_or_else(|| panic!("no rows {name}")).iter().collect();
    assert!(rows.iter().all(|row| row.get("source").is_some()), "a row of {name} without a source");
    rows
}

fn text<'a>(row: &'a Table, key: &str) -> &'a str {
    row.get(key).and_then(Item::as_str).unwrap_or_else(|| panic!("no text {key}"))
}

fn inner<'a>(row: &'a Table, key: &str) -> &'a dyn toml_edit::TableLike {
    row.get(key).and_then(Item::as_table_like).unwrap_or_else(|| panic!("no table {key}"))
}

fn number(row: &dyn toml_edit::TableLike, key: &str) -> f64 {
    row.get(key).and_then(Item::as_float).unwrap_or_else(|| panic!("no number {key}"))
}

fn beta(row: &Table, key: &str) -> String {
    let inner = inner(row, key);
    format!("Beta {{ a: {:?}, b: {:?} }}", number(inner, "a"), number(inner, "b"))
}
