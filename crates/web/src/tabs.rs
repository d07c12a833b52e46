//! Two pages of one phone: what one has changed, the other reads again.

use crate::app::App;
use crate::browser::{document, listen};
use std::cell::RefCell;
use uuid::Uuid;
use wasm_bindgen::JsCast;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::spawn_local;
use web_sys::{BroadcastChannel, MessageEvent};

const CHANNEL: &str = "gastight";

/// The line to the other pages.
#[derive(Default)]
pub struct Tabs {
    channel: RefCell<Option<BroadcastChannel>>,
}

impl App {
    /// Tells the other pages what has changed.
    pub(crate) fn tell_other_pages(self, jobs: &[Uuid]) {
        if let Some(channel) = &*self.it().tabs.channel.borrow() {
            let words: Vec<String> = jobs.iter().map(Uuid::to_string).collect();
            // A page that does not hear it reads again when it comes into sight.
            let _ = channel.post_message(&JsValue::from_str(&words.join(" ")));
        }
    }

    /// Listens to the other pages.
    pub(crate) fn listen_to_other_pages(self) {
        if let Ok(channel) = BroadcastChannel::new(CHANNEL) {
            listen(&channel, "message", move |event| {
                let text = event
                    .dyn_ref::<MessageEvent>()
                    .and_then(|event| event.data().as_string())
                    .unwrap_or_default();
                let jobs = text.split(' ').filter_map(|word| word.parse().ok()).collect();
                spawn_local(self.changed_elsewhere(jobs));
            });
            *self.it().tabs.channel.borrow_mut() = Some(channel);
        }
        // A page that was asleep may have heard nothing.
        listen(&document(), "visibilitychange", move |_| {
            if !document().hidden() {
                let open = self.open_jobs();
                spawn_local(self.changed_elsewhere(open));
            }
        });
    }
}
