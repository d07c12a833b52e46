//! Who read and changed what.

use super::{Part, Rows};
use crate::auth::Owner;
use crate::body::Query;
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::Done;
use crate::shop::Shop;
use axum::extract::State;
use serde::Serialize;
use std::sync::Arc;
use store::Audit;
use utoipa::ToSchema;
use uuid::Uuid;

/// Something that somebody did.
#[derive(Serialize, ToSchema)]
pub struct AuditRow {
    /// Its number.
    number: u64,
    /// When, in milliseconds since 1970.
    at: i64,
    /// Who, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    person: Option<Uuid>,
    /// With which phone.
    #[serde(skip_serializing_if = "Option::is_none")]
    device: Option<Uuid>,
    /// What, such as `report.read`.
    what: String,
    /// Of what, such as the id of a job.
    #[serde(skip_serializing_if = "Option::is_none")]
    on: Option<String>,
    /// Anything else.
    #[serde(skip_serializing_if = "Option::is_none")]
    detail: Option<String>,
}

impl From<Audit> for AuditRow {
    fn from(audit: Audit) -> Self {
        let Audit { number, at, person, device, what, on, detail } = audit;
        Self { number, at, person, device, what, on, detail }
    }
}

/// Lists who read and changed what, the newest first.
#[utoipa::path(get, path = "/audit", tag = "audit", params(Part),
    responses((status = 200, body = Rows<AuditRow>), Problems))]
pub async fn list(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Query(part): Query<Part>,
) -> Done<axum::Json<Rows<AuditRow>>> {
    let (before, limit) = part.read()?;
    shop.write_notes().await?;
    shop.note(who.did("audit.read", None)).await?;
    let rows = shop.ask(move |store| store.audits(before, limit)).await?;
    Ok(axum::Json(Rows::new(rows, limit, |row| row.number, AuditRow::from)))
}

/// Who read and changed what as a table.
#[utoipa::path(get, path = "/audit.csv", tag = "audit",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Owner(who): Owner) -> Done<Csv> {
    shop.write_notes().await?;
    shop.note(who.did("audit.csv", None)).await?;
    shop.ask(|store| {
        let mut table = Csv::new("audit", &["number", "at_ms", "person", "device", "what", "on", "detail"]);
        let mut before = None;
        loop {
            let rows = store.audits(before, 1_000)?;
            let Some(last) = rows.last() else { return Ok(table) };
            before = Some(last.number);
            let text = |id: Option<Uuid>| id.map(|id| id.to_string()).unwrap_or_default();
            for row in rows {
                table.row([
                    row.number.to_string(),
                    row.at.to_string(),
                    text(row.person),
                    text(row.device),
                    row.what,
                    row.on.unwrap_or_default(),
                    row.detail.unwrap_or_default(),
                ]);
            }
        }
    })
    .await
}
