//! HTTPS: with certificates from outside, or from an authority of the shop's own.

use crate::config::{Config, Tls, own_address};
use rcgen::{
    BasicConstraints, CertificateParams, DnType, ExtendedKeyUsagePurpose, IsCa, Issuer, KeyPair,
    KeyUsagePurpose,
};
use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject as _;
use rustls::pki_types::{CertificateDer, PrivateKeyDer, PrivatePkcs8KeyDer};
use rustls::server::{ClientHello, ResolvesServerCert};
use rustls::sign::CertifiedKey;
use std::net::IpAddr;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};
use time::{Duration, OffsetDateTime};

/// How long the shop's authority holds, in days: ten years, so that phones are asked to trust it once.
const AUTHORITY_DAYS: i64 = 3650;
/// How long a certificate by it holds, in days. Phones refuse longer ones (Apple: 398 days for roots that ship, 825 for
/// those a user adds).
const LEAF_DAYS: i64 = 200;

/// Why HTTPS cannot be set up.
#[derive(Debug, thiserror::Error)]
#[error("{what}: {why}")]
pub struct Fault {
    what: String,
    why: String,
}

impl Fault {
    fn at(path: &Path) -> impl Fn(std::io::Error) -> Self + '_ {
        move |why| Self { what: path.display().to_string(), why: why.to_string() }
    }

    fn of<E: ToString>(what: &str) -> impl Fn(E) -> Self + '_ {
        move |why| Self { what: what.to_owned(), why: why.to_string() }
    }
}

/// HTTPS, set up.
pub struct Set {
    /// What connections are accepted with.
    pub server: Arc<ServerConfig>,
    /// The authority's certificate, PEM, where it is the shop's own.
    pub authority: Option<String>,
    /// Makes certificates anew before they run out.
    pub own: Option<Arc<Own>>,
}

/// Makes the one TLS provider of this program known. To be called once, at the start.
pub fn install_provider() {
    // A second call finds it installed, which is as good.
    let _ = rustls::crypto::ring::default_provider().install_default();
}

/// Returns HTTPS as the settings want it; nothing where they want none.
///
/// # Errors
/// [`Fault`] where a file cannot be read or written, or a certificate cannot be used.
pub fn set_up(config: &Config) -> Result<Option<Set>, Fault> {
    let builder = || ServerConfig::builder().with_no_client_auth();
    let finish = |mut server: ServerConfig| {
        server.alpn_protocols = vec![b"h2".to_vec(), b"http/1.1".to_vec()];
        Arc::new(server)
    };
    match &config.tls {
        Tls::Off => Ok(None),
        Tls::Files { certificate, key } => {
            let chain = CertificateDer::pem_file_iter(certificate)
                .and_then(Iterator::collect)
                .map_err(|why| Fault { what: certificate.display().to_string(), why: why.to_string() })?;
            let private = PrivateKeyDer::from_pem_file(key)
                .map_err(|why| Fault { what: key.display().to_string(), why: why.to_string() })?;
            let server = builder()
                .with_single_cert(chain, private)
                .map_err(|why| Fault { what: certificate.display().to_string(), why: why.to_string() })?;
            Ok(Some(Set { server: finish(server), authority: None, own: None }))
        }
        Tls::Own { names } => {
            let own = Arc::new(Own::open(&config.data.join("tls"), all_names(config, names))?);
            let server = builder().with_cert_resolver(own.clone());
            Ok(Some(Set { server: finish(server), authority: Some(own.authority.clone()), own: Some(own) }))
        }
    }
}

/// Returns every name and address that the certificate is for.
fn all_names(config: &Config, given: &[String]) -> Vec<String> {
    let mut names = vec!["localhost".to_owned(), "127.0.0.1".to_owned(), "::1".to_owned()];
    let host = std::fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_default();
    let host = host.trim();
    if !host.is_empty()
        && host != "localhost"
        && host.bytes().all(|b| b.is_ascii_alphanumeric() || b"-.".contains(&b))
    {
        names.push(host.to_owned());
        if !host.contains('.') {
            names.push(format!("{host}.local"));
        }
    }
    let listen = config.listen.ip();
    let address = if listen.is_unspecified() { own_address() } else { Some(listen) };
    names.extend(address.map(|ip: IpAddr| ip.to_string()));
    let public = config.public_url.split("://").nth(1).unwrap_or_default();
    let public = public.split('/').next().unwrap_or_default();
    let host = match public.rsplit_once(':') {
        Some((host, port)) if port.bytes().all(|b| b.is_ascii_digit()) => host,
        _ => public,
    };
    names.push(host.trim_matches(&['[', ']'][..]).to_owned());
    names.extend(given.iter().cloned());
    names.retain(|name| !name.is_empty());
    let mut once = Vec::new();
    for name in names {
        if !once.contains(&name) {
            once.push(name);
        }
    }
    once
}

/// The shop's own authority, and the certificate that it made last.
#[derive(Debug)]
pub struct Own {
    authority: String,
    authority_key: PathBuf,
    names: Vec<String>,
    current: RwLock<Arc<CertifiedKey>>,
}

impl Own {
    /// Opens the authority in a folder, or makes one there, and makes a certificate for these names.
    ///
    /// # Errors
    /// [`Fault`].
    pub fn open(folder: &Path, names: Vec<String>) -> Result<Self, Fault> {
        std::fs::create_dir_all(folder).map_err(Fault::at(folder))?;
        let (pem, key) = (folder.join("authority.crt"), folder.join("authority.key"));
        if !pem.exists() || !key.exists() {
            make_authority(&pem, &key)?;
        }
        let authority = std::fs::read_to_string(&pem).map_err(Fault::at(&pem))?;
        let first = issue(&authority, &key, &names)?;
        Ok(Self { authority, authority_key: key, names, current: RwLock::new(Arc::new(first)) })
    }

    /// Makes the certificate anew.
    ///
    /// # Errors
    /// [`Fault`]; the one there is stays.
    pub fn renew(&self) -> Result<(), Fault> {
        let new = issue(&self.authority, &self.authority_key, &self.names)?;
        *self.current.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(new);
        Ok(())
    }

    /// Returns the names and addresses that the certificate is for.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }
}

impl ResolvesServerCert for Own {
    fn resolve(&self, _: ClientHello<'_>) -> Option<Arc<CertifiedKey>> {
        Some(self.current.read().unwrap_or_else(PoisonError::into_inner).clone())
    }
}

fn validity(params: &mut CertificateParams, days: i64) {
    let now = OffsetDateTime::now_utc();
    // A phone whose clock is a day behind is let in.
    params.not_before = now.saturating_sub(Duration::days(1));
    params.not_after = now.saturating_add(Duration::days(days));
}

fn make_authority(pem: &Path, key: &Path) -> Result<(), Fault> {
    let fault = Fault::of::<rcgen::Error>("the shop's authority cannot be made");
    let pair = KeyPair::generate().map_err(&fault)?;
    let mut params = CertificateParams::new(Vec::new()).map_err(&fault)?;
    // It signs certificates of servers and no further authority.
    params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
    params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
    params.distinguished_name.push(DnType::CommonName, "gastight: this shop's own authority");
    validity(&mut params, AUTHORITY_DAYS);
    let certificate = params.self_signed(&pair).map_err(&fault)?;
    write_private(key, &pair.serialize_pem())?;
    std::fs::write(pem, certificate.pem()).map_err(Fault::at(pem))
}

/// Writes a file that only its owner can read.
fn write_private(path: &Path, text: &str) -> Result<(), Fault> {
    use std::io::Write as _;
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(path).map_err(Fault::at(path))?;
    file.write_all(text.as_bytes()).map_err(Fault::at(path))
}

fn issue(authority: &str, key: &Path, names: &[String]) -> Result<CertifiedKey, Fault> {
    let fault = Fault::of::<rcgen::Error>("a certificate by the shop's authority cannot be made");
    let text = std::fs::read_to_string(key).map_err(Fault::at(key))?;
    let issuer =
        Issuer::from_ca_cert_pem(authority, KeyPair::from_pem(&text).map_err(&fault)?).map_err(&fault)?;
    let pair = KeyPair::generate().map_err(&fault)?;
    let mut params = CertificateParams::new(names).map_err(&fault)?;
    params.distinguished_name.push(DnType::CommonName, "gastight server");
    params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
    params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
    params.use_authority_key_identifier_extension = true;
    validity(&mut params, LEAF_DAYS);
    let leaf = params.signed_by(&pair, &issuer).map_err(&fault)?;
    let top = CertificateDer::from_pem_slice(authority.as_bytes())
        .map_err(Fault::of("the authority's certificate"))?;
    let key = PrivateKeyDer::Pkcs8(PrivatePkcs8KeyDer::from(pair.serialize_der()));
    let signing =
        rustls::crypto::ring::sign::any_supported_type(&key).map_err(Fault::of("the server's key"))?;
    Ok(CertifiedKey::new(vec![leaf.der().clone(), top], signing))
}
