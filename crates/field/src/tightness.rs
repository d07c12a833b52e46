//! What a look for leaks at one pressure says of another pressure, and how nitrogen is raised.

use crate::leak::{DISCHARGE_COEFFICIENT, Gas, LeakError, orifice_flow};
use fluid::Fluid;
use units::math::sqrt;
use units::{AbsolutePressure, Fraction, GaugePressure};

/// How much of a leak's rate at one pressure is there at another, by both flow laws.
///
/// A real leak lies between the two or near one of them; nothing read on site tells which.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shown {
    /// If the leak is a hole.
    pub hole: Fraction,
    /// If it is a fine, laminar path.
    pub fine: Fraction,
}

impl Shown {
    /// Returns the smaller share: what is sure to be there.
    #[must_use]
    pub fn least(&self) -> Fraction {
        if self.hole.ratio() < self.fine.ratio() { self.hole } else { self.fine }
    }

    /// Returns the larger share.
    #[must_use]
    pub fn most(&self) -> Fraction {
        if self.hole.ratio() < self.fine.ratio() { self.fine } else { self.hole }
    }
}

/// Returns how much of the leak at `there` is seen with the same gas at `here`.
///
/// The hole by the ratio of nozzle fluxes of saturated vapour, choked or subsonic as each pressure has it; the fine path by
/// (p1^2 - p0^2), the viscosity taken as the same.
///
/// # Errors
/// [`LeakError::NoDrive`] where either pressure is not above that outside; the fluid's own for a pressure without vapour.
pub fn shown(
    gas: &Fluid,
    here: AbsolutePressure,
    there: AbsolutePressure,
    outside: AbsolutePressure,
) -> Result<Shown, LeakError> {
    let flux = |pressure| -> Result<f64, LeakError> {
        Ok(orifice_flow(&Gas::of(gas, pressure, None)?, outside, DISCHARGE_COEFFICIENT)?.flux)
    };
    let hole = flux(here)? / flux(there)?;
    Ok(Shown {
        hole: Fraction::from_ratio(hole),
        fine: Fraction::from_ratio(drive(here, outside) / drive(there, outside)),
    })
}

fn drive(inside: AbsolutePressure, outside: AbsolutePressure) -> f64 {
    let (p, p0) = (inside.pascal(), outside.pascal());
    p * p - p0 * p0
}

/// Returns the pressure at which a fine, laminar leak shows `share` of its rate at `there`.
///
/// A hole shows a larger share at the same pressure, up to a whole: its flow grows with the pressure, not with its square.
#[must_use]
pub fn pressure_that_shows(
    share: Fraction,
    there: AbsolutePressure,
    outside: AbsolutePressure,
) -> AbsolutePressure {
    let p0 = outside.pascal();
    AbsolutePressure::from_pascal(sqrt(p0 * p0 + share.ratio().max(0.0) * drive(there, outside)))
}

/// The first stop, where every joint is soaped: 10 psig. Source: UFGS 15182 and 15652A.
pub const FIRST_STEP: GaugePressure = GaugePressure::from_psi(10.0);
/// Above this the pressure is raised by tenths: 100 psig. Source: as above.
pub const BY_TENTHS_ABOVE: GaugePressure = GaugePressure::from_psi(100.0);

/// Returns the pressures at which nitrogen is stopped and looked at on the way to `last`, that one included.
///
/// 10 psig, then 100 psig, then a tenth of the last pressure at a time. Nothing where `last` is not above zero.
#[must_use]
pub fn nitrogen_steps(last: GaugePressure) -> Vec<GaugePressure> {
    let end = last.pascal();
    if end.is_nan() || end <= 0.0 || end.is_infinite() {
        return Vec::new();
    }
    let mut steps: Vec<GaugePressure> =
        [FIRST_STEP, BY_TENTHS_ABOVE].into_iter().filter(|step| step.pascal() < end).collect();
    if BY_TENTHS_ABOVE.pascal() < end {
        for tenth in 1..10 {
            let step = end * f64::from(tenth) / 10.0;
            // A stop within half a tenth of the one before is the same stop.
            if step > BY_TENTHS_ABOVE.pascal() + 0.05 * end {
                steps.push(GaugePressure::from_pascal(step));
            }
        }
    }
    steps.push(last);
    steps
}
