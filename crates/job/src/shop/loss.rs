//! What a system loses in a year, and the leak rate by the law's formulas.

use super::days;
use crate::visit::account::{Account, LegalRate};
use field::annual_loss::{LossNote, LossRate};
use serde::{Deserialize, Serialize};
use units::{Date, Mass};

/// How far the history supports a loss.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum LossKind {
    /// A rate with its interval.
    Known,
    /// At least so much; how much more nobody can say.
    AtLeast,
    /// Something was added, and no rate can be made of it.
    Unknown,
}

/// Whether a loss is getting faster.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Trend {
    /// Faster, beyond its doubts.
    Faster,
    /// Slower, beyond its doubts.
    Slower,
    /// Cannot be told.
    NotResolved,
}

/// What a system loses in a year of 365.25 days, by its refills.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Loss {
    /// How far it is known.
    pub kind: LossKind,
    /// The rate in kilograms a year; of `at_least` the bound.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kg: Option<f64>,
    /// The lower end of its interval (k = 2), not below zero.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_kg: Option<f64>,
    /// The upper end of its interval (k = 2); absent where it has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_kg: Option<f64>,
    /// The rate in percent of the full charge a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub percent: Option<f64>,
    /// The lower end of that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_percent: Option<f64>,
    /// The upper end of that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_percent: Option<f64>,
    /// The first day counted.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub from: Option<Date>,
    /// The last day counted.
    #[serde(with = "days::some", default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schema(value_type = Option<String>, format = Date))]
    pub to: Option<Date>,
    /// Whether it is getting faster.
    pub trend: Trend,
    /// How many refills have no stated amount.
    pub unknown_refills: u64,
}

impl Loss {
    /// Returns whether the whole interval lies above nothing.
    #[must_use]
    pub fn is_certain(&self) -> bool {
        match self.kind {
            LossKind::Known => self.low_kg.is_some_and(|low| low > 0.0),
            LossKind::AtLeast => self.kg.is_some_and(|kg| kg > 0.0),
            LossKind::Unknown => false,
        }
    }
}

/// Which of the law's formulas.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Formula {
    /// The annualizing method of 40 CFR 82.152.
    Annualizing,
    /// The rolling average of 40 CFR 82.152.
    Rolling,
}

/// A leak rate by one of the law's formulas, at the last refill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Rate {
    /// The formula.
    pub formula: Formula,
    /// Percent of the full charge a year, from exact arithmetic.
    pub percent: f64,
    /// The mass counted, in kilograms.
    pub added_kg: f64,
    /// The full charge, in kilograms.
    pub full_charge_kg: f64,
    /// The days counted.
    pub days: i32,
}

/// Returns the loss that the account supports; nothing where nothing was ever added.
pub(super) fn loss(account: &Account, charge: Option<Mass>) -> Option<Loss> {
    let found = account.loss.as_ref()?;
    let yearly = |flow: units::MassFlow| flow.kilogram_per_year();
    let (kind, kg, low_kg, high_kg) = match &found.leak {
        LossRate::Known { rate, low, high } => {
            (LossKind::Known, Some(yearly(rate.value())), Some(yearly(*low)), Some(yearly(*high)))
        }
        LossRate::AtLeast(least) => (LossKind::AtLeast, Some(yearly(*least)), Some(yearly(*least)), None),
        LossRate::Unknown => (LossKind::Unknown, None, None, None),
    };
    let full = charge.map(Mass::kilogram).filter(|full| *full > 0.0);
    let percent = |kg: Option<f64>| kg.zip(full).map(|(kg, full)| 100.0 * kg / full);
    let unknown = found.notes.iter().find_map(|note| match note {
        LossNote::AmountsUnknown(count) => Some(*count as u64),
        _ => None,
    });
    Some(Loss {
        kind,
        kg,
        low_kg,
        high_kg,
        percent: percent(kg),
        low_percent: percent(low_kg),
        high_percent: percent(high_kg),
        from: found.period.map(|(from, _)| from),
        to: found.period.map(|(_, to)| to),
        trend: match found.trend {
            field::annual_loss::Trend::Faster => Trend::Faster,
            field::annual_loss::Trend::Slower => Trend::Slower,
            field::annual_loss::Trend::NotResolved => Trend::NotResolved,
        },
        unknown_refills: unknown.unwrap_or_default(),
    })
}

/// Returns the leak rates by the law's formulas.
pub(super) fn rates(account: &Account) -> Vec<Rate> {
    let rate = |formula, rate: &LegalRate| Rate {
        formula,
        percent: rate.percent,
        added_kg: rate.added.kilogram(),
        full_charge_kg: rate.full_charge.kilogram(),
        days: rate.days,
    };
    let annualizing = account.annualizing.as_ref().map(|found| rate(Formula::Annualizing, found));
    let rolling = account.rolling.as_ref().map(|found| rate(Formula::Rolling, found));
    annualizing.into_iter().chain(rolling).collect()
}
