//! The keys: digits, the decimal mark of the place, the units most used, and Keep under the thumb.

use crate::app::App;
use crate::browser::document;
use crate::parts::dom::bring_into_view;
use crate::parts::icon::{Icon, icon};
use job::entry::units::{POUND_OUNCE, Unit};
use leptos::prelude::*;
use record::form::Takes;
use report::Message;
use wasm_bindgen::JsCast;
use web_sys::{HtmlInputElement, KeyboardEvent};

/// What is being typed.
#[derive(Clone)]
pub struct Typing {
    /// The text.
    pub text: RwSignal<String>,
    /// The id of the field on the page.
    pub id: String,
    /// What the field takes.
    pub takes: Takes,
    /// Its units.
    pub units: &'static [Unit],
    /// The unit it shows.
    pub unit: RwSignal<String>,
}

/// The field typed in now.
pub type Active = RwSignal<Option<Typing>>;

fn input(id: &str) -> Option<HtmlInputElement> {
    document().get_element_by_id(id)?.dyn_into().ok()
}

/// Changes what stands at the caret: `with` in place of what is selected, or of the sign before the caret.
fn type_in(typing: &Typing, with: &str, is_delete: bool) {
    let Some(input) = input(&typing.id) else { return };
    let text: Vec<char> = input.value().chars().collect();
    let place = |at: Result<Option<u32>, _>| {
        let at: Option<u32> = at.unwrap_or(None);
        at.map_or(text.len(), |at| (at as usize).min(text.len()))
    };
    let mut from = place(input.selection_start());
    let to = place(input.selection_end()).max(from);
    if is_delete && from == to {
        from = from.saturating_sub(1);
    }
    let before: String = text[..from].iter().collect();
    let after: String = text[to..].iter().collect();
    let typed = format!("{before}{with}{after}");
    input.set_value(&typed);
    typing.text.set(typed);
    let at = u32::try_from(from + with.chars().count()).unwrap_or_default();
    // It is of the kind that has a selection.
    let _ = input.set_selection_range(at, at);
}

/// Returns the keys of the field typed in now, where one is; `words` names the last key, `go` is what it does, and
/// `next` leads to the next field while there is one.
pub fn keys(
    app: App,
    active: Active,
    words: impl Fn() -> String + Copy + Send + 'static,
    go: impl Fn() + Copy + Send + Sync + 'static,
    next: impl Fn(bool) -> bool + Copy + Send + Sync + 'static,
) -> AnyView {
    let go = Callback::new(move |()| go());
    let next = Callback::new(next);
    // The keys come up over the page, and must not stand over the field that they are for.
    Effect::new(move |_| {
        if let Some(id) = active.with(|typing| typing.as_ref().map(|typing| typing.id.clone())) {
            bring_into_view(&id, ".entry-field");
        }
    });
    (move || active.get().map(|typing| pad(app, active, &typing, words, go, next))).into_any()
}

/// Returns what Escape does where the keys are shown: it puts them away. A touch on the field brings them again.
pub fn escape(active: Active) -> impl Fn(KeyboardEvent) + Copy + Send + Sync + 'static {
    move |event| {
        if event.key() != "Escape" {
            return;
        }
        if active.with_untracked(Option::is_some) {
            event.prevent_default();
            put_away(active);
        }
    }
}

/// Puts the keys away; the focus stays in, or comes back to, the field.
pub fn put_away(active: Active) {
    let Some(typing) = active.get_untracked() else { return };
    if let Some(input) = input(&typing.id) {
        // The field shows its keys when the focus comes to it: they are put away after that.
        let _ = input.focus();
    }
    active.set(None);
}

/// A press must not take the finger's place out of the field.
fn stay(event: web_sys::PointerEvent) {
    event.prevent_default();
}

fn pad(
    app: App,
    active: Active,
    typing: &Typing,
    words: impl Fn() -> String + Copy + Send + 'static,
    go: Callback<()>,
    next: Callback<bool, bool>,
) -> AnyView {
    let key = |shown: &'static str, types: &'static str| {
        let typing = typing.clone();
        view! {
            <button type="button" tabindex="-1" on:pointerdown=stay on:click=move |_| type_in(&typing, types, false)>
                {shown}
            </button>
        }
        .into_any()
    };
    let deleted = typing.clone();
    let (text, unit, units) = (typing.text, typing.unit, typing.units);
    // A unit key says what was typed, and converts nothing: the unit button in the field does that.
    let unit_key = |at: usize| {
        let other = move || {
            let now = unit.get();
            units.iter().filter(|one| one.name != now).nth(at).copied()
        };
        match units.len() > at + 1 {
            true => view! {
                <button
                    type="button"
                    tabindex="-1"
                    class="side"
                    on:pointerdown=stay
                    on:click=move |_| {
                        if let Some(one) = untrack(other) {
                            text.update(|text| {
                                if let Some(end) = units.iter().filter_map(|one| text.strip_suffix(one.name)).min_by_key(|rest| rest.len()) {
                                    *text = end.trim_end().to_owned();
                                }
                            });
                            unit.set(one.name.to_owned());
                        }
                    }
                >
                    {move || other().map_or("", |one| one.label)}
                </button>
            }
            .into_any(),
            false => view! { <span class="side" aria-hidden="true"></span> }.into_any(),
        }
    };
    let takes = typing.takes.clone();
    let special_typing = typing.clone();
    let special = move || {
        let (shown, types) = match &takes {
            Takes::Mass if unit.get() == POUND_OUNCE => ("lb", " lb "),
            Takes::Length | Takes::Volume => ("/", "/"),
            Takes::Moment => (":", ":"),
            _ => ("\u{2212}", "-"),
        };
        let typing = special_typing.clone();
        view! {
            <button type="button" tabindex="-1" on:pointerdown=stay on:click=move |_| type_in(&typing, types, false)>
                {shown}
            </button>
        }
    };
    let second_unit = unit_key(1);
    // Asked with `false` it tells whether there is a next field, with `true` it goes there.
    let third = match untrack(|| next.run(false)) {
        true => view! {
            <button type="button" tabindex="-1" class="side" on:pointerdown=stay on:click=move |_| { next.run(true); }>
                {app.say(&Message::new("app-next"))}
            </button>
        }
        .into_any(),
        false => second_unit,
    };
    let mark = if untrack(|| app.writer()).decimal_comma { "," } else { "." };
    view! {
        <div class="keys" role="group" aria-label=app.say(&Message::new("app-keys")) on:keydown=escape(active)>
            {key("7", "7")} {key("8", "8")} {key("9", "9")}
            <button
                type="button"
                tabindex="-1"
                class="side"
                aria-label=app.say(&Message::new("app-key-delete"))
                on:pointerdown=stay
                on:click=move |_| type_in(&deleted, "", true)
            >
                {icon(Icon::Delete)}
            </button>
            {key("4", "4")} {key("5", "5")} {key("6", "6")} {unit_key(0)}
            {key("1", "1")} {key("2", "2")} {key("3", "3")} {third}
            {special} {key("0", "0")} {key(mark, mark)}
            <button type="button" class="go" on:pointerdown=stay on:click=move |_| go.run(())>
                {words}
            </button>
        </div>
    }
    .into_any()
}
