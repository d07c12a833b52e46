//! What is probably wrong and where to look next, with the doubt stated: leak search, and faults of a running system.

pub mod fault;
pub mod search;
