//! The app's files, inside the program.

use crate::headers::APP_POLICY;
use crate::problem::Problem;
use crate::shop::Shop;
use axum::body::{Body, Bytes};
use axum::extract::State;
use axum::http::header::{
    ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_SECURITY_POLICY, CONTENT_TYPE, ETAG,
    IF_NONE_MATCH, VARY,
};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use report::Message;
use rust_embed::{EmbeddedFile, RustEmbed};
use std::fmt::Write as _;
use std::sync::Arc;

/// The files. A debug build reads them from the disk, so that a new site needs no new server.
#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/../../target/site"]
#[allow_missing = true]
struct Files;

const NOT_BUILT: &str = "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>gastight server</title>\
    <p>The server runs. The app was not built into it: run <code>cargo xtask serve</code>, or \
    <code>cargo xtask web</code> and build the server again.</p></html>\n";

fn kind(name: &str) -> &'static str {
    match name.rsplit_once('.').map_or("", |(_, ending)| ending) {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "webmanifest" => "application/manifest+json",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "txt" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn takes_brotli(headers: &HeaderMap) -> bool {
    let texts = headers.get_all(ACCEPT_ENCODING).iter().filter_map(|text| text.to_str().ok());
    texts.flat_map(|text| text.split(',')).any(|part| {
        let (coding, rest) = part.trim().split_once(';').unwrap_or((part.trim(), ""));
        let none = matches!(rest.trim(), "q=0" | "q=0.0" | "q=0.00" | "q=0.000");
        coding.trim().eq_ignore_ascii_case("br") && !none
    })
}

/// Answers with a file of the app; an address without a dot is a page of the app.
pub async fn serve(State(shop): State<Arc<Shop>>, method: Method, uri: Uri, headers: HeaderMap) -> Response {
    let path = uri.path();
    if !matches!(method, Method::GET | Method::HEAD) {
        return StatusCode::METHOD_NOT_ALLOWED.into_response();
    }
    if path.starts_with("/api/") || path == "/api" {
        return Problem::missing(Message::new("server-no-address")).into_response();
    }
    if path == "/trust" {
        return trust(&shop);
    }
    let name = path.trim_start_matches('/');
    let name = if name.contains('.') { name } else { "index.html" };
    let Some(file) = Files::get(name).filter(|_| !name.ends_with(".br")) else {
        if name != "index.html" {
            return Problem::missing(Message::new("server-no-address")).into_response();
        }
        let mut response = NOT_BUILT.into_response();
        response.headers_mut().insert(CONTENT_TYPE, HeaderValue::from_static(kind("index.html")));
        return response;
    };
    answer(name, file, &headers)
}

fn answer(name: &str, file: EmbeddedFile, headers: &HeaderMap) -> Response {
    let brotli = if takes_brotli(headers) { Files::get(&format!("{name}.br")) } else { None };
    let compressed = brotli.is_some();
    let mut tag = String::from("\"");
    for byte in file.metadata.sha256_hash() {
        let _ = write!(tag, "{byte:02x}");
    }
    tag.push_str(if compressed { "-br\"" } else { "\"" });
    let known = headers.get_all(IF_NONE_MATCH).iter().filter_map(|text| text.to_str().ok());
    let known = known.flat_map(|text| text.split(',')).any(|one| {
        let one = one.trim();
        one == "*" || one.strip_prefix("W/").unwrap_or(one) == tag
    });
    let mut response = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        let data = brotli.map_or(file.data, |file| file.data);
        Response::new(match data {
            std::borrow::Cow::Borrowed(bytes) => Body::from(Bytes::from_static(bytes)),
            std::borrow::Cow::Owned(bytes) => Body::from(bytes),
        })
    };
    let out = response.headers_mut();
    out.insert(CONTENT_TYPE, HeaderValue::from_static(kind(name)));
    out.insert(CACHE_CONTROL, HeaderValue::from_static("no-cache"));
    out.insert(VARY, HeaderValue::from_static("Accept-Encoding"));
    out.insert(CONTENT_SECURITY_POLICY, HeaderValue::from_static(APP_POLICY));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        out.insert(ETAG, tag);
    }
    if compressed && !known {
        out.insert(CONTENT_ENCODING, HeaderValue::from_static("br"));
    }
    response
}

/// Answers with the certificate of the shop's own authority, for a phone to trust.
pub fn trust(shop: &Shop) -> Response {
    let Some(pem) = &shop.authority else {
        return Problem::missing(Message::new("server-no-authority")).into_response();
    };
    let mut response = pem.clone().into_response();
    let headers = response.headers_mut();
    headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/x-x509-ca-cert"));
    let file = HeaderValue::from_static("attachment; filename=\"gastight-authority.crt\"");
    headers.insert(axum::http::header::CONTENT_DISPOSITION, file);
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brotli_is_sent_to_who_takes_it() {
        let takes = |text: &'static str| {
            let mut headers = HeaderMap::new();
            headers.insert(ACCEPT_ENCODING, HeaderValue::from_static(text));
            takes_brotli(&headers)
        };
        assert!(takes("gzip, deflate, br"));
        assert!(takes("br;q=0.5"));
        assert!(!takes("gzip, br;q=0"));
        assert!(!takes("brotli"));
        assert!(!takes_brotli(&HeaderMap::new()));
    }

    #[test]
    fn files_are_told_by_their_kind() {
        assert_eq!(kind("app-12.wasm"), "application/wasm");
        assert_eq!(kind("manifest.webmanifest"), "application/manifest+json");
        assert_eq!(kind("nothing"), "application/octet-stream");
    }
}
