//! A visit from its file to what it shows: instruments, hearsay, intervals, units, and when a reading may speak.

// The helpers of a test may stop it as its own body may.
#![allow(clippy::unwrap_used)]

use job::visit::{Results, Visit};
use record::read_job_file;
use report::{Block, Document, Message};
use units::{MassUnit, PressureUnit, TemperatureUnit};

fn visit(file: &str) -> Visit {
    let file = read_job_file(format!("gastight = 1\n{file}").as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    Visit::new(&file.name, &file.events)
}

fn say(message: &Message) -> String {
    wording::Wording::new("en").say(message)
}

fn text(visit: &Visit) -> String {
    let text =
        report::to_text(&Results::of(visit).document(&visit.writer()), &say, report::TextOptions::default());
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const READING: &str =
    "[[entry]]\nkind = \"reading\"\nsuction_pressure = \"30 psig\"\nsuction_line = \"20 F\"\n";

#[test]
fn an_unstated_gauge_is_assumed_and_named() {
    let visit = visit(&format!("[system]\nrefrigerant = \"R-404A\"\n{READING}"));
    let results = Results::of(&visit);
    let (_, found) = results.readings[0].working_superheat().unwrap();
    // 1 % of 250 psi and 1 °F, both rectangular: u = sqrt((1.0744 * 2.5/sqrt 3)^2 + (1/sqrt 3)^2) °F.
    let stated = ((1.0744 * 2.5f64 / 3f64.sqrt()).powi_two() + (1.0 / 3f64.sqrt()).powi_two()).sqrt() / 1.8;
    assert!((found.superheat.u() / stated - 1.0).abs() < 0.02, "{} against {stated}", found.superheat.u());
    assert!(text(&visit).contains("accuracy of gauges and probes"));
}

trait Square {
    fn powi_two(self) -> f64;
}
impl Square for f64 {
    fn powi_two(self) -> f64 {
        self * self
    }
}

#[test]
fn a_stated_instrument_is_used_by_its_name() {
    let with = |accuracy: &str| {
        let file = format!(
            "[system]\nrefrigerant = \"R-404A\"\n[[instrument]]\nid = \"g\"\nmeasures = \"pressure\"\naccuracy = \"{accuracy}\"\n\
             span = \"500 psig\"\n{}",
            READING.replace("\"30 psig\"", "{ value = \"30 psig\", with = \"g\" }")
        );
        let visit = visit(&file);
        let results = Results::of(&visit);
        results.readings[0].working_superheat().unwrap().1.superheat.u()
    };
    assert!(with("0.1 psi") < with("0.5 psi") && with("0.5 psi") < with("2 %"));
    // A share is a share of the span: 0.1 % of 500 psi is 0.5 psi.
    assert!((with("0.1 %") - with("0.5 psi")).abs() < 1e-9);
}

#[test]
fn one_scale_cancels_its_own_error() {
    let visit = visit(
        "[system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\n[visit]\ndate = 2031-05-07\n\
         [[instrument]]\nid = \"s\"\nmeasures = \"mass\"\naccuracy = \"0.5 kg\"\nresolution = \"0.01 kg\"\n\
         [[cylinder]]\nid = \"c\"\n[[entry]]\nkind = \"weighing\"\nwith = \"s\"\ncylinder = \"c\"\ndirection = \"charged\"\n\
         before = \"12.40 kg\"\nafter = \"10.90 kg\"\n",
    );
    let net = Results::of(&visit).account.net_today.unwrap();
    assert!((net.value().kilogram() - 1.5).abs() < 1e-9);
    assert!((net.u() - 0.01 * (2.0f64 / 12.0).sqrt()).abs() < 1e-9, "{}", net.u());
}

#[test]
fn days_are_reckoned_from_intervals_both_ways() {
    let visit = visit(
        "[system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\n\
         [[entry]]\nkind = \"past change\"\namount = \"1.1 kg\"\n\
         [[entry]]\nkind = \"past change\"\nafter = \"19 weeks\"\namount = \"1.6 kg\"\n\
         [[entry]]\nkind = \"past change\"\nafter = \"11 weeks\"\non = 2031-03-17\namount = \"1.5 kg\"\n",
    );
    let account = Results::of(&visit).account;
    let days: Vec<i32> = account.refills.iter().map(|refill| refill.day.unwrap().day_number()).collect();
    assert_eq!((days[1] - days[0], days[2] - days[1]), (19 * 7, 11 * 7));
    assert!(account.refills[0].reckoned && !account.refills[2].reckoned);
    let field::annual_loss::LossRate::Known { rate, .. } = &account.loss.as_ref().unwrap().leak else {
        panic!("three weighed refills give a rate")
    };
    // The sum of the second and third over the time from first to last.
    let stated = 3.1 / (30.0 * 7.0 / 365.25);
    assert!((rate.value().kilogram_per_year() / stated - 1.0).abs() < 1e-9);
}

#[test]
fn hearsay_without_amounts_is_a_habit_and_no_rate() {
    let visit = visit(
        "[system]\nrefrigerant = \"R-513A\"\n[[entry]]\nkind = \"past change\"\nevery = \"about 3 months, as told by the cook\"\n\
         amount = \"unknown\"\n",
    );
    let results = Results::of(&visit);
    assert!(results.account.habit.is_some() && results.account.loss.is_none());
    assert!(text(&visit).contains("take it for a leak until it is shown to be none"));
}

#[test]
fn a_held_head_silences_the_split() {
    let file = |setting: &str| {
        format!(
            "[system]\nrefrigerant = \"R-404A\"\nhead_control = \"flooding valve\"\nhead_setting = \"{setting}\"\n\
             [[entry]]\nkind = \"reading\"\nstate = \"running\"\ndischarge_pressure = \"201 psig\"\nambient = \"40 F\"\n"
        )
    };
    // 201 psig is about 89 °F: held where the setting is near it, free where it is far.
    let held = visit(&file("90 F"));
    let free = visit(&file("60 F"));
    assert!(Results::of(&held).readings[0].split.as_ref().unwrap().silent.is_some());
    assert!(Results::of(&free).readings[0].split.as_ref().unwrap().silent.is_none());
    assert!(text(&held).contains("A control holds the head"));
}

#[test]
fn a_display_on_the_other_curve_is_not_blamed() {
    // R-448A at 43.9 psig: dew 20.0 °F, bubble 8.8 °F.
    let visit = visit(
        "[system]\nrefrigerant = \"R-448A\"\n[[instrument]]\nid = \"g\"\nmeasures = \"pressure\"\naccuracy = \"0.5 psi\"\n\
         [[entry]]\nkind = \"reading\"\nsuction_pressure = { value = \"43.9 psig\", with = \"g\" }\nshown_saturation = \"8.8 F\"\n",
    );
    let results = Results::of(&visit);
    let shown = results.readings[0].shown_saturation.as_ref().unwrap();
    assert!(!shown.agrees && shown.other_curve);
    assert!(text(&visit).contains("Neither instrument is at fault"));
}

#[test]
fn units_follow_what_was_typed() {
    let us =
        visit(&format!("[system]\nrefrigerant = \"R-404A\"\ncharge = \"27 lb 5 oz\"\n{READING}")).writer();
    assert_eq!(
        (us.temperature, us.pressure, us.mass),
        (TemperatureUnit::Fahrenheit, PressureUnit::Psi, MassUnit::PoundOunce)
    );
    let mixed =
        visit(&format!("[system]\nrefrigerant = \"R-404A\"\ncharge = \"12.4 kg\"\n{READING}")).writer();
    assert_eq!((mixed.pressure, mixed.mass), (PressureUnit::Psi, MassUnit::Kilogram));
    let bar = READING.replace("30 psig", "2.1 bar g").replace("20 F", "-6 C");
    let metric = visit(&format!("[system]\nrefrigerant = \"R-404A\"\n{bar}")).writer();
    assert_eq!((metric.temperature, metric.pressure), (TemperatureUnit::Celsius, PressureUnit::Bar));
}

#[test]
fn an_unknown_refrigerant_stops_nothing_else() {
    let visit = visit(&format!("[system]\nrefrigerant = \"R-404X\"\ncharge = \"12.4 kg\"\n{READING}"));
    assert!(visit.substance.is_none() && visit.refused.is_some());
    let text = text(&visit);
    assert!(text.contains("R-404X is not a refrigerant known here") && text.contains("30 psig"));
}

fn numbers(document: &Document) -> (usize, usize) {
    let (mut all, mut open) = (0, 0);
    let mut count = |number: &report::Number| {
        all += 1;
        open += usize::from(number.opened.is_some());
    };
    for block in document.sections.iter().flat_map(|section| &section.blocks) {
        match block {
            Block::Numbers(numbers) => numbers.iter().for_each(&mut count),
            Block::Findings(findings) => {
                findings.iter().filter_map(|f| f.number.as_ref()).for_each(&mut count)
            }
            _ => {}
        }
    }
    (all, open)
}

#[test]
fn most_numbers_of_the_report_open() {
    let file = read_job_file(include_bytes!("../../../examples/jobs/room-7-repair.toml")).unwrap();
    let visit = Visit::new(&file.name, &file.events);
    let (all, open) = numbers(&Results::of(&visit).document(&visit.writer()));
    assert!(all > 20, "{all}");
    assert_eq!(open, all, "a number that does not open");
}

#[test]
fn what_a_person_typed_is_shown_and_never_obeyed() {
    let visit = visit(&format!(
        "[site]\nname = \"<script>alert(1)</script>\"\n[system]\nname = \"a \\\"b\\\" & c\"\nrefrigerant = \"R-404A\"\n{READING}"
    ));
    let html = report::to_html(&Results::of(&visit).document(&visit.writer()), &say);
    assert!(!html.contains("<script>alert") && html.contains("&lt;script&gt;"));
}
