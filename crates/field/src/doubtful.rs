//! Readings that cannot be, or that are something else than their name: flagged, never refused.

use units::{AbsolutePressure, Temperature, TemperatureDifference};

/// A superheat above this is doubted: 50 K (judgement).
pub const LARGE_SUPERHEAT: TemperatureDifference = TemperatureDifference::from_kelvin(50.0);
/// A subcooling above this is doubted: 40 K (judgement).
pub const LARGE_SUBCOOLING: TemperatureDifference = TemperatureDifference::from_kelvin(40.0);
/// How close a typed superheat must lie to box less saturation to be taken for it: 0.3 K, half a Fahrenheit degree
/// rounded up (judgement).
pub const SAME_DIFFERENCE: TemperatureDifference = TemperatureDifference::from_kelvin(0.3);

/// A pressure read at a port, with the port's name and the text as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct PortReading {
    /// The port.
    pub port: String,
    /// What was typed, unit included.
    pub typed: String,
    /// The pressure.
    pub pressure: AbsolutePressure,
}

/// Readings taken together, each as far as it was taken.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    /// The compressor ran.
    pub running: Option<bool>,
    /// Suction pressure.
    pub suction: Option<AbsolutePressure>,
    /// Discharge (or head) pressure.
    pub discharge: Option<AbsolutePressure>,
    /// Discharge line temperature.
    pub discharge_line: Option<Temperature>,
    /// Liquid line temperature.
    pub liquid_line: Option<Temperature>,
    /// Suction line temperature.
    pub suction_line: Option<Temperature>,
    /// Temperature of the box.
    pub box_temperature: Option<Temperature>,
    /// Dew temperature at the suction pressure.
    pub suction_saturation: Option<Temperature>,
    /// Superheat as computed from suction line and saturation.
    pub superheat: Option<TemperatureDifference>,
    /// Superheat as typed by a person.
    pub typed_superheat: Option<TemperatureDifference>,
    /// Subcooling as computed.
    pub subcooling: Option<TemperatureDifference>,
    /// Pressures by port.
    pub ports: Vec<PortReading>,
}

/// What is doubtful.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubtful {
    /// The suction pressure is not below the discharge pressure while running.
    SuctionNotBelowDischarge {
        /// Suction.
        suction: AbsolutePressure,
        /// Discharge.
        discharge: AbsolutePressure,
    },
    /// The superheat is larger than a line can be expected to show.
    SuperheatTooLarge(TemperatureDifference),
    /// The subcooling is larger than air can be expected to give.
    SubcoolingTooLarge(TemperatureDifference),
    /// The liquid line is hotter than the discharge line.
    LiquidHotterThanDischarge {
        /// Liquid line.
        liquid_line: Temperature,
        /// Discharge line.
        discharge_line: Temperature,
    },
    /// The discharge line is colder than the suction line while running.
    DischargeColderThanSuction {
        /// Discharge line.
        discharge_line: Temperature,
        /// Suction line.
        suction_line: Temperature,
    },
    /// Two ports show the same to the digit while running: one reading may be a copy of the other.
    PortsIdentical {
        /// The first port.
        first: String,
        /// The second port.
        second: String,
        /// What both show.
        typed: String,
    },
    /// What was typed as superheat is box less saturation: that is TD.
    SuperheatIsTd {
        /// As typed.
        typed: TemperatureDifference,
        /// Box less saturation.
        td: TemperatureDifference,
    },
    /// The superheat typed does not agree with the readings beside it (over 2 K apart).
    SuperheatDisagrees {
        /// As typed.
        typed: TemperatureDifference,
        /// As computed.
        computed: TemperatureDifference,
    },
    /// The coil is not colder than the box while running.
    SaturationNotBelowBox {
        /// Dew temperature at suction.
        saturation: Temperature,
        /// Temperature of the box.
        box_temperature: Temperature,
    },
}

/// Returns what is doubtful in a set of readings, in the order of [`Doubtful`]'s variants; nothing doubtful, nothing
/// returned.
///
/// Rules that need a running compressor speak unless it is said that it stood.
#[must_use]
pub fn doubtful(readings: &Readings) -> Vec<Doubtful> {
    let mut found = Vec::new();
    let running = readings.running != Some(false);
    if let (true, Some(suction), Some(discharge)) = (running, readings.suction, readings.discharge)
        && suction >= discharge
    {
        found.push(Doubtful::SuctionNotBelowDischarge { suction, discharge });
    }
    for superheat in readings.superheat.into_iter().chain(readings.typed_superheat) {
        if superheat > LARGE_SUPERHEAT && !found.contains(&Doubtful::SuperheatTooLarge(superheat)) {
            found.push(Doubtful::SuperheatTooLarge(superheat));
        }
    }
    if let Some(subcooling) = readings.subcooling
        && subcooling > LARGE_SUBCOOLING
    {
        found.push(Doubtful::SubcoolingTooLarge(subcooling));
    }
    if let (true, Some(liquid_line), Some(discharge_line)) =
        (running, readings.liquid_line, readings.discharge_line)
        && liquid_line > discharge_line
    {
        found.push(Doubtful::LiquidHotterThanDischarge { liquid_line, discharge_line });
    }
    if let (true, Some(discharge_line), Some(suction_line)) =
        (running, readings.discharge_line, readings.suction_line)
        && discharge_line < suction_line
    {
        found.push(Doubtful::DischargeColderThanSuction { discharge_line, suction_line });
    }
    if running {
        for (at, first) in readings.ports.iter().enumerate() {
            for second in &readings.ports[at + 1..] {
                if first.port != second.port && first.pressure == second.pressure {
                    found.push(Doubtful::PortsIdentical {
                        first: first.port.clone(),
                        second: second.port.clone(),
                        typed: second.typed.clone(),
                    });
                }
            }
        }
    }
    if let Some(typed) = readings.typed_superheat {
        let td = match (readings.box_temperature, readings.suction_saturation) {
            (Some(box_temperature), Some(saturation)) => Some(box_temperature - saturation),
            _ => None,
        };
        let near = |a: TemperatureDifference, b: TemperatureDifference| {
            (a - b).kelvin().abs() <= SAME_DIFFERENCE.kelvin()
        };
        match (td, readings.superheat) {
            // The readings beside it bear the typed superheat out, whatever the box shows.
            (_, Some(computed)) if near(typed, computed) => {}
            (Some(td), _) if near(typed, td) => found.push(Doubtful::SuperheatIsTd { typed, td }),
            (_, Some(computed)) if (typed - computed).kelvin().abs() > 2.0 => {
                found.push(Doubtful::SuperheatDisagrees { typed, computed });
            }
            _ => {}
        }
    }
    if let (Some(true), Some(saturation), Some(box_temperature)) =
        (readings.running, readings.suction_saturation, readings.box_temperature)
        && saturation >= box_temperature
    {
        found.push(Doubtful::SaturationNotBelowBox { saturation, box_temperature });
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn psi(value: f64) -> AbsolutePressure {
        AbsolutePressure::from_psi(value)
    }
    fn kelvin(value: f64) -> TemperatureDifference {
        TemperatureDifference::from_kelvin(value)
    }
    fn celsius(value: f64) -> Temperature {
        Temperature::from_celsius(value)
    }

    #[test]
    fn good_readings_pass() {
        let readings = Readings {
            running: Some(true),
            suction: Some(psi(60.0)),
            discharge: Some(psi(220.0)),
            discharge_line: Some(celsius(70.0)),
            liquid_line: Some(celsius(30.0)),
            suction_line: Some(celsius(5.0)),
            box_temperature: Some(celsius(2.0)),
            suction_saturation: Some(celsius(-4.0)),
            superheat: Some(kelvin(9.0)),
            ..Readings::default()
        };
        assert_eq!(doubtful(&readings), []);
    }

    #[test]
    fn suction_above_discharge_only_while_running() {
        let mut readings =
            Readings { suction: Some(psi(150.0)), discharge: Some(psi(150.0)), ..Readings::default() };
        assert!(matches!(doubtful(&readings)[..], [Doubtful::SuctionNotBelowDischarge { .. }]));
        readings.running = Some(false);
        assert_eq!(doubtful(&readings), []);
    }

    #[test]
    fn a_superheat_of_80_kelvin() {
        let readings = Readings { superheat: Some(kelvin(80.0)), ..Readings::default() };
        assert_eq!(doubtful(&readings), [Doubtful::SuperheatTooLarge(kelvin(80.0))]);
    }

    #[test]
    fn a_liquid_line_hotter_than_discharge() {
        let readings = Readings {
            liquid_line: Some(celsius(60.0)),
            discharge_line: Some(celsius(55.0)),
            ..Readings::default()
        };
        assert!(matches!(doubtful(&readings)[..], [Doubtful::LiquidHotterThanDischarge { .. }]));
    }

    #[test]
    fn two_ports_identical_to_the_digit() {
        let port = |name: &str, at: f64| PortReading {
            port: name.into(),
            typed: format!("{at} psig"),
            pressure: psi(at),
        };
        let ports = vec![port("suction", 212.4), port("receiver", 212.5), port("discharge", 212.4)];
        let readings = Readings { ports, ..Readings::default() };
        assert_eq!(
            doubtful(&readings),
            [Doubtful::PortsIdentical {
                first: "suction".into(),
                second: "discharge".into(),
                typed: "212.4 psig".into()
            }]
        );
    }

    #[test]
    fn box_less_saturation_is_td() {
        let mut readings = Readings {
            box_temperature: Some(celsius(2.0)),
            suction_saturation: Some(celsius(-4.0)),
            typed_superheat: Some(kelvin(6.0)),
            ..Readings::default()
        };
        assert_eq!(doubtful(&readings), [Doubtful::SuperheatIsTd { typed: kelvin(6.0), td: kelvin(6.0) }]);
        // The line bears it out: then it is superheat.
        readings.superheat = Some(kelvin(6.1));
        assert_eq!(doubtful(&readings), []);
        readings.superheat = Some(kelvin(11.0));
        assert!(matches!(doubtful(&readings)[..], [Doubtful::SuperheatIsTd { .. }]));
        readings.typed_superheat = Some(kelvin(8.0));
        assert!(matches!(doubtful(&readings)[..], [Doubtful::SuperheatDisagrees { .. }]));
    }
}
