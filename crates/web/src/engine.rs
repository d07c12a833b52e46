//! The larger part of the program: what computes and what reads the record. The first screen stands before it is loaded.
//!
//! The site's builder cuts the program here: what only [`load`] leads to goes into a file of its own. The first part
//! must therefore reach the rest through [`Engine`] alone.

use crate::app::App;
use crate::route::Screen;
use gloo_timers::future::TimeoutFuture;
use leptos::prelude::*;
use report::Message;
use wasm_split_helpers::{SplitLoaderError, wasm_split};

/// How long to wait before it is tried again to load the larger part, in milliseconds.
const AGAIN_MS: u32 = 3_000;

/// What the first part calls of the larger one.
#[derive(Clone, Copy)]
pub struct Engine {
    /// Reads the record and exchanges it with the shop, from now on.
    begin: fn(App),
    /// Returns a screen that computes.
    view: fn(App, Screen) -> AnyView,
}

#[wasm_split(engine, fallible)]
fn load() -> Result<Engine, SplitLoaderError> {
    Ok(Engine { begin: App::begin, view: crate::screens::rest })
}

impl App {
    /// Loads the larger part of the program; tries again until it is there.
    pub(crate) async fn load_engine(self) {
        let engine = loop {
            match load().await {
                Ok(engine) => break engine,
                Err(_) => {
                    self.it().status.update(|status| status.engine_missing = true);
                    TimeoutFuture::new(AGAIN_MS).await;
                }
            }
        };
        self.it().status.update(|status| status.engine_missing = false);
        (engine.begin)(self);
        self.it().engine.set(Some(engine));
    }

    /// Returns a screen of the larger part of the program; until that is loaded, what keeps it.
    #[must_use]
    pub fn computed(self, screen: Screen) -> AnyView {
        match self.it().engine.get() {
            Some(engine) => (engine.view)(self, screen),
            None => {
                let missing = move || self.it().status.with(|status| status.engine_missing);
                let words = move || missing().then(|| self.say(&Message::new("shell-engine-missing")));
                view! { <main aria-busy="true"><p role="status">{words}</p></main> }.into_any()
            }
        }
    }
}
