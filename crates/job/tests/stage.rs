//! What each stage shows, and when: a sentence for every state of a visit, and each rule only where it holds.

#![allow(clippy::unwrap_used)]

use job::stage::{Stage, View, view};
use job::visit::Visit;
use job::{carry, jobs, place, stage};
use proptest::prelude::*;
use record::{Event, When, read_job_file};
use report::{Block, Document, Mark, Message, VerdictMark};
use units::Writer;

const EXAMPLES: [&[u8]; 3] = [
    include_bytes!("../../../examples/jobs/first-visit-minimal.toml"),
    include_bytes!("../../../examples/jobs/room-7-first-call.toml"),
    include_bytes!("../../../examples/jobs/room-7-repair.toml"),
];

fn events(toml: &[u8]) -> Vec<Event> {
    read_job_file(toml).unwrap_or_else(|problems| panic!("{problems}")).events
}

fn when(text: &str) -> When {
    When::read(text, &record::Local::default()).unwrap()
}

/// A visit from the lines of a job file, on the day of most of these tests.
fn visit(lines: &str) -> Visit {
    let file = format!("gastight = 1\n{lines}");
    Visit::new("test", &events(file.as_bytes()))
}

const DAY: &str = "[site]\noffset = \"-04:00\"\naltitude = \"85 m\"\n[visit]\ndate = 2031-05-07\n";

fn say(message: &Message) -> String {
    wording::Wording::new("en").say(message)
}

fn at(visit: &Visit, stage: Stage, now: &str) -> View {
    view(stage, visit, &visit.writer(), &when(now))
}

/// The id of the sentence and its mark.
fn now_of(visit: &Visit, stage: Stage, now: &str) -> (&'static str, Option<VerdictMark>) {
    let view = at(visit, stage, now);
    (view.now.sentence.id, view.now.mark)
}

const NOON: &str = "2031-05-07T12:00-04:00";

/// Everything a screen asks of a visit, so that a panic in any of it is found; each stage has a sentence that reads.
fn show_all(events: &[Event], now: &When) -> Vec<View> {
    let visit = Visit::new("test", events);
    let writer = visit.writer();
    for place in place::places(&visit) {
        let _ = place::leaving(&visit, &place.name);
        let _ = carry::going_up(&visit, &place.name);
    }
    let _ =
        (place::here(&visit), place::owed(&visit), place::parts_by_place(&visit), place::left_shut(&visit));
    let circuit = stage::circuit(&visit);
    assert!(circuit.blocks.len() <= 9);
    let _ = jobs::row(events);
    Stage::ALL
        .into_iter()
        .map(|stage| {
            let view = view(stage, &visit, &writer, now);
            assert!(view.sharpen.len() <= 3, "{stage:?}");
            let sentence = say(&view.now.sentence);
            assert!(!sentence.is_empty() && !sentence.contains('«'), "{stage:?}: {sentence}");
            view
        })
        .collect()
}

#[test]
fn every_stage_speaks_after_every_entry_of_the_examples() {
    let now = when(NOON);
    for example in EXAMPLES {
        let all = events(example);
        // Facts come first in a file and alone show little: every entry, and some of the facts.
        let facts = all.len().saturating_sub(30);
        for count in (0..facts).step_by(40).chain(facts..=all.len()) {
            show_all(&all[..count], &now);
        }
    }
}

#[test]
fn all_that_a_view_shows_is_in_the_catalogue() {
    let wording = wording::Wording::new("en");
    let say = |message: &Message| wording.say(message);
    for example in EXAMPLES {
        for view in show_all(&events(example), &when("2031-05-08T13:00-04:00")) {
            let mut document = Document::new(view.stage.name(), "en", Mark::Answer);
            document.sections = view.sections;
            let text = report::to_text(&document, &say, report::TextOptions::default());
            assert!(!text.contains('«'), "{:?}: {text}", view.stage);
            for offer in &view.offers {
                assert!(!say(&offer.label).contains('«'), "{:?}", offer.label);
            }
        }
    }
}

/// What Decide says of enclosing the find of Room 7: the receiver's outlet closes, so the liquid line can be emptied.
#[test]
fn decide_says_how_to_enclose_a_find() {
    let text = |toml: &[u8]| {
        let view = at(&Visit::new("test", &events(toml)), Stage::Decide, NOON);
        let mut document = Document::new(view.stage.name(), "en", Mark::Answer);
        document.sections = view.sections;
        report::to_text(&document, &say, report::TextOptions::default())
    };
    let found = text(EXAMPLES[1]);
    let order =
        ["Never shut in", "empty this section", "Shut receiver outlet", "Run until", "Shut suction service"];
    let at: Vec<usize> =
        order.iter().map(|piece| found.find(piece).unwrap_or_else(|| panic!("{piece}: {found}"))).collect();
    assert!(at.is_sorted(), "{found}");
    // Two hits at one place are one leak.
    assert_eq!(found.matches("empty this section").count(), 1);
    // Nothing found, nothing to enclose.
    assert!(!text(EXAMPLES[0]).contains("Never shut in"));
}

#[test]
fn every_offer_names_a_kind_and_fields_that_the_reader_knows() {
    for example in EXAMPLES {
        let all = events(example);
        for count in [0, all.len() / 2, all.len()] {
            for view in show_all(&all[..count], &when(NOON)) {
                for offer in &view.offers {
                    let form = record::form::form(offer.kind);
                    let form = form.unwrap_or_else(|| panic!("no kind {}", offer.kind));
                    let head = record::form::entry_head();
                    let paths = offer.ask.iter().chain(offer.preset.iter().map(|(path, _)| path));
                    for path in paths {
                        assert!(form.at(path).or_else(|| head.at(path)).is_some(), "{}: {path}", offer.kind);
                    }
                }
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn no_order_of_events_stops_a_stage(which in 0usize..3, seed in any::<u64>(), keep in 1usize..200) {
        let mut all = events(EXAMPLES[which]);
        let mut state = seed;
        for index in (1..all.len()).rev() {
            // A linear congruential step: any shuffle will do, but the same for one seed.
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            all.swap(index, (state >> 33) as usize % (index + 1));
        }
        all.truncate(keep);
        show_all(&all, &when("2031-05-08T12:40-04:00"));
    }
}

#[test]
fn units_change_no_verdict() {
    let verdicts = |writer: &Writer, visit: &Visit| -> Vec<_> {
        let now = when("2031-05-08T13:00-04:00");
        Stage::ALL
            .into_iter()
            .map(|stage| {
                let view = view(stage, visit, writer, &now);
                let marks: Vec<VerdictMark> = view
                    .sections
                    .iter()
                    .flat_map(|section| &section.blocks)
                    .flat_map(|block| match block {
                        Block::Findings(all) => all.iter().map(|finding| finding.mark).collect(),
                        _ => Vec::new(),
                    })
                    .collect();
                (stage, view.now.sentence.id, view.now.mark, view.running, marks)
            })
            .collect()
    };
    for example in EXAMPLES {
        let visit = Visit::new("test", &events(example));
        let (us, metric) = (Writer::us(), Writer::metric());
        let in_us = verdicts(&us, &visit);
        assert_eq!(in_us, verdicts(&metric, &visit));
        // A comma in place of a point neither.
        let comma = Writer { decimal_comma: true, ..metric };
        assert_eq!(in_us, verdicts(&comma, &visit));
    }
}

#[test]
fn one_pressure_is_enough_for_a_first_number() {
    let visit = visit(
        "[system]\nrefrigerant = \"R-134a\"\n[[entry]]\nkind = \"reading\"\nsuction_pressure = \"16.768 psia\"\n",
    );
    let view = at(&visit, Stage::Arrive, NOON);
    assert_eq!(view.now.sentence.id, "arrive-saturation");
    // R-134a at 115.61 kPa: 250 K, -9.7 °F (Tillner-Roth and Baehr 1994, table 8; data/checks/saturation_published.toml).
    let shown: f64 = view.head[0].value.value.replace('\u{2212}', "-").parse().unwrap();
    assert_eq!(view.head[0].value.unit, "°F");
    assert!((shown + 9.7).abs() < 0.6, "{shown}");
}

#[test]
fn nothing_known_asks_for_the_refrigerant_first() {
    let empty = Visit::new("test", &[]);
    let view = at(&empty, Stage::Arrive, NOON);
    assert_eq!(view.now.sentence.id, "arrive-refrigerant");
    assert_eq!(view.offers[0].ask, ["refrigerant"]);
}

const HIT: &str = "[[entry]]\nkind = \"leak check\"\nat = 10:00\nplace = \"flare nut at the solenoid valve\"\n\
                   method = \"electronic\"\nresult = \"hit\"\n";

#[test]
fn a_hit_takes_three_steps() {
    let hit = |more: &str| visit(&format!("{DAY}{HIT}{more}"));
    assert_eq!(now_of(&hit(""), Stage::Search, NOON).0, "search-again");
    let first = at(&hit(""), Stage::Search, NOON);
    assert_eq!(first.offers[0].preset, [("repeated".to_owned(), "yes".to_owned())]);
    assert!(first.offers[0].onto.is_some());
    assert_eq!(now_of(&hit("repeated = \"yes\"\n"), Stage::Search, NOON).0, "search-move");
    let sure = hit("repeated = \"yes\"\ngone_when_moved = \"yes\"\n");
    assert_eq!(now_of(&sure, Stage::Search, NOON), ("search-found", Some(VerdictMark::Breached)));
    assert_eq!(now_of(&hit("repeated = \"no\"\n"), Stage::Search, NOON).0, "search-refuted");
    // Bubbles stand where they rise: nothing is to be moved.
    let soap = visit(&format!("{DAY}{}", HIT.replace("electronic", "soap")));
    assert_eq!(now_of(&soap, Stage::Search, NOON).0, "search-found");
}

#[test]
fn a_repair_mends_the_hit_at_its_own_place() {
    let other = HIT.replace("flare nut at the solenoid valve", "filter drier").replace("10:00", "10:05");
    let repair =
        "[[entry]]\nkind = \"repair\"\nat = 11:00\nplace = \"solenoid valve\"\nwhat = \"new flare\"\n";
    let visit = visit(&format!(
        "{DAY}{}{}{repair}",
        HIT.replace("electronic", "soap"),
        other.replace("electronic", "soap")
    ));
    let view = at(&visit, Stage::Search, NOON);
    assert_eq!(view.now.sentence.id, "search-found");
    assert!(say(&view.now.sentence).contains("filter drier"));
}

#[test]
fn the_circuit_is_a_ring_and_shows_what_was_looked_at() {
    let sweep = "[[entry]]\nkind = \"leak check\"\nat = 10:20\nplace = \"condensing unit\"\nmethod = \"electronic\"\n\
                 result = \"clean\"\nexcept = [\"receiver\"]\n";
    let visit = visit(&format!("{DAY}{HIT}{sweep}"));
    let circuit = stage::circuit(&visit);
    let state = |key: &str| circuit.blocks.iter().find(|block| block.part.key() == key).unwrap().state;
    use stage::circuit::Looked;
    assert_eq!(state("solenoid"), Looked::Hit);
    assert_eq!(state("condenser"), Looked::Clean);
    assert_eq!(state("receiver"), Looked::Not, "left out of the sweep");
    assert_eq!(state("coil"), Looked::Not, "inside, not at the unit");
    // Every block has a place of its own, and the flow comes back to where it began.
    let mut places: Vec<(u8, u8)> = circuit.blocks.iter().map(|block| block.at).collect();
    places.sort_unstable();
    places.dedup();
    assert_eq!(places.len(), circuit.blocks.len());
    assert_eq!(circuit.flow.len(), circuit.blocks.len() - circuit.hangs.len());
    assert_eq!(circuit.flow.last().unwrap().1, circuit.flow[0].0);
    for (a, b) in &circuit.flow {
        let (a, b) = (circuit.blocks[*a].at, circuit.blocks[*b].at);
        assert!(a.0.abs_diff(b.0) + a.1.abs_diff(b.1) <= 2, "{a:?} to {b:?}");
    }
    // The words an entry is given for a part read as that part again.
    for block in &circuit.blocks {
        assert_eq!(stage::circuit::part_of(block.part.words()), Some(block.part));
    }
}

#[test]
fn a_cabinet_with_a_capillary_has_no_receiver_and_no_solenoid() {
    let visit = visit("[system]\nunit = \"self contained\"\nexpansion = \"capillary\"\n");
    let keys: Vec<&str> = stage::circuit(&visit).blocks.iter().map(|block| block.part.key()).collect();
    assert_eq!(keys, ["compressor", "condenser", "drier", "valve", "coil", "suction", "controls"]);
}

/// A hold under nitrogen that runs since 08:00, with what else is known of it.
fn hold(more: &str) -> Visit {
    visit(&format!(
        "{DAY}[system]\nrefrigerant = \"R-449A\"\nlow_side_limit = \"250 psig\"\n\
         [[instrument]]\nid = \"g\"\nmeasures = \"pressure\"\naccuracy = \"0.5 %\"\nspan = \"500 psig\"\nresolution = \"0.5 psi\"\n\
         [[instrument]]\nid = \"t\"\nmeasures = \"temperature\"\naccuracy = \"0.5 K\"\n\
         [[entry]]\nkind = \"hold\"\nat = 08:00\nwith = [\"g\", \"t\"]\ngas = \"nitrogen\"\nvolume = \"12 L\"\nliquid_left = \"no\"\n\
         working_pressure = \"158 psig\"\nfilled_at = 07:15\n\
         start = {{ at = 08:00, pressure = \"180 psig\", temperature = \"16.0 °C\" }}\n{more}"
    ))
}

const READ: &str = "between = [{ at = 09:00, pressure = \"180 psig\", temperature = \"16.0 °C\" }]\n";

#[test]
fn a_running_hold_says_by_when_it_can_answer() {
    let visit = hold(&format!("wanted = \"1 kg/yr\"\n{READ}"));
    let view = at(&visit, Stage::Test, "2031-05-07T09:01-04:00");
    assert_eq!((view.now.sentence.id, view.now.mark), ("test-wait", Some(VerdictMark::NotResolved)));
    let answer = view.running[0].answer_at.clone().unwrap();
    // The hour of the reading and the hours still needed by the same calculation.
    let running = job::visit::proofs::running_holds(&visit);
    let found = running[0].found.as_ref().unwrap();
    let field::hold::Verdict::NotResolved(field::hold::WhyNotResolved::TooShort { still_needed }) =
        found.verdict
    else {
        panic!("{:?}", found.verdict)
    };
    let late = answer.since(&when("2031-05-07T09:00-04:00")).second() - still_needed.second();
    assert!((0.0..=60.0).contains(&late), "{late} s after the moment that is needed");
    assert!(say(&view.now.sentence).contains("1 kg/yr"));
    // Past that moment it asks for the reading.
    let past = at(&visit, Stage::Test, &answer.to_string());
    assert_eq!(past.now.sentence.id, "test-read-now");
    // The picture grows with the readings: the start, one between, and the leak looked for up to the answer.
    let figure = view.sections.iter().flat_map(|s| &s.blocks).find_map(|block| match block {
        Block::Figure(figure) => Some(figure),
        _ => None,
    });
    let report::Picture::Hold(picture) = &figure.unwrap().picture else { panic!() };
    assert_eq!(picture.readings.len(), 2);
    assert!(picture.looked_for.is_some() && picture.answer.is_some());
    let text = report::to_text(
        &Document {
            sections: view.sections.clone(),
            ..Document::new(Stage::Test.name(), "en", Mark::Answer)
        },
        &say,
        report::TextOptions::default(),
    );
    assert!(!text.contains('«'), "{text}");
}

#[test]
fn a_running_hold_by_what_is_known_of_it() {
    let now = "2031-05-07T09:01-04:00";
    assert_eq!(now_of(&hold(""), Stage::Test, now).0, "test-begun");
    assert_eq!(now_of(&hold(READ), Stage::Test, now).0, "test-no-limit");
    let fell = READ.replace("180 psig", "160 psig");
    assert_eq!(now_of(&hold(&fell), Stage::Test, now), ("now-leaking", Some(VerdictMark::Breached)));
    // Filled and read at once: the gas has not come to rest.
    let early = visit(&format!(
        "{DAY}[[entry]]\nkind = \"hold\"\nat = 08:00\ngas = \"nitrogen\"\nfilled_at = 07:50\n\
         start = {{ at = 08:00, pressure = \"180 psig\", temperature = \"16.0 °C\" }}\n"
    ));
    let view = at(&early, Stage::Test, "2031-05-07T08:05-04:00");
    assert_eq!(view.now.sentence.id, "test-settling");
    assert!(say(&view.now.sentence).contains("08:20"));
}

#[test]
fn the_plate_is_named_and_passed_only_with_a_warning() {
    let under = at(&hold(""), Stage::Test, NOON);
    let rest = |view: &View| match &view.cautions[0].rest {
        Some(report::Text::Message(message)) => message.id,
        other => panic!("{other:?}"),
    };
    assert_eq!(rest(&under), "caution-under-plate");
    let over = visit(&format!(
        "{DAY}[system]\nlow_side_limit = \"150 psig\"\nhigh_side_limit = \"450 psig\"\n[[entry]]\nkind = \"hold\"\nat = 08:00\n\
         gas = \"nitrogen\"\nstart = {{ at = 08:00, pressure = \"180 psig\", temperature = \"16.0 °C\" }}\n"
    ));
    assert_eq!(rest(&at(&over, Stage::Test, NOON)), "caution-over-plate");
    // Nothing shut in, nothing mended: no caution.
    assert!(at(&visit(DAY), Stage::Test, NOON).cautions.is_empty());
}

#[test]
fn a_hold_that_runs_is_owed_and_no_proof() {
    let visit = hold(READ);
    assert!(job::visit::Results::of(&visit).holds.is_empty());
    let owed = place::owed(&visit);
    assert_eq!(owed[0].kind, place::OwedKind::Hold);
    assert_eq!(owed[0].settles.ask[0], "end.pressure");
    let ended = hold("end = { at = 16:00, pressure = \"180 psig\", temperature = \"16.0 °C\" }\n");
    assert!(place::owed(&ended).is_empty());
    assert_eq!(job::visit::Results::of(&ended).holds.len(), 1);
}

const RISE: &str = "[[entry]]\nkind = \"rise\"\nat = 10:00\nvolume = \"12 L\"\npoints = [";

#[test]
fn a_rise_says_how_much_longer_to_watch() {
    // Moisture with a time constant of 10 min, watched for one of them.
    let points: String = (0..=10)
        .map(|minute| {
            let p = 200.0 + 300.0 * (1.0 - units::math::exp(-f64::from(minute) / 10.0));
            format!("[\"{minute} min\", \"{p:.1} micron\"], ")
        })
        .collect();
    let visit = visit(&format!("{DAY}{RISE}{points}]\n"));
    let watched = at(&visit, Stage::Evacuate, "2031-05-07T10:11-04:00");
    assert_eq!(watched.now.mark, Some(VerdictMark::NotResolved));
    assert!(
        matches!(watched.now.sentence.id, "evacuate-wait" | "evacuate-go-on"),
        "{}",
        watched.now.sentence.id
    );
    assert_eq!(watched.running.len(), 1);
    assert_eq!(watched.offers[0].ask, ["points[12][1]", "points[12][2]"]);
    assert_eq!(watched.cautions.len(), 1, "under vacuum");
    // A day later nobody watches it.
    let later = at(&visit, Stage::Evacuate, "2031-05-08T10:11-04:00");
    assert!(later.running.is_empty());
    assert!(matches!(later.now.sentence.id, "evacuate-too-short" | "evacuate-not-told"));
}

#[test]
fn a_weight_after_is_owed_until_it_is_there() {
    let cylinder = "[[cylinder]]\nid = \"S-14\"\nrefrigerant = \"R-449A\"\nused_for = \"supply\"\n";
    let open = format!(
        "{DAY}[system]\nrefrigerant = \"R-449A\"\n{cylinder}[[entry]]\nkind = \"weighing\"\nat = 10:00\nplace = \"plant yard\"\n\
         cylinder = \"S-14\"\ndirection = \"charged\"\nbefore = \"12.00 kg\"\n"
    );
    let begun = visit(&open);
    assert_eq!(now_of(&begun, Stage::Charge, NOON), ("open-weight", Some(VerdictMark::Due)));
    assert_eq!(place::leaving(&begun, "plant yard")[0].kind, place::OwedKind::Weight);
    assert!(place::leaving(&begun, "box").is_empty(), "owed where it stands");
    // A blend is charged as liquid: said while the cylinder is open.
    assert_eq!(at(&begun, Stage::Charge, NOON).cautions.len(), 1);
    let done = visit(&format!("{open}after = \"10.80 kg\"\n"));
    let view = at(&done, Stage::Charge, NOON);
    assert_eq!(view.now.sentence.id, "charge-in");
    assert!(view.cautions.is_empty());
    assert_eq!(place::owed(&done)[0].kind, place::OwedKind::Reading, "what went in is to be seen at work");
    let read = visit(&format!(
        "{open}after = \"10.80 kg\"\n[[entry]]\nkind = \"reading\"\nat = 10:20\nsuction_pressure = \"48 psig\"\n"
    ));
    assert!(place::owed(&read).is_empty());
    assert_eq!(at(&read, Stage::Charge, NOON).now.sentence.id, "charge-in-read");
}

/// A history of two refills and a third of a charge, with the system mended today.
const LOSING: &str = "[system]\nrefrigerant = \"R-449A\"\ncharge = \"14.2 kg\"\n\
    [[entry]]\nkind = \"past change\"\non = 2030-05-07\namount = \"1.6 kg\"\n\
    [[entry]]\nkind = \"past change\"\non = 2030-11-07\namount = \"2.6 kg\"\n";

#[test]
fn what_is_missing_comes_from_the_refills_before_today() {
    let arrived = visit(&format!("{DAY}{LOSING}"));
    let view = at(&arrived, Stage::Arrive, NOON);
    assert_eq!(view.now.sentence.id, "arrive-short");
    // 2.6 kg in 184 days, 181 days ago: 2.56 kg, both ends of the interval around it.
    let text = say(&view.now.sentence);
    let numbers: Vec<f64> = text.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    assert!(numbers[0] < 2.56 && 2.56 < numbers[1], "{text}");
    // No more gas into a known leak.
    assert_eq!(now_of(&arrived, Stage::Charge, NOON).0, "charge-find-first");
    let repair = "[[entry]]\nkind = \"repair\"\nat = 09:00\nwhat = \"new flare\"\n";
    let mended = visit(&format!("{DAY}{LOSING}{repair}"));
    assert_eq!(now_of(&mended, Stage::Charge, NOON).0, "charge-expected");
    let charged = |kilogram: f64| {
        visit(&format!(
            "{DAY}{LOSING}{repair}[[cylinder]]\nid = \"S\"\n[[entry]]\nkind = \"weighing\"\nat = 10:00\ncylinder = \"S\"\n\
             direction = \"charged\"\nbefore = \"20.00 kg\"\nafter = \"{:.2} kg\"\n",
            20.0 - kilogram
        ))
    };
    assert_eq!(now_of(&charged(0.5), Stage::Charge, NOON).0, "charge-more");
    assert_eq!(now_of(&charged(2.5), Stage::Charge, NOON).0, "charge-within");
    assert_eq!(now_of(&charged(9.0), Stage::Charge, NOON), ("charge-over", Some(VerdictMark::Doubtful)));
}

#[test]
fn a_held_head_says_nothing_of_the_charge() {
    let reading = "[[entry]]\nkind = \"reading\"\nat = 10:00\nstate = \"running\"\ndischarge_pressure = \"162 psig\"\n\
                   air_on_condenser = \"5 °C\"\n";
    let system = |control: &str| {
        visit(&format!(
            "{DAY}[system]\nrefrigerant = \"R-449A\"\ndesign_split = \"15 F\"\n{control}{reading}"
        ))
    };
    let says = |visit: &Visit, id: &str| {
        let view = at(visit, Stage::Charge, NOON);
        view.sections.iter().flat_map(|section| &section.blocks).any(|block| match block {
            Block::Paragraph(report::Text::Message(message)) => message.id == id,
            _ => false,
        })
    };
    let held = system("head_control = \"flooding valve\"\nhead_setting = \"28 °C\"\n");
    assert!(says(&held, "charge-head-held"));
    let unknown = system("");
    assert!(says(&unknown, "charge-head-unknown"));
    let free = system("head_control = \"none\"\n");
    assert!(!says(&free, "charge-head-held") && !says(&free, "charge-head-unknown"));
    // Condensing at 28 °C in air of 5 °C with a split of 8 K: 15 K above where it should be.
    let view = at(&free, Stage::Charge, NOON);
    let mark = view.sections.iter().flat_map(|section| &section.blocks).find_map(|block| match block {
        Block::Findings(all) => Some(all[0].mark),
        _ => None,
    });
    assert_eq!(mark, Some(VerdictMark::Breached));
}

fn coil(at: &str, line: &str) -> String {
    format!(
        "[[entry]]\nkind = \"reading\"\nat = {at}\nstate = \"running\"\nwith = [\"g\", \"t\"]\nevaporator_pressure = \"48.5 psig\"\n\
         evaporator_line = \"{line}\"\nbox_air = \"2.1 °C\"\n"
    )
}

const PROVE: &str = "[system]\nrefrigerant = \"R-449A\"\nbox_kind = \"walk-in cooler\"\nbox_target = \"2 °C\"\n\
    superheat_target = \"3 K .. 12 K\"\n\
    [[instrument]]\nid = \"g\"\nmeasures = \"pressure\"\naccuracy = \"0.5 %\"\nspan = \"500 psig\"\nresolution = \"0.1 psi\"\n\
    [[instrument]]\nid = \"t\"\nmeasures = \"temperature\"\naccuracy = \"0.5 K\"\nresolution = \"0.1 K\"\n";

#[test]
fn a_superheat_settles_or_still_falls() {
    let twice = |first: &str, second: &str, at: &str| {
        visit(&format!("{DAY}{PROVE}{}{}", coil("10:00", first), coil(at, second)))
    };
    assert_eq!(now_of(&twice("2.1 °C", "2.2 °C", "10:10"), Stage::Prove, NOON).0, "prove-right-settled");
    assert_eq!(now_of(&twice("5.0 °C", "2.2 °C", "10:10"), Stage::Prove, NOON).0, "prove-right-moving");
    // Three readings make a picture; its stroke stands where it stopped moving.
    let thrice = visit(&format!(
        "{DAY}{PROVE}{}{}{}",
        coil("10:00", "6.0 °C"),
        coil("10:10", "2.2 °C"),
        coil("10:20", "2.1 °C")
    ));
    let settled =
        at(&thrice, Stage::Prove, NOON).sections.into_iter().flat_map(|s| s.blocks).find_map(|block| {
            match block {
                Block::Figure(figure) => match figure.picture {
                    report::Picture::Trend(trend) => trend.settled.map(|moment| moment.time),
                    _ => None,
                },
                _ => None,
            }
        });
    assert_eq!(settled, Some(10.0));
    // Two readings of one minute tell nothing.
    assert_eq!(now_of(&twice("2.1 °C", "2.2 °C", "10:01"), Stage::Prove, NOON).0, "prove-right");
}

#[test]
fn a_warm_box_is_not_judged() {
    let warm = visit(&format!("{DAY}{PROVE}{}", coil("10:00", "2.2 °C").replace("2.1 °C", "14 °C")));
    assert_eq!(now_of(&warm, Stage::Prove, NOON), ("prove-box-warm", None));
    let off = visit(&format!("{DAY}{PROVE}{}", coil("10:00", "2.2 °C").replace("running", "off")));
    assert_eq!(now_of(&off, Stage::Prove, NOON), ("prove-not-running", None));
    assert_eq!(now_of(&visit(&format!("{DAY}{PROVE}")), Stage::Prove, NOON), ("prove-read", None));
}

#[test]
fn a_controller_is_judged_against_the_gauges() {
    let shown = |pressure: &str| {
        let reading = coil("10:00", "2.2 °C");
        let visit = visit(&format!("{DAY}{PROVE}{reading}shown_suction_pressure = \"{pressure}\"\n"));
        let results = job::visit::Results::of(&visit);
        let compared = job::visit::compared::compared(&visit, &results.readings[0]);
        match &compared[0] {
            job::visit::compared::Compared::Pressure { agrees, .. } => *agrees,
            other => panic!("{other:?}"),
        }
    };
    assert!(shown("48.9 psig"));
    assert!(!shown("58 psig"));
}

#[test]
fn what_is_closed_under_other_words_at_its_place_is_closed() {
    let open = |closed: &str| {
        let visit = visit(&format!(
            "{DAY}[[entry]]\nkind = \"opened\"\nat = 10:00\nplace = \"box\"\nwhat = \"insulation at the valve\"\n\
             [[entry]]\nkind = \"opened\"\nat = 10:01\nplace = \"roof\"\nwhat = \"cover of the control box\"\n{closed}"
        ));
        place::owed(&visit).into_iter().map(|owed| say(&owed.sentence)).collect::<Vec<_>>()
    };
    assert_eq!(open("").len(), 2);
    let by_words = "[[entry]]\nkind = \"closed\"\nat = 11:00\nwhat = \"insulation at the valve, glued\"\n";
    assert_eq!(open(by_words).len(), 1);
    assert!(open(by_words)[0].contains("cover"));
    let by_place = "[[entry]]\nkind = \"closed\"\nat = 11:00\nplace = \"roof\"\nwhat = \"all screws in\"\n";
    assert_eq!(open(by_place).len(), 1);
    assert!(open(by_place)[0].contains("insulation"));
    // Words that fit nothing, at no place, close nothing.
    assert_eq!(open("[[entry]]\nkind = \"closed\"\nat = 11:00\nwhat = \"gate\"\n").len(), 2);
}

#[test]
fn where_somebody_stands_follows_arrivals_and_departures() {
    let go = |kind: &str, place: &str, at: &str| {
        format!("[[entry]]\nkind = \"{kind}\"\nat = {at}\nplace = \"{place}\"\n")
    };
    let box_ = go("arrival", "box", "09:00");
    let roof = go("arrival", "roof", "10:00");
    assert_eq!(place::here(&visit(&format!("{DAY}{box_}"))).as_deref(), Some("box"));
    assert_eq!(place::here(&visit(&format!("{DAY}{box_}{roof}"))).as_deref(), Some("roof"));
    let left = format!("{DAY}{box_}{roof}{}", go("departure", "roof", "11:00"));
    assert_eq!(place::here(&visit(&left)), None);
}

#[test]
fn going_up_asks_for_what_comes_next() {
    let cylinders = "[[cylinder]]\nid = \"S-14\"\nused_for = \"supply\"\n[[cylinder]]\nid = \"R-03\"\nused_for = \"recovery\"\n";
    let soap = HIT.replace("electronic", "soap");
    let weighed = |visit: &Visit| -> Vec<String> {
        let up = carry::going_up(visit, "roof");
        up.weigh.iter().map(|offer| offer.preset[0].1.clone()).collect()
    };
    let before = visit(&format!("{DAY}{cylinders}"));
    assert!(weighed(&before).is_empty(), "nothing is opened yet");
    assert_eq!(carry::going_up(&before, "roof").cautions.len(), 1, "the ladder");
    assert!(carry::going_up(&before, "van").carry.is_empty());
    let hit = visit(&format!("{DAY}{cylinders}{soap}"));
    assert_eq!(weighed(&hit), ["R-03"]);
    let repair =
        "[[entry]]\nkind = \"repair\"\nat = 11:00\nplace = \"solenoid valve\"\nwhat = \"new flare\"\n";
    let mended = visit(&format!("{DAY}{cylinders}{soap}{repair}"));
    let carried: Vec<String> = carry::going_up(&mended, "roof")
        .carry
        .iter()
        .map(|carry| match &carry.what {
            report::Text::Message(message) => message.id.to_owned(),
            report::Text::Verbatim(typed) => typed.clone(),
        })
        .collect();
    assert!(carried.iter().any(|what| what == "carry-nitrogen"), "{carried:?}");
    assert!(!carried.iter().any(|what| what == "carry-pump"), "not before it was held");
}

#[test]
fn the_list_of_jobs_is_in_the_order_of_the_last_touch() {
    let (first, second) = (events(EXAMPLES[1]), events(EXAMPLES[2]));
    let rows = jobs::rows([&first[..], &second[..], &[]]);
    assert_eq!(rows.len(), 2);
    assert!(rows[0].stamp >= rows[1].stamp);
    let call = rows.iter().find(|row| row.job == first[0].job).unwrap();
    assert_eq!(call.site.as_deref(), Some("Wrenford Flower Exchange"));
    assert_eq!(call.refrigerant.as_deref(), Some("R-449A"));
    assert_eq!(call.owed.len(), 1, "the insulation stays open over night");
    assert!(say(call.last.as_ref().unwrap()).len() > 3);
}
