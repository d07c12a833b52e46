//! One stage of a visit: the sentence that matters now, what can be entered, the evidence.

use crate::app::App;
use crate::parts::about::About;
use crate::parts::act::{Fault, enter_now, fault_line, offer_button, quick_button, take_up};
use crate::parts::blocks::{caution, number, said, section};
use crate::parts::frame::{foot_button, frame, job_foot, open_row};
use crate::parts::icon::Icon;
use crate::parts::mark::mark;
use crate::parts::ring::ring;
use crate::route::Screen;
use job::search::Find;
use job::stage::circuit::Part;
use job::stage::{LawLine, NextCheck, Offer, Running, Stage, View};
use job::visit::Visit;
use leptos::prelude::*;
use report::{Message, Text};
use std::sync::Arc;
use uuid::Uuid;
use wasm_bindgen_futures::spawn_local;

/// Returns the screen.
pub fn view(app: App, job: Uuid, stage: Stage) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job);
    let it = untrack(|| visit.get());
    let finds = RwSignal::new(Arc::new(Vec::<Find>::new()));
    if stage == Stage::Search {
        spawn_local(async move {
            let found = finds_here(app).await;
            // The screen may be gone by then.
            finds.try_set(Arc::new(found));
        });
    }
    // What to load is read off the van before anything is done.
    let van = RwSignal::new(None::<Arc<job::van::Van>>);
    if stage == Stage::Arrive && it.visit.value.booked_for.is_some() {
        spawn_local(async move {
            let found = crate::screens::van::van_here(app).await;
            van.try_set(Some(Arc::new(found)).filter(|van| !van.is_empty()));
        });
    }
    let shown = move || {
        let it = visit.get();
        let lessons = finds.with(|finds| job::search::lessons(finds, &it));
        let count = lessons.len();
        let it = match lessons.is_empty() || app.settings().learns == Some(false) {
            true => it,
            false => Arc::new(Visit { lessons, ..(*it).clone() }),
        };
        // Only the decision has costs in it.
        let prices = (stage == Stage::Decide).then(|| app.prices()).flatten();
        let van = van.get();
        let hand = job::stage::Hand { prices: prices.as_ref(), van: van.as_deref() };
        let seen = job::stage::view_with(stage, &it, &app.writer(), &app.now(), hand);
        let learning = (count > 0).then(|| learning(app, count));
        view! { {body(app, job, &it, &seen, fault)}{learning} }.into_any()
    };
    // The act in the foot is the same while one stands here: a thumb must not find another thing under it.
    let main = match stage {
        Stage::Close if app.is_apprentice() => None,
        Stage::Close => Some(foot_button(Icon::Sign, app.say(&Message::new("app-sign")), true, move || {
            app.go(&Screen::Sign(job));
        })),
        _ => {
            // The choice is not an apprentice's to take down.
            let kind = match main_kind(stage) {
                "choice" if app.is_apprentice() => "note",
                kind => kind,
            };
            let word = said(app, &job::entry::labels::kind(kind));
            Some(foot_button(Icon::Add, word, true, move || {
                let visit = untrack(|| app.visit(job).get());
                let seen = untrack(|| job::stage::view(stage, &visit, &app.writer(), &app.now()));
                let offer = seen.offers.into_iter().find(|offer| offer.kind == kind && !is_quick(offer));
                match offer.filter(|offer| !offer.ask.is_empty()) {
                    Some(offer) => take_up(app, job, &offer, fault),
                    None => app.go(&Screen::Entry(job, kind.to_owned(), None)),
                }
            }))
        }
    };
    let name = app.say(&stage.name());
    frame(app, name, beside(&it), view! { {fault_line(fault)}{shown} }, job_foot(app, job, main))
}

/// The leaks that the records on this phone confirmed and mended.
async fn finds_here(app: App) -> Vec<Find> {
    let Ok(store) = app.store().await else { return Vec::new() };
    let Ok((heads, _)) = store.heads().await else { return Vec::new() };
    let mut visits = Vec::new();
    for head in heads {
        // What cannot be read teaches nothing.
        visits.extend(store.events_of(head.job).await.ok());
    }
    job::search::finds(visits)
}

/// Whether those finds teach where to look: yes or no, and how many there are.
fn learning(app: App, count: usize) -> AnyView {
    let choice = move |wanted: bool, words: &'static str| {
        view! {
            <button
                class="button small"
                aria-pressed=move || ((app.settings().learns != Some(false)) == wanted).to_string()
                on:click=move |_| app.set(|settings| settings.learns = Some(wanted))
            >
                {said(app, &job::entry::labels::word(words))}
            </button>
        }
        .into_any()
    };
    view! {
        <section class="part">
            <h2>{app.say(&Message::new("seek-app-learn"))}</h2>
            <p class="soft">{app.say(&Message::new("seek-app-learn-what").with("count", count))}</p>
            <div class="buttons">{choice(true, "yes")}{choice(false, "no")}</div>
        </section>
    }
    .into_any()
}

/// The place and the refrigerant, for the head.
pub fn beside(visit: &Visit) -> String {
    let system = &visit.system.value;
    let refrigerant = system.refrigerant.as_ref().and_then(record::Known::value).cloned();
    let name = system.name.clone().or_else(|| visit.site.value.name.clone());
    name.into_iter().chain(refrigerant).collect::<Vec<_>>().join(", ")
}

/// The kind of entry that is made most at a stage.
const fn main_kind(stage: Stage) -> &'static str {
    match stage {
        Stage::Arrive | Stage::Diagnose | Stage::Prove => "reading",
        Stage::Search => "leak check",
        Stage::Decide | Stage::Close => "choice",
        Stage::Test => "hold",
        Stage::Evacuate => "rise",
        Stage::Charge => "weighing",
        Stage::Set => "setting",
    }
}

fn is_quick(offer: &Offer) -> bool {
    offer.kind == "reading" && offer.ask.len() == 1 && offer.onto.is_none()
}

/// Whether an offer is one of the three answers of a check.
fn is_answer(offer: &Offer) -> bool {
    let result = offer.preset.iter().find(|(path, _)| path == "result");
    offer.kind == "leak check"
        && offer.onto.is_none()
        && offer.ask.len() == 3
        && result.is_some()
        && !offer.ask.iter().any(|path| path == "except")
}

fn body(app: App, job: Uuid, visit: &Arc<Visit>, seen: &View, fault: Fault) -> AnyView {
    let now = now_sentence(app, seen);
    let sticky = matches!(seen.stage, Stage::Charge | Stage::Arrive);
    let head: Vec<AnyView> = seen
        .head
        .iter()
        .map(|one| {
            view! {
                <div class="head-number"><span>{said(app, &one.label)}</span><b class="large keep">{one.value.line()}</b></div>
            }
            .into_any()
        })
        .collect();
    let opened: Vec<AnyView> = seen
        .head
        .iter()
        .filter(|one| one.opened.is_some())
        .map(|one| view! { <li>{number(app, one)}</li> }.into_any())
        .collect();
    let head = (!head.is_empty()).then(|| {
        let class = if sticky { "head-numbers sticky" } else { "head-numbers" };
        view! { <div class=class>{head}</div> }
    });
    let running: Vec<AnyView> = seen.running.iter().map(|one| running(app, one)).collect();
    let cautions: Vec<AnyView> = seen.cautions.iter().map(|one| caution(app, one)).collect();
    let law = seen.law.as_ref().map(|line| law_line(app, line));
    let next = seen.next.as_ref().map(|next| next_check(app, job, next, &seen.now.sentence, fault));
    let quick: Vec<AnyView> = seen
        .offers
        .iter()
        .filter(|offer| is_quick(offer))
        .map(|offer| quick_button(app, job, offer, fault))
        .collect();
    let quick = (!quick.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("app-quick"))}</h2><div class="buttons quick">{quick}</div></section> }
    });
    let offers: Vec<AnyView> = seen
        .offers
        .iter()
        .filter(|offer| !is_quick(offer) && !is_answer(offer))
        .filter(|offer| !(app.is_apprentice() && job::apprentice::others_make_kind(offer.kind)))
        .map(|offer| offer_button(app, job, offer, fault))
        .collect();
    // What the hand did, three buttons alike; where a next place is known they stand with it.
    let answers: Vec<AnyView> = match &seen.next {
        Some(_) => Vec::new(),
        None => seen
            .offers
            .iter()
            .filter(|one| is_answer(one))
            .map(|one| offer_button(app, job, one, fault))
            .collect(),
    };
    let answers = (!answers.is_empty()).then(|| view! { <div class="buttons three part">{answers}</div> });
    let offers = (!offers.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("app-enter"))}</h2><div class="offers">{offers}</div></section> }
    });
    let circuit = (seen.stage == Stage::Search).then(|| circuit(app, job, visit, seen));
    let sections: Vec<AnyView> = seen.sections.iter().map(|one| section(app, one)).collect();
    let behind = (!opened.is_empty()).then(|| {
        view! { <section class="part"><h2>{app.say(&Message::new("app-behind"))}</h2><ul class="rows numbers">{opened}</ul></section> }
    });
    let sharpen: Vec<AnyView> =
        seen.sharpen.iter().map(|one| view! { <li>{app.say(one)}</li> }.into_any()).collect();
    let sharpen = (!sharpen.is_empty()).then(|| {
        view! {
            <section class="part">
                <h2>{app.say(&Message::new("open-sharpen"))}</h2>
                <ul class="plain-list">{sharpen}</ul>
            </section>
        }
    });
    let close = (seen.stage == Stage::Close).then(|| closing(app, job, visit, fault));
    view! {
        {now}{head}{running}{cautions}{next}{answers}{law}{quick}{offers}{circuit}{close}{sections}{behind}{sharpen}
    }
    .into_any()
}

fn now_sentence(app: App, seen: &View) -> AnyView {
    let sign = seen.now.mark.map(mark);
    let why = seen.now.why.as_ref().map(|why| {
        let words = app.say(why);
        view! { <p class="now-why">{words}</p> }
    });
    view! {
        <section class="now" aria-live="polite">
            <div class="now-line">{sign}<h2 class="now-sentence">{app.say(&seen.now.sentence)}</h2></div>
            {why}
        </section>
    }
    .into_any()
}

/// What runs by the clock: held so far, and the clock time of the answer; it survives a locked screen, since both
/// come from the recorded start.
fn running(app: App, of: &Running) -> AnyView {
    let since = of.since.clone();
    let so_far = move || {
        let minutes = (app.minute() - since.unix_millis()).max(0) / 60_000;
        match minutes / 60 {
            0 => app.say(&Message::new("app-minutes").with("minutes", minutes)),
            hours => app.say(&Message::new("app-hours").with("hours", hours).with("minutes", minutes % 60)),
        }
    };
    let answer = match &of.answer_at {
        Some(at) => crate::clock::hour_minute(at.unix_millis()),
        None => "–".to_owned(),
    };
    view! {
        <section class="part timer">
            <h2>{app.say(&of.what)}</h2>
            <div class="head-numbers">
                <div class="head-number"><span>{app.say(&Message::new("app-so-far"))}</span><b class="large keep">{so_far}</b></div>
                <div class="head-number"><span>{app.say(&Message::new("app-answer-at"))}</span><b class="large keep">{answer}</b></div>
            </div>
        </section>
    }
    .into_any()
}

fn law_line(app: App, of: &LawLine) -> AnyView {
    let why = of.why.as_ref().map(|why| {
        let words = app.say(why);
        view! { <p>{words}</p> }
    });
    let more = of.section.as_ref().map(|one| {
        view! {
            <details class="opens"><summary class="edge">{said(app, &one.heading)}</summary>{section(app, one)}</details>
        }
    });
    view! {
        <section class="part">
            <h2>{app.say(&Message::new("app-law"))}</h2>
            <div class="verdict">{mark(of.mark)}<div><p><b>{app.say(&of.sentence)}</b></p>{why}</div></div>
            {more}
        </section>
    }
    .into_any()
}

/// Where to look next: what the hand did is one touch, and all three look alike.
fn next_check(app: App, job: Uuid, next: &NextCheck, now: &Message, fault: Fault) -> AnyView {
    // The sentence on the tray says it already, unless a hit comes first.
    let said_again = (next.sentence != *now).then(|| {
        let why = next.why.as_ref().map(|why| app.say(why)).map(|words| view! { <p>{words}</p> });
        view! {
            <h2>{app.say(&Message::new("app-next-check"))}</h2>
            <p><b>{app.say(&next.sentence)}</b></p>
            {why}
        }
    });
    let result = move |word: &'static str, message: Message, offer: &Offer| {
        let mut fields = offer.preset.clone();
        fields.retain(|(path, _)| path != "result");
        fields.push(("result".to_owned(), word.to_owned()));
        view! {
            <button class="button" on:click=move |_| enter_now(app, job, "leak check", &fields, fault)>
                {app.say(&message)}
            </button>
        }
        .into_any()
    };
    let more = next.section.as_ref().map(|one| {
        view! {
            <details class="opens"><summary class="edge">{said(app, &one.heading)}</summary>{section(app, one)}</details>
        }
    });
    let offer = next.offer.clone();
    view! {
        <section class="part">
            {said_again}
            <div class="buttons three">
                {result("clean", Message::new("app-clean"), &next.offer)}
                {result("hit", Message::new("app-hit"), &next.offer)}
                {result("not done", Message::new("app-not-done"), &next.offer)}
            </div>
            <button class="button small" on:click=move |_| take_up(app, job, &offer, fault)>
                {app.say(&Message::new("app-check-more"))}
            </button>
            {more}
        </section>
    }
    .into_any()
}

fn circuit(app: App, job: Uuid, visit: &Visit, seen: &View) -> AnyView {
    let of = job::stage::circuit(visit);
    let chances = seen.next.as_ref().map(|next| next.chances.clone()).unwrap_or_default();
    let look = move |key: &'static str| {
        let words = PARTS.iter().find(|part| part.key() == key).map_or(key, |part| part.words());
        let about = About {
            ask: ["method", "result", "minutes", "pressure"].map(str::to_owned).to_vec(),
            preset: vec![("place".to_owned(), words.to_owned())],
            ..About::default()
        };
        app.go(&Screen::Entry(job, "leak check".to_owned(), about.written()));
    };
    let sweep = About {
        ask: ["place", "except", "method", "result", "pressure", "minutes"].map(str::to_owned).to_vec(),
        ..About::default()
    };
    view! {
        <section class="part">
            <h2>{app.say(&Message::new("search-spots"))}</h2>
            <p class="soft">{app.say(&Message::new("app-ring-touch"))}</p>
            {ring(app, &of, &chances, look)}
            <button class="button small" on:click=move |_| {
                app.go(&Screen::Entry(job, "leak check".to_owned(), sweep.written()));
            }>{app.say(&Message::new("app-sweep"))}</button>
        </section>
    }
    .into_any()
}

const PARTS: [Part; 9] = [
    Part::Compressor,
    Part::Condenser,
    Part::Receiver,
    Part::Drier,
    Part::Solenoid,
    Part::Valve,
    Part::Coil,
    Part::Suction,
    Part::Controls,
];

/// What ends a visit: the report, the choice signed, the next visit.
fn closing(app: App, job: Uuid, visit: &Arc<Visit>, fault: Fault) -> AnyView {
    let text = |message: Message| Text::from(message);
    let row = |first: Message, second: Message, screen: Screen| {
        open_row(said(app, &text(first)), said(app, &text(second)), move || app.go(&screen))
    };
    view! {
        {word(app, job, visit, fault)}
        <section class="part">
            <h2>{app.say(&Message::new("app-hand-over"))}</h2>
            <ul class="rows">
                {row(Message::new("app-report"), Message::new("app-report-what"), Screen::Report(job))}
                {(!app.is_apprentice()).then(|| row(Message::new("app-sign"), Message::new("app-sign-what"), Screen::Sign(job)))}
                {row(Message::new("app-record"), Message::new("app-record-what"), Screen::Record(job))}
                {row(Message::new("app-again-row"), Message::new("app-again-what"), Screen::NewVisit(Some(job)))}
            </ul>
        </section>
    }
    .into_any()
}

/// An apprentice's work, with the button of a licensed technician who answers for it: what is read is what is signed.
fn word(app: App, job: Uuid, visit: &Visit, fault: Fault) -> Option<AnyView> {
    let shown: Vec<String> = job::apprentice::sentences(visit).iter().map(|one| said(app, one)).collect();
    if shown.is_empty() {
        return None;
    }
    let list: Vec<AnyView> =
        shown.iter().cloned().map(|words| view! { <li>{words}</li> }.into_any()).collect();
    let signed = job::apprentice::word(visit, &shown, &app.person().unwrap_or_default());
    let act = match signed {
        _ if app.is_apprentice() => None,
        None => Some(view! { <p>{app.say(&Message::new("app-word-name"))}</p> }.into_any()),
        Some(signed) => {
            let give = move |_| {
                let signed = signed.clone();
                wasm_bindgen_futures::spawn_local(async move {
                    if let Err(why) = app.sign(job, signed).await {
                        fault.set(Some(app.say(&why.message())));
                    }
                });
            };
            Some(view! { <button class="button small" on:click=give>{app.say(&Message::new("app-word-give"))}</button> }.into_any())
        }
    };
    Some(
        view! {
            <section class="part">
                <h2>{app.say(&Message::new("app-word"))}</h2>
                <ul class="plain-list">{list}</ul>
                {act}
            </section>
        }
        .into_any(),
    )
}
