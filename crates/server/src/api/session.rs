//! Getting in and out: pairing a phone, logging in, logging out.

use super::words::{Name, Password};
use crate::auth::{Member, Try, cookie_name};
use crate::body::Json;
use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use axum::extract::State;
use axum::http::header::SET_COOKIE;
use axum::http::{HeaderValue, StatusCode};
use axum::response::AppendHeaders;
use report::Message;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use store::{Audit, Device, Person, Session};
use utoipa::ToSchema;
use uuid::Uuid;

/// A code to pair with.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Pair {
    /// The code that the shop gave out.
    #[schema(max_length = 40, examples("KX4M7-2PQRT"))]
    code: String,
    /// What the phone is to be called.
    name: Name,
}

/// A phone's place in the shop.
#[derive(Serialize, ToSchema)]
pub struct Paired {
    /// The secret of this phone. It is given once.
    token: String,
    /// The name of this phone.
    device: String,
    /// The id of this phone.
    id: Uuid,
    /// The person it is paired for.
    person: String,
    /// What that person may do.
    #[schema(value_type = crate::api::people::RoleWord)]
    role: store::Role,
    /// The shop.
    shop: String,
}

/// Pairs a phone: uses a code up and gives the phone its token.
#[utoipa::path(post, path = "/pair", tag = "session", request_body = Pair, security(()),
    responses((status = 200, body = Paired), Problems))]
pub async fn pair(
    State(shop): State<Arc<Shop>>,
    Try(_): Try,
    Json(pair): Json<Pair>,
) -> Done<axum::Json<Paired>> {
    let now = now();
    let name = pair.name.read()?;
    let code = secret::code_hash(&pair.code);
    let person = shop
        .ask(move |store| match store.take_pairing(&code, now)? {
            Some(person) => store.person(person),
            None => Ok(None),
        })
        .await?;
    let Some(person) = person.filter(|person| person.active) else {
        shop.note(Audit { at: now, what: "pair.refused".to_owned(), ..Audit::default() }).await?;
        return Err(Problem::wrong(Message::new("server-wrong-code")));
    };
    let (id, token) = (secret::id(now)?, secret::token()?);
    let device = Device {
        id,
        person: person.id,
        name: name.clone(),
        token: secret::hash(&token),
        created: now,
        seen: None,
        revoked: None,
    };
    let audit = Audit {
        at: now,
        person: Some(person.id),
        device: Some(id),
        what: "device.pair".to_owned(),
        on: Some(id.to_string()),
        ..Audit::default()
    };
    shop.ask(move |store| {
        store.put_device(&device)?;
        store.audit(&[audit])
    })
    .await?;
    let shop = shop.shop_name().await?;
    Ok(axum::Json(Paired { token, device: name, id, person: person.name, role: person.role, shop }))
}

/// A name and a password.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Login {
    /// The name.
    #[schema(max_length = 400, examples("owner"))]
    name: String,
    /// The password.
    #[schema(max_length = 800, format = Password, examples("roses in room seven"))]
    password: String,
}

/// Who somebody is.
#[derive(Serialize, ToSchema)]
pub struct Me {
    /// The person's id.
    id: Uuid,
    /// The name.
    name: String,
    /// What the person may do.
    #[schema(value_type = crate::api::people::RoleWord)]
    role: store::Role,
    /// The paired device that asks; absent in a browser of the office.
    #[serde(skip_serializing_if = "Option::is_none")]
    device: Option<Uuid>,
    /// The shop.
    shop: String,
    /// Whether this server takes passkeys.
    passkeys: crate::passkey::Takes,
}

pub(super) type WithCookie<T> = (AppendHeaders<[(axum::http::HeaderName, HeaderValue); 1]>, T);

fn with_cookie(
    shop: &Shop,
    token: &str,
    seconds: i64,
) -> Done<AppendHeaders<[(axum::http::HeaderName, HeaderValue); 1]>> {
    let secure = if shop.secure { "; Secure" } else { "" };
    let text = format!(
        "{}={token}; Path=/; Max-Age={seconds}; HttpOnly; SameSite=Strict{secure}",
        cookie_name(shop.secure)
    );
    let value = HeaderValue::from_str(&text).map_err(|_| Problem::ours())?;
    Ok(AppendHeaders([(SET_COOKIE, value)]))
}

/// Logs a person in; the answer sets a cookie that only this browser sends. A session that was there before ends.
#[utoipa::path(post, path = "/login", tag = "session", request_body = Login, security(()),
    responses((status = 200, body = Me, headers(("Set-Cookie" = String))), Problems))]
pub async fn login(
    State(shop): State<Arc<Shop>>,
    Try(_): Try,
    before: Option<Member>,
    Json(login): Json<Login>,
) -> Done<WithCookie<axum::Json<Me>>> {
    let now = now();
    let name = login.name.clone();
    let person = shop.ask(move |store| store.person_named(&name)).await?.filter(|person| person.active);
    let hashed = person.as_ref().and_then(|person| person.password.clone());
    let _permit = shop.hashing.acquire().await.map_err(|_| Problem::ours())?;
    let right = shop.call(move |_| secret::is_password(&login.password, hashed.as_deref())).await?;
    drop(_permit);
    let Some(person) = person.filter(|_| right) else {
        shop.note(Audit {
            at: now,
            what: "login.refused".to_owned(),
            on: Some(login.name.chars().take(100).filter(|c| !c.is_control()).collect()),
            ..Audit::default()
        })
        .await?;
        return Err(Problem::wrong(Message::new("server-wrong-password")));
    };
    let audit = Audit { at: now, person: Some(person.id), what: "login".to_owned(), ..Audit::default() };
    let_in(&shop, person, before, audit).await
}

/// Lets a person in who proved who they are: a session, and its cookie. The session that was there before ends.
pub(super) async fn let_in(
    shop: &Shop,
    person: Person,
    before: Option<Member>,
    audit: Audit,
) -> Done<WithCookie<axum::Json<Me>>> {
    let now = audit.at;
    let token = secret::token()?;
    let session = Session {
        token: secret::hash(&token),
        person: person.id,
        created: now,
        expires: now + shop.session_ms,
    };
    let old = before.and_then(|before| before.0.session);
    shop.ask(move |store| {
        if let Some(old) = old {
            store.end_session(&old)?;
        }
        store.forget_expired(now)?;
        store.put_session(&session)?;
        store.audit(&[audit])
    })
    .await?;
    let cookie = with_cookie(shop, &token, shop.session_ms / 1000)?;
    let me = Me {
        id: person.id,
        name: person.name,
        role: person.role,
        device: None,
        passkeys: shop.passkeys.takes(),
        shop: shop.shop_name().await?,
    };
    Ok((cookie, axum::Json(me)))
}

/// Ends the session of this browser.
#[utoipa::path(post, path = "/logout", tag = "session",
    responses((status = 204, headers(("Set-Cookie" = String))), Problems))]
pub async fn logout(State(shop): State<Arc<Shop>>, Member(who): Member) -> Done<WithCookie<StatusCode>> {
    let audit = who.did("logout", None);
    if let Some(session) = who.session {
        shop.ask(move |store| {
            store.end_session(&session)?;
            store.audit(&[audit])
        })
        .await?;
    }
    Ok((with_cookie(&shop, "", 0)?, StatusCode::NO_CONTENT))
}

/// Says who asks.
#[utoipa::path(get, path = "/me", tag = "session", responses((status = 200, body = Me), Problems))]
pub async fn me(State(shop): State<Arc<Shop>>, Member(who): Member) -> Done<axum::Json<Me>> {
    let (shop, passkeys) = (shop.shop_name().await?, shop.passkeys.takes());
    Ok(axum::Json(Me {
        id: who.person.id,
        name: who.person.name,
        role: who.person.role,
        device: who.device,
        shop,
        passkeys,
    }))
}

/// A change of one's own password.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangePassword {
    /// The password until now.
    #[schema(max_length = 800, format = Password)]
    old: String,
    /// The password from now on.
    new: Password,
}

/// Changes one's own password; every session of this person ends.
#[utoipa::path(post, path = "/me/password", tag = "session", request_body = ChangePassword,
    responses((status = 204), Problems))]
pub async fn change_password(
    State(shop): State<Arc<Shop>>,
    Try(_): Try,
    Member(who): Member,
    Json(change): Json<ChangePassword>,
) -> Done<StatusCode> {
    let new = change.new.read()?;
    let audit = who.did("password.change", Some(who.person.id.to_string()));
    let mut person = who.person;
    let hashed = person.password.clone();
    let permit = shop.hashing.acquire().await.map_err(|_| Problem::ours())?;
    let hash = shop
        .call(move |_| {
            secret::is_password(&change.old, hashed.as_deref()).then(|| secret::hash_password(&new))
        })
        .await?;
    drop(permit);
    let Some(hash) = hash else {
        return Err(Problem::forbidden().detail(Message::new("server-wrong-password")));
    };
    person.password = Some(hash?);
    shop.ask(move |store| {
        store.put_person(&person)?;
        store.end_sessions_of(person.id)?;
        store.audit(&[audit])
    })
    .await?;
    Ok(StatusCode::NO_CONTENT)
}
