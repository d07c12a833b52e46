//! The whole way in a real browser: phone, server, and the way between.
//!
//! What the tests share: a shop's server as a process that is really stopped and really started again, and a phone: a
//! headless Chromium with a touch screen of 390 x 844, driven over its own protocol. Every step has a limit in time
//! and names itself when it runs out.

mod between;
mod phone;
mod programs;
mod shop;

pub use between::{Between, NEWER};
pub use phone::{Phone, Screen};
pub use programs::{built, chromium};
pub use shop::Shop;

use std::future::Future;
use std::time::Duration;

/// What went wrong, in a sentence that names the step.
pub type Outcome<T> = Result<T, String>;

/// Returns what `step` gives, or a sentence that it took longer than `seconds`.
///
/// # Errors
/// The step's own, or that it ran out of time.
pub async fn within<T>(what: &str, seconds: u64, step: impl Future<Output = Outcome<T>>) -> Outcome<T> {
    match tokio::time::timeout(Duration::from_secs(seconds), step).await {
        Ok(done) => done.map_err(|why| format!("{what}: {why}")),
        Err(_) => Err(format!("{what}: not done after {seconds} s")),
    }
}
