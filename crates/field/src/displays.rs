//! Two displays of one pressure that differ: which refrigerant and which curve each of them shows, before either is
//! blamed.

use fluid::{Fluid, FluidError};
use units::math::sqrt;
use units::{AbsolutePressure, PressureDifference, Temperature, TemperatureDifference, Uncertain};

/// The saturation that a display shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Curve {
    /// The end of boiling: what superheat is counted from.
    Dew,
    /// The beginning of boiling: what subcooling is counted from.
    Bubble,
    /// Halfway between.
    Mean,
}

/// A refrigerant that a display may be set to.
#[derive(Clone, Copy, Debug)]
pub struct Candidate<'a> {
    /// Its designation.
    pub name: &'a str,
    /// Its properties.
    pub fluid: &'a Fluid,
    /// Often met in service: a display is sooner set to it than to a rare one.
    pub usual: bool,
}

/// What one display may be showing.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The refrigerant.
    pub refrigerant: String,
    /// The curve.
    pub curve: Curve,
    /// The saturation there.
    pub saturation: Temperature,
}

/// What two displays may be showing together.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// The first one's setting.
    pub first: Setting,
    /// The second one's.
    pub second: Setting,
    /// How far they are off together, in squared standard uncertainties: below [`EXPLAINS`] it explains them.
    pub misfit: f64,
}

/// A misfit that two readings have by chance once in twenty: 5.99 (chi-squared, two degrees of freedom, 95 %).
pub const EXPLAINS: f64 = 5.991;

/// What speaks against a display that is set otherwise than the system: another curve, and another refrigerant, in the
/// units of the misfit (judgement; it orders what fits, it excludes nothing).
const OTHER_CURVE: f64 = 1.0;
const OTHER_REFRIGERANT: f64 = 4.0;
const RARE_REFRIGERANT: f64 = 8.0;

/// Two displays.
#[derive(Clone, Debug)]
pub struct Displays<'a> {
    /// The pressure at the first one's tap.
    pub pressure: Uncertain<AbsolutePressure>,
    /// How much less it is at the second one's tap.
    pub drop: PressureDifference,
    /// What the first one shows.
    pub first: Uncertain<Temperature>,
    /// What the second one shows.
    pub second: Uncertain<Temperature>,
    /// The refrigerant in the system; it comes first among the candidates.
    pub own: Candidate<'a>,
    /// What else a display may be set to.
    pub others: Vec<Candidate<'a>>,
}

/// Two displays reconciled.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciled {
    /// What explains them, the likeliest first; empty where nothing does.
    pub explanations: Vec<Explanation>,
    /// The second less the first.
    pub differ_by: Uncertain<TemperatureDifference>,
    /// What remains between them when both show the dew point of the system's refrigerant.
    pub remains: Uncertain<TemperatureDifference>,
}

/// Returns what the two displays can be showing.
///
/// The pressure's doubt is common to both and cancels between them: the misfit is the least over it. Every pair of
/// settings is tried; those that one reading in twenty would miss by chance are kept.
///
/// # Errors
/// The fluid's own, for the system's refrigerant; another candidate without saturation there is passed over.
///
/// Source: least squares with one common error (JCGM 100:2008, F.1.2.3, from memory); the quantile of chi-squared.
pub fn reconcile(displays: &Displays<'_>) -> Result<Reconciled, FluidError> {
    let tap = displays.pressure.value();
    let second_tap = AbsolutePressure::from_pascal(tap.pascal() - displays.drop.pascal());
    let settings = |candidate: &Candidate<'_>,
                    at: AbsolutePressure|
     -> Result<Vec<(Setting, f64)>, FluidError> {
        let (dew, bubble) = (candidate.fluid.dew_at_pressure(at)?, candidate.fluid.bubble_at_pressure(at)?);
        let setting = |curve, saturation: Temperature, slope: f64| {
            (Setting { refrigerant: candidate.name.to_owned(), curve, saturation }, 1.0 / slope)
        };
        let (d, b) = (dew.temperature, bubble.temperature);
        if (d - b).kelvin().abs() < 0.05 {
            // One curve, whatever it is called.
            return Ok(vec![setting(Curve::Dew, d, dew.slope)]);
        }
        let mean = Temperature::from_kelvin(0.5 * (d.kelvin() + b.kelvin()));
        Ok(vec![
            setting(Curve::Dew, d, dew.slope),
            setting(Curve::Bubble, b, bubble.slope),
            setting(Curve::Mean, mean, 0.5 * (dew.slope + bubble.slope)),
        ])
    };
    let (mut at_first, mut at_second) = (settings(&displays.own, tap)?, settings(&displays.own, second_tap)?);
    let own_dew = (at_first[0].0.saturation, at_second[0].0.saturation);
    for other in displays.others.iter().filter(|other| other.name != displays.own.name) {
        at_first.extend(settings(other, tap).unwrap_or_default());
        at_second.extend(settings(other, second_tap).unwrap_or_default());
    }
    // A display of whole degrees is never right to nothing.
    let least = 1e-3;
    let (u1, u2, up) = (displays.first.u().max(least), displays.second.u().max(least), displays.pressure.u());
    let mut found = Vec::new();
    for (first, s1) in &at_first {
        for (second, s2) in &at_second {
            let r1 = displays.first.value().kelvin() - first.saturation.kelvin();
            let r2 = displays.second.value().kelvin() - second.saturation.kelvin();
            // Least over the common error e of the pressure: both weights and the error's own.
            let (w1, w2) = (1.0 / (u1 * u1), 1.0 / (u2 * u2));
            let e = if up > 0.0 {
                (w1 * s1 * r1 + w2 * s2 * r2) / (w1 * s1 * s1 + w2 * s2 * s2 + 1.0 / (up * up))
            } else {
                0.0
            };
            let own = if up > 0.0 { e * e / (up * up) } else { 0.0 };
            let (d1, d2) = (r1 - s1 * e, r2 - s2 * e);
            let misfit = w1 * d1 * d1 + w2 * d2 * d2 + own;
            if misfit <= EXPLAINS {
                found.push(Explanation { first: first.clone(), second: second.clone(), misfit });
            }
        }
    }
    // With so many refrigerants some pair fits by number alone: what leaves more of the two on the system's own comes alone.
    let foreign = |one: &Explanation| {
        [&one.first, &one.second].into_iter().filter(|s| s.refrigerant != displays.own.name).count()
    };
    if let Some(fewest) = found.iter().map(foreign).min() {
        found.retain(|one| foreign(one) == fewest);
    }
    let against = |setting: &Setting| {
        let curve = if setting.curve == Curve::Dew { 0.0 } else { OTHER_CURVE };
        let usual = |name: &str| displays.others.iter().any(|other| other.name == name && other.usual);
        curve
            + if setting.refrigerant == displays.own.name {
                0.0
            } else if usual(&setting.refrigerant) {
                OTHER_REFRIGERANT
            } else {
                RARE_REFRIGERANT
            }
    };
    let rank = |one: &Explanation| one.misfit + against(&one.first) + against(&one.second);
    units::sort_small(&mut found, |a, b| rank(a).total_cmp(&rank(b)));
    let differ = displays.second.value() - displays.first.value();
    let u = sqrt(u1 * u1 + u2 * u2);
    let doubt = || units::Doubt::new(units::Cause::Resolution, "displays");
    let between = own_dew.1 - own_dew.0;
    Ok(Reconciled {
        explanations: found,
        differ_by: Uncertain::new(differ, doubt(), u),
        remains: Uncertain::new(
            TemperatureDifference::from_kelvin(differ.kelvin() - between.kelvin()),
            doubt(),
            u,
        ),
    })
}
