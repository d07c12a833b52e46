//! A document as a tagged PDF, to print, to send and to keep.
//!
//! [`markup`] writes a document in the language of the typesetter; with the feature `pdf` the function `pdf` sets it as
//! PDF/UA-1. What a person typed goes in as quoted strings alone, so that nothing typed is ever obeyed.

mod markup;
#[cfg(feature = "pdf")]
mod pdf;

pub use markup::{Sheet, markup};
#[cfg(feature = "pdf")]
pub use pdf::{Fault, Pdf, pdf};
