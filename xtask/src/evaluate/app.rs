//! Evidence about the app's speed in a real browser. The program that measures belongs to the browser's tests; here the
//! site and the programs are built, and its table kept.

use crate::serve;
use crate::steps::{Step, cargo};

/// Returns the table of the app's speed, and whether every limit holds.
pub fn table() -> Result<(String, bool), String> {
    serve::web(false)?;
    let words = ["build", "--quiet", "--locked", "--package", "server", "--package", "gastight"];
    Step::new("programs", 1200, cargo(words)).run()?;
    let words = ["build", "--quiet", "--locked", "--package", "e2e", "--example", "app"];
    Step::new("the browser's driver", 1200, cargo(words)).run()?;
    let words = ["run", "--quiet", "--locked", "--package", "e2e", "--example", "app"];
    match Step::new("app", 900, cargo(words)).run_and_read() {
        Ok(text) => Ok((text, true)),
        // What was measured is kept, be it good or bad; what measured nothing is a failure.
        Err((_, text)) if text.contains("| what |") => Ok((text, false)),
        Err((why, _)) => Err(why),
    }
}
