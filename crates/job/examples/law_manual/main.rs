//! Writes the manual of the law from its data: `cargo run -p job --example law_manual -- FOLDER`.

mod pages;

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("law_manual: name the folder that the pages go into");
        return ExitCode::from(2);
    };
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let written = pages::all(&root).and_then(|pages| {
        std::fs::create_dir_all(&folder)?;
        for (name, text) in &pages {
            std::fs::write(Path::new(&folder).join(name), text)?;
        }
        Ok(pages.len())
    });
    match written {
        Ok(count) => {
            println!("{count} pages in {folder}");
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("law_manual: {error}");
            ExitCode::FAILURE
        }
    }
}
