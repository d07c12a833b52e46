//! What points say of a system: points drawn here, with a change or without.

#![allow(clippy::unwrap_used)]

use trend::{Cause, Feature, Limits, Look, Point, look};

struct Scatter(u64);

impl Scatter {
    /// Twelve even numbers less six: near enough to normal.
    fn next(&mut self) -> f64 {
        (0..12)
            .map(|_| {
                self.0 =
                    self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                (self.0 >> 11) as f64 / (1_u64 << 53) as f64
            })
            .sum::<f64>()
            - 6.0
    }
}

/// A year of split, subcooling, superheat, box over evaporating, discharge; `moved` adds to them by day.
fn year(seed: u64, moved: impl Fn(f64, usize) -> f64) -> Vec<Point> {
    let mut scatter = Scatter(seed);
    let scales = [0.5, 0.4, 0.6, 0.5, 1.5];
    let mut points = Vec::new();
    for block in 0..122_i64 {
        for night in [-4.0, 4.0] {
            let day = (block * 3) as f64;
            let ambient = 283.0 - 12.0 * units::math::cos(day / 58.1) + night;
            let held = (298.0 - ambient).max(10.0);
            let mut features = [None; 7];
            for (k, scale) in scales.iter().enumerate() {
                let level = [held, 4.0, 7.0, 7.0, 25.0][k];
                features[k] = Some((level + moved(day, k) + scale * scatter.next(), 40.0));
            }
            points.push(Point { block: block + 20_000, ambient: Some(ambient), features });
        }
    }
    points
}

fn found(points: &[Point]) -> trend::Finding {
    match look(points, &Limits::default()) {
        Look::Found(finding) => finding,
        early @ Look::TooEarly { .. } => panic!("{early:?}"),
    }
}

#[test]
fn a_year_without_a_change_gives_no_alarm_at_a_seldom_rate() {
    let alarms = (0..40).filter(|seed| found(&year(seed * 31 + 5, |_, _| 0.0)).is_alarm()).count();
    assert_eq!(alarms, 0);
}

#[test]
fn each_cause_is_known_by_the_way_things_go() {
    let ramp = |day: f64| ((day - 250.0) / 60.0).clamp(0.0, 1.0);
    for (cause, sizes) in [
        (Cause::Charge, [0.0, -3.0, 3.0, 2.0, 6.0]),
        (Cause::Condenser, [4.0, 0.0, 0.0, 0.0, 3.0]),
        (Cause::Coil, [0.0, 0.0, -2.0, 3.0, 0.0]),
        (Cause::HighUp, [2.5, 2.5, 0.0, 0.0, -2.5]),
        (Cause::LowDown, [0.0, 0.0, 2.5, 2.5, 0.0]),
    ] {
        let finding = found(&year(11, |day, k| ramp(day) * sizes[k]));
        assert!(finding.is_alarm(), "{cause:?}: {finding:?}");
        assert_eq!(finding.causes[0].0, cause, "{finding:?}");
        let since = finding.since - 60_000;
        assert!((235..=285).contains(&since), "{cause:?}: since {since}");
        for change in &finding.changes {
            let k = trend::FEATURES.iter().position(|f| *f == change.feature).unwrap();
            assert!((change.size - sizes[k]).abs() < 4.0 * change.doubt, "{cause:?}: {change:?}");
        }
    }
}

#[test]
fn shares_are_shares_and_the_order_of_points_changes_nothing() {
    let mut points = year(3, |day, k| if k == 1 && day > 300.0 { -2.0 } else { 0.0 });
    let before = found(&points);
    assert!((before.causes.iter().map(|c| c.1).sum::<f64>() - 1.0).abs() < 1e-9);
    points.reverse();
    let after = found(&points);
    assert!((before.evidence / after.evidence - 1.0).abs() < 1e-6);
    assert_eq!(before.since, after.since);
}

#[test]
fn little_is_too_little_and_odd_points_are_borne() {
    let points = year(4, |_, _| 0.0);
    assert!(matches!(look(&points[..8], &Limits::default()), Look::TooEarly { .. }));
    let mut odd = points;
    for point in odd.iter_mut().step_by(3) {
        point.ambient = None;
        point.features[0] = Some((f64::NAN, 10.0));
    }
    for point in &mut odd {
        point.features[4] = None;
    }
    let finding = found(&odd);
    assert!(finding.evidence.is_finite());
    assert!(finding.changes.iter().all(|c| c.feature != Feature::Discharge));
}
