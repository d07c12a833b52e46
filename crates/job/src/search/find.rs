//! What was found: its size from what was seen of it, which test would prove its repair, and which half of the circuit to
//! shut in while nothing is found.

use super::Search;
use super::loss::allowed;
use super::section::{YEAR, per_year, percent};
use super::standing::placed;
use crate::visit::Visit;
use diagnosis::search::found::Size;
use diagnosis::search::posterior::{Pressures, flow_share};
use diagnosis::search::{Shows, Side, State};
use field::hold::{HoldTest, Working, Zone, hold};
use field::leak::{FIELD_FACTOR, Viscosity, mass_flow};
use record::{Exactness, Holds, Known, LeakCheck, Measures};
use report::{Block, Cell, Column, Message, Row, Table, Value};
use units::{AbsolutePressure, Duration, LeakRate, Temperature, Volume, Writer};

/// A leak that was hit, as its entry tells it.
#[derive(Clone, Debug)]
pub struct Hit {
    /// The place.
    pub place: usize,
    /// In the words of the entry.
    pub words: String,
    /// The flow seen, at the pressure then.
    pub seen: Size,
    /// The absolute pressure then, bar.
    pub bar: Option<f64>,
    /// What the system did.
    pub state: State,
    /// Something was mended there since.
    pub mended: bool,
    /// It was looked at and found clean, or held, since it was mended.
    pub proved: bool,
}

/// Spread of the logarithm of a rate that a detector showed: within a factor of two (judgement).
const SHOWN_SPREAD: f64 = 0.7;
/// The same of bubbles counted and measured by eye (judgement: the diameter to a fifth, cubed).
const BUBBLE_SPREAD: f64 = 0.6;
/// Of a hold: beside its own doubt, what the conversion between gases and pressures adds (judgement).
const HOLD_SPREAD: f64 = 0.3;
/// Foam at once is seen from some tens of grams a year up (judgement, as the sight of soap in the data).
const FOAM: f64 = 0.05;

/// Returns the flow that a hit shows, kg a year: what the detector showed, else the bubbles, else that there was foam.
///
/// A bubble of diameter d each t seconds is a throughput of p pi d^3 / 6 / t at the pressure of the air; at 20 C.
#[must_use]
pub fn size_of(check: &LeakCheck, visit: &Visit) -> Size {
    if let Some(shown) = &check.shown
        && shown.value.kilogram_per_second() > 0.0
    {
        return Size::About(shown.value.kilogram_per_second() * YEAR, SHOWN_SPREAD);
    }
    if let (Some(bubble), Some(every), Some(substance)) =
        (&check.bubble, &check.bubble_every, &visit.substance)
    {
        let (d, t) = (bubble.value.metre(), every.value.second());
        if d > 0.0 && t > 0.0 {
            let volume = core::f64::consts::PI * d * d * d / 6.0;
            let rate = LeakRate::from_pascal_cubic_metre_per_second(visit.air.pressure.pascal() * volume / t);
            let flow = mass_flow(rate, substance.fluid.molar_mass(), Temperature::from_celsius(20.0));
            return Size::About(flow.kilogram_per_second() * YEAR, BUBBLE_SPREAD);
        }
    }
    match check.method {
        record::Method::Soap | record::Method::Listening => Size::AtLeast(FOAM),
        _ => Size::Unknown,
    }
}

/// Returns the leak that a hold of this visit shows as flow of refrigerant at its working pressure; the last one that
/// leaks.
pub fn size_of_hold(visit: &Visit) -> Option<(Size, f64)> {
    let leaking = crate::visit::proofs::holds(visit).into_iter().rev().find_map(|held| {
        let found = held.found.ok().filter(|found| matches!(found.verdict, field::hold::Verdict::Leaking))?;
        let working = held.recorded.working_pressure.as_ref()?.get().absolute(visit.air);
        Some((found, working))
    });
    let (found, working) = leaking?;
    let flow = found.leak.as_ref()?.refrigerant.as_ref()?.larger().clone();
    let kg = flow.value().kilogram_per_second() * YEAR;
    let own = flow.u() * YEAR / kg;
    let spread = units::math::sqrt(own * own + HOLD_SPREAD * HOLD_SPREAD);
    (kg > 0.0).then_some((Size::About(kg, spread), working.pascal() / 1e5))
}

/// A section that can be shut in.
#[derive(Clone, Debug, PartialEq)]
pub struct Half {
    /// Which: 0 from the receiver outlet, 1 from the liquid-line valve, both to the suction service valve.
    pub section: usize,
    /// The chance that the leak is in it.
    pub inside: f64,
    /// How long to hold it, empty of liquid and under nitrogen at the pressure, to see a leak as large as the loss.
    pub hold: Option<(Duration, AbsolutePressure)>,
    /// A point at its end is recorded as leaking by: its name.
    pub leaks_by: Option<String>,
}

/// Returns the yearly mean of a flow that was seen on a side at a pressure, by the mean of the two flow laws.
#[must_use]
pub fn yearly(pressures: &Pressures, run_share: f64, side: Side, seen: Size, bar: f64) -> Size {
    let laws = flow_share(pressures, side, Shows::Always, run_share, bar);
    let share = laws.iter().sum::<f64>() / laws.len() as f64;
    if share <= 0.0 {
        return Size::Unknown;
    }
    match seen {
        Size::About(kg, spread) => Size::About(kg / share, spread),
        Size::AtLeast(kg) => Size::AtLeast(kg / share),
        Size::Unknown => Size::Unknown,
    }
}

impl Search {
    /// Returns how long a volume must be held under nitrogen to see such a leak of refrigerant, with the gauge and the probe
    /// of this visit.
    ///
    /// The smallest leak that a hold can see falls as its time: it is worked out for a day and scaled.
    #[must_use]
    pub fn hold_time(
        &self,
        visit: &Visit,
        side: Side,
        volume: Volume,
        pressure: AbsolutePressure,
        wanted: f64,
    ) -> Option<Duration> {
        let substance = visit.substance.as_ref()?;
        let nitrogen = refrigerant::nitrogen();
        let viscosity = |fluid| refrigerant::vapour_viscosity(fluid).map(Viscosity::from_pascal_second);
        let step = resolution(visit);
        // The gauge is the same at both ends, so that only its step counts, a rectangular one.
        let read = |key| placed(pressure, key, step / units::math::sqrt(12.0));
        let warm = |key| placed(Temperature::from_celsius(20.0), key, PROBE_U);
        let day = Duration::from_hour(24.0);
        let test = HoldTest {
            gas: &nitrogen,
            gas_viscosity: viscosity(&nitrogen),
            start: read("start pressure"),
            end: read("end pressure"),
            zones: vec![Zone {
                volume: None,
                start: warm("start temperature"),
                end: warm("end temperature"),
            }],
            volume: Some(volume),
            duration: day,
            since_filling: Some(Duration::from_hour(1.0)),
            liquid_present: Some(false),
            outside: visit.air.pressure,
            working: Some(Working {
                refrigerant: &substance.fluid,
                pressure: AbsolutePressure::from_pascal(1e5 * self.pressures.of(side, State::Running)),
                temperature: None,
                viscosity: viscosity(&substance.fluid),
            }),
            wanted: None,
        };
        let found = hold(&test).ok()?;
        let smallest = found.smallest?.refrigerant?.larger().value().kilogram_per_second() * YEAR;
        (wanted > 0.0).then(|| day * (smallest / wanted))
    }

    /// Returns the sections that can be shut in, the one nearest to half of the chance first.
    #[must_use]
    pub fn halves(&self, visit: &Visit) -> Vec<Half> {
        let sections = super::ground::sections(&self.places);
        let leak: f64 = self.now.places.iter().sum();
        if leak <= 0.0 {
            return Vec::new();
        }
        let mut out: Vec<Half> = sections
            .iter()
            .enumerate()
            .map(|(section, places)| {
                let inside = places.iter().map(|at| self.now.places[*at]).sum::<f64>() / leak;
                let volume = visit.system.value.section_volume.as_ref().and_then(Known::value).copied();
                // The volume recorded is that of the larger section.
                let volume = volume.filter(|_| section == 0);
                let limits = [allowed(visit, Side::Low), allowed(visit, Side::High)];
                let [Some(low), Some(high)] = limits else {
                    return Half { section, inside, hold: None, leaks_by: leaks_by(visit, section) };
                };
                let pressure = if low.pascal() < high.pascal() { low } else { high };
                let hold = volume.and_then(|volume| {
                    let time = self.hold_time(visit, Side::High, volume, pressure, self.rate.interval.0)?;
                    Some((time, pressure))
                });
                Half { section, inside, hold, leaks_by: leaks_by(visit, section) }
            })
            .collect();
        units::sort_small(&mut out, |a, b| (a.inside - 0.5).abs().total_cmp(&(b.inside - 0.5).abs()));
        out
    }

    pub(super) fn half_blocks(&self, visit: &Visit, writer: &Writer) -> Vec<Block> {
        let halves = self.halves(visit);
        let Some(half) = halves.iter().find(|half| half.leaks_by.is_none()).or_else(|| halves.first()) else {
            return Vec::new();
        };
        let sentence = match half.section {
            0 => Message::new("seek-half-receiver"),
            _ => Message::new("seek-half-low"),
        };
        let mut items = vec![sentence.with("chance", percent(half.inside)).into()];
        if let Some(name) = &half.leaks_by {
            items.push(Message::new("seek-half-leaks-by").with("name", name).into());
        }
        items.push(match half.hold {
            Some((time, pressure)) => Message::new("seek-half-hold")
                .with("time", hours(writer, time))
                .with("pressure", writer.write(pressure.gauge(visit.air)))
                .with("rate", per_year(writer, self.rate.interval.0))
                .into(),
            None => Message::new("seek-half-no-volume").into(),
        });
        vec![Block::List(report::List { ordered: false, items })]
    }

    /// Returns the pressure and time of nitrogen that would prove a repair: so long that a tenth of the loss would be seen.
    /// Absent while nothing is found, once it is proved, and where the volume or the nameplate is not known.
    #[must_use]
    pub fn hold_after_repair(&self, visit: &Visit) -> Option<(Duration, AbsolutePressure)> {
        let found = self.found.as_ref().filter(|found| !found.proved)?;
        let side = self.places[found.place].side;
        let volume = visit.system.value.section_volume.as_ref().and_then(Known::value).copied()?;
        let (low, high) = (allowed(visit, Side::Low)?, allowed(visit, Side::High)?);
        let pressure = if low.pascal() < high.pascal() { low } else { high };
        Some((self.hold_time(visit, side, volume, pressure, 0.1 * self.rate.mean)?, pressure))
    }

    /// Returns which test would prove the repair: with the system's own gas first, or with nitrogen.
    pub(super) fn proof_blocks(&self, visit: &Visit, writer: &Writer) -> Vec<Block> {
        let Some(found) = self.found.as_ref().filter(|found| !found.proved) else { return Vec::new() };
        let side = self.places[found.place].side;
        let gauge = |bar: f64| {
            let pressure = AbsolutePressure::from_pascal(1e5 * bar);
            writer.write(pressure.gauge(visit.air)).to_string()
        };
        let mut out = vec![Block::Paragraph(Message::new("seek-prove-own").into())];
        // In the field a detector is trusted to find ten times its rating.
        let seen = FIELD_FACTOR * self.detector.unwrap_or(super::USUAL_RATING);
        let mut ways = vec![
            (Message::new("seek-when-off"), self.pressures.of(side, State::Off)),
            (Message::new("seek-when-running"), self.pressures.of(side, State::Running)),
        ];
        ways.extend(self.hottest(visit, side).map(|bar| (Message::new("seek-when-hottest"), bar)));
        let rows = ways
            .into_iter()
            .map(|(when, bar)| {
                let laws = flow_share(&self.pressures, side, Shows::Always, self.run_share.0, bar);
                // The law that makes it larger is the one to promise by.
                let least = laws.iter().copied().fold(f64::INFINITY, f64::min);
                let smallest = if least > 0.0 {
                    Cell::Value(Value::as_written(per_year(writer, seen / least)))
                } else {
                    Cell::Empty
                };
                Row::new(vec![Cell::Text(when.into()), Cell::Value(Value::as_written(gauge(bar))), smallest])
            })
            .collect();
        out.push(Block::Table(Table {
            caption: Some(Message::new("seek-prove-table").into()),
            columns: vec![
                Column::words(Message::new("seek-where-when")),
                Column::numbers(Message::new("seek-pressure")),
                Column::numbers(Message::new("seek-rules-out")),
            ],
            rows,
        }));
        let nitrogen = match self.hold_after_repair(visit) {
            Some((time, pressure)) => Message::new("seek-prove-nitrogen")
                .with("time", hours(writer, time))
                .with("pressure", writer.write(pressure.gauge(visit.air)))
                .with("rate", per_year(writer, 0.1 * self.rate.mean)),
            None => Message::new("seek-prove-nitrogen-unknown"),
        };
        out.push(Block::Paragraph(nitrogen.into()));
        out
    }

    /// The pressure of a side on the hottest day: the head at the hottest air and the design split; the low side standing in
    /// that air.
    fn hottest(&self, visit: &Visit, side: Side) -> Option<f64> {
        let system = &visit.system.value;
        let air = system.hottest_ambient.as_ref().and_then(Known::value)?;
        let split = system.design_split.as_ref().and_then(Known::value).map_or(10.0, |split| split.kelvin());
        let at = match side {
            Side::High => air.celsius() + split,
            Side::Low => air.celsius(),
        };
        let fluid = &visit.substance.as_ref()?.fluid;
        let dew = fluid.dew_at_temperature(Temperature::from_celsius(at)).ok()?;
        Some(dew.pressure.pascal() / 1e5)
    }
}

/// Standard uncertainty of a gas temperature read by a probe of half a kelvin, rectangular (judgement where none is stated).
const PROBE_U: f64 = 0.29;
/// Step of a gauge that nobody stated: 0.5 psi.
const STEP: f64 = 3447.4;

/// The step of the finest pressure gauge of the visit, pascal.
fn resolution(visit: &Visit) -> f64 {
    visit
        .bench
        .instruments()
        .filter(|instrument| instrument.measures == Measures::Pressure)
        .filter_map(|instrument| match instrument.resolution.as_ref()?.value {
            Exactness::Pressure(step) if step.pascal() > 0.0 => Some(step.pascal()),
            _ => None,
        })
        .min_by(f64::total_cmp)
        .unwrap_or(STEP)
}

/// A time to hold: never less than settling asks for, in hours from ten on.
fn hours(writer: &Writer, time: Duration) -> String {
    let least = field::hold::SETTLING_TIME;
    writer.write(if time.second() < least.second() { least } else { time }).to_string()
}

/// The name of a point at the end of a section that is recorded as leaking by.
fn leaks_by(visit: &Visit, section: usize) -> Option<String> {
    let ends: [&[&str]; 2] =
        [if section == 0 { &["receiver"] } else { &["solenoid", "liquid"] }, &["suction"]];
    let system = &visit.system.value;
    system
        .shut_off
        .iter()
        .filter(|point| point.holds.as_ref().and_then(Known::value) == Some(&Holds::LeaksBy))
        .find(|point| {
            let name = point.name.to_lowercase();
            ends.iter().any(|words| words.iter().any(|word| name.contains(word)))
        })
        .map(|point| point.name.clone())
}
