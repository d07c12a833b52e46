//! What a store does, and the values that go in and come out.

use crate::error::Result;
use record::Event;
use record::sync::{PULL_EVENTS, Pull, Push};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// The shop's store.
///
/// Times are milliseconds since 1970-01-01T00:00:00Z. Hashes of tokens, codes and sessions are SHA-256 made by the
/// caller: the store never sees a secret. What a call that returns `Ok` changed is durable.
pub trait Store: Send + Sync {
    /// Returns the name of this store's history. A restored store has another one, so that phones send all again.
    fn epoch(&self) -> Result<Uuid>;
    /// Gives the store another epoch: after its database was brought back by other means than [`crate::restore`].
    fn renew_epoch(&self, epoch: Uuid) -> Result<()>;

    /// Stores the events of one request, all or none. Events that are here already are no fault.
    ///
    /// # Errors
    /// [`crate::Error::Refused`], [`crate::Error::NotEvents`], [`crate::Error::TooMany`].
    fn push(&self, from: &Sender, events: &[Value], now: i64) -> Result<Pushed>;
    /// Returns the lines behind a cursor, at most `limit`, in the order they came.
    fn pull(&self, cursor: u64, limit: usize) -> Result<Page>;
    /// Returns the answer to a request of a device: stores what it brings, then gives what is new to it.
    fn sync(&self, from: &Sender, push: &Push, now: i64) -> Result<Pull> {
        self.sync_at_most(from, push, now, PULL_EVENTS)
    }
    /// As [`Store::sync`], with at most `limit` events of news.
    fn sync_at_most(&self, from: &Sender, push: &Push, now: i64, limit: usize) -> Result<Pull>;
    /// Returns one event.
    fn event(&self, id: Uuid) -> Result<Option<Event>>;
    /// Returns the events of a job, in the order of their stamps, ties by id.
    fn job_events(&self, job: Uuid) -> Result<Vec<Event>>;

    /// Returns jobs, newest first by when they first came; `after` is the `first` of the last one seen.
    fn jobs(&self, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>>;
    /// Returns one job.
    fn job(&self, job: Uuid) -> Result<Option<JobRow>>;
    /// Returns jobs whose summary is older than their events, or missing.
    fn stale_jobs(&self, limit: usize) -> Result<Vec<JobRow>>;
    /// Marks jobs as stale: what their summaries were made of changed elsewhere.
    fn mark_stale(&self, jobs: &[Uuid]) -> Result<()>;
    /// Keeps what was worked out of a job's events. It counts as fresh only if nothing came since `through`.
    fn put_summary(&self, job: Uuid, summary: &Summary) -> Result<()>;
    /// Returns systems, in the order they first came; `after` is the `first` of the last one seen.
    fn systems(&self, after: Option<u64>, limit: usize) -> Result<Vec<SystemRow>>;
    /// Returns the jobs of a system, oldest first.
    fn system_jobs(&self, system: Uuid) -> Result<Vec<JobRow>>;
    /// Returns jobs in whose words every word of `text` begins some word, newest first; `after` as in [`Store::jobs`].
    fn search(&self, text: &str, after: Option<u64>, limit: usize) -> Result<Vec<JobRow>>;

    /// Returns how much of a picture is here.
    fn picture_state(&self, sha256: &str) -> Result<PictureState>;
    /// Adds a piece at `offset` and returns where the next begins. A piece that is here already changes nothing.
    fn picture_append(&self, sha256: &str, offset: u64, bytes: &[u8]) -> Result<u64>;
    /// Ends a picture: checks its hash and keeps it.
    fn picture_finish(&self, sha256: &str) -> Result<()>;
    /// Returns the file of a whole picture.
    fn picture(&self, sha256: &str) -> Result<Option<PathBuf>>;
    /// Returns the names of the whole pictures behind `after`, in order.
    fn pictures(&self, after: Option<&str>, limit: usize) -> Result<Vec<String>>;
    /// Returns pictures that events speak of and that are not here yet.
    fn pictures_owed(&self, limit: usize) -> Result<Vec<String>>;

    /// Keeps a person, new or changed.
    ///
    /// # Errors
    /// [`crate::Error::NameTaken`] where another person has the name.
    fn put_person(&self, person: &Person) -> Result<()>;
    /// Returns a person.
    fn person(&self, id: Uuid) -> Result<Option<Person>>;
    /// Returns the person with a name; large and small letters are the same.
    fn person_named(&self, name: &str) -> Result<Option<Person>>;
    /// Returns everybody, by name.
    fn people(&self) -> Result<Vec<Person>>;

    /// Keeps a device, new or changed.
    fn put_device(&self, device: &Device) -> Result<()>;
    /// Returns a device.
    fn device(&self, id: Uuid) -> Result<Option<Device>>;
    /// Returns the device with a token, revoked or not.
    fn device_with(&self, token: &[u8; 32]) -> Result<Option<Device>>;
    /// Returns every device, by name.
    fn devices(&self) -> Result<Vec<Device>>;
    /// Notes that a device was here.
    fn device_seen(&self, id: Uuid, now: i64) -> Result<()>;
    /// Takes a device's right to anything. Returns whether it had it.
    fn revoke_device(&self, id: Uuid, now: i64) -> Result<bool>;

    /// Keeps a code by which a person's device pairs once.
    fn put_pairing(&self, pairing: &Pairing) -> Result<()>;
    /// Uses a pairing code up and returns whose it was, if it was there and not expired.
    fn take_pairing(&self, code: &[u8; 32], now: i64) -> Result<Option<Uuid>>;

    /// Keeps a session.
    fn put_session(&self, session: &Session) -> Result<()>;
    /// Returns a session that is not expired.
    fn session(&self, token: &[u8; 32], now: i64) -> Result<Option<Session>>;
    /// Ends a session. Returns whether it was there.
    fn end_session(&self, token: &[u8; 32]) -> Result<bool>;
    /// Ends every session of a person.
    fn end_sessions_of(&self, person: Uuid) -> Result<u64>;
    /// Forgets sessions and codes that are expired.
    fn forget_expired(&self, now: i64) -> Result<u64>;

    /// Keeps a new passkey.
    fn put_passkey(&self, passkey: &Passkey) -> Result<()>;
    /// Returns a person's passkeys, oldest first.
    fn passkeys(&self, person: Uuid) -> Result<Vec<Passkey>>;
    /// Notes that a passkey was used, and keeps its credential as it is now. Returns whether it was still there with
    /// the credential `seen`: of two uses that saw the same one, the second is refused.
    fn use_passkey(&self, id: Uuid, seen: &str, credential: &str, now: i64) -> Result<bool>;
    /// Takes a passkey of a person away. Returns whether it was there.
    fn remove_passkey(&self, person: Uuid, id: Uuid) -> Result<bool>;
    /// Takes every passkey of a person away. Returns how many there were.
    fn remove_passkeys_of(&self, person: Uuid) -> Result<u64>;

    /// Writes down who did what. Nothing takes it away again.
    fn audit(&self, entries: &[Audit]) -> Result<()>;
    /// Returns what was written down, newest first; `before` is the `number` of the last one seen.
    fn audits(&self, before: Option<u64>, limit: usize) -> Result<Vec<Audit>>;

    /// Returns a setting of the shop.
    fn setting(&self, key: &str) -> Result<Option<String>>;
    /// Keeps a setting of the shop.
    fn put_setting(&self, key: &str, value: &str) -> Result<()>;

    /// Keeps a list of watched systems in place of the one before: what stands above it, and its lines in their order.
    fn put_watched(&self, head: &str, lines: &[String]) -> Result<()>;
    /// Returns what stands above the list of watched systems and its lines behind the first `after`; nothing where none was
    /// handed in.
    fn watched(&self, after: u64, limit: usize) -> Result<Option<(String, Vec<String>)>>;

    /// Returns how much there is of everything.
    fn counts(&self) -> Result<Counts>;
    /// Returns what an examination of everything finds: every hash, every sequence number, every picture.
    fn verify(&self) -> Result<Verdict>;
    /// Writes everything into an empty folder, while others go on reading and writing.
    fn backup(&self, into: &Path, now: i64) -> Result<Manifest>;
    /// Fills this store, which must be empty, from a backup that was checked, and gives it a new epoch; used by
    /// [`crate::restore`].
    #[doc(hidden)]
    fn fill(&self, from: &Path, epoch: Uuid) -> Result<()>;
    /// Returns which database this is: `sqlite` or `postgres`.
    fn kind(&self) -> &'static str;
}

/// Who sends events.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sender {
    /// The paired device; absent for an import or the office.
    pub device: Option<Uuid>,
}

/// How a store is opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Opening {
    /// The epoch that a new store gets: random.
    pub epoch: Uuid,
    /// The time now.
    pub now: i64,
    /// Whether what is acknowledged must survive a loss of power. Only simulations say no.
    pub durable: bool,
}

/// What became of the events of a request.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pushed {
    /// The ids that are durable now, in the order of the request.
    pub stored: Vec<Uuid>,
    /// How many of them were new.
    pub new: u64,
    /// Lines that stand here otherwise than they were sent: erased, or with the stamp of the first copy.
    pub otherwise: Vec<String>,
    /// The ids whose stamp lies more than a day ahead of `now`.
    pub ahead: Vec<Uuid>,
    /// The jobs that changed.
    pub jobs: Vec<Uuid>,
    /// The greatest sequence after it.
    pub last: u64,
}

/// Some lines in the order they came.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// The lines, each with its id.
    pub lines: Vec<(Uuid, String)>,
    /// The sequence of the last, or where it was asked from.
    pub cursor: u64,
    /// Whether there is more.
    pub more: bool,
}

/// A job as the store sees it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct JobRow {
    /// Its id.
    pub job: Uuid,
    /// The sequence of its first event.
    pub first: u64,
    /// The sequence of its last event.
    pub last: u64,
    /// How many events it has.
    pub events: u64,
    /// The earliest stamp, in milliseconds.
    pub from_ms: i64,
    /// The latest stamp, in milliseconds.
    pub to_ms: i64,
    /// Whether its summary is older than its events, or missing.
    pub stale: bool,
    /// What was worked out of it last.
    pub summary: Option<Summary>,
}

/// What was worked out of a job's events.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Summary {
    /// The sequence of the last event it was worked out of.
    pub through: u64,
    /// The system: the first job of the chain of visits.
    pub system: Option<Uuid>,
    /// A line that names the job.
    pub title: String,
    /// Whatever else the pages want, as they wrote it.
    pub text: String,
    /// The words by which it is found. They are stored as an index and come back empty.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

/// A system: a chain of visits.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SystemRow {
    /// The first job of the chain.
    pub system: Uuid,
    /// The sequence of its first event.
    pub first: u64,
    /// The sequence of its last event.
    pub last: u64,
    /// How many jobs it has.
    pub jobs: u64,
}

/// How much of a picture is here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PictureState {
    /// Where the next piece begins.
    pub offset: u64,
    /// Whether it is whole.
    pub complete: bool,
}

/// What somebody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Everything, people and devices included.
    Owner,
    /// All jobs, reports and accounts.
    Office,
    /// The shop's jobs, through a paired phone.
    Technician,
    /// As a technician, without money, and with work that waits for a licensed technician's word.
    Apprentice,
}

impl Role {
    /// Every role.
    pub const ALL: [Role; 4] = [Role::Owner, Role::Office, Role::Technician, Role::Apprentice];

    /// Returns whether somebody of this role works with a paired phone and needs no password.
    #[must_use]
    pub const fn has_phone_alone(self) -> bool {
        matches!(self, Role::Technician | Role::Apprentice)
    }

    /// Returns the role as it is stored.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Role::Owner => "owner",
            Role::Office => "office",
            Role::Technician => "technician",
            Role::Apprentice => "apprentice",
        }
    }

    /// Returns the role stored as `text`.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.as_str() == text)
    }
}

/// A person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// The id.
    pub id: Uuid,
    /// The name, which is also what they log in with.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// The argon2 hash of the password, as the caller wrote it; absent for somebody with a phone alone.
    pub password: Option<String>,
    /// Whether they still belong to the shop.
    pub active: bool,
    /// Since when.
    pub created: i64,
}

/// A paired device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Device {
    /// The id.
    pub id: Uuid,
    /// Whose it is.
    pub person: Uuid,
    /// What it is called.
    pub name: String,
    /// The SHA-256 of its token.
    pub token: [u8; 32],
    /// Since when.
    pub created: i64,
    /// When it was here last.
    pub seen: Option<i64>,
    /// Since when it may do nothing.
    pub revoked: Option<i64>,
}

/// A code by which a device pairs once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pairing {
    /// The SHA-256 of the code.
    pub code: [u8; 32],
    /// Whose device it will be.
    pub person: Uuid,
    /// Until when.
    pub expires: i64,
}

/// A session of the office's browser.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Session {
    /// The SHA-256 of its token.
    pub token: [u8; 32],
    /// Whose it is.
    pub person: Uuid,
    /// Since when.
    pub created: i64,
    /// Until when.
    pub expires: i64,
}

/// A passkey: what a person's browser or key is known by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passkey {
    /// The id.
    pub id: Uuid,
    /// Whose it is.
    pub person: Uuid,
    /// What the person calls it.
    pub name: String,
    /// The credential, JSON as the caller wrote it: its id, its public key, its count of uses. Nothing of it is secret.
    pub credential: String,
    /// Since when.
    pub created: i64,
    /// When it was used last.
    pub used: Option<i64>,
}

/// Something that somebody did.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Audit {
    /// Its number; given by the store.
    #[serde(default)]
    pub number: u64,
    /// When.
    pub at: i64,
    /// Who, where it is known.
    pub person: Option<Uuid>,
    /// With which device.
    pub device: Option<Uuid>,
    /// What, such as `report.read`.
    pub what: String,
    /// Of what, such as the id of a job.
    pub on: Option<String>,
    /// Anything else.
    pub detail: Option<String>,
}

/// How much there is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counts {
    /// Events.
    pub events: u64,
    /// The greatest sequence.
    pub last: u64,
    /// Jobs.
    pub jobs: u64,
    /// Jobs whose summary is stale.
    pub stale_jobs: u64,
    /// People who are active.
    pub people: u64,
    /// Devices that are not revoked.
    pub devices: u64,
    /// Entries of the audit.
    pub audits: u64,
}

/// What an examination found.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Verdict {
    /// How many events were examined.
    pub events: u64,
    /// How many whole pictures were examined.
    pub pictures: u64,
    /// Pictures that events speak of and that are on their way.
    pub owed: Vec<String>,
    /// Uploads that were begun.
    pub begun: u64,
    /// What is wrong, in sentences; empty is clean.
    pub faults: Vec<String>,
}

impl Verdict {
    /// Returns whether nothing is wrong.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.faults.is_empty()
    }
}

/// What a backup holds.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// The version of the backup's shape.
    pub gastight_backup: u32,
    /// When it was made.
    pub made: i64,
    /// The version of the tables it was made from.
    pub tables: i64,
    /// The epoch of the store it was made from.
    pub epoch: Uuid,
    /// Every file with its size and hash, by name.
    pub files: Vec<BackupFile>,
}

/// A file of a backup.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BackupFile {
    /// Its name in the folder.
    pub name: String,
    /// Its size in bytes.
    pub bytes: u64,
    /// Its SHA-256, in hexadecimal.
    pub sha256: String,
}
