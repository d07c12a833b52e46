//! A shop's server as a process of its own.

use crate::{Outcome, built, within};
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Duration;
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::{TcpListener, TcpStream};
use tokio::process::{Child, Command};

/// A server on loopback with a folder of its own; gone with its data when dropped.
pub struct Shop {
    program: PathBuf,
    folder: PathBuf,
    port: u16,
    host: &'static str,
    running: Option<Child>,
}

impl Shop {
    /// Starts a server with an empty store.
    ///
    /// # Errors
    /// It is not built, or does not start.
    pub async fn open(name: &str) -> Outcome<Self> {
        Self::open_as(name, "127.0.0.1").await
    }

    /// Starts a server with an empty store, which browsers reach by `host`: this machine's number, or `localhost`.
    ///
    /// # Errors
    /// As [`Shop::open`].
    pub async fn open_as(name: &str, host: &'static str) -> Outcome<Self> {
        let program = built("gastight-server")?;
        let folder = std::env::temp_dir().join(format!("gastight-e2e-{name}-{}", std::process::id()));
        // A run before this one may have left it.
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).map_err(|e| e.to_string())?;
        let port = free_port().await?;
        let mut shop = Self { program, folder, port, host, running: None };
        shop.start().await?;
        Ok(shop)
    }

    /// Returns the address that a browser opens.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}:{}", self.host, self.port)
    }

    /// Returns the port it listens on.
    #[must_use]
    pub const fn port(&self) -> u16 {
        self.port
    }

    /// Returns the folder of its data.
    #[must_use]
    pub fn data(&self) -> &Path {
        &self.folder
    }

    /// Starts it on the port it had.
    ///
    /// # Errors
    /// It does not answer within 20 s.
    pub async fn start(&mut self) -> Outcome<()> {
        if self.running.is_some() {
            return Ok(());
        }
        let log = std::fs::File::create(self.folder.join("server.log")).map_err(|e| e.to_string())?;
        let child = Command::new(&self.program)
            .arg("--data")
            .arg(&self.folder)
            .args(["--listen", &format!("127.0.0.1:{}", self.port), "--public-url", &self.url()])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(log)
            .kill_on_drop(true)
            .spawn()
            .map_err(|e| format!("{}: {e}", self.program.display()))?;
        self.running = Some(child);
        within("the server starts", 20, async {
            loop {
                if matches!(self.get("/healthz").await, Ok((200, _))) {
                    return Ok(());
                }
                tokio::time::sleep(Duration::from_millis(50)).await;
            }
        })
        .await
    }

    /// Stops it for real, as a power cut does.
    ///
    /// # Errors
    /// It could not be ended.
    pub async fn stop(&mut self) -> Outcome<()> {
        if let Some(mut child) = self.running.take() {
            child.kill().await.map_err(|e| e.to_string())?;
        }
        Ok(())
    }

    /// Runs a subcommand of the server's program on its data and returns what it printed.
    ///
    /// # Errors
    /// It failed; what it said.
    pub async fn command(&self, words: &[&str], typed: &str) -> Outcome<String> {
        let mut child = Command::new(&self.program)
            .arg("--data")
            .arg(&self.folder)
            .args(words)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .map_err(|e| e.to_string())?;
        if let Some(mut stdin) = child.stdin.take() {
            // A command that reads nothing may be gone already.
            let _ = stdin.write_all(typed.as_bytes()).await;
        }
        let output = child.wait_with_output().await.map_err(|e| e.to_string())?;
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        if output.status.success() {
            Ok(said)
        } else {
            Err(format!("{}: {said}{}", words.join(" "), String::from_utf8_lossy(&output.stderr)))
        }
    }

    /// Asks the server for a page and returns its status and body.
    ///
    /// # Errors
    /// It does not answer.
    pub async fn get(&self, path: &str) -> Outcome<(u16, String)> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).await.map_err(|e| e.to_string())?;
        let ask = format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n");
        stream.write_all(ask.as_bytes()).await.map_err(|e| e.to_string())?;
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).await.map_err(|e| e.to_string())?;
        let text = String::from_utf8_lossy(&answer).into_owned();
        let status = text
            .split(' ')
            .nth(1)
            .and_then(|code| code.parse().ok())
            .ok_or_else(|| format!("no answer: {text:.80}"))?;
        let body = text.split_once("\r\n\r\n").map_or(String::new(), |(_, body)| body.to_owned());
        Ok((status, body))
    }
}

impl Drop for Shop {
    fn drop(&mut self) {
        if let Some(mut child) = self.running.take() {
            let _ = child.start_kill();
        }
        if std::env::var_os("E2E_KEEP").is_none() {
            let _ = std::fs::remove_dir_all(&self.folder);
        }
    }
}

async fn free_port() -> Outcome<u16> {
    let listener = TcpListener::bind(("127.0.0.1", 0)).await.map_err(|e| e.to_string())?;
    listener.local_addr().map(|address| address.port()).map_err(|e| e.to_string())
}
