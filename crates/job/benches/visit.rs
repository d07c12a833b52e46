//! Reading a job file, putting the visit together, writing its report.

use criterion::{Criterion, criterion_group, criterion_main};
use job::visit::{Results, Visit};
use record::read_job_file;
use std::hint::black_box;
use wording::Wording;

const FILE: &[u8] = include_bytes!("../../../examples/jobs/room-7-repair.toml");

fn visit(c: &mut Criterion) {
    let wording = Wording::new("en");
    let say = |message: &report::Message| wording.say(message);
    let file = read_job_file(FILE).expect("the example reads");
    c.bench_function("job file: read", |b| b.iter(|| read_job_file(black_box(FILE))));
    c.bench_function("visit: put together and computed", |b| {
        b.iter(|| {
            let visit = Visit::new(&file.name, black_box(&file.events));
            Results::of(&visit).figures()
        });
    });
    let visit = Visit::new(&file.name, &file.events);
    let writer = visit.writer();
    let document = Results::of(&visit).document(&writer);
    c.bench_function("report: text", |b| {
        b.iter(|| report::to_text(black_box(&document), &say, report::TextOptions::default()));
    });
    c.bench_function("report: HTML", |b| b.iter(|| report::to_html(black_box(&document), &say)));
}

criterion_group!(benches, visit);
criterion_main!(benches);
