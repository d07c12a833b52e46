//! SQLite: one writer, several readers, one file.

use crate::api::Opening;
use crate::cell::{Cell, Engine, Row, Tx};
use crate::error::{Error, Result};
use crate::sql::SqlStore;
use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, OpenFlags, ToSql, TransactionBehavior};
use std::path::{Path, PathBuf};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How many readers there are at once.
const READERS: usize = 4;
/// How much of the write-ahead log is kept on the disk once it is folded in.
const LOG_BYTES: i64 = 32 * 1024 * 1024;
/// How long a writer waits for another program that has the file.
const PATIENCE: Duration = Duration::from_secs(10);

/// A store in one SQLite file, its pictures beside it.
pub type SqliteStore = SqlStore<Sqlite>;

/// The connections to one SQLite file.
pub struct Sqlite {
    readers: Mutex<Vec<Connection>>,
    free: Condvar,
    /// Last, so that it is closed after the readers: only a writer folds the write-ahead log into the file.
    writer: Mutex<Connection>,
}

impl SqliteStore {
    /// Opens the store in a folder, or makes a new one there.
    ///
    /// # Errors
    /// [`Error::Newer`] where a newer program wrote it, [`Error::Failed`] where it cannot be opened.
    pub fn open(dir: &Path, opening: &Opening) -> Result<Self> {
        std::fs::create_dir_all(dir).map_err(Error::at(dir))?;
        let engine = Sqlite::open(&dir.join("gastight.db"), opening.durable)?;
        SqlStore::with(engine, dir, opening)
    }
}

/// Returns what is behind a lock. A panic in between leaves a connection whose transaction was rolled back by its
/// drop, so that it can be used on.
fn locked<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Sqlite {
    fn open(file: &PathBuf, durable: bool) -> Result<Self> {
        let writer = Connection::open(file).map_err(|e| named(file, &e))?;
        prepare(&writer, durable).map_err(|e| named(file, &e))?;
        let mode: String = writer
            .query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))
            .map_err(|e| named(file, &e))?;
        if mode != "wal" {
            return Err(Error::failed(format!(
                "{}: the disk does not allow the write-ahead log (mode {mode}); use a local disk",
                file.display()
            )));
        }
        // A server that was killed leaves its log. Folded in now, it does not grow from one kill to the next, and the
        // first requests do not wait for it. Another program that reads the file puts it off; that is no fault.
        writer
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get::<_, i64>(0))
            .map_err(|e| named(file, &e))?;
        let mut readers = Vec::with_capacity(READERS);
        for _ in 0..READERS {
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
            let reader = Connection::open_with_flags(file, flags).map_err(|e| named(file, &e))?;
            prepare(&reader, durable).map_err(|e| named(file, &e))?;
            readers.push(reader);
        }
        Ok(Sqlite { writer: Mutex::new(writer), readers: Mutex::new(readers), free: Condvar::new() })
    }
}

fn named(file: &Path, e: &rusqlite::Error) -> Error {
    Error::failed(format!("{}: {e}", file.display()))
}

fn prepare(connection: &Connection, durable: bool) -> rusqlite::Result<()> {
    connection.busy_timeout(PATIENCE)?;
    // FULL waits for the disk at every commit; with the write-ahead log NORMAL would lose the last ones with the power.
    connection.pragma_update(None, "synchronous", if durable { "FULL" } else { "OFF" })?;
    connection.pragma_update(None, "journal_size_limit", LOG_BYTES)?;
    connection.pragma_update(None, "cache_size", -8_000)?;
    connection.pragma_update(None, "temp_store", "MEMORY")?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(())
}

impl From<rusqlite::Error> for Error {
    fn from(e: rusqlite::Error) -> Self {
        match e.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DatabaseBusy | rusqlite::ErrorCode::DatabaseLocked) => Error::Busy,
            _ => Error::failed(e),
        }
    }
}

impl Engine for Sqlite {
    const KIND: &'static str = "sqlite";

    fn read<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T> {
        let mut pool = locked(&self.readers);
        let reader = loop {
            match pool.pop() {
                Some(reader) => break reader,
                None => pool = self.free.wait(pool).unwrap_or_else(PoisonError::into_inner),
            }
        };
        drop(pool);
        // Goes back to the pool however this ends.
        let mut lent = Lent { to: self, reader: Some(reader) };
        let Some(reader) = &mut lent.reader else { return Err(Error::failed("no reader")) };
        let tx = reader.transaction()?;
        work(&mut SqliteTx(&tx))
    }

    fn write<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T> {
        let mut writer = locked(&self.writer);
        let tx = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&mut SqliteTx(&tx))?;
        tx.commit()?;
        Ok(done)
    }

    fn integrity(&self) -> Result<Vec<String>> {
        self.read(|tx| {
            let rows = tx.rows("PRAGMA integrity_check", &[])?;
            let said = rows.iter().map(|row| row.text(0)).collect::<Result<Vec<_>>>()?;
            Ok(said.into_iter().filter(|line| line != "ok").collect())
        })
    }

    fn dialect(script: &str) -> String {
        script
            .replace("{int}", "INTEGER")
            .replace("{text}", "TEXT")
            .replace("{id}", "BLOB")
            .replace("{bytes}", "BLOB")
            .replace("{end}", "STRICT")
            .replace("{keyed}", "STRICT, WITHOUT ROWID")
    }
}

struct Lent<'a> {
    to: &'a Sqlite,
    reader: Option<Connection>,
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        if let Some(reader) = self.reader.take() {
            locked(&self.to.readers).push(reader);
            self.to.free.notify_one();
        }
    }
}

impl ToSql for Cell {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Cell::Null => ValueRef::Null,
            Cell::Int(value) => ValueRef::Integer(*value),
            Cell::Text(value) => ValueRef::Text(value.as_bytes()),
            Cell::Bytes(value) => ValueRef::Blob(value),
        }))
    }
}

struct SqliteTx<'a>(&'a rusqlite::Transaction<'a>);

impl SqliteTx<'_> {
    fn read(
        statement: &mut rusqlite::CachedStatement<'_>,
        cells: &[Cell],
        take: &mut dyn FnMut(Row) -> Result<()>,
    ) -> Result<()> {
        let width = statement.column_count();
        let mut rows = statement.query(rusqlite::params_from_iter(cells))?;
        while let Some(row) = rows.next()? {
            let mut cells = Vec::with_capacity(width);
            for at in 0..width {
                cells.push(match row.get_ref(at)? {
                    ValueRef::Null => Cell::Null,
                    ValueRef::Integer(value) => Cell::Int(value),
                    ValueRef::Text(value) => {
                        Cell::Text(String::from_utf8(value.to_vec()).map_err(Error::failed)?)
                    }
                    ValueRef::Blob(value) => Cell::Bytes(value.to_vec()),
                    ValueRef::Real(value) => return Err(Error::failed(format!("a real number {value}"))),
                });
            }
            take(Row(cells))?;
        }
        Ok(())
    }

    fn collect(statement: &mut rusqlite::CachedStatement<'_>, cells: &[Cell]) -> Result<Vec<Row>> {
        let mut all = Vec::new();
        Self::read(statement, cells, &mut |row| {
            all.push(row);
            Ok(())
        })?;
        Ok(all)
    }
}

impl Tx for SqliteTx<'_> {
    fn rows(&mut self, sql: &str, cells: &[Cell]) -> Result<Vec<Row>> {
        Self::collect(&mut self.0.prepare_cached(sql)?, cells)
    }

    fn each(&mut self, sql: &str, cells: &[Cell], take: &mut dyn FnMut(Row) -> Result<()>) -> Result<()> {
        Self::read(&mut self.0.prepare_cached(sql)?, cells, take)
    }

    fn run(&mut self, sql: &str, cells: &[Cell]) -> Result<u64> {
        Ok(self.0.prepare_cached(sql)?.execute(rusqlite::params_from_iter(cells))? as u64)
    }

    fn rows_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<Vec<Vec<Row>>> {
        let mut statement = self.0.prepare_cached(sql)?;
        sets.iter().map(|cells| Self::collect(&mut statement, cells)).collect()
    }

    fn run_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<()> {
        let mut statement = self.0.prepare_cached(sql)?;
        for cells in sets {
            statement.execute(rusqlite::params_from_iter(cells))?;
        }
        Ok(())
    }

    fn script(&mut self, sql: &str) -> Result<()> {
        Ok(self.0.execute_batch(sql)?)
    }
}
