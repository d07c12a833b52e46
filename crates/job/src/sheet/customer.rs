//! What the customer reads: one page in plain words, and the whole report behind it.

use super::{headed, put};
use crate::place;
use crate::visit::Results;
use field::annual_loss::LossRate;
use record::{Answer, Body, CheckResult, Known, Urgency};
use report::{Block, Document, Message, Text};
use units::Writer;

pub fn document(results: &Results<'_>, writer: &Writer) -> Document {
    let visit = results.visit;
    let mut document = headed(visit, super::Sheet::Customer);
    let mut now = results.now(writer);
    now.numbers.clear();
    document.now = Some(now);
    put(&mut document, Message::new("sheet-wrong"), wrong(results, writer));
    put(&mut document, Message::new("sheet-did"), did(results, writer));
    put(&mut document, Message::new("sheet-as-it-is"), left(results));
    put(&mut document, Message::new("sheet-besides"), besides(results, writer));
    put(&mut document, Message::new("sheet-next"), next(results));
    document.methods = vec![Block::Paragraph(Message::new("sheet-detail").into())];
    for section in results.document(writer).sections {
        document.methods.push(Block::Paragraph(section.heading));
        document.methods.extend(section.blocks);
    }
    document
}

fn wrong(results: &Results<'_>, writer: &Writer) -> Vec<Text> {
    let visit = results.visit;
    let mut out: Vec<Text> = Vec::new();
    let complaint = visit.visit.value.complaint.as_deref();
    out.extend(complaint.map(|words| Message::new("sheet-called").with("words", words).into()));
    let loss = results.account.loss_before.as_ref().or(results.account.loss.as_ref());
    match loss.map(|loss| &loss.leak) {
        Some(LossRate::Known { rate, .. }) => {
            out.push(Message::new("sheet-lost").with("rate", writer.write(rate.value())).into());
        }
        Some(LossRate::AtLeast(rate)) => {
            out.push(Message::new("sheet-lost-least").with("rate", writer.write(*rate)).into());
        }
        Some(LossRate::Unknown) | None => {}
    }
    let mut places: Vec<&str> = Vec::new();
    for (_, entry, check) in visit.checks_of_all() {
        if let (CheckResult::Hit, Some(at)) = (check.result, entry.seen.place.as_deref())
            && !places.iter().any(|known| place::same(known, at))
        {
            places.push(at);
        }
    }
    out.extend(places.into_iter().map(|at| Message::new("sheet-leaked").with("place", at).into()));
    out
}

fn did(results: &Results<'_>, writer: &Writer) -> Vec<Text> {
    let visit = results.visit;
    let mut out: Vec<Text> = Vec::new();
    for entry in &visit.current.entries {
        if let Body::Repair(repair) = entry.what() {
            out.push(Text::verbatim(repair.what.as_str()));
        }
    }
    for hold in results.holds.iter().filter_map(|hold| hold.found.as_ref().ok()) {
        use field::hold::Verdict;
        out.push(match hold.verdict {
            Verdict::Leaking => Message::new("sheet-held-not").into(),
            Verdict::TightWithinLimit => Message::new("sheet-held").into(),
            _ => Message::new("sheet-held-open").into(),
        });
    }
    if let Some(net) = results.account.net_today.as_ref().filter(|net| net.value().kilogram() > 0.0) {
        out.push(Message::new("sheet-filled").with("mass", writer.write(net.value())).into());
    }
    let settings = visit.entries(|body| match body {
        Body::Setting(setting) => Some(&**setting),
        _ => None,
    });
    for (_, setting) in settings {
        let (found, left) = (setting.found.as_ref().map(Known::text), setting.left.as_ref().map(Known::text));
        if let (Some(found), Some(left)) = (found, left)
            && found != left
        {
            let what = crate::entry::labels::word(setting.what.word());
            let said = Message::new("sheet-set").with("what", what).with("found", found).with("left", left);
            out.push(said.into());
        }
    }
    out
}

fn left(results: &Results<'_>) -> Vec<Text> {
    let visit = results.visit;
    let mut out: Vec<Text> = Vec::new();
    let air = visit.entries(|body| match body {
        Body::Reading(reading) => reading.box_air.as_ref(),
        _ => None,
    });
    if let Some((entry, air)) = air.last() {
        let at = entry.seen.at.as_ref().map(crate::visit::document::words::moment).unwrap_or_default();
        out.push(Message::new("sheet-box").with("air", air.value.text.as_str()).with("at", at).into());
    }
    let shut = place::left_shut(visit);
    out.extend(shut.into_iter().map(|what| Text::from(Message::new("close-left-shut").with("what", what))));
    out
}

fn besides(results: &Results<'_>, writer: &Writer) -> Vec<Text> {
    let findings = results.visit.entries(|body| match body {
        Body::Finding(finding) => Some(&**finding),
        _ => None,
    });
    findings
        .flat_map(|(entry, finding)| {
            let mut what = finding.what.clone();
            if let Some(place) = &entry.seen.place {
                what = format!("{what}, {place}");
            }
            let price = finding.price.as_ref().filter(|price| price.bounds().is_some()).map(Known::text);
            let price: Text = price.map_or_else(|| Message::new("bill-no-price-yet").into(), Text::verbatim);
            let urgency: Text = match finding.urgency {
                Some(Urgency::Now) => Message::new("sheet-now").into(),
                Some(Urgency::Soon) => Message::new("sheet-soon").into(),
                Some(Urgency::Watch) | None => Message::new("sheet-watch").into(),
            };
            let answer: Text = match finding.answer {
                Some(Answer::Accepted) => Message::new("open-accepted").into(),
                Some(Answer::Later) => Message::new("open-later").into(),
                Some(Answer::Declined) => Message::new("open-declined").into(),
                None => Message::new("sheet-unanswered").into(),
            };
            let said = Message::new("sheet-saw").with("what", what).with("urgency", urgency);
            let said: Text = said.with("price", price).with("answer", answer).into();
            let costs = crate::side::cost(results.visit, finding, writer).into_iter().map(Text::from);
            core::iter::once(said).chain(costs).collect::<Vec<_>>()
        })
        .collect()
}

fn next(results: &Results<'_>) -> Vec<Text> {
    let visit = results.visit;
    let mut out: Vec<Text> = Vec::new();
    if let Some(choice) = crate::bill::choice(visit) {
        out.push(Message::new("sheet-chose").with("option", choice).into());
    }
    if let Some(follow) = crate::follow_up::of(visit, &results.account)
        && follow.state == crate::follow_up::State::Open
    {
        out.push(Message::new("sheet-back").with("date", follow.on.to_string()).into());
    }
    let parts = place::parts_by_place(visit);
    let order = parts.iter().flat_map(|at| &at.order);
    out.extend(order.map(|part| {
        let line = part.order_line.as_deref().unwrap_or(&part.function);
        Text::from(Message::new("sheet-ordered").with("part", line))
    }));
    out
}
