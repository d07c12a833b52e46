//! Where the store of a schedule comes from.

use std::path::{Path, PathBuf};
use store::{Opening, PostgresStore, Result, SqliteStore, Store};
use uuid::Uuid;

/// Gives an empty store for each schedule, and opens it again.
pub trait Shop {
    /// Returns an empty store; the one before is closed.
    fn fresh(&mut self, epoch: Uuid, now: i64) -> Result<Box<dyn Store>>;
    /// Opens what [`Shop::fresh`] gave, as it stands.
    fn reopen(&mut self, now: i64) -> Result<Box<dyn Store>>;
    /// Returns a folder for backups; it is emptied with each schedule.
    fn folder(&self) -> PathBuf;
}

/// Returns a folder in memory where there is one: the model is about the protocol, not about the disk.
pub fn place(name: &str) -> PathBuf {
    let memory = Path::new("/dev/shm");
    let base = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    base.join(format!("gastight-model-{}-{name}", std::process::id()))
}

fn clear(dir: &Path) {
    let _ = std::fs::remove_dir_all(dir);
    std::fs::create_dir_all(dir).unwrap_or_else(|e| panic!("{}: {e}", dir.display()));
}

/// SQLite in a folder. Nothing waits for the disk: a loss of power is the kill test's matter.
pub struct SqliteShop(PathBuf);

impl SqliteShop {
    pub fn new(name: &str) -> Self {
        SqliteShop(place(name))
    }
}

impl Drop for SqliteShop {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

impl Shop for SqliteShop {
    fn fresh(&mut self, epoch: Uuid, now: i64) -> Result<Box<dyn Store>> {
        clear(&self.0.join("data"));
        let opening = Opening { epoch, now, durable: false };
        Ok(Box::new(SqliteStore::open(&self.0.join("data"), &opening)?))
    }

    fn reopen(&mut self, now: i64) -> Result<Box<dyn Store>> {
        let opening = Opening { epoch: Uuid::nil(), now, durable: false };
        Ok(Box::new(SqliteStore::open(&self.0.join("data"), &opening)?))
    }

    fn folder(&self) -> PathBuf {
        self.0.join("backup")
    }
}

/// PostgreSQL, one database whose tables are emptied for each schedule.
pub struct PostgresShop {
    url: String,
    dir: PathBuf,
    runtime: tokio::runtime::Runtime,
    client: Option<tokio_postgres::Client>,
}

impl PostgresShop {
    pub fn new(name: &str, url: String) -> Self {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        let runtime = runtime.unwrap_or_else(|e| panic!("{e}"));
        PostgresShop { url, dir: place(name), runtime, client: None }
    }

    fn empty(&mut self) -> std::result::Result<(), tokio_postgres::Error> {
        if self.client.is_none() {
            self.client = Some(self.runtime.block_on(async {
                let (client, wire) = tokio_postgres::connect(&self.url, tokio_postgres::NoTls).await?;
                tokio::spawn(wire);
                Ok::<_, tokio_postgres::Error>(client)
            })?);
        }
        let Some(client) = &self.client else { return Ok(()) };
        self.runtime.block_on(client.batch_execute(
            "TRUNCATE events, moved, jobs, words, pictures, people, devices, pairings, sessions, audits, settings",
        ))
    }
}

impl Drop for PostgresShop {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.dir);
    }
}

impl Shop for PostgresShop {
    fn fresh(&mut self, epoch: Uuid, now: i64) -> Result<Box<dyn Store>> {
        clear(&self.dir.join("data"));
        let opening = Opening { epoch, now, durable: false };
        if self.client.is_none() {
            // The tables must be there to be emptied.
            drop(PostgresStore::open(&self.url, &self.dir.join("data"), &opening)?);
        }
        self.empty().map_err(|e| store::Error::Failed { why: e.to_string() })?;
        Ok(Box::new(PostgresStore::open(&self.url, &self.dir.join("data"), &opening)?))
    }

    fn reopen(&mut self, now: i64) -> Result<Box<dyn Store>> {
        let opening = Opening { epoch: Uuid::nil(), now, durable: false };
        Ok(Box::new(PostgresStore::open(&self.url, &self.dir.join("data"), &opening)?))
    }

    fn folder(&self) -> PathBuf {
        self.dir.join("backup")
    }
}
