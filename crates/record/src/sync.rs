//! The messages between a phone and the shop's server, and the phone's side of the exchange; no I/O.
//!
//! Events are immutable and named by their id, so sending one twice is sending it once. The cursor only saves work:
//! setting it to 0 costs a second download and nothing else. A server that was restored from a backup has another
//! epoch; a replica that sees one sends all it has again.

mod compare;
mod replica;

pub use compare::{Likeness, compare, erased, erases, event, line, picture};
pub use replica::{Outgoing, Replica, ReplyFault, Step};

use serde::{Deserialize, Serialize};
use serde_json::Value;
use uuid::Uuid;

/// The most events in one request.
pub const PUSH_EVENTS: usize = 200;
/// The most events in one reply.
pub const PULL_EVENTS: usize = 500;
/// The longest line of one event, in bytes.
pub const LINE_BYTES: usize = 1024 * 1024;
/// The most bytes of event lines that a message is filled to; one event always fits.
pub const MESSAGE_BYTES: usize = 4 * 1024 * 1024;
/// The largest piece of a picture in one request, in bytes.
pub const CHUNK_BYTES: usize = 256 * 1024;
/// The largest picture, in bytes.
pub const PICTURE_BYTES: u64 = 32 * 1024 * 1024;
/// How far a stamp may lie ahead of the server's clock before it is told, in milliseconds: a day.
pub const AHEAD_MS: i64 = 24 * 60 * 60 * 1000;

/// What a device sends: what it has, and how far it has read.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Push {
    /// The name of the device, for people; who it is stands in its token.
    pub device: String,
    /// The sequence up to which it has read.
    pub cursor: u64,
    /// The epoch that the cursor is of; absent before the first reply.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub epoch: Option<Uuid>,
    /// At most [`PUSH_EVENTS`] events, each the JSON object of a line of the log.
    #[serde(default)]
    pub events: Vec<Value>,
}

/// What the server answers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pull {
    /// The ids of the request that are now durable at the server, whether new or known before.
    pub stored: Vec<Uuid>,
    /// The sequence up to which this reply brings the device.
    pub cursor: u64,
    /// The epoch that the cursor is of.
    pub epoch: Uuid,
    /// At most [`PULL_EVENTS`] events behind the device's cursor, without those of the request that stand at the
    /// server as they were sent. One that stands there otherwise (erased, or with another stamp) is among them; they
    /// are written over what the device has.
    pub events: Vec<Value>,
    /// Whether there is more behind the cursor.
    pub more: bool,
    /// Those of the request whose stamp lies more than a day ahead of the server's clock. They are stored.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ahead: Vec<Uuid>,
    /// What the person may do whose device asks, in the shop's word; absent where the server does not say.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// The state of the shop's lists for that person: where it is another one than the device's, they are asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lists: Option<String>,
}
