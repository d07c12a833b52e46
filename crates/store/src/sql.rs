//! The store over either database: the SQL is the same.

mod backup;
mod events;
mod jobs;
mod keep;
mod people;

use crate::api::*;
use crate::cell::{Engine, cells};
use crate::error::Result;
use crate::pictures::Pictures;
use crate::schema;
use record::Event;
use record::sync::{Pull, Push};
use serde_json::Value;
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// A store in a database.
pub struct SqlStore<E> {
    pub(crate) engine: E,
    pub(crate) pictures: Pictures,
}

/// The setting that holds the epoch.
const EPOCH: &str = "epoch";

#[allow(private_bounds, reason = "the engines are ours alone; the store they make is what is public")]
impl<E: Engine> SqlStore<E> {
    pub(crate) fn with(engine: E, dir: &Path, opening: &Opening) -> Result<Self> {
        schema::migrate(&engine, opening.now)?;
        engine.write(|tx| {
            tx.run(
                "INSERT INTO settings (name, value) VALUES (?1, ?2) ON CONFLICT (name) DO NOTHING",
                cells![EPOCH, opening.epoch.to_string().as_str()],
            )
        })?;
        let pictures = Pictures::open(&dir.join("pictures"))?;
        Ok(SqlStore { engine, pictures })
    }
}

impl<E: Engine> Store for SqlStore<E> {
    fn epoch(&self) -> Result<Uuid> {
        self.engine.read(events::epoch)
    }
    fn renew_epoch(&self, epoch: Uuid) -> Result<()> {
        self.put_setting(EPOCH, &epoch.to_string())
    }
    fn push(&self, from: &Sender, events: &[Value], now: i64) -> Result<Pushed> {
        let (pushed, gone) = events::push(&self.engine, from, events, now)?;
        for name in gone {
            self.pictures.delete(&name)?;
        }
        Ok(pushed)
    }
    fn pull(&self, cursor: u64, limit: usize) -> Result<Page> {
        self.engine.read(|tx| events::page(tx, cursor, limit))
    }
    fn sync_at_most(&self, from: &Sender, push: &Push, now: i64, limit: usize) -> Result<Pull> {
        let pushed =
            if push.events.is_empty() { Pushed::default() } else { self.push(from, &push.events, now)? };
        events::reply(&self.engine, push, pushed, limit)
    }
    fn event(&self, id: Uuid) -> Result<Option<Event>> {
        self.engine.read(|tx| events::one(tx, id))
    }
    fn job_events(&self, job: Uuid) -> Result<Vec<Event>> {
        self.engine.read(|tx| events::of_job(tx, job))
    }

    fn jobs(&self, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>> {
        self.engine.read(|tx| jobs::page(tx, after, limit))
    }
    fn job(&self, job: Uuid) -> Result<Option<JobRow>> {
        self.engine.read(|tx| jobs::one(tx, job))
    }
    fn stale_jobs(&self, limit: usize) -> Result<Vec<JobRow>> {
        self.engine.read(|tx| jobs::stale(tx, limit))
    }
    fn mark_stale(&self, all: &[Uuid]) -> Result<()> {
        self.engine.write(|tx| jobs::mark_stale(tx, all))
    }
    fn put_summary(&self, job: Uuid, summary: &Summary) -> Result<()> {
        self.engine.write(|tx| jobs::put_summary(tx, job, summary))
    }
    fn systems(&self, after: Option<u64>, limit: usize) -> Result<Vec<SystemRow>> {
        self.engine.read(|tx| jobs::systems(tx, after, limit))
    }
    fn system_jobs(&self, system: Uuid) -> Result<Vec<JobRow>> {
        self.engine.read(|tx| jobs::of_system(tx, system))
    }
    fn search(&self, text: &str, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>> {
        self.engine.read(|tx| jobs::search(tx, text, after, limit))
    }

    fn picture_state(&self, sha256: &str) -> Result<PictureState> {
        self.pictures.state(sha256)
    }
    fn picture_append(&self, sha256: &str, offset: u64, bytes: &[u8]) -> Result<u64> {
        self.pictures.append(sha256, offset, bytes)
    }
    fn picture_finish(&self, sha256: &str) -> Result<()> {
        self.pictures.finish(sha256)
    }
    fn picture(&self, sha256: &str) -> Result<Option<PathBuf>> {
        self.pictures.whole(sha256)
    }
    fn pictures(&self, after: Option<&str>, limit: usize) -> Result<Vec<String>> {
        let names = self.pictures.all()?;
        let from = after.map_or(0, |after| names.partition_point(|name| name.as_str() <= after));
        Ok(names.into_iter().skip(from).take(limit).collect())
    }
    fn pictures_owed(&self, limit: usize) -> Result<Vec<String>> {
        keep::owed(self, limit)
    }

    fn put_person(&self, person: &Person) -> Result<()> {
        self.engine.write(|tx| people::put(tx, person))
    }
    fn person(&self, id: Uuid) -> Result<Option<Person>> {
        self.engine.read(|tx| people::one(tx, id))
    }
    fn person_named(&self, name: &str) -> Result<Option<Person>> {
        self.engine.read(|tx| people::named(tx, name))
    }
    fn people(&self) -> Result<Vec<Person>> {
        self.engine.read(people::all)
    }

    fn put_device(&self, device: &Device) -> Result<()> {
        self.engine.write(|tx| people::put_device(tx, device))
    }
    fn device(&self, id: Uuid) -> Result<Option<Device>> {
        self.engine.read(|tx| people::device(tx, id))
    }
    fn device_with(&self, token: &[u8; 32]) -> Result<Option<Device>> {
        self.engine.read(|tx| people::device_with(tx, token))
    }
    fn devices(&self) -> Result<Vec<Device>> {
        self.engine.read(people::devices)
    }
    fn device_seen(&self, id: Uuid, now: i64) -> Result<()> {
        self.engine.write(|tx| people::device_seen(tx, id, now))
    }
    fn revoke_device(&self, id: Uuid, now: i64) -> Result<bool> {
        self.engine.write(|tx| people::revoke_device(tx, id, now))
    }

    fn put_pairing(&self, pairing: &Pairing) -> Result<()> {
        self.engine.write(|tx| people::put_pairing(tx, pairing))
    }
    fn take_pairing(&self, code: &[u8; 32], now: i64) -> Result<Option<Uuid>> {
        self.engine.write(|tx| people::take_pairing(tx, code, now))
    }

    fn put_session(&self, session: &Session) -> Result<()> {
        self.engine.write(|tx| people::put_session(tx, session))
    }
    fn session(&self, token: &[u8; 32], now: i64) -> Result<Option<Session>> {
        self.engine.read(|tx| people::session(tx, token, now))
    }
    fn end_session(&self, token: &[u8; 32]) -> Result<bool> {
        self.engine.write(|tx| people::end_session(tx, token))
    }
    fn end_sessions_of(&self, person: Uuid) -> Result<u64> {
        self.engine.write(|tx| people::end_sessions_of(tx, person))
    }
    fn forget_expired(&self, now: i64) -> Result<u64> {
        self.engine.write(|tx| people::forget_expired(tx, now))
    }

    fn put_passkey(&self, passkey: &Passkey) -> Result<()> {
        self.engine.write(|tx| people::put_passkey(tx, passkey))
    }
    fn passkeys(&self, person: Uuid) -> Result<Vec<Passkey>> {
        self.engine.read(|tx| people::passkeys(tx, person))
    }
    fn use_passkey(&self, id: Uuid, seen: &str, credential: &str, now: i64) -> Result<bool> {
        self.engine.write(|tx| people::use_passkey(tx, id, seen, credential, now))
    }
    fn remove_passkey(&self, person: Uuid, id: Uuid) -> Result<bool> {
        self.engine.write(|tx| people::remove_passkey(tx, person, id))
    }
    fn remove_passkeys_of(&self, person: Uuid) -> Result<u64> {
        self.engine.write(|tx| people::remove_passkeys_of(tx, person))
    }

    fn audit(&self, entries: &[Audit]) -> Result<()> {
        self.engine.write(|tx| people::audit(tx, entries))
    }
    fn audits(&self, before: Option<u64>, limit: usize) -> Result<Vec<Audit>> {
        self.engine.read(|tx| people::audits(tx, before, limit))
    }

    fn setting(&self, key: &str) -> Result<Option<String>> {
        self.engine.read(|tx| people::setting(tx, key))
    }
    fn put_setting(&self, key: &str, value: &str) -> Result<()> {
        self.engine.write(|tx| people::put_setting(tx, key, value))
    }

    fn put_watched(&self, head: &str, lines: &[String]) -> Result<()> {
        self.engine.write(|tx| keep::put_watched(tx, head, lines))
    }
    fn watched(&self, after: u64, limit: usize) -> Result<Option<(String, Vec<String>)>> {
        self.engine.read(|tx| keep::watched(tx, after, limit))
    }

    fn counts(&self) -> Result<Counts> {
        self.engine.read(keep::counts)
    }
    fn verify(&self) -> Result<Verdict> {
        keep::verify(self)
    }
    fn backup(&self, into: &Path, now: i64) -> Result<Manifest> {
        backup::write(self, into, now)
    }
    fn fill(&self, from: &Path, epoch: Uuid) -> Result<()> {
        backup::fill(self, from, epoch)
    }
    fn kind(&self) -> &'static str {
        E::KIND
    }
}
