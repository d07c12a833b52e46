//! Pictures, named by their content, brought in pieces.

use crate::auth::Member;
use crate::body::{Piece, Sha, header};
use crate::openapi::Problems;
use crate::problem::{Done, Problem, UPLOAD_OFFSET};
use crate::shop::Shop;
use axum::body::Body;
use axum::extract::State;
use axum::http::header::{CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_LENGTH, CONTENT_TYPE, ETAG};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode};
use axum::response::{IntoResponse as _, Response};
use report::Message;
use std::sync::Arc;
use tokio::io::AsyncReadExt as _;

const UPLOAD_COMPLETE: HeaderName = HeaderName::from_static("upload-complete");

fn state(status: StatusCode, offset: u64, complete: bool) -> Response {
    let mut response = status.into_response();
    let headers = response.headers_mut();
    headers.insert(UPLOAD_OFFSET, HeaderValue::from(offset));
    headers.insert(UPLOAD_COMPLETE, HeaderValue::from_static(if complete { "?1" } else { "?0" }));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

/// Says how much of a picture is here.
#[utoipa::path(head, path = "/blob/{sha256}", tag = "pictures",
    params(("sha256" = String, Path, description = "The SHA-256 of the picture, in small hexadecimal digits.",
        pattern = "^[0-9a-f]{64}$")),
    responses((status = 200, headers(
        ("Upload-Offset" = u64, description = "Where the next piece begins."),
        ("Upload-Complete" = String, description = "?1 where it is whole."))), Problems))]
pub async fn head(State(shop): State<Arc<Shop>>, Member(_): Member, Sha(sha256): Sha) -> Done<Response> {
    let here = shop.ask(move |store| store.picture_state(&sha256)).await?;
    Ok(state(StatusCode::OK, here.offset, here.complete))
}

/// Brings a piece of a picture, of at most 256 KiB; the last one ends it, if its hash is right.
#[utoipa::path(patch, path = "/blob/{sha256}", tag = "pictures",
    params(("sha256" = String, Path, description = "The SHA-256 of the picture, in small hexadecimal digits.",
            pattern = "^[0-9a-f]{64}$"),
        ("Upload-Offset" = u64, Header, description = "Where the piece begins.", minimum = 0,
            maximum = 9_007_199_254_740_991_u64),
        ("Upload-Complete" = Option<String>, Header, description = "?1 with the last piece.", pattern = r"^\?[01]$")),
    request_body(content = Vec<u8>, content_type = "application/octet-stream"),
    responses((status = 200, headers(
        ("Upload-Offset" = u64, description = "Where the next piece begins."),
        ("Upload-Complete" = String, description = "?1 where it is whole."))), Problems))]
pub async fn patch(
    State(shop): State<Arc<Shop>>,
    Member(who): Member,
    Sha(sha256): Sha,
    headers: HeaderMap,
    Piece(bytes): Piece,
) -> Done<Response> {
    let offset: u64 = header(&headers, "upload-offset")
        .and_then(|text| text.parse().ok())
        .filter(|offset| *offset <= super::EXACT)
        .ok_or_else(|| Problem::unreadable("Upload-Offset is missing, or no number of bytes"))?;
    let last = match header(&headers, "upload-complete") {
        Some("?1") => true,
        Some("?0" | "") | None => false,
        Some(other) => return Err(Problem::unreadable(format!("Upload-Complete is {other:.20}; ?0 or ?1"))),
    };
    let audit = who.did("picture.bring", Some(sha256.clone()));
    let (next, whole) = shop
        .ask(move |store| {
            let mut next = offset;
            if !bytes.is_empty() {
                next = store.picture_append(&sha256, offset, &bytes)?;
            }
            if last {
                store.picture_finish(&sha256)?;
            }
            let here = store.picture_state(&sha256)?;
            Ok((here.offset.max(next), here.complete))
        })
        .await?;
    if whole {
        shop.note(audit).await?;
    }
    Ok(state(StatusCode::OK, next, whole))
}

/// Returns what kind of picture a file is, by its first bytes. Anything else is handed out as bytes to save.
fn kind(first: &[u8]) -> Option<&'static str> {
    match first {
        [0xff, 0xd8, 0xff, ..] => Some("image/jpeg"),
        [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Some("image/png"),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some("image/webp"),
        _ => None,
    }
}

/// Hands out a picture. What is under a name never changes.
#[utoipa::path(get, path = "/blob/{sha256}", tag = "pictures",
    params(("sha256" = String, Path, description = "The SHA-256 of the picture, in small hexadecimal digits.",
        pattern = "^[0-9a-f]{64}$")),
    responses((status = 200, content((Vec<u8> = "image/jpeg"), (Vec<u8> = "image/png"), (Vec<u8> = "image/webp"),
        (Vec<u8> = "application/octet-stream"))), Problems))]
pub async fn get(State(shop): State<Arc<Shop>>, Member(who): Member, Sha(sha256): Sha) -> Done<Response> {
    let missing = || Problem::missing(Message::new("server-no-picture"));
    let name = sha256.clone();
    let path = shop.ask(move |store| store.picture(&name)).await?.ok_or_else(missing)?;
    let failed = |why: std::io::Error| {
        tracing::error!(%why, "a picture cannot be read");
        Problem::ours()
    };
    let mut bytes = Vec::new();
    let file = tokio::fs::File::open(&path).await.map_err(failed)?;
    file.take(record::sync::PICTURE_BYTES).read_to_end(&mut bytes).await.map_err(failed)?;
    shop.note(who.did("picture.read", Some(sha256.clone()))).await?;
    let mut response = Response::new(Body::empty());
    let headers = response.headers_mut();
    match kind(&bytes) {
        Some(kind) => headers.insert(CONTENT_TYPE, HeaderValue::from_static(kind)),
        None => {
            headers.insert(CONTENT_DISPOSITION, HeaderValue::from_static("attachment"));
            headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/octet-stream"))
        }
    };
    headers.insert(CONTENT_LENGTH, HeaderValue::from(bytes.len()));
    headers.insert(CACHE_CONTROL, HeaderValue::from_static("private, max-age=31536000, immutable"));
    if let Ok(tag) = HeaderValue::from_str(&format!("\"{sha256}\"")) {
        headers.insert(ETAG, tag);
    }
    *response.body_mut() = Body::from(bytes);
    Ok(response)
}
