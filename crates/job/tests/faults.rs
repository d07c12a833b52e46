//! What a visit's diagnosis leans on: what was kept as normal earlier, and readings that have settled.

#![allow(clippy::unwrap_used)]

use diagnosis::fault::{CAUSES, Fault};
use job::faults::visit::{Said, of_visit};
use job::visit::Visit;
use record::{Event, read_job_file};
use std::path::PathBuf;

fn events(text: &str) -> Vec<Event> {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn repair() -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs/room-7-repair.toml");
    std::fs::read_to_string(path).unwrap()
}

const NORMAL: &str =
    "\n[[entry]]\nkind = \"normal\"\nat = 2031-05-08T16:30\nbecause = \"superheat settled\"\n";

/// A later visit on a day like that of the repair, with these lines read.
fn later(discharge: &str, liquid: &str, hot: &str) -> String {
    format!(
        "gastight = 1\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2032-05-10\n[[entry]]\nkind = \"reading\"\n\
         at = 2032-05-10T11:45\nstate = \"running\"\nsuction_pressure = \"47.0 psig\"\ndischarge_pressure = \"{discharge}\"\n\
         suction_line = \"6.1 °C\"\nliquid_line = \"{liquid}\"\ndischarge_line = \"{hot}\"\nbox_air = \"2.1 °C\"\n\
         ambient = \"16.9 °C\"\nglass = \"clear\"\n"
    )
}

fn said(first: &str, then: &str) -> Said {
    let visit = Visit::of_chain("", &[events(first), events(then)]);
    of_visit(&visit).unwrap_or_else(|refused| panic!("{refused:?}"))
}

fn healthy(said: &Said) -> f64 {
    let at = CAUSES.iter().position(|cause| cause.first == Fault::None && cause.second.is_none()).unwrap();
    said.diagnosis.chances[at]
}

#[test]
fn what_was_kept_as_normal_makes_the_same_readings_healthier_and_others_less_so() {
    let same = later("162 psig", "20.9 °C", "61.5 °C");
    let (plate, kept) = (said(&repair(), &same), said(&(repair() + NORMAL), &same));
    assert!(!plate.baseline && kept.baseline);
    assert!(healthy(&kept) > healthy(&plate), "{} {}", healthy(&kept), healthy(&plate));
    // The head is 40 psi above what it was in the same air: the plate alone leaves more room for that.
    let high = later("202 psig", "28.5 °C", "72 °C");
    let (plate, kept) = (said(&repair(), &high), said(&(repair() + NORMAL), &high));
    assert!(healthy(&kept) < healthy(&plate), "{} {}", healthy(&kept), healthy(&plate));
    assert!(healthy(&kept) < 0.1, "{}", healthy(&kept));
}

#[test]
fn a_superheat_that_still_moves_doubles_the_doubt() {
    let still = later("162 psig", "20.9 °C", "61.5 °C");
    assert!(!said(&repair(), &still).moving);
    // Ten minutes before, the coil's superheat was far higher.
    let point = |minute: &str, line: &str| {
        format!(
            "[[entry]]\nkind = \"reading\"\nat = 2032-05-10T11:{minute}\nstate = \"running\"\nevaporator_pressure = \"48.5 psig\"\n\
             evaporator_line = \"{line}\"\nsuction_pressure = \"47.0 psig\"\ndischarge_pressure = \"162 psig\"\nbox_air = \"2.1 °C\"\n\
             ambient = \"16.9 °C\"\n"
        )
    };
    let head = "gastight = 1\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2032-05-10\n";
    let moving = format!("{head}{}{}{}", point("25", "6.0 °C"), point("35", "3.5 °C"), point("45", "1.0 °C"));
    let rest = format!("{head}{}{}{}", point("25", "1.1 °C"), point("35", "1.0 °C"), point("45", "1.0 °C"));
    let (moving, rest) = (said(&repair(), &moving), said(&repair(), &rest));
    assert!(moving.moving && !rest.moving);
    // The spread of model and reading together grows where the readings' own is doubled.
    let band = |said: &Said| said.diagnosis.against.iter().map(|one| one.sd).sum::<f64>();
    assert!(band(&moving) > 1.02 * band(&rest), "{} {}", band(&moving), band(&rest));
}
