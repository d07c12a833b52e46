//! The one sentence that matters now, and why.

use super::Results;
use crate::show::hold;
use crate::visit::readings::Place;
use field::annual_loss::{LossRate, Trend};
use field::hold::Verdict;
use record::{Body, CheckResult};
use report::{Message, Now, Text};
use units::Writer;

pub fn now(results: &Results<'_>, writer: &Writer) -> Now {
    let mut now = sentence(results, writer);
    if now.numbers.is_empty()
        && let Some(loss) = results.account.loss.as_ref()
        && let LossRate::Known { rate, .. } = &loss.leak
        && now.why.is_none()
    {
        now.why = Some(Message::new("now-why-loss").with("rate", writer.write_uncertain(rate)).into());
    }
    now
}

fn sentence(results: &Results<'_>, writer: &Writer) -> Now {
    let visit = results.visit;
    if !visit.current.disagreements.is_empty() {
        return Now::new(Message::new("now-disagreement"));
    }
    if let Some(refused) = &visit.refused {
        return Now::new(refused.message.clone());
    }
    let repair = visit
        .entries(|body| match body {
            Body::Repair(repair) => Some(&**repair),
            _ => None,
        })
        .last();
    let last_hold = results.holds.iter().rev().find_map(|result| result.found.as_ref().ok());
    if let Some(found) = last_hold
        && matches!(found.verdict, Verdict::Leaking)
    {
        let mut now = Now::new(Message::new("now-leaking").with("drop", writer.write_uncertain(&found.drop)));
        now.why = Some(Message::new("hold-leaking-advice").into());
        return now;
    }
    if let Some((entry, repair)) = repair {
        let place: Text =
            entry.seen.place.clone().map_or_else(|| Text::verbatim(repair.what.as_str()), Text::verbatim);
        return match last_hold {
            Some(found) => after_repair(found, place, writer),
            None => {
                let mut now = Now::new(Message::new("now-mended-untested").with("place", place));
                now.why = Some(Message::new("now-why-untested").into());
                now
            }
        };
    }
    let hit = visit
        .entries(|body| match body {
            Body::LeakCheck(check) if check.result == CheckResult::Hit => Some(&**check),
            _ => None,
        })
        .last();
    if let Some((entry, _)) = hit {
        let place = entry.seen.place.clone().unwrap_or_default();
        return Now::new(Message::new("now-found").with("place", place));
    }
    if crate::search::lacks_winter(visit, &results.account) {
        let mut now = Now::new(Message::new("charge-winter-missing"));
        now.why = Some(Message::new("charge-winter-look").into());
        return now;
    }
    if let Some(loss) = &results.account.loss {
        if let LossRate::Known { rate, .. } = &loss.leak {
            let message = match loss.trend {
                Trend::Faster => Message::new("now-losing-faster"),
                Trend::Slower | Trend::NotResolved => Message::new("now-losing"),
            };
            let mut now = Now::new(message.with("rate", writer.write_uncertain(rate)));
            now.why = Some(Message::new("now-why-top-up").into());
            return now;
        }
        if let LossRate::AtLeast(least) = &loss.leak {
            return Now::new(Message::new("now-losing-least").with("least", writer.write(*least)));
        }
    }
    if let Some(habit) = &results.account.habit {
        let mut now = Now::new(Message::new("now-habit").with("interval", habit.text()));
        now.why = superheat(results, writer).map(Text::from);
        return now;
    }
    match superheat(results, writer) {
        Some(message) => Now::new(message),
        None if results.readings.is_empty() => Now::new(Message::new("now-nothing")),
        None => Now::new(Message::new("now-readings")),
    }
}

fn after_repair(found: &field::hold::Hold, place: Text, writer: &Writer) -> Now {
    let smallest = hold::smallest(found).map(|leak| writer.write(leak.value()));
    let (message, why) = match (&found.verdict, smallest) {
        (Verdict::TightWithinLimit, Some(smallest)) => (
            Message::new("now-mended-tight").with("place", place),
            Message::new("now-why-smallest").with("smallest", smallest),
        ),
        (Verdict::NotResolved(_), Some(smallest)) => (
            Message::new("now-mended-open").with("place", place),
            Message::new("now-why-smallest").with("smallest", smallest),
        ),
        (Verdict::Void(_), _) => {
            (Message::new("now-mended-void").with("place", place), Message::new("now-why-void"))
        }
        _ => (Message::new("now-mended-open").with("place", place), Message::new("hold-no-rate")),
    };
    let mut now = Now::new(message);
    now.why = Some(why.into());
    now
}

fn superheat(results: &Results<'_>, writer: &Writer) -> Option<Message> {
    let (place, found) = results.readings.iter().rev().find_map(|result| result.working_superheat())?;
    let written = writer.write_uncertain(&found.superheat);
    Some(match place {
        Place::Evaporator | Place::EvaporatorByCompressor => {
            Message::new("now-superheat-valve").with("superheat", written)
        }
        Place::Compressor | Place::Discharge => {
            Message::new("now-superheat-compressor").with("superheat", written)
        }
    })
}
