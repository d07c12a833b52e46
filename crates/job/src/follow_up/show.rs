//! The follow-up as a section, a document, data, and a line of the calendar.

use super::{FollowUp, Row, State, Way};
use crate::visit::Results;
use report::{
    Block, Cell, Column, Document, Finding, List, Mark, Message, Now, Section, Table, Text, VerdictMark,
};
use units::{Date, Fraction, Writer};

fn times(chance: Fraction) -> Text {
    match (chance.ratio() * 100.0 + 0.5) as u32 {
        0 => Message::new("follow-under-one").into(),
        100 => Message::new("follow-over-99").into(),
        percent => Text::verbatim(format!("{percent} %")),
    }
}

fn way(way: Way, writer: &Writer) -> Message {
    match way {
        Way::Glass => Message::new("follow-way-glass"),
        Way::Box => Message::new("follow-way-box"),
        Way::ColdNight(below) => Message::new("follow-way-night").with("below", writer.write(below)),
        Way::LevelByPhone => Message::new("follow-way-phone"),
        Way::Level => Message::new("follow-way-level"),
        Way::There => Message::new("follow-way-there"),
    }
}

/// Returns the sentence that matters, and its mark.
fn sentence(follow: &FollowUp) -> (Message, VerdictMark) {
    let (sentence, day, mark) = match follow.state {
        State::Open => (Message::new("follow-come"), follow.on, VerdictMark::Due),
        State::Passed(day) => (Message::new("follow-passed"), day, VerdictMark::Met),
        State::Failed(day) => (Message::new("follow-failed"), day, VerdictMark::Breached),
    };
    (sentence.with("date", day.to_string()).with("place", follow.place.as_str()), mark)
}

fn blocks(follow: &FollowUp, law: Option<(Date, String)>, writer: &Writer) -> Vec<Block> {
    let (sentence, mark) = sentence(follow);
    let rate =
        if follow.bound_only { Message::new("follow-rate-bound") } else { Message::new("follow-rate") };
    let rate = rate.with("rate", writer.write(follow.leak.median));
    let rows = follow.rows.iter().map(|row: &Row| {
        let after = match row.sure_after {
            Some(after) if row.way != Way::There => {
                Message::new("follow-days").with("count", after.day() as u32 + 1)
            }
            // A detector needs no time; what it misses, it misses on any day.
            _ if row.way == Way::There => Message::new("follow-any-day"),
            _ => Message::new("follow-never"),
        };
        report::Row::new(vec![
            Cell::Text(way(row.way, writer).into()),
            Cell::Text(times(row.day)),
            Cell::Text(times(row.month)),
            Cell::Text(times(row.tenth)),
            Cell::Text(after.into()),
        ])
    });
    let table = Table {
        caption: Some(Message::new("follow-caption").into()),
        columns: vec![
            Column::words(Message::new("follow-look")),
            Column::numbers(Message::new("follow-day")),
            Column::numbers(Message::new("follow-month")),
            Column::numbers(Message::new("follow-tenth")),
            Column::words(Message::new("follow-sure")),
        ],
        rows: rows.collect(),
    };
    let mut items: Vec<Text> = Vec::new();
    if let Some((day, asks)) = law {
        items.push(Message::new("follow-law").with("date", day.to_string()).with("asks", asks).into());
    }
    let names = follow.wanting.iter().map(|field| crate::entry::labels::field("system", field));
    items.extend(names.map(|name| Message::new("follow-wanting").with("field", name).into()));
    items.push(Message::new("follow-judgement").into());
    vec![
        Block::Findings(vec![Finding::new(mark, sentence)]),
        Block::Paragraph(rate.into()),
        Block::Table(table),
        Block::List(List { ordered: false, items }),
    ]
}

/// The first day that the law sets after the visit, with what it asks; from text that was read or not alike.
fn by_law(results: &Results<'_>) -> Option<(Date, String)> {
    let day = results.visit.day()?;
    let read = crate::law::facts(results.visit);
    let law = crate::law::Law::of(crate::law::Book::shipped(), &read, day);
    let lines = rules::calendar([(String::new(), &law.assessment)], None);
    lines
        .into_iter()
        .filter(|line| !line.choice && !line.overdue)
        .find_map(|line| Some((line.day?, line.duty.asks.clone())))
}

/// Returns the section of a stage or report; nothing where nothing was mended, or nothing is known of the loss.
#[must_use]
pub fn section(results: &Results<'_>, writer: &Writer) -> Option<Section> {
    let follow = super::of(results.visit, &results.account)?;
    Some(Section::new(Message::new("follow-title"), blocks(&follow, by_law(results), writer)))
}

/// Returns the follow-up as a document of its own.
#[must_use]
pub fn document(results: &Results<'_>, follow: &FollowUp, writer: &Writer) -> Document {
    let mark = if results.visit.is_demo() { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(Message::new("follow-title"), "en", mark);
    document.now = Some(Now::new(sentence(follow).0));
    document.decimal_comma = writer.decimal_comma;
    let blocks = blocks(follow, by_law(results), writer).into_iter().skip(1).collect();
    document.sections.push(Section::new(Message::new("follow-what"), blocks));
    document
}

/// Returns the follow-up as data: chances as shares, days as dates.
#[must_use]
pub fn data(follow: &FollowUp) -> serde_json::Value {
    let share = |chance: Fraction| (chance.ratio() * 1000.0 + 0.5) as i64 as f64 / 1000.0;
    let rows: Vec<serde_json::Value> = follow
        .rows
        .iter()
        .map(|row| {
            let (name, below) = match row.way {
                Way::Glass => ("glass", None),
                Way::Box => ("box", None),
                Way::ColdNight(below) => ("cold_night", Some(below.kelvin())),
                Way::LevelByPhone => ("level_by_phone", None),
                Way::Level => ("level", None),
                Way::There => ("at_the_place", None),
            };
            serde_json::json!({
                "look": name, "below_K": below, "after_24_h": share(row.day), "after_30_d": share(row.month),
                "a_tenth_after_30_d": share(row.tenth), "sure_after_d": row.sure_after.map(|after| after.day()),
            })
        })
        .collect();
    let (state, day) = match follow.state {
        State::Open => ("open", None),
        State::Passed(day) => ("passed", Some(day)),
        State::Failed(day) => ("failed", Some(day)),
    };
    serde_json::json!({
        "place": follow.place, "repaired": follow.repaired.to_string(), "on": follow.on.to_string(), "state": state,
        "state_on": day.map(|day| day.to_string()), "loss_kg_per_year": follow.leak.median.kilogram_per_year(),
        "loss_is_bound": follow.bound_only, "looks": rows, "wanting": follow.wanting,
    })
}

/// Returns what stands in a calendar for an open follow-up: its title, and what each look could see.
#[must_use]
pub fn calendar_lines(
    results: &Results<'_>,
    follow: &FollowUp,
    writer: &Writer,
) -> Option<(Message, Vec<Message>)> {
    if follow.state != State::Open {
        return None;
    }
    let names = [&results.visit.site.value.name, &results.visit.system.value.name];
    let system = names.into_iter().flatten().cloned().collect::<Vec<_>>().join(", ");
    let title = Message::new("follow-entry").with("system", system).with("place", follow.place.as_str());
    let looks = follow.rows.iter().map(|row| {
        Message::new("follow-entry-look").with("look", way(row.way, writer)).with("chance", times(row.month))
    });
    Some((title, looks.collect()))
}
