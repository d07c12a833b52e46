//! Embeds the law's data files: one table of file name and text, in the order of their names.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let law = Path::new(&env::var("CARGO_MANIFEST_DIR").unwrap_or_default()).join("../../data/law");
    println!("cargo::rerun-if-changed={}", law.display());
    let duties = law.join("duties");
    let mut files = Vec::new();
    for folder in fs::read_dir(&duties)? {
        let folder = folder?.path();
        println!("cargo::rerun-if-changed={}", folder.display());
        if folder.is_dir() {
            for file in fs::read_dir(folder)? {
                let file = file?.path();
                if file.extension().is_some_and(|end| end == "toml") {
                    files.push(file);
                }
            }
        }
    }
    files.sort();
    let mut text = String::from(
        "/// The duty files: name under `data/law/duties`, and text.\npub(crate) const DUTY_FILES: &[(&str, &str)] = &[\n",
    );
    for file in &files {
        let name = file.strip_prefix(&duties).unwrap_or(file).to_string_lossy().replace('\\', "/");
        let _ = writeln!(text, "    ({name:?}, include_str!({:?})),", absolute(file)?);
    }
    text.push_str("];\n");
    for (constant, name) in [
        ("REFRIGERANTS", "refrigerants.toml"),
        ("COMPONENTS", "components.toml"),
        ("EVACUATION", "evacuation.toml"),
    ] {
        let _ = writeln!(
            text,
            "/// `data/law/{name}`.\npub(crate) const {constant}: &str = include_str!({:?});",
            absolute(&law.join(name))?
        );
    }
    let out = Path::new(&env::var("OUT_DIR").unwrap_or_default()).join("law.rs");
    fs::write(out, text)
}

fn absolute(file: &Path) -> io::Result<PathBuf> {
    fs::canonicalize(file)
}
