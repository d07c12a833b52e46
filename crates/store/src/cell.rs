//! What both databases share: values, rows, transactions. The SQL is written once, in the words both understand.

use crate::error::{Error, Result};
use uuid::Uuid;

/// One value of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Cell {
    Null,
    Int(i64),
    Text(String),
    Bytes(Vec<u8>),
}

impl From<i64> for Cell {
    fn from(value: i64) -> Self {
        Cell::Int(value)
    }
}
impl From<u64> for Cell {
    fn from(value: u64) -> Self {
        // A sequence beyond 2^63 does not happen; a cursor that somebody makes up is as good as the greatest.
        Cell::Int(i64::try_from(value).unwrap_or(i64::MAX))
    }
}
impl From<usize> for Cell {
    fn from(value: usize) -> Self {
        Cell::from(value as u64)
    }
}
impl From<bool> for Cell {
    fn from(value: bool) -> Self {
        Cell::Int(i64::from(value))
    }
}
impl From<&str> for Cell {
    fn from(value: &str) -> Self {
        // PostgreSQL takes no zero character in a text.
        Cell::Text(value.replace('\0', "\u{FFFD}"))
    }
}
impl From<&String> for Cell {
    fn from(value: &String) -> Self {
        Cell::from(value.as_str())
    }
}
impl From<Uuid> for Cell {
    fn from(value: Uuid) -> Self {
        Cell::Bytes(value.as_bytes().to_vec())
    }
}
impl From<&[u8; 32]> for Cell {
    fn from(value: &[u8; 32]) -> Self {
        Cell::Bytes(value.to_vec())
    }
}
impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Cell::Null, Into::into)
    }
}

/// Makes the cells of a statement.
macro_rules! cells {
    ($($value:expr),* $(,)?) => { &[$($crate::cell::Cell::from($value)),*] };
}
pub(crate) use cells;

/// One row of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Row(pub Vec<Cell>);

impl Row {
    fn wrong(&self, at: usize) -> Error {
        Error::failed(format!("column {at} holds {:?}", self.0.get(at)))
    }

    pub fn maybe_int(&self, at: usize) -> Result<Option<i64>> {
        match self.0.get(at) {
            Some(Cell::Int(value)) => Ok(Some(*value)),
            Some(Cell::Null) => Ok(None),
            _ => Err(self.wrong(at)),
        }
    }

    pub fn int(&self, at: usize) -> Result<i64> {
        self.maybe_int(at)?.ok_or_else(|| self.wrong(at))
    }

    pub fn count(&self, at: usize) -> Result<u64> {
        u64::try_from(self.int(at)?).map_err(|_| self.wrong(at))
    }

    pub fn maybe_text(&self, at: usize) -> Result<Option<String>> {
        match self.0.get(at) {
            Some(Cell::Text(value)) => Ok(Some(value.clone())),
            Some(Cell::Null) => Ok(None),
            _ => Err(self.wrong(at)),
        }
    }

    pub fn text(&self, at: usize) -> Result<String> {
        self.maybe_text(at)?.ok_or_else(|| self.wrong(at))
    }

    /// Returns a text and leaves nothing in its place.
    pub fn take_text(&mut self, at: usize) -> Result<String> {
        match self.0.get_mut(at) {
            Some(Cell::Text(value)) => Ok(std::mem::take(value)),
            _ => Err(self.wrong(at)),
        }
    }

    pub fn maybe_id(&self, at: usize) -> Result<Option<Uuid>> {
        match self.0.get(at) {
            Some(Cell::Bytes(value)) => Uuid::from_slice(value).map(Some).map_err(|_| self.wrong(at)),
            Some(Cell::Null) => Ok(None),
            _ => Err(self.wrong(at)),
        }
    }

    pub fn id(&self, at: usize) -> Result<Uuid> {
        self.maybe_id(at)?.ok_or_else(|| self.wrong(at))
    }

    pub fn hash(&self, at: usize) -> Result<[u8; 32]> {
        match self.0.get(at) {
            Some(Cell::Bytes(value)) => value.as_slice().try_into().map_err(|_| self.wrong(at)),
            _ => Err(self.wrong(at)),
        }
    }
}

/// A transaction. Placeholders are written `?1`, `?2`; every statement is kept prepared.
pub(crate) trait Tx {
    /// Returns the rows of a query.
    fn rows(&mut self, sql: &str, cells: &[Cell]) -> Result<Vec<Row>>;
    /// Gives the rows of a query to `take`, one after the other, without holding them all.
    fn each(&mut self, sql: &str, cells: &[Cell], take: &mut dyn FnMut(Row) -> Result<()>) -> Result<()>;
    /// Runs a statement and returns how many rows it changed.
    fn run(&mut self, sql: &str, cells: &[Cell]) -> Result<u64>;
    /// Returns the rows of one query for each set of values, without waiting in between.
    fn rows_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<Vec<Vec<Row>>>;
    /// Runs one statement for each set of values, without waiting in between.
    fn run_each(&mut self, sql: &str, sets: &[Vec<Cell>]) -> Result<()>;
    /// Runs statements without values: the making of tables.
    fn script(&mut self, sql: &str) -> Result<()>;

    /// Returns the first row of a query.
    fn first(&mut self, sql: &str, cells: &[Cell]) -> Result<Option<Row>> {
        Ok(self.rows(sql, cells)?.into_iter().next())
    }
}

/// A database.
pub(crate) trait Engine: Send + Sync {
    /// Its name.
    const KIND: &'static str;
    /// Runs `work` on one unchanging view of the data.
    fn read<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T>;
    /// Runs `work` alone: no other write is under way. Its changes are durable when it returns `Ok`, and none is made
    /// when it returns an error.
    fn write<T>(&self, work: impl FnOnce(&mut dyn Tx) -> Result<T>) -> Result<T>;
    /// Returns what the database's own examination finds wrong.
    fn integrity(&self) -> Result<Vec<String>>;
    /// Returns a script of tables in the words of this database.
    fn dialect(script: &str) -> String;
}
