//! The shop's store: events, pictures, people and devices; SQLite and PostgreSQL behind one trait.
//!
//! [`Store`] is plain calls that block, and can be shared between threads: a server calls it from its blocking threads
//! (`spawn_blocking`), a test or a command line just calls it. An asynchronous trait would buy nothing: SQLite blocks
//! anyway, a boxed future a call is harder to read and to test, and PostgreSQL brings its own small runtime along.
//! Time and randomness come as arguments.

mod api;
mod backup;
mod cell;
mod error;
mod exchange;
mod pictures;
mod postgres;
mod schema;
mod sql;
mod sqlite;
mod words;

pub use api::*;
pub use backup::{check_backup, restore};
pub use error::{Error, EventFault, NotAnEvent, Result};
pub use exchange::{Exported, Imported, export, import};
pub use postgres::PostgresStore;
pub use sqlite::SqliteStore;

/// Opens the store of a data folder: in the PostgreSQL database of `postgres` where that is given, else in SQLite.
///
/// # Errors
/// [`Error::Newer`] where a newer program wrote it, [`Error::Failed`] where it cannot be opened.
pub fn open(
    dir: &std::path::Path,
    postgres: Option<&str>,
    opening: &Opening,
) -> Result<std::sync::Arc<dyn Store>> {
    Ok(match postgres {
        Some(url) => std::sync::Arc::new(PostgresStore::open(url, dir, opening)?),
        None => std::sync::Arc::new(SqliteStore::open(dir, opening)?),
    })
}
