//! The program: reads its configuration, opens the store, serves.

fn main() {}
