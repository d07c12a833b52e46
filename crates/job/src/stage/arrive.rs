//! Arrive: what is this system, what was done to it, is it safe to start?

use super::offer::{Offer, quick};
use super::{Ground, Now, View, hooks, numbers};
use crate::doubts::Side;
use crate::entry::labels;
use crate::place;
use crate::visit::document::{account, is_flammable, open};
use crate::visit::readings::ReadingResult;
use field::annual_loss::{LossRate, Trend};
use record::{Body, Known};
use report::{Block, Caution, Cell, Column, Message, Row, Table, Text, Value};
use units::{Mass, MassFlow};

pub fn view(ground: &Ground<'_>) -> View {
    let visit = ground.visit;
    let mut view = View::new(super::Stage::Arrive, now(ground));
    view.head.extend(numbers::saturation(ground, Side::Low));
    view.head.extend(numbers::saturation(ground, Side::High));
    view.head.extend(numbers::superheat(ground));
    view.cautions = cautions(ground);
    view.offers = offers(ground);
    view.law = hooks::law(ground);
    // Before anything was done: what was said, and what to load.
    let begun = |body: &Body| matches!(body, Body::Arrival(_) | Body::Reading(_) | Body::LeakCheck(_));
    if visit.visit.value.booked_for.is_some()
        && !visit.current.entries.iter().any(|entry| begun(entry.what()))
    {
        view.sections.extend(crate::load::sections(
            visit,
            &ground.results.account,
            ground.hand.van,
            ground.writer,
        ));
    }
    view.section(Message::new("stage-history"), account::history(ground.results, ground.writer));
    view.section(Message::new("stage-system"), system(ground));
    view.sharpen = open::sharpen(ground.results);
    if visit.system.value.refrigerant.is_none() {
        view.sharpen.insert(0, Message::new("sharpen-refrigerant"));
    }
    view
}

fn now(ground: &Ground<'_>) -> Now {
    let (visit, account) = (ground.visit, &ground.results.account);
    if crate::search::lacks_winter(visit, account) {
        return super::charge::winter(ground);
    }
    if let Some(loss) = &account.loss {
        match &loss.leak {
            LossRate::Known { rate, low, high } => {
                let short = shortfall(ground, *low, *high);
                let written = ground.writer.write_uncertain(rate);
                let losing = match loss.trend {
                    Trend::Faster => Message::new("now-losing-faster"),
                    Trend::Slower | Trend::NotResolved => Message::new("now-losing"),
                };
                return match short {
                    Some((low, high)) => Now::new(
                        Message::new("arrive-short")
                            .with("low", ground.writer.write(low))
                            .with("high", ground.writer.write(high)),
                    )
                    .because(losing.with("rate", written)),
                    None => Now::new(losing.with("rate", written)).because(Message::new("now-why-top-up")),
                };
            }
            LossRate::AtLeast(least) => {
                let sentence = Message::new("now-losing-least").with("least", ground.writer.write(*least));
                return Now::new(sentence).because(Message::new("now-why-top-up"));
            }
            LossRate::Unknown => {}
        }
    }
    let superheat = superheat_sentence(ground);
    if let Some(habit) = &account.habit {
        let now = Now::new(Message::new("now-habit").with("interval", habit.text()));
        return match superheat {
            Some(why) => now.because(why),
            None => now.because(Message::new("now-why-top-up")),
        };
    }
    if visit.substance.is_none() && visit.refused.is_none() {
        return Now::new(Message::new("arrive-refrigerant")).because(Message::new("arrive-refrigerant-why"));
    }
    if let Some(sentence) = superheat {
        return Now::new(sentence);
    }
    let low = numbers::saturation(ground, Side::Low).into_iter().next();
    if let Some(number) = low {
        let sentence = Message::new("arrive-saturation").with("saturation", number.value);
        return Now::new(sentence).because(Message::new("arrive-saturation-why"));
    }
    if let Some(complaint) = visit.visit.value.complaint.as_ref().filter(|text| !text.trim().is_empty()) {
        return Now::new(Message::new("arrive-read"))
            .because(Message::new("found-complaint").with("complaint", complaint));
    }
    Now::new(Message::new("arrive-read"))
}

fn superheat_sentence(ground: &Ground<'_>) -> Option<Message> {
    use crate::visit::readings::Place;
    let (place, found) = ground.results.readings.iter().rev().find_map(ReadingResult::working_superheat)?;
    let written = ground.writer.write_uncertain(&found.superheat);
    Some(match place {
        Place::Evaporator | Place::EvaporatorByCompressor => {
            Message::new("now-superheat-valve").with("superheat", written)
        }
        Place::Compressor | Place::Discharge => {
            Message::new("now-superheat-compressor").with("superheat", written)
        }
    })
}

/// What the loss makes of the time since the last refill, where nothing was weighed in today.
fn shortfall(ground: &Ground<'_>, low: MassFlow, high: MassFlow) -> Option<(Mass, Mass)> {
    let net = ground.results.account.net_today.as_ref();
    if net.is_some_and(|net| net.value().kilogram() != 0.0) {
        return None;
    }
    short_before_today(ground, low, high)
}

/// Returns how much was missing when the visit began, by the loss of the refills: both ends of the rate's interval over
/// the time since the last refill before today; nothing where that interval reaches nothing.
pub fn short_before_today(ground: &Ground<'_>, low: MassFlow, high: MassFlow) -> Option<(Mass, Mass)> {
    let today = ground.visit.day().or_else(|| ground.now.local_day())?;
    let refills = &ground.results.account.refills;
    let last = refills.iter().filter(|refill| !refill.today).filter_map(|refill| refill.day).max()?;
    let days = today.days_since(last);
    if days < 7 {
        return None;
    }
    let full = ground.results.charge.nameplate.as_ref()?.value().kilogram();
    let lost = |rate: MassFlow| {
        let kilogram = rate.kilogram_per_second().max(0.0) * f64::from(days) * 86_400.0;
        Mass::from_kilogram(kilogram.min(full))
    };
    // What was taken out since is missing besides; of an amount that nobody wrote down nothing can be said.
    let mut out = 0.0;
    for removal in ground.results.account.removals.iter().filter(|one| one.day > last && one.day <= today) {
        let field::annual_loss::Amount::Known(mass) = &removal.amount else { return None };
        out += mass.value().kilogram();
    }
    let add = |mass: Mass| Mass::from_kilogram((mass.kilogram() + out).min(full));
    let (low, high) = (add(lost(low)), add(lost(high)));
    (low.kilogram() > 0.0).then_some((low, high))
}

/// Whether anything says that refrigerant may be in the air of a place.
fn leak_suspected(ground: &Ground<'_>) -> bool {
    let account = &ground.results.account;
    let mended = ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Repair(_)));
    if mended {
        return false;
    }
    account.habit.is_some()
        || account.refills.iter().any(|refill| !refill.today)
        || ground.visit.current.entries.iter().any(|entry| {
            matches!(entry.what(), Body::LeakCheck(check) if check.result == record::CheckResult::Hit)
        })
}

fn cautions(ground: &Ground<'_>) -> Vec<Caution> {
    let caution = |first: Message, rest: Message| Caution { first: first.into(), rest: Some(rest.into()) };
    let mut out = Vec::new();
    if place::is_walked_into(ground.visit) && leak_suspected(ground) {
        out.push(caution(Message::new("caution-walk-in-first"), Message::new("caution-gas-rest")));
    }
    if is_flammable(ground.visit) {
        out.push(caution(Message::new("caution-flammable-first"), Message::new("caution-flammable-rest")));
    }
    out
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let visit = ground.visit;
    let system = &visit.system.value;
    let mut out = Vec::new();
    if system.refrigerant.is_none() {
        out.push(Offer::new("system", Message::new("offer-refrigerant"), &["refrigerant"]));
    }
    out.push(Offer::new(
        "reading",
        Message::new("offer-first-readings"),
        &["suction_pressure", "suction_line", "discharge_pressure", "liquid_line", "box_air"],
    ));
    out.extend(["suction_pressure", "discharge_pressure", "box_air", "ambient"].map(|key| quick(visit, key)));
    if place::here(visit).is_none() {
        out.push(Offer::new("arrival", Message::new("offer-arrival"), &["place"]));
    }
    if system.box_kind.is_none() {
        out.push(Offer::new("system", Message::new("offer-box-kind"), &["box_kind"]));
    }
    out.push(
        Offer::new("picture", Message::new("offer-nameplate"), &[])
            .with("shows", "nameplate")
            .with("read", "no"),
    );
    if system.charge.as_ref().is_none_or(Known::is_unknown) {
        out.push(Offer::new("system", Message::new("offer-charge"), &["charge"]));
    }
    if visit.visit.value.complaint.is_none() {
        out.push(Offer::new("visit", Message::new("offer-complaint"), &["complaint"]));
    }
    out.push(Offer::new("past change", Message::new("offer-past"), &["on", "amount", "every", "until"]));
    out.push(Offer::new(
        "earlier search",
        Message::new("offer-earlier-search"),
        &["visits", "covered", "method", "found"],
    ));
    out
}

/// What the record knows of the system, as typed.
fn system(ground: &Ground<'_>) -> Vec<Block> {
    let system = &ground.visit.system.value;
    let mut rows: Vec<Row> = Vec::new();
    let mut push = |section: &str, key: &str, text: Option<String>| {
        if let Some(text) = text.filter(|text| !text.is_empty()) {
            let name = labels::field(section, key);
            rows.push(Row::new(vec![Cell::Text(name), Cell::Value(Value::as_written(text))]));
        }
    };
    push("system", "refrigerant", system.refrigerant.as_ref().map(Known::text));
    push("system", "charge", system.charge.as_ref().map(Known::text));
    push("system", "box_kind", system.box_kind.as_ref().map(Known::text));
    push("system", "box_target", system.box_target.as_ref().map(Known::text));
    push("system", "unit", system.unit.as_ref().map(Known::text));
    push("system", "expansion", system.expansion.as_ref().map(Known::text));
    push("system", "head_control", system.head_control.as_ref().map(Known::text));
    push("system", "receiver_volume", system.receiver_volume.as_ref().map(Known::text));
    push("system", "high_side_limit", system.high_side_limit.as_ref().map(Known::text));
    push("system", "low_side_limit", system.low_side_limit.as_ref().map(Known::text));
    push("site", "access", ground.visit.site.value.access.clone());
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("done-what")),
            Column::numbers(Text::from(Message::new("found-value"))),
        ],
        rows,
    })]
}
