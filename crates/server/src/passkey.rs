//! Passkeys: signing in by what a browser or a key of one's own holds, beside the password.
//!
//! A passkey binds to a domain, so a server takes them only where its public address has one. What is checked of them is
//! built in by the feature `passkey`; without it the same addresses answer that this server takes none.

#[cfg(feature = "passkey")]
mod taken;
#[cfg(feature = "passkey")]
pub use taken::Passkeys;

#[cfg(not(feature = "passkey"))]
mod none;
#[cfg(not(feature = "passkey"))]
pub use none::Passkeys;

use crate::problem::Problem;
use report::Message;
use serde::Serialize;
use utoipa::ToSchema;
use uuid::Uuid;

/// The most passkeys of one person.
pub const MOST: usize = 20;

/// Whether this server takes passkeys.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Takes {
    /// It takes them.
    Taken,
    /// It would, had its public address a domain with HTTPS.
    NoDomain,
    /// It was built without them.
    NotBuilt,
}

/// What a browser is told when it begins.
#[derive(Debug, Serialize, ToSchema)]
pub struct Begun {
    /// What to send back with the browser's answer; it holds once, for five minutes.
    pub ceremony: String,
    /// What `navigator.credentials` is given (W3C Web Authentication, the JSON of its options).
    #[schema(value_type = Object)]
    pub options: serde_json::Value,
}

/// A passkey that a browser made.
#[derive(Debug)]
pub struct Made {
    /// What its person calls it.
    pub name: String,
    /// What it is known by, as it is kept.
    pub credential: String,
}

/// A use of a passkey that holds.
#[derive(Debug)]
pub struct Used {
    /// The passkey.
    pub id: Uuid,
    /// The credential it was checked against.
    pub seen: String,
    /// The credential as it is from now on: its count of uses has grown.
    pub credential: String,
}

/// Why a use of a passkey does not hold.
#[derive(Debug)]
pub enum Unfit {
    /// It is not known, not this person's, not for this place, too late, or its signature is wrong.
    Refused,
    /// Its count of uses did not grow: there may be two of it.
    TwiceThere(Uuid),
}

/// Returns the problem of a server that takes no passkeys.
#[must_use]
pub fn not_taken(takes: Takes) -> Problem {
    Problem::missing(match takes {
        Takes::NoDomain => Message::new("server-passkey-no-domain"),
        Takes::Taken | Takes::NotBuilt => Message::new("server-passkey-not-built"),
    })
}
