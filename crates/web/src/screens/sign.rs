//! The customer's choice: option and reason, signed by name, by drawing or by telephone, bound to what was shown.

use crate::app::App;
use crate::parts::act::{Fault, fault_line};
use crate::parts::frame::{frame, job_foot, open_row};
use crate::route::Screen;
use crate::screens::stage::beside;
use job::entry::sign::How;
use leptos::prelude::*;
use record::{Body, Entry};
use report::Message;
use std::cell::Cell;
use std::rc::Rc;
use uuid::Uuid;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

const CANVAS: &str = "drawn-name";

/// Returns the screen.
pub fn view(app: App, job: Uuid) -> AnyView {
    let fault: Fault = RwSignal::new(None);
    let visit = app.visit(job).get();
    let choices: Vec<Entry> = visit
        .current
        .entries
        .iter()
        .filter(|entry| matches!(entry.what(), Body::Choice(_)))
        .cloned()
        .collect();
    let title = app.say(&Message::new("app-sign"));
    let Some(choice) = choices.last().cloned() else {
        let body = view! {
            <section class="part"><p>{app.say(&Message::new("app-sign-no-choice"))}</p></section>
            <ul class="rows part">
                {open_row(app.say(&Message::new("entry-kind-choice")), "", move || {
                    app.go(&Screen::Entry(job, "choice".to_owned(), None));
                })}
            </ul>
        };
        return frame(app, title, beside(&visit), body, job_foot(app, job, None));
    };
    let signed: Vec<AnyView> = visit
        .current
        .signed
        .iter()
        .map(|one| {
            let words = app.say(&Message::new("app-signed-by").with("who", one.result.signed_by.as_str()));
            view! { <li><b>{words}</b></li> }.into_any()
        })
        .collect();
    let shown = crate::screens::report::page(app, &visit);
    // Who signs reads the whole of it.
    let (words, reason) = match choice.what() {
        Body::Choice(choice) => (choice.option.clone(), choice.reason.clone()),
        _ => (String::new(), None),
    };
    let reason = reason.map(|reason| {
        let words = app.say(&Message::new("done-reason").with("reason", reason));
        view! { <p>{words}</p> }
    });
    let name = app.draft(&format!("sign: {job}"));
    let sign = {
        let (choice, shown) = (choice.clone(), shown.clone());
        move |how: How| {
            let by = name.get_untracked();
            match job::entry::sign(&choice, &shown, &by, &how) {
                Some(signed) => wasm_bindgen_futures::spawn_local(async move {
                    match app.sign(job, signed).await {
                        Ok(_) => name.set(String::new()),
                        Err(why) => fault.set(Some(app.say(&why.message()))),
                    }
                }),
                None => fault.set(Some(app.say(&Message::new("app-sign-name-first")))),
            }
        }
    };
    let (by_name, by_phone, by_drawing) = (sign.clone(), sign.clone(), sign);
    let body = view! {
        {fault_line(fault)}
        <section class="part">
            <h2>{app.say(&Message::new("app-chosen"))}</h2>
            <p><b>{words}</b></p>
            {reason}
            <p class="soft">{app.say(&Message::new("app-sign-bound"))}</p>
            <ul class="rows">
                {open_row(app.say(&Message::new("app-report")), app.say(&Message::new("app-report-what")), move || {
                    app.go(&Screen::Report(job));
                })}
            </ul>
        </section>
        <section class="part">
            <label class="label" for="sign-name">{app.say(&Message::new("app-sign-name"))}</label>
            <div class="field">
                <input id="sign-name" type="text" autocomplete="off" prop:value=move || name.get()
                    on:input:target=move |event| name.set(event.target().value()) />
            </div>
            <div class="buttons part">
                <button class="button small" on:click=move |_| by_name(How::Named)>{app.say(&Message::new("app-sign-by-name"))}</button>
                <button class="button small" on:click=move |_| by_phone(How::ByPhone)>{app.say(&Message::new("app-sign-by-phone"))}</button>
            </div>
        </section>
        <section class="part">
            <h2>{app.say(&Message::new("app-sign-draw"))}</h2>
            {canvas(app)}
            <div class="buttons part">
                <button class="button small" on:click=move |_| clear()>{app.say(&Message::new("app-sign-clear"))}</button>
                <button class="button small" on:click=move |_| {
                    let sign = by_drawing.clone();
                    wasm_bindgen_futures::spawn_local(async move {
                        match keep_drawing(app).await {
                            Some(sha256) => sign(How::Drawn { sha256 }),
                            None => fault.set(Some(app.say(&Message::new("app-sign-not-drawn")))),
                        }
                    });
                }>{app.say(&Message::new("app-sign-drawn"))}</button>
            </div>
        </section>
        {(!signed.is_empty()).then(|| view! { <ul class="rows part">{signed}</ul> })}
    };
    frame(app, title, beside(&visit), body, job_foot(app, job, None))
}

fn surface() -> Option<(HtmlCanvasElement, CanvasRenderingContext2d)> {
    let canvas =
        crate::browser::document().get_element_by_id(CANVAS)?.dyn_into::<HtmlCanvasElement>().ok()?;
    let context = canvas.get_context("2d").ok()??.dyn_into::<CanvasRenderingContext2d>().ok()?;
    Some((canvas, context))
}

fn clear() {
    if let Some((canvas, context)) = surface() {
        context.clear_rect(0.0, 0.0, f64::from(canvas.width()), f64::from(canvas.height()));
        canvas.set_class_name("drawing");
    }
}

/// A place to draw a name on; who cannot draw signs by name above.
fn canvas(app: App) -> AnyView {
    let down = Rc::new(Cell::new(false));
    let (start, go, end) = (Rc::clone(&down), Rc::clone(&down), down);
    let at = |event: &web_sys::PointerEvent, canvas: &HtmlCanvasElement| {
        let seen = canvas.get_bounding_client_rect();
        let scale = f64::from(canvas.width()) / seen.width().max(1.0);
        (
            (f64::from(event.client_x()) - seen.left()) * scale,
            (f64::from(event.client_y()) - seen.top()) * scale,
        )
    };
    view! {
        <canvas
            id=CANVAS
            class="drawing"
            width="700"
            height="260"
            role="img"
            aria-label=app.say(&Message::new("app-sign-draw"))
            on:pointerdown=move |event| {
                if let Some((canvas, context)) = surface() {
                    // The line follows the finger past the edge.
                    let _ = canvas.set_pointer_capture(event.pointer_id());
                    let (x, y) = at(&event, &canvas);
                    context.set_line_width(5.0);
                    context.set_stroke_style_str("#12150F");
                    context.begin_path();
                    context.move_to(x, y);
                    canvas.set_class_name("drawing has-ink");
                    start.set(true);
                }
            }
            on:pointermove=move |event| {
                if go.get() && let Some((canvas, context)) = surface() {
                    let (x, y) = at(&event, &canvas);
                    context.line_to(x, y);
                    context.stroke();
                }
            }
            on:pointerup=move |_| end.set(false)
        ></canvas>
    }
    .into_any()
}

/// Keeps the drawing as a picture and returns its SHA-256; nothing where nothing was drawn or it could not be kept.
async fn keep_drawing(app: App) -> Option<String> {
    let (canvas, _) = surface()?;
    if !canvas.class_name().contains("has-ink") {
        return None;
    }
    let address = canvas.to_data_url().ok()?;
    let text = address.split_once(",")?.1.to_owned();
    let bytes: Vec<u8> = crate::browser::window().atob(&text).ok()?.chars().map(|c| c as u8).collect();
    app.keep_picture(bytes, "image/png").await
}
