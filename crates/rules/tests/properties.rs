//! What must hold for any facts.

#![allow(clippy::unwrap_used, reason = "a test may stop at what is not there")]

use proptest::prelude::*;
use rules::*;
use std::collections::BTreeMap;

const PLACES: &[&str] =
    &["US", "US-CA", "CA-ON", "CA-QC", "CA-MB", "CA-BC", "DE", "ES", "FR", "GB-ENG", "GB-NIR", "GB"];
const GASES: &[&str] =
    &["R-22", "R-404A", "R-449A", "R-454C", "R-401A", "R-1234yf", "R-290", "R-744", "R-417A"];

fn day() -> impl Strategy<Value = Date> {
    (0i32..1460).prop_map(|n| "2023-06-01".parse::<Date>().unwrap().days_after(n))
}

fn leak() -> impl Strategy<Value = Option<String>> {
    prop_oneof![Just(None), Just(Some("a".to_owned())), Just(Some("b".to_owned()))]
}

fn maybe<T: Clone + std::fmt::Debug + 'static>(list: &'static [T]) -> impl Strategy<Value = Option<T>> {
    proptest::option::of(proptest::sample::select(list))
}

fn what() -> impl Strategy<Value = What> {
    let mass = || proptest::option::weighted(0.9, (1u32..600).prop_map(tenths));
    prop_oneof![
        3 => (proptest::option::of(any::<bool>()), leak(), proptest::option::of(any::<bool>()))
            .prop_map(|(found, leak, located)| What::LeakChecked { found, leak, located }),
        2 => (leak(), proptest::option::of(any::<bool>())).prop_map(|(leak, located)| What::LeakFound { leak, located }),
        1 => Just(What::OwnerTold),
        3 => (leak(), proptest::option::of(any::<bool>())).prop_map(|(leak, evacuated)| What::Repaired { leak, evacuated }),
        1 => leak().prop_map(|leak| What::Emptied { leak }),
        2 => any::<bool>().prop_map(|passed| What::InitialVerification { passed }),
        1 => Just(What::ReturnedToNormal),
        2 => (any::<bool>(), proptest::option::of(any::<bool>()))
            .prop_map(|(passed, all_leaks)| What::FollowUpVerification { passed, all_leaks }),
        6 => (mass(), maybe(Reason::ALL), leak(), maybe(GasFrom::ALL))
            .prop_map(|(mass, reason, leak, gas)| What::Added { mass, reason, leak, gas }),
        1 => (mass(), any::<bool>()).prop_map(|(mass, seasonal)| What::Removed { mass, seasonal }),
        1 => mass().prop_map(|mass| What::Released { mass }),
        1 => proptest::sample::select(vec!["ca.rel10", "us82.chronic", "ca.charge.emerg.report"])
            .prop_map(|duty| What::Reported { duty: duty.to_owned() }),
        1 => proptest::sample::select(vec![
            What::Mothballed, What::PlanWritten, What::PlanFinished, What::DetectionChecked, What::DetectionFitted,
            What::ExtensionAsked, What::PartsDelivered,
        ]),
    ]
}

fn tenths(tenths: u32) -> ExactMass {
    format!("{}.{} lb", tenths / 10, tenths % 10).parse().unwrap()
}

fn events() -> impl Strategy<Value = Vec<Event>> {
    let one = (day(), proptest::option::of(0u32..1440), what());
    proptest::collection::vec(one, 0..14).prop_map(|list| {
        let event = |(i, (on, at, what)): (usize, (Date, Option<u32>, What))| Event {
            at: at.and_then(|m| TimeOfDay::new(m / 60, m % 60)),
            ..Event::new(format!("e{i:02}"), on, what)
        };
        list.into_iter().enumerate().map(event).collect()
    })
}

/// Half of all systems are such that much of some law applies to them; random ones mostly fall outside.
fn facts() -> impl Strategy<Value = Facts> {
    let much =
        (0usize..5, any_facts(), day(), any::<bool>()).prop_map(|(law, mut facts, tested, in_order)| {
            let (place, owner, gas, use_of, pounds) = [
                ("US", None, "R-22", Use::CommercialRefrigeration, 60),
                ("US", None, "R-404A", Use::IndustrialProcessRefrigeration, 700),
                ("CA-ON", Some(Owner::Federal), "R-449A", Use::CommercialRefrigeration, 40),
                ("ES", None, "R-404A", Use::CommercialRefrigeration, 120),
                ("CA-QC", Some(Owner::Private), "R-449A", Use::Chiller, 90),
            ][law];
            facts.place = Place::from_code(place);
            facts.owner = owner;
            facts.refrigerant = Some(gas.to_owned());
            facts.use_of = Some(use_of);
            facts.full_charge = Some(FullCharge::Maker(ExactMass::pounds(pounds)));
            if in_order {
                // Work as it should go: told, repaired, tested, then nothing lost.
                facts.events.retain(|event| event.on < tested || !matches!(event.what, What::Added { .. }));
                for (i, what) in [
                    What::OwnerTold,
                    What::Repaired { leak: None, evacuated: None },
                    What::Repaired { leak: Some("a".to_owned()), evacuated: None },
                    What::Repaired { leak: Some("b".to_owned()), evacuated: None },
                    What::LeakChecked { found: Some(false), leak: None, located: None },
                ]
                .into_iter()
                .enumerate()
                {
                    facts.events.push(Event::new(format!("t{i}"), tested, what));
                }
                facts.intended.tight_since_test = Some(true);
            }
            facts
        });
    prop_oneof![any_facts(), much]
}

fn any_facts() -> impl Strategy<Value = Facts> {
    let first =
        (maybe(PLACES), maybe(Owner::ALL), maybe(Use::ALL), maybe(GASES), proptest::option::of(1u32..9000));
    let flag = || proptest::option::of(any::<bool>());
    let second =
        (flag(), flag(), flag(), flag(), flag(), flag(), maybe(Method::ALL), proptest::option::of(1i64..60));
    let third = (maybe(Reason::ALL), maybe(GasFrom::ALL), flag(), proptest::option::of(day()));
    (first, second, third, events()).prop_map(|(a, b, c, events)| Facts {
        place: a.0.and_then(Place::from_code),
        owner: a.1,
        use_of: a.2,
        refrigerant: a.3.map(str::to_owned),
        full_charge: a.4.map(|t| FullCharge::Maker(tenths(t))),
        labelled_hermetic: b.0,
        detection_system: b.1,
        process_shutdown: b.2,
        certified: b.3,
        stopping_endangers: b.4,
        immediate_danger: b.5,
        leak_rate_method: b.6,
        rated_kilowatts: b.7.map(Ratio::whole),
        intended: Intended { reason: c.0, gas: c.1, tight_since_test: c.2 },
        installed: c.3,
        events,
        ..Facts::default()
    })
}

/// Verdicts as text, with the ids of their evidence.
fn lines(assessment: &Assessment<'_>) -> Vec<String> {
    let mut lines: Vec<String> = assessment
        .duties
        .iter()
        .map(|v| {
            let evidence: Vec<&str> = v.evidence.iter().map(|event| event.id.as_str()).collect();
            format!("{} {:?} {evidence:?}", v.duty.id, v.outcome)
        })
        .collect();
    lines.sort();
    lines
}

/// What each event can be told by when ids change: the words of each duty, counted.
fn words(assessment: &Assessment<'_>) -> BTreeMap<(String, String), usize> {
    let mut counted = BTreeMap::new();
    for v in &assessment.duties {
        *counted.entry((v.duty.id.clone(), format!("{:?}", v.outcome))).or_default() += 1;
    }
    counted
}

/// Without this the properties below could hold of nothing.
#[test]
fn the_facts_drawn_reach_every_kind_of_answer() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut outcomes, mut answers) = (BTreeMap::new(), BTreeMap::new());
    for _ in 0..1500 {
        let (facts, on) = (facts(), day()).new_tree(&mut runner).unwrap().current();
        let assessment = assess(Book::shipped(), &facts, on);
        for v in &assessment.duties {
            *outcomes.entry(v.outcome.word()).or_insert(0) += 1;
        }
        *answers.entry(assessment.charging.answer.name()).or_insert(0) += 1;
    }
    for word in ["met", "breached", "due", "not-applicable", "unknown"] {
        assert!(outcomes.get(word).is_some_and(|&n| n > 300), "{outcomes:?}");
    }
    for word in ["yes-with-duties", "no-until", "emergency-only", "unknown"] {
        assert!(answers.get(word).is_some_and(|&n| n >= 10), "{answers:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_entry_does_not_matter(facts in facts(), on in day(), seed in any::<u64>()) {
        let mut other = facts.clone();
        let length = other.events.len();
        for i in (1..length).rev() {
            other.events.swap(i, (seed.rotate_left(i as u32) % (i as u64 + 1)) as usize);
        }
        let (a, b) = (assess(Book::shipped(), &facts, on), assess(Book::shipped(), &other, on));
        prop_assert_eq!(&a.charging, &b.charging);
        prop_assert_eq!(lines(&a), lines(&b));
    }

    #[test]
    fn the_unit_of_entry_does_not_matter(facts in facts(), on in day()) {
        let metric = |mass: ExactMass| -> ExactMass {
            // As typed in kilograms, and as kept by a float.
            let typed: ExactMass = mass.to_string().parse().unwrap();
            assert_eq!(ExactMass::from_mass(mass.to_mass()).unwrap(), typed);
            typed
        };
        let mut other = facts.clone();
        other.full_charge = other.full_charge.map(|charge| FullCharge::Maker(metric(charge.mass())));
        for event in &mut other.events {
            if let What::Added { mass: Some(mass), .. } | What::Removed { mass: Some(mass), .. } = &mut event.what {
                *mass = metric(*mass);
            }
        }
        let (a, b) = (assess(Book::shipped(), &facts, on), assess(Book::shipped(), &other, on));
        prop_assert_eq!(&a.charging, &b.charging);
        prop_assert_eq!(lines(&a), lines(&b));
    }

    #[test]
    fn a_yes_rests_on_text_that_was_read(facts in facts(), on in day()) {
        let assessment = assess(Book::shipped(), &facts, on);
        if matches!(assessment.charging.answer, Answer::Yes | Answer::YesWithDuties) {
            prop_assert!(!assessment.charging.because.is_empty());
            prop_assert!(assessment.charging.act_as_if.is_empty() && assessment.charging.missing.is_empty());
            prop_assert!(assessment.not_read.is_empty());
            for id in &assessment.charging.because {
                prop_assert!(assessment.of(id).any(|v| v.is_firm() && v.outcome == Outcome::Met), "{}", id);
            }
        }
        if assessment.charging.answer == Answer::NoUntil {
            for id in &assessment.charging.because {
                prop_assert!(assessment.of(id).any(|v| v.status == Status::ReadInLaw), "{}", id);
            }
        }
    }

    #[test]
    fn an_added_entry_never_makes_a_yes(facts in facts(), on in day()) {
        let own = r#"
id = "shop.free"
jurisdiction = "ca-bc"
instrument = "House rule"
section = "1"
asks = "Add as you like once tested."
judged_by = "leak-test-before-adding"
[[version]]
status = "read-in-law"
effect = "no-adding-until-tested-and-repaired"
source = { title = "House rules", href = "https://example.org/rules" }
checked = { on = 2026-11-25, by = "the shop" }
"#;
        let mut book = Book::shipped().clone();
        book.add(own).unwrap();
        let mut facts = facts;
        facts.place = Place::from_code("CA-BC");
        facts.owner = Some(Owner::Private);
        let assessment = assess(&book, &facts, on);
        prop_assert!(!matches!(assessment.charging.answer, Answer::Yes | Answer::YesWithDuties));
    }

    #[test]
    fn more_facts_never_turn_a_breach_into_an_unknown(facts in facts(), extra in facts(), on in day()) {
        // Facts that were not known become known; place, owner and refrigerant stay, since they choose the law.
        let mut more = facts.clone();
        macro_rules! learn { ($($field:ident),*) => {$( more.$field = facts.$field.or(extra.$field); )*} }
        learn!(use_of, full_charge, labelled_hermetic, detection_system, process_shutdown, certified,
            stopping_endangers, immediate_danger, leak_rate_method, rated_kilowatts, installed);
        let (before, after) = (assess(Book::shipped(), &facts, on), assess(Book::shipped(), &more, on));
        for v in before.duties.iter().filter(|v| matches!(v.outcome, Outcome::Breached { .. })) {
            let evidence: Vec<&str> = v.evidence.iter().map(|e| e.id.as_str()).collect();
            let now: Vec<&Verdict<'_>> = after.of(&v.duty.id).collect();
            let lost = now.iter().all(|n| matches!(n.outcome, Outcome::Unknown(_)));
            prop_assert!(!lost, "{} {:?} on {:?} became {:?}", v.duty.id, v.outcome, evidence,
                now.iter().map(|n| &n.outcome).collect::<Vec<_>>());
        }
    }

    #[test]
    fn additions_on_unknown_days_make_every_rate_a_floor(facts in facts(), on in day()) {
        let more = Facts { additions_without_day: true, ..facts.clone() };
        let (sure, floor) = (assess(Book::shipped(), &facts, on), assess(Book::shipped(), &more, on));
        prop_assert_eq!(sure.leak_rates.len(), floor.leak_rates.len());
        for (sure, floor) in sure.leak_rates.iter().zip(&floor.leak_rates) {
            prop_assert_eq!(sure.percent_per_year, floor.percent_per_year);
            prop_assert!(floor.wanting.is_some());
            // What is over stays over; what is not over is not said any more.
            prop_assert_eq!(floor.over, sure.over.filter(|over| *over), "{:?}", floor);
        }
    }

    #[test]
    fn a_breach_stays_listed_as_days_pass(facts in facts(), on in day(), later in 1i32..400) {
        // The law itself may change meanwhile, so only duties whose wording is the same on both days.
        let then = on.days_after(later);
        let mut still = facts.clone();
        still.events.retain(|event| event.on <= on);
        let (before, after) = (assess(Book::shipped(), &still, on), assess(Book::shipped(), &still, then));
        let known = words(&after);
        for v in &before.duties {
            let same = v.version.is_some() && v.duty.version_on(then) == v.version;
            if same && let Outcome::Breached { since: Some(_), .. } = &v.outcome {
                let key = (v.duty.id.clone(), format!("{:?}", v.outcome));
                prop_assert!(known.contains_key(&key), "{:?} is gone: {:?}", key,
                    after.of(&v.duty.id).map(|n| &n.outcome).collect::<Vec<_>>());
            }
        }
    }

    #[test]
    fn a_later_event_ends_a_breach_and_does_not_hide_it(facts in facts(), on in day(), extra in what(), gap in 0i32..200) {
        let mut more = facts.clone();
        more.events.retain(|event| event.on <= on);
        let before = assess(Book::shipped(), &more, on).duties.iter().filter_map(|v| match v.outcome {
            Outcome::Breached { since: Some(since), .. } => Some((v.duty.id.clone(), since)),
            _ => None,
        }).collect::<Vec<_>>();
        // Time already asked for, or a plan or report sent late, ends a breach; nothing erases its beginning.
        let then = on.days_after(1 + gap);
        more.events.push(Event::new("z", then, extra));
        let after = assess(Book::shipped(), &more, then);
        for (id, since) in before {
            let duty = Book::shipped().duty(&id).unwrap();
            if duty.version_on(on) != duty.version_on(then) {
                continue;
            }
            let listed = after.of(&id).any(|v| matches!(v.outcome, Outcome::Breached { since: Some(s), .. } if s == since));
            prop_assert!(listed, "{} since {} is gone: {:?}", id, since,
                after.of(&id).map(|n| &n.outcome).collect::<Vec<_>>());
        }
    }
}
