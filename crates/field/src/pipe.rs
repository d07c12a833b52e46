//! The pressure that a flow of one phase loses in a straight pipe.

use units::math::{ln, pow, powi, sqrt};
use units::{Density, Length, MassFlow, PressureDifference, Speed};

/// Roughness of drawn copper tube, in metre: common practice, no source.
pub const DRAWN_COPPER: f64 = 1.5e-6;

const GRAVITY: f64 = 9.806_65;

/// A flow of liquid or vapour through a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PipeFlow {
    /// Mass in a time.
    pub mass_flow: MassFlow,
    /// Density.
    pub density: Density,
    /// Viscosity, in pascal second.
    pub viscosity_pa_s: f64,
    /// Inside diameter.
    pub inside: Length,
    /// Length, fittings as the straight pipe that loses as much.
    pub length: Length,
    /// How much higher the far end lies; negative where it lies lower.
    pub rise: Length,
}

/// What the pipe takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PipeLoss {
    /// Mean speed.
    pub speed: Speed,
    /// Reynolds number.
    pub reynolds: f64,
    /// Darcy's friction factor.
    pub friction_factor: f64,
    /// Lost by friction.
    pub friction: PressureDifference,
    /// Weight of the column; negative downwards.
    pub head: PressureDifference,
}

impl PipeFlow {
    /// Returns what the pipe takes, or nothing where a figure is not a positive number.
    ///
    /// Density and viscosity are taken as constant along the pipe: good while the loss is a tenth of the pressure.
    ///
    /// Source: Darcy and Weisbach; the factor of Churchill, Chem. Eng. 84(24) (1977) 91, for laminar, turbulent and between.
    #[must_use]
    pub fn loss(&self) -> Option<PipeLoss> {
        let (m, rho, eta) = (
            self.mass_flow.kilogram_per_second(),
            self.density.kilogram_per_cubic_metre(),
            self.viscosity_pa_s,
        );
        let (d, l) = (self.inside.metre(), self.length.metre());
        if ![m, rho, eta, d, l].iter().all(|value| *value > 0.0 && value.is_finite())
            || !self.rise.metre().is_finite()
        {
            return None;
        }
        let speed = 4.0 * m / (core::f64::consts::PI * d * d * rho);
        let reynolds = rho * speed * d / eta;
        let factor = churchill(reynolds, DRAWN_COPPER / d);
        Some(PipeLoss {
            speed: Speed::from_metre_per_second(speed),
            reynolds,
            friction_factor: factor,
            friction: PressureDifference::from_pascal(factor * l / d * 0.5 * rho * speed * speed),
            head: PressureDifference::from_pascal(rho * GRAVITY * self.rise.metre()),
        })
    }
}

/// Darcy's friction factor by the Reynolds number and the roughness over the diameter.
fn churchill(reynolds: f64, roughness: f64) -> f64 {
    let a = powi(2.457 * -ln(pow(7.0 / reynolds, 0.9) + 0.27 * roughness), 16);
    let b = powi(37_530.0 / reynolds, 16);
    let between = a + b;
    8.0 * pow(powi(8.0 / reynolds, 12) + 1.0 / (between * sqrt(between)), 1.0 / 12.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Colebrook's equation, solved; laminar flow, 64/Re.
    #[test]
    fn the_factor_is_that_of_colebrook_and_of_laminar_flow() {
        assert!((churchill(1000.0, 1e-4) / 0.064 - 1.0).abs() < 1e-3);
        for (reynolds, roughness) in [(1e4, 1e-5), (1e5, 1e-4), (1e6, 1e-4), (3e5, 1e-3)] {
            let mut root = 7.0_f64;
            for _ in 0..50 {
                root = -2.0 * ln(roughness / 3.7 + 2.51 * root / reynolds) / core::f64::consts::LN_10;
            }
            let colebrook = 1.0 / (root * root);
            let own = churchill(reynolds, roughness);
            assert!((own / colebrook - 1.0).abs() < 0.025, "{reynolds} {roughness}: {own}, {colebrook}");
        }
    }

    #[test]
    fn a_column_weighs_and_nothing_flows_through_nothing() {
        let flow = PipeFlow {
            mass_flow: MassFlow::from_kilogram_per_second(0.05),
            density: Density::from_kilogram_per_cubic_metre(1100.0),
            viscosity_pa_s: 1.5e-4,
            inside: Length::from_metre(0.0109),
            length: Length::from_metre(20.0),
            rise: Length::from_metre(3.0),
        };
        let loss = flow.loss().unwrap();
        assert!((loss.head.pascal() - 1100.0 * GRAVITY * 3.0).abs() < 1e-6);
        // By hand: 0.487 m/s, Re 38,930, f 0.0222: 5.3 kPa.
        assert!((loss.speed.metre_per_second() - 0.4871).abs() < 1e-3);
        assert!((loss.friction.pascal() / 5.3e3 - 1.0).abs() < 0.02, "{loss:?}");
        assert_eq!(PipeFlow { inside: Length::from_metre(0.0), ..flow }.loss(), None);
        assert_eq!(PipeFlow { viscosity_pa_s: f64::NAN, ..flow }.loss(), None);
    }
}
