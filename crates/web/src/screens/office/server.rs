//! What the owner's pages ask of the server.

use super::passkeys::Begun;
use crate::app::App;
use crate::export::save_file;
use crate::net::{self, Answer, Ask, Body, NetFault};
use report::Message;
use serde::{Deserialize, de::DeserializeOwned};
use std::cell::RefCell;

/// Who asks.
#[derive(Clone, Debug, Deserialize)]
pub struct Me {
    /// The name.
    pub name: String,
    /// `owner`, `office`, `technician` or `apprentice`.
    pub role: String,
    /// The shop.
    pub shop: String,
    /// Whether the server takes passkeys: `taken`, `no_domain` or `not_built`.
    #[serde(default)]
    pub passkeys: String,
    /// Known as a paired phone rather than by a sign-in.
    #[serde(skip)]
    pub by_phone: bool,
}

impl Me {
    /// Returns whether this is somebody of the office, the owner included.
    pub fn is_office(&self) -> bool {
        matches!(self.role.as_str(), "owner" | "office")
    }
}

/// A part of a list.
#[derive(Clone, Debug, Deserialize)]
pub struct Rows<T> {
    /// The rows.
    pub rows: Vec<T>,
    /// Where the next part begins.
    #[serde(default)]
    pub next: Option<u64>,
}

/// A job as the server lists it.
#[derive(Clone, Debug, Deserialize)]
pub struct Job {
    /// Its id.
    pub job: uuid::Uuid,
    /// A line that names it.
    #[serde(default)]
    pub title: String,
    /// Its system.
    #[serde(default)]
    pub system: Option<uuid::Uuid>,
    /// How many events it has.
    #[serde(default)]
    pub events: u64,
    /// The latest stamp.
    #[serde(default)]
    pub to_ms: i64,
    /// What was worked out of it.
    pub summary: job::shop::Summary,
}

/// Why there is no answer to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// Nobody is signed in, or not any more.
    NotIn,
    /// This person may not see that.
    NotAllowed,
    /// The server was not reached.
    Away,
    /// It asks to wait.
    Busy,
    /// The browser gave no passkey.
    NoPasskey,
    /// The browser, or the key, has one of this person already.
    PasskeyThere,
    /// Its own words.
    Said(String),
}

impl Fault {
    /// Returns it as a sentence.
    pub fn message(&self) -> Message {
        match self {
            Fault::NotIn => Message::new("office-not-in"),
            Fault::NotAllowed => Message::new("office-not-allowed"),
            Fault::Away => Message::new("office-away"),
            Fault::Busy => Message::new("office-busy"),
            Fault::NoPasskey => Message::new("office-passkey-none"),
            Fault::PasskeyThere => Message::new("office-passkey-there"),
            Fault::Said(words) => Message::new("office-said").with("words", words),
        }
    }
}

thread_local! {
    static ME: RefCell<Option<Me>> = const { RefCell::new(None) };
}

/// Returns who is signed in, as far as this page knows.
pub fn known() -> Option<Me> {
    ME.with(|me| me.borrow().clone())
}

fn remember(me: Option<Me>) {
    ME.with(|known| known.replace(me));
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Problem {
    title: String,
    detail: String,
}

async fn send(
    app: App,
    method: &str,
    path: &str,
    body: Option<&str>,
    as_phone: bool,
) -> Result<Answer, Fault> {
    let token = app.session().map(|session| session.token).filter(|_| as_phone);
    let ask = Ask {
        method,
        path,
        token: token.as_deref(),
        headers: &[],
        body: body.map_or(Body::None, Body::Json),
    };
    let answer = net::ask(&ask).await.map_err(|fault| match fault {
        NetFault::Busy(_) => Fault::Busy,
        _ => Fault::Away,
    })?;
    match answer.status() {
        200..=299 => Ok(answer),
        401 if !path.starts_with("/login") => {
            remember(None);
            Err(Fault::NotIn)
        }
        403 => Err(Fault::NotAllowed),
        429 | 503 => Err(Fault::Busy),
        502 | 504 => Err(Fault::Away),
        _ => {
            let text = answer.text().await.unwrap_or_default();
            let problem: Problem = serde_json::from_str(&text).unwrap_or_default();
            let words: Vec<String> =
                [problem.title, problem.detail].into_iter().filter(|text| !text.is_empty()).collect();
            Err(Fault::Said(words.join(" ")))
        }
    }
}

async fn read<T: DeserializeOwned>(answer: Answer) -> Result<T, Fault> {
    let text = answer.text().await.map_err(|_| Fault::Away)?;
    serde_json::from_str(&text).map_err(|why| Fault::Said(why.to_string()))
}

fn as_phone() -> bool {
    known().is_some_and(|me| me.by_phone)
}

/// Returns who asks: by the sign-in of this browser, else as the paired phone that this is.
pub async fn me(app: App) -> Result<Me, Fault> {
    let (answer, by_phone) = match send(app, "GET", "/me", None, false).await {
        Err(Fault::NotIn) if app.session().is_some() => (send(app, "GET", "/me", None, true).await?, true),
        other => (other?, false),
    };
    let me = Me { by_phone, ..read(answer).await? };
    remember(Some(me.clone()));
    Ok(me)
}

/// Signs a person in.
pub async fn sign_in(app: App, name: &str, password: &str) -> Result<Me, Fault> {
    let body = serde_json::json!({ "name": name, "password": password }).to_string();
    let me: Me = read(send(app, "POST", "/login", Some(&body), false).await?).await?;
    remember(Some(me.clone()));
    Ok(me)
}

/// Returns whether a passkey can be signed in with: the browser has them, and the server takes them.
pub async fn takes_passkeys(app: App) -> bool {
    if !crate::browser::has_passkeys() {
        return false;
    }
    let Ok(answer) = send(app, "GET", "/passkeys", None, false).await else { return false };
    read::<serde_json::Value>(answer).await.is_ok_and(|said| said["passkeys"] == "taken")
}

/// Signs a person in with a passkey that the browser asks for.
pub async fn sign_in_by_passkey(app: App) -> Result<Me, Fault> {
    let begun: Begun = read(send(app, "POST", "/login/passkey/begin", None, false).await?).await?;
    let body = begun.ask("get").await?.to_string();
    let me: Me = read(send(app, "POST", "/login/passkey", Some(&body), false).await?).await?;
    remember(Some(me.clone()));
    Ok(me)
}

/// Signs this browser out.
pub async fn sign_out(app: App) -> Result<(), Fault> {
    send(app, "POST", "/logout", None, false).await?;
    remember(None);
    Ok(())
}

/// Returns what stands at an address.
pub async fn get<T: DeserializeOwned>(app: App, path: &str) -> Result<T, Fault> {
    read(send(app, "GET", path, None, as_phone()).await?).await
}

/// Sends a change.
pub async fn change(
    app: App,
    method: &str,
    path: &str,
    body: Option<&serde_json::Value>,
) -> Result<Answer, Fault> {
    let text = body.map(ToString::to_string);
    send(app, method, path, text.as_deref(), as_phone()).await
}

/// Sends a change and reads its answer.
pub async fn change_for<T: DeserializeOwned>(
    app: App,
    method: &str,
    path: &str,
    body: &serde_json::Value,
) -> Result<T, Fault> {
    read(change(app, method, path, Some(body)).await?).await
}

/// Hands a table to the person as a file.
pub async fn take_along(app: App, path: &str, name: &str) -> Result<(), Fault> {
    let answer = send(app, "GET", path, None, as_phone()).await?;
    let bytes = answer.bytes().await.map_err(|_| Fault::Away)?;
    let kind = if name.ends_with(".ics") { "text/calendar" } else { "text/csv" };
    save_file(name, &bytes, kind).map_err(|why| Fault::Said(app.say(&why.message())))
}
