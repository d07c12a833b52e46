//! The ways to go on with a leak that was found, side by side: what each takes, loses and proves.

use super::shut::{Plan, plan};
use super::{Ground, planned, search};
use crate::bill::{Decimal, Pen};
use crate::law::facts;
use crate::law::jurisdiction::Read;
use crate::visit::Visit;
use field::annual_loss::LossRate;
use record::{GasUnit, Known, Prices, Work};
use report::{Block, Cell, Column, List, Message, Row, Table, Text, Value};
use rules::Book;
use units::{Duration, Mass, Temperature, Verdict};

/// A way to go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Empty the section into the receiver and change the part near the air's pressure.
    Empty,
    /// Recover the whole charge and open.
    Recover,
    /// Shut the leak in and come back.
    Isolate,
    /// Switch off and come back.
    ShutOff,
    /// Another refrigerant, or another system.
    Replace,
}

/// One way, as far as the record lets it be reckoned.
#[derive(Clone, Debug)]
pub struct Way {
    /// Which.
    pub kind: Kind,
    /// Whether it can be done here; nothing where that is not known.
    pub possible: Option<bool>,
    /// Why, or what is missing.
    pub why: Message,
    /// Time on site by kind of work, shortest and longest; nothing where it is not known.
    pub time: Option<Vec<(Work, Span)>>,
    /// How often somebody has to come; nothing where nobody can say.
    pub trips: Option<u32>,
    /// Refrigerant lost at most.
    pub lost: Option<Mass>,
    /// What follows: what it proves, what comes after, what the customer should know.
    pub then: Message,
}

/// Shortest and longest.
pub type Span = (Duration, Duration);

const fn minutes(least: f64, most: f64) -> Span {
    (Duration::from_second(least * 60.0), Duration::from_second(most * 60.0))
}

/// Times on site, shortest to longest: common practice, no source. A shop's own hours come from its records.
const PUMPING: Span = minutes(10.0, 30.0);
/// Changing the part.
const MENDING: Span = minutes(30.0, 90.0);
/// Looking at the joint again with the system's own gas, and a run.
const LOOKING: Span = minutes(20.0, 45.0);
/// Nitrogen in steps, settling, a hold.
const HOLDING: Span = minutes(60.0, 240.0);
/// The pull and its rise.
const PULLING: Span = minutes(60.0, 180.0);
/// Charging by weight.
const CHARGING: Span = minutes(20.0, 60.0);
/// Shutting valves, labelling.
const SHUTTING: Span = minutes(15.0, 40.0);
/// How fast a charge comes out as liquid and the last of it as vapour, kg/s: 4 and 0.3 lb a minute (common practice, no
/// source).
const DRAWN: (f64, f64) = (4.0 * 0.453_592_37 / 60.0, 0.3 * 0.453_592_37 / 60.0);
/// Refrigerant that two hoses hold when they are taken off a recovery, as liquid (the trade reference: 28 g a quarter-inch hose
/// of 1.5 m).
const HOSES: f64 = 2.0 * 0.028;
/// How long a system waits that is shut off, for what it loses meanwhile: a week (judgement).
const WAITING: Duration = Duration::from_day(7.0);

fn sum(parts: &[(Work, Span)]) -> Span {
    let add = |of: fn(&Span) -> Duration| {
        Duration::from_second(parts.iter().map(|(_, part)| of(part).second()).sum())
    };
    (add(|part| part.0), add(|part| part.1))
}

/// Returns what a way costs before tax, least and most, by the shop's prices: hours, trips, and the refrigerant to put back. The part
/// itself is not in it. Nothing where the list lacks a price for any of it.
fn cost(way: &Way, gas: Option<&str>, prices: &Prices) -> Option<(Decimal, Decimal)> {
    let total = |of: fn(&Span) -> Duration, lost: Option<Mass>| -> Option<Decimal> {
        let mut pen = Pen::new(prices);
        pen.trips(way.trips?);
        for (work, span) in way.time.as_ref()? {
            pen.hours(*work, (of(span).second() * 1000.0) as i64, 0);
        }
        let mut sum: Decimal = pen.lines.iter().map(|line| line.amount).sum();
        if let Some(lost) = lost {
            let price = prices.gas.iter().find(|price| gas.is_some_and(|gas| price.refrigerant == gas))?;
            let quantity = match price.unit {
                GasUnit::Kilogram => lost.kilogram(),
                GasUnit::Pound => lost.pound(),
            };
            let quantity = Decimal::read(&format!("{quantity:.2}"))?;
            sum = sum.plus(quantity.times(Decimal::of(&price.price)));
        }
        pen.missing.is_empty().then(|| sum.rounded(0))
    };
    Some((total(|span| span.0, None)?, total(|span| span.1, way.lost)?))
}

/// Returns the ways to go on with the last leak that waits; none where no leak does.
#[must_use]
fn ways(ground: &Ground<'_>) -> Vec<Way> {
    let hits = search::hits(ground);
    let Some(hit) = hits.iter().rfind(|hit| !hit.mended && !hit.is_refuted()) else { return Vec::new() };
    let words = hit.entry.seen.place.as_deref().unwrap_or_default();
    let plan = plan(words, &ground.visit.system.value.shut_off);
    vec![empty(ground, &plan), recover(ground), isolate(&plan), shut_off(ground), replace()]
}

/// Vapour that a volume holds at the air's pressure and 20 °C.
fn vapour_at_the_air(visit: &Visit, volume: units::Volume) -> Option<Mass> {
    let fluid = &visit.substance.as_ref()?.fluid;
    let state =
        fluid.state_at_pressure_temperature(visit.air.pressure, Temperature::from_celsius(20.0)).ok()?;
    Some(Mass::from_kilogram(state.density.kilogram_per_cubic_metre() * volume.cubic_metre()))
}

fn empty(ground: &Ground<'_>, plan: &Plan<'_>) -> Way {
    let fits = ground.results.charge.room.as_ref().map(|room| &room.fits);
    let (possible, why) = match (plan, fits) {
        (Plan::PumpDown { .. }, Some(Verdict::Inside)) => (Some(true), Message::new("ways-empty-fits")),
        (Plan::PumpDown { .. }, Some(Verdict::Outside)) => (Some(false), Message::new("ways-empty-no-room")),
        (Plan::PumpDown { .. }, _) => (None, Message::new("ways-empty-room-unknown")),
        (Plan::Recover { .. }, _) => (Some(false), Message::new("ways-empty-not-behind")),
        (Plan::WhichSide, _) => (None, Message::new("ways-which-side")),
    };
    // What stood in the section when it was opened, by the plan of the opening, or the section at the air's pressure.
    let planned = planned::opening(ground).and_then(|plan| plan.answer?.ok()?.figures.released_kg);
    let section =
        ground.visit.system.value.section_volume.as_ref().and_then(Known::bounds).map(|(_, high)| *high);
    let lost = planned
        .map(Mass::from_kilogram)
        .or_else(|| section.and_then(|volume| vapour_at_the_air(ground.visit, volume)));
    let time = (possible != Some(false))
        .then(|| vec![(Work::Repair, PUMPING), (Work::Repair, MENDING), (Work::Test, LOOKING)]);
    Way {
        kind: Kind::Empty,
        possible,
        why,
        time,
        trips: Some(1),
        lost,
        then: Message::new("ways-empty-then"),
    }
}

fn recover(ground: &Ground<'_>) -> Way {
    let visit = ground.visit;
    let charge = ground.results.charge.nameplate.as_ref().map(|charge| charge.value());
    let cylinders = &ground.results.charge.cylinders;
    let (possible, why) = match (cylinders.is_empty(), charge) {
        (true, _) => (None, Message::new("ways-recover-no-cylinder")),
        (false, None) => (None, Message::new("ways-recover-charge-unknown")),
        (false, Some(charge)) => {
            let room: f64 = cylinders
                .iter()
                .map(|(name, limit)| {
                    let weighed =
                        ground.results.account.ledger.cylinders.iter().find(|one| one.cylinder == *name);
                    match weighed {
                        Some(one) => {
                            field::cylinder::room_left(limit, one.last_gross.value()).kilogram().max(0.0)
                        }
                        None => limit.net.kilogram(),
                    }
                })
                .sum();
            if room >= charge.kilogram() {
                (Some(true), Message::new("ways-recover-fits"))
            } else {
                let room = ground.writer.write(Mass::from_kilogram(room));
                (Some(false), Message::new("ways-recover-no-room").with("room", room))
            }
        }
    };
    let drawing = charge.map(|charge| {
        let time = |rate: f64| Duration::from_second(charge.kilogram() / rate);
        (time(DRAWN.0), time(DRAWN.1))
    });
    let time = drawing.map(|drawing| {
        vec![
            (Work::Repair, drawing),
            (Work::Repair, MENDING),
            (Work::Test, HOLDING),
            (Work::Test, PULLING),
            (Work::Charge, CHARGING),
        ]
    });
    let whole = visit.system.value.volume.as_ref().and_then(Known::bounds).map(|(_, high)| *high);
    let lost = whole
        .and_then(|volume| vapour_at_the_air(visit, volume))
        .map(|left| Mass::from_kilogram(left.kilogram() + HOSES));
    Way {
        kind: Kind::Recover,
        possible,
        why,
        time,
        trips: Some(1),
        lost,
        then: Message::new("ways-recover-then"),
    }
}

fn isolate(plan: &Plan<'_>) -> Way {
    let (possible, why) = match plan {
        Plan::PumpDown { then: Some(_), .. } | Plan::Recover { between: Some(_) } => {
            (Some(true), Message::new("ways-isolate-between"))
        }
        Plan::PumpDown { then: None, .. } => (None, Message::new("ways-isolate-one-valve")),
        Plan::Recover { between: None } => (Some(false), Message::new("ways-isolate-no-valve")),
        Plan::WhichSide => (None, Message::new("ways-which-side")),
    };
    // The leak is mended on the second trip, as if the section were emptied.
    let time = (possible != Some(false))
        .then(|| vec![(Work::Repair, SHUTTING), (Work::Repair, MENDING), (Work::Test, LOOKING)]);
    Way {
        kind: Kind::Isolate,
        possible,
        why,
        time,
        trips: Some(2),
        lost: None,
        then: Message::new("ways-isolate-then"),
    }
}

fn shut_off(ground: &Ground<'_>) -> Way {
    let rate = ground.results.account.loss.as_ref().and_then(|loss| match &loss.leak {
        LossRate::Known { high, .. } => Some(*high),
        LossRate::AtLeast(_) | LossRate::Unknown => None,
    });
    let lost = rate.map(|rate| Mass::from_kilogram(rate.kilogram_per_second() * WAITING.second()));
    let goods = crate::visit::cold_box::of(ground.visit).and_then(Result::ok);
    let why = goods
        .and_then(|goods| goods.warming(ground.writer))
        .unwrap_or_else(|| Message::new("ways-shut-off-goods-unknown"));
    let then = Message::new("ways-shut-off-then");
    let time = Some(vec![(Work::Repair, SHUTTING), (Work::Repair, MENDING), (Work::Test, LOOKING)]);
    Way { kind: Kind::ShutOff, possible: Some(true), why, time, trips: Some(2), lost, then }
}

fn replace() -> Way {
    let (why, then) = (Message::new("ways-replace-why"), Message::new("ways-replace-then"));
    Way { kind: Kind::Replace, possible: None, why, time: None, trips: None, lost: None, then }
}

const fn name(kind: Kind) -> Message {
    match kind {
        Kind::Empty => Message::new("ways-empty"),
        Kind::Recover => Message::new("ways-recover"),
        Kind::Isolate => Message::new("ways-isolate"),
        Kind::ShutOff => Message::new("ways-shut-off"),
        Kind::Replace => Message::new("ways-replace"),
    }
}

/// Carbon dioxide that warms as much, by the list of potentials that the place's law counts by.
fn warms_like(visit: &Visit, lost: Mass) -> Option<Mass> {
    let book = Book::shipped();
    let name = &visit.substance.as_ref()?.name;
    let id = match facts(visit).place {
        Read::Place(place) if place.country == "CA" => "ca-".to_owned(),
        Read::Place(place) => place.country.to_ascii_lowercase(),
        _ => String::new(),
    };
    let gas = book.gases().find(name)?;
    let potential = book.gases().gwp(gas, rules::basis_of(&id))?;
    potential.missing.is_empty().then(|| Mass::from_kilogram(lost.kilogram() * potential.value.to_f64()))
}

/// Returns the ways as a table to compare, and under it why, what follows and what the customer should know.
#[must_use]
pub(super) fn blocks(ground: &Ground<'_>) -> Vec<Block> {
    let all = ways(ground);
    if all.is_empty() {
        return Vec::new();
    }
    let writer = ground.writer;
    let gas = ground.visit.substance.as_ref().map(|substance| substance.name.as_str());
    let rows = all
        .iter()
        .map(|way| {
            let possible = match way.possible {
                Some(true) => Message::new("entry-word-yes"),
                Some(false) => Message::new("entry-word-no"),
                None => Message::new("ways-not-known"),
            };
            let time = match way.time.as_deref().map(sum) {
                Some((least, most)) => Cell::Text(
                    Message::new("ways-time")
                        .with("least", writer.write(least))
                        .with("most", writer.write(most))
                        .into(),
                ),
                None => Cell::Empty,
            };
            let lost = match way.lost {
                Some(lost) => Cell::Value(Value::from(writer.write(lost))),
                None => Cell::Empty,
            };
            // Two digits are more than a computed loss knows.
            let warms = match way.lost.and_then(|lost| warms_like(ground.visit, lost)) {
                Some(mass) => {
                    let kilograms = mass.kilogram();
                    let step = if kilograms < 100.0 { 1.0 } else { 10.0 };
                    let rounded = writer.number((kilograms / step).round() * step, 0);
                    Cell::Text(Message::new("ways-kilograms").with("mass", rounded).into())
                }
                None => Cell::Empty,
            };
            let trips =
                way.trips.map_or(Cell::Empty, |trips| Cell::Value(Value::as_written(trips.to_string())));
            let mut cells = vec![
                Cell::Text(name(way.kind).into()),
                Cell::Text(possible.into()),
                time,
                trips,
                lost,
                warms,
            ];
            if let Some(prices) = ground.hand.prices {
                cells.push(match cost(way, gas, prices) {
                    Some((least, most)) => Cell::Text(
                        Message::new("ways-costs")
                            .with("least", least.to_string())
                            .with("most", most.to_string())
                            .with("currency", prices.shop.currency.as_str())
                            .into(),
                    ),
                    None => Cell::Empty,
                });
            }
            Row::new(cells)
        })
        .collect();
    let mut columns = vec![
        Column::words(Message::new("ways-way")),
        Column::words(Message::new("ways-possible")),
        Column::words(Message::new("ways-on-site")),
        Column::numbers(Message::new("ways-trips")),
        Column::numbers(Message::new("ways-lost")),
        Column::numbers(Message::new("ways-warms")),
    ];
    columns.extend(ground.hand.prices.map(|_| Column::numbers(Message::new("ways-cost"))));
    let table = Table { caption: None, columns, rows };
    let items: Vec<Text> = all
        .iter()
        .map(|way| {
            let told = Message::new("ways-told").with("way", name(way.kind));
            told.with("why", way.why.clone()).with("then", way.then.clone()).into()
        })
        .collect();
    let limits = match ground.hand.prices {
        Some(_) => Message::new("ways-limits-priced"),
        None => Message::new("ways-limits"),
    };
    vec![Block::Table(table), Block::List(List { ordered: false, items }), Block::Paragraph(limits.into())]
}
