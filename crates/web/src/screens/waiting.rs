//! What waits to be sent, what is held, when it was last sent; and what a lost phone means.

use crate::app::App;
use crate::clock::hour_minute;
use crate::parts::frame::{foot_button, frame, open_row};
use crate::parts::icon::Icon;
use crate::parts::mark::mark;
use crate::route::Screen;
use crate::status::{Opening, Reach};
use leptos::prelude::*;
use report::{Message, VerdictMark};

/// Returns the screen.
pub fn view(app: App) -> AnyView {
    let rows = move || {
        let status = app.status();
        let counts = [
            (Message::new("app-count-entries"), status.events),
            (Message::new("app-count-waiting"), status.waiting),
            (Message::new("app-count-pictures"), status.pictures),
            (Message::new("app-count-held"), status.held),
        ];
        let rows: Vec<AnyView> = counts
            .into_iter()
            .map(|(message, count)| {
                view! { <li class="pair"><span>{app.say(&message)}</span><b>{count}</b></li> }.into_any()
            })
            .collect();
        let times = [
            (Message::new("app-last-saved"), status.saved_ms),
            (Message::new("app-last-sent"), status.sent_ms),
        ];
        let times: Vec<AnyView> = times
            .into_iter()
            .map(|(message, at)| {
                let at = at.map_or_else(|| "–".to_owned(), hour_minute);
                view! { <li class="pair"><span>{app.say(&message)}</span><b>{at}</b></li> }.into_any()
            })
            .collect();
        view! { <ul class="rows">{rows}{times}</ul> }
    };
    let reach = move || {
        let status = app.status();
        if let Opening::Failed(_) = status.store {
            return view! {
                <div class="verdict">{mark(VerdictMark::Breached)}<p>{app.say(&Message::new("app-not-keeping-why"))}</p></div>
            }
            .into_any();
        }
        let words = match status.reach {
            Reach::Alone => app.say(&Message::new("app-reach-alone")),
            Reach::Fine => app.say(&Message::new("app-reach-fine")),
            Reach::Trying => app.say(&Message::new("app-reach-trying")),
            Reach::Away => app.say(&Message::new("app-reach-away")),
            Reach::PairAgain => app.say(&Message::new("app-reach-pair-again")),
            Reach::Trouble(words) => app.say(&Message::new("app-reach-trouble").with("words", words)),
        };
        view! { <p>{words}</p> }.into_any()
    };
    let held = move || {
        (app.status().held > 0).then(|| {
            view! {
                <div class="verdict">{mark(VerdictMark::Doubtful)}<p>{app.say(&Message::new("app-held-why"))}</p></div>
            }
        })
    };
    let body = view! {
        <section class="part">{reach}{held}</section>
        <section class="part">{rows}</section>
        <section class="part">
            <ul class="rows">
                {open_row(app.say(&Message::new("app-pair")), app.say(&Message::new("app-pair-what")), move || app.go(&Screen::Pair(None)))}
                {open_row(app.say(&Message::new("app-files")), app.say(&Message::new("app-files-what")), move || app.go(&Screen::Settings))}
            </ul>
        </section>
        <section class="part"><p class="soft">{app.say(&Message::new("app-lost-phone"))}</p></section>
    };
    let main =
        foot_button(Icon::ToSend, app.say(&Message::new("app-send-now")), true, move || app.exchange_now());
    frame(app, app.say(&Message::new("app-waiting")), "", body, vec![main])
}
