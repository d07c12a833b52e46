//! Where the programs under test lie.

use crate::Outcome;
use std::path::PathBuf;

/// Returns the path of a program of ours that was built before the tests.
///
/// # Errors
/// A sentence with the command that builds it.
pub fn built(name: &str) -> Outcome<PathBuf> {
    let file = format!("{name}{}", std::env::consts::EXE_SUFFIX);
    // The tests themselves lie in the folder `deps` beside the programs.
    let here = std::env::current_exe().map_err(|e| e.to_string())?;
    let beside = here.parent().and_then(std::path::Path::parent).map(|folder| folder.join(&file));
    match beside {
        Some(path) if path.is_file() => Ok(path),
        _ => Err(format!("{file} is not built: cargo build --package server --package gastight")),
    }
}

/// Returns the path of Chromium, from `CHROMIUM` or the usual places.
///
/// # Errors
/// A sentence that says how to install it.
pub fn chromium() -> Outcome<PathBuf> {
    if let Some(given) = std::env::var_os("CHROMIUM") {
        return Ok(PathBuf::from(given));
    }
    ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"]
        .iter()
        .map(PathBuf::from)
        .find(|path| path.is_file())
        .ok_or_else(|| "no Chromium here: apt-get install chromium, or set CHROMIUM to its path".to_owned())
}
