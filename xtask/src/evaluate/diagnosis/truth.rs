//! What the simulator of the trial shows by itself, before any inference is asked.

use super::substance;
use fault_trial::{Built, Dice, FAULTS, Visit};
use std::fmt::Write as _;

/// Returns the share of healthy systems that run and show bubbles, and the mean shift of each reading by fault.
pub fn table(cases: usize, seed: u64) -> Result<String, String> {
    let set: Vec<_> = super::REFRIGERANTS.iter().map(|name| substance(name)).collect::<Result<_, _>>()?;
    let mut text = String::new();
    for receiver in [true, false] {
        for season in 0..3 {
            let mut d = Dice::new(seed ^ (season << 8));
            let (mut n, mut ran, mut bubbles) = (0, 0, 0);
            let mut sums = [0.0; 12];
            let mut shifts = [[0.0; 12]; 13];
            let mut counted = [0; 13];
            while n < cases {
                let b = fault_trial::built(&mut d);
                let v = fault_trial::place(&mut d, &b, vec![]);
                let is = if v.ambient < 279.0 {
                    0
                } else if v.ambient < 295.5 {
                    1
                } else {
                    2
                };
                if b.receiver != receiver || is != season {
                    continue;
                }
                let s = &set[n % set.len()].0;
                n += 1;
                let (r, runs) = fault_trial::shown(s, &b, &v);
                if !runs {
                    continue;
                }
                ran += 1;
                bubbles += usize::from(r[9] > 0.5);
                for (sum, r) in sums.iter_mut().zip(r) {
                    *sum += r;
                }
                for (k, fault) in FAULTS.iter().enumerate() {
                    let (w, runs) = with(s, &b, &v, *fault);
                    if runs {
                        counted[k] += 1;
                        for i in 0..12 {
                            shifts[k][i] += w[i] - r[i];
                        }
                    }
                }
            }
            let _ = writeln!(
                text,
                "receiver {receiver}, season {season}: {ran} of {n} run, {bubbles} with bubbles; mean {:.1?}",
                sums.map(|s| s / f64::from(ran))
            );
            for (k, fault) in FAULTS.iter().enumerate() {
                let _ = writeln!(
                    text,
                    "  {:<15} {:>3} {:.2?}",
                    format!("{fault:?}"),
                    counted[k],
                    shifts[k].map(|s| {
                        let x = s / f64::from(counted[k].max(1));
                        if x.abs() > 1000.0 { x / 1e5 } else { x }
                    })
                );
            }
        }
    }
    Ok(text)
}

fn with(s: &fault_trial::Substance, b: &Built, v: &Visit, fault: fault_trial::Fault) -> ([f64; 12], bool) {
    fault_trial::shown(s, b, &Visit { faults: vec![(fault, 0.65)], ..v.clone() })
}
