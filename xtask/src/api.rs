//! The description of the server's interface, tried against a running server by schemathesis, as the owner.

use crate::steps::{Step, cargo, target_dir};
use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The version of schemathesis, from the Python package index.
const SCHEMATHESIS: &str = "schemathesis==4.32.5";
/// How many requests are made up for each operation and phase.
const EXAMPLES: &str = "40";

/// Ends the server with the test.
struct Server(Child);

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Builds the server, starts it with the invented shop and tries every operation of its description.
pub fn run() -> Result<(), String> {
    Step::new("server", 1500, cargo(["build", "--quiet", "--locked", "--package", "server"])).run()?;
    let tool = tool()?;
    let program = target_dir().join("debug").join(format!("gastight-server{}", std::env::consts::EXE_SUFFIX));
    let folder = std::env::temp_dir().join(format!("gastight-api-{}", std::process::id()));
    // A run before this one may have left it.
    let _ = std::fs::remove_dir_all(&folder);
    let outcome = with_server(&program, &folder, &tool);
    let _ = std::fs::remove_dir_all(&folder);
    outcome
}

fn with_server(program: &PathBuf, folder: &PathBuf, tool: &PathBuf) -> Result<(), String> {
    let chore = |words: &[&str]| {
        let output = Command::new(program).arg("--data").arg(folder).args(words).output();
        let output = output.map_err(|e| format!("{}: {e}", program.display()))?;
        if output.status.success() {
            Ok(String::from_utf8_lossy(&output.stdout).into_owned())
        } else {
            Err(format!("{}: {}", words.join(" "), String::from_utf8_lossy(&output.stderr)))
        }
    };
    chore(&["demo"])?;
    let free = TcpListener::bind("127.0.0.1:0").and_then(|listener| listener.local_addr());
    let address = free.map_err(|e| format!("no free port: {e}"))?;
    let mut command = Command::new(program);
    command.arg("--data").arg(folder).args(["--listen", &address.to_string(), "--log", "error"]);
    command.args(["--login-per-minute", "1000000", "--metrics-token", "a token for the metrics"]);
    let child = command.stdin(Stdio::null()).spawn().map_err(|e| format!("the server cannot start: {e}"))?;
    let _server = Server(child);
    let started = Instant::now();
    while ask(address, "GET", "/readyz", "").is_err() {
        if started.elapsed() > Duration::from_secs(30) {
            return Err("the server does not answer within 30 s".to_owned());
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    let said = chore(&["pair", "owner"])?;
    let code = said.lines().next().unwrap_or_default().trim();
    let body = serde_json::json!({ "code": code, "name": "a test" }).to_string();
    let paired: serde_json::Value = serde_json::from_str(&ask(address, "POST", "/api/v1/pair", &body)?)
        .map_err(|e| format!("pairing: {e}"))?;
    let token = paired["token"].as_str().ok_or("pairing gave no token")?;
    let mut tries = Command::new(tool);
    tries
        .args(["--config-file", "crates/server/tests/schemathesis.toml", "run"])
        .arg(format!("http://{address}/api/openapi.json"))
        .args(["--header", &format!("Authorization: Bearer {token}")])
        .args(["--max-examples", EXAMPLES, "--workers", "2", "--seed", "20261125", "--no-color"]);
    Step::new("schemathesis", 420, tries).run()?;
    // After all that it answers, and what it keeps is whole.
    ask(address, "GET", "/readyz", "")?;
    chore(&["verify"]).map(|said| print!("{said}"))
}

/// Returns schemathesis, installed into an environment of its own under the target folder.
fn tool() -> Result<PathBuf, String> {
    let place = target_dir().join("schemathesis");
    let (bin, end) = if cfg!(windows) { ("Scripts", ".exe") } else { ("bin", "") };
    let tool = place.join(bin).join(format!("schemathesis{end}"));
    if !tool.is_file() {
        let mut make = Command::new("python3");
        make.args(["-m", "venv"]).arg(&place);
        Step::new("python3 -m venv (on Debian: the package python3-venv)", 120, make).run()?;
        let mut install = Command::new(place.join(bin).join(format!("python{end}")));
        install.args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check", SCHEMATHESIS]);
        Step::new("schemathesis from the Python package index", 300, install).run()?;
    }
    std::path::absolute(tool).map_err(|e| e.to_string())
}

/// Returns the body of a good answer.
fn ask(address: SocketAddr, method: &str, path: &str, body: &str) -> Result<String, String> {
    let talk = || -> std::io::Result<String> {
        let mut stream = TcpStream::connect(address)?;
        stream.set_read_timeout(Some(Duration::from_secs(20)))?;
        let length = body.len();
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\nContent-Type: application/json\r\n\
             Content-Length: {length}\r\n\r\n{body}"
        )?;
        let mut text = String::new();
        stream.read_to_string(&mut text)?;
        Ok(text)
    };
    let text = talk().map_err(|e| format!("{path}: {e}"))?;
    match text.split_once("\r\n\r\n") {
        Some((head, body)) if head.contains(" 200 ") => Ok(body.to_owned()),
        _ => Err(format!("{path}: {}", text.lines().next().unwrap_or("no answer"))),
    }
}
