//! The vacuum rise test: leak, moisture and outgassing told apart by the shape of the curve.
//!
//! A rise test shows dryness; it cannot prove tightness, since a leak that loses a charge on the high side lets in only
//! a few micron of air in ten minutes.

use crate::least_squares::{normal_equations, solve, student_95};
use crate::water::{Form, OutsideWater, equilibrium_pressure};
use units::math::{exp, ln, sqrt};
use units::{
    AbsolutePressure, Cause, Doubt, Duration, LeakRate, Limit, Mass, PressureDifference, Temperature,
    Uncertain, Verdict, Volume, combine,
};

/// Points below which nothing is fitted.
pub const FEWEST_POINTS: usize = 10;
const GAS_CONSTANT: f64 = 8.31446261815324;
const WATER_MOLAR_MASS: f64 = 0.018015268;

/// One reading of the vacuum gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Time since the pump was shut off.
    pub time: Duration,
    /// The pressure shown.
    pub pressure: AbsolutePressure,
}

/// What is known of the vacuum gauge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// The step of its display.
    pub resolution: Option<PressureDifference>,
    /// Its scale error, as a relative standard uncertainty, common to all readings.
    pub scale_u: Option<f64>,
}

/// Why a fit is not resolved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNotResolved {
    /// Fewer than [`FEWEST_POINTS`] readings.
    TooFewPoints(usize),
    /// No curve could be fitted: flat, or straight within its scatter.
    NoCurve,
    /// The time constant is fitted with a relative standard uncertainty of 0.5 or more.
    TimeConstantUncertain(f64),
    /// Under two time constants (the upper k = 2 end) were seen.
    TooShort {
        /// The time seen.
        seen: Duration,
        /// The time that would have been needed.
        needed: Duration,
    },
}

/// The fitted curve p(t) = p0 + a t + b (1 - exp(-t/tau)).
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The pressure at the start, p0.
    pub start: Uncertain<AbsolutePressure>,
    /// The leak: a, times the volume.
    pub leak: Uncertain<LeakRate>,
    /// Moisture or outgassing: b.
    pub released: Uncertain<PressureDifference>,
    /// The time constant, tau.
    pub time_constant: Uncertain<Duration>,
    /// Where the curve would settle without the leak: p0 + b.
    pub plateau: Uncertain<AbsolutePressure>,
    /// Standard deviation of the readings about the curve.
    pub scatter: PressureDifference,
    /// Readings less fitted parameters.
    pub degrees_of_freedom: usize,
}

/// The plateau against what water would show at the coldest wall.
#[derive(Clone, Debug, PartialEq)]
pub struct WaterComparison {
    /// The pressure where the curve settles.
    pub plateau: Uncertain<AbsolutePressure>,
    /// The equilibrium pressure of water at the coldest wall.
    pub water: Uncertain<AbsolutePressure>,
    /// Ice or liquid.
    pub form: Form,
    /// What the two say together.
    pub reading: WaterReading,
}

/// What a plateau says of water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterReading {
    /// The plateau agrees with water at the coldest wall (k = 2): there is free water or ice.
    Water,
    /// It settles below: no free water there; a little moisture, or refrigerant out of oil.
    BelowWater,
    /// It settles above: not water at this wall (warmer water elsewhere, refrigerant, or the wall is warmer).
    AboveWater,
}

/// The rise test and what it shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Rise {
    /// Readings used.
    pub points: usize,
    /// Time from the first to the last.
    pub seen: Duration,
    /// First and last pressure.
    pub ends: (AbsolutePressure, AbsolutePressure),
    /// The slope of a straight line through the later half, times the volume: an upper bound of the leak, since what
    /// is still coming out of oil or water is in it.
    pub late_slope: Option<Uncertain<LeakRate>>,
    /// The fitted curve, if one could be fitted.
    pub fit: Option<Fit>,
    /// Why leak and moisture are not told apart; empty if they are.
    pub not_resolved: Vec<WhyNotResolved>,
    /// The leak is above zero beyond its doubt (k = 2), and resolved.
    pub leak_seen: bool,
    /// The plateau against water, where there is a plateau and a coldest wall was given.
    pub water: Option<WaterComparison>,
    /// What was released, as water vapour, if it were all water: b V M / (R T) at the coldest wall.
    pub released_as_water: Option<Uncertain<Mass>>,
}

/// Why a series is no rise test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RiseError {
    /// The time at this place does not come after the one before.
    TimesNotIncreasing(usize),
    /// The reading at this place is no pressure a vacuum gauge shows: below zero, or above 200 kPa.
    NotAVacuum(usize, AbsolutePressure),
    /// The volume is not above zero.
    Volume(Volume),
    /// The coldest wall lies outside the equations for water.
    ColdestWall(Temperature),
}

impl From<OutsideWater> for RiseError {
    fn from(OutsideWater(temperature): OutsideWater) -> Self {
        Self::ColdestWall(temperature)
    }
}

/// Returns what a series of vacuum readings in a closed volume shows.
///
/// Fits p(t) = p0 + a t + b (1 - exp(-t/tau)): for each time constant of a grid the other three by linear least squares,
/// then all four by Gauss-Newton. Uncertainties come from the scatter of the readings (not less than the resolution
/// allows), widened by Student's t so that k = 2 covers 95 %. Below 10 points nothing is fitted. The time runs from
/// the first reading.
///
/// # Errors
/// [`RiseError`] for a series out of order, a reading that is no vacuum, a volume not above zero.
pub fn rise(
    readings: &[Reading],
    volume: &Uncertain<Volume>,
    gauge: Gauge,
    coldest_wall: Option<&Uncertain<Temperature>>,
) -> Result<Rise, RiseError> {
    let v = volume.value().cubic_metre();
    if v.is_nan() || v <= 0.0 {
        return Err(RiseError::Volume(volume.value()));
    }
    let mut points = Vec::with_capacity(readings.len());
    for (at, reading) in readings.iter().enumerate() {
        if !(0.0..=200_000.0).contains(&reading.pressure.pascal()) {
            return Err(RiseError::NotAVacuum(at, reading.pressure));
        }
        let t = reading.time.second() - readings[0].time.second();
        if !t.is_finite() || points.last().is_some_and(|&(before, _)| t <= before) {
            return Err(RiseError::TimesNotIncreasing(at));
        }
        points.push((t, reading.pressure.pascal()));
    }
    let pressure_at = |place: Option<&(f64, f64)>| AbsolutePressure::from_pascal(place.map_or(0.0, |p| p.1));
    let seen = points.last().map_or(0.0, |p| p.0);
    let mut rise = Rise {
        points: points.len(),
        seen: Duration::from_second(seen),
        ends: (pressure_at(points.first()), pressure_at(points.last())),
        late_slope: None,
        fit: None,
        not_resolved: Vec::new(),
        leak_seen: false,
        water: None,
        released_as_water: None,
    };
    if points.len() < FEWEST_POINTS {
        rise.not_resolved.push(WhyNotResolved::TooFewPoints(points.len()));
        return Ok(rise);
    }
    let floor = gauge.resolution.map_or(0.0, |step| step.pascal() / sqrt(12.0));
    let line = straight(&points[points.len() / 2..], floor);
    rise.late_slope = line.map(|line| throughput(line.slope, line.u_slope, volume, gauge.scale_u));
    match curve(&points, floor) {
        None => rise.not_resolved.push(WhyNotResolved::NoCurve),
        Some(found) => {
            let relative = found.u(3) / found.x[3];
            if relative >= 0.5 {
                rise.not_resolved.push(WhyNotResolved::TimeConstantUncertain(relative));
            } else {
                let needed = 2.0 * (found.x[3] + 2.0 * found.u(3));
                if seen < needed {
                    let needed = Duration::from_second(needed);
                    rise.not_resolved.push(WhyNotResolved::TooShort { seen: rise.seen, needed });
                }
            }
            rise.fit = Some(found.report(volume, gauge.scale_u));
        }
    }
    if let Some(fit) = &rise.fit
        && rise.not_resolved.is_empty()
    {
        rise.leak_seen = fit.leak.interval(2.0).0.pascal_cubic_metre_per_second() > 0.0;
    }
    if let Some(wall) = coldest_wall {
        rise.water = plateau(&rise, line, gauge.scale_u).map(|p| compare_with_water(p, wall)).transpose()?;
        if let Some(fit) = &rise.fit
            && rise.not_resolved.is_empty()
        {
            rise.released_as_water = Some(as_water(&fit.released, volume, wall));
        }
    }
    Ok(rise)
}

/// Returns how a pressure stands against a rise limit, such as 500 micron after 60 min.
///
/// Source of that example: UFGS 15182, evacuation to 300 micron, not over 500 after an hour.
#[must_use]
pub fn judge_rise(pressure: &Uncertain<AbsolutePressure>, at_most: AbsolutePressure) -> Verdict {
    Limit::AtMost(at_most).judge(pressure)
}

/// Returns the pressure of a series at `time` after its first reading, between readings by a straight line.
///
/// Nothing outside the series.
#[must_use]
pub fn pressure_after(readings: &[Reading], time: Duration) -> Option<AbsolutePressure> {
    let first = readings.first()?.time.second();
    let t = first + time.second();
    readings.windows(2).find(|pair| (pair[0].time.second()..=pair[1].time.second()).contains(&t)).map(
        |pair| {
            let part = (t - pair[0].time.second()) / (pair[1].time.second() - pair[0].time.second());
            let step = pair[1].pressure.pascal() - pair[0].pressure.pascal();
            AbsolutePressure::from_pascal(pair[0].pressure.pascal() + part * step)
        },
    )
}

const FIT: &str = "fit of the rise";
const GAUGE: &str = "vacuum gauge";

fn throughput(slope: f64, u: f64, volume: &Uncertain<Volume>, scale_u: Option<f64>) -> Uncertain<LeakRate> {
    let v = volume.value().cubic_metre();
    let value = LeakRate::from_pascal_cubic_metre_per_second(slope * v);
    combine(value, [volume.part(slope)])
        .and(Doubt::new(Cause::Model, FIT), u * v)
        .and(Doubt::new(Cause::Scale, GAUGE), slope * v * scale_u.unwrap_or(0.0))
}

/// A straight line through readings: mean pressure, slope, and their standard uncertainties.
#[derive(Clone, Copy)]
struct Straight {
    slope: f64,
    u_slope: f64,
    mean: f64,
    u_mean: f64,
}

fn straight(points: &[(f64, f64)], floor: f64) -> Option<Straight> {
    let n = points.len();
    if n < 3 {
        return None;
    }
    let count = n as f64;
    let middle = points.iter().map(|p| p.0).sum::<f64>() / count;
    let mean = points.iter().map(|p| p.1).sum::<f64>() / count;
    let spread: f64 = points.iter().map(|p| (p.0 - middle) * (p.0 - middle)).sum();
    let slope = points.iter().map(|p| (p.0 - middle) * (p.1 - mean)).sum::<f64>() / spread;
    let squares: f64 =
        points.iter().map(|p| p.1 - mean - slope * (p.0 - middle)).map(|residual| residual * residual).sum();
    let scatter = sqrt(squares / (count - 2.0)).max(floor);
    let widen = (student_95(n - 2) / 2.0).max(1.0);
    Some(Straight {
        slope,
        u_slope: widen * scatter / sqrt(spread),
        mean,
        u_mean: widen * scatter / sqrt(count),
    })
}

/// The curve's parameters p0, a, b, tau with their covariance.
struct Curve {
    x: [f64; 4],
    covariance: [[f64; 4]; 4],
    scatter: f64,
    degrees_of_freedom: usize,
}

impl Curve {
    /// Standard uncertainty of one parameter, widened so that k = 2 covers 95 %.
    fn u(&self, parameter: usize) -> f64 {
        sqrt(self.covariance[parameter][parameter]) * self.widen()
    }
    fn widen(&self) -> f64 {
        (student_95(self.degrees_of_freedom) / 2.0).max(1.0)
    }
    fn report(&self, volume: &Uncertain<Volume>, scale_u: Option<f64>) -> Fit {
        let scale = scale_u.unwrap_or(0.0);
        let fit = || Doubt::new(Cause::Model, FIT);
        let gauge = || Doubt::new(Cause::Scale, GAUGE);
        let [p0, a, b, tau] = self.x;
        let c = &self.covariance;
        let u_plateau = sqrt((c[0][0] + c[2][2] + 2.0 * c[0][2]).max(0.0)) * self.widen();
        Fit {
            start: Uncertain::new(AbsolutePressure::from_pascal(p0), fit(), self.u(0))
                .and(gauge(), p0 * scale),
            leak: throughput(a, self.u(1), volume, scale_u),
            released: Uncertain::new(PressureDifference::from_pascal(b), fit(), self.u(2))
                .and(gauge(), b * scale),
            time_constant: Uncertain::new(Duration::from_second(tau), fit(), self.u(3)),
            plateau: Uncertain::new(AbsolutePressure::from_pascal(p0 + b), fit(), u_plateau)
                .and(gauge(), (p0 + b) * scale),
            scatter: PressureDifference::from_pascal(self.scatter),
            degrees_of_freedom: self.degrees_of_freedom,
        }
    }
}

fn curve(points: &[(f64, f64)], floor: f64) -> Option<Curve> {
    let span = points.last()?.0;
    let linear = |tau: f64| {
        let (a, b) = normal_equations(points.iter().map(|&(t, p)| ([1.0, t / span, 1.0 - exp(-t / tau)], p)));
        let ([p0, slope, released], _) = solve(a, b)?;
        let x = [p0, slope / span, released, tau];
        Some((squares(points, x), x))
    };
    // A time constant below a fifth of the mean step, or above five times the span, cannot be seen.
    let (lowest, highest) = (0.2 * span / points.len() as f64, 5.0 * span);
    let steps = 80;
    let mut best: Option<(f64, [f64; 4])> = None;
    for step in 0..=steps {
        let part = f64::from(step) / f64::from(steps);
        let tau = exp(ln(lowest) + part * (ln(highest) - ln(lowest)));
        if let Some(found) = linear(tau)
            && best.as_ref().is_none_or(|have| found.0 < have.0)
        {
            best = Some(found);
        }
    }
    let (mut least, mut x) = best?;
    let mut covariance = None;
    for _ in 0..60 {
        let jacobian = |t: f64| {
            let decay = exp(-t / x[3]);
            [1.0, t, 1.0 - decay, -x[2] * decay * t / (x[3] * x[3])]
        };
        let (a, b) = normal_equations(points.iter().map(|&(t, p)| (jacobian(t), p - model(x, t))));
        let (step, inverse) = solve(a, b)?;
        covariance = Some(inverse);
        // Halves the step until the fit is no worse.
        let mut part = 1.0;
        let mut moved = false;
        for _ in 0..30 {
            let trial: [f64; 4] = core::array::from_fn(|i| x[i] + part * step[i]);
            let sum = squares(points, trial);
            if trial[3] > 0.0 && sum.is_finite() && sum <= least {
                moved = least - sum > 1e-12 * least;
                (x, least) = (trial, sum);
                break;
            }
            part *= 0.5;
        }
        if !moved {
            break;
        }
    }
    if x[3] > highest {
        return None;
    }
    let degrees_of_freedom = points.len() - 4;
    let scatter = sqrt(least / degrees_of_freedom as f64).max(floor);
    let covariance = covariance?.map(|row| row.map(|c| c * scatter * scatter));
    Some(Curve { x, covariance, scatter, degrees_of_freedom })
}

fn model([p0, a, b, tau]: [f64; 4], t: f64) -> f64 {
    p0 + a * t + b * (1.0 - exp(-t / tau))
}

fn squares(points: &[(f64, f64)], x: [f64; 4]) -> f64 {
    points.iter().map(|&(t, p)| p - model(x, t)).map(|residual| residual * residual).sum()
}

/// The pressure at which the curve settles, if it does: the fitted one where leak and moisture are told apart and no
/// leak is seen; else the mean of the later half where that half does not rise beyond its doubt.
fn plateau(rise: &Rise, late: Option<Straight>, scale_u: Option<f64>) -> Option<Uncertain<AbsolutePressure>> {
    if let Some(fit) = &rise.fit
        && rise.not_resolved.is_empty()
    {
        return (!rise.leak_seen).then(|| fit.plateau.clone());
    }
    let late = late?;
    (late.slope.abs() <= 2.0 * late.u_slope).then(|| {
        Uncertain::new(AbsolutePressure::from_pascal(late.mean), Doubt::new(Cause::Model, FIT), late.u_mean)
            .and(Doubt::new(Cause::Scale, GAUGE), late.mean * scale_u.unwrap_or(0.0))
    })
}

fn compare_with_water(
    plateau: Uncertain<AbsolutePressure>,
    wall: &Uncertain<Temperature>,
) -> Result<WaterComparison, RiseError> {
    let t = wall.value().kelvin();
    let (pressure, form) = equilibrium_pressure(wall.value())?;
    let step = 0.01;
    let warmer = equilibrium_pressure(Temperature::from_kelvin(t + step))?.0;
    let colder = equilibrium_pressure(Temperature::from_kelvin(t - step))?.0;
    let slope = (warmer - colder).pascal() / (2.0 * step);
    let water = wall.map(pressure, slope);
    let above = combine(plateau.value() - water.value(), [plateau.part(1.0), water.part(-1.0)]);
    let (low, high) = above.interval(2.0);
    let reading = if low.pascal() > 0.0 {
        WaterReading::AboveWater
    } else if high.pascal() < 0.0 {
        WaterReading::BelowWater
    } else {
        WaterReading::Water
    };
    Ok(WaterComparison { plateau, water, form, reading })
}

fn as_water(
    released: &Uncertain<PressureDifference>,
    volume: &Uncertain<Volume>,
    wall: &Uncertain<Temperature>,
) -> Uncertain<Mass> {
    let (b, v, t) = (released.value().pascal(), volume.value().cubic_metre(), wall.value().kelvin());
    let per = WATER_MOLAR_MASS / (GAS_CONSTANT * t);
    let mass = b * v * per;
    combine(Mass::from_kilogram(mass), [released.part(v * per), volume.part(b * per), wall.part(-mass / t)])
}

#[cfg(test)]
mod tests;
