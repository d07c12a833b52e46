//! Counts of what the server does, in the text form of Prometheus.

use crate::shop::Shop;
use axum::extract::{MatchedPath, Request, State};
use axum::middleware::Next;
use axum::response::Response;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;
use store::Counts;

/// The upper bounds of the classes of duration, in seconds.
const BOUNDS: [f64; 7] = [0.005, 0.02, 0.1, 0.5, 1.0, 5.0, 30.0];

/// Counts of what the server does.
#[derive(Default)]
pub struct Metrics {
    /// Events that were acknowledged.
    pub events_taken: AtomicU64,
    /// Requests of sync that were refused.
    pub pushes_refused: AtomicU64,
    requests: Mutex<BTreeMap<(String, u16), u64>>,
    durations: Mutex<BTreeMap<String, Durations>>,
}

#[derive(Clone, Copy, Default)]
struct Durations {
    classes: [u64; BOUNDS.len()],
    count: u64,
    seconds: f64,
}

impl Metrics {
    fn count(&self, route: &str, status: u16, seconds: f64) {
        let mut requests = self.requests.lock().unwrap_or_else(PoisonError::into_inner);
        *requests.entry((route.to_owned(), status)).or_default() += 1;
        drop(requests);
        let mut durations = self.durations.lock().unwrap_or_else(PoisonError::into_inner);
        let one = durations.entry(route.to_owned()).or_default();
        for (class, bound) in one.classes.iter_mut().zip(BOUNDS) {
            *class += u64::from(seconds <= bound);
        }
        one.count += 1;
        one.seconds += seconds;
    }

    /// Returns the counts as text, with those of the store.
    #[must_use]
    pub fn text(&self, counts: &Counts) -> String {
        let mut text = String::new();
        let mut one = |name: &str, kind: &str, help: &str, value: u64| {
            let _ = writeln!(
                text,
                "# HELP gastight_{name} {help}\n# TYPE gastight_{name} {kind}\ngastight_{name} {value}"
            );
        };
        one("events", "gauge", "Events in the store.", counts.events);
        one("jobs", "gauge", "Jobs in the store.", counts.jobs);
        one("stale_jobs", "gauge", "Jobs whose summary is older than their events.", counts.stale_jobs);
        one("people", "gauge", "People who are active.", counts.people);
        one("devices", "gauge", "Phones that are let in.", counts.devices);
        one("audit_entries", "gauge", "Entries of the audit.", counts.audits);
        one(
            "events_acknowledged_total",
            "counter",
            "Events acknowledged since the start.",
            self.events_taken.load(Ordering::Relaxed),
        );
        one(
            "syncs_refused_total",
            "counter",
            "Requests of sync refused since the start.",
            self.pushes_refused.load(Ordering::Relaxed),
        );
        if let Some(bytes) = resident_bytes() {
            one("resident_memory_bytes", "gauge", "Memory of the process.", bytes);
        }
        let _ = writeln!(
            text,
            "# HELP gastight_requests_total Requests answered.\n# TYPE gastight_requests_total counter"
        );
        for ((route, status), count) in &*self.requests.lock().unwrap_or_else(PoisonError::into_inner) {
            let _ =
                writeln!(text, "gastight_requests_total{{route=\"{route}\",status=\"{status}\"}} {count}");
        }
        let name = "gastight_request_seconds";
        let _ = writeln!(text, "# HELP {name} How long requests took.\n# TYPE {name} histogram");
        for (route, one) in &*self.durations.lock().unwrap_or_else(PoisonError::into_inner) {
            for (class, bound) in one.classes.iter().zip(BOUNDS) {
                let _ = writeln!(text, "{name}_bucket{{route=\"{route}\",le=\"{bound}\"}} {class}");
            }
            let _ = writeln!(text, "{name}_bucket{{route=\"{route}\",le=\"+Inf\"}} {}", one.count);
            let _ = writeln!(text, "{name}_sum{{route=\"{route}\"}} {}", one.seconds);
            let _ = writeln!(text, "{name}_count{{route=\"{route}\"}} {}", one.count);
        }
        text
    }
}

/// Returns the memory of this process, where the system tells it.
fn resident_bytes() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse::<u64>().ok().map(|kib| kib * 1024)
}

/// Counts a request by its route; an address that is no route counts as the site.
pub async fn count(State(shop): State<Arc<Shop>>, request: Request, next: Next) -> Response {
    let route = request.extensions().get::<MatchedPath>().map_or("site", MatchedPath::as_str).to_owned();
    let began = Instant::now();
    let response = next.run(request).await;
    let seconds = began.elapsed().as_secs_f64();
    let status = response.status().as_u16();
    shop.metrics.count(&route, status, seconds);
    // The address itself is not logged: what is searched for stands in it.
    tracing::debug!(route, status, ms = (seconds * 1e3) as u64, "request");
    response
}
