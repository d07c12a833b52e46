//! What a system is: its parts by what they do, and what it stands in.

use crate::void::Void;

/// How a compressor pumps and what it takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Compressor {
    /// By swept volume with clearance, and an isentropic efficiency that is quadratic in ln of the pressure ratio.
    Laws {
        /// Swept volume flow in m3/s.
        swept: f64,
        /// Clearance share; re-expansion at exponent 1.1.
        clearance: f64,
        /// The efficiency's three coefficients.
        efficiency: [f64; 3],
    },
    /// By a map at a rated superheat; dew temperatures in degrees Celsius.
    Map {
        /// Mass flow in kg/s.
        flow: Map,
        /// Power in W.
        power: Map,
        /// The superheat at which the map was made, in kelvin.
        rated_superheat: f64,
    },
}

/// Ten coefficients in the order of AHRI 540: 1, S, D, S2, SD, D2, S3, DS2, SD2, D3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Map(pub [f64; 10]);

impl Map {
    /// Returns the map of coefficients that stand in the order 1, x, x2, y, y2, xy, x3, y3, x2y, xy2.
    #[must_use]
    pub fn from_bicubic_order(c: [f64; 10]) -> Self {
        Self([c[0], c[1], c[3], c[2], c[5], c[4], c[6], c[8], c[9], c[7]])
    }

    /// Returns its value at suction dew `s` and discharge dew `d`, in degrees Celsius.
    #[must_use]
    pub fn at(&self, s: f64, d: f64) -> f64 {
        let c = &self.0;
        c[0] + s * (c[1] + s * (c[3] + s * c[6]))
            + d * (c[2] + d * (c[5] + d * c[9]))
            + s * d * (c[4] + c[7] * s + c[8] * d)
    }
}

/// What holds the head pressure up in the cold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Head {
    /// Nothing: it follows the ambient.
    Free,
    /// A valve that floods the condenser; dew temperature in kelvin below which it acts.
    Flooding(f64),
    /// Fans cycled or slowed; dew temperature in kelvin.
    Fans(f64),
}

/// What meters the liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Metering {
    /// A valve that holds a superheat (kelvin) while it can: thermostatic or electronic.
    Superheat(f64),
    /// A fixed opening.
    Orifice,
}

/// A receiver after the condenser.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    /// Volume in m3.
    pub volume: f64,
    /// The level, as a share, below which its outlet draws vapour.
    pub outlet: f64,
    /// The level, as a share, above which it takes no more.
    pub full: f64,
}

/// Volumes that hold refrigerant, in m3.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volumes {
    /// Condenser tubes.
    pub condenser: f64,
    /// Evaporator tubes.
    pub evaporator: f64,
    /// Liquid line with drier.
    pub liquid_line: f64,
    /// Suction line and compressor.
    pub suction: f64,
}

/// A system, healthy or with what ails it written into its numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct System {
    /// The compressor.
    pub compressor: Compressor,
    /// Share of the compressor's flow that leaks back through its valves.
    pub valve_leak: f64,
    /// Share of the compressor's power that stays in the gas.
    pub power_to_gas: f64,
    /// Condenser conductance in W/K.
    pub condenser_ua: f64,
    /// Heat capacity of the condenser's air stream in W/K.
    pub condenser_air: f64,
    /// Evaporator conductance in W/K.
    pub evaporator_ua: f64,
    /// Heat capacity of the evaporator's air stream in W/K.
    pub evaporator_air: f64,
    /// What meters the liquid.
    pub metering: Metering,
    /// Flow through the open valve in kg/s for each square root of kg/m3 times Pa.
    pub valve: f64,
    /// Pressure lost in the drier and liquid line in Pa for each (kg/s)2 times m3/kg; 0 for none.
    pub liquid_loss: f64,
    /// Share of the suction pressure lost before the compressor.
    pub suction_loss: f64,
    /// What the suction line gains, in kelvin.
    pub suction_gain: f64,
    /// Subcooling of the liquid that leaves when nothing is flooded, in kelvin.
    pub subcooling: f64,
    /// What holds the head up.
    pub head: Head,
    /// The receiver; absent where there is none.
    pub receiver: Option<Receiver>,
    /// Volumes.
    pub volumes: Volumes,
    /// The charge in kg; absent where liquid is taken to reach the valve and nothing to flood.
    pub charge: Option<f64>,
    /// Pressure of gases that do not condense, in Pa.
    pub non_condensable: f64,
    /// The law of slip for the charge.
    pub void: Void,
}

/// What a system stands in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Air onto the evaporator, in kelvin.
    pub box_air: f64,
    /// Air onto the condenser, in kelvin.
    pub ambient: f64,
}

impl System {
    /// Returns the loss of the liquid line ([`System::liquid_loss`]) that takes about a bar at the flow of the open valve
    /// at 0.7 of its opening and 10 bar across it.
    #[must_use]
    pub fn valve_loss(&self) -> f64 {
        0.1 / (0.49 * self.valve * self.valve)
    }

    /// Returns the system with its condenser's air scaled; conductance follows the square root of the air.
    #[must_use]
    pub fn with_condenser_air(mut self, share: f64) -> Self {
        self.condenser_air *= share;
        self.condenser_ua *= units::math::sqrt(share);
        self
    }

    /// Returns the system with its evaporator's air scaled; conductance follows the square root of the air.
    #[must_use]
    pub fn with_evaporator_air(mut self, share: f64) -> Self {
        self.evaporator_air *= share;
        self.evaporator_ua *= units::math::sqrt(share);
        self
    }
}
