//! The service worker, and a newer program that waits until a person takes it.

use crate::app::App;
use crate::browser::{listen, window};
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{ServiceWorkerContainer, ServiceWorkerRegistration, ServiceWorkerState};

/// Returns the browser's service workers; a page without HTTPS has none.
fn container() -> Option<ServiceWorkerContainer> {
    let value = js_sys::Reflect::get(&window().navigator(), &"serviceWorker".into()).ok()?;
    value.dyn_into().ok()
}

/// Registers the service worker and watches for a newer one.
pub fn register(app: App) {
    let Some(container) = container() else { return };
    spawn_local(async move {
        let Ok(registered) = JsFuture::from(container.register("/sw.js")).await else { return };
        let Ok(registration) = registered.dyn_into::<ServiceWorkerRegistration>() else { return };
        tell_if_waiting(app, &registration);
        let watched = registration.clone();
        listen(&registration, "updatefound", move |_| {
            let Some(coming) = watched.installing() else { return };
            let (registration, worker) = (watched.clone(), coming.clone());
            listen(&coming, "statechange", move |_| {
                if worker.state() == ServiceWorkerState::Installed {
                    tell_if_waiting(app, &registration);
                }
            });
        });
    });
}

fn tell_if_waiting(app: App, registration: &ServiceWorkerRegistration) {
    // The very first worker waits for nobody.
    let replaces = container().is_some_and(|container| container.controller().is_some());
    if registration.waiting().is_some() && replaces {
        app.it().status.update(|status| status.update_ready = true);
    }
}

impl App {
    /// Takes the newer program: the page is loaded again with it. Only ever called by a person's hand.
    pub fn take_update(self) {
        let Some(container) = container() else { return };
        listen(&container, "controllerchange", |_| {
            // A page that cannot be loaded again keeps the old program.
            let _ = window().location().reload();
        });
        spawn_local(async move {
            let Ok(ready) = container.ready() else { return };
            let Ok(registration) = JsFuture::from(ready).await else { return };
            let Ok(registration) = registration.dyn_into::<ServiceWorkerRegistration>() else { return };
            if let Some(waiting) = registration.waiting() {
                // A worker that does not hear it goes on waiting.
                let _ = waiting.post_message(&JsValue::from_str("take over"));
            }
        });
    }
}
