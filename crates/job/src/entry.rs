//! What is entered on a phone: names of fields, units, what a text is understood as, and the events it becomes.

mod around;
pub mod echo;
pub mod labels;
mod maker;
mod name;
mod next;
pub mod pictures;
mod sense;
pub mod sign;
pub mod units;

pub use around::{around, doubtful_together, instruments_for, names_for, short};
pub use echo::{Doubted, Echo, Here, echo, units_here};
pub use maker::{Maker, Tick, undoable};
pub use name::{entry_name, name};
pub use next::second_visit;
pub use pictures::{typed_up, unread};
pub use sign::sign;
