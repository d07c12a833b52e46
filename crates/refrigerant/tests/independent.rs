//! Bubble and dew points by a solver that is not ours: `feos-core`, with the same model plugged in.
//!
//! The model is written here a second time, from the coefficients alone and in the variables of the papers; its
//! derivatives come from dual numbers, the equilibrium from feos-core. A slip in our analytic derivatives, in the
//! equilibrium conditions or in the choice of a root would show.

#![allow(clippy::unwrap_used)]

use feos_core::{PhaseEquilibrium, ResidualDyn, SolverOptions, StateHD};
use feos_nalgebra::DVector;
use feos_num_dual::DualNum;
use feos_quantity::{KELVIN, METER, MOL, PASCAL};
use fluid::coefficients::{Component, Gaussian, Pair, Power, Reducing};
use units::Temperature;
use units::math::{cbrt, sqrt};

/// Cubic metres in a cubic angstrom times the particles of a mole: from particles per angstrom cubed to mole per metre
/// cubed.
const MOLES: f64 = 1e30 / 6.022_140_76e23;

struct Same {
    components: Vec<Component>,
    pairs: Vec<(usize, usize, Pair)>,
}

impl Same {
    fn of(fluid: &fluid::Fluid) -> Self {
        let components = fluid.components().to_vec();
        let mut pairs = Vec::new();
        for i in 0..components.len() {
            let own = &components[i];
            assert!(
                own.gao.is_empty() && own.non_analytic.is_empty(),
                "{}: terms not written here",
                own.name
            );
            for (j, other) in components.iter().enumerate().skip(i + 1) {
                let (pair, _) = refrigerant::pair_parameters(own.name, other.name).unwrap();
                pairs.push((i, j, pair));
            }
        }
        Self { components, pairs }
    }

    /// Kunz, Wagner, J. Chem. Eng. Data 57 (2012) 3032, equations 16 and 17; Lemmon, Jacobsen, J. Phys. Chem. Ref. Data
    /// 33 (2004) 593 for `xi` and `zeta`.
    fn reducing<D: DualNum<f64> + Copy>(&self, x: &DVector<D>) -> (D, D) {
        let (mut t, mut v) = (D::from(0.0), D::from(0.0));
        for (c, x) in self.components.iter().zip(x) {
            t += *x * *x * c.reducing_temperature;
            v += *x * *x / c.reducing_density;
        }
        for (i, j, pair) in &self.pairs {
            let (a, b) = (x[*i], x[*j]);
            let (ca, cb) = (&self.components[*i], &self.components[*j]);
            let (ta, tb) = (ca.reducing_temperature, cb.reducing_temperature);
            let (va, vb) = (1.0 / ca.reducing_density, 1.0 / cb.reducing_density);
            let root = cbrt(va) + cbrt(vb);
            let mean_v = root * root * root / 8.0;
            let bent = |beta: f64, gamma: f64, mean: f64| {
                a * b * (a + b) / (a * (beta * beta) + b) * (2.0 * beta * gamma * mean)
            };
            match pair.reducing {
                Reducing::BetaGamma { beta_t, gamma_t, beta_v, gamma_v } => {
                    t += bent(beta_t, gamma_t, sqrt(ta * tb));
                    v += bent(beta_v, gamma_v, mean_v);
                }
                Reducing::XiZeta { xi, zeta } => {
                    t += a * b * (ta + tb + xi);
                    v += a * b * (va + vb + zeta);
                }
                Reducing::Estimated => {
                    t += bent(1.0, 1.0, sqrt(ta * tb));
                    v += bent(1.0, 1.0, mean_v);
                }
            }
        }
        (t, v.recip())
    }
}

fn powers<D: DualNum<f64> + Copy>(terms: &[Power], tau: D, delta: D) -> D {
    terms.iter().fold(D::from(0.0), |sum, k| {
        let mut exponent = D::from(0.0);
        if k.l > 0 {
            exponent -= delta.powi(i32::from(k.l));
        }
        if k.m != 0.0 {
            exponent -= tau.powf(k.m);
        }
        sum + tau.powf(k.t) * delta.powi(i32::from(k.d)) * exponent.exp() * k.n
    })
}

fn gaussians<D: DualNum<f64> + Copy>(terms: &[Gaussian], tau: D, delta: D) -> D {
    terms.iter().fold(D::from(0.0), |sum, k| {
        let (d, t) = (delta - k.epsilon, tau - k.gamma);
        let exponent = -(d * d * k.eta) - t * t * k.beta;
        sum + tau.powf(k.t) * delta.powi(i32::from(k.d)) * exponent.exp() * k.n
    })
}

impl ResidualDyn for Same {
    fn components(&self) -> usize {
        self.components.len()
    }

    fn compute_max_density<D: DualNum<f64> + Copy>(&self, x: &DVector<D>) -> D {
        // Liquids near the triple point are some 3.2 times as dense as at the reducing point.
        self.reducing(x).1 * (3.2 / MOLES)
    }

    fn reduced_helmholtz_energy_density_contributions<D: DualNum<f64> + Copy>(
        &self,
        state: &StateHD<D>,
    ) -> Vec<(&'static str, D)> {
        let x = &state.molefracs;
        let (t, rho) = self.reducing(x);
        let density = state.partial_density.iter().fold(D::from(0.0), |sum, own| sum + *own);
        let (tau, delta) = (t / state.temperature, density * MOLES / rho);
        let mut alpha = D::from(0.0);
        for (c, x) in self.components.iter().zip(x) {
            alpha += (powers(c.power, tau, delta) + gaussians(c.gaussian, tau, delta)) * *x;
        }
        for (i, j, pair) in &self.pairs {
            if pair.factor != 0.0 {
                alpha += powers(pair.departure, tau, delta) * x[*i] * x[*j] * pair.factor;
            }
        }
        vec![("Helmholtz energy", alpha * density)]
    }
}

#[test]
fn another_solver_finds_the_same_bubble_and_dew_points() {
    let mut worst: f64 = 0.0;
    for name in ["R-404A", "R-407C", "R-410A", "R-448A", "R-454C", "R-513A"] {
        let fluid = refrigerant::find(name).unwrap().fluid();
        let same = &Same::of(&fluid);
        let x = DVector::from_column_slice(fluid.mole_fractions());
        for celsius in [-40.0, 0.0, 45.0] {
            let t = 273.15 + celsius;
            let ours = Temperature::from_kelvin(t);
            let (bubble, dew) =
                (fluid.bubble_at_temperature(ours).unwrap(), fluid.dew_at_temperature(ours).unwrap());
            let options = (SolverOptions::default(), SolverOptions::default());
            for (side, own_p, own_rho) in [
                ("bubble", bubble.pressure.pascal(), bubble.density.kilogram_per_cubic_metre()),
                ("dew", dew.pressure.pascal(), dew.density.kilogram_per_cubic_metre()),
            ] {
                // No guess of ours is given: they begin from their own.
                let whole = (x.clone(), None);
                let found = if side == "bubble" {
                    PhaseEquilibrium::bubble_point(&same, t * KELVIN, whole, None, None, options)
                } else {
                    PhaseEquilibrium::dew_point(&same, t * KELVIN, whole, None, None, options)
                }
                .unwrap_or_else(|e| panic!("{name} {celsius} {side}: {e}"));
                let phase = if side == "bubble" { found.liquid() } else { found.vapor() };
                let p = (found.vapor().pressure(feos_core::Contributions::Total) / PASCAL).into_value();
                let rho = (phase.density / (MOL / (METER * METER * METER))).into_value() * fluid.molar_mass();
                for (what, own, wanted) in [("p", own_p, p), ("rho", own_rho, rho)] {
                    let off = (own / wanted - 1.0).abs();
                    worst = worst.max(off);
                    assert!(off < 1e-9, "{name} {celsius} °C {side} {what}: {own}, theirs {wanted}, {off:e}");
                }
            }
        }
    }
    println!("at most {worst:e} apart");
}
