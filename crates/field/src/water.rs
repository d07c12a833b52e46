//! The pressure at which water or ice is in equilibrium with its vapour: what a wet system cannot be pulled below.

use units::math::{exp, pow, sqrt};
use units::{AbsolutePressure, Temperature};

/// Triple point of water, where ice, liquid and vapour meet.
pub const TRIPLE_POINT: Temperature = Temperature::from_kelvin(273.16);
const TRIPLE_PRESSURE: f64 = 611.657;
const CRITICAL_TEMPERATURE: f64 = 647.096;
const CRITICAL_PRESSURE: f64 = 22.064e6;

/// A temperature outside what the equations cover: 50 K to 647.096 K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideWater(pub Temperature);

/// Which form of water stands at a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Ice, below the triple point. It gives off vapour far more slowly than liquid water.
    Ice,
    /// Liquid water.
    Liquid,
}

/// Returns the equilibrium pressure of water at `temperature`: over ice below the triple point, over liquid above it.
///
/// # Errors
/// [`OutsideWater`] outside 50 K to 647.096 K.
///
/// Sources: liquid: W. Wagner and A. Pruss, J. Phys. Chem. Ref. Data 31 (2002) 387, eq. (2.5); ice: IAPWS R14-08(2011),
/// eq. (6).
pub fn equilibrium_pressure(temperature: Temperature) -> Result<(AbsolutePressure, Form), OutsideWater> {
    let t = temperature.kelvin();
    if !(50.0..=CRITICAL_TEMPERATURE).contains(&t) {
        return Err(OutsideWater(temperature));
    }
    Ok(if t < TRIPLE_POINT.kelvin() {
        (AbsolutePressure::from_pascal(over_ice(t)), Form::Ice)
    } else {
        (AbsolutePressure::from_pascal(over_liquid(t)), Form::Liquid)
    })
}

/// Wagner and Pruss 2002, eq. (2.5).
fn over_liquid(t: f64) -> f64 {
    let theta = 1.0 - t / CRITICAL_TEMPERATURE;
    let root = sqrt(theta);
    let (theta2, theta3) = (theta * theta, theta * theta * theta);
    let sum = -7.85951783 * theta + 1.84408259 * theta * root - 11.7866497 * theta3
        + 22.6807411 * theta3 * root
        - 15.9618719 * theta2 * theta2
        + 1.80122502 * theta3 * theta3 * theta * root;
    CRITICAL_PRESSURE * exp(CRITICAL_TEMPERATURE / t * sum)
}

/// IAPWS R14-08(2011), eq. (6).
fn over_ice(t: f64) -> f64 {
    let theta = t / TRIPLE_POINT.kelvin();
    let sum = -0.212144006e2 * pow(theta, 0.333333333e-2) + 0.273203819e2 * pow(theta, 0.120666667e1)
        - 0.610598130e1 * pow(theta, 0.170333333e1);
    TRIPLE_PRESSURE * exp(sum / theta)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_value_of_the_ice_release() {
        // IAPWS R14-08(2011), section 4: 8.947 35 Pa at 230 K; confirmed against the iapws package 1.5.
        let (pressure, form) = equilibrium_pressure(Temperature::from_kelvin(230.0)).unwrap();
        assert!((pressure.pascal() - 8.94735).abs() < 5e-6, "{}", pressure.pascal());
        assert_eq!(form, Form::Ice);
    }

    #[test]
    fn ice_and_liquid_meet_at_the_triple_point() {
        assert!((over_ice(273.16) - 611.657).abs() < 1e-3);
        assert!((over_liquid(273.16) - 611.657).abs() < 0.05);
        assert_eq!(equilibrium_pressure(TRIPLE_POINT).unwrap().1, Form::Liquid);
    }

    #[test]
    fn ice_at_box_temperatures() {
        // Computed with the IAPWS equations, rounded to the micron: 957 at 0 °F, 500 at -12 °F, 300 at -21 °F.
        for (fahrenheit, micron) in [(0.0, 957.0), (-12.0, 500.0), (-21.0, 300.0)] {
            let pressure = equilibrium_pressure(Temperature::from_fahrenheit(fahrenheit)).unwrap().0;
            assert!(
                (pressure.micron() / micron - 1.0).abs() < 0.01,
                "{fahrenheit} °F: {}",
                pressure.micron()
            );
        }
    }

    #[test]
    fn water_boils_at_one_atmosphere_near_100_celsius() {
        // 99.974 °C at 101,325 Pa (IAPWS-95).
        let pressure = equilibrium_pressure(Temperature::from_celsius(99.974)).unwrap().0;
        assert!((pressure.pascal() - 101_325.0).abs() < 10.0, "{}", pressure.pascal());
    }

    #[test]
    fn outside_is_refused() {
        assert!(equilibrium_pressure(Temperature::from_kelvin(20.0)).is_err());
        assert!(equilibrium_pressure(Temperature::from_kelvin(f64::NAN)).is_err());
    }
}
