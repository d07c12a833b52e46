//! The load of a cold box: what comes in through walls and door, how long it stays cold without a plant, how long a plant
//! needs to make it cold.

use crate::water::equilibrium_pressure;
use units::math::{ln, pow, sqrt};
use units::{
    AbsolutePressure, Duration, Fraction, Length, Mass, Power, Temperature, TemperatureDifference, Volume,
};

/// Gas constants of dry air and of water vapour, J/(kg K). Source: CIPM-2007, Metrologia 45 (2008) 149, and IAPWS
/// R6-95(2018), molar gas constant over molar mass (from memory).
const AIR: f64 = 287.05;
/// See [`AIR`].
const VAPOUR: f64 = 461.5;
/// Free fall, m/s2 (conventional value, ISO 80000-3).
const FALL: f64 = 9.806_65;
/// Conductivity of panel foam, W/(m K): four inches as R-25, the least that 10 CFR 431.306 asks of a cooler's walls (from
/// memory, the section was not read).
const FOAM: f64 = 0.023_08;
/// Specific heat of fresh goods above freezing, J/(kg K): 0.9 Btu/(lb °F), that of the example sheet of the trade reference
/// (`load-10x10x8`); flowers and produce are mostly water.
pub const FRESH: f64 = 0.9 * 4186.8;

/// Why a load cannot be reckoned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BoxError {
    /// A size, mass or share that is none.
    Parameter(f64),
    /// Air at which water's equations do not hold, or wetter than saturated.
    Air(Temperature),
    /// The temperature wanted is never reached; the box settles at this one.
    Settles(Temperature),
}

fn positive(value: f64) -> Result<f64, BoxError> {
    if value > 0.0 && value.is_finite() { Ok(value) } else { Err(BoxError::Parameter(value)) }
}

/// Air with its moisture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    /// Its temperature.
    pub temperature: Temperature,
    /// Its relative humidity.
    pub humidity: Fraction,
    /// Its pressure.
    pub pressure: AbsolutePressure,
}

impl MoistAir {
    /// Kilograms of water a kilogram of dry air, and the density of the mixture.
    fn moisture(self) -> Result<(f64, f64), BoxError> {
        let part = self.humidity.ratio();
        if !(0.0..=1.0).contains(&part) {
            return Err(BoxError::Parameter(part));
        }
        let (saturated, _) =
            equilibrium_pressure(self.temperature).map_err(|_| BoxError::Air(self.temperature))?;
        let vapour = part * saturated.pascal();
        let dry = positive(self.pressure.pascal() - vapour)?;
        let t = self.temperature.kelvin();
        Ok((AIR / VAPOUR * vapour / dry, dry / (AIR * t) + vapour / (VAPOUR * t)))
    }

    /// Returns its enthalpy, J a kg of dry air, from dry air and liquid water at 0 °C.
    ///
    /// # Errors
    /// [`BoxError`]: a humidity outside 0 to 1, a temperature beyond water's equations.
    ///
    /// Source: h = 1.006 t + w (2501 + 1.86 t) kJ/kg, ASHRAE Fundamentals, psychrometrics (from memory).
    pub fn enthalpy(self) -> Result<f64, BoxError> {
        let (w, _) = self.moisture()?;
        let t = self.temperature.celsius();
        Ok(1e3 * (1.006 * t + w * (2501.0 + 1.86 * t)))
    }
}

/// A door.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Door {
    /// Its width.
    pub width: Length,
    /// Its height.
    pub height: Length,
}

/// Returns the heat that comes through a door that stands open, fully established; none where the box is not the colder.
///
/// Q = 0.221 A (h_o - h_i) rho_i sqrt(1 - rho_o/rho_i) sqrt(g H) F_m, F_m = (2/(1 + (rho_i/rho_o)^(1/3)))^1.5.
///
/// # Errors
/// [`BoxError`]: a door without a size, air that is none.
///
/// Source: W. B. Gosney and H. A. L. Olama, 1975, as the EnergyPlus Engineering Reference gives it for walk-ins.
pub fn open_door(door: Door, outside: MoistAir, inside: MoistAir) -> Result<Power, BoxError> {
    let (width, height) = (positive(door.width.metre())?, positive(door.height.metre())?);
    let ((_, rho_o), (_, rho_i)) = (outside.moisture()?, inside.moisture()?);
    let gain = outside.enthalpy()? - inside.enthalpy()?;
    if rho_o >= rho_i || gain <= 0.0 {
        return Ok(Power::from_watt(0.0));
    }
    let factor = pow(2.0 / (1.0 + pow(rho_i / rho_o, 1.0 / 3.0)), 1.5);
    let flow = 0.221 * width * height * rho_i * sqrt(1.0 - rho_o / rho_i) * sqrt(FALL * height);
    Ok(Power::from_watt(flow * gain * factor))
}

/// Returns what of it counts on average: the share of time the door is open, 0.8 of the full flow where the box is 11 K
/// colder and 1.1 where it is not, less what a curtain or strips hold back.
///
/// Source: EnergyPlus Engineering Reference, walk-ins.
#[must_use]
pub fn door_average(
    full: Power,
    open: Fraction,
    colder_by: TemperatureDifference,
    held_back: Fraction,
) -> Power {
    let flow = if colder_by.kelvin() >= 11.0 { 0.8 } else { 1.1 };
    Power::from_watt(full.watt() * open.ratio() * flow * (1.0 - held_back.ratio()))
}

/// The inside of a box: a block, its walls of foam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Walls {
    /// One side of its floor.
    pub length: Length,
    /// The other.
    pub width: Length,
    /// Its height.
    pub height: Length,
    /// The thickness of the foam all round.
    pub foam: Length,
}

impl Walls {
    /// Returns what its six sides let through a kelvin, W/K, by the foam alone: films and skins make it a little less,
    /// joints, frames and wet foam more.
    ///
    /// # Errors
    /// [`BoxError::Parameter`]: a size that is none.
    pub fn conductance(&self) -> Result<f64, BoxError> {
        let (a, b, h) =
            (positive(self.length.metre())?, positive(self.width.metre())?, positive(self.height.metre())?);
        Ok(FOAM / positive(self.foam.metre())? * 2.0 * (a * b + a * h + b * h))
    }

    /// Returns the volume of its air.
    #[must_use]
    pub fn room(&self) -> Volume {
        Volume::from_cubic_metre(self.length.metre() * self.width.metre() * self.height.metre())
    }
}

/// Returns the heat through flat parts, each by area, conductance a square metre (W/(m2 K)) and difference.
#[must_use]
pub fn through(parts: &[(f64, f64, TemperatureDifference)]) -> Power {
    Power::from_watt(parts.iter().map(|(area, u, difference)| area * u * difference.kelvin()).sum())
}

/// Returns the heat to take from goods that are brought in warm, in a day's mean.
///
/// # Errors
/// [`BoxError::Parameter`]: a time that is none.
pub fn goods(
    mass: Mass,
    specific_heat: f64,
    cooled_by: TemperatureDifference,
    over: Duration,
) -> Result<Power, BoxError> {
    Ok(Power::from_watt(mass.kilogram() * specific_heat * cooled_by.kelvin() / positive(over.second())?))
}

/// A box as one lump: what it holds, what comes in, what a plant takes out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lump {
    /// Heat capacity of what must change its temperature, J/K.
    pub holds: f64,
    /// What comes in a kelvin, W/K.
    pub conductance: f64,
    /// Heat that comes in besides, whatever the temperature: fans, lights, people, door.
    pub besides: Power,
    /// What a plant takes out.
    pub capacity: Power,
    /// The temperature around.
    pub around: Temperature,
}

impl Lump {
    /// Returns where it settles.
    ///
    /// # Errors
    /// [`BoxError::Parameter`]: a conductance that is none.
    pub fn settles(&self) -> Result<Temperature, BoxError> {
        let excess = (self.besides.watt() - self.capacity.watt()) / positive(self.conductance)?;
        Ok(Temperature::from_kelvin(self.around.kelvin() + excess))
    }

    /// Returns how long it takes from one temperature to another.
    ///
    /// C dT/dt = UA (T_around - T) + besides - capacity, a straight law: t = C/UA ln((T_s - T_1)/(T_s - T_2)).
    ///
    /// # Errors
    /// [`BoxError::Settles`] where it never gets there, [`BoxError::Parameter`] for a size that is none.
    pub fn takes(&self, from: Temperature, to: Temperature) -> Result<Duration, BoxError> {
        let settles = self.settles()?;
        let (before, after) = (settles.kelvin() - from.kelvin(), settles.kelvin() - to.kelvin());
        if from == to {
            return Ok(Duration::from_second(0.0));
        }
        // Towards where it settles, and short of it.
        if before * after <= 0.0 || after.abs() > before.abs() {
            return Err(BoxError::Settles(settles));
        }
        Ok(Duration::from_second(positive(self.holds)? / self.conductance * ln(before / after)))
    }
}
