//! Results shaped for a document: the same rows, numbers and pictures for a single question and for a whole visit.

pub mod doubtful;
pub mod hold;
pub mod rise;
pub mod superheat;
