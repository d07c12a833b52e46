//! What to carry and what to weigh before going up, from what the visit needs next.

use crate::place::{self, PlaceKind};
use crate::stage::Offer;
use crate::visit::Visit;
use record::{Body, CheckResult, CylinderUse, Direction, Known, Measures, PartSource, UnitKind};
use report::{Caution, Message, Text};
use std::collections::BTreeSet;

/// Something to carry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carry {
    /// What.
    pub what: Text,
    /// What for.
    pub why: Option<Message>,
}

/// What to carry and weigh, and what to mind on the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GoingUp {
    /// What to carry.
    pub carry: Vec<Carry>,
    /// The cylinders to weigh first, each with the entry it makes.
    pub weigh: Vec<Offer>,
    /// Cautions that the way makes true.
    pub cautions: Vec<Caution>,
}

/// How far the work on the circuit has come.
struct Stand {
    hit: bool,
    repaired: bool,
    held: bool,
    evacuated: bool,
    charged: bool,
}

fn stand(visit: &Visit) -> Stand {
    let mut out = Stand { hit: false, repaired: false, held: false, evacuated: false, charged: false };
    for entry in &visit.current.entries {
        match entry.what() {
            Body::LeakCheck(check) if check.result == CheckResult::Hit => {
                out = Stand { hit: true, repaired: false, held: false, evacuated: false, charged: false };
            }
            // An opened circuit is to be tested, evacuated and charged anew.
            Body::Repair(_) => {
                out = Stand { hit: out.hit, repaired: true, held: false, evacuated: false, charged: false };
            }
            Body::Hold(_) => out.held = true,
            Body::Rise(_) | Body::Evacuation(_) => out.evacuated = true,
            Body::Weighing(weighing) if weighing.direction == Direction::Charged => out.charged = true,
            _ => {}
        }
    }
    out
}

/// Returns what to carry and weigh before going to the place named `to`.
#[must_use]
pub fn going_up(visit: &Visit, to: &str) -> GoingUp {
    let mut out = GoingUp::default();
    let stand = stand(visit);
    let kind = match place::kind(to) {
        PlaceKind::Unit
            if visit.system.value.unit.as_ref().and_then(Known::value) == Some(&UnitKind::RemoteRoof) =>
        {
            PlaceKind::Roof
        }
        kind => kind,
    };
    if kind == PlaceKind::Van {
        return out;
    }
    let instruments = instruments(visit);
    let has = |measures: Measures| instruments.iter().any(|(_, of)| *of == measures);
    let mut carry = |what: Text, why: Option<Message>| out.carry.push(Carry { what, why });
    for (name, _) in instruments.iter().filter(|(_, of)| of_use(*of, &stand, kind)) {
        carry(Text::verbatim(name.as_str()), Some(Message::new("carry-used-last")));
    }
    for (measures, what) in [
        (Measures::Pressure, Message::new("carry-gauges")),
        (Measures::Temperature, Message::new("carry-clamp")),
        (Measures::Leak, Message::new("carry-detector")),
        (Measures::Vacuum, Message::new("carry-vacuum-gauge")),
        (Measures::Mass, Message::new("carry-scale")),
    ] {
        if !has(measures) && of_use(measures, &stand, kind) {
            carry(what.into(), None);
        }
    }
    if stand.repaired && !stand.held {
        carry(Message::new("carry-nitrogen").into(), Some(Message::new("carry-why-test")));
    }
    if stand.repaired && stand.held && !stand.evacuated {
        carry(Message::new("carry-pump").into(), Some(Message::new("carry-why-evacuate")));
    }
    if stand.hit && !stand.repaired {
        for (_, part) in visit.entries(|body| match body {
            Body::Part(part) if part.source == Some(PartSource::Stock) => Some(part),
            _ => None,
        }) {
            carry(Text::verbatim(part.function.as_str()), Some(Message::new("carry-why-part")));
        }
    }
    if kind != PlaceKind::Box {
        out.weigh = weigh(visit, &stand);
    }
    out.cautions = cautions(visit, kind);
    out
}

/// Whether an instrument is of use where the work stands.
fn of_use(measures: Measures, stand: &Stand, kind: PlaceKind) -> bool {
    match measures {
        Measures::Pressure | Measures::Temperature => true,
        Measures::Leak => !stand.hit || stand.repaired,
        Measures::Vacuum => stand.repaired && stand.held && !stand.evacuated,
        Measures::Mass => kind != PlaceKind::Box && (stand.hit || stand.repaired) && !stand.charged,
        Measures::Current | Measures::Other => false,
    }
}

/// The instruments that entries used, else those of the record, each once.
fn instruments(visit: &Visit) -> Vec<(String, Measures)> {
    let listed: Vec<(String, Measures)> = visit
        .entries(|body| match body {
            Body::Instrument(instrument) => Some(&**instrument),
            _ => None,
        })
        .map(|(_, instrument)| (instrument.id.clone(), instrument.measures))
        .collect();
    let used: BTreeSet<&str> =
        visit.current.entries.iter().flat_map(|entry| entry.seen.with.iter().map(String::as_str)).collect();
    let mut seen: BTreeSet<String> = BTreeSet::new();
    // Of instruments of one kind those named by entries come first.
    let (mut first, then): (Vec<_>, Vec<_>) =
        listed.into_iter().partition(|(name, _)| used.contains(name.as_str()));
    first.extend(then);
    first.retain(|(name, _)| seen.insert(name.clone()));
    first
}

/// The cylinders that will be needed and whose weight before is not standing open already.
fn weigh(visit: &Visit, stand: &Stand) -> Vec<Offer> {
    let wanted = if stand.hit && !stand.repaired {
        CylinderUse::Recovery
    } else if stand.repaired && stand.held && !stand.charged {
        CylinderUse::Supply
    } else {
        return Vec::new();
    };
    let direction = if wanted == CylinderUse::Supply { Direction::Charged } else { Direction::Recovered };
    let begun: BTreeSet<&str> = visit
        .entries(|body| match body {
            Body::Weighing(weighing) if weighing.after.is_none() => Some(&**weighing),
            _ => None,
        })
        .map(|(_, weighing)| weighing.cylinder.as_str())
        .collect();
    visit
        .cylinders
        .values()
        .filter(|cylinder| cylinder.used_for == Some(wanted) && !begun.contains(cylinder.id.as_str()))
        .map(|cylinder| {
            Offer::new(
                "weighing",
                Message::new("offer-weigh-cylinder").with("cylinder", cylinder.id.as_str()),
                &["before"],
            )
            .with("cylinder", cylinder.id.as_str())
            .with("direction", direction.word())
            .because(Message::new("offer-weigh-before-why"))
        })
        .collect()
}

fn cautions(visit: &Visit, kind: PlaceKind) -> Vec<Caution> {
    let caution = |first: Message, rest: Message| Caution { first: first.into(), rest: Some(rest.into()) };
    let mut out = Vec::new();
    if kind == PlaceKind::Roof {
        out.push(caution(Message::new("caution-roof-first"), Message::new("caution-roof-rest")));
    }
    if kind == PlaceKind::Box && place::is_walked_into(visit) {
        out.push(caution(Message::new("caution-walk-in-first"), Message::new("caution-walk-in-rest")));
    }
    if crate::visit::document::is_flammable(visit) {
        out.push(caution(Message::new("caution-flammable-first"), Message::new("caution-flammable-rest")));
    }
    out
}
