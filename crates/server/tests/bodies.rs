//! Bodies that should not be taken, and paths that lead nowhere.

#![allow(clippy::unwrap_used)]

mod shop;

use serde_json::json;
use shop::{Answer, Folder, Running, note, push};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};
use store::Role;

fn a_phone(folder: &Folder) -> (Running, String) {
    let running = Running::start(folder.path(), &[("login-per-minute", "100000")]);
    let person = running.person("technician A", Role::Technician, None);
    let token = running.device(person, "phone 1").0;
    (running, token)
}

fn sync(running: &Running, token: &str, body: impl Into<Vec<u8>>) -> Answer {
    running
        .ask("POST", "/api/v1/sync")
        .token(token)
        .header("Content-Type", "application/json")
        .body(body)
        .send()
}

#[test]
fn bodies_that_cannot_be_read_are_refused_with_one_clear_sentence() {
    let folder = Folder::new("bodies");
    let (running, token) = a_phone(&folder);
    let deep =
        format!("{{\"device\":\"p\",\"cursor\":0,\"events\":{}{}}}", "[".repeat(5_000), "]".repeat(5_000));
    let said = |answer: &Answer, status: u16, words: &str| {
        let problem = answer.problem(status);
        let detail = problem["detail"].as_str().unwrap_or_default();
        assert!(detail.contains(words), "{problem}");
    };
    said(&sync(&running, &token, deep), 400, "levels deep");
    said(
        &sync(&running, &token, r#"{"device":"p","cursor":0,"cursor":1,"events":[]}"#),
        400,
        "\"cursor\" stands twice",
    );
    let inner = r#"{"device":"p","cursor":0,"events":[{"id":"a","body":{"x":1,"x":2}}]}"#;
    said(&sync(&running, &token, inner), 400, "\"x\" stands twice");
    said(&sync(&running, &token, r#"{"device":"p","cursor":"0","events":[]}"#), 400, "expected u64");
    said(&sync(&running, &token, r#"{"device":"p","cursor":-1,"events":[]}"#), 400, "u64");
    said(&sync(&running, &token, r#"["p",0,null,[]]"#), 400, "object");
    said(
        &sync(&running, &token, b"{\"device\":\"\xff\xfe\",\"cursor\":0,\"events\":[]}".to_vec()),
        400,
        "utf-8",
    );
    said(&sync(&running, &token, "{\"device\":"), 400, "EOF");
    said(&sync(&running, &token, ""), 400, "EOF");
    let bad = json!({ "device": "p", "cursor": 0, "events": [{ "id": "no id" }] });
    said(&sync(&running, &token, bad.to_string()), 422, "number 1");
    let many: Vec<_> = (0..201).map(|n| note(n, 1, "x")).collect();
    said(&sync(&running, &token, push(0, &many).to_string()), 400, "at most 200");
    let typed = running
        .ask("POST", "/api/v1/sync")
        .token(&token)
        .header("Content-Type", "text/plain")
        .body("{}")
        .send();
    said(&typed, 415, "application/json");
    assert_eq!(running.store.counts().unwrap().events, 0);
}

#[test]
fn compressed_bodies_are_refused_unread() {
    let folder = Folder::new("bomb");
    let (running, token) = a_phone(&folder);
    for coding in ["gzip", "br", "deflate", "zstd"] {
        let ask =
            running.ask("POST", "/api/v1/sync").token(&token).header("Content-Type", "application/json");
        // The head of a gzip file that would unpack to anything.
        let answer = ask.header("Content-Encoding", coding).body(vec![0x1f, 0x8b, 8, 0, 0, 0, 0, 0]).send();
        answer.problem(415);
    }
}

#[test]
fn bodies_that_are_too_large_are_refused_by_what_they_say_and_by_what_they_are() {
    let folder = Folder::new("large");
    let (running, token) = a_phone(&folder);
    // What it says: nothing of it is waited for.
    let ask = running.ask("POST", "/api/v1/sync").token(&token).header("Content-Type", "application/json");
    ask.header("Content-Length", "99999999999").body("{").send().problem(413);
    // What it is: sent in pieces without saying how much.
    let mut stream = TcpStream::connect(running.address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let head = format!(
        "POST /api/v1/login HTTP/1.1\r\nHost: x\r\nConnection: close\r\nContent-Type: application/json\r\nAuthorization: Bearer {token}\r\nTransfer-Encoding: chunked\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).unwrap();
    let piece = format!("4000\r\n{}\r\n", "a".repeat(0x4000));
    for _ in 0..5 {
        if stream.write_all(piece.as_bytes()).is_err() {
            break;
        }
    }
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    Answer::read(&bytes).problem(413);
    let sha = "a".repeat(64);
    let piece =
        running.ask("PATCH", &format!("/api/v1/blob/{sha}")).token(&token).header("Upload-Offset", "0");
    let piece = piece.header("Content-Type", "application/octet-stream").body(vec![7; 256 * 1024 + 1]);
    piece.send().problem(413);
}

#[test]
fn who_is_not_let_in_is_told_before_a_body_comes() {
    let folder = Folder::new("before");
    let (running, _) = a_phone(&folder);
    let mut stream = TcpStream::connect(running.address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    let began = Instant::now();
    // A body is promised and never sent.
    let head = "POST /api/v1/sync HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n";
    stream.write_all(head.as_bytes()).unwrap();
    let mut first = [0; 12];
    stream.read_exact(&mut first).unwrap();
    assert_eq!(&first, b"HTTP/1.1 401");
    assert!(began.elapsed() < Duration::from_secs(10));
}

#[test]
fn a_picture_is_named_by_its_hash_and_by_nothing_else() {
    let folder = Folder::new("paths");
    let (running, token) = a_phone(&folder);
    std::fs::write(folder.path().join("secret.txt"), "hush").unwrap();
    let long = "a".repeat(65);
    let large = "A".repeat(64);
    for name in [
        "..%2Fsecret.txt",
        "..%2f..%2fsecret.txt",
        "%2Fetc%2Fpasswd",
        ".",
        "abc",
        long.as_str(),
        large.as_str(),
        "..%00",
    ] {
        for method in ["GET", "HEAD", "PATCH"] {
            let ask = running
                .ask(method, &format!("/api/v1/blob/{name}"))
                .token(&token)
                .header("Upload-Offset", "0");
            let ask = ask.header("Content-Type", "application/octet-stream");
            let answer = if method == "PATCH" { ask.body("x").send() } else { ask.send() };
            assert!(matches!(answer.status, 400 | 404 | 405), "{method} {name}: {}", answer.status);
            assert!(!String::from_utf8_lossy(&answer.body).contains("hush"));
        }
    }
    for path in [
        "/../secret.txt",
        "/..%2fsecret.txt",
        "/app/../../secret.txt",
        "//etc/passwd.txt",
        "/%2e%2e/secret.txt",
    ] {
        let answer = running.ask("GET", path).send();
        assert!(matches!(answer.status, 400 | 404), "{path}: {}", answer.status);
    }
}

#[test]
fn a_picture_comes_in_pieces_and_only_whole_and_right() {
    let folder = Folder::new("pieces");
    let (running, token) = a_phone(&folder);
    let mut bytes = vec![0xff, 0xd8, 0xff, 0xe0];
    bytes.extend((0..300_000u32).map(|n| (n % 251) as u8));
    let sha = record::sha256(&bytes);
    let path = format!("/api/v1/blob/{sha}");
    let bring = |at: usize, end: usize, last: bool| {
        let ask =
            running.ask("PATCH", &path).token(&token).header("Content-Type", "application/octet-stream");
        let ask = ask
            .header("Upload-Offset", &at.to_string())
            .header("Upload-Complete", if last { "?1" } else { "?0" });
        ask.body(&bytes[at..end]).send()
    };
    let head = running.ask("HEAD", &path).token(&token).send();
    assert_eq!((head.header("upload-offset"), head.header("upload-complete")), (Some("0"), Some("?0")));
    assert!(head.body.is_empty());
    running.get(&path, &token).problem(404);
    assert_eq!(bring(0, 200_000, false).header("upload-offset"), Some("200000"));
    // The answer was lost: the same again changes nothing; one that leaves a gap is told where to go on.
    assert_eq!(bring(0, 200_000, false).header("upload-offset"), Some("200000"));
    let gap = bring(250_000, 260_000, false);
    assert_eq!((gap.status, gap.header("upload-offset")), (409, Some("200000")));
    let last = bring(200_000, bytes.len(), true);
    assert_eq!((last.status, last.header("upload-complete")), (200, Some("?1")));
    let got = running.get(&path, &token);
    assert_eq!((got.status, got.header("content-type")), (200, Some("image/jpeg")));
    assert_eq!(got.body, bytes);
    // Another's bytes under a name are not kept, and are no page of ours.
    let other = format!("/api/v1/blob/{}", record::sha256(b"another"));
    let wrong = running.ask("PATCH", &other).token(&token).header("Content-Type", "application/octet-stream");
    let wrong = wrong
        .header("Upload-Offset", "0")
        .header("Upload-Complete", "?1")
        .body("<script>alert(1)</script>")
        .send();
    wrong.problem(422);
    running.get(&other, &token).problem(404);
    let page = b"<html><script>alert(1)</script>";
    let path = format!("/api/v1/blob/{}", record::sha256(page));
    let ask = running.ask("PATCH", &path).token(&token).header("Content-Type", "application/octet-stream");
    ask.header("Upload-Offset", "0").header("Upload-Complete", "?1").body(&page[..]).send();
    let got = running.get(&path, &token);
    assert_eq!(got.header("content-type"), Some("application/octet-stream"));
    assert_eq!(got.header("content-disposition"), Some("attachment"));
    assert_eq!(got.header("x-content-type-options"), Some("nosniff"));
}
