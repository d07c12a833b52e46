//! The saturation curve followed from cold liquid through the critical point to cold vapour.
//!
//! The curve is traced with the logarithm of the ratio of densities as its parameter, positive on the bubble line,
//! negative on the dew line, zero at the critical point. It is made once for a composition, when a cold start failed or
//! an end point is asked for, and gives first guesses from which the right branch is always found.

use crate::guess::Side;
use crate::model::{MOST, Model};
use crate::saturation::{self, Fixed, Point, Room, Solved};

/// The traced curve.
#[derive(Clone, Debug)]
pub(crate) struct Envelope {
    /// Ratio and point, from the largest ratio (cold bubble point) to the smallest (cold dew point).
    nodes: Vec<(f64, Solved)>,
    /// Points at which temperature or pressure may be bracketed, bubble side then dew side, each from cold to critical.
    bubble: Vec<Mark>,
    dew: Vec<Mark>,
}

#[derive(Clone, Copy, Debug)]
struct Mark {
    ratio: f64,
    ln_t: f64,
    ln_p: f64,
}

/// The closest the trace comes to the critical point, in ln of the ratio of densities.
const GAP: f64 = 0.06;

fn zero() -> Point {
    Point { ln_t: 0.0, ln_bulk: 0.0, ln_incipient: [0.0; MOST] }
}

impl Envelope {
    /// Returns the curve of mole fractions `x`, or nothing if no point to start from was found.
    pub fn trace(model: &Model, x: &[f64]) -> Option<Self> {
        let mut room = Room::default();
        let start = [Side::Bubble, Side::Dew].into_iter().find_map(|side| cold(model, x, side, &mut room))?;
        let mut nodes = vec![start];
        let ratio = start.0;
        if ratio > 0.0 {
            follow(model, x, &mut nodes, -ratio - 0.5, &mut room);
            // Where the trace stops short of the critical point, the other line is followed towards it from its own cold end.
            if nodes.iter().all(|node| node.0 > 0.0)
                && let Some(start) = cold(model, x, Side::Dew, &mut room)
                && start.0 < 0.0
            {
                let mut other = vec![start];
                follow(model, x, &mut other, GAP, &mut room);
                nodes.extend(other.into_iter().rev().filter(|node| node.0 < 0.0));
            }
        } else {
            follow(model, x, &mut nodes, -ratio + 0.5, &mut room);
            nodes.reverse();
        }
        let mut out = Self { nodes, bubble: Vec::new(), dew: Vec::new() };
        out.mark(model, x, &mut room);
        Some(out)
    }

    fn mark(&mut self, model: &Model, x: &[f64], room: &mut Room) {
        let mark = |(ratio, s): &(f64, Solved)| Mark {
            ratio: *ratio,
            ln_t: s.point.ln_t,
            ln_p: units::math::ln(s.pressure),
        };
        let mut bubble: Vec<Mark> = self.nodes.iter().filter(|n| n.0 > 0.0).map(mark).collect();
        let mut dew: Vec<Mark> = self.nodes.iter().rev().filter(|n| n.0 < 0.0).map(mark).collect();
        // Across a wide gap nothing can be told of the point between.
        let near = |marks: &[Mark]| marks.last().is_some_and(|mark| mark.ratio.abs() < 0.5);
        if near(&bubble) && near(&dew) {
            let critical = self.mark_at(0.0);
            bubble.push(critical);
            dew.push(critical);
        }
        for side in [&mut bubble, &mut dew] {
            // Turning points between nodes, of temperature and of pressure.
            let mut with = Vec::with_capacity(side.len() + 4);
            for pair in side.windows(2) {
                with.push(pair[0]);
                for of in [|s: &Solved| s.tangent.ln_t, |s: &Solved| s.ln_p_tangent] {
                    with.extend(self.turn(model, x, pair[0].ratio, pair[1].ratio, of, room));
                }
            }
            with.extend(side.last().copied());
            with.sort_by(|a, b| b.ratio.abs().total_cmp(&a.ratio.abs()));
            *side = with;
        }
        self.bubble = bubble;
        self.dew = dew;
    }

    /// Returns the highest point of a quantity between two ratios, if it turns there; `of` is its derivative in the ratio.
    ///
    /// On the true curve, not on the interpolated one: what lies between the two would be asked for in vain. Next to the
    /// critical point the interpolated curve is all there is.
    fn turn(
        &self,
        model: &Model,
        x: &[f64],
        first: f64,
        last: f64,
        of: fn(&Solved) -> f64,
        room: &mut Room,
    ) -> Option<Mark> {
        let toward = last - first;
        let slope = |ratio: f64, room: &mut Room| -> Option<(f64, Solved)> {
            let solved = if ratio.abs() < 0.99 * GAP {
                self.interpolated(ratio)
            } else {
                saturation::solve(model, x, &self.interpolate(ratio).0, Fixed::Ratio(ratio), room)?
            };
            Some((of(&solved) * toward, solved))
        };
        let (mut a, mut b) = (first, last);
        let (mut at_a, _) = slope(a, room)?;
        let (mut at_b, _) = slope(b, room)?;
        if at_a <= 0.0 || at_b >= 0.0 {
            return None;
        }
        let mut best = None;
        for iteration in 0..40 {
            // The false position, now and then the middle so that both ends close in.
            let part = if iteration % 3 == 2 { 0.5 } else { at_a / (at_a - at_b) };
            let middle = a + (b - a) * part;
            let (value, solved) = slope(middle, room)?;
            let mark =
                Mark { ratio: middle, ln_t: solved.point.ln_t, ln_p: units::math::ln(solved.pressure) };
            best = Some(mark);
            if value > 0.0 {
                (a, at_a) = (middle, value);
            } else {
                (b, at_b) = (middle, value);
            }
            if (b - a).abs() < 1e-7 || value == 0.0 {
                break;
            }
        }
        best
    }

    /// Returns the point of the interpolated curve, with its derivatives in the ratio.
    fn interpolated(&self, ratio: f64) -> Solved {
        let (point, ln_p) = self.interpolate(ratio);
        let step = 1e-3 * GAP;
        let (ahead, ln_p_ahead) = self.interpolate(ratio + step);
        let (behind, ln_p_behind) = self.interpolate(ratio - step);
        let per = 0.5 / step;
        let tangent = zero().moved(&ahead, per).moved(&behind, -per);
        let ln_p_tangent = (ln_p_ahead - ln_p_behind) * per;
        let pressure = units::math::exp(ln_p);
        let slope = pressure / point.temperature() * ln_p_tangent / tangent.ln_t;
        Solved { point, pressure, slope, ln_p_tangent, tangent, stable: true }
    }

    fn mark_at(&self, ratio: f64) -> Mark {
        let (point, ln_p) = self.interpolate(ratio);
        Mark { ratio, ln_t: point.ln_t, ln_p }
    }

    /// Returns an interpolated point and ln p at `ratio`: cubic between nodes, of higher order across the critical point.
    fn interpolate(&self, ratio: f64) -> (Point, f64) {
        let after = self.nodes.iter().position(|n| n.0 <= ratio).unwrap_or(self.nodes.len());
        let after = after.clamp(1, self.nodes.len() - 1);
        let (a, b) = (&self.nodes[after - 1], &self.nodes[after]);
        if a.0 > 0.0 && b.0 < 0.0 {
            let first = after.saturating_sub(3);
            let last = (after + 3).min(self.nodes.len());
            let near = &self.nodes[first..last];
            let mut point = zero();
            let mut ln_p = 0.0;
            for (i, (s_i, node)) in near.iter().enumerate() {
                let mut weight = 1.0;
                for (j, (s_j, _)) in near.iter().enumerate() {
                    if i != j {
                        weight *= (ratio - s_j) / (s_i - s_j);
                    }
                }
                point = point.moved(&node.point, weight);
                ln_p += weight * units::math::ln(node.pressure);
            }
            return (point, ln_p);
        }
        let h = b.0 - a.0;
        let q = (ratio - a.0) / h;
        let (q2, q3) = (q * q, q * q * q);
        let (h00, h10) = (2.0 * q3 - 3.0 * q2 + 1.0, q3 - 2.0 * q2 + q);
        let (h01, h11) = (3.0 * q2 - 2.0 * q3, q3 - q2);
        let point = zero()
            .moved(&a.1.point, h00)
            .moved(&a.1.tangent, h * h10)
            .moved(&b.1.point, h01)
            .moved(&b.1.tangent, h * h11);
        let ln_p = h00 * units::math::ln(a.1.pressure)
            + h * h10 * a.1.ln_p_tangent
            + h01 * units::math::ln(b.1.pressure)
            + h * h11 * b.1.ln_p_tangent;
        (point, ln_p)
    }

    /// Returns the highest temperature, in kelvin, and the highest pressure, in pascal, of a line.
    pub fn highest(&self, side: Side) -> (f64, f64) {
        let (mut t, mut p) = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for mark in self.side(side) {
            t = t.max(mark.ln_t);
            p = p.max(mark.ln_p);
        }
        (units::math::exp(t), units::math::exp(p))
    }

    /// Returns the critical temperature, in kelvin, and pressure, in pascal, if the trace passed it or ended just before it.
    pub fn critical(&self) -> Option<(f64, f64)> {
        let last = self.bubble.last()?;
        if last.ratio == 0.0 {
            return Some((units::math::exp(last.ln_t), units::math::exp(last.ln_p)));
        }
        // Where one line folds before the point, on from the other by tangent and bend.
        let after = self.nodes.iter().position(|node| node.0 < 0.0)?;
        let toward = |near: usize, far: usize| {
            let ((ratio, at), (far_ratio, far)) = (self.nodes.get(near)?, self.nodes.get(far)?);
            let on = |slope: f64, far_slope: f64| {
                ratio * (-slope + 0.5 * ratio * (slope - far_slope) / (ratio - far_ratio))
            };
            (ratio.abs() < 1.01 * GAP).then(|| {
                let ln_t = at.point.ln_t + on(at.tangent.ln_t, far.tangent.ln_t);
                let ln_p = units::math::ln(at.pressure) + on(at.ln_p_tangent, far.ln_p_tangent);
                (units::math::exp(ln_t), units::math::exp(ln_p))
            })
        };
        toward(after, after + 1).or_else(|| toward(after.checked_sub(1)?, after.checked_sub(2)?))
    }

    fn side(&self, side: Side) -> &[Mark] {
        match side {
            Side::Bubble => &self.bubble,
            Side::Dew => &self.dew,
        }
    }

    /// Returns the point of a line at a temperature or pressure, the first met from the cold end.
    pub fn find(&self, model: &Model, x: &[f64], side: Side, fixed: Fixed) -> Option<Solved> {
        self.find_on_trace(model, x, side, fixed).or_else(|| find_warmer(model, x, side, fixed))
    }

    fn find_on_trace(&self, model: &Model, x: &[f64], side: Side, fixed: Fixed) -> Option<Solved> {
        let mut room = Room::default();
        let target = match fixed {
            Fixed::Temperature(t) => units::math::ln(t),
            Fixed::Pressure(p) => units::math::ln(p),
            Fixed::Ratio(_) => return None,
        };
        let of = |ln_t: f64, ln_p: f64| match fixed {
            Fixed::Temperature(_) => ln_t,
            _ => ln_p,
        };
        let marks = self.side(side);
        let first = marks.first()?;
        if of(first.ln_t, first.ln_p) > target {
            return self.find_colder(model, x, side, fixed, &mut room);
        }
        let pair = marks.windows(2).find(|pair| {
            of(pair[0].ln_t, pair[0].ln_p) <= target && target <= of(pair[1].ln_t, pair[1].ln_p)
        })?;
        // The interpolated curve's own answer, by bisection; then Newton; then bisection of the true curve.
        let (mut lo, mut hi) = (pair[0].ratio, pair[1].ratio);
        for _ in 0..50 {
            let middle = 0.5 * (lo + hi);
            let (point, ln_p) = self.interpolate(middle);
            if of(point.ln_t, ln_p) < target {
                lo = middle;
            } else {
                hi = middle;
            }
        }
        let guess = 0.5 * (lo + hi);
        if pair.iter().all(|mark| mark.ratio.abs() < 1.01 * GAP) {
            // Within some 0.01 K of the critical point the two phases are too alike for Newton's method to tell apart.
            return Some(self.interpolated(guess));
        }
        let (point, _) = self.interpolate(guess);
        let width = (pair[1].ratio - pair[0].ratio).abs().max(0.02);
        let near = |s: &Solved| {
            let ratio = s.point.ratio(model.len());
            s.stable && (ratio - guess).abs() < width && ratio * guess > 0.0
        };
        if let Some(found) = saturation::solve(model, x, &point, fixed, &mut room)
            && near(&found)
        {
            return Some(found);
        }
        let (mut lo, mut hi) = (pair[0].ratio, pair[1].ratio);
        let mut best: Option<Solved> = None;
        for _ in 0..60 {
            let middle = 0.5 * (lo + hi);
            let (point, _) = self.interpolate(middle);
            let Some(found) = saturation::solve(model, x, &point, Fixed::Ratio(middle), &mut room) else {
                break;
            };
            let value = of(found.point.ln_t, units::math::ln(found.pressure));
            if let Some(polished) = saturation::solve(model, x, &found.point, fixed, &mut room)
                && near(&polished)
                && (value - target).abs() < 1e-3
            {
                return Some(polished);
            }
            if value < target {
                lo = middle;
            } else {
                hi = middle;
            }
            best = Some(found);
            if (value - target).abs() < 1e-12 {
                break;
            }
        }
        best.filter(|s| s.stable && (of(s.point.ln_t, units::math::ln(s.pressure)) - target).abs() < 1e-10)
    }

    /// Follows the curve beyond its cold end to a temperature or pressure.
    fn find_colder(
        &self,
        model: &Model,
        x: &[f64],
        side: Side,
        fixed: Fixed,
        room: &mut Room,
    ) -> Option<Solved> {
        let end = match side {
            Side::Bubble => self.nodes.first(),
            Side::Dew => self.nodes.last(),
        }?;
        let mut at = end.1;
        // One step of ln T at a time, by the tangent.
        for _ in 0..200 {
            let per = 1.0 / at.tangent.ln_t;
            let (left, wanted) = match fixed {
                Fixed::Temperature(t) => (units::math::ln(t) - at.point.ln_t, t),
                Fixed::Pressure(p) => {
                    let d = (units::math::ln(p) - units::math::ln(at.pressure)) / (at.ln_p_tangent * per);
                    (d, units::math::exp(at.point.ln_t + d))
                }
                Fixed::Ratio(_) => return None,
            };
            if left.abs() <= 0.02 {
                let guess = at.point.moved(&at.tangent, left * per);
                let found = saturation::solve(model, x, &guess, fixed, room)?;
                return found.stable.then_some(found);
            }
            let step = left.clamp(-0.02, 0.02);
            let next = if step == left { wanted } else { units::math::exp(at.point.ln_t + step) };
            let guess = at.point.moved(&at.tangent, step * per);
            at = saturation::solve(model, x, &guess, Fixed::Temperature(next), room)?;
            if !at.stable {
                return None;
            }
        }
        None
    }
}

/// Follows a line from a cold point of it up to a temperature or pressure, as long as both phases last.
///
/// For the few compositions at which the equations fold near the critical point, so that the trace from the other line
/// comes back on a branch that does not last.
fn find_warmer(model: &Model, x: &[f64], side: Side, fixed: Fixed) -> Option<Solved> {
    let mut room = Room::default();
    let (t_r, _) = model.reducing(x);
    let mut at = [0.85, 0.8, 0.75, 0.7, 0.65].into_iter().find_map(|part| {
        let guess = saturation::guess_at(model, x, side, part * t_r, &mut room);
        saturation::solve(model, x, &guess, Fixed::Temperature(part * t_r), &mut room)
            .filter(|found| saturation::is_plain(model, x, side, found))
    })?;
    let mut longest: f64 = 0.02;
    for _ in 0..200 {
        let per = 1.0 / at.tangent.ln_t;
        let left = match fixed {
            Fixed::Temperature(t) => units::math::ln(t) - at.point.ln_t,
            Fixed::Pressure(p) => {
                (units::math::ln(p) - units::math::ln(at.pressure)) / (at.ln_p_tangent * per)
            }
            Fixed::Ratio(_) => return None,
        };
        if left < -longest {
            return None;
        }
        let step = left.min(longest);
        let guess = at.point.moved(&at.tangent, step * per);
        let to =
            if step == left { fixed } else { Fixed::Temperature(units::math::exp(at.point.ln_t + step)) };
        match saturation::solve(model, x, &guess, to, &mut room).filter(|found| found.stable) {
            Some(found) if step == left => return Some(found),
            Some(found) => at = found,
            None if longest > 1e-4 => longest *= 0.5,
            None => return None,
        }
    }
    None
}

/// Returns a point of a line that a cold start finds, and its ratio.
fn cold(model: &Model, x: &[f64], side: Side, room: &mut Room) -> Option<(f64, Solved)> {
    let (t_r, _) = model.reducing(x);
    let start = [0.75, 0.7, 0.8, 0.65, 0.6, 0.85, 0.55, 0.5].into_iter().find_map(|part| {
        let t = part * t_r;
        let guess = saturation::guess_at(model, x, side, t, room);
        saturation::solve(model, x, &guess, Fixed::Temperature(t), room)
            .filter(|found| saturation::is_plain(model, x, side, found))
    })?;
    let ratio = start.point.ratio(model.len());
    Some((ratio, saturation::solve(model, x, &start.point, Fixed::Ratio(ratio), room)?))
}

/// Appends nodes from the last one until the ratio `until`, or until the curve can be followed no further.
fn follow(model: &Model, x: &[f64], nodes: &mut Vec<(f64, Solved)>, until: f64, room: &mut Room) {
    let toward = if until < nodes[0].0 { -1.0 } else { 1.0 };
    let mut step: f64 = 0.15;
    while nodes.len() < 300 {
        let (ratio, at) = nodes[nodes.len() - 1];
        if (until - ratio) * toward <= 0.0 {
            return;
        }
        let mut next = ratio + toward * step;
        if ratio * toward < 0.0 {
            // Nodes close to, and the same distance beyond, the critical point.
            if ratio.abs() < 1.01 * GAP {
                next = toward * GAP;
            } else if next.abs() < 2.0 * GAP || next * toward > 0.0 {
                next = if ratio.abs() > 2.01 * GAP { -toward * 2.0 * GAP } else { -toward * GAP };
            }
        }
        let h = next - ratio;
        let mut guess = at.point.moved(&at.tangent, h);
        if nodes.len() > 1 {
            // The tangents' difference gives the bend.
            let (before_ratio, before) = nodes[nodes.len() - 2];
            let bend = 0.5 * h * h / (ratio - before_ratio);
            guess = guess.moved(&at.tangent, bend).moved(&before.tangent, -bend);
        }
        let found = saturation::solve(model, x, &guess, Fixed::Ratio(next), room).filter(|found| {
            // Far from where tangent and bend led is another curve; a step of 0.3 changes ln p by about as much.
            (found.point.ln_t - guess.ln_t).abs() < 0.01
                && units::math::ln(found.pressure / at.pressure).abs() < 0.8
        });
        match found {
            Some(found) => {
                nodes.push((next, found));
                step = (step * 1.3).min(0.3);
            }
            None => {
                step *= 0.5;
                if step < 1e-3 || (ratio.abs() < 2.1 * GAP && ratio * toward < 0.0) {
                    return;
                }
            }
        }
    }
}
