//! The points that a log is reduced to, and the features that physics gives.

/// Days that one point spans.
pub const BLOCK_DAYS: i64 = 3;
/// Kelvin of ambient that one point spans.
pub const BAND: f64 = 5.0;

/// What is watched of a system.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Feature {
    /// Condensing dew temperature less ambient, K.
    Split,
    /// Bubble temperature at the discharge pressure less liquid line, K.
    Subcooling,
    /// Suction line less dew temperature, K.
    Superheat,
    /// Box air less dew temperature of the suction, K.
    Difference,
    /// Discharge line less condensing dew temperature, K.
    Discharge,
    /// Level of the receiver, share.
    Level,
    /// Share of the time the compressor runs.
    Run,
}

/// All features, in the order in which a point holds them.
pub const FEATURES: [Feature; 7] = [
    Feature::Split,
    Feature::Subcooling,
    Feature::Superheat,
    Feature::Difference,
    Feature::Discharge,
    Feature::Level,
    Feature::Run,
];

impl Feature {
    /// Returns a stable word for programs; a point's columns are named by it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Split => "split",
            Self::Subcooling => "subcooling",
            Self::Superheat => "superheat",
            Self::Difference => "td",
            Self::Discharge => "discharge",
            Self::Level => "level",
            Self::Run => "run",
        }
    }

    /// Returns the feature of a word.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        FEATURES.into_iter().find(|feature| feature.word() == word)
    }

    /// A change worth a visit, and the least scatter of a point that is believed. Our judgement, no source; the scatter is
    /// of the order of what the no-fault residuals of a chamber show (0.4 to 0.8 K), the discharge line's thrice that.
    pub(crate) const fn scale(self) -> (f64, f64) {
        match self {
            Self::Split | Self::Superheat => (4.0, 0.3),
            Self::Subcooling | Self::Difference => (3.0, 0.3),
            Self::Discharge => (8.0, 0.8),
            Self::Level => (0.2, 0.02),
            Self::Run => (0.15, 0.02),
        }
    }
}

/// Returns the features of one steady moment from temperatures in kelvin, in the order of [`FEATURES`] up to the discharge.
///
/// What a feature needs and is absent leaves it absent.
#[must_use]
pub fn features(
    suction_dew: Option<f64>,
    condensing_dew: Option<f64>,
    condensing_bubble: Option<f64>,
    [suction_line, liquid_line, discharge_line, box_air, ambient]: [Option<f64>; 5],
) -> [Option<f64>; 5] {
    let less = |a: Option<f64>, b: Option<f64>| Some(a? - b?);
    [
        less(condensing_dew, ambient),
        less(condensing_bubble, liquid_line),
        less(suction_line, suction_dew),
        less(box_air, suction_dew),
        less(discharge_line, condensing_dew),
    ]
}

/// Means of a system over the steady windows of three days in one band of ambient.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Days since 1970-01-01 over [`BLOCK_DAYS`], rounded down.
    pub block: i64,
    /// Mean ambient, K; absent where the log has none.
    pub ambient: Option<f64>,
    /// Each feature's mean and how many windows it has; absent where there are none.
    pub features: [Option<(f64, f64)>; 7],
}
