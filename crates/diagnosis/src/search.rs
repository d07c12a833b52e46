//! The search for a leak: what explains the loss, where the leak may be after what was looked at, where to look next.
//!
//! [`history`] turns refills into how well each explanation fits them; [`posterior`] holds that against every look made;
//! [`plan`] puts the next looks in order; [`next`] offers the looks of this circuit to it; [`found`] says whether what was
//! found explains the loss. All of it is exact arithmetic over places, sizes and times a leak shows: nothing is drawn.

pub mod book;
pub mod found;
pub mod history;
pub mod next;
pub mod plan;
pub mod posterior;
pub mod sections;

pub use book::{Access, Beta, Book, Method, Place, Shows, Side, State};
pub use found::{Explained, explains};
pub use history::{Change, Evidence, History, Rate, evidence};
pub use next::{Advice, Ground, next};
pub use posterior::{Look, Outcome, Posterior, posterior};
pub use sections::Hold;
