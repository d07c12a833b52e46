//! Controllers' logs of many systems, reduced to what a trend can speak of, in flat memory.
//!
//! A log (CSV, Parquet, or messages of a broker) becomes a table of readings in SI; one plan ([`REDUCTION`]) reduces it to
//! five-minute windows, keeps the steady ones, and sums the features of [`trend`] by system, three days and 5 K of ambient.
//! These sums add up: what is kept of yesterday and what comes today are one table, and so are the shares of several
//! machines. Everything behind the feature `engine`, since the query engine is a large build.

#[cfg(feature = "engine")]
mod fault;
#[cfg(feature = "engine")]
mod layout;
#[cfg(feature = "engine")]
mod listen;
#[cfg(feature = "engine")]
mod plan;
#[cfg(feature = "engine")]
mod rows;
#[cfg(feature = "engine")]
mod source;
#[cfg(feature = "engine")]
mod watch;

#[cfg(feature = "engine")]
pub use fault::Fault;
#[cfg(feature = "engine")]
pub use layout::{FIELDS, Layout};
#[cfg(feature = "engine")]
pub use listen::Broker;
#[cfg(feature = "engine")]
pub use plan::REDUCTION;
#[cfg(feature = "engine")]
pub use rows::{NAMED, Tally};
#[cfg(feature = "engine")]
pub use watch::{Input, Report, System, Task, watch};
