//! What a system's readings over weeks say of it: a baseline of its own, and whether it has left it.
//!
//! A log is reduced to [`Point`]s: for each system, each three days and each 5 K of ambient, the means over its steady
//! windows. [`look`] fits a system's own baseline over the ambient and asks, for each [`Cause`] and each day it may have
//! begun, how much better the readings are explained with it than without. The sum of these ratios over the days is the
//! statistic of Shiryaev and Roberts: without a change it grows by one a day on average, so that a limit of A days gives
//! one false alarm in A days or more (Pollak, Annals of Statistics 13, 1985; Shin, Ramdas and Rinaldo, "E-detectors",
//! arXiv 2203.03532), as far as the noise is what the model takes it for; `examples/fleet.rs` tries how far.
//!
//! ```
//! let healthy = trend::look(&[], &trend::Limits::default());
//! assert!(matches!(healthy, trend::Look::TooEarly { .. }));
//! ```

mod cause;
mod evidence;
mod point;
mod say;

pub use cause::{CAUSES, Cause};
pub use evidence::{Change, Finding, Limits, Look, look};
pub use point::{BAND, BLOCK_DAYS, FEATURES, Feature, Point, features};
pub use say::{because, headline};
