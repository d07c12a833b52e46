//! A server in this process, its people, and a client that speaks plain HTTP.

#![allow(dead_code)]

use serde_json::{Value, json};
use server::config::{Config, Given};
use server::serve::{Listeners, serve};
use server::shop::{Shop, now};
use server::{secret, tls};
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;
use store::{Device, Opening, Person, Role, Session, Store};
use uuid::Uuid;

/// A folder that is gone with the test.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        let place = std::env::temp_dir().join(format!("gastight-server-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&place);
        std::fs::create_dir_all(&place).unwrap();
        Folder(place)
    }

    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A running server.
pub struct Running {
    pub address: SocketAddr,
    pub store: Arc<dyn Store>,
    end: Option<tokio::sync::oneshot::Sender<()>>,
    thread: Option<std::thread::JoinHandle<()>>,
}

/// Opens the store of a folder.
pub fn open(folder: &Path) -> Arc<dyn Store> {
    let opening = Opening { epoch: secret::id(now()).unwrap(), now: now(), durable: false };
    store::open(folder, None, &opening).unwrap()
}

/// Returns settings with these flags.
pub fn config(folder: &Path, flags: &[(&str, &str)]) -> Config {
    let find = |name: &str| match name {
        "data" => Some(vec![folder.display().to_string()]),
        "listen" => Some(vec!["127.0.0.1:0".to_owned()]),
        _ => flags.iter().find(|(key, _)| *key == name).map(|(_, value)| vec![(*value).to_owned()]),
    };
    let given = Given::collect(|key| find(key.name), |_| None, None).unwrap();
    Config::read(&given).unwrap()
}

impl Running {
    pub fn start(folder: &Path, flags: &[(&str, &str)]) -> Self {
        let store = open(folder);
        let config = config(folder, flags);
        tls::install_provider();
        let set = tls::set_up(&config).unwrap();
        let authority = set.as_ref().and_then(|set| set.authority.clone());
        let shop = Arc::new(Shop::new(store.clone(), &config, authority));
        let (end, ended) = tokio::sync::oneshot::channel::<()>();
        let (told, tell) = std::sync::mpsc::channel();
        let thread = std::thread::spawn(move || {
            let runtime =
                tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().unwrap();
            runtime.block_on(async {
                let listeners = Listeners::open(&config).await.unwrap();
                told.send(listeners.main.local_addr().unwrap()).unwrap();
                serve(shop, listeners, set, async {
                    let _ = ended.await;
                })
                .await;
            });
        });
        let address = tell.recv_timeout(Duration::from_secs(20)).unwrap();
        Running { address, store, end: Some(end), thread: Some(thread) }
    }

    /// Ends it in order.
    pub fn end(mut self) {
        self.finish();
    }

    fn finish(&mut self) {
        if let Some(end) = self.end.take() {
            let _ = end.send(());
        }
        if let Some(thread) = self.thread.take() {
            thread.join().unwrap();
        }
    }

    pub fn person(&self, name: &str, role: Role, password: Option<&str>) -> Uuid {
        let id = secret::id(now()).unwrap();
        let password = password.map(|password| secret::hash_password(password).unwrap());
        let person = Person { id, name: name.to_owned(), role, password, active: true, created: now() };
        self.store.put_person(&person).unwrap();
        id
    }

    /// Returns the token of a new device of a person, and its id.
    pub fn device(&self, person: Uuid, name: &str) -> (String, Uuid) {
        let (id, token) = (secret::id(now()).unwrap(), secret::token().unwrap());
        let device = Device {
            id,
            person,
            name: name.to_owned(),
            token: secret::hash(&token),
            created: now(),
            seen: None,
            revoked: None,
        };
        self.store.put_device(&device).unwrap();
        (token, id)
    }

    /// Returns the token of a new session of a person.
    pub fn session(&self, person: Uuid, lasts_ms: i64) -> String {
        let token = secret::token().unwrap();
        let session =
            Session { token: secret::hash(&token), person, created: now(), expires: now() + lasts_ms };
        self.store.put_session(&session).unwrap();
        token
    }

    pub fn ask(&self, method: &str, path: &str) -> Ask<'_> {
        Ask {
            address: self.address,
            method: method.to_owned(),
            path: path.to_owned(),
            headers: Vec::new(),
            body: Vec::new(),
            of: self,
        }
    }

    pub fn get(&self, path: &str, token: &str) -> Answer {
        self.ask("GET", path).token(token).send()
    }

    pub fn post(&self, path: &str, token: &str, body: &Value) -> Answer {
        self.ask("POST", path).token(token).json(body).send()
    }

    /// Waits until no summary is stale.
    pub fn settle(&self) {
        for _ in 0..400 {
            if self.store.counts().unwrap().stale_jobs == 0 {
                return;
            }
            std::thread::sleep(Duration::from_millis(25));
        }
        panic!("summaries stay stale");
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.finish();
    }
}

/// A request that is put together.
#[derive(Clone)]
pub struct Ask<'a> {
    address: SocketAddr,
    method: String,
    path: String,
    headers: Vec<(String, String)>,
    body: Vec<u8>,
    of: &'a Running,
}

impl Ask<'_> {
    pub fn header(mut self, name: &str, value: &str) -> Self {
        self.headers.push((name.to_owned(), value.to_owned()));
        self
    }

    pub fn token(self, token: &str) -> Self {
        self.header("Authorization", &format!("Bearer {token}"))
    }

    pub fn json(self, body: &Value) -> Self {
        self.header("Content-Type", "application/json").body(body.to_string().into_bytes())
    }

    pub fn body(mut self, body: impl Into<Vec<u8>>) -> Self {
        self.body = body.into();
        self
    }

    pub fn send(self) -> Answer {
        let mut stream = TcpStream::connect(self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        let mut head = format!(
            "{} {} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n",
            self.method, self.path, self.address
        );
        for (name, value) in &self.headers {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        let told = self.headers.iter().any(|(name, _)| name.eq_ignore_ascii_case("content-length"));
        if !told && !self.body.is_empty() {
            head.push_str(&format!("Content-Length: {}\r\n", self.body.len()));
        }
        head.push_str("\r\n");
        // A server that answers before it has read all may close: what it said counts.
        let _ = stream.write_all(head.as_bytes()).and_then(|()| stream.write_all(&self.body));
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        Answer::read(&bytes)
    }
}

/// What a server answered.
#[derive(Debug)]
pub struct Answer {
    pub status: u16,
    pub headers: Vec<(String, String)>,
    pub body: Vec<u8>,
}

impl Answer {
    pub fn read(bytes: &[u8]) -> Self {
        let end = bytes.windows(4).position(|four| four == b"\r\n\r\n").unwrap_or_else(|| {
            panic!("no answer: {}", String::from_utf8_lossy(&bytes[..bytes.len().min(80)]))
        });
        let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let mut lines = head.split("\r\n");
        let status = lines.next().unwrap().split(' ').nth(1).unwrap().parse().unwrap();
        let headers: Vec<(String, String)> = lines
            .filter_map(|line| line.split_once(':'))
            .map(|(name, value)| (name.to_ascii_lowercase(), value.trim().to_owned()))
            .collect();
        let mut body = bytes[end + 4..].to_vec();
        if headers.iter().any(|(name, value)| name == "transfer-encoding" && value == "chunked") {
            body = unchunked(&body);
        }
        Answer { status, headers, body }
    }

    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    pub fn text(&self) -> String {
        String::from_utf8(self.body.clone()).unwrap()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&self.body)))
    }

    /// Checks that it is a problem of this status and returns it.
    pub fn problem(&self, status: u16) -> Value {
        assert_eq!(self.status, status, "{}", String::from_utf8_lossy(&self.body));
        assert_eq!(self.header("content-type"), Some("application/problem+json"));
        let problem = self.json();
        assert_eq!(problem["status"], json!(status));
        assert!(problem["title"].as_str().is_some_and(|title| !title.is_empty()), "{problem}");
        problem
    }
}

fn unchunked(mut bytes: &[u8]) -> Vec<u8> {
    let mut all = Vec::new();
    while let Some(end) = bytes.windows(2).position(|two| two == b"\r\n") {
        let size = usize::from_str_radix(std::str::from_utf8(&bytes[..end]).unwrap().trim(), 16).unwrap();
        if size == 0 {
            break;
        }
        all.extend_from_slice(&bytes[end + 2..end + 2 + size]);
        bytes = &bytes[end + 4 + size..];
    }
    all
}

/// Returns a note as an event of a job.
pub fn note(event: u128, job: u128, text: &str) -> Value {
    body(event, job, json!({ "what": { "type": "note", "text": text } }))
}

/// Returns an observation as an event of a job.
pub fn body(event: u128, job: u128, body: Value) -> Value {
    json!({
        "id": Uuid::from_u128(event), "job": Uuid::from_u128(job), "kind": "observation",
        "by": "technician A", "device": "phone 1",
        "stamp": { "ms": 1_935_817_800_000_i64 + event as i64, "n": 0 }, "body": body,
    })
}

/// Returns a request of sync.
pub fn push(cursor: u64, events: &[Value]) -> Value {
    json!({ "device": "phone 1", "cursor": cursor, "events": events })
}
