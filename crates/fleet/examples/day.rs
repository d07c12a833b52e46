//! A day of many systems at one-minute data (invented), reduced on this machine: time and peak memory, after a tenth of the
//! day and after the whole.

use fleet::{Input, Task, watch};
use std::io::{BufWriter, Write};
use std::time::Instant;
use units::math::sin;

fn option(name: &str, other: u64) -> u64 {
    let words: Vec<String> = std::env::args().collect();
    let at = words.iter().position(|word| word == name);
    at.and_then(|at| words.get(at + 1)).and_then(|word| word.parse().ok()).unwrap_or(other)
}

fn memory() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace().nth(1)?.parse::<f64>().ok().map(|kilobytes| kilobytes / 1024.0)
}

/// Writes the log by time, as a gateway does, and returns its bytes.
fn log(path: &std::path::Path, systems: u64, minutes: u64) -> std::io::Result<u64> {
    let mut out = BufWriter::with_capacity(1 << 20, std::fs::File::create(path)?);
    writeln!(
        out,
        "time,system,suction_pressure kPa abs,discharge_pressure kPa abs,suction_line C,liquid_line C,box_air C,\
         ambient C,running"
    )?;
    for minute in 0..minutes {
        let ambient = 18.0 + 6.0 * sin(minute as f64 / 229.0);
        for system in 0..systems {
            // A swing of its own for each, so that no two rows are alike.
            let swing = ((minute * 7919 + system * 104_729) % 1000) as f64 / 1000.0 - 0.5;
            let running = u8::from((minute + system * 7) % 60 < 40);
            writeln!(
                out,
                "2031-05-06 {:02}:{:02},S{system:05},{:.1},{:.1},{:.2},{:.2},{:.1},{ambient:.1},{running}",
                minute / 60,
                minute % 60,
                420.0 + 4.0 * swing,
                1500.0 + 20.0 * (ambient - 18.0) + 8.0 * swing,
                2.0 + swing,
                30.0 + (ambient - 18.0) + swing,
                2.0 + 0.5 * swing,
            )?;
        }
    }
    out.flush()?;
    Ok(std::fs::metadata(path)?.len())
}

fn main() -> Result<(), String> {
    let systems = option("--systems", 30_000);
    let folder = std::env::temp_dir().join(format!("gastight-day-{}", std::process::id()));
    std::fs::create_dir_all(&folder).map_err(|e| e.to_string())?;
    println!("| minutes | rows | log, MB | seconds | rows a second | peak memory, MB | windows | steady |");
    println!("|---|---|---|---|---|---|---|---|");
    let mut holds = true;
    for minutes in [144, 1440] {
        let path = folder.join("log.csv");
        let bytes = log(&path, systems, minutes).map_err(|e| e.to_string())?;
        let mut task = Task::new(Input::Csv(path.clone()));
        task.refrigerant = Some("R-449A".to_owned());
        let started = Instant::now();
        let report = watch(&task).map_err(|fault| format!("{fault:?}"))?;
        let seconds = started.elapsed().as_secs_f64();
        let windows: i64 = report.systems.iter().map(|system| system.windows.0).sum();
        let steady: i64 = report.systems.iter().map(|system| system.windows.1).sum();
        let rows = systems * minutes;
        holds &= report.tally.taken == rows && report.systems.len() as u64 == systems && seconds < 900.0;
        println!(
            "| {minutes} | {rows} | {:.0} | {seconds:.0} | {:.0} | {} | {windows} | {steady} |",
            bytes as f64 / 1e6,
            rows as f64 / seconds,
            memory().map_or_else(String::new, |megabytes| format!("{megabytes:.0}")),
        );
    }
    std::fs::remove_dir_all(&folder).map_err(|e| e.to_string())?;
    if holds { Ok(()) } else { Err("a limit is missed".to_owned()) }
}
