//! What a customer chose, signed, and bound to what was shown.

use record::{Body, Entry, SignedResult, sha256};
use serde_json::json;

/// How a choice was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// By name, standing there.
    Named,
    /// By a drawn signature, kept as a picture of this SHA-256 in hexadecimal.
    Drawn {
        /// The SHA-256 of the picture.
        sha256: String,
    },
    /// By telephone: the name and the time stand for the signature.
    ByPhone,
    /// In writing.
    InWriting,
}

impl How {
    const fn word(&self) -> &'static str {
        match self {
            How::Named => "named",
            How::Drawn { .. } => "drawn",
            How::ByPhone => "by_phone",
            How::InWriting => "in_writing",
        }
    }
}

/// The kind of result that the signature under a choice is.
pub const SIGNED_CHOICE: &str = "choice";

/// Returns the signed result of a choice: a frozen copy of it with its time, bound to the SHA-256 of exactly the text
/// that was shown; nothing for an entry that is no choice, or a signer without a name.
///
/// Data and tables are built into the program and bear its version.
#[must_use]
pub fn sign(choice: &Entry, shown: &str, by: &str, how: &How) -> Option<SignedResult> {
    let Body::Choice(chosen) = choice.what() else { return None };
    let by = by.trim();
    if by.is_empty() {
        return None;
    }
    let mut result = json!({ "choice": chosen, "signed": how.word() });
    if let Some(at) = &choice.seen.at {
        result["at"] = json!(at);
    }
    if let How::Drawn { sha256 } = how {
        result["drawing_sha256"] = json!(sha256);
    }
    let program = env!("CARGO_PKG_VERSION").to_owned();
    Some(SignedResult {
        of: SIGNED_CHOICE.to_owned(),
        result,
        inputs: vec![choice.stands_by],
        program: program.clone(),
        data: program.clone(),
        tables: program,
        signed_by: by.to_owned(),
        shown_sha256: Some(sha256(shown.as_bytes())),
    })
}

/// Returns whether a text is exactly what was shown when a result was signed; nothing where the signature does not say.
#[must_use]
pub fn was_shown(signed: &SignedResult, text: &str) -> Option<bool> {
    signed.shown_sha256.as_ref().map(|shown| shown.eq_ignore_ascii_case(&sha256(text.as_bytes())))
}
