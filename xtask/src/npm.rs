//! The engine as a package for JavaScript: built, put together, and tried under node.

use crate::steps::{Step, cargo, target_dir};
use std::process::Command;

const PARTS: &str = "crates/fluid-js/package";

/// Builds the package into the folder `npm` of the build's and tries it.
pub fn run() -> Result<(), String> {
    let words = [
        "build",
        "--quiet",
        "--profile",
        "site",
        "--locked",
        "--target",
        "wasm32-unknown-unknown",
        "--package",
        "fluid-js",
    ];
    Step::new("wasm module", 900, cargo(words)).run()?;
    let place = target_dir().join("npm");
    std::fs::create_dir_all(&place).map_err(|e| format!("{}: {e}", place.display()))?;
    let copy = |from: &std::path::Path, name: &str| {
        std::fs::copy(from, place.join(name)).map_err(|e| format!("{}: {e}", from.display()))
    };
    for name in ["index.js", "index.d.ts", "package.json", "README.md"] {
        copy(&std::path::Path::new(PARTS).join(name), name)?;
    }
    copy(&target_dir().join("wasm32-unknown-unknown/site/fluid_js.wasm"), "fluid_js.wasm")?;
    let mut node = Command::new("node");
    node.arg("tools/npm_check.mjs").arg(&place);
    Step::new("the package under node", 120, node).run()?;
    println!("package in {}", place.display());
    Ok(())
}
