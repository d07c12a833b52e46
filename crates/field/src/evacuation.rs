//! Planning an evacuation: what a hose lets through, how long it takes, what water costs, what breaking the vacuum leaves.
//!
//! All of it is for air at low pressure in round tubes. What a vacuum proves once reached is in [`crate::rise`].

use crate::leak::GAS_CONSTANT;
use crate::water::equilibrium_pressure;
use units::math::{exp, ln, sqrt};
use units::{AbsolutePressure, Duration, Fraction, Length, Mass, Temperature, Volume};

/// Viscosity of air at 20 °C, Pa s. Source: ISO 2533:1975 by its formula of Sutherland, at 293.15 K (from memory).
const AIR_VISCOSITY: f64 = 18.13e-6;
/// Molar mass of dry air, kg/mol. Source: CIPM-2007 formula for the density of air, Metrologia 45 (2008) 149 (from memory).
const AIR: f64 = 28.965_46e-3;
/// Molar mass of water, kg/mol (same source, from memory).
const WATER: f64 = 18.015_28e-3;

/// A round passage between the system and the pump: a hose, a pipe, the hole of a core.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Its bore.
    pub bore: Length,
    /// Its length.
    pub length: Length,
}

/// The way from the system to the pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// One behind the other.
    pub passages: Vec<Passage>,
    /// How many such ways lie side by side, each to the one pump.
    pub side_by_side: u32,
}

/// A vacuum pump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pump {
    /// What it takes in, m3/s, at its inlet.
    pub cubic_metre_per_second: f64,
    /// The pressure at which it takes in nothing any more.
    pub ultimate: AbsolutePressure,
}

/// Why an evacuation cannot be planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EvacuationError {
    /// A bore, length, volume, speed, count or pressure that is not above zero, or not finite.
    Parameter(f64),
    /// The pump does not reach the pressure wanted, by what it can do or through this way.
    NotReached {
        /// Wanted.
        wanted: AbsolutePressure,
        /// The least it reaches.
        least: AbsolutePressure,
    },
    /// A wall at which water's equations do not hold.
    Wall(Temperature),
}

fn positive(value: f64) -> Result<f64, EvacuationError> {
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(EvacuationError::Parameter(value)) }
}

/// How air passes: C = laminar × mean pressure + molecular, in m3/s.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Through {
    laminar: f64,
    molecular: f64,
}

impl Through {
    /// The laws of a long tube: laminar pi d^4/(128 eta L) of the mean pressure, molecular pi d^3/(12 L) sqrt(8RT/(pi M)).
    fn of(passage: Passage, kelvin: f64) -> Result<Self, EvacuationError> {
        let (d, l) = (positive(passage.bore.metre())?, positive(passage.length.metre())?);
        let pi = core::f64::consts::PI;
        let speed = sqrt(8.0 * GAS_CONSTANT * positive(kelvin)? / (pi * AIR));
        Ok(Self {
            laminar: pi * d * d * d * d / (128.0 * AIR_VISCOSITY * l),
            molecular: pi * d * d * d / (12.0 * l) * speed,
        })
    }

    /// In one line the resistances add, each law for itself: exact where one of the two holds throughout.
    fn of_way(way: &Way, kelvin: f64) -> Result<Option<Self>, EvacuationError> {
        if way.passages.is_empty() {
            return Ok(None);
        }
        let (mut laminar, mut molecular) = (0.0, 0.0);
        for passage in &way.passages {
            let one = Self::of(*passage, kelvin)?;
            laminar += 1.0 / one.laminar;
            molecular += 1.0 / one.molecular;
        }
        let count = positive(f64::from(way.side_by_side))?;
        Ok(Some(Self { laminar: count / laminar, molecular: count / molecular }))
    }
}

/// Returns what one passage lets through at a mean pressure, m3/s of air: the laminar and the molecular share added.
///
/// # Errors
/// [`EvacuationError::Parameter`] for a size, temperature or pressure that is none.
///
/// Source: the two laws of a long tube as in any handbook of vacuum technology, in its units for air at 20 °C
/// 135 d^4 p/l and 12.1 d^3/l (cm, mbar, L/s); their sum is the usual approximation between the two regimes.
pub fn conductance(
    passage: Passage,
    mean_pressure: AbsolutePressure,
    temperature: Temperature,
) -> Result<f64, EvacuationError> {
    let through = Through::of(passage, temperature.kelvin())?;
    Ok(through.laminar * positive(mean_pressure.pascal())? + through.molecular)
}

/// Returns what the pump takes out of the system at the pressure in the system, m3/s: the way's resistance included.
///
/// # Errors
/// [`EvacuationError::Parameter`] as of [`conductance`].
pub fn effective_speed(
    pump: Pump,
    way: &Way,
    pressure: AbsolutePressure,
    temperature: Temperature,
) -> Result<f64, EvacuationError> {
    let speed = positive(pump.cubic_metre_per_second)?;
    let ultimate = pump.ultimate.pascal().max(0.0);
    let p = positive(pressure.pascal())?;
    let Some(through) = Through::of_way(way, temperature.kelvin())? else {
        return Ok((speed * (1.0 - ultimate / p)).max(0.0));
    };
    // The pressure q at the pump: a/2 (p^2 - q^2) + c (p - q) = s (q - q_least). A quadratic in q with one root in 0..p.
    let (a, c, s) = (through.laminar, through.molecular, speed);
    let constant = 0.5 * a * p * p + c * p + s * ultimate;
    let slope = c + s;
    let q = 2.0 * constant / (slope + sqrt(slope * slope + 2.0 * a * constant));
    Ok((s * (q - ultimate) / p).max(0.0))
}

/// Returns how long a dry and tight volume takes from one pressure to another.
///
/// t = ∫ V dp / (p S(p)), S of [`effective_speed`]. Water, oil that gives off gas, and leaks make it longer.
///
/// # Errors
/// [`EvacuationError::NotReached`] where the pump comes to a stand above the pressure wanted, else
/// [`EvacuationError::Parameter`].
pub fn pump_down(
    volume: Volume,
    pump: Pump,
    way: &Way,
    from: AbsolutePressure,
    to: AbsolutePressure,
    temperature: Temperature,
) -> Result<Duration, EvacuationError> {
    const PIECES: u32 = 400;
    let volume = positive(volume.cubic_metre())?;
    let (high, low) = (positive(from.pascal())?, positive(to.pascal())?);
    if low >= high {
        return Err(EvacuationError::Parameter(to.pascal()));
    }
    if low <= pump.ultimate.pascal() {
        return Err(EvacuationError::NotReached { wanted: to, least: pump.ultimate });
    }
    let step = ln(high / low) / f64::from(PIECES);
    let mut time = 0.0;
    for piece in 0..PIECES {
        let middle = AbsolutePressure::from_pascal(low * exp(step * (f64::from(piece) + 0.5)));
        time += volume * step / positive(effective_speed(pump, way, middle, temperature)?)?;
    }
    Ok(Duration::from_second(time))
}

/// How fast liquid water or ice leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WaterOut {
    /// The pressure at which it boils, or ice turns to vapour, on the coldest wet wall: where the gauge will stand.
    pub stands_at: AbsolutePressure,
    /// Whether it is ice.
    pub ice: bool,
    /// Time for this water at least: as fast as the pump takes the vapour, heat for it assumed there.
    pub at_least: Duration,
}

/// Returns how long water on a wall of this temperature holds the pressure up.
///
/// The vapour leaves at the speed of the pump at the water's own pressure. Ice and cold liquid need their heat from the
/// wall as well, which makes it longer: this is a lower bound.
///
/// # Errors
/// [`EvacuationError::Wall`] beyond water's equations, [`EvacuationError::NotReached`] where the pump holds no such
/// pressure, else [`EvacuationError::Parameter`].
pub fn water_out(water: Mass, wall: Temperature, pump: Pump, way: &Way) -> Result<WaterOut, EvacuationError> {
    let (stands_at, form) = equilibrium_pressure(wall).map_err(|_| EvacuationError::Wall(wall))?;
    if stands_at <= pump.ultimate {
        return Err(EvacuationError::NotReached { wanted: stands_at, least: pump.ultimate });
    }
    let speed = positive(effective_speed(pump, way, stands_at, wall)?)?;
    let rate = speed * stands_at.pascal() * WATER / (GAS_CONSTANT * wall.kelvin());
    Ok(WaterOut {
        stands_at,
        ice: form == crate::water::Form::Ice,
        at_least: Duration::from_second(positive(water.kilogram())? / rate),
    })
}

/// Returns the share of the first gas left after pulling down and breaking with dry gas `times` over: (low/broken)^n.
///
/// The last pull counts: pulled `times`, broken between. It thins gas; it does not take liquid water sooner than it boils.
///
/// # Errors
/// [`EvacuationError::Parameter`]: pressures that are none or in the wrong order, or no time at all.
pub fn residual_share(
    low: AbsolutePressure,
    broken_to: AbsolutePressure,
    times: u32,
) -> Result<Fraction, EvacuationError> {
    let (low, broken) = (positive(low.pascal())?, positive(broken_to.pascal())?);
    if low > broken || times == 0 {
        return Err(EvacuationError::Parameter(if times == 0 { 0.0 } else { low }));
    }
    Ok(Fraction::from_ratio(exp(f64::from(times) * ln(low / broken))))
}

/// How an evacuation goes, by its last two readings beside what pump and hoses would do on a dry and tight volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Course {
    /// As pump and hoses can, or faster: within half as long again.
    AsPlanned {
        /// Time to the target from the last reading; none where it is there.
        left: Option<Duration>,
    },
    /// So many times slower than they can.
    Slower {
        /// Times.
        times: f64,
        /// Time to the target from the last reading if it goes on so; none where it is there.
        left: Option<Duration>,
    },
    /// It has come to a stand above the target.
    Stands {
        /// Whether that is the pressure of water on the coldest wall named, within a quarter.
        at_water: bool,
        /// What gives off gas at that pressure, as pressure times volume in a time, Pa m3/s: water, oil or a leak.
        given_off: f64,
    },
}

/// A drop smaller than this between two readings, where dry gas would have fallen by [`WOULD_FALL`], is a stand
/// (judgement).
const STANDS: f64 = 0.05;
/// See [`STANDS`].
const WOULD_FALL: f64 = 0.3;
/// Up to so many times the planned time it goes as planned (judgement: volumes and hoses are that uncertain).
const AS_PLANNED: f64 = 1.5;
/// How near to the water's own pressure counts as standing on it (judgement: gauges and walls are that uncertain).
const NEAR_WATER: f64 = 0.25;

/// Returns how an evacuation goes; nothing where its readings cannot tell yet: fewer than two, too close together, or the
/// pressure rose.
///
/// `points` are times since the pump began and pressures, in their order; the last two count.
///
/// # Errors
/// [`EvacuationError::Parameter`] for a size, pressure or time that is none.
pub fn course(
    volume: Volume,
    pump: Pump,
    way: &Way,
    points: &[(Duration, AbsolutePressure)],
    target: AbsolutePressure,
    temperature: Temperature,
    wall: Option<Temperature>,
) -> Result<Option<Course>, EvacuationError> {
    let [.., (early, before), (late, now)] = points else { return Ok(None) };
    let took = positive(late.second() - early.second())?;
    let (before, now) = (*before, *now);
    if now > before {
        return Ok(None);
    }
    let alone = |from: AbsolutePressure, to: AbsolutePressure| {
        pump_down(volume, pump, way, from, to, temperature).map(|time| time.second())
    };
    // Below the pump's own end no reading can be reckoned with.
    let near = |error: EvacuationError| match error {
        EvacuationError::NotReached { .. } => Ok(None),
        other => Err(other),
    };
    let fallen = AbsolutePressure::from_pascal(before.pascal() * (1.0 - WOULD_FALL));
    let would_show = match alone(before, fallen) {
        Ok(time) => took >= time,
        Err(error) => return near(error),
    };
    if now.pascal() > before.pascal() * (1.0 - STANDS) {
        if !would_show || now <= target {
            return Ok((now <= target).then_some(Course::AsPlanned { left: None }));
        }
        let at_water = match wall {
            None => false,
            Some(wall) => {
                let (water, _) = equilibrium_pressure(wall).map_err(|_| EvacuationError::Wall(wall))?;
                (now.pascal() / water.pascal() - 1.0).abs() <= NEAR_WATER
            }
        };
        let given_off = effective_speed(pump, way, now, temperature)? * now.pascal();
        return Ok(Some(Course::Stands { at_water, given_off }));
    }
    let times = match alone(before, now) {
        Ok(time) => took / time,
        Err(error) => return near(error),
    };
    let left = |times: f64| {
        if now <= target {
            return Ok(None);
        }
        match alone(now, target) {
            Ok(time) => Ok(Some(Duration::from_second(time * times))),
            Err(EvacuationError::NotReached { .. }) => Ok(None),
            Err(error) => Err(error),
        }
    };
    Ok(Some(if times <= AS_PLANNED {
        Course::AsPlanned { left: left(1.0)? }
    } else {
        Course::Slower { times, left: left(times)? }
    }))
}
