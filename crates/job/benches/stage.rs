//! What a stage of the demo visit costs: a kept entry recomputes it.

use criterion::{Criterion, criterion_group, criterion_main};
use job::stage::{Stage, view};
use job::visit::Visit;
use record::{Local, When, read_job_file};
use std::hint::black_box;

const FILE: &[u8] = include_bytes!("../../../examples/jobs/room-7-repair.toml");

fn stages(c: &mut Criterion) {
    let file = read_job_file(FILE).expect("the example reads");
    let visit = Visit::new(&file.name, &file.events);
    let writer = visit.writer();
    let now = When::read("2031-05-08T12:40-04:00", &Local::default()).expect("a moment");
    for stage in Stage::ALL {
        c.bench_function(&format!("stage: {}", stage.key()), |b| {
            b.iter(|| view(stage, black_box(&visit), &writer, &now));
        });
    }
    c.bench_function("list of jobs: a row", |b| b.iter(|| job::jobs::row(black_box(&file.events))));
}

criterion_group!(benches, stages);
criterion_main!(benches);
