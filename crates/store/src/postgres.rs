//! PostgreSQL, for a shop that has outgrown one machine.

use crate::api::Opening;
use crate::cell::{Cell, Engine, Row, Tx};
use crate::error::{Error, Result};
use crate::sql::SqlStore;
use futures_util::StreamExt;
use futures_util::future::try_join_all;
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use tokio::runtime::Runtime;
use tokio_postgres::error::SqlState;
use tokio_postgres::types::private::BytesMut;
use tokio_postgres::types::{FromSql, IsNull, ToSql, Type, to_sql_checked};
use tokio_postgres::{Client, Config, IsolationLevel, NoTls, Statement, Transaction};

/// How many readers there are at once.
const READERS: usize = 4;
/// The advisory lock that every write takes: the number of our first day, 2026-11-25.
///
/// Sequence numbers must become visible in their order: a reader that has seen 2 never asks for 1 again, so 1 must not
/// be committed after 2. Only one write at a time, from any process, keeps that promise.
pub(crate) const WRITE_LOCK: i64 = 20_261_125;

/// A store in a PostgreSQL database, its pictures in a folder.
pub type PostgresStore = SqlStore<Postgres>;

/// The connections to one PostgreSQL database.
///
/// Calls block the thread they are made on; they must not be made on a thread that runs asynchronous tasks.
pub struct Postgres {
    writer: Mutex<Connection>,
    readers: Mutex<Vec<Connection>>,
    free: Condvar,
    config: Config,
    durable: bool,
    /// Last, so that the connections are closed before it ends.
    runtime: Ended,
}

/// A runtime that ends without waiting, since a store may be dropped on a thread that must not wait.
struct Ended(Option<Runtime>);

impl Drop for Ended {
    fn drop(&mut self) {
        if let Some(runtime) = self.0.take() {
            runtime.shutdown_background();
        }
    }
}

/// A connection and its prepared statements.
#[derive(Default)]
struct Connection {
    client: Option<Client>,
    statements: BTreeMap<String, Statement>,
}

impl PostgresStore {
    /// Opens the store in a database named by a URL (`postgres://...` or `host=... dbname=...`), or makes a new one
    /// there. The pictures are in `dir`, which several servers of one database must share.
    ///
    /// The connection is not encrypted: use a socket, the loopback, or a private network.
    ///
    /// # Errors
    /// [`Error::Newer`] where a newer program wrote it, [`Error::Failed`] where it cannot be reached.
    pub fn open(url: &str, dir: &Path, opening: &Opening) -> Result<Self> {
        std::fs::create_dir_all(dir).map_err(Error::at(dir))?;
        SqlStore::with(Postgres::open(url, opening.durable)?, dir, opening)
    }
}

fn locked<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl From<tokio_postgres::Error> for Error {
    fn from(e: tokio_postgres::Error) -> Self {
        match e.code() {
            Some(code) if *code == SqlState::LOCK_NOT_AVAILABLE => Error::Busy,
            // The outer message is "db error" alone; what the database said is within.
            _ => match e.as_db_error() {
                Some(said) => Error::failed(format!("{} ({})", said.message(), said.code().code())),
                None => Error::failed(e),
            },
        }
    }
}

impl Postgres {
    fn open(url: &str, durable: bool) -> Result<Self> {
        let config: Config =
            url.parse().map_err(|e| Error::failed(format!("the PostgreSQL address: {e}")))?;
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .thread_name("postgres")
            .enable_all()
            .build()
            .map_err(Error::failed)?;
        let store = Postgres {
            writer: Mutex::default(),
            readers: Mutex::new((0..READERS).map(|_| Connection::default()).collect()),
            free: Condvar::new(),
            config,
            durable,
            runtime: Ended(Some(runtime)),
        };
        let encoding = store
            .read(|tx| tx.first("SHOW server_encoding", &[])?.map_or(Ok(String::new()), |row| row.text(0)))?;
        if encoding != "UTF8" {
            return Err(Error::failed(format!("the database's encoding is {encoding}; make it with UTF8")));
        }
        Ok(store)
    }

    fn runtime(&self) -> Result<&Runtime> {
        self.runtime.0.as_ref().ok_or_else(|| Error::failed("ended"))
    }

    /// Returns a client that is connected, as far as it knows, and its statements.
    fn connected<'a>(
        &self,
        connection: &'a mut Connection,
    ) -> Result<(&'a mut Client, &'a mut BTreeMap<String, Statement>)> {
        if connection.client.as_ref().is_none_or(Client::is_closed) {
            connection.statements.clear();
            connection.client = Some(self.runtime()?.block_on(async {
                let (client, wire) = self.config.connect(NoTls).await?;
                // It ends with the client; what it meets is told to whoever waits for an answer.
                tokio::spawn(async move {
                    let _ = wire.await;
                });
                let commit = if self.durable { "on" } else { "off" };
                client
                    .batch_execute(&format!(
                        "SET synchronous_commit = {commit}; SET lock_timeout = '10s'; \
                         SET client_min_messages = warning"
                    ))
                    .await?;
                Ok::<_, tokio_postgres::Error>(client)
            })?);
        }
        let Connection { client, statements } = connection;
        match client {
            Some(client) => Ok((client, statements)),
            None => Err(Error::failed("not connected")),
        }
    }
}

impl Engine for Postgres {
    const KIND: &'static str = "postgres";

    fn read<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T> {
        let mut pool = locked(&self.readers);
        let connection = loop {
            match pool.pop() {
                Some(connection) => break connection,
                None => pool = self.free.wait(pool).unwrap_or_else(PoisonError::into_inner),
            }
        };
        drop(pool);
        // Goes back to the pool however this ends.
        let mut lent = Lent { to: self, connection };
        let (client, statements) = self.connected(&mut lent.connection)?;
        let runtime = self.runtime()?;
        let begin = client
            .build_transaction()
            .read_only(true)
            .isolation_level(IsolationLevel::RepeatableRead)
            .start();
        let tx = runtime.block_on(begin)?;
        let done = work(&mut PostgresTx { runtime, tx: &tx, statements });
        runtime.block_on(tx.rollback())?;
        done
    }

    fn write<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T> {
        let mut writer = locked(&self.writer);
        let (client, statements) = self.connected(&mut writer)?;
        let runtime = self.runtime()?;
        // Read committed: what is read after the lock was given is what the one before committed.
        let begin = client.build_transaction().isolation_level(IsolationLevel::ReadCommitted).start();
        let tx = runtime.block_on(begin)?;
        let mut ours = PostgresTx { runtime, tx: &tx, statements };
        let done = ours
            .rows("SELECT 1 FROM pg_advisory_xact_lock(?1)", &[Cell::Int(WRITE_LOCK)])
            .and_then(|_| work(&mut ours));
        match done {
            Ok(done) => {
                runtime.block_on(tx.commit())?;
                Ok(done)
            }
            Err(e) => {
                // The error itself is what matters; a connection that is lost has rolled back.
                let _ = runtime.block_on(tx.rollback());
                Err(e)
            }
        }
    }

    fn integrity(&self) -> Result<Vec<String>> {
        // PostgreSQL examines its own pages where checksums are on, when it reads them; we read every row.
        Ok(Vec::new())
    }

    fn dialect(script: &str) -> String {
        script
            .replace("{int}", "BIGINT")
            // Sorted by bytes, as SQLite does, whatever language the server speaks.
            .replace("{text}", "TEXT COLLATE \"C\"")
            .replace("{id}", "UUID")
            .replace("{bytes}", "BYTEA")
            .replace(" {end}", "")
            .replace(" {keyed}", "")
    }
}

struct Lent<'a> {
    to: &'a Postgres,
    connection: Connection,
}

impl Drop for Lent<'_> {
    fn drop(&mut self) {
        locked(&self.to.readers).push(std::mem::take(&mut self.connection));
        self.to.free.notify_one();
    }
}

impl ToSql for Cell {
    fn to_sql(
        &self,
        ty: &Type,
        out: &mut BytesMut,
    ) -> std::result::Result<IsNull, Box<dyn std::error::Error + Sync + Send>> {
        match self {
            Cell::Null => Ok(IsNull::Yes),
            Cell::Int(value) if *ty == Type::INT4 => i32::try_from(*value)?.to_sql(ty, out),
            Cell::Int(value) => value.to_sql(ty, out),
            Cell::Text(value) => value.as_str().to_sql(ty, out),
            // A UUID on the wire is its sixteen bytes.
            Cell::Bytes(value) => value.as_slice().to_sql(&Type::BYTEA, out),
        }
    }

    fn accepts(ty: &Type) -> bool {
        [Type::INT8, Type::INT4, Type::TEXT, Type::VARCHAR, Type::UUID, Type::BYTEA].contains(ty)
    }

    to_sql_checked!();
}

impl<'a> FromSql<'a> for Cell {
    fn from_sql(
        ty: &Type,
        raw: &'a [u8],
    ) -> std::result::Result<Self, Box<dyn std::error::Error + Sync + Send>> {
        match *ty {
            Type::INT8 => Ok(Cell::Int(i64::from_sql(ty, raw)?)),
            Type::INT4 => Ok(Cell::Int(i64::from(i32::from_sql(ty, raw)?))),
            Type::UUID | Type::BYTEA => Ok(Cell::Bytes(raw.to_vec())),
            _ => Ok(Cell::Text(String::from_sql(&Type::TEXT, raw)?)),
        }
    }

    fn from_sql_null(_: &Type) -> std::result::Result<Self, Box<dyn std::error::Error + Sync + Send>> {
        Ok(Cell::Null)
    }

    fn accepts(ty: &Type) -> bool {
        <Cell as ToSql>::accepts(ty) || *ty == Type::NAME
    }
}

struct PostgresTx<'a> {
    runtime: &'a Runtime,
    tx: &'a Transaction<'a>,
    statements: &'a mut BTreeMap<String, Statement>,
}

impl PostgresTx<'_> {
    fn prepared(&mut self, sql: &str) -> Result<Statement> {
        if let Some(statement) = self.statements.get(sql) {
            return Ok(statement.clone());
        }
        let statement = self.runtime.block_on(self.tx.prepare(&sql.replace('?', "$")))?;
        self.statements.insert(sql.to_owned(), statement.clone());
        Ok(statement)
    }
}

fn values(cells: &[Cell]) -> Vec<&(dyn ToSql + Sync)> {
    cells.iter().map(|cell| cell as &(dyn ToSql + Sync)).collect()
}

fn read(row: &tokio_postgres::Row) -> Result<Row> {
    let cells = (0..row.len()).map(|at| row.try_get::<_, Cell>(at).map_err(Error::from));
    cells.collect::<Result<Vec<_>>>().map(Row)
}

fn read_all(rows: Vec<tokio_postgres::Row>) -> Result<Vec<Row>> {
    rows.iter().map(read).collect()
}

impl Tx for PostgresTx<'_> {
    fn rows(&mut self, sql: &str, cells: &[Cell]) -> Result<Vec<Row>> {
        let statement = self.prepared(sql)?;
        read_all(self.runtime.block_on(self.tx.query(&statement, &values(cells)))?)
    }

    fn each(&mut self, sql: &str, cells: &[Cell], take: &mut dyn FnMut(Row) -> Result<()>) -> Result<()> {
        let statement = self.prepared(sql)?;
        let rows = self.runtime.block_on(self.tx.query_raw(&statement, values(cells)))?;
        let mut rows = std::pin::pin!(rows);
        while let Some(row) = self.runtime.block_on(rows.next()) {
            take(read(&row?)?)?;
        }
        Ok(())
    }

    fn run(&mut self, sql: &str, cells: &[Cell]) -> Result<u64> {
        let statement = self.prepared(sql)?;
        Ok(self.runtime.block_on(self.tx.execute(&statement, &values(cells)))?)
    }

    fn rows_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<Vec<Vec<Row>>> {
        let statement = self.prepared(sql)?;
        // All are sent before the first answer is waited for.
        let all = sets.iter().map(|cells| {
            let (tx, statement, values) = (self.tx, &statement, values(cells));
            async move { tx.query(statement, &values).await }
        });
        self.runtime.block_on(try_join_all(all))?.into_iter().map(read_all).collect()
    }

    fn run_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<()> {
        let statement = self.prepared(sql)?;
        let all = sets.iter().map(|cells| {
            let (tx, statement, values) = (self.tx, &statement, values(cells));
            async move { tx.execute(statement, &values).await }
        });
        self.runtime.block_on(try_join_all(all))?;
        Ok(())
    }

    fn script(&mut self, sql: &str) -> Result<()> {
        Ok(self.runtime.block_on(self.tx.batch_execute(sql))?)
    }
}
