//! Gas through a narrow path, from the laminar flow of a capillary down to single molecules.

use super::{CAPILLARY_LENGTH, GAS_CONSTANT, Gas, LaminarDrive, LeakError, Viscosity, mass_flow};
use core::f64::consts::PI;
use units::math::sqrt;
use units::{AbsolutePressure, Density, LeakRate, Length, MassFlow, Speed, Temperature};

/// Molar mass of helium, kg/mol (IUPAC).
pub const HELIUM_MOLAR_MASS: f64 = 4.002602e-3;

/// Up to this Knudsen number a gas flows as a continuum.
///
/// Source: common practice of vacuum technology, from memory; other texts say 0.001 where slip at the wall matters.
pub const CONTINUUM_BELOW: f64 = 0.01;
/// From this Knudsen number on molecules meet the wall and hardly each other.
///
/// Source: common practice of vacuum technology, from memory; other texts say 1.
pub const MOLECULAR_ABOVE: f64 = 0.5;
/// Up to this Reynolds number a flow in a long pipe stays laminar, by diameter.
///
/// Source: common practice.
pub const LAMINAR_BELOW: f64 = 2000.0;

/// Returns helium as an ideal gas: an exponent of 5/3, some 0.25 % more flow than the real gas at 10 bar (judgement).
#[must_use]
pub fn helium(pressure: AbsolutePressure, temperature: Temperature) -> Gas {
    let density = pressure.pascal() * HELIUM_MOLAR_MASS / (GAS_CONSTANT * temperature.kelvin());
    Gas {
        pressure,
        temperature,
        density: Density::from_kilogram_per_cubic_metre(density),
        molar_mass: HELIUM_MOLAR_MASS,
        isentropic_exponent: 5.0 / 3.0,
    }
}

/// Returns the mean speed of a gas's molecules: sqrt(8 R T / (pi M)).
///
/// Source: kinetic theory, any textbook.
#[must_use]
pub fn mean_speed(molar_mass: f64, temperature: Temperature) -> Speed {
    Speed::from_metre_per_second(sqrt(8.0 * GAS_CONSTANT * temperature.kelvin() / (PI * molar_mass)))
}

/// A round, straight path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore {
    /// Its diameter.
    pub diameter: Length,
    /// Its length.
    pub length: Length,
}

impl Bore {
    /// Returns a bore as long as one is taken to be where nothing is stated: 5 mm.
    #[must_use]
    pub const fn of_usual_length(diameter: Length) -> Self {
        Self { diameter, length: CAPILLARY_LENGTH }
    }
}

/// How a gas passes, by the ratio of its free path to the diameter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Passing {
    /// Molecules meet each other: laminar or choked flow.
    Continuum,
    /// Between the two.
    Between,
    /// Molecules meet the wall alone.
    Molecular,
}

impl Passing {
    /// Returns how a gas of this Knudsen number passes.
    #[must_use]
    pub fn of(knudsen: f64) -> Self {
        if knudsen < CONTINUUM_BELOW {
            Self::Continuum
        } else if knudsen > MOLECULAR_ABOVE {
            Self::Molecular
        } else {
            Self::Between
        }
    }
}

/// What passes a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathFlow {
    /// Pressure times volume in a time, at the temperature of the gas.
    pub throughput: LeakRate,
    /// Mass in a time.
    pub mass: MassFlow,
}

/// A gas with a pressure on each side of a path, ideal and at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GasDrive {
    /// Pressure inside.
    pub inside: AbsolutePressure,
    /// Pressure outside; nothing for a vacuum.
    pub outside: AbsolutePressure,
    /// Temperature of gas and wall.
    pub temperature: Temperature,
    /// Molar mass, kg/mol.
    pub molar_mass: f64,
    /// Dynamic viscosity.
    pub viscosity: Viscosity,
}

impl GasDrive {
    fn check(&self, sizes: &[Length]) -> Result<(), LeakError> {
        let of = sizes.iter().map(|size| size.metre());
        for value in of.chain([self.temperature.kelvin(), self.molar_mass, self.viscosity.pascal_second()]) {
            if !(value > 0.0 && value.is_finite()) {
                return Err(LeakError::Parameter(value));
            }
        }
        let (p1, p2) = (self.inside.pascal(), self.outside.pascal());
        if !(p1 > p2 && p2 >= 0.0 && p1.is_finite()) {
            return Err(LeakError::NoDrive { inside: self.inside, outside: self.outside });
        }
        Ok(())
    }

    fn drop(&self) -> f64 {
        self.inside.pascal() - self.outside.pascal()
    }

    fn mean(&self) -> f64 {
        0.5 * (self.inside.pascal() + self.outside.pascal())
    }

    fn flow(&self, pascal_cubic_metre_per_second: f64) -> PathFlow {
        let throughput = LeakRate::from_pascal_cubic_metre_per_second(pascal_cubic_metre_per_second);
        PathFlow { throughput, mass: mass_flow(throughput, self.molar_mass, self.temperature) }
    }

    /// Returns the free path between two meetings of molecules at the mean pressure: eta/p sqrt(pi R T / (2 M)).
    ///
    /// Source: kinetic theory, any text on vacuum technology.
    #[must_use]
    pub fn mean_free_path(&self) -> Length {
        let rt = GAS_CONSTANT * self.temperature.kelvin();
        let speed = sqrt(PI * rt / (2.0 * self.molar_mass));
        Length::from_metre(self.viscosity.pascal_second() / self.mean() * speed)
    }

    /// Returns the Knudsen number at the mean pressure: the free path by the diameter.
    #[must_use]
    pub fn knudsen(&self, diameter: Length) -> f64 {
        self.mean_free_path().metre() / diameter.metre()
    }

    /// Returns the laminar flow through a capillary: q = pi d^4 (p1^2 - p2^2)/(256 eta L).
    ///
    /// The inverse of [`super::equivalent_capillary`]. It takes no entrance and no acceleration into account: see
    /// [`Self::laminar_holds`].
    ///
    /// # Errors
    /// [`LeakError`] without a pressure difference outwards, or for a size not above zero.
    ///
    /// Source: the Poiseuille law for a compressible gas.
    pub fn laminar(&self, bore: Bore) -> Result<PathFlow, LeakError> {
        self.check(&[bore.diameter, bore.length])?;
        let drive = LaminarDrive { inside: self.inside, outside: self.outside, viscosity: self.viscosity };
        let square = bore.diameter.metre() * bore.diameter.metre();
        Ok(self.flow(PI * square * square * drive.strength() / (256.0 * bore.length.metre())))
    }

    /// Returns whether a laminar flow is slow enough for its law: a Reynolds number 4 m/(pi d eta) under 2000, and at the
    /// end of the path slower than sqrt(R T / M).
    ///
    /// Where it is not the path is short or wide for its pressure, and the law of a hole is nearer.
    #[must_use]
    pub fn laminar_holds(&self, bore: Bore, flow: &PathFlow) -> bool {
        let d = bore.diameter.metre();
        let reynolds = 4.0 * flow.mass.kilogram_per_second() / (PI * d * self.viscosity.pascal_second());
        let leaving =
            flow.throughput.pascal_cubic_metre_per_second() / (self.outside.pascal() * 0.25 * PI * d * d);
        let limit = sqrt(GAS_CONSTANT * self.temperature.kelvin() / self.molar_mass);
        reynolds < LAMINAR_BELOW && leaving < limit
    }

    /// Returns the molecular flow through a tube much longer than wide: q = pi d^3/(12 L) v (p1 - p2), v the mean speed.
    ///
    /// # Errors
    /// As [`Self::laminar`].
    ///
    /// Source: Knudsen 1909, from any text on vacuum technology.
    pub fn molecular(&self, bore: Bore) -> Result<PathFlow, LeakError> {
        self.check(&[bore.diameter, bore.length])?;
        let d = bore.diameter.metre();
        let v = mean_speed(self.molar_mass, self.temperature).metre_per_second();
        Ok(self.flow(PI * d * d * d / (12.0 * bore.length.metre()) * v * self.drop()))
    }

    /// Returns the molecular flow through a hole in a thin wall: q = A v (p1 - p2)/4.
    ///
    /// # Errors
    /// As [`Self::laminar`].
    ///
    /// Source: kinetic theory, any textbook.
    pub fn molecular_hole(&self, diameter: Length) -> Result<PathFlow, LeakError> {
        self.check(&[diameter])?;
        let d = diameter.metre();
        let v = mean_speed(self.molar_mass, self.temperature).metre_per_second();
        Ok(self.flow(0.25 * PI * d * d * 0.25 * v * self.drop()))
    }

    /// Returns the flow through a long tube at any Knudsen number: laminar, and molecular by
    /// (1 + x)/(1 + 1.24 x) with x = sqrt(M/(R T)) d p/eta at the mean pressure.
    ///
    /// At low pressure the molecular law, at high the laminar one and some slip along the wall.
    ///
    /// # Errors
    /// As [`Self::laminar`].
    ///
    /// Source: Knudsen, Annalen der Physik 333 (1909) 75, from memory; its least conductance, 0.95 of the molecular one, is
    /// in the tests.
    pub fn through(&self, bore: Bore) -> Result<PathFlow, LeakError> {
        let laminar = self.laminar(bore)?.throughput.pascal_cubic_metre_per_second();
        let molecular = self.molecular(bore)?.throughput.pascal_cubic_metre_per_second();
        let x = sqrt(self.molar_mass / (GAS_CONSTANT * self.temperature.kelvin()))
            * bore.diameter.metre()
            * self.mean()
            / self.viscosity.pascal_second();
        Ok(self.flow(laminar + molecular * (1.0 + x) / (1.0 + 1.24 * x)))
    }
}

/// Returns by what factor the throughput of a molecular leak changes from one gas and pressure to another.
///
/// q2/q1 = sqrt(T2 M1/(T1 M2)) (p1 - p2)_2/(p1 - p2)_1, each throughput at the temperature of its gas; through a hole and a
/// tube alike.
///
/// # Errors
/// [`LeakError`] for a gas without a pressure difference outwards, or for a value not above zero.
pub fn molecular_factor(from: &GasDrive, to: &GasDrive) -> Result<f64, LeakError> {
    from.check(&[])?;
    to.check(&[])?;
    let speed = |of: &GasDrive| mean_speed(of.molar_mass, of.temperature).metre_per_second();
    Ok(speed(to) * to.drop() / (speed(from) * from.drop()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::leak::{equivalent_capillary, laminar_factor};
    use units::Uncertain;

    /// Nitrogen and helium at 25 °C, their viscosities as in data/transport.
    fn nitrogen(inside: f64, outside: f64) -> GasDrive {
        GasDrive {
            inside: AbsolutePressure::from_pascal(inside),
            outside: AbsolutePressure::from_pascal(outside),
            temperature: Temperature::from_celsius(25.0),
            molar_mass: 0.028_013_4,
            viscosity: Viscosity::from_pascal_second(1.78e-5),
        }
    }
    fn helium_drive(inside: f64, outside: f64) -> GasDrive {
        GasDrive {
            molar_mass: HELIUM_MOLAR_MASS,
            viscosity: Viscosity::from_pascal_second(1.98456e-5),
            ..nitrogen(inside, outside)
        }
    }
    fn bore(micrometre: f64) -> Bore {
        Bore::of_usual_length(Length::from_metre(micrometre * 1e-6))
    }
    fn rate(flow: PathFlow) -> f64 {
        flow.throughput.pascal_cubic_metre_per_second()
    }

    #[test]
    fn a_capillary_lets_through_what_it_was_sized_for() {
        let loss = MassFlow::from_kilogram_per_year(0.05);
        let drive = nitrogen(1.5e6, 101_325.0);
        let gas = Gas {
            pressure: drive.inside,
            temperature: drive.temperature,
            density: Density::from_kilogram_per_cubic_metre(17.0),
            molar_mass: drive.molar_mass,
            isentropic_exponent: 1.4,
        };
        let sized = equivalent_capillary(&Uncertain::exact(loss), &gas, drive.viscosity, drive.outside, None)
            .unwrap();
        let bore = Bore::of_usual_length(sized.diameter.value());
        let flow = drive.laminar(bore).unwrap();
        assert!((flow.mass.kilogram_per_second() / loss.kilogram_per_second() - 1.0).abs() < 1e-12);
        assert!(drive.laminar_holds(bore, &flow));
        // A wide one of the same length is a hole.
        let wide = Bore { diameter: Length::from_metre(1e-3), ..bore };
        assert!(!drive.laminar_holds(wide, &drive.laminar(wide).unwrap()));
    }

    /// 66 to 68 nm in air and nitrogen at one atmosphere: handbooks, from memory.
    #[test]
    fn molecules_of_nitrogen_fly_67_nanometres() {
        let path = nitrogen(101_325.0, 101_324.0).mean_free_path().metre();
        assert!((65e-9..69e-9).contains(&path), "{path}");
        // 475 m/s at 25 °C: kinetic theory by hand.
        let speed = mean_speed(0.028_013_4, Temperature::from_celsius(25.0)).metre_per_second();
        assert!((speed - 474.7).abs() < 0.1, "{speed}");
    }

    #[test]
    fn the_laws_meet_where_they_should() {
        // At low pressure the molecular law, at high the laminar one and a wall's slip.
        let thin = nitrogen(10.0, 0.0);
        assert_eq!(Passing::of(thin.knudsen(bore(1.0).diameter)), Passing::Molecular);
        let ratio = rate(thin.through(bore(1.0)).unwrap()) / rate(thin.molecular(bore(1.0)).unwrap());
        assert!((ratio - 1.0).abs() < 1e-3, "{ratio}");
        let thick = nitrogen(2e6, 101_325.0);
        assert_eq!(Passing::of(thick.knudsen(bore(50.0).diameter)), Passing::Continuum);
        let ratio = rate(thick.through(bore(50.0)).unwrap()) / rate(thick.laminar(bore(50.0)).unwrap());
        assert!(ratio > 1.0 && ratio < 1.02, "{ratio}");
        // The least conductance lies at 0.95 of the molecular one: Knudsen 1909.
        let least = (1..400)
            .map(|k| {
                let p = 1e3 * f64::from(k);
                let drive = nitrogen(p + 0.5, p - 0.5);
                rate(drive.through(bore(1.0)).unwrap()) / rate(drive.molecular(bore(1.0)).unwrap())
            })
            .fold(f64::INFINITY, f64::min);
        assert!((0.94..0.96).contains(&least), "{least}");
        // A hole lets through 3 L/(4 d) of what a long tube of its width does.
        let hole = rate(thin.molecular_hole(bore(1.0).diameter).unwrap());
        let tube = rate(thin.molecular(bore(1.0)).unwrap());
        assert!((hole / tube / (0.75 * 5e-3 / 1e-6) - 1.0).abs() < 1e-12);
    }

    /// Helium leaks 2.65 times as fast as nitrogen by molecules, 0.9 times by laminar flow: tables of leak testing, from
    /// memory.
    #[test]
    fn one_gas_stands_for_another() {
        let (n, h) = (nitrogen(3e5, 1e5), helium_drive(3e5, 1e5));
        let factor = molecular_factor(&n, &h).unwrap();
        assert!((factor - 2.6455).abs() < 1e-3, "{factor}");
        let ratio = rate(h.molecular(bore(0.1)).unwrap()) / rate(n.molecular(bore(0.1)).unwrap());
        assert!((ratio / factor - 1.0).abs() < 1e-12);
        let laminar =
            |of: &GasDrive| LaminarDrive { inside: of.inside, outside: of.outside, viscosity: of.viscosity };
        let factor = laminar_factor(&laminar(&n), &laminar(&h)).unwrap();
        assert!((factor - 0.90).abs() < 0.01, "{factor}");
        let ratio = rate(h.laminar(bore(20.0)).unwrap()) / rate(n.laminar(bore(20.0)).unwrap());
        assert!((ratio / factor - 1.0).abs() < 1e-12);
        // Twice the pressure difference, twice the molecules.
        assert!((molecular_factor(&n, &nitrogen(5e5, 1e5)).unwrap() - 2.0).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let level = nitrogen(1e5, 1e5);
        assert!(matches!(level.laminar(bore(1.0)), Err(LeakError::NoDrive { .. })));
        assert!(matches!(molecular_factor(&level, &nitrogen(3e5, 1e5)), Err(LeakError::NoDrive { .. })));
        let drive = nitrogen(3e5, 1e5);
        assert!(matches!(drive.through(bore(0.0)), Err(LeakError::Parameter(_))));
        assert!(matches!(drive.molecular_hole(Length::from_metre(-1.0)), Err(LeakError::Parameter(_))));
    }
}
