//! An event as it stands in the store: its line untouched, and beside it what is searched by.

use js_sys::{Object, Reflect};
use record::{Event, read_line, sync, write_line};
use wasm_bindgen::JsValue;

/// One row of `events`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The job.
    pub job: String,
    /// The line of the log, as it came.
    pub line: String,
    /// The SHA-256 of the picture it names.
    pub picture: Option<String>,
}

impl Row {
    /// Returns the row of an event.
    #[must_use]
    pub fn of(event: &Event) -> Row {
        Row { job: event.job.to_string(), line: write_line(event), picture: sync::picture(event) }
    }

    /// Returns the row as the browser stores it.
    #[must_use]
    pub fn to_js(&self) -> JsValue {
        let object = Object::new();
        let set = |name: &str, value: &str| {
            // A plain object takes any property.
            let _ = Reflect::set(&object, &name.into(), &value.into());
        };
        set("job", &self.job);
        set("line", &self.line);
        if let Some(picture) = &self.picture {
            set("picture", picture);
        }
        object.into()
    }

    /// Returns the row that the browser gave back.
    #[must_use]
    pub fn from_js(value: &JsValue) -> Option<Row> {
        let part = |name: &str| Reflect::get(value, &name.into()).ok()?.as_string();
        Some(Row { job: part("job")?, line: part("line")?, picture: part("picture") })
    }

    /// Returns the event.
    #[must_use]
    pub fn event(&self) -> Option<Event> {
        read_line(self.line.as_bytes()).ok()
    }
}
