//! The append-only log of a job: events, merging, and the job file they are read from.

mod current;
mod edit;
mod event;
mod file;
mod fill;
pub mod form;
mod id;
mod known;
mod log;
pub mod model;
mod prices;
mod problem;
pub mod sync;
mod table;
mod texts;
mod when;
mod words;

pub use current::*;
pub use edit::*;
pub use event::*;
pub use file::*;
pub use fill::*;
pub use id::*;
pub use known::*;
pub use log::*;
pub use model::*;
pub use prices::*;
pub use problem::*;
pub use table::SectionKey;
pub use texts::*;
pub use when::*;
pub use words::*;
