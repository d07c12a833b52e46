//! Reading what a request brings: its body, its address, its question.

use crate::problem::{Done, Problem};
use crate::shop::Shop;
use crate::strict;
use axum::body::{Body, Bytes};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::header::{CONTENT_ENCODING, CONTENT_LENGTH, CONTENT_TYPE};
use axum::http::{HeaderMap, request::Parts};
use http_body_util::{BodyExt as _, LengthLimitError, Limited};
use serde::de::DeserializeOwned;
use std::sync::Arc;
use uuid::Uuid;

/// The most bytes of an ordinary body.
pub const SMALL: usize = 64 * 1024;
/// The most bytes of a request of sync: its lines, and what stands around them.
pub const SYNC: usize = record::sync::MESSAGE_BYTES + 64 * 1024;

/// A body of JSON of at most `MOST` bytes.
pub struct Json<T, const MOST: usize = SMALL>(pub T);

/// A piece of a picture.
pub struct Piece(pub Bytes);

/// Returns the bytes of a body that is neither compressed nor too large.
async fn bytes(headers: &HeaderMap, body: Body, most: usize) -> Done<Bytes> {
    if headers.get(CONTENT_ENCODING).is_some_and(|coding| coding != "identity") {
        return Err(Problem::not_taken("identity"));
    }
    let told = headers.get(CONTENT_LENGTH).and_then(|text| text.to_str().ok()?.parse::<u64>().ok());
    if told.is_some_and(|told| told > most as u64) {
        return Err(Problem::too_large(most));
    }
    match Limited::new(body, most).collect().await {
        Ok(whole) => Ok(whole.to_bytes()),
        Err(why) if why.is::<LengthLimitError>() => Err(Problem::too_large(most)),
        Err(why) => Err(Problem::unreadable(why.to_string())),
    }
}

fn is_type(headers: &HeaderMap, wanted: &str) -> bool {
    headers.get(CONTENT_TYPE).and_then(|text| text.to_str().ok()).is_some_and(|text| {
        text.split(';').next().is_some_and(|kind| kind.trim().eq_ignore_ascii_case(wanted))
    })
}

impl<T: DeserializeOwned, const MOST: usize> FromRequest<Arc<Shop>> for Json<T, MOST> {
    type Rejection = Problem;

    async fn from_request(request: Request, shop: &Arc<Shop>) -> Done<Self> {
        let (parts, body) = request.into_parts();
        if !is_type(&parts.headers, "application/json") {
            return Err(Problem::not_taken("application/json"));
        }
        let _permit = if MOST > SMALL { shop.bodies.acquire().await.ok() } else { None };
        let bytes = bytes(&parts.headers, body, MOST).await?;
        let text = std::str::from_utf8(&bytes).map_err(|why| Problem::unreadable(why.to_string()))?;
        let value = strict::read(text).map_err(|why| Problem::unreadable(why.to_string()))?;
        // A list would be read as the fields in their order, which nobody means.
        if !value.is_object() {
            return Err(Problem::unreadable("an object is wanted"));
        }
        serde_json::from_value(value).map(Self).map_err(|why| Problem::unreadable(why.to_string()))
    }
}

impl FromRequest<Arc<Shop>> for Piece {
    type Rejection = Problem;

    async fn from_request(request: Request, shop: &Arc<Shop>) -> Done<Self> {
        let (parts, body) = request.into_parts();
        if !is_type(&parts.headers, "application/octet-stream") {
            return Err(Problem::not_taken("application/octet-stream"));
        }
        let _permit = shop.bodies.acquire().await.ok();
        bytes(&parts.headers, body, record::sync::CHUNK_BYTES).await.map(Self)
    }
}

/// What stands behind the question mark of an address.
pub struct Query<T>(pub T);

impl<T: DeserializeOwned + Send> FromRequestParts<Arc<Shop>> for Query<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &Arc<Shop>) -> Done<Self> {
        axum::extract::Query::try_from_uri(&parts.uri)
            .map(|query| Self(query.0))
            .map_err(|why| Problem::unreadable(why.body_text()))
    }
}

/// An id in an address.
pub struct Id(pub Uuid);

impl FromRequestParts<Arc<Shop>> for Id {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Done<Self> {
        let path = axum::extract::Path::<String>::from_request_parts(parts, shop).await;
        let text = path.map_err(|why| Problem::unreadable(why.body_text()))?.0;
        text.parse().map(Self).map_err(|_| Problem::unreadable(format!("{text:.60} is no id")))
    }
}

/// The name of a picture in an address: 64 small hexadecimal digits, so that no path can stand there.
pub struct Sha(pub String);

impl FromRequestParts<Arc<Shop>> for Sha {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, shop: &Arc<Shop>) -> Done<Self> {
        let path = axum::extract::Path::<String>::from_request_parts(parts, shop).await;
        let text = path.map_err(|why| Problem::unreadable(why.body_text()))?.0;
        let digit = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        if text.len() == 64 && text.bytes().all(digit) {
            return Ok(Self(text));
        }
        Err(store::Error::NotAHash { given: text.chars().take(70).collect() }.into())
    }
}

/// Returns the text of a header, where it is there.
pub(crate) fn header<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers.get(name)?.to_str().ok().map(str::trim)
}
