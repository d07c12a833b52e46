//! Energy, entropy and their derivatives of a single phase.

use crate::coefficients::{Component, Ideal};
use crate::lanes::{Lanes, Work};
use crate::model::{MOST, Mean, Model, Residual, Scratch, Whole};
use units::math::{exp, exp_all, ln, ln_all, pow};

/// Ideal part of a component without ln(delta), and its derivatives in ln tau.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct IdealValue {
    pub f: f64,
    pub u: f64,
    pub uu: f64,
}

/// The ideal parts of all components at one temperature.
pub(crate) type Ideals = [IdealValue; MOST];

/// The ideal terms of all components in flat arrays.
#[derive(Clone, Debug, Default)]
pub struct IdealTerms {
    reducing_temperatures: Vec<f64>,
    /// Component, n and the temperature of `n ln(1 - exp(-theta / T))`.
    oscillators: Vec<(usize, f64, f64)>,
    /// The other terms; of a heat capacity besides its value at the temperature it is integrated from.
    others: Vec<(usize, Ideal, f64)>,
    lanes: Lanes,
}

/// [`IdealTerms::by_lanes`], compiled once for every kind of lanes.
struct AtTemperature<'a> {
    terms: &'a IdealTerms,
    temperature: f64,
    scratch: &'a mut Scratch,
}

impl Work for AtTemperature<'_> {
    type Output = Ideals;

    #[inline(always)]
    fn run(self) -> Ideals {
        self.terms.by_lanes(self.temperature, self.scratch)
    }
}

impl IdealTerms {
    /// Returns the terms of `components`.
    pub fn new(components: &[Component]) -> Self {
        let mut out = Self::default();
        for (i, c) in components.iter().enumerate() {
            out.reducing_temperatures.push(c.reducing_temperature);
            for term in c.ideal {
                match *term {
                    Ideal::PlanckEinstein { n, t } => {
                        out.oscillators.push((i, n, t * c.reducing_temperature));
                    }
                    Ideal::HeatCapacity { c, t, from } => out.others.push((i, *term, c * pow(from, t))),
                    _ => out.others.push((i, *term, 0.0)),
                }
            }
        }
        out
    }

    /// Returns the ideal parts of all components at `temperature`.
    pub(crate) fn at(&self, temperature: f64, scratch: &mut Scratch) -> Ideals {
        self.lanes.run(AtTemperature { terms: self, temperature, scratch })
    }

    #[inline(always)]
    fn by_lanes(&self, temperature: f64, scratch: &mut Scratch) -> Ideals {
        let inverse = 1.0 / temperature;
        let count = self.oscillators.len();
        let room = &mut scratch.ideal;
        room.clear();
        room.extend(self.oscillators.iter().map(|(_, _, theta)| -theta * inverse));
        exp_all(room);
        // The logarithms of 1 - exp(-theta / T), then of tau.
        room.extend_from_within(..);
        room.extend(self.reducing_temperatures.iter().map(|own| own * inverse));
        for value in &mut room[count..2 * count] {
            *value = 1.0 - *value;
        }
        ln_all(&mut room[count..]);
        let (exponentials, logarithms) = room.split_at(count);
        let (logarithms, ln_tau) = logarithms.split_at(count);
        let mut out = [IdealValue::default(); MOST];
        for ((i, n, theta), (e, logarithm)) in
            self.oscillators.iter().zip(exponentials.iter().zip(logarithms))
        {
            let y = theta * inverse;
            let over = 1.0 / (1.0 - e);
            let first = n * y * e * over;
            let sum = &mut out[*i];
            sum.f += n * logarithm;
            sum.u += first;
            sum.uu += first * (1.0 - y * over);
        }
        for (i, term, at_from) in &self.others {
            let sum = &mut out[*i];
            match *term {
                Ideal::Lead { a1, a2 } => {
                    let linear = a2 * self.reducing_temperatures[*i] * inverse;
                    sum.f += a1 + linear;
                    sum.u += linear;
                    sum.uu += linear;
                }
                Ideal::LogTau { a } => {
                    sum.f += a * ln_tau[*i];
                    sum.u += a;
                }
                Ideal::Power { n, t } => {
                    let v = n * exp(t * ln_tau[*i]);
                    sum.f += v;
                    sum.u += t * v;
                    sum.uu += t * t * v;
                }
                // Among the oscillators.
                Ideal::PlanckEinstein { .. } => {}
                Ideal::HeatCapacity { c, t, from } => {
                    // A heat capacity c T^t gives f = -c T^t / (t (t + 1)) - c from^(t+1) / ((t + 1) T) + c from^t / t.
                    let r = from * inverse;
                    if t == 0.0 {
                        sum.f += c * (1.0 - r + ln(r));
                        sum.u += c * (1.0 - r);
                        sum.uu -= c * r;
                    } else {
                        let v = c * pow(temperature, t);
                        let linear = at_from * r / (t + 1.0);
                        sum.f += at_from / t - linear - v / (t * (t + 1.0));
                        sum.u += v / (t + 1.0) - linear;
                        sum.uu -= t * v / (t + 1.0) + linear;
                    }
                }
            }
        }
        out
    }
}

/// Molar properties of a single phase, in SI, on the components' own references.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Caloric {
    pub temperature: f64,
    /// Molar density.
    pub density: f64,
    pub pressure: f64,
    pub enthalpy: f64,
    pub entropy: f64,
    pub cv: f64,
    pub cp: f64,
    /// Square of the speed of sound times the molar mass.
    pub mw2: f64,
    /// Derivative of pressure in ln(density), at fixed temperature and composition.
    pub p_ln_rho: f64,
    /// Derivative of pressure in ln T, at fixed density.
    pub p_ln_t: f64,
}

impl Caloric {
    /// Returns the derivatives of molar enthalpy in ln(density) and ln T.
    pub fn enthalpy_derivatives(&self) -> (f64, f64) {
        (
            (self.p_ln_rho - self.p_ln_t) / self.density,
            self.temperature * self.cv + self.p_ln_t / self.density,
        )
    }

    /// Returns the derivatives of molar entropy in ln(density) and ln T.
    pub fn entropy_derivatives(&self) -> (f64, f64) {
        (-self.p_ln_t / (self.density * self.temperature), self.cv)
    }
}

/// Returns the molar properties of the phase whose residual part is `r`.
pub(crate) fn caloric(
    model: &Model,
    rho: &[f64],
    temperature: f64,
    r: &Residual,
    ideals: &Ideals,
) -> Caloric {
    let over = 1.0 / r.rho;
    let mut mixing = 0.0;
    let mut x = [0.0; MOST];
    for (i, (c, rho_i)) in model.components.iter().zip(rho).enumerate() {
        x[i] = rho_i * over;
        mixing += x[i] * ln(rho_i / c.reducing_density);
    }
    let mean = Mean {
        rho: r.rho,
        psi: r.psi,
        psi_u: r.psi_u,
        psi_uu: r.psi_uu,
        z: r.z,
        z_t: r.z_t,
        z_ln_rho: r.z_ln_rho(rho),
    };
    assemble(model, &x[..rho.len()], mixing, temperature, &mean, ideals)
}

/// Returns the molar properties of a phase of the composition `x` that `whole` stands for.
pub(crate) fn caloric_of_whole(
    model: &Model,
    x: &[f64],
    whole: &Whole,
    rho: f64,
    temperature: f64,
    scratch: &mut Scratch,
) -> Caloric {
    let mean = whole.at(rho, temperature, scratch);
    let ideals = model.ideal.at(temperature, scratch);
    assemble(model, x, whole.ideal_mixing + ln(rho), temperature, &mean, &ideals)
}

/// Puts residual and ideal part together; `mixing` is the sum of `x ln(rho_i / rho_r)`.
fn assemble(model: &Model, x: &[f64], mixing: f64, temperature: f64, r: &Mean, ideals: &Ideals) -> Caloric {
    let gas = model.gas_constant;
    let rt = gas * temperature;
    let (mut energy, mut entropy, mut cv) = (0.0, -gas * mixing, 0.0);
    for ((c, x), f) in model.components.iter().zip(x).zip(ideals) {
        let own = x * c.gas_constant;
        energy += own * f.u;
        entropy += own * (f.u - f.f);
        cv -= own * (f.uu - f.u);
    }
    let over = 1.0 / r.rho;
    let energy = temperature * (energy + gas * r.psi_u * over);
    entropy += gas * (r.psi_u - r.psi) * over;
    cv -= gas * (r.psi_uu - r.psi_u) * over;
    let pressure = r.z * rt;
    let p_ln_rho = rt * r.z_ln_rho;
    let p_ln_t = rt * (r.z + r.z_t);
    let cp = cv + p_ln_t * p_ln_t / (temperature * r.rho * p_ln_rho);
    Caloric {
        temperature,
        density: r.rho,
        pressure,
        enthalpy: energy + pressure * over,
        entropy,
        cv,
        cp,
        mw2: cp / cv * p_ln_rho * over,
        p_ln_rho,
        p_ln_t,
    }
}
