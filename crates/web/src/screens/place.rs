//! Where one stands: box, roof, van. What is owed here, what to carry and weigh before going elsewhere, the stages.

use crate::app::App;
use crate::parts::act::{Fault, enter_now, fault_line, offer_button, picture_button, take_up};
use crate::parts::blocks::{caution, said};
use crate::parts::frame::{foot_button, frame, job_foot, open_row};
use crate::parts::icon::Icon;
use crate::parts::mark::mark;
use crate::route::Screen;
use crate::screens::stage::beside;
use job::place::{Owed, Place};
use job::stage::Stage;
use leptos::prelude::*;
use report::{Message, VerdictMark};
use uuid::Uuid;

/// Returns the screen of a place; without a name that of the place one stands at.
pub fn view(app: App, job: Uuid, name: Option<String>) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job).get();
    let here = job::place::here(&visit);
    let at = name.or_else(|| here.clone());
    let places = job::place::places(&visit);
    let shown = at.as_ref().and_then(|at| places.iter().find(|place| place.name == *at)).map_or_else(
        || at.clone().unwrap_or_else(|| app.say(&Message::new("app-place"))),
        |place| said(app, &place.label),
    );
    let stands_here = at.is_some() && at == here;
    let owed = match (&at, stands_here) {
        (Some(at), true) => job::place::leaving(&visit, at),
        (None, _) => job::place::owed(&visit),
        _ => Vec::new(),
    };
    let owed: Vec<AnyView> = owed.iter().map(|one| owed_row(app, job, one, fault)).collect();
    let owed_part = (!owed.is_empty()).then(|| {
        let heading = match stands_here {
            true => Message::new("app-owed-here"),
            false => Message::new("app-owed"),
        };
        view! { <section class="part"><h2>{app.say(&heading)}</h2><ul class="rows">{owed}</ul></section> }
    });
    let touched = at.as_ref().filter(|_| stands_here).map(|at| touched(app, &job::touched::at(&visit, at)));
    let going = at.as_ref().filter(|_| !stands_here).map(|at| going(app, job, at, fault));
    let arrive = at.clone().filter(|_| !stands_here).map(|at| {
        view! {
            <section class="part">
                <button class="button go" on:click=move |_| {
                    enter_now(app, job, "arrival", &[("place".to_owned(), at.clone())], fault);
                }>{app.say(&Message::new("app-i-am-here"))}</button>
            </section>
        }
    });
    let others: Vec<AnyView> = places
        .iter()
        .filter(|place| Some(&place.name) != at.as_ref())
        .map(|place| place_row(app, job, place))
        .collect();
    let stages: Vec<AnyView> = Stage::ALL
        .into_iter()
        .map(|stage| {
            view! {
                <button class="button small" on:click=move |_| app.go(&Screen::Stage(job, stage.key().to_owned()))>
                    {app.say(&stage.name())}
                </button>
            }
            .into_any()
        })
        .collect();
    let parts = job::place::parts_by_place(&visit);
    let parts: Vec<AnyView> = parts
        .iter()
        .flat_map(|at| {
            let place = at.place.clone().unwrap_or_default();
            at.order.iter().chain(&at.stock).map(move |part| {
                let words = part.order_line.clone().unwrap_or_else(|| part.function.clone());
                view! { <li class="pair"><span>{words}</span><span class="soft">{place.clone()}</span></li> }
                    .into_any()
            })
        })
        .collect();
    let parts = (!parts.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("open-parts"))}</h2><ul class="rows">{parts}</ul></section> }
    });
    let body = view! {
        {fault_line(fault)}
        {owed_part}
        {touched}
        {going}
        {arrive}
        <section class="part">
            <h2>{app.say(&Message::new("app-stages"))}</h2>
            <div class="buttons">{stages}</div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-places"))}</h2>
            <ul class="rows">{others}</ul>
        </section>
        {parts}
        <section class="part">{picture_button(app, job, app.say(&Message::new("app-picture-now")), None, fault)}</section>
    };
    let main = match (&here, stands_here) {
        (Some(here), true) => {
            let place = here.clone();
            foot_button(Icon::Places, app.say(&Message::new("app-leave")), false, move || {
                enter_now(app, job, "departure", &[("place".to_owned(), place.clone())], fault);
            })
        }
        _ => foot_button(Icon::On, app.say(&Message::new("stage-arrive")), true, move || {
            app.go(&Screen::Stage(job, "arrive".to_owned()));
        }),
    };
    frame(app, shown, beside(&visit), body, job_foot(app, job, Some(main)))
}

fn place_row(app: App, job: Uuid, place: &Place) -> AnyView {
    let name = place.name.clone();
    let words = match (place.here, place.entries) {
        (true, _) => app.say(&Message::new("app-you-are-here")),
        (false, 0) => String::new(),
        (false, count) => app.say(&Message::new("app-entries").with("count", count)),
    };
    open_row(said(app, &place.label), words, move || app.go(&Screen::Place(job, Some(name.clone()))))
}

/// What was touched here and how it stands.
fn touched(app: App, all: &[job::touched::Touched]) -> Option<AnyView> {
    let row = |one: &job::touched::Touched| {
        view! { <li class="pair"><span>{said(app, &one.what)}</span><span class="soft">{app.say(&one.stands)}</span></li> }
            .into_any()
    };
    let rows: Vec<AnyView> = all.iter().map(row).collect();
    (!rows.is_empty()).then(|| {
        let heading = app.say(&Message::new("places-touched"));
        view! { <section class="part"><h2>{heading}</h2><ul class="rows">{rows}</ul></section> }.into_any()
    })
}

fn owed_row(app: App, job: Uuid, of: &Owed, fault: Fault) -> AnyView {
    let offer = of.settles.clone();
    let label = app.say(&offer.label);
    let act = match offer.kind {
        "picture" => Some(view! {
            <button class="button small" on:click=move |_| app.go(&Screen::Pictures)>{label}</button>
        }
        .into_any()),
        _ => Some(view! {
            <button class="button small" on:click=move |_| take_up(app, job, &offer, fault)>{label}</button>
        }
        .into_any()),
    };
    view! {
        <li class="verdict">{mark(VerdictMark::Due)}<div><p>{app.say(&of.sentence)}</p>{act}</div></li>
    }
    .into_any()
}

/// What to carry and weigh before going to a place.
fn going(app: App, job: Uuid, to: &str, fault: Fault) -> AnyView {
    let visit = app.visit(job).get();
    let up = job::carry::going_up(&visit, to);
    let cautions: Vec<AnyView> = up.cautions.iter().map(|one| caution(app, one)).collect();
    let carry: Vec<AnyView> = up
        .carry
        .iter()
        .map(|one| {
            let why = one.why.as_ref().map(|why| {
                let words = app.say(why);
                view! { <span class="soft">{words}</span> }
            });
            view! { <li class="pair"><span>{said(app, &one.what)}</span>{why}</li> }.into_any()
        })
        .collect();
    let weigh: Vec<AnyView> = up.weigh.iter().map(|offer| offer_button(app, job, offer, fault)).collect();
    let weigh = (!weigh.is_empty()).then(|| {
        view! { <h2>{app.say(&Message::new("app-weigh-first"))}</h2><div class="offers">{weigh}</div> }
    });
    let carry = (!carry.is_empty()).then(|| {
        view! { <h2>{app.say(&Message::new("app-carry"))}</h2><ul class="rows">{carry}</ul> }
    });
    view! {
        {cautions}
        <section class="part">{carry}{weigh}</section>
    }
    .into_any()
}
