//! The record of a visit as facts of law, and the answers a person reads.

#![allow(clippy::unwrap_used)]

use job::law::{self, Book, Law, LawFacts};
use job::visit::Visit;
use record::read_job_file;
use report::VerdictMark;
use rules::{ExactMass, Missing, Outcome, Reason, What};
use wording::Wording;

fn visit(text: &str) -> Visit {
    let file = read_job_file(format!("gastight = 1\n{text}").as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    Visit::new("test", &file.events)
}

fn example(name: &str) -> String {
    let path = format!("{}/../../examples/jobs/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

fn moved(name: &str, jurisdiction: &str) -> Visit {
    let text =
        example(name).replace("\"Ontario, Canada\"", &format!("{jurisdiction:?}\nowner = \"private\""));
    let file = read_job_file(text.as_bytes()).unwrap();
    Visit::new(name, &file.events)
}

fn said(visit: &Visit, day: &str) -> String {
    Wording::new("en").say(&law::charging(visit, day.parse().unwrap()).sentence)
}

fn with<R>(visit: &Visit, day: &str, look: impl FnOnce(&Law<'_>, &LawFacts) -> R) -> R {
    let facts = law::facts(visit);
    look(&Law::of(Book::shipped(), &facts, day.parse().unwrap()), &facts)
}

#[test]
fn the_found_leak_of_the_demo_forbids_adding_in_spain_and_is_acted_upon_elsewhere() {
    let spain = moved("room-7-first-call", "Spain");
    assert_eq!(said(&spain, "2031-05-07"), "Do not add refrigerant yet. First: the leak repaired.");
    assert_eq!(law::charging(&spain, "2031-05-07".parse().unwrap()).mark, VerdictMark::Due);
    for (place, begins) in [
        ("Ontario, Canada", "Act as if: no adding before a leak test"),
        ("Manitoba, Canada", "Act as if: no adding before a leak test"),
        ("Quebec, Canada", "Act as if: no adding while a leak is known"),
        ("France", "Act as if: no adding while a leak is known"),
    ] {
        let visit = moved("room-7-first-call", place);
        let line = law::charging(&visit, "2031-05-07".parse().unwrap());
        let sentence = Wording::new("en").say(&line.sentence);
        assert!(sentence.starts_with(begins), "{place}: {sentence}");
        // Acting as if is not knowing.
        assert_eq!(line.mark, VerdictMark::Unknown, "{place}");
    }
}

#[test]
fn masses_are_taken_as_typed_and_what_was_recovered_is_not_a_loss() {
    let visit = moved("room-7-repair", "Spain");
    with(&visit, "2031-05-20", |_, facts| {
        // 27 lb 5.0 oz less 24 lb 7.6 oz is 45.4 oz; 3.2 oz of them had come out of the section.
        let added: Vec<_> = facts
            .facts
            .events
            .iter()
            .filter_map(|event| match &event.what {
                What::Added { mass, reason, .. } => Some((*mass, *reason)),
                _ => None,
            })
            .collect();
        let ounces = |text: &str| text.parse::<ExactMass>().unwrap();
        assert_eq!(added, [(Some(ounces("42.2 oz")), Some(Reason::AfterRepair))]);
        assert_eq!(facts.put_back, ounces("3.2 oz"));
        let booked: ExactMass = facts
            .booked
            .iter()
            .filter_map(|event| match event.what {
                What::Added { mass, .. } => mass,
                _ => None,
            })
            .sum();
        assert_eq!(booked, ounces("45.4 oz"));
    });
}

#[test]
fn days_and_minutes_are_those_of_the_site() {
    // 23:40 in Toronto is the next day in Greenwich.
    let visit = visit(
        "[site]\njurisdiction = \"CA-ON\"\noffset = \"-04:00\"\n[visit]\ndate = 2031-05-06\n\
         [[entry]]\nkind = \"step\"\nwhat = \"owner told\"\nat = 23:40\n",
    );
    with(&visit, "2031-05-07", |_, facts| {
        let event = &facts.facts.events[0];
        assert_eq!(event.on.to_string(), "2031-05-06");
        assert_eq!(event.at.unwrap().to_string(), "23:40");
    });
}

const FEDERAL: &str = "[site]\njurisdiction = \"Ontario, Canada\"\nowner = \"federal\"\noffset = \"-05:00\"\n\
     [visit]\ndate = 2027-01-15\ncertificate = \"invented 1\"\n\
     [system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\nbox_kind = \"walk in cooler\"\n";

#[test]
fn a_clean_test_of_the_whole_system_lets_a_federal_site_add_with_duties() {
    let tested = format!(
        "{FEDERAL}[[entry]]\nkind = \"leak check\"\nat = 09:00\nplace = \"roof\"\nmethod = \"electronic\"\nresult = \"clean\"\n"
    );
    // One place that was clean is no test of the system.
    assert!(said(&visit(&tested), "2027-01-15").contains("a leak test for this addition"));
    let whole = format!("{tested}whole_system = \"yes\"\n");
    let line = law::charging(&visit(&whole), "2027-01-15".parse().unwrap());
    assert_eq!(line.mark, VerdictMark::Met);
    assert!(said(&visit(&whole), "2027-01-15").starts_with("Refrigerant may be added now"));
    with(&visit(&whole), "2027-01-15", |law, _| {
        // A yes rests on text that was read, and stands among the duties.
        assert!(!law.assessment.charging.because.is_empty());
        for id in &law.assessment.charging.because {
            assert!(law.assessment.of(id).any(|v| law.is_firm(v) && v.outcome == Outcome::Met), "{id}");
        }
    });
}

#[test]
fn a_leak_that_is_found_is_due_within_seven_days_at_a_federal_site_and_the_owner_must_be_told() {
    let found = format!(
        "{FEDERAL}[[entry]]\nkind = \"leak check\"\nat = 09:00\nplace = \"flare nut\"\nmethod = \"soap\"\nresult = \"hit\"\n"
    );
    let sentence = said(&visit(&found), "2027-01-15");
    assert!(sentence.contains("the leak repaired") && sentence.contains("the owner told"), "{sentence}");
    with(&visit(&found), "2027-01-15", |law, facts| {
        let leak = law.assessment.of("ca.leak").next().unwrap();
        assert!(matches!(leak.outcome, Outcome::Due(due) if due.to_string() == "2027-01-22"), "{leak:?}");
        assert!(law.is_firm(leak));
        assert_eq!(facts.names[&leak.evidence[0].id].place.as_deref(), Some("flare nut"));
    });
    // The repair of the same place, however its name is written, ends it.
    let mended = format!(
        "{found}[[entry]]\nkind = \"step\"\nat = 09:10\nwhat = \"owner told\"\n\
         [[entry]]\nkind = \"repair\"\nat = 11:00\nplace = \"Flare nut.\"\nwhat = \"new flare\"\n"
    );
    with(&visit(&mended), "2027-01-15", |law, _| {
        assert!(law.assessment.of("ca.leak").any(|verdict| verdict.outcome == Outcome::Met));
    });
    // A hit that did not come again is no leak found.
    let withdrawn = format!("{found}repeated = \"no\"\n");
    with(&visit(&withdrawn), "2027-01-15", |law, _| {
        assert!(!law.assessment.of("ca.leak").any(|verdict| matches!(verdict.outcome, Outcome::Due(_))));
    });
}

#[test]
fn hearsay_is_never_firm() {
    let seen = format!(
        "{FEDERAL}[[entry]]\nkind = \"leak check\"\nat = 09:00\nplace = \"flare nut\"\nmethod = \"soap\"\nresult = \"hit\"\n"
    );
    let told = format!("{seen}told_by = \"the night manager\"\n");
    let firm = |text: &str| {
        with(&visit(text), "2027-01-15", |law, _| {
            let leak = law.assessment.of("ca.leak").next().unwrap();
            (law.is_firm(leak), Wording::new("en").say(&law.shown_status(leak)))
        })
    };
    assert_eq!(firm(&seen), (true, "read in the law".to_owned()));
    assert_eq!(firm(&told), (false, "read in the law; rests on what was told".to_owned()));
}

#[test]
fn what_is_not_known_is_named_and_an_addition_without_a_day_makes_rates_floors() {
    let text = "[site]\njurisdiction = \"USA\"\n[system]\nrefrigerant = \"R-22\"\ncharge = \"100 lb\"\n\
         box_kind = \"walk in cooler\"\n\
         [[entry]]\nkind = \"past change\"\non = 2026-01-10\namount = \"5 lb\"\n\
         [[entry]]\nkind = \"past change\"\non = 2026-07-10\namount = \"5 lb\"\n";
    with(&visit(text), "2026-08-01", |law, facts| {
        assert!(facts.use_from_box);
        assert!(law.assessment.leak_rates.iter().all(|line| line.wanting.is_none()));
    });
    let more = format!(
        "{text}[[entry]]\nkind = \"past change\"\nevery = \"about 3 months\"\namount = \"unknown\"\n"
    );
    with(&visit(&more), "2026-08-01", |law, facts| {
        assert_eq!(facts.without_day.len(), 1);
        assert!(!law.assessment.leak_rates.is_empty());
        for line in &law.assessment.leak_rates {
            assert_eq!(line.wanting, Some(Missing::PreviousAddition), "{line:?}");
            // 5 and 10 of 100 are not over; a floor may be.
            assert_eq!(line.over, None, "{line:?}");
        }
    });
    with(&visit("[system]\nrefrigerant = \"R-22\"\n"), "2026-08-01", |law, facts| {
        assert_eq!(law.assessment.charging.missing, [Missing::Place]);
        let wants = Wording::new("en").say(&facts.place_wants().unwrap());
        assert!(wants.contains("Ontario, Canada"), "{wants}");
    });
}

#[test]
fn a_record_shows_which_of_its_fields_are_missing() {
    let lacking = |text: &str| {
        let visit = visit(text);
        with(&visit, "2027-01-15", |law, facts| {
            let written = law::written(&visit, facts, &law.assessment);
            let record = law.assessment.records.iter().find(|record| record.duty.id == "on.records").unwrap();
            written.lacking(record).iter().map(|field| field.name()).collect::<Vec<_>>()
        })
    };
    let place =
        "[site]\njurisdiction = \"Ontario\"\nowner = \"private\"\n[system]\nrefrigerant = \"R-449A\"\n";
    let hold = "[[entry]]\nkind = \"step\"\nwhat = \"leak test\"\nresult = \"pass\"\nat = 2027-01-14\n";
    assert_eq!(lacking(&format!("{place}{hold}")), ["employer", "person"]);
    let by = "[visit]\ndate = 2027-01-14\nby = \"technician A\"\nemployer = \"an invented shop\"\n";
    assert!(lacking(&format!("{place}{by}{hold}")).is_empty());
}

#[test]
fn visits_to_one_system_stand_together_and_what_is_due_is_one_list() {
    let visits = ["room-7-first-call", "room-7-repair", "first-visit-minimal"]
        .map(|name| read_job_file(example(name).as_bytes()).unwrap().events);
    let systems = law::systems(visits.to_vec());
    assert_eq!(systems.len(), 2, "{:?}", systems.iter().map(|s| &s.name).collect::<Vec<_>>());
    let room = systems.iter().find(|system| system.name.contains("Room 7")).unwrap();
    assert_eq!(room.visit.earlier.len(), 1);
    // The find of the first visit and the repair of the second are one story.
    let kinds: Vec<&str> = room.facts.names.values().map(|named| named.kind).collect();
    assert!(kinds.contains(&"past change") && kinds.contains(&"repair") && kinds.contains(&"weighing"));
    let laws = law::laws(Book::shipped(), &systems, "2031-05-20".parse().unwrap());
    assert_eq!(laws.len(), 2);
    let all = law::due(&laws, None).len();
    assert!(law::due(&laws, Some(0)).len() <= all);
}

#[test]
fn every_word_of_the_answers_is_in_the_catalogue() {
    let wording = Wording::new("en");
    for place in [
        "Ontario, Canada",
        "Canada",
        "Quebec",
        "Manitoba",
        "USA",
        "California",
        "Spain",
        "France",
        "England",
        "UK",
        "Narnia",
    ] {
        for name in ["room-7-first-call", "room-7-repair", "first-visit-minimal"] {
            let visit = moved(name, place);
            let facts = law::facts(&visit);
            let law = Law::of(Book::shipped(), &facts, "2031-05-20".parse().unwrap());
            let text = report::to_text(
                &law.document(&visit, &visit.writer(), true),
                &|message| wording.say(message),
                report::TextOptions::default(),
            );
            assert!(!text.contains('«'), "{place} {name}: {text}");
        }
    }
}

#[test]
fn the_report_and_the_close_say_what_the_law_asks() {
    let wording = Wording::new("en");
    let visit = moved("room-7-first-call", "Spain");
    let text = report::to_text(
        &job::visit::Results::of(&visit).document(&visit.writer()),
        &|message| wording.say(message),
        report::TextOptions::default(),
    );
    for part in ["May I add refrigerant?", "Do not add refrigerant yet", "What must be written"] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let closing = law::closing(&visit, "2031-05-06".parse().unwrap(), &visit.writer());
    let headings: Vec<String> =
        closing.iter().map(|s| s.heading.said(&|message| wording.say(message))).collect();
    assert_eq!(headings, ["What is due", "What must be written", "Notice for the equipment"]);
    // A record that names no place gets no chapter of law in its report, and is asked for the place at the end.
    let minimal = read_job_file(example("first-visit-minimal").as_bytes()).unwrap();
    let minimal = Visit::new("minimal", &minimal.events);
    assert!(law::of_the_report(&minimal, &minimal.writer()).is_empty());
    let closing = law::closing(&minimal, "2031-05-06".parse().unwrap(), &minimal.writer());
    let said = format!("{closing:?}");
    assert!(said.contains("law-place-none"), "{said}");
}

#[test]
fn what_was_done_after_the_day_of_the_visit_counts() {
    // The repair's visit began on 7 May; its refrigerant went in on 8 May.
    let visit = moved("room-7-repair", "Spain");
    assert_eq!(visit.day().unwrap().to_string(), "2031-05-07");
    assert_eq!(law::last_day(&visit).unwrap().to_string(), "2031-05-08");
}
