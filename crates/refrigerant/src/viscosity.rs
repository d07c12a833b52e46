//! The viscosity of the vapour, for leak flow: dilute gas at 25 °C, blends by Herning and Zipperer's rule.

use fluid::Fluid;
use units::math::sqrt;

include!(concat!(env!("OUT_DIR"), "/viscosities.rs"));

/// Returns the viscosity of the dilute vapour at 25 °C in Pa s, or nothing where a component's is not known.
///
/// Good to some 5 % (judgement), which is enough for leak flow; a dense vapour is stiffer, R-404A at 200 psig by 13 %.
///
/// Source: the pure values of `data/transport`; blends by Herning and Zipperer, Gas- und Wasserfach 79
/// (1936) 49 (from memory), checked
/// against the blends of the same file.
#[must_use]
pub fn vapour_viscosity(fluid: &Fluid) -> Option<f64> {
    let x = fluid.mole_fractions();
    let (mut above, mut below) = (0.0, 0.0);
    for (x, component) in x.iter().zip(fluid.components()) {
        let (_, viscosity) = DILUTE_VISCOSITIES.iter().find(|(name, _)| *name == component.name)?;
        let weight = x * sqrt(component.molar_mass);
        above += weight * viscosity;
        below += weight;
    }
    Some(above / below)
}

/// Returns the viscosity of a dilute gas at 25 °C in Pa s by its name in `data/transport`, such as `helium`, which has no
/// equation of state here.
#[must_use]
pub fn gas_viscosity(name: &str) -> Option<f64> {
    DILUTE_VISCOSITIES.iter().find(|(have, _)| *have == name).map(|(_, viscosity)| *viscosity)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_agrees_with_the_blends_of_the_file() {
        for name in ["R-404A", "R-407C", "R-410A", "R-507A"] {
            let by_rule = vapour_viscosity(&crate::find(name).unwrap().fluid()).unwrap();
            let (_, listed) = DILUTE_VISCOSITIES.iter().find(|(have, _)| *have == name).unwrap();
            assert!((by_rule / listed - 1.0).abs() < 0.03, "{name}: {by_rule}, {listed}");
        }
    }

    #[test]
    fn what_has_no_value_has_none() {
        assert!(vapour_viscosity(&crate::nitrogen()).is_some());
        assert!(vapour_viscosity(&crate::find("R-115").unwrap().fluid()).is_none());
    }
}
