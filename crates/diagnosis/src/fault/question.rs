//! What a system with a fault would show, and how well that agrees with what was read.

use crate::fault::{Against, Belief, Cause, Fault, KINDS, Kind, Reading, UNKNOWNS};
use cycle::{Compressor, Head, Limit, Metering, Steady, Surroundings, System, Table, steady};
use units::math::{exp, ln, ln_1p, sqrt};

/// What the model itself is wrong by: ln p low, ln p high, K, K, K, K, K, K, ln power.
const MODEL: [f64; 9] = [0.018, 0.01, 0.7, 0.5, 3.5, 0.3, 0.4, 0.4, 0.04];
/// Student's degrees of freedom of a reading.
const FREEDOM: f64 = 5.0;
/// How far a gauge that is off may be, low side and high side, in Pa: from what its class allows (1 % of 250 and 500 psi)
/// to some four times that (common practice, no source).
const GAUGE_OFF: [(f64, f64); 2] = [(1.5e4, 6e4), (4e4, 18e4)];
/// One gauge is off at a time: which one, and whether it reads too much.
pub const GAUGES: [(Kind, f64); 4] =
    [(Kind::Low, 1.0), (Kind::Low, -1.0), (Kind::High, 1.0), (Kind::High, -1.0)];
/// ln of a pressure ratio in the middle of those in use.
const USUAL_RATIO: f64 = 1.4;
/// The quality at which a glass shows bubbles, and how sharply (fits no source; a twentieth of looks are wrong anyway).
const BUBBLES: (f64, f64) = (0.02, 0.007);

/// A share from `a` to `b` for a standard normal number: evenly spread.
fn evenly(z: f64, a: f64, b: f64) -> f64 {
    a + (b - a) / (1.0 + exp(-1.702 * z))
}

#[derive(Clone, Copy)]
pub struct Question<'a> {
    pub table: &'a Table,
    pub system: &'a System,
    pub at: Surroundings,
    pub readings: &'a [Reading],
    pub belief: &'a Belief,
    /// Which of [`GAUGES`] is off where a gauge is.
    pub gauge: usize,
}

/// What would be shown at one point: pressures and power in ln.
#[derive(Clone, Copy)]
pub struct Point {
    pub shown: [f64; 12],
    pub state: Steady,
}

/// A state near which the next one is sought.
pub type Near = Option<Steady>;

pub fn dimensions(cause: Cause) -> usize {
    match (cause.first, cause.second) {
        (Fault::None | Fault::SomethingElse, _) => UNKNOWNS,
        (_, Some(_)) => UNKNOWNS + 2,
        _ => UNKNOWNS + 1,
    }
}

/// The share of the charge that a fault of this size leaves or adds.
pub fn charge_share(fault: Fault, how: f64) -> f64 {
    match fault {
        Fault::Under => evenly(how, 0.3, 0.92),
        Fault::Over => evenly(how, 1.1, 1.9),
        _ => 1.0,
    }
}

fn apply(s: &mut System, fault: Fault, how: f64, loss: f64) {
    match fault {
        Fault::CondenserDirt => {
            let left = evenly(how, 0.3, 0.97);
            s.condenser_ua *= left;
            s.condenser_air *= 1.0 - 0.85 * (1.0 - left);
        }
        Fault::CondenserFan => *s = s.with_condenser_air(evenly(how, 0.3, 0.7)),
        Fault::CoilIce => {
            let left = evenly(how, 0.3, 0.92);
            s.evaporator_ua *= left;
            s.evaporator_air *= 1.0 - 0.6 * (1.0 - left);
        }
        Fault::CoilFan => *s = s.with_evaporator_air(evenly(how, 0.3, 0.75)),
        Fault::Restriction => s.liquid_loss = loss * evenly(how, 0.5, 7.0),
        Fault::Underfeed => s.valve *= evenly(how, 0.2, 0.75),
        Fault::Overfeed => s.metering = Metering::Superheat(evenly(how, 0.3, 2.8)),
        Fault::ValveLeak => s.valve_leak = evenly(how, 0.05, 0.45),
        Fault::NonCondensable => s.non_condensable = evenly(how, 0.4e5, 4e5),
        Fault::HeadLow => s.head = Head::Free,
        Fault::HeadHigh => {
            let more = evenly(how, 4.0, 18.0);
            s.head = match s.head {
                Head::Free => Head::Free,
                Head::Flooding(set) => Head::Flooding(set + more),
                Head::Fans(set) => Head::Fans(set + more),
            };
        }
        Fault::None | Fault::SomethingElse | Fault::Under | Fault::Over | Fault::Gauge => {}
    }
}

impl Question<'_> {
    /// The system with its unknowns and faults, and its gauges' offsets.
    fn faulty(&self, cause: Cause, u: &[f64; UNKNOWNS], how: &[f64]) -> (System, [f64; 2]) {
        let mut s = *self.system;
        if let Compressor::Laws { swept, clearance, efficiency } = s.compressor {
            let eta = exp(u[1]);
            let [e, slope, bend] = efficiency.map(|c| c * eta);
            s.compressor = Compressor::Laws {
                swept: swept * exp(u[0]),
                clearance: clearance * exp(u[14]),
                // Turned and bent about the usual ratio, so that size, slope and bend are told apart.
                efficiency: [
                    e - USUAL_RATIO * (u[13] - u[15] * USUAL_RATIO),
                    slope + u[13] - 2.0 * u[15] * USUAL_RATIO,
                    bend + u[15],
                ],
            };
        }
        s.condenser_ua *= exp(u[2]);
        s.evaporator_ua *= exp(u[3]);
        s.condenser_air *= exp(u[4]);
        s.evaporator_air *= exp(u[5]);
        s.valve *= exp(u[6]);
        if let Metering::Superheat(set) = s.metering {
            s.metering = Metering::Superheat((set + u[7]).max(0.3));
        }
        s.suction_gain = (s.suction_gain + u[8]).max(0.0);
        s.subcooling = (s.subcooling + u[9]).max(0.0);
        let mut gauges = [u[10], u[11]];
        let mut charge = exp(u[12]);
        let loss = self.system.valve_loss();
        for (fault, how) in [Some(cause.first), cause.second].into_iter().flatten().zip(how) {
            charge *= charge_share(fault, *how);
            apply(&mut s, fault, *how, loss);
        }
        if cause.first == Fault::Gauge {
            let (kind, sign) = GAUGES[self.gauge];
            let (least, most) = GAUGE_OFF[kind as usize];
            gauges[kind as usize] += sign * evenly(how.first().copied().unwrap_or(0.0), least, most);
        }
        s.charge = s.charge.map(|c| c * charge);
        (s, gauges)
    }

    /// What would be shown with the unknowns in their own units.
    pub fn point(&self, cause: Cause, u: &[f64; UNKNOWNS], how: &[f64], near: &mut Near) -> Point {
        let (system, gauges) = self.faulty(cause, u, how);
        let s = steady(self.table, &system, &self.at, near.as_ref());
        if s.limit.is_none() {
            *near = Some(s);
        }
        let has = |fault: Fault| cause.first == fault || cause.second == Some(fault);
        let short = s.quality.max(0.0);
        let shown = [
            ln((s.suction_pressure + gauges[0]).max(1e3)),
            ln((s.discharge_pressure + gauges[1]).max(1e4)),
            s.suction_temperature,
            s.liquid_temperature,
            s.discharge_temperature,
            s.air_off_coil,
            s.air_off_condenser,
            s.liquid_after,
            ln(s.power.max(1.0)),
            0.05 + 0.9 / (1.0 + exp(-(short - BUBBLES.0) / BUBBLES.1)),
            if has(Fault::CoilFan) { 0.96 } else { 0.04 },
            if has(Fault::CondenserFan) { 0.96 } else { 0.04 },
        ];
        Point { shown, state: s }
    }

    pub fn at(&self, cause: Cause, z: &[f64], near: &mut Near) -> Point {
        self.point(cause, &self.belief.unknowns(z), z.get(UNKNOWNS..).unwrap_or(&[]), near)
    }

    /// Minus the logarithm of prior and likelihood, up to what all causes share.
    pub fn cost(&self, z: &[f64], point: &Point) -> f64 {
        let mut sum = 0.5 * z.iter().map(|z| z * z).sum::<f64>();
        for r in self.readings {
            let e = point.shown[r.kind as usize];
            let seen = seen(r);
            sum += match spread(r) {
                Some(sd) => {
                    let t = (seen - e) / sd;
                    0.5 * (FREEDOM + 1.0) * ln_1p(t * t / FREEDOM)
                }
                None => -ln(if seen > 0.5 { e } else { 1.0 - e }),
            };
        }
        // A machine that a control would have stopped is not one that was read running.
        sum + if matches!(point.state.limit, Some(Limit::Head | Limit::Suction)) { 4.0 } else { 0.0 }
    }

    /// A reading's weight in the curvature at a distance of `off` from what is expected.
    pub fn weight(r: &Reading, off: f64) -> Option<f64> {
        let sd = spread(r)?;
        let t = off / sd;
        Some((FREEDOM + 1.0) / (FREEDOM + t * t) / (sd * sd))
    }

    /// The readings beside what the healthy system would show, by what is believed of it and not by these readings.
    pub fn against(&self, healthy: &Point, slopes: &[[f64; 12]]) -> Vec<Against> {
        let here = healthy;
        let doubt: [f64; 12] = std::array::from_fn(|i| slopes.iter().map(|s| s[i] * s[i]).sum());
        let measured = self.readings.iter().filter_map(|r| {
            let i = r.kind as usize;
            let sd = spread(r)?;
            let sd = sqrt(sd * sd + doubt[i]);
            let (expected, scale) = if logarithmic(r.kind) {
                let e = exp(here.shown[i]);
                (e, e)
            } else {
                (here.shown[i], 1.0)
            };
            Some(Against { kind: r.kind, expected, sd: sd * scale, measured: r.value })
        });
        measured.collect()
    }
}

pub fn logarithmic(kind: Kind) -> bool {
    matches!(kind, Kind::Low | Kind::High | Kind::Power)
}

/// What was read, as [`Point::shown`] has it.
pub fn seen(r: &Reading) -> f64 {
    match r.kind {
        Kind::CoilFans | Kind::CondenserFans => f64::from(u8::from(r.value < 0.99)),
        kind if logarithmic(kind) => ln(r.value.max(1.0)),
        _ => r.value,
    }
}

/// The spread of a reading, the model's own error included; none for what is seen by eye.
pub fn spread(r: &Reading) -> Option<f64> {
    let model = *MODEL.get(r.kind as usize)?;
    let own = if logarithmic(r.kind) { r.sd / r.value.max(1.0) } else { r.sd };
    Some(sqrt(own * own + model * model))
}

/// A usual spread for a reading that was not taken, as [`Point::shown`] has it (common practice, no source).
pub fn usual_spread(kind: Kind) -> Option<f64> {
    let own = [0.02, 0.012, 0.9, 0.8, 1.5, 0.5, 0.7, 0.5, 0.02];
    let (own, model) = (*own.get(kind as usize)?, *MODEL.get(kind as usize)?);
    Some(sqrt(own * own + model * model))
}

/// The kinds that were not read.
pub fn unread(readings: &[Reading]) -> impl Iterator<Item = Kind> {
    KINDS.into_iter().filter(|kind| readings.iter().all(|r| r.kind != *kind))
}
