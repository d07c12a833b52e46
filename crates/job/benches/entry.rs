//! What a keystroke costs: the echo of one field in the demo visit, and the doubts of a set of readings when it is kept.

// A benchmark may stop where its input does not read.
#![allow(clippy::unwrap_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use job::entry::{Here, doubtful_together, echo};
use job::visit::Visit;
use record::{Around, read_entry, read_job_file};
use std::hint::black_box;
use units::Writer;

fn benches(c: &mut Criterion) {
    let file = read_job_file(include_bytes!("../../../examples/jobs/room-7-repair.toml")).unwrap();
    let visit = Visit::new(&file.name, &file.events);
    let around = Around::default();
    let here = |kind, path| Here { around: &around, visit: Some(&visit), kind, path, beside: &[] };
    for (name, kind, path, text) in [
        ("suction in sense", "reading", "suction_pressure", "62.5"),
        ("suction out of sense", "reading", "suction_pressure", "435"),
    ] {
        let form = record::form::form(kind).unwrap();
        let field = form.at(path).unwrap();
        let here = here(kind, path);
        c.bench_function(&format!("echo, {name}"), |b| {
            b.iter(|| echo(field, black_box(text), Some("psig"), &Writer::us(), &here));
        });
    }
    let form = record::form::form("weighing").unwrap();
    let here = here("weighing", "before");
    c.bench_function("echo, weight", |b| {
        b.iter(|| echo(form.at("before").unwrap(), black_box("27 lb 5 oz"), None, &Writer::us(), &here));
    });
    let texts = [
        ("state", "running"),
        ("suction_pressure", "62.5 psig"),
        ("suction_line", "40 F"),
        ("discharge_pressure", "180 psig"),
        ("liquid_pressure", "178 psig"),
        ("liquid_line", "80 F"),
        ("box_air", "38 F"),
    ];
    let seen = read_entry("reading", &texts, &around).unwrap();
    c.bench_function("doubts of a set of readings", |b| {
        b.iter(|| doubtful_together(&visit, black_box(&seen), &Writer::us()));
    });
    c.bench_function("reading typed into an event", |b| {
        b.iter(|| read_entry("reading", black_box(&texts), &around).unwrap());
    });
}

criterion_group!(all, benches);
criterion_main!(all);
