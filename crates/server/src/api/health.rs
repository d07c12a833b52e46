//! Whether the server lives, whether it can do its work, and its counts.

use crate::openapi::Problems;
use crate::problem::{Done, Problem};
use crate::secret;
use crate::shop::Shop;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use std::sync::Arc;

/// Says that the server lives.
#[utoipa::path(get, path = "/healthz", tag = "health", security(()),
    responses((status = 200, content_type = "text/plain", body = String), Problems))]
pub async fn healthz() -> &'static str {
    "ok\n"
}

/// Says whether the store answers.
#[utoipa::path(get, path = "/readyz", tag = "health", security(()),
    responses((status = 200, content_type = "text/plain", body = String), Problems))]
pub async fn readyz(State(shop): State<Arc<Shop>>) -> Done<&'static str> {
    shop.ask(|store| store.epoch()).await.map_err(|_| Problem::busy())?;
    Ok("ready\n")
}

/// Returns the counts in the text form of Prometheus, to who has the metrics token.
#[utoipa::path(get, path = "/metrics", tag = "health", security(("metrics_token" = [])),
    responses((status = 200, content_type = "text/plain", body = String), Problems))]
pub async fn metrics(State(shop): State<Arc<Shop>>, headers: HeaderMap) -> Done<impl IntoResponse> {
    // Without a token set they are open to nobody.
    let Some(wanted) = shop.metrics_token else { return Err(Problem::nobody()) };
    let given = crate::body::header(&headers, "authorization")
        .and_then(|text| text.split_once(' '))
        .filter(|(scheme, _)| scheme.eq_ignore_ascii_case("bearer"))
        .map(|(_, token)| secret::hash(token.trim()));
    if !given.is_some_and(|given| secret::same(&given, &wanted)) {
        return Err(Problem::nobody());
    }
    page(&shop).await
}

/// Returns the counts as they are answered.
///
/// # Errors
/// What the store says.
pub async fn page(shop: &Shop) -> Done<([(axum::http::HeaderName, &'static str); 1], String)> {
    let counts = shop.ask(|store| store.counts()).await?;
    let text = shop.metrics.text(&counts);
    Ok(([(CONTENT_TYPE, "text/plain; version=0.0.4; charset=utf-8")], text))
}
