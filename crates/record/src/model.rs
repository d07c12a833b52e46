//! What a job is made of: the place, the system, the instruments, and what was done and seen.

mod entry;
mod setup;

pub use entry::*;
pub use setup::*;
