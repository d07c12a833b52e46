//! The quantities themselves: a number with its meaning in the type, SI inside.

use core::ops::{Add, Div, Mul, Neg, Sub};
use serde::{Deserialize, Serialize};

/// Pascal in one pound-force per square inch.
pub const PASCAL_PER_PSI: f64 = 6894.757293168361;
/// Pascal in one inch of mercury at 0 °C.
pub const PASCAL_PER_INHG: f64 = 3386.388640;
/// Pascal in one micron (micrometre of mercury), the unit of vacuum gauges.
pub const PASCAL_PER_MICRON: f64 = 0.1333223684;
/// Kilogram in one pound.
pub const KILOGRAM_PER_POUND: f64 = 0.45359237;
/// Cubic metre in one cubic foot.
pub const CUBIC_METRE_PER_CUBIC_FOOT: f64 = 0.028316846592;
/// Seconds in the year of physics, 365.25 days. Law counts its own years.
pub const SECONDS_PER_YEAR: f64 = 365.25 * 86400.0;
/// Joule in one Btu (International Table).
pub const JOULE_PER_BTU: f64 = 1055.05585262;

/// A quantity: one number in SI behind a type that says what it means.
pub trait Quantity: Copy + core::fmt::Debug + PartialEq + PartialOrd {
    /// The SI unit, as it stands in the field names of the JSON output.
    const UNIT: &'static str;
    /// Returns the quantity whose SI value is `si`.
    fn from_si(si: f64) -> Self;
    /// Returns the SI value.
    fn si(self) -> f64;
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("Returns the quantity of `value` ", $unit, ".")]
            #[must_use]
            pub const fn $from(value: f64) -> Self {
                Self(value)
            }
            #[doc = concat!("Returns the value in ", $unit, ".")]
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $name {
            const UNIT: &'static str = $unit;
            fn from_si(si: f64) -> Self {
                Self(si)
            }
            fn si(self) -> f64 {
                self.0
            }
        }
    };
}

/// Amounts that add among themselves and scale by a number.
macro_rules! additive {
    ($($name:ident),*) => {$(
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl core::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                parts.fold(Self(0.0), |total, part| total + part)
            }
        }
    )*};
}

/// A point on a scale, whose differences are another quantity.
macro_rules! affine {
    ($($point:ident - $point2:ident = $difference:ident),*) => {$(
        impl Sub for $point {
            type Output = $difference;
            fn sub(self, other: $point2) -> $difference {
                $difference(self.0 - other.0)
            }
        }
        impl Add<$difference> for $point {
            type Output = $point;
            fn add(self, step: $difference) -> $point {
                $point(self.0 + step.0)
            }
        }
        impl Sub<$difference> for $point {
            type Output = $point;
            fn sub(self, step: $difference) -> $point {
                $point(self.0 - step.0)
            }
        }
    )*};
}

quantity!(
    /// A temperature on the thermodynamic scale.
    ///
    /// A temperature is not a difference of temperatures:
    ///
    /// ```compile_fail
    /// use units::{Temperature, TemperatureDifference};
    /// let superheat: TemperatureDifference = Temperature::from_celsius(5.0);
    /// ```
    Temperature, from_kelvin, kelvin, "kelvin"
);
quantity!(
    /// A difference of two temperatures, such as superheat.
    TemperatureDifference, from_kelvin, kelvin, "kelvin"
);
quantity!(
    /// A pressure above vacuum.
    ///
    /// An absolute pressure is not a gauge pressure:
    ///
    /// ```compile_fail
    /// use units::{AbsolutePressure, GaugePressure};
    /// fn saturation(_: AbsolutePressure) {}
    /// saturation(GaugePressure::from_psi(62.5));
    /// ```
    AbsolutePressure, from_pascal, pascal, "pascal"
);
quantity!(
    /// A pressure above the atmosphere around the gauge; negative under vacuum.
    GaugePressure, from_pascal, pascal, "pascal"
);
quantity!(
    /// A difference of two pressures.
    PressureDifference, from_pascal, pascal, "pascal"
);
quantity!(
    /// A mass.
    Mass, from_kilogram, kilogram, "kilogram"
);
quantity!(
    /// A volume.
    Volume, from_cubic_metre, cubic_metre, "cubic metre"
);
quantity!(
    /// A length.
    Length, from_metre, metre, "metre"
);
quantity!(
    /// A stretch of time.
    Duration, from_second, second, "second"
);
quantity!(
    /// A power.
    Power, from_watt, watt, "watt"
);
quantity!(
    /// A mass that flows in a time; also the size of a leak, in mass a year.
    MassFlow, from_kilogram_per_second, kilogram_per_second, "kilogram per second"
);
quantity!(
    /// A volume that flows in a time: what a pump takes in.
    VolumeFlow, from_cubic_metre_per_second, cubic_metre_per_second, "cubic metre per second"
);
quantity!(
    /// A leak rate as throughput: pressure times volume in a time.
    LeakRate, from_pascal_cubic_metre_per_second, pascal_cubic_metre_per_second, "pascal cubic metre per second"
);
quantity!(
    /// A mass in a volume.
    Density, from_kilogram_per_cubic_metre, kilogram_per_cubic_metre, "kilogram per cubic metre"
);
quantity!(
    /// An enthalpy of a mass, on the reference the giver names.
    SpecificEnthalpy, from_joule_per_kilogram, joule_per_kilogram, "joule per kilogram"
);
quantity!(
    /// An entropy of a mass, on the reference the giver names; also a heat capacity of a mass.
    SpecificEntropy, from_joule_per_kilogram_kelvin, joule_per_kilogram_kelvin, "joule per kilogram kelvin"
);
quantity!(
    /// A speed.
    Speed, from_metre_per_second, metre_per_second, "metre per second"
);
quantity!(
    /// A part of a whole: 0.8 is 80 %.
    Fraction, from_ratio, ratio, "one"
);

additive!(
    TemperatureDifference,
    PressureDifference,
    Mass,
    Volume,
    Length,
    Duration,
    Power,
    MassFlow,
    VolumeFlow,
    LeakRate,
    Density,
    Fraction
);
affine!(
    Temperature - Temperature = TemperatureDifference,
    AbsolutePressure - AbsolutePressure = PressureDifference,
    GaugePressure - GaugePressure = PressureDifference
);

impl Temperature {
    /// Returns the temperature of `value` °C.
    #[must_use]
    pub const fn from_celsius(value: f64) -> Self {
        Self(value + 273.15)
    }
    /// Returns the temperature of `value` °F.
    #[must_use]
    pub const fn from_fahrenheit(value: f64) -> Self {
        Self((value + 459.67) / 1.8)
    }
    /// Returns the value in °C.
    #[must_use]
    pub const fn celsius(self) -> f64 {
        self.0 - 273.15
    }
    /// Returns the value in °F.
    #[must_use]
    pub const fn fahrenheit(self) -> f64 {
        self.0 * 1.8 - 459.67
    }
}

impl TemperatureDifference {
    /// Returns the difference of `value` Fahrenheit degrees.
    #[must_use]
    pub const fn from_fahrenheit(value: f64) -> Self {
        Self(value / 1.8)
    }
    /// Returns the value in Fahrenheit degrees.
    #[must_use]
    pub const fn fahrenheit(self) -> f64 {
        self.0 * 1.8
    }
}

macro_rules! psi {
    ($($name:ident),*) => {$(
        impl $name {
            /// Returns the quantity of `value` pounds-force per square inch.
            #[must_use]
            pub const fn from_psi(value: f64) -> Self {
                Self(value * PASCAL_PER_PSI)
            }
            /// Returns the value in pounds-force per square inch.
            #[must_use]
            pub const fn psi(self) -> f64 {
                self.0 / PASCAL_PER_PSI
            }
        }
    )*};
}
psi!(AbsolutePressure, GaugePressure, PressureDifference);

impl AbsolutePressure {
    /// Returns the pressure of `value` micron (micrometre of mercury).
    #[must_use]
    pub const fn from_micron(value: f64) -> Self {
        Self(value * PASCAL_PER_MICRON)
    }
    /// Returns the value in micron.
    #[must_use]
    pub const fn micron(self) -> f64 {
        self.0 / PASCAL_PER_MICRON
    }
}

impl Mass {
    /// Returns the mass of `value` pounds.
    #[must_use]
    pub const fn from_pound(value: f64) -> Self {
        Self(value * KILOGRAM_PER_POUND)
    }
    /// Returns the value in pounds.
    #[must_use]
    pub const fn pound(self) -> f64 {
        self.0 / KILOGRAM_PER_POUND
    }
}

impl Volume {
    /// Returns the volume of `value` litres.
    #[must_use]
    pub const fn from_litre(value: f64) -> Self {
        Self(value / 1000.0)
    }
    /// Returns the value in litres.
    #[must_use]
    pub const fn litre(self) -> f64 {
        self.0 * 1000.0
    }
    /// Returns the volume of `value` cubic feet.
    #[must_use]
    pub const fn from_cubic_foot(value: f64) -> Self {
        Self(value * CUBIC_METRE_PER_CUBIC_FOOT)
    }
    /// Returns the value in cubic feet.
    #[must_use]
    pub const fn cubic_foot(self) -> f64 {
        self.0 / CUBIC_METRE_PER_CUBIC_FOOT
    }
}

impl Length {
    /// Returns the length of `value` inches.
    #[must_use]
    pub const fn from_inch(value: f64) -> Self {
        Self(value * 0.0254)
    }
    /// Returns the value in inches.
    #[must_use]
    pub const fn inch(self) -> f64 {
        self.0 / 0.0254
    }
}

impl Duration {
    /// Returns the stretch of `value` hours.
    #[must_use]
    pub const fn from_hour(value: f64) -> Self {
        Self(value * 3600.0)
    }
    /// Returns the value in hours.
    #[must_use]
    pub const fn hour(self) -> f64 {
        self.0 / 3600.0
    }
    /// Returns the stretch of `value` days.
    #[must_use]
    pub const fn from_day(value: f64) -> Self {
        Self(value * 86400.0)
    }
    /// Returns the value in days.
    #[must_use]
    pub const fn day(self) -> f64 {
        self.0 / 86400.0
    }
}

impl MassFlow {
    /// Returns the flow of `value` kilogram in a year of 365.25 days.
    #[must_use]
    pub const fn from_kilogram_per_year(value: f64) -> Self {
        Self(value / SECONDS_PER_YEAR)
    }
    /// Returns the value in kilogram a year of 365.25 days.
    #[must_use]
    pub const fn kilogram_per_year(self) -> f64 {
        self.0 * SECONDS_PER_YEAR
    }
}

impl Mul<Volume> for Density {
    type Output = Mass;
    fn mul(self, volume: Volume) -> Mass {
        Mass(self.0 * volume.0)
    }
}
impl Div<Density> for Mass {
    type Output = Volume;
    fn div(self, density: Density) -> Volume {
        Volume(self.0 / density.0)
    }
}
impl Div<Volume> for Mass {
    type Output = Density;
    fn div(self, volume: Volume) -> Density {
        Density(self.0 / volume.0)
    }
}
impl Div<Duration> for Mass {
    type Output = MassFlow;
    fn div(self, time: Duration) -> MassFlow {
        MassFlow(self.0 / time.0)
    }
}
impl Mul<Duration> for MassFlow {
    type Output = Mass;
    fn mul(self, time: Duration) -> Mass {
        Mass(self.0 * time.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fahrenheit_and_celsius_meet_at_minus_forty() {
        assert!((Temperature::from_fahrenheit(-40.0).celsius() + 40.0).abs() < 1e-12);
        assert!((Temperature::from_celsius(-40.0).fahrenheit() + 40.0).abs() < 1e-12);
    }

    #[test]
    fn a_difference_of_eighteen_fahrenheit_is_ten_kelvin() {
        let warm = Temperature::from_fahrenheit(50.0);
        let cold = Temperature::from_fahrenheit(32.0);
        assert!(((warm - cold).kelvin() - 10.0).abs() < 1e-12);
    }

    #[test]
    fn a_cylinder_of_34_lb_12_oz_is_15_762_kg() {
        // Worked example of the trade (common practice, no source).
        assert!((Mass::from_pound(34.0 + 12.0 / 16.0).kilogram() - 15.762).abs() < 5e-4);
    }

    #[test]
    fn a_quantity_is_a_bare_number_in_json() {
        assert_eq!(serde_json::to_string(&Mass::from_kilogram(2.5)).unwrap(), "2.5");
        let back: Temperature = serde_json::from_str("300.0").unwrap();
        assert_eq!(back, Temperature::from_kelvin(300.0));
    }
}
