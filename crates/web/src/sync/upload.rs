//! Pictures on their way to the shop, in pieces, from where the last try broke off.

use super::Ended;
use crate::app::App;
use crate::net::{self, Answer, Ask, Body, NetFault, Session};
use crate::store::Store;
use record::sync::CHUNK_BYTES;

impl App {
    /// Sends every picture that waits. One that the shop does not take keeps none of the others back.
    pub(super) async fn send_pictures(self, store: &Store, session: &Session) -> Result<(), Ended> {
        let mut refused = Ok(());
        for sha256 in store.waiting_pictures().await? {
            // One that is gone was erased meanwhile.
            if let Some(picture) = store.picture(&sha256).await? {
                match send(session, &sha256, &picture.kind, &picture.bytes).await {
                    Ok(()) => {}
                    Err(NetFault::Other(words)) => {
                        refused = Err(Ended::Net(NetFault::Other(words)));
                        continue;
                    }
                    Err(fault) => return Err(fault.into()),
                }
            }
            store.picture_sent(&sha256).await?;
            self.count().await;
        }
        refused
    }
}

/// Sends one picture from where the shop has it.
async fn send(session: &Session, sha256: &str, kind: &str, bytes: &[u8]) -> Result<(), NetFault> {
    let path = format!("/blob/{sha256}");
    let token = Some(session.token.as_str());
    let ask = Ask { method: "HEAD", path: &path, token, ..Ask::default() };
    let answer = net::ask(&ask).await?;
    let mut offset = match answer.status() {
        404 => 0,
        _ => {
            answer.good().await?;
            if is_complete(&answer) {
                return Ok(());
            }
            offset_of(&answer).unwrap_or(0)
        }
    };
    loop {
        // A shop that has more than there is has something else; from the start, and the hash decides.
        if offset > bytes.len() {
            offset = 0;
        }
        let end = bytes.len().min(offset + CHUNK_BYTES);
        let whole = end == bytes.len();
        let headers = [
            ("Upload-Offset", offset.to_string()),
            ("Upload-Complete", if whole { "?1" } else { "?0" }.to_owned()),
            ("Upload-Length", bytes.len().to_string()),
            ("Upload-Type", kind.to_owned()),
        ];
        let body = Body::Bytes(&bytes[offset..end]);
        let ask = Ask { method: "PATCH", path: &path, token, headers: &headers, body };
        let answer = net::ask(&ask).await?;
        if answer.status() == 409
            && let Some(other) = offset_of(&answer).filter(|other| *other != offset)
        {
            // An earlier try got further than its answer told.
            offset = other;
            continue;
        }
        answer.good().await?;
        if whole || is_complete(&answer) {
            return Ok(());
        }
        offset = offset_of(&answer).unwrap_or(end);
    }
}

fn offset_of(answer: &Answer) -> Option<usize> {
    answer.header("Upload-Offset")?.trim().parse().ok()
}

fn is_complete(answer: &Answer) -> bool {
    answer.header("Upload-Complete").is_some_and(|text| text.trim() == "?1")
}
