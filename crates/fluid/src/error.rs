//! The reasons why a question about a fluid has no answer.

use units::{AbsolutePressure, Temperature};

/// Why a state cannot be given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FluidError {
    /// A given value is not a finite number, or not positive where it must be.
    NotANumber,
    /// The temperature lies below the triple point: the fluid would be solid.
    ///
    /// For a mixture the limit is the mean of the components' triple points by amount, an estimate.
    Solid {
        /// The temperature asked for.
        asked: Temperature,
        /// The lowest temperature at which the fluid is liquid.
        triple_point: Temperature,
    },
    /// The pressure lies below that of the triple point: no liquid at any temperature.
    BelowTriplePressure {
        /// The pressure asked for.
        asked: AbsolutePressure,
        /// The pressure at the triple point.
        triple_pressure: AbsolutePressure,
    },
    /// There is no saturation at this temperature: it lies above the end of the two-phase region.
    AboveCriticalTemperature {
        /// The temperature asked for.
        asked: Temperature,
        /// The highest temperature of the line asked for.
        end: Temperature,
    },
    /// There is no saturation at this pressure: the fluid is supercritical.
    AboveCriticalPressure {
        /// The pressure asked for.
        asked: AbsolutePressure,
        /// The highest pressure of the line asked for.
        end: AbsolutePressure,
    },
    /// The state lies above the highest temperature at which the equations of state hold.
    TooHot {
        /// The highest temperature of the equations of state.
        highest: Temperature,
    },
    /// The pressure lies above the highest at which the equations of state hold.
    PressureTooHigh {
        /// The pressure asked for or found.
        asked: AbsolutePressure,
        /// The highest pressure of the equations of state.
        highest: AbsolutePressure,
    },
    /// The quality lies outside 0 to 1.
    QualityOutOfRange {
        /// The quality asked for.
        asked: f64,
    },
    /// The equations let a liquid of this composition separate into two, so that there is no bubble point of it.
    ///
    /// Only in the cold, below some 0.6 of the reducing temperature, where no refrigerant works.
    TwoLiquids,
    /// No single phase holds at this density and temperature: it would separate.
    Unstable,
    /// The iteration did not end.
    NotConverged,
}

impl core::fmt::Display for FluidError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl core::error::Error for FluidError {}

/// Why a composition is refused.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CompositionError {
    /// The number of fractions is not the number of components.
    Count {
        /// How many were given.
        given: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A fraction is negative or not a number.
    Negative {
        /// Which component.
        component: usize,
        /// The fraction given.
        given: f64,
    },
    /// The fractions do not sum to one, within 1e-6.
    Sum {
        /// The sum found.
        given: f64,
    },
    /// There are no components, or more than the engine takes.
    TooMany {
        /// How many were given.
        given: usize,
        /// The most that the engine takes.
        most: usize,
    },
}

impl core::fmt::Display for CompositionError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl core::error::Error for CompositionError {}
