//! Writes quantities in the units a person thinks in, with as many digits as the doubt allows.

use crate::math::{log10, powi};
use crate::{
    AbsolutePressure, CUBIC_METRE_PER_CUBIC_FOOT, Density, Duration, Fraction, GaugePressure, JOULE_PER_BTU,
    KILOGRAM_PER_POUND, LeakRate, Length, Mass, MassFlow, PASCAL_PER_MICRON, PASCAL_PER_PSI, Power,
    PressureDifference, Quantity, SECONDS_PER_YEAR, SpecificEnthalpy, SpecificEntropy, Speed, Temperature,
    TemperatureDifference, Uncertain, Volume, VolumeFlow,
};
use serde::{Deserialize, Serialize};

/// The unit of temperatures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TemperatureUnit {
    /// °C, and K for differences.
    Celsius,
    /// °F, for differences too.
    Fahrenheit,
}

/// The unit of pressures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PressureUnit {
    /// psig and psia.
    Psi,
    /// kPa.
    Kilopascal,
    /// bar.
    Bar,
}

/// The unit of masses.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MassUnit {
    /// Kilogram, and gram for what is small.
    Kilogram,
    /// Pounds and ounces.
    PoundOunce,
}

/// The unit of lengths and volumes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SizeUnit {
    /// Metre, millimetre, litre.
    Metric,
    /// Foot, inch, cubic foot.
    Customary,
}

/// The units and the decimal mark a person wants to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Writer {
    /// Temperatures.
    pub temperature: TemperatureUnit,
    /// Pressures.
    pub pressure: PressureUnit,
    /// Masses.
    pub mass: MassUnit,
    /// Lengths and volumes.
    pub size: SizeUnit,
    /// Whether the decimal mark is a comma.
    pub decimal_comma: bool,
}

/// A quantity written: the number, its half-width (95 %), and the unit they share.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Written {
    /// The number, with U+2212 as minus.
    pub value: String,
    /// The half-width of its k = 2 interval, absent where there is no doubt to state.
    pub half_width: Option<String>,
    /// The unit.
    pub unit: &'static str,
}

/// The space that keeps a value and its unit on one line.
const KEEP: char = '\u{a0}';

impl core::fmt::Display for Written {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str(&self.value)?;
        if let Some(half) = &self.half_width {
            write!(f, "{KEEP}±{KEEP}{half}")?;
        }
        match self.unit {
            "" => Ok(()),
            unit => write!(f, "{KEEP}{unit}"),
        }
    }
}

/// A unit: a number of it is `(si - zero) / size`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Its sign.
    pub unit: &'static str,
    /// SI units in one of it.
    pub size: f64,
    /// The SI value of its zero.
    pub zero: f64,
    /// Decimals where no doubt decides.
    pub decimals: usize,
}

const fn scale(unit: &'static str, size: f64, decimals: usize) -> Scale {
    Scale { unit, size, zero: 0.0, decimals }
}

/// A quantity that can be written.
pub trait Writable: Quantity {
    /// Returns the unit that `writer` wants for it; `si` lets small amounts take a small unit.
    fn scale(writer: &Writer, si: f64) -> Scale;
}

macro_rules! scales {
    ($($type:ident => |$writer:ident, $si:ident| $body:expr),* $(,)?) => {$(
        impl Writable for $type {
            fn scale($writer: &Writer, $si: f64) -> Scale {
                let _ = ($writer, $si);
                $body
            }
        }
    )*};
}

scales!(
    Temperature => |w, si| match w.temperature {
        TemperatureUnit::Celsius => Scale { zero: 273.15, ..scale("°C", 1.0, 1) },
        TemperatureUnit::Fahrenheit => Scale { zero: 459.67 / 1.8, ..scale("°F", 1.0 / 1.8, 1) },
    },
    TemperatureDifference => |w, si| match w.temperature {
        TemperatureUnit::Celsius => scale("K", 1.0, 1),
        TemperatureUnit::Fahrenheit => scale("°F", 1.0 / 1.8, 1),
    },
    GaugePressure => |w, si| match w.pressure {
        PressureUnit::Psi => scale("psig", PASCAL_PER_PSI, 1),
        PressureUnit::Kilopascal => scale("kPa gauge", 1e3, 0),
        PressureUnit::Bar => scale("bar gauge", 1e5, 2),
    },
    AbsolutePressure => |w, si| match w.pressure {
        PressureUnit::Psi => scale("psia", PASCAL_PER_PSI, 1),
        PressureUnit::Kilopascal => scale("kPa abs", 1e3, 1),
        PressureUnit::Bar => scale("bar abs", 1e5, 2),
    },
    PressureDifference => |w, si| match w.pressure {
        PressureUnit::Psi => scale("psi", PASCAL_PER_PSI, 2),
        PressureUnit::Kilopascal => scale("kPa", 1e3, 1),
        PressureUnit::Bar => scale("bar", 1e5, 3),
    },
    Mass => |w, si| match w.mass {
        _ if si.abs() < 1e-3 && si != 0.0 => scale("mg", 1e-6, 0),
        MassUnit::Kilogram if si.abs() < 1.0 && si != 0.0 => scale("g", 1e-3, 0),
        MassUnit::Kilogram => scale("kg", 1.0, 2),
        MassUnit::PoundOunce if si.abs() < KILOGRAM_PER_POUND && si != 0.0 => scale("oz", KILOGRAM_PER_POUND / 16.0, 1),
        MassUnit::PoundOunce => scale("lb", KILOGRAM_PER_POUND, 2),
    },
    MassFlow => |w, si| match w.mass {
        MassUnit::Kilogram if si.abs() * SECONDS_PER_YEAR < 1.0 => scale("g a year", 1e-3 / SECONDS_PER_YEAR, 0),
        MassUnit::Kilogram => scale("kg a year", 1.0 / SECONDS_PER_YEAR, 2),
        MassUnit::PoundOunce if si.abs() * SECONDS_PER_YEAR < KILOGRAM_PER_POUND =>
            scale("oz a year", KILOGRAM_PER_POUND / 16.0 / SECONDS_PER_YEAR, 1),
        MassUnit::PoundOunce => scale("lb a year", KILOGRAM_PER_POUND / SECONDS_PER_YEAR, 2),
    },
    Volume => |w, si| match w.size {
        SizeUnit::Metric => scale("L", 1e-3, 1),
        SizeUnit::Customary => scale("ft³", CUBIC_METRE_PER_CUBIC_FOOT, 2),
    },
    VolumeFlow => |w, si| match w.size {
        SizeUnit::Metric => scale("L/s", 1e-3, 2),
        SizeUnit::Customary => scale("ft³/min", CUBIC_METRE_PER_CUBIC_FOOT / 60.0, 2),
    },
    Length => |w, si| match w.size {
        SizeUnit::Metric if si.abs() < 1e-3 => scale("µm", 1e-6, 0),
        SizeUnit::Metric if si.abs() < 1.0 => scale("mm", 1e-3, 1),
        SizeUnit::Metric if si.abs() < 100.0 => scale("m", 1.0, 1),
        SizeUnit::Metric => scale("m", 1.0, 0),
        // A hole has no customary unit that anybody uses below a thousandth of an inch.
        SizeUnit::Customary if si.abs() < 1e-4 => scale("µm", 1e-6, 0),
        SizeUnit::Customary if si.abs() < 0.3048 => scale("in", 0.0254, 3),
        SizeUnit::Customary if si.abs() < 30.0 => scale("ft", 0.3048, 1),
        SizeUnit::Customary => scale("ft", 0.3048, 0),
    },
    Duration => |w, si| {
        if si.abs() >= 20.0 * 7.0 * 86400.0 { scale("weeks", 7.0 * 86400.0, 0) }
        else if si.abs() >= 2.0 * 86400.0 { scale("days", 86400.0, 0) }
        else if si.abs() >= 2.0 * 3600.0 { scale("h", 3600.0, 1) }
        else if si.abs() >= 120.0 { scale("min", 60.0, 0) }
        else { scale("s", 1.0, 0) }
    },
    Power => |w, si| match w.size {
        SizeUnit::Metric => scale("kW", 1e3, 2),
        SizeUnit::Customary => scale("Btu/h", JOULE_PER_BTU / 3600.0, 0),
    },
    LeakRate => |w, si| scale("×10⁻⁶ Pa m³/s", 1e-6, 1),
    Density => |w, si| match w.size {
        SizeUnit::Metric => scale("kg/m³", 1.0, 2),
        SizeUnit::Customary => scale("lb/ft³", KILOGRAM_PER_POUND / CUBIC_METRE_PER_CUBIC_FOOT, 2),
    },
    SpecificEnthalpy => |w, si| scale("kJ/kg", 1e3, 2),
    SpecificEntropy => |w, si| scale("kJ/(kg K)", 1e3, 4),
    Speed => |w, si| match w.size {
        SizeUnit::Metric => scale("m/s", 1.0, 1),
        SizeUnit::Customary => scale("ft/s", 0.3048, 0),
    },
    Fraction => |w, si| scale("%", 0.01, 0),
);

impl Writer {
    /// Returns the units of the United States: °F, psig, lb and oz, feet and inches.
    #[must_use]
    pub const fn us() -> Self {
        Self {
            temperature: TemperatureUnit::Fahrenheit,
            pressure: PressureUnit::Psi,
            mass: MassUnit::PoundOunce,
            size: SizeUnit::Customary,
            decimal_comma: false,
        }
    }

    /// Returns the units of a metric shop that reads kPa.
    #[must_use]
    pub const fn metric() -> Self {
        Self {
            temperature: TemperatureUnit::Celsius,
            pressure: PressureUnit::Kilopascal,
            mass: MassUnit::Kilogram,
            size: SizeUnit::Metric,
            decimal_comma: false,
        }
    }

    /// Returns the number with `decimals`, the minus as U+2212 and the person's decimal mark.
    #[must_use]
    pub fn number(&self, value: f64, decimals: usize) -> String {
        let plain = format!("{value:.decimals$}");
        // A rounded minus zero is a zero.
        let (minus, digits) = match plain.strip_prefix('-') {
            Some(rest) if rest.bytes().any(|b| matches!(b, b'1'..=b'9')) => ("\u{2212}", rest.to_owned()),
            Some(rest) => ("", rest.to_owned()),
            None => ("", plain),
        };
        let digits = if self.decimal_comma { digits.replace('.', ",") } else { digits };
        format!("{minus}{digits}")
    }

    /// The unit in words where it has any: of the languages here the one with a decimal comma is French.
    fn worded(&self, unit: &'static str) -> &'static str {
        match unit {
            "g a year" if self.decimal_comma => "g par an",
            "kg a year" if self.decimal_comma => "kg par an",
            "oz a year" if self.decimal_comma => "oz par an",
            "lb a year" if self.decimal_comma => "lb par an",
            other => other,
        }
    }

    /// Returns `q` in the person's unit, with the usual decimals.
    #[must_use]
    pub fn write<Q: Writable>(&self, q: Q) -> Written {
        let scale = Q::scale(self, q.si());
        let value = (q.si() - scale.zero) / scale.size;
        Written {
            value: self.number(value, self.decimals(value, &scale)),
            half_width: None,
            unit: self.worded(scale.unit),
        }
    }

    /// Returns `q` with the half-width of its k = 2 interval, both to the digits the half-width deserves.
    #[must_use]
    pub fn write_uncertain<Q: Writable>(&self, q: &Uncertain<Q>) -> Written {
        self.write_with_half_width(q.value(), 2.0 * q.u())
    }

    /// Returns `q` with a half-width given in SI.
    #[must_use]
    pub fn write_with_half_width<Q: Writable>(&self, q: Q, half_width: f64) -> Written {
        if !(half_width > 0.0 && half_width.is_finite()) {
            return self.write(q);
        }
        let scale = Q::scale(self, q.si());
        let half = half_width / scale.size;
        let decimals = decimals_for(half);
        Written {
            value: self.number((q.si() - scale.zero) / scale.size, decimals),
            half_width: Some(self.number(half, decimals)),
            unit: self.worded(scale.unit),
        }
    }

    /// Returns a mass as typed on a scale: pounds and ounces, or kilogram.
    #[must_use]
    pub fn weight(&self, mass: Mass) -> String {
        match self.mass {
            MassUnit::Kilogram => format!("{}{KEEP}kg", self.number(mass.kilogram(), 3)),
            MassUnit::PoundOunce => {
                let ounces = libm::round(mass.pound().abs() * 160.0) / 10.0;
                let pounds = libm::trunc(ounces / 16.0);
                let rest = ounces - pounds * 16.0;
                let minus = if mass.kilogram() < 0.0 && ounces > 0.0 { "\u{2212}" } else { "" };
                let rest = self.number(rest, usize::from(libm::trunc(rest) != rest));
                format!("{minus}{pounds:.0}{KEEP}lb{KEEP}{rest}{KEEP}oz")
            }
        }
    }

    /// Returns a vacuum as its gauge shows it: micron, or pascal where pressures are not in psi.
    #[must_use]
    pub fn vacuum(&self, pressure: AbsolutePressure) -> Written {
        let (size, unit) = match self.pressure {
            PressureUnit::Psi => (PASCAL_PER_MICRON, "micron"),
            PressureUnit::Kilopascal | PressureUnit::Bar => (1.0, "Pa abs"),
        };
        Written { value: self.number(pressure.pascal() / size, 0), half_width: None, unit }
    }

    /// Small values of a unit keep two significant digits.
    fn decimals(&self, value: f64, scale: &Scale) -> usize {
        let size = value.abs();
        if scale.zero != 0.0 || scale.unit == "%" && size >= 1.0 || size == 0.0 || !size.is_finite() {
            return scale.decimals;
        }
        let wanted = 1 - libm::floor(log10(size)) as i32;
        scale.decimals.max(wanted.clamp(0, 9) as usize)
    }
}

/// Returns the decimals at which a half-width shows two digits when it begins with 1 or 2, else one.
fn decimals_for(half: f64) -> usize {
    let power = libm::floor(log10(half)) as i32;
    let lead = half / powi(10.0, power);
    let digits = if lead < 2.95 { 1 } else { 0 };
    (digits - power).clamp(0, 9) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Cause, Doubt};

    fn plain(text: impl ToString) -> String {
        text.to_string().replace(KEEP, " ")
    }

    #[test]
    fn one_quantity_in_two_systems() {
        let p = GaugePressure::from_psi(62.5);
        assert_eq!(plain(Writer::us().write(p)), "62.5 psig");
        assert_eq!(plain(Writer::metric().write(p)), "431 kPa gauge");
        assert_eq!(plain(Writer::us().write(Temperature::from_celsius(-20.0))), "−4.0 °F");
        assert_eq!(plain(Writer::metric().write(TemperatureDifference::from_kelvin(-0.01))), "−0.010 K");
    }

    #[test]
    fn a_decimal_comma_where_it_is_read() {
        let writer = Writer { decimal_comma: true, ..Writer::metric() };
        assert_eq!(plain(writer.write(Mass::from_kilogram(12.389))), "12,39 kg");
    }

    #[test]
    fn the_half_width_decides_the_digits() {
        let write = |value, u| {
            let superheat = TemperatureDifference::from_kelvin(value);
            plain(Writer::metric().write_uncertain(&Uncertain::new(
                superheat,
                Doubt::new(Cause::Accuracy, "clamp"),
                u,
            )))
        };
        assert_eq!(write(8.349, 0.55), "8.3 ± 1.1 K");
        assert_eq!(write(8.349, 0.25), "8.3 ± 0.5 K");
        assert_eq!(write(83.49, 6.0), "83 ± 12 K");
        assert_eq!(write(8.349, 0.0), "8.3 K");
    }

    #[test]
    fn weights_as_a_scale_shows_them() {
        assert_eq!(plain(Writer::us().weight(Mass::from_pound(27.0 + 5.0 / 16.0))), "27 lb 5 oz");
        assert_eq!(plain(Writer::us().weight(Mass::from_pound(26.9999))), "27 lb 0 oz");
        assert_eq!(plain(Writer::us().weight(Mass::from_pound(-1.0 - 2.5 / 16.0))), "−1 lb 2.5 oz");
        assert_eq!(plain(Writer::metric().weight(Mass::from_kilogram(0.55))), "0.550 kg");
    }

    #[test]
    fn small_amounts_take_a_small_unit() {
        let french = Writer { decimal_comma: true, ..Writer::metric() };
        assert_eq!(plain(french.write(MassFlow::from_kilogram_per_year(2.17))), "2,17 kg par an");
        assert_eq!(plain(Writer::metric().write(MassFlow::from_kilogram_per_year(0.05))), "50 g a year");
        assert_eq!(plain(Writer::metric().write(Length::from_metre(8.1e-6))), "8.1 µm");
        assert_eq!(plain(Writer::us().vacuum(AbsolutePressure::from_micron(500.0))), "500 micron");
    }

    proptest::proptest! {
        /// What is written reads back as the same quantity, to the digits written.
        #[test]
        fn written_reads_back(psi in -14.0..600.0f64, f in -90.0..400.0f64, lb in 0.0..500.0f64) {
            let w = Writer::us();
            let p = GaugePressure::from_psi(psi);
            let crate::PressureReading::Gauge(back) = w.write(p).to_string().parse().unwrap() else {
                panic!("gauge became absolute")
            };
            proptest::prop_assert!((back - p).psi().abs() < 0.051);
            let t = Temperature::from_fahrenheit(f);
            let back: Temperature = w.write(t).to_string().parse().unwrap();
            proptest::prop_assert!((back - t).fahrenheit().abs() < 0.051);
            let m = Mass::from_pound(lb);
            let back: Mass = w.weight(m).parse().unwrap();
            proptest::prop_assert!((back - m).pound().abs() < 0.0033);
        }
    }
}
