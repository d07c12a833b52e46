//! The follow-up of a repair: what it could see here, when, and what closes it.

#![allow(clippy::unwrap_used)]

use job::follow_up::{self, FollowUp, State, Way};
use job::visit::{Results, Visit};
use record::{Event, read_job_file};
use std::path::PathBuf;

fn events(text: &str) -> Vec<Event> {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn example(name: &str) -> String {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples/jobs").join(name);
    std::fs::read_to_string(path).unwrap()
}

fn after(more: &[String]) -> Option<FollowUp> {
    let mut chain = vec![events(&example("room-7-first-call.toml")), events(&example("room-7-repair.toml"))];
    chain.extend(more.iter().map(|text| events(text)));
    let visit = Visit::of_chain("", &chain);
    let results = Results::of(&visit);
    follow_up::of(&visit, &results.account)
}

const PLACE: &str = "flare nut at the inlet of the liquid-line solenoid valve";

fn look(day: &str, result: &str) -> String {
    format!(
        "gastight = 1\n[visit]\ndate = {day}\n[site]\noffset = \"-04:00\"\n[[entry]]\nkind = \"leak check\"\nat = 10:00\n\
         place = \"{PLACE}\"\nmethod = \"electronic\"\nresult = \"{result}\"\n"
    )
}

#[test]
fn a_glass_sees_little_in_a_month_and_a_detector_much_on_any_day() {
    let follow = after(&[]).unwrap();
    assert_eq!((follow.place.as_str(), &follow.state), (PLACE, &State::Open));
    let row = |way: Way| follow.rows.iter().find(|row| row.way == way).unwrap();
    let glass = row(Way::Glass);
    assert!(glass.day.ratio() < 0.05 && glass.month.ratio() < 0.8, "{glass:?}");
    assert!(glass.tenth.ratio() < glass.month.ratio());
    assert!(row(Way::There).day.ratio() > 0.85);
    // A level told by telephone sees less than one read there, and both less than the place itself.
    assert!(row(Way::LevelByPhone).month.ratio() < row(Way::Level).month.ratio());
    assert!(row(Way::Level).month.ratio() < row(Way::There).month.ratio());
    let wait = follow.on.days_since(follow.repaired);
    assert!((7..=90).contains(&wait), "{wait}");
    assert!(
        !follow.rows.iter().any(|row| matches!(row.way, Way::ColdNight(_))),
        "its head is held by a fan's speed"
    );
}

#[test]
fn it_closes_itself_only_by_a_look_that_is_late_enough() {
    let on = after(&[]).unwrap().on;
    assert_eq!(after(&[look(&on.days_after(-3).to_string(), "clean")]).unwrap().state, State::Open);
    let late = on.days_after(1);
    assert_eq!(after(&[look(&late.to_string(), "clean")]).unwrap().state, State::Passed(late));
    let early = on.days_after(-3);
    assert_eq!(after(&[look(&early.to_string(), "hit")]).unwrap().state, State::Failed(early));
    let step = format!(
        "gastight = 1\n[visit]\ndate = {late}\n[site]\noffset = \"-04:00\"\n[[entry]]\nkind = \"step\"\nat = 10:00\nwhat = \"follow up test\"\nresult = \"pass\"\n"
    );
    assert_eq!(after(&[step]).unwrap().state, State::Passed(late));
}

#[test]
fn where_the_condenser_floods_a_cold_night_asks_for_what_was_lost() {
    let text = "gastight = 1\n[visit]\ndate = 2031-09-01\n[site]\noffset = \"-04:00\"\n[system]\nrefrigerant = \"R-448A\"\ncharge = \"20 kg\"\n\
                head_control = \"flooding valve\"\nhead_setting = \"30 °C\"\ncondenser_volume = \"12 L\"\ndesign_split = \"8 K\"\n\
                coldest_ambient = \"-25 °C\"\n\
                [[entry]]\nkind = \"past change\"\non = 2030-09-01\namount = \"2 kg\"\n\
                [[entry]]\nkind = \"past change\"\non = 2031-03-01\namount = \"2 kg\"\n\
                [[entry]]\nkind = \"repair\"\nat = 10:00\nplace = \"a nut\"\nwhat = \"mended\"\n";
    let visit = Visit::new("", &events(text));
    let results = Results::of(&visit);
    let follow = follow_up::of(&visit, &results.account).unwrap();
    let cold = follow.rows.iter().find_map(|row| match row.way {
        Way::ColdNight(below) => Some((below.celsius(), row)),
        _ => None,
    });
    let (below, row) = cold.unwrap();
    assert!((-25.0..0.0).contains(&below), "{below}");
    assert!(row.month.ratio() > row.day.ratio());
    assert_eq!(follow.wanting, ["receiver_volume", "sensitivity"]);
    assert!(follow_up::section(&results, &visit.writer()).is_some());
    let nothing = Visit::new("", &events(&text.replace("amount = \"2 kg\"", "amount = \"unknown\"")));
    assert!(follow_up::of(&nothing, &Results::of(&nothing).account).is_none());
}
