//! The use cases: one function for each question a screen can ask; plain data in and out.

pub mod apprentice;
pub mod ask;
pub mod bill;
pub mod carry;
pub mod customers;
pub mod doubts;
pub mod entry;
pub mod faults;
pub mod follow_up;
pub mod jobs;
pub mod law;
pub mod load;
pub mod opening;
pub mod parts;
pub mod place;
pub mod problems;
mod refused;
pub mod search;
pub mod sheet;
pub mod shop;
pub mod show;
pub mod side;
pub mod stage;
mod substance;
pub mod take;
pub mod touched;
pub mod van;
pub mod visit;

pub use refused::Refused;
pub use substance::Substance;
