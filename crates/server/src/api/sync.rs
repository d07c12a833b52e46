//! The exchange with the phones.

use super::{EXACT, apprentice};
use crate::auth::Member;
use crate::body::{Json, SYNC};
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::shop::{Shop, now};
use axum::extract::State;
use record::sync::{Pull, Push};
use report::Message;
use serde::Serialize;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use store::{Role, Sender};
use utoipa::ToSchema;
use uuid::Uuid;

/// A request as the description of the interface shows it; [`Push`] is what is read.
#[derive(Serialize, ToSchema)]
pub struct SyncRequest {
    /// The name of the device, for people.
    #[schema(examples("phone 1"))]
    device: String,
    /// The sequence up to which it has read.
    #[schema(minimum = 0, maximum = 9_007_199_254_740_991_u64, examples(0))]
    cursor: u64,
    /// The epoch that the cursor is of; absent before the first answer.
    epoch: Option<EpochId>,
    /// What it brings.
    #[schema(max_items = 200, required = false)]
    events: Vec<EventLine>,
}

/// The name of a store's history.
#[derive(Serialize, ToSchema)]
pub struct EpochId(Uuid);

/// An answer as the description of the interface shows it; [`Pull`] is what is sent.
#[derive(Serialize, ToSchema)]
pub struct SyncAnswer {
    /// The ids of the request that are durable now.
    stored: Vec<Uuid>,
    /// The sequence up to which this answer brings the device.
    cursor: u64,
    /// The epoch that the cursor is of.
    epoch: Uuid,
    /// What is new to the device.
    #[schema(max_items = 500)]
    events: Vec<EventLine>,
    /// Whether there is more.
    more: bool,
    /// Those of the request whose stamp lies more than a day ahead of the server's clock; absent where there is none.
    #[schema(nullable = false)]
    ahead: Option<Vec<Uuid>>,
    /// What the person may do whose device asks.
    role: crate::api::people::RoleWord,
    /// The state of the shop's lists for that person; absent where there are none. Another state: ask `/lists`.
    #[schema(nullable = false)]
    lists: Option<String>,
}

/// An event: the JSON object of a line of the log. Fields and kinds that are not known are kept.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "0190d5c4-0000-7000-8000-000000000001", "job": "0190d5c4-0000-7000-8000-0000000000aa",
    "kind": "observation", "by": "technician A", "device": "phone 1", "stamp": {"ms": 1_935_817_800_000_i64, "n": 0},
    "body": {"what": {"type": "note", "text": "frost on the liquid line"}}
}))]
pub struct EventLine {
    /// Its name for all time.
    id: Uuid,
    /// The job it belongs to.
    job: Uuid,
    /// What kind of event it is.
    kind: String,
    /// Who made it.
    by: Option<String>,
    /// On which device.
    device: Option<String>,
    /// Its place in the order of the log.
    stamp: StampLine,
    /// What it says.
    #[schema(value_type = Object)]
    body: (),
}

/// The stamp of a hybrid logical clock.
#[derive(Serialize, ToSchema)]
pub struct StampLine {
    /// Milliseconds since 1970.
    ms: i64,
    /// Counts the stamps of one millisecond.
    #[schema(minimum = 0, maximum = 4_294_967_295_u64)]
    n: u32,
}

/// Takes what a device brings, all or nothing, and answers what is new to it. What was sent before may be sent again.
#[utoipa::path(post, path = "/sync", tag = "sync", request_body = SyncRequest,
    responses((status = 200, body = SyncAnswer), Problems))]
pub async fn sync(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Json(push): Json<Push, SYNC>,
) -> Done<axum::Json<Pull>> {
    if push.cursor > EXACT {
        return Err(Problem::unreadable(format!("cursor is {}; at most {EXACT}", push.cursor)));
    }
    let from = Sender { device: who.device };
    let (brought, from_start) = (push.events.len(), push.cursor == 0);
    let erases = push.events.iter().filter(|event| event["body"]["reason"] == "personal_data").count();
    let role = who.person.role;
    let refused = || shop.metrics.pushes_refused.fetch_add(1, Ordering::Relaxed);
    let outcome = shop
        .ask(move |store| {
            if role == Role::Apprentice {
                let denied = apprentice::denied(store, &push.events)?;
                if !denied.is_empty() {
                    return Ok(Err(denied));
                }
            }
            let mut pull = store.sync(&from, &push, now())?;
            if role == Role::Apprentice {
                // The cursor passes over them: a phone whose person becomes a technician reads all again.
                pull.events.retain(|event| !apprentice::is_money(event));
            }
            pull.role = Some(role.as_str().to_owned());
            pull.lists = super::lists::state(store, role)?;
            Ok(Ok(pull))
        })
        .await
        .inspect_err(|_| {
            refused();
        })?;
    let pull = outcome.map_err(|ids| {
        refused();
        Problem::conflict("not-an-apprentices", Message::new("server-not-an-apprentices")).ids(ids)
    })?;
    if brought > 0 {
        shop.metrics.events_taken.fetch_add(pull.stored.len() as u64, Ordering::Relaxed);
        shop.stale.notify_one();
        let mut audit = who.did("sync.bring", None);
        audit.detail = Some(format!("events={} erasing={erases}", pull.stored.len()));
        shop.note(audit).await?;
    }
    if from_start && !pull.events.is_empty() {
        shop.note(who.did("sync.read_all", None)).await?;
    }
    if !pull.ahead.is_empty() {
        tracing::warn!(device = ?who.device, events = pull.ahead.len(), "a phone's clock is more than a day ahead");
    }
    Ok(axum::Json(pull))
}
