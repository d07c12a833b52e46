//! The blocks of a document as parts of a screen.

use crate::app::App;
use crate::parts::figure;
use crate::parts::icon::{Icon, icon};
use crate::parts::mark::mark;
use leptos::prelude::*;
use report::{
    Align, Basis, Block, Caution, Cell, Finding, Message, Number, Opened, Section, Size, Table, Text,
    VerdictMark,
};

/// Returns a text of a document in the language that is set.
pub fn said(app: App, text: &Text) -> String {
    text.said(&|message: &Message| app.say(message))
}

fn told(app: App, message: Message) -> String {
    said(app, &Text::Message(message))
}

/// Returns a section with its heading.
pub fn section(app: App, section: &Section) -> AnyView {
    let blocks: Vec<AnyView> = section.blocks.iter().map(|one| block(app, one)).collect();
    view! {
        <section class="part">
            <h2 tabindex="-1">{said(app, &section.heading)}</h2>
            {blocks}
        </section>
    }
    .into_any()
}

/// Returns a block.
pub fn block(app: App, block: &Block) -> AnyView {
    match block {
        Block::Paragraph(text) => view! { <p>{said(app, text)}</p> }.into_any(),
        Block::Caution(one) => caution(app, one),
        Block::Findings(findings) => {
            let rows: Vec<AnyView> = findings.iter().map(|one| finding(app, one)).collect();
            view! { <ul class="rows">{rows}</ul> }.into_any()
        }
        Block::Numbers(numbers) => {
            let rows: Vec<AnyView> =
                numbers.iter().map(|one| view! { <li>{number(app, one)}</li> }.into_any()).collect();
            view! { <ul class="rows">{rows}</ul> }.into_any()
        }
        Block::Table(one) => table(app, one),
        Block::List(list) => {
            let items: Vec<AnyView> =
                list.items.iter().map(|item| view! { <li>{said(app, item)}</li> }.into_any()).collect();
            match list.ordered {
                true => view! { <ol class="listed counted">{items}</ol> }.into_any(),
                false => view! { <ul class="listed">{items}</ul> }.into_any(),
            }
        }
        Block::Figure(one) => figure::figure(app, one),
        Block::Chances(chances) => {
            let rows: Vec<AnyView> = report::shares(chances)
                .iter()
                .map(|share| {
                    let written = share.written(&|message| app.say(message));
                    chance(app, &share.name, share.percent, written)
                })
                .collect();
            view! { <ul class="chances">{rows}</ul> }.into_any()
        }
        Block::Signatures(signatures) => {
            let rows: Vec<AnyView> = signatures
                .iter()
                .map(|one| {
                    let name = one.name.as_ref().map(|name| said(app, name)).unwrap_or_default();
                    view! { <li class="pair"><span>{said(app, &one.role)}</span> <b>{name}</b></li> }
                        .into_any()
                })
                .collect();
            view! { <ul class="rows">{rows}</ul> }.into_any()
        }
    }
}

/// A chance: its name, ten cells, its percent.
fn chance(app: App, name: &Text, percent: u8, written: String) -> AnyView {
    let (width, _) = figure::column();
    let cells = report::cells(percent, (width - 72.0).max(120.0), report::Ink::Page);
    view! {
        <li class="chance">
            <span>{said(app, name)}</span>
            <b>{written}</b>
            <span class="cells" aria-hidden="true" inner_html=cells></span>
        </li>
    }
    .into_any()
}

/// Returns a caution.
pub fn caution(app: App, caution: &Caution) -> AnyView {
    let rest = caution.rest.as_ref().map(|rest| format!(" {}", said(app, rest)));
    view! {
        <div class="caution" role="note" aria-label=app.say(&Message::new("report-caution"))>
            <div class="caution-text">
                <div class="caution-words">
                    {icon(Icon::Caution)}
                    <p><b>{said(app, &caution.first)}</b>{rest}</p>
                </div>
            </div>
        </div>
    }
    .into_any()
}

/// A value on its tray, where it opens.
fn tray(app: App, number: &Number) -> AnyView {
    let broken = number.basis == Basis::Doubtful;
    let word = broken.then(|| {
        let class = if number.opened.is_some() { "unseen" } else { "soft" };
        let word = format!(" ({})", told(app, VerdictMark::Doubtful.word()));
        view! { <span class=class>{word}</span> }
    });
    let class = match (number.opened.is_some(), broken) {
        (true, false) => "tray",
        (true, true) => "tray broken",
        (false, _) => "keep value",
    };
    view! { <span><span class=class>{number.value.line()}</span>{word}</span> }.into_any()
}

/// Returns a number in a row that opens as a whole.
pub fn number(app: App, number: &Number) -> AnyView {
    let row = view! { <span class="pair"><span>{said(app, &number.label)}</span> {tray(app, number)}</span> };
    opening(app, row.into_any(), Some(number))
}

/// What opens as a whole where its number does.
fn opening(app: App, row: AnyView, number: Option<&Number>) -> AnyView {
    match number.and_then(|number| number.opened.as_ref()) {
        None => view! { <div class="row-still">{row}</div> }.into_any(),
        Some(opened) => {
            view! { <details class="row-opens"><summary class="edge">{row}</summary>{behind(app, opened)}</details> }
                .into_any()
        }
    }
}

/// The class that repeats a mark in colour.
const fn tone(mark: VerdictMark) -> &'static str {
    match mark {
        VerdictMark::Met => "good",
        VerdictMark::Breached => "bad-word",
        _ => "",
    }
}

/// A verdict in a row: mark, name, word, number, limit, what to do.
fn finding(app: App, finding: &Finding) -> AnyView {
    let word = finding.word.as_ref().map_or_else(|| told(app, finding.mark.word()), |word| said(app, word));
    let number = finding.number.as_ref().map(|number| view! { " " {tray(app, number)} });
    let bar = finding.bar.as_ref().and_then(|bar| {
        let (width, text) = figure::column();
        let comma = app.writer().decimal_comma;
        let size = Size {
            width: width - 80.0,
            text,
            ink: report::Ink::Page,
            id: String::new(),
            decimal_comma: comma,
        };
        let svg = report::interval_bar(bar, &|message| app.say(message), &size)?;
        Some(view! {
            <span class="bar" aria-hidden="true" inner_html=svg></span>
            <span class="soft">{said(app, &bar.words)}</span>
        })
    });
    let advice =
        finding.advice.as_ref().map(|advice| view! { <span class="advice">{said(app, advice)}</span> });
    let tone = format!("verdict-word {}", tone(finding.mark));
    let row = view! {
        <span class="verdict">
            {mark(finding.mark)}
            <span class="finding">
                <b>{said(app, &finding.name)}</b>
                <span><span class=tone>{word}</span> {number}</span>
                {bar}
                {advice}
            </span>
        </span>
    };
    view! { <li>{opening(app, row.into_any(), finding.number.as_ref())}</li> }.into_any()
}

/// Returns a table; a wide one becomes, on a narrow screen, rows of heading and cell, and stays a table for readers.
pub fn table(app: App, table: &Table) -> AnyView {
    // Some 6.5 letters a column is what the narrowest of our tables needs; with large text on a small phone that is more
    // than the page. The style sheet asks the room it really has, whatever the size of the text becomes.
    let stacks = match table.columns.len() {
        0 | 1 => "",
        2 => "two",
        3 => "three",
        _ => "stack",
    };
    let role = move |name: &'static str| (!stacks.is_empty()).then_some(name);
    let caption = table.caption.as_ref().map(|caption| view! { <caption>{said(app, caption)}</caption> });
    let class = |align: Align| if align == Align::End { "right" } else { "" };
    let heads: Vec<AnyView> = table
        .columns
        .iter()
        .map(|column| {
            view! {
                <th scope="col" role=role("columnheader") class=class(column.align)>{said(app, &column.heading)}</th>
            }
            .into_any()
        })
        .collect();
    let rows: Vec<AnyView> = table
        .rows
        .iter()
        .map(|row| {
            let cells: Vec<AnyView> = table
                .columns
                .iter()
                .enumerate()
                .map(|(at, column)| {
                    let inside =
                        row.cells.get(at).filter(|one| **one != Cell::Empty).map(|one| cell(app, one));
                    let class = match (inside.is_some(), class(column.align)) {
                        (false, "right") => "right blank",
                        (false, _) => "blank",
                        (true, class) => class,
                    };
                    let heading = (!stacks.is_empty()).then(|| said(app, &column.heading));
                    match at {
                        0 => view! { <th scope="row" role=role("rowheader") class=class>{inside}</th> }
                            .into_any(),
                        _ => view! { <td role=role("cell") class=class data-h=heading>{inside}</td> }
                            .into_any(),
                    }
                })
                .collect();
            view! { <tr role=role("row") class=if row.total { "sum" } else { "" }>{cells}</tr> }.into_any()
        })
        .collect();
    view! {
        <div class="room">
            <table role=role("table") class=stacks>
                {caption}
                <thead role=role("rowgroup")><tr role=role("row")>{heads}</tr></thead>
                <tbody role=role("rowgroup")>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}

fn cell(app: App, cell: &Cell) -> AnyView {
    match cell {
        Cell::Empty => ().into_any(),
        Cell::Text(text) => said(app, text).into_any(),
        Cell::Value(value) => view! { <span class="keep">{value.line()}</span> }.into_any(),
        Cell::Number(number) => match &number.opened {
            Some(opened) => view! {
                <details class="row-opens"><summary class="edge">{tray(app, number)}</summary>{behind(app, opened)}</details>
            }
            .into_any(),
            None => tray(app, number),
        },
        Cell::Verdict(verdict) => {
            view! { <span class="verdict">{mark(*verdict)} <span>{told(app, verdict.word())}</span></span> }
                .into_any()
        }
    }
}

/// Returns what stands behind a number: from what, how, where the doubt comes from, the source.
pub fn behind(app: App, opened: &Opened) -> AnyView {
    let inputs: Vec<AnyView> = opened
        .inputs
        .iter()
        .map(|input| {
            let origin =
                input.origin.as_ref().map(|origin| view! { <span class="soft">{said(app, origin)}</span> });
            view! {
                <li class="pair">
                    <span>{said(app, &input.name)}</span>
                    <span class="stacked-right"><b class="keep">{input.value.line()}</b> {origin}</span>
                </li>
            }
            .into_any()
        })
        .collect();
    let from_what = (!inputs.is_empty()).then(|| {
        view! {
            <section class="part">
                <h3>{app.say(&Message::new("report-from-what"))}</h3>
                <ul class="rows">{inputs}</ul>
            </section>
        }
    });
    let doubts: Vec<AnyView> = opened
        .doubts
        .iter()
        .map(|doubt| chance(app, &doubt.cause, doubt.percent, format!("{}\u{a0}%", doubt.percent)))
        .collect();
    let doubts = (!doubts.is_empty()).then(|| {
        view! {
            <section class="part">
                <h3>{app.say(&Message::new("report-doubt"))}</h3>
                <ul class="chances">{doubts}</ul>
            </section>
        }
    });
    view! {
        {from_what}
        <section class="part">
            <h3>{app.say(&Message::new("report-how"))}</h3>
            <p>{said(app, &opened.method)}</p>
        </section>
        {doubts}
        <section class="part">
            <h3>{app.say(&Message::new("report-source"))}</h3>
            <p>{said(app, &opened.source)}</p>
        </section>
    }
    .into_any()
}
