//! What models of transport need of a state: residual entropy, ideal heat capacities, and how density follows pressure.

use crate::caloric::IdealTerms;
use crate::fluid::Fluid;
use crate::model::Scratch;
use units::{Density, Temperature};

impl Fluid {
    /// Returns the residual entropy over R at a density and a temperature: that of the fluid less that of its ideal gas at
    /// the same density. Negative where molecules attract each other; zero in the dilute gas.
    ///
    /// Computed from the equations as they are; whether a phase of this density lasts is not asked.
    #[must_use]
    pub fn residual_entropy(&self, density: Density, temperature: Temperature) -> f64 {
        let rho = density.kilogram_per_cubic_metre() / self.molar_mass();
        let mean = self.whole().at(rho, temperature.kelvin(), &mut Scratch::default());
        (mean.psi_u - mean.psi) / rho
    }

    /// Returns the derivative of molar density in pressure at a density and a temperature, in mol/(m³ Pa).
    ///
    /// Infinite at the critical point, negative where no phase of this density lasts.
    #[must_use]
    pub fn density_slope(&self, density: Density, temperature: Temperature) -> f64 {
        let (rho, t) = (density.kilogram_per_cubic_metre() / self.molar_mass(), temperature.kelvin());
        let mean = self.whole().at(rho, t, &mut Scratch::default());
        rho / (self.inner.model.gas_constant * t * mean.z_ln_rho)
    }

    /// Returns the heat capacity at constant pressure over R of each component's ideal gas.
    #[must_use]
    pub fn ideal_heat_capacities(&self, temperature: Temperature) -> Vec<f64> {
        let components = self.components();
        let ideal = IdealTerms::new(components).at(temperature.kelvin(), &mut Scratch::default());
        ideal[..components.len()].iter().map(|own| 1.0 + own.u - own.uu).collect()
    }
}
