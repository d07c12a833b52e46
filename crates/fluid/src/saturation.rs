//! Bubble and dew points of a mixture, and saturation of a pure fluid, by Newton's method.
//!
//! Unknowns are the logarithms of the bulk's density (its composition is given), of the partial densities of the
//! incipient phase, and of temperature; equations the fugacities of every component, the pressure, and one more that
//! fixes temperature, pressure or the ratio of the densities. With the ratio fixed the trivial solution, two equal
//! phases, is excluded, so that the curve can be followed through the critical point.

use crate::guess::{self, Side};
use crate::linear::{Factored, Matrix, OF_A_LINE as SIZE};
use crate::model::{MOST, Model, PerComponent, Residual, Scratch};
use units::math::{exp, ln};

/// What fixes a point on the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Fixed {
    /// The temperature, in kelvin.
    Temperature(f64),
    /// The pressure, in pascal.
    Pressure(f64),
    /// ln(density of bulk / density of incipient phase): positive on the bubble line, negative on the dew line.
    Ratio(f64),
}

/// A point of two phases in equilibrium, the bulk of given composition.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Point {
    /// ln T.
    pub ln_t: f64,
    /// ln of the bulk's molar density.
    pub ln_bulk: f64,
    /// ln of the incipient phase's partial densities.
    pub ln_incipient: PerComponent,
}

/// A converged point, with what Newton's method leaves behind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Solved {
    pub point: Point,
    /// Pressure in pascal.
    pub pressure: f64,
    /// dp/dT along the line, in pascal per kelvin.
    pub slope: f64,
    /// Derivative of ln p along the line, per the same unit as `tangent`.
    pub ln_p_tangent: f64,
    /// Derivatives of the point along the line, per unit of ln T or, with the ratio fixed, per unit of ratio.
    pub tangent: Point,
    /// Whether both phases are locally stable.
    pub stable: bool,
}

impl Point {
    pub fn temperature(&self) -> f64 {
        exp(self.ln_t)
    }

    pub fn bulk_density(&self) -> f64 {
        exp(self.ln_bulk)
    }

    pub fn incipient(&self, n: usize) -> PerComponent {
        let mut rho = [0.0; MOST];
        for i in 0..n {
            rho[i] = exp(self.ln_incipient[i]);
        }
        rho
    }

    /// Returns ln(density of bulk / density of incipient phase).
    pub fn ratio(&self, n: usize) -> f64 {
        self.ln_bulk - ln(self.incipient(n)[..n].iter().sum())
    }

    /// Returns this point moved by `step` times `along`.
    pub fn moved(&self, along: &Self, step: f64) -> Self {
        let mut out = *self;
        out.ln_t += step * along.ln_t;
        out.ln_bulk += step * along.ln_bulk;
        for i in 0..MOST {
            out.ln_incipient[i] += step * along.ln_incipient[i];
        }
        out
    }
}

/// Room for one solve: what is kept for each phase.
#[derive(Clone, Debug, Default)]
pub(crate) struct Room {
    bulk: Scratch,
    incipient: Scratch,
}

/// Returns the point on the line nearest the guess, or nothing if Newton's method does not find one.
pub(crate) fn solve(
    model: &Model,
    x: &[f64],
    start: &Point,
    fixed: Fixed,
    room: &mut Room,
) -> Option<Solved> {
    let n = model.len();
    let mut point = *start;
    if let Fixed::Temperature(t) = fixed {
        point.ln_t = ln(t);
    }
    let mut last = f64::INFINITY;
    for iteration in 0..40 {
        let temperature = point.temperature();
        let bulk_density = point.bulk_density();
        let mut bulk = [0.0; MOST];
        for i in 0..n {
            bulk[i] = x[i] * bulk_density;
        }
        let incipient = point.incipient(n);
        let a = model.residual(&bulk[..n], temperature, &mut room.bulk);
        let b = model.residual(&incipient[..n], temperature, &mut room.incipient);
        let (jacobian, mut right) = system(model, x, &point, &a, &b, &bulk, &incipient, fixed);
        let size = match fixed {
            Fixed::Temperature(_) => n + 1,
            _ => n + 2,
        };
        let factored = Factored::new(size, jacobian)?;
        factored.solve(&mut right);
        let mut largest: f64 = 0.0;
        for value in &right[..size] {
            if !value.is_finite() {
                return None;
            }
            largest = largest.max(value.abs());
        }
        // The bulk's density and the temperature are held on a shorter leash than vapour's densities.
        let leash = f64::max(1.0, largest / 1.0).max(right[0].abs() / 0.15).max(if size == n + 2 {
            right[n + 1].abs() / 0.05
        } else {
            0.0
        });
        let step = 1.0 / leash;
        point.ln_bulk += step * right[0];
        for i in 0..n {
            point.ln_incipient[i] += step * right[1 + i];
        }
        if size == n + 2 {
            point.ln_t += step * right[n + 1];
        }
        // Newton's method squares what is wrong: by this and the last step the next would be nothing.
        let next = largest * (largest / last) * (largest / last);
        let done = largest < 2e-9
            || (largest < 1e-7 && next < 1e-13)
            || (largest < 3e-7 && largest > 0.3 * last && iteration > 3);
        last = largest;
        if done {
            return finish(model, &a, &b, &bulk, &incipient, point, fixed, &factored, &jacobian);
        }
        if point.ln_bulk > 14.0 || point.ln_t > 8.0 {
            return None;
        }
    }
    None
}

/// Returns the matrix of derivatives and the negative residuals.
fn system(
    model: &Model,
    x: &[f64],
    point: &Point,
    a: &Residual,
    b: &Residual,
    bulk: &PerComponent,
    incipient: &PerComponent,
    fixed: Fixed,
) -> (Matrix<SIZE>, [f64; SIZE]) {
    let n = model.len();
    let temperature = point.temperature();
    let mut j: Matrix<SIZE> = [[0.0; SIZE]; SIZE];
    let mut right = [0.0; SIZE];
    for i in 0..n {
        let f = ln(x[i]) + point.ln_bulk + a.g[i] - point.ln_incipient[i] - b.g[i];
        right[i] = -f;
        j[i][0] = 1.0 + (0..n).map(|k| a.h[i][k] * bulk[k]).sum::<f64>();
        for k in 0..n {
            j[i][1 + k] = -b.h[i][k] * incipient[k];
        }
        j[i][1 + i] -= 1.0;
        j[i][n + 1] = a.g_t[i] - b.g_t[i];
    }
    right[n] = -(a.z - b.z);
    j[n][0] = a.z_ln_rho(&bulk[..n]);
    for k in 0..n {
        j[n][1 + k] = -b.z_rho[k] * incipient[k];
    }
    j[n][n + 1] = a.z_t - b.z_t;
    match fixed {
        Fixed::Temperature(_) => {}
        Fixed::Ratio(s) => {
            right[n + 1] = -(point.ln_bulk - ln(b.rho) - s);
            j[n + 1][0] = 1.0;
            for k in 0..n {
                j[n + 1][1 + k] = -incipient[k] / b.rho;
            }
        }
        Fixed::Pressure(p) => {
            // The pressure of the less dense phase, which feels rounding least.
            let wanted = p / (model.gas_constant * temperature);
            if a.rho < b.rho {
                right[n + 1] = -(a.z - wanted);
                j[n + 1][0] = j[n][0];
                j[n + 1][n + 1] = a.z_t + wanted;
            } else {
                right[n + 1] = -(b.z - wanted);
                for k in 0..n {
                    j[n + 1][1 + k] = b.z_rho[k] * incipient[k];
                }
                j[n + 1][n + 1] = b.z_t + wanted;
            }
        }
    }
    (j, right)
}

fn finish(
    model: &Model,
    a: &Residual,
    b: &Residual,
    bulk: &PerComponent,
    incipient: &PerComponent,
    point: Point,
    fixed: Fixed,
    factored: &Factored<SIZE>,
    jacobian: &Matrix<SIZE>,
) -> Option<Solved> {
    let n = model.len();
    // Along the line: at fixed temperature the derivative in ln T, else in the last equation's right-hand side.
    let mut along = [0.0; SIZE];
    match fixed {
        Fixed::Temperature(_) => {
            for i in 0..=n {
                along[i] = -jacobian[i][n + 1];
            }
            factored.solve(&mut along);
            along[n + 1] = 1.0;
        }
        _ => {
            along[n + 1] = 1.0;
            factored.solve(&mut along);
        }
    }
    let mut tangent = Point { ln_t: along[n + 1], ln_bulk: along[0], ln_incipient: [0.0; MOST] };
    tangent.ln_incipient[..n].copy_from_slice(&along[1..=n]);
    let rt = model.gas_constant * point.temperature();
    // The point moved by a last step of order 1e-9 or less after `a` and `b` were taken: correct the pressure by it.
    let (light, light_rho): (&Residual, &PerComponent) =
        if a.rho < b.rho { (a, bulk) } else { (b, incipient) };
    let mut d_z = light.z_t * tangent.ln_t;
    let mut correction = 0.0;
    for k in 0..n {
        let (d, moved) = if a.rho < b.rho {
            (tangent.ln_bulk, point.ln_bulk - ln(a.rho))
        } else {
            (tangent.ln_incipient[k], point.ln_incipient[k] - ln(incipient[k]))
        };
        d_z += light.z_rho[k] * light_rho[k] * d;
        correction += light.z_rho[k] * light_rho[k] * moved;
    }
    let z = light.z + correction;
    let pressure = z * rt;
    if !pressure.is_finite() || pressure <= 0.0 {
        return None;
    }
    let ln_p_tangent = tangent.ln_t + d_z / z;
    let slope = pressure / point.temperature() * ln_p_tangent / tangent.ln_t;
    let stable = a.is_stable(&bulk[..n]) && b.is_stable(&incipient[..n]);
    Some(Solved { point, pressure, slope, ln_p_tangent, tangent, stable })
}

/// Returns a first guess of the point on a line at `temperature`.
pub(crate) fn guess_at(model: &Model, x: &[f64], side: Side, temperature: f64, room: &mut Room) -> Point {
    let n = model.len();
    let rt = model.gas_constant * temperature;
    let saturation = guess::saturation_pressures(model, temperature);
    let pressure = guess::raoult_pressure(side, x, &saturation);
    let mut other = [0.0; MOST];
    for i in 0..n {
        other[i] = match side {
            Side::Bubble => x[i] * saturation[i] / pressure,
            Side::Dew => x[i] * pressure / saturation[i],
        };
    }
    let (liquid, vapour) = match side {
        Side::Bubble => (x, &other[..n]),
        Side::Dew => (&other[..n], x),
    };
    let z = pressure / rt;
    let mut rho_l = guess::liquid_density(model, liquid, temperature);
    let rho_v = guess::vapour_density(model, vapour, z, temperature).min(0.5 * rho_l);
    let mut point = Point { ln_t: ln(temperature), ln_bulk: 0.0, ln_incipient: [0.0; MOST] };
    let mut partial = [0.0; MOST];
    match side {
        Side::Bubble => {
            // The liquid's density at this pressure, then the vapour's partial densities by one substitution.
            let mut l = None;
            for _ in 0..3 {
                for i in 0..n {
                    partial[i] = x[i] * rho_l;
                }
                let r = model.residual(&partial[..n], temperature, &mut room.bulk);
                let slope = r.z_ln_rho(&partial[..n]);
                l = Some(r);
                if slope <= 0.0 {
                    rho_l *= 1.05;
                    continue;
                }
                let step = ((z - r.z) / slope).clamp(-0.1, 0.1);
                rho_l *= exp(step);
                if step.abs() < 1e-3 {
                    break;
                }
            }
            let mut v = [0.0; MOST];
            for i in 0..n {
                v[i] = other[i] * rho_v;
            }
            let gas = model.residual(&v[..n], temperature, &mut room.incipient);
            for i in 0..n {
                let ln_f = l.map_or(0.0, |l| l.g[i]);
                let raised = ln(x[i] * rho_l) + ln_f - gas.g[i];
                // A substitution gone wild falls back to Raoult.
                point.ln_incipient[i] = if (raised - ln(v[i])).abs() < 1.0 { raised } else { ln(v[i]) };
            }
            point.ln_bulk = ln(rho_l);
        }
        Side::Dew => {
            for i in 0..n {
                partial[i] = x[i] * rho_v;
            }
            let gas = model.residual(&partial[..n], temperature, &mut room.bulk);
            let mut l = [0.0; MOST];
            for i in 0..n {
                l[i] = other[i] * rho_l;
            }
            let liquid = model.residual(&l[..n], temperature, &mut room.incipient);
            let mut new = [0.0; MOST];
            for i in 0..n {
                new[i] = exp((ln(partial[i]) + gas.g[i] - liquid.g[i] - ln(l[i])).clamp(-1.5, 1.5)) * l[i];
            }
            let total: f64 = new[..n].iter().sum();
            for i in 0..n {
                point.ln_incipient[i] = ln(new[i] / total * rho_l);
            }
            point.ln_bulk = ln(rho_v);
        }
    }
    point
}

/// Returns a first guess of the dew point at `temperature` whose liquid is rich in the component `rich`.
///
/// Two substitutions: the liquid's composition follows from the fugacities, the vapour's density from their sum.
pub(crate) fn guess_rich(model: &Model, x: &[f64], from: &Point, rich: usize, room: &mut Room) -> Point {
    let n = model.len();
    let temperature = from.temperature();
    let mut point = *from;
    let mut y = [0.0; MOST];
    for i in 0..n {
        y[i] = if i == rich { 0.97 } else { 0.03 * x[i] / (1.0 - x[rich]) };
    }
    for _ in 0..2 {
        let density = guess::liquid_density(model, &y[..n], temperature);
        let (mut gas, mut liquid) = ([0.0; MOST], [0.0; MOST]);
        for i in 0..n {
            gas[i] = x[i] * point.bulk_density();
            liquid[i] = y[i] * density;
        }
        let a = model.residual(&gas[..n], temperature, &mut room.bulk);
        let b = model.residual(&liquid[..n], temperature, &mut room.incipient);
        for i in 0..n {
            y[i] = exp((ln(gas[i]) + a.g[i] - b.g[i]).clamp(-200.0, 200.0));
        }
        let total: f64 = y[..n].iter().sum();
        for i in 0..n {
            y[i] /= total;
            point.ln_incipient[i] = ln(y[i].max(1e-30) * density);
        }
        point.ln_bulk -= ln(total / density).clamp(-3.0, 3.0);
    }
    point
}

/// Returns whether a cold start's answer can be trusted without following the curve to it.
///
/// Far from the critical point the densities must differ by more than a factor e, the bulk must be the phase asked for,
/// and the liquid must be near its expected density; nearer, the curve itself decides.
pub(crate) fn is_plain(model: &Model, x: &[f64], side: Side, solved: &Solved) -> bool {
    let n = model.len();
    let ratio = solved.point.ratio(n);
    let signed = match side {
        Side::Bubble => ratio,
        Side::Dew => -ratio,
    };
    if !solved.stable || signed < 1.3 {
        return false;
    }
    let (density, expected) = match side {
        Side::Bubble => {
            (solved.point.bulk_density(), guess::liquid_density(model, x, solved.point.temperature()))
        }
        Side::Dew => {
            let mut y = solved.point.incipient(n);
            let total: f64 = y[..n].iter().sum();
            for value in &mut y[..n] {
                *value /= total;
            }
            (total, guess::liquid_density(model, &y[..n], solved.point.temperature()))
        }
    };
    (density / expected - 1.0).abs() < 0.15
}
