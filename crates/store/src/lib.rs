//! The shop's store: events, pictures, people and devices; SQLite and PostgreSQL behind one trait.
//!
//! [`Store`] is plain calls that block, and can be shared between threads: a server calls it from its blocking threads
//! (`spawn_blocking`), a test or a command line just calls it. An asynchronous trait would buy nothing: SQLite blocks
//! anyway, a boxed future a call is harder to read and to test, and PostgreSQL brings its own small runtime along.
//! Time and randomness come as arguments.

mod api;
mod cell;
mod error;
mod pictures;
mod postgres;
mod schema;
mod sql;
mod sqlite;
mod words;

pub use api::*;
pub use error::{Error, EventFault, NotAnEvent, Result};
pub use postgres::PostgresStore;
pub use sqlite::SqliteStore;
