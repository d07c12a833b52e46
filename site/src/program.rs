//! The program: compiled for wasm, and bound to the browser.

use std::path::Path;
use std::process::Command;
use wasm_bindgen_cli_support::Bindgen;

/// The app's program.
pub struct Program {
    /// The module that loads it.
    pub js: Vec<u8>,
    /// The program itself.
    pub wasm: Vec<u8>,
}

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
        .args(["build", "--locked", "--package", "web", "--target", TARGET, "--profile", profile])
        .arg("--target-dir")
        .arg(&target)
        .status()
        .map_err(|e| format!("cargo cannot start: {e}"))?;
    if !status.success() {
        return Err(format!("the app does not compile ({status})"));
    }
    let folder = if dev { "debug" } else { profile };
    let wasm = target.join(TARGET).join(folder).join("web.wasm");
    bind(&wasm, &target.join("bound").join(profile), dev)
}

fn bind(wasm: &Path, out: &Path, dev: bool) -> Result<Program, String> {
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(wasm)
        .web(true)
        .map_err(|e| format!("{e:#}"))?
        .typescript(false)
        .out_name("app")
        .remove_producers_section(!dev)
        .remove_name_section(!dev)
        .omit_default_module_path(true);
    bindgen.generate(out).map_err(|e| format!("the program cannot be bound to the browser: {e:#}"))?;
    let read = |name: &str| {
        let path = out.join(name);
        std::fs::read(&path).map_err(|e| format!("{} cannot be read: {e}", path.display()))
    };
    Ok(Program { js: read("app.js")?, wasm: read("app_bg.wasm")? })
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
