//! The quantities of the trade as types, the reading and writing of their units, and values with uncertainty.

mod atmosphere;
pub mod math;
mod quantity;
pub mod read;
mod uncertain;
pub mod write;

pub use atmosphere::*;
pub use quantity::*;
pub use read::*;
pub use uncertain::*;
pub use write::*;
