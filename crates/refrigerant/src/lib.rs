//! The refrigerants we know: designation, composition, coefficients, tables; all from `data/`.

mod catalogue;
mod known;
mod name;
mod transport;
mod viscosity;

pub use catalogue::{
    BlendError, Designated, Refrigerant, all, blend, find, nitrogen, pair_parameters, suggestions,
};
pub use known::{Fit, Grade, PairSource, Source, Sources};
pub use transport::{Transport, surface_tension, transport};
pub use viscosity::{gas_viscosity, vapour_viscosity};

#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
