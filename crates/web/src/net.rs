//! Requests to the shop's server, which is where this page came from.

use crate::browser::{fault_text, window};
use gloo_timers::callback::Timeout;
use js_sys::Uint8Array;
use serde::{Deserialize, Serialize, de::DeserializeOwned};
use uuid::Uuid;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{AbortController, Headers, Request, RequestCache, RequestInit, Response};

/// The beginning of every address of the server's interface.
const BASE: &str = "/api/v1";
/// How long an answer may take, in milliseconds.
const PATIENCE_MS: u32 = 30_000;

/// What pairing gave: this phone's place in a shop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Session {
    /// The secret of this phone.
    pub token: String,
    /// The name of this phone at the shop.
    pub device: String,
    /// The person it was paired for.
    pub person: String,
    /// The shop.
    pub shop: String,
    /// What that person may do, as the shop said last.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// The state of the shop's lists that this phone has.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lists: Option<String>,
}

/// What is asked of the server.
#[derive(Clone, Debug, Default)]
pub struct Ask<'a> {
    /// The method.
    pub method: &'a str,
    /// The address behind the beginning.
    pub path: &'a str,
    /// The phone's secret.
    pub token: Option<&'a str>,
    /// Headers.
    pub headers: &'a [(&'a str, String)],
    /// The body.
    pub body: Body<'a>,
}

/// The body of a request.
#[derive(Clone, Copy, Debug, Default)]
pub enum Body<'a> {
    /// None.
    #[default]
    None,
    /// JSON.
    Json(&'a str),
    /// Bytes.
    Bytes(&'a [u8]),
}

/// What the server answered.
pub struct Answer {
    response: Response,
}

/// Why there is no usable answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NetFault {
    /// The server was not reached, or answered too late.
    Away(String),
    /// It does not know this phone any more.
    NotLetIn,
    /// It refuses the events with these ids.
    Refused(Vec<Uuid>),
    /// It asks to be left alone for so many seconds.
    Busy(Option<u32>),
    /// It answered something else; its words.
    Other(String),
}

/// The part of a problem document (RFC 9457) that is used here.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct Problem {
    title: String,
    detail: String,
    ids: Vec<Uuid>,
}

/// Asks the server.
///
/// # Errors
/// [`NetFault::Away`] where no answer came.
pub async fn ask(ask: &Ask<'_>) -> Result<Answer, NetFault> {
    let away = |fault: JsValue| NetFault::Away(fault_text(&fault));
    let init = RequestInit::new();
    init.set_method(ask.method);
    init.set_cache(RequestCache::NoStore);
    let headers = Headers::new().map_err(away)?;
    match ask.body {
        Body::None => {}
        Body::Json(text) => {
            headers.set("Content-Type", "application/json").map_err(away)?;
            init.set_body(&JsValue::from_str(text));
        }
        Body::Bytes(bytes) => {
            headers.set("Content-Type", "application/octet-stream").map_err(away)?;
            init.set_body(&Uint8Array::from(bytes));
        }
    }
    if let Some(token) = ask.token {
        headers.set("Authorization", &format!("Bearer {token}")).map_err(away)?;
    }
    // A browser in the office is known by its cookie; this header proves that the request is our own page's.
    headers.set("X-Gastight", "1").map_err(away)?;
    for (name, value) in ask.headers {
        headers.set(name, value).map_err(away)?;
    }
    init.set_headers(&headers);
    let abort = AbortController::new().map_err(away)?;
    init.set_signal(Some(&abort.signal()));
    let request = Request::new_with_str_and_init(&format!("{BASE}{}", ask.path), &init).map_err(away)?;
    let patience = Timeout::new(PATIENCE_MS, move || abort.abort());
    let response = JsFuture::from(window().fetch_with_request(&request)).await;
    patience.cancel();
    let response: Response = response.map_err(away)?.dyn_into().map_err(away)?;
    Ok(Answer { response })
}

impl Answer {
    /// Returns the status.
    #[must_use]
    pub fn status(&self) -> u16 {
        self.response.status()
    }

    /// Returns a header.
    #[must_use]
    pub fn header(&self, name: &str) -> Option<String> {
        self.response.headers().get(name).ok().flatten()
    }

    /// Returns the body as text.
    ///
    /// # Errors
    /// [`NetFault::Away`] where it broke off.
    pub async fn text(&self) -> Result<String, NetFault> {
        let away = |fault: JsValue| NetFault::Away(fault_text(&fault));
        let text = JsFuture::from(self.response.text().map_err(away)?).await.map_err(away)?;
        Ok(text.as_string().unwrap_or_default())
    }

    /// Returns the body as bytes.
    ///
    /// # Errors
    /// [`NetFault::Away`] where it broke off.
    pub async fn bytes(&self) -> Result<Vec<u8>, NetFault> {
        let away = |fault: JsValue| NetFault::Away(fault_text(&fault));
        let buffer = JsFuture::from(self.response.array_buffer().map_err(away)?).await.map_err(away)?;
        Ok(Uint8Array::new(&buffer).to_vec())
    }

    /// Returns the body read as JSON where the answer is a good one.
    ///
    /// # Errors
    /// [`NetFault`] as the answer says.
    pub async fn json<T: DeserializeOwned>(&self) -> Result<T, NetFault> {
        let answer = self.good().await?;
        serde_json::from_str(&answer.text().await?).map_err(|why| NetFault::Other(why.to_string()))
    }

    /// Returns itself where the answer is a good one.
    ///
    /// # Errors
    /// [`NetFault`] as the answer says.
    pub async fn good(&self) -> Result<&Self, NetFault> {
        if self.response.ok() {
            return Ok(self);
        }
        let text = self.text().await.unwrap_or_default();
        let problem: Problem = serde_json::from_str(&text).unwrap_or_default();
        Err(match self.status() {
            401 | 403 => NetFault::NotLetIn,
            429 | 503 => NetFault::Busy(self.header("Retry-After").and_then(|text| text.trim().parse().ok())),
            400..=499 if !problem.ids.is_empty() => NetFault::Refused(problem.ids),
            // A gateway whose server is down.
            502 | 504 => NetFault::Away(self.status().to_string()),
            status => {
                let words: Vec<String> = [status.to_string(), problem.title, problem.detail]
                    .into_iter()
                    .filter(|text| !text.is_empty())
                    .collect();
                NetFault::Other(words.join(", "))
            }
        })
    }
}
