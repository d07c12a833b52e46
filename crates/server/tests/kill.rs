//! Every event that was acknowledged is there after the server was killed under load: 20 times on each database, or as
//! often as `GASTIGHT_KILLS` says.
#![allow(clippy::unwrap_used)]

#[path = "../../store/tests/cases/cluster.rs"]
mod cluster;
#[path = "../../store/tests/kill/mod.rs"]
mod kill;

use std::path::Path;

fn times() -> u64 {
    std::env::var("GASTIGHT_KILLS").ok().map_or(20, |text| text.parse().unwrap())
}

fn check(name: &str, postgres: Option<&str>) {
    let dir = std::env::temp_dir().join(format!("gastight-kill-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&dir);
    let program = Path::new(env!("CARGO_BIN_EXE_gastight-server"));
    let report = kill::kill(program, &dir, postgres, times());
    std::fs::remove_dir_all(&dir).unwrap();
    println!(
        "| {name} | {} | {} | {} | {} | {} | {} | {} |",
        report.kills,
        report.unanswered,
        report.acknowledged,
        report.there,
        report.pictures,
        report.lost.len(),
        report.faults.len()
    );
    assert!(report.lost.is_empty(), "{:?}", &report.lost[..report.lost.len().min(20)]);
    assert!(report.faults.is_empty(), "{:?}", report.faults);
    // Else it would show nothing.
    assert!(report.acknowledged > 20 * times(), "{report:?}");
    assert!(report.unanswered >= times(), "the load had ended before the kills: {report:?}");
}

#[test]
fn nothing_acknowledged_is_lost_on_sqlite() {
    check("SQLite", None);
}

#[test]
fn nothing_acknowledged_is_lost_on_postgres() {
    check("PostgreSQL", Some(&cluster::Cluster::shared().database()));
}
