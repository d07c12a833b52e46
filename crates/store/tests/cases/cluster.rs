//! A PostgreSQL of our own for tests: made in a folder, reached by a socket in it, gone with the process.
//!
//! Writing through to the disk is off: these tests are not about a loss of power.
#![allow(dead_code, reason = "each program that includes it uses some of it")]

use std::io::Write;
use std::os::unix::fs::{MetadataExt, chown};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

/// A running PostgreSQL.
pub struct Cluster {
    dir: PathBuf,
    psql: PathBuf,
    user: Option<(u32, u32)>,
    /// Its input is held open: when this process ends, however it ends, the shell at the other end stops the server.
    _keeper: Child,
    made: AtomicU32,
}

/// Returns one of PostgreSQL's programs: from the path, or from where Debian puts the newest.
fn program(name: &str) -> Result<PathBuf, String> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let mut places: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let mut versions: Vec<PathBuf> = std::fs::read_dir("/usr/lib/postgresql")
        .map(|found| found.flatten().map(|entry| entry.path().join("bin")).collect())
        .unwrap_or_default();
    versions.sort();
    places.extend(versions.into_iter().rev());
    places.into_iter().map(|place| place.join(name)).find(|place| place.is_file()).ok_or_else(|| {
        format!(
            "PostgreSQL's program {name} is needed for this test and is not here; \
             on Debian install the package postgresql"
        )
    })
}

/// Returns the numbers of the user that PostgreSQL runs as where we are root: it refuses to be root itself.
fn other_user() -> Option<(u32, u32)> {
    let ours = std::fs::metadata("/proc/self").ok()?.uid();
    if ours != 0 {
        return None;
    }
    let users = std::fs::read_to_string("/etc/passwd").ok()?;
    ["postgres", "nobody"].iter().find_map(|name| {
        let line = users.lines().find(|line| line.split(':').next() == Some(name))?;
        let mut parts = line.split(':').skip(2);
        Some((parts.next()?.parse().ok()?, parts.next()?.parse().ok()?))
    })
}

impl Cluster {
    /// Returns the one of this process.
    pub fn shared() -> &'static Cluster {
        static SHARED: OnceLock<Cluster> = OnceLock::new();
        SHARED.get_or_init(|| Cluster::start().unwrap_or_else(|why| panic!("{why}")))
    }

    fn start() -> Result<Cluster, String> {
        let (initdb, postgres, psql) = (program("initdb")?, program("postgres")?, program("psql")?);
        let user = other_user();
        let base = std::env::temp_dir();
        let dir = base.join(format!("gastight-pg-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&dir);
        std::fs::create_dir_all(&dir).map_err(|e| format!("{}: {e}", dir.display()))?;
        if let Some((uid, gid)) = user {
            chown(&dir, Some(uid), Some(gid)).map_err(|e| format!("{}: {e}", dir.display()))?;
        }
        let data = dir.join("data");
        let mut initdb = as_user(user, &initdb);
        initdb.args(["-A", "trust", "-U", "gastight", "-N", "-E", "UTF8", "--locale=C", "-D"]).arg(&data);
        let made = initdb.current_dir(&dir).output().map_err(|e| format!("initdb: {e}"))?;
        if !made.status.success() {
            return Err(format!("initdb: {}", String::from_utf8_lossy(&made.stderr)));
        }
        let settings = "listen_addresses = ''\nfsync = off\nfull_page_writes = off\nsynchronous_commit = off\n\
                        max_connections = 400\nshared_buffers = 64MB\nmax_wal_size = 2GB\n";
        let conf = data.join("postgresql.conf");
        let mut file = std::fs::OpenOptions::new().append(true).open(&conf).map_err(|e| e.to_string())?;
        file.write_all(settings.as_bytes()).map_err(|e| format!("{}: {e}", conf.display()))?;
        let log = std::fs::File::create(dir.join("log")).map_err(|e| e.to_string())?;
        // The shell waits for its input to end, then stops the server and clears away.
        let script = r#"dir=$1; shift; "$@" & server=$!; read -r word; kill -INT $server; wait $server; rm -rf "$dir""#;
        let mut keeper = Command::new("sh");
        keeper.args(["-c", script, "sh"]).arg(&dir);
        if let Some((uid, gid)) = user {
            keeper.args(["setpriv", "--reuid"]).arg(uid.to_string());
            keeper.arg("--regid").arg(gid.to_string()).arg("--clear-groups");
        }
        keeper.arg(postgres).arg("-D").arg(&data).arg("-k").arg(&dir);
        let errors = log.try_clone().map_err(|e| e.to_string())?;
        keeper.current_dir(&dir).stdin(Stdio::piped()).stdout(log).stderr(errors);
        let keeper = keeper.spawn().map_err(|e| format!("postgres: {e}"))?;
        let cluster = Cluster { dir, psql, user, _keeper: keeper, made: AtomicU32::new(0) };
        let started = Instant::now();
        while cluster.sql("postgres", "SELECT 1").is_err() {
            if started.elapsed() > Duration::from_secs(60) {
                let said = std::fs::read_to_string(cluster.dir.join("log")).unwrap_or_default();
                return Err(format!("postgres did not start within 60 s: {said}"));
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        Ok(cluster)
    }

    /// Runs statements in a database.
    pub fn sql(&self, database: &str, statements: &str) -> Result<String, String> {
        let mut psql = as_user(self.user, &self.psql);
        psql.args(["-X", "-q", "-A", "-t", "-v", "ON_ERROR_STOP=1", "-U", "gastight", "-d", database, "-h"]);
        psql.arg(&self.dir).current_dir(&self.dir);
        psql.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = psql.spawn().map_err(|e| format!("psql: {e}"))?;
        if let Some(mut input) = child.stdin.take() {
            input.write_all(statements.as_bytes()).map_err(|e| format!("psql: {e}"))?;
        }
        let output = child.wait_with_output().map_err(|e| format!("psql: {e}"))?;
        if output.status.success() {
            Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
        } else {
            Err(String::from_utf8_lossy(&output.stderr).into_owned())
        }
    }

    /// Makes an empty database and returns its address.
    pub fn database(&self) -> String {
        let name = format!("shop_{}", self.made.fetch_add(1, Ordering::Relaxed));
        self.sql("postgres", &format!("CREATE DATABASE {name}"))
            .unwrap_or_else(|why| panic!("{name}: {why}"));
        self.url(&name)
    }

    /// Makes an empty database as [`Cluster::database`] does, after turning writing through to the disk on, for all.
    pub fn database_that_is_durable(&self) -> String {
        let on =
            "ALTER SYSTEM SET fsync = on; ALTER SYSTEM SET full_page_writes = on; SELECT pg_reload_conf()";
        for statement in on.split("; ") {
            self.sql("postgres", statement).unwrap_or_else(|why| panic!("{statement}: {why}"));
        }
        self.database()
    }

    /// Returns the address of a database.
    pub fn url(&self, name: &str) -> String {
        format!("host={} user=gastight dbname={name}", self.dir.display())
    }
}

fn as_user(user: Option<(u32, u32)>, program: &Path) -> Command {
    let Some((uid, gid)) = user else { return Command::new(program) };
    let mut command = Command::new("setpriv");
    command.args(["--reuid", &uid.to_string(), "--regid", &gid.to_string(), "--clear-groups"]).arg(program);
    command
}
