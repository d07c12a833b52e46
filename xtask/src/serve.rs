//! The app and the shop on this machine: built, filled with the invented scenario, opened.

use crate::steps::{Step, cargo, target_dir};
use std::process::Command;

/// Where the shop of the demo keeps its book.
const DATA: &str = "target/demo-shop";
const LISTEN: &str = "127.0.0.1:8470";

/// Builds the site.
pub fn web(dev: bool) -> Result<(), String> {
    let mut words = vec!["run", "--quiet", "--locked", "--package", "site"];
    if dev {
        words.extend(["--", "--dev"]);
    }
    Step::new("site", 1500, cargo(words)).run()
}

/// Builds site and server, fills an empty shop with the invented scenario, and serves it until it is ended.
pub fn serve(dev: bool) -> Result<(), String> {
    web(dev)?;
    Step::new("server", 1500, cargo(["build", "--quiet", "--locked", "--package", "server"])).run()?;
    let program = target_dir().join("debug").join(format!("gastight-server{}", std::env::consts::EXE_SUFFIX));
    if !std::path::Path::new(DATA).exists() {
        let mut demo = Command::new(&program);
        demo.args(["--data", DATA, "demo"]);
        Step::new("demo data", 300, demo).run()?;
    }
    println!("\nThe app and the owner's pages: http://{LISTEN}/ (ends with Ctrl-C)\n");
    let mut server = Command::new(&program);
    server.args(["--data", DATA, "--listen", LISTEN]);
    // It runs until a person ends it.
    let status = server.status().map_err(|e| format!("the server cannot start: {e}"))?;
    if status.success() { Ok(()) } else { Err(format!("the server ended ({status})")) }
}
