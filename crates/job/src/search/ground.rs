//! What a visit's record gives the search: the places of its circuit, its pressures, its history, the looks made.

use super::{Told, find, method_of};
use crate::place::{self, PlaceKind};
use crate::visit::Visit;
use crate::visit::account::Account;
use diagnosis::search::book::{
    HIT_MOVED_AWAY, HIT_ONCE, HIT_REPEATED, OIL_AT_LEAK, OIL_AT_LEAK_BACK, OIL_ELSEWHERE, OIL_ELSEWHERE_BACK,
};
use diagnosis::search::found::Size;
use diagnosis::search::posterior::{Mark, Pressures};
use diagnosis::search::{Access, Book, Change, History, Look, Method, Outcome, Place, Side, State};
use field::annual_loss::Amount;
use record::{
    Body, CheckResult, Expansion, HeadControl, Known, LeakCheck, PassFail, RunState, UnitKind, YesNo,
};
use units::{Temperature, TemperatureDifference};

fn unit(visit: &Visit) -> Option<UnitKind> {
    visit.system.value.unit.as_ref().and_then(Known::value).copied()
}

/// Returns whether the unit stands on a roof.
pub fn on_roof(visit: &Visit) -> bool {
    unit(visit) == Some(UnitKind::RemoteRoof)
}

/// Returns the places that this system has; where nothing is known of it, those of a walk-in box with a remote unit.
pub fn places(book: &Book, visit: &Visit) -> Vec<Place> {
    let system = &visit.system.value;
    let expansion = system.expansion.as_ref().and_then(Known::value).copied();
    let fixed = matches!(expansion, Some(Expansion::Capillary | Expansion::Orifice));
    let contained = unit(visit) == Some(UnitKind::SelfContained);
    let head = system.head_control.as_ref().and_then(Known::value).copied();
    let has = |needs: &str| match needs {
        "receiver" => system.receiver_volume.is_some() || !(fixed || contained),
        "solenoid" => !fixed && (!contained || system.pump_down.is_some()),
        "valve" => !fixed,
        "fixed" => fixed,
        "long lines" | "remote" => !contained,
        "flooding valve" => matches!(head, Some(HeadControl::FloodingValve | HeadControl::ValveAndFans)),
        "fan control" => {
            matches!(head, Some(HeadControl::FanCycling | HeadControl::FanSpeed | HeadControl::ValveAndFans))
        }
        _ => true,
    };
    let mut places: Vec<Place> = book.places.iter().filter(|place| has(&place.needs)).cloned().collect();
    let goods = system.goods.as_ref().map(Known::text).unwrap_or_default().to_lowercase();
    // Acid or salty goods and cleaning agents eat coils; an electric defrost works them (judgement, as the rest).
    let eats = ["vinegar", "pickle", "fish", "salt", "citrus", "dough", "cheese", "seafood", "tomato"];
    let eaten = eats.iter().any(|word| goods.contains(word));
    let electric = matches!(system.defrost.as_ref().and_then(Known::value), Some(record::Defrost::Electric));
    for place in &mut places {
        if contained {
            place.region = 0;
        }
        if place.part == "coil" {
            place.weight *= if eaten { 2.0 } else { 1.0 } * if electric { 1.5 } else { 1.0 };
        }
    }
    places
}

/// Returns the pressures of both sides, absolute: as read on this visit, else of the temperatures that the system has.
pub fn pressures(visit: &Visit) -> Pressures {
    let system = &visit.system.value;
    let target = system.box_target.as_ref().and_then(Known::value).map_or(2.0, |t| t.celsius());
    let dew = |celsius: f64| {
        let fluid = &visit.substance.as_ref()?.fluid;
        let point = fluid.dew_at_temperature(Temperature::from_celsius(celsius)).ok()?;
        Some(point.pressure.pascal() / 1e5)
    };
    // Without a refrigerant the pressures of a common blend, as a remark on the answer's scale only.
    let of = |celsius: f64, usual: f64| dew(celsius).unwrap_or(usual);
    let mut outdoor = 18.0;
    let mut read = [None; 2];
    for (_, reading) in visit.entries(|body| match body {
        Body::Reading(reading) => Some(&**reading),
        _ => None,
    }) {
        if let Some(ambient) = &reading.ambient {
            outdoor = ambient.value.value.celsius();
        }
        if matches!(reading.state, Some(RunState::Running)) {
            let bar = |p: &record::Measured<units::PressureReading>| {
                p.value.value.absolute(visit.air).pascal() / 1e5
            };
            read[0] = reading.suction_pressure.as_ref().map(bar).or(read[0]);
            read[1] = reading.discharge_pressure.as_ref().map(bar).or(read[1]);
        }
    }
    let split = system
        .design_split
        .as_ref()
        .and_then(Known::value)
        .map_or(10.0, |d: &TemperatureDifference| d.kelvin());
    let low = read[0].unwrap_or_else(|| of(target - 6.0, 5.0));
    let high = read[1].unwrap_or_else(|| of((outdoor + split).max(27.0), 13.0));
    let off_low = of(target + 1.0, 7.0);
    let off_high = of(outdoor, 9.0);
    Pressures { low: [off_low, low, off_low + 2.0], high: [off_high, high, high] }
}

/// Returns the refills as the search takes them; what was weighed in today after the find is no history.
pub fn history(visit: &Visit, account: &Account) -> History {
    let charge = visit.system.value.charge.as_ref().and_then(|charge| crate::doubts::known(charge, "charge"));
    let mut changes: Vec<Change> = account
        .refills
        .iter()
        .filter(|refill| !refill.today)
        .filter_map(|refill| {
            let day = refill.day?.day_number();
            let kg = match &refill.amount {
                Amount::Known(mass) => Some((mass.value().kilogram(), mass.u())),
                Amount::Between(low, high) => {
                    let (low, high) = (low.kilogram(), high.kilogram());
                    Some(((low + high) / 2.0, (high - low) / 3.5))
                }
                Amount::AtLeast(_) | Amount::Unknown => None,
            };
            Some(Change { day, kg, out: false })
        })
        .collect();
    let all = visit.earlier.iter().chain(core::iter::once(visit));
    for before in all {
        for (_, change) in before.entries(|body| match body {
            Body::PastChange(change) => Some(&**change),
            _ => None,
        }) {
            if change.change != Some(record::Change::Removed) {
                continue;
            }
            let day = change.on.as_ref().and_then(Known::value).and_then(record::When::local_day);
            let Some(day) = day.map(|day| day.day_number()) else { continue };
            let kg = change.amount.as_ref().and_then(|amount| crate::doubts::known(amount, "taken out"));
            let kg = kg.map(|kg| (kg.value().kilogram(), kg.u()));
            let taken = Change { day, kg, out: true };
            if !changes.contains(&taken) {
                changes.push(taken);
            }
        }
    }
    units::sort_small(&mut changes, |a, b| a.day.cmp(&b.day));
    let filled = account.full_on.map(|day| day.day_number());
    // The first of the refills told is the day it was full, unless that day is known.
    let (filled, changes) = match (filled, changes.split_first()) {
        (None, Some((first, rest))) if !rest.is_empty() && !first.out => (Some(first.day), rest.to_vec()),
        (Some(day), Some((first, rest))) if !rest.is_empty() && first.day <= day => {
            (Some(first.day), rest.to_vec())
        }
        (filled, _) => (filled, changes),
    };
    let habit = account.habit.as_ref().and_then(|habit| {
        let (low, high) = habit.bounds()?;
        Some((low.day() + high.day()) / 2.0)
    });
    History {
        charge_kg: charge.map(|charge| charge.value().kilogram()),
        filled,
        changes,
        habit_days: habit,
        winter_kg: None,
        south: false,
    }
}

/// Returns the rated limit of the leak detector, kg a year.
pub fn detector(visit: &Visit) -> Option<f64> {
    let mut best: Option<f64> = None;
    for instrument in visit.bench.instruments() {
        if let Some(rated) = &instrument.sensitivity {
            let kg = rated.value.kilogram_per_second() * 365.25 * 86_400.0;
            best = Some(best.map_or(kg, |other| other.min(kg)));
        }
    }
    best.filter(|kg| *kg > 0.0)
}

/// Returns the ways of looking at hand: the detector first, then soap, unless this visit began otherwise.
pub fn methods(visit: &Visit) -> Vec<Method> {
    let mut out = vec![Method::Electronic, Method::Soap];
    let detector_failed = detector_failed(visit);
    if detector_failed {
        out.remove(0);
    }
    out
}

fn detector_failed(visit: &Visit) -> bool {
    let last = visit.entries(|body| match body {
        Body::DetectorCheck(check) => Some(check),
        _ => None,
    });
    last.last().is_some_and(|(_, check)| check.result == PassFail::Fail)
}

/// Returns the sections that can usually be shut in: what lies between the receiver's outlet and the suction service valve,
/// and the low side behind the solenoid valve.
pub fn sections(places: &[Place]) -> Vec<Vec<usize>> {
    let of = |parts: &[&str]| -> Vec<usize> {
        places
            .iter()
            .enumerate()
            .filter(|(_, place)| parts.contains(&place.part.as_str()))
            .map(|(at, _)| at)
            .collect()
    };
    let mut out =
        vec![of(&["drier", "solenoid", "valve", "coil", "suction"]), of(&["valve", "coil", "suction"])];
    out.retain(|section| !section.is_empty());
    out
}

/// Returns the places that words name: those with the longest words in common; none where the words name no place.
pub fn named(places: &[Place], text: &str) -> Vec<usize> {
    let text = text.to_lowercase();
    let mut longest = 0;
    let mut out = Vec::new();
    for (at, place) in places.iter().enumerate() {
        let exact = place.key == text;
        let here = place.words.iter().filter(|word| text.contains(word.as_str())).map(String::len).max();
        let Some(here) = (if exact { Some(usize::MAX) } else { here }) else { continue };
        if here > longest {
            longest = here;
            out.clear();
        }
        if here == longest {
            out.push(at);
        }
    }
    out
}

/// Returns the looks that the record tells, its oil marks and its find.
pub fn looks(visit: &Visit, places: &mut Vec<Place>, book: &Book) -> Told {
    let mut told = Told {
        looks: Vec::new(),
        marks: Vec::new(),
        open: Vec::new(),
        found: None,
        voided: 0,
        state: State::Off,
        last: None,
    };
    for (at, before) in visit.earlier.iter().enumerate() {
        log(before, places, 1 + u32::try_from(at).unwrap_or(0), &mut told);
        told.open.clear();
    }
    log(visit, places, 0, &mut told);
    earlier_searches(visit, places, book, &mut told);
    told
}

/// Visits of others: how often is known or told, what they covered mostly is not.
fn earlier_searches(visit: &Visit, places: &[Place], book: &Book, told: &mut Told) {
    let mut session = 100;
    let all = visit.earlier.iter().chain(core::iter::once(visit));
    for before in all {
        for (_, search) in before.entries(|body| match body {
            Body::EarlierSearch(search) => Some(&**search),
            _ => None,
        }) {
            let visits = search.visits.as_ref().and_then(Known::value).copied().unwrap_or(1).min(12);
            let covered = search.covered.as_ref().and_then(Known::value).map(|text| named(places, text));
            for _ in 0..visits {
                for (place, it) in places.iter().enumerate() {
                    let chance = match &covered {
                        Some(named) if !named.is_empty() => f64::from(u8::from(named.contains(&place))),
                        _ => book.reach[it.access as usize].2,
                    };
                    if chance > 0.0 {
                        told.looks.push(Look {
                            place,
                            method: Method::Electronic,
                            state: State::Off,
                            opened: false,
                            session,
                            covered: chance,
                            spoilt: false,
                            pressure_bar: None,
                            outcome: Outcome::Clean,
                        });
                    }
                }
                session += 1;
            }
        }
    }
}

fn log(visit: &Visit, places: &mut Vec<Place>, session: u32, told: &mut Told) {
    let void = detector_failed(visit);
    for entry in &visit.current.entries {
        let spot = entry.seen.place.as_deref().unwrap_or_default();
        match entry.what() {
            Body::Opened(opened) => {
                let mut at = named(places, &opened.what);
                at.extend(named(places, spot));
                let parts: Vec<String> = at.iter().map(|at| places[*at].part.clone()).collect();
                for (at, place) in places.iter().enumerate() {
                    if parts.contains(&place.part) && place.access.opens() && !told.open.contains(&at) {
                        told.open.push(at);
                    }
                }
            }
            Body::Repair(repair) => {
                let words = repair.leak.as_deref().unwrap_or(spot);
                let at = named(places, words);
                if let Some(found) = &mut told.found
                    && (at.contains(&found.place) || at.is_empty())
                {
                    (found.mended, found.proved) = (true, false);
                }
            }
            Body::Hold(_) => {
                if let Some(found) = &mut told.found {
                    found.proved = found.mended;
                }
            }
            Body::LeakCheck(check) if check.result != CheckResult::NotDone => {
                one(visit, spot, check, places, session, void, told);
            }
            _ => {}
        }
    }
}

fn one(
    visit: &Visit,
    spot: &str,
    check: &LeakCheck,
    places: &mut Vec<Place>,
    session: u32,
    void: bool,
    told: &mut Told,
) {
    let method = method_of(check.method);
    let state = match check.state {
        Some(RunState::Running | RunState::PullDown) => State::Running,
        Some(RunState::Defrost) => State::Defrost,
        _ => State::Off,
    };
    told.state = state;
    // After a repair the looks at its place speak of the repair, not of what leaked before.
    let mended = told.found.as_ref().is_some_and(|found| found.mended);
    let mut at = named(places, spot);
    let swept = region(visit, spot);
    let sweep = at.is_empty() && swept.is_some();
    if sweep {
        at = places
            .iter()
            .enumerate()
            .filter(|(_, place)| Some(place.region) == swept)
            .map(|(at, _)| at)
            .collect();
    }
    if at.is_empty() && !spot.is_empty() {
        // A place that only this entry names.
        places.push(Place {
            key: spot.to_owned(),
            part: crate::stage::circuit::part_of(spot).map_or("other", |part| part.key()).to_owned(),
            region: 0,
            access: Access::Bare,
            side: Side::High,
            weight: 0.02,
            minutes: 2.0,
            opening: 0.0,
            needs: String::new(),
            words: vec![spot.to_lowercase()],
        });
        at.push(places.len() - 1);
    }
    let except: Vec<usize> = check.except.iter().flat_map(|words| named(places, words)).collect();
    at.retain(|at| !except.contains(at));
    let pressure = check.pressure.as_ref().map(|p| p.value.value.absolute(visit.air).pascal() / 1e5);
    let inside = spot.to_lowercase().contains("inside");
    if check.result == CheckResult::Hit {
        let refuted = check.repeated == Some(YesNo::No) || check.gone_when_moved == Some(YesNo::No);
        let Some(place) = at.first().copied() else { return };
        if refuted {
            return;
        }
        if method == Method::Visual {
            let back = check.repeated == Some(YesNo::Yes);
            let ratio =
                if back { OIL_AT_LEAK_BACK / OIL_ELSEWHERE_BACK } else { OIL_AT_LEAK / OIL_ELSEWHERE };
            told.marks.push(Mark { place, ratio });
            return;
        }
        let sniffs = matches!(method, Method::Electronic | Method::Tracer | Method::Ultrasonic);
        let sure =
            !sniffs || (check.repeated == Some(YesNo::Yes) && check.gone_when_moved == Some(YesNo::Yes));
        let false_alarm = match (sniffs, check.repeated, check.gone_when_moved) {
            (true, _, Some(YesNo::Yes)) => HIT_MOVED_AWAY,
            (true, Some(YesNo::Yes), _) => HIT_REPEATED,
            (true, ..) => HIT_ONCE,
            (false, ..) => diagnosis::search::book::HIT_REPEATED,
        };
        if sure {
            // A detector's hit says only that it is past its limit; a number or bubbles say more than foam.
            let (mut seen, mut bar) = (find::size_of(check, visit), pressure);
            if let Some(before) = told.found.as_ref().filter(|before| before.place == place) {
                let known = |size: &Size| matches!(size, Size::About(..));
                if seen == Size::Unknown || (known(&before.seen) && !known(&seen)) {
                    (seen, bar) = (before.seen, before.bar);
                }
            }
            let words = spot.to_owned();
            told.found = Some(find::Hit { place, words, seen, bar, state, mended: false, proved: false });
        }
        for place in at {
            told.looks.push(look(
                place,
                method,
                state,
                true,
                session,
                pressure,
                check,
                Outcome::Hit { false_alarm },
            ));
        }
        return;
    }
    if void && method == Method::Electronic {
        told.voided += 1;
        return;
    }
    for place in at {
        told.last = Some(place);
        if let Some(found) = told.found.as_mut().filter(|found| mended && found.place == place) {
            found.proved = true;
            continue;
        }
        let opened = inside || told.open.contains(&place) || check.method == record::Method::Isolation;
        let opened = opened || (!sweep && !places[place].access.opens());
        told.looks.push(look(place, method, state, opened, session, pressure, check, Outcome::Clean));
    }
}

fn look(
    place: usize,
    method: Method,
    state: State,
    opened: bool,
    session: u32,
    pressure_bar: Option<f64>,
    check: &LeakCheck,
    outcome: Outcome,
) -> Look {
    Look {
        place,
        method,
        state,
        opened,
        session,
        covered: 1.0,
        spoilt: check.spoilt_by.is_some(),
        pressure_bar,
        outcome,
    }
}

/// The region that words name, for a sweep.
pub fn region(visit: &Visit, spot: &str) -> Option<usize> {
    let words = spot.to_lowercase();
    if words.contains("line") {
        return Some(2);
    }
    match place::kind(spot) {
        PlaceKind::Unit | PlaceKind::Roof => Some(0),
        PlaceKind::Box => Some(if unit(visit) == Some(UnitKind::SelfContained) { 0 } else { 1 }),
        PlaceKind::Van | PlaceKind::Other => None,
    }
}

/// Returns the region where somebody stands: of the last look, else of the last arrival.
pub fn here(visit: &Visit, places: &[Place], told: &Told) -> usize {
    if let Some(last) = told.last.and_then(|at| places.get(at)) {
        return last.region;
    }
    let arrivals =
        visit.current.entries.iter().rev().filter(|entry| matches!(entry.what(), Body::Arrival(_)));
    arrivals.filter_map(|entry| region(visit, entry.seen.place.as_deref()?)).next().unwrap_or(0)
}
