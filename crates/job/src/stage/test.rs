//! Test: is it tight? Own gas first, nitrogen where the charge is out or the section shut off.

use super::clock::{clock, later};
use super::offer::Offer;
use super::{Ground, Now, Running, View, search};
use crate::show::hold as show;
use crate::visit::proofs::{HoldResult, hold_so_far, running_holds};
use field::annual_loss::LossRate;
use field::hold::{Verdict, WhyNotResolved};
use record::{Body, Entry, Hold, Known, TestGas, When};
use report::{
    Block, Caution, Figure, LookedFor, Message, Moment, Number, Picture, Point, Reading, Text, VerdictMark,
};
use units::{Duration, PressureDifference, PressureReading, Quantity, Writable};

/// Gas, metal and gauge come to rest in this time after filling (the same that makes a hold void before it).
const SETTLING: Duration = Duration::from_second(1800.0);

pub fn view(ground: &Ground<'_>) -> View {
    let running: Vec<(&Entry, &Hold)> = holds(ground).filter(|(_, hold)| hold.end.is_none()).collect();
    let read = running_holds(ground.visit);
    let last = running.last().copied();
    let mut view = View::new(super::Stage::Test, now(ground, last, read.last()));
    for (entry, hold) in &running {
        if let Some(since) = &hold.start.at {
            let state = read.iter().find(|result| result.entry.id == entry.id);
            let what = match &hold.section {
                Some(section) => Message::new("test-running").with("section", section),
                None => Message::new("test-running-unnamed"),
            };
            view.running.push(Running {
                what,
                since: since.clone(),
                answer_at: answer_at(ground, hold, state),
            });
        }
    }
    view.head.extend(read.last().into_iter().flat_map(|result| head(ground, result)));
    view.cautions = cautions(ground, &running);
    view.offers = offers(ground, last);
    for result in &read {
        view.section(Message::new("test-so-far"), so_far(ground, result));
    }
    let ended = crate::visit::document::proof::holds(ground.results, ground.writer);
    view.section(Message::new("test-ended"), ended);
    view.section(Message::new("tight-sections"), super::tight::sections(ground));
    view.section(Message::new("tight-own"), super::tight::own_gas(ground));
    view.section(Message::new("test-order"), vec![order(ground)]);
    // Nitrogen is for a circuit that was opened; its stops need the lowest plate.
    if opened(ground)
        && let Some(plate) = lowest_plate(ground)
    {
        view.section(Message::new("tight-steps"), super::tight::steps(ground, plate.value));
    }
    view.sharpen = sharpen(ground, last.map(|(_, hold)| hold));
    view
}

fn holds<'a>(ground: &Ground<'a>) -> impl Iterator<Item = (&'a Entry, &'a Hold)> {
    ground.visit.entries(|body| match body {
        Body::Hold(hold) => Some(&**hold),
        _ => None,
    })
}

/// Whether something was mended after the last hold began.
fn mended_since(ground: &Ground<'_>) -> Option<Text> {
    let entries = &ground.visit.current.entries;
    let last_hold = entries.iter().rposition(|entry| matches!(entry.what(), Body::Hold(_)));
    let after = last_hold.map_or(0, |at| at + 1);
    entries.get(after..).unwrap_or_default().iter().rev().find_map(|entry| match entry.what() {
        Body::Repair(repair) => {
            Some(Text::verbatim(entry.seen.place.as_deref().unwrap_or(repair.what.as_str())))
        }
        _ => None,
    })
}

fn now(ground: &Ground<'_>, running: Option<(&Entry, &Hold)>, read: Option<&HoldResult<'_>>) -> Now {
    if let Some((entry, hold)) = running {
        return match read.filter(|result| result.entry.id == entry.id) {
            Some(result) => now_running(ground, hold, result),
            None => now_begun(ground, hold),
        };
    }
    if let Some(place) = mended_since(ground) {
        return Now::new(Message::new("now-mended-untested").with("place", place))
            .because(Message::new("now-why-untested"));
    }
    if let Some(result) = ground.results.holds.last() {
        return now_ended(ground, result);
    }
    if search::hits(ground).iter().any(|hit| !hit.mended && !hit.is_refuted()) {
        return Now::new(Message::new("test-mend-first")).because(Message::new("test-mend-first-why"));
    }
    Now::new(Message::new("test-nothing")).because(Message::new("test-nothing-why"))
}

/// A hold whose start alone was read.
fn now_begun(ground: &Ground<'_>, hold: &Hold) -> Now {
    if let (Some(filled), Some(start)) = (&hold.filled_at, &hold.start.at)
        && start.since(filled) < SETTLING
        && let Some(until) = later(filled, SETTLING)
    {
        return Now::new(Message::new("test-settling").with("until", clock(&until, ground.now)))
            .because(Message::new("test-settling-why"))
            .marked(VerdictMark::Doubtful);
    }
    match &hold.start.at {
        Some(at) => Now::new(Message::new("test-begun").with("since", clock(at, ground.now)))
            .because(Message::new("test-begun-why")),
        None => Now::new(Message::new("test-begun-no-time")).because(Message::new("test-begun-why")),
    }
}

fn now_running(ground: &Ground<'_>, hold: &Hold, result: &HoldResult<'_>) -> Now {
    let writer = ground.writer;
    let found = match &result.found {
        Ok(found) => found,
        Err(error) => {
            return Now::new(crate::ask::hold::refused(error).message.clone()).marked(VerdictMark::Doubtful);
        }
    };
    let moved = moved(found);
    let why = Message::new("test-moved").with("moved", writer.write_uncertain(&moved));
    match &found.verdict {
        Verdict::Leaking => {
            Now::new(Message::new("now-leaking").with("drop", writer.write_uncertain(&found.drop)))
                .because(Message::new("test-leaking-why"))
                .marked(VerdictMark::Breached)
        }
        Verdict::TightWithinLimit => {
            Now::new(Message::new("test-can-end")).because(why).marked(VerdictMark::Met)
        }
        Verdict::NotResolved(WhyNotResolved::TooShort { still_needed }) => {
            let wanted = hold.wanted.as_ref().map(|wanted| wanted.text.clone()).unwrap_or_default();
            match answer_at(ground, hold, Some(result)) {
                Some(at) if at.since(ground.now).second() > 0.0 => Now::new(
                    Message::new("test-wait").with("until", clock(&at, ground.now)).with("wanted", wanted),
                ),
                Some(_) => Now::new(Message::new("test-read-now").with("wanted", wanted)),
                None => Now::new(
                    Message::new("test-wait-long")
                        .with("time", writer.write(*still_needed))
                        .with("wanted", wanted),
                ),
            }
            .because(why)
            .marked(VerdictMark::NotResolved)
        }
        Verdict::NotResolved(WhyNotResolved::NoWantedLimit) => match show::smallest(found) {
            Some(smallest) => {
                Now::new(Message::new("test-no-limit").with("smallest", writer.write(smallest.value())))
            }
            None => Now::new(Message::new("hold-no-limit")),
        }
        .because(why)
        .marked(VerdictMark::NotResolved),
        Verdict::NotResolved(WhyNotResolved::NoLeakRate) => {
            Now::new(Message::new("test-no-rate")).because(why).marked(VerdictMark::NotResolved)
        }
        Verdict::Void(_) => {
            let finding = show::finding(found, Message::new("hold-void"), writer);
            let now = Now::new(Message::new("test-void")).marked(VerdictMark::Doubtful);
            match finding.advice {
                Some(Text::Message(why)) => now.because(why),
                _ => now,
            }
        }
    }
}

fn now_ended(ground: &Ground<'_>, result: &HoldResult<'_>) -> Now {
    let writer = ground.writer;
    let found = match &result.found {
        Ok(found) => found,
        Err(error) => {
            return Now::new(crate::ask::hold::refused(error).message.clone()).marked(VerdictMark::Doubtful);
        }
    };
    let smallest = show::smallest(found).map(|leak| writer.write(leak.value()));
    let (now, mark) = match (&found.verdict, &smallest) {
        (Verdict::Leaking, _) => (
            Message::new("now-leaking").with("drop", writer.write_uncertain(&found.drop)),
            VerdictMark::Breached,
        ),
        (Verdict::TightWithinLimit, Some(smallest)) => {
            (Message::new("test-held").with("smallest", smallest.clone()), VerdictMark::Met)
        }
        (Verdict::Void(_), _) => (Message::new("test-void"), VerdictMark::Doubtful),
        (_, Some(smallest)) => {
            (Message::new("test-not-shown").with("smallest", smallest.clone()), VerdictMark::NotResolved)
        }
        (_, None) => (Message::new("test-no-rate"), VerdictMark::NotResolved),
    };
    let now = Now::new(now).marked(mark);
    match found.verdict {
        Verdict::Leaking => now.because(Message::new("hold-leaking-advice")),
        Verdict::Void(_) => now.because(Message::new("now-why-void")),
        _ => now.because(Message::new("proof-not-proved")),
    }
}

/// How far the pressure moved once temperature is taken out: falling is negative.
fn moved(found: &field::hold::Hold) -> units::Uncertain<PressureDifference> {
    found.drop.map(PressureDifference::from_si(-found.drop.value().si()), -1.0)
}

/// By when the leak wanted can be told, by the readings so far.
fn answer_at(ground: &Ground<'_>, hold: &Hold, state: Option<&HoldResult<'_>>) -> Option<When> {
    let result = state?;
    let found = result.found.as_ref().ok()?;
    let Verdict::NotResolved(WhyNotResolved::TooShort { still_needed }) = &found.verdict else { return None };
    let read_at = result.end.at.as_ref().or(hold.start.at.as_ref())?;
    let at = later(read_at, *still_needed)?;
    // A wait of more than three days is no appointment.
    (at.since(ground.now).day() < 3.0).then_some(at)
}

fn head(ground: &Ground<'_>, result: &HoldResult<'_>) -> Vec<Number> {
    let Ok(found) = &result.found else { return Vec::new() };
    let test = result.test(ground.visit);
    let all = show::numbers(found, &test, ground.visit.air, ground.writer);
    let mut moved = crate::opening::number(
        Message::new("head-moved"),
        &moved(found),
        ground.writer,
        Vec::new(),
        Message::new("method-hold"),
        Message::new("source-hold"),
    );
    // The inputs are those of the drop.
    if let (Some(opened), Some(drop)) = (&mut moved.opened, all.get(1).and_then(|drop| drop.opened.as_ref()))
    {
        opened.inputs.clone_from(&drop.inputs);
    }
    let finding = show::finding(found, Message::new("hold-smallest"), ground.writer);
    [Some(moved), finding.number].into_iter().flatten().collect()
}

fn so_far(ground: &Ground<'_>, result: &HoldResult<'_>) -> Vec<Block> {
    let Ok(found) = &result.found else { return Vec::new() };
    let test = result.test(ground.visit);
    let mut out = Vec::new();
    out.extend(figure(ground, result).map(|figure| Block::Figure(Box::new(figure))));
    out.push(Block::Numbers(show::numbers(found, &test, ground.visit.air, ground.writer)));
    out.extend(show::notes(found).into_iter().map(|note| Block::Paragraph(note.into())));
    out
}

/// The change after correction, reading by reading, with the leak looked for and the moment of the answer.
fn figure(ground: &Ground<'_>, result: &HoldResult<'_>) -> Option<Figure> {
    let hold = result.recorded;
    let start = hold.start.at.as_ref()?;
    let scale = PressureDifference::scale(ground.writer, 1.0);
    let mut readings = vec![Reading::new(0.0, 0.0)];
    for at in hold_so_far(ground.visit, result.entry, hold) {
        if let (Some(time), Ok(found)) = (&at.end.at, &at.found) {
            let hours = time.since(start).hour();
            let half = 2.0 * found.drop.u() / scale.size;
            readings.push(Reading::new(hours, -found.drop.value().si() / scale.size).within(half));
        }
    }
    let last = readings.last().filter(|reading| reading.time > 0.0)?.time;
    let found = result.found.as_ref().ok()?;
    let answer = answer_at(ground, hold, Some(result));
    let end = answer.as_ref().map_or(last, |at| at.since(start).hour());
    let wanted = hold.wanted.as_ref().map(|wanted| wanted.value).zip(show::smallest(found));
    let looked_for = wanted.and_then(|(wanted, smallest)| {
        // A steady leak's drop grows with the time.
        let drop = found.smallest_drop.si() * (wanted / smallest.value()) * (end / last) / scale.size;
        drop.is_finite().then(|| LookedFor {
            end: Point { x: end, y: -drop },
            label: Message::new("hold-looked-for").into(),
        })
    });
    let moment = answer.as_ref().map(|at| Moment {
        time: end,
        label: Message::new("test-answer").with("at", clock(at, ground.now)).into(),
    });
    Some(Figure {
        title: Message::new("test-figure").with("unit", scale.unit).into(),
        description: Message::new("test-figure-says")
            .with("count", readings.len())
            .with("moved", ground.writer.write_uncertain(&moved(found)))
            .into(),
        picture: Picture::Hold(report::HoldTest {
            pressure_axis: Text::verbatim(scale.unit),
            time_axis: Text::verbatim("h"),
            readings,
            expected: None,
            looked_for,
            answer: moment,
        }),
    })
}

/// The plate that stands lowest, of those known.
fn lowest_plate<'a>(ground: &Ground<'a>) -> Option<&'a record::Typed<PressureReading>> {
    let system = &ground.visit.system.value;
    let plates = [&system.low_side_limit, &system.high_side_limit];
    let absolute = |typed: &record::Typed<PressureReading>| typed.value.absolute(ground.visit.air).pascal();
    plates.into_iter().flatten().filter_map(Known::typed).min_by(|a, b| absolute(a).total_cmp(&absolute(b)))
}

fn cautions(ground: &Ground<'_>, running: &[(&Entry, &Hold)]) -> Vec<Caution> {
    let mut out = Vec::new();
    let nitrogen = running.iter().rfind(|(_, hold)| hold.gas == TestGas::Nitrogen);
    let ahead = running.is_empty() && mended_since(ground).is_some();
    let plate = lowest_plate(ground);
    if let Some((_, hold)) = nitrogen {
        let first =
            Message::new("caution-pressure-first").with("pressure", hold.start.pressure.value.text.as_str());
        let over = plate.is_some_and(|plate| {
            hold.start.pressure.get().absolute(ground.visit.air) > plate.value.absolute(ground.visit.air)
        });
        let rest = match plate {
            Some(plate) if over => Message::new("caution-over-plate").with("plate", plate.text.as_str()),
            Some(plate) => Message::new("caution-under-plate").with("plate", plate.text.as_str()),
            None => Message::new("caution-no-plate"),
        };
        out.push(Caution { first: first.into(), rest: Some(rest.into()) });
    } else if ahead {
        out.push(Caution {
            first: Message::new("caution-nitrogen-first").into(),
            rest: Some(Message::new("caution-nitrogen-rest").into()),
        });
        let rest = match plate {
            Some(plate) => Message::new("caution-plate-limit").with("plate", plate.text.as_str()),
            None => Message::new("caution-no-plate"),
        };
        out.push(Caution { first: Message::new("caution-plate-first").into(), rest: Some(rest.into()) });
    }
    out
}

fn offers(ground: &Ground<'_>, running: Option<(&Entry, &Hold)>) -> Vec<Offer> {
    let mut out: Vec<Offer> = super::decide::mend(ground).into_iter().collect();
    if let Some((entry, hold)) = running {
        let next = hold.between.len() + 1;
        let path = |field: &str| format!("between[{next}].{field}");
        let reading = [path("pressure"), path("temperature"), path("at")];
        let mut offer = Offer::new("hold", Message::new("offer-hold-reading"), &[]).onto(entry.id);
        offer.ask = reading.into();
        out.push(offer);
        let end = ["end.pressure", "end.temperature", "end.at"];
        out.push(Offer::new("hold", Message::new("offer-hold-end"), &end).onto(entry.id));
        let missing = [
            (hold.volume.is_none(), "volume", Message::new("offer-volume")),
            (hold.working_pressure.is_none(), "working_pressure", Message::new("offer-working-pressure")),
            (hold.wanted.is_none(), "wanted", Message::new("offer-wanted")),
            (hold.filled_at.is_none(), "filled_at", Message::new("offer-filled-at")),
        ];
        for (is_missing, path, label) in missing {
            if is_missing {
                let mut offer = Offer::new("hold", label, &[path]).onto(entry.id);
                if path == "wanted" {
                    offer.last = loss(ground).map(|text| super::Last { text, at: None });
                }
                out.push(offer);
            }
        }
    } else {
        let start = ["start.pressure", "start.temperature", "section", "filled_at"];
        let with =
            |offer: Offer| match ground.visit.system.value.section_volume.as_ref().and_then(Known::typed) {
                Some(volume) => offer.with("volume", volume.text.as_str()),
                None => offer,
            };
        let nitrogen = Offer::new("hold", Message::new("offer-hold-nitrogen"), &start)
            .with("gas", TestGas::Nitrogen.word())
            .because(Message::new("offer-hold-nitrogen-why"));
        let own = Offer::new("hold", Message::new("offer-hold-own"), &start)
            .with("gas", TestGas::Own.word())
            .because(Message::new("offer-hold-own-why"));
        // Where the circuit was opened nitrogen comes first; else the gas that is in it.
        if mended_since(ground).is_some() {
            out.extend([with(nitrogen), with(own)]);
        } else {
            out.extend([with(own), with(nitrogen)]);
        }
    }
    let check =
        Offer::new("leak check", Message::new("offer-check"), &["place", "method", "result", "pressure"]);
    out.push(check);
    out.push(
        Offer::new("picture", Message::new("offer-gauge-picture"), &[])
            .with("shows", "gauge")
            .with("read", "no"),
    );
    out
}

/// The loss by the refills, as a leak that the test should see.
fn loss(ground: &Ground<'_>) -> Option<String> {
    match &ground.results.account.loss.as_ref()?.leak {
        LossRate::Known { rate, .. } => {
            let kilogram = rate.value().kilogram_per_year();
            (kilogram > 0.0).then(|| format!("{} kg/yr", units::Writer::metric().number(kilogram, 1)))
        }
        LossRate::AtLeast(_) | LossRate::Unknown => None,
    }
}

/// Whether something was mended, so that the circuit was open.
fn opened(ground: &Ground<'_>) -> bool {
    ground.visit.current.entries.iter().any(|entry| matches!(entry.what(), Body::Repair(_)))
}

/// The order of the two branches, by what is known of the charge.
fn order(ground: &Ground<'_>) -> Block {
    let items: Vec<Text> = if opened(ground) {
        vec![Message::new("test-order-nitrogen").into(), Message::new("test-order-after").into()]
    } else {
        vec![
            Message::new("test-order-own").into(),
            Message::new("test-order-sniff").into(),
            Message::new("test-order-out").into(),
        ]
    };
    Block::List(report::List { ordered: true, items })
}

fn sharpen(ground: &Ground<'_>, running: Option<&Hold>) -> Vec<Message> {
    let last = running.or_else(|| ground.results.holds.last().map(|result| result.recorded));
    let mut out = Vec::new();
    if let Some(hold) = last {
        if hold.volume.is_none() && hold.zone.is_empty() {
            out.push(Message::new("sharpen-volume"));
        }
        if hold.working_pressure.is_none() {
            out.push(Message::new("sharpen-working-pressure"));
        }
        if hold.filled_at.is_none() {
            out.push(Message::new("sharpen-filled"));
        }
    }
    if lowest_plate(ground).is_none() {
        out.push(Message::new("sharpen-plate"));
    }
    out
}
