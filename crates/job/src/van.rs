//! What is on the van, over all visits: things counted and taken since, gas by cylinder, tools with their last check.

use crate::entry::labels;
use crate::visit::Visit;
use core::cmp::Ordering;
use record::{Body, Cylinder, CylinderUse, Entry, Instrument, Known, PartSource, PassFail, When};
use report::{Block, Cell, Column, Document, List, Mark, Message, Row, Section, Table, Text, Value};
use std::collections::BTreeMap;
use units::{Mass, Writer};

/// A thing that was counted on the van.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// What, in the words of the count.
    pub what: String,
    /// The line of the shop's price list.
    pub item: Option<String>,
    /// How many were counted.
    pub counted: u32,
    /// When.
    pub at: Option<When>,
    /// Who counted.
    pub by: Option<String>,
    /// How many ought to be there.
    pub wanted: Option<u32>,
    /// How many visits took since, as far as they say.
    pub taken: u32,
}

impl Held {
    /// Returns how many should be left by the count and what was taken since.
    #[must_use]
    pub const fn left(&self) -> u32 {
        self.counted.saturating_sub(self.taken)
    }

    /// Whether it is what serves this function, by the shop's code or by its words.
    fn serves(&self, function: &str, item: Option<&str>) -> bool {
        let by_item = item.zip(self.item.as_deref()).is_some_and(|(a, b)| crate::place::same(a, b));
        by_item || crate::place::same(&self.what, function)
    }

    /// Returns how many are missing to what ought to be there.
    #[must_use]
    pub fn short(&self) -> u32 {
        self.wanted.map_or(0, |wanted| wanted.saturating_sub(self.left()))
    }
}

/// A cylinder with what it weighed last.
#[derive(Clone, Debug, PartialEq)]
pub struct Gas {
    /// The cylinder.
    pub cylinder: Cylinder,
    /// The gross weight read last.
    pub gross: Option<Mass>,
    /// When it was read.
    pub at: Option<When>,
}

impl Gas {
    /// Returns what is in it: the last gross weight less the tare; nothing where one of them is not known.
    #[must_use]
    pub fn net(&self) -> Option<Mass> {
        let tare = self.cylinder.tare.as_ref().and_then(Known::value)?;
        Some(self.gross? - *tare)
    }
}

/// A tool with its last check.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// The tool.
    pub instrument: Instrument,
    /// The last check: against what, in the word of the record; none where the kind of entry says it.
    pub against: Option<&'static str>,
    /// How it went.
    pub result: Option<PassFail>,
    /// When.
    pub at: Option<When>,
}

/// What is on the van.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Van {
    /// Things counted, by name.
    pub things: Vec<Held>,
    /// Cylinders, by name.
    pub cylinders: Vec<Gas>,
    /// Tools, by name.
    pub tools: Vec<Tool>,
}

/// When an entry stands in the order of all visits: by its own time where it has one, else by the stamp of its event.
fn order(entry: &Entry) -> i64 {
    entry.seen.at.as_ref().map_or(entry.stamp.ms, When::unix_millis)
}

fn later(a: &(i64, &Entry), b: &(i64, &Entry)) -> Ordering {
    a.0.cmp(&b.0).then_with(|| a.1.stamp.cmp(&b.1.stamp))
}

/// The name by which a thing is the same: the shop's code where there is one, else its words.
fn key(item: Option<&str>, what: &str) -> String {
    item.unwrap_or(what).trim().to_lowercase()
}

impl Van {
    /// Returns what these visits tell of the van: any order, any systems, the van's own log among them.
    #[must_use]
    pub fn of<'a>(visits: impl IntoIterator<Item = &'a Visit>) -> Self {
        let visits: Vec<&Visit> = visits.into_iter().collect();
        let mut entries: Vec<(i64, &Entry)> = Vec::new();
        for visit in &visits {
            entries.extend(visit.current.entries.iter().map(|entry| (order(entry), entry)));
        }
        entries.sort_by(later);
        let mut things: BTreeMap<String, Held> = BTreeMap::new();
        let mut gas: BTreeMap<String, Gas> = BTreeMap::new();
        let mut tools: BTreeMap<String, Tool> = BTreeMap::new();
        // Facts first: a weighing of the morning may stand in a log whose list of cylinders was written at noon.
        for (_, entry) in &entries {
            match entry.what() {
                Body::Cylinder(cylinder) => {
                    let new = Gas { cylinder: (**cylinder).clone(), gross: None, at: None };
                    gas.insert(cylinder.id.trim().to_lowercase(), new);
                }
                Body::Instrument(instrument) => {
                    let new =
                        Tool { instrument: (**instrument).clone(), against: None, result: None, at: None };
                    tools.insert(instrument.id.trim().to_lowercase(), new);
                }
                _ => {}
            }
        }
        for (_, entry) in &entries {
            let at = entry.seen.at.clone();
            match entry.what() {
                Body::Stock(stock) if gas.contains_key(&stock.what.trim().to_lowercase()) => {
                    if let (Some(gas), Some(gross)) =
                        (gas.get_mut(&stock.what.trim().to_lowercase()), &stock.gross)
                    {
                        gas.gross = Some(gross.value.value);
                        gas.at = at;
                    }
                }
                Body::Stock(stock) => {
                    let held = Held {
                        what: stock.what.clone(),
                        item: stock.item.clone(),
                        counted: stock.count,
                        at,
                        by: entry.by.clone(),
                        wanted: stock.wanted,
                        taken: 0,
                    };
                    let slot = things.entry(key(stock.item.as_deref(), &stock.what));
                    slot.and_modify(|old| {
                        let wanted = held.wanted.or(old.wanted);
                        *old = Held { wanted, ..held.clone() };
                    })
                    .or_insert(held);
                }
                Body::Part(part) if part.source == Some(PartSource::Stock) => {
                    // What was ordered for this repair came along for it and was never counted.
                    if ordered_before(&visits, entry, &part.function) {
                        continue;
                    }
                    let of =
                        things.values_mut().find(|held| held.serves(&part.function, part.item.as_deref()));
                    if let Some(held) = of
                        // Somebody else takes from another van.
                        && (held.by.is_none() || entry.by.is_none() || held.by == entry.by)
                    {
                        held.taken = held.taken.saturating_add(part.count.unwrap_or(1));
                    }
                }
                Body::Weighing(weighing) => {
                    if let Some(gas) = gas.get_mut(&weighing.cylinder.trim().to_lowercase()) {
                        gas.gross = Some(weighing.after.as_ref().unwrap_or(&weighing.before).value.value);
                        gas.at = at;
                    }
                }
                Body::ToolCheck(check) => {
                    if let Some(tool) = tools.get_mut(&check.tool.trim().to_lowercase()) {
                        tool.against = Some(check.against.word());
                        tool.result = Some(check.result);
                        tool.at = at;
                    }
                }
                Body::DetectorCheck(check) => {
                    for name in &entry.seen.with {
                        if let Some(tool) = tools.get_mut(&name.trim().to_lowercase()) {
                            tool.against = None;
                            tool.result = Some(check.result);
                            tool.at.clone_from(&at);
                        }
                    }
                }
                _ => {}
            }
        }
        Self {
            things: things.into_values().collect(),
            cylinders: gas.into_values().collect(),
            tools: tools.into_values().collect(),
        }
    }

    /// Returns whether nothing of a van is told.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.things.is_empty() && self.cylinders.is_empty() && self.tools.is_empty()
    }

    /// Returns how many are left of what serves this function; nothing where it was never counted.
    #[must_use]
    pub fn left_of(&self, function: &str, item: Option<&str>) -> Option<u32> {
        self.things.iter().find(|held| held.serves(function, item)).map(Held::left)
    }

    /// Returns the tool of this name.
    #[must_use]
    pub fn tool(&self, name: &str) -> Option<&Tool> {
        self.tools.iter().find(|tool| crate::place::same(&tool.instrument.id, name))
    }

    /// Returns the cylinders of this refrigerant that are there to fill from.
    pub fn supply<'a>(&'a self, refrigerant: &'a str) -> impl Iterator<Item = &'a Gas> + 'a {
        self.cylinders.iter().filter(move |gas| {
            let same = |name: &String| crate::place::same(name, refrigerant);
            gas.cylinder.used_for == Some(CylinderUse::Supply)
                && gas.cylinder.refrigerant.as_ref().and_then(Known::value).is_some_and(same)
        })
    }
}

/// Whether the visit that this entry belongs to follows one that ordered the same.
fn ordered_before(visits: &[&Visit], entry: &Entry, function: &str) -> bool {
    let of = visits.iter().find(|visit| visit.current.entries.iter().any(|one| one.id == entry.id));
    let Some(of) = of else { return false };
    let orders = |visit: &Visit| {
        let parts = visit.entries(|body| if let Body::Part(part) = body { Some(part) } else { None });
        parts.into_iter().any(|(_, part)| {
            part.source == Some(PartSource::Order) && crate::place::same(&part.function, function)
        })
    };
    let follows = of.visit.value.follows.as_deref().and_then(|text| text.parse::<uuid::Uuid>().ok());
    let before = visits.iter().any(|visit| follows.is_some() && visit.job == follows && orders(visit));
    before || of.earlier.last().is_some_and(orders)
}

/// Returns whether these events are a van's own log: counts and checks, and nothing of a system.
#[must_use]
pub fn is_log(events: &[record::Event]) -> bool {
    let mut counted = false;
    for event in events {
        let record::Content::Observed(seen) = &event.content else { continue };
        match &seen.what {
            Body::Stock(_) | Body::ToolCheck(_) => counted = true,
            Body::Site(_)
            | Body::Instrument(_)
            | Body::Cylinder(_)
            | Body::DetectorCheck(_)
            | Body::Note(_)
            | Body::Picture(_) => {}
            _ => return false,
        }
    }
    counted
}

fn day(at: Option<&When>) -> String {
    at.and_then(When::local_day).map(|day| day.to_string()).unwrap_or_default()
}

fn words(text: impl Into<String>) -> Cell {
    let text = text.into();
    if text.is_empty() { Cell::Empty } else { Cell::Text(Text::verbatim(text)) }
}

/// How the last check of a tool went, in a sentence.
#[must_use]
pub fn check_words(tool: &Tool) -> Message {
    let date = day(tool.at.as_ref());
    match (tool.result, tool.against) {
        (None, _) => Message::new("van-never-checked"),
        (Some(PassFail::Fail), _) => Message::new("van-check-failed").with("date", date),
        (Some(PassFail::Pass), Some(against)) => {
            Message::new("van-checked").with("date", date).with("against", labels::word(against))
        }
        (Some(PassFail::Pass), None) => Message::new("van-checked-leak").with("date", date),
    }
}

/// Returns what is on the van as a document: what to fetch first, then things, gas, tools.
#[must_use]
pub fn document(van: &Van, demo: bool, writer: &Writer) -> Document {
    let mark = if demo { Mark::Demo } else { Mark::Real };
    let mut document = Document::new(Message::new("van-title"), "en", mark);
    document.decimal_comma = writer.decimal_comma;
    let fetch: Vec<Text> = fetch(van).into_iter().map(Text::from).collect();
    if !fetch.is_empty() {
        let list = Block::List(List { ordered: false, items: fetch });
        document.sections.push(Section::new(Message::new("van-fetch"), vec![list]));
    }
    let count =
        |number: u32| Cell::Value(Value { value: number.to_string(), half_width: None, unit: String::new() });
    if !van.things.is_empty() {
        let rows = van.things.iter().map(|held| {
            Row::new(vec![
                words(held.what.as_str()),
                count(held.left()),
                held.wanted.map_or_else(|| Cell::Empty, count),
                Cell::Text(
                    Message::new("van-counted")
                        .with("count", held.counted.to_string())
                        .with("date", day(held.at.as_ref()))
                        .with("taken", held.taken.to_string())
                        .into(),
                ),
            ])
        });
        let table = Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("parts-function")),
                Column::numbers(Message::new("van-left")),
                Column::numbers(Message::new("van-wanted")),
                Column::words(Message::new("van-by-count")),
            ],
            rows: rows.collect(),
        };
        document.sections.push(Section::new(Message::new("van-things"), vec![Block::Table(table)]));
    }
    if !van.cylinders.is_empty() {
        let rows = van.cylinders.iter().map(|gas| {
            let what = gas.cylinder.refrigerant.as_ref().map(Known::text).unwrap_or_default();
            let used = gas.cylinder.used_for.map(|used| labels::word(used.word()));
            let net = match gas.net() {
                Some(net) => words(writer.write(net).to_string()),
                None => Cell::Text(Message::new("van-not-weighed").into()),
            };
            Row::new(vec![
                words(gas.cylinder.id.as_str()),
                words(what),
                used.map_or_else(|| Cell::Empty, Cell::Text),
                net,
                words(day(gas.at.as_ref())),
                words(day(gas.cylinder.retest.as_ref())),
            ])
        });
        let table = Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("account-cylinder")),
                Column::words(Message::new("sheet-gas")),
                Column::words(labels::field("cylinder", "used_for")),
                Column::numbers(Message::new("van-net")),
                Column::words(Message::new("van-weighed-on")),
                Column::words(labels::field("cylinder", "retest")),
            ],
            rows: rows.collect(),
        };
        document.sections.push(Section::new(Message::new("van-gas"), vec![Block::Table(table)]));
    }
    if !van.tools.is_empty() {
        let rows = van.tools.iter().map(|tool| {
            Row::new(vec![
                words(tool.instrument.id.as_str()),
                Cell::Text(labels::word(tool.instrument.measures.word())),
                Cell::Text(check_words(tool).into()),
                words(day(tool.instrument.compared.as_ref())),
            ])
        });
        let table = Table {
            caption: None,
            columns: vec![
                Column::words(Message::new("van-tool")),
                Column::words(labels::field("instrument", "measures")),
                Column::words(Message::new("van-last-check")),
                Column::words(labels::field("instrument", "compared")),
            ],
            rows: rows.collect(),
        };
        document.sections.push(Section::new(Message::new("van-tools"), vec![Block::Table(table)]));
    }
    document
}

/// Returns what to fetch or mend before the next call: things short of what ought to be there, tools that failed.
#[must_use]
pub fn fetch(van: &Van) -> Vec<Message> {
    let short = van.things.iter().filter(|held| held.short() > 0).map(|held| {
        let said = Message::new("van-short").with("what", held.what.as_str());
        said.with("count", held.short().to_string())
    });
    let failed = van.tools.iter().filter(|tool| tool.result == Some(PassFail::Fail)).map(|tool| {
        Message::new("van-mend").with("tool", tool.instrument.id.as_str()).with("date", day(tool.at.as_ref()))
    });
    short.chain(failed).collect()
}

/// Returns the things as CSV (RFC 4180): what, item, counted, day, taken, left, wanted.
#[must_use]
pub fn csv(van: &Van) -> String {
    let mut out = "what,item,counted,on,taken,left,wanted\r\n".to_owned();
    for held in &van.things {
        let cells = [
            held.what.clone(),
            held.item.clone().unwrap_or_default(),
            held.counted.to_string(),
            day(held.at.as_ref()),
            held.taken.to_string(),
            held.left().to_string(),
            held.wanted.map(|wanted| wanted.to_string()).unwrap_or_default(),
        ];
        let cells: Vec<String> = cells.iter().map(|cell| crate::bill::csv_cell(cell)).collect();
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out
}

/// Returns what is on the van as data: things, cylinders (masses in kg), tools; what is not known is left out.
#[must_use]
pub fn data(van: &Van) -> serde_json::Value {
    let mut things = Vec::new();
    for held in &van.things {
        let mut one = serde_json::json!({
            "what": held.what, "counted": held.counted, "taken": held.taken, "left": held.left(),
        });
        put(&mut one, "item", held.item.as_deref());
        put(&mut one, "by", held.by.as_deref());
        put(&mut one, "on", held.at.as_ref().map(ToString::to_string));
        put(&mut one, "wanted", held.wanted);
        things.push(one);
    }
    let mut cylinders = Vec::new();
    for gas in &van.cylinders {
        let mut one = serde_json::json!({ "id": gas.cylinder.id });
        put(&mut one, "refrigerant", gas.cylinder.refrigerant.as_ref().and_then(Known::value).cloned());
        put(&mut one, "used_for", gas.cylinder.used_for.map(record::CylinderUse::word));
        put(&mut one, "net_kg", gas.net().map(Mass::kilogram));
        put(&mut one, "weighed", gas.at.as_ref().map(ToString::to_string));
        put(&mut one, "retest", gas.cylinder.retest.as_ref().map(ToString::to_string));
        cylinders.push(one);
    }
    let mut tools = Vec::new();
    for tool in &van.tools {
        let mut one = serde_json::json!({
            "id": tool.instrument.id, "measures": tool.instrument.measures.word(),
        });
        put(&mut one, "checked", tool.at.as_ref().map(ToString::to_string));
        put(&mut one, "against", tool.against);
        put(&mut one, "result", tool.result.map(PassFail::word));
        put(&mut one, "compared", tool.instrument.compared.as_ref().map(ToString::to_string));
        tools.push(one);
    }
    serde_json::json!({ "things": things, "cylinders": cylinders, "tools": tools })
}

fn put(into: &mut serde_json::Value, key: &str, value: Option<impl Into<serde_json::Value>>) {
    if let Some(value) = value {
        into[key] = value.into();
    }
}
