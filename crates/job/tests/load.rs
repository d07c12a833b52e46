//! Before the call: intake and load; and a call in one trip and in two, with nothing typed twice.

#![allow(clippy::unwrap_used)]

use job::bill;
use job::entry::second_visit;
use job::load;
use job::stage::{self, Stage};
use job::visit::{Results, Visit};
use record::{Body, Event, read_job_file, read_prices};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn file(path: &str) -> String {
    std::fs::read_to_string(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(path))
        .unwrap()
}

fn events(text: &str) -> Vec<Event> {
    read_job_file(text.as_bytes()).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn said(messages: &[report::Message]) -> String {
    let wording = wording::Wording::new("en");
    messages.iter().map(|message| wording.say(message)).collect::<Vec<_>>().join(" | ")
}

fn loaded(visit: &Visit) -> String {
    let wording = wording::Wording::new("en");
    let say = |message: &report::Message| wording.say(message);
    let results = Results::of(visit);
    load::list(visit, &results.account, None, &visit.writer())
        .iter()
        .map(|one| format!("{}: {}", one.what.said(&say), one.why.as_ref().map(&say).unwrap_or_default()))
        .collect::<Vec<_>>()
        .join(" | ")
        .replace('\u{a0}', " ")
}

#[test]
fn the_intake_is_in_the_customer_s_words_and_the_load_goes_by_it() {
    let call = Visit::new("", &events(&file("jobs/room-7-first-call.toml")));
    let text = said(&load::intake(&call));
    for part in ["Room 7 is warm again", "box too warm", "roses, until about midnight", "Ring at the dock"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let text = loaded(&call);
    assert!(text.contains("R-449A: the largest refill took 1.60 kg"), "{text}");
    assert!(
        text.contains("sniffer: try it on a test leak first") && text.contains("recovery cylinder with room"),
        "{text}"
    );
    let quiet =
        file("jobs/room-7-first-call.toml").replace("booked_for = \"warm box\"", "booked_for = \"noise\"");
    let text = loaded(&Visit::new("", &events(&quiet)));
    assert!(!text.contains("R-449A") && !text.contains("sniffer"), "{text}");
}

#[test]
fn an_instrument_and_a_cylinder_past_their_day_say_so() {
    let old = file("jobs/room-7-repair.toml")
        .replace("retest = 2033-09-01", "retest = 2030-09-01")
        .replace("id = \"sniffer\"", "id = \"sniffer\"\ncompared = 2029-01-01");
    let text = loaded(&Visit::new("", &events(&old)));
    assert!(text.contains("R-03: its retest was due on 2030-09-01"), "{text}");
    assert!(text.contains("sniffer: last compared on 2029-01-01"), "{text}");
}

#[test]
fn it_stands_at_arrive_until_somebody_is_there() {
    let booked = "gastight = 1\n[visit]\ndate = 2031-05-06\ncomplaint = \"Warm.\"\nbooked_for = \"warm box\"\n[system]\nrefrigerant = \"R-449A\"\n";
    let has = |text: &str| {
        let visit = Visit::new("", &events(text));
        let now = record::When::from_local(visit.day().unwrap(), 8 * 3_600_000, 0, None).unwrap();
        let view = stage::view(Stage::Arrive, &visit, &visit.writer(), &now);
        view.sections.iter().any(|section| section.heading == report::Message::new("load-title").into())
    };
    assert!(has(booked));
    assert!(!has(&format!(
        "{booked}[[entry]]\nkind = \"arrival\"\nat = 2031-05-06T09:00+00:00\nplace = \"box\"\n"
    )));
}

/// Every text that a person typed into the events of a visit, long enough to be somebody's work.
fn typed(events: &[Event]) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    for event in events {
        let record::Content::Observed(seen) = &event.content else { continue };
        // Times differ by themselves; words of closed lists are touched, not typed.
        let texts = record::texts_of(seen).map(|filled| filled.fields).unwrap_or_default();
        out.extend(texts.into_iter().map(|(_, text)| text).filter(|text| text.chars().count() > 12));
    }
    out
}

/// How many fields of its entries a person filled, by typing or by a tap; the places that the phone knows count too.
fn taps(events: &[Event]) -> usize {
    let fields = |event: &Event| match &event.content {
        record::Content::Observed(seen) if seen.at.is_some() => {
            let head = record::head_texts_of(seen).into_iter().filter(|(path, _)| path != "at").count();
            head + record::texts_of(seen).map_or(0, |filled| filled.fields.len())
        }
        _ => 0,
    };
    events.iter().map(fields).sum()
}

#[test]
fn one_trip_and_two_trips_are_billed_from_what_was_recorded_once() {
    let prices = read_prices(file("prices.toml").as_bytes()).unwrap();
    let head = "gastight = 1\n[site]\nname = \"Wrenford Flower Exchange\"\njurisdiction = \"Ontario, Canada\"\noffset = \"-04:00\"\n\
                [system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\n";
    let find = "[[entry]]\nkind = \"arrival\"\nat = 09:00\nplace = \"roof\"\ntravel = \"30 min\"\n\
                [[entry]]\nkind = \"leak check\"\nat = 10:00\nplace = \"a nut\"\nmethod = \"soap\"\nresult = \"hit\"\n";
    let mend = "[[entry]]\nkind = \"repair\"\nat = 11:00\nplace = \"a nut\"\nwhat = \"cut out and brazed\"\n\
                [[entry]]\nkind = \"departure\"\nat = 11:30\nplace = \"roof\"\n";
    let part = |source: &str| {
        format!(
            "[[entry]]\nkind = \"part\"\nat = 10:10\nfunction = \"filter drier, liquid line\"\nsource = \"{source}\"\n"
        )
    };
    let one = format!("{head}[visit]\ndate = 2031-05-07\n{find}{}{mend}", part("van"));
    let once = Visit::new("", &events(&one));
    let bill = bill::invoice(&once, &prices, true).unwrap();
    assert_eq!((bill.worked.trips, bill.worked.climbs), (1, 1));
    // An entry is one form kept: five of them, ten fields typed or tapped, from arrival to departure.
    assert_eq!((bill.worked.entries, taps(&events(&one))), (5, 10));
    assert!(
        bill.lines.iter().any(|line| line.amount == bill::Decimal::new(7490, 2)),
        "the drier, by the list"
    );

    let leave = "[[entry]]\nkind = \"departure\"\nat = 10:20\nplace = \"roof\"\n";
    let first = events(&format!("{head}[visit]\ndate = 2031-05-07\n{find}{}{leave}", part("order")));
    let before = Visit::new("", &first);
    // The part is on order: nothing of it is billed yet.
    let draft = bill::invoice(&before, &prices, false).unwrap();
    assert!(!draft.lines.iter().any(|line| line.amount == bill::Decimal::new(7490, 2)));
    // The second visit is made from what the first left open, by the program; a person adds only what is new.
    let made = second_visit(&before, &|_| String::new());
    assert!(made.iter().any(
        |seen| matches!(&seen.what, Body::Part(part) if part.source == Some(record::PartSource::Stock))
    ));
    let came = "gastight = 1\n[site]\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-09\n\
                [[entry]]\nkind = \"arrival\"\nat = 09:30\nplace = \"roof\"\ntravel = \"30 min\"\n";
    let by_hand = events(&format!("{came}{mend}"));
    let both = typed(&first).intersection(&typed(&by_hand)).cloned().collect::<Vec<_>>();
    assert!(both.is_empty(), "typed twice: {both:?}");
    // As the phone does it: what was made stands in the new job beside what was typed.
    assert_eq!(
        (taps(&first), taps(&by_hand)),
        (8, 5),
        "the second trip costs three more: here, the way, away"
    );
    let mut second = by_hand;
    let mut maker = job::entry::Maker::new(second[0].job, None, None, &second);
    let tick = |n: u8| job::entry::Tick { now_ms: 1_936_000_000_000 + i64::from(n), random: [n; 10] };
    second.extend(made.into_iter().zip(1..).map(|(seen, n)| maker.observe(seen, tick(n))));
    let twice = Visit::of_chain("", &[first, second]);
    let bill = bill::invoice(&twice, &prices, true).unwrap();
    assert_eq!((bill.worked.trips, bill.worked.climbs), (2, 2));
    assert_eq!(bill.worked.entries, 7);
    let driers = bill.lines.iter().filter(|line| line.amount == bill::Decimal::new(7490, 2)).count();
    assert_eq!(driers, 1, "billed once, by the visit that put it in");
}

#[test]
fn what_was_declined_is_asked_again_until_it_is_put_right() {
    let head =
        |day: &str| format!("gastight = 1\n[visit]\ndate = {day}\n[system]\nrefrigerant = \"R-449A\"\n");
    let finding = |more: &str| {
        format!(
            "[[entry]]\nkind = \"finding\"\nwhat = \"insulation missing on 1.5 m\"\nabout = \"bare line\"\n{more}"
        )
    };
    let declined = "answer = \"declined\"\nanswered_by = \"the night manager\"\n";
    let first = events(&format!("{}{}", head("2031-05-06"), finding(declined)));
    let asked = |second: String| {
        said(&load::intake(&Visit::of_chain(
            "",
            &[first.clone(), events(&format!("{}{second}", head("2031-06-06")))],
        )))
    };
    let again = asked(String::new());
    assert!(
        again.contains("Declined on 2031-05-06 by the night manager, ask again: insulation missing"),
        "{again}"
    );
    assert!(
        !said(&load::intake(&Visit::of_chain("", core::slice::from_ref(&first)))).contains("ask again"),
        "just asked"
    );
    assert!(!asked(finding("done = \"yes\"\n")).contains("ask again"));
    assert!(!asked(finding("answer = \"accepted\"\n")).contains("ask again"));
}
