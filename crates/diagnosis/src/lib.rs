//! What is probably wrong and where to look next, with the doubt stated: leak search.

pub mod search;
