//! How much of a two-phase space is liquid, by published laws of slip between vapour and liquid.

use units::math::{ln, pow};

/// A published law of the vapour's share of the cross-section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Void {
    /// Both phases at one speed: the least liquid.
    Homogeneous,
    /// Slip by least production of entropy: S. M. Zivi, J. Heat Transfer 86 (1964) 247: slip (rho_l/rho_v)^(1/3).
    Zivi,
    /// Slip 2 throughout: G. Rigot, as used for charge of evaporators (recalled).
    Rigot,
}

impl Void {
    /// The factor s in x / (x + (1 - x) s).
    fn factor(self, density_ratio: f64) -> f64 {
        match self {
            Self::Homogeneous => density_ratio,
            Self::Zivi => pow(density_ratio, 2.0 / 3.0),
            Self::Rigot => 2.0 * density_ratio,
        }
    }

    /// Returns the vapour's share of the volume at a quality; `density_ratio` is vapour over liquid.
    #[must_use]
    pub fn at(self, quality: f64, density_ratio: f64) -> f64 {
        let s = self.factor(density_ratio);
        quality / (quality + (1.0 - quality) * s)
    }

    /// Returns the vapour's mean share from one quality to another, heat going over evenly along the way.
    #[must_use]
    pub fn mean(self, from: f64, to: f64, density_ratio: f64) -> f64 {
        let s = self.factor(density_ratio);
        let k = 1.0 - s;
        if (to - from).abs() < 1e-9 || k.abs() < 1e-9 {
            return self.at(from, density_ratio);
        }
        1.0 / k - s / (k * k) * ln((s + k * to) / (s + k * from)) / (to - from)
    }
}
