//! Visits from files: job files that a person wrote, and logs that a phone or the shop's server wrote.

use crate::jobs::{read_bytes_up_to, refused};
use job::Refused;
use job::visit::Visit;
use job::visit::chain::{chain_of, in_order};
use record::{Event, LARGEST_FILE, read_job_file, read_log};
use report::Message;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;
use wording::Wording;

/// The largest log that is read, in bytes: a shop's book of some hundred thousand entries.
const LARGEST_LOG: u64 = 256 * 1024 * 1024;

/// What files hold.
pub struct Record {
    /// The name of the job, of the last visit where there are several.
    pub name: String,
    /// The visits, the oldest first; each the events of one job.
    pub visits: Vec<Vec<Event>>,
    /// What is wrong with the logs without making them unreadable, in sentences.
    pub remarks: Vec<Message>,
}

impl Record {
    /// Returns the last visit, with the earlier ones behind it.
    pub fn visit(&self) -> Visit {
        Visit::of_chain(&self.name, &self.visits)
    }

    /// Returns how many events there are.
    pub fn count(&self) -> usize {
        self.visits.iter().map(Vec::len).sum()
    }
}

/// Reads one or several files, each a job file or a log. Several are the visits to one system.
pub fn read(paths: &[&str], job: Option<&str>, wording: &Wording) -> Result<Record, Refused> {
    let mut gathered = Gathered::default();
    gather(paths, &mut gathered, wording)?;
    let Gathered { mut names, visits, remarks, .. } = gathered;
    let visits = choose(paths, visits, job)?;
    let name = match visits.last().and_then(|events| events.first()) {
        Some(event) => names.remove(&event.job).unwrap_or_else(|| made_name(event.job, &visits)),
        None => String::new(),
    };
    Ok(Record { name, visits, remarks })
}

/// Every job that files hold.
#[derive(Default)]
pub struct Gathered {
    /// The events of each job.
    pub visits: BTreeMap<Uuid, Vec<Event>>,
    /// The names of the jobs that have one.
    pub names: BTreeMap<Uuid, String>,
    /// What is wrong with the logs without making them unreadable, in sentences.
    pub remarks: Vec<Message>,
    /// How many files were read.
    pub read: usize,
}

/// Adds the jobs of these files, each a job file or a log.
pub fn gather(paths: &[&str], into: &mut Gathered, wording: &Wording) -> Result<(), Refused> {
    let Gathered { visits, names, remarks, read } = into;
    let mut touched: BTreeSet<Uuid> = BTreeSet::new();
    for path in paths {
        let bytes = read_bytes_up_to(path, "examples/jobs/first-visit-minimal.toml", LARGEST_LOG)?;
        if !is_log(&bytes) {
            let file = read_job_file(&bytes).map_err(|found| refused(path, &found, wording))?;
            names.insert(file.job, file.name);
            touched.insert(file.job);
            visits.entry(file.job).or_default().extend(file.events);
            *read += 1;
            continue;
        }
        if bytes.len() as u64 > LARGEST_LOG {
            let limit = format!("{} MB", LARGEST_LOG / (1024 * 1024));
            let message = Message::new("cli-log-large");
            return Err(Refused::new("file_too_large", "FILE", *path, limit, message));
        }
        let log = read_log(&bytes);
        remarks.extend(remarks_of(path, &log));
        let mut jobs: Vec<Uuid> = log.events.iter().map(|event| event.job).collect();
        jobs.sort_unstable();
        jobs.dedup();
        if let (Some(name), [job]) = (log.name, jobs.as_slice()) {
            names.insert(*job, name);
        }
        touched.extend(jobs);
        for event in log.events {
            visits.entry(event.job).or_default().push(event);
        }
        *read += 1;
    }
    for (_, events) in visits.iter_mut().filter(|(job, _)| touched.contains(job)) {
        let merged = record::merge(events, &[]);
        if !merged.clashes.is_empty() {
            remarks.push(Message::new("cli-log-clash").with("count", merged.clashes.len()));
        }
        *events = merged.events;
    }
    Ok(())
}

/// A log is lines of JSON; no job file begins with a brace.
fn is_log(bytes: &[u8]) -> bool {
    bytes.trim_ascii_start().first() == Some(&b'{')
}

fn remarks_of(path: &str, log: &record::Log) -> Vec<Message> {
    let mut out = Vec::new();
    if log.is_newer() {
        out.push(Message::new("cli-log-newer").with("file", path));
    }
    if let Some(torn) = &log.torn {
        out.push(Message::new("cli-log-torn").with("file", path).with("line", torn.number));
    }
    if let Some(first) = log.aside.first() {
        let aside = Message::new("cli-log-aside").with("file", path).with("line", first.number);
        out.push(aside.with("count", log.aside.len()));
    }
    out
}

/// The visits that are meant: the one asked for with those it follows; of several files all of them; of one log with
/// several jobs only where they follow each other.
fn choose(
    paths: &[&str],
    visits: BTreeMap<Uuid, Vec<Event>>,
    job: Option<&str>,
) -> Result<Vec<Vec<Event>>, Refused> {
    let listed = || visits.keys().take(5).map(ToString::to_string).collect::<Vec<_>>().join(", ");
    if let Some(given) = job {
        let wanted: Option<Uuid> = given.trim().parse().ok();
        let chain = wanted.map(|job| chain_of(job, |job| visits.get(&job).cloned())).unwrap_or_default();
        if chain.is_empty() {
            return Err(Refused::new(
                "unknown_job",
                "--job",
                given,
                listed(),
                Message::new("cli-log-no-job"),
            ));
        }
        return Ok(chain);
    }
    let several = visits.len();
    let listed = listed();
    let ordered = in_order(visits.into_values().collect());
    if several > paths.len() {
        let last = ordered.last().and_then(|events| events.first()).map(|event| event.job);
        let of =
            |job: Uuid| ordered.iter().find(|events| events.first().is_some_and(|e| e.job == job)).cloned();
        if last.is_none_or(|last| chain_of(last, of).len() < several) {
            let given = several.to_string();
            return Err(Refused::new("several_jobs", "FILE", given, listed, Message::new("cli-log-several")));
        }
    }
    Ok(ordered)
}

/// The name of a job that its log does not name: its place, system and day, else its id.
fn made_name(job: Uuid, visits: &[Vec<Event>]) -> String {
    let visit = Visit::of_chain("", visits);
    let parts = [
        visit.site.value.name.clone(),
        visit.system.value.name.clone(),
        visit.day().map(|day| day.to_string()),
    ];
    let name = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
    if name.is_empty() { job.to_string() } else { name }
}

/// A job file that is too large is told by its reader.
const _: () = assert!(LARGEST_LOG > LARGEST_FILE as u64);
