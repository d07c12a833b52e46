//! The files of the site: each named by its content, so that a file never changes under its name.

use crate::compress;
use crate::program::{ENGINE, LINK, MODULE, Program};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The files of the site by their names.
pub type Files = BTreeMap<String, Vec<u8>>;

/// The icons: drawn by us, the pixels made from the drawings beside them.
const ICONS: &[&str] =
    &["icon.svg", "icon-192.png", "icon-512.png", "icon-maskable-192.png", "icon-maskable-512.png"];

/// Puts the site together.
///
/// # Errors
/// A sentence that names the file that is missing, or a name that no file bears.
pub fn assemble(root: &Path, program: &Program) -> Result<Files, String> {
    let web = root.join("crates/web");
    let read = |path: &Path| fs::read(path).map_err(|e| format!("{} cannot be read: {e}", path.display()));
    let text =
        |path: &Path| String::from_utf8(read(path)?).map_err(|_| format!("{} is not UTF-8", path.display()));
    let mut site = Site::default();
    for name in ICONS {
        site.add(name, read(&web.join("static").join(name))?);
    }
    site.add("app.wasm", program.wasm.clone());
    site.add("engine.wasm", program.engine.clone());
    site.add_modules(program)?;
    let style = site.fill(&style(&web.join("style"))?)?;
    site.add("app.css", style.into_bytes());
    let boot = site.fill(&text(&web.join("static/boot.js"))?)?;
    site.add("boot.js", boot.into_bytes());
    for name in ["index.html", "manifest.webmanifest"] {
        let filled = site.fill(&text(&web.join("static").join(name))?)?;
        site.files.insert(name.to_owned(), filled.into_bytes());
    }
    let worker = text(&web.join("static/sw.js"))?;
    let names: Vec<String> = site.files.keys().map(|name| address(name)).collect();
    let list = serde_json::to_string(&names).map_err(|e| e.to_string())?;
    // The version is that of every file, the worker's own text among them.
    let mut hash = Sha256::new();
    hash.update(worker.as_bytes());
    for (name, bytes) in &site.files {
        hash.update(name.as_bytes());
        hash.update(Sha256::digest(bytes));
    }
    let worker = worker.replace("{version}", &short(&hash.finalize())).replace("{files}", &list);
    site.files.insert("sw.js".to_owned(), worker.into_bytes());
    Ok(site.files)
}

/// The address of a file; the page itself is the root.
fn address(name: &str) -> String {
    if name == "index.html" { "/".to_owned() } else { format!("/{name}") }
}

#[derive(Default)]
struct Site {
    files: Files,
    /// What each file is called by others, and its address.
    addresses: BTreeMap<String, String>,
}

impl Site {
    /// Adds a file under a name made of its own and its content.
    fn add(&mut self, name: &str, bytes: Vec<u8>) {
        let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
        let named = format!("{stem}-{}.{ending}", short(&Sha256::digest(&bytes)));
        self.addresses.insert(name.to_owned(), address(&named));
        self.files.insert(named, bytes);
    }

    /// Adds the two modules that load the program. They name each other, so both get the hash of both.
    fn add_modules(&mut self, program: &Program) -> Result<(), String> {
        let mut hash = Sha256::new();
        hash.update(program.js.as_bytes());
        hash.update(program.link.as_bytes());
        hash.update(Sha256::digest(&program.engine));
        let hash = short(&hash.finalize());
        let (app, link) = (format!("app-{hash}.js"), format!("link-{hash}.js"));
        let engine = self.addresses.get("engine.wasm").cloned().unwrap_or_default();
        let js = once(&program.js, &format!("from \"{LINK}\""), &format!("from \"/{link}\""))?;
        let text = once(&program.link, &format!("\"{MODULE}\""), &format!("\"/{app}\""))?;
        let text = once(&text, &format!("\"{ENGINE}\""), &format!("\"{engine}\""))?;
        for (name, file, text) in [("app.js", app, js), ("link.js", link, text)] {
            self.addresses.insert(name.to_owned(), address(&file));
            self.files.insert(file, text.into_bytes());
        }
        Ok(())
    }

    /// Returns a text with `{name}` replaced by the address of that file. Other braces stay.
    fn fill(&self, text: &str) -> Result<String, String> {
        let mut out = text.to_owned();
        for (name, address) in &self.addresses {
            out = out.replace(&format!("{{{name}}}"), address);
        }
        let endings = [".js}", ".css}", ".wasm}", ".woff2}", ".svg}", ".png}"];
        match endings.iter().find_map(|ending| out.find(ending)) {
            Some(at) => {
                let start = out[..at].rfind('{').unwrap_or(at);
                Err(format!("no file for {}", out[start..].lines().next().unwrap_or_default()))
            }
            None => Ok(out),
        }
    }
}

/// Returns a text with the one place where `what` stands replaced.
fn once(text: &str, what: &str, with: &str) -> Result<String, String> {
    match text.matches(what).count() {
        1 => Ok(text.replacen(what, with, 1)),
        count => Err(format!("{what} stands {count} times in the program's module, where 1 is awaited")),
    }
}

/// Returns the style sheets, one behind the other in the order of their names.
fn style(folder: &Path) -> Result<String, String> {
    let cannot = |e: std::io::Error| format!("{} cannot be read: {e}", folder.display());
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.extension().is_some_and(|ending| ending == "css") {
            paths.push(path);
        }
    }
    paths.sort();
    let mut all = String::new();
    for path in paths {
        all.push_str(&fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?);
        all.push('\n');
    }
    Ok(without_remarks(&all))
}

/// Returns a style sheet without its comments and the blanks at the beginnings of lines.
fn without_remarks(css: &str) -> String {
    let mut out = String::with_capacity(css.len());
    let mut rest = css;
    while let Some(start) = rest.find("/*") {
        out.push_str(&rest[..start]);
        rest = rest[start..].find("*/").map_or("", |end| &rest[start + end + 2..]);
    }
    out.push_str(rest);
    out.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

fn short(hash: &[u8]) -> String {
    hash.iter().take(5).map(|byte| format!("{byte:02x}")).collect()
}

/// Writes the files, each with its compressed twin where that is smaller. The folder is swapped whole, so that a
/// server that reads it never sees half a site.
///
/// # Errors
/// A sentence that names the place that cannot be written.
pub fn write(files: &Files, out: &Path, compressed: bool) -> Result<(), String> {
    let new = out.with_extension("new");
    let cannot = |e: std::io::Error| format!("{} cannot be written: {e}", new.display());
    if new.exists() {
        fs::remove_dir_all(&new).map_err(cannot)?;
    }
    fs::create_dir_all(&new).map_err(cannot)?;
    for (name, bytes) in files {
        fs::write(new.join(name), bytes).map_err(cannot)?;
        if compressed && let Some(small) = compress::twin(name, bytes)? {
            fs::write(new.join(format!("{name}.br")), small).map_err(cannot)?;
        }
    }
    let old = out.with_extension("old");
    let cannot = |e: std::io::Error| format!("{} cannot be replaced: {e}", out.display());
    if old.exists() {
        fs::remove_dir_all(&old).map_err(cannot)?;
    }
    if out.exists() {
        fs::rename(out, &old).map_err(cannot)?;
    }
    fs::rename(&new, out).map_err(cannot)?;
    if old.exists() {
        fs::remove_dir_all(&old).map_err(cannot)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> Site {
        let mut site = Site::default();
        site.add("app.js", b"x".to_vec());
        site
    }

    #[test]
    fn names_follow_contents() {
        let (one, mut other) = (site(), Site::default());
        other.add("app.js", b"y".to_vec());
        assert_ne!(one.addresses["app.js"], other.addresses["app.js"]);
        assert!(one.files.contains_key(one.addresses["app.js"].trim_start_matches('/')));
    }

    #[test]
    fn names_are_filled_in_and_other_braces_stay() {
        let site = site();
        let filled = site.fill("import x from \"{app.js}\"; function f() { return {a: 1}; }").unwrap();
        assert_eq!(
            filled,
            format!("import x from \"{}\"; function f() {{ return {{a: 1}}; }}", site.addresses["app.js"])
        );
        let fault = site.fill("src=\"{boat.js}\"").unwrap_err();
        assert!(fault.contains("{boat.js}"), "{fault}");
    }

    #[test]
    fn remarks_leave_a_style_sheet() {
        assert_eq!(
            without_remarks("/* a */\na{b:c} /* d\n e */ f{g:h}\n\n  i{}\n/* open"),
            "a{b:c}  f{g:h}\ni{}"
        );
    }
}
