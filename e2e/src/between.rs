//! What lies between phone and shop: a line that the test holds in its hand.

use crate::Outcome;
use std::sync::Arc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::{TcpListener, TcpStream};

/// A line from a port of its own to the shop. It can lose the answer to a piece of a picture, and it can hand out the
/// site as if it were a newer one.
pub struct Between {
    port: u16,
    held: Arc<Held>,
    listening: tokio::task::JoinHandle<()>,
}

struct Held {
    shop: u16,
    newer: AtomicBool,
    lose_in: AtomicI64,
    offsets: Mutex<Vec<u64>>,
}

/// What the newer site calls itself on its page.
pub const NEWER: &str = "<meta name=\"e2e-version\" content=\"newer\">";

impl Between {
    /// Lays a line to the shop's port.
    ///
    /// # Errors
    /// No port is free.
    pub async fn open(shop: u16) -> Outcome<Self> {
        let listener = TcpListener::bind(("127.0.0.1", 0)).await.map_err(|e| e.to_string())?;
        let port = listener.local_addr().map_err(|e| e.to_string())?.port();
        let held = Arc::new(Held {
            shop,
            newer: AtomicBool::new(false),
            lose_in: AtomicI64::new(i64::MAX),
            offsets: Mutex::default(),
        });
        let theirs = Arc::clone(&held);
        let listening = tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                let held = Arc::clone(&theirs);
                // A connection that breaks is the browser's matter: it asks again.
                tokio::spawn(async move { pass(stream, &held).await.ok() });
            }
        });
        Ok(Self { port, held, listening })
    }

    /// Returns the address that a browser opens.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// From now on the site is another version: its page says so, and its service worker is not the same.
    pub fn bring_newer(&self) {
        self.held.newer.store(true, Ordering::SeqCst);
    }

    /// The shop takes `pieces` more pieces of pictures; the answer to the last of them is lost on the way.
    pub fn lose_answer_to_piece(&self, pieces: i64) {
        self.held.lose_in.store(pieces, Ordering::SeqCst);
    }

    /// Returns where each piece of a picture began that came this way, in their order.
    #[must_use]
    pub fn pieces(&self) -> Vec<u64> {
        self.held.offsets.lock().map(|offsets| offsets.clone()).unwrap_or_default()
    }
}

impl Drop for Between {
    fn drop(&mut self) {
        self.listening.abort();
    }
}

/// Passes one request on and its answer back; every connection serves once.
async fn pass(mut phone: TcpStream, held: &Held) -> std::io::Result<()> {
    let mut asked = Vec::new();
    let end = loop {
        if let Some(end) = end_of_head(&asked) {
            break end;
        }
        if phone.read_buf(&mut asked).await? == 0 {
            return Ok(());
        }
    };
    let head = String::from_utf8_lossy(&asked[..end]).into_owned();
    let length = header(&head, "content-length").and_then(|text| text.parse().ok()).unwrap_or(0);
    while asked.len() < end + length {
        if phone.read_buf(&mut asked).await? == 0 {
            return Ok(());
        }
    }
    let first = head.lines().next().unwrap_or_default();
    let path = first.split(' ').nth(1).unwrap_or_default();
    let is_piece = first.starts_with("PATCH ") && path.contains("/blob/");
    if is_piece {
        let offset = header(&head, "upload-offset").and_then(|text| text.parse().ok()).unwrap_or(0);
        if let Ok(mut offsets) = held.offsets.lock() {
            offsets.push(offset);
        }
    }
    let changes = held.newer.load(Ordering::SeqCst) && matches!(path, "/" | "/sw.js");
    let mut passed = String::new();
    for line in head.lines().filter(|line| !line.is_empty()) {
        let name = line.split(':').next().unwrap_or_default().to_ascii_lowercase();
        let drop = name == "connection" || changes && (name == "accept-encoding" || name == "if-none-match");
        if !drop {
            passed.push_str(line);
            passed.push_str("\r\n");
        }
    }
    passed.push_str("Connection: close\r\n\r\n");
    let mut shop = TcpStream::connect(("127.0.0.1", held.shop)).await?;
    shop.write_all(passed.as_bytes()).await?;
    shop.write_all(&asked[end..]).await?;
    let mut answer = Vec::new();
    shop.read_to_end(&mut answer).await?;
    if is_piece && held.lose_in.fetch_sub(1, Ordering::SeqCst) == 1 {
        return Ok(());
    }
    if changes {
        answer = newer(&answer, path);
    }
    phone.write_all(&answer).await?;
    phone.shutdown().await
}

/// Returns an answer as a newer site would give it.
fn newer(answer: &[u8], path: &str) -> Vec<u8> {
    let Some(end) = end_of_head(answer) else { return answer.to_vec() };
    let head = String::from_utf8_lossy(&answer[..end]).into_owned();
    let body = String::from_utf8_lossy(&answer[end..]).into_owned();
    let body = match path {
        "/" => body.replacen("<head>", &format!("<head>{NEWER}"), 1),
        _ => body.replacen("const VERSION = \"", "const VERSION = \"newer-", 1),
    };
    let mut out = String::new();
    for line in head.lines().filter(|line| !line.is_empty()) {
        let name = line.split(':').next().unwrap_or_default().to_ascii_lowercase();
        if !matches!(name.as_str(), "content-length" | "etag") {
            out.push_str(line);
            out.push_str("\r\n");
        }
    }
    format!("{out}content-length: {}\r\n\r\n{body}", body.len()).into_bytes()
}

fn end_of_head(bytes: &[u8]) -> Option<usize> {
    bytes.windows(4).position(|four| four == b"\r\n\r\n").map(|at| at + 4)
}

fn header<'a>(head: &'a str, name: &str) -> Option<&'a str> {
    head.lines().find_map(|line| {
        let (key, value) = line.split_once(':')?;
        key.eq_ignore_ascii_case(name).then(|| value.trim())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_site_has_another_page_and_another_worker() {
        let page = b"HTTP/1.1 200 OK\r\netag: x\r\ncontent-length: 13\r\n\r\n<head></head>";
        let text = String::from_utf8_lossy(&newer(page, "/")).into_owned();
        assert!(text.ends_with(&format!("<head>{NEWER}</head>")), "{text}");
        assert!(!text.contains("etag"));
        let worker = b"HTTP/1.1 200 OK\r\n\r\nconst VERSION = \"ab\";";
        assert!(String::from_utf8_lossy(&newer(worker, "/sw.js")).ends_with("\"newer-ab\";"));
    }
}
