//! How long an answer takes: the posterior and the advice for 25 and for 80 places.

use criterion::{Criterion, criterion_group, criterion_main};
use diagnosis::search::book::Weather;
use diagnosis::search::posterior::{Pressures, System};
use diagnosis::search::{
    Book, Change, Ground, History, Look, Method, Outcome, State, evidence, next, posterior,
};
use std::hint::black_box;

fn bench(criterion: &mut Criterion) {
    let book = Book::shipped();
    let history = History {
        charge_kg: Some(14.2),
        filled: Some(0),
        changes: vec![
            Change { day: 280, kg: Some((1.1, 0.05)), out: false },
            Change { day: 413, kg: Some((1.6, 0.05)), out: false },
            Change { day: 490, kg: Some((1.5, 0.05)), out: false },
        ],
        ..History::default()
    };
    for count in [25usize, 80] {
        let places: Vec<_> = (0..count).map(|at| book.places[at % book.places.len()].clone()).collect();
        let looks: Vec<Look> = (0..count / 2)
            .map(|place| Look {
                place,
                method: Method::Electronic,
                state: State::Off,
                opened: false,
                session: 0,
                covered: 1.0,
                spoilt: false,
                pressure_bar: None,
                outcome: Outcome::Clean,
            })
            .collect();
        criterion.bench_function(&format!("next look of {count} places"), |bench| {
            bench.iter(|| {
                let evidence = evidence(&book, black_box(&history));
                let pressures = Pressures { low: [6.0, 4.0, 6.0], high: [8.0, 13.0, 8.0] };
                let system = System {
                    book: &book,
                    places: &places,
                    pressures,
                    run_share: 0.6,
                    weather: Weather::Mild,
                    detector_half_seen: None,
                };
                let now = posterior(&system, &evidence, &looks, &[]);
                let ground = Ground {
                    system,
                    evidence: &evidence,
                    looks: &looks,
                    marks: &[],
                    here: 0,
                    state: State::Off,
                    on_roof: false,
                    methods: &[Method::Electronic, Method::Soap],
                    session: 1,
                    open: &[],
                    sections: &[],
                };
                next(&ground, &now)
            });
        });
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);
