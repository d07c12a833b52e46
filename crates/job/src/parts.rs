//! Parts by function: what a replacement must satisfy here, what else the job needs, what the shop has of it.

use crate::sheet;
use crate::visit::{Results, Visit};
use record::{Body, Known, LineKind, Part, PartSource, Prices, SettingOf, SettingValue};
use report::{Block, Cell, Column, Document, List, Message, Row, Section, Table, Text};
use units::{PressureReading, Writer};

/// What a part is for, as far as its words say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// A filter drier.
    Drier,
    /// A solenoid valve.
    Solenoid,
    /// An expansion valve.
    Expansion,
    /// A low-pressure control.
    LowControl,
    /// A high-pressure control.
    HighControl,
    /// A joint, a fitting, a piece of line.
    Joint,
    /// Another valve of the circuit.
    Valve,
    /// Insulation of a line.
    Insulation,
    /// A fan or its motor.
    Fan,
    /// Something else.
    Other,
}

/// Returns what the words of a part name, in English or French.
#[must_use]
pub fn function(words: &str) -> Function {
    let words = words.to_lowercase();
    let says = |any: &[&str]| any.iter().any(|word| words.contains(word));
    // What is nearest to the part itself goes first: "insulation of the valve" is insulation.
    if says(&["insulation", "isolant"]) {
        Function::Insulation
    } else if says(&["joint", "fitting", "flare", "elbow", "raccord", "coude"]) {
        Function::Joint
    } else if says(&["drier", "dryer", "déshydrateur"]) {
        Function::Drier
    } else if says(&["solenoid", "électrovanne", "solénoïde"]) {
        Function::Solenoid
    } else if says(&["expansion", "txv", "eev", "détendeur"]) {
        Function::Expansion
    } else if says(&["low-pressure control", "low pressure control", "pressostat bp", "basse pression"]) {
        Function::LowControl
    } else if says(&["high-pressure control", "high pressure control", "pressostat hp", "haute pression"]) {
        Function::HighControl
    } else if says(&["fan", "motor", "ventilateur", "moteur"]) {
        Function::Fan
    } else if says(&["valve", "vanne", "robinet"]) {
        Function::Valve
    } else {
        Function::Other
    }
}

/// Past a setting, a control's range must reach by this much: judgement, so that the setting is not at the end of its scale.
const PAST_SETTING_PSI: f64 = 10.0;

/// Returns what a part of this function must satisfy in this system, from what the record knows of it.
#[must_use]
pub fn must(visit: &Visit, function: Function, writer: &Writer) -> Vec<Message> {
    use Function as F;
    let system = &visit.system.value;
    let mut out = Vec::new();
    let touches_gas = !matches!(function, F::Insulation | F::Fan | F::Other);
    let liquid = matches!(function, F::Drier | F::Solenoid | F::Joint);
    let line =
        |kind: LineKind| system.line.iter().find(|line| line.kind == kind)?.size.as_ref().map(Known::text);
    if touches_gas {
        let gas = system.refrigerant.as_ref().and_then(Known::value);
        match (gas, system.oil.as_ref().filter(|oil| oil.value().is_some())) {
            (Some(gas), Some(oil)) => {
                let said = Message::new("parts-gas-oil").with("gas", gas.as_str());
                out.push(said.with("oil", oil.text()));
            }
            (Some(gas), None) => out.push(Message::new("parts-gas").with("gas", gas.as_str())),
            (None, _) => out.push(wanting("refrigerant")),
        }
        match &system.high_side_limit {
            Some(limit) if limit.value().is_some() => {
                out.push(Message::new("parts-rated").with("pressure", limit.text()));
            }
            _ => out.push(wanting("high_side_limit")),
        }
    }
    let size = match function {
        F::Insulation => line(LineKind::Suction),
        _ if liquid => line(LineKind::Liquid),
        _ => None,
    };
    match size {
        Some(size) => out.push(Message::new("parts-size").with("size", size)),
        None if liquid || function == F::Insulation => out.push(wanting("line")),
        None => {}
    }
    if matches!(function, F::Drier | F::Expansion | F::Solenoid) {
        match &system.capacity {
            Some(capacity) if capacity.value().is_some() => {
                out.push(Message::new("parts-capacity").with("capacity", capacity.text()));
            }
            _ => out.push(wanting("capacity")),
        }
    }
    match function {
        F::Solenoid => out.push(Message::new("parts-opens-against")),
        F::Expansion => {
            if let Some(superheat) = &system.superheat_target {
                out.push(Message::new("parts-superheat").with("superheat", superheat.text()));
            }
        }
        F::LowControl => {
            out.extend(range(visit, &[SettingOf::LowCutOut, SettingOf::LowCutIn], writer));
            out.push(Message::new("parts-reset-self"));
        }
        F::HighControl => {
            out.extend(range(visit, &[SettingOf::HighCutOut], writer));
            out.push(Message::new("parts-reset-code"));
        }
        F::Fan => out.push(Message::new("parts-fan")),
        F::Insulation => out.push(Message::new("parts-insulation")),
        _ => {}
    }
    out
}

fn wanting(field: &'static str) -> Message {
    Message::new("parts-wanting").with("field", crate::entry::labels::field("system", field))
}

/// The range that a control must have to be set as the old one was left, with room on both sides.
fn range(visit: &Visit, of: &[SettingOf], writer: &Writer) -> Option<Message> {
    let mut all: Vec<PressureReading> = Vec::new();
    for (_, _, setting) in visit.entries_of_all(|body| match body {
        Body::Setting(setting) => Some(&**setting),
        _ => None,
    }) {
        if let (true, Some(SettingValue::Pressure(left))) =
            (of.contains(&setting.what), setting.left.as_ref().and_then(Known::value))
        {
            all.push(*left);
        }
    }
    let system = &visit.system.value;
    let facts = [
        (SettingOf::LowCutOut, &system.low_cut_out),
        (SettingOf::LowCutIn, &system.low_cut_in),
        (SettingOf::HighCutOut, &system.high_cut_out),
    ];
    let facts = facts.iter().filter(|(what, _)| of.contains(what));
    all.extend(facts.filter_map(|(_, value)| value.as_ref().and_then(Known::value).copied()));
    let pascal = |reading: &PressureReading| reading.absolute(visit.air).pascal();
    let low = all.iter().map(pascal).reduce(f64::min)?;
    let high = all.iter().map(pascal).reduce(f64::max)?;
    let room = units::PressureDifference::from_psi(PAST_SETTING_PSI).pascal();
    let gauge = |pascal: f64| {
        let outside = visit.air.pressure.pascal();
        writer.write(units::GaugePressure::from_pascal(pascal - outside))
    };
    Some(Message::new("parts-range").with("low", gauge(low - room)).with("high", gauge(high + room)))
}

/// Returns what else the job needs for a part of this function.
#[must_use]
pub fn companions(function: Function) -> Option<Message> {
    use Function as F;
    Some(match function {
        F::Drier => Message::new("parts-with-drier"),
        F::Solenoid | F::Expansion | F::Joint | F::Valve => Message::new("parts-with-opened"),
        F::LowControl | F::HighControl => Message::new("parts-with-control"),
        F::Insulation => Message::new("parts-with-insulation"),
        F::Fan | F::Other => return None,
    })
}

/// What the shop's list has for a part.
fn listed<'a>(prices: &'a Prices, part: &Part) -> Option<&'a record::PriceItem> {
    let by_code = part
        .item
        .as_deref()
        .and_then(|code| prices.items.iter().find(|item| crate::place::same(&item.code, code)));
    by_code.or_else(|| {
        let serves = |item: &&record::PriceItem| {
            item.serves.iter().any(|word| crate::place::same(word, &part.function))
        };
        prices.items.iter().find(serves)
    })
}

fn parts(visit: &Visit) -> impl Iterator<Item = &Part> {
    visit
        .entries(|body| match body {
            Body::Part(part) => Some(part),
            _ => None,
        })
        .map(|(_, part)| part)
}

/// Returns what each part must satisfy and brings with it; nothing where no part is listed.
#[must_use]
pub fn blocks(visit: &Visit, writer: &Writer) -> Vec<Block> {
    let mut items: Vec<Text> = Vec::new();
    for part in parts(visit) {
        let kind = function(&part.function);
        let said = must(visit, kind, writer).into_iter().chain(companions(kind));
        items.extend(said.map(|said| {
            Message::new("parts-of").with("part", part.function.as_str()).with("said", said).into()
        }));
    }
    if items.is_empty() { Vec::new() } else { vec![Block::List(List { ordered: false, items })] }
}

/// Returns the parts of a visit as a document: from where, what they must satisfy, what the shop has.
#[must_use]
pub fn document(
    results: &Results<'_>,
    prices: Option<&Prices>,
    van: Option<&crate::van::Van>,
    writer: &Writer,
) -> Document {
    let visit = results.visit;
    let mut document = sheet::titled(visit, Message::new("parts-title"));
    document.decimal_comma = writer.decimal_comma;
    let rows = parts(visit).map(|part| {
        let source: Text = match part.source {
            Some(PartSource::Stock) => Message::new("open-stock").into(),
            Some(PartSource::Order) => Message::new("open-order").into(),
            None => Text::verbatim(""),
        };
        let item = prices.and_then(|prices| listed(prices, part));
        let shop: Text = match item {
            Some(item) => {
                // What was counted goes before what the list was made with.
                let counted = van.and_then(|van| van.left_of(&part.function, Some(item.code.as_str())));
                let on_van =
                    counted.or(item.on_van).map_or_else(|| "?".to_owned(), |count| count.to_string());
                let said = Message::new("parts-listed").with("code", item.code.as_str());
                said.with("what", item.what.as_str()).with("on_van", on_van).into()
            }
            None => match van.and_then(|van| van.left_of(&part.function, part.item.as_deref())) {
                Some(left) => Message::new("load-on-van").with("count", left.to_string()).into(),
                None => Message::new("parts-not-listed").into(),
            },
        };
        let words = [part.order_line.clone().unwrap_or_default(), part.must.join("; ")];
        let words = words.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(": ");
        Row::new(vec![
            Cell::Text(Text::verbatim(part.function.as_str())),
            Cell::Text(Text::verbatim(part.count.unwrap_or(1).to_string())),
            Cell::Text(source),
            Cell::Text(shop),
            Cell::Text(Text::verbatim(words)),
        ])
    });
    let table = Table {
        caption: None,
        columns: vec![
            Column::words(Message::new("parts-function")),
            Column::numbers(Message::new("bill-quantity")),
            Column::words(Message::new("entry-field-part-source")),
            Column::words(Message::new("parts-shop")),
            Column::words(Message::new("parts-order")),
        ],
        rows: rows.collect(),
    };
    document.sections.push(Section::new(Message::new("close-parts"), vec![Block::Table(table)]));
    document.sections.push(Section::new(Message::new("parts-must"), blocks(visit, writer)));
    document
}

/// Returns the parts to order as CSV (RFC 4180): code, what, count, order line, what makers call it.
#[must_use]
pub fn csv(visit: &Visit, prices: Option<&Prices>) -> String {
    let mut out = "code,function,count,order_line,also\r\n".to_owned();
    for part in parts(visit).filter(|part| part.source != Some(PartSource::Stock)) {
        let item = prices.and_then(|prices| listed(prices, part));
        let cells = [
            item.map(|item| item.code.clone()).unwrap_or_default(),
            part.function.clone(),
            part.count.unwrap_or(1).to_string(),
            part.order_line.clone().unwrap_or_default(),
            item.map(|item| item.also.join("; ")).unwrap_or_default(),
        ];
        let cells: Vec<String> = cells.iter().map(|cell| crate::bill::csv_cell(cell)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out
}
