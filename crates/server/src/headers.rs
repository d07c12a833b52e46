//! The headers that every answer has.

use crate::shop::Shop;
use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, REFERRER_POLICY, STRICT_TRANSPORT_SECURITY,
    X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderName, HeaderValue};
use axum::middleware::Next;
use axum::response::Response;
use std::sync::Arc;

/// What the app may do: its own files, WebAssembly, pictures it holds itself; nothing from elsewhere.
pub const APP_POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
    img-src 'self' blob: data:; font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; \
    form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
/// What a report may do: show itself.
pub const REPORT_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; \
    form-action 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox allow-modals";
/// What any other answer may do: nothing.
const NO_POLICY: &str = "default-src 'none'; frame-ancestors 'none'; sandbox";

/// Adds the headers that every answer has.
pub async fn add(State(shop): State<Arc<Shop>>, request: Request, next: Next) -> Response {
    let is_api = request.uri().path().starts_with("/api/");
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let mut absent = |name: HeaderName, value: &'static str| {
        if !headers.contains_key(&name) {
            headers.insert(name, HeaderValue::from_static(value));
        }
    };
    absent(CONTENT_SECURITY_POLICY, NO_POLICY);
    absent(X_CONTENT_TYPE_OPTIONS, "nosniff");
    absent(REFERRER_POLICY, "no-referrer");
    absent(X_FRAME_OPTIONS, "DENY");
    absent(HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    absent(HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    absent(HeaderName::from_static("permissions-policy"), "camera=(self), geolocation=(), microphone=()");
    if is_api {
        absent(CACHE_CONTROL, "no-store");
    }
    if shop.secure {
        absent(STRICT_TRANSPORT_SECURITY, "max-age=31536000");
    }
    response
}
