//! A fluid of given composition, and what can be asked of it.

use crate::coefficients::{Component, Pair};
use crate::envelope::Envelope;
use crate::error::{CompositionError, FluidError};
use crate::miscible::{self, MixesAbove, PRESSED};
use crate::model::{MOST, Model, Whole};
use crate::table::SaturationTable;
use crate::vapour::VapourTable;
use std::sync::{Arc, OnceLock};

/// A fluid: its components, the parameters of their pairs, and one composition.
///
/// Cheap to clone. What depends on the composition alone (reference state, end of the two-phase region) is computed when
/// first needed and shared by the clones.
#[derive(Clone, Debug)]
pub struct Fluid {
    pub(crate) inner: Arc<Inner>,
}

#[derive(Debug)]
pub(crate) struct Inner {
    /// Every component named, in the order given.
    all: Vec<Component>,
    /// Pairs of all components, row by row.
    pairs: Vec<Pair>,
    /// Mole fractions of all components.
    mole_fractions: Vec<f64>,
    /// Where the components that are present stand in `all`.
    present: Vec<usize>,
    /// The components that are present.
    pub model: Model,
    /// Their mole fractions.
    pub x: Vec<f64>,
    whole: OnceLock<Whole>,
    pub molar_mass: f64,
    pub triple_point: f64,
    pub highest_temperature: f64,
    /// Part of this the hottest state still answered has; not below any component's critical temperature.
    pub hottest: f64,
    pub highest_pressure: f64,
    /// Above which temperature its liquids mix; shared by all compositions.
    mixes_above: Arc<MixesAbove>,
    pub reference: OnceLock<Result<Reference, FluidError>>,
    pub envelope: OnceLock<Option<Envelope>>,
    pub saturation_table: OnceLock<Option<SaturationTable>>,
    pub vapour_table: OnceLock<Option<VapourTable>>,
}

/// The state at which enthalpy and entropy take their agreed values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReferenceState {
    /// Saturated liquid at 0 °C: 200 kJ/kg and 1 kJ/(kg K), after the International Institute of Refrigeration.
    ///
    /// Where by the equations that liquid would separate into two, as if it could not.
    ZeroCelsius,
    /// Saturated liquid at 101325 Pa: 0 and 0, for a fluid that is no liquid at 0 °C.
    NormalBoilingPoint,
}

/// What to add to the molar enthalpy and entropy of the equations.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reference {
    pub state: ReferenceState,
    pub enthalpy: f64,
    pub entropy: f64,
}

impl Fluid {
    /// Returns the pure fluid of `component`.
    #[must_use]
    pub fn pure(component: Component) -> Self {
        Self::build(vec![component], Vec::new(), vec![1.0], Arc::default())
    }

    /// Returns the mixture of `components` with the given mass fractions; `pair(i, j)` gives the parameters for i < j.
    ///
    /// # Errors
    /// [`CompositionError`] if the fractions do not sum to one, or there are too many components.
    pub fn mixture(
        components: &[Component],
        mass_fractions: &[f64],
        pair: impl Fn(usize, usize) -> Pair,
    ) -> Result<Self, CompositionError> {
        let n = components.len();
        if n == 0 || n > MOST {
            return Err(CompositionError::TooMany { given: n, most: MOST });
        }
        let mut pairs = vec![Pair::ESTIMATED; n * n];
        for i in 0..n {
            for j in i + 1..n {
                let given = pair(i, j);
                pairs[i * n + j] = given;
                pairs[j * n + i] = given.reversed();
            }
        }
        let x = mole_fractions(components, mass_fractions)?;
        Ok(Self::build(components.to_vec(), pairs, x, Arc::default()))
    }

    fn build(
        all: Vec<Component>,
        pairs: Vec<Pair>,
        mole_fractions: Vec<f64>,
        mixes_above: Arc<MixesAbove>,
    ) -> Self {
        let count = all.len();
        let present: Vec<usize> = (0..count).filter(|i| mole_fractions[*i] > 0.0).collect();
        let components: Vec<Component> = present.iter().map(|i| all[*i]).collect();
        let x: Vec<f64> = present.iter().map(|i| mole_fractions[*i]).collect();
        let sum =
            |of: fn(&Component) -> f64| -> f64 { components.iter().zip(&x).map(|(c, x)| x * of(c)).sum() };
        let molar_mass = sum(|c| c.molar_mass);
        let triple_point = sum(|c| c.triple_point);
        let highest_temperature =
            components.iter().map(|c| c.highest_temperature).fold(f64::INFINITY, f64::min);
        let hottest = components.iter().map(|c| c.critical_temperature).fold(highest_temperature, f64::max);
        let highest_pressure = components.iter().map(|c| c.highest_pressure).fold(f64::INFINITY, f64::min);
        let model = Model::new(components, |i, j| pairs[present[i] * count + present[j]]);
        let inner = Inner {
            all,
            pairs,
            mole_fractions,
            present,
            model,
            x,
            whole: OnceLock::new(),
            molar_mass,
            triple_point,
            highest_temperature,
            hottest,
            highest_pressure,
            mixes_above,
            reference: OnceLock::new(),
            envelope: OnceLock::new(),
            saturation_table: OnceLock::new(),
            vapour_table: OnceLock::new(),
        };
        Self { inner: Arc::new(inner) }
    }

    /// Returns the same components with other mass fractions.
    ///
    /// # Errors
    /// [`CompositionError`] if the fractions do not fit the components or do not sum to one.
    pub fn with_mass_fractions(&self, mass_fractions: &[f64]) -> Result<Self, CompositionError> {
        let x = mole_fractions(&self.inner.all, mass_fractions)?;
        Ok(Self::build(self.inner.all.clone(), self.inner.pairs.clone(), x, self.inner.mixes_above.clone()))
    }

    /// Returns the model at this composition.
    pub(crate) fn whole(&self) -> &Whole {
        let inner = &self.inner;
        inner.whole.get_or_init(|| inner.model.whole(&inner.x))
    }

    /// Returns the molar mass in kilogram per mole.
    #[must_use]
    pub fn molar_mass(&self) -> f64 {
        self.inner.molar_mass
    }

    /// Returns the components, in the order in which fractions are given, those of fraction zero included.
    #[must_use]
    pub fn components(&self) -> &[Component] {
        &self.inner.all
    }

    /// Returns the mole fractions.
    #[must_use]
    pub fn mole_fractions(&self) -> &[f64] {
        &self.inner.mole_fractions
    }

    /// Returns the mass fractions.
    #[must_use]
    pub fn mass_fractions(&self) -> Vec<f64> {
        let inner = &self.inner;
        inner
            .all
            .iter()
            .zip(&inner.mole_fractions)
            .map(|(c, x)| x * c.molar_mass / inner.molar_mass)
            .collect()
    }

    /// Returns whether liquids of these components may separate at a temperature, near where they boil.
    pub(crate) fn may_separate(&self, t: f64) -> bool {
        let inner = &self.inner;
        let count = inner.all.len();
        let above = || miscible::mixes_above(&inner.all, |i, j| inner.pairs[i * count + j]);
        !self.is_pure() && t < *inner.mixes_above.boiling.get_or_init(above)
    }

    /// Returns whether liquids of these components may separate at a temperature and a pressure.
    pub(crate) fn may_separate_at(&self, t: f64, p: f64) -> bool {
        if self.may_separate(t) || self.is_pure() || p <= PRESSED {
            return self.may_separate(t);
        }
        let inner = &self.inner;
        let count = inner.all.len();
        let above = || miscible::mixes_above_pressed(&inner.all, |i, j| inner.pairs[i * count + j]);
        t < *inner.mixes_above.pressed.get_or_init(above)
    }

    /// Returns the mass fractions, over all components, of amounts of the components that are present.
    pub(crate) fn spread_mass_fractions(&self, amounts: &[f64]) -> Vec<f64> {
        let inner = &self.inner;
        let mut out = vec![0.0; inner.all.len()];
        let mut total = 0.0;
        for (k, i) in inner.present.iter().enumerate() {
            out[*i] = amounts[k] * inner.all[*i].molar_mass;
            total += out[*i];
        }
        for value in &mut out {
            *value /= total;
        }
        out
    }

    /// Returns whether there is only one component.
    #[must_use]
    pub fn is_pure(&self) -> bool {
        self.inner.present.len() == 1
    }
}

fn mole_fractions(components: &[Component], mass_fractions: &[f64]) -> Result<Vec<f64>, CompositionError> {
    if mass_fractions.len() != components.len() {
        return Err(CompositionError::Count { given: mass_fractions.len(), needed: components.len() });
    }
    for (component, given) in mass_fractions.iter().enumerate() {
        if !given.is_finite() || *given < 0.0 {
            return Err(CompositionError::Negative { component, given: *given });
        }
    }
    let sum: f64 = mass_fractions.iter().sum();
    if (sum - 1.0).abs() > 1e-6 {
        return Err(CompositionError::Sum { given: sum });
    }
    // A fraction too small to be told from zero is zero: its logarithm would outrun everything else.
    let moles: Vec<f64> = components
        .iter()
        .zip(mass_fractions)
        .map(|(c, w)| if *w < 1e-14 { 0.0 } else { w / c.molar_mass })
        .collect();
    let total: f64 = moles.iter().sum();
    Ok(moles.iter().map(|n| n / total).collect())
}
