//! What `data/` holds, as constants made by the build script.

// A coefficient that happens to begin as pi does is not pi.
#![allow(clippy::approx_constant)]

use core::fmt;
use fluid::coefficients::{Ancillary, Component, Gao, Gaussian, Ideal, NonAnalytic, Pair, Power, Reducing};

/// A publication.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// Who wrote it.
    pub authors: Option<&'static str>,
    /// Its title.
    pub title: &'static str,
    /// The journal, book or body.
    pub published_in: &'static str,
    /// The year.
    pub year: Option<i32>,
    /// The volume.
    pub volume: Option<&'static str>,
    /// The pages or article number.
    pub pages: Option<&'static str>,
    /// The digital object identifier.
    pub doi: Option<&'static str>,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(authors) = self.authors {
            write!(f, "{authors}: ")?;
        }
        write!(f, "{}. {}", self.title, self.published_in)?;
        if let Some(volume) = self.volume {
            write!(f, " {volume}")?;
        }
        if let Some(year) = self.year {
            write!(f, " ({year})")?;
        }
        if let Some(pages) = self.pages {
            write!(f, " {pages}")?;
        }
        if let Some(doi) = self.doi {
            write!(f, ", doi:{doi}")?;
        }
        Ok(())
    }
}

/// How the parameters of a pair were found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// Fitted to measurements, with a departure function.
    Departure,
    /// Reducing parameters alone, fitted to phase equilibria.
    TwoParameter,
    /// Reducing parameters alone, from the automatic fit of 2016 to phase equilibria.
    Automatic,
    /// No published parameters: reducing parameters alone, anchored to the designated temperatures of blends.
    Anchored,
    /// Not fitted: no published parameters.
    Estimated,
}

/// How well the mixing model of a refrigerant is founded.
///
/// Derived from its pairs: see [`Refrigerant::grade`](crate::Refrigerant::grade).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// One component: a reference equation, no mixing model.
    Pure,
    /// Every pair is fitted with a departure function.
    A,
    /// Some pairs are fitted in two parameters only.
    AMinus,
    /// Half of the pairs or more rest on the automatic two-parameter fit of 2016.
    B,
    /// Some pair has no published fit; its parameters are anchored to the designated bubble and dew temperatures of blends
    /// at 101.325 kPa, and no pair is estimated.
    Anchored,
    /// Some pair has no published fit and is estimated.
    C,
}

/// The source of a pair's parameters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PairSource {
    /// The two components.
    pub pair: [&'static str; 2],
    /// How the parameters were found.
    pub fit: Fit,
    /// Where they were published or what they are anchored to; nothing if they are estimated.
    pub source: Option<&'static Source>,
}

/// Where everything about a refrigerant comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sources {
    /// The composition; nothing for a pure refrigerant.
    pub composition: Option<&'static Source>,
    /// Each component's equation of state.
    pub equations: Vec<(&'static str, &'static Source)>,
    /// Each pair's parameters.
    pub pairs: Vec<PairSource>,
}

pub(crate) struct Known {
    pub chemical_name: Option<&'static str>,
    pub source: Source,
    pub component: Component,
}

pub(crate) struct KnownPair {
    pub first: usize,
    pub second: usize,
    pub fit: Fit,
    pub source: usize,
    pub pair: Pair,
}

pub(crate) struct KnownBlend {
    pub designation: &'static str,
    pub components: &'static [usize],
    pub composition: &'static [(&'static str, f64)],
    pub source: usize,
    /// Bubble and dew temperature at 101.325 kPa in °C, as designated.
    pub designated: Option<(f64, Option<f64>)>,
}

include!(concat!(env!("OUT_DIR"), "/coefficients.rs"));

/// Returns the parameters of a pair, in this order, and how they were found.
pub(crate) fn pair(i: usize, j: usize) -> (Pair, Fit, Option<&'static Source>) {
    for known in PAIRS {
        if (known.first, known.second) == (i, j) {
            return (known.pair, known.fit, Some(&PAIR_SOURCES[known.source]));
        }
        if (known.first, known.second) == (j, i) {
            return (known.pair.reversed(), known.fit, Some(&PAIR_SOURCES[known.source]));
        }
    }
    (Pair::ESTIMATED, Fit::Estimated, None)
}
