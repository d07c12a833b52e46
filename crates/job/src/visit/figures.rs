//! The figures of a visit in SI, for programs.

use super::document::Results;
use super::readings::Place;
use crate::show;
use field::annual_loss::{LossRate, Trend};
use serde::Serialize;
use units::{Quantity, Uncertain};

/// A value with its standard uncertainty, both in the unit that the field's name says.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty (k = 1).
    pub u: f64,
}

impl<Q: Quantity> From<&Uncertain<Q>> for Figure {
    fn from(found: &Uncertain<Q>) -> Self {
        Self { value: found.value().si(), u: found.u() }
    }
}

/// The figures of a visit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VisitFigures {
    /// The job.
    pub job: String,
    /// The program's version.
    pub program: &'static str,
    /// The refrigerant computed with.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refrigerant: Option<String>,
    /// The grade of its mixing model.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grade: Option<&'static str>,
    /// The atmosphere used.
    pub atmosphere_pa: f64,
    /// Whether sea level was assumed.
    pub sea_level_assumed: bool,
    /// What each set of readings shows.
    pub readings: Vec<ReadingFigures>,
    /// The hold tests.
    pub holds: Vec<HoldFigures>,
    /// The vacuum rises.
    pub rises: Vec<RiseFigures>,
    /// The account.
    pub account: AccountFigures,
}

/// What a set of readings shows.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ReadingFigures {
    /// The entry's name in the file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<String>,
    /// Superheat at the evaporator, by its own pressure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evaporator_superheat_k: Option<Figure>,
    /// Superheat at the evaporator, by the pressure at the compressor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evaporator_superheat_by_compressor_k: Option<Figure>,
    /// Superheat at the compressor.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub compressor_superheat_k: Option<Figure>,
    /// Discharge superheat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub discharge_superheat_k: Option<Figure>,
    /// Subcooling.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub subcooling_k: Option<Figure>,
    /// Evaporator TD by dew.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub evaporator_td_k: Option<Figure>,
    /// Condenser split by dew.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub condenser_split_k: Option<Figure>,
    /// Whether the split says something: not while a control holds the head, nor while nothing runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub condenser_split_speaks: Option<bool>,
    /// Compression ratio.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub compression_ratio: Option<Figure>,
    /// What is doubtful: a word each.
    pub doubtful: Vec<&'static str>,
}

/// A hold test.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HoldFigures {
    /// `leaking`, `tight_within_limit`, `not_resolved`, `void`, or `failed`.
    pub verdict: &'static str,
    /// The end pressure of a tight volume.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expected_end_pressure_pa: Option<Figure>,
    /// Expected less measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unexplained_drop_pa: Option<Figure>,
    /// The smallest leak it could have seen, as refrigerant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub smallest_detectable_kg_per_year: Option<f64>,
}

/// A vacuum rise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RiseFigures {
    /// `leak_seen`, `no_leak_seen`, `not_resolved`; absent where the series is no rise test.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<show::rise::RiseVerdict>,
    /// The leak, inward; absent without a volume.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leak_pa_m3_s: Option<Figure>,
    /// What moisture or outgassing raised it by.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub released_pa: Option<Figure>,
}

/// The refrigerant account.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AccountFigures {
    /// Loss by leak a year.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub annual_loss_kg_per_year: Option<Figure>,
    /// At least this a year, where no rate is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub annual_loss_at_least_kg_per_year: Option<f64>,
    /// `faster`, `slower`, `not_resolved`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trend: Option<&'static str>,
    /// What was weighed in today less what was taken out and lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net_today_kg: Option<Figure>,
    /// 40 CFR 82.152, annualizing method, at the last refill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub annualizing_percent_per_year: Option<f64>,
    /// 40 CFR 82.152, rolling average method, at the last refill.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rolling_percent_per_year: Option<f64>,
    /// The winter charge on top.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub winter_extra_kg: Option<Figure>,
    /// What the receiver holds on the hottest day.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub receiver_capacity_kg: Option<Figure>,
}

impl Results<'_> {
    /// Returns the figures in SI.
    #[must_use]
    pub fn figures(&self) -> VisitFigures {
        let visit = self.visit;
        let air = crate::ask::AirAnswer::from(visit.air);
        VisitFigures {
            job: visit.name.clone(),
            program: env!("CARGO_PKG_VERSION"),
            refrigerant: visit.substance.as_ref().map(|substance| substance.name.clone()),
            grade: visit.substance.as_ref().map(crate::Substance::grade),
            atmosphere_pa: air.atmosphere_pa,
            sea_level_assumed: air.sea_level_assumed,
            readings: self.reading_figures(),
            holds: self.hold_figures(),
            rises: self.rise_figures(),
            account: self.account_figures(),
        }
    }

    fn reading_figures(&self) -> Vec<ReadingFigures> {
        self.readings
            .iter()
            .zip(&self.doubtful)
            .map(|(result, doubtful)| {
                let superheat = |wanted: Place| {
                    let found = result.superheats.iter().find(|(place, _)| *place == wanted);
                    found.map(|(_, found)| Figure::from(&found.superheat))
                };
                ReadingFigures {
                    entry: result.entry.key.clone(),
                    evaporator_superheat_k: superheat(Place::Evaporator),
                    evaporator_superheat_by_compressor_k: superheat(Place::EvaporatorByCompressor),
                    compressor_superheat_k: superheat(Place::Compressor),
                    discharge_superheat_k: superheat(Place::Discharge),
                    subcooling_k: result.subcooling.as_ref().map(|(found, _)| (&found.subcooling).into()),
                    evaporator_td_k: result.td.as_ref().map(|td| (&td.found.difference).into()),
                    condenser_split_k: result.split.as_ref().map(|split| (&split.found.difference).into()),
                    condenser_split_speaks: result.split.as_ref().map(|split| split.silent.is_none()),
                    compression_ratio: result.ratio.as_ref().map(Figure::from),
                    doubtful: doubtful.iter().map(show::doubtful::word).collect(),
                }
            })
            .collect()
    }

    fn hold_figures(&self) -> Vec<HoldFigures> {
        self.holds
            .iter()
            .map(|result| match &result.found {
                Ok(found) => HoldFigures {
                    verdict: show::hold::verdict_word(&found.verdict),
                    expected_end_pressure_pa: Some((&found.expected_end).into()),
                    unexplained_drop_pa: Some((&found.drop).into()),
                    smallest_detectable_kg_per_year: show::hold::smallest(found)
                        .map(|leak| leak.value().kilogram_per_year()),
                },
                Err(_) => HoldFigures {
                    verdict: "failed",
                    expected_end_pressure_pa: None,
                    unexplained_drop_pa: None,
                    smallest_detectable_kg_per_year: None,
                },
            })
            .collect()
    }

    fn rise_figures(&self) -> Vec<RiseFigures> {
        self.rises
            .iter()
            .map(|result| {
                let found = result.found.as_ref().ok();
                let fit = found.and_then(|found| found.fit.as_ref());
                RiseFigures {
                    verdict: found.map(show::rise::verdict),
                    leak_pa_m3_s: fit.filter(|_| result.volume.is_some()).map(|fit| (&fit.leak).into()),
                    released_pa: fit.map(|fit| (&fit.released).into()),
                }
            })
            .collect()
    }

    fn account_figures(&self) -> AccountFigures {
        let account = &self.account;
        let year = |figure: &Uncertain<units::MassFlow>| Figure {
            value: figure.value().kilogram_per_year(),
            u: figure.u() * units::SECONDS_PER_YEAR,
        };
        let leak = account.loss.as_ref().map(|loss| &loss.leak);
        AccountFigures {
            annual_loss_kg_per_year: match leak {
                Some(LossRate::Known { rate, .. }) => Some(year(rate)),
                _ => None,
            },
            annual_loss_at_least_kg_per_year: match leak {
                Some(LossRate::AtLeast(least)) => Some(least.kilogram_per_year()),
                _ => None,
            },
            trend: account.loss.as_ref().map(|loss| match loss.trend {
                Trend::Faster => "faster",
                Trend::Slower => "slower",
                Trend::NotResolved => "not_resolved",
            }),
            net_today_kg: account.net_today.as_ref().map(Figure::from),
            annualizing_percent_per_year: account.annualizing.map(|rate| rate.percent),
            rolling_percent_per_year: account.rolling.map(|rate| rate.percent),
            winter_extra_kg: self.charge.winter.as_ref().map(|winter| (&winter.charge.extra).into()),
            receiver_capacity_kg: self.charge.receiver.as_ref().map(|receiver| (&receiver.capacity).into()),
        }
    }
}
