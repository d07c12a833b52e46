//! The shop's lists over all jobs, put together from the kept summaries and held until one of them changes.

use crate::shop::{Shop, now};
use crate::summary;
use job::shop::{Accounts, Overview, Summary, accounts, overview};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, PoisonError};
use store::Store;
use units::Date;
use uuid::Uuid;

/// How many jobs are read at a time.
const PAGE: usize = 1_000;

/// What all jobs come to.
#[derive(Debug, Default)]
pub struct Book {
    /// Every system and all that is due.
    pub overview: Overview,
    /// The weighings of every job, in the order they first came; what the account does not need is left out.
    weighed: Vec<Summary>,
}

impl Book {
    /// Returns the shop's account of a year, or of all.
    #[must_use]
    pub fn accounts(&self, year: Option<i32>) -> Accounts {
        accounts(&self.weighed, year)
    }
}

/// Returns today, by the clock of Greenwich.
#[must_use]
pub fn today() -> Date {
    Date::from_day_number(i32::try_from(now().div_euclid(86_400_000)).unwrap_or(0))
}

/// The newest job of a system: the last of the longest chain, and of two alike the one that came last.
struct Newest {
    first: u64,
    summary: Summary,
}

fn newest_of_systems(store: &dyn Store, mut each: impl FnMut(&Summary)) -> store::Result<Vec<Summary>> {
    let mut newest: BTreeMap<Uuid, Newest> = BTreeMap::new();
    let mut after = None;
    loop {
        let rows = store.jobs(after, PAGE)?;
        let Some(last) = rows.last() else { break };
        after = Some(last.first);
        for row in &rows {
            let Some(kept) = &row.summary else { continue };
            let mut summary = summary::read(row);
            each(&summary);
            let system = kept.system.unwrap_or(row.job);
            let (order, known) = ((summary.visit, row.first), newest.get(&system));
            if known.is_none_or(|known| (known.summary.visit, known.first) < order) {
                summary.moved.clear();
                summary.bottles.clear();
                newest.insert(system, Newest { first: row.first, summary });
            }
        }
    }
    let mut newest: Vec<Newest> = newest.into_values().collect();
    newest.sort_by_key(|one| one.first);
    Ok(newest.into_iter().map(|one| one.summary).collect())
}

/// Reads every summary once and puts them together.
///
/// # Errors
/// What the store says.
pub fn read(store: &dyn Store, on: Date) -> store::Result<Book> {
    let mut weighed = Vec::new();
    let newest = newest_of_systems(store, |summary| {
        if !summary.moved.is_empty() || !summary.bottles.is_empty() {
            weighed.push(Summary {
                job: summary.job,
                day: summary.day,
                moved: summary.moved.clone(),
                bottles: summary.bottles.clone(),
                ..Summary::default()
            });
        }
    })?;
    // The store gives the newest first; the account wants the order in which things were entered.
    weighed.reverse();
    Ok(Book { overview: overview(&newest, on), weighed })
}

/// Returns the newest jobs whose duties were reckoned on an earlier day: the law asks anew every day.
///
/// # Errors
/// What the store says.
pub fn reckoned_before(store: &dyn Store, on: Date) -> store::Result<Vec<Uuid>> {
    let newest = newest_of_systems(store, |_| {})?;
    let old = newest.iter().filter(|one| one.reckoned.is_none_or(|day| day < on));
    let jobs: BTreeSet<Uuid> = old.filter_map(|one| one.job).collect();
    Ok(jobs.into_iter().collect())
}

/// The book as it was put together last.
#[derive(Debug, Default)]
pub struct Held {
    last: Mutex<Option<(Date, Arc<Book>)>>,
    /// Put together by one request at a time; the others wait for it rather than read the same again.
    making: tokio::sync::Mutex<()>,
    /// Grows with each change, so that what was read before one is not held as what stands after it.
    changes: std::sync::atomic::AtomicU64,
}

impl Held {
    /// Forgets it: some summary changed.
    pub fn forget(&self) {
        self.changes.fetch_add(1, std::sync::atomic::Ordering::AcqRel);
        self.last.lock().unwrap_or_else(PoisonError::into_inner).take();
    }

    fn known(&self, on: Date) -> Option<Arc<Book>> {
        let last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        last.as_ref().filter(|(day, _)| *day == on).map(|(_, book)| book.clone())
    }
}

impl Shop {
    /// Returns the lists over all jobs, as they stand today.
    ///
    /// # Errors
    /// What the store says.
    pub async fn book(&self) -> crate::problem::Done<Arc<Book>> {
        let on = today();
        if let Some(book) = self.held.known(on) {
            return Ok(book);
        }
        let _one = self.held.making.lock().await;
        if let Some(book) = self.held.known(on) {
            return Ok(book);
        }
        let before = self.held.changes.load(std::sync::atomic::Ordering::Acquire);
        let book = Arc::new(self.ask(move |store| read(store, on)).await?);
        let mut last = self.held.last.lock().unwrap_or_else(PoisonError::into_inner);
        if self.held.changes.load(std::sync::atomic::Ordering::Acquire) == before {
            *last = Some((on, book.clone()));
        }
        Ok(book)
    }
}
