//! What is probably wrong, from the last readings of a visit and what its record tells of the system.

use crate::Refused;
use crate::doubts::Side;
use crate::stage::settle::{Settling, moved};
use crate::visit::{Results, Visit, readings};
use cycle::{Head, Surroundings};
use diagnosis::fault::{Belief, Cause, Diagnosis, Fault, Kind, Plate, Reading, diagnose, proved_before};
use record::{Body, Entry, Glass, HeadControl, Known, Measured, RunState, Typed};
use report::Message;
use units::{PressureReading, Quantity, Temperature};

/// What is said of a visit.
pub struct Said {
    /// The diagnosis.
    pub diagnosis: Diagnosis,
    /// Whether what was kept as normal here on an earlier visit was set beside; otherwise the plate alone is known.
    pub baseline: bool,
    /// Whether the superheat still moved: the readings are then taken with twice their doubt.
    pub moving: bool,
    /// What was assumed of the plate, by its key in the record.
    pub assumed: Vec<&'static str>,
}

fn refuse(code: &'static str, field: &str, sensible: &str) -> Refused {
    Refused::new(code, field, "-", sensible, Message::new("fault-missing"))
}

/// Returns what is probably wrong by the last readings of the running system.
///
/// # Errors
/// Where refrigerant, box air, outdoor air or readings of a running system are missing.
pub fn of_visit(visit: &Visit) -> Result<Said, Refused> {
    of_results(&Results::with_tests(visit, false, false))
}

/// Returns the same, from what is worked out already.
///
/// # Errors
/// As [`of_visit`].
pub(crate) fn of_results(results: &Results<'_>) -> Result<Said, Refused> {
    let visit = results.visit;
    let substance = visit.substance.as_ref().ok_or_else(|| refuse("missing", "refrigerant", "R-449A"))?;
    let (read, at, now) = last(visit).ok_or_else(|| {
        refuse(
            "missing",
            "readings",
            "suction_pressure, discharge_pressure, box_air, ambient, state = \"running\"",
        )
    })?;
    let table = substance.table().ok_or_else(|| {
        let message = Message::new("fault-refrigerant");
        Refused::new(
            "unknown_refrigerant",
            "refrigerant",
            substance.name.as_str(),
            "R-404A, R-448A, R-134a",
            message,
        )
    })?;
    let mut assumed = Vec::new();
    let plate = plate(visit, at, &mut assumed);
    let known_size = !assumed.contains(&"capacity");
    let system = plate.system(table);
    let of_size = |readings: Vec<Reading>| -> Vec<Reading> {
        readings.into_iter().filter(|r| known_size || r.kind != Kind::Power).collect()
    };
    let before = visit.earlier.iter().rev().find_map(kept);
    let baseline = before.is_some();
    let belief = before.map_or_else(Belief::nameplate, |(kept, at, r)| {
        let day = |entry: &Entry| entry.seen.at.as_ref().map(|at| at.unix_millis());
        // Where a day is missing, a year.
        let years = day(kept).zip(day(read)).map_or(1.0, |(then, now)| (now - then) as f64 / YEAR_MILLIS);
        proved_before(table, &system, at, &of_size(r), years)
    });
    let moving = moved(&results.readings)
        .is_some_and(|moved| matches!(moved.settling, Settling::Falling | Settling::Rising));
    let widened = |mut r: Reading| {
        r.sd *= if moving { 2.0 } else { 1.0 };
        r
    };
    let now = now.into_iter().map(widened).collect();
    let diagnosis = diagnose(table, &system, &belief, at, &of_size(now));
    Ok(Said { diagnosis, baseline, moving, assumed })
}

const YEAR_MILLIS: f64 = 365.25 * 86_400_000.0;

type Found<'a> = (&'a Entry, Surroundings, Vec<Reading>);

/// What was kept as normal on a visit: the readings before it, or its own where those lack the air.
fn kept(visit: &Visit) -> Option<Found<'_>> {
    let entries = &visit.current.entries;
    let at = entries.iter().rposition(|entry| matches!(entry.what(), Body::Normal(_)))?;
    let entry = &entries[at];
    let read_before = last(visit).filter(|(read, ..)| entries[..at].iter().any(|e| e.id == read.id));
    if read_before.is_some() {
        return read_before;
    }
    let Body::Normal(normal) = entry.what() else { return None };
    let kelvin = |typed: &Option<Typed<Temperature>>| typed.as_ref().map(|t| t.value.kelvin());
    let pressure = |typed: &Option<Typed<PressureReading>>| {
        typed.as_ref().map(|t| t.value.absolute(visit.air).pascal()).filter(|p| *p > 0.0)
    };
    // What was typed without an instrument has a usual doubt (common practice, no source).
    let readings: Vec<Reading> = [
        (Kind::Low, pressure(&normal.suction_pressure), 9e3),
        (Kind::High, pressure(&normal.head_pressure), 2e4),
        (Kind::Discharge, kelvin(&normal.discharge_line), 2.0),
    ]
    .into_iter()
    .filter_map(|(kind, value, sd)| Some(Reading { kind, value: value?, sd }))
    .collect();
    let air = Surroundings { box_air: kelvin(&normal.box_air)?, ambient: kelvin(&normal.ambient)? };
    (!readings.is_empty()).then_some((entry, air, readings))
}

/// The last readings of a running system with box air and outdoor air; none of a box that is pulled down from warm: what
/// runs is not steady then.
fn last(visit: &Visit) -> Option<Found<'_>> {
    let mut found = None;
    for (entry, reading) in visit.entries(|body| match body {
        Body::Reading(reading) => Some(&**reading),
        _ => None,
    }) {
        if matches!(
            reading.state,
            Some(RunState::Off | RunState::Defrost | RunState::PumpDown | RunState::PullDown)
        ) {
            continue;
        }
        found = one(visit, entry, reading).map(|(at, read)| (entry, at, read)).or(found);
    }
    found
}

fn one(visit: &Visit, entry: &Entry, r: &record::Reading) -> Option<(Surroundings, Vec<Reading>)> {
    let with = &entry.seen.with;
    let temperature = |measured: &Option<Measured<Temperature>>, key: &str| {
        measured.as_ref().map(|m| visit.bench.temperature(m, with, key)).map(|t| (t.value().kelvin(), t.u()))
    };
    let pressure = |measured: &Option<Measured<PressureReading>>, side, key: &str| {
        let found = measured.as_ref().map(|m| visit.bench.pressure(m, with, side, key, visit.air));
        found.map(|p| (p.value().pascal(), p.u())).filter(|p| p.0 > 0.0)
    };
    let box_air =
        temperature(&r.air_on_evaporator, "air_on_evaporator").or(temperature(&r.box_air, "box_air"))?;
    let ambient =
        temperature(&r.air_on_condenser, "air_on_condenser").or(temperature(&r.ambient, "ambient"))?;
    let mut all = Vec::new();
    // A clamp reads the pipe and not what flows in it, a thermometer one place of the air: a kelvin beside the instrument's
    // own doubt (common practice, no source).
    let mut put = |kind: Kind, found: Option<(f64, f64)>, place: f64| {
        if let Some((value, u)) = found {
            all.push(Reading { kind, value, sd: units::math::sqrt(u * u + place * place) });
        }
    };
    put(Kind::Low, pressure(&r.suction_pressure, Side::Low, "suction_pressure"), 3e3);
    put(Kind::High, pressure(&r.discharge_pressure, Side::High, "discharge_pressure"), 6e3);
    put(Kind::SuctionLine, temperature(&r.suction_line, "suction_line"), 0.8);
    put(Kind::LiquidLine, temperature(&r.liquid_line, "liquid_line"), 0.8);
    put(Kind::Discharge, temperature(&r.discharge_line, "discharge_line"), 1.5);
    put(Kind::CoilAir, temperature(&r.air_off_evaporator, "air_off_evaporator"), 0.5);
    put(Kind::CondenserAir, temperature(&r.air_off_condenser, "air_off_condenser"), 0.7);
    put(Kind::AfterDrier, temperature(&r.liquid_at_valve, "liquid_at_valve"), 0.8);
    let glass = match r.glass {
        Some(Glass::Clear) => Some(0.0),
        Some(Glass::Bubbles | Glass::Flashing) => Some(1.0),
        _ => None,
    };
    put(Kind::Glass, glass.map(|value| (value, 0.0)), 0.0);
    let fans = visit.system.value.condenser_fans.as_ref().and_then(Known::value).copied();
    let run = r.fans_running.zip(fans).filter(|(_, all)| *all > 0);
    // Fewer than all may be the head control's doing: then nothing is said.
    let held = !matches!(
        visit.system.value.head_control.as_ref().and_then(Known::value),
        None | Some(HeadControl::None | HeadControl::FloodingValve)
    );
    let seen = run.map(|(run, all)| f64::from(run) / f64::from(all)).filter(|share| !held || *share >= 0.99);
    put(Kind::CondenserFans, seen.map(|value| (value, 0.0)), 0.0);
    if !all.iter().any(|r| matches!(r.kind, Kind::Low | Kind::High)) {
        return None;
    }
    Some((Surroundings { box_air: box_air.0, ambient: ambient.0 }, all))
}

fn plate(visit: &Visit, at: Surroundings, assumed: &mut Vec<&'static str>) -> Plate {
    let s = &visit.system.value;
    let mut or = |key: &'static str, found: Option<f64>, usual: f64| {
        found.unwrap_or_else(|| {
            assumed.push(key);
            usual
        })
    };
    let kelvin =
        |known: &Option<Known<Temperature>>| known.as_ref().and_then(Known::value).map(|t| t.kelvin());
    let difference = |known: &Option<Known<units::TemperatureDifference>>| {
        known.as_ref().and_then(Known::value).map(|t| t.si())
    };
    let target = kelvin(&s.box_target);
    let coil_difference = or("design_td", difference(&s.design_td), 7.0).clamp(2.0, 25.0);
    let split = or("design_split", difference(&s.design_split), 10.0).clamp(3.0, 30.0);
    let evaporating = kelvin(&s.design_evaporating).or(target.map(|t| t - coil_difference));
    let setting = s.head_setting.as_ref().and_then(Known::value);
    let setting = setting.and_then(|set| readings::head_temperature(visit, set)).map(|t| t.kelvin());
    let head = match (s.head_control.as_ref().and_then(Known::value), setting) {
        (Some(HeadControl::FloodingValve | HeadControl::ValveAndFans), Some(set)) => Head::Flooding(set),
        (Some(HeadControl::None) | None, _) | (_, None) => Head::Free,
        (Some(_), Some(set)) => Head::Fans(set),
    };
    Plate {
        capacity: or("capacity", s.capacity.as_ref().and_then(Known::value).map(|p| p.si()), 6000.0),
        evaporating: or("design_evaporating", evaporating, at.box_air - coil_difference).clamp(228.0, 288.0),
        condensing: or("design_condensing", kelvin(&s.design_condensing), 313.15).clamp(293.0, 333.0),
        coil_difference,
        split,
        superheat: or("superheat_target", difference(&s.superheat_target), 6.0).clamp(1.0, 20.0),
        head,
        receiver: s.receiver_volume.as_ref().and_then(Known::value).map(|v| v.si()),
        charge: s.charge.as_ref().and_then(Known::value).map(|m| m.si()),
    }
}

/// Returns a fault in words.
#[must_use]
pub fn fault_name(fault: Fault) -> Message {
    match fault {
        Fault::None => Message::new("fault-none"),
        Fault::Under => Message::new("fault-under"),
        Fault::Over => Message::new("fault-over"),
        Fault::CondenserDirt => Message::new("fault-condenser-dirt"),
        Fault::CondenserFan => Message::new("fault-condenser-fan"),
        Fault::CoilIce => Message::new("fault-coil-ice"),
        Fault::CoilFan => Message::new("fault-coil-fan"),
        Fault::Restriction => Message::new("fault-restriction"),
        Fault::Underfeed => Message::new("fault-underfeed"),
        Fault::Overfeed => Message::new("fault-overfeed"),
        Fault::ValveLeak => Message::new("fault-valve-leak"),
        Fault::NonCondensable => Message::new("fault-non-condensable"),
        Fault::Gauge => Message::new("fault-gauge"),
        Fault::HeadLow => Message::new("fault-head-low"),
        Fault::HeadHigh => Message::new("fault-head-high"),
        Fault::SomethingElse => Message::new("fault-something-else"),
    }
}

/// Returns a reading in words.
#[must_use]
pub fn kind_name(kind: Kind) -> Message {
    match kind {
        Kind::Low => Message::new("fault-reads-low"),
        Kind::High => Message::new("fault-reads-high"),
        Kind::SuctionLine => Message::new("fault-reads-suction-line"),
        Kind::LiquidLine => Message::new("fault-reads-liquid-line"),
        Kind::Discharge => Message::new("fault-reads-discharge"),
        Kind::CoilAir => Message::new("fault-reads-coil-air"),
        Kind::CondenserAir => Message::new("fault-reads-condenser-air"),
        Kind::AfterDrier => Message::new("fault-reads-after-drier"),
        Kind::Power => Message::new("fault-reads-power"),
        Kind::Glass => Message::new("fault-reads-glass"),
        Kind::CoilFans => Message::new("fault-reads-coil-fans"),
        Kind::CondenserFans => Message::new("fault-reads-condenser-fans"),
    }
}

/// Returns what is said, sentence by sentence, the plain one first.
#[must_use]
pub fn sentences(said: &Said) -> Vec<Message> {
    let mut all = vec![probably(said), rests_on(said)];
    if said.moving {
        all.push(Message::new("fault-moving"));
    }
    for (cause, p) in said.diagnosis.ranked().iter().take_while(|(_, p)| *p >= 0.01) {
        all.push(Message::new("fault-chance").with("cause", cause_name(*cause)).with("percent", percent(*p)));
    }
    all.extend(besides(said));
    all
}

fn percent(p: f64) -> i64 {
    (100.0 * p).round() as i64
}

/// Returns a cause in words.
#[must_use]
pub fn cause_name(cause: Cause) -> Message {
    match cause.second {
        None => fault_name(cause.first),
        Some(second) => Message::new("fault-both")
            .with("first", fault_name(cause.first))
            .with("second", fault_name(second)),
    }
}

/// Returns the plain sentence: the most probable cause with its chance.
#[must_use]
pub fn probably(said: &Said) -> Message {
    let (best, chance) = said.diagnosis.ranked()[0];
    Message::new("fault-probably").with("cause", cause_name(best)).with("percent", percent(chance))
}

/// Returns what it rests on: an earlier visit, or the plate alone.
#[must_use]
pub fn rests_on(said: &Said) -> Message {
    if said.baseline { Message::new("fault-by-visit") } else { Message::new("fault-by-plate") }
}

/// Returns what is not told apart, what to read next, what the charge can be, and what cannot be seen.
#[must_use]
pub fn besides(said: &Said) -> Vec<Message> {
    let ranked = said.diagnosis.ranked();
    let (best, chance) = ranked[0];
    let name = cause_name;
    let mut all = Vec::new();
    // Causes of a like chance are not told apart by what was read.
    for (cause, _) in ranked.iter().skip(1).filter(|(_, p)| *p > 0.1 && 2.0 * p > chance) {
        all.push(Message::new("fault-not-apart").with("first", name(best)).with("second", name(*cause)));
    }
    if [Some(best.first), best.second].contains(&Some(Fault::Restriction)) {
        all.push(where_restricted(&said.diagnosis));
    }
    if let Some(next) = said.diagnosis.next.first().filter(|next| next.gain > 0.02) {
        all.push(
            Message::new("fault-next")
                .with("reading", kind_name(next.kind))
                .with("minutes", next.minutes as i64),
        );
    }
    let (low, high) = said.diagnosis.charge;
    all.push(match high {
        Some(high) => {
            Message::new("fault-charge-between").with("low", percent(low)).with("high", percent(high))
        }
        None => Message::new("fault-charge-least").with("low", percent(low)),
    });
    for unseen in &said.diagnosis.unseen {
        let fault = fault_name(unseen.fault);
        all.push(match unseen.shown_by.first() {
            Some(kind) => Message::new("fault-unseen").with("fault", fault).with("reading", kind_name(*kind)),
            None => Message::new("fault-unseen-by-any").with("fault", fault),
        });
    }
    all.push(Message::new("fault-honest"));
    all
}

/// Before the place where the liquid's temperature was read, or past it: liquid that has lost pressure there has boiled in
/// part and is colder.
fn where_restricted(said: &Diagnosis) -> Message {
    let of = |kind: Kind| said.against.iter().find(|row| row.kind == kind);
    let Some((warm, cold)) = of(Kind::LiquidLine).zip(of(Kind::AfterDrier)) else {
        return Message::new("fault-restricted-unread");
    };
    let fall = (warm.measured - cold.measured) - (warm.expected - cold.expected);
    let sd = units::math::sqrt(warm.sd * warm.sd + cold.sd * cold.sd);
    if fall > 2.0 * sd {
        Message::new("fault-restricted-before")
    } else if fall < sd {
        Message::new("fault-restricted-past")
    } else {
        Message::new("fault-restricted-unclear")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use diagnosis::fault::{Against, COUNT};

    fn with(rows: &[(Kind, f64)]) -> Diagnosis {
        let against = rows.iter().map(|(kind, measured)| Against {
            kind: *kind,
            expected: 300.0,
            sd: 1.0,
            measured: *measured,
        });
        Diagnosis {
            chances: [0.0; COUNT],
            charge: (1.0, None),
            against: against.collect(),
            next: Vec::new(),
            unseen: Vec::new(),
        }
    }

    #[test]
    fn a_restriction_is_placed_by_the_fall_of_temperature_alone() {
        let said = |rows: &[(Kind, f64)]| where_restricted(&with(rows));
        assert_eq!(said(&[(Kind::LiquidLine, 300.0)]), Message::new("fault-restricted-unread"));
        let both = |after: f64| said(&[(Kind::LiquidLine, 300.0), (Kind::AfterDrier, after)]);
        assert_eq!(both(294.0), Message::new("fault-restricted-before"));
        assert_eq!(both(299.5), Message::new("fault-restricted-past"));
        assert_eq!(both(298.0), Message::new("fault-restricted-unclear"));
    }
}
