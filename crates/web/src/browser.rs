//! The few things the browser is asked for by name.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{Document, Window};

/// Returns the window.
///
/// # Panics
/// Never in a page, and the app runs nowhere else.
#[must_use]
pub fn window() -> Window {
    match web_sys::window() {
        Some(window) => window,
        None => unreachable!("the app runs in a page"),
    }
}

/// Returns the document.
///
/// # Panics
/// Never in a page, and the app runs nowhere else.
#[must_use]
pub fn document() -> Document {
    match window().document() {
        Some(document) => document,
        None => unreachable!("a page has a document"),
    }
}

/// Returns ten random bytes of the browser's own good source.
#[must_use]
pub fn random() -> [u8; 10] {
    let mut bytes = [0; 10];
    if let Ok(crypto) = window().crypto() {
        // It fails only for more than 65,536 bytes.
        let _ = crypto.get_random_values_with_u8_array(&mut bytes);
    }
    bytes
}

/// Returns whether the browser has promised to keep what is stored, where it tells.
pub async fn is_persisted() -> Option<bool> {
    answer("persisted").await
}

/// Asks the browser to keep what is stored; returns its answer, where it gives one.
pub async fn ask_to_persist() -> Option<bool> {
    answer("persist").await
}

async fn answer(method: &str) -> Option<bool> {
    JsFuture::from(storage_promise(method)?).await.ok()?.as_bool()
}

/// Calls a method of `navigator.storage`, by name: in a page without HTTPS there is no such object at all.
fn storage_promise(method: &str) -> Option<Promise> {
    let storage = Reflect::get(&window().navigator(), &"storage".into()).ok()?;
    if storage.is_undefined() || storage.is_null() {
        return None;
    }
    let call: Function = Reflect::get(&storage, &method.into()).ok()?.dyn_into().ok()?;
    call.call0(&storage).ok()?.dyn_into().ok()
}

/// Returns the member of this name where there is one.
fn member<T: JsCast>(of: &JsValue, name: &str) -> Option<T> {
    Reflect::get(of, &name.into()).ok()?.dyn_into().ok()
}

/// Returns whether the browser has passkeys and reads what a server asks of them as JSON; a page without HTTPS has none.
#[must_use]
pub fn has_passkeys() -> bool {
    let kind = member::<Function>(&window(), "PublicKeyCredential");
    kind.is_some_and(|kind| member::<Function>(&kind, "parseRequestOptionsFromJSON").is_some())
}

/// Asks for a passkey, which asks the person: `call` is `create` for a new one, `get` for one that is there. Returns it
/// as JSON.
///
/// # Errors
/// The name of the browser's fault: `InvalidStateError` where a new one is there already, else it was cancelled or there
/// is none.
pub async fn credential(call: &str, options: &str) -> Result<String, String> {
    let parse = if call == "create" { "parseCreationOptionsFromJSON" } else { "parseRequestOptionsFromJSON" };
    let asked = || -> Option<Result<Promise, JsValue>> {
        let kind: Function = member(&window(), "PublicKeyCredential")?;
        let parsed = member::<Function>(&kind, parse)?.call1(&kind, &js_sys::JSON::parse(options).ok()?);
        let wanted = js_sys::Object::new();
        let credentials: js_sys::Object = member(&window().navigator(), "credentials")?;
        let ask: Function = member(&credentials, call)?;
        Some(parsed.and_then(|parsed| {
            Reflect::set(&wanted, &"publicKey".into(), &parsed)?;
            Ok(ask.call1(&credentials, &wanted)?.unchecked_into())
        }))
    };
    let name =
        |fault: JsValue| member::<js_sys::JsString>(&fault, "name").map(String::from).unwrap_or_default();
    let given = JsFuture::from(asked().ok_or_else(String::new)?.map_err(name)?).await.map_err(name)?;
    let to_json: Function = member(&given, "toJSON").ok_or_else(String::new)?;
    let json = to_json.call0(&given).and_then(|json| js_sys::JSON::stringify(&json)).map_err(name)?;
    Ok(json.into())
}

/// Returns whether the browser has next to no room left for us, where it tells.
pub async fn is_full() -> bool {
    /// Less than this is as good as none, in bytes.
    const ROOM: f64 = 1_000_000.0;
    let Some(estimate) = storage_promise("estimate") else { return false };
    let Ok(estimate) = JsFuture::from(estimate).await else { return false };
    let number = |name: &str| Reflect::get(&estimate, &name.into()).ok().and_then(|value| value.as_f64());
    match (number("quota"), number("usage")) {
        (Some(quota), Some(usage)) => quota - usage < ROOM,
        _ => false,
    }
}

/// Calls `work` whenever `event` happens to `target`, for as long as the page lives.
pub fn listen(target: &web_sys::EventTarget, event: &str, work: impl Fn(web_sys::Event) + 'static) {
    let closure = Closure::<dyn Fn(web_sys::Event)>::new(work);
    // A target that refuses a listener is none of ours.
    let _ = target.add_event_listener_with_callback(event, closure.as_ref().unchecked_ref());
    closure.forget();
}

/// Returns a word kept by the browser outside the store, for what is needed before the store is open.
#[must_use]
pub fn early(name: &str) -> Option<String> {
    window().local_storage().ok()??.get_item(name).ok()?
}

/// Keeps a word outside the store; a browser that keeps nothing is no matter.
pub fn keep_early(name: &str, value: Option<&str>) {
    if let Ok(Some(storage)) = window().local_storage() {
        let _ = match value {
            Some(value) => storage.set_item(name, value),
            None => storage.remove_item(name),
        };
    }
}

/// Returns what a fault of the browser says, for people who look for its cause.
#[must_use]
pub fn fault_text(fault: &JsValue) -> String {
    let part = |name: &str| {
        Reflect::get(fault, &name.into()).ok().and_then(|v| v.as_string()).filter(|text| !text.is_empty())
    };
    match (part("name"), part("message")) {
        (Some(name), Some(message)) => format!("{name}: {message}"),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => fault.as_string().unwrap_or_default(),
    }
}

/// Gives the page the letters that the reports carry; the program has them once, for both. Until then, and where the browser
/// takes none, the page is read in the system's own.
pub fn put_letters() {
    for (weight, bytes) in report::FONTS {
        let how = web_sys::FontFaceDescriptors::new();
        how.set_weight(&weight.to_string());
        // A copy of the browser's own: the program's memory moves when it grows.
        let own = js_sys::Uint8Array::from(bytes).buffer();
        let made = web_sys::FontFace::new_with_array_buffer_and_descriptors("B612", &own, &how);
        if let Ok(face) = made {
            let _ = document().fonts().add(&face);
        }
    }
}
