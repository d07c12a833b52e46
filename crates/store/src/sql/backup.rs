//! Writing a backup, and filling an empty store from one.
//!
//! A backup is a folder: a file of JSON Lines for each table, the pictures, and a manifest written last. It is the same
//! from either database, so that a shop can move from one to the other with it.

use super::SqlStore;
use crate::api::Manifest;
use crate::backup::{BACKUP_VERSION, Writing, read_manifest};
use crate::cell::{Cell, Engine, Row, Tx};
use crate::error::{Error, Result};
use crate::pictures::hex;
use crate::schema::{self, BACKED_UP};
use serde_json::Value;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::Path;
use uuid::Uuid;

/// How many rows are put in at once.
const AT_ONCE: usize = 500;

pub fn write<E: Engine>(store: &SqlStore<E>, into: &Path, now: i64) -> Result<Manifest> {
    let mut writing = Writing::begin(into)?;
    // One transaction: what others write meanwhile is not in it, or wholly.
    let (tables, epoch) = store.engine.read(|tx| {
        for (_, table, columns, order) in BACKED_UP {
            let mut file = writing.file(&format!("{table}.jsonl"))?;
            file.line(&serde_json::json!(names(columns)).to_string())?;
            let sql = format!("SELECT {columns} FROM {table} ORDER BY {order}");
            tx.each(&sql, &[], &mut |row| file.line(&to_json(&row).to_string()))?;
            writing.end(file)?;
        }
        Ok((schema::version(tx)?, super::events::epoch(tx)?))
    })?;
    for name in store.pictures.all()? {
        // One that was erased since is rightly not in it.
        if let Some(place) = store.pictures.whole(&name)? {
            writing.copy(&place, &format!("pictures/{}/{name}", &name[..2]))?;
        }
    }
    writing.finish(Manifest { gastight_backup: BACKUP_VERSION, made: now, tables, epoch, files: Vec::new() })
}

pub fn fill<E: Engine>(store: &SqlStore<E>, from: &Path, epoch: Uuid) -> Result<()> {
    let manifest = read_manifest(from)?;
    if manifest.tables > schema::NEWEST {
        return Err(Error::Newer { found: manifest.tables, known: schema::NEWEST });
    }
    // Pictures first: an event without its picture would be taken for one on its way.
    for file in &manifest.files {
        if let Some(name) = file.name.strip_prefix("pictures/").and_then(|rest| rest.split('/').nth(1)) {
            store.pictures.take_in(&from.join(&file.name), name)?;
        }
    }
    store.engine.write(|tx| {
        for (since, table, columns, _) in BACKED_UP {
            // An older backup knows nothing of a table that came later: it stays empty.
            if *since > manifest.tables {
                continue;
            }
            // Settings are there from the making: the epoch.
            if *table != "settings" && tx.first(&format!("SELECT 1 FROM {table} LIMIT 1"), &[])?.is_some() {
                return Err(Error::NotEmpty);
            }
            tx.run(&format!("DELETE FROM {table}"), &[])?;
            fill_table(tx, table, columns, &from.join(format!("{table}.jsonl")))?;
        }
        // In the same transaction: with the old epoch the phones would not send again what the backup lacks.
        super::people::put_setting(tx, super::EPOCH, &epoch.to_string())
    })
}

fn names(columns: &str) -> Vec<&str> {
    columns.split(',').map(str::trim).collect()
}

fn fill_table(tx: &mut dyn Tx, table: &str, columns: &str, path: &Path) -> Result<()> {
    let broken = |number: usize, why: &str| Error::Backup { why: format!("{table}, line {number}: {why}") };
    let lines = BufReader::new(File::open(path).map_err(Error::at(path))?).lines();
    let mut sql = String::new();
    let mut width = 0;
    let mut sets = Vec::with_capacity(AT_ONCE);
    for (index, line) in lines.enumerate() {
        let line = line.map_err(Error::at(path))?;
        let number = index + 1;
        let value: Value = serde_json::from_str(&line).map_err(|e| broken(number, &e.to_string()))?;
        let Value::Array(all) = value else { return Err(broken(number, "not a list")) };
        if index == 0 {
            // The names go into a statement: only those that we know ourselves.
            let known = names(columns);
            let given: Option<Vec<&str>> = all.iter().map(Value::as_str).collect();
            let given = given.filter(|given| given.iter().all(|name| known.contains(name)));
            let given = given.ok_or_else(|| broken(number, "a column that this program does not know"))?;
            width = given.len();
            let marks: Vec<String> = (1..=width).map(|at| format!("?{at}")).collect();
            sql = format!("INSERT INTO {table} ({}) VALUES ({})", given.join(", "), marks.join(", "));
            continue;
        }
        if all.len() != width {
            return Err(broken(number, "another number of values than columns"));
        }
        let set: Option<Vec<Cell>> = all.into_iter().map(from_json).collect();
        sets.push(set.ok_or_else(|| broken(number, "a value that no column takes"))?);
        if sets.len() == AT_ONCE {
            tx.run_each(&sql, &sets)?;
            sets.clear();
        }
    }
    if width == 0 {
        return Err(broken(1, "its first line is missing"));
    }
    tx.run_each(&sql, &sets)
}

fn to_json(row: &Row) -> Value {
    row.0
        .iter()
        .map(|cell| match cell {
            Cell::Null => Value::Null,
            Cell::Int(value) => Value::from(*value),
            Cell::Text(value) => Value::from(value.as_str()),
            Cell::Bytes(value) => serde_json::json!({ "hex": hex(value) }),
        })
        .collect()
}

fn from_json(value: Value) -> Option<Cell> {
    Some(match value {
        Value::Null => Cell::Null,
        Value::Number(number) => Cell::Int(number.as_i64()?),
        Value::String(text) => Cell::Text(text),
        Value::Object(map) => Cell::Bytes(unhex(map.get("hex")?.as_str()?)?),
        Value::Bool(_) | Value::Array(_) => return None,
    })
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    if !text.is_ascii() || !text.len().is_multiple_of(2) {
        return None;
    }
    (0..text.len()).step_by(2).map(|at| u8::from_str_radix(&text[at..at + 2], 16).ok()).collect()
}
