//! The program: compiled for wasm, and bound to the browser.

use std::path::Path;
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// The app's program: cut in two where the app marks it, so that the first screen need not wait for the whole.
pub struct Program {
    /// The module that loads the first part.
    pub js: String,
    /// The first part.
    pub wasm: Vec<u8>,
    /// The module that loads the larger part; the two modules name each other.
    pub link: String,
    /// The larger part.
    pub engine: Vec<u8>,
}

/// The name by which the two modules and the two parts know each other before they get their addresses.
pub const MODULE: &str = "./app.js";
/// See [`MODULE`].
pub const LINK: &str = "./link.js";
/// See [`MODULE`].
pub const ENGINE: &str = "./split_engine.wasm";

const TARGET: &str = "wasm32-unknown-unknown";

/// Compiles the app and binds it to the browser.
///
/// # Errors
/// A sentence that says what failed.
pub fn build(root: &Path, dev: bool) -> Result<Program, String> {
    add_target()?;
    let profile = if dev { "dev" } else { "site" };
    // A folder of its own: it is never locked by the build that runs this program, and flags do not mix.
    let target = root.join("target/wasm");
    let status = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .current_dir(root)
        // Views of one type instead of one type a view: 7 % less to send, measured.
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", "--cfg erase_components")
        .args(["rustc", "--locked", "--package", "web", "--lib", "--crate-type", "cdylib"])
        .args(["--target", TARGET, "--profile", profile, "--target-dir"])
        .arg(&target)
        // The cutter follows the linker's own notes of who calls whom.
        .args(["--", "-Clink-args=--emit-relocs"])
        .status()
        .map_err(|e| format!("cargo cannot start: {e}"))?;
    if !status.success() {
        return Err(format!("the app does not compile ({status})"));
    }
    let folder = if dev { "debug" } else { profile };
    let wasm = target.join(TARGET).join(folder).join("web.wasm");
    bind(&wasm, &target.join("bound").join(profile), dev)
}

/// Cuts the program in two and binds the first part to the browser.
fn bind(wasm: &Path, out: &Path, dev: bool) -> Result<Program, String> {
    let read =
        |path: &Path| std::fs::read(path).map_err(|e| format!("{} cannot be read: {e}", path.display()));
    let text =
        |name: &str| String::from_utf8(read(&out.join(name))?).map_err(|_| format!("{name} is not UTF-8"));
    let whole = read(wasm)?;
    let first = out.join("first.wasm");
    let mut options = wasm_split_cli_support::Options::new(&whole);
    options.output_dir = out;
    options.main_out_path = &first;
    options.link_name = LINK;
    options.main_module = MODULE;
    let split = wasm_split_cli_support::transform(options)
        .map_err(|e| format!("the program cannot be cut in two: {e:#}"))?;
    let parts: Vec<_> = split.split_modules.iter().filter_map(|path| path.file_name()).collect();
    if parts != [ENGINE.trim_start_matches("./")] {
        return Err(format!("the program was cut into other parts than one: {parts:?}"));
    }
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(first)
        .web(true)
        .map_err(|e| format!("{e:#}"))?
        .typescript(false)
        .out_name("app")
        .remove_producers_section(!dev)
        .remove_name_section(!dev)
        .omit_default_module_path(true)
        // The larger part takes the table of functions from the first.
        .keep_lld_exports(true);
    bindgen.generate(out).map_err(|e| format!("the program cannot be bound to the browser: {e:#}"))?;
    let engine = read(&out.join(ENGINE))?;
    Ok(Program {
        js: text(MODULE)?,
        wasm: read(&out.join("app_bg.wasm"))?,
        link: text(LINK)?,
        engine: if dev { engine } else { without_notes(&engine)? },
    })
}

/// Returns a wasm module without its custom sections (WebAssembly core specification, 5.5.3): names and other notes
/// that no browser needs.
fn without_notes(module: &[u8]) -> Result<Vec<u8>, String> {
    const HEAD: usize = 8;
    let torn = || "the larger part of the program is no whole wasm module".to_owned();
    let mut out = module.get(..HEAD).ok_or_else(torn)?.to_vec();
    let mut at = HEAD;
    while let Some(&kind) = module.get(at) {
        let (size, start) = leb128(module, at + 1).ok_or_else(torn)?;
        let end = start.checked_add(size).ok_or_else(torn)?;
        let section = module.get(at..end).ok_or_else(torn)?;
        if kind != 0 {
            out.extend(section);
        }
        at = end;
    }
    Ok(out)
}

/// Reads a number in LEB128; returns it and the place behind it.
fn leb128(bytes: &[u8], mut at: usize) -> Option<(usize, usize)> {
    let mut value: u64 = 0;
    for shift in (0..35).step_by(7) {
        let byte = *bytes.get(at)?;
        at += 1;
        value |= u64::from(byte & 0x7f) << shift;
        if byte & 0x80 == 0 {
            return Some((usize::try_from(value).ok()?, at));
        }
    }
    None
}

/// Has the compiler's wasm library installed where it is missing and can be.
fn add_target() -> Result<(), String> {
    let asked = Command::new("rustc").args(["--print", "target-libdir", "--target", TARGET]).output();
    let there = asked.is_ok_and(|out| Path::new(String::from_utf8_lossy(&out.stdout).trim()).is_dir());
    if there {
        return Ok(());
    }
    match Command::new("rustup").args(["target", "add", TARGET]).status() {
        Ok(status) if status.success() => Ok(()),
        _ => Err(format!(
            "Rust's library for {TARGET} is missing; install it, with rustup: rustup target add {TARGET}"
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_leave_a_module_and_nothing_else() {
        let head = b"\0asm\x01\0\0\0";
        let long = [&[0, 0x81, 0x01, 4][..], b"name", &[7; 124]].concat();
        let module = [&head[..], &[1, 2, 9, 9], &long, &[10, 1, 8], &[0, 0]].concat();
        assert_eq!(without_notes(&module).unwrap(), [&head[..], &[1, 2, 9, 9, 10, 1, 8]].concat());
        assert!(without_notes(&module[..20]).is_err());
        assert!(without_notes(b"\0as").is_err());
    }
}
