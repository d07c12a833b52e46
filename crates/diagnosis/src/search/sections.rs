//! What a section that was shut in and watched says of the places in it: one test of all of them at once.

use super::book::{Book, Shows};
use super::posterior::chance_of_flow;
use serde::{Deserialize, Serialize};

/// A section that was shut in and watched.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    /// The places in it, by their numbers.
    pub places: Vec<usize>,
    /// The smallest leak that it rules out, kg a year of the refrigerant at its working pressure: 95 % would have been seen.
    pub limit: f64,
    /// The chance that a leak of any size is missed: one outside the valves, or that the valves feed.
    pub miss: f64,
    /// Where the pressure fell: the chance of such a fall without a leak in it. Absent where it held.
    pub fell: Option<f64>,
}

/// Steepness of what a hold sees: a leak of its limit is seen 19 times out of 20, one of half of it every other time.
const SLOPE: f64 = 4.25;
/// As many holds count, the last ones.
const MOST: usize = 8;

impl Hold {
    /// Returns the chance that a leak of this size, kg a year, which shows at this time, is seen if it is in the section.
    ///
    /// The system stands while it is shut in, so that a leak which shows while running, in a defrost, in the heat or in the
    /// cold alone is not seen.
    #[must_use]
    pub fn sees(&self, kg_per_year: f64, shows: Shows, share_of_time: f64) -> f64 {
        if !matches!(shows, Shows::Always | Shows::Off) {
            return 0.0;
        }
        let flow = kg_per_year / if share_of_time > 0.0 { share_of_time } else { 1.0 };
        (1.0 - self.miss.clamp(0.0, 1.0)) * chance_of_flow(flow, self.limit.max(1e-9) / 2.0, SLOPE)
    }

    /// How well its result fits, against no leak in it, where a leak in it is seen with this chance.
    fn fits(&self, seen: f64) -> f64 {
        match self.fell {
            None => 1.0 - seen,
            Some(alarm) => {
                let alarm = alarm.clamp(1e-3, 1.0);
                (seen + (1.0 - seen) * alarm) / alarm
            }
        }
    }
}

/// The places by which holds they were in: those of one class are told apart by looks alone.
#[derive(Clone, Debug)]
pub(crate) struct Classes {
    /// The class of each place.
    pub of: Vec<usize>,
    /// For each class and node: how well all holds fit one leak there, against none.
    pub one: Vec<Vec<f64>>,
    /// For each two classes and node: how well they fit two leaks. One fall is no proof of two.
    pub two: Vec<Vec<Vec<f64>>>,
    /// For each place: how many holds it was in that held.
    pub held: Vec<u32>,
}

impl Classes {
    /// `at`: the number of the size and of the time it shows, of each node.
    pub(crate) fn new(
        places: usize,
        holds: &[Hold],
        book: &Book,
        sizes: &[f64],
        at: &[(usize, usize)],
    ) -> Classes {
        let holds = &holds[holds.len().saturating_sub(MOST)..];
        let mut masks: Vec<Vec<bool>> = Vec::new();
        let mut of = Vec::new();
        for place in 0..places {
            let mask: Vec<bool> = holds.iter().map(|hold| hold.places.contains(&place)).collect();
            let class = masks.iter().position(|other| *other == mask).unwrap_or_else(|| {
                masks.push(mask);
                masks.len() - 1
            });
            of.push(class);
        }
        let seen: Vec<Vec<f64>> = holds
            .iter()
            .map(|hold| {
                at.iter()
                    .map(|(size, shows)| hold.sees(sizes[*size], Shows::ALL[*shows], book.shows[*shows].1))
                    .collect()
            })
            .collect();
        let fit = |node: usize, inside: &dyn Fn(usize) -> i32| -> f64 {
            holds
                .iter()
                .enumerate()
                .map(|(hold, it)| it.fits(1.0 - units::math::powi(1.0 - seen[hold][node], inside(hold))))
                .product()
        };
        let nodes = 0..at.len();
        let one = masks
            .iter()
            .map(|mask| nodes.clone().map(|node| fit(node, &|hold| i32::from(mask[hold]))).collect())
            .collect();
        let two = masks
            .iter()
            .map(|a| {
                masks
                    .iter()
                    .map(|b| {
                        let both = |hold: usize| i32::from(a[hold]) + i32::from(b[hold]);
                        nodes.clone().map(|node| fit(node, &both)).collect()
                    })
                    .collect()
            })
            .collect();
        let held = (0..places)
            .map(|place| {
                holds.iter().map(|hold| u32::from(hold.fell.is_none() && hold.places.contains(&place))).sum()
            })
            .collect();
        Classes { of, one, two, held }
    }
}
