//! Jobs and their reports: all of them, or those found by words.

use super::server::{self, Job, Me, Rows};
use super::{answered, csv, failed, table, titled, words};
use crate::app::App;
use crate::route::Screen;
use leptos::prelude::*;
use report::Message;

/// Returns the page of all jobs.
pub fn list(app: App, me: &Me) -> AnyView {
    let by_phone = me.by_phone;
    let body = view! {
        {answered::<Rows<Job>>(app, "/jobs?limit=100", move |found| parts(app, found, "/jobs?limit=100".to_owned(), by_phone))}
        {(me.role != "apprentice").then(|| csv(app, "/jobs.csv", "jobs.csv"))}
    };
    titled(app, Message::new("office-page-jobs"), body)
}

fn escaped(words: &str) -> String {
    String::from(js_sys::encode_uri_component(words))
}

/// Returns the page that finds jobs; `words` are those of the address.
pub fn find(app: App, me: &Me, words: &str) -> AnyView {
    let (by_phone, takes_all) = (me.by_phone, me.role != "apprentice");
    let asked = js_sys::decode_uri_component(words).map(String::from).unwrap_or_default();
    let typed = RwSignal::new(asked.clone());
    let submit = move |event: web_sys::SubmitEvent| {
        event.prevent_default();
        let words = typed.get_untracked().trim().to_owned();
        if !words.is_empty() {
            app.go(&Screen::Office(format!("find/{}", escaped(&words))));
        }
    };
    let found = (!asked.is_empty()).then(|| {
        let path = format!("/search?limit=100&q={}", escaped(&asked));
        let again = path.clone();
        view! {
            {answered::<Rows<Job>>(app, path, move |found| parts(app, found, again.clone(), by_phone))}
            {takes_all.then(|| csv(app, format!("/search.csv?limit=500&q={}", escaped(&asked)), "found.csv"))}
        }
    });
    let body = view! {
        <form class="office-form" role="search" on:submit=submit>
            <label for="office-find">{app.say(&Message::new("office-find-what"))}</label>
            <input id="office-find" type="search" maxlength="200"
                prop:value=move || typed.get() on:input:target=move |event| typed.set(event.target().value()) />
            <button type="submit" class="button">{app.say(&Message::new("office-find"))}</button>
        </form>
        {found}
    };
    titled(app, Message::new("office-page-find"), body)
}

/// What has come so far, and a button for what comes next.
fn parts(app: App, first: Rows<Job>, path: String, by_phone: bool) -> AnyView {
    let next = RwSignal::new(first.next);
    let all = RwSignal::new(first.rows);
    let fault: RwSignal<Option<server::Fault>> = RwSignal::new(None);
    let more = move |_| {
        let Some(after) = next.get_untracked() else { return };
        let path = format!("{path}&after={after}");
        wasm_bindgen_futures::spawn_local(async move {
            match server::get::<Rows<Job>>(app, &path).await {
                Ok(part) => {
                    next.set(part.next);
                    all.update(|rows| rows.extend(part.rows));
                }
                Err(why) => fault.set(Some(why)),
            }
        });
    };
    view! {
        {move || rows(app, &all.read(), by_phone)}
        {move || fault.get().map(|fault| failed(app, &fault))}
        {move || next.get().map(|_| {
            let more = more.clone();
            view! { <p><button type="button" class="button small" on:click=more>{app.say(&Message::new("office-more"))}</button></p> }
        })}
    }
    .into_any()
}

/// Returns the address of the report of a job, and whether it leaves the app.
pub fn report(job: uuid::Uuid, by_phone: bool) -> String {
    // A paired phone has no cookie, and makes the report itself.
    if by_phone { Screen::Report(job).hash() } else { format!("/api/v1/jobs/{job}/report") }
}

/// Returns jobs as a table.
pub fn rows(app: App, jobs: &[Job], by_phone: bool) -> AnyView {
    if jobs.is_empty() {
        return view! { <p>{app.say(&Message::new("office-no-jobs"))}</p> }.into_any();
    }
    let row = |job: &Job| {
        let one = &job.summary;
        let title =
            if job.title.is_empty() { app.say(&Message::new("office-unnamed")) } else { job.title.clone() };
        let when = one.day.map_or_else(|| words::moment(job.to_ms), |day| day.to_string());
        let system = job.system.map(|id| Screen::Office(format!("system/{id}")).hash());
        let entries = Screen::Office(format!("job/{}", job.job)).hash();
        let label =
            app.say(&Message::new("office-report-of").with("job", title.as_str()).with("day", when.as_str()));
        view! {
            <tr>
                <td class="keep">{when}</td>
                <th scope="row"><a href=system>{title}</a> <span class="office-below soft">{one.complaint.clone()}</span></th>
                <td>{one.refrigerant.clone()}</td>
                <td>{one.by.clone()}</td>
                <td class="right"><a href=entries>{job.events.to_string()}</a></td>
                <td class="right">{one.due.len().to_string()}</td>
                <td><a href=report(job.job, by_phone) aria-label=label>{app.say(&Message::new("office-report"))}</a></td>
            </tr>
        }
        .into_any()
    };
    let columns = vec![
        (app.say(&Message::new("office-column-day")), false),
        (app.say(&Message::new("office-column-job")), false),
        (app.say(&Message::new("office-column-refrigerant")), false),
        (app.say(&Message::new("office-column-by")), false),
        (app.say(&Message::new("office-column-entries")), true),
        (app.say(&Message::new("office-column-due")), true),
        (app.say(&Message::new("office-column-report")), false),
    ];
    table(app.say(&Message::new("office-page-jobs")), columns, jobs.iter().map(row).collect())
}
