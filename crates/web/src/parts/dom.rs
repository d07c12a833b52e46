//! Focus and place in the page.

use crate::browser::{document, window};
use std::cell::RefCell;
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Where one came from, and how far down each screen was.
#[derive(Default)]
struct Way {
    stack: Vec<String>,
    scrolled: BTreeMap<String, f64>,
}

thread_local! {
    static WAY: RefCell<Way> = RefCell::default();
}

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

/// Has Escape close what was opened around the focus, which then stands on what opens it again.
pub fn close_by_escape() {
    crate::browser::listen(&document(), "keydown", |event| {
        let Ok(event) = event.dyn_into::<web_sys::KeyboardEvent>() else { return };
        if event.key() != "Escape" || event.default_prevented() {
            return;
        }
        let inside = document().active_element();
        let Some(opened) = inside.and_then(|e| e.closest("details[open]").ok().flatten()) else { return };
        // Neither of the two can fail on an element of that name.
        let _ = opened.remove_attribute("open");
        let summary = opened.query_selector("summary").ok().flatten();
        if let Some(summary) = summary.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
            let _ = summary.focus();
        }
    });
}

/// Scrolls so far that what stands around an element of this id is seen, once what lies over the page is there too.
pub fn bring_into_view(id: &str, around: &str) {
    let (id, around) = (id.to_owned(), around.to_owned());
    gloo_timers::callback::Timeout::new(0, move || {
        let page = document();
        let Some(element) = page.get_element_by_id(&id) else { return };
        // The focus may have gone on already, and what has it must not be scrolled away.
        if page.active_element().is_some_and(|at| at.tag_name() != "BODY" && at.id() != id) {
            return;
        }
        let shown = element.closest(&around).ok().flatten().unwrap_or(element);
        let options = js_sys::Object::new();
        // A plain object takes any property; a browser that does not know the way stays where it is.
        let _ = js_sys::Reflect::set(&options, &"block".into(), &"nearest".into());
        let scroll = js_sys::Reflect::get(&shown, &"scrollIntoView".into());
        if let Some(scroll) = scroll.ok().and_then(|it| it.dyn_into::<js_sys::Function>().ok()) {
            let _ = scroll.call1(&shown, &options);
        }
    })
    .forget();
}

/// Puts the focus on the screen's heading where it stands nowhere: what had it is gone.
pub fn keep_focus() {
    gloo_timers::callback::Timeout::new(0, || {
        let nowhere = document().active_element().is_none_or(|element| element.tag_name() == "BODY");
        if nowhere {
            focus_heading();
        }
    })
    .forget();
}

fn focus_heading() {
    let heading = document().get_element_by_id("heading").and_then(|e| e.dyn_into::<HtmlElement>().ok());
    if let Some(heading) = heading {
        let options = web_sys::FocusOptions::new();
        options.set_prevent_scroll(true);
        // A heading that takes no focus is read all the same.
        let _ = heading.focus_with_options(&options);
    }
}

/// Begins a screen: a new one at its top with its heading first for readers, one that is come back to where it was
/// left. A screen that is only made anew stays as it is.
pub fn begin_screen() {
    let here = window().location().hash().unwrap_or_default();
    let to = WAY.with(|way| {
        let mut way = way.borrow_mut();
        let last = way.stack.last().cloned();
        if last.as_ref() == Some(&here) {
            return None;
        }
        if let Some(last) = last {
            let y = window().scroll_y().unwrap_or_default();
            way.scrolled.insert(last, y);
        }
        let before = way.stack.len().checked_sub(2).and_then(|at| way.stack.get(at));
        if before == Some(&here) {
            way.stack.pop();
            return Some(way.scrolled.get(&here).copied().unwrap_or_default());
        }
        way.stack.push(here);
        Some(0.0)
    });
    let Some(y) = to else { return };
    gloo_timers::callback::Timeout::new(0, move || {
        window().scroll_to_with_x_and_y(0.0, y);
        // A form has put it into its first field. What else has it belongs to the screen that was left: a button in the
        // foot is the same one on both.
        let typed_in =
            document().active_element().is_some_and(|e| matches!(&*e.tag_name(), "INPUT" | "TEXTAREA"));
        if !typed_in {
            focus_heading();
        }
    })
    .forget();
}
