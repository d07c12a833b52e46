//! The quantities of the trade as types, the reading and writing of their units, and values with uncertainty.
//!
//! Days of the calendar stand here too, since the record, the ledger and the law count by the same ones.

mod atmosphere;
pub mod date;
pub mod math;
mod quantity;
pub mod read;
mod sort;
mod uncertain;
pub mod write;

pub use atmosphere::*;
pub use date::{Date, DateError, TimeOfDay};
pub use quantity::*;
pub use read::*;
pub use sort::sort_small;
pub use uncertain::*;
pub use write::*;

#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
