//! Liquid and vapour together, from whatever lines there are to start from.

use crate::error::FluidError;
use crate::fluid::Fluid;
use crate::guess::Side;
use crate::point::MISCIBLE;
use crate::saturation::{self, Fixed, Room, Solved};
use crate::stability;
use crate::two_phase::{self, First, Given, Split};

/// Whether only states count that last.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lasting {
    /// Only those.
    Asked,
    /// On the way, one whose liquid would separate will do.
    Any,
}

/// Shares of vapour by way of which two phases are looked for where nothing leads to them from a dew point.
const BETWEEN: [f64; 8] = [0.9, 0.8, 0.7, 0.55, 0.4, 0.3, 0.2, 0.1];

impl Fluid {
    /// Returns the second line at a pressure; of a pure fluid it is the first with its phases exchanged.
    pub(crate) fn other_line(&self, side: Side, p: f64, first: &Solved) -> Result<Solved, FluidError> {
        if !self.is_pure() {
            return self.line_reaching_below(side, p);
        }
        let mut out = *first;
        out.point.ln_bulk = first.point.ln_incipient[0];
        out.point.ln_incipient[0] = first.point.ln_bulk;
        Ok(out)
    }

    pub(crate) fn split(
        &self,
        p: f64,
        given: Given,
        bubble: &Solved,
        dew: &Solved,
    ) -> Result<Split, FluidError> {
        self.two(First::Pressure(p), given, Some(bubble), dew)
    }

    /// Returns the two phases between a bubble and a dew point; without the first from the dew point alone.
    pub(crate) fn two(
        &self,
        first: First,
        given: Given,
        bubble: Option<&Solved>,
        dew: &Solved,
    ) -> Result<Split, FluidError> {
        self.two_by(first, given, bubble, dew, Lasting::Asked)
    }

    pub(crate) fn two_by(
        &self,
        first: First,
        given: Given,
        bubble: Option<&Solved>,
        dew: &Solved,
        lasting: Lasting,
    ) -> Result<Split, FluidError> {
        let inner = &self.inner;
        let n = inner.x.len();
        let lasts = |split: &Split| {
            if lasting == Lasting::Any {
                return true;
            }
            if !split.liquid_stands {
                return false;
            }
            if bubble.is_none() {
                // Two liquids under pressure solve the same equations; vapour is thinner than where it is reduced.
                let rho: f64 = split.vapour[..n].iter().sum();
                let y = split.vapour.map(|part| part / rho);
                if rho > inner.model.reducing(&y[..n]).1 {
                    return false;
                }
            }
            let warm = split.temperature > MISCIBLE * self.whole().reducing_temperature;
            if warm && !self.may_separate(split.temperature) {
                return true;
            }
            let rho: f64 = split.liquid[..n].iter().sum();
            let x = split.liquid.map(|part| part / rho);
            !stability::separates(&inner.model, &x[..n], rho, split.temperature)
        };
        let from = |dew: &Solved| two_phase::split(&inner.model, &inner.x, first, given, bubble, dew, &lasts);
        let why = match from(dew) {
            Ok(found) => return Ok(found),
            Err(why) => why,
        };
        if bubble.is_none() && lasting == Lasting::Asked {
            // The liquid that lasts need not be the one that condenses first.
            let others = self.other_dews(first, dew);
            for other in &others {
                if let Ok(found) = from(other) {
                    return Ok(found);
                }
            }
            // Nor need it be met on the way from any dew point: from shares in between, reached at once.
            let mut refused: Option<Split> = None;
            for dew in [dew].into_iter().chain(&others) {
                for quality in BETWEEN {
                    let found = two_phase::by_way_of(&inner.model, &inner.x, first, given, quality, dew);
                    let known = |found: &Split| {
                        refused.is_some_and(|refused| {
                            (refused.temperature / found.temperature - 1.0).abs() < 1e-9
                                && (refused.share - found.share).abs() < 1e-6
                        })
                    };
                    let Some(found) = found.filter(|found| !known(found)) else { continue };
                    if lasts(&found) {
                        return Ok(found);
                    }
                    refused = Some(found);
                }
            }
        }
        match why {
            Some(last) if !lasts(&last) => Err(FluidError::TwoLiquids),
            _ => Err(FluidError::NotConverged),
        }
    }

    /// Returns the dew points, at the same pressure or temperature, whose liquids are rich in one component each and differ
    /// from that of `dew`.
    fn other_dews(&self, first: First, dew: &Solved) -> Vec<Solved> {
        let inner = &self.inner;
        let n = inner.x.len();
        let fixed = match first {
            First::Pressure(p) => Fixed::Pressure(p),
            First::Temperature(t) => Fixed::Temperature(t),
        };
        let mut room = Room::default();
        let mut out: Vec<Solved> = Vec::new();
        for rich in 0..n {
            let start = saturation::guess_rich(&inner.model, &inner.x, &dew.point, rich, &mut room);
            let found = saturation::solve(&inner.model, &inner.x, &start, fixed, &mut room)
                .filter(|found| saturation::is_plain(&inner.model, &inner.x, Side::Dew, found));
            let Some(found) = found else { continue };
            let same = |other: &Solved| {
                (0..n).all(|i| (other.point.ln_incipient[i] - found.point.ln_incipient[i]).abs() < 1e-6)
            };
            if !same(dew) && !out.iter().any(same) {
                out.push(found);
            }
        }
        out
    }
}
