//! The density at a pressure and a temperature.

use crate::fluid::Fluid;
use crate::guess;
use crate::model::{MOST, Model, Scratch};
use crate::state::Root;
use units::math::{exp, ln};

impl Fluid {
    /// Returns the molar density at a pressure and temperature.
    pub(crate) fn density_at(
        &self,
        p: f64,
        t: f64,
        root: Root,
        start: Option<f64>,
        room: &mut Scratch,
    ) -> Option<f64> {
        let inner = &self.inner;
        let whole = self.whole();
        let evaluate = |rho: f64, room: &mut Scratch| {
            let at = whole.at(rho, t, room);
            (at.z, at.z_ln_rho)
        };
        let z = p / (inner.model.gas_constant * t);
        density_by(evaluate, &inner.model, &inner.x, z, t, root, start, room)
    }
}

/// Returns the molar density of mole fractions `x` at a pressure and temperature.
pub(crate) fn density(
    model: &Model,
    x: &[f64],
    p: f64,
    t: f64,
    root: Root,
    start: Option<f64>,
    room: &mut Scratch,
) -> Option<f64> {
    let n = x.len();
    let z = p / (model.gas_constant * t);
    let evaluate = |rho: f64, room: &mut Scratch| {
        let mut partial = [0.0; MOST];
        for i in 0..n {
            partial[i] = x[i] * rho;
        }
        let r = model.residual(&partial[..n], t, room);
        (r.z, r.z_ln_rho(&partial[..n]))
    };
    density_by(evaluate, model, x, z, t, root, start, room)
}

/// Returns the molar density at `z`, pressure over RT, where `evaluate` gives that and its derivative in ln(density).
fn density_by(
    evaluate: impl Fn(f64, &mut Scratch) -> (f64, f64),
    model: &Model,
    x: &[f64],
    z: f64,
    t: f64,
    root: Root,
    start: Option<f64>,
    room: &mut Scratch,
) -> Option<f64> {
    let mut rho = start.unwrap_or_else(|| match root {
        Root::Dense => 1.02 * guess::liquid_density(model, x, t),
        Root::Light => guess::vapour_density(model, x, z, t),
    });
    // Newton's method in density from the dense side, where the isotherm is convex, or from the light side, where it
    // is concave: steps shorten by themselves.
    for _ in 0..40 {
        let (value, slope) = evaluate(rho, room);
        if slope <= 0.0 || !slope.is_finite() {
            match root {
                Root::Dense => rho *= 1.04,
                Root::Light => rho *= 0.8,
            }
            continue;
        }
        let step = ((z - value) / slope).clamp(-0.4, 0.4);
        rho *= 1.0 + step;
        if step.abs() < 1e-8 {
            // Liquid at low pressure: rounding in z is larger than z itself, but not in density.
            let (value, slope) = evaluate(rho, room);
            if slope > 0.0 && (value - z).abs() <= 1e-9 * (slope + z) {
                return Some(rho);
            }
        }
    }
    // Search over the whole range for the first rising crossing from the wanted end.
    let (_, rho_r) = model.reducing(x);
    let steps = 400;
    let (lowest, highest) = (1e-6 * rho_r.min(z), 4.0 * rho_r);
    let at = |k: usize| lowest * exp(ln(highest / lowest) * k as f64 / steps as f64);
    let order: Box<dyn Iterator<Item = usize>> = match root {
        Root::Dense => Box::new((0..steps).rev()),
        Root::Light => Box::new(0..steps),
    };
    for k in order {
        let (mut a, mut b) = (at(k), at(k + 1));
        if evaluate(a, room).0 <= z && z < evaluate(b, room).0 {
            for _ in 0..200 {
                let middle = 0.5 * (a + b);
                if evaluate(middle, room).0 <= z {
                    a = middle;
                } else {
                    b = middle;
                }
                if b - a <= 1e-15 * b {
                    break;
                }
            }
            return Some(0.5 * (a + b));
        }
    }
    None
}
