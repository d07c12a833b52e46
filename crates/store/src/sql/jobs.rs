//! Jobs, systems, and the search.

use crate::api::{JobRow, Summary, SystemRow};
use crate::cell::{Cell, Row, Tx, cells};
use crate::error::{Error, Result};
use crate::words;
use uuid::Uuid;

const JOB: &str =
    "SELECT job, first, last, events, from_ms, to_ms, stale, through, system, title, summary FROM jobs";

fn read(row: &Row) -> Result<JobRow> {
    let summary = match row.maybe_text(10)? {
        Some(text) => Some(Summary {
            through: row.count(7)?,
            system: row.maybe_id(8)?,
            title: row.maybe_text(9)?.unwrap_or_default(),
            text,
            words: String::new(),
        }),
        None => None,
    };
    Ok(JobRow {
        job: row.id(0)?,
        first: row.count(1)?,
        last: row.count(2)?,
        events: row.count(3)?,
        from_ms: row.int(4)?,
        to_ms: row.int(5)?,
        stale: row.int(6)? != 0,
        summary,
    })
}

fn all(tx: &mut dyn Tx, how: &str, with: &[Cell]) -> Result<Vec<JobRow>> {
    tx.rows(&format!("{JOB} {how}"), with)?.iter().map(read).collect()
}

pub fn page(tx: &mut dyn Tx, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>> {
    all(tx, "WHERE first < ?1 ORDER BY first DESC LIMIT ?2", cells![after.unwrap_or(u64::MAX), limit])
}

pub fn one(tx: &mut dyn Tx, job: Uuid) -> Result<Option<JobRow>> {
    Ok(all(tx, "WHERE job = ?1", cells![job])?.into_iter().next())
}

pub fn stale(tx: &mut dyn Tx, limit: usize) -> Result<Vec<JobRow>> {
    all(tx, "WHERE stale = 1 ORDER BY first LIMIT ?1", cells![limit])
}

pub fn mark_stale(tx: &mut dyn Tx, jobs: &[Uuid]) -> Result<()> {
    let sets: Vec<Vec<Cell>> = jobs.iter().map(|job| cells![*job].to_vec()).collect();
    tx.run_each("UPDATE jobs SET stale = 1 WHERE job = ?1", &sets)
}

pub fn put_summary(tx: &mut dyn Tx, job: Uuid, summary: &Summary) -> Result<()> {
    let changed = tx.run(
        "UPDATE jobs SET through = ?2, system = ?3, title = ?4, summary = ?5, \
         stale = CASE WHEN last = ?2 THEN 0 ELSE 1 END WHERE job = ?1",
        cells![job, summary.through, summary.system, &summary.title, &summary.text],
    )?;
    if changed == 0 {
        return Err(Error::NotFound { what: "job" });
    }
    tx.run("DELETE FROM words WHERE job = ?1", cells![job])?;
    let mut found = words::of(&summary.title);
    found.extend(words::of(&summary.words));
    let sets: Vec<Vec<Cell>> = found.iter().map(|word| cells![word, job].to_vec()).collect();
    tx.run_each("INSERT INTO words (word, job) VALUES (?1, ?2)", &sets)
}

pub fn systems(tx: &mut dyn Tx, after: Option<u64>, limit: usize) -> Result<Vec<SystemRow>> {
    let rows = tx.rows(
        "SELECT system, min(first), max(last), count(*) FROM jobs WHERE system IS NOT NULL \
         GROUP BY system HAVING min(first) > ?1 ORDER BY min(first) LIMIT ?2",
        cells![after.unwrap_or(0), limit],
    )?;
    rows.iter()
        .map(|row| {
            Ok(SystemRow {
                system: row.id(0)?,
                first: row.count(1)?,
                last: row.count(2)?,
                jobs: row.count(3)?,
            })
        })
        .collect()
}

pub fn of_system(tx: &mut dyn Tx, system: Uuid) -> Result<Vec<JobRow>> {
    all(tx, "WHERE system = ?1 ORDER BY first", cells![system])
}

pub fn search(tx: &mut dyn Tx, text: &str, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>> {
    // More words than this narrow nothing any further.
    let wanted: Vec<String> = words::of(text).into_iter().take(8).collect();
    if wanted.is_empty() {
        return Ok(Vec::new());
    }
    let mut how = String::from("WHERE first < ?1");
    let mut with = cells![after.unwrap_or(u64::MAX), limit].to_vec();
    for word in &wanted {
        let at = with.len() + 1;
        how.push_str(&format!(
            " AND job IN (SELECT job FROM words WHERE word >= ?{at} AND word < ?{})",
            at + 1
        ));
        with.push(Cell::from(word));
        with.push(Cell::from(&words::end_of_prefix(word)));
    }
    how.push_str(" ORDER BY first DESC LIMIT ?2");
    all(tx, &how, &with)
}
