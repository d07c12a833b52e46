//! Refrigerants as the law sees them: class, ozone depletion and warming potential by the law that cites it, safety group.

use crate::duty::{Checked, Status, names};
use crate::read::{DutyFault, named, ratio, ratio_of, read_checked, required};
use crate::{ExactMass, Ratio};
use serde::Serialize;
use toml_edit::{DocumentMut, Item, TableLike};

names! {
    /// The class of a single substance.
    Class {
        /// Chlorofluorocarbon.
        Cfc = "cfc",
        /// Hydrochlorofluorocarbon.
        Hcfc = "hcfc",
        /// Hydrofluorocarbon, saturated.
        Hfc = "hfc",
        /// Unsaturated hydrofluorocarbon.
        Hfo = "hfo",
        /// Hydrocarbon.
        Hydrocarbon = "hydrocarbon",
        /// Inorganic: ammonia, carbon dioxide.
        Inorganic = "inorganic",
    }
}

names! {
    /// The list from which a warming potential is taken.
    Basis {
        /// Regulation (EU) 2024/573: Annex I for HFC (AR4), Annexes II and VI for the rest (AR6).
        Eu = "eu",
        /// Regulation (EU) 517/2014, as printed in Real Decreto 552/2019.
        Reg517 = "517",
        /// IPCC fourth assessment report; equal to the exchange values of the United States for HFC.
        Ar4 = "ar4",
        /// IPCC fifth assessment report.
        Ar5 = "ar5",
        /// IPCC sixth assessment report.
        Ar6 = "ar6",
    }
}

/// A warming potential with where it stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Potential {
    /// 100-year potential, carbon dioxide = 1.
    pub gwp: Ratio,
    /// By which reading.
    pub status: Status,
    /// The list.
    pub source: String,
    /// When looked at.
    pub checked: Checked,
}

/// A single substance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Component {
    /// Its name, such as `HFC-32`.
    pub name: String,
    /// Its class.
    pub class: Class,
    /// Its potentials, by list.
    pub potentials: Vec<(Basis, Potential)>,
}

/// A refrigerant by its designation.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Refrigerant {
    /// Its designation, such as `R-449A`.
    pub name: String,
    /// Its parts: substance, class, percent by mass.
    pub composition: Vec<Part>,
    /// Safety group, such as `A2L`.
    pub safety_group: String,
    /// Ozone depletion potential.
    pub odp: Ratio,
    /// Warming potential as printed for Regulation (EU) 517/2014.
    pub gwp_517: Ratio,
    /// Practical limit of EN 378-1:2017, kg/m3.
    pub practical_limit: Option<Ratio>,
    /// Acute toxicity or oxygen deprivation limit of ISO 817, kg/m3.
    pub atel_odl: Option<Ratio>,
    /// Lower flammability limit of ISO 817, kg/m3.
    pub lower_flammability_limit: Option<Ratio>,
    /// By which reading.
    pub status: Status,
    /// The table it is from.
    pub source: String,
    /// When looked at.
    pub checked: Checked,
}

/// A part of a blend.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    /// The substance.
    pub name: String,
    /// Its class.
    pub class: Class,
    /// Percent by mass.
    pub percent: Ratio,
}

/// A warming potential of a refrigerant by one list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gwp {
    /// The list.
    pub basis: Basis,
    /// The potential; a floor where `missing` is not empty.
    pub value: Ratio,
    /// Parts the list, as read, has no figure for; they count as nothing here.
    pub missing: Vec<String>,
}

impl Refrigerant {
    /// Returns whether a part is of this class.
    #[must_use]
    pub fn has(&self, class: Class) -> bool {
        self.composition.iter().any(|part| part.class == class)
    }

    /// Returns whether every part is of one of these classes.
    #[must_use]
    pub fn is_only(&self, classes: &[Class]) -> bool {
        self.composition.iter().all(|part| classes.contains(&part.class))
    }

    /// Returns the percent by mass that is of this class.
    #[must_use]
    pub fn percent_of(&self, class: Class) -> Ratio {
        let parts = self.composition.iter().filter(|part| part.class == class);
        parts.fold(Ratio::ZERO, |sum, part| sum.plus(part.percent).unwrap_or(sum))
    }
}

/// All substances and refrigerants the law's data know.
#[derive(Clone, Debug, PartialEq)]
pub struct Gases {
    components: Vec<Component>,
    refrigerants: Vec<Refrigerant>,
    /// Spelling without marks, and place in `refrigerants`; sorted.
    index: Vec<(String, usize)>,
}

impl Gases {
    /// Returns no gases at all.
    #[must_use]
    pub const fn none() -> Self {
        Self { components: Vec::new(), refrigerants: Vec::new(), index: Vec::new() }
    }

    /// Returns the gases that the two texts describe.
    ///
    /// # Errors
    /// [`DutyFault`] with the key that is missing or wrong.
    pub fn read(components: &str, refrigerants: &str) -> Result<Self, DutyFault> {
        let document: DocumentMut =
            components.parse().map_err(|e: toml_edit::TomlError| DutyFault::NotToml(e.to_string()))?;
        let mut known = Vec::new();
        for t in document.get("component").and_then(Item::as_array_of_tables).into_iter().flatten() {
            known.push(read_component(t)?);
        }
        let document: DocumentMut =
            refrigerants.parse().map_err(|e: toml_edit::TomlError| DutyFault::NotToml(e.to_string()))?;
        let mut list = Vec::new();
        for t in document.get("refrigerant").and_then(Item::as_array_of_tables).into_iter().flatten() {
            list.push(read_refrigerant(t, &known)?);
        }
        let mut index: Vec<_> = list.iter().enumerate().map(|(i, r)| (bare(&r.name), i)).collect();
        index.sort();
        Ok(Self { components: known, refrigerants: list, index })
    }

    /// Returns the refrigerants, in the order of the file.
    #[must_use]
    pub fn refrigerants(&self) -> &[Refrigerant] {
        &self.refrigerants
    }

    /// Returns the single substances.
    #[must_use]
    pub fn components(&self) -> &[Component] {
        &self.components
    }

    /// Returns the refrigerant of this designation, spelled `R-404A`, `R404A`, `404a` or `r 404a`.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<&Refrigerant> {
        let key = bare(name);
        let at = self.index.binary_search_by(|(known, _)| known.as_str().cmp(&key)).ok()?;
        self.refrigerants.get(self.index[at].1)
    }

    /// Returns the warming potential by `basis`: the sum of the parts' potentials by mass share, Regulation (EU) 2024/573
    /// Annex VI; for [`Basis::Reg517`] the printed figure. Nothing if the list has none of the parts.
    #[must_use]
    pub fn gwp(&self, refrigerant: &Refrigerant, basis: Basis) -> Option<Gwp> {
        if basis == Basis::Reg517 {
            return Some(Gwp { basis, value: refrigerant.gwp_517, missing: Vec::new() });
        }
        let mut missing = Vec::new();
        let mut shares = Vec::new();
        for part in &refrigerant.composition {
            let component = self.components.iter().find(|c| c.name == part.name);
            match component.and_then(|c| c.potentials.iter().find(|(b, _)| *b == basis)) {
                Some((_, potential)) => shares.push((part.percent, potential.gwp)),
                None => missing.push(part.name.clone()),
            }
        }
        if shares.is_empty() { None } else { Some(Gwp { basis, value: mixture_gwp(&shares)?, missing }) }
    }
}

/// Returns the warming potential of a mixture from percents by mass and potentials: their weighted sum.
///
/// Nothing on overflow. Source: Regulation (EU) 2024/573 Annex VI.
#[must_use]
pub fn mixture_gwp(parts: &[(Ratio, Ratio)]) -> Option<Ratio> {
    let hundredth = Ratio::new(1, 100)?;
    parts.iter().try_fold(Ratio::ZERO, |sum, (percent, gwp)| sum.plus(percent.times(hundredth)?.times(*gwp)?))
}

/// Returns the tonnes of carbon dioxide equivalent of `mass` at a warming potential; nothing on overflow.
#[must_use]
pub fn tonnes_co2e(mass: ExactMass, gwp: Ratio) -> Option<Ratio> {
    mass.in_kilograms().times(gwp)?.times(Ratio::new(1, 1000)?)
}

/// The designation without marks: `R-404A`, `r 404a` and `404A` are one.
fn bare(name: &str) -> String {
    let upper: String =
        name.chars().filter(|c| !c.is_whitespace() && *c != '-').collect::<String>().to_uppercase();
    upper.strip_prefix('R').map_or_else(|| upper.clone(), str::to_owned)
}

fn read_component(t: &dyn TableLike) -> Result<Component, DutyFault> {
    let mut potentials = Vec::new();
    for &basis in Basis::ALL {
        if let Some(p) = t.get(basis.name()).and_then(Item::as_table_like) {
            potentials.push((
                basis,
                Potential {
                    gwp: ratio(p, "gwp")?.ok_or(DutyFault::Missing("gwp"))?,
                    status: named(p, "status", Status::named)?.ok_or(DutyFault::Missing("status"))?,
                    source: required(p, "source")?,
                    checked: checked(p)?,
                },
            ));
        }
    }
    Ok(Component {
        name: required(t, "name")?,
        class: named(t, "class", Class::named)?.ok_or(DutyFault::Missing("class"))?,
        potentials,
    })
}

fn checked(t: &dyn TableLike) -> Result<Checked, DutyFault> {
    read_checked(t.get("checked").and_then(Item::as_table_like).ok_or(DutyFault::Missing("checked"))?)
}

fn read_refrigerant(t: &dyn TableLike, known: &[Component]) -> Result<Refrigerant, DutyFault> {
    let mut composition = Vec::new();
    let parts = t.get("composition").and_then(Item::as_array).ok_or(DutyFault::Missing("composition"))?;
    for part in parts {
        let part = part.as_inline_table().ok_or(DutyFault::Missing("composition"))?;
        let name = part.get("part").and_then(|v| v.as_str()).ok_or(DutyFault::Missing("part"))?;
        let percent = part.get("percent").and_then(ratio_of).ok_or(DutyFault::Missing("percent"))?;
        let class = known.iter().find(|c| c.name == name).map(|c| c.class);
        let class =
            class.ok_or_else(|| DutyFault::BadValue { key: "part".to_owned(), given: name.to_owned() })?;
        composition.push(Part { name: name.to_owned(), class, percent });
    }
    Ok(Refrigerant {
        name: required(t, "name")?,
        composition,
        safety_group: required(t, "safety_group")?,
        odp: ratio(t, "odp")?.ok_or(DutyFault::Missing("odp"))?,
        gwp_517: ratio(t, "gwp_517")?.ok_or(DutyFault::Missing("gwp_517"))?,
        practical_limit: ratio(t, "practical_limit_kg_m3")?,
        atel_odl: ratio(t, "atel_odl_kg_m3")?,
        lower_flammability_limit: ratio(t, "lfl_kg_m3")?,
        status: named(t, "status", Status::named)?.ok_or(DutyFault::Missing("status"))?,
        source: required(t, "source")?,
        checked: checked(t)?,
    })
}
