//! A new visit: a refrigerant is enough, or a place's name; everything else can come later, or never.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::frame::{foot_button, frame, open_row};
use crate::parts::icon::Icon;
use crate::parts::sheet::usual_refrigerants;
use crate::route::Screen;
use job::customers::Customer;
use leptos::prelude::*;
use record::{Around, Observation};
use report::Message;
use uuid::Uuid;

/// Returns the screen; of a system visited before, with the visit it follows.
pub fn view(app: App, follows: Option<Uuid>) -> AnyView {
    if let Some(earlier) = follows {
        return again(app, earlier);
    }
    let site = app.draft("new visit: place");
    let other = app.draft("new visit: refrigerant");
    let fault = RwSignal::new(None::<String>);
    let customers: RwSignal<Vec<Customer>> = RwSignal::new(Vec::new());
    wasm_bindgen_futures::spawn_local(async move {
        if let Ok(store) = app.store().await
            && let Ok(Some(all)) = store.meta("customers").await
        {
            // The screen may have been left meanwhile.
            let _ = customers.try_set(all);
        }
    });
    // The shop's customers that are meant by what is typed; one that is named in full is chosen.
    let meant = move || {
        let typed = site.get();
        let typed = typed.trim();
        let found: Vec<AnyView> = customers.with(|all| {
            let chosen = typed.is_empty() || all.iter().any(|one| one.name() == typed);
            let some = all.iter().filter(|one| !chosen && one.is_meant(typed)).take(5);
            some.map(|one| {
                let name = one.name();
                let address = one.field("site.address").unwrap_or_default().to_owned();
                open_row(name.clone(), address, move || site.set(name.clone()))
            })
            .collect()
        });
        (!found.is_empty()).then(|| view! { <ul class="rows">{found}</ul> })
    };
    let start = move |refrigerant: Option<String>| {
        let name = site.get_untracked();
        let name = name.trim();
        let one = customers.with_untracked(|all| all.iter().find(|one| one.name() == name).cloned());
        let mut all = facts(if one.is_some() { "" } else { name }, refrigerant.as_deref());
        all.extend(one.map(|one| one.facts(&Around::default())).unwrap_or_default());
        begin(app, fault, all);
    };
    let usual: Vec<AnyView> = usual_refrigerants(app)
        .into_iter()
        .map(|name| {
            let shown = name.clone();
            view! {
                <button class="button" on:click=move |_| start(Some(name.clone()))>{shown}</button>
            }
            .into_any()
        })
        .collect();
    let known: Vec<AnyView> = app
        .jobs()
        .iter()
        .filter(|head| head.site.is_some() || head.system.is_some())
        .filter(|head| !crate::screens::van::is_log(app, head.job))
        .take(8)
        .map(|head| {
            let job = head.job;
            open_row(head.name(), head.refrigerant.clone().unwrap_or_default(), move || {
                app.go(&Screen::NewVisit(Some(job)));
            })
        })
        .collect();
    let again = (!known.is_empty()).then(|| {
        view! {
            <section class="part">
                <h2>{app.say(&Message::new("app-new-known"))}</h2>
                <ul class="rows">{known}</ul>
            </section>
        }
    });
    let body = view! {
        <section class="part">
            <label class="label" for="new-place">{app.say(&Message::new("app-new-place"))}</label>
            <div class="field">
                <input id="new-place" type="text" autocomplete="off" prop:value=move || site.get()
                    on:input:target=move |event| site.set(event.target().value()) />
            </div>
            {meant}
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-new-refrigerant"))}</h2>
            <p>{app.say(&Message::new("app-new-refrigerant-why"))}</p>
            <div class="buttons refrigerants">{usual}</div>
            <label class="label" for="new-other">{app.say(&Message::new("app-new-other"))}</label>
            <div class="field">
                <input id="new-other" type="text" autocomplete="off" prop:value=move || other.get()
                    on:input:target=move |event| other.set(event.target().value()) />
            </div>
        </section>
        {again}
        {move || fault.get().map(|words| view! { <div class="line bad" role="alert"><p>{words}</p></div> })}
    };
    let main = foot_button(Icon::On, app.say(&Message::new("app-new-start")), true, move || {
        let typed = other.get_untracked();
        start(Some(typed).filter(|typed| !typed.trim().is_empty()));
    });
    frame(app, app.say(&Message::new("app-new")), "", body, vec![main])
}

/// The facts that a visit begins with.
fn facts(site: &str, refrigerant: Option<&str>) -> Vec<Observation> {
    let around = Around { local: crate::clock::local(), ..Around::default() };
    let today = crate::clock::today().map(|day| day.to_string()).unwrap_or_default();
    let mut pairs: Vec<(&str, &str, String)> = vec![("visit", "date", today)];
    if !site.trim().is_empty() {
        pairs.push(("site", "name", site.trim().to_owned()));
    }
    if let Some(name) = refrigerant {
        pairs.push(("system", "refrigerant", name.trim().to_owned()));
    }
    if let Some(zone) = crate::clock::zone() {
        pairs.push(("site", "zone", zone));
    }
    let offset = crate::clock::offset_minutes(crate::clock::now_ms());
    let sign = if offset < 0 { '-' } else { '+' };
    let size = offset.unsigned_abs();
    pairs.push(("site", "offset", format!("{sign}{:02}:{:02}", size / 60, size % 60)));
    pairs
        .iter()
        // A name that cannot be a fact is left out here, and asked for again at Arrive.
        .filter_map(|(section, path, text)| record::read_fact(section, path, text, &around).ok())
        .collect()
}

fn begin(app: App, fault: RwSignal<Option<String>>, facts: Vec<Observation>) {
    let job = app.new_job();
    let has_refrigerant = facts
        .iter()
        .any(|one| matches!(&one.what, record::Body::System(system) if system.refrigerant.is_some()));
    wasm_bindgen_futures::spawn_local(async move {
        match app.put_all(job, facts).await {
            Ok(_) => {
                app.drop_drafts("new visit: ");
                // The way back from the first reading leads to the visit, not to the form that began it.
                app.go_instead(Screen::Stage(job, "arrive".to_owned()));
                if has_refrigerant {
                    let ask = ["suction_pressure", "suction_line", "discharge_pressure", "box_air"];
                    let about = About { ask: ask.map(str::to_owned).to_vec(), ..About::default() };
                    app.go(&Screen::Entry(job, "reading".to_owned(), about.written()));
                }
            }
            Err(why) => fault.set(Some(app.say(&why.message()))),
        }
    });
}

/// A visit to a system known: nothing is asked twice, and what the last visit left open comes along.
fn again(app: App, earlier: Uuid) -> AnyView {
    let fault = RwSignal::new(None::<String>);
    let visit = app.visit(earlier);
    let name =
        app.jobs().iter().find(|head| head.job == earlier).map(crate::head::Head::name).unwrap_or_default();
    let start = move || {
        let visit = visit.get_untracked();
        let mut facts = facts("", None);
        let around = Around { local: crate::clock::local(), ..Around::default() };
        // The site's clock holds from the earlier visit; only the day is new.
        facts.retain(|one| matches!(one.what, record::Body::Visit(_)));
        facts.extend(record::read_fact("visit", "follows", &earlier.to_string(), &around).ok());
        facts.extend(job::entry::second_visit(&visit, &|message| app.say(message)));
        let job = app.new_job();
        wasm_bindgen_futures::spawn_local(async move {
            match app.put_all(job, facts).await {
                Ok(_) => app.go_instead(Screen::Place(job, None)),
                Err(why) => fault.set(Some(app.say(&why.message()))),
            }
        });
    };
    let open = move || {
        let owed = job::entry::second_visit(&visit.get(), &|message| app.say(message));
        let rows: Vec<AnyView> = owed
            .iter()
            .map(|seen| view! { <li>{app.say(&job::entry::name(seen))}</li> }.into_any())
            .collect();
        (!rows.is_empty()).then(|| {
            view! {
                <section class="part">
                    <h2>{app.say(&Message::new("app-again-open"))}</h2>
                    <ul class="plain-list">{rows}</ul>
                </section>
            }
        })
    };
    let body = view! {
        <section class="part"><p>{app.say(&Message::new("app-again").with("name", name.as_str()))}</p></section>
        {open}
        {move || fault.get().map(|words| view! { <div class="line bad" role="alert"><p>{words}</p></div> })}
    };
    let main = foot_button(Icon::On, app.say(&Message::new("app-new-start")), true, start);
    frame(app, app.say(&Message::new("app-new")), name, body, vec![main])
}
