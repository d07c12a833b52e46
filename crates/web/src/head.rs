//! What the list of jobs shows of one job: derived from its events, kept so that the list opens at once.

use record::{Event, Known, current};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// One line of the list of jobs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Head {
    /// The job.
    pub job: Uuid,
    /// The name of the site.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// The name of the system.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub system: Option<String>,
    /// The refrigerant, as it was typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The earlier visit it follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<Uuid>,
    /// The latest stamp among its events, in milliseconds since 1970.
    pub latest_ms: i64,
    /// How many entries stand in it.
    pub entries: u32,
    /// Whether people disagree about something in it.
    pub unsettled: bool,
}

impl Head {
    /// Returns what the list shows of a job with these events.
    #[must_use]
    pub fn of(job: Uuid, events: &[Event]) -> Head {
        let now = current(events);
        let (site, system, visit) = (now.site(), now.system(), now.visit());
        let unsettled = !now.disagreements.is_empty()
            || [&site.unsettled, &system.unsettled, &visit.unsettled].iter().any(|fields| !fields.is_empty());
        Head {
            job,
            site: site.value.name,
            system: system.value.name,
            refrigerant: system.value.refrigerant.as_ref().and_then(Known::value).cloned(),
            follows: visit.value.follows.and_then(|text| text.parse().ok()),
            latest_ms: events.iter().map(|event| event.stamp.ms).max().unwrap_or_default(),
            entries: u32::try_from(now.entries.len()).unwrap_or(u32::MAX),
            unsettled,
        }
    }

    /// Returns the name of the job: its system's and its site's, as far as they are known.
    #[must_use]
    pub fn name(&self) -> String {
        match (&self.system, &self.site) {
            (Some(system), Some(site)) => format!("{system}, {site}"),
            (Some(one), None) | (None, Some(one)) => one.clone(),
            (None, None) => String::new(),
        }
    }
}
