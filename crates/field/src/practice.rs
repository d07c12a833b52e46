//! What the trade takes as usual: suggestions, each common practice without a source.
//!
//! Nothing here is a limit. The maker's sheet, the nameplate and local law come first, and a person may change each.

use units::{GaugePressure, TemperatureDifference};

/// How far a clean remote air-cooled unit of this class condenses above ambient at design load, all fans on and not held
/// by a head-pressure control: 15 °F (common practice, no source).
pub const CONDENSER_SPLIT: TemperatureDifference = TemperatureDifference::from_fahrenheit(15.0);

/// How far the coil of a walk-in runs below its box: 10 °F (common practice, no source).
pub const EVAPORATOR_TD: TemperatureDifference = TemperatureDifference::from_fahrenheit(10.0);

/// The superheat aimed at in a cooler, lower and upper: 8 °F to 9 °F (common practice, no source).
pub const SUPERHEAT_COOLER: (TemperatureDifference, TemperatureDifference) =
    (TemperatureDifference::from_fahrenheit(8.0), TemperatureDifference::from_fahrenheit(9.0));

/// The superheat aimed at in a freezer, lower and upper: 6 °F to 8 °F (common practice, no source).
pub const SUPERHEAT_FREEZER: (TemperatureDifference, TemperatureDifference) =
    (TemperatureDifference::from_fahrenheit(6.0), TemperatureDifference::from_fahrenheit(8.0));

/// What stands side by side before a part is opened: what practice does, and what law asks. Never one without the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeforeOpening {
    /// Practice keeps the pressure above this while a part is changed, to save an evacuation (common practice).
    pub kept_above: GaugePressure,
    /// US law wants the part drawn to this before a minor repair.
    pub united_states_draw_to: GaugePressure,
    /// Where that law stands.
    pub section: &'static str,
}

/// Returns what practice does and what US law asks before a part is opened for a minor repair.
///
/// Source of the second: 40 CFR 82.156, high- and medium-pressure appliances opened for non-major work.
#[must_use]
pub const fn before_opening() -> BeforeOpening {
    BeforeOpening {
        kept_above: GaugePressure::from_pascal(0.0),
        united_states_draw_to: GaugePressure::from_pascal(0.0),
        section: "40 CFR 82.156",
    }
}
