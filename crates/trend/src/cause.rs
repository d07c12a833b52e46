//! What may move a system off its baseline, by the direction in which each feature goes.

use crate::Feature::{self, Difference, Discharge, Level, Run, Split, Subcooling, Superheat};

/// What may have changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// Charge is being lost.
    Charge,
    /// The condenser gives off less heat: dirt, a fan, air that comes back.
    Condenser,
    /// The coil takes up less heat: ice, dirt, a fan.
    Coil,
    /// The transducer of the high side shows more than before.
    HighUp,
    /// The transducer of the high side shows less than before.
    HighDown,
    /// The transducer of the low side shows more than before.
    LowUp,
    /// The transducer of the low side shows less than before.
    LowDown,
}

/// All causes.
pub const CAUSES: [Cause; 7] = [
    Cause::Charge,
    Cause::Condenser,
    Cause::Coil,
    Cause::HighUp,
    Cause::HighDown,
    Cause::LowUp,
    Cause::LowDown,
];

impl Cause {
    /// Returns a stable word for programs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Charge => "charge",
            Self::Condenser => "condenser",
            Self::Coil => "coil",
            Self::HighUp => "high_transducer_up",
            Self::HighDown => "high_transducer_down",
            Self::LowUp => "low_transducer_up",
            Self::LowDown => "low_transducer_down",
        }
    }

    /// Returns the cause of a word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        CAUSES.into_iter().find(|cause| cause.word() == word)
    }

    /// The share of changes that are of this kind, before any reading. Our judgement, no source.
    pub(crate) const fn before(self) -> f64 {
        match self {
            Self::Charge => 0.40,
            Self::Condenser => 0.30,
            Self::Coil => 0.18,
            Self::HighUp | Self::HighDown | Self::LowUp | Self::LowDown => 0.03,
        }
    }

    /// Which features it moves, which way, and how likely each moves at all in time to be seen.
    ///
    /// Directions as a steady-state model gives them for a system with a receiver: what is lost first goes unseen, then the
    /// liquid loses its subcooling and the coil starves. A transducer moves what is computed from it together, and alone.
    pub(crate) const fn moves(self) -> &'static [(Feature, f64, f64)] {
        match self {
            Self::Charge => &[
                (Subcooling, -1.0, 0.8),
                (Level, -1.0, 0.9),
                (Superheat, 1.0, 0.6),
                (Difference, 1.0, 0.6),
                (Discharge, 1.0, 0.6),
                (Run, 1.0, 0.5),
            ],
            Self::Condenser => &[(Split, 1.0, 0.95), (Discharge, 1.0, 0.5), (Run, 1.0, 0.4)],
            Self::Coil => &[(Difference, 1.0, 0.95), (Superheat, -1.0, 0.5), (Run, 1.0, 0.4)],
            Self::HighUp => &[(Split, 1.0, 0.95), (Subcooling, 1.0, 0.95), (Discharge, -1.0, 0.9)],
            Self::HighDown => &[(Split, -1.0, 0.95), (Subcooling, -1.0, 0.95), (Discharge, 1.0, 0.9)],
            Self::LowUp => &[(Superheat, -1.0, 0.95), (Difference, -1.0, 0.95)],
            Self::LowDown => &[(Superheat, 1.0, 0.95), (Difference, 1.0, 0.95)],
        }
    }
}
