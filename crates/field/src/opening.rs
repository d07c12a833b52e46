//! A section that still holds gas is opened: how long its pressure stands above that outside, what leaves, and from
//! which pressure to start so that no air comes in while the work is done.
//!
//! Along a known path of states the time is an integral, t = ∫ dm / (flow - boil-off), so nothing is stepped in time.

use crate::leak::{Gas, LeakError, Regime, orifice_flow};
use fluid::{Fluid, FluidError};
use units::math::sqrt;
use units::{
    AbsolutePressure, Duration, Fraction, Length, Mass, MassFlow, PressureDifference, Temperature, Volume,
};

/// The smallest discharge coefficient of an open tube end or port that is reckoned with: a sharp edge (judgement).
pub const DISCHARGE_LOW: Fraction = Fraction::from_ratio(0.60);
/// The largest: a rounded inlet, partly recovered (judgement).
pub const DISCHARGE_HIGH: Fraction = Fraction::from_ratio(0.85);

/// The most that is tried where a gas has no dew point, 40 bar.
const HIGHEST: f64 = 4e6;

/// How many pieces the path is cut into: the time is then right to some 1e-4 of itself (halving changes it by less).
const PIECES: u32 = 160;

/// A section emptied of liquid, shut off from the rest, still holding vapour.
#[derive(Clone, Copy, Debug)]
pub struct Section<'a> {
    /// The gas in it.
    pub gas: &'a Fluid,
    /// Its inner volume.
    pub volume: Volume,
    /// The temperature of its walls, and of the gas before it is opened.
    pub temperature: Temperature,
    /// The pressure of the air outside.
    pub outside: AbsolutePressure,
}

/// What is open: a round bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore {
    /// Its diameter at the narrowest.
    pub diameter: Length,
    /// Its discharge coefficient.
    pub discharge_coefficient: Fraction,
}

/// How the gas that stays behind changes as it expands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Path {
    /// The walls keep it at their temperature: the slowest fall.
    Isothermal,
    /// The walls give no heat (constant entropy): the fastest fall.
    Adiabatic,
}

/// Vapour that oil and left-over liquid give off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoilOff {
    /// How fast.
    pub rate: MassFlow,
    /// How much there is in all.
    pub mass: Mass,
}

/// An opened section down to the pressure outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlowDown {
    /// Time until its pressure has fallen to the end asked for.
    pub time: Duration,
    /// Gas that left until then.
    pub released: Mass,
    /// The pressure below which the flow is slower than sound; none if it was so from the start.
    pub choked_above: Option<AbsolutePressure>,
    /// The pressure at which boil-off and flow balance while there is something to boil; none if the flow always wins.
    pub held_at: Option<AbsolutePressure>,
}

/// Why an opening cannot be computed.
#[derive(Clone, Debug, PartialEq)]
pub enum OpeningError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// At this temperature the pressure is that of a liquid: the section is not empty.
    LiquidLeft {
        /// The pressure given.
        pressure: AbsolutePressure,
        /// The pressure above which there is liquid at this temperature.
        dew: AbsolutePressure,
    },
    /// The pressure does not stand above the end asked for.
    NoDrive {
        /// Inside.
        inside: AbsolutePressure,
        /// The end.
        outside: AbsolutePressure,
    },
    /// A volume, bore, coefficient, mass or time that is not above zero, or not finite.
    Parameter(f64),
}

impl From<FluidError> for OpeningError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

impl From<LeakError> for OpeningError {
    fn from(error: LeakError) -> Self {
        match error {
            LeakError::Fluid(error) => Self::Fluid(error),
            LeakError::NoDrive { inside, outside } => Self::NoDrive { inside, outside },
            LeakError::NotAGas => Self::Fluid(FluidError::Unstable),
            LeakError::Parameter(value) => Self::Parameter(value),
        }
    }
}

impl Section<'_> {
    /// Returns the largest pressure at which this section holds vapour alone: that of the dew point at its temperature;
    /// none above the critical temperature, where there is no liquid.
    ///
    /// # Errors
    /// [`OpeningError::Fluid`] where the fluid has no dew point there for another reason.
    pub fn dew_pressure(&self) -> Result<Option<AbsolutePressure>, OpeningError> {
        match self.gas.dew_at_temperature(self.temperature) {
            Ok(dew) => Ok(Some(dew.pressure)),
            Err(FluidError::AboveCriticalTemperature { .. }) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Refuses a pressure at which there is liquid.
    fn vapour_alone(&self, pressure: AbsolutePressure) -> Result<(), OpeningError> {
        match self.dew_pressure()? {
            Some(dew) if pressure > dew => Err(OpeningError::LiquidLeft { pressure, dew }),
            _ => Ok(()),
        }
    }

    /// Returns the gas at `pressure` on the path that begins at `entropy`, J/(kg K), and the density of all there is.
    fn on_path(
        &self,
        pressure: AbsolutePressure,
        path: Path,
        start: &fluid::State,
    ) -> Result<(Gas, f64), OpeningError> {
        let state = match path {
            Path::Isothermal => self.gas.state_at_pressure_temperature(pressure, self.temperature)?,
            Path::Adiabatic => self.gas.state_at_pressure_entropy(pressure, start.entropy)?,
        };
        let density = state.density.kilogram_per_cubic_metre();
        // Expansion may bring mist; what flows out is reckoned as the saturated vapour above it.
        let gas = match state.phase {
            fluid::Phase::TwoPhase => Gas::of(self.gas, pressure, None)?,
            _ => Gas::of(self.gas, pressure, Some(state.temperature))?,
        };
        Ok((gas, density))
    }
}

fn positive(value: f64) -> Result<f64, OpeningError> {
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(OpeningError::Parameter(value)) }
}

/// Returns how an opened section empties from `start` down to `end`, which is at least the pressure outside.
///
/// The real gas along the path, the choked or subsonic flow of [`orifice_flow`] at each pressure. Boil-off adds vapour
/// at its rate until its mass is spent; where it matches the flow, the pressure is held there as long as it lasts.
/// Boil-off is reckoned on the isothermal path only: it is what the walls' heat drives.
///
/// # Errors
/// [`OpeningError`]: liquid left at the start, no pressure above the end, or a size that is none.
///
/// Source: mass balance; the nozzle equations of [`orifice_flow`].
pub fn blow_down(
    section: &Section<'_>,
    start: AbsolutePressure,
    end: AbsolutePressure,
    bore: Bore,
    path: Path,
    boil_off: Option<BoilOff>,
) -> Result<BlowDown, OpeningError> {
    let volume = positive(section.volume.cubic_metre())?;
    let diameter = positive(bore.diameter.metre())?;
    let area = core::f64::consts::PI / 4.0 * diameter * diameter;
    let (p1, p2) = (start.pascal(), end.pascal());
    if !(p1 > p2 && end >= section.outside) {
        return Err(OpeningError::NoDrive { inside: start, outside: end });
    }
    section.vapour_alone(start)?;
    let first = section.gas.state_at_pressure_temperature(start, section.temperature)?;
    let boil = boil_off.filter(|_| path == Path::Isothermal);
    let (source, mut left) = match boil {
        Some(boil) => (boil.rate.kilogram_per_second().max(0.0), boil.mass.kilogram().max(0.0)),
        None => (0.0, 0.0),
    };
    // Near the end the flow goes with the square root of what is left of the drive; in u = sqrt(p - p2) each piece is
    // then of the same kind.
    let u1 = sqrt(p1 - p2);
    let pressure_at = |u: f64| AbsolutePressure::from_pascal(p2 + u * u);
    let (mut time, mut released) = (0.0, 0.0);
    let (mut choked_above, mut held_at) = (None, None);
    let mut upper = first.density.kilogram_per_cubic_metre();
    for piece in 0..PIECES {
        let at = |part: f64| u1 * (1.0 - (f64::from(piece) + part) / f64::from(PIECES));
        let (_, lower) = section.on_path(pressure_at(at(1.0)), path, &first)?;
        let middle = pressure_at(at(0.5));
        let (gas, _) = section.on_path(middle, path, &first)?;
        let flow = orifice_flow(&gas, section.outside, bore.discharge_coefficient)?;
        if flow.regime == Regime::Choked {
            choked_above = Some(middle);
        }
        let out = flow.flux * area;
        let mass = volume * (upper - lower).max(0.0);
        upper = lower;
        if left > 0.0 && source >= out && source > 0.0 {
            // Held here until there is nothing left to boil; then the vapour alone leaves.
            held_at.get_or_insert(middle);
            let wait = left / source;
            time += wait;
            released += left;
            left = 0.0;
        }
        let net = if left > 0.0 { out - source } else { out };
        let step = mass / net;
        let boiled = if left > 0.0 { (source * step).min(left) } else { 0.0 };
        left -= boiled;
        time += step;
        released += mass + boiled;
    }
    Ok(BlowDown {
        time: Duration::from_second(time),
        released: Mass::from_kilogram(released),
        choked_above,
        held_at,
    })
}

/// The least pressure to start from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// From here, or above.
    From(AbsolutePressure),
    /// Not even the most the section can hold as vapour lasts that long through this bore.
    NotThroughThisBore {
        /// The most: its dew pressure.
        most: AbsolutePressure,
        /// How long that lasts.
        lasts: Duration,
    },
}

/// Returns the least pressure from which an opened section stays above the pressure outside for `time`.
///
/// On the safe side: the fast path (no heat from the walls, no boil-off).
///
/// # Errors
/// [`OpeningError`] as of [`blow_down`].
pub fn least_start(section: &Section<'_>, bore: Bore, time: Duration) -> Result<Start, OpeningError> {
    let wanted = positive(time.second())?;
    let lasts = |pressure: f64| {
        let start = AbsolutePressure::from_pascal(pressure);
        blow_down(section, start, section.outside, bore, Path::Adiabatic, None).map(|b| b.time.second())
    };
    // Above its critical temperature a gas has no dew point; what a section of this trade bears is then the limit.
    let dew = section.dew_pressure()?.unwrap_or(AbsolutePressure::from_pascal(HIGHEST));
    if dew <= section.outside {
        return Err(OpeningError::NoDrive { inside: dew, outside: section.outside });
    }
    let most = lasts(dew.pascal())?;
    if most < wanted {
        return Ok(Start::NotThroughThisBore { most: dew, lasts: Duration::from_second(most) });
    }
    // The time grows with the start. Bisection in the drive, to a part in a thousand, and the upper end is returned.
    let outside = section.outside.pascal();
    let (mut low, mut high) = (0.0, dew.pascal() - outside);
    while high - low > 1e-3 * high {
        let middle = 0.5 * (low + high);
        if lasts(outside + middle)? < wanted { low = middle } else { high = middle }
    }
    Ok(Start::From(AbsolutePressure::from_pascal(outside + high)))
}

/// Returns the vapour that oil and left-over liquid give off, from the rise of the shut section: V (dρ/dp) dp/dt.
///
/// The slope of the density is that at the temperature of the walls, over the rise itself.
///
/// # Errors
/// [`OpeningError`]: a rise or time that is none, a pressure at which the section holds liquid.
pub fn boil_off_of_rise(
    section: &Section<'_>,
    from: AbsolutePressure,
    rise: PressureDifference,
    over: Duration,
) -> Result<MassFlow, OpeningError> {
    let (rise, over) = (positive(rise.pascal())?, positive(over.second())?);
    let to = AbsolutePressure::from_pascal(from.pascal() + rise);
    section.vapour_alone(to)?;
    let density = |p: AbsolutePressure| -> Result<f64, OpeningError> {
        Ok(section
            .gas
            .state_at_pressure_temperature(p, section.temperature)?
            .density
            .kilogram_per_cubic_metre())
    };
    let gained = positive(section.volume.cubic_metre())? * (density(to)? - density(from)?);
    Ok(MassFlow::from_kilogram_per_second(gained / over))
}

/// Air that came in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirIn {
    /// The air, dry.
    pub air: Mass,
    /// The water with it.
    pub water: Mass,
}

/// Molar mass of dry air, kg/mol. Source: CIPM-2007 formula for the density of air, Metrologia 45 (2008) 149 (from memory).
const AIR: f64 = 28.965_46e-3;
/// Molar mass of water, kg/mol (same source, from memory).
const WATER: f64 = 18.015_28e-3;

/// Returns the air and the water that fill a section opened at `inside`, below the pressure outside; none above it.
///
/// What comes in to bring the pressure level, by the ideal-gas law; what mixes in afterwards through the open port is
/// more, and not reckoned. `outdoor` with `humidity` says how much water the air carries.
///
/// # Errors
/// [`OpeningError::Parameter`] for a humidity outside 0 to 1 or a temperature at which water has no such pressure.
pub fn air_in(
    section: &Section<'_>,
    inside: AbsolutePressure,
    outdoor: Temperature,
    humidity: Fraction,
) -> Result<Option<AirIn>, OpeningError> {
    let part = humidity.ratio();
    if !(0.0..=1.0).contains(&part) {
        return Err(OpeningError::Parameter(part));
    }
    let lacking = section.outside.pascal() - inside.pascal();
    if lacking <= 0.0 {
        return Ok(None);
    }
    let (saturated, _) = crate::water::equilibrium_pressure(outdoor)
        .map_err(|_| OpeningError::Parameter(outdoor.celsius()))?;
    let moles =
        lacking * section.volume.cubic_metre() / (crate::leak::GAS_CONSTANT * section.temperature.kelvin());
    let wet = (part * saturated.pascal() / section.outside.pascal()).min(1.0);
    Ok(Some(AirIn {
        air: Mass::from_kilogram(moles * (1.0 - wet) * AIR),
        water: Mass::from_kilogram(moles * wet * WATER),
    }))
}
