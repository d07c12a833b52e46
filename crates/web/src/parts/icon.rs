//! Our own line drawings on a grid of 24; each stands beside a word, or is named for readers.

use leptos::prelude::*;

/// A drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icon {
    /// Back to where one came from.
    Back,
    /// The list of stages.
    Stages,
    /// Something new.
    Add,
    /// Take the last act back.
    Undo,
    /// Saved: a tray with a tick.
    Saved,
    /// To send: a tray with an arrow.
    ToSend,
    /// The next unit.
    Unit,
    /// Mind this.
    Caution,
    /// Box, roof, van.
    Places,
    /// A picture.
    Picture,
    /// A text not kept.
    Half,
    /// On to what it opens.
    On,
    /// One sign less.
    Delete,
    /// The app's own sign: a disc sitting tight in a tray.
    Home,
    /// A question.
    Ask,
    /// A name signed.
    Sign,
}

impl Icon {
    const fn path(self) -> &'static str {
        match self {
            Icon::Back => "M15 3 6 12 15 21",
            Icon::Stages => "M3 5H15M6 12H21M3 19H12",
            Icon::Add => "M12 4V20M4 12H20",
            Icon::Undo => "M9 4 4 9 9 14M4 9H14A5.5 5.5 0 0 1 14 20H9",
            Icon::Saved => "M3 12V20H21V12M7 8 11 12.5 18 4",
            Icon::ToSend => "M3 12V20H21V12M12 15V4M7.5 8 12 3.5 16.5 8",
            Icon::Unit => "M3 8H19M15 4 19.5 8 15 12M21 16H5M9 12 4.5 16 9 20",
            Icon::Caution => "M12 2.5 22.5 21H1.5ZM12 9V14.5M12 16.5V19",
            Icon::Places => "M2 8H22M2 16H22M7 5V19M12 5V19M17 5V19",
            Icon::Picture => "M3 7H8L10 4H14L16 7H21V20H3ZM12 9.5A4 4 0 1 1 11.9 9.5",
            Icon::Half => "M4 20H20M6 16 16.5 4.5 20 8 9.5 19",
            Icon::On => "M9 3 18 12 9 21",
            Icon::Home => "M3 10V20H21V10M12 6A4.6 4.6 0 1 1 11.9 6Z",
            Icon::Ask => "M3 4H21V17H13L8 21.5V17H3Z",
            Icon::Sign => "M3 20H21M5 15C8 5 11 5 10 12C9.5 16 13 9 14 12S17 14 20 11",
            Icon::Delete => "M8 5H22V19H8L2 12ZM11.5 9 18 15M18 9 11.5 15",
        }
    }
}

/// Returns the drawing, hidden from readers.
pub fn icon(of: Icon) -> impl IntoView {
    view! {
        <svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
            <path d=of.path() />
        </svg>
    }
}
