//! A system over several visits: what holds, what is history, and what is asked again.

#![allow(clippy::unwrap_used)]

use job::visit::chain::{chain_of, follows, in_order};
use job::visit::{Results, Visit};
use record::{Event, JobFile, read_job_file};
use units::{Length, Writer};
use uuid::Uuid;

const FIRST: &str = include_str!("../../../examples/jobs/room-7-first-call.toml");
const REPAIR: &str = include_str!("../../../examples/jobs/room-7-repair.toml");

fn read(text: &str) -> JobFile {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}"))
}

/// A later visit to the system of `before`, with nothing in it but what is given.
fn later(before: &JobFile, day: &str, rest: &str) -> JobFile {
    read(&format!(
        "gastight = 1\njob = \"later {day}\"\n[visit]\ndate = {day}\nfollows = \"{}\"\n[site]\noffset = \"-05:00\"\n{rest}",
        before.job
    ))
}

fn html(visit: &Visit) -> String {
    let wording = wording::Wording::new("en");
    report::to_html(&Results::of(visit).document(&visit.writer()), &|message| wording.say(message))
}

#[test]
fn a_first_visit_is_the_same_by_itself_and_as_a_chain_of_one() {
    for text in [
        FIRST,
        REPAIR,
        include_str!("../../../examples/jobs/first-visit-minimal.toml"),
        include_str!("../../../examples/jobs/chamber-states-dry-air.toml"),
    ] {
        let file = read(text);
        let (alone, chain) = (
            Visit::new(&file.name, &file.events),
            Visit::of_chain(&file.name, core::slice::from_ref(&file.events)),
        );
        assert_eq!(html(&alone), html(&chain));
        assert_eq!(Results::of(&alone).figures(), Results::of(&chain).figures());
    }
    assert!(Visit::of_chain("nothing", &[]).current.entries.is_empty());
}

#[test]
fn what_the_first_visit_found_out_is_not_asked_again() {
    let first = read(FIRST);
    let reading = "[[entry]]\nkind = \"reading\"\nat = 09:10\nstate = \"running\"\n\
                   suction_pressure = \"62.5 psig\"\nsuction_line = \"40 F\"\n";
    let second = later(&first, "2031-11-06", reading);
    assert_eq!(follows(&second.events), Some(first.job));
    let alone = Visit::new(&second.name, &second.events);
    assert!(alone.substance.is_none() && Results::of(&alone).readings[0].superheats.is_empty());
    let visit = Visit::of_chain(&second.name, &[first.events.clone(), second.events.clone()]);
    assert!(visit.substance.is_some());
    assert_eq!(Results::of(&visit).readings[0].superheats.len(), 1);
    assert_eq!(visit.site.value.name.as_deref(), Some("Wrenford Flower Exchange"));
    assert_eq!(visit.site.value.altitude.as_ref().unwrap().value(), Some(&Length::from_metre(85.0)));
    // The offset is that of the day: winter time now.
    assert_eq!(visit.site.value.offset.as_ref().unwrap().value.0, -300);
    assert!(visit.bench.instruments().any(|instrument| instrument.id == "clamp"));
    assert_eq!(visit.visit.value.complaint, None, "a complaint is of its own visit");
    assert_eq!(
        visit
            .entries(|body| match body {
                record::Body::PastChange(change) => Some(&**change),
                _ => None,
            })
            .count(),
        0,
        "history is behind the visit, not in it"
    );
    assert!(visit.is_demo());
}

#[test]
fn what_the_later_visit_says_goes_before_and_unknown_gives_way() {
    let first = read(FIRST);
    let rest = "[system]\ncharge = \"13.9 kg\"\noil = \"unknown\"\nrun_share = \"70 %\"\n";
    let second = later(&first, "2031-11-06", rest);
    let visit = Visit::of_chain("", &[first.events.clone(), second.events.clone()]);
    let system = &visit.system.value;
    assert_eq!(system.charge.as_ref().unwrap().text(), "13.9 kg");
    assert_eq!(system.oil.as_ref().unwrap().text(), "POE");
    assert_eq!(system.run_share.as_ref().unwrap().text(), "70 %");
    // Each field says which event it stands by, of whichever visit.
    let of = |field: &str, events: &[Event]| {
        visit.system.sources[field].iter().all(|id| events.iter().any(|event| event.id == *id))
    };
    assert!(of("charge", &second.events) && of("oil", &first.events) && of("refrigerant", &first.events));
}

#[test]
fn refills_and_weighings_of_earlier_visits_are_the_history_of_the_loss() {
    let (first, repair) = (read(FIRST), read(REPAIR));
    let days = |visit: &Visit| -> Vec<String> {
        Results::of(visit).account.refills.iter().map(|refill| refill.day.unwrap().to_string()).collect()
    };
    let both = Visit::of_chain("", &[first.events.clone(), repair.events.clone()]);
    let told = days(&Visit::new("", &first.events));
    assert!(told.len() >= 4, "{told:?}");
    assert_eq!(days(&both)[..told.len()], told[..]);
    assert_eq!(days(&both).last().unwrap(), "2031-05-07");
    // Half a year on the same refills are told again, and one more was weighed: on the visit before.
    let rest = "[[entry]]\nkind = \"past change\"\non = 2031-05-07\namount = \"about 3 lb\"\n\
                [[entry]]\nkind = \"past change\"\non = 2030-08-19\namount = \"1.1 kg\"\n";
    let third = later(&repair, "2031-11-06", rest);
    let visit = Visit::of_chain("", &[first.events.clone(), repair.events.clone(), third.events.clone()]);
    assert_eq!(days(&visit), days(&both), "each counts once");
    let refills = Results::of(&visit).account.refills;
    let weighed = refills.last().unwrap();
    assert!(!weighed.told && !weighed.today && weighed.exact.is_some());
    // 27 lb 5.0 oz less 24 lb 7.6 oz went in, 3.2 oz came out before: 42.2 oz = 1.196 kg, less what the hoses lost.
    let field::annual_loss::Amount::Known(mass) = &weighed.amount else { panic!("{:?}", weighed.amount) };
    assert!((mass.value().kilogram() - 1.169).abs() < 0.001, "{:?}", mass.value());
    assert!(visit.repairs_of_all().filter(|(earlier, ..)| *earlier).count() >= 1);
    let checks = visit.checks_of_all().count();
    assert_eq!(
        checks,
        Visit::new("", &first.events).checks_of_all().count()
            + Visit::new("", &repair.events).checks_of_all().count()
    );
    assert!(checks >= 3, "{checks}");
}

#[test]
fn the_cylinders_that_close_today_are_todays() {
    let (first, repair) = (read(FIRST), read(REPAIR));
    let third = later(&repair, "2031-11-06", "");
    let visit = Visit::of_chain("", &[first.events, repair.events, third.events]);
    assert!(Results::of(&visit).account.net_today.is_none());
    assert!(visit.cylinders.contains_key("S-14"));
    let _ = Results::of(&visit).document(&Writer::us());
}

#[test]
fn the_report_says_which_visit_it_follows_and_who_signed() {
    let (first, repair) = (read(FIRST), read(REPAIR));
    let both = Visit::of_chain("", &[first.events.clone(), repair.events.clone()]);
    assert!(html(&both).contains("Follows the visit of 2031-05-06"));
    assert!(!html(&Visit::new("", &repair.events)).contains("Follows the visit"));
    let mut events = first.events;
    let today = record::current(&events);
    let choice = today.entries.iter().find(|entry| matches!(entry.what(), record::Body::Choice(_))).unwrap();
    let signed =
        job::entry::sign(choice, "what was shown", "the day manager, signing", &job::entry::sign::How::Named)
            .unwrap();
    let mut maker = job::entry::Maker::new(first.job, None, None, &events);
    events.push(maker.sign(signed, job::entry::Tick { now_ms: 1_936_000_000_000, random: [1; 10] }));
    assert!(html(&Visit::new("", &events)).contains("the day manager, signing"));
}

#[test]
fn visits_find_their_order_by_whom_they_follow() {
    let first = read(FIRST);
    let second = later(&first, "2031-11-06", "");
    let third = later(&second, "2032-11-06", "");
    let all = [third.events.clone(), first.events.clone(), second.events.clone()];
    let by_job = |job: Uuid| all.iter().find(|events| events[0].job == job).cloned();
    let jobs = |visits: Vec<Vec<Event>>| visits.iter().map(|events| events[0].job).collect::<Vec<_>>();
    assert_eq!(jobs(chain_of(third.job, by_job)), [first.job, second.job, third.job]);
    assert_eq!(jobs(in_order(all.to_vec())), [first.job, second.job, third.job]);
    // A visit that is not here ends the chain; visits that follow each other are each taken once.
    assert_eq!(
        jobs(chain_of(third.job, |job| by_job(job).filter(|events| events[0].job != second.job))),
        [third.job]
    );
    let a = read("gastight = 1\njob = \"a\"\n[visit]\nfollows = \"no id at all\"\n");
    assert_eq!(follows(&a.events), None);
    let ring = read(&format!("gastight = 1\njob = \"a\"\n[visit]\nfollows = \"{}\"\n", a.job));
    assert_eq!(jobs(chain_of(ring.job, |_| Some(ring.events.clone()))), [ring.job]);
}
