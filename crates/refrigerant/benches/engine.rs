//! How long the questions of every day take.
fn main() {}
