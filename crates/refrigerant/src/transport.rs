//! Viscosity, thermal conductivity and surface tension.
//!
//! Viscosity and conductivity go with the residual entropy, which the equations of state give: the part beyond the dilute
//! gas, made dimensionless by density, temperature and mass, is one curve of s⁺ = −sʳ/R for a fluid, whatever its pressure.
//! Blends need no parameter of their own: coefficients mix by moles, dilute gases by Wilke's and by Mason and Saxena's rule.
//!
//! Sources: `data/transport/entropy_scaling.toml` names the papers of the parameters; the dilute gas by Chapman and Enskog
//! with the collision integral of Kim, Monroe, J. Comput. Phys. 273 (2014) 358, or a reference correlation where the file has
//! one; internal motion by Eucken's factor 1.32;
//! the critical enhancement by Olchowy, Sengers, Int. J. Thermophys. 10 (1989) 417 (these from memory and from the open
//! library named in the file).

use fluid::Fluid;
use units::math::{atan, exp, exp_m1, ln, pow, powi, sqrt};
use units::{Density, Temperature};

type Terms = &'static [(f64, i32)];

struct Scaled {
    name: &'static str,
    /// C, sigma in nanometre and energy in kelvin; terms of ln T*.
    dilute_viscosity: Option<([f64; 3], Terms)>,
    /// A temperature in kelvin, and the terms above and below the line.
    dilute_conductivity: Option<(f64, Terms, Terms)>,
    /// Energy over Boltzmann's constant, in kelvin, and size, in nanometre, of the Lennard-Jones molecule.
    molecule: Option<[f64; 2]>,
    /// xi, n1 to n4.
    viscosity: Option<[f64; 5]>,
    conductivity: Option<[f64; 5]>,
    /// phi0 in metre, Gamma, qD in 1/metre, reference temperature in kelvin.
    critical: Option<[f64; 4]>,
    /// Critical temperature in kelvin, and terms a in N/m and n.
    tension: Option<(f64, &'static [(f64, f64)])>,
}

include!(concat!(env!("OUT_DIR"), "/scaled.rs"));

const BOLTZMANN: f64 = 1.380_649e-23;
const AVOGADRO: f64 = 6.022_140_76e23;
const R: f64 = BOLTZMANN * AVOGADRO;

/// Exponents of s⁺.
const POWERS: [f64; 4] = [1.0, 1.5, 2.0, 2.5];

/// Viscosity and thermal conductivity of one phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transport {
    /// The viscosity, in pascal second.
    pub viscosity_pa_s: f64,
    /// Its relative standard uncertainty: 3.2 % for a pure fluid, 8 % for a blend, as the authors of the model found.
    pub viscosity_relative_u: f64,
    /// The thermal conductivity, in watt per metre and kelvin; absent where a component has no parameters.
    pub conductivity_w_m_k: Option<f64>,
    /// Its relative standard uncertainty: 5 % for a pure fluid, 8 % for a blend (judgement, from the checks against CoolProp).
    pub conductivity_relative_u: f64,
}

/// Returns viscosity and conductivity of a phase of the fluid's composition at a density and a temperature, or nothing where
/// a component's parameters are not known.
///
/// The critical enhancement of the conductivity is included, that of the viscosity is not. Heat capacities enter the
/// enhancement only where the state is a stable phase.
#[must_use]
pub fn transport(fluid: &Fluid, density: Density, temperature: Temperature) -> Option<Transport> {
    let t = temperature.kelvin();
    let parts = Parts::of(fluid)?;
    let rho = density.kilogram_per_cubic_metre() / fluid.molar_mass();
    let s = f64::max(-fluid.residual_entropy(density, temperature), 0.0);
    let dilute: Vec<f64> =
        parts.own.iter().map(|(own, c, _)| dilute_viscosity(own, c.molar_mass, t)).collect::<Option<_>>()?;
    // Density in particles, to the power two thirds, over s to the same power: what both properties are scaled by.
    let crowd = if s > 0.0 { pow(rho * AVOGADRO / s, 2.0 / 3.0) } else { 0.0 };
    let mass = fluid.molar_mass() / AVOGADRO;
    let viscosity = parts.mixed(&dilute, &dilute, false)
        + crowd * sqrt(mass * BOLTZMANN * t) * exp_m1(parts.series(s, |own| own.viscosity)?);
    let conductivity = parts.conductivity(fluid, (rho, density), temperature, s, crowd, &dilute, viscosity);
    let pure = parts.own.len() == 1;
    Some(Transport {
        viscosity_pa_s: viscosity,
        viscosity_relative_u: if pure { 0.032 } else { 0.08 },
        conductivity_w_m_k: conductivity,
        conductivity_relative_u: if pure { 0.05 } else { 0.08 },
    })
}

/// Returns the surface tension of the fluid's saturated liquid in newton per metre, or nothing where a component has no
/// equation or the temperature lies above the critical point.
///
/// A blend's is the mean of its components' by moles of the liquid, each as far from its own critical point as the blend is
/// from its own: within 6 % of Okada's equations for R-404A, R-407C, R-410A and R-507A up to 40 °C.
#[must_use]
pub fn surface_tension(fluid: &Fluid, temperature: Temperature) -> Option<f64> {
    let parts = Parts::of(fluid)?;
    let each: Vec<_> = parts
        .own
        .iter()
        .map(|(own, _, x)| own.tension.map(|tension| (tension, *x)))
        .collect::<Option<_>>()?;
    let critical = match each.as_slice() {
        [((tc, _), _)] => *tc,
        _ => fluid.critical_point().ok()?.0.kelvin(),
    };
    let distance = 1.0 - temperature.kelvin() / critical;
    if distance.is_nan() || distance <= 0.0 {
        return None;
    }
    let own = |terms: &[(f64, f64)]| -> f64 { terms.iter().map(|(a, n)| a * pow(distance, *n)).sum() };
    Some(each.iter().map(|((_, terms), x)| x * own(terms)).sum())
}

/// The components of a fluid that are there, with their parameters and mole fractions.
struct Parts<'a> {
    own: Vec<(&'static Scaled, &'a fluid::coefficients::Component, f64)>,
}

impl<'a> Parts<'a> {
    fn of(fluid: &'a Fluid) -> Option<Self> {
        let there = fluid.components().iter().zip(fluid.mole_fractions()).filter(|(_, x)| **x > 0.0);
        let own = there.map(|(c, x)| Some((SCALED.iter().find(|own| own.name == c.name)?, c, *x)));
        Some(Self { own: own.collect::<Option<_>>()? })
    }

    /// The power series of s⁺, its coefficients mixed by moles.
    fn series(&self, s: f64, of: impl Fn(&Scaled) -> Option<[f64; 5]>) -> Option<f64> {
        let mut sum = 0.0;
        for (own, _, x) in &self.own {
            let [xi, n @ ..] = of(own)?;
            for (n, g) in n.iter().zip(POWERS) {
                sum += x * n * pow(s / xi, g);
            }
        }
        Some(sum)
    }

    /// The mean of `values` of the dilute gas, weighed by `by`: Wilke, J. Chem. Phys. 18 (1950) 517 for viscosities; Mason,
    /// Saxena, Phys. Fluids 1 (1958) 361 for conductivities, whose masses stand the other way round.
    fn mixed(&self, values: &[f64], by: &[f64], conductivities: bool) -> f64 {
        let mut mean = 0.0;
        for (i, (_, a, x)) in self.own.iter().enumerate() {
            let mut below = 0.0;
            for (j, (_, b, y)) in self.own.iter().enumerate() {
                let masses = a.molar_mass / b.molar_mass;
                let turned = if conductivities { masses } else { 1.0 / masses };
                let root = 1.0 + sqrt(by[i] / by[j]) * sqrt(sqrt(turned));
                below += y * root * root / sqrt(8.0 * (1.0 + masses));
            }
            mean += x * values[i] / below;
        }
        mean
    }

    #[allow(clippy::too_many_arguments)]
    fn conductivity(
        &self,
        fluid: &Fluid,
        (rho, density): (f64, Density),
        temperature: Temperature,
        s: f64,
        crowd: f64,
        dilute: &[f64],
        viscosity: f64,
    ) -> Option<f64> {
        let t = temperature.kelvin();
        let beyond = self.series(s, |own| own.conductivity)?;
        let heat: Vec<f64> = fluid
            .ideal_heat_capacities(temperature)
            .into_iter()
            .zip(fluid.mole_fractions())
            .filter_map(|(cp, x)| (*x > 0.0).then_some(cp))
            .collect();
        // A molecule's own motion carries 15/4 R η/M, what moves within it the rest of its heat capacity.
        let moving: Vec<f64> =
            self.own.iter().zip(dilute).map(|((_, c, _), eta)| 3.75 * R * eta / c.molar_mass).collect();
        let whole: Vec<f64> = self
            .own
            .iter()
            .zip(dilute.iter().zip(&heat))
            .zip(&moving)
            .map(|(((own, c, _), (eta, cp)), moving)| match own.dilute_conductivity {
                Some((unit, above, below)) => sum(above, t / unit) / sum(below, t / unit),
                None => moving + 1.32 * eta / c.molar_mass * R * (cp - 2.5),
            })
            .collect();
        let mass = fluid.molar_mass() / AVOGADRO;
        let scale = crowd * BOLTZMANN * sqrt(BOLTZMANN * t / mass);
        let enhanced = self.enhancement(fluid, rho, density, temperature, viscosity)?;
        Some(self.mixed(&whole, &moving, true) + scale * beyond + enhanced)
    }

    /// What the swings of density near the critical point add to the conductivity.
    fn enhancement(
        &self,
        fluid: &Fluid,
        rho: f64,
        density: Density,
        temperature: Temperature,
        viscosity: f64,
    ) -> Option<f64> {
        let mut mean = [0.0; 6];
        for (own, c, x) in &self.own {
            let [phi, gamma, q, reference] = own.critical?;
            let of = [phi, gamma, q, reference, c.critical_pressure, 1.0 / c.critical_density];
            for (mean, of) in mean.iter_mut().zip(of) {
                *mean += x * of;
            }
        }
        let [phi, gamma, q, reference, pc, volume] = mean;
        let t = temperature.kelvin();
        let far = fluid.density_slope(density, Temperature::from_kelvin(reference));
        let near = fluid.density_slope(density, temperature) - reference / t * far;
        let Ok(state) = fluid.state_at_density_temperature(density, temperature) else { return Some(0.0) };
        let (Some(cp), Some(cv)) = (state.cp, state.cv) else { return Some(0.0) };
        if near.is_nan() || near <= 0.0 {
            return Some(0.0);
        }
        let (cp, cv) = (cp.joule_per_kilogram_kelvin(), cv.joule_per_kilogram_kelvin());
        let reduced = rho * volume;
        let length = phi * exp(0.63 / 1.239 * ln(pc * volume * reduced / gamma * near));
        let y = q * length;
        let share = cv / cp;
        let dampened = 1.0 - exp(-1.0 / (1.0 / y + y * y / (3.0 * reduced * reduced)));
        let omega = 2.0 / core::f64::consts::PI * ((1.0 - share) * atan(y) + share * y - dampened);
        let per_volume = density.kilogram_per_cubic_metre() * cp;
        Some(per_volume * 1.02 * BOLTZMANN * t / (6.0 * core::f64::consts::PI * viscosity * length) * omega)
    }
}

fn sum(terms: Terms, x: f64) -> f64 {
    terms.iter().map(|(a, k)| a * powi(x, *k)).sum()
}

/// The viscosity of a component's dilute gas, in pascal second.
fn dilute_viscosity(own: &Scaled, molar_mass: f64, t: f64) -> Option<f64> {
    if let Some(([lead, size, energy], terms)) = own.dilute_viscosity {
        let omega = exp(sum(terms, ln(t / energy)));
        return Some(lead * sqrt(1e3 * molar_mass * t) / (size * size * omega));
    }
    const LEAD: f64 = -0.920_329_79;
    const TERMS: [(f64, f64); 6] = [
        (2.350_804_4, 1.633_021_3),
        (0.501_106_49, -0.697_951_56),
        (-0.471_937_69, 0.160_965_72),
        (0.158_063_67, -0.022_109_44),
        (-0.026_367_184, 0.001_703_143_4),
        (0.001_812_011_8, -0.000_056_699_986),
    ];
    let [energy, size] = own.molecule?;
    let reduced = t / energy;
    let (inverse, logarithm) = (1.0 / reduced, ln(reduced));
    let (mut a, mut b, mut omega) = (1.0, 1.0, LEAD);
    for (by_inverse, by_logarithm) in TERMS {
        a *= inverse;
        b *= logarithm;
        omega += by_inverse * a + by_logarithm * b;
    }
    let size = size * 1e-9;
    let speed = sqrt(molar_mass / AVOGADRO * BOLTZMANN * t / core::f64::consts::PI);
    Some(5.0 / 16.0 * speed / (size * size * omega))
}
