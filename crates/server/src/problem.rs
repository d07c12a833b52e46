//! What a request is answered with where it is not done: problem details (RFC 9457).

use crate::shop::Shop;
use axum::Json;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{ACCEPT_LANGUAGE, CONTENT_TYPE, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use report::Message;
use serde::Serialize;
use std::sync::Arc;
use utoipa::ToSchema;
use uuid::Uuid;

/// The result of a request.
pub type Done<T> = Result<T, Problem>;

/// Why a request is not done.
#[derive(Clone, Debug)]
pub struct Problem(Box<Inside>);

#[derive(Clone, Debug)]
struct Inside {
    status: StatusCode,
    kind: &'static str,
    title: Message,
    detail: Option<Message>,
    ids: Vec<Uuid>,
    headers: Vec<(HeaderName, HeaderValue)>,
}

/// A problem as it is sent, in the language that the request asks for.
#[derive(Debug, Serialize, ToSchema)]
#[schema(as = Problem, example = json!({
    "type": "/problems/no-such-thing", "title": "There is no such thing here.", "status": 404,
    "detail": "No job has this id.", "instance": "/api/v1/jobs/0190d5c4-0000-7000-8000-000000000000"
}))]
pub struct ProblemDocument {
    /// Which kind of problem; stays the same for a kind.
    #[serde(rename = "type")]
    pub kind: String,
    /// The kind in words.
    pub title: String,
    /// The status of the answer.
    #[schema(minimum = 400, maximum = 599)]
    pub status: u16,
    /// What is wrong with this request.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub detail: Option<String>,
    /// The address that was asked for.
    pub instance: String,
    /// The events that it is about.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ids: Vec<Uuid>,
}

impl Problem {
    /// Returns a problem of a kind.
    #[must_use]
    pub fn new(status: StatusCode, kind: &'static str, title: Message) -> Self {
        Self(Box::new(Inside { status, kind, title, detail: None, ids: Vec::new(), headers: Vec::new() }))
    }

    /// Returns it with what is wrong with this request.
    #[must_use]
    pub fn detail(mut self, detail: Message) -> Self {
        self.0.detail = Some(detail);
        self
    }

    /// Returns it with a header.
    #[must_use]
    pub fn header(mut self, name: HeaderName, value: impl Into<HeaderValue>) -> Self {
        self.0.headers.push((name, value.into()));
        self
    }

    /// Returns it with the events that it is about.
    #[must_use]
    pub fn ids(mut self, ids: Vec<Uuid>) -> Self {
        self.0.ids = ids;
        self
    }

    /// Returns: nobody that we know.
    #[must_use]
    pub fn nobody() -> Self {
        Self::new(StatusCode::UNAUTHORIZED, "not-let-in", Message::new("server-not-let-in"))
            .header(WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"))
    }

    /// Returns: the name or the password is wrong, or the code.
    #[must_use]
    pub fn wrong(detail: Message) -> Self {
        Self::nobody().detail(detail)
    }

    /// Returns: known, and not allowed this.
    #[must_use]
    pub fn forbidden() -> Self {
        Self::new(StatusCode::FORBIDDEN, "not-allowed", Message::new("server-not-allowed"))
    }

    /// Returns: a request of a session that did not come from our own page.
    #[must_use]
    pub fn not_our_page() -> Self {
        Self::forbidden().detail(Message::new("server-not-our-page"))
    }

    /// Returns: there is no such thing.
    #[must_use]
    pub fn missing(detail: Message) -> Self {
        Self::new(StatusCode::NOT_FOUND, "no-such-thing", Message::new("server-missing")).detail(detail)
    }

    /// Returns: it stands against what is here.
    #[must_use]
    pub fn conflict(kind: &'static str, detail: Message) -> Self {
        Self::new(StatusCode::CONFLICT, kind, Message::new("server-conflict")).detail(detail)
    }

    /// Returns: what was sent cannot be read.
    #[must_use]
    pub fn unreadable(why: impl Into<report::Arg>) -> Self {
        Self::new(StatusCode::BAD_REQUEST, "unreadable", Message::new("server-unreadable"))
            .detail(Message::new("server-unreadable-why").with("why", why))
    }

    /// Returns: too large.
    #[must_use]
    pub fn too_large(most: usize) -> Self {
        Self::new(StatusCode::PAYLOAD_TOO_LARGE, "too-large", Message::new("server-too-large"))
            .detail(Message::new("server-too-large-most").with("most", most))
    }

    /// Returns: not a form of body that is taken.
    #[must_use]
    pub fn not_taken(wanted: &'static str) -> Self {
        Self::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "not-taken", Message::new("server-not-taken"))
            .detail(Message::new("server-not-taken-wanted").with("wanted", wanted))
    }

    /// Returns: too often; how many seconds to wait.
    #[must_use]
    pub fn too_often(seconds: u64) -> Self {
        Self::new(StatusCode::TOO_MANY_REQUESTS, "too-often", Message::new("server-too-often"))
            .detail(
                Message::new("server-too-often-wait")
                    .with("seconds", i64::try_from(seconds).unwrap_or(i64::MAX)),
            )
            .header(RETRY_AFTER, HeaderValue::from(seconds))
    }

    /// Returns: busy for now.
    #[must_use]
    pub fn busy() -> Self {
        Self::new(StatusCode::SERVICE_UNAVAILABLE, "busy", Message::new("server-busy"))
            .header(RETRY_AFTER, HeaderValue::from_static("2"))
    }

    /// Returns: our fault. What happened goes into the log alone.
    #[must_use]
    pub fn ours() -> Self {
        Self::new(StatusCode::INTERNAL_SERVER_ERROR, "our-fault", Message::new("server-our-fault"))
    }

    /// Returns the problem of an answer that came without one, by its status.
    fn of_status(status: StatusCode) -> Self {
        match status {
            StatusCode::NOT_FOUND => Self::new(status, "no-such-thing", Message::new("server-missing")),
            StatusCode::METHOD_NOT_ALLOWED => {
                Self::new(status, "no-such-method", Message::new("server-no-such-method"))
            }
            StatusCode::REQUEST_TIMEOUT => Self::new(status, "too-slow", Message::new("server-too-slow")),
            StatusCode::PAYLOAD_TOO_LARGE => Self::new(status, "too-large", Message::new("server-too-large")),
            _ if status.is_client_error() => {
                Self::new(status, "unreadable", Message::new("server-unreadable"))
            }
            _ => Self::new(status, "our-fault", Message::new("server-our-fault")),
        }
    }
}

impl From<store::Error> for Problem {
    fn from(error: store::Error) -> Self {
        use store::Error as E;
        // What the store says of a request is plain words, and has no secrets in it.
        let said = Message::new("server-store-said").with("why", error.to_string());
        match error {
            E::Refused { ids } => {
                let detail = Message::new("server-refused").with("count", ids.len());
                Self::conflict("other-content", detail).ids(ids)
            }
            E::NotEvents { faults } => {
                let ids = faults.iter().filter_map(|fault| fault.id).collect();
                let title = Message::new("server-not-events");
                Self::new(StatusCode::UNPROCESSABLE_ENTITY, "not-events", title).detail(said).ids(ids)
            }
            E::TooMany { .. } | E::NotAHash { .. } => {
                Self::new(StatusCode::BAD_REQUEST, "unreadable", Message::new("server-unreadable"))
                    .detail(said)
            }
            E::NameTaken { .. } => Self::conflict("name-taken", said),
            E::NotFound { .. } => Self::missing(said),
            E::Offset { expected, .. } => {
                Self::conflict("other-offset", said).header(UPLOAD_OFFSET, HeaderValue::from(expected))
            }
            E::HashMismatch { .. } => {
                Self::new(StatusCode::UNPROCESSABLE_ENTITY, "other-hash", Message::new("server-other-hash"))
                    .detail(said)
                    .header(UPLOAD_OFFSET, HeaderValue::from(0))
            }
            E::ChunkTooLarge { .. } | E::PictureTooLarge { .. } => {
                Self::new(StatusCode::PAYLOAD_TOO_LARGE, "too-large", Message::new("server-too-large"))
                    .detail(said)
            }
            E::Busy => Self::busy(),
            E::Newer { .. } | E::NotEmpty | E::Backup { .. } | E::Failed { .. } => {
                tracing::error!(why = %error, "the store failed");
                Self::ours()
            }
        }
    }
}

/// The header that says where the next piece of a picture begins.
pub const UPLOAD_OFFSET: HeaderName = HeaderName::from_static("upload-offset");

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut response = self.0.status.into_response();
        for (name, value) in &self.0.headers {
            response.headers_mut().insert(name.clone(), value.clone());
        }
        response.extensions_mut().insert(self);
        response
    }
}

/// Puts the problem of an answer into words.
pub async fn told(State(shop): State<Arc<Shop>>, request: Request, next: Next) -> Response {
    let instance = request.uri().path().to_owned();
    let head = request.method() == Method::HEAD;
    let language =
        request.headers().get(ACCEPT_LANGUAGE).and_then(|text| text.to_str().ok()).map(str::to_owned);
    let mut response = next.run(request).await;
    let status = response.status();
    if !status.is_client_error() && !status.is_server_error() {
        return response;
    }
    let found = response.extensions_mut().remove::<Problem>();
    let problem = *found.unwrap_or_else(|| Problem::of_status(status)).0;
    let wording = shop.wording(language.as_deref());
    let document = ProblemDocument {
        kind: format!("/problems/{}", problem.kind),
        title: wording.say(&problem.title),
        status: problem.status.as_u16(),
        detail: problem.detail.map(|detail| wording.say(&detail)),
        instance,
        ids: problem.ids,
    };
    let (mut parts, _) = response.into_parts();
    let body = Json(document).into_response();
    parts.headers.remove(axum::http::header::CONTENT_LENGTH);
    parts.headers.insert(CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
    Response::from_parts(parts, if head { Body::empty() } else { body.into_body() })
}

impl From<crate::secret::NoRandomness> for Problem {
    fn from(error: crate::secret::NoRandomness) -> Self {
        tracing::error!(%error);
        Self::ours()
    }
}
