//! The sentences a person reads, by message id and language.
