//! What is planned and watched on the circuit: a section about to be opened, refrigerant drawn out, a vacuum pulled.
//!
//! Each is an entry that grows: what is not known of it yet is missing, what is known is computed, and the pressures watched
//! follow it live.

use super::Visit;
use crate::Refused;
use crate::ask::evacuation::{EvacuationAnswer, EvacuationAsked, evacuation};
use crate::ask::opening::{OpeningAnswer, OpeningAsked, opening};
use crate::ask::recovery::{RecoveryAnswer, RecoveryAsked, recovery};
use crate::ask::{Answer, air_sentence, substance_rows};
use field::evacuation::{Course, Pump, course};
use field::opening::{AirIn, Section, air_in};
use record::{Body, CylinderUse, Entry, Known, Measured, RisePoint, Typed, YesNo};
use report::{Block, Caution, Message};
use units::{
    AbsolutePressure, Atmosphere, Duration, Fraction, Length, Mass, PressureDifference, PressureReading,
    Temperature, Volume, Writer,
};

/// An entry that plans something, with what it shows.
pub struct Planned<'a, R, A> {
    /// The entry.
    pub entry: &'a Entry,
    /// What it recorded.
    pub recorded: &'a R,
    /// The fields without which nothing is computed, that nobody has given.
    pub missing: Vec<&'static str>,
    /// The answer, where nothing is missing.
    pub answer: Option<Result<A, Refused>>,
}

/// A section about to be opened.
pub type Opening<'a> = Planned<'a, record::OpeningPlan, OpeningAnswer>;
/// Refrigerant drawn out.
pub type Drawn<'a> = Planned<'a, record::Recovery, RecoveryAnswer>;
/// A vacuum pulled.
pub type Pulled<'a> = Planned<'a, record::Evacuation, EvacuationAnswer>;

impl<R, A: Answer> Planned<'_, R, A> {
    /// Returns the sentence of the answer, and why.
    #[must_use]
    pub fn sentence(&self, writer: &Writer) -> Option<report::Now> {
        match self.answer.as_ref()? {
            Ok(answer) => answer.document(writer).now,
            Err(refused) => Some(report::Now::new(refused.message.clone())),
        }
    }

    /// Returns what stands behind the sentence; the cautions, which come before the step, are apart.
    #[must_use]
    pub fn blocks(&self, writer: &Writer) -> (Vec<Caution>, Vec<Block>) {
        let Some(Ok(answer)) = &self.answer else { return (Vec::new(), Vec::new()) };
        let (mut cautions, mut rest) = (Vec::new(), Vec::new());
        for block in answer.document(writer).sections.into_iter().flat_map(|section| section.blocks) {
            match block {
                Block::Caution(caution) => cautions.push(caution),
                other => rest.push(other),
            }
        }
        (cautions, rest)
    }

    /// Puts name, sentence and numbers into a report; nothing where nothing is computed. What the report's own methods say
    /// of the air and the refrigerant is not said again.
    fn told(
        &self,
        name: Message,
        sentence: Option<Message>,
        visit: &Visit,
        writer: &Writer,
        out: &mut Vec<Block>,
    ) {
        let Some(now) = self.sentence(writer) else { return };
        out.push(Block::Paragraph(name.into()));
        out.extend(sentence.map(|sentence| Block::Paragraph(sentence.into())));
        out.push(Block::Paragraph(now.sentence));
        let mut said = vec![Block::Paragraph(air_sentence(visit.air, writer).into())];
        said.extend(visit.substance.iter().flat_map(|s| substance_rows(s, writer)));
        out.extend(self.blocks(writer).1.into_iter().filter(|block| !said.contains(block)));
    }
}

/// Where one end of what is known is the safe one.
#[derive(Clone, Copy)]
enum End {
    Low,
    High,
}

fn end_of<Q: Copy>(known: Option<&Known<Q>>, end: End) -> Option<Q> {
    let (low, high) = known?.bounds()?;
    Some(match end {
        End::Low => *low,
        End::High => *high,
    })
}

fn volume(visit: &Visit, own: Option<&Known<Volume>>, end: End) -> Option<Volume> {
    end_of(own, end).or_else(|| end_of(visit.system.value.section_volume.as_ref(), end))
}

fn walls(own: Option<&Measured<Temperature>>) -> Option<Temperature> {
    own.map(Measured::get)
}

fn typed<Q: Copy>(typed: Option<&Typed<Q>>) -> Option<(Q, &str)> {
    typed.map(|typed| (typed.value, typed.text.as_str()))
}

/// The last pressure watched.
fn last(points: &[RisePoint]) -> Option<(PressureReading, &str)> {
    points.last().map(|point| (point.pressure.value, point.pressure.text.as_str()))
}

/// By how much a watched pressure rose from its first reading to its last, and in what time; nothing where it did not.
fn rise(points: &[RisePoint], air: Atmosphere) -> Option<(PressureDifference, Duration, &str)> {
    let (first, last) = (points.first()?, points.last()?);
    let rise = last.pressure.value.absolute(air).pascal() - first.pressure.value.absolute(air).pascal();
    let over = last.time.value.second() - first.time.value.second();
    (rise > 0.0 && over > 0.0).then(|| {
        (PressureDifference::from_pascal(rise), Duration::from_second(over), last.pressure.text.as_str())
    })
}

/// Returns every section about to be opened.
#[must_use]
pub fn openings(visit: &Visit) -> Vec<Opening<'_>> {
    let entries = visit.entries(|body| match body {
        Body::OpeningPlan(plan) => Some(&**plan),
        _ => None,
    });
    entries.map(|(entry, recorded)| opening_of(visit, entry, recorded)).collect()
}

fn opening_of<'a>(visit: &Visit, entry: &'a Entry, recorded: &'a record::OpeningPlan) -> Opening<'a> {
    // The smaller section is empty sooner: of a range its low end counts.
    let volume = volume(visit, recorded.volume.as_ref(), End::Low);
    let walls = walls(recorded.walls.as_ref());
    let mut missing = Vec::new();
    missing.extend(volume.is_none().then_some("volume"));
    missing.extend(walls.is_none().then_some("walls"));
    missing.extend(recorded.bore.is_none().then_some("bore"));
    missing.extend(recorded.open_for.is_none().then_some("open_for"));
    let answer = match (
        &visit.substance,
        volume,
        walls,
        typed(recorded.bore.as_ref()),
        typed(recorded.open_for.as_ref()),
    ) {
        (Some(substance), Some(volume), Some(walls), Some(bore), Some(open_for)) => {
            Some(opening(&OpeningAsked {
                substance: substance.clone(),
                volume: (volume, ""),
                temperature: (walls, ""),
                bore,
                open_for,
                pressure: last(&recorded.points),
                rise: rise(&recorded.points, visit.air),
                residue: end_of(recorded.residue.as_ref(), End::Low),
                air: visit.air,
            }))
        }
        _ => None,
    };
    Planned { entry, recorded, missing, answer }
}

/// Returns every drawing out of refrigerant.
#[must_use]
pub fn drawn(visit: &Visit) -> Vec<Drawn<'_>> {
    let entries = visit.entries(|body| match body {
        Body::Recovery(recovery) => Some(&**recovery),
        _ => None,
    });
    entries.map(|(entry, recorded)| drawn_of(visit, entry, recorded)).collect()
}

fn drawn_of<'a>(visit: &Visit, entry: &'a Entry, recorded: &'a record::Recovery) -> Drawn<'a> {
    // The larger section takes longer, and more room in the cylinders.
    let volume = volume(visit, recorded.volume.as_ref(), End::High);
    let walls = walls(recorded.walls.as_ref());
    let mut missing = Vec::new();
    missing.extend(volume.is_none().then_some("volume"));
    missing.extend(walls.is_none().then_some("walls"));
    missing.extend(recorded.machine.is_none().then_some("machine"));
    let answer = match (&visit.substance, volume, walls, typed(recorded.machine.as_ref())) {
        (Some(substance), Some(volume), Some(walls), Some(machine)) => Some(recovery(&RecoveryAsked {
            substance: substance.clone(),
            volume: (volume, ""),
            temperature: (walls, ""),
            pressure: last(&recorded.points),
            end: typed(recorded.down_to.as_ref()),
            machine,
            liquid: end_of(recorded.liquid.as_ref(), End::High).filter(|mass| mass.kilogram() > 0.0),
            warmed: recorded.warmed == Some(YesNo::Yes),
            charge: visit.system.value.charge.as_ref().and_then(Known::value).copied(),
            cylinders: ready(visit),
            air: visit.air,
        })),
        _ => None,
    };
    Planned { entry, recorded, missing, answer }
}

/// The recovery cylinders of the visit that were weighed, with what they may still take.
fn ready(visit: &Visit) -> Vec<crate::ask::recovery::ReadyCylinder> {
    let limits = super::charge::charge(visit).cylinders;
    let ledger = super::account::account(visit).ledger;
    limits
        .iter()
        .filter_map(|(name, limit)| {
            let cylinder = visit.cylinders.get(name)?;
            let weighed = ledger.cylinders.iter().find(|one| one.cylinder == *name)?;
            (cylinder.used_for == Some(CylinderUse::Recovery)).then(|| crate::ask::recovery::ReadyCylinder {
                name: name.clone(),
                holds: cylinder.refrigerant.as_ref().and_then(Known::value).cloned(),
                room: field::cylinder::room_left(limit, weighed.last_gross.value()),
            })
        })
        .collect()
}

/// Returns how fast the machine really draws, as a share of what it would take in by its plate, from the last two pressures
/// watched; nothing where they cannot tell.
///
/// Above the end of the liquid a pressure falls as V dp/dt = -S p for a gas that keeps its temperature; liquid that boils
/// and hoses that throttle make it slower.
#[must_use]
pub fn drawn_share(visit: &Visit, drawn: &Drawn<'_>) -> Option<Fraction> {
    let [.., before, now] = drawn.recorded.points.as_slice() else { return None };
    let (p, q) =
        (before.pressure.value.absolute(visit.air).pascal(), now.pressure.value.absolute(visit.air).pascal());
    let took = now.time.value.second() - before.time.value.second();
    let volume = volume(visit, drawn.recorded.volume.as_ref(), End::High)?.cubic_metre();
    let machine = drawn.recorded.machine.as_ref()?.value.cubic_metre_per_second();
    (p > q && q > 0.0 && took > 0.0 && machine > 0.0)
        .then(|| Fraction::from_ratio(volume * units::math::ln(p / q) / took / machine))
}

/// Returns every vacuum pulled.
#[must_use]
pub fn pulled(visit: &Visit) -> Vec<Pulled<'_>> {
    let entries = visit.entries(|body| match body {
        Body::Evacuation(evacuation) => Some(&**evacuation),
        _ => None,
    });
    entries.map(|(entry, recorded)| pulled_of(visit, entry, recorded)).collect()
}

/// What a pull is taken to be where nobody says: to 500 micron, at 20 °C around (common practice, no source).
const TARGET: AbsolutePressure = AbsolutePressure::from_pascal(500.0 * units::PASCAL_PER_MICRON);
const AROUND: Temperature = Temperature::from_celsius(20.0);

fn pulled_of<'a>(visit: &Visit, entry: &'a Entry, recorded: &'a record::Evacuation) -> Pulled<'a> {
    let volume = volume(visit, recorded.volume.as_ref(), End::High);
    let mut missing = Vec::new();
    missing.extend(volume.is_none().then_some("volume"));
    missing.extend(recorded.pump.is_none().then_some("pump"));
    missing.extend(recorded.hose.is_none().then_some("hose"));
    missing.extend(recorded.hose_length.is_none().then_some("hose_length"));
    let hose: Option<(Length, Length, &str)> = recorded
        .hose
        .as_ref()
        .zip(recorded.hose_length.as_ref())
        .map(|(bore, length)| (bore.value, length.value, bore.text.as_str()));
    let answer = match (volume, typed(recorded.pump.as_ref()), hose) {
        (Some(volume), Some(pump), Some(hose)) => {
            let wall = recorded.coldest.as_ref().map(|wall| (wall.get(), wall.value.text.as_str()));
            let water: Option<Mass> =
                end_of(recorded.water.as_ref(), End::High).filter(|mass| mass.kilogram() > 0.0);
            Some(evacuation(&EvacuationAsked {
                volume: (volume, ""),
                pump,
                ultimate: recorded.ultimate.as_ref().map(|p| p.value.absolute(visit.air)),
                hose,
                hoses: recorded.hoses.unwrap_or(1),
                cores_in: recorded.cores_in == Some(YesNo::Yes),
                target: target(visit, recorded),
                temperature: AROUND,
                water: water.zip(wall).map(|(mass, (wall, given))| (mass, wall, given)),
            }))
        }
        _ => None,
    };
    Planned { entry, recorded, missing, answer }
}

fn target<'a>(visit: &Visit, recorded: &'a record::Evacuation) -> (AbsolutePressure, &'a str) {
    match &recorded.target {
        Some(target) => (target.value.absolute(visit.air), target.text.as_str()),
        None => (TARGET, ""),
    }
}

/// How a pull goes by its last readings.
pub struct Gone {
    /// How.
    pub course: Course,
    /// The last pressure.
    pub pressure: AbsolutePressure,
    /// The pressure wanted.
    pub target: AbsolutePressure,
}

/// Returns how a pull goes by its last two readings beside pump and hoses; nothing where they cannot tell.
#[must_use]
pub fn gone(visit: &Visit, pulled: &Pulled<'_>) -> Option<Gone> {
    let answer = pulled.answer.as_ref()?.as_ref().ok()?;
    let recorded = pulled.recorded;
    let points: Vec<(Duration, AbsolutePressure)> = recorded
        .points
        .iter()
        .map(|point| (point.time.value, point.pressure.value.absolute(visit.air)))
        .collect();
    let pump = Pump {
        cubic_metre_per_second: recorded.pump.as_ref()?.value.cubic_metre_per_second(),
        ultimate: recorded
            .ultimate
            .as_ref()
            .map_or(AbsolutePressure::from_pascal(0.0), |p| p.value.absolute(visit.air)),
    };
    let (target, _) = target(visit, recorded);
    let volume = volume(visit, recorded.volume.as_ref(), End::High)?;
    let wall = recorded.coldest.as_ref().map(Measured::get);
    let course = course(volume, pump, &answer.way(), &points, target, AROUND, wall).ok()??;
    Some(Gone { course, pressure: points.last()?.1, target })
}

/// What an opening did, by the repair that followed its plan.
pub enum Opened {
    /// It stayed above the air the whole time; at most so much was lost.
    StayedAbove {
        /// Lost at most.
        lost: Mass,
    },
    /// It may have come down to the air's pressure before it was shut again.
    ReachedTheAir {
        /// After so long at the earliest.
        after: Duration,
        /// Lost at most.
        lost: Mass,
    },
    /// It stood below the air when it was opened.
    Below {
        /// What came in at least.
        air_in: AirIn,
    },
}

/// The air taken for what comes in where nobody measured it: 20 °C at half its moisture (judgement).
const HUMIDITY: Fraction = Fraction::from_ratio(0.5);

/// Returns what opening did, by each repair that says at which pressure the circuit was opened, and the plan before it.
#[must_use]
pub fn opened(visit: &Visit) -> Vec<(&Entry, Opened)> {
    let mut plan: Option<&record::OpeningPlan> = None;
    let mut out = Vec::new();
    for entry in &visit.current.entries {
        match entry.what() {
            Body::OpeningPlan(recorded) => plan = Some(recorded),
            Body::Repair(repair) => {
                if let (Some(plan), Some(before)) = (plan, &repair.pressure_before_opening)
                    && let Some(opened) = opened_at(visit, plan, before.get(), repair.open_for.as_ref())
                {
                    out.push((entry, opened));
                }
            }
            _ => {}
        }
    }
    out
}

fn opened_at(
    visit: &Visit,
    plan: &record::OpeningPlan,
    before: PressureReading,
    open_for: Option<&Typed<Duration>>,
) -> Option<Opened> {
    let substance = visit.substance.as_ref()?;
    let (low, high) =
        (volume(visit, plan.volume.as_ref(), End::Low)?, volume(visit, plan.volume.as_ref(), End::High)?);
    let temperature = walls(plan.walls.as_ref())?;
    let inside = before.absolute(visit.air);
    if inside < visit.air.pressure {
        let section =
            Section { gas: &substance.fluid, volume: high, temperature, outside: visit.air.pressure };
        let air_in = air_in(&section, inside, AROUND, HUMIDITY).ok()??;
        return Some(Opened::Below { air_in });
    }
    let asked = |volume: Volume| -> Option<OpeningAnswer> {
        opening(&OpeningAsked {
            substance: substance.clone(),
            volume: (volume, ""),
            temperature: (temperature, ""),
            bore: typed(plan.bore.as_ref())?,
            open_for: typed(open_for.or(plan.open_for.as_ref()))?,
            pressure: Some((before, "")),
            rise: None,
            residue: None,
            air: visit.air,
        })
        .ok()
    };
    let (small, large) = (asked(low)?, asked(high)?);
    let lost = Mass::from_kilogram(large.figures.released_kg?);
    let after = Duration::from_second(small.figures.lasts_at_least_s?);
    let open = open_for.or(plan.open_for.as_ref())?.value;
    Some(if open < after { Opened::StayedAbove { lost } } else { Opened::ReachedTheAir { after, lost } })
}

impl Opened {
    /// Returns what to write of it: what was lost or came in, and what follows.
    #[must_use]
    pub fn sentence(&self, writer: &Writer) -> Message {
        match self {
            Opened::StayedAbove { lost } => {
                Message::new("opened-stayed-above").with("lost", writer.write(*lost))
            }
            Opened::ReachedTheAir { after, lost } => Message::new("opened-reached-the-air")
                .with("after", writer.write(*after))
                .with("lost", writer.write(*lost)),
            Opened::Below { air_in } => Message::new("opened-below")
                .with("air", writer.write(air_in.air))
                .with("water", writer.write(air_in.water)),
        }
    }
}

/// Returns the plans as the report shows them: one after the other, each under its own name.
#[must_use]
pub fn blocks(visit: &Visit, writer: &Writer) -> Vec<Block> {
    let mut out = Vec::new();
    for plan in openings(visit) {
        let name = match &plan.recorded.section {
            Some(section) => Message::new("plan-of-opening").with("section", section),
            None => Message::new("plan-of-opening-unnamed"),
        };
        plan.told(name, None, visit, writer, &mut out);
    }
    for plan in drawn(visit) {
        let name = match &plan.recorded.section {
            Some(section) => Message::new("plan-of-recovery").with("section", section),
            None => Message::new("plan-of-recovery-unnamed"),
        };
        plan.told(name, None, visit, writer, &mut out);
    }
    for plan in pulled(visit) {
        let name = match &plan.recorded.section {
            Some(section) => Message::new("plan-of-evacuation").with("section", section),
            None => Message::new("plan-of-evacuation-unnamed"),
        };
        let goes = gone(visit, &plan).map(|gone| gone.sentence(writer).0);
        plan.told(name, goes, visit, writer, &mut out);
    }
    if !out.is_empty()
        && let Some(Ok(answer)) = super::cold_box::of(visit)
        && let Some(sentence) = answer.warming(writer)
    {
        out.push(Block::Paragraph(Message::new("plan-box").into()));
        out.push(Block::Paragraph(sentence.into()));
    }
    out.extend(opened(visit).iter().map(|(_, opened)| Block::Paragraph(opened.sentence(writer).into())));
    out
}

impl Gone {
    /// Returns how it goes, and what follows.
    #[must_use]
    pub fn sentence(&self, writer: &Writer) -> (Message, Message) {
        let at = writer.vacuum(self.pressure);
        match self.course {
            Course::AsPlanned { left: Some(left) } => (
                Message::new("pull-as-planned")
                    .with("target", writer.vacuum(self.target))
                    .with("left", writer.write(left)),
                Message::new("pull-as-planned-why"),
            ),
            Course::AsPlanned { left: None } => {
                (Message::new("pull-there").with("at", at), Message::new("pull-there-why"))
            }
            Course::Slower { times, left } => {
                let sentence = Message::new("pull-slower").with("times", writer.number(times, 1));
                let why = match left {
                    Some(left) => Message::new("pull-slower-left").with("left", writer.write(left)),
                    None => Message::new("pull-slower-why"),
                };
                (sentence, why)
            }
            Course::Stands { at_water: true, .. } => (
                Message::new("pull-stands-at-water").with("at", at),
                Message::new("pull-stands-at-water-why"),
            ),
            Course::Stands { at_water: false, .. } => {
                (Message::new("pull-stands").with("at", at), Message::new("pull-stands-why"))
            }
        }
    }
}
