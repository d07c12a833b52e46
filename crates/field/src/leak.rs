//! How fast gas leaves through a leak: units, flow laws, and the step from one gas and pressure to another.

mod gas;
mod path;

pub use path::{
    Bore, CONTINUUM_BELOW, GasDrive, HELIUM_MOLAR_MASS, LAMINAR_BELOW, MOLECULAR_ABOVE, Passing, PathFlow,
    helium, mean_speed, molecular_factor,
};

use fluid::FluidError;
use units::math::{exp, exp_m1, ln, ln_1p, sqrt};
use units::{
    AbsolutePressure, Density, Duration, Fraction, LeakRate, Length, MassFlow, PressureDifference, Quantity,
    Temperature, Uncertain, Volume, combine,
};

/// Molar gas constant, J/(mol K) (SI, exact).
pub(crate) const GAS_CONSTANT: f64 = 8.31446261815324;

/// Discharge coefficient of an equivalent hole, where none is stated.
pub const DISCHARGE_COEFFICIENT: Fraction = Fraction::from_ratio(0.8);
/// Length of an equivalent capillary, where none is stated: 5 mm.
pub const CAPILLARY_LENGTH: Length = Length::from_metre(0.005);
/// Share of the time a unit runs, where nothing is known: 0.6.
pub const RUNNING_SHARE: Fraction = Fraction::from_ratio(0.6);
/// How many times its rated limit a detector is trusted to find in the field (judgement).
pub const FIELD_FACTOR: f64 = 10.0;

/// The dynamic viscosity of a gas.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Viscosity(f64);

impl Viscosity {
    /// Returns the viscosity of `value` pascal seconds.
    #[must_use]
    pub const fn from_pascal_second(value: f64) -> Self {
        Self(value)
    }
    /// Returns the value in pascal seconds.
    #[must_use]
    pub const fn pascal_second(self) -> f64 {
        self.0
    }
}

impl Quantity for Viscosity {
    const UNIT: &'static str = "pascal second";
    fn from_si(si: f64) -> Self {
        Self(si)
    }
    fn si(self) -> f64 {
        self.0
    }
}

/// Returns the throughput of a mass flow, at a reference temperature that must be said with it: q = m R T / M.
///
/// The ideal-gas law at low pressure; `molar_mass` in kg/mol.
#[must_use]
pub fn throughput(flow: MassFlow, molar_mass: f64, reference: Temperature) -> LeakRate {
    let per = GAS_CONSTANT * reference.kelvin() / molar_mass;
    LeakRate::from_pascal_cubic_metre_per_second(flow.kilogram_per_second() * per)
}

/// Returns the mass flow of a throughput stated at a reference temperature: m = q M / (R T).
#[must_use]
pub fn mass_flow(rate: LeakRate, molar_mass: f64, reference: Temperature) -> MassFlow {
    let per = molar_mass / (GAS_CONSTANT * reference.kelvin());
    MassFlow::from_kilogram_per_second(rate.pascal_cubic_metre_per_second() * per)
}

/// Returns the mass flow of an amount flow in mol/s.
#[must_use]
pub fn mass_flow_of_amount(mol_per_second: f64, molar_mass: f64) -> MassFlow {
    MassFlow::from_kilogram_per_second(mol_per_second * molar_mass)
}

/// Returns the throughput that changes the pressure of a closed volume: q = V dp/dt.
#[must_use]
pub fn throughput_of_pressure_change(volume: Volume, change: PressureDifference, time: Duration) -> LeakRate {
    LeakRate::from_pascal_cubic_metre_per_second(volume.cubic_metre() * change.pascal() / time.second())
}

/// Returns the pressure change that a throughput makes in a closed volume: dp = q t / V.
#[must_use]
pub fn pressure_change_of_throughput(rate: LeakRate, volume: Volume, time: Duration) -> PressureDifference {
    PressureDifference::from_pascal(
        rate.pascal_cubic_metre_per_second() * time.second() / volume.cubic_metre(),
    )
}

/// A gas upstream of a leak.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Its pressure.
    pub pressure: AbsolutePressure,
    /// Its temperature.
    pub temperature: Temperature,
    /// Its density.
    pub density: Density,
    /// Its molar mass, kg/mol.
    pub molar_mass: f64,
    /// Its isentropic exponent n = rho w^2/p at this state, by which p goes with rho^n: cp/cv of an ideal gas; of a dense
    /// vapour less than cp/cv, and near its critical point less than one.
    pub isentropic_exponent: f64,
}

/// Why a flow cannot be computed.
#[derive(Clone, Debug, PartialEq)]
pub enum LeakError {
    /// The fluid has no such state.
    Fluid(FluidError),
    /// The state is no gas: a liquid, or without a speed of sound.
    NotAGas,
    /// The pressure behind the leak is not above that outside.
    NoDrive {
        /// Inside.
        inside: AbsolutePressure,
        /// Outside.
        outside: AbsolutePressure,
    },
    /// A size, coefficient or share outside what is possible.
    Parameter(f64),
}

impl From<FluidError> for LeakError {
    fn from(error: FluidError) -> Self {
        Self::Fluid(error)
    }
}

impl Gas {
    /// Returns the compressibility factor Z = p M / (rho R T).
    #[must_use]
    pub fn compressibility(&self) -> f64 {
        self.pressure.pascal() * self.molar_mass
            / (self.density.kilogram_per_cubic_metre() * GAS_CONSTANT * self.temperature.kelvin())
    }
}

/// Which branch of the orifice law holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Regime {
    /// The speed of sound is reached; the pressure outside does not matter.
    Choked,
    /// Below it.
    Subsonic,
}

/// The flow through an opening, by area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OrificeFlow {
    /// Mass flow by area of the hole, kg/(s m2), the discharge coefficient included.
    pub flux: f64,
    /// Choked or not.
    pub regime: Regime,
    /// Inside over outside pressure above which the flow chokes.
    pub critical_pressure_ratio: f64,
    /// The gas behind it.
    pub gas: Gas,
}

/// Returns ln((n+1)/2)/(n-1), which is 1/2 where n is one.
fn log_ratio(exponent: f64) -> f64 {
    let above = exponent - 1.0;
    if above == 0.0 { 0.5 } else { ln_1p(0.5 * above) / above }
}

/// Returns the ratio of inside to outside pressure above which a flow chokes: ((n+1)/2)^(n/(n-1)).
///
/// 1.6 to 1.7 for the vapour of the usual blends, 1.9 for air; of an exponent of one it is sqrt(e).
#[must_use]
pub fn critical_pressure_ratio(exponent: f64) -> f64 {
    exp(exponent * log_ratio(exponent))
}

/// Returns the flow of a gas through an opening, choked or subsonic.
///
/// Choked: Cd sqrt(n rho p) (2/(n+1))^((n+1)/(2(n-1))), where rho p is p^2 M/(Z R T). Below the critical ratio the
/// isentropic nozzle law with the same n, which meets it there. n = rho w^2/p of the real gas where it stands, held on the
/// whole way; both laws have an answer for any n above zero. For saturated vapour it is within 1.4 % of what the
/// equation of state gives along the isentrope, for R-744 6 to 16 % more. `docs/engine.md` has the table, a test holds it.
///
/// # Errors
/// [`LeakError::NoDrive`] without a pressure difference outwards, [`LeakError::Parameter`] for a discharge coefficient
/// outside 0 to 1 or an exponent that is not above zero.
///
/// Source: the ideal-gas nozzle equations of any gas dynamics textbook, with the real gas's density and exponent.
pub fn orifice_flow(
    gas: &Gas,
    outside: AbsolutePressure,
    discharge_coefficient: Fraction,
) -> Result<OrificeFlow, LeakError> {
    let cd = discharge_coefficient.ratio();
    if !(cd > 0.0 && cd <= 1.0) {
        return Err(LeakError::Parameter(cd));
    }
    let (p, p2) = (gas.pressure.pascal(), outside.pascal());
    if !(p > p2 && p2 >= 0.0) {
        return Err(LeakError::NoDrive { inside: gas.pressure, outside });
    }
    let n = gas.isentropic_exponent;
    if !(n > 0.0 && n.is_finite()) {
        return Err(LeakError::Parameter(n));
    }
    let rho = gas.density.kilogram_per_cubic_metre();
    let critical = critical_pressure_ratio(n);
    let (flux, regime) = if p >= critical * p2 {
        (cd * sqrt(n * rho * p) * exp(-0.5 * (n + 1.0) * log_ratio(n)), Regime::Choked)
    } else {
        // n/(n-1) (r^(2/n) - r^((n+1)/n)), written so that an n of one is no hole in it.
        let log = ln(p2 / p);
        let above = (n - 1.0) / n;
        let fall = if above == 0.0 { -log } else { -exp_m1(above * log) / above };
        (cd * sqrt(2.0 * p * rho * exp(2.0 / n * log) * fall), Regime::Subsonic)
    };
    Ok(OrificeFlow { flux, regime, critical_pressure_ratio: critical, gas: *gas })
}

/// The drive of a laminar flow: both pressures and the viscosity of the gas between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LaminarDrive {
    /// Pressure inside.
    pub inside: AbsolutePressure,
    /// Pressure outside.
    pub outside: AbsolutePressure,
    /// Viscosity of the gas that flows.
    pub viscosity: Viscosity,
}

impl LaminarDrive {
    /// Returns (p1^2 - p2^2)/eta in Pa/s, to which the throughput of a laminar capillary is proportional.
    #[must_use]
    pub fn strength(&self) -> f64 {
        let (p1, p2) = (self.inside.pascal(), self.outside.pascal());
        (p1 * p1 - p2 * p2) / self.viscosity.pascal_second()
    }
}

/// Returns by what factor the throughput of a laminar leak changes from one gas and pressure to another.
///
/// q2/q1 = (eta1/eta2) (p1^2 - p2^2)_2 / (p1^2 - p2^2)_1, both throughputs at one reference temperature. Negative where
/// the second flows inward.
///
/// # Errors
/// [`LeakError::NoDrive`] where the first has no pressure difference.
///
/// Source: EN 1779 and ISO 20485 (cited, not seen); the Poiseuille law for a compressible gas.
pub fn laminar_factor(from: &LaminarDrive, to: &LaminarDrive) -> Result<f64, LeakError> {
    let drive = from.strength();
    if !(drive.abs() > 0.0 && drive.is_finite()) {
        return Err(LeakError::NoDrive { inside: from.inside, outside: from.outside });
    }
    Ok(to.strength() / drive)
}

/// A round hole that would leak as much.
#[derive(Clone, Debug, PartialEq)]
pub struct EquivalentHole {
    /// Its diameter.
    pub diameter: Uncertain<Length>,
    /// The discharge coefficient used.
    pub discharge_coefficient: Fraction,
    /// The coefficient was not stated but assumed.
    pub coefficient_assumed: bool,
    /// The flow behind it while running (or the only one).
    pub flow: OrificeFlow,
}

/// Returns the hole through which `loss` would leave.
///
/// d = sqrt(4 m / (pi flux)), with Cd = 0.8 unless stated.
///
/// # Errors
/// [`LeakError`] as of [`orifice_flow`], or for a loss not above zero.
pub fn equivalent_hole(
    loss: &Uncertain<MassFlow>,
    gas: &Gas,
    outside: AbsolutePressure,
    discharge_coefficient: Option<Fraction>,
) -> Result<EquivalentHole, LeakError> {
    let cd = discharge_coefficient.unwrap_or(DISCHARGE_COEFFICIENT);
    let flow = orifice_flow(gas, outside, cd)?;
    hole(loss, flow.flux, flow, cd, discharge_coefficient.is_none())
}

fn hole(
    loss: &Uncertain<MassFlow>,
    mean_flux: f64,
    flow: OrificeFlow,
    cd: Fraction,
    coefficient_assumed: bool,
) -> Result<EquivalentHole, LeakError> {
    let m = loss.value().kilogram_per_second();
    if !(m > 0.0 && m.is_finite()) {
        return Err(LeakError::Parameter(m));
    }
    let d = sqrt(4.0 * m / (core::f64::consts::PI * mean_flux));
    let diameter = loss.map(Length::from_metre(d), d / (2.0 * m));
    Ok(EquivalentHole { diameter, discharge_coefficient: cd, coefficient_assumed, flow })
}

/// A loss over months, put down to one hole that sees two pressures.
#[derive(Clone, Debug, PartialEq)]
pub struct DutyWeightedHole {
    /// The hole.
    pub hole: EquivalentHole,
    /// What it passes while running.
    pub running: MassFlow,
    /// What it passes while off.
    pub off: MassFlow,
    /// Share of the time running that was used.
    pub running_share: Fraction,
    /// The share was not stated but assumed.
    pub share_assumed: bool,
}

/// Returns the hole that explains a loss over running and off time, and what it passes in each.
///
/// A = loss / (s flux_running + (1 - s) flux_off). The share `s` is 0.6 unless stated. A side that stands at or below the
/// air outside while off loses nothing then (it may draw air in).
///
/// # Errors
/// [`LeakError`] as of [`orifice_flow`], or for a share outside 0 to 1.
pub fn duty_weighted_hole(
    loss: &Uncertain<MassFlow>,
    running: &Gas,
    off: &Gas,
    outside: AbsolutePressure,
    discharge_coefficient: Option<Fraction>,
    running_share: Option<Fraction>,
) -> Result<DutyWeightedHole, LeakError> {
    let share = running_share.unwrap_or(RUNNING_SHARE);
    let s = share.ratio();
    if !(0.0..=1.0).contains(&s) {
        return Err(LeakError::Parameter(s));
    }
    let cd = discharge_coefficient.unwrap_or(DISCHARGE_COEFFICIENT);
    let flow = orifice_flow(running, outside, cd)?;
    let off_flux = match orifice_flow(off, outside, cd) {
        Ok(flow) => flow.flux,
        Err(LeakError::NoDrive { .. }) => 0.0,
        Err(error) => return Err(error),
    };
    let mean = s * flow.flux + (1.0 - s) * off_flux;
    let hole = hole(loss, mean, flow, cd, discharge_coefficient.is_none())?;
    let area = loss.value().kilogram_per_second() / mean;
    Ok(DutyWeightedHole {
        running: MassFlow::from_kilogram_per_second(area * hole.flow.flux),
        off: MassFlow::from_kilogram_per_second(area * off_flux),
        hole,
        running_share: share,
        share_assumed: running_share.is_none(),
    })
}

/// A capillary that would leak as much.
#[derive(Clone, Debug, PartialEq)]
pub struct EquivalentCapillary {
    /// Its diameter.
    pub diameter: Uncertain<Length>,
    /// Its length.
    pub length: Length,
    /// The length was not stated but assumed.
    pub length_assumed: bool,
    /// The throughput used, at the gas temperature.
    pub throughput: LeakRate,
}

/// Returns the capillary through which `loss` would leave in laminar flow.
///
/// q = pi d^4 (p1^2 - p2^2)/(256 eta L), with L = 5 mm unless stated and q at the temperature of the gas.
///
/// # Errors
/// [`LeakError`] without a pressure difference, or for a loss or length not above zero.
pub fn equivalent_capillary(
    loss: &Uncertain<MassFlow>,
    gas: &Gas,
    viscosity: Viscosity,
    outside: AbsolutePressure,
    length: Option<Length>,
) -> Result<EquivalentCapillary, LeakError> {
    let l = length.unwrap_or(CAPILLARY_LENGTH);
    let m = loss.value().kilogram_per_second();
    for parameter in [m, l.metre(), viscosity.pascal_second()] {
        if !(parameter > 0.0 && parameter.is_finite()) {
            return Err(LeakError::Parameter(parameter));
        }
    }
    let drive = LaminarDrive { inside: gas.pressure, outside, viscosity };
    if drive.strength() <= 0.0 {
        return Err(LeakError::NoDrive { inside: gas.pressure, outside });
    }
    let q = throughput(loss.value(), gas.molar_mass, gas.temperature);
    let d4 =
        256.0 * l.metre() * q.pascal_cubic_metre_per_second() / (core::f64::consts::PI * drive.strength());
    let d = sqrt(sqrt(d4));
    Ok(EquivalentCapillary {
        diameter: loss.map(Length::from_metre(d), d / (4.0 * m)),
        length: l,
        length_assumed: length.is_none(),
        throughput: q,
    })
}

/// A leak against what a detector is rated to find.
#[derive(Clone, Debug, PartialEq)]
pub struct DetectorComparison {
    /// How many times the rated limit the leak is.
    pub times_rated: Uncertain<Fraction>,
    /// How many times what the detector is trusted to find in the field.
    pub times_field: Uncertain<Fraction>,
    /// The factor between the two.
    pub field_factor: f64,
    /// The factor was not stated but assumed.
    pub factor_assumed: bool,
}

/// Returns how a leak compares with a detector's rated limit, a bench figure, and with that limit in the field.
///
/// A leak far above both that was not found was not probed, not leaking then, hidden, or not a leak at all.
///
/// # Errors
/// [`LeakError::Parameter`] for a limit or factor not above zero.
pub fn compare_with_detector(
    leak: &Uncertain<MassFlow>,
    rated: MassFlow,
    field_factor: Option<f64>,
) -> Result<DetectorComparison, LeakError> {
    let factor = field_factor.unwrap_or(FIELD_FACTOR);
    let limit = rated.kilogram_per_second();
    for parameter in [limit, factor] {
        if !(parameter > 0.0 && parameter.is_finite()) {
            return Err(LeakError::Parameter(parameter));
        }
    }
    let times = leak.value().kilogram_per_second() / limit;
    let of = |times: f64, per: f64| combine(Fraction::from_ratio(times), [leak.part(per)]);
    Ok(DetectorComparison {
        times_rated: of(times, 1.0 / limit),
        times_field: of(times / factor, 1.0 / (limit * factor)),
        field_factor: factor,
        factor_assumed: field_factor.is_none(),
    })
}

#[cfg(test)]
mod tests;
