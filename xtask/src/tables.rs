//! The tables held against the full model, every refrigerant and curve: worst differences and sizes.

use fluid::{BubblePoint, DewPoint, Fluid, Saturated};
use std::fmt::Write as _;
use units::math::pow;
use units::{
    AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy, Temperature, TemperatureDifference,
};

const FILE: &str = "docs/evidence/tables.md";

/// Points on each curve, and of each side of the grid of superheated vapour.
const POINTS: usize = 201;
const GRID: usize = 31;

const HEAD: &str = "\
# tables

Made by `cargo xtask tables`; `cargo xtask tables --check` makes it anew and compares. No time enters: the same on every
machine.

The tables of saturation and of superheated vapour are made on the device from the full model when first asked for; none
is shipped. Here each is held against the full model: 201 temperatures and 201 pressures on each line, 31 pressures times
31 superheats of vapour. Differences in pressure p, temperature T and density are relative, the largest of bubble and dew
line; h in J/kg, s in J/(kg K). `from` and `to` are the ends of the dew table over the end of the dew line.

| refrigerant | from | to | p | T | density | h | s | kB | vapour: density | h | s | kB |
|---|---|---|---|---|---|---|---|---|---|---|---|---|
";

type Values = (AbsolutePressure, Density, SpecificEnthalpy, SpecificEntropy);

/// The largest differences found.
#[derive(Default)]
struct Worst {
    p: f64,
    t: f64,
    density: f64,
    h: f64,
    s: f64,
}

/// Writes the page, or with `check` compares it with what is committed.
pub fn run(check: bool) -> Result<(), String> {
    let page = page()?;
    if check {
        let have = std::fs::read_to_string(FILE).map_err(|e| format!("{FILE}: {e}"))?;
        return if have == page { Ok(()) } else { Err(format!("{FILE} is not what the tables give")) };
    }
    std::fs::write(FILE, page).map_err(|e| format!("{FILE}: {e}"))
}

fn page() -> Result<String, String> {
    let mut out = HEAD.to_owned();
    let (mut most, mut vapour_most) = (0.0_f64, 0.0_f64);
    for known in refrigerant::all() {
        let fluid = known.fluid();
        let wrong = |why: String| format!("{}: {why}", known.designation());
        let table = fluid.saturation_table().ok_or_else(|| wrong("no saturation table".into()))?;
        let worst = saturation(&fluid).map_err(wrong)?;
        let vapour = vapour(&fluid).map_err(wrong)?;
        let (low, high) = table.temperatures()[1];
        let (end, _) = fluid.critical_point().map_err(|e| wrong(e.to_string()))?;
        let _ = writeln!(
            out,
            "| {} | {:.2} | {:.4} | {:.0e} | {:.0e} | {:.0e} | {:.1} | {:.4} | {:.1} | {:.0e} | {:.1} | {:.3} | {:.1} |",
            known.designation(),
            low.kelvin() / end.kelvin(),
            high.kelvin() / end.kelvin(),
            worst.p,
            worst.t,
            worst.density,
            worst.h,
            worst.s,
            table.bytes() as f64 / 1024.0,
            vapour.density,
            vapour.h,
            vapour.s,
            fluid.vapour_table().map_or(0.0, |t| t.bytes() as f64 / 1024.0)
        );
        most = most.max(worst.p).max(worst.t).max(worst.density);
        vapour_most = vapour_most.max(vapour.density);
    }
    let _ = write!(
        out,
        "\nLargest of all: {most:.1e} of saturation, {vapour_most:.1e} of the vapour's density.\n"
    );
    if most > 1e-5 || vapour_most > 1e-4 {
        return Err(format!("{out}\na table is worse than it says"));
    }
    Ok(out)
}

fn of_bubble(b: &BubblePoint) -> Values {
    (b.pressure, b.density, b.enthalpy, b.entropy)
}

fn of_dew(d: &DewPoint) -> Values {
    (d.pressure, d.density, d.enthalpy, d.entropy)
}

fn saturation(fluid: &Fluid) -> Result<Worst, String> {
    let table = fluid.saturation_table().ok_or("none")?;
    let mut worst = Worst::default();
    for side in 0..2 {
        let (low, high) = table.temperatures()[side];
        for k in 0..POINTS {
            let part = k as f64 / (POINTS - 1) as f64;
            let t = (low.kelvin() + part * (high.kelvin() - low.kelvin())).min(high.kelvin());
            let t = Temperature::from_kelvin(t);
            let (own, full): (Option<Saturated>, Option<Values>) = if side == 0 {
                let full = fluid.bubble_at_temperature(t).ok();
                (table.bubble_at_temperature(t), full.as_ref().map(of_bubble))
            } else {
                (table.dew_at_temperature(t), fluid.dew_at_temperature(t).ok().as_ref().map(of_dew))
            };
            let (Some(own), Some((p, density, h, s))) = (own, full) else {
                return Err(format!("nothing at {} K", t.kelvin()));
            };
            worst.p = worst.p.max((own.pressure.pascal() / p.pascal() - 1.0).abs());
            let off = own.density.kilogram_per_cubic_metre() / density.kilogram_per_cubic_metre() - 1.0;
            worst.density = worst.density.max(off.abs());
            worst.h = worst.h.max((own.enthalpy.joule_per_kilogram() - h.joule_per_kilogram()).abs());
            let off = own.entropy.joule_per_kilogram_kelvin() - s.joule_per_kilogram_kelvin();
            worst.s = worst.s.max(off.abs());
        }
        let (low, high) = table.pressures()[side];
        for k in 0..POINTS {
            let p = between(low, high, k as f64 / (POINTS - 1) as f64);
            let (own, full) = if side == 0 {
                (table.bubble_temperature(p), fluid.bubble_at_pressure(p).map(|b| b.temperature))
            } else {
                (table.dew_temperature(p), fluid.dew_at_pressure(p).map(|d| d.temperature))
            };
            let (Some(own), Ok(full)) = (own, full) else {
                return Err(format!("nothing at {} Pa", p.pascal()));
            };
            worst.t = worst.t.max((own.kelvin() / full.kelvin() - 1.0).abs());
        }
    }
    Ok(worst)
}

fn between(low: AbsolutePressure, high: AbsolutePressure, part: f64) -> AbsolutePressure {
    let p = low.pascal() * pow(high.pascal() / low.pascal(), part);
    AbsolutePressure::from_pascal(p.clamp(low.pascal(), high.pascal()))
}

fn vapour(fluid: &Fluid) -> Result<Worst, String> {
    let table = fluid.vapour_table().ok_or("no vapour table")?;
    let (low, high) = table.pressures();
    let mut worst = Worst::default();
    for k in 0..GRID {
        let p = between(low, high, k as f64 / (GRID - 1) as f64);
        let dew = fluid.dew_at_pressure(p).map_err(|e| e.to_string())?;
        for j in 0..GRID {
            // Closer together near the dew line.
            let part = (j * j) as f64 / ((GRID - 1) * (GRID - 1)) as f64;
            let superheat = table.greatest_superheat().kelvin() * part.max(1e-8);
            let superheat = TemperatureDifference::from_kelvin(superheat);
            let full = fluid.state_at_pressure_temperature(p, dew.temperature + superheat);
            let (Some(own), Ok(full)) = (table.at_superheat(p, superheat), full) else {
                return Err(format!("no vapour at {} Pa, {} K over dew", p.pascal(), superheat.kelvin()));
            };
            let off = own.density.kilogram_per_cubic_metre() / full.density.kilogram_per_cubic_metre() - 1.0;
            worst.density = worst.density.max(off.abs());
            let off = own.enthalpy.joule_per_kilogram() - full.enthalpy.joule_per_kilogram();
            worst.h = worst.h.max(off.abs());
            let off = own.entropy.joule_per_kilogram_kelvin() - full.entropy.joule_per_kilogram_kelvin();
            worst.s = worst.s.max(off.abs());
            for back in [table.at_entropy(p, own.entropy), table.at_enthalpy(p, own.enthalpy)] {
                let off = back.map_or(f64::INFINITY, |b| (b.superheat - superheat).kelvin().abs());
                if off > 1e-7 {
                    return Err(format!(
                        "{} Pa, {} K over dew: not found again",
                        p.pascal(),
                        superheat.kelvin()
                    ));
                }
            }
        }
    }
    Ok(worst)
}
