//! The spots where a walk-in box with a remote unit can leak, as a technician meets them.
//!
//! Shares and minutes are judgement: a starter belief of the trade, no statistics.

use crate::uniform;
use rand_chacha::ChaCha8Rng;

/// How many regions there are: the unit, the box, the way of the lines, the space above the ceiling.
pub const REGIONS: usize = 4;

/// Returns the minutes from one region to another: ladder, keys, carrying.
#[must_use]
pub fn travel(from: usize, to: usize) -> f64 {
    const MINUTES: [[f64; REGIONS]; REGIONS] =
        [[0.0, 6.0, 4.0, 12.0], [6.0, 0.0, 4.0, 8.0], [4.0, 4.0, 0.0, 8.0], [12.0, 8.0, 8.0, 0.0]];
    MINUTES[from][to]
}

/// What lies between a leak and a probe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// A bare joint.
    Bare,
    /// The face of a coil.
    Coil,
    /// Insulation around it.
    Insulated,
    /// A cover over it.
    Covered,
    /// In a wall or the ground.
    Buried,
}

impl Access {
    /// Returns the share of leaks that can be met from outside.
    #[must_use]
    pub const fn reach(self) -> f64 {
        match self {
            Access::Bare => 0.9,
            Access::Coil => 0.7,
            Access::Insulated => 0.3,
            Access::Covered => 0.15,
            Access::Buried => 0.1,
        }
    }
    /// Returns the share that can be met once it is opened.
    #[must_use]
    pub const fn opened(self) -> f64 {
        match self {
            Access::Bare => 0.95,
            Access::Coil => 0.8,
            Access::Insulated => 0.92,
            Access::Covered => 0.95,
            Access::Buried => 0.1,
        }
    }
    /// Returns the share of earlier visitors who held a probe there.
    #[must_use]
    pub const fn covered_by_others(self) -> f64 {
        match self {
            Access::Bare => 0.7,
            Access::Coil => 0.5,
            Access::Insulated | Access::Covered | Access::Buried => 0.2,
        }
    }
    /// Whether a fan blows there while the system runs.
    #[must_use]
    pub const fn in_moving_air(self) -> bool {
        matches!(self, Access::Coil)
    }
}

/// A side of the circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// From the expansion device to the compressor.
    Low = 0,
    /// From the compressor to the expansion device.
    High = 1,
}

/// A spot.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Its name.
    pub name: &'static str,
    /// Its region.
    pub region: usize,
    /// What lies over it.
    pub access: Access,
    /// Its side.
    pub side: Side,
    /// What share of leaks is there, in proportion.
    pub weight: f64,
    /// Minutes for a look from outside.
    pub minutes: f64,
    /// Minutes more to open and close it.
    pub opening: f64,
}

type Row = (&'static str, usize, Access, Side, f64, f64, f64, f64);

/// Name, region, access, side, share, minutes, minutes to open, chance that a system has it; in the order of the flow.
const ALL: &[Row] = &[
    ("compressor gaskets and terminals", 0, Access::Bare, Side::High, 0.03, 5.0, 0.0, 1.0),
    ("suction service valve stem and cap", 0, Access::Bare, Side::Low, 0.04, 2.0, 0.0, 1.0),
    ("discharge service valve stem and cap", 0, Access::Bare, Side::High, 0.04, 2.0, 0.0, 1.0),
    ("discharge line joints", 0, Access::Bare, Side::High, 0.02, 4.0, 0.0, 1.0),
    ("low-pressure control, inside", 0, Access::Covered, Side::Low, 0.03, 2.0, 3.0, 0.8),
    ("high-pressure control, inside", 0, Access::Covered, Side::High, 0.03, 2.0, 3.0, 0.8),
    ("fan control, inside", 0, Access::Covered, Side::High, 0.02, 2.0, 3.0, 0.5),
    ("small lines of the controls", 0, Access::Bare, Side::High, 0.04, 4.0, 0.0, 1.0),
    ("condenser coil face", 0, Access::Coil, Side::High, 0.07, 10.0, 0.0, 1.0),
    ("condenser return bends and headers", 0, Access::Covered, Side::High, 0.05, 4.0, 8.0, 1.0),
    ("head-pressure valve joints", 0, Access::Bare, Side::High, 0.02, 3.0, 0.0, 0.5),
    ("receiver valves and plug", 0, Access::Bare, Side::High, 0.04, 4.0, 0.0, 0.9),
    ("relief valve", 0, Access::Bare, Side::High, 0.02, 2.0, 0.0, 0.7),
    ("filter drier joints", 0, Access::Bare, Side::High, 0.04, 2.0, 0.0, 1.0),
    ("sight glass", 0, Access::Bare, Side::High, 0.03, 2.0, 0.0, 1.0),
    ("access valve, liquid line", 0, Access::Bare, Side::High, 0.04, 1.0, 0.0, 0.7),
    ("liquid line joints", 2, Access::Insulated, Side::High, 0.03, 8.0, 12.0, 1.0),
    ("liquid line, clamps and chafe", 2, Access::Bare, Side::High, 0.03, 10.0, 0.0, 1.0),
    ("lines in the wall", 2, Access::Buried, Side::High, 0.01, 4.0, 0.0, 0.7),
    ("suction line joints", 2, Access::Insulated, Side::Low, 0.03, 8.0, 15.0, 1.0),
    ("solenoid valve flares", 3, Access::Insulated, Side::High, 0.05, 2.0, 6.0, 0.8),
    ("ceiling joints", 3, Access::Insulated, Side::Low, 0.02, 4.0, 8.0, 0.6),
    ("expansion valve flares", 1, Access::Covered, Side::High, 0.06, 2.0, 5.0, 1.0),
    ("distributor", 1, Access::Covered, Side::Low, 0.03, 2.0, 5.0, 1.0),
    ("coil, air-on face", 1, Access::Coil, Side::Low, 0.10, 10.0, 0.0, 1.0),
    ("coil, return bends", 1, Access::Covered, Side::Low, 0.10, 5.0, 8.0, 1.0),
    ("coil header and suction joint", 1, Access::Insulated, Side::Low, 0.04, 3.0, 5.0, 1.0),
    ("access valve, coil outlet", 1, Access::Bare, Side::Low, 0.04, 1.0, 0.0, 0.6),
];

/// Draws the spots of a system, in the order of the flow.
pub fn drawn(draw: &mut ChaCha8Rng) -> Vec<Spot> {
    ALL.iter()
        .filter(|row| uniform(draw) < row.7)
        .map(|&(name, region, access, side, weight, minutes, opening, _)| Spot {
            name,
            region,
            access,
            side,
            weight,
            minutes,
            opening,
        })
        .collect()
}
