//! The circuit as a ring of three by three blocks: what was looked at, what is next, what chance is left.

use crate::app::App;
use crate::parts::figure;
use job::stage::circuit::{Circuit, Looked};
use leptos::prelude::*;
use report::Message;
use std::cmp::Ordering;

/// Returns the ring; `chances` holds the chance of each part in percent, `next` the part to look at next. Touching a
/// block calls `act` with its part.
pub fn ring(
    app: App,
    of: &Circuit,
    chances: &[(&'static str, f64)],
    act: impl Fn(&'static str) + Copy + 'static,
) -> AnyView {
    let next = chances.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map(|(part, _)| *part);
    let blocks: Vec<AnyView> = of
        .blocks
        .iter()
        .map(|block| {
            let key = block.part.key();
            let chance = chances.iter().find(|(part, _)| *part == key).map(|(_, chance)| *chance);
            let name = app.say(&block.label);
            // Of a block that nobody looked at there is nothing to say; the list under the ring says so.
            let state = (block.state != Looked::Not).then(|| app.say(&block.state.word()));
            let class = match block.state {
                Looked::Not => "ring-block",
                Looked::Clean => "ring-block looked",
                Looked::Hit => "ring-block hit",
                Looked::Mended => "ring-block mended",
                Looked::MendedClean => "ring-block looked mended",
            };
            let class = if next == Some(key) { format!("{class} next") } else { class.to_owned() };
            let class = if block.inside { format!("{class} inside") } else { class };
            let index = of.blocks.iter().position(|other| other == block);
            let to =
                of.flow.iter().find(|(from, _)| Some(*from) == index).and_then(|(_, to)| of.blocks.get(*to));
            let class = match to.map(|to| (to.at.0.cmp(&block.at.0), to.at.1.cmp(&block.at.1))) {
                Some((Ordering::Equal, Ordering::Greater)) => format!("{class} to-right"),
                Some((Ordering::Equal, Ordering::Less)) => format!("{class} to-left"),
                Some((Ordering::Greater, _)) => format!("{class} to-below"),
                Some((Ordering::Less, _)) => format!("{class} to-above"),
                _ => class,
            };
            let (row, column) = ((block.at.0 + 1).to_string(), (block.at.1 + 1).to_string());
            let percent = chance.map(|chance| {
                let words = if chance < 1.0 {
                    app.say(&Message::new("report-under-one-percent"))
                } else {
                    format!("{chance:.0}\u{a0}%")
                };
                let width = format!("{:.0}%", chance.clamp(0.0, 100.0));
                // The hatch of the report's picture: the denser, the more is left there.
                let (column, text) = figure::column();
                let hatch = report::shade(chance / 100.0, column / 3.0, text * 2.0, report::Ink::Page);
                view! {
                    <span class="ring-shaded">
                        <span class="ring-shade" aria-hidden="true" inner_html=hatch></span>
                        <b class="ring-chance">{words}</b>
                    </span>
                    <span class="ring-bar"><span style:width=width></span></span>
                }
            });
            view! {
                <li class=class style:grid-row=row style:grid-column=column>
                    <button class="ring-button edge" on:click=move |_| act(key)>
                        <span>{name}</span>
                        {percent}
                        <span class="ring-state">{state}</span>
                    </button>
                </li>
            }
            .into_any()
        })
        .collect();
    let room = of.room.clone().map(|name| {
        let words = app.say(&Message::new("app-ring-room").with("room", name));
        view! { <p class="soft">{words}</p> }
    });
    view! { <ol class="ring">{blocks}</ol>{room} }.into_any()
}
