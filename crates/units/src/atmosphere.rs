//! The pressure of the air around the gauge, and the step from gauge to absolute.

use crate::math::pow;
use crate::{AbsolutePressure, GaugePressure, Length, PressureDifference};
use serde::{Deserialize, Serialize};

/// Standard atmosphere at sea level, in pascal.
pub const SEA_LEVEL: AbsolutePressure = AbsolutePressure::from_pascal(101_325.0);

/// Where the atmospheric pressure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AtmosphereBasis {
    /// A barometer was read.
    Barometer,
    /// Computed from this altitude by the standard atmosphere.
    Altitude(Length),
    /// Nothing was given: the standard pressure at sea level. The answer must say so.
    SeaLevelAssumed,
}

/// The atmosphere around the gauge, and how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Atmosphere {
    /// Its absolute pressure.
    pub pressure: AbsolutePressure,
    /// How that is known.
    pub basis: AtmosphereBasis,
}

/// Why no atmosphere can be made of what was given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AtmosphereError {
    /// The altitude lies outside -430 m to 6,000 m, the places people work in.
    Altitude(Length),
    /// The barometer reads outside 45 kPa to 110 kPa.
    Barometer(AbsolutePressure),
}

impl Atmosphere {
    /// Returns the atmosphere at sea level, marked as assumed.
    #[must_use]
    pub const fn sea_level_assumed() -> Self {
        Self { pressure: SEA_LEVEL, basis: AtmosphereBasis::SeaLevelAssumed }
    }

    /// Returns the standard atmosphere at `altitude`.
    ///
    /// The troposphere formula of ISO 2533, valid from the lowest land to 6,000 m.
    ///
    /// # Errors
    /// [`AtmosphereError::Altitude`] outside that range.
    pub fn at_altitude(altitude: Length) -> Result<Self, AtmosphereError> {
        let h = altitude.metre();
        if !(-430.0..=6000.0).contains(&h) {
            return Err(AtmosphereError::Altitude(altitude));
        }
        let pressure = AbsolutePressure::from_pascal(101_325.0 * pow(1.0 - 2.25577e-5 * h, 5.25588));
        Ok(Self { pressure, basis: AtmosphereBasis::Altitude(altitude) })
    }

    /// Returns the atmosphere that a barometer read (station pressure, not reduced to sea level).
    ///
    /// # Errors
    /// [`AtmosphereError::Barometer`] outside 45 kPa to 110 kPa.
    pub fn from_barometer(pressure: AbsolutePressure) -> Result<Self, AtmosphereError> {
        if !(45_000.0..=110_000.0).contains(&pressure.pascal()) {
            return Err(AtmosphereError::Barometer(pressure));
        }
        Ok(Self { pressure, basis: AtmosphereBasis::Barometer })
    }
}

impl GaugePressure {
    /// Returns the absolute pressure: gauge plus the atmosphere around the gauge.
    #[must_use]
    pub fn absolute(self, atmosphere: Atmosphere) -> AbsolutePressure {
        atmosphere.pressure + PressureDifference::from_pascal(self.pascal())
    }
}

impl AbsolutePressure {
    /// Returns what a gauge zeroed in `atmosphere` shows.
    #[must_use]
    pub fn gauge(self, atmosphere: Atmosphere) -> GaugePressure {
        GaugePressure::from_pascal(self.pascal() - atmosphere.pressure.pascal())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn standard_atmosphere_by_altitude() {
        // ISO 2533 / US Standard Atmosphere 1976 formula, from memory; the figures are computed with it elsewhere.
        for (feet, psia) in [(0.0, 14.695949), (5000.0, 12.23), (7500.0, 11.126219)] {
            let altitude = Length::from_metre(feet * 0.3048);
            let pressure = Atmosphere::at_altitude(altitude).unwrap().pressure;
            assert!((pressure.psi() - psia).abs() < 0.01, "{feet} ft: {}", pressure.psi());
        }
    }

    #[test]
    fn gauge_and_absolute_are_apart_by_the_atmosphere() {
        let there = GaugePressure::from_psi(62.5).absolute(Atmosphere::sea_level_assumed());
        assert!((there.psi() - 77.19595).abs() < 1e-4);
        assert!((there.gauge(Atmosphere::sea_level_assumed()).psi() - 62.5).abs() < 1e-9);
    }

    #[test]
    fn impossible_places_are_refused() {
        assert!(matches!(
            Atmosphere::at_altitude(Length::from_metre(9000.0)),
            Err(AtmosphereError::Altitude(_))
        ));
        let tyre = AbsolutePressure::from_pascal(230_000.0);
        assert!(matches!(Atmosphere::from_barometer(tyre), Err(AtmosphereError::Barometer(_))));
    }
}
