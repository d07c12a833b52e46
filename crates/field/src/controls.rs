//! Whether the settings of a low-pressure control can do their job.
//!
//! Its job decides which rule holds. Makers' limits and local code come first; what is marked common practice is a
//! suggestion without a source.

use fluid::{Fluid, FluidError};
use units::{
    AbsolutePressure, Limit, PressureDifference, Temperature, TemperatureDifference, Uncertain, Verdict,
    combine,
};

/// What a low-pressure control is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControlJob {
    /// It ends a pump-down and starts again when the liquid valve opens.
    PumpDown,
    /// It holds the temperature of the box by suction pressure.
    BoxTemperature,
    /// It protects the compressor from low suction.
    Protection,
}

/// The settings, each with the doubt of scale and gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct LowPressureControl {
    /// What it is there for.
    pub job: ControlJob,
    /// The pressure at which it closes and the compressor starts.
    pub cut_in: Uncertain<AbsolutePressure>,
    /// The pressure at which it opens and the compressor stops.
    pub cut_out: Uncertain<AbsolutePressure>,
}

/// What the settings must stand up to, as far as it is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// The coldest place that can hold the suction pressure down while the unit is off: box, or outdoor unit in winter.
    pub coldest_place: Option<Uncertain<Temperature>>,
    /// The lowest saturated suction temperature in use.
    pub lowest_saturated_suction: Option<Uncertain<Temperature>>,
    /// Lowest and highest temperature wanted in the box.
    pub box_range: Option<(Temperature, Temperature)>,
    /// How far the coil runs below the box.
    pub evaporator_td: Option<TemperatureDifference>,
    /// The lowest suction pressure that the compressor can or may pull.
    pub deepest: Option<AbsolutePressure>,
    /// The start is bridged by a time-delay bypass.
    pub bypass: bool,
    /// The air outside.
    pub outside: AbsolutePressure,
}

/// The rule that a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Cut-in lies above cut-out.
    CutInAboveCutOut,
    /// The differential is at least the usual one (common practice).
    Differential,
    /// Cut-in lies below saturation at the coldest place, so that the unit can start again.
    CutInReachedAtColdestPlace,
    /// Cut-out lies below saturation at the lowest suction temperature in use, so that it does not stop a running unit.
    CutOutBelowLowestSuction,
    /// Cut-out lies above what the compressor can pull, so that it is reached at all.
    CutOutReachable,
    /// Cut-out lies above the air outside, so that a leak does not draw air in.
    CutOutAboveAtmosphere,
    /// Cut-in lies at or below saturation at the warmest box wanted, where the coil stands with the box while off.
    CutInStartsInTime,
    /// Cut-out lies below saturation at the coldest box wanted, so that the box gets there.
    CutOutReachesBox,
}

/// A fact without which a rule cannot be judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MissingFact {
    /// The coldest place that can hold suction.
    ColdestPlace,
    /// The lowest saturated suction temperature in use.
    LowestSaturatedSuction,
    /// What the compressor can pull.
    Deepest,
    /// The temperatures wanted in the box.
    BoxRange,
}

/// How a rule stands.
#[derive(Clone, Debug, PartialEq)]
pub enum Standing {
    /// It holds, the whole k = 2 interval on the good side.
    Holds,
    /// It fails, the whole k = 2 interval on the bad side.
    Fails,
    /// It would fail, but a time-delay bypass bridges the start.
    BridgedByBypass,
    /// The doubts do not allow to tell.
    NotResolved,
    /// A fact is missing.
    NotKnown(MissingFact),
}

/// One rule, how it stands, and the pressures behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule.
    pub rule: Rule,
    /// How it stands.
    pub standing: Standing,
    /// The setting that was judged.
    pub setting: AbsolutePressure,
    /// The pressure it was judged against.
    pub against: Option<AbsolutePressure>,
    /// The temperature that pressure belongs to.
    pub at: Option<Temperature>,
    /// The limit is common practice without a source: a suggestion.
    pub common_practice: bool,
}

/// The findings, and what the settings mean in temperatures.
#[derive(Clone, Debug, PartialEq)]
pub struct ControlCheck {
    /// One finding for each rule of this job.
    pub findings: Vec<Finding>,
    /// Dew temperature at cut-in.
    pub cut_in_means: Temperature,
    /// Dew temperature at cut-out.
    pub cut_out_means: Temperature,
    /// For a box held by pressure: saturation at the coldest box less the coil's difference, a usual cut-out (common
    /// practice).
    pub suggested_cut_out: Option<AbsolutePressure>,
}

/// The smallest usual differential: 10 psi (common practice, no source).
pub const USUAL_DIFFERENTIAL: PressureDifference = PressureDifference::from_psi(10.0);

/// Returns how the settings of a low-pressure control stand against the rules of its job.
///
/// Saturation by the dew curve, which lies below the bubble curve: the pressure that vapour alone cannot exceed at the
/// coldest place.
///
/// # Errors
/// The fluid's own, for a setting or temperature at which it has no dew point.
pub fn low_pressure_control(
    fluid: &Fluid,
    control: &LowPressureControl,
    conditions: &Conditions,
) -> Result<ControlCheck, FluidError> {
    let (cut_in, cut_out) = (&control.cut_in, &control.cut_out);
    let saturation =
        |temperature: &Uncertain<Temperature>| -> Result<Uncertain<AbsolutePressure>, FluidError> {
            let point = fluid.dew_at_temperature(temperature.value())?;
            Ok(temperature.map(point.pressure, point.slope))
        };
    let mut findings = Vec::new();
    let exact = |pressure| Uncertain::exact(pressure);

    findings.push(compare(Rule::CutInAboveCutOut, cut_in, Side::Above, cut_out, None));
    let raised = combine(cut_out.value() + USUAL_DIFFERENTIAL, [cut_out.part(1.0)]);
    let mut differential = compare(Rule::Differential, cut_in, Side::Above, &raised, None);
    differential.common_practice = true;
    findings.push(differential);

    match &conditions.coldest_place {
        None => findings.push(missing(Rule::CutInReachedAtColdestPlace, cut_in, MissingFact::ColdestPlace)),
        Some(place) => {
            let against = saturation(place)?;
            let rule = Rule::CutInReachedAtColdestPlace;
            let mut finding = compare(rule, cut_in, Side::Below, &against, Some(place.value()));
            if conditions.bypass && matches!(finding.standing, Standing::Fails | Standing::NotResolved) {
                finding.standing = Standing::BridgedByBypass;
            }
            findings.push(finding);
        }
    }
    if control.job != ControlJob::BoxTemperature {
        match &conditions.lowest_saturated_suction {
            None => {
                let fact = MissingFact::LowestSaturatedSuction;
                findings.push(missing(Rule::CutOutBelowLowestSuction, cut_out, fact));
            }
            Some(suction) => {
                let against = saturation(suction)?;
                let rule = Rule::CutOutBelowLowestSuction;
                findings.push(compare(rule, cut_out, Side::Below, &against, Some(suction.value())));
            }
        }
    }
    match conditions.deepest {
        None => findings.push(missing(Rule::CutOutReachable, cut_out, MissingFact::Deepest)),
        Some(deepest) => {
            findings.push(compare(Rule::CutOutReachable, cut_out, Side::Above, &exact(deepest), None));
        }
    }
    let outside = exact(conditions.outside);
    findings.push(compare(Rule::CutOutAboveAtmosphere, cut_out, Side::Above, &outside, None));
    let mut suggested_cut_out = None;
    if control.job == ControlJob::BoxTemperature {
        match conditions.box_range {
            None => {
                findings.push(missing(Rule::CutInStartsInTime, cut_in, MissingFact::BoxRange));
                findings.push(missing(Rule::CutOutReachesBox, cut_out, MissingFact::BoxRange));
            }
            Some((coldest, warmest)) => {
                let against = saturation(&Uncertain::exact(warmest))?;
                findings.push(compare(Rule::CutInStartsInTime, cut_in, Side::Below, &against, Some(warmest)));
                let against = saturation(&Uncertain::exact(coldest))?;
                findings.push(compare(Rule::CutOutReachesBox, cut_out, Side::Below, &against, Some(coldest)));
                if let Some(td) = conditions.evaporator_td {
                    suggested_cut_out = Some(fluid.dew_at_temperature(coldest - td)?.pressure);
                }
            }
        }
    }
    Ok(ControlCheck {
        findings,
        cut_in_means: fluid.dew_at_pressure(cut_in.value())?.temperature,
        cut_out_means: fluid.dew_at_pressure(cut_out.value())?.temperature,
        suggested_cut_out,
    })
}

#[derive(Clone, Copy, PartialEq)]
enum Side {
    Above,
    Below,
}

fn compare(
    rule: Rule,
    setting: &Uncertain<AbsolutePressure>,
    side: Side,
    against: &Uncertain<AbsolutePressure>,
    at: Option<Temperature>,
) -> Finding {
    let sign = if side == Side::Above { 1.0 } else { -1.0 };
    let clear = PressureDifference::from_pascal(sign * (setting.value() - against.value()).pascal());
    let clear = combine(clear, [setting.part(sign), against.part(-sign)]);
    let standing = match Limit::AtLeast(PressureDifference::from_pascal(0.0)).judge(&clear) {
        // A setting exactly on the limit does not stand clear of it.
        Verdict::Inside if clear.value().pascal() == 0.0 => Standing::Fails,
        Verdict::Inside => Standing::Holds,
        Verdict::Outside => Standing::Fails,
        Verdict::NotResolved { .. } => Standing::NotResolved,
    };
    Finding {
        rule,
        standing,
        setting: setting.value(),
        against: Some(against.value()),
        at,
        common_practice: false,
    }
}

fn missing(rule: Rule, setting: &Uncertain<AbsolutePressure>, fact: MissingFact) -> Finding {
    Finding {
        rule,
        standing: Standing::NotKnown(fact),
        setting: setting.value(),
        against: None,
        at: None,
        common_practice: false,
    }
}
