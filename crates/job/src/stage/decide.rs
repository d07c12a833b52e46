//! Decide: what can be offered, and what the customer chose.

use super::offer::Offer;
use super::shut::{Plan, plan, strip};
use super::{Ground, Now, View, planned, search, ways};
use crate::visit::document::{account, open};
use record::{Body, Choice, CylinderUse, Direction, Entry, Holds, Known};
use report::{Block, Caution, Cell, Column, List, Message, Row, Table, Text, Value, VerdictMark};
use units::{PressureDifference, Temperature, Verdict, Writable};

fn choice<'a>(ground: &Ground<'a>) -> Option<(&'a Entry, &'a Choice)> {
    let choices = ground.visit.entries(|body| match body {
        Body::Choice(choice) => Some(choice),
        _ => None,
    });
    choices.last()
}

/// Whether work that opens the circuit still lies ahead: a hit that nobody mended.
fn opening_ahead(ground: &Ground<'_>) -> bool {
    search::hits(ground).iter().any(|hit| !hit.mended && !hit.is_refuted())
}

pub fn view(ground: &Ground<'_>) -> View {
    let mut view = View::new(super::Stage::Decide, now(ground));
    view.offers = offers(ground);
    if opening_ahead(ground) && !ground.results.charge.cylinders.is_empty() {
        view.cautions.push(Caution {
            first: Message::new("caution-cylinder-first").into(),
            rest: Some(Message::new("caution-cylinder-rest").into()),
        });
    }
    view.section(Message::new("decide-found"), search::hit_rows(ground));
    view.section(Message::new("decide-ways"), ways::blocks(ground));
    view.section(Message::new("decide-charge"), account::vessels(ground.results, ground.writer));
    view.section(Message::new("decide-shut"), shut_offs(ground));
    view.section(Message::new("decide-valves"), valves(ground));
    view.section(Message::new("decide-cylinders"), cylinders(ground));
    planned::decide(&mut view, ground, opening_ahead(ground));
    if opening_ahead(ground) && planned::opening(ground).is_none_or(|plan| plan.answer.is_none()) {
        let both = field::practice::before_opening();
        let sentence = Message::new("done-before-opening")
            .with("above", ground.writer.write(both.kept_above))
            .with("to", ground.writer.write(both.united_states_draw_to))
            .with("section", both.section);
        view.section(Message::new("decide-opening"), vec![Block::Paragraph(sentence.into())]);
    }
    view.section(Message::new("decide-options"), options(ground));
    view.section(
        Message::new("decide-besides"),
        open::findings(ground.results).map(Block::Table).into_iter().collect(),
    );
    let system = &ground.visit.system.value;
    if ground.results.charge.nameplate.is_none() {
        view.sharpen.push(Message::new("sharpen-charge"));
    }
    if system.receiver_volume.as_ref().is_none_or(Known::is_unknown) {
        view.sharpen.push(Message::new("sharpen-receiver"));
    }
    if system.hottest_ambient.as_ref().is_none_or(Known::is_unknown) {
        view.sharpen.push(Message::new("sharpen-hottest"));
    }
    view
}

fn now(ground: &Ground<'_>) -> Now {
    // What is about to be opened, or drawn out, is what matters now.
    if let Some(now) = planned::opening(ground).and_then(|plan| planned::opening_now(ground, &plan)) {
        return now;
    }
    if let Some(now) = planned::drawn(ground).and_then(|plan| planned::drawn_now(ground, &plan)) {
        return now;
    }
    if let Some((_, choice)) = choice(ground) {
        let now = Now::new(Message::new("decide-chosen").with("option", choice.option.as_str()));
        return match (&choice.reason, &choice.chosen_by) {
            (Some(reason), _) => now.because(Message::new("done-reason").with("reason", reason)),
            (None, Some(who)) => now.because(Message::new("decide-chosen-by").with("who", who)),
            (None, None) => now.because(Message::new("decide-chosen-nobody")),
        };
    }
    let charge = &ground.results.charge;
    if let (Some(room), Some(nameplate)) = (&charge.room, &charge.nameplate) {
        let charge_text = ground.writer.write(nameplate.value());
        return match &room.fits {
            Verdict::Inside => Now::new(Message::new("decide-fits").with("charge", charge_text))
                .because(Message::new("decide-fits-why"))
                .marked(VerdictMark::Met),
            Verdict::Outside => Now::new(Message::new("decide-does-not-fit").with("charge", charge_text))
                .because(Message::new("decide-recover-first"))
                .marked(VerdictMark::Breached),
            Verdict::NotResolved { .. } => {
                Now::new(Message::new("decide-fit-not-resolved").with("charge", charge_text))
                    .because(Message::new("decide-recover-first"))
                    .marked(VerdictMark::NotResolved)
            }
        };
    }
    if opening_ahead(ground) {
        return Now::new(Message::new("decide-offer")).because(Message::new("decide-fit-unknown"));
    }
    Now::new(Message::new("decide-nothing")).because(Message::new("decide-nothing-why"))
}

fn offers(ground: &Ground<'_>) -> Vec<Offer> {
    let visit = ground.visit;
    let mut out = vec![Offer::new(
        "choice",
        Message::new("offer-choice"),
        &["option", "reason", "chosen_by", "agreed", "instead_of[1]"],
    )];
    out.extend(mend(ground));
    let recovery =
        visit.cylinders.values().filter(|cylinder| cylinder.used_for == Some(CylinderUse::Recovery));
    out.extend(recovery.map(|cylinder| {
        let label = Message::new("offer-recover").with("cylinder", cylinder.id.as_str());
        Offer::new("weighing", label, &["before"])
            .with("cylinder", cylinder.id.as_str())
            .with("direction", Direction::Recovered.word())
    }));
    out.push(Offer::new("closed", Message::new("offer-shut"), &["what"]));
    out.push(Offer::new("finding", Message::new("offer-finding"), &["what", "urgency", "price"]));
    let system = &visit.system.value;
    if system.receiver_volume.is_none() {
        out.push(Offer::new("system", Message::new("offer-receiver"), &["receiver_volume"]));
    }
    out.push(Offer::new("shut_off", Message::new("offer-shut-off"), &["name", "place", "holds"]));
    out
}

/// What was mended, where a leak was hit and waits.
pub fn mend(ground: &Ground<'_>) -> Option<Offer> {
    let hits = search::hits(ground);
    let hit = hits.iter().rfind(|hit| !hit.mended && !hit.is_refuted())?;
    let offer = Offer::new("repair", Message::new("offer-repair"), &["what", "part", "drier_changed"]);
    Some(match hit.entry.seen.place.as_deref() {
        Some(place) => offer.with("place", place),
        None => offer,
    })
}

/// The points where the circuit can be shut, and whether they close.
fn shut_offs(ground: &Ground<'_>) -> Vec<Block> {
    let rows: Vec<Row> = ground
        .visit
        .system
        .value
        .shut_off
        .iter()
        .map(|point| {
            let (word, mark) = match point.holds.as_ref().and_then(Known::value) {
                Some(Holds::Holds) => (Message::new("decide-holds"), Cell::Verdict(VerdictMark::Met)),
                Some(Holds::LeaksBy) => {
                    (Message::new("decide-leaks-by"), Cell::Verdict(VerdictMark::Breached))
                }
                None => (Message::new("decide-holds-unknown"), Cell::Verdict(VerdictMark::Unknown)),
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(point.name.as_str())),
                Cell::Text(Text::verbatim(point.place.clone().unwrap_or_default())),
                Cell::Text(word.into()),
                mark,
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("decide-point")),
            Column::words(Message::new("done-place")),
            Column::words(Message::new("decide-closes")),
            Column::words(Message::new("account-mark")),
        ],
        rows,
    })]
}

/// In which order to shut what encloses each leak that waits, and what must not be shut in.
fn valves(ground: &Ground<'_>) -> Vec<Block> {
    let system = &ground.visit.system.value;
    let mut blocks = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for hit in search::hits(ground).iter().filter(|hit| !hit.mended && !hit.is_refuted()) {
        let words = hit.entry.seen.place.as_deref().unwrap_or_default();
        if told.iter().any(|one| crate::place::same(one, words)) {
            continue;
        }
        told.push(words);
        let found = plan(words, &system.shut_off);
        if !system.shut_off.is_empty() {
            blocks.push(Block::Figure(Box::new(report::Figure {
                title: Message::new("valves-strip").into(),
                description: Message::new("valves-strip-says").with("place", hit.place()).into(),
                picture: report::Picture::Strip(strip(words, &system.shut_off, &found)),
            })));
        }
        let steps = match found {
            Plan::PumpDown { shut, seen_to_close, then } => {
                let mut steps: Vec<Text> = vec![Message::new("valves-room").into()];
                if !seen_to_close {
                    steps.push(Message::new("valves-try").with("valve", shut.name.as_str()).into());
                }
                steps.push(Message::new("valves-shut").with("valve", shut.name.as_str()).into());
                steps.push(Message::new("valves-run").into());
                if let Some(then) = then {
                    steps.push(Message::new("valves-then").with("valve", then.name.as_str()).into());
                }
                steps.push(Message::new("valves-watch").into());
                blocks.push(Block::Paragraph(
                    Message::new("valves-pump-down").with("place", hit.place()).into(),
                ));
                steps
            }
            Plan::Recover { between } => {
                blocks
                    .push(Block::Paragraph(Message::new("valves-recover").with("place", hit.place()).into()));
                match between {
                    Some((first, second)) => vec![
                        Message::new("valves-between")
                            .with("first", first.name.as_str())
                            .with("second", second.name.as_str())
                            .into(),
                    ],
                    None => Vec::new(),
                }
            }
            Plan::WhichSide => {
                blocks.push(Block::Paragraph(
                    Message::new("valves-which-side").with("place", hit.place()).into(),
                ));
                Vec::new()
            }
        };
        if !steps.is_empty() {
            blocks.push(Block::List(List { ordered: true, items: steps }));
        }
    }
    if !blocks.is_empty() {
        blocks.insert(0, Block::Caution(trapped(ground)));
    }
    blocks
}

/// What liquid does that is shut in between two valves, for this refrigerant where it is known.
fn trapped(ground: &Ground<'_>) -> Caution {
    let substance = ground.visit.substance.as_ref();
    let rise = substance
        .and_then(|one| field::pulldown::trapped_liquid(&one.fluid, Temperature::from_fahrenheit(75.0)).ok());
    let rest = match rise {
        Some(slope) => {
            // The slope changes by more than a tenth over those degrees: two digits are all it knows.
            let scale = PressureDifference::scale(ground.writer, 1.0);
            let rise = slope * 10.0 / 1.8 / scale.size;
            let (step, digits) = if rise >= 100.0 { (10.0, 0) } else { (0.1, 1) };
            let rise = ground.writer.number((rise / step).round() * step, digits);
            Message::new("caution-trapped-rise").with("rise", format!("{rise}\u{a0}{}", scale.unit))
        }
        None => Message::new("caution-trapped-rest"),
    };
    Caution { first: Message::new("caution-trapped-first").into(), rest: Some(rest.into()) }
}

/// The room left in each recovery cylinder, by its last weight on this visit.
fn cylinders(ground: &Ground<'_>) -> Vec<Block> {
    let (results, writer) = (ground.results, ground.writer);
    let rows: Vec<Row> = results
        .charge
        .cylinders
        .iter()
        .map(|(name, limit)| {
            let last = results.account.ledger.cylinders.iter().find(|cylinder| cylinder.cylinder == *name);
            let room = match last {
                Some(last) => Cell::Value(Value::as_written(
                    writer.weight(field::cylinder::room_left(limit, last.last_gross.value())),
                )),
                None => Cell::Text(Message::new("decide-weigh-first").into()),
            };
            Row::new(vec![
                Cell::Text(Text::verbatim(name.as_str())),
                room,
                Cell::Value(Value::as_written(writer.weight(limit.gross))),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Block::Table(Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("account-cylinder")),
            Column::numbers(Message::new("cylinder-room")),
            Column::numbers(Message::new("cylinder-gross")),
        ],
        rows,
    })]
}

/// What was offered, and what was chosen of it.
fn options(ground: &Ground<'_>) -> Vec<Block> {
    let Some((_, choice)) = choice(ground) else { return Vec::new() };
    let mut items: Vec<Text> =
        vec![Message::new("decide-option-chosen").with("option", choice.option.as_str()).into()];
    items.extend(
        choice
            .instead_of
            .iter()
            .map(|other| Message::new("decide-option-not").with("option", other.as_str()).into()),
    );
    vec![Block::List(report::List { ordered: false, items })]
}
