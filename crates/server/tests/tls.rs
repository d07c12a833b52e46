//! HTTPS with the shop's own authority: it starts, and answers who trusts the authority and nobody else.

#![allow(clippy::unwrap_used)]

mod shop;

use rustls::pki_types::pem::PemObject as _;
use rustls::pki_types::{CertificateDer, ServerName};
use rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};
use shop::{Answer, Folder, Running};
use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::sync::Arc;
use std::time::Duration;

fn ask(address: SocketAddr, roots: RootCertStore, name: &'static str, path: &str) -> std::io::Result<Answer> {
    let config = ClientConfig::builder().with_root_certificates(roots).with_no_client_auth();
    let name = ServerName::try_from(name).unwrap();
    let connection = ClientConnection::new(Arc::new(config), name).map_err(std::io::Error::other)?;
    let stream = TcpStream::connect(address)?;
    stream.set_read_timeout(Some(Duration::from_secs(20)))?;
    let mut stream = StreamOwned::new(connection, stream);
    stream.write_all(
        format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n").as_bytes(),
    )?;
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes)?;
    Ok(Answer::read(&bytes))
}

fn trusting(pem: &str) -> RootCertStore {
    let mut roots = RootCertStore::empty();
    roots.add(CertificateDer::from_pem_slice(pem.as_bytes()).unwrap()).unwrap();
    roots
}

#[test]
fn https_answers_who_trusts_the_shops_authority() {
    let folder = Folder::new("tls");
    let running = Running::start(folder.path(), &[("tls-self", "true"), ("tls-name", "shop.example")]);
    let pem = std::fs::read_to_string(folder.path().join("tls/authority.crt")).unwrap();
    for name in ["localhost", "127.0.0.1", "shop.example"] {
        let answer = ask(running.address, trusting(&pem), name, "/healthz").unwrap();
        assert_eq!((answer.status, answer.text().as_str()), (200, "ok\n"), "{name}");
        assert!(answer.header("strict-transport-security").is_some());
    }
    let given = ask(running.address, trusting(&pem), "localhost", "/trust").unwrap();
    assert_eq!(given.text(), pem);
    assert_eq!(given.header("content-type"), Some("application/x-x509-ca-cert"));
    assert!(!given.text().contains("PRIVATE KEY"));
    // Who does not trust it, or looks for another name, gets no connection.
    assert!(ask(running.address, RootCertStore::empty(), "localhost", "/healthz").is_err());
    assert!(ask(running.address, trusting(&pem), "elsewhere.example", "/healthz").is_err());
    running.end();
    // It is the same authority after the next start, so that phones trust it once.
    let running = Running::start(folder.path(), &[("tls-self", "true")]);
    assert_eq!(ask(running.address, trusting(&pem), "localhost", "/healthz").unwrap().status, 200);
    // Who speaks no TLS gets nothing, and the server goes on.
    let mut stream = TcpStream::connect(running.address).unwrap();
    stream.write_all(b"GET / HTTP/1.1\r\n\r\n").unwrap();
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    assert!(!bytes.starts_with(b"HTTP"));
    assert_eq!(ask(running.address, trusting(&pem), "localhost", "/healthz").unwrap().status, 200);
}

#[cfg(unix)]
#[test]
fn the_authoritys_key_is_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = Folder::new("key");
    let running = Running::start(folder.path(), &[("tls-self", "true")]);
    let key = folder.path().join("tls/authority.key");
    assert_eq!(std::fs::metadata(key).unwrap().permissions().mode() & 0o777, 0o600);
    running.end();
}
