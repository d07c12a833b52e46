//! The refrigerants by name.

use crate::known::{BLEND_SOURCES, BLENDS, COMPONENTS, Fit, Grade, PairSource, Sources, pair};
use crate::name;
use fluid::{CompositionError, Fluid};
use std::sync::OnceLock;
use units::Temperature;

/// A refrigerant: its designation, composition, and where its properties come from.
#[derive(Debug)]
pub struct Refrigerant {
    designation: &'static str,
    /// Places among the known components.
    components: Vec<usize>,
    composition: Vec<(&'static str, f64)>,
    /// Place among the sources of compositions; nothing for a pure refrigerant.
    composition_source: Option<usize>,
    /// Bubble and dew temperature at 101.325 kPa in °C, as designated.
    designated: Option<(f64, Option<f64>)>,
    fluid: OnceLock<Fluid>,
}

/// The bubble and dew temperature of a blend at 101.325 kPa, as tables of designations list them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Designated {
    /// Where the liquid begins to boil.
    pub bubble: Temperature,
    /// Where the vapour begins to condense; absent where one temperature stands for both.
    pub dew: Option<Temperature>,
}

/// Why a blend cannot be made.
#[derive(Clone, Debug, PartialEq)]
pub enum BlendError {
    /// No component has this name.
    UnknownComponent {
        /// Which of the given parts.
        part: usize,
        /// Names that come near.
        near: Vec<&'static str>,
    },
    /// A component is given twice.
    Twice {
        /// The component.
        component: &'static str,
    },
    /// The fractions are refused.
    Composition(CompositionError),
}

impl core::fmt::Display for BlendError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl core::error::Error for BlendError {}

/// Returns every refrigerant, pure ones and blends, in the order of their designations.
#[must_use]
pub fn all() -> &'static [Refrigerant] {
    static ALL: OnceLock<Vec<Refrigerant>> = OnceLock::new();
    ALL.get_or_init(|| {
        let pure = COMPONENTS.iter().enumerate().filter(|(_, c)| c.component.name.starts_with("R-")).map(
            |(place, c)| Refrigerant {
                designation: c.component.name,
                components: vec![place],
                composition: vec![(c.component.name, 1.0)],
                composition_source: None,
                designated: None,
                fluid: OnceLock::new(),
            },
        );
        let blends = BLENDS.iter().map(|b| Refrigerant {
            designation: b.designation,
            components: b.components.to_vec(),
            composition: b.composition.to_vec(),
            composition_source: Some(b.source),
            designated: b.designated,
            fluid: OnceLock::new(),
        });
        let mut list: Vec<Refrigerant> = pure.chain(blends).collect();
        list.sort_by_key(|r| order(r.designation));
        list
    })
}

/// The number of a designation, then its letters.
fn order(designation: &'static str) -> (u32, &'static str) {
    let digits = designation.trim_start_matches("R-");
    let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    (digits[..end].parse().unwrap_or(u32::MAX), &digits[end..])
}

/// Returns the refrigerant of this name: `R-404A`, `R404A`, `404a`, `r 404a`, `propane`.
#[must_use]
pub fn find(name: &str) -> Option<&'static Refrigerant> {
    let wanted = name::plain(name);
    if wanted.is_empty() {
        return None;
    }
    let exact = all().iter().find(|r| name::plain(r.designation) == wanted);
    exact
        .or_else(|| {
            let place = COMPONENTS
                .iter()
                .position(|c| c.chemical_name.is_some_and(|chemical| name::plain(chemical) == wanted))?;
            all().iter().find(|r| r.components == [place])
        })
        .or_else(|| {
            // `1234ze` and `1336mzz` without the form: only one form is known here.
            all().iter().find(|r| r.designation.strip_suffix("(E)").is_some_and(|n| name::plain(n) == wanted))
        })
        .or_else(|| (wanted == "co2").then(|| find("R-744")).flatten())
        .or_else(|| (wanted == "nh3").then(|| find("R-717")).flatten())
}

/// Returns up to five designations that come near `name`, nearest first.
#[must_use]
pub fn suggestions(name: &str) -> Vec<&'static str> {
    let wanted = name::plain(name);
    let mut near: Vec<(usize, &'static str)> = all()
        .iter()
        .map(|r| {
            let known = name::plain(r.designation);
            let begins = !wanted.is_empty() && known.starts_with(&wanted);
            (if begins { 1 } else { name::distance(&wanted, &known) }, r.designation)
        })
        .filter(|(distance, _)| *distance <= 2)
        .collect();
    near.sort_by_key(|(distance, _)| *distance);
    near.into_iter().take(5).map(|(_, designation)| designation).collect()
}

impl Refrigerant {
    /// Returns the designation, such as `R-404A`.
    #[must_use]
    pub fn designation(&self) -> &str {
        self.designation
    }

    /// Returns the components and their mass fractions.
    #[must_use]
    pub fn composition(&self) -> &[(&'static str, f64)] {
        &self.composition
    }

    /// Returns how well the mixing model is founded, by the weakest of these that holds.
    ///
    /// C: a pair has no published parameters. Anchored: a pair's parameters are anchored to designated temperatures. B: half of the pairs or more rest on the automatic two-parameter fit of
    /// 2016. A-: a pair is fitted in two parameters only. A: every pair is fitted with a departure function.
    #[must_use]
    pub fn grade(&self) -> Grade {
        let pairs = self.pairs();
        let count = |fit: Fit| pairs.iter().filter(|p| p.fit == fit).count();
        if pairs.is_empty() {
            Grade::Pure
        } else if count(Fit::Estimated) > 0 {
            Grade::C
        } else if count(Fit::Anchored) > 0 {
            Grade::Anchored
        } else if 2 * count(Fit::Automatic) >= pairs.len() {
            Grade::B
        } else if count(Fit::Departure) < pairs.len() {
            Grade::AMinus
        } else {
            Grade::A
        }
    }

    /// Returns the bubble and dew temperature at 101.325 kPa as designated, where they were read.
    #[must_use]
    pub fn designated(&self) -> Option<Designated> {
        let (bubble, dew) = self.designated?;
        Some(Designated {
            bubble: Temperature::from_celsius(bubble),
            dew: dew.map(Temperature::from_celsius),
        })
    }

    /// Returns where composition, equations of state and pair parameters were published.
    #[must_use]
    pub fn sources(&self) -> Sources {
        Sources {
            composition: self.composition_source.map(|place| &BLEND_SOURCES[place]),
            equations: self
                .components
                .iter()
                .map(|c| (COMPONENTS[*c].component.name, &COMPONENTS[*c].source))
                .collect(),
            pairs: self.pairs(),
        }
    }

    fn pairs(&self) -> Vec<PairSource> {
        let mut out = Vec::new();
        for (n, i) in self.components.iter().enumerate() {
            for j in &self.components[n + 1..] {
                let (_, fit, source) = pair(*i, *j);
                out.push(PairSource {
                    pair: [COMPONENTS[*i].component.name, COMPONENTS[*j].component.name],
                    fit,
                    source,
                });
            }
        }
        out
    }

    /// Returns the fluid at the designation's composition.
    #[must_use]
    pub fn fluid(&self) -> Fluid {
        self.fluid
            .get_or_init(|| {
                let fractions: Vec<f64> = self.composition.iter().map(|(_, w)| *w).collect();
                mixture(&self.components, &fractions).expect("the build script has checked the fractions")
            })
            .clone()
    }
}

/// Returns the parameters of a pair of components, in this order, and how they were found; nothing for an unknown name.
#[must_use]
pub fn pair_parameters(first: &str, second: &str) -> Option<(fluid::coefficients::Pair, Fit)> {
    let place = |name: &str| COMPONENTS.iter().position(|c| c.component.name == name);
    let (parameters, fit, _) = pair(place(first)?, place(second)?);
    Some((parameters, fit))
}

fn mixture(places: &[usize], fractions: &[f64]) -> Result<Fluid, CompositionError> {
    let components: Vec<_> = places.iter().map(|c| COMPONENTS[*c].component).collect();
    Fluid::mixture(&components, fractions, |i, j| pair(places[i], places[j]).0)
}

/// Returns the fluid of these parts by mass; the fractions sum to one within 1e-6.
///
/// # Errors
/// [`BlendError`] naming the part that is unknown or stands twice, or what is wrong with the fractions.
pub fn blend(parts: &[(&str, f64)]) -> Result<Fluid, BlendError> {
    let mut places = Vec::new();
    let mut fractions = Vec::new();
    for (part, (name, fraction)) in parts.iter().enumerate() {
        let place = match find(name) {
            Some(Refrigerant { components, .. }) if components.len() == 1 => components[0],
            _ => return Err(BlendError::UnknownComponent { part, near: suggestions(name) }),
        };
        if places.contains(&place) {
            return Err(BlendError::Twice { component: COMPONENTS[place].component.name });
        }
        places.push(place);
        fractions.push(*fraction);
    }
    mixture(&places, &fractions).map_err(BlendError::Composition)
}

/// Returns nitrogen, by the reference equation of Span and others, 2000.
#[must_use]
pub fn nitrogen() -> Fluid {
    static NITROGEN: OnceLock<Fluid> = OnceLock::new();
    NITROGEN
        .get_or_init(|| {
            let known = COMPONENTS.iter().find(|c| c.component.name == "nitrogen");
            Fluid::pure(known.expect("data/fluids holds nitrogen").component)
        })
        .clone()
}
