//! What a log says today: corrections, disagreements, settlements, facts.
#![allow(clippy::unwrap_used)]

use record::*;
use units::Mass;
use uuid::Uuid;

/// Makes events one after the other, each a millisecond later.
struct Pen {
    events: Vec<Event>,
}

impl Pen {
    fn write(&mut self, by: &str, content: Content) -> Uuid {
        let n = self.events.len() as i64;
        let id = device_id(1_900_000_000_000 + n, [1; 10]);
        self.events.push(Event {
            id,
            job: job_id("a job"),
            by: Some(by.to_owned()),
            device: None,
            stamp: Stamp { ms: n, n: 0 },
            key: None,
            content,
            apprentice: false,
            verbatim: None,
        });
        id
    }

    fn charge(&mut self, by: &str, text: &str) -> Uuid {
        self.write(by, Content::Observed(charge(text)))
    }

    fn correct(&mut self, by: &str, of: Uuid, text: &str) -> Uuid {
        self.write(by, Content::Correction(Correction { of, now: charge(text), why: None }))
    }

    fn settle(&mut self, by: &str, among: &[Uuid], chosen: Uuid) -> Uuid {
        self.write(by, Content::Settlement(Settlement { among: among.to_vec(), chosen, why: None }))
    }

    fn today(&self) -> Current {
        current(&self.events)
    }

    fn said(&self) -> Option<String> {
        self.today().system().value.charge.map(|known: Known<Mass>| known.text())
    }
}

fn charge(text: &str) -> Observation {
    let known = Known::read(text, &Local::default()).unwrap();
    Observation {
        at: None,
        place: None,
        with: Vec::new(),
        told_by: None,
        note: None,
        what: Body::System(Box::new(System { charge: Some(known), ..System::default() })),
    }
}

fn pen() -> Pen {
    Pen { events: Vec::new() }
}

#[test]
fn a_correction_replaces_what_it_names_and_the_old_one_stays_in_the_log() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    let second = pen.correct("Ann", first, "14.2 kg");
    let third = pen.correct("Bo", second, "14.3 kg");
    let today = pen.today();
    assert_eq!(today.entries.len(), 1);
    assert_eq!((today.entries[0].id, today.entries[0].stands_by), (first, third));
    assert_eq!(pen.said().as_deref(), Some("14.3 kg"));
    assert_eq!(pen.events.len(), 3);
}

#[test]
fn the_same_person_twice_is_no_disagreement() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    pen.correct("Ann", first, "14.2 kg");
    pen.correct("Ann", first, "14.3 kg");
    assert_eq!(pen.said().as_deref(), Some("14.3 kg"));
}

#[test]
fn two_people_who_correct_the_same_event_disagree_whatever_the_clock_says() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    let a = pen.correct("Ann", first, "14.2 kg");
    let b = pen.correct("Bo", first, "12.4 kg");
    let today = pen.today();
    assert!(today.entries.is_empty());
    assert_eq!(today.disagreements.len(), 1);
    assert_eq!(today.disagreements[0].sides.iter().map(|s| s.stands_by).collect::<Vec<_>>(), [a, b]);
    assert_eq!(pen.said(), None);
    assert_eq!(today.system().unsettled["charge"], [a, b]);
    // The same clocks the other way round.
    pen.events[1].stamp.ms = 50;
    assert_eq!(pen.today().disagreements.len(), 1);
}

#[test]
fn two_people_who_say_the_same_agree() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    pen.correct("Ann", first, "14.2 kg");
    pen.correct("Bo", first, "14.2 kg");
    assert_eq!(pen.said().as_deref(), Some("14.2 kg"));
}

#[test]
fn a_settlement_holds_until_somebody_new_speaks_up() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    let a = pen.correct("Ann", first, "14.2 kg");
    let b = pen.correct("Bo", first, "12.4 kg");
    pen.settle("office", &[a, b], b);
    assert_eq!(pen.said().as_deref(), Some("12.4 kg"));
    let c = pen.correct("Cy", first, "13 kg");
    assert_eq!(pen.said(), None);
    pen.settle("office", &[a, b, c], c);
    assert_eq!(pen.said().as_deref(), Some("13 kg"));
}

#[test]
fn two_people_who_settle_differently_have_settled_nothing() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    let a = pen.correct("Ann", first, "14.2 kg");
    let b = pen.correct("Bo", first, "12.4 kg");
    pen.settle("office", &[a, b], b);
    pen.settle("owner", &[a, b], a);
    assert_eq!(pen.said(), None);
    assert_eq!(pen.today().disagreements.len(), 1);
}

#[test]
fn two_observations_of_one_fact_by_two_people_are_unsettled_until_settled() {
    let mut pen = pen();
    let a = pen.charge("Ann", "14 kg");
    let b = pen.charge("Bo", "12 kg");
    assert_eq!(pen.said(), None);
    assert_eq!(pen.today().system().unsettled["charge"], [a, b]);
    pen.settle("office", &[a, b], a);
    assert_eq!(pen.said().as_deref(), Some("14 kg"));
}

#[test]
fn unknown_gives_way_to_anything() {
    let mut pen = pen();
    pen.charge("Ann", "unknown");
    pen.charge("Bo", "12 kg");
    pen.charge("Cy", "unknown, as told by the owner");
    assert_eq!(pen.said().as_deref(), Some("12 kg"));
}

#[test]
fn what_is_withdrawn_is_gone_with_its_corrections() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    pen.correct("Bo", first, "12 kg");
    pen.write("Ann", Content::Redaction(Redaction { of: first, reason: RedactionReason::Withdrawn }));
    let today = pen.today();
    assert!(today.entries.is_empty() && today.disagreements.is_empty() && today.orphans.is_empty());
    assert_eq!(today.withdrawn, [first]);
}

#[test]
fn a_withdrawn_correction_gives_way_to_what_it_corrected() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    let wrong = pen.correct("Ann", first, "140 kg");
    pen.write("Ann", Content::Redaction(Redaction { of: wrong, reason: RedactionReason::Withdrawn }));
    assert_eq!(pen.said().as_deref(), Some("14 kg"));
}

#[test]
fn a_correction_without_its_original_is_an_orphan_and_corrections_in_a_ring_do_no_harm() {
    let mut pen = pen();
    let lost = pen.correct("Ann", Uuid::nil(), "14 kg");
    let a = pen.correct("Ann", device_id(1_900_000_000_002, [1; 10]), "1 kg");
    let b = pen.correct("Ann", a, "2 kg");
    let today = pen.today();
    assert!(today.entries.is_empty());
    assert_eq!(today.orphans, [lost, a, b]);
}

#[test]
fn a_chain_of_twenty_thousand_corrections_is_followed() {
    let mut pen = pen();
    let mut last = pen.charge("Ann", "1 kg");
    for n in 0..20_000 {
        let id = Uuid::from_u128(n);
        let mut event = pen.events[0].clone();
        event.id = id;
        event.stamp = Stamp { ms: 10 + n as i64, n: 0 };
        event.content = Content::Correction(Correction { of: last, now: charge("2 kg"), why: None });
        pen.events.push(event);
        last = id;
    }
    assert_eq!(pen.said().as_deref(), Some("2 kg"));
}

#[test]
fn a_signed_result_is_no_input() {
    let mut pen = pen();
    let first = pen.charge("Ann", "14 kg");
    pen.write(
        "Ann",
        Content::SignedResult(SignedResult {
            of: "report".to_owned(),
            result: serde_json::json!({ "charge": "15 kg" }),
            inputs: vec![first],
            program: "gastight 0.1.0".to_owned(),
            data: "data 1".to_owned(),
            tables: "tables 1".to_owned(),
            signed_by: "Ann".to_owned(),
            shown_sha256: None,
        }),
    );
    let today = pen.today();
    assert_eq!(today.entries.len(), 1);
    assert_eq!(today.signed.len(), 1);
    assert_eq!(pen.said().as_deref(), Some("14 kg"));
}

#[test]
fn facts_of_an_earlier_visit_hold_until_the_later_one_says_otherwise() {
    let mut before = pen();
    before.charge("Ann", "14 kg");
    let earlier = before.today().system();
    let mut silent = pen();
    silent.charge("Bo", "unknown");
    let held = silent.today().system().over(&earlier, &[]);
    assert_eq!(held.value.charge.as_ref().map(Known::text).as_deref(), Some("14 kg"));
    assert_eq!(held.sources["charge"], earlier.sources["charge"]);
    // Bo alone says otherwise: the later visit goes before, and that is no disagreement.
    let mut later = pen();
    let said = later.charge("Bo", "15 kg");
    let held = later.today().system().over(&earlier, &[]);
    assert_eq!(held.value.charge.as_ref().map(Known::text).as_deref(), Some("15 kg"));
    assert_eq!((held.sources["charge"].clone(), held.unsettled.len()), (vec![said], 0));
    // What people disagree about today is not decided by yesterday.
    later.charge("Cy", "16 kg");
    let held = later.today().system().over(&earlier, &[]);
    assert!(held.value.charge.is_none() && held.unsettled.contains_key("charge"));
    // A disagreement of yesterday lasts until somebody says something today.
    before.charge("Cy", "16 kg");
    let earlier = before.today().system();
    assert!(pen().today().system().over(&earlier, &[]).unsettled.contains_key("charge"));
    assert_eq!(silent.today().system().over(&earlier, &[]).value.charge, Some(Known::Unknown));
    assert_eq!(pen().today().system().over(&earlier, &["charge"]).unsettled.len(), 0);
}

#[test]
fn a_withdrawal_that_is_withdrawn_gives_back_what_it_took() {
    let mut pen = pen();
    let withdraw = |of| Content::Redaction(Redaction { of, reason: RedactionReason::Withdrawn });
    let first = pen.charge("Ann", "14 kg");
    pen.correct("Ann", first, "14.2 kg");
    let taken = pen.write("Ann", withdraw(first));
    assert_eq!(pen.said(), None);
    let again = pen.write("Ann", withdraw(taken));
    assert_eq!(pen.said().as_deref(), Some("14.2 kg"), "with its correction");
    pen.write("Ann", withdraw(again));
    assert_eq!(pen.said(), None);
    assert!(pen.today().orphans.is_empty());
    // What was erased stays erased, whatever is withdrawn.
    let erased = pen.charge("Bo", "15 kg");
    let erasure =
        pen.write("Bo", Content::Redaction(Redaction { of: erased, reason: RedactionReason::PersonalData }));
    pen.write("Bo", withdraw(erasure));
    assert_eq!(pen.said(), None);
    // Withdrawals of each other in a ring do no harm.
    let (a, b) = (Uuid::from_u128(1), Uuid::from_u128(2));
    for (id, of) in [(a, b), (b, a)] {
        let at = pen.write("Cy", withdraw(of));
        pen.events.iter_mut().filter(|event| event.id == at).for_each(|event| event.id = id);
    }
    assert_eq!(pen.said(), None);
}
