//! Recovering a charge: how long vapour and left-over liquid take, and which cylinder takes what.

use fluid::{Fluid, FluidError};
use units::math::ln;
use units::{AbsolutePressure, Duration, Fraction, Mass, MassFlow, Temperature, Volume, VolumeFlow};

/// The part of its displacement that a recovery machine takes in, where none is stated (judgement).
pub const INTAKE: Fraction = Fraction::from_ratio(0.7);

/// A recovery machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Machine {
    /// What its compressor displaces.
    pub displacement: VolumeFlow,
    /// The part of it that is taken in.
    pub intake: Fraction,
}

impl Machine {
    fn takes_in(&self) -> Result<f64, RecoveryError> {
        positive(self.displacement.cubic_metre_per_second() * self.intake.ratio())
    }
}

/// Why a recovery cannot be planned.
#[derive(Clone, Debug, PartialEq)]
pub enum RecoveryError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// A volume, displacement, mass or conductance that is not above zero, or not finite.
    Parameter(f64),
    /// The end is not below the start.
    Order {
        /// The start.
        from: AbsolutePressure,
        /// The end.
        to: AbsolutePressure,
    },
}

impl From<FluidError> for RecoveryError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

fn positive(value: f64) -> Result<f64, RecoveryError> {
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(RecoveryError::Parameter(value)) }
}

/// Vapour drawn out of a volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VapourOut {
    /// How long it takes.
    pub time: Duration,
    /// What it takes out.
    pub mass: Mass,
    /// The pressure it starts from: the one given, or that of the dew point where the one given stood above it.
    pub from: AbsolutePressure,
}

/// Returns how long vapour alone takes from one pressure to another, its walls at one temperature.
///
/// t = V/(eta S) ln(rho1/rho2), the real gas at the temperature of the walls. Above the dew point there is liquid, whose
/// time is that of [`pool`]; the vapour then starts from the dew point.
///
/// # Errors
/// [`RecoveryError`] for an end not below the start, or a size that is none.
///
/// Source: mass balance of a volume at constant suction volume flow.
pub fn vapour_out(
    fluid: &Fluid,
    volume: Volume,
    walls: Temperature,
    from: AbsolutePressure,
    to: AbsolutePressure,
    machine: Machine,
) -> Result<VapourOut, RecoveryError> {
    let volume = positive(volume.cubic_metre())?;
    let speed = machine.takes_in()?;
    let from = match fluid.dew_at_temperature(walls) {
        Ok(dew) if from > dew.pressure => dew.pressure,
        Ok(_) | Err(FluidError::AboveCriticalTemperature { .. }) => from,
        Err(error) => return Err(error.into()),
    };
    if !(to < from && to.pascal() > 0.0) {
        return Err(RecoveryError::Order { from, to });
    }
    let density = |p: AbsolutePressure| -> Result<f64, RecoveryError> {
        // A hair below the dew point, so that the root is the vapour's.
        let p = AbsolutePressure::from_pascal(p.pascal() * (1.0 - 1e-9));
        Ok(fluid.state_at_pressure_temperature(p, walls)?.density.kilogram_per_cubic_metre())
    };
    let (dense, thin) = (density(from)?, density(to)?);
    Ok(VapourOut {
        time: Duration::from_second(volume / speed * ln(dense / thin)),
        mass: Mass::from_kilogram(volume * (dense - thin)),
        from,
    })
}

/// A pool of liquid that boils off into a recovery machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pool {
    /// The temperature to which it cools itself.
    pub temperature: Temperature,
    /// Its pressure there.
    pub pressure: AbsolutePressure,
    /// How fast it goes.
    pub rate: MassFlow,
}

/// Returns how fast a pool of liquid boils off, and how cold it gets by it.
///
/// The machine takes vapour at the pool's own pressure; the heat for it comes from the walls through `conductance`, W/K.
/// Where both balance the pool stays. It is why warming the receiver shortens a recovery. A pool that would go below
/// `end` is drawn to there only, the machine stopping and starting: then the heat alone says how fast.
///
/// # Errors
/// [`RecoveryError`] for a wall above the critical temperature, or a size that is none.
///
/// Source: energy balance of the pool, m h_fg = UA (T_wall - T).
pub fn pool(
    fluid: &Fluid,
    walls: Temperature,
    conductance: f64,
    machine: Machine,
    end: AbsolutePressure,
) -> Result<Pool, RecoveryError> {
    let (speed, conductance) = (machine.takes_in()?, positive(conductance)?);
    let at = |kelvin: f64| -> Result<(f64, f64, AbsolutePressure), RecoveryError> {
        let t = Temperature::from_kelvin(kelvin);
        let liquid = fluid.bubble_at_temperature(t)?;
        let vapour = fluid.dew_at_temperature(t)?;
        let h = |density, t| -> Result<f64, FluidError> {
            Ok(fluid.state_at_density_temperature(density, t)?.enthalpy.joule_per_kilogram())
        };
        let heat = h(vapour.density, t)? - h(liquid.density, t)?;
        Ok((speed * vapour.density.kilogram_per_cubic_metre(), heat, liquid.pressure))
    };
    // At the wall's temperature no heat comes and the machine asks for some: the balance lies below.
    let (mut warm, mut cold) = (walls.kelvin(), walls.kelvin());
    let too_warm = |kelvin: f64| -> Result<bool, RecoveryError> {
        let (rate, heat, _) = at(kelvin)?;
        Ok(rate * heat > conductance * (walls.kelvin() - kelvin))
    };
    too_warm(warm)?;
    loop {
        cold -= 5.0;
        match too_warm(cold) {
            Ok(true) => warm = cold,
            Ok(false) => break,
            // Colder than the equations go: it stays at the last that they do.
            Err(RecoveryError::Fluid(_)) => {
                cold = warm;
                break;
            }
            Err(other) => return Err(other),
        }
    }
    while warm - cold > 1e-3 {
        let middle = 0.5 * (warm + cold);
        if too_warm(middle)? { warm = middle } else { cold = middle }
    }
    let (mut rate, _, mut pressure) = at(warm)?;
    if pressure < end {
        let held = fluid.bubble_at_pressure(end)?.temperature.kelvin();
        let (_, heat, _) = at(held)?;
        rate = positive(conductance * (walls.kelvin() - held) / heat)?;
        (warm, pressure) = (held, end);
    }
    Ok(Pool {
        temperature: Temperature::from_kelvin(warm),
        pressure,
        rate: MassFlow::from_kilogram_per_second(rate),
    })
}

/// A cylinder that stands ready.
#[derive(Clone, Debug, PartialEq)]
pub struct Ready {
    /// Its name.
    pub name: String,
    /// What is in it; nothing where it is empty and evacuated.
    pub holds: Option<String>,
    /// What it may still take.
    pub room: Mass,
}

/// What goes into a cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct Into {
    /// The cylinder.
    pub name: String,
    /// How much.
    pub mass: Mass,
}

/// Which cylinder takes what.
#[derive(Clone, Debug, PartialEq)]
pub struct Shared {
    /// In the order in which to connect them.
    pub into: Vec<Into>,
    /// What finds no room.
    pub left: Mass,
    /// The cylinders that must not be used: something else is in them.
    pub others: Vec<String>,
}

/// Returns which cylinders take a mass of one refrigerant: those that hold it first, then empty ones, the fullest first.
///
/// A cylinder with another refrigerant in it takes nothing: a mixture can be neither used nor told.
#[must_use]
pub fn shared_out(refrigerant: &str, mass: Mass, ready: &[Ready]) -> Shared {
    let mut left = mass.kilogram().max(0.0);
    let is_own =
        |one: &&Ready| one.holds.as_deref().is_some_and(|held| held.eq_ignore_ascii_case(refrigerant));
    let mut order: Vec<&Ready> = ready.iter().filter(is_own).collect();
    units::sort_small(&mut order, |a, b| a.room.kilogram().total_cmp(&b.room.kilogram()));
    let mut empty: Vec<&Ready> = ready.iter().filter(|one| one.holds.is_none()).collect();
    units::sort_small(&mut empty, |a, b| b.room.kilogram().total_cmp(&a.room.kilogram()));
    order.extend(empty);
    let mut into = Vec::new();
    for one in order {
        let takes = left.min(one.room.kilogram().max(0.0));
        if takes > 0.0 {
            into.push(Into { name: one.name.clone(), mass: Mass::from_kilogram(takes) });
            left -= takes;
        }
    }
    let others =
        ready.iter().filter(|one| one.holds.is_some() && !is_own(one)).map(|one| one.name.clone()).collect();
    Shared { into, left: Mass::from_kilogram(left), others }
}
