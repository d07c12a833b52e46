//! Liquid and vapour together, in amounts that the overall composition, the pressure and one more quantity decide.
//!
//! Newton's method in the logarithms of both phases' partial densities, in ln T and in the vapour's molar share. The
//! first guess comes from the bubble and the dew point at the same pressure.

use crate::caloric::{Caloric, Ideals, caloric};
use crate::linear::{Factored, Matrix, SIZE};
use crate::model::{MOST, Model, PerComponent, Residual, Scratch};
use crate::saturation::{Point, Solved};
use units::math::{exp, ln};

/// What is given first: bubble and dew point, between which the answer lies, are those of this.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum First {
    /// The pressure.
    Pressure(f64),
    /// The temperature.
    Temperature(f64),
}

/// What is given besides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Given {
    /// Volume of a mole of both phases together.
    Volume(f64),
    /// Molar enthalpy, on the components' own references.
    Enthalpy(f64),
    /// Molar entropy, on the components' own references.
    Entropy(f64),
    /// Vapour's share of the mass.
    Quality(f64),
    /// Temperature.
    Temperature(f64),
}

/// Two phases in equilibrium.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Split {
    pub temperature: f64,
    pub liquid: PerComponent,
    pub vapour: PerComponent,
    pub liquid_state: Caloric,
    pub vapour_state: Caloric,
    /// Vapour's share of the amount.
    pub share: f64,
    /// Vapour's share of the mass.
    pub quality: f64,
    /// Whether the liquid is locally stable; if not it is two, whatever else holds.
    pub liquid_stands: bool,
}

impl Split {
    /// Returns the mean of a molar property over both phases.
    pub fn mean(&self, of: fn(&Caloric) -> f64) -> f64 {
        (1.0 - self.share) * of(&self.liquid_state) + self.share * of(&self.vapour_state)
    }
}

#[derive(Clone, Copy, Debug)]
struct Unknowns {
    liquid: PerComponent,
    vapour: PerComponent,
    ln_t: f64,
    share: f64,
}

impl Unknowns {
    fn of(split: &Split) -> Self {
        let logarithms = |of: &PerComponent| of.map(|rho| if rho > 0.0 { ln(rho) } else { 0.0 });
        Self {
            liquid: logarithms(&split.liquid),
            vapour: logarithms(&split.vapour),
            ln_t: ln(split.temperature),
            share: split.share,
        }
    }
}

fn molar_mass(model: &Model, rho: &[f64]) -> f64 {
    let total: f64 = rho.iter().sum();
    rho.iter().zip(&model.components).map(|(rho, c)| rho * c.molar_mass).sum::<f64>() / total
}

/// Returns the split at `first`, between the bubble and the dew point at the same pressure or temperature.
///
/// Without a bubble point, where the whole would be two liquids, from the dew point alone. Only a split that `lasts`
/// counts.
///
/// # Errors
/// The split that does not last, or the last one met on the way, or nothing.
pub(crate) fn split(
    model: &Model,
    z: &[f64],
    first: First,
    given: Given,
    bubble: Option<&Solved>,
    dew: &Solved,
    lasts: &dyn Fn(&Split) -> bool,
) -> Result<Split, Option<Box<Split>>> {
    let n = model.len();
    let mut rooms = [Scratch::default(), Scratch::default()];
    let lasts = |split: &Split| split.liquid_stands && lasts(split);
    let (mut last, mut refused): (Option<Split>, Option<Split>) = (None, None);
    if let Some(bubble) = bubble {
        let start = guess(model, z, first, given, bubble, dew, &mut rooms);
        if let Some(found) = newton(model, z, first, given, start, &mut rooms) {
            if lasts(&found) {
                return Ok(found);
            }
            refused = Some(found);
        }
    }
    // By small steps of quality from the bubble point, then from the dew point, until the wanted quantity lies within
    // reach of Newton's method.
    for up in [true, false] {
        let mut at = match (up, bubble) {
            (true, Some(bubble)) => between(n, z, 1e-3, &bubble.point, &dew.point),
            (true, None) => continue,
            (false, Some(bubble)) => between(n, z, 1.0 - 1e-3, &bubble.point, &dew.point),
            (false, None) => at_dew(n, z, dew),
        };
        let (mut along, mut step) = (0.0, 1.0 / 40.0);
        while along <= 1.0 {
            let quality: f64 = if up { along } else { 1.0 - along };
            let quality = quality.clamp(1e-4, 1.0 - 1e-4);
            let step_to = newton(model, z, first, Given::Quality(quality), at, &mut rooms);
            let Some(found) = step_to.filter(|found| found.liquid_stands) else {
                // Back to the last one that was found, and on by less.
                if step < 1.0 / 640.0 || along == 0.0 {
                    break;
                }
                along -= step;
                step *= 0.5;
                along += step;
                continue;
            };
            at = Unknowns::of(&found);
            if let (Given::Temperature(t), Some(before)) = (given, last)
                && (before.temperature - t) * (found.temperature - t) <= 0.0
                && let Some(found) = by_quality(model, z, first, t, before, found, &mut rooms)
                && lasts(&found)
            {
                return Ok(found);
            }
            last = Some(found);
            if let Some(found) = newton(model, z, first, given, at, &mut rooms) {
                if lasts(&found) {
                    return Ok(found);
                }
                refused = Some(found);
            }
            along += step;
        }
    }
    Err(refused.or(last).map(Box::new))
}

/// Returns the split at a temperature between two others, by halving the quality between them.
///
/// Near an azeotrope temperature hardly tells the quality, so that Newton's method stumbles; the other way round it is told
/// well.
fn by_quality(
    model: &Model,
    z: &[f64],
    first: First,
    t: f64,
    mut a: Split,
    mut b: Split,
    rooms: &mut [Scratch; 2],
) -> Option<Split> {
    for _ in 0..60 {
        let part = ((t - a.temperature) / (b.temperature - a.temperature)).clamp(0.1, 0.9);
        let quality = if part.is_finite() { a.quality + part * (b.quality - a.quality) } else { a.quality };
        let found = newton(model, z, first, Given::Quality(quality), Unknowns::of(&a), rooms)
            .filter(|found| found.liquid_stands)?;
        if (found.temperature - t).abs() <= 4e-16 * t || (b.quality - a.quality).abs() < 1e-13 {
            return Some(found);
        }
        if (found.temperature - t) * (a.temperature - t) <= 0.0 {
            b = found;
        } else {
            a = found;
        }
    }
    Some(a)
}

/// Returns the dew point itself, with next to no liquid.
fn at_dew(n: usize, z: &[f64], dew: &Solved) -> Unknowns {
    let mut out =
        Unknowns { liquid: [0.0; MOST], vapour: [0.0; MOST], ln_t: dew.point.ln_t, share: 1.0 - 1e-4 };
    for i in 0..n {
        out.liquid[i] = dew.point.ln_incipient[i];
        out.vapour[i] = ln(z[i]) + dew.point.ln_bulk;
    }
    out
}

/// Returns the split at a pressure, from first guesses of its bubble and dew point and of the share.
pub(crate) fn between_guesses(
    model: &Model,
    z: &[f64],
    p: f64,
    given: Given,
    share: f64,
    bubble: &Point,
    dew: &Point,
) -> Option<Split> {
    let mut rooms = [Scratch::default(), Scratch::default()];
    let start = between(model.len(), z, share, bubble, dew);
    newton(model, z, First::Pressure(p), given, start, &mut rooms)
}

/// Returns the split found by way of that of a vapour's share `quality`, which is sought from the dew point at once.
pub(crate) fn by_way_of(
    model: &Model,
    z: &[f64],
    first: First,
    given: Given,
    quality: f64,
    dew: &Solved,
) -> Option<Split> {
    let mut rooms = [Scratch::default(), Scratch::default()];
    let start = at_dew(model.len(), z, dew);
    let between = newton(model, z, first, Given::Quality(quality), start, &mut rooms)?;
    newton(model, z, first, given, Unknowns::of(&between), &mut rooms)
}

/// Returns a point between the bubble and the dew point: ln K, densities and temperature in proportion to the share.
fn between(n: usize, z: &[f64], share: f64, bubble: &Point, dew: &Point) -> Unknowns {
    let (light, heavy) = (bubble.incipient(n), dew.incipient(n));
    let (rho_v0, rho_l1): (f64, f64) = (light[..n].iter().sum(), heavy[..n].iter().sum());
    let (rho_l0, rho_v1) = (bubble.bulk_density(), dew.bulk_density());
    let mix = |a: f64, b: f64| (1.0 - share) * a + share * b;
    let rho_l = exp(mix(ln(rho_l0), ln(rho_l1)));
    let rho_v = exp(mix(ln(rho_v0), ln(rho_v1)));
    let mut out =
        Unknowns { liquid: [0.0; MOST], vapour: [0.0; MOST], ln_t: mix(bubble.ln_t, dew.ln_t), share };
    let (mut x, mut y) = ([0.0; MOST], [0.0; MOST]);
    for i in 0..n {
        let k0 = ln(light[i] / rho_v0 / z[i]);
        let k1 = ln(z[i] * rho_l1 / heavy[i]);
        let k = exp(mix(k0, k1));
        x[i] = z[i] / (1.0 + share * (k - 1.0));
        y[i] = k * x[i];
    }
    let (sx, sy): (f64, f64) = (x[..n].iter().sum(), y[..n].iter().sum());
    for i in 0..n {
        out.liquid[i] = ln(x[i] / sx * rho_l);
        out.vapour[i] = ln(y[i] / sy * rho_v);
    }
    out
}

fn guess(
    model: &Model,
    z: &[f64],
    first: First,
    given: Given,
    bubble: &Solved,
    dew: &Solved,
    rooms: &mut [Scratch; 2],
) -> Unknowns {
    let n = model.len();
    let mut at = |solved: &Solved, room: usize| {
        let mut rho = [0.0; MOST];
        for i in 0..n {
            rho[i] = z[i] * solved.point.bulk_density();
        }
        let t = solved.point.temperature();
        let r = model.residual(&rho[..n], t, &mut rooms[room]);
        let ideals = model.ideal.at(t, &mut rooms[room]);
        caloric(model, &rho[..n], t, &r, &ideals)
    };
    let share = match given {
        Given::Quality(q) => q,
        Given::Volume(v) => {
            let (low, high) = (1.0 / bubble.point.bulk_density(), 1.0 / dew.point.bulk_density());
            (v - low) / (high - low)
        }
        // Between the lines at one temperature, or at one pressure.
        Given::Temperature(_) if bubble.point.ln_t == dew.point.ln_t => match first {
            First::Pressure(p) => (bubble.pressure - p) / (bubble.pressure - dew.pressure),
            First::Temperature(_) => 0.5,
        },
        Given::Temperature(t) => {
            (t - bubble.point.temperature()) / (dew.point.temperature() - bubble.point.temperature())
        }
        Given::Enthalpy(h) => {
            let (a, b) = (at(bubble, 0).enthalpy, at(dew, 1).enthalpy);
            (h - a) / (b - a)
        }
        Given::Entropy(s) => {
            let (a, b) = (at(bubble, 0).entropy, at(dew, 1).entropy);
            (s - a) / (b - a)
        }
    };
    let share = if share.is_finite() { share.clamp(1e-4, 1.0 - 1e-4) } else { 0.5 };
    between(n, z, share, &bubble.point, &dew.point)
}

fn newton(
    model: &Model,
    z: &[f64],
    first: First,
    given: Given,
    mut at: Unknowns,
    rooms: &mut [Scratch; 2],
) -> Option<Split> {
    let n = model.len();
    let size = 2 * n + 2;
    let mut last = f64::INFINITY;
    for iteration in 0..30 {
        let t = exp(at.ln_t);
        let (mut l, mut v) = ([0.0; MOST], [0.0; MOST]);
        for i in 0..n {
            l[i] = exp(at.liquid[i]);
            v[i] = exp(at.vapour[i]);
        }
        let [room_l, room_v] = rooms;
        let a = model.residual(&l[..n], t, room_l);
        let b = model.residual(&v[..n], t, room_v);
        let ideals = match given {
            Given::Enthalpy(_) | Given::Entropy(_) => model.ideal.at(t, room_l),
            _ => Ideals::default(),
        };
        let (j, mut right) = system(model, z, first, given, &at, t, &a, &b, &l, &v, &ideals);
        Factored::new(size, j)?.solve(&mut right);
        let mut largest: f64 = 0.0;
        for value in &right[..size] {
            if !value.is_finite() {
                return None;
            }
            largest = largest.max(value.abs());
        }
        let mut leash = f64::max(1.0, largest).max(right[2 * n].abs() / 0.05);
        for i in 0..n {
            leash = leash.max(right[i].abs() / 0.5);
        }
        // The share stays within reach of 0 and 1.
        leash = leash.max(right[2 * n + 1].abs() / 0.4);
        let step = 1.0 / leash;
        for i in 0..n {
            at.liquid[i] += step * right[i];
            at.vapour[i] += step * right[n + i];
        }
        at.ln_t += step * right[2 * n];
        at.share += step * right[2 * n + 1];
        if !(-1.0..=2.0).contains(&at.share) || at.ln_t > 8.0 {
            return None;
        }
        // Newton's method squares what is wrong: by this and the last step the next would be nothing.
        let next = largest * (largest / last) * (largest / last);
        let done = largest < 1e-9
            || (largest < 1e-7 && next < 1e-14)
            || (largest < 3e-7 && largest > 0.3 * last && iteration > 3);
        last = largest;
        if done {
            let apart = b.is_stable(&v[..n]) && a.rho > b.rho * 1.0001;
            if !apart || !(-1e-9..=1.0 + 1e-9).contains(&at.share) {
                return None;
            }
            let mut split = finish(model, &at, rooms);
            split.liquid_stands = a.is_stable(&l[..n]);
            return Some(split);
        }
    }
    None
}

fn finish(model: &Model, at: &Unknowns, rooms: &mut [Scratch; 2]) -> Split {
    let n = model.len();
    let temperature = exp(at.ln_t);
    let (mut liquid, mut vapour) = ([0.0; MOST], [0.0; MOST]);
    for i in 0..n {
        liquid[i] = exp(at.liquid[i]);
        vapour[i] = exp(at.vapour[i]);
    }
    let [room_l, room_v] = rooms;
    let a = model.residual(&liquid[..n], temperature, room_l);
    let b = model.residual(&vapour[..n], temperature, room_v);
    let ideals = model.ideal.at(temperature, room_l);
    let share = at.share.clamp(0.0, 1.0);
    let (ml, mv) = (molar_mass(model, &liquid[..n]), molar_mass(model, &vapour[..n]));
    Split {
        temperature,
        liquid,
        vapour,
        liquid_state: caloric(model, &liquid[..n], temperature, &a, &ideals),
        vapour_state: caloric(model, &vapour[..n], temperature, &b, &ideals),
        share,
        quality: share * mv / (share * mv + (1.0 - share) * ml),
        liquid_stands: true,
    }
}

/// Returns the matrix of derivatives and the negative residuals.
///
/// Columns: liquid's and vapour's ln(partial density), ln T, share.
fn system(
    model: &Model,
    z: &[f64],
    first: First,
    given: Given,
    at: &Unknowns,
    t: f64,
    a: &Residual,
    b: &Residual,
    l: &PerComponent,
    v: &PerComponent,
    ideals: &Ideals,
) -> (Matrix<SIZE>, [f64; SIZE]) {
    let n = model.len();
    let (col_t, col_share) = (2 * n, 2 * n + 1);
    let mut j: Matrix<SIZE> = [[0.0; SIZE]; SIZE];
    let mut right = [0.0; SIZE];
    for i in 0..n {
        right[i] = -(at.liquid[i] + a.g[i] - at.vapour[i] - b.g[i]);
        for k in 0..n {
            j[i][k] = a.h[i][k] * l[k];
            j[i][n + k] = -b.h[i][k] * v[k];
        }
        j[i][i] += 1.0;
        j[i][n + i] -= 1.0;
        j[i][col_t] = a.g_t[i] - b.g_t[i];
    }
    right[n] = -(a.z - b.z);
    for k in 0..n {
        j[n][k] = a.z_rho[k] * l[k];
        j[n][n + k] = -b.z_rho[k] * v[k];
    }
    j[n][col_t] = a.z_t - b.z_t;
    match first {
        First::Pressure(pressure) => {
            let wanted = pressure / (model.gas_constant * t);
            right[n + 1] = -(b.z - wanted);
            for k in 0..n {
                j[n + 1][n + k] = b.z_rho[k] * v[k];
            }
            j[n + 1][col_t] = b.z_t + wanted;
        }
        First::Temperature(wanted) => {
            right[n + 1] = ln(wanted) - at.ln_t;
            j[n + 1][col_t] = 1.0;
        }
    }
    // Balances of all components but the most abundant, whose balance follows.
    let most = (0..n).fold(0, |best, i| if z[i] > z[best] { i } else { best });
    let mut row = n + 2;
    for i in (0..n).filter(|i| *i != most) {
        let (x, y) = (l[i] / a.rho, v[i] / b.rho);
        right[row] = -((1.0 - at.share) * x + at.share * y - z[i]) / z[i];
        for k in 0..n {
            let own = if i == k { 1.0 } else { 0.0 };
            j[row][k] = (1.0 - at.share) * x * (own - l[k] / a.rho) / z[i];
            j[row][n + k] = at.share * y * (own - v[k] / b.rho) / z[i];
        }
        j[row][col_share] = (y - x) / z[i];
        row += 1;
    }
    match given {
        Given::Volume(wanted) => {
            let mean = (1.0 - at.share) / a.rho + at.share / b.rho;
            right[row] = -(mean - wanted) / wanted;
            for k in 0..n {
                j[row][k] = -(1.0 - at.share) * l[k] / (a.rho * a.rho * wanted);
                j[row][n + k] = -at.share * v[k] / (b.rho * b.rho * wanted);
            }
            j[row][col_share] = (1.0 / b.rho - 1.0 / a.rho) / wanted;
        }
        Given::Temperature(wanted) => {
            right[row] = ln(wanted) - at.ln_t;
            j[row][col_t] = 1.0;
        }
        Given::Quality(q) => {
            // share M_v (1 - q) = (1 - share) M_l q, over a mean molar mass.
            let (ml, mv) = (molar_mass(model, &l[..n]), molar_mass(model, &v[..n]));
            let scale = 2.0 / (ml + mv);
            right[row] = -(at.share * mv * (1.0 - q) - (1.0 - at.share) * ml * q) * scale;
            for k in 0..n {
                let m = model.components[k].molar_mass;
                j[row][k] = -(1.0 - at.share) * q * l[k] / a.rho * (m - ml) * scale;
                j[row][n + k] = at.share * (1.0 - q) * v[k] / b.rho * (m - mv) * scale;
            }
            j[row][col_share] = (mv * (1.0 - q) + ml * q) * scale;
        }
        Given::Enthalpy(_) | Given::Entropy(_) => {
            let (ca, cb) = (caloric(model, &l[..n], t, a, ideals), caloric(model, &v[..n], t, b, ideals));
            let partial_l = partials(model, a, l, t, given, ideals);
            let partial_v = partials(model, b, v, t, given, ideals);
            let (value_l, value_v, wanted, scale, t_l, t_v);
            match given {
                Given::Enthalpy(h) => {
                    (value_l, value_v, wanted) = (ca.enthalpy, cb.enthalpy, h);
                    (t_l, t_v) = (ca.enthalpy_derivatives().1, cb.enthalpy_derivatives().1);
                    scale = 1.0 / (10.0 * model.gas_constant * t);
                }
                Given::Entropy(s) => {
                    (value_l, value_v, wanted) = (ca.entropy, cb.entropy, s);
                    (t_l, t_v) = (ca.entropy_derivatives().1, cb.entropy_derivatives().1);
                    scale = 1.0 / (10.0 * model.gas_constant);
                }
                Given::Quality(_) | Given::Temperature(_) | Given::Volume(_) => return (j, right),
            }
            right[row] = -((1.0 - at.share) * value_l + at.share * value_v - wanted) * scale;
            for k in 0..n {
                // Per volume the property is rho times its molar value.
                j[row][k] = (1.0 - at.share) * (partial_l[k] - value_l) * l[k] / a.rho * scale;
                j[row][n + k] = at.share * (partial_v[k] - value_v) * v[k] / b.rho * scale;
            }
            j[row][col_t] = ((1.0 - at.share) * t_l + at.share * t_v) * scale;
            j[row][col_share] = (value_v - value_l) * scale;
        }
    }
    (j, right)
}

/// Returns the derivatives in the partial densities of enthalpy or entropy of a volume.
fn partials(
    model: &Model,
    r: &Residual,
    rho: &PerComponent,
    t: f64,
    given: Given,
    ideals: &Ideals,
) -> PerComponent {
    let gas = model.gas_constant;
    let mut out = [0.0; MOST];
    for (k, c) in model.components.iter().enumerate() {
        let f = ideals[k];
        // psi_u = -d psi / d ln T, so its derivative in rho_k is -g_t.
        let energy = t * (c.gas_constant * f.u - gas * r.g_t[k]);
        out[k] = match given {
            Given::Enthalpy(_) => energy + gas * t * r.z_rho[k],
            _ => {
                c.gas_constant * (f.u - f.f)
                    - gas * (ln(rho[k] / c.reducing_density) + 1.0)
                    - gas * (r.g_t[k] + r.g[k])
            }
        };
    }
    out
}
