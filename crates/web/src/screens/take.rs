//! A table taken into a visit: which column is what is said once, and remembered on this phone.

use crate::app::App;
use crate::browser::fault_text;
use crate::parts::act::{Fault, fault_line};
use crate::parts::blocks::said;
use crate::parts::frame::{foot_button, frame};
use crate::parts::icon::Icon;
use crate::route::Screen;
use crate::screens::stage::beside;
use job::take::{Column, EVERY, KINDS, Layout, MOST, READING, Table, TakeFault, Taken, known};
use js_sys::Uint8Array;
use leptos::prelude::*;
use report::Message;
use std::sync::Arc;
use uuid::Uuid;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// The name under which the phone's store keeps the layouts.
const LAYOUTS: &str = "layouts";
/// The choice of a column that holds day and time.
const TIME: &str = "at";

/// What is chosen for the table at hand.
#[derive(Clone)]
struct Chosen {
    kind: &'static str,
    day_first: Option<bool>,
    /// Of each column: the field, `at` for day and time, empty for none; and the unit.
    columns: Vec<(String, String)>,
}

impl Chosen {
    /// As a remembered layout has it, else nothing chosen but units that stand in the heads: "Suct (psig)".
    fn of(table: &Table, layout: Option<&Layout>) -> Chosen {
        let columns = table.heads.iter().map(|head| {
            let unit = head.rsplit_once('(').and_then(|(_, rest)| rest.strip_suffix(')')).unwrap_or_default();
            let Some(layout) = layout else { return (String::new(), unit.trim().to_owned()) };
            if layout.time == *head {
                return (TIME.to_owned(), String::new());
            }
            let known = layout.columns.iter().find(|column| column.head == *head);
            known.map_or_else(Default::default, |column| (column.field.clone(), column.unit.clone()))
        });
        let kind = KINDS.into_iter().find(|kind| layout.is_some_and(|layout| layout.kind == *kind));
        Chosen {
            kind: kind.unwrap_or(READING),
            day_first: layout.and_then(|layout| layout.day_first),
            columns: columns.collect(),
        }
    }

    fn layout(&self, table: &Table) -> Option<Layout> {
        let heads = || table.heads.iter().zip(&self.columns);
        let time = heads().find(|(_, (field, _))| field == TIME)?.0.clone();
        let columns: Vec<Column> = heads()
            .filter(|(_, (field, _))| !field.is_empty() && field != TIME)
            .map(|(head, (field, unit))| Column {
                head: head.clone(),
                field: field.clone(),
                unit: unit.trim().to_owned(),
            })
            .collect();
        (!columns.is_empty()).then(|| Layout {
            kind: self.kind.to_owned(),
            time,
            day_first: self.day_first,
            set: Vec::new(),
            columns,
        })
    }
}

/// Returns the screen.
pub fn view(app: App, job: Uuid) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let told = RwSignal::new(None::<String>);
    let table = RwSignal::new(None::<Arc<Table>>);
    let chosen = RwSignal::new(None::<Chosen>);
    let visit = app.visit(job);
    let taken = Memo::new_with_compare(
        move |_| {
            let (table, chosen) = (table.get()?, chosen.get()?);
            let layout = chosen.layout(&table)?;
            Some(job::take::take(&visit.get(), &table, &layout, EVERY).map(Arc::new))
        },
        |_, _| true,
    );
    let open = move |event: web_sys::Event| {
        let input = event.target().and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok());
        let Some(input) = input else { return };
        let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
        // The same file chosen again is a choice too.
        input.set_value("");
        spawn_local(async move {
            let read = match JsFuture::from(file.array_buffer()).await {
                Ok(buffer) => {
                    job::take::table(&Uint8Array::new(&buffer).to_vec()).map_err(|why| app.say(&why))
                }
                Err(why) => Err(fault_text(&why)),
            };
            match read {
                Ok(found) => {
                    let layouts = layouts(app).await;
                    chosen.set(Some(Chosen::of(&found, known(&layouts, &found.heads))));
                    table.set(Some(Arc::new(found)));
                    fault.set(None);
                    told.set(None);
                }
                Err(why) => fault.set(Some(why)),
            }
        });
    };
    let keep = move || {
        let (Some(Ok(it)), Some(from), Some(how)) =
            (taken.get_untracked(), table.get_untracked(), chosen.get_untracked())
        else {
            return fault.set(Some(app.say(&Message::new("take-app-first"))));
        };
        let seen: Vec<record::Observation> = it.entries.iter().map(|(seen, _)| seen.clone()).collect();
        spawn_local(async move {
            if seen.is_empty() {
                return told.set(Some(app.say(&it.words())));
            }
            match app.put_all(job, seen).await {
                Ok(_) => {
                    if let Some(layout) = how.layout(&from) {
                        remember(app, layout).await;
                    }
                    table.set(None);
                    chosen.set(None);
                    told.set(Some(app.say(&it.words())));
                }
                Err(why) => fault.set(Some(app.say(&why.message()))),
            }
        });
    };
    let body = view! {
        {fault_line(fault)}
        {move || told.get().map(|words| view! { <p class="part" role="status">{words}</p> })}
        <section class="part">
            <p>{app.say(&Message::new("take-app-what"))}</p>
            <div class="buttons">
                <label class="button small picture-button">
                    <span>{app.say(&Message::new("take-app-file"))}</span>
                    <input class="unseen-input" type="file" accept=".csv,.tsv,.txt,text/csv,text/plain" on:change=open />
                </label>
            </div>
        </section>
        {move || table.get().map(|table| columns(app, &table, chosen))}
        {move || taken.get().map(|taken| outcome(app, taken))}
    };
    let main = foot_button(Icon::On, app.say(&Message::new("take-app-keep")), true, keep);
    let back = foot_button(Icon::Ask, app.say(&Message::new("app-record")), false, move || {
        app.go_instead(Screen::Record(job));
    });
    let it = untrack(|| visit.get());
    frame(app, app.say(&Message::new("take-app-title")), beside(&it), body, vec![back, main])
}

async fn layouts(app: App) -> Vec<Layout> {
    let Ok(store) = app.store().await else { return Vec::new() };
    store.meta(LAYOUTS).await.ok().flatten().unwrap_or_default()
}

/// Keeps a layout for the next table with these columns; one that cannot be kept is asked for again.
async fn remember(app: App, layout: Layout) {
    let mut all = layouts(app).await;
    all.retain(|other| *other != layout);
    all.push(layout);
    if let Ok(store) = app.store().await {
        let _ = store.put_meta(LAYOUTS, &all).await;
    }
}

/// What each column is, to choose.
fn columns(app: App, table: &Table, chosen: RwSignal<Option<Chosen>>) -> AnyView {
    let Some(now) = chosen.get_untracked() else { return ().into_any() };
    let kinds: Vec<AnyView> = KINDS
        .into_iter()
        .map(|kind| {
            let words = said(app, &job::entry::labels::kind(kind));
            let pressed = move || chosen.with(|it| it.as_ref().is_some_and(|it| it.kind == kind)).to_string();
            let choose = move |_| {
                chosen.update(|it| {
                    if let Some(it) = it {
                        it.kind = kind;
                        // Another kind has other fields; day and time stay.
                        it.columns
                            .iter_mut()
                            .filter(|(field, _)| field != TIME)
                            .for_each(|(field, _)| field.clear());
                    }
                });
            };
            view! { <button class="button small" aria-pressed=pressed on:click=choose>{words}</button> }
                .into_any()
        })
        .collect();
    let days = [(None, "2031-05-06"), (Some(true), "06/05/2031"), (Some(false), "05/06/2031")].map(
        |(first, words)| {
            let pressed =
                move || chosen.with(|it| it.as_ref().is_some_and(|it| it.day_first == first)).to_string();
            let choose = move |_| {
                chosen.update(|it| {
                    if let Some(it) = it {
                        it.day_first = first;
                    }
                })
            };
            view! { <button class="button small" aria-pressed=pressed on:click=choose>{words}</button> }
                .into_any()
        },
    );
    let example = |at: usize| {
        table.rows.iter().filter_map(|(_, row)| row.get(at)).find(|cell| !cell.is_empty()).cloned()
    };
    let rows: Vec<AnyView> = table
        .heads
        .iter()
        .enumerate()
        .map(|(at, head)| {
            let unit = now.columns.get(at).map(|(_, unit)| unit.clone()).unwrap_or_default();
            let field_id = format!("take-field-{at}");
            let options = move || {
                let (kind, field) = chosen.with(|it| {
                    let it = it.as_ref();
                    let field = it.and_then(|it| it.columns.get(at)).map(|(field, _)| field.clone());
                    (it.map_or(READING, |it| it.kind), field.unwrap_or_default())
                });
                choices(app, kind, &field)
            };
            let put = move |change: &dyn Fn(&mut (String, String))| {
                chosen.update(|it| {
                    if let Some(column) = it.as_mut().and_then(|it| it.columns.get_mut(at)) {
                        change(column);
                    }
                });
            };
            let unit_words = app.say(&Message::new("take-app-unit").with("head", head.as_str()));
            view! {
                <div class="part">
                    <label class="label" for=field_id.clone()>{head.clone()}</label>
                    <p class="soft">{example(at)}</p>
                    <div class="field">
                        <select id=field_id on:change:target=move |event| {
                            let value = event.target().value();
                            put(&move |column| column.0.clone_from(&value));
                        }>{options}</select>
                        <input class="take-unit" type="text" autocomplete="off" aria-label=unit_words placeholder=app.say(&Message::new("take-app-unit-short"))
                            prop:value=unit on:change:target=move |event| {
                                let value = event.target().value();
                                put(&move |column| column.1.clone_from(&value));
                            } />
                    </div>
                </div>
            }
            .into_any()
        })
        .collect();
    view! {
        <section class="part">
            <h2>{app.say(&Message::new("take-app-rows-are"))}</h2>
            <div class="buttons words">{kinds}</div>
            <h2 class="part">{app.say(&Message::new("take-app-days"))}</h2>
            <div class="buttons words">{days.into_iter().collect::<Vec<AnyView>>()}</div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("take-app-columns"))}</h2>
            {rows}
        </section>
    }
    .into_any()
}

/// The fields that a column can be.
fn choices(app: App, kind: &str, field: &str) -> Vec<AnyView> {
    let option = |value: String, words: String| {
        let selected = value == field;
        view! { <option value=value selected=selected>{words}</option> }.into_any()
    };
    let mut out = vec![
        option(String::new(), app.say(&Message::new("take-app-none"))),
        option(TIME.to_owned(), app.say(&Message::new("take-app-time"))),
    ];
    let form = record::form::form(kind);
    for one in form.iter().flat_map(|form| &form.fields).filter(|one| !matches!(one.key, "at" | "on")) {
        out.push(option(one.key.to_owned(), said(app, &job::entry::labels::field(kind, one.key))));
    }
    for key in ["place", "note", "by"] {
        if form.as_ref().is_none_or(|form| form.field(key).is_none()) {
            out.push(option(key.to_owned(), said(app, &job::entry::labels::field(kind, key))));
        }
    }
    out
}

/// What would be taken, and the first rows that cannot be.
fn outcome(app: App, taken: Result<Arc<Taken>, TakeFault>) -> AnyView {
    let words = match &taken {
        Ok(taken) => {
            Message::new("take-app-would").with("taken", taken.entries.len()).with("bad", taken.all_bad)
        }
        Err(TakeFault::NoColumn(head)) => {
            Message::new("take-no-column").with("head", head.as_str()).with("heads", "")
        }
        Err(TakeFault::TooMany) => Message::new("take-too-many").with("most", MOST),
    };
    let bad: Vec<AnyView> = taken
        .iter()
        .flat_map(|taken| &taken.bad)
        .take(5)
        .map(|(line, why)| {
            let why = app.say(why);
            let words =
                app.say(&Message::new("batch-bad-row").with("line", line.to_string()).with("why", why));
            view! { <li>{words}</li> }.into_any()
        })
        .collect();
    view! { <section class="part"><p role="status">{app.say(&words)}</p><ul class="rows">{bad}</ul></section> }.into_any()
}
