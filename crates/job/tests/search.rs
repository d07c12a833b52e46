//! The search of a visit, from its record: the invented cold store, and histories that lack nearly everything.

#![allow(clippy::unwrap_used)]

use diagnosis::search::found::Explained;
use job::search::{Search, document, next_json, status_json};
use job::visit::Visit;
use report::Message;

fn visit(text: &str) -> Visit {
    let file = record::read_job_file(text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}"));
    Visit::new(&file.name, &file.events)
}

fn example(name: &str) -> Visit {
    let path = format!("{}/../../examples/jobs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    visit(&std::fs::read_to_string(path).unwrap())
}

fn say(message: &Message) -> String {
    wording::Wording::new("en").say(message)
}

/// The example up to the entry that begins with these words.
fn before(name: &str, marker: &str) -> Visit {
    let path = format!("{}/../../examples/jobs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let at = text.find(marker).unwrap();
    let entry = text[..at].rfind("[[entry]]").unwrap();
    visit(&text[..entry])
}

#[test]
fn room_7_before_the_visit_is_a_leak_of_some_kilograms_a_year_far_above_the_detector() {
    let search = Search::of(&before("room-7-first-call", "kind = \"arrival\""));
    assert!(search.no_leak() < 0.1, "{}", search.no_leak());
    // 1.5 kg in 11 weeks is 7.1 kg a year, and it gets faster.
    assert!(search.rate.interval.0 > 2.0 && search.rate.interval.1 < 16.0, "{:?}", search.rate);
    assert!(search.rate.interval.0 < 7.1 && search.rate.interval.1 > 7.1, "{:?}", search.rate);
    let times = search.detector_ratio().unwrap();
    assert!(times > 500.0, "{times}");
    assert!(search.advice.next.is_some());
}

#[test]
fn room_7_as_searched_leads_to_the_solenoid_under_its_insulation_and_the_find_explains_the_loss() {
    let search = Search::of(&before("room-7-first-call", "kind = \"opened\""));
    let at = |key: &str| search.places.iter().position(|place| place.key == key).unwrap();
    let first_look = Search::of(&before("room-7-first-call", "kind = \"arrival\""));
    // The unit and the coil were looked at; what lies under insulation at the box gained by it.
    assert!(search.now.places[at("solenoid-inlet")] > 1.2 * first_look.now.places[at("solenoid-inlet")]);
    assert!(search.now.places[at("drier")] < 0.8 * first_look.now.places[at("drier")]);
    let rank = search.advice.plan.iter().position(|act| act.place == at("solenoid-inlet")).unwrap();
    assert!(rank < 6, "look number {} of the plan", rank + 1);
    let found = Search::of(&example("room-7-first-call"));
    let find = found.found.clone().unwrap();
    assert_eq!(found.places[find.place].key, "solenoid-inlet");
    assert_eq!(find.explained, Explained::Yes, "{}", find.chance);
    let json = status_json(&found, &say);
    assert_eq!(json["found"]["explains_the_loss"], "yes");
    assert!(json["next"].is_null());
}

#[test]
fn room_2_has_no_leak_and_the_advice_says_to_stop_looking() {
    let search = Search::of(&example("room-2-autumn"));
    let top = &search.hypotheses()[0];
    assert_eq!(top.0.said(&say), "no leak: filled without the winter's share");
    assert!(top.1 > 0.6, "{}", top.1);
    let (sentence, why) = search.now();
    assert_eq!(sentence.id, "seek-stop-winter");
    let why = say(&why.unwrap());
    assert!(why.starts_with("If you must look: "), "{why}");
}

#[test]
fn a_spoken_interval_and_unknown_amounts_give_a_wide_answer_and_a_next_look() {
    let search = Search::of(&example("first-visit-minimal"));
    let rate = search.rate;
    assert!(rate.interval.1 / rate.interval.0 > 3.0, "{rate:?}");
    assert!(search.evidence.charge_assumed && search.evidence.intervals > 0);
    assert!(search.advice.next.is_some() && search.advice.chance_now > 0.0);
    let nothing = Search::of(&visit("gastight = 1\n"));
    assert!(nothing.advice.next.is_some());
    assert_eq!(nothing.evidence.intervals, 0);
    assert_eq!(nothing.detector_ratio(), None);
    let json = next_json(&nothing, &say);
    let sum: f64 =
        json["hypotheses"].as_array().unwrap().iter().map(|h| h["probability"].as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-6, "{sum}");
}

#[test]
fn an_outside_sniff_of_a_control_is_no_check_of_its_inside() {
    let head = "gastight = 1\n[system]\nrefrigerant = \"R-449A\"\ncharge = \"10 kg\"\n";
    let check = |place: &str| {
        format!(
            "{head}[[entry]]\nkind = \"leak check\"\nplace = \"{place}\"\nmethod = \"electronic\"\nresult = \"clean\"\n"
        )
    };
    let at = |search: &Search, key: &str| search.places.iter().position(|place| place.key == key).unwrap();
    let outside = Search::of(&visit(&check("low-pressure control")));
    let inside = Search::of(&visit(&check("low-pressure control, inside")));
    let place = at(&outside, "low-control-inside");
    assert!(outside.now.looked[place] < 0.01, "{}", outside.now.looked[place]);
    assert!(inside.now.looked[place] > 0.4, "{}", inside.now.looked[place]);
}

#[test]
fn a_detector_that_fails_its_check_takes_back_its_clean_marks_of_the_day() {
    let head = "gastight = 1\n[system]\nrefrigerant = \"R-449A\"\n";
    let check = "[[entry]]\nkind = \"leak check\"\nplace = \"sight glass\"\nmethod = \"electronic\"\nresult = \"clean\"\n";
    let failed = "[[entry]]\nkind = \"detector check\"\nresult = \"fail\"\n";
    let search = Search::of(&visit(&format!("{head}{check}{failed}")));
    assert_eq!(search.voided, 1);
    assert!(search.looks.is_empty());
    let good = Search::of(&visit(&format!("{head}{check}")));
    assert_eq!(good.looks.len(), 1);
}

#[test]
fn two_earlier_searches_move_the_chance_from_easy_places_to_hidden_ones() {
    let head = "gastight = 1\n[system]\nrefrigerant = \"R-449A\"\n";
    let searched = "[[entry]]\nkind = \"earlier search\"\nvisits = 2\ncovered = \"unknown\"\n";
    let (fresh, twice) = (Search::of(&visit(head)), Search::of(&visit(&format!("{head}{searched}"))));
    let share = |search: &Search, key: &str| {
        let at = search.places.iter().position(|place| place.key == key).unwrap();
        search.now.places[at]
    };
    assert!(share(&twice, "glass") < share(&fresh, "glass"));
    assert!(share(&twice, "suction-line") > share(&fresh, "suction-line"));
    assert!(twice.no_leak() > fresh.no_leak());
}

#[test]
fn the_answer_reads_in_plain_words_and_every_sentence_is_in_the_catalogue() {
    for name in ["room-7-first-call", "room-2-autumn", "first-visit-minimal", "room-7-repair"] {
        let visit = example(name);
        let text = report::to_text(
            &document(&visit, &Search::of(&visit), &visit.writer(), true),
            &say,
            report::TextOptions::default(),
        );
        assert!(!text.contains('«'), "{text}");
        assert!(text.contains("Search for the leak"));
    }
}

#[test]
fn a_section_that_held_overnight_moves_the_chance_out_of_it_and_one_that_fell_into_it() {
    let hold = |end: &str| {
        format!(
            r#"gastight = 1
[system]
refrigerant = "R-449A"
charge = "10 kg"
[[entry]]
kind = "past change"
change = "added"
amount = "1.5 kg"
on = 2030-11-01
[[entry]]
kind = "past change"
change = "added"
amount = "1.5 kg"
on = 2031-03-01
[[entry]]
kind = "hold"
gas = "nitrogen"
section = "receiver outlet to suction service valve"
filled_at = 2031-05-07T15:00-04:00
volume = "2 L"
liquid_left = "no"
working_pressure = "158 psig"
[entry.start]
at = 2031-05-07T15:40-04:00
pressure = "180 psig"
temperature = "20 C"
[entry.end]
at = 2031-05-08T07:40-04:00
pressure = "{end}"
temperature = "20 C"
"#
        )
    };
    let none = Search::of(&visit(hold("180 psig").split("[[entry]]\nkind = \"hold\"").next().unwrap()));
    let (held, fell) = (Search::of(&visit(&hold("180 psig"))), Search::of(&visit(&hold("120 psig"))));
    assert_eq!((held.evidence.holds.len(), fell.evidence.holds.len()), (1, 1));
    assert!(held.evidence.holds[0].fell.is_none() && fell.evidence.holds[0].fell.is_some());
    let inside = |search: &Search| -> f64 {
        search
            .evidence
            .holds
            .first()
            .unwrap_or(&held.evidence.holds[0])
            .places
            .iter()
            .map(|at| search.now.places[*at])
            .sum()
    };
    let limit = held.evidence.holds[0].limit;
    assert!(limit > 0.0 && limit < 10.0, "{limit}");
    assert!(inside(&held) < inside(&none) && inside(&none) < inside(&fell));
    // A hold after a repair speaks of the repair.
    let mended = hold("180 psig").replace(
        "kind = \"hold\"",
        "kind = \"repair\"\nwhat = \"glass tightened\"\n[[entry]]\nkind = \"hold\"",
    );
    assert!(Search::of(&visit(&mended)).evidence.holds.is_empty());
}
