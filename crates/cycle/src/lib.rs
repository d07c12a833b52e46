//! The steady state of a vapour-compression system with its charge, healthy or with a fault.
//!
//! Two unknowns, the dew temperatures of evaporation and condensation. What is limited by what (valve in control or wide
//! open, head held or free, receiver empty, within its range or full) is decided by looking, branch by branch, never
//! smoothed. All numbers are SI; temperatures in kelvin.

mod charge;
mod solve;
mod system;
mod table;
mod void;

pub use charge::{Fill, expected_charge};
pub use solve::{Hold, Limit, Reserve, Steady, steady};
pub use system::{Compressor, Head, Map, Metering, Receiver, Surroundings, System, Volumes};
pub use table::{Saturation, Table, Vapour};
pub use void::Void;
