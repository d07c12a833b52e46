//! An entry being made: the fields that matter first, the rest behind a touch, the keys in reach of the thumb.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::blocks::said;
use crate::parts::field::field;
use crate::parts::frame::{foot_button, frame};
use crate::parts::icon::Icon;
use crate::parts::keys::{escape, keys};
use crate::parts::mark::mark;
use crate::parts::sheet::Sheet;
use crate::screens::stage::beside;
use leptos::prelude::*;
use report::{Message, VerdictMark};
use std::sync::Arc;
use uuid::Uuid;

/// Returns the screen.
pub fn view(app: App, job: Uuid, kind: &str, about: Option<&str>) -> AnyView {
    let about = about.map(About::read).unwrap_or_default();
    // A visit that changes meanwhile must not take the form from under the fingers: it is read once.
    let Some(sheet) = untrack(|| Sheet::of_entry(app, job, kind, about)) else {
        let words = app.say(&Message::new("app-no-such-entry").with("kind", kind));
        return frame(app, kind, "", view! { <p class="part">{words}</p> }, Vec::new());
    };
    let asked = sheet.asked();
    let first = asked.iter().find(|path| is_typed(&sheet, path)).cloned();
    let fields = listed(&sheet, &asked);
    let rest = sheet.others();
    let more = RwSignal::new(asked.is_empty());
    let more_sheet = Arc::clone(&sheet);
    let others = move || more.get().then(|| listed(&more_sheet, &rest));
    let known: Vec<AnyView> = sheet
        .about
        .preset
        .iter()
        .map(|(path, text)| {
            let key = path.split(['.', '[']).next().unwrap_or(path);
            let label = said(app, &job::entry::labels::field(&sheet.kind, key));
            let words = said(app, &job::entry::labels::word(text));
            view! { <li class="pair"><span>{label}</span><b>{words}</b></li> }.into_any()
        })
        .collect();
    let known = (!known.is_empty()).then(|| view! { <ul class="rows part">{known}</ul> });
    let (faults, doubts) = (sheet.faults, sheet.doubts);
    let keep = Arc::clone(&sheet);
    let foot_keep = Arc::clone(&sheet);
    let body = view! {
        <form
            novalidate
            on:submit=move |event| { event.prevent_default(); keep.keep() }
            on:keydown=escape(sheet.active)
        >
            {known}
            {fields}
            <div class="part">
                <button
                    type="button"
                    class="button small"
                    aria-expanded=move || more.get().to_string()
                    on:click=move |_| more.update(|more| *more = !*more)
                >
                    {move || app.say(&if more.get() { Message::new("app-fewer-fields") } else { Message::new("app-more-fields") })}
                </button>
                {others}
            </div>
            <div class="part">
                {move || said_faults(faults.get(), VerdictMark::Unknown)}
                {move || {
                    let doubts = doubts.get();
                    let any = !doubts.is_empty();
                    view! {
                        {said_faults(doubts, VerdictMark::Doubtful)}
                        {any.then(|| view! { <p>{app.say(&Message::new("app-doubtful-keep"))}</p> })}
                    }
                }}
                <button type="submit" class="button go">{app.say(&Message::new("app-keep"))}</button>
            </div>
        </form>
        {
            let on = StoredValue::new(Arc::clone(&sheet));
            keys(
                app,
                sheet.active,
                move || app.say(&Message::new("app-keep")),
                move || on.with_value(|sheet| sheet.keep()),
                move |goes| on.with_value(|sheet| sheet.next(goes)),
            )
        }
    };
    if let Some(path) = first {
        sheet.focus(&path);
    }
    let name = said(app, &job::entry::labels::kind(&sheet.kind));
    let beside = sheet.visit.as_ref().map(|visit| beside(visit)).unwrap_or_default();
    let foot =
        vec![foot_button(Icon::Saved, app.say(&Message::new("app-keep")), true, move || foot_keep.keep())];
    frame(app, name, beside, body, foot)
}

/// The fields at these paths; behind those of a list, what asks for one more of it.
fn listed(sheet: &Arc<Sheet>, paths: &[String]) -> Vec<AnyView> {
    let mut views = Vec::new();
    let mut left = paths.iter().peekable();
    while let Some(path) = left.next() {
        views.extend(field(sheet, path));
        let list = sheet.list_of(path);
        let goes_on = left.peek().is_some_and(|next| sheet.list_of(next) == list);
        if let Some(key) = list.filter(|_| !goes_on) {
            views.push(one_more(sheet, key, Sheet::place_in_list(path)));
        }
    }
    views
}

/// More of a list than stands in the form: those typed before, and a button for one more.
fn one_more(sheet: &Arc<Sheet>, key: &'static str, stands: usize) -> AnyView {
    let app = sheet.app;
    let known = untrack(|| sheet.filled());
    let typed = known.iter().filter(|(path, _)| sheet.list_of(path) == Some(key));
    let last = typed.map(|(path, _)| Sheet::place_in_list(path)).max().unwrap_or(0).max(stands);
    let last = RwSignal::new(last);
    let (shown, added) = (Arc::clone(sheet), Arc::clone(sheet));
    let fields = move || {
        let places = stands + 1..=last.get();
        let paths = places.flat_map(|place| shown.paths_at(key, place)).collect::<Vec<_>>();
        paths.iter().filter_map(|path| field(&shown, path)).collect::<Vec<AnyView>>()
    };
    let name = said(app, &job::entry::labels::field(&sheet.kind, key));
    let label = said(app, &Message::new("app-one-more").with("name", name).into());
    let add = move |_| {
        last.update(|last| *last += 1);
        if let Some(path) = added.paths_at(key, last.get_untracked()).first() {
            added.focus(path);
        }
    };
    view! {
        {fields}
        <div class="part">
            <button type="button" class="button small" data-more=key on:click=add>{label}</button>
        </div>
    }
    .into_any()
}

/// Whether a field is typed into at once when the form opens.
fn is_typed(sheet: &Sheet, path: &str) -> bool {
    sheet
        .form
        .at(path)
        .is_some_and(|field| crate::parts::field::is_number(&field.takes, sheet.units(path, field)))
}

/// What was not kept, or is doubtful, each in a line of its own.
pub fn said_faults(all: Vec<String>, sign: VerdictMark) -> AnyView {
    if all.is_empty() {
        return ().into_any();
    }
    let rows: Vec<AnyView> = all
        .into_iter()
        .map(|words| view! { <li class="verdict">{mark(sign)}<p>{words}</p></li> }.into_any())
        .collect();
    view! { <ul class="rows" role="alert">{rows}</ul> }.into_any()
}
