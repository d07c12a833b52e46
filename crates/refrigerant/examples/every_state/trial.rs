//! The lines of every refrigerant, and random states through every question and back.

use fluid::{Fluid, FluidError, Phase, State};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use units::math::{exp, ln};
use units::{AbsolutePressure, Density, Fraction, Temperature};

/// How far temperature and density may be from where the round trip began, relative.
const ROUND: f64 = 1e-9;

/// How far the logarithms of a component's fugacities in two phases may be from each other.
const EQUAL: f64 = 1e-10;

/// Drawn states of one composition; its lines are followed once for all of them.
const OF_ONE: u64 = 20;

/// The lowest pressure drawn, in pascal.
const THIN: f64 = 1e3;

/// What went wrong, how often, and where first.
#[derive(Clone, Debug, Default)]
pub struct Faults {
    pub by_kind: BTreeMap<String, (u64, String)>,
}

impl Faults {
    fn add(&mut self, kind: &str, place: impl FnOnce() -> String) {
        self.by_kind.entry(kind.to_owned()).or_insert_with(|| (0, place())).0 += 1;
    }

    fn join(&mut self, other: Self) {
        for (kind, (count, place)) in other.by_kind {
            self.by_kind.entry(kind).or_insert((0, place)).0 += count;
        }
    }

    /// Returns how many there are.
    pub fn count(&self) -> u64 {
        self.by_kind.values().map(|(count, _)| count).sum()
    }
}

/// What the lines showed.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    pub refrigerants: u64,
    pub asked: u64,
    /// Points refused, with proof, since the liquid would separate; the refrigerants and how many of each.
    pub two_liquids: BTreeMap<String, u64>,
    /// Points beyond the highest pressure of their line, where the same pressure belongs to a lower temperature too.
    pub beyond: BTreeMap<String, u64>,
    pub apart: f64,
    pub back: f64,
    pub faults: Faults,
}

/// What the random states of a class showed.
#[derive(Clone, Debug, Default)]
pub struct Class {
    pub name: &'static str,
    pub compositions: u64,
    pub states: u64,
    pub two_phase: u64,
    pub two_liquids: u64,
    pub outside: u64,
    pub trips: u64,
    /// Back but for rounding: the enthalpy and entropy asked for, at a temperature or density further off than [`ROUND`].
    pub rounded: u64,
    pub worst: f64,
    pub apart: f64,
    pub faults: Faults,
}

/// Follows bubble and dew line of every refrigerant at `points` temperatures, each from nothing.
pub fn lines(points: u64) -> Lines {
    let all = refrigerant::all();
    let mut out = Lines::default();
    let half = all.len() / 2;
    let parts = std::thread::scope(|scope| {
        let work = [&all[..half], &all[half..]].map(|part| scope.spawn(move || lines_of(part, points)));
        work.map(|thread| thread.join().expect("a thread that does not panic"))
    });
    for part in parts {
        out.refrigerants += part.refrigerants;
        out.asked += part.asked;
        out.apart = out.apart.max(part.apart);
        out.back = out.back.max(part.back);
        for (all, own) in [(&mut out.two_liquids, part.two_liquids), (&mut out.beyond, part.beyond)] {
            for (name, count) in own {
                *all.entry(name).or_default() += count;
            }
        }
        out.faults.join(part.faults);
    }
    out
}

fn lines_of(refrigerants: &[refrigerant::Refrigerant], points: u64) -> Lines {
    let mut out = Lines::default();
    for known in refrigerants {
        out.refrigerants += 1;
        let fluid = known.fluid();
        let name = known.designation();
        for dew in [false, true] {
            let side = if dew { "dew" } else { "bubble" };
            // The end of this very line: above it the refusal names it.
            let far = Temperature::from_kelvin(3000.0);
            let refused = if dew {
                fluid.dew_at_temperature(far).err()
            } else {
                fluid.bubble_at_temperature(far).err()
            };
            let Some(FluidError::AboveCriticalTemperature { end, .. }) = refused else {
                out.faults.add("no end", || format!("{name} {side}: {refused:?}"));
                continue;
            };
            let end = end.kelvin();
            // A little above the triple point, so that rounding does not make it solid.
            let low = f64::max(213.15, triple(&fluid) * (1.0 + 1e-9));
            let mut last: Option<(f64, f64)> = None;
            for k in 0..points {
                // Nine tenths of the points up to 0.97 of the end, the rest from there towards it.
                let split = points * 9 / 10;
                let t = if k < split {
                    low + (0.97 * end - low) * k as f64 / split as f64
                } else {
                    let q = (k - split) as f64 / (points - split) as f64;
                    end * (1.0 - 0.03 * exp(q * ln(0.002 / 0.03)))
                };
                out.asked += 1;
                let at = Temperature::from_kelvin(t);
                // A fresh fluid: nothing kept from the point before.
                let cold = fluid.with_mass_fractions(&fluid.mass_fractions()).expect("its own fractions");
                let found = if dew {
                    cold.dew_at_temperature(at).map(|d| (d.pressure, d.density, d.incipient, d.slope))
                } else {
                    cold.bubble_at_temperature(at).map(|b| (b.pressure, b.density, b.incipient, b.slope))
                };
                let (p, density, incipient, slope) = match found {
                    Ok(found) => found,
                    Err(FluidError::TwoLiquids) if !dew => {
                        *out.two_liquids.entry(name.to_owned()).or_default() += 1;
                        continue;
                    }
                    Err(error) => {
                        out.faults.add(kind(&error), || {
                            format!("{name} {side} {t} K, {:.4} of the end: {error:?}", t / end)
                        });
                        continue;
                    }
                };
                let falling = !dew && slope < 0.0;
                if let Some((before_t, before)) = last
                    && p.pascal() <= before
                    && !falling
                {
                    out.faults.add("not rising", || format!("{name} {side} {before_t} to {t} K"));
                }
                last = Some((t, p.pascal()));
                let apart =
                    fugacities_apart(&cold, density, &incipient.mass_fractions, incipient.density, at);
                out.apart = out.apart.max(apart);
                if apart.is_nan() || apart > EQUAL {
                    out.faults.add("fugacities apart", || format!("{name} {side} {t} K: {apart:.1e}"));
                }
                let back = if dew {
                    cold.dew_at_pressure(p).map(|d| d.temperature)
                } else {
                    cold.bubble_at_pressure(p).map(|b| b.temperature)
                };
                match back {
                    // The lower temperature, at which the pressure still rises, is the answer by pressure.
                    Ok(back) if falling && back.kelvin() < t => {
                        *out.beyond.entry(name.to_owned()).or_default() += 1;
                        let there = cold.bubble_at_temperature(back).map(|b| (b.pressure.pascal(), b.slope));
                        if !there
                            .is_ok_and(|(own, slope)| slope > 0.0 && (own / p.pascal() - 1.0).abs() < ROUND)
                        {
                            out.faults
                                .add("not back by pressure", || format!("{name} {side} {t} K, falling"));
                        }
                    }
                    Ok(back) => {
                        let off = (back.kelvin() / t - 1.0).abs();
                        out.back = out.back.max(off);
                        if off > ROUND {
                            out.faults.add("not back by pressure", || {
                                format!("{name} {side} {t} K, {:.4} of the end: {off:.1e}", t / end)
                            });
                        }
                    }
                    Err(error) => out.faults.add("refused by pressure", || {
                        format!("{name} {side} {t} K, {:.4} of the end: {error:?}", t / end)
                    }),
                }
            }
        }
    }
    out
}

fn triple(fluid: &Fluid) -> f64 {
    fluid.mole_fractions().iter().zip(fluid.components()).map(|(x, c)| x * c.triple_point).sum()
}

fn kind(error: &FluidError) -> &'static str {
    match error {
        FluidError::NotANumber => "not a number",
        FluidError::Solid { .. } => "solid",
        FluidError::BelowTriplePressure { .. } => "below the triple pressure",
        FluidError::AboveCriticalTemperature { .. } => "above the critical temperature",
        FluidError::AboveCriticalPressure { .. } => "above the critical pressure",
        FluidError::TooHot { .. } => "too hot",
        FluidError::PressureTooHigh { .. } => "pressure too high",
        FluidError::QualityOutOfRange { .. } => "quality out of range",
        FluidError::TwoLiquids => "two liquids",
        FluidError::Unstable => "unstable",
        FluidError::NotConverged => "not converged",
    }
}

/// Returns the largest difference of ln(fugacity) between the fluid and another phase of its components.
fn fugacities_apart(
    fluid: &Fluid,
    density: Density,
    other: &[f64],
    other_density: Density,
    t: Temperature,
) -> f64 {
    let Ok(second) = fluid.with_mass_fractions(other) else { return f64::NAN };
    let (a, b) = (fluid.ln_fugacities(density, t), second.ln_fugacities(other_density, t));
    // A component of which next to nothing is left is dropped when the fluid is made anew.
    a.iter()
        .zip(&b)
        .filter(|(a, b)| a.is_finite() && b.is_finite())
        .map(|(a, b)| (a - b).abs())
        .fold(0.0, f64::max)
}

const CLASSES: [&str; 5] =
    ["pure", "blends with hydrocarbons", "blends with olefins", "blends with chlorine", "other blends"];

fn class_of(known: &refrigerant::Refrigerant) -> &'static str {
    let parts: Vec<&str> = known.composition().iter().map(|(name, _)| *name).collect();
    let any = |names: &[&str]| parts.iter().any(|part| names.contains(part));
    if parts.len() == 1 {
        CLASSES[0]
    } else if any(&["R-170", "R-290", "R-600", "R-600a", "R-601", "R-601a", "R-1270"]) {
        CLASSES[1]
    } else if parts.iter().any(|part| {
        part.starts_with("R-1")
            && part.trim_start_matches("R-").chars().take_while(char::is_ascii_digit).count() == 4
    }) {
        CLASSES[2]
    } else if any(&[
        "R-12", "R-22", "R-115", "R-124", "R-142b", "R-21", "R-141b", "R-123", "R-13", "R-11", "R-114",
    ]) {
        CLASSES[3]
    } else {
        CLASSES[4]
    }
}

fn uniform(draw: &mut ChaCha8Rng) -> f64 {
    (draw.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

/// Draws `states` states of every class and takes each through every question and back.
pub fn states(states: u64, seed: u64) -> Vec<Class> {
    CLASSES
        .iter()
        .enumerate()
        .map(|(number, name)| {
            let list: Vec<&refrigerant::Refrigerant> =
                refrigerant::all().iter().filter(|known| class_of(known) == *name).collect();
            let list = &list;
            let batches = states.div_ceil(OF_ONE);
            let mut out = Class { name, ..Class::default() };
            let parts = std::thread::scope(|scope| {
                let work = [0, 1].map(|half| {
                    scope.spawn(move || {
                        let mut part = Class { name, ..Class::default() };
                        for batch in (0..batches).filter(|batch| batch % 2 == half) {
                            // Every batch from a seed of its own: the number of threads decides nothing.
                            let own = seed ^ (batch << 8) ^ (number as u64);
                            let mut draw = ChaCha8Rng::seed_from_u64(own);
                            of_one(list, &mut draw, &mut part);
                        }
                        part
                    })
                });
                work.map(|thread| thread.join().expect("a thread that does not panic"))
            });
            for part in parts {
                out.compositions += part.compositions;
                out.states += part.states;
                out.two_phase += part.two_phase;
                out.two_liquids += part.two_liquids;
                out.outside += part.outside;
                out.trips += part.trips;
                out.rounded += part.rounded;
                out.worst = out.worst.max(part.worst);
                out.apart = out.apart.max(part.apart);
                out.faults.join(part.faults);
            }
            out
        })
        .collect()
}

/// Draws a composition and its states.
fn of_one(list: &[&refrigerant::Refrigerant], draw: &mut ChaCha8Rng, out: &mut Class) {
    let known = list[((uniform(draw) * list.len() as f64) as usize).min(list.len() - 1)];
    let whole = known.fluid();
    // A Dirichlet distribution with all parameters one: exponential numbers over their sum.
    let parts: Vec<f64> = whole.components().iter().map(|_| -ln(1.0 - uniform(draw))).collect();
    let sum: f64 = parts.iter().sum();
    let fractions: Vec<f64> = parts.iter().map(|part| part / sum).collect();
    let Ok(fluid) = whole.with_mass_fractions(&fractions) else { return };
    out.compositions += 1;
    let place = |what: &str| format!("{} {fractions:?} {what}", known.designation());
    let (critical, end_p) = match (fluid.critical_point(), fluid.two_phase_end()) {
        (Ok((t, _)), Ok((_, p))) => (t.kelvin(), p.pascal()),
        (a, b) => {
            out.faults.add("no critical point", || place(&format!("{a:?} {b:?}")));
            return;
        }
    };
    let low = f64::max(0.35 * critical, triple(&fluid) * (1.0 + 1e-9));
    let limit = 0.8 * fluid.components().iter().map(|c| c.highest_pressure).fold(f64::INFINITY, f64::min);
    for number in 0..OF_ONE {
        out.states += 1;
        let (a, b, c) = (uniform(draw), uniform(draw), uniform(draw));
        let t = low + (1.5 * critical - low) * a;
        // Pressures even in their logarithm; every fourth state has two phases by its vapour's share.
        let p = THIN * exp(ln(limit / THIN) * b);
        let two = number % 4 == 3;
        let p = if two { THIN * exp(ln(0.98 * end_p / THIN) * b) } else { p };
        let pressure = AbsolutePressure::from_pascal(p);
        let what = || if two { format!("{p} Pa, share {c}") } else { format!("{p} Pa {t} K") };
        let state = if two {
            fluid.state_at_pressure_quality(pressure, Fraction::from_ratio(c))
        } else {
            fluid.state_at_pressure_temperature(pressure, Temperature::from_kelvin(t))
        };
        match state {
            Ok(state) => back(&fluid, &state, out, &|w| place(&format!("{}: {w}", what()))),
            Err(FluidError::TwoLiquids) => out.two_liquids += 1,
            // No two phases at this pressure: colder than the triple point, or above the lines.
            Err(
                FluidError::BelowTriplePressure { .. }
                | FluidError::AboveCriticalPressure { .. }
                | FluidError::Solid { .. },
            ) if two => out.outside += 1,
            Err(error) => out.faults.add(
                &format!(
                    "{} by {}",
                    kind(&error),
                    if two { "pressure and share" } else { "pressure and temperature" }
                ),
                || place(&what()),
            ),
        }
    }
}

/// Takes a state through every question that leads back to it.
fn back(fluid: &Fluid, state: &State, out: &mut Class, place: &dyn Fn(&str) -> String) {
    let (p, t, h, s) = (state.pressure, state.temperature, state.enthalpy, state.entropy);
    if state.phase == Phase::TwoPhase {
        out.two_phase += 1;
        if let Some(parts) = &state.parts {
            let [liquid, vapour] = parts.as_ref();
            let apart = fluid.with_mass_fractions(&liquid.mass_fractions).map_or(f64::NAN, |l| {
                fugacities_apart(&l, liquid.density, &vapour.mass_fractions, vapour.density, t)
            });
            out.apart = out.apart.max(apart);
            if apart.is_nan() || apart > EQUAL {
                out.faults.add("fugacities apart", || place(&format!("{apart:.1e}")));
            }
            let separates = fluid
                .with_mass_fractions(&liquid.mass_fractions)
                .is_ok_and(|l| l.would_separate(liquid.density, t));
            if separates {
                out.faults.add("two phases whose liquid would separate", || place(&format!("{t:?}")));
            }
        }
    } else {
        if fluid.would_separate(state.density, t) {
            out.faults.add("one phase that would separate", || place(&format!("{:?}", state.phase)));
        }
    }
    let mut trips = vec![
        ("pressure and enthalpy", fluid.state_at_pressure_enthalpy(p, h)),
        ("pressure and entropy", fluid.state_at_pressure_entropy(p, s)),
        ("temperature and entropy", fluid.state_at_temperature_entropy(t, s)),
        ("enthalpy and entropy", fluid.state_at_enthalpy_entropy(h, s)),
    ];
    if state.phase == Phase::TwoPhase {
        let q = state.quality.unwrap_or(Fraction::from_ratio(0.0));
        trips.push(("pressure and share", fluid.state_at_pressure_quality(p, q)));
        // Above the critical temperature two pressures may have one share.
        if fluid.critical_point().is_ok_and(|(critical, _)| t < critical) {
            trips.push(("temperature and share", fluid.state_at_temperature_quality(t, q)));
        }
        if !fluid.is_pure() {
            trips.push(("pressure and temperature", fluid.state_at_pressure_temperature(p, t)));
        }
    } else {
        trips.push(("density and temperature", fluid.state_at_density_temperature(state.density, t)));
    }
    for (name, found) in trips {
        out.trips += 1;
        match found {
            Ok(found) => {
                let off_t = (found.temperature.kelvin() / t.kelvin() - 1.0).abs();
                let density = |state: &State| state.density.kilogram_per_cubic_metre();
                let off = off_t.max((density(&found) / density(state) - 1.0).abs());
                let phases = (found.phase == Phase::TwoPhase) == (state.phase == Phase::TwoPhase);
                let by_rounding = match name {
                    "enthalpy and entropy" => off < 1e-5 && same_but_rounding(&found, state),
                    "pressure and enthalpy" | "pressure and entropy" | "temperature and entropy" => {
                        off < 1e-8 && phases && same_but_rounding(&found, state)
                    }
                    "pressure and temperature" => off < 1e-2 && boils_at(fluid, &found),
                    _ => false,
                };
                if off > ROUND && phases && by_rounding {
                    out.rounded += 1;
                    continue;
                }
                if off.is_nan() || off > ROUND || !phases {
                    let far = if off > 1e-4 { "elsewhere" } else { "not back" };
                    out.faults.add(&format!("{far} by {name}"), || {
                        place(&format!(
                            "{:?} {off:.1e}, was {} kg/m3 {} K, is {:?} {} kg/m3 {} K {} Pa",
                            state.phase,
                            density(state),
                            t.kelvin(),
                            found.phase,
                            density(&found),
                            found.temperature.kelvin(),
                            found.pressure.pascal()
                        ))
                    });
                } else {
                    out.worst = out.worst.max(off);
                }
            }
            Err(error) => out.faults.add(&format!("{} by {name}", kind(&error)), || {
                place(&format!(
                    "{:?} {} kg/m3 {} K {error:?}",
                    state.phase,
                    state.density.kilogram_per_cubic_metre(),
                    t.kelvin()
                ))
            }),
        }
    }
}

/// Returns whether two phases found by pressure and temperature boil at that temperature but for rounding.
///
/// An azeotrope boils at one temperature whatever its share: there pressure and temperature do not tell the density. The
/// equations themselves round by some 1e-14, in the cold by 1e-12.
fn boils_at(fluid: &Fluid, found: &State) -> bool {
    found.quality.is_some_and(|q| {
        fluid
            .state_at_pressure_quality(found.pressure, q)
            .is_ok_and(|there| (there.temperature.kelvin() / found.temperature.kelvin() - 1.0).abs() < 1e-12)
    })
}

/// Returns whether a state has the enthalpy and entropy of another but for rounding of the equations themselves.
///
/// In the coldest liquids terms of opposite sign leave 12 of 16 digits; at a low pressure its share of the enthalpy is
/// smaller than that.
fn same_but_rounding(a: &State, b: &State) -> bool {
    let (h, s) =
        (|s: &State| s.enthalpy.joule_per_kilogram(), |s: &State| s.entropy.joule_per_kilogram_kelvin());
    let t = b.temperature.kelvin();
    (h(a) - h(b)).abs() < 2e-12 * (h(b).abs() + t * s(b).abs())
        && (s(a) - s(b)).abs() < 2e-12 * (s(b).abs() + h(b).abs() / t)
}

/// Returns whether nothing went wrong.
pub fn holds(lines: &Lines, classes: &[Class]) -> bool {
    lines.faults.count() == 0 && classes.iter().all(|class| class.faults.count() == 0)
}

/// Returns what was found as the body of a page.
pub fn table(lines: &Lines, classes: &[Class], states: u64) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "## Lines\n\n{} refrigerants, bubble and dew line, from the higher of -60 °C and the triple point: nine tenths of the \
         temperatures up to 0.97 of the line's end, the rest to 0.998 of it. Every point from nothing.\n\n\
         | points | failures | fugacities apart, at most | back by pressure, at most |\n|---|---|---|---|\n| {} | {} | {:.0e} | {:.0e} |\n",
        lines.refrigerants,
        lines.asked,
        lines.faults.count(),
        lines.apart,
        lines.back
    );
    faults(&mut out, "lines", &lines.faults);
    let named = |counts: &BTreeMap<String, u64>| {
        counts.iter().map(|(name, count)| format!("{name} ({count})")).collect::<Vec<_>>().join(", ")
    };
    if !lines.two_liquids.is_empty() {
        let _ = writeln!(
            out,
            "Refused on the bubble line, since by the equations the liquid separates: {}.\n",
            named(&lines.two_liquids)
        );
    }
    if !lines.beyond.is_empty() {
        let _ = writeln!(
            out,
            "Beyond the highest pressure of the bubble line, where by pressure the lower of two temperatures is the answer: \
             {}.\n",
            named(&lines.beyond)
        );
    }
    let _ = writeln!(
        out,
        "## States\n\n{states} states of every class: a refrigerant drawn, its composition from a Dirichlet distribution with \
         all parameters one, T evenly from the higher of triple point and 0.35 of the critical temperature to 1.5 of it, p evenly in its logarithm from \
         1 kPa to 0.8 of the highest pressure of the equations; every fourth by pressure and vapour's share. Each state is then \
         asked for by p and h, p and s, T and s, h and s, and by density and T or vapour's share; temperature and density must come \
         back within 1e-9. A single phase must not have a better one beside it (tangent plane).\n\n\
         | class | compositions | states | two phases | two liquids | outside | trips | rounding | failures | worst of those back | fugacities apart |\n|---|---|---|---|---|---|---|---|---|---|---|"
    );
    for c in classes {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} | {} | {} | {} | {} | {:.0e} | {:.0e} |",
            c.name,
            c.compositions,
            c.states,
            c.two_phase,
            c.two_liquids,
            c.outside,
            c.trips,
            c.rounded,
            c.faults.count(),
            c.worst,
            c.apart
        );
    }
    out.push_str(
        "\nTwo liquids: refused, with proof, since the equations let the liquid separate. Outside: no two phases at the pressure \
         drawn, since they would be solid or the pressure lies above the lines. Rounding: the state found has the \
         enthalpy and entropy asked for to 2e-12 (next to no vapour fills most of the room, so that a thirteenth digit of h moves \
         the density by more than 1e-9), or that of an azeotrope found by p and T boils at T to 1e-12, but lies \
         further off than 1e-9, since the equations themselves round.\n\n",
    );
    for c in classes {
        faults(&mut out, c.name, &c.faults);
    }
    out
}

fn faults(out: &mut String, name: &str, faults: &Faults) {
    if faults.count() == 0 {
        return;
    }
    let _ = writeln!(out, "### Failures: {name}\n");
    for (kind, (count, place)) in &faults.by_kind {
        let _ = writeln!(out, "- {count} × {kind}; first {place}");
    }
    out.push('\n');
}

/// Returns what was found as JSON.
pub fn json(lines: &Lines, classes: &[Class], states: u64, seed: u64) -> String {
    let mut out = format!(
        "{{\"seed\": {seed}, \"states\": {states}, \"lines\": {{\"points\": {}, \"failures\": {}, \"ln_fugacity_apart\": {:e}, \"back_relative\": {:e}}}, \"classes\": [",
        lines.asked,
        lines.faults.count(),
        lines.apart,
        lines.back
    );
    for (place, c) in classes.iter().enumerate() {
        let _ = write!(
            out,
            "{}{{\"class\": {:?}, \"compositions\": {}, \"states\": {}, \"two_phase\": {}, \"two_liquids\": {}, \"outside\": {}, \"trips\": {}, \"failures\": {}, \"worst_relative\": {:e}, \"ln_fugacity_apart\": {:e}}}",
            if place > 0 { ", " } else { "" },
            c.name,
            c.compositions,
            c.states,
            c.two_phase,
            c.two_liquids,
            c.outside,
            c.trips,
            c.faults.count(),
            c.worst,
            c.apart
        );
    }
    out.push_str("]}");
    out
}
