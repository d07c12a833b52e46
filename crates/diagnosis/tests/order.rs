//! The order of looks against a published policy, a hand-checked example and dynamic programming.

#![allow(clippy::unwrap_used)]

use diagnosis::search::plan::{Offer, SETS, Task};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Looks of one kind that can be repeated up to four times, each miss leaving (1 - d) of the chance.
fn repeated(prior: &[f64], pod: &[f64], minutes: &[f64], times: usize) -> Task {
    let mut offers = Vec::new();
    let mut rest = Vec::new();
    for place in 0..prior.len() {
        let mut row = [0.0; SETS];
        for (mask, left) in row.iter_mut().enumerate() {
            let looks = (mask as u32).count_ones() as usize;
            *left = (0..looks.min(times)).fold(prior[place], |left, _| left * (1.0 - pod[place]));
        }
        rest.push(row);
        for bit in 0..times {
            offers.push(Offer { place, bit, at: 0, minutes: minutes[place], opening: None });
        }
    }
    Task { opens: vec![0; rest.len()], offers, rest, travel: vec![vec![0.0]], start: 0, tail: 240.0 }
}

#[test]
fn the_worked_example_is_reproduced_look_by_look() {
    // trade_checks "search-greedy": Stone, Theory of Optimal Search, ch. IV (theorem from memory); numbers by hand.
    let prior = [0.3, 0.2, 0.2, 0.12, 0.1, 0.08];
    let pod = [0.75, 0.9, 0.85, 0.6, 0.5, 0.8];
    let minutes = [25.0, 8.0, 15.0, 25.0, 45.0, 12.0];
    let task = repeated(&prior, &pod, &minutes, 4);
    let plan = task.plan(8);
    let order: Vec<usize> = plan.iter().map(|step| task.offers[step.offer].place).collect();
    assert_eq!(order, [1, 2, 0, 5, 3, 0, 1, 2]);
    let chance = |steps: usize| plan[..steps].iter().map(|step| step.gain).sum::<f64>();
    assert!((chance(4) - 0.639).abs() < 0.0005, "{}", chance(4));
    assert!((chance(8) - 0.8108).abs() < 0.0005, "{}", chance(8));
    // After the first miss: 64 % after 60 min, 81 % after 133 min stand in the same source.
    assert!((plan[3].until - 60.0).abs() < 1e-9);
    let left = task.rest[1][1];
    let sum = 1.0 - plan[0].gain;
    let after: Vec<f64> = (0..6).map(|at| if at == 1 { left / sum } else { prior[at] / sum }).collect();
    for (have, want) in after.iter().zip([0.3659, 0.0244, 0.2439, 0.1463, 0.122, 0.0976]) {
        assert!((have - want).abs() < 0.0002, "{after:?}");
    }
}

#[test]
fn without_ways_every_look_is_the_one_of_greatest_p_d_over_c() {
    let mut draw = ChaCha8Rng::seed_from_u64(4);
    let mut number = move || (draw.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    for _ in 0..300 {
        let count = 2 + (number() * 8.0) as usize;
        let raw: Vec<f64> = (0..count).map(|_| 0.05 + number()).collect();
        let sum: f64 = raw.iter().sum();
        let mut p: Vec<f64> = raw.iter().map(|w| w / sum).collect();
        let pod: Vec<f64> = (0..count).map(|_| 0.1 + 0.85 * number()).collect();
        let minutes: Vec<f64> = (0..count).map(|_| 1.0 + 30.0 * number()).collect();
        let task = repeated(&p, &pod, &minutes, 4);
        let mut times = vec![0; count];
        for step in task.plan(4 * count) {
            // The policy written out: Blackwell's index over what is left, with Bayes after each miss.
            let want = (0..count)
                .filter(|at| times[*at] < 4 && p[*at] * pod[*at] > 1e-9)
                .max_by(|a, b| (p[*a] * pod[*a] / minutes[*a]).total_cmp(&(p[*b] * pod[*b] / minutes[*b])))
                .unwrap();
            let place = task.offers[step.offer].place;
            assert_eq!(place, want);
            p[place] *= 1.0 - pod[place];
            times[place] += 1;
        }
    }
}

/// The least expected minutes, over every order, by dynamic programming over (looks made at each place, where one is).
fn least(task: &Task, times: usize) -> f64 {
    let places = task.rest.len();
    let base = times + 1;
    let states = base.pow(places as u32);
    let regions = task.travel.len();
    let whole = |counts: &[usize]| -> f64 {
        counts.iter().enumerate().map(|(at, n)| task.rest[at][(1usize << n) - 1]).sum()
    };
    // cost[state][region]: minutes still expected, weighed by the chance left.
    let mut cost = vec![vec![0.0; regions]; states];
    for state in (0..states).rev() {
        let mut counts = vec![0; places];
        let mut left = state;
        for count in &mut counts {
            *count = left % base;
            left /= base;
        }
        let now = whole(&counts);
        for here in 0..regions {
            let mut best = f64::INFINITY;
            let mut step = 1;
            for (place, count) in counts.iter().enumerate() {
                if *count < times {
                    let offer = task.offers.iter().find(|o| o.place == place).unwrap();
                    let minutes = task.travel[here][offer.at] + offer.minutes;
                    best = best.min(now * minutes + cost[state + step][offer.at]);
                }
                step *= base;
            }
            cost[state][here] = if best.is_finite() { best } else { now * task.tail };
        }
    }
    cost[0][task.start]
}

#[test]
fn with_ways_the_plan_stays_near_dynamic_programming() {
    let mut draw = ChaCha8Rng::seed_from_u64(2026);
    let mut number = move || (draw.next_u64() >> 11) as f64 / (1u64 << 53) as f64;
    let mut over = Vec::new();
    for _ in 0..1000 {
        let places = 3 + (number() * 5.0) as usize;
        let regions = 2 + (number() * 3.0) as usize;
        let raw: Vec<f64> = (0..places).map(|_| 0.05 + number()).collect();
        let sum: f64 = raw.iter().sum();
        let prior: Vec<f64> = raw.iter().map(|w| w / sum).collect();
        let pod: Vec<f64> = (0..places).map(|_| 0.3 + 0.65 * number()).collect();
        let minutes: Vec<f64> = (0..places).map(|_| 1.0 + 20.0 * number()).collect();
        let mut task = repeated(&prior, &pod, &minutes, 2);
        for place in 0..places {
            let at = (number() * regions as f64) as usize;
            for offer in task.offers.iter_mut().filter(|offer| offer.place == place) {
                offer.at = at;
            }
        }
        task.travel = vec![vec![0.0; regions]; regions];
        for a in 0..regions {
            for b in 0..a {
                let way = 2.0 + 15.0 * number();
                task.travel[a][b] = way;
                task.travel[b][a] = way;
            }
        }
        let have = task.expected_minutes(&task.plan(usize::MAX));
        let want = least(&task, 2);
        assert!(have > want - 1e-6, "{have} below the least {want}");
        over.push(have / want - 1.0);
    }
    over.sort_by(f64::total_cmp);
    let mean = over.iter().sum::<f64>() / over.len() as f64;
    let high = over[950];
    println!("over dynamic programming: mean {:.3} %, 95th percentile {:.3} %", 100.0 * mean, 100.0 * high);
    assert!(mean <= 0.02 && high <= 0.10, "mean {mean}, 95th percentile {high}");
}
