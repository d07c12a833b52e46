//! Names, compositions, grades and sources.

use refrigerant::{BlendError, Fit, Grade, all, blend, find, suggestions};

const AT_LEAST: &[&str] = &[
    "R-22",
    "R-32",
    "R-125",
    "R-134a",
    "R-143a",
    "R-152a",
    "R-227ea",
    "R-290",
    "R-600a",
    "R-1270",
    "R-744",
    "R-717",
    "R-1234yf",
    "R-1234ze(E)",
    "R-404A",
    "R-407A",
    "R-407C",
    "R-407F",
    "R-407H",
    "R-410A",
    "R-448A",
    "R-449A",
    "R-450A",
    "R-452A",
    "R-452B",
    "R-454A",
    "R-454B",
    "R-454C",
    "R-455A",
    "R-507A",
    "R-513A",
];

#[test]
fn the_refrigerants_of_the_trade_are_there() {
    for name in AT_LEAST {
        assert_eq!(find(name).map(refrigerant::Refrigerant::designation), Some(*name));
    }
    assert!(all().len() > 130, "{}", all().len());
}

#[test]
fn names_are_found_as_people_type_them() {
    for (typed, designation) in [
        ("R404A", "R-404A"),
        ("404a", "R-404A"),
        ("r 404a", "R-404A"),
        ("HFC-134a", "R-134a"),
        ("R1234ze", "R-1234ze(E)"),
        ("propane", "R-290"),
        ("CO2", "R-744"),
        ("Ammonia", "R-717"),
    ] {
        assert_eq!(find(typed).map(refrigerant::Refrigerant::designation), Some(designation), "{typed}");
    }
    for nothing in ["", "R-", "water", "R-999Z", "4", "R-40", "404", "😀"] {
        assert!(find(nothing).is_none(), "{nothing}");
    }
    assert!(suggestions("R-440A").contains(&"R-404A"));
    assert!(suggestions("R-404").contains(&"R-404A"));
    assert!(suggestions("zzzzzzzz").is_empty());
}

#[test]
fn every_refrigerant_finds_itself_and_sums_to_one() {
    for r in all() {
        assert_eq!(find(r.designation()).map(refrigerant::Refrigerant::designation), Some(r.designation()));
        let sum: f64 = r.composition().iter().map(|(_, w)| w).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{}: {sum}", r.designation());
        let fluid = r.fluid();
        for (own, (_, given)) in fluid.mass_fractions().iter().zip(r.composition()) {
            assert!((own - given).abs() < 1e-12, "{}", r.designation());
        }
    }
}

/// The grades that were worked out by hand when the mixing models were compared.
#[test]
fn grades_follow_from_the_pairs() {
    let expected: &[(Grade, &[&str])] = &[
        (Grade::Pure, &["R-134a", "R-744", "R-717"]),
        (
            Grade::A,
            &[
                "R-404A", "R-407A", "R-407C", "R-407F", "R-407H", "R-410A", "R-507A", "R-450A", "R-513A",
                "R-454A", "R-454B", "R-454C", "R-452A", "R-452B", "R-449A", "R-421A",
            ],
        ),
        (Grade::AMinus, &["R-448A", "R-427A", "R-457A", "R-455A", "R-471A"]),
        (Grade::B, &["R-417A", "R-422A", "R-422D", "R-434A", "R-502"]),
        (Grade::Anchored, &["R-401A", "R-402A", "R-402B", "R-408A", "R-409A", "R-438A", "R-424A", "R-437A"]),
        (Grade::C, &["R-412A", "R-413A"]),
    ];
    for (grade, names) in expected {
        for name in *names {
            assert_eq!(
                find(name).unwrap().grade(),
                *grade,
                "{name}: {:#?}",
                find(name).unwrap().sources().pairs
            );
        }
    }
}

#[test]
fn every_number_has_its_source() {
    for r in all() {
        let sources = r.sources();
        assert_eq!(sources.equations.len(), r.composition().len());
        assert_eq!(sources.composition.is_some(), r.composition().len() > 1, "{}", r.designation());
        for (name, source) in sources.equations {
            assert!(!source.title.is_empty() && source.authors.is_some() && source.year.is_some(), "{name}");
        }
        for pair in sources.pairs {
            assert_eq!(pair.source.is_none(), pair.fit == Fit::Estimated, "{:?}", pair.pair);
        }
    }
}

#[test]
fn a_blend_of_ones_own() {
    let own = blend(&[("R-125", 0.44), ("R-143a", 0.52), ("134a", 0.04)]).unwrap();
    let known = find("R-404A").unwrap().fluid();
    let t = units::Temperature::from_celsius(5.0);
    let (a, b) = (own.bubble_at_temperature(t).unwrap(), known.bubble_at_temperature(t).unwrap());
    assert_eq!(a.pressure, b.pressure);
    // The order of the parts changes nothing but rounding: a pair serves both ways round.
    let turned = blend(&[("R-134a", 0.04), ("R-143a", 0.52), ("R-125", 0.44)]).unwrap();
    let c = turned.bubble_at_temperature(t).unwrap();
    assert!((c.pressure.pascal() / a.pressure.pascal() - 1.0).abs() < 1e-12);
    let one = blend(&[("R-744", 0.03), ("R-32", 0.215), ("R-1234yf", 0.755)]).unwrap();
    let other = blend(&[("R-1234yf", 0.755), ("R-32", 0.215), ("R-744", 0.03)]).unwrap();
    let (d, e) = (one.dew_at_temperature(t).unwrap(), other.dew_at_temperature(t).unwrap());
    assert!((d.pressure.pascal() / e.pressure.pascal() - 1.0).abs() < 1e-11);
    // A part of nothing is no part.
    let with_nothing = blend(&[("R-134a", 1.0), ("R-32", 0.0)]).unwrap();
    let pure = find("R-134a").unwrap().fluid();
    assert_eq!(
        with_nothing.dew_at_temperature(t).unwrap().pressure,
        pure.dew_at_temperature(t).unwrap().pressure
    );
}

#[test]
fn a_wrong_blend_is_refused_with_its_reason() {
    assert!(matches!(
        blend(&[("R-32", 0.5), ("R-33", 0.5)]),
        Err(BlendError::UnknownComponent { part: 1, .. })
    ));
    assert!(matches!(
        blend(&[("R-32", 0.5), ("R-404A", 0.5)]),
        Err(BlendError::UnknownComponent { part: 1, .. })
    ));
    assert!(matches!(blend(&[("R-32", 0.5), ("r32", 0.5)]), Err(BlendError::Twice { component: "R-32" })));
    for parts in [
        vec![("R-32", 0.5), ("R-125", 0.49)],
        vec![("R-32", -0.5), ("R-125", 1.5)],
        vec![("R-32", f64::NAN), ("R-125", 0.5)],
        vec![],
    ] {
        assert!(matches!(blend(&parts), Err(BlendError::Composition(_))), "{parts:?}");
    }
}
