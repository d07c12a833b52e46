//! What was seen besides: what leaving it costs, from the facts of this system.

#![allow(clippy::unwrap_used)]

use job::side;
use job::visit::{Results, Visit};
use record::{Body, Finding, SeenKind, read_job_file};
use std::path::PathBuf;

fn example(change: &dyn Fn(String) -> String) -> Visit {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs/room-7-repair.toml");
    let text = change(std::fs::read_to_string(path).unwrap());
    Visit::new("", &read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events)
}

fn finding(visit: &Visit) -> &Finding {
    visit
        .entries(|body| if let Body::Finding(finding) = body { Some(&**finding) } else { None })
        .next()
        .unwrap()
        .1
}

fn said(visit: &Visit) -> Vec<String> {
    let wording = wording::Wording::new("en");
    side::cost(visit, finding(visit), &visit.writer()).iter().map(|message| wording.say(message)).collect()
}

#[test]
fn a_bare_suction_line_costs_watts_and_superheat() {
    let visit = example(&|text| text);
    // 1 1/8 in and 1.5 m are 0.1347 m2; 36.0 less 6.1 C is 29.9 K: 24 W at 6 and 60 W at 15 W/(m2 K).
    let text = said(&visit).concat();
    assert!(text.contains("24 to 60 W"), "{text}");
    // 7.5 kW over some 160 to 190 kJ/kg is some 0.043 kg/s; at about 0.9 kJ/(kg K) 24 W are some 0.6 K.
    let kelvin: f64 =
        text.split("comes ").nth(1).unwrap().split(char::is_whitespace).next().unwrap().parse().unwrap();
    assert!((0.4..0.9).contains(&kelvin), "{text}");
}

#[test]
fn without_a_fact_it_names_the_fact() {
    let visit = example(&|text| text.replace("capacity = \"7.5 kW\"\n", ""));
    let text = said(&visit).concat();
    assert!(text.contains("cannot be said without") && text.to_lowercase().contains("cooling"), "{text}");
    let warm = example(&|text| text.replace("hottest_ambient = \"36 °C\"", "hottest_ambient = \"2 °C\""));
    assert!(
        said(&warm).concat().contains("cannot be said"),
        "a line that is not colder than the air takes up nothing"
    );
}

#[test]
fn danger_comes_first_and_a_kind_without_a_rule_says_nothing() {
    let visit = example(&|text| {
        text.replace("length = \"1.5 m\"\nurgency", "length = \"1.5 m\"\ndanger = \"yes\"\nurgency")
    });
    assert!(said(&visit)[0].contains("hurt"));
    let other =
        example(&|text| text.replace("about = \"bare line\"\nlength = \"1.5 m\"\n", "about = \"box\"\n"));
    assert!(said(&other).is_empty());
    assert!(side::prevention(SeenKind::Box).is_none() && side::prevention(SeenKind::CapMissing).is_some());
}

#[test]
fn a_finding_with_a_price_comes_back_on_the_next_visit() {
    let visit = example(&|text| text.replace("answer = \"accepted\"", "answer = \"declined\""));
    let next = job::entry::second_visit(&visit, &|_| String::new());
    let back = next
        .iter()
        .find_map(|seen| if let Body::Finding(finding) = &seen.what { Some(finding) } else { None });
    let back = back.unwrap();
    assert_eq!(back.about, Some(SeenKind::BareLine));
    assert_eq!(back.answered_by.as_deref(), Some("the day manager"), "with the name of who said no");
    let results = Results::of(&visit);
    assert!(!side::blocks(results.visit, &visit.writer()).is_empty());
}
