//! Passkeys: adding, listing and removing one's own, and signing in with one.

use super::session::{Me, WithCookie, let_in};
use super::words::Name;
use crate::auth::{Member, Office, Try, Who};
use crate::body::{Id, Json};
use crate::openapi::Problems;
use crate::passkey::{Begun, MOST, Takes, Unfit, not_taken};
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use axum::extract::State;
use axum::http::StatusCode;
use report::Message;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Audit, Passkey};
use utoipa::ToSchema;
use uuid::Uuid;

/// Whether passkeys are taken here.
#[derive(Serialize, ToSchema)]
pub struct Ways {
    /// Whether passkeys are taken here.
    passkeys: Takes,
}

/// Says whether this server takes passkeys: what a page for signing in asks before it offers them.
#[utoipa::path(get, path = "/passkeys", tag = "session", security(()),
    responses((status = 200, body = Ways), Problems))]
pub async fn ways(State(shop): State<Arc<Shop>>) -> axum::Json<Ways> {
    axum::Json(Ways { passkeys: shop.passkeys.takes() })
}

/// Begins signing in with a passkey.
#[utoipa::path(post, path = "/login/passkey/begin", tag = "session", security(()),
    responses((status = 200, body = Begun), Problems))]
pub async fn begin_login(State(shop): State<Arc<Shop>>, Try(_): Try) -> Done<axum::Json<Begun>> {
    Ok(axum::Json(shop.passkeys.begin_sign_in(now())?))
}

/// What a browser made of what was begun.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Answered {
    /// Which one was begun.
    #[schema(max_length = 100)]
    ceremony: String,
    /// What `navigator.credentials` gave, as its `toJSON` writes it.
    #[schema(value_type = Object)]
    credential: serde_json::Value,
}

/// Logs a person of the office in with a passkey; the answer sets a cookie as [`super::session::login`] does.
#[utoipa::path(post, path = "/login/passkey", tag = "session", request_body = Answered, security(()),
    responses((status = 200, body = Me, headers(("Set-Cookie" = String))), Problems))]
pub async fn login(
    State(shop): State<Arc<Shop>>,
    Try(_): Try,
    before: Option<Member>,
    Json(answered): Json<Answered>,
) -> Done<WithCookie<axum::Json<Me>>> {
    taken(&shop)?;
    let now = now();
    let passkeys = shop.clone();
    let (person, used) = shop
        .ask(move |store| {
            let keys = &passkeys.passkeys;
            let person = match keys.whose(&answered.credential) {
                Some(person) => store.person(person)?,
                None => None,
            };
            let person = person.filter(|person| person.active && !person.role.has_phone_alone());
            // Nobody's list is empty; what was begun is used up all the same.
            let have = person.as_ref().map_or(Ok(Vec::new()), |person| store.passkeys(person.id))?;
            let used = match keys.finish_sign_in(&answered.ceremony, answered.credential, &have, now) {
                Ok(used) if store.use_passkey(used.id, &used.seen, &used.credential, now)? => Ok(used.id),
                Ok(_) => Err(Unfit::Refused),
                Err(unfit) => Err(unfit),
            };
            Ok((person, used))
        })
        .await?;
    match (person, used) {
        (Some(person), Ok(passkey)) => {
            let detail = Some(format!("passkey {passkey}"));
            let audit = Audit {
                at: now,
                person: Some(person.id),
                what: "login".to_owned(),
                detail,
                ..Audit::default()
            };
            let_in(&shop, person, before, audit).await
        }
        (person, used) => {
            let detail = match used {
                Err(Unfit::TwiceThere(passkey)) => {
                    format!("passkey {passkey}: its count of uses did not grow")
                }
                _ => "passkey".to_owned(),
            };
            let audit = Audit {
                at: now,
                what: "login.refused".to_owned(),
                on: person.map(|person| person.name),
                detail: Some(detail),
                ..Audit::default()
            };
            shop.note(audit).await?;
            Err(Problem::wrong(Message::new("server-wrong-passkey")))
        }
    }
}

/// A passkey.
#[derive(Serialize, ToSchema)]
pub struct PasskeyRow {
    /// The id.
    id: Uuid,
    /// What its person calls it.
    name: String,
    /// Since when, in milliseconds since 1970.
    created: i64,
    /// When it was used last, in milliseconds since 1970; absent where it never was.
    #[serde(skip_serializing_if = "Option::is_none")]
    used: Option<i64>,
}

impl From<Passkey> for PasskeyRow {
    fn from(passkey: Passkey) -> Self {
        Self { id: passkey.id, name: passkey.name, created: passkey.created, used: passkey.used }
    }
}

/// One's own passkeys.
#[derive(Serialize, ToSchema)]
pub struct Passkeys {
    /// Oldest first.
    rows: Vec<PasskeyRow>,
}

fn taken(shop: &Shop) -> Done<()> {
    match shop.passkeys.takes() {
        Takes::Taken => Ok(()),
        takes => Err(not_taken(takes)),
    }
}

/// Passkeys are for browsers: one added with a phone's token would outlive the phone's being revoked.
fn in_a_browser(shop: &Shop, who: &Who) -> Done<()> {
    taken(shop)?;
    if who.session.is_some() {
        return Ok(());
    }
    Err(Problem::forbidden().detail(Message::new("server-passkey-in-a-browser")))
}

/// Lists one's own passkeys.
#[utoipa::path(get, path = "/me/passkeys", tag = "session", responses((status = 200, body = Passkeys), Problems))]
pub async fn list(State(shop): State<Arc<Shop>>, Office(who): Office) -> Done<axum::Json<Passkeys>> {
    in_a_browser(&shop, &who)?;
    let rows = shop.ask(move |store| store.passkeys(who.person.id)).await?;
    Ok(axum::Json(Passkeys { rows: rows.into_iter().map(PasskeyRow::from).collect() }))
}

/// What a new passkey is to be called.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NewPasskey {
    /// The name.
    name: Name,
}

/// Begins adding a passkey of one's own.
#[utoipa::path(post, path = "/me/passkeys/begin", tag = "session", request_body = NewPasskey,
    responses((status = 200, body = Begun), Problems))]
pub async fn begin(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Json(new): Json<NewPasskey>,
) -> Done<axum::Json<Begun>> {
    in_a_browser(&shop, &who)?;
    let name = new.name.read()?;
    let person = who.person.id;
    let have = shop.ask(move |store| store.passkeys(person)).await?;
    enough(have.len())?;
    let title = shop.shop_name().await?;
    Ok(axum::Json(shop.passkeys.begin_adding(&who.person, &have, name, &title, now())?))
}

fn enough(have: usize) -> Done<()> {
    if have < MOST {
        return Ok(());
    }
    let detail = Message::new("server-passkey-enough").with("most", MOST);
    Err(Problem::conflict("passkey-enough", detail))
}

/// Adds a passkey of one's own: what the browser made.
#[utoipa::path(post, path = "/me/passkeys", tag = "session", request_body = Answered,
    responses((status = 201, body = PasskeyRow), Problems))]
pub async fn add(
    State(shop): State<Arc<Shop>>,
    Office(who): Office,
    Json(answered): Json<Answered>,
) -> Done<(StatusCode, axum::Json<PasskeyRow>)> {
    in_a_browser(&shop, &who)?;
    let now = now();
    let made = shop.passkeys.finish_adding(&answered.ceremony, who.person.id, answered.credential, now)?;
    let (id, person) = (secret::id(now)?, who.person.id);
    let passkey =
        Passkey { id, person, name: made.name, credential: made.credential, created: now, used: None };
    let audit = who.did("passkey.add", Some(id.to_string()));
    let row = PasskeyRow::from(passkey.clone());
    let added = shop
        .ask(move |store| {
            // Others may have been added since it was begun.
            let have = store.passkeys(person)?.len();
            if have < MOST {
                store.put_passkey(&passkey)?;
                store.audit(&[audit])?;
            }
            Ok(have)
        })
        .await?;
    enough(added)?;
    Ok((StatusCode::CREATED, axum::Json(row)))
}

/// Removes a passkey of one's own. Who is logged in stays so.
#[utoipa::path(delete, path = "/me/passkeys/{id}", tag = "session",
    params(("id" = Uuid, Path, description = "The passkey.")),
    responses((status = 204), Problems))]
pub async fn remove(State(shop): State<Arc<Shop>>, Office(who): Office, Id(id): Id) -> Done<StatusCode> {
    in_a_browser(&shop, &who)?;
    let audit = who.did("passkey.remove", Some(id.to_string()));
    let removed = shop
        .ask(move |store| {
            let removed = store.remove_passkey(who.person.id, id)?;
            if removed {
                store.audit(&[audit])?;
            }
            Ok(removed)
        })
        .await?;
    if removed {
        Ok(StatusCode::NO_CONTENT)
    } else {
        Err(Problem::missing(Message::new("server-no-passkey")))
    }
}
