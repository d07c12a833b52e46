//! Chances as ten cells and whole percents that sum to 100.

use super::canvas::{Canvas, Role, Stroke};
use super::{Ink, Size};
use crate::{Chance, Message, Text};

/// A chance with its percent.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    /// What.
    pub name: Text,
    /// Its probability, 0 to 1.
    pub probability: f64,
    /// Whole percent; they sum to 100 over the list.
    pub percent: u8,
}

impl Share {
    /// Returns the percent as it is written: "34 %", or "under 1 %".
    #[must_use]
    pub fn written(&self, say: &dyn Fn(&Message) -> String) -> String {
        if self.percent == 0 && self.probability > 0.0 {
            crate::message::shown(&say(&Message::new("report-under-one-percent")))
        } else {
            format!("{}\u{a0}%", self.percent)
        }
    }
}

/// Returns the chances sorted, the largest first, with "something else" last, and whole percents that sum to 100
/// (each rounded down, then the largest remainders up). What is no probability counts as 0; probabilities that sum
/// to more than 1 are scaled down.
#[must_use]
pub fn shares(chances: &[Chance]) -> Vec<Share> {
    let clean = |p: f64| if p.is_finite() { p.clamp(0.0, 1.0) } else { 0.0 };
    let sum: f64 = chances.iter().map(|chance| clean(chance.probability)).sum();
    let scale = if sum > 1.0 { 1.0 / sum } else { 1.0 };
    let mut shares: Vec<Share> = chances
        .iter()
        .map(|chance| {
            let probability = clean(chance.probability) * scale;
            Share { name: chance.name.clone(), probability, percent: 0 }
        })
        .collect();
    units::sort_small(&mut shares, |a, b| b.probability.total_cmp(&a.probability));
    let rest = (1.0 - sum * scale).clamp(0.0, 1.0);
    let probability = if rest < 1e-9 { 0.0 } else { rest };
    shares.push(Share { name: Message::new("report-something-else").into(), probability, percent: 0 });
    let exact: Vec<f64> = shares.iter().map(|share| share.probability * 100.0).collect();
    let mut left = 100_i32;
    for (share, exact) in shares.iter_mut().zip(&exact) {
        share.percent = exact.floor() as u8;
        left -= i32::from(share.percent);
    }
    let mut order: Vec<usize> = (0..shares.len()).collect();
    let rest_of = |index: usize| exact[index] - exact[index].floor();
    units::sort_small(&mut order, |a, b| rest_of(*b).total_cmp(&rest_of(*a)));
    for index in order {
        if left <= 0 {
            break;
        }
        shares[index].percent += 1;
        left -= 1;
    }
    shares
}

/// Returns ten cells, filled from the left, the last in part; hidden from readers, since the percent stands beside.
#[must_use]
pub fn cells(percent: u8, width: f64, ink: Ink) -> String {
    let size = Size { width, text: 12.0, ink, id: String::new(), decimal_comma: false };
    let mut canvas = Canvas::new(&size, &|_| String::new());
    canvas.height = 14.0;
    let step = canvas.width / 10.0;
    for cell in 0..10_u8 {
        let (left, right) = (f64::from(cell) * step + 1.0, f64::from(cell + 1) * step - 2.0);
        let part = (f64::from(percent.min(100)) / 10.0 - f64::from(cell)).clamp(0.0, 1.0);
        if part > 0.0 {
            let end = left + (right - left) * part;
            canvas.fill(&[(left, 1.0), (end, 1.0), (end, 13.0), (left, 13.0)], Role::Ink);
        }
        let role = if part > 0.0 { Role::Ink } else { Role::Line };
        let edge = [(left, 1.0), (right, 1.0), (right, 13.0), (left, 13.0)];
        canvas.path(&edge, true, Stroke { role, width: 2.0, dash: None });
    }
    canvas.finish_hidden()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percents(probabilities: &[f64]) -> Vec<u8> {
        let name = || Text::verbatim("x");
        let chances: Vec<Chance> =
            probabilities.iter().map(|p| Chance { name: name(), probability: *p }).collect();
        shares(&chances).iter().map(|share| share.percent).collect()
    }

    #[test]
    fn percents_are_sorted_and_sum_to_a_hundred() {
        assert_eq!(percents(&[0.333, 0.334, 0.333]), [34, 33, 33, 0]);
        assert_eq!(percents(&[0.1, 0.5]), [50, 10, 40]);
        assert_eq!(percents(&[]), [100]);
        assert_eq!(percents(&[f64::NAN, 2.0, -1.0]), [100, 0, 0, 0]);
        assert_eq!(percents(&[0.9, 0.9]), [50, 50, 0]);
    }

    #[test]
    fn what_is_small_is_not_nothing() {
        let shares = shares(&[Chance { name: Text::verbatim("x"), probability: 0.004 }]);
        assert_eq!(shares[0].percent, 0);
        assert_eq!(shares[0].written(&|message| message.id.to_owned()), "report-under-one-percent");
    }
}
