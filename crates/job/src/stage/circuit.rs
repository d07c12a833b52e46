//! The circuit of a system in blocks, laid out as a ring, with what was looked at.

use crate::place;
use crate::visit::Visit;
use record::{Body, CheckResult, Expansion, Known, LeakCheck, Method, UnitKind};
use report::Message;

/// A part of the circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The compressor.
    Compressor,
    /// The condenser.
    Condenser,
    /// The receiver.
    Receiver,
    /// The filter drier and the sight glass in the liquid line.
    Drier,
    /// The solenoid valve in the liquid line.
    Solenoid,
    /// The expansion device.
    Valve,
    /// The coil.
    Coil,
    /// The suction line.
    Suction,
    /// Pressure controls, their small lines, gauge ports and caps.
    Controls,
}

impl Part {
    /// Returns the key of the part in data.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Part::Compressor => "compressor",
            Part::Condenser => "condenser",
            Part::Receiver => "receiver",
            Part::Drier => "drier",
            Part::Solenoid => "solenoid",
            Part::Valve => "valve",
            Part::Coil => "coil",
            Part::Suction => "suction",
            Part::Controls => "controls",
        }
    }

    /// Returns the words that an entry carries as the place of a check of this part; they read as the part again.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Part::Compressor => "compressor",
            Part::Condenser => "condenser",
            Part::Receiver => "receiver",
            Part::Drier => "filter drier",
            Part::Solenoid => "solenoid valve",
            Part::Valve => "expansion valve",
            Part::Coil => "coil",
            Part::Suction => "suction line",
            Part::Controls => "pressure controls",
        }
    }

    pub(super) fn label(self, expansion: Option<Expansion>) -> Message {
        match self {
            Part::Compressor => Message::new("part-compressor"),
            Part::Condenser => Message::new("part-condenser"),
            Part::Receiver => Message::new("part-receiver"),
            Part::Drier => Message::new("part-drier"),
            Part::Solenoid => Message::new("part-solenoid"),
            Part::Valve => match expansion {
                Some(Expansion::Capillary) => Message::new("part-capillary"),
                _ => Message::new("part-valve"),
            },
            Part::Coil => Message::new("part-coil"),
            Part::Suction => Message::new("part-suction"),
            Part::Controls => Message::new("part-controls"),
        }
    }
}

/// Words by which a place names a part of the circuit, the more particular first; English and French.
const WORDS: [(Part, &[&str]); 9] = [
    (Part::Solenoid, &["solenoid", "électrovanne", "electrovanne", "solénoïde"]),
    (
        Part::Valve,
        &["expansion", "txv", "tev", "eev", "capillary", "orifice", "distributor", "détendeur", "capillaire"],
    ),
    (
        Part::Controls,
        &[
            "control",
            "pressostat",
            "gauge port",
            "schrader",
            "access valve",
            "cap tube",
            "capsule",
            "service port",
        ],
    ),
    (Part::Drier, &["drier", "filter", "sight glass", "glass", "déshydrateur", "filtre", "voyant"]),
    (Part::Receiver, &["receiver", "réservoir", "bouteille"]),
    (Part::Condenser, &["condenser", "condenseur"]),
    (Part::Coil, &["coil", "evaporator", "évaporateur", "header", "return bend"]),
    (Part::Compressor, &["compressor", "compresseur", "discharge", "refoulement", "oil separator"]),
    (Part::Suction, &["suction", "accumulator", "aspiration"]),
];

/// Returns the part that a place in words names, if it names one.
///
/// "Condensing unit" and "liquid line" name no single part.
#[must_use]
pub fn part_of(place: &str) -> Option<Part> {
    let place = place.to_lowercase();
    WORDS.iter().find(|(_, words)| words.iter().any(|word| place.contains(word))).map(|(part, _)| *part)
}

/// What was seen of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Looked {
    /// Nobody looked, or the check was not done.
    Not,
    /// Looked at, and clean.
    Clean,
    /// A leak was indicated there.
    Hit,
    /// A leak was indicated and mended; not looked at since.
    Mended,
    /// Mended, and clean since.
    MendedClean,
}

impl Looked {
    /// Returns the state in a word or two.
    #[must_use]
    pub const fn word(self) -> Message {
        match self {
            Looked::Not => Message::new("looked-not"),
            Looked::Clean => Message::new("looked-clean"),
            Looked::Hit => Message::new("looked-hit"),
            Looked::Mended => Message::new("looked-mended"),
            Looked::MendedClean => Message::new("looked-mended-clean"),
        }
    }
}

/// A block of the ring.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// The part.
    pub part: Part,
    /// Its name.
    pub label: Message,
    /// Its place in the ring of three by three: row and column from the top left.
    pub at: (u8, u8),
    /// Whether it lies inside the cold place.
    pub inside: bool,
    /// What was seen of it.
    pub state: Looked,
    /// How it was looked at, each way once.
    pub looked_by: Vec<Method>,
}

/// The circuit as a ring of blocks.
#[derive(Clone, Debug, PartialEq)]
pub struct Circuit {
    /// The blocks in the order of flow; what hangs on the circuit but is not in the flow comes last.
    pub blocks: Vec<Block>,
    /// The flow: from one block to the next, by their places in `blocks`.
    pub flow: Vec<(usize, usize)>,
    /// What hangs on the circuit: the block and the one it hangs on.
    pub hangs: Vec<(usize, usize)>,
    /// The name of the cold place, where one is known.
    pub room: Option<String>,
}

/// Returns the circuit of the system described, with what was looked at on this visit.
///
/// The template goes by the expansion device, the unit and the receiver; where nothing is known of them it is that of a
/// walk-in box with a remote unit. A block of three by three each: outside at the top, inside at the bottom.
#[must_use]
pub fn circuit(visit: &Visit) -> Circuit {
    let system = &visit.system.value;
    let expansion = system.expansion.as_ref().and_then(Known::value).copied();
    let unit = system.unit.as_ref().and_then(Known::value);
    let fixed = matches!(expansion, Some(Expansion::Capillary | Expansion::Orifice));
    let contained = unit == Some(&UnitKind::SelfContained);
    // A fixed restriction meters by a critical charge: such a system has no receiver, and seldom a solenoid valve.
    let receiver = system.receiver_volume.is_some() || !(fixed || contained);
    let solenoid = !fixed && (!contained || system.pump_down.is_some());
    let mut ring: Vec<(Part, (u8, u8))> = vec![(Part::Compressor, (0, 0)), (Part::Condenser, (0, 1))];
    if receiver {
        ring.push((Part::Receiver, (0, 2)));
        ring.push((Part::Drier, (1, 2)));
    } else {
        ring.push((Part::Drier, (0, 2)));
    }
    if solenoid {
        ring.push((Part::Solenoid, if receiver { (2, 2) } else { (1, 2) }));
    }
    ring.push((Part::Valve, if solenoid && receiver { (2, 1) } else { (2, 2) }));
    ring.push((Part::Coil, if solenoid && receiver { (2, 0) } else { (2, 1) }));
    ring.push((Part::Suction, (1, 0)));
    let in_flow = ring.len();
    ring.push((Part::Controls, (1, 1)));
    let blocks: Vec<Block> = ring
        .into_iter()
        .map(|(part, at)| {
            let (state, looked_by) = looked(visit, part);
            Block { part, label: part.label(expansion), at, inside: at.0 == 2, state, looked_by }
        })
        .collect();
    let flow = (0..in_flow).map(|index| (index, (index + 1) % in_flow)).collect();
    Circuit { blocks, flow, hangs: vec![(in_flow, 1)], room: system.name.clone() }
}

/// What the checks of a visit say of a part, in their order.
fn looked(visit: &Visit, part: Part) -> (Looked, Vec<Method>) {
    let mut state = Looked::Not;
    let mut by: Vec<Method> = Vec::new();
    for entry in &visit.current.entries {
        let spot = entry.seen.place.as_deref().unwrap_or_default();
        match entry.what() {
            Body::LeakCheck(check) if covers(visit, spot, check, part) => {
                if check.result != CheckResult::NotDone && !by.contains(&check.method) {
                    by.push(check.method);
                }
                state = match (state, check.result) {
                    (state, CheckResult::NotDone) => state,
                    (_, CheckResult::Hit) => Looked::Hit,
                    (Looked::Mended | Looked::MendedClean, CheckResult::Clean) => Looked::MendedClean,
                    // A clean check does not take back a hit.
                    (Looked::Hit, CheckResult::Clean) => Looked::Hit,
                    (_, CheckResult::Clean) => Looked::Clean,
                };
            }
            Body::Repair(repair) => {
                let place = entry.seen.place.as_deref().unwrap_or(repair.what.as_str());
                if part_of(place) == Some(part) {
                    state = Looked::Mended;
                }
            }
            _ => {}
        }
    }
    (state, by)
}

/// Whether a check covers a part: it names the part, or is a clean sweep of a region that holds it.
fn covers(visit: &Visit, spot: &str, check: &LeakCheck, part: Part) -> bool {
    if let Some(named) = part_of(spot) {
        return named == part;
    }
    // A hit belongs to one place; only a clean sweep speaks for a region.
    if check.result != CheckResult::Clean || check.except.iter().any(|except| part_of(except) == Some(part)) {
        return false;
    }
    let contained = visit.system.value.unit.as_ref().and_then(Known::value) == Some(&UnitKind::SelfContained);
    let outside =
        matches!(part, Part::Compressor | Part::Condenser | Part::Receiver | Part::Controls) || contained;
    let inside = matches!(part, Part::Coil | Part::Valve | Part::Solenoid) || contained;
    match place::kind(spot) {
        place::PlaceKind::Unit | place::PlaceKind::Roof => outside,
        place::PlaceKind::Box => inside,
        place::PlaceKind::Van | place::PlaceKind::Other => false,
    }
}
