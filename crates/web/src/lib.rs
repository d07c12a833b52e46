//! The phone app and the owner's pages: screens over the use cases, kept on the phone, working without a network.
//!
//! [`App`] is what a screen sees: what the record says, what to put into it, where to go. Everything that touches the
//! browser stands beside it: the phone's own store, the exchange with the shop, pictures, the clock, the settings.

mod app;
mod browser;
pub mod clock;
mod draft;
mod engine;
mod entering;
mod export;
mod head;
mod net;
mod parts;
mod photo;
mod route;
mod screens;
mod settings;
mod status;
mod store;
mod sync;
mod tabs;
mod update;

pub use app::App;
pub use draft::Draft;
pub use entering::NotSaved;
pub use export::TakenIn;
pub use head::Head;
pub use net::{NetFault, Session};
pub use photo::{Kept, PhotoFault};
pub use route::Screen;
pub use settings::{Settings, Theme};
pub use status::{Opening, Reach, Status};
pub use store::{Fault, OpenFault};

use wasm_bindgen::prelude::wasm_bindgen;

/// Starts the app in the page.
#[wasm_bindgen(start)]
pub fn start() {
    console_error_panic_hook::set_once();
    leptos::mount::mount_to_body(|| {
        let app = App::start();
        leptos::prelude::provide_context(app);
        screens::view(app)
    });
}
