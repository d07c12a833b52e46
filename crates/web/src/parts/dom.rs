//! Focus and place in the page.

use crate::browser::{document, window};
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Puts the focus on an element by its id, once it is there.
pub fn focus(id: &str) {
    let id = id.to_owned();
    // The element may be put into the page by the very change that asks for its focus.
    gloo_timers::callback::Timeout::new(0, move || {
        let element = document().get_element_by_id(&id).and_then(|e| e.dyn_into::<HtmlElement>().ok());
        if let Some(element) = element {
            // An element that is not seen takes no focus; then nothing is lost.
            let _ = element.focus();
        }
    })
    .forget();
}

/// Begins a screen at its top, its heading first for readers.
pub fn begin_screen() {
    window().scroll_to_with_x_and_y(0.0, 0.0);
    focus("heading");
}
