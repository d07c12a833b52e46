//! The shop's phones: which there are, which one is let in no more, and a code for a new one.

use crate::auth::Owner;
use crate::body::{Id, Json};
use crate::csv::Csv;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::shop::{Shop, now};
use crate::{qr, secret};
use axum::extract::State;
use axum::http::StatusCode;
use report::Message;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Device, Pairing};
use utoipa::ToSchema;
use uuid::Uuid;

/// How long a pairing code holds, in milliseconds.
pub const CODE_MS: i64 = 15 * 60 * 1000;

/// A phone.
#[derive(Serialize, ToSchema)]
pub struct DeviceRow {
    /// The id.
    id: Uuid,
    /// Whose it is.
    person: Uuid,
    /// What it is called.
    name: String,
    /// Since when, in milliseconds since 1970.
    created: i64,
    /// When it was here last.
    #[serde(skip_serializing_if = "Option::is_none")]
    seen: Option<i64>,
    /// Since when it is let in no more.
    #[serde(skip_serializing_if = "Option::is_none")]
    revoked: Option<i64>,
}

impl From<Device> for DeviceRow {
    fn from(device: Device) -> Self {
        let Device { id, person, name, created, seen, revoked, .. } = device;
        Self { id, person, name, created, seen, revoked }
    }
}

/// All phones.
#[derive(Serialize, ToSchema)]
pub struct Devices {
    /// By name.
    rows: Vec<DeviceRow>,
}

/// Lists the shop's phones.
#[utoipa::path(get, path = "/devices", tag = "devices", responses((status = 200, body = Devices), Problems))]
pub async fn list(State(shop): State<Arc<Shop>>, Owner(who): Owner) -> Done<axum::Json<Devices>> {
    shop.note(who.did("devices.read", None)).await?;
    let devices = shop.ask(|store| store.devices()).await?;
    Ok(axum::Json(Devices { rows: devices.into_iter().map(DeviceRow::from).collect() }))
}

/// The shop's phones as a table.
#[utoipa::path(get, path = "/devices.csv", tag = "devices",
    responses((status = 200, content_type = "text/csv", body = String), Problems))]
pub async fn table(State(shop): State<Arc<Shop>>, Owner(who): Owner) -> Done<Csv> {
    shop.note(who.did("devices.csv", None)).await?;
    let devices = shop.ask(|store| store.devices()).await?;
    let mut table = Csv::new("devices", &["id", "person", "name", "created_ms", "seen_ms", "revoked_ms"]);
    let time = |at: Option<i64>| at.map(|at| at.to_string()).unwrap_or_default();
    for device in devices {
        table.row([
            device.id.to_string(),
            device.person.to_string(),
            device.name,
            device.created.to_string(),
            time(device.seen),
            time(device.revoked),
        ]);
    }
    Ok(table)
}

/// Lets a phone in no more, at once.
#[utoipa::path(delete, path = "/devices/{id}", tag = "devices",
    params(("id" = Uuid, Path, description = "The phone.")),
    responses((status = 204), Problems))]
pub async fn revoke(State(shop): State<Arc<Shop>>, Owner(who): Owner, Id(id): Id) -> Done<StatusCode> {
    let audit = who.did("device.revoke", Some(id.to_string()));
    let known = shop
        .ask(move |store| {
            if store.device(id)?.is_none() {
                return Ok(false);
            }
            if store.revoke_device(id, now())? {
                store.audit(&[audit])?;
            }
            Ok(true)
        })
        .await?;
    if known { Ok(StatusCode::NO_CONTENT) } else { Err(Problem::missing(Message::new("server-no-device"))) }
}

/// Whose phone is to be paired.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Invite {
    /// The person.
    person: Uuid,
}

/// A code by which one phone pairs once.
#[derive(Serialize, ToSchema)]
pub struct Invitation {
    /// The code.
    code: String,
    /// The address that a phone's camera opens.
    link: String,
    /// That address as a QR code, SVG.
    qr: String,
    /// Until when it holds, in milliseconds since 1970.
    expires: i64,
}

/// Makes a code by which a phone of a person pairs, once, within a quarter of an hour.
#[utoipa::path(post, path = "/pairings", tag = "devices", request_body = Invite,
    responses((status = 201, body = Invitation), Problems))]
pub async fn invite(
    State(shop): State<Arc<Shop>>,
    Owner(who): Owner,
    Json(invite): Json<Invite>,
) -> Done<(StatusCode, axum::Json<Invitation>)> {
    let expires = now() + CODE_MS;
    let code = secret::code()?;
    let pairing = Pairing { code: secret::code_hash(&code), person: invite.person, expires };
    let audit = who.did("device.invite", Some(invite.person.to_string()));
    let known = shop
        .ask(move |store| {
            if !store.person(pairing.person)?.is_some_and(|person| person.active) {
                return Ok(false);
            }
            store.put_pairing(&pairing)?;
            store.audit(&[audit])?;
            Ok(true)
        })
        .await?;
    if !known {
        return Err(Problem::missing(Message::new("server-no-person")));
    }
    let link = link(&shop.public_url, &code);
    let qr = qr::svg(&link).map_err(|_| Problem::ours())?;
    Ok((StatusCode::CREATED, axum::Json(Invitation { code, link, qr, expires })))
}

/// Returns the address that pairs a phone.
#[must_use]
pub fn link(public_url: &str, code: &str) -> String {
    format!("{public_url}/#/pair/{code}")
}
