//! The append-only log of a job: events, merging, and the job file they are read from.

mod event;
mod known;
pub mod model;
mod problem;
mod table;
mod when;
mod words;

pub use event::*;
pub use known::*;
pub use model::*;
pub use problem::*;
pub use when::*;
pub use words::*;
