//! Properties and phase equilibria of a fluid, computed from the coefficients it is given.

// The equations are written with the indices of their papers.
#![allow(clippy::needless_range_loop)]

mod apart;
mod caloric;
pub mod coefficients;
mod curve;
mod density;
#[cfg(test)]
mod derivatives;
mod envelope;
mod error;
mod flash;
mod fluid;
mod fractionation;
mod guess;
mod isobar;
mod lanes;
mod linear;
mod miscible;
mod model;
mod outflow;
mod point;
mod saturation;
mod scaled;
mod stability;
mod state;
mod table;
mod terms;
mod two_phase;
mod vapour;

pub use error::{CompositionError, FluidError};
pub use fluid::{Fluid, ReferenceState};
pub use fractionation::{Inventory, LeakFrom, Remains};
pub use outflow::{FlowLimit, Outflow, OutflowError};
pub use point::{BubblePoint, DewPoint, Incipient};
pub use state::{Part, Phase, State};
pub use table::{Saturated, SaturationTable};
pub use vapour::{Vapour, VapourTable};
