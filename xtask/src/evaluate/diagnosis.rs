//! Faults of invented systems: how often the diagnosis names them, and how honestly.

mod cases;
mod draws;
mod score;
mod signs;
pub mod truth;

use cycle::{Head, System, Table};
use diagnosis::fault::Plate;
use fault_trial::{Built, Node, Substance};
use units::Temperature;

/// A trial's table.
pub struct Trial {
    /// As text.
    pub text: String,
    /// As JSON.
    pub json: String,
    /// Whether every limit holds.
    pub holds: bool,
}

const REFRIGERANTS: [&str; 3] = ["R-404A", "R-448A", "R-134a"];

fn substance(name: &str) -> Result<(Substance, Table), String> {
    let fluid = refrigerant::find(name).ok_or_else(|| format!("{name} is not known"))?.fluid();
    let mut nodes = Vec::new();
    let first = 218.15;
    for k in 0..122 {
        let t = Temperature::from_kelvin(first + f64::from(k));
        let (Ok(dew), Ok(bubble)) = (fluid.dew_at_temperature(t), fluid.bubble_at_temperature(t)) else {
            break;
        };
        nodes.push(Node {
            dew: dew.pressure.pascal(),
            bubble: bubble.pressure.pascal(),
            liquid: bubble.enthalpy.joule_per_kilogram(),
            vapour: dew.enthalpy.joule_per_kilogram(),
            liquid_density: bubble.density.kilogram_per_cubic_metre(),
            vapour_density: dew.density.kilogram_per_cubic_metre(),
        });
    }
    let table = Table::new(&fluid).map_err(|e| format!("{name}: {e}"))?;
    Ok((Substance { first, nodes }, table))
}

/// What a nameplate and a look at the plant tell of it; laws and levels are the model's own.
fn nameplate(table: &Table, b: &Built) -> System {
    let plate = Plate {
        capacity: 6000.0 * b.size,
        evaporating: if b.freezer { 246.0 } else { 267.0 },
        condensing: 313.0,
        coil_difference: 8.3,
        split: 10.0,
        superheat: 6.0,
        head: [Head::Free, Head::Flooding(b.set), Head::Fans(b.set)][usize::from(b.head)],
        receiver: b.receiver.then_some(0.014 * b.size),
        charge: b.receiver.then_some(12.0 * b.size),
    };
    plate.system(table)
}

/// Returns the trial of `cases` systems; the cases themselves are written to `dump` where it is given.
pub fn trial(cases: usize, seed: u64, dump: Option<&str>) -> Result<Trial, String> {
    let set: Vec<_> = REFRIGERANTS.iter().map(|name| substance(name)).collect::<Result<_, _>>()?;
    let (healthy, _) = cases::drawn((cases / 8).max(60), seed ^ 0x5eed, &set, true);
    let (all, stopped) = cases::drawn(cases, seed, &set, false);
    if let Some(path) = dump {
        let text = score::dump(&healthy, true) + &score::dump(&all, false);
        std::fs::write(path, text).map_err(|e| format!("{path}: {e}"))?;
    }
    Ok(score::table(&all, &healthy, stopped, seed))
}

/// Returns `count` draws of the model itself, one a line as JSON, for a learner to be trained on.
pub fn draws(count: usize, seed: u64) -> Result<String, String> {
    let set: Vec<_> = REFRIGERANTS.iter().map(|name| substance(name)).collect::<Result<_, _>>()?;
    Ok(draws::drawn(count, seed, &set))
}

#[cfg(test)]
mod tests {
    use super::*;
    use diagnosis::fault::Fault;

    /// A small sample with its seed, so that a collapse shows in the gate; the figures that count are in the evidence.
    #[test]
    fn a_small_sample_is_mostly_named_and_its_chances_sum_to_one() -> Result<(), String> {
        let set = vec![substance("R-404A")?];
        let (all, _) = cases::drawn(30, 11, &set, false);
        let seen: Vec<_> = all.iter().filter(|c| c.visible).collect();
        let named = seen.iter().filter(|c| c.is(c.said.ranked()[0].0)).count();
        let touched = seen.iter().filter(|c| c.touches(c.said.ranked()[0].0)).count();
        println!("{named} and {touched} of {}", seen.len());
        assert!(2 * named > seen.len(), "{named} of {}", seen.len());
        assert!(
            seen.iter().any(|c| c.truth == [Fault::None]) && seen.iter().any(|c| c.truth != [Fault::None])
        );
        for case in &all {
            assert!((case.said.chances.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            assert!(case.said.charge.1.is_none_or(|high| high >= case.said.charge.0));
        }
        Ok(())
    }
}
