//! What the cases say of the diagnosis, beside what is asked of it.

use super::Trial;
use super::cases::Case;
use diagnosis::fault::{CAUSES, Cause, Fault, KINDS};
use fault_trial::Dice;
use std::fmt::Write as _;
use units::math::ln;

fn right(c: &Case, within: usize) -> bool {
    c.said.ranked().iter().take(within).any(|(cause, _)| c.is(*cause))
}

fn share(of: impl Iterator<Item = bool>) -> (f64, usize) {
    let (mut hits, mut n) = (0, 0);
    for hit in of {
        n += 1;
        hits += usize::from(hit);
    }
    (hits as f64 / (n as f64).max(1.0), n)
}

fn chance(c: &Case) -> f64 {
    CAUSES.iter().zip(c.said.chances).filter(|(cause, _)| c.is(**cause)).map(|(_, p)| p).sum()
}

fn alarm(c: &Case) -> f64 {
    1.0 - c.said.chances[0]
}

/// Expected calibration error of the top answer in ten bins of equal count.
fn calibration(stated: &mut [(f64, bool)]) -> f64 {
    stated.sort_by(|a, b| a.0.total_cmp(&b.0));
    let bin = stated.len().div_ceil(10).max(1);
    let off = stated.chunks(bin).map(|bin| {
        let said = bin.iter().map(|b| b.0).sum::<f64>();
        let was = bin.iter().filter(|b| b.1).count() as f64;
        (said - was).abs()
    });
    off.sum::<f64>() / stated.len().max(1) as f64
}

/// Returns the table of a trial.
pub fn table(all: &[Case], healthy: &[Case], stopped: usize, seed: u64) -> Trial {
    let mut alarms: Vec<f64> = healthy.iter().map(alarm).collect();
    alarms.sort_by(f64::total_cmp);
    let threshold = alarms[(alarms.len() as f64 * 0.95) as usize];
    let visible = || all.iter().filter(|c| c.visible);
    let ailing = |c: &&Case| c.truth[0] != Fault::None;
    let (top1, counted) = share(visible().map(|c| right(c, 1)));
    let (top2, _) = share(visible().map(|c| right(c, 2)));
    let (touched, _) = share(visible().map(|c| c.touches(c.said.ranked()[0].0)));
    let single = |fault: Fault| Cause { first: fault, second: None };
    let (signs, _) = share(visible().map(|c| c.is(single(c.signs.plain))));
    let (eyes, _) = share(visible().map(|c| c.is(single(c.signs.with_eyes))));
    let (prior, _) = share(visible().map(|c| c.truth[0] == Fault::None));
    let log = visible().map(|c| -ln(chance(c).max(1e-6))).sum::<f64>() / counted as f64;
    let before = visible()
        .map(|c| {
            let at = CAUSES.iter().position(|cause| c.is(*cause));
            -ln(match (c.truth[0], c.truth.len(), at) {
                (Fault::None, ..) => 0.3,
                (Fault::Gauge, ..) => 0.1,
                (_, 1, _) => 0.5 / 12.0,
                _ => 0.01,
            })
        })
        .sum::<f64>()
        / counted as f64;
    let brier = visible()
        .map(|c| {
            let off = CAUSES.iter().zip(c.said.chances).map(|(cause, p)| {
                let truth = f64::from(u8::from(c.is(*cause)));
                (p - truth) * (p - truth)
            });
            off.sum::<f64>()
        })
        .sum::<f64>()
        / counted as f64;
    let mut stated: Vec<(f64, bool)> = visible().map(|c| (c.said.ranked()[0].1, right(c, 1))).collect();
    let error = calibration(&mut stated);
    let mut dice = Dice::new(seed ^ 0xb007);
    let mut again: Vec<f64> = (0..200)
        .map(|_| {
            let mut some: Vec<(f64, bool)> =
                (0..stated.len()).map(|_| stated[(dice.one() * stated.len() as f64) as usize]).collect();
            calibration(&mut some)
        })
        .collect();
    again.sort_by(f64::total_cmp);
    let error_high = again[194];
    let (detected, severe) =
        share(visible().filter(ailing).filter(|c| c.severe).map(|c| alarm(c) > threshold));
    let (detected_all, _) = share(visible().filter(ailing).map(|c| alarm(c) > threshold));
    let (alarmed, well) =
        share(all.iter().filter(|c| c.truth[0] == Fault::None).map(|c| alarm(c) > threshold));
    let (wrong, _) = share(visible().map(|c| {
        let first = c.said.ranked()[0].0;
        first.first != Fault::None && !c.touches(first)
    }));
    let sure = || visible().filter(|c| c.said.ranked()[0].1 > 0.9);
    let (when_sure, sures) = share(sure().map(|c| right(c, 1)));
    let bound = || all.iter().filter(|c| c.said.charge.1.is_some());
    let (covered, bounded) = share(
        bound().map(|c| c.said.charge.0 <= c.charge && c.said.charge.1.is_none_or(|high| c.charge <= high)),
    );
    let width = bound().filter_map(|c| Some(c.said.charge.1? - c.said.charge.0)).sum::<f64>()
        / (bounded as f64).max(1.0);
    let inside =
        |c: &&Case| c.said.charge.0 <= c.charge && c.said.charge.1.is_none_or(|high| c.charge <= high);
    let (covered_without, without) = share(bound().filter(|c| !c.receiver).map(|c| inside(&c)));
    let (covered_with, with) = share(bound().filter(|c| c.receiver).map(|c| inside(&c)));
    let open = || all.iter().filter(|c| c.said.charge.1.is_none());
    let (one_sided, lower) = share(open().map(|c| c.said.charge.0 <= c.charge));
    let counts: Vec<usize> = all.iter().filter_map(|c| c.readings).collect();
    let needed = counts.iter().sum::<usize>() as f64 / (counts.len() as f64).max(1.0);
    let mut times: Vec<f64> = all.iter().map(|c| 1000.0 * c.took).collect();
    times.sort_by(f64::total_cmp);
    let (median, slow) = (times[times.len() / 2], times[times.len() * 19 / 20]);
    let limits = [
        ("top-1: the first named is all that is wrong", top1, 0.77, true),
        ("top-2", top2, 0.88, true),
        ("calibration error, upper end of its bootstrap", error_high, 0.05, false),
        (
            "severe faults detected at a threshold that alarms on 5 % of other healthy systems",
            detected,
            0.85,
            true,
        ),
        ("charge interval holds (5 to 95 %), where two-sided: at least", covered, 0.88, true),
        ("charge interval holds (5 to 95 %), where two-sided: at most", covered, 0.92, false),
    ];
    let holds =
        limits.iter().all(|(_, value, limit, above)| if *above { value >= limit } else { value <= limit });
    let mut text = format!(
        "Systems with faults drawn by a simulator that shares no code with the model; each with one earlier visit on which \
         all was right, in another season as like as not. {} cases ({stopped} more were drawn that would not run), ChaCha8, \
         seed {seed}; {counted} are healthy or show each fault in some reading by two of its spreads, and only these are \
         counted unless said. Of two faults at once both must be named to be right; pairs are drawn from those that the \
         model weighs.\n\n\
         No openly available measured faults of walk-ins: accuracy on real systems will be lower.\n\n\
         | | value | limit | |\n|---|---|---|---|\n",
        all.len()
    );
    for (name, value, limit, above) in limits {
        let met = if above { value >= limit } else { value <= limit };
        let _ = writeln!(text, "| {name} | {value:.3} | {limit} | {} |", if met { "met" } else { "missed" });
    }
    let _ = write!(
        text,
        "\n| | |\n|---|---|\n| log score, nats | {log:.3} |\n| Brier | {brier:.3} |\n| calibration error | {error:.3} |\n\
         | the first named is at least part of what is wrong | {touched:.3} |\n\
         | something else named than what is wrong (healthy systems included) | {wrong:.3} |\n\
         | stated above 0.9 | {:.3} of cases, right in {when_sure:.3} |\n\
         | false alarms on {well} healthy systems at that threshold | {alarmed:.3} |\n\
         | severe and visible faults | {severe} |\n| faults of all severities detected | {detected_all:.3} |\n\
         | two-sided charge intervals | {bounded}, mean width {width:.2} of the proved charge |\n\
         | the same without receiver, and with one | {covered_without:.3} of {without}, {covered_with:.3} of {with} |\n\
         | \"at least\" of the charge holds (95 % meant), liquid in the receiver | {one_sided:.3} of {lower} |\n\
         | readings until one cause stands at 0.9, or all twelve, from two pressures on | {needed:.1} on {} cases |\n\
         | one diagnosis of twelve readings, ms by the clock, machine shared: median, 95 % | {median:.0}, {slow:.0} |\n\
         | faults that do not show by two spreads, of all cases | {:.3} |\n\n\
         | baseline | top-1 | log score |\n|---|---|---|\n| chances before any reading | {prior:.3} | {before:.3} |\n\
         | sign table | {signs:.3} | |\n| sign table with glass and fans | {eyes:.3} | |\n",
        sures as f64 / counted as f64,
        counts.len(),
        1.0 - counted as f64 / all.len() as f64
    );
    text.push_str("\n| what is wrong | cases | named first | first or second | most taken for |\n|---|---|---|---|---|\n");
    for cause in CAUSES {
        let of = || visible().filter(|c| c.is(cause));
        let ((one, n), (two, _)) = (share(of().map(|c| right(c, 1))), share(of().map(|c| right(c, 2))));
        if n == 0 {
            continue;
        }
        let taken = |other: &Cause| of().filter(|c| c.said.ranked()[0].0 == *other).count();
        let other = CAUSES
            .iter()
            .filter(|c| **c != cause)
            .max_by_key(|c| taken(c))
            .filter(|c| taken(c) > 0)
            .map_or_else(|| "-".to_owned(), |other| format!("{}, {}", name(*other), taken(other)));
        let _ = writeln!(text, "| {} | {n} | {one:.2} | {two:.2} | {other} |", name(cause));
    }
    text.push_str("\n| ambient and severity | cases | top-1 | top-2 | detected |\n|---|---|---|---|---|\n");
    for (name, cold, severe) in [
        ("cold, light", true, false),
        ("cold, severe", true, true),
        ("not cold, light", false, false),
        ("not cold, severe", false, true),
    ] {
        let of = || visible().filter(ailing).filter(|c| c.cold == cold && c.severe == severe);
        let ((one, n), (two, _)) = (share(of().map(|c| right(c, 1))), share(of().map(|c| right(c, 2))));
        let (found, _) = share(of().map(|c| alarm(c) > threshold));
        let _ = writeln!(text, "| {name} | {n} | {one:.2} | {two:.2} | {found:.2} |");
    }
    text.push_str(
        "\n| reading of a healthy system against what its proved visit foresees, in spreads | mean | rms | beyond 2 |\n|---|---|---|---|\n",
    );
    for kind in KINDS.iter().take(9) {
        let offs: Vec<f64> = healthy
            .iter()
            .flat_map(|c| c.said.against.iter().filter(|a| a.kind == *kind))
            .map(diagnosis::fault::Against::off)
            .collect();
        let n = offs.len() as f64;
        let mean = offs.iter().sum::<f64>() / n;
        let rms = units::math::sqrt(offs.iter().map(|x| x * x).sum::<f64>() / n);
        let (far, _) = share(offs.iter().map(|x| x.abs() > 2.0));
        let _ = writeln!(text, "| {kind:?} | {mean:.2} | {rms:.2} | {far:.3} |");
    }
    text.push_str(include_str!("why.md"));
    let json = format!(
        "{{\"cases\": {}, \"counted\": {counted}, \"top_1\": {top1:.4}, \"top_2\": {top2:.4}, \"log_score\": {log:.4}, \
         \"brier\": {brier:.4}, \"calibration_error\": {error:.4}, \"calibration_error_high\": {error_high:.4}, \
         \"detected\": {detected:.4}, \"false_alarms\": {alarmed:.4}, \"wrong\": {wrong:.4}, \"charge_covered\": \
         {covered:.4}, \"charge_width\": {width:.4}, \"charge_at_least\": {one_sided:.4}, \"readings_needed\": \
         {needed:.2}, \"prior_top_1\": {prior:.4}, \"signs_top_1\": {signs:.4}, \"signs_with_eyes_top_1\": {eyes:.4}, \
         \"holds\": {holds}}}",
        all.len()
    );
    Trial { text, json, holds }
}

/// Returns the cases one a line as JSON: what is wrong by its place among the causes, how it was drawn, the chances stated,
/// and what a learner is given.
pub fn dump(all: &[Case], kept_for_alarms: bool) -> String {
    let mut text = String::new();
    for c in all {
        let truth = CAUSES.iter().position(|cause| c.is(*cause));
        let _ = writeln!(
            text,
            "{}",
            serde_json::json!({
                "truth": truth, "alarms": kept_for_alarms, "visible": c.visible, "severe": c.severe, "cold": c.cold,
                "receiver": c.receiver, "chances": c.said.chances, "features": c.features,
            })
        );
    }
    text
}

fn name(cause: Cause) -> String {
    cause
        .second
        .map_or_else(|| format!("{:?}", cause.first), |second| format!("{:?} and {second:?}", cause.first))
}
