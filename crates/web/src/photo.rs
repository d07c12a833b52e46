//! Pictures: scaled on the phone, stripped of what they tell about the place, named by their hash, kept, queued.

use crate::app::App;
use crate::browser::{document, fault_text, window};
use crate::clock::now;
use crate::entering::NotSaved;
use crate::net::{self, Ask};
use crate::store::StoredPicture;
use js_sys::{Array, Uint8Array};
use record::{Body, Observation, Picture, YesNo};
use report::Message;
use uuid::Uuid;
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, CanvasRenderingContext2d, File, HtmlCanvasElement, ImageBitmap, Url};

/// The longer side of a picture that is kept, in pixels: the figures of a gauge stay readable.
const LONG_SIDE: f64 = 1600.0;
/// How well it is kept, of 1.
const QUALITY: f64 = 0.8;
const KIND: &str = "image/jpeg";

/// A picture that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The event that names it.
    pub event: Uuid,
    /// The SHA-256 of its bytes, in hexadecimal.
    pub sha256: String,
}

/// Why a picture was not kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PhotoFault {
    /// It is no picture that this browser reads; its words.
    Unreadable(String),
    /// It could not be saved.
    NotSaved(NotSaved),
}

impl PhotoFault {
    /// Returns the sentence about it.
    #[must_use]
    pub fn message(&self) -> Message {
        match self {
            PhotoFault::Unreadable(words) => {
                Message::new("shell-picture-unreadable").with("words", words.clone())
            }
            PhotoFault::NotSaved(why) => why.message(),
        }
    }
}

impl App {
    /// Keeps a picture and puts it into the record of a job: where it was taken, what it shows, and whether a number
    /// in it is still to be typed up.
    ///
    /// The picture is drawn anew, so that nothing of the file but its pixels is kept: no position, no owner, no serial.
    ///
    /// # Errors
    /// [`PhotoFault`]; then nothing is kept.
    pub async fn photo(
        self,
        job: Uuid,
        file: &File,
        place: Option<String>,
        shows: Option<String>,
        is_owed: bool,
    ) -> Result<Kept, PhotoFault> {
        let unreadable = |fault: JsValue| PhotoFault::Unreadable(fault_text(&fault));
        let bytes = scaled(file).await.map_err(unreadable)?;
        let sha256 = record::sha256(&bytes);
        let picture = StoredPicture { sha256: sha256.clone(), kind: KIND.to_owned(), bytes };
        let saved = match self.store().await {
            Ok(store) => store.put_picture(&picture, true).await,
            Err(fault) => Err(fault),
        };
        saved.map_err(|fault| PhotoFault::NotSaved(fault.into()))?;
        let what = Body::Picture(Picture {
            file: format!("{sha256}.jpg"),
            shows,
            sha256: Some(sha256.clone()),
            read: is_owed.then_some(YesNo::No),
            typed_into: Vec::new(),
        });
        let seen = Observation { at: Some(now()), place, with: Vec::new(), told_by: None, note: None, what };
        let event = self.put(job, seen).await.map_err(PhotoFault::NotSaved)?;
        Ok(Kept { event, sha256 })
    }

    /// Keeps a picture made on this phone, to be sent to the shop; no entry names it yet. Returns its SHA-256; nothing
    /// where it could not be kept.
    pub async fn keep_picture(self, bytes: Vec<u8>, kind: &str) -> Option<String> {
        let sha256 = record::sha256(&bytes);
        let picture = StoredPicture { sha256: sha256.clone(), kind: kind.to_owned(), bytes };
        let store = self.store().await.ok()?;
        store.put_picture(&picture, true).await.ok()?;
        Some(sha256)
    }

    /// Returns an address under which a picture can be shown in this page: from the phone, else from the shop. Absent
    /// where neither has it yet: it is on its way.
    pub async fn picture_address(self, sha256: &str) -> Option<String> {
        let picture = self.picture(sha256).await?;
        address_of(&picture.bytes, &picture.kind)
    }

    /// Returns a picture's bytes: from the phone, else from the shop, which are then kept on the phone.
    pub async fn picture(self, sha256: &str) -> Option<StoredPicture> {
        let store = self.store().await.ok()?;
        if let Ok(Some(picture)) = store.picture(sha256).await {
            return Some(picture);
        }
        let session = self.session_now()?;
        let path = format!("/blob/{sha256}");
        let ask = Ask { method: "GET", path: &path, token: Some(&session.token), ..Ask::default() };
        let answer = net::ask(&ask).await.ok()?;
        let bytes = answer.good().await.ok()?.bytes().await.ok()?;
        if record::sha256(&bytes) != sha256 {
            return None;
        }
        let kind = answer.header("Content-Type").unwrap_or_else(|| KIND.to_owned());
        let picture = StoredPicture { sha256: sha256.to_owned(), kind, bytes };
        // One that is not kept is fetched again.
        let _ = store.put_picture(&picture, false).await;
        Some(picture)
    }
}

/// Returns an address of bytes in this page.
pub fn address_of(bytes: &[u8], kind: &str) -> Option<String> {
    let blob = blob_of(bytes, kind)?;
    Url::create_object_url_with_blob(&blob).ok()
}

/// Returns bytes as a file of the browser.
pub fn blob_of(bytes: &[u8], kind: &str) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&Uint8Array::from(bytes));
    Blob::new_with_u8_array_sequence_and_options(&parts, &options).ok()
}

/// Returns the picture drawn anew, no larger than is kept.
async fn scaled(file: &File) -> Result<Vec<u8>, JsValue> {
    // Turned as the camera was held: the browser reads that from the file.
    let bitmap: ImageBitmap =
        JsFuture::from(window().create_image_bitmap_with_blob(file)?).await?.dyn_into()?;
    let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let scale = (LONG_SIDE / width.max(height)).min(1.0);
    let (width, height) = ((width * scale).round().max(1.0), (height * scale).round().max(1.0));
    let canvas: HtmlCanvasElement = document().create_element("canvas")?.dyn_into()?;
    canvas.set_width(width as u32);
    canvas.set_height(height as u32);
    let context: CanvasRenderingContext2d =
        canvas.get_context("2d")?.ok_or(JsValue::NULL)?.dyn_into().map_err(JsValue::from)?;
    context.draw_image_with_image_bitmap_and_dw_and_dh(&bitmap, 0.0, 0.0, width, height)?;
    bitmap.close();
    let promise = js_sys::Promise::new(&mut |done, failed| {
        let take = Closure::once_into_js(move |blob: JsValue| {
            // Neither of the two functions of a promise fails.
            let _ = if blob.is_null() {
                failed.call1(&JsValue::NULL, &JsValue::NULL)
            } else {
                done.call1(&JsValue::NULL, &blob)
            };
        });
        // Where it fails the promise is never kept; the browser says so on its console.
        let _ = canvas.to_blob_with_type_and_encoder_options(take.unchecked_ref(), KIND, &QUALITY.into());
    });
    let blob: Blob = JsFuture::from(promise).await?.dyn_into()?;
    let buffer = JsFuture::from(blob.array_buffer()).await?;
    Ok(Uint8Array::new(&buffer).to_vec())
}
