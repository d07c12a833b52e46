//! What the standing pressure says, and whether it is enough to look at: against the coldest and the warmest place, against
//! what equalising, a warmer box or nitrogen would show.

use super::Search;
use super::loss::allowed;
use super::section::percent;
use crate::visit::Visit;
use diagnosis::search::next::Instead;
use diagnosis::search::{Method, Side, State};
use fluid::Fluid;
use record::{Body, RunState, When};
use report::{Block, Cell, Column, Message, Row, Table, Text, Value};
use units::{AbsolutePressure, Cause, Doubt, Temperature, Uncertain, Writer};

/// What a standing pressure says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says {
    /// It agrees with liquid at one of the temperatures read: how much is left it does not say.
    LiquidLeft,
    /// It is below what any liquid there would hold: gas only, or nearly nothing.
    NoLiquid,
    /// It is above what liquid at the warmest place would hold.
    TooHigh,
    /// The same, but the compressor ran less than an hour before: it may still be warm.
    NotSettled,
}

/// A standing pressure held against saturation.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The side; both where they stand at one pressure.
    pub side: Option<Side>,
    /// The pressure.
    pub pressure: Uncertain<AbsolutePressure>,
    /// The coldest temperature read there, and the dew pressure at it: the least that liquid holds.
    pub least: (Temperature, AbsolutePressure),
    /// The warmest, and the bubble pressure at it: the most.
    pub most: (Temperature, AbsolutePressure),
    /// What it says.
    pub says: Says,
}

/// The temperatures of a visit by side, and its pressures while it stood.
#[derive(Clone, Debug, Default)]
struct Read {
    pressures: [Option<Uncertain<AbsolutePressure>>; 2],
    temperatures: [Vec<Uncertain<Temperature>>; 2],
    /// Whether the compressor ran less than an hour before that pressure.
    just_ran: [bool; 2],
}

/// So long a stopped unit is not taken as settled: 1 h (judgement).
const SETTLES: f64 = 3600.0;

fn read(search: &Search, visit: &Visit) -> Read {
    let mut out = Read::default();
    let (low, high) = (Side::Low as usize, Side::High as usize);
    let mut ran: Option<When> = None;
    for entry in &visit.current.entries {
        let with = &entry.seen.with;
        let pressure = |measured, side: Side, key: &str| {
            let bench = match side {
                Side::Low => crate::doubts::Side::Low,
                Side::High => crate::doubts::Side::High,
            };
            visit.bench.pressure(measured, with, bench, key, visit.air)
        };
        let lately = match (&ran, &entry.seen.at) {
            (Some(ran), Some(at)) => (0.0..SETTLES).contains(&at.since(ran).second()),
            _ => false,
        };
        match entry.what() {
            // With the receiver's outlet shut the compressor pumps the rest over.
            Body::Closed(closed) if closed.what.to_lowercase().contains("receiver") => {
                ran = entry.seen.at.clone().or(ran);
            }
            Body::Reading(reading) => {
                let off = matches!(reading.state, Some(RunState::Off));
                if !off && reading.state.is_some() {
                    ran = entry.seen.at.clone().or(ran);
                }
                if off {
                    if reading.suction_pressure.is_some() {
                        out.just_ran[low] = lately;
                    }
                    if reading.discharge_pressure.is_some() || reading.liquid_pressure.is_some() {
                        out.just_ran[high] = lately;
                    }
                    let suction = reading.suction_pressure.as_ref();
                    let head = reading.discharge_pressure.as_ref().or(reading.liquid_pressure.as_ref());
                    out.pressures[low] = suction
                        .map(|p| pressure(p, Side::Low, "standing low"))
                        .or_else(|| out.pressures[low].take());
                    out.pressures[high] = head
                        .map(|p| pressure(p, Side::High, "standing high"))
                        .or_else(|| out.pressures[high].take());
                }
                // Of a running system only the air is what it was when it stands.
                let in_the_box = [&reading.box_air, &reading.air_on_evaporator];
                let outside = [&reading.ambient, &reading.air_on_condenser];
                for (side, all) in [(low, in_the_box), (high, outside)] {
                    let now: Vec<Uncertain<Temperature>> = all
                        .into_iter()
                        .flatten()
                        .map(|measured| visit.bench.temperature(measured, with, "air"))
                        .collect();
                    if !now.is_empty() {
                        out.temperatures[side] = now;
                    }
                }
            }
            Body::LeakCheck(check) if matches!(check.state, Some(RunState::Off)) => {
                let spot = entry.seen.place.as_deref().unwrap_or_default();
                let place = super::ground::named(&search.places, spot).first().copied();
                let side = match place {
                    Some(at) => search.places[at].side,
                    None => Side::High,
                };
                if let Some(measured) = &check.pressure {
                    out.pressures[side as usize] = Some(pressure(measured, side, "standing"));
                    out.just_ran[side as usize] = lately;
                }
            }
            _ => {}
        }
    }
    out
}

/// Holds a standing pressure against saturation at the coldest and the warmest of these temperatures; absent without
/// temperatures or where the refrigerant has no saturation there.
///
/// The doubt of each comparison is that of the pressure and of its temperature together, k = 2.
fn judge(
    fluid: &Fluid,
    side: Option<Side>,
    pressure: &Uncertain<AbsolutePressure>,
    temperatures: &[&Uncertain<Temperature>],
    just_ran: bool,
) -> Option<Standing> {
    let by_value = |a: &&&Uncertain<Temperature>, b: &&&Uncertain<Temperature>| {
        a.value().kelvin().total_cmp(&b.value().kelvin())
    };
    let (coldest, warmest) = (temperatures.iter().min_by(by_value)?, temperatures.iter().max_by(by_value)?);
    let dew =
        |t: f64| fluid.dew_at_temperature(Temperature::from_kelvin(t)).ok().map(|at| at.pressure.pascal());
    let bubble =
        |t: f64| fluid.bubble_at_temperature(Temperature::from_kelvin(t)).ok().map(|at| at.pressure.pascal());
    // A tenth of a kelvin to each side gives the slope.
    let with_doubt = |of: &dyn Fn(f64) -> Option<f64>, at: &Uncertain<Temperature>| {
        let t = at.value().kelvin();
        let slope = (of(t + 0.1)? - of(t - 0.1)?) / 0.2;
        Some((of(t)?, 2.0 * units::math::sqrt(slope * slope * at.u() * at.u() + pressure.u() * pressure.u())))
    };
    let (least, least_doubt) = with_doubt(&dew, coldest)?;
    let (most, most_doubt) = with_doubt(&bubble, warmest)?;
    let p = pressure.value().pascal();
    let says = if p > most + most_doubt {
        if just_ran { Says::NotSettled } else { Says::TooHigh }
    } else if p < least - least_doubt {
        Says::NoLiquid
    } else {
        Says::LiquidLeft
    };
    Some(Standing {
        side,
        pressure: pressure.clone(),
        least: (coldest.value(), AbsolutePressure::from_pascal(least)),
        most: (warmest.value(), AbsolutePressure::from_pascal(most)),
        says,
    })
}

/// Something that would change the pressure behind a leak.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// As it stands now.
    Now,
    /// Off, both sides come together.
    Equalised,
    /// Running.
    Running,
    /// The box let warm up to the outdoor air.
    WarmBox,
    /// Nitrogen at the most that the nameplate allows, found by soap.
    Nitrogen,
}

/// A way of raising the pressure, and what it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Raised {
    /// The way.
    pub way: Way,
    /// The pressure then.
    pub pressure: AbsolutePressure,
    /// The chance that a leak of the size of the loss, there and laid open, is seen.
    pub chance: f64,
}

impl Search {
    /// Returns what the standing pressures of this visit say, one where both sides stand at one pressure.
    #[must_use]
    pub fn standing(&self, visit: &Visit) -> Vec<Standing> {
        let Some(substance) = &visit.substance else { return Vec::new() };
        let read = read(self, visit);
        let all: Vec<&Uncertain<Temperature>> = read.temperatures.iter().flatten().collect();
        if let [Some(low), Some(high)] = &read.pressures {
            let apart = (low.value().pascal() - high.value().pascal()).abs();
            if apart <= 2.0 * units::math::sqrt(low.u() * low.u() + high.u() * high.u()) {
                return judge(&substance.fluid, None, high, &all, read.just_ran.contains(&true))
                    .into_iter()
                    .collect();
            }
        }
        [Side::Low, Side::High]
            .into_iter()
            .filter_map(|side| {
                let here: Vec<&Uncertain<Temperature>> = read.temperatures[side as usize].iter().collect();
                let pressure = read.pressures[side as usize].as_ref()?;
                judge(&substance.fluid, Some(side), pressure, &here, read.just_ran[side as usize])
            })
            .collect()
    }

    /// Returns the pressures that can be had at the place of the next look, the one it has now first, each with the chance
    /// that a leak there is seen. Empty without a next look or a refrigerant.
    #[must_use]
    pub fn raised(&self, visit: &Visit) -> Vec<Raised> {
        let Some(act) = self.advice.next.filter(|_| self.looks_on()) else { return Vec::new() };
        let place = &self.places[act.place];
        let side = place.side;
        let read = read(self, visit);
        let standing = read.pressures[side as usize].as_ref().map(Uncertain::value);
        let of = |state| AbsolutePressure::from_pascal(1e5 * self.pressures.of(side, state));
        let mut ways = Vec::new();
        match (self.state, standing) {
            (State::Off, Some(pressure)) => ways.push((Way::Now, pressure)),
            (State::Off, None) | (State::Defrost, _) => {}
            (State::Running, _) => ways.push((Way::Now, of(State::Running))),
        }
        ways.push((Way::Equalised, of(State::Off)));
        if self.state != State::Running {
            ways.push((Way::Running, of(State::Running)));
        }
        let warm = read.temperatures[Side::High as usize].first().map(Uncertain::value);
        if let (Side::Low, Some(warm), Some(substance)) = (side, warm, &visit.substance)
            && let Ok(dew) = substance.fluid.dew_at_temperature(warm)
            && dew.pressure.pascal() > 1.1 * of(State::Off).pascal()
        {
            ways.push((Way::WarmBox, dew.pressure));
        }
        let mut out: Vec<Raised> = ways
            .into_iter()
            .filter_map(|(way, pressure)| {
                let bar = pressure.pascal() / 1e5;
                let chance = self.sees(visit, side, act.method, place.access, bar)?;
                Some(Raised { way, pressure, chance })
            })
            .collect();
        if let Some(pressure) = allowed(visit, side)
            && let Some(chance) = self.sees_under_nitrogen(visit, side, Method::Soap, place.access)
        {
            out.push(Raised { way: Way::Nitrogen, pressure, chance });
        }
        out
    }

    /// Whether nitrogen is spoken of: then its cautions stand before it.
    pub(super) fn speaks_of_nitrogen(&self, visit: &Visit) -> bool {
        let instead = matches!(self.advice.instead, Some(Instead::PressureTest | Instead::Isolate { .. }));
        (instead && self.looks_on())
            || self.nitrogen_helps(&self.raised(visit))
            || self.hold_after_repair(visit).is_some()
    }

    fn nitrogen_helps(&self, raised: &[Raised]) -> bool {
        let best = |nitrogen: bool| {
            let of = |way: &&Raised| (way.way == Way::Nitrogen) == nitrogen;
            raised.iter().filter(of).map(|way| way.chance).fold(0.0, f64::max)
        };
        best(true) > best(false) + 0.1
    }

    /// Returns what the standing pressure says and what more pressure would show, in words and a table.
    pub(super) fn pressure_blocks(&self, visit: &Visit, writer: &Writer) -> Vec<Block> {
        let gauge = |p: AbsolutePressure| writer.write(p.gauge(visit.air)).to_string();
        let mut out = self.standing_blocks(visit, writer);
        let raised = self.raised(visit);
        let best =
            raised.iter().filter(|way| way.way != Way::Nitrogen).max_by(|a, b| a.chance.total_cmp(&b.chance));
        if let (Some(now), Some(best)) = (raised.first(), best) {
            let of = |message: Message| {
                let message =
                    message.with("pressure", gauge(now.pressure)).with("chance", percent(now.chance));
                message.with("better", gauge(best.pressure)).with("then", percent(best.chance))
            };
            let sentence = match (now.way, best.way) {
                _ if now.chance >= best.chance - 0.05 => Message::new("seek-pressure-enough")
                    .with("pressure", gauge(now.pressure))
                    .with("chance", percent(now.chance)),
                (_, Way::WarmBox) => of(Message::new("seek-pressure-warm")),
                (_, Way::Running) => of(Message::new("seek-pressure-run")),
                _ => of(Message::new("seek-pressure-equalise")),
            };
            out.push(Block::Paragraph(sentence.into()));
            let nitrogen = self.nitrogen_helps(&raised);
            if !nitrogen && now.chance >= best.chance - 0.05 {
                return out;
            }
            let rows = raised
                .iter()
                .filter(|way| way.way != Way::Nitrogen || nitrogen)
                .map(|way| {
                    Row::new(vec![
                        Cell::Text(way_words(way.way).into()),
                        Cell::Value(Value::as_written(gauge(way.pressure))),
                        Cell::Text(percent(way.chance)),
                    ])
                })
                .collect();
            out.push(Block::Table(Table {
                caption: Some(Message::new("seek-raised").into()),
                columns: vec![
                    Column::words(Message::new("seek-way")),
                    Column::numbers(Message::new("seek-pressure")),
                    Column::numbers(Message::new("seek-seen")),
                ],
                rows,
            }));
        }
        out
    }

    /// Returns what the standing pressure says, or what to read so that it says something.
    pub(super) fn standing_blocks(&self, visit: &Visit, writer: &Writer) -> Vec<Block> {
        let standing = self.standing(visit);
        if standing.is_empty() && visit.substance.is_some() {
            return vec![Block::Paragraph(Message::new("seek-stand-read").into())];
        }
        standing.iter().map(|one| Block::Paragraph(said(one, visit, writer).into())).collect()
    }
}

fn said(one: &Standing, visit: &Visit, writer: &Writer) -> Message {
    let gauge = |p: AbsolutePressure| writer.write(p.gauge(visit.air)).to_string();
    let message = match (one.says, one.side) {
        (Says::LiquidLeft, None) => Message::new("seek-stand-liquid-both"),
        (Says::LiquidLeft, Some(Side::Low)) => Message::new("seek-stand-liquid-low"),
        (Says::LiquidLeft, Some(Side::High)) => Message::new("seek-stand-liquid-high"),
        (Says::NoLiquid, None) => Message::new("seek-stand-gas-both"),
        (Says::NoLiquid, Some(Side::Low)) => Message::new("seek-stand-gas-low"),
        (Says::NoLiquid, Some(Side::High)) => Message::new("seek-stand-gas-high"),
        (Says::NotSettled, None) => Message::new("seek-stand-warm-both"),
        (Says::NotSettled, Some(Side::Low)) => Message::new("seek-stand-warm-low"),
        (Says::NotSettled, Some(Side::High)) => Message::new("seek-stand-warm-high"),
        (Says::TooHigh, None) => Message::new("seek-stand-above-both"),
        (Says::TooHigh, Some(Side::Low)) => Message::new("seek-stand-above-low"),
        (Says::TooHigh, Some(Side::High)) => Message::new("seek-stand-above-high"),
    };
    let at = |(t, p): (Temperature, AbsolutePressure)| {
        Text::from(Message::new("seek-at").with("pressure", gauge(p)).with("temperature", writer.write(t)))
    };
    message
        .with("pressure", gauge(one.pressure.value()))
        .with("least", at(one.least))
        .with("most", at(one.most))
}

const fn way_words(way: Way) -> Message {
    match way {
        Way::Now => Message::new("seek-way-now"),
        Way::Equalised => Message::new("seek-way-equalised"),
        Way::Running => Message::new("seek-way-running"),
        Way::WarmBox => Message::new("seek-way-warm"),
        Way::Nitrogen => Message::new("seek-way-nitrogen"),
    }
}

/// A doubt of the kind that a later reading of the same sort will have.
pub(super) fn placed<Q: units::Quantity>(value: Q, of: &str, u: f64) -> Uncertain<Q> {
    Uncertain::new(value, Doubt::new(Cause::Placement, of), u)
}
