//! Diagnose: what is probably wrong with the running system, by its model and the last readings.

use super::offer::{Offer, quick};
use super::{Ground, Now, View};
use crate::faults::visit::{Said, besides, cause_name, kind_name, of_results, probably, rests_on};
use diagnosis::fault::{Against, Fault, Kind};
use record::RunState;
use report::{AllowedZone, Block, Caution, Chance, Finding, IntervalBar, List, Message, VerdictMark};
use units::{AbsolutePressure, Power, Temperature, Writer};

pub fn view(ground: &Ground<'_>) -> View {
    let said = match of_results(ground.results) {
        Ok(said) => said,
        Err(_) => {
            let now = Now::new(Message::new("diagnose-read")).because(Message::new("diagnose-read-why"));
            let mut view = View::new(super::Stage::Diagnose, now.marked(VerdictMark::Unknown));
            view.cautions = cautions();
            view.offers = offers(ground, None);
            return view;
        }
    };
    let why = if said.moving { Message::new("fault-moving") } else { rests_on(&said) };
    let mut view = View::new(super::Stage::Diagnose, Now::new(probably(&said)).because(why));
    view.cautions = cautions();
    view.offers = offers(ground, Some(&said));
    for (heading, blocks) in sections(&said, ground) {
        view.section(heading, blocks);
    }
    if let Some(sharpen) = assumed(&said) {
        view.sharpen.push(sharpen);
    }
    view
}

/// What the report says of it; nothing where the readings do not allow it.
pub fn of_the_report(ground: &Ground<'_>) -> Vec<(Message, Vec<Block>)> {
    let Ok(said) = of_results(ground.results) else { return Vec::new() };
    let mut first = vec![Block::Paragraph(probably(&said).into()), Block::Paragraph(rests_on(&said).into())];
    first.extend(said.moving.then(|| Block::Paragraph(Message::new("fault-moving").into())));
    first.extend(assumed(&said).map(|sentence| Block::Paragraph(sentence.into())));
    let mut all = sections(&said, ground);
    if let Some((_, blocks)) = all.first_mut() {
        first.append(blocks);
        *blocks = first;
    }
    all
}

fn sections(said: &Said, ground: &Ground<'_>) -> Vec<(Message, Vec<Block>)> {
    let chances = said
        .diagnosis
        .ranked()
        .into_iter()
        .filter(|(cause, p)| *p >= 0.01 && cause.first != Fault::SomethingElse)
        .map(|(cause, p)| Chance { name: cause_name(cause).into(), probability: p })
        .collect();
    let rows = said.diagnosis.against.iter().map(|row| against(row, ground)).collect();
    let note = Block::Paragraph(Message::new("diagnose-against-note").into());
    let items = besides(said).into_iter().map(Into::into).collect();
    vec![
        (Message::new("diagnose-chances"), vec![Block::Chances(chances)]),
        (Message::new("diagnose-against"), vec![note, Block::Findings(rows)]),
        (Message::new("diagnose-besides"), vec![Block::List(List { ordered: false, items })]),
    ]
}

/// What was measured on the zone where the healthy system would show it.
fn against(row: &Against, ground: &Ground<'_>) -> Finding {
    let written = |si: f64, half: Option<f64>| written(ground.writer, ground.visit.air, row.kind, si, half);
    let within = row.off().abs() <= 2.0;
    let mark = if within { VerdictMark::Met } else { VerdictMark::Doubtful };
    let name = kind_name(row.kind);
    let mut finding = Finding::new(mark, name);
    finding.word =
        Some(if within { Message::new("diagnose-within") } else { Message::new("diagnose-off") }.into());
    let words = Message::new("diagnose-expected")
        .with("measured", written(row.measured, None))
        .with("value", written(row.expected, Some(2.0 * row.sd)));
    finding.bar = Some(IntervalBar {
        best: row.measured,
        half_width: 0.0,
        allowed: AllowedZone {
            low: Some(row.expected - 2.0 * row.sd),
            high: Some(row.expected + 2.0 * row.sd),
        },
        reference: Some(row.expected),
        words: words.into(),
    });
    finding
}

fn written(
    writer: &Writer,
    air: units::Atmosphere,
    kind: Kind,
    si: f64,
    half: Option<f64>,
) -> units::write::Written {
    let half = half.unwrap_or(0.0);
    match kind {
        Kind::Low | Kind::High => {
            writer.write_with_half_width(AbsolutePressure::from_pascal(si).gauge(air), half)
        }
        Kind::Power => writer.write_with_half_width(Power::from_watt(si), half),
        _ => writer.write_with_half_width(Temperature::from_kelvin(si), half),
    }
}

/// What was assumed of the plate, where much hangs on it.
fn assumed(said: &Said) -> Option<Message> {
    (!said.assumed.is_empty()).then(|| Message::new("diagnose-assumed").with("count", said.assumed.len()))
}

fn cautions() -> Vec<Caution> {
    vec![Caution {
        first: Message::new("diagnose-caution").into(),
        rest: Some(Message::new("diagnose-caution-rest").into()),
    }]
}

/// The field of a form in which a reading is typed.
const fn field(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Low => Some("suction_pressure"),
        Kind::High => Some("discharge_pressure"),
        Kind::SuctionLine => Some("suction_line"),
        Kind::LiquidLine => Some("liquid_line"),
        Kind::Discharge => Some("discharge_line"),
        Kind::CoilAir => Some("air_off_evaporator"),
        Kind::CondenserAir => Some("air_off_condenser"),
        Kind::AfterDrier => Some("liquid_at_valve"),
        Kind::Glass => Some("glass"),
        Kind::CondenserFans => Some("fans_running"),
        Kind::Power | Kind::CoilFans => None,
    }
}

/// All that it asks in one form, with what it would gain most by first.
fn offers(ground: &Ground<'_>, said: Option<&Said>) -> Vec<Offer> {
    let mut ask = vec!["suction_pressure", "discharge_pressure", "box_air", "ambient"];
    let next = said.map(|said| said.diagnosis.next.as_slice()).unwrap_or_default();
    ask.extend(next.iter().filter_map(|next| field(next.kind)).take(3));
    if said.is_none() {
        ask.extend(["suction_line", "liquid_line", "discharge_line", "glass"]);
    }
    let mut out = vec![
        Offer::new("reading", Message::new("offer-reading-model"), &ask)
            .with("state", RunState::Running.word()),
    ];
    out.extend(
        ["suction_pressure", "discharge_pressure", "box_air", "ambient", "glass"]
            .map(|key| quick(ground.visit, key)),
    );
    out
}
