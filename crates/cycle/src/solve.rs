//! The steady state: two balances, the branches, and the charge about them.

use crate::charge::{Fill, expected_charge};
use crate::system::{Compressor, Head, Metering, Surroundings, System};
use crate::table::Table;
use std::cell::Cell;
use units::math::{exp, ln, sqrt};

/// Which bound of what is modelled stopped the state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The head would go higher than the table reaches: a control would have stopped the machine.
    Head,
    /// The suction would go lower than the table reaches.
    Suction,
    /// More charge than condenser and receiver take.
    Charge,
    /// So little charge that it does not run steadily.
    Empty,
    /// The charge falls into a jump between two states: a real system would hunt between them.
    Jump,
}

/// What governs the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Ambient and load.
    Free,
    /// The head-pressure control.
    Held,
}

/// Where the liquid's reserve stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reserve {
    /// The charge plays no part here.
    NotAsked,
    /// The receiver's level, between its outlet and full: charge shows nowhere.
    Level(f64),
    /// Backed up into the condenser: share of it that is full of liquid.
    Flooded(f64),
    /// Vapour leaves with the liquid: its quality.
    Short(f64),
}

/// A steady state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steady {
    /// Dew temperature of evaporation, in kelvin.
    pub evaporating: f64,
    /// Dew temperature of condensation of the refrigerant itself, in kelvin.
    pub condensing: f64,
    /// Pressure at the compressor's suction, in Pa.
    pub suction_pressure: f64,
    /// Pressure at the discharge, other gases included, in Pa.
    pub discharge_pressure: f64,
    /// Superheat at the evaporator's end, in kelvin.
    pub superheat: f64,
    /// Temperature of the suction line at the compressor, in kelvin.
    pub suction_temperature: f64,
    /// Temperature of the liquid that leaves, in kelvin.
    pub liquid_temperature: f64,
    /// Temperature after drier and liquid line, in kelvin.
    pub liquid_after: f64,
    /// Quality before the valve.
    pub quality: f64,
    /// Temperature of the discharge gas, in kelvin.
    pub discharge_temperature: f64,
    /// Mass flow in kg/s.
    pub mass_flow: f64,
    /// Heat taken in the evaporator in W.
    pub capacity: f64,
    /// Compressor power in W.
    pub power: f64,
    /// Air off the evaporator, in kelvin.
    pub air_off_coil: f64,
    /// Air off the condenser, in kelvin.
    pub air_off_condenser: f64,
    /// Charge in kg by the volumes.
    pub charge: f64,
    /// What governs the head.
    pub hold: Hold,
    /// Whether the valve is wide open and the superheat above its setting.
    pub starved: bool,
    /// Where the reserve stands.
    pub reserve: Reserve,
    /// Which bound stopped it; absent for a state in full balance.
    pub limit: Option<Limit>,
    /// Where it was found, for a search near by: both temperatures as if the charge were right, and the reserve's number.
    origin: (f64, f64),
    reached: f64,
}

/// A trial state at two temperatures; heat balances are in watt.
#[derive(Clone, Copy)]
struct Trial {
    coil: f64,
    rejected: f64,
    flow: f64,
    power: f64,
    superheat: f64,
    starved: bool,
    suction_ln: f64,
    discharge_ln: f64,
    liquid: f64,
    after: f64,
    quality: f64,
    discharge: f64,
    capacity: f64,
    dry: f64,
}

/// Found: a trial at its temperatures.
#[derive(Clone, Copy)]
struct Found {
    te: f64,
    tc: f64,
    trial: Trial,
    hold: Hold,
    flooded: f64,
    air: f64,
    limit: Option<Limit>,
}

/// The superheated part of a coil passes this share of the boiling part's heat for its area (common practice, no source).
const DRY_SHARE: f64 = 0.35;
/// The flooded part of a condenser passes this share of the condensing part's (common practice, no source).
const FLOODED_SHARE: f64 = 0.5;
/// Of a valve leak's work this share is given back (fits the direction table of lab tests; recalled).
const LEAK_WORK: f64 = 0.8;
/// The poorest liquid still called a shortage; beyond it the head falls instead.
const POOREST: f64 = 0.35;

struct Machine<'a> {
    table: &'a Table,
    system: &'a System,
    at: &'a Surroundings,
    low: f64,
    high: f64,
}

impl Machine<'_> {
    /// The condenser's heat at a head, with a share flooded and its air scaled.
    fn condenser(&self, tc: f64, flooded: f64, air: f64) -> f64 {
        self.passed(air) * (1.0 - flooded) * self.drive(tc)
    }

    /// The condenser's heat for each kelvin, with its air scaled.
    fn passed(&self, air: f64) -> f64 {
        let c = self.system.condenser_air * air;
        c * (1.0 - exp(-self.system.condenser_ua * sqrt(air) / c))
    }

    /// The mean of condensation less ambient.
    fn drive(&self, tc: f64) -> f64 {
        let glide = tc - self.table.boiling(self.table.saturation(tc).ln_dew).1;
        tc - 0.5 * glide - self.at.ambient
    }

    fn compressor(&self, te: f64, superheat: f64, suction_ln: f64, discharge_ln: f64) -> (f64, f64, f64) {
        let s = self.system;
        let suction = self.table.vapour(suction_ln, superheat + s.suction_gain);
        match s.compressor {
            Compressor::Laws { swept, clearance, efficiency } => {
                let l = discharge_ln - suction_ln;
                let eta_v = (1.0 + clearance - clearance * exp(l / 1.1)).max(0.02);
                let eta = (efficiency[0] + l * (efficiency[1] + l * efficiency[2])).max(0.1);
                let work =
                    (self.table.isentropic(suction.entropy, discharge_ln) - suction.enthalpy).max(10.0) / eta;
                let flow = swept * eta_v * suction.density;
                (flow, flow * work, suction.enthalpy)
            }
            Compressor::Map { flow, power, rated_superheat } => {
                let (tc, _) = self.table.boiling(discharge_ln);
                let rated = self.table.vapour(suction_ln, rated_superheat);
                let m = flow.at(te - 273.15, tc - 273.15).max(1e-5) * suction.density / rated.density;
                (m, power.at(te - 273.15, tc - 273.15).max(1.0), suction.enthalpy)
            }
        }
    }

    fn trial(&self, te: f64, tc: f64, flooded: f64, short: f64) -> Trial {
        let s = self.system;
        let (cold, hot) = (self.table.saturation(te), self.table.saturation(tc));
        let pc = exp(hot.ln_dew);
        let discharge_ln = if s.non_condensable > 0.0 { ln(pc + s.non_condensable) } else { hot.ln_dew };
        let pe = exp(cold.ln_dew);
        let suction_ln =
            if s.suction_loss > 0.0 { cold.ln_dew + ln(1.0 - s.suction_loss) } else { cold.ln_dew };
        let bubble = self.table.boiling(hot.ln_dew).1;
        let td = self.at.box_air - te;

        let set = match s.metering {
            Metering::Superheat(set) => set.clamp(0.2, (0.95 * td).max(0.2)),
            Metering::Orifice => 0.0,
        };
        let (open, power_set, h1_set) = self.compressor(te, set, suction_ln, discharge_ln);
        let open = open * (1.0 - s.valve_leak);

        // Liquid that leaves: saturated less a little, colder where it stands in the condenser and no receiver warms it.
        let mut leaving = bubble;
        if short <= 0.0 {
            leaving -= s.subcooling;
            if flooded > 0.0 {
                let approach = (leaving - self.at.ambient).max(0.0);
                leaving -= approach
                    * (1.0 - exp(-FLOODED_SHARE * s.condenser_ua * flooded / (open.max(1e-6) * 1450.0)));
            }
        }
        let liquid = self.table.saturation(leaving);
        let latent = (hot.vapour_enthalpy - hot.liquid_enthalpy).max(1.0);
        let h3 = liquid.liquid_enthalpy + short * latent;

        // What the line and the valve pass between them, with the vapour that comes of the line's loss.
        let passes = |flow: f64| -> (f64, f64, f64) {
            let mixed = |quality: f64, pressure: f64| {
                let gas = hot.vapour_density * pressure / pc;
                1.0 / (quality / gas + (1.0 - quality) / liquid.liquid_density)
            };
            let lost = if s.liquid_loss > 0.0 { s.liquid_loss * flow * flow / mixed(short, pc) } else { 0.0 };
            let before = (pc - lost).max(pe * 1.02);
            let (mut quality, mut after) = (short, leaving);
            if lost > 0.0 {
                let boils = self.table.boiling(ln(before)).1;
                if boils < leaving {
                    after = boils;
                    quality = ((h3 - self.table.saturation(boils).liquid_enthalpy) / latent).clamp(0.0, 0.95);
                }
            }
            let density = if quality > 0.0 { mixed(quality, before) } else { liquid.liquid_density };
            (s.valve * sqrt((density * (before - pe)).max(1.0)), after, quality)
        };

        let (mut flow, mut superheat, mut power, mut h1) = (open, set, power_set, h1_set);
        let (mut most, mut after, mut quality) = passes(flow);
        let mut wet = 0.0;
        let mut fed = None;
        let mut starved = false;
        if most < open {
            // Wide open: the flow that both pass, then the superheat at which the compressor takes it.
            starved = true;
            if s.liquid_loss > 0.0 {
                // False position with halved ends: what is passed falls with the flow, so there is one crossing.
                let (mut a, mut b) = (most.min(open), open);
                let (mut fa, mut fb) = (passes(a).0 - a, most - open);
                flow = a;
                let mut side = 0;
                for _ in 0..12 {
                    if fa <= 0.0 || (b - a) < 1e-10 * open {
                        break;
                    }
                    flow = (a * fb - b * fa) / (fb - fa);
                    let f = passes(flow).0 - flow;
                    if f.abs() < 1e-9 * open {
                        break;
                    }
                    if f > 0.0 {
                        (a, fa) = (flow, f);
                        if side > 0 {
                            fb *= 0.5;
                        }
                        side = 1;
                    } else {
                        (b, fb) = (flow, f);
                        if side < 0 {
                            fa *= 0.5;
                        }
                        side = -1;
                    }
                }
                (_, after, quality) = passes(flow);
            } else {
                flow = most;
            }
            let ceiling = (0.98 * td).max(set);
            let ratio = flow / open;
            // Density falls about as 1/T along an isobar; two corrections settle it.
            let base = te + set + s.suction_gain;
            superheat = (base / ratio - te - s.suction_gain).clamp(set, ceiling);
            // At the same pressures the flow follows the density alone.
            let dense = self.table.vapour(suction_ln, set + s.suction_gain).density;
            for _ in 0..6 {
                let m = open * self.table.vapour(suction_ln, superheat + s.suction_gain).density / dense;
                let t = te + superheat + s.suction_gain;
                let next = (t * m / flow - te - s.suction_gain).clamp(set, ceiling);
                let near = (next - superheat).abs() < 1e-5;
                superheat = next;
                if near {
                    break;
                }
            }
            let (m, w, h) = self.compressor(te, superheat, suction_ln, discharge_ln);
            (power, h1) = (w, h);
            if superheat >= ceiling {
                fed = Some(flow);
                flow = m * (1.0 - s.valve_leak);
            }
        } else if s.metering == Metering::Orifice {
            // More comes than evaporates: what leaves the coil is wet.
            most = passes(open).0;
            wet = (1.0 - open / most).clamp(0.0, 0.6);
            flow = most;
        }
        let out = self.table.vapour(cold.ln_dew, superheat).enthalpy
            - wet * (cold.vapour_enthalpy - cold.liquid_enthalpy);
        let capacity = flow * (out - h3);

        let glide = te - self.table.boiling(cold.ln_dew).1;
        let inlet =
            ((h3 - cold.liquid_enthalpy) / (cold.vapour_enthalpy - cold.liquid_enthalpy)).clamp(0.0, 1.0);
        let mean = te - 0.5 * glide * (1.0 - inlet);
        let ua = s.evaporator_ua;
        let left = (td - superheat).max(1e-3 * td.abs().max(1e-3));
        let dry = if superheat > 0.0 && td > superheat {
            (flow * 900.0 * ln(td / left) / (DRY_SHARE * ua)).min(0.98)
        } else if td <= superheat {
            0.98
        } else {
            0.0
        };
        let mut able =
            s.evaporator_air * (1.0 - exp(-ua * (1.0 - dry) / s.evaporator_air)) * (self.at.box_air - mean);
        if let Some(fed) = fed {
            // Gas as warm as the air and still more of it wanted than the valve feeds: the suction must go lower.
            able = able.min(fed * (out - h3));
        }
        let power = power * (1.0 - LEAK_WORK * s.valve_leak);
        let discharge =
            h1 - wet * (cold.vapour_enthalpy - cold.liquid_enthalpy) + s.power_to_gas * power / flow;
        Trial {
            coil: able - capacity,
            rejected: flow * (discharge - h3),
            flow,
            power,
            superheat,
            starved,
            suction_ln,
            discharge_ln,
            liquid: leaving,
            after,
            quality,
            discharge,
            capacity,
            dry,
        }
    }

    /// The evaporating temperature at a given head: the coil's surplus falls as it rises.
    fn evaporating(&self, tc: f64, flooded: f64, short: f64, guess: f64) -> (f64, Trial, Option<Limit>) {
        let (mut low, mut high) = (self.low, (self.at.box_air - 0.05).min(tc - 1.0));
        let mut te = guess.clamp(low + 0.5, high - 0.5);
        let mut previous: Option<(f64, f64)> = None;
        let mut trial = self.trial(te, tc, flooded, short);
        for _ in 0..60 {
            let f = trial.coil;
            if f.abs() < 1e-6 * (trial.capacity.abs() + 1.0) {
                return (te, trial, None);
            }
            if f > 0.0 {
                low = te
            } else {
                high = te
            }
            if high - low < 1e-7 {
                break;
            }
            let slope = match previous {
                Some((x, y)) if (x - te).abs() > 1e-12 => (f - y) / (te - x),
                _ => -(trial.capacity.abs() + 1.0) * 0.12,
            };
            previous = Some((te, f));
            let step = te - f / slope;
            te = if slope < 0.0 && step > low && step < high { step } else { 0.5 * (low + high) };
            trial = self.trial(te, tc, flooded, short);
        }
        let limit = (te - self.low < 1e-3).then_some(Limit::Suction);
        (te, trial, limit)
    }

    /// Both temperatures, the head free.
    fn free(&self, flooded: f64, air: f64, short: f64, guess: (f64, f64)) -> Found {
        if let Some(found) = self.newton(flooded, air, short, guess) {
            return found;
        }
        let (mut low, mut high) = (self.at.ambient.max(self.low + 5.0) + 0.01, self.high);
        let (mut te, mut tc) = guess;
        tc = tc.clamp(low + 0.1, high - 0.1);
        let mut previous: Option<(f64, f64)> = None;
        for _ in 0..60 {
            let (t, trial, limit) = self.evaporating(tc, flooded, short, te);
            te = t;
            let f = trial.rejected - self.condenser(tc, flooded, air);
            let done = f.abs() < 1e-5 * trial.rejected.abs() || high - low < 1e-7;
            if done {
                let limit = if self.high - tc < 1e-3 { Some(Limit::Head) } else { limit };
                return Found { te, tc, trial, hold: Hold::Free, flooded, air, limit };
            }
            if f > 0.0 {
                low = tc
            } else {
                high = tc
            }
            let step = match previous {
                Some((x, y)) if (f - y).abs() > 1e-12 => tc - f * (tc - x) / (f - y),
                _ => 0.5 * (low + high),
            };
            previous = Some((tc, f));
            tc = if step > low && step < high { step } else { 0.5 * (low + high) };
        }
        let (te, trial, limit) = self.evaporating(tc, flooded, short, te);
        let limit = if self.high - tc < 1e-2 { Some(Limit::Head) } else { limit };
        Found { te, tc, trial, hold: Hold::Free, flooded, air, limit }
    }

    fn newton(&self, flooded: f64, air: f64, short: f64, guess: (f64, f64)) -> Option<Found> {
        let (mut te, mut tc) = guess;
        let inside = |te: f64, tc: f64| {
            te > self.low
                && te < self.at.box_air - 0.05
                && tc > self.at.ambient
                && tc < self.high
                && te < tc - 1.0
        };
        let balances = |te: f64, tc: f64| {
            let trial = self.trial(te, tc, flooded, short);
            (trial, trial.coil, trial.rejected - self.condenser(tc, flooded, air))
        };
        let (mut trial, mut a, mut b) = match inside(te, tc) {
            true => balances(te, tc),
            false => return None,
        };
        let mut slopes: Option<[f64; 4]> = None;
        for _ in 0..24 {
            let size = trial.capacity.abs().max(1.0);
            if a.abs() < 1e-5 * size && b.abs() < 1e-5 * size {
                return Some(Found { te, tc, trial, hold: Hold::Free, flooded, air, limit: None });
            }
            let [ae, be, ac, bc] = slopes.unwrap_or_else(|| {
                let d = 5e-3;
                let ((_, ae, be), (_, ac, bc)) = (balances(te + d, tc), balances(te, tc + d));
                [(ae - a) / d, (be - b) / d, (ac - a) / d, (bc - b) / d]
            });
            let determinant = ae * bc - ac * be;
            if determinant.abs() < 1e-9 {
                return None;
            }
            let step = (
                -((a * bc - b * ac) / determinant).clamp(-5.0, 5.0),
                -((b * ae - a * be) / determinant).clamp(-5.0, 5.0),
            );
            (te, tc) = (te + step.0, tc + step.1);
            if !inside(te, tc) {
                return None;
            }
            let (next, x, y) = balances(te, tc);
            // The slopes follow the step while it does well (Broyden), and are taken anew where it does not.
            let well = x.abs().max(y.abs()) < 0.3 * a.abs().max(b.abs());
            slopes = well.then(|| {
                let length = step.0 * step.0 + step.1 * step.1;
                let off = (
                    (x - a - ae * step.0 - ac * step.1) / length,
                    (y - b - be * step.0 - bc * step.1) / length,
                );
                [ae + off.0 * step.0, be + off.1 * step.0, ac + off.0 * step.1, bc + off.1 * step.1]
            });
            (trial, a, b) = (next, x, y);
        }
        None
    }

    /// Both temperatures with what holds the head.
    fn held(&self, flooded: f64, short: f64, guess: (f64, f64)) -> Found {
        let (set, by_air) = match self.system.head {
            Head::Free => return self.free(flooded, 1.0, short, guess),
            Head::Flooding(set) => (set, false),
            Head::Fans(set) => (set, true),
        };
        let mut guess = guess;
        if guess.1 > set {
            let found = self.free(flooded, 1.0, short, guess);
            if found.tc >= set {
                return found;
            }
            guess.0 = found.te;
        }
        // What is rejected falls and what the condenser passes rises with the head: one look at the setting tells which
        // of them governs.
        let (te, trial, limit) = self.evaporating(set, flooded, short, guess.0);
        let full = self.condenser(set, 0.0, 1.0);
        if (1.0 - flooded) * full < trial.rejected && guess.1 <= set {
            return self.free(flooded, 1.0, short, (te, set.max(self.at.ambient + 8.0)));
        }
        let share = (trial.rejected / full).clamp(1e-3, 1.0);
        if by_air {
            // Air at which the condenser just rejects it; its heat rises with the air.
            let drive = (1.0 - flooded) * self.drive(set);
            let (mut low, mut high) = (1e-3, 1.0);
            for _ in 0..24 {
                let air = 0.5 * (low + high);
                if self.passed(air) * drive < trial.rejected { low = air } else { high = air }
            }
            return Found { te, tc: set, trial, hold: Hold::Held, flooded, air: 0.5 * (low + high), limit };
        }
        Found { te, tc: set, trial, hold: Hold::Held, flooded: (1.0 - share).max(flooded), air: 1.0, limit }
    }

    fn mass(&self, found: &Found, short: f64, level: f64) -> f64 {
        let cold = self.table.saturation(found.te);
        let h = self.table.saturation(found.trial.liquid).liquid_enthalpy;
        let latent = cold.vapour_enthalpy - cold.liquid_enthalpy;
        let fill = Fill {
            evaporating: found.te,
            condensing: found.tc,
            evaporator_inlet: ((h - cold.liquid_enthalpy) / latent + short).clamp(0.0, 0.98),
            evaporator_dry: found.trial.dry,
            flooded: found.flooded,
            liquid_line: short,
            level,
        };
        expected_charge(
            self.table,
            &self.system.volumes,
            self.system.receiver.as_ref(),
            self.system.void,
            &fill,
        )
    }

    /// A found state whose mass is `charge`, along one number from `from` (where the mass is off by `off`) towards `end`;
    /// nothing where the end is reached before. `first` is looked at first, or where it lay the last time.
    fn along(
        &self,
        charge: f64,
        (from, off): (f64, f64),
        first: f64,
        end: f64,
        at: &dyn Fn(f64) -> (Found, f64),
    ) -> Option<(Found, f64)> {
        let look = |x: f64| {
            let (found, mass) = at(x);
            (found, mass - charge)
        };
        let (mut a, mut fa) = (from, off);
        let towards = if end > from { 1.0 } else { -1.0 };
        let mut x = first.clamp(from.min(end), from.max(end));
        // Outwards until the charge is passed.
        let (mut last, mut b, mut fb) = loop {
            let (found, f) = look(x);
            if f.abs() < 1e-4 * charge {
                return Some((found, x));
            }
            if (f > 0.0) != (off > 0.0) {
                break (found, x, f);
            }
            if (end - x).abs() < 1e-12 {
                return None;
            }
            let slope = (f - fa) / (x - a);
            let step = if slope.abs() > 1e-12 { -1.3 * f / slope } else { 0.0 };
            (a, fa) = (x, f);
            let reach = (towards * step).clamp(0.02 * (end - from).abs(), 0.4 * (end - from).abs());
            x = (x + towards * reach).clamp(from.min(end), from.max(end));
        };
        let mut side = 0;
        let mut found_off = fb;
        let mut best = b;
        for pass in 0..48 {
            let halve = pass % 4 == 3 || (fb - fa).abs() < 1e-12;
            best = if halve { 0.5 * (a + b) } else { a - fa * (b - a) / (fb - fa) };
            best = best.clamp(a.min(b), a.max(b));
            let (found, f) = look(best);
            (last, found_off) = (found, f);
            if f.abs() < 1e-4 * charge || (b - a).abs() < 1e-7 {
                break;
            }
            if (f > 0.0) == (fb > 0.0) {
                (b, fb) = (best, f);
                if side == 1 {
                    fa *= 0.5;
                }
                side = 1;
            } else {
                (a, fa) = (best, f);
                if side == -1 {
                    fb *= 0.5;
                }
                side = -1;
            }
        }
        if found_off.abs() > 1e-3 * charge {
            last.limit = last.limit.or(Some(Limit::Jump));
        }
        Some((last, best))
    }

    /// The state as if the charge were right, the state with the charge there is, its reserve and its mass.
    fn charged(&self, charge: f64, near: Option<&Steady>, guess: (f64, f64)) -> (Found, Found, Reserve, f64) {
        let right = self.held(0.0, 0.0, near.map_or(guess, |n| n.origin));
        let (outlet, full, room) = match &self.system.receiver {
            Some(r) => {
                let hot = self.table.saturation(right.tc);
                (r.outlet, r.full, r.volume * (hot.liquid_density - hot.vapour_density))
            }
            None => (0.0, 0.0, 0.0),
        };
        let least = self.mass(&right, 0.0, outlet);
        let most = self.mass(&right, 0.0, full);
        if charge >= least && charge <= most && room > 0.0 {
            let level = outlet + (charge - least) / room;
            return (right, right, Reserve::Level(level), self.mass(&right, 0.0, level));
        }
        // Each state starts where the one before it lay.
        let start = match near {
            Some(n) if matches!(n.reserve, Reserve::Flooded(_)) == (charge > most) => {
                (n.evaporating, n.condensing)
            }
            _ => (right.te, right.tc),
        };
        let last = Cell::new(start);
        let keep = |found: Found| {
            if found.limit.is_none() {
                last.set((found.te, found.tc));
            }
            found
        };
        if charge > most {
            let at = |flooded: f64| {
                let found = keep(self.held(flooded, 0.0, last.get()));
                (found, self.mass(&found, 0.0, full))
            };
            let top = 0.97;
            let hot = self.table.saturation(right.tc);
            let room = self.system.volumes.condenser * (0.75 * hot.liquid_density - hot.vapour_density);
            let first = match near.map(|n| (n.reserve, n.reached)) {
                Some((Reserve::Flooded(_), x)) if x > right.flooded => x,
                _ => right.flooded + ((charge - most) / room.max(1e-6)).clamp(0.02, 0.3),
            };
            return match self.along(charge, (right.flooded, most - charge), first, top, &at) {
                Some((found, _)) => {
                    (right, found, Reserve::Flooded(found.flooded), self.mass(&found, 0.0, full))
                }
                None => {
                    let (mut found, mass) = at(top);
                    found.limit = Some(Limit::Charge);
                    (right, found, Reserve::Flooded(top), mass)
                }
            };
        }
        let at = |short: f64| {
            let found = keep(self.held(0.0, short, last.get()));
            (found, self.mass(&found, short, outlet))
        };
        let first = match near.map(|n| (n.reserve, n.reached)) {
            Some((Reserve::Short(_), x)) if x > 0.0 => x,
            _ => 0.03,
        };
        if let Some((found, short)) = self.along(charge, (0.0, least - charge), first, POOREST, &at) {
            return (right, found, Reserve::Short(short), self.mass(&found, short, outlet));
        }
        // So short that the head's control cannot back up what it would like: the liquid there is decides how much.
        let backed = at(POOREST).0.flooded;
        let at = |flooded: f64| {
            let found = keep(self.free(flooded, 1.0, POOREST, last.get()));
            (found, self.mass(&found, POOREST, outlet))
        };
        let (mut found, mass) = at(0.0);
        let found = match self.along(charge, (0.0, mass - charge), 0.5 * backed, backed, &at) {
            Some((backed, _)) if mass < charge => backed,
            _ => {
                found.limit = found.limit.or(Some(Limit::Empty));
                found
            }
        };
        (right, found, Reserve::Short(POOREST), self.mass(&found, POOREST, outlet))
    }
}

/// Returns the steady state of a system in its surroundings, sought near another one where there is one.
#[must_use]
pub fn steady(table: &Table, system: &System, at: &Surroundings, near: Option<&Steady>) -> Steady {
    let (low, high) = table.range();
    let machine = Machine { table, system, at, low: low + 0.5, high: high - 0.5 };
    let guess = (at.box_air - 8.0, (at.ambient + 10.0).max(at.box_air + 10.0));
    let (right, found, reserve, charge) = match system.charge {
        Some(charge) => machine.charged(charge, near, guess),
        None => {
            let found = machine.held(0.0, 0.0, near.map_or(guess, |n| n.origin));
            let mass = machine.mass(&found, 0.0, system.receiver.map_or(0.0, |r| r.outlet));
            (found, found, Reserve::NotAsked, mass)
        }
    };
    let reached = match reserve {
        Reserve::Short(x) | Reserve::Flooded(x) | Reserve::Level(x) => x,
        Reserve::NotAsked => 0.0,
    };
    let trial = found.trial;
    let discharge_dew = table.boiling(trial.discharge_ln).0;
    let air = system.condenser_air * found.air;
    Steady {
        evaporating: found.te,
        condensing: found.tc,
        suction_pressure: exp(trial.suction_ln),
        discharge_pressure: exp(trial.discharge_ln),
        superheat: trial.superheat,
        suction_temperature: found.te + trial.superheat + system.suction_gain,
        liquid_temperature: trial.liquid,
        liquid_after: trial.after,
        quality: trial.quality,
        discharge_temperature: discharge_dew + table.superheat_of(trial.discharge_ln, trial.discharge),
        mass_flow: trial.flow,
        capacity: trial.capacity,
        power: trial.power,
        air_off_coil: at.box_air - trial.capacity / system.evaporator_air,
        air_off_condenser: at.ambient + trial.rejected / air,
        charge,
        hold: found.hold,
        starved: trial.starved,
        reserve,
        limit: found.limit,
        origin: (right.te, right.tc),
        reached,
    }
}
