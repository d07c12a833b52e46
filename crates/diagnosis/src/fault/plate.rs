//! A system as far as a nameplate and a look at it tell.

use cycle::{Compressor, Head, Metering, Receiver, Surroundings, System, Table, Void, Volumes, steady};
use units::math::{exp, sqrt};

/// What is known before any reading; SI, temperatures in kelvin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Cooling capacity at the two design temperatures, in W.
    pub capacity: f64,
    /// Design dew temperature of evaporation.
    pub evaporating: f64,
    /// Design dew temperature of condensation.
    pub condensing: f64,
    /// Box air less evaporation, by design.
    pub coil_difference: f64,
    /// Condensation less ambient, by design.
    pub split: f64,
    /// The valve's setting, in kelvin.
    pub superheat: f64,
    /// What holds the head.
    pub head: Head,
    /// The receiver's volume in m3; absent where there is none.
    pub receiver: Option<f64>,
    /// The charge in kg; where absent, the receiver half full or a condenser a tenth full is assumed.
    pub charge: Option<f64>,
}

/// Shares of the air's temperature that coil and condenser take, and heat rejected over heat taken (common practice, no
/// source).
const COIL: (f64, f64) = (0.5, 0.69);
const CONDENSER: (f64, f64) = (0.535, 0.767);
const REJECTED: f64 = 1.33;
/// Volumes for each watt, in m3: condenser, coil, liquid line, suction (common practice, no source).
const VOLUMES: [f64; 4] = [1.0e-6, 1.0e-6, 0.42e-6, 1.33e-6];

/// Isentropic efficiency by ln of the pressure ratio: 0.645 at a ratio of four, and a bend between none and the 0.4 of a
/// published map of a medium-temperature machine (EnergyPlus's data set, three points at a coil of -8 deg C).
const EFFICIENCY: [f64; 3] = [0.385, 0.396, -0.15];

impl Plate {
    /// Returns the system; what the plate does not tell is common practice, and doubted as such.
    #[must_use]
    pub fn system(&self, table: &Table) -> System {
        let usual = table.saturation(self.evaporating);
        let liquid = table.saturation(self.condensing - 5.0);
        let latent = usual.vapour_enthalpy - liquid.liquid_enthalpy;
        let drop = exp(table.saturation(self.condensing - 2.0).ln_dew) - exp(usual.ln_dew);
        let flow = self.capacity / latent;
        let coil_air = self.capacity / (COIL.0 * self.coil_difference);
        let condenser_air = REJECTED * self.capacity / (CONDENSER.0 * self.split);
        let v = VOLUMES.map(|v| v * self.capacity);
        let mut system = System {
            compressor: Compressor::Laws {
                swept: flow / (usual.vapour_density * 0.80),
                clearance: 0.045,
                efficiency: EFFICIENCY,
            },
            valve_leak: 0.0,
            power_to_gas: 0.92,
            condenser_ua: CONDENSER.1 * condenser_air,
            condenser_air,
            evaporator_ua: COIL.1 * coil_air,
            evaporator_air: coil_air,
            metering: Metering::Superheat(self.superheat),
            valve: 1.4 * flow / sqrt(liquid.liquid_density * drop),
            liquid_loss: 0.0,
            suction_loss: 0.02,
            suction_gain: 8.0,
            subcooling: 0.8,
            head: self.head,
            receiver: self.receiver.map(|volume| Receiver { volume, outlet: 0.06, full: 0.95 }),
            volumes: Volumes { condenser: v[0], evaporator: v[1], liquid_line: v[2], suction: v[3] },
            charge: None,
            non_condensable: 0.0,
            void: Void::Zivi,
        };
        let mild = Surroundings { box_air: self.evaporating + self.coil_difference, ambient: 298.0 };
        let bare = steady(table, &system, &mild, None).charge;
        let reserve = match self.receiver {
            Some(volume) => 0.45 * volume * liquid.liquid_density,
            None => 0.1 * system.volumes.condenser * liquid.liquid_density,
        };
        // Without a receiver a plate's kilograms and our volumes would not agree to the few percent that matter.
        system.charge = Some(match (self.receiver, self.charge) {
            (Some(_), Some(charge)) => charge,
            _ => bare + reserve,
        });
        system
    }
}
