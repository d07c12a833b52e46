//! Who asks, decided from the head of a request alone, before anything of its body is read.

use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::{Shop, now};
use axum::extract::{FromRequestParts, OptionalFromRequestParts};
use axum::http::header::{AUTHORIZATION, COOKIE};
use axum::http::{HeaderMap, Method, request::Parts};
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use store::{Audit, Person, Role};
use uuid::Uuid;

/// A device's last visit is noted again after so many milliseconds.
const SEEN_MS: i64 = 60_000;

/// Who asks.
#[derive(Clone, Debug)]
pub struct Who {
    /// The person.
    pub person: Person,
    /// The paired device.
    pub device: Option<Uuid>,
    /// The hash of the session's token.
    pub session: Option<[u8; 32]>,
}

impl Who {
    /// Returns an entry of the audit that says this person did `what`.
    #[must_use]
    pub fn did(&self, what: &str, on: Option<String>) -> Audit {
        Audit {
            at: now(),
            person: Some(self.person.id),
            device: self.device,
            what: what.to_owned(),
            on,
            ..Audit::default()
        }
    }
}

/// The address of the other end of a connection.
#[derive(Clone, Copy, Debug)]
pub struct Peer(pub SocketAddr);

/// Returns the address a request came from: of the connection, or what a proxy of ours says.
#[must_use]
pub fn address(shop: &Shop, parts: &Parts) -> IpAddr {
    let peer = parts.extensions.get::<Peer>().map_or(IpAddr::from([0, 0, 0, 0]), |peer| peer.0.ip());
    if !shop.trusted_proxies.contains(&peer) {
        return peer;
    }
    // The last entry is the one that our own proxy wrote; those before it are the client's word.
    parts
        .headers
        .get_all("x-forwarded-for")
        .iter()
        .next_back()
        .and_then(|text| text.to_str().ok()?.rsplit(',').next()?.trim().parse().ok())
        .unwrap_or(peer)
}

/// Returns the name of the session's cookie. With HTTPS a browser keeps it to this host and to HTTPS by its name.
#[must_use]
pub fn cookie_name(secure: bool) -> &'static str {
    if secure { "__Host-gastight" } else { "gastight" }
}

fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers
        .get_all(COOKIE)
        .iter()
        .filter_map(|text| text.to_str().ok())
        .flat_map(|text| text.split(';'))
        .find_map(|pair| {
            let (key, value) = pair.trim().split_once('=')?;
            (key == name && !value.is_empty()).then_some(value)
        })
}

/// Finds out who asks.
async fn who(shop: &Shop, parts: &Parts) -> Done<Who> {
    let now = now();
    if let Some(header) = parts.headers.get(AUTHORIZATION) {
        let text = header.to_str().map_err(|_| Problem::nobody())?;
        let (scheme, token) = text.split_once(' ').unwrap_or((text, ""));
        if !scheme.eq_ignore_ascii_case("bearer") {
            return Err(Problem::nobody());
        }
        let token = secret::hash(token.trim());
        let found = shop
            .ask(move |store| {
                let Some(device) = store.device_with(&token)? else { return Ok(None) };
                // The index found it; the comparison does not tell more by its time.
                if !secret::same(&device.token, &token) || device.revoked.is_some() {
                    return Ok(None);
                }
                if device.seen.is_none_or(|seen| now - seen > SEEN_MS) {
                    store.device_seen(device.id, now)?;
                }
                Ok(store.person(device.person)?.map(|person| (person, device.id)))
            })
            .await?;
        return match found {
            Some((person, device)) if person.active => {
                Ok(Who { person, device: Some(device), session: None })
            }
            _ => Err(Problem::nobody()),
        };
    }
    let token = cookie(&parts.headers, cookie_name(shop.secure)).ok_or_else(Problem::nobody)?;
    let token = secret::hash(token);
    let person = shop
        .ask(move |store| match store.session(&token, now)? {
            Some(session) if secret::same(&session.token, &token) => store.person(session.person),
            _ => Ok(None),
        })
        .await?;
    let person = person.filter(|person| person.active).ok_or_else(Problem::nobody)?;
    let reads = matches!(parts.method, Method::GET | Method::HEAD);
    if !reads && parts.headers.get("x-gastight").is_none_or(|value| value != "1") {
        return Err(Problem::not_our_page());
    }
    Ok(Who { person, device: None, session: Some(token) })
}

macro_rules! allowed {
    ($($(#[$doc:meta])* $name:ident = $roles:pat,)*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Debug)]
            pub struct $name(pub Who);

            impl FromRequestParts<Arc<Shop>> for $name {
                type Rejection = Problem;

                async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Done<Self> {
                    let who = who(shop, parts).await?;
                    if matches!(who.person.role, $roles) { Ok(Self(who)) } else { Err(Problem::forbidden()) }
                }
            }
        )*
    };
}

allowed! {
    /// Somebody of the shop.
    Member = _,
    /// Somebody of the shop who is no apprentice.
    Full = Role::Owner | Role::Office | Role::Technician,
    /// The office, or the owner.
    Office = Role::Office | Role::Owner,
    /// The owner.
    Owner = Role::Owner,
}

impl OptionalFromRequestParts<Arc<Shop>> for Member {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Done<Option<Self>> {
        // Whoever is not let in is nobody here.
        Ok(who(shop, parts).await.ok().map(Self))
    }
}

/// A try to get in, counted against the limits.
#[derive(Clone, Copy, Debug)]
pub struct Try(pub IpAddr);

impl FromRequestParts<Arc<Shop>> for Try {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Done<Self> {
        let from = address(shop, parts);
        shop.tries.take(from, now()).map_err(Problem::too_often)?;
        Ok(Self(from))
    }
}
