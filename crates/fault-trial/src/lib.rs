//! Invented refrigeration systems with faults, and what instruments show of them: the truth that the diagnosis is tried on.
//!
//! Nothing here is shared with the model under trial: other laws for compressor, slip, valve and condenser (three zones),
//! line losses, a wet coil, a receiver that hot gas warms, readings that swing. Numbers are SI, temperatures in kelvin.

use libm::{exp, log, pow, sqrt};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A refrigerant at one temperature, from whatever source the caller trusts.
#[derive(Clone, Copy, Debug)]
pub struct Node {
    /// Dew pressure.
    pub dew: f64,
    /// Bubble pressure.
    pub bubble: f64,
    /// Enthalpy of liquid at the bubble line.
    pub liquid: f64,
    /// Enthalpy of vapour at the dew line.
    pub vapour: f64,
    /// Density of liquid.
    pub liquid_density: f64,
    /// Density of vapour.
    pub vapour_density: f64,
}

/// A refrigerant, every kelvin from `first` on.
#[derive(Clone, Debug)]
pub struct Substance {
    /// Temperature of the first node.
    pub first: f64,
    /// Nodes a kelvin apart.
    pub nodes: Vec<Node>,
}

impl Substance {
    fn at(&self, t: f64) -> Node {
        let x = (t - self.first).clamp(0.0, self.nodes.len() as f64 - 1.001);
        let (a, b, u) = (self.nodes[x as usize], self.nodes[x as usize + 1], x - libm::floor(x));
        let mix = |a: f64, b: f64| a + u * (b - a);
        Node {
            dew: exp(mix(log(a.dew), log(b.dew))),
            bubble: exp(mix(log(a.bubble), log(b.bubble))),
            liquid: mix(a.liquid, b.liquid),
            vapour: mix(a.vapour, b.vapour),
            liquid_density: mix(a.liquid_density, b.liquid_density),
            vapour_density: exp(mix(log(a.vapour_density), log(b.vapour_density))),
        }
    }

    fn temperature(&self, p: f64, of: fn(&Node) -> f64) -> f64 {
        let k = self.nodes.partition_point(|n| of(n) < p).clamp(1, self.nodes.len() - 1);
        let (a, b) = (log(of(&self.nodes[k - 1])), log(of(&self.nodes[k])));
        self.first + (k - 1) as f64 + (log(p) - a) / (b - a)
    }
}

/// What may be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// Too little charge.
    Under,
    /// Too much charge.
    Over,
    /// Dirt on the condenser.
    CondenserDirt,
    /// A condenser fan down.
    CondenserFan,
    /// Ice on the coil.
    Ice,
    /// A coil fan down.
    CoilFan,
    /// A restricted drier.
    Restriction,
    /// A valve that feeds too little.
    Underfeed,
    /// A valve that feeds too much.
    Overfeed,
    /// Leaking compressor valves.
    ValveLeak,
    /// Gas that does not condense.
    NonCondensable,
    /// A gauge that is off.
    Gauge,
    /// A head control stuck: below half it holds nothing, above it holds too much. Needs a head control.
    HeadControl,
}

/// All of them.
pub const FAULTS: [Fault; 13] = [
    Fault::Under,
    Fault::Over,
    Fault::CondenserDirt,
    Fault::CondenserFan,
    Fault::Ice,
    Fault::CoilFan,
    Fault::Restriction,
    Fault::Underfeed,
    Fault::Overfeed,
    Fault::ValveLeak,
    Fault::NonCondensable,
    Fault::Gauge,
    Fault::HeadControl,
];

/// A system as built; public is what a nameplate or the eye tells.
#[derive(Clone, Copy, Debug)]
pub struct Built {
    /// Size: capacity over that of a 6 kW medium-temperature system.
    pub size: f64,
    /// Whether it is a freezer.
    pub freezer: bool,
    /// Whether it has a receiver.
    pub receiver: bool,
    /// The head control: 0 none, 1 flooding valve, 2 fans.
    pub head: u8,
    /// Where the head is held.
    pub set: f64,
    scatter: [f64; 10],
    wet: f64,
    superheat: f64,
    gain: f64,
}

/// One visit: what it stands in, what is wrong and how badly (0 to 1), and the gauges' offsets in Pa.
#[derive(Clone, Debug)]
pub struct Visit {
    /// Box air.
    pub box_air: f64,
    /// Ambient.
    pub ambient: f64,
    /// What is wrong.
    pub faults: Vec<(Fault, f64)>,
    /// Offsets of low and high gauge.
    pub offsets: [f64; 2],
    /// The charge over the nominal.
    pub charge: f64,
}

/// Readings: low and high pressure (absolute, Pa), suction, liquid, discharge, coil air off, condenser air off, after the
/// drier (kelvin), power (W), bubbles in the glass (1 or 0), shares of coil and condenser fans seen running.
pub type Readings = [f64; 12];

/// Random numbers, named and seeded.
pub struct Dice(ChaCha8Rng);

impl Dice {
    /// Returns dice of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }
    /// Returns a number between 0 and 1.
    pub fn one(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }
    /// Returns a number between two.
    pub fn between(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.one()
    }
    /// Returns a normal number.
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.one().max(1e-300), self.one());
        sqrt(-2.0 * log(u)) * libm::cos(core::f64::consts::TAU * v)
    }
}

/// Returns a system drawn.
pub fn built(d: &mut Dice) -> Built {
    let mut scatter = [0.0; 10];
    for (s, sd) in scatter.iter_mut().zip([0.15, 0.15, 0.1, 0.1, 0.06, 0.08, 0.15, 0.1, 0.1, 0.1]) {
        *s = exp(sd * d.normal());
    }
    let (size, freezer, receiver) = (exp(d.between(-0.7, 0.9)), d.one() < 0.4, d.one() < 0.7);
    let head = (d.one() * 3.0) as u8;
    Built {
        size,
        freezer,
        receiver,
        // Nothing to flood from without a receiver: such systems are held by their fans.
        head: if receiver || head != 1 { head } else { 2 },
        set: d.between(298.0, 305.0),
        scatter,
        wet: d.between(0.0, 0.25),
        superheat: d.between(4.5, 7.5),
        gain: d.between(3.0, 14.0),
    }
}

/// Returns where a visit takes place, with the ambient of one of three seasons, and the charge as it happens to be.
pub fn place(d: &mut Dice, b: &Built, faults: Vec<(Fault, f64)>) -> Visit {
    let box_air = if b.freezer { d.between(249.0, 254.0) } else { d.between(273.5, 279.0) };
    let (low, high) = [(263.0, 278.0), (280.0, 295.0), (296.0, 312.0)][(d.one() * 3.0) as usize];
    let ambient = d.between(low, high);
    let offsets = [8e3 * d.normal(), 15e3 * d.normal()];
    Visit { box_air, ambient, faults, offsets, charge: exp(0.05 * d.normal()) }
}

struct State {
    te: f64,
    tc: f64,
    p_dis: f64,
    p_suc: f64,
    t_suc: f64,
    t_liq: f64,
    t_after: f64,
    t_dis: f64,
    x: f64,
    q: f64,
    rejected: f64,
    power: f64,
    mass: f64,
    air_c: f64,
    air_e: f64,
    resid: f64,
    flooded: f64,
}

struct Plant<'a> {
    s: &'a Substance,
    b: &'a Built,
    v: &'a Visit,
    ua_c: f64,
    air_c: f64,
    ua_e: f64,
    air_e: f64,
    swept: f64,
    valve: f64,
    set: f64,
    drier: f64,
    leak: f64,
    gas: f64,
    charge: f64,
    head: u8,
    hold: f64,
}

fn effectiveness(ntu: f64) -> f64 {
    1.0 - exp(-ntu)
}

impl<'a> Plant<'a> {
    /// The plant without its charge, nothing wrong.
    fn bare(s: &'a Substance, b: &'a Built, v: &'a Visit) -> Self {
        let k = &b.scatter;
        let z = b.size;
        // Swept volume for 6 kW at the usual coil temperature of this kind of box.
        let usual = s.at(if b.freezer { 246.0 } else { 267.0 });
        let swept = z * 6000.0 / ((usual.vapour - s.at(308.0).liquid) * usual.vapour_density * 0.80);
        let mut p = Self {
            s,
            b,
            v,
            ua_c: 1150.0 * z * k[0],
            air_c: 1500.0 * z * k[2],
            ua_e: 1000.0 * z * k[1],
            air_e: 1350.0 * z * k[3],
            swept: swept * k[4],
            valve: 0.0,
            set: b.superheat,
            drier: 0.15e5,
            leak: 0.0,
            gas: 0.0,
            charge: 0.0,
            head: b.head,
            hold: b.set,
        };
        // Sized 40 % over at the usual head.
        let m = z * 6000.0 / (usual.vapour - s.at(308.0).liquid);
        p.valve = 1.4 * k[6] * m / sqrt(s.at(308.0).liquid_density * (s.at(311.0).dew - usual.dew));
        p
    }

    fn new(s: &'a Substance, b: &'a Built, v: &'a Visit) -> Self {
        let mut p = Self::bare(s, b, v);
        p.charge = v.charge
            * if b.receiver {
                12.0 * b.size * b.scatter[8]
            } else {
                // Charged on a mild day until liquid backs up a little.
                let box_air = if b.freezer { 251.5 } else { 276.0 };
                let mild = Visit { box_air, ambient: 298.0, ..v.clone() };
                Plant::bare(s, b, &mild).running(0.15, 0.0).mass
            };
        for &(fault, how) in &v.faults {
            match fault {
                Fault::Under => p.charge *= 0.88 - 0.53 * how,
                Fault::Over => p.charge *= 1.15 + 0.65 * how,
                Fault::CondenserDirt => {
                    p.air_c *= 1.0 - 0.55 * how;
                    p.ua_c *= 1.0 - 0.65 * how;
                }
                Fault::CondenserFan => {
                    let air = 0.62 - 0.25 * how;
                    p.air_c *= air;
                    p.ua_c *= pow(air, 0.6);
                }
                Fault::Ice => {
                    p.ua_e *= 1.0 - 0.15 - 0.5 * how;
                    p.air_e *= 1.0 - 0.4 * how;
                }
                Fault::CoilFan => {
                    let air = 0.68 - 0.33 * how;
                    p.air_e *= air;
                    p.ua_e *= pow(air, 0.65);
                }
                Fault::Restriction => p.drier = 1e5 + 5.5e5 * how,
                Fault::Underfeed => p.valve *= 0.66 - 0.42 * how,
                Fault::Overfeed => p.set = 2.4 - 2.0 * how,
                Fault::ValveLeak => p.leak = 0.08 + 0.35 * how,
                Fault::NonCondensable => p.gas = 0.6e5 + 3.0e5 * how,
                Fault::Gauge => {}
                Fault::HeadControl if how < 0.5 => p.head = 0,
                Fault::HeadControl => p.hold += 20.0 * how - 4.0,
            }
        }
        p
    }

    /// A state at both temperatures; `resid` is the coil's surplus.
    fn state(&self, te: f64, tc: f64, flooded: f64, short: f64) -> State {
        let (cold, hot) = (self.s.at(te), self.s.at(tc));
        let p_dis = hot.dew * 1.015 + self.gas;
        let p_suc = cold.dew * 0.98;
        let td = self.v.box_air - te;
        let bubble = self.s.temperature(hot.dew, |n| n.bubble);
        let glide_e = te - self.s.temperature(cold.dew, |n| n.bubble);
        let ratio = p_dis / p_suc;
        let eta_v = (0.93 - 0.035 * (ratio - 1.0)).max(0.1) * (1.0 - self.leak);
        let eta = 0.70 * self.b.scatter[5] * (1.0 - 0.02 * (ratio - 3.2) * (ratio - 3.2)).max(0.55);
        let (cp, index) = (870.0, 1.09);
        let flow = |sh: f64| {
            self.swept * eta_v * cold.vapour_density * 0.98 * pow(te / (te + sh + self.b.gain), 1.18)
        };
        let full = self.b.receiver && flooded <= 0.0;
        let cooling = if short > 0.0 {
            0.0
        } else if full {
            0.8
        } else {
            1.0 + (bubble - self.v.ambient).max(0.0) * effectiveness(4.0 * flooded)
        };
        let t_liq = bubble - cooling;
        let liquid = self.s.at(t_liq);
        let latent = hot.vapour - hot.liquid;
        let h = liquid.liquid + short * latent;
        let reference = self.b.size * 6000.0 / latent;
        let fed = |m: f64| {
            let lost = self.drier * (m / reference) * (m / reference) * (1.0 + 6.0 * short);
            let before = (hot.dew * 0.995 - lost).max(cold.dew * 1.05);
            let boils = self.s.temperature(before, |n| n.bubble);
            // A drier's gas is only in part in equilibrium where the clamp sits.
            let (after, x) = if boils < t_liq {
                (t_liq - 0.6 * (t_liq - boils), short + (t_liq - boils) * 1500.0 / latent)
            } else {
                (t_liq, short)
            };
            let penalty = 1.0 / (1.0 + 4.2 * pow(x, 0.9));
            (self.valve * sqrt(liquid.liquid_density * (before - cold.dew)) * penalty, after, x)
        };
        let open = flow(self.set.min(0.9 * td.max(0.1)));
        let (mut m, mut sh) = (open, self.set.min(0.9 * td.max(0.1)));
        if fed(open).0 < open {
            let (mut a, mut b) = (0.0, open);
            for _ in 0..16 {
                let c = 0.5 * (a + b);
                if fed(c).0 > c { a = c } else { b = c }
            }
            m = a;
            let (mut low, mut high) = (sh, 0.97 * td.max(0.1));
            for _ in 0..14 {
                let c = 0.5 * (low + high);
                if flow(c) > m { low = c } else { high = c }
            }
            sh = low;
        }
        let (_, t_after, x) = fed(m);
        let pulled = flow(sh);
        let q = m * (cold.vapour + cp * sh - h);
        let inlet = ((h - cold.liquid) / (cold.vapour - cold.liquid)).clamp(0.0, 0.9);
        let dry = (m * cp * sh / (0.4 * self.ua_e * (td - 0.5 * sh).max(0.3))).min(0.95);
        let able = self.air_e
            * (1.0 + self.b.wet)
            * effectiveness(self.ua_e * (1.0 - dry) / self.air_e)
            * (td + 0.5 * glide_e * (1.0 - inlet));
        let resid = if pulled > m * 1.02 { (able - q).min(-0.05 * q.abs()) } else { able - q };
        let work = index / (index - 1.0) * p_suc
            / (cold.vapour_density * 0.98 * pow(te / (te + sh + self.b.gain), 1.18))
            * (pow(ratio, (index - 1.0) / index) - 1.0)
            * 0.92;
        let power = m * work / eta * (1.0 + 0.3 * self.leak / (1.0 - self.leak));
        let h_dis = cold.vapour + cp * (sh + self.b.gain) + 0.92 * power / m.max(1e-5);
        let cp_dis = 1050.0;
        State {
            te,
            tc,
            p_dis,
            p_suc,
            t_suc: te + sh + self.b.gain,
            t_liq,
            t_after,
            t_dis: tc + (h_dis - hot.vapour) / cp_dis,
            x,
            q,
            rejected: m * (h_dis - h),
            power,
            mass: self.mass(te, tc, flooded, short, inlet),
            air_c: self.air_c,
            air_e: self.air_e * (1.0 + self.b.wet),
            resid,
            flooded,
        }
    }

    /// What condenses: desuperheating at the air's hot side, condensing, and a flooded part that hardly counts.
    fn condenser(&self, st: &State, flooded: f64, air: f64) -> f64 {
        let glide = st.tc - self.s.temperature(self.s.at(st.tc).dew, |n| n.bubble);
        let c = self.air_c * air;
        let ua = self.ua_c * pow(air, 0.6);
        let hot = 0.12 * (1.0 - flooded);
        let rest = 0.88 - flooded * 0.88;
        let e = effectiveness(ua / c);
        c * e
            * (hot * (st.tc + 0.25 * (st.t_dis - st.tc) - self.v.ambient)
                + rest * (st.tc - 0.5 * glide - self.v.ambient)
                + 0.15 * flooded * (st.t_liq - self.v.ambient).max(0.0))
    }

    fn mass(&self, te: f64, tc: f64, flooded: f64, short: f64, inlet: f64) -> f64 {
        let (cold, hot) = (self.s.at(te), self.s.at(tc));
        let z = self.b.size * self.b.scatter[9];
        let liquid_c = 0.27 * (1.0 - short);
        let liquid_e = 0.22 * (1.0 - inlet);
        let line = 1.0 / (1.0 + 0.45 * short * hot.liquid_density / hot.vapour_density);
        let fill = |share: f64, n: &Node| share * n.liquid_density + (1.0 - share) * n.vapour_density;
        z * (0.006 * fill(flooded + (1.0 - flooded) * liquid_c, &hot)
            + 0.006 * fill(liquid_e, &cold)
            + 0.0025 * fill(line, &hot)
            + 0.008 * cold.vapour_density)
    }

    fn coil(&self, tc: f64, flooded: f64, short: f64) -> State {
        let (mut low, mut high) = (self.s.first + 2.0, self.v.box_air - 0.2);
        for _ in 0..26 {
            let te = 0.5 * (low + high);
            if self.state(te, tc, flooded, short).resid > 0.0 { low = te } else { high = te }
        }
        self.state(low, tc, flooded, short)
    }

    fn running(&self, flooded: f64, short: f64) -> State {
        let (mut low, mut high) =
            (self.v.ambient.max(self.v.box_air - 5.0) + 0.3, self.s.first + self.s.nodes.len() as f64 - 3.0);
        for _ in 0..24 {
            let tc = 0.5 * (low + high);
            let st = self.coil(tc, flooded, short);
            if st.rejected > self.condenser(&st, flooded, 1.0) { low = tc } else { high = tc }
        }
        let st = self.coil(low, flooded, short);
        if self.head == 0 || st.tc >= self.hold {
            return st;
        }
        let mut st = self.coil(self.hold, flooded, short);
        let (mut a, mut b) = (flooded, 0.98);
        let (mut slow, mut fast) = (0.02, 1.0);
        for _ in 0..20 {
            if self.head == 1 {
                let c = 0.5 * (a + b);
                if self.condenser(&st, c, 1.0) > st.rejected { a = c } else { b = c }
            } else {
                let c = 0.5 * (slow + fast);
                if self.condenser(&st, flooded, c) > st.rejected { fast = c } else { slow = c }
            }
        }
        if self.head == 1 {
            let inlet = 0.25;
            st.flooded = a;
            st.mass = self.mass(st.te, st.tc, a, short, inlet);
        } else {
            st.air_c *= slow;
        }
        st
    }

    fn settled(&self) -> State {
        let st = self.running(0.0, 0.0);
        let (empty, full) = if self.b.receiver {
            let hot = self.s.at(st.tc);
            let v = 0.014 * self.b.size;
            (v * (0.06 * hot.liquid_density + 0.94 * hot.vapour_density), v * 0.95 * hot.liquid_density)
        } else {
            (0.0, 0.0)
        };
        if self.charge >= st.mass + empty && self.charge <= st.mass + full {
            return st;
        }
        let over = self.charge > st.mass + full;
        let (mut a, mut b) = if over { (st.flooded, 0.95) } else { (0.0, 0.33) };
        for _ in 0..11 {
            let c = 0.5 * (a + b);
            let more = if over {
                self.running(c, 0.0).mass + full < self.charge
            } else {
                self.running(0.0, c).mass + empty > self.charge
            };
            if more { a = c } else { b = c }
        }
        if over { self.running(a, 0.0) } else { self.running(0.0, b) }
    }
}

/// Returns what a system shows without any error of instrument, and whether it would run at all.
#[must_use]
pub fn shown(s: &Substance, b: &Built, v: &Visit) -> (Readings, bool) {
    let plant = Plant::new(s, b, v);
    let st = plant.settled();
    let fans = |fault: Fault| v.faults.iter().find(|f| f.0 == fault).map_or(1.0, |_| 0.5);
    let gauge = v.faults.iter().find(|f| f.0 == Fault::Gauge).map_or(0.0, |f| (0.4 + 0.9 * f.1) * 1e5);
    let low_side = v.offsets[0] < 0.0;
    let readings = [
        st.p_suc + if low_side { 0.4 * gauge } else { 0.0 },
        st.p_dis + if low_side { 0.0 } else { 1.3 * gauge },
        st.t_suc,
        st.t_liq,
        st.t_dis,
        v.box_air - st.q / st.air_e,
        v.ambient + st.rejected / st.air_c,
        st.t_after,
        st.power,
        if st.x > 0.02 { 1.0 } else { 0.0 },
        fans(Fault::CoilFan),
        fans(Fault::CondenserFan),
    ];
    let runs = st.te > s.first + 4.0
        && st.tc < s.first + s.nodes.len() as f64 - 6.0
        && readings.iter().all(|r| r.is_finite());
    (readings, runs)
}

/// Returns the standard deviations of each reading: instrument and place together, swing of an unsteady system included.
#[must_use]
pub fn spread(r: &Readings) -> [f64; 9] {
    [0.006 * r[0] + 4e3, 0.005 * r[1] + 8e3, 0.9, 0.8, 1.5, 0.5, 0.7, 0.5, 0.02 * r[8]]
}

/// Returns readings with the errors of instruments, and eyes that are wrong now and then.
pub fn read(d: &mut Dice, v: &Visit, r: &Readings) -> Readings {
    let mut out = *r;
    for (out, sd) in out.iter_mut().zip(spread(r)) {
        *out += sd * d.normal();
    }
    out[0] += v.offsets[0];
    out[1] += v.offsets[1];
    if d.one() < 0.05 {
        out[9] = 1.0 - out[9];
    }
    for k in [10, 11] {
        if d.one() < 0.03 {
            out[k] = 1.5 - out[k];
        }
    }
    out
}
