//! Pictures in the store: bytes under their SHA-256, so that the same picture twice is one.

use super::{Fault, Store, get, put};
use indexed_db_futures::prelude::*;
use js_sys::{Object, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};

/// A picture as it stands in the store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredPicture {
    /// The SHA-256 of the bytes, in hexadecimal.
    pub sha256: String,
    /// What the bytes are, such as `image/jpeg`.
    pub kind: String,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl StoredPicture {
    fn to_js(&self) -> JsValue {
        let object = Object::new();
        // A plain object takes any property.
        let _ = Reflect::set(&object, &"kind".into(), &self.kind.as_str().into());
        let _ = Reflect::set(&object, &"bytes".into(), &Uint8Array::from(self.bytes.as_slice()).into());
        object.into()
    }

    fn from_js(sha256: &str, value: &JsValue) -> Option<Self> {
        let kind = Reflect::get(value, &"kind".into()).ok()?.as_string()?;
        let bytes: Uint8Array = Reflect::get(value, &"bytes".into()).ok()?.dyn_into().ok()?;
        Some(StoredPicture { sha256: sha256.to_owned(), kind, bytes: bytes.to_vec() })
    }
}

impl Store {
    /// Stores a picture; where `send`, the shop is to get it.
    ///
    /// # Errors
    /// [`Fault`]; then nothing is stored.
    pub async fn put_picture(&self, picture: &StoredPicture, send: bool) -> Result<(), Fault> {
        let tx = self.write(&["pictures", "picture_queue"])?;
        put(&tx, "pictures", &picture.sha256, &picture.to_js()).await?;
        if send {
            put(&tx, "picture_queue", &picture.sha256, &JsValue::TRUE).await?;
        }
        Ok(tx.commit().await?)
    }

    /// Returns a picture, where the phone has it.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn picture(&self, sha256: &str) -> Result<Option<StoredPicture>, Fault> {
        let tx = self.read(&["pictures"])?;
        Ok(get(&tx, "pictures", sha256).await?.and_then(|value| StoredPicture::from_js(sha256, &value)))
    }

    /// Returns the names of all pictures on the phone.
    ///
    /// # Errors
    /// [`Fault`] where the store cannot be read.
    pub async fn picture_names(&self) -> Result<Vec<String>, Fault> {
        let tx = self.read(&["pictures"])?;
        let mut names = Vec::new();
        for key in tx.object_store("pictures")?.get_all_keys::<String>().await? {
            names.push(key?);
        }
        Ok(names)
    }
}
