//! The tables, by version. Forward only: a version that was released is never edited.
//!
//! One script serves both databases; `{int}`, `{text}`, `{id}`, `{bytes}` and `{end}` are filled in by each.

use crate::cell::{Engine, Tx, cells};
use crate::error::{Error, Result};

/// The scripts, from version 1.
const VERSIONS: &[&str] =
    &[include_str!("schema/1.sql"), include_str!("schema/2.sql"), include_str!("schema/3.sql")];

/// The newest version this program knows.
pub(crate) const NEWEST: i64 = VERSIONS.len() as i64;

/// The tables that a backup holds, each with the version it came in, its columns in order and the columns it is sorted by.
///
/// Sessions and pairing codes are left out: they are worth nothing a day later, and a backup is kept for long.
pub(crate) const BACKED_UP: &[(i64, &str, &str, &str)] = &[
    (1, "events", "seq, id, job, kind, erases, stamp_ms, stamp_n, received, device, hash, line", "seq"),
    (1, "moved", "seq, event", "seq"),
    (1, "jobs", "job, first, last, events, from_ms, to_ms, stale, through, system, title, summary", "job"),
    (1, "words", "word, job", "word, job"),
    (1, "pictures", "sha256, event", "sha256, event"),
    (1, "people", "id, name, folded, role, password, active, created", "id"),
    (1, "devices", "id, person, name, token, created, seen, revoked", "id"),
    (1, "audits", "number, at, person, device, what, subject, detail", "number"),
    (1, "settings", "name, value", "name"),
    (2, "passkeys", "id, person, name, credential, created, used", "id"),
    (3, "watched", "place, line", "place"),
];

/// Brings a store to the newest version, or makes a new one. Returns whether it was new.
pub(crate) fn migrate<E: Engine>(engine: &E, now: i64) -> Result<bool> {
    migrate_to(engine, now, NEWEST)
}

/// Brings a store to a version.
pub(crate) fn migrate_to<E: Engine>(engine: &E, now: i64, to: i64) -> Result<bool> {
    engine.write(|tx| {
        tx.script(&E::dialect(
            "CREATE TABLE IF NOT EXISTS versions (version {int} PRIMARY KEY, at {int} NOT NULL) {end};",
        ))?;
        let found = version(tx)?;
        if found > NEWEST {
            return Err(Error::Newer { found, known: NEWEST });
        }
        for (index, script) in VERSIONS.iter().enumerate() {
            let number = index as i64 + 1;
            if number > found && number <= to {
                tx.script(&E::dialect(script))?;
                tx.run("INSERT INTO versions (version, at) VALUES (?1, ?2)", cells![number, now])?;
            }
        }
        Ok(found == 0)
    })
}

/// Returns the version of a store's tables; 0 for none.
pub(crate) fn version(tx: &mut dyn Tx) -> Result<i64> {
    let row = tx.first("SELECT coalesce(max(version), 0) FROM versions", &[])?;
    row.map_or(Ok(0), |row| row.int(0))
}
