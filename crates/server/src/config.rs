//! How the server is set up: by flags, else the environment, else a file, else what holds without them.

use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::path::{Path, PathBuf};

/// A setting.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name: of the flag, in the file with `_` for `-`, in the environment as `GASTIGHT_NAME`.
    pub name: &'static str,
    /// What its value is called; empty for one that is on or off.
    pub value: &'static str,
    /// What holds where it is not given.
    pub default: Option<&'static str>,
    /// Whether several may be given, with commas between them outside the flags.
    pub many: bool,
    /// Whether it is not to be printed.
    pub secret: bool,
    /// What it does.
    pub help: &'static str,
}

const fn key(
    name: &'static str,
    value: &'static str,
    default: Option<&'static str>,
    help: &'static str,
) -> Key {
    Key { name, value, default, many: false, secret: false, help }
}

/// Every setting.
pub const KEYS: &[Key] = &[
    key("data", "DIR", None, "The folder of the data"),
    key("listen", "ADDR", Some("127.0.0.1:8470"), "The address and port to listen on"),
    Key {
        secret: true,
        ..key("postgres", "URL", None, "Keep the records in this PostgreSQL database instead of SQLite")
    },
    key("tls-cert", "FILE", None, "The certificate chain for HTTPS, PEM"),
    key("tls-key", "FILE", None, "Its private key, PEM"),
    key("tls-self", "", None, "HTTPS with a certificate authority of this shop's own, made in DATA/tls"),
    Key {
        many: true,
        ..key("tls-name", "NAME", None, "A further name or address that the shop's own certificate is for")
    },
    key(
        "trust-listen",
        "ADDR",
        None,
        "Serve the authority's certificate, and nothing else, over plain HTTP here",
    ),
    key("public-url", "URL", None, "The address by which phones reach this server"),
    key("shop", "NAME", Some("The shop"), "The name of the shop"),
    Key {
        many: true,
        ..key("trusted-proxy", "IP", None, "A reverse proxy whose X-Forwarded-For is believed")
    },
    key("login-per-minute", "N", Some("10"), "Logins and pairings that one address may try in a minute"),
    key("session-days", "N", Some("14"), "How long a browser stays logged in"),
    Key {
        secret: true,
        ..key("metrics-token", "TOKEN", None, "Serve /metrics to who sends this bearer token")
    },
    key("metrics-listen", "ADDR", None, "Serve /metrics, and nothing else, here without a token"),
    key("log", "FILTER", Some("info"), "What is logged: error, warn, info, debug, or a filter by module"),
    key("log-format", "FORMAT", Some("text"), "text or json"),
];

/// Where a value came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// A flag.
    Flag,
    /// The environment.
    Environment,
    /// The file.
    File(PathBuf),
    /// Nobody gave it.
    Default,
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Source::Flag => f.write_str("flag"),
            Source::Environment => f.write_str("environment"),
            Source::File(path) => write!(f, "file {}", path.display()),
            Source::Default => f.write_str("default"),
        }
    }
}

/// The settings as they were given, each with where it came from.
#[derive(Clone, Debug, Default)]
pub struct Given(BTreeMap<&'static str, (Vec<String>, Source)>);

/// A setting that cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// The value is not of its kind.
    #[error("{name} ({source_of}): {wrong}; seen: {seen}; wanted: {wanted}")]
    Value {
        /// The setting.
        name: &'static str,
        /// Where it came from.
        source_of: Source,
        /// What is wrong.
        wrong: String,
        /// What was given.
        seen: String,
        /// What would do.
        wanted: &'static str,
    },
    /// The file cannot be read.
    #[error("{path}: {why}")]
    File {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// Settings that do not go together, or one that is missing.
    #[error("{0}")]
    Together(&'static str),
}

impl Given {
    /// Returns the settings of flags, environment and file, in that order of rank.
    ///
    /// # Errors
    /// [`Fault::File`] where the file is no TOML or has a key that is no setting.
    pub fn collect(
        flag: impl Fn(&Key) -> Option<Vec<String>>,
        environment: impl Fn(&str) -> Option<String>,
        file: Option<&Path>,
    ) -> Result<Self, Fault> {
        let from_file = match file {
            Some(path) => read_file(path)?,
            None => BTreeMap::new(),
        };
        let mut given = BTreeMap::new();
        for key in KEYS {
            let variable = format!("GASTIGHT_{}", key.name.to_uppercase().replace('-', "_"));
            let split = |text: String| -> Vec<String> {
                if key.many {
                    text.split(',')
                        .map(|part| part.trim().to_owned())
                        .filter(|part| !part.is_empty())
                        .collect()
                } else {
                    vec![text]
                }
            };
            let found = flag(key)
                .map(|values| (values, Source::Flag))
                .or_else(|| {
                    environment(&variable)
                        .filter(|text| !text.is_empty())
                        .map(|text| (split(text), Source::Environment))
                })
                .or_else(|| {
                    let path = file.map(Path::to_owned).unwrap_or_default();
                    from_file.get(key.name).map(|values| (values.clone(), Source::File(path)))
                })
                .or_else(|| key.default.map(|text| (vec![text.to_owned()], Source::Default)));
            if let Some(found) = found {
                given.insert(key.name, found);
            }
        }
        Ok(Self(given))
    }

    fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name)?.0.first().map(String::as_str)
    }

    fn many(&self, name: &str) -> &[String] {
        self.0.get(name).map_or(&[], |(values, _)| values)
    }

    fn is_on(&self, name: &'static str) -> Result<bool, Fault> {
        match self.text(name) {
            None | Some("false" | "0" | "no") => Ok(false),
            Some("true" | "1" | "yes") => Ok(true),
            Some(_) => Err(self.fault(name, "neither on nor off", "true or false")),
        }
    }

    fn fault(&self, name: &'static str, wrong: impl ToString, wanted: &'static str) -> Fault {
        let (values, source) = self.0.get(name).cloned().unwrap_or((Vec::new(), Source::Default));
        let secret = KEYS.iter().any(|key| key.name == name && key.secret);
        let seen = if secret { "(not shown)".to_owned() } else { values.join(", ") };
        Fault::Value { name, source_of: source, wrong: wrong.to_string(), seen, wanted }
    }

    fn read<T: std::str::FromStr>(&self, name: &'static str, wanted: &'static str) -> Result<Option<T>, Fault>
    where
        T::Err: ToString,
    {
        self.text(name)
            .map(|text| text.trim().parse().map_err(|why: T::Err| self.fault(name, why.to_string(), wanted)))
            .transpose()
    }

    /// Returns every setting with its value and where it came from, as a file that could be read again.
    #[must_use]
    pub fn print(&self) -> String {
        let mut text = String::new();
        for key in KEYS {
            let name = key.name.replace('-', "_");
            let quoted = |text: &String| toml::Value::String(text.clone()).to_string();
            match self.0.get(key.name) {
                None => text.push_str(&format!("# {name} is not set\n")),
                Some((_, source)) if key.secret => {
                    text.push_str(&format!("# {name} is set and not shown  # {source}\n"));
                }
                Some((values, source)) => {
                    let value = if key.many {
                        format!("[{}]", values.iter().map(quoted).collect::<Vec<_>>().join(", "))
                    } else {
                        match values.first().map(String::as_str) {
                            Some(on @ ("true" | "false")) => on.to_owned(),
                            _ => values.first().map(quoted).unwrap_or_default(),
                        }
                    };
                    text.push_str(&format!("{name} = {value}  # {source}\n"));
                }
            }
        }
        text
    }
}

fn read_file(path: &Path) -> Result<BTreeMap<String, Vec<String>>, Fault> {
    let fault = |why: String| Fault::File { path: path.to_owned(), why };
    let text = std::fs::read_to_string(path).map_err(|e| fault(e.to_string()))?;
    let table: toml::Table = text.parse().map_err(|e: toml::de::Error| fault(e.to_string()))?;
    let mut settings = BTreeMap::new();
    for (name, value) in table {
        let Some(key) = KEYS.iter().find(|key| key.name.replace('-', "_") == name) else {
            let known: Vec<String> = KEYS.iter().map(|key| key.name.replace('-', "_")).collect();
            return Err(fault(format!("there is no setting {name}; there are {}", known.join(", "))));
        };
        let plain = |value: &toml::Value| match value {
            toml::Value::String(text) => Ok(text.clone()),
            toml::Value::Integer(number) => Ok(number.to_string()),
            toml::Value::Boolean(on) => Ok(on.to_string()),
            other => Err(fault(format!("{name} cannot be {other}"))),
        };
        let values = match &value {
            toml::Value::Array(all) if key.many => all.iter().map(plain).collect::<Result<_, _>>()?,
            one => vec![plain(one)?],
        };
        settings.insert(key.name.to_owned(), values);
    }
    Ok(settings)
}

/// How connections are protected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Tls {
    /// They are not: for this machine alone, or behind a proxy that does.
    Off,
    /// With a certificate from outside.
    Files {
        /// The chain.
        certificate: PathBuf,
        /// The key.
        key: PathBuf,
    },
    /// With an authority of the shop's own.
    Own {
        /// Further names.
        names: Vec<String>,
    },
}

/// The settings, read.
#[derive(Clone, Debug)]
pub struct Config {
    /// The folder of the data.
    pub data: PathBuf,
    /// The address to listen on.
    pub listen: SocketAddr,
    /// The PostgreSQL database.
    pub postgres: Option<String>,
    /// How connections are protected.
    pub tls: Tls,
    /// Where the authority's certificate is given out over plain HTTP.
    pub trust_listen: Option<SocketAddr>,
    /// The address by which phones reach the server.
    pub public_url: String,
    /// Whether browsers reach it by HTTPS.
    pub secure: bool,
    /// The name of the shop.
    pub shop: String,
    /// Proxies whose word on the address of a client is believed.
    pub trusted_proxies: Vec<IpAddr>,
    /// Logins and pairings a minute for one address.
    pub login_per_minute: u32,
    /// How long a session lasts, in days.
    pub session_days: u32,
    /// The token for the metrics.
    pub metrics_token: Option<String>,
    /// Where metrics are served without a token.
    pub metrics_listen: Option<SocketAddr>,
    /// The filter of the log.
    pub log: String,
    /// Whether the log is JSON.
    pub log_json: bool,
}

impl Config {
    /// Returns the settings read.
    ///
    /// # Errors
    /// [`Fault`] with the setting that cannot be used.
    pub fn read(given: &Given) -> Result<Self, Fault> {
        const ADDRESS: &str = "an address with a port, such as 127.0.0.1:8470 or 0.0.0.0:8470";
        let Some(data) = given.text("data").filter(|text| !text.is_empty()) else {
            return Err(Fault::Together("say where the data are: --data DIR"));
        };
        let listen: SocketAddr =
            given.read("listen", ADDRESS)?.ok_or(Fault::Together("say where to listen: --listen ADDR"))?;
        let path = |name| given.text(name).map(PathBuf::from);
        let tls = match (path("tls-cert"), path("tls-key"), given.is_on("tls-self")?) {
            (None, None, false) => Tls::Off,
            (Some(certificate), Some(key), false) => Tls::Files { certificate, key },
            (None, None, true) => Tls::Own { names: given.many("tls-name").to_vec() },
            (_, _, true) => {
                return Err(Fault::Together("give --tls-self or --tls-cert with --tls-key, not both"));
            }
            _ => return Err(Fault::Together("--tls-cert and --tls-key go together")),
        };
        let scheme = if tls == Tls::Off { "http" } else { "https" };
        let public_url = match given.text("public-url") {
            Some(url) if url.starts_with("http://") || url.starts_with("https://") => {
                url.trim_end_matches('/').to_owned()
            }
            Some(_) => {
                return Err(given.fault(
                    "public-url",
                    "not an address of a page",
                    "such as https://shop.example",
                ));
            }
            None => format!("{scheme}://{}", reachable(listen)),
        };
        let trusted_proxies =
            given.many("trusted-proxy").iter().map(|text| text.parse()).collect::<Result<_, _>>().map_err(
                |why: std::net::AddrParseError| given.fault("trusted-proxy", why, "an IP address"),
            )?;
        let count = |name, most: u32, wanted| -> Result<u32, Fault> {
            let number: Option<u32> = given.read(name, wanted)?;
            number.filter(|n| (1..=most).contains(n)).ok_or_else(|| given.fault(name, "out of range", wanted))
        };
        let log_json = match given.text("log-format") {
            Some("json") => true,
            Some("text") | None => false,
            Some(_) => return Err(given.fault("log-format", "no such format", "text or json")),
        };
        let metrics_token = given.text("metrics-token").map(str::to_owned);
        if metrics_token.as_ref().is_some_and(|token| token.len() < 16) {
            return Err(given.fault("metrics-token", "too short", "16 characters or more"));
        }
        Ok(Self {
            data: PathBuf::from(data),
            listen,
            postgres: given.text("postgres").map(str::to_owned),
            secure: public_url.starts_with("https://"),
            tls,
            trust_listen: given.read("trust-listen", ADDRESS)?,
            public_url,
            shop: given.text("shop").unwrap_or_default().to_owned(),
            trusted_proxies,
            login_per_minute: count("login-per-minute", 1_000_000, "a number from 1 to 1000000")?,
            session_days: count("session-days", 366, "a number from 1 to 366")?,
            metrics_token,
            metrics_listen: given.read("metrics-listen", ADDRESS)?,
            log: given.text("log").unwrap_or("info").to_owned(),
            log_json,
        })
    }
}

/// Returns the address by which others on the network reach a listener.
#[must_use]
pub fn reachable(listen: SocketAddr) -> SocketAddr {
    if !listen.ip().is_unspecified() {
        return listen;
    }
    SocketAddr::new(own_address().unwrap_or(listen.ip()), listen.port())
}

/// Returns this machine's address on its network. Nothing is sent: the address of documentation is only asked a way to.
#[must_use]
pub fn own_address() -> Option<IpAddr> {
    let socket = std::net::UdpSocket::bind(("0.0.0.0", 0)).ok()?;
    socket.connect(("192.0.2.1", 9)).ok()?;
    socket.local_addr().ok().map(|address| address.ip()).filter(|ip| !ip.is_unspecified())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(
        flags: &[(&str, &str)],
        environment: &[(&str, &str)],
        file: Option<&Path>,
    ) -> Result<Given, Fault> {
        let find = |list: &[(&str, &str)], name: &str| {
            list.iter().find(|(key, _)| *key == name).map(|(_, value)| (*value).to_owned())
        };
        Given::collect(
            |key| find(flags, key.name).map(|value| vec![value]),
            |name| find(environment, name),
            file,
        )
    }

    #[test]
    fn flags_rank_before_environment_before_file() {
        let path = std::env::temp_dir().join(format!("gastight-config-{}.toml", std::process::id()));
        std::fs::write(
            &path,
            "listen = \"127.0.0.1:1\"\nshop = \"A\"\nsession_days = 3\ntls_name = [\"x\", \"y\"]\n",
        )
        .unwrap();
        let all = given(
            &[("data", "here"), ("listen", "127.0.0.1:3")],
            &[("GASTIGHT_LISTEN", "127.0.0.1:2"), ("GASTIGHT_SHOP", "B")],
            Some(&path),
        )
        .unwrap();
        let config = Config::read(&all).unwrap();
        assert_eq!(config.listen.port(), 3);
        assert_eq!((config.shop.as_str(), config.session_days), ("B", 3));
        let printed = all.print();
        assert!(printed.contains("listen = \"127.0.0.1:3\"  # flag"), "{printed}");
        assert!(printed.contains("shop = \"B\"  # environment"), "{printed}");
        assert!(printed.contains("session_days = \"3\"  # file "), "{printed}");
        assert!(printed.contains("tls_name = [\"x\", \"y\"]"), "{printed}");
        assert!(printed.contains("log = \"info\"  # default"), "{printed}");
        std::fs::write(&path, &printed).unwrap();
        assert!(given(&[], &[], Some(&path)).is_ok(), "what is printed reads again");
        std::fs::write(&path, "listne = 1").unwrap();
        let wrong = given(&[], &[], Some(&path)).unwrap_err().to_string();
        assert!(wrong.contains("there is no setting listne"), "{wrong}");
        std::fs::remove_file(&path).unwrap();
    }

    #[test]
    fn a_wrong_value_is_told_with_its_source_and_a_secret_is_not() {
        let read = |flags: &[(&str, &str)]| {
            let all = given(flags, &[("GASTIGHT_DATA", "d")], None).unwrap();
            Config::read(&all).map(|_| ()).map_err(|fault| fault.to_string())
        };
        let wrong = read(&[("listen", "here")]).unwrap_err();
        assert!(wrong.contains("listen (flag)") && wrong.contains("seen: here"), "{wrong}");
        assert!(read(&[("tls-cert", "a")]).unwrap_err().contains("go together"));
        assert!(read(&[("session-days", "0")]).is_err());
        let secret = read(&[("metrics-token", "hush")]).unwrap_err();
        assert!(!secret.contains("hush"), "{secret}");
        let printed = given(&[("postgres", "postgres://u:pw@h/d")], &[], None).unwrap().print();
        assert!(!printed.contains("pw"), "{printed}");
    }

    #[test]
    fn the_public_address_follows_the_listener() {
        let all = given(&[("data", "d"), ("tls-self", "true")], &[], None).unwrap();
        let config = Config::read(&all).unwrap();
        assert_eq!(config.public_url, "https://127.0.0.1:8470");
        assert!(config.secure);
    }
}
