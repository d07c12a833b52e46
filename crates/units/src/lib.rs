//! The quantities of the trade as types, the reading and writing of their units, and values with uncertainty.

mod atmosphere;
pub mod math;
mod quantity;
mod uncertain;

pub use atmosphere::*;
pub use quantity::*;
pub use uncertain::*;
