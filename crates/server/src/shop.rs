//! What every request shares: the store, the limits, the words, the counts.

use crate::config::Config;
use crate::limit::Limit;
use crate::metrics::Metrics;
use crate::passkey::Passkeys;
use crate::problem::{Done, Problem};
use crate::rendered::Rendered;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{SystemTime, UNIX_EPOCH};
use store::{Audit, Store};
use tokio::sync::{Notify, Semaphore};
use wording::Wording;

/// The most passwords hashed at a time: each takes 19 MiB.
const HASHING: usize = 2;
/// The most requests of sync or of pictures whose bodies are held at a time.
const BODIES: usize = 8;
/// How many entries of the audit wait at most to be written; past it the request that made one waits.
const WAITING: usize = 256;

/// What every request shares.
pub struct Shop {
    store: Arc<dyn Store>,
    /// The name of the shop, where the store has none.
    pub name: String,
    /// The address by which phones reach the server.
    pub public_url: String,
    /// Whether browsers reach it by HTTPS.
    pub secure: bool,
    /// How long a session lasts, in milliseconds.
    pub session_ms: i64,
    /// Proxies whose word on the address of a client is believed.
    pub trusted_proxies: Vec<IpAddr>,
    /// The SHA-256 of the token for the metrics.
    pub metrics_token: Option<[u8; 32]>,
    /// Tries of logins and pairings.
    pub tries: Limit,
    /// Passkeys, where the server takes them.
    pub passkeys: Passkeys,
    /// Counts of requests.
    pub metrics: Metrics,
    /// Rendered reports.
    pub rendered: Rendered,
    /// The authority's certificate, where the shop has one of its own.
    pub authority: Option<String>,
    /// The lists over all jobs, as they were put together last.
    pub held: crate::book::Held,
    /// Woken where summaries may be stale.
    pub stale: Notify,
    /// Permits to hash a password.
    pub hashing: Semaphore,
    /// One permit to give a document a number.
    pub numbering: Semaphore,
    /// Permits to hold a large body.
    pub bodies: Semaphore,
    words: Vec<Wording>,
    waiting: Mutex<Vec<Audit>>,
}

/// Returns the time in milliseconds since 1970.
#[must_use]
pub fn now() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
}

impl Shop {
    /// Returns what the requests of a server share.
    #[must_use]
    pub fn new(store: Arc<dyn Store>, config: &Config, authority: Option<String>) -> Self {
        Self {
            store,
            name: config.shop.clone(),
            public_url: config.public_url.clone(),
            secure: config.secure,
            session_ms: i64::from(config.session_days) * 86_400_000,
            trusted_proxies: config.trusted_proxies.clone(),
            metrics_token: config.metrics_token.as_deref().map(crate::secret::hash),
            tries: Limit::new(config.login_per_minute),
            passkeys: Passkeys::new(&config.public_url),
            metrics: Metrics::default(),
            rendered: Rendered::default(),
            authority,
            held: crate::book::Held::default(),
            stale: Notify::new(),
            hashing: Semaphore::new(HASHING),
            numbering: Semaphore::new(1),
            bodies: Semaphore::new(BODIES),
            words: wording::LANGUAGES.iter().map(|(language, _)| Wording::new(language)).collect(),
            waiting: Mutex::default(),
        }
    }

    /// Calls the store on a thread that may block.
    ///
    /// # Errors
    /// What the store says.
    pub async fn ask<T: Send + 'static>(
        &self,
        call: impl FnOnce(&dyn Store) -> store::Result<T> + Send + 'static,
    ) -> Done<T> {
        Ok(self.call(call).await??)
    }

    /// Calls the store on a thread that may block, and hands its refusal on.
    ///
    /// # Errors
    /// The call broke off.
    pub async fn call<T: Send + 'static>(
        &self,
        call: impl FnOnce(&dyn Store) -> T + Send + 'static,
    ) -> Done<T> {
        let store = self.store.clone();
        tokio::task::spawn_blocking(move || call(&*store)).await.map_err(|broken| {
            tracing::error!(%broken, "a call of the store broke off");
            Problem::ours()
        })
    }

    /// Returns the words of the first language that is asked for and that there is.
    #[must_use]
    pub fn wording(&self, asked: Option<&str>) -> &Wording {
        let mut wishes: Vec<(f32, &str)> = asked
            .unwrap_or_default()
            .split(',')
            .filter_map(|part| {
                let (tag, rest) = part.split_once(';').unwrap_or((part, ""));
                let weight = rest.trim().strip_prefix("q=").map_or(Some(1.0), |text| text.parse().ok())?;
                Some((weight, tag.trim()))
            })
            .filter(|(weight, tag)| *weight > 0.0 && !tag.is_empty())
            .collect();
        wishes.sort_by(|one, other| other.0.total_cmp(&one.0));
        let first = |tag: &str| tag.split(['-', '_']).next().unwrap_or_default().to_ascii_lowercase();
        wishes
            .iter()
            .find_map(|(_, tag)| {
                let whole = self.words.iter().find(|words| words.language().eq_ignore_ascii_case(tag));
                whole.or_else(|| self.words.iter().find(|words| first(words.language()) == first(tag)))
            })
            .unwrap_or(&self.words[0])
    }

    /// Writes down soon who did what: with others in one transaction, and before the server ends.
    ///
    /// # Errors
    /// Too many wait and the store does not take them.
    pub async fn note(&self, audit: Audit) -> Done<()> {
        let many = {
            let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
            waiting.push(audit);
            waiting.len() >= WAITING
        };
        if many { self.write_notes().await } else { Ok(()) }
    }

    /// Writes down who did what, at once.
    ///
    /// # Errors
    /// The store does not take it.
    pub async fn note_now(&self, audit: Audit) -> Done<()> {
        self.ask(move |store| store.audit(&[audit])).await
    }

    /// Writes down what waits for it.
    ///
    /// # Errors
    /// The store does not take it; it waits on.
    pub async fn write_notes(&self) -> Done<()> {
        let taken = std::mem::take(&mut *self.waiting.lock().unwrap_or_else(PoisonError::into_inner));
        if taken.is_empty() {
            return Ok(());
        }
        let kept = taken.clone();
        let outcome = self.ask(move |store| store.audit(&taken)).await;
        if outcome.is_err() {
            let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
            waiting.splice(0..0, kept);
        }
        outcome
    }

    /// Returns the name of the shop.
    ///
    /// # Errors
    /// What the store says.
    pub async fn shop_name(&self) -> Done<String> {
        let name = self.ask(|store| store.setting(SHOP)).await?;
        Ok(name.unwrap_or_else(|| self.name.clone()))
    }
}

/// The setting of the store that names the shop.
pub const SHOP: &str = "shop";
