//! Hand-written derivatives against dual numbers, for every form of term, with invented coefficients.

use crate::caloric::{caloric, caloric_of_whole};
use crate::coefficients::*;
use crate::model::{MOST, Model, Scratch};
use crate::terms::{AtTau, Terms, Value};
use num_dual::{Dual64, DualNum, HyperDual64};
use proptest::prelude::*;

const POWER: &[Power] = &[
    Power { n: 0.7, t: 0.3, d: 1, l: 0, m: 0.0 },
    Power { n: -1.3, t: 1.25, d: 2, l: 1, m: 0.0 },
    Power { n: 0.21, t: 6.0, d: 4, l: 3, m: 0.0 },
    Power { n: -0.05, t: 11.5, d: 3, l: 2, m: 0.0 },
    Power { n: 0.4, t: 2.0, d: 1, l: 2, m: 1.7 },
    Power { n: 0.3, t: 0.5, d: 0, l: 1, m: 0.0 },
];
const GAUSSIAN: &[Gaussian] = &[
    Gaussian { n: -0.9, t: 1.1, d: 1, eta: 0.96, epsilon: 0.68, beta: 1.4, gamma: 1.2 },
    Gaussian { n: 0.2, t: 3.0, d: 3, eta: 20.0, epsilon: 1.0, beta: 215.0, gamma: 1.13 },
];
const GAO: &[Gao] =
    &[Gao { n: -1.6, t: 4.3, d: 1, eta: -2.8, epsilon: 0.45, beta: 0.37, gamma: 1.1, b: 1.2 }];
const NON_ANALYTIC: &[NonAnalytic] = &[NonAnalytic {
    n: -0.6,
    a: 3.5,
    b: 0.875,
    beta: 0.3,
    capital_a: 0.7,
    capital_b: 0.3,
    capital_c: 10.0,
    capital_d: 275.0,
}];

/// The terms as the papers write them, for any kind of number.
fn plain<D: DualNum<Primitive = f64> + Copy>(tau: D, delta: D) -> D {
    plain_power(POWER, tau, delta) + plain_rest(tau, delta)
}

fn plain_power<D: DualNum<Primitive = f64> + Copy>(power: &[Power], tau: D, delta: D) -> D {
    let mut sum = D::from(0.0);
    for k in power {
        let mut v = tau.powf(k.t) * delta.powi(i32::from(k.d)) * k.n;
        if k.l > 0 {
            v *= (-delta.powi(i32::from(k.l))).exp();
        }
        if k.m > 0.0 {
            v *= (-tau.powf(k.m)).exp();
        }
        sum += v;
    }
    sum
}

fn plain_rest<D: DualNum<Primitive = f64> + Copy>(tau: D, delta: D) -> D {
    let mut sum = D::from(0.0);
    for k in GAUSSIAN {
        let (x, y) = (delta - k.epsilon, tau - k.gamma);
        sum += tau.powf(k.t) * delta.powi(i32::from(k.d)) * (x * x * -k.eta - y * y * k.beta).exp() * k.n;
    }
    for k in GAO {
        let (x, y) = (delta - k.epsilon, tau - k.gamma);
        let q = y * y * k.beta + k.b;
        sum += tau.powf(k.t) * delta.powi(i32::from(k.d)) * (x * x * k.eta + q.recip()).exp() * k.n;
    }
    for k in NON_ANALYTIC {
        let (x, y) = (delta - 1.0, tau - 1.0);
        let xx = x * x;
        let theta = -y + xx.powf(0.5 / k.beta) * k.capital_a;
        let big = theta * theta + xx.powf(k.a) * k.capital_b;
        sum += big.powf(k.b) * delta * (xx * -k.capital_c - y * y * k.capital_d).exp() * k.n;
    }
    sum
}

fn close(own: f64, wanted: f64, scale: f64) -> bool {
    (own - wanted).abs() <= 1e-10 * (scale + wanted.abs())
}

proptest! {
    /// Value, first and second derivatives of all forms together, in ln tau and ln delta.
    #[test]
    fn terms(tau in 0.6..2.2f64, delta in prop_oneof![1e-4..3.2f64, 0.7..1.3f64]) {
        prop_assume!((delta - 1.0).abs() > 1e-3);
        let mut terms = Terms::default();
        terms.add(POWER, GAUSSIAN, GAO, NON_ANALYTIC);
        let (mut at, mut out) = (AtTau::default(), [Value::default()]);
        terms.at_tau(tau, &mut at);
        terms.at_delta(delta, &mut at, &mut out);
        let second = |a: [f64; 2], b: [f64; 2]| {
            let u = HyperDual64::new(units::math::ln(tau), a[0], b[0], 0.0).exp();
            let w = HyperDual64::new(units::math::ln(delta), a[1], b[1], 0.0).exp();
            plain(u, w)
        };
        let uu = second([1.0, 0.0], [1.0, 0.0]);
        let uw = second([1.0, 0.0], [0.0, 1.0]);
        let ww = second([0.0, 1.0], [0.0, 1.0]);
        for (own, wanted) in [
            (out[0].a, uu.re),
            (out[0].u, uu.eps1),
            (out[0].w, ww.eps1),
            (out[0].uu, uu.eps1eps2),
            (out[0].uw, uw.eps1eps2),
            (out[0].ww, ww.eps1eps2),
        ] {
            prop_assert!(close(own, wanted, 100.0), "{own} for {wanted}");
        }
    }
}

fn component(name: &'static str, t: f64, rho: f64, whole: bool) -> Component {
    const NONE: Ancillary =
        Ancillary { one_plus: true, over_temperature: false, temperature: 300.0, value: 1.0, terms: &[] };
    Component {
        name,
        cas: name,
        molar_mass: 0.1,
        gas_constant: 8.314472,
        acentric_factor: 0.3,
        reducing_temperature: t,
        reducing_density: rho,
        critical_temperature: t,
        critical_pressure: 4e6,
        critical_density: rho,
        triple_point: 100.0,
        highest_temperature: 500.0,
        highest_pressure: 1e8,
        power: POWER,
        gaussian: if whole { GAUSSIAN } else { &[] },
        gao: if whole { GAO } else { &[] },
        non_analytic: if whole { NON_ANALYTIC } else { &[] },
        ideal: &[
            Ideal::Lead { a1: -3.0, a2: 4.0 },
            Ideal::LogTau { a: 2.5 },
            Ideal::Power { n: 0.3, t: -0.7 },
            Ideal::PlanckEinstein { n: 3.1, t: 1.9 },
            Ideal::HeatCapacity { c: 0.01, t: 1.2, from: 273.15 },
            Ideal::HeatCapacity { c: 3.5, t: 0.0, from: 298.15 },
        ],
        saturation_pressure: NONE,
        liquid_density: NONE,
        vapour_density: NONE,
    }
}

const DEPARTURE: &[Power] =
    &[Power { n: 0.23, t: 1.9, d: 1, l: 1, m: 0.0 }, Power { n: -0.09, t: 0.25, d: 3, l: 2, m: 0.0 }];
const PAIRS: [Pair; 3] = [
    Pair {
        reducing: Reducing::BetaGamma { beta_t: 1.03, gamma_t: 0.97, beta_v: 0.98, gamma_v: 1.02 },
        factor: 0.8,
        departure: DEPARTURE,
    },
    Pair { reducing: Reducing::XiZeta { xi: 9.0, zeta: -2e-6 }, factor: 1.0, departure: DEPARTURE },
    Pair {
        reducing: Reducing::BetaGamma { beta_t: 0.99, gamma_t: 1.01, beta_v: 1.2, gamma_v: 0.93 },
        factor: 0.0,
        departure: &[],
    },
];
const WHICH: [(usize, usize); 3] = [(0, 1), (0, 2), (1, 2)];

fn three() -> Vec<Component> {
    vec![
        component("a", 351.0, 8150.0, true),
        component("b", 339.0, 4779.0, false),
        component("c", 374.0, 4979.0, false),
    ]
}

/// The mixture as the papers write it: rho alpha_r(tau, delta, x).
fn plain_mixture<D: DualNum<Primitive = f64> + Copy>(rho: [D; 3], t: D) -> D {
    let components = three();
    let total = rho[0] + rho[1] + rho[2];
    let x = rho.map(|r| r / total);
    let (mut t_r, mut v_r) = (D::from(0.0), D::from(0.0));
    for i in 0..3 {
        t_r += x[i] * x[i] * components[i].reducing_temperature;
        v_r += x[i] * x[i] / components[i].reducing_density;
    }
    let mut departure = Vec::new();
    for (pair, (i, j)) in PAIRS.iter().zip(WHICH) {
        let (a, b) = (&components[i], &components[j]);
        let (va, vb) = (1.0 / a.reducing_density, 1.0 / b.reducing_density);
        let root = units::math::cbrt(va) + units::math::cbrt(vb);
        let mean_t = units::math::sqrt(a.reducing_temperature * b.reducing_temperature);
        let mean_v = root * root * root / 8.0;
        let (beta_t, gamma_t, beta_v, gamma_v) = match pair.reducing {
            Reducing::BetaGamma { beta_t, gamma_t, beta_v, gamma_v } => (beta_t, gamma_t, beta_v, gamma_v),
            Reducing::XiZeta { xi, zeta } => (
                1.0,
                (a.reducing_temperature + b.reducing_temperature + xi) / (2.0 * mean_t),
                1.0,
                (va + vb + zeta) / (2.0 * mean_v),
            ),
            Reducing::Estimated => (1.0, 1.0, 1.0, 1.0),
        };
        let bend = |beta: f64| x[i] * x[j] * (x[i] + x[j]) / (x[i] * (beta * beta) + x[j]);
        t_r += bend(beta_t) * (2.0 * beta_t * gamma_t * mean_t);
        v_r += bend(beta_v) * (2.0 * beta_v * gamma_v * mean_v);
        departure.push(x[i] * x[j] * pair.factor);
    }
    let (tau, delta) = (t_r / t, total * v_r);
    let mut a = x[0] * plain(tau, delta);
    a += (x[1] + x[2]) * plain_power(POWER, tau, delta);
    for (pair, factor) in PAIRS.iter().zip(departure) {
        a += factor * plain_power(pair.departure, tau, delta);
    }
    total * a
}

proptest! {
    /// Residual energy of a mixture and its derivatives in the partial densities and ln T; pressure from them.
    #[test]
    fn mixture(
        rho in [10.0..5000.0f64, 10.0..5000.0f64, 10.0..5000.0f64],
        t in 220.0..420.0f64,
    ) {
        let model = Model::new(three(), |i, j| {
            PAIRS[WHICH.iter().position(|w| *w == (i, j)).unwrap()]
        });
        let own = model.residual(&rho, t, &mut Scratch::default());
        let ln_t = units::math::ln(t);
        let scale = rho.iter().sum::<f64>();
        let (mut z, mut z_t) = (scale, 0.0);
        for i in 0..3 {
            let mut z_i = 1.0;
            for j in 0..3 {
                let mut at = rho.map(HyperDual64::from);
                at[i].eps1 = 1.0;
                at[j].eps2 = 1.0;
                let value = plain_mixture(at, HyperDual64::from(t));
                prop_assert!(close(own.psi, value.re, scale));
                prop_assert!(close(own.g[i], value.eps1, 10.0), "g {} for {}", own.g[i], value.eps1);
                prop_assert!(close(own.h[i][j] * scale, value.eps1eps2 * scale, 100.0));
                z_i += rho[j] * value.eps1eps2;
            }
            let mut at = rho.map(HyperDual64::from);
            at[i].eps1 = 1.0;
            let value = plain_mixture(at, HyperDual64::new(ln_t, 0.0, 1.0, 0.0).exp());
            prop_assert!(close(own.g_t[i], value.eps1eps2, 100.0));
            prop_assert!(close(own.psi_u, -value.eps2, scale));
            z += rho[i] * value.eps1;
            z_t += rho[i] * value.eps1eps2 + if i == 0 { -value.eps2 } else { 0.0 };
            prop_assert!(close(own.z_rho[i], z_i, 1e3));
        }
        z -= own.psi;
        prop_assert!(close(own.z, z, 10.0 * scale), "z {} for {z}", own.z);
        prop_assert!(close(own.z_t, z_t, 100.0 * scale), "z_t {} for {z_t}", own.z_t);
    }

    /// All terms as one sum give what component by component gives.
    #[test]
    fn one_composition(
        parts in [0.05..1.0f64, 0.05..1.0f64, 0.05..1.0f64],
        density in 10.0..12000.0f64,
        t in 220.0..420.0f64,
    ) {
        let model = Model::new(three(), |i, j| {
            PAIRS[WHICH.iter().position(|w| *w == (i, j)).unwrap()]
        });
        let x = parts.map(|part| part / parts.iter().sum::<f64>());
        let rho = x.map(|x| x * density);
        let room = &mut Scratch::default();
        let r = model.residual(&rho, t, room);
        let wanted = caloric(&model, &rho, t, &r, &model.ideal.at(t, room));
        let own = caloric_of_whole(&model, &x, &model.whole(&x), density, t, &mut Scratch::default());
        let gas = model.gas_constant;
        for (own, wanted, scale) in [
            (own.pressure, wanted.pressure, gas * t * density),
            (own.enthalpy, wanted.enthalpy, gas * t),
            (own.entropy, wanted.entropy, gas),
            (own.cv, wanted.cv, gas),
            (own.p_ln_rho, wanted.p_ln_rho, gas * t * density),
            (own.p_ln_t, wanted.p_ln_t, gas * t * density),
        ] {
            prop_assert!((own - wanted).abs() <= 1e-11 * (100.0 * scale + wanted.abs()), "{own} for {wanted}");
        }
    }

    /// Enthalpy, entropy and heat capacities by their definitions from the whole Helmholtz energy.
    #[test]
    fn caloric_properties(density in 10.0..9000.0f64, t in 220.0..420.0f64) {
        let c = component("a", 351.0, 8150.0, true);
        let model = Model::new(vec![c], |_, _| Pair::ESTIMATED);
        let mut rho = [0.0; MOST];
        rho[0] = density;
        let r = model.residual(&rho[..1], t, &mut Scratch::default());
        let room = &mut Scratch::default();
        let own = caloric(&model, &rho[..1], t, &r, &model.ideal.at(t, room));
        // a(T, v)/R as a dual number in T, with the ideal part's own derivatives left out: only its value is used here.
        let energy = |t: HyperDual64, v: HyperDual64| {
            let tau = t.recip() * c.reducing_temperature;
            let delta = v.recip() / c.reducing_density;
            let mut a = delta.ln() + plain(tau, delta);
            for term in c.ideal {
                a += match *term {
                    Ideal::Lead { a1, a2 } => tau * a2 + a1,
                    Ideal::LogTau { a } => tau.ln() * a,
                    Ideal::Power { n, t } => tau.powf(t) * n,
                    Ideal::PlanckEinstein { n, t } => (-(tau * -t).exp() + 1.0).ln() * n,
                    Ideal::HeatCapacity { c, t: 0.0, from } => {
                        let r = t.recip() * from;
                        (-r + 1.0 + r.ln()) * c
                    }
                    Ideal::HeatCapacity { c, t: k, from } => {
                        let v0 = c * units::math::pow(from, k);
                        t.powf(k) * (-c / (k * (k + 1.0))) - t.recip() * (v0 * from / (k + 1.0)) + v0 / k
                    }
                };
            }
            t * a * c.gas_constant
        };
        let v = 1.0 / density;
        let d = |a: [f64; 2], b: [f64; 2]| {
            energy(HyperDual64::new(t, a[0], b[0], 0.0), HyperDual64::new(v, a[1], b[1], 0.0))
        };
        let tt = d([1.0, 0.0], [1.0, 0.0]);
        let tv = d([1.0, 0.0], [0.0, 1.0]);
        let vv = d([0.0, 1.0], [0.0, 1.0]);
        let (s, p) = (-tt.eps1, -vv.eps1);
        let cv = -t * tt.eps1eps2;
        let (p_t, p_v) = (-tv.eps1eps2, -vv.eps1eps2);
        let r = c.gas_constant;
        prop_assert!(close(own.entropy, s, 10.0 * r));
        prop_assert!(close(own.pressure, p, 10.0 * density * r * t));
        prop_assert!(close(own.enthalpy, tt.re + t * s + p * v, 10.0 * r * t));
        prop_assert!(close(own.cv, cv, 100.0 * r));
        prop_assert!(close(own.p_ln_t, t * p_t, 100.0 * density * r * t));
        prop_assert!(close(own.p_ln_rho, -v * p_v, 100.0 * density * r * t));
        let cp = cv - t * p_t * p_t / p_v;
        prop_assert!((own.cp - cp).abs() <= 1e-8 * (100.0 * r + cp.abs()) || p_v.abs() * v * v < 1e-3 * r * t);
        // The ideal part's heat capacity by the derivative of its energy.
        let h = 1e-3;
        let ideal = |t: f64| model.ideal.at(t, &mut Scratch::default())[0];
        let u = |t: f64| t * ideal(t).u;
        let slope = (u(t + h) - u(t - h)) / (2.0 * h);
        let f = ideal(t);
        prop_assert!((slope - (f.u - f.uu)).abs() < 1e-6 * (1.0 + slope.abs()));
        // A dual number of another kind gives the same first derivative.
        let along = plain(Dual64::new(c.reducing_temperature / t, 1.0), Dual64::from(density / c.reducing_density));
        prop_assert!(close(along.eps * c.reducing_temperature / t * density, own_u(&model, &rho, t), density));
    }
}

fn own_u(model: &Model, rho: &[f64; MOST], t: f64) -> f64 {
    model.residual(&rho[..1], t, &mut Scratch::default()).psi_u
}
