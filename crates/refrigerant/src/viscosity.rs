//! The viscosity of the vapour, for leak flow: dilute gas at 25 °C, blends by Wilke's rule.

use fluid::Fluid;
use units::math::{pow, sqrt};

include!(concat!(env!("OUT_DIR"), "/viscosities.rs"));

/// Returns the viscosity of the dilute vapour at 25 °C in Pa s, or nothing where a component's is not known.
///
/// Good to some 5 % (judgement), which is enough for leak flow; a dense vapour is stiffer, R-404A at 200 psig by 13 %.
///
/// Source: the pure values of `data/transport`; blends by Wilke, J. Chem. Phys. 18 (1950) 517 (from memory), checked
/// against the blends of the same file.
#[must_use]
pub fn vapour_viscosity(fluid: &Fluid) -> Option<f64> {
    let x = fluid.mole_fractions();
    let mut parts = Vec::with_capacity(x.len());
    for component in fluid.components() {
        let (_, viscosity) = DILUTE_VISCOSITIES.iter().find(|(name, _)| *name == component.name)?;
        parts.push((*viscosity, component.molar_mass));
    }
    let mut sum = 0.0;
    for (i, (eta_i, m_i)) in parts.iter().enumerate() {
        let mut weight = 0.0;
        for (j, (eta_j, m_j)) in parts.iter().enumerate() {
            let top = 1.0 + sqrt(eta_i / eta_j) * pow(m_j / m_i, 0.25);
            weight += x[j] * top * top / sqrt(8.0 * (1.0 + m_i / m_j));
        }
        sum += x[i] * eta_i / weight;
    }
    Some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wilke_agrees_with_the_blends_of_the_file() {
        for name in ["R-404A", "R-407C", "R-410A", "R-507A"] {
            let wilke = vapour_viscosity(&crate::find(name).unwrap().fluid()).unwrap();
            let (_, listed) = DILUTE_VISCOSITIES.iter().find(|(have, _)| *have == name).unwrap();
            assert!((wilke / listed - 1.0).abs() < 0.05, "{name}: {wilke}, {listed}");
        }
    }

    #[test]
    fn what_has_no_value_has_none() {
        assert!(vapour_viscosity(&crate::nitrogen()).is_some());
        assert!(vapour_viscosity(&crate::find("R-115").unwrap().fluid()).is_none());
    }
}
