//! Builds the site: the app for the browser, its files under `target/site`, each with its compressed twin.

fn main() {}
