//! What a system holds, place by place.

use crate::system::{Receiver, Volumes};
use crate::table::Table;
use crate::void::Void;

/// How full each place is, and at what.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fill {
    /// Dew temperature of evaporation in kelvin.
    pub evaporating: f64,
    /// Dew temperature of condensation in kelvin.
    pub condensing: f64,
    /// Quality at the evaporator's inlet.
    pub evaporator_inlet: f64,
    /// Share of the evaporator that is dry.
    pub evaporator_dry: f64,
    /// Share of the condenser that stands full of liquid.
    pub flooded: f64,
    /// Quality in the liquid line; 0 where it is all liquid.
    pub liquid_line: f64,
    /// The receiver's level as a share of its volume.
    pub level: f64,
}

/// Returns the charge in kg that these volumes hold, by a law of slip; also what a job may expect from its volumes.
#[must_use]
pub fn expected_charge(
    table: &Table,
    volumes: &Volumes,
    receiver: Option<&Receiver>,
    void: Void,
    fill: &Fill,
) -> f64 {
    let hot = table.saturation(fill.condensing);
    let cold = table.saturation(fill.evaporating);
    let (hot_ratio, cold_ratio) =
        (hot.vapour_density / hot.liquid_density, cold.vapour_density / cold.liquid_density);
    let mixed = |share: f64, vapour: f64, liquid: f64| share * vapour + (1.0 - share) * liquid;
    let condensing =
        mixed(void.mean(fill.liquid_line, 1.0, hot_ratio), hot.vapour_density, hot.liquid_density);
    let boiling = mixed(
        void.mean(fill.evaporator_inlet.min(0.98), 1.0, cold_ratio),
        cold.vapour_density,
        cold.liquid_density,
    );
    let line = mixed(void.at(fill.liquid_line, hot_ratio), hot.vapour_density, hot.liquid_density);
    volumes.condenser * mixed(fill.flooded, hot.liquid_density, condensing)
        + volumes.evaporator * mixed(fill.evaporator_dry, cold.vapour_density, boiling)
        + volumes.liquid_line * line
        + volumes.suction * cold.vapour_density
        + receiver.map_or(0.0, |r| r.volume * mixed(fill.level, hot.liquid_density, hot.vapour_density))
}
